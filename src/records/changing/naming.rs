//! A dog, a litter, a puppy or a family under another name, with all that names it.
//!
//! In: who, the new name, and the texts of all records. Out: the records that become others, and
//! the files and folders that move. Prose is left alone: a name in a sentence is the keeper's.

use super::meaning::Meaning;
use super::{Change, Parts, spliced, typed};
use crate::photo;
use crate::problem::{Place, Problem, Step, key_path};
use crate::quantity::Id;
use serde_yaml::Value;
use std::collections::BTreeMap;

/// Who gets another name.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Named {
    /// A dog, by its file.
    Dog(Id),
    /// A litter, by its folder.
    Litter(Id),
    /// A puppy of a litter.
    Puppy(Id, Id),
    /// A family.
    Family(Id),
}

/// What has to be written and moved.
#[derive(Debug, Default, Clone, PartialEq, Eq)]
pub struct RenamePlan {
    /// New texts, by the path below the content folder.
    pub texts: BTreeMap<String, String>,
    /// Files and folders that move.
    pub moves: Vec<(String, String)>,
    /// How many places name it.
    pub places: usize,
}

/// Plans another name. `texts` are all record files; `files` all files of the content folder,
/// pictures among them.
///
/// # Errors
/// Problems of a record in which a name would have to be changed and cannot be.
pub fn rename(
    named: &Named,
    to: &Id,
    texts: &BTreeMap<String, String>,
    files: &[String],
) -> Result<RenamePlan, Vec<Problem>> {
    let mut plan = RenamePlan::default();
    for (file, text) in texts {
        let Some(record) = typed::record_of(file) else {
            continue;
        };
        let changes = changes_in(named, to, file, record, text)?;
        if !changes.is_empty() {
            plan.places += changes.len();
            plan.texts
                .insert(file.clone(), at_once(file, text, &changes)?);
        }
    }
    match named {
        Named::Dog(dog) => plan
            .moves
            .push((format!("dogs/{dog}.yaml"), format!("dogs/{to}.yaml"))),
        Named::Litter(litter) => plan
            .moves
            .push((format!("litters/{litter}"), format!("litters/{to}"))),
        Named::Puppy(litter, puppy) => {
            let puppies = puppies_of(texts, litter);
            let of_puppy = |file: &&String| {
                picture_in(file, litter)
                    .is_some_and(|name| photo::puppy_of(name, puppies.iter()) == Some(puppy))
            };
            let moved = |file: &String| {
                let (folder, name) = file.rsplit_once('/')?;
                Some((
                    file.clone(),
                    format!("{folder}/{to}{}", name.get(puppy.as_str().len()..)?),
                ))
            };
            plan.moves
                .extend(files.iter().filter(of_puppy).filter_map(moved));
        }
        Named::Family(_) => {}
    }
    // What moves with its folder is written there before it moves.
    Ok(plan)
}

/// The name of a picture of a litter.
fn picture_in<'a>(file: &'a str, litter: &Id) -> Option<&'a str> {
    let below = file
        .strip_prefix("litters/")?
        .strip_prefix(litter.as_str())?
        .strip_prefix('/')?;
    below
        .strip_prefix("photos/")
        .or_else(|| below.strip_prefix("photos-private/"))
}

fn puppies_of(texts: &BTreeMap<String, String>, litter: &Id) -> Vec<Id> {
    let file = format!("litters/{litter}/litter.yaml");
    let Some(Meaning::Block(block)) = texts.get(&file).and_then(|text| meaning(&file, text).ok())
    else {
        return Vec::new();
    };
    let Some(Meaning::List(puppies)) = block.get("puppies") else {
        return Vec::new();
    };
    puppies
        .iter()
        .filter_map(|puppy| text_at(puppy, "id")?.parse().ok())
        .collect()
}

fn text_at<'a>(block: &'a Meaning, key: &str) -> Option<&'a str> {
    match block.at(&[Step::from(key)])? {
        Meaning::Text(text) | Meaning::Other(text) => Some(text),
        _ => None,
    }
}

fn meaning(file: &str, text: &str) -> Result<Meaning, Vec<Problem>> {
    Parts::of(file, text)?.work(file)?.meaning()
}

/// Where a record names somebody.
fn changes_in(
    named: &Named,
    to: &Id,
    file: &str,
    record: &str,
    text: &str,
) -> Result<Vec<Change>, Vec<Problem>> {
    let is_of = |litter: &Id| {
        file.strip_prefix("litters/")
            .is_some_and(|rest| rest.split('/').next() == Some(litter.as_str()))
    };
    let concerns = match (named, record) {
        (Named::Dog(_), "dog" | "litter")
        | (Named::Litter(_) | Named::Family(_) | Named::Puppy(..), "owners") => true,
        (Named::Puppy(litter, _), "litter" | "weights" | "health" | "note") => is_of(litter),
        _ => false,
    };
    if !concerns {
        return Ok(Vec::new());
    }
    let all = meaning(file, text)?;
    let mut changes = Vec::new();
    let mut set = |path: Vec<Step>| {
        changes.push(Change::Set {
            path,
            value: Value::String(to.as_str().to_owned()),
        });
    };
    let items = |key: Option<&str>| -> Vec<&Meaning> {
        let list = key.map_or(Some(&all), |key| all.at(&[Step::from(key)]));
        if let Some(Meaning::List(items)) = list {
            items.iter().collect()
        } else {
            Vec::new()
        }
    };
    match (named, record) {
        (Named::Dog(dog), _) => {
            for key in ["dam", "sire"] {
                if text_at(&all, key) == Some(dog.as_str()) {
                    set(key_path![key]);
                }
            }
        }
        (Named::Family(family), _) => {
            for (at, _) in items(Some("families"))
                .iter()
                .enumerate()
                .filter(|(_, entry)| text_at(entry, "id") == Some(family.as_str()))
            {
                set(key_path!["families", at, "id"]);
            }
        }
        (Named::Litter(litter) | Named::Puppy(litter, _), "owners") => {
            for (at, family) in items(Some("families")).iter().enumerate() {
                let Some(Meaning::List(takes)) = family.at(&[Step::from("takes")]) else {
                    continue;
                };
                for (place, takes) in takes
                    .iter()
                    .enumerate()
                    .filter(|(_, takes)| text_at(takes, "litter") == Some(litter.as_str()))
                {
                    match named {
                        Named::Puppy(_, puppy)
                            if text_at(takes, "puppy") == Some(puppy.as_str()) =>
                        {
                            set(key_path!["families", at, "takes", place, "puppy"]);
                        }
                        Named::Litter(_) => {
                            set(key_path!["families", at, "takes", place, "litter"]);
                        }
                        _ => {}
                    }
                }
            }
        }
        (Named::Puppy(_, puppy), "litter") => {
            for (at, entry) in items(Some("puppies")).iter().enumerate() {
                if text_at(entry, "id") == Some(puppy.as_str()) {
                    set(key_path!["puppies", at, "id"]);
                }
            }
            let puppies: Vec<Id> = items(Some("puppies"))
                .iter()
                .filter_map(|entry| text_at(entry, "id")?.parse().ok())
                .collect();
            for (at, picture) in items(Some("pictures")).iter().enumerate() {
                let Some(name) = text_at(picture, "file")
                    .filter(|name| photo::puppy_of(name, puppies.iter()) == Some(puppy))
                else {
                    continue;
                };
                let value = Value::String(format!("{to}{}", &name[puppy.as_str().len()..]));
                changes.push(Change::Set {
                    path: key_path!["pictures", at, "file"],
                    value,
                });
            }
        }
        (Named::Puppy(_, puppy), "weights") => {
            for (at, entry) in items(None).iter().enumerate() {
                if entry.at(&[Step::from(puppy.as_str())]).is_some() {
                    changes.push(Change::Rename {
                        path: key_path![at, puppy.as_str()],
                        to: to.as_str().to_owned(),
                    });
                }
            }
        }
        (Named::Puppy(_, puppy), "health") => {
            for (at, entry) in items(None).iter().enumerate() {
                one_or_many(entry, "for", puppy, &[Step::Index(at)], &mut set);
            }
        }
        (Named::Puppy(_, puppy), _) => one_or_many(&all, "puppies", puppy, &[], &mut set),
        (Named::Litter(_), _) => {}
    }
    Ok(changes)
}

/// Where a key with one value or several has this one.
fn one_or_many(
    block: &Meaning,
    key: &str,
    id: &Id,
    above: &[Step],
    set: &mut impl FnMut(Vec<Step>),
) {
    let is = |value: &Meaning| match value {
        Meaning::Text(text) | Meaning::Other(text) => text == id.as_str(),
        _ => false,
    };
    let path = |rest: Vec<Step>| {
        above
            .iter()
            .cloned()
            .chain([Step::from(key)])
            .chain(rest)
            .collect::<Vec<_>>()
    };
    match block.at(&[Step::from(key)]) {
        Some(Meaning::List(items)) => {
            items
                .iter()
                .enumerate()
                .filter(|(_, item)| is(item))
                .for_each(|(at, _)| set(path(vec![Step::Index(at)])));
        }
        Some(value) if is(value) => set(path(Vec::new())),
        _ => {}
    }
}

/// Many changes of names in one text: it is read twice in all, and not once for each.
fn at_once(file: &str, text: &str, changes: &[Change]) -> Result<String, Vec<Problem>> {
    let parts = Parts::of(file, text)?;
    let work = parts.work(file)?;
    let mut wanted = work.meaning()?;
    let tree = work.tree()?;
    let surgeon = super::Surgeon {
        text: &work.text,
        tree: &tree,
    };
    let mut edits = Vec::new();
    for change in changes {
        wanted.change(change).ok_or_else(|| work.no_place(change))?;
        edits.extend(
            surgeon
                .ways(change)
                .into_iter()
                .next()
                .ok_or_else(|| work.cannot(change))?,
        );
    }
    let new = spliced(&work.text, edits).filter(|new| work.reads_as(new, &wanted));
    let new = new.ok_or_else(|| {
        let message = "a name in this file cannot be changed without changing something else";
        vec![Problem::error(
            "cannot-change",
            Place::file(file),
            message,
            "a name with `*` takes over a value: write it out first",
        )]
    })?;
    let Parts {
        mark,
        before,
        record: _,
        behind,
    } = parts;
    Ok(format!("{mark}{before}{new}{behind}"))
}
