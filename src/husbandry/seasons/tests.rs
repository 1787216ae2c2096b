//! Seasons against published intervals, by hand, and against a calendar that is moved.

use super::*;
use crate::testing::day;
use proptest::prelude::*;

fn dog(yaml: &str) -> Dog {
    serde_yaml::from_str(&format!("name: D\nsex: female\n{yaml}")).unwrap()
}

fn folder(id: &str, yaml: &str) -> LitterFolder {
    LitterFolder {
        id: id.parse().unwrap(),
        litter: serde_yaml::from_str(&format!("name: L\ndam: d\nsire: s\n{yaml}")).unwrap(),
        weigh_ins: crate::cache::Tracked::default(),
        bare_unit: None,
        health: crate::cache::Tracked::default(),
        notes: crate::cache::Tracked::default(),
        photos: crate::cache::Tracked::default(),
    }
}

fn of(dog_yaml: &str, litters: &[&str], today: &str) -> Cycle {
    let folders: Vec<LitterFolder> = litters
        .iter()
        .enumerate()
        .map(|(i, yaml)| folder(&format!("l{i}"), yaml))
        .collect();
    cycle(
        &dog(dog_yaml),
        &folders.iter().collect::<Vec<_>>(),
        day(today),
    )
}

/// Intervals of 200, 190 and 220 days.
const REGULAR: &str = "seasons: [{ start: 2024-01-01 }, { start: 2024-07-19 }, { start: \
                       2025-01-25 }, { start: 2025-09-02 }]";

#[test]
fn her_own_interval_is_the_median_with_its_spread() {
    let cycle = of(REGULAR, &[], "2025-12-01");
    assert_eq!(
        cycle.own,
        Ok(OwnInterval {
            of: 3,
            median: 200,
            least: 190,
            most: 220,
            doubt: 0
        })
    );
    let next = cycle.next.unwrap().unwrap();
    assert_eq!(
        (next.from, next.likely, next.to, next.basis),
        (
            day("2026-03-07"),
            Some(day("2026-03-21")),
            day("2026-04-10"),
            Basis::Own
        )
    );
}

#[test]
fn until_her_own_is_known_the_published_range_stands_and_says_what_would_settle_it() {
    // Handbooks: 5 to 10 months.
    let cycle = of("seasons: [{ start: 2025-01-01 }]", &[], "2025-03-01");
    let next = cycle.next.unwrap().unwrap();
    assert_eq!(
        (next.from, next.likely, next.to, next.basis),
        (day("2025-06-02"), None, day("2025-11-01"), Basis::Published)
    );
    assert!(cycle.own.unwrap_err().settled_by.contains("`seasons`"));
    let none = of("", &[], "2025-03-01").next.unwrap().unwrap_err();
    assert!(none.because.contains("no season"));
    assert_eq!(of("neutered: true", &[], "2025-03-01").next, None);
}

#[test]
fn after_a_litter_it_is_longer_as_linde_forsberg_and_wallen_published() {
    // Linde-Forsberg and Wallen 1992: longer by 52 days (Labrador), 58 (German Shepherd), 84
    // (Beagle).
    let litter = "ovulated: 2025-09-14\nbirth: { on: 2025-11-16, how: natural }";
    let next = of(REGULAR, &[litter], "2025-12-01").next.unwrap().unwrap();
    let plain = of(REGULAR, &[], "2025-12-01").next.unwrap().unwrap();
    assert_eq!(
        (
            next.from.since(plain.from),
            next.likely.unwrap().since(plain.likely.unwrap()),
            next.to.since(plain.to),
            next.basis
        ),
        (52, 58, 84, Basis::OwnAndLonger)
    );
    assert_eq!(
        next.likely,
        Some(day("2026-05-18")),
        "2025-09-02 and 200 + 58 days"
    );
    let published = of("seasons: [{ start: 2025-09-02 }]", &[litter], "2025-12-01")
        .next
        .unwrap()
        .unwrap();
    assert_eq!(
        (published.from, published.to, published.basis),
        (
            day("2026-03-25"),
            day("2026-09-25"),
            Basis::PublishedAndLonger
        )
    );
    // A mating that came to nothing makes no interval longer.
    let nothing = "ovulated: 2025-09-14\ncounted: { by: ultrasound, on: 2025-10-12, puppies: 0 }";
    assert_eq!(
        of(REGULAR, &[nothing], "2025-12-01").next.unwrap().unwrap(),
        plain
    );
}

#[test]
fn an_interval_with_a_litter_in_it_is_not_counted_with_the_others() {
    // The heat of July 2024 was followed by a litter: 190 days no longer count among the others.
    let litter = "ovulated: 2024-07-31\nbirth: { on: 2024-10-02, how: natural }";
    let own = of(REGULAR, &[litter], "2025-12-01").own.unwrap();
    assert_eq!(
        (own.of, own.median, own.least, own.most),
        (2, 210, 200, 220)
    );
}

#[test]
fn a_heat_that_nobody_wrote_down_is_counted_back_and_doubted() {
    let cycle = of(
        "",
        &["mated: [2025-03-13, 2025-03-15]\nbirth: { on: 2025-05-15, how: natural }"],
        "2025-06-01",
    );
    let heat = cycle.heats[0];
    assert_eq!(
        (heat.start, heat.recorded, heat.then),
        (day("2025-03-01"), false, Then::Litter)
    );
    let next = cycle.next.unwrap().unwrap();
    assert_eq!(
        (next.from.since(heat.start), next.to.since(heat.start)),
        (152 + 52 - 7, 304 + 84 + 7)
    );
    // Written down, it is the same heat.
    assert_eq!(
        of(
            "seasons: [{ start: 2025-03-04 }]",
            &["mated: [2025-03-13]"],
            "2025-06-01"
        )
        .heats
        .len(),
        1
    );
}

#[test]
fn a_split_season_is_one_and_a_season_that_was_forgotten_makes_no_interval() {
    let split = of(
        "seasons: [{ start: 2025-01-01, end: 2025-01-08 }, { start: 2025-02-01 }]",
        &[],
        "2025-03-01",
    );
    assert_eq!(
        split
            .heats
            .iter()
            .map(|heat| heat.start)
            .collect::<Vec<_>>(),
        [day("2025-02-01")]
    );
    let forgotten = of(
        "seasons: [{ start: 2023-01-01 }, { start: 2024-06-01 }, { start: 2024-12-20 }]",
        &[],
        "2025-03-01",
    );
    assert_eq!(
        (forgotten.missed, forgotten.own.is_err()),
        (1, true),
        "517 and 202 days"
    );
}

#[test]
fn pyometra_is_kept_in_mind_from_two_weeks_to_ten_after_a_heat() {
    let window = |yaml: &str, litters: &[&str], today: &str| {
        of(yaml, litters, today).pyometra.map(|w| (w.from, w.to))
    };
    let season = "seasons: [{ start: 2025-01-01, end: 2025-01-20 }]";
    assert_eq!(
        window(season, &[], "2025-02-01"),
        Some((day("2025-02-03"), day("2025-03-31")))
    );
    assert_eq!(
        window("seasons: [{ start: 2025-01-01 }]", &[], "2025-02-01"),
        Some((day("2025-02-05"), day("2025-04-02"))),
        "three weeks"
    );
    assert!(
        window(season, &[], "2025-03-31").is_some() && window(season, &[], "2025-04-01").is_none()
    );
    assert_eq!(
        window(
            &format!("{season}\nneutered: 2025-01-25"),
            &[],
            "2025-02-01"
        ),
        None
    );
    assert!(window(&format!("{season}\nretired: true"), &[], "2025-02-01").is_some());
    assert!(
        window(season, &["mated: 2025-01-12"], "2025-02-01").is_some(),
        "mated is not carrying"
    );
    assert_eq!(
        window(
            season,
            &["mated: 2025-01-12\ncounted: { by: ultrasound, on: 2025-02-08, puppies: 4 }"],
            "2025-02-09"
        ),
        None
    );
}

#[test]
fn samples_are_taken_from_day_five_every_second_day_and_earlier_from_an_early_bitch() {
    let season = "seasons: [{ start: 2024-06-01 }, { start: 2025-01-01 }]";
    let sampling = |litters: &[&str], today: &str| of(season, litters, today).sampling;
    let plain = sampling(&[], "2025-01-03").unwrap();
    assert_eq!(
        (plain.from, plain.to),
        (day("2025-01-06"), day("2025-01-22"))
    );
    let early = sampling(
        &["ovulated: 2024-06-09\nbirth: { on: 2024-08-11, how: natural }"],
        "2025-01-03",
    )
    .unwrap();
    assert_eq!(
        (early.from, early.ovulated_on),
        (day("2025-01-04"), vec![8])
    );
    assert_eq!(
        sampling(&["ovulated: 2025-01-12\nmated: 2025-01-14"], "2025-01-15"),
        None,
        "it is known"
    );
    assert_eq!(sampling(&[], "2025-02-15"), None, "the season is over");
    assert_eq!(
        of(&format!("{season}\nretired: true"), &[], "2025-01-03").sampling,
        None
    );
}

#[test]
fn the_round_says_what_her_own_seasons_say_and_not_what_is_published() {
    let cycles =
        |yaml: &str, today: &str| BTreeMap::from([("d".parse().unwrap(), of(yaml, &[], today))]);
    let kinds = |yaml: &str, today: &str| {
        notes(&cycles(yaml, today), day(today), day(today))
            .iter()
            .map(|n| n.what)
            .collect::<Vec<_>>()
    };
    assert_eq!(kinds(REGULAR, "2026-03-10"), [NoteKind::SeasonExpected]);
    assert!(kinds(REGULAR, "2026-02-10").is_empty());
    assert_eq!(kinds(REGULAR, "2025-10-20"), [NoteKind::Pyometra]);
    assert!(
        kinds("seasons: [{ start: 2025-01-01 }]", "2025-08-01").is_empty(),
        "half a year is no news"
    );
}

proptest! {
    /// Every day of a record moved by `by` days moves every computed day by as much, and changes
    /// nothing else.
    #[test]
    fn moving_all_days_moves_what_is_computed(
        gaps in prop::collection::vec(20_i64..600, 1..7),
        litters in prop::collection::vec((0_usize..7, 0_i64..60, any::<bool>()), 0..4),
        after in 0_i64..400,
        by in -3000_i64..3000,
    ) {
        let at = |move_by: i64| {
            let mut start = day("2015-01-01").plus(move_by);
            let mut starts = Vec::new();
            for gap in &gaps {
                starts.push(start);
                start = start.plus(*gap);
            }
            let seasons: Vec<String> = starts.iter().map(|s| format!("{{ start: {s} }}")).collect();
            let yaml = format!("seasons: [{}]", seasons.join(", "));
            let born = |(season, later, born): &(usize, i64, bool)| {
                let mated = starts[season % starts.len()].plus(*later);
                if *born {
                    format!(
                        "mated: {mated}\nbirth: {{ on: {}, how: natural }}",
                        mated.plus(62)
                    )
                } else {
                    format!("mated: {mated}")
                }
            };
            let folders: Vec<LitterFolder> = litters
                .iter()
                .enumerate()
                .map(|(i, l)| folder(&format!("l{i}"), &born(l)))
                .collect();
            let today = start.plus(after);
            let cycle = cycle(&dog(&yaml), &folders.iter().collect::<Vec<_>>(), today);
            let next = cycle.next.unwrap().unwrap();
            let since = |d: Day| d.since(today);
            let days = mating_days(Some(&of_cycle(&yaml, &folders, today)), today);
            (
                cycle
                    .heats
                    .iter()
                    .map(|h| (since(h.start), h.recorded, h.then))
                    .collect::<Vec<_>>(),
                cycle.own,
                (
                    since(next.from),
                    next.likely.map(since),
                    since(next.to),
                    next.basis,
                ),
                cycle
                    .sampling
                    .map(|s| (since(s.from), since(s.to), s.ovulated_on)),
                cycle.pyometra.map(|w| (since(w.from), since(w.to))),
                (since(days.0.from), since(days.0.to), days.1),
            )
        };
        prop_assert_eq!(at(0), at(by));
    }
}

fn of_cycle(yaml: &str, folders: &[LitterFolder], today: Day) -> Cycle {
    cycle(&dog(yaml), &folders.iter().collect::<Vec<_>>(), today)
}
