//! What the system tells of a file without its bytes being read, and how far that can be trusted.
//!
//! In: what the system says of a file, and the time now. Out: a [`Stamp`] that changes whenever the
//! bytes may have changed, or nothing. Size and time alone would not do: they can be set to what
//! they were by whoever replaces a file. The time of the last change of any kind cannot, and the
//! number of the file changes when another takes its name. A file that changed a moment ago gets no
//! stamp, because within one tick of the disk's clock it may change again; nor does one whose
//! change lies ahead, as it does after the clock was set back. Where a system has no such times
//! there are no stamps, and files are read.

use std::fs::Metadata;
#[cfg(target_os = "linux")]
use std::sync::LazyLock;
use std::time::{Duration, SystemTime};

use serde::{Deserialize, Serialize};

/// Longer than a tick of disks that count in fractions of a second: Linux stamps files with the
/// time of its last tick, and says how long one is.
#[must_use]
pub fn tick() -> Duration {
    #[cfg(target_os = "linux")]
    {
        /// It stays the same as long as the system runs.
        static TICK: LazyLock<Duration> = LazyLock::new(|| {
            let tick = rustix::time::clock_getres(rustix::time::ClockId::RealtimeCoarse);
            let (seconds, nanoseconds) = (
                u64::try_from(tick.tv_sec).unwrap_or(1),
                u32::try_from(tick.tv_nsec).unwrap_or(0),
            );
            Duration::new(seconds, nanoseconds) + Duration::from_millis(1)
        });
        *TICK
    }
    #[cfg(not(target_os = "linux"))]
    Duration::from_millis(50)
}
/// Longer than a tick of disks that count in whole seconds.
#[cfg(any(unix, test))]
const LONG_TICK: Duration = Duration::from_secs(3);

/// What a file's bytes are remembered by.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Stamp {
    disk: u64,
    number: u64,
    length: u64,
    written: (i64, i64),
    changed: (i64, i64),
}

impl Stamp {
    /// The stamp of a file that was looked at `now`; nothing when it may change without that being
    /// seen.
    #[cfg(unix)]
    #[must_use]
    pub fn of(found: &Metadata, now: SystemTime) -> Option<Self> {
        let stamp = Self::told(found);
        let tick = if stamp.changed.1 == 0 {
            LONG_TICK
        } else {
            tick()
        };
        let changed = Duration::new(
            u64::try_from(stamp.changed.0).ok()?,
            u32::try_from(stamp.changed.1).ok()?,
        );
        let now = now.duration_since(SystemTime::UNIX_EPOCH).ok()?;
        (found.is_file() && changed + tick <= now).then_some(stamp)
    }

    /// What the system tells, whether it can be trusted or not.
    #[cfg(unix)]
    fn told(found: &Metadata) -> Self {
        use std::os::unix::fs::MetadataExt as _;
        Self {
            disk: found.dev(),
            number: found.ino(),
            length: found.len(),
            written: (found.mtime(), found.mtime_nsec()),
            changed: (found.ctime(), found.ctime_nsec()),
        }
    }

    /// The stamp of a file: none on this system.
    #[cfg(not(unix))]
    #[must_use]
    pub fn of(_: &Metadata, _: SystemTime) -> Option<Self> {
        None
    }
}

/// Whether a file that was looked at twice is the same, and was not changed in between as far as
/// the system tells.
#[cfg(unix)]
#[must_use]
pub fn is_unchanged(before: &Metadata, now: &Metadata) -> bool {
    Stamp::told(before) == Stamp::told(now)
}

/// Whether a file that was looked at twice has the same length and time.
#[cfg(not(unix))]
#[must_use]
pub fn is_unchanged(before: &Metadata, now: &Metadata) -> bool {
    before.len() == now.len() && before.modified().ok() == now.modified().ok()
}

#[cfg(all(test, unix))]
#[allow(
    clippy::disallowed_methods,
    clippy::unwrap_used,
    reason = "tests put files where they like, and stop where they stand"
)]
mod tests {
    use super::*;
    use std::fs::{self, File, FileTimes};
    use std::thread::sleep;

    fn stamp(path: &std::path::Path) -> Option<Stamp> {
        Stamp::of(&fs::metadata(path).unwrap(), SystemTime::now())
    }

    #[test]
    fn a_file_replaced_by_one_of_the_same_size_and_time_has_another_stamp() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("a.jpg");
        fs::write(&path, "one").unwrap();
        let time = fs::metadata(&path).unwrap().modified().unwrap();
        sleep(tick());
        let before = stamp(&path).unwrap();
        let same_time = |path| {
            File::options()
                .write(true)
                .open(path)
                .unwrap()
                .set_times(FileTimes::new().set_modified(time))
                .unwrap();
        };
        // Written over in place.
        fs::write(&path, "two").unwrap();
        same_time(&path);
        sleep(tick());
        let over = stamp(&path).unwrap();
        assert_eq!((over.length, over.written), (before.length, before.written));
        assert_ne!(over, before);
        // Another file under its name.
        let other = folder.path().join("b.jpg");
        fs::write(&other, "six").unwrap();
        same_time(&other);
        fs::rename(&other, &path).unwrap();
        sleep(tick());
        assert_ne!(stamp(&path).unwrap(), over);
    }

    #[test]
    fn what_changed_a_moment_ago_or_will_have_changed_has_no_stamp() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("a");
        fs::write(&path, "one").unwrap();
        let found = fs::metadata(&path).unwrap();
        let changed = found.modified().unwrap();
        assert!(Stamp::of(&found, changed).is_none());
        assert!(Stamp::of(&found, changed + Duration::from_millis(1)).is_none());
        assert!(Stamp::of(&found, changed + LONG_TICK).is_some());
        assert!(
            Stamp::of(&found, changed - Duration::from_hours(1)).is_none(),
            "the clock was set back"
        );
        assert!(
            Stamp::of(&fs::metadata(folder.path()).unwrap(), changed + LONG_TICK).is_none(),
            "a folder has no bytes"
        );
    }
}
