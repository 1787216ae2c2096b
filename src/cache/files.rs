//! The digests of files, without reading those that did not change.
//!
//! In: what an earlier run kept of each file, and what the system says of it now. Out: its digest;
//! it is read only when its stamp is another one. What was kept may be missing or older than the
//! files: then they are read, and nothing is wrong.

use super::digest::Digest;
use super::stamp::Stamp;
use super::store::{Clock, Store};
use std::collections::BTreeMap;
use std::fs::Metadata;
use std::io;
use std::path::Path;
use std::time::SystemTime;

/// What was found out about a file: its digest, and the stamp to keep that by, if it has one.
pub type Looked = (Digest, Option<Stamp>);

/// Digests and stamps by the names of files.
type KnownFiles = BTreeMap<String, (Stamp, Digest)>;

/// Looks at files. Without a clock nothing is kept, and every file is read.
#[derive(Debug, Default)]
pub struct FileDigests {
    known: KnownFiles,
    clock: Option<Clock>,
    /// What this run has looked at.
    next: KnownFiles,
}

impl FileDigests {
    /// With what an earlier run kept under a name.
    #[must_use]
    pub fn load(store: &Store, name: &str, clock: Option<Clock>) -> Self {
        let known = clock.and_then(|_| store.load(name)).unwrap_or_default();
        Self {
            known,
            clock,
            next: KnownFiles::new(),
        }
    }

    /// Without anything that an earlier run kept.
    #[must_use]
    pub fn none_known(clock: Clock) -> Self {
        Self {
            clock: Some(clock),
            ..Self::default()
        }
    }

    /// The time now; without a clock the beginning of all time, at which no file has a stamp.
    #[must_use]
    pub fn now(&self) -> SystemTime {
        self.clock.map_or(SystemTime::UNIX_EPOCH, |clock| clock())
    }

    /// The digest of the file of this name.
    ///
    /// # Errors
    /// When it must be read and cannot be.
    pub fn look(&self, name: &str, place: &Path, found: &Metadata) -> io::Result<Looked> {
        let stamp = Stamp::of(found, self.now());
        if let (Some(stamp), Some((known, digest))) = (stamp, self.known.get(name))
            && stamp == *known
        {
            return Ok((*digest, Some(stamp)));
        }
        let digest = Digest::of_file(place)?;
        // A file that grew while it was read is looked at again next time.
        Ok((digest, stamp.filter(|_| digest.length() == found.len())))
    }

    /// Keeps what was found out for the next run; a file without a stamp is not kept.
    pub fn note(&mut self, name: &str, (digest, stamp): Looked) {
        if let Some(stamp) = stamp {
            self.next.insert(name.to_owned(), (stamp, digest));
        }
    }

    /// The stamp of a file that this run has looked at, if it has one.
    #[must_use]
    pub fn stamp(&self, name: &str) -> Option<Stamp> {
        self.next.get(name).map(|(stamp, _)| *stamp)
    }

    /// Forgets what this run has looked at.
    pub fn forget(&mut self) {
        self.next.clear();
    }

    /// Saves what this run looked at under a name, when it differs from what was kept.
    pub fn save(&self, store: &Store, name: &str) {
        if self.clock.is_some() && self.next != self.known {
            store.keep(name, &self.next);
        }
    }
}

#[cfg(all(test, unix))]
#[allow(clippy::disallowed_methods, reason = "tests put files where they like")]
mod tests {
    use super::*;
    use std::fs;
    use std::time::Duration;

    #[test]
    fn a_file_is_read_once_and_again_when_it_changed() {
        let folder = tempfile::tempdir().unwrap();
        let place = folder.path().join("a");
        fs::write(&place, "one").unwrap();
        let later = || SystemTime::now() + Duration::from_secs(9);
        let store = Store::unbound(folder.path());
        let look = |files: &FileDigests| {
            files
                .look("a", &place, &fs::metadata(&place).unwrap())
                .unwrap()
        };
        let mut files = FileDigests::load(&store, "seen", Some(later));
        let (digest, stamp) = look(&files);
        assert_eq!(digest, Digest::of(b"one"));
        // A wrong digest is kept on purpose: it is what comes back as long as the file is not
        // read.
        files.note("a", (Digest::of(b"kept"), stamp));
        files.save(&store, "seen");
        let files = FileDigests::load(&store, "seen", Some(later));
        assert_eq!(look(&files).0, Digest::of(b"kept"));
        fs::write(&place, "two").unwrap();
        assert_eq!(look(&files).0, Digest::of(b"two"));
        assert_eq!(
            look(&FileDigests::load(&store, "seen", None)),
            (Digest::of(b"two"), None)
        );
    }
}
