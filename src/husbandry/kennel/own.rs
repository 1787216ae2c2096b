//! The kennel's own figures out of its records.
//!
//! In: all litters of the records. Out: [`KennelFigures`]. This is the only file of the kennel's figures that reads records; the rest computes on plain numbers. What serves to judge
//! young puppies rests on earlier litters only: a puppy is not compared with itself.

use super::NotEnough;
use super::birth_weights::{BirthWeights, BornWith, UsualRange, birth_weights, usual_range};
use super::dams::{DamLitter, DamRecord, Section, dams};
use super::growth_bands::{BandOfDay, PuppyCurve, growth_bands};
use super::litters::{LitterSize, LitterSizes, sizes, sizes_by_year};
use super::survival::{End, Life, Survival, survival};
use crate::husbandry::{Litters, growth};
use crate::quantity::{Day, Id};
use crate::records::litter::{Delivery, Fate, Offer, Puppy};
use crate::records::owners::Homes;
use crate::records::{LitterFolder, Records};
use chrono::Datelike;
use rayon::prelude::*;
use std::collections::BTreeMap;

/// Age in days up to which a litter is judged by the kennel's earlier ones, and from which it is one of them.
pub const YOUNG: i64 = 84;

/// Figures of the whole kennel.
#[derive(Debug, Clone)]
pub struct KennelFigures {
    /// Litter sizes; nothing before the first litter.
    pub sizes: Option<LitterSizes>,
    /// The same by year of birth.
    pub by_year: BTreeMap<i32, LitterSizes>,
    /// Stillbirth and deaths.
    pub survival: Survival,
    /// Birth weights of live-born puppies.
    pub births: BirthWeights,
    /// The usual range of birth weights in litters that are past twelve weeks.
    pub usual: Result<UsualRange, NotEnough>,
    /// Growth of the puppies of those litters, by day of age.
    pub growth: Vec<BandOfDay>,
    /// The record of each dam.
    pub dams: BTreeMap<Id, DamRecord>,
}

/// A litter that is born.
struct Born<'a> {
    folder: &'a LitterFolder,
    on: Day,
    how: Delivery,
    /// Calendar days from birth to today.
    age: i64,
    /// The first day on which its puppies might leave.
    leaves_from: Option<Day>,
    /// What was weighed of each puppy.
    weighed: BTreeMap<&'a Id, Weighed>,
}

/// What was weighed of a puppy.
struct Weighed {
    /// Days since birth and grams, without the birth weight.
    points: Vec<(f64, f64)>,
    /// The day of the last weight.
    last: Option<Day>,
}

/// The figures of a kennel.
#[must_use]
pub fn of(records: &Records, litters: &Litters<'_>) -> KennelFigures {
    let born = born(records, litters);
    let past: Vec<&Born<'_>> = born.iter().filter(|litter| litter.age > YOUNG).collect();
    let (growth, counts) = rayon::join(|| bands(&past), || but_growth(litters.homes(), &born, &past));
    KennelFigures { growth, ..counts }
}

/// The litters that are born.
fn born<'a>(records: &'a Records, litters: &Litters<'_>) -> Vec<Born<'a>> {
    let born = records.litters.par_iter().filter_map(|(_, folder)| {
        let birth = folder.litter.birth.as_ref()?;
        let mut growth = growth::of_litter(folder, records.kennel.time_zone.0);
        let weighed = |puppy: &'a Puppy| {
            let points = growth.remove(&puppy.id)?.points;
            let last = points.last().map(|point| point.at.day());
            let points = points.iter().filter(|point| !point.is_birth).map(|point| (point.days, point.weight.grams())).collect();
            Some((&puppy.id, Weighed { points, last }))
        };
        let weighed = folder.litter.puppies.iter().filter_map(weighed).collect();
        Some(Born { folder, on: birth.on, how: birth.how, age: records.today.since(birth.on), leaves_from: litters.leaves_from(folder), weighed })
    });
    born.collect()
}

/// All figures but those of growth.
fn but_growth(homes: &Homes<'_>, born: &[Born<'_>], past: &[&Born<'_>]) -> KennelFigures {
    let live_born = |litter: &Born<'_>| litter.folder.litter.puppies.iter().filter(|p| p.fate != Some(Fate::Stillborn)).count();
    let count = |n: usize| u32::try_from(n).unwrap_or(u32::MAX);
    let litter_sizes: Vec<LitterSize> = born
        .iter()
        .map(|l| LitterSize { year: l.on.date().year(), born: count(l.folder.litter.puppies.len()), live_born: count(live_born(l)) })
        .collect();
    let lives: Vec<Life> = born.iter().flat_map(|l| l.folder.litter.puppies.iter().map(|p| life(homes, l, p))).collect();
    let weighed = |l: &Born<'_>| -> Vec<BornWith> {
        let alive = l.folder.litter.puppies.iter().filter(|p| p.fate != Some(Fate::Stillborn));
        alive.filter_map(|p| Some(BornWith { sex: p.sex, grams: p.weight?.grams() })).collect()
    };
    let all_weights: Vec<BornWith> = born.iter().flat_map(weighed).collect();
    let past_weights: Vec<f64> = past.iter().flat_map(|l| weighed(l)).map(|b| b.grams).collect();
    KennelFigures {
        sizes: sizes(&litter_sizes),
        by_year: sizes_by_year(&litter_sizes),
        survival: survival(&lives),
        births: birth_weights(&all_weights),
        usual: usual_range(&past_weights),
        growth: Vec::new(),
        dams: dams(&born.iter().map(|l| dam_litter(l, count(live_born(l)))).collect::<Vec<_>>()),
    }
}

fn life(homes: &Homes<'_>, litter: &Born<'_>, puppy: &Puppy) -> Life {
    let end = match (puppy.fate, puppy.on) {
        (None, _) => End::NoDeathKnown,
        (Some(Fate::Stillborn), _) => End::Stillborn,
        (Some(Fate::Died), on) => End::Died(on.map(|day| day.since(litter.on))),
    };
    let last_weighed = || litter.weighed.get(&puppy.id)?.last.map(|day| day.since(litter.on));
    let left = || {
        let left = homes.of(&litter.folder.id, &puppy.id).and_then(|(_, takes)| takes.leaves);
        // Whoever has been placed was old enough to be.
        left.or(litter.leaves_from).map(|day| day.since(litter.on))
    };
    let known_alive_until = if puppy.offer == Offer::Placed { left().max(last_weighed()).unwrap_or(0).min(litter.age) } else { litter.age };
    Life { end, days_since_birth: litter.age, known_alive_until }
}

fn bands(past: &[&Born<'_>]) -> Vec<BandOfDay> {
    let curves = past.iter().enumerate().flat_map(|(i, litter)| {
        litter.folder.litter.puppies.iter().filter_map(move |puppy| {
            let Weighed { points, last: _ } = litter.weighed.get(&puppy.id)?;
            Some(PuppyCurve { litter: i, birth_grams: puppy.weight?.grams(), points })
        })
    });
    growth_bands(&curves.collect::<Vec<_>>())
}

fn dam_litter(litter: &Born<'_>, live_born: u32) -> DamLitter {
    let record = &litter.folder.litter;
    let grown = litter.leaves_from.is_some_and(|leaves| litter.age >= leaves.since(litter.on));
    DamLitter {
        dam: record.dam.clone(),
        on: litter.on,
        section: match litter.how {
            Delivery::PlannedSection => Some(Section::Planned),
            Delivery::EmergencySection => Some(Section::Emergency),
            Delivery::Natural | Delivery::Assisted => None,
        },
        born: u32::try_from(record.puppies.len()).unwrap_or(u32::MAX),
        live_born,
        raised: grown.then(|| u32::try_from(litter.folder.living().count()).unwrap_or(u32::MAX)),
        adhesions: record.birth.as_ref().and_then(|b| b.surgery.as_ref()?.adhesions.as_ref()).map(ToString::to_string),
    }
}
