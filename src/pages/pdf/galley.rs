//! What blocks are laid out on.
//!
//! In: lines and strips. Out: strips in reading order, with the tree of what they mean. It knows no
//! kind of block.

use super::faces::Face;
use super::strip::{CellStyle, Strip, StructureTree};
use super::text::{Shaper, TextLine, break_lines};

/// A face, its size and how dark it is.
#[derive(Clone, Copy)]
pub(super) struct Style {
    pub(super) face: Face,
    pub(super) size: f32,
    pub(super) leading: f32,
    pub(super) grey: u8,
}

impl Style {
    const fn new(face: Face, size: f32, leading: f32, grey: u8) -> Self {
        Self {
            face,
            size,
            leading,
            grey,
        }
    }

    /// The look of lines in this style.
    pub(super) const fn look(self, padding: f32) -> CellStyle {
        CellStyle {
            padding,
            leading: self.leading,
            size: self.size,
        }
    }
}

pub(super) const TITLE: Style = Style::new(Face::Serif, 21.0, 26.0, 0);
pub(super) const UNDER: Style = Style::new(Face::Sans, 9.5, 13.5, 64);
pub(super) const HEADING: Style = Style::new(Face::SerifBold, 12.0, 16.0, 0);
pub(super) const SUBHEADING: Style = Style::new(Face::SerifBold, 10.0, 13.5, 0);
pub(super) const TEXT: Style = Style::new(Face::Sans, 9.5, 13.5, 0);
pub(super) const SMALL: Style = Style::new(Face::Sans, 8.0, 11.0, 64);
pub(super) const LABEL: Style = Style::new(Face::Sans, 8.0, 13.0, 80);
pub(super) const VALUE: Style = Style::new(Face::Sans, 9.5, 13.0, 0);
pub(super) const BOX_TITLE: Style = Style::new(Face::SansBold, 9.5, 13.5, 0);
pub(super) const CODE: Style = Style::new(Face::Mono, 17.0, 24.0, 0);

/// Grey of the thin rules.
pub(super) const HAIR: u8 = 150;

/// What a block adds to.
pub(super) struct Galley {
    pub(super) shaper: Shaper,
    pub(super) tree: StructureTree,
    pub(super) strips: Vec<Strip>,
    /// Width of the text in points.
    pub(super) width: f32,
    /// Height of a page's text in points.
    pub(super) height: f32,
    pub(super) level: u8,
}

impl Galley {
    pub(super) fn new(shaper: Shaper, width: f32, height: f32) -> Self {
        Self {
            shaper,
            tree: StructureTree::default(),
            strips: Vec::new(),
            width,
            height,
            level: 0,
        }
    }

    /// Lines of a text in a style.
    pub(super) fn lines(&mut self, text: &str, style: Style, width: f32) -> Vec<TextLine> {
        let shaped = self.shaper.shape(style.face, text);
        break_lines(&shaped, style.size, style.grey, width)
    }

    /// Adds strips that belong to one block, with space before the first.
    pub(super) fn push(&mut self, before: f32, strips: Vec<Strip>) {
        let at = self.strips.len();
        self.strips.extend(strips);
        if let Some(first) = self.strips.get_mut(at) {
            first.before = before;
        }
    }

    /// Height that is left on a page below the headings that wait for what they lead in; never less
    /// than a third of the page.
    pub(super) fn room(&self) -> f32 {
        let waiting = self.strips.iter().rev().take_while(|strip| strip.lead);
        let taken: f32 = waiting.map(|strip| strip.before + strip.height).sum();
        // A few points more, for the space before what comes.
        (self.height - taken - 12.0).max(self.height / 3.0)
    }
}

/// Lets strips lead in what comes after them.
pub(super) fn lead(strips: &mut [Strip]) {
    for strip in strips {
        (strip.keep, strip.lead) = (true, true);
    }
}
