//! What stands around the text: the sheet with its margins, the running lines, and what the file says about itself.
//!
//! In: the document's own words. Out: the running lines of each page, and metadata that is never empty where the standard wants it.
//! It never asks a clock.

use krilla::metadata::{DateTime, Metadata};

use super::clean::clean_line;
use super::document::{Block, Document, Paper};
use super::faces::Face;
use super::strip::{Ink, Owner, Strip};
use super::text::{Line, Shaper, break_lines};

const MM: f32 = 72.0 / 25.4;
const SIDE: f32 = 18.0 * MM;
const RUNNING: f32 = 7.5;
const RUNNING_GREY: u8 = 80;

/// The sheet and the running lines.
pub(super) struct Sheets {
    pub(super) width: f32,
    pub(super) height: f32,
    /// Left edge of the text.
    pub(super) left: f32,
    /// Top edge of the text.
    pub(super) top: f32,
    lines: Vec<[(f32, Strip); 2]>,
}

impl Sheets {
    pub(super) fn new(paper: Paper) -> Self {
        let (width, height) = match paper {
            Paper::A4 => (210.0 * MM, 297.0 * MM),
            Paper::Letter => (612.0, 792.0),
        };
        Self { width, height, left: SIDE, top: 23.0 * MM, lines: Vec::new() }
    }

    /// Width of the text in points.
    pub(super) fn text_width(&self) -> f32 {
        self.width - SIDE * 2.0
    }

    /// Height of the text in points.
    pub(super) fn text_height(&self) -> f32 {
        self.height - self.top - 21.0 * MM
    }

    /// Sets header and footer of all pages.
    pub(super) fn run(&mut self, shaper: &mut Shaper, document: &Document, pages: usize) {
        for page in 1..=pages {
            let number = one_line(shaper, &format!("page {page} of {pages}"), self.text_width());
            let room = self.text_width() - number.as_ref().map_or(0.0, |line| line.width) - 20.0;
            let head = one_line(shaper, &document.head, self.text_width());
            let foot = one_line(shaper, &document.foot, room);
            let head = self.running(Owner::Header, head, None, 5.0);
            let foot = self.running(Owner::Footer, foot, number, -10.5);
            self.lines.push([(13.5 * MM, head), (self.height - 11.5 * MM, foot)]);
        }
    }

    /// Header and footer of a page, which counts from 0, with the baselines on which they stand.
    pub(super) fn around(&self, page: usize) -> &[(f32, Strip)] {
        self.lines.get(page).map_or(&[], |lines| lines.as_slice())
    }

    fn running(&self, owner: Owner, left: Option<Line>, right: Option<Line>, rule: f32) -> Strip {
        let mut strip = Strip::default();
        strip.inks.extend(left.map(|line| (owner, Ink::Text { x: 0.0, y: 0.0, line })));
        strip.inks.extend(right.map(|line| (owner, Ink::Text { x: self.text_width() - line.width, y: 0.0, line })));
        if !strip.inks.is_empty() {
            strip.inks.push((owner, Ink::Rule { from: [0.0, rule], to: [self.text_width(), rule], width: 0.4, grey: 150 }));
        }
        strip
    }
}

/// Text on one line, cut with an ellipsis when it is longer.
fn one_line(shaper: &mut Shaper, text: &str, width: f32) -> Option<Line> {
    let set = |shaper: &mut Shaper, text: &str, width| break_lines(&shaper.shape(Face::Sans, text), RUNNING, RUNNING_GREY, width);
    let text = clean_line(text);
    let mut lines = set(shaper, &text, width);
    if lines.len() > 1 {
        let short = format!("{}…", set(shaper, &text, width - RUNNING).first()?.words().trim_end());
        lines = set(shaper, &short, width + RUNNING);
    }
    lines.into_iter().next()
}

/// What the file says about itself.
pub(super) struct About {
    pub(super) title: String,
    pub(super) language: String,
    author: String,
    made: Option<(u16, u8, u8)>,
}

impl About {
    pub(super) fn into_pdf(self) -> Metadata {
        let mut metadata = Metadata::new().title(self.title).language(self.language);
        if !self.author.is_empty() {
            metadata = metadata.authors(vec![self.author]);
        }
        if let Some((year, month, day)) = self.made.filter(|(year, month, day)| *year <= 9999 && (1..=12).contains(month) && (1..=31).contains(day)) {
            metadata = metadata.creation_date(DateTime::new(year).month(month).day(day));
        }
        metadata
    }
}

/// Gathers the metadata; a title is found even when none is given, because the standard wants one.
pub(super) fn metadata(document: &Document) -> About {
    let of_block = |block: &Block| if let Block::Title { text, .. } = block { Some(clean_line(text)) } else { None };
    let titles = std::iter::once(clean_line(&document.title)).chain(document.blocks.iter().filter_map(of_block));
    let title = titles.chain([clean_line(&document.head)]).find(|title| !title.is_empty()).unwrap_or_else(|| "Untitled".to_owned());
    About { title, language: language(&document.language), author: clean_line(&document.author), made: document.made }
}

/// A well-formed tag of BCP 47 as it is, `en` for anything else.
pub(super) fn language(tag: &str) -> String {
    let mut parts = tag.split('-');
    let first = parts.next().is_some_and(|part| (2..=3).contains(&part.len()) && part.chars().all(|letter| letter.is_ascii_alphabetic()));
    let rest = parts.all(|part| (1..=8).contains(&part.len()) && part.chars().all(|letter| letter.is_ascii_alphanumeric()));
    if first && rest { tag.to_owned() } else { "en".to_owned() }
}
