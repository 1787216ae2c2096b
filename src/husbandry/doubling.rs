//! One puppy's weights as multiples of its birth weight, and the day on which it has doubled.
//!
//! In: days since birth and grams, in any order, and the birth weight. Out: a [`Curve`] that is
//! read between weigh-ins by a straight line on the logarithm of the weight, since young puppies
//! grow by a share of what they weigh. It never reads beyond the last weigh-in, nor across a gap of
//! more than [`LONGEST_GAP`] days.

use super::growth::Point;
use super::trend::Trend;

/// The longest time in days between two weigh-ins that is bridged: a week. Common practice, no
/// source: puppies are weighed daily at first and weekly later, and what happened in a longer time
/// nobody saw.
pub const LONGEST_GAP: f64 = 7.0;

/// The weights of one puppy from its birth on.
#[derive(Debug, Clone, PartialEq)]
pub struct Curve {
    /// Days since birth and multiples of the birth weight, in the order of time; the first is day
    /// 0 and 1. No two have the same time.
    points: Vec<(f64, f64)>,
}

impl Curve {
    /// Puts weights in order. What has no weight above 0, or no time after birth, is left out; of
    /// two weights at one time the later in the list counts, as a correction. Nothing without a
    /// birth weight above 0 g.
    #[must_use]
    pub fn new(points: &[(f64, f64)], birth_grams: f64) -> Option<Self> {
        let sound = |value: f64| value.is_finite() && value > 0.0;
        if !sound(birth_grams) {
            return None;
        }
        let mut later: Vec<(f64, f64)> = points
            .iter()
            .filter(|(days, grams)| sound(*days) && sound(*grams))
            .copied()
            .collect();
        later.sort_by(|a, b| a.0.total_cmp(&b.0));
        let mut ordered = vec![(0.0, 1.0)];
        for (days, grams) in later {
            if ordered.last().is_some_and(|(before, _)| days <= *before) {
                ordered.pop();
            }
            ordered.push((days, grams / birth_grams));
        }
        Some(Self { points: ordered })
    }

    /// The multiple of the birth weight on a day. Nothing before birth, after the last weigh-in, or
    /// within too long a gap.
    #[must_use]
    pub fn multiple(&self, days: f64) -> Option<f64> {
        let after = self.points.partition_point(|(d, _)| *d < days);
        let (at, multiple) = *self.points.get(after)?;
        if at <= days {
            return Some(multiple);
        }
        let (before, earlier) = *self.points.get(after.checked_sub(1)?)?;
        let share = (days - before) / (at - before);
        (at - before <= LONGEST_GAP).then(|| earlier * (multiple / earlier).powf(share))
    }

    /// The first time, in days since birth, at which the puppy weighs `multiple` times its birth
    /// weight. Nothing while it does not, for a multiple of 1 or less, or when it happened
    /// within too long a gap.
    #[must_use]
    pub fn reaches(&self, multiple: f64) -> Option<f64> {
        let pair = self.points.windows(2).find(|pair| pair[1].1 >= multiple)?;
        let [(before, earlier), (at, later)] = [pair[0], pair[1]];
        (earlier < multiple && at - before <= LONGEST_GAP)
            .then(|| before + (at - before) * (multiple / earlier).ln() / (later / earlier).ln())
    }
}

/// When a puppy has doubled its birth weight, in days since birth: `points` are days since birth
/// and grams. See [`Curve::reaches`].
#[must_use]
pub fn doubled_on(points: &[(f64, f64)], birth_grams: f64) -> Option<f64> {
    Curve::new(points, birth_grams)?.reaches(2.0)
}

/// When a puppy doubled its birth weight, or is expected to.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Doubling {
    /// It doubled, so many days after birth.
    On(f64),
    /// At its present trend it will, so many days after birth.
    Expected(f64),
}

/// Published days for doubling, earliest and latest: 5.7 on the maximum curve (Alves 2020), 8 to 10
/// (Small Animal Clinical Nutrition, 5th ed., table 16-1), 13 (Great Danes, Milan), 14 (BMC Vet Res
/// 2019, s12917-019-2146-8).
pub const PUBLISHED: (f64, f64) = (8.0, 14.0);

/// The latest day to which a trend is drawn on: beyond, a gain of today says nothing.
const LATEST_EXPECTED: f64 = 28.0;

/// When a puppy doubled, or will at its present trend. Nothing without a birth weight, without a
/// gain that its interval is sure of, or when that would be after four weeks.
#[must_use]
pub fn doubling(points: &[Point], trend: Option<Trend>) -> Option<Doubling> {
    let birth = points.first().filter(|p| p.is_birth)?.weight.grams();
    let weights: Vec<(f64, f64)> = points
        .iter()
        .filter(|p| !p.is_birth)
        .map(|p| (p.days, p.weight.grams()))
        .collect();
    if let Some(day) = doubled_on(&weights, birth) {
        return Some(Doubling::On(day));
    }
    let (last, grams) = *weights.last()?;
    // Doubled in a gap that nobody watched.
    if grams >= 2.0 * birth {
        return None;
    }
    let gain = trend.filter(|t| t.low > 0.0)?.per_day / 100.0;
    let day = last + (2.0 * birth / grams).ln() / gain.ln_1p();
    (day <= LATEST_EXPECTED).then_some(Doubling::Expected(day))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing::each;

    /// Chick 1 of the data set of 50 chicks of Crowder and Hand 1990 (in R: `ChickWeight`): days
    /// and grams.
    const CHICK_1: [(f64, f64); 12] = [
        (0.0, 42.0),
        (2.0, 51.0),
        (4.0, 59.0),
        (6.0, 64.0),
        (8.0, 76.0),
        (10.0, 93.0),
        (12.0, 106.0),
        (14.0, 125.0),
        (16.0, 149.0),
        (18.0, 171.0),
        (20.0, 199.0),
        (21.0, 205.0),
    ];

    #[test]
    fn the_first_chick_doubles_between_day_8_and_10() {
        // numpy: interp(log(2), log(x / 42), days) = 8.991582364211002; on a straight line through
        // the weights themselves it would be 8.941.
        assert!((doubled_on(&CHICK_1, 42.0).unwrap() - 8.991_582_364_211_002).abs() < 1e-12);
        let mut shuffled = CHICK_1;
        shuffled.reverse();
        assert_eq!(doubled_on(&shuffled, 42.0), doubled_on(&CHICK_1, 42.0));
    }

    #[test]
    fn a_weigh_in_at_exactly_twice_the_weight_is_the_day() {
        // Chick 2 of the same data starts with 40 g and weighs 84 g on day 8; here 80 g stands on
        // day 7.5.
        assert_eq!(
            doubled_on(&[(4.0, 58.0), (7.5, 80.0), (8.0, 84.0)], 40.0),
            Some(7.5)
        );
        assert_eq!(doubled_on(&[(3.0, 79.9)], 40.0), None);
    }

    #[test]
    fn between_weigh_ins_a_curve_follows_the_logarithm_and_never_goes_on() {
        // numpy: exp(interp(d, days, log(x / 42))) for d = 9, 11, 20.5.
        let curve = Curve::new(&CHICK_1, 42.0).unwrap();
        for (day, multiple) in [
            (9.0, 2.001_699_957_807_971_5),
            (11.0, 2.363_987_177_238_84),
            (20.5, 4.808_993_370_089_014),
            (8.0, 76.0 / 42.0),
            (0.0, 1.0),
        ] {
            assert!(
                (curve.multiple(day).unwrap() - multiple).abs() < 1e-12,
                "day {day}"
            );
        }
        assert_eq!(curve.multiple(21.01), None);
        assert_eq!(curve.multiple(-0.1), None);
        assert_eq!(
            Curve::new(&[], 42.0).unwrap().multiple(1.0),
            None,
            "a birth weight alone says nothing of later"
        );
    }

    #[test]
    fn a_gap_of_more_than_a_week_is_not_bridged() {
        assert_eq!(doubled_on(&[(7.0, 80.0)], 40.0), Some(7.0));
        assert_eq!(
            doubled_on(&[(7.1, 90.0), (8.0, 95.0)], 40.0),
            None,
            "it doubled, but nobody saw when"
        );
        let curve = Curve::new(&[(2.0, 50.0), (9.5, 90.0), (10.0, 92.0)], 40.0).unwrap();
        assert_eq!(curve.multiple(5.0), None);
        assert_eq!(curve.multiple(9.5), Some(2.25));
    }

    #[test]
    fn odd_input_gives_nothing() {
        each! {
            doubled_on(&[], 40.0) => None;
            doubled_on(&[(1.0, 90.0)], 0.0) => None;
            doubled_on(&[(1.0, 90.0)], f64::NAN) => None;
            doubled_on(&[(-1.0, 90.0), (f64::NAN, 90.0), (1.0, f64::INFINITY), (2.0, 0.0)], 40.0)
                => None;
        }
        assert_eq!(Curve::new(&[(1.0, 50.0)], 40.0).unwrap().reaches(0.5), None);
    }

    #[test]
    fn of_two_weights_at_one_time_the_later_in_the_list_is_the_correction() {
        assert_eq!(doubled_on(&[(3.0, 70.0), (3.0, 80.0)], 40.0), Some(3.0));
        assert_eq!(doubled_on(&[(3.0, 80.0), (3.0, 70.0)], 40.0), None);
        assert_eq!(
            Curve::new(&[(3.0, 80.0), (3.0, 70.0)], 40.0)
                .unwrap()
                .multiple(3.0),
            Some(1.75)
        );
    }

    #[test]
    fn the_first_crossing_counts_when_a_puppy_falls_back() {
        assert_eq!(
            doubled_on(
                &[(8.0, 60.0), (9.0, 80.0), (10.0, 70.0), (12.0, 90.0)],
                40.0
            )
            .map(f64::round),
            Some(9.0)
        );
    }

    #[test]
    fn a_puppy_at_eight_per_cent_a_day_is_expected_to_double_on_day_nine() {
        // Small Animal Clinical Nutrition, 5th ed., table 16-1: 8 % a day, doubled on day 8 to 10;
        // ln 2 / ln 1.08 = 9.006 days.
        let at = "2026-10-01 08:00".parse().unwrap();
        let point = |days: f64| Point {
            at,
            days,
            weight: crate::quantity::Weight::from_grams(300.0 * 1.08_f64.powf(days)).unwrap(),
            is_birth: days == 0.0,
            change: None,
            since_birth: None,
        };
        let points: Vec<Point> = (0..6).map(|d| point(f64::from(d))).collect();
        let trend = Trend {
            per_day: 8.0,
            low: 7.0,
            high: 9.0,
            weights: 6,
            days: 5.0,
        };
        let Some(Doubling::Expected(day)) = doubling(&points, Some(trend)) else {
            panic!("expected")
        };
        assert!((day - 9.006).abs() < 1e-3);
        assert_eq!(
            doubling(&points, Some(Trend { low: -1.0, ..trend })),
            None,
            "a gain that is not sure"
        );
        assert_eq!(doubling(&points, None), None, "not enough yet");
        let grown: Vec<Point> = (0..12).map(|d| point(f64::from(d))).collect();
        let Some(Doubling::On(day)) = doubling(&grown, Some(trend)) else {
            panic!("doubled")
        };
        assert!((day - 9.006).abs() < 1e-3);
    }

    #[test]
    fn great_danes_double_in_thirteen_days_and_triple_in_twenty_one() {
        // Alonge and others (Milan, congress abstract 2434/408397): y = 606.28 exp(0.0523 x), g and
        // days, over three weeks; 1,818.3 g at day 21.
        let grams = |days: f64| 606.28 * (0.0523 * days).exp();
        let points: Vec<(f64, f64)> = (1..=21)
            .map(|d| (f64::from(d), grams(f64::from(d))))
            .collect();
        assert!((doubled_on(&points, grams(0.0)).unwrap() - 13.253).abs() < 5e-4);
        assert!((points[20].1 - 1818.3).abs() < 0.05);
        let (x, y): (Vec<f64>, Vec<f64>) = points
            .iter()
            .map(|(days, grams)| (*days, grams.ln()))
            .unzip();
        let slope = crate::trend::theil_sen(&x, &y).unwrap().slope;
        assert!(
            (slope - 0.0523).abs() < 1e-12,
            "the trend of a growth that never wavers is its own rate"
        );
        // Within the handbook's later band, a little above its usual 5 % a day (Small Animal
        // Clinical Nutrition, 5th ed., table 16-1).
        assert!((3.5..=6.0).contains(&((slope.exp() - 1.0) * 100.0)));
    }
}
