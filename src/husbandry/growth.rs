//! A puppy's weights in the order of time, with what changed.
//!
//! In: birth weight and weigh-ins of one puppy. Out: [`Growth`]: points with hours since birth and
//! changes. Times are instants of the kennel's time zone, so an hour that summer time skips is not
//! counted.

use super::thresholds::FIRST_WEIGHED;
use crate::quantity::{Id, Moment, Weight};
use crate::records::{LitterFolder, litter::Puppy};
use chrono::{DateTime, LocalResult, NaiveTime, TimeZone, Utc};
use chrono_tz::Tz;
use std::collections::BTreeMap;

/// The weights of one puppy.
#[derive(Debug, Clone, PartialEq)]
pub struct Growth {
    /// All weights, birth weight first, in the order of time.
    pub points: Vec<Point>,
}

/// One weight.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Point {
    /// Local time of the weigh-in.
    pub at: Moment,
    /// Days since birth, as a fraction.
    pub days: f64,
    /// The weight.
    pub weight: Weight,
    /// Whether this is the weight at birth.
    pub is_birth: bool,
    /// Change since the weight before.
    pub change: Option<WeightChange>,
    /// Change since birth, when the birth weight is known, %.
    pub since_birth: Option<f64>,
}

/// The weight that a puppy's later ones are held against.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StartWeight {
    /// The weight.
    pub weight: Weight,
    /// When it was weighed, in days since birth.
    pub days: f64,
    /// Which weight it is.
    pub is: StartWeightKind,
}

/// Which weight of its first day stands for the birth weight of a puppy.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum StartWeightKind {
    /// The birth weight itself.
    Birth,
    /// The first weight.
    First,
    /// A later weight of the first day, the highest of it.
    Highest,
}

/// The birth weight, or where that is missing the highest weight of the first day: who loses from
/// it has lost at least as much. Nothing where there is neither.
#[must_use]
pub fn start_weight(points: &[Point]) -> Option<StartWeight> {
    let first = points.first()?;
    let mut highest = first;
    let of_first_day = |p: &&Point| p.days <= FIRST_WEIGHED;
    for point in points.iter().take_while(of_first_day) {
        if !highest.is_birth && point.weight > highest.weight {
            highest = point;
        }
    }
    let is = match highest {
        birth if birth.is_birth => StartWeightKind::Birth,
        later if later.days > first.days => StartWeightKind::Highest,
        _ => StartWeightKind::First,
    };
    (highest.is_birth || highest.days <= FIRST_WEIGHED).then_some(StartWeight {
        weight: highest.weight,
        days: highest.days,
        is,
    })
}

/// A change between two weights.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WeightChange {
    /// Grams gained, negative when lost.
    pub grams: f64,
    /// Per cent of the weight before.
    pub percent: f64,
    /// Hours between the two.
    pub hours: f64,
}

/// The instant of a local time. A time that clocks skip in spring is as long after the day before
/// as it would be on any other day; one that occurs twice in autumn is taken the first time.
#[must_use]
pub fn instant(zone: Tz, at: Moment) -> DateTime<Utc> {
    let day = chrono::TimeDelta::days(1);
    match zone.from_local_datetime(&at.local()) {
        LocalResult::Single(time) | LocalResult::Ambiguous(time, _) => time.to_utc(),
        // Once a place skipped a whole day, so an hour later is not enough.
        LocalResult::None => zone
            .from_local_datetime(&(at.local() - day))
            .earliest()
            .map_or_else(|| at.local().and_utc(), |eve| eve.to_utc() + day),
    }
}

/// A weight of a puppy with its time on the wall and its instant.
type TimedWeight = (Moment, DateTime<Utc>, Weight);

/// The growth of each puppy of a litter.
#[must_use]
pub fn of_litter(folder: &LitterFolder, zone: Tz) -> BTreeMap<Id, Growth> {
    let mut weights: BTreeMap<&Id, Vec<TimedWeight>> = folder
        .litter
        .puppies
        .iter()
        .map(|puppy| (&puppy.id, Vec::new()))
        .collect();
    for weigh_in in &folder.weigh_ins {
        let at = instant(zone, weigh_in.at);
        // Both stand in the order of names.
        let mut weighed = weigh_in.weights.iter().peekable();
        for (id, own) in &mut weights {
            while weighed.next_if(|(other, _)| other < id).is_some() {}
            own.extend(
                weighed
                    .next_if(|(other, _)| other == id)
                    .map(|(_, weight)| (weigh_in.at, at, *weight)),
            );
        }
    }
    folder
        .litter
        .puppies
        .iter()
        .map(|puppy| {
            (
                puppy.id.clone(),
                of(folder, &weights[&puppy.id], puppy, zone),
            )
        })
        .collect()
}

/// The growth of one puppy of a litter.
fn of(folder: &LitterFolder, weighed: &[TimedWeight], puppy: &Puppy, zone: Tz) -> Growth {
    let Some(birth) = &folder.litter.birth else {
        return Growth { points: Vec::new() };
    };
    // Without a time of birth the middle of the day is taken: the error is at most half a day.
    let noon = Moment::from(
        birth
            .on
            .date()
            .and_time(NaiveTime::from_hms_opt(12, 0, 0).unwrap_or_default()),
    );
    let first = weighed.first().map(|(at, ..)| *at);
    let born = folder
        .litter
        .born_at(puppy)
        .unwrap_or_else(|| first.map_or(noon, |first| noon.min(first)));
    let start = instant(zone, born);
    let weigh_ins = weighed
        .iter()
        .map(|(at, instant, weight)| (*at, *instant, *weight, false));
    let mut points: Vec<Point> = Vec::with_capacity(weighed.len() + 1);
    let mut last = start;
    for (at, now, weight, is_birth) in puppy
        .weight
        .map(|w| (born, start, w, true))
        .into_iter()
        .chain(weigh_ins)
    {
        let change = points.last().map(|before| WeightChange {
            grams: weight.grams() - before.weight.grams(),
            percent: percent(before.weight, weight),
            hours: hours_between(last, now),
        });
        let since_birth = puppy
            .weight
            .filter(|_| !is_birth)
            .map(|birth| percent(birth, weight));
        points.push(Point {
            at,
            days: hours_between(start, now) / 24.0,
            weight,
            is_birth,
            change,
            since_birth,
        });
        last = now;
    }
    Growth { points }
}

/// How far a weight lies under the mean of others, %; nothing for fewer than two others.
#[must_use]
#[expect(clippy::cast_precision_loss, reason = "a litter has few puppies")]
pub fn under_mean(own: f64, others: &[f64]) -> Option<f64> {
    let mean = others.iter().sum::<f64>() / others.len() as f64;
    (others.len() >= 2).then(|| (1.0 - own / mean) * 100.0)
}

/// How much one weight is above another, %; below zero when it is lighter.
#[must_use]
pub fn percent(before: Weight, after: Weight) -> f64 {
    (after.grams() / before.grams() - 1.0) * 100.0
}

#[expect(
    clippy::cast_precision_loss,
    reason = "seconds of a puppy's life are far below 2^53"
)]
fn hours_between(from: DateTime<Utc>, to: DateTime<Utc>) -> f64 {
    (to - from).num_seconds() as f64 / 3600.0
}

/// Hours that pass from one local time to another, whatever the clocks do.
#[must_use]
pub fn hours_from(zone: Tz, from: Moment, to: Moment) -> f64 {
    hours_between(instant(zone, from), instant(zone, to))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_hour_that_summer_time_skips_is_not_counted() {
        // EU summer time begins on 2025-03-30 at 01:00 UTC (Directive 2000/84/EC): from 00:30 to
        // 03:30 local two hours pass.
        let zone: Tz = "Europe/Berlin".parse().unwrap();
        let at = |text: &str| instant(zone, text.parse().unwrap());
        let hours =
            |from: &str, to: &str| hours_from(zone, from.parse().unwrap(), to.parse().unwrap());
        assert!((hours("2025-03-30 00:30", "2025-03-30 03:30") - 2.0).abs() < 1e-9);
        assert!((hours("2025-10-26 00:30", "2025-10-26 03:30") - 4.0).abs() < 1e-9);
        assert_eq!(
            at("2025-03-30 02:30"),
            at("2025-03-30 03:30"),
            "a time that does not exist is the one an hour later"
        );
        // Samoa went over the date line and had no 30 December 2011 (IANA time zone database).
        let zone: Tz = "Pacific/Apia".parse().unwrap();
        let at = |text: &str| instant(zone, text.parse().unwrap());
        assert!(at("2011-12-30 12:00") > at("2011-12-29 23:59"));
    }
}
