//! The daily acts at the desk, as a browser without script does them: each page is opened, filled
//! in and sent; the records say what was meant and nothing is wrong in them; taking it back gives
//! the very bytes.

use crate::support::desk::{Desk, get};
use crate::support::files::jpeg_with_metadata;
use crate::support::forms::{Form, form, links, number, undo, upload};
use crate::support::{Kennel, tree};
use std::collections::BTreeSet;
use std::fs;
use std::path::Path;

/// A kennel with a litter of two weeks, and a desk whose pages cannot be made, so that recording is
/// all that it does.
pub fn kennel() -> (Kennel, Desk) {
    let kennel = Kennel::base();
    for (file, text) in [
        (
            "kennel.yaml",
            "name: Tarnside\nbreed: Scottish Terrier\ncontact: { keeper: Nell Harrow, email: \
             nell@tarnside.example }\ncountry: GB\ntime_zone: Europe/London\nas_of: 2026-04-16\n",
        ),
        (
            "litters/spring/litter.yaml",
            "name: Spring 2026   # the first of the year\ndam: juno\nsire: corvin\nmated: \
             [2026-01-28]\nbirth: { on: 2026-04-01, how: natural }\npuppies:\n  - { id: moss, \
             ribbon: green, sex: female, order: 1, weight: 224 g, offer: available }\n  - { id: \
             wren, ribbon: blue, sex: male, order: 2, weight: 219 g, offer: available }\n",
        ),
        (
            "litters/spring/weights.yaml",
            "- at: 2026-04-15 08:00\n  moss: 452 g   # wriggled\n  wren: 446 g\n",
        ),
        (
            "owners.yaml",
            "# theirs alone\nfamilies:\n  - id: lund\n    name: The Lund family\nwaiting:\n  - { \
             name: P. Okoro, since: 2026-01-05 }\n",
        ),
    ] {
        fs::write(kennel.content().join(file), text).unwrap();
    }
    for file in ["health.yaml", "notes/first-night.md"] {
        fs::remove_file(kennel.content().join("litters/spring").join(file)).unwrap();
    }
    kennel.without_pages();
    let desk = Desk::of(kennel.path());
    (kennel, desk)
}

/// What is typed where, the button, the file that says so then, and its words.
type Done = (
    &'static str,
    &'static [(&'static str, &'static str)],
    &'static str,
    &'static str,
    &'static str,
);

const ALL: &[Done] = &[
    (
        "litters/spring/tend?kind=worming&for=moss",
        &[("product", "Vermisol"), ("on", "2026-04-16")],
        "save",
        "litters/spring/health.yaml",
        "worming: { product: Vermisol, weight: 452 g }",
    ),
    (
        "litters/spring/tend?kind=temperature",
        &[("moss", "38.2 °C"), ("at", "2026-04-15T21:30")],
        "save",
        "litters/spring/health.yaml",
        "temperature: 38.2 °C",
    ),
    (
        "litters/spring/tend?kind=excused&for=moss&item=worming-2-weeks",
        &[("remark", "the vet says wait")],
        "save",
        "litters/spring/health.yaml",
        "excused: worming-2-weeks",
    ),
    (
        "litters/spring/weigh",
        &[
            ("at", "2026-04-16T08:00"),
            ("moss", "470"),
            ("wren", "462 g"),
        ],
        "save",
        "litters/spring/weights.yaml",
        "moss: 470 g",
    ),
    (
        "litters/spring/puppies/moss/weights",
        &[("weight", "225 g")],
        "save",
        "litters/spring/litter.yaml",
        "weight: 225 g",
    ),
    (
        "litters/spring/puppies/moss/home",
        &[("family", "lund")],
        "save",
        "owners.yaml",
        "{ litter: spring, puppy: moss, reserved: 2026-04-16 }",
    ),
    (
        "litters/spring/puppies/moss/home?who=waiting%3A0%3AP.%20Okoro",
        &[],
        "save",
        "owners.yaml",
        "- id: p-okoro",
    ),
    (
        "waiting",
        &[("name", "N. Frey"), ("wants", "a bitch")],
        "add",
        "owners.yaml",
        "{ name: N. Frey, since: 2026-04-16, wants: a bitch }",
    ),
    (
        "families/new",
        &[("name", "The Frey family")],
        "save",
        "owners.yaml",
        "- id: the-frey-family",
    ),
    (
        "litters/spring/puppies/moss/loss",
        &[("fate", "died")],
        "save",
        "litters/spring/litter.yaml",
        "fate: died, on: 2026-04-16",
    ),
    (
        "litters/spring/notes/new",
        &[
            ("title", "Out at last"),
            ("text", "All *well*."),
            ("audience", "owners"),
        ],
        "save",
        "litters/spring/notes/out-at-last.md",
        "All *well*.",
    ),
    (
        "litters/new",
        &[("name", "Autumn 2026"), ("dam", "juno"), ("sire", "corvin")],
        "save",
        "litters/autumn-2026/litter.yaml",
        "name: Autumn 2026",
    ),
    (
        "litters/spring/birth",
        &[("name", "Ash"), ("sex", "male"), ("weight", "201 g")],
        "save",
        "litters/spring/litter.yaml",
        "- { id: ash, sex: male, weight: 201 g, order: 3 }",
    ),
    (
        "dogs/new",
        &[("name", "Oldfell Bryn"), ("sex", "male")],
        "save",
        "dogs/oldfell-bryn.yaml",
        "name: Oldfell Bryn",
    ),
    (
        "litters/spring/puppies/wren/stays",
        &[],
        "save",
        "dogs/wren.yaml",
        "born: 2026-04-01",
    ),
    (
        "litters/spring/pregnancy",
        &[("mated", "2026-01-30")],
        "save",
        "litters/spring/litter.yaml",
        "mated: [2026-01-28, 2026-01-30]",
    ),
    (
        "litters/spring/newborns",
        &[
            ("moss.palate", "intact"),
            ("moss.navel", "normal"),
            ("wren.suck", "weak"),
        ],
        "save",
        "litters/spring/litter.yaml",
        "newborn: { suck: weak }",
    ),
    (
        "litters/spring/puppies/moss/returned",
        &[("reason", "a child is allergic"), ("offer", "available")],
        "save",
        "litters/spring/litter.yaml",
        "returned: { on: 2026-04-16, reason: a child is allergic }",
    ),
    (
        "litters/spring/puppies/moss/take-out",
        &[],
        "save",
        "litters/spring/weights.yaml",
        "wren: 446 g",
    ),
    (
        "litters/spring/take-out",
        &[],
        "save",
        "litters/spring/litter.yaml",
        "",
    ),
];

#[test]
fn every_act_is_recorded_is_clean_and_is_taken_back_to_the_byte() {
    let (kennel, desk) = kennel();
    let before = tree(&kennel.content());
    for (path, typed, button, file, words) in ALL {
        let mut filled = form(&desk, &format!("/-desk/{path}"));
        for (name, value) in *typed {
            assert!(
                filled.fields.iter().any(|f| f.name == *name),
                "{path}: {name}"
            );
            filled = filled.with(name, value);
        }
        let answer = filled.send(&desk, button);
        let change = number(&answer);
        let text = fs::read_to_string(kennel.content().join(file)).unwrap_or_default();
        assert!(text.contains(words), "{path}: {text}");
        kennel.run(&["inspect"]).ends_with(0);
        let shown = get(desk.book, answer.header("location").unwrap());
        assert!(
            shown.text().contains(&format!("change {change} of")),
            "{}",
            shown.text()
        );
        assert_eq!(undo(&desk, &change).status, 303);
        assert_eq!(tree(&kennel.content()), before, "{path}");
    }
}

/// The lines of a file that an act took out and put in, as the guide shows them.
fn change_of_lines(file: &str, before: &str, after: &str) -> String {
    let (old, new): (Vec<&str>, Vec<&str>) = (before.lines().collect(), after.lines().collect());
    let same = |pairs: &mut dyn Iterator<Item = (&&str, &&str)>| {
        pairs.take_while(|(one, other)| one == other).count()
    };
    let head = same(&mut old.iter().zip(&new));
    let most = old.len().min(new.len()) - head;
    let tail = same(&mut old.iter().rev().zip(new.iter().rev())).min(most);
    let lines = |sign: &'static str, lines: &[&str], tail: usize| -> String {
        let changed = lines.get(head..lines.len() - tail).unwrap_or_default();
        changed
            .iter()
            .map(|line| format!("{sign} {line}").trim_end().to_owned() + "\n")
            .collect()
    };
    format!(
        "```diff\n# {file}\n{}{}```\n",
        lines("-", &old, tail),
        lines("+", &new, tail)
    )
}

#[test]
fn the_guide_shows_what_the_desk_writes() {
    let guide = fs::read_to_string("docs/what-the-desk-writes.md").unwrap();
    let (kennel, desk) = kennel();
    let text = |tree: &std::collections::BTreeMap<String, Vec<u8>>, file: &str| {
        let bytes = tree.get(file).cloned().unwrap_or_default();
        String::from_utf8(bytes).unwrap()
    };
    let (mut shown, mut missing) = (0, String::new());
    let portrait = "dogs/juno/picture";
    for (path, typed, button, ..) in ALL.iter().chain([&(portrait, &[][..], "add", "", "")]) {
        let before = tree(&kennel.content());
        let filled = form(&desk, &format!("/-desk/{path}"));
        let filled = typed
            .iter()
            .fold(filled, |form, (name, value)| form.with(name, value));
        let answer = if *path == portrait {
            let (token, picture) = (filled.value("token"), jpeg_with_metadata(90, "A SECRET"));
            let fields = [("token", token.as_str()), ("act", "add")];
            let file = ("files", "juno.jpg", picture.as_slice());
            upload(desk.book, &format!("/-desk/{path}"), &fields, file)
        } else {
            filled.send(&desk, button)
        };
        let change = number(&answer);
        let after = tree(&kennel.content());
        for file in after
            .keys()
            .chain(before.keys().filter(|file| !after.contains_key(*file)))
            .filter(|file| before.get(*file) != after.get(*file) && !file.ends_with(".jpg"))
        {
            let block = change_of_lines(file, &text(&before, file), &text(&after, file));
            if !guide.contains(&block) {
                missing.push_str(&block);
            }
            shown += 1;
        }
        undo(&desk, &change);
    }
    assert!(missing.is_empty(), "the guide does not show:\n{missing}");
    let blocks = guide.matches("```diff").count();
    assert_eq!(blocks, shown, "the guide shows what no act writes");
}

#[test]
fn what_is_missing_stands_at_its_field_and_what_was_typed_stays() {
    let (kennel, desk) = kennel();
    let before = tree(&kennel.content());
    for (path, typed, button, words) in [
        (
            "litters/spring/weigh",
            ("moss", "4l0"),
            "save",
            "id=\"f.1.1\" name=\"moss\" value=\"4l0\"",
        ),
        (
            "litters/spring/weigh",
            ("moss", "740 g"),
            "save",
            "weigh again",
        ),
        (
            "dogs/new",
            ("call_name", "<b>Bryn</b>"),
            "save",
            "value=\"&lt;b&gt;Bryn",
        ),
        ("waiting", ("email", "n"), "add", "value=\"n\""),
    ] {
        let filled = form(&desk, &format!("/-desk/{path}")).with(typed.0, typed.1);
        let answer = filled.send(&desk, button);
        assert!(matches!(answer.status, 200 | 422), "{}", answer.status);
        let text = answer.text();
        assert!(text.contains(words), "{path}: {text}");
        assert!(text.contains("aria-invalid=\"true\"") && text.contains("Nothing was recorded"));
        assert_eq!(tree(&kennel.content()), before, "{path}");
    }
}

/// What the desk is asked while somebody types: the same answer as to the form itself, and nothing
/// recorded, whatever the form.
#[test]
fn a_form_that_is_only_tried_records_nothing() {
    let (kennel, desk) = kennel();
    let all = || {
        (
            tree(&kennel.content()),
            tree(&kennel.at(".litterfolio/history")),
        )
    };
    let before = all();
    let weigh = form(&desk, "/-desk/litters/spring/weigh");
    let moss = form(
        &desk,
        "/-desk/form/litters/spring/litter.yaml?at=puppies.moss",
    );
    let dog = form(&desk, "/-desk/new/dog").with("f.name", "Oldfell Bryn");
    let dog = dog.with("f.sex", "male");
    for (form, name, right, wrong, words) in [
        (&weigh, "moss", "461 g", "740 g", "weigh again"),
        (&moss, "f.weight", "226 g", "2z6 g", "2z6"),
        (&dog, "f.born", "2021-01-20", "20.1.2021", "2021"),
    ] {
        let tried = |value: &str| form.clone().with(name, value).and("try", "yes");
        let answer = tried(right).send(&desk, "save");
        assert_eq!(answer.status, 204, "{name}: {}", answer.text());
        assert!(answer.body.is_empty());
        let answer = tried(wrong).send(&desk, "save");
        assert_eq!(answer.status, 200, "{name}: {}", answer.text());
        assert!(answer.text().contains(words), "{name}: {}", answer.text());
        assert_eq!(all(), before, "{name}");
    }
    // What cannot be tried is not done either.
    let page = get(desk.book, "/-desk/text/owners.yaml").text();
    let form = Form::all(&page)
        .into_iter()
        .find(|form| form.fields.iter().any(|field| field.name == "text"))
        .unwrap();
    let answer = form
        .with("text", "families: []\n")
        .and("try", "yes")
        .send(&desk, "");
    assert_eq!(answer.status, 400, "{}", answer.text());
    assert_eq!(all(), before);
    // The same forms, sent.
    number(&weigh.with("moss", "461 g").send(&desk, "save"));
    number(&moss.with("f.weight", "226 g").send(&desk, "save"));
}

/// All pages of the desk that lead to each other, from the round on; the forms of each.
fn all_forms(desk: &Desk) -> Vec<(String, Form)> {
    let mut waiting = vec!["/-desk/today".to_owned()];
    let (mut seen, mut found) = (BTreeSet::new(), Vec::new());
    while let Some(path) = waiting.pop() {
        let path = path.split('#').next().unwrap().to_owned();
        if !path.starts_with("/-desk/") || !seen.insert(path.clone()) {
            continue;
        }
        let text = get(desk.book, &path).text();
        waiting.extend(links(&text));
        found.extend(
            Form::all(&text)
                .into_iter()
                .map(|form| (path.clone(), form)),
        );
    }
    found
}

/// What a page's script asks of a form is answered: nothing is in the way, or what is.
#[test]
fn every_form_that_says_so_can_be_tried() {
    let (kennel, desk) = kennel();
    let before = tree(&kennel.content());
    let all = all_forms(&desk);
    let tried: Vec<_> = all.iter().filter(|(_, form)| form.is_tried).collect();
    assert!(tried.len() > 60, "{}", tried.len());
    for (path, form) in tried {
        let answer = form.clone().and("try", "yes").send(&desk, "");
        assert!(
            matches!(answer.status, 204 | 200),
            "{path}: {}: {}",
            answer.status,
            answer.text()
        );
    }
    assert_eq!(tree(&kennel.content()), before);
    drop(desk);

    // Where a kennel is to begin.
    let empty = Kennel::empty();
    let desk = Desk::of(empty.path());
    let page = get(desk.book, "/-desk/begin").text();
    let form = Form::main(&page).and("try", "yes");
    assert!(form.is_tried);
    let answer = form.send(&desk, "save");
    assert_eq!(answer.status, 200);
    assert!(answer.text().contains("say what your kennel is called"));
    let filled = [
        ("name", "Tarnside"),
        ("breed", "Scottish Terrier"),
        ("keeper", "Nell Harrow"),
        ("email", "nell@tarnside.example"),
        ("country", "GB"),
        ("time_zone", "Europe/London"),
    ];
    let form = filled
        .iter()
        .fold(form, |form, (name, value)| form.with(name, value));
    assert_eq!(form.send(&desk, "save").status, 204);
    assert!(!empty.at("content/kennel.yaml").exists());
}

#[test]
fn a_task_is_ticked_where_it_stands() {
    let (_kennel, desk) = kennel();
    let page = get(desk.book, "/-desk/today").text();
    let all = Form::all(&page);
    let task = all
        .iter()
        .find(|form| form.value("kind") == "worming" && form.value("for") == "moss,wren")
        .unwrap_or_else(|| panic!("{page}"));
    let answer = task.clone().with("product", "Vermisol").send(&desk, "save");
    number(&answer);
    assert!(
        answer
            .header("location")
            .unwrap()
            .starts_with("/-desk/today?")
    );
    let page = get(desk.book, "/-desk/today").text();
    let is_open = |form: &Form| form.value("kind") == "worming" && form.value("for") == "moss,wren";
    assert!(!Form::all(&page).iter().any(is_open), "{page}");
}

/// A picture of Moss for everyone.
fn uploaded(desk: &Desk, token: &str, name: &str, bytes: &[u8]) -> crate::support::desk::Answer {
    let fields = [("token", token), ("whose", "moss"), ("audience", "photos")];
    let path = "/-desk/litters/spring/pictures";
    upload(desk.book, path, &fields, ("files", name, bytes))
}

#[test]
fn a_picture_is_sent_shown_and_taken_out_and_a_stranger_s_is_not_looked_at() {
    let (kennel, desk) = kennel();
    let before = tree(&kennel.content());
    let mut picture = Vec::new();
    jpeg_encoder::Encoder::new(&mut picture, 80)
        .encode(&[90; 64 * 48 * 3], 64, 48, jpeg_encoder::ColorType::Rgb)
        .unwrap();
    let token = form(&desk, "/-desk/litters/spring/pictures").value("token");
    assert_eq!(uploaded(&desk, "not-ours", "a.jpg", &picture).status, 403);
    let heic = b"\0\0\0\x18ftypheic\0\0\0\0mif1heic";
    let refused = uploaded(&desk, &token, "../../IMG.HEIC", heic);
    assert_eq!(refused.status, 422);
    assert!(
        refused.text().contains("Most Compatible"),
        "{}",
        refused.text()
    );
    assert_eq!(tree(&kennel.content()), before);
    let answer = uploaded(&desk, &token, "../../IMG 1.JPG", &picture);
    number(&answer);
    let file = "litters/spring/photos/moss-2026-04-16-1.jpg";
    assert_eq!(fs::read(kennel.content().join(file)).unwrap(), picture);
    let page = get(desk.book, "/-desk/litters/spring/pictures").text();
    let shown = get(desk.book, &format!("/-desk/picture/{file}"));
    assert!(page.contains(&format!("/-desk/picture/{file}")), "{page}");
    assert_eq!((shown.status, shown.body), (200, picture));
    for wrong in [
        "owners.yaml",
        "litters/spring/../../owners.yaml",
        "litters%2Fspring%2Flitter.yaml",
    ] {
        assert_eq!(
            get(desk.book, &format!("/-desk/picture/{wrong}")).status,
            404
        );
    }
    let of_picture = Form::all(&page)
        .into_iter()
        .find(|form| form.value("file") == file)
        .unwrap();
    let change = number(&of_picture.send(&desk, "out"));
    assert_eq!(tree(&kennel.content()), before);
    assert_eq!(undo(&desk, &change).status, 303);
    assert!(kennel.content().join(file).exists());
}

/// Swaps two files in one step.
fn exchange(one: &Path, other: &Path) {
    use rustix::fs::{CWD, RenameFlags, renameat_with};
    renameat_with(CWD, one, CWD, other, RenameFlags::EXCHANGE).unwrap();
}

/// The desk saves, an editor saves and `weigh` runs, all at once; more often with
/// `INTERLEAVED=1000`.
#[test]
fn the_desk_an_editor_and_a_command_at_once_lose_nothing() {
    let all = std::env::var("INTERLEAVED").map_or(36, |all| all.parse().expect("a number"));
    let each: usize = all / 3;
    let (kennel, desk) = kennel();
    let owners = kennel.content().join("owners.yaml");
    std::thread::scope(|scope| {
        scope.spawn(|| {
            for n in 0..each {
                let weight = format!("moss={}g", 460 + n % 12);
                let at = format!("2026-04-16 {:02}:{:02}", 8 + n / 60, n % 60);
                kennel
                    .run(&["weigh", "spring", &weight, "--at", &at])
                    .ends_with(0);
            }
        });
        // An editor that looks whether its file changed before it saves, as editors do.
        scope.spawn(|| {
            let mut n = 0;
            while n < each {
                let text = fs::read_to_string(&owners).unwrap();
                let waiting = owners.with_file_name(".owners.swp");
                fs::write(&waiting, format!("{text}# line {n}\n")).unwrap();
                if fs::read_to_string(&owners).unwrap() == text {
                    // What the desk saved in this very moment is put back, as no editor can.
                    exchange(&waiting, &owners);
                    if fs::read_to_string(&waiting).unwrap() == text {
                        n += 1;
                    } else {
                        exchange(&waiting, &owners);
                    }
                }
                // Nobody saves so often that the desk never finds a moment.
                let pause = 40 + n * 37 % 10 * 40;
                std::thread::sleep(std::time::Duration::from_millis(pause as u64));
            }
            let _ = fs::remove_file(owners.with_file_name(".owners.swp"));
        });
        for n in 0..each {
            let filled = form(&desk, "/-desk/waiting").with("name", &format!("N. {n}."));
            number(&filled.send(&desk, "add"));
        }
    });
    let text = fs::read_to_string(&owners).unwrap();
    for n in 0..each {
        assert!(text.contains(&format!("N. {n}.")), "{n} is lost:\n{text}");
        assert!(
            text.contains(&format!("# line {n}\n")),
            "line {n} is lost:\n{text}"
        );
    }
    let weights = fs::read_to_string(kennel.content().join("litters/spring/weights.yaml"));
    assert_eq!(weights.unwrap().matches("- at: 2026-04-16").count(), each);
    kennel.run(&["inspect"]).ends_with(0);
}
