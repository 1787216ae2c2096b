//! `care-plan.yaml`: what the keeper changes in the built-in care plan.
//!
//! In: the file. Out: a [`CarePlan`] of changes. The plan itself is data of `husbandry`.

use crate::quantity::{Id, Percent, Span, Temperature, Text};
use schemars::JsonSchema;
use serde::Deserialize;

/// Changes to the built-in plan.
#[derive(Debug, Clone, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, default)]
pub struct CarePlan {
    /// Items added, changed by giving their id again, or dropped.
    pub items: Vec<CareItem>,
    /// Values at which a finding is made, in place of the built-in ones.
    pub thresholds: Thresholds,
}

/// The keeper's own values for findings; what is left out stays as built in.
#[derive(Debug, Clone, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, default)]
pub struct Thresholds {
    /// Loss by the end of day 2, of birth weight.
    pub early_loss: Option<Percent>,
    /// Loss from the highest weight.
    pub total_loss: Option<Percent>,
    /// Age after which a puppy should not be below its birth weight.
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
    /// Temperature below which a puppy of up to two weeks is cold.
    pub cold: Option<Temperature>,
    /// Time between weigh-ins in the first two weeks.
    pub weigh_in_gap: Option<Span>,
}

/// One item of a plan.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct CareItem {
    /// Name used to change or drop it.
    pub id: Id,
    /// What kind of thing it is.
    pub what: CareKind,
    /// In words; needed unless it is dropped.
    pub name: Option<Text>,
    /// Youngest age at which it is due.
    pub from: Option<Span>,
    /// Oldest age by which it should be done.
    pub until: Option<Span>,
    /// Drops the item.
    #[serde(default)]
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
}
