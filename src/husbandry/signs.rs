//! Signs of illness in the words that a keeper wrote.
//!
//! In: a text such as `trembling, stiff gait; not eating`. Out: the [`Fit`]s: which of the signs in
//! `signs/dictionary.rs` it names, in the words as they were written, leaving out what it says was
//! not seen (`no tremor`, `zittert nicht`). A word that is negated only perhaps counts as seen: a
//! sign that is missed is worse than one too many. Nothing here is a diagnosis.

mod dictionary;

pub use dictionary::{DAM, PUPPY};

use std::ops::Range;

/// A sign, and the words by which it is known.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Sign {
    /// What it fits: `eclampsia`.
    pub fits: &'static str,
    /// One word of each group has to stand in one sentence. Words are stems, in small letters:
    /// `trembl`; one that ends with `=` is a whole word; a space joins words that follow each
    /// other.
    pub groups: &'static [&'static [&'static str]],
    /// When it counts.
    pub when: SignScope,
    /// Who says so.
    pub source: &'static str,
}

/// When a sign counts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SignScope {
    /// Always.
    Always,
    /// Only from this many days after the birth, or before it.
    NotUntil(i64),
    /// Only when it was seen on two days, or the words say that it has lasted so long.
    TwoDays,
    /// Only so many days after the last mating.
    AfterMating(i64, i64),
}

/// A sign that a text names.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Fit {
    /// The sign.
    pub sign: &'static Sign,
    /// The words that name it, as they were written.
    pub words: Vec<String>,
}

/// How far apart words of two groups may stand.
const NEAR: usize = 8;

/// Words that say that what follows was not seen.
const NO: &[&str] = &[
    "no", "without", "never", "neither", "nor", "not", "isn't", "aren't", "wasn't", "weren't",
    "doesn't", "don't", "didn't", "hasn't",
];
const KEIN: &[&str] = &[
    "kein",
    "keine",
    "keinen",
    "keinerlei",
    "nicht",
    "ohne",
    "nie",
    "weder",
];
/// Words that may stand between those and the sign.
const FILLERS: &[&str] = &[
    "sign",
    "signs",
    "of",
    "any",
    "more",
    "longer",
    "further",
    "a",
    "an",
    "the",
    "at",
    "all",
    "now",
    "been",
    "being",
    "or",
    "nor",
    "obvious",
    "visible",
    "seen",
    "yet",
    "fully",
    "quite",
    "completely",
    "anymore",
    "anzeichen",
    "zeichen",
    "von",
    "mehr",
    "oder",
    "noch",
    "ganz",
    "sichtbar",
    "sichtbare",
    "sichtbares",
];
/// Words after a sign that say that it was not seen.
const NONE: &[&str] = &[
    "none", "nein", "nicht", "no", "absent", "negative", "keine", "keiner", "nie",
];
/// Words after which such a word says something else: `zittert nicht nur`.
const ONLY: &[&str] = &[
    "nur", "only", "sure", "sicher", "change", "better", "besser", "weniger", "less",
];
/// Words after a sign that say that it is over.
const OVER: &[&str] = &[
    "gone",
    "stopped",
    "resolved",
    "over",
    "subsided",
    "weg",
    "vorbei",
    "verschwunden",
    "abgeklungen",
];
/// Words that may stand between.
const IS: &[&str] = &[
    "is",
    "are",
    "has",
    "have",
    "now",
    "ist",
    "sind",
    "hat",
    "jetzt",
    "all",
    "completely",
];
/// Words that begin another clause, within which nothing that stands before is negated.
const JOINTS: &[&str] = &[
    "and", "but", "with", "then", "yet", "und", "aber", "mit", "dann", "doch", "sondern",
];

/// Words by which keepers say that it is over.
const WELL: &[&str] = &[
    "recovered=",
    "well again",
    "is well",
    "all well",
    "quite well",
    "back to normal",
    "normal again",
    "herself again",
    "himself again",
    "fine again",
    "all fine",
    "is fine",
    "resolved=",
    "healed=",
    "cleared up",
    "genesen=",
    "erholt=",
    "wohlauf",
    "wieder gesund",
    "ist gesund",
    "wieder normal",
    "wieder munter",
    "wieder fit",
    "abgeheilt",
    "beschwerdefrei",
];
/// The same where they are the whole text.
const WELL_ALONE: &[&str] = &["well", "fine", "ok", "okay", "normal", "gesund"];

/// Words that say how long something has lasted.
const LASTING: &[&str] = &[
    "two days",
    "2= days",
    "three days",
    "3= days",
    "48= h",
    "48h",
    "second day",
    "2nd day",
    "zwei tag",
    "2= tag",
    "zweiten tag",
];

/// The signs of a list that a text names.
#[must_use]
pub fn read(text: &str, list: &'static [Sign]) -> Vec<Fit> {
    let text = Words::of(text);
    list.iter()
        .filter_map(|sign| {
            Some(Fit {
                sign,
                words: text.fit(sign, false)?,
            })
        })
        .collect()
}

/// Whether a text says that all is over: one of the words for it stands there, and no sign that is
/// not.
#[must_use]
pub fn says_well(text: &str, list: &'static [Sign]) -> bool {
    let words = Words::of(text);
    let alone: Vec<&str> = words
        .words
        .iter()
        .filter(|w| !w.is_break)
        .map(|w| w.small.as_str())
        .collect();
    let well = match alone.as_slice() {
        [one] if WELL_ALONE.contains(one) => true,
        _ => words.seen(WELL, false).next().is_some(),
    };
    well && list.iter().all(|sign| words.fit(sign, true).is_none())
}

/// Whether the words say that it has lasted for two days.
#[must_use]
pub fn has_lasted(text: &str) -> bool {
    Words::of(text).found(LASTING).next().is_some()
}

/// A word, or a stop between two.
struct Word {
    small: String,
    written: String,
    is_break: bool,
    /// Whether another sentence begins.
    is_end: bool,
}

struct Words {
    words: Vec<Word>,
}

impl Words {
    fn of(text: &str) -> Self {
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
        Self { words }
    }

    /// Where any of the stems stands.
    fn found<'a>(&'a self, stems: &'a [&'a str]) -> impl Iterator<Item = Range<usize>> + 'a {
        (0..self.words.len()).filter_map(move |at| {
            let length = stems
                .iter()
                .filter_map(|stem| self.stands(at, stem))
                .max()?;
            Some(at..at + length)
        })
    }

    /// How many words of a stem stand here.
    fn stands(&self, at: usize, stem: &str) -> Option<usize> {
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
    fn seen<'a>(
        &'a self,
        stems: &'a [&'a str],
        leave_out_past: bool,
    ) -> impl Iterator<Item = Range<usize>> + 'a {
        self.found(stems)
            .filter(move |found| !(self.is_negated(found) || leave_out_past && self.is_over(found)))
    }

    /// The words by which a sign is named.
    fn fit(&self, sign: &Sign, leave_out_past: bool) -> Option<Vec<String>> {
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
        for at in (0..found.start).rev() {
            let word = &self.words[at];
            if word.is_break || JOINTS.contains(&word.small.as_str()) {
                break;
            }
            if NO.contains(&word.small.as_str()) || KEIN.contains(&word.small.as_str()) {
                return !self.is_own(at);
            }
            if !FILLERS.contains(&word.small.as_str()) && !self.is_sign(at) {
                break;
            }
        }
        // `tremor: none`, `zittert nicht mehr`.
        let mut after = self.words[found.end..]
            .iter()
            .skip_while(|word| word.is_break && !word.is_end);
        let Some(next) = after
            .next()
            .filter(|word| NONE.contains(&word.small.as_str()))
        else {
            return false;
        };
        match after.next() {
            // `shaking, no appetite`: the word belongs to what follows.
            Some(further) if !further.is_break => {
                matches!(next.small.as_str(), "nicht") && !ONLY.contains(&further.small.as_str())
            }
            _ => true,
        }
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
        // Puppies have `milk` for a sign of two groups, and `no milk, …` is not about what follows.
        DAM.iter()
            .flat_map(|sign| sign.groups)
            .flat_map(|group| group.iter())
            .any(|stem| self.stands(at, stem) == Some(1))
    }

    fn is_over(&self, found: &Range<usize>) -> bool {
        let is_before = found.start > 0
            && matches!(
                self.words[found.start - 1].small.as_str(),
                "stopped" | "kein" | "keine"
            );
        let mut after = self.words[found.end..]
            .iter()
            .skip_while(|word| IS.contains(&word.small.as_str()));
        is_before
            || after
                .next()
                .is_some_and(|word| OVER.contains(&word.small.as_str()))
    }
}

#[cfg(test)]
mod tests;
