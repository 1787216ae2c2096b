//! What a finding is about: one variant for each thing that can be noticed.
//!
//! In: nothing. Out: [`Noticed`] with its figures in their units, and the value it was measured
//! against where that is no part of the rule itself. No sentence: those stand in
//! `audience/words/findings.rs`.

mod alike;
mod named;
mod parts;

pub use parts::{CallTime, ClosedCall, DamStage, LowHormone, Start, WindowOf};

use super::Unwell;
use crate::birth::{Placentas, VigourTotal};
use crate::birth_weight::BreedClass;
use crate::care::ItemStanding;
use crate::gestation::temperature::{Drop, RoseAgain};
use crate::gestation::{Anchor, Due};
use crate::pedigree::genes::OpenRisk;
use crate::prospect::MissingTest;
use crate::quantity::{Day, Moment, Progesterone, Temperature, Text, Weight};
use crate::records::litter::CountedBy;
use crate::rules::Verdict;
use crate::slips::SlipKind;
use crate::thresholds::Threshold;
use crate::trend::Trend;

/// Something that was noticed.
#[derive(Debug, Clone, PartialEq)]
pub enum Noticed {
    /// Nothing else was found, and the gain lies within its band.
    Steady {
        /// The gain.
        trend: Trend,
        /// What loss and doubling were held against; nothing where neither could be judged.
        start: Option<Start>,
    },
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
    /// Weight lost after four weeks.
    LateLoss {
        /// How much, %.
        lost: f64,
        /// The weight it is counted from.
        from: Weight,
        /// When that was.
        at: Moment,
        /// The latest weight.
        now: Weight,
        /// Whether two weigh-ins say so.
        is_twice: bool,
        /// From how much on, %.
        limit: Threshold,
    },
    /// Neither a birth weight nor a weight of the first day.
    NoBirthWeight {
        /// Who asks for one.
        source: &'static str,
    },
    /// Too much of the birth weight was lost by day 2.
    EarlyLoss {
        /// How much, %.
        lost: f64,
        /// Age at that weight in days.
        days: f64,
        /// The birth weight, or what stands for it.
        birth: Weight,
        /// Which of the two.
        start: Start,
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
        /// The birth weight, or what stands for it.
        birth: Weight,
        /// Which of the two.
        start: Start,
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
        /// The birth weight, or what stands for it.
        birth: Weight,
        /// Which of the two.
        start: Start,
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
    /// A day of feeding by hand held far less than the published need.
    FedTooLittle {
        /// Energy in it for each kg of body weight.
        per_kg: f64,
        /// The published need.
        need: f64,
        /// Whether that is what the feeds held at most, since the energy of a product is not known.
        is_most: bool,
        /// How many feeds.
        feeds: usize,
        /// The latest of them.
        last: Moment,
        /// Whether its dam is dead.
        is_motherless: bool,
        /// Under which share of the need, %.
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
    /// The temperature of a dam, before the birth or after it.
    DamTemperature {
        /// The latest reading.
        reading: DatedTemperature,
        /// How it is judged.
        state: DamTemperatureState,
        /// When it was taken.
        stage: DamStage,
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
    /// Progesterone has fallen before the birth.
    LowProgesterone {
        /// When.
        on: Day,
        /// The value.
        value: Progesterone,
        /// What that says.
        state: LowHormone,
        /// Who says so.
        source: &'static str,
    },
    /// What looked like the drop before birth was followed by her usual warmth and no birth.
    RoseAgain {
        /// The two readings.
        readings: RoseAgain,
        /// Who says so.
        source: &'static str,
    },
    /// Littermates died within a few days of each other.
    LittermatesDied {
        /// Their names.
        names: Vec<String>,
        /// The first and the last of these days.
        days: (Day, Day),
        /// Who says so.
        source: &'static str,
    },
    /// The dam has died.
    Orphaned {
        /// When.
        died: Day,
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
    /// One parent has a variant, and what the puppies get cannot be computed.
    GeneOpen {
        /// Name of the test.
        test: String,
        /// What is open.
        risk: OpenRisk,
        /// Who says so.
        source: &'static str,
    },
    /// Both parents are merle.
    MerleToMerle {
        /// Who says so.
        source: &'static str,
    },
    /// A test of a parent had run out at the mating.
    TestRanOut {
        /// The test.
        test: MissingTest,
        /// The last day of its certificate.
        until: Day,
        /// Who says so.
        source: &'static str,
    },
    /// Fewer puppies than were counted before the birth.
    FewerThanCounted {
        /// By what they were counted.
        by: CountedBy,
        /// How many were counted.
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
