//! Birth, parents, inbreeding, and what the dam was given.
//!
//! In: the record. Out: cards and tables. Inbreeding is said with the depth it rests on, as the
//! lower bound that it is.

use super::vet::when;
use super::{fact, facts, heading, in_a_row, lines, table};
use crate::audience::owner::{
    BirthRecord, EventKind, EventRecord, IdentityRecord, InbreedingRecord, LookedAt, ParentRecord,
    PuppyRecord, ScreeningRecord, VigourRecord,
};
use crate::audience::{TOO_FEW_ANCESTORS, percent};
use crate::pdf::Block;
use crate::quantity::{capital, many};
use crate::words;

pub(super) fn blocks(record: &PuppyRecord, ounces: bool) -> Vec<Block> {
    let mut blocks = birth(&record.birth, &record.puppy, ounces);
    blocks.push(heading(1, "Parents"));
    blocks.extend(parent("Dam", &record.dam));
    blocks.extend(parent("Sire", &record.sire));
    blocks.push(Block::Paragraph(match &record.inbreeding {
        Some(InbreedingRecord {
            coefficient,
            deepest,
            complete_generations,
        }) => format!(
            "Inbreeding, computed from the parents: at least {}. It rests on {deepest} known \
             generations on the deepest line, {complete_generations:.1} complete ones; ancestors \
             that are not known could only raise it.",
            percent(*coefficient)
        ),
        None => format!("Inbreeding: {TOO_FEW_ANCESTORS}."),
    }));
    if !record.dam_events.is_empty() {
        blocks.push(heading(
            2,
            "What its dam was given in this pregnancy and while she nursed",
        ));
        blocks.push(given_to_dam(&record.dam_events, ounces));
    }
    blocks
}

fn given_to_dam(events: &[EventRecord], ounces: bool) -> Block {
    let row = |event: &EventRecord| {
        let EventRecord {
            on,
            kind,
            product,
            active,
            against,
            manufacturer,
            batch,
            expiry,
            dose,
            site,
            for_grams,
            given,
            by,
            next_due,
            reaction,
            ..
        } = event;
        let kind = match kind {
            EventKind::Parasite => "against fleas and ticks",
            kind => kind.word(),
        };
        let against = (!against.is_empty()).then(|| format!("against {}", against.join(", ")));
        let expiry = expiry
            .as_deref()
            .map(|expiry| format!("expires {}", words::short_day(expiry)));
        [
            when(event, on),
            lines([Some(capital(kind)), against, dose.clone()]),
            lines([product.clone(), active.clone(), manufacturer.clone()]),
            lines([batch.clone(), expiry]),
            lines([for_grams.map(|grams| words::weight(grams, ounces))]),
            lines([
                given.clone(),
                reaction
                    .as_ref()
                    .map(|reaction| format!("reaction: {reaction}")),
            ]),
            lines([by.clone(), site.clone()]),
            lines([next_due.as_deref().map(words::short_day)]),
        ]
    };
    let columns = [
        ("Date", 1.3, false),
        ("What", 1.6, false),
        ("Product", 1.8, false),
        ("Batch", 1.3, false),
        ("For a weight of", 1.1, true),
        ("Given", 1.4, false),
        ("By", 1.3, false),
        ("Next due", 1.3, false),
    ];
    table("", &columns, events.iter().map(row).collect())
}

fn birth(birth: &BirthRecord, puppy: &IdentityRecord, ounces: bool) -> Vec<Block> {
    let BirthRecord {
        at,
        how,
        order,
        grams,
        first_breath_seconds,
        palate,
        vigour,
        looked_at,
    } = birth;
    let IdentityRecord {
        litter: name,
        ribbon,
        ..
    } = puppy;
    let vigour = vigour.iter().map(
        |VigourRecord {
             seconds,
             total,
             class,
         }| {
            let score = total
                .map(|total| format!("{total} of 10, "))
                .unwrap_or_default();
            format!("{score}{class}, {} after birth", span(*seconds))
        },
    );
    let vigour = vigour.collect::<Vec<_>>().join("\n");
    let mut blocks = vec![
        heading(1, "Birth"),
        facts([
            fact("Born", at.as_deref().map(words::short_moment)),
            fact("How", *how),
            fact("Ribbon in the litter", *ribbon),
            fact("Litter", Some(name.as_str())),
            fact(
                "Place in the order of birth",
                order.map(|order| order.to_string()),
            ),
            fact(
                "Birth weight",
                grams.map(|grams| words::weight(grams, ounces)),
            ),
            fact(
                "First breath",
                first_breath_seconds.map(|seconds| format!("after {}", span(seconds))),
            ),
            fact("Palate", Some(palate.unwrap_or("not recorded"))),
            fact("Vigour score", (!vigour.is_empty()).then_some(vigour)),
        ]),
    ];
    if !looked_at.is_empty() {
        blocks.push(heading(2, "What was looked at in the newborn"));
        let facts = looked_at
            .iter()
            .map(|LookedAt { what, seen }| (capital(what), seen.clone()))
            .collect();
        blocks.push(Block::Facts { columns: 2, facts });
    }
    blocks
}

/// Seconds, or minutes where they are whole.
fn span(seconds: u64) -> String {
    match seconds {
        s if s >= 60 && s % 60 == 0 => many(s / 60, "minute"),
        s => many(s, "second"),
    }
}

fn parent(which: &str, parent: &ParentRecord) -> Vec<Block> {
    let ParentRecord {
        name,
        call_name,
        colour,
        born,
        registration,
        screening,
    } = parent;
    let mut blocks = vec![
        heading(2, format!("{which}: {name}")),
        facts([
            fact("Called", call_name.as_deref()),
            fact("Colour", colour.as_deref()),
            fact("Born", born.as_deref().map(words::day)),
            fact("Registration", registration.as_deref()),
        ]),
    ];
    if screening.is_empty() {
        blocks.push(Block::Paragraph("No test result is published.".to_owned()));
        return blocks;
    }
    let row = |screening: &ScreeningRecord| {
        let ScreeningRecord {
            test,
            result,
            on,
            by,
            valid_until,
            has_run_out,
        } = screening;
        let end = valid_until.as_deref().map(|until| {
            let word = if *has_run_out {
                "ran out on"
            } else {
                "valid until"
            };
            format!("{word} {}", words::short_day(until))
        });
        [
            test.clone(),
            result.clone(),
            lines([in_a_row([on.as_deref().map(words::short_day)]), end]),
            lines([by.clone()]),
        ]
    };
    let columns = [
        ("Test", 2.5, false),
        ("Result", 2.2, false),
        ("Date", 1.3, false),
        ("By", 2.2, false),
    ];
    blocks.push(table("", &columns, screening.iter().map(row).collect()));
    blocks
}
