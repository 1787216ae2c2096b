//! Windows, rises and steps against published figures, with worked dates.

use super::rise::Odd;
use super::temperature::{DamTemperatures, DropSign, before_birth};
use super::*;
use crate::testing::{day, each};
use proptest::prelude::*;

fn litter(yaml: &str) -> Litter {
    serde_yaml::from_str(&format!("name: L\ndam: d\nsire: s\n{yaml}")).unwrap()
}

fn due(litter: &Litter, dam: Option<Weight>) -> Option<Due> {
    windows(litter, dam).into_iter().next()
}

fn best(yaml: &str) -> Option<Due> {
    due(&litter(yaml), None)
}

#[test]
fn the_anchors_agree_on_one_cycle() {
    // Pontikaki and others: LH 65, ovulation 63, dioestrus 57; with ovulation two days and
    // dioestrus eight days after LH (Eilts and others 2005) all give one day.
    let lh = day("2024-01-01");
    let likely = |yaml: &str| best(yaml).unwrap().likely;
    assert_eq!(likely(&format!("lh_surge: {lh}")), lh.plus(65));
    assert_eq!(likely(&format!("ovulated: {}", lh.plus(2))), lh.plus(65));
    assert_eq!(likely(&format!("dioestrus: {}", lh.plus(8))), lh.plus(65));
}

#[test]
fn the_best_anchor_is_trusted_alone_and_a_contradiction_is_seen() {
    let windows = windows(
        &litter("mated: [2024-01-05]\novulated: 2024-01-03\nlh_surge: 2024-01-09"),
        None,
    );
    let due = windows[0];
    assert_eq!(
        (due.anchor, due.from, due.to),
        (Anchor::Ovulation, day("2024-03-05"), day("2024-03-07"))
    );
    assert_eq!(
        contradicting(&windows)
            .iter()
            .map(|d| d.anchor)
            .collect::<Vec<_>>(),
        [Anchor::LhSurge]
    );
}

/// A series from 2024-01-01 on: day and value, with the unit `ng/ml`.
fn series(samples: &[(i64, f64)]) -> String {
    let lines = samples.iter().map(|(on, value)| {
        format!(
            "  - {{ on: {}, value: {value} ng/ml }}\n",
            day("2024-01-01").plus(*on)
        )
    });
    format!("progesterone:\n{}", lines.collect::<String>())
}

fn read(samples: &[(i64, f64)]) -> ProgesteroneSeries {
    rise::read(&litter(&series(samples)))
}

fn on(days: i64) -> Day {
    day("2024-01-01").plus(days)
}

#[test]
fn a_rise_between_samples_two_days_apart_is_known_to_a_day_in_either_unit() {
    // Kutzler and others 2003: 2.02 ± 0.18 ng/ml on the day, birth 65 ± 1 d after it; a day more
    // for where it lies between two samples.
    let ng = best(
        "progesterone: [{on: 2024-01-01, value: 1 ng/ml}, {on: 2024-01-03, value: 3 ng/ml}, {on: \
         2024-03-01, value: 1 ng/ml}]",
    )
    .unwrap();
    let nmol = best(
        "progesterone: [{on: 2024-01-03, value: 9.54 nmol/l}, {on: 2024-01-01, value: 3.18 \
         nmol/l}]",
    )
    .unwrap();
    assert_eq!(
        (ng.from, ng.likely, ng.to),
        (on(1 + 63), on(1 + 65), on(1 + 67))
    );
    assert_eq!(
        (ng, ng.anchor, ng.known),
        (nmol, Anchor::Progesterone, Certainty::ToADay { spread: 2 })
    );
}

#[test]
fn a_rise_between_samples_further_apart_is_a_bracket_without_section_days() {
    let reading = read(&[(0, 0.8), (3, 4.0)]);
    assert_eq!(
        (reading.rise, reading.missed.as_slice()),
        (
            Rise::Between {
                after: on(0),
                by: on(3)
            },
            [on(2)].as_slice()
        )
    );
    let windows = windows(&litter(&series(&[(0, 0.8), (3, 4.0)])), None);
    assert_eq!(
        (windows[0].anchor, windows[0].from, windows[0].to),
        (Anchor::Bracket, on(64), on(3 + 66)),
        "each sample carried forward, 65 ± 1 d"
    );
    assert_eq!(section(&windows), Err(NoSection::NoAnchorToADay));
    assert_eq!(last_day(&windows), None, "never over her time by a bracket");
    assert!(
        !steps(&windows, &reading)
            .iter()
            .any(|s| s.kind == StepKind::Section)
    );
    assert_eq!(read(&[(0, 0.8), (7, 9.0)]).missed, [on(2), on(4), on(6)]);
    // A day that has a sample is not one on which a sample was missed, nor would more samples tell
    // which of two rises it was.
    assert_eq!(read(&[(0, 0.8), (2, 1.6), (2, 2.4), (4, 5.0)]).missed, []);
    assert_eq!(
        read(&[(0, 0.8), (2, 2.6), (4, 1.2), (12, 1.5), (14, 3.5)]).missed,
        []
    );
}

#[test]
fn a_first_sample_over_the_border_says_no_later_than() {
    let reading = read(&[(0, 9.0), (2, 12.0)]);
    assert_eq!(
        (reading.rise, no_later_than(&reading)),
        (Rise::NoLater { day: on(0) }, Some(on(66)))
    );
    assert_eq!(
        best(&series(&[(0, 9.0), (2, 12.0)])),
        None,
        "a rise that was missed opens no window"
    );
}

#[test]
fn before_the_rise_the_next_sample_is_asked_for() {
    let reading = read(&[(0, 0.6), (2, 1.1)]);
    assert_eq!(
        (reading.rise, rise::next_sample(reading.rise)),
        (Rise::NotYet { last: on(2) }, Some(on(4)))
    );
    let asked = |windows: &[Due]| {
        steps(windows, &reading)
            .into_iter()
            .find(|s| s.kind == StepKind::Progesterone)
            .map(|s| (s.from, s.to))
    };
    assert_eq!(asked(&[]), Some((on(3), on(4))));
    assert_eq!(
        asked(&windows(&litter("ovulated: 2024-01-06"), None)),
        None,
        "ovulation is known"
    );
    assert_eq!(rise::next_sample(read(&[(0, 0.6), (2, 2.4)]).rise), None);
}

#[test]
fn falls_two_values_and_a_split_season_are_said() {
    let split = read(&[(0, 0.7), (2, 2.5), (4, 1.2), (6, 1.5), (8, 3.1)]);
    assert_eq!(
        split.rise,
        Rise::Between {
            after: on(0),
            by: on(8)
        },
        "any day between may be the one"
    );
    assert_eq!(
        split.odd,
        [
            Odd::FellAgain { on: on(6) },
            Odd::Split {
                first: on(2),
                again: on(8)
            }
        ]
    );
    let fell = read(&[(0, 0.7), (2, 2.5), (4, 1.2)]);
    assert_eq!(
        (fell.rise, fell.odd.as_slice()),
        (
            Rise::NotYet { last: on(4) },
            [Odd::FellAgain { on: on(4) }].as_slice()
        )
    );
    let twice = read(&[(0, 0.7), (1, 1.2), (1, 2.8), (2, 4.0)]);
    assert_eq!(
        (twice.rise, twice.odd.as_slice()),
        (
            Rise::ToADay { day: on(1) },
            [Odd::TwoValues {
                on: on(1),
                left_out: true
            }]
            .as_slice()
        )
    );
    let apart = read(&[(0, 0.7), (2, 1.2), (2, 2.8), (4, 4.0)]);
    assert_eq!(
        apart.rise,
        Rise::Between {
            after: on(0),
            by: on(4)
        },
        "without that day the samples lie too far apart"
    );
    let alike = read(&[(0, 0.7), (2, 3.0), (2, 3.4)]);
    assert_eq!(
        alike.odd,
        [Odd::TwoValues {
            on: on(2),
            left_out: false
        }]
    );
}

#[test]
fn a_rise_is_twice_her_own_baseline() {
    // Kutzler and others 2003: at least 1.5 ng/ml and twice the bitch's own baseline.
    let high = read(&[(0, 1.2), (2, 1.2), (4, 2.1), (5, 3.0)]);
    assert_eq!(
        (high.rise, high.odd.as_slice()),
        (
            Rise::Between {
                after: on(2),
                by: on(5)
            },
            [Odd::NotTwice { on: on(4) }].as_slice()
        )
    );
    each! {
        read(&[(0, 1.2), (2, 2.4)]).rise => Rise::ToADay { day: on(1) }, "twice is enough";
        read(&[(0, 1.3), (2, 2.1)]).rise => Rise::NotYet { last: on(2) };
        // 1.7 is a rise by Kutzler's words, but not at the border: the border decides, and the two
        // lie within the spread.
        read(&[(0, 0.5), (2, 1.7), (4, 2.6)]).rise => Rise::ToADay { day: on(3) };
    }
}

#[test]
fn the_border_is_that_of_the_assay() {
    // Noethling and De Cramer 2019: LH day about 6 nmol/l by RIA, 5.1 nmol/l by a chemiluminescence
    // analyser; 2 ng/ml (6.36 nmol/l) where nobody says.
    let rise = |value: &str, more: &str| {
        rise::read(&litter(&format!(
            "progesterone: [{{on: 2024-01-01, value: 1.6 nmol/l{more}}}, {{on: 2024-01-02, value: \
             {value} nmol/l{more}}}]"
        )))
        .rise
    };
    let is_up = |value: &str, more: &str| matches!(rise(value, more), Rise::ToADay { .. });
    for (more, under, at) in [
        (", method: RIA", "5.99", "6.0"),
        (", laboratory: 'Vale Lab, radioimmunoassay'", "5.99", "6"),
        (", method: Chemiluminescence", "5.09", "5.1"),
        (", method: CLIA, laboratory: RIA Street Lab", "5.09", "5.1"),
        (", laboratory: Gloria Lab", "6.35", "6.36"),
        ("", "6.35", "6.36"),
    ] {
        assert_eq!(
            (is_up(under, more), is_up(at, more)),
            (false, true),
            "{more}"
        );
    }
    let mixed = rise::read(&litter(
        "progesterone: [{on: 2024-01-01, value: 1.2 nmol/l, method: RIA}, {on: 2024-01-02, value: \
         6 nmol/l, method: CLIA}]",
    ));
    assert_eq!(mixed.odd, [Odd::Assays]);
}

#[test]
fn samples_late_in_pregnancy_look_for_the_fall() {
    let text = format!(
        "mated: 2024-01-04\n{}",
        series(&[(0, 0.8), (2, 2.4), (60, 3.0), (62, 1.4)])
    );
    let reading = rise::read(&litter(&text));
    assert_eq!(
        (reading.rise, reading.odd.len()),
        (Rise::ToADay { day: on(2) }, 0)
    );
    assert_eq!(
        rise::read(&litter(
            "mated: 2024-01-04\nprogesterone: [{on: 2024-03-05, value: 1.1 ng/ml}]"
        ))
        .rise,
        Rise::NotSampled
    );
}

#[test]
fn section_days_are_those_of_the_rule() {
    // Ours: ovulation + 61 + s to + 65 - s.
    let of = |yaml: &str| section(&windows(&litter(yaml), None)).map(|s| (s.from, s.to, s.spread));
    let from_ovulation = |days: i64| day("2024-01-03").plus(days);
    each! {
        of("ovulated: 2024-01-03") => Ok((from_ovulation(62), from_ovulation(64), 1));
        of("lh_surge: 2024-01-01") => Ok((from_ovulation(62), from_ovulation(64), 1));
        // De Cramer and Noethling: dioestrus + 57 ± 1, which is ovulation + 63 with dioestrus eight
        // days after LH.
        of("dioestrus: 2024-01-09") => Ok((from_ovulation(62), from_ovulation(64), 1));
        of(&series(&[(-1, 1.0), (0, 2.0), (2, 5.0)]))
            => Ok((from_ovulation(63), from_ovulation(63), 2)), "day 63 alone";
    }
    for wide in [
        "mated: 2024-01-03",
        "",
        "measured: [{on: 2024-02-10, what: inner chamber, size: 30 mm}]",
    ] {
        assert_eq!(
            section(&windows(&litter(wide), "9 kg".parse().ok())),
            Err(NoSection::NoAnchorToADay),
            "{wide}"
        );
    }
    assert_eq!(
        of("ovulated: 2024-01-03\nlh_surge: 2024-01-09"),
        Err(NoSection::DatesDisagree)
    );
}

#[test]
fn over_her_time_is_past_day_65_or_past_day_72_from_the_last_mating() {
    let last = |yaml: &str| last_day(&windows(&litter(yaml), None)).map(|(last, _)| last);
    each! {
        last("ovulated: 2024-01-03\nmated: 2024-01-04") => Some(day("2024-01-03").plus(65));
        last("dioestrus: 2024-01-09") => Some(day("2024-01-09").plus(59));
        last("mated: [2024-01-03, 2024-01-05]") => Some(day("2024-01-05").plus(72));
        last(&format!("mated: 2024-01-05\n{}", series(&[(0, 0.8), (3, 4.0)])))
            => Some(day("2024-01-05").plus(72)), "not the bracket";
    }
}

#[test]
fn one_puppy_is_spoken_of_by_day_62() {
    let by = |yaml: &str| speak_by(&best(yaml).unwrap());
    assert_eq!(by("ovulated: 2024-01-03"), day("2024-01-03").plus(62));
    assert_eq!(
        by("mated: 2024-01-03"),
        day("2024-01-03").plus(57),
        "a wide window: its first day"
    );
}

#[test]
fn anchors_known_to_a_day_win_and_then_the_narrowest_window() {
    let order = |yaml: &str| {
        windows(&litter(yaml), "9 kg".parse().ok())
            .iter()
            .map(|due| due.anchor)
            .collect::<Vec<_>>()
    };
    let measured =
        "measured: [{on: 2024-02-10, what: inner chamber, size: 30 mm}]\nmated: 2024-01-05\n";
    each! {
        order(&format!("dioestrus: 2024-01-09\n{measured}{}", series(&[(0, 0.8), (9, 4.0)])))
            => [Anchor::Dioestrus, Anchor::Measured, Anchor::Bracket, Anchor::Mating];
        order(&format!("{measured}{}", series(&[(0, 0.8), (2, 4.0)])))
            => [Anchor::Progesterone, Anchor::Measured, Anchor::Mating];
        order(&format!("mated: 2024-01-05\n{}", series(&[(0, 0.8), (30, 4.0)])))
            => [Anchor::Mating, Anchor::Bracket];
    }
}

#[test]
fn fetal_measurements_count_back_from_birth() {
    // Luvoni and Grioni 2000 (formulas from memory): small dams, chamber 30 mm 25.28 days, head 20
    // mm 8.38; medium, chamber 30 mm 28.96, head 20 mm 13.11.
    let small: Weight = "9.1 kg".parse().unwrap();
    let medium: Weight = "18 kg".parse().unwrap();
    for (what, mm, dam, days) in [
        (Measured::InnerChamber, 20.0, small, 31.82),
        (Measured::InnerChamber, 30.0, small, 25.28),
        (Measured::Head, 15.0, small, 16.57),
        (Measured::Head, 20.0, small, 8.38),
        (Measured::InnerChamber, 20.0, medium, 34.52),
        (Measured::InnerChamber, 30.0, medium, 28.96),
        (Measured::Head, 15.0, medium, 20.26),
        (Measured::Head, 20.0, medium, 13.11),
    ] {
        assert!(
            (days_to_birth(what, mm, dam).unwrap() - days).abs() < 0.005,
            "{what:?} {mm}"
        );
    }
    assert_eq!(
        days_to_birth(Measured::Head, 25.0, small),
        None,
        "too close to birth for the formula"
    );
    let yaml = "measured: [{on: 2024-03-01, what: head, size: 20 mm}, {on: 2024-02-10, what: \
                inner chamber, size: 30 mm}]";
    let due = due(&litter(yaml), Some(small)).unwrap();
    assert_eq!(
        (due.anchor, due.likely),
        (Anchor::Measured, day("2024-03-09"))
    );
    assert_eq!(
        best(yaml),
        None,
        "without the dam's weight nothing is known"
    );
}

#[test]
fn steps_stand_in_their_published_windows() {
    let ovulation = day("2024-01-03");
    let of_litter = |yaml: &str| (windows(&litter(yaml), None), rise::read(&litter(yaml)));
    let (known, reading) = of_litter(&format!("ovulated: {ovulation}"));
    let steps = steps(&known, &reading);
    let of = |kind: StepKind| {
        steps
            .iter()
            .find(|s| s.kind == kind)
            .map(|s| (s.from.since(ovulation), s.to.since(ovulation)))
            .unwrap()
    };
    assert_eq!(
        of(StepKind::Section),
        (62, 64),
        "our rule with a spread of one day"
    );
    // Concannon and Rendano 1983: certain 46 to 49 days after the LH surge, which is 44 to 47 after
    // ovulation.
    assert!(of(StepKind::XRay).0 >= 47);
    // Veterinary teaching: scan from day 21 to 30.
    assert!(of(StepKind::Scan).0 >= 21 && of(StepKind::Scan).1 <= 30);
    assert!(
        !super::steps(&windows(&litter("mated: 2024-01-03"), None), &reading)
            .iter()
            .any(|s| s.kind == StepKind::Section),
        "a mating date is not enough"
    );
}

#[test]
fn without_any_date_there_is_no_window() {
    assert_eq!(best(""), None);
}

/// Her readings: time and °C; due from 2024-03-06.
fn temperatures(readings: &[(&str, f64)], more: &str) -> DamTemperatures {
    let entries: String = readings
        .iter()
        .map(|(at, celsius)| {
            let key = if at.contains(' ') { "at" } else { "on" };
            format!("- {{ {key}: '{at}', for: dam, temperature: {celsius} °C }}\n")
        })
        .collect();
    let health: Vec<crate::records::health::HealthEntry> =
        serde_yaml::from_str(&format!("{entries}{more}")).unwrap();
    before_birth(
        &litter("ovulated: 2024-01-03"),
        &health,
        Some(day("2024-03-05")),
        "Nell",
        "Europe/London".parse().unwrap(),
    )
}

#[test]
fn a_reading_at_or_under_37_5_is_the_drop_and_birth_follows_in_13_to_33_hours() {
    // 45 bitches: 13 to 33 h before birth, mean 21.5 h; no birth 24 h after the drop: call
    // (Nelson).
    let dam = temperatures(
        &[
            ("2024-03-03 08:00", 38.2),
            ("2024-03-04 08:00", 37.5),
            ("2024-03-04 20:00", 37.0),
        ],
        "",
    );
    let drop = dam.drop.unwrap();
    assert_eq!(
        (drop.reading.at.unwrap().to_string().as_str(), drop.sign),
        ("2024-03-04 08:00", DropSign::Low)
    );
    assert_eq!(
        drop.birth.map(|at| at.to_string()),
        ["2024-03-04 21:00", "2024-03-05 05:30", "2024-03-05 17:00"]
    );
    assert_eq!(drop.call.to_string(), "2024-03-05 08:00");
    assert_eq!(temperatures(&[("2024-03-04 08:00", 37.6)], "").drop, None);
    assert_eq!(
        temperatures(&[("2024-02-20 08:00", 37.2)], "").drop,
        None,
        "two weeks too early to mean birth"
    );
}

#[test]
fn a_degree_under_her_own_mean_is_the_drop() {
    let days = [
        ("2024-03-01 08:00", 38.8),
        ("2024-03-02 08:00", 38.6),
        ("2024-03-03 08:00", 38.7),
    ];
    let with = |celsius: f64| {
        temperatures(&[&days[..], &[("2024-03-04 08:00", celsius)]].concat(), "")
            .drop
            .map(|drop| drop.sign)
    };
    assert!(matches!(with(37.7), Some(DropSign::UnderMean(mean)) if (mean - 38.7).abs() < 1e-9));
    assert_eq!(with(37.8), None);
    assert_eq!(
        temperatures(&[days[0], days[1], ("2024-03-03 08:00", 37.6)], "").drop,
        None,
        "two readings are no mean"
    );
}

#[test]
fn hours_pass_over_a_change_of_clocks_and_a_day_without_a_time_is_taken_with_care() {
    let day_alone = temperatures(&[("2024-03-04", 37.2)], "").drop.unwrap();
    assert_eq!(
        day_alone.birth.map(|at| at.to_string()),
        ["2024-03-04 13:00", "2024-03-05 09:30", "2024-03-06 09:00"]
    );
    assert_eq!(day_alone.call.to_string(), "2024-03-05 00:00");
    // British summer time begins on 2024-03-31 at 01:00 UTC.
    let changed = temperatures(&[("2024-03-30 20:00", 37.2)], "")
        .drop
        .unwrap();
    assert_eq!(changed.call.to_string(), "2024-03-31 21:00");
}

#[test]
fn a_vet_who_looked_at_her_closes_the_drop() {
    let readings = [("2024-03-04 08:00", 37.3), ("2024-03-05 08:00", 38.3)];
    let is_open = |check: &str| {
        temperatures(
            &readings,
            &format!("- {{ {check}, for: dam, check: {{ by: Vet }} }}\n"),
        )
        .drop
        .is_some()
    };
    assert_eq!(
        (
            is_open("on: 2024-03-04"),
            is_open("on: 2024-03-05"),
            is_open("at: '2024-03-04 09:00'")
        ),
        (true, false, false)
    );
    let own = temperatures(
        &[("2024-03-04 08:00", 37.3), ("2024-03-05 08:00", 37.4)],
        "- { at: '2024-03-05 09:00', for: dam, check: { by: Nell, findings: quiet } }\n",
    );
    assert!(own.drop.is_some(), "the keeper is no vet");
}

#[test]
fn a_low_reading_without_birth_lapses_when_she_is_warm_again_and_the_next_one_is_the_drop() {
    // 13 to 33 h from the drop to birth in 45 bitches; handbooks: to 36.7 to 37.2 °C.
    let readings = [
        ("2024-03-02 08:00", 37.5),
        ("2024-03-03 08:00", 38.1),
        ("2024-03-04 08:00", 38.2),
        ("2024-03-05 08:00", 38.0),
        ("2024-03-06 08:00", 36.8),
    ];
    let at = |count: usize| temperatures(&readings[..count], "");
    assert!(at(2).drop.is_some(), "24 h: birth may still come");
    let dam = at(4);
    assert_eq!(dam.drop, None);
    let rose = dam.rose_again.unwrap();
    assert_eq!(
        (
            rose.low.at.unwrap().to_string(),
            rose.warm.at.unwrap().to_string()
        ),
        ("2024-03-02 08:00".to_owned(), "2024-03-04 08:00".to_owned())
    );
    let dam = at(5);
    assert_eq!(dam.rose_again, None);
    assert_eq!(
        dam.drop.unwrap().reading.at.unwrap().to_string(),
        "2024-03-06 08:00"
    );
    // She stays low: the hours count from the first reading, and nothing lapses.
    let low = temperatures(
        &[
            ("2024-03-04 08:00", 37.2),
            ("2024-03-04 20:00", 37.0),
            ("2024-03-05 20:00", 37.3),
            ("2024-03-06 20:00", 38.2),
        ],
        "",
    );
    assert_eq!(
        low.drop.unwrap().reading.at.unwrap().to_string(),
        "2024-03-04 08:00"
    );
    // The hour of a reading may be the last of its day.
    let lapses = |warm: &str| {
        temperatures(&[("2024-03-04", 37.2), (warm, 38.2)], "")
            .rose_again
            .is_some()
    };
    assert_eq!(
        (lapses("2024-03-06 08:00"), lapses("2024-03-06 10:00")),
        (false, true)
    );
}

proptest! {
    /// A kennel a few days later is the same kennel: every day that is computed moves by as many.
    #[test]
    fn what_is_computed_moves_with_the_dates(
        samples in prop::collection::vec((0_i64..14, 1_u32..120), 0..7),
        known in any::<[Option<u8>; 3]>(),
        mated in prop::collection::vec(0_i64..9, 0..4),
        shift in -4000_i64..4000,
    ) {
        let record = |by: i64| {
            let at = |days: i64| on(days + by);
            let keys = ["ovulated", "lh_surge", "dioestrus"].iter().zip(&known);
            let mut text: String = keys
                .filter_map(|(key, days)| {
                    Some(format!("{key}: {}\n", at(i64::from((*days)? % 20))))
                })
                .collect();
            let tenths = |value: u32| f64::from(value) / 10.0;
            text += "progesterone: [";
            text.extend(samples.iter().map(|(on, value)| {
                format!("{{on: {}, value: {} ng/ml}},", at(*on), tenths(*value))
            }));
            text += "]\nmated: [";
            text.extend(mated.iter().map(|days| format!("{},", at(*days))));
            litter(&(text + "]\n"))
        };
        let computed = |by: i64| {
            let litter = record(by);
            let (windows, reading) = (windows(&litter, None), rise::read(&litter));
            let mut days: Vec<Day> = windows
                .iter()
                .flat_map(|due| [due.from, due.likely, due.to])
                .collect();
            days.extend(
                steps(&windows, &reading)
                    .iter()
                    .flat_map(|step| [step.from, step.to]),
            );
            days.extend(
                section(&windows)
                    .iter()
                    .flat_map(|section| [section.from, section.to]),
            );
            days.extend(
                last_day(&windows)
                    .map(|(last, _)| last)
                    .into_iter()
                    .chain(no_later_than(&reading))
                    .chain(rise::next_sample(reading.rise)),
            );
            days.extend(reading.missed);
            let anchors: Vec<(Anchor, Certainty)> =
                windows.iter().map(|due| (due.anchor, due.known)).collect();
            (
                days.into_iter()
                    .map(|day| day.plus(-by))
                    .collect::<Vec<_>>(),
                anchors,
                section(&windows).err(),
                reading.odd.len(),
            )
        };
        prop_assert_eq!(computed(shift), computed(0));
    }
}
