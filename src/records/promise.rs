//! What a kennel stands by: a sentence, or a sentence with the days within which it is to be done.
//!
//! In: `Any dog may come back.` or `{ text: Take the puppy to your vet, within: 5 working days }`.
//! Out: a [`Promise`]. With `within` it becomes a date on the page of a family, counted from the
//! day on which their puppy leaves.

use crate::quantity::{Text, Unreadable, Within};
use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::Deserialize;
use serde::de::{self, Deserializer, IntoDeserializer, MapAccess, Visitor};
use std::{borrow::Cow, fmt};

/// A sentence with the days within which it is to be done.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct DatedPromise {
    /// What is to be done, in a sentence.
    #[schemars(title = "Sentence")]
    pub text: Text,
    /// Within how many days of leaving: 5 working days (Monday to Friday), 3 days, 2 weeks.
    pub within: Within,
}

/// A sentence that a kennel stands by.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Promise {
    /// The sentence.
    pub text: Text,
    /// Its days, where it has any.
    pub within: Option<Within>,
}

impl Promise {
    /// The sentence with its days, where it has any.
    #[must_use]
    pub fn dated(&self) -> Option<DatedPromise> {
        let Self { text, within } = self;
        within.map(|within| DatedPromise {
            text: text.clone(),
            within,
        })
    }
}

/// By hand: a sentence alone is a promise too, and what is wrong inside one has to be told at its
/// own place.
impl<'de> Deserialize<'de> for Promise {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct Either;
        impl<'de> Visitor<'de> for Either {
            type Value = Promise;
            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("a sentence, or `text` and `within`")
            }
            fn visit_str<E: de::Error>(self, text: &str) -> Result<Promise, E> {
                Ok(Promise {
                    text: Text::deserialize(text.into_deserializer())?,
                    within: None,
                })
            }
            fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<Promise, A::Error> {
                let (mut text, mut within) = (None, None);
                while let Some(key) = map.next_key::<String>()? {
                    match key.as_str() {
                        "text" => text = map.next_value()?,
                        "within" => within = map.next_value()?,
                        other => return Err(de::Error::unknown_field(other, &["text", "within"])),
                    }
                }
                let missing = || {
                    de::Error::custom(Unreadable::new(
                        "key-missing",
                        "`text` is missing",
                        "add `text:` here",
                    ))
                };
                Ok(Promise {
                    text: text.ok_or_else(missing)?,
                    within,
                })
            }
        }
        deserializer.deserialize_any(Either)
    }
}

impl JsonSchema for Promise {
    fn schema_name() -> Cow<'static, str> {
        "Promise".into()
    }
    fn json_schema(generator: &mut SchemaGenerator) -> Schema {
        let (standing, dated) = (
            generator.subschema_for::<Text>(),
            generator.subschema_for::<DatedPromise>(),
        );
        json_schema!({ "anyOf": [standing, dated] })
    }
}
