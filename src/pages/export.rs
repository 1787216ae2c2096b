//! The export as files: JSON with its schema, and one table for each list in it.
//!
//! In: the keeper's view of all records. Out: bytes. The tables are made from the JSON along its
//! schema, so neither can hold anything that the other leaves out, but for the files as they stand,
//! which are no table.

mod tables;

pub use tables::tables;

use crate::audience::keeper::Export;
use schemars::generate::SchemaSettings;
use serde_json::Value;

/// Name of the schema, which stands beside every export.
pub const SCHEMA_FILE: &str = "export.schema.json";

/// The export as JSON, as [`schema`] describes it.
///
/// # Errors
/// When it could not be written, which a program cannot mend.
pub fn json(export: &Export) -> Result<Vec<u8>, serde_json::Error> {
    let mut bytes = serde_json::to_vec_pretty(export)?;
    bytes.push(b'\n');
    Ok(bytes)
}

/// JSON Schema (2020-12) of [`json`].
#[must_use]
pub fn schema() -> Value {
    SchemaSettings::draft2020_12()
        .for_serialize()
        .into_generator()
        .into_root_schema_for::<Export>()
        .to_value()
}
