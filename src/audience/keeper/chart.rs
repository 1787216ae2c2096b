//! What a growth chart shows: lines of weights, published growth behind them, findings marked on them.
//!
//! In: growth of puppies, their findings. Out: [`GrowthChart`], which `pages` draws. The published curves start at the birth weight, or for a litter at the mean of its birth weights.

use super::Desk;
use crate::husbandry::PuppyFigures;
use crate::husbandry::curves::{LAST_DAY, alves_maximum, band_of_multiples};
use crate::husbandry::findings::{Finding, Urgency};
use crate::husbandry::kennel;
use crate::quantity::Weight;
use crate::records::LitterFolder;
use crate::records::litter::Puppy;
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

/// A point in a growth chart.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct ChartPoint {
    /// Days since birth.
    pub days: f64,
    /// Weight, g.
    pub grams: f64,
    /// Whether a finding above `steady` is about this weight.
    pub marked: bool,
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

/// The line of a puppy; nothing for fewer than two weights.
pub(super) fn line(puppy: &Puppy, figures: &PuppyFigures, findings: &[Finding]) -> Option<ChartLine> {
    let about = |days: f64| {
        let own = findings.iter().filter(|f| f.puppy.as_ref() == Some(&puppy.id) && f.urgency > Urgency::Steady);
        own.filter_map(|f| f.days).any(|marked| (marked - days).abs() < 1e-6)
    };
    let points: Vec<ChartPoint> =
        figures.growth.points.iter().map(|p| ChartPoint { days: p.days, grams: p.weight.grams(), marked: about(p.days) }).collect();
    (points.len() > 1).then(|| ChartLine { name: puppy.shown_name(), hex: puppy.ribbon.map(|r| r.hex()), points })
}

/// A kennel's own growth: day, lower quartile and upper quartile of weight over birth weight.
pub(super) type OwnGrowth = [(f64, f64, f64)];

/// A chart of these lines. `birth` is the weight at which the published curves start.
pub(super) fn chart(title: String, lines: Vec<ChartLine>, birth: Option<f64>, own: &OwnGrowth) -> Option<GrowthChart> {
    let end = lines.iter().flat_map(|l| &l.points).map(|p| p.days).fold(0.0, f64::max);
    if lines.is_empty() || end <= 0.0 {
        return None;
    }
    let behind = birth.map(|grams| behind(grams, end, own));
    let mut notes = Vec::new();
    if let Some(behind) = &behind {
        let start = if lines.len() == 1 { "its birth weight" } else { "the mean birth weight" };
        notes.push(format!(
            "Shaded: a gain of 5 to 10 % a day in week 1 and 3.5 to 6 % in weeks 2 to 4 from {start} (Small Animal Clinical Nutrition, 5th ed., table 16-1)."
        ));
        notes.push(
            "Dotted: the fastest growth that was found in 19 breeds, day 0 to 21 (Alves 2020, Vet Med Sci); no puppy has to reach it.".to_owned(),
        );
        if !behind.own.is_empty() {
            notes.push("Hatched: the middle half of this kennel’s own puppies.".to_owned());
        }
    }
    if lines.iter().flat_map(|l| &l.points).any(|p| p.marked) {
        notes.push("Ringed: a weight that a finding is about.".to_owned());
    }
    Some(GrowthChart { title, lines, behind, notes })
}

fn behind(birth: f64, end: f64, own: &OwnGrowth) -> Behind {
    // Half days are fine enough for a picture.
    let days = |last: f64| (0..).map(|i| f64::from(i) / 2.0).take_while(move |d| *d < last).chain([last]);
    Behind {
        band: days(end.min(LAST_DAY)).filter_map(|d| band_of_multiples(d).map(|(least, most)| (d, birth * least, birth * most))).collect(),
        maximum: days(end.min(21.0)).filter_map(|d| Some((d, birth * alves_maximum(d)?))).collect(),
        own: own.iter().filter(|(d, ..)| *d <= end).map(|(d, low, high)| (*d, birth * low, birth * high)).collect(),
    }
}

/// The middle half of the kennel's own growth, for a litter that is not part of it.
pub(super) fn own_growth(desk: &Desk<'_>, folder: &LitterFolder) -> Vec<(f64, f64, f64)> {
    let age = folder.litter.birth.as_ref().map_or(0, |birth| desk.figures.today.since(birth.on));
    let days = desk.figures.kennel.growth.iter().filter(|_| age <= kennel::YOUNG);
    days.filter_map(|day| day.band.map(|band| (f64::from(day.day), band.p25, band.p75))).collect()
}

/// The mean of the birth weights of a litter's puppies, g.
#[expect(clippy::cast_precision_loss, reason = "a litter has few puppies")]
pub(super) fn mean_birth_weight(puppies: &[Puppy]) -> Option<f64> {
    let weights: Vec<f64> = puppies.iter().filter_map(|p| p.weight).map(Weight::grams).collect();
    (!weights.is_empty()).then(|| weights.iter().sum::<f64>() / weights.len() as f64)
}
