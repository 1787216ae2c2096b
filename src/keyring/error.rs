//! What can be wrong with the keeper's secrets, and the way out of it.
//!
//! In: a file and what it lacks. Out: one sentence and what to do. No message holds a code or a
//! key.

use crate::output::WriteError;
use crate::sealing::NoRandomness;
use crate::sealing::jwe::NotSealed;
use std::io;
use std::path::PathBuf;

/// The secrets cannot be used as they are. Nothing was overwritten.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum KeyringError {
    /// A file could not be read.
    #[error("cannot read {}: {source}", path.display())]
    Unreadable {
        /// Which.
        path: PathBuf,
        /// What the system said.
        source: io::Error,
    },
    /// A file is not what it should be.
    #[error("{} is damaged, line {line}: {what}\n  {hint}", path.display())]
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
    #[error("cannot use {}: {what}\n  {hint}", path.display())]
    NoFile {
        /// Which.
        path: PathBuf,
        /// What it is.
        what: &'static str,
        /// What to do.
        hint: &'static str,
    },
    /// Access codes are gone although pages were sealed with them.
    #[error(
        "{} {}: {}\n  put the file back from your backup; or, if it is lost for good, draw new \
         codes\n  with `litterfolio recode --all`: the codes that families hold then open \
         nothing\n  that you publish",
        path.display(),
        if *is_there {
            "lacks codes that pages were sealed with"
        } else {
            "is missing, and pages were sealed with codes that stood in it"
        },
        lost.join(", ")
    )]
    CodesLost {
        /// Where it should be.
        path: PathBuf,
        /// Whether there is a file.
        is_there: bool,
        /// Whose codes are lost.
        lost: Vec<String>,
    },
    /// There are sealed pages on the site, no codes, and no memory of either.
    #[error(
        "{} is missing, and the site holds sealed pages ({pages})\n  put the file back from your \
         backup; or, if it is lost for good, remove the folder\n  `sealed` from the site: the \
         codes that families hold then open nothing that you\n  publish, and new ones are drawn",
        path.display()
    )]
    CodesForgotten {
        /// Where it should be.
        path: PathBuf,
        /// How many pages there are.
        pages: usize,
    },
    /// The signing key is gone although records were signed with it.
    #[error(
        "{} is missing, and records were signed with the key that stood in it\n  put the file \
         back from your backup; or, if it is lost for good, draw a new key\n  with `litterfolio \
         recode --signing-key`: papers that were handed over before can\n  then no longer be \
         checked on your site",
        path.display()
    )]
    KeyLost {
        /// Where it should be.
        path: PathBuf,
    },
    /// Another run of the program uses the secrets.
    #[error(
        "another run of litterfolio is using the access codes: wait until it has ended, and try \
         again"
    )]
    Busy,
    /// No random bytes.
    #[error(transparent)]
    NoRandomness(#[from] NoRandomness),
    /// The files could not be sealed for a backup.
    #[error("cannot seal the access codes for the backup: {0}")]
    Unsealed(#[source] NotSealed),
    /// A file could not be written.
    #[error("{}\n  {}", .0.with_cause(), .0.hint())]
    Write(#[from] WriteError),
}
