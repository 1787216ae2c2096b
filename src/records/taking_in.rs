//! Takes a birth into a litter's record: what is missing is added, what stands there is never
//! touched.
//!
//! In: a [`BirthFile`] and the text of `litter.yaml`. Out: an [`Addition`] with the new text, or
//! problems that name both places; nothing is half taken in. The new text is read again, and must
//! hold exactly what the old one held and what was added.

use super::birth_file::BirthFile;
use super::problem::{Place, Problem, Step, key_path};
use super::reading::{Room, Tree};
use super::writing;
use crate::quantity::{BirthTime, Id, Span, Weight};
use serde_yaml::{Mapping, Value};

/// What taking a birth in comes to.
#[derive(Debug, Clone, PartialEq)]
pub struct Addition {
    /// The whole new text; the old one when there is nothing to add.
    pub text: String,
    /// The lines that are added, in the order in which they will stand.
    pub lines: Vec<String>,
    /// Whether the birth itself is added.
    pub birth: bool,
    /// Puppies that are added.
    pub puppies: Vec<Id>,
    /// How many puppies stand in the record already, as the file has them.
    pub already: usize,
}

/// The text of a `litter.yaml` with one more key of a puppy, a text in quotes; nothing where it has
/// the key, where there is no such puppy, or where the new text would not hold exactly the old one
/// and that key.
#[must_use]
pub fn with_puppy_key(old: &str, id: &Id, key: &str, value: &str) -> Option<String> {
    let mark = old.len() - old.trim_start_matches('\u{feff}').len();
    let yaml = &old[mark..];
    let (tree, mut wanted) = (
        Tree::parse(yaml).ok()?,
        serde_yaml::from_str::<Mapping>(yaml).ok()?,
    );
    let puppies = wanted.get_mut("puppies")?.as_sequence_mut()?;
    let is_meant = |one: &Value| {
        one.get("id")
            .is_some_and(|named| words(named).as_deref() == Some(id.as_str()))
    };
    let index = puppies.iter().position(is_meant)?;
    let puppy = puppies.get_mut(index)?.as_mapping_mut()?;
    if puppy.contains_key(key) || value.contains(['"', '\\', '\n', '\r']) {
        return None;
    }
    puppy.insert(key.into(), value.into());
    let new = format!(
        "{}{}",
        &old[..mark],
        tree.with_line(yaml, "puppies", index, &format!("{key}: \"{value}\""))?
    );
    let holds = serde_yaml::from_str::<Mapping>(&new[mark..])
        .is_ok_and(|new| exactly(&Value::Mapping(new), &Value::Mapping(wanted)));
    holds.then_some(new)
}

/// What a record says of something that somebody else says as well.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Beside {
    /// Nothing.
    Missing,
    /// The same.
    Alike,
    /// Something else: this.
    Differs(String),
}

/// Holds what somebody says against the same key of a record. What nobody looked at is said by
/// nobody.
#[must_use]
pub fn beside(known: &Mapping, key: &str, said: &Value) -> Beside {
    let nobody = |value: &Value| {
        let text = value.as_str();
        value.is_null() || text.is_some_and(|text| ["not looked at", "not seen"].contains(&text))
    };
    match known.get(key).filter(|value| !nobody(value)) {
        None => Beside::Missing,
        Some(value) if alike(said, value) => Beside::Alike,
        Some(value) => Beside::Differs(shown(value).replace('`', "")),
    }
}

/// The puppies of a `litter.yaml` as they are written there.
#[must_use]
pub fn written_puppies(text: &str) -> Vec<Mapping> {
    let read = serde_yaml::from_str::<Mapping>(text.trim_start_matches('\u{feff}'));
    let Some(Value::Sequence(list)) = read.ok().and_then(|mut all| all.remove("puppies")) else {
        return Vec::new();
    };
    let puppies = list.into_iter();
    puppies
        .map(|one| one.as_mapping().cloned().unwrap_or_default())
        .collect()
}

/// Lines to put in before a byte of the text.
struct InsertedLines {
    at: usize,
    lines: Vec<String>,
}

impl BirthFile {
    /// Takes the birth into a record. `record` is the name of the record's file below the content
    /// folder.
    ///
    /// # Errors
    /// Problems: something stands there already and differs, or the record has a shape that nothing
    /// can be added to.
    pub fn into_record(&self, record: &str, old: &str) -> Result<Addition, Vec<Problem>> {
        let mark = old.len() - old.trim_start_matches('\u{feff}').len();
        let yaml = &old[mark..];
        let (Ok(tree), Ok(known)) = (Tree::parse(yaml), serde_yaml::from_str::<Mapping>(yaml))
        else {
            return Err(vec![closed(
                record,
                &[],
                "this record cannot be read",
                "mend it first: `litterfolio inspect` says where",
            )]);
        };
        let mut problems = Vec::new();
        let birth = self.new_birth(record, &known, &mut problems);
        let (puppies, already) = self.new_puppies(record, &known, &mut problems);
        let pieces = if problems.is_empty() {
            pieces(record, yaml, &tree, birth, &puppies, &mut problems)
        } else {
            Vec::new()
        };
        if !problems.is_empty() {
            return Err(problems);
        }
        let text = compose(old, mark, &pieces);
        let mut wanted = known;
        if let Some(birth) = birth {
            wanted.insert("birth".into(), Value::Mapping(birth.clone()));
        }
        if !puppies.is_empty() {
            let list = wanted
                .entry("puppies".into())
                .or_insert_with(|| Value::Sequence(Vec::new()));
            list.as_sequence_mut().into_iter().for_each(|list| {
                list.extend(
                    puppies
                        .iter()
                        .map(|(_, block)| Value::Mapping((*block).clone())),
                );
            });
        }
        let holds = serde_yaml::from_str::<Mapping>(&text[mark..])
            .is_ok_and(|new| exactly(&Value::Mapping(new), &Value::Mapping(wanted)));
        if !holds {
            let hint = "write the lines into it by hand: the record is laid out in a way that the \
                        program does not dare to add to";
            return Err(vec![closed(
                record,
                &[],
                "nothing can be added to this record safely",
                hint,
            )]);
        }
        Ok(Addition {
            text,
            lines: pieces.into_iter().flat_map(|piece| piece.lines).collect(),
            birth: birth.is_some(),
            puppies: puppies.iter().map(|(id, _)| (*id).clone()).collect(),
            already,
        })
    }

    /// The birth, when the record has none yet.
    fn new_birth(
        &self,
        record: &str,
        known: &Mapping,
        problems: &mut Vec<Problem>,
    ) -> Option<&Mapping> {
        let birth = self.birth.as_ref()?;
        match known.get("birth") {
            None => return Some(birth),
            Some(Value::Mapping(there)) => self.compare(
                "the birth",
                (key_path!["birth"], birth),
                record,
                (key_path!["birth"], there),
                problems,
            ),
            Some(_) => problems.push(closed(
                record,
                &["birth".into()],
                "`birth` stands here with nothing in it",
                "take this line out, then take the file in again",
            )),
        }
        None
    }

    /// The puppies that the record does not have yet, and how many it has.
    fn new_puppies(
        &self,
        record: &str,
        known: &Mapping,
        problems: &mut Vec<Problem>,
    ) -> (Vec<(&Id, &Mapping)>, usize) {
        let there = known
            .get("puppies")
            .and_then(Value::as_sequence)
            .map(Vec::as_slice)
            .unwrap_or_default();
        let (mut new, mut already) = (Vec::new(), 0);
        for (i, (id, block)) in self.puppies.iter().enumerate() {
            let found = there.iter().enumerate().find_map(|(at, one)| {
                let one = one.as_mapping()?;
                (one.get("id")
                    .is_some_and(|named| words(named).as_deref() == Some(id.as_str())))
                .then_some((at, one))
            });
            match found {
                None => new.push((id, block)),
                Some((at, one)) => {
                    already += 1;
                    self.compare(
                        &format!("`{id}`"),
                        (key_path!["puppies", i], block),
                        record,
                        (key_path!["puppies", at], one),
                        problems,
                    );
                }
            }
        }
        (new, already)
    }

    /// Everything that the file says must stand in the record already, alike.
    fn compare(
        &self,
        whose: &str,
        (here, file): (Vec<Step>, &Mapping),
        record: &str,
        (there, known): (Vec<Step>, &Mapping),
        problems: &mut Vec<Problem>,
    ) {
        for (key, value) in file {
            let Some(key) = words(key) else { continue };
            let deeper = |path: &[Step]| {
                path.iter()
                    .cloned()
                    .chain([Step::Key(key.clone())])
                    .collect::<Vec<_>>()
            };
            let hint = "what stands in the record is never changed: correct one of the two by \
                        hand, then take the file in again";
            match known.get(key.as_str()).filter(|other| !other.is_null()) {
                Some(other) if alike(value, other) => {}
                Some(other) => {
                    let message = format!("`{key}` of {whose} is another one in the record");
                    let said = format!("there it is {}", shown(other));
                    let problem = Problem::error(
                        "record-differs",
                        Place::path(&self.name, deeper(&here)),
                        message,
                        hint,
                    );
                    problems.push(problem.and(Place::path(record, deeper(&there)), said));
                }
                None => {
                    let message = format!(
                        "`{key}` of {whose} is not in the record, which has {whose} already"
                    );
                    let hint = format!(
                        "write `{}` into the record by hand, or take it out here",
                        writing::entry(&key, value, " ").join(" ").trim()
                    );
                    let problem = Problem::error(
                        "record-differs",
                        Place::path(&self.name, deeper(&here)),
                        message,
                        hint,
                    );
                    problems
                        .push(problem.and(Place::path(record, there.clone()), "it stands here"));
                }
            }
        }
    }
}

/// Where which lines go.
fn pieces(
    record: &str,
    yaml: &str,
    tree: &Tree<'_>,
    birth: Option<&Mapping>,
    puppies: &[(&Id, &Mapping)],
    problems: &mut Vec<Problem>,
) -> Vec<InsertedLines> {
    let Some(indent) = tree.key_indent(yaml) else {
        problems.push(closed(
            record,
            &[],
            "this record stands in braces, and nothing can be added to it",
            "write each key on a line of its own",
        ));
        return Vec::new();
    };
    let (mut inside, mut end) = (Vec::new(), Vec::new());
    let below = |lines: Vec<String>| {
        lines
            .into_iter()
            .map(|line| format!("{indent}{line}"))
            .collect::<Vec<_>>()
    };
    if let Some(birth) = birth {
        end.extend(below(writing::entry(
            "birth",
            &Value::Mapping(birth.clone()),
            "",
        )));
    }
    if !puppies.is_empty() {
        let items = |indent: &str| {
            puppies
                .iter()
                .flat_map(|(_, block)| writing::item(block, indent))
                .collect::<Vec<_>>()
        };
        match tree.room_in(yaml, "puppies") {
            Room::Open { at, indent } => inside.push(InsertedLines {
                at,
                lines: items(&indent),
            }),
            Room::NoKey => {
                end.push(format!("{indent}puppies:"));
                end.extend(below(items("  ")));
            }
            Room::Closed => {
                let hint = "write `puppies:` with a line `- id: …` for each puppy, or take the \
                            key out when it is empty; then take the file in again";
                problems.push(closed(
                    record,
                    &["puppies".into()],
                    "nothing can be added to this list",
                    hint,
                ));
            }
        }
    }
    if !end.is_empty() {
        inside.push(InsertedLines {
            at: yaml.len(),
            lines: end,
        });
    }
    inside
}

/// The old text with the pieces in it, in the line ends that it has.
fn compose(old: &str, mark: usize, pieces: &[InsertedLines]) -> String {
    let line_end = if old.find('\n').is_some_and(|at| old[..at].ends_with('\r')) {
        "\r\n"
    } else {
        "\n"
    };
    let (mut text, mut taken) = (String::with_capacity(old.len() + 1024), 0);
    for InsertedLines { at, lines } in pieces {
        text.push_str(&old[taken..mark + at]);
        taken = mark + at;
        if !text.ends_with('\n') && taken > mark {
            text.push_str(line_end);
        }
        for line in lines {
            text.push_str(line);
            text.push_str(line_end);
        }
    }
    text.push_str(&old[taken..]);
    text
}

/// Whether two values are the same, but for the line ends behind a text: the last text of a file
/// may gain one when a line follows.
fn exactly(one: &Value, other: &Value) -> bool {
    match (one, other) {
        (Value::Mapping(a), Value::Mapping(b)) => {
            a.len() == b.len()
                && a.iter()
                    .all(|(key, value)| b.get(key).is_some_and(|other| exactly(value, other)))
        }
        (Value::Sequence(a), Value::Sequence(b)) => {
            a.len() == b.len() && a.iter().zip(b).all(|(a, b)| exactly(a, b))
        }
        (Value::String(a), Value::String(b)) => a.trim_end() == b.trim_end(),
        _ => one == other,
    }
}

/// Whether what the first value says is said by the second as well: `212 g` and `0.212 kg` do, and
/// so do a text and the same text with blanks around it.
fn alike(one: &Value, other: &Value) -> bool {
    match (one, other) {
        (Value::Mapping(a), Value::Mapping(b)) => {
            a.len() <= b.len()
                && a.iter()
                    .all(|(key, value)| b.get(key).is_some_and(|other| alike(value, other)))
        }
        (Value::Sequence(a), Value::Sequence(b)) => {
            a.len() == b.len() && a.iter().zip(b).all(|(a, b)| alike(a, b))
        }
        (Value::Null, Value::Null) => true,
        _ => {
            let (Some(a), Some(b)) = (words(one), words(other)) else {
                return one == other;
            };
            let (a, b) = (a.trim(), b.trim());
            a == b || equal::<Weight>(a, b) || equal::<Span>(a, b) || equal::<BirthTime>(a, b)
        }
    }
}

fn equal<T: std::str::FromStr + PartialEq>(a: &str, b: &str) -> bool {
    matches!((a.parse::<T>(), b.parse::<T>()), (Ok(a), Ok(b)) if a == b)
}

/// A scalar as the text that it was.
fn words(value: &Value) -> Option<String> {
    match value {
        Value::String(text) => Some(text.clone()),
        Value::Number(number) => Some(number.to_string()),
        Value::Bool(yes) => Some(yes.to_string()),
        Value::Null | Value::Sequence(_) | Value::Mapping(_) | Value::Tagged(_) => None,
    }
}

/// A value for a label, in short.
fn shown(value: &Value) -> String {
    let text = writing::entry("", value, " ").join(" ");
    let text = text.trim_start_matches([' ', ':']);
    let short: String = text.chars().take(60).collect();
    if short.len() < text.len() {
        format!("`{short}…`")
    } else {
        format!("`{short}`")
    }
}

fn closed(record: &str, path: &[Step], message: &str, hint: &str) -> Problem {
    let place = if path.is_empty() {
        Place::file(record)
    } else {
        Place::path(record, path.to_vec())
    };
    Problem::error("cannot-be-added-to", place, message, hint)
}

#[cfg(test)]
mod tests;
