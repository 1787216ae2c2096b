//! The hour of birth in figures: vigour scores, placentas, the order of arrivals, checks still to
//! make.
//!
//! In: one puppy or litter as recorded. Out: totals and counts. A missing item makes a total
//! unknown, never lower, and what nobody looked at is not normal.

use super::growth::instant;
use crate::quantity::{Id, Moment, Span};
use crate::records::litter::{
    BREATHS_SCORED, Fate, HEART_RATES_SCORED, Horn, Litter, Look, Palate, Placenta, Puppy, Vigour,
    points_of_rate,
};
use chrono_tz::Tz;

/// A vigour total at one time after birth.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct VigourTotal {
    /// Minutes after birth, rounded down.
    pub minutes: u64,
    /// Sum of the five items, 0 to 10; nothing when an item is missing.
    pub total: Option<u8>,
}

impl VigourTotal {
    /// The class of the total after Veronesi and others 2009 (Theriogenology 72:401-407): 0-3, 4-6,
    /// 7-10; names as in Titkova and others 2017.
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

/// The five items: key in the records, name, and what 0, 1 and 2 stand for (Veronesi and others
/// 2009, Theriogenology 72:401-407; the words of the bands from memory).
pub const VIGOUR_ITEMS: [(&str, &str, [&str; 3]); 5] = [
    ("heart", "Heart", ["under 180", "180 to 220", "over 220"]),
    (
        "breathing",
        "Breath",
        ["no cry, under 6", "mild cry, 6 to 15", "clear cry, over 15"],
    ),
    ("reflex", "Reflex", ["none", "grimace", "vigorous"]),
    ("movement", "Moves", ["limp", "a little", "lively"]),
    ("gums", "Gums", ["blue", "pale", "pink"]),
];

/// Seconds after birth from which a puppy without a breath is pointed out, ours. Of puppies born by
/// section 85 % breathed unprompted within two minutes (Moon-Massat and Erb 2002, J Am Anim Hosp
/// Assoc 38:90): one that does not after half of that time wants somebody beside it.
pub const SLOW_BREATH: u64 = 60;

/// When to call the vet during a birth. Common practice, no source: what the keeper's own vet said
/// goes before it.
pub const BIRTH_CAUTIONS: [&str; 7] = [
    "Call the vet when the dam strains hard for 20 to 30 minutes and no puppy comes.",
    "Call the vet for dark green discharge before the first puppy, for bleeding that does not \
     stop, or a puppy that is stuck.",
    "Speak with the vet when 2 hours pass without a puppy and more are known to be inside; call \
     at once when the dam is weary, and at 4 hours in any case.",
    "Call the vet when the dam trembles, is feverish, weak or dull.",
    "Call the vet for a puppy that does not breathe, is limp, cold or blue, or has an open palate.",
    "Two puppies may come before two placentas. A placenta that is missing at the end is a \
     question for the vet.",
    "Keep newborns dry and warm. The sheet counts and keeps; the vet decides.",
];

/// Adds up a score. Raw rates score their item where no score was written: heart under 180 = 0, 180
/// to 220 = 1, over 220 = 2; breaths under 6 = 0, 6 to 15 = 1, over 15 = 2 (Veronesi and others
/// 2009, item bands from memory).
#[must_use]
pub fn vigour(score: &Vigour) -> VigourTotal {
    let heart = score.heart.map(|s| s.points()).or(score
        .heart_rate
        .map(|r| points_of_rate(r, HEART_RATES_SCORED)));
    let breathing = score
        .breathing
        .map(|s| s.points())
        .or(score.breaths.map(|r| points_of_rate(r, BREATHS_SCORED)));
    let others = [score.reflex, score.movement, score.gums].map(|item| item.map(|s| s.points()));
    let total = [heart, breathing]
        .into_iter()
        .chain(others)
        .sum::<Option<u8>>();
    VigourTotal {
        minutes: score.at.as_seconds() / 60,
        total,
    }
}

/// Placentas against puppies.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Placentas {
    /// Puppies born, alive or not.
    pub puppies: usize,
    /// Placentas accounted for: the count of the birth, or the puppies whose own was seen outside.
    pub out: Option<usize>,
    /// The same for each horn from which puppies came; empty when no puppy's placenta or no horn
    /// was noted.
    pub horns: Vec<HornPlacentas>,
}

/// Placentas of one horn of the uterus.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct HornPlacentas {
    /// The horn.
    pub horn: Horn,
    /// Puppies that came from it.
    pub puppies: usize,
    /// Those whose placenta was seen outside.
    pub out: usize,
}

/// Counts placentas. Nothing is claimed when neither the birth nor any puppy says something.
#[must_use]
pub fn placentas(litter: &Litter) -> Placentas {
    let counted = litter
        .birth
        .as_ref()
        .and_then(|b| b.placentas)
        .map(|n| n as usize);
    let seen = litter
        .puppies
        .iter()
        .filter(|p| p.placenta == Placenta::Out)
        .count();
    // One that is noted as retained says nothing of the others.
    let anything_noted = seen > 0;
    let of_horn = |horn: Horn| {
        let own = || litter.puppies.iter().filter(move |p| p.horn == Some(horn));
        HornPlacentas {
            horn,
            puppies: own().count(),
            out: own().filter(|p| p.placenta == Placenta::Out).count(),
        }
    };
    let horns = [Horn::Left, Horn::Right]
        .map(of_horn)
        .into_iter()
        .filter(|h| anything_noted && h.puppies > 0)
        .collect();
    Placentas {
        puppies: litter.puppies.len(),
        out: counted.or(anything_noted.then_some(seen)),
        horns,
    }
}

/// One puppy's arrival.
#[derive(Debug, Clone, PartialEq)]
pub struct Arrival {
    /// The puppy.
    pub puppy: Id,
    /// When it was born, local time.
    pub at: Moment,
    /// Minutes since the first puppy whose time is known.
    pub since_first: f64,
    /// Minutes since the puppy before; nothing for the first.
    pub since_previous: Option<f64>,
    /// Time to the first breath.
    pub first_breath: Option<Span>,
}

/// The delivery in the order of time: every puppy whose time of birth is known. Minutes that
/// passed, whatever the clocks did that night.
#[must_use]
#[expect(clippy::cast_precision_loss, reason = "seconds of one night")]
pub fn arrivals(litter: &Litter, zone: Tz) -> Vec<Arrival> {
    let mut born: Vec<(Moment, &Puppy)> = litter
        .puppies
        .iter()
        .filter_map(|p| Some((litter.born_at(p)?, p)))
        .collect();
    born.sort_by_key(|(at, p)| (instant(zone, *at), p.order));
    let minutes = |from: Moment, to: Moment| {
        (instant(zone, to) - instant(zone, from)).num_seconds() as f64 / 60.0
    };
    born.iter()
        .enumerate()
        .map(|(i, (at, puppy))| Arrival {
            puppy: puppy.id.clone(),
            at: *at,
            since_first: minutes(born[0].0, *at),
            since_previous: i.checked_sub(1).map(|before| minutes(born[before].0, *at)),
            first_breath: puppy.first_breath,
        })
        .collect()
}

/// Names of the newborn checks that nobody has made, in the order of the record.
#[must_use]
pub fn not_looked_at(puppy: &Puppy) -> Vec<&'static str> {
    if puppy.fate == Some(Fate::Stillborn) {
        return Vec::new();
    }
    let palate = (puppy.palate == Palate::NotLookedAt).then_some("palate");
    let open = puppy.newborn.looks().into_iter();
    let open = open.filter(|(_, look)| **look == Look::NotLookedAt);
    palate
        .into_iter()
        .chain(open.map(|(name, _)| name))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn score(yaml: &str) -> VigourTotal {
        vigour(&serde_yaml::from_str(yaml).unwrap())
    }

    #[test]
    fn classes_are_those_of_veronesi_2009() {
        // Veronesi and others 2009: classes 0-3, 4-6, 7-10 out of five items, five minutes after
        // birth.
        assert_eq!(
            score("{ at: 5 min, heart: 2, breathing: 2, reflex: 1, movement: 2, gums: 2 }"),
            VigourTotal {
                minutes: 5,
                total: Some(9)
            }
        );
        for (total, class) in [
            (0, "severe distress"),
            (3, "severe distress"),
            (4, "moderate distress"),
            (6, "moderate distress"),
            (7, "no distress"),
            (10, "no distress"),
        ] {
            assert_eq!(
                VigourTotal {
                    minutes: 5,
                    total: Some(total)
                }
                .class(),
                class
            );
        }
    }

    #[test]
    fn the_edges_of_the_bands_score_one() {
        // Veronesi and others 2009, recalled from memory: 180 and 220 beats, 6 and 15 breaths score
        // 1.
        for (rate, points) in [(179, 0), (180, 1), (220, 1), (221, 2)] {
            assert_eq!(
                score(&format!(
                    "{{ at: 5 min, heart_rate: {rate}, breathing: 0, reflex: 0, movement: 0, \
                     gums: 0 }}"
                ))
                .total,
                Some(points)
            );
        }
        for (rate, points) in [(5, 0), (6, 1), (15, 1), (16, 2)] {
            assert_eq!(
                score(&format!(
                    "{{ at: 5 min, heart: 0, breaths: {rate}, reflex: 0, movement: 0, gums: 0 }}"
                ))
                .total,
                Some(points)
            );
        }
    }

    #[test]
    fn a_missing_item_makes_the_total_unknown() {
        assert_eq!(
            score("{ at: 5 min, heart: 2, breathing: 2, reflex: 2, movement: 2 }").total,
            None
        );
    }

    #[test]
    fn one_placenta_for_each_puppy() {
        // Common practice, no source: one placenta for each puppy.
        let litter = |yaml: &str| {
            serde_yaml::from_str::<Litter>(&format!("name: L\ndam: d\nsire: s\n{yaml}")).unwrap()
        };
        let one_short = litter(
            "birth: { on: 2024-01-01, how: natural }\npuppies: [{ id: a, sex: male, placenta: out \
             }, { id: b, sex: male, placenta: not seen }]",
        );
        assert_eq!(
            placentas(&one_short),
            Placentas {
                puppies: 2,
                out: Some(1),
                horns: vec![]
            }
        );
        let horns = litter(
            "puppies: [{ id: a, sex: male, horn: left, placenta: out }, { id: b, sex: male, horn: \
             left, placenta: not seen }, { id: c, sex: male, horn: right, placenta: out }]",
        );
        let of = |horn, puppies, out| HornPlacentas { horn, puppies, out };
        assert_eq!(
            placentas(&horns).horns,
            [of(Horn::Left, 2, 1), of(Horn::Right, 1, 1)]
        );
        let nobody_counted = litter("puppies: [{ id: a, sex: male }]");
        assert_eq!(placentas(&nobody_counted).out, None);
    }

    #[test]
    fn arrivals_are_counted_in_minutes_that_passed() {
        // British summer time ends on 2026-10-25 at 01:00 UTC (Summer Time Order 2002): from 00:50
        // to 02:10 on the clock, 140 minutes pass.
        let litter: Litter = serde_yaml::from_str(
            "name: L\ndam: d\nsire: s\nbirth: { on: 2026-10-25, how: natural }\npuppies:\n  - { \
             id: b, sex: male, born: \"02:10\" }\n  - { id: a, sex: male, born: \"00:50\", \
             first_breath: 40 s }\n  - { id: c, sex: male }",
        )
        .unwrap();
        let arrivals = arrivals(&litter, "Europe/London".parse().unwrap());
        let shown: Vec<_> = arrivals
            .iter()
            .map(|a| (a.puppy.as_str(), a.since_first, a.since_previous))
            .collect();
        assert_eq!(shown, [("a", 0.0, None), ("b", 140.0, Some(140.0))]);
    }
}
