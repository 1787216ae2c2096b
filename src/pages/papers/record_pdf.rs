//! The health and weight record on paper, for the vet and for the folder at home.
//!
//! In: the page of one puppy. Out: a document for the typesetter. Page one answers what a vet asks
//! first: who it is, its chip, vaccinations, wormings, last weight, what is due next. Everything
//! that the record holds follows, in the order of the owner's page. What nobody recorded is said or
//! left out, never made up.

mod arrival;
mod chart;
mod family;
mod growth;
mod history;
mod plan;
mod prose;
mod vet;

use crate::audience::owner::{NoteRecord, OwnerPage, PuppyRecord};
use crate::pdf::{Block, Document, PageSize as Sheet};
use crate::quantity::capital;
use crate::words;

/// The record as a document. `figure` is the mark of the signed record.
pub(super) fn document(page: &OwnerPage, figure: &str, sheet: Sheet) -> Document {
    let OwnerPage {
        key: _,
        family: _,
        stem: _,
        leaves: _,
        record,
        chart,
        ribbon,
        ounces,
        inbreeding: _,
        country: _,
        month_first: _,
        glance,
        first_days,
        pictures: _,
        call_a_vet,
        cautions,
    } = page;
    let mut blocks = title(record);
    blocks.extend(vet::blocks(record, glance, *ounces));
    blocks.extend(arrival::blocks(page, first_days, call_a_vet));
    blocks.extend(history::blocks(record, *ounces));
    blocks.extend(growth::blocks(record, chart.as_ref(), *ounces));
    blocks.extend(family::blocks(record, *ounces));
    blocks.extend(plan::blocks(record));
    blocks.extend(notes(record));
    blocks.push(heading(1, "When to call a vet"));
    blocks.push(list(call_a_vet));
    blocks.push(heading(1, "Good to know"));
    blocks.push(list(cautions));
    blocks.extend(vet::contacts(record));
    let name = &record.puppy.name;
    Document {
        title: format!("{name}: health and weight record"),
        language: "en-GB".to_owned(),
        author: record.kennel.name.clone(),
        made: None,
        paper: sheet,
        head: format!("{name} · {} · health and weight record", record.kennel.name),
        foot: format!(
            "Entries up to {} · belongs to the file marked {figure}",
            words::day(&record.up_to)
        ),
        accent: ribbon.as_ref().and_then(|ribbon| colour(ribbon.hex)),
        blocks,
    }
}

fn title(record: &PuppyRecord) -> Vec<Block> {
    let PuppyRecord {
        kennel,
        puppy,
        up_to,
        ..
    } = record;
    let born = puppy
        .born
        .as_ref()
        .map(|born| format!(", born {}", words::day(born)))
        .unwrap_or_default();
    let under = [
        puppy
            .registered_name
            .clone()
            .filter(|registered| *registered != puppy.name),
        Some(format!("{}, {}{born}", puppy.breed, puppy.sex)),
        Some(format!(
            "Health and weight record from {}, entries up to {}",
            kennel.name,
            words::day(up_to)
        )),
    ];
    vec![
        Block::Title {
            text: puppy.name.clone(),
            under: under.into_iter().flatten().collect(),
        },
        Block::Small("This is the breeder’s record. It is no veterinary certificate.".to_owned()),
    ]
}

/// Feeding and routine first, then the other notes, the newest first.
fn notes(record: &PuppyRecord) -> Vec<Block> {
    let (topical, other): (Vec<_>, Vec<_>) =
        record.notes.iter().partition(|note| note.topic.is_some());
    let mut blocks = Vec::new();
    for (words, notes) in [("Feeding and routine", topical), ("Notes", other)] {
        if !notes.is_empty() {
            blocks.push(heading(1, words));
        }
        for NoteRecord {
            date,
            title,
            topic: _,
            text,
        } in notes
        {
            blocks.push(heading(2, format!("{title} ({})", words::day(date))));
            blocks.extend(prose::blocks(text));
        }
    }
    blocks
}

fn heading(level: u8, text: impl Into<String>) -> Block {
    Block::Heading {
        level,
        text: text.into(),
    }
}

fn list(items: &[&str]) -> Block {
    Block::List(items.iter().map(|item| capital(item)).collect())
}

/// A label and its value, where there is one.
fn fact(label: &str, value: Option<impl Into<String>>) -> Option<(String, String)> {
    value.map(|value| (label.to_owned(), value.into()))
}

fn facts<const N: usize>(facts: [Option<(String, String)>; N]) -> Block {
    Block::Facts {
        columns: 2,
        facts: facts.into_iter().flatten().collect(),
    }
}

/// What is known of several things, each on a line of its own.
fn lines<const N: usize>(parts: [Option<String>; N]) -> String {
    parts
        .into_iter()
        .flatten()
        .filter(|part| !part.is_empty())
        .collect::<Vec<_>>()
        .join("\n")
}

/// What is known of several things, in one line.
fn in_a_row<const N: usize>(parts: [Option<String>; N]) -> Option<String> {
    let parts: Vec<String> = parts
        .into_iter()
        .flatten()
        .filter(|part| !part.is_empty())
        .collect();
    (!parts.is_empty()).then(|| parts.join(", "))
}

/// A column of a table: its head, its share of the width, and whether it holds figures.
type RecordColumn = (&'static str, f32, bool);

/// A table; columns in which no row says anything are left out, so that the others have room. A row
/// cannot have more or fewer cells than there are heads.
fn table<const N: usize>(
    caption: &str,
    columns: &[RecordColumn; N],
    rows: Vec<[String; N]>,
) -> Block {
    let said: Vec<bool> = (0..N)
        .map(|n| {
            rows.iter()
                .any(|row| row.get(n).is_some_and(|cell| !cell.is_empty()))
        })
        .collect();
    let kept = || {
        columns
            .iter()
            .zip(&said)
            .filter(|(_, said)| **said)
            .map(|(column, _)| column)
    };
    let cells = |row: [String; N]| {
        row.into_iter()
            .zip(&said)
            .filter(|(_, said)| **said)
            .map(|(cell, _)| cell)
            .collect()
    };
    Block::Table {
        caption: caption.to_owned(),
        head: kept().map(|(head, ..)| (*head).to_owned()).collect(),
        share: kept().map(|(_, share, _)| *share).collect(),
        figures: kept().map(|(.., figures)| *figures).collect(),
        rows: rows.into_iter().map(cells).collect(),
    }
}

/// `#4d7c4f` as red, green and blue.
pub(super) fn colour(hex: &str) -> Option<[u8; 3]> {
    let number = u32::from_str_radix(
        hex.strip_prefix('#').filter(|digits| digits.len() == 6)?,
        16,
    )
    .ok()?;
    let [_, red, green, blue] = number.to_be_bytes();
    Some([red, green, blue])
}

#[cfg(test)]
mod tests;
