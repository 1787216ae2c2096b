//! What a form asks for: derived from the type of the record.
//!
//! In: the JSON Schema that `records::schema` makes of a record type. Out: a [`Kind`] with its
//! [`Field`]s, in the order of the type. The doc comment of a field is its help; its label is its
//! `title` there or its key in words; `x-names` says what a name refers to, `x-long` that a text
//! may have paragraphs. A new field of a record is in its form without a line here.

use crate::quantity::capital;
use crate::records::schema;
use serde_json::Value as Json;

/// A set of fields.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Form {
    pub(crate) fields: Vec<Field>,
    /// What any other key holds, where the record takes such.
    pub(crate) others: Option<Box<Kind>>,
}

/// One field.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Field {
    /// The key in the record.
    pub(crate) key: String,
    /// What it is called.
    pub(crate) label: String,
    /// What to know of it.
    pub(crate) help: String,
    /// Whether it has to be filled in.
    pub(crate) needed: bool,
    pub(crate) kind: Kind,
}

/// What a field holds.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Kind {
    /// A text or a quantity, on one line or in paragraphs.
    Text {
        long: bool,
    },
    /// A whole number.
    Number,
    /// A number, or a text with a unit.
    Measure,
    /// Yes or no; without a word, what it is then.
    Truth {
        default: Option<bool>,
    },
    Day,
    /// A day, or that it is so without one.
    Since,
    /// One of some words.
    Choice {
        choices: Vec<String>,
    },
    /// The name of something else in the records.
    Name {
        of: String,
    },
    /// Several of such names, or several values.
    Several {
        of: Option<String>,
        /// Whether one alone is written without a list.
        one_alone: bool,
    },
    /// Fields of their own.
    Block(Form),
    /// Entries with a page of their own.
    List(Box<Kind>),
    /// A text, or fields of which this one is the text.
    TextOr(Form),
}

impl Form {
    /// A field by its key.
    pub(crate) fn field(&self, key: &str) -> Option<&Field> {
        self.fields.iter().find(|field| field.key == key)
    }
}

/// The whole of a record, by its name in [`schema::RECORDS`].
pub(crate) fn of(record: &str) -> Option<Kind> {
    let schema = schema::of(record)?;
    let mut kind = kind(&schema, &schema, None);
    // What stands below a head is one more field.
    if let (Kind::Block(form), "note" | "page") = (&mut kind, record) {
        form.fields.push(Field {
            key: crate::records::changing::BELOW.to_owned(),
            label: "Text".to_owned(),
            help: "Paragraphs with an empty line between them. *So* leans, **so** is strong."
                .to_owned(),
            needed: false,
            kind: Kind::Text { long: true },
        });
    }
    Some(kind)
}

/// A key in words: `call_name` is a call name. Only an X-ray keeps its hyphen.
pub(crate) fn in_words(key: &str) -> String {
    capital(&key.replace(['_', '-'], " ").replace("x ray", "X-ray"))
}

/// A part of a schema with what it refers to.
fn resolved<'a>(node: &'a Json, root: &'a Json) -> &'a Json {
    node.get("$ref")
        .and_then(Json::as_str)
        .and_then(|name| root.pointer(name.trim_start_matches('#')))
        .map_or(node, |target| resolved(target, root))
}

/// The alternatives of a part, but for nothing at all.
fn alternatives<'a>(node: &'a Json, root: &'a Json) -> Vec<&'a Json> {
    let node = resolved(node, root);
    let several = ["anyOf", "oneOf"]
        .iter()
        .find_map(|word| node.get(*word)?.as_array());
    let Some(several) = several else {
        return vec![node];
    };
    let all = several.iter().flat_map(|one| alternatives(one, root));
    all.filter(|one| one.get("type").and_then(Json::as_str) != Some("null"))
        .collect()
}

fn has_type(node: &Json, name: &str) -> bool {
    match node.get("type") {
        Some(Json::String(one)) => one == name,
        Some(Json::Array(several)) => several.iter().any(|one| one.as_str() == Some(name)),
        _ => false,
    }
}

fn word(node: &Json, key: &str) -> Option<String> {
    node.get(key).and_then(Json::as_str).map(str::to_owned)
}

fn constant(node: &Json) -> Option<String> {
    word(node, "const")
}

/// What a part of a schema holds; `named` is what its field refers to.
fn kind(node: &Json, root: &Json, named: Option<&str>) -> Kind {
    let long = node.get("x-long").and_then(Json::as_bool) == Some(true);
    let default = node.get("default").cloned();
    let all = alternatives(node, root);
    // A value alone, or in a list.
    if let [one, list] = all[..]
        && has_type(list, "array")
        && !has_type(one, "array")
    {
        return Kind::Several {
            of: named.map(str::to_owned),
            one_alone: true,
        };
    }
    let blocks: Vec<&&Json> = all.iter().filter(|one| has_type(one, "object")).collect();
    match (&all[..], &blocks[..]) {
        ([text, _], [block]) if has_type(text, "string") => Kind::TextOr(form(block, root)),
        (_, [_, ..]) => Kind::Block(joined(&blocks, root)),
        ([one], _) => single(one, root, named, long, default.as_ref()),
        (several, _) if several.iter().any(|one| one["const"] == Json::Bool(true)) => Kind::Since,
        (several, _) => {
            let choices: Vec<String> = several.iter().filter_map(|one| constant(one)).collect();
            if choices.is_empty() {
                Kind::Text { long }
            } else {
                Kind::Choice { choices }
            }
        }
    }
}

fn single(
    node: &Json,
    root: &Json,
    named: Option<&str>,
    long: bool,
    default: Option<&Json>,
) -> Kind {
    if let Some(choices) = node.get("enum").and_then(Json::as_array) {
        let choices = choices.iter().filter_map(Json::as_str).map(str::to_owned);
        return Kind::Choice {
            choices: choices.collect(),
        };
    }
    if let Some(choice) = constant(node) {
        return Kind::Choice {
            choices: vec![choice],
        };
    }
    if node["const"] == Json::Bool(true) {
        return Kind::Since;
    }
    if has_type(node, "array") {
        let entry = kind(&node["items"], root, named);
        return match entry {
            Kind::Block(_) | Kind::TextOr(_) => Kind::List(Box::new(entry)),
            _ => Kind::Several {
                of: named.map(str::to_owned),
                one_alone: false,
            },
        };
    }
    match () {
        () if has_type(node, "boolean") => Kind::Truth {
            default: default.and_then(Json::as_bool),
        },
        () if has_type(node, "integer") => Kind::Number,
        () if has_type(node, "number") => Kind::Measure,
        () if named.is_some() => Kind::Name {
            of: named.unwrap_or_default().to_owned(),
        },
        () if node.get("format").and_then(Json::as_str) == Some("date") => Kind::Day,
        () => Kind::Text { long },
    }
}

fn form(node: &Json, root: &Json) -> Form {
    let keys = node.get("properties").and_then(Json::as_object);
    let needed: Vec<&str> = node
        .get("required")
        .and_then(Json::as_array)
        .into_iter()
        .flatten()
        .filter_map(Json::as_str)
        .collect();
    let fields = keys.into_iter().flatten().map(|(key, node)| {
        let named = word(node, "x-names");
        Field {
            label: word(node, "title").unwrap_or_else(|| in_words(key)),
            help: word(node, "description").unwrap_or_default(),
            needed: needed.contains(&key.as_str()),
            kind: kind(node, root, named.as_deref()),
            key: key.clone(),
        }
    });
    let others = node
        .get("additionalProperties")
        .filter(|others| others.is_object())
        .map(|others| Box::new(kind(others, root, None)));
    Form {
        fields: fields.collect(),
        others,
    }
}

/// The fields of all alternatives: which go together is checked with the record.
fn joined(blocks: &[&&Json], root: &Json) -> Form {
    let mut all = Form {
        fields: Vec::new(),
        others: None,
    };
    let several = blocks.len() > 1;
    for block in blocks {
        let Form { fields, others } = form(block, root);
        all.others = all.others.or(others);
        for field in fields {
            if all.field(&field.key).is_none() {
                all.fields.push(Field {
                    needed: field.needed && !several,
                    ..field
                });
            }
        }
    }
    all
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeSet;

    /// Every way to a value in a schema, lists without their numbers.
    fn ways(node: &Json, root: &Json, here: &str, found: &mut BTreeSet<String>) {
        for one in alternatives(node, root) {
            if let Some(keys) = one.get("properties").and_then(Json::as_object) {
                for (key, value) in keys {
                    let way = format!("{here}.{key}");
                    found.insert(way.clone());
                    ways(value, root, &way, found);
                }
            }
            if let Some(entry) = one.get("items") {
                ways(entry, root, here, found);
            }
        }
    }

    fn asked(kind: &Kind, here: &str, found: &mut BTreeSet<String>) {
        match kind {
            Kind::Block(form) | Kind::TextOr(form) => {
                for field in &form.fields {
                    let way = format!("{here}.{}", field.key);
                    found.insert(way.clone());
                    asked(&field.kind, &way, found);
                }
            }
            Kind::List(entry) => asked(entry, here, found),
            _ => {}
        }
    }

    fn each(kind: &Kind, act: &mut impl FnMut(&Field)) {
        match kind {
            Kind::Block(form) | Kind::TextOr(form) => {
                for field in &form.fields {
                    act(field);
                    each(&field.kind, act);
                }
            }
            Kind::List(entry) => each(entry, act),
            _ => {}
        }
    }

    #[test]
    fn every_field_of_every_record_is_in_its_form() {
        let mut all = 0;
        for (record, _) in schema::RECORDS {
            let schema = schema::of(record).unwrap();
            let (mut there, mut in_form) = (BTreeSet::new(), BTreeSet::new());
            ways(&schema, &schema, "", &mut there);
            asked(&of(record).unwrap(), "", &mut in_form);
            if ["note", "page"].contains(record) {
                assert!(in_form.remove(".text"), "{record}");
            }
            assert_eq!(there, in_form, "{record}");
            all += there.len();
        }
        assert!(all > 250, "{all} fields were looked at");
    }

    #[test]
    fn labels_are_words_and_every_field_has_its_help() {
        for (record, _) in schema::RECORDS {
            each(&of(record).unwrap(), &mut |field| {
                let Field {
                    key, label, help, ..
                } = field;
                assert!(
                    label.starts_with(char::is_uppercase) && !label.contains(['_', '{', '`']),
                    "{record} {key}: {label}"
                );
                let known = help.trim();
                assert!(
                    !known.is_empty() || ["weights"].contains(record),
                    "{record} {key} says nothing"
                );
                // Keys that are no word of the trade are called something else.
                for bare in [
                    "On", "At", "By", "For", "What", "How", "Here", "As of", "Id",
                ] {
                    assert_ne!(label, bare, "{record} {key}");
                }
            });
        }
    }

    #[test]
    fn what_a_field_holds_is_known_by_its_type() {
        let Kind::Block(litter) = of("litter").unwrap() else {
            panic!()
        };
        let kind = |key: &str| litter.field(key).unwrap().kind.clone();
        assert_eq!(
            kind("dam"),
            Kind::Name {
                of: "dog".to_owned()
            }
        );
        assert_eq!(kind("weaned"), Kind::Day);
        assert_eq!(
            kind("announced"),
            Kind::Truth {
                default: Some(true)
            }
        );
        assert_eq!(
            kind("mated"),
            Kind::Several {
                of: None,
                one_alone: true
            }
        );
        assert!(
            matches!(kind("birth"), Kind::Block(_)) && matches!(kind("puppies"), Kind::List(_))
        );
        let Kind::List(weigh_in) = of("weights").unwrap() else {
            panic!()
        };
        let Kind::Block(weigh_in) = *weigh_in else {
            panic!()
        };
        assert_eq!(weigh_in.others, Some(Box::new(Kind::Measure)));
        let Kind::Block(dog) = of("dog").unwrap() else {
            panic!()
        };
        assert_eq!(dog.field("neutered").unwrap().kind, Kind::Since);
        let Some(Kind::List(puppy)) = litter.field("puppies").map(|field| field.kind.clone())
        else {
            panic!()
        };
        let Kind::Block(puppy) = *puppy else { panic!() };
        let words = ["left", "right"].map(str::to_owned).to_vec();
        assert_eq!(
            puppy.field("horn").unwrap().kind,
            Kind::Choice { choices: words }
        );
    }
}
