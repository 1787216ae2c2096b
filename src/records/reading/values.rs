//! Reads nodes of a tree as serde values.
//!
//! In: a [`Tree`]. Out: whatever the record types ask for. Scalars are given as the text that was
//! written, so that a weight or a chip number never loses a zero; values left empty count as
//! absent, and so does what was taken out. The number of values read is limited, which ends alias
//! bombs.

use super::NodeId;
use super::fault::{FaultKind, ReadingFault};
use super::tree::{NodeContent, ROOT, Tree};
use serde::de::{self, Error as _, IntoDeserializer, Unexpected, Visitor};
use std::cell::Cell;

/// More values than this are not in any record file, but may be in a few nested aliases.
const MOST_VALUES: usize = 2_000_000;

/// Reads one node.
#[derive(Clone, Copy)]
pub(super) struct Reader<'a> {
    tree: &'a Tree<'a>,
    /// The node as it stands in the text, for places.
    place: NodeId,
    read: &'a Cell<usize>,
}

impl Tree<'_> {
    /// Reads the tree as a record.
    pub(super) fn read<T: de::DeserializeOwned>(&self) -> Result<T, ReadingFault> {
        T::deserialize(Reader::new(self, ROOT, &std::cell::Cell::new(0)))
    }
}

impl<'a> Reader<'a> {
    pub(super) fn new(tree: &'a Tree<'a>, node: NodeId, read: &'a Cell<usize>) -> Self {
        Self {
            tree,
            place: node,
            read,
        }
    }

    fn node(&self) -> NodeId {
        self.tree.resolve(self.place)
    }

    fn count(&self) -> Result<(), ReadingFault> {
        self.read.set(self.read.get() + 1);
        if self.read.get() > MOST_VALUES {
            Err(ReadingFault::new(FaultKind::TooMuch).at(self.tree.root()))
        } else {
            Ok(())
        }
    }

    fn wrong_kind<'de, V: Visitor<'de>>(&self, visitor: &V) -> ReadingFault {
        let found = match self.tree.content(self.node()) {
            NodeContent::List(_) => Unexpected::Seq,
            NodeContent::Block(_) => Unexpected::Map,
            NodeContent::Scalar { text, .. } => Unexpected::Str(text),
            NodeContent::Alias(_) => Unexpected::Unit,
        };
        ReadingFault::invalid_type(found, visitor).at(self.place)
    }

    fn text<'de, V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, ReadingFault> {
        self.count()?;
        match self.tree.content(self.node()) {
            NodeContent::Scalar { text, .. } => visitor
                .visit_str(text)
                .map_err(|fault: ReadingFault| fault.at(self.place)),
            _ => Err(self.wrong_kind(&visitor)),
        }
    }

    fn whole_number<'de, V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, ReadingFault> {
        self.count()?;
        let Some(number) = self
            .tree
            .scalar(self.place)
            .and_then(|text| text.parse::<u64>().ok())
        else {
            return Err(ReadingFault::new(FaultKind::Mismatch {
                found: self.shown(),
                expected: "a whole number".to_owned(),
            })
            .at(self.place));
        };
        visitor.visit_u64(number).map_err(|_: ReadingFault| {
            ReadingFault::new(FaultKind::Unreadable {
                code: "out-of-range",
                message: format!("`{number}` is too large a number"),
                hint: "check for a slip".to_owned(),
            })
            .at(self.place)
        })
    }

    fn shown(&self) -> String {
        self.tree.scalar(self.place).map_or_else(
            || "this".to_owned(),
            |text| format!("`{}`", text.chars().take(40).collect::<String>()),
        )
    }
}

macro_rules! read_as {
    ($method:ident $unused:tt: $($name:ident)*) => { $(read_as!($method $name $unused);)* };
    ($method:ident $name:ident ($($unused:ty),*)) => {
        fn $name<V: Visitor<'de>>(
            self,
            $(_: $unused,)*
            visitor: V,
        ) -> Result<V::Value, ReadingFault> {
            self.$method(visitor)
        }
    };
}

impl<'de> de::Deserializer<'de> for Reader<'_> {
    type Error = ReadingFault;

    read_as!(text():
        deserialize_str deserialize_string deserialize_char deserialize_bytes deserialize_byte_buf
        deserialize_identifier);
    read_as!(whole_number():
        deserialize_u8 deserialize_u16 deserialize_u32 deserialize_u64 deserialize_i8
        deserialize_i16 deserialize_i32 deserialize_i64);
    read_as!(text(): deserialize_f32 deserialize_f64);
    read_as!(deserialize_unit(): deserialize_ignored_any);
    read_as!(deserialize_unit(&'static str): deserialize_unit_struct);
    read_as!(deserialize_seq(usize): deserialize_tuple);
    read_as!(deserialize_seq(&'static str, usize): deserialize_tuple_struct);

    fn deserialize_any<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, ReadingFault> {
        match self.tree.content(self.node()) {
            NodeContent::List(_) => self.deserialize_seq(visitor),
            NodeContent::Block(_) => self.deserialize_map(visitor),
            _ if self.tree.is_nothing(self.place) => visitor.visit_unit(),
            _ => self.text(visitor),
        }
    }

    fn deserialize_unit<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, ReadingFault> {
        visitor.visit_unit()
    }

    fn deserialize_bool<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, ReadingFault> {
        self.count()?;
        match self.tree.scalar(self.place) {
            Some("true" | "True" | "TRUE") => visitor.visit_bool(true),
            Some("false" | "False" | "FALSE") => visitor.visit_bool(false),
            _ => Err(ReadingFault::new(FaultKind::Mismatch {
                found: self.shown(),
                expected: "`true` or `false`".to_owned(),
            })
            .at(self.place)),
        }
    }

    fn deserialize_option<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, ReadingFault> {
        if self.tree.is_nothing(self.place) {
            visitor.visit_none()
        } else {
            visitor.visit_some(self)
        }
    }

    fn deserialize_newtype_struct<V: Visitor<'de>>(
        self,
        _: &'static str,
        visitor: V,
    ) -> Result<V::Value, ReadingFault> {
        visitor.visit_newtype_struct(self)
    }

    fn deserialize_seq<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, ReadingFault> {
        self.count()?;
        match self.tree.content(self.node()) {
            NodeContent::List(items) => visitor
                .visit_seq(Items {
                    of: self,
                    items: items.iter(),
                })
                .map_err(|fault| fault.at(self.place)),
            _ if self.tree.is_nothing(self.place) => visitor.visit_seq(Items {
                of: self,
                items: [].iter(),
            }),
            _ => Err(self.wrong_kind(&visitor)),
        }
    }

    fn deserialize_map<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, ReadingFault> {
        self.count()?;
        let entries = match self.tree.content(self.node()) {
            NodeContent::Block(entries) => entries.iter(),
            _ if self.tree.is_nothing(self.place) => [].iter(),
            _ => return Err(self.wrong_kind(&visitor)),
        };
        visitor
            .visit_map(MapEntries {
                of: self,
                entries,
                value: None,
            })
            .map_err(|fault| fault.at(self.place))
    }

    fn deserialize_struct<V: Visitor<'de>>(
        self,
        record: &'static str,
        _: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, ReadingFault> {
        self.deserialize_map(visitor)
            .map_err(|fault| fault.of(record))
    }

    fn deserialize_enum<V: Visitor<'de>>(
        self,
        _: &'static str,
        _: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, ReadingFault> {
        self.count()?;
        match self.tree.content(self.node()) {
            NodeContent::Scalar { text, .. } => {
                let word: de::value::StrDeserializer<'_, ReadingFault> =
                    (**text).into_deserializer();
                visitor
                    .visit_enum(word)
                    .map_err(|fault| fault.at(self.place))
            }
            _ => Err(self.wrong_kind(&visitor)),
        }
    }
}

struct Items<'a> {
    of: Reader<'a>,
    items: std::slice::Iter<'a, NodeId>,
}

impl<'de> de::SeqAccess<'de> for Items<'_> {
    type Error = ReadingFault;

    fn next_element_seed<T: de::DeserializeSeed<'de>>(
        &mut self,
        seed: T,
    ) -> Result<Option<T::Value>, ReadingFault> {
        for item in self.items.by_ref() {
            if !self.of.tree.is_out(*item) {
                let reader = Reader {
                    place: *item,
                    ..self.of
                };
                return seed
                    .deserialize(reader)
                    .map(Some)
                    .map_err(|fault| fault.at(*item));
            }
        }
        Ok(None)
    }
}

struct MapEntries<'a> {
    of: Reader<'a>,
    entries: std::slice::Iter<'a, (NodeId, NodeId)>,
    value: Option<NodeId>,
}

impl<'de> de::MapAccess<'de> for MapEntries<'_> {
    type Error = ReadingFault;

    fn next_key_seed<K: de::DeserializeSeed<'de>>(
        &mut self,
        seed: K,
    ) -> Result<Option<K::Value>, ReadingFault> {
        for (key, value) in self.entries.by_ref() {
            if self.of.tree.is_out(*value) || self.of.tree.is_nothing(*value) {
                continue;
            }
            self.value = Some(*value);
            return seed
                .deserialize(Reader {
                    place: *key,
                    ..self.of
                })
                .map(Some)
                .map_err(|fault| fault.at(*key));
        }
        Ok(None)
    }

    fn next_value_seed<V: de::DeserializeSeed<'de>>(
        &mut self,
        seed: V,
    ) -> Result<V::Value, ReadingFault> {
        let value = self
            .value
            .take()
            .ok_or_else(|| ReadingFault::custom("a value without a key"))?;
        seed.deserialize(Reader {
            place: value,
            ..self.of
        })
        .map_err(|fault| fault.at(value))
    }
}
