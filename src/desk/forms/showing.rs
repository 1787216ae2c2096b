//! The page of a place in a record: its fields as they stand, or as they were typed.

use super::names::{puppies, said};
use super::shape::{self, Form, Kind};
use super::spot::{Lost, Spot, fields};
use super::values::{Texts, filled};
use super::view::{Filling, FormItem, Told, address, at_fields, list, mark, title};
use super::{FormQuery, view};
use crate::quantity::{Id, days_said};
use crate::records::changing::written::Written;
use crate::records::problem::{Located, Step};
use crate::records::source::Sources;
use crate::{Desk, page};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use serde::Serialize;
use std::path::Path;

/// A link.
#[derive(Debug, Serialize)]
pub(super) struct Link {
    pub(super) place: String,
    pub(super) words: String,
}

/// What the template is given.
#[derive(Debug, Default, Serialize)]
#[expect(
    clippy::struct_excessive_bools,
    reason = "each is a part of the page that is shown or not"
)]
pub(super) struct FormPage {
    pub(super) title: String,
    pub(super) above: Vec<Link>,
    /// Where the form is sent to.
    pub(super) action: String,
    pub(super) token: String,
    pub(super) file: String,
    pub(super) at: String,
    /// What stood in the fields when they were shown.
    pub(super) was: String,
    /// What the entry was when it was shown.
    pub(super) mark: String,
    pub(super) items: Vec<FormItem>,
    /// What is wrong, and belongs to no field.
    pub(super) problems: Vec<Told>,
    pub(super) saved: Option<u64>,
    /// The number of the change by which one was just taken back.
    pub(super) back: Option<u64>,
    /// What is said where nothing was saved, because of problems or of somebody else's change.
    pub(super) refused: &'static str,
    /// Whether it is an entry of a list, which can be taken out.
    pub(super) is_entry: bool,
    pub(super) is_new: bool,
    /// Whether the file as a whole may go.
    pub(super) may_go: bool,
    pub(super) is_there: bool,
    pub(super) has_fields: bool,
    /// Where a dog or a litter gets another short name.
    pub(super) rename: Option<String>,
    /// Where a dog gets a picture.
    pub(super) picture: Option<String>,
    /// Where a puppy or a litter is taken out with all that names it.
    pub(super) take_out: Option<String>,
    /// The daily page of the litter that it belongs to.
    pub(super) litter: Option<String>,
}

/// What was sent and not saved.
#[derive(Debug, Default)]
pub(super) struct Unsaved {
    pub(super) was: Texts,
    /// What was typed; nothing where a button was pressed that sends no fields.
    pub(super) new: Option<Texts>,
    pub(super) twice: Texts,
    pub(super) mark: String,
    pub(super) problems: Vec<Located>,
    /// The texts that they stand in.
    pub(super) sources: Sources,
    /// Where the problems stand.
    pub(super) path: Vec<Step>,
    /// What is said beside them.
    pub(super) words: Vec<Told>,
}

/// What is said where what was typed stands in its fields again.
pub(super) const KEPT: &str = "What is in the way stands below; what you typed is still here.";

/// The page.
pub(super) fn page(desk: &Desk, file: &str, asked: &FormQuery) -> Response {
    let spot = match Spot::find(&desk.content(), file, &asked.at) {
        Ok(spot) => spot,
        Err(lost) => return not_shown(file, &lost),
    };
    match of(desk, &spot, asked, None) {
        Some(view) => page::render(StatusCode::OK, "form.html", &view),
        None => page::lost(),
    }
}

/// What stands in place of a form.
pub(super) fn not_shown(file: &str, lost: &Lost) -> Response {
    match lost {
        Lost::Nothing => page::lost(),
        Lost::Broken => Redirect::to(&format!("/-desk/text/{file}")).into_response(),
    }
}

/// The view of a place; nothing when an entry is to be added where there is no list.
pub(super) fn of(
    desk: &Desk,
    spot: &Spot,
    asked: &FormQuery,
    unsaved: Option<&Unsaved>,
) -> Option<FormPage> {
    let content = desk.content();
    let is_new = asked.add.is_some();
    let (kind, nothing) = match (&spot.kind, is_new) {
        (Kind::List(entry), true) => (entry.as_ref(), Written::Nothing),
        (_, true) => return None,
        (kind, false) => (kind, Written::Nothing),
    };
    let here = if is_new { &nothing } else { spot.here() };
    let (heading, above) = around(&content, spot, is_new);
    let at = address(&spot.whole, &spot.path);
    let add = if is_new { "&add=1" } else { "" };
    let mut view = FormPage {
        title: heading,
        above,
        action: format!("/-desk/form/{}?at={at}{add}", spot.file),
        token: desk.gate.token(),
        file: spot.file.clone(),
        saved: asked.saved,
        back: asked.back,
        is_entry: !is_new && matches!(spot.path.last(), Some(Step::Index(_))),
        is_new,
        may_go: spot.path.is_empty()
            && spot.is_there
            && ["dog", "note", "page", "weights", "health"].contains(&spot.record),
        is_there: spot.is_there,
        rename: renaming(spot).filter(|_| !is_new),
        picture: picture(spot).filter(|_| !is_new),
        take_out: taking_out(spot).filter(|_| !is_new),
        litter: spot
            .litter()
            .map(|litter| format!("/-desk/litters/{litter}")),
        at,
        ..FormPage::default()
    };
    if let (Kind::List(_), false) = (&spot.kind, is_new) {
        view.items = vec![list(spot, &spot.path, "Entries", "")];
        if let Some(unsaved) = unsaved {
            view.refused = "What is in the way stands below.";
            view.problems = told(unsaved);
        }
        return Some(view);
    }
    let form = fields(kind, here, &weighed(&content, spot))?;
    fill(&mut view, &content, spot, &form, here, unsaved);
    Some(view)
}

/// The puppies that an entry of this record may name as keys.
pub(super) fn weighed(content: &Path, spot: &Spot) -> Vec<(String, String)> {
    match (spot.record, spot.litter()) {
        ("weights", Some(litter)) => puppies(content, litter),
        _ => Vec::new(),
    }
}

fn told(unsaved: &Unsaved) -> Vec<Told> {
    let located = unsaved.problems.iter().map(|one| Told::of(one, false));
    unsaved.words.iter().cloned().chain(located).collect()
}

fn fill(
    view: &mut FormPage,
    content: &Path,
    spot: &Spot,
    form: &Form,
    here: &Written,
    unsaved: Option<&Unsaved>,
) {
    let standing = filled(form, here);
    let nothing = Unsaved::default();
    let sent = unsaved.unwrap_or(&nothing);
    let (at_fields, others) =
        at_fields(&sent.problems, &sent.sources, &spot.file, &sent.path, form);
    let (texts, was) = match &sent.new {
        Some(new) => (new, &sent.was),
        None => (&standing, &standing),
    };
    view.items = Filling {
        content,
        spot,
        texts,
        twice: &sent.twice,
        problems: &at_fields,
        lists: !view.is_new,
    }
    .items(form);
    view.has_fields = view.items.iter().any(|item| item.what != "list");
    view.was = serde_json::to_string(was).unwrap_or_default();
    view.mark = match &sent.new {
        Some(_) => sent.mark.clone(),
        None => mark(here),
    };
    view.problems = sent.words.iter().cloned().chain(others).collect();
    view.refused = match unsaved {
        None => "",
        Some(_) if !sent.twice.is_empty() => {
            "Somebody changed the same field meanwhile. Both stand below: choose, and save again."
        }
        Some(Unsaved { new: Some(_), .. }) => KEPT,
        Some(_) => "What is in the way stands below.",
    };
}

/// Where the record of this page gets another short name, which is that of its file.
fn renaming(spot: &Spot) -> Option<String> {
    let name = match spot.record {
        "dog" => spot.file.strip_prefix("dogs/")?.strip_suffix(".yaml")?,
        "litter" => spot.litter()?,
        _ => return None,
    };
    let is_whole = spot.path.is_empty() && spot.is_there;
    is_whole.then(|| format!("/-desk/rename/{}/{name}", spot.record))
}

/// Where the dog of this page gets a picture.
fn picture(spot: &Spot) -> Option<String> {
    let dog = spot.file.strip_prefix("dogs/")?.strip_suffix(".yaml")?;
    let is_whole = spot.path.is_empty() && spot.is_there;
    is_whole.then(|| format!("/-desk/dogs/{dog}/picture"))
}

/// Where a puppy or a litter is taken out with all that names it, on its own page.
fn taking_out(spot: &Spot) -> Option<String> {
    let litter = spot.litter().filter(|_| spot.record == "litter")?;
    let [Step::Key(list), Step::Index(_)] = &spot.path[..] else {
        let is_whole = spot.path.is_empty() && spot.is_there;
        return is_whole.then(|| format!("/-desk/litters/{litter}/take-out"));
    };
    let id: Id = spot.here().get("id")?.text()?.parse().ok()?;
    (list == "puppies").then(|| format!("/-desk/litters/{litter}/puppies/{id}/take-out"))
}

/// What a page is called, and the pages above it.
fn around(content: &Path, spot: &Spot, is_new: bool) -> (String, Vec<Link>) {
    let record = record_title(content, &spot.file, spot.record, &spot.whole);
    let link = |at: &str, words: &str| Link {
        place: match at {
            "" => format!("/-desk/form/{}", spot.file),
            at => format!("/-desk/form/{}?at={at}", spot.file),
        },
        words: words.to_owned(),
    };
    let records = match spot.litter() {
        Some(litter) => Link {
            place: format!("/-desk/records?litter={litter}"),
            words: said(content, &format!("litters/{litter}/litter.yaml"), "name")
                .unwrap_or_else(|| litter.to_owned()),
        },
        None => Link {
            place: "/-desk/records".to_owned(),
            words: "Records".to_owned(),
        },
    };
    let mut above = vec![records];
    let record = match (spot.record, spot.path.is_empty()) {
        ("litter", false) => "The litter".to_owned(),
        _ => record,
    };
    let mut names = vec![(String::new(), record)];
    let mut kind = shape::of(spot.record);
    for depth in 0..spot.path.len() {
        let path = &spot.path[..=depth];
        let (name, inner) = match (kind, &spot.path[depth]) {
            (Some(Kind::Block(form)), Step::Key(key)) => {
                let field = form.field(key);
                let name = field.map_or_else(|| shape::in_words(key), |field| field.label.clone());
                (Some(name), field.map(|field| field.kind.clone()))
            }
            (Some(Kind::List(entry)), _) => {
                let entry_title = spot.whole.at(path).map(|entry| entry_title(spot, entry));
                (entry_title, Some(*entry))
            }
            _ => (None, None),
        };
        kind = inner;
        // A list of a record stands on the record's own page.
        if let Some(name) = name {
            names.push((address(&spot.whole, path), name));
        }
    }
    if is_new {
        names.push((String::new(), "New entry".to_owned()));
    }
    let heading = names.pop().map(|(_, name)| name).unwrap_or_default();
    above.extend(names.iter().map(|(at, name)| link(at, name)));
    (heading, above)
}

fn entry_title(spot: &Spot, entry: &Written) -> String {
    let name = entry
        .get("name")
        .or_else(|| entry.get("id"))
        .and_then(Written::text);
    match name {
        Some(name) if entry.get("id").is_some() => shape::in_words(name),
        _ if spot.record == "weights" => entry.get("at").and_then(Written::text).map_or_else(
            || view::title(entry),
            |at| format!("Weigh-in of {}", days_said(at)),
        ),
        _ => title(entry),
    }
}

/// What a record is called.
pub(super) fn record_title(content: &Path, file: &str, record: &str, whole: &Written) -> String {
    let text = |key: &str| whole.get(key).and_then(Written::text).map(str::to_owned);
    let last = file.rsplit('/').next().unwrap_or_default();
    let stem = last.rsplit_once('.').map_or(last, |(stem, _)| stem);
    let of_litter = |what: &str| {
        let litter = file.split('/').nth(1).unwrap_or_default();
        let name = said(content, &format!("litters/{litter}/litter.yaml"), "name");
        format!("{what}: {}", name.unwrap_or_else(|| litter.to_owned()))
    };
    match record {
        "kennel" => "Kennel".to_owned(),
        "care-plan" => "Care plan".to_owned(),
        "owners" => "Families and waiting list".to_owned(),
        "weights" => of_litter("Weights"),
        "health" => of_litter("Health"),
        "note" | "page" => text("title").unwrap_or_else(|| shape::in_words(stem)),
        _ => text("name").unwrap_or_else(|| shape::in_words(stem)),
    }
}
