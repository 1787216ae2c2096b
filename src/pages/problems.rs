//! The page that stands in place of all others while they cannot be made.
//!
//! In: [`ProblemsPage`], for the keeper only. Out: one page that needs no other file.

use super::engine::{Engine, PageError};
use crate::audience::keeper::ProblemsPage;
use crate::audience::{Keeper, View};
use tera::Context;

/// The page as HTML.
///
/// # Errors
/// When its template is broken.
pub fn page(engine: &Engine, view: &ProblemsPage) -> Result<String, PageError> {
    render(engine, view)
}

fn render<V: View<For = Keeper>>(engine: &Engine, view: &V) -> Result<String, PageError> {
    let mut context = Context::new();
    context.insert("page", view);
    context.insert("style", &engine.styles(&["keeper/problems.css"]));
    engine.render("keeper/problems.html", &context)
}
