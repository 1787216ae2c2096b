//! Mean, spread, quantiles and shares of a few numbers.
//!
//! In: numbers, and how many are needed. Out: a summary, or how many there are of how many. Odd
//! values (not a number, infinite) are left out, not passed on.

/// Too few numbers for a figure.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct NotEnough {
    /// How many there are.
    pub have: usize,
    /// From how many the figure is given.
    pub need: usize,
}

/// Numbers in order, of which figures are asked.
#[derive(Debug, Clone, PartialEq)]
pub struct SortedSample {
    sorted: Vec<f64>,
}

impl SortedSample {
    /// Puts finite numbers in order.
    #[must_use]
    pub fn new(numbers: impl IntoIterator<Item = f64>) -> Self {
        let mut sorted: Vec<f64> = numbers.into_iter().filter(|x| x.is_finite()).collect();
        sorted.sort_unstable_by(f64::total_cmp);
        Self { sorted }
    }

    /// How many.
    #[must_use]
    pub fn len(&self) -> usize {
        self.sorted.len()
    }

    /// Whether there are none.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.sorted.is_empty()
    }

    /// Nothing but the count when there are fewer than `need`.
    ///
    /// # Errors
    /// How many there are, when they are too few.
    pub fn at_least(&self, need: usize) -> Result<&Self, NotEnough> {
        if self.len() < need {
            Err(NotEnough {
                have: self.len(),
                need,
            })
        } else {
            Ok(self)
        }
    }

    /// The mean.
    #[must_use]
    pub fn mean(&self) -> Option<f64> {
        (!self.is_empty()).then(|| self.sorted.iter().sum::<f64>() / number(self.len()))
    }

    /// The standard deviation of a sample, with n − 1 below the line. Nothing for fewer than two
    /// numbers.
    #[must_use]
    pub fn deviation(&self) -> Option<f64> {
        let mean = self.mean().filter(|_| self.len() > 1)?;
        Some(
            (self.sorted.iter().map(|x| (x - mean).powi(2)).sum::<f64>() / number(self.len() - 1))
                .sqrt(),
        )
    }

    /// A quantile between two numbers by a straight line: type 7 of Hyndman and Fan 1996 (Am Stat
    /// 50:361-365). `share` is 0 to 1; others are taken for the nearer end.
    #[must_use]
    pub fn quantile(&self, share: f64) -> Option<f64> {
        let last = self.len().checked_sub(1)?;
        let place = number(last) * share.clamp(0.0, 1.0);
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "the place lies between 0 and the last number"
        )]
        let below = place.floor() as usize;
        let (low, high) = (*self.sorted.get(below)?, self.sorted[(below + 1).min(last)]);
        Some(low + (high - low) * place.fract())
    }
}

#[expect(clippy::cast_precision_loss, reason = "no kennel has 2^53 puppies")]
pub(super) fn number(count: usize) -> f64 {
    count as f64
}

/// Mean, median, range and spread.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Summary {
    /// How many numbers.
    pub n: usize,
    /// Mean.
    pub mean: f64,
    /// Median.
    pub median: f64,
    /// Smallest.
    pub least: f64,
    /// Largest.
    pub most: f64,
    /// Standard deviation (n − 1); nothing for a single number.
    pub deviation: Option<f64>,
}

impl Summary {
    /// Sums up numbers; nothing when there are none.
    #[must_use]
    pub fn of(sample: &SortedSample) -> Option<Self> {
        Some(Self {
            n: sample.len(),
            mean: sample.mean()?,
            median: sample.quantile(0.5)?,
            least: sample.quantile(0.0)?,
            most: sample.quantile(1.0)?,
            deviation: sample.deviation(),
        })
    }
}

/// A part of a whole that is known, with what few cases leave open.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Share {
    /// How many.
    pub count: usize,
    /// Out of how many of which it is known.
    pub of: usize,
    /// Of how many more it is not known. They are not in `of`.
    pub unknown: usize,
    /// Lower end of the 95 % interval, 0 to 1.
    pub low: f64,
    /// Upper end. With nothing known the interval is 0 to 1.
    pub high: f64,
}

/// The standard normal quantile of 97.5 %.
const Z: f64 = 1.959_963_984_540_054;

impl Share {
    /// A share with the score interval of Wilson (1927, J Am Stat Assoc 22:209-212), which is sound
    /// for few cases and for none or all of them. It takes puppies as independent of each
    /// other; littermates share a fate more often than that, so the true uncertainty is wider.
    #[must_use]
    pub fn new(count: usize, of: usize, unknown: usize) -> Self {
        let count = count.min(of);
        let share = Self {
            count,
            of,
            unknown,
            low: 0.0,
            high: 1.0,
        };
        let Some(part) = share.value() else {
            return share;
        };
        let n = number(of);
        let middle = (part + Z * Z / (2.0 * n)) / (1.0 + Z * Z / n);
        let reach =
            Z / (1.0 + Z * Z / n) * (part * (1.0 - part) / n + Z * Z / (4.0 * n * n)).sqrt();
        // At the ends the formula gives 0 and 1, but for rounding.
        let low = if count == 0 {
            0.0
        } else {
            (middle - reach).max(0.0)
        };
        let high = if count == of {
            1.0
        } else {
            (middle + reach).min(1.0)
        };
        Self { low, high, ..share }
    }

    /// The share, 0 to 1; nothing when nothing is known.
    #[must_use]
    pub fn value(&self) -> Option<f64> {
        (self.of > 0).then(|| number(self.count) / number(self.of))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn near(a: f64, b: f64) -> bool {
        (a - b).abs() <= 1e-12 * b.abs().max(1.0)
    }

    #[test]
    fn quantiles_are_those_of_numpy() {
        // numpy.quantile(x, q) and numpy.std(x, ddof=1) of the twelve weights of chick 1 of R's
        // ChickWeight data.
        let chick = SortedSample::new([
            42.0, 51.0, 59.0, 64.0, 76.0, 93.0, 106.0, 125.0, 149.0, 171.0, 199.0, 205.0,
        ]);
        for (share, expected) in [
            (0.0, 42.0),
            (0.1, 51.8),
            (0.25, 62.75),
            (0.5, 99.5),
            (0.75, 154.5),
            (0.9, 196.2),
            (1.0, 205.0),
        ] {
            assert!(near(chick.quantile(share).unwrap(), expected), "{share}");
        }
        let summary = Summary::of(&chick).unwrap();
        assert!(
            near(summary.mean, 111.666_666_666_666_67)
                && near(summary.deviation.unwrap(), 57.731_877_649_784_59)
        );
        // The same of five weights in any order.
        let five = SortedSample::new([212.0, 198.0, 205.0, 187.0, 231.0]);
        for (share, expected) in [
            (0.1, 191.4),
            (0.25, 198.0),
            (0.5, 205.0),
            (0.75, 212.0),
            (0.9, 223.4),
        ] {
            assert!(near(five.quantile(share).unwrap(), expected), "{share}");
        }
        assert!(near(five.deviation().unwrap(), 16.471_186_963_907_61));
    }

    #[test]
    fn few_numbers_say_less() {
        assert_eq!(Summary::of(&SortedSample::new([])), None);
        assert_eq!(SortedSample::new([f64::NAN, f64::INFINITY]).mean(), None);
        let one = Summary::of(&SortedSample::new([7.0])).unwrap();
        assert_eq!((one.n, one.median, one.deviation), (1, 7.0, None));
        let few = SortedSample::new([1.0, 2.0, 3.0]).at_least(5).unwrap_err();
        assert_eq!(few, NotEnough { have: 3, need: 5 });
    }

    #[test]
    fn wilson_intervals_as_published() {
        // Newcombe 1998, Stat Med 17:857-872, table I, method 3 (from memory); scipy gives the same
        // four figures.
        for (count, of, low, high) in [
            (81, 263, 0.2553, 0.3662),
            (15, 148, 0.0624, 0.1605),
            (0, 20, 0.0, 0.1611),
            (1, 29, 0.0061, 0.1718),
        ] {
            let share = Share::new(count, of, 0);
            assert!(
                (share.low - low).abs() < 5e-5 && (share.high - high).abs() < 5e-5,
                "{share:?}"
            );
        }
    }

    #[test]
    fn wilson_intervals_as_scipy_computes_them() {
        // scipy 1.17: binomtest(k, n).proportion_ci(method="wilson").
        let intervals = [
            (0, 1, 0.0, 0.793_450_685_622_762_6),
            (1, 1, 0.206_549_314_377_237_45, 1.0),
            (0, 10, 0.0, 0.277_532_799_862_889_26),
            (1, 10, 0.017_876_213_095_072_896, 0.404_150_026_795_238_5),
            (5, 10, 0.236_593_090_512_564, 0.763_406_909_487_436_1),
            (10, 10, 0.722_467_200_137_110_9, 1.0),
            (238, 240, 0.970_130_262_011_108_1, 0.997_711_716_713_025_8),
            (209, 240, 0.822_492_167_983_267_7, 0.907_490_341_393_409_4),
            (
                43,
                1_000,
                0.032_078_653_411_713_37,
                0.057_419_003_844_084_02,
            ),
        ];
        for (count, of, low, high) in intervals {
            let share = Share::new(count, of, 0);
            assert!(near(share.low, low) && near(share.high, high), "{share:?}");
        }
        let nothing = Share::new(0, 0, 4);
        assert_eq!(
            (nothing.value(), nothing.low, nothing.high),
            (None, 0.0, 1.0)
        );
    }

    proptest! {
        #[test]
        fn an_interval_holds_its_share_and_narrows_with_more_cases(
            count in 0..400_usize,
            more in 0..400_usize,
        ) {
            let of = count + more + 1;
            let share = Share::new(count, of, 0);
            let value = share.value().unwrap();
            prop_assert!(
                0.0 <= share.low && share.low <= value && value <= share.high && share.high <= 1.0
            );
            let tenfold = Share::new(count * 10, of * 10, 0);
            prop_assert!(tenfold.high - tenfold.low < share.high - share.low);
            let others = Share::new(of - count, of, 0);
            prop_assert!(
                near(others.low, 1.0 - share.high) && near(others.high, 1.0 - share.low),
                "what is not counted has the mirrored interval"
            );
        }

        #[test]
        fn quantiles_move_with_the_numbers(
            numbers in proptest::collection::vec(1.0..1_000.0_f64, 1..40),
            factor in 0.1..10.0_f64,
            share in 0.0..1.0_f64,
        ) {
            let whole = SortedSample::new(numbers.iter().copied());
            let scaled = SortedSample::new(numbers.iter().rev().map(|x| x * factor));
            prop_assert!(near(
                scaled.quantile(share).unwrap(),
                whole.quantile(share).unwrap() * factor
            ));
            prop_assert!(near(scaled.mean().unwrap(), whole.mean().unwrap() * factor));
            let (low, high) = (whole.quantile(0.0).unwrap(), whole.quantile(1.0).unwrap());
            prop_assert!((low..=high).contains(&whole.quantile(share).unwrap()));
        }
    }
}
