//! Views to bytes: templates, Markdown, charts, feed, sitemap.
//!
//! In: views of one audience, the pictures they use, templates. Out: a [`Plan`](crate::output::Plan) of paths and bytes. Nothing is written here, nothing is read, and a function
//! for one audience cannot be given another's view: it does not compile.
//!
//! ```compile_fail,E0271
//! use litterfolio::{audience::keeper::PeoplePage, pages::{Engine, VisitorFrame, visitor_page}};
//! fn show(engine: &Engine, frame: &VisitorFrame<'_>, page: &PeoplePage) {
//!     let _ = visitor_page(engine, frame, "visitor/text.html", "a.html", page);
//! }
//! ```
//!
//! Nor can it be given a record:
//!
//! ```compile_fail,E0277
//! use litterfolio::{records::litter::Puppy, pages::{Engine, VisitorFrame, visitor_page}};
//! fn show(engine: &Engine, frame: &VisitorFrame<'_>, page: &Puppy) {
//!     let _ = visitor_page(engine, frame, "visitor/text.html", "a.html", page);
//! }
//! ```
//!
//! The same with a visitor's view compiles:
//!
//! ```
//! use litterfolio::{audience::visitor::TextPage, pages::{Engine, VisitorFrame, visitor_page}};
//! fn show(engine: &Engine, frame: &VisitorFrame<'_>, page: &TextPage) {
//!     let _ = visitor_page(engine, frame, "visitor/text.html", "a.html", page);
//! }
//! ```

mod builtin;
mod chart;
mod checking;
mod engine;
mod feed;
mod keeper;
mod links;
mod markdown;
mod owner;
mod papers;
pub mod pdf;
mod sealed;
mod structured;
mod visitor;
mod words;

pub use builtin::BUILTIN;
pub use checking::plan as checking_plan;
pub use engine::{Engine, PageError};
pub use keeper::plan as keeper_plan;
pub use owner::{content as owner_content, envelope as owner_envelope, sealed_in};
pub use papers::{Fault as PaperFault, Paper, Papers, SCHEMA_FILE, Slice, check_figure, cover, papers, schema as record_schema, sheet_of};
pub use pdf::Paper as Sheet;
pub use sealed::{Draw, SealedPage, Sealer, ToSeal};
pub use visitor::{RECORD_CHECK, VisitorFrame, page as visitor_page, plan as visitor_plan, record_check};

use crate::audience::Used;
use crate::output::{Plan, SitePath};
use crate::photos::Photo;
use std::collections::BTreeMap;
use std::sync::Arc;

/// Prepared photos by their path below the content folder.
pub type Photos = BTreeMap<String, Photo>;

/// Puts the sizes of all used pictures into a plan.
fn add_pictures(plan: &mut Plan, used: &Used, photos: &Photos) -> Result<(), PageError> {
    for (file, subject) in used {
        let Some(photo) = photos.get(file) else { continue };
        for size in &photo.renditions {
            let path = SitePath::new(&crate::audience::picture_path(subject, &photo.key, size.width))?;
            // One picture put into the folder twice has one name and the same bytes.
            if plan.get(path.as_ref()).is_none() {
                plan.add(path, Arc::clone(&size.jpeg))?;
            }
        }
    }
    Ok(())
}
