//! What stands around every public page: who we are and where to go.
//!
//! In: `kennel.yaml`. Out: [`Frame`]. The postal address and the emergency vet stay behind.

use super::TextPage;
use crate::Dated;
use crate::quantity::Day;
use crate::records::kennel::{Contact, Email, Kennel, Licence};
use serde::Serialize;

/// Who we are.
#[derive(Debug, Clone, Serialize)]
pub struct Frame {
    /// Name of the kennel.
    pub kennel: String,
    /// Breed.
    pub breed: String,
    /// One sentence.
    pub summary: Option<String>,
    /// Name of the keeper.
    pub keeper: String,
    /// E-mail address.
    pub email: String,
    /// Telephone.
    pub phone: Option<String>,
    /// Town.
    pub town: Option<String>,
    /// Country code.
    pub country: String,
    /// Licence, where the law wants it shown.
    pub licence: Option<LicenceShown>,
    /// Address of the published site, ending in `/`.
    pub site: Option<String>,
    /// The path part of that address.
    pub site_path: String,
    /// The day this was written.
    pub today: Dated,
    /// Whether that day is pinned, so that ages stay as written.
    pub pinned: bool,
    /// The kennel's own pages.
    pub menu: Vec<MenuEntry>,
    /// The page that says how to apply for a puppy: the first that asks questions.
    pub apply: Option<MenuEntry>,
    /// What a letter to the keeper opens with: those questions, with room for answers; else
    /// nothing.
    pub letter: String,
}

/// The page on which a puppy's record can be checked: who is to have signed it. Keys are public and
/// are handed in where the page is made.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct RecordCheckPage {
    /// Name of the kennel.
    pub kennel: String,
}

impl RecordCheckPage {
    /// The page of the kennel that this frame is of.
    #[must_use]
    pub fn new(frame: &Frame) -> Self {
        Self {
            kennel: frame.kennel.clone(),
        }
    }
}

/// A licence.
#[derive(Debug, Clone, Serialize)]
pub struct LicenceShown {
    /// Number.
    pub number: String,
    /// Who issued it.
    pub authority: String,
}

/// A page of the kennel's own in the menu.
#[derive(Debug, Clone, Serialize)]
pub struct MenuEntry {
    /// Title.
    pub title: String,
    /// Path below the root.
    pub path: String,
}

pub(super) fn frame(kennel: &Kennel, today: Day, texts: &[TextPage]) -> Frame {
    let Kennel {
        name,
        breed,
        summary,
        contact,
        country,
        region: _,
        registries: _,
        time_zone: _,
        units: _,
        site,
        licence,
        numbers: _,
        seen_with_dam: _,
        leaving_age: _,
        policies: _,
        as_of,
    } = kennel;
    let Contact {
        keeper,
        email: Email(email),
        phone,
        town,
        address: _,
        emergency_vet: _,
    } = contact;
    let entry = |page: &TextPage| MenuEntry {
        title: page.title.clone(),
        path: format!("pages/{}.html", page.slug),
    };
    let apply = texts.iter().find(|page| !page.questions.is_empty());
    Frame {
        apply: apply.map(entry),
        // Line ends of a letter are those of RFC 5322.
        letter: apply
            .map(|page| {
                page.questions
                    .iter()
                    .map(|question| format!("{question}\r\n\r\n"))
                    .collect()
            })
            .unwrap_or_default(),
        kennel: name.to_string(),
        breed: breed.to_string(),
        summary: summary.as_ref().map(ToString::to_string),
        keeper: keeper.to_string(),
        email: email.to_string(),
        phone: phone.as_ref().map(ToString::to_string),
        town: town.as_ref().map(ToString::to_string),
        country: country.to_string(),
        licence: licence
            .as_ref()
            .map(|Licence { number, authority }| LicenceShown {
                number: number.to_string(),
                authority: authority.to_string(),
            }),
        site: site.as_ref().map(|s| s.as_str().to_owned()),
        site_path: site
            .as_ref()
            .map_or_else(|| "/".to_owned(), |s| s.path().to_owned()),
        today: today.into(),
        pinned: as_of.is_some(),
        menu: texts.iter().map(entry).collect(),
    }
}
