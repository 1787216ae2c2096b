//! What became of the puppies of each dam and each sire: litters, sections, losses, what was seen
//! at birth, who came back, and what families told of grown ones.
//!
//! In: one entry for each litter that is born. Out: a [`ParentFigures`] for each dam and sire.
//! Losses are counted as those of the whole kennel are.

use super::survival::{Life, Survival, survival};
use crate::quantity::{Day, Id, Weight};
use std::collections::BTreeMap;

/// The puppies of one litter, as they count for its parents.
#[derive(Debug, Clone)]
pub struct Offspring<'a> {
    /// The dam.
    pub dam: &'a Id,
    /// The sire.
    pub sire: &'a Id,
    /// Whether it was born by section.
    pub section: bool,
    /// What is known of each puppy's life.
    pub lives: Vec<Life>,
    /// What was seen at birth.
    pub defects: Vec<Defect>,
    /// Those that came back.
    pub returns: Vec<Return>,
    /// What was told of grown ones, the oldest answer first.
    pub answers: Vec<Answer>,
    /// Puppies that left six months ago or longer.
    pub long_gone: usize,
}

/// A puppy that came back.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Return {
    /// Its litter.
    pub litter: Id,
    /// The puppy.
    pub puppy: Id,
    /// When.
    pub on: Day,
    /// Why, in the words of the record.
    pub reason: Option<String>,
}

/// What was told of a grown puppy.
#[derive(Debug, Clone, PartialEq)]
pub struct Answer {
    /// Its litter.
    pub litter: Id,
    /// The puppy.
    pub puppy: Id,
    /// When.
    pub on: Day,
    /// The day on which its litter was born.
    pub born: Day,
    /// Weight.
    pub weight: Option<Weight>,
    /// Bite, in the words of the record.
    pub bite: Option<String>,
    /// Hips, in the words of the record.
    pub hips: Option<String>,
    /// How it is, in the words of the record.
    pub how: Option<String>,
}

/// Something that was seen of a newborn and is not as it should be.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Defect {
    /// Its litter.
    pub litter: Id,
    /// The puppy.
    pub puppy: Id,
    /// What, in the words of the record.
    pub what: String,
}

/// The puppies of one parent.
#[derive(Debug, Clone, PartialEq)]
pub struct ParentFigures {
    /// Litters that are born.
    pub litters: usize,
    /// Those born by section.
    pub sections: usize,
    /// Puppies born, alive or not.
    pub born: usize,
    /// Stillbirth and deaths.
    pub survival: Survival,
    /// What was seen at birth.
    pub defects: Vec<Defect>,
    /// Those that came back.
    pub returns: Vec<Return>,
    /// What was told of grown ones.
    pub answers: Vec<Answer>,
    /// Puppies that left six months ago or longer.
    pub long_gone: usize,
}

/// The record of each dam and sire that has a litter.
#[must_use]
pub fn parents(litters: &[Offspring<'_>]) -> BTreeMap<Id, ParentFigures> {
    let mut of: BTreeMap<&Id, Vec<&Offspring<'_>>> = BTreeMap::new();
    for litter in litters {
        for parent in [litter.dam, litter.sire] {
            of.entry(parent).or_default().push(litter);
        }
    }
    let record = |litters: &[&Offspring<'_>]| {
        let lives: Vec<Life> = litters
            .iter()
            .flat_map(|litter| litter.lives.iter().copied())
            .collect();
        ParentFigures {
            litters: litters.len(),
            sections: litters.iter().filter(|litter| litter.section).count(),
            born: lives.len(),
            survival: survival(&lives),
            defects: litters
                .iter()
                .flat_map(|litter| litter.defects.iter().cloned())
                .collect(),
            returns: litters
                .iter()
                .flat_map(|litter| litter.returns.iter().cloned())
                .collect(),
            answers: litters
                .iter()
                .flat_map(|litter| litter.answers.iter().cloned())
                .collect(),
            long_gone: litters.iter().map(|litter| litter.long_gone).sum(),
        }
    };
    of.into_iter()
        .map(|(id, litters)| (id.clone(), record(&litters)))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::super::survival::End;
    use super::*;

    #[test]
    fn a_sire_has_the_puppies_of_all_his_dams() {
        let [juno, tansy, brack]: [Id; 3] =
            ["juno", "tansy", "brack"].map(|name| name.parse().unwrap());
        let life = |end| Life {
            end,
            days_since_birth: 100,
            known_alive_until: 100,
        };
        let defect = Defect {
            litter: "l".parse().unwrap(),
            puppy: "p".parse().unwrap(),
            what: "cleft palate".to_owned(),
        };
        let litter = |dam, section, ends: &[End], defects: &[Defect]| Offspring {
            dam,
            sire: &brack,
            section,
            lives: ends.iter().map(|end| life(*end)).collect(),
            defects: defects.to_vec(),
            returns: Vec::new(),
            answers: Vec::new(),
            long_gone: 1,
        };
        let litters = [
            litter(
                &juno,
                true,
                &[End::Stillborn, End::Died(Some(3)), End::NoDeathKnown],
                std::slice::from_ref(&defect),
            ),
            litter(
                &tansy,
                false,
                &[End::NoDeathKnown, End::Died(Some(30))],
                &[],
            ),
        ];
        let parents = parents(&litters);
        let brack = &parents["brack"];
        assert_eq!(
            (
                brack.litters,
                brack.sections,
                brack.born,
                brack.survival.stillborn.count
            ),
            (2, 1, 5, 1)
        );
        let by = |record: &ParentFigures, day: u16| {
            record
                .survival
                .by_day
                .iter()
                .find(|(d, _)| *d == day)
                .map(|(_, s)| (s.count, s.of))
                .unwrap()
        };
        assert_eq!((by(brack, 21), by(brack, 56)), ((1, 4), (2, 4)));
        assert_eq!(
            (
                parents["tansy"].litters,
                parents["tansy"].defects.len(),
                by(&parents["juno"], 21)
            ),
            (1, 0, (1, 2))
        );
        assert_eq!(parents["juno"].defects, [defect]);
        assert_eq!((brack.long_gone, parents["juno"].long_gone), (2, 1));
    }
}
