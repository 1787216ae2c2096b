//! Rules on a puppy's temperature.
//!
//! In: the readings and feeds of one puppy. Out: findings in two steps, by the age on the day of the reading. A reading outside its band speaks until one inside it is written, and for twelve
//! hours after that; today has no hour, so the hours of today and of the evening before count.

use super::super::{Case, Urgency};
use crate::husbandry::thresholds::{Threshold, Thresholds};
use crate::quantity::{Day, Moment, Temperature};
use crate::records::LitterFolder;
use crate::records::litter::Puppy;

const TABLE: &str = "Small Animal Clinical Nutrition, 5th ed., table 16-1";
const OLDER: &str = "Small Animal Clinical Nutrition, 5th ed., table 16-1, up from 37.8 °C; the upper end is that of a grown dog by teaching notes";
const UNDER_BOTH: &str =
    "our own limit: under both values that Small Animal Clinical Nutrition, 5th ed., table 16-1, prints for over four weeks (37.8 °C, 97 °F)";
const DEGREE_UNDER: &str = "our own limit: a degree or more under the band of its age";
const HOT: &str = "our own limit: 39.5 °C or more";
/// Why a cold puppy is not fed, and looked at every half hour.
pub(in crate::husbandry) const FED_COLD: &str =
    "advice of two practices: under 35 °C the gut stops; warm slowly first, look every half hour, never feed";

/// At this or more a vet should hear of it at any age, °C; ours.
const CALL_FROM: f64 = 39.5;
/// Under this a puppy of more than four weeks is cold, °C: 97 °F.
const COLD_WHEN_OLDER: f64 = 36.1;
/// Days for which the latest reading speaks, and for which it is remembered that none came after it.
const FRESH: i64 = 2;
const REMEMBERED: i64 = 7;
/// Hour of the day from which a reading is less than twelve hours before the next day.
const NOON: u32 = 12;
/// Minutes after a cold reading in which a feed was given to a cold puppy.
const HOUR: i64 = 60;

/// One reading.
#[derive(Debug, Clone, Copy)]
pub(in crate::husbandry) struct Reading {
    /// The day.
    pub(in crate::husbandry) day: Day,
    /// When, where the hour was written.
    pub(in crate::husbandry) at: Option<Moment>,
    temperature: Temperature,
    judged: Option<Judged>,
}

/// Why a reading is outside its band.
#[derive(Debug, Clone, Copy)]
struct Judged {
    urgency: Urgency,
    rule: &'static str,
    /// From which and up to which temperature is usual at that age.
    band: (f64, f64),
    source: &'static str,
}

impl Reading {
    /// `34.2 °C on 2026-10-05 12:25`.
    fn words(&self) -> String {
        format!("{} on {}", self.temperature, self.at.map_or_else(|| self.day.to_string(), |at| at.to_string()))
    }

    /// Whether it is a call because the puppy is cold.
    pub(in crate::husbandry) fn is_cold(&self) -> bool {
        self.judged.is_some_and(|judged| judged.rule == "cold")
    }

    /// Whether it may be less than twelve hours old on a day.
    fn is_recent(&self, today: Day) -> bool {
        let evening = || self.at.is_none_or(|at| chrono::Timelike::hour(&at.local()) >= NOON);
        today.since(self.day) <= 0 || (today.since(self.day) == 1 && evening())
    }
}

pub(super) fn rules(case: &mut Case<'_>) {
    let readings = of_puppy(case.folder, case.puppy, case.limits, case.today);
    fed_while_cold(case, &readings);
    let Some(last) = readings.last() else { return };
    let since = case.today.since(last.day);
    if let Some(Judged { mut urgency, rule, band: (low, high), source }) = last.judged.filter(|_| since <= REMEMBERED) {
        let mut what = format!("had {}", last.words());
        if since > FRESH {
            urgency = Urgency::Watch;
            what.push_str(", and no reading was written since");
        }
        case.find(urgency, rule, what, format!("{low:.1} to {high:.1} °C at that age; ends with a reading inside that"), source);
    } else if let Some((outside, judged)) =
        readings.iter().rev().filter(|reading| reading.is_recent(case.today)).find_map(|reading| Some((reading, reading.judged?)))
    {
        let (low, high) = judged.band;
        let what = format!("had {}, then {}", outside.words(), last.words());
        let limit = format!("{low:.1} to {high:.1} °C at that age; ends after 12 hours inside that");
        case.find(Urgency::Watch, "temperature", what, limit, judged.source);
    }
}

/// A feed within the hour after a cold reading.
fn fed_while_cold(case: &mut Case<'_>, readings: &[Reading]) {
    let cold = case.limits.cold;
    let own = case.folder.health.iter().filter(|e| e.is_for(&case.puppy.id) && e.feed.is_some());
    let feeds = own.filter_map(|e| e.at).filter(|at| (0..=FRESH).contains(&case.today.since(at.day())));
    let fed = feeds.filter_map(|fed| {
        let before = readings.iter().rev().find(|reading| reading.at.is_some_and(|at| at <= fed))?;
        let minutes = (fed.local() - before.at?.local()).num_minutes();
        (minutes <= HOUR && rounded(before.temperature) < cold.value).then_some((fed, before))
    });
    if let Some((fed, before)) = fed.max_by_key(|(fed, _)| *fed) {
        let what = format!("was fed on {fed}, while cold: {}", before.words());
        let limit = format!("no feed within an hour of a reading under {:.1} °C", cold.value);
        let Threshold { source, .. } = cold;
        case.find(Urgency::CallTheVet, "fed-cold", what, limit, if source == crate::husbandry::thresholds::OWN { source } else { FED_COLD });
    }
}

/// The readings of a puppy up to a day, in the order of time, each judged by the age on its own day.
pub(in crate::husbandry) fn of_puppy(folder: &LitterFolder, puppy: &Puppy, limits: &Thresholds, today: Day) -> Vec<Reading> {
    let Some(born) = folder.litter.born_on(puppy) else { return Vec::new() };
    let own = folder.health.iter().filter(|e| e.is_for(&puppy.id));
    let mut readings: Vec<Reading> = own
        .filter_map(|e| Some((e.day()?, e.at, e.temperature?)))
        .filter(|(day, ..)| *day <= today)
        .map(|(day, at, temperature)| Reading { day, at, temperature, judged: judge(limits, day.since(born), temperature) })
        .collect();
    readings.sort_by_key(|reading| (reading.day, reading.at));
    readings
}

/// How a reading is judged at an age in days; nothing when it is inside the band.
fn judge(limits: &Thresholds, age: i64, temperature: Temperature) -> Option<Judged> {
    let celsius = rounded(temperature);
    let (low, high) = band(age);
    let judged = |urgency, rule, source| Some(Judged { urgency, rule, band: (low, high), source });
    if let Some(cold) = limits.cold_at(age).filter(|cold| celsius < cold.value) {
        // The lower of the two ends is not what it was held against.
        return Some(Judged { urgency: Urgency::CallTheVet, rule: "cold", band: (low.max(cold.value), high), source: cold.source });
    }
    if age <= 28 && celsius <= low - 1.0 + 1e-9 {
        return judged(Urgency::CallTheVet, "cold", DEGREE_UNDER);
    }
    if age > 28 && celsius < COLD_WHEN_OLDER {
        return judged(Urgency::CallTheVet, "cold", UNDER_BOTH);
    }
    if celsius >= CALL_FROM {
        return judged(Urgency::CallTheVet, "temperature", HOT);
    }
    let source = if age > 28 { OLDER } else { TABLE };
    if (low..=high).contains(&celsius) { None } else { judged(Urgency::Watch, "temperature", source) }
}

/// Usual rectal temperature by age in days, °C (Small Animal Clinical Nutrition, 5th ed., table 16-1). After four weeks that table prints 37.8 to 38.3 °C and beside it 97 to 101 °F, which is
/// 36.1 to 38.3 °C; grown dogs have 38.1 to 39.2 °C (teaching notes). Taken are the higher of its lower ends and the upper end of grown dogs: every warm afternoon lies over 38.3 °C.
fn band(days: i64) -> (f64, f64) {
    match days {
        ..=0 => (34.7, 36.3),
        1..=14 => (34.5, 37.2),
        15..=28 => (36.0, 37.8),
        _ => (37.8, 39.2),
    }
}

/// Thermometers show tenths; a Fahrenheit reading at the edge is not outside by a hundredth.
pub(in crate::husbandry::findings) fn rounded(temperature: Temperature) -> f64 {
    (temperature.celsius() * 10.0).round() / 10.0
}
