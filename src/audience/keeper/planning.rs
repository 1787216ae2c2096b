//! What is to be planned before a birth, and how sure the dates are.
//!
//! In: the figures of an expected litter. Out: [`Planning`]: the window of every anchor, and each step with how it stands today.

use crate::audience::Dated;
use crate::husbandry::gestation::{Due, Step};
use crate::husbandry::{LitterFigures, gestation};
use crate::quantity::Day;
use crate::records::litter::Litter;
use serde::Serialize;

/// The plan of an expected litter.
#[derive(Debug, Clone, Serialize)]
pub struct Planning {
    /// A window for each anchor, the one that is trusted first.
    pub windows: Vec<WindowRow>,
    /// What is to be done, by date.
    pub steps: Vec<StepRow>,
}

/// The window of one anchor.
#[derive(Debug, Clone, Serialize)]
pub struct WindowRow {
    /// What it is counted from.
    pub anchor: &'static str,
    /// First day.
    pub from: Dated,
    /// Most likely day.
    pub likely: Dated,
    /// Last day.
    pub to: Dated,
    /// Whether it is the one that is trusted.
    pub trusted: bool,
    /// Whether it does not meet the trusted one.
    pub contradicts: bool,
    /// Where its length comes from.
    pub source: &'static str,
}

/// One step.
#[derive(Debug, Clone, Serialize)]
pub struct StepRow {
    /// What.
    pub what: &'static str,
    /// First day.
    pub from: Dated,
    /// Last day.
    pub to: Dated,
    /// `now`, `in 12 days`, `over`, `done`.
    pub state: String,
    /// Where the days come from.
    pub source: &'static str,
}

pub(super) fn planning(litter: &Litter, figures: &LitterFigures, today: Day) -> Option<Planning> {
    let contradicting = gestation::contradicting(&figures.windows);
    let windows = figures.windows.iter().enumerate().map(|(i, window)| {
        let Due { from, likely, to, anchor } = *window;
        WindowRow {
            anchor: anchor.words(),
            from: from.into(),
            likely: likely.into(),
            to: to.into(),
            trusted: i == 0,
            contradicts: contradicting.contains(window),
            source: anchor.source(),
        }
    });
    let steps = figures.steps.iter().map(|step @ Step { id: _, what, from, to, source }| StepRow {
        what,
        from: (*from).into(),
        to: (*to).into(),
        state: match from.since(today) {
            _ if step.is_done(litter) => "done".to_owned(),
            1 => "tomorrow".to_owned(),
            days @ 2.. => format!("in {days} days"),
            _ if *to < today => "over".to_owned(),
            _ => "now".to_owned(),
        },
        source,
    });
    figures.due.map(|_| Planning { windows: windows.collect(), steps: steps.collect() })
}
