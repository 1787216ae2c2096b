//! Numbers as keepers write them on a weigh sheet: `231`, `7.75`, `7,75`, `.75`, `7 3/4`, `7 ¾`,
//! `3/4`.
//!
//! In: the part of a text before the unit. Out: a finite, non-negative number, or nothing. Never
//! rounds and never accepts a sign or an exponent.

/// The fractions that are one character each, with what they stand for (Unicode, block Number Forms
/// and Latin-1).
const FRACTIONS: &[(char, &str)] = &[
    ('¼', "1/4"),
    ('½', "1/2"),
    ('¾', "3/4"),
    ('⅐', "1/7"),
    ('⅑', "1/9"),
    ('⅒', "1/10"),
    ('⅓', "1/3"),
    ('⅔', "2/3"),
    ('⅕', "1/5"),
    ('⅖', "2/5"),
    ('⅗', "3/5"),
    ('⅘', "4/5"),
    ('⅙', "1/6"),
    ('⅚', "5/6"),
    ('⅛', "1/8"),
    ('⅜', "3/8"),
    ('⅝', "5/8"),
    ('⅞', "7/8"),
];

/// The fraction slash, with which some keyboards write 3⁄4.
const FRACTION_SLASH: char = '\u{2044}';

fn is_fraction(c: char) -> bool {
    c == FRACTION_SLASH || FRACTIONS.iter().any(|(one, _)| *one == c)
}

/// Splits `7 3/4 oz` into its number part and its unit part.
pub(super) fn split_unit(text: &str) -> (&str, &str) {
    let end = text
        .find(|c: char| {
            !(c.is_ascii_digit() || matches!(c, '.' | ',' | '/' | ' ') || is_fraction(c))
        })
        .unwrap_or(text.len());
    let (number, unit) = text.split_at(end);
    (number.trim(), unit.trim())
}

/// Reads a whole number, a decimal (point or comma), a fraction, or a whole number with a fraction.
pub(super) fn parse(text: &str) -> Option<f64> {
    let plain;
    let text = if text.chars().any(is_fraction) {
        plain = FRACTIONS
            .iter()
            .fold(text.replace(FRACTION_SLASH, "/"), |text, (one, written)| {
                text.replace(*one, &format!(" {written} "))
            });
        &plain
    } else {
        text
    };
    let mut words = text.split_whitespace();
    let first = words.next()?;
    let value = match (words.next(), words.next()) {
        (None, _) if first.contains('/') => fraction(first)?,
        (None, _) => decimal(first)?,
        (Some(second), None) => whole(first)? + fraction(second)?,
        _ => return None,
    };
    value.is_finite().then_some(value)
}

fn decimal(text: &str) -> Option<f64> {
    let text = text.replacen(',', ".", 1);
    let digits_and_one_point = text.bytes().all(|b| b.is_ascii_digit() || b == b'.')
        && text.bytes().filter(|b| *b == b'.').count() <= 1;
    let digit = |c: char| c.is_ascii_digit();
    let starts_with_digit = text.strip_prefix('.').unwrap_or(&text).starts_with(digit);
    (digits_and_one_point && starts_with_digit && text.len() <= 15).then(|| text.parse().ok())?
}

fn whole(text: &str) -> Option<f64> {
    (text.bytes().all(|b| b.is_ascii_digit()) && text.len() <= 9).then(|| text.parse().ok())?
}

fn fraction(text: &str) -> Option<f64> {
    let (top, bottom) = text.split_once('/')?;
    let (top, bottom) = (whole(top)?, whole(bottom)?);
    (bottom > 0.0 && top < bottom).then_some(top / bottom)
}

/// At most `places` decimals, without trailing zeros: `7.50` becomes `7.5`, `212.0` becomes `212`.
pub(super) fn show(value: f64, places: usize) -> String {
    /// Below it every whole number is an `f64`.
    const WHOLE: f64 = 9_007_199_254_740_992.0;
    // Most weights are whole grams, and those need no decimals worked out.
    if value.fract() == 0.0 && value > 0.0 && value < WHOLE {
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "it is whole, positive and in range"
        )]
        return (value as u64).to_string();
    }
    let text = format!("{value:.places$}");
    if text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.').to_owned()
    } else {
        text
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn reads_what_stands_on_weigh_sheets() {
        for (text, value) in [
            ("231", 231.0),
            ("7.75", 7.75),
            ("7,75", 7.75),
            ("7 3/4", 7.75),
            ("3/4", 0.75),
            ("0.5", 0.5),
            (".34", 0.34),
            (",5", 0.5),
        ] {
            assert_eq!(parse(text), Some(value), "{text}");
        }
    }

    #[test]
    fn reads_fractions_of_one_character() {
        for (text, value) in [
            ("10 ¾", 10.75),
            ("10¾", 10.75),
            ("¾", 0.75),
            ("7 3⁄4", 7.75),
            ("2 ⅛", 2.125),
            ("⅔", 2.0 / 3.0),
        ] {
            assert_eq!(parse(text), Some(value), "{text}");
        }
        assert_eq!(split_unit("10 ¾ oz"), ("10 ¾", "oz"));
        for text in ["¾ ¾", "10.5 ¾", "¾/4", "¾5"] {
            assert_eq!(parse(text), None, "{text}");
        }
    }

    #[test]
    fn shows_no_more_digits_than_there_are() {
        for (value, places, shown) in [
            (7.5, 2, "7.5"),
            (212.0, 0, "212"),
            (212.0, 2, "212"),
            (0.0, 1, "0"),
            (-3.0, 1, "-3"),
            (0.04, 1, "0"),
            (1e15, 1, "1000000000000000"),
        ] {
            assert_eq!(show(value, places), shown);
        }
    }

    #[test]
    fn refuses_what_is_no_plain_number() {
        for text in [
            "",
            "-1",
            "1e3",
            "NaN",
            "inf",
            "7 4/3",
            "7/0",
            "1.2.3",
            ".",
            ".5.",
            "1,2,3",
            "1 2",
            "1234567890123456",
            "7 3/4 1/2",
        ] {
            assert_eq!(parse(text), None, "{text}");
        }
    }
}
