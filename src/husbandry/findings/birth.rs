//! Rules on the newborn and signs of illness; those on its temperature stand in `birth/temperature.rs`.
//!
//! In: one puppy as recorded. Out: findings. What nobody looked at is a finding of its own, never taken for normal.

mod temperature;

pub(super) use temperature::rounded;
pub(in crate::husbandry) use temperature::{FED_COLD, of_puppy};

use super::illness::{self, Days, Noted, Since};
use super::litter::nobody_looked;
use super::{CHECKLIST, Case, Urgency};
use crate::husbandry::signs;
use crate::records::litter::{Look, Newborn, Palate};

/// Findings about one puppy.
pub(super) fn rules(case: &mut Case<'_>) {
    if case.age <= 2 {
        vigour(case);
    }
    defects(case);
    if case.age <= 14 {
        checklist(case);
    }
    temperature::rules(case);
    illness(case);
}

/// How long what was noted of a puppy stays when nothing closes it; ours.
const OPEN: Days = Days { watch: 2, call: 7 };

/// Signs of illness: they were written down because somebody worried.
fn illness(case: &mut Case<'_>) {
    let since = Since { birth: None, mating: None };
    let own = case.folder.health.iter().filter(|e| e.is_for(&case.puppy.id));
    let mut noted = illness::open(own, signs::PUPPY, case.today, since, OPEN);
    noted.sort_by_key(|sign| std::cmp::Reverse((sign.urgency(), sign.day)));
    let Some(worst) = noted.first() else { return };
    let urgency = worst.urgency();
    let source = worst.fits.first().map_or("health.yaml", |fit| fit.sign.source);
    let stays = if urgency == Urgency::CallTheVet { OPEN.call } else { OPEN.watch };
    let what = format!("was noted as unwell: {}", noted.iter().map(Noted::words).collect::<Vec<_>>().join("; "));
    let limit = format!("any sign of illness; ends with an entry that it is well again, with a check by a vet, or after {stays} days");
    case.find(urgency, "illness", what, limit, source);
}

fn vigour(case: &mut Case<'_>) {
    let Some((score, total)) = case.own.vigour.iter().max_by_key(|v| v.minutes).and_then(|v| Some((*v, v.total?))) else { return };
    let urgency = match total {
        0..=3 => Urgency::CallTheVet,
        4..=6 => Urgency::Watch,
        _ => return,
    };
    let what = format!("scored {total} of 10 at {} min: {}", score.minutes, score.class());
    case.find(urgency, "low-vigour", what, "under 7; ends on the third day".to_owned(), "Veronesi and others 2009, Theriogenology 72:401-407");
}

/// What was seen on the newborn and is not as it should be. It grows no better by itself: it stays until a vet has looked, or somebody has written that it is as it should be.
fn defects(case: &mut Case<'_>) {
    const CLOSED: &str = "ends with a check by a vet";
    if is_looked_after(case) {
        return;
    }
    if case.puppy.palate == Palate::Cleft {
        case.find(Urgency::CallTheVet, "palate-cleft", "has a cleft palate".to_owned(), format!("none; {CLOSED}"), CHECKLIST);
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
        let what = format!("was not as usual at birth: {}", seen.join("; "));
        case.find(Urgency::Watch, "newborn-finding", what, format!("normal; {CLOSED}"), CHECKLIST);
    }
}

/// Whether a vet has looked at the puppy since its birth: a check that is for it, or the item of the care plan noted as done.
fn is_looked_after(case: &Case<'_>) -> bool {
    let own = case.folder.health.iter().filter(|e| e.is_for(&case.puppy.id) && e.day().is_some_and(|day| day <= case.today));
    own.into_iter().any(|e| e.check.is_some() || e.done.iter().any(|id| id.as_str() == "check-newborn"))
}

fn checklist(case: &mut Case<'_>) {
    let missing = &case.own.not_looked_at;
    if !missing.is_empty() && !nobody_looked(case.folder, case.figures) {
        let what = format!("has not been looked at: {}", missing.join(", "));
        case.find(Urgency::Watch, "not-looked-at", what, "every item once; ends when each is noted, or after two weeks".to_owned(), CHECKLIST);
    }
}

/// Words by which keepers say that all is as it should be; a suck reflex is called strong.
#[must_use]
pub fn is_good(what: &str) -> bool {
    matches!(what.trim().to_lowercase().as_str(), "strong" | "good" | "open" | "closed")
}
