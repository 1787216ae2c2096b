//! What is said of a weight, in words that a terminal and a page share.
//!
//! In: figures of `husbandry::weighing`, the records. Out: phrases, and the unit of a bare number.

use crate::husbandry::growth::{Point, WeightChange};
use crate::husbandry::weighing::{WeightVerdict, ago};
use crate::quantity::{
    WeightUnit, percent_difference, weight_difference, whole_percent_difference,
};
use crate::records::kennel::Units;
use crate::records::{LitterFolder, Records};

/// The unit of a bare number: the last that the litter's `weights.yaml` names, or else the
/// kennel's.
pub(crate) fn unit(records: &Records, litter: &LitterFolder) -> WeightUnit {
    let usual = if records.kennel.units == Units::Ounces {
        WeightUnit::Ounce
    } else {
        WeightUnit::Gram
    };
    litter.bare_unit.unwrap_or(usual)
}

/// `+9 g (+3.5 %) in 12 h, +26 % since birth`.
pub(crate) fn change(said: &WeightVerdict, ounces: bool) -> String {
    let since_birth = said
        .since_birth
        .map(|percent| format!("{} since birth", whole_percent_difference(percent)));
    let change = said.change.map(|change| difference(&change, ounces));
    let parts: Vec<String> = [change, since_birth].into_iter().flatten().collect();
    if parts.is_empty() {
        "its first weight".to_owned()
    } else {
        parts.join(", ")
    }
}

fn difference(change: &WeightChange, ounces: bool) -> String {
    let WeightChange {
        grams,
        percent,
        hours,
    } = *change;
    let (amount, share) = (
        weight_difference(grams, ounces),
        percent_difference(percent),
    );
    format!("{amount} ({share}) in {}", ago(hours))
}

/// `259 g 12 h ago`.
pub(crate) fn last(last: Option<&Point>, hours: f64, ounces: bool) -> String {
    match last {
        None => "not weighed yet".to_owned(),
        Some(point) if point.is_birth => {
            format!("{} at birth, {} ago", point.weight.show(ounces), ago(hours))
        }
        Some(point) => format!("{} {} ago", point.weight.show(ounces), ago(hours)),
    }
}
