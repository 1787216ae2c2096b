//! The dam, temperatures of puppies and defects, against their sources.

use super::super::{Finding, Noticed, Unwell, Urgency};
use super::{findings, puppy, records};
use crate::testing::each;

/// Findings that name no puppy, for health entries as they are written; born on 2026-10-01 at
/// 08:00.
pub(super) fn of_dam(today: u32, health: &str) -> Vec<Finding> {
    let records = records(today, &puppy("a", "210 g"), "", health, "");
    findings(&records).filter(|f| f.is_of_dam()).collect()
}

pub(super) fn told(findings: &[Finding]) -> Vec<(&'static str, Urgency)> {
    findings
        .iter()
        .map(|f| (f.rule().name(), f.urgency))
        .collect()
}

pub(super) fn ill(day: u32, signs: &str) -> String {
    format!("- {{ on: 2026-10-{day:02}, for: dam, illness: {{ signs: \"{signs}\" }} }}\n")
}

#[test]
fn any_illness_of_the_dam_is_a_finding_and_signs_of_an_emergency_are_a_call_in_her_keepers_words() {
    assert_eq!(
        told(&of_dam(
            9,
            &ill(9, "a little quiet, no tremor, not shaking")
        )),
        [("dam-illness", Urgency::Watch)]
    );
    // Five-Minute Vet Consult: trembling and a stiff gait are first signs of eclampsia, mostly in
    // weeks 1 to 4.
    let found = of_dam(9, &ill(9, "Trembling, stiff gait"));
    assert_eq!(told(&found), [("dam-illness", Urgency::CallTheVet)]);
    let Noticed::DamIllness(Unwell {
        noted,
        stays: 42,
        asked_after: Some(14),
        is_question: false,
    }) = &found[0].noticed
    else {
        panic!("{found:#?}")
    };
    assert_eq!(
        (noted[0].day.to_string(), noted[0].signs.to_string()),
        ("2026-10-09".to_owned(), "Trembling, stiff gait".to_owned())
    );
    let fits: Vec<(&str, &[String])> = noted[0]
        .fits
        .iter()
        .map(|fit| (fit.sign.fits, fit.words.as_slice()))
        .collect();
    assert!(
        fits.iter().all(|(fits, _)| *fits == "eclampsia"),
        "{fits:?}"
    );
    let words: Vec<&String> = fits.iter().flat_map(|(_, words)| *words).collect();
    assert_eq!(words, ["Trembling", "stiff"]);
    // Usual teaching: green discharge is usual up to 48 hours.
    assert_eq!(
        told(&of_dam(2, &ill(2, "green discharge"))),
        [("dam-illness", Urgency::Watch)]
    );
    assert_eq!(
        told(&of_dam(5, &ill(5, "green discharge"))),
        [("dam-illness", Urgency::CallTheVet)]
    );
}

#[test]
fn no_appetite_is_a_call_on_the_second_day() {
    // Home veterinary handbooks: no appetite on two days.
    assert_eq!(
        told(&of_dam(8, &ill(8, "not eating"))),
        [("dam-illness", Urgency::Watch)]
    );
    assert_eq!(
        told(&of_dam(
            9,
            &(ill(8, "not eating") + &ill(9, "still not eating"))
        )),
        [("dam-illness", Urgency::CallTheVet)]
    );
    // Our own choice: what else was noted between does not matter; a day when she ate well does.
    for (between, urgency) in [
        ("tired", Urgency::CallTheVet),
        ("well again", Urgency::Watch),
    ] {
        let health = ill(8, "not eating") + &ill(9, between) + &ill(9, "stopped eating");
        assert_eq!(
            told(&of_dam(9, &health)),
            [("dam-illness", urgency)],
            "{between}"
        );
    }
    assert_eq!(
        told(&of_dam(
            9,
            &ill(9, "has not eaten, no appetite for two days")
        )),
        [("dam-illness", Urgency::CallTheVet)]
    );
}

#[test]
fn first_signs_of_an_emergency_are_a_call_once_she_has_given_birth() {
    // Five-Minute Vet Consult: eclampsia mostly one to four weeks after birth, most before day 40;
    // restlessness comes first. Usual cautions of the trade: dull, no milk.
    let on = |day: u32, signs: &str| told(&of_dam(day, &ill(day, signs)));
    let call = [("dam-illness", Urgency::CallTheVet)];
    let watch = [("dam-illness", Urgency::Watch)];
    let restless = "very restless, whines, carries puppies about, drools";
    each! {
        on(23, restless) => call;
        on(2, restless) => call;
        on(1, "restless") => watch, "the hour is not known, it may be labour";
        on(9, "not restless, a little tired") => watch;
        on(9, "dull, no milk") => call;
        on(9, "vomiting, very dull, not eating since this morning") => call;
        on(9, "vomited once") => watch;
    }
}

#[test]
fn illness_of_the_dam_stays_until_something_closes_it() {
    let trembling = ill(9, "trembling");
    let with = |today: u32, more: &str| told(&of_dam(today, &(trembling.clone() + more)));
    let call = [("dam-illness", Urgency::CallTheVet)];
    assert_eq!(with(23, ""), call, "our own choice: fourteen days");
    let watch = [("dam-illness", Urgency::Watch)];
    assert_eq!(with(24, ""), watch, "then it is asked how it ended");
    assert_eq!(with(11, &ill(10, "well again")), []);
    assert_eq!(with(11, &ill(10, "not well again")), call);
    // Our own choice: one part that is better closes nothing, and what is written then is told.
    let worse = "temperature back to normal, gland no better, vomiting";
    let found = of_dam(11, &(ill(9, "hot, hard gland") + &ill(10, worse)));
    assert_eq!(told(&found), call);
    let Noticed::DamIllness(Unwell { noted, .. }) = &found[0].noticed else {
        panic!("{found:#?}")
    };
    assert!(
        noted.iter().any(|noted| noted.signs.to_string() == worse),
        "{noted:#?}"
    );
    assert_eq!(
        with(
            11,
            "- { on: 2026-10-09, for: dam, check: { by: V, findings: calcium given, calm } }\n"
        ),
        []
    );
    each! {
        with(11, "- { on: 2026-10-10, for: dam, check: { by: V, findings: still trembling } }\n")
            => call;
        with(11, "- { on: 2026-10-08, for: dam, check: { by: V, findings: all well } }\n")
            => call, "a check before it closes nothing";
        with(11, "- { on: 2026-10-10, for: a, check: { by: V } }\n") => call, "nor that of a puppy";
    }
    // Common practice, no source: an emergency is closed by a vet, or by a note that she is well.
    let check = |by: &str, findings: &str| {
        let text = format!("check: {{ by: {by}, findings: {findings} }}");
        with(11, &format!("- {{ on: 2026-10-10, for: dam, {text} }}\n"))
    };
    assert_eq!(check("Isla", "no change since yesterday"), call);
    assert_eq!(check("V", "no better, comes again tomorrow"), call);
    assert_eq!(check("K", "looked at her"), call, "the keeper");
    assert_eq!(check("K", "well again"), []);
    assert_eq!(check("V", "calcium given"), []);
}

#[test]
fn the_dams_temperature_is_judged_in_two_steps() {
    let with = |at: &str, text: &str| {
        told(&of_dam(
            4,
            &format!("- {{ at: {at}, for: dam, temperature: {text} }}"),
        ))
    };
    let later = "2026-10-04 08:00";
    // Casal: to about 39.4 °C in the first 24 hours; over it later, and under 37.2 °C, is a call.
    each! {
        with("2026-10-02 07:59", "39.4 °C") => [];
        with("2026-10-02 07:59", "39.5 °C") => [("dam-temperature", Urgency::Watch)];
        with("2026-10-03 08:00", "39.6 °C") => [("dam-fever", Urgency::CallTheVet)];
        with(later, "39.5 °C") => [("dam-fever", Urgency::CallTheVet)];
        with(later, "39.4 °C") => [("dam-temperature", Urgency::Watch)];
        with(later, "39.2 °C") => [], "the upper end of a grown dog";
        with(later, "37.2 °C") => [("dam-temperature", Urgency::Watch)];
        with(later, "37.1 °C") => [("dam-cold", Urgency::CallTheVet)];
        with(later, "38.6 °C") => [];
        with("2026-10-01 07:00", "36.9 °C") => [], "before the birth the drop tells of the birth";
    }
    assert_eq!(
        with("2026-10-01 20:00", "36.9 °C"),
        [("dam-cold", Urgency::Watch)],
        "with nothing written for three days it is remembered"
    );
}

/// Findings of one puppy born on 2026-10-01 at 08:00.
fn of_puppy(today: u32, born: &str, health: &str) -> Vec<(&'static str, Urgency)> {
    let mut records = records(today, &puppy("a", "300 g"), "", health, "");
    let birth = records
        .litters
        .values_mut()
        .next()
        .unwrap()
        .litter
        .birth
        .as_mut()
        .unwrap();
    birth.on = born.parse().unwrap();
    let rules = ["cold", "temperature", "fed-cold", "illness"];
    findings(&records)
        .filter(|f| rules.contains(&f.rule().name()))
        .map(|f| (f.rule().name(), f.urgency))
        .collect()
}

#[test]
fn puppies_temperatures_are_graded_by_age() {
    let on = |born: &str, text: &str| {
        of_puppy(
            30,
            born,
            &format!("- {{ at: 2026-10-30 08:00, for: a, temperature: {text} }}"),
        )
    };
    let call = |rule| vec![(rule, Urgency::CallTheVet)];
    let watch = vec![("temperature", Urgency::Watch)];
    // Two practices: under 35 °C in week 1. SACN table 16-1: 34.5 to 37.2 °C in weeks 1 and 2, 36.0
    // to 37.8 °C in weeks 2 to 4.
    let week_1 = "2026-10-24";
    assert_eq!(
        [
            on(week_1, "34.9 °C"),
            on(week_1, "35.0 °C"),
            on(week_1, "37.3 °C")
        ],
        [call("cold"), vec![], watch.clone()]
    );
    // Our own: two degrees or more over the band in the first two weeks.
    assert_eq!(
        [on(week_1, "39.1 °C"), on(week_1, "39.2 °C")],
        [watch.clone(), call("temperature")]
    );
    // Home veterinary handbook: 94 °F, 34.4 °C, in the second.
    let week_2 = "2026-10-18";
    assert_eq!(
        [
            on(week_2, "34.3 °C"),
            on(week_2, "34.4 °C"),
            on(week_2, "34.5 °C")
        ],
        [call("cold"), watch.clone(), vec![]]
    );
    // Our own: a degree or more under the band is a call, up to day 28.
    let week_4 = "2026-10-02";
    assert_eq!(
        [
            on(week_4, "35.0 °C"),
            on(week_4, "35.1 °C"),
            on(week_4, "36.0 °C")
        ],
        [call("cold"), watch.clone(), vec![]]
    );
    assert_eq!(
        [
            on(week_4, "37.9 °C"),
            on(week_4, "39.4 °C"),
            on(week_4, "39.5 °C")
        ],
        [watch.clone(), watch.clone(), call("temperature")]
    );
    // Over four weeks the table prints 37.8 °C and 97 °F (36.1 °C) for the same; grown dogs have up
    // to 39.2 °C.
    let older = "2026-09-25";
    assert_eq!(
        [
            on(older, "36.0 °C"),
            on(older, "36.1 °C"),
            on(older, "37.8 °C")
        ],
        [call("cold"), watch.clone(), vec![]]
    );
    assert_eq!(
        [
            on(older, "38.9 °C"),
            on(older, "39.3 °C"),
            on(older, "39.5 °C")
        ],
        [vec![], watch, call("temperature")]
    );
}

#[test]
fn a_reading_outside_its_band_is_not_forgotten_for_twelve_hours() {
    let read = |times: &[(&str, &str)]| -> String {
        times
            .iter()
            .map(|(at, text)| format!("- {{ at: 2026-10-{at}, for: a, temperature: {text} °C }}\n"))
            .collect()
    };
    let on = |today, times| of_puppy(today, "2026-10-01", &read(times));
    let watch = [("temperature", Urgency::Watch)];
    each! {
        on(4, &[("04 06:00", "34.2"), ("04 08:00", "36.0")]) => watch;
        on(4, &[("03 18:00", "34.2"), ("03 20:00", "36.0")])
            => watch, "of the day no hour is known";
        on(4, &[("03 11:00", "34.2"), ("03 13:00", "36.0")]) => [];
        on(5, &[("03 18:00", "34.2"), ("03 20:00", "36.0")]) => [];
        // Nothing written since: the call goes on, then it is at least remembered.
        on(5, &[("03 18:00", "34.2")]) => [("cold", Urgency::CallTheVet)];
        on(6, &[("03 18:00", "34.2")]) => [("cold", Urgency::Watch)];
    }
}

#[test]
fn a_feed_within_an_hour_of_a_cold_reading_is_a_call() {
    // Two practices: under 35 °C the gut stops; never feed.
    let fed = |at: &str, between: &str| {
        let health = format!(
            "- {{ at: 2026-10-04 06:00, for: a, temperature: 34.8 °C }}\n{between}- {{ at: \
             2026-10-04 {at}, for: a, feed: {{ what: milk, amount: 3 ml }} }}\n- {{ at: \
             2026-10-04 12:00, for: a, temperature: 36 °C }}\n"
        );
        of_puppy(4, "2026-10-01", &health).contains(&("fed-cold", Urgency::CallTheVet))
    };
    assert!(fed("06:00", "") && fed("07:00", ""));
    assert!(!fed("07:01", "") && !fed("05:59", ""));
    assert!(
        !fed(
            "06:50",
            "- { at: 2026-10-04 06:40, for: a, temperature: 35.2 °C }\n"
        ),
        "warm by then"
    );
}

#[test]
fn a_puppys_signs_of_an_emergency_are_a_call() {
    // Home veterinary handbooks: limp, twitching, a weak cry go with low blood sugar.
    let on = |today, signs: &str| {
        of_puppy(
            today,
            "2026-10-01",
            &format!("- {{ on: 2026-10-04, for: a, illness: {{ signs: {signs} }} }}"),
        )
    };
    assert_eq!(on(6, "restless at night"), [("illness", Urgency::Watch)]);
    assert_eq!(on(11, "limp and slow"), [("illness", Urgency::CallTheVet)]);
    // Our own choice: it is remembered as long as nothing closes it, for four weeks.
    for (signs, today) in [
        ("restless at night", 7),
        ("limp and slow", 12),
        ("limp", 31),
    ] {
        assert_eq!(on(today, signs), [("illness", Urgency::Watch)], "{signs}");
    }
    assert_eq!(on(5, "not limp"), [("illness", Urgency::Watch)]);
}

#[test]
fn a_puppy_whose_illness_nobody_closed_is_not_called_steady() {
    // Our own choice; no source says how long a sign of illness counts.
    let weights: String = (1..27)
        .map(|n| {
            let grams = 300.0 * 1.07_f64.powi(n);
            format!("- {{ at: 2026-10-{:02} 08:00, a: {grams:.0} g }}\n", n + 1)
        })
        .collect();
    let found = |today: u32, more: &str| {
        let ill = "- { on: 2026-10-04, for: a, illness: { signs: soft stool } }\n";
        let known: Vec<&str> = weights.lines().take(today as usize - 1).collect();
        let (known, health) = (known.join("\n"), format!("{ill}{more}"));
        super::rules_of(
            &records(today, &puppy("a", "300 g"), &known, &health, ""),
            "a",
        )
    };
    for today in 4..28 {
        let rules = found(today, "");
        assert!(
            rules.contains(&"illness") && !rules.contains(&"steady"),
            "{today}: {rules:?}"
        );
    }
    for closed in [
        "- { on: 2026-10-06, for: a, illness: { signs: well again } }\n",
        "- { on: 2026-10-06, for: a, check: { by: V, findings: nothing found } }\n",
    ] {
        assert_eq!(found(12, closed), ["steady"], "{closed}");
    }
}

#[test]
fn a_cleft_palate_stays_until_a_vet_has_looked() {
    let cleft = puppy("a", "300 g").replace("palate: intact", "palate: cleft");
    let rules = |health: &str| super::rules_of(&records(31, &cleft, "", health, ""), "a");
    assert!(rules("").contains(&"palate-cleft"), "thirty days later");
    assert!(
        !rules("- { on: 2026-10-03, for: all, check: { by: V, mouth: cleft seen } }")
            .contains(&"palate-cleft")
    );
    assert!(!rules("- { on: 2026-10-03, for: a, done: check-newborn }").contains(&"palate-cleft"));
    for check in ["{ by: K, mouth: cleft }", "{ by: V, findings: no change }"] {
        let health = format!("- {{ on: 2026-10-03, for: a, check: {check} }}");
        assert!(rules(&health).contains(&"palate-cleft"), "{check}");
    }
    let limb = puppy("a", "300 g").replace("limbs: normal", "limbs: left hind turned in");
    assert!(super::rules_of(&records(31, &limb, "", "", ""), "a").contains(&"newborn-finding"));
}

#[test]
fn a_newborn_without_an_anus_or_with_a_navel_that_bleeds_is_a_call() {
    // Usual checklist and cautions of the trade, no source.
    let found = |item: &str, what: &str| {
        let text =
            puppy("a", "300 g").replace(&format!("{item}: normal"), &format!("{item}: {what}"));
        let records = records(1, &text, "", "", "");
        findings(&records)
            .filter(|f| f.rule().name() == "newborn-finding")
            .map(|f| f.urgency)
            .collect::<Vec<_>>()
    };
    let call = [Urgency::CallTheVet];
    assert_eq!(found("anus", "closed"), call);
    assert_eq!(found("navel", "'bleeding, does not stop'"), call);
    assert_eq!(found("anus", "open"), []);
    assert_eq!(found("eyes", "closed"), []);
    assert_eq!(found("eyes", "open"), [Urgency::Watch]);
}

#[test]
fn a_score_that_was_broken_off_takes_no_severe_one_back() {
    // Veronesi and others 2009: 0 to 3 of 10 is severe distress. A missing item makes a total
    // unknown, never better.
    let found = |scores: &str| {
        let scored = format!("palate: intact, vigour: [{scores}]");
        let text = puppy("a", "300 g").replace("palate: intact", &scored);
        let records = records(1, &text, "", "", "");
        findings(&records)
            .filter_map(|f| match f.noticed {
                Noticed::LowVigour {
                    total, unfinished, ..
                } => Some((f.urgency, total, unfinished)),
                _ => None,
            })
            .collect::<Vec<_>>()
    };
    let severe = "{ at: 5 min, heart: 0, breathing: 1, reflex: 0, movement: 1, gums: 1 }";
    let broken = "{ at: 10 min, heart: 1, breathing: 1, gums: 1 }";
    let good = "{ at: 10 min, heart: 2, breathing: 2, reflex: 2, movement: 1, gums: 1 }";
    let call = Urgency::CallTheVet;
    assert_eq!(found(severe), [(call, 3, None)]);
    assert_eq!(found(&format!("{severe}, {broken}")), [(call, 3, Some(10))]);
    assert_eq!(found(&format!("{severe}, {good}")), []);
    assert_eq!(found(broken), []);
}

#[test]
fn a_day_later_for_everything_is_the_same_a_day_later() {
    let health = |shift: u32| {
        let day = |n: u32| format!("2026-10-{:02}", n + shift);
        format!(
            "- {{ at: {} 06:00, for: a, temperature: 34.8 °C }}\n- {{ at: {} 06:30, for: a, feed: \
             {{ what: milk, amount: 3 ml }} }}\n- {{ on: {}, for: dam, illness: {{ signs: \
             trembling }} }}\n- {{ at: {} 09:00, for: dam, temperature: 39.6 °C }}\n- {{ on: {}, \
             for: dead, illness: {{ signs: limp }} }}\n",
            day(4),
            day(4),
            day(3),
            day(4),
            day(2)
        )
    };
    let found = |shift: u32| {
        let puppies = puppy("a", "300 g")
            + &format!(
                "  - {{ id: dead, sex: male, weight: 200 g, fate: died, on: 2026-10-{:02} }}\n",
                2 + shift
            );
        let mut records = records(5 + shift, &puppies, "", &health(shift), "");
        records
            .litters
            .values_mut()
            .next()
            .unwrap()
            .litter
            .birth
            .as_mut()
            .unwrap()
            .on = format!("2026-10-{:02}", 1 + shift).parse().unwrap();
        findings(&records)
            .map(|f| {
                (
                    f.rule().name(),
                    f.urgency,
                    f.puppy.as_ref().map(ToString::to_string),
                )
            })
            .collect::<Vec<_>>()
    };
    let first = found(0);
    assert!(
        first.iter().any(|(rule, ..)| *rule == "fed-cold")
            && first.iter().any(|(rule, ..)| *rule == "dam-illness"),
        "{first:?}"
    );
    assert!(
        first
            .iter()
            .all(|(.., puppy)| puppy.as_deref() != Some("dead")),
        "nothing of the dead"
    );
    for shift in 1..20 {
        assert_eq!(found(shift), first, "{shift}");
    }
}
