//! Where the parts of a text begin and end, as far as a change has to know.
//!
//! In: a text and its tree. Out: bytes. The parser says where a scalar stands; where a block of
//! lines ends, where a value may go behind its key and which lines belong to an entry is found out
//! here.

use crate::reading::{NodeContent, NodeId, Tree};

/// The byte at which the line of a byte begins.
pub(super) fn line_start(text: &str, at: usize) -> usize {
    text[..at].rfind(['\n', '\r']).map_or(0, |end| end + 1)
}

/// The start of the next line; the place itself when a line begins there.
pub(super) fn next_line(text: &str, at: usize) -> usize {
    if at > 0 && text[..at].ends_with('\n') {
        at
    } else {
        behind_line(text, at)
    }
}

/// The byte behind the end of the line of a byte.
pub(super) fn behind_line(text: &str, at: usize) -> usize {
    let Some(end) = text[at..].find(['\n', '\r']).map(|end| at + end) else {
        return text.len();
    };
    end + if text[end..].starts_with("\r\n") {
        2
    } else {
        1
    }
}

/// How lines end in a text.
pub(super) fn line_end(text: &str) -> &'static str {
    match text.find(['\n', '\r']) {
        Some(at) if text[at..].starts_with("\r\n") => "\r\n",
        Some(at) if text[at..].starts_with('\r') => "\r",
        _ => "\n",
    }
}

/// The first byte from `at` on that is no blank.
pub(super) fn skip_blanks(text: &str, at: usize) -> usize {
    text.len() - text[at..].trim_start_matches([' ', '\t']).len()
}

/// Whether nothing but blanks and a comment stand on the rest of a line.
pub(super) fn is_line_over(text: &str, at: usize) -> bool {
    let rest = text[at..].split(['\n', '\r']).next().unwrap_or("");
    let bare = rest.trim_start_matches([' ', '\t']);
    bare.is_empty()
        || (bare.starts_with('#') && (rest.len() > bare.len() || at == line_start(text, at)))
}

/// The byte behind the colon of a key; nothing where there is none.
pub(super) fn behind_colon(text: &str, tree: &Tree<'_>, key: NodeId) -> Option<usize> {
    let end = tree.range(key).end;
    let rest = text[end..].trim_start_matches([' ', '\t', '\n', '\r']);
    rest.starts_with(':').then(|| text.len() - rest.len() + 1)
}

/// The byte of the dash before an entry of a list of lines.
pub(super) fn dash(text: &str, tree: &Tree<'_>, item: NodeId) -> Option<usize> {
    let range = tree.range(item);
    let mut start = range.start;
    if tree.is_lines(item) {
        // The range of such a text begins behind its sign.
        start = text[..start].rfind(['|', '>'])?;
        while let Some(before) = text[..start].strip_suffix([' ', '\t']) {
            let word = before.rfind([' ', '\t', '\n', '\r']).map_or(0, |at| at + 1);
            start = if before[word..].starts_with(['&', '!']) {
                word
            } else {
                before.len()
            };
        }
    }
    let before = text[..start].trim_end_matches([' ', '\t', '\n', '\r']);
    before.ends_with('-').then(|| before.len() - 1)
}

/// Whether a list or block is written in brackets or braces.
pub(super) fn is_flow(text: &str, tree: &Tree<'_>, node: NodeId) -> bool {
    let open = match tree.content(node) {
        NodeContent::List(_) => '[',
        NodeContent::Block(_) => '{',
        NodeContent::Scalar { .. } | NodeContent::Alias(_) => return false,
    };
    let start = tree.range(node).start;
    text[behind_properties(text, start)..].starts_with(open)
}

/// Behind the anchor and the tag that stand at a place.
pub(super) fn behind_properties(text: &str, at: usize) -> usize {
    let mut at = at;
    while text[at..].starts_with(['&', '!']) {
        let word = text[at..]
            .find([' ', '\t', '\n', '\r', ',', ']', '}'])
            .map_or(text.len(), |end| at + end);
        let next = skip_blanks(text, word);
        if next == at {
            break;
        }
        at = next;
    }
    at
}

/// The end of the last thing that is written inside a node.
pub(super) fn end_of(text: &str, tree: &Tree<'_>, node: NodeId) -> usize {
    let range = tree.range(node);
    match tree.content(node) {
        NodeContent::List(_) | NodeContent::Block(_) if is_flow(text, tree, node) => range.end,
        NodeContent::List(items) => items
            .iter()
            .map(|item| end_of(text, tree, *item))
            .max()
            .unwrap_or(range.start),
        NodeContent::Block(entries) => entries
            .iter()
            .map(|(key, value)| end_of_entry(text, tree, *key, *value))
            .max()
            .unwrap_or(range.start),
        NodeContent::Scalar { text: written, .. }
            if written.is_empty() && !text[range.clone()].starts_with(['"', '\'', '&', '!']) =>
        {
            range.start
        }
        NodeContent::Scalar { .. } => {
            range.start + text[range].trim_end_matches([' ', '\t', '\n', '\r']).len()
        }
        NodeContent::Alias(_) => range.end,
    }
}

/// The end of a key and its value.
pub(super) fn end_of_entry(text: &str, tree: &Tree<'_>, key: NodeId, value: NodeId) -> usize {
    let colon = behind_colon(text, tree, key);
    if is_left_out(text, tree, value) {
        return colon.unwrap_or(tree.range(key).end);
    }
    end_of(text, tree, value).max(colon.unwrap_or(0).min(tree.range(value).end))
}

/// Whether a value is not written at all, not even as `~`.
pub(super) fn is_left_out(text: &str, tree: &Tree<'_>, node: NodeId) -> bool {
    let range = tree.range(node);
    let is_empty = match tree.content(node) {
        NodeContent::Scalar {
            text: written,
            plain: true,
        } => written.is_empty(),
        _ => false,
    };
    is_empty && !text[range].starts_with(['&', '!'])
}

/// The byte before which lines can be put that follow a node: behind its last line, and behind
/// comments that stand deeper than `column` below it.
pub(super) fn room_behind(text: &str, end: usize, column: usize) -> usize {
    let mut at = next_line(text, end);
    while at < text.len() {
        let line = &text[at..behind_line(text, at)];
        let bare = line.trim_start_matches(' ');
        if line.len() - bare.len() <= column || !bare.starts_with('#') {
            break;
        }
        at += line.len();
    }
    at
}

/// The blanks before the keys of a block of lines.
pub(super) fn indent_of(
    text: &str,
    tree: &Tree<'_>,
    entries: &[(NodeId, NodeId)],
) -> Option<String> {
    let before = |key: NodeId| {
        let start = tree.range(key).start;
        &text[line_start(text, start)..start]
    };
    let lone = entries
        .iter()
        .map(|(key, _)| before(*key))
        .find(|before| before.bytes().all(|byte| byte == b' '));
    let first = before(entries.first()?.0);
    lone.or_else(|| {
        first
            .bytes()
            .all(|byte| matches!(byte, b' ' | b'-' | b'?'))
            .then_some(first)
    })
    .map(|before| " ".repeat(before.len()))
}
