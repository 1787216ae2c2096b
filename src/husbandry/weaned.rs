//! Gain from weaning on, in grams a day for each kilogram of the expected adult weight.
//!
//! In: the weights of a puppy, and what it is expected to weigh when grown. Out: [`WeanedGain`], or
//! nothing while there is not enough. After four weeks a gain in per cent says little, since it
//! falls with every day; by adult weight puppies of all sizes can be compared.

use super::growth::Point;
use super::trend::theil_sen;
use crate::quantity::Weight;

/// Age in days from which this gain is computed: the end of the fourth week, where the handbook's
/// table changes its unit.
pub const FROM_DAY: f64 = 28.0;
/// Fewest weights, shortest and longest time in days.
const FEWEST: usize = 3;
const SHORTEST: f64 = 4.0;
const LONGEST: f64 = 21.0;

/// A gain by adult weight.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WeanedGain {
    /// Grams a day for each kilogram of adult weight.
    pub per_kg: f64,
    /// Lower end of the 95 % confidence interval.
    pub low: f64,
    /// Upper end.
    pub high: f64,
    /// The expected adult weight.
    pub adult: Weight,
    /// How many weights it rests on.
    pub weights: usize,
    /// Over how many days.
    pub days: f64,
}

/// What the handbook gives at an age in days, g a day for each kg of adult weight: least and most.
/// About 2 in weeks 5 to 10, 2 to 4 later (Small Animal Clinical Nutrition, 5th ed., table 16-1);
/// its box 16-3 says about 3 between one and two months. Nothing before [`FROM_DAY`].
#[must_use]
pub fn published(days: f64) -> Option<(f64, f64)> {
    match days {
        d if d < FROM_DAY => None,
        d if d <= 70.0 => Some((2.0, 3.0)),
        _ => Some((2.0, 4.0)),
    }
}

/// The gain over the latest weights since weaning began: at most three weeks, at least three
/// weights over four days.
#[must_use]
pub fn latest(points: &[Point], adult: Option<Weight>) -> Option<WeanedGain> {
    let adult = adult?;
    let end = points.last()?.days;
    let window: Vec<&Point> = points
        .iter()
        .filter(|p| p.days >= FROM_DAY && end - p.days <= LONGEST)
        .collect();
    let days = end - window.first()?.days;
    if window.len() < FEWEST || days < SHORTEST {
        return None;
    }
    let x: Vec<f64> = window.iter().map(|p| p.days).collect();
    let y: Vec<f64> = window.iter().map(|p| p.weight.grams()).collect();
    let slope = theil_sen(&x, &y)?;
    let per_kg = |slope: f64| slope / (adult.grams() / 1000.0);
    Some(WeanedGain {
        per_kg: per_kg(slope.slope),
        low: per_kg(slope.low),
        high: per_kg(slope.high),
        adult,
        weights: window.len(),
        days,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing::each;

    fn points(weights: &[(f64, f64)]) -> Vec<Point> {
        let at = "2026-10-01 08:00".parse().unwrap();
        weights
            .iter()
            .map(|(days, grams)| Point {
                at,
                days: *days,
                weight: Weight::from_grams(*grams).unwrap(),
                is_birth: false,
                change: None,
                since_birth: None,
            })
            .collect()
    }

    #[test]
    fn two_grams_a_day_for_each_kilogram_are_two() {
        // Small Animal Clinical Nutrition, 5th ed., table 16-1: weeks 5 to 10, 2 g for each kg of
        // adult weight a day; of a dog of 10 kg, 20 g a day.
        let weights: Vec<(f64, f64)> = (0..6)
            .map(|i| (30.0 + 2.0 * f64::from(i), 1200.0 + 40.0 * f64::from(i)))
            .collect();
        let gain = latest(&points(&weights), "10 kg".parse().ok()).unwrap();
        assert!((gain.per_kg - 2.0).abs() < 1e-9);
        let (least, most) = published(35.0).unwrap();
        assert!((least..=most).contains(&gain.per_kg));
    }

    #[test]
    fn too_little_is_nothing() {
        let adult = "10 kg".parse().ok();
        each! {
            latest(&points(&[(30.0, 1200.0), (35.0, 1300.0)]), adult) => None, "two weights";
            latest(&points(&[(30.0, 1200.0), (31.0, 1220.0), (32.0, 1240.0)]), adult)
                => None, "two days";
            latest(&points(&[(5.0, 300.0), (10.0, 400.0), (15.0, 500.0)]), adult)
                => None, "before weaning";
            latest(&points(&[(30.0, 1200.0), (33.0, 1260.0), (36.0, 1320.0)]), None)
                => None, "no adult weight";
            latest(&[], adult) => None;
        }
    }
}
