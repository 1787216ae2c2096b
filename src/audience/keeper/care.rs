//! The care plan held against what was done, as the keeper sees it: one table for a litter, one
//! list for a puppy.
//!
//! In: the care of puppies. Out: [`CareTable`] with a row for each item that has begun or comes
//! soon, [`StandingRow`]s for one puppy, and what its next owner must do.

use super::BookContext;
use super::words::short;
use crate::husbandry::care::{Care, Completeness, Item, ItemStanding, ItemState, Remark};
use crate::quantity::{Day, Id};
use crate::records::LitterFolder;
use crate::records::care_plan::CareKind;
use crate::{Dated, words};
use serde::Serialize;

/// How many days ahead a litter's table looks.
const AHEAD: i64 = 21;

/// The care of a litter: a row for each item, a column for each living puppy.
#[derive(Debug, Clone, Serialize)]
pub struct CareTable {
    /// Names of the puppies.
    pub columns: Vec<String>,
    /// Items that have begun, or begin within three weeks, by date.
    pub rows: Vec<CareRow>,
    /// How complete each puppy's care is: `7 of 8`.
    pub complete: Vec<String>,
}

/// One item.
#[derive(Debug, Clone, Serialize)]
pub struct CareRow {
    /// What.
    pub name: String,
    /// Kind.
    pub what: &'static str,
    /// Name in the records, for `done` and `excused`.
    pub id: String,
    /// A cell for each puppy.
    pub cells: Vec<CareCell>,
}

/// One item for one puppy.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct CareCell {
    /// `done`, `due`, `overdue`, `left out`, `not noted`, `to come`, `next owner`, `not for this
    /// puppy`.
    pub state: &'static str,
    /// The day that belongs to it.
    pub day: String,
}

/// One item in a puppy's own list.
#[derive(Debug, Clone, Serialize)]
pub struct StandingRow {
    /// What.
    pub name: String,
    /// Where it stands.
    pub cell: CareCell,
    /// Window in words.
    pub window: String,
    /// Where the days come from.
    pub source: String,
}

/// The care of one puppy.
#[derive(Debug, Clone, Serialize)]
pub struct PuppyCare {
    /// `7 of 8 done that were due by now`.
    pub complete: String,
    /// Names of what is missing.
    pub missing: Vec<String>,
    /// What is due, overdue or comes within three weeks.
    pub now: Vec<StandingRow>,
    /// What falls to the next owner.
    pub next_owner: Vec<StandingRow>,
}

/// The table of a litter; nothing while nobody has been born, or everybody has gone.
pub(super) fn table(context: &BookContext<'_>, folder: &LitterFolder) -> Option<CareTable> {
    let figures = &context.figures.litters[&folder.id];
    let cares: Vec<(&Id, &Care)> = folder
        .living()
        .map(|p| (&p.id, &figures.puppies[&p.id].care))
        .filter(|(_, care)| !care.standings.is_empty())
        .collect();
    let first = cares.first()?;
    let today = context.figures.today;
    // Items stand in the same order for all puppies, but for the days that a vet moved.
    let mut items: Vec<(Day, &Item)> = first
        .1
        .standings
        .iter()
        .map(|s| (s.from, &*s.item))
        .collect();
    // Some items are needed for some puppies alone.
    for standing in cares.iter().flat_map(|(_, care)| &care.standings) {
        if !items.iter().any(|(_, item)| item.id == standing.item.id) {
            items.push((standing.from, &*standing.item));
        }
    }
    items.sort_by_key(|(from, _)| *from);
    let rows = items.into_iter().filter_map(|(_, item)| {
        let standings: Vec<&ItemStanding> = cares
            .iter()
            .filter_map(|(_, care)| care.standings.iter().find(|s| s.item.id == item.id))
            .collect();
        let here =
            |s: &&ItemStanding| s.state != ItemState::NextOwner && s.from <= today.plus(AHEAD);
        standings.iter().any(here).then(|| CareRow {
            name: item.name.clone(),
            what: item.what.word(),
            id: item.id.clone(),
            cells: cares
                .iter()
                .map(|(_, care)| {
                    care.standings
                        .iter()
                        .find(|s| s.item.id == item.id)
                        .map_or_else(not_needed, cell)
                })
                .collect(),
        })
    });
    let complete = cares.iter().map(|(_, care)| {
        let Completeness {
            done,
            of,
            missing: _,
        } = care.completeness(today);
        format!("{done} of {of}")
    });
    Some(CareTable {
        rows: rows.collect(),
        complete: complete.collect(),
        columns: cares
            .iter()
            .filter_map(|(id, _)| folder.puppy(id))
            .map(|p| p.shown_name())
            .collect(),
    })
}

/// The care of one puppy; nothing for one that has died or is not born.
pub(super) fn of_puppy(context: &BookContext<'_>, care: &Care) -> Option<PuppyCare> {
    let Care { standings } = care;
    if standings.is_empty() {
        return None;
    }
    let today: Day = context.figures.today;
    let Completeness { done, of, missing } = care.completeness(today);
    let soon = |s: &&ItemStanding| match s.state {
        ItemState::Due | ItemState::Overdue | ItemState::LeftOut => true,
        ItemState::Done(_) => matches!(s.remark, Some(Remark::LongAfter { .. })),
        ItemState::ToCome => s.from <= today.plus(AHEAD),
        _ => false,
    };
    Some(PuppyCare {
        complete: if of == 0 {
            "nothing was due by now".to_owned()
        } else {
            format!("{done} of {of} that were due by now")
        },
        missing,
        now: standings.iter().filter(soon).map(row).collect(),
        next_owner: care.for_next_owner().map(row).collect(),
    })
}

/// A cell of an item that this puppy does not need.
fn not_needed() -> CareCell {
    CareCell {
        state: "not needed",
        day: String::new(),
    }
}

fn row(standing: &ItemStanding) -> StandingRow {
    let [from, until] = [standing.from, standing.until].map(|d| Dated::from(d).words);
    StandingRow {
        name: format!(
            "{}{}",
            standing.item.name,
            words::care::after(standing.remark.as_ref())
        ),
        cell: cell(standing),
        window: if from == until {
            from
        } else {
            format!("{from} to {until}")
        },
        source: if standing.by_next_due {
            "the date written as next due".to_owned()
        } else {
            standing.item.source.to_owned()
        },
    }
}

fn cell(standing: &ItemStanding) -> CareCell {
    let (state, day) = match &standing.state {
        ItemState::Done(Some(on)) => ("done", short(*on)),
        ItemState::Done(None) => ("done", String::new()),
        ItemState::Due => ("due", format!("by {}", short(standing.until))),
        // Nobody is late with a puppy's eyes.
        ItemState::Overdue
            if matches!(
                standing.item.what,
                CareKind::Milestone | CareKind::Socialisation
            ) =>
        {
            ("not noted", String::new())
        }
        ItemState::Overdue => ("overdue", format!("since {}", short(standing.until))),
        ItemState::LeftOut => ("left out", "not done".to_owned()),
        ItemState::ToCome => ("to come", format!("from {}", short(standing.from))),
        ItemState::NextOwner => ("next owner", format!("from {}", short(standing.from))),
        ItemState::Excused(why) => (
            "not for this puppy",
            why.as_ref().map(ToString::to_string).unwrap_or_default(),
        ),
    };
    CareCell { state, day }
}
