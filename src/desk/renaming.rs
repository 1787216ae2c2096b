//! Another short name for a dog or a litter.
//!
//! In: which, and the new name. Out: a form; then all records, files and pictures that name it
//! become others in one change. Puppies and families have their short name in their own form, where
//! another one does the same.

use super::acts::{ActField, ActFields, ActForm, ActLink, ActPage, AskedSlips, Group};
use super::page::{self, beside, told};
use super::posted::{Fields, TriedFields};
use super::{Desk, forms};
use crate::Error;
use crate::app::adding::asked;
use crate::app::recording::{Mode, Refused, Stop, record};
use crate::app::renaming::{self, NameBarred};
use crate::quantity::Id;
use crate::records::changing::naming::Named;
use axum::Router;
use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use axum::routing::get;
use std::sync::Arc;

pub(super) fn routes() -> Router<Arc<Desk>> {
    Router::new().route("/-desk/rename/{kind}/{name}", get(show).post(save))
}

/// What is meant: the record, and the file with it.
fn meant(kind: &str, name: &str) -> Option<(Named, String)> {
    let id: Id = name.parse().ok()?;
    let file = forms::file_of(kind, id.as_str())?;
    match kind {
        "dog" => Some((Named::Dog(id), file)),
        "litter" => Some((Named::Litter(id), file)),
        _ => None,
    }
}

fn view(kind: &str, name: &str, file: &str) -> ActPage {
    let field = ActField::text("to", "Short name")
        .with(name)
        .help("small letters, digits, hyphens")
        .needed();
    ActPage {
        above: forms::in_words(name),
        title: "Another short name".to_owned(),
        lead: vec![format!(
            "The short name is how the records and the addresses of pages call this {kind}. All \
             that names it changes with it, in one change that can be taken back."
        )],
        form: Some(ActForm::saved_by("Save", vec![Group::new("", vec![field])])),
        links: vec![ActLink::new("Back", format!("/-desk/form/{file}"))],
        ..ActPage::default()
    }
}

fn shown(desk: &Desk, status: StatusCode, view: ActPage, here: &str) -> Response {
    let view = view.finished(desk.gate.token(), here);
    page::render(status, "acts/page.html", &view)
}

async fn show(
    State(desk): State<Arc<Desk>>,
    Path((kind, name)): Path<(String, String)>,
) -> Response {
    beside(move || {
        let there = meant(&kind, &name).filter(|(_, file)| desk.content().join(file).is_file());
        let Some((_, file)) = there else {
            return page::lost();
        };
        let here = format!("/-desk/rename/{kind}/{name}");
        shown(&desk, StatusCode::OK, view(&kind, &name, &file), &here)
    })
    .await
}

/// Why nothing was changed.
enum NotRenamed {
    Slips(AskedSlips),
    Gone,
}

impl From<Refused> for NotRenamed {
    fn from(refused: Refused) -> Self {
        Self::Slips(refused.into())
    }
}

async fn save(
    State(desk): State<Arc<Desk>>,
    Path((kind, name)): Path<(String, String)>,
    TriedFields(fields, mode): TriedFields,
) -> Response {
    beside(move || {
        let Some((named, file)) = meant(&kind, &name) else {
            return page::lost();
        };
        let here = format!("/-desk/rename/{kind}/{name}");
        let answer = match renamed(&desk, (&kind, &name), &named, (&fields, mode)) {
            Ok(Ok(_)) if mode == Mode::Try => page::nothing_wrong(),
            Ok(Ok((to, number))) => {
                let file = forms::file_of(&kind, to.as_str()).unwrap_or(file);
                Redirect::to(&format!("/-desk/form/{file}?saved={number}")).into_response()
            }
            Ok(Err(NotRenamed::Slips(AskedSlips(slips)))) => {
                let given = ActFields {
                    fields: fields.0,
                    is_sent: true,
                    ..ActFields::default()
                };
                let view = view(&kind, &name, &file).again(&given, slips);
                shown(&desk, StatusCode::UNPROCESSABLE_ENTITY, view, &here)
            }
            Ok(Err(NotRenamed::Gone)) => page::lost(),
            Err(error) => page::stopped(&error),
        };
        told(mode, answer)
    })
    .await
}

fn renamed(
    desk: &Desk,
    (kind, name): (&str, &str),
    named: &Named,
    (fields, mode): (&Fields, Mode),
) -> Result<Result<(Id, u64), NotRenamed>, Error> {
    let typed = fields.get("to").unwrap_or_default().trim();
    let Ok(to) = typed.parse::<Id>() else {
        let hint = "use small letters, digits and hyphens, such as juno or spring-2026";
        let slips = AskedSlips::one("to", "this short name cannot be used", hint);
        return Ok(Err(NotRenamed::Slips(slips)));
    };
    if to.as_str() == name {
        return Ok(Ok((to, 0)));
    }
    let folder = desk.folder()?;
    let what = format!("another short name for the {kind} {name}: {to}");
    let done = record(&folder, &asked("desk", &what), mode, |standing| {
        let refused = |slips| Stop::Refused(NotRenamed::Slips(slips));
        let Some(records) = standing.now.records.as_ref() else {
            let hint = "mend them first: “What to mend” says where";
            let slips = AskedSlips::one("", "the records cannot be read", hint);
            return Err(refused(slips));
        };
        if !renaming::is_known(records, named) {
            return Err(Stop::Refused(NotRenamed::Gone));
        }
        let barred = renaming::in_the_way(&folder, records, named, &to).map_err(Stop::Error)?;
        if let Some(NameBarred { message, hint }) = barred {
            return Err(refused(AskedSlips::one("to", message, hint)));
        }
        renaming::plan(standing, &folder, named, &to).map(renaming::work)
    })?;
    Ok(done.map(|done| (to, done.number.unwrap_or(0))))
}
