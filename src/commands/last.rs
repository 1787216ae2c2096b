//! What the last publication was made from, so that the next one can see at a glance that nothing changed.
//!
//! In: the hash of all inputs, the secrets, the time. Out: whether a publication now would make the same site. A day counts as an input: ages on the pages go by it. It only ever saves work:
//! without it, or when it is damaged, everything is read.

use super::site::{Published, Shop};
use super::terminal;
use crate::keyring;
use crate::output::Kept;
use crate::records::problem::Severity;
use chrono::{Days, NaiveTime, TimeZone};
use serde::{Deserialize, Serialize};

/// The name of the cache's file.
const LAST: &str = "last";

/// A publication.
#[derive(Debug, PartialEq, Eq, Serialize, Deserialize)]
pub(super) struct Last {
    /// Hash of all inputs and of the secrets.
    made_from: String,
    /// The seconds of the clock between which "today" is the same day.
    from: i64,
    until: i64,
    /// Name of the kennel.
    pub(super) name: String,
    /// How many sealed pages there are.
    pub(super) sealed: usize,
    /// How many warnings the records had.
    pub(super) warnings: usize,
}

impl Last {
    /// The last publication, when one made now would be the same.
    pub(super) fn still_holds(shop: &Shop) -> Option<Self> {
        let Kept::Value(last) = shop.cache().load::<Self>(LAST) else { return None };
        let now = terminal::now().timestamp();
        let holds = last.from <= now && now < last.until && made_from(shop).is_some_and(|from| from == last.made_from);
        // A file of secrets that others may read is warned about every time.
        (holds && keyring::exposed(&shop.folder.root).is_empty()).then_some(last)
    }

    /// Remembers a publication that was just made.
    pub(super) fn remember(shop: &Shop, name: &str, published: &Published) {
        let Some(records) = shop.loaded().records.as_ref().filter(|_| shop.is_as_seen()) else { return };
        let zone = records.kennel.time_zone.0;
        let midnight = |day: chrono::NaiveDate| zone.from_local_datetime(&day.and_time(NaiveTime::MIN)).earliest().map(|at| at.timestamp());
        let today = records.today.date();
        let pinned = records.kennel.as_of.is_some();
        let (from, until) = if pinned {
            (i64::MIN, i64::MAX)
        } else {
            // Where a clock change leaves a day without midnight, nothing is remembered for that day.
            match (midnight(today), today.checked_add_days(Days::new(1)).and_then(midnight)) {
                (Some(from), Some(until)) => (from, until),
                _ => return,
            }
        };
        let warnings = shop.loaded().problems.iter().filter(|p| p.problem.severity == Severity::Warning).count();
        if let Some(made_from) = made_from(shop) {
            let sealed = published.sealed.len() + published.still_sealed;
            shop.cache().keep(LAST, &Self { made_from, from, until, name: name.to_owned(), sealed, warnings });
        }
    }
}

/// Hash of all that a site is made from, but for the day.
fn made_from(shop: &Shop) -> Option<String> {
    let mut hash = blake3::Hasher::new();
    hash.update(shop.inputs.hash()?.as_bytes());
    for file in [shop.folder.root.join(keyring::CODES), shop.folder.root.join(keyring::SIGNING_KEYS), shop.state.join("sealed.json")] {
        // A pipe in its place would be waited for without end.
        if std::fs::symlink_metadata(&file).is_ok_and(|found| !found.is_file()) {
            return None;
        }
        // A file that is not there is another state than an empty one.
        let bytes = std::fs::read(file).ok();
        hash.update(&[u8::from(bytes.is_some())]).update(blake3::hash(&bytes.unwrap_or_default()).as_bytes());
    }
    Some(hash.finalize().to_hex().to_string())
}
