//! The tasks of a round in words.
//!
//! In: what is to be done. Out: phrases without full stop.

use super::{care, findings, readiness, rules};
use crate::husbandry::care::Item;
use crate::husbandry::gestation::temperature::DamTemperature;
use crate::husbandry::gestation::{Certainty, Due, StepKind};
use crate::husbandry::rounds::{
    Advice, DueAgain, FedByHand, LastOfDam, TaskContent, TaskSource, WeighInState,
};
use crate::quantity::{Day, days_said, many};
use std::sync::Arc;

/// Where the day of a task comes from.
#[must_use]
pub fn source(source: TaskSource, today: Day) -> String {
    match source {
        TaskSource::Cited(text) => text.to_owned(),
        TaskSource::Rule(source) => rules::cite(source, today),
    }
}

/// A step of the plan until birth.
#[must_use]
pub fn step(kind: StepKind) -> &'static str {
    match kind {
        StepKind::Progesterone => {
            "next blood sample for progesterone, so that the rise is known to a day"
        }
        StepKind::Scan => "pregnancy scan by ultrasound",
        StepKind::XRay => "X-ray to count the puppies",
        StepKind::Nest => "whelping place made up and shown to the dam",
        StepKind::Temperature => "temperature of the dam twice a day",
        StepKind::Section => "days in which a section can be planned; settle it with the clinic",
    }
}

/// What is to be done; `ounces` is how the keeper reads weights.
#[must_use]
pub fn what(content: &TaskContent, ounces: bool) -> String {
    let what = match content {
        TaskContent::Findings(found) => {
            let found: Vec<String> = found.iter().map(|f| findings::what(f, ounces)).collect();
            found.join("; ")
        }
        TaskContent::TemperatureAgain { at } => {
            let when = at.map_or_else(|| "now".to_owned(), |at| format!("on {at}"));
            format!(
                "temperature again {when}, and every half hour until it is warm; warm slowly, do \
                 not feed"
            )
        }
        TaskContent::FedByHand(fed) => fed_by_hand(fed),
        TaskContent::Recovery(item) | TaskContent::Growing(item) => item.name.clone(),
        TaskContent::LookOver(items) => format!("look her over. {}", names(items, "; ")),
        TaskContent::FollowUp { months, family } => {
            let after = if *months == 6 {
                "six months"
            } else {
                "twelve months"
            };
            let whom = family
                .as_ref()
                .map_or("its family", |family| family.as_str());
            format!("{after} after it left: ask {whom} for weight, bite and hips, and how it is")
        }
        TaskContent::Step(kind) => step(*kind).to_owned(),
        TaskContent::DamTemperature { is_begun, last } => {
            let begun = if *is_begun { ": 1 of 2 done" } else { "" };
            let last = last.as_ref().map(last_of_dam).unwrap_or_default();
            step(StepKind::Temperature).to_owned() + begun + &last
        }
        TaskContent::Birth(due) => birth(due),
        TaskContent::Leaves { family, missing } => {
            let kinds: Vec<&str> = missing.iter().map(|kind| readiness::kind(*kind)).collect();
            let missing = if kinds.is_empty() {
                "nothing was found missing".to_owned()
            } else {
                format!("still missing: {}", kinds.join(", "))
            };
            format!("leaves with {family}; {missing}")
        }
        TaskContent::LateToLeave { family } => format!("was to leave with {family}"),
        TaskContent::MayLeave => "may leave from this day on".to_owned(),
        TaskContent::ChipByRule {
            book,
            check_with,
            source,
            today,
        } => format!(
            "last day for the chip by the rules of {book} ({}); check with {check_with}",
            rules::how_read(*source, *today)
        ),
        TaskContent::Care {
            item,
            remark,
            also_open,
        } => {
            let remark = care::after(remark.as_ref());
            let others = if also_open.is_empty() {
                String::new()
            } else {
                format!("; also open: {}", names(also_open, ", "))
            };
            format!("{}{remark}{others}", item.name)
        }
        TaskContent::WormingWithPuppies => {
            "worming of the dam, with the first of her puppies".to_owned()
        }
        TaskContent::Treatment { product, why } => {
            let why = why.as_ref().map(|why| format!(", {why}"));
            format!("{product}{}", why.unwrap_or_default())
        }
        TaskContent::DueAgain(again) => match again {
            DueAgain::DamWorming => "worming of the dam",
            DueAgain::DamParasites => "treatment of the dam against parasites",
            DueAgain::DamVaccination => "vaccination of the dam",
            DueAgain::Parasites => "treatment against parasites",
        }
        .to_owned(),
        TaskContent::WeighIn(state) => weigh_in(*state),
    };
    days_said(&what)
}

/// What to do where no command does it.
#[must_use]
pub fn advice(advice: Advice) -> &'static str {
    match advice {
        Advice::LookAgain => "look again; the figures stand in the keeper’s book",
        Advice::CallAtAnyHour => "call the vet at any hour; it does not wait for the morning",
        Advice::WriteCount => {
            "agree the day with the vet; write the count into litter.yaml under `counted:`"
        }
        Advice::WriteXRayCount => {
            "agree the day with the vet; write the count into litter.yaml under `counted:` with \
             `by: x-ray`"
        }
        Advice::SettleSection => {
            "settle it with the clinic, which looks at her first; the sheet for the clinic is on \
             the litter’s page"
        }
        Advice::WriteProgesterone => {
            "agree it with the vet; write the value into litter.yaml under `progesterone:`"
        }
        Advice::MakeReady => "make it ready",
        Advice::StayNear => "stay near her, with the vet’s number at hand",
        Advice::SetPlacedOrNewDay => {
            "set `offer: placed` in litter.yaml, or the new day under `leaves:` in owners.yaml"
        }
        Advice::AgreeDay => "agree the day with each family: `leaves:` in owners.yaml",
        Advice::AsTheVetSaid => "as the vet said; health.yaml has the words",
    }
}

fn names(items: &[Arc<Item>], between: &str) -> String {
    let names: Vec<&str> = items.iter().map(|item| item.name.as_str()).collect();
    names.join(between)
}

fn fed_by_hand(fed: &FedByHand) -> String {
    let FedByHand {
        ml,
        feeds,
        per_100_g,
        last,
        longest_gap,
        by_tube,
    } = fed;
    let per = per_100_g.map(|per| format!(" ({per:.1} ml for each 100 g)"));
    let gap = longest_gap.map(|gap| format!(", longest gap {gap:.1} h"));
    let tube = if *by_tube {
        "; by tube only as it was shown, and only warm"
    } else {
        ""
    };
    let feeds = many(*feeds, "feed");
    format!(
        "fed by hand: {ml:.1} ml in {feeds}{}, the last on {last}{}; write down each feed{tube}",
        per.unwrap_or_default(),
        gap.unwrap_or_default()
    )
}

/// Her last temperature, and what it is held against.
fn last_of_dam(LastOfDam { reading, mean }: &LastOfDam) -> String {
    let DamTemperature {
        day,
        at,
        instant: _,
        temperature,
    } = reading;
    let when = at.map_or_else(|| day.to_string(), |at| at.to_string());
    let mean = mean.map(|mean| format!(", her mean of the days before {mean:.1} °C"));
    format!("; last {temperature} on {when}{}", mean.unwrap_or_default())
}

fn birth(due: &Due) -> String {
    let Due {
        from,
        likely,
        to,
        anchor,
        known,
    } = due;
    let anchor = anchor.words();
    match known {
        Certainty::ToADay { .. } => {
            format!("the litter is due, most likely on {likely}, counted from {anchor}")
        }
        Certainty::Within => {
            format!("the litter is due between {from} and {to}, counted from {anchor}")
        }
    }
}

fn weigh_in(state: WeighInState) -> String {
    match state {
        WeighInState::ToDo { times: 1 } => "weigh-in".to_owned(),
        WeighInState::ToDo { times: 2 } => "weigh-in, twice".to_owned(),
        WeighInState::ToDo { times } => format!("weigh-in, {} times", number(times)),
        WeighInState::Begun { done, of } => format!("weigh-in: {done} of {of} done"),
        WeighInState::Never => "weigh-in: not weighed since birth".to_owned(),
        WeighInState::OneMissed => "weigh-in: one was missed".to_owned(),
        WeighInState::NoneFor { days } => format!("weigh-in: none for {days} days"),
    }
}

fn number(times: usize) -> String {
    ["no", "one", "two", "three", "four", "five", "six"]
        .get(times)
        .map_or_else(|| times.to_string(), |word| (*word).to_owned())
}

#[cfg(test)]
mod tests;
