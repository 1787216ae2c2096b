//! A small typesetter for accessible PDF files.
//!
//! In: a [`Document`] of blocks. Out: the bytes of a PDF 1.7 that keeps to PDF/UA-1: tagged, with
//! its language, title, outline and fonts. The way of the data: `document` (blocks) → `clean`,
//! `faces`, `text` (words to lines) → `layout`, `table`, `figure` (blocks to `strip`s)
//! → `pages` (strips to pages) → `press`, `about` (pages to bytes) → `pack` (fewer bytes).
//! `comment` adds a line to finished bytes. It reads no file, no clock and no chance: the same
//! document always gives the same bytes. It knows nothing of what the words are about.

mod about;
mod clean;
mod comment;
mod document;
mod faces;
mod figure;
mod galley;
mod layout;
mod pack;
mod pages;
mod press;
mod strip;
mod table;
mod text;

pub use comment::with_comment;
pub use document::{Block, Document, Drawing, PageSize, Paint, Shape, Stroke, TextAnchor};

use krilla::error::KrillaError;

/// Why a document could not be typeset.
#[derive(Debug, thiserror::Error)]
pub enum NotTypeset {
    /// The faces inside the program cannot be parsed: the program was built wrongly.
    #[error("read the built-in type faces: they are damaged")]
    Fonts,
    /// A table is too wide for any sheet.
    #[error("set a table of {columns} columns: a page holds {most} at most")]
    TooManyColumns {
        /// Columns of the table.
        columns: usize,
        /// Columns that are possible.
        most: usize,
    },
    /// The writer found that the file would break a rule of PDF/UA-1 or of PDF itself.
    #[error("write an accessible PDF: {why}")]
    Refused {
        /// What it found, for a report of the fault.
        why: String,
    },
}

/// A character that no built-in face has: in its place stands the sign for an unknown one.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Unprinted {
    /// The character.
    pub letter: char,
    /// The words in which it stands first.
    pub words: String,
}

/// Typesets a document into the bytes of a PDF.
///
/// # Errors
///
/// [`NotTypeset::TooManyColumns`] for a table of more than 40 columns; the other kinds would be
/// faults of the program, never of the words.
pub fn typeset(document: &Document) -> Result<Vec<u8>, NotTypeset> {
    let (galley, mut sheets) = set(document)?;
    let galley::Galley {
        strips,
        mut shaper,
        tree,
        ..
    } = galley;
    let pages = pages::fill(strips, sheets.text_height());
    sheets.run(&mut shaper, document, pages.len());
    press::print(document, &pages, &tree, &sheets, shaper.faces()).map(pack::pack)
}

/// What [`typeset`] cannot print of a document, in the order of the characters.
///
/// # Errors
/// As [`typeset`].
pub fn unprinted(document: &Document) -> Result<Vec<Unprinted>, NotTypeset> {
    let (galley, mut sheets) = set(document)?;
    let mut shaper = galley.shaper;
    sheets.run(&mut shaper, document, 1);
    Ok(shaper
        .into_unprinted()
        .into_iter()
        .map(|(letter, words)| Unprinted { letter, words })
        .collect())
}

/// How many sheets a document takes.
#[cfg(test)]
pub(super) fn sheets(document: &Document) -> Result<usize, NotTypeset> {
    let (galley, sheets) = set(document)?;
    Ok(pages::fill(galley.strips, sheets.text_height()).len())
}

/// The blocks as strips, and the sheets that they go on.
fn set(document: &Document) -> Result<(galley::Galley, about::Sheets), NotTypeset> {
    let sheets = about::Sheets::new(document.paper);
    let shaper = text::Shaper::new(&about::language(&document.language))?;
    let mut galley = galley::Galley::new(shaper, sheets.text_width(), sheets.text_height());
    galley.set(document)?;
    Ok((galley, sheets))
}

/// The writer's refusal in words.
fn why(refusal: &KrillaError) -> String {
    match refusal {
        KrillaError::Validation(faults) => faults
            .iter()
            .map(|(fault, _)| format!("{fault:?}"))
            .collect::<Vec<_>>()
            .join("; "),
        other => other.to_string(),
    }
}

/// A number of things as a factor of a length.
#[expect(
    clippy::cast_precision_loss,
    reason = "lines of a page and columns of a table are few"
)]
fn count(things: usize) -> f32 {
    things as f32
}

#[cfg(test)]
mod tests;
