//! Between what stands in a record and what stands in the fields of a form.
//!
//! In: a form, a record as it was written, texts of fields. Out: texts; values; and, from what was
//! shown, what was sent and what stands there now, the changes that were asked for. A field that
//! was not touched asks for nothing, so that what somebody else changed meanwhile stays; one that
//! both changed to different things is told apart.

use super::shape::{Field, Form, Kind};
use crate::records::changing::Change;
use crate::records::changing::written::Written;
use crate::records::problem::Step;
use serde_yaml::{Mapping, Value};
use std::collections::{BTreeMap, BTreeSet};

/// Texts of fields, by the keys on the way to them with dots between.
pub(crate) type Texts = BTreeMap<String, String>;

/// The name of a field below another.
pub(crate) fn below(prefix: &str, key: &str) -> String {
    if prefix.is_empty() {
        key.to_owned()
    } else {
        format!("{prefix}.{key}")
    }
}

/// As it is compared and shown: line ends of one kind, nothing at the ends.
pub(crate) fn plain(text: &str) -> String {
    text.replace("\r\n", "\n").trim().to_owned()
}

/// The texts of all fields that hold something.
pub(crate) fn filled(form: &Form, record: &Written) -> Texts {
    let mut texts = Texts::new();
    fill(form, record, "", &mut texts);
    texts
}

fn fill(form: &Form, record: &Written, prefix: &str, texts: &mut Texts) {
    for field in &form.fields {
        let name = below(prefix, &field.key);
        // A sentence without days is a text alone.
        let value = match record {
            Written::Text(_) if prefix.is_empty() && field.key == "text" => Some(record),
            _ => record.get(&field.key),
        };
        let Some(value) = value else { continue };
        if let Kind::Block(inner) = &field.kind {
            fill(inner, value, &name, texts);
        } else if let Some(text) = text_of(&field.kind, value).filter(|text| !text.is_empty()) {
            texts.insert(name, text);
        }
    }
}

fn on_one_line(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn text_of(kind: &Kind, value: &Written) -> Option<String> {
    let word = |text: &str, pairs: &[(&str, &str)]| {
        let known = pairs
            .iter()
            .find(|(known, _)| text.eq_ignore_ascii_case(known));
        known.map_or_else(|| plain(text), |(_, word)| (*word).to_owned())
    };
    match (kind, value) {
        (Kind::Several { .. }, Written::List(items)) => {
            let lines: Vec<String> = items
                .iter()
                .filter_map(|item| item.text().map(on_one_line))
                .collect();
            Some(lines.join("\n"))
        }
        (Kind::Several { .. }, Written::Text(text)) => Some(on_one_line(text)),
        (Kind::Truth { .. }, Written::Text(text)) => {
            Some(word(text, &[("true", "yes"), ("false", "no")]))
        }
        (Kind::Since, Written::Text(text)) => Some(word(text, &[("true", "yes")])),
        (Kind::Block(_) | Kind::List(_) | Kind::TextOr(_), _)
        | (_, Written::Nothing | Written::List(_) | Written::Block(_)) => None,
        (_, Written::Text(text)) => Some(plain(text)),
    }
}

/// The value that a field's text stands for, in place of another.
fn value_of(kind: &Kind, text: &str, old: Option<&Written>) -> Value {
    let as_text = || Value::String(text.to_owned());
    match kind {
        Kind::Number => text.parse::<u64>().map_or_else(|_| as_text(), Value::from),
        Kind::Measure => {
            let whole = text.parse::<u64>().map(Value::from).ok();
            let part = || text.parse::<f64>().ok().filter(|n| n.is_finite());
            whole
                .or_else(|| part().map(Value::from))
                .unwrap_or_else(as_text)
        }
        Kind::Truth { .. } if ["yes", "no"].contains(&text) => Value::Bool(text == "yes"),
        Kind::Since if text.eq_ignore_ascii_case("yes") => Value::Bool(true),
        Kind::Several { one_alone, .. } => {
            let known: Vec<&str> = match old {
                Some(Written::List(items)) => items.iter().filter_map(Written::text).collect(),
                Some(Written::Text(text)) => vec![text],
                _ => Vec::new(),
            };
            let mut lines: Vec<Value> = text
                .lines()
                .map(on_one_line)
                .filter(|line| !line.is_empty())
                .map(|line| {
                    let same = known.iter().find(|known| on_one_line(known) == line);
                    Value::String(same.map_or(line, |known| (*known).to_owned()))
                })
                .collect();
            let was_list = matches!(old, Some(Written::List(_)));
            if *one_alone && !was_list && lines.len() == 1 {
                lines.swap_remove(0)
            } else {
                Value::Sequence(lines)
            }
        }
        Kind::Text { long: false } | Kind::Day => Value::String(unquoted(text).to_owned()),
        _ => as_text(),
    }
}

/// Quotes around a number, a day or a telephone number belong to the text of a file and not to what
/// is typed into a field; around words they stay.
fn unquoted(text: &str) -> &str {
    let quotes = ['"', '\'', '\u{201c}', '\u{201d}', '\u{201e}'];
    let inner = text
        .strip_prefix(quotes)
        .and_then(|text| text.strip_suffix(quotes))
        .map(str::trim);
    let is_number = |inner: &&str| {
        inner.contains(|c: char| c.is_ascii_digit())
            && inner
                .chars()
                .all(|c| c.is_ascii_digit() || " -+/().:\u{a0}".contains(c))
    };
    inner.filter(is_number).unwrap_or(text)
}

/// The value of a whole entry that is new.
pub(crate) fn value(kind: &Kind, texts: &Texts) -> Option<Value> {
    match kind {
        Kind::Block(form) => block(form, "", texts).map(Value::Mapping),
        Kind::TextOr(form) => {
            let whole = block(form, "", texts)?;
            Some(match (whole.len(), whole.get("text")) {
                (1, Some(text)) => text.clone(),
                _ => Value::Mapping(whole),
            })
        }
        _ => None,
    }
}

fn block(form: &Form, prefix: &str, texts: &Texts) -> Option<Mapping> {
    let mut all = Mapping::new();
    for field in &form.fields {
        let name = below(prefix, &field.key);
        let value = match &field.kind {
            Kind::Block(inner) => block(inner, &name, texts).map(Value::Mapping),
            kind => texts
                .get(&name)
                .filter(|text| !text.is_empty())
                .map(|text| value_of(kind, text, None)),
        };
        if let Some(value) = value {
            all.insert(Value::String(field.key.clone()), value);
        }
    }
    (!all.is_empty()).then_some(all)
}

/// What was shown, what was sent, and where theirs is to stay.
pub(crate) struct Sent<'a> {
    pub(crate) was: &'a Texts,
    pub(crate) new: &'a Texts,
    pub(crate) theirs: &'a BTreeSet<String>,
}

/// What the fields ask for.
#[derive(Debug, Default)]
pub(crate) struct Merged {
    pub(crate) changes: Vec<Change>,
    /// Fields that somebody else changed too, and what stands there now.
    pub(crate) twice: Texts,
}

impl Sent<'_> {
    /// The changes of a record or an entry that stands at `path`.
    pub(crate) fn merged(&self, form: &Form, path: &[Step], now: &Written) -> Merged {
        let mut merged = Merged::default();
        if matches!(now, Written::Text(_)) {
            self.text_alone(form, path, now, &mut merged);
        } else {
            self.walk(form, path, "", Some(now), &mut merged);
        }
        merged
    }

    /// What a field is to hold, when it was touched; told as twice when somebody else did too.
    fn wish(&self, name: &str, now: &str, twice: &mut Texts) -> Option<&str> {
        let was = self.was.get(name).map_or("", String::as_str);
        let new = self.new.get(name)?.as_str();
        if new == was || new == now || self.theirs.contains(name) {
            return None;
        }
        if now != was {
            twice.insert(name.to_owned(), now.to_owned());
            return None;
        }
        Some(new)
    }

    /// A sentence that stands alone becomes another, or gets fields.
    fn text_alone(&self, form: &Form, path: &[Step], now: &Written, merged: &mut Merged) {
        let mut texts = filled(form, now);
        let mut touched = false;
        for field in &form.fields {
            let now = texts.get(&field.key).cloned().unwrap_or_default();
            if let Some(new) = self.wish(&field.key, &now, &mut merged.twice) {
                texts.insert(field.key.clone(), new.to_owned());
                touched = true;
            }
        }
        if touched {
            // Without a word it is no sentence; the checks say so.
            let value = value(&Kind::TextOr(form.clone()), &texts);
            let value = value.unwrap_or_else(|| "".into());
            merged.changes.push(Change::set(path.to_vec(), value));
        }
    }

    fn walk(
        &self,
        form: &Form,
        path: &[Step],
        prefix: &str,
        now: Option<&Written>,
        merged: &mut Merged,
    ) {
        for Field { key, kind, .. } in &form.fields {
            let name = below(prefix, key);
            let here: Vec<Step> = path
                .iter()
                .cloned()
                .chain([Step::from(key.as_str())])
                .collect();
            let value = now.and_then(|now| now.get(key));
            match kind {
                Kind::List(_) | Kind::TextOr(_) => {}
                Kind::Block(inner) => {
                    let before = merged.changes.len();
                    self.walk(inner, &here, &name, value, merged);
                    let touched = merged.changes.len() > before;
                    if touched && self.leaves_nothing(inner, &name, value, &merged.twice) {
                        merged.changes.truncate(before);
                        if value.is_some() {
                            merged.changes.push(Change::take_out(here));
                        }
                    }
                }
                _ => {
                    let now = value
                        .and_then(|value| text_of(kind, value))
                        .unwrap_or_default();
                    let Some(new) = self.wish(&name, &now, &mut merged.twice) else {
                        continue;
                    };
                    merged.changes.push(if new.is_empty() {
                        Change::take_out(here)
                    } else {
                        Change::set(here, value_of(kind, new, value))
                    });
                }
            }
        }
    }

    /// Whether a block is empty once its fields are as they were sent.
    fn leaves_nothing(
        &self,
        form: &Form,
        prefix: &str,
        now: Option<&Written>,
        twice: &Texts,
    ) -> bool {
        let known = form.fields.iter().all(|Field { key, kind, .. }| {
            let name = below(prefix, key);
            let value = now.and_then(|now| now.get(key));
            match kind {
                Kind::List(_) | Kind::TextOr(_) => {
                    value.is_none_or(|value| *value == Written::Nothing)
                }
                Kind::Block(inner) => self.leaves_nothing(inner, &name, value, twice),
                _ => {
                    let now = value
                        .and_then(|value| text_of(kind, value))
                        .unwrap_or_default();
                    let then = self.wish(&name, &now, &mut twice.clone());
                    then.unwrap_or(&now).is_empty()
                }
            }
        });
        let strangers = match now {
            Some(Written::Block(entries)) => {
                entries.iter().any(|(key, _)| form.field(key).is_none())
            }
            _ => false,
        };
        known && !strangers
    }
}

#[cfg(test)]
mod tests {
    use super::super::shape;
    use super::*;
    use crate::records::changing::{changed, written};

    const DOG: &str =
        "name: Juno   # called so\nsex: female\nregistration: { registry: KC, number: A1 }\n";

    fn dog() -> Form {
        match shape::of("dog") {
            Some(Kind::Block(form)) => form,
            _ => panic!("a dog is a block"),
        }
    }

    fn texts(pairs: &[(&str, &str)]) -> Texts {
        let pair = |(name, text): &(&str, &str)| ((*name).to_owned(), (*text).to_owned());
        pairs.iter().map(pair).collect()
    }

    fn after(text: &str, shown: &str, sent: &[(&str, &str)]) -> (String, Texts) {
        let (form, none) = (dog(), BTreeSet::new());
        let was = filled(&form, &written::of("dogs/juno.yaml", shown).unwrap().0);
        let (now, _) = written::of("dogs/juno.yaml", text).unwrap();
        let mut new = was.clone();
        new.extend(texts(sent));
        let sent = Sent {
            was: &was,
            new: &new,
            theirs: &none,
        };
        let Merged { changes, twice } = sent.merged(&form, &[], &now);
        (changed("dogs/juno.yaml", text, &changes).unwrap(), twice)
    }

    #[test]
    fn a_field_that_was_not_touched_changes_nothing() {
        assert_eq!(after(DOG, DOG, &[]), (DOG.to_owned(), Texts::new()));
    }

    #[test]
    fn fields_are_set_changed_and_taken_out() {
        let (text, _) = after(
            DOG,
            DOG,
            &[
                ("call_name", "Juno"),
                ("neutered", "yes"),
                ("registration.number", "A2"),
                ("chip", "276098100000000"),
            ],
        );
        assert!(
            text.contains("call_name: Juno\n") && text.contains("neutered: true\n"),
            "{text}"
        );
        assert!(text.contains("{ registry: KC, number: A2 }") && text.contains("# called so"));
        let nothing = [("registration.number", ""), ("registration.registry", "")];
        let (text, _) = after(DOG, DOG, &nothing);
        assert_eq!(text, "name: Juno   # called so\nsex: female\n");
    }

    #[test]
    fn quotes_around_a_number_stay_out_and_those_around_words_in() {
        let (text, _) = after(
            DOG,
            DOG,
            &[
                ("chip", "\"276 098 100 000 000\""),
                ("call_name", "\"Juno\""),
            ],
        );
        assert!(
            text.contains("276 098 100 000 000") && !text.contains("\\\"276"),
            "{text}"
        );
        let record = written::of("dogs/juno.yaml", &text).unwrap().0;
        let told = |key| record.get(key).and_then(Written::text);
        assert_eq!(
            (told("chip"), told("call_name")),
            (Some("276 098 100 000 000"), Some("\"Juno\""))
        );
    }

    #[test]
    fn changes_of_other_fields_are_joined_and_of_the_same_field_told() {
        let theirs = DOG.replace("sex: female", "sex: male");
        let (text, twice) = after(&theirs, DOG, &[("name", "June")]);
        assert!(text.contains("name: June") && text.contains("sex: male") && twice.is_empty());
        let theirs = DOG.replace("name: Juno", "name: Juna");
        let (text, twice) = after(&theirs, DOG, &[("name", "June"), ("colour", "black")]);
        assert_eq!(twice, texts(&[("name", "Juna")]));
        assert!(text.contains("name: Juna"));
        let (text, twice) = after(&theirs, DOG, &[("name", "Juna")]);
        assert_eq!((text, twice), (theirs, Texts::new()));
    }
}
