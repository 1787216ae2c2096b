//! Where a record can grow without a byte of it being touched.
//!
//! In: a text and its [`Tree`]. Out: the column of its keys, and the place behind the last entry of
//! a list. What is written in flow style (`[…]`, `{…}`) has no such place.

use super::NodeId;
use super::tree::{NodeContent, Tree};

/// Where new entries of a list can go.
#[derive(Debug, PartialEq, Eq)]
pub(crate) enum Room {
    /// There is no such key.
    NoKey,
    /// The key is there with no value, or with one that has no room.
    Closed,
    /// A list with a line for each entry.
    Open {
        /// Byte of the text that new lines go before; it begins a line, or is the end of the text.
        at: usize,
        /// What stands before the `-` of its entries.
        indent: String,
    },
}

impl Tree<'_> {
    /// What stands before the keys of a record; nothing when it is no block of lines.
    pub(crate) fn key_indent(&self, text: &str) -> Option<String> {
        let NodeContent::Block(entries) = self.content(self.root()) else {
            return None;
        };
        let first = self.range(entries.first()?.0).start;
        let line = text[..first].rfind('\n').map_or(0, |at| at + 1);
        let before = text[line..first].trim_start_matches('\u{feff}');
        before
            .bytes()
            .all(|byte| byte == b' ')
            .then(|| before.to_owned())
    }

    /// Where entries can be added to the list of a key of the record.
    pub(crate) fn room_in(&self, text: &str, key: &str) -> Room {
        let NodeContent::Block(entries) = self.content(self.root()) else {
            return Room::Closed;
        };
        let Some((_, value)) = entries
            .iter()
            .find(|(name, _)| self.scalar(*name) == Some(key))
        else {
            return Room::NoKey;
        };
        let NodeContent::List(items) = self.content(*value) else {
            return Room::Closed;
        };
        let (Some(last), false) = (items.last(), self.is_flow(text, *value)) else {
            return Room::Closed;
        };
        // From the entry's first letter back to its dash: nothing but blanks, line ends and the
        // dash may stand between.
        let start = self.range(*last).start;
        let before = text[..start].trim_end_matches([' ', '\r', '\n']);
        let Some(before) = before.strip_suffix('-') else {
            return Room::Closed;
        };
        let indent = &before[before.rfind('\n').map_or(0, |at| at + 1)..];
        if !indent.bytes().all(|byte| byte == b' ') {
            return Room::Closed;
        }
        let mut at = line_end(text, self.end_of(text, *last));
        // What is said about the last entry below it stays with it.
        while let Some(line) = text[at..].split_inclusive('\n').next() {
            let blanks = line.len() - line.trim_start_matches(' ').len();
            if blanks <= indent.len() || !line.trim_start().starts_with('#') {
                break;
            }
            at += line.len();
        }
        Room::Open {
            at,
            indent: indent.to_owned(),
        }
    }

    /// The text with one more line of a key in an entry of a list; nothing where there is no room
    /// for it. Whoever asks reads the result again.
    pub(crate) fn with_line(
        &self,
        text: &str,
        list: &str,
        index: usize,
        line: &str,
    ) -> Option<String> {
        let NodeContent::Block(entries) = self.content(self.root()) else {
            return None;
        };
        let (_, value) = entries
            .iter()
            .find(|(name, _)| self.scalar(*name) == Some(list))?;
        let NodeContent::List(items) = self.content(*value) else {
            return None;
        };
        let item = *items.get(index)?;
        let NodeContent::Block(keys) = self.content(item) else {
            return None;
        };
        let (first, (_, last)) = (keys.first()?.0, *keys.last()?);
        if self.is_flow(text, item) {
            let at = self.end_of(text, last);
            return Some(format!("{}, {line}{}", &text[..at], &text[at..]));
        }
        let start = self.range(first).start;
        let before = &text[text[..start].rfind('\n').map_or(0, |at| at + 1)..start];
        if !before.bytes().all(|byte| matches!(byte, b' ' | b'-')) {
            return None;
        }
        let at = line_end(text, self.end_of(text, item));
        let end = if text.contains("\r\n") { "\r\n" } else { "\n" };
        let lead = if at > 0 && !text[..at].ends_with('\n') {
            end
        } else {
            ""
        };
        Some(format!(
            "{}{lead}{}{line}{end}{}",
            &text[..at],
            " ".repeat(before.len()),
            &text[at..]
        ))
    }

    fn is_flow(&self, text: &str, node: NodeId) -> bool {
        // A list whose dashes stand under its key begins, to the parser, behind its first dash.
        let open = if matches!(self.content(node), NodeContent::List(_)) {
            '['
        } else {
            '{'
        };
        text[self.range(node).start..].starts_with(open)
    }

    /// The end of the last thing that is written inside a node. The end of a block itself lies only
    /// where the next thing begins.
    fn end_of(&self, text: &str, node: NodeId) -> usize {
        let range = self.range(node);
        match self.content(node) {
            NodeContent::List(_) | NodeContent::Block(_) if self.is_flow(text, node) => range.end,
            NodeContent::List(items) => items
                .iter()
                .map(|item| self.end_of(text, *item))
                .max()
                .unwrap_or(range.start),
            NodeContent::Block(entries) => entries
                .iter()
                // A value that is left out stands nowhere; its key does.
                .map(|(key, value)| {
                    if self.is_nothing(*value) {
                        self.range(*key).end
                    } else {
                        self.end_of(text, *value)
                    }
                })
                .max()
                .unwrap_or(range.start),
            NodeContent::Scalar { .. } | NodeContent::Alias(_) => range.end,
        }
    }
}

/// The start of the next line; the place itself when a line begins there.
fn line_end(text: &str, at: usize) -> usize {
    if text[..at].ends_with('\n') {
        at
    } else {
        text[at..].find('\n').map_or(text.len(), |end| at + end + 1)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn room(text: &str) -> Room {
        Tree::parse(text).unwrap().room_in(text, "puppies")
    }

    fn open(text: &str, before: &str, indent: &str) {
        let at = text.find(before).unwrap_or(text.len());
        assert_eq!(
            room(text),
            Room::Open {
                at,
                indent: indent.to_owned()
            },
            "{text}"
        );
    }

    #[test]
    fn room_is_behind_the_last_entry_and_what_is_said_of_it() {
        open(
            "puppies:\n  - id: a\n    sex: male # a boy\n",
            "\u{0}",
            "  ",
        );
        open(
            "puppies:\n- id: a\n  sex: male\nremarks: x\n",
            "remarks",
            "",
        );
        open(
            "puppies:\n  - id: a\n    # loud\n    remarks:\n    # quiet\n# of the litter\nname: \
             x\n",
            "# of the litter",
            "  ",
        );
        open("puppies:\n- { id: a }\n- id: b\nname: x\n", "name", "");
        open(
            "puppies:\n  - { id: a,\n      sex: male }\n\nname: x\n",
            "\nname",
            "  ",
        );
        open(
            "puppies:\n  -\n    id: a\n    newborn: { limbs: normal,\n      skull: open }\nname: x",
            "name",
            "  ",
        );
        open(
            "puppies:\n  - id: a\n    remarks: |\n      one\n      # two\n\nname: x\n",
            "name",
            "  ",
        );
        open(
            "puppies:\n  - id: é\n    about: \"one\n      two\"\nname: x\n",
            "name",
            "  ",
        );
    }

    #[test]
    fn what_is_closed_says_so() {
        for text in [
            "puppies: []\n",
            "puppies:\n",
            "puppies: [{ id: a }]\n",
            "puppies: none\n",
        ] {
            assert_eq!(room(text), Room::Closed, "{text}");
        }
        assert_eq!(room("name: x\n"), Room::NoKey);
    }

    #[test]
    fn keys_stand_where_the_first_one_stands() {
        let indent = |text: &str| Tree::parse(text).unwrap().key_indent(text);
        assert_eq!(indent("# head\nname: x\n"), Some(String::new()));
        assert_eq!(indent("  name: x\n  dam: y\n"), Some("  ".to_owned()));
        assert_eq!(indent("{ name: x }\n"), None);
    }
}
