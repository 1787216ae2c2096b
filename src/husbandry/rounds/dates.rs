//! Days that are coming: scan, X-ray, section, birth, leaving, and days that a rule sets.
//!
//! In: a litter with its figures, and who takes which puppy. Out: tasks. A step whose window is
//! over is not asked for again; a puppy that should have left is.

use super::{
    Advice, LastOfDam, Rest, Round, TaskAction, TaskContent, TaskKind, TaskSource, Turn, Whom,
};
use crate::LitterFigures;
use crate::gestation::{PlanStep, StepKind};
use crate::quantity::Day;
use crate::readiness::{self, GapKind, Readiness, ReadinessGap};
use crate::records::health::HealthKind;
use crate::records::litter::{Offer, Puppy};
use crate::records::owners::{Family, Takes};
use crate::rules::RuleBook;

pub(super) fn tasks(round: &mut Round<'_>) {
    if round.folder.litter.birth.is_none() {
        steps(round);
        due(round);
    } else {
        leaving(round);
        may_leave(round);
        chips_by_rule(round);
    }
}

fn steps(round: &mut Round<'_>) {
    let (folder, own, today) = (round.folder, round.own(), round.today);
    for step in own
        .steps
        .iter()
        .filter(|step| !step.is_done(&folder.litter) && today <= open_until(step))
    {
        let PlanStep { kind, from, to } = step;
        let Some(turn) = round.turn(*from) else {
            continue;
        };
        let (mut what, mut times) = (TaskContent::Step(*kind), 1);
        let act = match kind {
            StepKind::Temperature => {
                let taken = folder.health.iter().filter(|e| {
                    e.day() == Some(today) && e.temperature.is_some() && e.is_for_dam()
                });
                times = match taken.count() {
                    1 if turn == Turn::Today => 1,
                    2.. if turn == Turn::Today => continue,
                    _ => 2,
                };
                what = TaskContent::DamTemperature {
                    is_begun: times == 1,
                    last: last_reading(own),
                };
                TaskAction::Record {
                    kind: HealthKind::Temperature,
                    item: None,
                }
            }
            StepKind::Scan => TaskAction::Say(Advice::WriteCount),
            StepKind::XRay => TaskAction::Say(Advice::WriteXRayCount),
            StepKind::Section => TaskAction::Say(Advice::SettleSection),
            StepKind::Progesterone => TaskAction::Say(Advice::WriteProgesterone),
            StepKind::Nest => TaskAction::Say(Advice::MakeReady),
        };
        let rest = Rest {
            times,
            since: (turn == Turn::Today).then_some(*from),
            until: Some(*to),
            act,
            source: TaskSource::Cited(kind.source()),
        };
        round.task(turn, TaskKind::Step, Whom::Dam, what, rest);
    }
}

/// Days for which a sample that is late is still asked for: the bracket grows with each, but has an
/// end.
const LATE_SAMPLE: i64 = 5;

/// The last day on which a step is asked for.
fn open_until(step: &PlanStep) -> Day {
    if step.kind == StepKind::Progesterone {
        step.to.plus(LATE_SAMPLE)
    } else {
        step.to
    }
}

/// Her last temperature, and what it is held against.
fn last_reading(own: &LitterFigures) -> Option<LastOfDam> {
    let reading = *own.dam_before.readings.last()?;
    let mean = own.dam_before.own_mean(reading.day);
    Some(LastOfDam { reading, mean })
}

/// The window of the birth is open or about to open. Past its end the findings say so.
fn due(round: &mut Round<'_>) {
    // Between the window and the day after which she is over her time nobody goes to sleep.
    let until = |due: &super::Due| due.last_day().map_or(due.to, |last| last.max(due.to));
    let Some(due) = round.own().due.filter(|due| until(due) >= round.today) else {
        return;
    };
    let Some(turn) = round.turn(due.from) else {
        return;
    };
    let rest = Rest {
        times: 1,
        since: (turn == Turn::Today).then_some(due.from),
        until: Some(due.to.max(round.today)),
        act: TaskAction::Say(Advice::StayNear),
        source: TaskSource::Cited(due.anchor.source()),
    };
    let what = TaskContent::Birth(due);
    round.task(turn, TaskKind::Birth, Whom::Dam, what, rest);
}

/// Puppies that leave on an agreed day, with what is missing before they can; and those that should
/// have left.
fn leaving(round: &mut Round<'_>) {
    for (puppy, _) in round.here() {
        let Some((
            family,
            Takes {
                leaves: Some(leaves),
                ..
            },
        )) = round.homes.of(&round.folder.id, puppy)
        else {
            continue;
        };
        let (leaves, Family { name, .. }) = (*leaves, family);
        let whom = Whom::Puppies(vec![puppy.id.clone()]);
        let source = TaskSource::Cited("owners.yaml");
        if leaves < round.today {
            let act = TaskAction::Say(Advice::SetPlacedOrNewDay);
            let rest = Rest {
                times: 1,
                since: Some(leaves),
                until: None,
                act,
                source,
            };
            round.task(
                Turn::Overdue,
                TaskKind::Leaving,
                whom,
                TaskContent::LateToLeave {
                    family: name.clone(),
                },
                rest,
            );
        } else if let Some(turn) = round.turn(leaves) {
            let what = TaskContent::Leaves {
                family: name.clone(),
                missing: missing(round, puppy),
            };
            round.task(
                turn,
                TaskKind::Leaving,
                whom,
                what,
                Rest {
                    times: 1,
                    since: None,
                    until: Some(leaves),
                    act: TaskAction::HandOver,
                    source,
                },
            );
        }
    }
}

/// What is missing before a puppy can leave.
fn missing(round: &Round<'_>, puppy: &Puppy) -> Vec<GapKind> {
    let Readiness { gaps, .. } = readiness::of_puppy(
        round.records,
        round.figures,
        round.homes,
        round.folder,
        puppy,
    );
    let mut kinds: Vec<GapKind> = gaps.iter().map(ReadinessGap::kind).collect();
    kinds.dedup();
    kinds
}

/// The first day on which each puppy of a litter may leave.
fn may_leave(round: &mut Round<'_>) {
    let is_ahead = |round: &Round<'_>, puppy: &Puppy| {
        let from = round
            .figures
            .litters
            .puppy_leaves_from(round.folder, puppy)?;
        if from >= round.today {
            round.turn(from)
        } else {
            None
        }
    };
    for puppy in round
        .folder
        .living()
        .filter(|puppy| puppy.offer != Offer::Staying)
    {
        // Who is here is asked last: of a litter that is history it need not be known.
        let Some(turn) =
            is_ahead(round, puppy).filter(|_| !round.figures.litters.is_gone(round.folder, puppy))
        else {
            continue;
        };
        let rest = Rest {
            times: 1,
            since: None,
            until: None,
            act: TaskAction::Say(Advice::AgreeDay),
            source: TaskSource::Cited(
                "kennel.yaml, the law of the region, and never under eight weeks",
            ),
        };
        round.task(
            turn,
            TaskKind::Leaving,
            Whom::Puppies(vec![puppy.id.clone()]),
            TaskContent::MayLeave,
            rest,
        );
    }
}

/// The last day by which a rule asks for a chip. Once it has passed, that is a finding.
fn chips_by_rule(round: &mut Round<'_>) {
    if round.here().next().is_none() {
        return;
    }
    for book in round.own().rules.iter().map(|figures| figures.book) {
        let RuleBook {
            name, check_with, ..
        } = book;
        let Some((days, source)) = book.chip_days() else {
            continue;
        };
        for (puppy, _) in round.here().filter(|(puppy, _)| puppy.chip.is_none()) {
            let Some(by) = round
                .folder
                .litter
                .born_on(puppy)
                .map(|born| born.plus(i64::from(days)))
            else {
                continue;
            };
            let Some(turn) = round.turn(by).filter(|_| by >= round.today) else {
                continue;
            };
            let what = TaskContent::ChipByRule {
                book: name,
                check_with,
                source,
                today: round.today,
            };
            let act = TaskAction::Record {
                kind: HealthKind::Chip,
                item: None,
            };
            let rest = Rest {
                times: 1,
                since: None,
                until: Some(by),
                act,
                source: TaskSource::Rule(source),
            };
            round.task(
                turn,
                TaskKind::Rule,
                Whom::Puppies(vec![puppy.id.clone()]),
                what,
                rest,
            );
        }
    }
}
