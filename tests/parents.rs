//! Parents beside their litter and their puppies: published tests, and inbreeding where enough is
//! known to say.
//!
//! In: small kennels, published. That nothing else of a parent becomes public is held by
//! `boundary`.

use crate::support::Kennel;

/// The base kennel with a published and a private result of the dam.
fn kennel() -> Kennel {
    let kennel = Kennel::base();
    let tests = "screening:\n  - { test: patella, result: grade 0 both sides, publish: true }\n  \
                 - { test: eyes, result: zqshut }\n";
    kennel.write("dogs/juno.yaml", &(kennel.text("dogs/juno.yaml") + tests));
    kennel
}

fn page(kennel: &Kennel, path: &str) -> String {
    kennel.run(&["publish"]).ends_with(0);
    String::from_utf8(kennel.site()[path].clone()).unwrap()
}

#[test]
fn published_results_stand_beside_each_parent_and_no_other() {
    let kennel = kennel();
    for path in [
        "public/litters/spring.html",
        "public/litters/spring/wren.html",
    ] {
        let html = page(&kennel, path);
        let (dam, sire) = html
            .split_once("<dt>Dam</dt>")
            .unwrap()
            .1
            .split_once("<dt>Sire</dt>")
            .unwrap();
        assert!(
            dam.contains("Tarnside Juno") && dam.contains("patella: grade 0 both sides"),
            "{path}: {dam}"
        );
        assert!(
            sire.split_once("</dl>")
                .unwrap()
                .0
                .contains("No test result is published."),
            "{path}: {sire}"
        );
        assert!(!html.contains("zqshut") && !html.contains("eyes"), "{path}");
    }
}

#[test]
fn a_published_result_names_its_day_and_its_end_and_says_when_it_has_run_out() {
    let kennel = kennel();
    let juno = kennel.text("dogs/juno.yaml");
    let with = |until: &str| {
        let eyes = format!(
            "screening:\n  - {{ test: eye look, result: clear, on: 2023-02-13, valid_until: \
             {until}, publish: true }}\n"
        );
        kennel.write("dogs/juno.yaml", &juno.replacen("screening:\n", &eyes, 1));
        ["public/litters/spring.html", "public/dogs/juno.html"].map(|path| page(&kennel, path))
    };
    for html in with("2024-02-12") {
        let seen = html.split_once("eye look").unwrap().1;
        let seen: String = seen.chars().take(400).collect();
        assert!(seen.contains("13 February 2023"), "{seen}");
        assert!(
            seen.contains("ran out on <time datetime=\"2024-02-12\">"),
            "{seen}"
        );
    }
    for html in with("2027-02-12") {
        assert!(html.contains("valid until <time datetime=\"2027-02-12\">"));
        assert!(!html.contains("ran out"));
    }
}

#[test]
fn a_carrier_is_explained_where_a_gene_was_tested_and_nowhere_else() {
    // Mendel 1866: of two copies that differ, each passes to half of the offspring.
    let kennel = kennel();
    let juno = kennel.text("dogs/juno.yaml");
    let explained = |result: &str, publish: bool| {
        let test = format!(
            "screening:\n  - {{ test: gene x, result: \"{result}\", publish: {publish} }}\n"
        );
        kennel.write("dogs/juno.yaml", &juno.replacen("screening:\n", &test, 1));
        page(&kennel, "public/dogs/juno.html").contains("with a chance of one in two")
    };
    for result in ["carrier", "Carrier (N/mut)", "heterozygous carrier"] {
        assert!(explained(result, true), "{result}");
    }
    for result in ["clear", "n/mut", "carrier of good news"] {
        assert!(!explained(result, true), "{result}");
    }
    assert!(!explained("carrier", false), "nobody sees the result");
}

#[test]
fn nothing_found_among_few_ancestors_is_no_figure_anywhere() {
    // Both parents are known, and two of the four grandparents: 1 + 1/2 complete generations.
    let kennel = kennel();
    let few = "too few ancestors known to say";
    for path in [
        "public/litters/spring.html",
        "public/dogs/juno.html",
        "private/litters/spring.html",
        "private/bitches/juno.html",
    ] {
        let html = page(&kennel, path);
        assert!(html.contains(few) && !html.contains("0.00 %"), "{path}");
    }
    kennel.run(&["export"]).ends_with(0);
    let export: serde_json::Value =
        serde_json::from_slice(&kennel.site()["private/export/records.json"]).unwrap();
    let juno = export["dogs"]
        .as_array()
        .unwrap()
        .iter()
        .find(|dog| dog["id"] == "juno")
        .unwrap();
    assert!(juno["computed_inbreeding_percent"].is_null(), "{juno}");
}

#[test]
fn what_was_found_is_said_to_two_decimals_whatever_is_not_known() {
    let kennel = kennel();
    // Half brother and sister, with one side known each: 1/8 (Wright 1922, Am Nat 56:330-338).
    kennel.write(
        "dogs/corvin.yaml",
        &(kennel.text("dogs/corvin.yaml") + "sire: brack\n"),
    );
    for path in [
        "public/litters/spring.html",
        "private/litters/spring.html",
        "private/bitches/juno.html",
    ] {
        assert!(page(&kennel, path).contains("12.50 %"), "{path}");
    }
}
