//! A bitch's page in the keeper's book: seasons and mating sheets, and what of them the round says.
//!
//! In: small kennels. What is computed is proved beside the code; here it has to reach the keeper,
//! and nobody else.

use crate::support::Kennel;

/// The base kennel on 2026-10-09 with a law to look at, and these dogs.
fn kennel(dogs: &[(&str, &str)]) -> Kennel {
    let kennel = Kennel::base();
    kennel.change("kennel.yaml", "country: GB", "country: GB\nregion: england");
    for (id, yaml) in dogs {
        kennel.write(
            &format!("dogs/{id}.yaml"),
            &format!("name: The {id}\n{yaml}\n"),
        );
    }
    kennel.run(&["publish"]).ends_with(0);
    kennel
}

fn page(kennel: &Kennel, bitch: &str) -> String {
    String::from_utf8(kennel.site()[&format!("private/bitches/{bitch}.html")].clone()).unwrap()
}

/// The sheet of a mating with a sire.
fn sheet(page: &str, sire: &str) -> String {
    let (_, sheet) = page
        .split_once(&format!("id=\"with-{sire}\""))
        .unwrap_or_else(|| panic!("no sheet with {sire}"));
    sheet.split_once("</section>").unwrap().0.to_owned()
}

#[test]
fn a_mating_sheet_gives_mrodes_and_wrights_coefficients() {
    // Mrode 2014, table 2.1: 3 of 1 and 2; 4 of 1; 5 of 4 and 3; 6 of 5 and 2. F5 and F6 are 0.125.
    // `eight` is a full brother of 3.
    let kennel = kennel(&[
        ("one", "sex: male\nborn: 2015-01-01"),
        ("two", "sex: female\nborn: 2015-01-01"),
        (
            "three",
            "sex: female\nborn: 2017-01-01\nsire: one\ndam: two",
        ),
        ("four", "sex: male\nborn: 2017-01-01\nsire: one"),
        (
            "five",
            "sex: male\nborn: 2019-01-01\nsire: four\ndam: three",
        ),
        ("eight", "sex: male\nborn: 2017-02-01\nsire: one\ndam: two"),
    ]);
    let (two, three) = (page(&kennel, "two"), page(&kennel, "three"));
    for (page, sire, percent, relation) in [
        (&three, "four", "12.50 %", Some("half siblings")),
        (&two, "five", "12.50 %", Some("grandparent and grandchild")),
        (&three, "eight", "25.00 %", Some("full siblings")),
        (&three, "one", "25.00 %", Some("parent and offspring")),
        (&three, "corvin", "too few ancestors known to say", None),
    ] {
        let sheet = sheet(page, sire);
        assert!(sheet.contains(percent), "{sire}: {sheet}");
        assert_eq!(
            relation.is_some(),
            sheet.contains("<dt>Relation</dt>"),
            "{sire}"
        );
        assert!(
            relation.is_none_or(|relation| sheet.contains(relation)),
            "{sire}: {sheet}"
        );
    }
    // Nothing stands behind `two` and `one`: no percentage without the depth it rests on.
    assert!(!sheet(&two, "one").contains("0.00 %"));
}

#[test]
fn a_mating_sheet_says_what_is_missing_what_runs_out_and_what_the_law_asks() {
    let kennel = kennel(&[
        (
            "bryony",
            "sex: female\nborn: 2025-12-20\nscreening:\n  - { test: von Willebrand type III, \
             result: carrier }\n  - { test: eyes, result: clear, valid_until: 2026-12-01 \
             }\nseasons: [{ start: 2026-10-05 }]",
        ),
        (
            "rowan",
            "sex: male\nborn: 2022-01-01\nscreening:\n  - { test: von Willebrand type III, \
             result: carrier }\n  - { test: eyes, result: clear, valid_until: 2026-09-01 }",
        ),
        ("teasel", "sex: male\nborn: 2022-01-01\nneutered: true"),
        (
            "burdock",
            "sex: male\nborn: 2022-01-01\nretired: 2025-01-01",
        ),
        ("sorrel", "sex: male\nborn: 2022-01-01\ndied: 2025-01-01"),
    ]);
    let page = page(&kennel, "bryony");
    let with_rowan = sheet(&page, "rowan");
    for words in [
        "on average 25 % clear, 50 % carriers, 25 % affected",
        "eyes: that of the sire ran out on 1 September 2026",
    ] {
        assert!(with_rowan.contains(words), "{words}: {with_rowan}");
    }
    assert!(
        !with_rowan.contains("of the dam runs out"),
        "it lasts until after this season"
    );
    assert!(sheet(&page, "corvin").contains("von Willebrand type III: no result of the sire"));
    for away in ["teasel", "burdock", "sorrel"] {
        assert!(!page.contains(&format!("with-{away}")), "{away} is offered");
    }
    // Day 9 to 15 of the season that began on 5 October; England asks for 12 months at mating.
    assert!(
        page.contains("between 14 October 2026 and 20 October 2026 (by her seasons)"),
        "{page}"
    );
    assert!(page.contains(
        "would be mated between 14 October 2026 and 20 October 2026 and reaches 12 months on 20 \
         December 2026"
    ));
    assert!(page.contains("<strong>not as the rule asks</strong>"));
    assert!(page.contains("progesterone from 10 October 2026 on, every 2 days"));
}

#[test]
fn the_round_keeps_the_weeks_after_a_heat_in_mind_and_calls_nobody_for_them() {
    let kennel = kennel(&[
        (
            "bryony",
            "sex: female\nborn: 2020-01-01\nseasons: [{ start: 2026-09-01, end: 2026-09-20 \
             }]\nretired: true",
        ),
        ("tansy", "sex: female\nborn: 2018-06-01\nneutered: true"),
    ]);
    let round = kennel
        .run(&["rounds"])
        .out
        .split_whitespace()
        .collect::<Vec<_>>()
        .join(" ");
    let line = round
        .split("BITCHES")
        .nth(1)
        .unwrap_or_else(|| panic!("{round}"));
    assert!(
        line.contains("The bryony") && line.contains("4 Oct to 29 Nov"),
        "{round}"
    );
    let json: serde_json::Value =
        serde_json::from_str(&kennel.run(&["rounds", "--json"]).out).unwrap();
    let notes = json["bitches"].as_array().unwrap();
    assert_eq!(
        notes
            .iter()
            .map(|note| (
                note["dog"].as_str().unwrap(),
                note["from"].as_str().unwrap()
            ))
            .collect::<Vec<_>>(),
        [("bryony", "2026-10-04")]
    );
    assert!(
        json["tasks"]
            .as_array()
            .unwrap()
            .iter()
            .all(|task| !task["what"].as_str().unwrap().contains("pyometra"))
    );
    let site = kennel.site();
    assert!(
        site["private/index.html"]
            .windows(8)
            .any(|w| w == b"pyometra")
    );
    let readable = kennel.readable();
    assert!(readable.values().all(|text| !text.contains("pyometra")));
    assert!(page(&kennel, "tansy").contains("none: she is spayed"));
}

#[test]
fn what_is_not_known_of_a_bitch_says_what_would_settle_it() {
    let kennel = kennel(&[("bryony", "sex: female\nborn: 2020-01-01")]);
    let page = page(&kennel, "bryony");
    for words in [
        "not known yet, because no season, mating or litter of hers is on record; settled by",
        "today, because her next season is not known",
    ] {
        assert!(page.contains(words), "{words}");
    }
    // Her litter of April 2026 shows one heat of Juno's.
    let juno = self::page(&kennel, "juno");
    assert!(
        juno.contains("counted back, not written down")
            && juno.contains("52 to 84 days more after a litter"),
        "{juno}"
    );
}
