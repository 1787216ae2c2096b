//! Why a paper could not be made.
//!
//! In: what the writers of the formats say. Out: one error for all of them. None of these can
//! happen for a record that was read, but nothing here stops the program if one does.

use std::fmt;

/// A format whose writer refused.
#[derive(Debug, thiserror::Error)]
pub enum LetterFault {
    /// A table.
    #[error("cannot write the table: {0}")]
    Table(String),
    /// The calendar.
    #[error("cannot write the calendar: {0}")]
    Calendar(#[from] fmt::Error),
    /// The record as JSON.
    #[error("cannot write the record: {0}")]
    Json(#[from] serde_json::Error),
    /// A prepared picture cannot be had.
    #[error(transparent)]
    Picture(#[from] crate::output::WriteError),
    /// The file of photos.
    #[error("cannot put the photos into one file: {0}")]
    Zip(#[from] zip::result::ZipError),
    /// A PDF.
    #[error("cannot make the PDF: {0}")]
    Pdf(#[from] crate::pdf::NotTypeset),
}

impl From<csv::Error> for LetterFault {
    fn from(error: csv::Error) -> Self {
        Self::Table(error.to_string())
    }
}
