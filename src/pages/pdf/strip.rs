//! The pieces between blocks and pages: strips of ink that are as wide as the text, and the tree of
//! what they mean.
//!
//! In: lines of text in cells. Out: strips, none higher than asked for, and nodes of the structure
//! tree. It never knows on which page a strip will stand.

use std::rc::Rc;

use super::count;
use super::figure::Plate;
use super::text::TextLine;

/// What a piece of content is, for those who do not see it.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum ContentRole {
    Title,
    Heading(u16, String),
    Paragraph,
    Code,
    Bullets,
    Pairs,
    Item,
    Label,
    Body,
    Table,
    Caption,
    TableHead,
    TableBody,
    Row,
    HeadCell,
    Cell,
    Figure(String),
    Group,
}

/// A node of the structure tree; its children are the nodes that name it as parent, in the order of
/// their making.
#[derive(Clone, Debug)]
pub(super) struct Node {
    pub(super) kind: ContentRole,
    pub(super) parent: Option<usize>,
}

/// The structure tree while the blocks are laid out.
#[derive(Debug, Default)]
pub(super) struct StructureTree {
    pub(super) nodes: Vec<Node>,
}

impl StructureTree {
    /// Adds a node and returns its number, which is higher than its parent's.
    pub(super) fn add(&mut self, kind: ContentRole, parent: Option<usize>) -> usize {
        self.nodes.push(Node { kind, parent });
        self.nodes.len() - 1
    }
}

/// To whom ink belongs: a node of the tree, or nobody (then it is an artifact).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum InkOwner {
    /// Node of this number.
    Node(usize),
    /// A rule, a bar or a box.
    Layout,
    /// The repeated head of a table.
    Repeat,
    /// The running header.
    Header,
    /// The running footer.
    Footer,
}

/// Something drawn; x from the left edge of the text, y from the top of the strip, in points.
#[derive(Clone)]
pub(super) enum Ink {
    /// A line of text on its baseline.
    Text { x: f32, y: f32, line: TextLine },
    /// Nothing to be seen: keeps the place of an empty cell in the order of reading.
    Nothing,
    /// A straight rule.
    Rule {
        from: [f32; 2],
        to: [f32; 2],
        width: f32,
        grey: u8,
    },
    /// A filled bar.
    Bar {
        at: [f32; 2],
        size: [f32; 2],
        colour: [u8; 3],
    },
    /// A drawing.
    Plate { x: f32, y: f32, plate: Rc<Plate> },
}

/// An entry of the outline.
#[derive(Clone, Debug)]
pub(super) struct Bookmark {
    pub(super) level: u8,
    pub(super) text: String,
}

/// Ink that stays together.
#[derive(Clone, Default)]
pub(super) struct Strip {
    /// Space before it, left out at the top of a page.
    pub(super) before: f32,
    /// Its own height.
    pub(super) height: f32,
    /// Whether the next strip must stand on the same page.
    pub(super) keep: bool,
    /// Whether it leads something in (a heading, a caption, a table's head) and so may never end a
    /// page.
    pub(super) lead: bool,
    /// Whether it starts a new page.
    pub(super) fresh: bool,
    /// What is drawn, in the order of reading.
    pub(super) inks: Vec<(InkOwner, Ink)>,
    /// Its entry in the outline.
    pub(super) bookmark: Option<Bookmark>,
    /// The head to be drawn again where this strip opens a page.
    pub(super) head: Option<Rc<Strip>>,
}

impl Strip {
    /// The same strip as an artifact, for a table's head on later pages.
    pub(super) fn repeated(&self) -> Self {
        let inks = self
            .inks
            .iter()
            .map(|(_, ink)| (InkOwner::Repeat, ink.clone()))
            .collect();
        Self {
            height: self.height,
            inks,
            ..Self::default()
        }
    }
}

/// Lines in a column of their own.
pub(super) struct StripCell {
    pub(super) x: f32,
    pub(super) width: f32,
    pub(super) right: bool,
    pub(super) lines: Vec<TextLine>,
    pub(super) owner: InkOwner,
}

/// How cells that stand side by side are set.
#[derive(Clone, Copy, Debug)]
pub(super) struct CellStyle {
    /// Space above the first and below the last line.
    pub(super) padding: f32,
    /// From one baseline to the next.
    pub(super) leading: f32,
    /// Size that the lines are centred for.
    pub(super) size: f32,
}

impl CellStyle {
    /// Height of so many lines.
    pub(super) fn height(&self, lines: usize) -> f32 {
        self.padding * 2.0 + self.leading * count(lines)
    }

    /// How many lines fit in a height, at least one.
    pub(super) fn fits(&self, height: f32) -> usize {
        let mut lines = 1;
        while self.height(lines + 1) <= height {
            lines += 1;
        }
        lines
    }
}

/// Sets cells side by side: one strip, or several when the lines would be higher than `limit`
/// points.
pub(super) fn side_by_side(cells: &[StripCell], look: CellStyle, limit: f32) -> Vec<Strip> {
    let lines = cells
        .iter()
        .map(|cell| cell.lines.len())
        .max()
        .unwrap_or(0)
        .max(1);
    let most = look.fits(limit);
    (0..lines)
        .step_by(most)
        .map(|first| chunk(cells, look, first, most.min(lines - first)))
        .collect()
}

fn chunk(cells: &[StripCell], look: CellStyle, first: usize, lines: usize) -> Strip {
    let mut inks = Vec::new();
    for cell in cells {
        if first == 0 && cell.lines.is_empty() {
            inks.push((cell.owner, Ink::Nothing));
        }
        for (nth, line) in cell.lines.iter().skip(first).take(lines).enumerate() {
            let x = if cell.right {
                cell.x + cell.width - line.width
            } else {
                cell.x
            };
            inks.push((
                cell.owner,
                Ink::Text {
                    x,
                    y: look.padding + baseline(look, nth),
                    line: line.clone(),
                },
            ));
        }
    }
    Strip {
        height: look.height(lines),
        inks,
        ..Strip::default()
    }
}

/// Baseline of a line, from the top of the first: capitals stand in the middle of their line.
pub(super) fn baseline(look: CellStyle, line: usize) -> f32 {
    look.leading * (count(line) + 0.5) + look.size * 0.357
}

/// Running text: one strip a line, never one line alone at the foot or the top of a page.
pub(super) fn running(
    lines: Vec<TextLine>,
    x: f32,
    look: CellStyle,
    owner: InkOwner,
) -> Vec<Strip> {
    let last = lines.len().saturating_sub(1);
    let strip = |(nth, line)| Strip {
        height: look.leading,
        keep: nth < last && (nth == 0 || nth + 2 > last),
        inks: vec![(
            owner,
            Ink::Text {
                x,
                y: baseline(look, 0),
                line,
            },
        )],
        ..Strip::default()
    };
    lines.into_iter().enumerate().map(strip).collect()
}
