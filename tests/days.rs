//! A puppy's days count from its own birth day, and littermates are those that were born alive.
//!
//! In: a litter that is born across midnight, told once by the day before and once by the day
//! itself. Out: whatever is said of a puppy that was born after midnight is the same both times;
//! and dates on a calendar that a person can count.

use crate::support::{Kennel, now};
use litterfolio::audience::{Album, keeper, owner, visitor, words};
use litterfolio::husbandry::care::ItemState;
use litterfolio::husbandry::findings::{Finding, FindingRule};
use litterfolio::husbandry::rounds::{self, Whom};
use litterfolio::husbandry::{Figures, compute};
use litterfolio::quantity::{Day, Id};
use litterfolio::records::{Records, load};
use serde_json::{Value, json};

const CHECKED: &str = "palate: intact, newborn: { limbs: normal, navel: normal, anus: normal, \
                       skull: normal, eyes: normal, tail: normal, skin: normal, suck: strong }";

/// Weigh-ins, temperatures at the borders of the bands by age, a feed.
const WEIGHTS: &str = "- { at: 2026-04-03 08:00, late: 220 g, other: 224 g }\n- { at: 2026-04-04 \
                       08:00, late: 215 g, other: 236 g }\n- { at: 2026-04-23 08:00, late: 300 g, \
                       other: 500 g }\n";
const HEALTH: &str = "- { at: 2026-04-02 08:00, for: late, temperature: 36.8 °C }\n- { at: \
                      2026-04-09 08:00, for: late, temperature: 34.7 °C }\n- { at: 2026-04-17 \
                      08:00, for: late, temperature: 37.5 °C }\n- { at: 2026-04-30 08:00, for: \
                      late, temperature: 38.2 °C }\n- { at: 2026-04-09 09:00, for: late, feed: { \
                      what: milk, amount: 3 ml, energy: 1 kcal/ml } }\n- { on: 2026-04-16, for: \
                      late, worming: { product: Vermisol } }\n";

fn records(litter: &str, weights: &str, health: &str, owners: &str) -> Records {
    let kennel = Kennel::base();
    kennel.write("litters/spring/litter.yaml", litter);
    kennel.write("litters/spring/weights.yaml", weights);
    kennel.write("litters/spring/health.yaml", health);
    kennel.write("owners.yaml", owners);
    std::fs::remove_dir_all(kennel.content().join("litters/spring/notes")).unwrap();
    let loaded = load(&kennel.content(), now()).unwrap();
    assert!(!loaded.has_errors(), "{:#?}", loaded.problems);
    loaded.records.unwrap().into_inner()
}

/// A litter of two; `late` is born after the midnight of the first of April.
fn across_midnight(on: &str, other: &str, offer: &str) -> Records {
    let litter = format!(
        "name: Spring 2026\ndam: juno\nsire: corvin\nannounced: true\nbirth: {{ on: {on}, how: \
         natural }}\npuppies:\n  - {{ id: other, sex: male, born: \"{other}\", weight: 210 g, \
         offer: available, {CHECKED} }}\n  - {{ id: late, sex: female, born: \"2026-04-02 \
         00:20\", weight: 224 g, offer: {offer}, {CHECKED} }}\n"
    );
    records(&litter, WEIGHTS, HEALTH, "{}\n")
}

fn day(text: &str) -> Day {
    text.parse().unwrap()
}

fn id(text: &str) -> Id {
    text.parse().unwrap()
}

/// Everything that is said of `late`.
fn said(records: &Records, figures: &Figures<'_>) -> Value {
    let folder = &records.litters[&id("spring")];
    let puppy = folder.puppy(&id("late")).unwrap();
    let litter = &figures.litters["spring"];
    let findings: Vec<String> = litter
        .findings
        .iter()
        .filter(|f| f.puppy == Some(puppy.id.clone()))
        .map(|f| format!("{f:?}"))
        .collect();
    let own = |found: &[Finding]| {
        format!(
            "{:?}",
            found
                .iter()
                .filter(|f| f.puppy.as_ref() == Some(&puppy.id))
                .collect::<Vec<_>>()
        )
    };
    let ahead: Vec<String> = litter
        .ahead
        .iter()
        .map(|a| {
            format!(
                "{} {:?} {}",
                a.day,
                a.gone.contains(&puppy.id),
                own(&a.findings)
            )
        })
        .collect();
    let homes = records.owners.homes();
    let round = rounds::of_kennel(records, figures, &homes, 3);
    let of_late = |whom: &Whom| matches!(whom, Whom::Puppies(ids) if ids.contains(&puppy.id));
    let mut tasks: Vec<String> = round
        .tasks
        .iter()
        .filter(|t| of_late(&t.whom))
        .map(|t| {
            format!(
                "{:?} {:?} {} {} {:?} {:?} {}",
                t.turn,
                t.kind,
                words::rounds::what(&t.what, false),
                t.times,
                t.since,
                t.until,
                words::rounds::source(t.source, figures.today)
            )
        })
        .collect();
    // The same task of several puppies is one, and stands where the first of them has it.
    tasks.sort();
    let album = Album::default();
    let page = owner::page(records, figures, &album, &homes, folder, puppy);
    let site = visitor::site(records, figures, &album);
    let cards: Vec<Value> = site
        .litters
        .iter()
        .flat_map(|leaf| leaf.pages().1)
        .map(|page| page.card)
        .filter(|card| card.id == "late")
        .map(|card| json!([card.born, card.age, card.leaves]))
        .collect();
    let book = keeper::book(records, figures, &album, &[]);
    let pages = book
        .litters
        .iter()
        .flat_map(|leaf| leaf.pages().puppies)
        .filter(|page| page.link.id == "late");
    let keepers: Vec<Value> = pages
        .map(|page| {
            json!([
                page.identity,
                page.newborn,
                page.figures,
                page.growth,
                page.care
            ])
        })
        .collect();
    assert_eq!((cards.len(), keepers.len()), (1, 1));
    json!([
        format!("{:?}", litter.puppies[&puppy.id]),
        findings,
        ahead,
        tasks,
        page.record.puppy,
        page.record.weights,
        page.record.care,
        cards,
        keepers
    ])
}

#[test]
fn a_puppy_born_after_midnight_counts_from_its_own_day_everywhere() {
    for offer in ["available", "placed"] {
        let (mut one, mut two) = (
            across_midnight("2026-04-01", "23:50", offer),
            across_midnight("2026-04-02", "00:10", offer),
        );
        for days in 1..=70 {
            let today = day("2026-04-01").plus(days);
            (one.today, two.today) = (today, today);
            let (first, second) = (said(&one, &compute(&one)), said(&two, &compute(&two)));
            for (one, two) in first
                .as_array()
                .unwrap()
                .iter()
                .zip(second.as_array().unwrap())
            {
                assert!(one == two, "{today}, {offer}: {one}\n{two}");
            }
        }
    }
}

#[test]
fn eight_weeks_are_each_puppys_own() {
    // 56 days after 1 April 2026 are 27 May; after 2 April, 28 May (Python's datetime).
    let mut records = across_midnight("2026-04-01", "23:50", "placed");
    let folder = records.litters[&id("spring")].clone();
    let [other, late] = ["other", "late"].map(|name| folder.puppy(&id(name)).unwrap());
    {
        let figures = compute(&records);
        assert_eq!(
            figures.litters.leaves_from(&folder),
            Some(day("2026-05-27"))
        );
        assert_eq!(
            figures.litters.puppy_leaves_from(&folder, other),
            Some(day("2026-05-27"))
        );
        assert_eq!(
            figures.litters.puppy_leaves_from(&folder, late),
            Some(day("2026-05-28"))
        );
    }
    for (today, gone) in [("2026-05-27", false), ("2026-05-28", true)] {
        records.today = day(today);
        assert_eq!(
            compute(&records).litters.is_gone(&folder, late),
            gone,
            "{today}"
        );
    }
}

#[test]
fn on_the_day_of_leaving_what_comes_later_is_the_familys() {
    let litter = "name: Spring 2026\ndam: juno\nsire: corvin\nbirth: { on: 2026-04-01, how: \
                  natural }\npuppies:\n  - { id: late, sex: female, born: \"08:00\", weight: 224 \
                  g, offer: reserved }\n";
    let owners = "families:\n  - { id: lund, name: The Lund family, takes: [{ litter: spring, \
                  puppy: late, reserved: 2026-05-01, leaves: 2026-06-03 }] }\n";
    let mut records = records(litter, "[]\n", "[]\n", owners);
    let mut later = |today: &str| {
        records.today = day(today);
        let figures = compute(&records);
        let care = &figures.litters["spring"].puppies[&id("late")].care;
        let later: Vec<&ItemState> = care
            .standings
            .iter()
            .filter(|s| s.from > day("2026-06-03"))
            .map(|s| &s.state)
            .collect();
        assert!(later.len() > 3);
        later
            .iter()
            .filter(|state| ***state == ItemState::NextOwner)
            .count()
            == later.len()
    };
    assert!(
        later("2026-06-02") && later("2026-06-03"),
        "the day before, and the day itself"
    );
    assert!(
        !later("2026-06-04"),
        "whoever is still here then is the keeper's"
    );
}

#[test]
fn a_stillborn_puppy_is_no_littermate_that_others_are_compared_with() {
    // Common practice, no source: 25 % or more under the mean of the littermates is light. 160 g
    // beside 200 and 200 is 20 % under; with a stillborn of 300 g in the mean it would be 31 %.
    let puppy = |name: &str, weight: u32, more: &str| {
        format!("  - {{ id: {name}, sex: male, born: \"08:00\", weight: {weight} g{more} }}\n")
    };
    let with = |more: &str| {
        let born = puppy("a", 160, "")
            + &puppy("b", 200, "")
            + &puppy("c", 200, "")
            + &puppy("d", 300, more);
        let litter = format!(
            "name: Spring 2026\ndam: juno\nsire: corvin\nbirth: {{ on: 2026-04-01, how: natural \
             }}\npuppies:\n{born}"
        );
        let mut records = records(&litter, "[]\n", "[]\n", "{}\n");
        records.today = day("2026-04-01");
        let figures = compute(&records);
        let litter = &figures.litters["spring"];
        let under = litter.puppies[&id("a")]
            .birth_weight
            .unwrap()
            .under_littermates
            .unwrap();
        let light = litter
            .findings
            .iter()
            .any(|f| f.rule() == FindingRule::LightAtBirth && f.puppy == Some(id("a")));
        let place = litter.places(&id("a"))[0];
        (
            under.round(),
            light,
            place.rank,
            place.of,
            litter.places(&id("d")).len(),
        )
    };
    assert_eq!(with(", fate: stillborn"), (20.0, false, 3, 3, 0));
    assert_eq!(
        with(", fate: died, on: 2026-04-01"),
        (31.0, true, 4, 4, 1),
        "one that died later was a littermate at birth"
    );
}
