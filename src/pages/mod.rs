//! Views to bytes: templates, Markdown, charts, feed, sitemap.
//!
//! In: views of one audience, the pictures they use, templates. Out: a [`Plan`] of paths and bytes.
//! Nothing is written here, nothing is read, and a function for one audience cannot be given
//! another's view: it does not compile.
//!
//! ```compile_fail,E0271
//! use litterfolio_audience::keeper::PeoplePage;
//! use litterfolio_pages::{Engine, VisitorFrame, visitor_page};
//! fn show(engine: &Engine, frame: &VisitorFrame<'_>, page: &PeoplePage) {
//!     let _ = visitor_page(engine, frame, "visitor/text.html", "a.html", page);
//! }
//! ```
//!
//! Nor can it be given a record:
//!
//! ```compile_fail,E0277
//! use litterfolio_records::litter::Puppy;
//! use litterfolio_pages::{Engine, VisitorFrame, visitor_page};
//! fn show(engine: &Engine, frame: &VisitorFrame<'_>, page: &Puppy) {
//!     let _ = visitor_page(engine, frame, "visitor/text.html", "a.html", page);
//! }
//! ```
//!
//! The same with a visitor's view compiles:
//!
//! ```
//! use litterfolio_audience::visitor::TextPage;
//! use litterfolio_pages::{Engine, VisitorFrame, visitor_page};
//! fn show(engine: &Engine, frame: &VisitorFrame<'_>, page: &TextPage) {
//!     let _ = visitor_page(engine, frame, "visitor/text.html", "a.html", page);
//! }
//! ```

// The floors below.
use litterfolio_audience as audience;
use litterfolio_cache as cache;
use litterfolio_keyring as keyring;
use litterfolio_output as output;
use litterfolio_photos as photos;
use litterfolio_quantity as quantity;
use litterfolio_sealing as sealing;
#[cfg(test)]
use {litterfolio_husbandry as husbandry, litterfolio_records as records};

mod builtin;
mod cells;
mod chart;
mod checking;
mod engine;
mod export;
mod feed;
mod keeper;
mod links;
mod markdown;
mod owner;
mod page_cache;
mod papers;
pub mod pdf;
mod problems;
mod rounds;
mod sealed;
mod sheet;
mod structured;
mod visitor;
mod words;

pub use builtin::BUILTIN;
pub use checking::plan as checking_plan;
pub use engine::{Engine, PageError};
pub use export::{
    SCHEMA_FILE as EXPORT_SCHEMA_FILE, json as export_json, schema as export_schema,
    tables as export_tables,
};
pub use keeper::plan as keeper_plan;
pub use owner::{content as owner_content, envelope as owner_envelope, sealed_in};
pub use page_cache::PageCache;
pub use papers::{
    LetterFault as PaperFault, PaperFile, Papers, SCHEMA_FILE, Slice, Unprinted, check_figure,
    cover, papers, schema as record_schema, sheet_of, unprintable,
};
pub use pdf::PageSize as Sheet;
pub use problems::page as problems_page;
pub use rounds::{json as rounds_json, schema as rounds_schema, text as rounds_text};
pub use sealed::{Draw, SealedPage, Sealer, ToSeal};
pub use visitor::{
    RECORD_CHECK, VisitorFrame, page as visitor_page, plan as visitor_plan, record_check,
};

use crate::audience::Used;
use crate::output::{Content, Plan, SitePath};
use crate::photos::Photo;
use chrono::NaiveDateTime;
use std::collections::BTreeMap;

/// The text of a note as safe HTML, below a heading of the second rank.
#[must_use]
pub fn note_html(text: &str) -> String {
    markdown::to_html(text, 3)
}

/// Prepared photos by their path below the content folder.
pub type Photos = BTreeMap<String, Prepared>;

/// A photo, ready to be put into pages; its files need not be in cache.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Prepared {
    /// What its files are named by.
    pub key: String,
    /// When it was taken, in the camera's local time.
    pub taken: Option<NaiveDateTime>,
    /// Its sizes by ascending width.
    pub sizes: Vec<PictureFile>,
}

/// One size of a photo.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PictureFile {
    /// Width, px.
    pub width: u32,
    /// Height, px.
    pub height: u32,
    /// The JPEG.
    pub jpeg: Content,
}

impl From<Photo> for Prepared {
    fn from(
        Photo {
            renditions,
            taken,
            key,
        }: Photo,
    ) -> Self {
        let sizes = renditions.into_iter().map(|size| PictureFile {
            width: size.width,
            height: size.height,
            jpeg: size.jpeg.into(),
        });
        Self {
            key,
            taken,
            sizes: sizes.collect(),
        }
    }
}

/// Puts the sizes of all used pictures into a plan; those that stand in the target are left there.
fn add_pictures(
    plan: &mut Plan,
    used: &Used,
    photos: &Photos,
    cache: &PageCache,
) -> Result<(), PageError> {
    for (file, subject) in used {
        let Some(photo) = photos.get(file) else {
            continue;
        };
        for size in &photo.sizes {
            let path = SitePath::new(&crate::audience::picture_path(
                subject, &photo.key, size.width,
            ))?;
            // One picture put into the folder twice has one name and the same bytes.
            if plan.get(path.as_ref()).is_none() {
                let content = cache
                    .before()
                    .leave(path.as_ref(), size.jpeg.digest())
                    .unwrap_or_else(|| size.jpeg.clone());
                plan.add(path, content)?;
            }
        }
    }
    Ok(())
}
