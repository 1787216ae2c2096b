//! Notes for the family.
//!
//! In: the notes of the litter. Out: those for owners or everyone that are about this puppy or about the whole litter, the newest first. A note that names other puppies only is theirs.

use super::{Case, NoteRecord};
use crate::records::note::{Audience, Note, NoteHead, Topic};

pub(super) fn notes(case: &Case<'_>) -> Vec<NoteRecord> {
    let about_us = |head: &NoteHead| head.puppies.is_empty() || head.puppies.contains(&case.puppy.id);
    let wanted = |note: &&Note| note.head.audience != Audience::Keeper && about_us(&note.head);
    case.folder.notes.iter().filter(wanted).map(record).collect()
}

fn record(note: &Note) -> NoteRecord {
    let Note { slug: _, head, text } = note;
    let NoteHead { date, title, audience: _, puppies: _, topic } = head;
    NoteRecord { date: date.to_string(), title: title.to_string(), topic: topic.map(Topic::word), text: text.clone() }
}
