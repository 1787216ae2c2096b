//! What a finding is about: one variant for each thing that can be noticed.
//!
//! In: nothing. Out: [`Noticed`] with its figures in their units, and the value it was measured
//! against where that is no part of the rule itself. No sentence: those stand in
//! `audience/words/findings.rs`.

use super::{FindingRule, Unwell};
use crate::husbandry::birth::{Placentas, VigourTotal};
use crate::husbandry::birth_weight::BreedClass;
use crate::husbandry::care::ItemStanding;
use crate::husbandry::gestation::temperature::Drop;
use crate::husbandry::gestation::{Anchor, Due};
use crate::husbandry::rules::Verdict;
use crate::husbandry::slips::SlipKind;
use crate::husbandry::thresholds::Threshold;
use crate::husbandry::trend::Trend;
use crate::quantity::{Day, Moment, Temperature, Text, Weight};

/// Something that was noticed.
#[derive(Debug, Clone, PartialEq)]
pub enum Noticed {
    /// Nothing else was found, and the gain lies within its band.
    Steady(Trend),
    /// A call on an earlier weight that later weights have closed.
    CallClosed {
        /// What it was called for.
        call: ClosedCall,
        /// The weight that made the call.
        at: Moment,
        /// That weight.
        from: Weight,
        /// The latest weight.
        to: Weight,
        /// Days for which it is told.
        limit: Threshold,
    },
    /// Too much of the highest weight is lost.
    TotalLoss {
        /// How much, %.
        lost: f64,
        /// The highest weight.
        highest: Weight,
        /// The latest weight.
        now: Weight,
        /// From how much on, %.
        limit: Threshold,
    },
    /// Too much of the birth weight was lost by day 2.
    EarlyLoss {
        /// How much, %.
        lost: f64,
        /// Age at that weight in days.
        days: f64,
        /// The birth weight.
        birth: Weight,
        /// The weight of day 2.
        then: Weight,
        /// From how much on, %.
        limit: Threshold,
    },
    /// Still under its birth weight.
    UnderBirthWeight {
        /// Age at the latest weight in days.
        days: f64,
        /// The latest weight.
        now: Weight,
        /// The birth weight.
        birth: Weight,
        /// After which age, days.
        limit: Threshold,
    },
    /// Lighter than its own gain led to expect.
    UnderOwnGain {
        /// By how much, %.
        under: f64,
        /// The latest weight.
        now: Weight,
        /// From how much on, %.
        limit: Threshold,
    },
    /// No gain.
    NoGain {
        /// Since how many hours.
        hours: f64,
        /// The weight then.
        from: Weight,
        /// The latest weight.
        to: Weight,
        /// After how many hours, once the first day is over.
        limit: Threshold,
    },
    /// No gain between weights of a puppy that is weighed every few days.
    WeekWithoutGain {
        /// Since how many days.
        days: f64,
        /// The weight then.
        from: Weight,
        /// The latest weight.
        to: Weight,
        /// After how many days.
        limit: Threshold,
    },
    /// The whole interval of the gain lies under the band of that age.
    GainUnderBand {
        /// The gain.
        trend: Trend,
        /// The least gain, % a day.
        limit: Threshold,
    },
    /// The birth weight has not doubled.
    NotDoubled {
        /// Age at the latest weight in days.
        days: f64,
        /// The latest weight.
        now: Weight,
        /// The birth weight.
        birth: Weight,
        /// By which age, days.
        limit: Threshold,
    },
    /// Light at birth beside its littermates.
    LightAtBirth {
        /// How far under their mean, %.
        under: f64,
        /// The birth weight.
        birth: Weight,
        /// From how much on, %.
        limit: Threshold,
    },
    /// A very low birth weight for its breed.
    VeryLowBirthWeight {
        /// The breed and its borders.
        breed: BreedClass,
        /// The birth weight.
        birth: Weight,
    },
    /// Far under its littermates, and falling.
    BehindLitter {
        /// How far under their mean, %.
        under: f64,
        /// The latest weight.
        now: Weight,
        /// From how much on, %.
        limit: Threshold,
    },
    /// Nobody has weighed it.
    WeighInMissed {
        /// Day of the latest weigh-in; nothing when there was none since the birth.
        last: Option<Day>,
        /// Hours between two weigh-ins.
        limit: Threshold,
    },
    /// A weight that looks like a slip of the pen.
    SlipValue {
        /// The weight as written.
        written: Weight,
        /// The weigh-in; nothing at birth.
        at: Option<Moment>,
        /// The weight that was probably meant.
        likely: Weight,
        /// The same as it was computed, in grams.
        likely_grams: f64,
        /// What probably happened.
        kind: SlipKind,
        /// How many times likelier that is than what is written.
        times_likelier: f64,
        /// What it is told by.
        source: &'static str,
    },
    /// Weights of two puppies that look exchanged.
    SlipExchanged {
        /// The weight as written.
        written: Weight,
        /// That of the other puppy.
        other_written: Weight,
        /// Name of the other puppy.
        other: String,
        /// The weigh-in; nothing at birth.
        at: Option<Moment>,
        /// How many times likelier that is than what is written.
        times_likelier: f64,
        /// What it is told by.
        source: &'static str,
    },
    /// A low vigour score.
    LowVigour {
        /// The score.
        score: VigourTotal,
        /// Its total, 0 to 10.
        total: u8,
        /// Minutes of the last score after it, which is not complete.
        unfinished: Option<u64>,
        /// Who says so.
        source: &'static str,
    },
    /// A cleft palate.
    PalateCleft {
        /// Who asks for the look.
        source: &'static str,
    },
    /// Something on the newborn is not as it should be.
    NewbornFinding {
        /// Each item by its key in the records, with what was written of it, the worst first.
        seen: Vec<(&'static str, Text)>,
        /// Who asks for the look.
        source: &'static str,
    },
    /// Items of the newborn checklist that nobody looked at.
    NotLookedAt {
        /// The items by their keys in the records.
        items: Vec<&'static str>,
        /// How many puppies it is said of at once; nothing when it is said of one.
        puppies: Option<usize>,
        /// Who asks for the look.
        source: &'static str,
    },
    /// A puppy was noted as unwell.
    Illness(Unwell),
    /// A temperature outside its band.
    OutsideBand {
        /// The latest reading.
        reading: DatedTemperature,
        /// Whether it is a call because the puppy is cold.
        is_cold: bool,
        /// What is usual at that age.
        band: TemperatureBand,
        /// Whether too long ago, with no reading since.
        is_old: bool,
    },
    /// A temperature inside its band, shortly after one outside it.
    BackInBand {
        /// The reading outside.
        outside: DatedTemperature,
        /// The latest reading.
        then: DatedTemperature,
        /// What was usual at the age of the reading outside.
        band: TemperatureBand,
    },
    /// Fed while it was cold.
    FedCold {
        /// When it was fed.
        fed: Moment,
        /// The cold reading before.
        reading: DatedTemperature,
        /// Under which temperature none is fed, °C.
        limit: Threshold,
    },
    /// Items of the care plan that are overdue, the first of them at least one.
    CareOverdue {
        /// The first.
        first: ItemStanding,
        /// The others.
        others: Vec<ItemStanding>,
    },
    /// The dam was noted as unwell.
    DamIllness(Unwell),
    /// The temperature of a dam that has given birth.
    DamTemperature {
        /// The latest reading.
        reading: DatedTemperature,
        /// How it is judged.
        state: DamTemperatureState,
        /// Whether it was taken in the first 24 hours after the birth.
        is_first_day: bool,
        /// What is usual.
        band: TemperatureBand,
        /// Whether too long ago, with no reading since.
        is_old: bool,
    },
    /// The dam is over her time.
    Overdue {
        /// Her last day.
        last: Day,
        /// What it was counted from.
        anchor: Anchor,
    },
    /// A window that cannot say that she is over her time has ended.
    PastWindow {
        /// Its last day.
        last: Day,
        /// What it was counted from.
        from: WindowOf,
    },
    /// Two due windows that do not meet.
    DatesDisagree {
        /// The window that counts.
        best: Due,
        /// The other.
        other: Due,
    },
    /// One puppy was counted.
    OnePuppy {
        /// When.
        counted: Day,
        /// By when to speak with the clinic.
        speak_by: Option<Day>,
        /// Who says so.
        source: &'static str,
    },
    /// The drop of the dam's temperature before birth.
    TemperatureDrop {
        /// The drop.
        drop: Drop,
        /// Where today lies beside the time to call.
        call: CallTime,
        /// Who says so.
        source: &'static str,
    },
    /// Something is not as a rule asks.
    BeyondRule {
        /// The rule beside the records.
        verdict: Box<Verdict>,
        /// The day on which that was looked at.
        today: Day,
    },
    /// Puppies may be affected by what their parents carry.
    AffectedExpected {
        /// Which share of them, 0 to 1.
        share: f64,
        /// Name of the test.
        test: String,
        /// Who says so.
        source: &'static str,
    },
    /// Fewer puppies than the X-ray counted.
    FewerThanCounted {
        /// How many it counted.
        counted: usize,
        /// How many are recorded.
        born: usize,
        /// Who says so.
        source: &'static str,
    },
    /// Placentas that are noted as retained.
    PlacentaRetained {
        /// Names of their puppies.
        puppies: Vec<String>,
        /// Who says so.
        source: &'static str,
    },
    /// Fewer placentas than puppies.
    Placentas {
        /// How many are accounted for.
        out: usize,
        /// The count.
        count: Placentas,
        /// Who says so.
        source: &'static str,
    },
}

/// What a call that is closed was for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ClosedCall {
    /// [`Noticed::TotalLoss`].
    TotalLoss,
    /// [`Noticed::EarlyLoss`].
    EarlyLoss,
    /// [`Noticed::UnderBirthWeight`].
    UnderBirthWeight,
    /// [`Noticed::NoGain`].
    NoGain,
}

impl ClosedCall {
    /// The rule of the call.
    pub(super) fn rule(self) -> FindingRule {
        match self {
            Self::TotalLoss => FindingRule::TotalLoss,
            Self::EarlyLoss => FindingRule::EarlyLoss,
            Self::UnderBirthWeight => FindingRule::UnderBirthWeight,
            Self::NoGain => FindingRule::NoGain,
        }
    }
}

/// A temperature and when it was taken.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DatedTemperature {
    /// The temperature.
    pub temperature: Temperature,
    /// The day.
    pub day: Day,
    /// When, where the hour was written.
    pub at: Option<Moment>,
}

/// Which temperatures are usual.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TemperatureBand {
    /// From here, °C.
    pub low: f64,
    /// Up to here, °C.
    pub high: f64,
    /// Who says so.
    pub source: &'static str,
}

/// How the temperature of a dam is judged.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DamTemperatureState {
    /// She has fever.
    Fever,
    /// She is cold.
    Cold,
    /// Worth a second reading.
    Unusual,
}

/// What a window that has ended was counted from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum WindowOf {
    /// A first sample of progesterone that was over the border already.
    FirstSample,
    /// The end of a window that is wide.
    Wide(Anchor),
    /// A mating, and the day by which most are born.
    Mating {
        /// That day, counted from the mating.
        most_by: i64,
    },
}

/// Where today lies beside the time to call when there is no birth.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CallTime {
    /// On a day to come.
    ToCome,
    /// Today.
    Today,
    /// It has passed.
    Passed,
}

impl Noticed {
    /// The rule that noticed it.
    #[must_use]
    pub fn rule(&self) -> FindingRule {
        match self {
            Self::Steady(_) => FindingRule::Steady,
            Self::CallClosed { .. } => FindingRule::CallClosed,
            Self::TotalLoss { .. } => FindingRule::TotalLoss,
            Self::EarlyLoss { .. } => FindingRule::EarlyLoss,
            Self::UnderBirthWeight { .. } => FindingRule::UnderBirthWeight,
            Self::UnderOwnGain { .. } => FindingRule::UnderOwnGain,
            Self::NoGain { .. } | Self::WeekWithoutGain { .. } => FindingRule::NoGain,
            Self::GainUnderBand { .. } => FindingRule::GainUnderBand,
            Self::NotDoubled { .. } => FindingRule::NotDoubled,
            Self::LightAtBirth { .. } => FindingRule::LightAtBirth,
            Self::VeryLowBirthWeight { .. } => FindingRule::VeryLowBirthWeight,
            Self::BehindLitter { .. } => FindingRule::BehindLitter,
            Self::WeighInMissed { .. } => FindingRule::WeighInMissed,
            Self::SlipValue { .. } => FindingRule::SlipValue,
            Self::SlipExchanged { .. } => FindingRule::SlipExchanged,
            Self::LowVigour { .. } => FindingRule::LowVigour,
            Self::PalateCleft { .. } => FindingRule::PalateCleft,
            Self::NewbornFinding { .. } => FindingRule::NewbornFinding,
            Self::NotLookedAt { .. } => FindingRule::NotLookedAt,
            Self::Illness(_) => FindingRule::Illness,
            Self::OutsideBand { is_cold: true, .. } => FindingRule::Cold,
            Self::OutsideBand { is_cold: false, .. } | Self::BackInBand { .. } => {
                FindingRule::Temperature
            }
            Self::FedCold { .. } => FindingRule::FedCold,
            Self::CareOverdue { .. } => FindingRule::CareOverdue,
            Self::DamIllness(_) => FindingRule::DamIllness,
            Self::DamTemperature { state, .. } => match state {
                DamTemperatureState::Fever => FindingRule::DamFever,
                DamTemperatureState::Cold => FindingRule::DamCold,
                DamTemperatureState::Unusual => FindingRule::DamTemperature,
            },
            Self::Overdue { .. } => FindingRule::Overdue,
            Self::PastWindow { .. } => FindingRule::PastWindow,
            Self::DatesDisagree { .. } => FindingRule::DatesDisagree,
            Self::OnePuppy { .. } => FindingRule::OnePuppy,
            Self::TemperatureDrop { .. } => FindingRule::TemperatureDrop,
            Self::BeyondRule { .. } => FindingRule::Rule,
            Self::AffectedExpected { .. } => FindingRule::AffectedExpected,
            Self::FewerThanCounted { .. } => FindingRule::FewerThanCounted,
            Self::PlacentaRetained { .. } => FindingRule::PlacentaRetained,
            Self::Placentas { .. } => FindingRule::Placentas,
        }
    }

    /// Where the value comes from that it was measured against.
    #[must_use]
    pub fn source(&self) -> &'static str {
        match self {
            Self::Steady(_) => "all rules of this page",
            Self::CallClosed { limit, .. }
            | Self::TotalLoss { limit, .. }
            | Self::EarlyLoss { limit, .. }
            | Self::UnderBirthWeight { limit, .. }
            | Self::UnderOwnGain { limit, .. }
            | Self::NoGain { limit, .. }
            | Self::WeekWithoutGain { limit, .. }
            | Self::GainUnderBand { limit, .. }
            | Self::NotDoubled { limit, .. }
            | Self::LightAtBirth { limit, .. }
            | Self::BehindLitter { limit, .. }
            | Self::WeighInMissed { limit, .. }
            | Self::FedCold { limit, .. } => limit.source,
            Self::VeryLowBirthWeight { breed, .. } => breed.source,
            Self::SlipValue { source, .. }
            | Self::SlipExchanged { source, .. }
            | Self::LowVigour { source, .. }
            | Self::PalateCleft { source }
            | Self::NewbornFinding { source, .. }
            | Self::NotLookedAt { source, .. }
            | Self::OnePuppy { source, .. }
            | Self::TemperatureDrop { source, .. }
            | Self::AffectedExpected { source, .. }
            | Self::FewerThanCounted { source, .. }
            | Self::PlacentaRetained { source, .. }
            | Self::Placentas { source, .. } => source,
            Self::Illness(unwell) | Self::DamIllness(unwell) => unwell.source(),
            Self::OutsideBand { band, .. }
            | Self::BackInBand { band, .. }
            | Self::DamTemperature { band, .. } => band.source,
            Self::CareOverdue { first, .. } if first.by_next_due => "the date written as next due",
            Self::CareOverdue { first, .. } => first.item.source,
            Self::Overdue { anchor, .. }
            | Self::PastWindow {
                from: WindowOf::Wide(anchor),
                ..
            } => anchor.source(),
            Self::PastWindow {
                from: WindowOf::FirstSample,
                ..
            } => Anchor::Bracket.source(),
            Self::PastWindow {
                from: WindowOf::Mating { .. },
                ..
            } => Anchor::Mating.source(),
            Self::DatesDisagree { other, .. } => other.anchor.source(),
            Self::BeyondRule { verdict, .. } => verdict.source().text,
        }
    }

    /// Whether the same can be said of two puppies: littermates are not born in one minute, and a
    /// difference of an hour in their ages is none.
    pub(in crate::husbandry) fn is_like(&self, other: &Self) -> bool {
        let near = |one: f64, other: f64| (one - other).abs() < 1.0 / 24.0;
        let mut theirs = other.clone();
        match (self, &mut theirs) {
            (Self::EarlyLoss { days, .. }, Self::EarlyLoss { days: their, .. })
            | (Self::UnderBirthWeight { days, .. }, Self::UnderBirthWeight { days: their, .. })
            | (Self::WeekWithoutGain { days, .. }, Self::WeekWithoutGain { days: their, .. })
            | (Self::NotDoubled { days, .. }, Self::NotDoubled { days: their, .. })
            | (Self::NoGain { hours: days, .. }, Self::NoGain { hours: their, .. })
                if near(*days, *their) =>
            {
                *their = *days;
            }
            _ => {}
        }
        *self == theirs
    }
}
