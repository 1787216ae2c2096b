//! The dam on her litter's page: what was found, her recovery, her weights.
//!
//! In: a litter with its figures. Out: [`DamPart`]. Families and visitors see nothing of it.

use super::{BookContext, FindingShown, finding, words};
use crate::chart::{ChartLine, ChartPoint};
use crate::husbandry::LitterFigures;
use crate::husbandry::findings::{DAM_CAUTIONS, PYOMETRA};
use crate::husbandry::growth::{WeightChange, instant};
use crate::husbandry::recovery::{RecoveryItem, Stand};
use crate::quantity::{Moment, Weight, capital};
use crate::records::LitterFolder;
use crate::words::care;
use crate::{Dated, GrowthChart};
use serde::Serialize;

/// The dam's part of a litter's page.
#[derive(Debug, Clone, Serialize)]
pub struct DamPart {
    /// Her name.
    pub name: String,
    /// Findings about her, the most urgent first.
    pub findings: Vec<FindingShown>,
    /// What to call the vet for.
    pub cautions: String,
    /// Her recovery, item by item.
    pub looks: Vec<LookRow>,
    /// Her weights, newest first.
    pub weights: Vec<DamWeight>,
    /// Her own chart; drawn into `dam_chart`.
    pub chart: Option<GrowthChart>,
}

/// One item of her recovery.
#[derive(Debug, Clone, Serialize)]
pub struct LookRow {
    /// What.
    pub name: String,
    /// Name in the records, for `done` and `excused`.
    pub id: String,
    /// `due`, `overdue`, `goes on`, `to come` or `closed`.
    pub state: &'static str,
    /// How often.
    pub every: String,
    /// When it was last done.
    pub last: Option<Dated>,
    /// The next day, where it is to come.
    pub next: Option<Dated>,
    /// The last day of the item.
    pub until: Dated,
    /// Where that comes from.
    pub source: &'static str,
}

/// One weight of hers.
#[derive(Debug, Clone, Serialize)]
pub struct DamWeight {
    /// Local time.
    pub at: String,
    /// Days before or after the birth, in words.
    pub age: Option<String>,
    /// Weight.
    pub weight: String,
    /// Change since the one before.
    pub change: Option<String>,
}

/// The cautions of a dam; those of every heat are left out where they stand beside it already.
pub(super) fn cautions(with_pyometra: bool) -> String {
    if !with_pyometra {
        return DAM_CAUTIONS.to_owned();
    }
    format!("{DAM_CAUTIONS} {}.", capital(PYOMETRA))
}

/// The part of the dam; nothing where there is nothing to say of her.
pub(super) fn part(
    context: &BookContext<'_>,
    folder: &LitterFolder,
    figures: &LitterFigures,
) -> Option<DamPart> {
    let dam = context.records.dogs.get(&folder.litter.dam);
    let name = dam.map_or_else(
        || folder.litter.dam.to_string(),
        |d| d.shown_name().to_string(),
    );
    let findings: Vec<FindingShown> = figures
        .findings
        .iter()
        .filter(|f| f.is_of_dam())
        .map(|f| finding::shown(folder, f, context.ounces))
        .collect();
    let looks: Vec<LookRow> = figures.recovery.iter().map(row).collect();
    let weights: Vec<(Moment, Weight)> = folder.dam_weights().collect();
    let is_over = folder.is_history(context.figures.today);
    if findings.is_empty() && looks.is_empty() && weights.is_empty() && is_over {
        return None;
    }
    Some(DamPart {
        cautions: cautions(true),
        weights: rows(context, folder, &weights),
        chart: chart(context, &name, &weights),
        name,
        findings,
        looks,
    })
}

fn row(look: &RecoveryItem) -> LookRow {
    let RecoveryItem {
        item,
        every,
        from: _,
        until,
        last,
        stand,
    } = look;
    let (state, next) = match stand {
        Stand::Due => ("due", None),
        Stand::Overdue => ("overdue", None),
        Stand::Watched => ("goes on", None),
        Stand::Next(day) => ("to come", Some(Dated::from(*day))),
        Stand::Closed => ("closed", None),
    };
    LookRow {
        name: item.name.clone(),
        id: item.id.clone(),
        state,
        every: care::every(*every),
        last: last.map(Dated::from),
        next,
        until: Dated::from(*until),
        source: item.source,
    }
}

#[expect(
    clippy::cast_precision_loss,
    reason = "seconds of half a year are far below 2^53"
)]
fn rows(
    context: &BookContext<'_>,
    folder: &LitterFolder,
    weights: &[(Moment, Weight)],
) -> Vec<DamWeight> {
    let zone = context.records.kennel.time_zone.0;
    let birth = folder.litter.birth.as_ref().map(|birth| birth.on);
    let age = |at: Moment| {
        birth.map(|birth| match at.day().since(birth) {
            0 => "day of the birth".to_owned(),
            days @ 1.. => format!("day {days}"),
            days => format!("{} days before the birth", -days),
        })
    };
    let mut rows: Vec<DamWeight> = Vec::new();
    for (i, (at, weight)) in weights.iter().enumerate() {
        let before = i.checked_sub(1).map(|i| weights[i]);
        let change = before.map(|(then, before)| WeightChange {
            grams: weight.grams() - before.grams(),
            percent: (weight.grams() / before.grams() - 1.0) * 100.0,
            hours: (instant(zone, *at) - instant(zone, then)).num_seconds() as f64 / 3600.0,
        });
        rows.push(DamWeight {
            at: at.to_string(),
            age: age(*at),
            weight: context.weight(*weight),
            change: change.map(|c| words::change(context, c)),
        });
    }
    rows.reverse();
    rows
}

#[expect(
    clippy::cast_precision_loss,
    reason = "seconds of half a year are far below 2^53"
)]
fn chart(
    context: &BookContext<'_>,
    name: &str,
    weights: &[(Moment, Weight)],
) -> Option<GrowthChart> {
    let zone = context.records.kennel.time_zone.0;
    let first = instant(zone, weights.first()?.0);
    let day = |at: Moment| (instant(zone, at) - first).num_seconds() as f64 / 86_400.0;
    let points: Vec<ChartPoint> = weights
        .iter()
        .map(|(at, weight)| ChartPoint {
            days: day(*at),
            grams: weight.grams(),
            marked: false,
        })
        .collect();
    let line = ChartLine {
        name: name.to_owned(),
        hex: None,
        points,
    };
    (weights.len() > 1).then(|| GrowthChart {
        title: format!("Weight of {name}"),
        lines: vec![line],
        behind: None,
        notes: Vec::new(),
        since: "since her first weight here",
        ounces: context.ounces,
    })
}
