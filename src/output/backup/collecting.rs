//! What of a kennel's folder goes into a backup.
//!
//! In: the folder. Out: its files and empty folders in the order of their names, with what could
//! not be taken. Links are not followed, and what is being written at this moment is no file yet.

use super::names::{FILES, FOLDERS, fault};
use crate::disk::Result;
use crate::error::WriteError;
use crate::{locking, waiting};
use std::io::ErrorKind;
use std::path::{Path, PathBuf};
use std::time::SystemTime;
use walkdir::{DirEntry, WalkDir};

/// A file that goes into a backup.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BackupPart {
    /// Its path in the kennel's folder, with `/`.
    pub name: String,
    pub(super) path: PathBuf,
    /// How long it is.
    pub bytes: u64,
    /// When it was last written, where the disk says so.
    pub modified: Option<SystemTime>,
}

/// What goes into a backup, and what does not.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct BackupParts {
    /// Files, in the order of their names.
    pub files: Vec<BackupPart>,
    /// Empty folders.
    pub folders: Vec<String>,
    /// What cannot be taken, and why.
    pub left_out: Vec<(String, &'static str)>,
}

/// Looks through a kennel's folder.
///
/// # Errors
/// [`WriteError::Disk`] when something in it cannot be looked at.
pub fn collect(kennel: &Path) -> Result<BackupParts> {
    let mut parts = BackupParts::default();
    for start in FOLDERS.iter().chain(&FILES) {
        let start = super::super::site_path::below(kennel, start);
        let mut walk = WalkDir::new(&start).sort_by_file_name().into_iter();
        while let Some(entry) = walk.next() {
            match entry {
                Ok(entry) => {
                    if parts.take(kennel, &entry)? == BelowEntry::Passed
                        && entry.file_type().is_dir()
                    {
                        walk.skip_current_dir();
                    }
                }
                Err(error) => match error.io_error().map(std::io::Error::kind) {
                    // What was removed meanwhile is no longer there to be kept.
                    Some(ErrorKind::NotFound) => {}
                    kind => {
                        let path = error.path().unwrap_or(&start);
                        let source = kind.unwrap_or(ErrorKind::Other).into();
                        return Err(WriteError::disk("look into", path, source));
                    }
                },
            }
        }
    }
    parts.files.sort_by(|one, other| one.name.cmp(&other.name));
    Ok(parts)
}

/// Whether what stands below an entry is looked at.
#[derive(PartialEq, Eq)]
enum BelowEntry {
    Seen,
    Passed,
}

impl BackupParts {
    /// How many bytes all files have.
    #[must_use]
    pub fn bytes(&self) -> u64 {
        self.files.iter().map(|file| file.bytes).sum()
    }

    fn take(&mut self, kennel: &Path, entry: &DirEntry) -> Result<BelowEntry> {
        let file_name = entry.file_name().to_string_lossy();
        if waiting::is_waiting(entry.file_name()) || locking::is_waiting(&file_name) {
            return Ok(BelowEntry::Passed);
        }
        let below = entry.path().strip_prefix(kennel).unwrap_or(entry.path());
        let parts: Option<Vec<&str>> = below.iter().map(|part| part.to_str()).collect();
        let Some(name) = parts.map(|parts| parts.join("/")) else {
            let shown = below.to_string_lossy().into_owned();
            self.left_out.push((shown, "its name is no text"));
            return Ok(BelowEntry::Passed);
        };
        let kind = entry.file_type();
        if kind.is_dir() {
            let is_empty =
                std::fs::read_dir(entry.path()).is_ok_and(|mut entries| entries.next().is_none());
            if is_empty && fault(&name).is_none() {
                self.folders.push(name);
            }
            return Ok(BelowEntry::Seen);
        }
        let why = if kind.is_symlink() {
            Some("it is a link to another place")
        } else if kind.is_file() {
            fault(&name)
        } else {
            Some("it is no file")
        };
        if let Some(why) = why {
            self.left_out.push((name, why));
            return Ok(BelowEntry::Passed);
        }
        match entry.metadata() {
            Ok(found) => self.files.push(BackupPart {
                name,
                path: entry.path().to_owned(),
                bytes: found.len(),
                modified: found.modified().ok(),
            }),
            Err(error)
                if error
                    .io_error()
                    .is_some_and(|e| e.kind() == ErrorKind::NotFound) => {}
            Err(error) => {
                let source = error.into_io_error().unwrap_or(ErrorKind::Other.into());
                return Err(WriteError::disk("look at", entry.path(), source));
            }
        }
        Ok(BelowEntry::Seen)
    }
}
