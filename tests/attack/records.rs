//! Spoilt record files by the thousand: whatever stands in a file, reading it ends with records or
//! with problems that can be shown, never with a panic.
//!
//! In: the records of the demo and of the cases, changed at random: bytes, characters of several
//! bytes, indentation, line ends, nesting, whole lines. Out: no panic, and every place of
//! every problem a part of its text. The same number gives the same files again. `cargo test` reads
//! a slice; a million files are read by `SPOILT=1000000 cargo test --test all -- attack_records::`.

use crate::attack_shown::all_can_be_shown;
use crate::support::dice::Dice;
use crate::support::{BASE, Kennel, Section, now};
use litterfolio::records::load_with;
use std::collections::BTreeMap;
use std::fs;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::{Path, PathBuf};

/// How many files are spoilt when nothing else is said.
const SLICE: usize = 8_000;

/// What is put into texts: signs of YAML, numbers, dates, and characters of two to four bytes, some
/// of which cannot be seen.
const PIECES: &[&str] = &[
    "\t",
    "\r",
    "\r\n",
    "\n",
    " ",
    "  ",
    ": ",
    ":",
    "- ",
    "-",
    "#",
    " #",
    "\"",
    "'",
    "[",
    "]",
    "{",
    "}",
    ",",
    ",5 g",
    "&a ",
    "*a",
    "!!str ",
    "|\n",
    ">\n",
    "? ",
    "---\n",
    "...\n",
    "%",
    "@",
    "`",
    "~",
    "null",
    "<<: *a",
    "\\",
    "\u{0}",
    "\u{7f}",
    "\u{85}",
    "\u{a0}",
    "é",
    "ß",
    "¾",
    "ń",
    "\u{200b}",
    "\u{2028}",
    "\u{2029}",
    "\u{202e}",
    "\u{feff}",
    "\u{fffd}",
    "犬",
    "🐕",
    "🐕\u{200d}🦺",
    "e\u{301}",
    "212 g",
    "7 3/4 oz",
    "2026-04-02",
    "2026-04-02 07:30",
    "99999999999999999999",
    "-1",
    "1e9",
    "all",
    "dam",
    "\"\"",
];

/// Which record a path is: texts of one kind take each other's place.
fn kind(path: &str) -> &str {
    match path.split('/').collect::<Vec<_>>()[..] {
        ["litters", _, "notes", _] => "note",
        ["litters", _, name] => name,
        [folder @ ("dogs" | "pages"), _] => folder,
        [name] => name,
        _ => "",
    }
}

/// All texts that are spoilt, by their kind.
fn corpus() -> BTreeMap<String, Vec<String>> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut texts: BTreeMap<String, Vec<String>> = BTreeMap::new();
    let mut folders: Vec<PathBuf> = vec![root.join("content"), root.join("tests/cases")];
    while let Some(folder) = folders.pop() {
        let mut paths: Vec<PathBuf> = fs::read_dir(folder)
            .unwrap()
            .map(|entry| entry.unwrap().path())
            .collect();
        paths.sort();
        for path in paths {
            let ending = path
                .extension()
                .and_then(|ending| ending.to_str())
                .unwrap_or_default()
                .to_owned();
            match ending.as_str() {
                "" if path.is_dir() => folders.push(path),
                "txt" => {
                    for section in Section::all(&fs::read_to_string(&path).unwrap()) {
                        texts
                            .entry(kind(&section.path).to_owned())
                            .or_default()
                            .push(section.text);
                    }
                }
                "yaml" | "md" => {
                    let below = path
                        .strip_prefix(root.join("content"))
                        .unwrap()
                        .to_string_lossy()
                        .into_owned();
                    texts
                        .entry(kind(&below).to_owned())
                        .or_default()
                        .push(fs::read_to_string(&path).unwrap());
                }
                _ => {}
            }
        }
    }
    texts
}

fn boundary(dice: &mut Dice, text: &str) -> usize {
    text.floor_char_boundary(dice.below(text.len() + 1))
}

/// One change of a text.
fn spoil(dice: &mut Dice, text: &str) -> String {
    let at = boundary(dice, text);
    let lines: Vec<&str> = text.split_inclusive('\n').collect();
    let line = dice.below(lines.len());
    let with_line = |new: String| {
        lines
            .iter()
            .enumerate()
            .map(|(n, old)| if n == line { new.as_str() } else { old })
            .collect::<String>()
    };
    let old = lines.get(line).copied().unwrap_or_default();
    match dice.below(14) {
        0..=3 => format!("{}{}{}", &text[..at], dice.one_of(PIECES), &text[at..]),
        4 => {
            let end = text.ceil_char_boundary((at + dice.below(20)).min(text.len()));
            format!("{}{}", &text[..at], &text[end..])
        }
        5 => with_line(format!(
            "{}{}",
            dice.one_of(&[" ", "  ", "\t", "   ", "é", "\u{feff}", "🐕"]),
            old
        )),
        6 => with_line(old.trim_start().to_owned()),
        7 => with_line(format!("{old}{old}")),
        8 => with_line(String::new()),
        9 => text.replace('\n', "\r\n"),
        10 => format!("\u{feff}{text}"),
        11 => text[..at].to_owned(),
        12 => {
            let depth = dice.one_of(&[3, 39, 41, 200, 5_000]);
            let piece = dice.one_of(&["[", "{a: ", "- ", "? ", "[{", "]", "}"]);
            format!("{}{}{}", &text[..at], piece.repeat(*depth), &text[at..])
        }
        // Single bytes: what is no text any more is made one again.
        _ => {
            let mut bytes = text.as_bytes().to_vec();
            for _ in 0..=dice.below(3) {
                let n = dice.below(bytes.len());
                if let Some(byte) = bytes.get_mut(n) {
                    *byte = dice.next().to_le_bytes()[0];
                }
            }
            String::from_utf8_lossy(&bytes).into_owned()
        }
    }
}

/// Reads a kennel in which these files have another text, and shows every problem in all ways there
/// are.
fn read(content: &Path, files: &BTreeMap<String, String>) {
    all_can_be_shown(&load_with(content, now(), files).unwrap());
}

#[test]
#[allow(
    clippy::disallowed_methods,
    reason = "a longer run is asked for by the environment"
)]
fn no_spoilt_file_ends_the_program() {
    let wanted = std::env::var("SPOILT")
        .ok()
        .map_or(SLICE, |files| files.parse().unwrap());
    let kennel = Kennel::base();
    let content = kennel.content();
    let corpus = corpus();
    let paths: Vec<String> = Section::all(BASE)
        .into_iter()
        .map(|section| section.path)
        .collect();
    assert!(
        paths.len() > 8 && corpus.values().map(Vec::len).sum::<usize>() > 200,
        "the corpus is no longer found"
    );
    let (mut done, mut seed) = (0, 0);
    while done < wanted {
        seed += 1;
        let mut dice = Dice(seed);
        let mut files = BTreeMap::new();
        for path in &paths {
            // Some stay whole, so that what is checked across files is reached too.
            if dice.below(4) == 0 {
                continue;
            }
            let mut text = dice.one_of(&corpus[kind(path)]).clone();
            for _ in 0..=dice.below(4) {
                text = spoil(&mut dice, &text);
            }
            files.insert(path.clone(), text);
        }
        done += files.len();
        if let Err(panic) = catch_unwind(AssertUnwindSafe(|| read(&content, &files))) {
            let said = panic.downcast_ref::<String>().cloned().unwrap_or_default();
            panic!("seed {seed} ({done} files in): {said}\n{files:#?}");
        }
    }
    println!("{done} spoilt files, {seed} kennels");
}
