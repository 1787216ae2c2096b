//! Backups: making one, setting up a kennel from one, and what the last one was.
//!
//! In: the kennel's folder, a place for the file, a passphrase for the secrets or none. Out: the
//! file; and, kept in a small file that is the keeper's alone, when it was made and how each file
//! stood then, so that it can be told what changed since. That is judged by length and time of the
//! files, which is enough for a reminder: the backup itself goes by what is in them.

use super::folder::Folder;
use super::{secrets, terminal};
use crate::Error;
use crate::keyring::{self, CODES, SIGNING_KEYS};
use crate::output::{
    BackupError, BackupFile, BackupList, BackupParts, BackupWish, SecretsKept, collect,
    replace_private, windows_fault, write_backup,
};
use crate::sealing::passphrase::Passphrase;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};
use std::time::{SystemTime, UNIX_EPOCH};

/// The file that remembers the last backup.
const LAST: &str = "backup.json";

/// The last backup of a kennel.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct LastBackup {
    /// When, on the clock of this machine: `2026-11-29 18:30`.
    pub made: String,
    /// Where it was put.
    pub file: PathBuf,
    pub files: usize,
    pub bytes: u64,
    pub secrets: SecretsKept,
    /// How each file stood: its length, and its time in nanoseconds.
    stood: BTreeMap<String, (u64, u64)>,
}

/// A backup that was just made.
#[derive(Debug)]
pub struct MadeBackup {
    pub file: PathBuf,
    pub list: BackupList,
    pub bytes: u64,
    /// What could not be taken, and why.
    pub left_out: Vec<(String, &'static str)>,
    /// Files that could not be put in place on Windows, and why.
    pub not_on_windows: Vec<(String, &'static str)>,
}

/// How things stand with backups.
#[derive(Debug)]
pub struct BackupStanding {
    pub last: Option<LastBackup>,
    /// How many files were added, changed or taken out since.
    pub changed: usize,
}

/// Makes a backup in a folder, or as a new file.
pub fn make(
    folder: &Folder,
    place: &Path,
    passphrase: Option<&Passphrase>,
) -> Result<MadeBackup, Error> {
    let sealed = match passphrase {
        Some(passphrase) => keyring::seal_secrets(&folder.root, passphrase, &mut secrets::random)?,
        None => None,
    };
    let secrets = match (&sealed, keyring::has_secrets(&folder.root)) {
        (Some(_), _) => SecretsKept::Sealed,
        (None, true) => SecretsKept::LeftOut,
        (None, false) => SecretsKept::None,
    };
    let secret_stamps = stamps_of_secrets(&folder.root);
    let kennel = name_of(folder);
    let now = terminal::local_time().format("%Y-%m-%d %H:%M").to_string();
    let to = file_for(folder, place, &kennel, &now)?;
    let made = terminal::now().to_rfc3339_opts(chrono::SecondsFormat::Secs, true);
    let (list, parts) = write_backup(&BackupWish {
        root: &folder.root,
        state: &folder.state,
        to: &to,
        kennel: &kennel,
        made: &made,
        program: env!("CARGO_PKG_VERSION"),
        sealed: sealed.as_deref(),
        secrets,
    })?;
    let bytes = list.files.iter().map(|file| file.bytes).sum();
    let mut stood = stood(&parts);
    if secrets == SecretsKept::Sealed {
        stood.extend(secret_stamps);
    }
    let last = LastBackup {
        made: now,
        file: fs::canonicalize(&to).unwrap_or_else(|_| to.clone()),
        files: list.files.len(),
        bytes,
        secrets,
        stood,
    };
    // The backup is made; where nothing can be remembered, it only cannot be told of.
    let note = serde_json::to_vec(&last).unwrap_or_default();
    let _ = replace_private(&folder.state.join(LAST), &note);
    let on_windows = |path: &str| path.split('/').find_map(windows_fault);
    let not_on_windows = list
        .files
        .iter()
        .filter_map(|file| Some((file.path.clone(), on_windows(&file.path)?)))
        .collect();
    Ok(MadeBackup {
        file: to,
        list,
        bytes,
        left_out: parts.left_out,
        not_on_windows,
    })
}

/// The kennel's name, as far as its records can be read.
fn name_of(folder: &Folder) -> String {
    let loaded = folder.records().ok();
    let records = loaded.as_ref().and_then(|loaded| loaded.records.as_deref());
    match records {
        Some(records) => records.kennel.name.to_string(),
        None => "Kennel".to_owned(),
    }
}

/// The file to be written.
fn file_for(folder: &Folder, place: &Path, kennel: &str, now: &str) -> Result<PathBuf, Error> {
    let no_place = |why| {
        Error::from(BackupError::NoPlace {
            place: place.to_owned(),
            why,
        })
    };
    let is_zip = place
        .extension()
        .is_some_and(|ending| ending.eq_ignore_ascii_case("zip"));
    let (into, file) = if place.is_dir() {
        let word: String = kennel
            .chars()
            .map(|c| {
                if c.is_ascii_alphanumeric() {
                    c.to_ascii_lowercase()
                } else {
                    '-'
                }
            })
            .collect();
        let words: Vec<&str> = word.split('-').filter(|word| !word.is_empty()).collect();
        let day = now.replace(' ', "-").replace(':', "");
        let name = [&["backup"], &words[..]].concat().join("-");
        let free = (1..100)
            .map(|n| match n {
                1 => format!("{name}-{day}.zip"),
                n => format!("{name}-{day}-{n}.zip"),
            })
            .map(|name| place.join(name))
            .find(|file| !file.exists());
        let free = free.ok_or_else(|| no_place("there are too many backups of this minute"))?;
        (place.to_owned(), free)
    } else if is_zip {
        let parent = place
            .parent()
            .filter(|parent| !parent.as_os_str().is_empty());
        (
            parent.unwrap_or(Path::new(".")).to_owned(),
            place.to_owned(),
        )
    } else {
        // A stick that is not there must not become a folder on this disk.
        return Err(no_place(
            "there is no such folder; name one that is there, or a new file that ends with .zip",
        ));
    };
    let into =
        fs::canonicalize(&into).map_err(|error| Error::io("look at the folder", &into, error))?;
    for kept in [
        &folder.content,
        &folder.templates,
        &folder.public,
        &folder.private,
        &folder.state,
    ] {
        if fs::canonicalize(kept).is_ok_and(|kept| into.starts_with(kept)) {
            return Err(no_place(
                "it belongs to the kennel itself; take a folder elsewhere, best on another disk",
            ));
        }
    }
    Ok(file)
}

/// How the files stood that a keeper changes.
fn stood(parts: &BackupParts) -> BTreeMap<String, (u64, u64)> {
    let is_the_keepers = |name: &str| {
        ["content/", "templates/"]
            .iter()
            .any(|own| name.starts_with(own))
    };
    let files = parts.files.iter().filter(|file| is_the_keepers(&file.name));
    files
        .map(|file| (file.name.clone(), (file.bytes, nanoseconds(file.modified))))
        .collect()
}

fn stamps_of_secrets(kennel: &Path) -> Vec<(String, (u64, u64))> {
    let stamp = |name: &str| {
        let found = fs::metadata(kennel.join(name)).ok()?;
        Some((
            name.to_owned(),
            (found.len(), nanoseconds(found.modified().ok())),
        ))
    };
    [CODES, SIGNING_KEYS]
        .into_iter()
        .filter_map(stamp)
        .collect()
}

fn nanoseconds(time: Option<SystemTime>) -> u64 {
    let since = time.and_then(|time| time.duration_since(UNIX_EPOCH).ok());
    since.map_or(0, |since| {
        u64::try_from(since.as_nanos()).unwrap_or(u64::MAX)
    })
}

/// What the last backup was, and how many files are otherwise by now.
pub fn standing(root: &Path, state: &Path) -> BackupStanding {
    let note = fs::read(state.join(LAST)).ok();
    let last: Option<LastBackup> = note.and_then(|note| serde_json::from_slice(&note).ok());
    let mut changed = 0;
    if let Some(last) = &last
        && let Ok(parts) = collect(root)
    {
        let mut now = stood(&parts);
        if last.secrets == SecretsKept::Sealed {
            now.extend(stamps_of_secrets(root));
        }
        let differs =
            |(name, stamp): &(&String, &(u64, u64))| last.stood.get(*name) != Some(*stamp);
        changed = now.iter().filter(differs).count();
        changed += last
            .stood
            .keys()
            .filter(|name| !now.contains_key(*name))
            .count();
    }
    BackupStanding { last, changed }
}

/// What is to become of the secrets in a backup.
pub enum SealedSecrets<'a> {
    /// They are opened with this passphrase.
    Opened(&'a Passphrase),
    /// They stay where they are.
    LeftOut,
}

/// Sets a kennel up from a backup.
pub fn set_up(
    backup: &mut BackupFile,
    to: &Path,
    secrets: &SealedSecrets<'_>,
) -> Result<(), Error> {
    let files = match (secrets, backup.secrets()?) {
        (SealedSecrets::Opened(passphrase), Some(sealed)) => {
            keyring::open_secrets(&sealed, passphrase).map_err(|_| {
                Error::Usage(
                    "this passphrase does not open the codes and keys in the backup\n  nothing \
                     was put in place; try again, or leave them out"
                        .to_owned(),
                )
            })?
        }
        _ => Vec::new(),
    };
    backup.set_up(to, &files)?;
    Ok(())
}

/// `1.2 GB`, for people.
pub fn size(bytes: u64) -> String {
    match bytes {
        0..1_000 => format!("{bytes} bytes"),
        1_000..1_000_000 => format!("{} kB", bytes.div_ceil(1_000)),
        1_000_000..1_000_000_000 => tenths(bytes / 100_000, "MB"),
        _ => tenths(bytes / 100_000_000, "GB"),
    }
}

fn tenths(tenths: u64, unit: &str) -> String {
    format!("{}.{} {unit}", tenths / 10, tenths % 10)
}
