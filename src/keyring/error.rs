//! What can be wrong with the keeper's secrets, and the way out of it.
//!
//! In: a file and what it lacks. Out: one sentence and what to do. No message holds a code or a
//! key.

use crate::output::WriteError;
use crate::sealing::NoRandomness;
use crate::sealing::jwe::NotSealed;
use std::path::{Path, PathBuf};
use std::{fmt, io};
use textwrap::WordSplitter;

/// Columns that a hint is wrapped to.
const WIDTH: usize = 78;

/// The secrets cannot be used as they are. Nothing was overwritten.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum KeyringError {
    /// A file could not be read.
    Unreadable {
        /// Which.
        path: PathBuf,
        /// What the system said.
        source: io::Error,
    },
    /// A file is not what it should be.
    Damaged {
        /// Which.
        path: PathBuf,
        /// Where, from 1.
        line: usize,
        /// What is wrong.
        what: String,
        /// What to do.
        hint: String,
    },
    /// A file of secrets is something else than a file.
    NoFile {
        /// Which.
        path: PathBuf,
        /// What it is.
        what: &'static str,
        /// What to do.
        hint: &'static str,
    },
    /// Access codes are gone although pages were sealed with them.
    CodesLost {
        /// Where it should be.
        path: PathBuf,
        /// Whether there is a file.
        is_there: bool,
        /// Whose codes are lost.
        lost: Vec<String>,
    },
    /// There are sealed pages on the site, no codes, and no memory of either.
    CodesForgotten {
        /// Where it should be.
        path: PathBuf,
        /// How many pages there are.
        pages: usize,
    },
    /// The signing key is gone although records were signed with it.
    KeyLost {
        /// Where it should be.
        path: PathBuf,
    },
    /// Another run of the program uses the secrets.
    Busy,
    /// No random bytes.
    NoRandomness(#[from] NoRandomness),
    /// The files could not be sealed for a backup.
    Unsealed(#[source] NotSealed),
    /// A file could not be written.
    Write(#[from] WriteError),
}

impl KeyringError {
    /// The file it is about, where it is one.
    #[must_use]
    pub fn path(&self) -> Option<&Path> {
        match self {
            Self::Unreadable { path, .. }
            | Self::Damaged { path, .. }
            | Self::NoFile { path, .. }
            | Self::CodesLost { path, .. }
            | Self::CodesForgotten { path, .. }
            | Self::KeyLost { path } => Some(path),
            Self::Busy | Self::NoRandomness(_) | Self::Unsealed(_) | Self::Write(_) => None,
        }
    }

    /// What is wrong, in one sentence.
    #[must_use]
    pub fn what(&self) -> String {
        let path = self.path().map(|path| path.display().to_string());
        let path = path.unwrap_or_default();
        match self {
            Self::Unreadable { source, .. } => format!("cannot read {path}: {source}"),
            Self::Damaged { line, what, .. } => format!("{path} is damaged, line {line}: {what}"),
            Self::NoFile { what, .. } => format!("cannot use {path}: {what}"),
            Self::CodesLost { is_there, lost, .. } => {
                let lacks = if *is_there {
                    "lacks codes that pages were sealed with"
                } else {
                    "is missing, and pages were sealed with codes that stood in it"
                };
                format!("{path} {lacks}: {}", lost.join(", "))
            }
            Self::CodesForgotten { pages, .. } => {
                format!("{path} is missing, and the site holds sealed pages ({pages})")
            }
            Self::KeyLost { .. } => {
                format!("{path} is missing, and records were signed with the key that stood in it")
            }
            Self::Busy => "another run of litterfolio is using the access codes: wait until it \
                           has ended, and try again"
                .to_owned(),
            Self::NoRandomness(why) => why.to_string(),
            Self::Unsealed(why) => format!("cannot seal the access codes for the backup: {why}"),
            Self::Write(why) => why.with_cause(),
        }
    }

    /// What to do, where something can be done about the files.
    #[must_use]
    pub fn hint(&self) -> Option<String> {
        let hint = match self {
            Self::Damaged { hint, .. } => hint,
            Self::NoFile { hint, .. } => *hint,
            Self::CodesLost { .. } => {
                "put the file back from your backup; or, if it is lost for good, draw new codes \
                 with `litterfolio recode --all`: the codes that families hold then open nothing \
                 that you publish"
            }
            Self::CodesForgotten { .. } => {
                "put the file back from your backup; or, if it is lost for good, remove the folder \
                 `sealed` from the site: the codes that families hold then open nothing that you \
                 publish, and new ones are drawn"
            }
            Self::KeyLost { .. } => {
                "put the file back from your backup; or, if it is lost for good, draw a new key \
                 with `litterfolio recode --signing-key`: papers that were handed over before can \
                 then no longer be checked on your site"
            }
            Self::Write(why) => return Some(why.hint().to_owned()),
            Self::Unreadable { .. } | Self::Busy | Self::NoRandomness(_) | Self::Unsealed(_) => {
                return None;
            }
        };
        Some(hint.to_owned())
    }
}

impl fmt::Display for KeyringError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.what())?;
        let Some(hint) = self.hint() else {
            return Ok(());
        };
        let line = textwrap::Options::new(WIDTH)
            .initial_indent("  ")
            .subsequent_indent("  ")
            .word_splitter(WordSplitter::NoHyphenation);
        write!(f, "\n{}", textwrap::fill(&hint, line))
    }
}
