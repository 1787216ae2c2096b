//! What everybody may see.
//!
//! In: records, figures and prepared pictures. Out: [`VisitorSite`]: one view for each public page.
//! Never: weights, vigour, palate, treatments, temperatures, findings, deaths, surgery, chip
//! numbers, owners, waiting list, codes, remarks, notes for others.

mod advert;
mod dog;
mod frame;
mod litter;
mod note;
mod paths;
mod puppy;

pub use advert::AdvertLine;
pub use dog::{DogPage, DogRef, GenerationShown, PedigreeCell, ScreeningShown};
pub use frame::{Frame, LicenceShown, MenuEntry, RecordCheckPage};
pub use litter::{LitterCard, LitterPage, LitterStatus, SiteLitter};
pub use note::NoteShown;
pub use puppy::{PuppyCard, PuppyPage};

use super::{Album, Dated, PictureShown, Used, Visitor, views};
use crate::cache::{Digest, Digester};
use crate::husbandry::Figures;
use crate::quantity::{Day, Id};
use crate::records::{
    LitterFolder, Records,
    note::{Note, Page, PageHead},
};
use rayon::prelude::*;
use serde::Serialize;
use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

/// How many notes the first page and the feed show.
const NEWS_ON_HOME: usize = 4;
const NEWS_IN_FEED: usize = 40;

/// The whole public site.
#[derive(Debug)]
pub struct VisitorSite<'a> {
    /// What every page shows around itself.
    pub frame: Frame,
    /// The first page.
    pub home: HomePage,
    /// Puppies that can be had.
    pub puppies: PuppiesPage,
    /// Announced litters, newest first: a page for each, and one for each puppy that is spoken of,
    /// to be made when they are needed.
    pub litters: Vec<SiteLitter<'a>>,
    /// A page for each parent.
    pub dogs: Vec<DogPage>,
    /// Earlier litters.
    pub past: PastPage,
    /// The kennel's own pages.
    pub texts: Vec<TextPage>,
    /// Notes for the feed, newest first.
    pub feed: Vec<NoteShown>,
    /// The pictures these pages use.
    pub pictures: Used,
}

/// The first page.
#[derive(Debug, Clone, Serialize)]
pub struct HomePage {
    /// Puppies that are available, those that can leave first in front.
    pub available: Vec<PuppyCard>,
    /// Litters that are here.
    pub now: Vec<LitterCard>,
    /// Litters that are expected.
    pub expected: Vec<LitterCard>,
    /// The latest public notes.
    pub news: Vec<NoteShown>,
    /// What the kennel stands by.
    pub policies: Vec<String>,
    /// A picture for the top of the page.
    pub picture: Option<PictureShown>,
}

/// The list of available puppies, with what it can be narrowed by.
#[derive(Debug, Clone, Serialize)]
pub struct PuppiesPage {
    /// The puppies.
    pub cards: Vec<PuppyCard>,
    /// Sexes that occur.
    pub sexes: Vec<&'static str>,
    /// Colours that occur.
    pub colours: Vec<String>,
    /// Litters that occur: id and name.
    pub litters: Vec<(String, String)>,
    /// Days from which puppies may leave.
    pub leaving: Vec<Dated>,
    /// Litters that are expected, for those who found nothing.
    pub expected: Vec<LitterCard>,
}

/// Earlier litters.
#[derive(Debug, Clone, Serialize)]
pub struct PastPage {
    /// Newest first.
    pub litters: Vec<LitterCard>,
}

/// A page of the kennel's own.
#[derive(Debug, Clone, Serialize)]
pub struct TextPage {
    /// Name in the address.
    pub slug: String,
    /// Title.
    pub title: String,
    /// For search engines.
    pub summary: Option<String>,
    /// Markdown.
    pub text: String,
    /// What is asked of those who want a puppy.
    pub questions: Vec<String>,
}

views!(
    Visitor: Frame, HomePage, PuppiesPage, PastPage, TextPage, LitterPage, PuppyPage, DogPage,
    RecordCheckPage
);

/// Chooses what everybody may see.
#[must_use]
pub fn site<'a>(
    records: &'a Records,
    figures: &'a Figures<'a>,
    album: &'a Album,
) -> VisitorSite<'a> {
    let Records {
        today: _,
        kennel,
        care_plan: _,
        dogs: _,
        litters,
        owners: _,
        pages,
        portraits: _,
        litters_by_dam: _,
        digests: _,
    } = records;
    let public: Vec<&LitterFolder> = litters
        .values()
        .filter(|folder| is_public(folder))
        .collect();
    let parents: BTreeSet<&Id> = public
        .iter()
        .flat_map(|f| [&f.litter.dam, &f.litter.sire])
        .collect();
    let mut context = SiteContext {
        records,
        figures,
        album,
        parents: Arc::new(parents),
        used: Used::new(),
    };
    let mut leaves: Vec<SiteLitter<'_>> = public
        .par_iter()
        .map(|folder| litter::leaf(&context, folder))
        .collect();
    for folder in &public {
        litter::use_pictures(&mut context, folder);
    }
    leaves.sort_by_key(|leaf| std::cmp::Reverse(leaf.card.order_key()));
    let dog_pages = context
        .parents
        .clone()
        .iter()
        .filter_map(|id| dog::page(&mut context, id, &public))
        .collect();
    let of = |status: LitterStatus| {
        leaves
            .iter()
            .map(|leaf| &leaf.card)
            .filter(|c| c.status == status)
            .cloned()
            .collect::<Vec<_>>()
    };
    let mut expected = of(LitterStatus::Expected);
    // The one that comes first stands first; those without a day stand last.
    expected.sort_by_cached_key(|card| {
        let day = card.due.as_ref().map(|(_, likely, _)| likely.iso.clone());
        (day.is_none(), day)
    });
    let mut available: Vec<PuppyCard> = leaves
        .iter()
        .filter(|leaf| leaf.card.available > 0)
        .flat_map(SiteLitter::available)
        .collect();
    available.sort_by(|a, b| {
        (&a.leaves, &a.litter_name, &a.name).cmp(&(&b.leaves, &b.litter_name, &b.name))
    });
    let news = news(&public);
    let texts: Vec<TextPage> = pages.iter().map(text_page).collect();
    let home = HomePage {
        available: available.clone(),
        now: of(LitterStatus::Here),
        expected: expected.clone(),
        news: news.iter().take(NEWS_ON_HOME).cloned().collect(),
        policies: kennel
            .policies
            .iter()
            .map(|policy| policy.text.to_string())
            .collect(),
        picture: leaves
            .iter()
            .rev()
            .filter(|leaf| leaf.card.status == LitterStatus::Here)
            .find_map(|leaf| leaf.card.picture.clone()),
    };
    VisitorSite {
        frame: frame::frame(kennel, figures.today, &texts),
        home,
        puppies: puppies_page(available, expected),
        past: PastPage {
            litters: of(LitterStatus::Past),
        },
        litters: leaves,
        dogs: dog_pages,
        texts,
        feed: news,
        pictures: context.used,
    }
}

/// The latest public notes of these litters.
fn news(public: &[&LitterFolder]) -> Vec<NoteShown> {
    let mut notes: Vec<(&LitterFolder, &Note)> = public
        .iter()
        .flat_map(|folder| note::public(folder).map(move |note| (*folder, note)))
        .collect();
    notes.sort_by_cached_key(|(folder, note)| {
        std::cmp::Reverse((note.head.date, paths::litter(folder), note.slug.clone()))
    });
    notes
        .into_iter()
        .take(NEWS_IN_FEED)
        .map(|(folder, note)| note::shown(folder, note))
        .collect()
}

/// Where views are made: what they are made from, and the pictures they have used so far.
#[derive(Debug)]
struct SiteContext<'a> {
    records: &'a Records,
    figures: &'a Figures<'a>,
    album: &'a Album,
    /// Parents of public litters: they have pages.
    parents: Arc<BTreeSet<&'a Id>>,
    used: Used,
}

impl<'a> SiteContext<'a> {
    /// The same with nothing used yet.
    fn another(&self) -> SiteContext<'a> {
        SiteContext {
            parents: self.parents.clone(),
            used: Used::new(),
            ..*self
        }
    }
}

impl SiteContext<'_> {
    /// Digest of what pages show beside the records.
    fn besides(&self) -> Digest {
        let mut all = Digester::default();
        all.part(self.figures.today.to_string().as_bytes());
        for id in self.parents.iter() {
            all.part(id.as_str().as_bytes());
        }
        all.finish()
    }
}

/// A litter is public when it is announced and, once born, something of it was made public: a puppy
/// that is spoken of, or a note of the day of birth or later. Nothing else decides, so that a
/// litter does not vanish with a puppy that nobody was told of.
fn is_public(folder: &LitterFolder) -> bool {
    let litter = &folder.litter;
    let told = |born: Day| {
        litter.puppies.iter().any(note::is_spoken_of)
            || note::public(folder).any(|note| note.head.date >= born)
    };
    litter.announced
        && !litter.came_to_nothing()
        && litter.birth.as_ref().is_none_or(|birth| told(birth.on))
}

fn text_page(page: &Page) -> TextPage {
    let Page { slug, head, text } = page;
    let PageHead {
        title,
        order: _,
        summary,
        questions,
        promises: _,
    } = head;
    TextPage {
        slug: slug.to_string(),
        title: title.to_string(),
        summary: summary.as_ref().map(ToString::to_string),
        text: text.clone(),
        questions: questions.iter().map(ToString::to_string).collect(),
    }
}

fn puppies_page(cards: Vec<PuppyCard>, expected: Vec<LitterCard>) -> PuppiesPage {
    let sexes: BTreeSet<&'static str> = cards.iter().map(|c| c.sex).collect();
    let colours: BTreeSet<String> = cards.iter().filter_map(|c| c.colour.clone()).collect();
    let litters: BTreeMap<String, String> = cards
        .iter()
        .map(|c| (c.litter_id.clone(), c.litter_name.clone()))
        .collect();
    let leaving: BTreeSet<Dated> = cards.iter().filter_map(|c| c.leaves.clone()).collect();
    PuppiesPage {
        cards,
        sexes: sexes.into_iter().collect(),
        colours: colours.into_iter().collect(),
        litters: litters.into_iter().collect(),
        leaving: leaving.into_iter().collect(),
        expected,
    }
}
