//! Birth weights of a kennel's past puppies, and where one puppy stands among them.
//!
//! In: weights in grams with the sex. Out: [`BirthWeights`] by sex and in all from five puppies on,
//! and the kennel's own [`UsualRange`] from twenty. A kennel's range says what is usual here; it
//! says nothing of what is good.

use super::numbers::{NotEnough, SortedSample};
use crate::records::dog::Sex;

/// Fewest puppies for a mean with its spread. Common practice, no source.
pub const FEWEST: usize = 5;

/// Fewest puppies for a range of what is usual: with 20 the lightest tenth are two puppies, with
/// fewer one puppy would set the border. Common practice, no source.
pub const FEWEST_FOR_RANGE: usize = 20;

/// One past puppy.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BornWith {
    /// Its sex.
    pub sex: Sex,
    /// Its weight at birth, g; a weight that is not above 0 is left out.
    pub grams: f64,
}

/// How weights are spread, all in grams.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spread {
    /// Puppies.
    pub n: usize,
    /// Mean.
    pub mean: f64,
    /// Standard deviation (n − 1).
    pub deviation: f64,
    /// Lightest.
    pub least: f64,
    /// A tenth are lighter.
    pub p10: f64,
    /// A quarter are lighter.
    pub p25: f64,
    /// Half are lighter.
    pub median: f64,
    /// A quarter are heavier.
    pub p75: f64,
    /// A tenth are heavier.
    pub p90: f64,
    /// Heaviest.
    pub most: f64,
}

/// Birth weights in all and by sex; each part has its own count.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BirthWeights {
    /// All puppies.
    pub all: Result<Spread, NotEnough>,
    /// Females.
    pub females: Result<Spread, NotEnough>,
    /// Males.
    pub males: Result<Spread, NotEnough>,
}

/// Sums up birth weights.
#[must_use]
pub fn birth_weights(puppies: &[BornWith]) -> BirthWeights {
    let of = |sex: Option<Sex>| {
        spread(&sample(
            puppies
                .iter()
                .filter(|p| sex.is_none_or(|sex| p.sex == sex))
                .map(|p| p.grams),
        ))
    };
    BirthWeights {
        all: of(None),
        females: of(Some(Sex::Female)),
        males: of(Some(Sex::Male)),
    }
}

fn sample(grams: impl Iterator<Item = f64>) -> SortedSample {
    SortedSample::new(grams.filter(|g| *g > 0.0))
}

fn spread(sample: &SortedSample) -> Result<Spread, NotEnough> {
    let enough = sample.at_least(FEWEST)?;
    let few = NotEnough {
        have: sample.len(),
        need: FEWEST,
    };
    let at = |share| enough.quantile(share).ok_or(few);
    Ok(Spread {
        n: enough.len(),
        mean: enough.mean().ok_or(few)?,
        deviation: enough.deviation().ok_or(few)?,
        least: at(0.0)?,
        p10: at(0.1)?,
        p25: at(0.25)?,
        median: at(0.5)?,
        p75: at(0.75)?,
        p90: at(0.9)?,
        most: at(1.0)?,
    })
}

/// Between which birth weights the middle four fifths of a kennel's puppies lie.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct UsualRange {
    /// Puppies it rests on.
    pub n: usize,
    /// The 10th percentile, g.
    pub from: f64,
    /// The 90th percentile, g.
    pub to: f64,
}

/// A birth weight against the kennel's own.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum AgainstKennel {
    /// Under the 10th percentile.
    Light,
    /// From the 10th to the 90th percentile, both included.
    Usual,
    /// Above the 90th percentile.
    Heavy,
}

impl AgainstKennel {
    /// The class in words.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Light => "lighter than nine in ten born here",
            Self::Usual => "usual here",
            Self::Heavy => "heavier than nine in ten born here",
        }
    }
}

/// The usual range of past birth weights, g, of both sexes together. The puppy to be judged and its
/// littermates should not be among them.
///
/// # Errors
/// How many there are, when they are fewer than [`FEWEST_FOR_RANGE`].
pub fn usual_range(past_grams: &[f64]) -> Result<UsualRange, NotEnough> {
    let past = sample(past_grams.iter().copied());
    let enough = past.at_least(FEWEST_FOR_RANGE)?;
    let few = NotEnough {
        have: past.len(),
        need: FEWEST_FOR_RANGE,
    };
    Ok(UsualRange {
        n: enough.len(),
        from: enough.quantile(0.1).ok_or(few)?,
        to: enough.quantile(0.9).ok_or(few)?,
    })
}

impl UsualRange {
    /// Where a birth weight in grams stands.
    #[must_use]
    pub fn class(&self, grams: f64) -> AgainstKennel {
        match grams {
            g if g < self.from => AgainstKennel::Light,
            g if g > self.to => AgainstKennel::Heavy,
            _ => AgainstKennel::Usual,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Twenty-five weights: 180 + (29 i mod 83) g, every third a male.
    fn puppies() -> Vec<BornWith> {
        (0..25_u32)
            .map(|i| BornWith {
                sex: if i % 3 == 0 { Sex::Male } else { Sex::Female },
                grams: f64::from(180 + i * 29 % 83),
            })
            .collect()
    }

    #[test]
    fn the_spread_is_numpys() {
        // numpy on the same 25 numbers: mean, std(ddof=1), quantile.
        let all = birth_weights(&puppies()).all.unwrap();
        let expected = [
            219.24,
            24.992_132_095_254_83,
            180.0,
            185.6,
            200.0,
            217.0,
            238.0,
            252.4,
            262.0,
        ];
        let found = [
            all.mean,
            all.deviation,
            all.least,
            all.p10,
            all.p25,
            all.median,
            all.p75,
            all.p90,
            all.most,
        ];
        for (found, expected) in found.into_iter().zip(expected) {
            assert!((found - expected).abs() < 1e-9, "{found} {expected}");
        }
        assert_eq!(all.n, 25);
    }

    #[test]
    fn each_sex_has_its_own_count() {
        let found = birth_weights(&puppies());
        assert_eq!((found.males.unwrap().n, found.females.unwrap().n), (9, 16));
        let few = birth_weights(&puppies()[..7]);
        assert_eq!(few.males, Err(NotEnough { have: 3, need: 5 }));
        assert_eq!(few.females, Err(NotEnough { have: 4, need: 5 }));
        assert_eq!(few.all.map(|s| s.n), Ok(7));
        let odd = [0.0, -5.0, f64::NAN, f64::INFINITY].map(|grams| BornWith {
            sex: Sex::Male,
            grams,
        });
        assert_eq!(birth_weights(&odd).all, Err(NotEnough { have: 0, need: 5 }));
    }

    #[test]
    fn a_puppy_stands_against_the_kennel_from_twenty_puppies_on() {
        let grams: Vec<f64> = puppies().iter().map(|p| p.grams).collect();
        let range = usual_range(&grams).unwrap();
        for (grams, class) in [
            (185.5, AgainstKennel::Light),
            (185.6, AgainstKennel::Usual),
            (219.0, AgainstKennel::Usual),
            (252.4, AgainstKennel::Usual),
            (252.5, AgainstKennel::Heavy),
        ] {
            // The borders are 185.6 and 252.4 g, but for the last bit.
            assert_eq!(
                UsualRange {
                    from: 185.6,
                    to: 252.4,
                    ..range
                }
                .class(grams),
                class,
                "{grams} g"
            );
        }
        assert!((range.from - 185.6).abs() < 1e-9 && (range.to - 252.4).abs() < 1e-9);
        assert_eq!(
            usual_range(&grams[..19]),
            Err(NotEnough { have: 19, need: 20 })
        );
        assert!(usual_range(&grams[..20]).is_ok());
    }
}
