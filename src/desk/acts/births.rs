//! A new litter from its mating, and a birth, puppy by puppy.
//!
//! In: the dogs; later a litter. Out: forms; then a new folder of a litter, its birth, and one
//! puppy after the other in the order in which they came.

use super::form::{
    ActChoice, ActField, ActFieldKind, ActFields, ActForm, ActItem, ActLink, ActPage, AskedSlips,
    Group, Section, choices,
};
use super::values::{block, clock, free_id, new_record, text};
use super::{Act, Halt, Made, ROOT, Scene, at, page_of};
use crate::quantity::{BirthTime, Day, Id, Moment, Ribbon, Span, Weight, capital};
use crate::records::changing::Change;
use crate::records::dog::Sex;
use crate::records::litter::Puppy;
use crate::records::problem::key_path;
use crate::records::{LitterFolder, is_reserved};

pub(super) const LITTER: Act = Act {
    path: "litters/new",
    what: "new litter",
    page: new,
    make: begun,
};

pub(super) const BIRTH: Act = Act {
    path: "litters/{litter}/birth",
    what: "birth",
    page: birth,
    make: born,
};

/// Days of mating that a form has room for.
const MATINGS: [&str; 3] = ["mated", "mated-2", "mated-3"];

/// Dogs of a sex, those that live here first.
pub(super) fn dogs(scene: &Scene<'_>, sex: Sex) -> Vec<ActChoice> {
    let mut dogs: Vec<_> = scene.records.dogs.iter().collect();
    dogs.retain(|(_, dog)| dog.sex == sex);
    dogs.sort_by_key(|(_, dog)| {
        (
            dog.home != crate::records::dog::Home::Here,
            !dog.can_breed(),
        )
    });
    choices(dogs.into_iter().map(|(id, dog)| {
        let call = dog.call_name.as_ref().map(|call| format!("{call}, "));
        (
            id.to_string(),
            format!("{}{}", call.unwrap_or_default(), dog.name),
        )
    }))
}

fn new(scene: &Scene<'_>) -> Option<ActPage> {
    let mut matings = vec![ActField::day(MATINGS[0], "Mated on", None)];
    matings.extend(
        MATINGS[1..]
            .iter()
            .map(|name| ActField::day(name, "and on", None)),
    );
    Some(ActPage {
        title: "A new litter".to_owned(),
        lead: vec![
            "Begin it at the mating: the days that follow from it are then on the round."
                .to_owned(),
        ],
        form: Some(ActForm::saved_by(
            "Begin the litter",
            vec![
                Group::new(
                    "",
                    vec![
                        ActField::text("name", "Name of the litter")
                            .help("such as Autumn 2026")
                            .needed(),
                        ActField::choice("dam", "Dam", dogs(scene, Sex::Female)).needed(),
                        ActField::choice("sire", "Sire", dogs(scene, Sex::Male)).needed(),
                    ],
                ),
                Group::new("Mating", matings),
                Group::new(
                    "",
                    vec![
                        ActField::choice(
                            "announced",
                            "On the public site",
                            choices([
                                ("true", "From the next time you publish"),
                                ("false", "Not yet"),
                            ]),
                        )
                        .help("its parents and when it is expected; never anything of health")
                        .with("true"),
                    ],
                ),
                Group::shut(
                    "More",
                    vec![
                        ActField::day("ovulated", "Ovulated on", None)
                            .help("where it is known from progesterone"),
                        ActField::area("about", "A sentence or two for the public site"),
                        ActField::remarks(),
                    ],
                ),
            ],
        )),
        links: vec![
            ActLink::new("A new dog", format!("{ROOT}dogs/new")),
            ActLink::new("All litters", format!("{ROOT}litters")),
        ],
        ..ActPage::default()
    })
}

fn begun(scene: &Scene<'_>, given: &ActFields) -> Result<Made, Halt> {
    let mut slips = AskedSlips::default();
    let name = given.needed("name", "give the litter a name", &mut slips);
    let dam = given.needed("dam", "say who the dam is", &mut slips);
    let sire = given.needed("sire", "say who the sire is", &mut slips);
    let mated: Vec<String> = MATINGS
        .iter()
        .filter_map(|name| text(given.value::<Day>(name, &mut slips)))
        .collect();
    let ovulated = given.value::<Day>("ovulated", &mut slips);
    let is_taken = |id: &str| id == "new" || scene.records.litters.contains_key(id);
    let id = free_id(&name, "litter", is_taken);
    let mut litter = block([
        ("name", Some(name)),
        ("dam", Some(dam)),
        ("sire", Some(sire)),
        ("about", given.words("about", &mut slips)),
    ]);
    if given.get("announced") == Some("false") {
        litter.insert("announced".into(), false.into());
    }
    if !mated.is_empty() {
        litter.insert("mated".into(), mated.into());
    }
    litter.extend(block([
        ("ovulated", text(ovulated)),
        ("remarks", given.words("remarks", &mut slips)),
    ]));
    slips.none()?;
    Ok(Made {
        files: vec![(format!("litters/{id}/litter.yaml"), new_record(litter))],
        to: format!("{ROOT}litters/{id}"),
    })
}

fn ribbons() -> Vec<ActChoice> {
    choices(
        Ribbon::ALL
            .iter()
            .map(|ribbon| (ribbon.name(), ribbon.name())),
    )
}

fn birth(scene: &Scene<'_>) -> Option<ActPage> {
    let litter = scene.litter()?;
    let mut groups = Vec::new();
    if litter.litter.birth.is_none() {
        let ways = [
            ("natural", "Natural, without help"),
            ("assisted", "With help, without surgery"),
            ("planned section", "Planned section"),
            ("emergency section", "Emergency section"),
        ];
        groups.push(Group::new(
            "The birth",
            vec![
                ActField::day("on", "The day it began", Some(scene.records.today)).needed(),
                ActField::choice("how", "How the puppies come", choices(ways)).needed(),
            ],
        ));
    }
    let words = |all: &[&'static str]| choices(all.iter().map(|word| (*word, *word)));
    groups.push(Group::new(
        "The next puppy",
        vec![
            ActField::text("name", "What you call it")
                .help("a name, or the colour of its ribbon; it can have another later")
                .needed(),
            ActField::choice("sex", "Sex", words(&["female", "male"])).needed(),
            ActField::choice("ribbon", "Ribbon", ribbons()),
            ActField::amount("weight", "Weight").help(format!(
                "with its unit, such as 231 g or 8 1/4 oz; a bare number is in {}",
                scene.records.bare_unit(litter).name()
            )),
            ActField::text("born", "Time").help("such as 09:14, or 914"),
            ActField::text("colour", "Colour"),
            ActField::new("stillborn", "It was born dead", ActFieldKind::Tick),
        ],
    ));
    groups.push(Group::shut(
        "What was looked at",
        vec![
            ActField::amount("first_breath", "First breath after").help("such as 40 s"),
            ActField::choice("palate", "Palate", words(&["intact", "cleft"])),
            ActField::choice("placenta", "Placenta", words(&["out", "retained"])),
            ActField::choice("horn", "Horn", words(&["left", "right"])),
            ActField::remarks(),
        ],
    ));
    let mut born: Vec<&Puppy> = litter.litter.puppies.iter().collect();
    born.sort_by_key(|puppy| puppy.order.unwrap_or(u32::MAX));
    let known = born.into_iter().map(|puppy| {
        let time = litter.litter.born_at(puppy);
        let words = [
            Some(puppy.shown_name()),
            puppy.ribbon.map(|ribbon| ribbon.name().to_owned()),
            Some(puppy.sex.word().to_owned()),
            time.map(|at| at.local().format("%H:%M").to_string()),
            puppy.weight.map(|weight| weight.show(scene.ounces())),
            puppy.fate.map(|fate| fate.word().to_owned()),
        ];
        let words: Vec<String> = words.into_iter().flatten().collect();
        ActItem::titled(words.join(", "))
    });
    Some(ActPage {
        form: Some(ActForm::saved_by("Record this puppy", groups)),
        sections: Vec::from_iter(Section::of("Born so far", known.collect())),
        ..page_of(litter, "The birth")
    })
}

/// The place of a puppy in the order of birth, and the changes by which those that were born later
/// make room for it; without a time it is the last.
pub(super) fn place(litter: &LitterFolder, at: Option<Moment>) -> (u32, Vec<Change>) {
    let puppies = &litter.litter.puppies;
    let later = |puppy: &Puppy| {
        let there = litter.litter.born_at(puppy)?;
        puppy.order.filter(|_| at.is_some_and(|at| there > at))
    };
    let last = puppies.iter().filter_map(|puppy| puppy.order).max();
    let order = puppies.iter().filter_map(later).min();
    let order = order.unwrap_or_else(|| last.unwrap_or_default().saturating_add(1));
    let makes_room = |(i, puppy): (usize, &Puppy)| {
        let place = puppy.order.filter(|place| *place >= order)?;
        let path = key_path!["puppies", i, "order"];
        Some(Change::set(path, place.saturating_add(1)))
    };
    let changes = puppies.iter().enumerate().filter_map(makes_room);
    (order, changes.collect())
}

/// A name of the records for a further puppy.
pub(super) fn free_name(litter: &LitterFolder, called: &str) -> String {
    free_id(called, "puppy", |id| {
        let is_there = |id: &Id| is_reserved(id) || litter.puppy(id).is_some();
        id == "litter" || id.parse().is_ok_and(|id| is_there(&id))
    })
}

/// When a puppy was born of which a time of day was typed: on the day that brings it nearest to the
/// others, which after midnight is the next; never one to come.
fn moment_of(scene: &Scene<'_>, litter: &LitterFolder, on: Day, time: BirthTime) -> Moment {
    let puppies = litter.litter.puppies.iter();
    let last = puppies.filter_map(|p| litter.litter.born_at(p)).max();
    let (BirthTime::Clock(_), Some(last)) = (time, last) else {
        return time.on(on);
    };
    let mut days = vec![on];
    while days.len() < 4 && days.last().is_some_and(|day| *day <= last.day()) {
        days.extend(days.last().map(|day| day.plus(1)));
    }
    let times = days.into_iter().map(|day| time.on(day));
    times
        .filter(|at| at.day() <= scene.now.day())
        .min_by_key(|at| (at.local() - last.local()).num_seconds().abs())
        .unwrap_or_else(|| time.on(on))
}

fn born(scene: &Scene<'_>, given: &ActFields) -> Result<Made, Halt> {
    let litter = scene.litter().ok_or(Halt::Gone)?;
    let mut slips = AskedSlips::default();
    let mut changes = Vec::new();
    let mut begun = litter.litter.birth.as_ref().map(|birth| birth.on);
    if litter.litter.birth.is_none() {
        begun = given.day("on", "say on which day it began", &mut slips);
        let how = given.needed("how", "say how the puppies come", &mut slips);
        let birth = block([("on", text(begun)), ("how", Some(how))]);
        changes.push(Change::set(key_path!["birth"], birth));
    }
    let name = given.needed("name", "say what you call it", &mut slips);
    let sex = given.needed("sex", "say whether it is female or male", &mut slips);
    let id = free_name(litter, &name);
    let unit = scene.records.bare_unit(litter);
    let weight = given
        .get("weight")
        .and_then(|typed| slips.read("weight", Weight::typed(typed, unit)));
    let typed = given.get("born").map(clock);
    let time = typed
        .as_deref()
        .and_then(|typed| slips.read("born", typed.parse()));
    let breath = given.value::<Span>("first_breath", &mut slips);
    // A name that the id says as well need not be written twice.
    let shown = capital(&id.replace('-', " "));
    let is_dead = given.get("stillborn").is_some();
    let moment = begun
        .zip(time)
        .map(|(on, time)| moment_of(scene, litter, on, time));
    let born = moment.zip(begun).zip(typed);
    let born = born.map(|((at, on), typed)| match time {
        Some(BirthTime::Clock(_)) if at.day() != on => format!("{} {typed}", at.day()),
        _ => typed,
    });
    let day = moment.map(Moment::day).or(begun).map(|day| day.to_string());
    let (order, room) = place(litter, moment);
    changes.extend(room);
    let mut puppy = block([
        ("id", Some(id)),
        ("name", Some(name).filter(|name| *name != shown)),
        ("ribbon", text(given.get("ribbon"))),
        ("sex", Some(sex)),
        ("colour", given.words("colour", &mut slips)),
        ("born", born),
        ("horn", text(given.get("horn"))),
        ("weight", weight.map(|(_, written)| written)),
        ("first_breath", breath.and(text(given.get("first_breath")))),
        ("palate", text(given.get("palate"))),
        ("placenta", text(given.get("placenta"))),
        ("fate", is_dead.then(|| "stillborn".to_owned())),
        ("on", day.filter(|_| is_dead)),
        ("remarks", given.words("remarks", &mut slips)),
    ]);
    puppy.insert("order".into(), order.into());
    changes.push(Change::add(key_path!["puppies"], puppy));
    slips.none()?;
    Ok(Made {
        to: at(&litter.id, None, "birth"),
        ..Made::of_litter(litter, changes)
    })
}
