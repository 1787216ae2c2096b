//! Where the acts are found: all litters, and one litter with its puppies.
//!
//! In: the records. Out: pages of links, nothing is recorded here.

use super::form::{ActItem, ActLink, ActPage, Section};
use super::health::{kind_words, kinds};
use super::of_late::of_late;
use super::today::nothing;
use super::values::encoded;
use super::whom::label;
use super::{Act, ROOT, Scene, at};
use crate::audience::keeper::{self, paths};
use crate::quantity::{Id, capital};
use crate::records::dog::Sex;
use crate::records::health::HealthKind;
use crate::records::litter::{Offer, Puppy};
use crate::records::{LitterFolder, Records};
use std::cmp::Reverse;

pub(super) const START: Act = Act {
    path: "litters",
    what: "litters",
    page: start,
    make: nothing,
};

pub(super) const LITTER: Act = Act {
    path: "litters/{litter}",
    what: "litter",
    page: litter,
    make: nothing,
};

fn start(scene: &Scene<'_>) -> Option<ActPage> {
    let mut litters: Vec<&LitterFolder> = scene.records.litters.values().collect();
    // Those that are expected come first, then the youngest.
    litters.sort_by_key(|litter| {
        let birth = litter.litter.birth.as_ref();
        (birth.is_some(), Reverse(birth.map(|birth| birth.on)))
    });
    let items = litters.into_iter().map(|litter| {
        let birth = litter.litter.birth.as_ref();
        ActItem {
            title: litter.litter.name.to_string(),
            words: vec![birth.map_or_else(
                || {
                    let state = keeper::litter_state(scene.figures, litter);
                    format!("{}, {state}", scene.dam(litter))
                },
                |birth| format!("{}, born {}", scene.dam(litter), birth.on.in_words()),
            )],
            links: vec![ActLink::new("Open", at(&litter.id, None, ""))],
            ..ActItem::default()
        }
    });
    let items: Vec<ActItem> = items.collect();
    let (lead, next) = next_step(scene, items.is_empty());
    let ways = [
        ("Today’s round", "today"),
        ("Waiting list", "waiting"),
        ("A new family", "families/new"),
        ("A new litter", "litters/new"),
        ("A new dog", "dogs/new"),
        ("Families’ pages and their codes", "codes"),
        (
            "The kennel: name, contact, what it stands by",
            "form/kennel.yaml",
        ),
        (
            "All records, to put right or take out: dogs, litters, families, pages",
            "records",
        ),
        ("All records as tables", "export"),
    ];
    let dogs = (!scene.records.dogs.is_empty()).then(|| {
        let label = "In the book: dogs, pedigrees, and who might be mated to whom";
        ActLink::new(label, "/dogs.html".to_owned())
    });
    // What comes next stands first.
    let (first, others): (Vec<_>, Vec<_>) =
        ways.into_iter().partition(|(_, path)| next.contains(path));
    Some(ActPage {
        above: scene.records.kennel.name.to_string(),
        title: "All litters".to_owned(),
        lead,
        sections: Vec::from_iter(Section::of("Litters", items)),
        links: first
            .into_iter()
            .chain(others)
            .map(|(label, path)| ActLink::new(label, format!("{ROOT}{path}")))
            .chain(dogs)
            .collect(),
        ..ActPage::default()
    })
}

/// What a kennel that has just begun goes on with.
fn next_step(scene: &Scene<'_>, has_no_litter: bool) -> (Vec<String>, &'static [&'static str]) {
    if !has_no_litter {
        return (Vec::new(), &[]);
    }
    let is_there = |sex| scene.records.dogs.values().any(|dog| dog.sex == sex);
    let (words, next): (&str, &'static [&'static str]) =
        match (is_there(Sex::Female), is_there(Sex::Male)) {
            (true, true) => (
                "Both parents are there. Next comes the litter, from its mating on.",
                &["litters/new"],
            ),
            (true, false) => (
                "Next comes the sire, also where he lives elsewhere.",
                &["dogs/new"],
            ),
            (false, true) => ("Next comes the dam.", &["dogs/new"]),
            (false, false) => (
                "Next come the dogs: the dam and the sire of a litter. Of one that lives \
                 elsewhere the name is enough.",
                &["dogs/new"],
            ),
        };
    (vec![words.to_owned()], next)
}

fn litter(scene: &Scene<'_>) -> Option<ActPage> {
    let litter = scene.litter()?;
    let items = litter
        .litter
        .puppies
        .iter()
        .map(|puppy| item(scene.records, litter, puppy));
    let mut links = Vec::new();
    let birth = if litter.litter.birth.is_some() {
        links.push(ActLink::new("Weigh-in", at(&litter.id, None, "weigh")));
        links.push(ActLink::new(
            "Newborn checks",
            at(&litter.id, None, "newborns"),
        ));
        "The birth: a puppy more"
    } else {
        links.push(ActLink::new(
            "Mating, progesterone, count of the puppies",
            at(&litter.id, None, "pregnancy"),
        ));
        "The birth has begun"
    };
    links.extend([
        ActLink::new(birth, at(&litter.id, None, "birth")),
        ActLink::new("Who looks for a home", at(&litter.id, None, "offer")),
        ActLink::new("A new note", at(&litter.id, None, "notes/new")),
        ActLink::new("Pictures", at(&litter.id, None, "pictures")),
        ActLink::new(
            "A file that a sheet saved",
            at(&litter.id, None, "from-sheet"),
        ),
        ActLink::new(
            "In the book: figures, care, and the rules that it stands beside",
            format!("/{}", paths::litter(&litter.id)),
        ),
    ]);
    let dam = &litter.litter.dam;
    if scene.figures.bitches.contains_key(dam) {
        links.push(ActLink::new(
            "In the book: the dam’s seasons and mating sheets",
            format!("/{}", paths::bitch(dam)),
        ));
    }
    links.push(ActLink::new(
        "All that is written of this litter, to put right or take out",
        format!("{ROOT}records?litter={}", litter.id),
    ));
    links.push(ActLink::new("All litters", format!("{ROOT}litters")));
    let health = ActItem {
        links: kinds(litter),
        ..ActItem::default()
    };
    Some(ActPage {
        above: format!(
            "{} and {}",
            scene.dam(litter),
            scene.records.dogs.get(&litter.litter.sire).map_or_else(
                || litter.litter.sire.to_string(),
                |dog| dog.shown_name().to_string()
            )
        ),
        title: litter.litter.name.to_string(),
        lead: vec![capital(&keeper::litter_state(scene.figures, litter))],
        // What is done at night stands before a long list.
        sections: [
            Section::of("Health", vec![health]),
            Section::of("Puppies", items.collect()),
            of_late(scene, litter),
        ]
        .into_iter()
        .flatten()
        .collect(),
        links,
        ..ActPage::default()
    })
}

fn item(records: &Records, litter: &LitterFolder, puppy: &Puppy) -> ActItem {
    let to = |act| at(&litter.id, Some(&puppy.id), act);
    let homes = records.owners.homes();
    let family = homes.of(&litter.id, puppy);
    let state = match (puppy.fate, puppy.offer) {
        (Some(fate), _) => fate.word().to_owned(),
        (None, Offer::Available) => "looks for a home".to_owned(),
        (None, Offer::Reserved) => "reserved".to_owned(),
        (None, Offer::Placed) => "in its new home".to_owned(),
        (None, Offer::Staying) => "stays".to_owned(),
        (None, Offer::NotOffered) => "not offered".to_owned(),
    };
    let words = match family {
        Some((family, _)) if puppy.fate.is_none() => format!("{state}: {}", family.name),
        Some((family, _)) => format!("{state}; still entered for {}", family.name),
        None => state,
    };
    let mut links = vec![ActLink::new("Weights", to("weights"))];
    if puppy.is_alive() {
        links.push(ActLink::new("Home", to("home")));
        if family.is_some() {
            let key = encoded(&format!("{}/{}", litter.id, puppy.id));
            links.push(ActLink::new("Page and code", format!("{ROOT}codes#{key}")));
        }
        if litter.litter.birth.is_some() && puppy.offer != Offer::Staying {
            links.push(ActLink::new("Papers for leaving", to("handover")));
        }
        if puppy.offer == Offer::Placed {
            links.push(ActLink::new("It came back", to("returned")));
        }
        if puppy.offer != Offer::Staying && family.is_none() {
            links.push(ActLink::new("It stays", to("stays")));
        }
        let pictures = at(&litter.id, None, "pictures");
        links.push(ActLink::new(
            "Pictures",
            format!("{pictures}?puppy={}", puppy.id),
        ));
    }
    if !puppy.is_alive() && family.is_some() {
        links.push(ActLink::new("The family knows", to("home")));
    }
    links.push(ActLink::new("Loss", to("loss")));
    let record = litter.file("litter.yaml");
    links.push(ActLink::new(
        "Its record",
        format!("/-desk/form/{record}?at=puppies.{}", puppy.id),
    ));
    ActItem {
        title: label(puppy),
        words: vec![words],
        links,
        ..ActItem::default()
    }
}

/// Where that is done here which the book says as commands, and what the way there is called.
pub(crate) fn ways_of_command(code: &str) -> Option<Vec<(String, String)>> {
    code.split(" &amp;&amp; ").map(way_of_command).collect()
}

fn way_of_command(command: &str) -> Option<(String, String)> {
    let mut words = command.strip_prefix("litterfolio ")?.split_whitespace();
    let verb = words.next()?;
    let way = |to: String, words: &str| Some((to, words.to_owned()));
    if verb == "inspect" {
        return way(format!("{ROOT}problems"), "What to mend");
    }
    if verb == "recode" && !command.contains("--") {
        return way(format!("{ROOT}codes"), "Families’ pages and their codes");
    }
    if let ("take-in", Some("--litter"), Some(litter)) =
        (verb, words.clone().next(), words.clone().nth(1))
    {
        return way(
            at(&litter.parse().ok()?, None, "from-sheet"),
            "Take its file in",
        );
    }
    let (litter, puppy) = match words.next()?.split_once('/') {
        Some((litter, puppy)) => (litter, Some(puppy)),
        None => (command.split_whitespace().nth(2)?, None),
    };
    let litter: Id = litter.parse().ok()?;
    match (verb, puppy) {
        ("handover", Some(puppy)) => {
            let puppy: Id = puppy.parse().ok()?;
            way(at(&litter, Some(&puppy), "handover"), "Papers for leaving")
        }
        ("weigh", None) => match words.next() {
            Some("dam") => way(at(&litter, None, "weigh"), "Weigh her"),
            Some("--from") => way(at(&litter, None, "from-sheet"), "Take its file in"),
            _ => way(at(&litter, None, "weigh"), "Weigh the litter"),
        },
        ("tend", None) => {
            let key = words.next()?;
            let kind = HealthKind::ALL.into_iter().find(|kind| kind.key() == key)?;
            let mut to = format!("{}?kind={key}", at(&litter, None, "tend"));
            while let (Some(option), Some(value)) = (words.next(), words.next()) {
                // A value in capitals stands for one that the keeper knows.
                let is_said = !value.starts_with(|c: char| c.is_ascii_uppercase());
                if let (Some(name @ ("item" | "for")), true) = (option.strip_prefix("--"), is_said)
                {
                    to.push_str(&format!("&{name}={}", encoded(value)));
                }
            }
            Some((to, format!("Record: {}", kind_words(kind))))
        }
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_the_book_says_as_a_command_leads_to_its_page_here() {
        for (command, to, said) in [
            ("weigh autumn", "litters/autumn/weigh", "Weigh the litter"),
            ("weigh autumn dam", "litters/autumn/weigh", "Weigh her"),
            (
                "take-in --litter autumn FILE.yaml",
                "litters/autumn/from-sheet",
                "Take its file in",
            ),
            (
                "weigh autumn --from FILE.csv",
                "litters/autumn/from-sheet",
                "Take its file in",
            ),
            ("recode PUPPY", "codes", "Families’ pages and their codes"),
            (
                "tend autumn worming --item worming-2 --for fern,reed",
                "litters/autumn/tend?kind=worming&item=worming-2&for=fern%2Creed",
                "Record: Worming",
            ),
            (
                "tend autumn done --item ITEM --for PUPPY",
                "litters/autumn/tend?kind=done",
                "Record: Done",
            ),
            (
                "handover autumn/fern",
                "litters/autumn/puppies/fern/handover",
                "Papers for leaving",
            ),
            ("inspect", "problems", "What to mend"),
        ] {
            let command = format!("litterfolio {command}");
            let ways = ways_of_command(&command).unwrap();
            assert_eq!(
                ways,
                [(format!("{ROOT}{to}"), said.to_owned())],
                "{command}"
            );
        }
        let both = "litterfolio handover a/b &amp;&amp; litterfolio handover a/c";
        assert_eq!(ways_of_command(both).unwrap().len(), 2);
        for other in [
            "litterfolio desk",
            "fern",
            "litterfolio weigh \"><b>",
            "litterfolio tend a b",
        ] {
            assert_eq!(ways_of_command(other), None, "{other}");
        }
    }
}
