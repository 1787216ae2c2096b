//! How the writer looks at the files of one target: by what it remembers where it can, by reading where it must.
//!
//! In: what is remembered, and a clock. Out: marks; and what to remember next time. Without a clock nothing is remembered, and every file is read.

use std::fs::Metadata;
use std::path::Path;
use std::time::SystemTime;

use super::content::Mark;
use super::disk::{self, Result};
use super::plan::Plan;
use super::seen::Seen;
use super::stamp::{Stamp, tick};
use super::target::Site;

/// Tells the time; the writer asks no clock of its own.
pub type Clock = fn() -> SystemTime;

/// Looks at files.
#[derive(Debug, Default)]
pub(super) struct Eyes {
    known: Seen,
    clock: Option<Clock>,
    /// What this run has looked at, to be remembered.
    next: Seen,
}

impl Eyes {
    /// Eyes that know what an earlier run saw.
    pub(super) fn new(known: Seen, clock: Option<Clock>) -> Self {
        Self { known, clock, ..Self::default() }
    }

    /// The time now; without a clock the beginning of all time.
    pub(super) fn now(&self) -> SystemTime {
        self.clock.map_or(SystemTime::UNIX_EPOCH, |clock| clock())
    }

    /// The mark of the file of this name.
    pub(super) fn mark(&mut self, name: &str, place: &Path, found: &Metadata) -> Result<Mark> {
        let (mark, stamp) = self.known.look(name, place, found, self.now())?;
        self.next.remember(name.to_owned(), mark, stamp);
        Ok(mark)
    }

    /// What this run saw, when it differs from what was remembered.
    pub(super) fn news(&self) -> Option<&Seen> {
        (self.next != self.known).then_some(&self.next)
    }

    /// What to remember of a tree that was just put in place, without reading it: the marks are those of its plan. What somebody may have changed since it was built is left to be read.
    pub(super) fn after(&self, site: &Site, plan: &Plan, built: SystemTime, settled: SystemTime) -> Result<Seen> {
        // Files that changed a moment ago cannot be remembered, and all of these did: a moment's wait saves reading all of them the next time.
        let since = self.now().duration_since(settled).unwrap_or_default();
        std::thread::sleep(tick().saturating_sub(since));
        let mut seen = Seen::default();
        for (path, content) in plan.iter() {
            let Some(found) = disk::look(&path.below(&site.root))? else { continue };
            let as_built = found.len() == content.mark().length() && found.modified().is_ok_and(|written| written <= built);
            if as_built {
                seen.remember(path.to_string(), content.mark(), Stamp::of(&found, self.now()));
            }
        }
        Ok(seen)
    }
}
