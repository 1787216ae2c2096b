//! Places and values as they are typed: `puppies.moss.offer`, `reserved`.
//!
//! In: words from a command line or a field. Out: paths and values. An entry of a list is named by
//! its place from 1, by `last`, or by what tells it from the others: its `id`, its time, its day.
//! What may be a number is written as one only where the record's schema has a number there.

use super::meaning::Meaning;
use crate::problem::{Place, Problem, Step};
use crate::reading::{Tree, suggestion};
use crate::{schema, text_file};
use serde_json::Value as Json;
use serde_yaml::Value;

/// What tells the entries of a list apart, in this order.
const NAMES: [&str; 8] = ["id", "at", "on", "litter", "name", "file", "since", "dam"];

/// A path as it is shown, places of a list from 1.
#[must_use]
pub fn shown(path: &[Step]) -> String {
    let word = |step: &Step| match step {
        Step::Key(key) | Step::Name(key) if key.contains('.') => format!("\"{key}\""),
        Step::Key(key) | Step::Name(key) => key.clone(),
        Step::Index(index) => (index + 1).to_string(),
    };
    path.iter().map(word).collect::<Vec<_>>().join(".")
}

/// The path that was typed, in the text of a record.
///
/// # Errors
/// When the text cannot be read, or names an entry that is not there or may be several.
pub fn path(file: &str, text: &str, typed: &str) -> Result<Vec<Step>, Vec<Problem>> {
    let bare = text.strip_prefix('\u{feff}').unwrap_or(text);
    let mut problems = Vec::new();
    let yaml = text_file::yaml_in(file, bare, &mut problems).ok_or(problems)?;
    let meaning = Tree::parse(&bare[yaml])
        .ok()
        .and_then(|tree| Meaning::of(&tree));
    let mut here = meaning.as_ref();
    let mut path = Vec::new();
    for word in words(typed) {
        let number = word.parse::<usize>().ok().filter(|number| *number > 0);
        let step = match here {
            Some(Meaning::List(items)) => Step::Index(
                entry(items, &word).map_err(|why| vec![problem(file, &path, why.0, why.1)])?,
            ),
            Some(Meaning::Nothing) | None => {
                number.map_or_else(|| Step::Key(word.clone()), |number| Step::Index(number - 1))
            }
            Some(Meaning::Block(_) | Meaning::Text(_) | Meaning::Other(_)) => {
                Step::Key(word.clone())
            }
        };
        here = here.and_then(|here| here.at(std::slice::from_ref(&step)));
        path.push(step);
    }
    Ok(path)
}

fn problem(file: &str, path: &[Step], message: String, hint: String) -> Problem {
    Problem::error(
        "place-unknown",
        Place::path(file, path.to_vec()),
        message,
        hint,
    )
}

/// The words between the dots; a word in quotes may hold dots.
fn words(typed: &str) -> Vec<String> {
    let mut words = Vec::new();
    let mut rest = typed;
    while !rest.is_empty() {
        let (word, behind) = match rest
            .strip_prefix('"')
            .and_then(|inner| inner.split_once('"'))
        {
            Some((word, behind)) => (word, behind.strip_prefix('.').unwrap_or(behind)),
            None => rest.split_once('.').unwrap_or((rest, "")),
        };
        words.push(word.to_owned());
        rest = behind;
    }
    words
}

/// The entry of a list that a word means; or what is wrong, and a hint.
fn entry(items: &[Meaning], word: &str) -> Result<usize, (String, String)> {
    if word == "last" && !items.is_empty() {
        return Ok(items.len() - 1);
    }
    let is = |item: &Meaning, key: &str| match item {
        Meaning::Block(block) => match block.get(key) {
            Some(Meaning::Text(text) | Meaning::Other(text)) => text == word,
            _ => false,
        },
        _ => false,
    };
    let called = |key: &str| -> Vec<usize> {
        items
            .iter()
            .enumerate()
            .filter(|(_, item)| is(item, key))
            .map(|(at, _)| at)
            .collect()
    };
    let itself = items
        .iter()
        .enumerate()
        .filter(|(_, item)| matches!(item, Meaning::Text(text) if text == word))
        .map(|(at, _)| at)
        .collect();
    let found = NAMES
        .iter()
        .map(|key| called(key))
        .chain([itself])
        .find(|found: &Vec<usize>| !found.is_empty())
        .unwrap_or_default();
    match found[..] {
        [one] => return Ok(one),
        [] => {}
        _ => {
            let places: Vec<String> = found.iter().map(|at| (at + 1).to_string()).collect();
            return Err((
                format!("several entries are called `{word}`"),
                format!("name one of them by its place: {}", places.join(", ")),
            ));
        }
    }
    if let Some(number) = word
        .parse::<usize>()
        .ok()
        .filter(|number| (1..=items.len() + 1).contains(number))
    {
        return Ok(number - 1);
    }
    let names: Vec<&str> = items
        .iter()
        .filter_map(|item| match item {
            Meaning::Block(block) => NAMES.iter().find_map(|key| block.get(*key)),
            other => Some(other),
        })
        .filter_map(|name| {
            if let Meaning::Text(text) = name {
                Some(text.as_str())
            } else {
                None
            }
        })
        .collect();
    let hint = suggestion(word, &names).unwrap_or_else(|| match items.len() {
        0 => "the list is empty: add an entry first".to_owned(),
        count => format!("name it by its place from 1 to {count}, or by its `id` or time"),
    });
    Err((format!("there is no entry `{word}` here"), hint))
}

/// The value that was typed, for a place of a record file.
#[must_use]
pub fn value(file: &str, path: &[Step], typed: &str) -> Value {
    if typed.starts_with(['[', '{'])
        && let Ok(value) = serde_yaml::from_str::<Value>(typed)
    {
        return value;
    }
    let plain = match kind_at(file, path) {
        SchemaKind::Number => typed.parse::<u64>().ok().map(Value::from).or_else(|| {
            typed
                .parse::<f64>()
                .ok()
                .filter(|n| n.is_finite())
                .map(Value::from)
        }),
        SchemaKind::Truth => typed.parse::<bool>().ok().map(Value::Bool),
        SchemaKind::Text => None,
    };
    plain.unwrap_or_else(|| Value::String(typed.to_owned()))
}

/// What the schema of a record has at a place.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum SchemaKind {
    Text,
    Number,
    Truth,
}

/// The name of the record that a file is, among those that have a schema.
#[must_use]
pub fn record_of(file: &str) -> Option<&'static str> {
    Some(match file.split('/').collect::<Vec<_>>()[..] {
        ["kennel.yaml"] => "kennel",
        ["care-plan.yaml"] => "care-plan",
        ["owners.yaml"] => "owners",
        ["dogs", name] if name.ends_with(".yaml") => "dog",
        ["litters", _, "litter.yaml"] => "litter",
        ["litters", _, "weights.yaml"] => "weights",
        ["litters", _, "health.yaml"] => "health",
        ["litters", _, "notes", name] if name.ends_with(".md") => "note",
        ["pages", name] if name.ends_with(".md") => "page",
        _ => return None,
    })
}

fn kind_at(file: &str, path: &[Step]) -> SchemaKind {
    let Some(schema) = record_of(file).and_then(schema::of) else {
        return SchemaKind::Text;
    };
    let mut here = vec![&schema];
    for step in path {
        let open: Vec<&Json> = here.iter().flat_map(|node| opened(node, &schema)).collect();
        here = open
            .iter()
            .filter_map(|node| match step {
                Step::Key(key) | Step::Name(key) => node
                    .get("properties")
                    .and_then(|keys| keys.get(key))
                    .or_else(|| node.get("additionalProperties")),
                Step::Index(_) => node.get("items"),
            })
            .collect();
    }
    let types: Vec<&str> = here
        .iter()
        .flat_map(|node| opened(node, &schema))
        .filter_map(|node| node.get("type"))
        .flat_map(|types| {
            types
                .as_array()
                .map_or_else(|| vec![types], |list| list.iter().collect())
        })
        .filter_map(Json::as_str)
        .collect();
    match () {
        () if types.contains(&"string") => SchemaKind::Text,
        () if types.contains(&"integer") || types.contains(&"number") => SchemaKind::Number,
        () if types.contains(&"boolean") => SchemaKind::Truth,
        () => SchemaKind::Text,
    }
}

/// A part of a schema, with what it refers to and its alternatives.
fn opened<'a>(node: &'a Json, root: &'a Json) -> Vec<&'a Json> {
    let mut open = vec![node];
    if let Some(target) = node
        .get("$ref")
        .and_then(Json::as_str)
        .and_then(|name| root.pointer(name.trim_start_matches('#')))
    {
        open.extend(opened(target, root));
    }
    for several in ["anyOf", "oneOf", "allOf"] {
        open.extend(
            node.get(several)
                .and_then(Json::as_array)
                .into_iter()
                .flatten()
                .flat_map(|one| opened(one, root)),
        );
    }
    open
}
