//! The round as it is printed, for people and for programs, and on the first page of the book.

use crate::support;

use crate::support::Kennel;
use serde_json::Value;

fn json(kennel: &Kennel, more: &[&str]) -> Value {
    let ran = kennel.run(&[&["rounds", "--json"], more].concat());
    ran.ends_with(0);
    serde_json::from_str(&ran.out).unwrap()
}

/// An unfinished litter of two that is thirteen days old.
fn thirteen_days() -> Kennel {
    let kennel = Kennel::base();
    kennel.change("kennel.yaml", "as_of: 2026-10-09", "as_of: 2026-04-14");
    kennel.change(
        "kennel.yaml",
        "email: nell@tarnside.example",
        "email: nell@tarnside.example, emergency_vet: { clinic: Fellgate Vets, phone: \"+44 1632 960001\" }",
    );
    kennel.write("litters/spring/health.yaml", "[]\n");
    kennel.change("owners.yaml", "reserved: 2026-05-02, leaves: 2026-05-30", "reserved: 2026-04-10, leaves: 2026-05-30");
    kennel.change("litters/spring/litter.yaml", ", chip: \"941000025557101\"", "");
    kennel
}

#[test]
fn no_line_is_wider_than_eighty_columns_and_work_is_no_failure() {
    for kennel in [Kennel::demo_records(), thirteen_days()] {
        for days in ["0", "1", "7", "60"] {
            let ran = kennel.run(&["rounds", "--days", days]);
            ran.ends_with(0);
            assert_eq!(ran.err, "");
            for line in ran.out.lines() {
                assert!(line.chars().count() <= 80, "{line}");
            }
            assert!(!ran.out.contains('\u{1b}'), "no colours outside a terminal");
        }
    }
}

#[test]
fn the_most_urgent_stands_first_with_the_vets_number() {
    let ran = Kennel::demo_records().run(&["rounds"]);
    let text = ran.out.split_whitespace().collect::<Vec<_>>().join(" ");
    let at = |word: &str| text.find(word).unwrap_or_else(|| panic!("`{word}` is missing:\n{}", ran.out));
    assert!(at("CALL THE VET") < at("TODAY") && at("TODAY") < at("TOMORROW"));
    assert!(at("call the vet: Northgate Vets, +44 1632 960418") < at("TODAY"));
    assert!(text.contains("The program computes, the vet decides."));
    assert!(text.contains("litterfolio weigh autumn-2026"));
    assert!(!text.contains("healthy"));
}

#[test]
fn programs_find_the_same_as_people_in_the_order_of_urgency() {
    for days in ["0", "1", "9"] {
        let kennel = Kennel::demo_records();
        let round = json(&kennel, &["--days", days]);
        let tasks = round["tasks"].as_array().unwrap();
        let order = |task: &Value| ["call the vet", "overdue", "today", "tomorrow", "later"].iter().position(|u| task["urgency"] == *u).unwrap();
        assert!(tasks.windows(2).all(|pair| order(&pair[0]) <= order(&pair[1])));
        assert!(tasks.iter().all(|task| task["day"].as_str().unwrap() >= round["today"].as_str().unwrap()
            && task["day"].as_str().unwrap() <= round["last"].as_str().unwrap()));
        let text = kennel.run(&["rounds", "--days", days]).out;
        assert_eq!(text.matches("\n[ ]").count(), tasks.len());
    }
    assert_eq!(json(&Kennel::demo_records(), &["--days", "0"])["last"], "2026-10-09");
}

#[test]
fn tomorrow_the_worming_is_due_and_what_to_type_is_a_command_that_exists() {
    let kennel = thirteen_days();
    let round = json(&kennel, &[]);
    let worming = round["tasks"].as_array().unwrap().iter().find(|task| task["what"] == "Worming at 2 weeks").unwrap();
    assert_eq!(
        (worming["urgency"].as_str(), worming["day"].as_str(), worming["until"].as_str()),
        (Some("tomorrow"), Some("2026-04-15"), Some("2026-04-19"))
    );
    assert_eq!(worming["puppies"].as_array().unwrap().len(), 2);
    assert_eq!(worming["do"], "litterfolio tend spring worming --for all");
    assert!(!round.to_string().contains("\"ash\""), "a puppy that died is on no round");
    let weigh_in = round["tasks"].as_array().unwrap().iter().find(|task| task["kind"] == "weigh-in").unwrap();
    assert_eq!((weigh_in["urgency"].as_str(), weigh_in["since"].as_str()), (Some("overdue"), Some("2026-04-03")));
}

#[test]
fn the_first_page_of_the_book_is_the_round() {
    let kennel = thirteen_days();
    kennel.run(&["publish"]).ends_with(0);
    let home = std::fs::read_to_string(kennel.at("private/index.html")).unwrap();
    for task in json(&kennel, &[])["tasks"].as_array().unwrap() {
        let what = task["what"].as_str().unwrap();
        assert!(home.contains(what), "{what}");
        assert!(home.contains(task["do"].as_str().unwrap()), "{}", task["do"]);
    }
    let at = |word: &str| home.find(word).unwrap_or_else(|| panic!("{word}"));
    assert!(at("id=\"rounds\"") < at("id=\"findings\"") && at("tel:+441632960001") < at("id=\"findings\""));
    for (name, bytes) in support::tree(&kennel.at("public")) {
        assert!(!String::from_utf8_lossy(&bytes).contains("Worming at 2 weeks") || name.starts_with("sealed/"), "{name} holds the round");
    }
}

#[test]
fn a_broken_record_makes_no_round_that_looks_whole() {
    let kennel = thirteen_days();
    kennel.write("litters/spring/weights.yaml", "- at: 2026-04-02 08:00\n  moss: 231\n");
    let ran = kennel.run(&["rounds"]);
    ran.ends_with(1).says(&["no round was made", "231"]);
    assert_eq!(ran.out, "");
    kennel.run(&["rounds", "--days", "-1"]).ends_with(2);
}
