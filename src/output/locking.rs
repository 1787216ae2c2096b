//! The lock on a kennel's records, and the names under which new bytes wait beside their file.
//!
//! In: the folder of what is remembered; a record file. Out: the lock, which one run at a time
//! holds, so that two that add at once lose nothing; a name that begins with a dot, and what a
//! killed run left under such names, removed.
//!
//! Never: a lock held while somebody thinks.

use std::fs::{File, OpenOptions};
use std::io::{Read, Seek, Write};
use std::path::{Path, PathBuf};
use std::time::Duration;

use fs4::{FileExt, TryLockError};

use super::disk::{self, Result};
use super::error::WriteError;

/// How long a run waits for another: adding takes a moment, and many may stand in the queue.
const PATIENCE: Duration = Duration::from_secs(10);
/// The largest file that is read into memory here: a record has less, a picture may have more than
/// a record.
pub(super) const LARGEST: u64 = 64 * 1024 * 1024;

/// The name under which new bytes wait: the walk through the content folder passes names with a dot
/// over.
pub(super) fn beside(file: &Path, run: &str) -> PathBuf {
    file.with_file_name(format!("{}{run}", waiting(file)))
}

fn waiting(file: &Path) -> String {
    format!(
        ".{}.adding-",
        file.file_name()
            .map(|name| name.to_string_lossy().into_owned())
            .unwrap_or_default()
    )
}

/// Whether new bytes of some record wait under this name.
pub(super) fn is_waiting(name: &str) -> bool {
    let run = name
        .strip_prefix('.')
        .and_then(|name| name.rsplit_once(".adding-"));
    run.is_some_and(|(_, run)| !run.is_empty() && run.bytes().all(|b| b.is_ascii_digit()))
}

/// What a killed run left beside the file.
pub(super) fn waiting_beside(file: &Path) -> Result<Vec<PathBuf>> {
    let folder = file
        .parent()
        .filter(|folder| !folder.as_os_str().is_empty())
        .unwrap_or(Path::new("."));
    if !folder.is_dir() {
        return Ok(Vec::new());
    }
    let begin = waiting(file);
    let entries = std::fs::read_dir(folder)
        .map_err(|source| WriteError::disk("look into", folder, source))?;
    let waits = |entry: &std::fs::DirEntry| {
        let name = entry.file_name().to_string_lossy().into_owned();
        name.strip_prefix(&begin)
            .is_some_and(|run| !run.is_empty() && run.bytes().all(|b| b.is_ascii_digit()))
    };
    Ok(entries
        .flatten()
        .filter(waits)
        .map(|entry| entry.path())
        .collect())
}

/// Removes what a killed run left beside the file: under the lock nobody else is at work.
pub(super) fn sweep(file: &Path) -> Result<()> {
    waiting_beside(file)?
        .iter()
        .try_for_each(|left| disk::remove_file(left))
}

/// A file to be locked, which is made where it is not there.
pub(super) fn lock_file(state: &Path, name: &str) -> Result<(File, PathBuf)> {
    std::fs::create_dir_all(state).map_err(|source| WriteError::disk("make", state, source))?;
    let place = state.join(name);
    let opened = OpenOptions::new()
        .read(true)
        .write(true)
        .create(true)
        .truncate(false)
        .open(&place);
    let file = opened.map_err(|source| WriteError::disk("open", &place, source))?;
    Ok((file, place))
}

/// Takes the lock and writes into it who holds it.
pub(super) fn lock(state: &Path, who: &str) -> Result<File> {
    let (mut file, place) = lock_file(state, "records.lock")?;
    // Runs that wait do not all ask at the same moment.
    let pause = Duration::from_millis(5 + u64::from(std::process::id() % 16));
    let mut waited = Duration::ZERO;
    loop {
        match FileExt::try_lock(&file) {
            Ok(()) => break,
            Err(TryLockError::WouldBlock) if waited < PATIENCE => {
                std::thread::sleep(pause);
                waited += pause;
            }
            Err(TryLockError::WouldBlock) => {
                let mut holder = String::new();
                let _ = file.read_to_string(&mut holder);
                return Err(WriteError::Held {
                    lock: place,
                    holder: named(&holder),
                });
            }
            Err(TryLockError::Error(source)) => {
                return Err(WriteError::disk("lock", &place, source));
            }
        }
    }
    // Only for people to read; the lock itself does not depend on it.
    let note = format!("{who}, process {}\n", std::process::id());
    let _ = file
        .set_len(0)
        .and_then(|()| file.rewind())
        .and_then(|()| file.write_all(note.as_bytes()));
    Ok(file)
}

/// What the lock says of its holder, as far as it can be shown.
pub(super) fn named(note: &str) -> String {
    let shown: String = note.chars().filter(|c| !c.is_control()).take(60).collect();
    if shown.is_empty() {
        "another run".to_owned()
    } else {
        shown
    }
}
