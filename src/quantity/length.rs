//! Lengths on an ultrasound picture. Base unit: millimetre.
//!
//! In: `20 mm`, `2.1 cm`. Out: a [`Length`] of at most 200 mm.

use super::{Unreadable, number, read_from_text};
use std::{fmt, str::FromStr};

/// A fetal measurement, above 0 and at most 200 mm.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Length {
    mm: f64,
}

impl Length {
    /// Millimetres.
    #[must_use]
    pub fn mm(self) -> f64 {
        self.mm
    }
}

impl FromStr for Length {
    type Err = Unreadable;

    fn from_str(text: &str) -> Result<Self, Unreadable> {
        let (value, unit) = number::split_unit(text.trim());
        let scale = match unit {
            "mm" => Some(1.0),
            "cm" => Some(10.0),
            _ => None,
        };
        match (number::parse(value), scale) {
            (Some(value), Some(scale)) if value > 0.0 && value * scale <= 200.0 => {
                Ok(Self { mm: value * scale })
            }
            (Some(_), Some(_)) => Err(Unreadable::new(
                "out-of-range",
                format!("`{text}` is no fetal measurement"),
                "a measurement is above 0 and at most 200 mm",
            )),
            _ => Err(Unreadable::new(
                "unit-missing",
                format!("`{text}` is not a length with its unit"),
                "write it as 20 mm or 2.0 cm",
            )),
        }
    }
}

impl fmt::Display for Length {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} mm", number::show(self.mm, 1))
    }
}

read_from_text!(Length, "Length", { "type": "string", "pattern": "^[0-9][0-9.,]* ?(mm|cm)$" });

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn centimetres_and_millimetres_agree() {
        assert_eq!("2.0 cm".parse::<Length>(), "20 mm".parse::<Length>());
        for text in ["20", "0 mm", "30 cm", "2 in", ""] {
            assert!(text.parse::<Length>().is_err(), "{text}");
        }
    }
}
