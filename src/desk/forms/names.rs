//! What a field can be chosen from: dogs, litters, puppies, items of the care plan.
//!
//! In: the content folder as it stands. Out: names in the records and what they are called. Read
//! from the files themselves, so that a broken record elsewhere takes no choice away.

use super::shape::in_words;
use super::spot::{bytes, read};
use crate::records::care_plan::BUILT_IN;
use crate::records::changing::written::Written;
use crate::records::weights;
use std::path::Path;

/// A name in the records, and what it is called.
pub(crate) type NamedRecord = (String, String);

/// What a field that refers to `of` can be chosen from; `litter` is where the record belongs.
pub(crate) fn choices(content: &Path, of: &str, litter: Option<&str>) -> Vec<NamedRecord> {
    match of {
        "dog" => dogs(content, None),
        "dam" => dogs(content, Some("female")),
        "sire" => dogs(content, Some("male")),
        "litter" => litters(content),
        "puppy" => litter
            .map(|litter| puppies(content, litter))
            .unwrap_or_default(),
        "patient" => {
            let all = ("all".to_owned(), "All puppies".to_owned());
            let dam = (weights::DAM.to_owned(), "The dam".to_owned());
            let own = litter
                .map(|litter| puppies(content, litter))
                .unwrap_or_default();
            [all].into_iter().chain(own).chain([dam]).collect()
        }
        "puppy of any litter" => {
            let each = |(litter, name): NamedRecord| {
                let own = puppies(content, &litter).into_iter();
                own.map(move |(id, puppy)| (id, format!("{puppy}, {name}")))
                    .collect::<Vec<_>>()
            };
            litters(content).into_iter().flat_map(each).collect()
        }
        "care item" => care_items(content),
        _ => Vec::new(),
    }
}

/// The names of the files in a folder, or of its folders.
pub(crate) fn listed(content: &Path, folder: &str, ending: &str) -> Vec<String> {
    let mut names: Vec<String> = std::fs::read_dir(content.join(folder))
        .into_iter()
        .flatten()
        .filter_map(|entry| entry.ok()?.file_name().into_string().ok())
        .filter_map(|name| Some(name.strip_suffix(ending)?.to_owned()))
        .filter(|name| name.parse::<crate::quantity::Id>().is_ok())
        .collect();
    names.sort();
    names
}

/// What a record says under a key.
pub(crate) fn said(content: &Path, file: &str, key: &str) -> Option<String> {
    let record = read(file, bytes(content, file).as_deref()).ok()?;
    record.get(key)?.text().map(str::to_owned)
}

/// The dogs, or those that may be of this sex, by the name they come to and their full one: two
/// may come to one name. Those whose whole name is the same have their short name beside it.
pub(crate) fn dogs(content: &Path, sex: Option<&str>) -> Vec<NamedRecord> {
    let named = |id: String| {
        let file = format!("dogs/{id}.yaml");
        let record = read(&file, bytes(content, &file).as_deref()).ok();
        let text = |key: &str| Some(record.as_ref()?.get(key)?.text()?.to_owned());
        let is_other = sex.is_some() && text("sex").is_some_and(|own| Some(own.as_str()) != sex);
        let name = match (text("call_name"), text("name")) {
            (Some(call), Some(name)) if call != name => format!("{call}, {name}"),
            (Some(name), _) | (None, Some(name)) => name,
            (None, None) => id.clone(),
        };
        (!is_other).then_some((id, name))
    };
    let all: Vec<NamedRecord> = listed(content, "dogs", ".yaml")
        .into_iter()
        .filter_map(named)
        .collect();
    let is_alone = |name: &str| all.iter().filter(|(_, other)| other == name).count() == 1;
    all.iter()
        .map(|(id, name)| {
            let name = if is_alone(name) {
                name.clone()
            } else {
                format!("{name} ({id})")
            };
            (id.clone(), name)
        })
        .collect()
}

pub(crate) fn litters(content: &Path) -> Vec<NamedRecord> {
    let named = |id: String| {
        let name = said(content, &format!("litters/{id}/litter.yaml"), "name");
        (id.clone(), name.unwrap_or(id))
    };
    listed(content, "litters", "")
        .into_iter()
        .map(named)
        .collect()
}

/// The puppies of a litter.
pub(crate) fn puppies(content: &Path, litter: &str) -> Vec<NamedRecord> {
    let file = format!("litters/{litter}/litter.yaml");
    let Ok(record) = read(&file, bytes(content, &file).as_deref()) else {
        return Vec::new();
    };
    let Some(Written::List(puppies)) = record.get("puppies") else {
        return Vec::new();
    };
    let named = |puppy: &Written| {
        let text = |key: &str| puppy.get(key).and_then(Written::text);
        let id = text("id")?;
        let name = text("name").map_or_else(|| in_words(id), str::to_owned);
        let ribbon = text("ribbon").map(|ribbon| format!(" ({ribbon})"));
        Some((id.to_owned(), name + &ribbon.unwrap_or_default()))
    };
    puppies.iter().filter_map(named).collect()
}

fn care_items(content: &Path) -> Vec<NamedRecord> {
    let mut names: Vec<NamedRecord> = BUILT_IN
        .iter()
        .map(|id| ((*id).to_owned(), in_words(id)))
        .collect();
    let plan = read(
        "care-plan.yaml",
        bytes(content, "care-plan.yaml").as_deref(),
    );
    if let Ok(Some(Written::List(items))) = plan.as_ref().map(|plan| plan.get("items")) {
        for item in items {
            let text = |key: &str| item.get(key).and_then(Written::text);
            let Some(id) = text("id").filter(|id| !BUILT_IN.contains(id)) else {
                continue;
            };
            let name = text("name").map_or_else(|| in_words(id), str::to_owned);
            names.push((id.to_owned(), name));
        }
    }
    names
}
