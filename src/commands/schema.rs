//! `schema`: JSON Schema of the records, for editors, and of the signed record that a family gets, for programs that read it.
//!
//! In: the name of a record. Out: its schema on standard output, or the list of names.

use super::Outcome;
use crate::Error;
use crate::pages::record_schema;
use crate::records::schema;
use serde_json::Value;

/// The signed record: its name here, and the file it describes.
const PAPER: (&str, &str) = ("record", "*-record.json, the signed record of a puppy");

/// Options of `schema`.
#[derive(Debug, clap::Args)]
pub(super) struct Options {
    /// Which record; without it, the names are listed
    #[arg(value_name = "RECORD")]
    record: Option<String>,
}

pub(super) fn run(options: &Options) -> Result<Outcome, Error> {
    let names = || schema::RECORDS.iter().chain(&[PAPER]).map(|(name, file)| format!("{name:<10} {file}\n")).collect::<String>();
    match &options.record {
        None => Ok(Outcome::clean(names())),
        Some(record) => match of(record) {
            Some(schema) => Ok(Outcome::clean(format!("{schema:#}\n"))),
            None => Err(Error::Usage(format!("there is no record `{record}`; there are:\n{}", names().trim_end()))),
        },
    }
}

/// The schema of a record. That of the signed record is printed without an address: which kennel's it will be is not asked here.
fn of(record: &str) -> Option<Value> {
    if record == PAPER.0 { Some(record_schema(None)) } else { schema::of(record) }
}
