//! Parts of the words of findings on weights.
//!
//! In: what a weight was held against, what a call was for. Out: parts of phrases.

use crate::husbandry::findings::{ClosedCall, Start};

pub(super) fn why(call: ClosedCall) -> &'static str {
    match call {
        ClosedCall::TotalLoss => "weight lost",
        ClosedCall::LateLoss => "weight lost after four weeks",
        ClosedCall::EarlyLoss => "lighter on day 2 than at first",
        ClosedCall::UnderBirthWeight => "under its first weight",
        ClosedCall::NoGain => "no gain",
    }
}

/// `its birth weight`, or what stands for it: `its first weight, at 1.5 h`.
fn first_weight(start: Start) -> String {
    match start {
        Start::Birth => "its birth weight".to_owned(),
        Start::Weighed {
            hours,
            is_timed,
            is_first,
        } => {
            let which = if is_first {
                "its first weight"
            } else {
                "the highest weight of its first day"
            };
            if is_timed {
                format!("{which}, at {hours:.1} h")
            } else {
                format!("{which}, at about {hours:.0} h")
            }
        }
    }
}

/// The same inside a sentence.
pub(super) fn in_passing(start: Start) -> String {
    match start {
        Start::Birth => first_weight(start),
        Start::Weighed { .. } => format!("{},", first_weight(start)),
    }
}

/// That the birth weight is missing, where it is.
pub(super) fn missing(start: Start) -> &'static str {
    match start {
        Start::Birth => "",
        Start::Weighed { .. } => "; no birth weight is on record",
    }
}

pub(super) fn at_first(start: Start) -> &'static str {
    match start {
        Start::Birth => "at birth",
        Start::Weighed { .. } => "then",
    }
}

/// What a puppy that is steady was held against, where that is not its birth weight.
pub(super) fn held_against(start: Option<Start>) -> String {
    match start {
        Some(Start::Birth) => String::new(),
        Some(weighed) => format!(
            "; no birth weight is on record: loss and doubling are counted from {}",
            first_weight(weighed)
        ),
        None => "; it has no birth weight and was not weighed in its first day: a loss since \
                 birth and doubling cannot be judged"
            .to_owned(),
    }
}
