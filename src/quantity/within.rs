//! Spans in days as promises and agreements count them: `5 working days`, `3 days`, `2 weeks`.
//!
//! In: the text. Out: a [`Within`] that makes a day from another. The day from which it counts is
//! not counted itself, and the last day belongs to it (as in article 3 of Regulation (EEC, Euratom)
//! 1182/71; from memory). Working days are Monday to Friday. Public holidays are not known here:
//! they differ from town to town.

use super::{Day, Unreadable, many, number, read_from_text};
use chrono::{Datelike, Weekday};
use std::{fmt, str::FromStr};

/// Some days after a day, 1 to 366.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Within {
    days: u16,
    working: bool,
}

impl Within {
    /// Whether only working days count.
    #[must_use]
    pub fn is_working_days(self) -> bool {
        self.working
    }

    /// The last day that is within, counted from a day.
    #[must_use]
    pub fn after(self, day: Day) -> Day {
        if !self.working {
            return day.plus(i64::from(self.days));
        }
        let (mut last, mut left) = (day, self.days);
        while left > 0 {
            last = last.plus(1);
            left -= u16::from(!matches!(
                last.date().weekday(),
                Weekday::Sat | Weekday::Sun
            ));
        }
        last
    }
}

impl FromStr for Within {
    type Err = Unreadable;

    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "the range is checked before the cast"
    )]
    fn from_str(text: &str) -> Result<Self, Unreadable> {
        const HINT: &str = "write a whole number and days, working days or weeks: 5 working days";
        let (count, unit) = number::split_unit(text.trim());
        let unit = unit.split_whitespace().collect::<Vec<_>>().join(" ");
        let (each, working) = match unit.as_str() {
            "day" | "days" => (1.0, false),
            "week" | "weeks" => (7.0, false),
            "working day" | "working days" => (1.0, true),
            "" if number::parse(count).is_some() => {
                return Err(Unreadable::new(
                    "unit-missing",
                    format!("`{text}` does not say days or working days"),
                    HINT,
                ));
            }
            _ => {
                return Err(Unreadable::new(
                    "not-within",
                    format!("`{text}` is not a number of days"),
                    HINT,
                ));
            }
        };
        let days = number::parse(count)
            .map(|count| count * each)
            .filter(|days| (1.0..=366.0).contains(days) && days.fract() == 0.0);
        let days = days.ok_or_else(|| {
            Unreadable::new(
                "not-within",
                format!("`{text}` is not 1 to 366 whole days"),
                HINT,
            )
        })?;
        Ok(Self {
            days: days as u16,
            working,
        })
    }
}

/// As it is said: `5 working days`, `1 day`.
impl fmt::Display for Within {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self { days, working } = self;
        write!(
            f,
            "{}",
            many(*days, if *working { "working day" } else { "day" })
        )
    }
}

read_from_text!(Within, "Within", {
    "type": "string",
    "description": "a number of days, working days (Monday to Friday) or weeks: 5 working days"
});

#[cfg(test)]
mod tests {
    use super::*;

    fn last(text: &str, day: &str) -> String {
        text.parse::<Within>()
            .unwrap()
            .after(day.parse().unwrap())
            .to_string()
    }

    #[test]
    fn working_days_are_monday_to_friday_and_the_first_day_does_not_count() {
        // 2026-10-17 is a Saturday, the 16th a Friday, the 19th a Monday (ISO 8601 calendar).
        assert_eq!(last("5 working days", "2026-10-17"), "2026-10-23");
        assert_eq!(last("5 working days", "2026-10-16"), "2026-10-23");
        assert_eq!(last("1 working day", "2026-10-16"), "2026-10-19");
        assert_eq!(last("5 working days", "2026-10-19"), "2026-10-26");
        assert_eq!(last("10 working days", "2026-12-21"), "2027-01-04");
        assert_eq!(
            (last("5 days", "2026-10-17"), last("2 weeks", "2026-10-17")),
            ("2026-10-22".to_owned(), "2026-10-31".to_owned())
        );
    }

    #[test]
    fn it_is_said_as_it_is_written_and_what_is_no_number_of_days_is_refused() {
        for (text, said) in [
            ("5 working days", "5 working days"),
            (" 1  working  day", "1 working day"),
            ("2 weeks", "14 days"),
            ("1 day", "1 day"),
        ] {
            assert_eq!(text.parse::<Within>().unwrap().to_string(), said);
        }
        for (text, code) in [
            ("5", "unit-missing"),
            ("", "not-within"),
            ("0 days", "not-within"),
            ("1.5 days", "not-within"),
            ("53 weeks", "not-within"),
        ] {
            assert_eq!(text.parse::<Within>().unwrap_err().code, code, "{text}");
        }
        assert!(
            "five working days".parse::<Within>().is_err()
                && "5 bank days".parse::<Within>().is_err()
        );
    }
}
