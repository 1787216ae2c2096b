//! Ages and the day on which a puppy may leave.
//!
//! In: days of the calendar. Out: ages in whole calendar days and in words. Days are counted on the calendar, so clock changes never make a puppy an hour
//! or a day older.

use crate::quantity::{Day, Span};

/// The youngest age at which a puppy may leave: eight weeks, as the laws of England (SI 2018/486, Schedule 6), Scotland and most others have it.
pub const YOUNGEST_LEAVING_AGE: Span = Span::days(56);

/// Earliest day on which a puppy born on `born` may leave; never under 56 days, whatever the kennel says.
#[must_use]
pub fn leaves_from(born: Day, kennel: Option<Span>) -> Day {
    let age = kennel.unwrap_or(YOUNGEST_LEAVING_AGE).max(YOUNGEST_LEAVING_AGE);
    born.plus(i64::try_from(age.as_days()).unwrap_or(56))
}

/// An age in words: days for two weeks, then weeks and days for half a year, then months, then years.
#[must_use]
pub fn in_words(days: i64) -> String {
    let many = |n: i64, unit: &str| if n == 1 { format!("1 {unit}") } else { format!("{n} {unit}s") };
    match days {
        i64::MIN..0 => "not born yet".to_owned(),
        0 => "born today".to_owned(),
        1..14 => many(days, "day"),
        14..182 if days % 7 == 0 => many(days / 7, "week"),
        14..182 => format!("{} and {}", many(days / 7, "week"), many(days % 7, "day")),
        // A month is a twelfth of a year of 365.25 days; nobody counts a grown puppy more exactly.
        182..731 => many(days * 48 / 1461, "month"),
        _ => many(days * 4 / 1461, "year"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn day(text: &str) -> Day {
        text.parse().unwrap()
    }

    #[test]
    fn eight_weeks_are_56_days_of_the_calendar() {
        // SI 2018/486 Schedule 6 (England): not under 8 weeks. Dates by Python's datetime; the second crosses the first day of EU summer time.
        assert_eq!(leaves_from(day("2024-01-01"), None), day("2024-02-26"));
        assert_eq!(leaves_from(day("2025-02-01"), None), day("2025-03-29"));
        assert_eq!(leaves_from(day("2024-01-01"), Some(Span::days(84))), day("2024-03-25"));
        assert_eq!(leaves_from(day("2024-01-01"), Some(Span::days(49))), day("2024-02-26"), "never younger, whatever the record says");
    }

    #[test]
    fn ages_read_as_people_say_them() {
        let words = [
            (0, "born today"),
            (1, "1 day"),
            (4, "4 days"),
            (14, "2 weeks"),
            (51, "7 weeks and 2 days"),
            (50, "7 weeks and 1 day"),
            (183, "6 months"),
            (731, "2 years"),
            (1461, "4 years"),
        ];
        for (days, text) in words {
            assert_eq!(in_words(days), text);
        }
    }
}
