//! Public notes, and which puppies may be named in public.
//!
//! In: a note whose audience is everyone. Out: [`NoteShown`]. Puppies that nobody speaks of are not
//! named beside it.

use super::paths;
use crate::Dated;
use crate::husbandry::age::in_words;
use crate::quantity::{Day, Id};
use crate::records::LitterFolder;
use crate::records::litter::{Offer, Puppy};
use crate::records::note::{Audience, Note, NoteHead};
use serde::Serialize;

/// A public note.
#[derive(Debug, Clone, Serialize)]
pub struct NoteShown {
    /// Date.
    pub date: Dated,
    /// Title.
    pub title: String,
    /// Markdown.
    pub text: String,
    /// Path of the page it stands on.
    pub path: String,
    /// Where on that page.
    pub anchor: String,
    /// Name of the litter.
    pub litter: String,
    /// Age of the puppies on that day, in words.
    pub age: Option<String>,
    /// Puppies it is about that are spoken of: ids.
    pub about: Vec<String>,
}

/// The public notes of a litter, newest first.
pub(super) fn public(folder: &LitterFolder) -> impl Iterator<Item = &Note> {
    folder
        .notes
        .iter()
        .filter(|note| note.head.audience == Audience::Everyone)
}

/// Whether a puppy appears in public at all.
pub(super) fn is_spoken_of(puppy: &Puppy) -> bool {
    puppy.is_alive() && puppy.offer != Offer::NotOffered
}

/// Where a public note stands on its page: made of what is public of it, since the name of its file
/// may name a puppy that is not spoken of. Of two notes with one date and title the second is
/// numbered.
fn anchor(folder: &LitterFolder, note: &Note) -> String {
    let like_it =
        |other: &&Note| other.head.date == note.head.date && other.head.title == note.head.title;
    let before = public(folder)
        .filter(like_it)
        .filter(|other| other.slug < note.slug)
        .count();
    let number = if before == 0 {
        String::new()
    } else {
        format!("-{}", before + 1)
    };
    let plain: String = note
        .head
        .title
        .chars()
        .flat_map(char::to_lowercase)
        .map(|c| if c.is_ascii_alphanumeric() { c } else { ' ' })
        .collect();
    let words = plain.split_whitespace().collect::<Vec<_>>().join("-");
    let title = words.get(..60).unwrap_or(&words).trim_end_matches('-');
    format!(
        "note-{}{}{title}{number}",
        note.head.date,
        if title.is_empty() { "" } else { "-" }
    )
}

/// From which day the age in a note counts: the one of the puppies that it names, where they share
/// it, otherwise the litter's.
fn born(folder: &LitterFolder, puppies: &[Id]) -> Option<Day> {
    let mut days = puppies.iter().filter_map(|id| {
        folder
            .litter
            .born_on(folder.puppy(id).filter(|puppy| is_spoken_of(puppy))?)
    });
    let first = days.next().filter(|first| days.all(|day| day == *first));
    first.or_else(|| folder.litter.birth.as_ref().map(|birth| birth.on))
}

pub(super) fn shown(folder: &LitterFolder, note: &Note) -> NoteShown {
    let Note {
        slug: _,
        head,
        text,
    } = note;
    let NoteHead {
        date,
        title,
        audience: _,
        puppies,
        topic: _,
    } = head;
    let born = born(folder, puppies).filter(|born| born <= date);
    let age = born.map(|born| in_words(born, *date));
    let about = puppies
        .iter()
        .filter(|id| folder.puppy(id).is_some_and(is_spoken_of))
        .map(ToString::to_string)
        .collect();
    NoteShown {
        date: (*date).into(),
        title: title.to_string(),
        text: text.clone(),
        path: paths::litter(folder),
        anchor: anchor(folder, note),
        litter: folder.litter.name.to_string(),
        age,
        about,
    }
}
