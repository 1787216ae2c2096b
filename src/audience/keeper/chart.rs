//! The lines of the keeper's charts, with findings marked on them.
//!
//! In: growth of puppies, their findings. Out: lines for a
//! [`GrowthChart`](crate::chart::GrowthChart). The published curves start at the birth
//! weight, or for a litter at the mean of its birth weights.

use super::BookContext;
use crate::chart::{ChartLine, ChartPoint};
use crate::husbandry::PuppyFigures;
use crate::husbandry::findings::{Finding, Urgency};
use crate::quantity::Weight;
use crate::records::litter::{Litter, Puppy};
use crate::records::{HISTORY, LitterFolder};

/// The line of a puppy; nothing for fewer than two weights.
pub(super) fn line(
    puppy: &Puppy,
    figures: &PuppyFigures,
    findings: &[Finding],
) -> Option<ChartLine> {
    let about = |days: f64| {
        let own = findings
            .iter()
            .filter(|f| f.puppy.as_ref() == Some(&puppy.id) && f.urgency > Urgency::Steady);
        own.filter_map(|f| f.weight)
            .any(|marked| (marked.days - days).abs() < 1e-6)
    };
    let points: Vec<ChartPoint> = figures
        .growth
        .points
        .iter()
        .map(|p| ChartPoint {
            days: p.days,
            grams: p.weight.grams(),
            marked: about(p.days),
        })
        .collect();
    (points.len() > 1).then(|| ChartLine {
        name: puppy.shown_name(),
        hex: puppy.ribbon.map(|r| r.hex()),
        points,
    })
}

/// The middle half of the kennel's own growth, for a litter that is not part of it.
pub(super) fn own_growth(context: &BookContext<'_>, folder: &LitterFolder) -> Vec<(f64, f64, f64)> {
    let age = folder
        .litter
        .birth
        .as_ref()
        .map_or(0, |birth| context.figures.today.since(birth.on));
    if age > HISTORY {
        return Vec::new();
    }
    let days = context.figures.past_growth().iter();
    days.filter_map(|day| {
        day.band
            .map(|band| (f64::from(day.day), band.p25, band.p75))
    })
    .collect()
}

/// The mean of the birth weights of a litter's puppies that were born alive, g.
#[expect(clippy::cast_precision_loss, reason = "a litter has few puppies")]
pub(super) fn mean_birth_weight(litter: &Litter) -> Option<f64> {
    let weights: Vec<f64> = litter
        .born_alive()
        .filter_map(|p| p.weight)
        .map(Weight::grams)
        .collect();
    (!weights.is_empty()).then(|| weights.iter().sum::<f64>() / weights.len() as f64)
}
