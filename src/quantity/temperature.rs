//! Body temperatures. Base unit: degree Celsius.
//!
//! In: `35.8 °C`, `35.8 C`, `96.4 °F`. Out: a [`Temperature`] between 20 and 45 °C, the range a
//! living dog and its thermometer can show.

use super::{Unreadable, number, read_from_text};
use std::{fmt, str::FromStr};

/// A body temperature, 20 to 45 °C.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Temperature {
    celsius: f64,
}

impl Temperature {
    /// Degrees Celsius.
    #[must_use]
    pub fn celsius(self) -> f64 {
        self.celsius
    }
}

impl FromStr for Temperature {
    type Err = Unreadable;

    fn from_str(text: &str) -> Result<Self, Unreadable> {
        let (value, unit) = number::split_unit(text.trim());
        let value = number::parse(value).ok_or_else(|| {
            Unreadable::new(
                "not-a-temperature",
                format!("`{text}` is not a temperature"),
                "write it as 35.8 °C or 96.4 °F",
            )
        })?;
        let celsius = match unit.trim_start_matches(['°', 'º']).trim() {
            "C" | "c" => value,
            "F" | "f" => (value - 32.0) / 1.8,
            "" => {
                let unit = if value > 60.0 { "°F" } else { "°C" };
                return Err(Unreadable::new(
                    "unit-missing",
                    format!("`{text}` does not say in which unit"),
                    format!("write `{text} {unit}` if that is what you read"),
                ));
            }
            other => {
                return Err(Unreadable::new(
                    "unit-unknown",
                    format!("`{other}` is not a unit of temperature"),
                    "use °C or °F",
                ));
            }
        };
        if (20.0..=45.0).contains(&celsius) {
            Ok(Self { celsius })
        } else {
            Err(Unreadable::new(
                "out-of-range",
                format!("`{text}` is no body temperature"),
                "a body temperature lies between 20 and 45 °C (68 and 113 °F)",
            ))
        }
    }
}

impl fmt::Display for Temperature {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:.1} °C", self.celsius)
    }
}

read_from_text!(Temperature, "Temperature", {
    "type": "string",
    "description": "a body temperature with its unit: 35.8 °C or 96.4 °F",
    "pattern": "^[0-9][0-9.,]* ?[°º]?[CcFf]$",
});

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn fahrenheit_agrees_with_celsius() {
        // The definition of the Fahrenheit scale: 94 °F = 34.44 °C, 101 °F = 38.33 °C.
        for (f, c) in [("94 °F", 34.44), ("99 F", 37.22), ("101 °F", 38.33)] {
            assert!(
                (f.parse::<Temperature>().unwrap().celsius() - c).abs() < 0.01,
                "{f}"
            );
        }
    }

    #[test]
    fn a_bare_or_impossible_value_is_refused() {
        assert_eq!(
            "96.4".parse::<Temperature>().unwrap_err().hint,
            "write `96.4 °F` if that is what you read"
        );
        for text in ["358 °C", "5 °C", "35.8 K", "warm", "", "-36 °C"] {
            assert!(text.parse::<Temperature>().is_err(), "{text}");
        }
    }
}
