//! Small types that a finding is made of, where they hold no text of a keeper.
//!
//! In: nothing. Out: [`Start`], [`ClosedCall`], [`DamStage`], [`WindowOf`], [`CallTime`],
//! [`LowHormone`].

#[cfg(doc)]
use super::Noticed;
use crate::findings::FindingRule;
use crate::gestation::Anchor;

/// What later weights are held against.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Start {
    /// The birth weight.
    Birth,
    /// A weight of the first day, since the birth weight is missing.
    Weighed {
        /// Hours since birth.
        hours: f64,
        /// Whether the time of the birth is known.
        is_timed: bool,
        /// Whether it is the first weight, or a later one that was higher.
        is_first: bool,
    },
}

/// What a call that is closed was for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ClosedCall {
    /// [`Noticed::TotalLoss`].
    TotalLoss,
    /// [`Noticed::LateLoss`].
    LateLoss,
    /// [`Noticed::EarlyLoss`].
    EarlyLoss,
    /// [`Noticed::UnderBirthWeight`].
    UnderBirthWeight,
    /// [`Noticed::NoGain`].
    NoGain,
}

impl ClosedCall {
    /// The rule of the call.
    pub(in crate::findings) fn rule(self) -> FindingRule {
        match self {
            Self::TotalLoss => FindingRule::TotalLoss,
            Self::LateLoss => FindingRule::LateLoss,
            Self::EarlyLoss => FindingRule::EarlyLoss,
            Self::UnderBirthWeight => FindingRule::UnderBirthWeight,
            Self::NoGain => FindingRule::NoGain,
        }
    }
}

/// When the temperature of a dam was taken.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DamStage {
    /// Before the birth.
    Expecting,
    /// In the first 24 hours after it.
    FirstDay,
    /// Later.
    Later,
}

/// What a window that has ended was counted from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum WindowOf {
    /// A first sample of progesterone that was over the border already.
    FirstSample,
    /// The end of a window that is wide.
    Wide(Anchor),
    /// A mating, and the day by which most are born.
    Mating {
        /// That day, counted from the mating.
        most_by: i64,
    },
}

/// What low progesterone before a birth says.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LowHormone {
    /// It is too early for a birth.
    TooEarly,
    /// Birth is near.
    BirthIsNear,
    /// Birth should have come.
    NoBirth,
}

/// Where today lies beside the time to call when there is no birth.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CallTime {
    /// On a day to come.
    ToCome,
    /// Today.
    Today,
    /// It has passed.
    Passed,
}
