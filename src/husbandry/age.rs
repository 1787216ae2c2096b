//! Ages and the day on which a puppy may leave.
//!
//! In: days of the calendar, or moments in the kennel's time zone. Out: ages in hours, whole
//! calendar days and months, and in words. Days are counted on the calendar, so clock changes never
//! make a puppy a day older; hours are counted on the clock that never changes, so they are hours
//! that passed.

use super::growth::instant;
use crate::quantity::{Day, Moment, Span, many};
use chrono::{Datelike, Months};
use chrono_tz::Tz;

/// The youngest age at which a puppy may leave: eight weeks, as the laws of England (SI 2018/486,
/// Schedule 6), Scotland and most others have it.
pub const YOUNGEST_LEAVING_AGE: Span = Span::days(56);

/// The age from which puppies may leave: the latest of eight weeks, what the kennel says and what
/// the region asks for.
#[must_use]
pub fn leaving_age(kennel: Option<Span>, region: Option<Span>) -> Span {
    [kennel, region]
        .into_iter()
        .flatten()
        .fold(YOUNGEST_LEAVING_AGE, Span::max)
}

/// Earliest day on which a puppy born on `born` may leave at this age.
#[must_use]
pub fn leaves_from(born: Day, age: Span) -> Day {
    born.plus(i64::try_from(age.as_days()).unwrap_or(56))
}

/// Whole months of the calendar from `born` to `on`; 0 before birth. A birthday that its month does
/// not have (29 to 31) falls on that month's last day.
#[must_use]
pub fn months(born: Day, on: Day) -> u32 {
    let (born, on) = (born.date(), on.date());
    let apart = (on.year() - born.year()) * 12 + i32::try_from(on.month()).unwrap_or(0)
        - i32::try_from(born.month()).unwrap_or(0);
    let Ok(apart) = u32::try_from(apart) else {
        return 0;
    };
    let reached = |months: u32| {
        born.checked_add_months(Months::new(months))
            .is_some_and(|day| day <= on)
    };
    if reached(apart) {
        apart
    } else {
        apart.saturating_sub(1)
    }
}

/// An age on a day in words: days for two weeks, then weeks and days for half a year, then months,
/// from two years on years.
#[must_use]
pub fn in_words(born: Day, on: Day) -> String {
    let days = on.since(born);
    match months(born, on) {
        0..6 => days_in_words(days),
        months @ 6..24 => many(i64::from(months), "month"),
        months => many(i64::from(months / 12), "year"),
    }
}

/// How old a litter was on the day of a picture, in whole weeks, as people say it; nothing before
/// the birth.
#[must_use]
pub fn on_a_picture(born: Day, on: Day) -> Option<String> {
    match on.since(born) {
        i64::MIN..0 => None,
        0 => Some("on the day of birth".to_owned()),
        days @ 1..14 => Some(format!("at {}", many(days, "day"))),
        days if months(born, on) < 6 => Some(format!("at {}", many(days / 7, "week"))),
        _ => Some(format!("at {}", in_words(born, on))),
    }
}

/// A number of days in words, as an age under half a year.
#[must_use]
pub fn days_in_words(days: i64) -> String {
    match days {
        i64::MIN..0 => "not born yet".to_owned(),
        0 => "born today".to_owned(),
        1..14 => many(days, "day"),
        _ if days % 7 == 0 => many(days / 7, "week"),
        _ => format!("{} and {}", many(days / 7, "week"), many(days % 7, "day")),
    }
}

/// An age at a moment in words: hours in the first two days, then as [`in_words`].
#[must_use]
pub fn at_in_words(born: Moment, at: Moment, zone: Tz) -> String {
    let hours = (instant(zone, at) - instant(zone, born)).num_minutes();
    match hours {
        i64::MIN..0 => "not born yet".to_owned(),
        0..60 => many(hours, "minute"),
        60..2880 => many(hours / 60, "hour"),
        _ => in_words(born.day(), at.day()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing::day;

    #[test]
    fn eight_weeks_are_56_days_of_the_calendar() {
        // SI 2018/486 Schedule 6 (England): not under 8 weeks. Dates by Python's datetime; the
        // second crosses the first day of EU summer time.
        let from = |born: &str, kennel: Option<u32>, region: Option<u32>| {
            leaves_from(
                day(born),
                leaving_age(kennel.map(Span::days), region.map(Span::days)),
            )
        };
        assert_eq!(from("2024-01-01", None, None), day("2024-02-26"));
        assert_eq!(from("2025-02-01", None, None), day("2025-03-29"));
        assert_eq!(from("2024-02-29", None, None), day("2024-04-25"));
        assert_eq!(from("2024-01-01", Some(84), None), day("2024-03-25"));
        assert_eq!(
            from("2024-01-01", Some(49), Some(49)),
            day("2024-02-26"),
            "never younger, whatever the record says"
        );
        assert_eq!(
            from("2024-01-01", Some(60), Some(63)),
            day("2024-03-04"),
            "the later of the two"
        );
    }

    #[test]
    fn ages_read_as_people_say_them() {
        let words = [
            ("2026-10-09", "2026-10-08", "not born yet"),
            ("2026-10-09", "2026-10-09", "born today"),
            ("2026-10-09", "2026-10-10", "1 day"),
            ("2026-10-09", "2026-10-22", "13 days"),
            ("2026-10-09", "2026-10-23", "2 weeks"),
            ("2026-10-09", "2026-11-28", "7 weeks and 1 day"),
            ("2026-10-09", "2027-04-08", "25 weeks and 6 days"),
            ("2026-10-09", "2027-04-09", "6 months"),
            ("2026-10-09", "2028-10-08", "23 months"),
            ("2026-10-09", "2028-10-09", "2 years"),
        ];
        for (born, on, text) in words {
            assert_eq!(in_words(day(born), day(on)), text);
        }
    }

    #[test]
    fn the_age_on_a_picture_is_told_in_whole_weeks() {
        let words = [
            ("2026-10-08", None),
            ("2026-10-09", Some("on the day of birth")),
            ("2026-10-10", Some("at 1 day")),
            ("2026-10-22", Some("at 13 days")),
            ("2026-11-05", Some("at 3 weeks")),
            ("2027-04-08", Some("at 25 weeks")),
            ("2027-04-09", Some("at 6 months")),
            ("2030-10-09", Some("at 4 years")),
        ];
        for (on, text) in words {
            assert_eq!(on_a_picture(day("2026-10-09"), day(on)).as_deref(), text);
        }
    }

    #[test]
    fn months_are_those_of_the_calendar_leap_days_and_short_months_too() {
        // The values of relativedelta of python-dateutil: a day that a month lacks is its last day.
        for (born, on, expected) in [
            ("2024-02-29", "2025-02-27", 11),
            ("2024-02-29", "2025-02-28", 12),
            ("2025-08-31", "2026-02-27", 5),
            ("2025-08-31", "2026-02-28", 6),
            ("2026-01-01", "2025-12-31", 0),
        ] {
            assert_eq!(months(day(born), day(on)), expected, "{born} {on}");
        }
    }

    #[test]
    fn the_first_two_days_are_counted_in_hours_that_passed() {
        let words = |born: &str, at: &str| {
            at_in_words(
                born.parse().unwrap(),
                at.parse().unwrap(),
                "Europe/London".parse().unwrap(),
            )
        };
        assert_eq!(words("2026-10-05 09:14", "2026-10-05 09:40"), "26 minutes");
        assert_eq!(words("2026-10-05 09:14", "2026-10-06 07:30"), "22 hours");
        assert_eq!(words("2026-10-05 09:14", "2026-10-07 09:13"), "47 hours");
        assert_eq!(words("2026-10-05 09:14", "2026-10-07 09:14"), "2 days");
        // British summer time ends on 2026-10-25 at 01:00 UTC (Summer Time Order 2002): one hour
        // more passes than the clock shows.
        assert_eq!(words("2026-10-24 12:00", "2026-10-25 12:00"), "25 hours");
    }
}
