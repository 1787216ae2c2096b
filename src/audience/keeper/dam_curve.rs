//! The dam's temperatures before the birth, as a curve.
//!
//! In: her readings and the drop that was found. Out: [`DamCurve`], which `pages` draws, with the
//! same readings as a table.

use super::words;
use crate::husbandry::LitterFigures;
use crate::husbandry::gestation::temperature::{DamTemperature, Drop, DropSign, SOURCE};
use crate::quantity::{Day, Moment, capital};
use crate::words::findings::rose_again;
use serde::Serialize;

/// The curve.
#[derive(Debug, Clone, Serialize)]
pub struct DamCurve {
    /// Readings in the order of time.
    pub points: Vec<DamPoint>,
    /// Days on the axis: days since the first reading, and the date in short.
    pub days: Vec<(f64, String)>,
    /// What the drop makes likely, in words.
    pub drop: Option<String>,
    /// Where the hours come from.
    pub source: &'static str,
}

/// One reading.
#[derive(Debug, Clone, Serialize)]
pub struct DamPoint {
    /// Days since the start of the first day.
    pub days: f64,
    /// Temperature, °C.
    pub celsius: f64,
    /// When, in words.
    pub when: String,
    /// Temperature, as written.
    pub temperature: String,
    /// Whether it is the drop.
    pub is_drop: bool,
}

pub(super) fn curve(figures: &LitterFigures) -> Option<DamCurve> {
    let dam = &figures.dam_before;
    let first = dam.readings.first()?.day;
    let of_drop = dam.drop.map(|drop| drop.reading);
    let points: Vec<DamPoint> = dam
        .readings
        .iter()
        .map(
            |reading @ DamTemperature {
                 day,
                 at,
                 instant: _,
                 temperature,
             }| DamPoint {
                days: days_into(*day, first, *at),
                celsius: temperature.celsius(),
                when: at.map_or_else(|| day.in_words(), |at| at.to_string()),
                temperature: temperature.to_string(),
                is_drop: of_drop == Some(*reading),
            },
        )
        .collect();
    let last = dam.readings.last()?.day;
    let days = (0..=last.since(first) + 1).map(|n| (whole(n), words::short(first.plus(n))));
    let drop = dam.drop.map(
        |Drop {
             reading,
             sign,
             birth: [from, middle, to],
             call,
         }| {
            let why = match sign {
                DropSign::Low => "at or under 37.5 °C".to_owned(),
                DropSign::UnderMean(mean) => {
                    format!("a degree or more under her own mean of {mean:.1} °C")
                }
            };
            let when = reading
                .at
                .map_or_else(|| reading.day.in_words(), |at| at.to_string());
            format!(
                "Drop on {when}: {}, {why}. Birth is likely from {from} to {to}, most likely \
                 about {middle}; call when there is none by {call}.",
                reading.temperature
            )
        },
    );
    let rose_again = dam
        .rose_again
        .map(|readings| format!("{}.", capital(&rose_again(&readings))));
    Some(DamCurve {
        points,
        days: days.collect(),
        drop: drop.or(rose_again),
        source: SOURCE,
    })
}

/// Days since the start of the first day by the clock on the wall; a reading without a time stands
/// at noon.
fn days_into(day: Day, first: Day, at: Option<Moment>) -> f64 {
    use chrono::Timelike;
    let share = at.map_or(0.5, |at| {
        f64::from(at.local().time().num_seconds_from_midnight()) / 86_400.0
    });
    whole(day.since(first)) + share
}

#[expect(clippy::cast_precision_loss, reason = "a month has few days")]
fn whole(days: i64) -> f64 {
    days as f64
}
