//! Whether one finding says of a puppy what another says of its littermate.
//!
//! In: two findings. Out: yes or no.

use super::Noticed;

impl Noticed {
    /// Whether the same can be said of two puppies: littermates are not born in one minute, and a
    /// difference of an hour in their ages is none.
    pub(crate) fn is_like(&self, other: &Self) -> bool {
        let near = |one: f64, other: f64| (one - other).abs() < 1.0 / 24.0;
        let mut theirs = other.clone();
        match (self, &mut theirs) {
            (Self::EarlyLoss { days, .. }, Self::EarlyLoss { days: their, .. })
            | (Self::UnderBirthWeight { days, .. }, Self::UnderBirthWeight { days: their, .. })
            | (Self::WeekWithoutGain { days, .. }, Self::WeekWithoutGain { days: their, .. })
            | (Self::NotDoubled { days, .. }, Self::NotDoubled { days: their, .. })
            | (Self::NoGain { hours: days, .. }, Self::NoGain { hours: their, .. })
                if near(*days, *their) =>
            {
                *their = *days;
            }
            _ => {}
        }
        *self == theirs
    }
}
