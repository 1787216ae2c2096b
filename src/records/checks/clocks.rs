//! Times that the clocks of the kennel's place skipped in spring, and times that came twice in
//! autumn.
//!
//! In: the kennel's time zone and the days of which there are records. Out: the changes of the
//! clocks, found once for all files, and a problem for a time that falls into one.

use super::super::HISTORY;
use super::super::problem::{Place, Problem, key_path};
use super::Checked;
use crate::quantity::{Day, Moment};
use chrono::{NaiveDateTime, NaiveTime, Offset, TimeDelta, TimeZone, Utc};
use chrono_tz::Tz;

/// One change, in local time: from the first minute that does not exist or is doubtful to the first
/// that is as usual.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct ClockChange {
    from: NaiveDateTime,
    to: NaiveDateTime,
    skipped: bool,
}

/// The changes of one place, in the order of time.
#[derive(Debug, Default)]
pub(crate) struct Clocks {
    changes: Vec<ClockChange>,
}

impl Clocks {
    /// The changes from one day to another, both included. Each day's noon is compared with the
    /// next.
    pub(super) fn over(zone: Tz, from: Day, to: Day) -> Self {
        let noon = |day: Day| {
            day.date().and_time(NaiveTime::MIN).and_utc().timestamp()
                + TimeDelta::hours(12).num_seconds()
        };
        let offset = |at: i64| {
            Utc.timestamp_opt(at, 0).single().map_or(0, |at| {
                zone.offset_from_utc_datetime(&at.naive_utc())
                    .fix()
                    .local_minus_utc()
            })
        };
        let mut changes = Vec::new();
        let (mut at, end) = (noon(from.plus(-1)), noon(to.plus(1)));
        while at < end {
            let next = at + TimeDelta::days(1).num_seconds();
            let (old, new) = (offset(at), offset(next));
            if old != new {
                let (mut before, mut after) = (at, next);
                while after - before > 1 {
                    let middle = i64::midpoint(before, after);
                    if offset(middle) == old {
                        before = middle;
                    } else {
                        after = middle;
                    }
                }
                let local = |offset: i32| {
                    Utc.timestamp_opt(after + i64::from(offset), 0)
                        .single()
                        .map(|at| at.naive_utc())
                };
                if let (Some(was), Some(is)) = (local(old), local(new)) {
                    changes.push(ClockChange {
                        from: was.min(is),
                        to: was.max(is),
                        skipped: is > was,
                    });
                }
            }
            at = next;
        }
        Self { changes }
    }

    fn of(&self, at: Moment) -> Option<ClockChange> {
        let at = at.local();
        let next = self.changes.partition_point(|change| change.to <= at);
        self.changes
            .get(next)
            .copied()
            .filter(|change| change.from <= at)
    }

    /// Whether this time comes twice.
    pub(super) fn comes_twice(&self, at: Moment) -> bool {
        self.of(at).is_some_and(|change| !change.skipped)
    }
}

/// A time that cannot have been, or that can be two. `place` is asked for only when there is
/// something to say; `born` is the day of the litter's birth.
pub(super) fn check(
    records: &Checked<'_>,
    at: Moment,
    born: Option<Day>,
    place: impl FnOnce() -> Place,
    problems: &mut Vec<Problem>,
) {
    let Some(change) = records.clocks.of(at) else {
        return;
    };
    let (from, to) = (Moment::from(change.from), Moment::from(change.to));
    let clock = |at: Moment| at.local().format("%H:%M").to_string();
    let zone = || Place::path("kennel.yaml", key_path!["time_zone"]);
    if change.skipped {
        let message = format!(
            "{at} was on no clock: they went from {} to {} that night",
            clock(from),
            clock(to)
        );
        let hint = format!(
            "was it an hour later, by the new time? Write a time before {} or from {} on",
            clock(from),
            clock(to)
        );
        problems.push(
            Problem::error("time-skipped", place(), message, hint).and(zone(), "the time zone"),
        );
    } else if born.is_none_or(|born| records.today.since(born) <= HISTORY) {
        let message = format!(
            "{at} came twice: clocks went back from {} to {} that night",
            clock(to),
            clock(from)
        );
        let hint = format!(
            "the first is taken, before the clocks went back; if it was the second, write {}, \
             which came once",
            clock(to)
        );
        problems.push(
            Problem::warning("time-twice", place(), message, hint).and(zone(), "the time zone"),
        );
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn clocks(zone: &str) -> Clocks {
        Clocks::over(
            zone.parse().unwrap(),
            "2026-01-01".parse().unwrap(),
            "2026-12-31".parse().unwrap(),
        )
    }

    fn change(from: &str, to: &str, skipped: bool) -> ClockChange {
        let local = |text: &str| text.parse::<Moment>().unwrap().local();
        ClockChange {
            from: local(from),
            to: local(to),
            skipped,
        }
    }

    #[test]
    fn european_summer_time_skips_an_hour_in_march_and_has_one_twice_in_october() {
        // Directive 2000/84/EC: the last Sundays of March and October, 01:00 universal time; Berlin
        // is an hour, in summer two, ahead of it.
        assert_eq!(
            clocks("Europe/Berlin").changes,
            [
                change("2026-03-29 02:00", "2026-03-29 03:00", true),
                change("2026-10-25 02:00", "2026-10-25 03:00", false)
            ]
        );
    }

    #[test]
    fn the_first_minute_belongs_to_a_change_and_the_last_does_not() {
        let clocks = clocks("Europe/London");
        let is_twice = |at: &str| clocks.comes_twice(at.parse().unwrap());
        assert!(
            !is_twice("2026-10-25 00:59")
                && is_twice("2026-10-25 01:00")
                && is_twice("2026-10-25 01:59")
                && !is_twice("2026-10-25 02:00")
        );
        assert!(!is_twice("2026-03-29 01:30"), "that one is skipped");
    }

    #[test]
    fn a_place_without_summer_time_has_no_changes() {
        assert!(clocks("Asia/Tokyo").changes.is_empty());
    }
}
