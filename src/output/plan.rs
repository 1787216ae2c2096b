//! What shall stand in a target: every path with its content.
//!
//! In: pages, pictures and downloads, one at a time. Out: an ordered map, the same whatever the
//! order of adding. It must never hold two files where a disk could hold only one.

use std::collections::BTreeMap;

use super::artifacts::Artifact;
use super::content::Content;
use super::site_path::SitePath;
use crate::cache::{ArtifactKey, Digest, Reads};

/// All files of one target, in the order of their paths. Writes nothing.
#[derive(Clone, Debug, Default)]
pub struct Plan {
    files: BTreeMap<SitePath, Content>,
    /// From what those files were made that need not be made again as long as it stays the same.
    keys: BTreeMap<SitePath, ArtifactKey>,
    /// What was read to choose what files show that are chosen together, by their common name.
    reads: BTreeMap<String, Reads>,
    /// Every file and folder under its name in small letters, so that a clash on file systems that
    /// ignore the case of letters is found on all others too.
    nodes: BTreeMap<String, PlannedName>,
}

#[derive(Clone, Debug, PartialEq, Eq)]
struct PlannedName {
    name: String,
    is_folder: bool,
}

/// Two files of a plan cannot both exist.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{path} {kind} {with}")]
pub struct Clash {
    /// The path that was to be added.
    pub path: SitePath,
    /// The file or folder that was there before.
    pub with: String,
    /// In which way they clash.
    pub kind: ClashKind,
}

/// In which way two paths clash.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ClashKind {
    /// Two files have one path.
    Twice,
    /// One path is a file and a folder.
    FileAndFolder,
    /// Two paths differ only in capital and small letters.
    LetterCase,
}

impl std::fmt::Display for ClashKind {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(match self {
            Self::Twice => "is written twice, the first time as",
            Self::FileAndFolder => "cannot stand beside",
            Self::LetterCase => "differs only in capital letters from",
        })
    }
}

impl Plan {
    /// A plan without files.
    #[must_use]
    pub fn new() -> Self {
        Self::default()
    }

    /// Adds one file.
    ///
    /// # Errors
    /// [`Clash`] when the path is taken, when it is a folder of another path or has another file
    /// as a folder, or when a path differs from it only by the case of letters. The plan is then
    /// as it was.
    pub fn add(&mut self, path: SitePath, content: impl Into<Content>) -> Result<(), Clash> {
        for folder in path.folders() {
            self.check(&path, folder, true)?;
        }
        self.check(&path, path.as_ref(), false)?;
        for folder in path.folders() {
            self.note(folder, true);
        }
        self.note(path.as_ref(), false);
        self.files.insert(path, content.into());
        Ok(())
    }

    /// Adds a file that is remembered by what it was made from.
    ///
    /// # Errors
    /// As [`Plan::add`].
    pub fn add_made(&mut self, path: SitePath, made: Artifact) -> Result<(), Clash> {
        self.add(path.clone(), made.content)?;
        self.keys.insert(path, made.key);
        Ok(())
    }

    /// Remembers what was read to choose what some files show.
    pub fn add_reads(&mut self, reads: BTreeMap<String, Reads>) {
        self.reads.extend(reads);
    }

    /// Adds all files of `other`.
    ///
    /// # Errors
    /// The first [`Clash`]; the files before it have been added by then.
    pub fn merge(&mut self, other: Self) -> Result<(), Clash> {
        let Self {
            files,
            keys,
            reads,
            nodes: _,
        } = other;
        files
            .into_iter()
            .try_for_each(|(path, content)| self.add(path, content))?;
        self.keys.extend(keys);
        self.reads.extend(reads);
        Ok(())
    }

    /// The files in the order of their paths.
    pub fn iter(&self) -> impl Iterator<Item = (&SitePath, &Content)> {
        self.files.iter()
    }

    /// What is planned for `path`.
    #[must_use]
    pub fn get(&self, path: &str) -> Option<&Content> {
        self.files.get(path)
    }

    /// From what the file at `path` was made, when that is remembered.
    #[must_use]
    pub fn key(&self, path: &str) -> Option<&ArtifactKey> {
        self.keys.get(path)
    }

    /// The files that are remembered by what they were made from.
    pub(super) fn made(&self) -> impl Iterator<Item = (&SitePath, ArtifactKey, Digest)> {
        self.keys
            .iter()
            .filter_map(|(path, key)| Some((path, *key, self.files.get(path)?.digest())))
    }

    /// What was read to choose what files show, by their common name.
    pub(super) fn reads(&self) -> &BTreeMap<String, Reads> {
        &self.reads
    }

    /// The file at `path` with the path as the plan holds it.
    pub(super) fn find(&self, path: &str) -> Option<(&SitePath, &Content)> {
        self.files.get_key_value(path)
    }

    /// How many files the plan has.
    #[must_use]
    pub fn len(&self) -> usize {
        self.files.len()
    }

    /// Whether the plan has no file.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.files.is_empty()
    }

    /// The folders of all files, each one after those it stands in.
    pub(super) fn folders(&self) -> impl Iterator<Item = &str> {
        self.nodes
            .values()
            .filter(|node| node.is_folder)
            .map(|node| node.name.as_str())
    }

    /// Whether `path` is a folder of one of the files.
    pub(super) fn has_folder(&self, path: &str) -> bool {
        let node = self.nodes.get(&path.to_ascii_lowercase());
        node.is_some_and(|node| node.is_folder && node.name == path)
    }

    fn check(&self, path: &SitePath, name: &str, is_folder: bool) -> Result<(), Clash> {
        let Some(node) = self.nodes.get(&name.to_ascii_lowercase()) else {
            return Ok(());
        };
        let kind = match (node.name == name, node.is_folder == is_folder) {
            (true, true) if is_folder => return Ok(()),
            (true, true) => ClashKind::Twice,
            (true, false) => ClashKind::FileAndFolder,
            (false, _) => ClashKind::LetterCase,
        };
        Err(Clash {
            path: path.clone(),
            with: node.name.clone(),
            kind,
        })
    }

    fn note(&mut self, name: &str, is_folder: bool) {
        let node = || PlannedName {
            name: name.to_owned(),
            is_folder,
        };
        self.nodes
            .entry(name.to_ascii_lowercase())
            .or_insert_with(node);
    }
}

#[cfg(test)]
impl Plan {
    /// The plan of these paths and texts.
    pub(super) fn of<'a>(files: impl IntoIterator<Item = &'a (&'a str, &'a str)>) -> Self {
        let mut plan = Self::new();
        for (path, text) in files {
            plan.add(SitePath::new(path).unwrap(), text.as_bytes())
                .unwrap();
        }
        plan
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn path(text: &str) -> SitePath {
        SitePath::new(text).unwrap()
    }

    fn plan(paths: &[&str]) -> Result<Plan, Clash> {
        let mut plan = Plan::new();
        for text in paths {
            plan.add(path(text), text.as_bytes())?;
        }
        Ok(plan)
    }

    #[test]
    fn the_order_of_adding_does_not_matter() {
        let one = plan(&["b/x", "a", "b/c/y", "index.html"]).unwrap();
        let two = plan(&["index.html", "b/c/y", "b/x", "a"]).unwrap();
        assert!(one.iter().eq(two.iter()));
        assert_eq!(one.folders().collect::<Vec<_>>(), ["b", "b/c"]);
        assert_eq!(
            (one.len(), one.is_empty(), Plan::new().is_empty()),
            (4, false, true)
        );
        assert_eq!(one.get("b/x").unwrap().bytes().unwrap().as_ref(), b"b/x");
        assert!(one.get("b").is_none() && one.has_folder("b") && !one.has_folder("a"));
    }

    #[test]
    fn what_a_disk_cannot_hold_is_a_clash() {
        for (first, second, kind) in [
            ("a", "a", ClashKind::Twice),
            ("a", "a/b", ClashKind::FileAndFolder),
            ("a/b/c", "a/b", ClashKind::FileAndFolder),
            ("a/Fern.jpg", "a/fern.jpg", ClashKind::LetterCase),
            ("Litters/a", "litters/b", ClashKind::LetterCase),
            ("Litters", "litters/b", ClashKind::LetterCase),
        ] {
            let clash = plan(&[first, second]).unwrap_err();
            assert_eq!(
                (clash.path.as_ref(), clash.kind),
                (second, kind),
                "{first} {second}"
            );
        }
        let clash = plan(&["a", "a/b"]).unwrap_err();
        assert_eq!(clash.to_string(), "a/b cannot stand beside a");
    }

    #[test]
    fn a_clash_leaves_the_plan_as_it_was() {
        let mut one = plan(&["a/b", "c"]).unwrap();
        assert!(one.add(path("d/e/f"), &b""[..]).is_ok());
        assert!(one.add(path("g/h"), &b""[..]).is_ok());
        assert!(one.add(path("C/x"), &b""[..]).is_err());
        assert!(!one.has_folder("C"));
        assert!(one.merge(plan(&["k", "c"]).unwrap()).is_err());
        assert_eq!(one.get("c").unwrap().bytes().unwrap().as_ref(), b"c");
    }

    #[test]
    fn a_merge_holds_the_files_of_both() {
        let mut one = plan(&["a/b"]).unwrap();
        one.merge(plan(&["a/c", "d"]).unwrap()).unwrap();
        assert!(
            one.iter()
                .map(|(path, _)| path.as_ref())
                .eq(["a/b", "a/c", "d"])
        );
    }
}
