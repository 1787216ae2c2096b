//! Health events from the command line: what is written is what was said, and nothing is half
//! written.

use crate::support::Kennel;
use serde_yaml::Value;

const FILE: &str = "litters/spring/health.yaml";

/// The base kennel on a day of the litter's third week.
fn kennel() -> Kennel {
    let kennel = Kennel::base();
    kennel.change("kennel.yaml", "as_of: 2026-10-09", "as_of: 2026-04-16");
    kennel.change(
        "litters/spring/litter.yaml",
        ", chip: \"941000025557101\"",
        "",
    );
    kennel.write(
        FILE,
        "# What was done for the spring litter.\n- on: 2026-04-15   # on a \
        towel\n  for: [wren]\n  done: eyes-open\n",
    );
    kennel.write(
        "litters/spring/notes/first-night.md",
        "---\ndate: 2026-04-02\ntitle: The first night\n---\nQuiet.\n",
    );
    kennel.change(
        "owners.yaml",
        "reserved: 2026-05-02, leaves: 2026-05-30",
        "leaves: 2026-05-30",
    );
    kennel
}

/// The entries that were added, read by an ordinary YAML reader; what stood there before is still
/// there, byte for byte.
#[track_caller]
fn added(kennel: &Kennel, before: &str) -> Vec<Value> {
    let text = kennel.text(FILE);
    assert!(text.starts_with(before), "{text}");
    let count = |text: &str| {
        serde_yaml::from_str::<Vec<Value>>(text)
            .unwrap_or_default()
            .len()
    };
    serde_yaml::from_str::<Vec<Value>>(&text)
        .unwrap()
        .split_off(count(before))
}

#[track_caller]
fn tend(kennel: &Kennel, arguments: &[&str]) -> (Vec<Value>, String) {
    let before = kennel.text(FILE);
    let ran = kennel.run(&[&["tend", "spring"], arguments].concat());
    ran.ends_with(0);
    kennel.run(&["inspect"]).ends_with(0);
    (added(kennel, &before), ran.out)
}

fn yaml(text: &str) -> Vec<Value> {
    serde_yaml::from_str(text).unwrap()
}

#[test]
fn the_whole_litter_is_wormed_each_with_its_own_last_weight() {
    let kennel = kennel();
    kennel.write(
        "litters/spring/weights.yaml",
        "- at: 2026-04-13 08:00\n  moss: 246 g\n  wren: 239 g\n",
    );
    let (entries, out) = tend(
        &kennel,
        &[
            "worming",
            "--product",
            "Vermisol",
            "--batch",
            "V-118",
            "--given",
            "as the label says",
            "--by",
            "Nell",
            "--next",
            "2026-04-30",
        ],
    );
    // Ash died on 2 April and is not wormed.
    let expected = "
- { on: '2026-04-16', for: moss, worming: { product: Vermisol, batch: V-118, weight: 246 g, given: as the label says, by: Nell, next_due: '2026-04-30' } }
- { on: '2026-04-16', for: wren, worming: { product: Vermisol, batch: V-118, weight: 239 g, given: as the label says, by: Nell, next_due: '2026-04-30' } }
";
    assert_eq!(entries, yaml(expected));
    assert!(
        out.contains("Moss: 246 g at the weigh-in of 2026-04-13 08:00, 3 days before"),
        "{out}"
    );
    assert!(
        out.contains("2 entries added") && out.contains("the vet and the label say"),
        "{out}"
    );
    assert!(
        out.contains("worming: { product: Vermisol"),
        "the lines are shown: {out}"
    );
}

#[test]
fn a_weight_of_two_weeks_ago_is_not_written_as_that_of_the_day() {
    let kennel = kennel();
    let (entries, out) = tend(
        &kennel,
        &["worming", "--product", "Vermisol", "--for", "moss"],
    );
    assert_eq!(
        entries,
        yaml("- { on: '2026-04-16', for: moss, worming: { product: Vermisol } }")
    );
    assert!(
        out.contains("13 days before") && out.contains("no weight was written"),
        "{out}"
    );
    let (entries, _) = tend(
        &kennel,
        &[
            "worming",
            "--product",
            "Vermisol",
            "--for",
            "moss",
            "--weigh-last",
        ],
    );
    assert_eq!(
        entries,
        yaml("- { on: '2026-04-16', for: moss, worming: { product: Vermisol } }"),
        "nor when it was asked for"
    );
    let (entries, _) = tend(
        &kennel,
        &[
            "worming",
            "--product",
            "Vermisol",
            "--for",
            "moss",
            "--weight",
            "560 g",
        ],
    );
    assert_eq!(
        entries,
        yaml("- { on: '2026-04-16', for: moss, worming: { product: Vermisol, weight: 560 g } }")
    );
}

#[test]
fn what_stands_in_the_place_of_a_name_is_never_written() {
    let kennel = kennel();
    let before = kennel.text(FILE);
    let ran = kennel.run(&["tend", "spring", "worming", "--for", "moss"]);
    ran.ends_with(2).says(&[
        "`worming` needs --product",
        "in place of NAME OF THE PRODUCT",
        "--product \"NAME OF THE PRODUCT\"",
    ]);
    let ran = kennel.run(&[
        "tend",
        "spring",
        "worming",
        "--for",
        "moss",
        "--product",
        "NAME OF THE PRODUCT",
    ]);
    ran.ends_with(2)
        .says(&["`NAME OF THE PRODUCT` stands in the place of what only you know"]);
    kennel
        .run(&[
            "tend",
            "spring",
            "check",
            "--for",
            "all",
            "--by",
            "NAME OF THE VET",
        ])
        .ends_with(2);
    assert_eq!(kennel.text(FILE), before);
}

#[test]
fn a_chip_is_written_where_a_puppy_s_chip_is_looked_for() {
    let kennel = kennel();
    let litter = kennel.text("litters/spring/litter.yaml");
    let (entries, out) = tend(
        &kennel,
        &[
            "chip",
            "--for",
            "wren",
            "--number",
            "941000025557777",
            "--by",
            "Fellgate Vets",
        ],
    );
    assert_eq!(
        entries,
        yaml(
            "- { on: '2026-04-16', for: wren, chip: { number: '941000025557777', by: Fellgate \
             Vets } }"
        )
    );
    assert!(out.contains("litters/spring/litter.yaml"), "{out}");
    // Nothing else of the record is touched.
    let with = "order: 2, weight: 7 3/4 oz, offer: available, chip: \"941000025557777\" }";
    assert_eq!(
        kennel.text("litters/spring/litter.yaml"),
        litter.replace("order: 2, weight: 7 3/4 oz, offer: available }", with)
    );
    assert!(!kennel.run(&["inspect"]).err.contains("chip"));
    // In lines, with what is said below it, and with Windows line ends.
    let block = "puppies:\n  # the first\n  - id: moss   # green\n    sex: female\n    weight: \
                 224 g\n    # a note on her\n\n  - { id: wren, sex: male }\n";
    for ends in ["\n", "\r\n"] {
        let head =
            "name: Spring 2026\ndam: juno\nsire: corvin\nbirth: { on: 2026-04-01, how: natural }\n";
        kennel.write(
            "litters/spring/litter.yaml",
            &format!("{head}{block}").replace('\n', ends),
        );
        let (_, out) = tend(
            &kennel,
            &[
                "chip",
                "--for",
                "moss",
                "--number",
                "941000025557101",
                "--show",
            ],
        );
        assert!(
            out.contains("chip: \"941000025557101\"")
                && !kennel.text("litters/spring/litter.yaml").contains("chip"),
            "{out}"
        );
        kennel
            .run(&[
                "tend",
                "spring",
                "chip",
                "--for",
                "moss",
                "--number",
                "941000025557101",
            ])
            .ends_with(0);
        let wanted = format!("{head}{block}")
            .replace(
                "weight: 224 g\n",
                "weight: 224 g\n    chip: \"941000025557101\"\n",
            )
            .replace('\n', ends);
        assert_eq!(kennel.text("litters/spring/litter.yaml"), wanted);
    }
}

#[test]
fn each_puppy_has_a_chip_of_its_own() {
    let kennel = kennel();
    let ran = kennel.run(&["tend", "spring", "chip", "--for", "all"]);
    ran.ends_with(2).says(&[
        "one for each puppy",
        "tend spring chip --for moss --number NUMBER",
        "tend spring chip --for wren --number NUMBER",
    ]);
    // The dam has this number.
    let before = (kennel.text(FILE), kennel.text("litters/spring/litter.yaml"));
    let ran = kennel.run(&[
        "tend",
        "spring",
        "chip",
        "--for",
        "moss",
        "--number",
        "941000024681357",
    ]);
    ran.ends_with(2)
        .says(&["is that of `juno` already, in dogs/juno.yaml"]);
    assert_eq!(
        (kennel.text(FILE), kennel.text("litters/spring/litter.yaml")),
        before
    );
}

#[test]
fn a_weight_that_was_said_is_taken_for_all_and_one_in_ounces_stays_as_it_was_written() {
    let kennel = kennel();
    let (entries, _) = tend(
        &kennel,
        &[
            "worming",
            "--product",
            "W",
            "--weight",
            "560 g",
            "--for",
            "all",
        ],
    );
    assert_eq!(
        entries,
        yaml("- { on: '2026-04-16', for: all, worming: { product: W, weight: 560 g } }")
    );
    kennel.write(
        "litters/spring/weights.yaml",
        "- at: 2026-04-16 07:30\n  wren: 8 1/4 oz\n",
    );
    let (entries, out) = tend(
        &kennel,
        &[
            "parasite",
            "--product",
            "P",
            "--weigh-last",
            "--for",
            "wren",
        ],
    );
    assert_eq!(
        entries,
        yaml("- { on: '2026-04-16', for: wren, parasite: { product: P, weight: 8 1/4 oz } }")
    );
    assert!(
        out.contains("Wren: 8 1/4 oz at the weigh-in of 2026-04-16 07:30, the same day"),
        "{out}"
    );
    kennel.write(
        "litters/spring/weights.yaml",
        "- unit: g\n- at: 2026-04-16 07:30\n  wren: 412\n",
    );
    let (entries, _) = tend(&kennel, &["worming", "--product", "P", "--for", "wren"]);
    assert_eq!(
        entries,
        yaml("- { on: '2026-04-16', for: wren, worming: { product: P, weight: 412 g } }")
    );
    let (entries, _) = tend(&kennel, &["worming", "--product", "P", "--for", "dam"]);
    assert_eq!(
        entries,
        yaml("- { on: '2026-04-16', for: dam, worming: { product: P } }")
    );
}

#[test]
fn every_kind_is_written_as_the_record_guide_has_it() {
    let kennel = kennel();
    for (arguments, expected) in [
        (
            &[
                "vaccination",
                "--product",
                "Tricanis",
                "--against",
                "distemper, parvovirus",
                "--batch",
                "7",
                "--expiry",
                "2027-03-01",
                "--which",
                "first",
                "--by",
                "Fellgate Vets",
            ][..],
            "{ on: '2026-04-16', for: all, vaccination: { product: Tricanis, against: [distemper, \
             parvovirus], batch: '7', expiry: '2027-03-01', dose: first, by: Fellgate Vets } }",
        ),
        (
            &[
                "check",
                "--for",
                "wren,moss",
                "--by",
                "Fellgate Vets",
                "--findings",
                "nothing found",
                "--look",
                "heart=no murmur: none",
                "--look",
                "eyes=open",
                "--on",
                "yesterday",
            ],
            "{ on: '2026-04-15', for: [wren, moss], check: { by: Fellgate Vets, findings: nothing \
             found, heart: 'no murmur: none', eyes: open } }",
        ),
        (
            &[
                "temperature",
                "--for",
                "blue",
                "--value",
                "36.9 °C",
                "--at",
                "04:10",
            ],
            "{ at: '2026-04-16 04:10', for: wren, temperature: 36.9 °C }",
        ),
        (
            &[
                "feed",
                "--for",
                "Moss",
                "--what",
                "milk",
                "--amount",
                "4 ml",
                "--how",
                "bottle",
                "--at",
                "2026-04-15 22:00",
            ],
            "{ at: '2026-04-15 22:00', for: moss, feed: { what: milk, amount: 4 ml, how: bottle } \
             }",
        ),
        (
            &[
                "illness",
                "--for",
                "dam",
                "--signs",
                "off her food, #2",
                "--advice",
                "\"wait\"",
            ],
            "{ on: '2026-04-16', for: dam, illness: { signs: 'off her food, #2', advice: \
             '\"wait\"' } }",
        ),
        (
            &[
                "treatment",
                "--for",
                "dam",
                "--product",
                "Q",
                "--why",
                "pain",
                "--given",
                "as the clinic’s label says",
                "--until",
                "2026-04-20",
            ],
            "{ on: '2026-04-16', for: dam, treatment: { product: Q, why: pain, given: as the \
             clinic’s label says, until: '2026-04-20' } }",
        ),
        (
            &[
                "chip",
                "--for",
                "moss",
                "--number",
                "941000025557101",
                "--site",
                "left neck",
            ],
            "{ on: '2026-04-16', for: moss, chip: { number: '941000025557101', site: left neck } }",
        ),
        (
            &[
                "test",
                "--for",
                "moss",
                "--what",
                "faeces",
                "--result",
                "none seen",
            ],
            "{ on: '2026-04-16', for: moss, test: { what: faeces, result: none seen } }",
        ),
        (
            &["done", "--item", "ears-open,first-steps"],
            "{ on: '2026-04-16', for: all, done: [ears-open, first-steps] }",
        ),
        (
            &[
                "excused",
                "--for",
                "wren",
                "--item",
                "worming-2-weeks",
                "--remark",
                "the vet will say when",
            ],
            "{ on: '2026-04-16', for: wren, excused: [worming-2-weeks], remark: the vet will say \
             when }",
        ),
    ] {
        let (entries, out) = tend(&kennel, arguments);
        assert_eq!(
            entries,
            [serde_yaml::from_str::<Value>(expected).unwrap()],
            "{arguments:?}\n{out}"
        );
    }
}

#[test]
fn what_cannot_be_is_refused_with_a_hint_and_nothing_is_written() {
    let kennel = kennel();
    let before = kennel.text(FILE);
    for (arguments, code, words) in [
        (
            &["tend", "sprig", "done", "--item", "eyes-open"][..],
            2,
            &["there is no litter `sprig`; did you mean `spring`?"][..],
        ),
        (
            &["tend", "spring", "wormin", "--product", "W"],
            2,
            &["`wormin` is no kind of entry; did you mean `worming`?"],
        ),
        (
            &["tend", "spring", "worming"],
            2,
            &["`worming` needs --product"],
        ),
        (
            &[
                "tend",
                "spring",
                "worming",
                "--product",
                "W",
                "--for",
                "mos",
            ],
            2,
            &["there is no puppy `mos`", "did you mean `"],
        ),
        (
            &[
                "tend",
                "spring",
                "worming",
                "--product",
                "W",
                "--for",
                "moss,dam",
            ],
            2,
            &["`dam` stands beside other names"],
        ),
        (
            &[
                "tend",
                "spring",
                "worming",
                "--product",
                "W",
                "--for",
                "ash",
            ],
            1,
            &["`ash` died on 2026-04-02", "nothing was added"],
        ),
        (
            &[
                "tend",
                "spring",
                "worming",
                "--product",
                "W",
                "--on",
                "2026-04-17",
            ],
            1,
            &["is still to come"],
        ),
        (
            &[
                "tend",
                "spring",
                "done",
                "--item",
                "eyes-open",
                "--on",
                "2026-03-30",
            ],
            1,
            &["before the birth on 2026-04-01"],
        ),
        (
            &[
                "tend",
                "spring",
                "worming",
                "--product",
                "W",
                "--on",
                "2026-02-30",
            ],
            2,
            &["`2026-02-30` is not a date of the calendar"],
        ),
        (
            &[
                "tend",
                "spring",
                "worming",
                "--product",
                "W",
                "--weight",
                "560",
            ],
            2,
            &["--weight: ", "560 g"],
        ),
        (
            &[
                "tend",
                "spring",
                "worming",
                "--product",
                "W",
                "--next",
                "2026-04-01",
            ],
            1,
            &["2026-04-01 is before 2026-04-16"],
        ),
        (
            &["tend", "spring", "temperature", "--value", "36 °C"],
            2,
            &["say for whom the `temperature` is"],
        ),
        (
            &[
                "tend",
                "spring",
                "temperature",
                "--for",
                "moss",
                "--value",
                "36",
            ],
            2,
            &["--value: ", "°C"],
        ),
        (
            &["tend", "spring", "done", "--item", "eyes-opne"],
            1,
            &["there is no item `eyes-opne`", "eyes-open"],
        ),
        (
            &[
                "tend",
                "spring",
                "chip",
                "--for",
                "moss,wren",
                "--number",
                "941000025557101",
            ],
            1,
            &["one chip number for several puppies"],
        ),
        (
            &[
                "tend",
                "spring",
                "check",
                "--by",
                "V",
                "--look",
                "tail=bent",
            ],
            2,
            &["parts: heart, eyes"],
        ),
        (
            &[
                "tend", "spring", "feed", "--for", "moss", "--what", "milk", "--batch", "7",
            ],
            2,
            &["--batch does not belong to `feed`"],
        ),
    ] {
        kennel.run(arguments).ends_with(code).says(words);
        assert_eq!(kennel.text(FILE), before, "{arguments:?}");
    }
}

#[test]
fn showing_writes_nothing_and_a_broken_litter_comes_first() {
    let kennel = kennel();
    let before = kennel.text(FILE);
    let ran = kennel.run(&["tend", "spring", "done", "--item", "ears-open", "--show"]);
    ran.ends_with(0);
    assert!(
        ran.out.contains("done: [ears-open]") && ran.out.contains("nothing was written"),
        "{}",
        ran.out
    );
    assert_eq!(kennel.text(FILE), before);
    // A slip elsewhere does not keep anybody from writing down what was done at night.
    kennel.write("dogs/odd.yaml", "nmae: X\n");
    kennel
        .run(&["tend", "spring", "done", "--item", "ears-open"])
        .ends_with(0);
    kennel.write(
        FILE,
        "- on: 2026-04-15\n  for: all\n  wroming: { product: W }\n",
    );
    kennel
        .run(&["tend", "spring", "done", "--item", "ears-open"])
        .ends_with(1)
        .says(&["nothing was added", "wroming"]);
    kennel.change("litters/spring/litter.yaml", "sex: female", "sex: femal");
    kennel
        .run(&["tend", "spring", "done", "--item", "ears-open"])
        .ends_with(1)
        .says(&["nothing was added", "femal"]);
}

#[test]
fn a_litter_without_a_health_file_gets_one() {
    let kennel = kennel();
    std::fs::remove_file(kennel.content().join(FILE)).unwrap();
    kennel
        .run(&["tend", "Spring 2026", "done", "--item", "eyes-open"])
        .ends_with(0);
    assert_eq!(
        kennel.text(FILE),
        "- on: 2026-04-16\n  for: all\n  done: [eyes-open]\n"
    );
}

#[test]
fn all_means_those_that_were_here() {
    let kennel = kennel();
    kennel.change("kennel.yaml", "as_of: 2026-04-16", "as_of: 2026-06-10");
    kennel.change(
        "litters/spring/litter.yaml",
        "offer: reserved",
        "offer: placed",
    );
    kennel
        .run(&["tend", "spring", "check", "--by", "V", "--findings", "none"])
        .ends_with(0);
    kennel
        .run(&[
            "tend",
            "spring",
            "check",
            "--by",
            "V",
            "--findings",
            "none",
            "--on",
            "2026-05-20",
        ])
        .ends_with(0);
    let entries: Vec<Value> = serde_yaml::from_str(&kennel.text(FILE)).unwrap();
    assert_eq!(
        (&entries[1]["for"], &entries[2]["for"]),
        (&Value::from("wren"), &Value::from("all")),
        "moss left on 30 May"
    );
}
