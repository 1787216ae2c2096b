//! Backups from the desk: what the last one was, and a form that makes one.
//!
//! In: the kennel's folder, a folder that was typed, a passphrase. Out: a page; the backup, made
//! where it was asked for; and a line for the first page of the book, on which the last backup
//! stands, with what else is amiss with the kennel as a whole.

use super::Desk;
use super::page::{self, beside};
use super::posted::Fields;
use crate::Error;
use crate::app::backup::{self, BackupStanding, MadeBackup, size};
use crate::app::terminal::many;
use crate::app::{places, secrets};
use crate::keyring::has_secrets;
use crate::output::{SecretsKept, shown_path};
use crate::sealing::passphrase::Passphrase;
use axum::Router;
use axum::extract::State;
use axum::http::StatusCode;
use axum::response::Response;
use axum::routing::get;
use serde::Serialize;
use std::path::{Path, PathBuf};
use std::sync::Arc;

#[derive(Default, Serialize)]
struct BackupPage {
    token: String,
    /// What the last one was.
    last: Option<String>,
    /// What became of the secrets in it.
    secrets: &'static str,
    changed: String,
    has_secrets: bool,
    /// The folder that is proposed, or was typed.
    place: String,
    /// What was just made.
    made: Option<String>,
    /// What the keeper should know of it.
    notes: Vec<String>,
    /// Why none was made.
    said: Vec<String>,
}

#[derive(Serialize)]
struct StandingLine {
    last: String,
    /// What is amiss with the secrets, and what to do.
    amiss: Option<(String, String)>,
    /// How many entries of phones wait for the keeper, in words.
    asked: Option<String>,
}

pub(super) fn routes() -> Router<Arc<Desk>> {
    Router::new().route("/-desk/backup", get(show).post(make))
}

async fn show(State(desk): State<Arc<Desk>>) -> Response {
    beside(move || page::render(StatusCode::OK, "backup.html", &view(&desk))).await
}

fn view(desk: &Desk) -> BackupPage {
    let BackupStanding { last, changed } = backup::standing(&desk.kennel, &desk.state());
    let place = last
        .as_ref()
        .and_then(|last| last.file.parent().map(Path::to_owned))
        .filter(|place| place.is_dir())
        .or_else(places::documents)
        .unwrap_or_default();
    BackupPage {
        token: desk.gate.token(),
        last: last.as_ref().map(|last| {
            format!(
                "{}: {}, {}, in {}",
                last.made,
                many(last.files, "file"),
                size(last.bytes),
                shown_path(&last.file)
            )
        }),
        secrets: match last.map(|last| last.secrets) {
            Some(SecretsKept::Sealed) => "Codes and keys are in it, sealed.",
            Some(SecretsKept::LeftOut) => "Codes and keys are not in it.",
            Some(SecretsKept::None) | None => "",
        },
        changed: since(changed),
        has_secrets: has_secrets(&desk.kennel),
        place: shown_path(&place),
        ..BackupPage::default()
    }
}

fn since(changed: usize) -> String {
    match changed {
        0 => "Nothing changed since.".to_owned(),
        1 => "Since then 1 file was added, changed or taken out.".to_owned(),
        n => format!("Since then {n} files were added, changed or taken out."),
    }
}

async fn make(State(desk): State<Arc<Desk>>, fields: Fields) -> Response {
    beside(move || {
        let place = fields.get("place").unwrap_or_default().trim().to_owned();
        let (status, view) = match made(&desk, &place, &fields) {
            Ok(made) => (
                StatusCode::OK,
                BackupPage {
                    made: Some(shown_path(&made.file)),
                    notes: notes(&made),
                    ..view(&desk)
                },
            ),
            Err(error) => (
                StatusCode::UNPROCESSABLE_ENTITY,
                BackupPage {
                    said: error
                        .to_string()
                        .lines()
                        .map(|line| line.trim().to_owned())
                        .collect(),
                    place,
                    ..view(&desk)
                },
            ),
        };
        page::render(status, "backup.html", &view)
    })
    .await
}

fn made(desk: &Desk, place: &str, fields: &Fields) -> Result<MadeBackup, Error> {
    let place = PathBuf::from(place);
    if !place.is_absolute() {
        return Err(Error::Usage(
            "name the folder from the root of its disk on, as your file manager shows it"
                .to_owned(),
        ));
    }
    let typed = fields.get("passphrase").unwrap_or_default();
    let passphrase = if typed.trim().is_empty() {
        None
    } else {
        let again = fields.get("again").unwrap_or_default();
        if typed.trim() != again.trim() {
            return Err(Error::Usage("the two passphrases differ".to_owned()));
        }
        let chosen = Passphrase::new(typed).map_err(|error| Error::Usage(error.to_string()))?;
        Some(chosen)
    };
    backup::make(&desk.folder()?, &place, passphrase.as_ref())
}

fn notes(made: &MadeBackup) -> Vec<String> {
    let left_out = made
        .left_out
        .iter()
        .map(|(name, why)| format!("{name} is not in it: {why}."));
    let not_on_windows = made
        .not_on_windows
        .iter()
        .map(|(name, why)| format!("{name} cannot be set up on Windows: {why}."));
    left_out.chain(not_on_windows).collect()
}

/// What stands at the top of the first page: the last backup, and secrets that are missing.
pub(super) fn first_page(desk: &Desk) -> String {
    let BackupStanding { last, changed } = backup::standing(&desk.kennel, &desk.state());
    let last = match last {
        Some(last) => format!(
            "Last backup: {}, {}. {}",
            last.made,
            many(last.files, "file"),
            since(changed)
        ),
        None => "No backup was made yet.".to_owned(),
    };
    let amiss = desk
        .folder()
        .ok()
        .and_then(|folder| secrets::unusable(&folder));
    let asked = desk.phones.questions(desk);
    page::fragment(
        "standing.html",
        &StandingLine {
            last,
            amiss: amiss.map(|problem| (problem.message, problem.hint)),
            asked: (asked > 0).then(|| many(asked, "question")),
        },
    )
}
