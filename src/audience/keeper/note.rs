//! A note as the keeper sees it.

use crate::Dated;
use crate::records::note::{Audience, Note, NoteHead, Topic};
use serde::Serialize;

/// A note of any audience.
#[derive(Debug, Clone, Serialize)]
pub struct NoteEntry {
    /// Name of its file without ending.
    pub slug: String,
    /// Date.
    pub date: Dated,
    /// Title.
    pub title: String,
    /// `everyone`, `owners` or `keeper`.
    pub audience: &'static str,
    /// Puppies it is about.
    pub puppies: Vec<String>,
    /// What it is about for families: `feeding` or `routine`.
    pub topic: Option<&'static str>,
    /// Markdown.
    pub text: String,
}

/// A note with all that its head says.
pub(super) fn shown(note: &Note) -> NoteEntry {
    let Note { slug, head, text } = note;
    let NoteHead {
        date,
        title,
        audience,
        puppies,
        topic,
    } = head;
    let audience = match audience {
        Audience::Everyone => "everyone",
        Audience::Owners => "owners",
        Audience::Keeper => "keeper",
    };
    NoteEntry {
        slug: slug.to_string(),
        date: (*date).into(),
        title: title.to_string(),
        audience,
        puppies: puppies.iter().map(ToString::to_string).collect(),
        topic: topic.map(Topic::word),
        text: text.clone(),
    }
}
