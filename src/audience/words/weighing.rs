//! What makes one doubt a weight that was just read from the scale, in words.
//!
//! In: a doubt. Out: a phrase without full stop.

use super::findings;
use crate::husbandry::weighing::{DoubtReason, LastOfOther, ago};
use crate::quantity::Weight;

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
                ago(change.hours),
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
