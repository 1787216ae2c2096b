//! Reads one file of the content folder.
//!
//! In: a path and which record it is. Out: a [`FileRead`]: its text, its print, its record as far as it can be read, and every problem in it. A text that an earlier run took apart without a
//! problem is not taken apart again.

use super::known::{self, Kept, Known};
use super::note::{Note, NoteHead, Page, PageHead};
use super::print::Print;
use super::problem::{Place, Problem};
use super::source::Source;
use super::{WeighIn, care_plan, dog, health, kennel, litter, owners, reading, weights};
use crate::output::Bytes;
use crate::quantity::{Id, Text};
use schemars::JsonSchema;
use serde::de::DeserializeOwned;
use std::collections::BTreeMap;
use std::fs::File;
use std::io::{self, Read};
use std::mem;
use std::ops::Range;
use std::path::{Path, PathBuf};

/// The largest record file that is read: some 60,000 weigh-ins.
pub(super) const LARGEST_RECORD: u64 = 8 * 1024 * 1024;

/// Which record a path is.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Kind {
    Kennel,
    CarePlan,
    Owners,
    Dog(Id),
    Litter(Id),
    Weights(Id),
    Health(Id),
    Note(Id, Id),
    Page(Id),
}

impl Kind {
    /// The litter whose own file it is. Its `litter.yaml` is not: a dam's litters count for each other.
    fn of_litter_alone(&self) -> Option<&Id> {
        match self {
            Self::Weights(litter) | Self::Health(litter) | Self::Note(litter, _) => Some(litter),
            Self::Kennel | Self::CarePlan | Self::Owners | Self::Dog(_) | Self::Litter(_) | Self::Page(_) => None,
        }
    }
}

/// The content of a record file.
pub(super) enum Content {
    Kennel(Option<kennel::Kennel>),
    CarePlan(Option<care_plan::CarePlan>),
    Owners(Option<owners::Owners>),
    Dog(Id, Option<dog::Dog>),
    Litter(Id, Option<litter::Litter>),
    Weights(Id, Vec<WeighIn>),
    Health(Id, Vec<health::Entry>),
    Note(Id, Option<Note>),
    Page(Option<Page>),
}

/// One file, read.
pub(super) struct FileRead {
    pub(super) file: String,
    /// The litter whose own file it is.
    pub(super) of: Option<Id>,
    pub(super) print: Option<Print>,
    pub(super) source: Option<Source>,
    pub(super) content: Option<Content>,
    /// What is to be known of it the next time.
    pub(super) kept: Option<Kept>,
    pub(super) problems: Vec<Problem>,
}

impl FileRead {
    /// Reads the file at a path; or as if it had another text.
    pub(super) fn new((file, path, kind): (String, PathBuf, Kind), instead: &BTreeMap<String, String>, known: &Known) -> Self {
        let of = kind.of_litter_alone().cloned();
        let mut read = Self { file, of, print: None, source: None, content: None, kept: None, problems: Vec::new() };
        let other = instead.get(&read.file).map(|text| (Print::of(text.as_bytes()), text.trim_start_matches('\u{feff}').to_owned()));
        let Some((print, text)) = other.or_else(|| read_text(&read.file, &path, &mut read.problems)) else { return read };
        read.print = Some(print);
        let yaml = if matches!(kind, Kind::Note(..) | Kind::Page(_)) { head_of(&read.file, &text, &mut read.problems) } else { Some(0..text.len()) };
        if let Some(yaml) = &yaml {
            let mut reader = Reader {
                file: &read.file,
                text: &text,
                yaml: yaml.clone(),
                before: known.of(print),
                kept: None,
                problems: mem::take(&mut read.problems),
            };
            let content = reader.content(kind);
            let Reader { kept, problems, .. } = reader;
            (read.content, read.kept, read.problems) = (Some(content), kept.filter(|_| problems.is_empty()), problems);
        }
        read.source = Some(Source { text: text.into(), yaml: yaml.unwrap_or(0..0) });
        read
    }
}

/// Reads the text of one file.
struct Reader<'a> {
    file: &'a str,
    text: &'a str,
    yaml: Range<usize>,
    /// What is known of this very text.
    before: Option<&'a Kept>,
    kept: Option<Kept>,
    problems: Vec<Problem>,
}

impl Reader<'_> {
    fn content(&mut self, kind: Kind) -> Content {
        if matches!(kind, Kind::Note(..) | Kind::Page(_)) {
            hidden_in(self.file, self.text, self.yaml.end, &mut self.problems);
        }
        match kind {
            Kind::Kennel => Content::Kennel(self.record()),
            Kind::CarePlan => Content::CarePlan(self.record()),
            Kind::Owners => Content::Owners(self.record()),
            Kind::Dog(id) => Content::Dog(id, self.record()),
            Kind::Litter(id) => Content::Litter(id, self.known_record()),
            Kind::Weights(id) => Content::Weights(id, self.weigh_ins()),
            Kind::Health(id) => Content::Health(id, self.known_record().unwrap_or_default()),
            Kind::Note(litter, slug) => {
                let head: Option<NoteHead> = self.known_record();
                Content::Note(litter, head.map(|head| Note { slug, head, text: self.below() }))
            }
            Kind::Page(slug) => {
                let head: Option<PageHead> = self.record();
                Content::Page(head.map(|head| Page { slug, head, text: self.below() }))
            }
        }
    }

    fn record<T: DeserializeOwned + JsonSchema>(&mut self) -> Option<T> {
        reading::read(self.file, self.text, self.yaml.clone(), &mut self.problems)
    }

    /// A record of which there are many: taken apart once, and kept so when it can be read the same from what is kept.
    fn known_record<T: DeserializeOwned + JsonSchema + PartialEq>(&mut self) -> Option<T> {
        if let Some(Kept::Tree(tree)) = self.before
            && let Some(record) = tree.value().and_then(reading::read_plain)
        {
            self.kept = self.before.cloned();
            return Some(record);
        }
        let record = self.record::<T>()?;
        let tree = reading::plain(&self.text[self.yaml.clone()]).and_then(|tree| Bytes::of(&tree));
        self.kept = tree.filter(|tree| tree.value().and_then(reading::read_plain::<T>).as_ref() == Some(&record)).map(Kept::Tree);
        Some(record)
    }

    fn weigh_ins(&mut self) -> Vec<WeighIn> {
        if let Some(Kept::WeighIns(list)) = self.before
            && let Some(weigh_ins) = known::from_plain(list)
        {
            self.kept = self.before.cloned();
            return weigh_ins;
        }
        let blocks: Vec<weights::Block> = self.record().unwrap_or_default();
        // Places are counted in the file; after a block was left out as unreadable they would shift, and so are not claimed.
        let exact = self.problems.is_empty();
        let weigh_ins = weights::resolve(self.file, blocks, exact, &mut self.problems).0;
        self.kept = known::to_plain(&weigh_ins).map(Kept::WeighIns);
        weigh_ins
    }

    /// What stands below the head.
    fn below(&self) -> String {
        self.text[self.yaml.end..].split_once('\n').map_or("", |(_, below)| below).to_owned()
    }
}

/// The text of a file, and the print of its bytes.
fn read_text(file: &str, path: &Path, problems: &mut Vec<Problem>) -> Option<(Print, String)> {
    let mut refuse = |code, message: String, hint: &str| {
        problems.push(Problem::error(code, Place::file(file), message, hint));
        None
    };
    let bytes = match whole(path) {
        Ok(Ok(bytes)) => bytes,
        Ok(Err(length)) => {
            return refuse(
                "file-too-large",
                format!("this file has {} MB", length / 1_000_000),
                "a record file has at most 8 MB: is this the right file?",
            );
        }
        Err(error) => return refuse("file-unreadable", format!("this file cannot be read: {error}"), "look at its permissions"),
    };
    let print = Print::of(&bytes);
    match String::from_utf8(bytes) {
        Ok(text) => Some((print, text.strip_prefix('\u{feff}').map(str::to_owned).unwrap_or(text))),
        Err(error) => {
            problems.push(not_utf_8(file, error.as_bytes(), error.utf8_error().valid_up_to()));
            None
        }
    }
}

/// All bytes of a file, or its length when it is too large to be read.
fn whole(path: &Path) -> io::Result<Result<Vec<u8>, u64>> {
    let file = File::open(path)?;
    let length = file.metadata()?.len();
    if length > LARGEST_RECORD {
        return Ok(Err(length));
    }
    let mut bytes = Vec::with_capacity(usize::try_from(length).unwrap_or_default() + 1);
    // It may grow while it is read.
    file.take(LARGEST_RECORD).read_to_end(&mut bytes)?;
    Ok(Ok(bytes))
}

/// That a file is no text; `good` bytes of it are.
pub(super) fn not_utf_8(file: &str, bytes: &[u8], good: usize) -> Problem {
    let line = bytes[..good].iter().filter(|b| **b == b'\n').count() + 1;
    let message = format!("line {line} holds a character that is not UTF-8");
    Problem::error("not-utf-8", Place::file(file), message, "save the file as UTF-8 in your editor")
}

/// The bytes of the YAML between the two `---` lines at the top of a Markdown file.
fn head_of(file: &str, text: &str, problems: &mut Vec<Problem>) -> Option<Range<usize>> {
    let hint = "begin the file with a line `---`, then date and title, then another line `---`";
    let mut lines = text.split_inclusive('\n');
    let Some(first) = lines.next().filter(|line| line.trim_end() == "---") else {
        problems.push(Problem::error("head-missing", Place::bytes(file, 0..text.find('\n').unwrap_or(text.len())), "this file has no head", hint));
        return None;
    };
    let start = first.len();
    let mut end = start;
    for line in lines {
        if line.trim_end() == "---" {
            return Some(start..end);
        }
        end += line.len();
    }
    problems.push(Problem::error("head-missing", Place::bytes(file, 0..3), "the head of this file does not end", hint));
    None
}

/// Points out characters of a text that cannot be seen: what stands below a head is published as well. Only the first few, since a file may be full of them.
fn hidden_in(file: &str, text: &str, from: usize, problems: &mut Vec<Problem>) {
    for (at, c) in text[from..].char_indices().filter(|(_, c)| Text::forbids(*c)).take(10) {
        let place = Place::bytes(file, from + at..from + at + c.len_utf8());
        let message = format!("a character that cannot be seen stands in the text (U+{:04X})", u32::from(c));
        problems.push(Problem::error("control-character", place, message, "delete the word and type it again"));
    }
}
