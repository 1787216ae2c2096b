//! Reads every file of the content folder.
//!
//! In: the folder. Out: [`Loaded`]: the records, when nothing in them is wrong beyond repair, the texts, and all problems. Links are not followed, strange
//! names and huge files are pointed out, and a file that is none of ours is never silently passed over.

use super::known::Known;
use super::listing::{Listed, Listing, What};
use super::note::{Note, Page};
use super::one_file::{Content, FileRead, Kind, ToRead};
use super::photo::{self, PhotoFile};
use super::print::{Print, Printing};
use super::problem::{Located, Place, Problem, Severity, locate};
use super::source::Sources;
use super::{LitterFolder, Records, WeighIn, care_plan, checks, dog, health, kennel, litter, owners, reading};
use crate::quantity::{Day, Id, Text};
use chrono::{DateTime, Utc};
use rayon::prelude::*;
use std::{
    collections::{BTreeMap, BTreeSet},
    path::Path,
};

/// What was found in a content folder.
#[derive(Debug)]
pub struct Loaded {
    /// The records; nothing when `kennel.yaml` could not be read.
    pub records: Option<Records>,
    /// All problems, sorted by file and place.
    pub problems: Vec<Located>,
    /// The texts the problems stand in.
    pub sources: Sources,
    /// The weigh-ins, to be known the next time.
    pub known: Known,
    /// What was read of each file.
    pub prints: BTreeMap<String, Print>,
}

impl Loaded {
    /// Nothing read yet.
    #[must_use]
    pub fn nothing() -> Self {
        Self { records: None, problems: Vec::new(), sources: Sources::default(), known: Known::default(), prints: BTreeMap::new() }
    }

    /// Whether any problem keeps the records from being published.
    #[must_use]
    pub fn has_errors(&self) -> bool {
        self.problems.iter().any(|p| p.problem.severity == Severity::Error)
    }

    /// Adds problems that were found later, such as those of pictures.
    #[must_use]
    pub fn with(mut self, more: Vec<Problem>) -> Self {
        let known = self.problems.into_iter().map(|l| l.problem);
        self.problems = locate(known.chain(more).collect(), &self.sources);
        self
    }
}

/// Reads and checks a content folder. Today is the day of `now` in the kennel's time zone, unless the kennel pins it with `as_of`.
///
/// # Errors
/// Only when the folder itself cannot be listed; whatever is wrong inside it is a problem.
pub fn load(content: &Path, now: DateTime<Utc>) -> Result<Loaded, crate::Error> {
    load_with(content, now, &BTreeMap::new())
}

/// The same for a folder that was listed, with what an earlier run read.
#[must_use]
pub fn load_knowing(content: &Path, listing: &Listing, now: DateTime<Utc>, known: &Known) -> Loaded {
    load_all(content, listing, now, &BTreeMap::new(), known)
}

/// The same, as if some record files had another text: what would be said of them, before anything is written.
///
/// # Errors
/// Only when the folder itself cannot be listed.
pub fn load_with(content: &Path, now: DateTime<Utc>, instead: &BTreeMap<String, String>) -> Result<Loaded, crate::Error> {
    let listing = Listing::of(content).map_err(|source| crate::Error::io("read the content folder", content, source))?;
    Ok(load_all(content, &listing, now, instead, &Known::default()))
}

/// The content folder as if it were otherwise.
#[derive(Debug, Clone, Default)]
pub struct AsIf {
    /// Records with another text, be they there already or not.
    pub texts: BTreeMap<String, String>,
    /// Files that are gone.
    pub gone: BTreeSet<String>,
    /// Files and folders that have another name. Records among them have their text above, under the new name.
    pub moved: Vec<(String, String)>,
}

/// Reads and checks a content folder as if it were otherwise: what would be said of it, before anything is written.
///
/// # Errors
/// Only when the folder itself cannot be listed.
pub fn load_as(content: &Path, now: DateTime<Utc>, as_if: &AsIf) -> Result<Loaded, crate::Error> {
    let mut listing = Listing::of(content).map_err(|source| crate::Error::io("read the content folder", content, source))?;
    listing.entries.retain(|listed| !as_if.gone.contains(&listed.below(content)));
    for listed in &mut listing.entries {
        let below = listed.below(content);
        let moved = as_if.moved.iter().find_map(|(from, to)| {
            let rest = below.strip_prefix(from.as_str()).filter(|rest| rest.is_empty() || rest.starts_with('/'))?;
            Some(content.join(format!("{to}{rest}")))
        });
        listed.path = moved.unwrap_or_else(|| std::mem::take(&mut listed.path));
    }
    for file in as_if.texts.keys() {
        let above = file.rsplit_once('/').map(|(folder, _)| (content.join(folder), What::Folder));
        for (path, what) in above.into_iter().chain([(content.join(file), What::File(None))]) {
            if listing.entries.iter().all(|listed| listed.path != path) {
                listing.entries.push(Listed { path, what });
            }
        }
    }
    listing.entries.sort_by(|one, other| one.path.cmp(&other.path));
    Ok(load_all(content, &listing, now, &as_if.texts, &Known::default()))
}

fn load_all(content: &Path, listing: &Listing, now: DateTime<Utc>, instead: &BTreeMap<String, String>, known: &Known) -> Loaded {
    let mut found = Found::default();
    let files = found.sort_out(content, listing);
    let read: Vec<FileRead> = files.into_par_iter().map(|file| FileRead::new(file, instead, known)).collect();
    for file in read {
        found.take(file);
    }
    let (known, prints) = (std::mem::take(&mut found.known), std::mem::take(&mut found.prints));
    let (records, sources, problems) = found.assemble(now);
    let problems = locate(problems, &sources);
    Loaded { records, problems, sources, known, prints }
}

/// Everything found so far.
#[derive(Default)]
struct Found {
    kennel: Option<kennel::Kennel>,
    kennel_file: bool,
    care_plan: care_plan::CarePlan,
    owners: owners::Owners,
    dogs: BTreeMap<Id, dog::Dog>,
    litters: BTreeMap<Id, Option<litter::Litter>>,
    weights: BTreeMap<Id, Vec<WeighIn>>,
    health: BTreeMap<Id, Vec<health::Entry>>,
    notes: BTreeMap<Id, Vec<Note>>,
    pages: Vec<Page>,
    pictures: BTreeMap<Id, Vec<PhotoFile>>,
    dog_pictures: BTreeMap<String, PhotoFile>,
    folders: BTreeSet<Id>,
    sources: Sources,
    problems: Vec<Problem>,
    known: Known,
    prints: BTreeMap<String, Print>,
    shared: Printing,
    own: BTreeMap<Id, Printing>,
}

impl Found {
    /// Sorts out what is in the folder: record files to read, pictures, and problems of what is neither.
    fn sort_out(&mut self, content: &Path, listing: &Listing) -> Vec<ToRead> {
        let mut files = Vec::new();
        for Listed { path, what } in &listing.entries {
            if let What::Unreadable(why) = what {
                let message = format!("this cannot be read: {why}");
                self.problems.push(Problem::error("file-unreadable", Place::file(&shown_path(content, path)), message, "look at its permissions"));
                continue;
            }
            let Some(file) = plain_path(content, path) else {
                let shown = shown_path(content, path);
                let hint = "rename it with letters, digits and `-`";
                self.problems.push(Problem::error(
                    "name-strange",
                    Place::file(&shown),
                    "this name holds characters that cannot be seen or are no text",
                    hint,
                ));
                continue;
            };
            match what {
                What::Link => {
                    let hint = "put the file itself here; links are not followed";
                    self.problems.push(Problem::error("symbolic-link", Place::file(&file), "this is a link to another place", hint));
                }
                What::Folder => {
                    if let ["litters", id] = file.split('/').collect::<Vec<_>>()[..]
                        && let Some(id) = self.id_of(&file, id)
                    {
                        self.folders.insert(id);
                    }
                }
                What::File(print) => {
                    if let Some(kind) = self.classify(&file, path) {
                        files.push(ToRead { file, path: path.clone(), print: *print, kind });
                    }
                }
                What::Strange | What::Unreadable(_) => {
                    self.problems.push(Problem::error(
                        "not-a-file",
                        Place::file(&file),
                        "this is neither a file nor a folder",
                        "take it out of the content folder",
                    ));
                }
            }
        }
        files
    }

    fn id_of(&mut self, file: &str, name: &str) -> Option<Id> {
        match name.parse() {
            Ok(id) => Some(id),
            Err(why) => {
                self.problems.push(Problem::unreadable(Place::file(file), why));
                None
            }
        }
    }

    fn classify(&mut self, file: &str, path: &Path) -> Option<Kind> {
        let parts: Vec<&str> = file.split('/').collect();
        let stem = |name: &str, ending: &str| name.strip_suffix(ending).map(str::to_owned);
        let picture = |puppy, private| PhotoFile { file: file.to_owned(), path: path.to_owned(), puppy, private };
        match parts[..] {
            ["kennel.yaml"] => {
                self.kennel_file = true;
                Some(Kind::Kennel)
            }
            ["care-plan.yaml"] => Some(Kind::CarePlan),
            ["owners.yaml"] => Some(Kind::Owners),
            ["README.md"] => None,
            ["dogs", name] if name.ends_with(".yaml") => self.id_of(file, &stem(name, ".yaml")?).map(Kind::Dog),
            ["dogs", name] if is_picture(name) => {
                self.dog_pictures.insert(name.to_owned(), picture(None, false));
                None
            }
            ["litters", litter, "litter.yaml"] => litter.parse().ok().map(Kind::Litter),
            ["litters", litter, "weights.yaml"] => litter.parse().ok().map(Kind::Weights),
            ["litters", litter, "health.yaml"] => litter.parse().ok().map(Kind::Health),
            ["litters", litter, "notes", name] if name.ends_with(".md") => {
                let slug = self.id_of(file, &stem(name, ".md")?)?;
                litter.parse().ok().map(|litter| Kind::Note(litter, slug))
            }
            ["litters", litter, folder @ ("photos" | "photos-private"), name] if is_picture(name) => {
                if let Ok(litter) = litter.parse() {
                    self.pictures.entry(litter).or_default().push(picture(None, folder == "photos-private"));
                }
                None
            }
            ["pages", name] if name.ends_with(".md") => self.id_of(file, &stem(name, ".md")?).map(Kind::Page),
            _ => {
                self.problems.push(unknown_file(file, &parts));
                None
            }
        }
    }

    fn take(&mut self, read: FileRead) {
        self.problems.extend(read.problems);
        read.of.map_or(&mut self.shared, |litter| self.own.entry(litter).or_default()).add(&read.file, read.print);
        if let Some(print) = read.print {
            self.prints.insert(read.file.clone(), print);
            if let Some(kept) = read.kept {
                self.known.remember(print, kept);
            }
        }
        if let Some(source) = read.source {
            self.sources.insert_read(read.file, source);
        }
        match read.content {
            Some(Content::Kennel(kennel)) => self.kennel = kennel,
            Some(Content::CarePlan(plan)) => self.care_plan = plan.unwrap_or_default(),
            Some(Content::Owners(owners)) => self.owners = owners.unwrap_or_default(),
            Some(Content::Dog(id, Some(dog))) => _ = self.dogs.insert(id, dog),
            Some(Content::Litter(id, litter)) => _ = self.litters.insert(id, litter),
            Some(Content::Weights(id, weights)) => _ = self.weights.insert(id, weights),
            Some(Content::Health(id, health)) => _ = self.health.insert(id, health),
            Some(Content::Note(id, Some(note))) => self.notes.entry(id).or_default().push(note),
            Some(Content::Page(Some(page))) => self.pages.push(page),
            Some(Content::Dog(_, None) | Content::Note(_, None) | Content::Page(None)) | None => {}
        }
    }

    fn assemble(mut self, now: DateTime<Utc>) -> (Option<Records>, Sources, Vec<Problem>) {
        if !self.kennel_file {
            let hint = "`litterfolio begin` makes a folder with one";
            self.problems.push(Problem::error("kennel-missing", Place::file("kennel.yaml"), "there is no `kennel.yaml`", hint));
        }
        for folder in &self.folders {
            if !self.litters.contains_key(folder) {
                let file = format!("litters/{folder}/litter.yaml");
                let message = format!("the folder `litters/{folder}` has no `litter.yaml`");
                self.problems.push(Problem::error("litter-missing", Place::file(&file), message, "write one with `name`, `dam` and `sire`"));
            }
        }
        let mut folders = BTreeMap::new();
        for (id, litter) in std::mem::take(&mut self.litters) {
            let Some(litter) = litter else { continue };
            let mut photos = self.pictures.remove(&id).unwrap_or_default();
            for picture in &mut photos {
                let name = picture.file.rsplit('/').next().unwrap_or("");
                picture.puppy = photo::puppy_of(name, litter.puppies.iter().map(|p| &p.id)).cloned();
                if picture.puppy.is_none() && !litter.pictures.iter().any(|note| note.file.as_str() == name) {
                    self.problems.extend(nearly_a_puppys(picture, &litter.puppies));
                }
            }
            let mut notes = self.notes.remove(&id).unwrap_or_default();
            notes.sort_by(|a, b| (b.head.date, &b.slug).cmp(&(a.head.date, &a.slug)));
            let weigh_ins = self.weights.remove(&id).unwrap_or_default();
            let health = self.health.remove(&id).unwrap_or_default();
            let print = self.own.remove(&id).unwrap_or_default().done();
            folders.insert(id.clone(), LitterFolder { id, litter, weigh_ins, health, notes, photos, print });
        }
        for picture in self.dog_pictures.values() {
            self.shared.add(&picture.file, None);
        }
        self.pages.sort_by(|a, b| (a.head.order, &a.slug).cmp(&(b.head.order, &b.slug)));
        let broken: BTreeSet<String> = self.problems.iter().map(|p| p.place.file.clone()).collect();
        let today = today(self.kennel.as_ref(), now);
        let portraits = self.portraits();
        let checked = checks::Checked {
            kennel: self.kennel.as_ref(),
            dogs: &self.dogs,
            litters: &folders,
            owners: &self.owners,
            pages: &self.pages,
            care_plan: &self.care_plan,
            broken: &broken,
            today,
            clocks: checks::clocks_of(self.kennel.as_ref(), &folders, today),
        };
        self.problems.extend(checks::all(&checked));
        if self.kennel_file && self.kennel.is_none() {
            checks::settings(&self.sources, &mut self.problems);
        }
        let Self { kennel, care_plan, owners, dogs, pages, sources, problems, shared, .. } = self;
        let print = shared.done();
        let records = kennel.map(|kennel| Records { today, kennel, care_plan, dogs, litters: folders, owners, pages, portraits, print });
        (records, sources, problems)
    }

    /// Portraits by dog; a `photo:` that names no picture is a problem.
    fn portraits(&mut self) -> BTreeMap<Id, PhotoFile> {
        let mut portraits = BTreeMap::new();
        for (id, dog) in &self.dogs {
            let Some(wanted) = &dog.photo else { continue };
            if let Some(picture) = self.dog_pictures.get(wanted.as_str()) {
                portraits.insert(id.clone(), picture.clone());
                continue;
            }
            let names: Vec<&String> = self.dog_pictures.keys().collect();
            let hint = reading::suggestion(wanted, &names).unwrap_or_else(|| format!("put the picture beside it: dogs/{}", Id::suggest(wanted)));
            let place = Place::path(&format!("dogs/{id}.yaml"), super::problem::key_path!["photo"]);
            self.problems.push(Problem::error("photo-missing", place, format!("there is no picture `dogs/{wanted}`"), hint));
        }
        portraits
    }
}

/// The day all ages are counted to.
fn today(kennel: Option<&kennel::Kennel>, now: DateTime<Utc>) -> Day {
    let local = kennel.map_or_else(|| now.date_naive(), |k| now.with_timezone(&k.time_zone.0).date_naive());
    kennel.and_then(|k| k.as_of).unwrap_or_else(|| local.into())
}

fn is_picture(name: &str) -> bool {
    name.rsplit_once('.').is_some_and(|(_, ending)| photo::ENDINGS.contains(&ending.to_ascii_lowercase().as_str()))
}

fn unknown_file(file: &str, parts: &[&str]) -> Problem {
    let known: &[&str] = match parts {
        [_] => &["kennel.yaml", "care-plan.yaml", "owners.yaml", "dogs", "litters", "pages"],
        ["litters", _, _] => &["litter.yaml", "weights.yaml", "health.yaml", "notes", "photos", "photos-private"],
        _ => &["dogs", "litters", "pages", "notes", "photos", "photos-private"],
    };
    let written = parts.last().copied().unwrap_or("");
    let name = written.to_ascii_lowercase().replace(".yml", ".yaml");
    // Some systems hide endings, and some editors add one that is then not seen.
    let with_ending = name.strip_suffix(".txt").filter(|name| is_record(name));
    if let Some(meant) = with_ending {
        let message = format!("this file has the ending `.txt` behind its name, and so is not read as `{meant}`");
        let hint = format!("rename it to `{meant}`; your system may hide the ending `.txt`: save it from the editor as \"all files\"");
        return Problem::error("file-unknown", Place::file(file), message, hint);
    }
    let record = is_record(&name);
    let hint = parts
        .iter()
        .chain([&name.as_str()])
        .filter(|part| !known.contains(part))
        .find_map(|part| reading::nearest(part, known))
        .or_else(|| (known.contains(&name.as_str()) || (record && name != written)).then_some(name.as_str()))
        .map_or_else(
            || "the record guide lists the files of a kennel; take this one out of the content folder".to_owned(),
            |near| format!("did you mean `{near}`?"),
        );
    let message = "this file is not one of the records";
    // A record under a wrong name would be left out of the site without a word; anything else does no harm.
    if record {
        Problem::error("file-unknown", Place::file(file), message, hint)
    } else {
        Problem::warning("file-unknown", Place::file(file), message, hint)
    }
}

fn is_record(name: &str) -> bool {
    [".yaml", ".md"].iter().any(|ending| name.ends_with(ending))
}

/// A picture that belongs to no puppy although the first word of its name is one letter away from a puppy's.
fn nearly_a_puppys(picture: &PhotoFile, puppies: &[litter::Puppy]) -> Option<Problem> {
    let name = picture.name();
    let stem = name.rsplit_once('.').map_or(name, |(stem, _)| stem).to_lowercase();
    let word = stem.split(['-', '_', ' ']).next()?;
    // Of short words too many are one letter apart.
    let near = |id: &&Id| word.len() >= 4 && id.as_str() != word && strsim::damerau_levenshtein(id.as_str(), word) == 1;
    let id = puppies.iter().map(|puppy| &puppy.id).find(near)?;
    let message = format!("this picture belongs to no puppy: its name begins with `{word}`");
    let meant = format!("{id}{}", name.get(word.len()..)?);
    Some(Problem::warning("photo-name-near", Place::file(&picture.file), message, format!("if it is of `{id}`, rename it to `{meant}`")))
}

/// The path below the content folder with `/`, when every part of it is plain text.
fn plain_path(content: &Path, path: &Path) -> Option<String> {
    let below = path.strip_prefix(content).ok()?.to_str()?;
    let plain = !below.chars().any(|c| Text::forbids(c) || matches!(c, '\n' | '\r' | '\t'));
    plain.then(|| below.replace(std::path::MAIN_SEPARATOR, "/"))
}

/// The path as far as it can be shown safely.
fn shown_path(content: &Path, path: &Path) -> String {
    let below = path.strip_prefix(content).unwrap_or(path).to_string_lossy();
    below.chars().map(|c| if Text::forbids(c) || matches!(c, '\n' | '\r' | '\t') { '\u{fffd}' } else { c }).collect()
}
