//! For tests: matings of which nothing, everything and the worst is known.

#![allow(clippy::missing_panics_doc, reason = "for tests alone")]

use super::{Chips, EarlierLitter, Kinship, Mating, Relation, Verdict, all, compare};
use crate::testing::day;

/// Nothing is known but the leaving age.
#[must_use]
pub fn nothing_known() -> Mating {
    Mating {
        today: day("2026-10-09"),
        mated: Vec::new(),
        thought_of: None,
        whelped: None,
        due: None,
        dam_born: None,
        sire_born: None,
        earlier: Vec::new(),
        all_earlier_known: false,
        by_section: None,
        kinship: Kinship::default(),
        leaving_days: 56,
        chips: Chips::default(),
    }
}

/// Puppies of a litter, by chip.
#[must_use]
pub fn chips(chipped: u32, here_without: u32, left_without: u32) -> Chips {
    Chips {
        chipped,
        here_without,
        left_without,
    }
}

/// Everything is known and within every book: unrelated parents in their prime, one litter long
/// ago, five chipped puppies, gone at twelve weeks.
#[must_use]
pub fn ordinary() -> Mating {
    Mating {
        today: day("2026-10-09"),
        mated: vec![day("2026-05-01"), day("2026-05-03")],
        thought_of: None,
        whelped: Some(day("2026-07-04")),
        due: None,
        dam_born: Some(day("2022-02-27")),
        sire_born: Some(day("2020-06-15")),
        earlier: vec![natural("2025-01-10")],
        all_earlier_known: true,
        by_section: Some(false),
        kinship: Kinship {
            found: Vec::new(),
            ruled_out: Relation::ALL.to_vec(),
        },
        leaving_days: 84,
        chips: chips(5, 0, 0),
    }
}

/// A litter born without a section.
#[must_use]
pub fn natural(born: &str) -> EarlierLitter {
    EarlierLitter {
        born: day(born),
        section: false,
        for_build: None,
    }
}

/// A litter born by section; `for_build` says whether it was for the build of dam or puppies.
#[must_use]
pub fn section(born: &str, for_build: Option<bool>) -> EarlierLitter {
    EarlierLitter {
        born: day(born),
        section: true,
        for_build,
    }
}

/// What the only rule of this name says of a mating.
#[must_use]
pub fn verdict(rule: &str, mating: &Mating) -> Verdict {
    let found: Vec<Verdict> = all()
        .iter()
        .flat_map(|book| compare(book, mating))
        .filter(|v| v.rule.id == rule)
        .collect();
    assert_eq!(found.len(), 1, "{rule} should speak once: {found:?}");
    found[0].clone()
}

/// A mating that is beyond nearly every rule.
#[must_use]
pub fn worst() -> Mating {
    Mating {
        mated: vec![day("2026-05-01")],
        whelped: Some(day("2026-07-04")),
        dam_born: Some(day("2012-01-01")),
        sire_born: Some(day("2026-04-01")),
        earlier: (0..8)
            .map(|n| section(&format!("{}-01-10", 2026 - n), Some(true)))
            .collect(),
        by_section: Some(true),
        kinship: Kinship {
            found: Relation::ALL.to_vec(),
            ruled_out: Vec::new(),
        },
        leaving_days: 40,
        chips: chips(1, 2, 2),
        ..ordinary()
    }
}
