//! The values at which a finding is made, each with its source.
//!
//! In: the keeper's own values from `care-plan.yaml`. Out: [`Thresholds`], in which every value
//! knows where it comes from. Sources disagree; a keeper may follow the practice's vet instead, and
//! a finding always says which value it used.

use crate::quantity::{Percent, Span, Temperature};
use crate::records::care_plan;

/// A value and where it comes from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Threshold {
    /// The value, in the unit of its name.
    pub value: f64,
    /// Who says so.
    pub source: &'static str,
}

const fn threshold(value: f64, source: &'static str) -> Threshold {
    Threshold { value, source }
}

/// Days between weights, after four weeks, in which a puppy should have gained something.
pub const WEEK_WITHOUT_GAIN: Threshold = threshold(
    6.0,
    "common practice, no source: a growing puppy gains every week",
);

/// From how much of the highest weight on a loss is spoken of after four weeks, %. One weight
/// before it may have been that of a full stomach, so that a smaller loss needs a second witness.
pub const LATE_LOSS: Threshold = threshold(5.0, LOSES_NOTHING);
/// The same, where two weights before were heavier, or two running are so far down, %.
pub const LATE_LOSS_SURE: Threshold = threshold(4.0, LOSES_NOTHING);
/// The same over two weigh-ins that both lost, %.
pub const LOST_TWICE: Threshold = threshold(2.0, LOSES_NOTHING);
const LOSES_NOTHING: &str = "common practice, no source: a growing puppy does not lose weight";

/// Days between weigh-ins after the fourth week.
pub const WEEKLY: i64 = 7;

/// Hours between weigh-ins that are enough in the fourth week.
pub const EVERY_SECOND_DAY: Threshold = threshold(
    48.0,
    "Small Animal Clinical Nutrition, 5th ed., box 16-3: daily or every second day for \
             four weeks",
);

/// Days of age up to which puppies are weighed at the interval of the threshold.
pub const WEIGHED_DAILY: i64 = 21;
/// Days of age up to which every second day is enough.
pub const WEIGHED_EVERY_SECOND_DAY: i64 = 28;
/// Days of age up to which a light birth weight is worth a word.
pub const LIGHT_AT_BIRTH: i64 = 21;

const SIMULATED: &str =
    "our own figure, from simulated litters: more than scale and filling explain";
const HANDBOOK: &str = "Small Animal Clinical Nutrition, 5th ed., table 16-1";

/// How far a weight has to lie under the one that the puppy's own trend led to expect, so that this
/// alone makes a watch, %.
pub const UNDER_OWN_GAIN: Threshold = threshold(5.5, SIMULATED);
/// The same, where it only confirms a day without gain after the first week.
pub const NO_GAIN_UNDER: Threshold = threshold(3.5, SIMULATED);
/// The share of the published need under which a day of feeding by hand is worth a word, %.
pub const FED_SHARE: Threshold = threshold(75.0, FED);
/// The same at which it is a call for a puppy without its dam, %.
pub const FED_SHARE_CALL: Threshold = threshold(50.0, FED);
const FED: &str = "Dog Owner’s Home Veterinary Handbook: 60, 70, 80, 90 kcal per lb and day in \
                   weeks 1 to 4; how far under it is worth a word is ours";
/// Percentage points by which a puppy that lies far under its littermates must have fallen in
/// [`FALLING_FOR`] days.
pub const FALLING_BY: Threshold = threshold(8.0, SIMULATED);
/// Mean gain in week 1, % a day: no more is expected of a puppy.
pub const MEAN_GAIN_WEEK_1: Threshold = threshold(8.0, HANDBOOK);
/// Mean gain in weeks 2 to 4, % a day.
pub const MEAN_GAIN_LATER: Threshold = threshold(5.0, HANDBOOK);
/// Days for which a call that later weights have closed is told of.
pub const CLOSED_FOR: Threshold = threshold(
    2.0,
    "our own figure: what was a call does not vanish without a word",
);

/// The same of a call after four weeks, when puppies are weighed every few days.
pub const CLOSED_FOR_LATER: Threshold = threshold(7.0, CLOSED_FOR.source);

/// Age in days until which a weight may stand in for one at birth that is missing (Small Animal
/// Clinical Nutrition, 5th ed., box 16-3: weighed within 24 h of birth).
pub const FIRST_WEIGHED: f64 = 1.0;
/// Age in days until which a stand-still is one of the first day; ours.
pub const FIRST_DAY: f64 = 1.25;
/// Age in days until which a trend still holds the loss of the first day; ours.
pub const FIRST_DAYS: f64 = 2.5;
/// From which age in days, and until which, a weight is one of day 2; ours.
pub const DAY_TWO: [f64; 2] = [0.5, 2.5];
/// Age in days until which any stand-still is a call; ours.
pub const CALL_UNTIL: f64 = 14.0;
/// Hours without gain that are a call at any age; ours.
pub const CALL_AFTER_HOURS: f64 = 72.0;
/// What is at the very limit counts: weights are kept to the nanogram, and a tenth of some ounces
/// is none of that of others. In percentage points.
pub const ROUNDING: f64 = 1e-6;
/// Days of the first week.
pub const FIRST_WEEK: f64 = 7.0;
/// Longest time in days between two weights that is still a day; ours.
pub const NEXT_DAY: f64 = 1.1;
/// Days in which a puppy keeps its place among its littermates, or falls.
pub const FALLING_FOR: f64 = 3.0;
/// Age in days from which a puppy that has not doubled its birth weight is a watch whatever it
/// gains; ours: a week after the last published day. By then it may have tripled (Small Animal
/// Clinical Nutrition, 5th ed., box 16-3).
pub const DOUBLED_LATEST: f64 = 21.0;

/// What a keeper's own value is called.
pub(super) const OWN: &str = "care-plan.yaml";

/// All thresholds.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Thresholds {
    /// Loss by the end of day 2, % of birth weight.
    pub early_loss: Threshold,
    /// Loss from the highest weight, %.
    pub total_loss: Threshold,
    /// Age in days after which a puppy should not be below its birth weight.
    pub birth_weight_by: Threshold,
    /// Hours without gain, after the first day.
    pub stand_still: Threshold,
    /// Least gain in week 1, % a day.
    pub least_gain_week_1: Threshold,
    /// Least gain in weeks 2 to 4, % a day.
    pub least_gain_later: Threshold,
    /// Age in days by which the birth weight should have doubled.
    pub doubled_by: Threshold,
    /// How far under the mean of its littermates a puppy is light at birth, %.
    pub light_at_birth: Threshold,
    /// How far under the mean of its littermates a puppy has fallen behind, %.
    pub behind_litter: Threshold,
    /// Rectal temperature below which a puppy is cold in the first week, and below which none is
    /// fed, °C. A keeper's own value holds for two weeks.
    pub cold: Threshold,
    /// Hours between weigh-ins in the first three weeks; in the fourth every second day is enough.
    pub weigh_in_gap: Threshold,
}

/// Rectal temperature below which a puppy is cold in the second week, °C.
const COLD_IN_WEEK_2: Threshold = threshold(
    34.4,
    "home veterinary handbooks: under 34.4 °C (94 °F) a puppy stops nursing",
);

impl Thresholds {
    /// Temperature below which a puppy of that age in days is cold; nothing after two weeks, when
    /// the band of its age says so.
    #[must_use]
    pub fn cold_at(&self, age: i64) -> Option<Threshold> {
        let second = if self.cold.source == OWN {
            self.cold
        } else {
            COLD_IN_WEEK_2
        };
        (age <= 14).then_some(if age < 7 { self.cold } else { second })
    }

    /// Days between weigh-ins at an age in days: a weight that is older says nothing of today.
    #[must_use]
    #[expect(
        clippy::cast_possible_truncation,
        reason = "a gap is a few days at most"
    )]
    pub fn days_between_weigh_ins_at(&self, age: i64) -> i64 {
        // Today has no hour, so the gap is counted in days, and today's weigh-in may still come.
        self.weigh_in_gap_at(age)
            .map_or(WEEKLY, |gap| (gap.value / 24.0).ceil().max(1.0) as i64)
    }

    /// Hours between weigh-ins at an age in days; nothing after four weeks.
    #[must_use]
    pub fn weigh_in_gap_at(&self, age: i64) -> Option<Threshold> {
        let own_is_longer = self.weigh_in_gap.value >= EVERY_SECOND_DAY.value;
        let gap = if age <= WEIGHED_DAILY || own_is_longer {
            self.weigh_in_gap
        } else {
            EVERY_SECOND_DAY
        };
        (age <= WEIGHED_EVERY_SECOND_DAY).then_some(gap)
    }
}

/// Thresholds, the keeper's own in place of the built-in.
#[must_use]
pub fn thresholds(own: &care_plan::OwnThresholds) -> Thresholds {
    let care_plan::OwnThresholds {
        early_loss,
        total_loss,
        birth_weight_by,
        stand_still,
        least_gain_week_1,
        least_gain_later,
        doubled_by,
        light_at_birth,
        behind_litter,
        cold,
        weigh_in_gap,
    } = own;
    let pick = |own: Option<f64>, value: f64, source: &'static str| {
        own.map_or(threshold(value, source), |value| threshold(value, OWN))
    };
    let share = |own: &Option<Percent>| own.map(Percent::value);
    #[expect(clippy::cast_precision_loss, reason = "spans are at most a century")]
    let seconds = |own: &Option<Span>| own.map(|span| span.as_seconds() as f64);
    let days = |own: &Option<Span>| seconds(own).map(|s| s / 86_400.0);
    let hours = |own: &Option<Span>| seconds(own).map(|s| s / 3600.0);
    const RULE: &str = "common practice, no source";
    Thresholds {
        early_loss: pick(
            share(early_loss),
            4.0,
            "Mila and others 2015, J Anim Sci 93:4436-4442",
        ),
        total_loss: pick(
            share(total_loss),
            10.0,
            "usual teaching: under 10 % in the first 24 to 48 h",
        ),
        birth_weight_by: pick(
            days(birth_weight_by),
            3.0,
            "BMC Vet Res 2019, s12917-019-2146-8: a loss within the first three days",
        ),
        stand_still: pick(hours(stand_still), 24.0, RULE),
        least_gain_week_1: pick(share(least_gain_week_1), 5.0, HANDBOOK),
        least_gain_later: pick(share(least_gain_later), 3.5, HANDBOOK),
        doubled_by: pick(
            days(doubled_by),
            10.0,
            "Small Animal Clinical Nutrition, 5th ed., table 16-1: twice the birth weight by day \
             8 to 10",
        ),
        light_at_birth: pick(share(light_at_birth), 25.0, RULE),
        behind_litter: pick(share(behind_litter), 25.0, RULE),
        cold: pick(
            cold.map(Temperature::celsius),
            35.0,
            "advice of two practices: under 35 °C in the first week the gut stops",
        ),
        weigh_in_gap: pick(
            hours(weigh_in_gap),
            24.0,
            "BMC Vet Res 2019, s12917-019-2146-8: daily for at least three weeks",
        ),
    }
}
