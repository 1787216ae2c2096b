//! Setting up a kennel from a backup: all of it, or nothing.
//!
//! In: a backup that was opened, a folder that is new or empty, secrets that were opened. Out: the
//! kennel in that folder. It is made beside its place, every file compared with its hash, and moved
//! there in one step; whoever kills it leaves a folder whose name begins with a dot, which the next
//! one removes.

use super::BackupError;
use super::names::windows_fault;
use super::reading::BackupFile;
use crate::error::WriteError;
use crate::site_path::below;
use crate::{disk, system};
use fs4::FileExt;
use std::collections::BTreeSet;
use std::fs::File;
use std::io::Write;
use std::path::{Path, PathBuf};

/// What the name of a folder that is being made ends with, before the number of the run.
const MARK: &str = ".restoring-";
/// The file that is locked as long as somebody is at work in such a folder.
const LOCK: &str = ".at-work";

impl BackupFile {
    /// Sets the kennel up in a new or empty folder, with these secret files beside its content.
    /// What a file manager left there goes.
    ///
    /// # Errors
    /// [`BackupError`]; then the folder is as it was.
    pub fn set_up(&mut self, to: &Path, secrets: &[(String, Vec<u8>)]) -> Result<(), BackupError> {
        let taken = |why| BackupError::Taken {
            folder: to.to_owned(),
            why,
        };
        let mut of_file_manager = Vec::new();
        let was_there = match disk::look(to)? {
            None => false,
            Some(found) if !found.is_dir() => return Err(taken("it is no folder")),
            Some(_) => {
                let (files, other) = system::looked_into(to)
                    .map_err(|source| WriteError::disk("look into", to, source))?;
                if other.is_some() {
                    return Err(taken("it is not empty; name a new folder"));
                }
                of_file_manager = files;
                true
            }
        };
        // The place itself, also where it was named `.` or by a link.
        let place = if was_there {
            std::fs::canonicalize(to).map_err(|source| WriteError::disk("look at", to, source))?
        } else {
            to.to_owned()
        };
        let (Some(name), Some(parent)) = (place.file_name(), place.parent()) else {
            return Err(taken("it is not the name of a folder"));
        };
        let parent = if parent.as_os_str().is_empty() {
            Path::new(".")
        } else {
            parent
        };
        if !parent.is_dir() {
            std::fs::create_dir_all(parent)
                .map_err(|source| WriteError::disk("make", parent, source))?;
        }
        self.fits_here()?;
        let name = name.to_string_lossy();
        sweep(parent, &format!(".{name}{MARK}"));
        let beside = parent.join(format!(".{name}{MARK}{}", std::process::id()));
        let made = self.fill(&beside, secrets).and_then(|()| {
            for file in &of_file_manager {
                std::fs::remove_file(file)
                    .map_err(|source| WriteError::disk("replace", file, source))?;
            }
            if was_there && cfg!(windows) {
                // There a folder takes the place of none, not even of an empty one.
                std::fs::remove_dir(&place)
                    .map_err(|source| WriteError::disk("replace", &place, source))?;
            }
            Ok(disk::rename(&beside, &place)?)
        });
        if made.is_err() {
            // The first error is the one to tell.
            let _ = disk::remove_tree(&beside);
            return made;
        }
        disk::sync_folder(parent).map_err(|cause| WriteError::not_synced(&place, cause).into())
    }

    /// No name in it would be refused here, or taken for another.
    fn fits_here(&self) -> Result<(), BackupError> {
        let refused = |path: &str, why| BackupError::Name {
            file: self.path().to_owned(),
            name: path.to_owned(),
            why,
        };
        if cfg!(windows) {
            for file in &self.list().files {
                if let Some(why) = file.path.split('/').find_map(windows_fault) {
                    return Err(refused(&file.path, why));
                }
            }
        }
        if cfg!(any(windows, target_os = "macos")) {
            let mut seen = BTreeSet::new();
            for file in &self.list().files {
                if !seen.insert(file.path.to_lowercase()) {
                    let why = "another name differs from it in small and capital letters only";
                    return Err(refused(&file.path, why));
                }
            }
        }
        Ok(())
    }

    fn fill(&mut self, root: &Path, secrets: &[(String, Vec<u8>)]) -> Result<(), BackupError> {
        disk::make_folder(root, 0o755)?;
        let at_work = root.join(LOCK);
        let lock = system::create_new(&at_work, 0o600)
            .map_err(|source| WriteError::disk("write", &at_work, source))?;
        // Where files cannot be locked, nothing is ever taken for left behind.
        let _ = FileExt::lock(&lock);
        let mut folders = BTreeSet::new();
        for folder in self.list().folders.clone() {
            make_folders(root, &folder, &mut folders)?;
        }
        for index in 0..self.list().files.len() {
            let path = self.list().files[index].path.clone();
            if let Some((folder, _)) = path.rsplit_once('/') {
                make_folders(root, folder, &mut folders)?;
            }
            let place = below(root, &path);
            let mode = if is_private(&path) { 0o600 } else { 0o644 };
            let mut file = new_file(&place, mode)?;
            self.copy(index, &mut file, &place)?;
            synced(&file, &place)?;
        }
        for (name, bytes) in secrets {
            let place = root.join(name);
            let mut file = new_file(&place, 0o600)?;
            system::keep_to_keeper(&place);
            file.write_all(bytes)
                .map_err(|source| WriteError::disk("write", &place, source))?;
            synced(&file, &place)?;
        }
        disk::sync_disk(root)?;
        drop(lock);
        disk::remove_file(&at_work)?;
        Ok(())
    }
}

/// What the program remembers is its keeper's alone.
fn is_private(path: &str) -> bool {
    path.starts_with(".litterfolio")
}

fn make_folders(root: &Path, folder: &str, made: &mut BTreeSet<String>) -> Result<(), BackupError> {
    let ends = folder.match_indices('/').map(|(end, _)| end);
    for end in ends.chain([folder.len()]) {
        let folder = &folder[..end];
        if made.insert(folder.to_owned()) {
            let mode = if is_private(folder) { 0o700 } else { 0o755 };
            let place = below(root, folder);
            match system::make_folder(&place, mode) {
                Err(error) if error.kind() != std::io::ErrorKind::AlreadyExists => {
                    return Err(WriteError::disk("make", &place, error).into());
                }
                _ => {}
            }
        }
    }
    Ok(())
}

fn new_file(place: &Path, mode: u32) -> Result<File, BackupError> {
    system::create_new(place, mode)
        .map_err(|source| WriteError::disk("write", place, source).into())
}

/// Where the whole disk can be waited for at once, a single file is not.
fn synced(file: &File, place: &Path) -> Result<(), BackupError> {
    if system::SYNCS_DISK {
        return Ok(());
    }
    file.sync_all()
        .map_err(|source| WriteError::disk("write", place, source).into())
}

/// Removes what killed runs left beside a place. What cannot be removed is in nobody's way.
fn sweep(parent: &Path, begin: &str) {
    let entries = std::fs::read_dir(parent).into_iter().flatten().flatten();
    let left = entries.filter(|entry| {
        let name = entry.file_name();
        let run = name.to_str().and_then(|name| name.strip_prefix(begin));
        run.is_some_and(|run| !run.is_empty() && run.bytes().all(|b| b.is_ascii_digit()))
    });
    let places: Vec<PathBuf> = left.map(|entry| entry.path()).collect();
    for place in places {
        let lock = File::options()
            .read(true)
            .write(true)
            .open(place.join(LOCK));
        let is_held = lock.is_ok_and(|lock| FileExt::try_lock(&lock).is_err());
        if !is_held {
            let _ = disk::remove_tree(&place);
        }
    }
}
