//! Published growth: how much a puppy gains at which age.
//!
//! In: an age in days. Out: ratios to birth weight and daily gains. The sources differ; each figure
//! says where it comes from, and none is an ideal to be reached.

/// The last day for which the maximum curve and the bands of the first weeks are given.
pub const LAST_DAY: f64 = 28.0;

/// Maximum growth as a multiple of birth weight, day 0 to 21: exp(0.13084 x − 0.001616 x²) (Alves
/// 2020, Vet Med Sci, doi 10.1002/vms3.322: 345 puppies of 19 breeds). Nothing outside.
#[must_use]
pub fn alves_maximum(days: f64) -> Option<f64> {
    (0.0..=21.0)
        .contains(&days)
        .then(|| (0.130_84 * days - 0.001_616 * days * days).exp())
}

/// A daily gain: least, usual, most, % of the weight a day.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GainBand {
    /// Least.
    pub least: f64,
    /// Usual.
    pub usual: f64,
    /// Most.
    pub most: f64,
}

/// Daily gain by age: 8 % (5 to 10) in week 1, 5 % (3.5 to 6) in weeks 2 to 4 (Small Animal
/// Clinical Nutrition, 5th ed., table 16-1). Nothing later, where the table gives g per kg of adult
/// weight instead.
#[must_use]
pub fn gain_band(days: f64) -> Option<GainBand> {
    match days {
        d if (0.0..7.0).contains(&d) => Some(GainBand {
            least: 5.0,
            usual: 8.0,
            most: 10.0,
        }),
        d if (7.0..=LAST_DAY).contains(&d) => Some(GainBand {
            least: 3.5,
            usual: 5.0,
            most: 6.0,
        }),
        _ => None,
    }
}

/// Least and most multiple of birth weight on a day, when a puppy gains within [`gain_band`] every
/// day from birth. Nothing beyond four weeks.
#[must_use]
pub fn band_of_multiples(days: f64) -> Option<(f64, f64)> {
    if !(0.0..=LAST_DAY).contains(&days) {
        return None;
    }
    let (first, later) = (days.min(7.0), (days - 7.0).max(0.0));
    Some((
        1.05_f64.powf(first) * 1.035_f64.powf(later),
        1.10_f64.powf(first) * 1.06_f64.powf(later),
    ))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_maximum_curve_has_its_published_values() {
        // Values of the formula of Alves 2020: day 7 2.3087, day 14 4.5495, day 21 7.6521.
        for (day, ratio) in [(1.0, 1.1379), (7.0, 2.3087), (14.0, 4.5495), (21.0, 7.6521)] {
            assert!(
                (alves_maximum(day).unwrap() - ratio).abs() < 5e-5,
                "day {day}"
            );
        }
        assert_eq!(alves_maximum(21.1), None);
    }

    #[test]
    fn the_usual_gain_doubles_the_birth_weight_when_the_handbook_says() {
        // Small Animal Clinical Nutrition, 5th ed., table 16-1: 8 % a day in week 1, 5 % in weeks 2
        // to 4, doubled on day 8 to 10.
        let usual = |days: i32| {
            (0..days)
                .map(|d| 1.0 + gain_band(f64::from(d)).unwrap().usual / 100.0)
                .product::<f64>()
        };
        let doubled = (1..28).find(|d| usual(*d) >= 2.0).unwrap();
        assert!((8..=11).contains(&doubled), "day {doubled}");
    }

    #[test]
    fn the_maximum_curve_lies_above_the_band_at_first() {
        for day in 1..=14 {
            assert!(
                alves_maximum(f64::from(day)).unwrap()
                    > band_of_multiples(f64::from(day)).unwrap().1,
                "day {day}"
            );
        }
    }
}
