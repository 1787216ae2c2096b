//! The days that rules compare: a mating, a whelping, a birthday so many months on.

use super::super::{Compliance, Mating};
use super::cannot_tell;
use crate::quantity::Day;
use chrono::{Datelike, Months};

/// Fewest and most days from mating to whelping.
const PREGNANCY: (i64, i64) = (55, 72);

/// Something that happened, or will, on one day of a span; both ends are meant.
pub(super) struct EventDays {
    pub(super) from: Day,
    pub(super) to: Day,
    /// What happened, after "was" or "is".
    pub(super) event: String,
}

impl EventDays {
    pub(super) fn first_mating(mating: &Mating) -> Result<Self, &'static str> {
        Self::mating(mating, mating.mated.iter().min())
    }

    pub(super) fn last_mating(mating: &Mating) -> Result<Self, &'static str> {
        Self::mating(mating, mating.mated.iter().max())
    }

    pub(super) fn mating(mating: &Mating, recorded: Option<&Day>) -> Result<Self, &'static str> {
        if let Some(day) = recorded {
            return Ok(Self {
                from: *day,
                to: *day,
                event: format!("was mated on {day}"),
            });
        }
        if let Some((from, to)) = mating.thought_of {
            return Ok(Self {
                from,
                to,
                event: format!("would be mated {}", days(from, to)),
            });
        }
        let (first, last) = mating
            .whelped
            .map(|day| (day, day))
            .or(mating.due)
            .ok_or("the day of mating")?;
        let (from, to) = (first.plus(-PREGNANCY.1), last.plus(-PREGNANCY.0));
        Ok(Self {
            from,
            to,
            event: format!(
                "was mated between {from} and {to}, counted back {} to {} days from whelping",
                PREGNANCY.0, PREGNANCY.1
            ),
        })
    }

    pub(super) fn whelping(mating: &Mating) -> Result<Self, &'static str> {
        if let Some(day) = mating.whelped {
            return Ok(Self {
                from: day,
                to: day,
                event: format!("whelped on {day}"),
            });
        }
        if let Some((from, to)) = mating.thought_of {
            let (from, to) = (from.plus(PREGNANCY.0), to.plus(PREGNANCY.1));
            return Ok(Self {
                from,
                to,
                event: format!("would whelp {}", days(from, to)),
            });
        }
        let counted = || {
            Some((
                mating.mated.iter().min()?.plus(PREGNANCY.0),
                mating.mated.iter().max()?.plus(PREGNANCY.1),
            ))
        };
        let (from, to) = mating
            .due
            .or_else(counted)
            .ok_or("the day of whelping, and the day of mating to expect it from")?;
        Ok(Self {
            from,
            to,
            event: format!("is expected to whelp between {from} and {to}"),
        })
    }

    /// Within when the whole span is on or after the day, beyond when all of it is before.
    pub(super) fn not_before(&self, day: &Anniversary) -> Compliance {
        if self.from >= day.late {
            Compliance::Within
        } else if self.to < day.early {
            Compliance::Beyond
        } else {
            self.open(day)
        }
    }

    /// Within when the whole span is before the day (or on it, where that is allowed), beyond when
    /// all of it is later.
    pub(super) fn before(&self, day: &Anniversary, on_the_day: bool) -> Compliance {
        let more = i64::from(on_the_day);
        if self.to < day.early.plus(more) {
            Compliance::Within
        } else if self.from >= day.late.plus(more) {
            Compliance::Beyond
        } else {
            self.open(day)
        }
    }

    pub(super) fn open(&self, day: &Anniversary) -> Compliance {
        if self.from == self.to {
            cannot_tell(format!(
                "whether {} or {} counts, as the month has no such day",
                day.early, day.late
            ))
        } else {
            cannot_tell(format!(
                "the very day between {} and {}, on which it depends",
                self.from, self.to
            ))
        }
    }
}

/// `on 2026-05-01`, `between 2026-05-01 and 2026-05-03`.
pub(super) fn days(from: Day, to: Day) -> String {
    if from == to {
        format!("on {from}")
    } else {
        format!("between {from} and {to}")
    }
}

/// A day so many calendar months after another. Where the month is too short for it (29 February in
/// a common year), it is its last day or the day after.
pub(super) struct Anniversary {
    pub(super) early: Day,
    pub(super) late: Day,
}

impl Anniversary {
    /// Nothing beyond the end of the calendar.
    pub(super) fn new(day: Day, months: u32) -> Option<Self> {
        let early = day.date().checked_add_months(Months::new(months))?;
        let short = early.day() != day.date().day();
        let early = Day::from(early);
        Some(Self {
            early,
            late: early.plus(i64::from(short)),
        })
    }
}

/// `18 months`, or `8 years` where they are full and more than one.
pub(super) fn span(months: u32) -> String {
    if months >= 24 && months.is_multiple_of(12) {
        format!("{} years", months / 12)
    } else {
        format!("{months} months")
    }
}

/// The limit day of a parent, or what is missing for it.
pub(super) fn anniversary(
    who: &str,
    born: Option<Day>,
    when: &EventDays,
    months: u32,
) -> Result<Anniversary, String> {
    let born = born.ok_or_else(|| format!("the date of birth of {who}"))?;
    if born >= when.to {
        return Err(format!(
            "a date of birth of {who} before that day; {born} cannot be right"
        ));
    }
    Anniversary::new(born, months).ok_or_else(|| format!("a likely date of birth of {who}"))
}
