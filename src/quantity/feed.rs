//! Amounts of feed, and the energy in them. Base units: millilitre and gram, kilocalorie.
//!
//! In: `3.5 ml`, `2 g`, or words (`a few drops`); `1.1 kcal/ml`, `4.6 kJ/g`. Out: a [`FeedAmount`],
//! which keeps words as they are since older records have them, and an [`Energy`]. An amount is
//! what went in, never what should.

use super::{Text, Unreadable, number, read_from_text};
use std::{fmt, str::FromStr};

/// Kilojoules in a kilocalorie (thermochemical calorie).
const KJ_PER_KCAL: f64 = 4.184;
/// More than any puppy takes in one feed by hand, ml or g.
const MOST: f64 = 2000.0;
/// More than pure fat has, kcal in 1 ml or 1 g.
const RICHEST: f64 = 9.5;

/// How much was fed.
#[derive(Debug, Clone, PartialEq)]
pub enum FeedAmount {
    /// Millilitres.
    Millilitres(f64),
    /// Grams.
    Grams(f64),
    /// In words, which cannot be added up.
    Words(Text),
}

impl FromStr for FeedAmount {
    type Err = Unreadable;

    fn from_str(text: &str) -> Result<Self, Unreadable> {
        let (value, unit) = number::split_unit(text.trim());
        let value = number::parse(value).filter(|value| (0.0..=MOST).contains(value));
        match (value, unit.to_lowercase().as_str()) {
            (Some(value), "ml" | "cc") => Ok(Self::Millilitres(value)),
            (Some(value), "g") => Ok(Self::Grams(value)),
            _ => text.parse().map(Self::Words),
        }
    }
}

impl fmt::Display for FeedAmount {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Millilitres(value) => write!(f, "{} ml", number::show(*value, 2)),
            Self::Grams(value) => write!(f, "{} g", number::show(*value, 2)),
            Self::Words(words) => write!(f, "{words}"),
        }
    }
}

read_from_text!(FeedAmount, "FeedAmount", {
    "type": "string",
    "description": "how much was fed, with its unit: 3.5 ml or 2 g; other words are kept, and \
     cannot be added up",
});

/// Energy of a product.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Energy {
    /// Kilocalories in 1 ml.
    PerMillilitre(f64),
    /// Kilocalories in 1 g.
    PerGram(f64),
}

impl Energy {
    /// Kilocalories in an amount; nothing where the two are not of one kind.
    #[must_use]
    pub fn of(self, amount: &FeedAmount) -> Option<f64> {
        match (self, amount) {
            (Self::PerMillilitre(kcal), FeedAmount::Millilitres(value))
            | (Self::PerGram(kcal), FeedAmount::Grams(value)) => Some(kcal * value),
            _ => None,
        }
    }
}

impl FromStr for Energy {
    type Err = Unreadable;

    fn from_str(text: &str) -> Result<Self, Unreadable> {
        let (value, unit) = number::split_unit(text.trim());
        let hint = "write what the packet says: 1.1 kcal/ml, 4.6 kJ/ml, or per g";
        let value = number::parse(value).ok_or_else(|| {
            Unreadable::new("not-an-energy", format!("`{text}` is not an energy"), hint)
        })?;
        let unit = unit.to_lowercase().replace(' ', "");
        let (kcal, per) = match unit.split_once('/') {
            Some(("kcal", per)) => (value, per),
            Some(("kj", per)) => (value / KJ_PER_KCAL, per),
            _ => {
                return Err(Unreadable::new(
                    "unit-unknown",
                    format!("`{unit}` is not a unit of energy in an amount"),
                    hint,
                ));
            }
        };
        if !(0.0..=RICHEST).contains(&kcal) {
            return Err(Unreadable::new(
                "out-of-range",
                format!("`{text}` is more than pure fat has"),
                hint,
            ));
        }
        match per {
            "ml" => Ok(Self::PerMillilitre(kcal)),
            "g" => Ok(Self::PerGram(kcal)),
            _ => Err(Unreadable::new(
                "unit-unknown",
                format!("`{per}` is not ml or g"),
                hint,
            )),
        }
    }
}

impl fmt::Display for Energy {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::PerMillilitre(kcal) => write!(f, "{} kcal/ml", number::show(*kcal, 2)),
            Self::PerGram(kcal) => write!(f, "{} kcal/g", number::show(*kcal, 2)),
        }
    }
}

read_from_text!(Energy, "Energy", {
    "type": "string",
    "description": "energy of a product in an amount: 1.1 kcal/ml, 4.6 kJ/ml, or per g",
});

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn amounts_are_read_and_words_are_kept() {
        for (text, amount) in [
            ("3.5 ml", FeedAmount::Millilitres(3.5)),
            ("3,5ml", FeedAmount::Millilitres(3.5)),
            ("12 g", FeedAmount::Grams(12.0)),
        ] {
            assert_eq!(text.parse::<FeedAmount>().unwrap(), amount);
        }
        for text in ["a few drops", "5", "two spoons", "9000 ml"] {
            let read = text.parse::<FeedAmount>().unwrap();
            assert!(
                matches!(read, FeedAmount::Words(_)) && read.to_string() == text,
                "{text}"
            );
        }
    }

    #[test]
    fn energy_is_read_in_both_units() {
        // The thermochemical calorie: 4.184 J. So 4.184 kJ/ml are 1 kcal/ml.
        assert_eq!(
            "4.184 kJ/ml".parse::<Energy>().unwrap(),
            Energy::PerMillilitre(1.0)
        );
        assert_eq!(
            "1.1 kcal/ml"
                .parse::<Energy>()
                .unwrap()
                .of(&"10 ml".parse().unwrap()),
            Some(11.0)
        );
        assert_eq!(
            "1.1 kcal/ml"
                .parse::<Energy>()
                .unwrap()
                .of(&"10 g".parse().unwrap()),
            None
        );
        for text in ["1.1", "1.1 kcal", "110 kcal/ml", "much", "1 J/ml"] {
            assert!(text.parse::<Energy>().is_err(), "{text}");
        }
    }
}
