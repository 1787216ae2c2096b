//! Days that are coming: scan, X-ray, section, birth, leaving, and days that a rule sets.
//!
//! In: a litter with its figures, and who takes which puppy. Out: tasks. A step whose window is over is not asked for again; a puppy that should have left is.

use super::{Act, Kind, Rest, Round, Turn, Whom};
use crate::husbandry::LitterFigures;
use crate::husbandry::gestation::temperature::Reading;
use crate::husbandry::gestation::{Due, Known, Step};
use crate::husbandry::readiness::{self, Readiness};
use crate::husbandry::rules::RuleBook;
use crate::quantity::Day;
use crate::records::litter::{Offer, Puppy};
use crate::records::owners::{Family, Takes};

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
    for step in own.steps.iter().filter(|step| !step.is_done(&folder.litter) && today <= open_until(step)) {
        let Step { id, what, from, to, source } = step;
        let Some(turn) = round.turn(*from) else { continue };
        let (mut what, mut times) = ((*what).to_owned(), 1);
        let (whom, act) = match *id {
            "temperature" => {
                let taken = folder
                    .health
                    .iter()
                    .filter(|e| e.day() == Some(today) && e.temperature.is_some() && e.whom.iter().any(|id| id.as_str() == "dam"));
                times = match taken.count() {
                    1 if turn == Turn::Today => 1,
                    2.. if turn == Turn::Today => continue,
                    _ => 2,
                };
                if times == 1 {
                    what.push_str(": 1 of 2 done");
                }
                what.push_str(&last_reading(own));
                (Whom::Dam, Act::Record { kind: "temperature", item: None })
            }
            "scan" => (Whom::Dam, Act::Say("agree the day with the vet; write the count into litter.yaml under `counted:`")),
            "x-ray" => (Whom::Dam, Act::Say("agree the day with the vet; write the count into litter.yaml under `counted:` with `by: x-ray`")),
            "section" => {
                (Whom::Dam, Act::Say("settle it with the clinic, which looks at her first; the sheet for the clinic is on the litter’s page"))
            }
            "progesterone" => (Whom::Dam, Act::Say("agree it with the vet; write the value into litter.yaml under `progesterone:`")),
            _ => (Whom::Dam, Act::Say("make it ready")),
        };
        let rest = Rest { times, since: (turn == Turn::Today).then_some(*from), until: Some(*to), act, source: (*source).to_owned() };
        round.task(turn, Kind::Step, whom, what, rest);
    }
}

/// Days for which a sample that is late is still asked for: the bracket grows with each, but has an end.
const LATE_SAMPLE: i64 = 5;

/// The last day on which a step is asked for.
fn open_until(step: &Step) -> Day {
    if step.id == "progesterone" { step.to.plus(LATE_SAMPLE) } else { step.to }
}

/// Her last temperature, and what it is held against.
fn last_reading(own: &LitterFigures) -> String {
    let Some(Reading { day, at, instant: _, temperature }) = own.dam_before.readings.last() else { return String::new() };
    let when = at.map_or_else(|| day.to_string(), |at| at.to_string());
    let mean = own.dam_before.own_mean(*day).map_or_else(String::new, |mean| format!(", her mean of the days before {mean:.1} °C"));
    format!("; last {temperature} on {when}{mean}")
}

/// The window of the birth is open or about to open. Past its end the findings say so.
fn due(round: &mut Round<'_>) {
    let Some(Due { from, likely, to, anchor, known }) = round.own().due.filter(|due| due.to >= round.today) else { return };
    let Some(turn) = round.turn(from) else { return };
    let what = match known {
        Known::ToADay { .. } => format!("the litter is due, most likely on {likely}, counted from {}", anchor.words()),
        Known::Within => format!("the litter is due between {from} and {to}, counted from {}", anchor.words()),
    };
    let act = Act::Say("stay near her, with the vet’s number at hand");
    let rest = Rest { times: 1, since: (turn == Turn::Today).then_some(from), until: Some(to), act, source: anchor.source().to_owned() };
    round.task(turn, Kind::Birth, Whom::Dam, what, rest);
}

/// Puppies that leave on an agreed day, with what is missing before they can; and those that should have left.
fn leaving(round: &mut Round<'_>) {
    for (puppy, _) in round.here() {
        let Some((family, Takes { leaves: Some(leaves), .. })) = round.homes.of(&round.folder.id, puppy) else { continue };
        let (leaves, Family { name, .. }) = (*leaves, family);
        let whom = Whom::Puppies(vec![puppy.id.clone()]);
        let source = "owners.yaml".to_owned();
        if leaves < round.today {
            let act = Act::Say("set `offer: placed` in litter.yaml, or the new day under `leaves:` in owners.yaml");
            let rest = Rest { times: 1, since: Some(leaves), until: None, act, source };
            round.task(Turn::Overdue, Kind::Leaving, whom, format!("was to leave with {name}"), rest);
        } else if let Some(turn) = round.turn(leaves) {
            let what = format!("leaves with {name}{}", missing(round, puppy));
            round.task(turn, Kind::Leaving, whom, what, Rest { times: 1, since: None, until: Some(leaves), act: Act::HandOver, source });
        }
    }
}

/// What is missing before a puppy can leave, in a word each.
fn missing(round: &Round<'_>, puppy: &Puppy) -> String {
    let Readiness { gaps, .. } = readiness::of_puppy(round.records, round.figures, round.homes, round.folder, puppy);
    let mut words: Vec<&str> = gaps.iter().map(|gap| gap.what).collect();
    words.dedup();
    if words.is_empty() { "; nothing was found missing".to_owned() } else { format!("; still missing: {}", words.join(", ")) }
}

/// The first day on which each puppy of a litter may leave.
fn may_leave(round: &mut Round<'_>) {
    let is_ahead = |round: &Round<'_>, puppy: &Puppy| {
        let from = round.figures.litters.puppy_leaves_from(round.folder, puppy)?;
        if from >= round.today { round.turn(from) } else { None }
    };
    for puppy in round.folder.living().filter(|puppy| puppy.offer != Offer::Staying) {
        // Who is here is asked last: of a litter that is history it need not be known.
        let Some(turn) = is_ahead(round, puppy).filter(|_| !round.figures.litters.is_gone(round.folder, puppy)) else { continue };
        let rest = Rest {
            times: 1,
            since: None,
            until: None,
            act: Act::Say("agree the day with each family: `leaves:` in owners.yaml"),
            source: "kennel.yaml, the law of the region, and never under eight weeks".to_owned(),
        };
        round.task(turn, Kind::Leaving, Whom::Puppies(vec![puppy.id.clone()]), "may leave from this day on", rest);
    }
}

/// The last day by which a rule asks for a chip. Once it has passed, that is a finding.
fn chips_by_rule(round: &mut Round<'_>) {
    if round.here().next().is_none() {
        return;
    }
    for book in round.own().rules.iter().map(|figures| figures.book) {
        let RuleBook { name, check_with, .. } = book;
        let Some((days, source)) = book.chip_days() else { continue };
        for (puppy, _) in round.here().filter(|(puppy, _)| puppy.chip.is_none()) {
            let Some(by) = round.folder.litter.born_on(puppy).map(|born| born.plus(i64::from(days))) else { continue };
            let Some(turn) = round.turn(by).filter(|_| by >= round.today) else { continue };
            let what = format!("last day for the chip by the rules of {name} ({}); check with {check_with}", source.how_read(round.today));
            let act = Act::Record { kind: "chip", item: None };
            let rest = Rest { times: 1, since: None, until: Some(by), act, source: source.cite(round.today) };
            round.task(turn, Kind::Rule, Whom::Puppies(vec![puppy.id.clone()]), what, rest);
        }
    }
}
