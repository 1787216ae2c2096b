//! The growth of the kennel's past puppies, as an earlier run computed it.
//!
//! In: records, the store. Out: the bands of each day of age, when the same program computed them
//! from the same records; every chart of a young litter shows them, and thousands of weights go
//! into them, while a weight of today does not. Where nothing is kept, or something else, they are
//! computed.

use crate::cache::{Digest, Store};
use crate::husbandry::kennel::growth_bands::{Band, BandOfDay};
use crate::husbandry::kennel::growth_made_from;
use crate::records::Records;

/// The name of the cache's file.
const GROWTH: &str = "growth";

/// Day, puppies, litters and the five quantiles.
type PlainBand = (u16, usize, usize, Option<[f64; 5]>);

/// Where the growth of past puppies is kept, and what it is known by.
pub struct OwnGrowth<'a> {
    store: &'a Store,
    key: Digest,
}

impl<'a> OwnGrowth<'a> {
    pub fn of(records: &Records, store: &'a Store) -> Self {
        Self {
            store,
            key: growth_made_from(records),
        }
    }

    /// What was kept of the same.
    pub fn kept(&self) -> Option<Vec<BandOfDay>> {
        let (key, bands): (Digest, Vec<PlainBand>) = self.store.load(GROWTH)?;
        let band = |[p10, p25, median, p75, p90]: [f64; 5]| Band {
            p10,
            p25,
            median,
            p75,
            p90,
        };
        let bands = bands
            .into_iter()
            .map(|(day, puppies, litters, quantiles)| BandOfDay {
                day,
                puppies,
                litters,
                band: quantiles.map(band),
            });
        (key == self.key).then(|| bands.collect())
    }

    /// Keeps it.
    pub fn keep(&self, bands: &[BandOfDay]) {
        let plain = |BandOfDay {
                         day,
                         puppies,
                         litters,
                         band,
                     }: &BandOfDay|
         -> PlainBand {
            let quantiles = band.map(
                |Band {
                     p10,
                     p25,
                     median,
                     p75,
                     p90,
                 }| [p10, p25, median, p75, p90],
            );
            (*day, *puppies, *litters, quantiles)
        };
        self.store.keep(
            GROWTH,
            &(self.key, bands.iter().map(plain).collect::<Vec<_>>()),
        );
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
        let content = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../content");
        let mut records = load(&content, "2026-10-09T12:00:00Z".parse().unwrap())
            .unwrap()
            .records
            .unwrap();
        let folder = tempfile::tempdir().unwrap();
        let store = Store::unbound(folder.path());
        let bands = compute(&records).kennel().growth.clone();
        assert!(bands.iter().any(|day| day.puppies > 0));
        let growth = OwnGrowth::of(&records, &store);
        assert_eq!(growth.kept(), None);
        growth.keep(&bands);
        assert_eq!(growth.kept(), Some(bands));
        // A litter grows past twelve weeks, and is one of the past.
        records.today = records.today.plus(200);
        assert_eq!(OwnGrowth::of(&records, &store).kept(), None);
    }
}
