//! What is exported is everything, and goes nowhere else.
//!
//! In: the demo kennel and small ones. The YAML is read here as plain values, without the program's
//! own types, and every scalar of every file must be found in the part of the export that belongs
//! to that file, as often as it was written.

use crate::support::{Kennel, tree};
use serde_json::Value;
use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::Path;

const TABLES: &[&str] = &[
    "asked",
    "care-plan",
    "care-plan-items",
    "dogs",
    "families",
    "health",
    "kennel",
    "kennel-policies",
    "litters",
    "measured",
    "notes",
    "pages",
    "photos",
    "pictures",
    "progesterone",
    "promises",
    "puppies",
    "register",
    "screening",
    "seasons",
    "takes",
    "vigour",
    "waiting",
    "weigh-ins",
    "weights",
];

fn exported(kennel: &Kennel) -> Value {
    kennel.run(&["export"]).ends_with(0);
    serde_json::from_slice(&fs::read(kennel.at("private/export/records.json")).unwrap()).unwrap()
}

/// How often each scalar stands in a value, keys of weigh-ins included, which are names of puppies.
type Counts = BTreeMap<String, usize>;

fn count(counts: &mut Counts, text: &str) {
    let text = text.trim();
    // A moment is written with a blank by keepers, with a T in the export; an address ends in a
    // slash.
    let is_moment = text.len() >= 16
        && text.as_bytes()[10] == b' '
        && text[..10].bytes().all(|b| b.is_ascii_digit() || b == b'-');
    let text = if is_moment {
        text.replacen(' ', "T", 1)
    } else {
        text.to_owned()
    };
    *counts.entry(text).or_default() += 1;
}

fn of_yaml(value: &serde_yaml::Value, counts: &mut Counts) {
    match value {
        serde_yaml::Value::Null => {}
        serde_yaml::Value::Bool(yes) => count(counts, &yes.to_string()),
        serde_yaml::Value::Number(number) => count(counts, &number.to_string()),
        serde_yaml::Value::String(text) => count(counts, text),
        serde_yaml::Value::Sequence(list) => list.iter().for_each(|value| of_yaml(value, counts)),
        serde_yaml::Value::Mapping(map) => map.iter().for_each(|(_, value)| of_yaml(value, counts)),
        serde_yaml::Value::Tagged(tagged) => of_yaml(&tagged.value, counts),
    }
}

fn of_json(value: &Value, counts: &mut Counts) {
    match value {
        Value::Null => {}
        Value::Bool(yes) => count(counts, &yes.to_string()),
        Value::Number(number) => count(counts, &number.to_string()),
        Value::String(text) => count(counts, text),
        Value::Array(list) => list.iter().for_each(|value| of_json(value, counts)),
        Value::Object(map) => map.values().for_each(|value| of_json(value, counts)),
    }
}

/// The part of the export that belongs to a file.
fn part<'a>(export: &'a Value, file: &str) -> Vec<&'a Value> {
    let one = |list: &str, id: &str| {
        export[list]
            .as_array()
            .unwrap()
            .iter()
            .filter(move |it| it["id"] == id)
            .collect::<Vec<_>>()
    };
    match file.split('/').collect::<Vec<_>>()[..] {
        ["kennel.yaml"] => vec![&export["kennel"]],
        ["care-plan.yaml"] => vec![&export["care_plan"]],
        ["owners.yaml"] => vec![&export["families"], &export["waiting"]],
        ["dogs", dog] => one("dogs", dog.trim_end_matches(".yaml")),
        [
            "litters",
            litter,
            "litter.yaml" | "weights.yaml" | "health.yaml",
        ] => {
            let litter = one("litters", litter)[0];
            match file.rsplit('/').next().unwrap() {
                "weights.yaml" => vec![&litter["weigh_ins"], &litter["weight_units"]],
                "health.yaml" => vec![&litter["health"]],
                _ => vec![litter],
            }
        }
        ["litters", litter, "notes", _] => one("litters", litter)[0]["notes"]
            .as_array()
            .unwrap()
            .iter()
            .filter(|note| note["file"] == file)
            .collect(),
        ["pages", _] => export["pages"]
            .as_array()
            .unwrap()
            .iter()
            .filter(|page| page["file"] == file)
            .collect(),
        _ => panic!("{file} belongs nowhere"),
    }
}

fn everything_is_there(kennel: &Kennel) -> usize {
    let export = exported(kennel);
    let mut scalars = 0;
    for (file, bytes) in kennel
        .files()
        .into_iter()
        .filter(|(file, _)| file != "README.md")
    {
        let text = String::from_utf8(bytes).unwrap();
        assert!(
            export["files"]
                .as_array()
                .unwrap()
                .iter()
                .any(|it| it["path"] == file.as_str() && it["text"] == text.as_str()),
            "{file} as it stands"
        );
        let (yaml, body) = match text
            .strip_prefix("---\n")
            .and_then(|rest| rest.split_once("\n---\n"))
        {
            Some((head, body)) => (head.to_owned(), Some(body)),
            None => (text.clone(), None),
        };
        let (mut written, mut held) = (Counts::new(), Counts::new());
        of_yaml(&serde_yaml::from_str(&yaml).unwrap(), &mut written);
        written.extend(body.map(|body| (body.trim().to_owned(), 1)));
        let parts = part(&export, &file);
        assert!(!parts.is_empty(), "{file} is not in the export");
        parts.iter().for_each(|value| of_json(value, &mut held));
        for (scalar, times) in &written {
            let found = held.get(scalar).copied().unwrap_or_default();
            assert!(
                found >= *times,
                "{file}: `{scalar}` stands there {times} times, and {found} times in the export"
            );
            scalars += times;
        }
    }
    scalars
}

#[test]
fn every_value_of_the_demo_is_found_again() {
    let scalars = everything_is_there(&Kennel::demo_records());
    assert!(scalars > 1500, "{scalars} values were looked for");
}

#[test]
fn values_without_units_of_their_own_and_in_other_units_are_found_again() {
    let kennel = Kennel::base();
    kennel.write(
        "litters/spring/weights.yaml",
        "- at: 2026-04-02 08:00:30\n  moss: 8.1 oz\n  wren: 0.224 kg\n  remark: before the \
         \"feed\", they said\n",
    );
    kennel.write(
        "care-plan.yaml",
        "worming: CAPC\nthresholds: { early_loss: 3 %, cold: 94 °F, stand_still: 20 h }\n",
    );
    everything_is_there(&kennel);
    kennel.write(
        "litters/spring/weights.yaml",
        "- unit: oz\n- at: 2026-04-02 08:00\n  moss: 8.10\n",
    );
    let weight = exported(&kennel)["litters"][0]["weigh_ins"][0]["weights"][0].clone();
    // 8.1 international avoirdupois ounces of 28.349523125 g (international yard and pound
    // agreement of 1959).
    assert_eq!(
        (
            weight["puppy"].as_str(),
            weight["weight"]["written"].as_str()
        ),
        (Some("moss"), Some("8.10"))
    );
    assert!((weight["weight"]["grams"].as_f64().unwrap() - 8.1 * 28.349_523_125).abs() < 1e-6);
}

fn table(folder: &Path, name: &str) -> (Vec<String>, Vec<Vec<String>>) {
    let bytes = fs::read(folder.join(format!("{name}.csv"))).unwrap();
    let plain = bytes.strip_prefix(b"\xef\xbb\xbf").unwrap();
    let text = std::str::from_utf8(plain).unwrap();
    assert!(text.ends_with("\r\n"));
    let mut reader = csv::ReaderBuilder::new()
        .has_headers(false)
        .from_reader(plain);
    let mut rows = reader
        .records()
        .map(|row| row.unwrap().iter().map(str::to_owned).collect::<Vec<_>>());
    (rows.next().unwrap(), rows.collect())
}

#[test]
fn tables_have_the_same_columns_whatever_is_in_them() {
    let (full, bare) = (Kennel::demo_records(), Kennel::base());
    for kennel in [&full, &bare] {
        kennel.run(&["export", "--format", "csv"]).ends_with(0);
    }
    let names = |kennel: &Kennel| -> BTreeSet<String> {
        tree(&kennel.at("private/export"))
            .into_keys()
            .filter_map(|n| n.strip_suffix(".csv").map(str::to_owned))
            .collect()
    };
    assert_eq!(
        names(&full),
        TABLES.iter().map(|name| (*name).to_owned()).collect()
    );
    for name in TABLES {
        let (head, rows) = table(&full.at("private/export"), name);
        assert_eq!(head, table(&bare.at("private/export"), name).0, "{name}");
        let mut unique = head.clone();
        unique.sort();
        unique.dedup();
        assert_eq!(unique.len(), head.len(), "{name} has a column twice");
        assert!(
            *name == "measured" || !rows.is_empty(),
            "{name} of the demo is empty"
        );
    }
    let (head, rows) = table(&full.at("private/export"), "weights");
    assert_eq!(
        head,
        [
            "litter",
            "weigh_in",
            "puppy",
            "weight_grams",
            "weight_written"
        ]
    );
    let ounces = rows.iter().find(|row| row[4] == "7 3/4 oz").unwrap();
    assert_eq!(ounces[..3], ["autumn-2026", "2026-10-06T07:30", "reed"]);
    assert!((ounces[3].parse::<f64>().unwrap() - 7.75 * 28.349_523_125).abs() < 1e-6);
}

#[test]
fn no_text_of_a_keeper_is_run_by_a_spreadsheet() {
    let kennel = Kennel::base();
    kennel.change(
        "owners.yaml",
        "name: The Lund family",
        "name: \"=HYPERLINK(1)\"\n    address: \"@home\"\n    remarks: -5 or so",
    );
    let export = exported(&kennel);
    assert_eq!(
        export["families"][0]["name"], "=HYPERLINK(1)",
        "JSON has it to the letter"
    );
    let (head, rows) = table(&kennel.at("private/export"), "families");
    let of = |column: &str| rows[0][head.iter().position(|name| name == column).unwrap()].as_str();
    assert_eq!(
        [of("name"), of("address"), of("remarks")],
        ["'=HYPERLINK(1)", "'@home", "'-5 or so"]
    );
}

#[test]
fn the_register_says_what_became_of_every_puppy() {
    let kennel = Kennel::demo_records();
    let export = exported(&kennel);
    let register = export["register"].as_array().unwrap();
    let born: usize = export["litters"]
        .as_array()
        .unwrap()
        .iter()
        .map(|litter| litter["puppies"].as_array().unwrap().len())
        .sum();
    assert_eq!(register.len(), born);
    let of = |puppy: &str| register.iter().find(|row| row["puppy"] == puppy).unwrap();
    let yarrow = of("yarrow");
    assert_eq!(
        (
            yarrow["stands"].as_str(),
            yarrow["left"].as_str(),
            yarrow["new_owner"].as_str()
        ),
        (
            Some("left"),
            Some("2025-06-07"),
            Some("Hamish and Ottilie Quill")
        )
    );
    assert_eq!(
        (of("fern")["stands"].as_str(), of("fern")["born"].as_str()),
        (Some("here"), Some("2026-10-05T09:14"))
    );
    assert_eq!(of("heath")["stands"], "staying");
    let dead = register
        .iter()
        .filter(|row| row["stands"] == "stillborn" || row["stands"] == "died")
        .count();
    assert_eq!(
        dead,
        register.iter().filter(|row| !row["died"].is_null()).count()
    );
    // Whatever the book of the region asks of a record stands there with its source, held or not.
    let asked = export["asked"].as_array().unwrap();
    assert!(
        !asked.is_empty()
            && asked
                .iter()
                .all(|row| row["source"].as_str().is_some_and(|s| !s.is_empty())
                    && row["held"].is_boolean())
    );
}

#[test]
fn one_litter_brings_along_what_belongs_to_it_and_nobody_elses() {
    let kennel = Kennel::demo_records();
    kennel.run(&["export", "autumn-2026"]).ends_with(0);
    let text = fs::read_to_string(kennel.at("private/export-autumn-2026/records.json")).unwrap();
    let export: Value = serde_json::from_str(&text).unwrap();
    assert_eq!(export["litters"].as_array().unwrap().len(), 1);
    assert!(
        text.contains("Funmi Okonedo-Blair")
            && text.contains("\"juno\"")
            && text.contains("\"corvin\"")
    );
    for other in ["Quill", "Peadar Strang", "summer-2026", "yarrow"] {
        assert!(
            !text.contains(other),
            "{other} is in the export of another litter"
        );
    }
}

#[test]
fn an_export_goes_nowhere_where_it_could_be_seen_or_do_harm() {
    let kennel = Kennel::base();
    fs::create_dir_all(kennel.at("public/deep")).unwrap();
    fs::create_dir_all(kennel.at("mine")).unwrap();
    fs::write(kennel.at("mine/dogs.csv"), "mine").unwrap();
    let to = |name: &str| kennel.at(name).display().to_string();
    for (place, word) in [
        ("public", "that is the public site"),
        ("public/deep/new", "that is the public site"),
        ("mine/../public/x", "that is the public site"),
        ("content", "where the records stand"),
        ("content/litters/new", "where the records stand"),
        ("mine", "something else is in it"),
    ] {
        kennel
            .run(&["export", "--out", &to(place)])
            .ends_with(2)
            .says(&[word]);
    }
    #[cfg(unix)]
    {
        std::os::unix::fs::symlink(kennel.at("public"), kennel.at("link")).unwrap();
        kennel
            .run(&["export", "--out", &to("link/new")])
            .ends_with(2)
            .says(&["that is the public site"]);
    }
    assert_eq!(
        fs::read_to_string(kennel.at("mine/dogs.csv")).unwrap(),
        "mine"
    );
    assert!(tree(&kennel.at("public")).is_empty());
    kennel
        .run(&["export", "--out", &to("a/new/folder")])
        .ends_with(0);
    kennel
        .run(&["export", "--out", &to("a/new/folder")])
        .ends_with(0);
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        let mode = |name: &str| fs::metadata(kennel.at(name)).unwrap().permissions().mode() & 0o777;
        assert_eq!(
            (
                mode("a/new/folder"),
                mode(
                    "a/new/folder/owners.csv"
                        .replace("owners", "families")
                        .as_str()
                )
            ),
            (0o700, 0o600)
        );
    }
}

#[test]
fn a_broken_record_makes_no_export_with_a_hole_in_it() {
    let kennel = Kennel::base();
    kennel.change("litters/spring/litter.yaml", "sex: female", "sex: femal");
    kennel
        .run(&["export"])
        .ends_with(1)
        .says(&["nothing was exported", "femal"]);
    assert!(!kennel.at("private").exists());
    let ran = Kennel::base().run(&["export", "sprng"]);
    ran.ends_with(2)
        .says(&["there is no litter `sprng`; did you mean `spring`?"]);
}

#[test]
fn publishing_leaves_an_export_alone_and_says_nothing_of_it() {
    let kennel = Kennel::base();
    kennel.run(&["export"]).ends_with(0);
    kennel.run(&["publish"]).ends_with(0);
    let ran = kennel.run(&["publish"]);
    ran.ends_with(0);
    assert!(!ran.err.contains("export/"), "{}", ran.err);
    assert!(kennel.at("private/export/records.json").is_file());
    assert!(
        !tree(&kennel.at("public"))
            .keys()
            .any(|name| name.contains("export") || name.ends_with(".csv"))
    );
}

#[test]
fn an_export_goes_where_one_was_broken_off_before_its_first_file() {
    let kennel = Kennel::base();
    let to = kennel.at("private/export");
    fs::create_dir_all(&to).unwrap();
    let left = to.join(".export.schema.json.litterfolio-4711");
    fs::write(&left, "{").unwrap();
    kennel.run(&["export"]).ends_with(0);
    assert!(!left.exists());
    assert!(to.join("export.schema.json").is_file());
}
