//! Everything that stands in the records, to take along: nobody is locked in.
//!
//! In: records, figures, and the texts of the files. Out: [`Export`]: every field of every record,
//! amounts in their base unit beside what was written, the register that an inspector asks to see,
//! and each file as it stands, comments included. Records are taken apart without `..`: a new field
//! does not compile until it is exported. What the program computed is called `computed_…`.

mod amounts;
mod dogs;
mod health;
mod kennel;
mod litter;
mod people;
mod puppy;
mod register;

use crate::husbandry::Figures;
use crate::husbandry::rules::CAUTION;
use crate::quantity::Id;
use crate::records::source::Sources;
use crate::records::{LitterFolder, Records};
use amounts::Pen;
use schemars::JsonSchema;
use serde::Serialize;
use std::collections::BTreeSet;

/// All records of the kennel, or of one litter.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(title = "All records of a kennel or of one litter")]
pub struct Export {
    /// Version of this format; it grows when a name in it changes its meaning.
    pub format: u32,
    /// The day on which it was made, or to which the kennel pins today.
    pub today: String,
    /// The litter, when it is of one alone.
    pub only_litter: Option<String>,
    /// What the rows of `asked` are not.
    pub caution: &'static str,
    /// `kennel.yaml`.
    pub kennel: kennel::KennelExport,
    /// `care-plan.yaml`.
    pub care_plan: kennel::CarePlanExport,
    /// `dogs/*.yaml`; of one litter, its parents and their ancestors.
    pub dogs: Vec<dogs::DogExport>,
    /// `litters/*/`.
    pub litters: Vec<litter::LitterExport>,
    /// Families of `owners.yaml`; of one litter, those that take a puppy of it.
    pub families: Vec<people::FamilyExport>,
    /// The waiting list; empty in an export of one litter.
    pub waiting: Vec<people::WaitingExport>,
    /// `pages/*.md`; none in an export of one litter.
    pub pages: Vec<kennel::PageExport>,
    /// Every puppy ever born here, with birth, marks, chip, and what became of it.
    pub register: Vec<register::RegisterRow>,
    /// What the rules of the region and the registries ask to be written down, as far as they were
    /// read.
    pub asked: Vec<register::AskedRow>,
    /// Every record file as it stands, comments included.
    pub files: Vec<FileExport>,
}

/// A record file.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct FileExport {
    /// Path below the content folder.
    pub path: String,
    /// Its text.
    pub text: String,
}

/// The format that [`Export`] has now.
const FORMAT: u32 = 1;

/// Everything of the kennel, or of one litter with what belongs to it.
#[must_use]
pub fn export(
    records: &Records,
    figures: &Figures<'_>,
    sources: &Sources,
    only: Option<&Id>,
) -> Export {
    let Records {
        today,
        kennel,
        care_plan,
        dogs,
        litters,
        owners,
        pages,
        portraits: _,
        litters_by_dam: _,
        digests: _,
    } = records;
    let mut pen = Pen::new(sources);
    let folders: Vec<&LitterFolder> = litters
        .values()
        .filter(|folder| only.is_none_or(|id| folder.id == *id))
        .collect();
    let kin = only.map(|_| kin(records, &folders));
    let dogs = dogs
        .iter()
        .filter(|(id, _)| kin.as_ref().is_none_or(|kin| kin.contains(*id)));
    let homes = owners.homes();
    let (families, waiting) = people::people(owners, only);
    let is_meant = |path: &str| {
        let Some(id) = only else { return true };
        match path.split('/').collect::<Vec<_>>().as_slice() {
            ["litters", litter, ..] => *litter == id.as_str(),
            ["dogs", file] => kin
                .as_ref()
                .is_some_and(|kin| kin.iter().any(|id| *file == format!("{id}.yaml"))),
            // Other families have no business in one litter's export; theirs are taken apart above.
            ["owners.yaml"] | ["pages", ..] => false,
            _ => true,
        }
    };
    Export {
        format: FORMAT,
        today: today.to_string(),
        only_litter: only.map(ToString::to_string),
        caution: CAUTION,
        kennel: kennel::kennel(&mut pen, kennel),
        care_plan: kennel::care_plan(&mut pen, care_plan),
        dogs: dogs
            .map(|(id, dog)| dogs::dog(&mut pen, id, dog, figures.dogs().get(id)))
            .collect(),
        litters: folders
            .iter()
            .map(|folder| litter::litter(&mut pen, folder, &figures.litters[&folder.id]))
            .collect(),
        families,
        waiting,
        pages: pages
            .iter()
            .filter(|_| only.is_none())
            .map(kennel::page)
            .collect(),
        register: folders
            .iter()
            .flat_map(|folder| {
                register::rows(records, &homes, folder, &figures.litters[&folder.id])
            })
            .collect(),
        asked: folders
            .iter()
            .flat_map(|folder| register::asked(folder, &figures.litters[&folder.id], *today))
            .collect(),
        files: sources
            .texts()
            .filter(|(path, _)| is_meant(path))
            .map(|(path, text)| FileExport {
                path: path.to_owned(),
                text: text.to_owned(),
            })
            .collect(),
    }
}

/// The parents of these litters and all their ancestors on record.
fn kin<'a>(records: &'a Records, folders: &[&'a LitterFolder]) -> BTreeSet<&'a Id> {
    let mut kin = BTreeSet::new();
    let mut open: Vec<&Id> = folders
        .iter()
        .flat_map(|folder| [&folder.litter.dam, &folder.litter.sire])
        .collect();
    while let Some(id) = open.pop() {
        if let Some(dog) = records.dogs.get(id).filter(|_| kin.insert(id)) {
            open.extend([&dog.dam, &dog.sire].into_iter().flatten());
        }
    }
    kin
}
