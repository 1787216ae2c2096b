//! Everything of the book by name, so that one page finds it: litters, puppies, dogs, families, who
//! waits, notes.
//!
//! In: records. Out: [`FindPage`]. Without script it is a list; with it, the list narrows to what
//! was typed.

use super::paths;
use crate::RibbonShown;
use crate::records::Records;
use crate::records::litter::Puppy;
use crate::records::owners::Owners;
use serde::Serialize;

/// The page that finds things.
#[derive(Debug, Clone, Serialize)]
pub struct FindPage {
    /// Everything, litters first, the newest of them first.
    pub entries: Vec<FindEntry>,
}

/// One thing of the book.
#[derive(Debug, Clone, Serialize)]
pub struct FindEntry {
    /// Its name.
    pub name: String,
    /// What it is: `puppy of Summer 2026`.
    pub what: String,
    /// A puppy's ribbon.
    pub ribbon: Option<RibbonShown>,
    /// Where it stands, below the root of the book.
    pub path: String,
    /// What else it may be looked for by: id, registered name, chip, colour.
    pub words: String,
}

pub(super) fn page(records: &Records) -> FindPage {
    let mut entries = Vec::new();
    let mut litters: Vec<_> = records.litters.values().collect();
    litters.sort_by_key(|folder| {
        std::cmp::Reverse(folder.litter.birth.as_ref().map(|birth| birth.on))
    });
    for folder in litters {
        let path = paths::litter(&folder.id);
        let name = folder.litter.name.to_string();
        let parents = format!("{} {} {}", folder.id, folder.litter.dam, folder.litter.sire);
        entries.push(FindEntry {
            name: name.clone(),
            what: "litter".to_owned(),
            ribbon: None,
            path: path.clone(),
            words: parents,
        });
        entries.extend(folder.litter.puppies.iter().map(|one| FindEntry {
            name: one.shown_name(),
            what: format!("puppy of {name}"),
            ribbon: one.ribbon.map(Into::into),
            path: paths::puppy(&folder.id, &one.id),
            words: words_of(one),
        }));
        entries.extend(folder.notes.iter().map(|note| FindEntry {
            name: note.head.title.to_string(),
            what: format!("note on {name}, {}", note.head.date.in_words()),
            ribbon: None,
            path: format!("{path}#note-{}", note.slug),
            words: String::new(),
        }));
    }
    entries.extend(records.dogs.iter().map(|(id, dog)| {
        let called = dog
            .call_name
            .as_ref()
            .map(|called| format!("{called} "))
            .unwrap_or_default();
        let chip = dog
            .chip
            .as_ref()
            .map(ToString::to_string)
            .unwrap_or_default();
        FindEntry {
            name: dog.name.to_string(),
            what: "dog".to_owned(),
            ribbon: None,
            path: format!("dogs.html#{id}"),
            words: format!("{called}{id} {chip}"),
        }
    }));
    let Owners { families, waiting } = &*records.owners;
    entries.extend(families.iter().map(|family| {
        let address = family
            .address
            .as_ref()
            .map(ToString::to_string)
            .unwrap_or_default();
        let words = format!("{} {address}", family.id);
        FindEntry {
            name: family.name.to_string(),
            what: "family".to_owned(),
            ribbon: None,
            path: format!("people.html#{}", family.id),
            words,
        }
    }));
    entries.extend(waiting.iter().map(|one| {
        FindEntry {
            name: one.name.to_string(),
            what: "on the waiting list".to_owned(),
            ribbon: None,
            path: "people.html#waiting".to_owned(),
            words: one
                .wants
                .as_ref()
                .map(ToString::to_string)
                .unwrap_or_default(),
        }
    }));
    FindPage { entries }
}

fn words_of(puppy: &Puppy) -> String {
    let said = [
        puppy.registered_name.as_ref().map(ToString::to_string),
        puppy.colour.as_ref().map(ToString::to_string),
        puppy.ribbon.map(|ribbon| ribbon.name().to_owned()),
        puppy.chip.as_ref().map(ToString::to_string),
    ];
    let mut words = vec![puppy.id.to_string(), puppy.sex.word().to_owned()];
    words.extend(said.into_iter().flatten());
    words.join(" ")
}
