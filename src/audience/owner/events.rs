//! What was given, checked and seen.
//!
//! In: the entries of `health.yaml` that are for this puppy, or for its dam. Out: [`EventRecord`]s,
//! the oldest first. Who else an entry is for stays out, and so do remarks, which are the
//! keeper's own; the reason why an item of the plan is not needed is the exception, since a vet
//! will ask.

use super::birth::round;
use super::{Case, EventKind, EventRecord, LookedAt, iso, text};
use crate::quantity::{Id, Text};
use crate::records::health::{
    Check, ChipImplant, Feed, FollowUp, HealthEntry, Illness, LabTest, Parasite, Treatment,
    Vaccination,
};

/// Everything that is for this puppy.
pub(super) fn of_puppy(case: &Case<'_>) -> Vec<EventRecord> {
    sorted(
        case.folder
            .health
            .iter()
            .filter(|e| e.is_for(&case.puppy.id))
            .filter_map(event),
    )
}

const PROTECTS: [EventKind; 3] = [
    EventKind::Worming,
    EventKind::Parasite,
    EventKind::Vaccination,
];

/// Wormings, vaccinations and treatments against parasites of the dam: what protects her puppies.
pub(super) fn of_dam(case: &Case<'_>) -> Vec<EventRecord> {
    let of_dam = case.folder.health.iter().filter(|e| e.is_for_dam());
    sorted(
        of_dam
            .filter_map(event)
            .filter(|e| PROTECTS.contains(&e.kind)),
    )
}

fn sorted(events: impl Iterator<Item = EventRecord>) -> Vec<EventRecord> {
    let mut events: Vec<EventRecord> = events.collect();
    events.sort_by(|a, b| (&a.on, &a.time).cmp(&(&b.on, &b.time)));
    events
}

fn event(entry: &HealthEntry) -> Option<EventRecord> {
    let on = entry.day()?.to_string();
    let time = entry.at.map(|at| at.local().format("%H:%M").to_string());
    let base = |kind| EventRecord {
        time: time.clone(),
        ..EventRecord::of(kind, &on)
    };
    let HealthEntry {
        on: _,
        at: _,
        whom: _,
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
    if let Some(given) = worming {
        return Some(against_parasites(given, base(EventKind::Worming)));
    }
    if let Some(given) = parasite {
        return Some(against_parasites(given, base(EventKind::Parasite)));
    }
    if let Some(given) = vaccination {
        return Some(vaccinated(given, base(EventKind::Vaccination)));
    }
    if let Some(check) = check {
        return Some(checked(check, base(EventKind::Check)));
    }
    if let Some(Feed {
        what,
        amount,
        how,
        energy: _,
    }) = feed
    {
        let given = [
            amount.as_ref().map(ToString::to_string),
            how.as_ref().map(ToString::to_string),
        ];
        let given = given.into_iter().flatten().collect::<Vec<_>>().join(", ");
        return Some(EventRecord {
            what: Some(what.to_string()),
            given: (!given.is_empty()).then_some(given),
            ..base(EventKind::Feed)
        });
    }
    if let Some(Illness { signs, advice, by }) = illness {
        let (advice, by) = (text(advice.as_ref()), text(by.as_ref()));
        return Some(EventRecord {
            findings: Some(signs.to_string()),
            advice,
            by,
            ..base(EventKind::Illness)
        });
    }
    if let Some(Treatment {
        product,
        why,
        given,
        by,
        until,
    }) = treatment
    {
        let (given, by) = (text(given.as_ref()), text(by.as_ref()));
        let (product, what) = (Some(product.to_string()), text(why.as_ref()));
        return Some(EventRecord {
            product,
            what,
            given,
            by,
            until: iso(*until),
            ..base(EventKind::Treatment)
        });
    }
    if let Some(ChipImplant { number, by, site }) = chip {
        let (by, site) = (text(by.as_ref()), text(site.as_ref()));
        return Some(EventRecord {
            what: Some(number.to_string()),
            by,
            site,
            ..base(EventKind::Chip)
        });
    }
    if let Some(LabTest { what, result, by }) = test {
        let (what, findings) = (Some(what.to_string()), Some(result.to_string()));
        return Some(EventRecord {
            what,
            findings,
            by: text(by.as_ref()),
            ..base(EventKind::Test)
        });
    }
    if let Some(temperature) = temperature {
        return Some(EventRecord {
            celsius: Some(round(temperature.celsius())),
            ..base(EventKind::Temperature)
        });
    }
    if let Some(told) = follow_up {
        return grown(told, base(EventKind::FollowUp));
    }
    planned(done, excused, remark.as_ref(), base(EventKind::Care))
}

/// What was told of a grown puppy, as far as it is of the dog. How it is, and who says so, are the
/// words of a family, and stay with the keeper: the dog may live with another one by now.
fn grown(told: &FollowUp, base: EventRecord) -> Option<EventRecord> {
    let FollowUp {
        weight,
        bite,
        hips,
        how: _,
        by: _,
    } = told;
    let parts = [("bite", text(bite.as_ref())), ("hips", text(hips.as_ref()))];
    let looked_at: Vec<LookedAt> = parts
        .into_iter()
        .filter_map(|(what, seen)| Some(LookedAt { what, seen: seen? }))
        .collect();
    let for_grams = weight.map(|weight| round(weight.grams()));
    (for_grams.is_some() || !looked_at.is_empty()).then_some(EventRecord {
        for_grams,
        looked_at,
        ..base
    })
}

fn against_parasites(given: &Parasite, base: EventRecord) -> EventRecord {
    let Parasite {
        product,
        active,
        batch,
        weight,
        given,
        by,
        next_due,
    } = given;
    EventRecord {
        product: text(product.as_ref()),
        active: text(active.as_ref()),
        batch: text(batch.as_ref()),
        for_grams: weight.map(|w| round(w.grams())),
        given: text(given.as_ref()),
        by: text(by.as_ref()),
        next_due: iso(*next_due),
        ..base
    }
}

fn vaccinated(given: &Vaccination, base: EventRecord) -> EventRecord {
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
    EventRecord {
        against: against.iter().map(ToString::to_string).collect(),
        product: text(product.as_ref()),
        manufacturer: text(manufacturer.as_ref()),
        batch: text(batch.as_ref()),
        expiry: iso(*expiry),
        dose: text(dose.as_ref()),
        site: text(site.as_ref()),
        by: text(by.as_ref()),
        next_due: iso(*next_due),
        reaction: text(reaction.as_ref()),
        ..base
    }
}

pub(super) fn checked(check: &Check, base: EventRecord) -> EventRecord {
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
    let parts = [
        ("heart", heart),
        ("eyes", eyes),
        ("ears", ears),
        ("mouth and bite", mouth),
        ("navel", navel),
        ("testes", testes),
        ("knees", knees),
        ("skin", skin),
        ("joints", joints),
    ];
    let looked_at = parts
        .into_iter()
        .filter_map(|(what, seen)| {
            Some(LookedAt {
                what,
                seen: seen.as_ref()?.to_string(),
            })
        })
        .collect();
    let (findings, advice, by) = (
        text(findings.as_ref()),
        text(advice.as_ref()),
        text(by.as_ref()),
    );
    EventRecord {
        by,
        findings,
        advice,
        looked_at,
        ..base
    }
}

/// Items of the care plan that an entry names. Those that are not needed come with their reason.
fn planned(
    done: &[Id],
    excused: &[Id],
    why: Option<&Text>,
    base: EventRecord,
) -> Option<EventRecord> {
    let named = |ids: &[Id]| ids.iter().map(Id::as_str).collect::<Vec<_>>().join(", ");
    if !done.is_empty() {
        return Some(EventRecord {
            what: Some(named(done)),
            findings: Some("done".to_owned()),
            ..base
        });
    }
    let reason = why.map_or_else(
        || "not needed".to_owned(),
        |why| format!("not needed: {why}"),
    );
    (!excused.is_empty()).then(|| EventRecord {
        what: Some(named(excused)),
        findings: Some(reason),
        ..base
    })
}
