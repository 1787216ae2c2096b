//! A puppy for the export.
//!
//! In: one puppy of `litter.yaml` and its figures. Out: [`PuppyExport`]: every field, and the sums
//! of its vigour scores.

use super::amounts::{Grams, Pen, Seconds, day, moment, text};
use super::dogs::registration;
use crate::husbandry::PuppyFigures;
use crate::husbandry::birth::VigourTotal;
use crate::quantity::Moment;
use crate::records::litter::{Fate, Horn, Look, Newborn, Puppy, Returned, Vigour};
use crate::records::problem::key_path;
use schemars::JsonSchema;
use serde::Serialize;

/// A puppy.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct PuppyExport {
    pub id: String,
    pub name: Option<String>,
    pub registered_name: Option<String>,
    pub ribbon: Option<&'static str>,
    pub sex: &'static str,
    pub colour: Option<String>,
    pub markings: Option<String>,
    /// Day and time of birth, local.
    pub born: Option<String>,
    /// The time of birth as written.
    pub born_written: Option<String>,
    pub order: Option<u32>,
    pub horn: Option<&'static str>,
    pub weight: Option<Grams>,
    pub first_breath: Option<Seconds>,
    pub palate: &'static str,
    pub placenta: &'static str,
    pub newborn: NewbornExport,
    pub offer: &'static str,
    pub about: Option<String>,
    pub registry: Option<String>,
    pub registration_number: Option<String>,
    pub chip: Option<String>,
    /// Its own first day without milk of the dam.
    pub weaned: Option<String>,
    /// The day on which it came back from a family.
    pub returned_on: Option<String>,
    pub returned_reason: Option<String>,
    pub returned_remarks: Option<String>,
    pub fate: Option<&'static str>,
    pub on: Option<String>,
    pub cause: Option<String>,
    pub remarks: Option<String>,
    /// Computed earliest day on which it may leave.
    pub computed_leaves_from: Option<String>,
    /// Whether it is in its new home.
    pub computed_has_left: bool,
    pub vigour: Vec<VigourExport>,
}

/// The newborn checklist: `normal`, `not looked at`, or what was seen.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct NewbornExport {
    pub limbs: String,
    pub navel: String,
    pub anus: String,
    pub skull: String,
    pub eyes: String,
    pub tail: String,
    pub skin: String,
    pub suck: String,
}

/// A vigour score.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct VigourExport {
    pub at: Option<Seconds>,
    pub heart: Option<u8>,
    pub breathing: Option<u8>,
    pub reflex: Option<u8>,
    pub movement: Option<u8>,
    pub gums: Option<u8>,
    pub heart_rate: Option<u32>,
    pub breaths: Option<u32>,
    /// The sum, when all five items were scored.
    pub computed_total: Option<u32>,
}

pub(super) fn puppy(
    pen: &mut Pen<'_>,
    i: usize,
    puppy: &Puppy,
    born_at: Option<Moment>,
    figures: &PuppyFigures,
) -> PuppyExport {
    let Puppy {
        id,
        name,
        registered_name,
        ribbon,
        sex,
        colour,
        markings,
        born: _,
        order,
        horn,
        weight,
        first_breath,
        palate,
        placenta,
        vigour,
        newborn,
        offer,
        about,
        registration: registered,
        chip,
        weaned,
        returned,
        fate,
        on,
        cause,
        remarks,
    } = puppy;
    let (registry, registration_number) = registration(registered);
    let (returned_on, returned_reason, returned_remarks) = match returned {
        Some(Returned {
            on,
            reason,
            remarks,
        }) => (Some(*on), text(reason), text(remarks)),
        None => (None, None, None),
    };
    PuppyExport {
        id: id.to_string(),
        name: text(name),
        registered_name: text(registered_name),
        ribbon: ribbon.map(|ribbon| ribbon.name()),
        sex: sex.word(),
        colour: text(colour),
        markings: text(markings),
        born: born_at.map(moment),
        born_written: pen.written(&["puppies".into(), i.into(), "born".into()]),
        order: *order,
        horn: horn.map(Horn::word),
        weight: pen.weight(*weight, key_path!["puppies", i, "weight"]),
        first_breath: pen.span(*first_breath, key_path!["puppies", i, "first_breath"]),
        palate: palate.word(),
        placenta: placenta.word(),
        newborn: looked_over(newborn),
        offer: offer.word(),
        about: text(about),
        registry,
        registration_number,
        chip: chip.as_ref().map(ToString::to_string),
        weaned: day(*weaned),
        returned_on: day(returned_on),
        returned_reason,
        returned_remarks,
        fate: fate.map(|fate| {
            if fate == Fate::Stillborn {
                "stillborn"
            } else {
                "died"
            }
        }),
        on: day(*on),
        cause: text(cause),
        remarks: text(remarks),
        computed_leaves_from: day(figures.leaves_from),
        computed_has_left: figures.is_gone,
        vigour: vigour
            .iter()
            .zip(&figures.vigour)
            .enumerate()
            .map(|(n, (score, total))| scored(pen, i, n, score, total))
            .collect(),
    }
}

fn looked_over(newborn: &Newborn) -> NewbornExport {
    let Newborn {
        limbs,
        navel,
        anus,
        skull,
        eyes,
        tail,
        skin,
        suck,
    } = newborn;
    let words = |look: &Look| match look {
        Look::NotLookedAt => "not looked at".to_owned(),
        Look::Normal => "normal".to_owned(),
        Look::Seen(what) => what.to_string(),
    };
    NewbornExport {
        limbs: words(limbs),
        navel: words(navel),
        anus: words(anus),
        skull: words(skull),
        eyes: words(eyes),
        tail: words(tail),
        skin: words(skin),
        suck: words(suck),
    }
}

fn scored(
    pen: &mut Pen<'_>,
    i: usize,
    n: usize,
    score: &Vigour,
    total: &VigourTotal,
) -> VigourExport {
    let Vigour {
        at,
        heart,
        breathing,
        reflex,
        movement,
        gums,
        heart_rate,
        breaths,
    } = score;
    let [heart, breathing, reflex, movement, gums] =
        [heart, breathing, reflex, movement, gums].map(|item| item.map(|score| score.points()));
    VigourExport {
        at: pen.span(Some(*at), key_path!["puppies", i, "vigour", n, "at"]),
        heart,
        breathing,
        reflex,
        movement,
        gums,
        heart_rate: *heart_rate,
        breaths: *breaths,
        computed_total: total.total.map(u32::from),
    }
}
