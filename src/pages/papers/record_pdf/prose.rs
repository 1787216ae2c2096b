//! Notes on paper: Markdown to plain paragraphs, lists and tables.
//!
//! In: Markdown. Out: blocks without any mark-up. A link is followed by its address, since paper
//! cannot be tapped; a picture leaves its words; HTML is dropped. Numbers of a list are written
//! out.

use crate::pdf::Block;
use pulldown_cmark::{Event, Options, Parser, Tag, TagEnd};

/// What was read so far.
#[derive(Default)]
struct Prose {
    blocks: Vec<Block>,
    text: String,
    /// Lists that are open, the outermost first: the number of the next item, or none for bullets.
    lists: Vec<Option<u64>>,
    items: Vec<String>,
    /// The number of the item that was begun, until its first words are there.
    number: Option<u64>,
    links: Vec<String>,
    rows: Vec<Vec<String>>,
    row: Vec<String>,
}

/// A text as blocks.
pub(super) fn blocks(markdown: &str) -> Vec<Block> {
    let mut desk = Prose::default();
    for event in Parser::new_ext(
        markdown,
        Options::ENABLE_TABLES | Options::ENABLE_STRIKETHROUGH | Options::ENABLE_SMART_PUNCTUATION,
    ) {
        desk.take(event);
    }
    desk.finish_text();
    desk.finish_list();
    desk.blocks
}

impl Prose {
    fn take(&mut self, event: Event<'_>) {
        match event {
            Event::Text(text) | Event::Code(text) => self.text.push_str(&text),
            Event::SoftBreak => self.text.push(' '),
            Event::HardBreak => self.text.push('\n'),
            Event::Start(tag) => self.begin(tag),
            Event::End(tag) => self.end(tag),
            _ => {}
        }
    }

    fn begin(&mut self, tag: Tag<'_>) {
        match tag {
            Tag::List(first) => {
                self.finish_text();
                self.lists.push(first);
            }
            Tag::Item => {
                self.finish_text();
                self.number = self.lists.last().copied().flatten();
                if let Some(Some(next)) = self.lists.last_mut() {
                    *next = next.saturating_add(1);
                }
            }
            Tag::Paragraph | Tag::Heading { .. } | Tag::CodeBlock(_) | Tag::BlockQuote(_) => {
                self.finish_text();
            }
            Tag::Link { dest_url, .. } => self.links.push(dest_url.into_string()),
            Tag::Table(_) => {
                self.finish_text();
                self.finish_list();
            }
            _ => {}
        }
    }

    fn end(&mut self, tag: TagEnd) {
        match tag {
            TagEnd::Paragraph
            | TagEnd::Heading(_)
            | TagEnd::CodeBlock
            | TagEnd::Item
            | TagEnd::BlockQuote(_) => self.finish_text(),
            TagEnd::List(_) => {
                self.finish_text();
                self.lists.pop();
                if self.lists.is_empty() {
                    self.finish_list();
                }
            }
            TagEnd::Link => self.address(),
            TagEnd::TableCell => self.row.push(std::mem::take(&mut self.text)),
            TagEnd::TableHead | TagEnd::TableRow => self.rows.push(std::mem::take(&mut self.row)),
            TagEnd::Table => self.table(),
            _ => {}
        }
    }

    /// The address of a link, unless its words are the address.
    fn address(&mut self) {
        let Some(address) = self.links.pop() else {
            return;
        };
        let bare = address
            .trim_start_matches("mailto:")
            .trim_start_matches("https://")
            .trim_start_matches("http://")
            .trim_end_matches('/');
        let known = address.starts_with("http") || address.starts_with("mailto:");
        if known && !self.text.contains(bare) {
            self.text.push_str(&format!(" ({bare})"));
        }
    }

    fn table(&mut self) {
        let mut rows = std::mem::take(&mut self.rows).into_iter();
        if let Some(head) = rows.next() {
            self.blocks.push(Block::Table {
                caption: String::new(),
                share: vec![1.0; head.len()],
                figures: vec![false; head.len()],
                head,
                rows: rows.collect(),
            });
        }
    }

    /// What was read of a text becomes a paragraph, or an item of the list it stands in.
    fn finish_text(&mut self) {
        let text = std::mem::take(&mut self.text);
        let text = text.trim();
        if text.is_empty() {
            return;
        }
        let number = self
            .number
            .take()
            .map(|number| format!("{number}. "))
            .unwrap_or_default();
        let deeper = "– ".repeat(self.lists.len().saturating_sub(1).min(3));
        match self.lists.first() {
            None => self.blocks.push(Block::Paragraph(text.to_owned())),
            // A bullet before a number would be one mark too many.
            Some(Some(_)) => self
                .blocks
                .push(Block::Paragraph(format!("{deeper}{number}{text}"))),
            Some(None) => self.items.push(format!("{deeper}{number}{text}")),
        }
    }

    fn finish_list(&mut self) {
        let items = std::mem::take(&mut self.items);
        if !items.is_empty() {
            self.blocks.push(Block::List(items));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn paragraphs_lists_and_tables_lose_their_marks() {
        let text = "# Food\n\nFour **meals** a\nday, `50 g` each.\n\n- morning\n- noon\n  - or \
                    later\n\n1. Soak it.\n\n   Warm.\n2. Let it cool.\n\n| a | b |\n|---|---|\n| \
                    1 | 2 |\n\n<b>bold</b> ![a bowl](x.jpg)";
        assert_eq!(
            blocks(text),
            [
                Block::Paragraph("Food".to_owned()),
                Block::Paragraph("Four meals a day, 50 g each.".to_owned()),
                Block::List(
                    ["morning", "noon", "– or later"]
                        .map(str::to_owned)
                        .to_vec()
                ),
                Block::Paragraph("1. Soak it.".to_owned()),
                Block::Paragraph("Warm.".to_owned()),
                Block::Paragraph("2. Let it cool.".to_owned()),
                Block::Table {
                    caption: String::new(),
                    head: vec!["a".to_owned(), "b".to_owned()],
                    share: vec![1.0, 1.0],
                    figures: vec![false, false],
                    rows: vec![vec!["1".to_owned(), "2".to_owned()]],
                },
                Block::Paragraph("bold a bowl".to_owned()),
            ]
        );
    }

    #[test]
    fn a_link_is_followed_by_its_address_once() {
        let text = "[Our page](https://a.example/x.html), <https://a.example/>, \
                    [mail](mailto:i@a.example), [odd](javascript:alert)";
        assert_eq!(
            blocks(text),
            [Block::Paragraph(
                "Our page (a.example/x.html), https://a.example/, mail (i@a.example), odd"
                    .to_owned()
            )]
        );
    }

    #[test]
    fn nothing_makes_nothing_and_nesting_without_end_is_harmless() {
        assert_eq!(blocks(" \n\n<!-- x -->"), []);
        let deep = (0..200)
            .map(|n| format!("{}- a\n", "  ".repeat(n)))
            .collect::<String>()
            + &">".repeat(500)
            + "b";
        assert!(!blocks(&deep).is_empty());
    }
}
