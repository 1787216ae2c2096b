//! The papers of one puppy: the files that its owner keeps.
//!
//! In: an [`OwnerPage`](crate::audience::owner::OwnerPage), its pictures. Out: [`Papers`]: PDF, tables, calendar, signed JSON and photos, each a file with its bytes. The same record makes the same
//! bytes on every run, so that what stands in the sealed page and what `handover` writes are one.

mod calendar;
mod faults;
mod pictures;
#[cfg(test)]
mod samples;
mod signed;
mod tables;

pub use faults::Fault;
pub use signed::{SCHEMA_FILE, check_figure, schema};

use super::{PageError, Photos};
use crate::audience::owner::OwnerPage;
use crate::sealing::jws::SigningKey;

/// All papers of a puppy.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Papers {
    /// The files, in the order in which they are offered.
    pub files: Vec<Paper>,
    /// Where each picture lies in the file of photos.
    pub pictures: Vec<Slice>,
}

/// One file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Paper {
    /// Its name: `fern-record.pdf`.
    pub name: String,
    /// Media type.
    pub media_type: &'static str,
    /// What it is, for the family.
    pub label: &'static str,
    /// Its bytes.
    pub bytes: Vec<u8>,
}

/// A picture within the file of photos, which stores its pictures as they are.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Slice {
    /// Name of the picture: `fern-1.jpg`.
    pub name: String,
    /// Where its first byte lies.
    pub at: usize,
    /// How many bytes it has.
    pub length: usize,
    /// Width, px.
    pub width: u32,
    /// Height, px.
    pub height: u32,
}

/// All papers of a puppy.
///
/// # Errors
/// When a format refuses its text, which no record that was read should bring about.
pub fn papers(page: &OwnerPage, photos: &Photos, key: &SigningKey) -> Result<Papers, PageError> {
    Ok(made(page, photos, key)?)
}

fn made(page: &OwnerPage, photos: &Photos, key: &SigningKey) -> Result<Papers, Fault> {
    let OwnerPage { stem, record, pictures, .. } = page;
    let payload = signed::payload(record)?;
    let paper = |end: &str, media_type, label, bytes| Paper { name: format!("{stem}-{end}"), media_type, label, bytes };
    let mut files = vec![
        paper("record.json", "application/json", "The same record, signed, for computers and other vets", signed::file(record, &payload, key)?),
        paper("weights.csv", "text/csv", "All weights as a table", tables::weights(record)?),
        paper("events.csv", "text/csv", "Everything given and checked as a table", tables::events(record)?),
    ];
    if let Some(bytes) = calendar::calendar(record)? {
        files.push(paper("care.ics", "text/calendar", "What is due next, for your calendar", bytes));
    }
    let (zip, slices) = pictures::file(pictures, photos)?.unzip();
    files.extend(zip.map(|bytes| paper("photos.zip", "application/zip", "All pictures", bytes)));
    Ok(Papers { files, pictures: slices.unwrap_or_default() })
}
