//! What leaves the kennel by the desk: the link and code of a family, a new code, the papers of a
//! puppy, an export of all records. Each is what the commands make, is downloaded whole, and is
//! given to nobody who did not ask with the desk's own form.

use crate::support::desk::{Answer, Desk, asks_without, get};
use crate::support::forms::{Form, links, post};
use crate::support::{Beginning, Kennel};
use std::fs;

fn published() -> (Kennel, Desk) {
    static PUBLISHED: Beginning = Beginning::new();
    let kennel = PUBLISHED.kennel(|| {
        let kennel = Kennel::base();
        let site = "site: https://tarnside.example/\nas_of:";
        kennel.change("kennel.yaml", "as_of:", site);
        kennel.run(&["publish"]).ends_with(0);
        kennel
    });
    let desk = Desk::of(kennel.path());
    (kennel, desk)
}

/// The form of a page that is sent to an address.
#[track_caller]
fn sent_to(page: &Answer, action: &str) -> Form {
    let text = page.text();
    let found = Form::all(&text)
        .into_iter()
        .find(|form| form.action == action);
    found.unwrap_or_else(|| panic!("{action}: {text}"))
}

/// Every file that a page offers, downloaded, beside the bytes on the disk.
#[track_caller]
fn downloads(desk: &Desk, kennel: &Kennel, page: &str, begin: &str, folder: &str) -> Vec<String> {
    let mut names = Vec::new();
    for link in links(page)
        .into_iter()
        .filter(|link| link.starts_with(begin))
    {
        let answer = get(desk.book, &link);
        assert_eq!(answer.status, 200, "{link}");
        assert_eq!(answer.header("content-disposition"), Some("attachment"));
        let name = link.rsplit('/').next().unwrap().to_owned();
        let file = kennel.at("private").join(folder).join(&name);
        assert!(answer.body == fs::read(&file).unwrap(), "{link}");
        names.push(name);
    }
    names
}

fn code_of(kennel: &Kennel) -> String {
    let codes = fs::read_to_string(kennel.at("codes.yaml")).unwrap();
    let line = codes.lines().find(|line| line.contains("code:")).unwrap();
    line.split("code:")
        .nth(1)
        .unwrap()
        .trim()
        .trim_matches('"')
        .to_owned()
}

#[test]
fn a_family_s_link_and_code_are_shown_and_a_new_code_takes_the_place_of_the_old_one() {
    let (kennel, desk) = published();
    let old = code_of(&kennel);
    let page = get(desk.book, "/-desk/codes");
    let text = page.text();
    assert!(text.contains("The Lund family"), "{text}");
    assert!(
        text.contains(&old) && text.contains("https://tarnside.example/"),
        "{text}"
    );
    // Before a new code its meaning is said, and looking draws nothing.
    let asked = get(desk.book, "/-desk/codes/new?of=spring/moss");
    assert!(
        asked
            .text()
            .contains("The old code opens the page until you publish")
    );
    assert_eq!(code_of(&kennel), old);
    let form = sent_to(&asked, "/-desk/codes/new");
    let forged = form.clone().with("token", "another");
    assert_eq!(forged.send(&desk, "").status, 403);
    let unknown = form.clone().with("of", "spring/wren");
    assert_eq!(unknown.send(&desk, "").status, 404);
    assert_eq!(code_of(&kennel), old);
    let answer = form.send(&desk, "");
    assert_eq!(answer.status, 303, "{}", answer.text());
    let new = code_of(&kennel);
    assert_ne!(new, old);
    let to = answer.header("location").unwrap();
    assert!(
        !to.contains(&new.to_lowercase()),
        "a code is no part of an address"
    );
    let after = get(desk.book, to.split('#').next().unwrap()).text();
    assert!(after.contains(&new) && !after.contains(&old), "{after}");
    assert!(after.contains("A new code was drawn"), "{after}");
    // Nobody else is told of it.
    let port = desk.book;
    let head =
        format!("GET /-desk/codes HTTP/1.1\r\nHost: 127.0.0.1:{port}\r\nConnection: close\r\n\r\n");
    let stranger = asks_without(port, &head);
    assert!((400..500).contains(&stranger.status) && !stranger.text().contains(&new));
}

#[test]
fn the_papers_of_a_puppy_are_made_with_its_gaps_said_and_downloaded_whole() {
    let (kennel, desk) = published();
    let path = "/-desk/litters/spring/puppies/moss/handover";
    let page = get(desk.book, path);
    let gaps: Vec<String> = links(&page.text())
        .into_iter()
        .filter(|link| link.contains("kind=") || link.contains("/form/"))
        .collect();
    assert!(gaps.len() > 2, "{}", page.text());
    for gap in gaps {
        assert_eq!(get(desk.book, &gap).status, 200, "{gap} leads to a field");
    }
    assert!(
        !kennel.at("private/handover").exists(),
        "looking makes nothing"
    );
    let form = sent_to(&page, path);
    // Without the word that gaps are known there are none.
    let refused = form.send(&desk, "");
    assert_eq!(refused.status, 409, "{}", refused.text());
    assert!(refused.text().contains("No papers were made"));
    let made = form.and("anyway", "yes").send(&desk, "");
    assert_eq!(made.status, 200, "{}", made.text());
    assert!(
        made.text().contains("The papers were made"),
        "{}",
        made.text()
    );
    let names = downloads(
        &desk,
        &kennel,
        &made.text(),
        "/-desk/papers/",
        "handover/spring-moss",
    );
    for ending in ["pdf", "csv", "ics", "json", "html"] {
        let is_there = names
            .iter()
            .any(|name| name.ends_with(&format!(".{ending}")));
        assert!(is_there, "{ending}: {names:?}");
    }
    // A puppy that died has none.
    let dead = get(desk.book, "/-desk/litters/spring/puppies/ash/handover");
    assert!(
        dead.text().contains("It is no longer alive"),
        "{}",
        dead.text()
    );
    let none = post(
        desk.book,
        "/-desk/litters/spring/puppies/ash/handover",
        &[
            ("token", &sent_to(&page, path).value("token")),
            ("anyway", "yes"),
        ],
    );
    assert_eq!(none.status, 404);
    for away in ["..%2f..%2fcodes.yaml", "%2e%2e", "..", "moss-page.html%00"] {
        let answer = get(desk.book, &format!("/-desk/papers/spring-moss/{away}"));
        assert!(
            answer.status == 404 || answer.status == 400,
            "{away}: {}",
            answer.status
        );
    }
}

#[test]
fn all_records_are_exported_and_downloaded_whole() {
    let (kennel, desk) = published();
    let page = get(desk.book, "/-desk/export");
    assert!(
        !kennel.at("private/export").exists(),
        "looking makes nothing"
    );
    let made = sent_to(&page, "/-desk/export").send(&desk, "");
    assert_eq!(made.status, 200, "{}", made.text());
    let names = downloads(&desk, &kennel, &made.text(), "/-desk/export/", "export");
    assert!(
        names.len() > 5 && names.iter().any(|name| name.ends_with(".json")),
        "{names:?}"
    );
    // The same that the command makes.
    let other = Kennel::empty();
    for (file, bytes) in crate::support::tree(&kennel.content()) {
        other.write_bytes(&file, &bytes);
    }
    other.run(&["export"]).ends_with(0);
    for name in &names {
        let own = fs::read(kennel.at("private/export").join(name)).unwrap();
        let command = fs::read(other.at("private/export").join(name)).unwrap();
        assert!(own == command, "{name}");
    }
}
