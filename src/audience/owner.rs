//! What the owner of one puppy sees: its whole health and weight history, and what the family
//! should know.
//!
//! In: records, figures and prepared pictures. Out: an [`OwnerPage`] for each living puppy that a
//! family takes. Never: another puppy's weights or health, another family, what families pay,
//! remarks and notes that are for the keeper, findings, what the surgeon noted, results of the
//! parents that are not published. What counts from today (ages, what is late) is left to whoever
//! reads the page, so that a page changes only when its records do, and on the day of leaving
//! (`care.rs`).

mod birth;
mod care;
mod events;
mod family;
mod first_days;
mod glance;
mod identity;
mod invitations;
mod kinds;
mod notes;
mod place;
mod record;
mod weights;

pub use first_days::{ChipRule, ChipToRegister, FirstDays, Food, PromisedBy};
pub use glance::{CheckSeen, Glance, checks};
pub use kinds::{CareState, EventKind};
pub use record::{
    BirthRecord, CareRecord, ChipRecord, EventRecord, FORMAT, FamilyRecord, IdentityRecord,
    InbreedingRecord, InvitationRecord, KennelRecord, LookedAt, NoteRecord, ParentRecord,
    PuppyRecord, ScreeningRecord, VetRecord, VigourRecord, WeightRecord,
};

use super::chart::GrowthChart;
use super::{Album, InbreedingShown, Owner, RibbonShown, caption, views};
use crate::husbandry::Figures;
use crate::quantity::{Day, Id};
use crate::records::kennel::{Contact, Email, Kennel};
use crate::records::litter::{Offer, Puppy};
use crate::records::owners::{Homes, Residence};
use crate::records::photo::PhotoFile;
use crate::records::{LitterFolder, Records};
use rayon::prelude::*;
use serde::Serialize;

/// Everything for the family of one puppy.
#[derive(Debug, Clone, Serialize)]
pub struct OwnerPage {
    /// Name of the puppy in the records, with its litter: `autumn-2026/fern`. Access codes are
    /// kept under it.
    pub key: String,
    /// The family that takes it, by its name in the records; for the program only, since a code
    /// belongs to a family.
    #[serde(skip)]
    pub family: Option<String>,
    /// The first part of the names of its files: `fern-tarnside-2026`.
    pub stem: String,
    /// The record itself.
    pub record: PuppyRecord,
    /// The day that was agreed for leaving, or the earliest.
    pub leaves: Option<String>,
    /// Its weights as a chart; nothing for fewer than two.
    pub chart: Option<GrowthChart>,
    /// Inbreeding, as it is said.
    pub inbreeding: InbreedingShown,
    /// Its ribbon.
    pub ribbon: Option<RibbonShown>,
    /// Whether weights are shown in pounds and ounces.
    pub ounces: bool,
    /// ISO 3166-1 code of the country where the family lives, or the kennel: the size of paper
    /// follows it.
    pub country: String,
    /// Whether dates are written with the month first.
    pub month_first: bool,
    /// What a vet asks beside treatments.
    pub glance: Glance,
    /// The first days in the new home.
    pub first_days: FirstDays,
    /// Pictures: its own first, then those of the litter.
    pub pictures: Vec<OwnerPicture>,
    /// When to call a vet.
    pub call_a_vet: &'static [&'static str],
    /// What else is usually said.
    pub cautions: &'static [&'static str],
}

/// A picture for the family.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct OwnerPicture {
    /// The keeper's file, below the content folder; for the program only.
    #[serde(skip)]
    pub file: String,
    /// What it is called for the family: `fern-1.jpg`.
    pub name: String,
    /// Hash of the picture, so that a changed one is noticed.
    pub key: String,
    /// What it shows, in words.
    pub alt: String,
    /// What stands under it.
    pub caption: Option<String>,
}

/// What stands on an owner's page while it is locked: whom to ask for the code, and nothing about
/// puppy and family.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct LockedPage {
    /// Name of the kennel.
    pub kennel: String,
    /// E-mail address, as on the public site.
    pub email: String,
    /// Telephone, as on the public site.
    pub phone: Option<String>,
}

views!(Owner: OwnerPage, LockedPage);

/// What stands on every owner's page while it is locked.
#[must_use]
pub fn locked(kennel: &Kennel) -> LockedPage {
    let Contact {
        keeper: _,
        email: Email(email),
        phone,
        town: _,
        address: _,
        emergency_vet: _,
    } = &kennel.contact;
    LockedPage {
        kennel: kennel.name.to_string(),
        email: email.to_string(),
        phone: text(phone.as_ref()),
    }
}

/// Signs at which a family should call a vet (common practice, no source; temperatures are left
/// out, since a family seldom takes them).
const CALL_A_VET: &[&str] = &[
    "limp, dull, or will not wake properly",
    "gums pale, blue or brick red; breathing hard",
    "diarrhoea or vomiting that goes on, or with blood; no water kept down",
    "refuses two meals in a row: a small puppy cannot wait a day",
    "a swollen, hard or painful belly; no droppings",
    "twitching, cramps, collapse",
    "swallowed something it should not have: take the packaging along",
    "swelling of the face, hives or sudden weakness after a vaccination",
];

/// What else is usually printed on such papers (common practice, no source).
const CAUTIONS: &[&str] = &[
    "This is the breeder’s record, not a veterinary certificate. The vet decides; dates here are \
     a plan, and the vet’s word stands above it.",
    "Register yourselves as keeper with the chip’s database, as the law of your place asks.",
    "For travel abroad ask a vet early: rabies vaccination and papers take weeks.",
    "Keep droppings away from children and wash hands: puppies can carry roundworm although they \
     were wormed.",
    "Medicines only as the vet or the label says, for the weight on that day.",
];

/// A page for every living puppy that a family takes, by litter and puppy.
#[must_use]
pub fn pages(records: &Records, figures: &Figures<'_>, album: &Album) -> Vec<OwnerPage> {
    let homes = records.owners.homes();
    let living = records
        .litters
        .values()
        .flat_map(|folder| folder.living().map(move |puppy| (folder, puppy)));
    let taken: Vec<_> = living
        .filter(|(folder, puppy)| homes.of(&folder.id, puppy).is_some())
        .collect();
    taken
        .into_par_iter()
        .map(|(folder, puppy)| page(records, figures, album, &homes, folder, puppy))
        .collect()
}

/// The page of one puppy, whether a family takes it or not.
#[must_use]
pub fn page(
    records: &Records,
    figures: &Figures<'_>,
    album: &Album,
    homes: &Homes<'_>,
    folder: &LitterFolder,
    puppy: &Puppy,
) -> OwnerPage {
    let own = &figures.litters[&folder.id].puppies[&puppy.id];
    let home = homes.of(&folder.id, puppy);
    let place = home.map_or_else(
        || Residence::of_kennel(&records.kennel),
        |(family, _)| Residence::of_family(family, &records.kennel),
    );
    let agreed = home.and_then(|(_, takes)| takes.leaves).or(own.leaves_from);
    // Whoever is still here leaves today at the earliest; whoever stays, never.
    let leaves = agreed
        .map(|day| {
            if own.is_gone {
                day
            } else {
                day.max(figures.today)
            }
        })
        .filter(|_| puppy.offer != Offer::Staying);
    let case = Case {
        records,
        folder,
        puppy,
        own,
        leaves,
        today: figures.today,
    };
    let mut record = PuppyRecord {
        format: FORMAT,
        up_to: String::new(),
        kennel: identity::kennel(&records.kennel),
        family: home.map(|(family, takes)| family::family(family, takes)),
        puppy: identity::puppy(&case),
        dam: identity::parent(records, &folder.litter.dam),
        sire: identity::parent(records, &folder.litter.sire),
        inbreeding: identity::inbreeding(&figures.litters[&folder.id].inbreeding),
        birth: birth::birth(&case),
        weights: weights::weights(&case),
        doubled_on_day: weights::doubled(own),
        events: events::of_puppy(&case),
        dam_events: events::of_dam(&case),
        care: care::care(&case),
        invitations: invitations::invitations(&case, home.map(|(_, takes)| takes)),
        notes: notes::notes(&case),
    };
    record.up_to = up_to(&record).unwrap_or_else(|| {
        folder
            .litter
            .born_on(puppy)
            .unwrap_or(figures.today)
            .to_string()
    });
    let ounces = place::ounces(place, &records.kennel);
    OwnerPage {
        key: key(folder, puppy),
        family: home.map(|(family, _)| family.id.to_string()),
        stem: stem(&records.kennel, folder, puppy),
        leaves: iso(agreed),
        chart: weights::chart(&case, ounces),
        inbreeding: (&figures.litters[&folder.id].inbreeding).into(),
        ribbon: puppy.ribbon.map(Into::into),
        ounces,
        country: place.country.to_owned(),
        month_first: place::month_first(place),
        glance: glance::glance(&record.birth, &record.dam, &record.sire, &record.events),
        first_days: first_days::first_days(
            records,
            place,
            home.and_then(|(_, takes)| takes.leaves),
            &record.notes,
            record.puppy.chip.as_ref().map(|chip| chip.number.as_str()),
        ),
        pictures: pictures(&case, album, figures.today),
        call_a_vet: CALL_A_VET,
        cautions: CAUTIONS,
        record,
    }
}

/// Whose papers these are, as it stands in the names of their files: on a vet's or a family's disk
/// they lie beside those of other dogs. The dog comes first, by which both look for them. A kennel
/// whose name cannot be spelt in plain letters is left out.
fn stem(kennel: &Kennel, folder: &LitterFolder, puppy: &Puppy) -> String {
    let year = folder.litter.born_on(puppy).map(|born| {
        let mut parts = born.to_string();
        parts.truncate(4);
        parts
    });
    let parts = [Some(puppy.id.to_string()), Id::made_of(&kennel.name), year];
    parts.into_iter().flatten().collect::<Vec<_>>().join("-")
}

/// Under what name the access code of a puppy is kept.
#[must_use]
pub fn key(folder: &LitterFolder, puppy: &Puppy) -> String {
    format!("{}/{}", folder.id, puppy.id)
}

/// One puppy and where everything about it stands.
struct Case<'a> {
    records: &'a Records,
    folder: &'a LitterFolder,
    puppy: &'a Puppy,
    own: &'a crate::husbandry::PuppyFigures,
    /// The day on which it left or is to leave: the one that was agreed, otherwise the earliest;
    /// nothing for a puppy that stays.
    leaves: Option<Day>,
    today: Day,
}

impl Case<'_> {
    fn born(&self) -> Option<Day> {
        self.folder.litter.born_on(self.puppy)
    }
}

/// The day of the latest entry. ISO dates sort as text.
fn up_to(record: &PuppyRecord) -> Option<String> {
    let days = record
        .weights
        .iter()
        .filter_map(|w| w.at.get(..10).map(str::to_owned));
    let events = record
        .events
        .iter()
        .chain(&record.dam_events)
        .map(|e| e.on.clone());
    days.chain(events)
        .chain(record.notes.iter().map(|n| n.date.clone()))
        .chain(record.puppy.born.clone())
        .max()
}

fn pictures(case: &Case<'_>, album: &Album, today: Day) -> Vec<OwnerPicture> {
    let name = case.puppy.shown_name();
    let of = |own: bool| {
        case.folder.photos.iter().filter(move |photo| {
            if own {
                photo.puppy.as_ref() == Some(&case.puppy.id)
            } else {
                photo.puppy.is_none()
            }
        })
    };
    let known = of(true).chain(of(false)).filter_map(|photo| {
        let caption = caption::for_everyone(case.folder, photo, album, today);
        Some((photo, album.get(&photo.file)?.key.clone(), caption))
    });
    known
        .enumerate()
        .map(
            |(
                n,
                (
                    PhotoFile {
                        file,
                        path: _,
                        puppy,
                        private: _,
                        turn: _,
                    },
                    key,
                    caption,
                ),
            )| OwnerPicture {
                file: file.clone(),
                name: format!("{}-{}.jpg", case.puppy.id, n + 1),
                key,
                alt: if puppy.is_some() {
                    name.clone()
                } else {
                    format!("The litter of {name}")
                },
                caption,
            },
        )
        .collect()
}

fn text(text: Option<&crate::quantity::Text>) -> Option<String> {
    text.map(ToString::to_string)
}

fn iso(day: Option<Day>) -> Option<String> {
    day.map(|day| day.to_string())
}
