//! Ways in which one small change can be made in a text.
//!
//! In: a text, its tree and a change that is small: a value, a key, an entry. Out: [`Edit`]s to
//! try, the best first. Nothing here proves that they do what was asked: that is told by reading
//! the result.

mod leaving;

use super::layout::{
    behind_colon, behind_line, behind_properties, dash, end_of, end_of_entry, indent_of, is_flow,
    is_left_out, is_line_over, line_end, line_start, next_line, room_behind, skip_blanks,
};
use super::{Change, Edit};
use crate::adding;
use crate::problem::Step;
use crate::reading::{NodeContent, NodeId, Tree};
use crate::writing;
use serde_yaml::Value;

/// A text with its tree.
pub(super) struct Surgeon<'a> {
    pub(super) text: &'a str,
    pub(super) tree: &'a Tree<'a>,
}

/// A node, and what it stands in.
#[derive(Clone, Copy)]
pub(super) struct FoundNode {
    pub(super) node: NodeId,
    /// Its key, or nothing for an entry of a list and the whole text.
    key: Option<NodeId>,
    /// The list or block it stands in.
    parent: Option<NodeId>,
    /// Its place in that.
    index: usize,
    /// Whether it stands inside brackets or braces.
    in_flow: bool,
    depth: usize,
}

/// How far a path leads.
pub(super) enum Way {
    /// To its end.
    Whole(FoundNode),
    /// So many steps, and then to an alias, behind which other places would change as well.
    Alias(usize, FoundNode),
    /// So many steps.
    Part(usize, FoundNode),
}

type Edits = Vec<Edit>;

impl Surgeon<'_> {
    pub(super) fn find(&self, path: &[Step]) -> Way {
        let mut here = FoundNode {
            node: self.tree.root(),
            key: None,
            parent: None,
            index: 0,
            in_flow: false,
            depth: 0,
        };
        for (done, step) in path.iter().enumerate() {
            let in_flow = here.in_flow || is_flow(self.text, self.tree, here.node);
            let next = match (self.tree.content(here.node), step) {
                (NodeContent::Alias(_), _) => return Way::Alias(done, here),
                (NodeContent::Block(entries), Step::Key(key)) => entries
                    .iter()
                    .position(|(k, _)| self.tree.scalar(*k) == Some(key))
                    .map(|at| FoundNode {
                        node: entries[at].1,
                        key: Some(entries[at].0),
                        index: at,
                        ..here
                    }),
                (NodeContent::List(items), Step::Index(at)) => {
                    items.get(*at).map(|item| FoundNode {
                        node: *item,
                        key: None,
                        index: *at,
                        ..here
                    })
                }
                _ => None,
            };
            let Some(next) = next else {
                return Way::Part(done, here);
            };
            here = FoundNode {
                parent: Some(here.node),
                in_flow,
                depth: done + 1,
                ..next
            };
        }
        Way::Whole(here)
    }

    /// What to try for a change.
    pub(super) fn ways(&self, change: &Change) -> Vec<Edits> {
        match change {
            Change::Set { path, value } => match self.find(path) {
                Way::Whole(found) => self.whole(found, value),
                Way::Part(done, found) if done + 1 == path.len() => match &path[done] {
                    Step::Key(key) => self.new_key(found, key, value),
                    Step::Index(_) | Step::Name(_) => Vec::new(),
                },
                Way::Part(..) | Way::Alias(..) => Vec::new(),
            },
            Change::Add { path, at, value } => self
                .found(path)
                .map(|found| self.new_item(found, *at, value))
                .unwrap_or_default(),
            Change::TakeOut { path } => self
                .found(path)
                .map(|found| self.out(found))
                .unwrap_or_default(),
            Change::Move { path, to } => self
                .found(path)
                .and_then(|found| self.moved(found, *to))
                .into_iter()
                .collect(),
            Change::Rename { path, to } => self
                .found(path)
                .and_then(|found| Some(vec![self.renamed(found.key?, to)]))
                .unwrap_or_default(),
        }
    }

    fn found(&self, path: &[Step]) -> Option<FoundNode> {
        if let Way::Whole(found) = self.find(path) {
            Some(found)
        } else {
            None
        }
    }

    /// A value as it is written in place of another, in the quotes that stand there.
    fn written(value: &Value, old: &str, in_flow: bool) -> String {
        match value {
            Value::String(text) if old.starts_with('"') => writing::quoted(text),
            Value::String(text)
                if old.starts_with('\'')
                    && !text.contains(|c: char| {
                        c.is_control() || "\u{85}\u{2028}\u{2029}\u{feff}".contains(c)
                    }) =>
            {
                format!("'{}'", text.replace('\'', "''"))
            }
            Value::String(text) => adding::scalar(text, in_flow),
            other => writing::flow(other),
        }
    }

    /// The byte from which a value may be written: behind the colon of its key or the dash of its
    /// entry.
    fn slot(&self, found: FoundNode) -> Option<usize> {
        match found.key {
            Some(key) => behind_colon(self.text, self.tree, key),
            None if found.in_flow => Some(self.tree.range(found.node).start),
            None => dash(self.text, self.tree, found.node).map(|dash| dash + 1),
        }
    }

    /// Another value in place of a whole one.
    fn whole(&self, found: FoundNode, value: &Value) -> Vec<Edits> {
        let (text, tree) = (self.text, self.tree);
        if found.parent.is_none() {
            return self.whole_text(value);
        }
        let Some(from) = self.slot(found) else {
            // A key without a colon, as braces allow it.
            let key = found.key.map(|key| tree.range(key).end);
            return key
                .map(|end| {
                    vec![Edit::new(
                        end..end,
                        format!(": {}", Self::written(value, "", true)),
                    )]
                })
                .into_iter()
                .collect();
        };
        let left_out = is_left_out(text, tree, found.node);
        let end = if left_out {
            from
        } else {
            end_of(text, tree, found.node).max(from)
        };
        let mut ways = Vec::new();
        let is_empty = match tree.content(found.node) {
            NodeContent::List(items) => items.is_empty(),
            NodeContent::Block(entries) => entries.is_empty(),
            _ => false,
        };
        if (left_out || is_empty) && is_line_over(text, end) {
            ways.extend(self.lines_below(found, value, from..end));
        }
        if left_out {
            ways.push(vec![Edit::new(
                from..from,
                format!(" {}", Self::written(value, "", found.in_flow)),
            )]);
            return ways;
        }
        let is_block = matches!(
            tree.content(found.node),
            NodeContent::List(_) | NodeContent::Block(_)
        ) && !is_flow(text, tree, found.node);
        let start = if is_block || tree.is_lines(found.node) {
            skip_blanks(text, from)
        } else {
            tree.range(found.node).start
        };
        let new = |old: &str| Self::written(value, old, found.in_flow);
        if is_block && is_line_over(text, from) {
            let insert = Edit::new(from..from, format!(" {}", new("")));
            let first = self
                .first_line_of(found.node)
                .unwrap_or_else(|| behind_line(text, from));
            ways.push(vec![
                insert.clone(),
                Edit::new(first..next_line(text, end), String::new()),
            ]);
            ways.push(vec![
                insert,
                Edit::new(behind_line(text, from)..next_line(text, end), String::new()),
            ]);
        }
        let inner = behind_properties(text, start).min(end);
        let blank = if inner > start && !text[..inner].ends_with([' ', '\t']) {
            " "
        } else {
            ""
        };
        ways.push(vec![Edit::new(
            inner..end,
            format!("{blank}{}", new(&text[inner..end])),
        )]);
        ways.push(vec![Edit::new(start..end, new(""))]);
        ways
    }

    /// The beginning of the line on which the first entry of a block of lines stands.
    fn first_line_of(&self, node: NodeId) -> Option<usize> {
        let first = match self.tree.content(node) {
            NodeContent::List(items) => dash(self.text, self.tree, *items.first()?)?,
            NodeContent::Block(entries) => self.tree.range(entries.first()?.0).start,
            NodeContent::Scalar { .. } | NodeContent::Alias(_) => return None,
        };
        Some(line_start(self.text, first))
    }

    /// A block of lines below a key of the record that has no value yet.
    fn lines_below(
        &self,
        found: FoundNode,
        value: &Value,
        old: std::ops::Range<usize>,
    ) -> Option<Edits> {
        let (key, NodeContent::Block(entries)) = (found.key?, self.tree.content(self.tree.root()))
        else {
            return None;
        };
        let indent = indent_of(self.text, self.tree, entries)?;
        if found.depth != 1 || found.in_flow || !indent.is_empty() {
            return None;
        }
        let lines = writing::entry(self.tree.scalar(key)?, value, "");
        let end = line_end(self.text);
        let at = behind_line(self.text, old.end);
        let begin = if self.text[..at].ends_with(['\n', '\r']) {
            ""
        } else {
            end
        };
        let below: String = lines
            .get(1..)
            .filter(|lines| !lines.is_empty())?
            .iter()
            .map(|line| format!("{line}{end}"))
            .collect();
        let mut edits = vec![Edit::new(at..at, format!("{begin}{below}"))];
        if !old.is_empty() {
            edits.insert(0, Edit::new(old, String::new()));
        }
        Some(edits)
    }

    /// A record where there was none.
    fn whole_text(&self, value: &Value) -> Vec<Edits> {
        if !self.tree.is_nothing(self.tree.root()) {
            return Vec::new();
        }
        let end = line_end(self.text);
        let lines: Vec<String> = match value {
            Value::Mapping(block) => block
                .iter()
                .flat_map(|(key, value)| writing::entry(&writing::name(key), value, ""))
                .collect(),
            Value::Sequence(items) => items
                .iter()
                .flat_map(|item| Self::item_lines(item, "", false))
                .collect(),
            other => vec![writing::flow(other)],
        };
        let lines: String = lines.iter().map(|line| format!("{line}{end}")).collect();
        let at = self.text.len();
        let begin = if at == 0 || self.text.ends_with(['\n', '\r']) {
            ""
        } else {
            end
        };
        vec![vec![Edit::new(at..at, format!("{begin}{lines}"))]]
    }

    /// Lines put before a place where a line begins, or behind the last one.
    fn put_lines(&self, at: usize, lines: &[String]) -> Edits {
        let end = line_end(self.text);
        let begin = if at == 0 || self.text[..at].ends_with(['\n', '\r']) {
            ""
        } else {
            end
        };
        if !begin.is_empty() && self.ends_in_lines() {
            return Vec::new();
        }
        let lines: String = lines.iter().map(|line| format!("{line}{end}")).collect();
        vec![Edit::new(at..at, format!("{begin}{lines}"))]
    }

    /// Whether the file ends inside a text below `|` or `>`: a line end more would belong to it.
    fn ends_in_lines(&self) -> bool {
        let end = self.text.trim_end_matches([' ', '\n', '\r']).len();
        !self.text.ends_with(['\n', '\r'])
            && self
                .tree
                .nodes()
                .any(|node| self.tree.is_lines(node) && self.tree.range(node).end >= end)
    }

    /// A key that was not there.
    fn new_key(&self, found: FoundNode, key: &str, value: &Value) -> Vec<Edits> {
        let (text, tree) = (self.text, self.tree);
        let NodeContent::Block(entries) = tree.content(found.node) else {
            return Vec::new();
        };
        let name = writing::name(&Value::String(key.to_owned()));
        if is_flow(text, tree, found.node) {
            let new = format!("{name}: {}", Self::written(value, "", true));
            return vec![
                self.put_into_flow(
                    found.node,
                    entries
                        .last()
                        .map(|(key, value)| end_of_entry(text, tree, *key, *value)),
                    &new,
                ),
            ];
        }
        let Some(indent) = indent_of(text, tree, entries) else {
            return Vec::new();
        };
        let lines = match value {
            Value::String(_) => vec![format!(
                "{indent}{name}: {}",
                Self::written(value, "", found.in_flow)
            )],
            value => writing::entry(&name, value, &indent),
        };
        let end = end_of(text, tree, found.node);
        let after = entries
            .last()
            .map_or(end, |(_, value)| tree.range(*value).end)
            .max(end);
        [
            room_behind(text, end, indent.len().saturating_sub(1)),
            next_line(text, after),
        ]
        .map(|at| self.put_lines(at, &lines))
        .to_vec()
    }

    /// Something new behind the last entry inside brackets or braces.
    fn put_into_flow(&self, node: NodeId, last: Option<usize>, new: &str) -> Edits {
        if let Some(end) = last {
            return vec![Edit::new(end..end, format!(", {new}"))];
        }
        let open = behind_properties(self.text, self.tree.range(node).start) + 1;
        let is_list = matches!(self.tree.content(node), NodeContent::List(_));
        let blank = if is_list { "" } else { " " };
        vec![Edit::new(
            open..open,
            format!(
                "{blank}{new}{}",
                if self.text[open..].starts_with('}') {
                    blank
                } else {
                    ""
                }
            ),
        )]
    }

    /// The lines of an entry of a list.
    fn item_lines(value: &Value, indent: &str, in_braces: bool) -> Vec<String> {
        match value {
            Value::Mapping(block) if !block.is_empty() && !in_braces => {
                writing::item(block, indent)
            }
            other => vec![format!("{indent}- {}", Self::written(other, "", false))],
        }
    }

    /// Another entry of a list.
    fn new_item(&self, found: FoundNode, at: Option<usize>, value: &Value) -> Vec<Edits> {
        let (text, tree) = (self.text, self.tree);
        let NodeContent::List(items) = tree.content(found.node) else {
            return Vec::new();
        };
        let at = at.unwrap_or(items.len());
        if is_flow(text, tree, found.node) {
            let new = Self::written(value, "", true);
            let edit = match items.get(at) {
                Some(next) => {
                    let start = tree.range(*next).start;
                    vec![Edit::new(start..start, format!("{new}, "))]
                }
                None => self.put_into_flow(
                    found.node,
                    items.last().map(|last| end_of(text, tree, *last)),
                    &new,
                ),
            };
            return vec![edit];
        }
        let Some(first) = items.first().and_then(|first| dash(text, tree, *first)) else {
            return Vec::new();
        };
        let indent = &text[line_start(text, first)..first];
        if !indent.bytes().all(|byte| byte == b' ') {
            return Vec::new();
        }
        let in_braces = items.last().is_some_and(|last| {
            is_flow(text, tree, *last) && matches!(tree.content(*last), NodeContent::Block(_))
        });
        let lines = Self::item_lines(value, indent, in_braces);
        if at == 0 {
            return vec![self.put_lines(line_start(text, first), &lines)];
        }
        let Some(before) = items.get(at - 1) else {
            return Vec::new();
        };
        let end = end_of(text, tree, *before);
        let after = next_line(text, tree.range(*before).end.max(end));
        [room_behind(text, end, indent.len()), after]
            .map(|place| self.put_lines(place, &lines))
            .to_vec()
    }

    /// Where each entry of a list or block begins and ends, its key included.
    fn spans(&self, parent: NodeId) -> Vec<std::ops::Range<usize>> {
        let (text, tree) = (self.text, self.tree);
        match tree.content(parent) {
            NodeContent::List(items) => items
                .iter()
                .map(|item| tree.range(*item).start..end_of(text, tree, *item))
                .collect(),
            NodeContent::Block(entries) => entries
                .iter()
                .map(|(key, value)| tree.range(*key).start..end_of_entry(text, tree, *key, *value))
                .collect(),
            NodeContent::Scalar { .. } | NodeContent::Alias(_) => Vec::new(),
        }
    }

    /// A key under another name.
    fn renamed(&self, key: NodeId, to: &str) -> Edits {
        let range = self.tree.range(key);
        let start = behind_properties(self.text, range.start).min(range.end);
        let old = &self.text[start..range.end];
        let name = Value::String(to.to_owned());
        let new = if old.starts_with(['"', '\'']) {
            Self::written(&name, old, true)
        } else {
            writing::name(&name)
        };
        vec![Edit::new(start..range.end, new)]
    }
}
