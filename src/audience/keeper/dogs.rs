//! All dogs as the keeper sees them.
//!
//! In: dog files and figures. Out: [`DogsPage`].

use super::paths;
use super::{BookContext, Fact, Facts, PairRow, ancestry, bitch};
use crate::PictureShown;
use crate::quantity::Id;
use crate::records::dog::{Dog, Home, Registration, Screening, Season};
use crate::records::since::Since;
use crate::shown::picture;
use serde::Serialize;

/// All dogs.
#[derive(Debug, Clone, Serialize)]
pub struct DogsPage {
    /// By the name of their file.
    pub dogs: Vec<DogEntry>,
    /// Matings that could be planned, by dam, the least related first.
    pub pairs: Vec<PairRow>,
}

/// One dog.
#[derive(Debug, Clone, Serialize)]
pub struct DogEntry {
    /// Name in the records.
    pub id: String,
    /// Full name.
    pub name: String,
    /// Every field.
    pub facts: Vec<Fact>,
    /// Portrait.
    pub picture: Option<PictureShown>,
    /// What became of its puppies.
    pub offspring: Vec<Fact>,
    /// Its own page, for a bitch that lives here.
    pub path: Option<String>,
}

pub(super) fn page(context: &mut BookContext<'_>) -> DogsPage {
    let records = context.records;
    let children = bitch::children(context);
    DogsPage {
        dogs: records
            .dogs
            .iter()
            .map(|(id, dog)| entry(context, id, dog, &children))
            .collect(),
        pairs: ancestry::pairs(context),
    }
}

fn entry(
    context: &mut BookContext<'_>,
    id: &Id,
    dog: &Dog,
    children: &bitch::Children<'_>,
) -> DogEntry {
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
        photo: _,
        registration,
        chip,
        adult_weight,
        screening,
        seasons,
        neutered,
        retired,
        remarks,
    } = dog;
    let mut facts = Facts::default();
    facts
        .maybe("Called", call_name.as_ref())
        .say("Sex", sex.word())
        .day("Born", *born)
        .day("Died", *died)
        .maybe("Colour", colour.as_ref());
    facts
        .maybe("Breed", breed.as_ref())
        .maybe("Sire", sire.as_ref())
        .maybe("Dam", dam.as_ref());
    facts.say(
        "Home",
        if *home == Home::Here {
            "here"
        } else {
            "elsewhere"
        },
    );
    facts.maybe(
        "Registration",
        registration
            .as_ref()
            .map(|Registration { registry, number }| format!("{registry} {number}")),
    );
    facts
        .maybe("Chip", chip.as_ref())
        .maybe("Adult weight", adult_weight.map(|w| context.weight(w)));
    facts
        .maybe("Neutered", neutered.map(since))
        .maybe("Out of breeding", retired.map(since));
    for Screening {
        test,
        result,
        on,
        by,
        valid_until,
        publish,
    } in screening
    {
        let when = on
            .map(|d| format!(", {}", crate::Dated::from(d).words))
            .unwrap_or_default();
        let by = by.as_ref().map(|b| format!(", {b}")).unwrap_or_default();
        let until = valid_until
            .map(|day| format!(", valid until {}", crate::Dated::from(day).words))
            .unwrap_or_default();
        facts.say(
            "Screening",
            format!(
                "{test}: {result}{when}{by}{until} ({})",
                if *publish {
                    "published"
                } else {
                    "not published"
                }
            ),
        );
    }
    for Season {
        start,
        end,
        remarks,
    } in seasons
    {
        let end = end
            .map(|day| format!(" to {}", crate::Dated::from(day).words))
            .unwrap_or_default();
        let remarks = remarks
            .as_ref()
            .map(|words| format!(": {words}"))
            .unwrap_or_default();
        facts.say(
            "Season",
            format!("{}{end}{remarks}", crate::Dated::from(*start).words),
        );
    }
    facts.maybe(
        "Inbreeding",
        context.figures.dogs().get(id).map(super::words::inbreeding),
    );
    facts
        .maybe("Public words", about.as_ref())
        .maybe("Remarks", remarks.as_ref());
    let portrait = context.records.portraits.get(id).and_then(|p| {
        picture(
            context.album,
            p,
            id.as_str(),
            name.to_string(),
            &mut context.used,
        )
    });
    DogEntry {
        id: id.to_string(),
        name: name.to_string(),
        facts: facts.done(),
        picture: portrait,
        offspring: bitch::offspring(context, id, children),
        path: context
            .figures
            .bitches
            .contains_key(id)
            .then(|| paths::bitch(id)),
    }
}

fn since(since: Since) -> String {
    since.day().map_or_else(
        || "yes, the day is not noted".to_owned(),
        |day| crate::Dated::from(day).words,
    )
}
