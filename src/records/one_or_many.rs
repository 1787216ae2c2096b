//! A key that takes one value or a list of them: `mated: 2026-08-02`, `mated: [2026-08-02,
//! 2026-08-04]`.
//!
//! In: a YAML scalar or sequence. Out: a list in the order written. A list of lists is refused. A
//! lone number is text, so that `for: 007` keeps its zeros.

use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::de::{self, Deserialize, Deserializer, IntoDeserializer, SeqAccess, Visitor};
use std::{borrow::Cow, fmt, marker::PhantomData, ops::Deref};

/// One or several values of one kind.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct OneOrMany<T>(Vec<T>);

impl<T> Default for OneOrMany<T> {
    fn default() -> Self {
        Self(Vec::new())
    }
}

impl<T> Deref for OneOrMany<T> {
    type Target = [T];
    fn deref(&self) -> &[T] {
        &self.0
    }
}

impl<'de, T: Deserialize<'de>> Deserialize<'de> for OneOrMany<T> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct Either<T>(PhantomData<T>);
        impl<'de, T: Deserialize<'de>> Visitor<'de> for Either<T> {
            type Value = OneOrMany<T>;
            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("one value or a list of values")
            }
            fn visit_str<E: de::Error>(self, text: &str) -> Result<Self::Value, E> {
                T::deserialize(text.into_deserializer()).map(|one| OneOrMany(vec![one]))
            }
            fn visit_unit<E: de::Error>(self) -> Result<Self::Value, E> {
                Ok(OneOrMany::default())
            }
            fn visit_seq<A: SeqAccess<'de>>(self, mut list: A) -> Result<Self::Value, A::Error> {
                let mut values = Vec::new();
                while let Some(value) = list.next_element()? {
                    values.push(value);
                }
                Ok(OneOrMany(values))
            }
        }
        deserializer.deserialize_any(Either(PhantomData))
    }
}

impl<T: JsonSchema> JsonSchema for OneOrMany<T> {
    fn inline_schema() -> bool {
        true
    }
    fn schema_name() -> Cow<'static, str> {
        format!("OneOrMany{}", T::schema_name()).into()
    }
    fn json_schema(generator: &mut SchemaGenerator) -> Schema {
        let one = generator.subschema_for::<T>();
        json_schema!({ "anyOf": [one, { "type": "array", "items": one }] })
    }
}
