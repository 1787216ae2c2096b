//! Where new files wait on the disk of their target until its tree is built: a large site need not
//! be in memory at once.
//!
//! In: the bytes of one file after the other, from any thread. Out: a [`Content`] for each. The
//! first stay in memory, since most runs make few; the others go into a folder beside the root, and
//! from there into the tree by renaming. The folder goes with the [`Stage`]; what a kill leaves of
//! it the next run removes.

use std::path::PathBuf;
use std::sync::OnceLock;
use std::sync::atomic::{AtomicU64, Ordering};

use super::content::Content;
use super::disk;
use super::system;
use super::target::{FileMode, Site};
use crate::cache::Digest;

/// Bytes that stay in memory.
const IN_MEMORY: u64 = 2 << 20;

/// Takes the files of one target; without a folder all of them stay in memory.
#[derive(Debug, Default)]
pub struct Stage {
    place: Option<(PathBuf, u32)>,
    /// Whether the folder could be made, once it was needed.
    folder: OnceLock<bool>,
    taken: AtomicU64,
    number: AtomicU64,
}

impl Stage {
    pub(super) fn of(site: &Site) -> Self {
        Self {
            place: Some((staging_place(site), site.mode.file())),
            folder: OnceLock::new(),
            taken: AtomicU64::new(0),
            number: AtomicU64::new(0),
        }
    }

    /// Takes the bytes of one file. Where the disk does not take them they stay in memory: whoever
    /// writes the site will say what is wrong with the disk.
    #[must_use]
    pub fn put(&self, bytes: Vec<u8>) -> Content {
        let taken = self.taken.fetch_add(bytes.len() as u64, Ordering::Relaxed);
        let Some((folder, mode)) = self.place.as_ref().filter(|_| taken >= IN_MEMORY) else {
            return bytes.into();
        };
        let number = self.number.fetch_add(1, Ordering::Relaxed);
        let file = folder.join(number.to_string());
        let stands = *self.folder.get_or_init(|| {
            let made = disk::make_folder(folder, 0o700).is_ok();
            if made && *mode == FileMode::Private.file() {
                system::keep_to_keeper(folder);
            }
            made
        });
        if stands && disk::write_new(&file, &bytes, *mode, false).is_ok() {
            Content::staged(file, Digest::of(&bytes))
        } else {
            bytes.into()
        }
    }
}

impl Drop for Stage {
    fn drop(&mut self) {
        if let (Some((folder, _)), Some(true)) = (&self.place, self.folder.get()) {
            // What cannot be removed now the next run removes.
            let _ = disk::remove_tree(folder);
        }
    }
}

/// The folder of this run beside a root.
pub(super) fn staging_place(site: &Site) -> PathBuf {
    site.beside(&format!(".staging-{}", std::process::id()))
}

#[cfg(test)]
#[allow(clippy::disallowed_methods, reason = "tests put files where they like")]
mod tests {
    use super::*;
    use crate::{Durability, FileMode, Target};
    use std::fs;

    #[test]
    fn what_is_more_than_a_little_waits_on_the_disk_and_goes_with_the_stage() {
        let home = tempfile::tempdir().unwrap();
        let target = Target {
            root: home.path().join("public"),
            name: "public",
            mode: FileMode::Public,
            durability: Durability::Durable,
        };
        let site = Site::new(&target).unwrap();
        let stage = Stage::of(&site);
        let large = vec![7_u8; usize::try_from(IN_MEMORY).unwrap()];
        let first = stage.put(large.clone());
        assert_eq!(fs::read_dir(home.path()).unwrap().count(), 0);
        let second = stage.put(b"whin".to_vec());
        assert_eq!(fs::read_dir(staging_place(&site)).unwrap().count(), 1);
        assert_eq!(second.digest(), Digest::of(b"whin"));
        assert_eq!(second.bytes().unwrap().as_ref(), b"whin");
        assert_eq!(first.bytes().unwrap().len(), large.len());
        drop(stage);
        assert_eq!(fs::read_dir(home.path()).unwrap().count(), 0);
        assert!(second.bytes().is_err());
    }
}
