//! What holds of warnings whatever the records say: they move with the calendar, do not vanish
//! without a word, never speak of the dead, do not depend on the unit, and reassure nobody too
//! early.

use crate::support::{Kennel, now};
use chrono::NaiveDate;
use litterfolio::audience::words;
use litterfolio::husbandry::findings::{Finding, FindingRule, Urgency};
use litterfolio::husbandry::rounds::{self, TaskContent, TaskKind};
use litterfolio::husbandry::{Figures, compute};
use litterfolio::quantity::{Day, Id};
use litterfolio::records::{Records, load};
use proptest::prelude::*;
use std::collections::BTreeSet;

const CHECKED: &str = "palate: intact, newborn: { limbs: normal, navel: normal, anus: normal, \
                       skull: normal, eyes: normal, tail: normal, skin: normal, suck: strong }";

fn loaded(kennel: &Kennel) -> Records {
    let loaded = load(&kennel.content(), now()).unwrap();
    assert!(!loaded.has_errors(), "{:#?}", loaded.problems);
    loaded.records.unwrap().into_inner()
}

/// The base kennel with a litter of its own on a day of April.
fn records(today: u32, puppies: &str, weights: &str, health: &str) -> Records {
    let kennel = Kennel::base();
    let litter = format!(
        "name: Spring 2026\ndam: juno\nsire: corvin\nbirth: {{ on: 2026-04-01, how: natural \
         }}\npuppies:\n{puppies}"
    );
    kennel.write("litters/spring/litter.yaml", &litter);
    kennel.write("litters/spring/weights.yaml", weights);
    kennel.write("litters/spring/health.yaml", health);
    kennel.change(
        "kennel.yaml",
        "as_of: 2026-10-09",
        &format!("as_of: 2026-04-{today:02}"),
    );
    kennel.write("owners.yaml", "{}\n");
    std::fs::remove_dir_all(kennel.content().join("litters/spring/notes")).unwrap();
    loaded(&kennel)
}

fn findings(records: &Records) -> Vec<Finding> {
    compute(records)
        .litters
        .values()
        .flat_map(|litter| litter.findings.clone())
        .collect()
}

/// The day a text begins with, as files have it or in words, and how much of the text it is.
fn day_at_start(text: &str) -> Option<(Day, usize, bool)> {
    if let Some(day) = text.get(..10).and_then(|text| text.parse::<Day>().ok()) {
        return Some((day, 10, false));
    }
    let mut ends = text.match_indices(|c: char| !c.is_alphanumeric());
    let end = ends.nth(2).map_or(text.len(), |(end, _)| end);
    let date = NaiveDate::parse_from_str(&text[..end], "%d %B %Y").ok()?;
    Some((date.to_string().parse().ok()?, end, true))
}

/// A text with every date in it so many days later.
fn shifted(text: &str, days: i64) -> String {
    let mut out = String::with_capacity(text.len());
    let mut rest = text;
    while let Some(letter) = rest.chars().next() {
        // A longer row of digits is a chip number or a telephone, and no date.
        let is_start = !out.ends_with(|c: char| c.is_ascii_digit() || c == '-');
        match Some(rest).filter(|_| is_start).and_then(day_at_start) {
            Some((day, length, is_in_words)) => {
                let later = day.plus(days);
                let later = if is_in_words {
                    later.in_words()
                } else {
                    later.to_string()
                };
                out.push_str(&later);
                rest = &rest[length..];
            }
            None => {
                out.push(letter);
                rest = &rest[letter.len_utf8()..];
            }
        }
    }
    out
}

/// Whether a task tells of a rule of law.
fn is_of_a_rule(what: &TaskContent) -> bool {
    matches!(what, TaskContent::Findings(found) if found.iter().any(|f| f.rule() == FindingRule::Rule))
}

/// Everything that is dated, as text: findings, tasks, due windows, care, seasons. Rules of law
/// have dates of their own, and are left out.
fn dated(records: &Records, figures: &Figures<'_>) -> Vec<String> {
    let mut all = Vec::new();
    for (id, litter) in figures.litters.iter() {
        let own = litter
            .findings
            .iter()
            .filter(|f| f.rule() != FindingRule::Rule);
        all.extend(own.map(|f| {
            format!(
                "{id} {:?} {} {:?} {} [{}] {:?}",
                f.puppy,
                f.rule().name(),
                f.urgency,
                words::findings::what(f, false),
                words::findings::limit(f),
                f.weight.map(|weight| weight.days)
            )
        }));
        all.push(format!(
            "{id} {:?} {:?} {:?}",
            litter.due.map(|due| (
                due.from.to_string(),
                due.likely.to_string(),
                due.to.to_string()
            )),
            litter.leaves_from.map(|day| day.to_string()),
            litter.windows.len()
        ));
        all.extend(
            litter
                .steps
                .iter()
                .map(|step| format!("{id} {:?} {} {}", step.kind, step.from, step.to)),
        );
        for (puppy, own) in &litter.puppies {
            all.extend(own.care.standings.iter().map(|s| {
                format!(
                    "{id} {puppy} {} {} {} {:?}",
                    s.item.id,
                    s.from,
                    s.until,
                    std::mem::discriminant(&s.state)
                )
            }));
        }
    }
    let round = rounds::of_kennel(records, figures, &records.owners.homes(), 7);
    let own = round
        .tasks
        .iter()
        .filter(|task| task.kind != TaskKind::Rule && !is_of_a_rule(&task.what));
    let day = |day: Option<Day>| day.map(|day| day.to_string());
    all.extend(own.map(|task| {
        format!(
            "{:?} {} {:?} {} {:?} {:?}",
            task.kind,
            task.litter,
            task.whom,
            words::rounds::what(&task.what, false),
            day(task.since),
            day(task.until)
        )
    }));
    all.sort();
    all
}

/// The demo's records, in a place without summer time, with every date so many days later.
fn demo(days: i64) -> Vec<String> {
    let kennel = Kennel::demo_records();
    for (file, bytes) in kennel.files() {
        let text = String::from_utf8(bytes).unwrap();
        let text: String = text
            .lines()
            .map(|line| {
                if line.starts_with("time_zone:") {
                    "time_zone: UTC\n".to_owned()
                } else {
                    format!("{line}\n")
                }
            })
            .collect();
        kennel.write(&file, &shifted(&text, days));
    }
    let loaded = load(&kennel.content(), "2036-01-01T00:00:00Z".parse().unwrap()).unwrap();
    let records = loaded
        .records
        .unwrap_or_else(|| panic!("{:#?}", loaded.problems));
    dated(&records, &compute(&records))
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(6))]

    #[test]
    fn with_every_date_later_every_computed_date_is_as_much_later(days in -700_i64..700) {
        let (mut now, then) = (
            demo(0)
                .iter()
                .map(|line| shifted(line, days))
                .collect::<Vec<_>>(),
            demo(days),
        );
        now.sort();
        prop_assert!(now.len() > 100);
        for (one, other) in now.iter().zip(&then) {
            prop_assert_eq!(one, other);
        }
        prop_assert_eq!(now.len(), then.len());
    }
}

/// Weights of a puppy twice a day, as shares of its birth weight: it gains, stands still and loses
/// in turn.
fn course() -> impl Strategy<Value = Vec<f64>> {
    prop::collection::vec(
        (
            prop::sample::select(vec![0.04, 0.025, 0.0, -0.02, -0.05]),
            1..6_usize,
            -0.01..0.01,
        ),
        1..12,
    )
    .prop_map(|parts| {
        let mut weight = 1.0;
        let grow = |(gain, times, scatter): (f64, usize, f64)| {
            (0..times)
                .map(move |n| (gain, if n % 2 == 0 { scatter } else { -scatter }))
                .collect::<Vec<_>>()
        };
        parts
            .into_iter()
            .flat_map(grow)
            .take(44)
            .map(|(gain, scatter)| {
                weight *= 1.0 + gain;
                weight * (1.0 + scatter)
            })
            .collect()
    })
}

/// Weigh-ins every twelve hours of one puppy.
fn weigh_ins(id: &str, weights: &[f64], write: impl Fn(f64) -> String) -> String {
    let block = |(n, share): (usize, &f64)| {
        let hour = if n.is_multiple_of(2) {
            "20:00"
        } else {
            "08:00"
        };
        format!(
            "- {{ at: 2026-04-{:02} {hour}, {id}: {} }}\n",
            1 + n.div_ceil(2),
            write(*share)
        )
    };
    weights.iter().enumerate().map(block).collect()
}

fn puppy(id: &str, weight: &str, more: &str) -> String {
    format!("  - {{ id: {id}, sex: female, born: \"08:00\", weight: {weight}, {CHECKED}{more} }}\n")
}

fn grams(share: f64) -> String {
    format!("{:.0} g", share * 300.0)
}

fn today(weights: &[f64]) -> u32 {
    u32::try_from(1 + (weights.len() - 1).div_ceil(2)).unwrap()
}

const CALLS: [&str; 4] = ["total-loss", "early-loss", "under-birth-weight", "no-gain"];

proptest! {
    #![proptest_config(ProptestConfig::with_cases(96))]

    #[test]
    fn a_call_stands_on_after_a_steady_weight_or_is_closed_with_its_reason(weights in course()) {
        let of = |weights: &[f64]| {
            findings(&records(
                today(weights),
                &puppy("moss", "300 g", ""),
                &weigh_ins("moss", weights, grams),
                "[]\n",
            ))
        };
        let before = of(&weights);
        let mut later = weights.clone();
        later.push(weights[weights.len() - 1] * 1.04);
        let after = of(&later);
        for call in before
            .iter()
            .filter(|f| f.urgency == Urgency::CallTheVet && CALLS.contains(&f.rule().name()))
        {
            let stands = after.iter().any(|f| f.rule() == call.rule());
            let told = after.iter().filter(|f| f.rule() == FindingRule::CallClosed).count();
            prop_assert!(stands || told > 0, "{:?} is gone from {:#?}", call, after);
        }
    }

    #[test]
    fn ounces_and_the_same_in_grams_are_the_same_findings(
        weights in course(),
        born in 60_u32..180,
    ) {
        // 1 oz is 28.349523125 g (international agreement of 1959); tenths of an ounce are whole
        // numbers of 10^-10 g.
        let tenths = |share: f64| (share * f64::from(born)).round().max(1.0);
        let ounces = |share: f64| format!("{:.1} oz", tenths(share) / 10.0);
        let in_grams = |share: f64| format!("{:.9} g", tenths(share) * 2.834_952_312_5);
        let with = |write: &dyn Fn(f64) -> String| {
            let puppies = puppy("moss", &write(1.0), "") + &puppy("wren", &write(1.2), "");
            let found = findings(&records(
                today(&weights),
                &puppies,
                &weigh_ins("moss", &weights, write),
                "[]\n",
            ));
            found
                .into_iter()
                .map(|f| {
                    let (what, limit) =
                        (words::findings::what(&f, false), words::findings::limit(&f));
                    (f.rule(), f.puppy, f.urgency, what, limit)
                })
                .collect::<Vec<_>>()
        };
        prop_assert_eq!(with(&ounces), with(&in_grams));
    }

    #[test]
    fn nothing_is_found_of_the_dead(
        weights in course(),
        died in 1_u32..22,
        still in any::<bool>(),
    ) {
        let puppies = puppy(
            "moss",
            "300 g",
            &format!(", fate: died, on: 2026-04-{died:02}"),
        ) + &puppy(
            "wren",
            "190 g",
            if still { ", fate: stillborn" } else { "" },
        ) + &puppy("ash", "310 g", "");
        let known = &weights[..weights.len().min(usize::try_from(died * 2 - 1).unwrap())];
        let health = "- { on: 2026-04-01, for: moss, temperature: 33.0 °C }\n- { on: 2026-04-01, \
                      for: moss, illness: { signs: limp and cold } }\n";
        let records = records(22, &puppies, &weigh_ins("moss", known, grams), health);
        let dead: BTreeSet<Id> = records
            .litters
            .values()
            .flat_map(|f| &f.litter.puppies)
            .filter(|p| !p.is_alive())
            .map(|p| p.id.clone())
            .collect();
        let figures = compute(&records);
        let ahead = figures
            .litters
            .values()
            .flat_map(|l| l.ahead.iter().flat_map(|a| &a.findings));
        for found in figures
            .litters
            .values()
            .flat_map(|l| &l.findings)
            .chain(ahead)
        {
            prop_assert!(
                found.puppy.as_ref().is_none_or(|id| !dead.contains(id)),
                "{:?}",
                found
            );
        }
    }

    #[test]
    fn nobody_is_called_steady_within_twelve_hours_of_a_reading_outside_its_band(
        age in 3_u32..18,
        tenths in 330_u32..400,
        hour in 0_u32..24,
        is_today in any::<bool>(),
        later in prop::option::of(345_u32..372),
        ill in any::<bool>(),
    ) {
        // Usual by Small Animal Clinical Nutrition, 5th ed., table 16-1: 34.5 to 37.2 °C in weeks 1
        // and 2, 36.0 to 37.8 °C in weeks 3 and 4; cold under 35 °C in week 1 (advice of two
        // practices).
        let day = 1 + age - u32::from(!is_today);
        let usual = |age: u32, tenths: u32| match age {
            0..=6 => (350..=372).contains(&tenths),
            7..=14 => (345..=372).contains(&tenths),
            _ => (360..=378).contains(&tenths),
        };
        let weights: Vec<f64> = (0..(age * 2))
            .map(|n| 1.04_f64.powi(i32::try_from(n).unwrap()))
            .collect();
        let mut health = format!(
            "- {{ at: 2026-04-{day:02} {hour:02}:00, for: moss, temperature: {}.{} °C }}\n",
            tenths / 10,
            tenths % 10
        );
        // A reading inside the band an hour later does not end it.
        if let Some(later) = later.filter(|_| hour < 23) {
            health.push_str(&format!(
                "- {{ at: 2026-04-{day:02} {:02}:00, for: moss, temperature: {}.{} °C }}\n",
                hour + 1,
                later / 10,
                later % 10
            ));
        }
        if ill {
            health.push_str(&format!(
                "- {{ on: 2026-04-{day:02}, for: moss, illness: {{ signs: breathes hard }} }}\n"
            ));
        }
        let found = findings(&records(
            1 + age,
            &puppy("moss", "300 g", ""),
            &weigh_ins("moss", &weights, grams),
            &health,
        ));
        let is_steady = found.iter().any(|f| f.urgency == Urgency::Steady);
        let is_recent = is_today || hour >= 12;
        let outside = !usual(day - 1, tenths)
            || later.is_some_and(|later| hour < 23 && !usual(day - 1, later));
        prop_assert!(
            !is_steady || !((is_recent && outside) || ill),
            "{:#?}",
            found
        );
        // With nothing outside it is said, or the property would say nothing.
        prop_assert!(is_steady || outside || ill, "{:#?}", found);
    }
}

#[test]
fn every_watch_and_call_of_the_demo_says_what_would_end_it() {
    let records = loaded(&Kennel::demo_records());
    let figures = compute(&records);
    let all: Vec<&Finding> = figures
        .litters
        .values()
        .flat_map(|litter| &litter.findings)
        .filter(|f| f.urgency > Urgency::Steady)
        .collect();
    assert!(!all.is_empty());
    for found in all
        .iter()
        .filter(|f| f.puppy.is_some() || f.urgency == Urgency::Watch)
    {
        assert!(words::findings::limit(found).contains("ends "), "{found:?}");
    }
}
