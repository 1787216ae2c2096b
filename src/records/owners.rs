//! `owners.yaml`: families and the waiting list. Never public, not a word of it.
//!
//! In: the file. Out: [`Owners`]. Which puppies exist is checked in `checks`.

use super::kennel::Email;
use crate::quantity::{Day, Id, Text};
use schemars::JsonSchema;
use serde::Deserialize;

/// Families and waiting list.
#[derive(Debug, Clone, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, default)]
pub struct Owners {
    /// Families that have, or will have, a puppy.
    pub families: Vec<Family>,
    /// People who wait for one.
    pub waiting: Vec<Waiting>,
}

/// A family.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Family {
    /// The name used in the records.
    pub id: Id,
    /// Name.
    pub name: Text,
    /// E-mail.
    pub email: Option<Email>,
    /// Telephone.
    pub phone: Option<Text>,
    /// Postal address.
    pub address: Option<Text>,
    /// The puppies it takes.
    #[serde(default)]
    pub takes: Vec<Takes>,
    /// For the keeper alone.
    pub remarks: Option<Text>,
}

/// A puppy taken by a family.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Takes {
    /// Folder of the litter.
    pub litter: Id,
    /// Id of the puppy.
    pub puppy: Id,
    /// When it was reserved.
    pub reserved: Option<Day>,
    /// When it leaves, or left.
    pub leaves: Option<Day>,
    /// Price, in words.
    pub price: Option<Text>,
    /// Deposit, in words.
    pub deposit: Option<Text>,
}

/// Somebody on the waiting list.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Waiting {
    /// Name.
    pub name: Text,
    /// Since when.
    pub since: Option<Day>,
    /// What they look for.
    pub wants: Option<Text>,
    /// E-mail.
    pub email: Option<Email>,
    /// Telephone.
    pub phone: Option<Text>,
    /// For the keeper alone.
    pub remarks: Option<Text>,
}
