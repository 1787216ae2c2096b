//! The loss of a puppy, said plainly, and nothing else beside it.
//!
//! In: a puppy. Out: a short form; then its fate, day and cause in `litter.yaml`. What was written
//! by mistake can be taken out again on the same page.

use super::form::{ActField, ActFields, ActForm, ActPage, AskedSlips, Button, Group, choices};
use super::values::text;
use super::{Act, Halt, Made, Scene, page_of};
use crate::quantity::Day;
use crate::records::changing::Change;
use crate::records::litter::{Fate, Offer};
use crate::records::problem::key_path;

pub(super) const LOSS: Act = Act {
    path: "litters/{litter}/puppies/{puppy}/loss",
    what: "loss of a puppy",
    page,
    make,
};

fn page(scene: &Scene<'_>) -> Option<ActPage> {
    let (litter, _, puppy) = scene.puppy()?;
    let name = puppy.shown_name();
    let homes = scene.records.owners.homes();
    let mut lead = vec![format!(
        "What is written here stands in your book. From the next time you publish, no public page \
         shows {name}, and none says why. Its weights and notes stay in the book."
    )];
    if let Some((family, _)) = homes.of(&litter.id, puppy) {
        lead.push(format!(
            "{} is entered for {name}. That stays until you change it.",
            family.name
        ));
    }
    let fates = [("died", "It died"), ("stillborn", "It was born dead")];
    let day = puppy.on.unwrap_or(scene.records.today);
    let mut form = ActForm::recording(vec![Group::new(
        "",
        vec![
            ActField::choice("fate", "What happened", choices(fates))
                .with(puppy.fate.map_or("", Fate::word))
                .needed(),
            ActField::day("on", "On which day", Some(day))
                .help("of a puppy that was born dead, the day of its birth is written"),
            ActField::area("cause", "Cause, as far as it is known").with_some(puppy.cause.as_ref()),
        ],
    )]);
    if puppy.fate.is_some() {
        let label = "Take this out: it was written by mistake";
        form.buttons.push(Button::new("out", label));
    }
    Some(ActPage {
        lead,
        form: Some(form),
        ..page_of(litter, format!("The loss of {name}"))
    })
}

fn make(scene: &Scene<'_>, given: &ActFields) -> Result<Made, Halt> {
    let (litter, n, puppy) = scene.puppy().ok_or(Halt::Gone)?;
    let is_there = [
        ("fate", puppy.fate.is_some()),
        ("on", puppy.on.is_some()),
        ("cause", puppy.cause.is_some()),
    ];
    let take_out = |key: &str| Change::take_out(key_path!["puppies", n, key]);
    let changes: Vec<Change> = if given.get("act") == Some("out") {
        let there = is_there.iter().filter(|(_, is_there)| *is_there);
        there.map(|(key, _)| take_out(key)).collect()
    } else {
        let mut slips = AskedSlips::default();
        let fate = given.get("fate").unwrap_or_default();
        if !matches!(fate, "died" | "stillborn") {
            slips.push("fate", "say what happened", "");
        }
        let mut on = given.value::<Day>("on", &mut slips);
        if fate == "stillborn" {
            on = litter.litter.born_on(puppy).or(on);
        } else {
            slips.ask("on", on.as_ref(), "say on which day");
        }
        let cause = given.words("cause", &mut slips);
        slips.none()?;
        let values = [Some(fate.to_owned()), text(on), cause];
        let keys = is_there.into_iter().zip(values);
        // It cannot be had any more.
        let offer = (puppy.offer != Offer::NotOffered).then(|| take_out("offer"));
        offer
            .into_iter()
            .chain(keys.filter_map(|((key, is_there), value)| match value {
                Some(value) => Some(Change::set(key_path!["puppies", n, key], value)),
                None => is_there.then(|| take_out(key)),
            }))
            .collect()
    };
    Ok(Made::of_litter(litter, changes))
}
