//! The house stays as it was built: imports point one way, files are small and say what they do, and every path and command that is documented exists.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::{fs, process::Command};
use walkdir::WalkDir;

/// The floors, top first: a module may use those below it only.
const FLOORS: &[&str] =
    &["commands", "preview", "pages", "audience", "husbandry", "records", "photos", "keyring", "output", "sealing", "quantity", "error"];

fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

fn sources() -> BTreeMap<String, String> {
    let src = root().join("src");
    let files = WalkDir::new(&src).into_iter().map(Result::unwrap).filter(|e| e.path().extension().is_some_and(|x| x == "rs"));
    files.map(|e| (e.path().strip_prefix(&src).unwrap().to_string_lossy().replace('\\', "/"), fs::read_to_string(e.path()).unwrap())).collect()
}

#[test]
fn imports_point_down_the_house() {
    let floor = |name: &str| FLOORS.iter().position(|f| *f == name);
    for (file, text) in sources() {
        // `error.rs` names what can stop a run on any floor, and holds nothing else.
        let Some(own) = floor(file.split(['/', '.']).next().unwrap()).filter(|_| file != "error.rs") else { continue };
        for line in text.lines().map(str::trim).filter(|l| !l.starts_with("//")) {
            for (at, _) in line.match_indices("crate::") {
                let name: String = line[at + 7..].chars().take_while(|c| c.is_ascii_lowercase() || *c == '_').collect();
                if let Some(used) = floor(&name) {
                    // Errors of the run are named on every floor that can stop it.
                    assert!(used >= own || name == "error", "{file} reaches up to {name}: {line}");
                }
                if line[at + 7..].starts_with('{') {
                    for part in line[at + 8..].split([',', '}', ' ', ':']) {
                        assert!(floor(part).is_none_or(|used| used >= own), "{file} reaches up to {part}: {line}");
                    }
                }
            }
        }
    }
}

#[test]
fn every_file_says_what_it_does_and_is_small() {
    for (file, text) in sources() {
        let header = text.lines().take_while(|l| l.starts_with("//!")).count();
        assert!((1..=60).contains(&header), "{file} opens with {header} lines that say what it does");
        let code = text.split("#[cfg(test)]\nmod ").next().unwrap().lines().count();
        assert!(code <= 600 || file.ends_with("tests.rs"), "{file} has {code} lines");
    }
}

#[test]
fn only_the_writer_writes_and_only_the_terminal_asks() {
    let allowed = |file: &str| file.starts_with("output/") || file == "commands/terminal.rs" || file == "commands/begin.rs";
    for (file, text) in sources() {
        let code = text.split("#[cfg(test)]").next().unwrap();
        for word in ["fs::write(", "File::create", "SystemTime::now", "Utc::now", "env::var"] {
            assert!(allowed(&file) || file.ends_with("tests.rs") || !code.contains(word), "{file} uses {word}");
        }
    }
}

#[test]
fn every_path_named_in_the_guides_exists() {
    for guide in ["README.md", "DEVELOPERS.md"] {
        let text = fs::read_to_string(root().join(guide)).unwrap();
        for word in text
            .split(['`', '(', ')'])
            .filter(|w| !w.contains([' ', '\n', '<', '*', '|']) && w.contains('/') && !w.contains("://") && !w.starts_with("mailto"))
        {
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
    let text = fs::read_to_string(root().join("README.md")).unwrap() + &fs::read_to_string(root().join("docs/records.md")).unwrap();
    let help =
        |args: &[&str]| String::from_utf8(Command::new(env!("CARGO_BIN_EXE_litterfolio")).args(args).arg("--help").output().unwrap().stdout).unwrap();
    let general = help(&[]);
    let mut seen = 0;
    for line in text.lines() {
        for (at, _) in line.match_indices("litterfolio ") {
            let words: Vec<&str> = line[at..].split(['`', '#']).next().unwrap().split_whitespace().skip(1).collect();
            let Some(command) =
                words.iter().enumerate().find(|(i, w)| !w.starts_with('-') && (*i == 0 || words[i - 1] != "--kennel")).map(|(_, w)| *w)
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

#[test]
fn no_path_of_a_machine_stands_in_the_tree() {
    for entry in WalkDir::new(root())
        .into_iter()
        .filter_entry(|e| !["target", ".git", "node_modules", "public", "private", ".litterfolio"].iter().any(|n| e.file_name() == *n))
    {
        let entry = entry.unwrap();
        let text = entry
            .path()
            .extension()
            .is_some_and(|x| ["rs", "md", "toml", "html", "css", "js", "mjs", "py", "yaml", "txt", "json"].iter().any(|e| x == *e));
        if entry.file_type().is_file() && text && !is_this_test(entry.path()) {
            let text = fs::read_to_string(entry.path()).unwrap();
            for word in ["/work/", "/root/", "/home/"] {
                assert!(!text.contains(word), "{} holds {word}", entry.path().display());
            }
        }
    }
}

fn is_this_test(path: &Path) -> bool {
    path.ends_with("tests/house.rs")
}
