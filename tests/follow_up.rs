//! What becomes of a puppy after it left: what its family told, and one that came back. Each
//! audience sees its own part of it.
//!
//! In: the base kennel with a puppy that went to one family, came back, and went to another. The
//! words of the first are nobody's but the keeper's.

use crate::support::{Beginning, Kennel, now};
use litterfolio::audience::{Album, owner};
use litterfolio::{husbandry, records};

const LITTER: &str = "name: Spring 2025
dam: juno
sire: corvin
birth: { on: 2025-04-01, how: natural, placentas: 2 }
puppies:
  - id: moss
    ribbon: green
    sex: female
    weight: 224 g
    chip: \"941000025557101\"
    offer: placed
    returned: { on: 2026-03-10, reason: zqreason the baby, remarks: zqremarks of ours }
  - { id: wren, ribbon: blue, sex: male, weight: 220 g, offer: available, returned: { on: 2026-09-01, reason: zqmoved away } }
";

const HEALTH: &str = "- on: 2025-12-01
  for: moss
  follow_up: { weight: 9.4 kg, bite: scissor, hips: zqhips A/A, how: zqhow a rascal, by: zqby the Lunds }
  remark: zqtold by telephone
";

const OWNERS: &str = "families:
  - id: lund
    name: The zqlund family
    takes:
      - { litter: spring, puppy: moss, leaves: 2025-06-01 }
      - { litter: spring, puppy: wren, leaves: 2025-06-02 }
  - id: okoro
    name: The Okoro family
    takes:
      - { litter: spring, puppy: moss, leaves: 2026-04-20 }
";

fn note(audience: &str, word: &str, date: &str) -> String {
    format!(
        "---\ndate: {date}\ntitle: {word} title\naudience: {audience}\npuppies: \
         [moss]\n---\n{word} text\n"
    )
}

fn kennel() -> Kennel {
    let kennel = Kennel::base();
    kennel.write("litters/spring/litter.yaml", LITTER);
    kennel.write("litters/spring/health.yaml", HEALTH);
    kennel.write("litters/spring/weights.yaml", "");
    kennel.write("owners.yaml", OWNERS);
    kennel.write(
        "litters/spring/notes/former.md",
        &note("owners", "zqformer", "2025-05-20"),
    );
    kennel.write(
        "litters/spring/notes/later.md",
        &note("owners", "zqlater", "2026-04-10"),
    );
    kennel
}

fn published() -> Kennel {
    static PUBLISHED: Beginning = Beginning::new();
    PUBLISHED.kennel(|| {
        let kennel = kennel();
        kennel.run(&["publish"]).ends_with(0);
        kennel
    })
}

fn book(kennel: &Kennel, page: &str) -> String {
    String::from_utf8(kennel.site()[&format!("private/{page}")].clone()).unwrap()
}

#[test]
fn the_next_family_reads_of_the_dog_and_nothing_of_the_family_before() {
    let kennel = kennel();
    let records = records::load(&kennel.content(), now())
        .unwrap()
        .records
        .unwrap();
    let figures = husbandry::compute(&records);
    let pages = owner::pages(&records, &figures, &Album::default());
    let [page] = &pages[..] else {
        panic!("one page, for the dog that has a home: {}", pages.len())
    };
    assert_eq!(
        (page.key.as_str(), page.family.as_deref()),
        ("spring/moss", Some("okoro"))
    );
    let json = serde_json::to_string(page).unwrap();
    for shown in ["The Okoro family", "9400.0", "scissor", "zqhips", "zqlater"] {
        assert!(json.contains(shown), "{shown} is missing in {json}");
    }
    for hidden in [
        "zqreason",
        "zqremarks",
        "zqlund",
        "zqhow",
        "zqby",
        "zqtold",
        "zqformer",
        "2026-03-10",
    ] {
        assert!(!json.contains(hidden), "{hidden} stands in {json}");
    }
    // Half a year and a year after the day on which it went there: 182 and 365 days.
    let days: Vec<(u8, &str, Option<&str>)> = page
        .record
        .invitations
        .iter()
        .map(|i| (i.months, i.from.as_str(), i.told.as_deref()))
        .collect();
    assert_eq!(days, [(6, "2026-10-19", None), (12, "2027-04-20", None)]);
}

#[test]
fn the_public_site_offers_one_that_came_back_only_when_it_is_called_available_and_says_no_more() {
    let kennel = published();
    let public = kennel.readable();
    assert!(
        public.keys().any(|path| path.contains("wren")),
        "the dog that is offered has a page"
    );
    for (path, text) in &public {
        for hidden in [
            "zqreason",
            "zqremarks",
            "zqmoved",
            "zqlund",
            "zqhips",
            "zqhow",
            "zqby",
            "zqtold",
            "2026-09-01",
            "2026-03-10",
            "ame back",
        ] {
            assert!(!text.contains(hidden), "{hidden} stands in {path}");
        }
    }
    kennel.change(
        "litters/spring/litter.yaml",
        "offer: available",
        "offer: not offered",
    );
    kennel.run(&["publish"]).ends_with(0);
    assert!(!kennel.readable().keys().any(|path| path.contains("wren")));
}

#[test]
fn the_keeper_sees_who_came_back_and_what_was_told_with_puppy_parents_and_people() {
    let kennel = published();
    let puppy = book(&kennel, "litters/spring/moss.html");
    for said in [
        "Came back",
        "zqreason",
        "zqremarks",
        "After it left",
        "zqhow",
        "zqby",
        "to be asked from 19 October 2026 on",
    ] {
        assert!(puppy.contains(said), "{said} is missing");
    }
    for page in ["bitches/juno.html", "dogs.html"] {
        let page = book(&kennel, page);
        for said in [
            "moss of spring, 10 March 2026: zqreason the baby",
            "wren of spring, 1 September 2026: zqmoved away",
            "moss of spring, at 8 months: 9.4 kg; bite: scissor",
        ] {
            assert!(page.contains(said), "{said} is missing");
        }
    }
    let people = book(&kennel, "people.html");
    assert_eq!(
        people.matches("Came back").count(),
        2,
        "both went to the same family first"
    );
    assert!(
        !people.contains("handover spring/wren"),
        "nobody takes it now"
    );
    kennel.run(&["export"]).ends_with(0);
    let export: serde_json::Value =
        serde_json::from_slice(&std::fs::read(kennel.at("private/export/records.json")).unwrap())
            .unwrap();
    let moss = export["register"]
        .as_array()
        .unwrap()
        .iter()
        .find(|row| row["puppy"] == "moss")
        .unwrap();
    assert_eq!(
        (
            moss["stands"].as_str(),
            moss["came_back"].as_str(),
            moss["new_owner"].as_str()
        ),
        (Some("left"), Some("2026-03-10"), Some("The Okoro family"))
    );
    let text = export.to_string();
    for said in [
        "zqreason the baby",
        "zqremarks of ours",
        "zqhips A/A",
        "zqhow a rascal",
        "zqby the Lunds",
    ] {
        assert!(text.contains(said), "{said} is missing");
    }
}

#[test]
fn what_nobody_told_is_said_with_what_would_settle_it() {
    let kennel = Kennel::base();
    kennel.write(
        "litters/spring/litter.yaml",
        &LITTER.replace(
            "    returned: { on: 2026-03-10, reason: zqreason the baby, remarks: zqremarks of \
             ours }\n",
            "",
        ),
    );
    kennel.write("litters/spring/weights.yaml", "");
    kennel.write("litters/spring/health.yaml", "");
    kennel.write("owners.yaml", "families: []\n");
    kennel.write(
        "litters/spring/notes/first-night.md",
        &note("keeper", "first", "2025-04-02"),
    );
    kennel.run(&["publish"]).ends_with(0);
    let said = "not known yet, because nothing is on record of the 1 that left half a year ago or \
                earlier; settled by an entry";
    assert!(book(&kennel, "bitches/juno.html").contains(said));
    assert!(
        book(&kennel, "litters/spring/moss.html")
            .contains("not known, because no answer is on record; settled by asking the family")
    );
}

#[test]
fn an_answer_is_typed_and_the_round_asks_no_more() {
    let kennel = kennel();
    // Half a year after 2026-04-20.
    kennel.change("kennel.yaml", "as_of: 2026-10-09", "as_of: 2026-10-20");
    let asked = kennel.run(&["rounds"]);
    let said = asked
        .ends_with(0)
        .out
        .split_whitespace()
        .collect::<Vec<_>>()
        .join(" ");
    for words in [
        "six months after it left: ask The Okoro family",
        "tend spring follow_up --for moss",
    ] {
        assert!(said.contains(words), "{words}: {said}");
    }
    kennel
        .run(&[
            "tend",
            "spring",
            "follow-up",
            "--for",
            "moss",
            "--weight",
            "9.9 kg",
            "--how",
            "as merry as ever",
        ])
        .ends_with(0);
    assert!(kennel.text("litters/spring/health.yaml").ends_with(
        "- on: 2026-10-20\n  for: moss\n  follow_up: { weight: 9.9 kg, how: as merry as ever }\n"
    ));
    assert!(!kennel.run(&["rounds"]).out.contains("ask The Okoro family"));
    kennel
        .run(&[
            "tend",
            "spring",
            "follow-up",
            "--for",
            "moss",
            "--by",
            "a card",
        ])
        .ends_with(1)
        .says(&["this does not say how the puppy is"]);
    kennel
        .run(&[
            "tend",
            "spring",
            "follow-up",
            "--for",
            "moss",
            "--weight",
            "9.9 g",
        ])
        .ends_with(1)
        .says(&["is no weight of a grown dog"]);
}
