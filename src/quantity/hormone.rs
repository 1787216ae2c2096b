//! Serum progesterone. Base unit: ng/ml.
//!
//! In: `5.6 ng/ml` or `17.8 nmol/l`. Out: a [`Progesterone`] between 0 and 200 ng/ml. Laboratories
//! differ: the value says nothing of the assay.

use super::{Unreadable, number, read_from_text};
use std::{fmt, str::FromStr};

/// nmol/l in one ng/ml: 1000 divided by the molar mass 314.46 g/mol, given as 3.18 by the Animal
/// Health Laboratory, University of Guelph.
const NMOL_PER_NG: f64 = 3.18;

/// A serum progesterone concentration, 0 to 200 ng/ml.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Progesterone {
    ng_per_ml: f64,
}

impl Progesterone {
    /// Nanograms per millilitre.
    #[must_use]
    pub fn ng_per_ml(self) -> f64 {
        self.ng_per_ml
    }
}

impl FromStr for Progesterone {
    type Err = Unreadable;

    fn from_str(text: &str) -> Result<Self, Unreadable> {
        let (value, unit) = number::split_unit(text.trim());
        let value = number::parse(value).ok_or_else(|| {
            Unreadable::new(
                "not-a-hormone-value",
                format!("`{text}` is not a progesterone value"),
                "write it as 5.6 ng/ml or 17.8 nmol/l",
            )
        })?;
        let ng_per_ml = match unit.to_ascii_lowercase().as_str() {
            "ng/ml" => value,
            "nmol/l" => value / NMOL_PER_NG,
            "" => {
                return Err(Unreadable::new(
                    "unit-missing",
                    format!("`{text}` does not say in which unit"),
                    format!("write `{text} ng/ml` or `{text} nmol/l`"),
                ));
            }
            other => {
                return Err(Unreadable::new(
                    "unit-unknown",
                    format!("`{other}` is not a unit of progesterone"),
                    "use ng/ml or nmol/l",
                ));
            }
        };
        if ng_per_ml <= 200.0 {
            Ok(Self { ng_per_ml })
        } else {
            Err(Unreadable::new(
                "out-of-range",
                format!("`{text}` is higher than any bitch's progesterone"),
                "check the unit: ng/ml is about a third of nmol/l",
            ))
        }
    }
}

impl fmt::Display for Progesterone {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} ng/ml", number::show(self.ng_per_ml, 2))
    }
}

read_from_text!(Progesterone, "Progesterone", {
    "type": "string",
    "description": "a progesterone value with its unit: 5.6 ng/ml or 17.8 nmol/l",
    "pattern": "^[0-9][0-9.,]* ?(ng/ml|nmol/l)$",
});

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nmol_per_litre_converts_as_the_guelph_laboratory_gives_it() {
        // Animal Health Laboratory, University of Guelph: 1 ng/ml = 3.18 nmol/l; so 2 ng/ml = 6.36,
        // 10 = 31.8, 20 = 63.6 nmol/l.
        for (nmol, ng) in [
            ("6.36 nmol/l", 2.0),
            ("31.8 nmol/L", 10.0),
            ("63.6 nmol/l", 20.0),
            ("4.77 nmol/l", 1.5),
        ] {
            assert!(
                (nmol.parse::<Progesterone>().unwrap().ng_per_ml() - ng).abs() < 1e-9,
                "{nmol}"
            );
        }
    }

    #[test]
    fn a_unit_is_needed() {
        assert_eq!(
            "5.6".parse::<Progesterone>().unwrap_err().code,
            "unit-missing"
        );
        assert_eq!(
            "300 ng/ml".parse::<Progesterone>().unwrap_err().code,
            "out-of-range"
        );
    }
}
