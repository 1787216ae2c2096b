//! Everything that the site is made from, by its marks.
//!
//! In: the kennel's folder and what the last run remembered of its files. Out: the mark of each file, and one hash of all of them: as long as it stays the same and the day does, the site does. A
//! file is read only when it changed since it was last read; the photos of years are not.

use super::folder::Folder;
use super::terminal;
use crate::Error;
use crate::output::{Cache, Mark, Seen, Stamp};
use crate::records::{Listed, Listing, Print, What};
use rayon::prelude::*;
use std::collections::BTreeMap;
use std::fs;
use std::path::Path;

/// The name of the cache's file.
const SEEN: &str = "seen-inputs";
/// What the program is called among what was seen.
const PROGRAM: &str = "program";

/// Marks of the files that the site is made from.
#[derive(Debug, Default)]
pub(super) struct Inputs {
    /// The content folder, with the prints of its files.
    listing: Listing,
    /// By the path below the kennel's folder.
    marks: BTreeMap<String, Mark>,
    /// The running program.
    program: Option<Mark>,
    /// What to remember, when it is not what was remembered.
    news: Option<Seen>,
}

impl Inputs {
    /// Looks at everything; writes nothing.
    ///
    /// # Errors
    /// When the content folder cannot be listed.
    pub(super) fn look(folder: &Folder, cache: &Cache) -> Result<Self, Error> {
        let (known, listing) = rayon::join(|| cache.load::<Seen>(SEEN).value().unwrap_or_default(), || folder.list_content());
        let mut listing = listing?;
        let templates = folder.list_templates()?;
        let content = || -> Vec<Looked> { listing.entries.par_iter().map(|listed| look(&known, "content", &folder.content, listed)).collect() };
        let (mut looked, program) = rayon::join(content, || program(&known));
        for (listed, looked) in listing.entries.iter_mut().zip(&looked) {
            if let (What::File(print), Ok((mark, _))) = (&mut listed.what, &looked.found) {
                *print = Some(Print::from_hash(mark.hash()));
            }
        }
        looked.extend(templates.entries.iter().map(|listed| look(&known, "templates", &folder.templates, listed)));
        let (mut inputs, mut next) = (Self { listing, ..Self::default() }, Seen::default());
        for Looked { name, found } in looked {
            match found {
                Ok((mark, stamp)) => {
                    next.remember(name.clone(), mark, stamp);
                    inputs.marks.insert(name, mark);
                }
                // A folder, a link or a file that cannot be read may be a problem of the records: that it is there counts, though it has no bytes.
                Err(what) => _ = inputs.marks.insert(format!("{name} ({what})"), Mark::of(what.as_bytes())),
            }
        }
        if let Some((mark, stamp)) = program {
            next.remember(PROGRAM.to_owned(), mark, stamp);
            inputs.program = Some(mark);
        }
        inputs.news = (next != known).then_some(next);
        Ok(inputs)
    }

    /// Remembers what was seen, where that differs from what was remembered.
    pub(super) fn remember(&self, cache: &Cache) {
        if let Some(news) = &self.news {
            cache.keep(SEEN, news);
        }
    }

    /// The content folder.
    pub(super) fn listing(&self) -> &Listing {
        &self.listing
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

/// What was found out about one thing in a folder.
struct Looked {
    /// Its path below the kennel's folder.
    name: String,
    /// The mark of a file, with the stamp to remember it by; or in a few words why it has none.
    found: Result<(Mark, Option<Stamp>), &'static str>,
}

/// Looks at one thing. A file that cannot be read is left to whoever reads it.
fn look(known: &Seen, above: &str, root: &Path, listed: &Listed) -> Looked {
    let name = format!("{above}/{}", listed.below(root));
    let found = match listed.what {
        What::File(_) => fs::symlink_metadata(&listed.path)
            .map_err(|_| "cannot be looked at")
            .and_then(|found| known.look(&name, &listed.path, &found, terminal::clock()).map_err(|_| "cannot be read")),
        What::Folder => Err("folder"),
        What::Link | What::Strange => Err("no file"),
        What::Unreadable(_) => Err("cannot be looked at"),
    };
    Looked { name, found }
}

/// The running program.
fn program(known: &Seen) -> Option<(Mark, Option<Stamp>)> {
    let place = terminal::program()?;
    known.look(PROGRAM, &place, &fs::metadata(&place).ok()?, terminal::clock()).ok()
}

#[cfg(test)]
#[allow(clippy::disallowed_methods, reason = "tests put files where they like")]
mod tests {
    use super::*;
    use crate::records::load;

    #[test]
    fn what_was_read_after_a_change_is_not_what_was_seen() {
        let place = tempfile::tempdir().unwrap();
        let record = place.path().join("content/owners.yaml");
        fs::create_dir(place.path().join("content")).unwrap();
        fs::write(&record, "families: []\n").unwrap();
        let folder = Folder::new(place.path()).unwrap();
        let seen = Inputs::look(&folder, &Cache::below(&folder.state)).unwrap();
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
