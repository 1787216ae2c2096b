//! What is known of one mating and the litter from it, as plain values.
//!
//! In: whatever the records hold, put here by the caller. Out: [`Mating`], which
//! [`compare`](super::compare()) reads. It depends on no record file, and an empty field means that
//! nobody knows.

use super::Kinship;
use crate::quantity::Day;

/// A litter that the same dam had before.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct EarlierLitter {
    /// Day of birth.
    pub born: Day,
    /// Whether it was delivered by section.
    pub section: bool,
    /// Whether the section was needed because of the build of the dam or her puppies; nothing when
    /// that is not recorded.
    pub for_build: Option<bool>,
}

/// Chips of the living puppies of a litter.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Chips {
    /// Puppies with a chip number in the records, wherever they live.
    pub chipped: u32,
    /// Puppies that are still here and have none.
    pub here_without: u32,
    /// Puppies that have left and have none in the records.
    pub left_without: u32,
}

/// What is known of a mating and the litter from it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Mating {
    /// The day to which puppies' ages are counted.
    pub today: Day,
    /// Days of mating or insemination, in any order; may be empty.
    pub mated: Vec<Day>,
    /// First and last day on which a mating is thought of that has not been.
    pub thought_of: Option<(Day, Day)>,
    /// Day on which the litter was born.
    pub whelped: Option<Day>,
    /// First and last day on which it is due, while it is expected; without it the days are
    /// counted from mating.
    pub due: Option<(Day, Day)>,
    /// The dam's date of birth.
    pub dam_born: Option<Day>,
    /// The sire's date of birth.
    pub sire_born: Option<Day>,
    /// Litters of the same dam before this one, in any order.
    pub earlier: Vec<EarlierLitter>,
    /// Whether `earlier` is known to hold all of them. When it is not, those that are missing are
    /// taken to be older than the oldest one recorded.
    pub all_earlier_known: bool,
    /// Whether this litter is delivered, or planned to be delivered, by section; nothing when
    /// nobody knows yet.
    pub by_section: Option<bool>,
    /// How sire and dam are related.
    pub kinship: Kinship,
    /// Age from which the kennel lets puppies go, days.
    pub leaving_days: u16,
    /// The puppies' chips.
    pub chips: Chips,
}
