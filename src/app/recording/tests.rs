//! Changes of several files: all of it or none, taken back to the byte, nothing lost beside an
//! editor.

#![allow(clippy::disallowed_methods, reason = "tests put files where they like")]

use super::*;
use crate::adding::asked;
use crate::records::problem::key_path;
use crate::taking_back::take_back;
use serde_yaml::Value;
use std::fs;
use std::str::FromStr;

const KENNEL: &str = "name: Tarnside\nbreed: Scottish Terrier\ncontact: { keeper: Nell Harrow, \
                      email: nell@tarnside.example }\ncountry: GB\ntime_zone: \
                      Europe/London\nas_of: 2026-06-08\n";
const OWNERS: &str = "families:\n  - id: lund # rang on Sunday\n    name: A. Lund\nwaiting: []\n";
const LITTER: &str = "name: Spring\ndam: juno\nsire: corvin\n\
                      birth: { on: 2026-04-01, how: natural }\n\
                      puppies:\n  - { id: moss, sex: male, offer: available }  # bold\n";

pub(super) struct Home(tempfile::TempDir);

impl Home {
    fn new() -> Self {
        let home = Self(tempfile::tempdir().unwrap());
        for (file, text) in [
            ("kennel.yaml", KENNEL),
            ("owners.yaml", OWNERS),
            ("dogs/juno.yaml", "name: Juno\nsex: female\n"),
            ("dogs/corvin.yaml", "name: Corvin\nsex: male\n"),
            ("litters/spring/litter.yaml", LITTER),
        ] {
            home.save(file, text);
        }
        home
    }

    fn folder(&self) -> Folder {
        Folder::new(self.0.path()).unwrap()
    }

    fn save(&self, file: &str, text: &str) {
        let path = self.0.path().join("content").join(file);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(path, text).unwrap();
    }

    fn read(&self, file: &str) -> String {
        fs::read_to_string(self.0.path().join("content").join(file)).unwrap()
    }

    fn is_there(&self, file: &str) -> bool {
        self.0.path().join("content").join(file).exists()
    }
}

fn set(path: Vec<crate::records::problem::Step>, value: &str) -> Change {
    Change::Set {
        path,
        value: Value::String(value.to_owned()),
    }
}

fn takes() -> Vec<FileChange> {
    let value = serde_yaml::from_str("{ litter: spring, puppy: moss, reserved: 2026-06-08 }");
    vec![
        (
            "owners.yaml".to_owned(),
            Work::Changed(vec![Change::Add {
                path: key_path!["families", 0, "takes"],
                at: None,
                value: value.unwrap(),
            }]),
        ),
        (
            "litters/spring/litter.yaml".to_owned(),
            Work::Changed(vec![set(key_path!["puppies", 0, "offer"], "reserved")]),
        ),
    ]
}

fn make(home: &Home, files: &[FileChange]) -> Result<Done, Refused> {
    let done = record(&home.folder(), &asked("desk", "test"), Mode::Make, |_| {
        Ok(files.to_vec())
    });
    done.unwrap()
}

#[test]
fn several_files_become_others_at_once_and_are_taken_back_to_the_byte() {
    let home = Home::new();
    let done = make(&home, &takes()).unwrap();
    assert_eq!(done.number, Some(1));
    assert!(home.read("owners.yaml").contains("puppy: moss"));
    assert_eq!(
        home.read("litters/spring/litter.yaml"),
        LITTER.replace("available", "reserved")
    );
    take_back(&home.folder(), "undo", None).unwrap();
    assert_eq!(home.read("owners.yaml"), OWNERS);
    assert_eq!(home.read("litters/spring/litter.yaml"), LITTER);
}

#[test]
fn a_change_that_a_later_one_rests_on_is_not_taken_back_alone() {
    let home = Home::new();
    let folder = home.folder();
    let sire = |name: &str| {
        let text = format!("name: {name}\nsex: male\n");
        (
            format!("dogs/{}.yaml", name.to_lowercase()),
            Work::Text(text),
        )
    };
    make(&home, &[sire("Bryn")]).unwrap();
    let child = "name: Fern\nsex: female\nsire: bryn\n".to_owned();
    make(&home, &[("dogs/fern.yaml".to_owned(), Work::Text(child))]).unwrap();
    let refused = take_back(&folder, "undo", Some(1))
        .err()
        .unwrap()
        .to_string();
    assert!(
        refused.contains("rests on it (dogs/fern.yaml: ") && refused.contains("bryn"),
        "{refused}"
    );
    assert!(home.is_there("dogs/bryn.yaml") && home.is_there("dogs/fern.yaml"));
    // What rests on it first, then it.
    take_back(&folder, "undo", Some(2)).unwrap();
    take_back(&folder, "undo", Some(1)).unwrap();
    assert!(!home.is_there("dogs/bryn.yaml") && !home.is_there("dogs/fern.yaml"));
}

#[test]
fn one_file_that_would_be_wrong_keeps_all_as_they_were() {
    let home = Home::new();
    let mut files = takes();
    files.push((
        "dogs/moss.yaml".to_owned(),
        Work::Text("name: Moss\n".to_owned()),
    ));
    let refused = make(&home, &files).unwrap_err();
    assert!(
        refused
            .problems
            .iter()
            .all(|located| located.problem.place.file == "dogs/moss.yaml")
    );
    assert_eq!(home.read("owners.yaml"), OWNERS);
    assert!(!home.is_there("dogs/moss.yaml"));
    assert!(output::newest(&home.folder().state, 9).is_empty());
}

#[test]
fn what_is_wrong_elsewhere_already_is_in_nobodys_way() {
    let home = Home::new();
    home.save("dogs/broken.yaml", "name: [\n");
    assert!(make(&home, &takes()).is_ok());
}

#[test]
fn a_picture_comes_moves_and_goes_and_all_of_it_can_be_taken_back_and_made_again() {
    let home = Home::new();
    let folder = home.folder();
    let (public, private) = (
        "litters/spring/photos/moss-1.jpg",
        "litters/spring/photos-private/moss-1.jpg",
    );
    let bytes = vec![0xff, 0xd8, 0xff, 0xe0, 1, 2, 3];
    make(&home, &[(public.to_owned(), Work::Picture(bytes.clone()))]).unwrap();
    take_back(&folder, "undo", None).unwrap();
    assert!(!home.is_there(public));
    take_back(&folder, "undo", Some(2)).unwrap();
    let now = |file: &str| fs::read(folder.content.join(file)).unwrap();
    assert_eq!(now(public), bytes);
    let moved = Work::MovedTo(private.to_owned());
    make(&home, &[(public.to_owned(), moved)]).unwrap();
    assert_eq!(now(private), bytes);
    make(&home, &[(private.to_owned(), Work::Gone)]).unwrap();
    assert!(!home.is_there(private));
    take_back(&folder, "undo", None).unwrap();
    assert_eq!(now(private), bytes);
    take_back(&folder, "undo", Some(4)).unwrap();
    assert_eq!(now(public), bytes);
    // One that somebody put another picture in place of is not taken away.
    fs::write(folder.content.join(public), [0xff, 0xd8, 9]).unwrap();
    assert!(take_back(&folder, "undo", Some(1)).is_err());
    assert!(home.is_there(public));
}

#[test]
fn what_an_editor_saves_meanwhile_stays() {
    let home = Home::new();
    let mut saved = false;
    let done = record::<Refused>(
        &home.folder(),
        &asked("desk", "test"),
        Mode::Make,
        |standing| {
            standing.text("owners.yaml")?;
            if !saved {
                home.save(
                    "owners.yaml",
                    &format!("# a line of the keeper's\n{OWNERS}"),
                );
                saved = true;
            }
            Ok(takes())
        },
    );
    assert!(done.unwrap().is_ok());
    let text = home.read("owners.yaml");
    assert!(text.starts_with("# a line of the keeper's\n"), "{text}");
    assert!(text.contains("puppy: moss"), "{text}");
}

#[test]
fn a_change_that_is_only_tried_writes_nothing() {
    let home = Home::new();
    let done = record::<Refused>(&home.folder(), &asked("desk", "test"), Mode::Try, |_| {
        Ok(takes())
    });
    let done = done.unwrap().unwrap();
    assert_eq!((done.number, done.changed.len()), (None, 2));
    assert_eq!(home.read("owners.yaml"), OWNERS);
}

/// Numbers that look random, the same every time (xorshift, Marsaglia 2003).
struct Dice(u64);

impl Dice {
    fn below(&mut self, end: u64) -> u64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        self.0 % end
    }
}

/// The desk, an editor and a command save the same files in random order, the editor also while the
/// desk is at work: 60 rounds with all tests, more with `INTERLEAVED=1000`.
#[test]
#[expect(
    clippy::disallowed_methods,
    reason = "how many rounds is said from outside"
)]
fn whatever_saves_meanwhile_no_update_is_lost_and_no_text_is_broken() {
    let rounds = std::env::var("INTERLEAVED").map_or(60, |rounds| rounds.parse().unwrap());
    let home = Home::new();
    let folder = home.folder();
    let weights = "litters/spring/weights.yaml";
    let mut dice = Dice(0x9e37_79b9_7f4a_7c15);
    let (mut lines, mut offer) = (Vec::new(), "available");
    for round in 0..rounds {
        let file =
            ["owners.yaml", "litters/spring/litter.yaml"][usize::try_from(dice.below(2)).unwrap()];
        let edit = |round: u64| {
            // An editor has the text as it stands and puts another in its place.
            let text = home.read(file);
            let at = if round.is_multiple_of(2) {
                0
            } else {
                text.len()
            };
            let line = format!("# line {round}\n");
            home.save(file, &format!("{}{line}{}", &text[..at], &text[at..]));
            (file, line)
        };
        let when = dice.below(4);
        if when == 0 {
            lines.push(edit(round));
        }
        offer = ["available", "reserved", "placed"][usize::try_from(dice.below(3)).unwrap()];
        let mut saved = false;
        let done = record::<Refused>(&folder, &asked("desk", "test"), Mode::Make, |standing| {
            if when == 1 && !saved {
                lines.push(edit(round));
                saved = true;
            }
            let name = serde_yaml::from_str(&format!("{{ name: N. {round} }}")).unwrap();
            let waiting = Change::Add {
                path: key_path!["waiting"],
                at: None,
                value: name,
            };
            standing.text(file)?;
            if when == 2 && !saved {
                lines.push(edit(round));
                saved = true;
            }
            Ok(vec![
                ("owners.yaml".to_owned(), Work::Changed(vec![waiting])),
                (
                    "litters/spring/litter.yaml".to_owned(),
                    Work::Changed(vec![set(key_path!["puppies", 0, "offer"], offer)]),
                ),
            ])
        });
        done.unwrap().unwrap();
        if when == 3 {
            lines.push(edit(round));
        }
        // As `weigh` adds a weigh-in.
        let added = super::super::adding::change(&folder, "weigh", weights, |text| {
            let day = crate::quantity::Day::from_str("2000-01-01").unwrap();
            let at = format!("{} 08:00", day.plus(round.cast_signed()));
            let entry = adding::NewEntry::new().with("at", at).with("moss", "231 g");
            let added = adding::add::<WeightsBlock>(weights, text, &[entry], |_| true)?;
            Ok((Some(added.text), ()))
        });
        added.unwrap().unwrap();
    }
    let owners = home.read("owners.yaml");
    for round in 0..rounds {
        assert!(
            owners.contains(&format!("name: N. {round} ")),
            "{round} is lost"
        );
    }
    for (file, line) in &lines {
        assert_eq!(home.read(file).matches(line.as_str()).count(), 1, "{line}");
    }
    assert!(home.read("litters/spring/litter.yaml").contains(offer));
    let text = home.read(weights);
    assert_eq!(text.matches("moss: 231 g").count() as u64, rounds);
    let loaded = folder.records().unwrap();
    let broken = |located: &&Located| located.problem.place.file != weights;
    let broken: Vec<_> = loaded.problems.iter().filter(broken).collect();
    assert!(
        broken.iter().all(|p| p.problem.severity != Severity::Error),
        "{broken:#?}"
    );
}
