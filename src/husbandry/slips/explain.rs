//! What a weight may have been before it was written.
//!
//! In: a weight in grams. Out: every weight that one usual slip turns into it, each with what
//! happened and how usual that is. Digits are only looked at in whole grams, so a weight that was
//! written in ounces has no digits here; a factor between units fits any weight. Nothing is said
//! about which of them is true.

use super::SlipKind;
use crate::quantity::Weight;
use crate::quantity::WeightUnit::{self, Gram, Kilogram, Ounce, Pound};

const OUNCE: f64 = Weight::GRAMS_PER_OUNCE;
const POUND: f64 = 16.0 * OUNCE;
/// Weights in grams from here on have no digits that are looked at.
pub const TOO_HEAVY: f64 = 100_000.0;
/// The most digits of a weight below that.
const MOST_DIGITS: usize = 5;
/// How far from whole grams a weight with digits may lie, grams: what was computed, not written.
pub const WHOLE: f64 = 1e-6;

/// A weight that one slip turns into the written one.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Explanation {
    /// Natural logarithm of that weight in grams.
    pub(super) log: f64,
    pub(super) kind: SlipKind,
    /// How usual, against each other.
    pub(super) share: f64,
}

/// Slips that multiply a weight: by what the written weight is to be multiplied, what happened, how
/// usual that is against each other (common practice, no source).
pub const FACTORS: [(f64, SlipKind, f64); 14] = [
    (0.1, SlipKind::TooManyDigits, 1.0),
    (0.01, SlipKind::TooManyDigits, 0.3),
    (10.0, SlipKind::TooFewDigits, 1.0),
    (100.0, SlipKind::TooFewDigits, 0.3),
    (OUNCE, unit(Gram, Ounce), 1.0),
    (1.0 / OUNCE, unit(Ounce, Gram), 1.0),
    (POUND / 1000.0, unit(Kilogram, Pound), 0.3),
    (1000.0 / POUND, unit(Pound, Kilogram), 0.3),
    (1000.0, unit(Gram, Kilogram), 0.3),
    (0.001, unit(Kilogram, Gram), 0.3),
    (16.0, unit(Ounce, Pound), 0.1),
    (1.0 / 16.0, unit(Pound, Ounce), 0.1),
    (POUND, unit(Gram, Pound), 0.1),
    (1.0 / POUND, unit(Pound, Gram), 0.1),
];
/// How usual, against these, one digit that does not belong there is (no source) …
pub const EXTRA_DIGIT: f64 = 0.1;
/// … two neighbouring digits that changed places …
pub const TRANSPOSED: f64 = 0.2;
/// … and one certain digit left out at one certain place.
pub const LEFT_OUT: f64 = 0.02;

const fn unit(written: WeightUnit, meant: WeightUnit) -> SlipKind {
    SlipKind::WrongUnit { written, meant }
}

/// Puts all explanations of a weight into `out`, which is emptied first.
pub(super) fn explanations(grams: f64, out: &mut Vec<Explanation>) {
    out.clear();
    let log = grams.ln();
    out.extend(FACTORS.iter().map(|(factor, kind, share)| Explanation {
        log: log + factor.ln(),
        kind: *kind,
        share: *share,
    }));
    let mut digits = [0; MOST_DIGITS];
    let Some(count) = digits_of(grams, &mut digits) else {
        return;
    };
    for place in 0..count {
        put(
            out,
            digits[..count]
                .iter()
                .enumerate()
                .filter(|(index, _)| *index != place)
                .map(|(_, digit)| *digit),
            SlipKind::TooManyDigits,
            EXTRA_DIGIT,
        );
    }
    transposed(&digits[..count], out);
    for place in 0..=count {
        for digit in 0..10 {
            let left_out = digits[..place]
                .iter()
                .copied()
                .chain(std::iter::once(digit))
                .chain(digits[place..count].iter().copied());
            put(out, left_out, SlipKind::DigitLeftOut, LEFT_OUT);
        }
    }
}

fn transposed(digits: &[u8], out: &mut Vec<Explanation>) {
    for place in 1..digits.len() {
        if digits[place] != digits[place - 1] {
            let swapped = (0..digits.len()).map(|index| match index {
                _ if index == place => digits[place - 1],
                _ if index + 1 == place => digits[place],
                _ => digits[index],
            });
            put(out, swapped, SlipKind::DigitsTransposed, TRANSPOSED);
        }
    }
}

/// Adds the weight that these digits make, unless it begins with a nought.
fn put(out: &mut Vec<Explanation>, digits: impl Iterator<Item = u8>, kind: SlipKind, share: f64) {
    let mut digits = digits.peekable();
    if digits.peek().is_some_and(|first| *first > 0) {
        let grams = digits.fold(0.0, |sum, digit| sum * 10.0 + f64::from(digit));
        out.push(Explanation {
            log: grams.ln(),
            kind,
            share,
        });
    }
}

/// The decimal digits of a weight in whole grams, the highest first, and how many there are.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "whole, positive and below a million"
)]
fn digits_of(grams: f64, digits: &mut [u8; MOST_DIGITS]) -> Option<usize> {
    let whole = grams.round();
    if (grams - whole).abs() > WHOLE || !(1.0..TOO_HEAVY).contains(&whole) {
        return None;
    }
    let (mut rest, mut count) = (whole as u32, 0);
    while rest > 0 {
        digits[count] = (rest % 10) as u8;
        rest /= 10;
        count += 1;
    }
    digits[..count].reverse();
    Some(count)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn has(grams: f64, meant: f64, kind: SlipKind) -> bool {
        let mut all = Vec::new();
        explanations(grams, &mut all);
        all.iter()
            .any(|e| e.kind == kind && (e.log - meant.ln()).abs() < 1e-9)
    }

    #[test]
    fn a_digit_may_be_missing_at_every_place() {
        for written in [31.0, 21.0, 23.0] {
            assert!(has(written, 231.0, SlipKind::DigitLeftOut), "{written}");
        }
        assert!(!has(32.0, 231.0, SlipKind::DigitLeftOut));
        assert!(
            has(100.0, 1000.0, SlipKind::DigitLeftOut) && !has(99.5, 995.0, SlipKind::DigitLeftOut),
            "only whole grams have digits"
        );
    }

    #[test]
    fn neighbouring_digits_change_places_but_never_begin_with_a_nought() {
        assert!(
            has(213.0, 231.0, SlipKind::DigitsTransposed)
                && has(321.0, 231.0, SlipKind::DigitsTransposed)
        );
        assert!(
            !has(132.0, 231.0, SlipKind::DigitsTransposed)
                && !has(201.0, 21.0, SlipKind::DigitsTransposed)
        );
    }

    #[test]
    fn a_pressed_digit_may_have_been_taken_twice() {
        assert!(
            has(2231.0, 231.0, SlipKind::TooManyDigits)
                && has(2310.0, 231.0, SlipKind::TooManyDigits)
        );
    }

    #[test]
    fn units_are_those_of_the_international_agreement() {
        // 8 oz = 226.796185 g and 1 lb = 0.45359237 kg, exact (agreement of 1959).
        assert!(
            has(8.0, 226.796_185, unit(Gram, Ounce))
                && has(1000.0, 453.592_37, unit(Kilogram, Pound))
        );
    }

    #[test]
    fn no_weight_is_too_odd() {
        let mut all = Vec::new();
        for grams in [
            f64::MIN_POSITIVE,
            1e-300,
            0.4,
            1.0,
            9.0,
            99_999.0,
            99_999.999_999_9,
            100_000.0,
            1e300,
            f64::MAX,
        ] {
            explanations(grams, &mut all);
            assert!(
                all.len() >= FACTORS.len() && all.iter().all(|e| e.log.is_finite()),
                "{grams}"
            );
        }
    }
}
