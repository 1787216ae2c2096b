//! The plan held against entries: dates worked out by hand from the published schedules.

use super::*;
use crate::records::care_plan::CarePlan;

/// A puppy born on 2024-01-01, which leaves on 2024-02-26 (56 days, by Python's datetime).
fn care(plan: &str, health: &str, today: &str) -> Care {
    let plan: CarePlan = serde_yaml::from_str(plan).unwrap();
    let health: Vec<Entry> = serde_yaml::from_str(health).unwrap();
    let puppy: Puppy = serde_yaml::from_str("{ id: a, sex: female }").unwrap();
    let day = |text: &str| text.parse::<Day>().unwrap();
    of_puppy(&items(&plan), &puppy, &health, day("2024-01-01"), day("2024-02-26"), day(today))
}

fn state(care: &Care, id: &str) -> State {
    care.standings.iter().find(|s| s.item.id == id).unwrap().state.clone()
}

fn days(care: &Care, id: &str) -> (String, String) {
    let standing = care.standings.iter().find(|s| s.item.id == id).unwrap();
    (standing.from.to_string(), standing.until.to_string())
}

#[test]
fn worming_days_of_one_birthday() {
    // ESCCAP GL1 and CAPC: 14, 28, 42, 56 days, then monthly. Born on 2024-01-01: 01-15, 01-29, 02-12, 02-26 (Python's datetime).
    let care = care("{}", "[]", "2024-01-01");
    let due: Vec<String> = care.standings.iter().filter(|s| s.item.what == CareKind::Worming).map(|s| s.from.to_string()).take(4).collect();
    assert_eq!(due, ["2024-01-15", "2024-01-29", "2024-02-12", "2024-02-26"]);
}

#[test]
fn done_due_overdue_and_to_come() {
    let health = "[{ on: 2024-01-15, for: a, worming: { product: P } }]";
    let of = |today: &str, id: &str| state(&care("{}", health, today), id);
    assert_eq!(of("2024-01-16", "worming-2-weeks"), State::Done("2024-01-15".parse().ok()));
    assert_eq!(of("2024-01-28", "worming-4-weeks"), State::ToCome);
    assert_eq!(of("2024-01-29", "worming-4-weeks"), State::Due);
    assert_eq!(of("2024-02-02", "worming-4-weeks"), State::Due, "four days of slack");
    assert_eq!(of("2024-02-03", "worming-4-weeks"), State::Overdue);
    assert_eq!(of("2024-02-12", "worming-4-weeks"), State::LeftOut, "the next has come due in its place");
}

#[test]
fn an_entry_counts_for_the_item_it_fits() {
    // The first worming was forgotten; the one on day 28 is that of four weeks.
    let late = care("{}", "[{ on: 2024-01-29, for: all, worming: { product: P } }]", "2024-01-30");
    assert_eq!(state(&late, "worming-2-weeks"), State::LeftOut);
    assert!(matches!(state(&late, "worming-4-weeks"), State::Done(_)));
    // Given on day 20 it is that of two weeks, late.
    let late = care("{}", "[{ on: 2024-01-21, for: a, worming: { product: P } }]", "2024-01-30");
    assert!(matches!(state(&late, "worming-2-weeks"), State::Done(_)));
    assert_eq!(state(&late, "worming-4-weeks"), State::ToCome, "ten days lie between two doses at least");
    // An entry for another puppy is nothing to this one.
    assert_eq!(state(&care("{}", "[{ on: 2024-01-15, for: b, worming: {} }]", "2024-01-20"), "worming-2-weeks"), State::Overdue);
}

#[test]
fn worming_a_few_days_off_the_plan_but_two_weeks_apart_is_no_fault() {
    for days in [[10, 24, 38, 52], [20, 35, 49, 63]] {
        let born: Day = "2024-01-01".parse().unwrap();
        let given =
            |n: usize| days[..n].iter().map(|d| format!("- {{ on: {}, for: a, worming: {{ product: P }} }}\n", born.plus(*d))).collect::<String>();
        // On the morning of each dose the ones before have been given, and nothing of the series is overdue.
        for n in 1..4 {
            let care = care("{}", &given(n), &born.plus(days[n]).to_string());
            let overdue: Vec<&str> =
                care.standings.iter().filter(|s| s.item.what == CareKind::Worming && s.state == State::Overdue).map(|s| s.item.id.as_str()).collect();
            assert!(overdue.is_empty(), "{days:?}, after {n}: {overdue:?}");
        }
    }
}

#[test]
fn the_second_dose_follows_the_first() {
    // WSAVA 2024: every 2 to 4 weeks. First on 2024-02-20 (day 50): the second falls between the plan's 10 and 12 weeks, and no later than four weeks after.
    let first = "[{ on: 2024-02-20, for: a, vaccination: { against: [parvovirus] } }]";
    assert_eq!(days(&care("{}", first, "2024-02-21"), "vaccination-second"), ("2024-03-11".into(), "2024-03-25".into()));
    // A vet's own date stands above the plan.
    let dated = "[{ on: 2024-02-20, for: a, vaccination: { against: [parvovirus], next_due: 2024-03-19 } }]";
    assert_eq!(days(&care("{}", dated, "2024-02-21"), "vaccination-second"), ("2024-03-12".into(), "2024-03-19".into()));
    // A first dose at 15 weeks moves the second to two weeks later at least.
    let late = "[{ on: 2024-04-15, for: a, vaccination: { against: [parvovirus] } }]";
    assert_eq!(days(&care("{}", late, "2024-04-16"), "vaccination-second"), ("2024-04-29".into(), "2024-05-13".into()));
}

#[test]
fn a_date_written_as_next_due_is_that_of_the_next_item_alone() {
    let wormed = "[{ on: 2024-01-15, for: a, worming: { product: P, next_due: 2024-01-31 } }]";
    let care = care("{}", wormed, "2024-01-16");
    assert_eq!(days(&care, "worming-4-weeks"), ("2024-01-24".into(), "2024-01-31".into()));
    assert_eq!(days(&care, "worming-6-weeks"), ("2024-02-12".into(), "2024-02-16".into()), "the plan's own days again");
}

#[test]
fn what_was_given_by_the_plan_counts_before_a_later_date_that_was_written() {
    let wormed = "[{ on: 2024-01-15, for: a, worming: {} }, { on: 2024-01-29, for: a, worming: { next_due: 2024-02-26 } }, { on: 2024-02-12, for: a, worming: {} }]";
    let care = care("{}", wormed, "2024-02-13");
    assert_eq!(state(&care, "worming-6-weeks"), State::Done("2024-02-12".parse().ok()));
}

#[test]
fn what_begins_after_leaving_is_for_the_next_owner() {
    let care = care("{}", "[]", "2024-02-10");
    let names: Vec<&str> = care.for_next_owner().map(|s| s.item.id.as_str()).collect();
    assert_eq!(
        names,
        [
            "vaccination-second",
            "worming-3-months",
            "worming-4-months",
            "vaccination-third",
            "worming-5-months",
            "worming-6-months",
            "vaccination-booster"
        ]
    );
}

#[test]
fn what_is_named_counts_for_that_item_alone() {
    let health = "[{ on: 2024-01-13, for: a, done: [eyes-open, first-steps] }, { on: 2024-01-14, for: a, excused: [worming-2-weeks], remark: vet advised to wait }]";
    let care = care("{}", health, "2024-01-20");
    assert_eq!(state(&care, "eyes-open"), State::Done("2024-01-13".parse().ok()));
    assert_eq!(state(&care, "ears-open"), State::Overdue);
    assert_eq!(state(&care, "worming-2-weeks"), State::Excused(Some("vet advised to wait".parse().unwrap())));
}

#[test]
fn completeness_is_done_or_excused_over_what_was_due_by_now() {
    let health = "[{ on: 2024-01-03, for: a, check: { by: V } }, { on: 2024-01-14, for: a, excused: worming-2-weeks, remark: R }, { on: 2024-01-12, for: a, done: eyes-open }]";
    let complete = care("{}", health, "2024-01-20").completeness("2024-01-20".parse().unwrap());
    // By day 19: the first check, worming at 2 weeks, eyes, ears. The open windows of first steps and gentle handling do not count.
    assert_eq!(complete, Completeness { done: 3, of: 4, missing: vec!["Ears open".into()] });
    let nothing_due = care("{}", "[]", "2024-01-01").completeness("2024-01-01".parse().unwrap());
    assert_eq!((nothing_due.done, nothing_due.of), (0, 0));
}

#[test]
fn a_chip_number_in_the_litter_counts_as_a_chip() {
    let plan = items(&CarePlan::default());
    let puppy: Puppy = serde_yaml::from_str("{ id: a, sex: female, chip: \"941000025557101\" }").unwrap();
    let day = |text: &str| text.parse::<Day>().unwrap();
    let care = of_puppy(&plan, &puppy, &[], day("2024-01-01"), day("2024-02-26"), day("2024-02-20"));
    assert_eq!(state(&care, "chip"), State::Done(None));
}
