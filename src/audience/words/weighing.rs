//! What is said of a weight, in words that a terminal and a page share: the change that it is, the
//! weight before, what makes one doubt it when it was just read from the scale.
//!
//! In: figures of `husbandry::weighing`. Out: phrases without full stop.

use super::findings;
use crate::husbandry::growth::{Point, WeightChange};
use crate::husbandry::weighing::{DoubtReason, LastOfOther, WeightVerdict};
use crate::quantity::{Weight, percent_difference, weight_difference, whole_percent_difference};

/// `+9 g (+3.5 %) in 12 h, +26 % since birth`.
#[must_use]
pub fn change(said: &WeightVerdict, ounces: bool) -> String {
    let since_birth = said
        .since_birth
        .map(|percent| format!("{} since birth", whole_percent_difference(percent)));
    let change = said.change.map(|change| in_hours(&change, ounces));
    let parts: Vec<String> = [change, since_birth].into_iter().flatten().collect();
    if parts.is_empty() {
        "its first weight".to_owned()
    } else {
        parts.join(", ")
    }
}

fn in_hours(change: &WeightChange, ounces: bool) -> String {
    let WeightChange {
        grams,
        percent,
        hours,
    } = *change;
    let (amount, share) = (
        weight_difference(grams, ounces),
        percent_difference(percent),
    );
    format!("{amount} ({share}) in {}", time(hours))
}

/// `259 g 12 h ago`.
#[must_use]
pub fn last(last: Option<&Point>, hours: f64, ounces: bool) -> String {
    match last {
        None => "not weighed yet".to_owned(),
        Some(point) if point.is_birth => {
            format!(
                "{} at birth, {} ago",
                point.weight.show(ounces),
                time(hours)
            )
        }
        Some(point) => format!("{} {} ago", point.weight.show(ounces), time(hours)),
    }
}

/// `12 h`, `3 days`.
fn time(hours: f64) -> String {
    if hours < 1.0 {
        format!("{:.0} min", (hours * 60.0).max(0.0))
    } else if hours < 48.0 {
        format!("{hours:.0} h")
    } else {
        format!("{:.0} days", hours / 24.0)
    }
}

/// What is odd; `ounces` is how the keeper reads weights.
#[must_use]
pub fn doubt(reason: &DoubtReason, ounces: bool) -> String {
    match reason {
        DoubtReason::Slip(finding) => findings::what(finding, ounces),
        DoubtReason::TooLight(weight) => {
            format!("{} is less than any puppy weighs", light(*weight, ounces))
        }
        DoubtReason::FarOff {
            weight,
            change,
            before,
            near,
        } => {
            let way = if change.percent < 0.0 { "less" } else { "more" };
            let far = format!(
                "{} is {:.0} % {way} than {} before ({})",
                weight.show(ounces),
                change.percent.abs(),
                time(change.hours),
                before.show(ounces)
            );
            match near {
                Some(LastOfOther { name, weight }) => format!(
                    "{far}, and near the last weight of {name} ({}): is it {name}?",
                    weight.show(ounces)
                ),
                None => format!("{far}: better weighed again"),
            }
        }
    }
}

/// A weight that may be lighter than a gram.
fn light(weight: Weight, ounces: bool) -> String {
    if weight.grams() < 10.0 && !ounces {
        format!("{:.2} g", weight.grams())
    } else {
        weight.show(ounces)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::husbandry::growth::WeightChange;

    #[test]
    fn a_weight_far_from_the_one_before_names_the_puppy_it_may_be() {
        let grams = |grams| Weight::from_grams(grams).unwrap();
        let far = |near| DoubtReason::FarOff {
            weight: grams(200.0),
            change: WeightChange {
                grams: -100.0,
                percent: -33.3,
                hours: 12.0,
            },
            before: grams(300.0),
            near,
        };
        assert_eq!(
            doubt(&far(None), false),
            "200 g is 33 % less than 12 h before (300 g): better weighed again"
        );
        let near = LastOfOther {
            name: "Reed".to_owned(),
            weight: grams(198.0),
        };
        assert_eq!(
            doubt(&far(Some(near)), false),
            "200 g is 33 % less than 12 h before (300 g), and near the last weight of Reed (198 \
             g): is it Reed?"
        );
        assert_eq!(
            doubt(&DoubtReason::TooLight(grams(2.5)), false),
            "2.50 g is less than any puppy weighs"
        );
    }
}
