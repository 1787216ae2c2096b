//! How one mating or litter stands beside one rule, with the figures that say so.
//!
//! In: nothing. Out: [`Verdict`]. No sentence: those stand in `audience/words/rules.rs`.

use super::{Relation, Rule, RuleBook, RuleSource};
use crate::quantity::Day;

/// One rule beside one mating or litter.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Verdict {
    /// The book that the rule stands in.
    pub book: &'static RuleBook,
    /// The rule.
    pub rule: &'static Rule,
    /// How it stands.
    pub state: Compliance,
    /// What it was held against.
    pub seen: Seen,
}

impl Verdict {
    /// Where the rule comes from.
    #[must_use]
    pub fn source(&self) -> RuleSource {
        self.rule.source
    }
}

/// How a mating or litter stands beside a rule.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Compliance {
    /// As the rule asks.
    Within,
    /// Not done yet, and the day for it has not passed.
    Ahead,
    /// Not as the rule asks.
    Beyond,
    /// Something that is needed is not known.
    CannotTell(Unknown),
}

/// What is not known, so that a rule cannot be told.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Unknown {
    /// Whether she had a litter that is not in the records.
    OtherLitters,
    /// Whether this litter is delivered by section.
    ThisBySection,
    /// Whether an earlier section was needed because of the build of the dam or her puppies.
    ForBuild,
    /// The day of mating.
    Mating,
    /// The day of whelping, and that of mating to expect it from.
    Whelping,
    /// When a parent was born.
    Birth(Parent),
    /// When a parent was born: what is written is not before the event.
    BirthNotBefore(Parent, Day),
    /// When a parent was born: what is written is beyond the calendar.
    BirthBeyondCalendar(Parent),
    /// When the litter before was born: what is written is not before this one.
    LitterNotBefore(Day),
    /// Which of two days counts, as the month has no such day.
    Anniversary(Day, Day),
    /// The very day between two, on which it depends.
    DayBetween(Day, Day),
    /// Parents and grandparents enough to rule these out.
    Relations(Vec<Relation>),
    /// Whether a rule that says "over" means the day itself, counted from birth.
    LeavingDay(u16),
}

/// A parent of the litter.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Parent {
    /// The dam.
    Dam,
    /// The sire.
    Sire,
}

/// Something that happened, or will, on one day of a span; both ends are meant.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct EventDays {
    /// The first day of the span.
    pub from: Day,
    /// The last.
    pub to: Day,
    /// What happened.
    pub event: Event,
}

/// What happened, or will.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Event {
    /// A mating that is written down.
    Mated,
    /// A mating that is thought of.
    WouldMate,
    /// A mating that is counted back from whelping, fewest and most days before.
    MatedBefore(u8, u8),
    /// A whelping that is written down.
    Whelped,
    /// The whelping after a mating that is thought of.
    WouldWhelp,
    /// A whelping that is expected.
    WillWhelp,
}

/// What a rule was held against.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Seen {
    /// The age of a parent at an event.
    Age {
        /// Whose.
        parent: Parent,
        /// When; nothing where that is not known.
        event: Option<EventDays>,
        /// The day on which the age of the rule is reached.
        reached: Option<Day>,
    },
    /// The litters of the dam so far, this one included.
    Litters(usize),
    /// Her litters by section.
    Sections {
        /// Before this one.
        before: usize,
        /// Whether this one counts as well, or makes the number full.
        this: bool,
    },
    /// Nothing, as she had no litter before.
    NoLitterBefore,
    /// The time since her litter before.
    SinceBirth {
        /// When that was born.
        before: Day,
        /// When this one was or will be; nothing where that is not known.
        event: Option<EventDays>,
        /// When the time of the rule is full; nothing where the days cannot be right.
        full: Option<Day>,
    },
    /// How sire and dam are related, the closest first.
    Kinship(Vec<Relation>),
    /// The day from which puppies leave, counted from birth.
    LeavingDay(u16),
    /// No puppy, as the litter is not born yet.
    NotBorn,
    /// How many puppies have a chip number, of how many, and until when all should.
    ChipsBy(u32, u32, Day),
    /// How many left without a chip number.
    LeftWithoutChip(u32),
    /// How many are here without one.
    HereWithoutChip(u32),
    /// How many have one; none is without.
    AllChipped(u32),
}
