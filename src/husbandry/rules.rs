//! What the law of a region or the rules of a registry ask of breeding and selling, and how one
//! mating or litter stands beside it.
//!
//! In: plain values of one mating ([`Mating`]); what an advert shows and what a litter's record
//! holds. Out: a [`Verdict`] for each rule, with its figures, its source, the month in which we
//! read it, how sure we are, and whom to check with; and the advert fields and record entries that
//! are still missing. Never advice on law, and never a complete law: each book says in
//! [`RuleBook::gaps`] what it leaves out. What is not known is never taken to be in order: a
//! missing date gives [`Compliance::CannotTell`]. Rules change; a book that was read long ago
//! should be read again before anybody leans on it.

mod compare;
mod data;
mod keepers;
mod litter;
mod mating;
mod relation;
mod required_entries;
mod verdict;

pub use compare::compare;
pub use keepers::{Detail, NewKeeper, new_keeper};
pub use litter::{Missing, MissingAdvert, RuleBookFigures, books, leaving_age, of_litter, of_pair};
pub use mating::{Chips, EarlierLitter, Mating};
pub use relation::{Kinship, Relation, kinship, relation};
pub use required_entries::{
    AdvertFact, AdvertField, AdvertItem, LitterHas, MissingEntry, MissingShown, PaperStage,
    PuppyHas, RecordField, RecordItem, Scope, missing_in_advert, missing_in_record,
};
pub use verdict::{Compliance, Event, EventDays, Parent, Seen, Unknown, Verdict};

/// Shown wherever verdicts are shown.
pub const CAUTION: &str = "These are notes on what we read, not advice on the law. Laws and \
                           registry rules change, have exceptions, and say more than is listed \
                           here. Check with the authority named beside each rule before you \
                           decide anything.";

use crate::quantity::Day;
use crate::records::kennel::is_one_of;
use chrono::Datelike;

/// How sure we are of a rule.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Sure {
    /// Read in the law, or on a page of the authority or registry that makes or applies the rule.
    ReadInSource,
    /// Read where somebody else quotes or summarises it.
    SecondHand,
    /// Recalled, not read.
    FromMemory,
}

/// Where a rule comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct RuleSource {
    /// The law or regulation with its year or version, and the place in it.
    pub text: &'static str,
    /// When we read it, or recalled what we had not read.
    pub read: MonthRead,
    /// How sure we are.
    pub sure: Sure,
}

/// The month in which something was read.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct MonthRead {
    /// Year.
    pub year: i32,
    /// Month, 1 to 12.
    pub month: u32,
}

impl MonthRead {
    /// Years after which a rule is to be read again before anybody leans on it. Ours.
    pub const GOOD_FOR: i32 = 2;

    /// Whether more than [`MonthRead::GOOD_FOR`] years have passed on a day; the month itself still
    /// counts.
    #[must_use]
    pub fn is_old(self, today: Day) -> bool {
        let date = today.date();
        (date.year(), date.month()) > (self.year + Self::GOOD_FOR, self.month)
    }
}

impl std::fmt::Display for MonthRead {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{:04}-{:02}", self.year, self.month)
    }
}

/// Who made the rules.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum RuleMaker {
    /// The law of a country or a part of it.
    Law,
    /// A breed registry: it binds those who register with it.
    Registry,
}

/// An upper age.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Oldest {
    /// Calendar months from birth.
    pub months: u32,
    /// Whether the day on which that age is reached is still allowed ("not after the day on which
    /// she is 96 months old") or not ("not if aged 8 or more").
    pub on_the_day: bool,
}

impl Oldest {
    const fn before(months: u32) -> Self {
        Self {
            months,
            on_the_day: false,
        }
    }

    const fn through(months: u32) -> Self {
        Self {
            months,
            on_the_day: true,
        }
    }
}

/// Which dams an upper age is meant for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Dams {
    /// Every dam.
    All,
    /// Dams that had no litter before.
    WithoutEarlierLitter,
    /// Dams that had one.
    WithEarlierLitter,
}

/// What one rule asks for. Ages are calendar ages: 12 months are reached on the birthday.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Limit {
    /// Least age of the dam at her first mating for the litter; the day on which she reaches it is
    /// allowed.
    DamYoungestAtMating {
        /// Calendar months.
        months: u32,
    },
    /// Upper age of the dam at her last mating for the litter.
    DamOldestAtMating(Oldest, Dams),
    /// Upper age of the dam when the litter is born.
    DamOldestAtWhelping(Oldest),
    /// Least age of the sire at the first mating.
    SireYoungestAtMating {
        /// Calendar months.
        months: u32,
    },
    /// Upper age of the sire at the last mating.
    SireOldestAtMating(Oldest),
    /// Most litters of one dam, this one included.
    LittersInLife {
        /// Litters.
        most: u8,
    },
    /// Most litters of one dam that were delivered by section, this one included if it is one.
    SectionsInLife {
        /// Litters by section.
        most: u8,
    },
    /// No mating once the dam has had this many litters by section, however this litter is
    /// delivered.
    NoMatingAfterSections {
        /// Litters by section before this one.
        sections: u8,
    },
    /// No mating once the dam has had a section that was needed because of her build or her
    /// puppies'.
    NoMatingAfterSectionForBuild,
    /// Least time between the births of two litters of one dam, from birth to birth; the day on
    /// which it is full is allowed.
    MonthsBetweenBirths {
        /// Calendar months.
        months: u32,
    },
    /// No mating of relations this close.
    NoCloseMating {
        /// The relations that are meant.
        relations: &'static [Relation],
    },
    /// Least age at which a puppy leaves; the day of birth is day 0, so 8 weeks are day 56.
    YoungestLeavingAge {
        /// Days.
        days: u16,
        /// The text says "over": whether that very day counts is open.
        over: bool,
    },
    /// A chip in each puppy by this age.
    ChipBy {
        /// Days.
        days: u16,
    },
    /// A chip in each puppy before it leaves.
    ChipBeforeLeaving,
}

/// Of whom a rule speaks.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Subject {
    /// The dam alone, whoever is the sire.
    Dam,
    /// The sire, or both.
    Both,
    /// The puppies.
    Puppies,
}

impl Limit {
    /// Of whom the rule speaks.
    #[must_use]
    pub fn about(self) -> Subject {
        match self {
            Self::DamYoungestAtMating { .. }
            | Self::DamOldestAtMating(..)
            | Self::DamOldestAtWhelping(_)
            | Self::LittersInLife { .. }
            | Self::SectionsInLife { .. }
            | Self::NoMatingAfterSections { .. }
            | Self::NoMatingAfterSectionForBuild
            | Self::MonthsBetweenBirths { .. } => Subject::Dam,
            Self::SireYoungestAtMating { .. }
            | Self::SireOldestAtMating(_)
            | Self::NoCloseMating { .. } => Subject::Both,
            Self::YoungestLeavingAge { .. } | Self::ChipBy { .. } | Self::ChipBeforeLeaving => {
                Subject::Puppies
            }
        }
    }
}

/// One rule.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Rule {
    /// Stable name, the same for ever, such as `scotland-litters-in-life`.
    pub id: &'static str,
    /// What it asks for.
    pub limit: Limit,
    /// Exceptions, and how we read words that can be read two ways; may be empty.
    pub note: &'static str,
    /// Where it comes from.
    pub source: RuleSource,
}

/// How long records are kept.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Keep {
    /// Years.
    pub years: u8,
    /// From when they count, in words; may be empty.
    pub after: &'static str,
    /// Where it comes from.
    pub source: RuleSource,
}

/// The rules of one region or registry.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct RuleBook {
    /// Stable name, such as `scotland` or `the-kennel-club`.
    pub id: &'static str,
    /// Law or registry.
    pub kind: RuleMaker,
    /// ISO 3166-1 code of the country; for a registry the country it is at home in.
    pub country: &'static str,
    /// Whether the book is for a part of the country only: then the kennel's `region` has to be
    /// `id` or one of `also`.
    pub part: bool,
    /// Other names: ISO 3166-2 codes of a region, short names of a registry; small letters, digits
    /// and `-`.
    pub also: &'static [&'static str],
    /// Name to print.
    pub name: &'static str,
    /// Whom it is meant for, as far as we read it.
    pub applies_to: &'static str,
    /// Whom to check with.
    pub check_with: &'static str,
    /// The rules about mating, litters, leaving and chips.
    pub rules: &'static [Rule],
    /// What a public advert shows.
    pub advert: &'static [AdvertItem],
    /// What the record of a litter holds.
    pub litter_record: &'static [RecordItem],
    /// How long records are kept.
    pub keep: Option<Keep>,
    /// What we know that this book leaves out; may be empty, and even then it is not complete.
    pub gaps: &'static str,
}

impl RuleBook {
    /// Least age at which a puppy leaves, in days, with its source.
    #[must_use]
    pub fn leaving_days(&self) -> Option<(u16, RuleSource)> {
        self.rules.iter().find_map(|rule| match rule.limit {
            Limit::YoungestLeavingAge { days, .. } => Some((days, rule.source)),
            _ => None,
        })
    }

    /// Age by which puppies have a chip, in days, with its source.
    #[must_use]
    pub fn chip_days(&self) -> Option<(u16, RuleSource)> {
        self.rules.iter().find_map(|rule| match rule.limit {
            Limit::ChipBy { days } => Some((days, rule.source)),
            _ => None,
        })
    }

    fn is_called(&self, name: &str) -> bool {
        is_one_of(
            name,
            std::iter::once(self.id).chain(self.also.iter().copied()),
        )
    }
}

/// All books: laws first, then registries.
#[must_use]
pub fn all() -> &'static [RuleBook] {
    &data::ALL
}

/// The book with this stable name.
#[must_use]
pub fn by_id(id: &str) -> Option<&'static RuleBook> {
    all().iter().find(|book| book.id == id)
}

/// The books that a kennel should look at: the law of its country and region, and the registries by
/// which its dogs are registered.
///
/// `country` is an ISO 3166-1 code (`UK` is taken for `GB`), `region` a name or an ISO 3166-2 code,
/// `registries` are names as they stand in the dogs' records; capitals and spaces do not matter. A
/// name that is not known gives no book. Without a region only books for the whole country are
/// given.
#[must_use]
pub fn books_for(
    country: &str,
    region: Option<&str>,
    registries: &[&str],
) -> Vec<&'static RuleBook> {
    let meant = |book: &&RuleBook| match book.kind {
        RuleMaker::Law => {
            in_country(book, country) && (!book.part || region.is_some_and(|r| book.is_called(r)))
        }
        RuleMaker::Registry => registries.iter().any(|name| book.is_called(name)),
    };
    all().iter().filter(meant).collect()
}

fn in_country(book: &RuleBook, country: &str) -> bool {
    let code = country.trim().to_ascii_uppercase();
    book.country == if code == "UK" { "GB" } else { &code }
}

#[cfg(any(test, feature = "testing"))]
pub mod samples;
#[cfg(test)]
mod tests;
