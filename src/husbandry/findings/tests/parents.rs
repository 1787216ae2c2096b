//! Tests of the parents: genes before the birth, and examinations that had run out at the mating.

use super::{Noticed, findings};
use crate::findings::{FindingRule, Urgency};
use crate::testing::kennel;

/// What is found of a litter, its parents' files and its record given from the mating on.
fn found(today: &str, dam: &str, sire: &str, litter: &str) -> Vec<(FindingRule, Urgency, Noticed)> {
    let records = kennel(
        today,
        None,
        &[
            ("dogs/d.yaml", &format!("name: D\nsex: female\n{dam}")),
            ("dogs/s.yaml", &format!("name: S\nsex: male\n{sire}")),
            (
                "litters/l/litter.yaml",
                &format!("name: L\ndam: d\nsire: s\nmated: [2026-08-04]\n{litter}"),
            ),
        ],
    );
    let of_parents = [
        FindingRule::AffectedExpected,
        FindingRule::MerleToMerle,
        FindingRule::ParentUntested,
        FindingRule::TestRanOut,
    ];
    findings(&records)
        .filter(|f| of_parents.contains(&f.rule()))
        .map(|f| (f.rule(), f.urgency, f.noticed))
        .collect()
}

fn rules(dam: &str, sire: &str) -> Vec<(FindingRule, Urgency)> {
    let found = found("2026-08-20", dam, sire, "");
    found
        .into_iter()
        .map(|(rule, urgency, _)| (rule, urgency))
        .collect()
}

fn tested(tests: &str) -> String {
    format!("screening: [{tests}]\n")
}

#[test]
fn what_genes_may_do_to_the_puppies_is_a_watch_before_the_birth() {
    // Mendel 1866: of two carriers a quarter, of an affected one and an unknown up to all.
    let dam = tested("{ test: prcd-PRA, result: carrier }, { test: DM, result: affected }");
    let sire =
        tested("{ test: PRA (prcd), result: carrier }, { test: DCM Holter, result: normal }");
    assert_eq!(
        rules(&dam, &sire),
        [
            (FindingRule::AffectedExpected, Urgency::Watch),
            (FindingRule::ParentUntested, Urgency::Watch)
        ]
    );
    // A test of the other ends it.
    let sire = tested("{ test: prcd PRA, result: clear }, { test: DM, result: clear }");
    assert_eq!(rules(&dam, &sire), []);
    let born = "birth: { on: 2026-10-05, how: natural }\n";
    assert_eq!(found("2026-10-06", &dam, "", born), []);
}

#[test]
fn two_merle_parents_are_a_watch_whichever_way_it_is_known() {
    // Merle is not mated to merle (common practice, no source).
    let merle = [(FindingRule::MerleToMerle, Urgency::Watch)];
    let locus = tested("{ test: M locus, result: M/m }");
    assert_eq!(rules("colour: blue merle\n", "colour: red merle\n"), merle);
    assert_eq!(rules("colour: blue merle\n", &locus), merle);
    assert_eq!(rules(&locus, &locus), merle);
    assert_eq!(rules("colour: black\n", &locus), []);
    assert_eq!(rules(&tested("{ test: M locus, result: m/m }"), &locus), []);
}

#[test]
fn an_examination_that_had_run_out_at_the_mating_is_a_watch_until_two_weeks_after_the_birth() {
    let eyes = |until: &str| {
        tested(&format!(
            "{{ test: eye examination, result: clear, on: 2023-02-13, valid_until: {until} }}"
        ))
    };
    let names = |today: &str, dam: &str, litter: &str| -> Vec<FindingRule> {
        let found = found(today, dam, "", litter);
        found.into_iter().map(|(rule, _, _)| rule).collect()
    };
    let old = eyes("2024-02-12");
    let born = "birth: { on: 2026-10-05, how: natural }\n";
    assert_eq!(names("2026-08-20", &old, ""), [FindingRule::TestRanOut]);
    assert_eq!(names("2026-10-08", &old, born), [FindingRule::TestRanOut]);
    assert_eq!(names("2026-10-20", &old, born), []);
    // It counts through its last day, and what ran out later was good at the mating.
    assert_eq!(names("2026-10-08", &eyes("2026-08-04"), born), []);
    assert_eq!(
        names("2026-10-08", &eyes("2026-08-03"), born),
        [FindingRule::TestRanOut]
    );
    // A newer result ends it.
    let newer = "screening: [{ test: eyes, result: clear, valid_until: 2024-02-12 }, { test: \
                 Eyes, result: clear, on: 2026-08-10, valid_until: 2027-08-09 }]\n";
    assert_eq!(names("2026-10-08", newer, born), []);
}
