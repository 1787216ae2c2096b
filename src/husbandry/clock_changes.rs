//! When the clocks of a place change, for pages that must tell local time without knowing zones.
//!
//! In: a zone of the IANA database and some days. Out: each change with the offset that holds from
//! then on. A page that has the list takes local times for instants as [`super::growth::instant`]
//! does, on whatever device it is opened.

use crate::quantity::Day;
use chrono::{NaiveTime, Offset, TimeDelta, TimeZone, Utc};
use chrono_tz::Tz;

/// Steps in which changes are looked for, in hours. No place has changed its clocks twice within
/// six hours.
const STEP: i64 = 6;

/// Offsets from universal time, in seconds, with the instant from which each holds, in seconds
/// since 1970. The first holds from the beginning of `from`; the list goes to the end of `to`.
#[must_use]
pub fn clock_changes(zone: Tz, from: Day, to: Day) -> Vec<(i64, i32)> {
    let midnight = |day: Day| day.date().and_time(NaiveTime::MIN).and_utc().timestamp();
    let offset = |at: i64| {
        Utc.timestamp_opt(at, 0).single().map_or(0, |at| {
            zone.offset_from_utc_datetime(&at.naive_utc())
                .fix()
                .local_minus_utc()
        })
    };
    let (mut at, end) = (midnight(from), midnight(to.plus(1)));
    let mut changes = vec![(at, offset(at))];
    while at < end {
        let next = at + TimeDelta::hours(STEP).num_seconds();
        if offset(next) != offset(at) {
            let (mut before, mut after) = (at, next);
            while after - before > 1 {
                let middle = i64::midpoint(before, after);
                if offset(middle) == offset(at) {
                    before = middle;
                } else {
                    after = middle;
                }
            }
            changes.push((after, offset(after)));
        }
        at = next;
    }
    changes
}

#[cfg(test)]
mod tests {
    use super::*;

    fn changes(zone: &str, from: &str, to: &str) -> Vec<(i64, i32)> {
        clock_changes(
            zone.parse().unwrap(),
            from.parse().unwrap(),
            to.parse().unwrap(),
        )
    }

    #[test]
    fn european_summer_time_begins_and_ends_at_one_o_clock_universal_time() {
        // Directive 2000/84/EC: the last Sundays of March and October, 01:00 UTC; in 2026 29 March
        // and 25 October.
        let found = changes("Europe/London", "2026-03-01", "2026-12-31");
        let march: chrono::DateTime<Utc> = "2026-03-29T01:00:00Z".parse().unwrap();
        let october: chrono::DateTime<Utc> = "2026-10-25T01:00:00Z".parse().unwrap();
        assert_eq!(
            found[1..],
            [(march.timestamp(), 3600), (october.timestamp(), 0)]
        );
    }

    #[test]
    fn a_place_without_summer_time_has_one_offset() {
        assert_eq!(
            changes("Asia/Tokyo", "2026-01-01", "2026-12-31")
                .iter()
                .map(|(_, offset)| *offset)
                .collect::<Vec<_>>(),
            [32_400]
        );
    }
}
