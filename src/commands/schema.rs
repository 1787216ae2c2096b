//! `schema`: JSON Schema of the records, for editors.
//!
//! In: the name of a record. Out: its schema on standard output, or the list of names.

use super::Outcome;
use crate::Error;
use crate::records::schema;

/// Options of `schema`.
#[derive(Debug, clap::Args)]
pub(super) struct Options {
    /// Which record; without it, the names are listed
    #[arg(value_name = "RECORD")]
    record: Option<String>,
}

pub(super) fn run(options: &Options) -> Result<Outcome, Error> {
    let names = || schema::RECORDS.iter().map(|(name, file)| format!("{name:<10} {file}\n")).collect::<String>();
    match &options.record {
        None => Ok(Outcome::clean(names())),
        Some(record) => match schema::of(record) {
            Some(schema) => Ok(Outcome::clean(format!("{schema:#}\n"))),
            None => Err(Error::Usage(format!("there is no record `{record}`; there are:\n{}", names().trim_end()))),
        },
    }
}
