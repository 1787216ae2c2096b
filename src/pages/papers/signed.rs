//! The signed record: a JSON file, the figure by which two copies of a record are compared, and the
//! schema of the file.
//!
//! In: the record and the kennel's key. Out: `{ "$schema", "record", "signature" }`. The signature
//! is a JWS in compact form that carries the record within it, byte for byte as it was signed; so
//! nobody who verifies it has to know how a JSON text is put into one canonical form. `record` is
//! there for people and programs that only want to read.

use super::faults::LetterFault;
use crate::audience::owner::PuppyRecord;
use crate::links::absolute;
use crate::sealing::jws::SigningKey;
use schemars::generate::SchemaSettings;
use schemars::transform::RecursiveTransform;
use schemars::{JsonSchema, Schema};
use serde::Serialize;
use serde_json::Value;
use sha2::{Digest, Sha256};

/// Name of the schema below the kennel's site.
pub const SCHEMA_FILE: &str = "record.schema.json";

/// Crockford's base32.
const SYMBOLS: &[u8; 32] = b"0123456789ABCDEFGHJKMNPQRSTVWXYZ";
/// Symbols of a check figure: 100 bits.
const FIGURE: usize = 20;
/// Symbols in a group.
const GROUP: usize = 4;

/// The health and weight record of one puppy, with the signature of the kennel that gave it.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields, title = "Health and weight record of a puppy")]
struct RecordFile<'a> {
    /// Where the schema of this file is.
    #[serde(rename = "$schema", skip_serializing_if = "Option::is_none")]
    schema: Option<String>,
    /// The record.
    record: &'a PuppyRecord,
    /// A JWS in compact form (RFC 7515, ES256) whose payload is the record as JSON; its `kid` is
    /// the thumbprint (RFC 7638) of the kennel's public key.
    #[schemars(regex(pattern = r"^[A-Za-z0-9_-]+\.[A-Za-z0-9_-]+\.[A-Za-z0-9_-]{86}$"))]
    signature: String,
}

/// The bytes that are signed, and whose check figure stands on every paper.
pub(super) fn payload(record: &PuppyRecord) -> Result<Vec<u8>, LetterFault> {
    Ok(serde_json::to_vec(record)?)
}

/// The JSON file.
pub(super) fn file(
    record: &PuppyRecord,
    payload: &[u8],
    key: &SigningKey,
) -> Result<Vec<u8>, LetterFault> {
    let schema = absolute(record.kennel.site.as_deref(), SCHEMA_FILE);
    let mut bytes = serde_json::to_vec_pretty(&RecordFile {
        schema,
        record,
        signature: key.sign(payload),
    })?;
    bytes.push(b'\n');
    Ok(bytes)
}

/// The check figure of a signed payload: the first 100 bits of its SHA-256 in Crockford's base32,
/// in groups of four: `7ZK4-0QWM-…`. Two papers that show the same one were made from the
/// same record.
#[must_use]
pub fn check_figure(payload: &[u8]) -> String {
    let digest = Sha256::digest(payload);
    let bit = |n: usize| {
        digest
            .get(n / 8)
            .is_some_and(|byte| byte >> (7 - n % 8) & 1 == 1)
    };
    let symbol = |place: usize| {
        let value = (0..5).fold(0, |value, n| value * 2 + usize::from(bit(place * 5 + n)));
        SYMBOLS.get(value).map_or('0', |symbol| char::from(*symbol))
    };
    let mut out = String::new();
    for place in 0..FIGURE {
        if place > 0 && place % GROUP == 0 {
            out.push('-');
        }
        out.push(symbol(place));
    }
    out
}

/// JSON Schema (2020-12) of the JSON file. `site` is the address of the kennel's site; where it is
/// known the schema says where it is found.
#[must_use]
pub fn schema(site: Option<&str>) -> Value {
    let settings = SchemaSettings::draft2020_12()
        .for_serialize()
        .with_transform(RecursiveTransform(without_null));
    let mut schema = settings
        .into_generator()
        .into_root_schema_for::<RecordFile<'_>>();
    if let Some(id) = absolute(site, SCHEMA_FILE) {
        schema.insert("$id".to_owned(), Value::String(id));
    }
    schema.to_value()
}

/// What nobody recorded is left out of the file; it is never `null`.
fn without_null(schema: &mut Schema) {
    let null = Value::from("null");
    if let Some(Value::Array(types)) = schema.get_mut("type") {
        types.retain(|t| *t != null);
        if let [only] = types.as_slice() {
            let only = only.clone();
            schema.insert("type".to_owned(), only);
        }
    }
    if let Some(Value::Array(choices)) = schema.get_mut("anyOf") {
        choices.retain(|choice| choice.get("type") != Some(&null));
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::papers::samples;
    use crate::sealing::jws::verify;

    #[test]
    fn the_signature_carries_the_record_and_holds() {
        let record = samples::moss();
        let payload = payload(&record).unwrap();
        let bytes = file(&record, &payload, &samples::key()).unwrap();
        let json: Value = serde_json::from_slice(&bytes).unwrap();
        let signed = verify(
            json["signature"].as_str().unwrap(),
            &samples::key().public(),
        )
        .unwrap();
        assert_eq!(signed, payload);
        assert_eq!(
            serde_json::from_slice::<Value>(&signed).unwrap(),
            json["record"]
        );
        assert_eq!(
            json["$schema"],
            "https://whinmorrow.example/record.schema.json"
        );
        assert_eq!(
            bytes,
            file(&record, &payload, &samples::key()).unwrap(),
            "the same record makes the same file"
        );
    }

    #[test]
    fn a_kennel_without_a_site_names_no_schema() {
        let record = samples::empty();
        let json: Value = serde_json::from_slice(
            &file(&record, &payload(&record).unwrap(), &samples::key()).unwrap(),
        )
        .unwrap();
        assert_eq!(
            json.as_object().unwrap().keys().collect::<Vec<_>>(),
            ["record", "signature"]
        );
        assert_eq!(
            (
                schema(None).get("$id"),
                schema(Some("https://a.example/k/"))["$id"].as_str()
            ),
            (None, Some("https://a.example/k/record.schema.json"))
        );
    }

    #[test]
    fn a_check_figure_is_the_head_of_the_hash_in_groups() {
        // SHA-256 of "abc" begins ba7816bf 8f01cfea 414140de 5dae2223 (FIPS 180-4, example B.1).
        let figure = check_figure(b"abc");
        let value = figure.bytes().filter(|b| *b != b'-').fold(0_u128, |v, b| {
            v * 32 + SYMBOLS.iter().position(|s| *s == b).unwrap() as u128
        });
        assert_eq!(value, 0xba78_16bf_8f01_cfea_4141_40de_5dae_2223_u128 >> 28);
        assert!(
            figure.len() == 24 && figure.split('-').all(|group| group.len() == 4),
            "{figure}"
        );
    }

    #[test]
    fn the_schema_knows_no_null_and_no_unknown_member() {
        let text = schema(None).to_string();
        assert!(!text.contains("\"null\""), "{text}");
        assert_eq!(schema(None)["additionalProperties"], false);
        assert_eq!(
            schema(None)["$defs"]["EventRecord"]["additionalProperties"],
            false
        );
    }
}
