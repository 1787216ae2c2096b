//! Weigh-ins that are due or were missed.
//!
//! In: a litter with the growth of its puppies, the gap between weigh-ins. Out: tasks for each
//! puppy that is here. The gap is that of the thresholds, so a round and the findings never
//! disagree on what was missed; in the first week the scale comes out twice a day, after four weeks
//! once a week.

use super::{Rest, Round, TaskAction, TaskContent, TaskKind, TaskSource, Turn, WeighInState, Whom};
use crate::PuppyFigures;
use crate::quantity::Day;
use crate::records::HISTORY;
use crate::thresholds::{Threshold, Thresholds, WEEKLY as WEEK};

/// Days of age in which puppies are weighed twice a day.
const FIRST_WEEK: i64 = 7;
const TWICE: &str = "twice a day in the first week: common practice, no source";
const WEEKLY: &str = "once a week after the fourth: common practice, no source";

/// How often a puppy of an age is weighed.
enum Rhythm {
    /// So many times a day.
    ADay(usize, &'static str),
    /// Once in so many days; `firm` when a longer gap counts as missed.
    Every {
        days: i64,
        firm: bool,
        source: &'static str,
    },
}

fn rhythm(limits: &Thresholds, age: i64) -> Rhythm {
    let Some(Threshold { value, source }) = limits.weigh_in_gap_at(age) else {
        return Rhythm::Every {
            days: WEEK,
            firm: false,
            source: WEEKLY,
        };
    };
    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a gap is minutes to days"
    )]
    let times = (24.0 / value.max(1.0)).round().max(1.0) as usize;
    match days_of(value) {
        1 if age < FIRST_WEEK && times < 2 => Rhythm::ADay(2, TWICE),
        1 => Rhythm::ADay(times, source),
        days => Rhythm::Every {
            days,
            firm: true,
            source,
        },
    }
}

/// Whole days of a gap in hours.
#[expect(
    clippy::cast_possible_truncation,
    reason = "a gap is a few days at most"
)]
fn days_of(hours: f64) -> i64 {
    (hours / 24.0).ceil().max(1.0) as i64
}

pub(super) fn tasks(round: &mut Round<'_>) {
    if round.age().is_none_or(|age| age > HISTORY) {
        return;
    }
    for (puppy, own) in round.here() {
        let Some(age) = round.age_of(puppy).filter(|age| *age >= 0) else {
            continue;
        };
        let (today, tomorrow) = (rhythm(&round.limits, age), rhythm(&round.limits, age + 1));
        let whom = Whom::Puppies(vec![puppy.id.clone()]);
        let last = own
            .growth
            .points
            .iter()
            .rev()
            .find(|p| !p.is_birth)
            .map(|p| p.at.day());
        match &today {
            Rhythm::ADay(times, source) => a_day(round, &whom, own, age, last, *times, source),
            Rhythm::Every { days, firm, source } => every(round, &whom, last, *days, *firm, source),
        }
        if let Rhythm::ADay(times, source) = &tomorrow {
            let what = WeighInState::ToDo { times: *times };
            let day = round.today.plus(1);
            if let Some(turn) = round.turn(day) {
                round.task(
                    turn,
                    TaskKind::WeighIn,
                    whom,
                    TaskContent::WeighIn(what),
                    rest(*times, None, source),
                );
            }
        }
    }
}

/// Several times a day: what is still to come today, and whether a day was left out.
fn a_day(
    round: &mut Round<'_>,
    whom: &Whom,
    own: &PuppyFigures,
    age: i64,
    last: Option<Day>,
    times: usize,
    source: &'static str,
) {
    let today = round.today;
    // The weight at birth is the first weigh-in of that day.
    let done = own
        .growth
        .points
        .iter()
        .filter(|p| p.at.day() == today && (!p.is_birth || age == 0))
        .count();
    let gap = round
        .limits
        .weigh_in_gap_at(age)
        .map_or(1, |gap| days_of(gap.value));
    if age >= 1 && last.is_none_or(|last| today.since(last) > gap) {
        let what = last.map_or(WeighInState::Never, |last| missed(today.since(last), gap));
        let since = last.unwrap_or_else(|| today.plus(-age));
        round.task(
            Turn::Overdue,
            TaskKind::WeighIn,
            whom.clone(),
            TaskContent::WeighIn(what),
            rest(1, Some(since), source),
        );
    } else if done < times {
        let what = match done {
            0 => WeighInState::ToDo { times },
            _ => WeighInState::Begun { done, of: times },
        };
        round.task(
            Turn::Today,
            TaskKind::WeighIn,
            whom.clone(),
            TaskContent::WeighIn(what),
            rest(times - done, last, source),
        );
    }
}

/// Once in several days: due on its day, and missed when that day is over.
fn every(
    round: &mut Round<'_>,
    whom: &Whom,
    last: Option<Day>,
    days: i64,
    firm: bool,
    source: &'static str,
) {
    let Some(last) = last else {
        round.task(
            if firm { Turn::Overdue } else { Turn::Today },
            TaskKind::WeighIn,
            whom.clone(),
            TaskContent::WeighIn(WeighInState::Never),
            rest(1, None, source),
        );
        return;
    };
    let due = last.plus(days);
    let turn = if firm && due < round.today {
        Some(Turn::Overdue)
    } else {
        round.turn(due)
    };
    if let Some(turn) = turn {
        let what = if turn == Turn::Overdue {
            missed(round.today.since(last), days)
        } else {
            WeighInState::ToDo { times: 1 }
        };
        round.task(
            turn,
            TaskKind::WeighIn,
            whom.clone(),
            TaskContent::WeighIn(what),
            rest(1, Some(last), source),
        );
    }
}

/// What was missed: one weigh-in, or all of a longer time.
fn missed(days: i64, between: i64) -> WeighInState {
    if days <= 2 * between {
        WeighInState::OneMissed
    } else {
        WeighInState::NoneFor { days }
    }
}

fn rest(times: usize, since: Option<Day>, source: &'static str) -> Rest {
    Rest {
        times,
        since,
        until: None,
        act: TaskAction::Weigh,
        source: TaskSource::Cited(source),
    }
}
