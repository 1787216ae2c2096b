//! What can stop the writer, and what to do about it.
//!
//! In: what was tried, where, and what the system said. Out: one sentence and a hint that says what
//! to type or to change. It must never let a file name speak to the terminal.

use std::io::{self, ErrorKind};
use std::path::{Path, PathBuf};

/// The writer could not do its work. What stood on disk before stands there still, unless it is
/// [`WriteError::InPlace`] or [`WriteError::NotSynced`].
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum WriteError {
    /// Another run of the program holds the lock.
    #[error("cannot start: another run is writing this kennel's site")]
    Busy {
        /// The lock file.
        lock: PathBuf,
    },
    /// Another run is adding to the records and does not let go.
    #[error("cannot add to the records: {holder} is adding to them")]
    Held {
        /// The lock file.
        lock: PathBuf,
        /// Who holds it.
        holder: String,
    },
    /// A record file cannot be added to.
    #[error("cannot add to {}: {why}", shown(.path))]
    Unchangeable {
        /// The file.
        path: PathBuf,
        /// What is wrong with it.
        why: Unchangeable,
    },
    /// A change of several record files was begun and could be neither ended nor taken back.
    #[error("{cause}; the change of the records is half made")]
    Begun {
        /// What failed.
        cause: Box<WriteError>,
    },
    /// A target cannot stand where it was asked to.
    #[error("cannot use {} for the {name} files: {why}", shown(.root))]
    Unsuitable {
        /// Name of the target.
        name: &'static str,
        /// Its root, as asked for.
        root: PathBuf,
        /// What is wrong with it.
        why: Unsuitable,
    },
    /// Files that we did not write stand where the plan has its own.
    #[error("cannot replace what this program did not write: {}", several(.paths))]
    NotOurs {
        /// Those files and folders, in order.
        paths: Vec<PathBuf>,
    },
    /// A plan was given for a target that was not opened, or two plans for one target.
    #[error("cannot write the {name} files: not opened for this run, or planned twice")]
    Unopened {
        /// Name of the target.
        name: &'static str,
    },
    /// A file that was to stay as it was is no longer as it was.
    #[error("cannot leave {} as it was: it changed while we worked", shown(.path))]
    Changed {
        /// The file.
        path: PathBuf,
    },
    /// Somebody saved a record again and again while it was to be changed.
    #[error("{} was saved by another program meanwhile", shown(.path))]
    Meanwhile {
        /// The file.
        path: PathBuf,
    },
    /// A new file stands in its place, and the system would not say that the disk has it.
    #[error("{} is written, but the disk may not have it yet", shown(.path))]
    NotSynced {
        /// The file.
        path: PathBuf,
        /// What the system said.
        source: io::Error,
    },
    /// Something failed after the new files of some targets were in their place.
    #[error("{cause}")]
    InPlace {
        /// Names of the targets whose new files stand in their place.
        new: Vec<&'static str>,
        /// Names of the targets that are as they were.
        old: Vec<&'static str>,
        /// What failed.
        cause: Box<WriteError>,
    },
    /// The system refused something; the source says why.
    #[error("cannot {verb} {}", shown(.path))]
    Disk {
        /// What was tried, for example `write`.
        verb: &'static str,
        /// On which file or folder.
        path: PathBuf,
        /// What the system said.
        source: io::Error,
    },
}

/// Why a folder cannot be a target.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum Unsuitable {
    /// The path ends with `..` or is the root of a disk.
    #[error("it is not the name of a folder")]
    NoName,
    /// The folder in which the target is to stand does not exist.
    #[error("there is no folder {}", shown(.0))]
    NoParent(PathBuf),
    /// A file has that name.
    #[error("it is a file")]
    IsFile,
    /// A link has that name; the swap would replace the link.
    #[error("it is a link to another place")]
    IsLink,
    /// The folder is a disk of its own, so it cannot be swapped with its neighbour.
    #[error("it is a disk of its own")]
    IsMount,
    /// It is the same as, contains or lies in a folder that must stay apart.
    #[error("it overlaps with {}", shown(.0))]
    Overlaps(PathBuf),
}

/// Why a record file cannot be added to.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum Unchangeable {
    /// It is a link; adding would replace the link.
    #[error("it is a link to another place")]
    Link,
    /// It is a folder or something else.
    #[error("it is no file")]
    NoFile,
    /// Nobody may write to it.
    #[error("it is read-only")]
    ReadOnly,
}

impl WriteError {
    pub(super) fn disk(verb: &'static str, path: &Path, source: io::Error) -> Self {
        Self::Disk {
            verb,
            path: path.to_path_buf(),
            source,
        }
    }

    pub(super) fn not_synced(path: &Path, cause: Self) -> Self {
        match cause {
            Self::Disk { source, .. } => Self::NotSynced {
                path: path.to_path_buf(),
                source,
            },
            other => other,
        }
    }

    /// What failed and why, without the hint.
    #[must_use]
    pub fn with_cause(&self) -> String {
        match self {
            Self::InPlace { cause, .. } | Self::Begun { cause } => cause.with_cause(),
            Self::Disk { source, .. } | Self::NotSynced { source, .. } => {
                format!("{self}: {source}")
            }
            _ => self.to_string(),
        }
    }

    /// What the keeper can do about it, as a sentence.
    #[must_use]
    pub fn hint(&self) -> &'static str {
        match self {
            Self::Busy { .. } => "wait until the other run has ended, or stop it, and try again",
            Self::Held { .. } => "wait until it has ended, or stop it, and try again",
            Self::Unchangeable {
                why: Unchangeable::Link,
                ..
            } => "put the file itself there; links are not followed",
            Self::Unchangeable {
                why: Unchangeable::NoFile,
                ..
            } => "move it away, so that a file can stand there",
            Self::Unchangeable {
                why: Unchangeable::ReadOnly,
                ..
            } => "make it writable again, or add by hand what is to be added",
            Self::NotOurs { .. } => {
                "move these away, or let them be adopted (--adopt), which replaces files and links \
                 (a folder in the way must be moved)"
            }
            Self::Unopened { .. } => "this is a fault of the program; please report it",
            Self::Changed { .. } | Self::Meanwhile { .. } => "run again",
            Self::NotSynced { .. } => "look at the disk, and keep a copy of the file elsewhere",
            Self::Begun { .. } => {
                "make room or look at that disk, then run `litterfolio inspect`: it makes the rest \
                 of the change"
            }
            Self::InPlace { cause, .. } => cause.hint(),
            Self::Unsuitable { why, .. } => why.hint(),
            Self::Disk { verb, source, .. } => disk_hint(verb, source.kind()),
        }
    }
}

impl Unsuitable {
    fn hint(&self) -> &'static str {
        match self {
            Self::NoName => "name a folder, for example public",
            Self::NoParent(_) => "make that folder first, or check the spelling",
            Self::IsFile => "move the file away or name another folder",
            Self::IsLink => "name the folder that the link leads to",
            Self::IsMount => "name a folder on that disk, for example one called site",
            Self::Overlaps(_) => "give each of the two a folder of its own, side by side",
        }
    }
}

fn disk_hint(verb: &str, kind: ErrorKind) -> &'static str {
    match kind {
        // Without a lock, two that write at once would lose what one of them wrote.
        _ if verb == "lock" => {
            "that drive cannot keep two programs apart, as some network drives: keep the kennel on \
             a disk of this machine, and its backups there"
        }
        ErrorKind::PermissionDenied => {
            "you may not write there: change the rights of the folder, close programs that use it, \
             or choose another"
        }
        ErrorKind::ReadOnlyFilesystem => "that disk is read-only: choose a folder on another",
        ErrorKind::StorageFull | ErrorKind::QuotaExceeded => {
            "the disk is full: make room and run again"
        }
        ErrorKind::InvalidFilename => "the name is too long there: choose a shorter folder",
        ErrorKind::NotFound => "something was moved while we worked: run again",
        ErrorKind::CrossesDevices | ErrorKind::ResourceBusy => {
            "the folder cannot be moved: choose one that is no disk of its own and not in use"
        }
        ErrorKind::Unsupported => "that disk lacks what is needed: choose a folder on another",
        _ => "look at that file or folder, then run again",
    }
}

/// A path for people, with the separators of this system throughout, however it was typed or put
/// together. Control and direction characters, which could forge what a terminal shows, are
/// replaced; so is what Windows puts before a path that it looked up itself.
#[must_use]
pub fn shown(path: &Path) -> String {
    let path: PathBuf = path.components().collect();
    let path = if cfg!(windows) {
        as_typed(&path.to_string_lossy())
    } else {
        path.to_string_lossy().into_owned()
    };
    let forging = |c: char| {
        c.is_control()
            || matches!(c, '\u{61c}' | '\u{200b}'..='\u{200f}' | '\u{2028}'..='\u{202e}'
                | '\u{2060}'..='\u{206f}' | '\u{feff}')
    };
    path.replace(forging, "\u{fffd}")
}

/// `\\?\C:\kennel` and `\\?\UNC\house\kennel` as people type them (Microsoft, "Naming Files, Paths,
/// and Namespaces").
fn as_typed(path: &str) -> String {
    match path.strip_prefix(r"\\?\") {
        Some(rest) => match rest.strip_prefix(r"UNC\") {
            Some(share) => format!(r"\\{share}"),
            None => rest.to_owned(),
        },
        None => path.to_owned(),
    }
}

fn several(paths: &[PathBuf]) -> String {
    const MOST: usize = 5;
    let first = paths
        .iter()
        .take(MOST)
        .map(|path| shown(path))
        .collect::<Vec<_>>()
        .join(", ");
    if paths.len() > MOST {
        format!("{first} and {} more", paths.len() - MOST)
    } else {
        first
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_cannot_forge_a_message() {
        let path = Path::new("a\u{1b}[2Jb\u{202e}c\nd");
        assert_eq!(shown(path), "a\u{fffd}[2Jb\u{fffd}c\u{fffd}d");
    }

    // Microsoft, "Naming Files, Paths, and Namespaces".
    #[test]
    fn what_windows_puts_before_a_path_is_not_shown() {
        for (found, shown) in [
            (r"\\?\C:\kennel\public", r"C:\kennel\public"),
            (r"\\?\UNC\house\kennel", r"\\house\kennel"),
            (r"C:\kennel", r"C:\kennel"),
            (r"\\house\kennel", r"\\house\kennel"),
        ] {
            assert_eq!(as_typed(found), shown);
        }
    }

    #[test]
    fn a_path_has_the_separators_of_this_system_and_no_others() {
        let path = Path::new("my kennel/")
            .join("content")
            .join("dogs/juno.yaml");
        let parts = ["my kennel", "content", "dogs", "juno.yaml"];
        assert_eq!(shown(&path), parts.join(std::path::MAIN_SEPARATOR_STR));
    }

    // As strange drives answer: ENOLCK, EOPNOTSUPP; ERROR_NOT_SUPPORTED.
    #[test]
    fn a_drive_without_locks_is_told_in_words_for_keepers() {
        for number in [37, 95, 50] {
            let source = io::Error::from_raw_os_error(number);
            let error = WriteError::disk("lock", Path::new("records.lock"), source);
            assert!(
                error
                    .hint()
                    .contains("keep the kennel on a disk of this machine")
            );
        }
        let error = WriteError::disk("write", Path::new("a"), ErrorKind::NotFound.into());
        assert!(!error.hint().contains("two programs"));
    }

    #[test]
    fn a_long_list_is_cut_and_counted() {
        let paths = (0..7).map(|n| PathBuf::from(n.to_string())).collect();
        let error = WriteError::NotOurs { paths };
        let text = "cannot replace what this program did not write: 0, 1, 2, 3, 4 and 2 more";
        assert_eq!(error.to_string(), text);
    }

    #[test]
    fn the_hint_fits_the_cause() {
        for (kind, word) in [
            (ErrorKind::PermissionDenied, "rights"),
            (ErrorKind::ReadOnlyFilesystem, "read-only"),
            (ErrorKind::StorageFull, "full"),
            (ErrorKind::InvalidFilename, "too long"),
        ] {
            let error = WriteError::disk("write", Path::new("public/a"), kind.into());
            assert_eq!(
                error.to_string(),
                format!("cannot write {}", shown(Path::new("public/a")))
            );
            assert!(error.hint().contains(word), "{kind}");
            assert!(std::error::Error::source(&error).is_some());
        }
    }
}
