//! Microchip numbers as printed on the certificate.
//!
//! In: 15 digits, with or without spaces and hyphens, also in quotes. Out: a [`ChipNumber`] that
//! ISO 11784 allows. There is no check digit in the printed number, so a typing slip that keeps to
//! the form cannot be seen.

use super::{Unreadable, many, read_from_text};
use std::{fmt, str::FromStr};

/// The largest identity that the 38 bits of ISO 11784 hold.
const LARGEST_IDENTITY: u64 = (1 << 38) - 1;

/// A 15-digit transponder code: 3 digits country (ISO 3166 numeric) or manufacturer (900 to 998),
/// 12 digits identity.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct ChipNumber(String);

impl ChipNumber {
    /// The 15 digits.
    #[must_use]
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

impl FromStr for ChipNumber {
    type Err = Unreadable;

    fn from_str(text: &str) -> Result<Self, Unreadable> {
        let digits: String = in_quotes(text).chars().filter(|c| !parts(*c)).collect();
        let refuse =
            |message: String, hint: &str| Err(Unreadable::new("not-a-chip-number", message, hint));
        if digits.len() != 15 || !digits.bytes().all(|b| b.is_ascii_digit()) {
            let (message, hint) = not_fifteen(&digits);
            return refuse(message, hint);
        }
        let (prefix, identity) = digits.split_at(3);
        let prefix: u64 = prefix.parse().unwrap_or(0);
        let identity: u64 = identity.parse().unwrap_or(u64::MAX);
        if prefix == 0 || prefix == 999 {
            return refuse(
                format!("no chip sold begins with {prefix:03}"),
                "the first three digits are a country or a manufacturer (900 to 998)",
            );
        }
        if identity > LARGEST_IDENTITY {
            return refuse(
                "the last twelve digits are more than a chip can hold".to_owned(),
                "ISO 11784 allows at most 274877906943: check for a slip",
            );
        }
        Ok(Self(digits))
    }
}

/// What stands between digits where they are printed in groups.
fn parts(c: char) -> bool {
    c.is_whitespace() || matches!(c, '-' | '\u{2010}'..='\u{2013}')
}

/// A text without the quotes around it, which belong to a way of writing and not to the number.
fn in_quotes(text: &str) -> &str {
    let text = text.trim();
    let quotes = [
        '"', '\'', '\u{201c}', '\u{201d}', '\u{201e}', '\u{2018}', '\u{2019}',
    ];
    text.strip_prefix(quotes)
        .and_then(|text| text.strip_suffix(quotes))
        .unwrap_or(text)
}

/// What is wrong with a number that is not 15 digits, and what to look at.
fn not_fifteen(text: &str) -> (String, &'static str) {
    let count = text.chars().filter(char::is_ascii_digit).count();
    let digits = match count {
        0 => "no digit".to_owned(),
        _ => many(count, "digit"),
    };
    let mut others: Vec<char> = text.chars().filter(|c| !c.is_ascii_digit()).collect();
    others.dedup();
    let hint = match others[..] {
        ['O' | 'o'] => "look at the certificate: is the letter O a zero?",
        ['I' | 'l' | 'i'] => "look at the certificate: is the letter a one?",
        _ if count > 15 => "compare it with the certificate, which has 15 digits",
        _ => "copy all 15 digits from the certificate",
    };
    if others.is_empty() {
        return (
            format!("a chip number has 15 digits, this has {count}"),
            hint,
        );
    }
    let shown: Vec<String> = others.iter().take(3).map(|c| format!("`{c}`")).collect();
    let message = format!(
        "a chip number has 15 digits and nothing else, this has {digits} and {}",
        shown.join(", ")
    );
    (message, hint)
}

impl fmt::Display for ChipNumber {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

read_from_text!(ChipNumber, "ChipNumber", {
    "type": "string",
    "description": "15 digits in quotes, as on the certificate",
    "pattern": "^[0-9 -]{15,19}$",
});

#[cfg(test)]
mod tests {
    use super::*;

    /// The bit fields of ISO 11784: 1 animal flag, 14 reserved, 1 more-data flag, 10 country, 38
    /// identity.
    fn printed(code: u64) -> String {
        format!("{:03}{:012}", (code >> 38) & 0x3ff, code & LARGEST_IDENTITY)
    }

    #[test]
    fn codes_read_by_scanners_print_as_numbers_that_are_accepted() {
        // Hexadecimal frames and their printed numbers from a public question-and-answer thread,
        // checked against the bit fields of ISO 11784.
        for (code, number) in [
            (0x8000_F580_076C_2BA9_u64, "982000124529577"),
            (0x8000_F580_076C_2C34, "982000124529716"),
            (0x8000_F580_076C_2DD4, "982000124530132"),
        ] {
            assert_eq!(printed(code), number);
            assert_eq!(number.parse::<ChipNumber>().unwrap().as_str(), number);
        }
    }

    #[test]
    fn quotes_blanks_and_hyphens_around_the_digits_are_taken() {
        for text in [
            "\"941000024681357\"",
            " '941 000 024 681 357' ",
            "\u{201c}941-000-024-681-357\u{201d}",
            "941\u{a0}000024681357",
        ] {
            let read = text.parse::<ChipNumber>().unwrap();
            assert_eq!(read.as_str(), "941000024681357", "{text}");
        }
    }

    #[test]
    fn what_is_no_chip_number_is_told_by_its_digits() {
        for (text, message) in [
            ("94100002468135", "15 digits, this has 14"),
            ("\"94100002468135\"", "15 digits, this has 14"),
            ("9410000246813570", "15 digits, this has 16"),
            ("94100002468135x", "this has 14 digits and `x`"),
            ("94100002468135O", "this has 14 digits and `O`"),
            ("none", "this has no digit and `n`, `o`, `n`"),
            ("", "15 digits, this has 0"),
        ] {
            let why = text.parse::<ChipNumber>().unwrap_err();
            assert!(why.message.ends_with(message), "{text}: {}", why.message);
            assert!(!why.hint.contains("quote"), "{}", why.hint);
        }
        let zero = "94100002468135O".parse::<ChipNumber>().unwrap_err();
        assert!(zero.hint.ends_with("is the letter O a zero?"));
    }

    #[test]
    fn the_limits_of_iso_11784_hold() {
        assert!("941274877906943".parse::<ChipNumber>().is_ok());
        for text in [
            "941274877906944",
            "999000000000001",
            "94100002468135",
            "000123456789012",
            "94100002468135x",
            "",
        ] {
            assert!(text.parse::<ChipNumber>().is_err(), "{text}");
        }
        assert_eq!(
            "941 000 024 681 357"
                .parse::<ChipNumber>()
                .unwrap()
                .as_str(),
            "941000024681357"
        );
    }
}
