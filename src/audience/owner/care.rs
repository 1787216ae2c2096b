//! The care plan as the family gets it: what was done, what was not, and what comes next with its
//! dates.
//!
//! In: the care of one puppy, the day on which it leaves. Out: [`CareRecord`]s by date. What has
//! begun by the day of leaving falls to the breeder. Without an entry it is to be done before
//! leaving, and from that day on it is not recorded by the breeder; where its days go on after that
//! day, it is the family's as well. Whether something else that is open is late is not said
//! here: that depends on the day on which the page is read.

use super::{CareRecord, CareState, Case, iso};
use crate::husbandry::care::{Item, ItemStanding, ItemState};
use crate::quantity::Day;

pub(super) fn care(case: &Case<'_>) -> Vec<CareRecord> {
    case.own
        .care
        .standings
        .iter()
        .map(|of| standing(of, case.leaves, case.today))
        .collect()
}

/// One item; nothing `leaves` who stays.
fn standing(standing: &ItemStanding, leaves: Option<Day>, today: Day) -> CareRecord {
    let ItemStanding {
        item,
        from,
        until,
        by_next_due,
        state,
        remark: _,
    } = standing;
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
    let (state, on, why) = match state {
        ItemState::Done(on) => (CareState::Done, iso(*on), None),
        ItemState::Excused(why) => {
            let why = why.as_ref().map(ToString::to_string);
            (CareState::NotNeeded, None, why)
        }
        ItemState::Overdue | ItemState::LeftOut => (CareState::NotRecorded, None, None),
        ItemState::Due | ItemState::ToCome | ItemState::NextOwner => {
            match leaves.filter(|leaves| what.is_veterinary() && *from <= *leaves) {
                Some(leaves) if leaves <= today => (CareState::NotRecorded, None, None),
                Some(_) => (CareState::BeforeLeaving, None, None),
                None => (CareState::Open, None, None),
            }
        }
    };
    let lacks = !matches!(state, CareState::Done | CareState::NotNeeded);
    CareRecord {
        id: id.clone(),
        kind: *what,
        name: name.clone(),
        // A date that a vet wrote is a day; the week before it, in which an entry already counts,
        // is the program's own.
        from: if *by_next_due {
            until.to_string()
        } else {
            from.to_string()
        },
        until: until.to_string(),
        state,
        on,
        why,
        source: if *by_next_due {
            "the day that was written down with the one before".to_owned()
        } else {
            (*source).to_owned()
        },
        for_family: lacks && leaves.is_some_and(|leaves| *until > leaves),
    }
}
