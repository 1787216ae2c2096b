//! Health entries as the keeper sees them: when, for whom, what, and every detail.
//!
//! In: one entry of `health.yaml`. Out: [`HealthRow`].

use super::words::when;
use super::{Desk, Fact, Facts};
use crate::records::health::{Check, ChipImplant, Entry, Feed, FollowUp, Illness, LabTest, Parasite, Treatment, Vaccination};
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

pub(super) fn row(desk: &Desk<'_>, entry: &Entry) -> HealthRow {
    let what = entry.kinds().first().copied().unwrap_or("");
    let Entry {
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
    let mut facts = Facts::default();
    for treated in [worming, parasite].into_iter().flatten() {
        let Parasite { product, active, batch, weight, given, by, next_due } = treated;
        facts.maybe("Product", product.as_ref()).maybe("Active", active.as_ref()).maybe("Batch", batch.as_ref());
        facts.maybe("For weight", weight.map(|w| desk.weight(w))).maybe("Given", given.as_ref()).maybe("By", by.as_ref()).day("Next due", *next_due);
    }
    if let Some(Vaccination { against, product, manufacturer, batch, expiry, dose, site, by, next_due, reaction }) = vaccination {
        if !against.is_empty() {
            facts.say("Against", against.iter().map(ToString::to_string).collect::<Vec<_>>().join(", "));
        }
        facts.maybe("Product", product.as_ref()).maybe("Manufacturer", manufacturer.as_ref()).maybe("Batch", batch.as_ref()).day("Expiry", *expiry);
        facts
            .maybe("Dose", dose.as_ref())
            .maybe("Site", site.as_ref())
            .maybe("By", by.as_ref())
            .day("Next due", *next_due)
            .maybe("Reaction", reaction.as_ref());
    }
    if let Some(Check { by, findings, advice, heart, eyes, ears, mouth, navel, testes, knees, skin, joints }) = check {
        facts.maybe("By", by.as_ref()).maybe("Findings", findings.as_ref()).maybe("Advice", advice.as_ref()).maybe("Heart", heart.as_ref());
        facts.maybe("Eyes", eyes.as_ref()).maybe("Ears", ears.as_ref()).maybe("Mouth", mouth.as_ref()).maybe("Navel", navel.as_ref());
        facts.maybe("Testes", testes.as_ref()).maybe("Knees", knees.as_ref()).maybe("Skin", skin.as_ref()).maybe("Joints", joints.as_ref());
    }
    facts.maybe("Temperature", *temperature);
    if let Some(Feed { what, amount, how, energy }) = feed {
        facts.say("Feed", what).maybe("Amount", amount.as_ref()).maybe("How", how.as_ref()).maybe("Energy", *energy);
    }
    if let Some(Illness { signs, advice, by }) = illness {
        facts.say("Signs", signs).maybe("Advice", advice.as_ref()).maybe("By", by.as_ref());
    }
    if let Some(Treatment { product, why, given, by, until }) = treatment {
        facts.say("Product", product).maybe("Why", why.as_ref()).maybe("Given", given.as_ref()).maybe("By", by.as_ref()).day("Until", *until);
    }
    if let Some(ChipImplant { number, by, site }) = chip {
        facts.say("Number", number).maybe("By", by.as_ref()).maybe("Site", site.as_ref());
    }
    if let Some(LabTest { what, result, by }) = test {
        facts.say("Test", what).say("Result", result).maybe("By", by.as_ref());
    }
    if let Some(FollowUp { weight, bite, hips, how, by }) = follow_up {
        facts.maybe("Weight", weight.map(|w| desk.weight(w))).maybe("Bite", bite.as_ref()).maybe("Hips", hips.as_ref());
        facts.maybe("How it is", how.as_ref()).maybe("By", by.as_ref());
    }
    for (label, ids) in [("Items", done), ("Items not needed", excused)] {
        facts.maybe(label, (!ids.is_empty()).then(|| ids.iter().map(ToString::to_string).collect::<Vec<_>>().join(", ")));
    }
    let details = facts.maybe("Remark", remark.as_ref()).done();
    HealthRow { when: when(*on, *at), whom: whom.iter().map(ToString::to_string).collect::<Vec<_>>().join(", "), what, details }
}
