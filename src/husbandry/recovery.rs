//! The recovery of a dam after a birth: what is looked at, how often, and what is done already.
//!
//! In: the care plan's items for the dam, a litter with its health entries and the dam's weights,
//! the day. Out: a [`RecoveryItem`] for each item. An item is done by an entry that names it in
//! `done`, or by what it asks for itself: a temperature, a weight, a check by a vet, a treatment.
//! How often she is looked at is common practice, without a source.

use super::care::{Every, Item};
use crate::quantity::Day;
use crate::records::LitterFolder;
use crate::records::care_plan::CareKind;
use crate::records::health::HealthEntry;
use std::sync::Arc;

/// Where an item stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Stand {
    /// Nothing to be done before that day.
    Next(Day),
    /// Today, or it should have been done before.
    Due,
    /// It was to be done once, and its last day is over.
    Overdue,
    /// It goes on.
    Watched,
    /// Done, not needed or over.
    Closed,
}

/// One item of a dam's recovery.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RecoveryItem {
    /// The item of the plan.
    pub item: Arc<Item>,
    /// How often.
    pub every: Every,
    /// First day.
    pub from: Day,
    /// Last day.
    pub until: Day,
    /// When it was last done.
    pub last: Option<Day>,
    /// Where it stands.
    pub stand: Stand,
}

/// The recovery of the dam of a litter; nothing before the birth. What is for the wound is left out
/// where there was no section.
#[must_use]
pub fn of_dam(plan: &[Arc<Item>], folder: &LitterFolder, today: Day) -> Vec<RecoveryItem> {
    let Some(birth) = &folder.litter.birth else {
        return Vec::new();
    };
    let items = plan.iter().filter(|item| {
        item.what == CareKind::Recovery && (birth.how.is_section() || !item.after_section)
    });
    let entries: Vec<(Day, &HealthEntry)> = folder
        .health
        .iter()
        .filter(|e| e.is_for_dam())
        .filter_map(|e| Some((e.day()?, e)))
        .collect();
    items
        .map(|item| {
            let every = item.every.unwrap_or(Every::Once);
            let (from, until) = (birth.on.plus(item.from), birth.on.plus(item.until));
            let done = |day: Day, entry: &HealthEntry| {
                (birth.on..=today).contains(&day) && is_done_by(item, entry)
            };
            let mut last = entries
                .iter()
                .filter(|(day, entry)| done(*day, entry))
                .map(|(day, _)| *day)
                .max();
            if item.is_weight_of_dam() {
                let weighed = folder
                    .dam_weights()
                    .map(|(at, _)| at.day())
                    .filter(|day| (birth.on..=today).contains(day));
                last = last.max(weighed.max());
            }
            let is_excused = entries
                .iter()
                .any(|(_, entry)| entry.excused.iter().any(|id| id.as_str() == item.id));
            let stand = if is_excused {
                Stand::Closed
            } else {
                stand(every, birth.on, (from, until), last, today)
            };
            RecoveryItem {
                item: Arc::clone(item),
                every,
                from,
                until,
                last,
                stand,
            }
        })
        .collect()
}

fn stand(
    every: Every,
    birth: Day,
    (from, until): (Day, Day),
    last: Option<Day>,
    today: Day,
) -> Stand {
    let next = match (every, last) {
        (Every::Once, Some(_)) => return Stand::Closed,
        (_, None) => from,
        (_, Some(last)) => from.max(last.plus(every.gap(last.since(birth)))),
    };
    match every {
        Every::Once if today > until => Stand::Overdue,
        Every::Always if (from..=until).contains(&today) => Stand::Watched,
        _ if today > until || next > until => Stand::Closed,
        _ if next > today => Stand::Next(next),
        _ => Stand::Due,
    }
}

/// Whether an entry for the dam does what an item asks for.
fn is_done_by(item: &Item, entry: &HealthEntry) -> bool {
    let named = entry.done.iter().any(|id| id.as_str() == item.id);
    named
        || match item.id.as_str() {
            "dam-temperature" => entry.temperature.is_some(),
            "dam-pain-relief" => entry.treatment.is_some(),
            "dam-discharge" | "dam-glands" | "dam-wound" | "dam-appetite" => entry.check.is_some(),
            _ => false,
        }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing::day;

    #[test]
    fn looks_are_daily_in_the_first_week_and_fade() {
        // Common practice, no source: daily for a week, every second day for another, then weekly.
        let birth = day("2026-10-05");
        let window = (birth, birth.plus(42));
        let next = |age: i64, today: i64| {
            stand(
                Every::Fading,
                birth,
                window,
                Some(birth.plus(age)),
                birth.plus(today),
            )
        };
        assert_eq!(stand(Every::Fading, birth, window, None, birth), Stand::Due);
        assert_eq!(
            [next(0, 0), next(0, 1)],
            [Stand::Next(birth.plus(1)), Stand::Due]
        );
        assert_eq!(
            [next(7, 8), next(7, 9)],
            [Stand::Next(birth.plus(9)), Stand::Due]
        );
        assert_eq!(
            [next(14, 20), next(14, 21)],
            [Stand::Next(birth.plus(21)), Stand::Due]
        );
        assert_eq!(
            next(36, 42),
            Stand::Closed,
            "the next would come after the last day"
        );
        assert_eq!(next(0, 43), Stand::Closed);
    }

    #[test]
    fn what_is_done_once_is_overdue_when_its_last_day_is_over() {
        let birth = day("2026-10-05");
        let once = |last: Option<i64>, today: i64| {
            stand(
                Every::Once,
                birth,
                (birth.plus(10), birth.plus(14)),
                last.map(|d| birth.plus(d)),
                birth.plus(today),
            )
        };
        assert_eq!(
            [once(None, 9), once(None, 10), once(None, 14)],
            [Stand::Next(birth.plus(10)), Stand::Due, Stand::Due]
        );
        assert_eq!(
            [once(None, 15), once(Some(12), 15)],
            [Stand::Overdue, Stand::Closed]
        );
    }

    #[test]
    fn the_watch_for_eclampsia_ends_after_its_last_day() {
        // Five-Minute Vet Consult: mostly before day 40.
        let birth = day("2026-10-05");
        let on = |today: i64| {
            stand(
                Every::Always,
                birth,
                (birth, birth.plus(40)),
                None,
                birth.plus(today),
            )
        };
        assert_eq!(
            [on(0), on(40), on(41)],
            [Stand::Watched, Stand::Watched, Stand::Closed]
        );
    }
}
