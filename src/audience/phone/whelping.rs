//! What a phone sees of a birth: what the whelping sheet asks, and the puppies noted so far.
//!
//! In: a litter that is expected or was born in the last days. Out: [`PhoneWhelping`]. Of the sheet
//! it is told no telephone number and no clinic.

use super::super::RibbonShown;
use super::super::keeper::{self, BirthWeightsShown, Counted, VigourItem, WhelpingSheet};
use crate::husbandry::Figures;
use crate::quantity::Day;
use crate::records::litter::{Horn, Look, Palate, Placenta, Puppy};
use crate::records::{LitterFolder, Records};
use serde::Serialize;

/// A birth that can be noted on a phone.
#[derive(Debug, Clone, Serialize)]
pub struct PhoneWhelping {
    /// How the puppies come, once it is written.
    pub how: Option<&'static str>,
    /// The last count before birth.
    pub counted: Option<Counted>,
    /// Coat colours to pick from.
    pub colours: Vec<String>,
    /// All ribbons.
    pub ribbons: Vec<RibbonShown>,
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
    /// Seconds without a first breath after which the phone presses.
    pub slow_breath: u64,
    /// When to call the vet.
    pub cautions: Vec<&'static str>,
    /// The puppies that the records have, in the order of birth.
    pub born: Vec<PhoneNewborn>,
}

/// A puppy that was noted.
#[derive(Debug, Clone, Serialize)]
pub struct PhoneNewborn {
    /// Name in the records.
    pub id: String,
    /// Name.
    pub name: String,
    /// When it was born, on the kennel's wall, to the second; nothing where that is not written.
    pub at: Option<String>,
    /// Whether it is alive.
    pub is_alive: bool,
    /// `female` or `male`.
    pub sex: &'static str,
    /// Ribbon.
    pub ribbon: Option<RibbonShown>,
    /// Birth weight.
    pub weight: Option<String>,
    /// Coat colour.
    pub colour: Option<String>,
    /// Whether markings are written; not which.
    pub has_markings: bool,
    /// Horn of the uterus.
    pub horn: Option<&'static str>,
    /// Time to the first breath.
    pub first_breath: Option<String>,
    /// The palate, once it was looked at.
    pub palate: Option<&'static str>,
    /// The placenta, once it was seen.
    pub placenta: Option<&'static str>,
    /// When vigour was scored.
    pub vigour: Vec<String>,
    /// Items of the newborn checklist that were looked at; not what was seen.
    pub looked: Vec<&'static str>,
}

pub(super) fn of_litter(
    records: &Records,
    figures: &Figures<'_>,
    folder: &LitterFolder,
    ounces: bool,
) -> Option<PhoneWhelping> {
    let WhelpingSheet {
        path: _,
        litter: _,
        title: _,
        kennel: _,
        parents: _,
        due: _,
        counted,
        zone: _,
        ounces: _,
        unit: _,
        vet: _,
        clinics: _,
        colours,
        ribbons,
        worn: _,
        vigour,
        classes,
        checks,
        birth_weights,
        longest_first_breath,
        slow_breath,
        cautions,
        rows: _,
    } = keeper::whelping_sheet(records, figures, folder)?;
    let birth = folder.litter.birth.as_ref();
    let on = birth.map(|birth| birth.on);
    let mut puppies: Vec<&Puppy> = folder.litter.puppies.iter().collect();
    puppies.sort_by_key(|puppy| (puppy.order.is_none(), puppy.order));
    Some(PhoneWhelping {
        how: birth.map(|birth| birth.how.word()),
        counted,
        colours,
        ribbons,
        vigour,
        classes,
        checks,
        birth_weights,
        longest_first_breath,
        slow_breath,
        cautions,
        born: puppies
            .into_iter()
            .map(|puppy| newborn(puppy, on, ounces))
            .collect(),
    })
}

fn newborn(of: &Puppy, on: Option<Day>, ounces: bool) -> PhoneNewborn {
    let Puppy {
        id,
        name: _,
        registered_name: _,
        ribbon,
        sex,
        colour,
        markings,
        born,
        order: _,
        horn,
        weight,
        first_breath,
        palate,
        placenta,
        vigour,
        newborn,
        offer: _,
        about: _,
        registration: _,
        chip: _,
        weaned: _,
        returned: _,
        fate: _,
        on: _,
        cause: _,
        remarks: _,
    } = of;
    let at = born.zip(on).map(|(born, on)| born.on(on).local());
    PhoneNewborn {
        id: id.to_string(),
        name: of.shown_name(),
        at: at.map(|at| at.format("%Y-%m-%d %H:%M:%S").to_string()),
        is_alive: of.is_alive(),
        sex: sex.word(),
        ribbon: ribbon.map(Into::into),
        weight: weight.map(|weight| weight.show(ounces)),
        colour: colour.as_ref().map(ToString::to_string),
        has_markings: markings.is_some(),
        horn: horn.map(Horn::word),
        first_breath: first_breath.map(|span| span.to_string()),
        palate: (*palate != Palate::NotLookedAt).then(|| palate.word()),
        placenta: (*placenta != Placenta::NotSeen).then(|| placenta.word()),
        vigour: vigour.iter().map(|score| score.at.to_string()).collect(),
        looked: newborn
            .looks()
            .into_iter()
            .filter(|(_, look)| **look != Look::NotLookedAt)
            .map(|(item, _)| item)
            .collect(),
    }
}
