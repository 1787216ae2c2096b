//! The texts of the record files, kept so that a problem can show the line it stands in.
//!
//! In: file names and texts. Out: byte ranges, lines and columns of places. A text is parsed for places only when there is a problem to show.

use super::problem::{At, Place, Step};
use super::reading::Tree;
use std::{collections::BTreeMap, ops::Range, sync::Arc};

/// A text and the part of it that is YAML.
#[derive(Debug, Clone)]
pub struct Source {
    /// The whole text.
    pub text: Arc<str>,
    /// Bytes of the YAML in it: all of a `.yaml` file, the head of a `.md` file.
    pub yaml: Range<usize>,
}

/// All texts by their path below the content folder.
#[derive(Debug, Clone, Default)]
pub struct Sources {
    texts: BTreeMap<String, Source>,
}

impl Sources {
    /// Keeps a text.
    pub fn insert(&mut self, file: String, source: Source) {
        self.texts.insert(file, source);
    }

    /// Takes over all texts of another collection.
    pub fn extend(&mut self, other: Self) {
        self.texts.extend(other.texts);
    }

    /// The text of a file, when it could be read.
    #[must_use]
    pub fn text(&self, file: &str) -> Option<&str> {
        self.texts.get(file).map(|s| &*s.text)
    }

    /// All files and their texts, in the order of their names.
    pub fn texts(&self) -> impl Iterator<Item = (&str, &str)> {
        self.texts.iter().map(|(file, source)| (file.as_str(), &*source.text))
    }

    /// Line and column, both from 1, of a byte of a file.
    #[must_use]
    pub fn line_and_column(&self, file: &str, byte: usize) -> (usize, usize) {
        let Some(text) = self.text(file) else { return (1, 1) };
        let before = &text.as_bytes()[..byte.min(text.len())];
        let line_start = before.iter().rposition(|b| *b == b'\n').map_or(0, |i| i + 1);
        let line = before.iter().filter(|b| **b == b'\n').count() + 1;
        (line, String::from_utf8_lossy(&before[line_start..]).chars().count() + 1)
    }

    /// Something that finds many places, parsing each text at most once.
    #[must_use]
    pub fn finder(&self) -> Finder<'_> {
        Finder { sources: self, trees: BTreeMap::new() }
    }
}

/// Finds places in texts.
#[derive(Debug)]
pub struct Finder<'a> {
    sources: &'a Sources,
    trees: BTreeMap<&'a str, Option<Tree>>,
}

impl Finder<'_> {
    /// A value as it was written, with its unit; nothing where there is no such value.
    pub fn written(&mut self, file: &str, path: &[Step]) -> Option<String> {
        let (file, source) = self.sources.texts.get_key_value(file)?;
        let tree = self.trees.entry(file).or_insert_with(|| Tree::parse(&source.text[source.yaml.clone()]).ok());
        tree.as_ref()?.written(path).map(str::to_owned)
    }

    /// The bytes of a place; empty at the start when the file as a whole is meant or nothing nearer can be found.
    pub fn range(&mut self, place: &Place) -> Range<usize> {
        let Some((file, source)) = self.sources.texts.get_key_value(&place.file) else { return 0..0 };
        match &place.at {
            At::File => 0..0,
            At::Bytes(start, end) => *start.min(&source.text.len())..*end.min(&source.text.len()),
            At::Path(path) => {
                let yaml = &source.text[source.yaml.clone()];
                let tree = self.trees.entry(file).or_insert_with(|| Tree::parse(yaml).ok());
                tree.as_ref().map_or(0..0, |tree| {
                    let range = tree.range_of(path);
                    source.yaml.start + range.start..source.yaml.start + range.end
                })
            }
        }
    }
}
