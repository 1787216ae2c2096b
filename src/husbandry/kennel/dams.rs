//! The breeding record of each dam: litters, sections, puppies, and what surgeons noted.
//!
//! In: one entry for each of her litters. Out: a [`DamRecord`] for each dam. What a registry or
//! licence allows is not judged here, and notes of surgeons are passed on as written, for the next
//! one to read.

use crate::quantity::{Day, Id};
use std::collections::BTreeMap;

/// A Caesarean section.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SectionKind {
    /// A planned one.
    Planned,
    /// An emergency.
    Emergency,
}

/// One past litter of a dam.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DamLitter {
    /// The dam.
    pub dam: Id,
    /// Day of birth.
    pub on: Day,
    /// The section it was born by; nothing when it was born without.
    pub section: Option<SectionKind>,
    /// Puppies born, alive or not.
    pub born: u32,
    /// Puppies born alive.
    pub live_born: u32,
    /// Puppies that lived to leave, or to leaving age; nothing while that is not known.
    pub raised: Option<u32>,
    /// What the surgeon noted of adhesions.
    pub adhesions: Option<String>,
}

/// All litters of one dam.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct DamRecord {
    /// Litters.
    pub litters: u32,
    /// Planned sections.
    pub planned_sections: u32,
    /// Emergency sections.
    pub emergency_sections: u32,
    /// Day of her first litter.
    pub first: Option<Day>,
    /// Day of her latest litter.
    pub latest: Option<Day>,
    /// Puppies born in all litters.
    pub born: u32,
    /// Puppies born alive.
    pub live_born: u32,
    /// Puppies raised in those litters of which it is known.
    pub raised: u32,
    /// Puppies born in those litters.
    pub raised_of_born: u32,
    /// Litters of which it is not known, or not yet, how many were raised.
    pub raised_unknown: u32,
    /// Notes of adhesions, the oldest first.
    pub adhesions: Vec<(Day, String)>,
}

impl DamRecord {
    /// Sections of both kinds.
    #[must_use]
    pub fn sections(&self) -> u32 {
        self.planned_sections + self.emergency_sections
    }
}

/// The record of each dam that has a litter.
#[must_use]
pub fn dams(litters: &[DamLitter]) -> BTreeMap<Id, DamRecord> {
    let mut ordered: Vec<&DamLitter> = litters.iter().collect();
    ordered.sort_by_key(|litter| litter.on);
    let mut dams: BTreeMap<Id, DamRecord> = BTreeMap::new();
    for DamLitter {
        dam,
        on,
        section,
        born,
        live_born,
        raised,
        adhesions,
    } in ordered
    {
        let record = dams.entry(dam.clone()).or_default();
        record.litters += 1;
        match section {
            Some(SectionKind::Planned) => record.planned_sections += 1,
            Some(SectionKind::Emergency) => record.emergency_sections += 1,
            None => {}
        }
        record.first = record.first.or(Some(*on));
        record.latest = Some(*on);
        record.born += born;
        record.live_born += live_born;
        if let Some(raised) = raised {
            record.raised += raised;
            record.raised_of_born += born;
        } else {
            record.raised_unknown += 1;
        }
        record
            .adhesions
            .extend(adhesions.iter().map(|note| (*on, note.clone())));
    }
    dams
}

#[cfg(test)]
mod tests {
    use super::*;

    fn litter(
        dam: &str,
        on: &str,
        section: Option<SectionKind>,
        born: u32,
        raised: Option<u32>,
        adhesions: Option<&str>,
    ) -> DamLitter {
        let (dam, on) = (dam.parse().unwrap(), on.parse().unwrap());
        DamLitter {
            dam,
            on,
            section,
            born,
            live_born: born - 1,
            raised,
            adhesions: adhesions.map(str::to_owned),
        }
    }

    #[test]
    fn each_dam_has_her_litters_in_the_order_of_time() {
        let litters = [
            litter(
                "juno",
                "2026-10-05",
                Some(SectionKind::Planned),
                5,
                None,
                Some("few, at the left horn"),
            ),
            litter("tansy", "2025-01-01", None, 4, Some(3), None),
            litter(
                "juno",
                "2024-03-01",
                Some(SectionKind::Emergency),
                6,
                Some(4),
                Some("none"),
            ),
            litter("juno", "2025-04-01", None, 4, Some(3), None),
        ];
        let dams = dams(&litters);
        let juno = &dams["juno"];
        assert_eq!(
            (
                juno.litters,
                juno.sections(),
                juno.planned_sections,
                juno.emergency_sections
            ),
            (3, 2, 1, 1)
        );
        assert_eq!((juno.born, juno.live_born), (15, 12));
        assert_eq!(
            (juno.raised, juno.raised_of_born, juno.raised_unknown),
            (7, 10, 1),
            "the litter of this week is not counted as lost"
        );
        assert_eq!(
            juno.adhesions
                .iter()
                .map(|(on, note)| (on.to_string(), note.as_str()))
                .collect::<Vec<_>>(),
            [
                ("2024-03-01".to_owned(), "none"),
                ("2026-10-05".to_owned(), "few, at the left horn")
            ]
        );
        assert_eq!(
            (juno.first, juno.latest),
            (
                Some("2024-03-01".parse().unwrap()),
                Some("2026-10-05".parse().unwrap())
            )
        );
        assert_eq!((dams["tansy"].litters, dams["tansy"].sections()), (1, 0));
        assert!(super::dams(&[]).is_empty());
    }
}
