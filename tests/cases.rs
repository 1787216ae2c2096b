//! Record files with the expected problems written above the line.
//!
//! In: `tests/cases/<topic>/<case>.txt`. A case says in `//` lines what it is about; each section
//! `=== path` adds a file to the base kennel or replaces one. A line `#! error code` or `#! warning
//! code` expects that problem on the next line that is no such line; `@7` behind the code expects
//! the column too, `top` the first line (where nothing can stand above it), `file` the file as a
//! whole, and what follows a colon must be said in message or hint. The problems found must be
//! those expected: nothing missing, nothing more.

use crate::support;

use crate::support::{Kennel, Section, now};
use litterfolio::records::{load, problem::Located, showing::for_people};
use std::collections::BTreeSet;
use std::fmt::Write;
use std::fs;
use std::path::{Path, PathBuf};

/// A problem that a case expects.
#[derive(Debug)]
struct Expected {
    file: String,
    /// From 1; 0 for the file as a whole.
    line: usize,
    column: Option<usize>,
    severity: String,
    code: String,
    says: Option<String>,
}

impl Expected {
    /// The expectations written into a section.
    fn of(section: &Section) -> Vec<Self> {
        let lines: Vec<&str> = section
            .text
            .trim_start_matches('\u{feff}')
            .lines()
            .collect();
        let mark = |line: &str| line.trim_start().strip_prefix("#! ").map(str::to_owned);
        let mut expected = Vec::new();
        for (i, line) in lines.iter().enumerate() {
            let Some(mark) = mark(line) else { continue };
            let (head, says) = mark
                .split_once(": ")
                .map_or((mark.as_str(), None), |(head, says)| {
                    (head, Some(says.to_owned()))
                });
            let mut words = head.split_whitespace();
            let (severity, code) = (
                words.next().unwrap().to_owned(),
                words.next().unwrap().to_owned(),
            );
            assert!(severity == "error" || severity == "warning", "{line}");
            let below = lines[i..]
                .iter()
                .position(|l| !l.trim_start().starts_with("#!"))
                .map(|n| i + n + 1);
            let (line, column) = match words.next() {
                None => (below.unwrap(), None),
                Some("file") => (0, None),
                Some("top") => (1, None),
                Some(column) => (
                    below.unwrap(),
                    Some(column.strip_prefix('@').unwrap().parse().unwrap()),
                ),
            };
            assert_eq!(words.next(), None, "too many words in `{mark}`");
            expected.push(Self {
                file: section.path.clone(),
                line,
                column,
                severity,
                code,
                says,
            });
        }
        expected
    }

    fn fits(&self, found: &Located) -> bool {
        let problem = &found.problem;
        self.file == problem.place.file
            && self.line == line_of(found)
            && self.column.is_none_or(|column| column == found.column)
            && self.severity == problem.severity.name()
            && self.code == problem.code
            && self
                .says
                .as_ref()
                .is_none_or(|says| problem.message.contains(says) || problem.hint.contains(says))
    }
}

/// The line a problem stands at; 0 for the file as a whole.
fn line_of(found: &Located) -> usize {
    if found.range.is_whole_file() {
        0
    } else {
        found.line
    }
}

/// Loads a case and says what differs from what it expects; nothing when all is as expected.
fn differences(case: &Path) -> Option<String> {
    let sections = Section::all(&fs::read_to_string(case).unwrap());
    let kennel = Kennel::base();
    kennel.lay(&sections);
    let loaded = load(&kennel.content(), now()).unwrap();
    let mut missing: Vec<Expected> = sections.iter().flat_map(Expected::of).collect();
    let mut more = Vec::new();
    for found in &loaded.problems {
        match missing.iter().position(|expected| expected.fits(found)) {
            Some(i) => _ = missing.remove(i),
            None => more.push(found),
        }
    }
    if missing.is_empty() && more.is_empty() {
        return None;
    }
    let mut text = format!("{}\n", case.file_name().unwrap().to_string_lossy());
    for Expected {
        file,
        line,
        column,
        severity,
        code,
        says,
    } in missing
    {
        let _ = writeln!(
            text,
            "  - expected  {file}:{line}{} {severity} {code}{}",
            column.map(|c| format!(":{c}")).unwrap_or_default(),
            says.map(|s| format!(": {s}")).unwrap_or_default()
        );
    }
    for found in more {
        let p = &found.problem;
        let _ = writeln!(
            text,
            "  + found     {}:{}:{} {} {}: {} ({})",
            p.place.file,
            line_of(found),
            found.column,
            p.severity.name(),
            p.code,
            p.message,
            p.hint
        );
    }
    Some(text)
}

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/cases")
}

fn cases_of(topic: &str) -> Vec<PathBuf> {
    let mut cases: Vec<PathBuf> = fs::read_dir(folder().join(topic))
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .collect();
    cases.sort();
    assert!(
        cases
            .iter()
            .all(|case| case.extension().is_some_and(|e| e == "txt")),
        "a case is a .txt file: {cases:?}"
    );
    cases
}

/// Runs all cases of a topic and tells everything that differs at once.
fn run(topic: &str) {
    let cases = cases_of(topic);
    assert!(!cases.is_empty());
    let wrong: Vec<String> = cases.iter().filter_map(|case| differences(case)).collect();
    assert!(
        wrong.is_empty(),
        "{} of {} cases of {topic}:\n{}",
        wrong.len(),
        cases.len(),
        wrong.concat()
    );
}

macro_rules! topics {
    ($($test:ident $topic:literal)*) => {
        const TOPICS: &[&str] = &[$($topic),*];
        $(#[test] fn $test() { run($topic); })*
    };
}

topics! {
    the_care_plan "care-plan"
    dogs "dogs"
    files_and_their_names "files"
    health_entries "health"
    the_kennel "kennel"
    keys_and_kinds_of_values "keys"
    litters "litter"
    notes_and_pages "notes"
    owners "owners"
    puppies "puppies"
    texts_line_ends_and_characters "text"
    problems_that_come_together "together"
    weigh_ins "weights"
    yaml_itself "yaml"
}

/// How many columns a line takes: two for each wide character.
fn columns(line: &str) -> usize {
    line.chars()
        .map(|c| if matches!(c, '\u{1100}'..='\u{115f}' | '\u{2e80}'..='\u{d7a3}' | '\u{ff00}'..='\u{ff60}' | '\u{1f300}'..) { 2 } else { 1 })
        .sum()
}

#[test]
fn what_the_terminal_shows_fits_80_columns_and_hides_nothing() {
    let mut lines = 0;
    for case in TOPICS.iter().flat_map(|topic| cases_of(topic)) {
        let kennel = Kennel::base();
        kennel.lay(&Section::all(&fs::read_to_string(&case).unwrap()));
        let loaded = load(&kennel.content(), now()).unwrap();
        for width in [80, 60] {
            let shown = for_people(&loaded.problems, &loaded.sources, "content", width, false);
            for line in shown.lines() {
                lines += 1;
                // What is drawn under a line of a record stands where its word stands, with a label
                // behind it. A line itself may be longer than 60, and then stands as it is.
                let margin = line
                    .trim_start()
                    .trim_start_matches(|c: char| c.is_ascii_digit());
                let drawn = margin.starts_with('|') || (width < 80 && margin.starts_with(" |"));
                assert!(
                    columns(line) <= width || drawn,
                    "{} columns of {width} in {}: {line}",
                    columns(line),
                    case.display()
                );
                assert!(
                    !line.contains(|c: char| c.is_control()
                        || matches!(
                            c,
                            '\u{200e}'
                                | '\u{200f}'
                                | '\u{202a}'..='\u{202e}'
                                | '\u{2066}'..='\u{2069}'
                        )),
                    "{line:?}"
                );
            }
            // Nothing of a message or a hint is lost by breaking its lines.
            let words = |text: &str| {
                text.split_whitespace()
                    .map(str::to_owned)
                    .collect::<Vec<_>>()
            };
            let all = words(&shown).join(" ");
            for found in loaded.problems.iter().filter(|l| {
                l.problem.code != "control-character" && l.problem.message.chars().count() < 300
            }) {
                for said in [&found.problem.message, &found.problem.hint] {
                    assert!(
                        all.contains(&words(said).join(" ")) || said.contains(char::is_control),
                        "{said} in {shown}"
                    );
                }
            }
        }
    }
    assert!(lines > 1000, "{lines}");
}

#[test]
fn every_folder_of_cases_is_run() {
    let found: BTreeSet<String> = fs::read_dir(folder())
        .unwrap()
        .map(Result::unwrap)
        .filter(|e| e.file_type().unwrap().is_dir())
        .map(|e| e.file_name().into_string().unwrap())
        .collect();
    assert_eq!(found, TOPICS.iter().map(|t| (*t).to_owned()).collect());
}

#[test]
fn the_base_kennel_has_no_problem() {
    let kennel = Kennel::base();
    let loaded = load(&kennel.content(), now()).unwrap();
    assert!(loaded.problems.is_empty(), "{:#?}", loaded.problems);
    let records = loaded.records.unwrap();
    let litter = &records.litters["spring"];
    assert_eq!(
        (
            records.dogs.len(),
            litter.litter.puppies.len(),
            litter.weigh_ins.len(),
            litter.health.len(),
            litter.notes.len()
        ),
        (4, 3, 2, 2, 1)
    );
    assert_eq!(
        (
            records.owners.families.len(),
            records.owners.waiting.len(),
            records.pages.len(),
            records.care_plan.items.len()
        ),
        (1, 1, 1, 1)
    );
}

/// The words of all problems in the sources: the literal right after what makes a problem of it.
fn codes_in_sources() -> BTreeSet<String> {
    const MAKERS: &[&str] = &[
        "Problem::error(",
        "Problem::warning(",
        "Unreadable::new(",
        "refuse(",
        "code: ",
    ];
    let mut codes = BTreeSet::new();
    for part in ["records", "quantity", "commands"] {
        for (name, bytes) in
            support::tree(&Path::new(env!("CARGO_MANIFEST_DIR")).join("src").join(part))
        {
            let text = String::from_utf8_lossy(&bytes).into_owned();
            let text = text.split("#[cfg(test)]").next().unwrap();
            if !name.ends_with(".rs") || name.ends_with("tests.rs") {
                continue;
            }
            for maker in MAKERS {
                codes.extend(text.split(maker).skip(1).filter_map(literal));
            }
        }
    }
    let faults =
        fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("src/photos/fault.rs"))
            .unwrap();
    codes.extend(
        faults
            .split("=> ")
            .skip(1)
            .filter_map(literal)
            .filter(|code| code.starts_with("photo-")),
    );
    codes
}

/// The string literal at the beginning of a text, when it is a code.
fn literal(text: &str) -> Option<String> {
    let (literal, _) = text.trim_start().strip_prefix('"')?.split_once('"')?;
    (!literal.is_empty()
        && literal
            .bytes()
            .all(|b| b.is_ascii_lowercase() || b.is_ascii_digit() || b == b'-'))
    .then(|| literal.to_owned())
}

#[test]
fn every_code_is_proved_by_a_case() {
    /// What nothing a keeper types can bring about: the last resort for words of serde that no type
    /// of ours uses.
    const OUT_OF_REACH: &[&str] = &["unreadable"];
    let codes = codes_in_sources();
    assert!(
        codes.len() > 80,
        "the sources are no longer read right: {codes:?}"
    );
    let mut proved: BTreeSet<String> = OUT_OF_REACH.iter().map(|c| (*c).to_owned()).collect();
    for case in TOPICS.iter().flat_map(|topic| cases_of(topic)) {
        let sections = Section::all(&fs::read_to_string(case).unwrap());
        proved.extend(sections.iter().flat_map(Expected::of).map(|e| e.code));
    }
    // What is not wrong with a record but with what is to be added to one is proved beside the code
    // that reads it.
    let elsewhere: Vec<String> = [
        "tests/bad_input.rs",
        "tests/keeping.rs",
        "tests/secrets.rs",
        "tests/weighing.rs",
        "tests/whelping.rs",
    ]
    .into_iter()
    .chain([
        "adding/tests.rs",
        "changing/tests.rs",
        "sheet/tests.rs",
        "taking_in/tests.rs",
        "naming.rs",
    ])
    .map(|file| {
        fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join(
            if file.starts_with("tests/") {
                file.to_owned()
            } else {
                format!("src/records/{file}")
            },
        ))
        .unwrap()
    })
    .map(|text| {
        text.split_once("#[cfg(test)]")
            .map_or(text.clone(), |(_, tests)| tests.to_owned())
    })
    .collect();
    let proved_there = |code: &str| {
        elsewhere.iter().any(|text| {
            text.contains(&format!("\"{code}\"")) || text.contains(&format!("[{code}]"))
        })
    };
    let unproved: Vec<&String> = codes
        .iter()
        .filter(|c| !proved.contains(*c) && !proved_there(c))
        .collect();
    assert!(unproved.is_empty(), "no case for {unproved:?}");
    let unknown: Vec<&String> = proved.iter().filter(|c| !codes.contains(*c)).collect();
    assert!(
        unknown.is_empty(),
        "cases for codes that are not in the sources: {unknown:?}"
    );
}
