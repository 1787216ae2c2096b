//! A litter as everybody may see it.
//!
//! In: one announced litter. Out: its card and its page with the public diary. Matings, hormones,
//! counts before birth, the way of birth, surgery, placentas, weights and health stay behind.
//! Counted are the puppies that are shown or spoken for, so that no count changes with one that
//! nobody was told of.

use super::SiteContext;
use super::dog::{self, DogRef, ParentShown};
use super::note::{self, NoteShown, is_spoken_of};
use super::paths;
use super::puppy::{self, PuppyCard, PuppyPage};
use crate::cache::Digest;
use crate::husbandry::gestation::Due;
use crate::quantity::Day;
use crate::records::LitterFolder;
use crate::records::dog::Sex;
use crate::records::litter::{Birth, Litter, Offer};
use crate::shown::{InbreedingShown, picture};
use crate::{Dated, PictureShown, caption};
use serde::Serialize;

/// Days after the leaving day during which a litter still counts as here.
const STILL_HERE: i64 = 28;

/// Where a litter stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum LitterStatus {
    /// Not born yet.
    Expected,
    /// Born, and some puppies are still here or looking for a home.
    Here,
    /// All in their homes.
    Past,
}

/// A litter in a list.
#[derive(Debug, Clone, Serialize)]
pub struct LitterCard {
    /// Name of its folder.
    pub id: String,
    /// Name.
    pub name: String,
    /// Path of its page below the root.
    pub path: String,
    /// Where it stands.
    pub status: LitterStatus,
    /// Dam.
    pub dam: DogRef,
    /// Sire.
    pub sire: DogRef,
    /// Public words.
    pub about: Option<String>,
    /// Day of birth.
    pub born: Option<Dated>,
    /// Age today in words.
    pub age: Option<String>,
    /// First, likely and last day of the due window.
    pub due: Option<(Dated, Dated, Dated)>,
    /// Whether the likely day is more than the middle of the window.
    pub due_to_a_day: bool,
    /// Whether the window is over and no birth was written down. Its days are not said then.
    pub is_overdue: bool,
    /// Earliest leaving day, while one that is shown may still leave: nothing is promised of a
    /// litter of which no puppy is shown, for whatever reason.
    pub leaves: Option<Dated>,
    /// Bitches that are spoken of.
    pub females: usize,
    /// Dogs that are spoken of.
    pub males: usize,
    /// How many are available.
    pub available: usize,
    /// A picture.
    pub picture: Option<PictureShown>,
}

impl LitterCard {
    /// Newest first, expected before born.
    pub(super) fn order_key(&self) -> (String, String) {
        (
            self.born
                .as_ref()
                .or(self.due.as_ref().map(|(_, likely, _)| likely))
                .map_or_else(String::new, |d| d.iso.clone()),
            self.id.clone(),
        )
    }
}

/// A litter's page and its puppies' pages that are still to be made.
#[derive(Debug)]
pub struct SiteLitter<'a> {
    /// The litter.
    pub card: LitterCard,
    /// Paths of the pages of its puppies, below the root.
    pub puppies: Vec<String>,
    /// Digest of what these pages show beside the records: the day, and which dogs have pages.
    pub besides: Digest,
    context: SiteContext<'a>,
    folder: &'a LitterFolder,
}

impl SiteLitter<'_> {
    /// The pages: the litter's, and those of its puppies in the order of their paths in
    /// [`SiteLitter::puppies`].
    #[must_use]
    pub fn pages(&self) -> (LitterPage, Vec<PuppyPage>) {
        let mut context = self.context.another();
        (
            page(&mut context, self.folder),
            puppy::pages(&mut context, self.folder),
        )
    }

    /// Cards of the puppies that are available.
    pub(super) fn available(&self) -> Vec<PuppyCard> {
        puppy::cards(&mut self.context.another(), self.folder)
            .into_iter()
            .filter(|card| card.offer == "available")
            .collect()
    }
}

/// The page of a litter.
#[derive(Debug, Clone, Serialize)]
pub struct LitterPage {
    /// The litter.
    pub card: LitterCard,
    /// Dam and sire, each with what is published of its tests.
    pub parents: [ParentShown; 2],
    /// Inbreeding of the puppies.
    pub inbreeding: InbreedingShown,
    /// The puppies that are spoken of.
    pub puppies: Vec<PuppyCard>,
    /// Public notes, newest first.
    pub diary: Vec<NoteShown>,
    /// Pictures of the litter as a whole.
    pub pictures: Vec<PictureShown>,
}

pub(super) fn leaf<'a>(context: &SiteContext<'a>, folder: &'a LitterFolder) -> SiteLitter<'a> {
    let spoken_of = folder
        .litter
        .puppies
        .iter()
        .filter(|puppy| is_spoken_of(puppy));
    SiteLitter {
        card: card(&mut context.another(), folder),
        puppies: spoken_of
            .map(|puppy| paths::puppy(folder, &puppy.id))
            .collect(),
        besides: context.besides(),
        context: context.another(),
        folder,
    }
}

/// Notes the pictures that the pages of a litter and its puppies use.
pub(super) fn use_pictures(context: &mut SiteContext<'_>, folder: &LitterFolder) {
    let _ = pictures(context, folder);
    for puppy in folder
        .litter
        .puppies
        .iter()
        .filter(|puppy| is_spoken_of(puppy))
    {
        let _ = puppy::pictures(context, folder, puppy);
    }
}

/// Public pictures of the litter as a whole.
fn pictures(context: &mut SiteContext<'_>, folder: &LitterFolder) -> Vec<PictureShown> {
    let alt = format!("The {} litter", folder.litter.name);
    let of_all = folder
        .photos
        .iter()
        .filter(|photo| !photo.private && photo.puppy.is_none());
    let shown = of_all.filter_map(|photo| {
        let shown = picture(
            context.album,
            photo,
            folder.id.as_str(),
            alt.clone(),
            &mut context.used,
        )?;
        Some(shown.with_caption(caption::for_everyone(
            folder,
            photo,
            context.album,
            context.figures.today,
        )))
    });
    shown.collect()
}

fn page(context: &mut SiteContext<'_>, folder: &LitterFolder) -> LitterPage {
    let pictures = pictures(context, folder);
    let puppies: Vec<PuppyCard> = puppy::cards(context, folder);
    LitterPage {
        diary: note::public(folder)
            .map(|n| note::shown(folder, n))
            .collect(),
        card: card(context, folder),
        parents: dog::parents(context, folder),
        inbreeding: (&context.figures.litters[&folder.id].inbreeding).into(),
        puppies,
        pictures,
    }
}

fn card(context: &mut SiteContext<'_>, folder: &LitterFolder) -> LitterCard {
    let LitterFolder {
        id,
        litter,
        weigh_ins: _,
        bare_unit: _,
        health: _,
        notes: _,
        photos: _,
    } = folder;
    let Litter {
        name,
        dam,
        sire,
        about,
        announced: _,
        mated: _,
        ovulated: _,
        lh_surge: _,
        dioestrus: _,
        progesterone: _,
        measured: _,
        counted: _,
        adult_weight: _,
        birth,
        weaned: _,
        puppies: _,
        pictures: _,
        remarks: _,
    } = &***litter;
    let litters = &context.figures.litters;
    // Whatever else was computed of a litter is nobody's business here; and of a litter that is
    // born nothing is.
    let (due, leaves_from) = (
        if birth.is_none() {
            litters[id].due
        } else {
            None
        },
        litters.leaves_from(folder),
    );
    let (over, due) = match due {
        Some(due) if due.to < context.figures.today => (true, None),
        due => (false, due),
    };
    let may_leave = litter.puppies.iter().any(|puppy| {
        is_spoken_of(puppy) && matches!(puppy.offer, Offer::Available | Offer::Reserved)
    });
    let picture = pictures(context, folder).into_iter().next();
    let born = birth.as_ref().map(
        |Birth {
             on,
             how: _,
             placentas: _,
             surgery: _,
             remarks: _,
         }| *on,
    );
    let today = context.figures.today;
    let spoken_of = |sex: Sex| {
        litter
            .puppies
            .iter()
            .filter(|p| is_spoken_of(p) && p.sex == sex)
            .count()
    };
    let available = folder
        .living()
        .filter(|p| p.offer == Offer::Available)
        .count();
    LitterCard {
        id: id.to_string(),
        name: name.to_string(),
        path: paths::litter(folder),
        status: status(today, born, leaves_from, available),
        dam: dog::reference(context, dam),
        sire: dog::reference(context, sire),
        about: about.as_ref().map(ToString::to_string),
        born: born.map(Dated::from),
        age: born.map(|born| crate::husbandry::age::in_words(born, today)),
        due_to_a_day: due.is_some_and(|due| due.is_to_a_day()),
        is_overdue: over,
        due: due.map(
            |Due {
                 from,
                 likely,
                 to,
                 anchor: _,
                 known: _,
             }| (from.into(), likely.into(), to.into()),
        ),
        leaves: leaves_from.filter(|_| may_leave).map(Dated::from),
        females: spoken_of(Sex::Female),
        males: spoken_of(Sex::Male),
        available,
        picture: picture.or_else(|| puppy::first_picture(context, folder)),
    }
}

fn status(
    today: Day,
    born: Option<Day>,
    leaves_from: Option<Day>,
    available: usize,
) -> LitterStatus {
    match (born, leaves_from) {
        (None, _) => LitterStatus::Expected,
        (Some(_), Some(leaves)) if available == 0 && today > leaves.plus(STILL_HERE) => {
            LitterStatus::Past
        }
        _ => LitterStatus::Here,
    }
}
