//! Signs of illness in the words that a keeper wrote.
//!
//! In: a text such as `trembling, stiff gait; not eating`. Out: the [`Fit`]s: which of the signs in
//! `signs/dictionary.rs` it names, in the words as they were written, leaving out what it says was
//! not seen (`no tremor`, `zittert nicht`). `signs/newborn.rs` reads what was seen on a newborn,
//! `signs/well.rs` whether a note says that it is over. A word that is negated only perhaps counts
//! as seen: a sign that is missed is worse than one too many. Nothing here is a diagnosis.

/// A list of words, written as a text with a comma between two.
macro_rules! word_list {
    ($text:literal) => {{
        const WORDS: &[&str] = &$crate::signs::split::<{ $crate::signs::count($text) }>($text);
        WORDS
    }};
}

mod dictionary;
mod lacking;
mod looked;
mod newborn;
mod text;
mod well;

pub use dictionary::{DAM, PUPPY};
pub(crate) use looked::{closes, is_own};
pub use newborn::{NewbornLook, newborn};
pub use well::says_well;

use text::SignText;

/// A sign, and the words by which it is known.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Sign {
    /// What it fits: `eclampsia`.
    pub fits: &'static str,
    /// One word of each group has to stand in one sentence. Words are stems, in small letters:
    /// `trembl`; one that ends with `=` is a whole word; a space joins words that follow each
    /// other. Before a word, `!` says that it has to be said not to be, in whatever order: `!eat`
    /// is `not eating`, `stopped eating`, `eats nothing`; `~` the same or that it is poor or
    /// little: `~suck` is `sucks weakly` as well.
    pub groups: &'static [&'static [&'static str]],
    /// When it counts.
    pub when: SignScope,
    /// Who says so.
    pub source: &'static str,
}

impl Sign {
    /// One that counts whenever it is noted.
    const fn always(
        fits: &'static str,
        groups: &'static [&'static [&'static str]],
        source: &'static str,
    ) -> Self {
        Self {
            fits,
            groups,
            when: SignScope::Always,
            source,
        }
    }
}

/// When a sign counts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SignScope {
    /// Always.
    Always,
    /// Only when more than so many hours have passed since the last puppy; where the hours are not
    /// known, days.
    AfterHours(i64),
    /// Only as long as no birth is recorded.
    BeforeBirth,
    /// Unless it was noted in labour: before the last puppy was born, or in its words.
    NotInLabour,
    /// Only as long as birth may go on: none is recorded, or no puppy was born since, on the day of
    /// the birth and the next.
    InLabour,
    /// Only once the last puppy is born, and up to so many days after the birth.
    AfterBirth(i64),
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

/// Words by which keepers speak of labour.
const LABOUR: &[&str] = word_list!(
    "first stage, stage one, stage 1=, labour=, labor=, contraction, nesting, nests, digging, \
     digs=, whelping, whelps, wehen, eröffnungsphase, nestbau, scharrt, gräbt, geburt beginnt, \
     straining, strains, pushing, pushes, waters broke, water broke, water bag, inertia, \
     since the last pup, no puppy for, presst, fruchtblase"
);

/// Words that say how long something has lasted.
const LASTING: &[&str] = word_list!(
    "two day, 2= day, three day, 3= day, 4= day, for days, several days, couple of days, \
     few days, since yesterday, since the day before, seit gestern, seit tagen, 48= h, 48h, \
     second day, 2nd day, zwei tag, 2= tag, zweiten tag"
);

/// How many words stand in a list.
const fn count(text: &str) -> usize {
    let (mut count, mut at) = (1, 0);
    while at < text.len() {
        if text.as_bytes()[at] == b',' {
            count += 1;
        }
        at += 1;
    }
    count
}

/// The words of a list that has so many.
const fn split<const N: usize>(mut text: &str) -> [&str; N] {
    let (mut words, mut word, mut at) = ([""; N], 0, 0);
    while at < text.len() {
        if text.as_bytes()[at] == b',' {
            (words[word], text) = text.split_at(at);
            text = text.split_at(2).1;
            (word, at) = (word + 1, 0);
        } else {
            at += 1;
        }
    }
    words[word] = text;
    words
}

/// The signs of a list that a text names.
#[must_use]
pub fn read(text: &str, list: &'static [Sign]) -> Vec<Fit> {
    let text = SignText::of(text);
    list.iter()
        .filter_map(|sign| {
            Some(Fit {
                sign,
                words: text.fit(sign, false)?,
            })
        })
        .collect()
}

/// Whether the words are about labour.
#[must_use]
pub fn is_labour(text: &str) -> bool {
    SignText::of(text).seen(LABOUR, false).next().is_some()
}

/// Whether the words say that it has lasted for two days.
#[must_use]
pub fn has_lasted(text: &str) -> bool {
    SignText::of(text).found(LASTING).next().is_some()
}

#[cfg(test)]
mod tests;
