//! What is known of bytes without having them: their hash and their number.

use serde::{Deserialize, Deserializer, Serialize, Serializer, de};
use std::borrow::Cow;
use std::fs::File;
use std::io;
use std::path::Path;

/// The BLAKE3 hash of some bytes, and how many there are.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Digest {
    #[serde(serialize_with = "write_hash", deserialize_with = "read_hash")]
    blake3: [u8; 32],
    length: u64,
}

impl Digest {
    /// The digest of these bytes.
    #[must_use]
    pub fn of(bytes: &[u8]) -> Self {
        Self {
            blake3: *blake3::hash(bytes).as_bytes(),
            length: bytes.len() as u64,
        }
    }

    /// The digest of the bytes of a file, which are never all in memory.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn of_file(path: &Path) -> io::Result<Self> {
        let mut hash = blake3::Hasher::new();
        hash.update_reader(File::open(path)?)?;
        Ok(Self {
            blake3: *hash.finalize().as_bytes(),
            length: hash.count(),
        })
    }

    /// The digest of a view, as a template would see it.
    ///
    /// # Errors
    /// When it cannot be serialised.
    pub fn of_view(view: &impl Serialize) -> serde_json::Result<Self> {
        Ok(Self::of(&serde_json::to_vec(view)?))
    }

    /// The hash.
    #[must_use]
    pub fn hash(&self) -> &[u8; 32] {
        &self.blake3
    }

    /// The hash in hexadecimal digits.
    #[must_use]
    pub fn hex(&self) -> String {
        blake3::Hash::from_bytes(self.blake3).to_hex().to_string()
    }

    /// Number of bytes.
    #[must_use]
    pub fn length(&self) -> u64 {
        self.length
    }
}

impl Default for Digest {
    /// Of nothing.
    fn default() -> Self {
        Self::of(b"")
    }
}

/// A digest of several parts that is still being taken. Their borders count.
#[derive(Debug, Clone, Default)]
pub struct Digester(blake3::Hasher);

impl Digester {
    /// Adds a part.
    pub fn part(&mut self, bytes: &[u8]) -> &mut Self {
        self.0
            .update(&(bytes.len() as u64).to_le_bytes())
            .update(bytes);
        self
    }

    /// Adds something that is known by its digest.
    pub fn digest(&mut self, digest: &Digest) -> &mut Self {
        self.0.update(&digest.blake3);
        self
    }

    /// Adds something that may be missing, by its name. One without a digest is there all the
    /// same.
    pub fn named(&mut self, name: &str, digest: Option<Digest>) -> &mut Self {
        self.part(name.as_bytes());
        self.0.update(&[u8::from(digest.is_some())]);
        self.digest(&digest.unwrap_or_default())
    }

    /// The digest of all that was added.
    #[must_use]
    pub fn finish(&self) -> Digest {
        Digest {
            blake3: *self.0.finalize().as_bytes(),
            length: self.0.count(),
        }
    }
}

/// Hexadecimal digits in files for people, bytes in those of the store.
fn write_hash<S: Serializer>(hash: &[u8; 32], serializer: S) -> Result<S::Ok, S::Error> {
    if serializer.is_human_readable() {
        serializer.serialize_str(&blake3::Hash::from_bytes(*hash).to_hex())
    } else {
        hash.serialize(serializer)
    }
}

fn read_hash<'de, D: Deserializer<'de>>(deserializer: D) -> Result<[u8; 32], D::Error> {
    if deserializer.is_human_readable() {
        let digits = Cow::<str>::deserialize(deserializer)?;
        let hash = blake3::Hash::from_hex(digits.as_ref()).map_err(de::Error::custom)?;
        Ok(*hash.as_bytes())
    } else {
        Deserialize::deserialize(deserializer)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_digest_reads_back_from_both_notations() {
        let digest = Digest::of(b"whin");
        let text = serde_json::to_string(&digest).unwrap();
        assert!(text.contains(&digest.hex()), "{text}");
        assert_eq!(serde_json::from_str::<Digest>(&text).unwrap(), digest);
        let bytes = postcard::to_allocvec(&digest).unwrap();
        assert!(bytes.len() < 40);
        assert_eq!(postcard::from_bytes::<Digest>(&bytes).unwrap(), digest);
    }

    #[test]
    fn names_texts_and_their_borders_count() {
        let of = |files: &[(&str, Option<&str>)]| {
            let mut digester = Digester::default();
            for (name, text) in files {
                digester.named(name, text.map(|text| Digest::of(text.as_bytes())));
            }
            digester.finish()
        };
        let all = [
            of(&[]),
            of(&[("a", None)]),
            of(&[("a", Some(""))]),
            of(&[("a", Some("b"))]),
            of(&[("b", Some("b"))]),
            of(&[("a", Some("b")), ("c", None)]),
            of(&[("c", None), ("a", Some("b"))]),
        ];
        for (i, one) in all.iter().enumerate() {
            assert!(all[..i].iter().all(|other| other != one), "{i}");
        }
    }
}
