//! One new entry of a list, as the lines it will be written in.
//!
//! In: keys with values in the order in which they shall stand. Out: YAML lines in the style of the
//! record guide. A value is written without quotes only where no YAML reader could take it for
//! anything but that text.

/// An entry: `NewEntry::new().with("at", "2026-10-06 07:30").with("fern", "231 g")`.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct NewEntry {
    keys: Vec<(String, EntryValue)>,
}

/// What stands behind a key.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum EntryValue {
    /// One value.
    One(String),
    /// `[moss, wren]`.
    Several(Vec<String>),
    /// `{ product: Vermisol, batch: V-118 }`.
    Keys(Vec<(String, EntryValue)>),
}

impl From<&str> for EntryValue {
    fn from(text: &str) -> Self {
        Self::One(text.to_owned())
    }
}

impl From<String> for EntryValue {
    fn from(text: String) -> Self {
        Self::One(text)
    }
}

impl NewEntry {
    /// An entry without keys, to be filled.
    #[must_use]
    pub fn new() -> Self {
        Self::default()
    }

    /// Adds a key.
    #[must_use]
    pub fn with(mut self, key: &str, value: impl Into<EntryValue>) -> Self {
        self.keys.push((key.to_owned(), value.into()));
        self
    }

    /// Adds a key, when there is something to say.
    #[must_use]
    pub fn with_some(self, key: &str, value: Option<impl Into<EntryValue>>) -> Self {
        match value {
            Some(value) => self.with(key, value),
            None => self,
        }
    }

    /// The lines of the entry, each ended.
    pub(super) fn lines(&self, indent: &str, line_end: &str) -> String {
        let mut out = String::new();
        for (n, (key, value)) in self.keys.iter().enumerate() {
            let lead = if n == 0 { "- " } else { "  " };
            out.push_str(&format!(
                "{indent}{lead}{}: {}{line_end}",
                key_text(key),
                written(value, false)
            ));
        }
        out
    }
}

fn written(value: &EntryValue, inside: bool) -> String {
    match value {
        EntryValue::One(text) => scalar(text, inside),
        EntryValue::Several(texts) => format!(
            "[{}]",
            texts
                .iter()
                .map(|text| scalar(text, true))
                .collect::<Vec<_>>()
                .join(", ")
        ),
        EntryValue::Keys(keys) if keys.is_empty() => "{}".to_owned(),
        EntryValue::Keys(keys) => {
            let keys: Vec<String> = keys
                .iter()
                .map(|(key, value)| format!("{}: {}", key_text(key), written(value, true)))
                .collect();
            format!("{{ {} }}", keys.join(", "))
        }
    }
}

/// A key: the names of the records stand without quotes, `on` among them, as keepers write them.
fn key_text(key: &str) -> String {
    let is_name = key.starts_with(|c: char| c.is_ascii_lowercase())
        && key
            .bytes()
            .all(|b| b.is_ascii_lowercase() || b.is_ascii_digit() || matches!(b, b'-' | b'_'));
    if is_name && !matches!(key, "null" | "true" | "false") {
        key.to_owned()
    } else {
        scalar(key, true)
    }
}

/// A text as YAML writes it; `inside` brackets a comma ends a value.
pub(crate) fn scalar(text: &str, inside: bool) -> String {
    if is_plain(text, inside) {
        return text.to_owned();
    }
    let mut out = String::from('"');
    for c in text.chars() {
        match c {
            '"' => out.push_str("\\\""),
            '\\' => out.push_str("\\\\"),
            '\n' => out.push_str("\\n"),
            '\r' => out.push_str("\\r"),
            '\t' => out.push_str("\\t"),
            // What no reader would take as it stands: control characters, marks, other line ends.
            c if c.is_control()
                || matches!(
                    c,
                    '\u{85}'
                        | '\u{a0}'
                        | '\u{2028}'
                        | '\u{2029}'
                        | '\u{feff}'
                        | '\u{fffe}'
                        | '\u{ffff}'
                ) =>
            {
                out.push_str(&format!("\\U{:08X}", u32::from(c)));
            }
            c => out.push(c),
        }
    }
    out.push('"');
    out
}

fn is_plain(text: &str, inside: bool) -> bool {
    let letters = |c: char| {
        c.is_alphanumeric()
            || matches!(
                c,
                ' ' | '.' | '-' | '/' | '°' | '%' | '+' | '(' | ')' | '\'' | '’' | ':'
            )
            || (c == ',' && !inside)
    };
    text.starts_with(char::is_alphanumeric)
        && text.chars().all(letters)
        && !text.ends_with([' ', ':'])
        && !text.contains(": ")
        && !text.contains("  ")
        && text.chars().count() <= 200
        && !is_other_kind(text)
}

/// Whether some YAML reader would take the bare text for a number, a time, a truth value or
/// nothing.
fn is_other_kind(text: &str) -> bool {
    const WORDS: [&str; 10] = [
        "true", "false", "yes", "no", "on", "off", "null", "y", "n", "nan",
    ];
    let lower = text.to_ascii_lowercase();
    // `12`, `1.5e3`, `0x1F`, `09:14`; a date alone or with its time is how the records are written.
    let number = lower.bytes().all(|b| {
        b.is_ascii_hexdigit() || matches!(b, b'.' | b',' | b'+' | b':' | b'x' | b'o' | b'_')
    });
    let exponent = lower.parse::<f64>().is_ok();
    WORDS.contains(&lower.as_str())
        || exponent
        || (number && lower.starts_with(|c: char| c.is_ascii_digit()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_entry_reads_as_the_record_guide_writes_it() {
        let entry = NewEntry::new()
            .with("on", "2026-04-15")
            .with(
                "for",
                EntryValue::Several(vec!["moss".into(), "wren".into()]),
            )
            .with(
                "worming",
                EntryValue::Keys(vec![
                    ("product".into(), "Vermisol".into()),
                    ("batch".into(), "118".into()),
                ]),
            )
            .with_some("remark", Some("both took it, at once"));
        let lines = "- on: 2026-04-15\n  for: [moss, wren]\n  worming: { product: Vermisol, \
                     batch: \"118\" }\n  remark: both took it, at once\n";
        assert_eq!(entry.lines("", "\n"), lines);
        assert_eq!(
            NewEntry::new()
                .with("at", "2026-10-06 07:30")
                .with("fern", "8 1/4 oz")
                .lines("  ", "\r\n"),
            "  - at: 2026-10-06 07:30\r\n    fern: 8 1/4 oz\r\n"
        );
    }

    #[test]
    fn what_could_be_taken_for_something_else_stands_in_quotes() {
        for text in [
            "12", "1e3", "09:14", "yes", "No", "null", "~", "a: b", "a #b", "- a", "&a", "*a",
            "!x", "a\nb", "", " a", "a ", "0x1f", "\"a\"", "x:", "a\u{85}b",
        ] {
            assert!(scalar(text, false).starts_with('"'), "{text}");
        }
        for text in [
            "231 g",
            "2026-10-06 07:30",
            "M.",
            "8 1/4 oz",
            "35.9 °C",
            "wet, and cold",
            "Zoë’s",
        ] {
            assert_eq!(scalar(text, false), text);
        }
        assert!(scalar("wet, and cold", true).starts_with('"'));
    }
}
