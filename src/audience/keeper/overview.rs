//! A litter at one glance: a row for each living puppy.
//!
//! In: the figures of a litter. Out: [`OverviewRow`]s: last weight, change, trend, place among the
//! littermates, care.

use super::words::{change, place};
use super::{BookContext, PuppyLink};
use crate::husbandry::PuppyFigures;
use crate::husbandry::care::Completeness;
use crate::husbandry::findings::Urgency;
use crate::quantity::{percent_difference, whole_percent_difference};
use crate::records::LitterFolder;
use crate::words::findings;
use serde::Serialize;

/// One puppy at a glance.
#[derive(Debug, Clone, Serialize)]
pub struct OverviewRow {
    /// The puppy.
    pub puppy: PuppyLink,
    /// The most urgent finding's word; nothing without a finding.
    pub urgency: Option<&'static str>,
    /// What was found, the worst first, unless the puppy is steady.
    pub why: Option<String>,
    /// Last weight, and when.
    pub weight: Option<(String, String)>,
    /// Change since the weight before.
    pub change: Option<String>,
    /// Change since birth.
    pub since_birth: Option<String>,
    /// Trend, % a day.
    pub trend: Option<String>,
    /// `2nd of 5`.
    pub place: Option<String>,
    /// `7 of 8`.
    pub care: Option<String>,
}

pub(super) fn rows(
    context: &BookContext<'_>,
    folder: &LitterFolder,
    links: &[PuppyLink],
) -> Vec<OverviewRow> {
    let figures = &context.figures.litters[&folder.id];
    folder
        .living()
        .filter_map(|puppy| {
            let own: &PuppyFigures = &figures.puppies[&puppy.id];
            let last = own.growth.points.last();
            let Completeness {
                done,
                of,
                missing: _,
            } = own.care.completeness(context.figures.today);
            // The most urgent stands first.
            let found = || {
                figures
                    .findings
                    .iter()
                    .filter(|f| f.puppy.as_ref() == Some(&puppy.id))
            };
            let worst = found().map(|f| f.urgency).max();
            let why: Vec<String> = found()
                .filter(|f| f.urgency > Urgency::Steady)
                .map(|f| findings::what(f, context.ounces))
                .collect();
            Some(OverviewRow {
                puppy: links
                    .iter()
                    .find(|link| link.id == puppy.id.as_str())?
                    .clone(),
                urgency: worst.map(Urgency::words),
                why: (!why.is_empty()).then(|| why.join("; ")),
                weight: last.map(|p| {
                    (
                        context.weight(p.weight),
                        if p.is_birth {
                            "at birth".to_owned()
                        } else {
                            p.at.to_string()
                        },
                    )
                }),
                change: last.and_then(|p| p.change).map(|c| change(context, c)),
                since_birth: last
                    .and_then(|p| p.since_birth)
                    .map(whole_percent_difference),
                trend: own.trend.map(|t| percent_difference(t.per_day)),
                place: figures.places(&puppy.id).last().map(place),
                care: (of > 0).then(|| format!("{done} of {of}")),
            })
        })
        .collect()
}
