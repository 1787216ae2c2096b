//! The care plan held against what was done: for each puppy what is done, due, overdue or to come,
//! how complete its care is, and what falls to its next owner.
//!
//! In: the plan's items, one puppy, the litter's health entries, the day it leaves. Out: [`Care`].
//! An entry counts for the earliest item that it fits; one that is named by `done` counts for that
//! item alone. A date that a vet wrote as next due stands above the plan's. Nothing here names a
//! product or a dose.

mod every;
mod schedule;
mod vaccination;
pub mod vaccines;

pub use every::Every;
pub use schedule::{Item, items};

use crate::quantity::{Day, Text};
use crate::records::care_plan::CareKind;
use crate::records::health::{HealthEntry, Vaccination};
use crate::records::litter::Puppy;
use std::sync::Arc;
use vaccines::Disease;

/// How many days before an item's first day an entry already counts for it: guidelines count in
/// weeks, vets' diaries do not.
const EARLY: i64 = 5;
/// How many days before a date that a vet gave as next due an entry counts for it.
const BEFORE_NEXT_DUE: i64 = 7;
/// How many days after weaning the wormings of puppies go on every two weeks (ESCCAP GL1).
const AFTER_WEANING: i64 = 14;

/// Where one item stands for one puppy.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum ItemState {
    /// Done on that day; without one where only a chip number says so.
    Done(Option<Day>),
    /// Its window is open.
    Due,
    /// Its window is over and nothing was recorded.
    Overdue,
    /// Its window is over, nothing was recorded, and a later one of its kind has been done or has
    /// come due in its place.
    LeftOut,
    /// Its window is still to come.
    ToCome,
    /// Falls after the day the puppy leaves or left: for the next owner.
    NextOwner,
    /// Not for this puppy, with the reason.
    Excused(Option<Text>),
}

/// One item for one puppy.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ItemStanding {
    /// The item of the plan.
    pub item: Arc<Item>,
    /// First day on which it is due for this puppy.
    pub from: Day,
    /// Last day by which it should be done.
    pub until: Day,
    /// Whether these days come from a date that was written as next due.
    pub by_next_due: bool,
    /// Where it stands.
    pub state: ItemState,
    /// What has to be said beside it.
    pub remark: Option<Remark>,
}

/// What has to be said beside an item.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Remark {
    /// Something was given, and does not count for it.
    NotCounted {
        /// When.
        on: Day,
        /// Why it does not count.
        why: WhyNot,
    },
    /// It was given longer after the one before than the guideline says.
    LongAfter {
        /// Days between the two.
        days: i64,
        /// The longest interval.
        most: i64,
    },
    /// It takes the place of one that was not done, and was due by this day.
    InPlaceOf {
        /// The last day of the one that was not done.
        until: Day,
        /// Its name.
        name: String,
    },
}

/// Why a dose does not count.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum WhyNot {
    /// Its entry does not say against what it is.
    NotSaid,
    /// It is not against these.
    Lacks(Vec<Disease>),
    /// It would have counted from this day on.
    TooSoon(Day),
    /// So many days after the one before, it is the first of a new series.
    Interrupted(i64),
}

/// The care of one puppy.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Care {
    /// All items, by the day they are due.
    pub standings: Vec<ItemStanding>,
}

/// Done or excused over what was due by now.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Completeness {
    /// Items done or excused, of those that count.
    pub done: usize,
    /// Items whose window is over, or that are done or excused.
    pub of: usize,
    /// Names of those that are missing.
    pub missing: Vec<String>,
}

impl Care {
    /// How complete the care is: done or excused, over all that was due by now. An open window does
    /// not count against a puppy.
    #[must_use]
    pub fn completeness(&self, today: Day) -> Completeness {
        let mut complete = Completeness {
            done: 0,
            of: 0,
            missing: Vec::new(),
        };
        for standing in &self.standings {
            match standing.state {
                ItemState::Done(_) => {
                    complete.done += 1;
                    complete.of += 1;
                }
                ItemState::Excused(_) if standing.from <= today => {
                    complete.done += 1;
                    complete.of += 1;
                }
                ItemState::Overdue | ItemState::LeftOut => {
                    complete.of += 1;
                    complete.missing.push(standing.item.name.clone());
                }
                ItemState::Excused(_)
                | ItemState::Due
                | ItemState::ToCome
                | ItemState::NextOwner => {}
            }
        }
        complete
    }

    /// What falls to the next owner, by date: items that begin after the puppy leaves. Milestones
    /// and the like have passed by then.
    pub fn for_next_owner(&self) -> impl Iterator<Item = &ItemStanding> {
        self.standings
            .iter()
            .filter(|s| s.state == ItemState::NextOwner)
    }
}

/// The days of one puppy that its care is counted from.
#[derive(Debug, Clone, Copy)]
pub struct CareDays {
    /// When it was born.
    pub born: Day,
    /// When it was weaned, where that was written.
    pub weaned: Option<Day>,
    /// When it leaves or left the kennel.
    pub leaves: Day,
    /// Today.
    pub today: Day,
}

/// Holds the plan against what was done for one puppy.
#[must_use]
pub fn of_puppy(plan: &[Arc<Item>], puppy: &Puppy, health: &[HealthEntry], days: CareDays) -> Care {
    let CareDays {
        born,
        weaned,
        leaves,
        today,
    } = days;
    let mut entries: Vec<(Day, &HealthEntry)> = health
        .iter()
        .filter(|e| e.is_for(&puppy.id))
        .filter_map(|e| Some((e.day()?, e)))
        .collect();
    entries.sort_by_key(|(day, _)| *day);
    let mut standings = Vec::with_capacity(plan.len());
    for kind in [
        CareKind::Worming,
        CareKind::Vaccination,
        CareKind::Chip,
        CareKind::Check,
        CareKind::Milestone,
        CareKind::Socialisation,
    ] {
        let is_over = |item: &Item| {
            weaned.is_some_and(|weaned| {
                item.while_weaning && born.plus(item.from) > weaned.plus(AFTER_WEANING)
            })
        };
        let items: Vec<&Arc<Item>> = plan
            .iter()
            .filter(|item| item.what == kind && !is_over(item))
            .collect();
        let series = |items| Series {
            kind,
            items,
            entries: &entries,
            puppy,
            born,
            leaves,
            today,
        };
        if kind == CareKind::Vaccination {
            let (own, built_in): (Vec<_>, Vec<_>) =
                items.into_iter().partition(|item| item.against.is_empty());
            let built_in = series(built_in);
            for against in [vaccines::CORE, vaccines::LEPTOSPIROSIS] {
                standings.extend(vaccination::standings(&built_in, against));
            }
            // The keeper's own are no series: each stands for itself.
            standings.extend(
                own.into_iter()
                    .flat_map(|item| series(vec![item]).standings()),
            );
        } else {
            standings.extend(series(items).standings());
        }
    }
    standings.sort_by(|a, b| (a.from, a.until, &a.item.id).cmp(&(b.from, b.until, &b.item.id)));
    Care { standings }
}

/// The items of one kind and everything they are held against.
struct Series<'a> {
    kind: CareKind,
    items: Vec<&'a Arc<Item>>,
    entries: &'a [(Day, &'a HealthEntry)],
    puppy: &'a Puppy,
    born: Day,
    leaves: Day,
    today: Day,
}

/// An entry of the kind of a series: when, and when the next is due.
#[derive(Clone, Copy)]
struct GivenInSeries {
    on: Day,
    next_due: Option<Day>,
}

impl Series<'_> {
    fn standings(&self) -> Vec<ItemStanding> {
        let given = self.given();
        let mut next = 0;
        let mut previous: Option<GivenInSeries> = None;
        let mut standings: Vec<ItemStanding> = Vec::with_capacity(self.items.len());
        for (i, item) in self.items.iter().enumerate() {
            let (from, until, by_next_due) = self.window(item, previous);
            // A written date is that of one item, the next.
            if let (true, Some(given)) = (by_next_due, &mut previous) {
                given.next_due = None;
            }
            let mut standing = ItemStanding {
                item: Arc::clone(item),
                from,
                until,
                by_next_due,
                state: ItemState::Overdue,
                remark: None,
            };
            if let Some(state) = self.said(item) {
                standing.state = state;
                standings.push(standing);
                continue;
            }
            // Entries from before the window belong to no item: more was done than planned. What
            // the plan itself would have counted counts, whatever later date a vet wrote.
            let earliest = from.min(self.born.plus(item.from)).plus(-EARLY);
            while given.get(next).is_some_and(|g| g.on < earliest) {
                next += 1;
            }
            let later = self
                .items
                .get(i + 1)
                .map(|item| self.born.plus(item.from - EARLY));
            standing.state = match given
                .get(next)
                .filter(|g| later.is_none_or(|later| g.on < later))
            {
                Some(entry) => {
                    next += 1;
                    previous = Some(*entry);
                    ItemState::Done(Some(entry.on))
                }
                None if self.kind == CareKind::Chip && self.puppy.chip.is_some() => {
                    ItemState::Done(None)
                }
                None => self.open(from, until),
            };
            standings.push(standing);
        }
        self.left_out(&mut standings);
        standings
    }

    /// What was given of this kind, in the order of time.
    fn given(&self) -> Vec<GivenInSeries> {
        let of_kind = |(day, entry): &(Day, &HealthEntry)| {
            let next_due = match self.kind {
                CareKind::Worming => entry.worming.as_ref()?.next_due,
                // The keeper's own item: its name says what an entry has to be against.
                CareKind::Vaccination => {
                    entry
                        .vaccination
                        .as_ref()
                        .filter(|given| self.items.iter().any(|item| names_one_of(item, given)))?
                        .next_due
                }
                CareKind::Chip => entry.chip.as_ref().map(|_| None)?,
                CareKind::Check => entry.check.as_ref().map(|_| None)?,
                CareKind::Milestone | CareKind::Socialisation | CareKind::Recovery => return None,
            };
            Some(GivenInSeries { on: *day, next_due })
        };
        self.entries.iter().filter_map(of_kind).collect()
    }

    /// What the records say of this very item by name.
    fn said(&self, item: &Item) -> Option<ItemState> {
        let names = |ids: &[crate::quantity::Id]| ids.iter().any(|id| id.as_str() == item.id);
        let done = self
            .entries
            .iter()
            .find(|(_, e)| names(&e.done))
            .map(|(day, _)| ItemState::Done(Some(*day)));
        done.or_else(|| {
            self.entries
                .iter()
                .find(|(_, e)| names(&e.excused))
                .map(|(_, e)| ItemState::Excused(e.remark.clone()))
        })
    }

    /// The days of an item for this puppy, and whether they come from a written next date.
    fn window(&self, item: &Item, previous: Option<GivenInSeries>) -> (Day, Day, bool) {
        let (from, until) = (self.born.plus(item.from), self.born.plus(item.until));
        match previous {
            // The next date belongs to the item it comes close to, not to one months later.
            Some(GivenInSeries {
                on,
                next_due: Some(due),
            }) if due <= until.plus(BEFORE_NEXT_DUE) || item.after_previous.is_some() => {
                (due.plus(-BEFORE_NEXT_DUE).max(on.plus(1)), due, true)
            }
            Some(GivenInSeries { on, .. }) => match item.after_previous {
                Some((least, most)) => {
                    let from = from.max(on.plus(least));
                    (from, until.max(on.plus(most)).max(from), false)
                }
                None => (from, until, false),
            },
            None => (from, until, false),
        }
    }

    /// Where an item stands for which nothing was recorded.
    fn open(&self, from: Day, until: Day) -> ItemState {
        let left = self.today >= self.leaves;
        if from > self.leaves || (left && until >= self.leaves) {
            ItemState::NextOwner
        } else if self.today < from {
            ItemState::ToCome
        } else if self.today <= until {
            ItemState::Due
        } else {
            ItemState::Overdue
        }
    }

    /// Of a series only the latest can be overdue: nobody gives the worming of two weeks at six.
    fn left_out(&self, standings: &mut [ItemStanding]) {
        if !matches!(self.kind, CareKind::Worming) {
            return;
        }
        let mut later = false;
        for standing in standings.iter_mut().rev() {
            if later && standing.state == ItemState::Overdue {
                standing.state = ItemState::LeftOut;
            }
            later |= matches!(
                standing.state,
                ItemState::Done(_) | ItemState::Due | ItemState::Overdue | ItemState::LeftOut
            );
        }
        // What took its place is as late as the first that was not done, until one is done.
        let mut first: Option<(Day, String)> = None;
        for standing in standings.iter_mut() {
            match standing.state {
                ItemState::LeftOut => {
                    _ = first.get_or_insert_with(|| (standing.until, standing.item.name.clone()));
                }
                ItemState::Done(_) | ItemState::Excused(_) => first = None,
                ItemState::Due | ItemState::Overdue => {
                    standing.remark = first
                        .take()
                        .map(|(until, name)| Remark::InPlaceOf { until, name });
                }
                ItemState::ToCome | ItemState::NextOwner => {}
            }
        }
    }
}

/// Whether an entry says that it is against what an item of the keeper's own is called after.
fn names_one_of(item: &Item, given: &Vaccination) -> bool {
    let (id, name) = (
        item.id.replace('-', " ").to_lowercase(),
        item.name.to_lowercase(),
    );
    given
        .against
        .iter()
        .map(|text| text.to_string().to_lowercase())
        .any(|text| id.contains(&text) || name.contains(&text) || text.contains(&id))
}

#[cfg(test)]
mod tests;
