//! What differs between operating systems: rights, folder numbers, links, swapping, waiting.
//!
//! In: paths and rights as on Unix. Out: the nearest thing the system has. Where it has nothing,
//! rights are ignored, numbers are 0 and swapping is unsupported; the rest of the writer is built
//! so that it is right with these answers too. No other file of the writer asks which system it is.

use std::ffi::{OsStr, OsString};
use std::fs::{self, DirBuilder, File, Metadata, OpenOptions};
use std::io;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::sync::OnceLock;
use std::time::Duration;

pub(super) use here::*;

/// The files that a file manager put into a folder by itself, and the name of one thing that is
/// something else: a folder without any is empty for its keeper.
///
/// # Errors
/// When the folder cannot be looked into.
pub fn looked_into(folder: &Path) -> io::Result<(Vec<PathBuf>, Option<OsString>)> {
    let mut of_file_manager = Vec::new();
    for entry in fs::read_dir(folder)? {
        let entry = entry?;
        let name = entry.file_name();
        if !entry.file_type()?.is_file() || !is_of_file_manager(&name) {
            return Ok((of_file_manager, Some(name)));
        }
        of_file_manager.push(entry.path());
    }
    Ok((of_file_manager, None))
}

/// Whether a file manager puts files of this name into the folders that it shows.
fn is_of_file_manager(name: &OsStr) -> bool {
    let names = [
        ".DS_Store",
        "desktop.ini",
        "Desktop.ini",
        "Thumbs.db",
        ".directory",
    ];
    names.iter().any(|own| name == *own)
}

#[cfg(unix)]
mod here {
    use super::{DirBuilder, File, Metadata, OpenOptions, Path, fs, io};
    use std::os::unix::fs as unix;
    use unix::{DirBuilderExt as _, MetadataExt as _, OpenOptionsExt as _, PermissionsExt as _};

    /// Makes a folder with at most these rights.
    pub(crate) fn make_folder(path: &Path, mode: u32) -> io::Result<()> {
        DirBuilder::new().mode(mode).create(path)
    }

    /// Opens a new file with at most these rights; an existing one is an error.
    pub(crate) fn create_new(path: &Path, mode: u32) -> io::Result<File> {
        OpenOptions::new()
            .write(true)
            .create_new(true)
            .mode(mode)
            .open(path)
    }

    /// Gives a file or folder that is no link exactly these rights.
    pub(crate) fn set_mode(path: &Path, mode: u32) -> io::Result<()> {
        fs::set_permissions(path, fs::Permissions::from_mode(mode))
    }

    /// Gives a file to the owner of another one. Only the superuser may; for everybody else both
    /// are theirs already.
    pub(crate) fn give_to_owner_of(path: &Path, found: &Metadata) {
        let ours = fs::symlink_metadata(path)
            .is_ok_and(|new| (new.uid(), new.gid()) == (found.uid(), found.gid()));
        if !ours {
            let _ = unix::chown(path, Some(found.uid()), Some(found.gid()));
        }
    }

    /// The rights of a file or folder.
    pub(crate) fn mode_of(found: &Metadata) -> u32 {
        found.mode() & 0o7777
    }

    /// A number that a folder keeps when it is moved and no other folder on its disk has.
    pub(crate) fn identity(found: &Metadata) -> u64 {
        found.ino()
    }

    /// Whether both are one file under two names; `false` may also mean "cannot tell".
    pub(crate) fn same_file(one: &Metadata, other: &Metadata) -> bool {
        (one.dev(), one.ino()) == (other.dev(), other.ino())
    }

    /// Whether both are known to be on different disks.
    pub(crate) fn other_disk(one: &Metadata, other: &Metadata) -> bool {
        one.dev() != other.dev()
    }

    /// Makes a link that leads where the link `from` leads.
    pub(crate) fn copy_link(from: &Path, to: &Path) -> io::Result<()> {
        unix::symlink(fs::read_link(from)?, to)
    }

    /// Waits until the disk has the names in a folder.
    pub(crate) fn sync_folder(path: &Path) -> io::Result<()> {
        File::open(path)?.sync_all()
    }
}

#[cfg(not(unix))]
mod here {
    use super::{DirBuilder, File, Metadata, OpenOptions, Path, fs, io};

    pub(crate) fn make_folder(path: &Path, _: u32) -> io::Result<()> {
        DirBuilder::new().create(path)
    }

    pub(crate) fn create_new(path: &Path, _: u32) -> io::Result<File> {
        OpenOptions::new().write(true).create_new(true).open(path)
    }

    pub(crate) fn set_mode(_: &Path, _: u32) -> io::Result<()> {
        Ok(())
    }

    pub(crate) fn give_to_owner_of(_: &Path, _: &Metadata) {}

    pub(crate) fn mode_of(_: &Metadata) -> u32 {
        0
    }

    pub(crate) fn identity(_: &Metadata) -> u64 {
        0
    }

    pub(crate) fn same_file(_: &Metadata, _: &Metadata) -> bool {
        false
    }

    pub(crate) fn other_disk(_: &Metadata, _: &Metadata) -> bool {
        false
    }

    #[cfg(windows)]
    pub(crate) fn copy_link(from: &Path, to: &Path) -> io::Result<()> {
        let goal = fs::read_link(from)?;
        if fs::metadata(from).is_ok_and(|found| found.is_dir()) {
            std::os::windows::fs::symlink_dir(goal, to)
        } else {
            std::os::windows::fs::symlink_file(goal, to)
        }
    }

    #[cfg(not(windows))]
    pub(crate) fn copy_link(from: &Path, _: &Path) -> io::Result<()> {
        fs::read_link(from).and(Err(io::ErrorKind::Unsupported.into()))
    }

    pub(crate) fn sync_folder(_: &Path) -> io::Result<()> {
        Ok(())
    }
}

/// Sees to it that nobody but the keeper and the system itself can read a file or folder, and all
/// that is made in the folder later: on Windows, where the rights of Unix mean nothing. Windows'
/// own `icacls` sets them, for the account by its number (SID), since its name may be anything. It
/// takes a moment, so that it is for secrets only. Where it cannot be done, the rights of the
/// folder above hold, which in a user's own folders let in nobody else either.
pub(super) fn keep_to_keeper(path: &Path) {
    /// The account that the system itself runs as (Microsoft, "Well-known SIDs").
    const SYSTEM: &str = "S-1-5-18";
    static KEEPER: OnceLock<Option<String>> = OnceLock::new();
    if !cfg!(windows) {
        return;
    }
    let Some(keeper) = KEEPER.get_or_init(sid_of_keeper) else {
        return;
    };
    let rights = if path.is_dir() { "(OI)(CI)F" } else { "F" };
    let grant = |sid: &str| format!("*{sid}:{rights}");
    let _ = Command::new("icacls")
        .arg(path)
        .args(["/inheritance:r", "/grant:r"])
        .args([grant(keeper), grant(SYSTEM)])
        .stdin(Stdio::null())
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .status();
}

/// The number of this account, as Windows' own `whoami` tells it: `"pc\m","S-1-5-21-…"`.
fn sid_of_keeper() -> Option<String> {
    let told = Command::new("whoami")
        .args(["/user", "/fo", "csv", "/nh"])
        .stdin(Stdio::null())
        .stderr(Stdio::null())
        .output()
        .ok()?;
    sid_in(&String::from_utf8_lossy(&told.stdout))
}

fn sid_in(told: &str) -> Option<String> {
    let sid = told.trim().rsplit(',').next()?.trim_matches('"');
    let numbers = sid.strip_prefix("S-1-")?;
    let is_plain = |c: char| c.is_ascii_digit() || c == '-';
    numbers.chars().all(is_plain).then(|| sid.to_owned())
}

/// How long something that another program holds open is tried again.
const PATIENCE: Duration = Duration::from_secs(3);

/// Moves, replaces or removes something that another program may have open. Windows refuses that,
/// and there is often one for a moment: a program that looks for viruses, that keeps a folder alike
/// on two machines, or our own desk that reads. So it is tried again for a while.
pub(super) fn patiently<T>(act: impl FnMut() -> io::Result<T>) -> io::Result<T> {
    let patience = if cfg!(windows) {
        PATIENCE
    } else {
        Duration::ZERO
    };
    tried_again(act, patience, std::thread::sleep)
}

fn tried_again<T>(
    mut act: impl FnMut() -> io::Result<T>,
    patience: Duration,
    mut wait: impl FnMut(Duration),
) -> io::Result<T> {
    /// Windows' numbers (Microsoft, "System Error Codes"): access denied, sharing violation, lock
    /// violation, a folder that is not empty since what was removed from it is still open.
    const IN_USE: [i32; 4] = [5, 32, 33, 145];
    let mut waited = Duration::ZERO;
    let mut pause = Duration::from_millis(5);
    loop {
        match act() {
            Err(error)
                if waited < patience
                    && error
                        .raw_os_error()
                        .is_some_and(|number| IN_USE.contains(&number)) =>
            {
                wait(pause);
                waited += pause;
                pause = (pause * 2).min(Duration::from_millis(100));
            }
            done => return done,
        }
    }
}

/// Swaps two folders in one step.
#[cfg(any(target_os = "linux", target_os = "android", target_vendor = "apple"))]
pub(super) fn exchange(one: &Path, other: &Path) -> io::Result<()> {
    use rustix::fs::{CWD, RenameFlags, renameat_with};
    Ok(renameat_with(CWD, one, CWD, other, RenameFlags::EXCHANGE)?)
}

/// Swaps two folders in one step: not on this system.
#[cfg(not(any(target_os = "linux", target_os = "android", target_vendor = "apple")))]
pub(super) fn exchange(_: &Path, _: &Path) -> io::Result<()> {
    Err(io::ErrorKind::Unsupported.into())
}

/// Whether [`sync_disk`] does anything here.
pub(super) const SYNCS_DISK: bool = cfg!(any(target_os = "linux", target_os = "android"));

/// Waits until the whole disk that holds `path` is written.
#[cfg(any(target_os = "linux", target_os = "android"))]
pub(super) fn sync_disk(path: &Path) -> io::Result<()> {
    Ok(rustix::fs::syncfs(File::open(path)?)?)
}

/// Waits until the whole disk that holds `path` is written: no call does so here.
#[cfg(not(any(target_os = "linux", target_os = "android")))]
pub(super) fn sync_disk(_: &Path) -> io::Result<()> {
    Ok(())
}

/// Takes memory in small pages from now on: those of 2 MiB are quicker, and take a tenth more,
/// since few of them are ever full. Programs that are started from here do the same.
#[cfg(any(target_os = "linux", target_os = "android"))]
pub fn spare_memory() {
    let _ = rustix::thread::disable_transparent_huge_pages(true);
}

/// Takes less memory: there is nothing to be said on this system.
#[cfg(not(any(target_os = "linux", target_os = "android")))]
pub fn spare_memory() {}

#[cfg(test)]
mod tests {
    use super::{sid_in, tried_again};
    use std::cell::Cell;
    use std::io::Error;
    use std::time::Duration;

    #[test]
    fn what_is_in_use_is_tried_again_until_it_is_free_or_patience_ends() {
        let (tries, waited) = (Cell::new(0), Cell::new(Duration::ZERO));
        let act = |free_at: u32, number: i32, patience: u64| {
            tries.set(0);
            waited.set(Duration::ZERO);
            tried_again(
                || {
                    tries.set(tries.get() + 1);
                    if tries.get() > free_at {
                        Ok(())
                    } else {
                        Err(Error::from_raw_os_error(number))
                    }
                },
                Duration::from_secs(patience),
                |pause| waited.set(waited.get() + pause),
            )
        };
        for number in [5, 32, 33, 145] {
            assert!(act(4, number, 3).is_ok());
            assert_eq!((tries.get(), waited.get().as_millis()), (5, 75));
        }
        // Somebody who never lets go; an error of another kind; a system that needs no patience.
        assert!(act(u32::MAX, 32, 3).is_err());
        let seconds = waited.get().as_secs_f64();
        assert!(
            (3.0..3.2).contains(&seconds) && tries.get() > 20,
            "{seconds}"
        );
        assert!(act(1, 112, 3).is_err() && tries.get() == 1);
        assert!(act(1, 32, 0).is_err() && tries.get() == 1);
    }

    // Microsoft, "whoami" and "Security identifiers".
    #[test]
    fn the_number_of_an_account_is_read_and_nothing_else() {
        let told = "\"pc\\m, n\",\"S-1-5-21-1004336348-1177238915-682003330-512\"\r\n";
        let sid = "S-1-5-21-1004336348-1177238915-682003330-512";
        assert_eq!(sid_in(told).as_deref(), Some(sid));
        for told in ["", "root", "\"pc\\m\",\"S-1-5-21 /grant\"", "S-1-x"] {
            assert_eq!(sid_in(told), None, "{told}");
        }
    }
}
