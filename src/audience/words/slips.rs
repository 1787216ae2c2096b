//! Slips of the pen in words.
//!
//! In: what happened to a weight on its way to the paper. Out: phrases without full stop.

use crate::husbandry::slips::SlipKind;
use crate::quantity::WeightUnit;

/// What happened, as a short question.
#[must_use]
pub fn kind(kind: SlipKind) -> String {
    match kind {
        SlipKind::TooManyDigits => "a digit too many, or the decimal point slipped?".to_owned(),
        SlipKind::TooFewDigits => "a digit too few, or the decimal point slipped?".to_owned(),
        SlipKind::WrongUnit { written, meant } => {
            format!("{} written as {}?", units(meant), units(written))
        }
        SlipKind::DigitLeftOut => "a digit left out?".to_owned(),
        SlipKind::DigitsTransposed => "two digits changed places?".to_owned(),
    }
}

fn units(unit: WeightUnit) -> &'static str {
    match unit {
        WeightUnit::Gram => "grams",
        WeightUnit::Kilogram => "kilograms",
        WeightUnit::Ounce => "ounces",
        WeightUnit::Pound => "pounds",
    }
}

/// What looks wrong with a weight in grams, and what probably happened.
#[must_use]
pub fn value(written_grams: f64, likely_grams: f64, slip: SlipKind) -> String {
    let (times, way) = if written_grams > likely_grams {
        (written_grams / likely_grams, "heavy")
    } else {
        (likely_grams / written_grams, "light")
    };
    match slip {
        SlipKind::DigitLeftOut | SlipKind::DigitsTransposed => format!(
            "does not fit the weights around it: {} about {likely_grams:.0} g would fit",
            kind(slip)
        ),
        _ if times < 99.95 => format!("{times:.1} times too {way}: {}", kind(slip)),
        _ => format!("{times:.0} times too {way}: {}", kind(slip)),
    }
}

/// What looks wrong with the weights of two puppies.
pub const EXCHANGED: &str = "the weights of these two fit far better the other way round: \
                             exchanged in this weigh-in?";

/// Likelihood ratios are rough: a power of ten says enough.
#[must_use]
pub fn likelier(times: f64) -> &'static str {
    match times {
        t if t < 1e4 => "thousands of",
        t if t < 1e6 => "ten thousands of",
        _ => "millions of",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_words_say_what_to_look_at() {
        // 1 oz is 28.349523125 g (international agreement of 1959).
        let ounces = SlipKind::WrongUnit {
            written: WeightUnit::Gram,
            meant: WeightUnit::Ounce,
        };
        assert_eq!(
            value(297.0 / 28.349_523_125, 297.0, ounces),
            "28.3 times too light: ounces written as grams?"
        );
        assert_eq!(
            value(2970.0, 297.0, SlipKind::TooManyDigits),
            "10.0 times too heavy: a digit too many, or the decimal point slipped?"
        );
        assert_eq!(
            value(821.0, 281.0, SlipKind::DigitsTransposed),
            "does not fit the weights around it: two digits changed places? about 281 g would fit"
        );
        assert_eq!(
            value(2.0, 200.0, SlipKind::TooFewDigits),
            "100 times too light: a digit too few, or the decimal point slipped?"
        );
        assert_eq!(
            value(31.0, 231.0, SlipKind::DigitLeftOut),
            "does not fit the weights around it: a digit left out? about 231 g would fit"
        );
    }
}
