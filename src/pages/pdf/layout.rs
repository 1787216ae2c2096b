//! From blocks to strips.
//!
//! In: a document's blocks and the width of its text. Out: strips in reading order, and the tree of
//! what they mean. It never breaks pages, and never looks at what the words say.

use std::rc::Rc;

use super::NotTypeset;
use super::clean::clean_line;
use super::document::{Block, Document, Drawing};
use super::figure;
use super::galley::{
    BOX_TITLE, CODE, Galley, HAIR, HEADING, LABEL, SMALL, SUBHEADING, Style, TEXT, TITLE, UNDER,
    VALUE, lead,
};
use super::strip::{
    Bookmark, ContentRole, Ink, InkOwner, Strip, StripCell, baseline, running, side_by_side,
};
use super::table;
use super::text::{Shaped, break_lines};

impl Galley {
    /// Lays out every block.
    pub(super) fn set(&mut self, document: &Document) -> Result<(), NotTypeset> {
        for block in &document.blocks {
            match block {
                Block::Title { text, under } => self.title(text, under, document.accent),
                Block::Heading { level, text } => self.heading(*level, text),
                Block::Paragraph(text) => self.paragraph(text, TEXT),
                Block::Small(text) => self.paragraph(text, SMALL),
                Block::List(items) => self.list(items),
                Block::Facts { columns, facts } => self.facts(*columns, facts),
                Block::Table {
                    caption,
                    head,
                    share,
                    figures,
                    rows,
                } => table::set(
                    self,
                    &table::TableParts {
                        caption,
                        head,
                        share,
                        figures,
                        rows,
                    },
                )?,
                Block::Caution { title, lines } => self.caution(title, lines),
                Block::Drawing(drawing) => self.drawing(drawing),
                Block::Squares {
                    alt,
                    side,
                    dark,
                    mm,
                } => {
                    self.stay_with_words();
                    let plate = figure::squares(*side, dark, *mm, self.width.min(self.room()));
                    self.figure(alt, "Square code", plate);
                }
                Block::Code(text) => self.code(text),
                Block::NewPage => self.strips.push(Strip {
                    fresh: true,
                    ..Strip::default()
                }),
            }
        }
        Ok(())
    }

    fn title(&mut self, text: &str, under: &[String], accent: Option<[u8; 3]>) {
        let x = if accent.is_some() { 12.0 } else { 0.0 };
        let mut strips = Vec::new();
        let lines = self.lines(text, TITLE, self.width - x);
        if !lines.is_empty() {
            let node = self.tree.add(ContentRole::Title, None);
            strips.extend(running(lines, x, TITLE.look(0.0), InkOwner::Node(node)));
            if let Some(first) = strips.first_mut() {
                first.bookmark = Some(Bookmark {
                    level: 1,
                    text: clean_line(text),
                });
            }
        }
        for line in under {
            let lines = self.lines(line, UNDER, self.width - x);
            if !lines.is_empty() {
                let node = self.tree.add(ContentRole::Paragraph, None);
                strips.extend(running(lines, x, UNDER.look(0.0), InkOwner::Node(node)));
            }
        }
        if strips.is_empty() {
            return;
        }
        for strip in &mut strips {
            strip.keep = true;
            if let Some(colour) = accent {
                // A little longer than the strip, so that no gap shows between two of them.
                strip.inks.push((
                    InkOwner::Layout,
                    Ink::Bar {
                        at: [0.0, 0.0],
                        size: [4.0, strip.height + 0.2],
                        colour,
                    },
                ));
            }
        }
        let rule = Ink::Rule {
            from: [0.0, 7.0],
            to: [self.width, 7.0],
            width: 0.9,
            grey: 0,
        };
        strips.push(Strip {
            height: 8.0,
            inks: vec![(InkOwner::Layout, rule)],
            ..Strip::default()
        });
        self.push(10.0, strips);
    }

    fn heading(&mut self, level: u8, text: &str) {
        let words = clean_line(text);
        if words.is_empty() {
            return;
        }
        // A reader that steps through headings must never find a second level without a first.
        let level = level.clamp(1, 2).min(self.level + 1);
        self.level = level;
        let style = if level == 1 { HEADING } else { SUBHEADING };
        let node = self
            .tree
            .add(ContentRole::Heading(u16::from(level), words.clone()), None);
        let lines = self.lines(text, style, self.width);
        let mut strips = running(lines, 0.0, style.look(0.0), InkOwner::Node(node));
        if let Some(first) = strips.first_mut() {
            first.bookmark = Some(Bookmark { level, text: words });
        }
        if level == 1 {
            let rule = Ink::Rule {
                from: [0.0, 1.5],
                to: [self.width, 1.5],
                width: 0.5,
                grey: 0,
            };
            strips.push(Strip {
                height: 2.0,
                inks: vec![(InkOwner::Layout, rule)],
                ..Strip::default()
            });
        }
        lead(&mut strips);
        self.push(if level == 1 { 17.0 } else { 11.0 }, strips);
    }

    fn paragraph(&mut self, text: &str, style: Style) {
        let lines = self.lines(text, style, self.width);
        if !lines.is_empty() {
            let node = self.tree.add(ContentRole::Paragraph, None);
            self.push(
                style.leading * 0.45,
                running(lines, 0.0, style.look(0.0), InkOwner::Node(node)),
            );
        }
    }

    fn list(&mut self, items: &[String]) {
        const INDENT: f32 = 12.0;
        let mut list = None;
        for item in items {
            let lines = self.lines(item, TEXT, self.width - INDENT);
            if lines.is_empty() {
                continue;
            }
            let before = if list.is_some() {
                1.5
            } else {
                TEXT.leading * 0.45
            };
            let list = *list.get_or_insert_with(|| self.tree.add(ContentRole::Bullets, None));
            let item = self.tree.add(ContentRole::Item, Some(list));
            let label = self.tree.add(ContentRole::Label, Some(item));
            let body = self.tree.add(ContentRole::Body, Some(item));
            let mut strips = running(lines, INDENT, TEXT.look(0.0), InkOwner::Node(body));
            let bullet = self.lines("•", TEXT, INDENT);
            if let Some(first) = strips.first_mut() {
                let y = baseline(TEXT.look(0.0), 0);
                first.inks.splice(
                    0..0,
                    bullet
                        .into_iter()
                        .map(|line| (InkOwner::Node(label), Ink::Text { x: 2.0, y, line })),
                );
            }
            self.push(before, strips);
        }
    }

    fn facts(&mut self, columns: u8, facts: &[(String, String)]) {
        const GAP: f32 = 18.0;
        let columns = usize::from(columns.clamp(1, 2));
        let wide = if columns == 2 {
            (self.width - GAP) / 2.0
        } else {
            self.width
        };
        let label_width = self.label_width(facts, wide);
        let facts: Vec<_> = facts
            .iter()
            .filter(|(label, value)| !clean_line(label).is_empty() || !clean_line(value).is_empty())
            .collect();
        if facts.is_empty() {
            return;
        }
        let list = self.tree.add(ContentRole::Pairs, None);
        let last = facts.len().div_ceil(columns) - 1;
        for (nth, row) in facts.chunks(columns).enumerate() {
            let mut cells = Vec::new();
            for (x, (label, value)) in [0.0, wide + GAP].into_iter().zip(row) {
                let item = self.tree.add(ContentRole::Item, Some(list));
                let (left, right) = (
                    self.tree.add(ContentRole::Label, Some(item)),
                    self.tree.add(ContentRole::Body, Some(item)),
                );
                let body_x = x + label_width + 8.0;
                let body_width = wide - label_width - 8.0;
                cells.push(StripCell {
                    x,
                    width: label_width,
                    right: false,
                    lines: self.lines(label, LABEL, label_width),
                    owner: InkOwner::Node(left),
                });
                cells.push(StripCell {
                    x: body_x,
                    width: body_width,
                    right: false,
                    lines: self.lines(value, VALUE, body_width),
                    owner: InkOwner::Node(right),
                });
            }
            let mut strips = side_by_side(
                &cells,
                VALUE.look(1.8),
                if nth == 0 { self.room() } else { self.height },
            );
            if let Some(end) = strips.last_mut() {
                let y = end.height;
                for x in [0.0, wide + GAP].into_iter().take(columns) {
                    end.inks.push((
                        InkOwner::Layout,
                        Ink::Rule {
                            from: [x, y],
                            to: [x + wide, y],
                            width: 0.4,
                            grey: HAIR,
                        },
                    ));
                }
                // The first two rows, and the last two, stay together.
                end.keep = nth < last && (nth == 0 || nth + 1 == last);
            }
            self.push(if nth == 0 { 5.0 } else { 0.0 }, strips);
        }
    }

    /// Width for the labels: as wide as the widest, within bounds.
    fn label_width(&mut self, facts: &[(String, String)], wide: f32) -> f32 {
        let widths = facts
            .iter()
            .flat_map(|(label, _)| self.lines(label, LABEL, wide));
        widths
            .map(|line| line.width)
            .fold(0.0, f32::max)
            .clamp(40.0, wide * 0.42)
            .min(150.0)
    }

    fn caution(&mut self, title: &str, lines: &[String]) {
        const PAD: f32 = 10.0;
        let mut strips = Vec::new();
        let mut group = None;
        for (text, style) in std::iter::once((title, BOX_TITLE))
            .chain(lines.iter().map(|line| (line.as_str(), TEXT)))
        {
            let set = self.lines(text, style, self.width - PAD * 2.0);
            if set.is_empty() {
                continue;
            }
            let group = *group.get_or_insert_with(|| self.tree.add(ContentRole::Group, None));
            let node = self.tree.add(ContentRole::Paragraph, Some(group));
            let mut paragraph = running(set, PAD, style.look(0.0), InkOwner::Node(node));
            if let (Some(first), false) = (paragraph.first_mut(), strips.is_empty()) {
                shift(first, 2.5);
            }
            strips.extend(paragraph);
        }
        let last = strips.len().saturating_sub(1);
        let right = self.width;
        for (nth, strip) in strips.iter_mut().enumerate() {
            if nth == 0 {
                shift(strip, 6.0);
                strip.inks.push((
                    InkOwner::Layout,
                    Ink::Rule {
                        from: [-0.4, 0.0],
                        to: [right + 0.4, 0.0],
                        width: 0.8,
                        grey: 0,
                    },
                ));
            }
            if nth == last {
                strip.height += 6.5;
                let y = strip.height;
                strip.inks.push((
                    InkOwner::Layout,
                    Ink::Rule {
                        from: [-0.4, y],
                        to: [right + 0.4, y],
                        width: 0.8,
                        grey: 0,
                    },
                ));
            }
            for x in [0.0, right] {
                strip.inks.push((
                    InkOwner::Layout,
                    Ink::Rule {
                        from: [x, 0.0],
                        to: [x, strip.height],
                        width: 0.8,
                        grey: 0,
                    },
                ));
            }
            strip.keep = nth < last;
        }
        self.push(9.0, strips);
    }

    fn code(&mut self, text: &str) {
        const PAD: f32 = 12.0;
        let words = clean_line(text);
        let widest = self.width - PAD * 2.0;
        let shaped = self.shaper.shape(CODE.face, &words);
        let style = Style {
            size: code_size(&shaped, widest),
            ..CODE
        };
        let lines = break_lines(&shaped, style.size, style.grey, widest);
        if lines.is_empty() {
            return;
        }
        let wide = lines.iter().map(|line| line.width).fold(0.0, f32::max) + PAD * 2.0;
        let paragraph = self.tree.add(ContentRole::Paragraph, None);
        let node = self.tree.add(ContentRole::Code, Some(paragraph));
        let cells = [StripCell {
            x: PAD,
            width: widest,
            right: false,
            lines,
            owner: InkOwner::Node(node),
        }];
        let mut strips = side_by_side(&cells, style.look(5.0), self.room());
        for strip in &mut strips {
            let corners = [
                [0.0, 0.0],
                [wide, 0.0],
                [wide, strip.height],
                [0.0, strip.height],
                [0.0, 0.0],
            ];
            let rules = corners.iter().zip(corners.iter().skip(1));
            let rules: Vec<_> = rules
                .map(|(&from, &to)| {
                    (
                        InkOwner::Layout,
                        Ink::Rule {
                            from,
                            to,
                            width: 0.5,
                            grey: HAIR,
                        },
                    )
                })
                .collect();
            strip.inks.extend(rules);
        }
        self.stay_with_words();
        self.push(8.0, strips);
    }

    /// Keeps the words just before a code on its page, because they say what it is for.
    fn stay_with_words(&mut self) {
        if let Some(last) = self
            .strips
            .last_mut()
            .filter(|last| !last.fresh && last.height < self.height / 3.0)
        {
            last.keep = true;
        }
    }

    fn drawing(&mut self, drawing: &Drawing) {
        let room = self.room();
        let plate = figure::drawing(&mut self.shaper, drawing, self.width, room);
        self.figure(&drawing.alt, "Drawing", plate);
    }

    /// Adds a figure, or at least what it would have shown in words.
    fn figure(&mut self, alt: &str, otherwise: &str, plate: Option<figure::Plate>) {
        let Some(plate) = plate else {
            self.paragraph(alt, SMALL);
            return;
        };
        let alt = Some(clean_line(alt))
            .filter(|alt| !alt.is_empty())
            .unwrap_or_else(|| otherwise.to_owned());
        let node = self.tree.add(ContentRole::Figure(alt), None);
        let height = plate.height.min(self.height);
        let ink = Ink::Plate {
            x: 0.0,
            y: 0.0,
            plate: Rc::new(plate),
        };
        self.push(
            8.0,
            vec![Strip {
                height,
                inks: vec![(InkOwner::Node(node), ink)],
                ..Strip::default()
            }],
        );
    }
}

/// Moves what is in a strip down.
fn shift(strip: &mut Strip, by: f32) {
    strip.height += by;
    for (_, ink) in &mut strip.inks {
        if let Ink::Text { y, .. } = ink {
            *y += by;
        }
    }
}

/// The largest size, not above [`CODE`]'s and not below 9, at which no group must be broken.
fn code_size(shaped: &Rc<Shaped>, width: f32) -> f32 {
    let mut size = CODE.size;
    while size > 9.0
        && break_lines(shaped, size, 0, width)
            .iter()
            .any(|line| line.splits_a_group())
    {
        size -= 1.0;
    }
    size
}
