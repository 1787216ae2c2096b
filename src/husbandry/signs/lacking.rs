//! What is said not to be done, or to be done poorly, in whatever order.
//!
//! In: the words of a text and a stem. Out: where it is said: `not eating`, `eats nothing`,
//! `sucks weakly`.

use super::text::{FILLERS, IS, SignText};
use std::ops::Range;

/// Words that say that something is not done or not there; others are known by their beginning, or
/// by `n't`.
const LACK: &[&str] = &[
    "no", "not", "without", "never", "neither", "nor", "cannot", "cant", "wont", "dont", "doesnt",
    "didnt", "isnt", "hasnt", "off", "lost", "loss", "lack", "lacks", "lacking", "unable",
    "hardly", "barely", "scarcely", "nothing", "fails", "failed", "failing", "quit", "kein",
    "keine", "keinen", "nicht", "ohne", "kaum", "nie", "nichts",
];
const LACKING: &[&str] =
    word_list!("refus, reject, ignor, declin, stop, unwilling, reluctan, verweiger, miss, skip");
/// Words that say that something is poor.
const WEAK: &[&str] = &[
    "poor", "weak", "feeble", "little", "less", "slow", "bad", "faint", "schwach", "schlecht",
    "wenig", "weniger",
];
/// The same after what is done.
const LACK_AFTER: &[&str] = &[
    "nothing", "none", "nil", "gone", "lost", "absent", "missing", "lacking", "hardly", "barely",
    "scarcely", "stopped", "ceased", "zero", "nicht", "nichts", "kaum", "kein", "keine",
];
const WEAK_AFTER: &[&str] = &[
    "poorly", "badly", "weakly", "feebly", "poor", "weak", "feeble", "little", "less", "slowly",
    "faint", "reduced", "low", "schlecht", "schwach", "wenig", "weniger",
];
/// After `not`: `appetite not good`.
const NOT_GOOD: &[&str] = &[
    "at", "good", "well", "strong", "right", "great", "much", "properly",
];
/// Words that may stand between those and what is not done.
const BETWEEN: &[&str] = word_list!(
    "will, would, want, wants, wanting, wanted, to, the, her, his, its, their, any, anything, \
     much, really, properly, enough, has, have, had, be, been, being, do, does, did, could, can, \
     able, try, trying, tries, food, meal, meals, milk, teat, teats, nipple, bottle, interest, \
     interested, keen, in, on, onto, at, from, for, take, takes, took, taken, taking, touch, \
     touched, accept, accepts, eat, eats, eating, eaten, drink, drinking, drinks, suck, sucks, \
     sucking, suckle, suckles, suckling, feed, feeding, latch, hold, holds, show, shows, showing, \
     even, half, most, all, some, of, a, an, more, longer, now, again, still, yet, very, or, nor, \
     too, so, by, breakfast, dinner, supper, anymore, passed, passing, pass, mehr, mag, will, \
     die, das, der, den"
);

impl SignText {
    /// Where what the stem names is said not to be done, or, if asked, poorly. Two words for it
    /// cancel each other: `not refusing food`.
    pub(super) fn lacks(&self, at: usize, stem: &str, or_weak: bool) -> Option<Range<usize>> {
        let end = at + self.stands(at, stem)?;
        let small = |at: usize| self.words.get(at).map(|word| word.small.as_str());
        // `no milk fever` is not about milk.
        if small(end).is_some_and(|word| word.starts_with("fever")) {
            return None;
        }
        let (mut from, mut to, mut count) = (at, end, 0);
        for before in (0..at).rev() {
            let word = &self.words[before];
            let is_pushed = word.small == "off"
                && before.checked_sub(1).and_then(small).is_some_and(|word| {
                    ["push", "knock", "kick", "fell", "fall", "slip"]
                        .iter()
                        .any(|stem| word.starts_with(stem))
                });
            let text = word.small.as_str();
            if LACK.contains(&text) && !is_pushed
                || text.ends_with("n't")
                || LACKING.iter().any(|stem| text.starts_with(stem))
                || or_weak && WEAK.contains(&text)
            {
                from = before;
                count += 1;
            } else if word.is_break || !(BETWEEN.contains(&text) || FILLERS.contains(&text)) {
                break;
            }
        }
        let is_break = |at: usize| self.words.get(at).is_none_or(|word| word.is_break);
        let after_break = end < self.words.len() && is_break(end) && !self.words[end].is_end;
        let mut after = end + usize::from(after_break);
        while !after_break && small(after).is_some_and(|word| IS.contains(&word) || word == "very")
        {
            after += 1;
        }
        let says = |word: &str| {
            LACK_AFTER.contains(&word)
                || or_weak && WEAK_AFTER.contains(&word)
                || word == "not" && small(after + 1).is_some_and(|word| NOT_GOOD.contains(&word))
                || word == "no" && after_break
        };
        // `suck: none`, but not `sucks, nothing else`; `nothing but` is something.
        if small(after).is_some_and(says)
            && (!after_break || is_break(after + 1))
            && small(after + 1) != Some("but")
        {
            to = after + 1;
            count += 1;
        }
        (count % 2 == 1).then_some(from..to)
    }
}
