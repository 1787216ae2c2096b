//! `litters/<litter>/weights.yaml`: weigh-ins.
//!
//! In: a list of blocks, each with `at` and one value for each puppy, or `unit` alone. Out:
//! [`WeighIn`]s in the order of time, each bare number with the unit that was named last above it.

use super::problem::{Place, Problem, key_path};
use super::{Shared, WeighIn};
use crate::quantity::{Id, Moment, Text, WeightEntry, WeightUnit};
use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::de::{self, Deserialize, Deserializer, MapAccess, Visitor};
use std::{
    borrow::Cow,
    collections::{BTreeMap, BTreeSet},
    fmt,
};

/// The name under which the dam is weighed; no puppy can have it.
pub const DAM: &str = "dam";

/// One block of the file.
#[derive(Debug, Clone, PartialEq)]
pub enum WeightsBlock {
    /// `- unit: g` at the head.
    Unit(WeightUnit),
    /// A weigh-in.
    WeighIn(WrittenWeighIn),
}

/// One weigh-in: a time and a weight for each puppy that was on the scale.
#[derive(Debug, Clone, PartialEq)]
pub struct WrittenWeighIn {
    /// When.
    pub at: Moment,
    /// Who weighed.
    pub by: Option<Text>,
    /// Anything worth keeping.
    pub remark: Option<Text>,
    /// The weights as written.
    pub weights: BTreeMap<Id, WeightEntry>,
}

impl<'de> Deserialize<'de> for WeightsBlock {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct Keys;
        impl<'de> Visitor<'de> for Keys {
            type Value = WeightsBlock;
            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("a weigh-in: `at` and one weight for each puppy")
            }
            fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<WeightsBlock, A::Error> {
                let (mut at, mut by, mut remark, mut unit) = (None, None, None, None);
                let mut weights = BTreeMap::new();
                let mut seen = BTreeSet::new();
                while let Some(key) = map.next_key::<Id>()? {
                    // The careful reader tells which key; here a second weight must only not
                    // replace the first in silence.
                    if !seen.insert(key.clone()) {
                        return Err(de::Error::custom("a key stands here a second time"));
                    }
                    match key.as_str() {
                        "at" => at = Some(map.next_value()?),
                        "by" => by = map.next_value()?,
                        "remark" => remark = map.next_value()?,
                        "unit" => unit = map.next_value()?,
                        // A puppy named without a value was not weighed.
                        _ => {
                            if let Some(weight) = map.next_value::<Option<WeightEntry>>()? {
                                weights.insert(key, weight);
                            }
                        }
                    }
                }
                match (at, unit) {
                    (None, Some(unit)) if weights.is_empty() => Ok(WeightsBlock::Unit(unit)),
                    (Some(at), None) => Ok(WeightsBlock::WeighIn(WrittenWeighIn {
                        at,
                        by,
                        remark,
                        weights,
                    })),
                    (Some(_), Some(_)) => Err(de::Error::custom(crate::quantity::Unreadable::new(
                        "unit-inside",
                        "`unit` stands inside a weigh-in",
                        "give it a block of its own at the head of the file: `- unit: g`",
                    ))),
                    (None, _) => Err(de::Error::missing_field("at")),
                }
            }
        }
        deserializer.deserialize_map(Keys)
    }
}

/// All weigh-ins of a file.
#[derive(Debug, Clone, Default, PartialEq)]
pub(super) struct WeighIns {
    /// In the order of time.
    pub(super) list: Shared<Vec<WeighIn>>,
    /// The unit that a bare number at the end of the file takes; nothing where no block says one.
    pub(super) unit: Option<WeightUnit>,
}

/// The unit at the head goes into each bare number below it.
pub(super) fn resolve(
    file: &str,
    blocks: Vec<WeightsBlock>,
    exact: bool,
    problems: &mut Vec<Problem>,
) -> WeighIns {
    let mut unit: Option<WeightUnit> = None;
    let mut weigh_ins = Vec::new();
    for (block, content) in blocks.into_iter().enumerate() {
        let WrittenWeighIn {
            at,
            by,
            remark,
            weights,
        } = match content {
            WeightsBlock::Unit(named) => {
                unit = Some(named);
                continue;
            }
            WeightsBlock::WeighIn(weigh_in) => weigh_in,
        };
        let mut resolved = BTreeMap::new();
        for (id, entry) in weights {
            match entry.resolve(unit) {
                Ok(weight) => _ = resolved.insert(id, weight),
                // The unit at the head could not be read, and that has been said.
                Err(_) if unit.is_none() && problems.iter().any(|p| p.code == "unit-unknown") => {}
                Err(why) => {
                    let place = if exact {
                        Place::path(file, key_path![block, id.as_str()])
                    } else {
                        Place::file(file)
                    };
                    problems.push(Problem::unreadable(place, why));
                }
            }
        }
        weigh_ins.push(WeighIn {
            at,
            by,
            remark,
            weights: resolved,
            block,
        });
    }
    weigh_ins.sort_by_key(|w| (w.at, w.block));
    WeighIns {
        list: weigh_ins.into(),
        unit,
    }
}

impl JsonSchema for WeightsBlock {
    fn schema_name() -> Cow<'static, str> {
        "WeighIn".into()
    }
    fn json_schema(generator: &mut SchemaGenerator) -> Schema {
        let (mut at, mut by, mut remark, mut unit, weight) = (
            generator.subschema_for::<Moment>(),
            generator.subschema_for::<Text>(),
            generator.subschema_for::<Text>(),
            generator.subschema_for::<WeightUnit>(),
            generator.subschema_for::<WeightEntry>(),
        );
        for (schema, title, description) in [
            (
                &mut at,
                "Day and time",
                "When they were weighed: 2026-10-06 07:30.",
            ),
            (&mut by, "Weighed by", "Who weighed."),
            (&mut remark, "Remark", "Anything worth keeping."),
            (
                &mut unit,
                "Unit of bare numbers",
                "Alone, in an entry of its own at the head of the list.",
            ),
        ] {
            schema.insert("title".to_owned(), title.into());
            schema.insert("description".to_owned(), description.into());
        }
        json_schema!({
            "description": "a weigh-in: `at` and one weight for each puppy, or the dam; or `unit` \
             alone at the head of the file",
            "anyOf": [
                {
                    "type": "object",
                    "required": ["unit"],
                    "properties": { "unit": unit },
                    "additionalProperties": false
                },
                {
                    "type": "object",
                    "required": ["at"],
                    "properties": { "at": at, "by": by, "remark": remark },
                    "additionalProperties": weight
                },
            ],
        })
    }
}
