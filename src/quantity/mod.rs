//! Value types of the records: one file per kind of amount, date or name.
//!
//! In: the text a keeper wrote (`212 g`, `2026-10-05`, `09:14`). Out: a typed value in one base
//! unit, or an [`Unreadable`] that says what to type instead. Nothing here knows about files or
//! records, and no value ever guesses a unit.

mod chip;
mod clock;
mod counted;
mod difference;
mod feed;
mod hormone;
mod id;
mod latin;
mod length;
mod meant;
mod number;
mod percent;
mod ribbon;
mod rounded;
mod span;
mod temperature;
mod text;
mod weight;
mod within;

pub use chip::ChipNumber;
pub use clock::{BirthTime, Day, Moment, days_said};
pub use counted::{counted, many};
pub use difference::{
    percent_difference, tenths_difference, tenths_with_minus, weight_difference,
    whole_percent_difference,
};
pub use feed::{Energy, FeedAmount};
pub use hormone::Progesterone;
pub use id::Id;
pub use length::Length;
pub use meant::{did_you_mean, nearest, slips};
pub use percent::Percent;
pub use ribbon::Ribbon;
pub use rounded::{Tenths, Whole, settled, shown};
pub use span::Span;
pub use temperature::Temperature;
pub use text::{Text, capital};
pub use weight::{Weight, WeightEntry, WeightUnit};
pub use within::Within;

use std::fmt;

/// Why a text could not be read as the amount it should be.
///
/// `Display` joins the three parts with [`Unreadable::SEPARATOR`], so that they survive the trip
/// through a serde error and can be taken apart again where problems are made.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Unreadable {
    /// Stable code of the problem, such as `unit-missing`.
    pub code: &'static str,
    /// What is wrong, as a lowercase phrase.
    pub message: String,
    /// What to type instead.
    pub hint: String,
}

impl Unreadable {
    /// Stands between code, message and hint in the text form. It cannot occur in a record: control
    /// characters are refused earlier.
    pub const SEPARATOR: char = '\u{1e}';

    /// A problem that a caller found in its own kind of text.
    #[must_use]
    pub fn new(code: &'static str, message: impl Into<String>, hint: impl Into<String>) -> Self {
        Self {
            code,
            message: message.into(),
            hint: hint.into(),
        }
    }
}

impl fmt::Display for Unreadable {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let s = Self::SEPARATOR;
        write!(f, "{}{s}{}{s}{}", self.code, self.message, self.hint)
    }
}

impl std::error::Error for Unreadable {}

/// Lets a type that implements `FromStr<Err = Unreadable>` be read from a YAML scalar, and
/// describes it in the JSON Schema.
#[macro_export]
macro_rules! read_from_text {
    ($type:ty, $name:literal, { $($schema:tt)* }) => {
        impl<'de> serde::Deserialize<'de> for $type {
            fn deserialize<D: serde::Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
                struct FromText;
                impl serde::de::Visitor<'_> for FromText {
                    type Value = $type;
                    fn expecting(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                        f.write_str($name)
                    }
                    fn visit_str<E: serde::de::Error>(self, text: &str) -> Result<$type, E> {
                        text.parse().map_err(E::custom)
                    }
                }
                deserializer.deserialize_str(FromText)
            }
        }
        impl schemars::JsonSchema for $type {
            fn schema_name() -> std::borrow::Cow<'static, str> {
                $name.into()
            }
            fn json_schema(_: &mut schemars::SchemaGenerator) -> schemars::Schema {
                schemars::json_schema!({ $($schema)* })
            }
        }
    };
}
