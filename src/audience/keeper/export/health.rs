//! Health entries for the export.
//!
//! In: `health.yaml`. Out: one row for each entry, with a column for each detail of any kind of
//! entry.

use super::amounts::{Celsius, Grams, Pen, day, moment, texts};
use crate::records::health::{
    DetailValue, EntryParts, HealthDetail as Detail, HealthEntry, HealthKind,
};
use crate::records::problem::key_path;
use schemars::JsonSchema;
use serde::Serialize;

/// One thing that was done or seen.
#[derive(Debug, Clone, Default, PartialEq, Serialize, JsonSchema)]
pub struct HealthExport {
    /// Place of the entry in its file, from 1.
    pub entry: usize,
    pub on: Option<String>,
    pub at: Option<String>,
    #[serde(rename = "for")]
    pub whom: Vec<String>,
    /// `worming`, `vaccination` …
    pub kind: Option<&'static str>,
    pub product: Option<String>,
    pub active: Option<String>,
    pub manufacturer: Option<String>,
    pub batch: Option<String>,
    pub expiry: Option<String>,
    /// The weight it was given for, or that of a grown puppy.
    pub weight: Option<Grams>,
    /// What was given, as the label or the vet said.
    pub given: Option<String>,
    pub against: Vec<String>,
    /// Which of a series of vaccinations.
    #[serde(rename = "dose")]
    pub in_series: Option<String>,
    pub site: Option<String>,
    pub by: Option<String>,
    pub next_due: Option<String>,
    pub until: Option<String>,
    pub reaction: Option<String>,
    pub why: Option<String>,
    pub findings: Option<String>,
    pub advice: Option<String>,
    pub signs: Option<String>,
    pub heart: Option<String>,
    pub eyes: Option<String>,
    pub ears: Option<String>,
    pub mouth: Option<String>,
    pub navel: Option<String>,
    pub testes: Option<String>,
    pub knees: Option<String>,
    pub skin: Option<String>,
    pub joints: Option<String>,
    pub temperature: Option<Celsius>,
    pub what: Option<String>,
    pub amount: Option<String>,
    pub how: Option<String>,
    /// Energy of a feed: `1.1 kcal/ml`.
    pub energy: Option<String>,
    pub number: Option<String>,
    pub result: Option<String>,
    pub bite: Option<String>,
    pub hips: Option<String>,
    pub done: Vec<String>,
    pub excused: Vec<String>,
    pub remark: Option<String>,
}

pub(super) fn entry(pen: &mut Pen<'_>, i: usize, entry: &HealthEntry) -> HealthExport {
    let kind = entry.kinds().first().map(|kind| kind.key());
    let EntryParts {
        on,
        at,
        whom,
        details,
        remark,
    } = entry.parts();
    let mut row = HealthExport {
        entry: i + 1,
        on: day(on),
        at: at.map(moment),
        whom: texts(whom),
        kind,
        remark: remark.map(ToString::to_string),
        ..HealthExport::default()
    };
    for (kind, detail, value) in details {
        let words = Some(value.to_string());
        match (detail, value) {
            (_, DetailValue::Weight(weight)) => {
                row.weight = pen.weight(Some(weight), key_path![i, kind.key(), "weight"]);
            }
            (_, DetailValue::Temperature(value)) => {
                row.temperature = pen.temperature(Some(value), key_path![i, kind.key()]);
            }
            (_, DetailValue::Texts(against)) => row.against = texts(against),
            (_, DetailValue::Items(ids)) if kind == HealthKind::Excused => row.excused = texts(ids),
            (_, DetailValue::Items(ids)) => row.done = texts(ids),
            (Detail::Weight | Detail::Value | Detail::Against | Detail::Item, _) => {}
            (Detail::Dose, _) => row.in_series = words,
            (Detail::Product, _) => row.product = words,
            (Detail::Active, _) => row.active = words,
            (Detail::Manufacturer, _) => row.manufacturer = words,
            (Detail::Batch, _) => row.batch = words,
            (Detail::Expiry, _) => row.expiry = words,
            (Detail::Given, _) => row.given = words,
            (Detail::Site, _) => row.site = words,
            (Detail::By, _) => row.by = words,
            (Detail::NextDue, _) => row.next_due = words,
            (Detail::Until, _) => row.until = words,
            (Detail::Reaction, _) => row.reaction = words,
            (Detail::Why, _) => row.why = words,
            (Detail::Findings, _) => row.findings = words,
            (Detail::Advice, _) => row.advice = words,
            (Detail::Signs, _) => row.signs = words,
            (Detail::Heart, _) => row.heart = words,
            (Detail::Eyes, _) => row.eyes = words,
            (Detail::Ears, _) => row.ears = words,
            (Detail::Mouth, _) => row.mouth = words,
            (Detail::Navel, _) => row.navel = words,
            (Detail::Testes, _) => row.testes = words,
            (Detail::Knees, _) => row.knees = words,
            (Detail::Skin, _) => row.skin = words,
            (Detail::Joints, _) => row.joints = words,
            (Detail::What, _) => row.what = words,
            (Detail::Amount, _) => row.amount = words,
            (Detail::How, _) => row.how = words,
            (Detail::Energy, _) => row.energy = words,
            (Detail::Number, _) => row.number = words,
            (Detail::Result, _) => row.result = words,
            (Detail::Bite, _) => row.bite = words,
            (Detail::Hips, _) => row.hips = words,
        }
    }
    row
}
