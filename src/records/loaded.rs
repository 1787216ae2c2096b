//! What reading a content folder came to.
//!
//! In: records, problems and texts as they were read. Out: the same for whoever asks; what is in
//! one file, so that it need not be read again.

use super::one_file::{RecordContent, RecordKind};
use super::parsed::ParsedTexts;
use super::problem::{Located, Problem, Severity};
use super::source::{Sources, locate};
use super::weights::WeighIns;
use super::{Records, Shared};
use crate::cache::Digest;
use crate::quantity::Id;
use chrono::{DateTime, Utc};
use std::collections::BTreeMap;
use std::path::Path;

/// What was found in a content folder.
#[derive(Debug, Clone, Default)]
pub struct Loaded {
    /// The records; nothing when `kennel.yaml` could not be read.
    pub records: Option<Shared<Records>>,
    /// All problems, sorted by file and place.
    pub problems: Vec<Located>,
    /// The texts the problems stand in.
    pub sources: Sources,
    /// What was parsed, for the next run.
    pub parsed: ParsedTexts,
    /// The record files that were read.
    pub files: ReadFiles,
}

/// Record files that were read, by their names.
#[derive(Debug, Clone, Default)]
pub struct ReadFiles(pub(super) BTreeMap<String, ReadFile>);

/// A record file that was read.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct ReadFile {
    /// Nothing where the file could not be read.
    pub(super) digest: Option<Digest>,
    /// Nothing in it was wrong by itself, so that what is in it is all that it says.
    pub(super) is_sound: bool,
}

impl Loaded {
    /// Whether any problem keeps the records from being published.
    #[must_use]
    pub fn has_errors(&self) -> bool {
        self.problems
            .iter()
            .any(|p| p.problem.severity == Severity::Error)
    }

    /// Whether reading the same files now would give the same records.
    #[must_use]
    pub fn is_of_day(&self, now: DateTime<Utc>) -> bool {
        self.records
            .as_ref()
            .is_some_and(|records| records.today == records.kennel.today(now))
    }

    /// The digest of a record file as it was read. A file that is no record has always the same
    /// one, since only its name matters.
    #[must_use]
    pub fn digest(&self, file: &str) -> Option<Digest> {
        let none = Some(Digest::default());
        self.files.0.get(file).map_or(none, |read| read.digest)
    }

    /// What is in a file of these bytes, as far as it stands in these records.
    pub(super) fn content(
        &self,
        file: &str,
        digest: Digest,
        kind: &RecordKind,
    ) -> Option<RecordContent> {
        let sound = ReadFile {
            digest: Some(digest),
            is_sound: true,
        };
        let records = self.records.as_deref()?;
        let litter = |id: &Id| records.litters.get(id);
        if *self.files.0.get(file)? != sound {
            return None;
        }
        Some(match kind {
            RecordKind::Kennel => RecordContent::Kennel(Some((*records.kennel).clone())),
            RecordKind::CarePlan => RecordContent::CarePlan(Some((*records.care_plan).clone())),
            RecordKind::Owners => RecordContent::Owners(Some((*records.owners).clone())),
            RecordKind::Dog(id) => {
                RecordContent::Dog(id.clone(), Some(records.dogs.get(id)?.clone()))
            }
            RecordKind::Litter(id) => {
                RecordContent::Litter(id.clone(), Some((*litter(id)?.litter).clone()))
            }
            RecordKind::Weights(id) => {
                let folder = litter(id)?;
                let (list, unit) = ((*folder.weigh_ins).clone(), folder.bare_unit);
                RecordContent::Weights(id.clone(), WeighIns { list, unit })
            }
            RecordKind::Health(id) => {
                RecordContent::Health(id.clone(), (*litter(id)?.health).clone())
            }
            RecordKind::Note(id, slug) => {
                let note = litter(id)?.notes.iter().find(|note| note.slug == *slug)?;
                RecordContent::Note(id.clone(), Some(note.clone()))
            }
            RecordKind::Page(slug) => {
                let page = records.pages.iter().find(|page| page.slug == *slug)?;
                RecordContent::Page(Some(page.clone()))
            }
        })
    }

    /// The same without the texts in which nothing is wrong by itself: whoever asks for one waits
    /// for the disk.
    #[must_use]
    pub fn without_sound_texts(mut self, content: &Path) -> Self {
        let files = &self.files.0;
        let digest = |file: &str| files.get(file).filter(|read| read.is_sound)?.digest;
        self.sources.let_go(content, digest);
        self
    }

    /// Adds problems that were found later, such as those of pictures.
    #[must_use]
    pub fn with(mut self, more: Vec<Problem>) -> Self {
        let known = self.problems.into_iter().map(|l| l.problem);
        self.problems = locate(known.chain(more).collect(), &self.sources);
        self
    }
}
