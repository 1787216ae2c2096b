//! How completely the ancestors are known, and how many of them are one and the same dog.
//!
//! In: an [`Ancestry`] and a dog or a mating. Out: a [`Depth`] with counts by generation. A
//! coefficient of inbreeding says little without it: what is not known cannot be related.

use super::{Ancestry, Parents};
use crate::quantity::Id;
use std::collections::{BTreeMap, BTreeSet};

/// The most generations that are counted; the places of more would not fit into a number.
pub const MOST_GENERATIONS: u32 = 40;

/// The ancestors by generation, the parents first.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Depth {
    /// One entry for each generation asked for, also where nobody is known.
    pub generations: Vec<Generation>,
}

/// One generation of ancestors.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Generation {
    /// Which: 1 for the parents, 2 for the grandparents.
    pub number: u32,
    /// Places in this generation: 2 to the power of its number.
    pub possible: u64,
    /// Places in which a dog is known.
    pub known: u64,
    /// Different dogs in this generation.
    pub different: usize,
    /// Different dogs from the first generation to this one.
    pub different_so_far: usize,
}

impl Depth {
    /// Completeness over the first `generations`, 0 to 1: known ancestors by all places, 2 + 4 + 8
    /// … (Cassell, Adamec and Pearson 2003). Nothing for more generations than were counted, or
    /// for none.
    #[must_use]
    #[expect(
        clippy::cast_precision_loss,
        reason = "a share needs no more than 53 bits"
    )]
    pub fn completeness(&self, generations: u32) -> Option<f64> {
        let (known, possible) = self.places(generations)?;
        Some(known as f64 / possible as f64)
    }

    /// Coefficient of ancestor loss over the first `generations`, above 0 to 1: different ancestors
    /// by known places. It is 1 when no ancestor stands in two places, and the smaller the more
    /// do. Nothing when no ancestor is known.
    #[must_use]
    #[expect(
        clippy::cast_precision_loss,
        reason = "a share needs no more than 53 bits"
    )]
    pub fn ancestor_loss(&self, generations: u32) -> Option<f64> {
        let (known, _) = self.places(generations)?;
        let last = self.generations.get(generations.checked_sub(1)? as usize)?;
        (known > 0).then(|| last.different_so_far as f64 / known as f64)
    }

    fn places(&self, generations: u32) -> Option<(u64, u64)> {
        let counted = self
            .generations
            .get(..generations as usize)
            .filter(|counted| !counted.is_empty())?;
        Some(counted.iter().fold((0, 0), |(known, possible), g| {
            (known + g.known, possible + g.possible)
        }))
    }
}

impl Ancestry {
    /// The ancestors of a dog over some generations, [`MOST_GENERATIONS`] at most. A dog that is
    /// not known has no known ancestors.
    #[must_use]
    pub fn depth(&self, dog: &Id, generations: u32) -> Depth {
        self.depth_behind(
            self.row(dog).map_or([None; 2], |row| self.parents[row]),
            generations,
        )
    }

    /// The ancestors of the puppies of a mating over some generations, sire and dam being the
    /// first.
    #[must_use]
    pub fn depth_of_mating(&self, sire: &Id, dam: &Id, generations: u32) -> Depth {
        self.depth_behind([self.row(sire), self.row(dam)], generations)
    }

    fn depth_behind(&self, parents: Parents, generations: u32) -> Depth {
        let add = |places: &mut BTreeMap<usize, u64>, parents: Parents, times: u64| {
            for parent in parents.into_iter().flatten() {
                *places.entry(parent).or_default() += times;
            }
        };
        let mut places: BTreeMap<usize, u64> = BTreeMap::new();
        add(&mut places, parents, 1);
        let mut seen: BTreeSet<usize> = BTreeSet::new();
        let mut counted = Vec::new();
        for number in 1..=generations.min(MOST_GENERATIONS) {
            seen.extend(places.keys());
            counted.push(Generation {
                number,
                possible: 1 << number,
                known: places.values().sum(),
                different: places.len(),
                different_so_far: seen.len(),
            });
            let mut before = BTreeMap::new();
            for (row, times) in places {
                add(&mut before, self.parents[row], times);
            }
            places = before;
        }
        Depth {
            generations: counted,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::tests::dogs;
    use super::*;

    fn close(value: Option<f64>, expected: f64) -> bool {
        value.is_some_and(|v| (v - expected).abs() < 1e-12)
    }

    /// A dog `1` whose ancestors are all different over some generations: dog n has the parents 2n
    /// and 2n + 1.
    fn whole(generations: u32) -> Ancestry {
        let table: Vec<String> = (1..2_u32.pow(generations + 1))
            .map(|n| {
                if n < 2_u32.pow(generations) {
                    format!("d{n} d{} d{}", 2 * n, 2 * n + 1)
                } else {
                    format!("d{n} - -")
                }
            })
            .collect();
        Ancestry::new(&dogs(&table.join(";")))
    }

    #[test]
    fn places_add_up_as_cassell_counts_them() {
        // Cassell, Adamec and Pearson 2003: 4 generations have 30 ancestors; by the same sum 5 have
        // 62 and 10 have 2,046.
        let depth = whole(10).depth(&"d1".parse().unwrap(), 12);
        for (generations, places) in [(4, 30), (5, 62), (10, 2_046)] {
            assert_eq!(depth.places(generations), Some((places, places)));
            assert!(close(depth.completeness(generations), 1.0));
            assert!(close(depth.ancestor_loss(generations), 1.0));
        }
        assert_eq!(
            depth.generations[9],
            Generation {
                number: 10,
                possible: 1_024,
                known: 1_024,
                different: 1_024,
                different_so_far: 2_046
            }
        );
        assert!(
            close(depth.completeness(11), 2_046.0 / 4_094.0),
            "nobody is known in the eleventh"
        );
        assert_eq!(depth.completeness(13), None, "not counted so far");
        assert_eq!(depth.completeness(0), None);
        assert_eq!(depth.ancestor_loss(0), None);
    }

    #[test]
    fn a_dog_in_two_places_is_one_ancestor_less() {
        // Full sibs: two parents and two grandparents in four places. 4 different dogs in 6 places.
        let ancestry = Ancestry::new(&dogs("a - -;b - -;c a b;d a b;x c d"));
        let depth = ancestry.depth(&"x".parse().unwrap(), 3);
        assert_eq!(
            depth,
            ancestry.depth_of_mating(&"c".parse().unwrap(), &"d".parse().unwrap(), 3)
        );
        assert!(close(depth.ancestor_loss(1), 1.0));
        assert!(close(depth.ancestor_loss(2), 4.0 / 6.0));
        assert!(close(depth.completeness(2), 1.0));
        assert!(close(depth.completeness(3), 6.0 / 14.0));
        assert_eq!(
            depth
                .generations
                .iter()
                .map(|g| (g.known, g.different))
                .collect::<Vec<_>>(),
            [(2, 2), (4, 2), (0, 0)]
        );
    }

    #[test]
    fn the_same_dog_in_different_generations_is_counted_once() {
        // Sire a with his daughter c: the ancestors of x are a and c, then a again with b.
        let ancestry = Ancestry::new(&dogs("a - -;b - -;c a b;x a c"));
        let depth = ancestry.depth(&"x".parse().unwrap(), 2);
        assert_eq!(
            depth
                .generations
                .iter()
                .map(|g| (g.known, g.different, g.different_so_far))
                .collect::<Vec<_>>(),
            [(2, 2, 2), (2, 2, 3)]
        );
        assert!(close(depth.ancestor_loss(2), 3.0 / 4.0));
    }

    #[test]
    fn the_ancestors_of_a_dog_in_two_places_have_two_places_each() {
        // Half sibs c and d by the sire a, whose parents g and h are known: 2, then 4 places with 3
        // dogs, then g and h twice each.
        let ancestry = Ancestry::new(&dogs("g - -;h - -;a g h;b - -;e - -;c a b;d a e;x c d"));
        let depth = ancestry.depth(&"x".parse().unwrap(), 3);
        assert_eq!(
            depth
                .generations
                .iter()
                .map(|g| (g.known, g.different, g.different_so_far))
                .collect::<Vec<_>>(),
            [(2, 2, 2), (4, 3, 5), (4, 2, 7)]
        );
        assert!(close(depth.ancestor_loss(3), 7.0 / 10.0));
    }

    #[test]
    fn completeness_and_equivalent_generations_tell_the_same_story() {
        // Maignel, Boichard and Verrier 1996: the sum over generations of known places by possible
        // ones is the number of equivalent complete generations.
        let ancestry = Ancestry::new(&dogs("a - -;b - -;e - -;c a b;d a e;g c -;x g d"));
        let depth = ancestry.depth(&"x".parse().unwrap(), MOST_GENERATIONS);
        #[allow(clippy::cast_precision_loss, reason = "few places")]
        let sum: f64 = depth
            .generations
            .iter()
            .map(|g| g.known as f64 / g.possible as f64)
            .sum();
        assert!(
            (sum - ancestry
                .inbreeding(&"x".parse().unwrap())
                .complete_generations)
                .abs()
                < 1e-12
        );
    }

    #[test]
    fn without_known_ancestors_nothing_is_said_of_their_loss() {
        let ancestry = Ancestry::new(&dogs("a - -"));
        for dog in ["a", "nobody"] {
            let depth = ancestry.depth(&dog.parse().unwrap(), 6);
            assert!(close(depth.completeness(6), 0.0));
            assert_eq!(depth.ancestor_loss(6), None);
        }
        assert!(
            ancestry
                .depth(&"a".parse().unwrap(), u32::MAX)
                .generations
                .len()
                == 40,
            "more would not fit into a number"
        );
    }
}
