//! How often an item of the care plan comes again, and what has to be said beside it.
//!
//! In: a remark, or how often. Out: a phrase without full stop.

use crate::husbandry::care::{Every, Remark, WhyNot};
use crate::quantity::days_said;

/// How often an item comes again.
#[must_use]
pub fn every(every: Every) -> String {
    match every {
        Every::Once => "once".to_owned(),
        Every::Fading => "daily in week 1, every second day in week 2, then weekly".to_owned(),
        Every::Days(7) => "weekly".to_owned(),
        Every::Days(1) => "daily".to_owned(),
        Every::Days(days) => format!("every {days} days"),
        Every::Always => "all the time".to_owned(),
    }
}

/// The remark.
#[must_use]
pub fn remark(remark: &Remark) -> String {
    let said = match remark {
        Remark::NotCounted { on, why } => match why {
            WhyNot::NotSaid => format!(
                "the vaccination of {on} is not counted, since its entry does not say against \
                 what it is: add `against:`"
            ),
            WhyNot::Lacks(diseases) => {
                let names: Vec<&str> = diseases.iter().map(|disease| disease.name()).collect();
                format!(
                    "the vaccination of {on} is not counted, since `against:` does not name {}",
                    names.join(" and ")
                )
            }
            WhyNot::Interrupted(days) => format!(
                "the vaccination of {on} came {days} days after the one before and begins the \
                 series again: ask the vet"
            ),
            WhyNot::TooSoon(from) => {
                format!("the vaccination of {on} is not counted: too soon, it counts from {from}")
            }
        },
        Remark::LongAfter { days, most } => format!(
            "given {days} days after the one before, and the guideline says {most} at most: ask \
             the vet whether one more is needed"
        ),
        Remark::InPlaceOf { until, name } => {
            format!("{name} was due by {until} and is not recorded")
        }
    };
    days_said(&said)
}

/// A remark after what it is about: `; …`, or nothing.
pub(crate) fn after(beside: Option<&Remark>) -> String {
    beside.map_or_else(String::new, |beside| format!("; {}", remark(beside)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_dose_that_does_not_count_says_why_and_what_to_do() {
        let day = |text: &str| text.parse().unwrap();
        let not_counted = |why| {
            remark(&Remark::NotCounted {
                on: day("2026-11-20"),
                why,
            })
        };
        assert!(not_counted(WhyNot::NotSaid).ends_with("add `against:`"));
        assert_eq!(
            not_counted(WhyNot::TooSoon(day("2026-11-26"))),
            "the vaccination of 20 November 2026 is not counted: too soon, it counts from 26 \
             November 2026"
        );
        assert!(not_counted(WhyNot::Interrupted(80)).contains("came 80 days after"));
        let late = Remark::InPlaceOf {
            until: day("2026-10-19"),
            name: "Worming at 2 weeks".to_owned(),
        };
        assert_eq!(
            after(Some(&late)),
            "; Worming at 2 weeks was due by 19 October 2026 and is not recorded"
        );
        assert_eq!(after(None), "");
    }
}
