//! Free text a keeper wrote.
//!
//! In: any YAML scalar. Out: a [`Text`] of at most 20,000 characters without control characters or
//! invisible direction marks, which could make a line read differently from what it is. It is still
//! untrusted: whoever prints it into HTML must escape it.

use super::{Unreadable, read_from_text};
use std::{fmt, ops::Deref, str::FromStr};

/// Text without control characters and direction overrides.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Default)]
pub struct Text(String);

impl Text {
    /// Whether a character may not stand in a record: control characters apart from tab and line
    /// ends, and marks that turn the reading direction.
    #[must_use]
    pub fn forbids(c: char) -> bool {
        (c.is_control() && !matches!(c, '\n' | '\r' | '\t'))
            || matches!(
                c,
                '\u{061c}'
                    | '\u{200e}'
                    | '\u{200f}'
                    | '\u{2028}'..='\u{202e}'
                    | '\u{2066}'..='\u{2069}'
                    | '\u{feff}'
                    | '\u{fffe}'
                    | '\u{ffff}'
            )
    }

    /// The text.
    #[must_use]
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

impl FromStr for Text {
    type Err = Unreadable;

    fn from_str(text: &str) -> Result<Self, Unreadable> {
        if let Some(c) = text.chars().find(|c| Self::forbids(*c)) {
            return Err(Unreadable::new(
                "control-character",
                format!(
                    "a character that cannot be seen stands in the text (U+{:04X})",
                    u32::from(c)
                ),
                "delete the value and type it again",
            ));
        }
        if matches!(text.trim(), "" | "~" | "null") {
            return Err(Unreadable::new(
                "empty-text",
                "there is no text here",
                "write something, or take the line out",
            ));
        }
        if text.chars().count() > 20_000 {
            return Err(Unreadable::new(
                "out-of-range",
                "this text is longer than 20,000 characters",
                "make it a note or a page",
            ));
        }
        Ok(Self(text.trim().to_owned()))
    }
}

impl Deref for Text {
    type Target = str;
    fn deref(&self) -> &str {
        &self.0
    }
}

impl fmt::Display for Text {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

read_from_text!(Text, "Text", { "type": "string" });

/// A word with a capital letter at its head.
#[must_use]
pub fn capital(text: &str) -> String {
    let mut chars = text.chars();
    chars
        .next()
        .map(|first| first.to_uppercase().chain(chars).collect())
        .unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_capital_is_made_of_any_first_letter() {
        assert_eq!(
            (capital("worming"), capital("élan"), capital("")),
            ("Worming".to_owned(), "Élan".to_owned(), String::new())
        );
    }

    #[test]
    fn hidden_characters_are_refused_and_ordinary_ones_kept() {
        assert_eq!(
            "Zoë’s 狗 🐕".parse::<Text>().unwrap().as_str(),
            "Zoë’s 狗 🐕"
        );
        for text in [
            "a\u{202e}b",
            "a\u{61c}b",
            "a\u{2028}b",
            "a\u{fffe}b",
            "a\u{0}b",
            "a\u{1b}[31m",
            "\u{2066}x",
        ] {
            assert_eq!(text.parse::<Text>().unwrap_err().code, "control-character");
        }
    }
}
