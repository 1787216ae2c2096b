//! JSON Schema of each record file, for editors.
//!
//! In: the name of a record. Out: its schema (JSON Schema 2020-12), made from the same types that read the file.

use super::{care_plan::CarePlan, dog::Dog, health::Entry, kennel::Kennel, litter::Litter, note, owners::Owners, weights::Block};
use schemars::{JsonSchema, generate::SchemaSettings};
use serde_json::Value;

/// The records that have a schema: name and the file it describes.
pub const RECORDS: &[(&str, &str)] = &[
    ("kennel", "kennel.yaml"),
    ("care-plan", "care-plan.yaml"),
    ("dog", "dogs/*.yaml"),
    ("litter", "litters/*/litter.yaml"),
    ("weights", "litters/*/weights.yaml"),
    ("health", "litters/*/health.yaml"),
    ("owners", "owners.yaml"),
    ("note", "the head of litters/*/notes/*.md"),
    ("page", "the head of pages/*.md"),
];

/// The schema of a record, by its name in [`RECORDS`].
#[must_use]
pub fn of(record: &str) -> Option<Value> {
    Some(match record {
        "kennel" => schema::<Kennel>(),
        "care-plan" => schema::<CarePlan>(),
        "dog" => schema::<Dog>(),
        "litter" => schema::<Litter>(),
        "weights" => schema::<Vec<Block>>(),
        "health" => schema::<Vec<Entry>>(),
        "owners" => schema::<Owners>(),
        "note" => schema::<note::NoteHead>(),
        "page" => schema::<note::PageHead>(),
        _ => return None,
    })
}

/// The schema of the record type `T`.
pub(super) fn schema<T: JsonSchema>() -> Value {
    SchemaSettings::draft2020_12().into_generator().into_root_schema_for::<T>().to_value()
}
