//! The books: what we read of laws and registry rules, as data.
//!
//! In: nothing. Out: [`ALL`], laws first. Each rule names its law with year or version, the month
//! of our reading, and how sure we are. A rule that we are not sure of is not here; one that we
//! remember and did not read says so. Nor is the
//! European Union's regulation on dogs and cats (COM(2023)769): a provisional agreement was reached
//! in November 2025, and it has to be read again, as law, before anything of it is shown. Where
//! sources differ the note says so, and the comparison does not decide between them.
//!
//! A new book is a constant in the file of its part of the world and a row in [`ALL`]; a region
//! also stands with its names in `records::kennel::REGIONS`, and a new country in `country()` of
//! `audience/visitor/advert.rs` and in `NAMES` of `records/checks/sharing.rs`.

mod america;
mod australia;
mod europe;
mod keepers;
mod registries;
mod united_kingdom;

pub(super) use keepers::NEW_KEEPERS;

use super::{
    AdvertField, AdvertItem, Limit, MonthRead, RecordField, RecordItem, Rule, RuleBook, RuleMaker,
    RuleSource, Sure,
};

/// The month of our reading.
const READ: MonthRead = MonthRead {
    year: 2026,
    month: 11,
};

/// All books: laws first, then registries.
pub(super) static ALL: [RuleBook; 22] = [
    united_kingdom::ENGLAND,
    united_kingdom::SCOTLAND,
    united_kingdom::WALES,
    united_kingdom::NORTHERN_IRELAND,
    europe::NETHERLANDS,
    europe::GERMANY,
    europe::FRANCE,
    america::UNITED_STATES,
    america::CALIFORNIA,
    america::NEVADA,
    america::NEW_YORK,
    america::TEXAS,
    america::VIRGINIA,
    america::WISCONSIN,
    australia::NEW_SOUTH_WALES,
    australia::QUEENSLAND,
    australia::VICTORIA,
    registries::THE_KENNEL_CLUB,
    registries::AKC,
    registries::RAAD_VAN_BEHEER,
    registries::DOGS_VICTORIA,
    registries::FCI,
];

/// Read in the law, or on a page of the authority or registry that makes or applies the rule.
const fn read(text: &'static str) -> RuleSource {
    RuleSource {
        text,
        read: READ,
        sure: Sure::ReadInSource,
    }
}

/// Read where somebody else quotes or summarises it.
const fn second_hand(text: &'static str) -> RuleSource {
    RuleSource {
        text,
        read: READ,
        sure: Sure::SecondHand,
    }
}

/// Recalled and not read.
const fn recalled(text: &'static str) -> RuleSource {
    RuleSource {
        text,
        read: READ,
        sure: Sure::FromMemory,
    }
}

/// A law that nothing is known of: what every book of a law begins with.
const LAW: RuleBook = RuleBook {
    id: "",
    kind: RuleMaker::Law,
    country: "",
    part: false,
    also: &[],
    name: "",
    applies_to: "",
    check_with: "",
    rules: &[],
    advert: &[],
    litter_record: &[],
    keep: None,
    gaps: "",
};

/// The same of a registry.
const REGISTRY: RuleBook = RuleBook {
    kind: RuleMaker::Registry,
    applies_to: "those who register a litter there",
    ..LAW
};

const fn rule(id: &'static str, limit: Limit, source: RuleSource) -> Rule {
    Rule {
        id,
        limit,
        note: "",
        source,
    }
}

impl Rule {
    const fn noting(self, note: &'static str) -> Self {
        Self { note, ..self }
    }
}

const fn shows(field: AdvertField, source: RuleSource) -> AdvertItem {
    AdvertItem { field, source }
}

/// Fields of adverts with one source.
const fn showing<const N: usize>(source: RuleSource, fields: [AdvertField; N]) -> [AdvertItem; N] {
    let mut items = [shows(fields[0], source); N];
    let mut i = 1;
    while i < N {
        items[i].field = fields[i];
        i += 1;
    }
    items
}

/// Fields of records with one source.
const fn holding<const N: usize>(source: RuleSource, fields: [RecordField; N]) -> [RecordItem; N] {
    let field = fields[0];
    let mut items = [RecordItem { field, source }; N];
    let mut i = 1;
    while i < N {
        items[i].field = fields[i];
        i += 1;
    }
    items
}
