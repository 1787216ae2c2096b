//! Reads one file of the content folder.
//!
//! In: a path and which record it is. Out: a [`FileRead`]: its text, its digest, its record as far
//! as it can be read, and every problem in it. A text that was taken apart without a problem
//! before, by this run or an earlier one, is not taken apart again.

use super::note::{Note, NoteHead, Page, PageHead};
use super::parsed::{self, Parsed};
use super::problem::{Place, Problem};
use super::source::{Read, Unread};
use super::text_file::{Source, read_text, yaml_in};
use super::weights::{self, WeighIns, WeightsBlock};
use super::{Shared, care_plan, dog, health, kennel, litter, owners, reading};
use crate::cache::{Bytes, Digest};
use crate::quantity::{Id, Text};
use schemars::JsonSchema;
use serde::de::DeserializeOwned;
use std::collections::BTreeMap;
use std::mem;
use std::ops::Range;
use std::path::PathBuf;

/// Which record a path is.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum RecordKind {
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

/// The content of a record file.
pub(super) enum RecordContent {
    Kennel(Option<kennel::Kennel>),
    CarePlan(Option<care_plan::CarePlan>),
    Owners(Option<owners::Owners>),
    Dog(Id, Option<dog::Dog>),
    Litter(Id, Option<Shared<litter::Litter>>),
    Weights(Id, WeighIns),
    Health(Id, Shared<Vec<health::HealthEntry>>),
    Note(Id, Option<Note>),
    Page(Option<Page>),
}

/// What is known to be in a file of these bytes, and what is to be known of it in the next run;
/// asked with the name of the file, the digest of its bytes and which record it is.
pub(super) type KnownContent<'a> =
    &'a (dyn Fn(&str, Digest, &RecordKind) -> Option<(Option<Parsed>, RecordContent)> + Sync);

/// A file that is to be read.
pub(super) struct ToRead {
    pub(super) file: String,
    pub(super) path: PathBuf,
    /// The digest of its bytes, where that is known without reading them.
    pub(super) digest: Option<Digest>,
    pub(super) kind: RecordKind,
}

/// One file, read.
pub(super) struct FileRead {
    pub(super) file: String,
    pub(super) digest: Option<Digest>,
    pub(super) source: Option<Read>,
    pub(super) content: Option<RecordContent>,
    /// What is to be known of it the next time.
    pub(super) kept: Option<Parsed>,
    pub(super) problems: Vec<Problem>,
}

impl FileRead {
    /// Reads a file; or as if it had another text. One that holds what is known is not even opened.
    pub(super) fn new(
        ToRead {
            file,
            path,
            digest,
            kind,
        }: ToRead,
        instead: &BTreeMap<String, String>,
        known: KnownContent<'_>,
    ) -> Self {
        let mut read = Self {
            file,
            digest: None,
            source: None,
            content: None,
            kept: None,
            problems: Vec::new(),
        };
        let other = instead.get(&read.file).map(|text| {
            (
                Digest::of(text.as_bytes()),
                text.trim_start_matches('\u{feff}').to_owned(),
            )
        });
        if let (None, Some(digest)) = (&other, digest)
            && let Some((kept, content)) = known(&read.file, digest, &kind)
        {
            let source = Some(Read::Unread(Unread::new(path, digest)));
            return Self {
                digest: Some(digest),
                source,
                content: Some(content),
                kept,
                ..read
            };
        }
        let Some((digest, text)) =
            other.or_else(|| read_text(&read.file, &path, &mut read.problems))
        else {
            // The file is there, whatever is in it.
            read.content = unreadable(kind);
            return read;
        };
        read.digest = Some(digest);
        let yaml = yaml_in(&read.file, &text, &mut read.problems);
        if let Some((kept, content)) = known(&read.file, digest, &kind) {
            (read.content, read.kept) = (Some(content), kept);
        } else if let Some(yaml) = &yaml {
            let mut reader = FileReader {
                file: &read.file,
                text: &text,
                yaml: yaml.clone(),
                kept: None,
                problems: mem::take(&mut read.problems),
            };
            let content = reader.content(kind);
            let FileReader { kept, problems, .. } = reader;
            (read.content, read.kept, read.problems) = (
                Some(content),
                kept.filter(|_| problems.is_empty()),
                problems,
            );
        }
        read.source = Some(Read::Now(Source {
            text: text.into(),
            yaml: yaml.unwrap_or(0..0),
        }));
        read
    }
}

/// What is known of a record whose text cannot be read: that it is there.
fn unreadable(kind: RecordKind) -> Option<RecordContent> {
    match kind {
        RecordKind::Litter(id) => Some(RecordContent::Litter(id, None)),
        RecordKind::Dog(id) => Some(RecordContent::Dog(id, None)),
        _ => None,
    }
}

/// What is in a file of which this was kept; nothing where it is not as expected.
pub(super) fn from_kept(kind: &RecordKind, kept: &Parsed) -> Option<RecordContent> {
    fn record<T: DeserializeOwned>(kept: &Parsed) -> Option<(T, &str)> {
        let Parsed::Tree(bytes) = kept else {
            return None;
        };
        let (nodes, below): (Vec<reading::NodeContent<'_>>, &str) = bytes.value()?;
        Some((reading::read_plain(nodes)?, below))
    }
    Some(match kind {
        RecordKind::Dog(id) => RecordContent::Dog(id.clone(), Some(record(kept)?.0)),
        RecordKind::Litter(id) => {
            let litter: litter::Litter = record(kept)?.0;
            RecordContent::Litter(id.clone(), Some(litter.into()))
        }
        RecordKind::Health(id) => {
            let health: Vec<health::HealthEntry> = record(kept)?.0;
            RecordContent::Health(id.clone(), health.into())
        }
        RecordKind::Note(litter, slug) => {
            let (head, below) = record(kept)?;
            RecordContent::Note(
                litter.clone(),
                Some(Note {
                    slug: slug.clone(),
                    head,
                    text: below.to_owned(),
                }),
            )
        }
        RecordKind::Weights(id) => {
            let Parsed::WeighIns(list) = kept else {
                return None;
            };
            RecordContent::Weights(id.clone(), parsed::from_plain(list)?)
        }
        RecordKind::Kennel | RecordKind::CarePlan | RecordKind::Owners | RecordKind::Page(_) => {
            return None;
        }
    })
}

/// Reads the text of one file.
struct FileReader<'a> {
    file: &'a str,
    text: &'a str,
    yaml: Range<usize>,
    kept: Option<Parsed>,
    problems: Vec<Problem>,
}

impl FileReader<'_> {
    fn content(&mut self, kind: RecordKind) -> RecordContent {
        if matches!(kind, RecordKind::Note(..) | RecordKind::Page(_)) {
            hidden_in(self.file, self.text, self.yaml.end, &mut self.problems);
        }
        match kind {
            RecordKind::Kennel => RecordContent::Kennel(self.record()),
            RecordKind::CarePlan => RecordContent::CarePlan(self.record()),
            RecordKind::Owners => RecordContent::Owners(self.record()),
            RecordKind::Dog(id) => RecordContent::Dog(id, self.kept_record("")),
            RecordKind::Litter(id) => {
                let litter: Option<litter::Litter> = self.kept_record("");
                RecordContent::Litter(id, litter.map(Shared::from))
            }
            RecordKind::Weights(id) => RecordContent::Weights(id, self.weigh_ins()),
            RecordKind::Health(id) => {
                let health: Option<Vec<health::HealthEntry>> = self.kept_record("");
                RecordContent::Health(id, health.unwrap_or_default().into())
            }
            RecordKind::Note(litter, slug) => {
                let below = self.below();
                let head: Option<NoteHead> = self.kept_record(below);
                RecordContent::Note(
                    litter,
                    head.map(|head| Note {
                        slug,
                        head,
                        text: below.to_owned(),
                    }),
                )
            }
            RecordKind::Page(slug) => {
                let head: Option<PageHead> = self.record();
                RecordContent::Page(head.map(|head| Page {
                    slug,
                    head,
                    text: self.below().to_owned(),
                }))
            }
        }
    }

    fn record<T: DeserializeOwned + JsonSchema>(&mut self) -> Option<T> {
        reading::read(self.file, self.text, self.yaml.clone(), &mut self.problems)
    }

    /// A record of which there are many: taken apart once, and kept so with what stands below it.
    fn kept_record<T: DeserializeOwned + JsonSchema>(&mut self, below: &str) -> Option<T> {
        if let Some((record, tree)) = reading::read_tree(&self.text[self.yaml.clone()]) {
            self.kept = reading::plain(&tree)
                .and_then(|tree| Bytes::of(&(tree, below)))
                .map(Parsed::Tree);
            return Some(record);
        }
        self.record()
    }

    fn weigh_ins(&mut self) -> WeighIns {
        let blocks: Vec<WeightsBlock> = self.record().unwrap_or_default();
        // Places are counted in the file; after a block was left out as unreadable they would
        // shift, and so are not claimed.
        let exact = self.problems.is_empty();
        let weigh_ins = weights::resolve(self.file, blocks, exact, &mut self.problems);
        self.kept = parsed::to_plain(&weigh_ins).map(Parsed::WeighIns);
        weigh_ins
    }
}

impl<'a> FileReader<'a> {
    /// What stands below the head.
    fn below(&self) -> &'a str {
        self.text[self.yaml.end..]
            .split_once('\n')
            .map_or("", |(_, below)| below)
    }
}

/// Points out characters of a text that cannot be seen: what stands below a head is published as
/// well. Only the first few, since a file may be full of them.
fn hidden_in(file: &str, text: &str, from: usize, problems: &mut Vec<Problem>) {
    for (at, c) in text[from..]
        .char_indices()
        .filter(|(_, c)| Text::forbids(*c))
        .take(10)
    {
        let place = Place::bytes(file, from + at..from + at + c.len_utf8());
        let message = format!(
            "a character that cannot be seen stands in the text (U+{:04X})",
            u32::from(c)
        );
        problems.push(Problem::error(
            "control-character",
            place,
            message,
            "delete the word and type it again",
        ));
    }
}
