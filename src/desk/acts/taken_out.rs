//! A puppy or a litter that was entered by mistake is taken out, with all that names it.
//!
//! In: a puppy, or a litter. Out: what would go with it, told first; then one change of all files
//! that name it: its weights, its place in health entries and notes, its pictures, and what a
//! family takes. What is about it alone goes whole: a note that named it and nobody else would be
//! about the litter without it.

use super::form::{ActForm, ActItem, ActLink, ActPage, AskedSlips, Section};
use super::whom::label;
use super::{Act, ActFields, Halt, Made, ROOT, Scene, at, page_of};
use crate::app::recording::{FileChange, Work};
use crate::quantity::{Id, counted, many};
use crate::records::changing::Change;
use crate::records::health::HealthEntry;
use crate::records::litter::Puppy;
use crate::records::note::Note;
use crate::records::problem::{Step, key_path};
use crate::records::{LitterFolder, photo};

pub(super) const TAKEN_OUT: Act = Act {
    path: "litters/{litter}/puppies/{puppy}/take-out",
    what: "puppy taken out",
    page,
    make,
};

pub(super) const LITTER: Act = Act {
    path: "litters/{litter}/take-out",
    what: "litter taken out",
    page: litter_page,
    make: litter_gone,
};

const OWNERS: &str = "owners.yaml";

/// All that names a puppy, counted, and the changes that take it out.
#[derive(Default)]
struct Naming {
    weights: usize,
    health: usize,
    notes: usize,
    pictures: usize,
    families: Vec<String>,
    files: Vec<FileChange>,
}

impl Naming {
    fn of(scene: &Scene<'_>, litter: &LitterFolder, n: usize, puppy: &Puppy) -> Self {
        let mut all = Self::default();
        all.record(litter, n, puppy);
        all.weights(litter, &puppy.id);
        all.health(litter, &puppy.id);
        all.notes(litter, &puppy.id);
        all.families(scene, litter, Some(&puppy.id));
        all
    }

    /// Changes of one list or file, the last place first: those before it keep their places.
    fn change(&mut self, file: String, paths: Vec<Vec<Step>>) {
        let changes: Vec<Change> = paths.into_iter().rev().map(Change::take_out).collect();
        if !changes.is_empty() {
            self.files.push((file, Work::Changed(changes)));
        }
    }

    /// The puppy itself, its pictures, and what is said of these.
    fn record(&mut self, litter: &LitterFolder, n: usize, puppy: &Puppy) {
        let ids = || litter.litter.puppies.iter().map(|puppy| &puppy.id);
        let mut paths = vec![key_path!["puppies", n]];
        for (at, picture) in litter.litter.pictures.iter().enumerate() {
            if photo::puppy_of(&picture.file, ids()) == Some(&puppy.id) {
                paths.push(key_path!["pictures", at]);
            }
        }
        self.change(litter.file("litter.yaml"), paths);
        let photos = litter.photos.iter();
        let own = photos.filter(|photo| photo.puppy.as_ref() == Some(&puppy.id));
        for photo in own {
            self.pictures += 1;
            self.files.push((photo.file.clone(), Work::Gone));
        }
    }

    fn weights(&mut self, litter: &LitterFolder, puppy: &Id) {
        let mut named: Vec<_> = litter
            .weigh_ins
            .iter()
            .filter(|weigh_in| weigh_in.weights.contains_key(puppy))
            .collect();
        named.sort_by_key(|weigh_in| weigh_in.block);
        self.weights = named.len();
        let paths = named.into_iter().map(|weigh_in| {
            if weigh_in.weights.len() == 1 {
                key_path![weigh_in.block]
            } else {
                key_path![weigh_in.block, puppy.as_str()]
            }
        });
        let paths = paths.collect();
        self.change(litter.file("weights.yaml"), paths);
    }

    fn health(&mut self, litter: &LitterFolder, puppy: &Id) {
        let place = |(at, entry): (usize, &HealthEntry)| {
            let place = entry.whom.iter().position(|id| id == puppy)?;
            Some(if entry.whom.len() == 1 {
                key_path![at]
            } else {
                key_path![at, "for", place]
            })
        };
        let paths: Vec<_> = litter.health.iter().enumerate().filter_map(place).collect();
        self.health = paths.len();
        self.change(litter.file("health.yaml"), paths);
    }

    fn notes(&mut self, litter: &LitterFolder, puppy: &Id) {
        let place = |note: &Note| note.head.puppies.iter().position(|id| id == puppy);
        let notes = litter.notes.iter();
        for (note, place) in notes.filter_map(|note| Some((note, place(note)?))) {
            self.notes += 1;
            let file = litter.file(&format!("notes/{}.md", note.slug));
            if note.head.puppies.len() == 1 {
                self.files.push((file, Work::Gone));
            } else {
                self.change(file, vec![key_path!["puppies", place]]);
            }
        }
    }

    /// A litter with all its files.
    fn of_litter(scene: &Scene<'_>, litter: &LitterFolder) -> Self {
        let weights = litter.weigh_ins.iter();
        let mut all = Self {
            weights: weights.map(|weigh_in| weigh_in.weights.len()).sum(),
            health: litter.health.len(),
            notes: litter.notes.len(),
            pictures: litter.photos.len(),
            ..Self::default()
        };
        let lists = ["weights.yaml", "health.yaml"].map(|name| litter.file(name));
        let lists = lists
            .into_iter()
            .filter(|file| scene.loaded.sources.is_known(file));
        let notes = litter.notes.iter();
        let notes = notes.map(|note| litter.file(&format!("notes/{}.md", note.slug)));
        let photos = litter.photos.iter().map(|photo| photo.file.clone());
        all.files = std::iter::once(litter.file("litter.yaml"))
            .chain(lists)
            .chain(notes)
            .chain(photos)
            .map(|file| (file, Work::Gone))
            .collect();
        all.families(scene, litter, None);
        all
    }

    /// What families take: of one puppy, or of the whole litter.
    fn families(&mut self, scene: &Scene<'_>, litter: &LitterFolder, puppy: Option<&Id>) {
        let mut paths = Vec::new();
        for (f, family) in scene.records.owners.families.iter().enumerate() {
            for (t, takes) in family.takes.iter().enumerate() {
                if takes.litter == litter.id && puppy.is_none_or(|puppy| takes.puppy == *puppy) {
                    self.families.push(family.name.to_string());
                    paths.push(key_path!["families", f, "takes", t]);
                }
            }
        }
        self.change(OWNERS.to_owned(), paths);
    }

    /// What goes with it, in words, behind what is said first.
    fn section(&self, first: Option<String>) -> Option<Section> {
        let counts = [
            (self.weights, "weight"),
            (self.notes, "note"),
            (self.pictures, "picture"),
        ];
        let counts = counts.into_iter().filter(|(count, _)| *count > 0);
        let counts = counts.map(|(count, what)| many(count, what));
        let health = (self.health > 0).then(|| {
            let entries = counted(self.health, "entry", "entries");
            format!("what {entries} of health say of it")
        });
        let families = self.families.iter();
        let families = families.map(|name| format!("that {name} takes it; the family stays"));
        let said = first.into_iter().chain(counts).chain(health);
        let items = said.chain(families).map(ActItem::titled);
        Section::of("With it goes", items.collect())
    }

    /// Places are counted in what could be read: where something could not, they may be others.
    fn work(self, scene: &Scene<'_>) -> Result<Vec<FileChange>, Halt> {
        if !self.files.iter().all(|(file, _)| scene.is_read_whole(file)) {
            let message = "something in the files that would change cannot be read";
            let hint = "mend it first: “What to mend” says where";
            return Err(AskedSlips::one("", message, hint).into());
        }
        Ok(self.files)
    }
}

fn page(scene: &Scene<'_>) -> Option<ActPage> {
    let (litter, n, puppy) = scene.puppy()?;
    let name = puppy.shown_name();
    let section = Naming::of(scene, litter, n, puppy).section(None);
    let lead = if section.is_none() {
        "Nothing else in the records names it."
    } else {
        "What stands above goes with it."
    };
    let mut page = ActPage {
        lead: vec![format!(
            "This is for a puppy that was entered by mistake. One that died or was born dead \
                 stays in your book: that is written under “Loss”. {lead} All of it can be taken \
                 back."
        )],
        form: Some(ActForm::saved_by(
            format!("Take {} out", label(puppy)),
            Vec::new(),
        )),
        found: Vec::from_iter(section),
        ..page_of(litter, format!("Take {name} out of the records"))
    };
    let loss = at(&litter.id, Some(&puppy.id), "loss");
    page.links.insert(0, ActLink::new("Loss", loss));
    Some(page)
}

fn make(scene: &Scene<'_>, _: &ActFields) -> Result<Made, Halt> {
    let (litter, n, puppy) = scene.puppy().ok_or(Halt::Gone)?;
    Ok(Made {
        files: Naming::of(scene, litter, n, puppy).work(scene)?,
        to: at(&litter.id, None, ""),
    })
}

fn litter_page(scene: &Scene<'_>) -> Option<ActPage> {
    let litter = scene.litter()?;
    let name = litter.litter.name.to_string();
    let puppies = litter.litter.puppies.len();
    let born = (puppies > 0).then(|| counted(puppies, "puppy", "puppies"));
    let mut page = ActPage {
        above: scene.dam(litter),
        lead: vec![
            "This is for a litter that was entered by mistake. One that was lost, or a mating that \
             came to nothing, stays in your book: the count before the birth is then 0. All of it \
             can be taken back."
                .to_owned(),
        ],
        form: Some(ActForm::saved_by(format!("Take {name} out"), Vec::new())),
        found: Vec::from_iter(Naming::of_litter(scene, litter).section(born)),
        ..page_of(litter, format!("Take {name} out of the records"))
    };
    let before = at(&litter.id, None, "pregnancy");
    page.links
        .insert(0, ActLink::new("Before the birth", before));
    Some(page)
}

fn litter_gone(scene: &Scene<'_>, _: &ActFields) -> Result<Made, Halt> {
    let litter = scene.litter().ok_or(Halt::Gone)?;
    let files = Naming::of_litter(scene, litter).work(scene)?;
    let folder = litter.file("");
    let problems = scene.loaded.problems.iter().map(|located| &located.problem);
    let mut own = problems
        .map(|problem| problem.place.file.as_str())
        .filter(|file| file.starts_with(&folder) && !files.iter().any(|(known, _)| known == file));
    if let Some(file) = own.next() {
        let message =
            format!("“{file}” is a file of your own, and is not taken out with the litter");
        let hint = "move it to another place on your disk, or delete it there; then take the \
                    litter out";
        return Err(AskedSlips::one("", message, hint).into());
    }
    Ok(Made {
        files,
        to: format!("{ROOT}litters"),
    })
}
