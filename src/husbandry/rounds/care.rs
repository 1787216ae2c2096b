//! Care that is due, overdue or about to come, treatments that go on, and dates that were written
//! as next due.
//!
//! In: a litter with the care of its puppies and its health entries. Out: tasks. What puppies learn
//! and meet has no day of its own: it is one line for the litter, and never overdue.

use super::{
    Advice, DueAgain, REMEMBERED, Rest, Round, TaskAction, TaskContent, TaskKind, TaskSource, Turn,
    Whom,
};
use crate::care::{Item, ItemStanding, ItemState, Remark};
use crate::quantity::{Day, Id};
use crate::records::HISTORY;
use crate::records::care_plan::CareKind;
use crate::records::health::{HealthEntry, HealthKind, Parasite, Treatment};
use std::sync::Arc;

/// How many days before the first worming of her puppies one of the dam's counts as given with it;
/// ours.
const EARLY: i64 = 5;

pub(super) fn tasks(round: &mut Round<'_>) {
    items(round);
    dam_with_puppies(round);
    growing(round);
    treatments(round);
    next_due(round);
}

/// The open doses of one series are one task: one visit covers them, and later dates depend on it.
fn items(round: &mut Round<'_>) {
    for (puppy, own) in round.here() {
        let mut said: Vec<(Turn, &Item, usize)> = Vec::new();
        for standing in own
            .care
            .standings
            .iter()
            .filter(|s| s.item.what.is_veterinary())
        {
            let ItemStanding {
                item,
                from,
                until,
                by_next_due,
                state,
                remark,
            } = standing;
            let instead = match remark {
                Some(Remark::InPlaceOf { until, .. }) => Some(*until),
                _ => None,
            };
            let turn = match state {
                // However long ago: what is not done stays on the round while the puppy is here.
                ItemState::Overdue if item.urgent => Some(Turn::Overdue),
                ItemState::Due if instead.is_some() => Some(Turn::Overdue),
                ItemState::Due | ItemState::ToCome => round.turn(*from),
                _ => None,
            };
            let Some(turn) = turn else { continue };
            let before = said.iter().find(|(known, first, _)| {
                *known <= Turn::Today && turn <= Turn::Today && is_one_series(first, item)
            });
            if let Some(TaskContent::Care { also_open, .. }) = before
                .and_then(|(.., place)| round.tasks.get_mut(*place))
                .map(|task| &mut task.what)
            {
                also_open.push(Arc::clone(item));
                continue;
            }
            said.push((turn, item, round.tasks.len()));
            let since = if turn == Turn::Overdue {
                instead.unwrap_or(*until)
            } else {
                *from
            };
            let what = TaskContent::Care {
                item: Arc::clone(item),
                remark: remark.clone(),
                also_open: Vec::new(),
            };
            let rest = Rest {
                times: 1,
                since: (turn <= Turn::Today).then_some(since),
                until: (turn != Turn::Overdue).then_some(*until),
                act: TaskAction::Record {
                    kind: item.what.recorded_by(),
                    item: None,
                },
                source: TaskSource::Cited(if *by_next_due {
                    "the date written as next due"
                } else {
                    item.source
                }),
            };
            round.task(
                turn,
                TaskKind::Care,
                Whom::Puppies(vec![puppy.id.clone()]),
                what,
                rest,
            );
        }
    }
}

/// Whether two items are doses of one series: of wormings, or of the built-in vaccinations against
/// the same.
fn is_one_series(one: &Item, other: &Item) -> bool {
    one.what == other.what
        && match one.what {
            CareKind::Worming => true,
            CareKind::Vaccination => !one.against.is_empty() && one.against == other.against,
            _ => false,
        }
}

/// The dam is wormed together with the first dose of her puppies (ESCCAP GL1). An entry `for: dam`
/// that names that item as `done` or `excused` settles it as well.
fn dam_with_puppies(round: &mut Round<'_>) {
    let young = round.age().is_some_and(|age| age <= HISTORY);
    let Some(birth) = round.folder.litter.birth.as_ref().filter(|_| young) else {
        return;
    };
    let first = round.here().find_map(|(_, own)| {
        own.care
            .standings
            .iter()
            .find(|s| s.item.what == CareKind::Worming)
            .map(|s| Arc::clone(&s.item))
    });
    let Some(item) = first else { return };
    let (from, until) = (birth.on.plus(item.from), birth.on.plus(item.until));
    let is_settled = |entry: &HealthEntry| {
        let named = entry
            .done
            .iter()
            .chain(entry.excused.iter())
            .any(|id| id.as_str() == item.id);
        let with_them =
            entry.worming.is_some() && entry.day().is_some_and(|day| day >= from.plus(-EARLY));
        entry.is_for_dam() && (named || with_them)
    };
    if round.folder.health.iter().any(is_settled) {
        return;
    }
    let Some(turn) = (if round.today > until {
        Some(Turn::Overdue)
    } else {
        round.turn(from)
    }) else {
        return;
    };
    let rest = Rest {
        times: 1,
        since: (turn <= Turn::Today).then_some(if turn == Turn::Overdue { until } else { from }),
        until: (turn != Turn::Overdue).then_some(until),
        act: TaskAction::Record {
            kind: HealthKind::Worming,
            item: None,
        },
        source: TaskSource::Cited(item.source),
    };
    round.task(
        turn,
        TaskKind::Care,
        Whom::Dam,
        TaskContent::WormingWithPuppies,
        rest,
    );
}

/// What the puppies learn and meet these days and nobody has noted yet, one line for each item.
fn growing(round: &mut Round<'_>) {
    for (puppy, own) in round.here() {
        for standing in own
            .care
            .standings
            .iter()
            .filter(|s| !s.item.what.is_veterinary())
        {
            let turn = match standing.state {
                ItemState::Due | ItemState::ToCome => round.turn(standing.from),
                _ => None,
            };
            let Some(turn) = turn else { continue };
            let rest = Rest {
                times: 1,
                since: (turn == Turn::Today).then_some(standing.from),
                until: Some(standing.until),
                act: TaskAction::Record {
                    kind: HealthKind::Done,
                    item: Some(standing.item.id.clone()),
                },
                source: TaskSource::Cited(standing.item.source),
            };
            round.task(
                turn,
                TaskKind::Growing,
                Whom::Puppies(vec![puppy.id.clone()]),
                TaskContent::Growing(Arc::clone(&standing.item)),
                rest,
            );
        }
    }
}

/// Treatments whose last day is still to come. What is given, the vet has said; it stands in the
/// record.
fn treatments(round: &mut Round<'_>) {
    let folder = round.folder;
    for entry in &folder.health {
        let (
            Some(Treatment {
                product,
                why,
                until: Some(until),
                ..
            }),
            Some(day),
        ) = (&entry.treatment, entry.day())
        else {
            continue;
        };
        if *until < round.today || day > round.today {
            continue;
        }
        let rest = Rest {
            times: 1,
            since: Some(day),
            until: Some(*until),
            act: TaskAction::Say(Advice::AsTheVetSaid),
            source: TaskSource::Cited("health.yaml"),
        };
        for whom in whom(round, entry) {
            let rest = Rest {
                times: 1,
                since: rest.since,
                until: rest.until,
                act: rest.act.clone(),
                source: rest.source,
            };
            round.task(
                Turn::Today,
                TaskKind::Treatment,
                whom,
                TaskContent::Treatment {
                    product: product.clone(),
                    why: why.clone(),
                },
                rest,
            );
        }
    }
}

/// For whom an entry is: the dam, and every puppy of it that is here.
fn whom(round: &Round<'_>, entry: &HealthEntry) -> Vec<Whom> {
    let puppies = round
        .here()
        .filter(|(puppy, _)| entry.is_for(&puppy.id))
        .map(|(puppy, _)| Whom::Puppies(vec![puppy.id.clone()]));
    let dam = entry.is_for_dam().then_some(Whom::Dam);
    dam.into_iter().chain(puppies).collect()
}

/// Dates written as next due that the care plan does not hold: all of the dam's, and treatments of
/// puppies against fleas, ticks and mites.
#[allow(clippy::option_option, reason = "given at all, and with a date")]
fn next_due(round: &mut Round<'_>) {
    type Given = fn(&HealthEntry) -> Option<Option<Day>>;
    let parasite = |entry: &HealthEntry| {
        entry
            .parasite
            .as_ref()
            .map(|Parasite { next_due, .. }| *next_due)
    };
    let worming = |entry: &HealthEntry| {
        entry
            .worming
            .as_ref()
            .map(|Parasite { next_due, .. }| *next_due)
    };
    let vaccination = |entry: &HealthEntry| entry.vaccination.as_ref().map(|v| v.next_due);
    let of_dam: [(HealthKind, DueAgain, Given); 3] = [
        (HealthKind::Worming, DueAgain::DamWorming, worming),
        (HealthKind::Parasite, DueAgain::DamParasites, parasite),
        (
            HealthKind::Vaccination,
            DueAgain::DamVaccination,
            vaccination,
        ),
    ];
    for (kind, what, given) in of_dam {
        due_again(
            round,
            &Whom::Dam,
            kind,
            what,
            given,
            HealthEntry::is_for_dam,
        );
    }
    let ids: Vec<Id> = round.here().map(|(puppy, _)| puppy.id.clone()).collect();
    for id in ids {
        due_again(
            round,
            &Whom::Puppies(vec![id.clone()]),
            HealthKind::Parasite,
            DueAgain::Parasites,
            parasite,
            |entry| entry.is_for(&id),
        );
    }
}

/// The latest entry of a kind says when it is due again.
#[allow(clippy::option_option, reason = "given at all, and with a date")]
fn due_again(
    round: &mut Round<'_>,
    whom: &Whom,
    kind: HealthKind,
    what: DueAgain,
    given: fn(&HealthEntry) -> Option<Option<Day>>,
    is_meant: impl Fn(&HealthEntry) -> bool,
) {
    let latest = round
        .folder
        .health
        .iter()
        .filter(|e| is_meant(e))
        .filter_map(|e| Some((e.day()?, given(e)?)))
        .max_by_key(|(day, _)| *day);
    let Some(due) = latest.and_then(|(_, due)| due) else {
        return;
    };
    let turn = match round.today.since(due) {
        late @ 1.. => {
            (late <= REMEMBERED || round.here().next().is_some()).then_some(Turn::Overdue)
        }
        _ => round.turn(due),
    };
    let Some(turn) = turn else { return };
    let rest = Rest {
        times: 1,
        since: (turn == Turn::Overdue).then_some(due),
        until: (turn != Turn::Overdue).then_some(due),
        act: TaskAction::Record { kind, item: None },
        source: TaskSource::Cited("the date written as next due"),
    };
    let what = TaskContent::DueAgain(what);
    round.task(turn, TaskKind::Care, whom.clone(), what, rest);
}
