//! Handing a puppy over: what is missing, each with the way to where it is filled in; the papers;
//! and an export of all records.
//!
//! In: the records. Out: pages; and, when the keeper asks for it, papers in `private/handover/` and
//! tables in `private/export/`, made by the program's own commands, to be downloaded here. What is
//! downloaded is never shown as a page of the desk.

use super::Desk;
use super::acts::encoded;
use super::answer::answer;
use super::finding::{Found, find};
use super::kinds::kind;
use super::page::{self, beside, tried};
use super::posted::Fields;
use super::program::{self, Ran};
use crate::Error;
use crate::app::codes::FamilyPage;
use crate::audience::words;
use crate::husbandry;
use crate::husbandry::readiness::{self, GapKind, ReadinessGap};
use crate::output::shown_path;
use crate::quantity::Id;
use crate::records::LitterFolder;
use crate::records::litter::Puppy;
use axum::Router;
use axum::extract::{Path as Named, State};
use axum::http::StatusCode;
use axum::http::header::{CONTENT_DISPOSITION, HeaderValue};
use axum::response::Response;
use axum::routing::get;
use serde::Serialize;
use std::path::Path;
use std::sync::Arc;

#[derive(Default, Serialize)]
struct HandoverPage {
    token: String,
    action: String,
    puppy: String,
    litter: String,
    to_litter: String,
    /// Why there can be no papers.
    never: Option<&'static str>,
    family: Option<String>,
    /// The day it was looked at for.
    on: String,
    has_left: bool,
    gaps: Vec<Gap>,
    files: Vec<Download>,
    /// Where the files stand.
    folder: String,
    /// The place of its page among those of all families.
    code: Option<String>,
    made: bool,
    /// What the run that made no papers said.
    said: Vec<String>,
}

/// Something that is missing.
#[derive(Serialize)]
struct Gap {
    what: &'static str,
    missing: String,
    /// Where it is filled in.
    to: String,
}

/// A file to be downloaded.
#[derive(Serialize)]
struct Download {
    name: String,
    to: String,
    /// What it is, and what to do with it.
    what: &'static str,
}

/// What a paper is for, by the end of its name.
fn paper_words(name: &str) -> &'static str {
    let ends = [
        ("record.pdf", "Health and weight record: print this"),
        (
            "cover.pdf",
            "Cover sheet with the code of their page: print this",
        ),
        ("page.html", "Their page, for a stick"),
        (
            "check-a-record.html",
            "Looks whether a signed record is as it was signed",
        ),
        ("record.json", "The signed record, for programs"),
        ("weights.csv", "Weights, as a table"),
        ("events.csv", "Health, as a table"),
        ("care.ics", "What is due next, for a calendar"),
    ];
    let found = ends.iter().find(|(end, _)| name.ends_with(end));
    found.map_or("", |(_, what)| what)
}

#[derive(Default, Serialize)]
struct ExportPage {
    token: String,
    made: bool,
    said: Vec<String>,
    folder: String,
    files: Vec<Download>,
}

pub(super) fn routes() -> Router<Arc<Desk>> {
    Router::new()
        .route(
            "/-desk/litters/{litter}/puppies/{puppy}/handover",
            get(show).post(make),
        )
        .route("/-desk/papers/{folder}/{file}", get(paper))
        .route("/-desk/export", get(ask_export).post(export))
        .route("/-desk/export/{file}", get(exported))
}

async fn show(State(desk): State<Arc<Desk>>, Named(who): Named<(String, String)>) -> Response {
    tried(move || {
        let view = view(&desk, &who)?;
        Ok(view.map_or_else(page::lost, |view| {
            page::render(StatusCode::OK, "handover.html", &view)
        }))
    })
    .await
}

async fn make(
    State(desk): State<Arc<Desk>>,
    Named(who): Named<(String, String)>,
    fields: Fields,
) -> Response {
    tried(move || {
        // Only what is a puppy of the records becomes a word of a command.
        if view(&desk, &who)?.is_none_or(|view| view.never.is_some()) {
            return Ok(page::lost());
        }
        let (litter, puppy) = &who;
        let whose = format!("{litter}/{puppy}");
        let mut words = vec!["handover", &whose];
        if fields.get("anyway").is_some() {
            words.push("--anyway");
        }
        let ran = program::run(&desk.kennel, &words);
        let Some(view) = view(&desk, &who)? else {
            return Ok(page::lost());
        };
        let (status, said) = came_to(&ran);
        let view = HandoverPage {
            made: ran.went_well,
            said,
            ..view
        };
        Ok(page::render(status, "handover.html", &view))
    })
    .await
}

/// How it is answered that a command ran, and what it said when it failed.
fn came_to(ran: &Ran) -> (StatusCode, Vec<String>) {
    if ran.went_well {
        (StatusCode::OK, Vec::new())
    } else {
        (StatusCode::CONFLICT, ran.lines())
    }
}

fn view(desk: &Desk, (litter, puppy): &(String, String)) -> Result<Option<HandoverPage>, Error> {
    let loaded = desk.records()?;
    let found = || {
        let records = loaded.records.as_ref()?;
        let litter: Id = litter.parse().ok()?;
        let folder = records.litters.get(&litter)?;
        let puppies = &folder.litter.puppies;
        let puppy = puppies.iter().find(|known| known.id.as_str() == puppy)?;
        Some((records, folder, puppy))
    };
    let Some((records, folder, puppy)) = found() else {
        return Ok(None);
    };
    let view = HandoverPage {
        token: desk.gate.token(),
        action: at(folder, puppy, "handover"),
        puppy: puppy.shown_name(),
        litter: folder.litter.name.to_string(),
        to_litter: format!("/-desk/litters/{}", folder.id),
        ..HandoverPage::default()
    };
    let never = match (puppy.is_alive(), folder.litter.birth.is_some()) {
        (false, _) => Some("It is no longer alive."),
        (_, false) => Some("Its litter is not born yet."),
        (true, true) => None,
    };
    if never.is_some() {
        return Ok(Some(HandoverPage { never, ..view }));
    }
    let figures = husbandry::compute(records);
    let homes = records.owners.homes();
    let ready = readiness::of_puppy(records, &figures, &homes, folder, puppy);
    let ounces = records.kennel.is_read_in_ounces();
    let family = FamilyPage::of(&homes, folder, puppy);
    let name = format!("{}-{}", folder.id, puppy.id);
    let place = desk.kennel.join("private").join("handover").join(&name);
    let download = |file: String| Download {
        to: format!("/-desk/papers/{name}/{}", encoded(&file)),
        what: paper_words(&file),
        name: file,
    };
    Ok(Some(HandoverPage {
        family: family.map(|page| page.family.name.to_string()),
        code: family.map(|page| page.key()),
        on: ready.on.in_words(),
        has_left: ready.has_left,
        gaps: ready
            .gaps
            .iter()
            .map(|gap| shown(folder, puppy, gap, ounces))
            .collect(),
        files: files_in(&place).into_iter().map(download).collect(),
        folder: shown_path(&place),
        ..view
    }))
}

fn at(folder: &LitterFolder, puppy: &Puppy, what: &str) -> String {
    format!("/-desk/litters/{}/puppies/{}/{what}", folder.id, puppy.id)
}

/// A gap, and where it is filled in.
fn shown(folder: &LitterFolder, puppy: &Puppy, gap: &ReadinessGap, ounces: bool) -> Gap {
    let litter = format!("/-desk/litters/{}", folder.id);
    let tend = |kind: &str| format!("{litter}/tend?kind={kind}&for={}", puppy.id);
    let form = |file: &str| format!("/-desk/form/{file}");
    let to = match gap.kind() {
        GapKind::Family | GapKind::Age => at(folder, puppy, "home"),
        GapKind::Finding => format!("/litters/{}/{}.html", folder.id, puppy.id),
        GapKind::Chip => tend("chip"),
        GapKind::Check => tend("check"),
        GapKind::Worming => tend("worming"),
        GapKind::Vaccination => tend("vaccination"),
        GapKind::Feeding => format!("{litter}/notes/new"),
        GapKind::Papers => match gap {
            ReadinessGap::NoPhone | ReadinessGap::NoEmergencyVet => form("kennel.yaml"),
            ReadinessGap::NoRegistration => {
                let litter = form(&folder.file("litter.yaml"));
                format!("{litter}?at=puppies.{}", puppy.id)
            }
            _ => form(&folder.file("health.yaml")),
        },
    };
    Gap {
        what: words::readiness::kind(gap.kind()),
        missing: words::readiness::missing(gap, ounces)
            .replace(" in owners.yaml", "")
            .replace('`', ""),
        to,
    }
}

/// The names of the files of a folder.
fn files_in(place: &Path) -> Vec<String> {
    let entries = std::fs::read_dir(place).into_iter().flatten().flatten();
    let files = entries.filter(|entry| entry.file_type().is_ok_and(|kind| kind.is_file()));
    let mut names: Vec<String> = files
        .filter_map(|entry| entry.file_name().into_string().ok())
        .filter(|name| !name.starts_with('.'))
        .collect();
    names.sort();
    names
}

async fn paper(State(desk): State<Arc<Desk>>, Named(which): Named<(String, String)>) -> Response {
    let (folder, file) = which;
    beside(move || download(&desk, &format!("handover/{folder}/{file}"))).await
}

async fn exported(State(desk): State<Arc<Desk>>, Named(file): Named<String>) -> Response {
    beside(move || download(&desk, &format!("export/{file}"))).await
}

/// A file of the keeper's, to be kept, and never shown where its script could reach the desk.
fn download(desk: &Desk, file: &str) -> Response {
    let Found::File(path) = find(&desk.kennel.join("private"), &format!("/{file}")) else {
        return page::lost();
    };
    let Ok(bytes) = std::fs::read(&path) else {
        return page::lost();
    };
    let mut answer = answer(StatusCode::OK, kind(&path), bytes);
    answer
        .headers_mut()
        .insert(CONTENT_DISPOSITION, HeaderValue::from_static("attachment"));
    answer
}

fn export_page(desk: &Desk) -> ExportPage {
    let place = desk.kennel.join("private").join("export");
    let file = |name: String| Download {
        to: format!("/-desk/export/{}", encoded(&name)),
        what: "",
        name,
    };
    ExportPage {
        token: desk.gate.token(),
        folder: shown_path(&place),
        files: files_in(&place).into_iter().map(file).collect(),
        ..ExportPage::default()
    }
}

async fn ask_export(State(desk): State<Arc<Desk>>) -> Response {
    beside(move || page::render(StatusCode::OK, "export.html", &export_page(&desk))).await
}

async fn export(State(desk): State<Arc<Desk>>, _fields: Fields) -> Response {
    beside(move || {
        let ran = program::run(&desk.kennel, &["export"]);
        let (status, said) = came_to(&ran);
        let view = ExportPage {
            made: ran.went_well,
            said,
            ..export_page(&desk)
        };
        page::render(status, "export.html", &view)
    })
    .await
}
