//! A YAML text as a tree whose nodes know where they stand.
//!
//! In: a text. Out: a [`Tree`], or the place where the YAML breaks off. Nodes live in one list and refer to each other by number, so that neither depth nor
//! aliases can overflow the stack. Nothing is interpreted: every scalar stays the text that was written.

use super::super::problem::Step;
use super::fault::Fault;
use super::values::Reader;
use saphyr_parser::{Event, Parser, ScalarStyle, ScanError};
use serde::de::DeserializeOwned;
use std::{borrow::Cow, collections::BTreeMap, ops::Range};

/// Deeper nesting than this is no record of ours.
const DEEPEST: usize = 40;

/// A node's number.
pub(super) type NodeId = usize;

/// A syntax error, with the place where reading stopped.
#[derive(Debug)]
pub(in crate::records) struct Syntax {
    pub(in crate::records) code: &'static str,
    pub(in crate::records) message: String,
    pub(in crate::records) hint: &'static str,
    pub(in crate::records) range: Range<usize>,
}

#[derive(Debug)]
pub(super) enum Content<'t> {
    /// Text as written, and whether it stood without quotes.
    Scalar {
        text: Cow<'t, str>,
        plain: bool,
    },
    List(Vec<NodeId>),
    /// Keys and values.
    Block(Vec<(NodeId, NodeId)>),
    Alias(NodeId),
}

#[derive(Debug)]
struct Node<'t> {
    content: Content<'t>,
    range: Range<usize>,
    parent: Option<NodeId>,
    /// Taken out after a problem was reported.
    out: bool,
}

/// A parsed text.
#[derive(Debug)]
pub(in crate::records) struct Tree<'t> {
    nodes: Vec<Node<'t>>,
    root: NodeId,
}

impl<'t> Tree<'t> {
    /// Parses the first and only document of a text.
    ///
    /// # Errors
    /// Where the YAML is broken, nested too deeply, or has a second document.
    pub(in crate::records) fn parse(text: &'t str) -> Result<Self, Syntax> {
        Builder::new(text).build(text).or_else(|syntax| {
            // YAML allows a tab behind a key, this parser does not; a blank in its place moves nothing.
            if text.contains(":\t") { Builder::new(text).build(&text.replace(":\t", ": ")).map(Tree::owned).map_err(|_| syntax) } else { Err(syntax) }
        })
    }

    /// What all nodes hold, in their order.
    pub(super) fn contents(&self) -> impl Iterator<Item = &Content<'t>> {
        self.nodes.iter().map(|node| &node.content)
    }

    /// A tree of nodes that stand nowhere; nothing without any.
    pub(super) fn without_places(contents: Vec<Content<'t>>) -> Option<Self> {
        let nodes: Vec<Node<'t>> = contents.into_iter().map(|content| Node { content, range: 0..0, parent: None, out: false }).collect();
        (!nodes.is_empty()).then_some(Self { nodes, root: 0 })
    }

    /// The same tree, apart from its text.
    fn owned<'long>(self) -> Tree<'long> {
        let owned = |content| match content {
            Content::Scalar { text, plain } => Content::Scalar { text: Cow::Owned(text.into_owned()), plain },
            Content::List(items) => Content::List(items),
            Content::Block(entries) => Content::Block(entries),
            Content::Alias(target) => Content::Alias(target),
        };
        let node = |Node { content, range, parent, out }| Node { content: owned(content), range, parent, out };
        Tree { nodes: self.nodes.into_iter().map(node).collect(), root: self.root }
    }

    pub(super) fn root(&self) -> NodeId {
        self.root
    }

    pub(super) fn content(&self, node: NodeId) -> &Content<'t> {
        &self.nodes[node].content
    }

    pub(super) fn is_out(&self, node: NodeId) -> bool {
        self.nodes[node].out
    }

    pub(super) fn range(&self, node: NodeId) -> Range<usize> {
        self.nodes[node].range.clone()
    }

    /// Follows aliases to the node they stand for. Cycles cannot occur: an alias always points to an earlier, finished node.
    pub(super) fn resolve(&self, mut node: NodeId) -> NodeId {
        while let Content::Alias(target) = self.nodes[node].content {
            node = target;
        }
        node
    }

    pub(super) fn scalar(&self, node: NodeId) -> Option<&str> {
        match &self.nodes[self.resolve(node)].content {
            Content::Scalar { text, .. } => Some(text),
            _ => None,
        }
    }

    /// Whether a value counts as left out.
    pub(super) fn is_nothing(&self, node: NodeId) -> bool {
        match &self.nodes[self.resolve(node)].content {
            Content::Scalar { text, plain: true } => matches!(&**text, "" | "~" | "null" | "Null" | "NULL"),
            Content::Scalar { text, plain: false } => text.trim().is_empty(),
            _ => false,
        }
    }

    /// Reads the tree as a record.
    pub(super) fn read<T: DeserializeOwned>(&self) -> Result<T, Fault> {
        T::deserialize(Reader::new(self, self.root, &std::cell::Cell::new(0)))
    }

    /// Takes a node that could not be read out of the block or list it stands in. Gives back that parent and the key, or nothing at the root.
    pub(super) fn take_out(&mut self, node: NodeId) -> Option<(NodeId, Option<String>)> {
        let parent = self.nodes[node].parent?;
        let (value, key) = match &self.nodes[parent].content {
            Content::Block(entries) => {
                let (key, value) = *entries.iter().find(|(k, v)| *k == node || *v == node)?;
                (value, self.scalar(key).map(str::to_owned))
            }
            _ => (node, None),
        };
        if self.nodes[value].out {
            return None;
        }
        self.nodes[value].out = true;
        Some((parent, key))
    }

    /// Whether a block had keys, and all of them were taken out.
    pub(super) fn is_emptied(&self, node: NodeId) -> bool {
        match &self.nodes[self.resolve(node)].content {
            Content::Block(entries) => !entries.is_empty() && entries.iter().all(|(_, value)| self.nodes[*value].out),
            _ => false,
        }
    }

    /// Whether a block has a key with a value, be it one that was taken out as unreadable.
    pub(super) fn has_key(&self, node: NodeId, key: &str) -> bool {
        match &self.nodes[self.resolve(node)].content {
            Content::Block(entries) => {
                entries.iter().any(|(k, value)| self.scalar(*k) == Some(key) && (self.nodes[*value].out || !self.is_nothing(*value)))
            }
            _ => false,
        }
    }

    /// Takes out keys that stand twice in one block: range of the second, range of the first, the key.
    pub(super) fn take_doubles(&mut self) -> Vec<(Range<usize>, Range<usize>, String)> {
        let mut doubles = Vec::new();
        let mut out = Vec::new();
        for node in &self.nodes {
            let Content::Block(entries) = &node.content else { continue };
            let mut first: BTreeMap<&str, NodeId> = BTreeMap::new();
            for (key, value) in entries {
                let Some(text) = self.scalar(*key) else { continue };
                match first.get(text) {
                    Some(earlier) => {
                        doubles.push((self.range(*key), self.range(*earlier), text.to_owned()));
                        out.push(*value);
                    }
                    None => _ = first.insert(text, *key),
                }
            }
        }
        for value in out {
            self.nodes[value].out = true;
        }
        doubles
    }

    /// The text of the value at the end of a path, as it was written; nothing where there is no such value.
    pub(in crate::records) fn written(&self, path: &[Step]) -> Option<&str> {
        let mut node = self.resolve(self.root);
        for step in path {
            let next = match (&self.nodes[node].content, step) {
                (Content::Block(entries), Step::Key(key)) => entries.iter().find(|(k, _)| self.scalar(*k) == Some(key))?.1,
                (Content::List(items), Step::Index(index)) => *items.get(*index)?,
                _ => return None,
            };
            node = self.resolve(next);
        }
        self.scalar(node)
    }

    /// Where a path leads; where it ends early, the last thing on it that exists: for a block the key that led there.
    pub(in crate::records) fn range_of(&self, path: &[Step]) -> Range<usize> {
        let mut node = self.root;
        let mut range = 0..0;
        for step in path {
            let here = self.resolve(node);
            let next = match (&self.nodes[here].content, step) {
                (Content::Block(entries), Step::Key(key) | Step::Name(key)) => entries.iter().find(|(k, _)| self.scalar(*k) == Some(key)).copied(),
                (Content::List(items), Step::Index(index)) => items.get(*index).map(|item| (*item, *item)),
                // One value where a list may stand.
                (_, Step::Index(0)) => Some((node, node)),
                _ => None,
            };
            let Some((key, value)) = next else { break };
            node = value;
            let is_value = !matches!(step, Step::Name(_)) && matches!(self.nodes[value].content, Content::Scalar { .. } | Content::Alias(_));
            range = self.range(if is_value { value } else { key });
        }
        match &self.nodes[node].content {
            // A whole list entry is shown by its first key, not by all its lines.
            Content::Block(entries) if matches!(path.last(), Some(Step::Index(_))) => entries.first().map_or(range, |(key, value)| {
                let value = self.range(*value);
                let key = self.range(*key);
                if value.end > key.start && value.end - key.start <= 120 { key.start..value.end } else { key }
            }),
            _ => range,
        }
    }
}

/// Builds a tree from parser events.
struct Builder<'t> {
    nodes: Vec<Node<'t>>,
    open: Vec<NodeId>,
    anchors: BTreeMap<usize, NodeId>,
    /// Byte of each character, where the text is not plain ASCII.
    bytes: Option<Vec<usize>>,
    length: usize,
}

impl<'t> Builder<'t> {
    fn new(text: &str) -> Self {
        let bytes = (!text.is_ascii()).then(|| text.char_indices().map(|(i, _)| i).chain([text.len()]).collect());
        Self { nodes: Vec::new(), open: Vec::new(), anchors: BTreeMap::new(), bytes, length: text.len() }
    }

    fn byte(&self, character: usize) -> usize {
        match &self.bytes {
            None => character.min(self.length),
            Some(bytes) => bytes.get(character).copied().unwrap_or(self.length),
        }
    }

    fn build(mut self, text: &'t str) -> Result<Tree<'t>, Syntax> {
        let mut documents = 0;
        for event in Parser::new_from_str(text) {
            let (event, span) = event.map_err(|error| self.syntax(&error))?;
            let range = self.byte(span.start.index())..self.byte(span.end.index());
            match event {
                Event::DocumentStart(_) => {
                    documents += 1;
                    if documents > 1 {
                        return Err(Syntax {
                            code: "second-document",
                            message: "a second document begins here".to_owned(),
                            hint: "take out the line `---`",
                            range,
                        });
                    }
                }
                Event::Scalar(text, style, anchor, _) => {
                    let plain = style == ScalarStyle::Plain;
                    self.add(Content::Scalar { text, plain }, range, anchor);
                }
                Event::Alias(anchor) => {
                    let Some(target) = self.anchors.get(&anchor).copied().filter(|target| !self.open.contains(target)) else {
                        return Err(Syntax {
                            code: "alias-unknown",
                            message: "this alias stands for nothing before it".to_owned(),
                            hint: "write the value out",
                            range,
                        });
                    };
                    self.add(Content::Alias(target), range, 0);
                }
                Event::SequenceStart(anchor, _) => self.open(Content::List(Vec::new()), range, anchor)?,
                Event::MappingStart(anchor, _) => self.open(Content::Block(Vec::new()), range, anchor)?,
                Event::SequenceEnd | Event::MappingEnd => {
                    if let Some(done) = self.open.pop() {
                        self.nodes[done].range.end = range.end.max(self.nodes[done].range.start);
                    }
                }
                Event::Nothing | Event::StreamStart | Event::StreamEnd | Event::DocumentEnd => {}
            }
        }
        if self.nodes.is_empty() {
            self.add(Content::Scalar { text: Cow::Borrowed(""), plain: true }, 0..0, 0);
        }
        Ok(Tree { nodes: self.nodes, root: 0 })
    }

    fn open(&mut self, content: Content<'t>, range: Range<usize>, anchor: usize) -> Result<(), Syntax> {
        if self.open.len() >= DEEPEST {
            return Err(Syntax {
                code: "too-deep",
                message: "this is nested too deeply".to_owned(),
                hint: "see the record guide for the shape of this file",
                range,
            });
        }
        let node = self.add(content, range, anchor);
        self.open.push(node);
        Ok(())
    }

    fn add(&mut self, content: Content<'t>, range: Range<usize>, anchor: usize) -> NodeId {
        let node = self.nodes.len();
        let parent = self.open.last().copied();
        self.nodes.push(Node { content, range, parent, out: false });
        if anchor > 0 {
            self.anchors.insert(anchor, node);
        }
        if let Some(parent) = parent {
            match &mut self.nodes[parent].content {
                Content::List(items) => items.push(node),
                Content::Block(entries) => match entries.last_mut() {
                    // A key waits as its own value until its value comes.
                    Some((key, value)) if key == value => *value = node,
                    _ => entries.push((node, node)),
                },
                Content::Scalar { .. } | Content::Alias(_) => {}
            }
        }
        node
    }

    fn syntax(&self, error: &ScanError) -> Syntax {
        let start = self.byte(error.marker().index());
        Syntax {
            code: "yaml-broken",
            message: format!("the YAML breaks off here: {}", error.info()),
            hint: "look at the indentation, and at colons and quotes on this line and the one above",
            range: start..(start + 1).min(self.length.max(start)),
        }
    }
}
