//! Taking a key or an entry out of a text, and moving an entry within its list.

use super::super::Edit;
use super::super::layout::{
    behind_properties, dash, end_of, is_flow, is_line_over, line_start, next_line, room_behind,
};
use super::{Edits, FoundNode, Surgeon};
use crate::problem::Step;
use crate::reading::{NodeContent, NodeId, Tree};
use serde_yaml::{Mapping, Value};

impl Surgeon<'_> {
    /// An entry or a key taken out, with the comment at the end of its line.
    pub(super) fn out(&self, found: FoundNode) -> Vec<Edits> {
        let text = self.text;
        let Some(parent) = found.parent else {
            return Vec::new();
        };
        let spans = self.spans(parent);
        let own = spans[found.index].clone();
        let has_comment = |range: std::ops::Range<usize>| {
            text.get(range).is_none_or(|between| between.contains('#'))
        };
        let next = spans.get(found.index + 1).cloned();
        let nothing = |range| vec![Edit::new(range, String::new())];
        if is_flow(text, self.tree, parent) {
            let before = found
                .index
                .checked_sub(1)
                .and_then(|before| spans.get(before))
                .cloned();
            return match (before, next) {
                (_, Some(next)) if !has_comment(own.end..next.start) => {
                    vec![nothing(own.start..next.start)]
                }
                (_, Some(next)) => {
                    let comma = text[own.end..next.start]
                        .find(',')
                        .map_or(own.end, |comma| own.end + comma + 1);
                    vec![nothing(own.start..comma)]
                }
                (Some(before), None) if !has_comment(before.end..own.start) => {
                    vec![nothing(before.end..own.end), nothing(own)]
                }
                (Some(_), None) => vec![nothing(own)],
                (None, None) => {
                    let range = self.tree.range(parent);
                    let open = behind_properties(text, range.start) + 1;
                    let close = range.end.saturating_sub(1);
                    let whole = if has_comment(open..own.start) || has_comment(own.end..close) {
                        own.clone()
                    } else {
                        open..close
                    };
                    vec![nothing(whole), nothing(own)]
                }
            };
        }
        let is_list = matches!(self.tree.content(parent), NodeContent::List(_));
        let Some(start) = (if is_list {
            dash(text, self.tree, found.node)
        } else {
            Some(own.start)
        }) else {
            return Vec::new();
        };
        if spans.len() == 1 {
            return self.out_of_last(parent, start..own.end, is_list);
        }
        let line = line_start(text, start);
        let end = own.end.max(start + 1);
        if text[line..start].bytes().all(|byte| byte == b' ') {
            return if is_line_over(text, end) {
                vec![nothing(line..next_line(text, end))]
            } else {
                Vec::new()
            };
        }
        // The first key behind a dash: the next one takes its place.
        let next = next.map(|next| next.start);
        match next {
            Some(next) if !has_comment(end..next) && !is_list => {
                vec![nothing(start..next), nothing(start..end)]
            }
            Some(_) if !is_list => vec![nothing(start..end)],
            _ => Vec::new(),
        }
    }

    /// The only entry taken out: what is left says that there is none.
    pub(super) fn out_of_last(
        &self,
        parent: NodeId,
        own: std::ops::Range<usize>,
        is_list: bool,
    ) -> Vec<Edits> {
        if parent == self.tree.root() {
            let (line, end) = (
                line_start(self.text, own.start),
                next_line(self.text, own.end),
            );
            return vec![vec![Edit::new(line..end, String::new())]];
        }
        let empty = if is_list {
            Value::Sequence(Vec::new())
        } else {
            Value::Mapping(Mapping::new())
        };
        self.path_to(parent)
            .and_then(|path| self.found(&path))
            .map(|found| self.whole(found, &empty))
            .unwrap_or_default()
    }

    /// The path to a node.
    pub(super) fn path_to(&self, node: NodeId) -> Option<Vec<Step>> {
        fn search(tree: &Tree<'_>, here: NodeId, node: NodeId, path: &mut Vec<Step>) -> bool {
            if here == node {
                return true;
            }
            let inner: Vec<(Step, NodeId)> = match tree.content(here) {
                NodeContent::List(items) => items
                    .iter()
                    .enumerate()
                    .map(|(at, item)| (Step::Index(at), *item))
                    .collect(),
                NodeContent::Block(entries) => entries
                    .iter()
                    .filter_map(|(key, value)| {
                        Some((Step::Key(tree.scalar(*key)?.to_owned()), *value))
                    })
                    .collect(),
                NodeContent::Scalar { .. } | NodeContent::Alias(_) => return false,
            };
            inner.into_iter().any(|(step, inside)| {
                path.push(step);
                search(tree, inside, node, path) || {
                    path.pop();
                    false
                }
            })
        }
        let mut path = Vec::new();
        search(self.tree, self.tree.root(), node, &mut path).then_some(path)
    }

    /// An entry of a list at another place in it.
    pub(super) fn moved(&self, found: FoundNode, to: usize) -> Option<Edits> {
        let (text, tree) = (self.text, self.tree);
        let parent = found.parent?;
        let (NodeContent::List(items), from) = (tree.content(parent), found.index) else {
            return None;
        };
        if is_flow(text, tree, parent) {
            let spans = self.spans(parent);
            let mut order: Vec<usize> = (0..spans.len()).collect();
            let own = order.remove(from);
            order.insert(to, own);
            let places = spans.iter().zip(order);
            return Some(
                places
                    .map(|(place, from)| {
                        Edit::new(place.clone(), text[spans[from].clone()].to_owned())
                    })
                    .collect(),
            );
        }
        let first = dash(text, tree, *items.get(from)?)?;
        let line = line_start(text, first);
        let column = first - line;
        if !text[line..first].bytes().all(|byte| byte == b' ') {
            return None;
        }
        let behind = |item: NodeId| room_behind(text, end_of(text, tree, item), column);
        let own = line..behind(*items.get(from)?);
        let place = match to {
            _ if to > from => behind(*items.get(to)?),
            0 => line_start(text, dash(text, tree, *items.first()?)?),
            _ => behind(*items.get(to - 1)?),
        };
        if own.end == text.len() && self.ends_in_lines() {
            return None;
        }
        let lines = text[own.clone()].trim_end_matches(['\n', '\r']).to_owned();
        let mut edits = self.put_lines(place, &[lines]);
        edits.push(Edit::new(own, String::new()));
        Some(edits)
    }
}
