//! Record files that grow: the one way in which this program changes what a keeper wrote.
//!
//! In: the file, and a function that is given its bytes and gives the new ones. Out: the file with the new bytes, on the disk before the call returns; or the file as it was. One run at a time may
//! do this in a kennel: the file is read under the lock, so two that add at once lose nothing. The new bytes are written beside the file, under a name that begins with a dot, and take its place in
//! one step, so that a kill at any moment leaves the old file or the new one.
//!
//! Never: a file changed in place, a link followed, rights widened, a lock held while somebody thinks.

use std::fs::{File, OpenOptions};
use std::io::{ErrorKind, Read, Seek, Write};
use std::path::{Path, PathBuf};
use std::time::Duration;

use fs4::{FileExt, TryLockError};

use super::disk::{self, Result};
use super::error::{Unchangeable, WriteError};

/// How long a run waits for another: adding takes a moment, and many may stand in the queue.
const PATIENCE: Duration = Duration::from_secs(10);
/// The largest file that is read into memory here: a little over what records may have.
const LARGEST: u64 = 16 * 1024 * 1024;

/// What is to become of a file, and what to tell whoever asked.
#[derive(Debug)]
pub struct Grown<T> {
    /// The new bytes; nothing leaves the file alone.
    pub bytes: Option<Vec<u8>>,
    /// Given back when the bytes are on the disk.
    pub told: T,
}

/// Lets `change` give a file new bytes, under the kennel's lock in `state` (made when missing). `change` is given the bytes as they stand, nothing when there is no file; what it refuses leaves all
/// as it was. `who` is what another run is told that has to wait too long, such as `weigh`.
///
/// # Errors
/// [`WriteError::Held`] when another run does not let go, [`WriteError::Unchangeable`] for a link, a folder or a file that may not be written, [`WriteError::Disk`]. The file is then as it was.
pub fn grow<T, E>(
    state: &Path,
    who: &str,
    file: &Path,
    change: impl FnOnce(Option<&[u8]>) -> std::result::Result<Grown<T>, E>,
) -> Result<std::result::Result<T, E>> {
    let _lock = lock(state, who)?;
    let found = disk::look(file)?;
    let unchangeable = |why| WriteError::Unchangeable { path: file.to_path_buf(), why };
    if let Some(found) = &found {
        if found.is_symlink() {
            return Err(unchangeable(Unchangeable::Link));
        }
        if !found.is_file() {
            return Err(unchangeable(Unchangeable::NoFile));
        }
        if found.permissions().readonly() {
            return Err(unchangeable(Unchangeable::ReadOnly));
        }
        if found.len() > LARGEST {
            return Err(WriteError::disk("read", file, ErrorKind::FileTooLarge.into()));
        }
    }
    sweep(file)?;
    let old = found.as_ref().map(|_| disk::read(file)).transpose()?;
    let Grown { bytes, told } = match change(old.as_deref()) {
        Ok(grown) => grown,
        Err(refused) => return Ok(Err(refused)),
    };
    if let Some(bytes) = bytes.filter(|bytes| Some(bytes) != old.as_ref()) {
        let beside = beside(file, &std::process::id().to_string());
        let written = disk::write_beside(&beside, &bytes, found.as_ref()).and_then(|()| disk::rename(&beside, file));
        if written.is_err() {
            // The first error is the one to tell.
            let _ = disk::remove_file(&beside);
            written?;
        }
        if let Some(folder) = file.parent().filter(|folder| !folder.as_os_str().is_empty()) {
            // The file stands there with all its bytes; some file systems cannot wait for a folder.
            let _ = disk::sync_folder(folder);
        }
    }
    Ok(Ok(told))
}

/// The name under which new bytes wait: the walk through the content folder passes names with a dot over.
fn beside(file: &Path, run: &str) -> PathBuf {
    file.with_file_name(format!("{}{run}", waiting(file)))
}

fn waiting(file: &Path) -> String {
    format!(".{}.adding-", file.file_name().map(|name| name.to_string_lossy().into_owned()).unwrap_or_default())
}

/// Removes what a killed run left beside the file: under the lock nobody else is at work.
fn sweep(file: &Path) -> Result<()> {
    let folder = file.parent().filter(|folder| !folder.as_os_str().is_empty()).unwrap_or(Path::new("."));
    let begin = waiting(file);
    let entries = std::fs::read_dir(folder).map_err(|source| WriteError::disk("look into", folder, source))?;
    for entry in entries.flatten() {
        let name = entry.file_name().to_string_lossy().into_owned();
        if name.strip_prefix(&begin).is_some_and(|run| !run.is_empty() && run.bytes().all(|b| b.is_ascii_digit())) {
            disk::remove_file(&entry.path())?;
        }
    }
    Ok(())
}

/// Takes the lock and writes into it who holds it.
fn lock(state: &Path, who: &str) -> Result<File> {
    std::fs::create_dir_all(state).map_err(|source| WriteError::disk("make", state, source))?;
    let place = state.join("records.lock");
    let opened = OpenOptions::new().read(true).write(true).create(true).truncate(false).open(&place);
    let mut file = opened.map_err(|source| WriteError::disk("open", &place, source))?;
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
                return Err(WriteError::Held { lock: place, holder: named(&holder) });
            }
            Err(TryLockError::Error(source)) => return Err(WriteError::disk("lock", &place, source)),
        }
    }
    // Only for people to read; the lock itself does not depend on it.
    let note = format!("{who}, process {}\n", std::process::id());
    let _ = file.set_len(0).and_then(|()| file.rewind()).and_then(|()| file.write_all(note.as_bytes()));
    Ok(file)
}

/// What the lock says of its holder, as far as it can be shown.
fn named(note: &str) -> String {
    let shown: String = note.chars().filter(|c| !c.is_control()).take(60).collect();
    if shown.is_empty() { "another run".to_owned() } else { shown }
}

#[cfg(test)]
mod tests;
