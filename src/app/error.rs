//! Why a run could not do its work: the verb, the path and the source.
//!
//! Never mixed with problems of the records, which are many, have places, and are shown all at
//! once.

use std::io;
use std::path::{Path, PathBuf};

/// Something outside the records stopped the run.
#[derive(Debug, thiserror::Error)]
pub enum Error {
    /// A file or folder could not be used.
    #[error("cannot {verb} {}: {source}", crate::output::shown_path(path))]
    Io {
        /// What was tried, such as `read the content folder`.
        verb: &'static str,
        /// Where.
        path: PathBuf,
        /// Why not.
        source: io::Error,
    },
    /// The site could not be written.
    #[error("{}\n  {}", .0.with_cause(), .0.hint())]
    Write(#[from] crate::output::WriteError),
    /// A backup could not be made or used.
    #[error(transparent)]
    Backup(#[from] crate::output::BackupError),
    /// A page could not be made.
    #[error(transparent)]
    Page(#[from] crate::pages::PageError),
    /// The access codes or the signing key cannot be used.
    #[error(transparent)]
    Keyring(#[from] crate::keyring::KeyringError),
    /// Something stopped the run half way; what is true now is said with it.
    #[error("{cause}\n  {stands}")]
    HalfWay {
        /// What stopped it.
        cause: Box<Error>,
        /// What was done, and what was not.
        stands: String,
    },
    /// The request makes no sense as typed, or cannot be met as things stand.
    #[error("{0}")]
    Usage(String),
}

impl From<crate::records::Unlisted> for Error {
    fn from(unlisted: crate::records::Unlisted) -> Self {
        let crate::records::Unlisted { folder, source } = unlisted;
        Self::io("read the content folder", &folder, source)
    }
}

impl Error {
    /// An input or output error with its verb and path.
    #[must_use]
    pub fn io(verb: &'static str, path: &Path, source: io::Error) -> Self {
        Self::Io {
            verb,
            path: path.to_owned(),
            source,
        }
    }

    /// The same error, with a word on how things stand now.
    #[must_use]
    pub fn and_now(self, stands: impl Into<String>) -> Self {
        Self::HalfWay {
            cause: Box::new(self),
            stands: stands.into(),
        }
    }

    /// Whether something that was remembered turned out to be otherwise, so that the same run
    /// without memory may succeed.
    #[must_use]
    pub fn is_of_memory(&self) -> bool {
        use crate::output::WriteError;
        use crate::pages::{PageError, PaperFault};
        if let Self::HalfWay { cause, .. } = self {
            return cause.is_of_memory();
        }
        let (Self::Write(cause)
        | Self::Page(PageError::Picture(cause) | PageError::Paper(PaperFault::Picture(cause)))) =
            self
        else {
            return false;
        };
        // A picture of the cache that was there a moment ago may be gone.
        matches!(cause, WriteError::Changed { .. })
            || (!matches!(self, Self::Write(_)) && matches!(cause, WriteError::Disk { .. }))
    }
}
