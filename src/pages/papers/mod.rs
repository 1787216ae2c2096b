//! The papers of one puppy: the files that its owner keeps.
//!
//! In: an [`OwnerPage`], its pictures. Out: [`Papers`]: PDF, tables, calendar, signed JSON and
//! photos, each a file with its bytes. The same record makes the same bytes on every run, so that
//! what stands in the sealed page and what `handover` writes are one.

mod calendar;
mod cover;
mod faults;
mod pictures;
mod record_pdf;
#[cfg(test)]
mod samples;
mod signed;
mod tables;

pub use cover::cover;
pub use faults::LetterFault;
pub use signed::{SCHEMA_FILE, check_figure, schema};

pub use super::pdf::Unprinted;
use super::pdf::{PageSize as Sheet, typeset, unprinted, with_comment};
use super::{PageError, Photos, words};
use crate::audience::owner::{OwnerPage, PuppyRecord};
use crate::sealing::jws::SigningKey;
use serde_json::json;
use sha2::{Digest, Sha256};

/// All papers of a puppy.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Papers {
    /// The files, in the order in which they are offered.
    pub files: Vec<PaperFile>,
    /// Where each picture lies in the file of photos.
    pub pictures: Vec<Slice>,
}

/// One file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PaperFile {
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

/// All papers of a puppy, on sheets of a size.
///
/// # Errors
/// When a format refuses its text, which no record that was read should bring about.
pub fn papers(
    page: &OwnerPage,
    photos: &Photos,
    key: &SigningKey,
    sheet: Sheet,
) -> Result<Papers, PageError> {
    Ok(made(page, photos, key, sheet)?)
}

/// The characters of a puppy's record that its PDF cannot print; everything else has them.
///
/// # Errors
/// As [`papers`].
pub fn unprintable(page: &OwnerPage, sheet: Sheet) -> Result<Vec<Unprinted>, PageError> {
    Ok(unprinted(&record_pdf::document(page, "", sheet)).map_err(LetterFault::from)?)
}

/// The sheet that is printed on in a country (ISO 3166-1 code): Letter where CLDR's supplemental
/// data has `US-Letter` for its `paperSize` (the list is from memory), A4 elsewhere.
#[must_use]
pub fn sheet_of(country: &str) -> Sheet {
    const LETTER: [&str; 14] = [
        "BZ", "CA", "CL", "CO", "CR", "GT", "MX", "NI", "PA", "PH", "PR", "SV", "US", "VE",
    ];
    if LETTER.contains(&country) {
        Sheet::Letter
    } else {
        Sheet::A4
    }
}

fn made(
    page: &OwnerPage,
    photos: &Photos,
    key: &SigningKey,
    sheet: Sheet,
) -> Result<Papers, LetterFault> {
    let OwnerPage {
        stem,
        record,
        pictures,
        month_first,
        ..
    } = page;
    let payload = signed::payload(record)?;
    let figure = check_figure(&payload);
    let pdf = typeset(&words::with_dates(*month_first, || {
        record_pdf::document(page, &figure, sheet)
    }))?;
    let paper = |end: &str, media_type, label, bytes| PaperFile {
        name: format!("{stem}-{end}"),
        media_type,
        label,
        bytes,
    };
    let mut files = vec![
        paper(
            "record.pdf",
            "application/pdf",
            "Health and weight record, to print and to show a vet",
            sign_pdf(pdf, record, &figure, key)?,
        ),
        paper(
            "record.json",
            "application/json",
            "The same record, signed, for a vet’s computer",
            signed::file(record, &payload, key)?,
        ),
        paper(
            "weights.csv",
            "text/csv",
            "All weights, as a table",
            tables::weights(record)?,
        ),
        paper(
            "events.csv",
            "text/csv",
            "Everything given and checked, as a table",
            tables::events(record)?,
        ),
    ];
    if let Some(bytes) = words::with_dates(*month_first, || calendar::calendar(record))? {
        files.push(paper(
            "care.ics",
            "text/calendar",
            "What is due next, for your calendar",
            bytes,
        ));
    }
    let (zip, slices) = pictures::file(pictures, photos)?.unzip();
    files.extend(zip.map(|bytes| paper("photos.zip", "application/zip", "All pictures", bytes)));
    Ok(Papers {
        files,
        pictures: slices.unwrap_or_default(),
    })
}

/// What stands before the signature in a signed PDF.
const MARK: &str = "litterfolio-signature: ";

/// Puts a signature over the bytes of a PDF into it, as a comment that every reader passes over:
/// whoever takes the line out again has the bytes that were signed.
///
/// This is no signature of PDF (ISO 32000-1, 12.8): those need a certificate that somebody issues,
/// and a program that changes nothing in the file where it puts them. It is checked on the kennel's
/// own page.
fn sign_pdf(
    pdf: Vec<u8>,
    record: &PuppyRecord,
    figure: &str,
    key: &SigningKey,
) -> Result<Vec<u8>, LetterFault> {
    let sha256: String = Sha256::digest(&pdf)
        .iter()
        .map(|byte| format!("{byte:02x}"))
        .collect();
    let said = json!({
        "sha256": sha256,
        "record": figure,
        "name": record.puppy.name,
        "up_to": record.up_to,
    });
    Ok(with_comment(
        pdf,
        &format!("{MARK}{}", key.sign(&serde_json::to_vec(&said)?)),
    ))
}

#[cfg(test)]
mod tests;
