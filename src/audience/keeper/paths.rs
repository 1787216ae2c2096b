//! Where the pages of the book stand, below its root.

use crate::quantity::Id;

/// A litter's page.
#[must_use]
pub fn litter(id: &Id) -> String {
    format!("litters/{id}.html")
}

/// A bitch's page.
#[must_use]
pub fn bitch(id: &Id) -> String {
    format!("bitches/{id}.html")
}

/// A puppy's page.
pub(super) fn puppy(litter: &Id, puppy: &Id) -> String {
    format!("litters/{litter}/{puppy}.html")
}

/// The sheet for the clinic of a litter.
pub(super) fn clinic(litter: &Id) -> String {
    format!("clinic/{litter}.html")
}

/// The weigh-in sheet of a litter.
pub(super) fn weighing(id: &Id) -> String {
    format!("litters/{id}-weighing.html")
}
