//! The changes that were made, and taking them back.
//!
//! In: the kennel's history. Out: a list, newest first; and, for a form that asks for it, the
//! records as they were before a change.

use super::page::{self, beside};
use super::posted::{Fields, SavedNotice};
use super::{Desk, acting, forms};
use crate::app::taking_back::{take_back, undone};
use crate::output::{HistoryEntry, newest};
use crate::quantity::days_said;
use crate::records::kennel::Zone;
use crate::records::showing::harmless;
use axum::Router;
use axum::extract::{Query, State};
use axum::http::{HeaderMap, StatusCode};
use axum::response::{IntoResponse, Redirect, Response};
use axum::routing::{get, post};
use chrono::NaiveDateTime;
use serde::{Deserialize, Serialize};
use std::sync::Arc;

/// How many changes are shown.
const SHOWN: usize = 200;
/// How many letters of a text before and after are shown.
const LETTERS: usize = 600;

#[derive(Serialize)]
struct HistoryPage {
    token: String,
    saved: Option<u64>,
    changes: Vec<ShownChange>,
    /// Whether those before a change are shown, and not the newest.
    is_earlier: bool,
    /// The last one shown, where there are earlier ones.
    more: Option<u64>,
}

/// A change.
#[derive(Serialize)]
struct ShownChange {
    number: u64,
    when: String,
    who: String,
    what: String,
    files: Vec<ShownPiece>,
    is_undone: bool,
}

/// What became of a file.
#[derive(Serialize)]
struct ShownPiece {
    file: String,
    old: String,
    new: String,
}

pub(super) fn routes() -> Router<Arc<Desk>> {
    Router::new()
        .route("/-desk/history", get(list))
        .route("/-desk/undo", post(undo))
}

/// Which changes are shown.
#[derive(Debug, Default, Deserialize)]
#[serde(default)]
struct Part {
    /// Those before this one.
    before: Option<u64>,
}

async fn list(
    State(desk): State<Arc<Desk>>,
    Query(noted): Query<SavedNotice>,
    Query(Part { before }): Query<Part>,
) -> Response {
    beside(move || {
        let history = newest(&desk.kennel.join(".litterfolio"), usize::MAX);
        let undone = undone(&history);
        let zone = forms::kennel_zone(&desk.content());
        let is_shown = |entry: &&HistoryEntry| before.is_none_or(|before| entry.number < before);
        let mut part = history.iter().filter(is_shown);
        let listed: Vec<&HistoryEntry> = part.by_ref().take(SHOWN).collect();
        let view = HistoryPage {
            token: desk.gate.token(),
            saved: noted.saved,
            is_earlier: before.is_some(),
            more: part.next().and(listed.last()).map(|entry| entry.number),
            changes: listed
                .into_iter()
                .map(|entry| shown(entry, zone, undone.contains(&entry.number)))
                .collect(),
        };
        page::render(StatusCode::OK, "history.html", &view)
    })
    .await
}

/// A time of the history by the kennel’s clock, or in UTC as it stands there where none is known.
fn by_clock(utc: &str, zone: Option<Zone>) -> String {
    let read = NaiveDateTime::parse_from_str(utc, "%Y-%m-%d %H:%M:%S");
    match (read, zone) {
        (Ok(at), Some(zone)) => {
            let here = at.and_utc().with_timezone(&zone.0);
            here.format("%Y-%m-%d %H:%M").to_string()
        }
        _ => format!("{utc} UTC"),
    }
}

fn shown(entry: &HistoryEntry, zone: Option<Zone>, is_undone: bool) -> ShownChange {
    let pieces = entry.pieces.iter().map(|piece| ShownPiece {
        file: harmless(&piece.file),
        old: short(&piece.old),
        new: short(&piece.new),
    });
    let moves = entry.moves.iter().map(|(from, to)| ShownPiece {
        file: harmless(&format!("{from} becomes {to}")),
        old: String::new(),
        new: String::new(),
    });
    ShownChange {
        number: entry.number,
        when: days_said(&by_clock(&entry.shown_time(), zone)),
        who: entry.who.clone(),
        what: harmless(&entry.what),
        files: pieces.chain(moves).collect(),
        is_undone,
    }
}

fn short(text: &str) -> String {
    let mut short: String = text.chars().take(LETTERS).collect();
    if short.len() < text.len() {
        short.push('…');
    }
    let lines: Vec<String> = short.lines().map(harmless).collect();
    lines.join("\n")
}

async fn undo(State(desk): State<Arc<Desk>>, headers: HeaderMap, fields: Fields) -> Response {
    beside(move || {
        let Some(number) = fields.get("number").and_then(|number| number.parse().ok()) else {
            return page::lost();
        };
        let done = desk
            .folder()
            .and_then(|folder| take_back(&folder, "desk", Some(number)));
        match done {
            Ok(back) => {
                let number = back.number.unwrap_or(0);
                let page = acting::page_after(&desk, &headers, number)
                    .or_else(|| forms::page_after(&desk, &headers, number));
                let to = page.unwrap_or_else(|| format!("/-desk/history?saved={number}"));
                Redirect::to(&to).into_response()
            }
            Err(error) => page::plain(
                StatusCode::CONFLICT,
                "This was not taken back",
                &format!("{error}."),
            ),
        }
    })
    .await
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn times_are_told_by_the_kennel_s_clock_and_say_so_where_there_is_none() {
        let zone = |name: &str| Some(Zone(name.parse().unwrap()));
        let utc = "2026-07-01 23:30:05";
        assert_eq!(by_clock(utc, zone("Europe/London")), "2026-07-02 00:30");
        assert_eq!(by_clock(utc, zone("America/New_York")), "2026-07-01 19:30");
        assert_eq!(by_clock(utc, None), "2026-07-01 23:30:05 UTC");
    }
}
