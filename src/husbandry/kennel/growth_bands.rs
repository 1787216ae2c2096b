//! How a kennel's past puppies grew: for each day of age the spread of their weight as a multiple
//! of their birth weight.
//!
//! In: the weigh-ins of each past puppy with its birth weight and litter. Out: a [`BandOfDay`] for
//! each day from 0 to 56, with quantiles only where enough puppies of enough litters were weighed
//! about that day. It is what was, not an ideal to be reached; puppies that died are in it as long
//! as they were weighed.

use super::numbers::SortedSample;
use crate::doubling::Curve;
use rayon::prelude::*;
use std::collections::BTreeSet;

/// The last day for which there is a band.
pub const LAST_DAY: u16 = 56;

/// Fewest puppies for a band. Common practice, no source: with 20 the outer tenths are two puppies
/// each.
pub const FEWEST_PUPPIES: usize = 20;

/// Fewest litters for a band: littermates grow alike, so twenty puppies of one litter say little of
/// the next. Common practice, no source.
pub const FEWEST_LITTERS: usize = 3;

/// The weights of one past puppy.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PuppyCurve<'a> {
    /// Any number that is the same for littermates and for nobody else.
    pub litter: usize,
    /// Birth weight, g. A puppy without one above 0 is left out.
    pub birth_grams: f64,
    /// Days since birth, as fractions, and grams.
    pub points: &'a [(f64, f64)],
}

/// The multiples of the birth weight on one day of age.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BandOfDay {
    /// Age in days, 0 to 56.
    pub day: u16,
    /// Puppies with a known weight on that day, by weigh-ins before and after it that are no more
    /// than a week apart.
    pub puppies: usize,
    /// Their litters.
    pub litters: usize,
    /// The spread; nothing with fewer than [`FEWEST_PUPPIES`] or [`FEWEST_LITTERS`].
    pub band: Option<Band>,
}

/// Quantiles of the weight by the birth weight.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Band {
    /// A tenth had grown less.
    pub p10: f64,
    /// A quarter had grown less.
    pub p25: f64,
    /// Half had grown less.
    pub median: f64,
    /// A quarter had grown more.
    pub p75: f64,
    /// A tenth had grown more.
    pub p90: f64,
}

/// The bands of days 0 to 56.
#[must_use]
pub fn growth_bands(puppies: &[PuppyCurve<'_>]) -> Vec<BandOfDay> {
    let curves: Vec<(usize, Curve)> = puppies
        .iter()
        .filter_map(|p| Some((p.litter, Curve::new(p.points, p.birth_grams)?)))
        .collect();
    (0..=LAST_DAY)
        .into_par_iter()
        .map(|day| of_day(day, &curves))
        .collect()
}

fn of_day(day: u16, curves: &[(usize, Curve)]) -> BandOfDay {
    let known: Vec<(usize, f64)> = curves
        .iter()
        .filter_map(|(litter, curve)| Some((*litter, curve.multiple(f64::from(day))?)))
        .collect();
    let litters = known
        .iter()
        .map(|(litter, _)| litter)
        .collect::<BTreeSet<_>>()
        .len();
    let sample = SortedSample::new(known.iter().map(|(_, multiple)| *multiple));
    let puppies = sample.len();
    let band = (puppies >= FEWEST_PUPPIES && litters >= FEWEST_LITTERS)
        .then(|| band(&sample))
        .flatten();
    BandOfDay {
        day,
        puppies,
        litters,
        band,
    }
}

fn band(sample: &SortedSample) -> Option<Band> {
    Some(Band {
        p10: sample.quantile(0.1)?,
        p25: sample.quantile(0.25)?,
        median: sample.quantile(0.5)?,
        p75: sample.quantile(0.75)?,
        p90: sample.quantile(0.9)?,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// A past puppy that owns its points.
    type Past = (usize, f64, Vec<(f64, f64)>);

    /// Twenty-four puppies of four litters, weighed every two to three days from another half day
    /// on and for another time. Puppy p: birth weight b = 200 + 37 p mod 100 g, weighed at the
    /// half days h = 1 + p mod 5, then every 4 + p mod 3, up to but not at 60 + 8 (p mod 6), with b
    /// + b h (30 + 13 p mod 30) / 1000 g.
    fn past() -> Vec<Past> {
        let puppy = |p: u32| {
            let birth = f64::from(200 + p * 37 % 100);
            let halves = (1 + p % 5..60 + p % 6 * 8).step_by(4 + p as usize % 3);
            let points = halves
                .map(|h| {
                    (
                        f64::from(h) / 2.0,
                        birth + birth * f64::from(h) * f64::from(30 + p * 13 % 30) / 1_000.0,
                    )
                })
                .collect();
            (p as usize % 4, birth, points)
        };
        (0..24).map(puppy).collect()
    }

    fn bands(past: &[Past]) -> Vec<BandOfDay> {
        growth_bands(
            &past
                .iter()
                .map(|(litter, birth_grams, points)| PuppyCurve {
                    litter: *litter,
                    birth_grams: *birth_grams,
                    points,
                })
                .collect::<Vec<_>>(),
        )
    }

    #[test]
    fn bands_are_those_of_numpy() {
        // numpy on the same puppies: exp(interp(day, days, log(grams / birth))) with (0, birth) put
        // first, of those weighed on or after the day; then quantile.
        let bands = bands(&past());
        assert_eq!(bands.len(), 57);
        let expected = [
            (0, [1.0; 5]),
            (
                1,
                [
                    1.062_615_976_026_117_1,
                    1.070_635_709_068_118,
                    1.086_677_355_003_439_4,
                    1.098_320_328_442_720_8,
                    1.108_154_250_698_877_3,
                ],
            ),
            (
                3,
                [
                    1.192_395_163_126_170_9,
                    1.218_497_066_953_815_3,
                    1.262_922_077_799_949_2,
                    1.308_368_677_874_004_2,
                    1.334_608_859_835_317_2,
                ],
            ),
            (
                14,
                [
                    1.903_069_948_453_261_2,
                    2.027_231_296_006_857_3,
                    2.245_309_379_579_142,
                    2.459_384_918_733_684_7,
                    2.585_379_229_029_340_5,
                ],
            ),
            (
                30,
                [
                    2.973_256_931_398_013_5,
                    3.31,
                    3.668_535_504_959_959_5,
                    4.134_316_182_130_199,
                    4.424_762_839_209_262,
                ],
            ),
        ];
        for (day, quantiles) in expected {
            let found = bands[day].band.unwrap();
            for (found, expected) in [found.p10, found.p25, found.median, found.p75, found.p90]
                .into_iter()
                .zip(quantiles)
            {
                assert!(
                    (found - expected).abs() < 1e-12,
                    "day {day}: {found} {expected}"
                );
            }
        }
        // The same count of puppies on days on which too few were still weighed.
        for (day, puppies) in [(30, 20), (32, 19), (36, 14), (40, 12)] {
            assert_eq!(
                (
                    bands[day].puppies,
                    bands[day].litters,
                    bands[day].band.is_some()
                ),
                (puppies, 4, puppies >= 20),
                "day {day}"
            );
        }
    }

    #[test]
    fn twenty_puppies_of_two_litters_are_not_enough() {
        let two: Vec<Past> = past()
            .into_iter()
            .map(|(litter, birth, points)| (litter % 2, birth, points))
            .collect();
        let day_7 = bands(&two)[7];
        assert_eq!((day_7.puppies, day_7.litters, day_7.band), (24, 2, None));
        assert!(bands(&past())[7].band.is_some());
    }

    #[test]
    fn a_puppy_without_birth_weight_and_days_nobody_weighed_are_left_out() {
        let mut odd = past();
        odd[0].1 = 0.0;
        odd[1].2.clear();
        assert_eq!(bands(&odd)[7].puppies, 22);
        assert_eq!(
            bands(&odd)[0].puppies,
            23,
            "a birth weight alone counts on the day of birth"
        );
        assert!(
            bands(&[])
                .iter()
                .all(|day| day.puppies == 0 && day.band.is_none())
        );
    }

    proptest! {
        #[test]
        fn bands_do_not_depend_on_the_scale_nor_on_the_order(
            factor in 0.01..100.0_f64,
            turn in 0..24_usize,
        ) {
            let whole = bands(&past());
            let scaled = |points: Vec<(f64, f64)>| {
                points
                    .into_iter()
                    .rev()
                    .map(|(days, grams)| (days, grams * factor))
                    .collect()
            };
            let mut turned: Vec<Past> = past()
                .into_iter()
                .map(|(litter, birth, points)| (litter, birth * factor, scaled(points)))
                .collect();
            turned.rotate_left(turn);
            for (one, other) in whole.iter().zip(bands(&turned)) {
                prop_assert_eq!(
                    (one.day, one.puppies, one.litters),
                    (other.day, other.puppies, other.litters)
                );
                prop_assert_eq!(one.band.is_some(), other.band.is_some());
                let quantiles = |band: Band| [band.p10, band.p25, band.median, band.p75, band.p90];
                if let (Some(one), Some(other)) =
                    (one.band.map(quantiles), other.band.map(quantiles))
                {
                    prop_assert!(one.iter().zip(other).all(|(a, b)| (a - b).abs() < 1e-9));
                    prop_assert!(one.is_sorted());
                }
            }
        }

        #[test]
        fn no_points_panic(
            points in proptest::collection::vec((-5.0..70.0_f64, -10.0..9_000.0_f64), 0..60),
            birth in -1.0..900.0_f64,
        ) {
            let curve = PuppyCurve {
                litter: 0,
                birth_grams: birth,
                points: &points,
            };
            prop_assert_eq!(growth_bands(&[curve]).len(), 57);
        }
    }
}
