//! Why a value could not be read, as serde reports it.
//!
//! In: what serde's derived code and the value types say. Out: a [`ReadingFault`] that knows its
//! kind and, once it has bubbled up one step, its node.

use super::NodeId;
use crate::quantity::Unreadable;
use serde::de::{self, Expected, Unexpected};
use std::fmt;

/// A value that could not be read.
#[derive(Debug)]
pub(super) struct ReadingFault {
    pub(super) kind: FaultKind,
    /// The innermost node that was being read.
    pub(super) at: Option<NodeId>,
    /// The record that was being read, by the name of its type; for keys that are missing.
    pub(super) record: Option<&'static str>,
}

/// The kinds of faults.
#[derive(Debug)]
pub(super) enum FaultKind {
    /// A value type explained itself.
    Unreadable {
        code: &'static str,
        message: String,
        hint: String,
    },
    /// A key that the record does not have.
    UnknownKey {
        key: String,
        known: &'static [&'static str],
    },
    /// A word that is not among the fixed ones.
    UnknownWord {
        word: String,
        known: &'static [&'static str],
    },
    /// A key that the record needs.
    Missing(&'static str),
    /// A list where a text should be, and the like.
    Mismatch { found: String, expected: String },
    /// Aliases unfold beyond all measure.
    TooMuch,
    /// Anything else.
    Other(String),
}

impl ReadingFault {
    pub(super) fn new(kind: FaultKind) -> Self {
        Self {
            kind,
            at: None,
            record: None,
        }
    }

    /// Keeps the innermost record.
    pub(super) fn of(mut self, record: &'static str) -> Self {
        self.record.get_or_insert(record);
        self
    }

    /// Keeps the innermost place.
    pub(super) fn at(mut self, node: NodeId) -> Self {
        self.at.get_or_insert(node);
        self
    }
}

impl fmt::Display for ReadingFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:?}", self.kind)
    }
}

impl std::error::Error for ReadingFault {}

impl de::Error for ReadingFault {
    fn custom<T: fmt::Display>(message: T) -> Self {
        let text = message.to_string();
        let mut parts = text.split(Unreadable::SEPARATOR);
        if let (Some(code), Some(message), Some(hint)) = (
            parts.next().and_then(known_code),
            parts.next(),
            parts.next(),
        ) {
            return Self::new(FaultKind::Unreadable {
                code,
                message: message.to_owned(),
                hint: hint.to_owned(),
            });
        }
        Self::new(FaultKind::Other(text))
    }

    fn invalid_type(found: Unexpected<'_>, expected: &dyn Expected) -> Self {
        let found = match found {
            Unexpected::Seq => "a list".to_owned(),
            Unexpected::Map | Unexpected::StructVariant => "a block of keys".to_owned(),
            Unexpected::Str(text) => format!("`{}`", text.chars().take(40).collect::<String>()),
            Unexpected::Unit | Unexpected::Option => "nothing".to_owned(),
            other => other.to_string(),
        };
        Self::new(FaultKind::Mismatch {
            found,
            expected: plain_words(&expected.to_string()),
        })
    }

    fn unknown_variant(word: &str, known: &'static [&'static str]) -> Self {
        Self::new(FaultKind::UnknownWord {
            word: word.to_owned(),
            known,
        })
    }

    fn unknown_field(key: &str, known: &'static [&'static str]) -> Self {
        Self::new(FaultKind::UnknownKey {
            key: key.to_owned(),
            known,
        })
    }

    fn missing_field(key: &'static str) -> Self {
        Self::new(FaultKind::Missing(key))
    }
}

/// serde's and our types' names in the words of a keeper.
fn plain_words(expected: &str) -> String {
    match expected {
        "a sequence" => "a list".to_owned(),
        text if text.starts_with("struct ") || text == "a map" => "a block of keys".to_owned(),
        "a boolean" => "`true` or `false`".to_owned(),
        "u8" | "u32" | "a whole number" => "a whole number".to_owned(),
        "Text" => "a text".to_owned(),
        "Day" => "a date such as 2026-10-05".to_owned(),
        "Since" => "a date such as 2026-10-05, or `true`".to_owned(),
        "Moment" => "a date and time such as 2026-10-06 07:30".to_owned(),
        "BirthTime" => "a time such as 09:14".to_owned(),
        "Weight" | "WeightEntry" => "a weight such as 212 g".to_owned(),
        "Temperature" => "a temperature such as 35.8 °C".to_owned(),
        "FeedAmount" => "an amount such as 3.5 ml".to_owned(),
        "Energy" => "an energy such as 1.1 kcal/ml".to_owned(),
        "Progesterone" => "a value such as 5.6 ng/ml".to_owned(),
        "Id" => "a name of small letters, digits and `-`".to_owned(),
        "Span" => "a span of time such as 40 s".to_owned(),
        "Within" => "days such as 5 working days".to_owned(),
        "ChipNumber" => "a chip number of 15 digits".to_owned(),
        "Look" => "`normal`, `not looked at` or what was seen".to_owned(),
        text if text.starts_with("enum ") => "one word".to_owned(),
        text => text.to_owned(),
    }
}

/// Gives a code that came as text its static form, so that problems carry `&'static str` codes
/// only.
fn known_code(code: &str) -> Option<&'static str> {
    const CODES: &[&str] = &[
        "unit-missing",
        "unit-unknown",
        "unit-inside",
        "out-of-range",
        "not-a-weight",
        "not-a-temperature",
        "not-a-hormone-value",
        "not-an-energy",
        "not-a-span",
        "not-within",
        "key-missing",
        "not-a-name",
        "not-a-chip-number",
        "not-a-date",
        "not-a-time",
        "not-an-email",
        "not-an-address",
        "time-missing",
        "time-zone-unknown",
        "control-character",
        "ribbon-unknown",
        "empty-text",
    ];
    CODES.iter().copied().find(|known| *known == code)
}
