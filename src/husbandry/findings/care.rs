//! Rules on the care plan.
//!
//! In: one puppy's care. Out: one finding that names all that is overdue. Milestones and socialisation are left to the plan itself.

use super::{Case, Urgency};
use crate::husbandry::care::{Remark, Standing, State};

pub(super) fn rules(case: &mut Case<'_>) {
    let overdue: Vec<_> = case.own.care.standings.iter().filter(|s| is_late(s) && s.item.urgent).collect();
    let Some(first) = overdue.first() else { return };
    let names: Vec<String> = overdue
        .iter()
        .map(|s| {
            let because = s.remark.as_ref().map(|remark| format!("; {}", remark.words())).unwrap_or_default();
            format!("{} (by {}{because})", s.item.name, s.until)
        })
        .collect();
    let source = if first.by_next_due { "the date written as next due" } else { first.item.source };
    let limit = format!("done by {}; ends when it is recorded, or excused", first.until);
    case.find(Urgency::Watch, "care-overdue", format!("is overdue for: {}", names.join("; ")), limit, source);
}

/// Overdue, or open in the place of one that is.
fn is_late(standing: &Standing) -> bool {
    standing.state == State::Overdue || (standing.state == State::Due && matches!(standing.remark, Some(Remark::InPlaceOf { .. })))
}
