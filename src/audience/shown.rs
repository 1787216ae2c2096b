//! Small pieces that every audience is shown alike: dates, pictures, ribbons.
//!
//! In: values. Out: serialisable pieces that hold nothing but themselves.

use super::album::Album;
use crate::husbandry::pedigree::Inbreeding;
use crate::quantity::{Day, Ribbon};
use crate::records::photo::PhotoFile;
use serde::Serialize;
use std::collections::BTreeMap;

/// A date for machines and for people.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize)]
pub struct Dated {
    /// `2026-10-09`.
    pub iso: String,
    /// `9 October 2026`.
    pub words: String,
}

impl From<Day> for Dated {
    fn from(day: Day) -> Self {
        Self {
            iso: day.to_string(),
            words: day.in_words(),
        }
    }
}

/// A ribbon: its name always goes with its colour.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct RibbonShown {
    /// `green`.
    pub name: &'static str,
    /// `#4d7c4f`.
    pub hex: &'static str,
}

impl From<Ribbon> for RibbonShown {
    fn from(ribbon: Ribbon) -> Self {
        Self {
            name: ribbon.name(),
            hex: ribbon.hex(),
        }
    }
}

/// A picture on a page.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct PictureShown {
    /// All sizes, smallest first.
    pub sizes: Vec<SizeShown>,
    /// The size for browsers that know no `srcset`: the middle one.
    pub fallback: SizeShown,
    /// The largest size.
    pub largest: SizeShown,
    /// What it shows, in words.
    pub alt: String,
    /// What stands under it.
    pub caption: Option<String>,
}

/// One size of a picture.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct SizeShown {
    /// Path below the root of the site.
    pub path: String,
    /// Width, px.
    pub width: u32,
    /// Height, px.
    pub height: u32,
}

/// The pictures that the views of one audience use: file in the content folder → what its published
/// name begins with.
pub type Used = BTreeMap<String, String>;

/// Path of one size of a picture, below the root of a site.
#[must_use]
pub fn picture_path(subject: &str, key: &str, width: u32) -> String {
    format!("photos/{subject}-{key}-{width}.jpg")
}

impl PictureShown {
    /// The same picture with words under it.
    pub(super) fn with_caption(self, caption: Option<String>) -> Self {
        Self { caption, ..self }
    }
}

/// Shows a picture and notes that it is used. Nothing, when it could not be prepared.
pub(super) fn picture(
    album: &Album,
    photo: &PhotoFile,
    subject: &str,
    alt: String,
    used: &mut Used,
) -> Option<PictureShown> {
    let picture = album.get(&photo.file)?;
    let sizes: Vec<SizeShown> = picture
        .sizes
        .iter()
        .map(|(width, height)| SizeShown {
            path: picture_path(subject, &picture.key, *width),
            width: *width,
            height: *height,
        })
        .collect();
    let fallback = sizes.get(sizes.len() / 2)?.clone();
    let largest = sizes.last()?.clone();
    used.insert(photo.file.clone(), subject.to_owned());
    Some(PictureShown {
        sizes,
        fallback,
        largest,
        alt,
        caption: None,
    })
}

/// `a brindle female`, `an apricot female`: by the first letter, which is right for colours.
#[must_use]
pub fn with_article(words: &str) -> String {
    let opens = |c: char| "aeioAEIO".contains(c);
    let article = if words.starts_with(opens) { "an" } else { "a" };
    format!("{article} {words}")
}

/// What is said instead of a coefficient of inbreeding where it would say nothing.
pub const TOO_FEW_ANCESTORS: &str = "too few ancestors known to say";

/// A coefficient of inbreeding, or a part of one, everywhere with as many digits: `6.25 %`.
#[must_use]
pub fn percent(coefficient: f64) -> String {
    format!("{:.2} %", coefficient * 100.0)
}

/// A coefficient of inbreeding with the depth it rests on.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct InbreedingShown {
    /// `6.25 %`; nothing where too few ancestors are known to say.
    pub percent: Option<String>,
    /// What is said then.
    pub otherwise: &'static str,
    /// Generations of ancestors that are known, on the deepest line.
    pub deepest: u32,
    /// Equivalent complete generations, one decimal.
    pub complete: String,
}

impl From<&Inbreeding> for InbreedingShown {
    fn from(inbreeding: &Inbreeding) -> Self {
        let Inbreeding {
            coefficient: _,
            deepest,
            complete_generations,
        } = inbreeding;
        Self {
            percent: inbreeding.known().map(percent),
            otherwise: TOO_FEW_ANCESTORS,
            deepest: *deepest,
            complete: format!("{complete_generations:.1}"),
        }
    }
}
