//! What stands in a record, value by value as it was written: what a form is filled with.
//!
//! In: the text of a record, or of a note or page with a head. Out: [`Written`], in the order of
//! the text, and what stands below the head. A number keeps its zeros and its way of writing.

use super::Parts;
use super::meaning::is_nothing;
use crate::problem::{Problem, Step};
use crate::reading::{NodeContent, NodeId, Tree};
use std::ops::Range;

/// A value as it was written.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub enum Written {
    /// A key without a value, or no text at all.
    #[default]
    Nothing,
    /// A text, a number, a truth value.
    Text(String),
    /// Entries.
    List(Vec<Written>),
    /// Keys and values.
    Block(Vec<(String, Written)>),
}

impl Written {
    /// The value of a key.
    #[must_use]
    pub fn get(&self, key: &str) -> Option<&Self> {
        match self {
            Self::Block(entries) => {
                let entry = entries.iter().find(|(known, _)| known == key);
                entry.map(|(_, value)| value)
            }
            Self::Nothing | Self::Text(_) | Self::List(_) => None,
        }
    }

    /// What stands at the end of a path.
    #[must_use]
    pub fn at(&self, path: &[Step]) -> Option<&Self> {
        path.iter().try_fold(self, |here, step| match (here, step) {
            (Self::List(items), Step::Index(index)) => items.get(*index),
            (_, Step::Key(key) | Step::Name(key)) => here.get(key),
            _ => None,
        })
    }

    /// The text, when it is one.
    #[must_use]
    pub fn text(&self) -> Option<&str> {
        match self {
            Self::Text(text) => Some(text),
            Self::Nothing | Self::List(_) | Self::Block(_) => None,
        }
    }
}

/// A record and what stands below its head; nothing below where it has no head.
///
/// # Errors
/// When the text is no YAML, or a key stands twice.
pub fn of(file: &str, text: &str) -> Result<(Written, String), Vec<Problem>> {
    let parts = Parts::of(file, text)?;
    let work = parts.work(file)?;
    let tree = work.tree()?;
    // It says whether there are keys that are no words, or aliases without end.
    work.meaning()?;
    let below = if file.ends_with(".md") {
        let behind = parts.behind;
        &behind[super::layout::behind_line(behind, 0)..]
    } else {
        ""
    };
    Ok((node(&tree, tree.root()), below.to_owned()))
}

/// The way to the value, or to the key, that holds these bytes of the text.
#[must_use]
pub fn path_at(file: &str, text: &str, bytes: &Range<usize>) -> Option<Vec<Step>> {
    let parts = Parts::of(file, text).ok()?;
    let at = bytes.start.checked_sub(parts.before.len())?;
    let tree = Tree::parse(parts.record).ok()?;
    let holds = |node: NodeId| {
        let range = tree.range(node);
        range.start <= at && at < range.end.max(range.start + 1)
    };
    let (mut here, mut path) = (tree.root(), Vec::new());
    loop {
        let next = match tree.content(here) {
            NodeContent::Block(entries) => entries.iter().find_map(|(key, value)| {
                let NodeContent::Scalar { text, .. } = tree.content(*key) else {
                    return None;
                };
                let step = Step::Key(text.to_string());
                if holds(*key) {
                    return Some((step, None));
                }
                holds(*value).then_some((step, Some(*value)))
            }),
            NodeContent::List(items) => {
                let found = items.iter().enumerate().find(|(_, item)| holds(**item));
                found.map(|(index, item)| (Step::Index(index), Some(*item)))
            }
            NodeContent::Scalar { .. } | NodeContent::Alias(_) => None,
        };
        let Some((step, below)) = next else {
            return Some(path);
        };
        path.push(step);
        match below {
            Some(below) => here = below,
            None => return Some(path),
        }
    }
}

fn node(tree: &Tree<'_>, at: NodeId) -> Written {
    match tree.content(tree.resolve(at)) {
        NodeContent::Scalar { text, plain: true } if is_nothing(text) => Written::Nothing,
        NodeContent::Scalar { text, .. } => Written::Text(text.to_string()),
        NodeContent::List(items) => {
            Written::List(items.iter().map(|item| node(tree, *item)).collect())
        }
        NodeContent::Block(entries) => Written::Block(
            entries
                .iter()
                .filter_map(|(key, value)| {
                    let NodeContent::Scalar { text, .. } = tree.content(tree.resolve(*key)) else {
                        return None;
                    };
                    Some((text.to_string(), node(tree, *value)))
                })
                .collect(),
        ),
        NodeContent::Alias(_) => Written::Nothing,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn values_are_given_as_they_were_written_and_in_their_order() {
        let text = "b: 007\na: { on: 2026-02-03, at: \"09:14\" }\nc:\nd: [1.50, true]\n";
        let (record, below) = of("x.yaml", text).unwrap();
        let text = |text: &str| Written::Text(text.to_owned());
        assert_eq!(
            record,
            Written::Block(vec![
                ("b".to_owned(), text("007")),
                (
                    "a".to_owned(),
                    Written::Block(vec![
                        ("on".to_owned(), text("2026-02-03")),
                        ("at".to_owned(), text("09:14"))
                    ])
                ),
                ("c".to_owned(), Written::Nothing),
                (
                    "d".to_owned(),
                    Written::List(vec![text("1.50"), text("true")])
                ),
            ])
        );
        assert_eq!(below, "");
        let text = "a: 1\nb:\n  - { on: 2026-02-03, at: \"09:14\" }\n";
        let way = |word: &str| {
            let at = text.find(word).unwrap();
            path_at("x.yaml", text, &(at..at + 1)).unwrap()
        };
        assert_eq!(way("1"), [Step::from("a")]);
        assert_eq!(
            way("09"),
            [Step::from("b"), Step::from(0), Step::from("at")]
        );
        assert_eq!(
            way("on"),
            [Step::from("b"), Step::from(0), Step::from("on")]
        );
        let note = of("n.md", "---\ntitle: A\n---\n\nWell.\n").unwrap();
        assert_eq!(note.1, "\nWell.\n");
        assert!(of("x.yaml", "a: [").is_err() && of("x.yaml", "a: 1\na: 2\n").is_err());
    }
}
