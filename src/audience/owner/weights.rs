//! Weights and their chart.
//!
//! In: the growth of one puppy. Out: [`WeightRecord`]s, the oldest first, and a chart with the
//! published bands behind it. The kennel's own band is left out: it changes with every other
//! litter, and the page would with it.

use super::birth::round;
use super::{Case, WeightRecord};
use crate::chart::{ChartLine, ChartPoint, GrowthChart, growth_chart};
use crate::husbandry::PuppyFigures;
use crate::husbandry::doubling::Doubling;
use crate::husbandry::growth::Point;
use crate::quantity::Weight;

pub(super) fn weights(case: &Case<'_>) -> Vec<WeightRecord> {
    let born = case.born();
    let record = |point: &Point| {
        let Point {
            at,
            days: _,
            weight,
            is_birth,
            change,
            since_birth: _,
        } = point;
        // Without an hour of birth the point's own is a guess.
        let no_hour = *is_birth && case.puppy.born.is_none();
        WeightRecord {
            at: if no_hour {
                at.day().to_string()
            } else {
                at.to_string().replace(' ', "T")
            },
            age_days: born.map_or(0, |born| at.day().since(born)),
            grams: round(weight.grams()),
            change_grams: change.map(|c| round(c.grams)),
            birth: *is_birth,
        }
    };
    case.own.growth.points.iter().map(record).collect()
}

/// The day on which the birth weight had doubled, to the tenth.
pub(super) fn doubled(own: &PuppyFigures) -> Option<f64> {
    match own.doubling()? {
        Doubling::On(day) => Some(round(day)),
        Doubling::Expected(_) => None,
    }
}

pub(super) fn chart(case: &Case<'_>, ounces: bool) -> Option<GrowthChart> {
    let points: Vec<ChartPoint> = case
        .own
        .growth
        .points
        .iter()
        .map(|p| ChartPoint {
            days: p.days,
            grams: p.weight.grams(),
            marked: false,
        })
        .collect();
    let name = case.puppy.shown_name();
    let line = (points.len() > 1).then(|| ChartLine {
        name: name.clone(),
        hex: case.puppy.ribbon.map(|r| r.hex()),
        points,
    })?;
    growth_chart(
        format!("Weight of {name}"),
        vec![line],
        case.puppy.weight.map(Weight::grams),
        &[],
        ounces,
    )
}
