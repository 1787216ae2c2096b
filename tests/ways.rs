//! The desk for a keeper who has never seen a record file or a command: what its pages say, where
//! they lead, and what fields take.
//!
//! In: kennels with a desk, as a browser without script sees it. Out: the visible text of pages,
//! links, records after a form was sent.

use crate::support::Kennel;
use crate::support::desk::{Desk, get};
use crate::support::forms::{Form, form, links, number, undo, upload};
use std::collections::BTreeSet;

/// What a reader sees of a page: its text without the tags, and without fields, scripts and the
/// text of files.
fn visible(page: &str) -> String {
    let mut seen = String::new();
    let mut rest = page;
    while let Some(at) = rest.find('<') {
        seen.push_str(&rest[..at]);
        seen.push(' ');
        rest = &rest[at..];
        let Some(end) = rest.find('>') else { break };
        let name = rest[1..]
            .split(|c: char| !c.is_ascii_alphanumeric())
            .next()
            .unwrap();
        let hidden = ["script", "style", "textarea", "pre"].contains(&name);
        let close = format!("</{name}>");
        rest = match rest.find(&close).filter(|_| hidden) {
            Some(at) => &rest[at + close.len()..],
            None => &rest[end + 1..],
        };
    }
    seen + rest
}

/// Where the desk says how a day is typed, and what a file is called.
const OF_FILES: [&str; 3] = [
    "Day and time, in place of the day: ",
    "When they were weighed: ",
    "As text: ",
];

/// Nothing that belongs to files and commands.
#[track_caller]
fn is_plain(address: &str, page: &str) {
    let seen = visible(page);
    for word in ["litterfolio ", ".yaml", "`", " --", "in quotes"] {
        // The way to the text of a file is there for those who want it.
        let seen = seen.replace("As text: ", "");
        let lines: Vec<&str> = seen
            .lines()
            .filter(|line| line.contains(word) && !line.trim_start().starts_with("litters/"))
            .filter(|line| !is_file_name(line))
            .collect();
        assert!(lines.is_empty(), "{address} says {word:?}: {lines:#?}");
    }
}

/// A line that is the name of a file and no more: the link to its text.
fn is_file_name(line: &str) -> bool {
    let line = line.trim();
    line.ends_with(".yaml") && !line.contains(' ')
}

#[test]
fn pages_of_the_book_speak_of_neither_files_nor_commands_at_the_desk() {
    let kennel = Kennel::published_demo();
    let desk = Desk::of(kennel.path());
    let mut pages = vec!["/people.html".to_owned(), "/".to_owned()];
    let mut read = 0;
    while let Some(page) = pages.pop() {
        let answer = desk.book(&page);
        if answer.header("content-type") != Some("text/html; charset=utf-8") {
            continue;
        }
        let text = answer.text();
        // The guide about sealed pages says which commands there are besides.
        if text.contains("desk-strip") && page != "/sealing.html" {
            is_plain(&page, &text);
            read += 1;
        }
        if page == "/" {
            let inner = links(&text).into_iter().filter(|link| {
                !link.starts_with("/-desk") && !link.contains("//") && link.contains(".html")
            });
            pages.extend(inner.map(|link| format!("/{}", link.trim_start_matches("./"))));
        }
    }
    assert!(read > 4, "{read}");
    for page in [
        "today", "litters", "publish", "problems", "waiting", "phones",
    ] {
        let page = format!("/-desk/{page}");
        is_plain(&page, &desk.book(&page).text());
    }
}

/// Whether a text has a day as it stands in files: 2026-10-09.
fn has_day_of_files(line: &str) -> bool {
    let digits = |part: &[u8]| part.iter().all(u8::is_ascii_digit);
    line.as_bytes().windows(10).any(|w| {
        w[4] == b'-' && w[7] == b'-' && digits(&w[..4]) && digits(&w[5..7]) && digits(&w[8..])
    })
}

/// What files, puppies and families are called in a kennel.
fn names_in(kennel: &Kennel) -> BTreeSet<String> {
    let mut names = BTreeSet::new();
    for (file, bytes) in kennel.files() {
        names.extend(file.split(['/', '.']).map(str::to_owned));
        let text = String::from_utf8(bytes).unwrap();
        let ids = text
            .split("id: ")
            .skip(1)
            .filter_map(|rest| rest.split([',', '\n']).next());
        names.extend(ids.map(str::to_owned));
    }
    for kind in [
        "litters", "dogs", "notes", "pages", "litter", "weights", "health", "owners",
    ] {
        names.remove(kind);
    }
    names
}

#[test]
fn pages_of_the_desk_say_days_in_words() {
    let kennel = Kennel::demo_records();
    kennel.without_pages();
    let names = names_in(&kennel);
    let desk = Desk::of(kennel.path());
    let waits = form(&desk, "/-desk/waiting").with("name", "N. Frey");
    assert_eq!(waits.send(&desk, "add").status, 303);
    let begin = [
        "history",
        "today",
        "litters",
        "records",
        "waiting",
        "problems",
        "litters/summer-2026",
    ];
    let mut waiting: Vec<String> = begin.map(|page| format!("/-desk/{page}")).to_vec();
    let (mut seen, mut lines) = (BTreeSet::new(), BTreeSet::new());
    while let Some(path) = waiting.pop() {
        // One of the many pages that differ in names and numbers alone is enough.
        let words = path.split(['/', '.', '=', '&', '?']);
        let words = words.filter(|word| word.parse::<u32>().is_err() && !names.contains(*word));
        let like = words.collect::<Vec<_>>().join("/");
        if !path.starts_with("/-desk/") || path.starts_with("/-desk/text/") || !seen.insert(like) {
            continue;
        }
        let text = desk.book(&path).text();
        let said = visible(&text);
        let told = said.lines().filter(|line| has_day_of_files(line));
        // How a day is typed is said beside fields; names of files and their text are as they are.
        let told = told.filter(|line| !OF_FILES.iter().any(|words| line.contains(words)));
        lines.extend(told.map(|line| format!("{path}: {}", line.trim())));
        waiting.extend(links(&text));
    }
    assert!(seen.len() > 60, "{} pages", seen.len());
    assert!(lines.is_empty(), "{lines:#?}");
}

#[test]
fn what_the_book_has_as_a_command_is_a_link_at_the_desk_and_a_command_in_the_files() {
    let kennel = Kennel::published_demo();
    let file = std::fs::read_to_string(kennel.at("private").join("index.html")).unwrap();
    let commands = file.matches("<code>litterfolio ").count();
    assert!(commands > 2, "{commands}");
    let desk = Desk::of(kennel.path());
    let home = desk.book("/").text();
    assert_eq!(home.matches("<code>litterfolio ").count(), 0);
    assert_eq!(home.matches("class=\"desk-way\"").count(), commands);
    let litters = links(&home)
        .into_iter()
        .filter(|way| way.starts_with("litters/") && way.matches('/').count() == 1);
    let mut pages: Vec<String> = litters.map(|way| format!("/{way}")).collect();
    assert!(pages.len() > 1, "{pages:?}");
    pages.extend(["/".to_owned(), "/people.html".to_owned()]);
    let mut asked = BTreeSet::new();
    for page in pages {
        for way in links(&desk.book(&page).text()) {
            if way.starts_with("/-desk/") && asked.insert(way.clone()) {
                assert_eq!(get(desk.book, &way).status, 200, "{page}: {way}");
            }
        }
    }
}

#[test]
fn an_odd_thing_leads_to_its_field() {
    let kennel = Kennel::base();
    kennel.change("owners.yaml", "puppy: moss,", "puppy: wren,");
    let desk = Desk::of(kennel.path());
    let home = desk.book("/").text();
    assert!(home.contains("To the field in"), "{}", visible(&home));
    let way = links(&home)
        .into_iter()
        .find(|way| way.starts_with("/-desk/form/") && way.contains("at="))
        .unwrap();
    assert_eq!(get(desk.book, &way).status, 200, "{way}");
    is_plain("/", &home);
}

#[test]
fn what_is_wrong_in_a_form_is_said_by_the_names_of_its_fields() {
    let kennel = Kennel::base();
    let desk = Desk::of(kennel.path());
    let litter = "/-desk/form/litters/spring/litter.yaml";
    for (field, value) in [
        ("f.birth.on", ""),
        ("f.birth.on", "2026-01-01"),
        ("f.dam", "corvin"),
        ("f.counted.on", ""),
    ] {
        let sent = form(&desk, litter).with(field, value).send(&desk, "save");
        assert_eq!(sent.status, 422, "{field} {value}");
        let page = sent.text();
        assert!(page.contains("class=\"problem\""), "{field}");
        is_plain(&format!("{field} {value:?}"), &page);
    }
    let late = form(&desk, "/-desk/litters/spring/weigh");
    let late = late.with("moss", "3 kg").with("at", "2026-10-12T07:00");
    let sent = late.send(&desk, "save");
    assert_eq!(sent.status, 422);
    assert!(sent.text().contains("is still to come"));
    is_plain("weigh-in", &sent.text());
}

#[test]
fn a_chip_number_with_quotes_blanks_and_hyphens_is_taken_and_a_wrong_one_explained() {
    let kennel = Kennel::base();
    let desk = Desk::of(kennel.path());
    let puppy = "/-desk/form/litters/spring/litter.yaml?at=puppies.wren";
    for typed in [
        "\"941 000 025 557 102\"",
        "941-000-025-557-103",
        "941000025557104",
    ] {
        let sent = form(&desk, puppy).with("f.chip", typed).send(&desk, "save");
        assert_eq!(sent.status, 303, "{typed}: {}", visible(&sent.text()));
    }
    for (typed, said) in [
        ("\"94100002555710\"", "15 digits, this has 14"),
        ("94100002555710O", "this has 14 digits and “O”"),
    ] {
        let sent = form(&desk, puppy).with("f.chip", typed).send(&desk, "save");
        assert_eq!(sent.status, 422, "{typed}");
        let page = sent.text();
        assert!(page.contains(said), "{}", visible(&page));
        is_plain(typed, &page);
    }
}

#[test]
fn another_short_name_in_a_form_changes_all_that_names_it_at_once() {
    let kennel = Kennel::base();
    let desk = Desk::of(kennel.path());
    let files = ["litter", "weights", "health"].map(|file| format!("litters/spring/{file}.yaml"));
    let before: Vec<String> = files.iter().map(|file| kennel.text(file)).collect();
    let puppy = "/-desk/form/litters/spring/litter.yaml?at=puppies.wren";
    let sent = form(&desk, puppy)
        .with("f.id", "robin")
        .with("f.colour", "black")
        .send(&desk, "save");
    let change = number(&sent);
    let to = sent.header("location").unwrap().to_owned();
    assert!(to.contains("at=puppies.robin"), "{to}");
    let litter = kennel.text("litters/spring/litter.yaml");
    assert!(
        litter.contains("id: robin") && litter.contains("colour: black"),
        "{litter}"
    );
    let weights = kennel.text("litters/spring/weights.yaml");
    assert!(
        weights.contains("robin: 224 g") && !weights.contains("wren"),
        "{weights}"
    );
    let note = kennel.text("litters/spring/notes/first-night.md");
    assert!(note.contains("[moss, robin]"), "{note}");
    kennel.run(&["inspect"]).ends_with(0);
    assert_eq!(undo(&desk, &change).status, 303);
    let after: Vec<String> = files.iter().map(|file| kennel.text(file)).collect();
    assert_eq!(after, before);

    // One that is there, and one that can be none, are told at the field.
    for name in ["moss", "dam", "Not A Name"] {
        let sent = form(&desk, puppy).with("f.id", name).send(&desk, "save");
        assert_eq!(sent.status, 422, "{name}");
        let page = sent.text();
        assert_eq!(
            page.matches("class=\"problem\"").count(),
            1,
            "{name}: {}",
            visible(&page)
        );
    }
    let family = "/-desk/form/owners.yaml?at=families.lund";
    let sent = form(&desk, family)
        .with("f.id", "lunds")
        .send(&desk, "save");
    number(&sent);
    assert!(kennel.text("owners.yaml").contains("id: lunds"));
}

#[test]
fn a_dog_and_a_litter_get_another_short_name_on_a_page_of_its_own() {
    let kennel = Kennel::base();
    let desk = Desk::of(kennel.path());
    let dog = get(desk.book, "/-desk/form/dogs/juno.yaml").text();
    let way = links(&dog).into_iter().find(|way| way.contains("/rename/"));
    assert_eq!(way.as_deref(), Some("/-desk/rename/dog/juno"));
    let asked = |path: &str, to: &str| {
        let page = get(desk.book, path).text();
        let forms = Form::all(&page);
        let main = forms.into_iter().find(|form| form.action == path).unwrap();
        main.with("to", to).send(&desk, "save")
    };
    let change = number(&asked("/-desk/rename/dog/juno", "june"));
    assert!(
        kennel
            .text("litters/spring/litter.yaml")
            .contains("dam: june")
    );
    assert!(kennel.text("dogs/june.yaml").contains("Tarnside Juno"));
    assert_eq!(undo(&desk, &change).status, 303);
    assert!(
        kennel
            .text("litters/spring/litter.yaml")
            .contains("dam: juno")
    );
    number(&asked("/-desk/rename/litter/spring", "early-2026"));
    assert!(kennel.text("owners.yaml").contains("litter: early-2026"));
    for (path, to) in [
        ("/-desk/rename/dog/juno", "corvin"),
        ("/-desk/rename/dog/juno", "A Name"),
    ] {
        let sent = asked(path, to);
        assert_eq!(sent.status, 422, "{to}");
        is_plain(to, &sent.text());
    }
    for lost in ["/-desk/rename/dog/nobody", "/-desk/rename/cat/juno"] {
        assert_eq!(get(desk.book, lost).status, 404, "{lost}");
    }
}

#[test]
fn a_reserved_puppy_that_died_is_taken_out_of_what_its_family_takes() {
    let kennel = Kennel::base();
    let alive = "offer: reserved, chip: \"941000025557101\" }";
    let dead = "fate: died, on: 2026-05-20, chip: \"941000025557101\" }";
    kennel.change("litters/spring/litter.yaml", alive, dead);
    kennel.write("litters/spring/health.yaml", "[]\n");
    let desk = Desk::of(kennel.path());
    let litter = get(desk.book, "/-desk/litters/spring").text();
    assert!(
        litter.contains("still entered for The Lund family"),
        "{}",
        visible(&litter)
    );
    let home = "/-desk/litters/spring/puppies/moss/home";
    assert!(links(&litter).contains(&home.to_owned()));
    let page = get(desk.book, home).text();
    is_plain(home, &page);
    let forms = Form::all(&page);
    let main = forms.into_iter().find(|form| form.action == home).unwrap();
    assert!(
        main.fields.iter().all(|field| field.name != "offer"),
        "{main:#?}"
    );
    // Nothing else can be asked for of it.
    assert_eq!(main.send(&desk, "save").status, 404);
    number(&main.send(&desk, "withdraw"));
    let owners = kennel.text("owners.yaml");
    assert!(
        owners.contains("id: lund") && !owners.contains("moss"),
        "{owners}"
    );
    let puppies = kennel.text("litters/spring/litter.yaml");
    assert!(puppies.contains("fate: died") && !puppies.contains("offer: available, chip"));
    kennel.run(&["inspect"]).ends_with(0);
    let litter = get(desk.book, "/-desk/litters/spring").text();
    assert!(!litter.contains("still entered for"));
}

#[test]
fn what_is_odd_after_a_death_says_which_weigh_in() {
    let kennel = Kennel::base();
    let alive = "offer: available }";
    kennel.change(
        "litters/spring/litter.yaml",
        alive,
        "fate: died, on: 2026-04-02 }",
    );
    kennel
        .run(&["inspect"])
        .says(&["`wren` died on 2026-04-02, before this weigh-in of 2026-04-03 08:00"]);
}

#[test]
fn dogs_are_told_apart_where_parents_are_chosen() {
    let kennel = Kennel::base();
    kennel.write(
        "dogs/juno-2.yaml",
        "name: Oldfell Juno\ncall_name: Juno\nsex: female\n",
    );
    kennel.write("dogs/twin-1.yaml", "name: Twin\nsex: female\n");
    kennel.write("dogs/twin-2.yaml", "name: Twin\nsex: female\n");
    let desk = Desk::of(kennel.path());
    let page = get(desk.book, "/-desk/form/litters/spring/litter.yaml").text();
    let form = Form::main(&page);
    let of = |name: &str| {
        let field = form.fields.iter().find(|field| field.name == name).unwrap();
        field.choices.join(" ")
    };
    assert_eq!(of("f.dam"), " juno juno-2 tansy twin-1 twin-2");
    assert_eq!(of("f.sire"), " brack corvin");
    for label in ["Juno, Oldfell Juno<", "Twin (twin-1)<", "Twin (twin-2)<"] {
        assert!(page.contains(label), "{label}");
    }
    assert!(page.contains(">No</option>") && !page.contains(">no</option>"));
}

#[test]
fn the_history_says_what_was_new_and_names_of_any_script_get_a_short_one() {
    let kennel = Kennel::base();
    let desk = Desk::of(kennel.path());
    for (name, file) in [
        ("Hazel", "hazel"),
        ("נועה", "nwah"),
        ("سلمى", "slma"),
        ("福", "dog"),
        ("寿", "dog-2"),
    ] {
        let page = get(desk.book, "/-desk/dogs/new").text();
        let forms = Form::all(&page);
        let main = forms
            .into_iter()
            .find(|form| form.action == "/-desk/dogs/new");
        let sent = main
            .unwrap()
            .with("name", name)
            .with("sex", "female")
            .send(&desk, "save");
        number(&sent);
        let text = kennel.text(&format!("dogs/{file}.yaml"));
        assert!(text.contains(name), "{text}");
    }
    let history = get(desk.book, "/-desk/history").text();
    assert!(history.contains("new dog, Hazel") && history.contains("new dog, נועה"));
    assert!(!history.contains(" UTC"), "{}", visible(&history));
}

/// Opens the way to the file of a sheet and sends one: what it would bring.
#[track_caller]
fn looked_at(desk: &Desk, litter: &str, (name, text): (&str, &str)) -> String {
    let path = format!("/-desk/litters/{litter}/from-sheet");
    let token = form(desk, &path).value("token");
    let sent = [("token", token.as_str()), ("act", "look")];
    let shown = upload(desk.book, &path, &sent, ("file", name, text.as_bytes()));
    is_plain(name, &shown.text());
    assert_eq!(shown.status, 200, "{}", visible(&shown.text()));
    shown.text()
}

#[test]
fn the_file_of_a_weigh_in_sheet_is_looked_at_and_taken_in_once() {
    let kennel = Kennel::base();
    let desk = Desk::of(kennel.path());
    let file = "litters/spring/weights.yaml";
    let before = kennel.text(file);
    let table = "\u{feff}at,by,remark,moss,wren\r\n2026-04-03 07:30,Nell,\"calm, all \
                 nursed\",251 g,\r\n2026-04-03 19:30,,,262 g,26.1 g\r\n";
    let shown = looked_at(&desk, "spring", ("spring.csv", table));
    assert_eq!(kennel.text(file), before, "looking records nothing");
    let seen = visible(&shown);
    for said in [
        "3 weights in 2 weigh-ins",
        "Moss 251 g",
        "calm, all nursed",
        "Look at these once more",
        "less than any puppy weighs",
    ] {
        assert!(seen.contains(said), "{said}: {seen}");
    }
    let done = Form::main(&shown).send(&desk, "take");
    let number = number(&done);
    let after = kennel.text(file);
    let added = after.strip_prefix(before.as_str()).unwrap();
    assert!(
        added.contains("at: 2026-04-03 07:30") && added.contains("moss: 251 g"),
        "{added}"
    );
    assert!(added.contains("wren: 26.1 g"), "{added}");
    // Where it leads to, what is found of the last weigh-in stands.
    let to = done.header("location").unwrap().to_owned();
    assert!(to.contains("/weigh?at=2026-04-03t19:30"), "{to}");

    // A second time nothing is left, and another weight for one of its times is told by its line.
    let path = "/-desk/litters/spring/from-sheet";
    let token = form(&desk, path).value("token");
    let sent = [("token", token.as_str()), ("act", "take"), ("text", table)];
    let again = upload(desk.book, path, &sent, ("file", "", b""));
    assert_eq!(again.status, 422);
    assert!(
        again
            .text()
            .contains("all of it stands in the records already")
    );
    let other = table.replace("262 g", "272 g");
    let sent = [("token", token.as_str()), ("act", "take")];
    let other = upload(desk.book, path, &sent, ("file", "b.csv", other.as_bytes()));
    assert_eq!(other.status, 422);
    let seen = visible(&other.text());
    assert!(
        seen.contains("Line 3:") && seen.contains("in the records: 262 g"),
        "{seen}"
    );
    is_plain("another weight", &other.text());
    assert_eq!(kennel.text(file), after);
    assert_eq!(undo(&desk, &number).status, 303);
    assert_eq!(kennel.text(file), before);
}

#[test]
fn the_file_of_a_whelping_sheet_is_looked_at_and_taken_in() {
    let kennel = Kennel::base();
    let desk = Desk::of(kennel.path());
    let file = "litters/spring/litter.yaml";
    let before = kennel.text(file);
    let birth = "# litter: spring\nbirth: { on: 2026-04-01, how: planned section }\npuppies:\n  - { id: \
                 robin, ribbon: red, sex: male, born: \"10:02:10\", order: 4, weight: 231 g }\n";
    let shown = looked_at(&desk, "spring", ("birth-spring.yaml", birth));
    let done = Form::main(&shown).send(&desk, "take");
    assert_eq!(
        kennel.text(file).matches("robin").count(),
        1,
        "{}",
        visible(&done.text())
    );
    let seen = visible(&shown);
    for said in [
        "1 puppy",
        "Robin (red)",
        "male, born 1 April 2026, 10:02, 231 g",
    ] {
        assert!(seen.contains(said), "{said}: {seen}");
    }
    kennel.run(&["inspect"]).ends_with(0);
    assert_eq!(undo(&desk, &number(&done)).status, 303);
    assert_eq!(kennel.text(file), before);

    // What is no file of a sheet, or that of another litter, is told and nothing is taken in.
    let path = "/-desk/litters/spring/from-sheet";
    let token = form(&desk, path).value("token");
    for (text, said) in [
        ("", "there is nothing in it"),
        ("puppies: [", "Line 1"),
        ("puppies:\n  - { id: wren, sex: female }\n", "wren"),
        ("fern;231\n", "Line 1"),
        ("\u{0}\u{1}", ""),
    ] {
        let sent = [("token", token.as_str()), ("act", "take")];
        let file_ = ("file", "a.txt", text.as_bytes());
        let answer = upload(desk.book, path, &sent, file_);
        assert_eq!(answer.status, 422, "{text}");
        assert!(
            answer.text().contains(said),
            "{text}: {}",
            visible(&answer.text())
        );
        is_plain(text, &answer.text());
        assert_eq!(kennel.text(file), before, "{text}");
    }
}

#[test]
fn a_page_that_would_go_says_why_and_the_history_leads_to_what_was_before() {
    let kennel = Kennel::base();
    let file = "litters/spring/litter.yaml";
    kennel.change(file, "dam: juno", "announced: true\ndam: juno");
    kennel.run(&["publish"]).ends_with(0);
    let desk = Desk::of(kennel.path());
    for name in ["Spring", "Spring 2026"] {
        let litter = form(&desk, &format!("/-desk/form/{file}"));
        number(&litter.with("f.name", name).send(&desk, "save"));
    }
    kennel.change(file, "announced: true", "announced: false");
    desk.waits_for(desk.book, "/-desk/publish", |page| {
        page.text().contains("this litter is no longer announced")
    });
    let newest = get(desk.book, "/-desk/history").text();
    assert!(newest.contains("Change 2,") && newest.contains("Change 1,"));
    assert!(!newest.contains("Earlier changes") && !newest.contains("The newest"));
    let earlier = get(desk.book, "/-desk/history?before=2").text();
    assert!(!earlier.contains("Change 2,") && earlier.contains("Change 1,"));
    assert!(earlier.contains("href=\"/-desk/history\">The newest"));
    let none = get(desk.book, "/-desk/history?before=1").text();
    assert!(none.contains("Nothing was changed before."), "{none}");
}
