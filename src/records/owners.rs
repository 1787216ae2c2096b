//! `owners.yaml`: families and the waiting list. Never public, not a word of it.
//!
//! In: the file. Out: [`Owners`]. Which puppies exist is checked in `checks`.

use super::kennel::{Email, Kennel};
use super::litter::Puppy;
use crate::quantity::{Day, Id, Text};
use schemars::JsonSchema;
use serde::Deserialize;
use std::collections::BTreeMap;

/// Families and waiting list.
#[derive(Debug, Clone, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, default)]
pub struct Owners {
    /// Families that have, or will have, a puppy.
    pub families: Vec<Family>,
    /// People who wait for one.
    #[schemars(title = "Waiting list")]
    pub waiting: Vec<Waiting>,
}

impl Owners {
    /// Who takes which puppy, to be looked up for many puppies.
    #[must_use]
    pub fn homes(&self) -> Homes<'_> {
        let mut homes: BTreeMap<_, Vec<_>> = BTreeMap::new();
        for family in &self.families {
            for takes in &family.takes {
                homes
                    .entry((&takes.litter, &takes.puppy))
                    .or_default()
                    .push((family, takes));
            }
        }
        Homes(homes)
    }
}

/// Who takes which puppy.
#[derive(Debug)]
pub struct Homes<'a>(BTreeMap<(&'a Id, &'a Id), Vec<(&'a Family, &'a Takes)>>);

impl<'a> Homes<'a> {
    /// The family that takes a puppy of a litter, and what was agreed. Of a puppy that came back it
    /// is the family after that, and nobody while there is none: the former one has it no more.
    #[must_use]
    pub fn of(&self, litter: &Id, puppy: &Puppy) -> Option<(&'a Family, &'a Takes)> {
        let mut all = self.0.get(&(litter, &puppy.id))?.iter().copied();
        all.find(|(_, takes)| takes.is_present(puppy))
    }
}

/// A family.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Family {
    /// The name used in the records: small letters, digits, hyphens.
    #[schemars(title = "Short name")]
    pub id: Id,
    /// Name.
    pub name: Text,
    /// E-mail.
    #[schemars(title = "E-mail")]
    pub email: Option<Email>,
    /// Telephone.
    #[schemars(title = "Telephone")]
    pub phone: Option<Text>,
    /// Postal address.
    #[schemars(extend("x-long" = true))]
    pub address: Option<Text>,
    /// ISO 3166-1 code of the country where it lives, if that is not the kennel's: papers and
    /// rules follow it.
    #[schemars(title = "Country, if another")]
    pub country: Option<Text>,
    /// Region where it lives, such as england, if that is not the kennel's.
    #[schemars(title = "Region, if another")]
    pub region: Option<Text>,
    /// The puppies it takes.
    #[serde(default)]
    #[schemars(title = "Puppies it takes")]
    pub takes: Vec<Takes>,
    /// For the keeper alone.
    #[schemars(extend("x-long" = true))]
    pub remarks: Option<Text>,
}

/// Where somebody lives, as far as papers and rules follow it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Residence<'a> {
    /// ISO 3166-1 code of the country.
    pub country: &'a str,
    /// Region of the country.
    pub region: Option<&'a str>,
}

impl<'a> Residence<'a> {
    /// The kennel's own place.
    #[must_use]
    pub fn of_kennel(kennel: &'a Kennel) -> Self {
        Self {
            country: &kennel.country,
            region: kennel.region.as_deref(),
        }
    }

    /// A family's place: the kennel's, where nothing else is written. The region of the kennel goes
    /// with its country alone.
    #[must_use]
    pub fn of_family(family: &'a Family, kennel: &'a Kennel) -> Self {
        let of_kennel = Self::of_kennel(kennel);
        match (&family.country, &family.region) {
            (None, None) => of_kennel,
            (None, Some(region)) => Self {
                region: Some(region),
                ..of_kennel
            },
            (Some(country), region) => Self {
                country,
                region: region.as_deref(),
            },
        }
    }
}

/// A puppy taken by a family.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Takes {
    /// Folder of the litter.
    #[schemars(extend("x-names" = "litter"))]
    pub litter: Id,
    /// Id of the puppy.
    #[schemars(extend("x-names" = "puppy of any litter"))]
    pub puppy: Id,
    /// When it was reserved.
    #[schemars(title = "Reserved on")]
    pub reserved: Option<Day>,
    /// When it leaves, or left.
    #[schemars(title = "Leaves on")]
    pub leaves: Option<Day>,
    /// Price, in words.
    pub price: Option<Text>,
    /// Deposit, in words.
    pub deposit: Option<Text>,
}

impl Takes {
    /// Whether it is not the home that the puppy came back from. One without any day is taken for
    /// the former, so that a family never reads on of a dog that it gave back.
    #[must_use]
    pub fn is_present(&self, puppy: &Puppy) -> bool {
        let Some(returned) = &puppy.returned else {
            return true;
        };
        self.leaves
            .or(self.reserved)
            .is_some_and(|day| day >= returned.on)
    }
}

/// Somebody on the waiting list.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Waiting {
    /// Name.
    pub name: Text,
    /// Since when.
    #[schemars(title = "Waiting since")]
    pub since: Option<Day>,
    /// What they look for.
    #[schemars(extend("x-long" = true), title = "Looks for")]
    pub wants: Option<Text>,
    /// E-mail.
    #[schemars(title = "E-mail")]
    pub email: Option<Email>,
    /// Telephone.
    #[schemars(title = "Telephone")]
    pub phone: Option<Text>,
    /// For the keeper alone.
    #[schemars(extend("x-long" = true))]
    pub remarks: Option<Text>,
}
