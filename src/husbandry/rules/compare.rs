//! One mating or litter beside the rules of one book.
//!
//! In: a book and a [`Mating`]. Out: a [`Verdict`] for each rule that has something to say. A day
//! that is not recorded is taken as a span of days: whelping is expected 55 to 72 days after
//! mating, and a mating that nobody wrote down is counted back by as much (Pontikaki and others,
//! Hellenic J Companion Anim Med 13(1)). Only when the whole span lies on one side of a limit is
//! that said; otherwise it cannot be told. Birthdays are those of the calendar, and where a month
//! has no such day (29 February) the doubt is said.

mod dates;

use super::{
    Chips, Compliance, Dams, EventDays, Limit, Mating, Oldest, Parent, Relation, RuleBook, Seen,
    Unknown, Verdict,
};
use crate::quantity::Day;
use dates::{Anniversary, anniversary};

/// What a rule has to say: how it stands, and the figures.
type RuleVerdict = (Compliance, Seen);

/// Every rule of the book that has something to say about the mating, in the book's order. A rule
/// for dams with earlier litters says nothing of a maiden bitch, and chips are not spoken of when
/// no puppy lives.
#[must_use]
pub fn compare(book: &'static RuleBook, mating: &Mating) -> Vec<Verdict> {
    compare_some(book, mating, |_| true)
}

/// The same with some of its rules alone.
pub(super) fn compare_some(
    book: &'static RuleBook,
    mating: &Mating,
    wanted: impl Fn(Limit) -> bool,
) -> Vec<Verdict> {
    let verdict = |rule: &'static super::Rule| {
        let (state, seen) = judge(rule.limit, mating)?;
        Some(Verdict {
            book,
            rule,
            state,
            seen,
        })
    };
    book.rules
        .iter()
        .filter(|rule| wanted(rule.limit))
        .filter_map(verdict)
        .collect()
}

fn judge(limit: Limit, mating: &Mating) -> Option<RuleVerdict> {
    let dam = (Parent::Dam, mating.dam_born);
    let sire = (Parent::Sire, mating.sire_born);
    let first = || EventDays::first_mating(mating);
    let last = || EventDays::last_mating(mating);
    Some(match limit {
        Limit::DamYoungestAtMating { months } => youngest(dam, first(), months),
        Limit::SireYoungestAtMating { months } => youngest(sire, first(), months),
        Limit::DamOldestAtMating(age, dams) => {
            return of_these_dams(dams, mating, oldest(dam, last(), age));
        }
        Limit::SireOldestAtMating(age) => oldest(sire, last(), age),
        Limit::DamOldestAtWhelping(age) => oldest(dam, EventDays::whelping(mating), age),
        Limit::LittersInLife { most } => litters(mating, usize::from(most)),
        Limit::SectionsInLife { most } => sections_in_life(mating, usize::from(most)),
        Limit::NoMatingAfterSections { sections } => after_sections(mating, usize::from(sections)),
        Limit::NoMatingAfterSectionForBuild => after_section_for_build(mating),
        Limit::MonthsBetweenBirths { months } => between_births(mating, months),
        Limit::NoCloseMating { relations } => close_mating(mating, relations),
        Limit::YoungestLeavingAge { days, over } => leaving(mating.leaving_days, days, over),
        Limit::ChipBy { days } => return chip_by(mating, days),
        Limit::ChipBeforeLeaving => return chip_before_leaving(mating),
    })
}

/// The age of a parent, as far as it is known.
fn aged(parent: Parent, event: Option<EventDays>, reached: Option<Day>) -> Seen {
    Seen::Age {
        parent,
        event,
        reached,
    }
}

fn youngest(
    who: (Parent, Option<Day>),
    when: Result<EventDays, Unknown>,
    months: u32,
) -> RuleVerdict {
    by_age(who, when, months, EventDays::not_before)
}

fn oldest(
    who: (Parent, Option<Day>),
    when: Result<EventDays, Unknown>,
    age: Oldest,
) -> RuleVerdict {
    by_age(who, when, age.months, |when, day| {
        when.before(day, age.on_the_day)
    })
}

fn by_age(
    (parent, born): (Parent, Option<Day>),
    when: Result<EventDays, Unknown>,
    months: u32,
    judge: impl Fn(&EventDays, &Anniversary) -> Compliance,
) -> RuleVerdict {
    let when = match when {
        Ok(when) => when,
        Err(missing) => return (Compliance::CannotTell(missing), aged(parent, None, None)),
    };
    match anniversary(parent, born, &when, months) {
        Ok(day) => (
            judge(&when, &day),
            aged(parent, Some(when), Some(day.early)),
        ),
        Err(missing) => (
            Compliance::CannotTell(missing),
            aged(parent, Some(when), None),
        ),
    }
}

/// Nothing where the rule is meant for other dams; and where it is open whether she is one of them,
/// only what would hold either way.
fn of_these_dams(dams: Dams, mating: &Mating, (state, seen): RuleVerdict) -> Option<RuleVerdict> {
    let maiden_as_recorded = mating.earlier.is_empty();
    let (meant, open) = match dams {
        Dams::All => (true, false),
        Dams::WithoutEarlierLitter => (maiden_as_recorded, !mating.all_earlier_known),
        Dams::WithEarlierLitter => (
            !maiden_as_recorded || !mating.all_earlier_known,
            maiden_as_recorded,
        ),
    };
    if !meant {
        return None;
    }
    let state = if open && state == Compliance::Beyond {
        Compliance::CannotTell(Unknown::OtherLitters)
    } else {
        state
    };
    Some((state, seen))
}

/// `within` stands only when all earlier litters are known.
fn if_all_known(mating: &Mating, within: Compliance) -> Compliance {
    if mating.all_earlier_known {
        within
    } else {
        Compliance::CannotTell(Unknown::OtherLitters)
    }
}

fn litters(mating: &Mating, most: usize) -> RuleVerdict {
    let this = mating.earlier.len() + 1;
    let state = if this > most {
        Compliance::Beyond
    } else {
        if_all_known(mating, Compliance::Within)
    };
    (state, Seen::Litters(this))
}

fn sections_before(mating: &Mating) -> usize {
    mating
        .earlier
        .iter()
        .filter(|litter| litter.section)
        .count()
}

fn sections_in_life(mating: &Mating, most: usize) -> RuleVerdict {
    let before = sections_before(mating);
    let state = match mating.by_section {
        _ if before > most => Compliance::Beyond,
        Some(true) if before + 1 > most => Compliance::Beyond,
        None if before + 1 > most => Compliance::CannotTell(Unknown::ThisBySection),
        _ => if_all_known(mating, Compliance::Within),
    };
    let this = mating.by_section == Some(true);
    (state, Seen::Sections { before, this })
}

fn after_sections(mating: &Mating, most: usize) -> RuleVerdict {
    let before = sections_before(mating);
    let state = if before >= most {
        Compliance::Beyond
    } else {
        if_all_known(mating, Compliance::Within)
    };
    let this = before < most && mating.by_section == Some(true) && before + 1 >= most;
    (state, Seen::Sections { before, this })
}

fn after_section_for_build(mating: &Mating) -> RuleVerdict {
    let mut sections = mating.earlier.iter().filter(|litter| litter.section);
    let state = if sections
        .clone()
        .any(|litter| litter.for_build == Some(true))
    {
        Compliance::Beyond
    } else if sections.any(|litter| litter.for_build.is_none()) {
        Compliance::CannotTell(Unknown::ForBuild)
    } else {
        if_all_known(mating, Compliance::Within)
    };
    let (before, this) = (sections_before(mating), false);
    (state, Seen::Sections { before, this })
}

fn between_births(mating: &Mating, months: u32) -> RuleVerdict {
    let Some(before) = mating.earlier.iter().map(|litter| litter.born).max() else {
        let state = if_all_known(mating, Compliance::Within);
        return (state, Seen::NoLitterBefore);
    };
    let seen = |event, full| Seen::SinceBirth {
        before,
        event,
        full,
    };
    let when = match EventDays::whelping(mating) {
        Ok(when) => when,
        Err(missing) => return (Compliance::CannotTell(missing), seen(None, None)),
    };
    match Anniversary::new(before, months).filter(|_| before < when.to) {
        Some(day) => (when.not_before(&day), seen(Some(when), Some(day.early))),
        None => (
            Compliance::CannotTell(Unknown::LitterNotBefore(before)),
            seen(Some(when), None),
        ),
    }
}

fn close_mating(mating: &Mating, relations: &[Relation]) -> RuleVerdict {
    let kinship = &mating.kinship;
    let open: Vec<Relation> = relations
        .iter()
        .copied()
        .filter(|relation| !kinship.ruled_out.contains(relation))
        .collect();
    let state = if relations
        .iter()
        .any(|relation| kinship.found.contains(relation))
    {
        Compliance::Beyond
    } else if open.is_empty() {
        Compliance::Within
    } else {
        Compliance::CannotTell(Unknown::Relations(open))
    };
    (state, Seen::Kinship(kinship.found.clone()))
}

fn leaving(ours: u16, days: u16, over: bool) -> RuleVerdict {
    let state = match ours {
        _ if ours < days => Compliance::Beyond,
        _ if ours == days && over => Compliance::CannotTell(Unknown::LeavingDay(days)),
        _ => Compliance::Within,
    };
    (state, Seen::LeavingDay(ours))
}

fn chip_by(mating: &Mating, days: u16) -> Option<RuleVerdict> {
    let Some(born) = mating.whelped else {
        return Some((Compliance::Ahead, Seen::NotBorn));
    };
    let Chips {
        chipped,
        here_without,
        left_without,
    } = mating.chips;
    let without = here_without.saturating_add(left_without);
    let all = chipped.saturating_add(without);
    if all == 0 {
        return None;
    }
    let until = born.plus(i64::from(days));
    let state = match without {
        0 => Compliance::Within,
        _ if mating.today > until => Compliance::Beyond,
        _ => Compliance::Ahead,
    };
    Some((state, Seen::ChipsBy(chipped, all, until)))
}

fn chip_before_leaving(mating: &Mating) -> Option<RuleVerdict> {
    if mating.whelped.is_none() {
        return Some((Compliance::Ahead, Seen::NotBorn));
    }
    let Chips {
        chipped,
        here_without,
        left_without,
    } = mating.chips;
    Some(match (chipped, here_without, left_without) {
        (0, 0, 0) => return None,
        (_, _, 1..) => (Compliance::Beyond, Seen::LeftWithoutChip(left_without)),
        (_, 1.., _) => (Compliance::Ahead, Seen::HereWithoutChip(here_without)),
        _ => (Compliance::Within, Seen::AllChipped(chipped)),
    })
}
