//! Checks, illness, treatments, tests, and what else was written down.
//!
//! In: the events of the record. Out: a heading and a table or card for each kind that there is.
//! Vaccinations and wormings are on page one; entries that only mark an item of the care plan
//! are in the plan. A kind that is not known here is shown as well, so that nothing of the record
//! is lost on paper.

use super::vet::{against_parasites, when};
use super::{Column, fact, heading, in_a_row, lines, table};
use crate::audience::owner::{EventRecord, LookedAt, PuppyRecord};
use crate::pages::pdf::Block;
use crate::pages::words;
use crate::quantity::capital;

/// Kinds that stand elsewhere in the document or have a part of their own below.
const KNOWN: [&str; 12] = [
    "vaccination",
    "worming",
    "care",
    "check",
    "illness",
    "treatment",
    "parasite",
    "test",
    "temperature",
    "feed",
    "chip",
    "follow-up",
];

pub(super) fn blocks(record: &PuppyRecord, ounces: bool) -> Vec<Block> {
    let of = |kind: &str| {
        record
            .events
            .iter()
            .filter(|e| e.kind == kind)
            .collect::<Vec<_>>()
    };
    let mut blocks = Vec::new();
    for event in of("check") {
        blocks.extend(check(event));
    }
    blocks.extend(simple(
        "Illness",
        &of("illness"),
        &[
            DATE,
            ("What was seen", 3.0, false),
            ("Advice", 2.2, false),
            BY,
        ],
        |e, at| {
            [
                at,
                lines([e.findings.clone()]),
                lines([e.advice.clone()]),
                lines([e.by.clone()]),
            ]
        },
    ));
    let columns = [
        DATE,
        ("What", 2.0, false),
        ("Why", 1.6, false),
        ("Given", 1.8, false),
        ("Until", 1.2, false),
        BY,
    ];
    blocks.extend(simple("Treatments", &of("treatment"), &columns, |e, at| {
        let until = e.until.as_deref().map(words::short_day);
        [
            at,
            lines([e.product.clone()]),
            lines([e.what.clone()]),
            lines([e.given.clone()]),
            lines([until]),
            lines([e.by.clone()]),
        ]
    }));
    let fleas = of("parasite");
    if !fleas.is_empty() {
        blocks.extend([
            heading(2, "Fleas and ticks"),
            against_parasites(&fleas, ounces),
        ]);
    }
    blocks.extend(simple(
        "Tests",
        &of("test"),
        &[DATE, ("Test", 2.0, false), ("Result", 3.0, false), BY],
        |e, at| {
            [
                at,
                lines([e.what.clone()]),
                lines([e.findings.clone()]),
                lines([e.by.clone()]),
            ]
        },
    ));
    // The chip stands on page one; only a second one is news.
    let chips = of("chip");
    if chips.len() > 1 {
        blocks.extend(simple(
            "Microchips",
            &chips,
            &[DATE, ("Number", 2.4, false), ("Where", 2.0, false), BY],
            |e, at| {
                [
                    at,
                    lines([e.what.clone()]),
                    lines([e.site.clone()]),
                    lines([e.by.clone()]),
                ]
            },
        ));
    }
    blocks.extend(temperatures(&of("temperature")));
    blocks.extend(simple(
        "Feeds",
        &of("feed"),
        &[DATE, ("What", 3.0, false), ("How much and how", 3.0, false)],
        |e, at| [at, lines([e.what.clone()]), lines([e.given.clone()])],
    ));
    blocks.extend(in_the_new_home(&of("follow-up"), ounces));
    let other: Vec<&EventRecord> = record
        .events
        .iter()
        .filter(|e| !KNOWN.contains(&e.kind))
        .collect();
    blocks.extend(simple(
        "Other entries",
        &other,
        &[DATE, ("What", 3.0, false), ("Details", 3.0, false), BY],
        |e, at| {
            [
                at,
                lines([
                    Some(capital(e.kind)),
                    e.what.clone(),
                    e.product.clone(),
                    e.batch.clone(),
                ]),
                lines([e.findings.clone(), e.given.clone(), e.advice.clone()]),
                lines([e.by.clone()]),
            ]
        },
    ));
    if blocks.is_empty() {
        blocks.push(Block::Paragraph(
            "No check, illness or treatment is recorded.".to_owned(),
        ));
    }
    blocks.insert(0, heading(1, "Checks, illness and treatment"));
    blocks
}

fn temperatures(measured: &[&EventRecord]) -> Vec<Block> {
    if measured.is_empty() {
        return Vec::new();
    }
    let fact = |event: &&EventRecord| {
        let celsius = event.celsius.map(|celsius| format!("{celsius:.1} °C"));
        (when(event, &event.on), celsius.unwrap_or_default())
    };
    vec![
        heading(2, "Temperature"),
        Block::Facts {
            columns: 2,
            facts: measured.iter().map(fact).collect(),
        },
    ]
}

fn in_the_new_home(grown: &[&EventRecord], ounces: bool) -> Vec<Block> {
    let seen = |event: &EventRecord, part: &str| {
        let looked = event.looked_at.iter().find(|looked| looked.what == part)?;
        Some(looked.seen.clone())
    };
    let columns = [
        DATE,
        ("Weight", 1.6, false),
        ("Bite", 2.0, false),
        ("Hips", 2.0, false),
    ];
    simple("In the new home", grown, &columns, |event, at| {
        let weight = event.for_grams.map(|grams| words::weight(grams, ounces));
        [
            at,
            lines([weight]),
            lines([seen(event, "bite")]),
            lines([seen(event, "hips")]),
        ]
    })
}

const DATE: Column = ("Date", 1.4, false);
const BY: Column = ("By", 1.8, false);

/// A heading and a table with the day in its first column; nothing for no events.
fn simple<const N: usize>(
    title: &str,
    events: &[&EventRecord],
    columns: &[Column; N],
    row: impl Fn(&EventRecord, String) -> [String; N],
) -> Vec<Block> {
    if events.is_empty() {
        return Vec::new();
    }
    let rows = events
        .iter()
        .map(|event| row(event, when(event, &event.on)))
        .collect();
    vec![heading(2, title), table("", columns, rows)]
}

/// One check: every part that was looked at, what was found, what was advised.
fn check(event: &EventRecord) -> Vec<Block> {
    let EventRecord {
        on,
        time,
        by,
        findings,
        advice,
        looked_at,
        ..
    } = event;
    let at = in_a_row([Some(words::day(on)), time.clone()]).unwrap_or_default();
    let parts = looked_at
        .iter()
        .map(|LookedAt { what, seen }| (capital(what), seen.clone()));
    let words = [
        fact("By", by.as_deref()),
        fact("Findings", findings.as_deref()),
        fact("Advice", advice.as_deref()),
    ];
    let mut blocks = vec![heading(2, format!("Check on {at}"))];
    let parts: Vec<_> = parts.collect();
    if !parts.is_empty() {
        blocks.push(Block::Facts {
            columns: 2,
            facts: parts,
        });
    }
    let words: Vec<_> = words.into_iter().flatten().collect();
    if !words.is_empty() {
        blocks.push(Block::Facts {
            columns: 1,
            facts: words,
        });
    }
    blocks
}
