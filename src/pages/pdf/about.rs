//! What stands around the text: the sheet with its margins, the running lines, and what the file
//! says about itself.
//!
//! In: the document's own words. Out: the running lines of each page, and metadata that is never
//! empty where the standard wants it. It never asks a clock.

use krilla::metadata::{DateTime, Metadata};

use super::clean::clean_line;
use super::document::{Block, Document, PageSize};
use super::faces::Face;
use super::strip::{Ink, InkOwner, Strip};
use super::text::{Shaper, TextLine, break_lines};

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
    /// From the upper edge to the baseline of the header, and from the baseline of the footer to
    /// the lower edge.
    running: [f32; 2],
    lines: Vec<[(f32, Strip); 2]>,
}

impl Sheets {
    pub(super) fn new(paper: PageSize) -> Self {
        // A sheet of A4 that is printed on Letter loses 8.8 mm at either end, and a printer leaves
        // another quarter of an inch (6.35 mm) free: nothing stands within 15.2 mm. Letter on A4
        // loses 3 mm at either side, which the side margins have to spare.
        let (width, height, running) = match paper {
            PageSize::A4 => (210.0 * MM, 297.0 * MM, [18.5 * MM, 16.5 * MM]),
            PageSize::Letter => (612.0, 792.0, [13.5 * MM, 11.5 * MM]),
        };
        Self {
            width,
            height,
            left: SIDE,
            top: running[0] + 9.5 * MM,
            running,
            lines: Vec::new(),
        }
    }

    /// Width of the text in points.
    pub(super) fn text_width(&self) -> f32 {
        self.width - SIDE * 2.0
    }

    /// Height of the text in points.
    pub(super) fn text_height(&self) -> f32 {
        self.height - self.top - self.running[1] - 9.5 * MM
    }

    /// Sets header and footer of all pages.
    pub(super) fn run(&mut self, shaper: &mut Shaper, document: &Document, pages: usize) {
        for page in 1..=pages {
            let number = one_line(
                shaper,
                &format!("page {page} of {pages}"),
                self.text_width(),
            );
            let room = self.text_width() - number.as_ref().map_or(0.0, |line| line.width) - 20.0;
            let head = one_line(shaper, &document.head, self.text_width());
            let foot = one_line(shaper, &document.foot, room);
            let head = self.running(InkOwner::Header, head, None, 5.0);
            let foot = self.running(InkOwner::Footer, foot, number, -10.5);
            let [above, below] = self.running;
            self.lines
                .push([(above, head), (self.height - below, foot)]);
        }
    }

    /// Header and footer of a page, which counts from 0, with the baselines on which they stand.
    pub(super) fn around(&self, page: usize) -> &[(f32, Strip)] {
        self.lines.get(page).map_or(&[], |lines| lines.as_slice())
    }

    fn running(
        &self,
        owner: InkOwner,
        left: Option<TextLine>,
        right: Option<TextLine>,
        rule: f32,
    ) -> Strip {
        let mut strip = Strip::default();
        strip.inks.extend(left.map(|line| {
            (
                owner,
                Ink::Text {
                    x: 0.0,
                    y: 0.0,
                    line,
                },
            )
        }));
        strip.inks.extend(right.map(|line| {
            (
                owner,
                Ink::Text {
                    x: self.text_width() - line.width,
                    y: 0.0,
                    line,
                },
            )
        }));
        if !strip.inks.is_empty() {
            strip.inks.push((
                owner,
                Ink::Rule {
                    from: [0.0, rule],
                    to: [self.text_width(), rule],
                    width: 0.4,
                    grey: 150,
                },
            ));
        }
        strip
    }
}

/// Text on one line, cut with an ellipsis when it is longer.
fn one_line(shaper: &mut Shaper, text: &str, width: f32) -> Option<TextLine> {
    let set = |shaper: &mut Shaper, text: &str, width| {
        break_lines(
            &shaper.shape(Face::Sans, text),
            RUNNING,
            RUNNING_GREY,
            width,
        )
    };
    let text = clean_line(text);
    let mut lines = set(shaper, &text, width);
    if lines.len() > 1 {
        let short = format!(
            "{}…",
            set(shaper, &text, width - RUNNING)
                .first()?
                .words()
                .trim_end()
        );
        lines = set(shaper, &short, width + RUNNING);
    }
    lines.into_iter().next()
}

/// What the file says about itself.
pub(super) struct DocumentInfo {
    pub(super) title: String,
    pub(super) language: String,
    author: String,
    made: Option<(u16, u8, u8)>,
}

impl DocumentInfo {
    pub(super) fn into_pdf(self) -> Metadata {
        let mut metadata = Metadata::new().title(self.title).language(self.language);
        if !self.author.is_empty() {
            metadata = metadata.authors(vec![self.author]);
        }
        if let Some((year, month, day)) = self.made.filter(|(year, month, day)| {
            *year <= 9999 && (1..=12).contains(month) && (1..=31).contains(day)
        }) {
            metadata = metadata.creation_date(DateTime::new(year).month(month).day(day));
        }
        metadata
    }
}

/// Gathers the metadata; a title is found even when none is given, because the standard wants one.
pub(super) fn metadata(document: &Document) -> DocumentInfo {
    let of_block = |block: &Block| {
        if let Block::Title { text, .. } = block {
            Some(clean_line(text))
        } else {
            None
        }
    };
    let titles = std::iter::once(clean_line(&document.title))
        .chain(document.blocks.iter().filter_map(of_block));
    let title = titles
        .chain([clean_line(&document.head)])
        .find(|title| !title.is_empty())
        .unwrap_or_else(|| "Untitled".to_owned());
    DocumentInfo {
        title,
        language: language(&document.language),
        author: clean_line(&document.author),
        made: document.made,
    }
}

/// A well-formed tag of BCP 47 as it is, `en` for anything else.
pub(super) fn language(tag: &str) -> String {
    let mut parts = tag.split('-');
    let first = parts.next().is_some_and(|part| {
        (2..=3).contains(&part.len()) && part.chars().all(|letter| letter.is_ascii_alphabetic())
    });
    let rest = parts.all(|part| {
        (1..=8).contains(&part.len()) && part.chars().all(|letter| letter.is_ascii_alphanumeric())
    });
    if first && rest {
        tag.to_owned()
    } else {
        "en".to_owned()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Letter is 215.9 by 279.4 mm, A4 210 by 297 mm (ISO 216); most printers leave a quarter of an
    /// inch free.
    #[test]
    fn either_sheet_prints_whole_on_the_other() {
        const FREE: f32 = 6.35;
        // The tallest letters of a running line, mm.
        let ascent = RUNNING / MM;
        for (paper, lost) in [
            (PageSize::A4, [0.0, (297.0 - 279.4) / 2.0]),
            (PageSize::Letter, [(215.9 - 210.0) / 2.0, 0.0]),
        ] {
            let sheets = Sheets::new(paper);
            let [above, below] = sheets.running.map(|edge| edge / MM);
            assert!(
                above - ascent >= lost[1] + FREE && below - ascent / 4.0 >= lost[1] + FREE,
                "{paper:?}: {above} {below}"
            );
            assert!(sheets.left / MM >= lost[0] + FREE, "{paper:?}");
            assert!(
                sheets.top + sheets.text_height() + RUNNING < sheets.height - sheets.running[1],
                "{paper:?}: the text meets the footer"
            );
        }
    }
}
