//! The bytes of one planned file, and the mark by which they are known.
//!
//! In: bytes, a file of the cache, or nothing but the mark of what stands in the target already. Out: a [`Content`] whose mark is always at hand, so that most files of a site are never read or
//! held in memory again. Bytes that come from a file are compared with their mark before anybody uses them.

use std::borrow::Cow;
use std::fs::File;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use serde::{Deserialize, Deserializer, Serialize, Serializer, de};

use super::disk::{self, Result};
use super::error::WriteError;

/// What is known of the bytes of a file: their hash and their number.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Mark {
    #[serde(serialize_with = "write_hash", deserialize_with = "read_hash")]
    blake3: blake3::Hash,
    length: u64,
}

impl Mark {
    /// The mark of these bytes.
    #[must_use]
    pub fn of(bytes: &[u8]) -> Self {
        Self { blake3: blake3::hash(bytes), length: bytes.len() as u64 }
    }

    /// The mark of the bytes of a file, which are never all in memory.
    pub(super) fn of_file(path: &Path) -> Result<Self> {
        let mut hash = blake3::Hasher::new();
        let read = File::open(path).and_then(|file| hash.update_reader(file).map(|hash| (hash.finalize(), hash.count())));
        let (blake3, length) = read.map_err(|source| WriteError::disk("read", path, source))?;
        Ok(Self { blake3, length })
    }

    /// The hash.
    #[must_use]
    pub fn hash(&self) -> blake3::Hash {
        self.blake3
    }

    /// Number of bytes.
    #[must_use]
    pub fn length(&self) -> u64 {
        self.length
    }
}

/// Hexadecimal digits in files for people, bytes in those of the cache.
pub(super) fn write_hash<S: Serializer>(hash: &blake3::Hash, serializer: S) -> std::result::Result<S::Ok, S::Error> {
    if serializer.is_human_readable() { serializer.serialize_str(&hash.to_hex()) } else { hash.as_bytes().serialize(serializer) }
}

pub(super) fn read_hash<'de, D: Deserializer<'de>>(deserializer: D) -> std::result::Result<blake3::Hash, D::Error> {
    if deserializer.is_human_readable() {
        blake3::Hash::from_hex(Cow::<str>::deserialize(deserializer)?.as_ref()).map_err(de::Error::custom)
    } else {
        <[u8; 32]>::deserialize(deserializer).map(Into::into)
    }
}

/// The bytes that a file of a target shall have.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Content {
    mark: Mark,
    source: Source,
}

/// Where the bytes are.
#[derive(Clone, Debug, PartialEq, Eq)]
enum Source {
    /// In memory.
    Here(Arc<Vec<u8>>),
    /// In a file of the cache.
    File(PathBuf),
    /// In the target, at the same path, as an earlier run left them.
    Standing,
}

impl Content {
    /// What a file holds whose bytes had this mark.
    #[must_use]
    pub fn in_file(path: PathBuf, mark: Mark) -> Self {
        Self { mark, source: Source::File(path) }
    }

    /// What stands in the target already.
    #[must_use]
    pub(super) fn standing(mark: Mark) -> Self {
        Self { mark, source: Source::Standing }
    }

    /// The mark of the bytes.
    #[must_use]
    pub fn mark(&self) -> Mark {
        self.mark
    }

    /// Whether the bytes were made or read in this run, and are not those that stand there.
    #[must_use]
    pub fn is_standing(&self) -> bool {
        self.source == Source::Standing
    }

    /// The bytes.
    ///
    /// # Errors
    /// [`WriteError::Disk`] when a file of the cache cannot be read; [`WriteError::Changed`] when it holds other bytes by now, or the bytes stand in the target only.
    pub fn bytes(&self) -> Result<Cow<'_, [u8]>> {
        match &self.source {
            Source::Here(bytes) => Ok(Cow::Borrowed(bytes)),
            Source::File(path) => {
                let bytes = disk::read(path)?;
                if Mark::of(&bytes) == self.mark { Ok(Cow::Owned(bytes)) } else { Err(WriteError::Changed { path: path.clone() }) }
            }
            Source::Standing => Err(WriteError::Changed { path: PathBuf::new() }),
        }
    }
}

impl From<Vec<u8>> for Content {
    fn from(bytes: Vec<u8>) -> Self {
        Self { mark: Mark::of(&bytes), source: Source::Here(Arc::new(bytes)) }
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
    fn a_mark_reads_back_from_both_notations() {
        let mark = Mark::of(b"whin");
        let text = serde_json::to_string(&mark).unwrap();
        assert!(text.contains(&mark.hash().to_hex().to_string()), "{text}");
        assert_eq!(serde_json::from_str::<Mark>(&text).unwrap(), mark);
        let bytes = postcard::to_allocvec(&mark).unwrap();
        assert!(bytes.len() < 40);
        assert_eq!(postcard::from_bytes::<Mark>(&bytes).unwrap(), mark);
    }

    #[test]
    fn a_file_of_the_cache_that_changed_is_not_taken() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("a");
        std::fs::write(&path, "one").unwrap();
        let content = Content::in_file(path.clone(), Mark::of(b"one"));
        assert_eq!(content.bytes().unwrap().as_ref(), b"one");
        std::fs::write(&path, "two").unwrap();
        assert!(matches!(content.bytes(), Err(WriteError::Changed { .. })));
        std::fs::remove_file(&path).unwrap();
        assert!(matches!(content.bytes(), Err(WriteError::Disk { .. })));
        assert!(Content::standing(Mark::of(b"one")).bytes().is_err());
    }
}
