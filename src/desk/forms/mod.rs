//! Forms in which every field of every record can be set, changed and taken out.
//!
//! In: a record file and a place in it, and the fields of a form that was sent. Out: pages, and
//! changes of the records through `app::recording`. The forms follow the types of the records: no
//! field is named here.
//!
//! | file | what it does |
//! |---|---|
//! | `shape.rs` | what a form asks for, from the type of the record |
//! | `spot.rs` | a place in a record, from an address |
//! | `values.rs` | between what stands in a record and what stands in fields |
//! | `names.rs` | what a field can be chosen from |
//! | `view.rs` | what a page shows |
//! | `showing.rs` | the page of a place |
//! | `saving.rs` | what was sent becomes a change, or stands there again with what is wrong |
//! | `beginning.rs` | new dogs, litters, notes and pages |
//! | `records.rs` | the list of all records |

mod beginning;
mod names;
mod records;
mod saving;
pub(super) mod shape;
mod showing;
pub(super) mod spot;
mod values;
pub(super) mod view;

use super::Desk;
use super::page::{beside, told};
use super::posted::{TriedFields, sent_from};
use crate::records::kennel::Zone;
use axum::Router;
use axum::extract::{Path, Query, State};
use axum::http::HeaderMap;
use axum::response::Response;
use axum::routing::get;
use serde::Deserialize;
use std::sync::Arc;

/// What may stand behind the `?` of an address.
#[derive(Debug, Clone, Default, Deserialize)]
#[serde(default)]
struct FormQuery {
    /// The place in the record.
    at: String,
    /// A new entry of the list there is asked for.
    add: Option<u8>,
    /// The number of the change that was just made; 0 when all of it was so already.
    saved: Option<u64>,
    /// The number of the change by which one was just taken back.
    back: Option<u64>,
    /// The litter that something new belongs to.
    litter: String,
}

pub(super) use names::puppies;
pub(super) use shape::in_words;

/// The file of a dog or a litter, by its short name.
pub(super) fn file_of(kind: &str, name: &str) -> Option<String> {
    match kind {
        "dog" => Some(format!("dogs/{name}.yaml")),
        "litter" => Some(format!("litters/{name}/litter.yaml")),
        _ => None,
    }
}

/// The clock of the kennel, also while other records are broken.
pub(super) fn kennel_zone(content: &std::path::Path) -> Option<Zone> {
    let name = names::said(content, "kennel.yaml", "time_zone")?;
    name.parse().ok().map(Zone)
}

/// The form on which a change was taken back, as it is then; nothing where it was no form, or what
/// it showed is there no more.
pub(super) fn page_after(desk: &Desk, headers: &HeaderMap, number: u64) -> Option<String> {
    let from = sent_from(headers)?;
    let file = from.path().strip_prefix("/-desk/form/")?;
    let Query(FormQuery { at, .. }) = Query::try_from_uri(&from).ok()?;
    let spot = spot::Spot::find(&desk.content(), file, &at).ok()?;
    let at = view::address(&spot.whole, &spot.path);
    Some(format!("/-desk/form/{}?at={at}&back={number}", spot.file))
}

/// The routes of the forms.
pub(super) fn routes() -> Router<Arc<Desk>> {
    Router::new()
        .route("/-desk/records", get(records))
        .route("/-desk/form/{*file}", get(show).post(save))
        .route("/-desk/new/{kind}", get(ask_new).post(make_new))
}

async fn records(State(desk): State<Arc<Desk>>, Query(asked): Query<FormQuery>) -> Response {
    beside(move || records::page(&desk, &asked)).await
}

async fn show(
    State(desk): State<Arc<Desk>>,
    Path(file): Path<String>,
    Query(asked): Query<FormQuery>,
) -> Response {
    beside(move || showing::page(&desk, &file, &asked)).await
}

async fn save(
    State(desk): State<Arc<Desk>>,
    Path(file): Path<String>,
    Query(asked): Query<FormQuery>,
    TriedFields(fields, mode): TriedFields,
) -> Response {
    let answer = move || saving::answer(&desk, &file, &asked, (&fields, mode));
    beside(move || told(mode, answer())).await
}

async fn ask_new(
    State(desk): State<Arc<Desk>>,
    Path(kind): Path<String>,
    Query(asked): Query<FormQuery>,
) -> Response {
    beside(move || beginning::page(&desk, &kind, &asked)).await
}

async fn make_new(
    State(desk): State<Arc<Desk>>,
    Path(kind): Path<String>,
    Query(asked): Query<FormQuery>,
    TriedFields(fields, mode): TriedFields,
) -> Response {
    let answer = move || beginning::answer(&desk, &kind, &asked, (&fields, mode));
    beside(move || told(mode, answer())).await
}
