//! Rules on birth, the newborn and its temperature.
//!
//! In: one puppy or litter as recorded. Out: findings. What nobody looked at is a finding of its own, never taken for normal.

use super::{Case, Finding, Urgency};
use crate::husbandry::LitterFigures;
use crate::husbandry::birth::Placentas;
use crate::husbandry::gestation::contradicting;
use crate::husbandry::rules::State;
use crate::quantity::{Day, Temperature};
use crate::records::LitterFolder;
use crate::records::litter::{Look, Newborn, Palate};

const PLACENTAS: &str = "common practice, no source: one placenta for each puppy";
const CHECKLIST: &str = "common practice, no source: every newborn is looked over once";
const TABLE: &str = "Small Animal Clinical Nutrition, 5th ed., table 16-1";

/// Findings about the litter or its dam.
pub(super) fn litter(folder: &LitterFolder, figures: &LitterFigures, today: Day) -> Vec<Finding> {
    let mut found = Vec::new();
    let mut find = |urgency, rule, what, limit, source| found.push(Finding { urgency, rule, puppy: None, what, limit, source, days: None });
    if let Some(due) = figures.due.filter(|due| today > due.to) {
        let what = format!("the dam is past the end of her window ({}), counted from {}", due.to, due.anchor.words());
        find(Urgency::CallTheVet, "overdue", what, "no birth recorded".to_owned(), due.anchor.source());
    }
    if let (Some(best), [first, ..]) = (figures.due, contradicting(&figures.windows).as_slice()) {
        let what = format!(
            "the dates do not agree: {} gives {} to {}, {} gives {} to {}",
            best.anchor.words(),
            best.from,
            best.to,
            first.anchor.words(),
            first.from,
            first.to
        );
        find(Urgency::Watch, "dates-disagree", what, "windows that meet".to_owned(), first.anchor.source());
    }
    for verdict in figures.rules.iter().flat_map(|book| &book.verdicts).filter(|v| v.state == State::Beyond) {
        // A litter that has gone is history.
        if folder.litter.birth.as_ref().is_none_or(|birth| today.since(birth.on) <= 84) {
            let what = format!("is not as a rule asks: {}", verdict.what);
            find(Urgency::Watch, "rule", what, format!("check with {}", verdict.check_with), verdict.source.text);
        }
    }
    let Some(birth) = &folder.litter.birth else { return found };
    let age = today.since(birth.on);
    let placentas = &figures.placentas;
    if let Some(out) = placentas.out.filter(|out| *out < placentas.puppies && age <= 14) {
        let urgency = if age <= 3 { Urgency::CallTheVet } else { Urgency::Watch };
        find(
            urgency,
            "placentas",
            format!("{out} placentas are accounted for, of {} puppies{}", placentas.puppies, short_horns(placentas)),
            "one for each puppy".to_owned(),
            PLACENTAS,
        );
    }
    found
}

/// From which horn placentas are missing, where that was noted.
fn short_horns(placentas: &Placentas) -> String {
    let short = placentas.horns.iter().filter(|h| h.out < h.puppies).map(|h| format!("{} horn {} of {}", h.horn.word(), h.out, h.puppies));
    let short: Vec<String> = short.collect();
    if short.is_empty() { String::new() } else { format!(" ({})", short.join(", ")) }
}

/// Findings about one puppy.
pub(super) fn rules(case: &mut Case<'_>) {
    if case.age <= 2 {
        vigour(case);
    }
    if case.age <= 14 {
        checklist(case);
    }
    temperature(case);
}

fn vigour(case: &mut Case<'_>) {
    let Some((score, total)) = case.own.vigour.iter().max_by_key(|v| v.minutes).and_then(|v| Some((*v, v.total?))) else { return };
    let urgency = match total {
        0..=3 => Urgency::CallTheVet,
        4..=6 => Urgency::Watch,
        _ => return,
    };
    let what = format!("scored {total} of 10 at {} min: {}", score.minutes, score.class());
    case.find(urgency, "low-vigour", what, "under 7".to_owned(), "Veronesi and others 2009, Theriogenology 72:401-407");
}

fn checklist(case: &mut Case<'_>) {
    if case.puppy.palate == Palate::Cleft {
        case.find(Urgency::CallTheVet, "palate-cleft", "has a cleft palate".to_owned(), "none".to_owned(), CHECKLIST);
    }
    let Newborn { limbs, navel, anus, skull, eyes, tail, skin, suck } = &case.puppy.newborn;
    let items =
        [("limbs", limbs), ("navel", navel), ("anus", anus), ("skull", skull), ("eyes", eyes), ("tail", tail), ("skin", skin), ("suck", suck)];
    let seen: Vec<String> = items
        .iter()
        .filter_map(|(name, look)| match look {
            Look::Seen(what) if !is_good(what) => Some(format!("{name}: {what}")),
            _ => None,
        })
        .collect();
    if !seen.is_empty() {
        case.find(Urgency::Watch, "newborn-finding", format!("was not as usual at birth: {}", seen.join("; ")), "normal".to_owned(), CHECKLIST);
    }
    let missing = &case.own.not_looked_at;
    if !missing.is_empty() {
        let what = format!("has not been looked at: {}", missing.join(", "));
        case.find(Urgency::Watch, "not-looked-at", what, "every item once".to_owned(), CHECKLIST);
    }
}

/// Words by which keepers say that all is as it should be; a suck reflex is called strong.
fn is_good(what: &str) -> bool {
    matches!(what.trim().to_lowercase().as_str(), "strong" | "good" | "open" | "closed")
}

fn temperature(case: &mut Case<'_>) {
    let latest = case
        .folder
        .health
        .iter()
        .filter(|e| e.is_for(&case.puppy.id))
        .filter_map(|e| Some((e.day()?, e.at, e.temperature?)))
        .max_by_key(|(day, at, _)| (*day, *at));
    let Some((day, _, temperature)) = latest.filter(|(day, ..)| case.today.since(*day) <= 2) else { return };
    let Some(birth) = &case.folder.litter.birth else { return };
    let cold = case.limits.cold;
    let Some((low, high)) = band(day.since(birth.on)) else { return };
    if day.since(birth.on) <= 14 && temperature.celsius() < cold.value {
        case.find_by(Urgency::CallTheVet, "cold", format!("had {temperature} on {day}"), format!("under {:.1} °C", cold.value), cold);
    } else if !(low..=high).contains(&rounded(temperature)) {
        case.find(Urgency::Watch, "temperature", format!("had {temperature} on {day}"), format!("{low:.1} to {high:.1} °C at this age"), TABLE);
    }
}

/// Usual rectal temperature by age in days, °C (Small Animal Clinical Nutrition, 5th ed., table 16-1). Nothing after four weeks, where that table contradicts itself.
fn band(days: i64) -> Option<(f64, f64)> {
    match days {
        0 => Some((34.7, 36.3)),
        1..=14 => Some((34.5, 37.2)),
        15..=28 => Some((36.0, 37.8)),
        _ => None,
    }
}

/// Thermometers show tenths; a Fahrenheit reading at the edge is not outside by a hundredth.
fn rounded(temperature: Temperature) -> f64 {
    (temperature.celsius() * 10.0).round() / 10.0
}
