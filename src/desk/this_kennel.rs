//! The kennel as a whole: where its folder is, the desk of another one, and the end of this desk.
//!
//! In: requests. Out: pages; the desk of another kennel, begun as a run of its own, which stays
//! when this one ends; and the end of this one, for whoever started it by a press and has no window
//! to close.

use super::Desk;
use super::folders::{kennel_from_backup, kennel_in};
use super::page::{self, beside};
use super::posted::Fields;
use crate::app::{places, terminal};
use crate::output::shown_path;
use axum::Router;
use axum::extract::State;
use axum::http::StatusCode;
use axum::response::Response;
use axum::routing::{get, post};
use serde::Serialize;
use std::io::{BufRead, BufReader};
use std::path::Path;
use std::process::{Command, Stdio};
use std::sync::Arc;
use std::time::Duration;

/// How long the last page needs to reach the browser.
const A_MOMENT: Duration = Duration::from_millis(500);

#[derive(Default, Serialize)]
struct KennelPage {
    token: String,
    folder: String,
    /// The folder of another kennel, as it was typed.
    other: String,
    slip: Option<String>,
    /// A backup, and the folder that it is to be set up in.
    file: String,
    into: String,
    backup_slip: Option<String>,
    /// The desk of another kennel.
    link: Option<String>,
}

pub(super) fn routes() -> Router<Arc<Desk>> {
    Router::new()
        .route("/-desk/kennel", get(show).post(open_other))
        .route("/-desk/end", post(end))
}

fn view(desk: &Desk) -> KennelPage {
    let folder = std::path::absolute(&desk.kennel).unwrap_or_else(|_| desk.kennel.clone());
    KennelPage {
        token: desk.gate.token(),
        folder: shown_path(&folder),
        ..KennelPage::default()
    }
}

async fn show(State(desk): State<Arc<Desk>>) -> Response {
    beside(move || page::render(StatusCode::OK, "this-kennel.html", &view(&desk))).await
}

async fn open_other(State(desk): State<Arc<Desk>>, fields: Fields) -> Response {
    beside(move || {
        let field = |name: &str| fields.get(name).unwrap_or_default().to_owned();
        let (other, file, into) = (field("other"), field("file"), field("into"));
        let is_backup = field("act") == "restore";
        let found = if is_backup {
            let without = fields.get("without").is_some();
            kennel_from_backup(&file, &into, field("passphrase").trim(), without)
        } else {
            kennel_in(&other, None)
        };
        let begun = found.and_then(|folder| {
            let link = begin(&folder)?;
            places::remember_kennel(&folder);
            Ok(link)
        });
        let (status, view) = match begun {
            Ok(link) => (
                StatusCode::OK,
                KennelPage {
                    link: Some(link),
                    ..view(&desk)
                },
            ),
            Err(slip) => {
                let (slip, backup_slip) = if is_backup {
                    (None, Some(slip))
                } else {
                    (Some(slip), None)
                };
                (
                    StatusCode::UNPROCESSABLE_ENTITY,
                    KennelPage {
                        other,
                        slip,
                        file,
                        into,
                        backup_slip,
                        ..view(&desk)
                    },
                )
            }
        };
        page::render(status, "this-kennel.html", &view)
    })
    .await
}

/// Begins the desk of a kennel as a run of its own, or finds the one that runs; its link.
fn begin(kennel: &Path) -> Result<String, String> {
    let failed = |why: &str| format!("Its desk could not be begun: {why}.");
    let program = terminal::program().ok_or_else(|| failed("the program does not find itself"))?;
    let mut child = Command::new(program)
        .arg("--kennel")
        .arg(kennel)
        .args(["desk", "--no-browser"])
        .stdin(Stdio::null())
        .stdout(Stdio::piped())
        .stderr(Stdio::null())
        .spawn()
        .map_err(|error| failed(&error.to_string()))?;
    let out = child
        .stdout
        .take()
        .ok_or_else(|| failed("it says nothing"))?;
    let mut lines = BufReader::new(out).lines().map_while(Result::ok);
    let link = lines.find_map(|line| line.strip_prefix("book: ").map(str::to_owned));
    // What it says later is heard and let go, for as long as it runs.
    std::thread::spawn(move || {
        lines.for_each(drop);
        let _ = child.wait();
    });
    link.ok_or_else(|| failed("look whether its records can be read"))
}

async fn end(State(desk): State<Arc<Desk>>, _fields: Fields) -> Response {
    tokio::spawn(async move {
        tokio::time::sleep(A_MOMENT).await;
        desk.end.notify_one();
    });
    page::plain(
        StatusCode::OK,
        "The desk has ended",
        "All that was recorded is saved. To open it again, start the program. This page can be \
         closed.",
    )
}
