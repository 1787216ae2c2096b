//! `care-plan.yaml`: what the keeper changes in the built-in care plan.
//!
//! In: the file. Out: a [`CarePlan`] of changes. The plan itself is data of `husbandry`.

use crate::quantity::{Id, Span, Text};
use schemars::JsonSchema;
use serde::Deserialize;

/// Changes to the built-in plan.
#[derive(Debug, Clone, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, default)]
pub struct CarePlan {
    /// Items added, changed by giving their id again, or dropped.
    pub items: Vec<CareItem>,
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
