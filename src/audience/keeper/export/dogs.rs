//! Dogs for the export.
//!
//! In: `dogs/*.yaml`. Out: the same, field by field, with what the program computed of their
//! ancestry.

use super::amounts::{Grams, Pen, day, text};
use crate::husbandry::pedigree::Inbreeding;
use crate::quantity::Id;
use crate::records::dog::{Dog, Home, Registration, Screening, Season};
use crate::records::problem::key_path;
use schemars::JsonSchema;
use serde::Serialize;

/// A dam, a sire or an ancestor.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct DogExport {
    pub id: String,
    pub name: String,
    pub call_name: Option<String>,
    pub sex: &'static str,
    pub born: Option<String>,
    pub died: Option<String>,
    pub colour: Option<String>,
    pub breed: Option<String>,
    pub sire: Option<String>,
    pub dam: Option<String>,
    pub home: &'static str,
    pub about: Option<String>,
    pub photo: Option<String>,
    pub registry: Option<String>,
    pub registration_number: Option<String>,
    pub chip: Option<String>,
    pub adult_weight: Option<Grams>,
    /// A date, or `true` where the day is not known.
    pub neutered: Option<String>,
    /// A date, or `true` where the day is not known.
    pub retired: Option<String>,
    pub remarks: Option<String>,
    /// Computed coefficient of inbreeding, a lower bound; missing where too few ancestors are
    /// known to say.
    pub computed_inbreeding_percent: Option<f64>,
    pub screening: Vec<ScreeningExport>,
    pub seasons: Vec<SeasonExport>,
}

/// One season of a bitch.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct SeasonExport {
    pub start: String,
    pub end: Option<String>,
    pub remarks: Option<String>,
}

/// One screening test.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct ScreeningExport {
    pub test: String,
    pub result: String,
    pub on: Option<String>,
    pub by: Option<String>,
    pub valid_until: Option<String>,
    pub publish: bool,
}

/// Registry and number.
#[allow(clippy::ref_option, reason = "fields are handed over as they stand")]
pub(super) fn registration(
    registration: &Option<Registration>,
) -> (Option<String>, Option<String>) {
    registration
        .as_ref()
        .map(|Registration { registry, number }| (registry.to_string(), number.to_string()))
        .unzip()
}

pub(super) fn dog(
    pen: &mut Pen<'_>,
    id: &Id,
    dog: &Dog,
    inbreeding: Option<&Inbreeding>,
) -> DogExport {
    let Dog {
        name,
        call_name,
        sex,
        born,
        died,
        colour,
        breed,
        sire,
        dam,
        home,
        about,
        photo,
        registration: registered,
        chip,
        adult_weight,
        screening,
        seasons,
        neutered,
        retired,
        remarks,
    } = dog;
    pen.file = format!("dogs/{id}.yaml");
    let (registry, registration_number) = registration(registered);
    DogExport {
        id: id.to_string(),
        name: name.to_string(),
        call_name: text(call_name),
        sex: sex.word(),
        born: day(*born),
        died: day(*died),
        colour: text(colour),
        breed: text(breed),
        sire: sire.as_ref().map(ToString::to_string),
        dam: dam.as_ref().map(ToString::to_string),
        home: if *home == Home::Here {
            "here"
        } else {
            "elsewhere"
        },
        about: text(about),
        photo: text(photo),
        registry,
        registration_number,
        chip: chip.as_ref().map(ToString::to_string),
        adult_weight: pen.weight(*adult_weight, key_path!["adult_weight"]),
        neutered: neutered.map(|since| since.to_string()),
        retired: retired.map(|since| since.to_string()),
        remarks: text(remarks),
        computed_inbreeding_percent: inbreeding
            .and_then(Inbreeding::known)
            .map(|coefficient| coefficient * 100.0),
        screening: screening.iter().map(screened).collect(),
        seasons: seasons.iter().map(season).collect(),
    }
}

fn season(season: &Season) -> SeasonExport {
    let Season {
        start,
        end,
        remarks,
    } = season;
    SeasonExport {
        start: start.to_string(),
        end: day(*end),
        remarks: text(remarks),
    }
}

fn screened(screening: &Screening) -> ScreeningExport {
    let Screening {
        test,
        result,
        on,
        by,
        valid_until,
        publish,
    } = screening;
    ScreeningExport {
        test: test.to_string(),
        result: result.to_string(),
        on: day(*on),
        by: text(by),
        valid_until: day(*valid_until),
        publish: *publish,
    }
}
