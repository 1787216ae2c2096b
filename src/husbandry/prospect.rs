//! A mating that is only thought of: what lies behind it, which tests are missing or run out, and
//! the rules beside it.
//!
//! In: two dogs, and the days on which they might be mated. Out: a [`Prospect`];
//! [`Litters::prospect`](super::Litters::prospect) makes one.

use super::seasons::Window;
use super::{MatingAncestry, pedigree, rules};
use crate::quantity::{Day, Id};
use crate::records::Dogs;
use crate::records::dog::{Screening, Sex};
use pedigree::genes::{place_in_list, same_test};
use std::collections::BTreeSet;

/// What is known of a mating that is only thought of.
#[derive(Debug, Clone)]
pub struct Prospect {
    /// Inbreeding of the puppies.
    pub inbreeding: pedigree::Inbreeding,
    /// What lies behind the mating.
    pub behind: MatingAncestry,
    /// The closest relation that rules speak of.
    pub relation: Option<rules::Relation>,
    /// Tests that are missing or run out, by the name of the test.
    pub gaps: Vec<MissingTest>,
    /// The rules of region and registries that speak of a mating.
    pub rules: Vec<PairRules>,
}

/// The rules of one book beside a mating that is only thought of.
#[derive(Debug, Clone)]
pub struct PairRules {
    /// The book.
    pub book: &'static rules::RuleBook,
    /// Rules that speak of the dam alone: they are the same with every sire.
    pub of_dam: Vec<rules::Verdict>,
    /// Rules that speak of the sire or of both.
    pub of_both: Vec<rules::Verdict>,
}

/// A test that one of the two lacks.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct MissingTest {
    /// Whose.
    pub of: Sex,
    /// The test, as it was first written.
    pub test: String,
    /// What is wrong.
    pub why: TestFault,
}

/// What is wrong with a test.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum TestFault {
    /// The other one has a result, this one none.
    NoResult,
    /// Its certificate ran out on this day.
    RanOut(Day),
    /// Its certificate runs out on this day, before the mating can be over.
    RunsOut(Day),
}

/// Tests that one of the two has and the other has not, and those whose certificate does not last
/// until the mating.
#[must_use]
pub fn gaps(dogs: &Dogs, sire: &Id, dam: &Id, days: Window, today: Day) -> Vec<MissingTest> {
    let tests = |id: &Id| dogs.get(id).map_or(&[][..], |dog| &dog.screening);
    let both = [(Sex::Male, tests(sire)), (Sex::Female, tests(dam))];
    let mut seen = BTreeSet::new();
    let mut names: Vec<(String, &str)> = both
        .iter()
        .flat_map(|(_, list)| *list)
        .map(|s| (same_test(&s.test), s.test.as_str()))
        .collect();
    names.retain(|(key, _)| seen.insert(key.clone()));
    names.sort_by_cached_key(|(key, test)| (place_in_list(test), key.clone()));
    let mut gaps = Vec::new();
    for (key, test) in names {
        for (of, list) in both {
            // Of several results the one that lasts longest counts, and one without a last day
            // lasts for ever.
            let own: Vec<&Screening> = list.iter().filter(|s| same_test(&s.test) == key).collect();
            let why = match own.iter().map(|s| s.valid_until.unwrap_or(Day::LAST)).max() {
                None => TestFault::NoResult,
                Some(until) if until < today => TestFault::RanOut(until),
                Some(until) if until < days.to => TestFault::RunsOut(until),
                Some(_) => continue,
            };
            gaps.push(MissingTest {
                of,
                test: test.to_owned(),
                why,
            });
        }
    }
    gaps
}

/// Tests of either parent whose certificates had run out on the day of a mating.
#[must_use]
pub fn run_out_on(dogs: &Dogs, sire: &Id, dam: &Id, mated: Day) -> Vec<MissingTest> {
    let day = Window {
        from: mated,
        to: mated,
    };
    let mut gaps = gaps(dogs, sire, dam, day, mated);
    gaps.retain(|gap| matches!(gap.why, TestFault::RanOut(_)));
    gaps
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing::day;

    #[test]
    fn what_one_has_and_the_other_has_not_is_a_gap_and_so_is_what_runs_out() {
        let dogs: Dogs = [
            (
                "s",
                "sex: male\nscreening: [{ test: eyes, result: clear, on: 2024-01-01, valid_until: \
                 2025-01-01 }, { test: hips, result: A }]",
            ),
            (
                "d",
                "sex: female\nscreening: [{ test: Eyes, result: clear, valid_until: 2025-08-01 }, \
                 { test: vWD, result: clear }, { test: hips, result: B, valid_until: 2020-01-01 \
                 }, { test: hips, result: A }]",
            ),
        ]
        .into_iter()
        .map(|(id, yaml)| {
            (
                id.parse().unwrap(),
                serde_yaml::from_str(&format!("name: {id}\n{yaml}")).unwrap(),
            )
        })
        .collect();
        let days = Window {
            from: day("2025-07-01"),
            to: day("2025-09-01"),
        };
        let found = gaps(
            &dogs,
            &"s".parse().unwrap(),
            &"d".parse().unwrap(),
            days,
            day("2025-06-01"),
        );
        let gap = |of, test: &str, why| MissingTest {
            of,
            test: test.to_owned(),
            why,
        };
        assert_eq!(
            found,
            [
                gap(Sex::Male, "eyes", TestFault::RanOut(day("2025-01-01"))),
                gap(Sex::Female, "eyes", TestFault::RunsOut(day("2025-08-01"))),
                gap(Sex::Male, "vWD", TestFault::NoResult),
            ]
        );
        let on = |mated: &str| {
            run_out_on(
                &dogs,
                &"s".parse().unwrap(),
                &"d".parse().unwrap(),
                day(mated),
            )
        };
        assert_eq!(
            on("2025-07-20"),
            [gap(Sex::Male, "eyes", TestFault::RanOut(day("2025-01-01")))]
        );
        // The last day still counts.
        assert_eq!(on("2025-01-01"), []);
    }
}
