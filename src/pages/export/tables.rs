//! The lists of the export as tables.
//!
//! In: the export as JSON and its schema. Out: one table for each list of things and for each thing
//! that is there once. Columns come from the schema, not from the data, so that they are the same
//! for every kennel; a thing inside a thing becomes columns (`weight_grams`), a list of words one
//! cell, and a list of things a table of its own that begins with the names of what it belongs to.

use super::schema;
use crate::audience::keeper::Export;
use crate::cells;
use serde_json::Value;

/// Parts of the export that are no table.
const NO_TABLE: &[&str] = &["files"];

/// A table: its name, the names of its columns, its rows.
struct Table {
    name: String,
    head: Vec<String>,
    rows: Vec<Vec<String>>,
}

/// The tables, by the names of their files.
type Files = Vec<(String, Vec<u8>)>;

/// All tables: file name and bytes.
///
/// # Errors
/// When a table could not be written, which a program cannot mend.
pub fn tables(export: &Export) -> Result<Files, Box<dyn std::error::Error>> {
    let value = serde_json::to_value(export)?;
    let schema = schema();
    let mut tables = Vec::new();
    let shapes = Shapes { schema: &schema };
    for (name, part) in shapes
        .properties(&schema)
        .filter(|(name, _)| !NO_TABLE.contains(&name.as_str()))
    {
        let rows: Vec<ExportedRow<'_>> = match &value[name] {
            Value::Array(list) => list
                .iter()
                .map(|value| ExportedRow {
                    keys: Vec::new(),
                    value,
                })
                .collect(),
            one @ Value::Object(_) => vec![ExportedRow {
                keys: Vec::new(),
                value: one,
            }],
            _ => continue,
        };
        let thing = shapes.items(part).unwrap_or(part);
        // What is there once needs no name to belong to; its lists are named after it.
        let once = shapes.items(part).is_none();
        shapes.table(
            &mut tables,
            &TablePlace {
                name: name.clone(),
                keys: Vec::new(),
                once,
            },
            thing,
            &rows,
        );
    }
    let file = |Table { name, head, rows }: Table| {
        Ok((
            format!("{}.csv", name.replace('_', "-")),
            cells::table(head, rows.into_iter())?,
        ))
    };
    tables.into_iter().map(file).collect()
}

/// Where a table stands.
struct TablePlace {
    name: String,
    /// Names of the columns that tell what it belongs to.
    keys: Vec<String>,
    once: bool,
}

/// One thing, and the names of what it belongs to.
struct ExportedRow<'a> {
    keys: Vec<String>,
    value: &'a Value,
}

/// What stands below a thing.
#[derive(Default)]
struct BelowThing<'s> {
    /// Names and paths of its columns.
    columns: Vec<(String, Vec<&'s str>)>,
    /// Lists of things: name, path, and the schema of one thing.
    lists: Vec<(&'s str, Vec<&'s str>, &'s Value)>,
}

struct Shapes<'s> {
    schema: &'s Value,
}

impl<'s> Shapes<'s> {
    fn table(
        &self,
        tables: &mut Vec<Table>,
        place: &TablePlace,
        thing: &'s Value,
        rows: &[ExportedRow<'_>],
    ) {
        let mut below = BelowThing::default();
        self.walk(&mut below, thing, &mut Vec::new());
        let head = place
            .keys
            .iter()
            .cloned()
            .chain(below.columns.iter().map(|(name, _)| name.clone()))
            .collect();
        let cells = |row: &ExportedRow<'_>| {
            row.keys
                .iter()
                .cloned()
                .chain(
                    below
                        .columns
                        .iter()
                        .map(|(_, path)| cell(at(row.value, path))),
                )
                .collect()
        };
        tables.push(Table {
            name: place.name.clone(),
            head,
            rows: rows.iter().map(cells).collect(),
        });
        for (name, path, item) in below.lists {
            let mut inner = Vec::new();
            for row in rows {
                // A thing is known by its first column.
                let own = below
                    .columns
                    .first()
                    .filter(|_| !place.once)
                    .map(|(_, path)| cell(at(row.value, path)));
                let keys: Vec<String> = row.keys.iter().cloned().chain(own).collect();
                let list = at(row.value, &path)
                    .as_array()
                    .map(Vec::as_slice)
                    .unwrap_or_default();
                inner.extend(list.iter().map(|value| ExportedRow {
                    keys: keys.clone(),
                    value,
                }));
            }
            let keys = place
                .keys
                .iter()
                .cloned()
                .chain((!place.once).then(|| one_of(&place.name).to_owned()))
                .collect();
            let name = if place.once {
                format!("{}_{name}", place.name)
            } else {
                name.to_owned()
            };
            self.table(
                tables,
                &TablePlace {
                    name,
                    keys,
                    once: false,
                },
                item,
                &inner,
            );
        }
    }

    fn walk(&self, below: &mut BelowThing<'s>, thing: &'s Value, path: &mut Vec<&'s str>) {
        for (name, part) in self.properties(thing) {
            path.push(name);
            let part = self.resolved(part);
            if part.get("properties").is_some() {
                self.walk(below, part, path);
            } else if let Some(item) = self
                .items(part)
                .filter(|item| item.get("properties").is_some())
            {
                below.lists.push((name, path.clone(), item));
            } else {
                below.columns.push((path.join("_"), path.clone()));
            }
            path.pop();
        }
    }

    fn properties(&self, thing: &'s Value) -> impl Iterator<Item = (&'s String, &'s Value)> {
        self.resolved(thing)
            .get("properties")
            .and_then(Value::as_object)
            .into_iter()
            .flatten()
    }

    /// The schema of one entry of a list.
    fn items(&self, list: &'s Value) -> Option<&'s Value> {
        self.resolved(list)
            .get("items")
            .map(|items| self.resolved(items))
    }

    /// Follows references, and looks through "or nothing".
    fn resolved(&self, mut part: &'s Value) -> &'s Value {
        loop {
            if let Some(name) = part
                .get("$ref")
                .and_then(Value::as_str)
                .and_then(|path| path.strip_prefix("#/$defs/"))
            {
                part = &self.schema["$defs"][name];
            } else if let Some(some) = part
                .get("anyOf")
                .and_then(Value::as_array)
                .and_then(|parts| parts.iter().find(|p| p["type"] != "null"))
            {
                part = some;
            } else {
                return part;
            }
        }
    }
}

/// What one entry of a list is called.
fn one_of(list: &str) -> &str {
    match list {
        "puppies" => "puppy",
        "families" => "family",
        list => list.strip_suffix('s').unwrap_or(list),
    }
}

fn at<'v>(value: &'v Value, path: &[&str]) -> &'v Value {
    path.iter().fold(value, |value, key| &value[*key])
}

fn cell(value: &Value) -> String {
    match value {
        Value::Null | Value::Object(_) => String::new(),
        Value::String(text) => cells::guarded(text),
        Value::Array(list) => {
            cells::guarded(&list.iter().map(plain).collect::<Vec<_>>().join("; "))
        }
        // `212`, not `212.0`.
        Value::Number(number) => number
            .as_f64()
            .map_or_else(|| number.to_string(), |number| number.to_string()),
        Value::Bool(yes) => yes.to_string(),
    }
}

fn plain(value: &Value) -> String {
    value
        .as_str()
        .map_or_else(|| value.to_string(), str::to_owned)
}
