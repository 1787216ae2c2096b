//! The page of one puppy's owner: what is sealed, and the file that it is sealed in.
//!
//! In: the [`OwnerPage`], its [`Papers`]. Out: the bytes to seal, and around the sealed text one
//! HTML file that needs nothing else. The same record, papers and templates make the same bytes on
//! every run, so that a page is sealed anew only when something of it changed. Nothing of the
//! content may stand in the file around it.

mod envelope;

pub use envelope::{envelope, sealed_in};
pub(super) use envelope::{inline, inline_styles, policy};

use super::engine::{Engine, PageError};
use super::papers::{PaperFile, Papers};
use super::{chart, words};
use crate::audience::owner::OwnerPage;
use crate::audience::{Owner, View};
use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;
use serde::Serialize;
use tera::Context;

/// What is sealed, as the script in the page reads it.
#[derive(Serialize)]
struct SealedContent<'a> {
    /// Title of the page once it is open.
    title: String,
    /// Colour of the ribbon, `#rrggbb`.
    ribbon: Option<&'static str>,
    /// What takes the place of the body.
    body: String,
    files: Vec<Enclosed<'a>>,
    /// Name of the file that the pictures are taken out of.
    zip: Option<&'a str>,
    pictures: Vec<PictureCut<'a>>,
}

/// A file to keep.
#[derive(Serialize)]
struct Enclosed<'a> {
    name: &'a str,
    #[serde(rename = "type")]
    media_type: &'static str,
    label: &'static str,
    base64: String,
}

/// A picture within the file of photos, so that none is in the page twice.
#[derive(Serialize)]
struct PictureCut<'a> {
    name: &'a str,
    at: usize,
    length: usize,
}

/// A file as the page offers it.
#[derive(Serialize)]
struct Offered<'a> {
    name: &'a str,
    label: &'static str,
    /// Its size in words.
    size: String,
}

/// A picture as the page shows it. Its bytes come from the file of photos.
#[derive(Serialize)]
struct ShownPicture<'a> {
    name: &'a str,
    alt: &'a str,
    caption: Option<&'a str>,
    width: u32,
    height: u32,
}

/// The bytes to seal: JSON with title, ribbon, the HTML of the whole body, and every file.
///
/// # Errors
/// When a template is broken.
pub fn content(engine: &Engine, page: &OwnerPage, papers: &Papers) -> Result<Vec<u8>, PageError> {
    let Papers { files, pictures } = papers;
    let name = &page.record.puppy.name;
    let content = SealedContent {
        title: format!("{name}, {}", page.record.kennel.name),
        ribbon: page.ribbon.as_ref().map(|ribbon| ribbon.hex),
        body: body(engine, page, papers)?,
        files: files.iter().map(enclosed).collect(),
        zip: files
            .iter()
            .find(|file| file.media_type == "application/zip")
            .map(|file| file.name.as_str()),
        pictures: pictures
            .iter()
            .map(|slice| PictureCut {
                name: &slice.name,
                at: slice.at,
                length: slice.length,
            })
            .collect(),
    };
    serde_json::to_vec(&content).map_err(|error| PageError::Template {
        name: "owner/page.html".to_owned(),
        message: error.to_string(),
    })
}

fn enclosed(paper: &PaperFile) -> Enclosed<'_> {
    let PaperFile {
        name,
        media_type,
        label,
        bytes,
    } = paper;
    Enclosed {
        name,
        media_type,
        label,
        base64: STANDARD.encode(bytes),
    }
}

fn body(engine: &Engine, page: &OwnerPage, papers: &Papers) -> Result<String, PageError> {
    let offered = papers.files.iter().map(|file| Offered {
        name: &file.name,
        label: file.label,
        size: words::file_size(file.bytes.len()),
    });
    // A picture that no room was left for in the file of photos is not shown either.
    let shown = page.pictures.iter().filter_map(|picture| {
        let slice = papers
            .pictures
            .iter()
            .find(|slice| slice.name == picture.name)?;
        Some(ShownPicture {
            name: &picture.name,
            alt: &picture.alt,
            caption: picture.caption.as_deref(),
            width: slice.width,
            height: slice.height,
        })
    });
    let mut context = seen_by_owner(page);
    context.insert("record", &page.record);
    context.insert("chart", &page.chart.as_ref().and_then(chart::growth));
    context.insert("files", &offered.collect::<Vec<_>>());
    context.insert("pictures", &shown.collect::<Vec<_>>());
    words::with_dates(page.month_first, || {
        engine.render("owner/page.html", &context)
    })
}

/// A context with a view for owners, and for nobody else, as `page`.
fn seen_by_owner<V: View<For = Owner>>(page: &V) -> Context {
    let mut context = Context::new();
    context.insert("page", page);
    context
}

#[cfg(test)]
mod tests;
