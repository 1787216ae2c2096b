//! The bytes of one planned file, and the digest by which they are known.
//!
//! In: bytes, a file of the cache, or nothing but the digest of what stands in the target already.
//! Out: a [`Content`] whose digest is always at hand, so that most files of a site are never read
//! or held in memory again. Bytes that come from a file are compared with their digest before
//! anybody uses them.

use std::borrow::Cow;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use super::disk::{self, Result};
use super::error::WriteError;
use crate::cache::Digest;

/// The bytes that a file of a target shall have.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Content {
    digest: Digest,
    source: BytesFrom,
}

/// Where the bytes are.
#[derive(Clone, Debug, PartialEq, Eq)]
enum BytesFrom {
    /// In memory.
    Here(Arc<Vec<u8>>),
    /// In a file of the cache.
    File(PathBuf),
    /// In a file of this run that may be moved to its place.
    Staged(PathBuf),
    /// In the target, at the same path, as an earlier run left them.
    Standing,
}

impl Content {
    /// What a file holds whose bytes had this digest.
    #[must_use]
    pub fn in_file(path: PathBuf, digest: Digest) -> Self {
        Self {
            digest,
            source: BytesFrom::File(path),
        }
    }

    /// What waits in a file of this run to be moved to its place.
    pub(super) fn staged(path: PathBuf, digest: Digest) -> Self {
        Self {
            digest,
            source: BytesFrom::Staged(path),
        }
    }

    /// The file that may be moved to its place.
    pub(super) fn staged_at(&self) -> Option<&Path> {
        match &self.source {
            BytesFrom::Staged(path) => Some(path),
            _ => None,
        }
    }

    /// What stands in the target already.
    #[must_use]
    pub(super) fn standing(digest: Digest) -> Self {
        Self {
            digest,
            source: BytesFrom::Standing,
        }
    }

    /// The digest of the bytes.
    #[must_use]
    pub fn digest(&self) -> Digest {
        self.digest
    }

    /// Whether the bytes were made or read in this run, and are not those that stand there.
    #[must_use]
    pub fn is_standing(&self) -> bool {
        self.source == BytesFrom::Standing
    }

    /// The bytes.
    ///
    /// # Errors
    /// [`WriteError::Disk`] when a file of the cache cannot be read; [`WriteError::Changed`] when
    /// it holds other bytes by now, or the bytes stand in the target only.
    pub fn bytes(&self) -> Result<Cow<'_, [u8]>> {
        match &self.source {
            BytesFrom::Here(bytes) => Ok(Cow::Borrowed(bytes)),
            BytesFrom::File(path) | BytesFrom::Staged(path) => {
                let bytes = disk::read(path)?;
                if Digest::of(&bytes) == self.digest {
                    Ok(Cow::Owned(bytes))
                } else {
                    Err(WriteError::Changed { path: path.clone() })
                }
            }
            BytesFrom::Standing => Err(WriteError::Changed {
                path: PathBuf::new(),
            }),
        }
    }
}

impl From<Vec<u8>> for Content {
    fn from(bytes: Vec<u8>) -> Self {
        Self {
            digest: Digest::of(&bytes),
            source: BytesFrom::Here(Arc::new(bytes)),
        }
    }
}

impl From<&[u8]> for Content {
    fn from(bytes: &[u8]) -> Self {
        bytes.to_vec().into()
    }
}

impl From<&Vec<u8>> for Content {
    fn from(bytes: &Vec<u8>) -> Self {
        bytes.as_slice().into()
    }
}

#[cfg(test)]
#[allow(clippy::disallowed_methods, reason = "tests put files where they like")]
mod tests {
    use super::*;

    #[test]
    fn a_file_of_the_cache_that_changed_is_not_taken() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("a");
        std::fs::write(&path, "one").unwrap();
        let content = Content::in_file(path.clone(), Digest::of(b"one"));
        assert_eq!(content.bytes().unwrap().as_ref(), b"one");
        std::fs::write(&path, "two").unwrap();
        assert!(matches!(content.bytes(), Err(WriteError::Changed { .. })));
        std::fs::remove_file(&path).unwrap();
        assert!(matches!(content.bytes(), Err(WriteError::Disk { .. })));
        assert!(Content::standing(Digest::of(b"one")).bytes().is_err());
    }
}
