//! A series of vaccinations held against what was given.
//!
//! In: the items that are against the same diseases, and the entries of one puppy. Out:
//! [`ItemStanding`]s. What is given on one day counts together. A dose counts when it is against
//! everything that the item asks for, not sooner after the one before than the guideline's shortest
//! interval, and, where the item has a least age, not before it. What did not count is said beside
//! the item that is still open.

use super::vaccines::{Disease, core_of};
use super::{
    BEFORE_NEXT_DUE, EARLY, GivenInSeries, Item, ItemStanding, ItemState, Remark, Series, WhyNot,
};
use crate::quantity::Day;
use crate::records::health::Vaccination;
use std::sync::Arc;

/// A dose that comes later than this after the one before is not taken for the end of a series (six
/// weeks: AAHA, from memory).
const INTERRUPTED: i64 = 42;

/// What was given on one day.
struct Dose {
    on: Day,
    next_due: Option<Day>,
    against: Vec<Disease>,
    /// An entry of that day does not say against what it is.
    is_silent: bool,
}

/// The items of a series that are against the same diseases.
pub(super) fn standings(series: &Series<'_>, against: &'static [Disease]) -> Vec<ItemStanding> {
    let items: Vec<&Arc<Item>> = series
        .items
        .iter()
        .copied()
        .filter(|item| item.against == against)
        .collect();
    let doses = doses(series);
    DoseCount {
        series,
        items,
        against,
        doses,
        next: 0,
        previous: None,
        counted: 0,
        apart: 0,
        left_aside: None,
    }
    .standings()
}

fn doses(series: &Series<'_>) -> Vec<Dose> {
    let mut doses: Vec<Dose> = Vec::new();
    for (on, entry) in series.entries {
        let Some(vaccination) = &entry.vaccination else {
            continue;
        };
        let Vaccination {
            against, next_due, ..
        } = vaccination;
        let dose = Dose {
            on: *on,
            next_due: *next_due,
            against: core_of(vaccination),
            is_silent: against.is_empty(),
        };
        match doses.last_mut().filter(|last| last.on == *on) {
            Some(last) => {
                last.against.extend(dose.against);
                last.next_due = last.next_due.max(dose.next_due);
                last.is_silent |= dose.is_silent;
            }
            None => doses.push(dose),
        }
    }
    doses
}

struct DoseCount<'a, 's> {
    series: &'s Series<'a>,
    items: Vec<&'a Arc<Item>>,
    against: &'static [Disease],
    doses: Vec<Dose>,
    next: usize,
    previous: Option<GivenInSeries>,
    /// How many doses have counted, and how many days lay between the last two.
    counted: usize,
    apart: i64,
    /// The latest that did not count.
    left_aside: Option<Remark>,
}

impl DoseCount<'_, '_> {
    fn standings(mut self) -> Vec<ItemStanding> {
        let mut standings: Vec<ItemStanding> = Vec::with_capacity(self.items.len());
        for (i, item) in self.items.clone().into_iter().enumerate() {
            let said = self.series.said(item);
            if item.only_between
                && said.is_none()
                && !self.is_needed_between(item, self.items.get(i + 1).copied())
            {
                continue;
            }
            let (from, until, by_next_due) = self.window(item);
            let before = self.previous;
            let mut standing = ItemStanding {
                item: Arc::clone(item),
                from,
                until,
                by_next_due,
                state: ItemState::Overdue,
                remark: None,
            };
            standing.state = match said {
                Some(ItemState::Done(Some(on))) => {
                    self.count(GivenInSeries { on, next_due: None });
                    ItemState::Done(Some(on))
                }
                Some(state) => state,
                None => {
                    if let Some(on) = self.dose(item, from) {
                        ItemState::Done(Some(on))
                    } else {
                        // A dose that was too soon for the last moves it all the same.
                        (standing.from, standing.until, standing.by_next_due) = self.window(item);
                        self.series.open(standing.from, standing.until)
                    }
                }
            };
            match (&standing.state, item.after_previous, before) {
                // Of a series that began again the new first dose is the one before.
                (ItemState::Done(Some(on)), Some((_, most)), Some(before))
                    if on.since(before.on).min(self.apart) > most =>
                {
                    standing.remark = Some(Remark::LongAfter {
                        days: on.since(before.on).min(self.apart),
                        most,
                    });
                }
                (ItemState::Done(_) | ItemState::Excused(_), ..) => {}
                _ => standing.remark = self.left_aside.take(),
            }
            if let (true, false, Some(previous)) = (
                standing.by_next_due,
                matches!(standing.state, ItemState::Done(_)),
                &mut self.previous,
            ) {
                // A written date is that of one item.
                previous.next_due = None;
            }
            standings.push(standing);
        }
        standings
    }

    fn count(&mut self, given: GivenInSeries) {
        self.apart = self.previous.map_or(0, |before| given.on.since(before.on));
        self.previous = Some(given);
        self.counted += 1;
    }

    /// Whether one dose more is needed, since the last may not be given yet when the interval ends.
    fn is_needed_between(&self, item: &Item, last: Option<&Arc<Item>>) -> bool {
        let (Some(last), Some(previous), Some((_, most))) =
            (last, self.previous, item.after_previous)
        else {
            return false;
        };
        let from = self.series.born.plus(last.from);
        self.counted >= 2 && previous.next_due.unwrap_or(previous.on.plus(most)) < from
    }

    /// The dose of an item: when it was given.
    fn dose(&mut self, item: &Item, from: Day) -> Option<Day> {
        let least_age = item.is_last.then(|| self.series.born.plus(item.from));
        // The second of a puppy that came late may be its last.
        if let (Some(least_age), Some(previous)) = (least_age, self.previous)
            && item.after_previous.is_some()
            && self.counted >= 2
            && previous.on >= least_age
            && self.apart <= INTERRUPTED
        {
            return Some(previous.on);
        }
        let earliest = match (item.after_previous, self.previous) {
            // Where a vet wrote a date, that date stands.
            (Some((least, _)), Some(previous)) => {
                previous.on.plus(least).min(if previous.next_due.is_some() {
                    from
                } else {
                    Day::LAST
                })
            }
            _ => self.series.born.plus(item.from - EARLY),
        };
        let by_interval = earliest;
        let earliest = least_age.map_or(earliest, |least_age| earliest.max(least_age));
        while let Some(dose) = self.doses.get(self.next) {
            let lacks: Vec<Disease> = self
                .against
                .iter()
                .copied()
                .filter(|disease| !dose.against.contains(disease))
                .collect();
            let why = if lacks.is_empty() {
                if dose.on >= earliest
                    && let Some(days) = self.interrupted(item, dose.on)
                {
                    self.previous = Some(GivenInSeries {
                        on: dose.on,
                        next_due: dose.next_due,
                    });
                    Some(WhyNot::Interrupted(days))
                } else if dose.on >= earliest {
                    let given = GivenInSeries {
                        on: dose.on,
                        next_due: dose.next_due,
                    };
                    self.next += 1;
                    self.left_aside = None;
                    self.count(given);
                    return Some(given.on);
                } else {
                    if self.previous.is_some() && dose.on >= by_interval {
                        self.previous = Some(GivenInSeries {
                            on: dose.on,
                            next_due: dose.next_due,
                        });
                    }
                    Some(WhyNot::TooSoon(earliest))
                }
            } else if lacks.len() < self.against.len() {
                Some(WhyNot::Lacks(lacks))
            } else {
                dose.is_silent.then_some(WhyNot::NotSaid)
            };
            if let Some(why) = why {
                self.left_aside = Some(Remark::NotCounted { on: dose.on, why });
            }
            self.next += 1;
        }
        None
    }

    /// Days since the dose before, where they are so many that a series of which no dose is the
    /// last begins again with this one. A date that a vet wrote stands above it.
    fn interrupted(&self, item: &Item, on: Day) -> Option<i64> {
        if item.after_previous.is_none() || self.items.iter().any(|item| item.is_last) {
            return None;
        }
        let before = self.previous?;
        let by_the_vet = before
            .next_due
            .is_some_and(|due| on <= due.plus(BEFORE_NEXT_DUE));
        Some(on.since(before.on)).filter(|days| *days > INTERRUPTED && !by_the_vet)
    }

    /// The days of an item, and whether they come from a written next date.
    fn window(&self, item: &Item) -> (Day, Day, bool) {
        let born = self.series.born;
        let (from, until) = (born.plus(item.from), born.plus(item.until));
        let Some(previous) = self.previous else {
            return (from, until, false);
        };
        // The next date belongs to the item it comes close to, not to one months later.
        if let Some(due) = previous
            .next_due
            .filter(|due| *due <= until.plus(BEFORE_NEXT_DUE) || item.after_previous.is_some())
        {
            return (
                due.plus(-BEFORE_NEXT_DUE).max(previous.on.plus(1)),
                due,
                true,
            );
        }
        let Some((least, most)) = item.after_previous else {
            return (from, until, false);
        };
        let (soonest, latest) = (previous.on.plus(least), previous.on.plus(most));
        let begins = if item.is_last {
            from.max(soonest)
        } else {
            from.max(soonest).min(latest)
        };
        (
            begins,
            if latest < begins {
                until.max(begins)
            } else {
                latest
            },
            false,
        )
    }
}
