//! Publishing from the desk: what would change, what is in the way, the button, how far it is, and
//! what was done.
//!
//! In: the site as the desk has made it, the one that was published. Out: words about both; and,
//! when the keeper asks for it, the publication itself, made by the program's own `publish`. It
//! goes on when the page is left, and there is one at a time.

use super::Desk;
use super::comparing::{self, Changes};
use super::mending::{self, FileProblem};
use super::page::{self, beside};
use super::posted::Fields;
use super::program::{self, Ran};
use crate::app::codes::family_pages;
use crate::app::progress::StepTold;
use crate::app::terminal;
use crate::output::shown_path;
use crate::records::Records;
use axum::Router;
use axum::extract::State;
use axum::http::StatusCode;
use axum::http::header::{HeaderName, HeaderValue};
use axum::response::{IntoResponse, Redirect, Response};
use axum::routing::get;
use serde::Serialize;
use serde_json::Value;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use std::time::{Duration, SystemTime};

/// Where a publication is watched.
const RUN: &str = "/-desk/publish/run";
/// How long an answer waits for a publication that may end at once.
const PATIENCE: Duration = Duration::from_millis(700);
/// How many files are named in a note.
const NAMED: usize = 8;

/// The publication of this sitting.
#[derive(Debug, Default)]
pub(super) struct Publication(Mutex<PublishingStep>);

/// How far it is.
#[derive(Debug, Clone, Default)]
enum PublishingStep {
    #[default]
    None,
    Running(SystemTime, Option<StepTold>),
    Done(Arc<PublicationResult>),
}

impl Publication {
    fn step(&self) -> MutexGuard<'_, PublishingStep> {
        self.0.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// Whether it could be begun: there is one at a time.
    fn begin(&self) -> bool {
        let mut step = self.step();
        let is_free = !matches!(*step, PublishingStep::Running(..));
        if is_free {
            *step = PublishingStep::Running(terminal::clock(), None);
        }
        is_free
    }

    fn is_at(&self, told: StepTold) {
        if let PublishingStep::Running(_, at) = &mut *self.step() {
            *at = Some(told);
        }
    }

    fn end(&self, done: PublicationResult) {
        *self.step() = PublishingStep::Done(Arc::new(done));
    }
}

/// What a publication came to.
#[derive(Debug, Default, Serialize)]
struct PublicationResult {
    went_well: bool,
    lines: Vec<String>,
    /// What the keeper should look at.
    notes: Vec<String>,
    /// Where what was published stands.
    folder: String,
    /// Where it will be seen, when the kennel says so.
    address: Option<String>,
}

#[derive(Serialize)]
struct PublishPage {
    token: String,
    /// Nothing can be published: it is being made, or the records are in the way.
    in_the_way: bool,
    problems: Vec<FileProblem>,
    changes: Changes,
    /// The site as it would be.
    site: String,
}

#[derive(Serialize)]
struct RunPage<'a> {
    done: Option<&'a PublicationResult>,
    seconds: u64,
    step: Option<StepTold>,
}

pub(super) fn routes() -> Router<Arc<Desk>> {
    Router::new()
        .route("/-desk/publish", get(show).post(publish))
        .route(RUN, get(watch))
}

async fn show(State(desk): State<Arc<Desk>>) -> Response {
    beside(move || {
        let loaded = desk.records();
        let records = loaded
            .as_ref()
            .ok()
            .and_then(|read| read.records.as_deref());
        let view = PublishPage {
            token: desk.gate.token(),
            in_the_way: desk.board.now().instead.is_some(),
            problems: mending::all(&desk),
            changes: comparing::changes(&desk, records),
            site: desk.site.clone(),
        };
        page::render(StatusCode::OK, "publish.html", &view)
    })
    .await
}

async fn publish(State(desk): State<Arc<Desk>>, _fields: Fields) -> Response {
    if desk.publication.begin() {
        let desk = Arc::clone(&desk);
        tokio::task::spawn_blocking(move || {
            let words = ["publish", "--json", "--steps"];
            let ran = program::run_watched(&desk.kennel, &words, |told| {
                desk.publication.is_at(told);
            });
            let loaded = desk.records();
            let records = loaded
                .as_ref()
                .ok()
                .and_then(|read| read.records.as_deref());
            desk.publication.end(done(&desk, &ran, records));
        });
    }
    Redirect::to(RUN).into_response()
}

/// How far it is. The page asks again by itself while it runs, with script or without.
async fn watch(State(desk): State<Arc<Desk>>) -> Response {
    let begun = terminal::clock();
    let past = |since: SystemTime| terminal::clock().duration_since(since).unwrap_or_default();
    let (done, seconds, step) = loop {
        let step = desk.publication.step().clone();
        match step {
            PublishingStep::None => return Redirect::to("/-desk/publish").into_response(),
            PublishingStep::Done(done) => break (Some(done), 0, None),
            PublishingStep::Running(since, at) if past(begun) >= PATIENCE => {
                break (None, past(since).as_secs(), at);
            }
            PublishingStep::Running(..) => tokio::time::sleep(PATIENCE / 10).await,
        }
    };
    let is_running = done.is_none();
    let mut answer = page::render(
        StatusCode::OK,
        "published.html",
        &RunPage {
            done: done.as_deref(),
            seconds,
            step,
        },
    );
    if is_running {
        let again = HeaderValue::from_static("1");
        answer
            .headers_mut()
            .insert(HeaderName::from_static("refresh"), again);
    }
    answer
}

/// What a publication says of itself, in words.
fn done(desk: &Desk, ran: &Ran, records: Option<&Records>) -> PublicationResult {
    let told: Option<Value> = serde_json::from_slice(&ran.out).ok();
    let Some(told) = told.filter(|told| ran.went_well && told["published"] == true) else {
        return PublicationResult {
            notes: ran.lines(),
            ..PublicationResult::default()
        };
    };
    let (mut lines, mut notes) = (Vec::new(), Vec::new());
    let number = |report: &Value, key: &str| report[key].as_u64().unwrap_or_default();
    for folder in told["folders"].as_array().into_iter().flatten() {
        let report = &folder["report"];
        let is_public = report["name"] == "public";
        let what = if is_public {
            "The site for everyone"
        } else {
            "Your book"
        };
        let (written, removed) = (number(report, "written"), number(report, "removed"));
        lines.push(if written + removed == 0 {
            format!("{what}: all as it was.")
        } else {
            format!(
                "{what}: {} new or changed, {removed} taken away, {} as before.",
                terminal::many(usize::try_from(written).unwrap_or_default(), "file"),
                number(report, "unchanged")
            )
        });
        if is_public {
            notes.extend(files(
                report,
                "foreign",
                "was not made by this program and was left alone",
            ));
        }
        notes.extend(files(
            report,
            "replaced",
            "had been changed by hand and was made again",
        ));
        notes.extend(files(
            report,
            "kept",
            "was changed by hand and was put aside",
        ));
    }
    let pages = records.map(family_pages).unwrap_or_default();
    let named = |key: &Value| {
        let key = key.as_str().unwrap_or_default();
        let page = pages.iter().find(|page| page.key() == key);
        page.map_or_else(
            || key.to_owned(),
            |page| format!("{} for {}", page.family.name, page.puppy.shown_name()),
        )
    };
    for (key, what) in [("sealed", "Made anew for"), ("withdrawn", "Taken away")] {
        let all = told[key].as_array().into_iter().flatten();
        let names: Vec<String> = all.map(named).collect();
        if !names.is_empty() {
            lines.push(format!("Families’ pages. {what}: {}.", names.join("; ")));
        }
    }
    let site = records.and_then(|records| records.kennel.site.as_ref());
    PublicationResult {
        went_well: true,
        lines,
        notes,
        folder: shown_path(&desk.kennel.join("public")),
        address: site.map(|site| site.as_str().to_owned()),
    }
}

fn files(report: &Value, key: &str, what: &str) -> Vec<String> {
    let names = report[key].as_array().into_iter().flatten();
    let names = names.filter_map(Value::as_str);
    let mut notes: Vec<String> = names.map(|name| format!("{name} {what}.")).collect();
    if notes.len() > NAMED {
        let more = notes.len() - NAMED;
        notes.truncate(NAMED);
        notes.push(format!("And {more} more."));
    }
    notes
}
