//! Files whose marks are known without reading them again.
//!
//! In: what an earlier run remembered of each file, and what the system says of it now. Out: its mark; it is read only when its stamp is not the one remembered. What is remembered may be missing
//! or older than the files: then they are read, and nothing is wrong.

use std::collections::BTreeMap;
use std::fs::Metadata;
use std::path::Path;
use std::time::SystemTime;

use serde::{Deserialize, Serialize};

use super::content::Mark;
use super::disk::Result;
use super::stamp::Stamp;

/// Marks by the names of files, as they are kept between runs.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Seen {
    files: BTreeMap<String, (Stamp, Mark)>,
}

impl Seen {
    /// The mark of a file, and the stamp to remember it by, if it has one.
    ///
    /// # Errors
    /// [`WriteError::Disk`](super::WriteError::Disk) when the file must be read and cannot be.
    pub fn look(&self, name: &str, place: &Path, found: &Metadata, now: SystemTime) -> Result<(Mark, Option<Stamp>)> {
        let stamp = Stamp::of(found, now);
        if let (Some(stamp), Some((known, mark))) = (stamp, self.files.get(name))
            && stamp == *known
        {
            return Ok((*mark, Some(stamp)));
        }
        let mark = Mark::of_file(place)?;
        // A file that grew while it was read is looked at again next time.
        Ok((mark, stamp.filter(|_| mark.length() == found.len())))
    }

    /// Remembers a file; one without a stamp is not remembered.
    pub fn remember(&mut self, name: String, mark: Mark, stamp: Option<Stamp>) {
        if let Some(stamp) = stamp {
            self.files.insert(name, (stamp, mark));
        }
    }
}

#[cfg(test)]
#[allow(clippy::disallowed_methods, reason = "tests put files where they like")]
mod tests {
    use super::*;
    use std::fs;
    use std::time::Duration;

    #[cfg(unix)]
    #[test]
    fn a_file_is_read_once_and_again_when_it_changed() {
        let folder = tempfile::tempdir().unwrap();
        let place = folder.path().join("a");
        fs::write(&place, "one").unwrap();
        let later = SystemTime::now() + Duration::from_secs(9);
        let look = |seen: &Seen| seen.look("a", &place, &fs::metadata(&place).unwrap(), later).unwrap();
        let mut seen = Seen::default();
        let (mark, stamp) = look(&seen);
        assert_eq!(mark, Mark::of(b"one"));
        // A wrong mark is remembered on purpose: it is what comes back as long as the file is not read.
        seen.remember("a".to_owned(), Mark::of(b"from memory"), stamp);
        assert_eq!(look(&seen).0, Mark::of(b"from memory"));
        fs::write(&place, "two").unwrap();
        assert_eq!(look(&seen).0, Mark::of(b"two"));
    }
}
