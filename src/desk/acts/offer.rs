//! Which puppies of a litter look for a home, and so are shown on the public site.
//!
//! In: a litter. Out: a tick for each puppy that no family takes; then its offer in `litter.yaml`.

use super::form::{ActChoice, ActField, ActFields, ActForm, ActPage, Group};
use super::whom::label;
use super::{Act, Halt, Made, Scene, page_of};
use crate::records::LitterFolder;
use crate::records::changing::Change;
use crate::records::litter::{Offer, Puppy};
use crate::records::problem::key_path;

pub(super) const OFFER: Act = Act {
    path: "litters/{litter}/offer",
    what: "who looks for a home",
    page,
    make,
};

/// Puppies of which it is open, with their places in the record.
fn open<'a>(
    scene: &Scene<'a>,
    litter: &'a LitterFolder,
) -> impl Iterator<Item = (usize, &'a Puppy)> {
    let homes = scene.records.owners.homes();
    let puppies = litter.litter.puppies.iter().enumerate();
    puppies.filter(move |(_, puppy)| {
        puppy.is_alive()
            && matches!(puppy.offer, Offer::Available | Offer::NotOffered)
            && homes.of(&litter.id, puppy).is_none()
    })
}

fn page(scene: &Scene<'_>) -> Option<ActPage> {
    let litter = scene.litter()?;
    let is_offered = |puppy: &Puppy| puppy.offer == Offer::Available;
    let choices: Vec<ActChoice> = open(scene, litter)
        .map(|(_, puppy)| ActChoice {
            value: puppy.id.to_string(),
            label: label(puppy),
            is_on: is_offered(puppy),
        })
        .collect();
    let form = (!choices.is_empty()).then(|| {
        let ticks = ActField::ticks("offered", "Look for a home", choices);
        ActForm::recording(vec![Group::new("", vec![ticks])])
    });
    let lead = if form.is_some() {
        "A puppy that looks for a home is on the public site from the next time you publish, with \
         its name, ribbon, sex, colour and the pictures that everyone may see. Its weights and \
         health never are."
    } else {
        "No puppy of this litter is without a home now."
    };
    Some(ActPage {
        lead: vec![lead.to_owned()],
        form,
        ..page_of(litter, "Who looks for a home")
    })
}

fn make(scene: &Scene<'_>, given: &ActFields) -> Result<Made, Halt> {
    let litter = scene.litter().ok_or(Halt::Gone)?;
    let ticked: Vec<&str> = given.all("offered").collect();
    let change = |(n, puppy): (usize, &Puppy)| {
        let (offer, word) = if ticked.contains(&puppy.id.as_str()) {
            (Offer::Available, "available")
        } else {
            (Offer::NotOffered, "not offered")
        };
        (puppy.offer != offer).then(|| Change::set(key_path!["puppies", n, "offer"], word))
    };
    let changes = open(scene, litter).filter_map(change).collect();
    Ok(Made::of_litter(litter, changes))
}
