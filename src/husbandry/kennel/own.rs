//! The kennel's own figures out of its records.
//!
//! In: all litters of the records. Out: [`KennelFigures`]. This is the only file of the kennel's
//! figures that reads records; the rest computes on plain numbers. What serves to judge
//! young puppies rests on earlier litters only: a puppy is not compared with itself.

use super::NotEnough;
use super::birth_weights::{BirthWeights, BornWith, UsualRange, birth_weights, usual_range};
use super::dams::{DamLitter, DamRecord, SectionKind, dams};
use super::growth_bands::{Band, BandOfDay, PuppyCurve, growth_bands};
use super::litters::{LitterSize, LitterSizes, sizes, sizes_by_year};
use super::parents::{Answer, Defect, Offspring, ParentFigures, Return, parents};
use super::survival::{End, Life, Survival, survival};
use crate::cache::{Digest, Digester};
use crate::quantity::{Day, Id, Text};
use crate::records::health::FollowUp;
use crate::records::litter::{Delivery, Fate, Look, Offer, Palate, Puppy, Returned};
use crate::records::owners::Homes;
use crate::records::{HISTORY, LitterFolder, Records};
use crate::{Litters, follow_up, growth};
use chrono::Datelike;
use rayon::prelude::*;
use std::collections::BTreeMap;

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
    /// The puppies of each dam and sire.
    pub parents: BTreeMap<Id, ParentFigures>,
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
}

/// The figures of a kennel; with the growth of its past puppies, where that is known.
#[must_use]
pub fn of(
    records: &Records,
    litters: &Litters<'_>,
    growth: Option<Vec<BandOfDay>>,
) -> KennelFigures {
    let born: Vec<Born<'_>> = born(records, litters).collect();
    let past: Vec<&Born<'_>> = born.iter().filter(|litter| litter.age > HISTORY).collect();
    let growth = || growth.unwrap_or_else(|| bands(records, &past));
    let (growth, counts) = rayon::join(growth, || but_growth(litters, &born, &past));
    KennelFigures { growth, ..counts }
}

/// Digest of what the growth of past puppies is computed from: as long as it stays the same, so
/// does [`KennelFigures::growth`].
#[must_use]
pub fn growth_made_from(records: &Records) -> Digest {
    let mut from = Digester::default();
    let mut add = |file: &str| _ = from.named(file, records.digests.get(file).copied());
    add("kennel.yaml");
    for folder in records.litters.values() {
        if folder.is_history(records.today) {
            add(&folder.file("litter.yaml"));
            add(&folder.file("weights.yaml"));
        }
    }
    from.finish()
}

/// Digest of the growth of past puppies.
#[must_use]
pub fn digest_of_growth(growth: &[BandOfDay]) -> Digest {
    let mut all = Digester::default();
    for BandOfDay {
        day,
        puppies,
        litters,
        band,
    } in growth
    {
        all.part(&day.to_le_bytes())
            .part(&puppies.to_le_bytes())
            .part(&litters.to_le_bytes());
        if let Some(Band {
            p10,
            p25,
            median,
            p75,
            p90,
        }) = band
        {
            for grams in [p10, p25, median, p75, p90] {
                all.part(&grams.to_le_bytes());
            }
        }
    }
    all.finish()
}

/// Digest of the usual range of birth weights.
#[must_use]
pub fn digest_of_usual(usual: &Result<UsualRange, NotEnough>) -> Digest {
    let mut all = Digester::default();
    match usual {
        Ok(UsualRange { n, from, to }) => all
            .part(&n.to_le_bytes())
            .part(&from.to_le_bytes())
            .part(&to.to_le_bytes()),
        Err(NotEnough { have, need }) => all.part(&have.to_le_bytes()).part(&need.to_le_bytes()),
    };
    all.finish()
}

/// The litters that are born.
fn born<'a>(records: &'a Records, litters: &Litters<'_>) -> impl Iterator<Item = Born<'a>> {
    records.litters.values().filter_map(|folder| {
        let birth = folder.litter.birth.as_ref()?;
        Some(Born {
            folder,
            on: birth.on,
            how: birth.how,
            age: records.today.since(birth.on),
            leaves_from: litters.leaves_from(folder),
        })
    })
}

/// All figures but those of growth.
fn but_growth(litters: &Litters<'_>, born: &[Born<'_>], past: &[&Born<'_>]) -> KennelFigures {
    let homes = litters.homes();
    let live_born = |litter: &Born<'_>| litter.folder.litter.born_alive().count();
    let count = |n: usize| u32::try_from(n).unwrap_or(u32::MAX);
    let litter_sizes: Vec<LitterSize> = born
        .iter()
        .map(|l| LitterSize {
            year: l.on.date().year(),
            born: count(l.folder.litter.puppies.len()),
            live_born: count(live_born(l)),
        })
        .collect();
    let lives: Vec<Life> = born
        .iter()
        .flat_map(|l| l.folder.litter.puppies.iter().map(|p| life(homes, l, p)))
        .collect();
    let weighed = |l: &Born<'_>| -> Vec<BornWith> {
        l.folder
            .litter
            .born_alive()
            .filter_map(|p| {
                Some(BornWith {
                    sex: p.sex,
                    grams: p.weight?.grams(),
                })
            })
            .collect()
    };
    let all_weights: Vec<BornWith> = born.iter().flat_map(weighed).collect();
    let past_weights: Vec<f64> = past
        .iter()
        .flat_map(|l| weighed(l))
        .map(|b| b.grams)
        .collect();
    KennelFigures {
        sizes: sizes(&litter_sizes),
        by_year: sizes_by_year(&litter_sizes),
        survival: survival(&lives),
        births: birth_weights(&all_weights),
        usual: usual_range(&past_weights),
        growth: Vec::new(),
        parents: parents(
            &born
                .iter()
                .map(|l| offspring(litters, l))
                .collect::<Vec<_>>(),
        ),
        dams: dams(
            &born
                .iter()
                .map(|l| dam_litter(l, count(live_born(l))))
                .collect::<Vec<_>>(),
        ),
    }
}

fn life(homes: &Homes<'_>, litter: &Born<'_>, puppy: &Puppy) -> Life {
    let born = litter.folder.litter.born_on(puppy).unwrap_or(litter.on);
    let age = litter.age - born.since(litter.on);
    let end = match (puppy.fate, puppy.on) {
        (None, _) => End::NoDeathKnown,
        (Some(Fate::Stillborn), _) => End::Stillborn,
        (Some(Fate::Died), on) => End::Died(on.map(|day| day.since(born))),
    };
    let last_weighed = || {
        let weighed = litter
            .folder
            .weigh_ins
            .iter()
            .rev()
            .find(|weigh_in| weigh_in.weights.contains_key(&puppy.id));
        weighed
            .map(|weigh_in| weigh_in.at.day())
            .or(puppy.weight.map(|_| born))
            .map(|day| day.since(born))
    };
    let left = || {
        let left = homes
            .of(&litter.folder.id, puppy)
            .and_then(|(_, takes)| takes.leaves);
        // Whoever has been placed was old enough to be.
        left.or(litter.leaves_from).map(|day| day.since(born))
    };
    let known_alive_until = if puppy.offer == Offer::Placed {
        left().max(last_weighed()).unwrap_or(0).min(age)
    } else {
        age
    };
    Life {
        end,
        days_since_birth: age,
        known_alive_until,
    }
}

/// The puppies of one litter, as they count for its parents.
fn offspring<'a>(litters: &Litters<'_>, litter: &Born<'a>) -> Offspring<'a> {
    let homes = litters.homes();
    let record = &litter.folder.litter;
    let defects = record.puppies.iter().flat_map(|puppy| {
        // How strongly a puppy sucks is no defect.
        let looks = puppy.newborn.looks().into_iter();
        let parts = looks.filter(|(part, _)| *part != "suck");
        let seen = parts.filter_map(|(part, look)| match look {
            Look::Seen(words) => Some(format!("{part}: {words}")),
            Look::Normal | Look::NotLookedAt => None,
        });
        let cleft = (puppy.palate == Palate::Cleft).then(|| "cleft palate".to_owned());
        cleft.into_iter().chain(seen).map(|what| Defect {
            litter: litter.folder.id.clone(),
            puppy: puppy.id.clone(),
            what,
        })
    });
    Offspring {
        dam: &record.dam,
        sire: &record.sire,
        section: matches!(
            litter.how,
            Delivery::PlannedSection | Delivery::EmergencySection
        ),
        lives: record
            .puppies
            .iter()
            .map(|puppy| life(homes, litter, puppy))
            .collect(),
        defects: defects.collect(),
        returns: record
            .puppies
            .iter()
            .filter_map(|puppy| came_back(litter, puppy))
            .collect(),
        answers: answers(litter),
        long_gone: record
            .puppies
            .iter()
            .filter(|puppy| is_long_gone(litters, litter, puppy))
            .count(),
    }
}

/// Whether a living puppy left so long ago that its family has been asked.
fn is_long_gone(litters: &Litters<'_>, litter: &Born<'_>, puppy: &Puppy) -> bool {
    let left = puppy
        .is_alive()
        .then(|| litters.left_on(litter.folder, puppy))
        .flatten();
    left.is_some_and(|left| left.since(litter.on) + follow_up::FIRST <= litter.age)
}

fn came_back(litter: &Born<'_>, puppy: &Puppy) -> Option<Return> {
    let Returned {
        on,
        reason,
        remarks: _,
    } = puppy.returned.as_ref()?;
    Some(Return {
        litter: litter.folder.id.clone(),
        puppy: puppy.id.clone(),
        on: *on,
        reason: reason.as_ref().map(ToString::to_string),
    })
}

/// What was told of the puppies of a litter, the oldest answer first.
fn answers(litter: &Born<'_>) -> Vec<Answer> {
    let told = |puppy: &'_ Puppy| {
        let answer = |(on, told): (Day, &FollowUp)| {
            let FollowUp {
                weight,
                bite,
                hips,
                how,
                by: _,
            } = told;
            let words = |text: &Option<Text>| text.as_ref().map(ToString::to_string);
            Answer {
                litter: litter.folder.id.clone(),
                puppy: puppy.id.clone(),
                on,
                born: litter.folder.litter.born_on(puppy).unwrap_or(litter.on),
                weight: *weight,
                bite: words(bite),
                hips: words(hips),
                how: words(how),
            }
        };
        follow_up::answers(&litter.folder.health, &puppy.id)
            .map(answer)
            .collect::<Vec<_>>()
    };
    // Of most litters nothing was told.
    if !litter
        .folder
        .health
        .iter()
        .any(|entry| entry.follow_up.is_some())
    {
        return Vec::new();
    }
    let mut answers: Vec<Answer> = litter.folder.litter.puppies.iter().flat_map(told).collect();
    answers.sort_by_key(|answer| answer.on);
    answers
}

fn bands(records: &Records, past: &[&Born<'_>]) -> Vec<BandOfDay> {
    /// Number of the litter, birth weight, and days and grams of what was weighed after it.
    type Weights = (usize, f64, Vec<(f64, f64)>);
    let weights = |(i, litter): (usize, &&Born<'_>)| -> Vec<Weights> {
        let mut growth = growth::of_litter(litter.folder, records.kennel.time_zone.0);
        let weights = litter.folder.litter.puppies.iter().filter_map(|puppy| {
            let points = growth.remove(&puppy.id)?.points;
            let weighed = points
                .iter()
                .filter(|point| !point.is_birth)
                .map(|point| (point.days, point.weight.grams()));
            Some((i, puppy.weight?.grams(), weighed.collect()))
        });
        weights.collect()
    };
    let curves: Vec<Vec<Weights>> = past.par_iter().enumerate().map(weights).collect();
    let all = curves.iter().flatten();
    let curves = all.map(|(litter, birth_grams, points)| PuppyCurve {
        litter: *litter,
        birth_grams: *birth_grams,
        points,
    });
    growth_bands(&curves.collect::<Vec<_>>())
}

fn dam_litter(litter: &Born<'_>, live_born: u32) -> DamLitter {
    let record = &litter.folder.litter;
    let grown = litter
        .leaves_from
        .is_some_and(|leaves| litter.age >= leaves.since(litter.on));
    DamLitter {
        dam: record.dam.clone(),
        on: litter.on,
        section: match litter.how {
            Delivery::PlannedSection => Some(SectionKind::Planned),
            Delivery::EmergencySection => Some(SectionKind::Emergency),
            Delivery::Natural | Delivery::Assisted => None,
        },
        born: u32::try_from(record.puppies.len()).unwrap_or(u32::MAX),
        live_born,
        raised: grown.then(|| u32::try_from(litter.folder.living().count()).unwrap_or(u32::MAX)),
        adhesions: record
            .birth
            .as_ref()
            .and_then(|b| b.surgery.as_ref()?.adhesions.as_ref())
            .map(ToString::to_string),
    }
}
