//! What was noted of a dam before a birth, during it and in the first days after, by the hour.

use super::super::{Finding, Noticed, Unwell, Urgency};
use super::dam::{of_dam, told};
use super::{findings, puppy, records};
use crate::testing::each;

/// One entry of the dam, with its hour; the puppy was born on 2026-10-01 at 08:00.
fn at(moment: &str, signs: &str) -> String {
    format!("- {{ at: 2026-{moment}, for: dam, illness: {{ signs: \"{signs}\" }} }}\n")
}

/// What is found of a dam that was mated on 2026-08-04 and has no birth yet, with this noted at
/// five in the morning of today.
fn unborn(today: &str, signs: &str) -> Vec<Finding> {
    let noted = at(&format!("{} 05:00", &today[5..]), signs);
    let mut records = records(5, &puppy("a", "210 g"), "", &noted, "");
    records.today = today.parse().unwrap();
    let litter = &mut records.litters.values_mut().next().unwrap().litter;
    litter.birth = None;
    litter.puppies.clear();
    litter.mated = serde_yaml::from_str("2026-08-04").unwrap();
    findings(&records).filter(Finding::is_of_dam).collect()
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
    let unborn = |signs: &str| unborn("2026-10-05", signs);
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
    each! {
        told(&of_dam(4, &at("10-01 03:00", labour))) => [];
        told(&of_dam(4, &at("10-01 03:00", "panting and shivering")))
            => [("dam-illness", Urgency::Watch)];
        told(&of_dam(4, &at("10-01 12:00", "panting and shivering"))) => call;
        told(&of_dam(4, &at("10-01 12:00", labour))) => call, "after the birth";
        told(&of_dam(4, &at("09-25 12:00", "panting and shivering"))) => call;
        told(&of_dam(4, &at("10-01 03:00", "digging, convulsions"))) => call;
    }
}

#[test]
fn a_birth_that_does_not_go_on_is_a_call_until_a_puppy_comes() {
    // Clinics' advice: 20 to 30 minutes of hard straining without a puppy, two hours without one
    // while more are inside.
    let call = [("dam-illness", Urgency::CallTheVet)];
    let straining = "straining hard for 40 minutes, nothing comes";
    each! {
        told(&of_dam(1, &at("10-01 12:00", straining))) => call, "after the first puppy";
        told(&of_dam(1, &at("10-01 07:00", straining))) => [], "the puppy came";
        told(&of_dam(5, &at("10-05 07:00", straining)))
            => [("dam-illness", Urgency::Watch)], "days later it is no labour";
    }
    let day_only =
        format!("- {{ on: 2026-10-01, for: dam, illness: {{ signs: \"{straining}\" }} }}\n");
    assert_eq!(
        told(&of_dam(2, &day_only)),
        call,
        "nobody knows which came first"
    );
    assert_eq!(told(&of_dam(3, &day_only)), []);
    let unborn = |today: &str, signs: &str| told(&unborn(today, signs));
    for signs in [
        straining,
        "pushing for an hour without a puppy",
        "presst seit einer Stunde, kein Welpe",
        "puppy stuck, only the head is out",
        "waters broke three hours ago",
        "uterine inertia",
        "no puppy for 3 hours",
        "aborted two pups",
        "prolapse",
    ] {
        assert_eq!(unborn("2026-10-04", signs), call, "{signs}");
    }
    let watch = [("dam-illness", Urgency::Watch)];
    for signs in [
        "first contractions, nesting",
        "straining a little",
        "waters broke just now",
    ] {
        assert_eq!(unborn("2026-10-04", signs), watch, "{signs}");
    }
    assert_eq!(
        unborn("2026-09-04", "straining for half an hour, nothing comes"),
        watch,
        "a month after the mating it is no labour"
    );
}

#[test]
fn a_scan_that_counted_more_is_worth_a_word_for_three_days_where_nobody_opened_her() {
    // Common practice, no source: ultrasound counts less surely than an X-ray.
    let born = puppy("a", "210 g") + &puppy("b", "210 g");
    let with = |today: u32, how: &str, by: &str, puppies: usize| {
        let mut records = records(today, &born, "", "", "");
        let litter = &mut records.litters.values_mut().next().unwrap().litter;
        let count = format!("{{ by: {by}, on: 2026-09-05, puppies: {puppies} }}");
        litter.counted = serde_yaml::from_str(&count).unwrap();
        litter.birth.as_mut().unwrap().how = serde_yaml::from_str(how).unwrap();
        let found = findings(&records);
        found
            .filter(|f| f.rule().name() == "fewer-than-counted")
            .map(|f| f.urgency)
            .collect::<Vec<_>>()
    };
    let (watch, call) = ([Urgency::Watch], [Urgency::CallTheVet]);
    each! {
        with(1, "natural", "ultrasound", 3) => watch;
        with(4, "natural", "ultrasound", 3) => watch;
        with(5, "natural", "ultrasound", 3) => [];
        with(2, "natural", "ultrasound", 2) => [];
        with(2, "planned section", "ultrasound", 3) => [], "the surgeon has seen both horns";
        with(2, "planned section", "x-ray", 3) => call;
        with(5, "natural", "x-ray", 3) => watch;
    }
}

#[test]
fn a_vet_who_looked_at_her_after_the_last_puppy_closes_what_may_be_inside() {
    // Common practice, no source: the question was for the vet, and she has looked.
    let born = puppy("a", "210 g").replace("palate: intact", "palate: intact, placenta: retained")
        + &puppy("b", "210 g").replace("palate: intact", "palate: intact, placenta: out");
    let with = |today: u32, check: &str| {
        let mut records = records(today, &born, "", check, "");
        let litter = &mut records.litters.values_mut().next().unwrap().litter;
        litter.counted = serde_yaml::from_str("{ by: x-ray, on: 2026-09-28, puppies: 3 }").unwrap();
        let found = findings(&records);
        let about = ["fewer-than-counted", "placenta-retained", "placentas"];
        found
            .map(|f| f.rule().name())
            .filter(|rule| about.contains(rule))
            .collect::<Vec<_>>()
    };
    let all = ["fewer-than-counted", "placenta-retained", "placentas"];
    let check = |when: &str, said: &str| format!("- {{ {when}, for: dam, check: {{ {said} }} }}\n");
    assert_eq!(with(2, ""), all);
    let seen = "by: V, findings: uterus empty";
    each! {
        with(2, &check("on: 2026-10-02", seen)) => [""; 0];
        with(2, &check("at: 2026-10-01 09:00", seen)) => [""; 0];
        with(2, &check("at: 2026-10-01 07:00", seen)) => all, "before it";
        with(2, &check("on: 2026-10-01", seen)) => all, "perhaps before it";
        with(2, &check("on: 2026-10-02", "by: K, findings: soft belly")) => all;
        with(2, &check("on: 2026-10-02", "by: V, findings: a retained placenta")) => all;
    }
}
