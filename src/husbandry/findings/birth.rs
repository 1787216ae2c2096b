//! Rules on the newborn, its temperature and signs of illness.
//!
//! In: one puppy as recorded. Out: findings. What nobody looked at is a finding of its own, never taken for normal.

use super::litter::nobody_looked;
use super::{CHECKLIST, Case, Urgency};
use crate::quantity::Temperature;
use crate::records::litter::{Look, Newborn, Palate};

const TABLE: &str = "Small Animal Clinical Nutrition, 5th ed., table 16-1";

/// Findings about one puppy.
pub(super) fn rules(case: &mut Case<'_>) {
    if case.age <= 2 {
        vigour(case);
    }
    if case.age <= 14 {
        checklist(case);
    }
    temperature(case);
    illness(case);
}

/// Signs of illness of the last two days: they were written down because somebody worried.
fn illness(case: &mut Case<'_>) {
    let signs = case.folder.health.iter().rev().filter(|e| e.is_for(&case.puppy.id)).find_map(|e| Some((e.day()?, e.illness.as_ref()?)));
    if let Some((day, illness)) = signs.filter(|(day, _)| case.today.since(*day) <= 2) {
        let what = format!("was noted as unwell on {day}: {}", illness.signs);
        case.find(Urgency::Watch, "illness", what, "any sign of illness".to_owned(), "health.yaml");
    }
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
    if !missing.is_empty() && !nobody_looked(case.folder, case.figures) {
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
