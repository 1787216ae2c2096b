//! Rules on the newborn and signs of illness; those on its temperature stand in
//! `birth/temperature.rs`.
//!
//! In: one puppy as recorded. Out: findings. What nobody looked at is a finding of its own, never
//! taken for normal.

mod temperature;

pub(super) use temperature::rounded;
pub(crate) use temperature::{FED_COLD, of_puppy};

use super::illness::{self, EntryDays, SignContext};
use super::litter::nobody_looked;
use super::{CHECKLIST, Noticed, PuppyCase, Urgency};
use crate::quantity::Text;
use crate::records::litter::{Look, Palate};
use crate::signs::{self, NewbornLook};

/// Findings about one puppy.
pub(super) fn rules(case: &mut PuppyCase<'_>) {
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

/// How long what was noted of a puppy stays when nothing closes it; ours. It is asked how it ended
/// for as long as a puppy can be called steady by its weights.
const OPEN: EntryDays = EntryDays {
    watch: 2,
    call: 7,
    watch_asked: 28,
    call_asked: 28,
};

/// Signs of illness: they were written down because somebody worried.
fn illness(case: &mut PuppyCase<'_>) {
    let since = SignContext::of_puppy(case.keeper);
    let own = illness::of_puppy(case.folder, case.puppy);
    if let Some((urgency, unwell)) = illness::unwell(own, signs::PUPPY, case.today, since, OPEN) {
        case.find(urgency, Noticed::Illness(unwell));
    }
}

/// The latest score that is complete. One that was broken off later takes nothing back.
fn vigour(case: &mut PuppyCase<'_>) {
    let scores = &case.own.vigour;
    let complete = scores.iter().filter_map(|v| Some((*v, v.total?)));
    let Some((score, total)) = complete.max_by_key(|(v, _)| v.minutes) else {
        return;
    };
    let urgency = match total {
        0..=3 => Urgency::CallTheVet,
        4..=6 => Urgency::Watch,
        _ => return,
    };
    let later = scores.iter().map(|v| v.minutes).max();
    let noticed = Noticed::LowVigour {
        score,
        total,
        unfinished: later.filter(|later| *later > score.minutes),
        source: "Veronesi and others 2009, Theriogenology 72:401-407",
    };
    case.find(urgency, noticed);
}

/// What was seen on the newborn and is not as it should be. It grows no better by itself: it stays
/// until a vet has looked, or somebody has written that it is as it should be.
fn defects(case: &mut PuppyCase<'_>) {
    if is_looked_after(case) {
        return;
    }
    if case.puppy.palate == Palate::Cleft {
        let noticed = Noticed::PalateCleft { source: CHECKLIST };
        case.find(Urgency::CallTheVet, noticed);
    }
    let looks = case.puppy.newborn.looks().into_iter();
    let mut seen: Vec<(NewbornLook, &'static str, Text)> = looks
        .filter_map(|(name, look)| match look {
            Look::Seen(what) => Some((signs::newborn(name, what), name, what.clone())),
            Look::Normal | Look::NotLookedAt => None,
        })
        .filter(|(look, ..)| *look != NewbornLook::Good)
        .collect();
    seen.sort_by_key(|(look, ..)| std::cmp::Reverse(*look));
    let urgency = match seen.first() {
        None => return,
        Some((NewbornLook::CallTheVet, ..)) => Urgency::CallTheVet,
        Some(_) => Urgency::Watch,
    };
    let noticed = Noticed::NewbornFinding {
        seen: seen
            .into_iter()
            .map(|(_, name, what)| (name, what))
            .collect(),
        source: CHECKLIST,
    };
    case.find(urgency, noticed);
}

/// Whether a vet has looked at the puppy since its birth: a check that is for it and that closes
/// something, or the item of the care plan noted as done.
fn is_looked_after(case: &PuppyCase<'_>) -> bool {
    let own = case
        .folder
        .health
        .iter()
        .filter(|e| e.is_for(&case.puppy.id) && e.day().is_some_and(|day| day <= case.today));
    own.into_iter().any(|e| {
        let check = e.check.as_ref();
        check.is_some_and(|check| signs::closes(check, case.keeper))
            || e.done.iter().any(|id| id.as_str() == "check-newborn")
    })
}

fn checklist(case: &mut PuppyCase<'_>) {
    let missing = &case.own.not_looked_at;
    if !missing.is_empty() && !nobody_looked(case.folder, case.figures) {
        let noticed = Noticed::NotLookedAt {
            items: missing.clone(),
            puppies: None,
            source: CHECKLIST,
        };
        case.find(Urgency::Watch, noticed);
    }
}
