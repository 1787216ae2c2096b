//! A small typesetter for accessible PDF files.
//!
//! In: a [`Document`] of blocks. Out: the bytes of a PDF 1.7 that keeps to PDF/UA-1: tagged, with its language, title, outline and fonts.
//! The way of the data: `document` (blocks) → `clean`, `faces`, `text` (words to lines) → `layout`, `table`, `figure` (blocks to `strip`s)
//! → `pages` (strips to pages) → `press`, `about` (pages to bytes) → `pack` (fewer bytes). `comment` adds a line to finished bytes.
//! It reads no file, no clock and no chance: the same document always gives the same bytes. It knows nothing of what the words are about.

mod about;
mod clean;
mod comment;
mod document;
mod faces;
mod figure;
mod layout;
mod pack;
mod pages;
mod press;
mod strip;
mod table;
mod text;

pub use comment::with_comment;
pub use document::{Anchor, Block, Document, Drawing, Paint, Paper, Shape, Stroke};

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

/// Typesets a document into the bytes of a PDF.
///
/// # Errors
///
/// [`NotTypeset::TooManyColumns`] for a table of more than 40 columns; the other kinds would be faults of the program, never of the words.
pub fn typeset(document: &Document) -> Result<Vec<u8>, NotTypeset> {
    let mut sheets = about::Sheets::new(document.paper);
    let shaper = text::Shaper::new(&about::language(&document.language))?;
    let faces = shaper.faces();
    let mut galley = layout::Galley::new(shaper, sheets.text_width(), sheets.text_height());
    galley.set(document)?;
    let pages = pages::fill(galley.strips, sheets.text_height());
    sheets.run(&mut galley.shaper, document, pages.len());
    press::print(document, &pages, &galley.tree, &sheets, faces).map(pack::pack)
}

/// The writer's refusal in words.
fn why(refusal: &KrillaError) -> String {
    match refusal {
        KrillaError::Validation(faults) => faults.iter().map(|(fault, _)| format!("{fault:?}")).collect::<Vec<_>>().join("; "),
        other => other.to_string(),
    }
}

#[cfg(test)]
mod tests;
