//! What is looked after by the hour: a puppy that was cold, one that is fed by hand.
//!
//! In: a litter with its health entries and the feeding of its puppies. Out: tasks. Today has no hour here, so the time of the next look is said in words.

use super::{Act, Kind, Rest, Round, Turn, Whom};
use crate::husbandry::findings::{COLD_SOURCE, temperatures};
use crate::quantity::Moment;
use chrono::TimeDelta;

/// Minutes from a cold reading to the next.
const AGAIN: i64 = 30;
/// Days for which a cold reading asks for the next: the finding remembers it longer.
const FRESH: i64 = 2;

pub(super) fn tasks(round: &mut Round<'_>) {
    if round.age().is_none_or(|age| age > super::YOUNG) {
        return;
    }
    for (puppy, _) in round.here() {
        let readings = temperatures(round.folder, puppy, &round.limits, round.today);
        let Some(last) = readings.last().filter(|last| last.is_cold() && round.today.since(last.day) <= FRESH) else { continue };
        let when = last.at.map_or_else(|| "now".to_owned(), |at| format!("at {}", Moment::from(at.local() + TimeDelta::minutes(AGAIN))));
        let what = format!("temperature again {when}, and every half hour until it is warm; warm slowly, do not feed");
        let act = Act::Record { kind: "temperature", item: None };
        let rest = Rest { times: 1, since: Some(last.day), until: None, act, source: COLD_SOURCE.to_owned() };
        round.task(Turn::Today, Kind::Finding, Whom::Puppies(vec![puppy.id.clone()]), what, rest);
    }
    feeding(round);
}

/// Puppies that are fed by hand, one line each: what they had differs.
fn feeding(round: &mut Round<'_>) {
    for (puppy, own) in round.here() {
        let Some(fed) = own.feeding.as_ref().filter(|fed| fed.goes_on) else { continue };
        let gap = fed.longest_gap.map(|gap| format!(", longest gap {gap:.1} h")).unwrap_or_default();
        let per = fed.per_100_g.map(|per| format!(" ({per:.1} ml for each 100 g)")).unwrap_or_default();
        let tube = if fed.by_tube { "; by tube only as it was shown, and only warm" } else { "" };
        let feeds = if fed.feeds == 1 { "1 feed".to_owned() } else { format!("{} feeds", fed.feeds) };
        let what = format!("fed by hand: {:.1} ml in {}{per}, the last at {}{gap}; write down each feed{tube}", fed.ml, feeds, fed.last);
        let rest = Rest { times: 1, since: None, until: None, act: Act::Record { kind: "feed", item: None }, source: "health.yaml".to_owned() };
        round.task(Turn::Today, Kind::Treatment, Whom::Puppies(vec![puppy.id.clone()]), what, rest);
    }
}
