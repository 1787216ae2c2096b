//! The birth of a litter in a file of its own, as a whelping sheet gives it.
//!
//! In: the bytes of the file and what it is called. Out: a [`BirthFile`], or problems with places
//! in it. The file holds the keys `birth` and `puppies` of `litter.yaml` and nothing else; a
//! comment at its head, `# litter: winter-2026`, says whose birth it is.

use super::litter::{Birth, Puppy};
use super::problem::{Place, Problem, key_path};
use super::reading;
use super::source::{Source, Sources};
use crate::quantity::Id;
use schemars::JsonSchema;
use serde::Deserialize;
use serde_yaml::{Mapping, Value};

/// The largest file that is read: a birth of thirty puppies has some 30 kB.
pub const LARGEST_BIRTH_FILE: u64 = 1024 * 1024;

/// The part of `litter.yaml` that comes with the birth.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct BirthPart {
    /// The birth.
    birth: Option<Birth>,
    /// The puppies.
    #[serde(default)]
    puppies: Vec<Puppy>,
}

/// A birth that was read from a file of its own.
#[derive(Debug, Clone)]
pub struct BirthFile {
    /// How problems name the file.
    pub(super) name: String,
    /// The litter that its head names.
    pub litter: Option<Id>,
    /// The keys of the birth, as written.
    pub(super) birth: Option<Mapping>,
    /// The puppies, as written: name and keys.
    pub(super) puppies: Vec<(Id, Mapping)>,
}

impl BirthFile {
    /// Reads a file. `name` is what was typed; problems show it as it is.
    #[must_use]
    pub fn read(name: &str, bytes: Vec<u8>) -> (Option<Self>, Sources, Vec<Problem>) {
        let name = format!("./{name}");
        let (mut sources, mut problems) = (Sources::default(), Vec::new());
        let Ok(text) = String::from_utf8(bytes) else {
            let hint = "is it the file that the whelping sheet saved?";
            problems.push(Problem::error(
                "not-utf-8",
                Place::file(&name),
                "this file is not text",
                hint,
            ));
            return (None, sources, problems);
        };
        // What phones and mail programs put around a text changes nothing of it.
        let text = text
            .strip_prefix('\u{feff}')
            .unwrap_or(&text)
            .replace("\r\n", "\n");
        sources.insert(name.clone(), Source::whole(&text));
        let litter = litter_of(&name, &text, &mut problems);
        let part: Option<BirthPart> = reading::read(&name, &text, 0..text.len(), &mut problems);
        let file = part
            .filter(|_| problems.is_empty())
            .and_then(|part| Self::take(name, litter, &text, part, &mut problems));
        (file, sources, problems)
    }

    /// The birth itself, where the file has it.
    #[must_use]
    pub fn birth(&self) -> Option<Birth> {
        serde_yaml::from_value(Value::Mapping(self.birth.clone()?)).ok()
    }

    /// The puppies of the file.
    #[must_use]
    pub fn puppies(&self) -> Vec<Puppy> {
        let written = self.puppies.iter().map(|(_, written)| written.clone());
        written
            .filter_map(|written| serde_yaml::from_value(Value::Mapping(written)).ok())
            .collect()
    }

    fn take(
        name: String,
        litter: Option<Id>,
        text: &str,
        part: BirthPart,
        problems: &mut Vec<Problem>,
    ) -> Option<Self> {
        let BirthPart { birth, puppies } = part;
        if birth.is_none() && puppies.is_empty() {
            let hint = "a file of the whelping sheet holds `birth:` and `puppies:`";
            problems.push(Problem::error(
                "nothing-to-take-in",
                Place::file(&name),
                "there is neither a birth nor a puppy in this file",
                hint,
            ));
            return None;
        }
        for (i, puppy) in puppies.iter().enumerate() {
            if let Some(first) = puppies[..i]
                .iter()
                .position(|earlier| earlier.id == puppy.id)
            {
                let place = |i: usize| Place::path(&name, key_path!["puppies", i, "id"]);
                let problem = Problem::error(
                    "puppy-twice",
                    place(i),
                    format!("there are two puppies `{}`", puppy.id),
                    "give one another id",
                );
                problems.push(problem.and(place(first), "the first"));
            }
        }
        // Read as the record a moment ago, so it can be read as plain values too.
        let mut values: Mapping = match serde_yaml::from_str(text) {
            Ok(values) => values,
            Err(fault) => {
                let hint = "is it the file that the whelping sheet saved? Save it there once more";
                problems.push(Problem::error(
                    "yaml-broken",
                    Place::file(&name),
                    format!("this file cannot be read: {fault}"),
                    hint,
                ));
                return None;
            }
        };
        let written = values.remove("birth").and_then(|value| {
            if let Value::Mapping(block) = value {
                Some(block)
            } else {
                None
            }
        });
        let blocks = match values.remove("puppies") {
            Some(Value::Sequence(items)) => items,
            _ => Vec::new(),
        };
        let blocks = blocks.into_iter().filter_map(|item| {
            if let Value::Mapping(block) = item {
                Some(block)
            } else {
                None
            }
        });
        let puppies = puppies
            .into_iter()
            .map(|puppy| puppy.id)
            .zip(blocks.map(spoken))
            .collect();
        problems.is_empty().then(|| Self {
            name,
            litter,
            birth: written.map(spoken),
            puppies,
        })
    }
}

/// Without the keys that were left empty: they mean the same as leaving them out.
fn spoken(block: Mapping) -> Mapping {
    let is_empty = |value: &Value| {
        value.is_null()
            || value.as_str().is_some_and(|text| text.trim().is_empty())
            || value.as_mapping().is_some_and(Mapping::is_empty)
    };
    block
        .into_iter()
        .map(|(key, value)| {
            (
                key,
                if let Value::Mapping(inner) = value {
                    Value::Mapping(spoken(inner))
                } else {
                    value
                },
            )
        })
        .filter(|(_, value)| !is_empty(value))
        .collect()
}

/// The litter that the comment at the head names.
fn litter_of(name: &str, text: &str, problems: &mut Vec<Problem>) -> Option<Id> {
    let mut at = 0;
    for line in text
        .split_inclusive('\n')
        .take_while(|line| line.starts_with('#') || line.trim().is_empty())
    {
        if let Some(named) = line
            .trim_start_matches(['#', ' '])
            .strip_prefix("litter:")
            .map(str::trim)
            .filter(|named| !named.is_empty())
        {
            let start = at + line.find(named).unwrap_or(0);
            return match named.parse() {
                Ok(id) => Some(id),
                Err(why) => {
                    problems.push(Problem::unreadable(
                        Place::bytes(name, start..start + named.len()),
                        why,
                    ));
                    None
                }
            };
        }
        at += line.len();
    }
    None
}
