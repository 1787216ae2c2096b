//! The single changes to the disk from which the writer is made, and the few looks it takes.
//!
//! In: a path and what to do with it. Out: done, or an error with verb, path and cause. Nothing
//! here opens an existing file for writing, follows a link, or replaces a file other than by
//! renaming. Every change passes through [`change`], where tests stop the program or fill the disk.

use std::fs::{self, File, FileTimes, Metadata};
use std::io::{self, ErrorKind, Write as _};
use std::path::Path;

use fs4::FileExt;
use walkdir::WalkDir;

use super::abreast::each;
use super::error::WriteError;
use super::system;

/// Every function of the writer can fail in one way.
pub(super) type Result<T> = std::result::Result<T, WriteError>;

fn change<T>(verb: &'static str, path: &Path, act: impl FnOnce() -> io::Result<T>) -> Result<T> {
    #[cfg(test)]
    let act = || super::fault::strike(verb).and_then(|()| act());
    act().map_err(|source| WriteError::disk(verb, path, source))
}

/// What stands at `path`, which is not followed if it is a link; `None` when nothing does.
pub(super) fn look(path: &Path) -> Result<Option<Metadata>> {
    match fs::symlink_metadata(path) {
        Ok(found) => Ok(Some(found)),
        Err(error) if matches!(error.kind(), ErrorKind::NotFound | ErrorKind::NotADirectory) => {
            Ok(None)
        }
        Err(source) => Err(WriteError::disk("look at", path, source)),
    }
}

/// All bytes of a file.
pub(super) fn read(path: &Path) -> Result<Vec<u8>> {
    fs::read(path).map_err(|source| WriteError::disk("read", path, source))
}

/// Makes one folder with exactly these rights, whatever the umask; never wider for a moment.
pub(super) fn make_folder(path: &Path, mode: u32) -> Result<()> {
    change("make", path, || {
        system::make_folder(path, mode)?;
        system::set_mode(path, mode)
    })
}

/// Sets the rights of a folder that this run made.
pub(super) fn set_mode(path: &Path, mode: u32) -> Result<()> {
    change("set the rights of", path, || system::set_mode(path, mode))
}

/// Writes a new file; something of that name is an error. `sync` waits until the disk has it.
pub(super) fn write_new(path: &Path, bytes: &[u8], mode: u32, sync: bool) -> Result<()> {
    let mut file = change("write", path, || system::create_new(path, mode))?;
    change("write", path, || {
        file.write_all(bytes)?;
        system::set_mode(path, mode)?;
        wait(sync, || file.sync_all())
    })
}

/// Writes a new file and keeps a lock on it, by which others see that somebody is at work on it;
/// waits until the disk has it. `protect` is called before there is anything in it.
pub(super) fn write_held(
    path: &Path,
    bytes: &[u8],
    mode: u32,
    protect: impl FnOnce(&Path),
) -> Result<File> {
    let mut file = change("write", path, || system::create_new(path, mode))?;
    // Where files cannot be locked, nothing is ever taken for left behind.
    let _ = FileExt::lock(&file);
    protect(path);
    change("write", path, || {
        file.write_all(bytes)?;
        system::set_mode(path, mode)?;
        wait(true, || file.sync_all())
    })?;
    Ok(file)
}

/// Writes a new file that is to take the place of `found`, with its rights and, where the system
/// lets us, its owner; with the usual rights where there was none. Waits until the disk has it.
pub(super) fn write_beside(path: &Path, bytes: &[u8], found: Option<&Metadata>) -> Result<()> {
    let mode = found.map_or(0o666, |found| system::mode_of(found) & 0o777);
    let mut file = change("write", path, || system::create_new(path, mode))?;
    change("write", path, || {
        file.write_all(bytes)?;
        if let Some(found) = found {
            system::give_to_owner_of(path, found);
            system::set_mode(path, mode)?;
        }
        wait(true, || file.sync_all())
    })
}

/// Gives a file, link or special file a second place at `to`: a hard link where the disk has
/// them, otherwise a copy with the same rights and time.
pub(super) fn carry(from: &Path, to: &Path, found: &Metadata, sync: bool) -> Result<()> {
    change("carry over", from, || {
        if found.is_symlink() {
            return system::copy_link(from, to);
        }
        match hard_link(from, to) {
            Err(error) if found.is_file() && may_copy_instead(error.kind()) => {
                copy_file(from, to, found, sync)
            }
            linked => linked,
        }
    })
}

/// Moves a file or folder within one disk.
pub(super) fn rename(from: &Path, to: &Path) -> Result<()> {
    change("move", from, || system::patiently(|| fs::rename(from, to)))
}

/// Swaps two folders or files in one step; `false` when this system or this disk cannot.
pub(super) fn exchange(one: &Path, other: &Path) -> Result<bool> {
    change("swap in", other, || match try_exchange(one, other) {
        Ok(()) => Ok(true),
        // A file system that cannot exchange says so in one of these ways.
        Err(error)
            if matches!(
                error.kind(),
                ErrorKind::Unsupported | ErrorKind::InvalidInput
            ) =>
        {
            Ok(false)
        }
        Err(error) => Err(error),
    })
}

/// Removes one file or link.
pub(super) fn remove_file(path: &Path) -> Result<()> {
    change("remove", path, || {
        system::patiently(|| fs::remove_file(path))
    })
}

/// Removes a folder of ours with all in it, or the file of a probe; links are removed, not
/// followed. What is already gone is no error.
pub(super) fn remove_tree(path: &Path) -> Result<()> {
    change("remove", path, || {
        empty(path);
        match system::patiently(|| fs::remove_dir_all(path)) {
            Err(error) if error.kind() == ErrorKind::PermissionDenied => {
                // Foreign folders keep their rights, even those that forbid to empty them.
                for entry in WalkDir::new(path).into_iter().flatten() {
                    if entry.file_type().is_dir() {
                        system::set_mode(entry.path(), 0o700)?;
                    }
                }
                fs::remove_dir_all(path)
            }
            Err(error) if error.kind() == ErrorKind::NotFound => Ok(()),
            Err(error) if error.kind() == ErrorKind::NotADirectory => fs::remove_file(path),
            done => done,
        }
    })
}

/// Removes folders two levels below, as far as that goes: of a large tree most stands there.
fn empty(path: &Path) {
    let below = WalkDir::new(path).min_depth(2).max_depth(2);
    let folders = below.into_iter().flatten();
    let folders = folders.filter(|entry| entry.file_type().is_dir());
    each(folders.collect(), |entry| fs::remove_dir_all(entry.path()));
}

/// Waits until the disk has the names in a folder, where the system can do that.
pub(super) fn sync_folder(path: &Path) -> Result<()> {
    change("sync", path, || wait(true, || system::sync_folder(path)))
}

/// Waits until the whole disk that holds `path` is written, where the system can do that.
pub(super) fn sync_disk(path: &Path) -> Result<()> {
    change("sync", path, || wait(true, || system::sync_disk(path)))
}

fn copy_file(from: &Path, to: &Path, found: &Metadata, sync: bool) -> io::Result<()> {
    let mut copy = system::create_new(to, 0o600)?;
    io::copy(&mut File::open(from)?, &mut copy)?;
    // Disks without times or rights take the copy all the same: its bytes are what counts.
    let _ = found
        .modified()
        .and_then(|at| copy.set_times(FileTimes::new().set_modified(at)));
    let _ = copy.set_permissions(found.permissions());
    wait(sync, || copy.sync_all())
}

/// Lets the disk catch up, if wanted.
fn wait(wanted: bool, act: impl FnOnce() -> io::Result<()>) -> io::Result<()> {
    #[cfg(test)]
    let wanted = wanted && !super::fault::NO_WAITING.get();
    if wanted { act() } else { Ok(()) }
}

fn hard_link(from: &Path, to: &Path) -> io::Result<()> {
    #[cfg(test)]
    super::fault::without(&super::fault::NO_LINKS)?;
    fs::hard_link(from, to)
}

fn try_exchange(one: &Path, other: &Path) -> io::Result<()> {
    #[cfg(test)]
    super::fault::without(&super::fault::NO_EXCHANGE)?;
    system::exchange(one, other)
}

fn may_copy_instead(kind: ErrorKind) -> bool {
    !matches!(
        kind,
        ErrorKind::StorageFull | ErrorKind::NotFound | ErrorKind::AlreadyExists
    )
}
