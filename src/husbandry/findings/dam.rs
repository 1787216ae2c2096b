//! Rules on the dam: what was noted of her, and her temperature after the birth.
//!
//! In: the health entries of a litter that are for its dam. Out: findings about her. Before the
//! birth a low temperature is what tells that it comes, and is no finding in the days in which that
//! is waited for.

use super::illness::{self, EntryDays, SignContext};
use super::{
    DamStage, DamTemperatureState, DatedTemperature, Finding, Noticed, TemperatureBand, Urgency,
};
use crate::gestation::temperature::DamTemperatures;
use crate::quantity::{Day, Moment, Temperature};
use crate::records::LitterFolder;
use crate::records::health::HealthEntry;
use crate::signs;

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

/// How long what was noted of her stays when nothing closes it, and how long it is asked after
/// that how it ended; ours. A call is asked about until milk fever is no more to be feared: most of
/// it comes before day 40.
const OPEN: EntryDays = EntryDays {
    watch: 7,
    call: 14,
    watch_asked: 21,
    call_asked: 42,
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
/// Days for which the latest reading speaks.
const FRESH: i64 = 2;

/// Entries for the dam.
fn entries(folder: &LitterFolder) -> impl Iterator<Item = &HealthEntry> {
    folder.health.iter().filter(|entry| entry.is_for_dam())
}

/// Findings about the dam.
///
/// `before` are her temperatures before the birth; nothing of a litter that is history.
pub(super) fn rules(
    folder: &LitterFolder,
    keeper: &str,
    before: Option<&DamTemperatures>,
    today: Day,
) -> Vec<Finding> {
    unwell(folder, keeper, today)
        .into_iter()
        .chain(temperature(folder, before, today))
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
    let written = illness::of_dam(folder);
    let (urgency, unwell) = illness::unwell(written, signs::DAM, today, since, OPEN)?;
    Some(finding(urgency, Noticed::DamIllness(unwell)))
}

/// When readings of hers were taken, beside the birth.
struct BesideBirth {
    on: Day,
    /// The last puppy, where that was written.
    last: Option<Moment>,
}

impl BesideBirth {
    fn of(folder: &LitterFolder) -> Option<Self> {
        let on = folder.litter.birth.as_ref()?.on;
        let puppies = folder.litter.puppies.iter();
        let last = puppies.filter_map(|puppy| Some(puppy.born?.on(on))).max();
        Some(Self { on, last })
    }

    fn is_before(&self, day: Day, at: Option<Moment>) -> bool {
        match (at, self.last) {
            (Some(at), Some(last)) => at >= last,
            _ => day >= self.on,
        }
    }

    fn stage(&self, day: Day, at: Option<Moment>) -> DamStage {
        let is_first_day = match (at, self.last) {
            (Some(at), Some(last)) => (at.local() - last.local()).num_hours() < 24,
            _ => day == self.on,
        };
        if is_first_day {
            DamStage::FirstDay
        } else {
            DamStage::Later
        }
    }
}

/// Her latest temperature: before the birth, or since.
fn temperature(
    folder: &LitterFolder,
    before: Option<&DamTemperatures>,
    today: Day,
) -> Option<Finding> {
    let birth = BesideBirth::of(folder);
    let (day, at, temperature) = entries(folder)
        .filter_map(|e| Some((e.day()?, e.at, e.temperature?)))
        .filter(|(day, at, _)| {
            *day <= today
                && birth
                    .as_ref()
                    .is_none_or(|birth| birth.is_before(*day, *at))
        })
        .max_by_key(|(day, at, _)| (*day, *at))?;
    let stage = birth
        .as_ref()
        .map_or(DamStage::Expecting, |birth| birth.stage(day, at));
    let (urgency, state, band) = graded(temperature, stage)?;
    let is_low = super::birth::rounded(temperature) < band.low;
    let may_be_drop = match &birth {
        None => before.is_some_and(|before| before.may_be_drop(day, temperature)),
        Some(_) => false,
    };
    if is_low && may_be_drop {
        return None;
    }
    // With no hour of the birth, a low reading of its day may be the drop before it.
    let is_unclear = is_low
        && birth
            .as_ref()
            .is_some_and(|birth| day == birth.on && (birth.last.is_none() || at.is_none()));
    let (urgency, state) = if is_unclear {
        (Urgency::Watch, DamTemperatureState::Unusual)
    } else {
        (urgency, state)
    };
    let since = today.since(day);
    let is_old = since > FRESH;
    let noticed = Noticed::DamTemperature {
        reading: DatedTemperature {
            temperature,
            day,
            at,
        },
        state,
        stage,
        band,
        is_old,
    };
    let stays = match urgency {
        Urgency::CallTheVet => OPEN.call,
        Urgency::Watch | Urgency::Steady => OPEN.watch,
    };
    let urgency = if is_old { Urgency::Watch } else { urgency };
    (since <= stays).then(|| finding(urgency, noticed))
}

/// How a reading of a dam is judged; nothing when it is usual.
fn graded(
    temperature: Temperature,
    stage: DamStage,
) -> Option<(Urgency, DamTemperatureState, TemperatureBand)> {
    let celsius = super::birth::rounded(temperature);
    let is_first_day = stage == DamStage::FirstDay;
    let (low, high) = if is_first_day {
        (TOO_LOW, UPPER)
    } else {
        WATCH
    };
    let band = |source| TemperatureBand { low, high, source };
    let fever_source = match stage {
        DamStage::Expecting => GROWN,
        DamStage::FirstDay | DamStage::Later => FIRST_DAY,
    };
    let call_over = if is_first_day { FEVER } else { UPPER };
    if celsius > call_over {
        Some((
            Urgency::CallTheVet,
            DamTemperatureState::Fever,
            band(fever_source),
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
