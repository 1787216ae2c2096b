//! What stands in folders, as a short text that changes with it.
//!
//! In: folders and files. Out: a hash of all names, times and sizes in them. No file is opened: a
//! file that was not written again keeps its time. What cannot be looked at counts as not there.

use crate::app::terminal::clock;
use crate::cache::{Digest, Stamp};
use std::path::{Path, PathBuf};
use std::time::UNIX_EPOCH;
use walkdir::{DirEntry, WalkDir};

/// What stands at a place and below it, in the order of names.
fn below(place: &Path) -> impl Iterator<Item = DirEntry> {
    let walk = WalkDir::new(place).sort_by_file_name().into_iter();
    walk.filter_entry(|entry| entry.depth() == 0 || !is_passed_over(entry.file_name()))
        .filter_map(Result::ok)
}

/// What stands at these places now.
#[must_use]
pub(crate) fn standing(places: &[PathBuf]) -> String {
    let mut hash = blake3::Hasher::new();
    for place in places {
        for entry in below(place).filter(|entry| !entry.file_type().is_dir()) {
            let found = entry.metadata().ok();
            let time = found
                .as_ref()
                .and_then(|found| found.modified().ok()?.duration_since(UNIX_EPOCH).ok())
                .unwrap_or_default();
            let size = found.map_or(0, |found| found.len());
            hash.update(entry.path().as_os_str().as_encoded_bytes())
                .update(&[0])
                .update(&time.as_nanos().to_le_bytes())
                .update(&size.to_le_bytes());
        }
    }
    hash.finalize().to_hex()[..16].to_owned()
}

/// What the system tells of all files at these places; nothing when one may change without that
/// being seen.
#[must_use]
pub(super) fn stamps(places: &[PathBuf]) -> Option<String> {
    let mut hash = blake3::Hasher::new();
    for place in places {
        for entry in below(place) {
            let name = entry.path().as_os_str().as_encoded_bytes();
            hash.update(name)
                .update(&[0, u8::from(entry.file_type().is_dir())]);
            if entry.file_type().is_file() {
                let stamp = Stamp::of(&entry.metadata().ok()?, clock())?;
                hash.update(Digest::of_view(&stamp).ok()?.hash());
            }
        }
    }
    Some(hash.finalize().to_hex()[..16].to_owned())
}

/// Whether something below a folder is hidden, or a copy that an editor put beside a file; reading
/// the records passes over the same names.
pub(super) fn is_passed_over(name: &std::ffi::OsStr) -> bool {
    let name = name.to_string_lossy();
    name.starts_with('.') || name.ends_with('~')
}

/// Whether any part of a path below a folder is passed over.
pub(super) fn is_below_passed_over(below: &Path) -> bool {
    below.iter().any(is_passed_over)
}

#[cfg(test)]
#[allow(clippy::disallowed_methods, reason = "tests put files where they like")]
mod tests {
    use super::*;
    use std::fs;

    #[test]
    fn it_changes_with_every_file_and_with_nothing_else() {
        let home = tempfile::tempdir().unwrap();
        let at = |name: &str| home.path().join(name);
        fs::create_dir_all(at("a/b")).unwrap();
        let places = [at("a"), at("codes.yaml")];
        let mut seen = vec![standing(&places)];
        let mut changed = |what: &str, is_change: bool| {
            let now = standing(&places);
            assert_eq!(now != *seen.last().unwrap(), is_change, "{what}");
            seen.push(now);
        };
        changed("nothing", false);
        fs::write(at("a/b/one"), "1").unwrap();
        changed("a new file", true);
        fs::write(at("a/b/.one.swp"), "1").unwrap();
        fs::write(at("a/b/one~"), "1").unwrap();
        fs::write(at("beside"), "1").unwrap();
        changed("what is passed over", false);
        fs::rename(at("a/b/one"), at("a/b/two")).unwrap();
        changed("another name", true);
        let file = fs::File::options().write(true).open(at("a/b/two")).unwrap();
        file.set_modified(UNIX_EPOCH + std::time::Duration::from_nanos(1_700_000_000_000_000_001))
            .unwrap();
        changed("another time", true);
        fs::write(at("codes.yaml"), "1").unwrap();
        changed("a file beside", true);
        fs::remove_file(at("codes.yaml")).unwrap();
        changed("a file gone", true);
    }
}
