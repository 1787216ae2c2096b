//! What may be forgotten at any time: a folder of files that only save work.
//!
//! In: a name and a value. Out: the value as it was kept, or nothing. Each file says which version of the program wrote it and carries a hash of its content, so that a file that is damaged, cut
//! short or of another version is seen to be so and passed over. Nothing here is ever needed: the folder can be deleted, or not be writable at all, and only time is lost.

use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::{fmt, fs};

use serde::de::{DeserializeOwned, Visitor};
use serde::{Deserialize, Deserializer, Serialize, Serializer};

use super::disk;

/// Goes up whenever a kept value is written in another way.
const NOTATION: u8 = 2;

/// What was found under a name.
#[derive(Debug, PartialEq, Eq)]
pub enum Kept<T> {
    /// The value.
    Value(T),
    /// No file.
    Nothing,
    /// A file, but none that this version of the program wrote and nobody changed.
    Unusable,
}

impl<T> Kept<T> {
    /// The value, if there is one.
    pub fn value(self) -> Option<T> {
        match self {
            Self::Value(value) => Some(value),
            Self::Nothing | Self::Unusable => None,
        }
    }
}

/// Bytes that are kept as they are, and taken apart by whoever needs them.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Bytes(pub Arc<[u8]>);

impl Bytes {
    /// A value as it is kept; nothing for one that cannot be.
    pub fn of<T: Serialize>(value: &T) -> Option<Self> {
        postcard::to_allocvec(value).ok().map(|bytes| Self(bytes.into()))
    }

    /// The value in them, which may borrow from them.
    #[must_use]
    pub fn value<'a, T: Deserialize<'a>>(&'a self) -> Option<T> {
        postcard::from_bytes(&self.0).ok()
    }
}

impl Serialize for Bytes {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_bytes(&self.0)
    }
}

impl<'de> Deserialize<'de> for Bytes {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct Whole;
        impl Visitor<'_> for Whole {
            type Value = Bytes;
            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("bytes")
            }
            fn visit_bytes<E>(self, bytes: &[u8]) -> Result<Bytes, E> {
                Ok(Bytes(bytes.into()))
            }
        }
        deserializer.deserialize_bytes(Whole)
    }
}

/// The folder.
#[derive(Debug, Clone)]
pub struct Cache {
    root: PathBuf,
}

impl Cache {
    /// The cache below a state folder.
    #[must_use]
    pub fn below(state: &Path) -> Self {
        Self { root: state.join("cache") }
    }

    /// Where something of this name stands.
    #[must_use]
    pub fn place(&self, name: &str) -> PathBuf {
        self.root.join(name)
    }

    /// What was kept under a name.
    #[must_use]
    pub fn load<T: DeserializeOwned>(&self, name: &str) -> Kept<T> {
        let Ok(bytes) = fs::read(self.place(name)) else { return Kept::Nothing };
        let value = bytes.split_at_checked(32).and_then(|(hash, body)| {
            let body = body.strip_prefix(head().as_slice())?;
            (blake3::hash(body).as_bytes() == hash).then(|| postcard::from_bytes(body).ok())?
        });
        value.map_or(Kept::Unusable, Kept::Value)
    }

    /// Keeps a value under a name, in one step. Says whether it could.
    pub fn keep<T: Serialize>(&self, name: &str, value: &T) -> bool {
        let Ok(body) = postcard::to_allocvec(value) else { return false };
        self.keep_bytes(name, &[blake3::hash(&body).as_bytes().as_slice(), &head(), &body].concat())
    }

    /// Keeps bytes as a file under a name, in one step. Says whether it could.
    pub fn keep_bytes(&self, name: &str, bytes: &[u8]) -> bool {
        let place = self.place(name);
        let Some(folder) = place.parent() else { return false };
        if !folder.is_dir() && make(folder).is_err() {
            return false;
        }
        // Threads of one run may keep the same thing at once; the file's place in memory tells them apart.
        let fresh = folder.join(format!(".new-{}-{:x}", std::process::id(), bytes.as_ptr() as usize));
        let kept = disk::write_new(&fresh, bytes, 0o600, false).and_then(|()| disk::rename(&fresh, &place));
        if kept.is_err() {
            let _ = fs::remove_file(&fresh);
        }
        kept.is_ok()
    }

    /// Removes what is in a folder of the cache but for these names, and what an interrupted run left.
    pub fn keep_only(&self, folder: &str, wanted: &dyn Fn(&str) -> bool) {
        for entry in fs::read_dir(self.place(folder)).into_iter().flatten().flatten() {
            if !entry.file_name().to_str().is_some_and(wanted) {
                let _ = fs::remove_file(entry.path());
            }
        }
    }
}

fn head() -> Vec<u8> {
    format!("litterfolio {} cache {NOTATION}\n", env!("CARGO_PKG_VERSION")).into_bytes()
}

fn make(folder: &Path) -> super::disk::Result<()> {
    match folder.parent() {
        Some(above) if !above.as_os_str().is_empty() && !above.is_dir() => make(above)?,
        _ => {}
    }
    match disk::make_folder(folder, 0o700) {
        // Another thread may have made it.
        Err(_) if folder.is_dir() => Ok(()),
        made => made,
    }
}

#[cfg(test)]
#[allow(clippy::disallowed_methods, reason = "tests put files where they like")]
mod tests {
    use super::*;

    #[test]
    fn what_is_kept_is_found_and_what_is_spoilt_is_not() {
        let folder = tempfile::tempdir().unwrap();
        let cache = Cache::below(folder.path());
        assert_eq!(cache.load::<Vec<u32>>("numbers"), Kept::Nothing);
        assert!(cache.keep("numbers", &vec![1_u32, 2, 300]));
        assert_eq!(cache.load("numbers"), Kept::Value(vec![1_u32, 2, 300]));
        let place = cache.place("numbers");
        let whole = fs::read(&place).unwrap();
        for end in 0..whole.len() {
            fs::write(&place, &whole[..end]).unwrap();
            assert_eq!(cache.load::<Vec<u32>>("numbers"), Kept::Unusable, "cut at {end}");
        }
        for at in 0..whole.len() {
            let mut spoilt = whole.clone();
            spoilt[at] ^= 1;
            fs::write(&place, &spoilt).unwrap();
            assert_eq!(cache.load::<Vec<u32>>("numbers"), Kept::Unusable, "spoilt at {at}");
        }
    }

    #[test]
    fn bytes_are_kept_as_they_are() {
        let folder = tempfile::tempdir().unwrap();
        let cache = Cache::below(folder.path());
        let bytes = Bytes::of(&("moss".to_owned(), 212_u32)).unwrap();
        assert!(cache.keep("bytes", &vec![bytes.clone()]));
        let kept = cache.load::<Vec<Bytes>>("bytes").value().unwrap();
        assert_eq!(kept, [bytes]);
        assert_eq!(kept[0].value::<(String, u32)>(), Some(("moss".to_owned(), 212)));
        assert_eq!(kept[0].value::<(String, u32, u32)>(), None);
    }

    #[test]
    fn a_cache_that_cannot_be_written_only_says_so() {
        let folder = tempfile::tempdir().unwrap();
        fs::write(folder.path().join("cache"), "a file stands where the folder should be").unwrap();
        let cache = Cache::below(folder.path());
        assert!(!cache.keep("a/b", &1_u8));
        assert_eq!(cache.load::<u8>("a/b"), Kept::Nothing);
    }

    #[test]
    fn what_is_no_longer_wanted_goes() {
        let folder = tempfile::tempdir().unwrap();
        let cache = Cache::below(folder.path());
        for name in ["pictures/a", "pictures/b", "pictures/.new-1-2"] {
            assert!(cache.keep_bytes(name, b"x"));
        }
        cache.keep_only("pictures", &|name| name == "b");
        assert_eq!(fs::read_dir(cache.place("pictures")).unwrap().count(), 1);
        assert!(cache.place("pictures/b").exists());
    }
}
