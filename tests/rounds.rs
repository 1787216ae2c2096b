//! The round as it is printed, for people and for programs, and on the first page of the book.

use crate::support;

use crate::support::Kennel;
use serde_json::Value;
use std::collections::BTreeSet;
use std::process::{Command, Stdio};

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
        "email: nell@tarnside.example, emergency_vet: { clinic: Fellgate Vets, phone: \"+44 1632 \
         960001\" }",
    );
    kennel.write("litters/spring/health.yaml", "[]\n");
    kennel.change(
        "owners.yaml",
        "reserved: 2026-05-02, leaves: 2026-05-30",
        "reserved: 2026-04-10, leaves: 2026-05-30",
    );
    kennel.change(
        "litters/spring/litter.yaml",
        ", chip: \"941000025557101\"",
        "",
    );
    kennel
}

#[test]
fn no_line_is_wider_than_eighty_columns_and_work_is_no_failure() {
    for kennel in [Kennel::demo_records(), thirteen_days()] {
        for days in ["0", "1", "7", "60"] {
            let ran = kennel.run(&["rounds", "--days", days]);
            ran.ends_with(0);
            assert_eq!(ran.err, "");
            // A command is not broken off: what is copied has to run.
            for line in ran
                .out
                .lines()
                .filter(|line| !line.starts_with("      do: litterfolio "))
            {
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
    let at = |word: &str| {
        text.find(word)
            .unwrap_or_else(|| panic!("`{word}` is missing:\n{}", ran.out))
    };
    assert!(at("CALL THE VET") < at("TODAY") && at("TODAY") < at("TOMORROW"));
    assert!(at("call the vet: Northgate Vets, +44 1632 960418") < at("TODAY"));
    assert!(text.contains("The program computes, the vet decides."));
    assert!(text.contains("weigh autumn-2026"));
    assert!(!text.contains("healthy"));
}

#[test]
fn programs_find_the_same_as_people_in_the_order_of_urgency() {
    for days in ["0", "1", "9"] {
        let kennel = Kennel::demo_records();
        let round = json(&kennel, &["--days", days]);
        let tasks = round["tasks"].as_array().unwrap();
        let order = |task: &Value| {
            ["call the vet", "overdue", "today", "tomorrow", "later"]
                .iter()
                .position(|u| task["urgency"] == *u)
                .unwrap()
        };
        assert!(
            tasks
                .windows(2)
                .all(|pair| order(&pair[0]) <= order(&pair[1]))
        );
        assert!(tasks.iter().all(|task| task["day"].as_str().unwrap()
            >= round["today"].as_str().unwrap()
            && task["day"].as_str().unwrap() <= round["last"].as_str().unwrap()));
        let text = kennel.run(&["rounds", "--days", days]).out;
        assert_eq!(text.matches("\n[ ]").count(), tasks.len());
    }
    assert_eq!(
        json(&Kennel::demo_records(), &["--days", "0"])["last"],
        "2026-10-09"
    );
}

#[test]
fn tomorrow_the_worming_is_due_and_what_to_type_is_a_command_that_exists() {
    let kennel = thirteen_days();
    let round = json(&kennel, &[]);
    let worming = round["tasks"]
        .as_array()
        .unwrap()
        .iter()
        .find(|task| task["what"] == "Worming at 2 weeks")
        .unwrap();
    assert_eq!(
        (
            worming["urgency"].as_str(),
            worming["day"].as_str(),
            worming["until"].as_str()
        ),
        (Some("tomorrow"), Some("2026-04-15"), Some("2026-04-19"))
    );
    assert_eq!(worming["puppies"].as_array().unwrap().len(), 2);
    assert_eq!(worming["do"], "litterfolio tend spring worming --for all");
    assert!(
        !round.to_string().contains("\"ash\""),
        "a puppy that died is on no round"
    );
    let weigh_in = round["tasks"]
        .as_array()
        .unwrap()
        .iter()
        .find(|task| task["kind"] == "weigh-in")
        .unwrap();
    assert_eq!(
        (weigh_in["urgency"].as_str(), weigh_in["since"].as_str()),
        (Some("overdue"), Some("2026-04-03"))
    );
}

/// A line of a shell as words.
fn shell_words(line: &str) -> Vec<String> {
    let quoted = |(i, part): (usize, &str)| -> Vec<String> {
        if i % 2 == 1 {
            vec![part.to_owned()]
        } else {
            part.split_whitespace().map(str::to_owned).collect()
        }
    };
    line.split('"').enumerate().flat_map(quoted).collect()
}

/// The commands in a text, each as the words of a shell, without the program's name.
fn commands_in(text: &str, before: &str) -> BTreeSet<Vec<String>> {
    text.lines()
        .filter_map(|line| line.trim_start().strip_prefix(before))
        .map(|line| shell_words(line)[..].to_vec())
        .collect()
}

/// Runs a command from where nobody can be asked, in a folder that is not the kennel's.
fn typed(words: &[String]) -> support::Ran {
    support::Ran::of(
        Command::new(support::program())
            .args(words)
            .stdin(Stdio::null())
            .current_dir(std::env::temp_dir()),
    )
}

#[test]
fn the_round_s_commands_run() {
    // What only the keeper knows, for the words that stand in its place.
    let known = [
        ("NAME OF THE PRODUCT", "Vermisol"),
        ("NAME OF THE VET", "Northgate Vets"),
        ("WHAT IT WAS", "milk replacer"),
        ("TEMPERATURE", "38.4 °C"),
        ("NUMBER", "941000025557999"),
        ("WEIGHT", "9.4kg"),
    ];
    let (mut ran_kinds, mut done) = (BTreeSet::new(), BTreeSet::new());
    for as_of in ["2026-10-09", "2026-10-24", "2026-11-24"] {
        let listed = Kennel::demo_records();
        let kennel_yaml = listed
            .text("kennel.yaml")
            .replace("as_of: 2026-10-09", &format!("as_of: {as_of}"));
        listed.write("kennel.yaml", &kennel_yaml);
        let round = listed.run(&["rounds", "--days", "30"]);
        round.ends_with(0);
        let commands = commands_in(&round.out, "do: litterfolio ");
        assert!(commands.len() > 10, "{}", round.out);
        for command in commands {
            // The words after the kennel's folder; once is enough for each.
            if !done.insert(command[2..].to_vec()) {
                continue;
            }
            let kennel = Kennel::demo_records();
            kennel.write("kennel.yaml", &kennel_yaml);
            let here = |words: &[String]| -> Vec<String> {
                words
                    .iter()
                    .map(|word| {
                        word.replace(
                            listed.path().to_str().unwrap(),
                            kennel.path().to_str().unwrap(),
                        )
                    })
                    .collect()
            };
            let kind = command
                .iter()
                .skip(2)
                .step_by(2)
                .take(2)
                .cloned()
                .collect::<Vec<_>>()
                .join(" ");
            let first = typed(&here(&command));
            match (first.code, command[2].as_str()) {
                (Some(0), _) => {}
                // Papers are refused by name of what is missing.
                (Some(1), "handover") => drop(first.says(&["no papers were made"])),
                (Some(2), _) => {
                    first.says(&["nothing was", "in place of"]);
                    let mut next: Vec<Vec<String>> = first
                        .err
                        .lines()
                        .filter_map(|line| line.rsplit_once("litterfolio --kennel "))
                        .map(|(_, rest)| shell_words(&format!("--kennel {rest}")))
                        .collect();
                    let whole = next
                        .drain(..)
                        .next()
                        .unwrap_or_else(|| panic!("{command:?}\n{}", first.err));
                    // As it stands it names what is missing, and writes nothing.
                    let before = support::tree(&kennel.content());
                    let blank = typed(&whole);
                    blank.ends_with(if command[2] == "weigh" { 1 } else { 2 });
                    assert!(support::tree(&kennel.content()) == before, "{whole:?}");
                    let filled: Vec<String> = whole
                        .iter()
                        .map(|word| {
                            known
                                .iter()
                                .find(|(stands, _)| {
                                    word == stands || word.ends_with(&format!("={stands}"))
                                })
                                .map_or_else(
                                    || word.clone(),
                                    |(stands, value)| word.replace(stands, value),
                                )
                        })
                        .collect();
                    assert!(filled != whole, "{whole:?} says what is missing");
                    typed(&filled).ends_with(0);
                    assert!(support::tree(&kennel.content()) != before, "{filled:?}");
                }
                _ => panic!("{command:?}\n{first:#?}"),
            }
            ran_kinds.insert(kind);
        }
    }
    let wanted = [
        "weigh",
        "tend worming",
        "tend vaccination",
        "tend temperature",
        "tend chip",
        "tend check",
        "tend done",
        "handover",
    ];
    for wanted in wanted {
        assert!(
            ran_kinds.iter().any(|kind| kind.starts_with(wanted)),
            "{wanted} in {ran_kinds:?}"
        );
    }
}

#[test]
fn the_first_page_of_the_book_is_the_round() {
    let kennel = thirteen_days();
    kennel.run(&["publish"]).ends_with(0);
    let home = std::fs::read_to_string(kennel.at("private/index.html")).unwrap();
    for task in json(&kennel, &[])["tasks"].as_array().unwrap() {
        let what = task["what"].as_str().unwrap();
        assert!(home.contains(what), "{what}");
        assert!(
            home.contains(task["do"].as_str().unwrap()),
            "{}",
            task["do"]
        );
    }
    let at = |word: &str| home.find(word).unwrap_or_else(|| panic!("{word}"));
    assert!(
        at("id=\"rounds\"") < at("id=\"findings\"")
            && at("tel:+441632960001") < at("id=\"findings\"")
    );
    for (name, bytes) in support::tree(&kennel.at("public")) {
        assert!(
            !String::from_utf8_lossy(&bytes).contains("Worming at 2 weeks")
                || name.starts_with("sealed/"),
            "{name} holds the round"
        );
    }
}

/// A small picture.
fn picture() -> Vec<u8> {
    let mut jpeg = Vec::new();
    jpeg_encoder::Encoder::new(&mut jpeg, 90)
        .encode(
            &[120; 640 * 480 * 3],
            640,
            480,
            jpeg_encoder::ColorType::Rgb,
        )
        .unwrap();
    jpeg
}

#[test]
fn a_finding_stands_once_on_the_first_page_and_a_puppy_has_its_picture_there() {
    let kennel = thirteen_days();
    kennel.write(
        "litters/spring/weights.yaml",
        "- at: 2026-04-13 08:00\n  moss: 246 g\n  wren: 180 g\n- at: 2026-04-14 08:00\n  moss: \
         256 g\n  wren: 176 g\n",
    );
    kennel.write(
        "litters/spring/health.yaml",
        "- { at: 2026-04-14 07:00, for: wren, temperature: 34.9 °C }\n",
    );
    kennel.write_bytes("litters/spring/photos/wren-asleep.jpg", &picture());
    kennel.run(&["publish"]).ends_with(0);
    let home = std::fs::read_to_string(kennel.at("private/index.html")).unwrap();
    let page = std::fs::read_to_string(kennel.at("private/litters/spring/wren.html")).unwrap();
    let findings: Vec<&str> = page
        .split("<strong class=\"finding-who\">")
        .skip(1)
        .filter_map(|rest| rest.split("</strong>").nth(1)?.split("</p>").next())
        .collect();
    let above: Vec<&str> = findings
        .iter()
        .map(|what| what.trim())
        .filter(|what| home.contains(what))
        .collect();
    assert!(above.len() >= 2, "{findings:?}");
    for what in above {
        assert_eq!(home.matches(what).count(), 1, "{what}");
    }
    assert!(home.contains("Nothing beside what the round says"));
    let round = &home[home.find("id=\"rounds\"").unwrap()..home.find("id=\"findings\"").unwrap()];
    assert!(round.contains("class=\"thumb\"") && round.contains("alt=\"Picture of Wren\""));
}

#[test]
fn a_broken_record_makes_no_round_that_looks_whole() {
    let kennel = thirteen_days();
    kennel.write(
        "litters/spring/weights.yaml",
        "- at: 2026-04-02 08:00\n  moss: 231\n",
    );
    let ran = kennel.run(&["rounds"]);
    ran.ends_with(1).says(&["no round was made", "231"]);
    assert_eq!(ran.out, "");
    kennel.run(&["rounds", "--days", "-1"]).ends_with(2);
}
