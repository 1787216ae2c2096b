//! Families and waiting list as the keeper sees them.
//!
//! In: `owners.yaml`. Out: [`PeoplePage`]. Nobody else ever gets a view of this file.

use super::paths;
use super::{Fact, Facts};
use crate::husbandry::Figures;
use crate::husbandry::readiness::{self, Readiness};
use crate::records::kennel::Email;
use crate::records::litter::Puppy;
use crate::records::owners::{Family, Homes, Owners, Takes, Waiting};
use crate::records::{LitterFolder, Records};
use crate::{Dated, words};
use serde::Serialize;

/// Families and waiting list.
#[derive(Debug, Clone, Serialize)]
pub struct PeoplePage {
    /// Families.
    pub families: Vec<FamilyEntry>,
    /// Waiting list, longest waiting first.
    pub waiting: Vec<WaitingEntry>,
}

/// A family.
#[derive(Debug, Clone, Serialize)]
pub struct FamilyEntry {
    /// Name in the records.
    pub id: String,
    /// Name.
    pub name: String,
    /// How to reach it, remarks.
    pub facts: Vec<Fact>,
    /// The puppies it takes.
    pub takes: Vec<TakenRow>,
}

/// A puppy taken.
#[derive(Debug, Clone, Serialize)]
pub struct TakenRow {
    /// Puppy.
    pub puppy: String,
    /// Litter.
    pub litter: String,
    /// Path of the litter's page in the book.
    pub path: String,
    /// When, price, deposit.
    pub facts: Vec<Fact>,
    /// What is missing before it can leave; nothing for one that has left.
    pub before_leaving: Option<BeforeLeaving>,
}

/// What is missing before a puppy can leave.
#[derive(Debug, Clone, Serialize)]
pub struct BeforeLeaving {
    /// For which day it was looked at.
    pub on: Dated,
    /// What is missing: in a word, and in a sentence.
    pub gaps: Vec<(&'static str, String)>,
    /// What to type for its papers.
    pub command: String,
}

/// Somebody who waits.
#[derive(Debug, Clone, Serialize)]
pub struct WaitingEntry {
    /// Name.
    pub name: String,
    /// Since when, what for, how to reach.
    pub facts: Vec<Fact>,
}

pub(super) fn page(owners: &Owners, records: &Records, figures: &Figures<'_>) -> PeoplePage {
    let Owners { families, waiting } = owners;
    let homes = owners.homes();
    let mut waiting: Vec<&Waiting> = waiting.iter().collect();
    waiting.sort_by_key(|w| (w.since.is_none(), w.since));
    PeoplePage {
        families: families
            .iter()
            .map(|f| family(f, records, figures, &homes))
            .collect(),
        waiting: waiting.into_iter().map(waits).collect(),
    }
}

fn family(
    family: &Family,
    records: &Records,
    figures: &Figures<'_>,
    homes: &Homes<'_>,
) -> FamilyEntry {
    let Family {
        id,
        name,
        email,
        phone,
        address,
        country,
        region,
        takes,
        remarks,
    } = family;
    let mut facts = Facts::default();
    facts
        .maybe("E-mail", email.as_ref().map(|Email(e)| e))
        .maybe("Telephone", phone.as_ref())
        .maybe("Address", address.as_ref())
        .maybe("Country", country.as_ref())
        .maybe("Region", region.as_ref())
        .maybe("Remarks", remarks.as_ref());
    FamilyEntry {
        id: id.to_string(),
        name: name.to_string(),
        facts: facts.done(),
        takes: takes
            .iter()
            .map(|t| taken(t, records, figures, homes))
            .collect(),
    }
}

fn taken(takes: &Takes, records: &Records, figures: &Figures<'_>, homes: &Homes<'_>) -> TakenRow {
    let Takes {
        litter,
        puppy,
        reserved,
        leaves,
        price,
        deposit,
    } = takes;
    let folder = records.litters.get(litter);
    let mut facts = Facts::default();
    facts
        .day("Reserved", *reserved)
        .day("Leaves", *leaves)
        .maybe("Price", price.as_ref())
        .maybe("Deposit", deposit.as_ref());
    let known = folder.and_then(|f| f.puppy(puppy));
    let is_present = known.is_none_or(|puppy| takes.is_present(puppy));
    facts.day(
        "Came back",
        known
            .and_then(|puppy| puppy.returned.as_ref())
            .filter(|_| !is_present)
            .map(|returned| returned.on),
    );
    TakenRow {
        puppy: folder
            .and_then(|f| f.puppy(puppy))
            .map_or_else(|| puppy.to_string(), |p| p.shown_name()),
        litter: folder.map_or_else(|| litter.to_string(), |f| f.litter.name.to_string()),
        path: paths::puppy(litter, puppy),
        facts: facts.done(),
        before_leaving: folder
            .filter(|_| is_present)
            .and_then(|f| before_leaving(records, figures, homes, f, f.puppy(puppy)?)),
    }
}

fn before_leaving(
    records: &Records,
    figures: &Figures<'_>,
    homes: &Homes<'_>,
    folder: &LitterFolder,
    puppy: &Puppy,
) -> Option<BeforeLeaving> {
    let is_here = puppy.is_alive()
        && folder.litter.birth.is_some()
        && !figures.litters.is_gone(folder, puppy);
    let Readiness {
        on,
        has_left: _,
        gaps,
    } = is_here.then(|| readiness::of_puppy(records, figures, homes, folder, puppy))?;
    let ounces = records.kennel.is_read_in_ounces();
    let gaps = gaps
        .into_iter()
        .map(|gap| {
            let missing = words::readiness::missing(&gap, ounces);
            (words::readiness::kind(gap.kind()), missing)
        })
        .collect();
    Some(BeforeLeaving {
        on: on.into(),
        gaps,
        command: format!("litterfolio handover {}/{}", folder.id, puppy.id),
    })
}

fn waits(waiting: &Waiting) -> WaitingEntry {
    let Waiting {
        name,
        since,
        wants,
        email,
        phone,
        remarks,
    } = waiting;
    let mut facts = Facts::default();
    facts
        .maybe("Since", since.map(|d| Dated::from(d).words))
        .maybe("Wants", wants.as_ref())
        .maybe("E-mail", email.as_ref().map(|Email(e)| e));
    facts
        .maybe("Telephone", phone.as_ref())
        .maybe("Remarks", remarks.as_ref());
    WaitingEntry {
        name: name.to_string(),
        facts: facts.done(),
    }
}
