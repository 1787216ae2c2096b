//! What a family needs in the first days: food, the visit to the vet and by when, the chip.
//!
//! In: the notes for families, the kennel's promises with their days, the law of the place where
//! the family lives. Out: [`FirstDays`]. Days are counted from the day of leaving; without one the
//! number of days is said alone.

use super::{NoteRecord, iso};
use crate::husbandry::rules::{Detail, NewKeeper, RuleSource, Sure, by_id, new_keeper};
use crate::quantity::{Day, Within};
use crate::records::Records;
use crate::records::owners::Residence;
use crate::records::promise::{DatedPromise, Promise};
use crate::words::rules as words;
use serde::Serialize;

/// The first days of a puppy in its new home.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct FirstDays {
    /// What it eats now: the latest note about feeding.
    pub food: Option<Food>,
    /// What is to be done within some days, the earliest first.
    pub promises: Vec<PromisedBy>,
    /// Whether one of them is a visit to a vet.
    pub vet_is_promised: bool,
    /// Registering the chip.
    pub chip: ChipToRegister,
}

/// The beginning of a note about feeding.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Food {
    /// The day of the note.
    pub date: String,
    /// Its first paragraph, list or table, Markdown.
    pub text: String,
    /// Whether the note goes on.
    pub goes_on: bool,
}

/// Something to be done within some days.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct PromisedBy {
    /// What, in the kennel's words.
    pub text: String,
    /// `5 working days`.
    pub within: String,
    /// Whether working days are counted.
    pub working_days: bool,
    /// The last day, where the day of leaving is known.
    pub by: Option<String>,
}

/// The new keeper's duty to be recorded with the chip's database.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct ChipToRegister {
    /// Its number, where there is one on record.
    pub number: Option<String>,
    /// What the law of the place asks, where it is known.
    pub asked: Option<ChipRule>,
}

/// What the law of a place asks.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct ChipRule {
    /// Where: `Scotland`.
    pub place: &'static str,
    /// What the database is told: `your name, address, telephone and e-mail`.
    pub details: String,
    /// Within how many days, where the law says it.
    pub within_days: Option<u16>,
    /// The last day.
    pub by: Option<String>,
    /// Where it is from, and how sure that is.
    pub source: String,
}

pub(super) fn first_days(
    records: &Records,
    place: Residence<'_>,
    leaves: Option<Day>,
    notes: &[NoteRecord],
    chip: Option<&str>,
) -> FirstDays {
    let of_kennel = records.kennel.policies.iter().filter_map(Promise::dated);
    let of_pages = records
        .pages
        .iter()
        .flat_map(|page| page.head.promises.iter().cloned());
    let mut promises: Vec<PromisedBy> = of_kennel
        .chain(of_pages)
        .map(|promise| promised(&promise, leaves))
        .collect();
    promises.sort_by(|a, b| a.by.cmp(&b.by));
    // Notes stand the newest first.
    let food = notes.iter().find(|note| note.topic == Some("feeding"));
    FirstDays {
        food: food.map(begun),
        vet_is_promised: promises
            .iter()
            .any(|promise| speaks_of_a_vet(&promise.text)),
        promises,
        chip: ChipToRegister {
            number: chip.map(str::to_owned),
            asked: new_keeper(place.country, place.region).map(|asked| rule(asked, leaves)),
        },
    }
}

fn promised(promise: &DatedPromise, leaves: Option<Day>) -> PromisedBy {
    let DatedPromise { text, within } = promise;
    PromisedBy {
        text: text.to_string(),
        within: within.to_string(),
        working_days: within.is_working_days(),
        by: iso(leaves.map(|day| Within::after(*within, day))),
    }
}

fn speaks_of_a_vet(text: &str) -> bool {
    let is_vet = |word: &str| {
        [
            "vet",
            "vets",
            "veterinary",
            "veterinarian",
            "vet's",
            "vet’s",
        ]
        .contains(&word)
    };
    text.to_lowercase()
        .split(|c: char| !c.is_alphanumeric() && c != '\'' && c != '’')
        .any(is_vet)
}

/// The note up to its first empty line; a head of its own is passed over.
fn begun(note: &NoteRecord) -> Food {
    let mut blocks = note
        .text
        .split("\n\n")
        .map(str::trim)
        .filter(|block| !block.is_empty() && !block.starts_with('#'));
    let text = blocks.next().unwrap_or_default().to_owned();
    Food {
        date: note.date.clone(),
        text,
        goes_on: blocks.next().is_some(),
    }
}

fn rule(asked: &NewKeeper, leaves: Option<Day>) -> ChipRule {
    let NewKeeper {
        book,
        details,
        within_days,
        source,
    } = asked;
    let details: Vec<&str> = details.iter().map(|detail| word(*detail)).collect();
    let details = match details.split_last() {
        Some((last, rest)) if !rest.is_empty() => format!("{} and {last}", rest.join(", ")),
        _ => details.join(""),
    };
    ChipRule {
        place: by_id(book).map_or(*book, |book| book.name),
        details: format!("your {details}"),
        within_days: *within_days,
        by: iso(leaves
            .zip(*within_days)
            .map(|(day, days)| day.plus(i64::from(days)))),
        source: said(*source),
    }
}

fn word(detail: Detail) -> &'static str {
    match detail {
        Detail::Name => "name",
        Detail::Address => "address",
        Detail::Telephone => "telephone",
        Detail::Email => "e-mail",
        Detail::NameOfDog => "the dog’s name if it is new",
    }
}

/// A source as a family reads it. Nothing in it depends on today: the page changes only when its
/// records do.
fn said(source: RuleSource) -> String {
    match source.sure {
        Sure::FromMemory => format!(
            "{}; from memory in {}, so ask the database",
            source.text, source.read
        ),
        Sure::ReadInSource | Sure::SecondHand => format!(
            "{}; {} in {}",
            source.text,
            words::sure(source.sure),
            source.read
        ),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_visit_to_the_vet_is_told_from_other_promises() {
        for text in [
            "Take the puppy to your vet.",
            "Your vet’s first look",
            "A Vet sees it",
        ] {
            assert!(speaks_of_a_vet(text), "{text}");
        }
        for text in ["Bring a velvet cushion", "Tell us how the first night was"] {
            assert!(!speaks_of_a_vet(text), "{text}");
        }
    }
}
