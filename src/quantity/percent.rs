//! Shares in per cent.
//!
//! In: `4 %`, `3.5%`. Out: a [`Percent`] between 0 and 100.

use super::{Unreadable, number, read_from_text};
use std::{fmt, str::FromStr};

/// A share, 0 to 100 %.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Percent(f64);

impl Percent {
    /// The number before the sign.
    #[must_use]
    pub fn value(self) -> f64 {
        self.0
    }
}

impl FromStr for Percent {
    type Err = Unreadable;

    fn from_str(text: &str) -> Result<Self, Unreadable> {
        let (value, unit) = number::split_unit(text.trim());
        match (number::parse(value), unit) {
            (Some(value), "%") if value <= 100.0 => Ok(Self(value)),
            (Some(_), "%") => Err(Unreadable::new(
                "out-of-range",
                format!("`{text}` is more than all"),
                "write a share from 0 to 100 %",
            )),
            _ => Err(Unreadable::new(
                "unit-missing",
                format!("`{text}` is not a share in per cent"),
                "write it as 4 %",
            )),
        }
    }
}

impl fmt::Display for Percent {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} %", number::show(self.0, 2))
    }
}

read_from_text!(Percent, "Percent", { "type": "string", "pattern": "^[0-9][0-9.,]* ?%$" });

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_share_carries_its_sign() {
        assert!((("3.5%").parse::<Percent>().unwrap().value() - 3.5).abs() < 1e-12);
        for text in ["4", "101 %", "-4 %", "%", ""] {
            assert!(text.parse::<Percent>().is_err(), "{text}");
        }
    }
}
