//! Dates and times of the clock on the keeper's wall.
//!
//! In: `2026-10-05`, `2026-10-06 07:30`, `09:14:30`. Out: [`Day`], [`Moment`] and [`BirthTime`],
//! all local; the kennel's time zone turns them into instants elsewhere. Years 1950 to 2100 are
//! read, so that `0206-10-05` is seen as the slip it is.

use super::{Unreadable, read_from_text};
use chrono::{Datelike, NaiveDate, NaiveDateTime, NaiveTime, Timelike};
use std::{fmt, str::FromStr};

/// A calendar day, 1950-01-01 to 2100-12-31.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Day(NaiveDate);

impl Day {
    /// The last day of chrono's calendar, far beyond any record.
    pub const LAST: Self = Self(NaiveDate::MAX);

    /// The date.
    #[must_use]
    pub fn date(self) -> NaiveDate {
        self.0
    }

    /// `9 October 2026`.
    #[must_use]
    pub fn in_words(self) -> String {
        const MONTHS: [&str; 12] = [
            "January",
            "February",
            "March",
            "April",
            "May",
            "June",
            "July",
            "August",
            "September",
            "October",
            "November",
            "December",
        ];
        format!(
            "{} {} {}",
            self.0.day(),
            MONTHS[self.0.month0() as usize],
            self.0.year()
        )
    }

    /// Calendar days from `earlier` to this day; negative when `earlier` is later.
    #[must_use]
    pub fn since(self, earlier: Self) -> i64 {
        (self.0 - earlier.0).num_days()
    }

    /// The day `days` later (or earlier, when negative); stops at the ends of chrono's calendar.
    #[must_use]
    pub fn plus(self, days: i64) -> Self {
        Self(
            self.0
                .checked_add_signed(chrono::TimeDelta::days(days))
                .unwrap_or(self.0),
        )
    }
}

impl From<NaiveDate> for Day {
    fn from(date: NaiveDate) -> Self {
        Self(date)
    }
}

impl FromStr for Day {
    type Err = Unreadable;

    fn from_str(text: &str) -> Result<Self, Unreadable> {
        let text = text.trim();
        match NaiveDate::parse_from_str(text, "%Y-%m-%d") {
            Ok(date) if text.len() != 10 => Err(Unreadable::new(
                "not-a-date",
                format!("`{text}` is not a complete date"),
                format!("write `{}`", date.format("%Y-%m-%d")),
            )),
            Ok(date) if (1950..=2100).contains(&date.year()) => Ok(Self(date)),
            Ok(_) => Err(Unreadable::new(
                "out-of-range",
                format!("`{text}` lies outside 1950 to 2100"),
                "check the year",
            )),
            Err(_) => {
                let hint = day_first(text).map_or_else(
                    || "write year-month-day, such as 2026-10-05".to_owned(),
                    |day| format!("write `{day}`"),
                );
                Err(Unreadable::new(
                    "not-a-date",
                    format!("`{text}` is not a date of the calendar"),
                    hint,
                ))
            }
        }
    }
}

/// `5.10.2026` the way the records write it. With points the day stands first everywhere; with
/// other signs nobody can tell.
fn day_first(text: &str) -> Option<NaiveDate> {
    let mut numbers = text.split('.').map(|part| part.trim().parse::<u32>().ok());
    let (Some(Some(day)), Some(Some(month)), Some(Some(year)), None) = (
        numbers.next(),
        numbers.next(),
        numbers.next(),
        numbers.next(),
    ) else {
        return None;
    };
    NaiveDate::from_ymd_opt(i32::try_from(year).ok()?, month, day)
        .filter(|date| (1950..=2100).contains(&date.year()))
}

impl fmt::Display for Day {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write_date(f, self.0)
    }
}

read_from_text!(Day, "Day", { "type": "string", "format": "date" });

/// Year, month and day, as ISO 8601 writes them. A book of records writes a hundred thousand, so no
/// format is read for each.
fn write_date(f: &mut fmt::Formatter<'_>, date: NaiveDate) -> fmt::Result {
    write!(
        f,
        "{:04}-{:02}-{:02}",
        date.year(),
        date.month(),
        date.day()
    )
}

/// A day and a time of day.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Moment(NaiveDateTime);

impl Moment {
    /// Day and time, local.
    #[must_use]
    pub fn local(self) -> NaiveDateTime {
        self.0
    }

    /// The day alone.
    #[must_use]
    pub fn day(self) -> Day {
        Day(self.0.date())
    }
}

impl Moment {
    /// `9 October 2026, 07:30`.
    #[must_use]
    pub fn in_words(self) -> String {
        days_said(&self.to_string())
    }

    /// The same minute without its seconds, as [`fmt::Display`] writes it.
    #[must_use]
    pub fn to_the_minute(self) -> Self {
        Self(
            self.0
                .with_second(0)
                .and_then(|at| at.with_nanosecond(0))
                .unwrap_or(self.0),
        )
    }
}

impl From<NaiveDateTime> for Moment {
    fn from(local: NaiveDateTime) -> Self {
        Self(local)
    }
}

impl FromStr for Moment {
    type Err = Unreadable;

    fn from_str(text: &str) -> Result<Self, Unreadable> {
        let text = text.trim();
        let Some((day, time)) = text.split_once(['T', ' ']) else {
            let day: Day = text.parse()?;
            return Err(Unreadable::new(
                "time-missing",
                format!("`{text}` has no time of day"),
                format!("write `{day} 07:30`"),
            ));
        };
        let day: Day = day
            .parse()
            .map_err(|why| match (day_first(day), time_of_day(time)) {
                // A day that is written another way keeps its time.
                (Some(day), Ok(_)) => Unreadable::new(
                    "not-a-date",
                    format!("`{text}` is not a date of the calendar with its time"),
                    format!("write `{day} {}`", time.trim()),
                ),
                _ => why,
            })?;
        Ok(Self(day.0.and_time(time_of_day(time)?)))
    }
}

impl fmt::Display for Moment {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write_date(f, self.0.date())?;
        write!(f, " {:02}:{:02}", self.0.hour(), self.0.minute())
    }
}

read_from_text!(Moment, "Moment", {
    "type": "string",
    "description": "a local date and time: 2026-10-06 07:30",
    "pattern": "^[0-9]{4}-[0-9]{2}-[0-9]{2}[T ][0-9]{1,2}:[0-9]{2}(:[0-9]{2})?$",
});

/// When a puppy was born: a time on the litter's day, or with its own day where the night came
/// between.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum BirthTime {
    /// A time on the day of `birth.on`.
    Clock(NaiveTime),
    /// A day and a time.
    Full(Moment),
}

impl BirthTime {
    /// The moment, when the litter was born on `day`.
    #[must_use]
    pub fn on(self, day: Day) -> Moment {
        match self {
            Self::Clock(time) => Moment(day.0.and_time(time)),
            Self::Full(moment) => moment,
        }
    }
}

impl FromStr for BirthTime {
    type Err = Unreadable;

    fn from_str(text: &str) -> Result<Self, Unreadable> {
        if text.contains('-') {
            text.parse().map(Self::Full)
        } else {
            time_of_day(text).map(Self::Clock)
        }
    }
}

read_from_text!(BirthTime, "BirthTime", {
    "type": "string",
    "description": "a time, \"09:14\" or \"09:14:30\", or a date and time",
    "pattern": "^([0-9]{4}-[0-9]{2}-[0-9]{2}[T ])?[0-9]{1,2}:[0-9]{2}(:[0-9]{2})?$",
});

fn time_of_day(text: &str) -> Result<NaiveTime, Unreadable> {
    let text = text.trim();
    let parsed = NaiveTime::parse_from_str(text, "%H:%M")
        .or_else(|_| NaiveTime::parse_from_str(text, "%H:%M:%S"));
    // A leap second is no time of a kitchen clock, and would break the arithmetic of ages.
    parsed
        .ok()
        .filter(|_| !text.ends_with(":60"))
        .ok_or_else(|| {
            Unreadable::new(
                "not-a-time",
                format!("`{text}` is not a time of day"),
                "write hours and minutes, such as 09:14, or with seconds 09:14:30",
            )
        })
}

/// A text with its days as pages say them: 2026-04-15 08:00 is 15 April 2026, 08:00.
#[must_use]
pub fn days_said(text: &str) -> String {
    let mut said = String::with_capacity(text.len());
    let mut rest = text;
    while let Some(at) = rest.find(|c: char| c.is_ascii_digit()) {
        said.push_str(&rest[..at]);
        let is_part = |c: char| c.is_ascii_digit() || c == '-';
        let end = rest[at..]
            .find(|c| !is_part(c))
            .map_or(rest.len(), |end| at + end);
        let (word, behind) = (&rest[at..end], &rest[end..]);
        // Days in the names of files, pages and records stay.
        let of_name = |c: char| c.is_alphanumeric() || "-_/".contains(c);
        let is_name = said.ends_with(of_name) || behind.starts_with(of_name);
        match word.parse::<Day>() {
            Ok(day) if !is_name => {
                said.push_str(&day.in_words());
                let is_time = behind.get(1..6).is_some_and(|time| {
                    behind.starts_with(' ') && NaiveTime::parse_from_str(time, "%H:%M").is_ok()
                });
                said.push_str(if is_time { "," } else { "" });
            }
            _ => said.push_str(word),
        }
        rest = behind;
    }
    said + rest
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn dates_and_times_of_the_calendar_only() {
        for text in [
            "2026-02-29",
            "2026-13-01",
            "26-10-05",
            "5.10.2026",
            "2026-1-5",
            "0206-10-05",
            "",
        ] {
            assert!(text.parse::<Day>().is_err(), "{text}");
        }
        assert_eq!(
            "2026-1-5".parse::<Day>().unwrap_err().hint,
            "write `2026-01-05`"
        );
        for text in [
            "2026-10-06",
            "2026-10-06 25:00",
            "2026-10-06 07:60",
            "07:30",
            "2026-10-06 07:30:60",
        ] {
            assert!(text.parse::<Moment>().is_err(), "{text}");
        }
        assert_eq!(
            "2026-10-06T07:30".parse::<Moment>(),
            "2026-10-06 07:30:00".parse::<Moment>()
        );
    }

    #[test]
    fn days_and_times_are_written_as_chrono_writes_them() {
        let mut at = NaiveDate::from_ymd_opt(1950, 1, 1)
            .unwrap()
            .and_hms_opt(0, 0, 31)
            .unwrap();
        while at.year() <= 2100 {
            let (day, moment) = (Day(at.date()), Moment(at));
            assert_eq!(day.to_string(), at.format("%Y-%m-%d").to_string());
            assert_eq!(day.in_words(), at.format("%-d %B %Y").to_string());
            assert_eq!(moment.to_string(), at.format("%Y-%m-%d %H:%M").to_string());
            at += chrono::TimeDelta::minutes(24 * 60 + 61);
        }
    }

    #[test]
    fn day_counts_are_those_of_the_calendar() {
        // Proleptic Gregorian calendar, as computed by Python's datetime: leap day, end of year,
        // first day of EU summer time.
        for (from, days, to) in [
            ("2024-01-01", 63, "2024-03-04"),
            ("2023-01-01", 63, "2023-03-05"),
            ("2024-02-29", 56, "2024-04-25"),
            ("2025-02-01", 57, "2025-03-30"),
        ] {
            let from: Day = from.parse().unwrap();
            assert_eq!(from.plus(days).to_string(), to);
            assert_eq!(from.plus(days).since(from), days);
        }
    }

    proptest! {
        #[test]
        fn no_text_panics(text in ".{0,30}") {
            let _ = (text.parse::<Day>(), text.parse::<Moment>(), text.parse::<BirthTime>());
        }
    }
}
