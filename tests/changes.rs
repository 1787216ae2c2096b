//! Changes of records: every field of every record kind, from the command line, several files at
//! once, taken back to the byte.

use crate::support::filled::Filler;
use crate::support::{Kennel, Ran, tree};
use litterfolio::records::changing::{Change, changed, typed};
use litterfolio::records::problem::Step;
use litterfolio::records::schema;
use serde_yaml::Value;
use std::collections::BTreeMap;

const LITTER: &str = "litters/spring/litter.yaml";

trait Tells {
    fn tells(&self, words: &[&str]);
}

impl Tells for Ran {
    /// It went well, and says these words.
    fn tells(&self, words: &[&str]) {
        self.ends_with(0);
        words.iter().for_each(|word| {
            assert!(
                self.out.contains(word),
                "`{word}` is not said:\n{}",
                self.out
            )
        });
    }
}

/// A file of each kind of record, as `typed::record_of` knows it.
fn file_of(record: &str) -> &'static str {
    match record {
        "kennel" => "kennel.yaml",
        "care-plan" => "care-plan.yaml",
        "dog" => "dogs/juno.yaml",
        "litter" => LITTER,
        "weights" => "litters/spring/weights.yaml",
        "health" => "litters/spring/health.yaml",
        "owners" => "owners.yaml",
        "note" => "litters/spring/notes/first-night.md",
        "page" => "pages/about.md",
        other => panic!("{other} is a new kind of record: name its file here"),
    }
}

fn paths(value: &Value, here: &[Step], all: &mut Vec<Vec<Step>>) {
    let inner: Vec<(Step, &Value)> = match value {
        Value::Mapping(block) => block
            .iter()
            .map(|(key, value)| (Step::Key(key.as_str().unwrap().to_owned()), value))
            .collect(),
        Value::Sequence(items) => items
            .iter()
            .enumerate()
            .map(|(at, item)| (Step::Index(at), item))
            .collect(),
        _ => return,
    };
    for (step, value) in inner {
        let path = [here, &[step]].concat();
        all.push(path.clone());
        paths(value, &path, all);
    }
}

fn at<'a>(value: &'a mut Value, path: &[Step]) -> &'a mut Value {
    path.iter().fold(value, |here, step| match step {
        Step::Key(key) | Step::Name(key) => &mut here[key.as_str()],
        Step::Index(index) => &mut here[*index],
    })
}

fn without(value: &Value, path: &[Step]) -> Value {
    let mut value = value.clone();
    let (last, above) = path.split_last().unwrap();
    match (at(&mut value, above), last) {
        (Value::Mapping(block), Step::Key(key)) => _ = block.remove(key.as_str()).unwrap(),
        (Value::Sequence(items), Step::Index(index)) => _ = items.remove(*index),
        _ => panic!("no such place"),
    }
    value
}

/// What an ordinary reader of YAML finds in a record or a head.
fn read(text: &str) -> Value {
    let yaml = text
        .strip_prefix("---\n")
        .map_or(text, |rest| rest.split("\n---\n").next().unwrap());
    serde_yaml::from_str(yaml).unwrap()
}

#[test]
fn every_field_of_every_record_kind_is_set_taken_out_and_put_back() {
    let payload = |path: &str| format!("about {path}");
    let filler = Filler::new(&payload);
    let mut fields = 0;
    for (record, _) in schema::RECORDS {
        let file = file_of(record);
        assert_eq!(typed::record_of(file), Some(*record));
        let record: Value = serde_json::from_value(match *record {
            // Weights are keys of their own.
            "weights" => serde_json::json!([{ "unit": "g" }, { "at": "2026-04-02 08:00", "by": "M.", "remark": "wet", "moss": "231 g" }]),
            other => filler.record(other),
        })
        .unwrap();
        let yaml = serde_yaml::to_string(&record).unwrap();
        let text = if file.ends_with(".md") {
            format!("---\n{yaml}---\nText.\n")
        } else {
            yaml
        };
        let mut all = Vec::new();
        paths(&record, &[], &mut all);
        for path in all {
            fields += 1;
            let shown = typed::shown(&path);
            assert_eq!(
                typed::path(file, &text, &shown).unwrap(),
                path,
                "{file} {shown}"
            );
            let (old, less) = (
                at(&mut record.clone(), &path).clone(),
                without(&record, &path),
            );
            let out = changed(file, &text, &[Change::TakeOut { path: path.clone() }])
                .unwrap_or_else(|problems| panic!("{file} {shown}: {problems:?}"));
            assert!(
                read(&out) == less || read(&out) == Value::Null,
                "{file} {shown}\n{out}"
            );
            assert_eq!(file.ends_with(".md"), out.ends_with("---\nText.\n"));
            let put = match path.split_last() {
                Some((Step::Index(place), above)) => Change::Add {
                    path: above.to_vec(),
                    at: Some(*place),
                    value: old.clone(),
                },
                _ => Change::Set {
                    path: path.clone(),
                    value: old.clone(),
                },
            };
            let back = changed(file, &out, &[put])
                .unwrap_or_else(|problems| panic!("{file} {shown}: {problems:?}\n{out}"));
            assert_eq!(read(&back), record, "{file} {shown}\n{back}");
            if let Value::String(word) = &old {
                let value = typed::value(file, &path, &format!("{word} too"));
                let set = changed(
                    file,
                    &text,
                    &[Change::Set {
                        path: path.clone(),
                        value: value.clone(),
                    }],
                )
                .unwrap();
                let mut wanted = record.clone();
                *at(&mut wanted, &path) = value;
                assert_eq!(read(&set), wanted, "{file} {shown}\n{set}");
                let differ = text
                    .lines()
                    .zip(set.lines())
                    .filter(|(one, other)| one != other)
                    .count();
                assert!(differ <= 2, "{file} {shown}: {differ} lines differ");
            }
        }
    }
    assert!(fields > 250, "{fields} fields");
}

#[test]
fn a_puppy_is_reserved_and_available_again_to_the_byte() {
    let kennel = Kennel::base();
    let before = kennel.text(LITTER);
    kennel
        .run(&["set", LITTER, "puppies.wren.offer", "reserved"])
        .tells(&["change 1", "litterfolio undo"]);
    assert_eq!(
        kennel.text(LITTER),
        before.replace("7 3/4 oz, offer: available", "7 3/4 oz, offer: reserved")
    );
    kennel
        .run(&["undo", "--list"])
        .tells(&["set", "puppies.wren.offer", LITTER]);
    kennel.run(&["undo"]).tells(&["change 1", "taken back"]);
    assert_eq!(kennel.text(LITTER), before);
    assert!(kennel.run(&["undo"]).ends_with(2).err.contains("no change"));
    assert!(
        kennel
            .run(&["undo", "1"])
            .ends_with(2)
            .err
            .contains("taken back already")
    );
    // Taking back is a change as well.
    kennel.run(&["undo", "2"]).ends_with(0);
    assert!(kennel.text(LITTER).contains("7 3/4 oz, offer: reserved"));
}

#[test]
fn what_would_be_wrong_is_refused_with_its_place_and_a_hint() {
    let kennel = Kennel::base();
    let before = kennel.text(LITTER);
    for (arguments, says) in [
        (&["puppies.wren.ofer", "reserved"][..], "offer"),
        (&["puppies.wren.offer", "resrved"], "reserved"),
        (&["puppies.wrenn.offer", "reserved"], "did you mean `wren`?"),
        (&["dam", "juna"], "juno"),
        (&["dam", "--take-out"], "dam"),
        (&["puppies.wren.weight", "224"], "unit"),
    ] {
        let ran = kennel.run(&[&["set", LITTER], arguments].concat());
        ran.ends_with(1);
        assert!(
            ran.err.contains(says) && ran.err.contains("nothing was changed"),
            "{arguments:?}: {}",
            ran.err
        );
        assert_eq!(kennel.text(LITTER), before);
    }
    for file in [
        "../codes.yaml",
        "dogs/../../x.yaml",
        "litters/.x/litter.yaml",
        "notes.txt",
        "/etc/x.yaml",
    ] {
        assert!(
            kennel
                .run(&["set", file, "name", "x"])
                .ends_with(2)
                .err
                .contains("is no record"),
            "{file}"
        );
    }
    assert!(
        kennel
            .run(&["undo", "--list"])
            .ends_with(0)
            .out
            .contains("no change")
    );
}

#[test]
fn entries_are_added_moved_and_taken_out_and_files_are_made_and_removed() {
    let kennel = Kennel::base();
    let before = content(&kennel);
    let set = |arguments: &[&str]| _ = kennel.run(&[&["set"], arguments].concat()).ends_with(0);
    set(&[
        "owners.yaml",
        "waiting",
        "--add",
        "{ name: A. Reid, since: 2026-06-01 }",
    ]);
    set(&["owners.yaml", "waiting.last", "--to", "1"]);
    assert!(kennel.text("owners.yaml").ends_with(
        "waiting:\n  - { name: A. Reid, since: 2026-06-01 }\n  - { name: P. Okoro, since: \
         2026-01-05 }\n"
    ));
    set(&["owners.yaml", "families.lund.takes.1.deposit", "200"]);
    set(&[
        "dogs/fern.yaml",
        ".",
        "{ name: Tarnside Fern, sex: female }",
    ]);
    assert_eq!(
        kennel.text("dogs/fern.yaml"),
        "name: Tarnside Fern\nsex: female\n"
    );
    set(&[
        "litters/spring/notes/day-two.md",
        ".",
        "{ date: 2026-04-03, title: Day two }",
    ]);
    set(&["litters/spring/notes/day-two.md", "text", "All well fed."]);
    assert_eq!(
        kennel.text("litters/spring/notes/day-two.md"),
        "---\ndate: 2026-04-03\ntitle: Day two\n---\nAll well fed.\n"
    );
    set(&["pages/about.md", ".", "--take-out"]);
    kennel.run(&["inspect"]).ends_with(0);
    for _ in 0..7 {
        kennel.run(&["undo"]).ends_with(0);
    }
    assert_eq!(content(&kennel), before);
}

/// All files of the content folder.
fn content(kennel: &Kennel) -> BTreeMap<String, Vec<u8>> {
    tree(&kennel.content()).into_iter().collect()
}

#[test]
fn a_puppy_a_dog_and_a_litter_get_other_names_wherever_they_are_named() {
    let kennel = Kennel::base();
    kennel.write_bytes("litters/spring/photos/moss-01.jpg", b"no picture");
    let before = content(&kennel);
    kennel
        .run(&["rename", "puppy", "spring/moss", "fern"])
        .tells(&["6 places in 5 files", "moss-01.jpg"]);
    for (name, bytes) in content(&kennel) {
        let text = String::from_utf8_lossy(&bytes);
        assert!(
            !text.contains("moss") && !name.contains("moss"),
            "{name}: {text}"
        );
    }
    kennel.run(&["rename", "dog", "juno", "june"]).ends_with(0);
    assert!(
        kennel.text(LITTER).contains("dam: june\n")
            && kennel.text("dogs/june.yaml").contains("Tarnside Juno")
    );
    kennel
        .run(&["rename", "litter", "spring", "may"])
        .ends_with(0);
    assert!(
        kennel
            .text("owners.yaml")
            .contains("litter: may, puppy: fern")
    );
    assert!(
        kennel
            .run(&["rename", "puppy", "fern", "wren"])
            .ends_with(2)
            .err
            .contains("there already")
    );
    assert!(
        kennel
            .run(&["undo", "1"])
            .ends_with(2)
            .err
            .contains("take back first what came later: 3"),
        "its folder has moved"
    );
    for _ in 0..3 {
        kennel.run(&["undo"]).ends_with(0);
    }
    assert_eq!(content(&kennel), before);
}

#[test]
fn a_name_with_an_access_code_stays() {
    let kennel = Kennel::published();
    assert!(
        kennel
            .run(&["rename", "puppy", "moss", "fern"])
            .ends_with(2)
            .err
            .contains("access code")
    );
    assert!(
        kennel
            .run(&["rename", "litter", "spring", "may"])
            .ends_with(2)
            .err
            .contains("access code")
    );
    assert!(
        kennel
            .run(&["rename", "family", "lund", "lunde"])
            .ends_with(2)
            .err
            .contains("access code")
    );
}

#[test]
fn an_earlier_change_is_taken_back_when_nothing_touched_its_place() {
    let kennel = Kennel::base();
    let weights = "litters/spring/weights.yaml";
    kennel
        .run(&["weigh", "spring", "moss=4.1kg", "--at", "2026-06-08 07:30"])
        .ends_with(0);
    let between = kennel.text(weights);
    kennel
        .run(&["set", LITTER, "puppies.moss.remarks", "bold"])
        .ends_with(0);
    kennel
        .run(&[
            "tend",
            "spring",
            "check",
            "--for",
            "moss",
            "--by",
            "Fellgate Vets",
            "--on",
            "2026-06-08",
        ])
        .ends_with(0);
    kennel
        .run(&["set", weights, "1.moss", "232 g"])
        .ends_with(0);
    let listed = kennel.run(&["undo", "--list"]).ends_with(0).out.clone();
    for who in ["weigh", "tend", "set"] {
        assert!(listed.contains(who), "{listed}");
    }
    kennel.run(&["undo", "1"]).ends_with(0);
    assert_eq!(
        kennel.text(weights),
        Kennel::base()
            .text(weights)
            .replace("moss: 231 g", "moss: 232 g")
    );
    kennel.run(&["undo", "5"]).ends_with(0);
    assert_eq!(
        kennel.text(weights),
        between.replace("moss: 231 g", "moss: 232 g")
    );
    // An editor beside it: elsewhere in the file is no matter, at that place it is.
    kennel.change(weights, "wren: 239 g", "wren: 240 g");
    kennel.change(weights, "moss: 232 g", "moss: 233 g");
    let before = kennel.text(weights);
    let ran = kennel.run(&["undo", "4"]);
    ran.ends_with(2);
    assert!(
        ran.err.contains("changed at that place since") && ran.err.contains("Nothing was changed"),
        "{}",
        ran.err
    );
    assert_eq!(kennel.text(weights), before);
}

#[test]
fn changes_beside_weigh_ins_lose_nothing() {
    let kennel = Kennel::base();
    let before = content(&kennel);
    std::thread::scope(|scope| {
        scope.spawn(|| {
            (0..12).for_each(|n| {
                _ = kennel
                    .run(&[
                        "weigh",
                        "spring",
                        "moss=4.1kg",
                        "--at",
                        &format!("2026-06-08 07:{:02}", n + 10),
                    ])
                    .ends_with(0)
            })
        });
        scope.spawn(|| {
            (0..12).for_each(|n| {
                _ = kennel
                    .run(&[
                        "set",
                        "litters/spring/weights.yaml",
                        "1.wren",
                        &format!("{} g", 225 + n),
                    ])
                    .ends_with(0)
            })
        });
        scope.spawn(|| {
            (0..12).for_each(|n| {
                _ = kennel
                    .run(&["set", LITTER, "remarks", &format!("the {n}th")])
                    .ends_with(0)
            })
        });
    });
    let weights = kennel.text("litters/spring/weights.yaml");
    assert_eq!(
        weights.matches("moss: 4.1kg").count()
            + weights.matches("moss: 4.1 kg").count()
            + weights.matches("moss: 4100 g").count(),
        12,
        "{weights}"
    );
    assert!(weights.contains("wren: 236 g") && kennel.text(LITTER).contains("remarks: the 11th"));
    for _ in 0..36 {
        kennel.run(&["undo"]).ends_with(0);
    }
    assert_eq!(content(&kennel), before);
}

#[test]
fn every_command_writes_with_the_line_ends_that_a_file_has() {
    let kennel = Kennel::base();
    for (file, bytes) in kennel.files() {
        let text = String::from_utf8(bytes).unwrap();
        kennel.write(&file, &text.replace('\n', "\r\n"));
    }
    let before = content(&kennel);
    let day = "2026-04-20 08:00";
    let commands: [&[&str]; 6] = [
        &["weigh", "spring", "moss=900g", "wren=880g", "--at", day],
        &[
            "tend",
            "spring",
            "worming",
            "--product",
            "Vermisol",
            "--at",
            day,
        ],
        &["set", LITTER, "puppies.moss.about", "Bold."],
        &["set", "owners.yaml", "waiting", "{ name: Ash }", "--add"],
        &["set", "litters/spring/weights.yaml", "1.by", "M."],
        &["rename", "puppy", "spring/wren", "robin"],
    ];
    for (n, command) in commands.into_iter().enumerate() {
        kennel.run(command).ends_with(0);
        for (file, bytes) in kennel.files() {
            let text = String::from_utf8(bytes).unwrap();
            let bare = text.replace("\r\n", "").contains(['\r', '\n']);
            assert!(!bare, "{command:?} in {file}: {text:?}");
        }
        assert!(
            content(&kennel) != before,
            "{n}: {command:?} changed nothing"
        );
    }
    for _ in commands {
        kennel.run(&["undo"]).ends_with(0);
    }
    assert!(content(&kennel) == before, "all is taken back to the byte");
}
