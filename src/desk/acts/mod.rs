//! The daily acts: what a keeper does most often, each with a page made for it.
//!
//! In: the address of a page and the records; later the fields that were sent. Out: an [`ActPage`]
//! for the one template of all acts; or changes of files, made at once through `app::recording`,
//! from the records as they stand under the lock. An act is a page and a function, side by side in
//! a file of its own, and a row in [`ACTS`].
//!
//! Never: an amount of a medicine that was computed here, a name that was typed and becomes a path
//! without having been read as a name of the records.

#![allow(
    clippy::unnecessary_wraps,
    reason = "all acts have pages of one type, and some are always there"
)]

mod births;
mod dogs;
mod families;
mod form;
mod from_phone;
mod from_sheet;
mod health;
mod homes;
pub(crate) mod kennel;
mod loss;
mod newborns;
mod not_alive;
mod notes;
mod of_late;
mod offer;
mod pictures;
mod portrait;
mod pregnancy;
mod returned;
mod taken_out;
mod today;
mod twice;
mod values;
mod ways;
mod weights;
mod whom;

pub(crate) use form::{ActField, ActFields, ActForm, ActLink, ActPage, AskedSlips, Group, Upload};
pub(crate) use from_phone::{
    Decided, EntryAnswer, NotedBirth, PhoneAct, PhoneEntry, PhoneTaken, Taking, found_again,
    marked, take, take_back_entry,
};
pub(crate) use pictures::file_at;
pub(crate) use values::encoded;
pub(crate) use ways::ways_of_command;

use crate::Error;
use crate::app::adding::asked;
use crate::app::folder::Folder;
use crate::app::recording::{Done, FileChange, Mode, Refused, Stop, Work, record};
use crate::app::terminal;
use crate::husbandry::{self, Figures};
use crate::quantity::{Id, Moment, capital};
use crate::records::changing::Change;
use crate::records::health::HealthKind;
use crate::records::litter::Puppy;
use crate::records::problem::Severity;
use crate::records::{LitterFolder, Loaded, Records};
use form::AskedSlip;
use std::collections::VecDeque;
use std::sync::{Mutex, PoisonError};

/// Below what all addresses of acts stand.
pub(crate) const ROOT: &str = "/-desk/";

/// One act.
pub(crate) struct Act {
    /// Its address below [`ROOT`]; `{litter}`, `{puppy}` and the like stand for names.
    pub(crate) path: &'static str,
    /// What it is called in the history.
    what: &'static str,
    /// Its page; nothing when what it is about is not there.
    page: fn(&Scene<'_>) -> Option<ActPage>,
    /// What is to be recorded.
    make: fn(&Scene<'_>, &ActFields) -> Result<Made, Halt>,
}

/// All acts.
pub(crate) const ACTS: &[Act] = &[
    births::LITTER,
    ways::START,
    ways::LITTER,
    today::TODAY,
    health::TEND,
    weights::WEIGH,
    weights::CORRECT,
    offer::OFFER,
    homes::HOME,
    homes::WAITING,
    families::FAMILY,
    newborns::NEWBORNS,
    loss::LOSS,
    returned::RETURNED,
    taken_out::TAKEN_OUT,
    taken_out::LITTER,
    notes::NOTE,
    pregnancy::PREGNANCY,
    births::BIRTH,
    dogs::DOG,
    portrait::PORTRAIT,
    dogs::STAYS,
    pictures::PICTURES,
    from_sheet::FROM_SHEET,
];

/// What is to be recorded, and where to go then.
pub(crate) struct Made {
    files: Vec<FileChange>,
    to: String,
}

impl Made {
    /// Changes of records; one of which nothing changes is left out.
    fn changed(files: impl IntoIterator<Item = (String, Vec<Change>)>, to: String) -> Self {
        let files = files.into_iter();
        let files = files.filter(|(_, changes)| !changes.is_empty());
        Self {
            files: files.map(|(file, of)| (file, Work::Changed(of))).collect(),
            to,
        }
    }

    /// Changes of the record of a litter, whose page comes then.
    fn of_litter(litter: &LitterFolder, changes: Vec<Change>) -> Self {
        Self::changed(
            [(litter.file("litter.yaml"), changes)],
            at(&litter.id, None, ""),
        )
    }
}

/// Why nothing is recorded yet.
pub(crate) enum Halt {
    /// Something is missing or wrong.
    Slips(AskedSlips),
    /// Something is shown first.
    Show(Box<ActPage>),
    /// What would be recorded is shown first, and is tried: what is wrong of it is told in its
    /// place.
    Look(Box<ActPage>, Vec<FileChange>),
    /// What it is about is not there.
    Gone,
}

impl From<AskedSlips> for Halt {
    fn from(slips: AskedSlips) -> Self {
        Self::Slips(slips)
    }
}

impl From<Refused> for Halt {
    fn from(refused: Refused) -> Self {
        Self::Slips(refused.into())
    }
}

/// The records, and what an address names.
pub(crate) struct Scene<'a> {
    loaded: &'a Loaded,
    records: &'a Records,
    figures: &'a Figures<'a>,
    /// The time now on the kennel's wall.
    now: Moment,
    ids: &'a [(&'static str, Id)],
    query: &'a ActFields,
}

impl<'a> Scene<'a> {
    fn id(&self, name: &str) -> Option<&'a Id> {
        let named = self.ids.iter().find(|(known, _)| *known == name);
        named.map(|(_, id)| id)
    }

    fn litter(&self) -> Option<&'a LitterFolder> {
        self.records.litters.get(self.id("litter")?)
    }

    fn puppy(&self) -> Option<(&'a LitterFolder, usize, &'a Puppy)> {
        let litter = self.litter()?;
        let id = self.id("puppy")?;
        let at = litter.litter.puppies.iter().position(|p| p.id == *id)?;
        Some((litter, at, &litter.litter.puppies[at]))
    }

    /// Whether all of a file could be read, so that what stands in it is counted as it stands.
    fn is_read_whole(&self, file: &str) -> bool {
        self.loaded.problems.iter().all(|located| {
            let problem = &located.problem;
            problem.severity != Severity::Error || problem.place.file != file
        })
    }

    /// The latest time at which something can have been weighed.
    fn latest(&self) -> Moment {
        terminal::latest_time(&self.records.kennel, self.now)
    }

    /// Whether weights are shown in pounds and ounces.
    fn ounces(&self) -> bool {
        self.records.kennel.is_read_in_ounces()
    }

    /// Name of the dam, as she is called.
    fn dam(&self, litter: &LitterFolder) -> String {
        let dam = self.records.dogs.get(&litter.litter.dam);
        dam.map_or_else(
            || litter.litter.dam.to_string(),
            |dog| dog.shown_name().to_string(),
        )
    }
}

/// The act of an address, and the names in it.
pub(crate) fn find(path: &str) -> Option<(&'static Act, Vec<(&'static str, Id)>)> {
    let path = path.strip_prefix(ROOT)?;
    ACTS.iter().find_map(|act| Some((act, act.ids(path)?)))
}

impl Act {
    /// Whether files can be sent to it.
    pub(crate) fn takes_files(&self) -> bool {
        self.takes_pictures() || self.path == from_sheet::FROM_SHEET.path
    }

    fn takes_pictures(&self) -> bool {
        [pictures::PICTURES.path, portrait::PORTRAIT.path].contains(&self.path)
    }

    fn ids(&self, path: &str) -> Option<Vec<(&'static str, Id)>> {
        let (mut own, mut given) = (self.path.split('/'), path.split('/'));
        let mut ids = Vec::new();
        loop {
            match (own.next(), given.next()) {
                (None, None) => return Some(ids),
                (Some(own), Some(given)) => {
                    match own.strip_prefix('{').and_then(|own| own.strip_suffix('}')) {
                        Some(name) => ids.push((name, given.parse().ok()?)),
                        None if own == given => {}
                        None => return None,
                    }
                }
                _ => return None,
            }
        }
    }
}

/// What is said of changes that were made lately, until their pages are shown: what was recorded,
/// and what is odd of it.
#[derive(Debug, Default)]
pub(crate) struct ActNotice(Mutex<VecDeque<(u64, Vec<String>)>>);

impl ActNotice {
    const MOST: usize = 50;

    pub(crate) fn keep(&self, number: u64, words: Vec<String>) {
        let mut told = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        told.push_front((number, words));
        told.truncate(Self::MOST);
    }

    fn of(&self, number: u64) -> Vec<String> {
        let told = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        let known = told.iter().find(|(known, _)| *known == number);
        known.map(|(_, words)| words.clone()).unwrap_or_default()
    }
}

/// What is answered.
pub(crate) enum ActAnswer {
    Page(Box<ActPage>),
    /// It was not recorded; the page says why.
    Again(Box<ActPage>),
    /// It was recorded: the address to go on to.
    Done(String),
    /// What it is about is not there.
    Gone,
}

/// Shows the page of an act.
pub(crate) fn show(
    loaded: &Loaded,
    told: &ActNotice,
    (act, ids): (&'static Act, &[(&'static str, Id)]),
    query: &ActFields,
) -> ActAnswer {
    let page = with_scene(loaded, ids, query, |scene| (act.page)(scene));
    let Some(mut page) = page.flatten() else {
        return ActAnswer::Gone;
    };
    if let Some(number) = query.get("saved").and_then(|number| number.parse().ok()) {
        page.number = Some(number);
        let said = told.of(number);
        if said.is_empty() {
            // It was recorded by another run of the desk.
            page.said
                .push(format!("Recorded. It is change {number} of the history."));
        }
        page.said.extend(said);
    } else if query.get("saved").is_some() {
        page.said
            .insert(0, "It stands so already; nothing was changed.".to_owned());
    }
    ActAnswer::Page(Box::new(page))
}

fn with_scene<T>(
    loaded: &Loaded,
    ids: &[(&'static str, Id)],
    query: &ActFields,
    ask: impl FnOnce(&Scene<'_>) -> T,
) -> Option<T> {
    let records = loaded.records.as_ref()?;
    let figures = husbandry::compute(records);
    Some(ask(&Scene {
        loaded,
        records,
        figures: &figures,
        now: terminal::wall_time(&records.kennel),
        ids,
        query,
    }))
}

/// Records what was sent from the page of an act.
pub(crate) fn submit(
    folder: &Folder,
    told: &ActNotice,
    (act, ids): (&'static Act, &[(&'static str, Id)]),
    query: &ActFields,
    (given, mode): (ActFields, Mode),
) -> Result<ActAnswer, Error> {
    let is_sheet = act.path == from_sheet::FROM_SHEET.path;
    let given = &if is_sheet {
        from_sheet::as_text(given)
    } else {
        given
    };
    let mode = if is_sheet && from_sheet::is_look(given) {
        Mode::Try
    } else {
        mode
    };
    let again = |slips: Vec<AskedSlip>| -> Result<ActAnswer, Error> {
        let loaded = folder.records()?;
        let page = with_scene(&loaded, ids, query, |scene| (act.page)(scene)).flatten();
        Ok(page.map_or(ActAnswer::Gone, |page| {
            ActAnswer::Again(Box::new(page.again(given, slips)))
        }))
    };
    // Decoding takes a while: it is done before the lock is taken.
    if act.takes_pictures()
        && let Err(AskedSlips(slips)) = pictures::checked(&given.files)
    {
        return again(slips);
    }
    let what = in_words(act, ids, given);
    let mut to = String::new();
    let mut looked = None;
    let asked = asked("desk", &what);
    let done = record::<Halt>(folder, &asked, mode, |standing| {
        let made = with_scene(standing.now, ids, query, |scene| (act.make)(scene, given));
        match made.unwrap_or(Err(Halt::Gone)) {
            Ok(made) => {
                to = made.to;
                Ok(made.files)
            }
            Err(Halt::Look(page, files)) => {
                looked = Some(page);
                Ok(files)
            }
            Err(halt) => Err(Stop::Refused(halt)),
        }
    })?;
    if let (Ok(_), Some(page)) = (&done, looked) {
        return Ok(ActAnswer::Page(page));
    }
    match done {
        Ok(done) => Ok(ActAnswer::Done(way((&to, &what), told, &done))),
        Err(Halt::Slips(AskedSlips(slips))) => again(slips),
        Err(Halt::Show(page) | Halt::Look(page, _)) => Ok(ActAnswer::Page(page)),
        Err(Halt::Gone) => Ok(ActAnswer::Gone),
    }
}

/// Looks at files as the desk does before it takes them in; why they cannot be.
pub(crate) fn looked_over(given: &ActFields) -> Result<(), String> {
    pictures::checked(&given.files).map_err(|AskedSlips(slips)| {
        let words = slips.iter().map(|slip| slip.message.as_str());
        words.collect::<Vec<_>>().join("; ")
    })
}

/// What was asked for, as the history and the next page call it.
fn in_words(act: &Act, ids: &[(&'static str, Id)], given: &ActFields) -> String {
    let called = |id: &str| capital(&id.replace('-', " "));
    let of_kind = given.get("kind").and_then(HealthKind::of_key);
    let what = match of_kind.filter(|_| act.path == health::TEND.path) {
        Some(_) if given.get("act") == Some("excuse") => health::kind_words(HealthKind::Excused),
        Some(kind) => health::kind_words(kind),
        None => act.what,
    };
    let mut about = vec![what.to_owned()];
    // The puppy stands before its litter.
    about.extend(ids.iter().rev().map(|(_, id)| called(id.as_str())));
    // What is new has no name in the address.
    let names = ["call_name", "name", "title"];
    let is_new = act.path.ends_with("new") || act.path == births::BIRTH.path;
    if let Some(name) = names.iter().find_map(|key| given.get(key))
        && is_new
    {
        about.push(name.replace(['\r', '\n'], " "));
    }
    about.extend(given.names("for").map(called));
    about.join(", ")
}

/// Where to go when a change was made, and what that was in words.
fn way((to, what): (&str, &str), told: &ActNotice, done: &Done) -> String {
    let sign = if to.contains('?') { '&' } else { '?' };
    let Some(number) = done.number else {
        return format!("{to}{sign}saved=none");
    };
    let words = done.warnings.iter().map(|warning| {
        let problem = &warning.problem;
        format!("{}; {}", problem.message, problem.hint)
    });
    let recorded = format!("Recorded. It is change {number} of the history: {what}.");
    told.keep(number, std::iter::once(recorded).chain(words).collect());
    format!("{to}{sign}saved={number}")
}

/// The address of an act of a litter, or of one of its puppies.
fn at(litter: &Id, puppy: Option<&Id>, act: &str) -> String {
    match puppy {
        Some(puppy) => format!("{ROOT}litters/{litter}/puppies/{puppy}/{act}"),
        None if act.is_empty() => format!("{ROOT}litters/{litter}"),
        None => format!("{ROOT}litters/{litter}/{act}"),
    }
}

/// A page about a litter, with the way back to it.
fn page_of(litter: &LitterFolder, title: impl Into<String>) -> ActPage {
    ActPage {
        above: litter.litter.name.to_string(),
        title: title.into(),
        links: vec![ActLink::new("To the litter", at(&litter.id, None, ""))],
        ..ActPage::default()
    }
}

#[cfg(test)]
mod tests;
