//! What was noted of a dam before a birth, during it and in the first days after, by the hour.

use super::super::{Finding, Noticed, Unwell, Urgency};
use super::dam::{of_dam, told};
use super::{puppy, records};
use crate::husbandry::compute;

/// One entry of the dam, with its hour; the puppy was born on 2026-10-01 at 08:00.
fn at(moment: &str, signs: &str) -> String {
    format!("- {{ at: 2026-{moment}, for: dam, illness: {{ signs: \"{signs}\" }} }}\n")
}

#[test]
fn green_discharge_is_counted_by_the_hour_and_before_the_birth_it_is_the_placenta() {
    // Usual teaching: green up to 48 hours after the birth; before the first puppy the placenta is
    // separating.
    let on = |moment: &str| told(&of_dam(4, &at(moment, "dark green discharge")));
    let call = [("dam-illness", Urgency::CallTheVet)];
    let watch = [("dam-illness", Urgency::Watch)];
    assert_eq!(on("10-03 20:00"), call, "60 hours");
    assert_eq!(on("10-03 08:01"), call);
    assert_eq!(on("10-03 08:00"), watch);
    let unborn = |signs: &str| {
        let mut records = records(5, &puppy("a", "210 g"), "", &at("10-05 05:00", signs), "");
        let litter = &mut records.litters.values_mut().next().unwrap().litter;
        litter.birth = None;
        litter.puppies.clear();
        litter.mated = serde_yaml::from_str("2026-08-04").unwrap();
        let figures = compute(&records);
        let found = figures.litters.values().flat_map(|l| l.findings.clone());
        let found: Vec<Finding> = found.filter(Finding::is_of_dam).collect();
        found
    };
    let found = unborn("dark green discharge, no puppy yet");
    assert_eq!(told(&found), call);
    let Noticed::DamIllness(Unwell { noted, .. }) = &found[0].noticed else {
        panic!("{found:#?}")
    };
    let fits: Vec<&str> = noted[0].fits.iter().map(|fit| fit.sign.fits).collect();
    assert!(
        fits.contains(&"a placenta that comes away before the first puppy")
            && !fits.contains(&"a retained placenta or metritis"),
        "{fits:?}"
    );
    // Labour at its time is no eclampsia, cramps are at any.
    assert_eq!(
        told(&unborn("panting and shivering, digging: first stage")),
        watch
    );
    assert_eq!(told(&unborn("panting, shivering")), call);
    assert_eq!(told(&unborn("digging, convulsions")), call);
}

#[test]
fn what_was_labour_is_over_with_the_birth() {
    // Common practice, no source: panting and shivering belong to the first stage.
    let call = [("dam-illness", Urgency::CallTheVet)];
    let labour = "panting and shivering, digging: first stage";
    assert_eq!(told(&of_dam(4, &at("10-01 03:00", labour))), []);
    assert_eq!(
        told(&of_dam(4, &at("10-01 03:00", "panting and shivering"))),
        [("dam-illness", Urgency::Watch)]
    );
    assert_eq!(
        told(&of_dam(4, &at("10-01 12:00", "panting and shivering"))),
        call
    );
    assert_eq!(
        told(&of_dam(4, &at("10-01 12:00", labour))),
        call,
        "after the birth"
    );
    assert_eq!(
        told(&of_dam(4, &at("09-25 12:00", "panting and shivering"))),
        call
    );
    assert_eq!(
        told(&of_dam(4, &at("10-01 03:00", "digging, convulsions"))),
        call
    );
}
