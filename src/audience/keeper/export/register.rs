//! The register that an inspector or a registry asks to see: every puppy with its parents, birth,
//! marks, chip, and what became of it.
//!
//! In: litters, dogs, families, the rules of the region and the registries. Out: [`RegisterRow`]s,
//! one for each puppy ever born here, and [`AskedRow`]s: what each book asks to be written down,
//! and for whom it is still missing. What was read of the rules is no advice on law; each row names
//! whom to check with.

use super::amounts::{day, moment, text};
use super::dogs::registration;
use crate::husbandry::LitterFigures;
use crate::husbandry::rules::{Keep, Missing, RuleBookFigures};
use crate::quantity::{Day, Id};
use crate::records::health::HealthEntry;
use crate::records::litter::{Fate, Offer, Puppy};
use crate::records::owners::Homes;
use crate::records::{LitterFolder, Records};
use crate::words::rules::cite;
use schemars::JsonSchema;
use serde::Serialize;

/// One puppy in the register.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct RegisterRow {
    /// Folder of the litter.
    pub litter: String,
    /// Name of the litter.
    pub litter_name: String,
    /// Full name of the dam.
    pub dam: String,
    /// Registry and number of the dam.
    pub dam_registration: Option<String>,
    /// Chip of the dam.
    pub dam_chip: Option<String>,
    /// Full name of the sire.
    pub sire: String,
    /// Registry and number of the sire.
    pub sire_registration: Option<String>,
    /// Chip of the sire.
    pub sire_chip: Option<String>,
    /// Days of mating.
    pub mated: Vec<String>,
    /// The day on which the birth began.
    pub whelped: Option<String>,
    /// How the litter was delivered.
    pub delivery: Option<&'static str>,
    /// How many were born.
    pub litter_born: usize,
    /// How many of them were alive.
    pub litter_born_alive: usize,
    /// Placentas passed.
    pub placentas: Option<u32>,
    /// Name of the puppy in the records.
    pub puppy: String,
    /// Its name.
    pub name: String,
    /// Its registered name.
    pub registered_name: Option<String>,
    /// Registry and number.
    pub registration: Option<String>,
    /// Place in the order of birth.
    pub order: Option<u32>,
    /// Day and time of birth.
    pub born: Option<String>,
    /// Sex.
    pub sex: &'static str,
    /// Colour.
    pub colour: Option<String>,
    /// Markings.
    pub markings: Option<String>,
    /// Birth weight.
    pub birth_weight_grams: Option<f64>,
    /// Chip.
    pub chip: Option<String>,
    /// Days on which it was wormed.
    pub wormed: Vec<String>,
    /// Days on which it was vaccinated.
    pub vaccinated: Vec<String>,
    /// `here`, `staying`, `left`, `stillborn` or `died`.
    pub stands: &'static str,
    /// The day on which it left.
    pub left: Option<String>,
    /// The day on which it came back, the latest time.
    pub came_back: Option<String>,
    /// The family that has it or will have it; of one that came back, the family after that.
    pub new_owner: Option<String>,
    /// Its address.
    pub new_owner_address: Option<String>,
    /// Its telephone.
    pub new_owner_phone: Option<String>,
    /// Day of death.
    pub died: Option<String>,
    /// Cause of death.
    pub cause: Option<String>,
}

/// Something that a book asks to be written down of a litter.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct AskedRow {
    /// Folder of the litter.
    pub litter: String,
    /// Name of the region or registry.
    pub book: &'static str,
    /// What is asked.
    pub asks: &'static str,
    /// Whether the record holds it, for everybody whom it is asked of.
    pub held: bool,
    /// The puppies for whom it is missing.
    pub missing_for: Vec<String>,
    /// Years for which such records are kept, where the book says so.
    pub keep_years: Option<u8>,
    /// From when those years count.
    pub keep_after: Option<&'static str>,
    /// Where it comes from.
    pub source: String,
    /// Whom to check with.
    pub check_with: &'static str,
}

pub(super) fn rows(
    records: &Records,
    homes: &Homes<'_>,
    folder: &LitterFolder,
    figures: &LitterFigures,
) -> Vec<RegisterRow> {
    folder
        .litter
        .puppies
        .iter()
        .map(|puppy| row(records, homes, folder, figures, puppy))
        .collect()
}

fn row(
    records: &Records,
    homes: &Homes<'_>,
    folder: &LitterFolder,
    figures: &LitterFigures,
    puppy: &Puppy,
) -> RegisterRow {
    let litter = &folder.litter;
    let parent = |id: &Id| {
        let dog = records.dogs.get(id);
        let name = dog.map_or_else(|| id.to_string(), |dog| dog.name.to_string());
        (
            name,
            dog.and_then(|dog| joined(registration(&dog.registration))),
            dog.and_then(|dog| dog.chip.as_ref())
                .map(ToString::to_string),
        )
    };
    let ((dam, dam_registration, dam_chip), (sire, sire_registration, sire_chip)) =
        (parent(&litter.dam), parent(&litter.sire));
    let birth = litter.birth.as_ref();
    let home = homes.of(&folder.id, puppy);
    let stands = stands(puppy, figures.puppies[&puppy.id].is_gone);
    let days = |is_meant: fn(&HealthEntry) -> bool| {
        let given = folder
            .health
            .iter()
            .filter(|entry| entry.is_for(&puppy.id) && is_meant(entry));
        given
            .filter_map(|entry| Some(entry.day()?.to_string()))
            .collect()
    };
    RegisterRow {
        litter: folder.id.to_string(),
        litter_name: litter.name.to_string(),
        dam,
        dam_registration,
        dam_chip,
        sire,
        sire_registration,
        sire_chip,
        mated: litter.mated.iter().map(ToString::to_string).collect(),
        whelped: birth.map(|birth| birth.on.to_string()),
        delivery: birth.map(|birth| birth.how.word()),
        litter_born: litter.puppies.len(),
        litter_born_alive: litter.born_alive().count(),
        placentas: birth.and_then(|birth| birth.placentas),
        puppy: puppy.id.to_string(),
        name: puppy.shown_name(),
        registered_name: text(&puppy.registered_name),
        registration: joined(registration(&puppy.registration)),
        order: puppy.order,
        born: litter
            .born_at(puppy)
            .map(moment)
            .or_else(|| litter.born_on(puppy).map(|day| day.to_string())),
        sex: puppy.sex.word(),
        colour: text(&puppy.colour),
        markings: text(&puppy.markings),
        birth_weight_grams: puppy.weight.map(|weight| weight.grams()),
        chip: puppy.chip.as_ref().map(ToString::to_string),
        wormed: days(|entry| entry.worming.is_some()),
        vaccinated: days(|entry| entry.vaccination.is_some()),
        stands,
        left: day(home
            .filter(|_| stands == "left")
            .and_then(|(_, takes)| takes.leaves)),
        came_back: day(puppy.returned.as_ref().map(|returned| returned.on)),
        new_owner: home.map(|(family, _)| family.name.to_string()),
        new_owner_address: home.and_then(|(family, _)| text(&family.address)),
        new_owner_phone: home.and_then(|(family, _)| text(&family.phone)),
        died: day(puppy.on.filter(|_| !puppy.is_alive())),
        cause: text(&puppy.cause),
    }
}

fn stands(puppy: &Puppy, is_gone: bool) -> &'static str {
    match (puppy.fate, puppy.offer) {
        (Some(Fate::Stillborn), _) => "stillborn",
        (Some(Fate::Died), _) => "died",
        (None, _) if is_gone => "left",
        (None, Offer::Staying) => "staying",
        (None, _) => "here",
    }
}

fn joined((registry, number): (Option<String>, Option<String>)) -> Option<String> {
    Some(format!("{} {}", registry?, number?))
}

/// What the books of a litter ask to be written down; of a litter that is expected nothing yet.
pub(super) fn asked(folder: &LitterFolder, figures: &LitterFigures, today: Day) -> Vec<AskedRow> {
    if folder.litter.birth.is_none() {
        return Vec::new();
    }
    let rows = figures.rules.iter().flat_map(
        |RuleBookFigures {
             book,
             verdicts: _,
             advert: _,
             missing,
         }| {
            book.litter_record.iter().map(move |item| {
                let lacking: Option<&Missing> =
                    missing.iter().find(|missing| missing.field == item.field);
                AskedRow {
                    litter: folder.id.to_string(),
                    book: book.name,
                    asks: item.field.words(),
                    held: lacking.is_none(),
                    missing_for: lacking
                        .map(|missing| missing.puppies.clone())
                        .unwrap_or_default(),
                    keep_years: book.keep.map(
                        |Keep {
                             years,
                             after: _,
                             source: _,
                         }| years,
                    ),
                    keep_after: book
                        .keep
                        .map(|keep| keep.after)
                        .filter(|after| !after.is_empty()),
                    source: cite(item.source, today),
                    check_with: book.check_with,
                }
            })
        },
    );
    rows.collect()
}
