//! The family as its own page names it.
//!
//! In: a family and what was agreed with it. Out: [`FamilyRecord`]: its name and the day.
//! Addresses, price and remarks stay with the keeper: the record goes on to vets.

use super::{FamilyRecord, iso};
use crate::records::owners::{Family, Takes};

pub(super) fn family(family: &Family, takes: &Takes) -> FamilyRecord {
    let Family {
        id: _,
        name,
        email: _,
        phone: _,
        address: _,
        country: _,
        region: _,
        takes: _,
        remarks: _,
    } = family;
    let Takes {
        litter: _,
        puppy: _,
        reserved: _,
        leaves,
        price: _,
        deposit: _,
    } = takes;
    FamilyRecord {
        name: name.to_string(),
        leaves: iso(*leaves),
    }
}
