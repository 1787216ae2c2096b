//! A parent as everybody may see it, with four generations of ancestors.
//!
//! In: a dog's file and those of its ancestors. Out: [`DogPage`] with the screening results that
//! are marked to be published. Chip and registration numbers, weight, remarks and other
//! results stay behind.

use super::SiteContext;
use super::paths;
use crate::husbandry::pedigree::{Ancestor, ancestors, genes};
use crate::quantity::{Day, Id};
use crate::records::LitterFolder;
use crate::records::dog::{Dog, Home, Screening};
use crate::shown::{InbreedingShown, picture, with_article};
use crate::{Dated, PictureShown};
use serde::Serialize;

/// Generations on the chart: 2, 4, 8 and 16 ancestors.
const GENERATIONS: u32 = 4;

/// A dog in passing: its name, and its page if it has one.
#[derive(Debug, Clone, Serialize)]
pub struct DogRef {
    /// Name in the records.
    pub id: String,
    /// Full name.
    pub name: String,
    /// The name it comes to, or the full one.
    pub short: String,
    /// Path of its page below the root, for parents of announced litters.
    pub path: Option<String>,
}

/// The page of a parent.
#[derive(Debug, Clone, Serialize)]
pub struct DogPage {
    /// The dog.
    pub dog: DogRef,
    /// `female` or `male`.
    pub sex: &'static str,
    /// Colour.
    pub colour: Option<String>,
    /// Breed, where it differs from the kennel's.
    pub breed: Option<String>,
    /// Date of birth.
    pub born: Option<Dated>,
    /// Whether it lives elsewhere.
    pub elsewhere: bool,
    /// Public words.
    pub about: Option<String>,
    /// Portrait.
    pub picture: Option<PictureShown>,
    /// Published screening results.
    pub screening: Vec<ScreeningShown>,
    /// Whether one of them says of a gene that the dog carries it.
    pub is_carrier: bool,
    /// Inbreeding.
    pub inbreeding: InbreedingShown,
    /// Ancestors, generation by generation; unknown ones are empty cells.
    pub pedigree: Vec<GenerationShown>,
    /// Announced litters of this dog: name and path.
    pub litters: Vec<(String, String)>,
}

/// A parent on the page of its litter or its puppy.
#[derive(Debug, Clone, Serialize)]
pub struct ParentShown {
    /// `Dam` or `Sire`.
    pub role: &'static str,
    /// The dog.
    pub dog: DogRef,
    /// Published screening results.
    pub screening: Vec<ScreeningShown>,
}

/// A published screening result.
#[derive(Debug, Clone, Serialize)]
pub struct ScreeningShown {
    /// Test.
    pub test: String,
    /// Result.
    pub result: String,
    /// Date.
    pub on: Option<Dated>,
    /// Who tested.
    pub by: Option<String>,
    /// The last day on which it counts, where it has one.
    pub valid_until: Option<Dated>,
    /// Whether that day has passed.
    pub has_run_out: bool,
}

/// One generation of ancestors, from the top of the chart to its bottom.
#[derive(Debug, Clone, Serialize)]
pub struct GenerationShown {
    /// `Parents`, `Grandparents` …
    pub title: &'static str,
    /// 2, 4, 8 or 16 cells.
    pub cells: Vec<PedigreeCell>,
}

/// One place in the chart.
#[derive(Debug, Clone, Serialize)]
pub struct PedigreeCell {
    /// The way to it: `sire`, `sire's dam` …
    pub relation: String,
    /// The ancestor, when known.
    pub dog: Option<DogRef>,
    /// Its colour.
    pub colour: Option<String>,
    /// Year of birth.
    pub year: Option<String>,
    /// `female` or `male`.
    pub sex: &'static str,
}

pub(super) fn reference(context: &SiteContext<'_>, id: &Id) -> DogRef {
    let path = context.parents.contains(id).then(|| paths::dog(id));
    match context.records.dogs.get(id) {
        Some(dog) => DogRef {
            id: id.to_string(),
            name: dog.name.to_string(),
            short: dog.shown_name().to_string(),
            path,
        },
        None => DogRef {
            id: id.to_string(),
            name: id.to_string(),
            short: id.to_string(),
            path: None,
        },
    }
}

pub(super) fn page(
    context: &mut SiteContext<'_>,
    id: &Id,
    public: &[&LitterFolder],
) -> Option<DogPage> {
    let Dog {
        name: _,
        call_name: _,
        sex,
        born,
        died: _,
        colour,
        breed,
        sire: _,
        dam: _,
        home,
        about,
        photo: _,
        registration: _,
        chip: _,
        adult_weight: _,
        screening,
        seasons: _,
        neutered: _,
        retired: _,
        remarks: _,
    } = context.records.dogs.get(id)?;
    let dog = reference(context, id);
    let alt = format!(
        "{}, {}",
        dog.short,
        with_article(&format!(
            "{}{}",
            colour.as_ref().map(|c| format!("{c} ")).unwrap_or_default(),
            sex.word()
        ))
    );
    let portrait = context.records.portraits.get(id);
    let shown = portrait
        .and_then(|photo| picture(context.album, photo, id.as_str(), alt, &mut context.used));
    let litters = public
        .iter()
        .filter(|f| f.litter.dam == *id || f.litter.sire == *id)
        .map(|f| (f.litter.name.to_string(), paths::litter(f)))
        .collect();
    let screening = published(screening, context.figures.today);
    Some(DogPage {
        sex: sex.word(),
        colour: colour.as_ref().map(ToString::to_string),
        breed: breed.as_ref().map(ToString::to_string),
        born: born.map(Dated::from),
        elsewhere: *home == Home::Elsewhere,
        about: about.as_ref().map(ToString::to_string),
        picture: shown,
        is_carrier: screening.iter().any(says_carrier),
        screening,
        inbreeding: (&context.figures.dogs()[id]).into(),
        pedigree: chart(context, id),
        litters,
        dog,
    })
}

/// Dam and sire of a litter with what is published of their tests.
pub(super) fn parents(context: &SiteContext<'_>, folder: &LitterFolder) -> [ParentShown; 2] {
    [("Dam", &folder.litter.dam), ("Sire", &folder.litter.sire)].map(|(role, id)| ParentShown {
        role,
        dog: reference(context, id),
        screening: context
            .records
            .dogs
            .get(id)
            .map(|dog| published(&dog.screening, context.figures.today))
            .unwrap_or_default(),
    })
}

/// Whether a result is that of a gene, and calls the dog a carrier.
fn says_carrier(test: &ScreeningShown) -> bool {
    let is_of_gene = genes::read(&test.result).is_some();
    is_of_gene && test.result.to_lowercase().contains("carrier")
}

/// The results that everybody may see. One whose certificate has an end says it: an examination
/// that has run out says nothing of today.
fn published(screening: &[Screening], today: Day) -> Vec<ScreeningShown> {
    let shown = |screening: &Screening| {
        let Screening {
            test,
            result,
            on,
            by,
            valid_until,
            publish,
        } = screening;
        publish.then(|| ScreeningShown {
            test: test.to_string(),
            result: result.to_string(),
            on: on.map(Dated::from),
            by: by.as_ref().map(ToString::to_string),
            valid_until: valid_until.map(Dated::from),
            has_run_out: screening.has_run_out(today),
        })
    };
    screening.iter().filter_map(shown).collect()
}

fn chart(context: &SiteContext<'_>, id: &Id) -> Vec<GenerationShown> {
    const TITLES: [&str; GENERATIONS as usize] = [
        "Parents",
        "Grandparents",
        "Great-grandparents",
        "Great-great-grandparents",
    ];
    let tree = ancestors(&context.records.dogs, id, GENERATIONS);
    let mut row: Vec<(Option<&Ancestor>, String)> = vec![(tree.as_ref(), String::new())];
    TITLES
        .iter()
        .map(|title| {
            row = row
                .iter()
                .flat_map(|(ancestor, relation)| {
                    let of = |parent: &str| {
                        if relation.is_empty() {
                            parent.to_owned()
                        } else {
                            format!("{relation}’s {parent}")
                        }
                    };
                    [
                        (ancestor.and_then(|a| a.sire.as_deref()), of("sire")),
                        (ancestor.and_then(|a| a.dam.as_deref()), of("dam")),
                    ]
                })
                .collect();
            GenerationShown {
                title,
                cells: row
                    .iter()
                    .map(|(ancestor, relation)| cell(context, *ancestor, relation))
                    .collect(),
            }
        })
        .collect()
}

fn cell(context: &SiteContext<'_>, ancestor: Option<&Ancestor>, relation: &str) -> PedigreeCell {
    let dog = ancestor.and_then(|a| context.records.dogs.get(&a.dog));
    PedigreeCell {
        relation: relation.to_owned(),
        dog: ancestor.map(|a| reference(context, &a.dog)),
        colour: dog.and_then(|d| d.colour.as_ref()).map(ToString::to_string),
        year: dog
            .and_then(|d| d.born)
            .map(|born| born.date().format("%Y").to_string()),
        sex: if relation.ends_with("dam") {
            "female"
        } else {
            "male"
        },
    }
}
