//! Records as text: for those that are broken, and for a keeper who writes text.
//!
//! In: a record file, and its text as it was typed. Out: a page with the text, the places that are
//! wrong and what to type there; or the file with the new text. A text that would be wrong where it
//! was not so before is not saved; one that somebody else changed meanwhile is shown beside it.

use super::Desk;
use super::acts::encoded;
use super::forms::spot::{Spot, bytes, read, record_of};
use super::forms::view::{Told, address};
use super::page::{self, beside};
use super::posted::{Fields, SavedNotice};
use super::said_here::{record_words, said_here};
use crate::app::adding::asked;
use crate::app::recording::{Mode, Refused, Stop, Work, record};
use crate::audience::keeper::{ProblemShown, ProblemsPage};
use crate::records::changing::written;
use crate::records::problem::{At, Located, Place, Severity, Step};
use crate::records::showing::harmless;
use axum::Router;
use axum::extract::{Path, Query, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use axum::routing::get;
use serde::Serialize;
use std::sync::Arc;

/// A text and what is wrong with it.
#[derive(Default, Serialize)]
struct MendingPage {
    token: String,
    file: String,
    text: String,
    /// What the text was when it was shown.
    mark: String,
    saved: Option<u64>,
    refused: bool,
    problems: Vec<ProblemShown>,
    /// What is wrong with what was sent.
    told: Vec<Told>,
    /// The text that somebody else wrote meanwhile.
    theirs: Option<String>,
}

#[derive(Serialize)]
struct ProblemsList {
    problems: Vec<FileProblem>,
    more: usize,
}

#[derive(Serialize)]
pub(super) struct FileProblem {
    /// The record that can be mended here.
    file: Option<String>,
    /// The form with the field; nothing where the text is broken.
    form: Option<String>,
    /// Where it can be mended in a form: the record, what is wrong and what to do, in its words.
    said: Option<[String; 3]>,
    shown: ProblemShown,
}

pub(super) fn routes() -> Router<Arc<Desk>> {
    Router::new()
        .route("/-desk/problems", get(problems))
        .route("/-desk/text/{*file}", get(show).post(save))
}

/// What is wrong with all records now.
pub(super) fn all(desk: &Desk) -> Vec<FileProblem> {
    let Ok(loaded) = desk.records() else {
        return Vec::new();
    };
    let content = desk.content();
    // In the order in which they are shown: errors first.
    let is_error = |located: &&Located| located.problem.severity == Severity::Error;
    let (errors, warnings): (Vec<_>, Vec<_>) = loaded.problems.iter().partition(is_error);
    ProblemsPage::of(&loaded.problems, &loaded.sources)
        .problems
        .into_iter()
        .zip(errors.into_iter().chain(warnings))
        .map(|(shown, located)| FileProblem {
            file: record_of(&shown.file).map(|_| shown.file.clone()),
            form: form_of(&content, &located.problem.place),
            said: form_of(&content, &located.problem.place).map(|_| {
                let words = record_words(&shown.file).unwrap_or_else(|| shown.file.clone());
                let problem = &located.problem;
                [words, said_here(&problem.message), said_here(&problem.hint)]
                    .map(|words| harmless(&words))
            }),
            shown,
        })
        .collect()
}

/// The address of the nearest form around a place.
fn form_of(content: &std::path::Path, place: &Place) -> Option<String> {
    let file = &place.file;
    let whole = read(file, bytes(content, file).as_deref()).ok()?;
    let path: &[Step] = if let At::Path(path) = &place.at {
        path
    } else {
        &[]
    };
    let mut places = (0..=path.len()).rev().map(|n| address(&whole, &path[..n]));
    let at = places.find(|at| Spot::find(content, file, at).is_ok())?;
    Some(if at.is_empty() {
        format!("/-desk/form/{file}")
    } else {
        format!("/-desk/form/{file}?at={}", encoded(&at))
    })
}

/// Where something stands that is said with its file and line, and what the way there is called.
pub(super) fn way_to(content: &std::path::Path, said: &str) -> Option<(String, String)> {
    let (file, line) = said.rsplit_once(':')?;
    let line: usize = line.parse().ok().filter(|line| *line > 0)?;
    record_of(file)?;
    let text = shown(&bytes(content, file)?);
    let before: usize = text
        .split_inclusive('\n')
        .take(line - 1)
        .map(str::len)
        .sum();
    let here = text[before..].lines().next().unwrap_or_default();
    let begin = before + here.len() - here.trim_start_matches([' ', '-']).len();
    let at = written::path_at(file, &text, &(begin..begin + 1));
    let place = Place {
        file: file.to_owned(),
        at: At::Path(at.unwrap_or_default()),
    };
    let form = form_of(content, &place).unwrap_or_else(|| format!("/-desk/text/{file}"));
    let words = record_words(file).unwrap_or_else(|| "the record".to_owned());
    Some((form, format!("To the field in {words}")))
}

async fn problems(State(desk): State<Arc<Desk>>) -> Response {
    beside(move || {
        let view = ProblemsList {
            problems: all(&desk),
            more: 0,
        };
        page::render(StatusCode::OK, "problems.html", &view)
    })
    .await
}

async fn show(
    State(desk): State<Arc<Desk>>,
    Path(file): Path<String>,
    Query(noted): Query<SavedNotice>,
) -> Response {
    beside(move || {
        let Some(bytes) = bytes(&desk.content(), &file) else {
            return page::lost();
        };
        let view = MendingPage {
            saved: noted.saved,
            text: shown(&bytes),
            mark: mark(&bytes),
            ..empty(&desk, &file)
        };
        page::render(StatusCode::OK, "text.html", &view)
    })
    .await
}

fn empty(desk: &Desk, file: &str) -> MendingPage {
    let problems = all(desk)
        .into_iter()
        .filter(|problem| problem.file.as_deref() == Some(file))
        .map(|problem| problem.shown);
    MendingPage {
        token: desk.gate.token(),
        file: file.to_owned(),
        problems: problems.collect(),
        ..MendingPage::default()
    }
}

fn shown(bytes: &[u8]) -> String {
    let text = String::from_utf8_lossy(bytes);
    text.strip_prefix('\u{feff}')
        .unwrap_or(&text)
        .replace("\r\n", "\n")
}

fn mark(bytes: &[u8]) -> String {
    blake3::hash(bytes).to_hex()[..32].to_owned()
}

/// A text as it is to stand in the file: line ends and mark as they were.
fn as_before(typed: &str, before: &[u8]) -> String {
    let text = typed.replace("\r\n", "\n");
    let before = String::from_utf8_lossy(before);
    let text = if before.contains("\r\n") {
        text.replace('\n', "\r\n")
    } else {
        text
    };
    if before.starts_with('\u{feff}') {
        format!("\u{feff}{text}")
    } else {
        text
    }
}

/// Why a text was not saved.
enum Why {
    Refused(Refused),
    Meanwhile,
}

impl From<Refused> for Why {
    fn from(refused: Refused) -> Self {
        Self::Refused(refused)
    }
}

async fn save(State(desk): State<Arc<Desk>>, Path(file): Path<String>, fields: Fields) -> Response {
    beside(move || {
        let content = desk.content();
        let (Some(typed), Some(sent_mark)) = (fields.get("text"), fields.get("mark")) else {
            return page::lost();
        };
        let Some(now) = bytes(&content, &file) else {
            return page::lost();
        };
        let done = desk.folder().and_then(|folder| {
            let what = format!("{file}: text");
            record(&folder, &asked("desk", &what), Mode::Make, |standing| {
                // A file that is no text is mended too.
                let now = standing.bytes(&file)?.unwrap_or_default();
                if mark(&now) != sent_mark {
                    return Err(Stop::Refused(Why::Meanwhile));
                }
                Ok(vec![(file.clone(), Work::Text(as_before(typed, &now)))])
            })
        });
        let again = |view: MendingPage| {
            let view = MendingPage {
                text: shown(typed.as_bytes()),
                refused: true,
                ..view
            };
            page::render(StatusCode::UNPROCESSABLE_ENTITY, "text.html", &view)
        };
        match done {
            Ok(Ok(done)) => {
                let number = done.number.unwrap_or(0);
                Redirect::to(&format!("/-desk/text/{file}?saved={number}")).into_response()
            }
            Ok(Err(Why::Refused(refused))) => {
                let mine = |place: &str| place.contains(file.as_str());
                let shown = ProblemsPage::of(&refused.problems, &refused.sources).problems;
                let (here, elsewhere): (Vec<_>, Vec<_>) =
                    shown.into_iter().partition(|problem| mine(&problem.place));
                again(MendingPage {
                    mark: sent_mark.to_owned(),
                    problems: here.into_iter().chain(elsewhere).collect(),
                    ..empty(&desk, &file)
                })
            }
            Ok(Err(Why::Meanwhile)) => again(MendingPage {
                theirs: Some(shown(&now)),
                mark: mark(&now),
                ..empty(&desk, &file)
            }),
            Err(error) => again(MendingPage {
                told: vec![Told {
                    message: error.to_string(),
                    hint: "what you typed is still here".to_owned(),
                    place: None,
                }],
                mark: sent_mark.to_owned(),
                ..empty(&desk, &file)
            }),
        }
    })
    .await
}
