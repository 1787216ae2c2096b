//! Reads every file of the content folder.
//!
//! In: the folder. Out: [`Loaded`]: the records, when nothing in them is wrong beyond repair, the
//! texts, and all problems. Links are not followed, strange names and huge files are pointed out,
//! and a file that is none of ours is never silently passed over.

use super::as_if::AsIf;
use super::file_names::{
    nearly_a_puppys, no_file, plain_path, second_picture, second_version, shown_path, unknown_file,
    unportable,
};
use super::listing::{Listed, Listing, What};
use super::loaded::{Loaded, ReadFile, ReadFiles};
use super::note::{Note, Page};
use super::one_file::{FileRead, KnownContent, RecordContent, RecordKind, ToRead, from_kept};
use super::parsed::{Parsed, ParsedTexts};
use super::photo::{self, PhotoFile, is_picture};
use super::problem::{Place, Problem};
use super::source::{Sources, locate};
use super::tracking::{self, TrackedLitters};
use super::weights::WeighIns;
use super::{
    Dogs, LitterFolder, Records, Shared, care_plan, checks, health, kennel, litter, owners, reading,
};
use crate::cache::{Digest, Digests, TrackedName};
use crate::quantity::Id;
use chrono::{DateTime, Utc};
use rayon::prelude::*;
use std::{
    collections::{BTreeMap, BTreeSet},
    io,
    path::{Path, PathBuf},
};

/// The content folder itself cannot be listed; whatever is wrong inside it is a problem.
#[derive(Debug, thiserror::Error)]
#[error("cannot read the content folder {}: {source}", folder.display())]
pub struct Unlisted {
    /// The folder.
    pub folder: PathBuf,
    /// Why not.
    pub source: io::Error,
}

fn listed(content: &Path) -> Result<Listing, Unlisted> {
    Listing::of(content).map_err(|source| Unlisted {
        folder: content.to_owned(),
        source,
    })
}

/// Reads and checks a content folder. Today is the day of `now` in the kennel's time zone, unless
/// the kennel pins it with `as_of`.
///
/// # Errors
/// Only when the folder itself cannot be listed; whatever is wrong inside it is a problem.
pub fn load(content: &Path, now: DateTime<Utc>) -> Result<Loaded, Unlisted> {
    load_with(content, now, &BTreeMap::new())
}

/// The same for a folder that was listed, with what an earlier run read. What was parsed is kept
/// for a later run while the records are put together.
#[must_use]
pub fn load_parsed(
    content: &Path,
    listing: &Listing,
    now: DateTime<Utc>,
    known: &ParsedTexts,
    keep: impl Fn(&ParsedTexts) + Sync,
) -> Loaded {
    let of_known = |_: &str, digest: Digest, kind: &RecordKind| {
        let kept = known.of(digest)?;
        Some((Some(kept.clone()), from_kept(kind, kept)?))
    };
    let none = BTreeMap::new();
    let (found, parsed) = read_all(content, listing, &none, &of_known);
    let (loaded, ()) = rayon::join(|| found.loaded(now), || keep(&parsed));
    Loaded { parsed, ..loaded }
}

/// The same, with records that were read before: only files that are other ones by now are read.
#[must_use]
pub fn load_again(
    content: &Path,
    listing: &Listing,
    now: DateTime<Utc>,
    before: &[&Loaded],
) -> Loaded {
    load_all(content, listing, now, &BTreeMap::new(), &of_any(before))
}

/// The same, as if some record files had another text: what would be said of them, before anything
/// is written.
///
/// # Errors
/// Only when the folder itself cannot be listed.
pub fn load_with(
    content: &Path,
    now: DateTime<Utc>,
    instead: &BTreeMap<String, String>,
) -> Result<Loaded, Unlisted> {
    let listing = listed(content)?;
    Ok(load_all(content, &listing, now, instead, &of_any(&[])))
}

/// Reads and checks a folder as if it were otherwise than it was listed and read before: what would
/// be said of it, before anything is written.
#[must_use]
pub fn load_as(
    content: &Path,
    listing: &Listing,
    now: DateTime<Utc>,
    as_if: &AsIf,
    before: &Loaded,
) -> Loaded {
    let listing = as_if.listing(content, listing);
    let known = &[before];
    load_all(content, &listing, now, &as_if.texts, &of_any(known))
}

/// What stands in the first of some records that have it.
fn of_any<'a>(
    before: &'a [&'a Loaded],
) -> impl Fn(&str, Digest, &RecordKind) -> Option<(Option<Parsed>, RecordContent)> + Sync + 'a {
    move |file, digest, kind| {
        let content = before
            .iter()
            .find_map(|loaded| loaded.content(file, digest, kind))?;
        Some((None, content))
    }
}

fn load_all(
    content: &Path,
    listing: &Listing,
    now: DateTime<Utc>,
    instead: &BTreeMap<String, String>,
    known: KnownContent<'_>,
) -> Loaded {
    let (found, parsed) = read_all(content, listing, instead, known);
    Loaded {
        parsed,
        ..found.loaded(now)
    }
}

/// Reads all files; what was parsed comes beside it.
fn read_all(
    content: &Path,
    listing: &Listing,
    instead: &BTreeMap<String, String>,
    known: KnownContent<'_>,
) -> (FoundSoFar, ParsedTexts) {
    let mut found = FoundSoFar::default();
    let files = found.sort_out(content, listing);
    let read: Vec<FileRead> = files
        .into_par_iter()
        .map(|file| FileRead::new(file, instead, known))
        .collect();
    let mut parsed = ParsedTexts::default();
    for mut file in read {
        if let (Some(digest), Some(kept)) = (file.digest, file.kept.take()) {
            parsed.remember(digest, kept);
        }
        found.take(file);
    }
    (found, parsed)
}

/// Everything found so far.
#[derive(Default)]
struct FoundSoFar {
    kennel: Option<kennel::Kennel>,
    kennel_file: bool,
    care_plan: care_plan::CarePlan,
    owners: owners::Owners,
    dogs: Dogs,
    litters: BTreeMap<Id, Option<Shared<litter::Litter>>>,
    weights: BTreeMap<Id, WeighIns>,
    health: BTreeMap<Id, Shared<Vec<health::HealthEntry>>>,
    notes: BTreeMap<Id, Vec<Note>>,
    pages: Vec<Page>,
    pictures: BTreeMap<Id, Vec<PhotoFile>>,
    dog_pictures: BTreeMap<String, PhotoFile>,
    folders: BTreeSet<Id>,
    sources: Sources,
    problems: Vec<Problem>,
    files: BTreeMap<String, ReadFile>,
    digests: Digests,
}

impl FoundSoFar {
    /// Sorts out what is in the folder: record files to read, pictures, and problems of what is
    /// neither.
    fn sort_out(&mut self, content: &Path, listing: &Listing) -> Vec<ToRead> {
        let mut files = Vec::new();
        let mut names = Vec::with_capacity(listing.entries.len());
        let mut no_litters: Vec<String> = Vec::new();
        for Listed { path, what } in &listing.entries {
            if let What::Unreadable(why) = what {
                let message = format!("this cannot be read: {why}");
                self.problems.push(Problem::error(
                    "file-unreadable",
                    Place::file(&shown_path(content, path)),
                    message,
                    "look at its permissions",
                ));
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
            // What stands in a folder that is no litter's is told with that folder.
            if no_litters.iter().any(|one| file.starts_with(one)) {
                continue;
            }
            names.push(file.clone());
            match what {
                What::Folder => {
                    if let ["litters", id] = file.split('/').collect::<Vec<_>>()[..] {
                        match self.id_of(&file, id, path) {
                            Some(id) => _ = self.folders.insert(id),
                            None => no_litters.push(format!("{file}/")),
                        }
                    }
                }
                What::File(digest) => {
                    if let Some(kind) = self.classify(&file, path) {
                        files.push(ToRead {
                            file,
                            path: path.clone(),
                            digest: *digest,
                            kind,
                        });
                    }
                }
                What::Link | What::Strange | What::Unreadable(_) => {
                    self.problems.push(no_file(&file, what));
                }
            }
        }
        self.problems.extend(unportable(&names));
        files
    }

    fn id_of(&mut self, file: &str, name: &str, path: &Path) -> Option<Id> {
        match name.parse() {
            Ok(id) => Some(id),
            Err(why) => {
                let problem = second_version(file, path)
                    .unwrap_or_else(|| Problem::unreadable(Place::file(file), why));
                self.problems.push(problem);
                None
            }
        }
    }

    fn classify(&mut self, file: &str, path: &Path) -> Option<RecordKind> {
        let parts: Vec<&str> = file.split('/').collect();
        let stem = |name: &str, ending: &str| name.strip_suffix(ending).map(str::to_owned);
        let picture = |puppy, private| PhotoFile {
            file: file.to_owned(),
            path: path.to_owned(),
            puppy,
            private,
            turn: None,
        };
        match parts[..] {
            ["kennel.yaml"] => {
                self.kennel_file = true;
                Some(RecordKind::Kennel)
            }
            ["care-plan.yaml"] => Some(RecordKind::CarePlan),
            ["owners.yaml"] => Some(RecordKind::Owners),
            ["README.md"] => None,
            ["dogs", name] if name.ends_with(".yaml") => self
                .id_of(file, &stem(name, ".yaml")?, path)
                .map(RecordKind::Dog),
            ["dogs", name] if is_picture(name) => {
                self.dog_pictures
                    .insert(name.to_owned(), picture(None, false));
                None
            }
            ["litters", litter, "litter.yaml"] => litter.parse().ok().map(RecordKind::Litter),
            ["litters", litter, "weights.yaml"] => litter.parse().ok().map(RecordKind::Weights),
            ["litters", litter, "health.yaml"] => litter.parse().ok().map(RecordKind::Health),
            ["litters", litter, "notes", name] if name.ends_with(".md") => {
                let slug = self.id_of(file, &stem(name, ".md")?, path)?;
                litter
                    .parse()
                    .ok()
                    .map(|litter| RecordKind::Note(litter, slug))
            }
            [
                "litters",
                litter,
                folder @ ("photos" | "photos-private"),
                name,
            ] if is_picture(name) => {
                self.problems.extend(second_picture(file));
                if let Ok(litter) = litter.parse() {
                    self.pictures
                        .entry(litter)
                        .or_default()
                        .push(picture(None, folder == "photos-private"));
                }
                None
            }
            ["pages", name] if name.ends_with(".md") => self
                .id_of(file, &stem(name, ".md")?, path)
                .map(RecordKind::Page),
            _ => {
                let problem =
                    second_version(file, path).unwrap_or_else(|| unknown_file(file, &parts, path));
                self.problems.push(problem);
                None
            }
        }
    }

    fn take(&mut self, read: FileRead) {
        let known = ReadFile {
            digest: read.digest,
            is_sound: read.problems.is_empty(),
        };
        self.files.insert(read.file.clone(), known);
        self.problems.extend(read.problems);
        let name = TrackedName::from(read.file.as_str());
        if let Some(digest) = read.digest {
            self.digests.insert(name.clone(), digest);
        }
        if let Some(source) = read.source {
            self.sources.insert_read(read.file, source);
        }
        match read.content {
            Some(RecordContent::Kennel(kennel)) => self.kennel = kennel,
            Some(RecordContent::CarePlan(plan)) => self.care_plan = plan.unwrap_or_default(),
            Some(RecordContent::Owners(owners)) => self.owners = owners.unwrap_or_default(),
            Some(RecordContent::Dog(id, Some(dog))) => {
                self.dogs.insert_named(id, name, dog);
            }
            Some(RecordContent::Litter(id, litter)) => _ = self.litters.insert(id, litter),
            Some(RecordContent::Weights(id, weights)) => _ = self.weights.insert(id, weights),
            Some(RecordContent::Health(id, health)) => _ = self.health.insert(id, health),
            Some(RecordContent::Note(id, Some(note))) => {
                self.notes.entry(id).or_default().push(note);
            }
            Some(RecordContent::Page(Some(page))) => self.pages.push(page),
            Some(
                RecordContent::Dog(_, None)
                | RecordContent::Note(_, None)
                | RecordContent::Page(None),
            )
            | None => {}
        }
    }

    /// What was found, put together, checked and with a place for each problem.
    fn loaded(mut self, now: DateTime<Utc>) -> Loaded {
        let files = ReadFiles(std::mem::take(&mut self.files));
        let (records, sources, problems) = self.assemble(now);
        let problems = locate(problems, &sources);
        Loaded {
            records: records.map(Shared::from),
            problems,
            sources,
            parsed: ParsedTexts::default(),
            files,
        }
    }

    fn assemble(mut self, now: DateTime<Utc>) -> (Option<Records>, Sources, Vec<Problem>) {
        if !self.kennel_file {
            let hint = "`litterfolio begin` makes a folder with one";
            self.problems.push(Problem::error(
                "kennel-missing",
                Place::file("kennel.yaml"),
                "there is no `kennel.yaml`",
                hint,
            ));
        }
        for folder in &self.folders {
            if !self.litters.contains_key(folder) {
                let file = format!("litters/{folder}/litter.yaml");
                let message = format!("the folder `litters/{folder}` has no `litter.yaml`");
                self.problems.push(Problem::error(
                    "litter-missing",
                    Place::file(&file),
                    message,
                    "write one with `name`, `dam` and `sire`",
                ));
            }
        }
        let mut folders = TrackedLitters::new();
        for (id, litter) in std::mem::take(&mut self.litters) {
            let Some(litter) = litter else { continue };
            let mut photos = self.pictures.remove(&id).unwrap_or_default();
            let note_of = |name: &str| litter.pictures.iter().find(|n| n.file.as_str() == name);
            for picture in &mut photos {
                let name = picture.file.rsplit('/').next().unwrap_or("");
                picture.puppy =
                    photo::puppy_of(name, litter.puppies.iter().map(|p| &p.id)).cloned();
                let note = note_of(name);
                picture.turn = note.and_then(|note| note.turn);
                if picture.puppy.is_none() && note.is_none() {
                    self.problems
                        .extend(nearly_a_puppys(picture, &litter.puppies));
                }
            }
            // By name where the keeper gives no place; the sorting keeps that order.
            photos.sort_by_key(|photo| {
                note_of(photo.name())
                    .and_then(|note| note.order)
                    .unwrap_or(u32::MAX)
            });
            let mut notes = self.notes.remove(&id).unwrap_or_default();
            notes.sort_by(|a, b| (b.head.date, &b.slug).cmp(&(a.head.date, &a.slug)));
            let weigh_ins = self.weights.remove(&id).unwrap_or_default();
            let health = self.health.remove(&id).unwrap_or_default();
            let folder = LitterFolder {
                id,
                litter: litter.into(),
                weigh_ins: weigh_ins.list.into(),
                bare_unit: weigh_ins.unit,
                health: health.into(),
                notes: notes.into(),
                photos: photos.into(),
            };
            folders.insert(folder, &mut self.digests);
        }
        self.pages
            .sort_by(|a, b| (a.head.order, &a.slug).cmp(&(b.head.order, &b.slug)));
        let broken: BTreeSet<String> = self.problems.iter().map(|p| p.place.file.clone()).collect();
        let today = self
            .kennel
            .as_ref()
            .map_or_else(|| now.date_naive().into(), |kennel| kennel.today(now));
        let portraits = self.portraits();
        let checked = checks::Checked {
            kennel: self.kennel.as_ref(),
            dogs: &self.dogs,
            litters: folders.all(),
            owners: &self.owners,
            pages: &self.pages,
            care_plan: &self.care_plan,
            broken: &broken,
            today,
            clocks: checks::clocks_of(self.kennel.as_ref(), folders.all(), today),
        };
        self.problems.extend(checks::all(&checked));
        if self.kennel_file && self.kennel.is_none() {
            checks::settings(&self.sources, &mut self.problems);
        }
        let Self {
            kennel,
            care_plan,
            owners,
            dogs,
            pages,
            sources,
            problems,
            digests,
            ..
        } = self;
        let records = kennel.map(|kennel| {
            let parts = tracking::OtherRecords {
                today,
                kennel,
                care_plan,
                dogs,
                owners,
                pages,
                portraits,
            };
            tracking::records(parts, folders, digests)
        });
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
            let hint = reading::suggestion(wanted, &names).unwrap_or_else(|| {
                format!("put the picture beside it: dogs/{}", Id::suggest(wanted))
            });
            let place = Place::path(
                &format!("dogs/{id}.yaml"),
                super::problem::key_path!["photo"],
            );
            self.problems.push(Problem::error(
                "photo-missing",
                place,
                format!("there is no picture `dogs/{wanted}`"),
                hint,
            ));
        }
        portraits
    }
}
