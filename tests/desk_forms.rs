//! What is recorded at the desk: every field of every record, through forms as a browser without
//! script sends them; two who change the same; a broken record; and those who may not.
//!
//! In: kennels made for one test, the program itself. Out: files are what was typed, byte for byte
//! what they were after taking back, and untouched by whoever may not.

use crate::support::desk::{Desk, asks, get};
use crate::support::filled::{Filler, PORTRAIT};
use crate::support::forms::{Form, form, links, number, post, post_from, undo};
use crate::support::{Kennel, tree};
use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::Path;

/// A desk whose pages cannot be made, so that a change is all that it does.
fn desk(kennel: &Kennel) -> Desk {
    kennel.without_pages();
    Desk::of(kennel.path())
}

/// What may be typed in a field in place of what stands there, until one is right.
const TYPED: &[&str] = &[
    "Other words",
    "251 g",
    "7",
    "09:31",
    "2026-04-16 09:00",
    "2026-04-16",
    "6 weeks",
    "38.1 °C",
    "12 %",
    "6 ml",
    "1.2 kcal/ml",
    "6.1 ng/ml",
    "21 mm",
    "6 working days",
    "1",
    "0",
    "941000025557109",
    "other@post.example",
    "https://tarnfell.example/",
    "Europe/Paris",
    "yes",
    "US",
];

/// Values one digit away: another day, weight, age.
fn near(value: &str) -> Vec<String> {
    let digits = value.char_indices().filter(|(_, c)| c.is_ascii_digit());
    let other = |(at, digit): (usize, char)| {
        let digit = digit.to_digit(10).unwrap();
        let with = |digit: u32| format!("{}{digit}{}", &value[..at], &value[at + 1..]);
        [with((digit + 1) % 10), with((digit + 9) % 10)]
    };
    digits.flat_map(other).collect()
}

/// All pages with a form, from the list of records on.
fn places(desk: &Desk) -> BTreeMap<String, Form> {
    let mut waiting = vec!["/-desk/records".to_owned()];
    let (mut seen, mut found) = (BTreeSet::new(), BTreeMap::new());
    while let Some(path) = waiting.pop() {
        let is_new = path.contains("add=1") || path.contains("/new/");
        let is_ours = ["/-desk/records", "/-desk/form/"]
            .iter()
            .any(|ours| path.starts_with(ours));
        if is_new || !is_ours || !seen.insert(path.clone()) {
            continue;
        }
        let answer = get(desk.book, &path);
        assert_eq!(answer.status, 200, "{path}: {}", answer.text());
        waiting.extend(links(&answer.text()));
        if answer.text().contains("id=\"form\"") {
            found.insert(path, Form::main(&answer.text()));
        }
    }
    found
}

/// A field without the numbers and names of entries: `litter.puppies.weight`.
fn way(path: &str, name: &str) -> String {
    let (file, at) = path.split_once("?at=").unwrap_or((path, ""));
    let last = file.rsplit('/').next().unwrap();
    let record = match file
        .trim_start_matches("/-desk/form/")
        .split('/')
        .next()
        .unwrap()
    {
        "dogs" => "dog",
        "pages" => "page",
        "litters" if last.ends_with(".md") => "note",
        _ => last.trim_end_matches(".yaml"),
    };
    let keys = at
        .split('.')
        .step_by(2)
        .filter(|key| !key.is_empty() && key.parse::<u32>().is_err());
    let all: Vec<&str> = [record].into_iter().chain(keys).chain([name]).collect();
    all.join(".")
}

#[test]
fn every_field_of_every_record_is_changed_taken_out_set_again_and_undone() {
    let payload = |path: &str| format!("Words of {path}");
    let kennel = Filler::new(&payload).kennel();
    let pictures = tree(&Path::new(env!("CARGO_MANIFEST_DIR")).join("content/litters"));
    let is_picture = |(name, _): &(&String, &Vec<u8>)| name.ends_with(".jpg");
    let picture = pictures.iter().find(is_picture).unwrap().1;
    kennel.write_bytes(&format!("dogs/{PORTRAIT}"), picture);
    kennel.without_pages();
    let desk = desk(&kennel);
    let before = tree(&kennel.content());
    let (mut changed, mut taken_out, mut stay) =
        (BTreeSet::new(), BTreeSet::new(), BTreeSet::new());
    for (path, shown) in places(&desk) {
        let names: BTreeSet<String> = shown.own().map(|field| field.name.clone()).collect();
        for name in names {
            let way = way(&path, name.trim_start_matches("f."));
            let value = shown.value(&name);
            let known = taken_out.contains(&way) || stay.contains(&way);
            if value.is_empty() || known && changed.contains(&way) {
                continue;
            }
            let choices: Vec<String> = shown
                .own()
                .filter(|field| field.name == name)
                .flat_map(|field| field.choices.clone())
                .collect();
            let others: Vec<String> = if choices.is_empty() {
                let typed = TYPED.iter().map(|typed| (*typed).to_owned());
                near(&value).into_iter().chain(typed).collect()
            } else {
                choices
            };
            let others = others
                .iter()
                .map(String::as_str)
                .filter(|other| !other.is_empty() && *other != value);
            // Nothing stays of what is tried, so that the form is the same each time.
            let here = form(&desk, &path);
            for other in others {
                let answer = here.clone().with(&name, other).send(&desk, "save");
                if answer.status != 303 {
                    assert_eq!(answer.status, 422, "{way} {other}: {}", answer.text());
                    assert_eq!(
                        Form::main(&answer.text()).value(&name),
                        other,
                        "{way}: lost"
                    );
                    continue;
                }
                let number = number(&answer);
                assert!(
                    tree(&kennel.content()) != before,
                    "{way} {other} was not written"
                );
                // What tells an entry from the others may be another now.
                let to = answer.header("location").unwrap().to_owned();
                assert_eq!(form(&desk, &to).value(&name), other, "{way}");
                assert_eq!(undo(&desk, &number).status, 303, "{way}");
                changed.insert(way.clone());
                break;
            }
            assert!(
                tree(&kennel.content()) == before,
                "{way}: another file than before"
            );
            let answer = here.with(&name, "").send(&desk, "save");
            if answer.status == 303 {
                let gone = number(&answer);
                let to = answer.header("location").unwrap().to_owned();
                let empty = form(&desk, &to);
                assert_eq!(empty.value(&name), "", "{way}");
                let again = empty.with(&name, &value).send(&desk, "save");
                let set = number(&again);
                let to = again.header("location").unwrap().to_owned();
                assert_eq!(form(&desk, &to).value(&name), value, "{way}");
                assert_eq!(undo(&desk, &set).status, 303, "{way}");
                assert_eq!(undo(&desk, &gone).status, 303, "{way}");
                taken_out.insert(way);
            } else {
                assert_eq!(answer.status, 422, "{way}: {}", answer.text());
                stay.insert(way);
            }
            assert!(
                tree(&kennel.content()) == before,
                "another file than before"
            );
        }
    }
    let all: BTreeSet<&String> = changed.iter().chain(&taken_out).chain(&stay).collect();
    let never: Vec<&&String> = all.iter().filter(|way| !changed.contains(**way)).collect();
    println!(
        "changed {}, taken out {}, stay {stay:?}, never changed {never:?}",
        changed.len(),
        taken_out.len()
    );
    // A name that other records hold, or a picture that is not there, is refused.
    assert!(never.len() <= 10, "{never:?}");
    assert!(
        changed.len() > 240 && taken_out.len() > 185,
        "{} {}",
        changed.len(),
        taken_out.len()
    );
}

#[test]
fn entries_are_added_moved_and_taken_out() {
    let kennel = Kennel::base();
    let desk = desk(&kennel);
    let before = kennel.text("owners.yaml");
    let path = "/-desk/form/owners.yaml?at=waiting&add=1";
    let answer = form(&desk, path)
        .with("f.name", "Q. Varga")
        .with("f.since", "2026-05-01")
        .send(&desk, "save");
    number(&answer);
    let text = kennel.text("owners.yaml");
    assert!(
        text.contains("Q. Varga") && text.contains("2026-05-01"),
        "{text}"
    );
    let page = desk.book("/-desk/form/owners.yaml").text();
    let last = Form::all(&page)
        .into_iter()
        .rfind(|form| form.action.contains("at=waiting."))
        .unwrap();
    assert_eq!(last.send(&desk, "up").status, 303);
    assert_ne!(kennel.text("owners.yaml"), text, "it moved");
    // Its place is another now; the button that was pressed meant the entry.
    assert_eq!(last.send(&desk, "take-out").status, 303);
    assert!(!kennel.text("owners.yaml").contains("Q. Varga"));
    for number in ["3", "2", "1"] {
        assert_eq!(undo(&desk, number).status, 303);
    }
    assert_eq!(kennel.text("owners.yaml"), before);
}

#[test]
fn a_new_dog_a_note_and_a_page_are_made() {
    let kennel = Kennel::base();
    let desk = desk(&kennel);
    let form_of = |path: &str| form(&desk, path);
    let answer = form_of("/-desk/new/dog")
        .with("f.name", "Tarnside Élan")
        .with("f.call_name", "Élan")
        .with("f.sex", "female")
        .send(&desk, "save");
    assert_eq!(answer.status, 303, "{}", answer.text());
    assert!(
        kennel
            .text("dogs/elan.yaml")
            .contains("name: Tarnside Élan")
    );
    let answer = form_of("/-desk/new/note?litter=spring")
        .with("f.date", "2026-04-09")
        .with("f.title", "Eyes open")
        .with("f.text", "All of them.\r\n\r\nEven *Moss*.")
        .send(&desk, "save");
    assert_eq!(answer.status, 303, "{}", answer.text());
    let note = kennel.text("litters/spring/notes/eyes-open.md");
    assert!(
        note.ends_with("---\nAll of them.\n\nEven *Moss*.\n"),
        "{note}"
    );
    // What is missing is said at its field, and what was typed stands there.
    let answer = form_of("/-desk/new/page")
        .with("f.summary", "A summary")
        .send(&desk, "save");
    assert_eq!(answer.status, 422);
    let again = answer.text();
    assert!(
        again.contains("`title` is missing") || again.contains("is missing"),
        "{again}"
    );
    assert_eq!(Form::main(&again).value("f.summary"), "A summary");
    let answer = Form::main(&again)
        .with("f.title", "Our house")
        .send(&desk, "save");
    assert_eq!(answer.status, 303, "{}", answer.text());
    assert!(
        kennel
            .text("pages/our-house.md")
            .contains("summary: A summary")
    );
    for name in ["../x", "A B", "x/y", "x.yaml", ".."] {
        let answer = form_of("/-desk/new/dog")
            .with("f.name", "X")
            .with("f.sex", "male")
            .with("f.file", name)
            .send(&desk, "save");
        assert_eq!(answer.status, 422, "{name}");
    }
}

#[test]
fn a_kennel_begins_in_an_empty_folder() {
    let kennel = Kennel::empty();
    fs::remove_dir(kennel.content()).unwrap();
    let desk = Desk::of(kennel.path());
    let first = desk.book("/");
    let path = "/-desk/begin";
    assert_eq!((first.status, first.header("location")), (303, Some(path)));
    let half = form(&desk, path)
        .with("name", "Tarnside")
        .send(&desk, "save");
    assert_eq!(half.status, 422);
    let text = half.text();
    assert!(
        text.contains("class=\"field wrong\"") && text.contains("say who you are"),
        "{text}"
    );
    let whole = Form::main(&text)
        .with("breed", "Border Terrier")
        .with("country", "gb")
        .with("time_zone", "Europe/London")
        .with("keeper", "Nell Tarn")
        .with("email", "nell@tarnside.example")
        .send(&desk, "save");
    assert_eq!(whole.status, 303, "{}", whole.text());
    assert!(kennel.text("kennel.yaml").contains("country: GB"));
    // It begins once.
    let again = desk.book(path);
    assert_eq!(
        (again.status, again.header("location")),
        (303, Some("/-desk/form/kennel.yaml"))
    );
    assert!(kennel.text("kennel.yaml").contains("name: Tarnside"));
    desk.waits_for(desk.book, "/", |answer| {
        answer.status == 200 && answer.text().contains("Tarnside")
    });
}

#[test]
fn changes_of_other_fields_are_joined_and_of_the_same_field_are_shown_side_by_side() {
    let kennel = Kennel::base();
    let desk = desk(&kennel);
    let path = "/-desk/form/dogs/juno.yaml";
    let open = form(&desk, path);
    let name = open.value("f.name");
    kennel.change(
        "dogs/juno.yaml",
        "sex: female",
        "sex: female\ncolour: black",
    );
    let answer = open.clone().with("f.about", "Kind.").send(&desk, "save");
    number(&answer);
    let text = kennel.text("dogs/juno.yaml");
    assert!(
        text.contains("colour: black") && text.contains("about: Kind."),
        "{text}"
    );

    kennel.change("dogs/juno.yaml", &name, "Juno of the Fell");
    let answer = open.with("f.name", "Juno of the Tarn").send(&desk, "save");
    assert_eq!(answer.status, 422);
    let both = answer.text();
    assert!(
        both.contains("Juno of the Fell") && both.contains("There stands now"),
        "{both}"
    );
    let again = Form::main(&both);
    assert_eq!(again.value("f.name"), "Juno of the Tarn");
    assert!(kennel.text("dogs/juno.yaml").contains("Juno of the Fell"));
    // Theirs is kept by a tick, ours by saving again.
    let mut theirs = again.clone();
    for field in theirs
        .fields
        .iter_mut()
        .filter(|field| field.name == "theirs")
    {
        field.value.clone_from(&field.choices[0]);
    }
    assert_eq!(theirs.send(&desk, "save").status, 303);
    assert!(kennel.text("dogs/juno.yaml").contains("Juno of the Fell"));
    assert_eq!(again.send(&desk, "save").status, 303);
    assert!(kennel.text("dogs/juno.yaml").contains("Juno of the Tarn"));
}

#[test]
fn a_broken_record_is_mended_and_everything_else_goes_on_meanwhile() {
    let kennel = Kennel::base();
    let desk = desk(&kennel);
    let file = "litters/spring/weights.yaml";
    let before = kennel.text(file);
    let broken = before.replacen("- at:", "- at: [", 1);
    kennel.write(file, &broken);
    let page = get(desk.book, &format!("/-desk/form/{file}"));
    assert_eq!(
        (page.status, page.header("location")),
        (303, Some(&*format!("/-desk/text/{file}")))
    );
    assert!(
        desk.book("/-desk/problems")
            .text()
            .contains(&format!("/-desk/text/{file}"))
    );
    let answer = form(&desk, "/-desk/form/kennel.yaml")
        .with("f.contact.town", "Coniston")
        .send(&desk, "save");
    assert_eq!(answer.status, 303, "{}", answer.text());
    let text = |desk: &Desk| {
        let page = desk.book(&format!("/-desk/text/{file}")).text();
        let forms = Form::all(&page);
        (
            forms
                .into_iter()
                .find(|form| form.action.contains("/text/"))
                .unwrap(),
            page,
        )
    };
    let (open, page) = text(&desk);
    assert!(page.contains("class=\"problem\""), "{page}");
    assert_eq!(open.value("text"), broken);
    // Somebody else writes too.
    kennel.write(file, &format!("{broken}# seen\n"));
    let answer = open.clone().with("text", &before).send(&desk, "");
    assert_eq!(answer.status, 422);
    assert!(answer.text().contains("# seen"));
    let (open, _) = text(&desk);
    assert_eq!(
        open.with("text", &before.replace('\n', "\r\n"))
            .send(&desk, "")
            .status,
        303
    );
    assert_eq!(kennel.text(file), before, "line ends are as they were");
    // A text that is wrong where it was right is not saved, and not lost.
    let (open, _) = text(&desk);
    let wrong = before.replacen(" g", " furlongs", 1);
    let answer = open.with("text", &wrong).send(&desk, "");
    assert_eq!(answer.status, 422);
    assert!(answer.text().contains("furlongs"));
    assert_eq!(kennel.text(file), before);
}

#[test]
fn whoever_may_not_changes_nothing() {
    let kennel = Kennel::base();
    let desk = desk(&kennel);
    let open = form(&desk, "/-desk/form/kennel.yaml").with("f.name", "Stolen");
    let token = open.value("token");
    let before = tree(&kennel.content());
    let body = |token: &str| format!("token={token}&was=%7B%7D&mark=&f.name=Stolen&act=save");
    let port = desk.book;
    let own = format!("http://127.0.0.1:{port}");
    let path = "/-desk/form/kennel.yaml";
    for (origin, token, status) in [
        ("http://kennel.example", token.as_str(), 403),
        (&format!("http://127.0.0.1:{}", desk.site), &token, 403),
        ("null", &token, 403),
        (&own, "", 403),
        (&own, "00000000000000000000000000000000", 403),
    ] {
        assert_eq!(
            post_from(port, origin, path, &body(token)).status,
            status,
            "{origin} {token}"
        );
    }
    // The public site takes no form at all.
    let answer = post_from(
        desk.site,
        &format!("http://127.0.0.1:{}", desk.site),
        path,
        &body(&token),
    );
    assert_eq!(answer.status, 405);
    // Another desk's cookie and token open nothing here.
    let other = Desk::of(Kennel::base().path());
    let foreign = form(&other, path).value("token");
    assert_eq!(post_from(port, &own, path, &body(&foreign)).status, 403);
    // No name leads out, whatever is sent there.
    for name in [
        "../codes.yaml",
        "..%2fcodes.yaml",
        "dogs/..%2f..%2fcodes.yaml",
        "codes.yaml",
        "dogs/%00.yaml",
        "dogs/x%0ay.yaml",
        "%2fetc%2fpasswd",
        "litters/spring/photos/x.jpg",
        "dogs/juno.yaml/../../x.yaml",
    ] {
        for kind in ["form", "text"] {
            let path = format!("/-desk/{kind}/{name}");
            assert!([400, 404].contains(&get(port, &path).status), "{path}");
            let sent = format!("token={token}&text=x&mark=x&act=save&was=%7B%7D");
            assert!(
                [400, 404].contains(&post_from(port, &own, &path, &sent).status),
                "{path}"
            );
        }
    }
    // What is too large is told so, however it is announced.
    let large = format!("token={token}&f.name={}", "x".repeat(1_100_000));
    assert_eq!(post_from(port, &own, path, &large).status, 413);
    let claimed = asks(
        port,
        &format!(
            "POST {path} HTTP/1.1\r\nHost: 127.0.0.1:{port}\r\nOrigin: {own}\r\nContent-Type: \
             application/x-www-form-urlencoded\r\nContent-Length: 10000000000\r\nConnection: \
             close\r\n\r\ntoken=x"
        ),
    );
    assert_eq!(claimed.status, 413, "and nobody waits for it");
    assert_eq!(get(port, "/-desk/undo").status, 405);
    assert!(tree(&kennel.content()) == before, "something was written");
    assert_eq!(
        open.send(&desk, "save").status,
        303,
        "and the keeper goes on"
    );
}

#[test]
fn thousands_of_random_requests_end_nothing_and_write_nothing() {
    let kennel = Kennel::base();
    let desk = desk(&kennel);
    let token = form(&desk, "/-desk/form/kennel.yaml").value("token");
    let before = tree(&kennel.content());
    let mut state = 0x2545_f491_4f6c_dd1d_u64;
    let mut random = move |most: usize| {
        state ^= state << 13;
        state ^= state >> 7;
        state ^= state << 17;
        usize::try_from(state % most as u64).unwrap()
    };
    let pieces = [
        "form",
        "text",
        "new",
        "records",
        "history",
        "undo",
        "publish",
        "problems",
        "dogs",
        "juno.yaml",
        "kennel.yaml",
        "litters",
        "spring",
        "litter.yaml",
        "notes",
        "..",
        "%2e%2e",
        "%00",
        "%ff",
        "?at=",
        "puppies",
        "puppies.0",
        "puppies.99999999999999999999",
        "puppies.moss",
        "&add=1",
        "&saved=-1",
        "&saved=9",
        "waiting.1",
        "\"",
        "'",
        "<b>",
        "{",
        "}",
        "é",
        "a",
        "=",
        "&",
        "#",
    ];
    for round in 0..3_000 {
        let mut path = "/-desk/".to_owned();
        for _ in 0..random(6) {
            path.push_str(pieces[random(pieces.len())]);
            if random(3) > 0 {
                path.push('/');
            }
        }
        let path: String = path.chars().filter(|c| c.is_ascii()).collect();
        // `publish` with the token would publish, as asked.
        let sent = if round % 3 == 0 {
            let body: Vec<String> = (0..random(5))
                .map(|_| {
                    format!(
                        "{}={}",
                        pieces[random(pieces.len())],
                        pieces[random(pieces.len())]
                    )
                })
                .collect();
            let with_token = if path.contains("publish") || path.contains("undo") {
                ""
            } else {
                &token
            };
            let body = format!("token={with_token}&was={{&{}", body.join("&"));
            post_from(
                desk.book,
                &format!("http://127.0.0.1:{}", desk.book),
                &path,
                &body,
            )
        } else {
            get(desk.book, &path)
        };
        assert!(sent.status < 500, "{path}: {} {}", sent.status, sent.text());
    }
    assert!(tree(&kennel.content()) == before, "something was written");
    assert_eq!(get(desk.book, "/-desk/records").status, 200);
    let _ = post(desk.book, "/-desk/undo", &[]);
}
