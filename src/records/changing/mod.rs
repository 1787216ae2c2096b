//! Changes of records: from what was asked to a new text.
//!
//! In: the text of a record, or of a note or page with a head, and [`Change`]s: set, add, take out,
//! move, rename. Out: the new text, in which only the bytes of what was asked are others; or a
//! problem with its place and what to type by hand. Each change is made twice, on the text and on
//! what the text means, and the new text is read again: only when both agree is it given away.
//!
//! Never: a text written anew, a comment lost that stands on a line of its own, a change of a value
//! that other lines take over by an alias, a file on disk (that is `output`).

mod layout;
mod meaning;
pub mod naming;
mod surgery;
#[cfg(test)]
mod tests;
pub mod typed;
pub mod written;

use super::problem::{Place, Problem, Step};
use super::reading::{NodeContent, Tree};
use super::text_file;
use meaning::Meaning;
use serde_yaml::{Mapping, Value};
use std::ops::Range;
use surgery::{Surgeon, Way};

/// One change of one record.
#[derive(Debug, Clone, PartialEq)]
pub enum Change {
    /// A value is set; keys on the way to it that are missing are made.
    Set {
        /// The way to the value.
        path: Vec<Step>,
        /// The value.
        value: Value,
    },
    /// An entry is added to a list, which is made when it is missing.
    Add {
        /// The way to the list.
        path: Vec<Step>,
        /// Before which entry; behind the last where there is nothing.
        at: Option<usize>,
        /// The entry.
        value: Value,
    },
    /// A key or an entry is taken out.
    TakeOut {
        /// The way to it.
        path: Vec<Step>,
    },
    /// An entry of a list gets another place in it.
    Move {
        /// The way to the entry.
        path: Vec<Step>,
        /// The place it has then, from 0.
        to: usize,
    },
    /// A key gets another name.
    Rename {
        /// The way to the key.
        path: Vec<Step>,
        /// Its new name.
        to: String,
    },
}

impl Change {
    /// This value is set.
    pub fn set(path: Vec<Step>, value: impl Into<Value>) -> Self {
        let value = value.into();
        Self::Set { path, value }
    }

    /// An entry comes behind the last of a list.
    pub fn add(path: Vec<Step>, value: impl Into<Value>) -> Self {
        let (at, value) = (None, value.into());
        Self::Add { path, at, value }
    }

    /// This key or entry is taken out.
    pub fn take_out(path: Vec<Step>) -> Self {
        Self::TakeOut { path }
    }

    /// Where it is made.
    #[must_use]
    pub fn path(&self) -> &[Step] {
        match self {
            Self::Set { path, .. }
            | Self::Add { path, .. }
            | Self::TakeOut { path }
            | Self::Move { path, .. }
            | Self::Rename { path, .. } => path,
        }
    }

    fn with_path(&self, path: Vec<Step>) -> Self {
        match self.clone() {
            Self::Set { value, .. } => Self::Set { path, value },
            Self::Add { at, value, .. } => Self::Add { path, at, value },
            Self::TakeOut { .. } => Self::TakeOut { path },
            Self::Move { to, .. } => Self::Move { path, to },
            Self::Rename { to, .. } => Self::Rename { path, to },
        }
    }
}

/// Bytes of a text that become others.
#[derive(Debug, Clone, PartialEq, Eq)]
struct Edit {
    range: Range<usize>,
    text: String,
}

impl Edit {
    fn new(range: Range<usize>, text: String) -> Self {
        Self { range, text }
    }
}

/// A text taken apart.
struct Parts<'t> {
    /// The byte order mark, where there is one; places in a file do not count it.
    mark: &'t str,
    /// What stands before the YAML: the line that begins a head.
    before: &'t str,
    record: &'t str,
    behind: &'t str,
}

impl<'t> Parts<'t> {
    fn of(file: &str, text: &'t str) -> Result<Self, Vec<Problem>> {
        let bare = text.strip_prefix('\u{feff}').unwrap_or(text);
        let mut problems = Vec::new();
        let yaml = text_file::yaml_in(file, bare, &mut problems).ok_or(problems)?;
        let mark = &text[..text.len() - bare.len()];
        Ok(Self {
            mark,
            before: &bare[..yaml.start],
            record: &bare[yaml.clone()],
            behind: &bare[yaml.end..],
        })
    }

    /// The record, to be changed.
    fn work<'f>(&self, file: &'f str) -> Result<TextWork<'f>, Vec<Problem>> {
        TextWork::new(file, self.before.len(), self.record.to_owned())
    }
}

/// What stands below the head of a note or page is set under this name.
pub const BELOW: &str = "text";

/// Makes changes in the text of `file` (its path below the content folder), one after the other.
///
/// # Errors
/// Problems of the text as it stands, or one that says why a change cannot be made; the text is
/// then to be left as it is.
pub fn changed(file: &str, text: &str, changes: &[Change]) -> Result<String, Vec<Problem>> {
    let Parts {
        mark,
        before,
        record,
        behind,
    } = Parts::of(file, text)?;
    let (mut record, mut behind) = (record.to_owned(), behind.to_owned());
    for change in changes {
        if file.ends_with(".md") && change.path() == [Step::from(BELOW)] {
            behind = below(file, &behind, change)?;
            continue;
        }
        record = one(file, before.len(), &record, change)?;
    }
    let new = format!("{mark}{before}{record}{behind}");
    if new.len() as u64 > text_file::LARGEST_RECORD {
        let hint = "move the oldest entries into a file outside the content folder";
        return Err(vec![Problem::error(
            "file-too-large",
            Place::file(file),
            "this file would be larger than 8 MB",
            hint,
        )]);
    }
    Ok(new)
}

/// Another text below the line that ends a head.
fn below(file: &str, behind: &str, change: &Change) -> Result<String, Vec<Problem>> {
    let refused = |message: &str| {
        vec![Problem::error(
            "cannot-change",
            Place::file(file),
            message,
            "set it to a text, in quotes if it has several lines",
        )]
    };
    let Change::Set {
        value: Value::String(text),
        ..
    } = change
    else {
        return Err(refused("what stands below the head is a text"));
    };
    let end = layout::line_end(behind);
    let head = &behind[..layout::behind_line(behind, 0)];
    let between = if head.ends_with(['\n', '\r']) {
        ""
    } else {
        end
    };
    let text = text.replace("\r\n", "\n").replace('\n', end);
    let last = if text.is_empty() || text.ends_with(['\n', '\r']) {
        ""
    } else {
        end
    };
    Ok(format!("{head}{between}{text}{last}"))
}

/// One change in the YAML of a text that begins at `offset` of its file.
fn one(file: &str, offset: usize, record: &str, change: &Change) -> Result<String, Vec<Problem>> {
    let mut work = TextWork::new(file, offset, record.to_owned())?;
    let mut wanted = work.meaning()?;
    wanted.change(change).ok_or_else(|| work.no_place(change))?;
    work.make(change)?;
    // What the small steps came to is what was asked, whatever they thought of it.
    if work.reads_as(&work.text, &wanted) {
        Ok(work.text)
    } else {
        Err(work.cannot(change))
    }
}

/// A text that is being changed.
struct TextWork<'a> {
    file: &'a str,
    offset: usize,
    text: String,
    /// Whether both of the program's readers understand the text in the same way; then they have
    /// to agree on the new one too.
    both: bool,
}

impl<'a> TextWork<'a> {
    fn new(file: &'a str, offset: usize, text: String) -> Result<Self, Vec<Problem>> {
        let mut work = Self {
            file,
            offset,
            text,
            both: false,
        };
        let meaning = work.meaning()?;
        work.both = other_reading(&work.text).is_some_and(|other| other.is_as(&meaning));
        Ok(work)
    }

    /// Whether a text says what is wanted.
    fn reads_as(&self, text: &str, wanted: &Meaning) -> bool {
        let Ok(mut tree) = Tree::parse(text) else {
            return false;
        };
        tree.take_doubles().is_empty()
            && Meaning::of(&tree).is_some_and(|read| read.is_as(wanted))
            && (!self.both || other_reading(text).is_some_and(|read| read.is_as(wanted)))
    }

    fn tree(&self) -> Result<Tree<'_>, Vec<Problem>> {
        let mut tree = Tree::parse(&self.text).map_err(|syntax| {
            let range = self.offset + syntax.range.start..self.offset + syntax.range.end;
            vec![Problem::error(
                syntax.code,
                Place::bytes(self.file, range),
                syntax.message,
                syntax.hint,
            )]
        })?;
        let twice: Vec<Problem> = tree
            .take_doubles()
            .into_iter()
            .map(|(range, _, key)| {
                let place = Place::bytes(
                    self.file,
                    self.offset + range.start..self.offset + range.end,
                );
                Problem::error(
                    "key-twice",
                    place,
                    format!("`{key}` stands here a second time"),
                    "keep one of the two",
                )
            })
            .collect();
        if twice.is_empty() {
            Ok(tree)
        } else {
            Err(twice)
        }
    }

    fn meaning(&self) -> Result<Meaning, Vec<Problem>> {
        let odd = || {
            let message = "this file holds keys that are no words, or aliases without end";
            vec![Problem::error(
                "cannot-change",
                Place::file(self.file),
                message,
                "write the values out, each behind a key",
            )]
        };
        Meaning::of(&self.tree()?).ok_or_else(odd)
    }

    /// Makes a change by small steps.
    fn make(&mut self, change: &Change) -> Result<(), Vec<Problem>> {
        let path = change.path().to_vec();
        let through = {
            let tree = self.tree()?;
            match (Surgeon {
                text: &self.text,
                tree: &tree,
            })
            .find(&path)
            {
                Way::Alias(done, found) => Some((done, Meaning::of_part(&tree, found.node))),
                Way::Whole(found)
                    if matches!(tree.content(found.node), NodeContent::Alias(_))
                        && matches!(change, Change::Add { .. }) =>
                {
                    Some((path.len(), Meaning::of_part(&tree, found.node)))
                }
                Way::Whole(_) | Way::Part(..) => None,
            }
        };
        if let Some((done, inner)) = through {
            // What an alias stands for is written out where it is to be another.
            let value = inner.and_then(|mut inner| {
                inner.change(&change.with_path(path[done..].to_vec()))?;
                inner.to_value()
            });
            let value = value.ok_or_else(|| self.cannot(change))?;
            return self.step(&Change::Set {
                path: path[..done].to_vec(),
                value,
            });
        }
        match change {
            Change::Set { value, .. } => self.set(&path, value),
            Change::Add { value, .. } => {
                let meaning = self.meaning()?;
                match meaning.at(&path) {
                    Some(Meaning::List(items)) if !items.is_empty() => self.step(change),
                    Some(Meaning::List(_) | Meaning::Nothing) | None => {
                        self.set(&path, &Value::Sequence(vec![value.clone()]))
                    }
                    Some(_) => Err(self.no_place(change)),
                }
            }
            Change::Move { path, to } if path.last() == Some(&Step::Index(*to)) => Ok(()),
            Change::TakeOut { .. } | Change::Move { .. } | Change::Rename { .. } => {
                self.step(change)
            }
        }
    }

    /// Sets a value: where a block or a list takes the place of another, only what differs.
    fn set(&mut self, path: &[Step], value: &Value) -> Result<(), Vec<Problem>> {
        let meaning = self.meaning()?;
        let with = |step: Step| path.iter().cloned().chain([step]).collect::<Vec<_>>();
        let new = Meaning::of_value(value);
        match (meaning.at(path), value) {
            (Some(old), _) if Some(old) == new.as_ref() => Ok(()),
            (Some(Meaning::Block(old)), Value::Mapping(new))
                if !old.is_empty() && !new.is_empty() && !self.is_alias(path)? =>
            {
                for (key, value) in new {
                    let Some(key) = key.as_str() else {
                        return Err(self.cannot_at(path));
                    };
                    if old.get(key) != Meaning::of_value(value).as_ref() {
                        self.set(&with(Step::from(key)), value)?;
                    }
                }
                let gone = old.keys().filter(|key| !new.contains_key(key.as_str()));
                gone.into_iter().try_for_each(|key| {
                    self.step(&Change::TakeOut {
                        path: with(Step::from(key.as_str())),
                    })
                })
            }
            (Some(Meaning::List(old)), Value::Sequence(new))
                if !old.is_empty() && !new.is_empty() && !self.is_alias(path)? =>
            {
                for (index, value) in new.iter().enumerate() {
                    if index >= old.len() {
                        self.step(&Change::Add {
                            path: path.to_vec(),
                            at: None,
                            value: value.clone(),
                        })?;
                    } else if Meaning::of_value(value).as_ref() != old.get(index) {
                        self.set(&with(Step::Index(index)), value)?;
                    }
                }
                (new.len()..old.len()).rev().try_for_each(|index| {
                    self.step(&Change::TakeOut {
                        path: with(Step::Index(index)),
                    })
                })
            }
            (Some(_), _) => self.step(&Change::Set {
                path: path.to_vec(),
                value: value.clone(),
            }),
            (None, _) => self.set_new(path, value, &meaning),
        }
    }

    fn is_alias(&self, path: &[Step]) -> Result<bool, Vec<Problem>> {
        let tree = self.tree()?;
        let way = Surgeon {
            text: &self.text,
            tree: &tree,
        }
        .find(path);
        Ok(match way {
            Way::Whole(found) => matches!(tree.content(found.node), NodeContent::Alias(_)),
            _ => false,
        })
    }

    /// Sets a value that is not there: the keys on the way to it are made with it.
    fn set_new(
        &mut self,
        path: &[Step],
        value: &Value,
        meaning: &Meaning,
    ) -> Result<(), Vec<Problem>> {
        let there = (0..path.len())
            .rev()
            .find(|steps| meaning.at(&path[..*steps]).is_some())
            .unwrap_or(0);
        let wrapped = |from: usize| {
            path[from..]
                .iter()
                .rev()
                .fold(value.clone(), |inner, step| match step {
                    Step::Key(key) | Step::Name(key) => Value::Mapping(
                        [(Value::String(key.clone()), inner)]
                            .into_iter()
                            .collect::<Mapping>(),
                    ),
                    Step::Index(_) => Value::Sequence(vec![inner]),
                })
        };
        let above = path[..there].to_vec();
        match (meaning.at(&above), &path[there]) {
            (Some(Meaning::Nothing), _) => self.step(&Change::Set {
                path: above,
                value: wrapped(there),
            }),
            (Some(Meaning::Block(block)), Step::Key(_)) if block.is_empty() => {
                self.step(&Change::Set {
                    path: above,
                    value: wrapped(there),
                })
            }
            (Some(Meaning::Block(_)), Step::Key(_)) => self.step(&Change::Set {
                path: path[..=there].to_vec(),
                value: wrapped(there + 1),
            }),
            (Some(Meaning::List(items)), Step::Index(index)) if *index == items.len() => {
                self.make(&Change::Add {
                    path: above,
                    at: None,
                    value: wrapped(there + 1),
                })
            }
            _ => Err(self.cannot_at(path)),
        }
    }

    /// One small step, made in the first way that does just that.
    fn step(&mut self, change: &Change) -> Result<(), Vec<Problem>> {
        let mut wanted = self.meaning()?;
        wanted.change(change).ok_or_else(|| self.no_place(change))?;
        let new = {
            let tree = self.tree()?;
            let ways = Surgeon {
                text: &self.text,
                tree: &tree,
            }
            .ways(change);
            let made = ways
                .into_iter()
                .filter_map(|edits| spliced(&self.text, edits));
            made.into_iter().find(|text| self.reads_as(text, &wanted))
        };
        self.text = new.ok_or_else(|| self.cannot(change))?;
        Ok(())
    }

    fn place(&self, path: &[Step]) -> Place {
        Place::path(self.file, path.to_vec())
    }

    fn no_place(&self, change: &Change) -> Vec<Problem> {
        let shown = typed::shown(change.path());
        let message = match change {
            Change::Move { to, .. } => format!("`{shown}` cannot be moved to place {}", to + 1),
            Change::Rename { to, .. } => {
                format!("`{shown}` cannot be renamed to `{to}`: it is not there, or the other is")
            }
            Change::TakeOut { .. } => format!("there is no `{shown}` here"),
            Change::Set { .. } | Change::Add { .. } => {
                format!("there is no place for `{shown}` here")
            }
        };
        vec![Problem::error(
            "place-unknown",
            self.place(change.path()),
            message,
            "look at the names on the way to it, and at the file",
        )]
    }

    fn cannot(&self, change: &Change) -> Vec<Problem> {
        self.cannot_at(change.path())
    }

    /// That a change would change something else as well, and what to do.
    fn cannot_at(&self, path: &[Step]) -> Vec<Problem> {
        let has_alias = self.tree().is_ok_and(|tree| tree.has_aliases());
        let hint = if has_alias {
            "a name with `*` takes over what stands behind the same name with `&`: write the value \
             out there first"
        } else {
            "change it in the file: give each key and each entry a line of its own"
        };
        let message = format!(
            "`{}` cannot be changed here without changing something else",
            typed::shown(path)
        );
        vec![Problem::error(
            "cannot-change",
            self.place(path),
            message,
            hint,
        )]
    }
}

/// A text with its edits made; nothing when two of them overlap.
fn spliced(text: &str, mut edits: Vec<Edit>) -> Option<String> {
    edits.sort_by_key(|edit| (edit.range.start, edit.range.end));
    let mut new = String::with_capacity(text.len() + 64);
    let mut done = 0;
    for Edit { range, text: own } in edits {
        new.push_str(text.get(done..range.start)?);
        new.push_str(&own);
        done = range.end;
    }
    new.push_str(text.get(done..)?);
    Some(new)
}

/// What another reader understands.
fn other_reading(text: &str) -> Option<Meaning> {
    serde_yaml::from_str::<Value>(text)
        .ok()
        .as_ref()
        .and_then(Meaning::of_value)
}
