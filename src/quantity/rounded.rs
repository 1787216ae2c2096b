//! Numbers as pages show most of them: whole, or with one decimal.
//!
//! In: any number. Out: the digits that `{:.0}` and `{:.1}` write, which a book of records asks for
//! a hundred thousand times; those work out every digit of a number exactly before they round it.

use std::fmt;

/// A number rounded to a whole one.
#[derive(Debug, Clone, Copy)]
pub struct Whole(pub f64);

/// A number rounded to one decimal.
#[derive(Debug, Clone, Copy)]
pub struct Tenths(pub f64);

impl fmt::Display for Whole {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match nearest(self.0) {
            Some(whole) => write_digits(f, self.0, whole, None),
            None => write!(f, "{:.0}", self.0),
        }
    }
}

impl fmt::Display for Tenths {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match nearest(self.0 * 10.0) {
            Some(tenths) => write_digits(f, self.0, tenths / 10, Some(tenths % 10)),
            None => write!(f, "{:.1}", self.0),
        }
    }
}

/// A share in percent as it is rounded to be shown. Weights are kept to the nanogram, and ounces
/// are often no whole number of them: what is less than 10^-7 percentage points does not count,
/// so that a share is rounded alike in both units.
#[must_use]
pub fn settled(percent: f64) -> f64 {
    (percent * 1e7).round() / 1e7
}

/// The number that a page shows of a share, to a tenth: what is printed decides, where a limit is
/// held against it. NaN stays NaN.
#[must_use]
pub fn shown(percent: f64) -> f64 {
    let text = Tenths(settled(percent)).to_string();
    text.parse().unwrap_or(f64::NAN)
}

/// Writes the sign of a number, a whole number below 10^9 and a decimal, in one piece.
fn write_digits(
    f: &mut fmt::Formatter<'_>,
    number: f64,
    whole: u64,
    tenth: Option<u64>,
) -> fmt::Result {
    let digit = |n: u64| b'0' + u8::try_from(n % 10).unwrap_or_default();
    let mut text = [0; 16];
    let mut at = text.len();
    let mut put = |byte| {
        at -= 1;
        text[at] = byte;
    };
    if let Some(tenth) = tenth {
        put(digit(tenth));
        put(b'.');
    }
    put(digit(whole));
    let mut rest = whole / 10;
    while rest > 0 {
        put(digit(rest));
        rest /= 10;
    }
    if number.is_sign_negative() {
        put(b'-');
    }
    f.write_str(str::from_utf8(&text[at..]).unwrap_or_default())
}

/// The whole number nearest to the size of one, where it is plain which that is: in between two
/// lies what the multiplication before may have pushed to the other side.
fn nearest(number: f64) -> Option<u64> {
    let size = number.abs();
    if size >= 1e9 || size.is_nan() {
        return None;
    }
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "it is positive and small enough"
    )]
    let below = size as u64;
    let over = size.fract() - 0.5;
    (over.abs() > 1e-6).then(|| below + u64::from(over > 0.0))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::Weight;
    use proptest::prelude::*;

    #[test]
    fn a_share_is_rounded_alike_in_grams_and_ounces() {
        // 1 oz is 28.349523125 g (international agreement of 1959): a tenth of it is no whole
        // number of nanograms, and 21 of 112 parts are 18.75 %, a tie at one decimal.
        let ounces = |tenths: f64| format!("{} oz", tenths / 10.0).parse::<Weight>().unwrap();
        let grams = |tenths: f64| {
            let text = format!("{:.9} g", tenths * 2.834_952_312_5);
            text.parse::<Weight>().unwrap()
        };
        for before in 20_u32..400 {
            for after in 20..before {
                let (before, after) = (f64::from(before), f64::from(after));
                let share = |of: f64, now: f64| settled((now / of - 1.0) * 100.0);
                let one = share(ounces(before).grams(), ounces(after).grams());
                let other = share(grams(before).grams(), grams(after).grams());
                assert_eq!(one.to_bits(), other.to_bits());
                let exact = (after - before) * 1000.0 / before;
                if (exact.abs() * 2.0).fract() == 0.0 {
                    assert!((one * 10.0 - exact).abs() == 0.0, "{before} {after} {one}");
                }
            }
        }
    }

    #[test]
    fn a_limit_is_held_against_what_is_printed() {
        // Ties by their binary value: 1.45 lies below it, 10.25 and 0.75 are exact and go to the
        // even digit.
        for (number, is_shown) in [(1.45, 1.4), (10.25, 10.2), (0.75, 0.8), (-10.25, -10.2)] {
            for noise in [-1e-12, 0.0, 1e-12] {
                let at = shown(number + noise);
                assert!((at - is_shown).abs() < 1e-12, "{number} {noise} {at}");
            }
        }
        assert!(shown(f64::NAN).is_nan());
    }

    fn agrees(number: f64) {
        assert_eq!(Whole(number).to_string(), format!("{number:.0}"));
        assert_eq!(Tenths(number).to_string(), format!("{number:.1}"));
    }

    #[test]
    fn borders_and_strange_numbers_are_written_as_the_standard_library_writes_them() {
        for number in [
            0.0,
            0.04,
            0.05,
            0.25,
            0.35,
            0.5,
            1.5,
            2.5,
            9.95,
            99.95,
            0.949_999_999_999_999_9,
            1e8,
            1e9,
            1e15,
            1e300,
            f64::INFINITY,
            f64::NAN,
        ] {
            agrees(number);
            agrees(-number);
        }
        for tenth in -20_000..20_000 {
            agrees(f64::from(tenth) / 10.0);
            agrees(f64::from(tenth) / 20.0);
            agrees(f64::from(tenth) / 100.0);
        }
    }

    proptest! {
        #[test]
        fn every_number_is_written_as_the_standard_library_writes_it(
            number in prop_oneof![any::<f64>(), -1e5..1e5, -50.0..50.0],
        ) {
            agrees(number);
        }
    }
}
