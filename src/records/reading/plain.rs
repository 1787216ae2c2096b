//! A text taken apart, as plain words and numbers, so that it need not be taken apart again.
//!
//! In: a tree, or what was kept of one. Out: its nodes, from which a record is read by the same rules as from the tree itself. No places are kept: only texts without a problem are.

use super::tree::{Content, Tree};
use serde::de::DeserializeOwned;
use std::borrow::Cow;

/// What kind of node it is, its text, and the numbers of its parts; for a block key and value in turn.
type PlainNode<'t> = (u8, &'t str, Vec<u32>);

const PLAIN_SCALAR: u8 = 0;
const QUOTED_SCALAR: u8 = 1;
const LIST: u8 = 2;
const BLOCK: u8 = 3;
const ALIAS: u8 = 4;

/// The nodes of a text, each one before its parts; the first is the root.
pub(in crate::records) type Plain<'t> = Vec<PlainNode<'t>>;

/// The nodes of a tree; nothing for one with more than can be numbered.
pub(in crate::records) fn plain<'t>(tree: &'t Tree<'_>) -> Option<Plain<'t>> {
    let number = |node: &usize| u32::try_from(*node).ok();
    let plain = |content: &'t Content<'_>| {
        Some(match content {
            Content::Scalar { text, plain } => (if *plain { PLAIN_SCALAR } else { QUOTED_SCALAR }, &**text, Vec::new()),
            Content::List(items) => (LIST, "", items.iter().map(number).collect::<Option<_>>()?),
            Content::Block(entries) => (BLOCK, "", entries.iter().flat_map(|(key, value)| [key, value]).map(number).collect::<Option<_>>()?),
            Content::Alias(target) => (ALIAS, "", vec![number(target)?]),
        })
    };
    tree.contents().map(plain).collect()
}

/// The record in a text taken apart; nothing where there is none.
pub(in crate::records) fn read_plain<'t, T: DeserializeOwned>(nodes: Plain<'t>) -> Option<T> {
    let count = nodes.len();
    let content = |(at, (kind, text, parts)): (usize, PlainNode<'t>)| {
        // A part comes after what it is a part of, an alias after what it stands for: nothing can hold itself.
        let below = |part: &u32| Some(*part as usize).filter(|part| at < *part && *part < count);
        Some(match (kind, parts.as_slice()) {
            (PLAIN_SCALAR | QUOTED_SCALAR, []) => Content::Scalar { text: Cow::Borrowed(text), plain: kind == PLAIN_SCALAR },
            (LIST, items) => Content::List(items.iter().map(below).collect::<Option<_>>()?),
            (BLOCK, entries) if entries.len() % 2 == 0 => {
                Content::Block(entries.chunks_exact(2).map(|pair| Some((below(&pair[0])?, below(&pair[1])?))).collect::<Option<_>>()?)
            }
            (ALIAS, [target]) => Content::Alias(Some(*target as usize).filter(|target| *target < at)?),
            _ => return None,
        })
    };
    let contents = nodes.into_iter().enumerate().map(content).collect::<Option<Vec<Content<'t>>>>()?;
    Tree::without_places(contents)?.read().ok()
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_yaml::Value;
    use std::collections::BTreeMap;

    #[test]
    fn a_text_is_read_from_what_is_kept_as_from_itself() {
        let text = "a: [1, two, ~]\nb: &b { c: '01', d: \"\" }\ne: *b\n";
        type Words = BTreeMap<String, Value>;
        let tree = Tree::parse(text).unwrap();
        let read: Words = read_plain(plain(&tree).unwrap()).unwrap();
        assert_eq!(read, tree.read::<Words>().unwrap());
        assert_eq!(read["e"]["c"], Value::String("01".to_owned()));
    }

    #[test]
    fn nodes_that_make_no_tree_are_no_record() {
        let scalar = |text: &'static str| (PLAIN_SCALAR, text, Vec::new());
        let list = |parts: &[u32]| (LIST, "", parts.to_vec());
        let read = |nodes: Plain<'_>| read_plain::<Vec<String>>(nodes);
        assert_eq!(read(vec![list(&[1]), scalar("a")]), Some(vec!["a".to_owned()]));
        assert_eq!(read(vec![]), None);
        assert_eq!(read(vec![list(&[0])]), None, "a list in itself");
        assert_eq!(read(vec![list(&[2]), scalar("a")]), None, "a part that is not there");
        assert_eq!(read(vec![list(&[1]), (ALIAS, "", vec![1])]), None, "an alias for itself");
        assert_eq!(read(vec![(BLOCK, "", vec![1]), scalar("a")]), None, "a key without a value");
        assert_eq!(read(vec![(9, "", vec![])]), None);
    }
}
