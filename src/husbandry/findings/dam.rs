//! Rules on the dam: what was noted of her, and her temperature after the birth.
//!
//! In: the health entries of a litter that are for its dam. Out: findings about her. Illness counts
//! before and after the birth, temperature only after it: earlier readings tell when the birth
//! comes.

use super::illness::{self, EntryDays, SignContext};
use super::{DamTemperatureState, DatedTemperature, Finding, Noticed, TemperatureBand, Urgency};
use crate::husbandry::signs;
use crate::quantity::{Day, Moment, Temperature};
use crate::records::LitterFolder;
use crate::records::health::HealthEntry;

/// The cautions of a dam, wherever she is looked at. Signs: Five-Minute Vet Consult and home
/// veterinary handbooks.
pub const DAM_CAUTIONS: &str = "Call the vet at any hour when the dam is restless, pants, walks \
    stiffly, trembles or cramps: \
     milk fever (eclampsia) cannot wait, and comes mostly in the first four weeks after a birth. \
     Call as well for fever, a hot, hard or painful gland, discharge that smells or is still \
     green after two days, bleeding, a wound that is red, wet, open or licked, and when she will \
     not eat on two days.";
/// The caution of every bitch: clinics' advice. Where the weeks after her own heat are told, it
/// stands there, and not once more with the others.
pub const PYOMETRA: &str = "two to ten weeks after any heat, mated or not, call the vet the same \
                            day when she drinks more than usual, is dull, eats little, vomits, \
                            has a tight belly or discharge: it may be pyometra, and with a closed \
                            cervix there is no discharge";

/// How long what was noted of her stays when nothing closes it; ours.
const OPEN: EntryDays = EntryDays {
    watch: 7,
    call: 14,
    remembered: 0,
};

const FIRST_DAY: &str =
    "Casal, quoted: up to about 39.4 °C in the first 24 hours after the birth, then back to normal";
const LOW: &str = "our own limit: a grown dog has 38.1 to 39.2 °C by teaching notes";
const GROWN: &str =
    "teaching notes: a grown dog has 38.1 to 39.2 °C; how far from it is worth a look is ours";

/// Up to here a temperature in the first 24 hours is usual, and after them is no call yet, °C.
const UPPER: f64 = 39.4;
/// Over this she has fever, in the first 24 hours as well (usual caution, no source), °C.
const FEVER: f64 = 39.5;
/// Under this the vet should hear of it, °C; ours.
const TOO_LOW: f64 = 37.2;
/// Outside these a reading after the first day is worth a second, °C; the upper is that of a grown
/// dog, the lower ours, for a quiet bitch in the morning has less.
const WATCH: (f64, f64) = (37.8, 39.2);
/// Days for which the latest reading speaks, and for which it is remembered that none came after
/// it.
const FRESH: i64 = 2;
const REMEMBERED: i64 = 7;

/// Entries for the dam.
fn entries(folder: &LitterFolder) -> impl Iterator<Item = &HealthEntry> {
    folder.health.iter().filter(|entry| entry.is_for_dam())
}

/// Findings about the dam.
pub(super) fn rules(folder: &LitterFolder, keeper: &str, today: Day) -> Vec<Finding> {
    unwell(folder, keeper, today)
        .into_iter()
        .chain(temperature(folder, today))
        .collect()
}

fn finding(urgency: Urgency, noticed: Noticed) -> Finding {
    Finding {
        urgency,
        puppy: None,
        noticed,
        weight: None,
    }
}

/// All that was noted of her and is not closed, in one finding.
fn unwell(folder: &LitterFolder, keeper: &str, today: Day) -> Option<Finding> {
    let since = SignContext::of_dam(&folder.litter, keeper);
    let (urgency, unwell) = illness::unwell(entries(folder), signs::DAM, today, since, OPEN)?;
    Some(finding(urgency, Noticed::DamIllness(unwell)))
}

/// Her latest temperature since the birth, in two steps.
fn temperature(folder: &LitterFolder, today: Day) -> Option<Finding> {
    let birth = folder.litter.birth.as_ref()?.on;
    let born = folder
        .litter
        .puppies
        .iter()
        .filter_map(|puppy| Some(puppy.born?.on(birth)))
        .max();
    let after = |day: Day, at: Option<Moment>| match (at, born) {
        (Some(at), Some(born)) => at >= born,
        _ => day >= birth,
    };
    let readings = entries(folder).filter_map(|e| Some((e.day()?, e.at, e.temperature?)));
    let (day, at, temperature) = readings
        .filter(|(day, at, _)| after(*day, *at) && *day <= today)
        .max_by_key(|(day, at, _)| (*day, *at))?;
    let is_first_day = match (at, born) {
        (Some(at), Some(born)) => (at.local() - born.local()).num_hours() < 24,
        _ => day == birth,
    };
    let (urgency, state, band) = graded(temperature, is_first_day)?;
    let since = today.since(day);
    let is_old = since > FRESH;
    let noticed = Noticed::DamTemperature {
        reading: DatedTemperature {
            temperature,
            day,
            at,
        },
        state,
        is_first_day,
        band,
        is_old,
    };
    let urgency = if is_old { Urgency::Watch } else { urgency };
    (since <= REMEMBERED).then(|| finding(urgency, noticed))
}

/// How a reading of a dam that has given birth is judged; nothing when it is usual.
fn graded(
    temperature: Temperature,
    is_first_day: bool,
) -> Option<(Urgency, DamTemperatureState, TemperatureBand)> {
    let celsius = super::birth::rounded(temperature);
    let (low, high) = if is_first_day {
        (TOO_LOW, UPPER)
    } else {
        WATCH
    };
    let band = |source| TemperatureBand { low, high, source };
    let call_over = if is_first_day { FEVER } else { UPPER };
    if celsius > call_over {
        Some((
            Urgency::CallTheVet,
            DamTemperatureState::Fever,
            band(FIRST_DAY),
        ))
    } else if celsius < TOO_LOW {
        Some((Urgency::CallTheVet, DamTemperatureState::Cold, band(LOW)))
    } else if celsius > high || celsius < low {
        let source = if is_first_day { FIRST_DAY } else { GROWN };
        Some((Urgency::Watch, DamTemperatureState::Unusual, band(source)))
    } else {
        None
    }
}
