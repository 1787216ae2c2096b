//! Health entries as the keeper sees them: when, for whom, what, and every detail.
//!
//! In: one entry of `health.yaml`. Out: [`HealthRow`].

use super::words::when;
use super::{BookContext, Fact, Facts};
use crate::records::health::{
    Check, ChipImplant, Feed, FollowUp, HealthEntry, Illness, LabTest, Parasite, Treatment,
    Vaccination,
};
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
    let mut facts = Facts::default();
    for treated in [worming, parasite].into_iter().flatten() {
        add_parasite(&mut facts, context, treated);
    }
    if let Some(given) = vaccination {
        add_vaccination(&mut facts, given);
    }
    if let Some(check) = check {
        add_check(&mut facts, check);
    }
    facts.maybe("Temperature", *temperature);
    if let Some(feed) = feed {
        add_feed(&mut facts, feed);
    }
    if let Some(illness) = illness {
        add_illness(&mut facts, illness);
    }
    if let Some(treatment) = treatment {
        add_treatment(&mut facts, treatment);
    }
    if let Some(chip) = chip {
        add_chip(&mut facts, chip);
    }
    if let Some(test) = test {
        add_test(&mut facts, test);
    }
    if let Some(seen) = follow_up {
        add_follow_up(&mut facts, context, seen);
    }
    for (label, ids) in [("Items", done), ("Items not needed", excused)] {
        facts.maybe(
            label,
            (!ids.is_empty()).then(|| {
                ids.iter()
                    .map(ToString::to_string)
                    .collect::<Vec<_>>()
                    .join(", ")
            }),
        );
    }
    let details = facts.maybe("Remark", remark.as_ref()).done();
    HealthRow {
        when: when(*on, *at),
        whom: whom
            .iter()
            .map(ToString::to_string)
            .collect::<Vec<_>>()
            .join(", "),
        what,
        details,
    }
}

fn add_parasite(facts: &mut Facts, context: &BookContext<'_>, treated: &Parasite) {
    let Parasite {
        product,
        active,
        batch,
        weight,
        given,
        by,
        next_due,
    } = treated;
    facts
        .maybe("Product", product.as_ref())
        .maybe("Active", active.as_ref())
        .maybe("Batch", batch.as_ref())
        .maybe("For weight", weight.map(|w| context.weight(w)))
        .maybe("Given", given.as_ref())
        .maybe("By", by.as_ref())
        .day("Next due", *next_due);
}

fn add_vaccination(facts: &mut Facts, given: &Vaccination) {
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
    } = given;
    if !against.is_empty() {
        facts.say(
            "Against",
            against
                .iter()
                .map(ToString::to_string)
                .collect::<Vec<_>>()
                .join(", "),
        );
    }
    facts
        .maybe("Product", product.as_ref())
        .maybe("Manufacturer", manufacturer.as_ref())
        .maybe("Batch", batch.as_ref())
        .day("Expiry", *expiry);
    facts
        .maybe("Dose", dose.as_ref())
        .maybe("Site", site.as_ref())
        .maybe("By", by.as_ref())
        .day("Next due", *next_due)
        .maybe("Reaction", reaction.as_ref());
}

fn add_check(facts: &mut Facts, check: &Check) {
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
    facts
        .maybe("By", by.as_ref())
        .maybe("Findings", findings.as_ref())
        .maybe("Advice", advice.as_ref())
        .maybe("Heart", heart.as_ref());
    facts
        .maybe("Eyes", eyes.as_ref())
        .maybe("Ears", ears.as_ref())
        .maybe("Mouth", mouth.as_ref())
        .maybe("Navel", navel.as_ref());
    facts
        .maybe("Testes", testes.as_ref())
        .maybe("Knees", knees.as_ref())
        .maybe("Skin", skin.as_ref())
        .maybe("Joints", joints.as_ref());
}

fn add_feed(facts: &mut Facts, feed: &Feed) {
    let Feed {
        what,
        amount,
        how,
        energy,
    } = feed;
    facts
        .say("Feed", what)
        .maybe("Amount", amount.as_ref())
        .maybe("How", how.as_ref())
        .maybe("Energy", *energy);
}

fn add_illness(facts: &mut Facts, illness: &Illness) {
    let Illness { signs, advice, by } = illness;
    facts
        .say("Signs", signs)
        .maybe("Advice", advice.as_ref())
        .maybe("By", by.as_ref());
}

fn add_treatment(facts: &mut Facts, treatment: &Treatment) {
    let Treatment {
        product,
        why,
        given,
        by,
        until,
    } = treatment;
    facts
        .say("Product", product)
        .maybe("Why", why.as_ref())
        .maybe("Given", given.as_ref())
        .maybe("By", by.as_ref())
        .day("Until", *until);
}

fn add_chip(facts: &mut Facts, chip: &ChipImplant) {
    let ChipImplant { number, by, site } = chip;
    facts
        .say("Number", number)
        .maybe("By", by.as_ref())
        .maybe("Site", site.as_ref());
}

fn add_test(facts: &mut Facts, test: &LabTest) {
    let LabTest { what, result, by } = test;
    facts
        .say("Test", what)
        .say("Result", result)
        .maybe("By", by.as_ref());
}

fn add_follow_up(facts: &mut Facts, context: &BookContext<'_>, seen: &FollowUp) {
    let FollowUp {
        weight,
        bite,
        hips,
        how,
        by,
    } = seen;
    facts
        .maybe("Weight", weight.map(|w| context.weight(w)))
        .maybe("Bite", bite.as_ref())
        .maybe("Hips", hips.as_ref());
    facts
        .maybe("How it is", how.as_ref())
        .maybe("By", by.as_ref());
}
