//! Small things that acts share: blocks of a record, free names, texts in an address.

use crate::quantity::Id;
use serde_yaml::{Mapping, Value};

/// A block of those keys that have a value.
pub(super) fn block<const N: usize>(keys: [(&str, Option<String>); N]) -> Value {
    let mut block = Mapping::new();
    for (key, value) in keys {
        if let Some(value) = value {
            block.insert(key.into(), Value::String(value));
        }
    }
    Value::Mapping(block)
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
