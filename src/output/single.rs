//! One file by itself, written whole or not at all, for the keeper's eyes only or for everybody's.
//!
//! In: a path and bytes. Out: the file, 0600 or 0644, on the disk before the call returns; or what
//! stood there before. Used for what belongs to no target: access codes, the signing key, what is
//! remembered of sealed pages, the papers of a handover.

use std::path::Path;

use super::disk::{self, Result};
use super::error::WriteError;
use super::system;
use super::waiting;

/// Writes a file that only the keeper may read, beside the old one, and puts it in its place in one
/// step.
///
/// # Errors
/// [`WriteError::Disk`]; the old file is then as it was. [`WriteError::NotSynced`]; the new file
/// then stands there.
pub fn replace_private(path: &Path, bytes: &[u8]) -> Result<()> {
    replace(path, bytes, 0o600)
}

/// Writes a file that everybody may read, beside the old one, and puts it in its place in one step.
///
/// # Errors
/// As [`replace_private`].
pub fn replace_public(path: &Path, bytes: &[u8]) -> Result<()> {
    replace(path, bytes, 0o644)
}

/// Writes a file of secrets as [`replace_private`] does, and sees to it that nobody else can read
/// it on a system that has other rights than Unix.
///
/// # Errors
/// As [`replace_private`].
pub fn replace_secret(path: &Path, bytes: &[u8]) -> Result<()> {
    replace_with(path, bytes, 0o600, system::keep_to_keeper)
}

fn replace(path: &Path, bytes: &[u8], mode: u32) -> Result<()> {
    replace_with(path, bytes, mode, |_| ())
}

fn replace_with(path: &Path, bytes: &[u8], mode: u32, protect: impl FnOnce(&Path)) -> Result<()> {
    let beside = waiting::place(path);
    if disk::look(&beside)?.is_some() {
        // A run that had our number was killed; none that lives has it.
        disk::remove_file(&beside)?;
    }
    let written = disk::write_held(&beside, bytes, mode, protect)
        .and_then(|held| disk::rename(&beside, path).map(|()| drop(held)));
    if written.is_err() {
        // The first error is the one to tell.
        let _ = disk::remove_file(&beside);
        return written;
    }
    match path.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => {
            disk::sync_folder(folder).map_err(|cause| WriteError::not_synced(path, cause))
        }
        _ => Ok(()),
    }
}

/// Removes one file; one that is not there is no error.
///
/// # Errors
/// [`WriteError::Disk`].
pub fn remove_file(path: &Path) -> Result<()> {
    if disk::look(path)?.is_some() {
        disk::remove_file(path)?;
    }
    Ok(())
}

/// Makes a folder that only the keeper may enter; one that is there is left as it is.
///
/// # Errors
/// [`WriteError::Disk`].
pub fn private_folder(path: &Path) -> Result<()> {
    if disk::look(path)?.is_some_and(|found| found.is_dir()) {
        Ok(())
    } else {
        disk::make_folder(path, 0o700)?;
        system::keep_to_keeper(path);
        Ok(())
    }
}

#[cfg(test)]
#[allow(clippy::disallowed_methods, reason = "tests put files where they like")]
mod tests {
    use super::*;
    use std::fs;

    #[test]
    fn a_file_is_replaced_whole_and_nobody_else_may_read_it() {
        let home = tempfile::tempdir().unwrap();
        let path = home.path().join("codes.yaml");
        fs::write(&path, "old").unwrap();
        replace_private(&path, b"new").unwrap();
        assert_eq!(fs::read(&path).unwrap(), b"new");
        #[cfg(unix)]
        {
            use std::os::unix::fs::PermissionsExt;
            assert_eq!(
                fs::metadata(&path).unwrap().permissions().mode() & 0o777,
                0o600
            );
        }
        assert_eq!(
            fs::read_dir(home.path()).unwrap().count(),
            1,
            "nothing is left beside it"
        );
    }

    #[test]
    fn a_full_disk_leaves_the_old_file_as_it_was() {
        let home = tempfile::tempdir().unwrap();
        fs::create_dir(home.path().join("codes.yaml")).unwrap();
        // A folder cannot be replaced by a file: the step that fails is the last one.
        assert!(replace_private(&home.path().join("codes.yaml"), b"new").is_err());
        assert_eq!(
            fs::read_dir(home.path()).unwrap().count(),
            1,
            "nothing is left beside it"
        );
    }
}
