//! Rules on what happened around a puppy: its littermates died, or its dam did.
//!
//! In: one puppy as recorded, its litter. Out: findings of the puppy, the same of all that are
//! left, so that none of them is called steady for its weight alone.

use super::{Noticed, PuppyCase, Urgency};
use crate::quantity::Day;
use crate::records::litter::{Fate, Puppy};
use crate::signs;

/// Days between two deaths that are looked at together, and after the last of them in which it is
/// a call, and worth a word; ours.
const TOGETHER: i64 = 3;
const AT_ONCE: i64 = 3;
const LATER: i64 = 7;
/// Days of life in which a puppy without its dam is fed and warmed by hand: until it eats by
/// itself (common practice, no source).
const BY_HAND: i64 = 35;

const DEATHS: &str = "common practice, no source: what took two may take the next, and a vet can \
                      often find what it was";
const ORPHANED: &str = "common practice, no source: fed by hand and kept warm until it eats by \
                        itself; a vet advises on the milk and on the first days without hers";

/// Findings about one puppy.
pub(super) fn rules(case: &mut PuppyCase<'_>) {
    deaths(case);
    orphaned(case);
}

/// Littermates that were born alive and died, by day.
fn died(case: &PuppyCase<'_>) -> Vec<(Day, String)> {
    let puppies = case.folder.litter.puppies.iter();
    let mut died: Vec<(Day, String)> = puppies
        .filter(|puppy| puppy.fate == Some(Fate::Died))
        .filter_map(|puppy| Some((puppy.on?, Puppy::shown_name(puppy))))
        .filter(|(day, _)| *day <= case.today)
        .collect();
    died.sort();
    died
}

/// Two deaths or more within a few days, until a vet has looked at the puppy since the last.
fn deaths(case: &mut PuppyCase<'_>) {
    let died = died(case);
    let Some((last, _)) = died.last() else {
        return;
    };
    let last = *last;
    let together: Vec<&(Day, String)> = died
        .iter()
        .rev()
        .scan(last, |next, known| {
            let is_near = next.since(known.0) <= TOGETHER;
            *next = known.0;
            is_near.then_some(known)
        })
        .collect();
    let since = case.today.since(last);
    let looked_at = |day: Day| (last..=case.today).contains(&day);
    let is_looked_at = case
        .folder
        .health
        .iter()
        .filter(|entry| entry.is_for(&case.puppy.id))
        .filter_map(|entry| Some((entry.day()?, entry.check.as_ref()?)))
        .any(|(day, check)| looked_at(day) && signs::closes(check, case.keeper));
    if together.len() < 2 || since > LATER || is_looked_at {
        return;
    }
    let first = together.last().map_or(last, |(day, _)| *day);
    let noticed = Noticed::LittermatesDied {
        names: together
            .iter()
            .rev()
            .map(|(_, name)| name.clone())
            .collect(),
        days: (first, last),
        source: DEATHS,
    };
    let urgency = if since <= AT_ONCE {
        Urgency::CallTheVet
    } else {
        Urgency::Watch
    };
    case.find(urgency, noticed);
}

/// A puppy that has lost its dam before it eats by itself.
fn orphaned(case: &mut PuppyCase<'_>) {
    let Some(died) = case.figures.dam_died.filter(|_| case.age <= BY_HAND) else {
        return;
    };
    let source = ORPHANED;
    case.find(Urgency::Watch, Noticed::Orphaned { died, source });
}

#[cfg(test)]
mod tests {
    use super::super::tests::{findings, puppy, records};
    use super::super::{FindingRule, Noticed, Urgency};
    use crate::compute;
    use crate::records::Records;

    /// What is said of puppy `a` around it, of a litter born on 2026-10-01.
    fn of_a(records: &Records) -> Vec<(FindingRule, Urgency)> {
        findings(records)
            .filter(|f| f.puppy.as_ref().is_some_and(|id| id.as_str() == "a"))
            .map(|f| (f.rule(), f.urgency))
            .filter(|(rule, _)| {
                matches!(
                    rule,
                    FindingRule::LittermatesDied | FindingRule::Orphaned | FindingRule::Steady
                )
            })
            .collect()
    }

    /// A litter with `a`, and one more puppy for each day of a death.
    fn with_deaths(today: u32, fate: &str, days: &[u32], health: &str) -> Records {
        let dead: String = (0..)
            .zip(days)
            .map(|(n, day)| {
                format!(
                    "  - {{ id: dead-{n}, sex: male, weight: 300 g, fate: {fate}, on: \
                     2026-10-{day:02} }}\n"
                )
            })
            .collect();
        let weights: String = (2..=today.min(7))
            .map(|day| {
                format!(
                    "- {{ at: 2026-10-{day:02} 08:00, a: {} g }}\n",
                    300 + 25 * (day - 1)
                )
            })
            .collect();
        let puppies = puppy("a", "300 g") + &dead;
        records(today, &puppies, &weights, health, "")
    }

    #[test]
    fn two_deaths_within_three_days_are_a_call_and_nobody_left_is_steady() {
        // Common practice, no source.
        let died = |today, days: &[u32]| of_a(&with_deaths(today, "died", days, ""));
        let call = [(FindingRule::LittermatesDied, Urgency::CallTheVet)];
        assert_eq!(died(7, &[4, 6]), call);
        assert_eq!(died(7, &[6, 6]), call);
        assert_eq!(died(7, &[3, 6]), call, "three days between them");
        let steady = [(FindingRule::Steady, Urgency::Steady)];
        assert_eq!(died(7, &[2, 6]), steady, "four days between them");
        assert_eq!(died(7, &[6]), steady, "one alone");
        assert_eq!(
            of_a(&with_deaths(7, "stillborn", &[1, 1], "")),
            steady,
            "born dead"
        );
        let watch = [(FindingRule::LittermatesDied, Urgency::Watch)];
        assert_eq!(died(10, &[5, 6]), watch, "four days later");
        assert_eq!(died(14, &[5, 6]), [], "more than a week later");
    }

    #[test]
    fn deaths_further_back_belong_to_it_as_long_as_each_is_near_the_next() {
        let records = with_deaths(9, "died", &[2, 5, 8], "");
        let names = findings(&records).find_map(|f| match &f.noticed {
            Noticed::LittermatesDied { names, days, .. } => {
                Some((names.len(), days.0.to_string(), days.1.to_string()))
            }
            _ => None,
        });
        assert_eq!(
            names,
            Some((3, "2026-10-02".to_owned(), "2026-10-08".to_owned()))
        );
    }

    #[test]
    fn a_vet_who_looked_at_the_puppy_after_the_last_death_closes_it() {
        let with = |on: u32| {
            let check = format!("- {{ on: 2026-10-{on:02}, for: all, check: {{ by: Vet }} }}\n");
            of_a(&with_deaths(7, "died", &[4, 6], &check))
        };
        assert_eq!(
            with(5),
            [(FindingRule::LittermatesDied, Urgency::CallTheVet)]
        );
        assert_eq!(with(6), [(FindingRule::Steady, Urgency::Steady)]);
    }

    #[test]
    fn a_puppy_without_its_dam_is_never_called_steady_and_she_has_no_tasks() {
        let mut records = with_deaths(7, "died", &[], "");
        for dog in records.dogs.values_mut() {
            dog.died = Some("2026-10-05".parse().unwrap());
        }
        assert_eq!(of_a(&records), [(FindingRule::Orphaned, Urgency::Watch)]);
        let figures = compute(&records);
        assert!(figures.litters.values().all(|l| l.recovery.is_empty()));
    }
}
