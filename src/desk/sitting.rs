//! The one desk of a kennel: a second start finds the first one and opens it.
//!
//! In: the folder of the desk, which nobody else may enter. Out: a lock that is held as long as the
//! desk runs, and beside it a file that only the keeper may read, with the link that was not used
//! yet. The lock goes with the process, however it ends, so that a desk that was killed is never
//! taken for one that runs. On a disk without locks there is no first and no second.

use crate::app::terminal::clock;
use crate::output::replace_private;
use fs4::{FileExt, TryLockError};
use std::fs::{self, File};
use std::path::{Path, PathBuf};
use std::time::Duration;

/// The file that is locked.
const LOCK: &str = "desk.lock";
/// The file with the link.
const LINK: &str = "desk.link";
/// How long a desk that has just begun is waited for until it says its link.
const PATIENCE: Duration = Duration::from_secs(10);

/// A desk that runs.
#[derive(Debug)]
pub(super) struct Sitting {
    place: PathBuf,
    /// Held until the end.
    lock: Option<File>,
}

/// Who is at the desk.
#[derive(Debug)]
pub(super) enum Seat {
    /// We are.
    Ours(Sitting),
    /// Another process is, and opens with this link.
    Taken(String),
}

impl Sitting {
    /// Begins a desk, or finds the one that runs.
    pub(super) fn begin(place: &Path) -> Seat {
        let place = place.to_owned();
        let lock = File::options()
            .read(true)
            .write(true)
            .create(true)
            .truncate(false)
            .open(place.join(LOCK));
        let Ok(lock) = lock else {
            return Seat::Ours(Self { place, lock: None });
        };
        let begun = clock();
        loop {
            match FileExt::try_lock(&lock) {
                Ok(()) => {
                    // What stands there is of a desk that has ended.
                    let _ = fs::remove_file(place.join(LINK));
                    return Seat::Ours(Self {
                        place,
                        lock: Some(lock),
                    });
                }
                Err(TryLockError::WouldBlock) => {}
                Err(TryLockError::Error(_)) => {
                    return Seat::Ours(Self { place, lock: None });
                }
            }
            if let Some(link) = link(&place) {
                return Seat::Taken(link);
            }
            if clock().duration_since(begun).unwrap_or(PATIENCE) >= PATIENCE {
                return Seat::Ours(Self { place, lock: None });
            }
            std::thread::sleep(Duration::from_millis(50));
        }
    }

    /// Where the link is written, for whoever tells the next one.
    pub(super) fn link_place(&self) -> PathBuf {
        self.place.join(LINK)
    }
}

impl Drop for Sitting {
    fn drop(&mut self) {
        if self.lock.is_some() {
            let _ = fs::remove_file(self.link_place());
        }
    }
}

/// Writes the link that was not used yet. Where it cannot be written, a second start begins a
/// second desk.
pub(super) fn write_link(place: &Path, link: &str) {
    let _ = replace_private(place, link.as_bytes());
}

/// The link of the desk that runs.
fn link(place: &Path) -> Option<String> {
    let text = fs::read_to_string(place.join(LINK)).ok()?;
    let link = text.trim();
    let is_ours = link.starts_with("http://127.0.0.1:") || link.starts_with("http://localhost:");
    let plain = |b: u8| b.is_ascii_alphanumeric() || b":/.-".contains(&b);
    (is_ours && link.bytes().all(plain)).then(|| link.to_owned())
}

#[cfg(test)]
#[allow(clippy::disallowed_methods, reason = "tests put files where they like")]
mod tests {
    use super::*;

    #[test]
    fn a_second_desk_finds_the_first_and_a_stale_link_is_no_desk() {
        let home = tempfile::tempdir().unwrap();
        // Left by a desk that was killed.
        fs::write(home.path().join(LINK), "http://127.0.0.1:6301/-desk/open/a").unwrap();
        let Seat::Ours(first) = Sitting::begin(home.path()) else {
            panic!("nobody is there")
        };
        assert!(!first.link_place().exists());
        write_link(&first.link_place(), "http://127.0.0.1:6301/-desk/open/b");
        let Seat::Taken(link) = Sitting::begin(home.path()) else {
            panic!("the first is there")
        };
        assert_eq!(link, "http://127.0.0.1:6301/-desk/open/b");
        #[cfg(unix)]
        {
            use std::os::unix::fs::PermissionsExt;
            let found = fs::metadata(first.link_place()).unwrap();
            assert_eq!(found.permissions().mode() & 0o777, 0o600);
        }
        drop(first);
        assert!(matches!(Sitting::begin(home.path()), Seat::Ours(_)));
    }

    #[test]
    fn only_a_link_to_this_machine_is_opened() {
        let home = tempfile::tempdir().unwrap();
        for text in [
            "http://example.com/",
            "http://127.0.0.1:1/\"><script>",
            "file:///etc/passwd",
            "",
        ] {
            fs::write(home.path().join(LINK), text).unwrap();
            assert_eq!(link(home.path()), None, "{text}");
        }
    }
}
