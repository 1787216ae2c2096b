//! What comes before a birth, in words: windows, and the drop of the dam's temperature.
//!
//! In: windows, a drop. Out: phrases without full stop.

use super::moment;
use crate::husbandry::findings::{CallTime, LowHormone, WindowOf};
use crate::husbandry::gestation::Due;
use crate::husbandry::gestation::temperature::{Drop, RoseAgain};
use crate::quantity::{Day, Progesterone};

pub(super) fn window_of(from: WindowOf) -> String {
    match from {
        WindowOf::FirstSample => "a first sample that was over the border already".to_owned(),
        WindowOf::Wide(anchor) => anchor.words().to_owned(),
        WindowOf::Mating { most_by } => format!("mating (most are born by day {most_by})"),
    }
}

pub(super) fn window(due: &Due) -> String {
    format!("{} gives {} to {}", due.anchor.words(), due.from, due.to)
}

pub(super) fn dropped(drop: &Drop, time: CallTime) -> String {
    let Drop {
        reading,
        sign: _,
        birth: [first, middle, last],
        call,
    } = drop;
    let seen = format!(
        "her temperature fell to {} on {}",
        reading.temperature,
        moment(reading.day, reading.at)
    );
    match time {
        CallTime::Passed => format!("{seen}, and 24 h have passed without a birth recorded"),
        CallTime::Today => format!(
            "{seen}: call when there is no birth by {call}; birth is likely from {first} to {last}"
        ),
        CallTime::ToCome => format!(
            "{seen}: birth is likely from {first} to {last}, most likely about {middle}; call \
             when there is none by {call}"
        ),
    }
}

/// Progesterone that has fallen before a birth.
pub(super) fn low_progesterone(on: Day, value: Progesterone, state: LowHormone) -> String {
    let what = match state {
        LowHormone::TooEarly => {
            "that is too early for a birth, and such a litter may be lost: the vet should hear of \
             it today"
        }
        LowHormone::BirthIsNear => "birth is likely within two days; call when it does not come",
        LowHormone::NoBirth => "birth was to come within two days, and none is recorded",
    };
    format!("her progesterone had fallen to {value} on {on}: {what}")
}

/// What looked like the drop, and was none or is long past.
#[must_use]
pub fn rose_again(readings: &RoseAgain) -> String {
    let RoseAgain { low, warm } = readings;
    format!(
        "her temperature fell to {} on {} and was {} again on {}, without a birth recorded: was it \
         the drop, a vet should hear of it; if not, the next one counts",
        low.temperature,
        moment(low.day, low.at),
        warm.temperature,
        moment(warm.day, warm.at)
    )
}
