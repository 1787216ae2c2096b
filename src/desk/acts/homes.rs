//! Who takes which puppy: families, the waiting list, reserving, leaving, withdrawing.
//!
//! In: `owners.yaml` and a puppy. Out: forms; then changes of `owners.yaml` and of the puppy's
//! offer in `litter.yaml`, always together. Whoever comes off the waiting list becomes a family in
//! the same change.

use super::form::{
    ActField, ActFields, ActForm, ActItem, ActLink, ActPage, AskedSlips, Button, Group, Section,
    choices,
};
use super::not_alive::not_alive;
use super::values::{block, encoded, free_id, place, text};
use super::whom::label;
use super::{Act, Halt, Made, ROOT, Scene, at, page_of};
use crate::quantity::Day;
use crate::records::changing::Change;
use crate::records::kennel::Email;
use crate::records::litter::{Offer, Puppy};
use crate::records::owners::{Family, Takes, Waiting};
use crate::records::problem::key_path;
use crate::records::{LitterFolder, Records};
use serde_yaml::Mapping;

pub(super) const HOME: Act = Act {
    path: "litters/{litter}/puppies/{puppy}/home",
    what: "home of a puppy",
    page: home,
    make: homed,
};

pub(super) const WAITING: Act = Act {
    path: "waiting",
    what: "waiting list",
    page: waiting,
    make: waited,
};

pub(super) const FILE: &str = "owners.yaml";
/// What stands for a family that is written on the same page.
const NEW: &str = "new";

/// Fields of how somebody is reached.
pub(super) fn people() -> Vec<ActField> {
    vec![
        ActField::text("email", "E-mail"),
        ActField::text("phone", "Telephone"),
    ]
}

/// Who has a puppy now: place of the family, place of the entry.
fn present<'a>(
    records: &'a Records,
    litter: &LitterFolder,
    puppy: &Puppy,
) -> Option<(usize, usize, &'a Family, &'a Takes)> {
    records
        .owners
        .families
        .iter()
        .enumerate()
        .find_map(|(f, family)| {
            let mut takes = family.takes.iter().enumerate();
            let (t, takes) = takes.find(|(_, takes)| {
                takes.litter == litter.id && takes.puppy == puppy.id && takes.is_present(puppy)
            })?;
            Some((f, t, family, takes))
        })
}

/// How somebody on the list is named in a form: the place, and the name that stood there.
fn of_list(n: usize, waiting: &Waiting) -> String {
    format!("waiting:{n}:{}", waiting.name)
}

fn listed<'a>(records: &'a Records, who: &str) -> Option<(usize, &'a Waiting)> {
    let (n, name) = who.strip_prefix("waiting:")?.split_once(':')?;
    let n: usize = n.parse().ok()?;
    let waiting = records.owners.waiting.get(n)?;
    (*waiting.name == *name).then_some((n, waiting))
}

fn home(scene: &Scene<'_>) -> Option<ActPage> {
    let (litter, _, puppy) = scene.puppy()?;
    let owners = &scene.records.owners;
    let present = present(scene.records, litter, puppy);
    if !puppy.is_alive() {
        return Some(not_alive(
            litter,
            puppy,
            present.map(|(_, _, family, _)| family),
        ));
    }
    let families = owners
        .families
        .iter()
        .map(|family| (family.id.to_string(), family.name.to_string()));
    let waiting = owners.waiting.iter().enumerate().map(|(n, waiting)| {
        (
            of_list(n, waiting),
            format!("{}, {} on the waiting list", waiting.name, place(n)),
        )
    });
    let new = (NEW.to_owned(), "somebody new, written below".to_owned());
    let who = present.map_or_else(
        || scene.query.get("who").unwrap_or_default().to_owned(),
        |(_, _, family, _)| family.id.to_string(),
    );
    // Where nobody is known yet, it can only be somebody new.
    let is_first = owners.families.is_empty() && owners.waiting.is_empty();
    let who = if is_first { NEW.to_owned() } else { who };
    let takes = present.map(|(.., takes)| takes);
    let offer = match puppy.offer {
        Offer::Placed => "placed",
        _ => "reserved",
    };
    let agreed = vec![
        ActField::day(
            "reserved",
            "Reserved on",
            takes.map_or(Some(scene.records.today), |takes| takes.reserved),
        ),
        ActField::day(
            "leaves",
            "Leaves, or left, on",
            takes.and_then(|takes| takes.leaves),
        ),
        ActField::text("price", "Price").with_some(takes.and_then(|takes| takes.price.as_ref())),
        ActField::text("deposit", "Deposit")
            .with_some(takes.and_then(|takes| takes.deposit.as_ref())),
    ];
    let state = [
        ("reserved", "It is reserved for them"),
        ("placed", "It has gone to them"),
    ];
    let known = choices(families.chain(waiting).chain([new]));
    let mut form = ActForm::recording(vec![
        Group::new(
            "",
            vec![
                ActField::choice("family", "Family", known)
                    .with(who)
                    .needed(),
                ActField::choice("offer", "How far it is", choices(state))
                    .with(offer)
                    .needed(),
            ],
        ),
        Group {
            is_shut: !is_first,
            ..Group::new(
                "Somebody new",
                [vec![ActField::text("name", "Name")], people()].concat(),
            )
        },
        Group::new("What was agreed", agreed),
    ]);
    let is_placed = puppy.offer == Offer::Placed;
    if present.is_some() {
        // Of one that has gone this takes out that it went: one that came back is another thing.
        let label = if is_placed {
            "It never went to them: it looks for a home"
        } else {
            "It looks for a home again"
        };
        form.buttons.push(Button::new("withdraw", label));
    }
    let mut page = ActPage {
        lead: vec![present.map_or_else(
            || "No family is entered for this puppy.".to_owned(),
            |(_, _, family, _)| format!("{} takes this puppy.", family.name),
        )],
        form: Some(form),
        ..page_of(litter, format!("A home for {}", puppy.shown_name()))
    };
    if is_placed {
        let to = at(&litter.id, Some(&puppy.id), "returned");
        page.links.insert(0, ActLink::new("It came back", to));
    }
    let list = ActLink::new("Waiting list", format!("{ROOT}waiting"));
    page.links.push(list);
    Some(page)
}

fn offered(n: usize, puppy: &Puppy, offer: Offer, word: &str) -> Vec<Change> {
    let is_other = puppy.offer != offer;
    Vec::from_iter(is_other.then(|| Change::set(key_path!["puppies", n, "offer"], word)))
}

fn homed(scene: &Scene<'_>, given: &ActFields) -> Result<Made, Halt> {
    let (litter, n, puppy) = scene.puppy().ok_or(Halt::Gone)?;
    let before = present(scene.records, litter, puppy);
    let made = |owners: Vec<Change>, offer: Vec<Change>| {
        let files = [
            (FILE.to_owned(), owners),
            (litter.file("litter.yaml"), offer),
        ];
        Made::changed(files, at(&litter.id, None, ""))
    };
    let out = before.map(|(f, t, ..)| Change::take_out(key_path!["families", f, "takes", t]));
    if given.get("act") == Some("withdraw") {
        let offer = if puppy.is_alive() {
            offered(n, puppy, Offer::Available, "available")
        } else {
            Vec::new()
        };
        return Ok(made(out.into_iter().collect(), offer));
    }
    if !puppy.is_alive() {
        return Err(Halt::Gone);
    }
    let mut slips = AskedSlips::default();
    let mut owners = Vec::new();
    let keys = [
        ("reserved", text(given.value::<Day>("reserved", &mut slips))),
        ("leaves", text(given.value::<Day>("leaves", &mut slips))),
        ("price", given.words("price", &mut slips)),
        ("deposit", given.words("deposit", &mut slips)),
    ];
    let who = given.get("family").unwrap_or_default();
    let taken = {
        let [reserved, leaves, price, deposit] = keys.clone();
        block([
            ("litter", Some(litter.id.to_string())),
            ("puppy", Some(puppy.id.to_string())),
            reserved,
            leaves,
            price,
            deposit,
        ])
    };
    let families = &scene.records.owners.families;
    let known = families.iter().position(|family| family.id.as_str() == who);
    let same = before.filter(|(f, ..)| known == Some(*f));
    if let Some((f, t, _, takes)) = same {
        for (key, value) in keys {
            let path = key_path!["families", f, "takes", t, key];
            let stands = match key {
                "reserved" => takes.reserved.is_some(),
                "leaves" => takes.leaves.is_some(),
                "price" => takes.price.is_some(),
                _ => takes.deposit.is_some(),
            };
            match value {
                Some(value) => owners.push(Change::set(path, value)),
                None if stands => owners.push(Change::take_out(path)),
                None => {}
            }
        }
    } else {
        owners.extend(out);
        match known {
            Some(f) => owners.push(Change::add(key_path!["families", f, "takes"], taken)),
            None => new_family(scene, given, who, taken, &mut owners, &mut slips),
        }
    }
    let offer = match given.get("offer") {
        Some("placed") => offered(n, puppy, Offer::Placed, "placed"),
        _ => offered(n, puppy, Offer::Reserved, "reserved"),
    };
    let leaves = given.get("leaves").and_then(|day| day.parse::<Day>().ok());
    if given.get("offer") == Some("placed")
        && let Some(leaves) = leaves.filter(|day| *day > scene.records.today)
    {
        slips.push(
            "leaves",
            format!(
                "{} is still to come, and it has gone to them",
                leaves.in_words()
            ),
            "until then it is reserved; or correct the date",
        );
    }
    // One that was placed before may have gone on a day that nobody knows any more.
    let is_new = puppy.offer != Offer::Placed || same.is_none();
    if given.get("offer") == Some("placed") && given.get("leaves").is_none() && is_new {
        slips.push("leaves", "say on which day it went to them", "");
    }
    slips.none()?;
    Ok(made(owners, offer))
}

/// A name of the records for a further family.
pub(super) fn free_name(scene: &Scene<'_>, called: &str) -> String {
    let families = &scene.records.owners.families;
    free_id(called, "family", |id| {
        families.iter().any(|family| family.id.as_str() == id)
    })
}

/// A family that is not there yet, from the waiting list or from the form.
fn new_family(
    scene: &Scene<'_>,
    given: &ActFields,
    who: &str,
    taken: Mapping,
    owners: &mut Vec<Change>,
    slips: &mut AskedSlips,
) {
    let (name, email, phone, place) = if let Some((place, waiting)) = listed(scene.records, who) {
        let Waiting {
            name, email, phone, ..
        } = waiting;
        (
            name.to_string(),
            text(email.as_ref().map(|email| &email.0)),
            text(phone.as_ref()),
            Some(place),
        )
    } else if who == NEW {
        let name = given.needed("name", "say who they are", slips);
        let email = given.value::<Email>("email", slips);
        (
            name,
            text(email.map(|email| email.0)),
            given.words("phone", slips),
            None,
        )
    } else if who.is_empty() {
        slips.push("family", "say which family", "");
        return;
    } else {
        slips.push(
            "family",
            "this family is not there any more",
            "choose again",
        );
        return;
    };
    let mut family = block([
        ("id", Some(free_name(scene, &name))),
        ("name", Some(name)),
        ("email", email),
        ("phone", phone),
    ]);
    family.insert("takes".into(), vec![taken].into());
    owners.push(Change::add(key_path!["families"], family));
    owners.extend(place.map(|place| Change::take_out(key_path!["waiting", place])));
}

/// Puppies that look for a home.
fn available(records: &Records) -> impl Iterator<Item = (&LitterFolder, &Puppy)> {
    records.litters.values().flat_map(|litter| {
        let puppies = litter.living();
        puppies
            .filter(|puppy| puppy.offer == Offer::Available)
            .map(move |puppy| (litter, puppy))
    })
}

fn waiting(scene: &Scene<'_>) -> Option<ActPage> {
    let list = &scene.records.owners.waiting;
    let items = list.iter().enumerate().map(|(n, who)| {
        let Waiting {
            name,
            since,
            wants,
            email,
            phone,
            remarks,
        } = who;
        let words = [
            text(wants.as_ref()),
            since.map(|since| format!("since {}", since.in_words())),
            text(email.as_ref().map(|email| &email.0)),
            text(phone.as_ref()),
            text(remarks.as_ref()),
        ];
        let links = available(scene.records).take(8).map(|(litter, puppy)| {
            let path = at(&litter.id, Some(&puppy.id), "home");
            let who = encoded(&of_list(n, who));
            ActLink::new(
                format!("Takes {}", puppy.shown_name()),
                format!("{path}?who={who}"),
            )
        });
        let mut buttons = Vec::new();
        if n > 0 {
            buttons.push(Button::new("up", "Up"));
        }
        if n + 1 < list.len() {
            buttons.push(Button::new("down", "Down"));
        }
        buttons.push(Button::new("out", "Take off the list"));
        ActItem {
            title: format!("{}. {name}", n + 1),
            words: words.into_iter().flatten().collect(),
            links: links.collect(),
            forms: vec![ActForm {
                hidden: vec![("who".to_owned(), of_list(n, who))],
                buttons,
                about: name.to_string(),
                ..ActForm::default()
            }],
            ..ActItem::default()
        }
    });
    let puppies = available(scene.records).map(|(litter, puppy)| ActItem {
        title: label(puppy),
        words: vec![litter.litter.name.to_string()],
        links: vec![ActLink::new(
            "A home for it",
            at(&litter.id, Some(&puppy.id), "home"),
        )],
        ..ActItem::default()
    });
    let lists = [
        Section::of("The list, in order", items.collect()),
        Section::of("Puppies that look for a home", puppies.collect()),
    ];
    Some(ActPage {
        title: "Waiting list".to_owned(),
        form: Some(ActForm {
            groups: vec![
                Group::new(
                    "",
                    vec![
                        ActField::text("name", "Name").needed(),
                        ActField::text("wants", "What they look for"),
                        ActField::day("since", "Since", Some(scene.records.today)),
                    ],
                ),
                Group::new("", people()),
                Group::shut("More", vec![ActField::remarks()]),
            ],
            buttons: vec![Button::new("add", "Put on the list")],
            ..ActForm::default()
        }),
        sections: lists.into_iter().flatten().collect(),
        links: vec![ActLink::new("All litters", format!("{ROOT}litters"))],
        ..ActPage::default()
    })
}

fn waited(scene: &Scene<'_>, given: &ActFields) -> Result<Made, Halt> {
    let change = if let Some(act @ ("up" | "down" | "out")) = given.get("act") {
        let who = given.get("who").unwrap_or_default();
        let Some((n, _)) = listed(scene.records, who) else {
            let hint = "look at it again";
            return Err(AskedSlips::one("", "the list changed meanwhile", hint).into());
        };
        let path = key_path!["waiting", n];
        match act {
            "up" => Change::Move {
                path,
                to: n.saturating_sub(1),
            },
            "down" => Change::Move { path, to: n + 1 },
            _ => Change::take_out(path),
        }
    } else {
        let mut slips = AskedSlips::default();
        let email = given.value::<Email>("email", &mut slips);
        let name = given.needed("name", "say who it is", &mut slips);
        let who = block([
            ("name", Some(name)),
            ("since", text(given.value::<Day>("since", &mut slips))),
            ("wants", given.words("wants", &mut slips)),
            ("email", text(email.map(|email| email.0))),
            ("phone", given.words("phone", &mut slips)),
            ("remarks", given.words("remarks", &mut slips)),
        ]);
        slips.none()?;
        Change::add(key_path!["waiting"], who)
    };
    let files = [(FILE.to_owned(), vec![change])];
    Ok(Made::changed(files, format!("{ROOT}waiting")))
}
