//! A puppy that comes back from its family.
//!
//! In: a puppy in its new home. Out: a short form; then, in `litter.yaml`, the day, why, and what
//! becomes of it now. The family stays entered as the one that had it, so that its page, and what
//! was agreed, are not lost; from that day on it reads nothing new.

use super::form::{
    ActField, ActFields, ActForm, ActLink, ActPage, AskedSlips, Button, Group, choices,
};
use super::values::block;
use super::{Act, Halt, Made, Scene, at};
use crate::app::recording::Work;
use crate::quantity::Day;
use crate::records::changing::Change;
use crate::records::litter::Offer;
use crate::records::problem::key_path;
use serde_yaml::Value;

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
        above: litter.litter.name.to_string(),
        title: format!("{name} came back"),
        lead: vec![lead],
        form: Some(ActForm {
            groups: vec![
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
                Group::shut(
                    "More",
                    vec![ActField::area("remarks", "Remarks").help("for you alone")],
                ),
            ],
            buttons: vec![Button::new("save", "Record it")],
            ..ActForm::default()
        }),
        links: vec![ActLink::new("To the litter", at(&litter.id, None, ""))],
        ..ActPage::default()
    })
}

fn make(scene: &Scene<'_>, given: &ActFields) -> Result<Made, Halt> {
    let (litter, n, puppy) = scene.puppy().ok_or(Halt::Gone)?;
    if !puppy.is_alive() {
        return Err(Halt::Gone);
    }
    let mut slips = AskedSlips::default();
    let on = given.value::<Day>("on", &mut slips);
    if on.is_none() && slips.0.is_empty() {
        slips.push("on", "say on which day it came back", "");
    }
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
    let returned = Change::Set {
        path: key_path!["puppies", n, "returned"],
        value: block([
            ("on", on.map(|on| on.to_string())),
            ("reason", reason),
            ("remarks", remarks),
        ]),
    };
    let offered = match (offer, puppy.offer) {
        ("not offered", Offer::NotOffered) => None,
        ("not offered", _) => Some(Change::TakeOut {
            path: key_path!["puppies", n, "offer"],
        }),
        (offer, _) => Some(Change::Set {
            path: key_path!["puppies", n, "offer"],
            value: Value::String(offer.to_owned()),
        }),
    };
    let changes = std::iter::once(returned).chain(offered).collect();
    Ok(Made {
        files: vec![(litter.file("litter.yaml"), Work::Changed(changes))],
        to: at(&litter.id, None, ""),
    })
}
