//! The plan held against entries: dates worked out by hand from the published schedules.

use super::*;
use crate::records::care_plan::CarePlan;
use crate::testing::{day, each};

/// A puppy born on 2024-01-01, which leaves on 2024-02-26 (56 days, by Python's datetime).
fn care(plan: &str, health: &str, today: &str) -> Care {
    let plan: CarePlan = serde_yaml::from_str(plan).unwrap();
    let health: Vec<HealthEntry> = serde_yaml::from_str(health).unwrap();
    let puppy: Puppy = serde_yaml::from_str("{ id: a, sex: female }").unwrap();
    // Weaned on day 42, so the wormings every two weeks end on day 56.
    let days = CareDays {
        born: day("2024-01-01"),
        weaned: Some(day("2024-02-12")),
        leaves: day("2024-02-26"),
        today: day(today),
    };
    of_puppy(&items(&plan), &puppy, &health, days)
}

fn standing<'a>(care: &'a Care, id: &str) -> Option<&'a ItemStanding> {
    care.standings.iter().find(|s| s.item.id == id)
}

fn state(care: &Care, id: &str) -> ItemState {
    standing(care, id).unwrap().state.clone()
}

fn days(care: &Care, id: &str) -> (String, String) {
    let standing = standing(care, id).unwrap();
    (standing.from.to_string(), standing.until.to_string())
}

#[test]
fn worming_days_of_one_birthday() {
    // ESCCAP GL1 and CAPC: 14, 28, 42, 56 days, then monthly. Born on 2024-01-01: 01-15, 01-29,
    // 02-12, 02-26 (Python's datetime).
    let care = care("{}", "[]", "2024-01-01");
    let due: Vec<String> = care
        .standings
        .iter()
        .filter(|s| s.item.what == CareKind::Worming)
        .map(|s| s.from.to_string())
        .take(4)
        .collect();
    assert_eq!(
        due,
        ["2024-01-15", "2024-01-29", "2024-02-12", "2024-02-26"]
    );
}

#[test]
fn done_due_overdue_and_to_come() {
    let health = "[{ on: 2024-01-15, for: a, worming: { product: P } }]";
    let of = |today: &str, id: &str| state(&care("{}", health, today), id);
    each! {
        of("2024-01-16", "worming-2-weeks") => ItemState::Done(Some(day("2024-01-15")));
        of("2024-01-28", "worming-4-weeks") => ItemState::ToCome;
        of("2024-01-29", "worming-4-weeks") => ItemState::Due;
        of("2024-02-02", "worming-4-weeks") => ItemState::Due, "four days of slack";
        of("2024-02-03", "worming-4-weeks") => ItemState::Overdue;
        of("2024-02-12", "worming-4-weeks")
            => ItemState::LeftOut, "the next has come due in its place";
    }
}

#[test]
fn an_entry_counts_for_the_item_it_fits() {
    // The first worming was forgotten; the one on day 28 is that of four weeks.
    let late = care(
        "{}",
        "[{ on: 2024-01-29, for: all, worming: { product: P } }]",
        "2024-01-30",
    );
    assert_eq!(state(&late, "worming-2-weeks"), ItemState::LeftOut);
    assert!(matches!(
        state(&late, "worming-4-weeks"),
        ItemState::Done(_)
    ));
    // Given on day 20 it is that of two weeks, late.
    let late = care(
        "{}",
        "[{ on: 2024-01-21, for: a, worming: { product: P } }]",
        "2024-01-30",
    );
    assert!(matches!(
        state(&late, "worming-2-weeks"),
        ItemState::Done(_)
    ));
    assert_eq!(
        state(&late, "worming-4-weeks"),
        ItemState::ToCome,
        "ten days lie between two doses at least"
    );
    // An entry for another puppy is nothing to this one.
    assert_eq!(
        state(
            &care(
                "{}",
                "[{ on: 2024-01-15, for: b, worming: {} }]",
                "2024-01-20"
            ),
            "worming-2-weeks"
        ),
        ItemState::Overdue
    );
}

#[test]
fn worming_a_few_days_off_the_plan_but_two_weeks_apart_is_no_fault() {
    for days in [[10, 24, 38, 52], [20, 35, 49, 63]] {
        let born = day("2024-01-01");
        let given = |n: usize| {
            days[..n]
                .iter()
                .map(|d| {
                    format!(
                        "- {{ on: {}, for: a, worming: {{ product: P }} }}\n",
                        born.plus(*d)
                    )
                })
                .collect::<String>()
        };
        // On the morning of each dose the ones before have been given, and nothing of the series is
        // overdue.
        for n in 1..4 {
            let care = care("{}", &given(n), &born.plus(days[n]).to_string());
            let overdue: Vec<&str> = care
                .standings
                .iter()
                .filter(|s| s.item.what == CareKind::Worming && s.state == ItemState::Overdue)
                .map(|s| s.item.id.as_str())
                .collect();
            assert!(overdue.is_empty(), "{days:?}, after {n}: {overdue:?}");
        }
    }
}

#[test]
fn the_second_dose_follows_the_first() {
    // WSAVA 2024: every 2 to 4 weeks. First on 2024-02-20 (day 50): the second falls between the
    // plan's 10 weeks and four weeks after the first, day 78.
    let first = "[{ on: 2024-02-20, for: a, vaccination: { against: DHP } }]";
    assert_eq!(
        days(&care("{}", first, "2024-02-21"), "vaccination-second"),
        ("2024-03-11".into(), "2024-03-19".into())
    );
    // A vet's own date stands above the plan.
    let dated = "[{ on: 2024-02-20, for: a, vaccination: { against: DHP, next_due: 2024-03-19 } }]";
    assert_eq!(
        days(&care("{}", dated, "2024-02-21"), "vaccination-second"),
        ("2024-03-12".into(), "2024-03-19".into())
    );
    // A first dose at 15 weeks moves the second to two weeks later at least.
    let late = "[{ on: 2024-04-15, for: a, vaccination: { against: DHP } }]";
    assert_eq!(
        days(&care("{}", late, "2024-04-16"), "vaccination-second"),
        ("2024-04-29".into(), "2024-05-13".into())
    );
}

#[test]
fn a_date_written_as_next_due_is_that_of_the_next_item_alone() {
    let wormed = "[{ on: 2024-01-15, for: a, worming: { product: P, next_due: 2024-01-31 } }]";
    let care = care("{}", wormed, "2024-01-16");
    assert_eq!(
        days(&care, "worming-4-weeks"),
        ("2024-01-24".into(), "2024-01-31".into())
    );
    assert_eq!(
        days(&care, "worming-6-weeks"),
        ("2024-02-12".into(), "2024-02-16".into()),
        "the plan's own days again"
    );
}

#[test]
fn what_was_given_by_the_plan_counts_before_a_later_date_that_was_written() {
    let wormed = "[{ on: 2024-01-15, for: a, worming: {} }, { on: 2024-01-29, for: a, worming: { \
                  next_due: 2024-02-26 } }, { on: 2024-02-12, for: a, worming: {} }]";
    let care = care("{}", wormed, "2024-02-13");
    assert_eq!(
        state(&care, "worming-6-weeks"),
        ItemState::Done(Some(day("2024-02-12")))
    );
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
    let health = "[{ on: 2024-01-13, for: a, done: [eyes-open, first-steps] }, { on: 2024-01-14, \
                  for: a, excused: [worming-2-weeks], remark: vet advised to wait }]";
    let care = care("{}", health, "2024-01-20");
    each! {
        state(&care, "eyes-open") => ItemState::Done(Some(day("2024-01-13")));
        state(&care, "ears-open") => ItemState::Overdue;
        state(&care, "worming-2-weeks")
            => ItemState::Excused(Some("vet advised to wait".parse().unwrap()));
    }
}

#[test]
fn completeness_is_done_or_excused_over_what_was_due_by_now() {
    let health = "[{ on: 2024-01-03, for: a, check: { by: V } }, { on: 2024-01-14, for: a, \
                  excused: worming-2-weeks, remark: R }, { on: 2024-01-12, for: a, done: \
                  eyes-open }]";
    let complete = care("{}", health, "2024-01-20").completeness(day("2024-01-20"));
    // By day 19: the first check, worming at 2 weeks, eyes, ears. The open windows of first steps
    // and gentle handling do not count.
    assert_eq!(
        complete,
        Completeness {
            done: 3,
            of: 4,
            missing: vec!["Ears open".into()]
        }
    );
    let nothing_due = care("{}", "[]", "2024-01-01").completeness(day("2024-01-01"));
    assert_eq!((nothing_due.done, nothing_due.of), (0, 0));
}

#[test]
fn a_chip_number_in_the_litter_counts_as_a_chip() {
    let plan = items(&CarePlan::default());
    let puppy: Puppy =
        serde_yaml::from_str("{ id: a, sex: female, chip: \"941000025557101\" }").unwrap();
    let care = of_puppy(
        &plan,
        &puppy,
        &[],
        CareDays {
            born: day("2024-01-01"),
            weaned: None,
            leaves: day("2024-02-26"),
            today: day("2024-02-20"),
        },
    );
    assert_eq!(state(&care, "chip"), ItemState::Done(None));
}

/// A puppy that stays, born on 2024-01-01: days of age are days of the year less one.
fn grown(plan: &str, doses: &[(i64, &str)], weaned: Option<i64>, today: i64) -> Care {
    let plan: CarePlan = serde_yaml::from_str(plan).unwrap();
    let born = day("2024-01-01");
    let health: String = doses
        .iter()
        .map(|(age, what)| format!("- {{ on: {}, for: a, {what} }}\n", born.plus(*age)))
        .collect();
    let health: Vec<HealthEntry> =
        serde_yaml::from_str(if health.is_empty() { "[]" } else { &health }).unwrap();
    let puppy: Puppy = serde_yaml::from_str("{ id: a, sex: female }").unwrap();
    let days = CareDays {
        born,
        weaned: weaned.map(|age| born.plus(age)),
        leaves: Day::LAST,
        today: born.plus(today),
    };
    of_puppy(&items(&plan), &puppy, &health, days)
}

fn done_on(care: &Care, id: &str) -> Option<i64> {
    let born = day("2024-01-01");
    match state(care, id) {
        ItemState::Done(Some(on)) => Some(on.since(born)),
        _ => None,
    }
}

fn ages(care: &Care, id: &str) -> Option<(i64, i64)> {
    let born = day("2024-01-01");
    standing(care, id).map(|s| (s.from.since(born), s.until.since(born)))
}

fn remark(care: &Care, id: &str) -> Option<Remark> {
    standing(care, id).unwrap().remark.clone()
}

const DHP: &str = "vaccination: { against: [distemper, adenovirus, parvovirus] }";

#[test]
fn wsava_2024_ends_at_sixteen_weeks_with_two_to_four_weeks_between_doses() {
    // WSAVA 2024 (doi 10.1111/jsap.13718): from 6 to 8 weeks, every 2 to 4 weeks, the last at 16
    // weeks or older. 8, 12 and 16 weeks fit as they are.
    let care = grown("{}", &[(56, DHP), (84, DHP), (112, DHP)], None, 120);
    assert_eq!(
        (
            done_on(&care, "vaccination-second"),
            done_on(&care, "vaccination-third")
        ),
        (Some(84), Some(112))
    );
    assert_eq!(ages(&care, "vaccination-between"), None);
    // 6 and 10 weeks: four weeks later is week 14, too young for the last, so one more lies
    // between.
    let care = grown("{}", &[(42, DHP), (70, DHP)], None, 75);
    assert_eq!(
        (
            ages(&care, "vaccination-between"),
            ages(&care, "vaccination-third")
        ),
        (Some((84, 98)), Some((112, 126)))
    );
    let care = grown("{}", &[(42, DHP), (70, DHP), (98, DHP)], None, 99);
    assert_eq!(
        (
            done_on(&care, "vaccination-between"),
            ages(&care, "vaccination-third")
        ),
        (Some(98), Some((112, 126)))
    );
    // The longest side: the second is late 28 days after the first.
    let late = |today| {
        state(
            &grown("{}", &[(42, DHP)], None, today),
            "vaccination-second",
        )
    };
    assert_eq!((late(70), late(71)), (ItemState::Due, ItemState::Overdue));
    // And when it was given late it is said.
    let care = grown("{}", &[(42, DHP), (77, DHP)], None, 80);
    assert_eq!(
        remark(&care, "vaccination-second"),
        Some(Remark::LongAfter { days: 35, most: 28 })
    );
}

#[test]
fn a_dose_too_soon_or_too_young_does_not_count() {
    // Two weeks between doses at least (WSAVA 2024, AAHA 2022).
    let care = grown("{}", &[(56, DHP), (66, DHP)], None, 70);
    assert_eq!(done_on(&care, "vaccination-second"), None);
    assert!(matches!(
        remark(&care, "vaccination-second"),
        Some(Remark::NotCounted {
            why: WhyNot::TooSoon(_),
            ..
        })
    ));
    // 15 weeks and 6 days is not 16 weeks.
    let care = grown("{}", &[(56, DHP), (84, DHP), (111, DHP)], None, 115);
    assert_eq!(done_on(&care, "vaccination-third"), None);
    assert_eq!(
        ages(&care, "vaccination-third"),
        Some((125, 139)),
        "two to four weeks after the one that was too soon"
    );
    // Nor is 25 weeks 26.
    let care = grown(
        "{}",
        &[(56, DHP), (84, DHP), (112, DHP), (175, DHP)],
        None,
        183,
    );
    assert_eq!(state(&care, "vaccination-booster"), ItemState::Due);
    // WSAVA 2010 ended at 14 weeks; AAHA 2022 with its note of 2024 ends at 16.
    let doses = [(56, DHP), (77, DHP), (100, DHP)];
    assert_eq!(
        done_on(
            &grown("vaccination: WSAVA 2010", &doses, None, 120),
            "vaccination-third"
        ),
        Some(100)
    );
    assert_eq!(
        done_on(
            &grown("vaccination: AAHA 2022", &doses, None, 120),
            "vaccination-third"
        ),
        None
    );
}

#[test]
fn a_puppy_that_comes_late_needs_two_doses() {
    // First at 15 weeks, second at 17: the second is the last as well.
    let care = grown("{}", &[(105, DHP), (119, DHP)], None, 130);
    assert_eq!(
        (
            done_on(&care, "vaccination-second"),
            done_on(&care, "vaccination-third")
        ),
        (Some(119), Some(119))
    );
    // After a gap of more than six weeks it is not taken for the end.
    let care = grown("{}", &[(60, DHP), (119, DHP)], None, 130);
    assert_eq!(
        (
            done_on(&care, "vaccination-second"),
            done_on(&care, "vaccination-third")
        ),
        (Some(119), None)
    );
}

#[test]
fn only_what_is_against_the_core_counts() {
    let cough = "vaccination: { against: [Bordetella, parainfluenza], product: K }";
    let care = grown("{}", &[(50, cough)], None, 60);
    assert_eq!(
        (
            state(&care, "vaccination-first"),
            remark(&care, "vaccination-first")
        ),
        (ItemState::Overdue, None)
    );
    let silent = grown("{}", &[(50, "vaccination: { product: P }")], None, 60);
    assert!(matches!(
        remark(&silent, "vaccination-first"),
        Some(Remark::NotCounted {
            why: WhyNot::NotSaid,
            ..
        })
    ));
    let part = grown(
        "{}",
        &[(50, "vaccination: { against: [distemper, parvovirus] }")],
        None,
        60,
    );
    let Some(Remark::NotCounted {
        why: WhyNot::Lacks(lacks),
        ..
    }) = remark(&part, "vaccination-first")
    else {
        panic!()
    };
    assert_eq!(lacks, [Disease::Adenovirus]);
    // Two vials on one day are one dose.
    let both = grown(
        "{}",
        &[
            (50, "vaccination: { against: [distemper, parvovirus] }"),
            (50, "vaccination: { against: hepatitis }"),
        ],
        None,
        60,
    );
    assert_eq!(done_on(&both, "vaccination-first"), Some(50));
    // An item of the keeper's own counts by its name, and by nothing else.
    let own = "items: [{ id: kennel-cough, what: vaccination, name: Kennel cough, from: 8 weeks, \
               until: 9 weeks }]";
    assert_eq!(
        done_on(
            &grown(
                own,
                &[(57, DHP), (58, "vaccination: { against: kennel cough }")],
                None,
                60
            ),
            "kennel-cough"
        ),
        Some(58)
    );
}

#[test]
fn leptospirosis_has_two_doses_where_it_is_core() {
    let with = "vaccination: { against: [distemper, adenovirus, parvovirus, leptospirosis] }";
    let care = grown(
        "leptospirosis: true",
        &[(56, DHP), (84, with), (112, with)],
        None,
        115,
    );
    assert_eq!(
        (
            done_on(&care, "leptospirosis-first"),
            done_on(&care, "leptospirosis-second")
        ),
        (Some(84), Some(112))
    );
    assert_eq!(
        ages(&grown("{}", &[], None, 1), "leptospirosis-first"),
        None
    );
    // More than six weeks apart the series begins again (AAHA, from memory): a second is asked for
    // two to four weeks after the late one.
    let late = grown("leptospirosis: true", &[(56, with), (112, with)], None, 120);
    assert_eq!(
        (
            done_on(&late, "leptospirosis-first"),
            done_on(&late, "leptospirosis-second")
        ),
        (Some(56), None)
    );
    assert_eq!(ages(&late, "leptospirosis-second"), Some((126, 140)));
    assert!(matches!(
        remark(&late, "leptospirosis-second"),
        Some(Remark::NotCounted {
            why: WhyNot::Interrupted(56),
            ..
        })
    ));
    let whole = grown(
        "leptospirosis: true",
        &[(56, with), (112, with), (133, with)],
        None,
        140,
    );
    assert_eq!(
        (
            done_on(&whole, "leptospirosis-second"),
            remark(&whole, "leptospirosis-second")
        ),
        (Some(133), None)
    );
    // Six weeks to the day still count, and so does a date that the vet wrote.
    assert_eq!(
        done_on(
            &grown("leptospirosis: true", &[(56, with), (98, with)], None, 120),
            "leptospirosis-second"
        ),
        Some(98)
    );
    let by_the_vet = "vaccination: { against: [leptospirosis], next_due: 2024-04-22 }";
    assert_eq!(
        done_on(
            &grown(
                "leptospirosis: true",
                &[(56, by_the_vet), (112, with)],
                None,
                120
            ),
            "leptospirosis-second"
        ),
        Some(112)
    );
}

#[test]
fn worming_goes_on_until_two_weeks_after_weaning() {
    // ESCCAP GL1: every 14 days until two weeks after weaning. Weaned at 7 weeks (day 49): the last
    // is day 56. Weaned at 8 weeks (day 56): day 70 too. Not known: day 70 too.
    each! {
        ages(&grown("{}", &[], Some(49), 1), "worming-10-weeks") => None;
        ages(&grown("{}", &[], Some(56), 1), "worming-10-weeks").map(|(from, _)| from) => Some(70);
        ages(&grown("{}", &[], None, 1), "worming-10-weeks").map(|(from, _)| from) => Some(70);
        // CAPC: 2, 4, 6, 8 weeks, then monthly.
        ages(&grown("worming: CAPC", &[], None, 1), "worming-10-weeks") => None;
    }
}

#[test]
fn what_took_the_place_of_a_worming_that_was_not_done_is_as_late() {
    let care = grown("{}", &[], None, 29);
    assert_eq!(
        (
            state(&care, "worming-2-weeks"),
            state(&care, "worming-4-weeks")
        ),
        (ItemState::LeftOut, ItemState::Due)
    );
    assert!(matches!(
        remark(&care, "worming-4-weeks"),
        Some(Remark::InPlaceOf { .. })
    ));
    let done = grown("{}", &[(28, "worming: {}")], None, 43);
    assert_eq!(remark(&done, "worming-6-weeks"), None);
}
