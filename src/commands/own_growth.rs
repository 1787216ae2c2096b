//! The growth of the kennel's past puppies, as an earlier run computed it.
//!
//! In: records, the cache. Out: the bands of each day of age, when the same program computed them from the same records; every chart of a young litter shows them, and thousands of weights go into them,
//! while a weight of today does not. Where nothing is kept, or something else, they are computed.

use crate::husbandry::kennel::growth_bands::{Band, BandOfDay};
use crate::husbandry::kennel::growth_made_from;
use crate::output::Cache;
use crate::records::Records;

/// The name of the cache's file.
const GROWTH: &str = "growth";

/// Day, puppies, litters and the five quantiles.
type PlainBand = (u16, usize, usize, Option<[f64; 5]>);

/// Where the growth of past puppies is kept, and what it is known by.
pub(super) struct OwnGrowth<'a> {
    cache: &'a Cache,
    key: [u8; 32],
}

impl<'a> OwnGrowth<'a> {
    /// Nothing where the running program cannot be told.
    pub(super) fn of(records: &Records, cache: &'a Cache, program: Option<blake3::Hash>) -> Option<Self> {
        let mut key = blake3::Hasher::new();
        key.update(program?.as_bytes()).update(growth_made_from(records).as_bytes());
        Some(Self { cache, key: *key.finalize().as_bytes() })
    }

    /// What was kept of the same.
    pub(super) fn kept(&self) -> Option<Vec<BandOfDay>> {
        let (key, bands): ([u8; 32], Vec<PlainBand>) = self.cache.load(GROWTH).value()?;
        let band = |[p10, p25, median, p75, p90]: [f64; 5]| Band { p10, p25, median, p75, p90 };
        let bands = bands.into_iter().map(|(day, puppies, litters, quantiles)| BandOfDay { day, puppies, litters, band: quantiles.map(band) });
        (key == self.key).then(|| bands.collect())
    }

    /// Keeps it.
    pub(super) fn keep(&self, bands: &[BandOfDay]) {
        let plain = |BandOfDay { day, puppies, litters, band }: &BandOfDay| -> PlainBand {
            let quantiles = band.map(|Band { p10, p25, median, p75, p90 }| [p10, p25, median, p75, p90]);
            (*day, *puppies, *litters, quantiles)
        };
        self.cache.keep(GROWTH, &(self.key, bands.iter().map(plain).collect::<Vec<_>>()));
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::husbandry::compute;
    use crate::records::load;
    use std::path::Path;

    #[test]
    fn what_is_kept_is_what_was_computed_and_only_from_the_same_records() {
        let content = Path::new(env!("CARGO_MANIFEST_DIR")).join("content");
        let mut records = load(&content, "2026-10-09T12:00:00Z".parse().unwrap()).unwrap().records.unwrap();
        let (folder, program) = (tempfile::tempdir().unwrap(), Some(blake3::hash(b"program")));
        let cache = Cache::below(folder.path());
        let bands = compute(&records).kennel.growth;
        assert!(bands.iter().any(|day| day.puppies > 0));
        let growth = OwnGrowth::of(&records, &cache, program).unwrap();
        assert_eq!(growth.kept(), None);
        growth.keep(&bands);
        assert_eq!(growth.kept(), Some(bands));
        assert_eq!(OwnGrowth::of(&records, &cache, Some(blake3::hash(b"another"))).unwrap().kept(), None);
        assert!(OwnGrowth::of(&records, &cache, None).is_none());
        // A litter grows past twelve weeks, and is one of the past.
        records.today = records.today.plus(200);
        assert_eq!(OwnGrowth::of(&records, &cache, program).unwrap().kept(), None);
    }
}
