//! Rounds against the calendar, the thresholds and the care plan.

use super::{source, what};
use crate::husbandry::findings::{FindingRule, Urgency};
use crate::husbandry::rounds::{self as round, TaskAction, TaskKind, Turn, Whom};
use crate::husbandry::seasons::SeasonNote;
use crate::husbandry::testing::{day, each, kennel as made};
use crate::husbandry::{Figures, compute};
use crate::quantity::Day;
use crate::records::Records;
use crate::records::health::HealthKind;

/// A kennel with one litter `l`; `today` is a date.
fn kennel(today: &str, litter: &str, files: &[(&str, &str)]) -> Records {
    let litter = format!("name: L\ndam: d\nsire: s\n{litter}");
    let files = [files, &[("litters/l/litter.yaml", litter.as_str())]].concat();
    made(today, Some("england"), &files)
}

/// The same with these health entries.
fn with_health(today: &str, litter: &str, health: &str) -> Records {
    kennel(today, litter, &[("litters/l/health.yaml", health)])
}

/// The same with these weigh-ins.
fn with_weights(today: &str, litter: &str, weights: &str) -> Records {
    kennel(today, litter, &[("litters/l/weights.yaml", weights)])
}

/// A task with its words.
#[derive(Debug, Clone, PartialEq)]
struct Task {
    turn: Turn,
    kind: TaskKind,
    whom: Whom,
    what: String,
    times: usize,
    since: Option<Day>,
    until: Option<Day>,
    act: TaskAction,
    source: String,
}

/// A round with its words.
#[derive(Debug, Clone, PartialEq)]
struct Rounds {
    tasks: Vec<Task>,
    bitches: Vec<SeasonNote>,
}

fn of_kennel(records: &Records, figures: &Figures<'_>, days: u16) -> Rounds {
    let round = round::of_kennel(records, figures, &records.owners.homes(), days);
    let tasks = round.tasks.into_iter().map(|task| Task {
        turn: task.turn,
        kind: task.kind,
        whom: task.whom,
        what: what(&task.what, false),
        times: task.times,
        since: task.since,
        until: task.until,
        act: task.act,
        source: source(task.source, round.today),
    });
    Rounds {
        tasks: tasks.collect(),
        bitches: round.bitches,
    }
}

fn rounds(records: &Records, days: u16) -> Rounds {
    of_kennel(records, &compute(records), days)
}

/// The tasks of a round that are meant.
fn tasks(records: &Records, days: u16, is_meant: fn(&Task) -> bool) -> Vec<Task> {
    let mut tasks = rounds(records, days).tasks;
    tasks.retain(is_meant);
    tasks
}

/// Two puppies born on 1 October 2026 at 08:00, looked over.
const BORN: &str = "birth: { on: 2026-10-01, how: natural }
puppies:
  - { id: a, sex: female, born: \"08:00\", weight: 200 g, palate: intact,
      newborn: { limbs: normal, navel: normal, anus: normal, skull: normal, eyes: normal,
        tail: normal, skin: normal, suck: strong } }
  - { id: b, sex: male, born: \"08:10\", weight: 210 g, palate: intact,
      newborn: { limbs: normal, navel: normal, anus: normal, skull: normal, eyes: normal,
        tail: normal, skin: normal, suck: strong } }
";

fn of(rounds: &Rounds, kind: TaskKind) -> Vec<(Turn, String, usize)> {
    rounds
        .tasks
        .iter()
        .filter(|task| task.kind == kind)
        .map(|task| (task.turn, task.what.clone(), task.times))
        .collect()
}

/// Weigh-ins of both at these times.
fn weighed(times: &[&str]) -> String {
    times
        .iter()
        .enumerate()
        .map(|(i, at)| {
            format!(
                "- {{ at: {at}, a: {} g, b: {} g }}\n",
                205 + 6 * i,
                216 + 6 * i
            )
        })
        .collect()
}

#[test]
fn the_scale_comes_out_twice_a_day_in_the_first_week() {
    // Common practice, no source.
    let at = |today: &str, times: &[&str]| {
        let weights = weighed(times);
        of(
            &rounds(&with_weights(today, BORN, &weights), 1),
            TaskKind::WeighIn,
        )
    };
    let tomorrow = Turn::Later(day("2026-10-04"));
    assert_eq!(
        at("2026-10-03", &["2026-10-02 08:00"]),
        [
            (Turn::Today, "weigh-in, twice".into(), 2),
            (tomorrow, "weigh-in, twice".into(), 2)
        ]
    );
    assert_eq!(
        at("2026-10-03", &["2026-10-02 08:00", "2026-10-03 07:00"])[0],
        (Turn::Today, "weigh-in: 1 of 2 done".into(), 1)
    );
    let both_done = at(
        "2026-10-03",
        &["2026-10-02 08:00", "2026-10-03 07:00", "2026-10-03 19:00"],
    );
    assert_eq!(both_done, [(tomorrow, "weigh-in, twice".into(), 2)]);
    // Day 7 begins the second week: once a day from then on (BMC Vet Res 2019, s12917-019-2146-8:
    // daily for at least three weeks).
    assert_eq!(
        at("2026-10-08", &["2026-10-07 08:00"])[0],
        (Turn::Today, "weigh-in".into(), 1)
    );
}

#[test]
fn a_round_and_the_findings_agree_on_what_was_missed() {
    // The gap is that of the thresholds: daily for three weeks, every second day in the fourth
    // (Small Animal Clinical Nutrition, box 16-3), so a finding and a task stand or fall together.
    for today in 2..=31 {
        for last in 2..=today {
            let weights = weighed(&[&format!("2026-10-{last:02} 08:00")]);
            let records = with_weights(&format!("2026-10-{today:02}"), BORN, &weights);
            let found = compute(&records)
                .litters
                .values()
                .flat_map(|l| &l.findings)
                .any(|f| f.rule() == FindingRule::WeighInMissed);
            let overdue = rounds(&records, 1)
                .tasks
                .iter()
                .any(|task| task.kind == TaskKind::WeighIn && task.turn == Turn::Overdue);
            assert_eq!(
                found, overdue,
                "on 10-{today:02}, last weighed on 10-{last:02}"
            );
        }
    }
}

#[test]
fn a_keeper_who_weighs_every_eight_hours_is_asked_three_times() {
    let plan = ("care-plan.yaml", "thresholds: { weigh_in_gap: 8 h }\n");
    let records = kennel(
        "2026-10-10",
        BORN,
        &[
            plan,
            (
                "litters/l/weights.yaml",
                "- { at: 2026-10-09 08:00, a: 260 g, b: 270 g }\n",
            ),
        ],
    );
    assert_eq!(
        of(&rounds(&records, 0), TaskKind::WeighIn),
        [(Turn::Today, "weigh-in, three times".into(), 3)]
    );
}

#[test]
fn one_puppy_that_was_left_out_is_named_alone() {
    let weights =
        "- { at: 2026-10-03 07:00, a: 206 g, b: 216 g }\n- { at: 2026-10-03 19:00, a: 209 g }\n";
    let records = with_weights("2026-10-03", BORN, weights);
    let today: Vec<Task> = tasks(&records, 0, |t| t.kind == TaskKind::WeighIn);
    assert_eq!(today.len(), 1);
    assert_eq!(
        (&today[0].whom, &today[0].act),
        (
            &Whom::Puppies(vec!["b".parse().unwrap()]),
            &TaskAction::Weigh
        )
    );
}

#[test]
fn worming_comes_on_the_fourteenth_day_and_is_overdue_after_its_slack() {
    // ESCCAP GL1: from two weeks, every 14 days. The four days of slack are ours.
    let worming = |today: &str, health: &str| -> Vec<(Turn, Vec<String>)> {
        let records = with_health(today, BORN, health);
        let ids = |whom: &Whom| {
            if let Whom::Puppies(ids) = whom {
                ids.iter().map(ToString::to_string).collect()
            } else {
                Vec::new()
            }
        };
        let tasks = tasks(&records, 1, |t| t.what == "Worming at 2 weeks").into_iter();
        tasks.map(|t| (t.turn, ids(&t.whom))).collect()
    };
    let both = || vec!["a".to_owned(), "b".to_owned()];
    each! {
        worming("2026-10-13", "[]") => [];
        worming("2026-10-14", "[]") => [(Turn::Later(day("2026-10-15")), both())];
        worming("2026-10-15", "[]") => [(Turn::Today, both())];
        worming("2026-10-19", "[]") => [(Turn::Today, both())];
        worming("2026-10-20", "[]") => [(Turn::Overdue, both())];
        worming("2026-10-20", "- { on: 2026-10-16, for: a, worming: { product: W } }\n")
            => [(Turn::Overdue, vec!["b".to_owned()])];
        worming("2026-10-20", "- { on: 2026-10-16, for: all, worming: { product: W } }\n") => [];
    }
}

#[test]
fn nobody_is_late_with_a_puppys_eyes() {
    let eyes = |today: &str| {
        let records = kennel(today, BORN, &[]);
        tasks(&records, 0, |t| t.what == "Eyes open")
            .into_iter()
            .map(|t| (t.kind, t.turn))
            .collect::<Vec<_>>()
    };
    assert_eq!(eyes("2026-10-12"), [(TaskKind::Growing, Turn::Today)]);
    assert_eq!(eyes("2026-10-25"), []);
}

#[test]
fn an_expected_litter_has_its_scan_its_x_ray_its_section_and_its_day() {
    // Days after ovulation: scan 25 to 30 (teaching: 21 to 30), X-ray 53 to 60 (Concannon and
    // Rendano 1983), section 61 to 65 (clinics' rule), birth 62 to 64 (Pontikaki and others: 63 ±
    // 1).
    let what = |days: i64, more: &str| -> Vec<String> {
        let today = day("2026-06-01").plus(days).to_string();
        let tasks = rounds(
            &kennel(&today, &format!("ovulated: 2026-06-01\n{more}"), &[]),
            0,
        )
        .tasks;
        tasks
            .into_iter()
            .filter(|t| matches!(t.kind, TaskKind::Step | TaskKind::Birth))
            .map(|t| t.what)
            .collect()
    };
    each! {
        what(24, "") => Vec::<String>::new();
        what(25, "") => ["pregnancy scan by ultrasound"];
        what(30, "") => ["pregnancy scan by ultrasound"];
        what(28, "counted: { by: ultrasound, on: 2026-06-27, puppies: 4 }\n")
            => Vec::<String>::new();
    }
    assert!(what(55, "").contains(&"X-ray to count the puppies".to_owned()));
    assert!(
        !what(58, "counted: { by: x-ray, on: 2026-07-27, puppies: 4 }\n")
            .contains(&"X-ray to count the puppies".to_owned())
    );
    let on_the_day = what(63, "");
    assert!(
        on_the_day
            .iter()
            .any(|w| w.starts_with("days in which a section")),
        "{on_the_day:?}"
    );
    assert!(
        on_the_day
            .iter()
            .any(|w| w.starts_with("the litter is due, most likely on 3 August 2026")),
        "{on_the_day:?}"
    );
    // Day 65 is past the window, and she is not over her time yet: it is no day without a word.
    let is_due = |days| {
        what(days, "")
            .iter()
            .any(|w| w.starts_with("the litter is due"))
    };
    assert!(is_due(65) && !is_due(66));
    assert!(
        what(
            40,
            "counted: { by: ultrasound, on: 2026-06-27, puppies: 0 }\n"
        )
        .is_empty(),
        "a mating that came to nothing"
    );
}

#[test]
fn the_dams_temperature_is_asked_for_twice_a_day() {
    let taken = |health: &str| {
        let records = with_health("2026-08-01", "ovulated: 2026-06-01\n", health);
        rounds(&records, 0)
            .tasks
            .into_iter()
            .find(|t| t.what.starts_with("temperature"))
            .map(|t| (t.times, t.whom))
    };
    assert_eq!(taken("[]"), Some((2, Whom::Dam)));
    assert_eq!(
        taken("- { at: 2026-08-01 07:00, for: dam, temperature: 37.8 °C }\n"),
        Some((1, Whom::Dam))
    );
    let shown = |health: &str| {
        let records = with_health("2026-08-01", "ovulated: 2026-06-01\n", health);
        rounds(&records, 0)
            .tasks
            .into_iter()
            .find(|t| t.what.starts_with("temperature"))
            .map(|t| t.what)
            .unwrap()
    };
    assert!(
        shown("- { at: 2026-07-31 07:00, for: dam, temperature: 37.8 °C }\n")
            .ends_with("; last 37.8 °C on 31 July 2026, 07:00")
    );
    assert_eq!(
        taken(
            "- { at: 2026-08-01 07:00, for: dam, temperature: 37.8 °C }\n- { at: 2026-08-01 \
             19:00, for: dam, temperature: 37.9 °C }\n"
        ),
        None
    );
}

#[test]
fn a_puppy_leaves_on_the_agreed_day_and_is_missed_when_it_has_not() {
    let litter = BORN.replace("id: a, sex", "id: a, offer: reserved, sex");
    let leaving = |today: &str| -> Vec<(Turn, String)> {
        let owners = "families:\n  - { id: f, name: The Fs, takes: [{ litter: l, puppy: a, \
                      leaves: 2026-11-28 }] }\n";
        let tasks = rounds(&kennel(today, &litter, &[("owners.yaml", owners)]), 1)
            .tasks
            .into_iter()
            .filter(|t| t.kind == TaskKind::Leaving);
        tasks.map(|t| (t.turn, t.what)).collect()
    };
    assert_eq!(leaving("2026-11-24"), []);
    // Eight weeks are day 56 (SI 2018/486, Schedule 6): 2026-11-26 by Python's datetime.
    assert_eq!(
        leaving("2026-11-25"),
        [(
            Turn::Later(day("2026-11-26")),
            "may leave from this day on".to_owned()
        )]
    );
    let agreed = leaving("2026-11-27");
    assert_eq!(
        (agreed.len(), agreed[0].0),
        (1, Turn::Later(day("2026-11-28")))
    );
    assert!(
        agreed[0]
            .1
            .starts_with("leaves with The Fs; still missing: chip"),
        "{agreed:?}"
    );
    assert_eq!(
        leaving("2026-11-29"),
        [(Turn::Overdue, "was to leave with The Fs".to_owned())]
    );
}

#[test]
fn the_last_day_for_the_chip_is_that_of_the_law() {
    // England: by eight weeks (Microchipping of Cats and Dogs (England) Regulations 2023, as the
    // rules of the region have it).
    let asked =
        |today: &str, days: u16| of(&rounds(&kennel(today, BORN, &[]), days), TaskKind::Rule).len();
    assert_eq!(
        (
            asked("2026-11-24", 1),
            asked("2026-11-25", 1),
            asked("2026-11-26", 1),
            asked("2026-11-27", 1)
        ),
        (0, 1, 1, 0)
    );
    assert_eq!(asked("2026-11-20", 7), 1);
}

#[test]
fn a_treatment_goes_on_until_its_last_day() {
    let on = |today: &str| {
        let health = "- { on: 2026-10-02, for: [dam, a], treatment: { product: Q, why: pain, \
                      until: 2026-10-05 } }\n";
        of(
            &rounds(&with_health(today, BORN, health), 0),
            TaskKind::Treatment,
        )
        .len()
    };
    assert_eq!(
        (on("2026-10-02"), on("2026-10-05"), on("2026-10-06")),
        (2, 2, 0)
    );
}

#[test]
fn a_vet_is_called_before_anything_else_and_the_dead_are_left_in_peace() {
    let litter = BORN.replace(
        "id: b, sex: male",
        "id: b, fate: died, on: 2026-10-02, sex: male",
    );
    let weights = "- { at: 2026-10-02 08:00, a: 170 g }\n- { at: 2026-10-03 08:00, a: 165 g }\n";
    let round = rounds(&with_weights("2026-10-03", &litter, weights), 1);
    assert_eq!(
        (round.tasks[0].turn, &round.tasks[0].act),
        (Turn::CallTheVet, &TaskAction::CallTheVet)
    );
    assert!(
        round
            .tasks
            .windows(2)
            .all(|pair| pair[0].turn <= pair[1].turn)
    );
    let b = "b".parse().unwrap();
    assert!(
        !round
            .tasks
            .iter()
            .any(|task| matches!(&task.whom, Whom::Puppies(ids) if ids.contains(&b)))
    );
}

#[test]
fn a_cold_puppy_is_looked_at_again_after_half_an_hour_until_it_is_warm() {
    // Advice of two practices: under 35 °C warm slowly, look every half hour, never feed.
    let health = "- { at: 2026-10-03 07:40, for: a, temperature: 34.2 °C }\n";
    let again = |more: &str| {
        let records = with_health("2026-10-03", BORN, &format!("{health}{more}"));
        tasks(&records, 0, |t| t.what.starts_with("temperature again"))
            .into_iter()
            .map(|t| t.what)
            .collect::<Vec<_>>()
    };
    let once = again("");
    assert!(
        once.len() == 1 && once[0].starts_with("temperature again on 3 October 2026, 08:10"),
        "{once:?}"
    );
    assert!(
        again("- { at: 2026-10-03 08:10, for: a, temperature: 34.8 °C }\n")[0]
            .starts_with("temperature again on 3 October 2026, 08:40")
    );
    assert!(again("- { at: 2026-10-03 08:40, for: a, temperature: 35.6 °C }\n").is_empty());
}

#[test]
fn the_dams_recovery_is_on_the_round_and_can_be_changed() {
    let asked = |today: &str, how: &str, plan: &str| -> Vec<String> {
        let records = kennel(
            today,
            &BORN.replace("how: natural", how),
            &[("care-plan.yaml", plan)],
        );
        tasks(&records, 0, |t| {
            t.kind == TaskKind::Recovery && t.whom == Whom::Dam
        })
        .into_iter()
        .map(|t| t.what)
        .collect()
    };
    let has = |list: &[String], word: &str| list.iter().any(|what| what.contains(word));
    let (natural, section) = (
        asked("2026-10-02", "how: natural", "{}"),
        asked("2026-10-02", "how: planned section", "{}"),
    );
    assert!(
        has(&natural, "Discharge")
            && has(&natural, "Temperature of the dam")
            && !has(&natural, "Wound"),
        "{natural:?}"
    );
    assert!(
        has(&section, "Wound") && has(&section, "Pain relief"),
        "{section:?}"
    );
    // Usual teaching, from memory: stitches come out 10 to 14 days after a section.
    assert!(
        !has(
            &asked("2026-10-10", "how: planned section", "{}"),
            "Stitches"
        ) && has(
            &asked("2026-10-11", "how: planned section", "{}"),
            "Stitches"
        )
    );
    // Five-Minute Vet Consult: eclampsia mostly before day 40.
    assert!(
        has(&asked("2026-11-10", "how: natural", "{}"), "eclampsia")
            && !has(&asked("2026-11-11", "how: natural", "{}"), "eclampsia")
    );
    let own = "items:\n  - { id: dam-stitches, what: recovery, from: 8 days, until: 9 days }\n  - \
               { id: dam-discharge, what: recovery, skip: true }\n";
    let own = asked("2026-10-09", "how: planned section", own);
    assert!(has(&own, "Stitches") && !has(&own, "Discharge"), "{own:?}");
}

#[test]
fn a_dam_that_is_expected_is_called_about_only_where_a_date_is_known_well_enough() {
    let found = |today: &str, litter: &str, health: &str| -> Vec<(&'static str, Urgency)> {
        let records = with_health(today, litter, health);
        let figures = compute(&records);
        figures
            .litters
            .values()
            .flat_map(|own| &own.findings)
            .filter(|f| f.rule() != FindingRule::Rule)
            .map(|f| (f.rule().name(), f.urgency))
            .collect()
    };
    let quiet: [(&str, Urgency); 0] = [];
    // Day 65 from ovulation, 2026-06-01, is 2026-08-05.
    assert_eq!(found("2026-08-05", "ovulated: 2026-06-01\n", "[]"), quiet);
    assert_eq!(
        found("2026-08-06", "ovulated: 2026-06-01\n", "[]"),
        [("overdue", Urgency::CallTheVet)]
    );
    // A bracket alone is never over its time, but its end is no silence: 2026-06-05 + 66 is
    // 2026-08-10.
    let bracket = "progesterone: [{ on: 2026-06-01, value: 0.8 ng/ml }, { on: 2026-06-05, value: \
                   6 ng/ml }]\n";
    each! {
        found("2026-08-10", bracket, "[]") => quiet;
        found("2026-08-11", bracket, "[]") => [("past-window", Urgency::Watch)];
        found("2026-08-25", bracket, "[]") => [("past-window", Urgency::Watch)];
        // From mating: most are born by day 68 (2026-08-08), the handbooks end at day 72
        // (2026-08-12).
        found("2026-08-08", "mated: 2026-06-01\n", "[]") => quiet;
        found("2026-08-12", "mated: 2026-06-01\n", "[]") => [("past-window", Urgency::Watch)];
        found("2026-08-13", "mated: 2026-06-01\n", "[]") => [("overdue", Urgency::CallTheVet)];
    }
    assert_eq!(
        found(
            "2026-07-20",
            "ovulated: 2026-06-01\ncounted: { by: x-ray, on: 2026-07-20, puppies: 1 }\n",
            "[]"
        ),
        [("one-puppy", Urgency::Watch)]
    );
    // The drop: 24 h without birth run out on the next day.
    let drop = "- { at: 2026-08-01 09:00, for: dam, temperature: 37.1 °C }\n";
    assert_eq!(
        found("2026-08-01", "ovulated: 2026-06-01\n", drop),
        [("temperature-drop", Urgency::Watch)]
    );
    for later in ["2026-08-02", "2026-08-03"] {
        assert_eq!(
            found(later, "ovulated: 2026-06-01\n", drop),
            [("temperature-drop", Urgency::CallTheVet)]
        );
    }
}

#[test]
fn what_is_overdue_stays_on_the_round_while_the_puppy_is_here() {
    let stays = BORN.replace("id: a, sex: female", "id: a, offer: staying, sex: female");
    // 200 and 400 days after the birth.
    for today in ["2027-04-19", "2027-11-05"] {
        let rounds = rounds(&kennel(today, &stays, &[]), 0);
        let is_overdue = |what: &str| {
            rounds.tasks.iter().any(|t| {
                t.turn == Turn::Overdue
                    && t.what.starts_with(what)
                    && matches!(&t.whom, Whom::Puppies(_))
            })
        };
        assert!(
            is_overdue("Worming at 6 months") && is_overdue("First vaccination"),
            "{today}: {:#?}",
            rounds.tasks
        );
    }
}

#[test]
fn a_worming_that_was_not_done_stays_overdue_when_the_next_is_due() {
    // Day 29: that of four weeks is open, and that of two weeks was never written down.
    let records = kennel("2026-10-30", BORN, &[]);
    let tasks: Vec<Task> = tasks(&records, 0, |t| t.what.starts_with("Worming at 4 weeks"));
    assert_eq!(
        (tasks.len(), tasks[0].turn, tasks[0].since),
        (1, Turn::Overdue, Some(day("2026-10-19")))
    );
    assert!(
        compute(&records)
            .litters
            .values()
            .flat_map(|l| &l.findings)
            .any(|f| f.rule() == FindingRule::CareOverdue),
        "the findings agree"
    );
}

#[test]
fn the_dam_is_wormed_with_the_first_of_her_puppies() {
    // ESCCAP GL1: the dam together with the first dose of her puppies, on day 14.
    let of_dam = |today: &str, health: &str| -> Vec<Turn> {
        let records = with_health(today, BORN, health);
        tasks(&records, 0, |t| {
            t.whom == Whom::Dam && t.what.starts_with("worming of the dam")
        })
        .into_iter()
        .map(|t| t.turn)
        .collect()
    };
    each! {
        of_dam("2026-10-14", "[]") => [];
        of_dam("2026-10-15", "[]") => [Turn::Today];
        of_dam("2026-11-15", "[]") => [Turn::Overdue];
        of_dam("2026-10-15", "- { on: 2026-10-15, for: dam, worming: { product: P } }\n") => [];
        of_dam("2026-10-15", "- { on: 2026-10-05, for: dam, worming: { product: P } }\n")
            => [Turn::Today], "ten days before is another one";
    }
    assert_eq!(
        of_dam(
            "2026-10-16",
            "- { on: 2026-10-15, for: dam, excused: worming-2-weeks, remark: the vet said so }\n"
        ),
        []
    );
}

/// Two puppies of a litter that is history; `a` left on the day of eight weeks with a family, `b`
/// on the same day with nobody on record.
const GONE: &str = "birth: { on: 2026-01-01, how: natural }
puppies:
  - { id: a, sex: female, weight: 200 g, offer: placed }
  - { id: b, sex: male, weight: 210 g, offer: placed }
";

const FAMILY: &str = "families:
  - { id: f, name: The F family, takes: [{ litter: l, puppy: a, leaves: 2026-03-01 }] }
";

fn asked(today: &str, litter: &str, owners: &str, health: &str) -> Vec<(Turn, Whom, String)> {
    let records = kennel(
        today,
        litter,
        &[("owners.yaml", owners), ("litters/l/health.yaml", health)],
    );
    let tasks = tasks(&records, 1, |task| task.kind == TaskKind::FollowUp).into_iter();
    tasks
        .map(|task| (task.turn, task.whom, task.what))
        .collect()
}

#[test]
fn families_are_asked_half_a_year_and_a_year_after_a_puppy_left() {
    // Our own days: 182 and 365 after leaving, each for 90 days. `b` left by its eight weeks, on 26
    // February.
    let whom = |id: &str| Whom::Puppies(vec![id.parse().unwrap()]);
    let who = |today: &str, health: &str| -> Vec<(Turn, Whom)> {
        asked(today, GONE, FAMILY, health)
            .into_iter()
            .map(|(turn, whom, _)| (turn, whom))
            .collect()
    };
    each! {
        who("2026-08-25", "") => [];
        who("2026-08-29", "")
            => [(Turn::Today, whom("b")), (Turn::Later(day("2026-08-30")), whom("a"))];
        who("2026-11-25", "") => [(Turn::Today, whom("b")), (Turn::Today, whom("a"))];
        who("2026-11-26", "") => [(Turn::Today, whom("a"))], "after 90 days nobody is asked again";
        who("2026-12-01", "") => [];
        who("2027-03-01", "") => [(Turn::Today, whom("b")), (Turn::Today, whom("a"))];
        who("2026-09-01", "- { on: 2026-08-31, for: a, follow_up: { how: well } }\n")
            => [(Turn::Today, whom("b"))];
    }
    let said = asked("2026-09-01", GONE, FAMILY, "");
    assert!(
        said[1]
            .2
            .contains("ask The F family for weight, bite and hips")
            && said[0].2.contains("ask its family"),
        "{said:?}"
    );
}

#[test]
fn nobody_is_asked_for_a_puppy_that_stayed_died_or_came_back() {
    let with = |more: &str| {
        GONE.replace(
            "offer: placed }\n  - { id: b",
            &format!("{more} }}\n  - {{ id: b"),
        )
    };
    let of_a = |litter: &str, owners: &str| {
        let all = asked("2026-09-01", litter, owners, "");
        all.into_iter()
            .filter(|(_, whom, _)| *whom == Whom::Puppies(vec!["a".parse().unwrap()]))
            .count()
    };
    each! {
        of_a(GONE, FAMILY) => 1;
        of_a(&with("offer: staying"), FAMILY) => 0;
        of_a(&with("fate: died, on: 2026-05-01"), FAMILY) => 0;
        of_a(&with("offer: available, returned: { on: 2026-08-01 }"), FAMILY) => 0;
    }
    // With another family since then: asked half a year after it went there.
    let again = "families:
  - { id: f, name: The F family, takes: [{ litter: l, puppy: a, leaves: 2026-03-01 }] }
  - { id: g, name: The G family, takes: [{ litter: l, puppy: a, leaves: 2026-08-20 }] }
";
    let litter = with("offer: placed, returned: { on: 2026-08-01 }");
    assert_eq!(of_a(&litter, again), 0);
    let later = asked("2027-02-27", &litter, again, "");
    assert!(
        later
            .iter()
            .any(|(_, _, what)| what.contains("six months after it left: ask The G family")),
        "{later:?}"
    );
}

#[test]
fn what_came_back_is_here_and_on_the_round_again() {
    let here = |litter: &str, owners: &str| {
        let records = kennel("2026-08-10", litter, &[("owners.yaml", owners)]);
        let figures = compute(&records);
        let folder = &records.litters["l"];
        !figures.litters.is_gone(folder, &folder.litter.puppies[0])
    };
    let litter = |more: &str| {
        format!(
            "birth: {{ on: 2026-01-01, how: natural }}\npuppies:\n  - {{ id: a, sex: female, \
             weight: 200 g, {more} }}\n"
        )
    };
    assert!(!here(&litter("offer: placed"), FAMILY));
    assert!(
        here(
            &litter("offer: placed, returned: { on: 2026-08-01 }"),
            FAMILY
        ),
        "still called placed, and here"
    );
    let again = FAMILY.replace("leaves: 2026-03-01", "leaves: 2026-08-05");
    assert!(!here(
        &litter("offer: placed, returned: { on: 2026-08-01 }"),
        &again
    ));
    assert!(
        here(
            &litter("offer: reserved, returned: { on: 2026-08-01 }"),
            &again
        ),
        "promised, and still here"
    );
}

#[test]
fn a_question_for_a_litter_that_is_history_computes_nothing_of_it() {
    let records = kennel("2026-09-01", GONE, &[("owners.yaml", FAMILY)]);
    let figures = compute(&records);
    assert_eq!(
        rounds(&records, 7)
            .tasks
            .iter()
            .filter(|task| task.kind == TaskKind::FollowUp)
            .count(),
        2
    );
    assert!(
        !figures.litters.is_computed("l"),
        "the round looked at records alone"
    );
    let again = of_kennel(&records, &figures, 7);
    assert_eq!(
        again
            .tasks
            .iter()
            .filter(|task| task.kind == TaskKind::FollowUp)
            .count(),
        2
    );
    assert!(!figures.litters.is_computed("l"));
}

#[test]
fn what_was_to_be_done_once_for_the_dam_stays_while_a_puppy_is_here() {
    // Stitches: days 10 to 14 after a section (common practice, no source). Ten weeks later nobody
    // has written that they are out.
    let at = |today: &str, litter: &str| {
        let tasks = rounds(&kennel(today, litter, &[]), 0).tasks;
        tasks.iter().any(|task| {
            task.kind == TaskKind::Recovery
                && task.turn == Turn::Overdue
                && task.what.contains("Stitches")
        })
    };
    let section = BORN.replace("how: natural", "how: planned section");
    assert!(at("2026-10-25", &section) && at("2026-12-20", &section));
    let gone = section
        .replace("id: a, sex: female,", "id: a, sex: female, offer: placed,")
        .replace("id: b, sex: male,", "id: b, sex: male, offer: placed,");
    assert!(
        at("2026-10-25", &gone),
        "they are called placed, and too young to have left"
    );
    assert!(!at("2026-12-20", &gone), "all have left for some weeks");
}

#[test]
fn the_open_doses_of_a_series_are_one_line() {
    // Half a year old, still here, nothing of the built-in vaccinations done after the first (WSAVA
    // 2024).
    let health = "- { on: 2026-11-20, for: all, vaccination: { product: V, against: [distemper, \
                  adenovirus, parvovirus] } }\n";
    let records = with_health("2027-05-20", BORN, health);
    let found = rounds(&records, 1);
    let vaccinations: Vec<&Task> = found
        .tasks
        .iter()
        .filter(|task| {
            matches!(
                &task.act,
                TaskAction::Record {
                    kind: HealthKind::Vaccination,
                    ..
                }
            )
        })
        .collect();
    assert_eq!(vaccinations.len(), 1, "{vaccinations:#?}");
    let what = &vaccinations[0].what;
    assert!(
        what.contains("; also open: ") && what.contains("Booster at 26 weeks or older"),
        "{what}"
    );
    let wormings = found
        .tasks
        .iter()
        .filter(|task| {
            task.whom != Whom::Dam
                && matches!(
                    &task.act,
                    TaskAction::Record {
                        kind: HealthKind::Worming,
                        ..
                    }
                )
        })
        .count();
    assert_eq!(wormings, 1);
}

#[test]
fn an_illness_that_nobody_closed_is_asked_about_and_a_check_answers() {
    let health = "- { on: 2026-10-03, for: dam, illness: { signs: trembling } }\n";
    let dam = |today: &str, more: &str| {
        let health = health.to_owned() + more;
        let records = with_health(today, BORN, &health);
        let found = rounds(&records, 0).tasks.into_iter();
        found
            .filter(|task| task.kind == TaskKind::Finding && task.whom == Whom::Dam)
            .map(|task| (task.turn, task.act, task.what))
            .collect::<Vec<_>>()
    };
    let call = dam("2026-10-17", "");
    assert_eq!(
        (call[0].0, &call[0].1),
        (Turn::CallTheVet, &TaskAction::CallTheVet)
    );
    let asked = dam("2026-10-18", "");
    let check = TaskAction::Record {
        kind: HealthKind::Check,
        item: None,
    };
    assert_eq!((asked[0].0, &asked[0].1), (Turn::Today, &check));
    assert!(asked[0].2.ends_with("how did it end?"), "{}", asked[0].2);
    let answer = "- { on: 2026-10-18, for: dam, check: { by: K, findings: well again } }\n";
    assert_eq!(dam("2026-10-18", answer), []);
    // Beside something new it is looked at again, and no question alone.
    let warm = "- { at: 2026-10-18 08:00, for: dam, temperature: 39.3 °C }\n";
    let both = dam("2026-10-18", warm);
    assert_eq!(both.len(), 1);
    assert!(matches!(both[0].1, TaskAction::Say(_)), "{both:#?}");
}
