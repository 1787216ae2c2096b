//! Health entries as the keeper sees them: when, for whom, what, and every detail.
//!
//! In: one entry of `health.yaml`. Out: [`HealthRow`].

use super::words::when;
use super::{BookContext, Fact, Facts};
use crate::records::health::{DetailValue, EntryParts, HealthEntry};
use crate::words::health::detail;
use serde::Serialize;

/// One entry.
#[derive(Debug, Clone, Serialize)]
pub struct HealthRow {
    /// Date, or date and time.
    pub when: String,
    /// `all`, `dam`, or ids of puppies.
    pub whom: String,
    /// `worming`, `vaccination` …
    pub what: &'static str,
    /// Every detail.
    pub details: Vec<Fact>,
}

pub(super) fn row(context: &BookContext<'_>, entry: &HealthEntry) -> HealthRow {
    let what = entry.kinds().first().map_or("", |kind| kind.key());
    let EntryParts {
        on,
        at,
        whom,
        details,
        remark,
    } = entry.parts();
    let mut facts = Facts::default();
    for (kind, said, value) in details {
        let label = detail(kind, said).in_book;
        match value {
            DetailValue::Day(day) => facts.day(label, Some(day)),
            DetailValue::Weight(weight) => facts.say(label, context.weight(weight)),
            value => facts.say(label, value),
        };
    }
    let whom: Vec<String> = whom.iter().map(ToString::to_string).collect();
    HealthRow {
        when: when(on, at),
        whom: whom.join(", "),
        what,
        details: facts.maybe("Remark", remark).done(),
    }
}
