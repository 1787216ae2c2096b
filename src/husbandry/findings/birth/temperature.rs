//! Rules on a puppy's temperature.
//!
//! In: the readings and feeds of one puppy. Out: findings in two steps, by the age on the day of
//! the reading. A reading outside its band speaks until one inside it is written, and for twelve
//! hours after that; today has no hour, so the hours of today and of the evening before count.

use super::super::{DatedTemperature, Noticed, PuppyCase, TemperatureBand, Urgency};
use crate::quantity::{Day, Temperature};
use crate::records::LitterFolder;
use crate::records::litter::Puppy;
use crate::thresholds::{OWN, Threshold, Thresholds};

const TABLE: &str = "Small Animal Clinical Nutrition, 5th ed., table 16-1";
const OLDER: &str = "Small Animal Clinical Nutrition, 5th ed., table 16-1, up from 37.8 °C; the \
                     upper end is that of a grown dog by teaching notes";
const UNDER_BOTH: &str = "our own limit: under both values that Small Animal Clinical Nutrition, \
                          5th ed., table 16-1, prints for over four weeks (37.8 °C, 97 °F)";
const DEGREE_UNDER: &str = "our own limit: a degree or more under the band of its age";
const HOT: &str = "our own limit: 39.5 °C or more";
const DEGREES_OVER: &str = "our own limit: in the first two weeks two degrees or more over the \
                            band of its age";
/// Why a cold puppy is not fed, and looked at every half hour.
pub(crate) const FED_COLD: &str = "advice of two practices: under 35 °C the gut \
                                                 stops; warm slowly first, look every half hour, \
                                                 never feed";

/// At this or more a vet should hear of it at any age, °C; ours.
const CALL_FROM: f64 = 39.5;
/// A newborn cannot get rid of heat: so much over its band is a call, °C; ours.
const NEWBORN_OVER: f64 = 2.0;
/// Days of age up to which that holds; the bands of the table change there.
const NEWBORN_DAYS: i64 = 14;
/// Under this a puppy of more than four weeks is cold, °C: 97 °F.
const COLD_WHEN_OLDER: f64 = 36.1;
/// Days for which the latest reading speaks, and for which it is remembered that none came after
/// it.
const FRESH: i64 = 2;
const REMEMBERED: i64 = 7;
/// Hour of the day from which a reading is less than twelve hours before the next day.
const NOON: u32 = 12;
/// Minutes after a cold reading in which a feed was given to a cold puppy.
const HOUR: i64 = 60;

/// One reading, and why it is outside its band.
#[derive(Debug, Clone, Copy)]
pub(crate) struct TimedTemperature {
    /// The reading.
    pub(crate) reading: DatedTemperature,
    judged: Option<BandMissed>,
}

/// Why a reading is outside its band.
#[derive(Debug, Clone, Copy)]
struct BandMissed {
    urgency: Urgency,
    is_cold: bool,
    /// What is usual at that age.
    band: TemperatureBand,
}

impl TimedTemperature {
    /// Whether it is a call because the puppy is cold.
    pub(crate) fn is_cold(&self) -> bool {
        self.judged.is_some_and(|judged| judged.is_cold)
    }

    /// Whether it may be less than twelve hours old on a day.
    fn is_recent(&self, today: Day) -> bool {
        let evening = || {
            self.reading
                .at
                .is_none_or(|at| chrono::Timelike::hour(&at.local()) >= NOON)
        };
        let days = today.since(self.reading.day);
        days <= 0 || (days == 1 && evening())
    }
}

pub(super) fn rules(case: &mut PuppyCase<'_>) {
    let readings = of_puppy(case.folder, case.puppy, case.limits, case.today);
    fed_while_cold(case, &readings);
    let Some(last) = readings.last() else { return };
    let since = case.today.since(last.reading.day);
    if let Some(BandMissed {
        urgency,
        is_cold,
        band,
    }) = last.judged.filter(|_| since <= REMEMBERED)
    {
        let is_old = since > FRESH;
        let noticed = Noticed::OutsideBand {
            reading: last.reading,
            is_cold,
            band,
            is_old,
        };
        case.find(if is_old { Urgency::Watch } else { urgency }, noticed);
    } else if let Some((outside, judged)) = readings
        .iter()
        .rev()
        .filter(|reading| reading.is_recent(case.today))
        .find_map(|reading| Some((reading, reading.judged?)))
    {
        let noticed = Noticed::BackInBand {
            outside: outside.reading,
            then: last.reading,
            band: judged.band,
        };
        case.find(Urgency::Watch, noticed);
    }
}

/// A feed within the hour after a cold reading.
fn fed_while_cold(case: &mut PuppyCase<'_>, readings: &[TimedTemperature]) {
    let cold = case.limits.cold;
    let own = case
        .folder
        .health
        .iter()
        .filter(|e| e.is_for(&case.puppy.id) && e.feed.is_some());
    let feeds = own
        .filter_map(|e| e.at)
        .filter(|at| (0..=FRESH).contains(&case.today.since(at.day())));
    let fed = feeds.filter_map(|fed| {
        let before = readings
            .iter()
            .rev()
            .map(|reading| reading.reading)
            .find(|reading| reading.at.is_some_and(|at| at <= fed))?;
        let minutes = (fed.local() - before.at?.local()).num_minutes();
        (minutes <= HOUR && rounded(before.temperature) < cold.value).then_some((fed, before))
    });
    if let Some((fed, reading)) = fed.max_by_key(|(fed, _)| *fed) {
        let source = if cold.source == OWN {
            cold.source
        } else {
            FED_COLD
        };
        let noticed = Noticed::FedCold {
            fed,
            reading,
            limit: Threshold { source, ..cold },
        };
        case.find(Urgency::CallTheVet, noticed);
    }
}

/// The readings of a puppy up to a day, in the order of time, each judged by the age on its own
/// day.
pub(crate) fn of_puppy(
    folder: &LitterFolder,
    puppy: &Puppy,
    limits: &Thresholds,
    today: Day,
) -> Vec<TimedTemperature> {
    let Some(born) = folder.litter.born_on(puppy) else {
        return Vec::new();
    };
    let own = folder.health.iter().filter(|e| e.is_for(&puppy.id));
    let mut readings: Vec<TimedTemperature> = own
        .filter_map(|e| Some((e.day()?, e.at, e.temperature?)))
        .filter(|(day, ..)| *day <= today)
        .map(|(day, at, temperature)| TimedTemperature {
            reading: DatedTemperature {
                temperature,
                day,
                at,
            },
            judged: judge(limits, day.since(born), temperature),
        })
        .collect();
    readings.sort_by_key(|timed| (timed.reading.day, timed.reading.at));
    readings
}

/// How a reading is judged at an age in days; nothing when it is inside the band.
fn judge(limits: &Thresholds, age: i64, temperature: Temperature) -> Option<BandMissed> {
    let celsius = rounded(temperature);
    let (low, high) = band(age);
    let judged = |urgency, is_cold, source| {
        Some(BandMissed {
            urgency,
            is_cold,
            band: TemperatureBand { low, high, source },
        })
    };
    if let Some(cold) = limits.cold_at(age).filter(|cold| celsius < cold.value) {
        // The lower of the two ends is not what it was held against.
        return Some(BandMissed {
            urgency: Urgency::CallTheVet,
            is_cold: true,
            band: TemperatureBand {
                low: low.max(cold.value),
                high,
                source: cold.source,
            },
        });
    }
    if age <= 28 && celsius <= low - 1.0 + 1e-9 {
        return judged(Urgency::CallTheVet, true, DEGREE_UNDER);
    }
    if age > 28 && celsius < COLD_WHEN_OLDER {
        return judged(Urgency::CallTheVet, true, UNDER_BOTH);
    }
    if celsius >= CALL_FROM {
        return judged(Urgency::CallTheVet, false, HOT);
    }
    if age <= NEWBORN_DAYS && celsius >= high + NEWBORN_OVER - 1e-9 {
        return judged(Urgency::CallTheVet, false, DEGREES_OVER);
    }
    let source = if age > 28 { OLDER } else { TABLE };
    if (low..=high).contains(&celsius) {
        None
    } else {
        judged(Urgency::Watch, false, source)
    }
}

/// Usual rectal temperature by age in days, °C (Small Animal Clinical Nutrition, 5th ed., table
/// 16-1). After four weeks that table prints 37.8 to 38.3 °C and beside it 97 to 101 °F, which is
/// 36.1 to 38.3 °C; grown dogs have 38.1 to 39.2 °C (teaching notes). Taken are the higher of its
/// lower ends and the upper end of grown dogs: every warm afternoon lies over 38.3 °C.
fn band(days: i64) -> (f64, f64) {
    match days {
        ..=0 => (34.7, 36.3),
        1..=14 => (34.5, 37.2),
        15..=28 => (36.0, 37.8),
        _ => (37.8, 39.2),
    }
}

/// Thermometers show tenths; a Fahrenheit reading at the edge is not outside by a hundredth.
pub(in crate::findings) fn rounded(temperature: Temperature) -> f64 {
    (temperature.celsius() * 10.0).round() / 10.0
}
