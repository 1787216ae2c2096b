//! Notes for the family.
//!
//! In: the notes of the litter. Out: those for owners or everyone that are about this puppy or
//! about the whole litter, the newest first. A note that names other puppies only is theirs;
//! one for owners that was written before the puppy came back was for the family that gave it back.

use super::{Case, NoteRecord};
use crate::records::note::{Audience, Note, NoteHead, Topic};

pub(super) fn notes(case: &Case<'_>) -> Vec<NoteRecord> {
    let about_us =
        |head: &NoteHead| head.puppies.is_empty() || head.puppies.contains(&case.puppy.id);
    let returned = case.puppy.returned.as_ref().map(|returned| returned.on);
    let was_theirs = |head: &NoteHead| {
        let to_the_former = returned.is_some_and(|on| head.date <= on);
        to_the_former && head.audience == Audience::Owners && head.puppies.contains(&case.puppy.id)
    };
    let wanted = |note: &&Note| {
        note.head.audience != Audience::Keeper && about_us(&note.head) && !was_theirs(&note.head)
    };
    case.folder
        .notes
        .iter()
        .filter(wanted)
        .map(record)
        .collect()
}

fn record(note: &Note) -> NoteRecord {
    let Note {
        slug: _,
        head,
        text,
    } = note;
    let NoteHead {
        date,
        title,
        audience: _,
        puppies: _,
        topic,
    } = head;
    NoteRecord {
        date: date.to_string(),
        title: title.to_string(),
        topic: topic.map(Topic::word),
        text: text.clone(),
    }
}
