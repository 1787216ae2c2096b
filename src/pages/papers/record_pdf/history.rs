//! Checks, illness, treatments, tests, and what else was written down.
//!
//! In: the events of the record. Out: a heading and a table or card for each kind that there is.
//! Vaccinations and wormings are on page one; entries that only mark an item of the care plan
//! are in the plan.

use super::vet::{against_parasites, of_kind, when};
use super::{RecordColumn, fact, heading, in_a_row, lines, table};
use crate::audience::owner::{EventKind, EventRecord, LookedAt, PuppyRecord};
use crate::pdf::Block;
use crate::quantity::capital;
use crate::words;

pub(super) fn blocks(record: &PuppyRecord, ounces: bool) -> Vec<Block> {
    let mut blocks: Vec<Block> = EventKind::ALL
        .iter()
        .flat_map(|kind| part(*kind, &of_kind(record, *kind), ounces))
        .collect();
    if blocks.is_empty() {
        blocks.push(Block::Paragraph(
            "No check, illness or treatment is recorded.".to_owned(),
        ));
    }
    blocks.insert(0, heading(1, "Checks, illness and treatment"));
    blocks
}

/// What is shown of the entries of one kind.
fn part(kind: EventKind, events: &[&EventRecord], ounces: bool) -> Vec<Block> {
    match kind {
        EventKind::Vaccination | EventKind::Worming | EventKind::Care => Vec::new(),
        EventKind::Check => events.iter().flat_map(|event| check(event)).collect(),
        EventKind::Illness => {
            let seen = ("What was seen", 3.0, false);
            let columns = [DATE, seen, ("Advice", 2.2, false), BY];
            simple("Illness", events, &columns, |e, at| {
                [
                    at,
                    cell(e.findings.as_ref()),
                    cell(e.advice.as_ref()),
                    cell(e.by.as_ref()),
                ]
            })
        }
        EventKind::Treatment => treatments(events),
        EventKind::Parasite if events.is_empty() => Vec::new(),
        EventKind::Parasite => vec![
            heading(2, "Fleas and ticks"),
            against_parasites(events, ounces),
        ],
        EventKind::Test => {
            let columns = [DATE, ("Test", 2.0, false), ("Result", 3.0, false), BY];
            simple("Tests", events, &columns, |e, at| {
                [
                    at,
                    cell(e.what.as_ref()),
                    cell(e.findings.as_ref()),
                    cell(e.by.as_ref()),
                ]
            })
        }
        // The chip stands on page one; only a second one is news.
        EventKind::Chip if events.len() < 2 => Vec::new(),
        EventKind::Chip => {
            let columns = [DATE, ("Number", 2.4, false), ("Where", 2.0, false), BY];
            simple("Microchips", events, &columns, |e, at| {
                [
                    at,
                    cell(e.what.as_ref()),
                    cell(e.site.as_ref()),
                    cell(e.by.as_ref()),
                ]
            })
        }
        EventKind::Temperature => temperatures(events),
        EventKind::Feed => {
            let how = ("How much and how", 3.0, false);
            simple(
                "Feeds",
                events,
                &[DATE, ("What", 3.0, false), how],
                |e, at| [at, cell(e.what.as_ref()), cell(e.given.as_ref())],
            )
        }
        EventKind::FollowUp => in_the_new_home(events, ounces),
    }
}

fn cell(text: Option<&String>) -> String {
    text.cloned().unwrap_or_default()
}

fn treatments(given: &[&EventRecord]) -> Vec<Block> {
    let columns = [
        DATE,
        ("What", 2.0, false),
        ("Why", 1.6, false),
        ("Given", 1.8, false),
        ("Until", 1.2, false),
        BY,
    ];
    simple("Treatments", given, &columns, |e, at| {
        let until = e.until.as_deref().map(words::short_day).unwrap_or_default();
        [
            at,
            cell(e.product.as_ref()),
            cell(e.what.as_ref()),
            cell(e.given.as_ref()),
            until,
            cell(e.by.as_ref()),
        ]
    })
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

const DATE: RecordColumn = ("Date", 1.4, false);
const BY: RecordColumn = ("By", 1.8, false);

/// A heading and a table with the day in its first column; nothing for no events.
fn simple<const N: usize>(
    title: &str,
    events: &[&EventRecord],
    columns: &[RecordColumn; N],
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
