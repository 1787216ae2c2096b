//! Days, weights and sizes in words, as pages and papers say them.
//!
//! In: ISO days and times, grams, bytes. Out: short English. What cannot be read as a day is handed
//! back as it was: a page is never lost over a date.

use crate::quantity::Weight;
use chrono::{NaiveDate, NaiveDateTime};
use std::cell::Cell;

thread_local! {
    /// Whether dates are written with the month first. Every page and paper of a family says days,
    /// deep down in templates and tables; they would all have to hand this on.
    static MONTH_FIRST: Cell<bool> = const { Cell::new(false) };
}

/// Makes something in which dates are written as its reader writes them. What is made inside must
/// not wait for other threads: work of theirs that this thread took over meanwhile would be written
/// in the same way.
pub(super) fn with_dates<T>(month_first: bool, make: impl FnOnce() -> T) -> T {
    let before = MONTH_FIRST.replace(month_first);
    let made = make();
    MONTH_FIRST.set(before);
    made
}

/// An ISO day in words: `9 October 2026`, or `October 9, 2026`.
pub(super) fn day(iso: &str) -> String {
    in_words(
        iso,
        if MONTH_FIRST.get() {
            "%B %-d, %Y"
        } else {
            "%-d %B %Y"
        },
    )
}

/// An ISO day in few words: `9 Oct 2026`, or `Oct 9, 2026`.
pub(super) fn short_day(iso: &str) -> String {
    in_words(
        iso,
        if MONTH_FIRST.get() {
            "%b %-d, %Y"
        } else {
            "%-d %b %Y"
        },
    )
}

/// The first day of some days, without what their last day says as well: `9` of 9 to 12 October
/// 2026.
pub(super) fn first_of(from: &str, until: &str) -> String {
    let same = |length: usize| {
        from.get(..length)
            .is_some_and(|part| until.get(..length) == Some(part))
    };
    match (MONTH_FIRST.get(), same(7), same(4)) {
        (false, true, _) => in_words(from, "%-d"),
        (false, false, true) => in_words(from, "%-d %B"),
        (true, _, true) => in_words(from, "%B %-d"),
        (_, _, false) => day(from),
    }
}

fn in_words(iso: &str, format: &str) -> String {
    NaiveDate::parse_from_str(iso, "%Y-%m-%d")
        .map_or_else(|_| iso.to_owned(), |day| day.format(format).to_string())
}

/// An ISO day, or day and time, in few words: `9 Oct 2026, 07:30`.
pub(super) fn short_moment(iso: &str) -> String {
    match NaiveDateTime::parse_from_str(iso, "%Y-%m-%dT%H:%M") {
        Ok(at) => at
            .format(if MONTH_FIRST.get() {
                "%b %-d, %Y, %H:%M"
            } else {
                "%-d %b %Y, %H:%M"
            })
            .to_string(),
        Err(_) => short_day(iso),
    }
}

/// A weight in grams (kilograms from 5 kg) or in pounds and ounces.
pub(super) fn weight(grams: f64, in_ounces: bool) -> String {
    match Weight::from_grams(grams) {
        Some(weight) => weight.show(in_ounces),
        None if in_ounces => "0 oz".to_owned(),
        None => "0 g".to_owned(),
    }
}

/// How long a puppy has been with its family, in an invitation to tell of it.
pub(super) fn months_with_you(months: u8) -> String {
    match months {
        12 => "a year with you: how is it?".to_owned(),
        6 => "half a year with you: how is it?".to_owned(),
        months => format!("{months} months with you: how is it?"),
    }
}

/// Where the days of an item of care come from, for a family: the keeper's own file is called what
/// it is to them.
pub(super) fn source(source: &str) -> &str {
    if source == "care-plan.yaml" {
        "the breeder’s own plan"
    } else {
        source
    }
}

/// The head of a source, without what it says: `ESCCAP guideline GL1`.
pub(super) fn short_source(full: &str) -> &str {
    let head = source(full)
        .split([':', ';', '('])
        .next()
        .unwrap_or_default()
        .trim();
    // A book is known by its title.
    let head = if head.chars().count() > 30 {
        head.split(',').next().unwrap_or(head)
    } else {
        head
    };
    if head.is_empty() { full } else { head }
}

/// How large a file is: `12 kB`, `1.4 MB`; 1 kB is 1,000 bytes, as file managers count.
pub(super) fn file_size(bytes: usize) -> String {
    match bytes {
        0..1_000 => format!("{bytes} bytes"),
        1_000..999_500 => format!("{} kB", (bytes + 500) / 1_000),
        _ => format!(
            "{}.{} MB",
            (bytes + 50_000) / 1_000_000,
            (bytes + 50_000) / 100_000 % 10
        ),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn days_are_said_in_words_and_what_is_no_day_stays_as_it_is() {
        assert_eq!(day("2026-10-09"), "9 October 2026");
        assert_eq!(short_day("2026-10-09"), "9 Oct 2026");
        assert_eq!(short_moment("2026-10-09T07:30"), "9 Oct 2026, 07:30");
        assert_eq!(short_moment("2026-10-09"), "9 Oct 2026");
        for odd in ["", "2026-02-30", "soon", "2026-10-09T", "\u{202e}"] {
            assert_eq!(
                (day(odd), short_moment(odd)),
                (odd.to_owned(), odd.to_owned())
            );
        }
    }

    #[test]
    fn dates_begin_with_the_month_only_where_they_are_made_so() {
        let all = || {
            [
                day("2026-10-09"),
                short_day("2026-10-09"),
                short_moment("2026-10-09T07:30"),
                first_of("2026-10-09", "2026-10-12"),
            ]
        };
        assert_eq!(
            with_dates(true, all),
            [
                "October 9, 2026",
                "Oct 9, 2026",
                "Oct 9, 2026, 07:30",
                "October 9"
            ]
        );
        assert_eq!(
            all(),
            ["9 October 2026", "9 Oct 2026", "9 Oct 2026, 07:30", "9"]
        );
        assert_eq!(first_of("2026-10-09", "2026-11-02"), "9 October");
        assert_eq!(first_of("2026-12-29", "2027-01-02"), "29 December 2026");
    }

    #[test]
    fn sizes_of_files_are_rounded() {
        for (bytes, words) in [
            (0, "0 bytes"),
            (999, "999 bytes"),
            (1_499, "1 kB"),
            (80_400, "80 kB"),
            (999_499, "999 kB"),
            (999_500, "1.0 MB"),
            (1_949_999, "1.9 MB"),
            (1_950_000, "2.0 MB"),
        ] {
            assert_eq!(file_size(bytes), words);
        }
    }

    #[test]
    fn a_source_in_short_is_its_head() {
        for (full, short) in [
            (
                "WSAVA 2024 (doi 10.1111/jsap.13718): start at 6 to 8 weeks",
                "WSAVA 2024",
            ),
            (
                "Small Animal Clinical Nutrition, 5th ed., box 16-1; ages differ",
                "Small Animal Clinical Nutrition",
            ),
            ("common practice, no source", "common practice, no source"),
            ("care-plan.yaml", "the breeder’s own plan"),
            (": x", ": x"),
            ("", ""),
        ] {
            assert_eq!(short_source(full), short);
        }
    }
}
