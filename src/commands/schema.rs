//! `schema`: JSON Schema of the records, for editors, and of the signed record that a family gets,
//! for programs that read it.
//!
//! In: the name of a record. Out: its schema on standard output, or the list of names.

use crate::Error;
use crate::app::Outcome;
use crate::pages::{export_schema, record_schema, rounds_schema};
use crate::records::schema;
use serde_json::Value;

/// The signed record: its name here, and the file it describes.
const PAPER: (&str, &str) = ("record", "*-record.json, the signed record of a puppy");

/// What needs doing, for programs.
const ROUNDS: (&str, &str) = ("rounds", "what `rounds --json` prints");

/// Everything that stands in the records.
const EXPORT: (&str, &str) = ("export", "records.json, which `export` writes");

/// Options of `schema`.
#[derive(Debug, clap::Args)]
pub(super) struct Options {
    /// Which record; without it, the names are listed
    #[arg(value_name = "RECORD")]
    record: Option<String>,
}

pub(super) fn run(options: &Options) -> Result<Outcome, Error> {
    let names = || {
        schema::RECORDS
            .iter()
            .chain(&[PAPER, ROUNDS, EXPORT])
            .map(|(name, file)| format!("{name:<10} {file}\n"))
            .collect::<String>()
    };
    match &options.record {
        None => Ok(Outcome::clean(names())),
        Some(record) => match of(record) {
            Some(schema) => Ok(Outcome::clean(format!("{schema:#}\n"))),
            None => Err(Error::Usage(format!(
                "there is no record `{record}`; there are:\n{}",
                names().trim_end()
            ))),
        },
    }
}

/// The schema of a record. That of the signed record is printed without an address: which kennel's
/// it will be is not asked here.
fn of(record: &str) -> Option<Value> {
    match record {
        _ if record == PAPER.0 => Some(record_schema(None)),
        _ if record == ROUNDS.0 => Some(rounds_schema()),
        _ if record == EXPORT.0 => Some(export_schema()),
        _ => schema::of(record),
    }
}
