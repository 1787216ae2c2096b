//! Entries of `health.yaml`: which details belong to which kind, and for whom an entry is.
//!
//! In: what was typed on a command line or in a form, the records, the day. Out: entries as they
//! are written, one for each puppy where each has its own weight. Nothing here computes an amount.

pub mod details;
pub mod whom;

use crate::quantity::{Day, Moment};
use crate::records::adding::{EntryValue, NewEntry};

/// When something was done or seen.
#[derive(Debug, Clone, Copy)]
pub enum When {
    /// On a day, where the time does not matter.
    On(Day),
    /// At a day and time.
    At(Moment),
}

impl When {
    pub fn day(self) -> Day {
        match self {
            Self::On(day) => day,
            Self::At(at) => at.day(),
        }
    }

    /// An entry that begins with it, and with whom it is for.
    pub fn begun(self, whom: EntryValue) -> NewEntry {
        let entry = match self {
            Self::On(day) => NewEntry::new().with("on", day.to_string()),
            Self::At(at) => NewEntry::new().with("at", at.to_string()),
        };
        entry.with("for", whom)
    }
}
