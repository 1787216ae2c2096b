//! Shared by the tests of the records: kennels made for one test, and the program run on them.
//!
//! In: case files, texts and bytes. Out: a kennel folder of its own for each test, what the program
//! said and how it ended, and the bytes of whole folders. Nothing here touches the demo kennel or
//! anything else outside the folder of its own.

#![allow(
    dead_code,
    reason = "some of these are for a test that is being written"
)]

pub mod desk;
pub mod dice;
pub mod files;
pub mod filled;
pub mod forms;
pub mod html;

use chrono::{DateTime, Utc};
use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};
use std::sync::OnceLock;
use tempfile::TempDir;

/// The small valid kennel that most tests begin with.
pub const BASE: &str = include_str!("../cases/base.txt");

/// A time after everything in the base kennel; the base pins today with `as_of` as well.
pub fn now() -> DateTime<Utc> {
    "2026-10-09T12:00:00Z".parse().unwrap()
}

/// One part of a case file: a file of the kennel and what to do with it.
#[derive(Debug, Clone)]
pub struct Section {
    /// Path below the content folder.
    pub path: String,
    /// The text, with its marks for hidden characters replaced.
    pub text: String,
    /// `(absent)`: the file of the base kennel is left out.
    pub absent: bool,
    /// `(folder)`: an empty folder.
    pub folder: bool,
}

impl Section {
    /// Reads the sections of a case file; what stands above the first is for people.
    ///
    /// The head line is `=== path` or `=== path (word, word)` with the words `absent`, `folder`,
    /// `crlf` and `bom`. In the text `{U+202E}` stands for that character, so that hidden ones
    /// can be seen in the case file.
    pub fn all(case: &str) -> Vec<Self> {
        let mut sections: Vec<(Self, bool, bool)> = Vec::new();
        for line in case.split_inclusive('\n') {
            if let Some(head) = line.strip_prefix("=== ") {
                let (path, words) = match head
                    .trim_end()
                    .strip_suffix(')')
                    .and_then(|h| h.rsplit_once(" ("))
                {
                    Some((path, words)) => (path, words.split(", ").collect()),
                    None => (head.trim_end(), Vec::new()),
                };
                assert!(
                    words
                        .iter()
                        .all(|w| ["absent", "folder", "crlf", "bom"].contains(w)),
                    "strange words in `{line}`"
                );
                let has = |word: &str| words.contains(&word);
                let section = Self {
                    path: shown_characters(path),
                    text: String::new(),
                    absent: has("absent"),
                    folder: has("folder"),
                };
                sections.push((section, has("crlf"), has("bom")));
            } else if let Some((section, ..)) = sections.last_mut() {
                section.text.push_str(line);
            } else {
                assert!(
                    line.starts_with("//") || line.trim().is_empty(),
                    "before the first section only `//` lines may stand: {line}"
                );
            }
        }
        let finished = sections.into_iter().map(|(section, crlf, bom)| {
            let text = shown_characters(&section.text);
            let text = if crlf {
                text.replace('\n', "\r\n")
            } else {
                text
            };
            let text = if bom { format!("\u{feff}{text}") } else { text };
            Self { text, ..section }
        });
        finished.collect()
    }
}

/// Puts the characters in place of their marks `{U+202E}`.
fn shown_characters(text: &str) -> String {
    let mut out = String::new();
    let mut rest = text;
    while let Some((before, after)) = rest.split_once("{U+") {
        let (hex, after) = after.split_once('}').unwrap();
        out.push_str(before);
        out.push(
            u32::from_str_radix(hex, 16)
                .ok()
                .and_then(char::from_u32)
                .unwrap(),
        );
        rest = after;
    }
    out + rest
}

/// A kennel that many tests begin with: made once, and laid out anew for each of them.
pub struct Beginning(OnceLock<Vec<(String, Vec<u8>, fs::Permissions)>>);

impl Beginning {
    /// Nothing is made yet.
    pub const fn new() -> Self {
        Self(OnceLock::new())
    }

    /// A copy of what `make` makes, when it is asked for the first time.
    pub fn kennel(&self, make: impl FnOnce() -> Kennel) -> Kennel {
        let files = self.0.get_or_init(|| {
            let kennel = make();
            let rights = |file: &str| fs::metadata(kennel.at(file)).unwrap().permissions();
            tree(kennel.path())
                .into_iter()
                .map(|(file, bytes)| (file.clone(), bytes, rights(&file)))
                .collect()
        });
        let kennel = Kennel::empty();
        for (file, bytes, rights) in files {
            let path = kennel.at(file);
            fs::create_dir_all(path.parent().unwrap()).unwrap();
            fs::write(&path, bytes).unwrap();
            fs::set_permissions(&path, rights.clone()).unwrap();
        }
        kennel
    }
}

/// A kennel folder that is gone when the test ends.
pub struct Kennel {
    home: TempDir,
}

impl Kennel {
    /// A folder with an empty `content/`.
    pub fn empty() -> Self {
        let home = tempfile::Builder::new()
            .prefix("kennel-")
            .tempdir()
            .unwrap();
        fs::create_dir(home.path().join("content")).unwrap();
        Self { home }
    }

    /// The base kennel.
    pub fn base() -> Self {
        let kennel = Self::empty();
        kennel.lay(&Section::all(BASE));
        kennel
    }

    /// The base kennel, published.
    pub fn published() -> Self {
        static PUBLISHED: Beginning = Beginning::new();
        PUBLISHED.kennel(|| {
            let kennel = Self::base();
            kennel.run(&["publish"]).ends_with(0);
            kennel
        })
    }

    /// The demo kennel with its pictures, published.
    pub fn published_demo() -> Self {
        static PUBLISHED: Beginning = Beginning::new();
        PUBLISHED.kennel(|| {
            let kennel = Self::empty();
            for (file, bytes) in tree(&Path::new(env!("CARGO_MANIFEST_DIR")).join("content")) {
                kennel.write_bytes(&file, &bytes);
            }
            kennel.run(&["publish"]).ends_with(0);
            kennel
        })
    }

    /// A copy of the demo kennel's records; its pictures are there by name only, which is all that
    /// reading the records looks at.
    pub fn demo_records() -> Self {
        let kennel = Self::empty();
        for (file, bytes) in tree(&Path::new(env!("CARGO_MANIFEST_DIR")).join("content")) {
            let is_record = file.ends_with(".yaml") || file.ends_with(".md");
            kennel.write_bytes(&file, if is_record { &bytes } else { b"" });
        }
        kennel
    }

    /// Breaks a template, so that a desk makes no pages and a change is all that it does.
    pub fn without_pages(&self) {
        let template = self.at("templates/visitor/footer.html");
        fs::create_dir_all(template.parent().unwrap()).unwrap();
        fs::write(template, "{% if %}").unwrap();
    }

    /// The record files below the content folder.
    pub fn files(&self) -> Vec<(String, Vec<u8>)> {
        tree(&self.content())
            .into_iter()
            .filter(|(file, _)| file.ends_with(".yaml") || file.ends_with(".md"))
            .collect()
    }

    /// Adds, replaces or leaves out files.
    pub fn lay(&self, sections: &[Section]) {
        for section in sections {
            if section.absent {
                fs::remove_file(self.content().join(&section.path)).unwrap();
            } else if section.folder {
                fs::create_dir_all(self.content().join(&section.path)).unwrap();
            } else {
                self.write(&section.path, &section.text);
            }
        }
    }

    /// The kennel's folder.
    pub fn path(&self) -> &Path {
        self.home.path()
    }

    /// Something in the kennel's folder.
    pub fn at(&self, name: &str) -> PathBuf {
        self.path().join(name)
    }

    /// The content folder.
    pub fn content(&self) -> PathBuf {
        self.at("content")
    }

    /// Writes a text below the content folder.
    pub fn write(&self, file: &str, text: &str) {
        self.write_bytes(file, text.as_bytes());
    }

    /// Writes bytes below the content folder.
    pub fn write_bytes(&self, file: &str, bytes: &[u8]) {
        let path = self.content().join(file);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(path, bytes).unwrap();
    }

    /// Reads a text below the content folder.
    pub fn text(&self, file: &str) -> String {
        fs::read_to_string(self.content().join(file)).unwrap()
    }

    /// Replaces a part of a record that must be there exactly once.
    pub fn change(&self, file: &str, from: &str, to: &str) {
        let text = self.text(file);
        assert_eq!(text.matches(from).count(), 1, "`{from}` in {file}");
        self.write(file, &text.replace(from, to));
    }

    /// Runs the program in this kennel.
    pub fn run(&self, arguments: &[&str]) -> Ran {
        Ran::of(
            Command::new(program())
                .arg("--kennel")
                .arg(self.path())
                .args(arguments),
        )
    }

    /// `public/` and `private/` with all bytes.
    pub fn site(&self) -> BTreeMap<String, Vec<u8>> {
        let mut site = BTreeMap::new();
        for name in ["public", "private"] {
            site.extend(
                tree(&self.at(name))
                    .into_iter()
                    .map(|(file, bytes)| (format!("{name}/{file}"), bytes)),
            );
        }
        site
    }

    /// What can be read in `public/`, file by file: not what is sealed, among whose letters any
    /// short word may come up by chance.
    pub fn readable(&self) -> BTreeMap<String, String> {
        let public = tree(&self.at("public")).into_iter();
        public
            .map(|(file, bytes)| {
                let text = String::from_utf8_lossy(&bytes).into_owned();
                let sealed = text.split_once(SEALED.0).and_then(|(before, rest)| {
                    let (_, after) = rest.split_once(SEALED.1)?;
                    Some(format!("{before}{after}"))
                });
                assert!(
                    sealed.is_some() || !file.starts_with("sealed/"),
                    "nothing sealed is found in {file}"
                );
                (file, sealed.unwrap_or(text))
            })
            .collect()
    }
}

/// Between what the sealed text of a page stands.
pub const SEALED: (&str, &str) = (
    "<script type=\"application/jose\" id=\"sealed\">",
    "</script>",
);

/// The program under test: the one just built, or another that the environment names, such as the
/// one for Windows (`tests/packages/windows-suite`).
pub fn program() -> &'static Path {
    static PROGRAM: OnceLock<PathBuf> = OnceLock::new();
    PROGRAM.get_or_init(|| match std::env::var_os("LITTERFOLIO_PROGRAM") {
        Some(named) => named.into(),
        None => env!("CARGO_BIN_EXE_litterfolio").into(),
    })
}

/// Whether that is the one for Windows, run by wine.
pub fn is_for_windows() -> bool {
    program().ends_with("litterfolio-for-windows")
}

/// Takes the lock on a file as another run of the program does. The one for Windows takes a lock
/// that wine keeps as a record lock (`fcntl`), every other one that of the whole file (`flock`).
/// A record lock ends with the process or when it closes the file.
pub fn lock(file: &fs::File) {
    #[cfg(unix)]
    if is_for_windows() {
        rustix::fs::fcntl_lock(file, rustix::fs::FlockOperation::NonBlockingLockExclusive).unwrap();
    }
    fs4::FileExt::lock(file).unwrap();
}

/// A path as the program under test shows it, and as its user types it.
pub fn typed(path: &Path) -> String {
    let path = path.to_str().unwrap();
    if is_for_windows() {
        format!("Z:{}", path.replace('/', "\\"))
    } else {
        path.to_owned()
    }
}

/// What the program said, with the paths in it as they are written here. What is meant for programs
/// (JSON, the manual) has them so on every system.
pub fn said(bytes: Vec<u8>) -> String {
    let text = String::from_utf8(bytes).unwrap();
    if is_for_windows() && !text.starts_with(['{', '[', '.']) {
        let text = text.replace('\\', "/").replace("\r\n", "\n");
        text.replace("Z:/", "/")
    } else {
        text
    }
}

/// What the program said and how it ended.
#[derive(Debug)]
pub struct Ran {
    /// The exit code; nothing when a signal ended it.
    pub code: Option<i32>,
    /// Standard output.
    pub out: String,
    /// Standard error.
    pub err: String,
}

impl Ran {
    /// Runs a command to its end. Whatever happened, it was not a panic.
    pub fn of(command: &mut Command) -> Self {
        let Output {
            status,
            stdout,
            stderr,
        } = loop {
            match command.output() {
                Ok(output) => break output,
                // Another test's child, forked at this moment, still holds a program open that was
                // just copied.
                Err(error) if error.kind() == std::io::ErrorKind::ExecutableFileBusy => {
                    std::thread::sleep(std::time::Duration::from_millis(20))
                }
                Err(error) => panic!("{error}"),
            }
        };
        let ran = Self {
            code: status.code(),
            out: said(stdout),
            err: said(stderr),
        };
        assert!(
            !ran.err.contains("panicked") && !ran.out.contains("panicked"),
            "{ran:#?}"
        );
        ran
    }

    /// The exit code is this one.
    #[track_caller]
    pub fn ends_with(&self, code: i32) -> &Self {
        assert_eq!(self.code, Some(code), "{self:#?}");
        self
    }

    /// All of these words stand on standard error.
    #[track_caller]
    pub fn says(&self, words: &[&str]) -> &Self {
        // Long lines are wrapped for the terminal; a phrase is still the same phrase.
        let err = self.err.split_whitespace().collect::<Vec<_>>().join(" ");
        for word in words {
            assert!(err.contains(word), "`{word}` is not said:\n{}", self.err);
        }
        self
    }

    /// The problems of `inspect --json`: code, severity and file.
    #[track_caller]
    pub fn problems(&self) -> Vec<(String, String, String)> {
        let json: serde_json::Value = serde_json::from_str(&self.out).unwrap();
        let text = |value: &serde_json::Value| value.as_str().unwrap().to_owned();
        json["problems"]
            .as_array()
            .unwrap()
            .iter()
            .map(|p| (text(&p["code"]), text(&p["severity"]), text(&p["file"])))
            .collect()
    }
}

/// Every file below a folder with its bytes, by its path with `/`; empty when there is no such
/// folder.
pub fn tree(folder: &Path) -> BTreeMap<String, Vec<u8>> {
    fn add(folder: &Path, below: &str, files: &mut BTreeMap<String, Vec<u8>>) {
        for entry in fs::read_dir(folder).unwrap().map(Result::unwrap) {
            let name = format!("{below}{}", entry.file_name().to_string_lossy());
            if entry.file_type().unwrap().is_dir() {
                add(&entry.path(), &format!("{name}/"), files);
            } else {
                files.insert(name, fs::read(entry.path()).unwrap());
            }
        }
    }
    let mut files = BTreeMap::new();
    if folder.is_dir() {
        add(folder, "", &mut files);
    }
    files
}
