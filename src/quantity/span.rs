//! Spans of time: minutes after birth, seconds to the first breath, ages in days and weeks. Base
//! unit: second.
//!
//! In: `40 s`, `1 min 20 s`, `36 h`, `56 days`, `8 weeks`. Out: a [`Span`] of at most 100 years.

use super::{Unreadable, number, read_from_text};
use std::{fmt, str::FromStr};

const DAY: u64 = 86_400;

/// A span of time, 0 seconds to 100 years.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Span {
    seconds: u64,
}

impl Span {
    /// A span of whole days.
    #[must_use]
    pub const fn days(days: u32) -> Self {
        Self {
            seconds: days as u64 * DAY,
        }
    }

    /// Length in seconds.
    #[must_use]
    pub fn as_seconds(self) -> u64 {
        self.seconds
    }

    /// Length in whole days, rounded down.
    #[must_use]
    pub fn as_days(self) -> u64 {
        self.seconds / DAY
    }

    /// Whether the span is a whole number of days, as ages in a plan must be.
    #[must_use]
    pub fn is_whole_days(self) -> bool {
        self.seconds.is_multiple_of(DAY)
    }
}

impl FromStr for Span {
    type Err = Unreadable;

    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "the range is checked before the cast"
    )]
    fn from_str(text: &str) -> Result<Self, Unreadable> {
        let unreadable = || {
            Unreadable::new(
                "not-a-span",
                format!("`{text}` is not a span of time"),
                "write a number and s, min, h, days or weeks: 40 s, 5 min, 56 days",
            )
        };
        let mut rest = text.trim();
        let mut seconds = 0.0;
        if rest.is_empty() {
            return Err(unreadable());
        }
        while !rest.is_empty() {
            let (value, tail) = number::split_unit(rest);
            let value = number::parse(value).ok_or_else(unreadable)?;
            let letters = tail
                .find(|c: char| !c.is_alphabetic())
                .unwrap_or(tail.len());
            let (unit, tail) = tail.split_at(letters);
            seconds += value
                * match unit {
                    "s" | "sec" | "second" | "seconds" => 1.0,
                    "min" | "minute" | "minutes" => 60.0,
                    "h" | "hour" | "hours" => 3600.0,
                    "d" | "day" | "days" => 86_400.0,
                    "w" | "week" | "weeks" => 604_800.0,
                    "" => {
                        return Err(Unreadable::new(
                            "unit-missing",
                            format!("`{text}` does not say in which unit"),
                            "add s, min, h, days or weeks",
                        ));
                    }
                    _ => return Err(unreadable()),
                };
            rest = tail.trim();
        }
        if seconds > 36_525.0 * 86_400.0 {
            return Err(Unreadable::new(
                "out-of-range",
                format!("`{text}` is longer than a century"),
                "check the unit",
            ));
        }
        Ok(Self {
            seconds: seconds.round() as u64,
        })
    }
}

impl fmt::Display for Span {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let s = self.seconds;
        match s {
            0..=119 => write!(f, "{s} s"),
            120..=7199 if s.is_multiple_of(60) => write!(f, "{} min", s / 60),
            120..=7199 => write!(f, "{} min {} s", s / 60, s % 60),
            7200..=172_799 => write!(f, "{} h", s / 3600),
            _ => write!(f, "{} days", s / DAY),
        }
    }
}

read_from_text!(Span, "Span", {
    "type": "string",
    "description": "a span of time with its unit: 40 s, 5 min, 36 h, 56 days, 8 weeks",
    "pattern": "^[0-9]",
});

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn units_agree() {
        assert_eq!("8 weeks".parse::<Span>(), Ok(Span::days(56)));
        assert_eq!("1 min 20 s".parse::<Span>().unwrap().as_seconds(), 80);
        assert_eq!("1 1/2 min".parse::<Span>().unwrap().as_seconds(), 90);
        for text in ["", "40", "s", "3 moons", "200000 days", "-1 s"] {
            assert!(text.parse::<Span>().is_err(), "{text}");
        }
    }
}
