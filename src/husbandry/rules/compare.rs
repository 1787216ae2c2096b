//! One mating or litter beside the rules of one book.
//!
//! In: a book and a [`Mating`]. Out: a [`Verdict`] for each rule that has something to say. A day
//! that is not recorded is taken as a span of days: whelping is expected 55 to 72 days after
//! mating, and a mating that nobody wrote down is counted back by as much (Pontikaki and others,
//! Hellenic J Companion Anim Med 13(1)). Only when the whole span lies on one side of a limit is
//! that said; otherwise it cannot be told. Birthdays are those of the calendar, and where a month
//! has no such day (29 February) the doubt is said.

mod dates;

use super::{Chips, Compliance, Dams, Limit, Mating, Oldest, Relation, RuleBook, Verdict};
use crate::quantity::Day;
use dates::{Anniversary, EventDays, anniversary, span};

/// What a rule has to say: how it stands, and the words.
type Finding = (Compliance, String);

/// Every rule of the book that has something to say about the mating, in the book's order. A rule
/// for dams with earlier litters says nothing of a maiden bitch, and chips are not spoken of when
/// no puppy lives.
#[must_use]
pub fn compare(book: &RuleBook, mating: &Mating) -> Vec<Verdict> {
    compare_some(book, mating, |_| true)
}

/// The same with some of its rules alone.
pub(super) fn compare_some(
    book: &RuleBook,
    mating: &Mating,
    wanted: impl Fn(Limit) -> bool,
) -> Vec<Verdict> {
    let verdict = |rule: &super::Rule| {
        let (state, what) = judge(rule.limit, mating)?;
        Some(Verdict {
            book: book.id,
            rule: rule.id,
            state,
            what,
            note: rule.note,
            source: rule.source,
            check_with: book.check_with,
        })
    };
    book.rules
        .iter()
        .filter(|rule| wanted(rule.limit))
        .filter_map(verdict)
        .collect()
}

fn judge(limit: Limit, mating: &Mating) -> Option<Finding> {
    let dam = ("the dam", mating.dam_born);
    let sire = ("the sire", mating.sire_born);
    let first = || EventDays::first_mating(mating);
    let last = || EventDays::last_mating(mating);
    Some(match limit {
        Limit::DamYoungestAtMating { months } => youngest(dam, first(), months),
        Limit::SireYoungestAtMating { months } => youngest(sire, first(), months),
        Limit::DamOldestAtMating(age, dams) => {
            return of_these_dams(dams, mating, oldest(dam, "mating", last(), age));
        }
        Limit::SireOldestAtMating(age) => oldest(sire, "mating", last(), age),
        Limit::DamOldestAtWhelping(age) => {
            oldest(dam, "whelping", EventDays::whelping(mating), age)
        }
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

fn cannot_tell(missing: impl Into<String>) -> Compliance {
    Compliance::CannotTell {
        missing: missing.into(),
    }
}

fn youngest(
    (who, born): (&str, Option<Day>),
    when: Result<EventDays, &'static str>,
    months: u32,
) -> Finding {
    let asks = format!("the rule asks for at least {} at mating", span(months));
    let when = match when {
        Ok(when) => when,
        Err(missing) => return (cannot_tell(missing), asks),
    };
    match anniversary(who, born, &when, months) {
        Ok(day) => (
            when.not_before(&day),
            format!(
                "{who} {} and reaches {} on {}; {asks}",
                when.event,
                span(months),
                day.early
            ),
        ),
        Err(missing) => (
            cannot_tell(missing),
            format!("{who} {}; {asks}", when.event),
        ),
    }
}

fn oldest(
    (who, born): (&str, Option<Day>),
    at: &str,
    when: Result<EventDays, &'static str>,
    age: Oldest,
) -> Finding {
    let side = if age.on_the_day {
        "no later than the day on which"
    } else {
        "before"
    };
    let asks = format!(
        "the rule asks for {at} {side} {who} is {} old",
        span(age.months)
    );
    let when = match when {
        Ok(when) => when,
        Err(missing) => return (cannot_tell(missing), asks),
    };
    let judged = |months| {
        anniversary(who, born, &when, months).map(|day| (when.before(&day, age.on_the_day), day))
    };
    match (judged(age.months), age.or.map(judged)) {
        (Err(missing), _) | (_, Some(Err(missing))) => (
            cannot_tell(missing),
            format!("{who} {}; {asks}", when.event),
        ),
        (Ok((state, day)), other) => {
            let what = format!(
                "{who} {} and reaches {} on {}; {asks}",
                when.event,
                span(age.months),
                day.early
            );
            match (age.or, other) {
                (Some(months), Some(Ok((another, _)))) if another != state => {
                    let missing = format!(
                        "which figure is in force: {} or {}",
                        span(age.months),
                        span(months)
                    );
                    (cannot_tell(missing), what)
                }
                _ => (state, what),
            }
        }
    }
}

/// Nothing where the rule is meant for other dams; and where it is open whether she is one of them,
/// only what would hold either way.
fn of_these_dams(dams: Dams, mating: &Mating, (state, what): Finding) -> Option<Finding> {
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
        cannot_tell("whether she had a litter that is not in the records")
    } else {
        state
    };
    Some((state, what))
}

/// `within` stands only when all earlier litters are known.
fn if_all_known(mating: &Mating, within: Compliance) -> Compliance {
    if mating.all_earlier_known {
        within
    } else {
        cannot_tell("whether she had a litter that is not in the records")
    }
}

fn litters(mating: &Mating, most: usize) -> Finding {
    let this = mating.earlier.len() + 1;
    let state = if this > most {
        Compliance::Beyond
    } else {
        if_all_known(mating, Compliance::Within)
    };
    (
        state,
        format!(
            "{} of this dam in the records; the rule asks for at most {most} in her life",
            nth_litter(this)
        ),
    )
}

fn sections_before(mating: &Mating) -> usize {
    mating
        .earlier
        .iter()
        .filter(|litter| litter.section)
        .count()
}

fn sections_in_life(mating: &Mating, most: usize) -> Finding {
    let before = sections_before(mating);
    let asks = format!("the rule asks for at most {most} in her life");
    let state = match mating.by_section {
        _ if before > most => Compliance::Beyond,
        Some(true) if before + 1 > most => Compliance::Beyond,
        None if before + 1 > most => cannot_tell("whether this litter is delivered by section"),
        _ => if_all_known(mating, Compliance::Within),
    };
    let this = if mating.by_section == Some(true) {
        ", and this litter is one more"
    } else {
        ""
    };
    (
        state,
        format!(
            "{} before this one{this}; {asks}",
            count(before, "litter by section", "litters by section")
        ),
    )
}

fn after_sections(mating: &Mating, most: usize) -> Finding {
    let before = sections_before(mating);
    let state = if before >= most {
        Compliance::Beyond
    } else {
        if_all_known(mating, Compliance::Within)
    };
    let last = if before < most && mating.by_section == Some(true) && before + 1 >= most {
        ", and this one makes it full"
    } else {
        ""
    };
    let litters = count(before, "litter by section", "litters by section");
    (
        state,
        format!(
            "{litters} before this one{last}; the rule asks for no further mating after {most}"
        ),
    )
}

fn after_section_for_build(mating: &Mating) -> Finding {
    let sections = || mating.earlier.iter().filter(|litter| litter.section);
    let state = if sections().any(|litter| litter.for_build == Some(true)) {
        Compliance::Beyond
    } else if sections().any(|litter| litter.for_build.is_none()) {
        cannot_tell("whether the build of the dam or her puppies was why she needed the section")
    } else {
        if_all_known(mating, Compliance::Within)
    };
    let litters = count(
        sections().count(),
        "litter by section",
        "litters by section",
    );
    (
        state,
        format!(
            "{litters} before this one; the rule asks for no further mating after one that the \
             build of the dam or her puppies made necessary"
        ),
    )
}

fn between_births(mating: &Mating, months: u32) -> Finding {
    let asks = format!(
        "the rule asks for at least {} from birth to birth",
        span(months)
    );
    let Some(before) = mating.earlier.iter().map(|litter| litter.born).max() else {
        return (
            if_all_known(mating, Compliance::Within),
            format!("no earlier litter in the records; {asks}"),
        );
    };
    let when = match EventDays::whelping(mating) {
        Ok(when) => when,
        Err(missing) => {
            return (
                cannot_tell(missing),
                format!("her litter before was born on {before}; {asks}"),
            );
        }
    };
    let event = &when.event;
    match Anniversary::new(before, months).filter(|_| before < when.to) {
        Some(day) => (
            when.not_before(&day),
            format!(
                "she {event}, her litter before was born on {before}, and {} are full on {}; \
                 {asks}",
                span(months),
                day.early
            ),
        ),
        None => (
            cannot_tell(format!(
                "an earlier litter that was born before this one; {before} cannot be right"
            )),
            format!("she {event}; {asks}"),
        ),
    }
}

fn close_mating(mating: &Mating, relations: &[Relation]) -> Finding {
    let words = |list: &[Relation]| {
        list.iter()
            .map(|relation| relation.words())
            .collect::<Vec<_>>()
            .join(", ")
    };
    let kinship = &mating.kinship;
    let asks = format!("the rule asks for no mating of {}", words(relations));
    let found = if kinship.found.is_empty() {
        "no close relation found".to_owned()
    } else {
        words(&kinship.found)
    };
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
        cannot_tell(format!(
            "parents and grandparents enough to rule out {}",
            words(&open)
        ))
    };
    (state, format!("sire and dam: {found}; {asks}"))
}

fn leaving(ours: u16, days: u16, over: bool) -> Finding {
    let state = match ours {
        _ if ours < days => Compliance::Beyond,
        _ if ours == days && over => cannot_tell(format!(
            "whether day {days} itself is over {} weeks; day {} leaves no doubt",
            days / 7,
            days + 1
        )),
        _ => Compliance::Within,
    };
    let asks = if over {
        format!("over {} weeks, day {days}", days / 7)
    } else {
        format!("{} weeks, day {days} or later", days / 7)
    };
    (
        state,
        format!("puppies leave from day {ours} on; the rule asks for {asks}"),
    )
}

fn chip_by(mating: &Mating, days: u16) -> Option<Finding> {
    let asks = format!("the rule asks for a chip by {} weeks, day {days}", days / 7);
    let Some(born) = mating.whelped else {
        return Some((
            Compliance::Ahead,
            format!("the litter is not born yet; {asks}"),
        ));
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
    Some((
        state,
        format!(
            "{chipped} of {} with a chip number in the records; {asks}, {until}",
            count(all, "puppy", "puppies")
        ),
    ))
}

fn chip_before_leaving(mating: &Mating) -> Option<Finding> {
    let asks = "the rule asks for a chip before a puppy leaves";
    if mating.whelped.is_none() {
        return Some((
            Compliance::Ahead,
            format!("the litter is not born yet; {asks}"),
        ));
    }
    let Chips {
        chipped,
        here_without,
        left_without,
    } = mating.chips;
    let (state, number, which) = match (chipped, here_without, left_without) {
        (0, 0, 0) => return None,
        (_, _, 1..) => (
            Compliance::Beyond,
            left_without,
            "left without a chip number in the records",
        ),
        (_, 1.., _) => (
            Compliance::Ahead,
            here_without,
            "here without a chip number in the records",
        ),
        _ => (
            Compliance::Within,
            chipped,
            "with a chip number in the records, none without",
        ),
    };
    Some((
        state,
        format!("{} {which}; {asks}", count(number, "puppy", "puppies")),
    ))
}

/// `no puppy`, `1 puppy`, `5 puppies`.
fn count<N: Copy + PartialEq + From<u8> + std::fmt::Display>(
    n: N,
    one: &str,
    many: &str,
) -> String {
    if n == N::from(0) {
        format!("no {one}")
    } else if n == N::from(1) {
        format!("1 {one}")
    } else {
        format!("{n} {many}")
    }
}

/// `third litter`, `litter 11`.
fn nth_litter(n: usize) -> String {
    const WORDS: [&str; 10] = [
        "first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth",
        "tenth",
    ];
    n.checked_sub(1)
        .and_then(|i| WORDS.get(i))
        .map_or_else(|| format!("litter {n}"), |word| format!("{word} litter"))
}
