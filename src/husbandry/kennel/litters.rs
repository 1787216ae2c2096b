//! How large the litters of a kennel were, in all and by year.
//!
//! In: year and numbers of puppies of each past litter. Out: [`LitterSizes`]. Born in all and born
//! alive are kept apart, because a litter of six with two stillborn is neither a litter of six nor
//! of four.

use super::numbers::{SortedSample, Summary};
use std::collections::BTreeMap;

/// One past litter.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct LitterSize {
    /// Year of birth.
    pub year: i32,
    /// Puppies born, alive or not.
    pub born: u32,
    /// Puppies born alive. When it is more than `born`, that many were born.
    pub live_born: u32,
}

/// Sizes of some litters.
#[derive(Debug, Clone, PartialEq)]
pub struct LitterSizes {
    /// Litters.
    pub litters: usize,
    /// Puppies born in all, puppies a litter.
    pub born: Summary,
    /// Puppies born alive, puppies a litter.
    pub live_born: Summary,
    /// How many litters had so many puppies born in all; sizes that did not occur are not listed.
    pub by_size: BTreeMap<u32, usize>,
    /// How many litters had so many puppies born alive.
    pub by_live_size: BTreeMap<u32, usize>,
}

/// Sizes of all litters; nothing without any.
#[must_use]
pub fn sizes(litters: &[LitterSize]) -> Option<LitterSizes> {
    let born = |l: &LitterSize| l.born.max(l.live_born);
    let summary = |size: &dyn Fn(&LitterSize) -> u32| {
        Summary::of(&SortedSample::new(
            litters.iter().map(|l| f64::from(size(l))),
        ))
    };
    let count = |size: &dyn Fn(&LitterSize) -> u32| {
        litters.iter().fold(BTreeMap::new(), |mut sizes, l| {
            *sizes.entry(size(l)).or_default() += 1;
            sizes
        })
    };
    Some(LitterSizes {
        litters: litters.len(),
        born: summary(&born)?,
        live_born: summary(&|l| l.live_born)?,
        by_size: count(&born),
        by_live_size: count(&|l| l.live_born),
    })
}

/// Sizes of the litters of each year in which there were any.
#[must_use]
pub fn sizes_by_year(litters: &[LitterSize]) -> BTreeMap<i32, LitterSizes> {
    let mut years: BTreeMap<i32, Vec<LitterSize>> = BTreeMap::new();
    for litter in litters {
        years.entry(litter.year).or_default().push(*litter);
    }
    years
        .into_iter()
        .filter_map(|(year, litters)| Some((year, sizes(&litters)?)))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn litter(year: i32, born: u32, live_born: u32) -> LitterSize {
        LitterSize {
            year,
            born,
            live_born,
        }
    }

    #[test]
    fn born_and_born_alive_are_kept_apart() {
        let litters = [
            litter(2024, 5, 5),
            litter(2025, 6, 4),
            litter(2025, 3, 3),
            litter(2026, 6, 6),
        ];
        let all = sizes(&litters).unwrap();
        assert_eq!(
            (all.litters, all.born.mean, all.live_born.mean),
            (4, 5.0, 4.5)
        );
        assert_eq!(
            (all.born.median, all.born.least, all.born.most),
            (5.5, 3.0, 6.0)
        );
        // Squares of the distances from 5: 0 + 1 + 4 + 1, by 3.
        assert!((all.born.deviation.unwrap() - 2.0_f64.sqrt()).abs() < 1e-12);
        assert_eq!(
            all.by_size.into_iter().collect::<Vec<_>>(),
            [(3, 1), (5, 1), (6, 2)]
        );
        assert_eq!(
            all.by_live_size.into_iter().collect::<Vec<_>>(),
            [(3, 1), (4, 1), (5, 1), (6, 1)]
        );
        let years = sizes_by_year(&litters);
        assert_eq!(
            years.keys().copied().collect::<Vec<_>>(),
            [2024, 2025, 2026]
        );
        assert_eq!((years[&2025].litters, years[&2025].born.mean), (2, 4.5));
        assert_eq!(
            years[&2024].born.deviation, None,
            "one litter has no spread"
        );
    }

    #[test]
    fn without_litters_there_are_no_sizes() {
        assert_eq!(sizes(&[]), None);
        assert!(sizes_by_year(&[]).is_empty());
    }

    #[test]
    fn more_alive_than_born_counts_as_born() {
        assert_eq!(
            sizes(&[litter(2026, 0, 4)]).map(|s| (s.born.mean, s.live_born.mean)),
            Some((4.0, 4.0))
        );
    }
}
