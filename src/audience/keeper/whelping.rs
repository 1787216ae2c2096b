//! What a whelping sheet is made of: a phone that lies in the whelping room, with no network, asks
//! for the hour of birth by these words.
//!
//! In: a litter that is expected, or was born in the last days, or no litter at all. Out:
//! [`WhelpingSheet`]. Everything the sheet suggests or doubts comes from here, so that the phone
//! and the records agree; what is tapped on it never comes back through this view.

use super::words::expected;
use super::{VetShown, vet};
use crate::RibbonShown;
use crate::husbandry::Figures;
use crate::husbandry::birth::{BIRTH_CAUTIONS, SLOW_BREATH, VIGOUR_ITEMS, VigourTotal};
use crate::quantity::Ribbon;
use crate::records::dog::Dog;
use crate::records::litter::{
    CHECKLIST, CountedBy, LONGEST_FIRST_BREATH, Litter, PupCount, possible_birth_weight,
};
use crate::records::{LitterFolder, Records};
use serde::Serialize;

/// Days for which a litter that is born keeps its sheet: long enough to take it in and to look
/// something up.
const KEPT_FOR: i64 = 7;
/// Rows of the paper twin. Two more than were counted are left for those that nobody saw; more than
/// twelve do not fit on one page.
const ROWS: (u32, u32) = (8, 12);
/// More quick picks than this are no longer quick.
const MOST_PICKS: usize = 8;

/// A whelping sheet.
#[derive(Debug, Clone, Serialize)]
pub struct WhelpingSheet {
    /// Path below the root of the book.
    pub path: String,
    /// Name of the litter's folder; nothing on the sheet for a litter without records.
    pub litter: Option<String>,
    /// Name of the litter.
    pub title: String,
    /// Name of the kennel.
    pub kennel: String,
    /// Dam and sire.
    pub parents: Option<String>,
    /// When it is expected, in words.
    pub due: Option<String>,
    /// The last count before birth.
    pub counted: Option<Counted>,
    /// The zone of the clock on the wall.
    pub zone: &'static str,
    /// Whether weights are written in ounces.
    pub ounces: bool,
    /// The unit that the number pad begins with.
    pub unit: &'static str,
    /// Whom to call at night.
    pub vet: Option<VetShown>,
    /// Clinics to pick from.
    pub clinics: Vec<String>,
    /// Coat colours to pick from.
    pub colours: Vec<String>,
    /// All ribbons.
    pub ribbons: Vec<RibbonShown>,
    /// Ribbons that living puppies of the litter wear in the records.
    pub worn: Vec<&'static str>,
    /// The five items of a vigour score.
    pub vigour: Vec<VigourItem>,
    /// What a total from 0 to 10 is called.
    pub classes: Vec<&'static str>,
    /// The newborn checklist.
    pub checks: Vec<&'static str>,
    /// Birth weights that can be.
    pub birth_weights: BirthWeightsShown,
    /// The longest time to a first breath that can be, s.
    pub longest_first_breath: u64,
    /// Seconds without a first breath after which the sheet presses.
    pub slow_breath: u64,
    /// When to call the vet.
    pub cautions: Vec<&'static str>,
    /// Rows of the paper twin.
    pub rows: u32,
}

/// A count of pups before birth.
#[derive(Debug, Clone, Serialize)]
pub struct Counted {
    /// How many.
    pub puppies: u32,
    /// How they were counted.
    pub by: &'static str,
}

/// An item of a vigour score.
#[derive(Debug, Clone, Serialize)]
pub struct VigourItem {
    /// Its key in the records.
    pub key: &'static str,
    /// What it is called.
    pub name: &'static str,
    /// What 0, 1 and 2 stand for.
    pub words: [&'static str; 3],
}

/// Birth weights that can be, g.
#[derive(Debug, Clone, Serialize)]
pub struct BirthWeightsShown {
    /// The lightest.
    pub least: f64,
    /// The heaviest.
    pub most: f64,
}

/// Path of a litter's sheet: of one that is expected or was just born.
pub(super) fn path_of(folder: &LitterFolder, today: crate::quantity::Day) -> Option<String> {
    let is_recent = match &folder.litter.birth {
        Some(birth) => (0..=KEPT_FOR).contains(&today.since(birth.on)),
        None => !folder.litter.came_to_nothing(),
    };
    is_recent.then(|| format!("whelping/{}.html", folder.id))
}

/// The sheet of a litter that is expected or was just born.
pub(crate) fn of_litter(
    records: &Records,
    figures: &Figures<'_>,
    folder: &LitterFolder,
) -> Option<WhelpingSheet> {
    let litter = &folder.litter;
    let path = path_of(folder, figures.today)?;
    let called = |dog: Option<&Dog>, id: &str| {
        dog.map_or_else(|| id.to_owned(), |dog| dog.shown_name().to_string())
    };
    let (dam, sire) = (
        records.dogs.get(&litter.dam),
        records.dogs.get(&litter.sire),
    );
    let due = figures
        .litters
        .get(&folder.id)
        .and_then(|figures| figures.due);
    let own = [dam, sire]
        .into_iter()
        .flatten()
        .filter_map(|dog| dog.colour.as_ref())
        .map(ToString::to_string)
        .collect();
    Some(WhelpingSheet {
        path,
        litter: Some(folder.id.to_string()),
        title: litter.name.to_string(),
        parents: Some(format!(
            "{} and {}",
            called(dam, litter.dam.as_str()),
            called(sire, litter.sire.as_str())
        )),
        due: due
            .filter(|_| litter.birth.is_none())
            .as_ref()
            .map(expected),
        counted: litter.counted.as_ref().map(counted),
        worn: litter
            .puppies
            .iter()
            .filter(|puppy| puppy.is_alive())
            .filter_map(|puppy| puppy.ribbon)
            .map(Ribbon::name)
            .collect(),
        rows: rows(litter),
        ..blank(records, own)
    })
}

/// The sheet for a litter that the records do not know yet.
pub(super) fn another(records: &Records) -> WhelpingSheet {
    blank(records, Vec::new())
}

fn blank(records: &Records, own_colours: Vec<String>) -> WhelpingSheet {
    let kennel = &records.kennel;
    let ounces = kennel.is_read_in_ounces();
    let (least, most) = possible_birth_weight().into_inner();
    WhelpingSheet {
        path: "whelping-sheet.html".to_owned(),
        litter: None,
        title: "Another litter".to_owned(),
        kennel: kennel.name.to_string(),
        parents: None,
        due: None,
        counted: None,
        zone: kennel.time_zone.0.name(),
        ounces,
        unit: if ounces { "oz" } else { "g" },
        vet: vet(kennel),
        clinics: clinics(records),
        colours: colours(records, own_colours),
        ribbons: Ribbon::ALL
            .iter()
            .map(|ribbon| RibbonShown::from(*ribbon))
            .collect(),
        worn: Vec::new(),
        vigour: VIGOUR_ITEMS
            .iter()
            .map(|(key, name, words)| VigourItem {
                key,
                name,
                words: *words,
            })
            .collect(),
        classes: (0..=10)
            .map(|total| {
                VigourTotal {
                    minutes: 0,
                    total: Some(total),
                }
                .class()
            })
            .collect(),
        checks: CHECKLIST.to_vec(),
        birth_weights: BirthWeightsShown { least, most },
        longest_first_breath: LONGEST_FIRST_BREATH,
        slow_breath: SLOW_BREATH,
        cautions: BIRTH_CAUTIONS.to_vec(),
        rows: ROWS.0,
    }
}

fn counted(count: &PupCount) -> Counted {
    let PupCount { by, on: _, puppies } = count;
    let by = match by {
        CountedBy::XRay => "X-ray",
        CountedBy::Ultrasound => "ultrasound",
    };
    Counted {
        puppies: *puppies,
        by,
    }
}

fn rows(litter: &Litter) -> u32 {
    let counted = litter
        .counted
        .as_ref()
        .map_or(0, |count| count.puppies.saturating_add(2));
    counted.clamp(ROWS.0, ROWS.1)
}

/// The emergency vet first, then the clinics of earlier sections.
fn clinics(records: &Records) -> Vec<String> {
    let night = records
        .kennel
        .contact
        .emergency_vet
        .iter()
        .map(|vet| vet.clinic.to_string());
    let births = records
        .litters
        .values()
        .filter_map(|folder| folder.litter.birth.as_ref());
    let earlier = births
        .filter_map(|birth| birth.surgery.as_ref()?.clinic.as_ref())
        .map(ToString::to_string);
    each_once(night.chain(earlier))
}

/// The colours of the parents first, then those that the kennel has had most often.
fn colours(records: &Records, own: Vec<String>) -> Vec<String> {
    let puppies = records
        .litters
        .values()
        .flat_map(|folder| &folder.litter.puppies)
        .filter_map(|puppy| puppy.colour.as_ref());
    let dogs = records.dogs.values().filter_map(|dog| dog.colour.as_ref());
    let mut often = std::collections::BTreeMap::<String, usize>::new();
    for colour in puppies.chain(dogs) {
        *often.entry(colour.to_string()).or_default() += 1;
    }
    let mut often: Vec<(String, usize)> = often.into_iter().collect();
    often.sort_by(|(one, a), (other, b)| b.cmp(a).then_with(|| one.cmp(other)));
    each_once(
        own.into_iter()
            .chain(often.into_iter().map(|(colour, _)| colour)),
    )
}

fn each_once(all: impl Iterator<Item = String>) -> Vec<String> {
    let mut kept: Vec<String> = Vec::new();
    for one in all {
        if kept.len() < MOST_PICKS && !kept.contains(&one) {
            kept.push(one);
        }
    }
    kept
}
