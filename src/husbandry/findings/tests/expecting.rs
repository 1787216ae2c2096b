//! A bitch in whelp, against the sources of her temperature and of her days.

use super::super::Urgency;
use super::dam::told;
use super::{puppy, records};
use crate::husbandry::compute;

/// Findings about a bitch in whelp, due about 2026-10-28.
fn expecting(today: &str, health: &str) -> Vec<(&'static str, Urgency)> {
    let mut records = records(31, &puppy("a", "210 g"), "", health, "");
    records.today = today.parse().unwrap();
    for folder in records.litters.values_mut() {
        folder.litter.birth = None;
        folder.litter.puppies.clear();
        folder.litter.ovulated = Some("2026-08-26".parse().unwrap());
    }
    let figures = compute(&records);
    let found = figures.litters.values().flat_map(|l| &l.findings);
    told(&found.cloned().collect::<Vec<_>>())
}

#[test]
fn fever_before_a_birth_is_a_call_and_a_low_reading_only_where_no_drop_is_waited_for() {
    // Teaching notes: a grown dog has 38.1 to 39.2 °C; over 39.5 °C is fever. Handbooks: before
    // a birth to 36.7 to 37.2 °C.
    let with = |day: &str, temperature: &str| {
        let entry = format!("- {{ at: {day} 08:00, for: dam, temperature: {temperature} °C }}\n");
        expecting(day, &entry)
    };
    assert_eq!(
        with("2026-10-10", "40.4"),
        [("dam-fever", Urgency::CallTheVet)]
    );
    assert_eq!(with("2026-10-10", "38.3"), []);
    assert_eq!(
        with("2026-10-10", "39.3"),
        [("dam-temperature", Urgency::Watch)]
    );
    assert_eq!(
        with("2026-10-10", "36.9"),
        [("dam-cold", Urgency::CallTheVet)],
        "weeks before the birth it is no drop"
    );
    assert_eq!(
        with("2026-10-26", "36.9"),
        [("temperature-drop", Urgency::Watch)]
    );
    assert_eq!(
        with("2026-10-26", "35.8"),
        [
            ("dam-cold", Urgency::CallTheVet),
            ("temperature-drop", Urgency::Watch)
        ]
    );
    assert_eq!(
        with("2026-10-26", "39.6"),
        [("dam-fever", Urgency::CallTheVet)]
    );
}

#[test]
fn a_birth_that_never_came_is_not_called_for_ever() {
    // Clinics' rule of thumb: danger after day 66 from ovulation.
    assert_eq!(expecting("2026-10-30", ""), []);
    assert_eq!(
        expecting("2026-10-31", ""),
        [("overdue", Urgency::CallTheVet)]
    );
    assert_eq!(
        expecting("2026-11-13", ""),
        [("overdue", Urgency::CallTheVet)]
    );
    assert_eq!(expecting("2026-11-14", ""), [("overdue", Urgency::Watch)]);
    assert_eq!(expecting("2027-01-22", ""), [("overdue", Urgency::Watch)]);
    assert_eq!(expecting("2027-01-23", ""), []);
}
