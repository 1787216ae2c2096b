//! Rules on the care plan.
//!
//! In: one puppy's care. Out: one finding that names all that is overdue. Milestones and socialisation are left to the plan itself.

use super::{Case, Urgency};
use crate::husbandry::care::State;

pub(super) fn rules(case: &mut Case<'_>) {
    let overdue: Vec<_> = case.own.care.standings.iter().filter(|s| s.state == State::Overdue && s.item.urgent).collect();
    let Some(first) = overdue.first() else { return };
    let names: Vec<String> = overdue.iter().map(|s| format!("{} (by {})", s.item.name, s.until)).collect();
    let source = if first.by_next_due { "the date written as next due" } else { first.item.source };
    let limit = format!("done by {}", first.until);
    case.find(Urgency::Watch, "care-overdue", format!("is overdue for: {}", names.join("; ")), limit, source);
}
