//! What keepers do after an act: they look for what they wrote, put it right, take it out; a puppy
//! comes back, a mating comes to nothing, the file of a sheet does not fit.

use crate::acts::kennel;
use crate::support::desk::{Desk, asks, get};
use crate::support::files::jpeg_with_metadata;
use crate::support::forms::{Form, form, links, number, undo, upload};
use crate::support::{Kennel, tree};
use std::fs;

const LITTER: &str = "litters/spring/litter.yaml";

fn text(kennel: &Kennel, file: &str) -> String {
    fs::read_to_string(kennel.content().join(file)).unwrap_or_default()
}

fn page(desk: &Desk, path: &str) -> String {
    let answer = get(desk.book, path);
    assert_eq!(answer.status, 200, "{path}: {}", answer.text());
    answer.text()
}

#[test]
fn the_page_after_an_act_says_what_was_recorded_and_leads_to_where_it_is_put_right() {
    let (kennel, desk) = kennel();
    let worming = |product: &str, on: &str| {
        let filled = form(&desk, "/-desk/litters/spring/tend?kind=worming")
            .with("for", "moss\nwren")
            .with("product", product)
            .with("on", on);
        filled.send(&desk, "save")
    };
    number(&worming("Vermisol", "2026-04-14"));
    let sent = worming("Ascarex", "2026-04-15");
    let change = number(&sent);
    let after = page(&desk, sent.header("location").unwrap());
    let said = format!("change {change} of the history: Worming, Spring, Moss, Wren.");
    assert!(after.contains(&said), "{after}");
    let history = page(&desk, "/-desk/history");
    assert!(history.contains("Worming, Spring, Moss, Wren"), "{history}");
    // The newest stands first, and its link opens that very entry.
    let late = &after[after.find("Written down of late").unwrap()..];
    let (newer, older) = (late.find("Ascarex"), late.find("Vermisol"));
    assert!(newer.unwrap() < older.unwrap(), "{late}");
    let to = links(late)
        .into_iter()
        .find(|link| link.contains("/health.yaml"))
        .unwrap();
    let entry = form(&desk, &to);
    assert_eq!(entry.value("f.worming.product"), "Ascarex");
    number(&entry.with("f.on", "2026-04-16").send(&desk, "save"));
    let health = text(&kennel, "litters/spring/health.yaml");
    assert!(
        health.contains("- on: 2026-04-16\n  for: wren")
            && health.contains("- on: 2026-04-15\n  for: moss"),
        "the last that was written, and no other: {health}"
    );
    // A note stands there too.
    let note = form(&desk, "/-desk/litters/spring/notes/new")
        .with("title", "Eyes open")
        .with("audience", "owners");
    number(&note.send(&desk, "save"));
    assert!(page(&desk, "/-desk/litters/spring").contains("Note: Eyes open"));
}

#[test]
fn all_puppies_are_ticked_at_once_and_what_a_check_found_is_not_hidden() {
    let (kennel, desk) = kennel();
    kennel.change(
        LITTER,
        "  - { id: wren,",
        "  - { id: ash, sex: male, order: 3 }\n  - { id: wren,",
    );
    let path = "/-desk/litters/spring/tend?kind=check";
    let shown = page(&desk, path);
    let (found, more) = (shown.find("name=\"findings\""), shown.find("<details"));
    assert!(found.unwrap() < more.unwrap(), "{shown}");
    let filled = form(&desk, path)
        .with("for", "all")
        .with("by", "Nell")
        .with("findings", "lively")
        .with("on", "2026-04-10");
    number(&filled.send(&desk, "save"));
    let health = text(&kennel, "litters/spring/health.yaml");
    assert!(health.contains("for: all"), "{health}");
    kennel.run(&["inspect"]).ends_with(0);
}

#[test]
fn a_stillborn_puppy_is_told_as_one_and_a_time_is_typed_in_a_hurry() {
    let (kennel, desk) = kennel();
    let path = "/-desk/litters/spring/birth";
    let shown = page(&desk, path);
    let (dead, more) = (shown.find("name=\"stillborn\""), shown.find("<details"));
    assert!(dead.unwrap() < more.unwrap(), "it stands where it is seen");
    let filled = form(&desk, path)
        .with("name", "Ash")
        .with("sex", "male")
        .with("born", "312")
        .with("stillborn", "yes");
    number(&filled.send(&desk, "save"));
    let litter = text(&kennel, LITTER);
    assert!(litter.contains("born: \"03:12\""), "{litter}");
    assert!(
        page(&desk, path).contains("Ash, male, 03:12, stillborn"),
        "not told"
    );
}

#[test]
fn what_could_not_be_taken_out_stands_in_its_fields_as_it_was() {
    let (kennel, desk) = kennel();
    let before = tree(&kennel.content());
    // The weights name her: by the form of an entry she cannot go.
    let address = format!("/-desk/form/{LITTER}?at=puppies.moss");
    let shown = form(&desk, &address);
    let refused = shown.send(&desk, "take-out");
    assert_eq!(refused.status, 422);
    let again = Form::main(&refused.text());
    for field in shown.own() {
        assert_eq!(again.value(&field.name), field.value, "{}", field.name);
    }
    assert_eq!(again.value("was"), shown.value("was"));
    assert!(!refused.text().contains("what you typed"));
    // Saved as it stands there, nothing is lost.
    assert_eq!(again.send(&desk, "save").status, 303);
    assert_eq!(tree(&kennel.content()), before);
    // A dog that others name, whose record is to go whole.
    let shown = form(&desk, "/-desk/form/dogs/juno.yaml");
    let refused = shown.send(&desk, "go");
    assert_eq!(refused.status, 422);
    let again = Form::main(&refused.text());
    assert_eq!(again.value("f.name"), shown.value("f.name"));
}

#[test]
fn a_puppy_entered_by_mistake_goes_with_all_that_names_it_and_nothing_else() {
    let (kennel, desk) = kennel();
    for (file, words) in [
        (
            "litters/spring/weights.yaml",
            "- at: 2026-04-15 08:00\n  moss: 452 g   # wriggled\n  wren: 446 g\n- at: 2026-04-15 \
             20:00\n  moss: 460 g\n- at: 2026-04-16 06:00\n  wren: 461 g\n",
        ),
        (
            "litters/spring/health.yaml",
            "- { on: 2026-04-10, for: moss, check: { by: Nell, findings: lively } }\n- { on: \
             2026-04-12, for: [moss, wren], check: { by: Nell, findings: plump } }\n- { on: \
             2026-04-13, for: all, check: { by: Nell, findings: all well } }\n",
        ),
        (
            "owners.yaml",
            "families:\n  - id: lund\n    name: The Lund family\n    takes:\n      - { litter: \
             spring, puppy: moss, reserved: 2026-04-15 }\n",
        ),
    ] {
        fs::write(kennel.content().join(file), words).unwrap();
    }
    kennel.change(LITTER, "224 g, offer: available", "224 g, offer: reserved");
    for (name, puppies) in [("hers", "[moss]"), ("both", "[moss, wren]")] {
        kennel.write(
            &format!("litters/spring/notes/{name}.md"),
            &format!(
                "---\ndate: 2026-04-11\ntitle: Of {name}\naudience: owners\npuppies: \
                 {puppies}\n---\nWords.\n"
            ),
        );
    }
    let before = tree(&kennel.content());
    let record = page(&desk, &format!("/-desk/form/{LITTER}?at=puppies.moss"));
    let to = links(&record)
        .into_iter()
        .find(|link| link.ends_with("/take-out"))
        .unwrap();
    let told = page(&desk, &to);
    for words in [
        "2 weights",
        "2 notes",
        "what 2 entries of health say of it",
        "that The Lund family takes it",
    ] {
        assert!(told.contains(words), "{words}: {told}");
    }
    let change = number(&form(&desk, &to).send(&desk, "save"));
    let all: String = [
        LITTER,
        "litters/spring/weights.yaml",
        "litters/spring/health.yaml",
        "litters/spring/notes/both.md",
        "owners.yaml",
    ]
    .iter()
    .map(|file| text(&kennel, file))
    .collect();
    assert!(!all.contains("moss"), "{all}");
    for kept in [
        "446 g",
        "461 g",
        "plump",
        "all well",
        "The Lund family",
        "Of both",
    ] {
        assert!(all.contains(kept), "{kept}: {all}");
    }
    for gone in ["460 g", "lively", "20:00"] {
        assert!(!all.contains(gone), "{gone}: {all}");
    }
    // A note of her alone is not left to be one of the whole litter.
    assert!(
        !kennel
            .content()
            .join("litters/spring/notes/hers.md")
            .exists()
    );
    kennel.run(&["inspect"]).ends_with(0);
    assert_eq!(undo(&desk, &change).status, 303);
    assert_eq!(tree(&kennel.content()), before);
}

#[test]
fn a_litter_entered_by_mistake_goes_with_its_files_and_a_broken_file_is_not_guessed_at() {
    let (kennel, desk) = kennel();
    kennel.change(
        "owners.yaml",
        "    name: The Lund family\n",
        "    name: The Lund family\n    takes:\n      - { litter: spring, puppy: moss, reserved: \
         2026-04-10 }\n",
    );
    kennel.change(LITTER, "224 g, offer: available", "224 g, offer: reserved");
    let weights = text(&kennel, "litters/spring/weights.yaml");
    let record = page(&desk, &format!("/-desk/form/{LITTER}"));
    let to = "/-desk/litters/spring/take-out";
    assert!(links(&record).iter().any(|link| link == to));
    // With something that cannot be read, nothing is taken out of it by counting.
    kennel.write(
        "litters/spring/weights.yaml",
        "- at: 2026-04-15 08:00\n  moss: 452 furlongs\n- at: 2026-04-16 08:00\n  moss: 460 g\n",
    );
    let before = tree(&kennel.content());
    for to in [to, "/-desk/litters/spring/puppies/moss/take-out"] {
        let refused = form(&desk, to).send(&desk, "save");
        assert_eq!(refused.status, 422, "{to}");
        assert!(
            refused.text().contains("cannot be read"),
            "{}",
            refused.text()
        );
    }
    assert_eq!(tree(&kennel.content()), before);
    kennel.write("litters/spring/weights.yaml", &weights);
    let picture = jpeg_with_metadata(90, "A SECRET");
    kennel.write_bytes("litters/spring/photos/moss-1.jpg", &picture);
    let before = tree(&kennel.content());
    // A file of the keeper's own is none of the records, and is not thrown away with them.
    kennel.write("litters/spring/contract.txt", "Signed.");
    let refused = form(&desk, to).send(&desk, "save");
    assert_eq!(refused.status, 422);
    for words in ["litters/spring/contract.txt", "move it to another place"] {
        assert!(refused.text().contains(words), "{}", refused.text());
    }
    std::fs::remove_file(kennel.content().join("litters/spring/contract.txt")).unwrap();
    let told = page(&desk, to);
    assert!(
        told.find("With it goes").unwrap() < told.find("Take Spring 2026 out</button>").unwrap(),
        "what goes with it stands above the button"
    );
    for words in [
        "2 puppies",
        "2 weights",
        "1 picture",
        "that The Lund family takes it",
    ] {
        assert!(told.contains(words), "{words}: {told}");
    }
    let change = number(&form(&desk, to).send(&desk, "save"));
    let after = tree(&kennel.content());
    assert!(
        !after.keys().any(|file| file.starts_with("litters/spring")),
        "{after:?}"
    );
    assert!(!text(&kennel, "owners.yaml").contains("spring"));
    kennel.run(&["inspect"]).ends_with(0);
    assert_eq!(undo(&desk, &change).status, 303);
    assert_eq!(tree(&kennel.content()), before);
}

#[test]
fn the_newborn_checks_of_a_litter_are_written_down_a_list_and_the_round_leads_there() {
    let (kennel, desk) = kennel();
    let path = "/-desk/litters/spring/newborns";
    kennel.change("kennel.yaml", "as_of: 2026-04-16", "as_of: 2026-04-03");
    kennel.write("litters/spring/weights.yaml", "");
    for from in ["/-desk/today", "/-desk/litters/spring"] {
        assert!(
            links(&page(&desk, from)).iter().any(|link| link == path),
            "{from}"
        );
    }
    kennel.change(
        LITTER,
        "order: 2,",
        "order: 2, newborn: { navel: \"a little moist\" },",
    );
    let shown = page(&desk, path);
    assert!(shown.contains("so far: a little moist") && shown.contains("Limbs and toes."));
    let empty = form(&desk, path).send(&desk, "save");
    assert_eq!(empty.status, 422);
    let before = text(&kennel, LITTER);
    let filled = form(&desk, path)
        .with("moss.palate", "cleft")
        .with("moss.suck", "strong")
        .with("wren.rest", "yes");
    let sent = filled.send(&desk, "save");
    let change = number(&sent);
    let written = text(&kennel, LITTER);
    for words in [
        "palate: cleft, newborn: { suck: strong }",
        "navel: \"a little moist\", limbs: normal",
        "palate: intact",
    ] {
        assert!(written.contains(words), "{words}: {written}");
    }
    // What was found is said at once, with how urgent it is.
    let after = page(&desk, sent.header("location").unwrap());
    assert!(
        after.contains("urgency-call-the-vet") && after.contains("cleft"),
        "{after}"
    );
    kennel.run(&["inspect"]).ends_with(0);
    assert_eq!(undo(&desk, &change).status, 303);
    assert_eq!(text(&kennel, LITTER), before);
}

#[test]
fn taken_back_on_the_page_of_an_act_one_is_on_that_page_again() {
    let (_kennel, desk) = kennel();
    let undone = |from: &str, change: &str| {
        let token = form(&desk, "/-desk/waiting").value("token");
        let body = format!("token={token}&number={change}");
        let (port, length) = (desk.book, body.len());
        let sent = asks(
            port,
            &format!(
                "POST /-desk/undo HTTP/1.1\r\nHost: 127.0.0.1:{port}\r\nOrigin: \
                 http://127.0.0.1:{port}\r\nReferer: {from}\r\nContent-Type: \
                 application/x-www-form-urlencoded\r\nContent-Length: {length}\r\nConnection: \
                 close\r\n\r\n{body}"
            ),
        );
        assert_eq!(sent.status, 303, "{}", sent.text());
        sent.header("location").unwrap().to_owned()
    };
    let waits = || {
        let filled = form(&desk, "/-desk/waiting").with("name", "N. Frey");
        number(&filled.send(&desk, "add"))
    };
    let change = waits();
    let here = format!(
        "http://127.0.0.1:{}/-desk/waiting?saved={change}",
        desk.book
    );
    let to = undone(&here, &change);
    assert!(to.starts_with("/-desk/waiting?saved="), "{to}");
    let shown = page(&desk, &to);
    assert!(
        shown.contains("Taken back. That is change") && !shown.contains("N. Frey"),
        "{shown}"
    );
    // The same in a form of a record.
    let path = "/-desk/form/kennel.yaml";
    let renamed = form(&desk, path).with("f.name", "Becksgill");
    let sent = renamed.send(&desk, "save");
    let here = format!("http://127.0.0.1{}", sent.header("location").unwrap());
    let to = undone(&here, &number(&sent));
    assert!(to.starts_with(&format!("{path}?at=&back=")), "{to}");
    let shown = page(&desk, &to);
    assert!(
        shown.contains("Taken back, by change") && !shown.contains("Becksgill"),
        "{shown}"
    );
    // Where that page is gone with it, and from elsewhere, the history says so.
    let entry = form(&desk, "/-desk/form/owners.yaml?at=waiting&add=1").with("f.name", "N. Frey");
    let sent = entry.send(&desk, "save");
    let here = format!("http://127.0.0.1{}", sent.header("location").unwrap());
    let to = undone(&here, &number(&sent));
    assert!(to.starts_with("/-desk/history?saved="), "{here}: {to}");
    let filled = form(&desk, "/-desk/litters/new").with("name", "Autumn 2026");
    let begun = number(
        &filled
            .with("dam", "juno")
            .with("sire", "corvin")
            .send(&desk, "save"),
    );
    let gone = "http://127.0.0.1/-desk/litters/autumn-2026?saved=1";
    for (from, change) in [(gone, begun), ("http://127.0.0.1//evil.example", waits())] {
        let to = undone(from, &change);
        assert!(to.starts_with("/-desk/history?saved="), "{from}: {to}");
    }
}

#[test]
fn a_puppy_that_went_to_its_family_has_the_day_on_which_it_went() {
    let (kennel, desk) = kennel();
    let path = "/-desk/litters/spring/puppies/moss/home";
    let went = form(&desk, path)
        .with("family", "lund")
        .with("offer", "placed");
    let refused = went.send(&desk, "save");
    assert_eq!(refused.status, 422);
    assert!(
        refused.text().contains("say on which day it went"),
        "{}",
        refused.text()
    );
    let went = went.with("reserved", "2026-04-10");
    number(&went.with("leaves", "2026-04-15").send(&desk, "save"));
    assert!(text(&kennel, "owners.yaml").contains("leaves: 2026-04-15"));
    // Of one that was placed before nobody may know the day any more.
    number(
        &form(&desk, path)
            .with("leaves", "")
            .with("price", "900")
            .send(&desk, "save"),
    );
}

#[test]
fn a_puppy_that_comes_back_keeps_who_had_it_and_looks_for_a_home_again() {
    let (kennel, desk) = kennel();
    kennel.change(LITTER, "224 g, offer: available", "224 g, offer: placed");
    kennel.change(
        "owners.yaml",
        "    name: The Lund family\n",
        "    name: The Lund family\n    takes:\n      - { litter: spring, puppy: moss, leaves: \
         2026-04-10, price: 900 }\n",
    );
    let home = page(&desk, "/-desk/litters/spring/puppies/moss/home");
    assert!(!home.contains("It looks for a home again"), "{home}");
    let path = "/-desk/litters/spring/puppies/moss/returned";
    assert!(links(&home).iter().any(|link| link == path));
    assert!(page(&desk, path).contains("The Lund family stays entered"));
    // On the day on which it left it did not come back, and not tomorrow.
    for (on, said) in [
        ("2026-04-10", "it came to The Lund family on 10 April 2026"),
        ("2026-04-17", "still to come"),
    ] {
        let refused = form(&desk, path).with("on", on).send(&desk, "save");
        assert_eq!(refused.status, 422);
        assert!(refused.text().contains(said), "{on}: {}", refused.text());
    }
    let owners = text(&kennel, "owners.yaml");
    let filled = form(&desk, path)
        .with("on", "2026-04-15")
        .with("reason", "a child is allergic")
        .with("offer", "available");
    let change = number(&filled.send(&desk, "save"));
    let litter = text(&kennel, LITTER);
    assert!(
        litter.contains("returned: { on: 2026-04-15, reason: a child is allergic }")
            && litter.contains("offer: available"),
        "{litter}"
    );
    assert_eq!(
        text(&kennel, "owners.yaml"),
        owners,
        "what was agreed stays"
    );
    kennel.run(&["inspect"]).ends_with(0);
    let now = page(&desk, "/-desk/litters/spring/puppies/moss/home");
    assert!(now.contains("No family is entered for this puppy"), "{now}");
    assert_eq!(undo(&desk, &change).status, 303);
}

#[test]
fn what_comes_before_a_birth_is_written_down_where_it_is_looked_for() {
    let (kennel, desk) = kennel();
    kennel.write(
        "litters/autumn/litter.yaml",
        "name: Autumn 2026\ndam: juno\nsire: corvin\nmated: 2026-03-20   # at noon\n",
    );
    let path = "/-desk/litters/autumn/pregnancy";
    assert!(
        links(&page(&desk, "/-desk/litters/autumn"))
            .iter()
            .any(|link| link == path)
    );
    let records = |fields: &[(&str, &str)], expected: &str| {
        let filled = fields
            .iter()
            .fold(form(&desk, path), |form, (name, value)| {
                form.with(name, value)
            });
        number(&filled.send(&desk, "save"));
        let litter = text(&kennel, "litters/autumn/litter.yaml");
        assert!(litter.contains(expected), "{expected}: {litter}");
        kennel.run(&["inspect"]).ends_with(0);
    };
    records(&[("mated", "2026-03-22")], "2026-03-22");
    records(&[("mated", "2026-03-24")], "2026-03-24");
    let litter: serde_yaml::Value =
        serde_yaml::from_str(&text(&kennel, "litters/autumn/litter.yaml")).unwrap();
    assert_eq!(litter["mated"].as_sequence().unwrap().len(), 3);
    records(
        &[("progesterone", "5.6 ng/ml"), ("sampled", "2026-03-20")],
        "value: 5.6 ng/ml",
    );
    records(
        &[
            ("progesterone", "2.1 ng/ml"),
            ("sampled", "2026-03-18"),
            ("laboratory", "Thorlby"),
        ],
        "laboratory: Thorlby",
    );
    let litter = text(&kennel, "litters/autumn/litter.yaml");
    assert!(
        litter.find("2.1 ng/ml").unwrap() < litter.find("5.6 ng/ml").unwrap(),
        "in the order of the days: {litter}"
    );
    // A bare number says nothing, and a slip keeps what was typed.
    let refused = form(&desk, path)
        .with("progesterone", "8")
        .send(&desk, "save");
    assert_eq!(refused.status, 422);
    assert_eq!(Form::main(&refused.text()).value("progesterone"), "8");
    records(&[("ovulated", "2026-03-21")], "ovulated: 2026-03-21");
    records(
        &[
            ("by", "ultrasound"),
            ("counted_on", "2026-04-15"),
            ("puppies", "0"),
        ],
        "puppies: 0",
    );
    let state = page(&desk, "/-desk/litters/autumn");
    assert!(state.contains("No puppies were found"), "{state}");
    // Nothing typed is nothing recorded; emptied, the count goes.
    let same = form(&desk, path).send(&desk, "save");
    assert!(same.header("location").unwrap().ends_with("saved=none"));
    let emptied = [("by", ""), ("counted_on", ""), ("puppies", "")];
    records(&emptied, "ovulated");
    assert!(!text(&kennel, "litters/autumn/litter.yaml").contains("counted"));
}

#[test]
fn what_a_file_of_a_sheet_would_do_wrong_is_told_when_it_is_looked_at_and_its_text_stays() {
    let (kennel, desk) = kennel();
    let before = tree(&kennel.content());
    let path = "/-desk/litters/spring/from-sheet";
    let birth = "# litter: spring\nbirth: { on: 2026-04-01, how: natural }\npuppies:\n  - { id: \
                 robin, ribbon: red, sex: male, born: \"10:02\", order: 2, weight: 231 g }\n";
    let sent = [
        ("token", form(&desk, path).value("token")),
        ("act", "look".to_owned()),
    ];
    let sent: Vec<(&str, &str)> = sent
        .iter()
        .map(|(name, value)| (*name, value.as_str()))
        .collect();
    let file = ("file", "birth-spring.yaml", birth.as_bytes());
    let looked = upload(desk.book, path, &sent, file);
    let shown = looked.text();
    assert_eq!(looked.status, 422, "{shown}");
    assert!(
        shown.contains("place") || shown.contains("order"),
        "{shown}"
    );
    assert!(!shown.contains("Take it in"), "{shown}");
    let again = Form::main(&shown);
    assert_eq!(
        again.value("text").trim(),
        birth.trim(),
        "the file is not chosen again"
    );
    // Put right where it stands, it is looked at and taken in.
    let right = again.value("text").replace("order: 2", "order: 3");
    let looked = again.with("text", &right).send(&desk, "look");
    assert_eq!(looked.status, 200, "{}", looked.text());
    assert_eq!(tree(&kennel.content()), before, "looking records nothing");
    let change = number(&Form::main(&looked.text()).send(&desk, "take"));
    assert!(text(&kennel, LITTER).contains("robin"));
    assert_eq!(undo(&desk, &change).status, 303);
    assert_eq!(tree(&kennel.content()), before);
}

#[test]
fn a_dog_gets_a_picture_another_in_its_place_and_none() {
    let (kennel, desk) = kennel();
    let before = tree(&kennel.content());
    let path = "/-desk/dogs/juno/picture";
    assert!(
        links(&page(&desk, "/-desk/form/dogs/juno.yaml"))
            .iter()
            .any(|link| link == path)
    );
    let send = |bytes: &[u8]| {
        let token = form(&desk, path).value("token");
        let sent = [("token", token.as_str()), ("act", "add")];
        upload(desk.book, path, &sent, ("files", "../../Juno.JPG", bytes))
    };
    let pictures = || -> Vec<String> {
        let files = tree(&kennel.content()).into_keys();
        files
            .filter(|file| file.starts_with("dogs/juno-"))
            .collect()
    };
    let first = number(&send(&jpeg_with_metadata(90, "A SECRET")));
    let [one] = &pictures()[..] else {
        panic!("{:?}", pictures())
    };
    let shown = page(&desk, path);
    assert!(shown.contains(&format!("/-desk/picture/{one}")), "{shown}");
    assert_eq!(get(desk.book, &format!("/-desk/picture/{one}")).status, 200);
    kennel.run(&["inspect"]).ends_with(0);
    // The same once more changes nothing; another takes its place; what is none is refused.
    let same = send(&jpeg_with_metadata(90, "A SECRET"));
    assert!(same.header("location").unwrap().ends_with("saved=none"));
    assert_eq!(send(b"no picture").status, 422);
    let second = number(&send(&jpeg_with_metadata(30, "ANOTHER")));
    assert!(
        pictures().len() == 1 && pictures()[0] != *one,
        "{:?}",
        pictures()
    );
    let out = Form::all(&page(&desk, path));
    let out = out
        .into_iter()
        .find(|form| form.fields.iter().all(|field| field.kind == "hidden"));
    let gone = number(&out.unwrap().send(&desk, "out"));
    assert!(pictures().is_empty() && !text(&kennel, "dogs/juno.yaml").contains("photo"));
    for change in [gone, second, first] {
        assert_eq!(undo(&desk, &change).status, 303);
    }
    assert_eq!(tree(&kennel.content()), before);
}
