//! A puppy as everybody may see it.
//!
//! In: one puppy of an announced litter that is alive and spoken of. Out: its card and page: name,
//! ribbon, sex, colour, offer, age, photos, public words. All that was weighed, checked, given or
//! found stays behind.

use super::SiteContext;
use super::advert::{self, AdvertLine};
use super::dog::{self, ParentShown};
use super::note::{self, NoteShown, is_spoken_of};
use super::paths;
use crate::caption;
use crate::records::LitterFolder;
use crate::records::litter::Puppy;
use crate::shown::{picture, with_article};
use crate::{Dated, PictureShown, RibbonShown};
use serde::Serialize;

/// A puppy in a list.
#[derive(Debug, Clone, Serialize)]
pub struct PuppyCard {
    /// Name in the records.
    pub id: String,
    /// Name.
    pub name: String,
    /// Path of its page below the root.
    pub path: String,
    /// Folder of its litter.
    pub litter_id: String,
    /// Name of its litter.
    pub litter_name: String,
    /// Path of the litter's page.
    pub litter_path: String,
    /// Ribbon.
    pub ribbon: Option<RibbonShown>,
    /// `female` or `male`.
    pub sex: &'static str,
    /// Colour.
    pub colour: Option<String>,
    /// `available`, `reserved`, `placed` or `staying`.
    pub offer: &'static str,
    /// Day of birth.
    pub born: Option<Dated>,
    /// Age today in words.
    pub age: Option<String>,
    /// Earliest leaving day.
    pub leaves: Option<Dated>,
    /// Public words.
    pub about: Option<String>,
    /// Its first picture.
    pub picture: Option<PictureShown>,
}

/// The page of a puppy.
#[derive(Debug, Clone, Serialize)]
pub struct PuppyPage {
    /// The puppy.
    pub card: PuppyCard,
    /// What the region's rule asks an advert to show besides.
    pub advert: Vec<AdvertLine>,
    /// Dam and sire, each with what is published of its tests.
    pub parents: [ParentShown; 2],
    /// All its public pictures.
    pub pictures: Vec<PictureShown>,
    /// Public notes that name it.
    pub diary: Vec<NoteShown>,
    /// Its littermates that are spoken of.
    pub littermates: Vec<PuppyCard>,
}

pub(super) fn cards(context: &mut SiteContext<'_>, folder: &LitterFolder) -> Vec<PuppyCard> {
    folder
        .litter
        .puppies
        .iter()
        .filter(|p| is_spoken_of(p))
        .map(|p| card(context, folder, p))
        .collect()
}

pub(super) fn pages(context: &mut SiteContext<'_>, folder: &LitterFolder) -> Vec<PuppyPage> {
    let cards = cards(context, folder);
    let mut pages = Vec::with_capacity(cards.len());
    for (i, card) in cards.iter().enumerate() {
        let diary =
            note::public(folder).filter(|n| n.head.puppies.iter().any(|id| id.as_str() == card.id));
        let littermates = cards
            .iter()
            .enumerate()
            .filter(|(j, _)| *j != i)
            .map(|(_, c)| c.clone())
            .collect();
        let own = folder
            .litter
            .puppies
            .iter()
            .find(|p| p.id.as_str() == card.id);
        pages.push(PuppyPage {
            advert: own
                .map(|p| advert::lines(context, folder, p))
                .unwrap_or_default(),
            parents: dog::parents(context, folder),
            pictures: own
                .map(|p| pictures(context, folder, p))
                .unwrap_or_default(),
            diary: diary.map(|n| note::shown(folder, n)).collect(),
            littermates,
            card: card.clone(),
        });
    }
    pages
}

fn card(context: &mut SiteContext<'_>, folder: &LitterFolder, puppy: &Puppy) -> PuppyCard {
    let Puppy {
        id,
        name: _,
        registered_name: _,
        ribbon,
        sex,
        colour,
        markings: _,
        born: _,
        order: _,
        horn: _,
        weight: _,
        first_breath: _,
        palate: _,
        placenta: _,
        vigour: _,
        newborn: _,
        offer,
        about,
        registration: _,
        chip: _,
        weaned: _,
        returned: _,
        fate: _,
        on: _,
        cause: _,
        remarks: _,
    } = puppy;
    let born = folder.litter.born_on(puppy);
    let mut card = PuppyCard {
        id: id.to_string(),
        name: puppy.shown_name(),
        path: paths::puppy(folder, id),
        litter_id: folder.id.to_string(),
        litter_name: folder.litter.name.to_string(),
        litter_path: paths::litter(folder),
        ribbon: ribbon.map(Into::into),
        sex: sex.word(),
        colour: colour.as_ref().map(ToString::to_string),
        offer: offer.word(),
        born: born.map(Into::into),
        age: born.map(|born| crate::husbandry::age::in_words(born, context.figures.today)),
        leaves: context
            .figures
            .litters
            .puppy_leaves_from(folder, puppy)
            .map(Into::into),
        about: about.as_ref().map(ToString::to_string),
        picture: None,
    };
    card.picture = pictures(context, folder, puppy).into_iter().next();
    card
}

/// The first public picture of a puppy that is spoken of, in the order of the records.
pub(super) fn first_picture(
    context: &mut SiteContext<'_>,
    folder: &LitterFolder,
) -> Option<PictureShown> {
    folder
        .litter
        .puppies
        .iter()
        .filter(|puppy| is_spoken_of(puppy))
        .find_map(|puppy| pictures(context, folder, puppy).into_iter().next())
}

/// The public pictures of a puppy that is spoken of.
pub(super) fn pictures(
    context: &mut SiteContext<'_>,
    folder: &LitterFolder,
    puppy: &Puppy,
) -> Vec<PictureShown> {
    let mut own = folder
        .photos
        .iter()
        .filter(|photo| !photo.private && photo.puppy.as_ref() == Some(&puppy.id))
        .peekable();
    if own.peek().is_none() {
        return Vec::new();
    }
    let colour = puppy
        .colour
        .as_ref()
        .map(|c| format!("{c} "))
        .unwrap_or_default();
    let ribbon = puppy
        .ribbon
        .map(|r| format!(" with a {} ribbon", r.name()))
        .unwrap_or_default();
    let alt = format!(
        "{}, {} puppy{ribbon}",
        puppy.shown_name(),
        with_article(&format!("{colour}{}", puppy.sex.word()))
    );
    own.filter_map(|photo| {
        let shown = picture(
            context.album,
            photo,
            puppy.id.as_str(),
            alt.clone(),
            &mut context.used,
        )?;
        Some(shown.with_caption(caption::for_everyone(
            folder,
            photo,
            context.album,
            context.figures.today,
        )))
    })
    .collect()
}
