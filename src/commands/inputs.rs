//! Everything that the site is made from, by its marks.
//!
//! In: the kennel's folder and what the last run remembered of its files. Out: the mark of each file, and one hash of all of them: as long as it stays the same and the day does, the site does. A
//! file is read only when it changed since it was last read; the photos of years are not.

use super::folder::Folder;
use super::terminal;
use crate::output::{Cache, Kept, Mark, Seen, Stamp};
use crate::records::Print;
use rayon::prelude::*;
use std::collections::BTreeMap;
use std::fs::Metadata;
use std::path::{Path, PathBuf};
use walkdir::WalkDir;

/// The name of the cache's file.
const SEEN: &str = "seen-inputs";

/// A file with its mark, and the stamp to remember it by; or the name of one that cannot be read.
type Looked = Result<(String, Mark, Option<Stamp>), String>;

/// Marks of the files that the site is made from.
#[derive(Debug, Default)]
pub(super) struct Inputs {
    /// By the path below the kennel's folder.
    marks: BTreeMap<String, Mark>,
    /// The running program.
    program: Option<Mark>,
}

impl Inputs {
    /// Looks at everything, and remembers it.
    pub(super) fn look(folder: &Folder, cache: &Cache) -> Self {
        let (inputs, news) = Self::seen(folder, cache);
        if let Some(news) = news {
            cache.keep(SEEN, &news);
        }
        inputs
    }

    /// Looks at everything; writes nothing.
    pub(super) fn look_only(folder: &Folder, cache: &Cache) -> Self {
        Self::seen(folder, cache).0
    }

    /// What is there, and what to remember of it when that differs from what was remembered.
    fn seen(folder: &Folder, cache: &Cache) -> (Self, Option<Seen>) {
        let known = match cache.load(SEEN) {
            Kept::Value(known) => known,
            Kept::Nothing | Kept::Unusable => Seen::default(),
        };
        let (mut files, mut others) = (Vec::new(), Vec::new());
        for (name, root) in [("content", &folder.content), ("templates", &folder.templates)] {
            list(name, root, &mut files, &mut others);
        }
        let program = terminal::program().and_then(|place| Some(("program".to_owned(), std::fs::metadata(&place).ok()?, place)));
        files.extend(program.map(|(name, found, place)| (name, place, found)));
        let looked: Vec<Looked> = files
            .into_par_iter()
            .map(|(name, place, found)| {
                known.look(&name, &place, &found, terminal::clock()).map(|(mark, stamp)| (name.clone(), mark, stamp)).map_err(|_| name)
            })
            .collect();
        let (mut inputs, mut next) = (Self::default(), Seen::default());
        for looked in looked {
            match looked {
                Ok((name, mark, stamp)) => {
                    next.remember(name.clone(), mark, stamp);
                    if name == "program" { inputs.program = Some(mark) } else { _ = inputs.marks.insert(name, mark) }
                }
                Err(name) => others.push((name, "cannot be read")),
            }
        }
        // A folder, a link or a file that cannot be read may be a problem of the records: that it is there counts, though it has no bytes.
        inputs.marks.extend(others.into_iter().map(|(name, what)| (format!("{name} ({what})"), Mark::of(what.as_bytes()))));
        let news = (next != known).then_some(next);
        (inputs, news)
    }

    /// The mark of a file of the content folder, by its path below it.
    pub(super) fn mark(&self, file: &str) -> Option<Mark> {
        self.marks.get(&format!("content/{file}")).copied()
    }

    /// Whether these templates are those that were seen.
    pub(super) fn are_templates(&self, own: &BTreeMap<String, String>) -> bool {
        own.iter().all(|(name, text)| self.marks.get(&format!("templates/{name}")) == Some(&Mark::of(text.as_bytes())))
    }

    /// Whether what was read of the records is what was seen.
    pub(super) fn are_records(&self, read: &BTreeMap<String, Print>) -> bool {
        read.iter().all(|(file, print)| self.mark(file).is_some_and(|mark| mark.hash().as_bytes() == print.bytes()))
    }

    /// What the running program is known by; nothing where it cannot be told.
    pub(super) fn program(&self) -> Option<blake3::Hash> {
        self.program.map(|mark| mark.hash())
    }

    /// One hash of all files and the program; nothing where the program cannot be told.
    pub(super) fn hash(&self) -> Option<blake3::Hash> {
        let mut hash = blake3::Hasher::new();
        hash.update(self.program?.hash().as_bytes());
        for (name, mark) in &self.marks {
            hash.update(&(name.len() as u64).to_le_bytes()).update(name.as_bytes()).update(mark.hash().as_bytes());
        }
        Some(hash.finalize())
    }
}

/// Lists the files of a folder that is there. A file that cannot be looked at is left to whoever reads it.
fn list(name: &str, root: &Path, files: &mut Vec<(String, PathBuf, Metadata)>, others: &mut Vec<(String, &'static str)>) {
    let shown = |path: &Path| format!("{name}/{}", path.strip_prefix(root).unwrap_or(path).to_string_lossy().replace(std::path::MAIN_SEPARATOR, "/"));
    for entry in WalkDir::new(root).min_depth(1) {
        match entry.and_then(|entry| Ok((entry.metadata()?, entry))) {
            Ok((found, entry)) if found.is_file() => files.push((shown(entry.path()), entry.into_path(), found)),
            Ok((found, entry)) => others.push((shown(entry.path()), if found.is_dir() { "folder" } else { "no file" })),
            Err(error) => others.push((error.path().map(shown).unwrap_or_default(), "cannot be looked at")),
        }
    }
}

#[cfg(test)]
#[allow(clippy::disallowed_methods, reason = "tests put files where they like")]
mod tests {
    use super::*;
    use crate::records::load;
    use std::fs;

    #[test]
    fn what_was_read_after_a_change_is_not_what_was_seen() {
        let place = tempfile::tempdir().unwrap();
        let record = place.path().join("content/owners.yaml");
        fs::create_dir(place.path().join("content")).unwrap();
        fs::write(&record, "families: []\n").unwrap();
        let folder = Folder::new(place.path()).unwrap();
        let seen = Inputs::look_only(&folder, &Cache::below(&folder.state));
        let read = || load(&folder.content, terminal::now()).unwrap().prints;
        assert!(seen.are_records(&read()));
        fs::write(&record, "\u{feff}families: []\n").unwrap();
        assert!(!seen.are_records(&read()));
        fs::write(&record, "families: []\n").unwrap();
        assert!(seen.are_records(&read()));
        fs::write(place.path().join("content/care-plan.yaml"), "items: []\n").unwrap();
        assert!(!seen.are_records(&read()), "a file that was not there");
        let template = |name: &str, text: &str| BTreeMap::from([(name.to_owned(), text.to_owned())]);
        assert!(seen.are_templates(&BTreeMap::new()) && !seen.are_templates(&template("visitor/home.html", "Home")));
    }
}
