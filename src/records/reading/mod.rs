//! Reading one YAML text into one record, with every problem in it.
//!
//! In: a text. Out: the record, if enough of it could be read, and all problems. A text is taken
//! apart into a [`Tree`] that knows where each value stands. When the record cannot be read from it
//! in one go, it is read again: a value that cannot be read is reported and taken out, and reading
//! goes on, so that one slip never hides the next.

mod broken;
mod depth;
mod fault;
mod plain;
mod room;
mod tree;
mod values;

pub(super) use plain::{plain, read_plain};
pub(super) use room::Room;
pub(super) use tree::{NodeContent, Tree};

use super::problem::{At, Place, Problem};
use crate::quantity::{self, did_you_mean};
use broken::MendedText;
use fault::{FaultKind, ReadingFault};
use schemars::{JsonSchema, generate::SchemaSettings};
use serde::de::DeserializeOwned;
use serde_json::Value;
use std::{borrow::Cow, collections::BTreeSet, ops::Range};

/// A node's number.
pub(crate) type NodeId = usize;

/// More problems than this in one file are not listed: the file is something else altogether.
const MOST_PROBLEMS: usize = 100;
/// More lines than these that break a text off are not told at once.
const MOST_BROKEN: usize = 10;

/// Reads the YAML part of `text` as a `T`.
pub(super) fn read<T: DeserializeOwned + JsonSchema>(
    file: &str,
    text: &str,
    yaml: Range<usize>,
    problems: &mut Vec<Problem>,
) -> Option<T> {
    let part = &text[yaml.clone()];
    match read_tree(part) {
        Some((record, _)) => Some(record),
        None => read_with_places(file, part, yaml.start, problems),
    }
}

/// The record of a text without a problem, and the tree it was read from; a text with one is left
/// to [`read`].
pub(super) fn read_tree<T: DeserializeOwned>(yaml: &str) -> Option<(T, Tree<'_>)> {
    let mut tree = Tree::parse(yaml).ok()?;
    if !tree.take_doubles().is_empty() || !tree.take_cut_numbers(yaml).is_empty() {
        return None;
    }
    Some((tree.read().ok()?, tree))
}

/// Reads a text with problems: slower, with places, going on after each.
pub(super) fn read_with_places<T: DeserializeOwned + JsonSchema>(
    file: &str,
    yaml: &str,
    offset: usize,
    problems: &mut Vec<Problem>,
) -> Option<T> {
    // A line that breaks the text off is told and taken as it is proposed, so that it does not hide
    // what is wrong behind it.
    let mut mended: Vec<MendedText> = Vec::new();
    let mut told: Vec<Range<usize>> = Vec::new();
    let mut yaml = Cow::Borrowed(yaml);
    loop {
        let shift = |range: Range<usize>| {
            let back = |byte| {
                offset
                    + mended
                        .iter()
                        .rev()
                        .fold(byte, |byte, line| line.before(byte))
            };
            back(range.start)..back(range.end)
        };
        let syntax = match Tree::parse(&yaml) {
            Ok(tree) => {
                let mut more = Vec::new();
                let record = read_tree_with_places(file, &yaml, tree, &shift, &mut more)
                    .filter(|_| mended.is_empty());
                // Of a line that is told already nothing is said that may come from how it was
                // mended.
                let is_told = |at: &At| match at {
                    At::Bytes(start, _) => told.iter().any(|line| line.contains(start)),
                    _ => false,
                };
                problems.extend(
                    more.into_iter()
                        .filter(|problem| !is_told(&problem.place.at)),
                );
                return record;
            }
            Err(syntax) => syntax,
        };
        problems.push(Problem::error(
            syntax.code,
            Place::bytes(file, shift(syntax.range)),
            syntax.message,
            syntax.hint,
        ));
        let line = syntax.mended.filter(|_| mended.len() < MOST_BROKEN)?;
        told.push(shift(line.line()));
        yaml = Cow::Owned(line.text.clone());
        mended.push(*line);
    }
}

/// The same for a text that could be taken apart; `shift` tells where its bytes stand in the file.
fn read_tree_with_places<T: DeserializeOwned + JsonSchema>(
    file: &str,
    yaml: &str,
    mut tree: Tree<'_>,
    shift: &dyn Fn(Range<usize>) -> Range<usize>,
    problems: &mut Vec<Problem>,
) -> Option<T> {
    for (range, first, key) in tree.take_doubles() {
        let problem = Problem::error(
            "key-twice",
            Place::bytes(file, shift(range)),
            format!("`{key}` stands here a second time"),
            "keep one of the two",
        )
        .and(Place::bytes(file, shift(first)), "the first");
        problems.push(problem);
    }
    for range in tree.take_cut_numbers(yaml) {
        let number = &yaml[range.clone()];
        let problem = Problem::error(
            "decimal-comma",
            Place::bytes(file, shift(range)),
            "inside braces a comma ends the value, so that this number is cut in two",
            format!("write it with a point: `{}`", number.replacen(',', ".", 1)),
        );
        problems.push(problem);
    }
    let mut already_missed = BTreeSet::new();
    for _ in 0..MOST_PROBLEMS {
        let fault = match tree.read::<T>() {
            Ok(record) => return Some(record),
            Err(fault) => fault,
        };
        let node = fault.at.unwrap_or_else(|| tree.root());
        let range = shift(tree.range(node));
        match &fault.kind {
            FaultKind::Missing(key) => {
                // What was taken out as unreadable has been reported already; the thing it was part
                // of goes with it, silently.
                let is_told = already_missed.contains(&(node, (*key).to_owned()))
                    || (fault.record.is_none() && tree.is_emptied(node));
                let first = (!is_told).then_some(*key);
                // serde stops at the first key that is missing; the keeper is told of all.
                let others = fault.record.map(required::<T>).unwrap_or_default();
                let others = others
                    .iter()
                    .map(String::as_str)
                    .filter(|other| other != key && !tree.has_key(node, other));
                problems.extend(
                    first
                        .into_iter()
                        .chain(others)
                        .map(|key| missing(Place::bytes(file, range.clone()), key)),
                );
            }
            _ => problems.push(describe(file, range, &fault)),
        }
        let (parent, key) = tree.take_out(node)?;
        if let Some(key) = key {
            already_missed.insert((parent, key));
        }
    }
    problems.push(Problem::error(
        "too-many-problems",
        Place::file(file),
        "this file has more problems than can be listed",
        "mend those above first",
    ));
    None
}

fn describe(file: &str, range: Range<usize>, fault: &ReadingFault) -> Problem {
    let place = Place::bytes(file, range);
    match &fault.kind {
        FaultKind::Unreadable {
            code,
            message,
            hint,
        } => Problem::error(code, place, message, hint),
        FaultKind::UnknownKey { key, known } => Problem::error(
            "key-unknown",
            place,
            format!("`{key}` is not a key here"),
            suggestion(key, known).unwrap_or_else(|| format!("keys here: {}", known.join(", "))),
        ),
        FaultKind::UnknownWord { word, known } => Problem::error(
            "word-unknown",
            place,
            format!("`{word}` is not one of the words for this"),
            suggestion(word, known).unwrap_or_else(|| format!("use one of: {}", known.join(", "))),
        ),
        FaultKind::Missing(key) => missing(place, key),
        FaultKind::Mismatch { found, expected } => {
            let hint = match (found.as_str(), expected.as_str()) {
                ("a block of keys", "a list") => "put `- ` before the first line of each entry, \
                                                  and two blanks before its other lines"
                    .to_owned(),
                _ => format!("write {expected}"),
            };
            Problem::error(
                "wrong-kind",
                place,
                format!("{found} stands where {expected} should be"),
                hint,
            )
        }
        FaultKind::TooMuch => Problem::error(
            "alias-bomb",
            place,
            "the aliases of this file unfold without end",
            "write the values out",
        ),
        FaultKind::Other(message) => Problem::error(
            "unreadable",
            place,
            message,
            "see the record guide for what may stand here",
        ),
    }
}

fn missing(place: Place, key: &str) -> Problem {
    Problem::error(
        "key-missing",
        place,
        format!("`{key}` is missing"),
        format!("add `{key}:` here"),
    )
}

/// The keys that a record needs, by the name of its type, as the JSON Schema of the whole file says
/// it.
fn required<T: JsonSchema>(record: &str) -> Vec<String> {
    let schema = schema_of::<T>();
    let of_record = schema
        .get("$defs")
        .and_then(|defs| defs.get(record))
        .unwrap_or(&schema);
    let keys = of_record.get("required").and_then(Value::as_array);
    keys.into_iter()
        .flatten()
        .filter_map(Value::as_str)
        .map(str::to_owned)
        .collect()
}

/// "did you mean", when something known is near enough.
pub(super) fn suggestion<S: AsRef<str>>(word: &str, known: &[S]) -> Option<String> {
    nearest(word, known).map(did_you_mean)
}

/// Words that mean the same as one of ours and do not look like it.
const SAME: &[(&str, &str)] = &[
    ("riband", "ribbon"),
    ("collar", "ribbon"),
    ("band", "ribbon"),
    ("gender", "sex"),
    ("mother", "dam"),
    ("father", "sire"),
    ("dob", "born"),
    ("birthday", "born"),
    ("date-of-birth", "born"),
    ("microchip", "chip"),
    ("comment", "remarks"),
    ("bitch", "female"),
    ("girl", "female"),
    ("boy", "male"),
    ("dead", "died"),
    ("caesarean", "planned section"),
    ("c-section", "planned section"),
];

/// The known word nearest to `word`, when it is near enough to be a slip, or means the same.
pub(super) fn nearest<'a, S: AsRef<str>>(word: &str, known: &'a [S]) -> Option<&'a str> {
    quantity::nearest(word, known).or_else(|| {
        let wanted = word.to_lowercase().replace('_', "-");
        let ours = SAME.iter().find(|(theirs, _)| *theirs == wanted)?.1;
        known.iter().map(AsRef::as_ref).find(|k| *k == ours)
    })
}

/// The schema of the record type `T`.
pub(super) fn schema_of<T: JsonSchema>() -> Value {
    SchemaSettings::draft2020_12()
        .into_generator()
        .into_root_schema_for::<T>()
        .to_value()
}

#[cfg(test)]
mod tests;
