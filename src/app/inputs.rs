//! Everything that the site is made from, by its digests.
//!
//! In: the kennel's folder and the store. Out: the digest of each file. A file is read only when it
//! changed since it was last read; the photos of years are not.

use super::folder::Folder;
use super::kept::{SeenTexts, Stamps, is_text};
use super::terminal;
use crate::Error;
use crate::cache::{Digest, FileDigests, Looked, Store};
use crate::output::spare_memory;
use crate::photos::MAX_FILE_BYTES;
use crate::records::{Listed, Listing, What};
use rayon::prelude::*;
use std::fs;
use std::path::Path;

/// Things in the content folder, those of some 500 litters, above which a tenth less memory is
/// worth more than a hundredth of the time.
const MANY: usize = 4_000;

/// The name in the store.
const SEEN: &str = "seen-inputs";

/// The content folder, listed, with the digests of its files.
#[derive(Debug, Default)]
pub struct Inputs {
    listing: Listing,
    files: FileDigests,
}

impl Inputs {
    /// Looks at every file; writes nothing.
    ///
    /// # Errors
    /// When the content folder cannot be listed.
    pub fn look(folder: &Folder, store: &Store) -> Result<Self, Error> {
        let (mut files, listing) = rayon::join(
            || FileDigests::load(store, SEEN, Some(terminal::clock)),
            || folder.list_content(),
        );
        let mut listing = listing?;
        if listing.entries.len() > MANY {
            spare_memory();
        }
        let looked: Vec<Option<Looked>> = listing
            .entries
            .par_iter()
            .map(|listed| look(&files, &folder.content, listed))
            .collect();
        for (listed, looked) in listing.entries.iter_mut().zip(looked) {
            if let (What::File(digest), Some(looked)) = (&mut listed.what, looked) {
                *digest = Some(looked.0);
                files.note(&listed.below(&folder.content), looked);
            }
        }
        Ok(Self { listing, files })
    }

    /// Keeps what was seen, where that differs from what was kept.
    pub fn save(&self, store: &Store) {
        self.files.save(store, SEEN);
    }

    /// The content folder.
    pub fn listing(&self) -> &Listing {
        &self.listing
    }

    /// The content folder with the digests of records alone, and the stamps of those that have
    /// one.
    pub(super) fn texts(&self, content: &Path) -> SeenTexts {
        let mut listing = self.listing.clone();
        let mut stamps = Stamps::new();
        for listed in &mut listing.entries {
            let What::File(digest) = &mut listed.what else {
                continue;
            };
            if is_text(&listed.path) {
                let name = listed.below(content);
                stamps.extend(self.files.stamp(&name).map(|stamp| (name, stamp)));
            } else {
                *digest = None;
            }
        }
        (listing, stamps)
    }

    /// The digest of a file of the content folder, as it was when it was looked at.
    pub fn digest(&self, place: &Path) -> Option<Digest> {
        let entries = &self.listing.entries;
        let at = entries.binary_search_by(|listed| listed.path.as_path().cmp(place));
        match entries[at.ok()?].what {
            What::File(digest) => digest,
            _ => None,
        }
    }
}

/// Looks at one thing. A file that cannot be read, or is larger than any that is used, is left to
/// whoever says so.
fn look(files: &FileDigests, content: &Path, listed: &Listed) -> Option<Looked> {
    let What::File(_) = listed.what else {
        return None;
    };
    let found = fs::symlink_metadata(&listed.path).ok()?;
    if found.len() > MAX_FILE_BYTES as u64 {
        return None;
    }
    files
        .look(&listed.below(content), &listed.path, &found)
        .ok()
}
