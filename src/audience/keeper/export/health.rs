//! Health entries for the export.
//!
//! In: `health.yaml`. Out: one row for each entry, with a column for each detail of any kind of
//! entry.

use super::amounts::{Celsius, Grams, Pen, day, moment, text, texts};
use crate::records::health::{
    Check, ChipImplant, Feed, FollowUp, HealthEntry, Illness, LabTest, Parasite, Treatment,
    Vaccination,
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
    let HealthEntry {
        on,
        at,
        whom,
        worming,
        parasite,
        vaccination,
        check,
        temperature,
        feed,
        illness,
        treatment,
        chip,
        test,
        follow_up,
        done,
        excused,
        remark,
    } = entry;
    let mut row = HealthExport {
        entry: i + 1,
        on: day(*on),
        at: at.map(moment),
        whom: texts(whom),
        kind,
        temperature: pen.temperature(*temperature, key_path![i, "temperature"]),
        done: texts(done),
        excused: texts(excused),
        remark: text(remark),
        ..HealthExport::default()
    };
    for (key, treated) in [("worming", worming), ("parasite", parasite)] {
        if let Some(Parasite {
            product,
            active,
            batch,
            weight,
            given,
            by,
            next_due,
        }) = treated
        {
            (row.product, row.active, row.batch, row.given, row.by) = (
                text(product),
                text(active),
                text(batch),
                text(given),
                text(by),
            );
            row.weight = pen.weight(*weight, key_path![i, key, "weight"]);
            row.next_due = day(*next_due);
        }
    }
    if let Some(vaccination) = vaccination {
        vaccinated(&mut row, vaccination);
    }
    if let Some(check) = check {
        checked(&mut row, check);
    }
    if let Some(Feed {
        what,
        amount,
        how,
        energy,
    }) = feed
    {
        (row.what, row.how) = (Some(what.to_string()), text(how));
        (row.amount, row.energy) = (
            amount.as_ref().map(ToString::to_string),
            energy.map(|energy| energy.to_string()),
        );
    }
    if let Some(Illness { signs, advice, by }) = illness {
        (row.signs, row.advice, row.by) = (Some(signs.to_string()), text(advice), text(by));
    }
    if let Some(Treatment {
        product,
        why,
        given,
        by,
        until,
    }) = treatment
    {
        (row.product, row.why, row.given, row.by, row.until) = (
            Some(product.to_string()),
            text(why),
            text(given),
            text(by),
            day(*until),
        );
    }
    if let Some(ChipImplant { number, by, site }) = chip {
        (row.number, row.by, row.site) = (Some(number.to_string()), text(by), text(site));
    }
    if let Some(LabTest { what, result, by }) = test {
        (row.what, row.result, row.by) =
            (Some(what.to_string()), Some(result.to_string()), text(by));
    }
    if let Some(FollowUp {
        weight,
        bite,
        hips,
        how,
        by,
    }) = follow_up
    {
        row.weight = pen.weight(*weight, key_path![i, "follow_up", "weight"]);
        (row.bite, row.hips, row.how, row.by) = (text(bite), text(hips), text(how), text(by));
    }
    row
}

fn vaccinated(row: &mut HealthExport, vaccination: &Vaccination) {
    let Vaccination {
        against,
        product,
        manufacturer,
        batch,
        expiry,
        dose,
        site,
        by,
        next_due,
        reaction,
    } = vaccination;
    row.against = texts(against);
    (row.product, row.manufacturer, row.batch, row.expiry) =
        (text(product), text(manufacturer), text(batch), day(*expiry));
    (row.in_series, row.site, row.by, row.next_due, row.reaction) = (
        text(dose),
        text(site),
        text(by),
        day(*next_due),
        text(reaction),
    );
}

fn checked(row: &mut HealthExport, check: &Check) {
    let Check {
        by,
        findings,
        advice,
        heart,
        eyes,
        ears,
        mouth,
        navel,
        testes,
        knees,
        skin,
        joints,
    } = check;
    (row.by, row.findings, row.advice, row.heart) =
        (text(by), text(findings), text(advice), text(heart));
    (row.eyes, row.ears, row.mouth, row.navel) = (text(eyes), text(ears), text(mouth), text(navel));
    (row.testes, row.knees, row.skin, row.joints) =
        (text(testes), text(knees), text(skin), text(joints));
}
