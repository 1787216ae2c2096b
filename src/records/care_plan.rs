//! `care-plan.yaml`: what the keeper changes in the built-in care plan.
//!
//! In: the file. Out: a [`CarePlan`] of changes. What the built-in items say and when they are due
//! is data of `husbandry`; only their names stand here, so that a slip in a name is noticed where
//! it was written.

use super::health::HealthKind;
use crate::quantity::{Id, Percent, Span, Temperature, Text};
use schemars::JsonSchema;
use serde::Deserialize;

/// Changes to the built-in plan.
#[derive(Debug, Clone, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, default)]
pub struct CarePlan {
    /// Which published worming schedule is followed.
    #[schemars(title = "Worming schedule")]
    pub worming: WormingSchedule,
    /// Which published vaccination schedule is followed.
    #[schemars(title = "Vaccination schedule")]
    pub vaccination: VaccinationSchedule,
    /// Whether leptospirosis belongs to the core where you live; without it, as the schedule says.
    pub leptospirosis: Option<bool>,
    /// Items added, changed by giving their id again, or dropped.
    #[schemars(title = "Items added or changed")]
    pub items: Vec<CareItem>,
    /// Values at which a finding is made, in place of the built-in ones.
    #[schemars(title = "Limits of your own")]
    pub thresholds: OwnThresholds,
}

/// Names of the built-in items.
pub const BUILT_IN: &[&str] = &[
    "worming-2-weeks",
    "worming-4-weeks",
    "worming-6-weeks",
    "worming-8-weeks",
    "worming-10-weeks",
    "worming-3-months",
    "worming-4-months",
    "worming-5-months",
    "worming-6-months",
    "vaccination-first",
    "vaccination-second",
    "vaccination-between",
    "vaccination-third",
    "vaccination-booster",
    "leptospirosis-first",
    "leptospirosis-second",
    "chip",
    "check-newborn",
    "check-leaving",
    "eyes-open",
    "ears-open",
    "first-steps",
    "first-teeth",
    "first-gruel",
    "gentle-handling",
    "household-noise",
    "new-floors",
    "visitors",
    "car-ride",
    "collar",
    "dam-temperature",
    "dam-discharge",
    "dam-glands",
    "dam-wound",
    "dam-appetite",
    "dam-weight",
    "dam-pain-relief",
    "dam-stitches",
    "dam-eclampsia",
];

/// A published worming schedule for puppies.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Deserialize, JsonSchema)]
pub enum WormingSchedule {
    /// European guideline ESCCAP GL1.
    #[default]
    #[serde(rename = "ESCCAP GL1")]
    Esccap,
    /// North American guideline of the CAPC.
    #[serde(rename = "CAPC")]
    Capc,
}

/// A published vaccination schedule for puppies.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Deserialize, JsonSchema)]
pub enum VaccinationSchedule {
    /// World guideline of 2024.
    #[default]
    #[serde(rename = "WSAVA 2024")]
    Wsava2024,
    /// World guideline of 2010.
    #[serde(rename = "WSAVA 2010")]
    Wsava2010,
    /// North American guideline of 2022.
    #[serde(rename = "AAHA 2022")]
    Aaha2022,
}

/// The keeper's own values for findings; what is left out stays as built in.
#[derive(Debug, Clone, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, default)]
pub struct OwnThresholds {
    /// Loss by the end of day 2, of birth weight.
    pub early_loss: Option<Percent>,
    /// Loss from the highest weight.
    pub total_loss: Option<Percent>,
    /// Age after which a puppy should not be below its birth weight.
    #[schemars(title = "Back at birth weight by")]
    pub birth_weight_by: Option<Span>,
    /// Time without gain, after the first day.
    pub stand_still: Option<Span>,
    /// Least gain a day in week 1.
    pub least_gain_week_1: Option<Percent>,
    /// Least gain a day in weeks 2 to 4.
    pub least_gain_later: Option<Percent>,
    /// Age by which the birth weight should have doubled.
    pub doubled_by: Option<Span>,
    /// How far under the mean of the littermates a puppy is light at birth.
    pub light_at_birth: Option<Percent>,
    /// How far under the mean of the littermates a puppy has fallen behind.
    pub behind_litter: Option<Percent>,
    /// Temperature below which a puppy of up to two weeks is cold, and is not fed.
    #[schemars(title = "Cold below")]
    pub cold: Option<Temperature>,
    /// Time between weigh-ins in the first three weeks.
    #[schemars(title = "Longest time between weigh-ins")]
    pub weigh_in_gap: Option<Span>,
}

/// One item of a plan.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct CareItem {
    /// Name used to change or drop it.
    #[schemars(title = "Short name")]
    pub id: Id,
    /// What kind of thing it is.
    #[schemars(title = "Kind")]
    pub what: CareKind,
    /// In words; needed unless it is dropped.
    pub name: Option<Text>,
    /// Youngest age at which it is due.
    #[schemars(title = "From this age")]
    pub from: Option<Span>,
    /// Oldest age by which it should be done.
    #[schemars(title = "Until this age")]
    pub until: Option<Span>,
    /// Drops the item.
    #[serde(default)]
    #[schemars(title = "Left out of the plan")]
    pub skip: bool,
}

/// What kind of care an item is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Deserialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum CareKind {
    /// Worming.
    Worming,
    /// Vaccination.
    Vaccination,
    /// Microchip.
    Chip,
    /// Check by a vet.
    Check,
    /// Something the puppy learns to do.
    Milestone,
    /// Something the puppy should meet.
    Socialisation,
    /// Something in which the dam's recovery from the birth shows; its ages are days since the
    /// birth.
    Recovery,
}

impl CareKind {
    /// Whether a vet does it, or asks whether it was done.
    #[must_use]
    pub fn is_veterinary(self) -> bool {
        match self {
            Self::Worming | Self::Vaccination | Self::Chip | Self::Check => true,
            Self::Milestone | Self::Socialisation | Self::Recovery => false,
        }
    }

    /// The kind of health entry that such an item is recorded by.
    #[must_use]
    pub fn recorded_by(self) -> HealthKind {
        match self {
            Self::Worming => HealthKind::Worming,
            Self::Vaccination => HealthKind::Vaccination,
            Self::Chip => HealthKind::Chip,
            Self::Check => HealthKind::Check,
            Self::Milestone | Self::Socialisation | Self::Recovery => HealthKind::Done,
        }
    }
}

crate::words! {
    CareKind {
        Worming "worming", Vaccination "vaccination", Chip "chip", Check "check",
        Milestone "milestone", Socialisation "socialisation", Recovery "recovery"
    }
}
