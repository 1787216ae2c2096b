//! What is looked after by the hour: a puppy that was cold, one that is fed by hand.
//!
//! In: a litter with its health entries and the feeding of its puppies. Out: tasks. Today has no
//! hour here, so the time of the next look is told with the task.

use super::{FedByHand, Rest, Round, TaskAction, TaskContent, TaskKind, TaskSource, Turn, Whom};
use crate::findings::{COLD_SOURCE, temperatures};
use crate::quantity::Moment;
use crate::records::HISTORY;
use crate::records::health::HealthKind;
use chrono::TimeDelta;

/// Minutes from a cold reading to the next.
const AGAIN: i64 = 30;
/// Days for which a cold reading asks for the next: the finding remembers it longer.
const FRESH: i64 = 2;

pub(super) fn tasks(round: &mut Round<'_>) {
    if round.age().is_none_or(|age| age > HISTORY) {
        return;
    }
    for (puppy, _) in round.here() {
        let readings = temperatures(round.folder, puppy, &round.limits, round.today);
        let Some(last) = readings
            .last()
            .filter(|last| last.is_cold() && round.today.since(last.reading.day) <= FRESH)
            .map(|last| last.reading)
        else {
            continue;
        };
        let half_an_hour_later = |at: Moment| Moment::from(at.local() + TimeDelta::minutes(AGAIN));
        let what = TaskContent::TemperatureAgain {
            at: last.at.map(half_an_hour_later),
        };
        let act = TaskAction::Record {
            kind: HealthKind::Temperature,
            item: None,
        };
        let rest = Rest {
            times: 1,
            since: Some(last.day),
            until: None,
            act,
            source: TaskSource::Cited(COLD_SOURCE),
        };
        round.task(
            Turn::Today,
            TaskKind::Finding,
            Whom::Puppies(vec![puppy.id.clone()]),
            what,
            rest,
        );
    }
    feeding(round);
}

/// Puppies that are fed by hand, one line each: what they had differs.
fn feeding(round: &mut Round<'_>) {
    for (puppy, own) in round.here() {
        let Some(fed) = own.feeding.as_ref().filter(|fed| fed.goes_on) else {
            continue;
        };
        let what = TaskContent::FedByHand(FedByHand {
            ml: fed.ml,
            feeds: fed.feeds,
            per_100_g: fed.per_100_g,
            last: fed.last,
            longest_gap: fed.longest_gap,
            by_tube: fed.by_tube,
        });
        let rest = Rest {
            times: 1,
            since: None,
            until: None,
            act: TaskAction::Record {
                kind: HealthKind::Feed,
                item: None,
            },
            source: TaskSource::Cited("health.yaml"),
        };
        round.task(
            Turn::Today,
            TaskKind::Treatment,
            Whom::Puppies(vec![puppy.id.clone()]),
            what,
            rest,
        );
    }
}
