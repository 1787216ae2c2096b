//! The words of a text, which of them name a sign, and which of those are said not to be there.
//!
//! In: a text and stems. Out: places in it. What is negated, and what is said to be over, is told
//! by the words that stand beside it.

use super::{DAM, PUPPY, Sign};
use std::ops::Range;

/// How far apart words of two groups may stand.
const NEAR: usize = 8;

/// Words that say that what follows was not seen.
const NO: &[&str] = &[
    "no", "none", "without", "never", "neither", "nor", "not", "isn't", "aren't", "wasn't",
    "weren't", "doesn't", "don't", "didn't", "hasn't",
];
const KEIN: &[&str] = word_list!("kein, keine, keinen, keinerlei, nicht, ohne, nie, weder");
/// Words that may stand between those and the sign.
pub(super) const FILLERS: &[&str] = word_list!(
    "sign, signs, of, any, more, longer, further, a, an, the, at, all, now, been, being, or, nor, \
     obvious, visible, seen, yet, fully, quite, completely, anymore, anzeichen, zeichen, von, \
     mehr, oder, noch, ganz, sichtbar, sichtbare, sichtbares"
);
/// Words after a sign that say that it was not seen.
const NONE: &[&str] = &[
    "none", "nein", "nicht", "no", "absent", "negative", "keine", "keiner", "nie",
];
/// Words after which such a word says something else: `zittert nicht nur`.
const ONLY: &[&str] = &[
    "nur", "only", "sure", "sicher", "change", "better", "besser", "weniger", "less",
];
/// Words after a sign that say that it is over.
const OVER: &[&str] =
    word_list!("gone, stopped, resolved, over, subsided, weg, vorbei, verschwunden, abgeklungen");
/// Words that may stand between.
pub(super) const IS: &[&str] =
    word_list!("is, are, has, have, now, ist, sind, hat, jetzt, all, completely");
/// Words that begin another clause, within which nothing that stands before is negated.
const JOINTS: &[&str] = &[
    "and", "but", "with", "then", "yet", "und", "aber", "mit", "dann", "doch", "sondern",
];

/// Words that look like a sign and are none; newborns twitch and paddle while they sleep.
const HARMLESS: &[&str] = word_list!(
    "cold nose, cold weather, cold day, cold night, cold room, cold water, cold floor, cold snap, \
     cold outside, cold compress, cool room, cool day, cool night, cool box, cool water, \
     cool place, cool corner, cool side, cool end, shakes a toy, shakes toys, shaking a toy, \
     shaking toys, fell off the teat, fell off the nipple, fell off to sleep, \
     no pup still inside, no pup left inside, no pup inside, stump fell off, cord fell off, \
     navel fell off, shaking off, battery weak, battery is weak, bled a drop, twitches in sleep, \
     twitches in its sleep, twitches in her sleep, twitches in his sleep, twitching in sleep, \
     twitching in its sleep, twitching in her sleep, twitching in his sleep, \
     twitches while asleep, paddles in sleep, paddles in its sleep, paddles in her sleep, \
     paddles in his sleep, zuckt im schlaf, hot day, hot weather, hot room, hot night, hot water, \
     hot bottle, hot outside, flat chest, flat face, flat ribs, flat feet, dull coat, coat dull, \
     coat is dull, weak tea, red collar, red ribbon, red band, blue collar, blue ribbon, \
     blue band, white collar, white ribbon, white band, black collar, black ribbon, black band, \
     green collar, green ribbon, green band"
);
/// A word, or a stop between two.
pub(super) struct Word {
    pub(super) small: String,
    pub(super) written: String,
    pub(super) is_break: bool,
    /// Whether another sentence begins.
    pub(super) is_end: bool,
}

/// By which two bytes the words of a text begin, as bits by their hash: tells of nearly every stem
/// that it stands nowhere, without a look at any word.
struct Beginnings([u64; 4]);

impl Beginnings {
    fn of(words: &[Word]) -> Self {
        let mut bits = [0; 4];
        for word in words {
            if let [first, second, ..] = word.small.as_bytes() {
                let (part, bit) = Self::place(*first, *second);
                bits[part] |= bit;
            }
        }
        Self(bits)
    }

    fn place(first: u8, second: u8) -> (usize, u64) {
        let hash = first.wrapping_mul(31).wrapping_add(second);
        (usize::from(hash >> 6), 1 << (hash & 63))
    }

    /// Whether a stem may stand somewhere, or be said not to; one of a single letter always.
    fn may_have(&self, stem: &str) -> bool {
        let ([b'~' | b'!', stem @ ..] | stem) = stem.as_bytes();
        match stem {
            [] | [_] | [_, b'=' | b' ', ..] => true,
            [first, second, ..] => {
                let (part, bit) = Self::place(*first, *second);
                self.0[part] & bit != 0
            }
        }
    }
}

pub(super) struct SignText {
    pub(super) words: Vec<Word>,
    beginnings: Beginnings,
    /// Which of them look like a sign and are none.
    is_harmless: Vec<bool>,
}

impl SignText {
    pub(super) fn of(text: &str) -> Self {
        let mut words: Vec<Word> = Vec::new();
        let mut word = String::new();
        let push = |words: &mut Vec<Word>, word: &mut String| {
            if !word.is_empty() {
                let written = std::mem::take(word);
                let small = written.to_lowercase();
                words.push(Word {
                    is_break: false,
                    is_end: false,
                    small,
                    written,
                });
            }
        };
        for c in text.chars() {
            match c {
                '’' | '\'' if !word.is_empty() => word.push('\''),
                c if c.is_alphanumeric() => word.push(c),
                c => {
                    push(&mut words, &mut word);
                    if !c.is_whitespace() && c != '-' {
                        let is_end = matches!(c, '.' | ';' | '!' | '?');
                        words.push(Word {
                            small: String::new(),
                            written: String::new(),
                            is_break: true,
                            is_end,
                        });
                    }
                }
            }
        }
        push(&mut words, &mut word);
        let mut text = Self {
            is_harmless: vec![false; words.len()],
            beginnings: Beginnings::of(&words),
            words,
        };
        let stems = text.may_have(HARMLESS);
        for at in 0..text.words.len() {
            let lengths = stems.iter().filter_map(|stem| text.stands(at, stem));
            let length = lengths.max().unwrap_or(0);
            text.is_harmless[at..at + length].fill(true);
        }
        text
    }

    /// The stems that may stand somewhere.
    fn may_have<'s>(&self, stems: &[&'s str]) -> Vec<&'s str> {
        let stems = stems.iter().copied();
        stems
            .filter(|stem| self.beginnings.may_have(stem))
            .collect()
    }

    /// Where any of the stems stands.
    pub(super) fn found<'a>(
        &'a self,
        stems: &[&'a str],
    ) -> impl Iterator<Item = Range<usize>> + 'a {
        self.places(stems).map(|(place, _)| place)
    }

    /// Where any of the stems stands, and whether it is one that is said not to be.
    fn places<'a>(&'a self, stems: &[&'a str]) -> impl Iterator<Item = (Range<usize>, bool)> + 'a {
        let stems = self.may_have(stems);
        let words = if stems.is_empty() {
            0
        } else {
            self.words.len()
        };
        (0..words).flat_map(move |at| {
            let named = stems.iter().filter_map(|stem| self.stands(at, stem)).max();
            let named = named
                .map(|length| at..at + length)
                .filter(|place| !self.is_harmless[place.clone()].contains(&true));
            let lacking = stems.iter().find_map(|stem| {
                let weak = stem.strip_prefix('~');
                self.lacks(at, weak.or_else(|| stem.strip_prefix('!'))?, weak.is_some())
            });
            named
                .map(|place| (place, false))
                .into_iter()
                .chain(lacking.map(|place| (place, true)))
        })
    }

    /// How many words of a stem stand here.
    pub(super) fn stands(&self, at: usize, stem: &str) -> Option<usize> {
        // Of hundreds of stems nearly all end here.
        let first = self.words.get(at)?.small.as_bytes().first();
        if first != stem.as_bytes().first() {
            return None;
        }
        let mut length = 0;
        for part in stem.split(' ') {
            let word = self.words.get(at + length).filter(|word| !word.is_break)?;
            let fits = part
                .strip_suffix('=')
                .map_or_else(|| word.small.starts_with(part), |whole| word.small == whole);
            if !fits {
                return None;
            }
            length += 1;
        }
        Some(length)
    }

    /// Where any of the stems stands that is not said to be missing; nor, if asked, to be over.
    pub(super) fn seen<'a>(
        &'a self,
        stems: &[&'a str],
        leave_out_past: bool,
    ) -> impl Iterator<Item = Range<usize>> + 'a {
        self.places(stems)
            .filter(move |(place, is_lacking)| {
                (*is_lacking || !self.is_negated(place)) && !(leave_out_past && self.is_over(place))
            })
            .map(|(place, _)| place)
    }

    /// The words by which a sign is named.
    pub(super) fn fit(&self, sign: &Sign, leave_out_past: bool) -> Option<Vec<String>> {
        let (first, rest) = sign.groups.split_first()?;
        let mut named: Vec<Range<usize>> = Vec::new();
        for found in self.seen(first, leave_out_past) {
            let others: Option<Vec<Range<usize>>> = rest
                .iter()
                .map(|group| {
                    self.seen(group, leave_out_past)
                        .find(|other| self.is_near(&found, other))
                })
                .collect();
            if let Some(others) = others {
                named.push(found);
                named.extend(others);
            }
        }
        named.sort_by_key(|range| range.start);
        named.dedup();
        let words = named.iter().map(|range| {
            self.words[range.clone()]
                .iter()
                .map(|w| w.written.as_str())
                .collect::<Vec<_>>()
                .join(" ")
        });
        (!named.is_empty()).then(|| words.collect())
    }

    /// Whether two places stand in one sentence, close to each other.
    fn is_near(&self, one: &Range<usize>, other: &Range<usize>) -> bool {
        let (from, to) = if one.start <= other.start {
            (one.start, other.start)
        } else {
            (other.start, one.start)
        };
        to - from <= NEAR && !self.words[from..to].iter().any(|word| word.is_end)
    }

    fn is_negated(&self, found: &Range<usize>) -> bool {
        self.negation(found).is_some()
    }

    /// A place with the words that say that it was not seen.
    fn negation(&self, found: &Range<usize>) -> Option<Range<usize>> {
        for at in (0..found.start).rev() {
            let word = &self.words[at];
            if word.is_break || JOINTS.contains(&word.small.as_str()) {
                break;
            }
            if NO.contains(&word.small.as_str()) || KEIN.contains(&word.small.as_str()) {
                return (!self.is_own(at)).then_some(at..found.end);
            }
            let is_of_fever = word.small == "milk" && self.words[at + 1].small == "fever";
            if !(FILLERS.contains(&word.small.as_str()) || self.is_sign(at) || is_of_fever) {
                break;
            }
        }
        // `tremor: none`, `zittert nicht mehr`.
        let breaks = self.words[found.end..]
            .iter()
            .take_while(|word| word.is_break && !word.is_end)
            .count();
        let at = found.end + breaks;
        let next = self
            .words
            .get(at)
            .filter(|word| NONE.contains(&word.small.as_str()))?;
        let is_of_this = match self.words.get(at + 1) {
            // `shaking, no appetite`: the word belongs to what follows.
            Some(further) if !further.is_break => {
                matches!(next.small.as_str(), "nicht") && !ONLY.contains(&further.small.as_str())
            }
            _ => true,
        };
        is_of_this.then_some(found.start..at + 1)
    }

    /// Whether a negation is itself part of a sign: `not eating`.
    fn is_own(&self, at: usize) -> bool {
        let stems = DAM
            .iter()
            .chain(PUPPY)
            .flat_map(|sign| sign.groups)
            .flat_map(|group| group.iter());
        stems
            .filter(|stem| stem.contains(' '))
            .any(|stem| self.stands(at, stem).is_some())
    }

    /// Whether some sign is named here, so that `no tremor or panting` speaks of both.
    fn is_sign(&self, at: usize) -> bool {
        // Milk is a sign of two groups, and `no milk, …` is not about what follows.
        DAM.iter()
            .chain(PUPPY)
            .flat_map(|sign| sign.groups)
            .flat_map(|group| group.iter())
            .any(|stem| !stem.starts_with("mil") && self.stands(at, stem) == Some(1))
    }

    fn is_over(&self, found: &Range<usize>) -> bool {
        self.end(found).is_some()
    }

    /// A place with the words that say that it is over.
    fn end(&self, found: &Range<usize>) -> Option<Range<usize>> {
        let is = self.words[found.end..]
            .iter()
            .take_while(|word| IS.contains(&word.small.as_str()))
            .count();
        let at = found.end + is;
        // `limp all over` is not over.
        let all_over = |word: &Word| word.small == "over" && self.words[at - 1].small == "all";
        if self
            .words
            .get(at)
            .is_some_and(|word| OVER.contains(&word.small.as_str()) && !all_over(word))
        {
            return Some(found.start..at + 1);
        }
        let before = found.start.checked_sub(1)?;
        matches!(
            self.words[before].small.as_str(),
            "stopped" | "kein" | "keine"
        )
        .then_some(before..found.end)
    }

    /// Which words belong to something that was not seen or, if asked, is over.
    pub(super) fn not_there<'a>(
        &self,
        stems: impl Iterator<Item = &'a &'a str>,
        or_past: bool,
    ) -> Vec<bool> {
        let mut marks = vec![false; self.words.len()];
        for stem in stems {
            for found in self.found(&[*stem]) {
                let past = || self.end(&found).filter(|_| or_past);
                let place = self.negation(&found).or_else(past);
                marks[place.unwrap_or(0..0)].fill(true);
            }
        }
        marks
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_stem_is_passed_over_that_stands_in_a_text() {
        let signs = DAM.iter().chain(PUPPY).flat_map(|sign| sign.groups);
        let stems: Vec<&str> = signs.copied().flatten().chain(HARMLESS).copied().collect();
        for stem in &stems {
            let plain = stem.trim_start_matches(['~', '!']);
            let text = SignText::of(&format!("seen: {}", plain.replace('=', "")));
            assert!(text.stands(2, plain).is_some(), "{stem}");
            assert!(text.beginnings.may_have(stem), "{stem}");
        }
        // It is of use: of a text without any sign most are passed over.
        let calm = SignText::of("she lies with them");
        let left = stems.iter().filter(|stem| calm.beginnings.may_have(stem));
        assert!(left.count() * 4 < stems.len());
    }
}
