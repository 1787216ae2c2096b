//! A bitch in whelp, against the sources of her temperature and of her days.

use super::super::Urgency;
use super::dam::told;
use super::{findings, puppy, records};
use crate::records::litter::Litter;
use crate::testing::each;

/// Findings about a bitch in whelp, due about 2026-10-28.
fn expecting(today: &str, health: &str) -> Vec<(&'static str, Urgency)> {
    changed(today, health, |_| {})
}

/// The same with what `change` makes of the litter.
fn changed(
    today: &str,
    health: &str,
    change: impl Fn(&mut Litter),
) -> Vec<(&'static str, Urgency)> {
    let mut records = records(31, &puppy("a", "210 g"), "", health, "");
    records.today = today.parse().unwrap();
    for folder in records.litters.values_mut() {
        folder.litter.birth = None;
        folder.litter.puppies.clear();
        folder.litter.ovulated = Some("2026-08-26".parse().unwrap());
        change(&mut folder.litter);
    }
    let found = findings(&records);
    told(&found.collect::<Vec<_>>())
}

#[test]
fn fever_before_a_birth_is_a_call_and_a_low_reading_only_where_no_drop_is_waited_for() {
    // Teaching notes: a grown dog has 38.1 to 39.2 °C; over 39.5 °C is fever. Handbooks: before
    // a birth to 36.7 to 37.2 °C.
    let with = |day: &str, temperature: &str| {
        let entry = format!("- {{ at: {day} 08:00, for: dam, temperature: {temperature} °C }}\n");
        expecting(day, &entry)
    };
    each! {
        with("2026-10-10", "40.4") => [("dam-fever", Urgency::CallTheVet)];
        with("2026-10-10", "38.3") => [];
        with("2026-10-10", "39.3") => [("dam-temperature", Urgency::Watch)];
        with("2026-10-10", "36.9")
            => [("dam-cold", Urgency::CallTheVet)], "weeks before the birth it is no drop";
        with("2026-10-26", "36.9") => [("temperature-drop", Urgency::Watch)];
        with("2026-10-26", "35.8")
            => [("dam-cold", Urgency::CallTheVet), ("temperature-drop", Urgency::Watch)];
        with("2026-10-26", "39.6") => [("dam-fever", Urgency::CallTheVet)];
    }
}

#[test]
fn a_birth_that_never_came_is_not_called_for_ever() {
    // Clinics' rule of thumb: danger after day 66 from ovulation.
    each! {
        expecting("2026-10-30", "") => [];
        expecting("2026-10-31", "") => [("overdue", Urgency::CallTheVet)];
        expecting("2026-11-13", "") => [("overdue", Urgency::CallTheVet)];
        expecting("2026-11-14", "") => [("overdue", Urgency::Watch)];
        expecting("2027-01-22", "") => [("overdue", Urgency::Watch)];
        expecting("2027-01-23", "") => [];
    }
}

#[test]
fn a_drop_without_a_birth_is_not_called_for_ever() {
    // Nelson: no labour 24 h after the drop, call. How long that is called is ours.
    let drop = "- { at: 2026-10-27 08:00, for: dam, temperature: 37.0 °C }\n";
    let on = |today: &str| {
        let found = expecting(today, drop);
        let drops = found
            .into_iter()
            .filter(|(rule, _)| *rule == "temperature-drop");
        drops.map(|(_, urgency)| urgency).collect::<Vec<_>>()
    };
    assert_eq!(on("2026-10-27"), [Urgency::Watch]);
    assert_eq!(on("2026-10-28"), [Urgency::CallTheVet]);
    assert_eq!(on("2026-11-11"), [Urgency::CallTheVet]);
    assert_eq!(on("2026-11-12"), [Urgency::Watch]);
    assert_eq!(on("2027-01-20"), [Urgency::Watch]);
    assert_eq!(on("2027-01-21"), []);
}

#[test]
fn one_puppy_is_a_call_from_the_62nd_day_on_until_a_vet_has_seen_her() {
    // A clinic's advice: speak with it by day 62 from ovulation, 2026-10-27.
    let on = |today: &str, health: &str| {
        changed(today, health, |litter| {
            litter.counted =
                serde_yaml::from_str("{ by: x-ray, on: 2026-10-20, puppies: 1 }").unwrap();
        })
    };
    assert_eq!(on("2026-10-26", ""), [("one-puppy", Urgency::Watch)]);
    assert_eq!(on("2026-10-27", ""), [("one-puppy", Urgency::CallTheVet)]);
    let seen = |by: &str| {
        let check = format!("check: {{ by: {by}, findings: heart beats well }}");
        on(
            "2026-10-28",
            &format!("- {{ on: 2026-10-26, for: dam, {check} }}\n"),
        )
    };
    assert_eq!(seen("V"), [("one-puppy", Urgency::Watch)]);
    assert_eq!(seen("K"), [("one-puppy", Urgency::CallTheVet)]);
}

#[test]
fn fallen_progesterone_says_that_birth_is_near_or_the_litter_in_danger() {
    // Clinics' advice: under 2 ng/ml (6.4 nmol/l) about two days before birth.
    let on = |today: &str, sampled: &str, value: &str, health: &str| {
        changed(today, health, |litter| {
            let sample = format!("[{{ on: {sampled}, value: {value} }}]");
            litter.progesterone = serde_yaml::from_str(&sample).unwrap();
        })
    };
    let low = |urgency| vec![("low-progesterone", urgency)];
    each! {
        on("2026-10-26", "2026-10-26", "1.9 ng/ml", "") => low(Urgency::Watch);
        on("2026-10-26", "2026-10-26", "2 ng/ml", "") => [];
        on("2026-10-27", "2026-10-26", "6.0 nmol/l", "") => low(Urgency::Watch);
        on("2026-10-28", "2026-10-26", "1.9 ng/ml", "") => low(Urgency::CallTheVet);
        on("2026-10-12", "2026-10-12", "1.2 ng/ml", "")
            => low(Urgency::CallTheVet), "two weeks before the first day of birth";
        on("2026-08-30", "2026-08-20", "0.8 ng/ml", "") => [], "before the rise it is low";
    }
    let check = "- { on: 2026-10-27, for: dam, check: { by: V, findings: section today } }\n";
    assert_eq!(on("2026-10-28", "2026-10-26", "1.9 ng/ml", check), []);
}
