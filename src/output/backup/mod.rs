//! A backup: one file with everything of a kennel, and a kennel made from one.
//!
//! In: the kennel's folder, or a backup and a new folder. Out: an ordinary zip file (PKWARE
//! APPNOTE), nothing in it compressed, so that any program can open it and a damaged one can still
//! be saved from; or the kennel's folder, whole or not at all. Pictures are copied piece by piece
//! and never held in memory.
//!
//! What the file holds: the kennel below `kennel/`, then [`SECRETS`] where the secrets were sealed,
//! [`ABOUT`] for people, and the list of all files with their SHA-256 (FIPS 180-4), [`LIST`]. The
//! comment of the zip file, which stands at its very end, is the SHA-256 of all bytes before it: so
//! a change of any byte is noticed, also of those that a zip file checks by nothing.
//!
//! What goes in: records, the keeper's own templates, the history of changes, and what is
//! remembered of sealed pages, by which lost codes are noticed. What does not: site, book and
//! papers, which are made from these; the cache; and secrets, unless they are sealed.
//!
//! A backup is written beside its place under a name with a dot, read again, and then moved there.
//! A kennel is set up beside its place and moved there in one step.

mod collecting;
mod names;
mod reading;
mod setting_up;
mod writing;

pub use collecting::{BackupPart, BackupParts, collect};
pub use names::windows_fault;
pub use reading::BackupFile;
pub use writing::{BackupWish, write_backup};

use super::error::{WriteError, shown};
use serde::{Deserialize, Serialize};
use std::path::PathBuf;

/// The list of a backup's files.
const LIST: &str = "list.json";
/// A few words for whoever finds the file.
const ABOUT: &str = "about-this-file.txt";
/// The secrets, sealed.
const SECRETS: &str = "secrets.jwe";
/// What the files of the kennel stand below.
const KENNEL: &str = "kennel/";
/// What the list calls itself.
const KIND: &str = "litterfolio backup";
/// Number of the notation of the list; a backup with a later one is not read.
const NOTATION: u32 = 1;
/// What stands before the hash in the comment.
const COMMENT: &str = "litterfolio backup, sha256 ";
/// How many bytes are copied at once.
const PIECE: usize = 128 * 1024;

/// What a backup says of itself.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct BackupList {
    kind: String,
    notation: u32,
    /// The kennel, by the name that its keeper gave it.
    pub kennel: String,
    /// When it was begun, as text.
    pub made: String,
    /// The version of the program.
    pub program: String,
    /// What became of codes and keys.
    pub secrets: SecretsKept,
    /// The files of the kennel.
    pub files: Vec<ListedFile>,
    /// Its empty folders.
    pub folders: Vec<String>,
}

/// One file of a kennel.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct ListedFile {
    /// Its path in the kennel's folder, with `/`.
    pub path: String,
    /// How long it is.
    pub bytes: u64,
    /// SHA-256 in hexadecimal.
    pub sha256: String,
}

/// What became of access codes and signing keys.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum SecretsKept {
    /// There were none.
    None,
    /// They are not in the backup.
    LeftOut,
    /// They are in it, sealed with a passphrase.
    Sealed,
}

/// Why a backup could not be made or used. What stood on the disk before stands there still.
#[derive(Debug, thiserror::Error)]
pub enum BackupError {
    /// The disk refused something.
    #[error("{}\n  {}", .0.with_cause(), .0.hint())]
    Disk(#[from] WriteError),
    /// It cannot go where it was asked to.
    #[error("cannot put a backup into {}: {why}", shown(.place))]
    NoPlace {
        /// Where.
        place: PathBuf,
        /// Why not.
        why: &'static str,
    },
    /// The file is none.
    #[error("{} is no backup of a kennel", shown(.file))]
    NotOne {
        /// Which.
        file: PathBuf,
    },
    /// The file is not as it was written.
    #[error(
        "{} is damaged: {what}\n  nothing was put in place; take another copy or an earlier \
         backup. The file is a zip file: what is whole in it can still be taken out by hand",
        shown(.file)
    )]
    Damaged {
        /// Which.
        file: PathBuf,
        /// What is wrong.
        what: String,
    },
    /// A later version of the program wrote it.
    #[error(
        "{} was made by a later version of litterfolio ({program})\n  nothing was put in place; \
         update the program first",
        shown(.file)
    )]
    Later {
        /// Which.
        file: PathBuf,
        /// That version.
        program: String,
    },
    /// A name in it leads elsewhere or cannot stand on this system.
    #[error(
        "{} holds a file that cannot be put in place here, `{name}`: {why}\n  nothing was put in \
         place",
        shown(.file)
    )]
    Name {
        /// The backup.
        file: PathBuf,
        /// The name, as far as it can be shown.
        name: String,
        /// What is wrong with it.
        why: &'static str,
    },
    /// The folder is in use.
    #[error("cannot set up a kennel in {}: {why}", shown(.folder))]
    Taken {
        /// Which.
        folder: PathBuf,
        /// Why not.
        why: &'static str,
    },
}

#[cfg(test)]
mod tests;
