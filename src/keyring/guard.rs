//! Keeping secrets to the keeper: the lock, `.gitignore`, and whether a file lies open to others.
//!
//! In: the kennel's folder. Out: what is [`Exposed`]. git is asked only whether it tracks the
//! files; without git, or outside a repository, nothing is tracked.

use super::{CODES, KeyringError, SIGNING_KEYS};
use crate::output::{self, WAITING_FILES, WriteError};
use fs4::{FileExt, TryLockError};
use std::fs::{self, File, OpenOptions};
use std::io::Write;
use std::path::Path;
use std::process::{Command, Stdio};
use std::time::Duration;

/// A secret file that somebody else may see.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Exposed {
    /// Others on this machine may read it.
    Readable {
        /// Name of the file.
        file: &'static str,
        /// Its rights, such as 0644.
        mode: u32,
    },
    /// git keeps it.
    Tracked {
        /// Name of the file.
        file: &'static str,
    },
    /// git does not keep it yet, and would take it.
    NotIgnored {
        /// Name of the file.
        file: &'static str,
    },
    /// A run that was killed left secrets beside the file that they were for.
    LeftBehind {
        /// Name of what was left.
        file: String,
    },
    /// Something that looks like another version of a secret file lies beside it: a program that
    /// keeps folders alike, or a copy, put it there.
    SecondVersion {
        /// Its name.
        file: String,
        /// Of which file.
        of: &'static str,
    },
}

/// Whether a file in the kennel's folder holds secrets.
fn is_secret(file: &str) -> bool {
    [CODES, SIGNING_KEYS].contains(&file)
}

/// Removes what killed runs left of the secrets, in the kennel's folder and in `memory`; the names
/// of those that held secrets.
///
/// # Errors
/// [`KeyringError`] when a folder cannot be looked into or a file not be removed.
pub fn sweep(kennel: &Path, memory: &Path) -> Result<Vec<String>, KeyringError> {
    output::sweep_left_behind(memory, |_| true)?;
    Ok(output::sweep_left_behind(kennel, is_secret)?)
}

/// The text of a file of secrets; nothing where there is none. Nothing but a file is opened: a pipe
/// would be waited for without end, and a link would be replaced when the secrets are written.
pub(super) fn read(path: &Path) -> Result<Option<String>, KeyringError> {
    let unreadable = |source| KeyringError::Unreadable {
        path: path.to_owned(),
        source,
    };
    let found = match fs::symlink_metadata(path) {
        Ok(found) => found,
        Err(error) if error.kind() == std::io::ErrorKind::NotFound => return Ok(None),
        Err(source) => return Err(unreadable(source)),
    };
    if !found.is_file() {
        let (what, hint) = if found.is_symlink() {
            (
                "it is a link to another place",
                "put the file itself there; links are not followed",
            )
        } else {
            (
                "it is no file",
                "move it away, and put the file back from your backup",
            )
        };
        return Err(KeyringError::NoFile {
            path: path.to_owned(),
            what,
            hint,
        });
    }
    fs::read_to_string(path).map(Some).map_err(unreadable)
}

/// Which of the secret files lie open.
#[must_use]
pub fn exposed(kennel: &Path) -> Vec<Exposed> {
    let mut open = Vec::new();
    let in_repository = may_be_in_repository(kennel);
    for file in [CODES, SIGNING_KEYS] {
        // What is no file cannot be used, which is said elsewhere.
        let Some(found) = fs::symlink_metadata(kennel.join(file))
            .ok()
            .filter(fs::Metadata::is_file)
        else {
            continue;
        };
        if let Some(mode) = readable_by_others(&found) {
            open.push(Exposed::Readable { file, mode });
        }
        if !in_repository {
            continue;
        }
        if git_says(kennel, &["ls-files", "--error-unmatch", "--", file]) == Some(0) {
            open.push(Exposed::Tracked { file });
        } else if git_says(kennel, &["check-ignore", "-q", "--", file]) == Some(1) {
            open.push(Exposed::NotIgnored { file });
        }
    }
    let left = output::left_behind(kennel, is_secret).unwrap_or_default();
    open.extend(left.into_iter().map(|file| Exposed::LeftBehind { file }));
    open.extend(second_versions(kennel));
    open
}

/// What lies in the kennel's folder beside the secret files and bears nearly their names.
fn second_versions(kennel: &Path) -> Vec<Exposed> {
    let entries = fs::read_dir(kennel).into_iter().flatten().flatten();
    let files = entries.filter(|entry| entry.file_type().is_ok_and(|kind| kind.is_file()));
    let mut names: Vec<String> = files
        .filter_map(|entry| entry.file_name().into_string().ok())
        .collect();
    names.sort();
    let found = |file: String| {
        let of = [CODES, SIGNING_KEYS]
            .into_iter()
            .find(|of| is_second_version(&file, of))?;
        Some(Exposed::SecondVersion { file, of })
    };
    names.into_iter().filter_map(found).collect()
}

/// `codes (1).yaml`, `codes-LAPTOP.yaml`, `Copy of codes.yaml`, `codes.yaml.bak`. The name in other
/// letters, `Codes.yaml`, is on some systems the file itself.
fn is_second_version(file: &str, of: &str) -> bool {
    let name = file.to_lowercase();
    let bare = name.strip_prefix("copy of ").unwrap_or(&name);
    let (stem, ending) = of.split_once('.').unwrap_or((of, ""));
    let rest = bare
        .strip_prefix(stem)
        .filter(|rest| rest.contains(&format!(".{ending}")));
    name != of && rest.is_some_and(|rest| !rest.starts_with(char::is_alphanumeric))
}

#[cfg(unix)]
fn readable_by_others(found: &fs::Metadata) -> Option<u32> {
    use std::os::unix::fs::PermissionsExt;
    let mode = found.permissions().mode() & 0o777;
    (mode & 0o077 != 0).then_some(mode)
}

/// Rights are kept elsewhere there.
#[cfg(not(unix))]
fn readable_by_others(_: &fs::Metadata) -> Option<u32> {
    None
}

/// Whether git could take files of this folder: then there is a repository in it or above. Asking
/// git itself takes longer than all else that is asked of the secrets.
fn may_be_in_repository(kennel: &Path) -> bool {
    let above = |folder: &Path| {
        folder
            .ancestors()
            .any(|folder| folder.join(".git").exists())
    };
    kennel.canonicalize().map_or(true, |folder| above(&folder))
}

/// The exit code of git for a question about the kennel's folder; 128 outside a repository, nothing
/// without git.
fn git_says(kennel: &Path, question: &[&str]) -> Option<i32> {
    Command::new("git")
        .arg("-C")
        .arg(kennel)
        .args(question)
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .status()
        .ok()?
        .code()
}

/// Adds the secret files to `.gitignore`, where they are not in it yet, what waits to become one,
/// and the folders that hold codes and papers. What stands there stays as it is.
///
/// # Errors
/// [`KeyringError`] when the file cannot be read or written.
pub fn keep_out_of_git(kennel: &Path) -> Result<(), KeyringError> {
    let path = kennel.join(".gitignore");
    let text = match fs::read_to_string(&path) {
        Ok(text) => text,
        Err(error) if error.kind() == std::io::ErrorKind::NotFound => String::new(),
        Err(source) => return Err(KeyringError::Unreadable { path, source }),
    };
    let wanted = [CODES, SIGNING_KEYS, "private/", ".litterfolio/"].map(|file| format!("/{file}"));
    let missing = wanted
        .into_iter()
        .chain([WAITING_FILES.to_owned()])
        .filter(|line| !ignores(&text, line));
    let lines: String = missing.map(|line| line + "\n").collect();
    if lines.is_empty() {
        return Ok(());
    }
    let begin = if text.is_empty() || text.ends_with('\n') {
        ""
    } else {
        "\n"
    };
    let written = OpenOptions::new()
        .create(true)
        .append(true)
        .open(&path)
        .and_then(|mut file| file.write_all(format!("{begin}{lines}").as_bytes()));
    written.map_err(|source| {
        KeyringError::Write(WriteError::Disk {
            verb: "write",
            path,
            source,
        })
    })
}

/// Whether a line is there and holds: of two lines of `.gitignore` the later one wins, and one that
/// begins with `!` lets git take what an earlier one kept out.
fn ignores(text: &str, wanted: &str) -> bool {
    let bare = |line: &str| line.trim().trim_matches('/').to_owned();
    let wanted = bare(wanted);
    let lets_in = |line: &str| {
        line.trim()
            .strip_prefix('!')
            .map(bare)
            .is_some_and(|name| name == wanted || name.contains(['*', '?', '[']))
    };
    text.lines()
        .rev()
        .find_map(|line| {
            if lets_in(line) {
                Some(false)
            } else {
                (bare(line) == wanted).then_some(true)
            }
        })
        .unwrap_or(false)
}

/// How long a run waits for another that draws codes: that takes a moment.
const PATIENCE: Duration = Duration::from_secs(10);
const PAUSE: Duration = Duration::from_millis(50);

/// One run at a time.
pub(super) fn lock(memory: &Path) -> Result<File, KeyringError> {
    let place = memory.join("keyring.lock");
    let failed = |verb, source| {
        KeyringError::Write(WriteError::Disk {
            verb,
            path: place.clone(),
            source,
        })
    };
    fs::create_dir_all(memory).map_err(|source| failed("make the folder of", source))?;
    let file = OpenOptions::new()
        .read(true)
        .write(true)
        .create(true)
        .truncate(false)
        .open(&place)
        .map_err(|source| failed("open", source))?;
    let mut waited = Duration::ZERO;
    loop {
        match FileExt::try_lock(&file) {
            Ok(()) => return Ok(file),
            Err(TryLockError::WouldBlock) if waited < PATIENCE => {
                std::thread::sleep(PAUSE);
                waited += PAUSE;
            }
            Err(TryLockError::WouldBlock) => return Err(KeyringError::Busy),
            Err(TryLockError::Error(source)) => return Err(failed("lock", source)),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{CODES, SIGNING_KEYS, is_second_version};

    #[test]
    fn a_second_version_of_a_secret_file_is_known_by_its_name() {
        for name in [
            "codes (1).yaml",
            "codes-LAPTOP.yaml",
            "codes 2.yaml",
            "codes (M's conflicted copy 2026-06-01).yaml",
            "codes.sync-conflict-20260601-A7.yaml",
            "Copy of codes.yaml",
            "codes - Copy.yaml",
            "codes.yaml.bak",
            "codes.yaml~",
        ] {
            assert!(is_second_version(name, CODES), "{name}");
            let keys = name.replace("codes", "signing-keys");
            let keys = keys.replace(".yaml", ".json");
            assert!(is_second_version(&keys, SIGNING_KEYS), "{keys}");
            assert!(!is_second_version(&keys, CODES), "{keys}");
        }
        for name in [
            CODES,
            "Codes.yaml",
            "codes.html",
            "codesheet.yaml",
            "kennel.yaml",
        ] {
            assert!(!is_second_version(name, CODES), "{name}");
        }
    }
}
