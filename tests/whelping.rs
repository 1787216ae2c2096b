//! The whelping sheet and `take-in`, from the command line.
//!
//! In: the base kennel of the record tests with a litter that is expected. Out: which sheets there
//! are and what is in them; what `take-in` says and leaves on the disk. That the sheet works in a
//! browser is shown by `tests/browser/whelping.mjs`.

use crate::support::{Kennel, Ran, tree};
use base64::Engine;
use base64::engine::general_purpose::STANDARD;
use sha2::{Digest, Sha256};
use std::fs;

const RECORD: &str = "litters/autumn/litter.yaml";
const BIRTH: &str = "# litter: autumn\nbirth: { on: 2026-10-05, how: natural }\npuppies:\n  - { \
                     id: green, ribbon: green, sex: female, born: \"23:58:07\", order: 1, weight: \
                     212 g, first_breath: 40 s }\n  - { id: blue, ribbon: blue, sex: male, born: \
                     \"2026-10-06 00:03:59\", order: 2 }\n";

/// A kennel whose bitch is due in the days before the day it is held at.
fn expecting() -> Kennel {
    let kennel = Kennel::base();
    kennel.write(
        RECORD,
        "name: Autumn 2026\ndam: tansy\nsire: corvin\nmated: [2026-08-03]   # once\n# no x-ray \
         this time",
    );
    kennel
}

fn take_in(kennel: &Kennel, text: &str, more: &[&str]) -> Ran {
    let file = kennel.at("birth.yaml");
    fs::write(&file, text).unwrap();
    kennel.run(&[&["take-in", file.to_str().unwrap()], more].concat())
}

fn sheets(kennel: &Kennel) -> Vec<String> {
    let names = tree(&kennel.at("private")).into_keys();
    names.filter(|name| name.starts_with("whelping")).collect()
}

#[test]
fn a_litter_has_a_sheet_while_it_is_expected_and_in_the_days_after_its_birth() {
    let kennel = expecting();
    kennel.write(
        "litters/empty/litter.yaml",
        "name: Nothing\ndam: juno\nsire: corvin\nmated: [2026-07-01]\ncounted: { by: ultrasound, \
         on: 2026-07-29, puppies: 0 }\n",
    );
    kennel.run(&["publish"]).ends_with(0);
    assert_eq!(
        sheets(&kennel),
        ["whelping-sheet.html", "whelping/autumn.html"]
    );
    let page = fs::read_to_string(kennel.at("private/litters/autumn.html")).unwrap();
    assert!(page.contains("../whelping/autumn.html"));
    assert!(
        !fs::read_to_string(kennel.at("private/litters/spring.html"))
            .unwrap()
            .contains("whelping/")
    );
    // Born four days before: still there. Nine days before: no more.
    take_in(&kennel, BIRTH, &["--yes"]).ends_with(0);
    kennel.run(&["publish"]).ends_with(0);
    assert_eq!(
        sheets(&kennel),
        ["whelping-sheet.html", "whelping/autumn.html"]
    );
    kennel.change("kennel.yaml", "as_of: 2026-10-09", "as_of: 2026-10-14");
    kennel.run(&["publish"]).ends_with(0);
    assert_eq!(sheets(&kennel), ["whelping-sheet.html"]);
}

#[test]
fn a_sheet_carries_everything_itself_and_nothing_typed_breaks_out_of_it() {
    let kennel = expecting();
    let name = "@policy@ </script><script>alert(1)</script> <!-- \"'&";
    kennel.change(
        RECORD,
        "name: Autumn 2026",
        &format!("name: {}", serde_json::to_string(name).unwrap()),
    );
    kennel.run(&["publish"]).ends_with(0);
    let html = fs::read_to_string(kennel.at("private/whelping/autumn.html")).unwrap();
    let policy = html
        .split("Content-Security-Policy\" content=\"")
        .nth(1)
        .unwrap()
        .split('"')
        .next()
        .unwrap();
    assert!(
        policy.starts_with("default-src 'none';")
            && policy.contains("connect-src 'none'")
            && !policy.contains("unsafe"),
        "{policy}"
    );
    // Every inline script and style is the one that its hash names: CSP3, section 2.3.1.
    let mut seen = 0;
    for (tag, end) in [("<script", "</script"), ("<style", "</style")] {
        for part in html.split(tag).skip(1) {
            let (_, text) = part.split_once('>').unwrap();
            let hash = STANDARD.encode(Sha256::digest(text.split(end).next().unwrap()));
            assert!(policy.contains(&format!("'sha256-{hash}'")), "{tag}");
            seen += 1;
        }
    }
    assert_eq!(seen, 3);
    let data = html
        .split("id=\"sheet-data\">")
        .nth(1)
        .unwrap()
        .split("</script")
        .next()
        .unwrap();
    let data: serde_json::Value = serde_json::from_str(data).unwrap();
    assert_eq!(
        (
            data["title"].as_str(),
            data["litter"].as_str(),
            data["zone"].as_str()
        ),
        (Some(name), Some("autumn"), Some("Europe/London"))
    );
    for word in ["src=", "http://", "https://", "@import", "url("] {
        assert!(!html.contains(word), "{word}");
    }
}

#[test]
fn the_birth_is_taken_in_and_the_old_text_stays() {
    let kennel = expecting();
    let before = kennel.text(RECORD);
    let ran = take_in(&kennel, BIRTH, &["--yes"]);
    ran.ends_with(0);
    assert!(
        ran.out.contains(
            "\n  birth:\n    on: 2026-10-05\n    how: natural\n  puppies:\n    - id: green\n"
        ),
        "{}",
        ran.out
    );
    assert!(
        ran.out.contains("the birth and 2 puppies taken in"),
        "{}",
        ran.out
    );
    let after = kennel.text(RECORD);
    assert!(after.starts_with(&format!("{before}\nbirth:\n")), "{after}");
    kennel.run(&["inspect"]).ends_with(0);
    let again = take_in(&kennel, BIRTH, &["--yes"]);
    again.ends_with(0);
    assert!(again.out.contains("nothing was taken in"), "{}", again.out);
    assert_eq!(kennel.text(RECORD), after);
    // One more, an hour later.
    let more = "  - { id: red, ribbon: red, sex: male, born: \"2026-10-06 01:10:00\", order: 3 }\n";
    let late = take_in(&kennel, &format!("{BIRTH}{more}"), &["--yes"]);
    assert!(
        late.ends_with(0)
            .out
            .contains("1 puppy taken in; 2 stood there already"),
        "{}",
        late.out
    );
    assert!(kennel.text(RECORD).starts_with(&after));
}

/// Nothing is taken in: the record is as it was, the exit code and the words fit.
fn refused(kennel: &Kennel, text: &str, more: &[&str], code: i32, words: &[&str]) {
    let before = tree(&kennel.content());
    let ran = take_in(kennel, text, more);
    ran.ends_with(code).says(words);
    assert_eq!(tree(&kennel.content()), before, "{text}");
}

#[test]
fn whatever_is_wrong_is_said_with_its_place_and_nothing_is_half_taken_in() {
    let kennel = expecting();
    refused(&kennel, BIRTH, &[], 2, &["--yes"]);
    refused(
        &kennel,
        &BIRTH.replace("female", "femal"),
        &["--yes"],
        1,
        &[
            "birth.yaml:4",
            "did you mean `female`",
            "Nothing was taken in",
        ],
    );
    refused(
        &kennel,
        &BIRTH.replace("ribbon: blue", "ribbon: green"),
        &["--yes"],
        1,
        &["both wear green", "content/litters/autumn/litter.yaml"],
    );
    refused(
        &kennel,
        &BIRTH.replace("212 g", "2120 g"),
        &["--yes"],
        1,
        &["no birth weight"],
    );
    refused(
        &kennel,
        &BIRTH.replace("on: 2026-10-05", "on: 2026-11-05"),
        &["--yes"],
        1,
        &["still to come"],
    );
    refused(
        &kennel,
        &BIRTH.replace("# litter: autumn\n", ""),
        &["--yes"],
        2,
        &["--litter", "autumn, spring"],
    );
    refused(
        &kennel,
        &BIRTH.replace("autumn", "winter"),
        &["--yes"],
        2,
        &["no litter `winter`", "autumn, spring"],
    );
    refused(
        &kennel,
        BIRTH,
        &["--yes", "--litter", "spring"],
        2,
        &["the birth of `autumn`, not of `spring`"],
    );
    refused(&kennel, "\u{0}\u{1}", &["--yes"], 1, &["birth.yaml"]);
    refused(
        &kennel,
        &"a".repeat(2_000_000),
        &["--yes"],
        2,
        &["far too large"],
    );
    refused(
        &kennel,
        &BIRTH.replace("puppies:", "pups:"),
        &["--yes"],
        1,
        &["`pups` is not a key here", "keys here: birth, puppies"],
    );
    kennel
        .run(&["take-in", "no-such-file.yaml", "--yes"])
        .ends_with(2)
        .says(&["no-such-file.yaml"]);
    // A record that is broken itself is mended first.
    kennel.change(RECORD, "sire: corvin", "sire: corvin\nsyre: x");
    refused(
        &kennel,
        BIRTH,
        &["--yes"],
        1,
        &["`syre` is not a key here", "Mend the record first"],
    );
}

#[test]
fn what_differs_names_both_places() {
    let kennel = expecting();
    take_in(&kennel, BIRTH, &["--yes"]).ends_with(0);
    refused(
        &kennel,
        &BIRTH.replace("212 g", "221 g"),
        &["--yes"],
        1,
        &[
            "birth.yaml:4",
            "`weight` of `green` is another one in the record",
            "there it is `212 g`: ",
            "/content/litters/autumn/litter.yaml:15",
        ],
    );
    refused(
        &kennel,
        &BIRTH.replace("natural", "assisted"),
        &["--yes"],
        1,
        &["`how` of the birth"],
    );
}

#[test]
fn a_fault_elsewhere_does_not_keep_a_birth_out() {
    let kennel = expecting();
    kennel.change("dogs/juno.yaml", "sex: female", "sex: femal");
    take_in(&kennel, BIRTH, &["--yes"]).ends_with(0);
    assert!(kennel.text(RECORD).contains("id: blue"));
}
