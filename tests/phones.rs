//! Phones at the box, spoken to as a phone does: what is paired, seen and taken; what is refused;
//! what stands there after a restart.
//!
//! In: a kennel made for one test, the desk itself, and the Rust side of the sealed channel in the
//! place of a phone (`tests/browser/phone/` has the page in a browser).

use crate::support::desk::{Answer, Desk, asks_without, get};
use crate::support::forms::{Form, post, undo};
use crate::support::{Kennel, tree};
use base64::Engine;
use litterfolio::sealing::channel::{Channel, Direction, Name};
use litterfolio::sealing::code::AccessCode;
use serde_json::{Value, json};
use sha2::{Digest, Sha256};
use std::fs;
use std::io::{Read, Write};
use std::net::TcpStream;
use std::time::{Duration, Instant};

const WEIGHTS: &str = "litters/spring/weights.yaml";
const HEALTH: &str = "litters/spring/health.yaml";
const PAGE: &str = "/-desk/phones";

/// A kennel with a litter of two weeks, a family and a vet, each with a word of its own.
fn kennel() -> Kennel {
    let kennel = Kennel::base();
    for (file, text) in [
        (
            "kennel.yaml",
            "name: Tarnside\nbreed: Scottish Terrier\ncontact: { keeper: Canary Harrow, email: \
             canary@tarnside.example, phone: \"+44 1632 960001\" }\ncountry: GB\ntime_zone: \
             Europe/London\nas_of: 2026-04-16\n",
        ),
        (
            "litters/spring/litter.yaml",
            "name: Spring 2026\ndam: juno\nsire: corvin\nmated: [2026-01-28]\nremarks: canary of \
             the litter\nbirth: { on: 2026-04-01, how: natural }\npuppies:\n  - { id: moss, \
             ribbon: green, sex: female, order: 1, weight: 224 g, offer: reserved, remarks: canary \
             of moss, chip: \"941000020000013\" }\n  - { id: wren, ribbon: blue, sex: male, \
             order: 2, weight: 219 g, offer: available }\n",
        ),
        (
            WEIGHTS,
            "- at: 2026-04-15 08:00\n  by: Canary by\n  moss: 452 g\n  wren: 446 g\n",
        ),
        (
            "owners.yaml",
            "families:\n  - id: lund\n    name: Canary Lund\n    email: \
             lund-canary@family.example\n    phone: \"+44 1632 960009\"\n    takes:\n      - { \
             litter: spring, puppy: moss, reserved: 2026-04-10 }\n",
        ),
    ] {
        fs::write(kennel.content().join(file), text).unwrap();
    }
    for file in ["health.yaml", "notes/first-night.md"] {
        fs::remove_file(kennel.content().join("litters/spring").join(file)).unwrap();
    }
    kennel.without_pages();
    kennel
}

/// Where there is no local network, the page of phones has no form: the token is another page's.
fn token(desk: &Desk) -> String {
    Form::all(&get(desk.book, "/-desk/kennel").text())[0].value("token")
}

#[track_caller]
fn asked(desk: &Desk, pairs: &[(&str, &str)]) -> Answer {
    let token = token(desk);
    let pairs = [&[("token", token.as_str())], pairs].concat();
    let answer = post(desk.book, PAGE, &pairs);
    assert_eq!(answer.status, 303, "{}", answer.text());
    answer
}

/// Begins to listen on this machine alone; the port.
fn listens(desk: &Desk) -> u16 {
    asked(desk, &[("act", "open"), ("address", "127.0.0.1")]);
    let page = get(desk.book, PAGE).text();
    let (_, rest) = page.split_once("http://127.0.0.1:").unwrap();
    rest.split_once('/').unwrap().0.parse().unwrap()
}

/// Has a code shown for a phone.
fn code(desk: &Desk, name: &str) -> AccessCode {
    asked(desk, &[("act", "code"), ("name", name)]);
    let page = get(desk.book, PAGE).text();
    let (_, rest) = page.split_once("class=\"code\">").unwrap();
    rest.split_once('<').unwrap().0.parse().unwrap()
}

/// A phone.
struct Phone {
    port: u16,
    code: AccessCode,
    id: Name,
    sitting: Name,
    number: u64,
    /// All that went over the network, both ways.
    heard: Vec<u8>,
}

impl Phone {
    fn new(port: u16, code: &AccessCode, id: u8) -> Self {
        Self {
            port,
            code: code.clone(),
            id: [id; 16],
            sitting: [7; 16],
            number: 0,
            heard: Vec::new(),
        }
    }

    fn run(&self) -> Name {
        let run = clear(self.port, "GET /run", b"").body;
        let hex = String::from_utf8(run).unwrap();
        let bytes = (0..16).map(|at| u8::from_str_radix(&hex[2 * at..2 * at + 2], 16).unwrap());
        bytes.collect::<Vec<_>>().try_into().unwrap()
    }

    /// The bytes of the next request.
    fn request(&mut self, said: &Value) -> (Channel, Vec<u8>) {
        let channel = Channel::new(&self.code, &self.id, &self.run(), &self.sitting);
        let message = serde_json::to_vec(said).unwrap();
        let sealed = channel
            .seal(Direction::ToDesk, self.number, &message)
            .unwrap();
        let head = [&self.id[..], &self.sitting, &self.number.to_be_bytes()].concat();
        (channel, [head, sealed].concat())
    }

    /// Says something; the answer, or the status of a refusal.
    fn says(&mut self, said: &Value) -> Result<Value, u16> {
        let (channel, request) = self.request(said);
        let answer = clear(self.port, "POST /say", &request);
        self.heard.extend_from_slice(&request);
        self.heard.extend_from_slice(answer.head.as_bytes());
        self.heard.extend_from_slice(&answer.body);
        let number = self.number;
        self.number += 1;
        if answer.status != 200 {
            return Err(answer.status);
        }
        let opened = channel
            .open(Direction::ToPhone, number, &answer.body)
            .unwrap();
        Ok(serde_json::from_slice(&opened).unwrap())
    }

    /// Sends entries; what became of them.
    #[track_caller]
    fn sends(&mut self, entries: &[Value]) -> Vec<(String, String)> {
        let told = self.says(&json!({ "entries": entries })).unwrap();
        let entries = told["entries"].as_array().unwrap();
        let text = |value: &Value| value.as_str().unwrap().to_owned();
        entries
            .iter()
            .map(|entry| (text(&entry["became"]), text(&entry["words"])))
            .collect()
    }
}

/// A request in the clear, to the listener.
fn clear(port: u16, what: &str, body: &[u8]) -> Answer {
    let head = format!(
        "{what} HTTP/1.1\r\nHost: 127.0.0.1:{port}\r\nContent-Length: {}\r\nConnection: \
         close\r\n\r\n",
        body.len()
    );
    asks_raw(port, &[head.as_bytes(), body].concat())
}

fn asks_raw(port: u16, bytes: &[u8]) -> Answer {
    let mut stream = TcpStream::connect(("127.0.0.1", port)).unwrap();
    stream
        .set_read_timeout(Some(Duration::from_mins(1)))
        .unwrap();
    stream.write_all(bytes).unwrap();
    let mut all = Vec::new();
    let _ = stream.read_to_end(&mut all);
    let end = all.windows(4).position(|four| four == b"\r\n\r\n").unwrap();
    let head = String::from_utf8_lossy(&all[..end]).to_lowercase();
    Answer {
        status: head.split(' ').nth(1).unwrap().parse().unwrap(),
        head,
        body: all[end + 4..].to_vec(),
    }
}

fn entry(id: u64, act: &str, fields: &[(&str, &str)]) -> Value {
    json!({
        "id": format!("{id:024x}"),
        "act": act,
        "litter": "spring",
        "words": format!("entry {id} as the phone shows it"),
        "fields": fields,
    })
}

fn weight(id: u64, puppy: &str, at: &str, weight: &str) -> Value {
    let fields = [("puppy", puppy), ("at", at), ("weight", weight)];
    entry(id, "weigh", &fields)
}

fn became(told: &[(String, String)]) -> Vec<&str> {
    told.iter().map(|(became, _)| became.as_str()).collect()
}

#[test]
fn nobody_listens_before_the_keeper_asks_and_after_the_keeper_ends_it() {
    let kennel = kennel();
    let desk = Desk::of(kennel.path());
    let page = get(desk.book, PAGE).text();
    assert!(page.contains("Phones are not listened to") || page.contains("no local network"));
    let token = token(&desk);
    for address in ["0.0.0.0", "8.8.8.8", "::", "169.254.1.1", "box", ""] {
        let pairs = [
            ("token", token.as_str()),
            ("act", "open"),
            ("address", address),
        ];
        assert_eq!(post(desk.book, PAGE, &pairs).status, 422, "{address}");
    }
    assert_eq!(
        post(
            desk.book,
            PAGE,
            &[("act", "open"), ("address", "127.0.0.1")]
        )
        .status,
        403
    );
    let port = listens(&desk);
    assert_eq!(clear(port, "GET /", b"").status, 200);
    asked(&desk, &[("act", "shut")]);
    let waited = Instant::now();
    while TcpStream::connect(("127.0.0.1", port)).is_ok() {
        assert!(waited.elapsed() < Duration::from_secs(20), "it listens on");
        std::thread::sleep(Duration::from_millis(50));
    }
}

#[test]
fn a_button_that_is_pressed_twice_leads_to_no_other_port() {
    let kennel = kennel();
    with_own_port(&kennel);
    let (desk, mut phone) = connected(&kennel);
    assert_eq!(listens(&desk), phone.port);
    assert!(phone.says(&json!({})).is_ok(), "the same run goes on");
}

#[test]
fn a_code_pairs_one_phone_which_sees_the_litters_of_now_and_nothing_private() {
    let kennel = kennel();
    let desk = Desk::of(kennel.path());
    let port = listens(&desk);
    let code = code(&desk, "Kitchen");
    let mut phone = Phone::new(port, &code, 1);
    let told = phone.says(&json!({})).unwrap();
    assert_eq!(told["name"], "Kitchen");
    let view = &told["view"];
    let litter = &view["litters"][0];
    assert_eq!(litter["name"], "Spring 2026");
    assert_eq!(litter["puppies"][0]["id"], "moss");
    assert_eq!(litter["puppies"][0]["last"]["shown"], "452 g");
    assert!(told["now"].as_str().unwrap().starts_with("2026-04-16T"));
    let shown = told.to_string().to_lowercase();
    for word in [
        "canary",
        "lund",
        "96000",
        "example",
        "94100",
        &code.to_string().to_lowercase(),
    ] {
        assert!(!shown.contains(word), "{word} in {shown}");
    }
    // The code was used up: another phone has nothing from it, and this one goes on.
    assert_eq!(Phone::new(port, &code, 2).says(&json!({})), Err(403));
    assert!(phone.says(&json!({})).is_ok());
    assert!(!get(desk.book, PAGE).text().contains("class=\"code\""));
}

#[test]
fn what_a_phone_adds_is_a_change_with_its_name_and_can_be_taken_back() {
    let kennel = kennel();
    let before = tree(&kennel.content());
    let (desk, mut phone) = connected(&kennel);
    let all = [
        weight(1, "moss", "2026-04-16 00:01", "461 g"),
        weight(2, "wren", "2026-04-16 00:01", "455 g"),
        weight(3, "dam", "2026-04-16 00:01", "9.2 kg"),
        entry(
            4,
            "tend",
            &[
                ("kind", "temperature"),
                ("at", "2026-04-16 00:02"),
                ("moss", "38.2 °C"),
            ],
        ),
        entry(
            5,
            "tend",
            &[
                ("kind", "feed"),
                ("at", "2026-04-16 00:03"),
                ("for", "wren"),
                ("what", "milk replacer"),
                ("amount", "3.5 ml"),
            ],
        ),
        entry(
            6,
            "remark",
            &[
                ("title", "Sleeps well"),
                ("text", "Sleeps well"),
                ("date", "2026-04-16"),
                ("audience", "everyone"),
                ("puppies", "moss"),
            ],
        ),
    ];
    let told = phone.sends(&all);
    assert_eq!(became(&told), ["written"; 6], "{told:?}");
    let weights = kennel.text(WEIGHTS);
    assert!(
        weights.ends_with("- at: 2026-04-16 00:01\n  moss: 461 g\n  wren: 455 g\n  dam: 9.2 kg\n"),
        "one weigh-in: {weights}"
    );
    let health = kennel.text(HEALTH);
    assert!(
        health.contains("38.2 °C") && health.contains("3.5 ml"),
        "{health}"
    );
    let note = kennel.text("litters/spring/notes/sleeps-well.md");
    assert!(
        note.contains("audience: keeper") && !note.contains("everyone"),
        "{note}"
    );
    let history = get(desk.book, "/-desk/history").text();
    assert_eq!(history.matches("phone, Kitchen").count(), 6);
    // Said again, whether answered or not, nothing is written twice.
    assert_eq!(became(&phone.sends(&all)), ["already"; 6]);
    for number in (1..=6).rev() {
        assert_eq!(undo(&desk, &number.to_string()).status, 303);
    }
    assert_eq!(tree(&kennel.content()), before);
}

/// Gives a kennel a port that no other test listens at while its desk is begun anew.
fn with_own_port(kennel: &Kennel) {
    let free = std::net::TcpListener::bind("127.0.0.1:0").unwrap();
    let port = free.local_addr().unwrap().port();
    fs::create_dir_all(kennel.at(".litterfolio/phones")).unwrap();
    let kept = json!({ "phones": [], "taken": [], "questions": [], "port": port });
    fs::write(
        kennel.at(".litterfolio/phones/phones.json"),
        kept.to_string(),
    )
    .unwrap();
}

fn connected(kennel: &Kennel) -> (Desk, Phone) {
    let desk = Desk::of(kennel.path());
    let port = listens(&desk);
    let code = code(&desk, "Kitchen");
    let mut phone = Phone::new(port, &code, 1);
    phone.says(&json!({})).unwrap();
    (desk, phone)
}

#[test]
fn after_a_kill_a_phone_goes_on_and_nothing_is_written_twice() {
    let kennel = kennel();
    with_own_port(&kennel);
    let (mut desk, mut phone) = connected(&kennel);
    let one = weight(1, "moss", "2026-04-16 00:01", "461 g");
    let fed = entry(
        2,
        "tend",
        &[
            ("kind", "feed"),
            ("at", "2026-04-16 00:03"),
            ("for", "wren"),
            ("what", "milk replacer"),
        ],
    );
    assert_eq!(
        became(&phone.sends(&[one.clone(), fed.clone()])),
        ["written"; 2]
    );
    let (_, old) = phone.request(&json!({}));
    desk.ended_by("-KILL");
    drop(desk);
    // As a kill between writing and noting leaves it: the history alone knows of the feed.
    let place = kennel.at(".litterfolio/phones/phones.json");
    let kept = fs::read_to_string(&place).unwrap();
    let id = format!("\"{:024x}\"", 2);
    assert!(kept.contains(&format!(",{id}")), "{kept}");
    fs::write(&place, kept.replace(&format!(",{id}"), "")).unwrap();
    let written = (kennel.text(WEIGHTS), kennel.text(HEALTH));
    let desk = Desk::of(kennel.path());
    let port = listens(&desk);
    assert_eq!(port, phone.port, "the same address as before");
    assert_eq!(
        clear(port, "POST /say", &old).status,
        403,
        "of an earlier run"
    );
    phone.sitting = [8; 16];
    phone.number = 0;
    assert_eq!(became(&phone.sends(&[one, fed])), ["already"; 2]);
    assert_eq!((kennel.text(WEIGHTS), kennel.text(HEALTH)), written);
}

#[test]
fn what_cannot_be_written_waits_as_a_question_with_both() {
    let kennel = kennel();
    let (desk, mut phone) = connected(&kennel);
    let told = phone.sends(&[
        weight(1, "moss", "2026-04-15 08:00", "425 g"),
        weight(2, "fern", "2026-04-16 00:01", "425 g"),
        weight(3, "wren", "2026-04-15 08:00", "446 g"),
        entry(
            4,
            "tend",
            &[
                ("kind", "feed"),
                ("at", "2026-04-16 00:03"),
                ("for", "fern"),
                ("what", "milk"),
            ],
        ),
        entry(
            5,
            "tend",
            &[
                ("kind", "chip"),
                ("on", "2026-04-16"),
                ("wren", "941000020000097"),
            ],
        ),
        weight(6, "wren", "2026-04-18 08:00", "446 g"),
    ]);
    let expected = [
        "question", "question", "already", "question", "question", "question",
    ];
    assert_eq!(became(&told), expected, "{told:?}");
    assert!(told[0].1.contains("452 g"), "{told:?}");
    let page = get(desk.book, PAGE).text();
    for id in [1, 2, 4, 5, 6] {
        assert!(
            page.contains(&format!("entry {id} as the phone shows it")),
            "{id}"
        );
    }
    assert!(
        page.contains("452 g") && page.contains("no puppy “fern”"),
        "{page}"
    );
    // The keeper takes what the phone says, and leaves the others.
    let first = format!("{:024x}", 1);
    let answer = asked(
        &desk,
        &[("act", "decide"), ("entry", &first), ("take", "yes")],
    );
    assert!(answer.header("location").unwrap().contains("saved="));
    assert!(
        kennel.text(WEIGHTS).contains("moss: 425 g"),
        "{}",
        kennel.text(WEIGHTS)
    );
    let second = format!("{:024x}", 2);
    let pairs = [
        ("token", &*token(&desk)),
        ("act", "decide"),
        ("entry", &second),
        ("take", "yes"),
    ];
    assert_eq!(
        post(desk.book, PAGE, &pairs).status,
        422,
        "there is still no fern"
    );
    assert!(get(desk.book, PAGE).text().contains("entry 2 as"));
    asked(
        &desk,
        &[("act", "decide"), ("entry", &second), ("leave", "yes")],
    );
    let page = get(desk.book, PAGE).text();
    assert!(!page.contains("entry 1 as") && !page.contains("entry 2 as"));
    assert!(page.contains("entry 4 as"));
}

#[test]
fn a_value_that_cannot_be_written_is_put_right_at_the_desk_or_dropped() {
    let kennel = kennel();
    let (desk, mut phone) = connected(&kennel);
    let warm = |id, value| {
        let fields = [
            ("kind", "temperature"),
            ("at", "2026-04-16 00:02"),
            ("moss", value),
            ("puppy", "moss"),
        ];
        entry(id, "tend", &fields)
    };
    let told = phone.sends(&[
        warm(1, "4.05"),
        warm(2, "hot"),
        weight(3, "fern", "2026-04-16 00:01", "425 g"),
    ]);
    assert_eq!(became(&told), ["question"; 3], "{told:?}");
    let page = get(desk.book, PAGE).text();
    assert!(page.contains("value=\"4.05\"") && page.contains("fern: not in this litter"));
    let decide = |id: u8, more: &[(&str, &str)]| {
        let (token, id) = (token(&desk), format!("{id:024x}"));
        let own = [("token", token.as_str()), ("act", "decide"), ("entry", &id)];
        post(desk.book, PAGE, &[&own[..], more].concat())
    };
    // As it is, it cannot be written; what was typed instead comes back.
    let again = decide(1, &[("value.2", "405"), ("take", "yes")]);
    assert_eq!(again.status, 422);
    assert!(again.text().contains("value=\"405\""), "{}", again.text());
    assert_eq!(
        decide(1, &[("value.2", "40.5 °C"), ("take", "yes")]).status,
        303
    );
    assert!(kennel.text(HEALTH).contains("40.5 °C"));
    assert_eq!(decide(2, &[("leave", "yes")]).status, 303);
    assert!(!kennel.text(HEALTH).contains("hot"));
    // The puppy has another name now.
    assert_eq!(
        decide(3, &[("value.0", "wren"), ("take", "yes")]).status,
        303
    );
    assert!(kennel.text(WEIGHTS).contains("wren: 425 g"));
    assert!(!get(desk.book, PAGE).text().contains("<h2>Questions"));
}

#[test]
fn records_with_problems_make_a_phone_wait_and_lose_nothing() {
    let kennel = kennel();
    let (desk, mut phone) = connected(&kennel);
    let good = kennel.text("litters/spring/litter.yaml");
    kennel.write("litters/spring/litter.yaml", "name: [");
    let both = [
        weight(1, "moss", "2026-04-16 00:01", "461 g"),
        weight(2, "wren", "2026-04-16 00:01", "455 g"),
    ];
    assert_eq!(became(&phone.sends(&both)), ["later"; 2]);
    kennel.write("litters/spring/litter.yaml", &good);
    assert_eq!(became(&phone.sends(&both)), ["written"; 2]);
    drop(desk);
}

#[test]
fn a_stranger_reads_nothing_writes_nothing_and_repeats_nothing() {
    let kennel = kennel();
    let (desk, mut phone) = connected(&kennel);
    let port = phone.port;
    let (_, request) = phone.request(&json!({ "entries": [
        weight(1, "moss", "2026-04-16 00:01", "461 g"),
    ] }));
    phone.number += 1;
    assert_eq!(clear(port, "POST /say", &request).status, 200);
    let before = tree(&kennel.content());
    assert_eq!(clear(port, "POST /say", &request).status, 403, "said again");
    for at in [0, 20, 39, 40, request.len() - 1] {
        let mut changed = request.clone();
        changed[at] ^= 1;
        assert_eq!(clear(port, "POST /say", &changed).status, 403, "byte {at}");
        assert_eq!(
            clear(port, "POST /say", &request[..at]).status,
            403,
            "cut at {at}"
        );
    }
    let huge = vec![0; 400_000];
    assert!(clear(port, "POST /say", &huge).status >= 400);
    for (what, status) in [
        ("GET /-desk/today", 404),
        ("GET /../content/kennel.yaml", 404),
        ("POST /", 405),
        ("GET /say", 405),
        ("DELETE /say", 405),
    ] {
        assert_eq!(clear(port, what, b"").status, status, "{what}");
    }
    let other_name =
        format!("GET / HTTP/1.1\r\nHost: box.example:{port}\r\nConnection: close\r\n\r\n");
    assert_eq!(asks_without(port, &other_name).status, 403);
    // What went over the network holds no word of the records, and no code.
    phone
        .says(&json!({ "entries": [
        weight(2, "wren", "2026-04-16 00:01", "455 g"),
    ] }))
        .unwrap();
    let heard = String::from_utf8_lossy(&phone.heard).to_lowercase();
    let page = clear(port, "GET /", b"").text().to_lowercase();
    let code = phone.code.to_string().to_lowercase();
    for word in [
        "moss",
        "wren",
        "spring 2026",
        "tarnside",
        "461 g",
        "455 g",
        &code,
    ] {
        assert!(!heard.contains(word), "{word} was heard");
        assert!(!page.contains(word), "{word} stands in the page");
    }
    assert_ne!(tree(&kennel.content()), before, "the phone itself goes on");
    // Sent away, it has nothing any more; nor do its old requests.
    let before = tree(&kennel.content());
    let id: String = phone.id.iter().map(|byte| format!("{byte:02x}")).collect();
    asked(&desk, &[("act", "away"), ("phone", &id)]);
    assert_eq!(phone.says(&json!({})), Err(403));
    assert_eq!(tree(&kennel.content()), before);
}

#[test]
fn wrong_codes_find_nothing_and_the_desk_stays_quick() {
    let wrong: usize = std::env::var("WRONG").map_or(2_000, |most| most.parse().unwrap());
    let kennel = kennel();
    let desk = Desk::of(kennel.path());
    let port = listens(&desk);
    let right = code(&desk, "Kitchen");
    let mut seed = 1_u8;
    let mut slowest = Duration::ZERO;
    let guessed = AccessCode::generate(&mut |bytes: &mut [u8]| {
        bytes.fill_with(|| {
            seed = seed.wrapping_mul(5).wrapping_add(3);
            seed
        });
        Ok(())
    })
    .unwrap();
    let mut stranger = Phone::new(port, &guessed, 9);
    let (_, mut request) = stranger.request(&json!({}));
    for n in 0..wrong {
        request[..8].copy_from_slice(&u64::try_from(n).unwrap().to_be_bytes());
        assert_eq!(clear(port, "POST /say", &request).status, 403);
        if n % 100 == 0 {
            let begun = Instant::now();
            assert_eq!(get(desk.book, PAGE).status, 200);
            slowest = slowest.max(begun.elapsed());
        }
    }
    assert!(slowest < Duration::from_secs(2), "{slowest:?}");
    assert!(
        Phone::new(port, &right, 1).says(&json!({})).is_ok(),
        "the code still holds"
    );
}

#[test]
fn a_task_of_a_litter_that_is_not_shown_cannot_be_ticked_on_the_phone() {
    let kennel = kennel();
    // The litter is history: its tasks go on, and it is no litter of now.
    kennel.change("kennel.yaml", "2026-04-16", "2027-04-16");
    let (_desk, mut phone) = connected(&kennel);
    let view = phone.says(&json!({})).unwrap()["view"].clone();
    assert_eq!(view["litters"], json!([]), "{view}");
    for task in view["tasks"].as_array().unwrap() {
        assert_eq!(task["tick"], Value::Null, "{task}");
    }
}

#[test]
fn a_task_that_was_ticked_on_the_phone_is_gone_from_its_round() {
    let kennel = kennel();
    let (_desk, mut phone) = connected(&kennel);
    let tasks = |phone: &mut Phone| {
        let view = phone.says(&json!({})).unwrap()["view"].clone();
        let tasks = view["tasks"].as_array().unwrap().clone();
        let ticks = tasks
            .into_iter()
            .filter(|task| task["tick"]["kind"] == "worming");
        ticks.collect::<Vec<_>>()
    };
    let open = tasks(&mut phone);
    let tick = &open.first().expect("worming is due at two weeks")["tick"];
    let mut fields = vec![
        ("kind", "worming"),
        ("on", "2026-04-16"),
        ("product", "Vermisol"),
    ];
    let whom = tick["whom"].as_array().unwrap();
    fields.extend(whom.iter().map(|name| ("for", name.as_str().unwrap())));
    let told = phone.sends(&[entry(1, "tend", &fields)]);
    assert_eq!(became(&told), ["written"], "{told:?}");
    assert!(tasks(&mut phone).len() < open.len());
}

#[test]
fn the_first_page_of_the_desk_tells_of_questions_also_after_a_restart() {
    let kennel = kennel();
    fs::remove_file(kennel.at("templates/visitor/footer.html")).unwrap();
    let (desk, mut phone) = connected(&kennel);
    let first = |desk: &Desk| {
        let page = desk.waits_for(desk.book, "/", |page| page.text().contains("desk-standing"));
        page.text()
    };
    assert!(!first(&desk).contains("from a phone"));
    let told = phone.sends(&[weight(1, "moss", "2026-04-15 08:00", "425 g")]);
    assert_eq!(became(&told), ["question"]);
    drop(desk);
    let desk = Desk::of(kennel.path());
    assert!(
        first(&desk).contains("1 question from a phone."),
        "{}",
        first(&desk)
    );
    let one = format!("{:024x}", 1);
    asked(
        &desk,
        &[("act", "decide"), ("entry", &one), ("leave", "yes")],
    );
    assert!(!first(&desk).contains("from a phone"));
    assert!(kennel.text(WEIGHTS).contains("moss: 452 g"));
}

/// The kennel with a litter that is expected now.
fn whelping() -> Kennel {
    let kennel = kennel();
    kennel.write(
        "litters/spring/litter.yaml",
        "name: Spring 2026\ndam: juno\nsire: corvin\nmated: [2026-02-12]\nremarks: canary of the \
         litter\n",
    );
    fs::remove_file(kennel.content().join(WEIGHTS)).unwrap();
    fs::remove_file(kennel.content().join("owners.yaml")).unwrap();
    kennel
}

/// A further phone at a desk that listens.
fn further(desk: &Desk, port: u16, name: &str, id: u8) -> Phone {
    let code = code(desk, name);
    let mut phone = Phone::new(port, &code, id);
    phone.says(&json!({})).unwrap();
    phone
}

fn birth(id: u64, at: &str, sex: &str, more: &[(&str, &str)]) -> Value {
    let own = [("born", at), ("sex", sex), ("how", "natural")];
    entry(id, "born", &[&own[..], more].concat())
}

fn newborn(id: u64, of: (&str, &str), more: &[(&str, &str)]) -> Value {
    entry(id, "newborn", &[&[of][..], more].concat())
}

const LITTER: &str = "litters/spring/litter.yaml";

#[test]
fn a_birth_on_two_phones_stands_in_the_records_to_the_second_and_in_order() {
    let kennel = whelping();
    let before = kennel.text(LITTER);
    let (desk, mut box_) = connected(&kennel);
    let mut table = further(&desk, box_.port, "Table", 2);
    let seen = |phone: &mut Phone| {
        phone.says(&json!({})).unwrap()["view"]["litters"][0]["whelping"].clone()
    };
    assert_eq!(seen(&mut table)["how"], Value::Null);
    let first = birth(1, "2026-04-16 00:00:07", "female", &[("ribbon", "green")]);
    let third = birth(3, "2026-04-16 00:01:59", "male", &[("ribbon", "blue")]);
    assert_eq!(became(&box_.sends(&[first, third])), ["written"; 2]);
    // The second comes later, from the other phone, and stands between them; one that was born
    // before midnight comes last of all and begins the day of the litter.
    let second = birth(2, "2026-04-16 00:01:05", "male", &[("ribbon", "red")]);
    let eve = birth(4, "2026-04-15 23:58:31", "female", &[("stillborn", "yes")]);
    let told = table.sends(&[second, eve]);
    assert_eq!(became(&told), ["written"; 2], "{told:?}");
    let id = format!("{:024x}", 2);
    let told = table.sends(&[
        newborn(
            5,
            ("birth", &id),
            &[("weight", "231 g"), ("first_breath", "40 s")],
        ),
        newborn(6, ("puppy", "green"), &[("colour", "black brindle")]),
        newborn(
            7,
            ("puppy", "green"),
            &[
                ("vigour_at", "5 min"),
                ("vigour_heart", "2"),
                ("newborn_eyes", "normal"),
            ],
        ),
    ]);
    assert_eq!(became(&told), ["written"; 3], "{told:?}");
    let text = kennel.text(LITTER);
    let all: serde_yaml::Value = serde_yaml::from_str(&text).unwrap();
    assert_eq!(all["birth"]["on"], "2026-04-15", "{text}");
    assert_eq!(all["birth"]["how"], "natural");
    let mut born: Vec<_> = all["puppies"].as_sequence().unwrap().iter().collect();
    born.sort_by_key(|puppy| puppy["order"].as_u64());
    let times: Vec<_> = born
        .iter()
        .map(|puppy| puppy["born"].as_str().unwrap())
        .collect();
    let expected = [
        "23:58:31",
        "2026-04-16 00:00:07",
        "2026-04-16 00:01:05",
        "2026-04-16 00:01:59",
    ];
    assert_eq!(times, expected, "{text}");
    assert_eq!(born[0]["fate"], "stillborn");
    assert_eq!(born[1]["vigour"][0]["heart"], 2);
    assert_eq!(born[1]["newborn"]["eyes"], "normal");
    assert_eq!(born[2]["weight"], "231 g");
    // Both phones see one list, and no remark.
    for phone in [&mut box_, &mut table] {
        let whelping = seen(phone);
        assert_eq!(whelping["how"], "natural");
        let times = whelping["born"].as_array().unwrap().iter();
        let times: Vec<_> = times.map(|puppy| puppy["at"].as_str().unwrap()).collect();
        assert_eq!(times[0], "2026-04-15 23:58:31");
        assert_eq!(times[1..], expected[1..]);
        // What was looked at is told, not what was seen.
        assert_eq!(whelping["born"][1]["looked"], json!(["eyes"]));
        assert!(!whelping.to_string().contains("canary"));
    }
    for number in (1..=7).rev() {
        assert_eq!(undo(&desk, &number.to_string()).status, 303, "{number}");
    }
    assert_eq!(kennel.text(LITTER), before);
}

#[test]
fn a_birth_that_two_phones_noted_is_joined_when_it_is_equal_and_asked_about_otherwise() {
    let kennel = whelping();
    let (desk, mut box_) = connected(&kennel);
    let mut table = further(&desk, box_.port, "Table", 2);
    // One phone notes two of one minute: they are two.
    let told = box_.sends(&[
        birth(1, "2026-04-16 00:02:10", "female", &[("ribbon", "green")]),
        birth(2, "2026-04-16 00:02:50", "female", &[]),
    ]);
    assert_eq!(became(&told), ["written"; 2], "{told:?}");
    let told = table.sends(&[
        // The same ribbon in the same minute: joined, and the weight is added to it.
        birth(
            3,
            "2026-04-16 00:02:31",
            "female",
            &[("ribbon", "green"), ("weight", "231 g")],
        ),
        // Another ribbon is another puppy.
        birth(5, "2026-04-16 00:02:40", "female", &[("ribbon", "red")]),
        // A puppy that the phone showed when it was pressed is another one.
        birth(
            16,
            "2026-04-16 00:02:49",
            "female",
            &[("seen", "green"), ("seen", "puppy-2")],
        ),
        // Nobody can tell which: asked.
        birth(6, "2026-04-16 00:03:20", "male", &[]),
        newborn(
            7,
            ("birth", &format!("{:024x}", 6)),
            &[("colour", "wheaten"), ("vigour_at", "5 min")],
        ),
        // The ribbon is worn by another, hours away: asked.
        birth(8, "2026-04-16 00:40:00", "male", &[("ribbon", "green")]),
    ]);
    let expected = [
        "written", "question", "written", "question", "question", "question",
    ];
    assert_eq!(became(&told), expected, "{told:?}");
    // The same again, without a word that is new: nothing to write.
    let mut door = further(&desk, box_.port, "Door", 3);
    let again = birth(4, "2026-04-16 00:02:10", "female", &[("weight", "231 g")]);
    assert_eq!(became(&door.sends(&[again])), ["already"]);
    let text = kennel.text(LITTER);
    assert_eq!(text.matches("id:").count(), 3, "{text}");
    assert!(
        text.contains("231 g") && text.contains("00:02:10"),
        "{text}"
    );
    assert!(told[3].1.contains("16 April 2026, 00:02:50"), "{told:?}");
    let page = get(desk.book, PAGE).text();
    assert_eq!(page.matches("It is one more puppy").count(), 3, "{page}");
    // What was looked at waits with its birth, and is written with it.
    let decide = |entry: u64, how: &str| {
        let id = format!("{entry:024x}");
        asked(&desk, &[("act", "decide"), ("entry", &id), (how, "yes")])
    };
    decide(6, "take");
    let text = kennel.text(LITTER);
    assert!(text.contains("wheaten") && text.contains("5 min"), "{text}");
    assert!(text.contains("00:03:20"), "{text}");
    // The keeper says that it is the same: what is missing is added, what stands there stays.
    decide(5, "same");
    let all: serde_yaml::Value = serde_yaml::from_str(&kennel.text(LITTER)).unwrap();
    let puppies = all["puppies"].as_sequence().unwrap();
    let second = puppies
        .iter()
        .find(|puppy| puppy["born"] == "00:02:50")
        .unwrap();
    assert_eq!(second["ribbon"], "red", "{}", kennel.text(LITTER));
    assert_eq!(puppies.len(), 4);
    // One more puppy, whose ribbon another wears: it is written without, and nothing is lost.
    decide(8, "take");
    let text = kennel.text(LITTER);
    assert!(text.contains("The phone said ribbon green."), "{text}");
    // What differs from the records is a question, too.
    let told = table.sends(&[
        newborn(9, ("puppy", "green"), &[("weight", "232 g")]),
        newborn(10, ("puppy", "green"), &[("weight", "0.231 kg")]),
        newborn(11, ("puppy", "fern"), &[("weight", "231 g")]),
        newborn(12, ("puppy", "green"), &[("owner", "somebody")]),
        entry(13, "how", &[("how", "natural")]),
        entry(14, "how", &[("how", "emergency section")]),
        birth(15, "2026-04-18 00:00:00", "male", &[]),
    ]);
    let expected = [
        "question", "already", "question", "question", "already", "question", "question",
    ];
    assert_eq!(became(&told), expected, "{told:?}");
    let page = get(desk.book, PAGE).text();
    assert!(page.contains("weight 231 g"), "{page}");
    assert!(!told[0].1.contains("231 g"), "the keeper alone: {told:?}");
}

#[test]
fn a_birth_goes_on_after_a_kill_and_what_follows_finds_its_puppy() {
    let kennel = whelping();
    with_own_port(&kennel);
    let (mut desk, mut phone) = connected(&kennel);
    let born = birth(1, "2026-04-16 00:00:07", "female", &[]);
    assert_eq!(
        became(&phone.sends(std::slice::from_ref(&born))),
        ["written"]
    );
    desk.ended_by("-KILL");
    drop(desk);
    // As a kill between writing and noting leaves it.
    fs::write(kennel.at(".litterfolio/phones/phones.json"), {
        let text = fs::read_to_string(kennel.at(".litterfolio/phones/phones.json")).unwrap();
        let mut kept: Value = serde_json::from_str(&text).unwrap();
        kept["births"] = json!([]);
        kept["taken"] = json!([]);
        kept.to_string()
    })
    .unwrap();
    let desk = Desk::of(kennel.path());
    listens(&desk);
    phone.sitting = [8; 16];
    phone.number = 0;
    let id = format!("{:024x}", 1);
    let told = phone.sends(&[
        born,
        newborn(
            2,
            ("birth", &id),
            &[("born", "2026-04-16 00:00:07"), ("weight", "231 g")],
        ),
    ]);
    assert_eq!(became(&told), ["already", "written"], "{told:?}");
    let text = kennel.text(LITTER);
    assert_eq!(text.matches("id:").count(), 1, "{text}");
    assert!(text.contains("231 g"), "{text}");
}

/// A picture of 12 megapixels, as a camera writes it.
fn large_picture() -> Vec<u8> {
    let (width, height) = (4000_u16, 3000_u16);
    let mut seed = 7_u32;
    let pixels: Vec<u8> = (0..usize::from(width) * usize::from(height) * 3)
        .map(|_| {
            seed = seed.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
            (seed >> 27) as u8 * 5
        })
        .collect();
    let mut bytes = Vec::new();
    let encoder = jpeg_encoder::Encoder::new(&mut bytes, 60);
    encoder
        .encode(&pixels, width, height, jpeg_encoder::ColorType::Rgb)
        .unwrap();
    bytes
}

fn piece(id: &str, all: &[u8], at: usize, size: usize) -> Value {
    let part = &all[at..(at + size).min(all.len())];
    let bytes = base64::prelude::BASE64_STANDARD.encode(part);
    json!({ "piece": { "id": id, "size": all.len(), "at": at, "bytes": bytes } })
}

fn picture_entry(id: &str, whose: &str, bytes: &[u8]) -> Value {
    let hash: String = Sha256::digest(bytes)
        .iter()
        .map(|byte| format!("{byte:02x}"))
        .collect();
    json!({
        "id": id,
        "act": "picture",
        "litter": "spring",
        "words": "a picture",
        "fields": [["whose", whose], ["sha256", hash], ["audience", "photos"]],
    })
}

/// Sends a picture from where the desk has it.
fn sends_pieces(phone: &mut Phone, id: &str, all: &[u8]) {
    let mut have = 0;
    while have < all.len() {
        let told = phone.says(&piece(id, all, have, 150_000)).unwrap();
        have = usize::try_from(told["piece"]["have"].as_u64().unwrap()).unwrap();
    }
}

#[test]
fn a_picture_of_twelve_megapixels_arrives_byte_for_byte_over_a_line_that_is_cut() {
    let kennel = kennel();
    let (desk, mut phone) = connected(&kennel);
    let all = large_picture();
    assert!(all.len() > 2_000_000, "{} bytes", all.len());
    let id = format!("{:024x}", 1);
    let entry = picture_entry(&id, "moss", &all);
    // Not there yet: it waits.
    assert_eq!(
        became(&phone.sends(std::slice::from_ref(&entry))),
        ["later"]
    );
    // Half of it; a piece is cut in the middle of its request, and one is said twice.
    let mut have = 0;
    while have < all.len() / 2 {
        let told = phone.says(&piece(&id, &all, have, 150_000)).unwrap();
        assert_eq!(told["view"], Value::Null, "nothing else is told meanwhile");
        have = usize::try_from(told["piece"]["have"].as_u64().unwrap()).unwrap();
    }
    let (_, request) = phone.request(&piece(&id, &all, have, 150_000));
    phone.number += 1;
    let mut cut = TcpStream::connect(("127.0.0.1", phone.port)).unwrap();
    let head = format!(
        "POST /say HTTP/1.1\r\nHost: 127.0.0.1:{}\r\nContent-Length: {}\r\n\r\n",
        phone.port,
        request.len()
    );
    cut.write_all(head.as_bytes()).unwrap();
    cut.write_all(&request[..request.len() / 2]).unwrap();
    drop(cut);
    let told = phone.says(&piece(&id, &all, 0, 150_000)).unwrap();
    assert_eq!(told["piece"]["have"], have, "it goes on where it was");
    // The page was opened anew meanwhile.
    phone.sitting = [9; 16];
    phone.number = 0;
    assert_eq!(
        became(&phone.sends(std::slice::from_ref(&entry))),
        ["later"]
    );
    sends_pieces(&mut phone, &id, &all);
    assert_eq!(
        became(&phone.sends(std::slice::from_ref(&entry))),
        ["written"]
    );
    let file = kennel.at("content/litters/spring/photos-private/moss-2026-04-16-1.jpg");
    assert!(fs::read(&file).unwrap() == all, "byte for byte");
    assert_eq!(became(&phone.sends(&[entry])), ["already"]);
    assert!(
        get(desk.book, "/-desk/history")
            .text()
            .contains("phone, Kitchen")
    );
    assert_eq!(undo(&desk, "1").status, 303);
    assert!(!file.exists());
}

#[test]
fn a_picture_that_is_none_or_of_nobody_stays_on_the_phone() {
    let kennel = kennel();
    let before = tree(&kennel.content());
    let (_desk, mut phone) = connected(&kennel);
    let good = crate::support::files::jpeg_with_metadata(90, "x");
    let cut = &good[..good.len() / 2];
    let mut told = Vec::new();
    for (id, whose, bytes) in [(1, "moss", cut), (2, "fern", &good[..])] {
        let id = format!("{id:024x}");
        sends_pieces(&mut phone, &id, bytes);
        told.extend(phone.sends(&[picture_entry(&id, whose, bytes)]));
    }
    assert_eq!(became(&told), ["unfit"; 2], "{told:?}");
    // Another picture than the one that was named, one that is too large, and pieces of others.
    let id = format!("{:024x}", 3);
    sends_pieces(&mut phone, &id, &good);
    let told = phone.sends(&[picture_entry(&id, "moss", b"another")]);
    assert_eq!(became(&told), ["later"]);
    let huge = json!({ "piece": { "id": id, "size": 60_000_000, "at": 0, "bytes": "" } });
    assert!(phone.says(&huge).unwrap()["piece"]["why"].is_string());
    assert_eq!(tree(&kennel.content()), before);
}

#[test]
fn after_a_weight_the_phone_is_told_what_the_program_found() {
    let kennel = kennel();
    let (_desk, mut phone) = connected(&kennel);
    let told = phone
        .says(&json!({ "entries": [
            weight(1, "moss", "2026-04-16 00:01", "461 g"),
            weight(2, "wren", "2026-04-16 00:01", "401 g"),
            weight(3, "dam", "2026-04-16 00:01", "9.2 kg"),
        ] }))
        .unwrap();
    let found = |at: usize| told["entries"][at]["found"].to_string();
    assert_eq!(told["entries"][0]["is_asked"], false, "{told}");
    assert_eq!(told["entries"][1]["is_asked"], true, "{told}");
    assert!(
        found(1).contains("45 g") || found(1).contains("10"),
        "{told}"
    );
    assert_ne!(found(0), "[]", "{told}");
    assert!(!told.to_string().to_lowercase().contains("canary"));
}

#[test]
fn an_answer_that_was_lost_is_given_again() {
    let kennel = kennel();
    let (desk, mut phone) = connected(&kennel);
    let said = json!({ "entries": [
        weight(1, "moss", "2026-04-16 00:01", "461 g"),
        weight(2, "wren", "2026-04-16 00:01", "401 g"),
        weight(3, "wren", "2026-04-16 00:01", "444 g"),
    ] });
    let first = phone.says(&said).unwrap();
    let became = |told: &Value| -> Vec<String> {
        let entries = told["entries"].as_array().unwrap().iter();
        entries
            .map(|entry| entry["became"].as_str().unwrap().to_owned())
            .collect()
    };
    assert_eq!(
        became(&first),
        ["written", "written", "question"],
        "{first}"
    );
    let again = phone.says(&said).unwrap();
    assert_eq!(
        became(&again),
        ["already", "already", "question"],
        "{again}"
    );
    // The warning of a weight, and why another is asked about.
    assert_eq!(first["entries"][1]["is_asked"], true, "{first}");
    for (at, key) in [(0, "found"), (1, "found"), (1, "is_asked"), (2, "words")] {
        assert_eq!(
            again["entries"][at][key], first["entries"][at][key],
            "{again}"
        );
    }
    assert_eq!(again["asked"], first["asked"]);
    // Once the keeper has decided, it is no question any more.
    let id = format!("{:024x}", 3);
    asked(&desk, &[("act", "decide"), ("entry", &id), ("take", "yes")]);
    let last = phone.says(&said).unwrap();
    assert_eq!(became(&last), ["already"; 3], "{last}");
    assert_ne!(last["entries"][1]["found"], first["entries"][1]["found"]);
    assert_eq!(last["asked"], json!([]), "{last}");
}

#[test]
fn the_last_entry_is_taken_back_from_the_phone_unless_something_rests_on_it() {
    let kennel = whelping();
    let before = kennel.text(LITTER);
    let (desk, mut phone) = connected(&kennel);
    let mut other = further(&desk, phone.port, "Table", 2);
    let back = |id: u64, of: u64| {
        let of = format!("{of:024x}");
        entry(id, "back", &[("entry", &of)])
    };
    let born = birth(1, "2026-04-16 00:00:07", "female", &[("ribbon", "green")]);
    assert_eq!(
        became(&phone.sends(std::slice::from_ref(&born))),
        ["written"]
    );
    let look = newborn(2, ("puppy", "green"), &[("weight", "231 g")]);
    assert_eq!(became(&other.sends(&[look])), ["written"]);
    // Another phone's weight rests on it; and nobody takes back what another entered.
    let told = phone.sends(&[back(3, 1)]);
    assert_eq!(became(&told), ["refused"], "{told:?}");
    assert_eq!(became(&phone.sends(&[back(4, 2)])), ["refused"]);
    assert!(kennel.text(LITTER).contains("231 g"));
    assert_eq!(became(&other.sends(&[back(5, 2)])), ["written"]);
    assert_eq!(became(&phone.sends(&[back(6, 1)])), ["written"]);
    assert_eq!(kennel.text(LITTER), before);
    // Said again, nothing is done twice; what was taken back does not come again.
    assert_eq!(became(&phone.sends(&[back(6, 1), born])), ["already"; 2]);
    // Taken back before it came: it is never written.
    let late = birth(7, "2026-04-16 00:00:09", "female", &[]);
    assert_eq!(
        became(&phone.sends(&[back(8, 7), late])),
        ["written", "already"]
    );
    assert_eq!(kennel.text(LITTER), before);
    // A question that is taken back is none any more.
    let asked = birth(9, "2026-04-19 00:00:09", "female", &[]);
    assert_eq!(
        became(&phone.sends(&[asked, back(10, 9)])),
        ["question", "written"]
    );
    assert!(!get(desk.book, PAGE).text().contains("entry 9 as"));
}
