//! The care plan held against what was done.
//!
//! In: the items of care. Out: what was done and when, what was planned and not recorded, what was
//! not needed and why, and first steps. What is still open for the vet stands on page one.

use super::vet::{is_to_come, sources};
use super::{heading, lines, table};
use crate::audience::owner::{CareRecord, CareState, PuppyRecord};
use crate::pdf::Block;
use crate::quantity::capital;
use crate::words;

pub(super) fn blocks(record: &PuppyRecord) -> Vec<Block> {
    let (care, steps): (Vec<&CareRecord>, Vec<&CareRecord>) = record
        .care
        .iter()
        .partition(|item| item.kind.is_veterinary());
    let mut blocks = vec![heading(1, "The care plan")];
    let done = of(&care, CareState::Done);
    if !done.is_empty() {
        blocks.push(heading(2, "Done"));
        blocks.extend(planned(&done, "Done on"));
    }
    let missing = missed(&care, record);
    if !missing.is_empty() {
        blocks.push(heading(2, "Planned and not recorded by the breeder"));
        blocks.push(Block::Paragraph(
            "For these there is no entry: none was made when they were due, or they fell after \
             the puppy had left. They may have been done or not; ask the breeder, and look at the \
             vet’s later papers."
                .to_owned(),
        ));
        blocks.extend(planned(&missing, "Done on"));
    }
    let excused = of(&care, CareState::NotNeeded);
    if !excused.is_empty() {
        blocks.push(heading(2, "Not needed"));
        let why = |item: &&CareRecord| {
            format!(
                "{}: {}",
                capital(&item.name),
                item.why.as_deref().unwrap_or("no reason was written down")
            )
        };
        blocks.push(Block::List(excused.iter().map(why).collect()));
    }
    let seen = of(&steps, CareState::Done);
    if !seen.is_empty() {
        blocks.push(heading(2, "First steps and first meetings"));
        blocks.extend(planned(&seen, "Seen on"));
    }
    let to_come: Vec<&CareRecord> = steps
        .iter()
        .copied()
        .filter(|item| is_to_come(item, record))
        .collect();
    if !to_come.is_empty() {
        blocks.push(heading(2, "First steps and first meetings to come"));
        blocks.extend(planned(&to_come, "Seen on"));
    }
    let unseen = missed(&steps, record);
    if !unseen.is_empty() {
        blocks.push(Block::Small(format!(
            "Also planned, without an entry: {}.",
            unseen
                .iter()
                .map(|item| item.name.as_str())
                .collect::<Vec<_>>()
                .join("; ")
        )));
    }
    if blocks.len() == 1 {
        blocks.push(Block::Paragraph(
            "Nothing of the care plan is done or missing.".to_owned(),
        ));
    }
    blocks
}

/// What has no entry though its days are over: by the day on which the record was made, or by the
/// latest entry.
fn missed<'a>(items: &[&'a CareRecord], record: &PuppyRecord) -> Vec<&'a CareRecord> {
    items
        .iter()
        .copied()
        .filter(|item| {
            item.state == CareState::NotRecorded
                || (item.state == CareState::Open && !is_to_come(item, record))
        })
        .collect()
}

fn of<'a>(items: &[&'a CareRecord], state: CareState) -> Vec<&'a CareRecord> {
    items
        .iter()
        .copied()
        .filter(|item| item.state == state)
        .collect()
}

/// A table of items and their sources below it; the column `done` is left out where none of them
/// is.
fn planned(items: &[&CareRecord], done: &'static str) -> impl Iterator<Item = Block> {
    let row = |item: &&CareRecord| {
        let CareRecord {
            id: _,
            kind: _,
            name,
            from,
            until,
            state: _,
            on,
            why: _,
            source,
            for_family: _,
        } = *item;
        let window = if from == until {
            words::short_day(from)
        } else {
            format!("{} to {}", words::short_day(from), words::short_day(until))
        };
        [
            capital(name),
            window,
            lines([on.as_deref().map(words::short_day)]),
            words::short_source(source).to_owned(),
        ]
    };
    let columns = [
        ("What", 2.8, false),
        ("Planned for", 2.3, false),
        (done, 1.2, false),
        ("Where the days come from", 2.4, false),
    ];
    std::iter::once(table("", &columns, items.iter().map(row).collect())).chain(sources(items))
}
