//! Values as lines of a record, in the style of the guide.
//!
//! In: a YAML value. Out: lines that read back as exactly that value: blocks for what has keys of
//! its own, one line in braces for what lies deeper, quotes only where they are needed.
//! Only what is added to a record is written so; what the keeper wrote is never written anew.

use serde_yaml::{Mapping, Value};

/// The lines of a key and its value, each begun with `indent`.
pub(super) fn entry(key: &str, value: &Value, indent: &str) -> Vec<String> {
    match value {
        Value::Mapping(block) if indent.is_empty() && !block.is_empty() => {
            let mut lines = vec![format!("{key}:")];
            lines.extend(
                block
                    .iter()
                    .flat_map(|(key, value)| entry(&name(key), value, "  ")),
            );
            lines
        }
        Value::Sequence(items) if !items.is_empty() && items.iter().all(Value::is_mapping) => {
            let mut lines = vec![format!("{indent}{key}:")];
            lines.extend(
                items
                    .iter()
                    .map(|item| format!("{indent}  - {}", flow(item))),
            );
            lines
        }
        other => vec![format!("{indent}{key}: {}", flow(other))],
    }
}

/// The lines of one entry of a list, whose dash stands behind `indent`.
pub(super) fn item(block: &Mapping, indent: &str) -> Vec<String> {
    let lines = block
        .iter()
        .flat_map(|(key, value)| entry(&name(key), value, " "));
    // One blank is what keeps `entry` from taking these for keys of the record; the dash or a blank
    // takes its place.
    lines
        .enumerate()
        .map(|(place, line)| {
            format!(
                "{indent}{} {}",
                if place == 0 { "-" } else { " " },
                &line[1..]
            )
        })
        .collect()
}

/// A value on one line.
pub(super) fn flow(value: &Value) -> String {
    match value {
        Value::Mapping(block) if block.is_empty() => "{}".to_owned(),
        Value::Mapping(block) => {
            let entries: Vec<String> = block
                .iter()
                .map(|(key, value)| format!("{}: {}", name(key), flow(value)))
                .collect();
            format!("{{ {} }}", entries.join(", "))
        }
        Value::Sequence(items) => format!(
            "[{}]",
            items.iter().map(flow).collect::<Vec<_>>().join(", ")
        ),
        other => scalar(other),
    }
}

/// A key: those of the records are plain words, `on` among them.
pub(super) fn name(key: &Value) -> String {
    match key {
        Value::String(text)
            if text.bytes().all(|b| b.is_ascii_lowercase() || b == b'_')
                && !text.is_empty()
                && !["true", "false", "null"].contains(&text.as_str()) =>
        {
            text.clone()
        }
        other => scalar(other),
    }
}

fn scalar(value: &Value) -> String {
    match value {
        Value::String(text) if is_plain(text) => text.clone(),
        Value::String(text) => quoted(text),
        Value::Bool(yes) => yes.to_string(),
        Value::Number(number) => number.to_string(),
        // Keys and tags of these kinds are refused when the file is read.
        Value::Null | Value::Sequence(_) | Value::Mapping(_) | Value::Tagged(_) => {
            "null".to_owned()
        }
    }
}

/// Whether a text may stand without quotes, in braces too, and is still that text.
fn is_plain(text: &str) -> bool {
    let date = text.len() == 10
        && text.bytes().enumerate().all(|(at, b)| {
            if at == 4 || at == 7 {
                b == b'-'
            } else {
                b.is_ascii_digit()
            }
        });
    let amount = text.split_once(' ').is_some_and(|(number, unit)| {
        number.bytes().all(|b| b.is_ascii_digit() || b == b'.')
            && number.starts_with(|c: char| c.is_ascii_digit())
            && unit.starts_with(|c: char| c.is_ascii_alphanumeric())
    });
    let word = text.starts_with(|c: char| c.is_ascii_alphabetic());
    let letters = text
        .chars()
        .all(|c| c.is_alphanumeric() || " '()/.°-".contains(c))
        && !text.ends_with(' ');
    let meant = ["true", "false", "yes", "no", "on", "off", "null", "y", "n"]
        .iter()
        .any(|word| text.eq_ignore_ascii_case(word));
    letters && (date || amount || word) && !meant
}

/// In double quotes, on one line, with nothing in it that a line or a terminal would obey.
pub(super) fn quoted(text: &str) -> String {
    let mut out = String::from("\"");
    for c in text.chars() {
        match c {
            '"' => out.push_str("\\\""),
            '\\' => out.push_str("\\\\"),
            '\n' => out.push_str("\\n"),
            '\t' => out.push_str("\\t"),
            c if c.is_control() || matches!(c, '\u{feff}' | '\u{2028}' | '\u{2029}') => {
                out.push_str(&format!("\\U{:08X}", u32::from(c)));
            }
            c => out.push(c),
        }
    }
    out.push('"');
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn any_value() -> impl Strategy<Value = Value> {
        let text = prop_oneof![
            "[a-z 0-9:#,'\"{}\\[\\]|>&*!%@.-]{0,12}",
            "\\PC{0,8}",
            Just("no".to_owned()),
            Just("09:14:32".to_owned()),
            Just("2026-11-08".to_owned()),
            Just("7 3/4 oz".to_owned()),
            Just("1e3".to_owned()),
            Just("\n a\r\n\tb\u{85}".to_owned())
        ];
        let leaf = prop_oneof![
            text.prop_map(Value::String),
            any::<bool>().prop_map(Value::Bool),
            (0u32..5000).prop_map(|n| Value::Number(n.into()))
        ];
        leaf.prop_recursive(2, 12, 4, |inner| {
            prop_oneof![
                prop::collection::vec(inner.clone(), 0..4).prop_map(Value::Sequence),
                prop::collection::vec(("[a-z_]{1,8}", inner), 0..4).prop_map(|entries| {
                    Value::Mapping(
                        entries
                            .into_iter()
                            .map(|(key, value)| (Value::String(key), value))
                            .collect(),
                    )
                }),
            ]
        })
    }

    proptest! {
        #[test]
        fn lines_read_back_as_what_they_were_made_from(
            value in any_value(),
            indent in prop_oneof![Just(""), Just("  ")],
        ) {
            let block: Mapping = [(Value::from("key"), value)].into_iter().collect();
            let text = entry("key", &block["key"], "").join("\n");
            prop_assert_eq!(
                serde_yaml::from_str::<Value>(&text).unwrap(),
                Value::Mapping(block.clone()),
                "{}",
                text
            );
            let text = item(&block, indent).join("\n");
            prop_assert_eq!(
                serde_yaml::from_str::<Value>(&text).unwrap(),
                Value::Sequence(vec![Value::Mapping(block)]),
                "{}",
                text
            );
        }
    }

    #[test]
    fn a_puppy_looks_as_in_the_guide() {
        let text = "  - id: fern\n    born: \"09:14:32\"\n    weight: 7 3/4 oz\n    \
            vigour:\n      - { \
             at: 5 min, heart: 2 }\n    newborn: { limbs: normal, skin: \"loose, dry\" }\n";
        let list: Vec<Mapping> = serde_yaml::from_str(text).unwrap();
        assert_eq!(item(&list[0], "  ").join("\n") + "\n", text);
    }
}
