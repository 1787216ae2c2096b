//! Rules on what a puppy is fed by hand.
//!
//! In: its feeding beside the published need, its weights. Out: findings. A comparison, never a
//! plan: what a puppy is given, the vet says. What it drinks from its dam nobody knows; its weight
//! tells whether it gets enough, so that a gain of the same day is the last word.

use super::growth::gains_well;
use super::{Noticed, PuppyCase, Urgency};
use crate::feeding::{Energetic, Feeding};
use crate::quantity::{Moment, shown};
use crate::thresholds::{FED_SHARE, FED_SHARE_CALL, FIRST_DAYS};

/// Hours before the last feed in which it has to have been weighed for its gain to count.
const SAME_DAY: i64 = 24;

/// Findings about one puppy.
pub(super) fn rules(case: &mut PuppyCase<'_>) {
    let Some(&Feeding {
        goes_on: true,
        feeds,
        last,
        energetic:
            Some(Energetic {
                per_kg,
                need,
                is_most,
            }),
        ..
    }) = case.own.feeding.as_ref()
    else {
        return;
    };
    let share = per_kg / need * 100.0;
    if share >= FED_SHARE.value || gains_since(case, last) {
        return;
    }
    let is_motherless = case.figures.dam_died.is_some();
    let urgency = if is_motherless && share < FED_SHARE_CALL.value {
        Urgency::CallTheVet
    } else {
        Urgency::Watch
    };
    let noticed = Noticed::FedTooLittle {
        per_kg,
        need,
        is_most,
        feeds,
        last,
        is_motherless,
        limit: FED_SHARE,
    };
    case.find(urgency, noticed);
}

/// Whether it was weighed in the day of these feeds, and gains as it should.
fn gains_since(case: &PuppyCase<'_>, fed: Moment) -> bool {
    let last = case.own.growth.points.last().filter(|last| !last.is_birth);
    let is_fresh = last.is_some_and(|last| (fed.local() - last.at.local()).num_hours() <= SAME_DAY);
    is_fresh && gains_enough(case)
}

/// Whether it gains as it should by its latest weight. In the first days, whose loss the gain still
/// holds, any gain will do.
fn gains_enough(case: &PuppyCase<'_>) -> bool {
    let points = &case.own.growth.points;
    let Some(last) = points.last() else {
        return false;
    };
    if last.days > FIRST_DAYS {
        return gains_well(case, FIRST_DAYS);
    }
    let own = case.own.trend.map(|trend| shown(trend.per_day) > 0.0);
    own.unwrap_or_else(|| {
        points.len() > 1
            && points
                .iter()
                .all(|p| p.at == last.at || p.weight < last.weight)
    })
}

#[cfg(test)]
mod tests {
    use super::super::tests::{findings, puppy, records};
    use super::super::{FindingRule, Noticed, Urgency};
    use crate::records::Records;

    /// What is said of the feeding of puppy `a`, born on 2026-10-01 at 08:00.
    fn of_a(records: &Records) -> Vec<(FindingRule, Urgency)> {
        findings(records)
            .filter(|f| f.puppy.as_ref().is_some_and(|id| id.as_str() == "a"))
            .map(|f| (f.rule(), f.urgency))
            .filter(|(rule, _)| matches!(rule, FindingRule::FedTooLittle | FindingRule::Steady))
            .collect()
    }

    /// Six feeds on each of two days, the 4th and the 5th of October.
    fn fed(ml: f64, energy: &str) -> String {
        let hours = [0, 4, 8, 12, 16, 20];
        let at = [4, 5]
            .into_iter()
            .flat_map(|day| hours.map(|hour| (day, hour)));
        at.map(|(day, hour)| {
            format!(
                "- {{ at: 2026-10-{day:02} {hour:02}:00, for: a, feed: {{ what: milk, amount: {ml} \
                 ml{energy} }} }}\n"
            )
        })
        .collect()
    }

    const KNOWN: &str = ", energy: 1 kcal/ml";
    const WATCH: [(FindingRule, Urgency); 1] = [(FindingRule::FedTooLittle, Urgency::Watch)];

    /// Weights up to a day of October, twice a day, growing so much a day.
    fn weights(until: u32, per_day: f64) -> String {
        (4..2 * until)
            .map(|half| {
                let (day, hour) = (half / 2, if half % 2 == 0 { "08" } else { "20" });
                let grams = 400.0 * per_day.powf(f64::from(half - 2) / 2.0);
                format!("- {{ at: 2026-10-{day:02} {hour}:00, a: {grams:.0} g }}\n")
            })
            .collect()
    }

    #[test]
    fn under_three_quarters_of_the_published_need_is_a_watch() {
        // Dog Owner's Home Veterinary Handbook: 60 kcal per lb and day in week 1, 132 kcal/kg: for
        // 400 g 52.8 kcal, three quarters of which are 39.6: 6.6 ml of 1 kcal/ml in each of 6.
        let with = |ml: f64| {
            let weights = "- { at: 2026-10-03 08:00, a: 400 g }\n";
            of_a(&records(
                5,
                &puppy("a", "400 g"),
                weights,
                &fed(ml, KNOWN),
                "",
            ))
        };
        assert_eq!(with(6.7), []);
        assert_eq!(with(6.5), WATCH);
        assert_eq!(with(2.0), WATCH);
    }

    #[test]
    fn a_gain_of_the_same_day_is_the_last_word() {
        let with = |until: u32, per_day: f64| {
            let weights = weights(until, per_day);
            of_a(&records(
                5,
                &puppy("a", "400 g"),
                &weights,
                &fed(3.0, KNOWN),
                "",
            ))
        };
        // Small Animal Clinical Nutrition, 5th ed., table 16-1: 5 to 10 % a day in week 1.
        assert_eq!(with(5, 1.07), [(FindingRule::Steady, Urgency::Steady)]);
        assert_eq!(with(5, 1.02), WATCH, "it gains, and too little");
        assert_eq!(
            with(3, 1.07),
            WATCH,
            "the last weight is of two days before"
        );
    }

    #[test]
    fn without_its_energy_milk_is_taken_for_the_richest() {
        // Our own limit: no milk for puppies has more than 2 kcal/ml.
        let with = |ml: f64, more: &str| {
            let weights = "- { at: 2026-10-03 08:00, a: 400 g }\n";
            let health = fed(ml, "") + more;
            of_a(&records(5, &puppy("a", "400 g"), weights, &health, ""))
        };
        assert_eq!(with(3.2, ""), WATCH, "38.4 kcal at most");
        assert_eq!(with(3.4, ""), [], "40.8 kcal at most");
        let drops = "- { at: 2026-10-05 20:30, for: a, feed: { what: milk, amount: a few } }\n";
        assert_eq!(with(3.2, drops), [], "nobody knows how much that was");
    }

    #[test]
    fn half_of_it_is_a_call_when_there_is_no_dam_to_drink_from() {
        let with = |ml: f64, gain: f64| {
            let mut records = records(
                5,
                &puppy("a", "400 g"),
                &weights(5, gain),
                &fed(ml, KNOWN),
                "",
            );
            for dog in records.dogs.values_mut() {
                dog.died = Some("2026-10-03".parse().unwrap());
            }
            of_a(&records)
        };
        assert_eq!(
            with(4.0, 1.0),
            [(FindingRule::FedTooLittle, Urgency::CallTheVet)],
            "24 of 52.8 kcal"
        );
        assert_eq!(with(5.0, 1.0), WATCH, "30 of 52.8 kcal");
        assert_eq!(with(4.0, 1.07), [], "another dam may nurse it");
    }

    #[test]
    fn less_than_a_day_of_feeds_and_feeds_of_the_day_before_yesterday_say_nothing() {
        let weights = "- { at: 2026-10-03 08:00, a: 400 g }\n";
        let few = "- { at: 2026-10-05 06:00, for: a, feed: { what: milk, amount: 2 ml, energy: 1 \
                   kcal/ml } }\n- { at: 2026-10-05 12:00, for: a, feed: { what: milk, amount: 2 ml \
                   } }\n";
        let with = |today: u32, feeds: &str| {
            of_a(&records(today, &puppy("a", "400 g"), weights, feeds, ""))
        };
        assert_eq!(with(5, few), []);
        assert_eq!(with(6, &fed(2.0, KNOWN)), WATCH);
        assert_eq!(with(7, &fed(2.0, KNOWN)), []);
    }

    #[test]
    fn it_is_told_with_both_figures() {
        let weights = "- { at: 2026-10-03 08:00, a: 400 g }\n";
        let records = records(5, &puppy("a", "400 g"), weights, &fed(2.0, KNOWN), "");
        let found = findings(&records);
        let told = found.filter_map(|f| match &f.noticed {
            Noticed::FedTooLittle {
                per_kg,
                need,
                feeds,
                is_most,
                ..
            } => Some((per_kg.round(), *need, *feeds, *is_most)),
            _ => None,
        });
        assert_eq!(told.collect::<Vec<_>>(), [(30.0, 132.0, 6, false)]);
    }
}
