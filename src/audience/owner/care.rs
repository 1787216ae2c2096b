//! The care plan as the family gets it: what was done, what was not, and what comes next with its dates.
//!
//! In: the care of one puppy. Out: [`CareRecord`]s by date. Whether something open is late is not said here: that depends on the day on which the page is read.

use super::{CareRecord, Case, iso};
use crate::husbandry::care::{Item, Standing, State};

pub(super) fn care(case: &Case<'_>) -> Vec<CareRecord> {
    case.own.care.standings.iter().map(standing).collect()
}

fn standing(standing: &Standing) -> CareRecord {
    let Standing { item, from, until, by_next_due, state, remark: _ } = standing;
    let Item {
        id,
        what,
        name,
        from: _,
        until: _,
        after_previous: _,
        source,
        every: _,
        after_section: _,
        urgent: _,
        against: _,
        is_last: _,
        only_between: _,
        while_weaning: _,
    } = &**item;
    let (word, on, why) = match state {
        State::Done(on) => ("done", iso(*on), None),
        State::Excused(why) => ("not needed", None, why.as_ref().map(ToString::to_string)),
        State::Overdue | State::LeftOut => ("not recorded", None, None),
        State::Due | State::ToCome | State::NextOwner => ("open", None, None),
    };
    CareRecord {
        id: id.clone(),
        kind: what.word(),
        name: name.clone(),
        // A date that a vet wrote is a day; the week before it, in which an entry already counts, is the program's own.
        from: if *by_next_due { until.to_string() } else { from.to_string() },
        until: until.to_string(),
        state: word,
        on,
        why,
        source: if *by_next_due { "written as next due".to_owned() } else { (*source).to_owned() },
        for_family: *state == State::NextOwner,
    }
}
