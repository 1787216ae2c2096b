//! Rules of law and of registries, and how a mating or litter stands beside them.
//!
//! In: a verdict, a source. Out: phrases without full stop. Never advice on law.

use crate::husbandry::rules::{
    Compliance, Event, EventDays, Limit, Oldest, Parent, Relation, RuleSource, Seen, Sure, Unknown,
    Verdict,
};
use crate::quantity::{Day, days_said};
use std::fmt::Display;

/// How sure we are of a rule.
#[must_use]
pub fn sure(sure: Sure) -> &'static str {
    match sure {
        Sure::ReadInSource => "read in the source",
        Sure::SecondHand => "second-hand",
        Sure::FromMemory => "from memory, check",
    }
}

/// How sure we are of a rule and when it was read, and what to do about it when that is long ago;
/// for where the text itself stands elsewhere.
#[must_use]
pub fn how_read(source: RuleSource, today: Day) -> String {
    let RuleSource { read, sure: is, .. } = source;
    let again = if read.is_old(today) {
        "; read it again"
    } else {
        ""
    };
    match is {
        Sure::FromMemory => format!("recalled in {read}, not read: {}{again}", sure(is)),
        Sure::ReadInSource | Sure::SecondHand => format!("{}, {read}{again}", sure(is)),
    }
}

/// The source in one line: text, how sure we are, when it was read; and what to do about it when
/// that is long ago.
#[must_use]
pub fn cite(source: RuleSource, today: Day) -> String {
    format!("{} ({})", source.text, how_read(source, today))
}

/// How it stands beside a rule, for a table.
#[must_use]
pub fn state(state: &Compliance) -> &'static str {
    match state {
        Compliance::Within => "as the rule asks",
        Compliance::Ahead => "still to come",
        Compliance::Beyond => "not as the rule asks",
        Compliance::CannotTell(_) => "cannot be told",
    }
}

/// The figures and what the rule asks for.
#[must_use]
pub fn figures(verdict: &Verdict) -> String {
    let limit = verdict.rule.limit;
    let asks = asks(limit);
    let sign = match (limit, &verdict.seen) {
        (Limit::ChipBy { .. }, Seen::ChipsBy(.., until)) => format!(", {until}"),
        _ => String::new(),
    };
    let seen = seen(&verdict.seen, limit);
    if seen.is_empty() {
        asks
    } else {
        days_said(&format!("{seen}; {asks}{sign}"))
    }
}

/// What is not known, so that a rule cannot be told.
#[must_use]
pub fn unknown(unknown: &Unknown) -> String {
    match unknown {
        Unknown::OtherLitters => "whether she had a litter that is not in the records".to_owned(),
        Unknown::ThisBySection => "whether this litter is delivered by section".to_owned(),
        Unknown::ForBuild => "whether the build of the dam or her puppies was why she needed the \
                              section"
            .to_owned(),
        Unknown::Mating => "the day of mating".to_owned(),
        Unknown::Whelping => {
            "the day of whelping, and the day of mating to expect it from".to_owned()
        }
        Unknown::Birth(who) => format!("the date of birth of {}", parent(*who)),
        Unknown::BirthNotBefore(who, born) => format!(
            "a date of birth of {} before that day; {born} cannot be right",
            parent(*who)
        ),
        Unknown::BirthBeyondCalendar(who) => format!("a likely date of birth of {}", parent(*who)),
        Unknown::LitterNotBefore(born) => {
            format!("an earlier litter that was born before this one; {born} cannot be right")
        }
        Unknown::Anniversary(one, other) => {
            format!("whether {one} or {other} counts, as the month has no such day")
        }
        Unknown::DayBetween(from, to) => {
            format!("the very day between {from} and {to}, on which it depends")
        }
        Unknown::Relations(open) => format!(
            "parents and grandparents enough to rule out {}",
            relations(open)
        ),
        Unknown::LeavingDay(days) => format!(
            "whether day {days} itself is over {} weeks; day {} leaves no doubt",
            days / 7,
            days + 1
        ),
    }
}

/// What the rule asks for.
fn asks(limit: Limit) -> String {
    let at_least = |months| format!("at least {} at mating", span(months));
    let in_her_life = |most| format!("at most {most} in her life");
    let asked = match limit {
        Limit::DamYoungestAtMating { months } | Limit::SireYoungestAtMating { months } => {
            at_least(months)
        }
        Limit::DamOldestAtMating(age, _) => until("mating", Parent::Dam, age),
        Limit::SireOldestAtMating(age) => until("mating", Parent::Sire, age),
        Limit::DamOldestAtWhelping(age) => until("whelping", Parent::Dam, age),
        Limit::LittersInLife { most } | Limit::SectionsInLife { most } => in_her_life(most),
        Limit::NoMatingAfterSections { sections } => format!("no further mating after {sections}"),
        Limit::NoMatingAfterSectionForBuild => {
            "no further mating after one that the build of the dam or her puppies made necessary"
                .to_owned()
        }
        Limit::MonthsBetweenBirths { months } => {
            format!("at least {} from birth to birth", span(months))
        }
        Limit::NoCloseMating { relations: close } => format!("no mating of {}", relations(close)),
        Limit::YoungestLeavingAge { days, over: true } => {
            format!("over {} weeks, day {days}", days / 7)
        }
        Limit::YoungestLeavingAge { days, over: false } => {
            format!("{} weeks, day {days} or later", days / 7)
        }
        Limit::ChipBy { days } => format!("a chip by {} weeks, day {days}", days / 7),
        Limit::ChipBeforeLeaving => "a chip before a puppy leaves".to_owned(),
    };
    format!("the rule asks for {asked}")
}

fn until(event: &str, who: Parent, age: Oldest) -> String {
    let side = if age.on_the_day {
        "no later than the day on which"
    } else {
        "before"
    };
    format!("{event} {side} {} is {} old", parent(who), span(age.months))
}

/// What the rule was held against; empty where nothing is known of it.
fn seen(seen: &Seen, limit: Limit) -> String {
    match seen {
        Seen::Age { event: None, .. } => String::new(),
        Seen::Age {
            parent: who,
            event: Some(event),
            reached: None,
        } => format!("{} {}", parent(*who), happened(event)),
        Seen::Age {
            parent: who,
            event: Some(event),
            reached: Some(day),
        } => format!(
            "{} {} and reaches {} on {day}",
            parent(*who),
            happened(event),
            months(limit)
        ),
        Seen::Litters(this) => format!("{} of this dam in the records", nth_litter(*this)),
        Seen::Sections { before, this } => {
            let this = match (this, limit) {
                (false, _) => "",
                (true, Limit::NoMatingAfterSections { .. }) => ", and this one makes it full",
                (true, _) => ", and this litter is one more",
            };
            let litters = count(*before, "litter by section", "litters by section");
            format!("{litters} before this one{this}")
        }
        Seen::NoLitterBefore => "no earlier litter in the records".to_owned(),
        Seen::SinceBirth {
            before,
            event: None,
            ..
        } => format!("her litter before was born on {before}"),
        Seen::SinceBirth {
            event: Some(event),
            full: None,
            ..
        } => format!("she {}", happened(event)),
        Seen::SinceBirth {
            before,
            event: Some(event),
            full: Some(day),
        } => format!(
            "she {}, her litter before was born on {before}, and {} are full on {day}",
            happened(event),
            months(limit)
        ),
        Seen::Kinship(found) if found.is_empty() => {
            "sire and dam: no close relation found".to_owned()
        }
        Seen::Kinship(found) => format!("sire and dam: {}", relations(found)),
        Seen::LeavingDay(day) => format!("puppies leave from day {day} on"),
        Seen::NotBorn => "the litter is not born yet".to_owned(),
        Seen::ChipsBy(chipped, all, _) => format!(
            "{chipped} of {} with a chip number in the records",
            puppies(*all)
        ),
        Seen::LeftWithoutChip(number) => format!(
            "{} left without a chip number in the records",
            puppies(*number)
        ),
        Seen::HereWithoutChip(number) => format!(
            "{} here without a chip number in the records",
            puppies(*number)
        ),
        Seen::AllChipped(number) => format!(
            "{} with a chip number in the records, none without",
            puppies(*number)
        ),
    }
}

/// The age or the time that a rule asks for.
fn months(limit: Limit) -> String {
    match limit {
        Limit::DamYoungestAtMating { months }
        | Limit::SireYoungestAtMating { months }
        | Limit::MonthsBetweenBirths { months } => span(months),
        Limit::DamOldestAtMating(age, _)
        | Limit::SireOldestAtMating(age)
        | Limit::DamOldestAtWhelping(age) => span(age.months),
        Limit::LittersInLife { .. }
        | Limit::SectionsInLife { .. }
        | Limit::NoMatingAfterSections { .. }
        | Limit::NoMatingAfterSectionForBuild
        | Limit::NoCloseMating { .. }
        | Limit::YoungestLeavingAge { .. }
        | Limit::ChipBy { .. }
        | Limit::ChipBeforeLeaving => String::new(),
    }
}

fn parent(parent: Parent) -> &'static str {
    match parent {
        Parent::Dam => "the dam",
        Parent::Sire => "the sire",
    }
}

fn happened(days: &EventDays) -> String {
    let EventDays { from, to, event } = days;
    match event {
        Event::Mated => format!("was mated on {from}"),
        Event::WouldMate => format!("would be mated {}", on_or_between(*from, *to)),
        Event::MatedBefore(fewest, most) => format!(
            "was mated between {from} and {to}, counted back {fewest} to {most} days from whelping"
        ),
        Event::Whelped => format!("whelped on {from}"),
        Event::WouldWhelp => format!("would whelp {}", on_or_between(*from, *to)),
        Event::WillWhelp => format!("is expected to whelp between {from} and {to}"),
    }
}

/// `on` a day, `between` two days.
fn on_or_between(from: Day, to: Day) -> String {
    if from == to {
        format!("on {from}")
    } else {
        format!("between {from} and {to}")
    }
}

/// `18 months`, or `8 years` where they are full and more than one.
fn span(months: u32) -> String {
    if months >= 24 && months.is_multiple_of(12) {
        format!("{} years", months / 12)
    } else {
        format!("{months} months")
    }
}

fn relations(list: &[Relation]) -> String {
    let words: Vec<&str> = list.iter().map(|relation| relation.words()).collect();
    words.join(", ")
}

fn puppies(number: u32) -> String {
    count(number, "puppy", "puppies")
}

/// `no puppy`, `1 puppy`, `5 puppies`.
fn count<N: Copy + PartialEq + From<u8> + Display>(n: N, one: &str, many: &str) -> String {
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

#[cfg(test)]
mod tests;
