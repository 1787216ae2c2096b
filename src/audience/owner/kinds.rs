//! What an entry of the record tells of, and how an item of the care plan stands.
//!
//! In: nothing; these are types. Out: in the record each is one word of its format.

use crate::records::care_plan::CareKind;
use crate::records::words;
use serde::{Serialize, Serializer};

/// What an entry tells of, in the order in which a paper shows them.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum EventKind {
    /// A treatment against worms.
    Worming,
    /// A vaccination.
    Vaccination,
    /// A check by a vet.
    Check,
    /// An illness.
    Illness,
    /// A treatment of anything but parasites.
    Treatment,
    /// A treatment against fleas and ticks.
    Parasite,
    /// A test by a laboratory or a specialist.
    Test,
    /// A microchip that was implanted.
    Chip,
    /// A temperature that was taken.
    Temperature,
    /// A feed.
    Feed,
    /// What the family told of the grown puppy.
    FollowUp,
    /// An item of the care plan that was done or is not needed, and no more.
    Care,
}

/// How an item of the care plan stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CareState {
    /// It was done.
    Done,
    /// It need not be done.
    NotNeeded,
    /// It was due, and has no entry.
    NotRecorded,
    /// It falls to the breeder, and has no entry yet.
    BeforeLeaving,
    /// It is still to come.
    Open,
}

words! {
    EventKind {
        Worming "worming", Vaccination "vaccination", Check "check", Illness "illness",
        Treatment "treatment", Parasite "parasite", Test "test", Chip "chip",
        Temperature "temperature", Feed "feed", FollowUp "follow-up", Care "care"
    }
    CareState {
        Done "done", NotNeeded "not needed", NotRecorded "not recorded",
        BeforeLeaving "before leaving", Open "open"
    }
}

impl Serialize for EventKind {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        to.serialize_str(self.word())
    }
}

impl Serialize for CareState {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        to.serialize_str(self.word())
    }
}

/// Records are read and never written from their types, so that this kind has no way of its own.
#[allow(
    clippy::trivially_copy_pass_by_ref,
    reason = "serde passes a reference"
)]
pub(super) fn care_kind<S: Serializer>(kind: &CareKind, to: S) -> Result<S::Ok, S::Error> {
    to.serialize_str(kind.word())
}
