//! A key that takes the day of something or, where nobody knows the day any more, `true`:
//! `neutered: 2024-03-01`, `retired: true`.
//!
//! In: a YAML scalar. Out: a [`Since`]. `false` is refused: whatever is not so is left out.

use crate::quantity::{Day, Unreadable};
use std::{fmt, str::FromStr};

/// Since when something is so.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Since {
    /// It is so; the day is not known.
    Unknown,
    /// Since this day.
    Day(Day),
}

impl Since {
    /// The day, where it is known.
    #[must_use]
    pub fn day(self) -> Option<Day> {
        match self {
            Self::Unknown => None,
            Self::Day(day) => Some(day),
        }
    }
}

impl FromStr for Since {
    type Err = Unreadable;

    fn from_str(text: &str) -> Result<Self, Unreadable> {
        match text.trim() {
            "true" | "True" | "TRUE" => Ok(Self::Unknown),
            "false" | "False" | "FALSE" => Err(Unreadable::new(
                "not-a-date",
                "`false` is no day",
                "take the line out, or write the day or `true`",
            )),
            text => text.parse().map(Self::Day),
        }
    }
}

/// As it is written in a record.
impl fmt::Display for Since {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Unknown => f.write_str("true"),
            Self::Day(day) => day.fmt(f),
        }
    }
}

crate::quantity::read_from_text!(Since, "Since", {
    "anyOf": [{ "type": "string", "format": "date" }, { "const": true }],
    "description": "a day, or true where the day is not known"
});
