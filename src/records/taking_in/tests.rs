//! Taking a birth into records of every layout that YAML allows a keeper: what stood there stays
//! byte for byte, and what comes in reads back as it was tapped.

use super::super::litter::Litter;
use super::*;
use proptest::prelude::*;

const FILE: &str = "# Birth of the litter Winter 2026, from a whelping sheet of Whinmorrow.\n# \
                    litter: winter-2026\nbirth:\n  on: 2026-11-08\n  how: planned section\n  \
                    placentas: 2\n  surgery: { clinic: Northgate Vets, incisions: 1 }\n  remarks: \
                    \"Began 23:50:11.\"\npuppies:\n  - id: green\n    ribbon: green\n    sex: \
                    female\n    born: \"23:58:07\"\n    order: 1\n    weight: 212 g\n    \
                    first_breath: 40 s\n    vigour:\n      - { at: 5 min, heart: 2, breathing: 2, \
                    reflex: 1, movement: 2, gums: 2 }\n    newborn: { limbs: normal, skin: \
                    \"loose, dry\" }\n  - id: puppy-2\n    sex: male\n    born: \"2026-11-09 \
                    00:03:59\"\n    order: 2\n    fate: stillborn\n";
const HEAD: &str = "name: Winter 2026\ndam: sorrel\nsire: hawk\n";

fn read(text: &str) -> BirthFile {
    let (file, _, problems) = BirthFile::read("birth.yaml", text.as_bytes().to_vec());
    assert_eq!(problems, Vec::new());
    file.unwrap()
}

fn take(old: &str) -> Addition {
    read(FILE).into_record("litter.yaml", old).unwrap()
}

/// The lines of `new` without those that were added are the lines of `old`; only its last line may
/// have gained an end.
fn stays(old: &str, addition: &Addition) -> Result<(), TestCaseError> {
    let mut added = addition.lines.iter().peekable();
    let mut rest = old;
    for line in addition.text.split_inclusive('\n') {
        if rest.starts_with(line) {
            rest = &rest[line.len()..];
        } else if !rest.is_empty()
            && !rest.contains('\n')
            && line.trim_end_matches(['\r', '\n']) == rest
        {
            rest = "";
        } else {
            prop_assert_eq!(
                added.next().map(String::as_str),
                Some(line.trim_end_matches(['\r', '\n']))
            );
        }
    }
    prop_assert_eq!(rest, "");
    prop_assert!(added.next().is_none());
    Ok(())
}

#[test]
fn a_litter_without_birth_gains_both_keys_at_its_end() {
    let old = format!("{HEAD}mated: [2026-09-06]   # in the morning\n# to come: the x-ray\n");
    let addition = take(&old);
    let body = FILE
        .split_once("birth:")
        .map(|(_, rest)| format!("birth:{rest}"))
        .unwrap();
    assert_eq!(addition.text, format!("{old}{body}"));
    assert_eq!(
        (addition.birth, addition.puppies.len(), addition.already),
        (true, 2, 0)
    );
}

#[test]
fn a_second_time_changes_nothing() {
    let once = take(HEAD);
    let twice = take(&once.text);
    assert_eq!(
        (twice.text, twice.lines, twice.already),
        (once.text, Vec::new(), 2)
    );
}

#[test]
fn other_spellings_of_the_same_are_the_same() {
    let old = take(HEAD)
        .text
        .replace("212 g", "0.212 kg")
        .replace("40 s", "40 sec")
        .replace("placentas: 2", "placentas: \"2\"")
        .replace("23:58:07", "23:58:07 ");
    assert!(take(&old).lines.is_empty());
}

#[test]
fn what_differs_is_told_with_both_places_and_nothing_is_taken_in() {
    let old = take(HEAD)
        .text
        .replace("212 g", "210 g")
        .replace("    first_breath: 40 s\n", "")
        .replace("placentas: 2", "placentas: 1");
    let problems = read(FILE).into_record("litter.yaml", &old).unwrap_err();
    let told: Vec<(&str, &Place, &Place)> = problems
        .iter()
        .map(|p| (p.message.as_str(), &p.place, &p.labels[0].0))
        .collect();
    let here = |path| Place::path("./birth.yaml", path);
    let there = |path| Place::path("litter.yaml", path);
    assert_eq!(
        told,
        vec![
            (
                "`placentas` of the birth is another one in the record",
                &here(key_path!["birth", "placentas"]),
                &there(key_path!["birth", "placentas"])
            ),
            (
                "`weight` of `green` is another one in the record",
                &here(key_path!["puppies", 0, "weight"]),
                &there(key_path!["puppies", 0, "weight"])
            ),
            (
                "`first_breath` of `green` is not in the record, which has `green` already",
                &here(key_path!["puppies", 0, "first_breath"]),
                &there(key_path!["puppies", 0])
            ),
        ]
    );
    assert!(
        problems
            .iter()
            .all(|problem| problem.code == "record-differs")
    );
    assert!(
        problems[2].hint.contains("`first_breath: 40 s`"),
        "{}",
        problems[2].hint
    );
}

#[test]
fn what_the_keeper_wrote_later_is_no_difference() {
    let once = take(HEAD).text;
    let old = once
        .replace("  remarks: \"Began", "  # home by noon\n  remarks: \"Began")
        .replace(
            "    sex: male\n",
            "    sex: male\n    name: Moss\n    offer: not offered\n",
        );
    assert_ne!(old, once);
    assert!(take(&old).lines.is_empty());
}

#[test]
fn records_that_cannot_grow_are_left_alone_with_a_hint() {
    for (old, word) in [
        (
            "{ name: Winter 2026, dam: sorrel, sire: hawk }\n".to_owned(),
            "a line of its own",
        ),
        (format!("{HEAD}puppies: []\n"), "take the key out"),
        (
            format!("{HEAD}puppies: [{{ id: a, sex: male }}]\n"),
            "- id: …",
        ),
        (format!("{HEAD}birth:\n"), "take this line out"),
        (format!("{HEAD}...\n"), "by hand"),
        ("name: [\n".to_owned(), "inspect"),
    ] {
        let problems = read(FILE).into_record("litter.yaml", &old).unwrap_err();
        assert!(problems[0].hint.contains(word), "{old}: {problems:?}");
        assert!(
            word == "inspect" || problems[0].code == "cannot-be-added-to",
            "{problems:?}"
        );
    }
}

#[test]
fn files_that_are_no_birth_say_so() {
    for (text, code) in [
        ("", "nothing-to-take-in"),
        ("# litter: winter-2026\n", "nothing-to-take-in"),
        (
            "birth: { on: 2026-11-08, how: natural }\nname: x\n",
            "key-unknown",
        ),
        ("puppies:\n  - id: a\n", "key-missing"),
        (
            "puppies:\n  - { id: a, sex: male }\n  - { id: a, sex: male }\n",
            "puppy-twice",
        ),
        (
            "# litter: Winter 2026\nbirth: { on: 2026-11-08, how: natural }\n",
            "not-a-name",
        ),
        ("puppies: [", "yaml-broken"),
    ] {
        let (file, _, problems) = BirthFile::read("birth.yaml", text.as_bytes().to_vec());
        assert!(
            file.is_none() && problems.iter().any(|p| p.code == code),
            "{text}: {problems:?}"
        );
    }
    assert_eq!(
        BirthFile::read("x", vec![0xff, 0xfe]).2[0].code,
        "not-utf-8"
    );
}

#[test]
fn what_a_phone_puts_around_the_text_changes_nothing() {
    let file = read(&format!("\u{feff}{}", FILE.replace('\n', "\r\n")));
    assert_eq!(file.litter.as_ref().map(Id::as_str), Some("winter-2026"));
    assert_eq!(file.into_record("litter.yaml", HEAD).unwrap(), take(HEAD));
}

/// A record as a keeper may have laid it out, with or without puppies.
fn any_record() -> impl Strategy<Value = String> {
    let comment = prop_oneof![
        Just(""),
        Just("# a word\n"),
        Just("\n"),
        Just("    # far in\n")
    ];
    let puppy = prop_oneof![
        Just(("- id: ash\n", "  sex: male\n  # loud\n")),
        Just(("- { id: elm, sex: female,\n", "    weight: 200 g }\n")),
        Just((
            "-\n",
            "  id: oak # the first\n  sex: male\n  remarks: |\n    one\n    # two\n\n"
        )),
        Just((
            "- sex: female\n",
            "  id: \"fir\"\n  about: >+\n    long\n    story\n\n\n"
        )),
        Just((
            "- &one\n",
            "  id: bay\n  sex: male\n  newborn: { limbs: normal,\n    skull: open }\n"
        )),
        Just((
            "- id: yew\n",
            "  sex: male\n  about: \"é and\n    more\"\n  cause:\n"
        )),
    ];
    let indent = prop_oneof![Just(""), Just("  "), Just("      ")];
    let list = (
        prop::collection::vec((puppy, comment.clone()), 0..4),
        indent,
    )
        .prop_map(|(puppies, indent)| {
            let mut text = String::new();
            let mut seen = Vec::new();
            for ((first, more), comment) in puppies {
                if !seen.contains(&first) {
                    seen.push(first);
                    text.push_str(
                        &format!("{first}{more}")
                            .split_inclusive('\n')
                            .map(|line| {
                                if line == "\n" {
                                    line.to_owned()
                                } else {
                                    format!("{indent}{line}")
                                }
                            })
                            .collect::<String>(),
                    );
                    text.push_str(comment);
                }
            }
            if text.trim().is_empty() {
                String::new()
            } else {
                format!("puppies:\n{text}")
            }
        });
    let other = prop_oneof![
        Just("mated: [2026-09-06,\n  2026-09-08]\n"),
        Just("remarks: |\n  of old\n"),
        Just("about: two\n  lines # and a word\n"),
        Just("adult_weight: 9 kg\n"),
        Just("")
    ];
    let begin = prop_oneof![
        Just(""),
        Just("# Winter\n\n"),
        Just("---\n"),
        Just("%YAML 1.2\n---\n")
    ];
    (
        begin,
        comment.clone(),
        list,
        other,
        comment,
        any::<bool>(),
        any::<bool>(),
        any::<bool>(),
        any::<bool>(),
    )
        .prop_map(
            |(begin, above, list, other, below, list_last, crlf, bom, cut)| {
                let (first, last) = if list_last {
                    (other.to_owned(), list)
                } else {
                    (list, other.to_owned())
                };
                let mut text = format!("{begin}{HEAD}{above}{first}{last}{below}");
                if cut {
                    text.truncate(text.trim_end_matches('\n').len());
                }
                let text = if crlf {
                    text.replace('\n', "\r\n")
                } else {
                    text
                };
                if bom { format!("\u{feff}{text}") } else { text }
            },
        )
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(1500))]
    #[test]
    fn every_layout_stays_byte_for_byte_and_gains_what_was_tapped(old in any_record()) {
        let Ok(before) = serde_yaml::from_str::<Litter>(old.trim_start_matches('\u{feff}')) else {
            return Err(TestCaseError::reject("no record"));
        };
        let addition = match read(FILE).into_record("litter.yaml", &old) {
            Ok(addition) => addition,
            Err(problems) => return Err(TestCaseError::fail(format!("{problems:?}"))),
        };
        stays(&old, &addition)?;
        let after: Litter =
            serde_yaml::from_str(addition.text.trim_start_matches('\u{feff}')).unwrap();
        prop_assert_eq!(after.puppies.len(), before.puppies.len() + 2);
        let names = |litter: &Litter| {
            litter
                .puppies
                .iter()
                .map(|puppy| puppy.id.to_string())
                .collect::<Vec<_>>()
        };
        prop_assert_eq!(&names(&after)[..before.puppies.len()], &names(&before)[..]);
        prop_assert_eq!(&names(&after)[before.puppies.len()..], ["green", "puppy-2"]);
        let birth = after.birth.unwrap();
        let born = |place: usize| {
            after.puppies[before.puppies.len() + place]
                .born
                .unwrap()
                .on(birth.on)
                .local()
                .to_string()
        };
        prop_assert_eq!(
            (born(0), born(1)),
            (
                "2026-11-08 23:58:07".to_owned(),
                "2026-11-09 00:03:59".to_owned()
            )
        );
        // Taking it in again finds all of it there.
        let again = read(FILE)
            .into_record("litter.yaml", &addition.text)
            .unwrap();
        prop_assert!(again.lines.is_empty() && again.text == addition.text);
    }
}
