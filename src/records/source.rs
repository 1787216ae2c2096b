//! The texts of the record files, kept so that a problem can show the line it stands in.
//!
//! In: file names and texts. Out: byte ranges, lines and columns of places. A text is parsed for
//! places only when there is a problem to show, and one that was known is not even read before.

use super::problem::{At, Located, Place, Problem, Step};
use super::reading::Tree;
use super::stretch::Stretch;
pub use super::text_file::Source;
use super::text_file::source_of;
use crate::cache::Digest;
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::sync::OnceLock;

/// A text that was read; or one that was not, since what is in it was known.
#[derive(Debug, Clone)]
pub(super) enum Read {
    Now(Source),
    Unread(Unread),
}

/// A text that is read when somebody asks for it.
#[derive(Debug, Clone)]
pub(super) struct Unread {
    path: PathBuf,
    digest: Digest,
    source: OnceLock<Option<Source>>,
}

impl Unread {
    /// The text at this path, as long as this is the digest of its bytes.
    pub(super) fn new(path: PathBuf, digest: Digest) -> Self {
        Self {
            path,
            digest,
            source: OnceLock::new(),
        }
    }
}

/// All texts by their path below the content folder.
#[derive(Debug, Clone, Default)]
pub struct Sources {
    texts: BTreeMap<String, Read>,
}

impl Sources {
    /// Keeps a text.
    pub fn insert(&mut self, file: String, source: Source) {
        self.texts.insert(file, Read::Now(source));
    }

    /// Keeps a text, or where it stands.
    pub(super) fn insert_read(&mut self, file: String, read: Read) {
        self.texts.insert(file, read);
    }

    /// Lets go of texts below a folder that have a digest: they are read again when somebody asks
    /// for them, as long as they are what they were.
    pub(super) fn let_go(&mut self, content: &Path, digest: impl Fn(&str) -> Option<Digest>) {
        for (file, read) in &mut self.texts {
            if let Read::Now(_) = read
                && let Some(digest) = digest(file)
            {
                *read = Read::Unread(Unread::new(content.join(file), digest));
            }
        }
    }

    /// Takes over all texts of another collection.
    pub fn extend(&mut self, other: Self) {
        self.texts.extend(other.texts);
    }

    /// A text with its name. One that changed since what is in it was known is none: places in it
    /// would be wrong.
    fn get(&self, file: &str) -> Option<(&str, &Source)> {
        let (file, read) = self.texts.get_key_value(file)?;
        let source = match read {
            Read::Now(source) => source,
            Read::Unread(later) => later
                .source
                .get_or_init(|| source_of(file, &later.path, later.digest))
                .as_ref()?,
        };
        Some((file, source))
    }

    /// The text of a file, when it could be read.
    #[must_use]
    pub fn text(&self, file: &str) -> Option<&str> {
        self.get(file).map(|(_, source)| &*source.text)
    }

    /// Whether there is a text of this name, be it still as it was or not.
    #[must_use]
    pub fn is_known(&self, file: &str) -> bool {
        self.texts.contains_key(file)
    }

    /// The names of all files, in order.
    pub fn files(&self) -> impl Iterator<Item = &str> {
        self.texts.keys().map(String::as_str)
    }

    /// All files and their texts, in the order of their names.
    pub fn texts(&self) -> impl Iterator<Item = (&str, &str)> {
        self.texts
            .keys()
            .filter_map(|file| self.get(file))
            .map(|(file, source)| (file, &*source.text))
    }

    /// Line and column, both from 1, of a byte of a file.
    #[must_use]
    pub fn line_and_column(&self, file: &str, byte: usize) -> (usize, usize) {
        let Some(text) = self.text(file) else {
            return (1, 1);
        };
        let before = &text.as_bytes()[..byte.min(text.len())];
        let line_start = before
            .iter()
            .rposition(|b| *b == b'\n')
            .map_or(0, |i| i + 1);
        let line = before.iter().filter(|b| **b == b'\n').count() + 1;
        (
            line,
            String::from_utf8_lossy(&before[line_start..])
                .chars()
                .count()
                + 1,
        )
    }

    /// Something that finds many places, parsing each text at most once.
    #[must_use]
    pub fn finder(&self) -> Finder<'_> {
        Finder {
            sources: self,
            trees: BTreeMap::new(),
        }
    }
}

/// Finds places in texts.
#[derive(Debug)]
pub struct Finder<'a> {
    sources: &'a Sources,
    trees: BTreeMap<&'a str, Option<Tree<'a>>>,
}

impl Finder<'_> {
    /// A value as it was written, with its unit; nothing where there is no such value.
    pub fn written(&mut self, file: &str, path: &[Step]) -> Option<String> {
        let (file, source) = self.sources.get(file)?;
        let tree = self
            .trees
            .entry(file)
            .or_insert_with(|| Tree::parse(&source.text[source.yaml.clone()]).ok());
        tree.as_ref()?.written(path).map(str::to_owned)
    }

    /// The bytes of a place; empty at the start when the file as a whole is meant or nothing nearer
    /// can be found.
    pub fn stretch(&mut self, place: &Place) -> Stretch {
        let Some((file, source)) = self.sources.get(&place.file) else {
            return Stretch::default();
        };
        let bytes = match &place.at {
            At::File => 0..0,
            At::Bytes(start, end) => *start..*end,
            At::Path(path) => {
                let yaml = &source.text[source.yaml.clone()];
                let tree = self
                    .trees
                    .entry(file)
                    .or_insert_with(|| Tree::parse(yaml).ok());
                tree.as_ref().map_or(0..0, |tree| {
                    let range = tree.range_of(path);
                    source.yaml.start + range.start..source.yaml.start + range.end
                })
            }
        };
        Stretch::of(&source.text, &bytes)
    }
}

/// Finds the places of all problems in their texts, sorts by file and place, and drops doubles.
#[must_use]
pub fn locate(problems: Vec<Problem>, sources: &Sources) -> Vec<Located> {
    let mut finder = sources.finder();
    let mut located: Vec<Located> = problems
        .into_iter()
        .map(|problem| {
            let range = finder.stretch(&problem.place);
            let (line, column) = sources.line_and_column(&problem.place.file, range.start());
            let labels = problem
                .labels
                .iter()
                .map(|(place, word)| (place.clone(), finder.stretch(place), word.clone()))
                .collect();
            Located {
                problem,
                range,
                line,
                column,
                labels,
            }
        })
        .collect();
    located.sort_by(|a, b| {
        let key = |l: &Located| {
            (
                l.problem.place.file.clone(),
                l.range.start(),
                l.problem.severity,
                l.problem.code,
                l.problem.message.clone(),
            )
        };
        key(a).cmp(&key(b))
    });
    located.dedup_by(|a, b| {
        a.problem.code == b.problem.code
            && a.problem.place.file == b.problem.place.file
            && a.range == b.range
            && a.problem.message == b.problem.message
    });
    located
}
