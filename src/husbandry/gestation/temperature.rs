//! The dam's temperature before birth, and the drop that comes about a day before it.
//!
//! In: her readings and the day from which birth can be. Out: [`DamTemperatures`]. Hours are those
//! that pass, whatever the clocks do.

use crate::growth::instant;
use crate::quantity::{Day, Moment, Temperature};
use crate::records::health::HealthEntry;
use crate::records::litter::Litter;
use crate::signs;
use chrono::{DateTime, TimeDelta, Utc};
use chrono_tz::Tz;

/// In 45 bitches the first reading at or under this came 13 to 33 h before birth, mean 21.5 h
/// ('Variations in body temperature in the late stage of pregnancy and parturition in bitches'),
/// °C.
const LOW: f64 = 37.5;
/// A drop against her own mean, °C (handbooks: about one degree).
const UNDER_MEAN: f64 = 1.0;
/// Readings of the days before that make a mean; ours.
const LEAST_FOR_MEAN: usize = 3;
/// Days of which the mean is taken; ours.
const DAYS_OF_MEAN: i64 = 7;
/// Days before the first possible day of birth from which a low reading is taken for the drop;
/// ours, the week in which temperatures are taken.
const WEEK_BEFORE: i64 = 7;
/// Minutes from the drop to birth: least, mean and most, of the same 45 bitches.
const TO_BIRTH: (i64, i64, i64) = (13 * 60, 21 * 60 + 30, 33 * 60);
/// Under this a reading is no drop before birth any more, °C; ours, well under the 36.7 to 37.2 °C
/// of handbooks.
const NO_DROP: f64 = 36.0;
/// Hours after the drop without birth at which to call (Nelson).
const CALL_AFTER: i64 = 24;
/// Days before a birth of which readings belong to the curve; ours.
const SHOWN: i64 = 30;

/// Where the hours from the drop to birth come from.
pub const SOURCE: &str = "45 bitches: 13 to 33 h from the first reading at or under 37.5 °C to \
                          birth, mean 21.5 h (Variations in body temperature in the late stage of \
                          pregnancy and parturition in bitches); no birth 24 h after it: call \
                          (Nelson)";

/// One reading.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DamTemperature {
    /// Its day.
    pub day: Day,
    /// Its time, where that was written.
    pub at: Option<Moment>,
    /// The instant; of a reading without a time, the start of its day, which is the cautious one.
    pub instant: DateTime<Utc>,
    /// The temperature.
    pub temperature: Temperature,
}

/// Why a reading is taken for the drop.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum DropSign {
    /// At or under 37.5 °C.
    Low,
    /// A degree or more under her own mean, which was this, °C.
    UnderMean(f64),
}

/// The drop before birth.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Drop {
    /// The first reading that shows it.
    pub reading: DamTemperature,
    /// Why it counts.
    pub sign: DropSign,
    /// First, middle and last likely time of birth, on her wall.
    pub birth: [Moment; 3],
    /// When to call if there was no birth by then.
    pub call: Moment,
}

/// Her readings before birth.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct DamTemperatures {
    /// In the order of time.
    pub readings: Vec<DamTemperature>,
    /// The drop, when one was found and she was not warm again without a birth.
    pub drop: Option<Drop>,
    /// What looked like the drop, and was followed by her usual warmth and no birth.
    pub rose_again: Option<RoseAgain>,
    /// The first day on which a low reading is taken for the drop; nothing where any day is.
    pub drop_from: Option<Day>,
}

/// A low reading after which no birth came, though she was warm again.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RoseAgain {
    /// The first low reading.
    pub low: DamTemperature,
    /// The first reading that shows it.
    pub warm: DamTemperature,
}

impl DamTemperatures {
    /// Her own mean over the days before a day, when there are enough readings, °C.
    #[must_use]
    pub fn own_mean(&self, day: Day) -> Option<f64> {
        mean_before(&self.readings, day)
    }

    /// Whether a low reading of that day is what is waited for before a birth.
    #[must_use]
    pub fn may_be_drop(&self, day: Day, temperature: Temperature) -> bool {
        self.drop_from.is_none_or(|from| day >= from) && tenths(temperature) >= NO_DROP
    }
}

/// Low readings that belong together, and the warm one that ended them.
struct Episode {
    low: DamTemperature,
    sign: DropSign,
    last_low: DamTemperature,
    warm: Option<DamTemperature>,
}

impl Episode {
    /// Whether a warm reading comes so late after the last low one that birth would have come.
    /// A low reading without a time may be of the last minute of its day.
    fn is_ended_by(&self, warm: &DamTemperature) -> bool {
        let (_, _, most) = TO_BIRTH;
        let whole_day = if self.last_low.at.is_none() {
            24 * 60
        } else {
            0
        };
        warm.instant - self.last_low.instant > TimeDelta::minutes(most + whole_day)
    }
}

/// The latest low readings. Those of a day or two are one drop; what comes after she was warm again
/// is the next.
fn latest_episode(
    readings: &[DamTemperature],
    counts: impl Fn(&DamTemperature) -> bool,
) -> Option<Episode> {
    let mut latest: Option<Episode> = None;
    for (i, reading) in readings.iter().enumerate() {
        match (sign(&readings[..i], reading), &mut latest) {
            (Some(_), Some(episode)) if episode.warm.is_none() => episode.last_low = *reading,
            (Some(sign), latest) if counts(reading) => {
                *latest = Some(Episode {
                    low: *reading,
                    sign,
                    last_low: *reading,
                    warm: None,
                });
            }
            (None, Some(episode)) if episode.warm.is_none() && episode.is_ended_by(reading) => {
                episode.warm = Some(*reading);
            }
            _ => {}
        }
    }
    latest
}

/// Reads the dam's temperatures before the birth. `due_from` is the first day on which birth can
/// be; a check of the `keeper`'s own closes no drop.
#[must_use]
pub fn before_birth(
    litter: &Litter,
    health: &[HealthEntry],
    due_from: Option<Day>,
    keeper: &str,
    zone: Tz,
) -> DamTemperatures {
    let of_dam = || health.iter().filter(|e| e.is_for_dam());
    let begins = litter.birth.as_ref().map(|birth| {
        let first = litter
            .puppies
            .iter()
            .filter_map(|p| Some(instant(zone, litter.born_at(p)?)))
            .min();
        first.unwrap_or_else(|| start_of(birth.on, zone))
    });
    let reading = |e: &HealthEntry| {
        let day = e.day()?;
        let temperature = e.temperature?;
        Some(DamTemperature {
            day,
            at: e.at,
            instant: e
                .at
                .map_or_else(|| start_of(day, zone), |at| instant(zone, at)),
            temperature,
        })
    };
    let mut readings: Vec<DamTemperature> = of_dam()
        .filter_map(reading)
        .filter(|r| begins.is_none_or(|begins| r.instant < begins))
        .collect();
    readings.sort_by_key(|r| r.instant);
    if let Some(birth) = &litter.birth {
        readings.retain(|r| birth.on.since(r.day) <= SHOWN);
    }
    // A vet who looked at her after the drop has closed it. A look without a time, on the day of
    // the drop, may have been before it.
    let looked = of_dam()
        .filter(|e| {
            e.check
                .as_ref()
                .is_some_and(|check| signs::closes(check, keeper))
        })
        .filter_map(|e| Some((e.day()?, e.at.map(|at| instant(zone, at)))));
    let looked: Vec<(Day, Option<DateTime<Utc>>)> = looked.collect();
    let is_open = |r: &DamTemperature| {
        !looked
            .iter()
            .any(|(day, at)| at.map_or(*day > r.day, |at| at > r.instant))
    };
    let from = due_from
        .or_else(|| litter.birth.as_ref().map(|birth| birth.on))
        .map(|day| day.plus(-WEEK_BEFORE));
    let in_time = |r: &DamTemperature| from.is_none_or(|from| r.day >= from);
    let found = latest_episode(&readings, |r| in_time(r) && is_open(r));
    let rose_again = found.as_ref().and_then(|episode| {
        Some(RoseAgain {
            low: episode.low,
            warm: episode.warm?,
        })
    });
    let found = found
        .filter(|episode| episode.warm.is_none())
        .map(|episode| (episode.low, episode.sign));
    let local = |at: DateTime<Utc>| Moment::from(at.with_timezone(&zone).naive_local());
    let drop = found.map(|(reading, sign)| {
        let after = |minutes: i64| local(reading.instant + TimeDelta::minutes(minutes));
        // Of a reading without a time, birth may be as late as its last minute allows.
        let whole_day = if reading.at.is_none() { 24 * 60 } else { 0 };
        let (least, mean, most) = TO_BIRTH;
        Drop {
            reading,
            sign,
            birth: [
                after(least),
                after(mean + whole_day / 2),
                after(most + whole_day),
            ],
            call: after(CALL_AFTER * 60),
        }
    });
    DamTemperatures {
        readings,
        drop,
        rose_again,
        drop_from: from,
    }
}

fn sign(before: &[DamTemperature], reading: &DamTemperature) -> Option<DropSign> {
    let celsius = tenths(reading.temperature);
    if celsius <= LOW {
        return Some(DropSign::Low);
    }
    let mean = mean_before(before, reading.day)?;
    (mean - celsius >= UNDER_MEAN - 1e-9).then_some(DropSign::UnderMean(mean))
}

/// Her own mean over the days before this one, when there are enough readings.
#[expect(clippy::cast_precision_loss, reason = "a week has few readings")]
fn mean_before(before: &[DamTemperature], day: Day) -> Option<f64> {
    let days = before
        .iter()
        .filter(|r| (1..=DAYS_OF_MEAN).contains(&day.since(r.day)));
    let values: Vec<f64> = days.map(|r| tenths(r.temperature)).collect();
    (values.len() >= LEAST_FOR_MEAN).then(|| values.iter().sum::<f64>() / values.len() as f64)
}

/// Thermometers show tenths: 99.5 °F is 37.5 °C.
fn tenths(temperature: Temperature) -> f64 {
    (temperature.celsius() * 10.0).round() / 10.0
}

fn start_of(day: Day, zone: Tz) -> DateTime<Utc> {
    let midnight = day.date().and_time(chrono::NaiveTime::MIN);
    midnight
        .and_local_timezone(zone)
        .earliest()
        .map_or_else(|| midnight.and_utc(), |at| at.to_utc())
}
