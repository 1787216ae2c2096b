//! Requests that no browser of the keeper's would send, and forms filled in with anything.
//!
//! In: random requests, the same every time. Out: no answer that the program broke off, nothing
//! read that is not the desk's, nothing written but by whoever has cookie and token, and records
//! without an error whatever was typed. A slice with all tests, more with `REQUESTS=100000`.

use crate::support::desk::{Answer, Desk, asks, asks_without, get};
use crate::support::dice::Dice;
use crate::support::forms::{Form, links};
use crate::support::{Kennel, tree};
use std::collections::BTreeSet;
use std::fs;
use std::io::{Read, Write};
use std::net::TcpStream;

/// What is put into paths, heads and fields.
const PIECES: &[&str] = &[
    "",
    "/",
    "..",
    "../..",
    "%2e%2e",
    "%2f",
    "%00",
    "\\",
    "-desk",
    "form",
    "text",
    "today",
    "undo",
    "litters",
    "spring",
    "moss",
    "dogs",
    "juno",
    "owners.yaml",
    "kennel.yaml",
    "codes.yaml",
    "signing-keys.json",
    "UNSEEN",
    "secret.html",
    "?at=",
    "?at=puppies.0",
    "at=..",
    "&",
    "=",
    "puppies.99999999999999999999",
    "🐕",
    "ä",
    "\u{202e}",
    "<script>",
    "'\"",
    "0",
    "-1",
    "1e309",
    "99999999999999999999",
    "2026-02-30",
    "2026-04-16",
    "{{7*7}}",
    "{% include \"x\" %}",
    "!!x",
    "&a",
    "*a",
    "[",
    "{",
    "- ",
    ": ",
    "#",
    "\t",
    "\n",
    "\r\n",
    "---",
    "NaN",
    "null",
    "~",
    "yes",
    "451 g",
    "C:\\",
    "con",
    "aux.yaml",
    "a/b",
    "=cmd|'/c calc'!A0",
];

const METHODS: &[&str] = &[
    "GET", "GET", "GET", "HEAD", "POST", "POST", "PUT", "DELETE", "OPTIONS", "PATCH", "TRACE",
    "CONNECT", "get", "BREW",
];

fn text(dice: &mut Dice) -> String {
    let count = 1 + dice.below(4);
    (0..count).map(|_| *dice.one_of(PIECES)).collect()
}

/// Something that can stand in the first line of a request.
fn path(dice: &mut Dice, known: &[String]) -> String {
    let begin = if dice.below(2) == 0 {
        dice.one_of(known).clone()
    } else {
        "/".to_owned()
    };
    let rest: String = (0..dice.below(3)).map(|_| text(dice)).collect();
    let whole = begin + &rest;
    whole
        .chars()
        .filter(|letter| !letter.is_whitespace())
        .collect()
}

fn head(dice: &mut Dice, port: u16, known: &[String]) -> String {
    let method = *dice.one_of(METHODS);
    let path = path(dice, known);
    let host = match dice.below(6) {
        0 => "evil.example".to_owned(),
        1 => format!("127.0.0.1:{}", port.wrapping_add(1)),
        _ => format!("127.0.0.1:{port}"),
    };
    let mut lines = format!("{method} {path} HTTP/1.1\r\nHost: {host}\r\n");
    for _ in 0..dice.below(3) {
        let value = text(dice).replace(['\r', '\n', '\0'], " ");
        let name = *dice.one_of(&[
            "Origin",
            "Referer",
            "Accept",
            "Cookie",
            "Range",
            "X-Forwarded-For",
        ]);
        lines += &format!("{name}: {value}\r\n");
    }
    lines
}

fn with_body(dice: &mut Dice, head: &str) -> String {
    let pairs: Vec<String> = (0..dice.below(5))
        .map(|_| format!("{}={}", text(dice), text(dice)))
        .collect();
    let body = pairs.join("&");
    let kind = *dice.one_of(&[
        "application/x-www-form-urlencoded",
        "application/json",
        "multipart/form-data; boundary=x",
        "text/plain",
    ]);
    format!(
        "{head}Content-Type: {kind}\r\nContent-Length: {}\r\nConnection: close\r\n\r\n{body}",
        body.len()
    )
}

/// The pages that can be reached by links.
fn pages(desk: &Desk) -> Vec<String> {
    let mut known = BTreeSet::from(["/".to_owned(), "/-desk/litters".to_owned()]);
    let mut open: Vec<String> = known.iter().cloned().collect();
    while let Some(at) = open.pop().filter(|_| known.len() < 250) {
        let folder = &at[..=at.rfind('/').unwrap()];
        for link in links(&get(desk.book, &at).text()) {
            let link = link.split('#').next().unwrap();
            let to = match link {
                "" => continue,
                _ if link.contains(':') => continue,
                _ if link.starts_with('/') => link.to_owned(),
                _ => format!("{folder}{link}"),
            };
            if !to.contains("..") && known.insert(to.clone()) {
                open.push(to);
            }
        }
    }
    known.into_iter().collect()
}

/// What a form does beside recording: it is sent by a keeper who wants that.
const BESIDE_RECORDS: &[&str] = &[
    "/-desk/kennel",
    "/-desk/publish",
    "/-desk/backup",
    "/-desk/restore",
    "/-desk/export",
    "/-desk/codes",
    "/-desk/end",
    "/-desk/open",
];

#[track_caller]
fn whole(answer: &Answer, what: &str) {
    let text = answer.text();
    assert!(answer.status != 500, "{what}: {text}");
    assert!(
        !text.contains("UNSEEN BY ALL") && !text.contains("root:x"),
        "{what}"
    );
}

#[test]
fn random_requests_read_nothing_write_nothing_and_break_nothing() {
    let number: usize =
        std::env::var("REQUESTS").map_or(1_500, |number| number.parse().expect("a number"));
    let kennel = Kennel::base();
    let desk = Desk::of(kennel.path());
    fs::write(kennel.at("secret.html"), "UNSEEN BY ALL").unwrap();
    fs::write(kennel.at("content/UNSEEN"), "UNSEEN BY ALL").unwrap();
    let known = pages(&desk);
    assert!(known.len() > 60, "{known:?}");
    let before = tree(&kennel.content());
    let mut dice = Dice(7);
    let (mut strangers, mut lookers, mut forgers) = (0, 0, 0);
    for _ in 0..number {
        let port = *dice.one_of(&[desk.site, desk.book]);
        let head = head(&mut dice, port, &known);
        match dice.below(4) {
            0 => {
                let answer = asks_without(port, &with_body(&mut dice, &head));
                whole(&answer, &head);
                assert!(
                    answer.status == 0 || (400..500).contains(&answer.status),
                    "a stranger is answered {}: {head}",
                    answer.status
                );
                strangers += 1;
            }
            1 => {
                whole(
                    &asks(port, &format!("{head}Connection: close\r\n\r\n")),
                    &head,
                );
                lookers += 1;
            }
            2 => {
                let answer = asks(port, &with_body(&mut dice, &head));
                whole(&answer, &head);
                forgers += usize::from(head.starts_with("POST") && answer.status >= 400);
            }
            _ => {
                let junk: Vec<u8> = (0..dice.below(300))
                    .map(|_| u8::try_from(dice.below(256)).unwrap())
                    .collect();
                let mut stream = TcpStream::connect(("127.0.0.1", port)).unwrap();
                let _ = stream.write_all(&junk);
                let _ = stream.shutdown(std::net::Shutdown::Write);
                let _ = stream.read_to_end(&mut Vec::new());
            }
        }
    }
    assert!(
        strangers > number / 8 && lookers > number / 8 && forgers > number / 60,
        "{strangers} {lookers} {forgers}"
    );
    assert!(tree(&kennel.content()) == before, "something was written");
    fs::remove_file(kennel.at("content/UNSEEN")).unwrap();
    anything_typed(&desk, &kennel, &known, &mut dice, number / 15);
    assert_eq!(get(desk.book, "/-desk/litters").status, 200, "it goes on");
}

/// Real forms with anything in their fields: what would be an error is not recorded.
fn anything_typed(desk: &Desk, kennel: &Kennel, known: &[String], dice: &mut Dice, number: usize) {
    let (mut recorded, mut refused) = (0, 0);
    while recorded + refused < number {
        let at = dice.one_of(known);
        let page = get(desk.book, at).text();
        let forms: Vec<Form> = Form::all(&page)
            .into_iter()
            .filter(|form| {
                let is_beside = |begin: &&str| form.action.starts_with(*begin);
                !form.value("token").is_empty()
                    && !BESIDE_RECORDS.iter().any(is_beside)
                    && !form.action.ends_with("/handover")
            })
            .collect();
        if forms.is_empty() {
            continue;
        }
        let mut form = dice.one_of(&forms).clone();
        for field in form.fields.iter_mut().filter(|field| field.name != "token") {
            if dice.below(3) == 0 {
                field.value = text(dice);
            }
        }
        let act = *dice.one_of(&["", "save", "add", "out", "up", "take-out", "record", "go"]);
        let before = kennel.run(&["inspect"]).err;
        let answer = form.send(desk, act);
        whole(&answer, &format!("{at} {act} {form:?}"));
        match answer.status {
            303 => {
                recorded += 1;
                let inspected = kennel.run(&["inspect"]);
                assert!(
                    inspected.code == Some(0),
                    "{at}, {act}, {form:?}\n{}\n{before}",
                    inspected.err
                );
            }
            _ => refused += 1,
        }
    }
    assert!(recorded > 0 && refused > 0, "{recorded} {refused}");
    kennel.run(&["inspect"]).ends_with(0);
}

/// A body that never ends is cut off early, whether it says so before or not.
#[test]
fn a_body_of_ten_gigabytes_is_not_taken() {
    const BODY: u64 = 10_000_000_000;
    let kennel = Kennel::base();
    let desk = Desk::of(kennel.path());
    let most = |what: &str| {
        let status = fs::read_to_string(format!("/proc/{}/status", desk.id())).unwrap();
        let line = status
            .lines()
            .find(|line| line.starts_with("VmHWM"))
            .unwrap();
        let kilobytes: u64 = line.split_whitespace().nth(1).unwrap().parse().unwrap();
        assert!(kilobytes < 600_000, "{what}: {kilobytes} kB");
        kilobytes
    };
    let before = most("before");
    let port = desk.book;
    let cookie = desk.cookie();
    for path in [
        "/-desk/waiting",
        "/-desk/litters/spring/pictures",
        "/-desk/publish",
    ] {
        for kind in [
            "application/x-www-form-urlencoded",
            "multipart/form-data; boundary=x",
        ] {
            for length in [
                format!("Content-Length: {BODY}"),
                "Transfer-Encoding: chunked".to_owned(),
            ] {
                for cookie in ["", &cookie] {
                    let mut stream = TcpStream::connect(("127.0.0.1", port)).unwrap();
                    let head = format!(
                        "POST {path} HTTP/1.1\r\nHost: 127.0.0.1:{port}\r\nOrigin: \
                         http://127.0.0.1:{port}\r\n{cookie}Content-Type: {kind}\r\n{length}\r\n\r\n"
                    );
                    stream.write_all(head.as_bytes()).unwrap();
                    let data = vec![b'a'; 65_536];
                    let chunk = [b"10000\r\n", &data[..], b"\r\n"].concat();
                    let piece = if length.starts_with("Transfer") {
                        &chunk
                    } else {
                        &data
                    };
                    let mut sent = 0_u64;
                    while sent < BODY && stream.write_all(piece).is_ok() {
                        sent += 65_536;
                    }
                    assert!(
                        sent < 320_000_000,
                        "{path}, {kind}: {sent} bytes were taken"
                    );
                }
            }
        }
    }
    let after = most("after");
    assert!(
        after - before < 30_000,
        "{before} kB before and {after} kB after"
    );
    assert_eq!(get(port, "/-desk/litters").status, 200, "it goes on");
}
