//! A puppy that comes back from its family.
//!
//! In: a puppy in its new home. Out: a short form; then, in `litter.yaml`, the day, why, and what
//! becomes of it now. The family stays entered as the one that had it, so that its page, and what
//! was agreed, are not lost; from that day on it reads nothing new.

use super::form::{ActField, ActFields, ActForm, ActPage, AskedSlips, Group, choices};
use super::values::{block, text};
use super::{Act, Halt, Made, Scene, page_of};
use crate::records::changing::Change;
use crate::records::litter::Offer;
use crate::records::problem::key_path;

pub(super) const RETURNED: Act = Act {
    path: "litters/{litter}/puppies/{puppy}/returned",
    what: "puppy that came back",
    page,
    make,
};

/// What becomes of it now, in the words of the records.
const NOW: [(&str, &str); 3] = [
    ("available", "It looks for a home again"),
    ("not offered", "It is here, and is not offered yet"),
    ("staying", "It stays"),
];

fn page(scene: &Scene<'_>) -> Option<ActPage> {
    let (litter, _, puppy) = scene.puppy()?;
    if !puppy.is_alive() {
        return None;
    }
    let name = puppy.shown_name();
    let homes = scene.records.owners.homes();
    let lead = homes.of(&litter.id, puppy).map_or_else(
        || format!("No family is entered for {name}."),
        |(family, _)| {
            format!(
                "{} stays entered as the family that had {name}, with what was agreed. What you \
                 record from now on is not told to them.",
                family.name
            )
        },
    );
    Some(ActPage {
        lead: vec![lead],
        form: Some(ActForm::recording(vec![
            Group::new(
                "",
                vec![
                    ActField::day("on", "On which day", Some(scene.records.today)).needed(),
                    ActField::text("reason", "Why, in a few words"),
                    ActField::choice("offer", "And now", choices(NOW))
                        .with("not offered")
                        .needed(),
                ],
            ),
            Group::shut("More", vec![ActField::remarks()]),
        ])),
        ..page_of(litter, format!("{name} came back"))
    })
}

fn make(scene: &Scene<'_>, given: &ActFields) -> Result<Made, Halt> {
    let (litter, n, puppy) = scene.puppy().ok_or(Halt::Gone)?;
    if !puppy.is_alive() {
        return Err(Halt::Gone);
    }
    let mut slips = AskedSlips::default();
    let on = given.day("on", "say on which day it came back", &mut slips);
    if on.is_some_and(|on| on > scene.records.today) {
        slips.push(
            "on",
            "this day is still to come",
            "write it down when it is here",
        );
    }
    let offer = given.get("offer").unwrap_or_default();
    if NOW.iter().all(|(now, _)| *now != offer) {
        slips.push("offer", "say what becomes of it now", "");
    }
    let homes = scene.records.owners.homes();
    if let (Some(on), Some((family, takes))) = (on, homes.of(&litter.id, puppy)) {
        // A home that began on that day, or later, would be taken for the one after it.
        match takes.leaves.or(takes.reserved) {
            Some(day) if day >= on => slips.push(
                "on",
                format!("it came to {} on {}", family.name, day.in_words()),
                "put the day right here, or on the page of its home: one that never left has not \
                 come back",
            ),
            _ => {}
        }
    }
    let reason = given.words("reason", &mut slips);
    let remarks = given.words("remarks", &mut slips);
    slips.none()?;
    let returned = block([("on", text(on)), ("reason", reason), ("remarks", remarks)]);
    let mut changes = vec![Change::set(key_path!["puppies", n, "returned"], returned)];
    let path = key_path!["puppies", n, "offer"];
    match (offer, puppy.offer) {
        ("not offered", Offer::NotOffered) => {}
        ("not offered", _) => changes.push(Change::take_out(path)),
        (offer, _) => changes.push(Change::set(path, offer)),
    }
    Ok(Made::of_litter(litter, changes))
}
