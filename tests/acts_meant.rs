//! What keepers mean at the desk, though it is not what they did first: a puppy that was born
//! earlier than the last one entered, a check of one that has left, a dose that is written twice.

use crate::acts::kennel;
use crate::support::Kennel;
use crate::support::desk::{Desk, get};
use crate::support::forms::{form, number};
use std::fs;

fn text(kennel: &Kennel, file: &str) -> String {
    fs::read_to_string(kennel.content().join(file)).unwrap()
}

/// Records a puppy on the page of the birth.
fn puppy(desk: &Desk, name: &str, born: &str) {
    let filled = form(desk, "/-desk/litters/spring/birth")
        .with("name", name)
        .with("sex", "female")
        .with("born", born);
    number(&filled.send(desk, "save"));
}

/// Names of the puppies in the order of birth, with their times as they are written.
fn in_order(kennel: &Kennel) -> Vec<(String, String)> {
    let litter: serde_yaml::Value =
        serde_yaml::from_str(&text(kennel, "litters/spring/litter.yaml")).unwrap();
    let mut puppies: Vec<&serde_yaml::Value> =
        litter["puppies"].as_sequence().unwrap().iter().collect();
    puppies.sort_by_key(|puppy| puppy["order"].as_u64());
    let word = |value: &serde_yaml::Value| value.as_str().unwrap_or_default().to_owned();
    let named = puppies.iter();
    named
        .map(|puppy| (word(&puppy["id"]), word(&puppy["born"])))
        .collect()
}

#[test]
fn puppies_stand_in_the_order_of_their_times_and_after_midnight_is_the_next_day() {
    let (kennel, desk) = kennel();
    kennel.change(
        "litters/spring/litter.yaml",
        "order: 1, weight: 224 g",
        "order: 1, born: \"21:10\", weight: 224 g",
    );
    kennel.change(
        "litters/spring/litter.yaml",
        "order: 2, weight: 219 g",
        "order: 2, born: \"23:25\", weight: 219 g",
    );
    puppy(&desk, "Ash", "22:40");
    puppy(&desk, "Elm", "00:05");
    puppy(&desk, "Oak", "23:40:30");
    puppy(&desk, "Bay", "");
    let order = in_order(&kennel);
    let order: Vec<(&str, &str)> = order
        .iter()
        .map(|(id, born)| (id.as_str(), born.as_str()))
        .collect();
    assert_eq!(
        order,
        [
            ("moss", "21:10"),
            ("ash", "22:40"),
            ("wren", "23:25"),
            ("oak", "23:40:30"),
            ("elm", "2026-04-02 00:05"),
            ("bay", ""),
        ]
    );
    kennel.run(&["inspect"]).ends_with(0);
    let page = get(desk.book, "/-desk/litters/spring/birth").text();
    let at = |words: &str| {
        page.find(words)
            .unwrap_or_else(|| panic!("{words}: {page}"))
    };
    assert!(
        at("Ash, female, 22:40") < at("Wren, blue, male, 23:25"),
        "{page}"
    );
}

#[test]
fn a_weight_at_birth_without_a_unit_is_in_the_kennels_own() {
    let (kennel, desk) = kennel();
    kennel.change("kennel.yaml", "country: GB", "country: GB\nunits: oz");
    fs::remove_file(kennel.content().join("litters/spring/weights.yaml")).unwrap();
    let filled = form(&desk, "/-desk/litters/spring/birth")
        .with("name", "Ash")
        .with("sex", "female")
        .with("weight", "7 3/4");
    number(&filled.send(&desk, "save"));
    let litter = text(&kennel, "litters/spring/litter.yaml");
    assert!(litter.contains("weight: 7 3/4 oz"), "{litter}");
}

#[test]
fn what_was_done_before_a_puppy_left_or_died_can_still_be_written() {
    let (kennel, desk) = kennel();
    kennel.change(
        "litters/spring/litter.yaml",
        "weight: 219 g, offer: available",
        "weight: 219 g, fate: died, on: 2026-04-15",
    );
    let page = get(desk.book, "/-desk/litters/spring/tend?kind=check").text();
    assert!(page.contains("No longer here"), "{page}");
    assert!(
        page.contains("Wren (blue), died on 15 April 2026"),
        "{page}"
    );
    let filled = form(&desk, "/-desk/litters/spring/tend?kind=check&for=wren");
    assert_eq!(
        filled.value("for"),
        "wren",
        "whoever is asked for is ticked"
    );
    let filled = filled
        .with("by", "Nell")
        .with("findings", "weak,  does not suck\r\n\r\n  warmed slowly ")
        .with("on", "2026-04-09");
    number(&filled.send(&desk, "save"));
    let health = text(&kennel, "litters/spring/health.yaml");
    assert!(health.contains("for: wren"), "{health}");
    assert!(
        health.contains("\"weak, does not suck\\n\\nwarmed slowly\""),
        "lines stay as they were typed: {health}"
    );
    kennel.run(&["inspect"]).ends_with(0);
}

#[test]
fn a_dose_that_is_written_twice_is_asked_back_once() {
    let (kennel, desk) = kennel();
    let worming = |whom: &str, product: &str, on: &str| {
        form(&desk, "/-desk/litters/spring/tend?kind=worming")
            .with("for", whom)
            .with("product", product)
            .with("on", on)
    };
    let first = worming("moss\nwren", "Vermisol", "2026-04-15");
    number(&first.send(&desk, "save"));
    let before = text(&kennel, "litters/spring/health.yaml");
    let again = worming("moss", "vermisol", "2026-04-15");
    let answer = again.send(&desk, "save");
    let page = answer.text();
    assert!(
        page.contains("Vermisol on 15 April 2026 is written already for Moss"),
        "{page}"
    );
    assert!(page.contains("It was given twice: record it"), "{page}");
    assert_eq!(text(&kennel, "litters/spring/health.yaml"), before);
    // Another day, another product, another puppy's turn: nothing is asked.
    number(&worming("moss", "Vermisol", "2026-04-16").send(&desk, "save"));
    number(&worming("moss", "Ascarex", "2026-04-15").send(&desk, "save"));
    // Sent again as it is, it is meant.
    let meant = crate::support::forms::Form::main(&page);
    assert_eq!(meant.value("product"), "vermisol");
    number(&meant.send(&desk, "save"));
    let after = text(&kennel, "litters/spring/health.yaml");
    assert_eq!(after.matches("2026-04-15").count(), 4, "{after}");
}

#[test]
fn nobody_looks_for_a_home_before_somebody_says_so() {
    let (kennel, desk) = kennel();
    for who in ["moss", "wren"] {
        let litter = text(&kennel, "litters/spring/litter.yaml");
        assert!(litter.contains(who));
    }
    kennel.change(
        "litters/spring/litter.yaml",
        "224 g, offer: available",
        "224 g",
    );
    kennel.change(
        "litters/spring/litter.yaml",
        "219 g, offer: available",
        "219 g",
    );
    let offer = form(&desk, "/-desk/litters/spring/offer");
    assert_eq!(offer.value("offered"), "");
}
