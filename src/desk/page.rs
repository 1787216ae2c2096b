//! The desk's own pages: templates and views to answers.
//!
//! In: the name of a template in `templates/desk/` and what it is to show. Out: an answer with a
//! strict policy. These pages are the keeper's alone, and cannot be replaced by templates of a
//! kennel: what they send must be what the desk understands.

use super::answer::{answer, strict};
use super::kinds::HTML;
use super::said_here::page_said_here;
use crate::Error;
use crate::app::recording::Mode;
use axum::http::StatusCode;
use axum::response::Response;
use serde::Serialize;
use std::sync::LazyLock;
use tera::{Context, Tera};

macro_rules! templates {
    ($($name:literal)*) => {
        &[$(($name, include_str!(concat!("../../templates/desk/", $name))),)*]
    };
}

const TEMPLATES: &[(&str, &str)] = templates! {
    "acts/page.html"
    "backup.html"
    "choose.html"
    "codes.html"
    "compare.html"
    "export.html"
    "form.html"
    "handover.html"
    "history.html"
    "layout.html"
    "new-code.html"
    "phones.html"
    "pieces.html"
    "plain.html"
    "problems.html"
    "publish.html"
    "published.html"
    "records.html"
    "standing.html"
    "text.html"
    "this-kennel.html"
};

/// The style sheet of the desk.
pub(super) const STYLE: &str = concat!(
    include_str!("../../templates/shared/base.css"),
    include_str!("../../templates/shared/urgency.css"),
    include_str!("../../templates/desk/strip.css"),
    include_str!("../../templates/desk/desk.css"),
);

/// What the strip on pages of the book looks like.
pub(super) const STRIP: &str = include_str!("../../templates/desk/strip.css");

/// What pages of the desk do more with script.
pub(super) const SCRIPT: &str = include_str!("../../templates/desk/desk.js");

static ENGINE: LazyLock<Result<Tera, tera::Error>> = LazyLock::new(|| {
    let mut tera = Tera::new();
    tera.autoescape_on([".html"]);
    tera.add_raw_templates(TEMPLATES.iter().copied())?;
    Ok(tera)
});

fn rendered(template: &str, view: &impl Serialize) -> Result<String, String> {
    let mut context = Context::new();
    context.insert("page", view);
    match &*ENGINE {
        Ok(engine) => engine
            .render(template, &context)
            .map_err(|error| said(&error)),
        Err(error) => Err(said(error)),
    }
}

/// Pages about the text of a file: there its own words are meant.
const ABOUT_TEXT: [&str; 2] = ["history.html", "text.html"];

/// A piece of a page.
pub(super) fn fragment(template: &str, view: &impl Serialize) -> String {
    let html = rendered(template, view).unwrap_or_default();
    page_said_here(&html, |_| None).into_owned()
}

/// A page of the desk.
pub(super) fn render(status: StatusCode, template: &str, view: &impl Serialize) -> Response {
    match rendered(template, view) {
        Ok(html) if ABOUT_TEXT.contains(&template) => strict(answer(status, HTML, html)),
        Ok(html) => {
            let html = page_said_here(&html, |_| None).into_owned();
            strict(answer(status, HTML, html))
        }
        Err(why) => answer(
            StatusCode::INTERNAL_SERVER_ERROR,
            "text/plain; charset=utf-8",
            format!("this page of litterfolio is broken: {why}\n"),
        ),
    }
}

/// An answer that takes a while is made beside the thread that serves.
pub(super) async fn beside(make: impl FnOnce() -> Response + Send + 'static) -> Response {
    in_turn(Box::new(make)).await
}

/// The same, where an error may come up.
pub(super) async fn tried(
    make: impl FnOnce() -> Result<Response, Error> + Send + 'static,
) -> Response {
    beside(move || make().unwrap_or_else(|error| stopped(&error))).await
}

async fn in_turn(make: Box<dyn FnOnce() -> Response + Send>) -> Response {
    match tokio::task::spawn_blocking(make).await {
        Ok(answer) => answer,
        Err(broken) if broken.is_panic() => std::panic::resume_unwind(broken.into_panic()),
        Err(_) => plain(
            StatusCode::SERVICE_UNAVAILABLE,
            "The desk is ending",
            "Nothing was changed.",
        ),
    }
}

/// An error with its causes.
fn said(error: &tera::Error) -> String {
    let causes = std::iter::successors(std::error::Error::source(error), |cause| cause.source());
    let causes = causes.map(|cause| format!(": {cause}"));
    error.to_string() + &causes.collect::<String>()
}

#[derive(Serialize)]
struct PlainPage<'a> {
    title: &'a str,
    words: &'a str,
}

/// A page that says one thing.
pub(super) fn plain(status: StatusCode, title: &str, words: &str) -> Response {
    render(status, "plain.html", &PlainPage { title, words })
}

/// What is answered to a form that was tried, when nothing is in the way.
pub(super) fn nothing_wrong() -> Response {
    answer(StatusCode::NO_CONTENT, HTML, Vec::new())
}

/// What is answered to a form. What is in the way of one that was only tried is what was asked for,
/// and no refusal.
pub(super) fn told(mode: Mode, mut answer: Response) -> Response {
    if mode == Mode::Try && answer.status() == StatusCode::UNPROCESSABLE_ENTITY {
        *answer.status_mut() = StatusCode::OK;
    }
    answer
}

/// What is said when something could not be done.
pub(super) fn stopped(error: &Error) -> Response {
    plain(
        StatusCode::INTERNAL_SERVER_ERROR,
        "This could not be done",
        &format!("{error}. Nothing was changed."),
    )
}

/// What somebody who is lost is told.
pub(super) fn lost() -> Response {
    plain(
        StatusCode::NOT_FOUND,
        "There is no page at this address",
        "It may have gone with what it was about.",
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use walkdir::WalkDir;

    #[test]
    fn every_template_of_the_folder_is_known_and_can_be_read() {
        let mut tera = Tera::new();
        tera.add_raw_templates(TEMPLATES.iter().copied()).unwrap();
        let root = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../../templates/desk");
        let mut names: Vec<String> = WalkDir::new(&root)
            .into_iter()
            .map(|entry| {
                let entry = entry.unwrap();
                let name = entry.path().strip_prefix(&root).unwrap();
                name.to_string_lossy().into_owned()
            })
            .filter(|name| name.ends_with(".html"))
            .collect();
        names.sort();
        let known: Vec<&str> = TEMPLATES.iter().map(|(name, _)| *name).collect();
        assert_eq!(names, known);
    }
}
