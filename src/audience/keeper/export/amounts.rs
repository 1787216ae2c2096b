//! Amounts in the export: the base unit beside what was written.
//!
//! In: a value of a record and its place. Out: the value in its base unit and the text as the
//! keeper wrote it. `written` is missing only where the place is not in the text.

use crate::quantity::{
    Day, Length, Moment, Percent, Progesterone, Span, Temperature, Text, Weight,
};
use crate::records::problem::Step;
use crate::records::source::{Finder, Sources};
use schemars::JsonSchema;
use serde::Serialize;

macro_rules! amounts {
    ($(
        $(#[$doc:meta])*
        $name:ident, $unit:ident: $number:ty, $method:ident($value:ident) = $of:expr;
    )*) => {
        $($(#[$doc])*
        #[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
        pub struct $name {
            /// In the base unit.
            pub $unit: $number,
            /// As written.
            pub written: Option<String>,
        })*

        impl Pen<'_> {
            $(pub(super) fn $method(
                &mut self,
                $value: Option<impl Into<Amount<$name>>>,
                path: Vec<Step>,
            ) -> Option<$name> {
                let Amount { base: $value, .. } = $value?.into();
                Some($name { $unit: $of, written: self.written(&path) })
            })*
        }
    };
}

/// A number in a base unit, on its way into one of the types below.
pub(super) struct Amount<T> {
    base: f64,
    kind: std::marker::PhantomData<T>,
}

impl<T> Amount<T> {
    fn new(base: f64) -> Self {
        Self {
            base,
            kind: std::marker::PhantomData,
        }
    }
}

impl From<Weight> for Amount<Grams> {
    fn from(weight: Weight) -> Self {
        Self::new(weight.grams())
    }
}

impl From<Temperature> for Amount<Celsius> {
    fn from(temperature: Temperature) -> Self {
        Self::new(temperature.celsius())
    }
}

impl From<Progesterone> for Amount<NgPerMl> {
    fn from(value: Progesterone) -> Self {
        Self::new(value.ng_per_ml())
    }
}

impl From<Length> for Amount<Millimetres> {
    fn from(length: Length) -> Self {
        Self::new(length.mm())
    }
}

impl From<Percent> for Amount<Share> {
    fn from(share: Percent) -> Self {
        Self::new(share.value())
    }
}

impl From<Span> for Amount<Seconds> {
    #[expect(clippy::cast_precision_loss, reason = "spans are at most a century")]
    fn from(span: Span) -> Self {
        Self::new(span.as_seconds() as f64)
    }
}

amounts! {
    /// A weight.
    Grams, grams: f64, weight(value) = value;
    /// A temperature.
    Celsius, celsius: f64, temperature(value) = value;
    /// Progesterone.
    NgPerMl, ng_per_ml: f64, progesterone(value) = value;
    /// A length.
    Millimetres, mm: f64, length(value) = value;
    /// A share of a hundred.
    Share, percent: f64, share(value) = value;
    /// A span of time.
    Seconds, seconds: f64, span(value) = value;
}

/// Looks up what was written.
pub(super) struct Pen<'a> {
    finder: Finder<'a>,
    /// The file that is being taken apart, below the content folder.
    pub(super) file: String,
}

impl<'a> Pen<'a> {
    pub(super) fn new(sources: &'a Sources) -> Self {
        Self {
            finder: sources.finder(),
            file: String::new(),
        }
    }

    pub(super) fn written(&mut self, path: &[Step]) -> Option<String> {
        self.finder.written(&self.file, path)
    }
}

/// A day.
pub(super) fn day(day: Option<Day>) -> Option<String> {
    day.map(|day| day.to_string())
}

/// A local time, to the second where one was written.
pub(super) fn moment(at: Moment) -> String {
    let local = at.local();
    let shape = if local.format("%S").to_string() == "00" {
        "%Y-%m-%dT%H:%M"
    } else {
        "%Y-%m-%dT%H:%M:%S"
    };
    local.format(shape).to_string()
}

/// A text.
#[allow(clippy::ref_option, reason = "fields are handed over as they stand")]
pub(super) fn text(text: &Option<Text>) -> Option<String> {
    text.as_ref().map(ToString::to_string)
}

/// Several texts, or names.
pub(super) fn texts<T: ToString>(texts: &[T]) -> Vec<String> {
    texts.iter().map(ToString::to_string).collect()
}
