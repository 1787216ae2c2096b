//! A folder of files that only save work, bound to the very build of the program that wrote them.
//!
//! In: a name and a value. Out: the value as it was kept, or nothing. Each file begins with a hash
//! of the rest, in which the program's own digest comes first: a file that is damaged, cut short or
//! of another build is seen to be so and passed over. Where the program cannot be told, nothing is
//! kept.

use std::fs::{DirBuilder, OpenOptions};
use std::io::Write as _;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::time::SystemTime;
use std::{fmt, fs, io};

use serde::de::{DeserializeOwned, Visitor};
use serde::{Deserialize, Deserializer, Serialize, Serializer};

use super::digest::Digest;
use super::stamp::Stamp;

/// Bytes that are kept as they are, and taken apart by whoever needs them.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Bytes(pub Arc<[u8]>);

impl Bytes {
    /// A value as it is kept; nothing for one that cannot be.
    pub fn of<T: Serialize>(value: &T) -> Option<Self> {
        postcard::to_allocvec(value)
            .ok()
            .map(|bytes| Self(bytes.into()))
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

/// Tells the time; nothing in the cache asks a clock of its own.
pub type Clock = fn() -> SystemTime;

/// Bytes of a hash.
const HASH: usize = 32;
/// The name under which the digest of the program is kept, which no program is part of.
const PROGRAM: &str = "program";

/// The folder.
#[derive(Debug, Clone)]
pub struct Store {
    root: PathBuf,
    /// What the files are bound to; nothing where nothing may be kept.
    program: Option<Digest>,
}

impl Store {
    /// The store below a state folder, for the program that stands at a place.
    #[must_use]
    pub fn open(state: &Path, program: Option<&Path>, clock: Clock) -> Self {
        let any = Self::unbound(state);
        let digest = program.and_then(|place| {
            let stamp = Stamp::of(&fs::metadata(place).ok()?, clock());
            let known = any.load::<(Stamp, Digest)>(PROGRAM);
            if let (Some(stamp), Some((known, digest))) = (stamp, known)
                && stamp == known
            {
                return Some(digest);
            }
            let digest = Digest::of_file(place).ok()?;
            if let Some(stamp) = stamp {
                any.keep(PROGRAM, &(stamp, digest));
            }
            Some(digest)
        });
        Self {
            program: digest,
            ..any
        }
    }

    /// The store below a state folder, for any program.
    #[must_use]
    pub fn unbound(state: &Path) -> Self {
        Self {
            root: state.join("cache"),
            program: Some(Digest::default()),
        }
    }

    /// Where something of this name stands.
    #[must_use]
    pub fn place(&self, name: &str) -> PathBuf {
        self.root.join(name)
    }

    /// What was kept under a name.
    #[must_use]
    pub fn load<T: DeserializeOwned>(&self, name: &str) -> Option<T> {
        let program = self.program?;
        let bytes = fs::read(self.place(name)).ok()?;
        let (hash, bound) = bytes.split_at_checked(HASH)?;
        let body = bound.strip_prefix(program.hash())?;
        (Digest::of(bound).hash() == hash).then(|| postcard::from_bytes(body).ok())?
    }

    /// Keeps a value under a name, in one step. Says whether it could.
    pub fn keep<T: Serialize>(&self, name: &str, value: &T) -> bool {
        let Some(program) = self.program else {
            return false;
        };
        let head = [[0; HASH].as_slice(), program.hash()].concat();
        let Ok(mut bytes) = postcard::to_extend(value, head) else {
            return false;
        };
        let (hash, bound) = bytes.split_at_mut(HASH);
        hash.copy_from_slice(Digest::of(bound).hash());
        self.keep_bytes(name, &bytes)
    }

    /// Keeps bytes as a file under a name, in one step. Says whether it could.
    pub fn keep_bytes(&self, name: &str, bytes: &[u8]) -> bool {
        let place = self.place(name);
        let Some(folder) = place.parent() else {
            return false;
        };
        if !folder.is_dir()
            && private(&mut DirBuilder::new())
                .recursive(true)
                .create(folder)
                .is_err()
        {
            return false;
        }
        // Threads of one run may keep the same thing at once; the file's place in memory tells them
        // apart.
        let fresh = folder.join(format!(
            ".new-{}-{:x}",
            std::process::id(),
            bytes.as_ptr() as usize
        ));
        let kept = write(&fresh, bytes).and_then(|()| fs::rename(&fresh, &place));
        if kept.is_err() {
            let _ = fs::remove_file(&fresh);
        }
        kept.is_ok()
    }

    /// Removes what is in a folder of the cache but for these names, and what an interrupted run
    /// left.
    pub fn keep_only(&self, folder: &str, wanted: &dyn Fn(&str) -> bool) {
        for entry in fs::read_dir(self.place(folder))
            .into_iter()
            .flatten()
            .flatten()
        {
            if !entry.file_name().to_str().is_some_and(wanted) {
                let _ = fs::remove_file(entry.path());
            }
        }
    }
}

/// A new file that only this user may read.
fn write(place: &Path, bytes: &[u8]) -> io::Result<()> {
    let mut options = OpenOptions::new();
    options.write(true).create_new(true);
    #[cfg(unix)]
    std::os::unix::fs::OpenOptionsExt::mode(&mut options, 0o600);
    options.open(place)?.write_all(bytes)
}

/// Folders that only this user may enter.
fn private(builder: &mut DirBuilder) -> &mut DirBuilder {
    #[cfg(unix)]
    std::os::unix::fs::DirBuilderExt::mode(builder, 0o700);
    builder
}

#[cfg(test)]
#[allow(clippy::disallowed_methods, reason = "tests put files where they like")]
mod tests {
    use super::*;

    #[test]
    fn what_is_kept_is_found_and_what_is_spoilt_is_not() {
        let folder = tempfile::tempdir().unwrap();
        let cache = Store::unbound(folder.path());
        assert_eq!(cache.load::<Vec<u32>>("numbers"), None);
        assert!(cache.keep("numbers", &vec![1_u32, 2, 300]));
        assert_eq!(cache.load("numbers"), Some(vec![1_u32, 2, 300]));
        let place = cache.place("numbers");
        let whole = fs::read(&place).unwrap();
        for end in 0..whole.len() {
            fs::write(&place, &whole[..end]).unwrap();
            assert_eq!(cache.load::<Vec<u32>>("numbers"), None, "cut at {end}");
        }
        for at in 0..whole.len() {
            let mut spoilt = whole.clone();
            spoilt[at] ^= 1;
            fs::write(&place, &spoilt).unwrap();
            assert_eq!(cache.load::<Vec<u32>>("numbers"), None, "spoilt at {at}");
        }
    }

    #[test]
    fn another_build_of_the_program_finds_nothing() {
        let folder = tempfile::tempdir().unwrap();
        let now = || SystemTime::now() + std::time::Duration::from_secs(9);
        let program = folder.path().join("program");
        let open = |bytes: &str| {
            fs::write(&program, bytes).unwrap();
            Store::open(folder.path(), Some(&program), now)
        };
        assert!(open("one").keep("a", &1_u8));
        assert_eq!(open("one").load("a"), Some(1_u8));
        assert_eq!(open("two").load::<u8>("a"), None);
        assert_eq!(open("one").load("a"), Some(1_u8));
        let untold = Store::open(folder.path(), None, now);
        assert!(!untold.keep("b", &1_u8) && untold.load::<u8>("a").is_none());
    }

    #[test]
    fn bytes_are_kept_as_they_are() {
        let folder = tempfile::tempdir().unwrap();
        let cache = Store::unbound(folder.path());
        let bytes = Bytes::of(&("moss".to_owned(), 212_u32)).unwrap();
        assert!(cache.keep("bytes", &vec![bytes.clone()]));
        let kept = cache.load::<Vec<Bytes>>("bytes").unwrap();
        assert_eq!(kept, [bytes]);
        assert_eq!(
            kept[0].value::<(String, u32)>(),
            Some(("moss".to_owned(), 212))
        );
        assert_eq!(kept[0].value::<(String, u32, u32)>(), None);
    }

    #[test]
    fn a_cache_that_cannot_be_written_only_says_so() {
        let folder = tempfile::tempdir().unwrap();
        fs::write(
            folder.path().join("cache"),
            "a file stands where the folder should be",
        )
        .unwrap();
        let cache = Store::unbound(folder.path());
        assert!(!cache.keep("a/b", &1_u8));
        assert_eq!(cache.load::<u8>("a/b"), None);
    }

    #[test]
    fn what_is_no_longer_wanted_goes() {
        let folder = tempfile::tempdir().unwrap();
        let cache = Store::unbound(folder.path());
        for name in ["pictures/a", "pictures/b", "pictures/.new-1-2"] {
            assert!(cache.keep_bytes(name, b"x"));
        }
        cache.keep_only("pictures", &|name| name == "b");
        assert_eq!(fs::read_dir(cache.place("pictures")).unwrap().count(), 1);
        assert!(cache.place("pictures/b").exists());
    }
}
