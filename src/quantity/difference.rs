//! Differences in words, with their sign; none has none.
//!
//! In: grams, percent. Out: `+12 g`, `−8 g`, `+1.5 oz`, `−3.1 %`, `0 g`. The minus is the sign for
//! it, not the hyphen.

use super::Weight;
use super::rounded::{Tenths, Whole, settled};
use std::fmt::Display;

/// A difference of weight, written as weights are.
#[must_use]
pub fn weight_difference(grams: f64, in_ounces: bool) -> String {
    let size = Weight::from_grams(grams.abs()).map(|weight| weight.show(in_ounces));
    let none = if in_ounces { "0 oz" } else { "0 g" };
    signed(grams, size.as_deref().unwrap_or(none))
}

/// A difference in percent, to a tenth.
#[must_use]
pub fn percent_difference(percent: f64) -> String {
    format!("{} %", tenths_difference(percent))
}

/// A difference to a tenth, without a unit.
#[must_use]
pub fn tenths_difference(number: f64) -> String {
    let number = settled(number);
    signed(number, Tenths(number.abs()))
}

/// A number to a tenth; one below zero has the sign for minus, and no other has a sign.
#[must_use]
pub fn tenths_with_minus(number: f64) -> String {
    tenths_difference(number).trim_start_matches('+').to_owned()
}

/// A difference in percent, to a whole one.
#[must_use]
pub fn whole_percent_difference(percent: f64) -> String {
    signed(percent, format!("{} %", Whole(settled(percent).abs())))
}

fn signed(number: f64, size: impl Display) -> String {
    let size = size.to_string();
    let is_none = number.is_nan() || size.starts_with("0 ") || size == "0.0";
    if is_none {
        size
    } else if number < 0.0 {
        format!("\u{2212}{size}")
    } else {
        format!("+{size}")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_difference_has_its_sign_and_none_has_none() {
        assert_eq!(weight_difference(12.0, false), "+12 g");
        assert_eq!(weight_difference(-8.0, false), "−8 g");
        assert_eq!(weight_difference(0.2, false), "0 g");
        assert_eq!(weight_difference(0.0, true), "0 oz");
        assert_eq!(weight_difference(-28.349_523_125, true), "−1 oz");
        assert_eq!(weight_difference(f64::NAN, false), "0 g");
        assert_eq!(percent_difference(5.12), "+5.1 %");
        assert_eq!(percent_difference(-0.04), "0.0 %");
        assert_eq!(percent_difference(-3.06), "−3.1 %");
        assert_eq!(tenths_with_minus(-0.32), "−0.3");
        assert_eq!(tenths_with_minus(5.0), "5.0");
        // The same weights in ounces and in grams differ by less than this.
        for noise in [-1e-12, 0.0, 1e-12] {
            assert_eq!(tenths_with_minus(10.25 + noise), "10.2");
            assert_eq!(tenths_difference(-10.25 + noise), "−10.2");
        }
        assert_eq!(tenths_with_minus(-0.04), "0.0");
        assert_eq!(whole_percent_difference(26.4), "+26 %");
        assert_eq!(whole_percent_difference(-0.4), "0 %");
    }
}
