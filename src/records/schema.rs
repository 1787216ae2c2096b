//! JSON Schema of each record file, for editors.
//!
//! In: the name of a record. Out: its schema (JSON Schema 2020-12), made from the same types that
//! read the file.

use super::{
    care_plan::CarePlan, dog::Dog, health::HealthEntry, kennel::Kennel, litter::Litter, note,
    owners::Owners, reading, weights::WeightsBlock,
};
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
        "kennel" => reading::schema_of::<Kennel>(),
        "care-plan" => reading::schema_of::<CarePlan>(),
        "dog" => reading::schema_of::<Dog>(),
        "litter" => reading::schema_of::<Litter>(),
        "weights" => reading::schema_of::<Vec<WeightsBlock>>(),
        "health" => reading::schema_of::<Vec<HealthEntry>>(),
        "owners" => reading::schema_of::<Owners>(),
        "note" => reading::schema_of::<note::NoteHead>(),
        "page" => reading::schema_of::<note::PageHead>(),
        _ => return None,
    })
}
