//! Weights. Base unit: the gram, kept as whole nanograms so that ounces survive a round trip
//! exactly.
//!
//! In: `212 g`, `0.212 kg`, `7 3/4 oz`, `1 lb 2 oz`. Out: a [`Weight`] between 0 and 200 kg. A bare
//! number is never taken for a weight, except through [`WeightEntry`] where the file named its unit
//! once at the head.

use super::{Unreadable, number, read_from_text};
use std::{fmt, str::FromStr};

/// Nanograms in one international avoirdupois ounce, exact: 28.349523125 g (international yard and
/// pound agreement of 1959).
const NG_PER_OZ: f64 = 28_349_523_125.0;
const NG_PER_G: f64 = 1_000_000_000.0;
/// The heaviest weight that is read: 200 kg, above the heaviest dog.
const MOST_KG: f64 = 200.0;

/// A weight of more than 0 and at most 200 kg.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Weight {
    nanograms: i64,
}

/// A unit of weight that records may use.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum WeightUnit {
    /// Gram.
    Gram,
    /// Kilogram, 1000 g.
    Kilogram,
    /// Avoirdupois ounce, 28.349523125 g.
    Ounce,
    /// Avoirdupois pound, 16 oz.
    Pound,
}

impl WeightUnit {
    fn nanograms(self) -> f64 {
        match self {
            Self::Gram => NG_PER_G,
            Self::Kilogram => NG_PER_G * 1000.0,
            Self::Ounce => NG_PER_OZ,
            Self::Pound => NG_PER_OZ * 16.0,
        }
    }

    /// How many grams one of it is.
    #[must_use]
    pub fn grams(self) -> f64 {
        self.nanograms() / NG_PER_G
    }
}

impl WeightUnit {
    /// As it is written in the records: `g`, `kg`, `oz` or `lb`.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Gram => "g",
            Self::Kilogram => "kg",
            Self::Ounce => "oz",
            Self::Pound => "lb",
        }
    }
}

impl FromStr for WeightUnit {
    type Err = Unreadable;

    fn from_str(text: &str) -> Result<Self, Unreadable> {
        match text.trim().to_ascii_lowercase().as_str() {
            "g" | "gram" | "grams" => Ok(Self::Gram),
            "kg" => Ok(Self::Kilogram),
            "oz" => Ok(Self::Ounce),
            "lb" | "lbs" => Ok(Self::Pound),
            "" => Err(Unreadable::new(
                "unit-unknown",
                "no unit of weight stands here",
                "use g, kg, oz or lb",
            )),
            other => Err(Unreadable::new(
                "unit-unknown",
                format!("`{other}` is not a unit of weight"),
                "use g, kg, oz or lb",
            )),
        }
    }
}

impl Weight {
    /// Grams in one international avoirdupois ounce, exact.
    pub const GRAMS_PER_OUNCE: f64 = 28.349_523_125;

    /// A weight in grams; `None` outside 0 (exclusive) to 200 kg.
    #[must_use]
    pub fn from_grams(grams: f64) -> Option<Self> {
        Self::from_nanograms(grams * NG_PER_G)
    }

    /// The weight in grams.
    #[must_use]
    #[expect(
        clippy::cast_precision_loss,
        reason = "200 kg in nanograms is below 2^53"
    )]
    pub fn grams(self) -> f64 {
        self.nanograms as f64 / NG_PER_G
    }

    /// The weight in whole nanograms.
    #[must_use]
    pub fn nanograms(self) -> i64 {
        self.nanograms
    }

    /// A weight in whole nanograms; `None` outside 0 (exclusive) to 200 kg.
    #[must_use]
    #[expect(clippy::cast_precision_loss, reason = "only the range is looked at")]
    pub fn from_whole_nanograms(nanograms: i64) -> Option<Self> {
        Self::from_nanograms(nanograms as f64).map(|_| Self { nanograms })
    }

    /// The weight in avoirdupois ounces.
    #[must_use]
    #[expect(
        clippy::cast_precision_loss,
        reason = "200 kg in nanograms is below 2^53"
    )]
    pub fn ounces(self) -> f64 {
        self.nanograms as f64 / NG_PER_OZ
    }

    /// The weight in words, in grams (kilograms from 5 kg) or in pounds and ounces.
    #[must_use]
    pub fn show(self, in_ounces: bool) -> String {
        if !in_ounces {
            let grams = self.grams();
            return if grams >= 5000.0 {
                format!("{} kg", number::show(grams / 1000.0, 2))
            } else {
                format!("{} g", number::show(grams, 0))
            };
        }
        let tenths = (self.ounces() * 10.0).round();
        let pounds = (tenths / 160.0).floor();
        let ounces = number::show((tenths - pounds * 160.0) / 10.0, 1);
        if pounds > 0.0 {
            format!("{pounds:.0} lb {ounces} oz")
        } else {
            format!("{ounces} oz")
        }
    }

    /// What a scale showed, as a hand types it: `231`, `8.1oz`, `8 1/4 oz`, `1 lb 2`, `231,5`. A
    /// bare number is taken in `unit`. Given back are the weight and the way the records write it,
    /// which keeps the number as it was typed.
    ///
    /// # Errors
    /// When it is no weight of a dog.
    pub fn typed(text: &str, unit: WeightUnit) -> Result<(Self, String), Unreadable> {
        // Spreadsheets and phones put blanks of other kinds between a number and its unit.
        let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
        let weight = text.parse::<WeightEntry>()?.resolve(Some(unit))?;
        let (number, rest) = number::split_unit(&text);
        let letters = rest
            .find(|c: char| !c.is_alphabetic())
            .unwrap_or(rest.len());
        let (written_unit, tail) = rest.split_at(letters);
        let unit = if written_unit.is_empty() {
            unit
        } else {
            written_unit.parse()?
        };
        let (ounces, _) = number::split_unit(tail.trim());
        let written = format!(
            "{number} {}{}",
            unit.name(),
            if ounces.is_empty() {
                String::new()
            } else {
                format!(" {ounces} oz")
            }
        );
        let written = written.replace(',', ".");
        match written.parse::<Self>() {
            Ok(again) if again == weight => Ok((weight, written)),
            _ => Err(Unreadable::new(
                "not-a-weight",
                format!("`{text}` is not a weight"),
                "write a number and its unit, such as 212 g or 7 3/4 oz",
            )),
        }
    }

    #[expect(
        clippy::cast_possible_truncation,
        reason = "the range was checked in the line above"
    )]
    fn from_nanograms(nanograms: f64) -> Option<Self> {
        let in_range = (NG_PER_G..=MOST_KG * 1000.0 * NG_PER_G).contains(&nanograms);
        in_range.then(|| Self {
            nanograms: nanograms.round() as i64,
        })
    }

    fn of(value: f64, unit: WeightUnit, text: &str) -> Result<Self, Unreadable> {
        Self::from_nanograms(value * unit.nanograms()).ok_or_else(|| {
            Unreadable::new(
                "out-of-range",
                format!("`{text}` is no weight of a dog"),
                "a weight is at least 1 g and at most 200 kg, such as 212 g",
            )
        })
    }
}

impl FromStr for Weight {
    type Err = Unreadable;

    fn from_str(text: &str) -> Result<Self, Unreadable> {
        match text.parse()? {
            WeightEntry::Whole(weight) => Ok(weight),
            WeightEntry::Bare(value) => Err(WeightEntry::unit_missing(value)),
        }
    }
}

impl fmt::Display for Weight {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.show(false))
    }
}

read_from_text!(Weight, "Weight", {
    "type": "string",
    "description": "a weight with its unit: 212 g, 0.212 kg, 7 3/4 oz, 1 lb 2 oz",
    "pattern": "^[0-9.,¼½¾⅐-⅞][0-9., /⁄¼½¾⅐-⅞]*(g|kg|oz|lb)( [0-9.,¼½¾⅐-⅞][0-9., /⁄¼½¾⅐-⅞]*oz)?$",
});

/// A weight as written in a weigh-in: complete, or a bare number that needs the unit named at the
/// head of the file.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum WeightEntry {
    /// Carries its own unit.
    Whole(Weight),
    /// A number without a unit.
    Bare(f64),
}

impl WeightEntry {
    /// The weight, taking a bare number in `unit`.
    ///
    /// # Errors
    /// When the number is bare and no unit was named, or it is out of range in that unit.
    pub fn resolve(self, unit: Option<WeightUnit>) -> Result<Weight, Unreadable> {
        match (self, unit) {
            (Self::Whole(weight), _) => Ok(weight),
            (Self::Bare(value), Some(unit)) => Weight::of(value, unit, &number::show(value, 3)),
            (Self::Bare(value), None) => Err(Self::unit_missing(value)),
        }
    }

    fn unit_missing(value: f64) -> Unreadable {
        let shown = number::show(value, 3);
        let unit = if value < 30.0 { "oz" } else { "g" };
        Unreadable::new(
            "unit-missing",
            format!("`{shown}` does not say in which unit"),
            format!("write `{shown} {unit}` if that is what the scale showed"),
        )
    }
}

impl FromStr for WeightEntry {
    type Err = Unreadable;

    fn from_str(text: &str) -> Result<Self, Unreadable> {
        let text = text.trim();
        let unreadable = || {
            Unreadable::new(
                "not-a-weight",
                format!("`{text}` is not a weight"),
                "write a number and its unit, such as 212 g, 7 3/4 oz or 1 lb 2 oz",
            )
        };
        let (value, rest) = number::split_unit(text);
        let value = number::parse(value).ok_or_else(unreadable)?;
        if rest.is_empty() {
            return Ok(Self::Bare(value));
        }
        let letters = rest
            .find(|c: char| !c.is_alphabetic())
            .unwrap_or(rest.len());
        let (unit, tail) = rest.split_at(letters);
        if unit.is_empty() {
            return Err(unreadable());
        }
        let unit: WeightUnit = unit.parse()?;
        let tail = tail.trim();
        if tail.is_empty() {
            return Weight::of(value, unit, text).map(Self::Whole);
        }
        let (ounces, last) = number::split_unit(tail);
        let ounces = number::parse(ounces).ok_or_else(unreadable)?;
        let pounds_and_ounces = unit == WeightUnit::Pound
            && (last.is_empty() || last.eq_ignore_ascii_case("oz"))
            && ounces < 16.0;
        if !pounds_and_ounces {
            return Err(unreadable());
        }
        Weight::of(value * 16.0 + ounces, WeightUnit::Ounce, text).map(Self::Whole)
    }
}

read_from_text!(WeightEntry, "WeightEntry", {
    "type": ["string", "number"],
    "description": "a weight with its unit (212 g, 7 3/4 oz), or a bare number below a block that \
     names the unit",
});
read_from_text!(WeightUnit, "WeightUnit", { "type": "string", "enum": ["g", "kg", "oz", "lb"] });

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn weight(text: &str) -> Weight {
        text.parse().unwrap()
    }

    #[test]
    fn an_ounce_is_exactly_28_349523125_g() {
        // International yard and pound agreement, 1959: 1 lb = 0.45359237 kg.
        assert!((weight("1 oz").grams() - 28.349_523_125).abs() < 1e-12);
        assert!((weight("1 lb").grams() - 453.592_37).abs() < 1e-9);
    }

    #[test]
    fn all_ways_of_writing_agree() {
        assert_eq!(weight("7 3/4 oz"), weight("7.75oz"));
        assert_eq!(weight("1 lb 2 oz"), weight("18 oz"));
        assert_eq!(weight("1 lb 2"), weight("1 lb 2 oz"));
        assert_eq!(weight("0,212 kg"), weight("212 g"));
        assert_eq!(weight("10 ¾ oz"), weight("10 3/4 oz"));
        assert_eq!(weight(".34 kg"), weight("340 g"));
    }

    #[test]
    fn a_bare_number_asks_for_its_unit() {
        let problem = "7.5".parse::<Weight>().unwrap_err();
        assert_eq!(
            (problem.code, problem.hint.as_str()),
            (
                "unit-missing",
                "write `7.5 oz` if that is what the scale showed"
            )
        );
        assert!("231".parse::<Weight>().unwrap_err().hint.contains("231 g"));
        // What begins with a sign has no unit that could be named.
        assert_eq!(
            "231 - 5".parse::<Weight>().unwrap_err().message,
            "`231 - 5` is not a weight"
        );
    }

    #[test]
    fn nonsense_is_refused() {
        for text in [
            "",
            "g",
            "-5 g",
            "0 g",
            "¼ g",
            "212 stone",
            "1 lb 20 oz",
            "1 oz 2 g",
            "201 kg",
            "212 g g",
            "7 3/4",
            "١٢ g",
        ] {
            assert!(text.parse::<Weight>().is_err(), "{text}");
        }
    }

    #[test]
    fn shown_in_either_system() {
        assert_eq!(weight("212.4 g").show(false), "212 g");
        assert_eq!(weight("9.4 kg").show(false), "9.4 kg");
        assert_eq!(weight("18 oz").show(true), "1 lb 2 oz");
        assert_eq!(weight("15.98 oz").show(true), "1 lb 0 oz");
    }

    #[test]
    fn what_is_typed_keeps_its_number_and_gets_its_unit() {
        for (text, unit, written) in [
            ("231", WeightUnit::Gram, "231 g"),
            ("231g", WeightUnit::Ounce, "231 g"),
            (" 231,5 ", WeightUnit::Gram, "231.5 g"),
            ("8.1oz", WeightUnit::Gram, "8.1 oz"),
            ("8 1/4", WeightUnit::Ounce, "8 1/4 oz"),
            ("8  1/4\u{a0}OZ", WeightUnit::Gram, "8 1/4 oz"),
            ("1 lb 2", WeightUnit::Gram, "1 lb 2 oz"),
            ("1lb 2oz", WeightUnit::Gram, "1 lb 2 oz"),
            ("0.231", WeightUnit::Kilogram, "0.231 kg"),
        ] {
            assert_eq!(
                Weight::typed(text, unit).unwrap(),
                (weight(written), written.to_owned()),
                "{text}"
            );
        }
        for text in [
            "", "g", "much", "0", "-3", "231 gg", "1 lb 20", "12 12", "300 kg",
        ] {
            assert!(Weight::typed(text, WeightUnit::Gram).is_err(), "{text}");
        }
    }

    proptest! {
        #[test]
        fn whatever_is_taken_reads_back(
            text in "[0-9]{1,4}([., /][0-9]{1,3})? ?(g|kg|oz|lb|lbs)?( [0-9]{1,2}( ?oz)?)?",
        ) {
            if let Ok((taken, written)) = Weight::typed(&text, WeightUnit::Gram) {
                prop_assert_eq!(weight(&written), taken);
            }
        }

        #[test]
        fn grams_round_trip(tenths in 1_u32..2_000_000) {
            let text = format!("{}.{} g", tenths / 10, tenths % 10);
            prop_assert!((weight(&text).grams() - f64::from(tenths) / 10.0).abs() < 1e-9);
        }

        #[test]
        fn sixteenths_of_an_ounce_round_trip(sixteenths in 1_u32..5000) {
            let text = if sixteenths % 16 == 0 {
                format!("{} oz", sixteenths / 16)
            } else {
                format!("{} {}/16 oz", sixteenths / 16, sixteenths % 16)
            };
            prop_assert!((weight(&text).ounces() * 16.0 - f64::from(sixteenths)).abs() < 1e-6);
        }

        #[test]
        fn no_text_panics(text in ".{0,40}") {
            let _ = text.parse::<WeightEntry>();
        }
    }
}
