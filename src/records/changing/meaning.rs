//! What a text says, apart from how it is written: the judge of every change.
//!
//! In: a parsed text. Out: a [`Meaning`] that two texts share when every reader takes them for the
//! same record. A change is made twice, on the text and on its meaning; only when the new text
//! reads as the new meaning is it given away.

use super::Change;
use crate::problem::Step;
use crate::reading::{NodeContent, NodeId, Tree};
use serde_yaml::Value;
use std::collections::BTreeMap;

/// More values than this are in no record; aliases of aliases may unfold to more.
const MOST: usize = 400_000;

/// What stands in a text.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Meaning {
    Nothing,
    Text(String),
    /// A number or a truth value, as written.
    Other(String),
    List(Vec<Meaning>),
    Block(BTreeMap<String, Meaning>),
}

impl Meaning {
    /// What a parsed text says; nothing for keys that are no text or stand twice, and for aliases
    /// without end.
    pub(super) fn of(tree: &Tree<'_>) -> Option<Self> {
        Self::of_node(tree, tree.root(), &mut 0)
    }

    /// The same of a part of it.
    pub(super) fn of_part(tree: &Tree<'_>, node: NodeId) -> Option<Self> {
        Self::of_node(tree, node, &mut 0)
    }

    fn of_node(tree: &Tree<'_>, node: NodeId, count: &mut usize) -> Option<Self> {
        *count += 1;
        if *count > MOST {
            return None;
        }
        Some(match tree.content(tree.resolve(node)) {
            NodeContent::Scalar { text, plain: true } if is_nothing(text) => Self::Nothing,
            NodeContent::Scalar { text, plain: true } if is_other(text) => {
                Self::Other(text.to_string())
            }
            NodeContent::Scalar { text, .. } => Self::Text(text.to_string()),
            NodeContent::List(items) => Self::List(
                items
                    .iter()
                    .map(|item| Self::of_node(tree, *item, count))
                    .collect::<Option<_>>()?,
            ),
            NodeContent::Block(entries) => {
                let mut block = BTreeMap::new();
                for (key, value) in entries {
                    let NodeContent::Scalar { text, .. } = tree.content(tree.resolve(*key)) else {
                        return None;
                    };
                    if block
                        .insert(text.to_string(), Self::of_node(tree, *value, count)?)
                        .is_some()
                    {
                        return None;
                    }
                }
                Self::Block(block)
            }
            NodeContent::Alias(_) => return None,
        })
    }

    /// What a value says; nothing for keys that are no text, and tags.
    pub(super) fn of_value(value: &Value) -> Option<Self> {
        Some(match value {
            Value::Null => Self::Nothing,
            Value::Bool(yes) => Self::Other(yes.to_string()),
            Value::Number(number) => Self::Other(number.to_string()),
            Value::String(text) => Self::Text(text.clone()),
            Value::Sequence(items) => {
                Self::List(items.iter().map(Self::of_value).collect::<Option<_>>()?)
            }
            Value::Mapping(block) => {
                let entry = |(key, value): (&Value, &Value)| {
                    Some((key.as_str()?.to_owned(), Self::of_value(value)?))
                };
                Self::Block(block.iter().map(entry).collect::<Option<_>>()?)
            }
            Value::Tagged(_) => return None,
        })
    }

    /// The same as a value.
    pub(super) fn to_value(&self) -> Option<Value> {
        Some(match self {
            Self::Nothing => Value::Null,
            Self::Text(text) => Value::String(text.clone()),
            Self::Other(text) => serde_yaml::from_str(text).ok()?,
            Self::List(items) => {
                Value::Sequence(items.iter().map(Self::to_value).collect::<Option<_>>()?)
            }
            Self::Block(block) => {
                let entry = |(key, value): (&String, &Self)| {
                    Some((Value::String(key.clone()), value.to_value()?))
                };
                Value::Mapping(block.iter().map(entry).collect::<Option<_>>()?)
            }
        })
    }

    /// What stands at the end of a path.
    pub(super) fn at(&self, steps: &[Step]) -> Option<&Self> {
        let mut here = self;
        for step in steps {
            here = match (here, step) {
                (Self::Block(block), Step::Key(key)) => block.get(key)?,
                (Self::List(items), Step::Index(index)) => items.get(*index)?,
                _ => return None,
            };
        }
        Some(here)
    }

    fn at_mut(&mut self, steps: &[Step]) -> Option<&mut Self> {
        let mut here = self;
        for step in steps {
            here = match (here, step) {
                (Self::Block(block), Step::Key(key)) => block.get_mut(key)?,
                (Self::List(items), Step::Index(index)) => items.get_mut(*index)?,
                _ => return None,
            };
        }
        Some(here)
    }

    /// Makes a change; nothing when there is no such place.
    pub(super) fn change(&mut self, change: &Change) -> Option<()> {
        match change {
            Change::Set { path, value } => {
                let mut here = self;
                for step in path {
                    if *here == Self::Nothing {
                        *here = if matches!(step, Step::Index(_)) {
                            Self::List(Vec::new())
                        } else {
                            Self::Block(BTreeMap::new())
                        };
                    }
                    here = match (here, step) {
                        (Self::Block(block), Step::Key(key)) => {
                            block.entry(key.clone()).or_insert(Self::Nothing)
                        }
                        (Self::List(items), Step::Index(index)) => {
                            if *index == items.len() {
                                items.push(Self::Nothing);
                            }
                            items.get_mut(*index)?
                        }
                        _ => return None,
                    };
                }
                *here = Self::of_value(value)?;
            }
            Change::Add { path, at, value } => {
                let mut list = self.at(path).cloned().unwrap_or(Self::Nothing);
                if list == Self::Nothing {
                    list = Self::List(Vec::new());
                }
                let Self::List(items) = &mut list else {
                    return None;
                };
                let at = at.unwrap_or(items.len());
                if at > items.len() {
                    return None;
                }
                items.insert(at, Self::of_value(value)?);
                let path = path.clone();
                self.change(&Change::Set {
                    path,
                    value: list.to_value()?,
                })?;
            }
            Change::TakeOut { path } => {
                let (last, above) = path.split_last()?;
                match (self.at_mut(above)?, last) {
                    (Self::Block(block), Step::Key(key)) => _ = block.remove(key)?,
                    (Self::List(items), Step::Index(index)) if *index < items.len() => {
                        _ = items.remove(*index);
                    }
                    _ => return None,
                }
            }
            Change::Move { path, to } => {
                let (Step::Index(from), above) = path.split_last()? else {
                    return None;
                };
                let Self::List(items) = self.at_mut(above)? else {
                    return None;
                };
                if *from >= items.len() || *to >= items.len() {
                    return None;
                }
                let item = items.remove(*from);
                items.insert(*to, item);
            }
            Change::Rename { path, to } => {
                let (Step::Key(key), above) = path.split_last()? else {
                    return None;
                };
                let Self::Block(block) = self.at_mut(above)? else {
                    return None;
                };
                let value = block.remove(key)?;
                if block.insert(to.clone(), value).is_some() {
                    return None;
                }
            }
        }
        Some(())
    }

    /// Whether two texts say the same, where a list or block without anything in it may be left
    /// out.
    pub(super) fn is_as(&self, other: &Self) -> bool {
        match (self, other) {
            (Self::Nothing, Self::List(items)) | (Self::List(items), Self::Nothing) => {
                items.is_empty()
            }
            (Self::Nothing, Self::Block(block)) | (Self::Block(block), Self::Nothing) => {
                block.is_empty()
            }
            _ => self == other,
        }
    }
}

pub(super) fn is_nothing(text: &str) -> bool {
    matches!(text, "" | "~" | "null" | "Null" | "NULL")
}

/// Numbers and truth values of YAML 1.2.2, section 10.3.2.
fn is_other(text: &str) -> bool {
    if matches!(
        text,
        "true" | "True" | "TRUE" | "false" | "False" | "FALSE" | ".nan" | ".NaN" | ".NAN"
    ) {
        return true;
    }
    let number = text.strip_prefix(['-', '+']).unwrap_or(text);
    if matches!(number, ".inf" | ".Inf" | ".INF") {
        return true;
    }
    let is = |digits: &str, good: fn(char) -> bool| !digits.is_empty() && digits.chars().all(good);
    if let Some(octal) = text.strip_prefix("0o") {
        return is(octal, |c| ('0'..='7').contains(&c));
    }
    if let Some(hex) = text.strip_prefix("0x") {
        return is(hex, |c| c.is_ascii_hexdigit());
    }
    let (mantissa, exponent) = number
        .split_once(['e', 'E'])
        .map_or((number, None), |(mantissa, exponent)| {
            (mantissa, Some(exponent))
        });
    let digits = |part: &str| part.chars().all(|c| c.is_ascii_digit());
    let (whole, part) = mantissa.split_once('.').unwrap_or((mantissa, ""));
    digits(whole)
        && digits(part)
        && !(whole.is_empty() && part.is_empty())
        && exponent.is_none_or(|exponent| {
            is(exponent.strip_prefix(['-', '+']).unwrap_or(exponent), |c| {
                c.is_ascii_digit()
            })
        })
}
