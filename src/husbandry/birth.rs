//! The hour of birth in figures: vigour scores, placentas, checks still to make.
//!
//! In: one puppy or litter as recorded. Out: totals and counts. A missing item makes a total unknown, never lower, and what nobody looked at is not normal.

use crate::records::litter::{Fate, Litter, Look, Newborn, Palate, Placenta, Puppy, Vigour};

/// A vigour total at one time after birth.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct VigourTotal {
    /// Minutes after birth, rounded down.
    pub minutes: u64,
    /// Sum of the five items, 0 to 10; nothing when an item is missing.
    pub total: Option<u8>,
}

impl VigourTotal {
    /// The class of the total after Veronesi and others 2009 (Theriogenology 72:401-407): 0-3, 4-6, 7-10; names as in Titkova and others 2017.
    #[must_use]
    pub fn class(self) -> &'static str {
        match self.total {
            None => "unknown: an item is missing",
            Some(0..=3) => "severe distress",
            Some(4..=6) => "moderate distress",
            Some(_) => "no distress",
        }
    }
}

/// Adds up a score. Raw rates score their item where no score was written: heart under 180 = 0, 180 to 220 = 1, over 220 = 2; breaths under 6 = 0, 6 to 15 = 1,
/// over 15 = 2 (Veronesi and others 2009, item bands from memory).
#[must_use]
pub fn vigour(score: &Vigour) -> VigourTotal {
    let band = |value: u32, low: u32, high: u32| u8::from(value >= low) + u8::from(value > high);
    let heart = score.heart.map(|s| s.points()).or(score.heart_rate.map(|r| band(r, 180, 220)));
    let breathing = score.breathing.map(|s| s.points()).or(score.breaths.map(|r| band(r, 6, 15)));
    let others = [score.reflex, score.movement, score.gums].map(|item| item.map(|s| s.points()));
    let total = [heart, breathing].into_iter().chain(others).sum::<Option<u8>>();
    VigourTotal { minutes: score.at.as_seconds() / 60, total }
}

/// Placentas against puppies.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Placentas {
    /// Puppies born, alive or not.
    pub puppies: usize,
    /// Placentas accounted for: the count of the birth, or the puppies whose own was seen outside.
    pub out: Option<usize>,
}

/// Counts placentas. Nothing is claimed when neither the birth nor any puppy says something.
#[must_use]
pub fn placentas(litter: &Litter) -> Placentas {
    let counted = litter.birth.as_ref().and_then(|b| b.placentas).map(|n| n as usize);
    let seen = litter.puppies.iter().filter(|p| p.placenta == Placenta::Out).count();
    let anything_noted = litter.puppies.iter().any(|p| p.placenta != Placenta::NotSeen);
    Placentas { puppies: litter.puppies.len(), out: counted.or(anything_noted.then_some(seen)) }
}

/// Names of the newborn checks that nobody has made, in the order of the record.
#[must_use]
pub fn not_looked_at(puppy: &Puppy) -> Vec<&'static str> {
    if puppy.fate == Some(Fate::Stillborn) {
        return Vec::new();
    }
    let Newborn { limbs, navel, anus, skull, eyes, tail, skin, suck } = &puppy.newborn;
    let palate = (puppy.palate == Palate::NotLookedAt).then_some("palate");
    let items =
        [("limbs", limbs), ("navel", navel), ("anus", anus), ("skull", skull), ("eyes", eyes), ("tail", tail), ("skin", skin), ("suck", suck)];
    palate.into_iter().chain(items.into_iter().filter(|(_, look)| **look == Look::NotLookedAt).map(|(name, _)| name)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn score(yaml: &str) -> VigourTotal {
        vigour(&serde_yaml::from_str(yaml).unwrap())
    }

    #[test]
    fn classes_are_those_of_veronesi_2009() {
        // Veronesi and others 2009: classes 0-3, 4-6, 7-10 out of five items, five minutes after birth.
        assert_eq!(score("{ at: 5 min, heart: 2, breathing: 2, reflex: 1, movement: 2, gums: 2 }"), VigourTotal { minutes: 5, total: Some(9) });
        for (total, class) in [
            (0, "severe distress"),
            (3, "severe distress"),
            (4, "moderate distress"),
            (6, "moderate distress"),
            (7, "no distress"),
            (10, "no distress"),
        ] {
            assert_eq!(VigourTotal { minutes: 5, total: Some(total) }.class(), class);
        }
    }

    #[test]
    fn the_edges_of_the_bands_score_one() {
        // Veronesi and others 2009, recalled from memory: 180 and 220 beats, 6 and 15 breaths score 1.
        for (rate, points) in [(179, 0), (180, 1), (220, 1), (221, 2)] {
            assert_eq!(score(&format!("{{ at: 5 min, heart_rate: {rate}, breathing: 0, reflex: 0, movement: 0, gums: 0 }}")).total, Some(points));
        }
        for (rate, points) in [(5, 0), (6, 1), (15, 1), (16, 2)] {
            assert_eq!(score(&format!("{{ at: 5 min, heart: 0, breaths: {rate}, reflex: 0, movement: 0, gums: 0 }}")).total, Some(points));
        }
    }

    #[test]
    fn a_missing_item_makes_the_total_unknown() {
        assert_eq!(score("{ at: 5 min, heart: 2, breathing: 2, reflex: 2, movement: 2 }").total, None);
    }

    #[test]
    fn one_placenta_for_each_puppy() {
        // Common practice, no source: one placenta for each puppy.
        let litter = |yaml: &str| serde_yaml::from_str::<Litter>(&format!("name: L\ndam: d\nsire: s\n{yaml}")).unwrap();
        let one_short = litter(
            "birth: { on: 2024-01-01, how: natural }\npuppies: [{ id: a, sex: male, placenta: out }, { id: b, sex: male, placenta: not seen }]",
        );
        assert_eq!(placentas(&one_short), Placentas { puppies: 2, out: Some(1) });
        let nobody_counted = litter("puppies: [{ id: a, sex: male }]");
        assert_eq!(placentas(&nobody_counted).out, None);
    }
}
