//! Why a figure of the kennel is not given.
//!
//! In: how many puppies it takes, and how many there are. Out: a phrase without full stop.

use crate::husbandry::kennel::NotEnough;

/// Why a figure is not known yet.
#[must_use]
pub fn not_enough(NotEnough { have, need }: NotEnough) -> String {
    format!(
        "not known yet, because it takes {need} puppies, and there are {have}; settled by further \
         litters"
    )
}
