//! What was recorded of a litter, newest first, each with the way to where it is put right.
//!
//! In: a litter. Out: a list for its page: entries of health, and notes. Weights stand on pages of
//! their own.

use super::Scene;
use super::form::{ActItem, ActLink, Section};
use super::health::kind_words;
use crate::quantity::{Day, Id};
use crate::records::LitterFolder;
use crate::records::health::{DetailValue, HealthEntry};
use crate::records::litter::Puppy;
use crate::records::note::Note;
use crate::records::weights::DAM;
use std::cmp::Reverse;

/// How many are shown.
const MOST: usize = 8;

/// The newest entries and notes; nothing where there are none.
pub(super) fn of_late(scene: &Scene<'_>, litter: &LitterFolder) -> Option<Section> {
    let health = litter.health.iter().enumerate();
    let health = health.map(|(at, entry)| (entry.day(), entry_of(scene, litter, at, entry)));
    let notes = litter.notes.iter();
    let notes = notes.map(|note| (Some(note.head.date), note_of(litter, note)));
    let mut all: Vec<(Option<Day>, ActItem)> = health.collect();
    // Of one day the last that was written is the newest.
    all.reverse();
    all.extend(notes);
    all.sort_by_key(|(day, _)| Reverse(*day));
    all.truncate(MOST);
    let items = all.into_iter().map(|(_, item)| item).collect();
    Section::of("Written down of late", items)
}

fn form(litter: &LitterFolder, file: &str) -> String {
    format!("/-desk/form/{}", litter.file(file))
}

fn note_of(litter: &LitterFolder, note: &Note) -> ActItem {
    ActItem {
        title: format!("Note: {}", note.head.title),
        words: vec![note.head.date.in_words()],
        links: vec![ActLink::new(
            "Change it",
            form(litter, &format!("notes/{}.md", note.slug)),
        )],
        ..ActItem::default()
    }
}

fn entry_of(scene: &Scene<'_>, litter: &LitterFolder, at: usize, entry: &HealthEntry) -> ActItem {
    let kinds = entry.kinds();
    let kinds: Vec<&str> = kinds.into_iter().map(kind_words).collect();
    let parts = entry.parts();
    let whom = parts.whom.iter().map(|id| called(scene, litter, id));
    let whom: Vec<String> = whom.collect();
    let when = match (parts.at, parts.on) {
        (Some(at), _) => at.in_words(),
        (None, Some(on)) => on.in_words(),
        (None, None) => String::new(),
    };
    let details = parts.details.iter();
    let details = details.map(|(.., value)| match value {
        DetailValue::Day(day) => day.in_words(),
        DetailValue::Items(items) => {
            let items = items.iter().map(|item| item.as_str().replace('-', " "));
            items.collect::<Vec<_>>().join(", ")
        }
        value => value.to_string(),
    });
    let remark = parts.remark.map(ToString::to_string);
    let file = litter.file("health.yaml");
    // Entries have no name of their own, and are counted from one; where one could not be read, the
    // list itself is shown.
    let place = if scene.is_read_whole(&file) {
        format!("?at={}", at + 1)
    } else {
        String::new()
    };
    let said: Vec<String> = details.chain(remark).collect();
    ActItem {
        title: format!("{}: {}", kinds.join(", "), whom.join(", ")),
        words: [when, said.join("; ")]
            .into_iter()
            .filter(|words| !words.is_empty())
            .collect(),
        links: vec![ActLink::new(
            "Change it",
            form(litter, &format!("health.yaml{place}")),
        )],
        ..ActItem::default()
    }
}

fn called(scene: &Scene<'_>, litter: &LitterFolder, id: &Id) -> String {
    match id.as_str() {
        "all" => "all".to_owned(),
        DAM => scene.dam(litter),
        _ => litter
            .puppy(id)
            .map_or_else(|| id.to_string(), Puppy::shown_name),
    }
}
