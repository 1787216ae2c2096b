//! A robust trend through a few weights.
//!
//! In: times and weights. Out: the gain in % a day with its confidence interval, by Theil and Sen's
//! estimator on the logarithm of the weight (Theil 1950; Sen 1968, J Am Stat Assoc 63:1379-1389):
//! one slip of the scale among five does not move it.

use super::growth::Point;

/// The standard normal quantile of 97.5 %.
pub const Z: f64 = 1.959_963_984_540_054;
/// Fewest weights from which a trend is computed.
pub const FEWEST: usize = 4;
/// Shortest time in days.
pub const SHORTEST: f64 = 1.4;
/// Longest time in days that a trend looks back …
pub const LONGEST: f64 = 7.0;
/// … and the most weights.
pub const MOST: usize = 12;

/// A trend, % a day.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Trend {
    /// Gain a day, %.
    pub per_day: f64,
    /// Lower end of the 95 % confidence interval.
    pub low: f64,
    /// Upper end.
    pub high: f64,
    /// How many weights it rests on.
    pub weights: usize,
    /// Over how many days.
    pub days: f64,
}

/// The trend of the latest weights: those of the last week, at most twelve, and as many more as are
/// needed for four weights over a day and a half. Nothing when there are not enough.
#[must_use]
pub fn latest(points: &[Point]) -> Option<Trend> {
    let end = points.last()?.days;
    let enough = |from: usize| points.len() - from >= FEWEST && end - points[from].days >= SHORTEST;
    let mut from = points.len();
    while from > 0 {
        let next = from - 1;
        let within = end - points[next].days <= LONGEST && points.len() - next <= MOST;
        if from < points.len() && enough(from) && !within {
            break;
        }
        from = next;
    }
    if !enough(from) {
        return None;
    }
    over(&points[from..])
}

/// Days that the short trend looks back, …
pub const RECENT: f64 = 3.0;
/// … the first age in days that it looks at, …
pub const AFTER_FIRST_DAY: f64 = 0.9;
/// … and its fewest weights; ours.
pub const FEWEST_RECENT: usize = 5;

/// The trend of the last three days alone, without the first day of life; nothing where those hold
/// fewer than five weights.
#[must_use]
pub fn recent(points: &[Point]) -> Option<Trend> {
    let end = points.last()?.days;
    let from = points
        .iter()
        .position(|p| end - p.days <= RECENT && p.days >= AFTER_FIRST_DAY)?;
    if points.len() - from < FEWEST_RECENT {
        return None;
    }
    over(&points[from..])
}

fn over(window: &[Point]) -> Option<Trend> {
    let x: Vec<f64> = window.iter().map(|p| p.days).collect();
    let y: Vec<f64> = window.iter().map(|p| p.weight.grams().ln()).collect();
    let slope = theil_sen(&x, &y)?;
    let percent = |slope: f64| (slope.exp() - 1.0) * 100.0;
    Some(Trend {
        per_day: percent(slope.slope),
        low: percent(slope.low),
        high: percent(slope.high),
        weights: window.len(),
        days: window.last()?.days - window.first()?.days,
    })
}

/// A slope with its confidence interval.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Slope {
    /// Median of all slopes between two points.
    pub slope: f64,
    /// Lower end of the 95 % confidence interval.
    pub low: f64,
    /// Upper end.
    pub high: f64,
}

/// Theil and Sen's slope with Sen's confidence interval, ties among x and y taken into account.
/// Nothing for fewer than two different x, or when ties leave no interval.
#[must_use]
#[expect(clippy::cast_precision_loss, reason = "a window holds few weights")]
pub fn theil_sen(x: &[f64], y: &[f64]) -> Option<Slope> {
    let mut slopes: Vec<f64> = Vec::with_capacity(x.len() * x.len() / 2);
    for i in 0..x.len() {
        for j in 0..i {
            let dx = x[i] - x[j];
            if dx.abs() > 0.0 {
                slopes.push((y[i] - y[j]) / dx);
            }
        }
    }
    if slopes.is_empty() {
        return None;
    }
    slopes.sort_by(f64::total_cmp);
    let (n, count) = (x.len() as f64, slopes.len() as f64);
    let variance = (n * (n - 1.0) * (2.0 * n + 5.0) - ties(x) - ties(y)) / 18.0;
    // With hardly anything but ties there is no interval to be had.
    if variance < 0.0 {
        return None;
    }
    let reach = Z * variance.sqrt();
    let high = f64::midpoint(count, reach)
        .round_ties_even()
        .min(count - 1.0);
    let low = (((count - reach) / 2.0).round_ties_even() - 1.0).max(0.0);
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "both lie between 0 and the number of slopes"
    )]
    let at = |index: f64| slopes[index as usize];
    Some(Slope {
        slope: median(&slopes),
        low: at(low),
        high: at(high),
    })
}

/// Σ k(k−1)(2k+5) over groups of k equal values.
#[expect(clippy::cast_precision_loss, reason = "a window holds few weights")]
fn ties(values: &[f64]) -> f64 {
    let mut sorted = values.to_vec();
    sorted.sort_by(f64::total_cmp);
    sorted
        .chunk_by(|a, b| a.total_cmp(b).is_eq())
        .map(|group| group.len() as f64)
        .map(|k| k * (k - 1.0) * (2.0 * k + 5.0))
        .sum()
}

/// Median of sorted values.
fn median(sorted: &[f64]) -> f64 {
    let middle = sorted.len() / 2;
    if sorted.len() % 2 == 1 {
        sorted[middle]
    } else {
        f64::midpoint(sorted[middle - 1], sorted[middle])
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_slip_among_seven_does_not_move_the_trend() {
        let x: Vec<f64> = (0..7).map(f64::from).collect();
        let mut y: Vec<f64> = x.iter().map(|d| 5.0 + 0.07 * d).collect();
        let clean = theil_sen(&x, &y).unwrap();
        assert!((clean.slope - 0.07).abs() < 1e-12);
        y[3] += 2.3;
        assert!((theil_sen(&x, &y).unwrap().slope - 0.07).abs() < 0.01);
    }

    #[test]
    fn equal_times_give_no_slope() {
        assert_eq!(theil_sen(&[1.0, 1.0], &[1.0, 2.0]), None);
        assert_eq!(theil_sen(&[], &[]), None);
    }
}
