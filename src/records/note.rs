//! `notes/*.md` and `pages/*.md`: Markdown with a YAML head.
//!
//! In: the head between two `---` lines and the text below. Out: a [`Note`] or a [`Page`]. A note
//! without an audience is for the keeper alone.

use super::one_or_many::OneOrMany;
use super::promise::DatedPromise;
use crate::quantity::{Day, Id, Text};
use schemars::JsonSchema;
use serde::Deserialize;

/// The head of a note.
#[derive(Debug, Clone, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct NoteHead {
    /// The day it is about.
    #[schemars(title = "Day")]
    pub date: Day,
    /// Title.
    pub title: Text,
    /// Who may read it; the keeper alone, unless it says otherwise.
    #[serde(default)]
    #[schemars(title = "Who may read it")]
    pub audience: Audience,
    /// The puppies it is about; the whole litter when it names none.
    #[serde(default)]
    #[schemars(extend("x-names" = "puppy"))]
    pub puppies: OneOrMany<Id>,
    /// What it is about, so that families find it in its place.
    pub topic: Option<Topic>,
}

/// What a note for families is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum Topic {
    /// What, how much and when the puppies eat.
    Feeding,
    /// Their day: sleep, house training, company, what they know.
    Routine,
}

/// Who may read a note.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Deserialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum Audience {
    /// Everybody, in the diary of the litter and the feed.
    Everyone,
    /// The families of the puppies it names, or of the litter.
    Owners,
    /// The keeper alone.
    #[default]
    Keeper,
}

/// A note of a litter.
#[derive(Debug, Clone)]
pub struct Note {
    /// Name of its file without `.md`.
    pub slug: Id,
    /// Its head.
    pub head: NoteHead,
    /// Its text, Markdown.
    pub text: String,
}

/// The head of a page.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct PageHead {
    /// Title, in the menu as well.
    pub title: Text,
    /// Place in the menu, smallest first.
    #[serde(default)]
    #[schemars(title = "Place in the menu")]
    pub order: u32,
    /// One sentence for search engines.
    pub summary: Option<Text>,
    /// What you ask of those who want a puppy. The page that has them is where the list of puppies
    /// leads, and letters to you open with them.
    #[serde(default)]
    #[schemars(title = "Questions to those who ask")]
    pub questions: Vec<Text>,
    /// What this page promises or asks within some days of leaving. Families find it with its date
    /// on their own pages.
    #[serde(default)]
    pub promises: Vec<DatedPromise>,
}

/// A public page of the kennel's own.
#[derive(Debug, Clone)]
pub struct Page {
    /// Name of its file without `.md`.
    pub slug: Id,
    /// Its head.
    pub head: PageHead,
    /// Its text, Markdown.
    pub text: String,
}

crate::words! {
    Topic { Feeding "feeding", Routine "routine" }
}
