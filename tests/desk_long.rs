//! A desk that ran for long shows what one shows that was just begun.
//!
//! Records are kept in memory and pages are made again only where something changed; so after many
//! changes, by forms and by an editor, broken records and what was taken back among them, every
//! page is compared with that of a desk which reads the same records for the first time.

use crate::support::desk::{Desk, get};
use crate::support::dice::Dice;
use crate::support::forms::{form, number, undo};
use crate::support::{Kennel, tree};
use std::collections::BTreeMap;

fn made(kennel: &Kennel) -> BTreeMap<String, Vec<u8>> {
    let mut all = BTreeMap::new();
    for side in ["public", "private"] {
        for (file, bytes) in tree(&kennel.at(".litterfolio/desk").join(side)) {
            all.insert(format!("{side}/{file}"), bytes);
        }
    }
    all
}

/// Fills in a form, sends it, and gives back the number of the change.
fn does(desk: &Desk, path: &str, typed: &[(&str, &str)], button: &str) -> String {
    let filled = form(desk, &format!("/-desk/{path}"));
    let filled = typed
        .iter()
        .fold(filled, |filled, (name, value)| filled.with(name, value));
    number(&filled.send(desk, button))
}

#[test]
fn a_desk_that_ran_for_long_shows_what_a_new_one_shows() {
    const STEPS: usize = 40;
    // Both sign with the same key: without one, a desk signs with a key that it forgets.
    let published = Kennel::published();
    let key = std::fs::read(published.at("signing-keys.json")).unwrap();
    let kennel = Kennel::base();
    std::fs::write(kennel.at("signing-keys.json"), &key).unwrap();
    let desk = Desk::of(kennel.path());
    let mut dice = Dice(20_261_009);
    let mut changes: Vec<String> = Vec::new();
    let mut kinds = BTreeMap::<usize, usize>::new();
    for step in 0..STEPS {
        let kind = dice.below(9);
        *kinds.entry(kind).or_default() += 1;
        let grams = format!("{} g", 400 + dice.below(40));
        let changed = match kind {
            0 => does(
                &desk,
                "litters/spring/puppies/moss/weights",
                &[("weight", &format!("{} g", 210 + step))],
                "save",
            ),
            1 => does(
                &desk,
                "waiting",
                &[("name", &format!("N. Frey {step}"))],
                "add",
            ),
            2 => does(
                &desk,
                "litters/spring/notes/new",
                &[
                    ("title", &format!("Day {step}")),
                    ("text", "They *slept*."),
                    ("audience", "everyone"),
                ],
                "save",
            ),
            3 => does(
                &desk,
                "form/litters/spring/litter.yaml",
                &[("f.name", &format!("Spring {step}"))],
                "save",
            ),
            4 => does(
                &desk,
                "dogs/new",
                &[("name", &format!("Oldfell Bryn {step}")), ("sex", "male")],
                "save",
            ),
            5 => {
                // An editor; the desk is told of it by the system.
                let file = "litters/spring/weights.yaml";
                let text = String::from_utf8(std::fs::read(kennel.content().join(file)).unwrap());
                let more = format!(
                    "- at: 2026-10-0{} 2{}:{:02}\n  wren: {grams}\n",
                    1 + step / 20,
                    step / 10 % 4,
                    step % 60
                );
                kennel.write(file, &(text.unwrap() + &more));
                continue;
            }
            6 => {
                // A slip of an editor, mended a little later.
                let file = "litters/spring/litter.yaml";
                let whole = std::fs::read(kennel.content().join(file)).unwrap();
                kennel.write(file, "name: [\n");
                desk.waits_for(desk.book, "/", |page| page.status == 503);
                kennel.write_bytes(file, &whole);
                desk.waits_for(desk.book, "/", |page| page.status == 200);
                continue;
            }
            7 => {
                let _ = get(desk.book, "/litters/spring.html");
                continue;
            }
            _ => {
                let Some(change) = changes.pop() else {
                    continue;
                };
                let _ = undo(&desk, &change);
                continue;
            }
        };
        changes.push(changed);
    }
    assert!(kinds.len() == 9, "{kinds:?}");
    // The last word is the desk's, so that whoever asks for a page waits for it.
    does(&desk, "waiting", &[("name", "The last one")], "add");
    desk.waits_for(desk.book, "/people.html", |page| {
        page.text().contains("The last one")
    });
    kennel.run(&["inspect"]).ends_with(0);
    let new = Kennel::empty();
    for (file, bytes) in tree(&kennel.content()) {
        new.write_bytes(&file, &bytes);
    }
    std::fs::write(new.at("signing-keys.json"), &key).unwrap();
    let new_desk = Desk::of(new.path());
    new_desk.waits_for(new_desk.book, "/people.html", |page| {
        page.text().contains("The last one")
    });
    let (long, fresh) = (made(&kennel), made(&new));
    assert!(long.len() > 20, "{:?}", long.keys());
    assert!(
        long.keys().eq(fresh.keys()),
        "{:?}\n{:?}",
        long.keys(),
        fresh.keys()
    );
    let other: Vec<&String> = long
        .iter()
        .filter(|(file, bytes)| fresh[*file] != **bytes)
        .map(|(file, _)| file)
        .collect();
    assert!(other.is_empty(), "{other:?}");
}
