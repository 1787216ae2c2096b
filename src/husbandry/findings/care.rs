//! Rules on the care plan.
//!
//! In: one puppy's care. Out: one finding that names all that is overdue. Milestones and
//! socialisation are left to the plan itself.

use super::{Noticed, PuppyCase, Urgency};
use crate::care::{ItemStanding, ItemState, Remark};

pub(super) fn rules(case: &mut PuppyCase<'_>) {
    let mut overdue = case
        .own
        .care
        .standings
        .iter()
        .filter(|s| is_late(s) && s.item.urgent)
        .cloned();
    if let Some(first) = overdue.next() {
        let others = overdue.collect();
        case.find(Urgency::Watch, Noticed::CareOverdue { first, others });
    }
}

/// Overdue, or open in the place of one that is.
fn is_late(standing: &ItemStanding) -> bool {
    standing.state == ItemState::Overdue
        || (standing.state == ItemState::Due
            && matches!(standing.remark, Some(Remark::InPlaceOf { .. })))
}
