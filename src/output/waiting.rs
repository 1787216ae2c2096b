//! Files that wait, beside the one whose place they take, until they are whole.
//!
//! In: the name of a file. Out: a name beside it that begins with a dot and says whose it is, so
//! that git can be told to pass it over and a later run can tell what a kill left. Whoever writes
//! such a file holds a lock on it: one that nobody holds was left, and only such a one is swept.

use std::ffi::OsStr;
use std::fs::{File, OpenOptions};
use std::io::ErrorKind;
use std::path::{Path, PathBuf};

use fs4::FileExt;

use super::disk::{self, Result};
use super::error::WriteError;

/// What stands between the name of a file and the number of the run.
const MARK: &str = ".litterfolio-";
/// The line of `.gitignore` that keeps all of them out of git.
pub const WAITING_FILES: &str = ".*.litterfolio-*";

/// Where the new bytes of a file wait.
pub(super) fn place(file: &Path) -> PathBuf {
    let name = file.file_name().unwrap_or_default().to_string_lossy();
    file.with_file_name(format!(".{name}{MARK}{}", std::process::id()))
}

/// The name of the file that a waiting one was to replace; nothing for any other file.
fn meant(name: &OsStr) -> Option<&str> {
    let (file, run) = name.to_str()?.strip_prefix('.')?.rsplit_once(MARK)?;
    (!file.is_empty() && !run.is_empty() && run.bytes().all(|b| b.is_ascii_digit())).then_some(file)
}

/// Whether a name is that of a file that waits.
pub(super) fn is_waiting(name: &OsStr) -> bool {
    meant(name).is_some()
}

/// The waiting files in a folder that no run holds any more, in the order of their names; those
/// whose file `is_meant`. Nothing where there is no such folder.
///
/// # Errors
/// [`WriteError::Disk`].
pub fn left_behind(folder: &Path, is_meant: impl Fn(&str) -> bool) -> Result<Vec<String>> {
    Ok(held(folder, is_meant)?
        .into_iter()
        .map(|(name, _)| name)
        .collect())
}

/// Removes them, and says which they were.
///
/// # Errors
/// [`WriteError::Disk`].
pub fn sweep_left_behind(folder: &Path, is_meant: impl Fn(&str) -> bool) -> Result<Vec<String>> {
    let left = held(folder, is_meant)?;
    // The lock is held until the file is gone: a run that has just made it waits, and finds out.
    left.iter()
        .try_for_each(|(name, _)| disk::remove_file(&folder.join(name)))?;
    Ok(left.into_iter().map(|(name, _)| name).collect())
}

/// What was left in a folder, each with its lock, which is ours now.
fn held(folder: &Path, is_meant: impl Fn(&str) -> bool) -> Result<Vec<(String, File)>> {
    let entries = match std::fs::read_dir(folder) {
        Ok(entries) => entries,
        Err(error) if matches!(error.kind(), ErrorKind::NotFound | ErrorKind::NotADirectory) => {
            return Ok(Vec::new());
        }
        Err(source) => return Err(WriteError::disk("look into", folder, source)),
    };
    let mut left = Vec::new();
    for entry in entries {
        let entry = entry.map_err(|source| WriteError::disk("look into", folder, source))?;
        let name = entry.file_name();
        let is_file = || entry.file_type().is_ok_and(|kind| kind.is_file());
        if !meant(&name).is_some_and(&is_meant) || !is_file() {
            continue;
        }
        // Opened for writing only because some systems lock no other; nothing is written.
        let Ok(file) = OpenOptions::new().read(true).write(true).open(entry.path()) else {
            continue;
        };
        if FileExt::try_lock(&file).is_ok() {
            left.push((name.to_string_lossy().into_owned(), file));
        }
    }
    left.sort_by(|one, other| one.0.cmp(&other.0));
    Ok(left)
}

#[cfg(test)]
#[allow(clippy::disallowed_methods, reason = "tests put files where they like")]
mod tests {
    use super::*;
    use std::fs;

    #[test]
    fn only_what_a_run_left_is_swept() {
        let home = tempfile::tempdir().unwrap();
        let at = |name: &str| home.path().join(name);
        for name in [
            ".codes.yaml.litterfolio-1",
            ".codes.yaml.litterfolio-2",
            ".other.txt.litterfolio-3",
            ".codes.yaml.litterfolio-",
            ".codes.yaml.litterfolio-4x",
            "codes.yaml.litterfolio-5",
            "codes.yaml",
        ] {
            fs::write(at(name), "secret").unwrap();
        }
        fs::create_dir(at(".codes.yaml.litterfolio-6")).unwrap();
        // A run that is still at work.
        let live = File::open(at(".codes.yaml.litterfolio-2")).unwrap();
        FileExt::lock(&live).unwrap();
        let is_codes = |file: &str| file == "codes.yaml";
        let left = [".codes.yaml.litterfolio-1".to_owned()];
        assert_eq!(left_behind(home.path(), is_codes).unwrap(), left);
        assert_eq!(sweep_left_behind(home.path(), is_codes).unwrap(), left);
        assert_eq!(fs::read_dir(home.path()).unwrap().count(), 7);
        drop(live);
        assert_eq!(
            sweep_left_behind(home.path(), |_| true).unwrap(),
            [".codes.yaml.litterfolio-2", ".other.txt.litterfolio-3"]
        );
        assert_eq!(
            sweep_left_behind(&at("nowhere"), |_| true).unwrap(),
            [] as [&str; 0]
        );
    }
}
