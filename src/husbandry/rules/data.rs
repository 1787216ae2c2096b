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
    AdvertField, AdvertItem, MonthRead, RecordField, RecordItem, RuleBook, RuleSource, Sure,
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

const fn shows(field: AdvertField, source: RuleSource) -> AdvertItem {
    AdvertItem { field, source }
}

const fn holds(field: RecordField, source: RuleSource) -> RecordItem {
    RecordItem { field, source }
}
