//! What an artifact, such as a page, is made from; and why it is made again.

use super::digest::Digest;
use serde::{Deserialize, Serialize};
use std::fmt;

/// Everything that an artifact is made from. The program is not in it: the store knows only what
/// this very build made.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct ArtifactKey {
    /// How it is made: templates and options.
    pub how: Digest,
    /// What it shows.
    pub what: Digest,
    /// All that was read to choose what it shows; where reads are not noted, the same as `what`.
    pub from: Digest,
}

/// Why an artifact was made again.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Reason {
    /// Nothing is known of it: it is new, or the cache was deleted, damaged or of another build.
    Unknown,
    /// It does not stand in the folder as it was written.
    NotThere,
    /// Templates or options changed.
    How,
    /// What it shows changed.
    What,
}

impl fmt::Display for Reason {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Unknown => {
                "nothing is remembered of it, or another version of the program made it"
            }
            Self::NotThere => "it is missing in the folder or was changed there",
            Self::How => "templates or options changed",
            Self::What => "what it shows changed",
        })
    }
}
