//! Families and the waiting list for the export.
//!
//! In: `owners.yaml`. Out: the same, field by field.

use super::amounts::{day, text};
use crate::quantity::Id;
use crate::records::kennel::Email;
use crate::records::owners::{Family, Owners, Takes, Waiting};
use schemars::JsonSchema;
use serde::Serialize;

/// A family.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct FamilyExport {
    pub id: String,
    pub name: String,
    pub email: Option<String>,
    pub phone: Option<String>,
    pub address: Option<String>,
    pub country: Option<String>,
    pub region: Option<String>,
    pub remarks: Option<String>,
    pub takes: Vec<TakesExport>,
}

/// A puppy taken by a family.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct TakesExport {
    pub litter: String,
    pub puppy: String,
    pub reserved: Option<String>,
    pub leaves: Option<String>,
    pub price: Option<String>,
    pub deposit: Option<String>,
}

/// Somebody on the waiting list.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct WaitingExport {
    pub name: String,
    pub since: Option<String>,
    pub wants: Option<String>,
    pub email: Option<String>,
    pub phone: Option<String>,
    pub remarks: Option<String>,
}

/// Families and waiting list; of one litter, the families that take a puppy of it, and nobody who
/// waits.
pub(super) fn people(
    owners: &Owners,
    only: Option<&Id>,
) -> (Vec<FamilyExport>, Vec<WaitingExport>) {
    let Owners { families, waiting } = owners;
    let meant = |family: &&Family| {
        only.is_none_or(|litter| family.takes.iter().any(|takes| takes.litter == *litter))
    };
    let waiting = if only.is_some() {
        Vec::new()
    } else {
        waiting.iter().map(waits).collect()
    };
    (
        families
            .iter()
            .filter(meant)
            .map(|f| family(f, only))
            .collect(),
        waiting,
    )
}

fn family(family: &Family, only: Option<&Id>) -> FamilyExport {
    let Family {
        id,
        name,
        email,
        phone,
        address,
        country,
        region,
        takes,
        remarks,
    } = family;
    FamilyExport {
        id: id.to_string(),
        name: name.to_string(),
        email: email.as_ref().map(|Email(email)| email.to_string()),
        phone: text(phone),
        address: text(address),
        country: text(country),
        region: text(region),
        remarks: text(remarks),
        takes: takes
            .iter()
            .filter(|takes| only.is_none_or(|litter| takes.litter == *litter))
            .map(taken)
            .collect(),
    }
}

fn taken(takes: &Takes) -> TakesExport {
    let Takes {
        litter,
        puppy,
        reserved,
        leaves,
        price,
        deposit,
    } = takes;
    TakesExport {
        litter: litter.to_string(),
        puppy: puppy.to_string(),
        reserved: day(*reserved),
        leaves: day(*leaves),
        price: text(price),
        deposit: text(deposit),
    }
}

fn waits(waiting: &Waiting) -> WaitingExport {
    let Waiting {
        name,
        since,
        wants,
        email,
        phone,
        remarks,
    } = waiting;
    WaitingExport {
        name: name.to_string(),
        since: day(*since),
        wants: text(wants),
        email: email.as_ref().map(|Email(email)| email.to_string()),
        phone: text(phone),
        remarks: text(remarks),
    }
}
