//! Care that is due, overdue or about to come, treatments that go on, and dates that were written as next due.
//!
//! In: a litter with the care of its puppies and its health entries. Out: tasks. What puppies learn and meet has no day of its own: it is one line for the litter, and never overdue.

use super::{Act, Kind, REMEMBERED, Rest, Round, Turn, Whom, YOUNG};
use crate::husbandry::care::{Standing, State};
use crate::quantity::{Day, Id};
use crate::records::care_plan::CareKind;
use crate::records::health::{Entry, Parasite, Treatment};

pub(super) fn tasks(round: &mut Round<'_>) {
    items(round);
    growing(round);
    treatments(round);
    next_due(round);
}

fn items(round: &mut Round<'_>) {
    let age = round.age();
    for (puppy, own) in round.here() {
        for standing in own.care.standings.iter().filter(|s| is_set(s.item.what)) {
            let Standing { item, from, until, by_next_due, state } = standing;
            let recent = age.is_some_and(|age| age <= YOUNG) || round.today.since(*until) <= REMEMBERED;
            let turn = match state {
                State::Overdue if item.urgent && recent => Some(Turn::Overdue),
                State::Due | State::ToCome => round.turn(*from),
                _ => None,
            };
            let Some(turn) = turn else { continue };
            let since = if turn == Turn::Overdue { *until } else { *from };
            let rest = Rest {
                times: 1,
                since: (turn <= Turn::Today).then_some(since),
                until: (turn != Turn::Overdue).then_some(*until),
                act: Act::Record { kind: item.what.word(), item: None },
                source: if *by_next_due { "the date written as next due".to_owned() } else { item.source.to_owned() },
            };
            round.task(turn, Kind::Care, Whom::Puppies(vec![puppy.id.clone()]), item.name.clone(), rest);
        }
    }
}

/// Whether a day is set for it.
fn is_set(kind: CareKind) -> bool {
    !matches!(kind, CareKind::Milestone | CareKind::Socialisation)
}

/// What the puppies learn and meet these days and nobody has noted yet, one line for each item.
fn growing(round: &mut Round<'_>) {
    for (puppy, own) in round.here() {
        for standing in own.care.standings.iter().filter(|s| !is_set(s.item.what)) {
            let turn = match standing.state {
                State::Due | State::ToCome => round.turn(standing.from),
                _ => None,
            };
            let Some(turn) = turn else { continue };
            let rest = Rest {
                times: 1,
                since: (turn == Turn::Today).then_some(standing.from),
                until: Some(standing.until),
                act: Act::Record { kind: "done", item: Some(standing.item.id.clone()) },
                source: standing.item.source.to_owned(),
            };
            round.task(turn, Kind::Growing, Whom::Puppies(vec![puppy.id.clone()]), standing.item.name.clone(), rest);
        }
    }
}

/// Treatments whose last day is still to come. What is given, the vet has said; it stands in the record.
fn treatments(round: &mut Round<'_>) {
    let folder = round.folder;
    for entry in &folder.health {
        let (Some(Treatment { product, why, until: Some(until), .. }), Some(day)) = (&entry.treatment, entry.day()) else { continue };
        if *until < round.today || day > round.today {
            continue;
        }
        let why = why.as_ref().map(|why| format!(", {why}")).unwrap_or_default();
        let rest = Rest {
            times: 1,
            since: Some(day),
            until: Some(*until),
            act: Act::Say("as the vet said; health.yaml has the words"),
            source: "health.yaml".to_owned(),
        };
        for whom in whom(round, entry) {
            let rest = Rest { times: 1, since: rest.since, until: rest.until, act: rest.act.clone(), source: rest.source.clone() };
            round.task(Turn::Today, Kind::Treatment, whom, format!("{product}{why}"), rest);
        }
    }
}

/// For whom an entry is: the dam, and every puppy of it that is here.
fn whom(round: &Round<'_>, entry: &Entry) -> Vec<Whom> {
    let puppies = round.here().filter(|(puppy, _)| entry.is_for(&puppy.id)).map(|(puppy, _)| Whom::Puppies(vec![puppy.id.clone()]));
    let dam = entry.whom.iter().any(|id| id.as_str() == "dam").then_some(Whom::Dam);
    dam.into_iter().chain(puppies).collect()
}

/// Dates written as next due that the care plan does not hold: all of the dam's, and treatments of puppies against fleas, ticks and mites.
#[allow(clippy::option_option, reason = "given at all, and with a date")]
fn next_due(round: &mut Round<'_>) {
    type Given = fn(&Entry) -> Option<Option<Day>>;
    let parasite = |entry: &Entry| entry.parasite.as_ref().map(|Parasite { next_due, .. }| *next_due);
    let worming = |entry: &Entry| entry.worming.as_ref().map(|Parasite { next_due, .. }| *next_due);
    let vaccination = |entry: &Entry| entry.vaccination.as_ref().map(|v| v.next_due);
    let of_dam: [(&'static str, &str, Given); 3] = [
        ("worming", "worming of the dam", worming),
        ("parasite", "treatment of the dam against parasites", parasite),
        ("vaccination", "vaccination of the dam", vaccination),
    ];
    for (kind, what, given) in of_dam {
        due_again(round, &Whom::Dam, kind, what, given, |entry| entry.whom.iter().any(|id| id.as_str() == "dam"));
    }
    let ids: Vec<Id> = round.here().map(|(puppy, _)| puppy.id.clone()).collect();
    for id in ids {
        due_again(round, &Whom::Puppies(vec![id.clone()]), "parasite", "treatment against parasites", parasite, |entry| entry.is_for(&id));
    }
}

/// The latest entry of a kind says when it is due again.
#[allow(clippy::option_option, reason = "given at all, and with a date")]
fn due_again(
    round: &mut Round<'_>,
    whom: &Whom,
    kind: &'static str,
    what: &str,
    given: fn(&Entry) -> Option<Option<Day>>,
    is_meant: impl Fn(&Entry) -> bool,
) {
    let latest = round.folder.health.iter().filter(|e| is_meant(e)).filter_map(|e| Some((e.day()?, given(e)?))).max_by_key(|(day, _)| *day);
    let Some(due) = latest.and_then(|(_, due)| due) else { return };
    let turn = match round.today.since(due) {
        late @ 1.. => (late <= REMEMBERED).then_some(Turn::Overdue),
        _ => round.turn(due),
    };
    let Some(turn) = turn else { return };
    let rest = Rest {
        times: 1,
        since: (turn == Turn::Overdue).then_some(due),
        until: (turn != Turn::Overdue).then_some(due),
        act: Act::Record { kind, item: None },
        source: "the date written as next due".to_owned(),
    };
    round.task(turn, Kind::Care, whom.clone(), what, rest);
}
