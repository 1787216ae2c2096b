//! Small things that acts share: blocks of a record, free names, texts in an address.

use crate::app::recording::Work;
use crate::quantity::Id;
use crate::records::changing::Change;
use serde_yaml::{Mapping, Value};

/// A block of those keys that have a value.
pub(super) fn block<const N: usize>(keys: [(&str, Option<String>); N]) -> Mapping {
    let keys = keys.into_iter();
    keys.filter_map(|(key, value)| Some((key.into(), value?.into())))
        .collect()
}

/// A value as it is written, where there is one.
pub(super) fn text(value: Option<impl ToString>) -> Option<String> {
    value.map(|value| value.to_string())
}

/// A record that begins with this.
pub(super) fn new_record(value: impl Into<Value>) -> Work {
    Work::Changed(vec![Change::set(Vec::new(), value)])
}

/// A name of the records that is still free, made from a name; of one that cannot be spelt, from
/// what it is.
pub(super) fn free_id(name: &str, what: &str, is_taken: impl Fn(&str) -> bool) -> String {
    let wanted = Id::made_of(name)
        .filter(|name| name.parse::<Id>().is_ok())
        .unwrap_or_else(|| what.to_owned());
    let later = (2..).map(|n| format!("{wanted}-{n}"));
    std::iter::once(wanted.clone())
        .chain(later)
        .find(|id| !is_taken(id))
        .unwrap_or(wanted)
}

/// A time of day as the records write it, from what is quickly typed: 0312, 312, 3.12 or 3 12.
/// What is something else stays as it was typed.
pub(super) fn clock(typed: &str) -> String {
    let parts: Vec<&str> = typed.trim().split(['.', ' ', 'h', 'H']).collect();
    let is_number = |part: &&str| !part.is_empty() && part.bytes().all(|b| b.is_ascii_digit());
    if !parts.iter().all(is_number) {
        return typed.to_owned();
    }
    match parts[..] {
        [one] if matches!(one.len(), 3 | 4) => {
            let (hours, minutes) = one.split_at(one.len() - 2);
            format!("{hours:0>2}:{minutes}")
        }
        [hours, minutes] if hours.len() <= 2 && minutes.len() == 2 => {
            format!("{hours:0>2}:{minutes}")
        }
        _ => typed.to_owned(),
    }
}

/// A place in a list, in words.
pub(super) fn place(n: usize) -> String {
    match n {
        0 => "first".to_owned(),
        1 => "second".to_owned(),
        2 => "third".to_owned(),
        n => format!("number {}", n + 1),
    }
}

/// A text as a value in an address (RFC 3986, section 2).
pub(crate) fn encoded(text: &str) -> String {
    text.bytes()
        .map(|byte| match byte {
            b'a'..=b'z' | b'A'..=b'Z' | b'0'..=b'9' | b'-' | b'.' | b'_' | b'~' => {
                char::from(byte).to_string()
            }
            byte => format!("%{byte:02X}"),
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::clock;
    use crate::quantity::BirthTime;

    #[test]
    fn a_time_that_was_typed_in_a_hurry_is_read_and_nothing_else_becomes_one() {
        for typed in ["0312", "312", "3.12", "03.12", "3 12", "3h12", " 0312 "] {
            assert_eq!(clock(typed), "03:12", "{typed}");
        }
        for other in [
            "03:12",
            "3",
            "31",
            "03123",
            "3.1",
            "3.123",
            "2026-11-23 03:12",
            "soon",
            ".",
        ] {
            assert_eq!(clock(other), other);
        }
        // A time that there is not is told as it would be read.
        for none in ["2560", "3.75"] {
            assert!(clock(none).parse::<BirthTime>().is_err(), "{none}");
        }
    }
}
