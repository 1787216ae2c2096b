//! The dam's recovery on the round.
//!
//! In: her recovery. Out: tasks. All that is looked at in one go is one task; what has an entry of
//! its own, or a last day, is another.

use super::{Advice, Rest, Round, TaskAction, TaskContent, TaskKind, TaskSource, Turn, Whom};
use crate::care::Every;
use crate::quantity::Day;
use crate::records::HISTORY;
use crate::records::health::HealthKind;
use crate::recovery::{RecoveryItem, Stand};
use std::sync::Arc;

/// How many days a thing to be done once is asked for after its last day when no puppy of the
/// litter is here any more.
const REMEMBERED: i64 = 28;

/// Whether she has died: then nothing is to be done for her any more.
pub(super) fn is_dead(round: &Round<'_>) -> bool {
    let dam = round.records.dogs.get(&round.folder.litter.dam);
    dam.and_then(|dam| dam.died)
        .is_some_and(|died| died <= round.today)
}

pub(super) fn tasks(round: &mut Round<'_>) {
    let (today, last) = (round.today, round.last);
    if round.age().is_none_or(|age| age > HISTORY) {
        return;
    }
    let is_at_work = round.here().next().is_some();
    let looks: &[RecoveryItem] = &round.own().recovery;
    let mut together: Vec<(Turn, Vec<&RecoveryItem>)> = Vec::new();
    for look in looks {
        let turn = match look.stand {
            Stand::Due | Stand::Watched => Turn::Today,
            Stand::Overdue if is_at_work || today.since(look.until) <= REMEMBERED => Turn::Overdue,
            Stand::Next(day) if day <= last => Turn::Later(day),
            _ => continue,
        };
        if is_looked_at(look) {
            match together.iter_mut().find(|(known, _)| *known == turn) {
                Some((_, known)) => known.push(look),
                None => together.push((turn, vec![look])),
            }
            continue;
        }
        let item = &look.item;
        let act = match look.every {
            _ if item.is_temperature_of_dam() => TaskAction::Record {
                kind: HealthKind::Temperature,
                item: None,
            },
            _ if item.is_weight_of_dam() => TaskAction::WeighDam,
            Every::Always => TaskAction::Say(Advice::CallAtAnyHour),
            _ => TaskAction::Record {
                kind: HealthKind::Done,
                item: Some(item.id.clone()),
            },
        };
        let rest = Rest {
            times: 1,
            since: None,
            until: until(turn, look.until),
            act,
            source: TaskSource::Cited(item.source),
        };
        let what = TaskContent::Recovery(Arc::clone(item));
        round.task(turn, TaskKind::Recovery, Whom::Dam, what, rest);
    }
    for (turn, looks) in together {
        let ids: Vec<&str> = looks.iter().map(|look| look.item.id.as_str()).collect();
        let Some(latest) = looks.iter().map(|look| look.until).max() else {
            continue;
        };
        let act = TaskAction::Record {
            kind: HealthKind::Done,
            item: Some(ids.join(",")),
        };
        let source = TaskSource::Cited(looks.first().map_or("", |look| look.item.source));
        let rest = Rest {
            times: 1,
            since: None,
            until: until(turn, latest),
            act,
            source,
        };
        round.task(
            turn,
            TaskKind::Recovery,
            Whom::Dam,
            TaskContent::LookOver(looks.iter().map(|look| Arc::clone(&look.item)).collect()),
            rest,
        );
    }
}

/// The last day; of what is overdue it is past.
fn until(turn: Turn, last: Day) -> Option<Day> {
    (turn != Turn::Overdue).then_some(last)
}

/// Whether it is one of the things that are looked at in one go, and ticked.
fn is_looked_at(look: &RecoveryItem) -> bool {
    matches!(look.every, Every::Fading | Every::Days(_))
        && !look.item.is_temperature_of_dam()
        && !look.item.is_weight_of_dam()
}
