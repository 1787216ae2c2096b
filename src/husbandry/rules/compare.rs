//! One mating or litter beside the rules of one book.
//!
//! In: a book and a [`Mating`]. Out: a [`Verdict`] for each rule that has something to say. A day that is not recorded is taken as a span of days:
//! whelping is expected 55 to 72 days after mating, and a mating that nobody wrote down is counted back by as much (Pontikaki and others, Hellenic
//! J Companion Anim Med 13(1)). Only when the whole span lies on one side of a limit is that said; otherwise it cannot be told. Birthdays are those
//! of the calendar, and where a month has no such day (29 February) the doubt is said.

use super::{Chips, Dams, Limit, Mating, Oldest, Relation, RuleBook, State, Verdict};
use crate::quantity::Day;
use chrono::{Datelike, Months};

/// Fewest and most days from mating to whelping.
const PREGNANCY: (i64, i64) = (55, 72);

/// What a rule has to say: how it stands, and the words.
type Finding = (State, String);

/// Every rule of the book that has something to say about the mating, in the book's order. A rule for dams with earlier litters says nothing of a
/// maiden bitch, and chips are not spoken of when no puppy lives.
#[must_use]
pub fn compare(book: &RuleBook, mating: &Mating) -> Vec<Verdict> {
    compare_some(book, mating, |_| true)
}

/// The same with some of its rules alone.
pub(super) fn compare_some(book: &RuleBook, mating: &Mating, wanted: impl Fn(Limit) -> bool) -> Vec<Verdict> {
    let verdict = |rule: &super::Rule| {
        let (state, what) = judge(rule.limit, mating)?;
        Some(Verdict { book: book.id, rule: rule.id, state, what, note: rule.note, source: rule.source, check_with: book.check_with })
    };
    book.rules.iter().filter(|rule| wanted(rule.limit)).filter_map(verdict).collect()
}

fn judge(limit: Limit, mating: &Mating) -> Option<Finding> {
    let dam = ("the dam", mating.dam_born);
    let sire = ("the sire", mating.sire_born);
    let first = || When::first_mating(mating);
    let last = || When::last_mating(mating);
    Some(match limit {
        Limit::DamYoungestAtMating { months } => youngest(dam, first(), months),
        Limit::SireYoungestAtMating { months } => youngest(sire, first(), months),
        Limit::DamOldestAtMating(age, dams) => return of_these_dams(dams, mating, oldest(dam, "mating", last(), age)),
        Limit::SireOldestAtMating(age) => oldest(sire, "mating", last(), age),
        Limit::DamOldestAtWhelping(age) => oldest(dam, "whelping", When::whelping(mating), age),
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

fn cannot_tell(missing: impl Into<String>) -> State {
    State::CannotTell { missing: missing.into() }
}

/// Something that happened, or will, on one day of a span; both ends are meant.
struct When {
    from: Day,
    to: Day,
    /// What happened, after "was" or "is".
    event: String,
}

impl When {
    fn first_mating(mating: &Mating) -> Result<Self, &'static str> {
        Self::mating(mating, mating.mated.iter().min())
    }

    fn last_mating(mating: &Mating) -> Result<Self, &'static str> {
        Self::mating(mating, mating.mated.iter().max())
    }

    fn mating(mating: &Mating, recorded: Option<&Day>) -> Result<Self, &'static str> {
        if let Some(day) = recorded {
            return Ok(Self { from: *day, to: *day, event: format!("was mated on {day}") });
        }
        if let Some((from, to)) = mating.thought_of {
            return Ok(Self { from, to, event: format!("would be mated {}", days(from, to)) });
        }
        let (first, last) = mating.whelped.map(|day| (day, day)).or(mating.due).ok_or("the day of mating")?;
        let (from, to) = (first.plus(-PREGNANCY.1), last.plus(-PREGNANCY.0));
        Ok(Self { from, to, event: format!("was mated between {from} and {to}, counted back {} to {} days from whelping", PREGNANCY.0, PREGNANCY.1) })
    }

    fn whelping(mating: &Mating) -> Result<Self, &'static str> {
        if let Some(day) = mating.whelped {
            return Ok(Self { from: day, to: day, event: format!("whelped on {day}") });
        }
        if let Some((from, to)) = mating.thought_of {
            let (from, to) = (from.plus(PREGNANCY.0), to.plus(PREGNANCY.1));
            return Ok(Self { from, to, event: format!("would whelp {}", days(from, to)) });
        }
        let counted = || Some((mating.mated.iter().min()?.plus(PREGNANCY.0), mating.mated.iter().max()?.plus(PREGNANCY.1)));
        let (from, to) = mating.due.or_else(counted).ok_or("the day of whelping, and the day of mating to expect it from")?;
        Ok(Self { from, to, event: format!("is expected to whelp between {from} and {to}") })
    }

    /// Within when the whole span is on or after the day, beyond when all of it is before.
    fn not_before(&self, day: &Anniversary) -> State {
        if self.from >= day.late {
            State::Within
        } else if self.to < day.early {
            State::Beyond
        } else {
            self.open(day)
        }
    }

    /// Within when the whole span is before the day (or on it, where that is allowed), beyond when all of it is later.
    fn before(&self, day: &Anniversary, on_the_day: bool) -> State {
        let more = i64::from(on_the_day);
        if self.to < day.early.plus(more) {
            State::Within
        } else if self.from >= day.late.plus(more) {
            State::Beyond
        } else {
            self.open(day)
        }
    }

    fn open(&self, day: &Anniversary) -> State {
        if self.from == self.to {
            cannot_tell(format!("whether {} or {} counts, as the month has no such day", day.early, day.late))
        } else {
            cannot_tell(format!("the very day between {} and {}, on which it depends", self.from, self.to))
        }
    }
}

/// `on 2026-05-01`, `between 2026-05-01 and 2026-05-03`.
fn days(from: Day, to: Day) -> String {
    if from == to { format!("on {from}") } else { format!("between {from} and {to}") }
}

/// A day so many calendar months after another. Where the month is too short for it (29 February in a common year), it is its last day or the day
/// after.
struct Anniversary {
    early: Day,
    late: Day,
}

impl Anniversary {
    /// Nothing beyond the end of the calendar.
    fn new(day: Day, months: u32) -> Option<Self> {
        let early = day.date().checked_add_months(Months::new(months))?;
        let short = early.day() != day.date().day();
        let early = Day::from(early);
        Some(Self { early, late: early.plus(i64::from(short)) })
    }
}

/// `18 months`, or `8 years` where they are full and more than one.
fn span(months: u32) -> String {
    if months >= 24 && months.is_multiple_of(12) { format!("{} years", months / 12) } else { format!("{months} months") }
}

/// The limit day of a parent, or what is missing for it.
fn anniversary(who: &str, born: Option<Day>, when: &When, months: u32) -> Result<Anniversary, String> {
    let born = born.ok_or_else(|| format!("the date of birth of {who}"))?;
    if born >= when.to {
        return Err(format!("a date of birth of {who} before that day; {born} cannot be right"));
    }
    Anniversary::new(born, months).ok_or_else(|| format!("a likely date of birth of {who}"))
}

fn youngest((who, born): (&str, Option<Day>), when: Result<When, &'static str>, months: u32) -> Finding {
    let asks = format!("the rule asks for at least {} at mating", span(months));
    let when = match when {
        Ok(when) => when,
        Err(missing) => return (cannot_tell(missing), asks),
    };
    match anniversary(who, born, &when, months) {
        Ok(day) => (when.not_before(&day), format!("{who} {} and reaches {} on {}; {asks}", when.event, span(months), day.early)),
        Err(missing) => (cannot_tell(missing), format!("{who} {}; {asks}", when.event)),
    }
}

fn oldest((who, born): (&str, Option<Day>), at: &str, when: Result<When, &'static str>, age: Oldest) -> Finding {
    let side = if age.on_the_day { "no later than the day on which" } else { "before" };
    let asks = format!("the rule asks for {at} {side} {who} is {} old", span(age.months));
    let when = match when {
        Ok(when) => when,
        Err(missing) => return (cannot_tell(missing), asks),
    };
    let judged = |months| anniversary(who, born, &when, months).map(|day| (when.before(&day, age.on_the_day), day));
    match (judged(age.months), age.or.map(judged)) {
        (Err(missing), _) | (_, Some(Err(missing))) => (cannot_tell(missing), format!("{who} {}; {asks}", when.event)),
        (Ok((state, day)), other) => {
            let what = format!("{who} {} and reaches {} on {}; {asks}", when.event, span(age.months), day.early);
            match (age.or, other) {
                (Some(months), Some(Ok((another, _)))) if another != state => {
                    let missing = format!("which figure is in force: {} or {}", span(age.months), span(months));
                    (cannot_tell(missing), what)
                }
                _ => (state, what),
            }
        }
    }
}

/// Nothing where the rule is meant for other dams; and where it is open whether she is one of them, only what would hold either way.
fn of_these_dams(dams: Dams, mating: &Mating, (state, what): Finding) -> Option<Finding> {
    let maiden_as_recorded = mating.earlier.is_empty();
    let (meant, open) = match dams {
        Dams::All => (true, false),
        Dams::WithoutEarlierLitter => (maiden_as_recorded, !mating.all_earlier_known),
        Dams::WithEarlierLitter => (!maiden_as_recorded || !mating.all_earlier_known, maiden_as_recorded),
    };
    if !meant {
        return None;
    }
    let state = if open && state == State::Beyond { cannot_tell("whether she had a litter that is not in the records") } else { state };
    Some((state, what))
}

/// `within` stands only when all earlier litters are known.
fn if_all_known(mating: &Mating, within: State) -> State {
    if mating.all_earlier_known { within } else { cannot_tell("whether she had a litter that is not in the records") }
}

fn litters(mating: &Mating, most: usize) -> Finding {
    let this = mating.earlier.len() + 1;
    let state = if this > most { State::Beyond } else { if_all_known(mating, State::Within) };
    (state, format!("{} of this dam in the records; the rule asks for at most {most} in her life", nth_litter(this)))
}

fn sections_before(mating: &Mating) -> usize {
    mating.earlier.iter().filter(|litter| litter.section).count()
}

fn sections_in_life(mating: &Mating, most: usize) -> Finding {
    let before = sections_before(mating);
    let asks = format!("the rule asks for at most {most} in her life");
    let state = match mating.by_section {
        _ if before > most => State::Beyond,
        Some(true) if before + 1 > most => State::Beyond,
        None if before + 1 > most => cannot_tell("whether this litter is delivered by section"),
        _ => if_all_known(mating, State::Within),
    };
    let this = if mating.by_section == Some(true) { ", and this litter is one more" } else { "" };
    (state, format!("{} before this one{this}; {asks}", count(before, "litter by section", "litters by section")))
}

fn after_sections(mating: &Mating, most: usize) -> Finding {
    let before = sections_before(mating);
    let state = if before >= most { State::Beyond } else { if_all_known(mating, State::Within) };
    let last = if before < most && mating.by_section == Some(true) && before + 1 >= most { ", and this one makes it full" } else { "" };
    let litters = count(before, "litter by section", "litters by section");
    (state, format!("{litters} before this one{last}; the rule asks for no further mating after {most}"))
}

fn after_section_for_build(mating: &Mating) -> Finding {
    let sections = || mating.earlier.iter().filter(|litter| litter.section);
    let state = if sections().any(|litter| litter.for_build == Some(true)) {
        State::Beyond
    } else if sections().any(|litter| litter.for_build.is_none()) {
        cannot_tell("whether the build of the dam or her puppies was why she needed the section")
    } else {
        if_all_known(mating, State::Within)
    };
    let litters = count(sections().count(), "litter by section", "litters by section");
    (
        state,
        format!("{litters} before this one; the rule asks for no further mating after one that the build of the dam or her puppies made necessary"),
    )
}

fn between_births(mating: &Mating, months: u32) -> Finding {
    let asks = format!("the rule asks for at least {} from birth to birth", span(months));
    let Some(before) = mating.earlier.iter().map(|litter| litter.born).max() else {
        return (if_all_known(mating, State::Within), format!("no earlier litter in the records; {asks}"));
    };
    let when = match When::whelping(mating) {
        Ok(when) => when,
        Err(missing) => return (cannot_tell(missing), format!("her litter before was born on {before}; {asks}")),
    };
    let event = &when.event;
    match Anniversary::new(before, months).filter(|_| before < when.to) {
        Some(day) => (
            when.not_before(&day),
            format!("she {event}, her litter before was born on {before}, and {} are full on {}; {asks}", span(months), day.early),
        ),
        None => (cannot_tell(format!("an earlier litter that was born before this one; {before} cannot be right")), format!("she {event}; {asks}")),
    }
}

fn close_mating(mating: &Mating, relations: &[Relation]) -> Finding {
    let words = |list: &[Relation]| list.iter().map(|relation| relation.words()).collect::<Vec<_>>().join(", ");
    let kinship = &mating.kinship;
    let asks = format!("the rule asks for no mating of {}", words(relations));
    let found = if kinship.found.is_empty() { "no close relation found".to_owned() } else { words(&kinship.found) };
    let open: Vec<Relation> = relations.iter().copied().filter(|relation| !kinship.ruled_out.contains(relation)).collect();
    let state = if relations.iter().any(|relation| kinship.found.contains(relation)) {
        State::Beyond
    } else if open.is_empty() {
        State::Within
    } else {
        cannot_tell(format!("parents and grandparents enough to rule out {}", words(&open)))
    };
    (state, format!("sire and dam: {found}; {asks}"))
}

fn leaving(ours: u16, days: u16, over: bool) -> Finding {
    let state = match ours {
        _ if ours < days => State::Beyond,
        _ if ours == days && over => cannot_tell(format!("whether day {days} itself is over {} weeks; day {} leaves no doubt", days / 7, days + 1)),
        _ => State::Within,
    };
    let asks = if over { format!("over {} weeks, day {days}", days / 7) } else { format!("{} weeks, day {days} or later", days / 7) };
    (state, format!("puppies leave from day {ours} on; the rule asks for {asks}"))
}

fn chip_by(mating: &Mating, days: u16) -> Option<Finding> {
    let asks = format!("the rule asks for a chip by {} weeks, day {days}", days / 7);
    let Some(born) = mating.whelped else { return Some((State::Ahead, format!("the litter is not born yet; {asks}"))) };
    let Chips { chipped, here_without, left_without } = mating.chips;
    let without = here_without.saturating_add(left_without);
    let all = chipped.saturating_add(without);
    if all == 0 {
        return None;
    }
    let until = born.plus(i64::from(days));
    let state = match without {
        0 => State::Within,
        _ if mating.today > until => State::Beyond,
        _ => State::Ahead,
    };
    Some((state, format!("{chipped} of {} with a chip number in the records; {asks}, {until}", count(all, "puppy", "puppies"))))
}

fn chip_before_leaving(mating: &Mating) -> Option<Finding> {
    let asks = "the rule asks for a chip before a puppy leaves";
    if mating.whelped.is_none() {
        return Some((State::Ahead, format!("the litter is not born yet; {asks}")));
    }
    let Chips { chipped, here_without, left_without } = mating.chips;
    let (state, number, which) = match (chipped, here_without, left_without) {
        (0, 0, 0) => return None,
        (_, _, 1..) => (State::Beyond, left_without, "left without a chip number in the records"),
        (_, 1.., _) => (State::Ahead, here_without, "here without a chip number in the records"),
        _ => (State::Within, chipped, "with a chip number in the records, none without"),
    };
    Some((state, format!("{} {which}; {asks}", count(number, "puppy", "puppies"))))
}

/// `no puppy`, `1 puppy`, `5 puppies`.
fn count<N: Copy + PartialEq + From<u8> + std::fmt::Display>(n: N, one: &str, many: &str) -> String {
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
    const WORDS: [&str; 10] = ["first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth"];
    n.checked_sub(1).and_then(|i| WORDS.get(i)).map_or_else(|| format!("litter {n}"), |word| format!("{word} litter"))
}
