//! The house stays as it was built: imports point one way, files are small and say what they do,
//! and every path and command that is documented exists.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::{fs, process::Command};
use walkdir::WalkDir;

/// The floors, top first: a module may use those below it only.
const FLOORS: &[&str] = &[
    "commands",
    "desk",
    "app",
    "pages",
    "audience",
    "husbandry",
    "records",
    "photos",
    "keyring",
    "output",
    "sealing",
    "quantity",
    "cache",
];

fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

fn sources() -> BTreeMap<String, String> {
    let src = root().join("src");
    let files = WalkDir::new(&src)
        .into_iter()
        .map(Result::unwrap)
        .filter(|e| e.path().extension().is_some_and(|x| x == "rs"));
    files
        .map(|e| {
            (
                e.path()
                    .strip_prefix(&src)
                    .unwrap()
                    .to_string_lossy()
                    .replace('\\', "/"),
                fs::read_to_string(e.path()).unwrap(),
            )
        })
        .collect()
}

#[test]
fn imports_point_down_the_house() {
    let floor = |name: &str| FLOORS.iter().position(|f| *f == name);
    for (file, text) in sources() {
        let Some(own) = floor(file.split(['/', '.']).next().unwrap()) else {
            continue;
        };
        for line in text.lines().map(str::trim).filter(|l| !l.starts_with("//")) {
            // What can stop a run is named where runs are.
            assert!(
                own <= 2 || !line.contains("crate::Error"),
                "{file} names the error of the run: {line}"
            );
            for (at, _) in line.match_indices("crate::") {
                let name: String = line[at + 7..]
                    .chars()
                    .take_while(|c| c.is_ascii_lowercase() || *c == '_')
                    .collect();
                if let Some(used) = floor(&name) {
                    assert!(used >= own, "{file} reaches up to {name}: {line}");
                }
                if line[at + 7..].starts_with('{') {
                    for part in line[at + 8..].split([',', '}', ' ', ':']) {
                        assert!(
                            floor(part).is_none_or(|used| used >= own),
                            "{file} reaches up to {part}: {line}"
                        );
                    }
                }
            }
        }
    }
}

/// Whether a file is there for tests alone.
fn is_of_tests(file: &str) -> bool {
    file.contains("/tests/")
        || ["tests.rs", "testing.rs", "samples.rs"]
            .iter()
            .any(|name| file.ends_with(name))
}

/// A file as a module: `records/reading/tree.rs` is `[records, reading, tree]`.
fn module(file: &str) -> Vec<String> {
    let path = file.trim_end_matches(".rs").trim_end_matches("/mod");
    path.split('/').map(str::to_owned).collect()
}

/// The paths that a text names from a module on, braces taken apart: of `use` statements and in
/// the code itself.
fn named_paths(text: &str) -> Vec<Vec<String>> {
    fn expand(prefix: &str, rest: &str, all: &mut Vec<Vec<String>>) {
        let Some((before, inside)) = rest.split_once('{') else {
            let path = format!("{prefix}{rest}");
            let path = path.split(" as ").next().unwrap();
            all.push(
                path.split("::")
                    .map(|part| part.trim().to_owned())
                    .collect(),
            );
            return;
        };
        let (prefix, mut depth, mut part) =
            (format!("{prefix}{}", before.trim()), 0, String::new());
        for letter in inside.trim_end().trim_end_matches('}').chars().chain([',']) {
            depth += i32::from(letter == '{') - i32::from(letter == '}');
            if letter == ',' && depth == 0 {
                if !part.trim().is_empty() {
                    expand(&prefix, part.trim(), all);
                }
                part.clear();
            } else {
                part.push(letter);
            }
        }
    }
    let code = without_tests(text);
    let lines = code.lines().filter(|line| !line.trim().starts_with("//"));
    let code = lines.collect::<Vec<_>>().join(" ");
    let mut all = Vec::new();
    for statement in code.split(';') {
        if let Some((_, used)) = statement.rsplit_once("use ").filter(|(before, _)| {
            before.is_empty() || before.ends_with([' ', ')', '}']) && !before.ends_with(". ")
        }) {
            expand("", used.trim(), &mut all);
        }
    }
    for start in ["super::", "crate::"] {
        for (at, _) in code.match_indices(start) {
            let path: String = code[at..]
                .chars()
                .take_while(|c| c.is_alphanumeric() || matches!(c, '_' | ':'))
                .collect();
            all.push(path.split("::").map(str::to_owned).collect());
        }
    }
    all
}

/// The file that a path leads to from a module, also through what a module passes on.
fn leads_to(
    from: &[String],
    path: &[String],
    modules: &BTreeMap<Vec<String>, (String, Vec<Vec<String>>)>,
) -> Option<Vec<String>> {
    let mut at = from.to_vec();
    let mut rest = path;
    if path.first().is_some_and(|first| first == "crate") {
        (at, rest) = (Vec::new(), &path[1..]);
        // A floor is a crate, which sees the floors below as parts of its own; commands stand in
        // that of the program.
        let is_floor = rest.first().is_some_and(|name| FLOORS.contains(&&**name));
        if !is_floor && from[0] != "commands" {
            at.push(from[0].clone());
        }
    }
    while let Some("super") = rest.first().map(String::as_str) {
        at.pop();
        rest = &rest[1..];
    }
    while let Some(name) = rest.first() {
        at.push(name.clone());
        if !modules.contains_key(&at) {
            at.pop();
            let passed_on = modules.get(&at)?.1.iter();
            let through = passed_on.filter(|path| path.last() == Some(name) && path.len() > 1);
            return through
                .filter(|path| path[0] != "super" && path[0] != "crate")
                .find_map(|path| {
                    let below = [at.clone(), path[..path.len() - 1].to_vec()].concat();
                    modules.contains_key(&below).then_some(below)
                })
                .or_else(|| modules.contains_key(&at).then(|| at.clone()));
        }
        rest = &rest[1..];
    }
    modules.contains_key(&at).then_some(at)
}

/// Inside a floor no two files need each other, through however many others; a module and those
/// below it are one thing.
#[test]
fn no_circle_of_files_inside_a_floor() {
    let modules: BTreeMap<Vec<String>, (String, Vec<Vec<String>>)> = sources()
        .into_iter()
        .filter(|(file, _)| !is_of_tests(file) && file.contains('/'))
        .map(|(file, text)| (module(&file), (file, named_paths(&text))))
        .collect();
    let needs: BTreeMap<&Vec<String>, Vec<Vec<String>>> = modules
        .iter()
        .map(|(own, (_, paths))| {
            let others = paths
                .iter()
                .filter_map(|path| leads_to(own, path, &modules));
            let beside = others.filter(|other| {
                other[0] == own[0] && !own.starts_with(other) && !other.starts_with(own)
            });
            (own, beside.collect())
        })
        .collect();
    assert!(needs.values().flatten().count() > 200, "imports are found");
    // What needs nothing that is left is taken away; what stays is in a circle or needs one.
    let mut left = needs;
    loop {
        let done: Vec<&Vec<String>> = left
            .iter()
            .filter(|(_, others)| !others.iter().any(|other| left.contains_key(other)))
            .map(|(own, _)| *own)
            .collect();
        if done.is_empty() {
            break;
        }
        left.retain(|own, _| !done.contains(own));
    }
    let shown: Vec<String> = left
        .iter()
        .map(|(own, others)| {
            let others = others.iter().filter(|other| left.contains_key(other));
            format!(
                "{} needs {:?}",
                own.join("/"),
                others.map(|o| o.join("/")).collect::<Vec<_>>()
            )
        })
        .collect();
    assert!(
        shown.is_empty(),
        "files that need each other:\n{}",
        shown.join("\n")
    );
}

#[test]
fn every_file_says_what_it_does_and_is_small() {
    for (file, text) in sources() {
        let header = text.lines().take_while(|l| l.starts_with("//!")).count();
        assert!(
            (1..=60).contains(&header),
            "{file} opens with {header} lines that say what it does"
        );
        let code = without_tests(&text).lines().count();
        assert!(code <= 600 || is_of_tests(&file), "{file} has {code} lines");
    }
}

#[test]
fn a_header_names_what_its_file_has() {
    let mut wrong = Vec::new();
    for (file, text) in sources() {
        let (header, code): (Vec<&str>, Vec<&str>) =
            text.lines().partition(|line| line.starts_with("//!"));
        let code: Vec<&str> = code
            .into_iter()
            .filter(|line| !line.trim_start().starts_with("//"))
            .collect();
        let has = |name: &str| {
            let words = code
                .iter()
                .flat_map(|line| line.split(|c: char| !(c.is_ascii_alphanumeric() || c == '_')));
            words.into_iter().any(|word| word == name)
        };
        let header = header.join("\n");
        for (at, _) in header.match_indices("[`") {
            let rest = &header[at + 2..];
            let (name, behind) = rest.split_once("`]").unwrap_or_default();
            let name = name.split([':', '(', '<']).next().unwrap_or_default();
            // A link with an address is looked after by the compiler's own documentation.
            if !behind.starts_with('(') && !has(name) {
                wrong.push(format!("{file} names {name}"));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// The columns that the code of a line takes: what stands inside quotes is text, and counts for
/// nothing.
fn columns_of_code(line: &str) -> usize {
    match (line.find('"'), line.rfind('"')) {
        (Some(first), Some(last)) if !line.trim_start().starts_with("//") => {
            line[..first].chars().count() + line[last..].chars().count()
        }
        _ => line.chars().count(),
    }
}

#[test]
fn two_files_stand_side_by_side_on_a_screen() {
    for (file, text) in sources() {
        for (index, line) in text.lines().enumerate() {
            let columns = columns_of_code(line);
            assert!(columns <= 100, "{file}:{} has {columns} columns", index + 1);
        }
    }
}

/// Type names that stand in several files on purpose: every command has its `Options`.
const SHARED_NAMES: &[&str] = &["Options"];

#[test]
fn one_name_has_one_meaning() {
    let mut places: BTreeMap<String, Vec<String>> = BTreeMap::new();
    for (file, text) in sources() {
        if is_of_tests(&file) {
            continue;
        }
        let code = without_tests(&text);
        for line in code.lines() {
            let public = line.trim_start().strip_prefix("pub");
            // What stands further in and is not public is of a trait or of one function.
            if public.is_none() && line.starts_with(' ') {
                continue;
            }
            let rest = public.unwrap_or(line);
            let rest = rest
                .strip_prefix('(')
                .and_then(|inner| inner.split_once(')'))
                .map_or(rest, |(_, rest)| rest);
            let mut words = rest.split_whitespace();
            if !matches!(words.next(), Some("struct" | "enum" | "trait" | "type")) {
                continue;
            }
            let name: String = words
                .next()
                .unwrap_or_default()
                .chars()
                .take_while(|c| c.is_alphanumeric() || *c == '_')
                .collect();
            places.entry(name).or_default().push(file.clone());
        }
    }
    assert!(places.len() > 300, "the list of types is not read");
    places.retain(|name, files| files.len() > 1 && !SHARED_NAMES.contains(&&**name));
    assert!(places.is_empty(), "names of several types: {places:?}");
}

/// The first string literal after a place in a text, without its quotes.
fn literal_after(text: &str) -> Option<&str> {
    let inside = text.split_once('"')?.1;
    let mut escaped = false;
    let end = inside.find(|letter| {
        let ends = letter == '"' && !escaped;
        escaped = letter == '\\' && !escaped;
        ends
    })?;
    Some(&inside[..end])
}

/// Whether a format string composes a sentence: two words or more beside what is put in.
fn is_sentence(literal: &str) -> bool {
    let mut depth = 0;
    let outside: String = literal
        .chars()
        .map(|letter| {
            depth += i32::from(letter == '{') - i32::from(letter == '}');
            if depth == 0 { letter } else { ' ' }
        })
        .collect();
    let words = outside.split(|letter: char| !letter.is_alphabetic());
    words.filter(|word| word.chars().count() > 1).count() >= 2
}

/// A file without its tests: those written in it end it, those of a file of their own are only
/// named in it, which may be anywhere.
fn without_tests(text: &str) -> String {
    let mut code = String::new();
    let mut lines = text.lines();
    while let Some(line) = lines.next() {
        if line != "#[cfg(test)]" {
            code.push_str(line);
            code.push('\n');
            continue;
        }
        let item = lines.find(|line| !line.starts_with("#["));
        if item.is_none_or(|item| !item.ends_with(';')) {
            break;
        }
    }
    code
}

#[test]
fn what_stands_behind_the_name_of_a_file_of_tests_is_looked_at() {
    let text = "a\n#[cfg(test)]\nmod tests;\nb\n#[cfg(test)]\n#[allow(x)]\nmod more {\nc\n}\n";
    assert_eq!(without_tests(text), "a\nb\n");
}

/// How many sentences the code of a file composes. Tests and comments do not count.
fn sentences(text: &str) -> usize {
    let code = without_tests(text);
    let lines = code.lines().filter(|line| !line.trim().starts_with("//"));
    let code = lines.collect::<Vec<_>>().join("\n");
    let made = code
        .match_indices("format!(")
        .chain(code.match_indices("write!("));
    made.filter(|(at, _)| literal_after(&code[*at..]).is_some_and(is_sentence))
        .count()
}

#[test]
fn husbandry_composes_no_sentences() {
    assert_eq!(sentences("format!(\"is due by {until}\")"), 1);
    assert_eq!(
        sentences("format!(\n    \"{a} of {b}, \\\"{c}\\\" left\"\n)"),
        1
    );
    assert_eq!(
        sentences("// format!(\"is due by {until}\")\nformat!(\"{n:.0} days\")"),
        0
    );
    for (file, text) in sources() {
        if !file.starts_with("husbandry/") || is_of_tests(&file) {
            continue;
        }
        assert_eq!(
            sentences(&text),
            0,
            "{file} composes sentences: a type belongs there, and its words into src/audience/words"
        );
    }
}

/// What is told of a litter is typed: no field of `husbandry` holds what is said of it.
#[test]
fn findings_tasks_and_gaps_hold_no_text() {
    let told = [
        "husbandry/findings",
        "husbandry/rounds",
        "husbandry/readiness",
        "husbandry/weighing",
    ];
    for (file, text) in sources() {
        if !told.iter().any(|told| file.starts_with(told)) || is_of_tests(&file) {
            continue;
        }
        for field in ["what", "limit", "missing", "hint", "words"] {
            let held = format!("    pub {field}: String");
            assert!(!text.contains(&held), "{file} holds {field} as text");
        }
    }
}

#[test]
fn only_the_writer_writes_and_only_the_terminal_asks() {
    let allowed = |file: &str| {
        file.starts_with("output/")
            || file.starts_with("cache/")
            || file == "app/terminal.rs"
            || file == "commands/begin.rs"
    };
    for (file, text) in sources() {
        let code = without_tests(&text);
        for word in [
            "fs::write(",
            "File::create",
            "SystemTime::now",
            "Utc::now",
            "env::var",
        ] {
            assert!(
                allowed(&file) || is_of_tests(&file) || !code.contains(word),
                "{file} uses {word}"
            );
        }
    }
}

#[test]
fn every_path_named_in_the_guides_exists() {
    for guide in ["README.md", "DEVELOPERS.md"] {
        let text = fs::read_to_string(root().join(guide)).unwrap();
        for word in text.split(['`', '(', ')']).filter(|w| {
            !w.contains([' ', '\n', '<', '*', '|'])
                && w.contains('/')
                && !w.contains("://")
                && !w.starts_with("mailto")
        }) {
            let made = [
                "public/",
                "private/",
                "codes.yaml",
                ".litterfolio",
                "target/",
                "litters/",
                "photos/",
                "my-kennel",
                "visitor/",
                "keeper/",
                "owner/",
                "handover/",
                "sealed/",
                "shared/",
            ];
            let path = word.split('#').next().unwrap().trim_end_matches(['.', ',']);
            assert!(
                made.iter().any(|m| path.starts_with(m))
                    || root().join(path).exists()
                    || root().join("src").join(path).exists()
                    || root().join("content").join(path).exists(),
                "{guide} names {path}, which does not exist"
            );
        }
    }
}

#[test]
fn every_command_and_option_of_the_readme_exists() {
    let text = fs::read_to_string(root().join("README.md")).unwrap()
        + &fs::read_to_string(root().join("docs/records.md")).unwrap();
    let help = |args: &[&str]| {
        String::from_utf8(
            Command::new(crate::support::program())
                .args(args)
                .arg("--help")
                .output()
                .unwrap()
                .stdout,
        )
        .unwrap()
    };
    let general = help(&[]);
    let mut seen = 0;
    for line in text.lines() {
        for (at, _) in line.match_indices("litterfolio ") {
            let words: Vec<&str> = line[at..]
                .split(['`', '#'])
                .next()
                .unwrap()
                .split_whitespace()
                .skip(1)
                .collect();
            let Some(command) = words
                .iter()
                .enumerate()
                .find(|(i, w)| !w.starts_with('-') && (*i == 0 || words[i - 1] != "--kennel"))
                .map(|(_, w)| *w)
            else {
                continue;
            };
            // Running prose may say "litterfolio turns a folder …".
            if !line[..at].ends_with(['`', ' ', '$'])
                || !text.contains(&format!("litterfolio {command}"))
                || !general.contains(&format!("  {command} "))
            {
                continue;
            }
            seen += 1;
            let own = help(&[command]);
            for option in words.iter().filter(|w| w.starts_with("--")) {
                assert!(own.contains(option), "{line}: {command} has no {option}");
            }
        }
    }
    assert!(seen >= 3, "the guides show {seen} commands");
}

/// The numbers by which slips of the pen are told come with the sheet's data, out of
/// `husbandry::slips`. What the script may hold are places in a list, pairs and middles, and the
/// base of digits.
#[test]
fn the_script_that_tells_slips_has_no_number_of_the_model() {
    let file = "templates/keeper/weighing-slips.mjs";
    let text = fs::read_to_string(root().join(file)).unwrap();
    let is_code = |line: &&str| {
        !["//", "/*"]
            .iter()
            .any(|mark| line.trim().starts_with(mark))
    };
    let mut seen = 0;
    for line in text.lines().filter(is_code) {
        for word in line.split(|c: char| !(c.is_alphanumeric() || matches!(c, '_' | '$' | '.'))) {
            let word = word.trim_start_matches('.');
            if word.starts_with(|c: char| c.is_ascii_digit()) {
                assert!(
                    ["0", "1", "2", "10"].contains(&word),
                    "{file}: {word} in `{line}`"
                );
                seen += 1;
            }
        }
    }
    assert!(seen > 50, "{file} is not read");
}

#[test]
fn no_path_of_a_machine_stands_in_the_tree() {
    for entry in WalkDir::new(root()).into_iter().filter_entry(|e| {
        ![
            "target",
            ".git",
            "node_modules",
            "public",
            "private",
            ".litterfolio",
        ]
        .iter()
        .any(|n| e.file_name() == *n)
    }) {
        let entry = entry.unwrap();
        let text = entry.path().extension().is_some_and(|x| {
            [
                "rs", "md", "toml", "html", "css", "js", "mjs", "py", "yaml", "txt", "json",
            ]
            .iter()
            .any(|e| x == *e)
        });
        if entry.file_type().is_file() && text && !is_this_test(entry.path()) {
            let text = fs::read_to_string(entry.path()).unwrap();
            for word in ["/work/", "/root/", "/home/"] {
                assert!(
                    !text.contains(word),
                    "{} holds {word}",
                    entry.path().display()
                );
            }
        }
    }
}

fn is_this_test(path: &Path) -> bool {
    path.ends_with("tests/house.rs")
}
