//! A text taken apart, as plain words and numbers, so that it need not be taken apart again.
//!
//! In: a tree, or what was kept of one. Out: its nodes, from which a record is read by the same
//! rules as from the tree itself. No places are kept: only texts without a problem are.

use super::tree::{NodeContent, Tree};
use serde::de::{DeserializeOwned, Error as _};
use serde::{Deserialize, Deserializer};
use std::borrow::Cow;

/// What kind of node it is, its text, and the numbers of its parts; for a block key and value in
/// turn.
type PlainNode<'t> = (u8, &'t str, Vec<u32>);

const PLAIN_SCALAR: u8 = 0;
const QUOTED_SCALAR: u8 = 1;
const LIST: u8 = 2;
const BLOCK: u8 = 3;
const ALIAS: u8 = 4;

/// The nodes of a text, each one before its parts; the first is the root.
pub(crate) type Plain<'t> = Vec<PlainNode<'t>>;

/// The nodes of a tree; nothing for one with more than can be numbered.
pub(crate) fn plain<'t>(tree: &'t Tree<'_>) -> Option<Plain<'t>> {
    let number = |node: &usize| u32::try_from(*node).ok();
    let plain = |content: &'t NodeContent<'_>| {
        Some(match content {
            NodeContent::Scalar { text, plain } => (
                if *plain { PLAIN_SCALAR } else { QUOTED_SCALAR },
                &**text,
                Vec::new(),
            ),
            NodeContent::List(items) => {
                (LIST, "", items.iter().map(number).collect::<Option<_>>()?)
            }
            NodeContent::Block(entries) => (
                BLOCK,
                "",
                entries
                    .iter()
                    .flat_map(|(key, value)| [key, value])
                    .map(number)
                    .collect::<Option<_>>()?,
            ),
            NodeContent::Alias(target) => (ALIAS, "", vec![number(target)?]),
        })
    };
    tree.contents().map(plain).collect()
}

/// A node as it was kept. What it refers to is looked at by whoever has all of them.
impl<'de> Deserialize<'de> for NodeContent<'de> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let (kind, text, parts) = PlainNode::deserialize(deserializer)?;
        let node = |part: &u32| *part as usize;
        match (kind, parts.as_slice()) {
            (PLAIN_SCALAR | QUOTED_SCALAR, []) => Ok(Self::Scalar {
                text: Cow::Borrowed(text),
                plain: kind == PLAIN_SCALAR,
            }),
            (LIST, items) => Ok(Self::List(items.iter().map(node).collect())),
            (BLOCK, entries) if entries.len() % 2 == 0 => Ok(Self::Block(
                entries
                    .chunks_exact(2)
                    .map(|pair| (node(&pair[0]), node(&pair[1])))
                    .collect(),
            )),
            (ALIAS, [target]) => Ok(Self::Alias(node(target))),
            _ => Err(D::Error::custom("no node")),
        }
    }
}

/// The record in a text taken apart; nothing where there is none.
pub(crate) fn read_plain<T: DeserializeOwned>(nodes: Vec<NodeContent<'_>>) -> Option<T> {
    let count = nodes.len();
    // A part comes after what it is a part of, an alias after what it stands for: nothing can hold
    // itself.
    let is_sound = |(at, content): (usize, &NodeContent<'_>)| {
        let below = |part: &usize| at < *part && *part < count;
        match content {
            NodeContent::Scalar { .. } => true,
            NodeContent::List(items) => items.iter().all(below),
            NodeContent::Block(entries) => entries
                .iter()
                .all(|(key, value)| below(key) && below(value)),
            NodeContent::Alias(target) => *target < at,
        }
    };
    if !nodes.iter().enumerate().all(is_sound) {
        return None;
    }
    Tree::without_places(nodes)?.read().ok()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::cache::Bytes;
    use serde_yaml::Value;
    use std::collections::BTreeMap;

    #[test]
    fn a_text_is_read_from_what_is_kept_as_from_itself() {
        let text = "a: [1, two, ~]\nb: &b { c: '01', d: \"\" }\ne: *b\n";
        type Words = BTreeMap<String, Value>;
        let tree = Tree::parse(text).unwrap();
        let bytes = Bytes::of(&plain(&tree).unwrap()).unwrap();
        let read: Words = read_plain(bytes.value().unwrap()).unwrap();
        assert_eq!(read, tree.read::<Words>().unwrap());
        assert_eq!(read["e"]["c"], Value::String("01".to_owned()));
    }

    #[test]
    fn nodes_that_make_no_tree_are_no_record() {
        let scalar = |text: &'static str| (PLAIN_SCALAR, text, Vec::new());
        let list = |parts: &[u32]| (LIST, "", parts.to_vec());
        let read =
            |nodes: Plain<'_>| read_plain::<Vec<String>>(Bytes::of(&nodes).unwrap().value()?);
        assert_eq!(
            read(vec![list(&[1]), scalar("a")]),
            Some(vec!["a".to_owned()])
        );
        assert_eq!(read(vec![]), None);
        assert_eq!(read(vec![list(&[0])]), None, "a list in itself");
        assert_eq!(
            read(vec![list(&[2]), scalar("a")]),
            None,
            "a part that is not there"
        );
        assert_eq!(
            read(vec![list(&[1]), (ALIAS, "", vec![1])]),
            None,
            "an alias for itself"
        );
        assert_eq!(
            read(vec![(BLOCK, "", vec![1]), scalar("a")]),
            None,
            "a key without a value"
        );
        assert_eq!(read(vec![(9, "", vec![])]), None);
    }
}
