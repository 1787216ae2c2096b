//! One record of the keeper's, grown: written whole or not at all.
//!
//! In: a record's path, the bytes that it had when it was read, and those that it shall have. Out: the new file in its place with the rights of the old one, on the disk before the call returns;
//! or the old one as it was. It must never write over what somebody else wrote in the meantime.

use super::disk::{self, Result};
use super::system;
use std::path::Path;

/// What became of a record.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Grown {
    /// It holds the new bytes.
    Done,
    /// It no longer held the bytes that it was read with, and was left as it is.
    Changed,
}

/// Puts a grown record in the place of the old one, in one step.
///
/// # Errors
/// [`WriteError::Disk`](super::WriteError::Disk); the old record is then as it was.
pub fn grow_record(path: &Path, old: &[u8], new: &[u8]) -> Result<Grown> {
    let name = path.file_name().map(|name| name.to_string_lossy().into_owned()).unwrap_or_default();
    // A name with a dot in front is none of the records.
    let beside = path.with_file_name(format!(".{name}.new-{}", std::process::id()));
    let mode = disk::look(path)?.map_or(0o644, |found| system::mode_of(&found));
    let written = disk::write_new(&beside, new, mode, true)
        .and_then(|()| if disk::read(path)? == old { disk::rename(&beside, path).map(|()| Grown::Done) } else { Ok(Grown::Changed) });
    if !matches!(written, Ok(Grown::Done)) {
        // The first error is the one to tell.
        let _ = disk::remove_file(&beside);
        return written;
    }
    match path.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => disk::sync_folder(folder).map(|()| Grown::Done),
        _ => Ok(Grown::Done),
    }
}

#[cfg(test)]
#[allow(clippy::disallowed_methods, reason = "tests put files where they like")]
mod tests {
    use super::*;
    use std::fs;

    #[test]
    fn a_record_grows_whole_keeps_its_rights_and_leaves_nothing_beside_it() {
        let home = tempfile::tempdir().unwrap();
        let path = home.path().join("litter.yaml");
        fs::write(&path, "old").unwrap();
        #[cfg(unix)]
        {
            use std::os::unix::fs::PermissionsExt;
            fs::set_permissions(&path, fs::Permissions::from_mode(0o640)).unwrap();
        }
        assert_eq!(grow_record(&path, b"old", b"old and new").unwrap(), Grown::Done);
        assert_eq!(fs::read(&path).unwrap(), b"old and new");
        #[cfg(unix)]
        {
            use std::os::unix::fs::PermissionsExt;
            assert_eq!(fs::metadata(&path).unwrap().permissions().mode() & 0o777, 0o640);
        }
        assert_eq!(fs::read_dir(home.path()).unwrap().count(), 1);
    }

    #[test]
    fn what_somebody_else_wrote_in_the_meantime_stays() {
        let home = tempfile::tempdir().unwrap();
        let path = home.path().join("litter.yaml");
        fs::write(&path, "another").unwrap();
        assert_eq!(grow_record(&path, b"old", b"new").unwrap(), Grown::Changed);
        assert_eq!(fs::read(&path).unwrap(), b"another");
        assert_eq!(fs::read_dir(home.path()).unwrap().count(), 1);
    }
}
