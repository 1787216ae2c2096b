//! Signs in remarks and in checks that keepers made themselves: a sign that is missed is worse than
//! one too many, and what may have meant another is no call.

use super::super::{Noticed, SaidIn, Urgency};
use super::{CHECKED, findings, records};
use crate::testing::each;

/// What is said of the illness of each puppy of two, born on 2026-10-01 at 08:00, and of the dam.
fn said(today: u32, weights: &str, health: &str) -> Vec<(String, Urgency, SaidIn)> {
    let puppies: String = ["fern", "reed"]
        .map(|id| {
            format!("  - {{ id: {id}, sex: male, born: \"08:00\", weight: 300 g, {CHECKED} }}\n")
        })
        .concat();
    let records = records(today, &puppies, weights, health, "");
    findings(&records)
        .filter_map(|f| match &f.noticed {
            Noticed::Illness(unwell) | Noticed::DamIllness(unwell) => {
                let whom = f.puppy.as_ref().map_or("dam", |id| id.as_str());
                Some((whom.to_owned(), f.urgency, unwell.noted[0].place))
            }
            _ => None,
        })
        .collect()
}

fn fern(urgency: Urgency, place: SaidIn) -> Vec<(String, Urgency, SaidIn)> {
    vec![("fern".to_owned(), urgency, place)]
}

#[test]
fn a_sign_in_a_remark_or_in_a_check_of_ones_own_is_no_steady_puppy() {
    let call = |place| fern(Urgency::CallTheVet, place);
    for (entry, place) in [
        (
            "at: 2026-10-05 08:00, for: fern, temperature: 36.0 °C, remark: limp and will not suck",
            SaidIn::Remark,
        ),
        (
            "at: 2026-10-05 08:00, for: fern, feed: { what: milk }, remark: milk from its nose",
            SaidIn::Remark,
        ),
        (
            "on: 2026-10-05, for: fern, check: { by: K, findings: \"dry gums, dehydrated\" }",
            SaidIn::OwnCheck,
        ),
        (
            "on: 2026-10-05, for: fern, illness: { signs: quiet }, remark: will not suck",
            SaidIn::Remark,
        ),
    ] {
        assert_eq!(
            said(5, "", &format!("- {{ {entry} }}\n")),
            call(place),
            "{entry}"
        );
    }
    for entry in [
        "at: 2026-10-05 08:00, for: fern, temperature: 36.0 °C, remark: not limp, sucks well",
        "at: 2026-10-05 08:00, for: fern, temperature: 36.0 °C, remark: before its feed",
        "on: 2026-10-05, for: fern, check: { by: K, findings: nothing found }",
        "on: 2026-10-05, for: fern, treatment: { product: P, why: diarrhoea }, remark: diarrhoea",
        "on: 2026-10-05, for: fern, worming: { product: P }, remark: vomited it",
    ] {
        assert_eq!(said(5, "", &format!("- {{ {entry} }}\n")), [], "{entry}");
    }
}

#[test]
fn what_a_vet_found_is_watched_and_no_call() {
    // Common practice, no source: the vet knows, and has said what is to be done.
    let check = |day: u32, found: &str| {
        let check = format!("check: {{ by: V, findings: \"{found}\" }}");
        format!("- {{ on: 2026-10-{day:02}, for: fern, {check} }}\n")
    };
    let ill = check(5, "dehydrated, fluids given");
    assert_eq!(said(5, "", &ill), fern(Urgency::Watch, SaidIn::VetCheck));
    assert_eq!(said(8, "", &ill), []);
    assert_eq!(said(6, "", &(ill + &check(6, "drinks well"))), []);
}

#[test]
fn a_sign_in_a_check_of_ones_own_is_told_beside_what_is_open() {
    let health = "- { on: 2026-10-05, for: fern, illness: { signs: quiet } }\n- { on: 2026-10-06, \
                  for: fern, check: { by: K, findings: now limp } }\n";
    assert_eq!(
        said(6, "", health),
        fern(Urgency::CallTheVet, SaidIn::OwnCheck)
    );
}

#[test]
fn a_reaction_to_a_vaccination_is_read() {
    let reaction = |said_of: &str| {
        let entry = format!("vaccination: {{ product: P, reaction: {said_of} }}");
        said(
            30,
            "",
            &format!("- {{ on: 2026-10-30, for: fern, {entry} }}\n"),
        )
    };
    assert_eq!(
        reaction("collapsed after an hour"),
        fern(Urgency::CallTheVet, SaidIn::Remark)
    );
    assert_eq!(reaction("none"), []);
}

#[test]
fn a_remark_at_a_weigh_in_is_about_whom_it_names() {
    let weighed = |remark: &str| {
        let weights = "fern: 310 g, reed: 310 g";
        said(
            2,
            &format!("- {{ at: 2026-10-02 08:00, {weights}, remark: \"{remark}\" }}\n"),
            "",
        )
    };
    each! {
        weighed("after their feed") => [];
        weighed("Fern limp") => fern(Urgency::CallTheVet, SaidIn::Remark);
        weighed("fern is cold") => fern(Urgency::CallTheVet, SaidIn::Remark);
    }
    // Nobody is named: it may be any of them, and is no call.
    let both = ["fern", "reed"].map(|id| (id.to_owned(), Urgency::Watch, SaidIn::SharedRemark));
    assert_eq!(weighed("one of them limp"), both);
}

#[test]
fn what_was_remarked_on_a_newborn_is_a_watch_in_its_first_days() {
    let of = |today: u32, remark: &str| {
        let more = format!("{CHECKED}, remarks: {remark}");
        let puppy =
            format!("  - {{ id: fern, sex: male, born: \"08:00\", weight: 300 g, {more} }}\n");
        let records = records(today, &puppy, "", "", "");
        let found = findings(&records);
        let ill = found.filter(|f| matches!(f.noticed, Noticed::Illness(_)));
        ill.map(|f| f.urgency).collect::<Vec<_>>()
    };
    assert_eq!(of(1, "gasped and was limp at first"), [Urgency::Watch]);
    assert_eq!(of(3, "gasped and was limp at first"), [Urgency::Watch]);
    assert_eq!(of(4, "gasped and was limp at first"), []);
    assert_eq!(of(1, "white chest, cried at once"), []);
}

#[test]
fn a_remark_about_several_is_not_asked_about_later() {
    let health = "- { at: 2026-10-05 08:00, for: all, done: gentle-handling, remark: one is limp }";
    let watched = |today: u32| said(today, "", health).len();
    assert_eq!((watched(5), watched(7), watched(8)), (2, 2, 0));
    let alone = health.replace("for: all", "for: fern");
    let own = |today: u32| said(today, "", &alone);
    assert_eq!(own(12), fern(Urgency::CallTheVet, SaidIn::Remark));
    assert_eq!(own(13), fern(Urgency::Watch, SaidIn::Remark), "it is asked");
}

#[test]
fn what_is_written_beside_a_look_at_the_dam_is_read() {
    let dam = |day: u32, entry: &str| {
        let told = said(
            day,
            "",
            &format!("- {{ on: 2026-10-{day:02}, for: dam, {entry} }}\n"),
        );
        told.into_iter()
            .map(|(_, urgency, _)| urgency)
            .collect::<Vec<_>>()
    };
    each! {
        dam(5, "done: dam-discharge, remark: green and foul") => [Urgency::CallTheVet];
        dam(5, "temperature: 38.5 °C, remark: restless and trembling") => [Urgency::CallTheVet];
        dam(2, "done: dam-discharge, remark: dark green") => [];
        dam(5, "done: dam-discharge, remark: dark green") => [Urgency::CallTheVet];
        dam(5, "done: dam-glands, remark: last one hot and hard") => [Urgency::CallTheVet];
        dam(5, "done: dam-glands, remark: none hot or hard") => [];
        dam(5, "done: [dam-glands, dam-discharge], remark: green") => [], "of what is not said";
        dam(5, "done: dam-discharge, remark: \"reddish, less\"") => [];
    }
    // No appetite counts on the second day, wherever the first was written.
    let uneaten = "done: dam-appetite, remark: not eating";
    assert_eq!(dam(5, uneaten), [Urgency::Watch]);
    let days = format!(
        "- {{ on: 2026-10-05, for: dam, {uneaten} }}\n- {{ on: 2026-10-06, for: dam, {uneaten} }}\n"
    );
    let told = said(6, "", &days);
    assert_eq!(told[0].1, Urgency::CallTheVet);
}
