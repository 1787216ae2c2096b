//! The scale of a growth chart: where a day and a weight stand, and what is written along the axes.
//!
//! In: the lines of the chart. Out: coordinates in a field of [`WIDTH`] by [`HEIGHT`], y downwards.
//! On the screen and on paper a chart has the same one.

use crate::audience::ChartLine;
use crate::quantity::Weight;

/// Width of the whole chart.
pub(crate) const WIDTH: f64 = 720.0;
/// Height of the whole chart.
pub(crate) const HEIGHT: f64 = 380.0;
/// Room for the labels of weights.
pub(crate) const LEFT: f64 = 54.0;
/// Room for the names of lines.
pub(crate) const RIGHT: f64 = 96.0;
/// Room above the field.
pub(crate) const TOP: f64 = 16.0;
/// Room for the labels of ages.
pub(crate) const BOTTOM: f64 = 40.0;
/// The field is a little longer than the longest line.
const MARGIN: f64 = 1.02;

/// The smallest and largest day and weight that are drawn.
pub(crate) struct Scale {
    days: f64,
    from: f64,
    to: f64,
    step: f64,
    ounces: bool,
}

impl Scale {
    /// The scale for some lines; nothing when there are no two weights to draw a line between.
    pub(crate) fn of(lines: &[ChartLine], ounces: bool) -> Option<Self> {
        let points = || lines.iter().flat_map(|l| &l.points);
        if points().count() < 2 {
            return None;
        }
        let most_days = points().map(|p| p.days).fold(0.0, f64::max).max(1.0);
        let (least, most) = points().fold((f64::MAX, 0.0_f64), |(lo, hi), p| {
            (lo.min(p.grams), hi.max(p.grams))
        });
        let rough = (most - least).max(most * 0.1) / 5.0;
        let step = if ounces {
            Weight::GRAMS_PER_OUNCE * nice_ounces(rough / Weight::GRAMS_PER_OUNCE)
        } else {
            nice_step(rough)
        };
        Some(Self {
            days: most_days * MARGIN,
            from: ((least / step).floor() * step - step).max(0.0),
            to: (most / step).ceil() * step,
            step,
            ounces,
        })
    }

    /// Where an age in days stands.
    pub(crate) fn x(&self, days: f64) -> f64 {
        LEFT + days / self.days * (WIDTH - LEFT - RIGHT)
    }

    /// Where a weight in grams stands.
    pub(crate) fn y(&self, grams: f64) -> f64 {
        TOP + (self.to - grams) / (self.to - self.from) * (HEIGHT - TOP - BOTTOM)
    }

    /// The largest weight of the field, g.
    pub(crate) fn top(&self) -> f64 {
        self.to
    }

    /// The smallest weight of the field, g.
    pub(crate) fn bottom(&self) -> f64 {
        self.from
    }

    /// The age at which the longest line ends, days.
    pub(crate) fn last_day(&self) -> f64 {
        self.days / MARGIN
    }

    /// Heights of the rules, and the weights that are written beside them.
    pub(crate) fn weights(&self) -> Vec<(f64, String)> {
        let rules = (0..)
            .map(|n| self.from + f64::from(n) * self.step)
            .take_while(|grams| *grams <= self.to + self.step / 2.0);
        let label = |grams: f64| {
            if self.ounces {
                pounds_and_ounces(grams)
            } else if self.to >= 5000.0 {
                format!("{:.1} kg", grams / 1000.0)
            } else {
                format!("{grams:.0} g")
            }
        };
        rules.map(|grams| (self.y(grams), label(grams))).collect()
    }

    /// Places of the marks along the time, and the ages that are written below them.
    pub(crate) fn ages(&self) -> Vec<(f64, String)> {
        let unit = if self.in_weeks() { 7.0 } else { 1.0 };
        let every = (self.days / unit / 10.0).ceil().max(1.0);
        let marks = (0..)
            .map(|n| f64::from(n) * every)
            .take_while(|n| *n * unit <= self.days);
        marks
            .map(|n| (self.x(n * unit), format!("{n:.0}")))
            .collect()
    }

    /// The unit of ages, `weeks` or `days`.
    pub(crate) fn unit(&self) -> &'static str {
        if self.in_weeks() { "weeks" } else { "days" }
    }

    /// Weeks for a litter that is weeks old, days for a young one.
    fn in_weeks(&self) -> bool {
        self.days > 21.0
    }
}

/// 1, 2, 4 or 8 ounces, or pounds of 16 ounces as [`nice_step`] has them, at least `rough` ounces.
fn nice_ounces(rough: f64) -> f64 {
    [1.0, 2.0, 4.0, 8.0]
        .into_iter()
        .find(|step| *step >= rough)
        .unwrap_or_else(|| 16.0 * nice_step(rough / 16.0))
}

/// A weight on a rule, which stands on whole ounces.
fn pounds_and_ounces(grams: f64) -> String {
    let ounces = (grams / Weight::GRAMS_PER_OUNCE).round();
    let pounds = (ounces / 16.0).floor();
    match (pounds, ounces - pounds * 16.0) {
        (0.0, ounces) => format!("{ounces:.0} oz"),
        (pounds, 0.0) => format!("{pounds:.0} lb"),
        (pounds, ounces) => format!("{pounds:.0} lb {ounces:.0}"),
    }
}

/// 1, 2 or 5 times a power of ten, at least `rough`.
fn nice_step(rough: f64) -> f64 {
    let power = 10_f64.powf(rough.max(1.0).log10().floor());
    [1.0, 2.0, 5.0, 10.0]
        .into_iter()
        .map(|n| n * power)
        .find(|step| *step >= rough)
        .unwrap_or(10.0 * power)
}
