//! Reads one file of the content folder.
//!
//! In: a path and which record it is. Out: a [`FileRead`]: its text, its print, its record as far as it can be read, and every problem in it. A text that an earlier run took apart without a
//! problem is not taken apart again.

use super::known::{self, Kept, Known};
use super::note::{Note, NoteHead, Page, PageHead};
use super::print::Print;
use super::problem::{Place, Problem};
use super::source::{Later, Read, Source};
use super::{WeighIn, care_plan, dog, health, kennel, litter, owners, reading, weights};
use crate::output::Bytes;
use crate::quantity::{Id, Text};
use schemars::JsonSchema;
use serde::de::DeserializeOwned;
use std::collections::BTreeMap;
use std::fs::File;
use std::io::{self, Read as _};
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

/// A file that is to be read.
pub(super) struct ToRead {
    pub(super) file: String,
    pub(super) path: PathBuf,
    /// The print of its bytes, where that is known without reading them.
    pub(super) print: Option<Print>,
    pub(super) kind: Kind,
}

/// One file, read.
pub(super) struct FileRead {
    pub(super) file: String,
    /// The litter whose own file it is.
    pub(super) of: Option<Id>,
    pub(super) print: Option<Print>,
    pub(super) source: Option<Read>,
    pub(super) content: Option<Content>,
    /// What is to be known of it the next time.
    pub(super) kept: Option<Kept>,
    pub(super) problems: Vec<Problem>,
}

impl FileRead {
    /// Reads a file; or as if it had another text. One that holds what is known is not even opened.
    pub(super) fn new(ToRead { file, path, print, kind }: ToRead, instead: &BTreeMap<String, String>, known: &Known) -> Self {
        let of = kind.of_litter_alone().cloned();
        let mut read = Self { file, of, print: None, source: None, content: None, kept: None, problems: Vec::new() };
        let other = instead.get(&read.file).map(|text| (Print::of(text.as_bytes()), text.trim_start_matches('\u{feff}').to_owned()));
        if let (None, Some(print)) = (&other, print)
            && let Some((kept, content)) = known_in(known, print, &kind)
        {
            let source = Some(Read::Later(Later::new(path, print)));
            return Self { print: Some(print), source, content: Some(content), kept: Some(kept), ..read };
        }
        let Some((print, text)) = other.or_else(|| read_text(&read.file, &path, &mut read.problems)) else {
            // The file is there, whatever is in it.
            read.content = unreadable(kind);
            return read;
        };
        read.print = Some(print);
        let yaml = yaml_in(&read.file, &text, &mut read.problems);
        if let Some((kept, content)) = known_in(known, print, &kind) {
            (read.content, read.kept) = (Some(content), Some(kept));
        } else if let Some(yaml) = &yaml {
            let mut reader = Reader { file: &read.file, text: &text, yaml: yaml.clone(), kept: None, problems: mem::take(&mut read.problems) };
            let content = reader.content(kind);
            let Reader { kept, problems, .. } = reader;
            (read.content, read.kept, read.problems) = (Some(content), kept.filter(|_| problems.is_empty()), problems);
        }
        read.source = Some(Read::Now(Source { text: text.into(), yaml: yaml.unwrap_or(0..0) }));
        read
    }
}

/// What is known of a record whose text cannot be read: that it is there.
fn unreadable(kind: Kind) -> Option<Content> {
    match kind {
        Kind::Litter(id) => Some(Content::Litter(id, None)),
        Kind::Dog(id) => Some(Content::Dog(id, None)),
        _ => None,
    }
}

/// The text of a file that was known; nothing when it is another by now.
pub(super) fn source_of(file: &str, path: &Path, print: Print) -> Option<Source> {
    let (read, text) = read_text(file, path, &mut Vec::new())?;
    let yaml = yaml_in(file, &text, &mut Vec::new())?;
    (read == print).then(|| Source { text: text.into(), yaml })
}

/// The bytes of the YAML in a text: all of a record, the head of a Markdown file.
pub(super) fn yaml_in(file: &str, text: &str, problems: &mut Vec<Problem>) -> Option<Range<usize>> {
    if file.ends_with(".md") { head_of(file, text, problems) } else { Some(0..text.len()) }
}

/// What is known of a text, and what is in it.
fn known_in(known: &Known, text: Print, kind: &Kind) -> Option<(Kept, Content)> {
    let kept = known.of(text)?;
    Some((kept.clone(), from_kept(kind, kept)?))
}

/// What is in a file of which this was kept; nothing where it is not as expected.
fn from_kept(kind: &Kind, kept: &Kept) -> Option<Content> {
    fn record<T: DeserializeOwned>(kept: &Kept) -> Option<(T, &str)> {
        let Kept::Tree(bytes) = kept else { return None };
        let (nodes, below): (Vec<reading::Content<'_>>, &str) = bytes.value()?;
        Some((reading::read_plain(nodes)?, below))
    }
    Some(match kind {
        Kind::Dog(id) => Content::Dog(id.clone(), Some(record(kept)?.0)),
        Kind::Litter(id) => Content::Litter(id.clone(), Some(record(kept)?.0)),
        Kind::Health(id) => Content::Health(id.clone(), record(kept)?.0),
        Kind::Note(litter, slug) => {
            let (head, below) = record(kept)?;
            Content::Note(litter.clone(), Some(Note { slug: slug.clone(), head, text: below.to_owned() }))
        }
        Kind::Weights(id) => {
            let Kept::WeighIns(list) = kept else { return None };
            Content::Weights(id.clone(), known::from_plain(list)?)
        }
        Kind::Kennel | Kind::CarePlan | Kind::Owners | Kind::Page(_) => return None,
    })
}

/// Reads the text of one file.
struct Reader<'a> {
    file: &'a str,
    text: &'a str,
    yaml: Range<usize>,
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
            Kind::Dog(id) => Content::Dog(id, self.kept_record("")),
            Kind::Litter(id) => Content::Litter(id, self.kept_record("")),
            Kind::Weights(id) => Content::Weights(id, self.weigh_ins()),
            Kind::Health(id) => Content::Health(id, self.kept_record("").unwrap_or_default()),
            Kind::Note(litter, slug) => {
                let below = self.below();
                let head: Option<NoteHead> = self.kept_record(below);
                Content::Note(litter, head.map(|head| Note { slug, head, text: below.to_owned() }))
            }
            Kind::Page(slug) => {
                let head: Option<PageHead> = self.record();
                Content::Page(head.map(|head| Page { slug, head, text: self.below().to_owned() }))
            }
        }
    }

    fn record<T: DeserializeOwned + JsonSchema>(&mut self) -> Option<T> {
        reading::read(self.file, self.text, self.yaml.clone(), &mut self.problems)
    }

    /// A record of which there are many: taken apart once, and kept so with what stands below it.
    fn kept_record<T: DeserializeOwned + JsonSchema>(&mut self, below: &str) -> Option<T> {
        if let Some((record, tree)) = reading::read_tree(&self.text[self.yaml.clone()]) {
            self.kept = reading::plain(&tree).and_then(|tree| Bytes::of(&(tree, below))).map(Kept::Tree);
            return Some(record);
        }
        self.record()
    }

    fn weigh_ins(&mut self) -> Vec<WeighIn> {
        let blocks: Vec<weights::Block> = self.record().unwrap_or_default();
        // Places are counted in the file; after a block was left out as unreadable they would shift, and so are not claimed.
        let exact = self.problems.is_empty();
        let weigh_ins = weights::resolve(self.file, blocks, exact, &mut self.problems).0;
        self.kept = known::to_plain(&weigh_ins).map(Kept::WeighIns);
        weigh_ins
    }
}

impl<'a> Reader<'a> {
    /// What stands below the head.
    fn below(&self) -> &'a str {
        self.text[self.yaml.end..].split_once('\n').map_or("", |(_, below)| below)
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
    let hint = "open it in your editor, choose \"Save as\", and there the encoding \"UTF-8\"";
    // Every second byte of a text in UTF-16 that is mostly of Latin letters is 0.
    let zeros = bytes.iter().take(200).filter(|byte| **byte == 0).count();
    if bytes.starts_with(&[0xff, 0xfe]) || bytes.starts_with(&[0xfe, 0xff]) || zeros * 3 > bytes.len().min(200) {
        let message = "this file was saved in the encoding UTF-16 (\"Unicode\"), and not in UTF-8";
        return Problem::error("not-utf-8", Place::file(file), message, hint);
    }
    let line = bytes[..good].iter().filter(|b| **b == b'\n').count() + 1;
    let from = bytes[..good].iter().rposition(|b| *b <= b' ').map_or(0, |at| at + 1);
    let word: String = bytes[from..].iter().take(40).take_while(|b| **b > b' ').map(|b| char::from(*b)).collect();
    let meant = if word.chars().all(|c| !c.is_control()) { format!(" (`{word}`?)") } else { String::new() };
    let message = format!("line {line} holds a letter that was not saved in the encoding UTF-8{meant}");
    Problem::error("not-utf-8", Place::file(file), message, hint)
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
