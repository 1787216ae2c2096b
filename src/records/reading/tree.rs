//! A YAML text as a tree whose nodes know where they stand.
//!
//! In: a text. Out: a [`Tree`], or the place where the YAML breaks off. Nodes live in one list and
//! refer to each other by number, so that neither depth nor aliases can overflow the stack. Nothing
//! is interpreted: every scalar stays the text that was written.

use super::super::problem::Step;
use super::NodeId;
use super::broken::{self, Explained, MendedText};
use super::depth::DEEPEST;
use saphyr_parser::{Event, Parser, ScalarStyle, ScanError};
use std::borrow::Cow;
use std::collections::{BTreeMap, BTreeSet};
use std::ops::Range;

/// A syntax error, with the place where reading stopped.
#[derive(Debug)]
pub(crate) struct Syntax {
    pub(crate) code: &'static str,
    pub(crate) message: String,
    pub(crate) hint: String,
    pub(crate) range: Range<usize>,
    /// The same text without this error, where that could be guessed.
    pub(super) mended: Option<Box<MendedText>>,
}

#[derive(Debug)]
pub(crate) enum NodeContent<'t> {
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

/// Where a node stands.
#[derive(Debug)]
struct NodeSpot {
    range: Range<usize>,
    parent: Option<NodeId>,
    /// A text on lines of its own below `|` or `>`; its range begins behind that sign.
    is_lines: bool,
}

/// A parsed text.
#[derive(Debug)]
pub(crate) struct Tree<'t> {
    nodes: Vec<NodeContent<'t>>,
    /// Where each stands; none for nodes that stand nowhere.
    spots: Vec<NodeSpot>,
    /// Those that were taken out after a problem was reported.
    out: BTreeSet<NodeId>,
}

/// The node that holds all others.
pub(super) const ROOT: NodeId = 0;

impl<'t> Tree<'t> {
    /// Parses the first and only document of a text.
    ///
    /// # Errors
    /// Where the YAML is broken, nested too deeply, or has a second document.
    pub(crate) fn parse(text: &'t str) -> Result<Self, Syntax> {
        Builder::new(text).build(text).or_else(|syntax| {
            // YAML allows a tab behind a key, this parser does not; a blank in its place moves
            // nothing.
            if text.contains(":\t") {
                Builder::new(text)
                    .build(&text.replace(":\t", ": "))
                    .map(Tree::owned)
                    .map_err(|_| syntax)
            } else {
                Err(syntax)
            }
        })
    }

    /// What all nodes hold, in their order.
    pub(super) fn contents(&self) -> impl Iterator<Item = &NodeContent<'t>> {
        self.nodes.iter()
    }

    /// A tree of nodes that stand nowhere; nothing without any.
    pub(super) fn without_places(nodes: Vec<NodeContent<'t>>) -> Option<Self> {
        (!nodes.is_empty()).then_some(Self {
            nodes,
            spots: Vec::new(),
            out: BTreeSet::new(),
        })
    }

    /// The same tree, apart from its text.
    fn owned<'long>(self) -> Tree<'long> {
        let owned = |content| match content {
            NodeContent::Scalar { text, plain } => NodeContent::Scalar {
                text: Cow::Owned(text.into_owned()),
                plain,
            },
            NodeContent::List(items) => NodeContent::List(items),
            NodeContent::Block(entries) => NodeContent::Block(entries),
            NodeContent::Alias(target) => NodeContent::Alias(target),
        };
        let Self { nodes, spots, out } = self;
        Tree {
            nodes: nodes.into_iter().map(owned).collect(),
            spots,
            out,
        }
    }

    #[expect(
        clippy::unused_self,
        reason = "that the first node is the root is a matter of the tree"
    )]
    pub(crate) fn root(&self) -> NodeId {
        ROOT
    }

    pub(crate) fn content(&self, node: NodeId) -> &NodeContent<'t> {
        &self.nodes[node]
    }

    pub(super) fn is_out(&self, node: NodeId) -> bool {
        self.out.contains(&node)
    }

    pub(crate) fn range(&self, node: NodeId) -> Range<usize> {
        self.spots.get(node).map_or(0..0, |spot| spot.range.clone())
    }

    /// All nodes.
    pub(crate) fn nodes(&self) -> impl Iterator<Item = NodeId> + use<> {
        0..self.nodes.len()
    }

    /// Whether any value is taken over from another place.
    pub(crate) fn has_aliases(&self) -> bool {
        self.nodes
            .iter()
            .any(|node| matches!(node, NodeContent::Alias(_)))
    }

    /// Whether a text stands below a sign `|` or `>`.
    pub(crate) fn is_lines(&self, node: NodeId) -> bool {
        self.spots.get(node).is_some_and(|spot| spot.is_lines)
    }

    /// Follows aliases to the node they stand for. Cycles cannot occur: an alias always points to
    /// an earlier, finished node.
    pub(crate) fn resolve(&self, mut node: NodeId) -> NodeId {
        while let NodeContent::Alias(target) = self.nodes[node] {
            node = target;
        }
        node
    }

    pub(crate) fn scalar(&self, node: NodeId) -> Option<&str> {
        match &self.nodes[self.resolve(node)] {
            NodeContent::Scalar { text, .. } => Some(text),
            _ => None,
        }
    }

    /// Whether a value counts as left out.
    pub(crate) fn is_nothing(&self, node: NodeId) -> bool {
        match &self.nodes[self.resolve(node)] {
            NodeContent::Scalar { text, plain: true } => {
                matches!(&**text, "" | "~" | "null" | "Null" | "NULL")
            }
            NodeContent::Scalar { text, plain: false } => text.trim().is_empty(),
            _ => false,
        }
    }

    /// Takes a node that could not be read out of the block or list it stands in. Gives back that
    /// parent and the key, or nothing at the root.
    pub(super) fn take_out(&mut self, node: NodeId) -> Option<(NodeId, Option<String>)> {
        let parent = self.spots.get(node)?.parent?;
        let (value, key) = match &self.nodes[parent] {
            NodeContent::Block(entries) => {
                let (key, value) = *entries.iter().find(|(k, v)| *k == node || *v == node)?;
                (value, self.scalar(key).map(str::to_owned))
            }
            _ => (node, None),
        };
        self.out.insert(value).then_some((parent, key))
    }

    /// Whether a block had keys, and all of them were taken out.
    pub(super) fn is_emptied(&self, node: NodeId) -> bool {
        match &self.nodes[self.resolve(node)] {
            NodeContent::Block(entries) => {
                !entries.is_empty() && entries.iter().all(|(_, value)| self.is_out(*value))
            }
            _ => false,
        }
    }

    /// Whether a block has a key with a value, be it one that was taken out as unreadable.
    pub(super) fn has_key(&self, node: NodeId, key: &str) -> bool {
        match &self.nodes[self.resolve(node)] {
            NodeContent::Block(entries) => entries.iter().any(|(k, value)| {
                self.scalar(*k) == Some(key) && (self.is_out(*value) || !self.is_nothing(*value))
            }),
            _ => false,
        }
    }

    /// Takes out keys that stand twice in one block: range of the second, range of the first, the
    /// key.
    pub(crate) fn take_doubles(&mut self) -> Vec<(Range<usize>, Range<usize>, String)> {
        let mut doubles = Vec::new();
        let mut out = Vec::new();
        for node in &self.nodes {
            let NodeContent::Block(entries) = node else {
                continue;
            };
            let mut first: BTreeMap<&str, NodeId> = BTreeMap::new();
            for (key, value) in entries {
                let Some(text) = self.scalar(*key) else {
                    continue;
                };
                match first.get(text) {
                    Some(earlier) => {
                        doubles.push((self.range(*key), self.range(*earlier), text.to_owned()));
                        out.push(*value);
                    }
                    None => _ = first.insert(text, *key),
                }
            }
        }
        self.out.extend(out);
        doubles
    }

    /// Takes out numbers that a comma inside braces cut in two (`{ weight: 300,5 g }` is `weight:
    /// 300` and a key `5 g`): where they stand.
    pub(super) fn take_cut_numbers(&mut self, text: &str) -> Vec<Range<usize>> {
        let mut cut = Vec::new();
        let mut out = Vec::new();
        for node in &self.nodes {
            let NodeContent::Block(entries) = node else {
                continue;
            };
            for pair in entries.windows(2) {
                let [(_, whole), (decimals, nothing)] = [pair[0], pair[1]];
                let (before, behind) = (self.range(whole), self.range(decimals));
                let digit = |text: Option<&str>, last: bool| {
                    text.and_then(|text| {
                        if last {
                            text.chars().last()
                        } else {
                            text.chars().next()
                        }
                    })
                };
                let is_number = digit(self.scalar(whole), true).is_some_and(|c| c.is_ascii_digit())
                    && digit(self.scalar(decimals), false).is_some_and(|c| c.is_ascii_digit());
                if is_number
                    && self.is_nothing(nothing)
                    && text.get(before.end..behind.start) == Some(",")
                {
                    cut.push(before.start..behind.end);
                    out.extend([whole, nothing]);
                }
            }
        }
        self.out.extend(out);
        cut
    }

    /// The text of the value at the end of a path, as it was written; nothing where there is no
    /// such value.
    pub(crate) fn written(&self, path: &[Step]) -> Option<&str> {
        let mut node = self.resolve(ROOT);
        for step in path {
            let next = match (&self.nodes[node], step) {
                (NodeContent::Block(entries), Step::Key(key)) => {
                    entries
                        .iter()
                        .find(|(k, _)| self.scalar(*k) == Some(key))?
                        .1
                }
                (NodeContent::List(items), Step::Index(index)) => *items.get(*index)?,
                _ => return None,
            };
            node = self.resolve(next);
        }
        self.scalar(node)
    }

    /// Where a path leads; where it ends early, the last thing on it that exists: for a block the
    /// key that led there.
    pub(crate) fn range_of(&self, path: &[Step]) -> Range<usize> {
        let mut node = ROOT;
        let mut range = 0..0;
        for step in path {
            let here = self.resolve(node);
            let next = match (&self.nodes[here], step) {
                (NodeContent::Block(entries), Step::Key(key) | Step::Name(key)) => entries
                    .iter()
                    .find(|(k, _)| self.scalar(*k) == Some(key))
                    .copied(),
                (NodeContent::List(items), Step::Index(index)) => {
                    items.get(*index).map(|item| (*item, *item))
                }
                // One value where a list may stand.
                (_, Step::Index(0)) => Some((node, node)),
                _ => None,
            };
            let Some((key, value)) = next else { break };
            node = value;
            let is_value = !matches!(step, Step::Name(_))
                && matches!(
                    self.nodes[value],
                    NodeContent::Scalar { .. } | NodeContent::Alias(_)
                );
            range = self.range(if is_value { value } else { key });
        }
        match &self.nodes[node] {
            // A whole list entry is shown by its first key, not by all its lines.
            NodeContent::Block(entries) if matches!(path.last(), Some(Step::Index(_))) => {
                entries.first().map_or(range, |(key, value)| {
                    let value = self.range(*value);
                    let key = self.range(*key);
                    if value.end > key.start && value.end - key.start <= 120 {
                        key.start..value.end
                    } else {
                        key
                    }
                })
            }
            _ => range,
        }
    }
}

/// Builds a tree from parser events.
struct Builder<'t> {
    nodes: Vec<NodeContent<'t>>,
    spots: Vec<NodeSpot>,
    open: Vec<NodeId>,
    anchors: BTreeMap<usize, NodeId>,
    /// Byte of each character, where the text is not plain ASCII.
    bytes: Option<Vec<usize>>,
    length: usize,
}

impl<'t> Builder<'t> {
    fn new(text: &str) -> Self {
        let bytes = (!text.is_ascii()).then(|| {
            text.char_indices()
                .map(|(i, _)| i)
                .chain([text.len()])
                .collect()
        });
        Self {
            nodes: Vec::new(),
            spots: Vec::new(),
            open: Vec::new(),
            anchors: BTreeMap::new(),
            bytes,
            length: text.len(),
        }
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
            let (event, span) = event.map_err(|error| self.syntax(text, &error))?;
            let range = self.byte(span.start.index())..self.byte(span.end.index());
            match event {
                Event::DocumentStart(_) => {
                    documents += 1;
                    if documents > 1 {
                        return Err(Syntax {
                            code: "second-document",
                            message: "a second document begins here".to_owned(),
                            hint: "take out the line `---`".to_owned(),
                            range,
                            mended: None,
                        });
                    }
                }
                Event::Scalar(text, style, anchor, _) => {
                    let plain = style == ScalarStyle::Plain;
                    let node = self.add(NodeContent::Scalar { text, plain }, range, anchor);
                    self.spots[node].is_lines =
                        matches!(style, ScalarStyle::Literal | ScalarStyle::Folded);
                }
                Event::Alias(anchor) => {
                    let Some(target) = self
                        .anchors
                        .get(&anchor)
                        .copied()
                        .filter(|target| !self.open.contains(target))
                    else {
                        return Err(Syntax {
                            code: "alias-unknown",
                            message: "this alias stands for nothing before it".to_owned(),
                            hint: "write the value out".to_owned(),
                            range,
                            mended: None,
                        });
                    };
                    self.add(NodeContent::Alias(target), range, 0);
                }
                Event::SequenceStart(anchor, _) => {
                    self.open(NodeContent::List(Vec::new()), range, anchor)?;
                }
                Event::MappingStart(anchor, _) => {
                    self.open(NodeContent::Block(Vec::new()), range, anchor)?;
                }
                Event::SequenceEnd | Event::MappingEnd => {
                    if let Some(done) = self.open.pop() {
                        // The parser counts a comment behind a bracket to it.
                        let is_bracket = text
                            .get(range.start..)
                            .is_some_and(|rest| rest.starts_with([']', '}']));
                        let end = if is_bracket {
                            range.start + 1
                        } else {
                            range.end
                        };
                        let spot = &mut self.spots[done];
                        spot.range.end = end.max(spot.range.start);
                    }
                }
                Event::Nothing | Event::StreamStart | Event::StreamEnd | Event::DocumentEnd => {}
            }
        }
        if self.nodes.is_empty() {
            self.add(
                NodeContent::Scalar {
                    text: Cow::Borrowed(""),
                    plain: true,
                },
                0..0,
                0,
            );
        }
        Ok(Tree {
            nodes: self.nodes,
            spots: self.spots,
            out: BTreeSet::new(),
        })
    }

    fn open(
        &mut self,
        content: NodeContent<'t>,
        range: Range<usize>,
        anchor: usize,
    ) -> Result<(), Syntax> {
        if self.open.len() >= DEEPEST {
            return Err(too_deep(range));
        }
        let node = self.add(content, range, anchor);
        self.open.push(node);
        Ok(())
    }

    fn add(&mut self, content: NodeContent<'t>, range: Range<usize>, anchor: usize) -> NodeId {
        let node = self.nodes.len();
        let parent = self.open.last().copied();
        self.nodes.push(content);
        self.spots.push(NodeSpot {
            range,
            parent,
            is_lines: false,
        });
        if anchor > 0 {
            self.anchors.insert(anchor, node);
        }
        if let Some(parent) = parent {
            match &mut self.nodes[parent] {
                NodeContent::List(items) => items.push(node),
                NodeContent::Block(entries) => match entries.last_mut() {
                    // A key waits as its own value until its value comes.
                    Some((key, value)) if key == value => *value = node,
                    _ => entries.push((node, node)),
                },
                NodeContent::Scalar { .. } | NodeContent::Alias(_) => {}
            }
        }
        node
    }

    fn syntax(&self, text: &str, error: &ScanError) -> Syntax {
        // The parser looks ahead, and may meet its own limit before we see ours.
        if error.info().starts_with("recursion limit") {
            let at = error.marker().index();
            return too_deep(self.byte(at)..self.byte(at + 1));
        }
        if let Some(Explained {
            range,
            message,
            hint,
            mended,
        }) = broken::explain(text, error.marker().line())
        {
            return Syntax {
                code: "yaml-broken",
                message,
                hint,
                range,
                mended: Some(Box::new(mended)),
            };
        }
        let at = error.marker().index();
        Syntax {
            code: "yaml-broken",
            message: format!("this cannot be read as a record ({})", error.info()),
            hint: "look at the blanks at the beginning of this line and the one above, and at \
                   their colons, quotes and brackets"
                .to_owned(),
            range: self.byte(at)..self.byte(at + 1),
            mended: None,
        }
    }
}

fn too_deep(range: Range<usize>) -> Syntax {
    Syntax {
        code: "too-deep",
        message: "this is nested too deeply".to_owned(),
        hint: "a record has a few levels only: take out the brackets, braces or dashes too many"
            .to_owned(),
        range,
        mended: None,
    }
}
