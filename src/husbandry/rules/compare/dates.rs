//! The days that rules compare: a mating, a whelping, a birthday so many months on.

use super::super::{Compliance, Event, EventDays, Mating, Parent, Unknown};
use crate::quantity::Day;
use chrono::{Datelike, Months};

/// Fewest and most days from mating to whelping.
const PREGNANCY: (u8, u8) = (55, 72);

impl EventDays {
    pub(super) fn first_mating(mating: &Mating) -> Result<Self, Unknown> {
        Self::mating(mating, mating.mated.iter().min())
    }

    pub(super) fn last_mating(mating: &Mating) -> Result<Self, Unknown> {
        Self::mating(mating, mating.mated.iter().max())
    }

    fn on(day: Day, event: Event) -> Self {
        let (from, to) = (day, day);
        Self { from, to, event }
    }

    fn mating(mating: &Mating, recorded: Option<&Day>) -> Result<Self, Unknown> {
        if let Some(day) = recorded {
            return Ok(Self::on(*day, Event::Mated));
        }
        if let Some((from, to)) = mating.thought_of {
            let event = Event::WouldMate;
            return Ok(Self { from, to, event });
        }
        let (first, last) = mating
            .whelped
            .map(|day| (day, day))
            .or(mating.due)
            .ok_or(Unknown::Mating)?;
        let (fewest, most) = PREGNANCY;
        Ok(Self {
            from: first.plus(-i64::from(most)),
            to: last.plus(-i64::from(fewest)),
            event: Event::MatedBefore(fewest, most),
        })
    }

    pub(super) fn whelping(mating: &Mating) -> Result<Self, Unknown> {
        if let Some(day) = mating.whelped {
            return Ok(Self::on(day, Event::Whelped));
        }
        let (fewest, most) = (i64::from(PREGNANCY.0), i64::from(PREGNANCY.1));
        if let Some((from, to)) = mating.thought_of {
            return Ok(Self {
                from: from.plus(fewest),
                to: to.plus(most),
                event: Event::WouldWhelp,
            });
        }
        let counted = || {
            Some((
                mating.mated.iter().min()?.plus(fewest),
                mating.mated.iter().max()?.plus(most),
            ))
        };
        let (from, to) = mating.due.or_else(counted).ok_or(Unknown::Whelping)?;
        let event = Event::WillWhelp;
        Ok(Self { from, to, event })
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

    fn open(&self, day: &Anniversary) -> Compliance {
        Compliance::CannotTell(if self.from == self.to {
            Unknown::Anniversary(day.early, day.late)
        } else {
            Unknown::DayBetween(self.from, self.to)
        })
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

/// The limit day of a parent, or what is missing for it.
pub(super) fn anniversary(
    parent: Parent,
    born: Option<Day>,
    when: &EventDays,
    months: u32,
) -> Result<Anniversary, Unknown> {
    let born = born.ok_or(Unknown::Birth(parent))?;
    if born >= when.to {
        return Err(Unknown::BirthNotBefore(parent, born));
    }
    Anniversary::new(born, months).ok_or(Unknown::BirthBeyondCalendar(parent))
}
