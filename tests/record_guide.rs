//! The record guide for keepers, taken at its word.
//!
//! In: `docs/records.md`. Its fenced blocks with a path are written as one kennel, which must have
//! no problem at all and be published; every key that its tables name must be in the JSON Schema of
//! that record, and every key of every schema must be named in the guide. Nothing is taken from the
//! program that the guide should say itself.

use crate::support::{Kennel, now};
use litterfolio::records::{load, schema};
use serde_json::Value;
use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::Path;

fn guide() -> String {
    fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("docs/records.md")).unwrap()
}

/// The fenced blocks that have a path: path below the kennel's folder and text.
fn blocks(guide: &str) -> Vec<(String, String)> {
    let mut blocks = Vec::new();
    let mut open: Option<(String, String)> = None;
    for line in guide.lines() {
        match (&mut open, line.strip_prefix("```")) {
            (None, Some(head)) => {
                let (language, path) = head.split_once(' ').unwrap_or((head, ""));
                assert!(
                    ["yaml", "markdown"].contains(&language) && path.starts_with("content/"),
                    "a block of the guide has no path: {line}"
                );
                open = Some((path.to_owned(), String::new()));
            }
            (Some(_), Some(_)) => blocks.extend(open.take()),
            (Some((_, text)), None) => {
                text.push_str(line);
                text.push('\n');
            }
            (None, None) => {}
        }
    }
    assert!(open.is_none(), "the last block of the guide does not end");
    blocks
}

/// The kennel of the guide.
fn kennel() -> Kennel {
    let kennel = Kennel::empty();
    let mut seen = BTreeSet::new();
    for (path, text) in blocks(&guide()) {
        assert!(
            seen.insert(path.clone()),
            "{path} stands twice in the guide"
        );
        kennel.write(path.strip_prefix("content/").unwrap(), &text);
    }
    kennel
}

#[test]
fn the_examples_are_one_kennel_without_a_problem() {
    let kennel = kennel();
    let loaded = load(&kennel.content(), now()).unwrap();
    assert!(loaded.problems.is_empty(), "{:#?}", loaded.problems);
    let records = loaded.records.unwrap();
    // What the guide speaks of is all there, and none of it was passed over.
    let litter = &records.litters["autumn-2026"];
    assert_eq!(
        (
            litter.litter.puppies.len(),
            litter.weigh_ins.len(),
            litter.health.len(),
            litter.notes.len()
        ),
        (3, 3, 6, 2)
    );
    let spring = &records.litters["spring-2026"];
    assert_eq!(
        (
            spring.litter.puppies.len(),
            spring.weigh_ins.len(),
            spring.health.len()
        ),
        (1, 2, 4)
    );
    assert!(records.litters["winter-2026"].litter.birth.is_none());
    assert_eq!(
        (
            records.dogs.len(),
            records.owners.families.len(),
            records.owners.waiting.len(),
            records.pages.len(),
            records.care_plan.items.len()
        ),
        (4, 1, 1, 1, 3)
    );
}

#[test]
fn the_examples_are_accepted_and_published_by_the_program() {
    let kennel = kennel();
    let inspected = kennel.run(&["inspect"]);
    assert_eq!(
        (inspected.code, inspected.err.as_str()),
        (Some(0), ""),
        "{inspected:#?}"
    );
    let published = kennel.run(&["publish"]);
    let drawn = "note: a key to sign records was drawn (signing-keys.json)\nnote: an access code \
                 was drawn for autumn-2026/reed\nnote: keep a copy of codes.yaml and \
                 signing-keys.json with your backups\n";
    assert_eq!(
        (published.code, published.err.as_str()),
        (Some(0), drawn),
        "{published:#?}"
    );
    let site = kennel.site();
    for page in ["public/index.html", "private/index.html"] {
        assert!(site.contains_key(page), "{page} in {:?}", site.keys());
    }
    let all: String = kennel.readable().into_values().collect();
    for word in ["Hazelmere Juno", "The first night", "How to apply", "Fern"] {
        assert!(all.contains(word), "{word} is not on the site");
    }
    for word in [
        "Clips short in May",
        "For Reed’s family",
        "For Reed's family",
        "okoro",
        "TK 22/3114",
        "941000024681357",
        "von Willebrand",
    ] {
        assert!(!all.contains(word), "{word} is on the site");
    }
}

/// The sections of the guide and the records they describe: heading, name in the schemas.
const SECTIONS: &[(&str, &str)] = &[
    ("`kennel.yaml`", "kennel"),
    ("`dogs/<dog>.yaml`", "dog"),
    ("`litters/<litter>/litter.yaml`", "litter"),
    ("`litters/<litter>/weights.yaml`", "weights"),
    ("`litters/<litter>/health.yaml`", "health"),
    ("`litters/<litter>/notes/*.md`", "note"),
    ("`owners.yaml`", "owners"),
    ("`pages/*.md`", "page"),
    ("`care-plan.yaml`", "care-plan"),
];

/// The text below a heading of the second level, up to the next.
fn section<'a>(guide: &'a str, heading: &str) -> &'a str {
    let start = guide
        .find(&format!("\n## {heading}\n"))
        .unwrap_or_else(|| panic!("the guide has no section {heading}"));
    let below = &guide[start + 4..];
    below.split("\n## ").next().unwrap()
}

/// All keys of a schema with their path: `contact`, `contact.email`, `puppies.vigour.at`.
fn keys_of(record: &str) -> BTreeSet<String> {
    fn walk(node: &Value, root: &Value, path: &str, keys: &mut BTreeSet<String>) {
        match node {
            Value::Object(object) => {
                if let Some(Value::String(target)) = object.get("$ref") {
                    walk(
                        root.pointer(target.trim_start_matches('#')).unwrap(),
                        root,
                        path,
                        keys,
                    );
                }
                for (key, value) in object {
                    match (key.as_str(), value) {
                        ("properties", Value::Object(properties)) => {
                            for (name, property) in properties {
                                let below = if path.is_empty() {
                                    name.clone()
                                } else {
                                    format!("{path}.{name}")
                                };
                                keys.insert(below.clone());
                                walk(property, root, &below, keys);
                            }
                        }
                        ("$defs", _) => {}
                        _ => walk(value, root, path, keys),
                    }
                }
            }
            Value::Array(items) => items.iter().for_each(|item| walk(item, root, path, keys)),
            _ => {}
        }
    }
    let schema = schema::of(record).unwrap();
    let mut keys = BTreeSet::new();
    walk(&schema, &schema, "", &mut keys);
    keys
}

/// What stands between backticks.
fn quoted(text: &str) -> impl Iterator<Item = &str> {
    text.split('`').skip(1).step_by(2)
}

/// The rows of the tables of a section: their cells.
fn rows(section: &str) -> Vec<Vec<&str>> {
    let table = section.lines().filter(|l| {
        l.starts_with('|')
            && !l.starts_with("| key ")
            && !l.starts_with("| entry ")
            && !l.starts_with("|--")
    });
    table
        .map(|l| l.trim_matches('|').split('|').map(str::trim).collect())
        .collect()
}

#[test]
fn every_record_has_its_section() {
    let sections: BTreeSet<&str> = SECTIONS.iter().map(|(_, record)| *record).collect();
    assert_eq!(
        sections,
        schema::RECORDS.iter().map(|(name, _)| *name).collect()
    );
}

#[test]
fn every_key_of_the_tables_is_in_the_schema() {
    let guide = guide();
    let mut checked = 0;
    for (heading, record) in SECTIONS {
        let keys = keys_of(record);
        // `contact.address` is a path; `alone` may stand in a list of puppies, whose table names it
        // without what is above it.
        let is_known = |name: &str| {
            keys.contains(name) || keys.iter().any(|key| key.ends_with(&format!(".{name}")))
        };
        for row in rows(section(&guide, heading)) {
            for name in quoted(row[0]) {
                assert!(
                    is_known(name),
                    "the guide names `{name}` in {heading}, and the schema of `{record}` does not \
                     know it"
                );
                checked += 1;
            }
        }
    }
    assert!(
        checked > 60,
        "the tables of the guide are no longer read right: {checked} keys"
    );
    // The table of health entries names in its second column what may stand in the entry of the
    // first.
    let keys = keys_of("health");
    for row in rows(section(&guide, "`litters/<litter>/health.yaml`")) {
        for entry in quoted(row[0]) {
            for name in quoted(row[1]) {
                assert!(
                    keys.contains(&format!("{entry}.{name}")),
                    "the guide names `{name}` in the entry `{entry}`"
                );
            }
        }
    }
}

#[test]
fn every_key_of_the_schemas_is_named_in_the_guide() {
    let guide = guide();
    let mut missing: BTreeMap<&str, Vec<String>> = BTreeMap::new();
    for (heading, record) in SECTIONS {
        let text = section(&guide, heading);
        let words: BTreeSet<&str> = quoted(text)
            .flat_map(|q| q.split(|c: char| !(c.is_alphanumeric() || c == '_')))
            .collect();
        let examples: String = blocks(text).into_iter().map(|(_, text)| text).collect();
        let named = |key: &str| {
            let in_example = examples
                .match_indices(&format!("{key}:"))
                .any(|(i, _)| !examples[..i].ends_with(|c: char| c.is_alphanumeric() || c == '_'));
            words.contains(key) || in_example
        };
        for key in keys_of(record) {
            if !named(key.rsplit('.').next().unwrap()) {
                missing.entry(record).or_default().push(key);
            }
        }
    }
    assert!(missing.is_empty(), "not named in the guide: {missing:#?}");
}

#[test]
fn every_word_of_the_schemas_is_named_in_the_guide() {
    fn words(node: &Value, found: &mut BTreeSet<String>) {
        match node {
            Value::Object(object) => {
                for (key, value) in object {
                    match (key.as_str(), value) {
                        ("enum", Value::Array(list)) => {
                            found.extend(list.iter().filter_map(Value::as_str).map(str::to_owned))
                        }
                        ("const", Value::String(word)) => _ = found.insert(word.clone()),
                        _ => words(value, found),
                    }
                }
            }
            Value::Array(items) => items.iter().for_each(|item| words(item, found)),
            _ => {}
        }
    }
    let guide = guide();
    let (mut checked, mut missing) = (0, Vec::new());
    for (heading, record) in SECTIONS {
        let mut found = BTreeSet::new();
        words(&schema::of(record).unwrap(), &mut found);
        checked += found.len();
        // Units of weight are told at the head of the guide, for all records.
        let text = format!(
            "{}{}",
            section(&guide, "What holds everywhere"),
            section(&guide, heading)
        );
        let named = |word: &String| {
            quoted(&text).any(|q| q == word || q.split_whitespace().any(|part| part == word))
                || text.contains(&format!(": {word}"))
        };
        missing.extend(
            found
                .into_iter()
                .filter(|word| !named(word))
                .map(|word| format!("{record}: {word}")),
        );
    }
    assert!(
        checked > 40,
        "the schemas are no longer read right: {checked} words"
    );
    assert!(missing.is_empty(), "not named in the guide: {missing:?}");
}
