//! Weigh-ins that an earlier run read: most of what a kennel has written is weights, and taking their YAML apart again takes longer than all else that is done with them.
//!
//! In: prints of texts, the cache. Out: the weigh-ins of a text that was read without a problem by the same program. Kept are plain numbers and names, which are read as strictly as if they stood
//! in a record; whatever is not as expected is read from its text.

use super::WeighIn;
use super::print::Print;
use crate::output::{Cache, Kept};
use crate::quantity::{Id, Moment, Weight};
use chrono::{DateTime, Timelike};
use std::collections::BTreeMap;
use std::sync::Arc;

/// The name of the cache's file.
const FILE: &str = "weigh-ins";

/// Seconds of the clock on the wall, who weighed, remark, place in the file, and nanograms by number of the puppy.
type Plain = (i64, Option<String>, Option<String>, u32, Vec<(u32, i64)>);
/// Names of puppies, and weigh-ins in the order of time.
pub(super) type PlainList = (Vec<String>, Vec<Plain>);
/// Lists by the print of their text.
type Lists = BTreeMap<[u8; 32], Arc<PlainList>>;

/// Weigh-ins by the texts that they stand in.
#[derive(Debug, Default, PartialEq, Eq)]
pub struct Known {
    lists: Lists,
}

impl Known {
    /// What this program has kept; nothing where the program cannot be told.
    #[must_use]
    pub fn load(cache: &Cache, program: Option<blake3::Hash>) -> Self {
        let kept = program.map(|program| (program, cache.load::<([u8; 32], BTreeMap<[u8; 32], PlainList>)>(FILE)));
        match kept {
            Some((program, Kept::Value((by, lists)))) if by == *program.as_bytes() => {
                Self { lists: lists.into_iter().map(|(print, list)| (print, Arc::new(list))).collect() }
            }
            _ => Self::default(),
        }
    }

    /// Keeps it in place of what was `known` before, if that was something else.
    pub fn keep(&self, known: &Self, cache: &Cache, program: Option<blake3::Hash>) {
        if let Some(program) = program
            && !self.lists.keys().eq(known.lists.keys())
        {
            let lists: BTreeMap<&[u8; 32], &PlainList> = self.lists.iter().map(|(print, list)| (print, &**list)).collect();
            cache.keep(FILE, &(*program.as_bytes(), lists));
        }
    }

    /// The weigh-ins in a text.
    pub(super) fn weigh_ins(&self, text: Print) -> Option<(Vec<WeighIn>, Arc<PlainList>)> {
        let list = self.lists.get(text.bytes())?;
        Some((from_plain(list)?, list.clone()))
    }

    /// Remembers the weigh-ins of a text that had no problem.
    pub(super) fn remember(&mut self, text: Print, list: Arc<PlainList>) {
        self.lists.insert(*text.bytes(), list);
    }
}

/// Weigh-ins as they are kept; nothing where they hold what cannot be kept whole.
pub(super) fn to_plain(weigh_ins: &[WeighIn]) -> Option<Arc<PlainList>> {
    let mut numbers: BTreeMap<&Id, u32> = BTreeMap::new();
    let mut names = Vec::new();
    let plain = weigh_ins.iter().map(|WeighIn { at, by, remark, weights, block }| {
        let at = at.local().and_utc();
        let weights = weights.iter().map(|(id, weight)| {
            let number = *numbers.entry(id).or_insert_with(|| {
                names.push(id.to_string());
                u32::try_from(names.len() - 1).unwrap_or(u32::MAX)
            });
            (number, weight.nanograms())
        });
        let weights = weights.collect();
        (at.nanosecond() == 0).then_some(())?;
        Some((at.timestamp(), by.as_ref().map(ToString::to_string), remark.as_ref().map(ToString::to_string), u32::try_from(*block).ok()?, weights))
    });
    let plain = plain.collect::<Option<Vec<Plain>>>()?;
    Some(Arc::new((names, plain)))
}

fn from_plain((names, list): &PlainList) -> Option<Vec<WeighIn>> {
    let puppies = names.iter().map(|name| name.parse::<Id>().ok()).collect::<Option<Vec<Id>>>()?;
    let weigh_in = |(at, by, remark, block, weights): &Plain| {
        let weights = weights.iter().map(|(puppy, nanograms)| Some((puppies.get(*puppy as usize)?.clone(), Weight::from_whole_nanograms(*nanograms)?)));
        Some(WeighIn {
            at: Moment::from(DateTime::from_timestamp(*at, 0)?.naive_utc()),
            by: by.as_ref().map(|by| by.parse()).transpose().ok()?,
            remark: remark.as_ref().map(|remark| remark.parse()).transpose().ok()?,
            weights: weights.collect::<Option<_>>()?,
            block: *block as usize,
        })
    };
    list.iter().map(weigh_in).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::records::{load, load_knowing};
    use std::path::Path;

    #[test]
    fn what_is_kept_is_what_was_read() {
        let content = Path::new(env!("CARGO_MANIFEST_DIR")).join("content");
        let now = "2026-10-09T12:00:00Z".parse().unwrap();
        let read = load(&content, now).unwrap();
        let folder = tempfile::tempdir().unwrap();
        let (cache, program) = (Cache::below(folder.path()), Some(blake3::hash(b"program")));
        read.known.keep(&Known::default(), &cache, program);
        let known = Known::load(&cache, program);
        assert_eq!(known, read.known);
        let again = load_knowing(&content, now, &known).unwrap();
        assert_eq!(again.known, known);
        let weigh_ins = |loaded: &crate::records::Loaded| -> Vec<Vec<WeighIn>> {
            loaded.records.as_ref().unwrap().litters.values().map(|litter| litter.weigh_ins.clone()).collect()
        };
        let all = weigh_ins(&again);
        assert_eq!(all, weigh_ins(&read));
        assert!(all.iter().flatten().count() > 50 && known.lists.len() == all.iter().filter(|list| !list.is_empty()).count());
        // Another program may read otherwise, and none that cannot be told is trusted.
        assert_eq!(Known::load(&cache, Some(blake3::hash(b"another"))), Known::default());
        assert_eq!(Known::load(&cache, None), Known::default());
    }

    #[test]
    fn what_no_record_may_hold_is_read_from_its_text() {
        let weigh_in = |nanograms: i64, by: &str, puppy: u32| -> PlainList {
            (vec!["moss".to_owned()], vec![(1_790_000_000, Some(by.to_owned()), None, 1, vec![(puppy, nanograms)])])
        };
        assert!(from_plain(&weigh_in(212_000_000_000, "A.", 0)).is_some());
        assert!(from_plain(&weigh_in(0, "A.", 0)).is_none());
        assert!(from_plain(&weigh_in(212_000_000_000, "A\u{202e}", 0)).is_none());
        assert!(from_plain(&weigh_in(212_000_000_000, "A.", 1)).is_none());
    }
}
