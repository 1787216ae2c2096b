//! What a growth chart shows: lines of weights with published growth behind them.
//!
//! In: lines, the weight at which the published curves start. Out: [`GrowthChart`], which `pages`
//! draws for any audience that may see weights.

use crate::husbandry::curves::{LAST_DAY, alves_maximum, band_of_multiples};
use serde::Serialize;

/// A growth chart.
#[derive(Debug, Clone, Serialize)]
pub struct GrowthChart {
    /// What it shows, for those who do not see it.
    pub title: String,
    /// A line for each puppy.
    pub lines: Vec<ChartLine>,
    /// Published growth behind the lines; nothing without a birth weight.
    pub behind: Option<Behind>,
    /// What is drawn behind and on the lines, in words.
    pub notes: Vec<String>,
    /// From when its days are counted.
    pub since: &'static str,
    /// Whether weights stand beside it in pounds and ounces.
    pub ounces: bool,
}

/// A line in a growth chart.
#[derive(Debug, Clone, Serialize)]
pub struct ChartLine {
    /// Name.
    pub name: String,
    /// Colour of the ribbon, `#rrggbb`.
    pub hex: Option<&'static str>,
    /// Weights.
    pub points: Vec<ChartPoint>,
}

/// A point in a growth chart. It is serialised as its three values: templates draw none of them,
/// and a book has hundreds of thousands.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[serde(into = "(f64, f64, bool)")]
pub struct ChartPoint {
    /// Days since birth.
    pub days: f64,
    /// Weight, g.
    pub grams: f64,
    /// Whether a finding above `steady` is about this weight.
    pub marked: bool,
}

impl From<ChartPoint> for (f64, f64, bool) {
    fn from(
        ChartPoint {
            days,
            grams,
            marked,
        }: ChartPoint,
    ) -> Self {
        (days, grams, marked)
    }
}

/// Published growth, g by day.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Behind {
    /// Day, least and most weight of the handbook's band.
    pub band: Vec<(f64, f64, f64)>,
    /// Day and weight of the maximum curve.
    pub maximum: Vec<(f64, f64)>,
    /// Day, lower and upper quartile of the kennel's own puppies, where there are enough.
    pub own: Vec<(f64, f64, f64)>,
}

/// A kennel's own growth: day, lower quartile and upper quartile of weight over birth weight.
pub(super) type KennelGrowth = [(f64, f64, f64)];

/// A chart of these lines. `birth` is the weight at which the published curves start.
pub(super) fn growth_chart(
    title: String,
    lines: Vec<ChartLine>,
    birth: Option<f64>,
    own: &KennelGrowth,
    ounces: bool,
) -> Option<GrowthChart> {
    let end = lines
        .iter()
        .flat_map(|l| &l.points)
        .map(|p| p.days)
        .fold(0.0, f64::max);
    if lines.is_empty() || end <= 0.0 {
        return None;
    }
    let behind = birth.map(|grams| behind(grams, end, own));
    let mut notes = Vec::new();
    if let Some(behind) = &behind {
        let start = if lines.len() == 1 {
            "its birth weight"
        } else {
            "the mean birth weight"
        };
        notes.push(format!(
            "Shaded: a gain of 5 to 10 % a day in week 1 and 3.5 to 6 % in weeks 2 to 4 from \
             {start} (Small Animal Clinical Nutrition, 5th ed., table 16-1)."
        ));
        notes.push(
            "Dotted: the fastest growth that was found in 19 breeds, day 0 to 21 (Alves 2020, Vet \
             Med Sci); no puppy has to reach it."
                .to_owned(),
        );
        if !behind.own.is_empty() {
            notes.push("Hatched: the middle half of this kennel’s own puppies.".to_owned());
        }
    }
    if lines.iter().flat_map(|l| &l.points).any(|p| p.marked) {
        notes.push("Ringed: a weight that a finding is about.".to_owned());
    }
    Some(GrowthChart {
        title,
        lines,
        behind,
        notes,
        since: "since birth",
        ounces,
    })
}

/// A weight as it is drawn: a hundredth of a gram is finer than any line. Systems differ in the
/// last digit of a power, and the same record must make the same page on all of them.
fn drawn(grams: f64) -> f64 {
    (grams * 100.0).round() / 100.0
}

fn behind(birth: f64, end: f64, own: &KennelGrowth) -> Behind {
    // Half days are fine enough for a picture.
    let days = |last: f64| {
        (0..)
            .map(|i| f64::from(i) / 2.0)
            .take_while(move |d| *d < last)
            .chain([last])
    };
    Behind {
        band: days(end.min(LAST_DAY))
            .filter_map(|d| {
                band_of_multiples(d)
                    .map(|(least, most)| (d, drawn(birth * least), drawn(birth * most)))
            })
            .collect(),
        maximum: days(end.min(21.0))
            .filter_map(|d| Some((d, drawn(birth * alves_maximum(d)?))))
            .collect(),
        own: own
            .iter()
            .filter(|(d, ..)| *d <= end)
            .map(|(d, low, high)| (*d, drawn(birth * low), drawn(birth * high)))
            .collect(),
    }
}
