//! The weigh-in sheet for the phone: what it must know to answer at the scale without the program.
//!
//! In: one litter that is still weighed, its figures. Out: [`WeighingSheet`], which becomes the
//! data of the page's script. Weights, times, thresholds, clock changes and what is found beside
//! weights all come from here, so that the sheet finds what the program would.

mod slip_model;

use super::paths;
use super::{FindingShown, VetShown, finding};
use crate::RibbonShown;
use crate::husbandry::birth_weight::{BreedClass, Class};
use crate::husbandry::clock_changes::clock_changes;
use crate::husbandry::curves::LAST_DAY;
use crate::husbandry::doubling::PUBLISHED;
use crate::husbandry::findings::{BIRTH_WEIGHT_SOURCE, CAUTIONS, Finding, SLIP_SOURCE, STALE};
use crate::husbandry::thresholds::{
    CALL_AFTER_HOURS, CALL_UNTIL, CLOSED_FOR, CLOSED_FOR_LATER, DAY_TWO, DOUBLED_LATEST,
    EVERY_SECOND_DAY, FALLING_BY, FALLING_FOR, FIRST_DAY, FIRST_DAYS, FIRST_WEEK, FIRST_WEIGHED,
    LATE_LOSS, LATE_LOSS_SURE, LIGHT_AT_BIRTH, LOST_TWICE, MEAN_GAIN_LATER, MEAN_GAIN_WEEK_1,
    NEXT_DAY, NO_GAIN_UNDER, ROUNDING, Threshold, Thresholds, UNDER_OWN_GAIN, WEEK_WITHOUT_GAIN,
    WEEKLY, WEIGHED_DAILY, WEIGHED_EVERY_SECOND_DAY, thresholds,
};
use crate::husbandry::{Ahead, Figures, LitterFigures, trend};
use crate::quantity::{Day, Moment};
use crate::records::litter::{Fate, Puppy};
use crate::records::weights::DAM;
use crate::records::{HISTORY, LitterFolder, Records, WeighIn};
use serde::Serialize;
use slip_model::{SlipModel, slip_model};
use std::collections::BTreeMap;

/// Days after birth for which clock changes are given: longer than a litter is weighed, in case the
/// sheet lies about.
const CLOCKS_KNOWN: i64 = 400;

/// All that the sheet of one litter knows.
#[derive(Debug, Clone, Serialize)]
pub struct WeighingSheet {
    /// Path of the sheet below the root of the book.
    pub path: String,
    /// Name of the kennel.
    pub kennel: String,
    /// Name of the litter's folder.
    pub litter: String,
    /// Name of the litter.
    pub name: String,
    /// Day of birth.
    pub born: String,
    /// The day on which the sheet was made.
    pub made: String,
    /// Whether that day is pinned, so that the sheet stays in it.
    pub pinned: bool,
    /// The kennel's time zone by name.
    pub zone: &'static str,
    /// Its clock changes: from which second of universal time, how many seconds ahead.
    pub offsets: Vec<(i64, i32)>,
    /// Whether weights are shown in ounces.
    pub ounces: bool,
    /// Values at which findings are made.
    pub limits: BTreeMap<&'static str, LimitShown>,
    /// Ages and times at which rules begin or end, in days where their name says nothing else.
    pub ages: BTreeMap<&'static str, f64>,
    /// What is at a limit but for so much counts, percentage points.
    pub rounding: f64,
    /// Who asks for a birth weight.
    pub no_birth_weight_source: &'static str,
    /// From which weights a trend is computed.
    pub trend: TrendModel,
    /// What a slip of the pen is told by.
    pub slip_source: &'static str,
    /// The numbers that go with it.
    pub slip_model: SlipModel,
    /// The usual cautions.
    pub cautions: &'static str,
    /// Whom to call at night.
    pub vet: Option<VetShown>,
    /// All puppies, in the order of the records.
    pub puppies: Vec<WeighedPuppy>,
    /// All weigh-ins, in the order of time.
    pub weigh_ins: Vec<KnownWeighIn>,
    /// Today and the days to come.
    pub ahead: Vec<AheadShown>,
}

/// A value and where it comes from.
#[derive(Debug, Clone, Copy, Serialize)]
pub struct LimitShown {
    /// The value.
    pub value: f64,
    /// Who says so.
    pub source: &'static str,
}

/// The numbers of `husbandry::trend`, each under the name of its constant.
#[derive(Debug, Clone, Copy, Serialize)]
pub struct TrendModel {
    z: f64,
    fewest: usize,
    shortest: f64,
    longest: f64,
    most: usize,
    recent: f64,
    after_first_day: f64,
    fewest_recent: usize,
}

const TREND: TrendModel = TrendModel {
    z: trend::Z,
    fewest: trend::FEWEST,
    shortest: trend::SHORTEST,
    longest: trend::LONGEST,
    most: trend::MOST,
    recent: trend::RECENT,
    after_first_day: trend::AFTER_FIRST_DAY,
    fewest_recent: trend::FEWEST_RECENT,
};

/// A puppy as the sheet knows it.
#[derive(Debug, Clone, Serialize)]
pub struct WeighedPuppy {
    /// Name in the records.
    pub id: String,
    /// Name.
    pub name: String,
    /// Ribbon.
    pub ribbon: Option<RibbonShown>,
    /// Place in the order of birth.
    pub order: Option<u32>,
    /// Local time of birth, `2026-10-05T09:14:00`.
    pub born: Option<String>,
    /// Whether it was born alive: littermates are compared with these.
    pub born_alive: bool,
    /// Weight at birth.
    pub birth_grams: Option<f64>,
    /// Whether that is very low for its breed.
    pub very_low: Option<VeryLow>,
    /// Whether it is alive.
    pub alive: bool,
    /// Whether it is alive and not yet in its new home.
    pub here: bool,
}

/// The border of a very low birth weight.
#[derive(Debug, Clone, Copy, Serialize)]
pub struct VeryLow {
    /// The breed, as the study names it.
    pub breed: &'static str,
    /// From here a weight is no longer very low, g.
    pub under: f64,
    /// Who says so.
    pub source: &'static str,
}

/// A weigh-in of the records.
#[derive(Debug, Clone, Serialize)]
pub struct KnownWeighIn {
    /// Local time, `2026-10-06T07:30:00`.
    pub at: String,
    /// Weights in grams by puppy.
    pub grams: BTreeMap<String, f64>,
}

/// A day, and what is known of it beside weights.
#[derive(Debug, Clone, Serialize)]
pub struct AheadShown {
    /// The day.
    pub day: String,
    /// Puppies that will be in their new homes.
    pub gone: Vec<String>,
    /// Findings.
    pub findings: Vec<AheadFinding>,
}

/// A finding beside weights, by puppy.
#[derive(Debug, Clone, Serialize)]
pub struct AheadFinding {
    /// Name of the puppy in the records.
    pub puppy: String,
    /// The finding, as everywhere in the book.
    #[serde(flatten)]
    pub shown: FindingShown,
}

/// Whether a litter has a sheet: it is born, and the program still looks at its weights.
pub(super) fn is_weighed(folder: &LitterFolder, today: Day) -> bool {
    folder.litter.birth.is_some() && !folder.is_history(today)
}

/// The sheet of a litter; nothing for one that is not born yet, or history.
pub(super) fn sheet(
    records: &Records,
    figures: &Figures<'_>,
    folder: &LitterFolder,
) -> Option<WeighingSheet> {
    let LitterFolder {
        id,
        litter,
        weigh_ins,
        bare_unit: _,
        health: _,
        notes: _,
        photos: _,
    } = folder;
    let born = litter.birth.as_ref()?.on;
    let own = is_weighed(folder, figures.today).then(|| &figures.litters[id])?;
    let ounces = records.kennel.is_read_in_ounces();
    Some(WeighingSheet {
        path: paths::weighing(id),
        kennel: records.kennel.name.to_string(),
        litter: id.to_string(),
        name: litter.name.to_string(),
        born: born.to_string(),
        made: figures.today.to_string(),
        pinned: records.kennel.as_of.is_some(),
        zone: records.kennel.time_zone.0.name(),
        offsets: clock_changes(
            records.kennel.time_zone.0,
            born.plus(-20),
            born.plus(CLOCKS_KNOWN),
        ),
        ounces,
        limits: limits(&thresholds(&records.care_plan.thresholds)),
        ages: ages(),
        rounding: ROUNDING,
        no_birth_weight_source: BIRTH_WEIGHT_SOURCE,
        trend: TREND,
        slip_source: SLIP_SOURCE,
        slip_model: slip_model(),
        cautions: CAUTIONS,
        vet: super::vet(&records.kennel),
        puppies: litter
            .puppies
            .iter()
            .map(|puppy| weighed(folder, own, puppy))
            .collect(),
        weigh_ins: weigh_ins
            .iter()
            .map(known)
            .filter(|known| !known.grams.is_empty())
            .collect(),
        ahead: own
            .ahead
            .iter()
            .map(|ahead| ahead_shown(folder, ahead, ounces))
            .collect(),
    })
}

fn local(at: Moment) -> String {
    at.local().format("%Y-%m-%dT%H:%M:%S").to_string()
}

fn known(weigh_in: &WeighIn) -> KnownWeighIn {
    let WeighIn {
        at,
        by: _,
        remark: _,
        weights,
        block: _,
    } = weigh_in;
    KnownWeighIn {
        at: local(*at),
        grams: weights
            .iter()
            .filter(|(id, _)| id.as_str() != DAM)
            .map(|(id, weight)| (id.to_string(), weight.grams()))
            .collect(),
    }
}

fn weighed(folder: &LitterFolder, figures: &LitterFigures, puppy: &Puppy) -> WeighedPuppy {
    let own = &figures.puppies[&puppy.id];
    let breed = own
        .birth_weight
        .and_then(|birth_weight| birth_weight.breed)
        .filter(|breed| breed.class == Class::VeryLow);
    WeighedPuppy {
        id: puppy.id.to_string(),
        name: puppy.shown_name(),
        ribbon: puppy.ribbon.map(Into::into),
        order: puppy.order,
        born: folder.litter.born_at(puppy).map(local),
        born_alive: puppy.fate != Some(Fate::Stillborn),
        birth_grams: puppy.weight.map(|weight| weight.grams()),
        very_low: breed.map(
            |BreedClass {
                 breed,
                 class: _,
                 low_from,
                 normal_from: _,
                 puppies: _,
                 source,
             }| VeryLow {
                breed,
                under: low_from,
                source,
            },
        ),
        alive: puppy.is_alive(),
        here: puppy.is_alive() && !own.is_gone,
    }
}

fn ahead_shown(folder: &LitterFolder, ahead: &Ahead, ounces: bool) -> AheadShown {
    let Ahead {
        day,
        gone,
        findings,
    } = ahead;
    let shown = |found: &Finding| {
        Some(AheadFinding {
            puppy: found.puppy.as_ref()?.to_string(),
            shown: finding::shown(folder, found, ounces),
        })
    };
    AheadShown {
        day: day.to_string(),
        gone: gone.iter().map(ToString::to_string).collect(),
        findings: findings.iter().filter_map(shown).collect(),
    }
}

/// Every threshold by its name in `care-plan.yaml`, and those that have none.
fn limits(all: &Thresholds) -> BTreeMap<&'static str, LimitShown> {
    let Thresholds {
        early_loss,
        total_loss,
        birth_weight_by,
        stand_still,
        least_gain_week_1,
        least_gain_later,
        doubled_by,
        light_at_birth,
        behind_litter,
        cold: _,
        weigh_in_gap,
    } = all;
    let named = [
        ("early_loss", early_loss),
        ("total_loss", total_loss),
        ("birth_weight_by", birth_weight_by),
        ("stand_still", stand_still),
        ("least_gain_week_1", least_gain_week_1),
        ("least_gain_later", least_gain_later),
        ("doubled_by", doubled_by),
        ("light_at_birth", light_at_birth),
        ("behind_litter", behind_litter),
        ("weigh_in_gap", weigh_in_gap),
        ("every_second_day", &EVERY_SECOND_DAY),
        ("under_own_gain", &UNDER_OWN_GAIN),
        ("no_gain_under", &NO_GAIN_UNDER),
        ("falling_by", &FALLING_BY),
        ("mean_gain_week_1", &MEAN_GAIN_WEEK_1),
        ("mean_gain_later", &MEAN_GAIN_LATER),
        ("closed_for", &CLOSED_FOR),
        ("closed_for_later", &CLOSED_FOR_LATER),
        ("week_without_gain", &WEEK_WITHOUT_GAIN),
        ("late_loss", &LATE_LOSS),
        ("late_loss_sure", &LATE_LOSS_SURE),
        ("lost_twice", &LOST_TWICE),
    ];
    named
        .into_iter()
        .map(|(name, Threshold { value, source })| {
            (
                name,
                LimitShown {
                    value: *value,
                    source,
                },
            )
        })
        .collect()
}

#[expect(clippy::cast_precision_loss, reason = "a litter's age is a few weeks")]
fn ages() -> BTreeMap<&'static str, f64> {
    BTreeMap::from([
        ("first_weeks", LAST_DAY),
        ("first_day", FIRST_DAY),
        ("first_days", FIRST_DAYS),
        ("first_week", FIRST_WEEK),
        ("first_weighed", FIRST_WEIGHED),
        ("weekly", WEEKLY as f64),
        ("day_two_from", DAY_TWO[0]),
        ("day_two_until", DAY_TWO[1]),
        ("call_until", CALL_UNTIL),
        ("call_after_hours", CALL_AFTER_HOURS),
        ("next_day", NEXT_DAY),
        ("falling", FALLING_FOR),
        ("doubled_published", PUBLISHED.1),
        ("doubled_latest", DOUBLED_LATEST),
        ("history", HISTORY as f64),
        ("stale", STALE as f64),
        ("light_at_birth", LIGHT_AT_BIRTH as f64),
        ("daily", WEIGHED_DAILY as f64),
        ("every_second_day", WEIGHED_EVERY_SECOND_DAY as f64),
    ])
}
