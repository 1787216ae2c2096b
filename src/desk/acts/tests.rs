//! Each act: what was sent becomes these lines, the records stay whole, undo gives back the bytes.

#![allow(clippy::disallowed_methods, reason = "tests put files where they like")]

use super::*;
use crate::app::recording::differing;
use crate::app::taking_back::take_back;
use crate::records::load;
use std::collections::BTreeMap;
use std::fs;
use std::path::Path;

const FILES: &[(&str, &str)] = &[
    (
        "kennel.yaml",
        "name: Tarnside\nbreed: Scottish Terrier\ncontact: { keeper: Nell Harrow, email: \
         nell@tarnside.example }\ncountry: GB\ntime_zone: Europe/London\nas_of: 2026-04-16\n",
    ),
    (
        "dogs/juno.yaml",
        "name: Tarnside Juno\nsex: female\nborn: 2022-03-14\n",
    ),
    (
        "dogs/corvin.yaml",
        "name: Northing Corvin\nsex: male\nborn: 2021-01-20\nhome: elsewhere\n",
    ),
    (
        "litters/spring/litter.yaml",
        "name: Spring 2026   # the first of the year\ndam: juno\nsire: corvin\nmated: \
         [2026-01-28]\nbirth: { on: 2026-04-01, how: natural }\npuppies:\n  - { id: moss, ribbon: \
         green, sex: female, colour: brindle, born: \"09:14\", order: 1, weight: 224 g, offer: \
         available }\n  - { id: wren, ribbon: blue, sex: male, order: 2, weight: 219 g, offer: \
         available }\n",
    ),
    (
        "litters/spring/weights.yaml",
        "- at: 2026-04-14 08:00\n  moss: 431 g\n  wren: 424 g\n- at: 2026-04-15 08:00\n  moss: \
         452 g   # wriggled\n  wren: 446 g\n",
    ),
    (
        "owners.yaml",
        "# theirs alone\nfamilies:\n  - id: lund\n    name: The Lund family\nwaiting:\n  - { name: \
         P. Okoro, since: 2026-01-05, email: p@okoro.example }\n  - { name: A. Reid }\n",
    ),
];

struct Home(tempfile::TempDir);

impl Home {
    fn new() -> Self {
        let home = Self(tempfile::tempdir().unwrap());
        for (file, text) in FILES {
            let path = home.0.path().join("content").join(file);
            fs::create_dir_all(path.parent().unwrap()).unwrap();
            fs::write(path, text).unwrap();
        }
        home
    }

    fn folder(&self) -> Folder {
        Folder::new(self.0.path()).unwrap()
    }

    fn tree(&self) -> BTreeMap<String, Vec<u8>> {
        fn walk(at: &Path, root: &Path, all: &mut BTreeMap<String, Vec<u8>>) {
            for entry in fs::read_dir(at).unwrap() {
                let path = entry.unwrap().path();
                if path.is_dir() {
                    walk(&path, root, all);
                } else {
                    let name = path.strip_prefix(root).unwrap();
                    all.insert(
                        name.to_string_lossy().into_owned(),
                        fs::read(&path).unwrap(),
                    );
                }
            }
        }
        let mut all = BTreeMap::new();
        let content = self.0.path().join("content");
        walk(&content, &content, &mut all);
        all
    }

    fn shown(&self, path: &str) -> ActPage {
        let (path, query) = path.split_once('?').unwrap_or((path, ""));
        let folder = self.folder();
        let loaded = load(&folder.content, terminal::now()).unwrap();
        let (act, ids) = find(&format!("{ROOT}{path}")).unwrap();
        let told = ActNotice::default();
        match show(&loaded, &told, (act, &ids), &given(query, false)) {
            ActAnswer::Page(page) => *page,
            _ => panic!("{path} shows no page"),
        }
    }

    fn sent(&self, path: &str, fields: &str) -> ActAnswer {
        self.sent_with(path, fields, Vec::new())
    }

    fn sent_with(&self, path: &str, fields: &str, files: Vec<Upload>) -> ActAnswer {
        let (path, query) = path.split_once('?').unwrap_or((path, ""));
        let (act, ids) = find(&format!("{ROOT}{path}")).unwrap();
        let given = ActFields {
            files,
            ..given(fields, true)
        };
        submit(
            &self.folder(),
            &ActNotice::default(),
            (act, &ids),
            &self::given(query, false),
            (given, Mode::Make),
        )
        .unwrap()
    }

    /// What is sent is recorded: the lines that differ are these, nothing is wrong then, and taking
    /// it back gives the very bytes.
    fn records(&self, path: &str, fields: &str, expected: &str) {
        self.records_with(path, fields, Vec::new(), expected);
    }

    fn records_with(&self, path: &str, fields: &str, files: Vec<Upload>, expected: &str) {
        let before = self.tree();
        match self.sent_with(path, fields, files) {
            ActAnswer::Done(_) => {}
            ActAnswer::Page(page) | ActAnswer::Again(page) => panic!("not recorded: {page:#?}"),
            ActAnswer::Gone => panic!("{path} is gone"),
        }
        let after = self.tree();
        let names: std::collections::BTreeSet<&String> =
            before.keys().chain(after.keys()).collect();
        let mut seen = String::new();
        for name in names {
            let text = |tree: &BTreeMap<String, Vec<u8>>| {
                let bytes = tree.get(name).cloned().unwrap_or_default();
                String::from_utf8_lossy(&bytes).into_owned()
            };
            if before.get(name) != after.get(name) {
                seen.push_str(&format!(
                    "{name}\n{}",
                    differing(&text(&before), &text(&after))
                ));
            }
        }
        assert_eq!(seen, expected, "{path}");
        let folder = self.folder();
        let loaded = load(&folder.content, terminal::now()).unwrap();
        assert!(!loaded.has_errors(), "{:#?}", loaded.problems);
        take_back(&folder, "undo", None).unwrap();
        assert_eq!(self.tree(), before, "{path} is not taken back");
    }

    /// What is sent is refused, with a problem at this field, what was typed still there, and
    /// nothing written.
    fn refuses(&self, path: &str, fields: &str, field: &str) -> ActPage {
        let before = self.tree();
        let page = match self.sent(path, fields) {
            ActAnswer::Again(page) | ActAnswer::Page(page) => page,
            ActAnswer::Done(_) => panic!("{path} was recorded"),
            ActAnswer::Gone => panic!("{path} is gone"),
        };
        assert_eq!(self.tree(), before);
        let form = page.form.as_ref().unwrap();
        let all: Vec<_> = form.groups.iter().flat_map(|group| &group.fields).collect();
        let has_problem = if field.is_empty() {
            !page.problems.is_empty()
        } else {
            all.iter()
                .any(|known| known.name == field && known.problem.is_some())
        };
        assert!(has_problem, "no problem at `{field}`: {page:#?}");
        for (name, value) in given(fields, true).fields {
            if let Some(known) = all.iter().find(|known| known.name == name)
                && known.choices.is_empty()
            {
                assert_eq!(known.value, value, "{name} is lost");
            }
        }
        *page
    }
}

/// `name=value` on lines, or with `&` between.
fn given(fields: &str, is_sent: bool) -> ActFields {
    let pairs = fields
        .split(['&', '\n'])
        .filter_map(|pair| pair.split_once('='));
    ActFields {
        fields: pairs
            .map(|(name, value)| (name.to_owned(), value.to_owned()))
            .collect(),
        files: Vec::new(),
        is_sent,
    }
}

#[test]
fn every_act_has_a_page() {
    let home = Home::new();
    for act in ACTS {
        let path = act
            .path
            .replace("{litter}", "spring")
            .replace("{puppy}", "moss")
            .replace("{dog}", "juno");
        let page = home.shown(&path);
        assert!(!page.title.is_empty());
        for link in page.links.iter().chain(
            page.sections
                .iter()
                .flat_map(|s| s.items.iter().flat_map(|i| &i.links)),
        ) {
            let path = link.path.split(['?', '#']).next().unwrap();
            // Pages of the book, and those of the desk that are no acts.
            let is_book = ["/dogs.html", "/litters/spring.html", "/bitches/juno.html"];
            let pages = ["codes", "export", "records", "form/kennel.yaml"];
            let litter = "form/litters/spring/litter.yaml";
            let mut pages = pages.iter().chain([&litter, &"form/dogs/juno.yaml"]);
            let is_page = pages.any(|page| path == format!("{ROOT}{page}"));
            let is_papers = path.ends_with("/handover");
            let is_known = find(path).is_some() || is_page || is_papers || is_book.contains(&path);
            assert!(is_known, "{} leads nowhere", link.path);
        }
    }
}

#[test]
fn the_round_asks_only_for_what_is_missing() {
    let home = Home::new();
    let page = home.shown("today");
    let all: Vec<&form::ActItem> = page.sections.iter().flat_map(|s| &s.items).collect();
    let worming = all
        .iter()
        .find(|item| item.title.contains("orming") && !item.forms.is_empty())
        .unwrap();
    let form = &worming.forms[0];
    let asked: Vec<&str> = form.groups[0]
        .fields
        .iter()
        .map(|field| field.name.as_str())
        .collect();
    assert_eq!(asked, ["product"]);
    let mut sent: Vec<String> = form
        .hidden
        .iter()
        .map(|(name, value)| format!("{name}={value}"))
        .collect();
    sent.push("product=Vermisol".to_owned());
    let path = form.action.strip_prefix(ROOT).unwrap().to_owned();
    home.sent(&path, &sent.join("&"));
    let page = home.shown("today");
    let still = page
        .sections
        .iter()
        .flat_map(|s| &s.items)
        .any(|item| item.title == worming.title);
    assert!(!still, "{} is ticked and stands there still", worming.title);
}

#[test]
fn how_an_illness_ended_is_asked_on_the_page_of_a_check() {
    let home = Home::new();
    let health = home.0.path().join("content/litters/spring/health.yaml");
    let trembling = "- { at: 2026-04-01 20:00, for: dam, illness: { signs: convulsions } }\n";
    fs::write(health, trembling).unwrap();
    let page = home.shown("today");
    let mut all = page.sections.iter().flat_map(|s| &s.items);
    let asked = all
        .find(|item| item.title.contains("how did it end?") || item.title.contains("convulsions"))
        .unwrap_or_else(|| panic!("{page:#?}"));
    assert!(
        asked.forms.is_empty(),
        "one press says nothing of how it ended"
    );
    let path = "litters/spring/tend?kind=check&for=dam";
    assert!(
        asked.links.iter().any(|link| link.path.ends_with(path)),
        "{asked:#?}"
    );
}

#[test]
fn health_is_recorded_in_the_words_of_the_label() {
    let home = Home::new();
    home.records(
        "litters/spring/tend?kind=worming",
        "kind=worming&for=moss&for=wren&on=2026-04-16&product=Vermisol&batch=V-118",
        "litters/spring/health.yaml\n+ - on: 2026-04-16\n+   for: moss\n+   worming: { product: \
         Vermisol, batch: V-118, weight: 452 g }\n+ - on: 2026-04-16\n+   for: wren\n+   worming: \
         { product: Vermisol, batch: V-118, weight: 446 g }\n",
    );
    home.records(
        "litters/spring/tend",
        "kind=illness&for=moss&on=2026-04-16&signs=loose stool since noon&\
         advice=seen again tomorrow",
        "litters/spring/health.yaml\n+ - on: 2026-04-16\n+   for: moss\n+   illness: { signs: \
         loose stool since noon, advice: seen again tomorrow }\n",
    );
    home.records(
        "litters/spring/tend",
        "kind=temperature&at=2026-04-16T07:30&moss=38.2 °C&wren=&dam=38.4 °C",
        "litters/spring/health.yaml\n+ - at: 2026-04-16 07:30\n+   for: moss\n+   temperature: \
         38.2 °C\n+ - at: 2026-04-16 07:30\n+   for: dam\n+   temperature: 38.4 °C\n",
    );
    home.records(
        "litters/spring/tend",
        "kind=excused&for=moss&on=2026-04-16&item=worming-2-weeks&remark=the vet says wait",
        "litters/spring/health.yaml\n+ - on: 2026-04-16\n+   for: moss\n+   excused: \
         worming-2-weeks\n+   remark: the vet says wait\n",
    );
    home.refuses(
        "litters/spring/tend?kind=worming",
        "kind=worming&for=moss&on=2026-04-16&batch=V-118",
        "product",
    );
    home.refuses(
        "litters/spring/tend?kind=treatment",
        "kind=treatment&on=2026-04-16&product=Vermisol",
        "for",
    );
    home.refuses(
        "litters/spring/tend?kind=temperature",
        "kind=temperature&at=2026-04-16T07:30&moss=38.2",
        "moss",
    );
    home.refuses(
        "litters/spring/tend?kind=excused&item=worming-2-weeks",
        "kind=excused&for=moss&on=2026-04-16&item=worming-2-weeks",
        "remark",
    );
}

#[test]
fn a_chip_stands_in_both_files() {
    let home = Home::new();
    home.records(
        "litters/spring/tend",
        "kind=chip&on=2026-04-16&moss=941000025557101&by=Fellgate Vets",
        "litters/spring/health.yaml\n+ - on: 2026-04-16\n+   for: moss\n+   chip: { number: \
         \"941000025557101\", by: Fellgate Vets }\nlitters/spring/litter.yaml\n-   - { id: moss, \
         ribbon: green, sex: female, colour: brindle, born: \"09:14\", order: 1, weight: 224 g, \
         offer: available }\n+   - { id: moss, ribbon: green, sex: female, colour: brindle, born: \
         \"09:14\", order: 1, weight: 224 g, offer: available, chip: \"941000025557101\" }\n",
    );
}

#[test]
fn a_weigh_in_is_saved_and_what_looks_like_a_slip_is_asked_back_once() {
    let home = Home::new();
    home.records(
        "litters/spring/weigh",
        "at=2026-04-16T08:00&moss=470&wren=462 g&by=M.",
        "litters/spring/weights.yaml\n+ - at: 2026-04-16 08:00\n+   by: M.\n+   moss: 470 g\n+   \
         wren: 462 g\n",
    );
    let sent = "at=2026-04-16T08:00&moss=740&wren=462 g";
    let page = home.refuses("litters/spring/weigh", sent, "moss");
    let (name, meant) = page.form.unwrap().hidden.last().unwrap().clone();
    home.records(
        "litters/spring/weigh",
        &format!("{sent}\n{name}={meant}"),
        "litters/spring/weights.yaml\n+ - at: 2026-04-16 08:00\n+   moss: 740 g\n+   wren: 462 g\n",
    );
    home.refuses(
        "litters/spring/weigh",
        "at=2026-04-15T08:00&moss=470",
        "moss",
    );
    home.refuses("litters/spring/weigh", "at=2026-04-17T08:00&moss=470", "at");
    home.refuses(
        "litters/spring/weigh",
        "at=2026-04-16T08:00&moss=4l0",
        "moss",
    );
    home.refuses("litters/spring/weigh", "at=2026-04-16T08:00&moss=", "");
    let ActAnswer::Done(to) = home.sent("litters/spring/weigh", "at=2026-04-16T08:00&moss=470")
    else {
        panic!("not recorded")
    };
    let page = home.shown(to.strip_prefix(ROOT).unwrap());
    assert_eq!(page.number, Some(5));
    let words = format!("{:?}", page.found);
    assert!(words.contains("Moss (green): 470 g"), "{words}");
    assert!(words.contains("+18 g"), "{words}");
}

#[test]
fn a_weight_is_put_right_or_taken_out_of_its_weigh_in() {
    let home = Home::new();
    home.records(
        "litters/spring/puppies/moss/weights",
        "weight=224 g\n1 2026-04-15 08:00=454\n0 2026-04-14 08:00=431 g",
        "litters/spring/weights.yaml\n-   moss: 452 g   # wriggled\n+   moss: 454 g   # wriggled\n",
    );
    home.records(
        "litters/spring/puppies/moss/weights",
        "weight=223 g\n1 2026-04-15 08:00=452 g\n0 2026-04-14 08:00=",
        "litters/spring/litter.yaml\n-   - { id: moss, ribbon: green, sex: female, colour: \
         brindle, born: \"09:14\", order: 1, weight: 224 g, offer: available }\n+   - { id: moss, \
         ribbon: green, sex: female, colour: brindle, born: \"09:14\", order: 1, weight: 223 g, \
         offer: available }\nlitters/spring/weights.yaml\n-   moss: 431 g\n",
    );
    home.refuses(
        "litters/spring/puppies/moss/weights",
        "weight=many\n1 2026-04-15 08:00=452 g",
        "weight",
    );
    // A field that is not sent is no field that was emptied.
    home.sent("litters/spring/puppies/moss/weights", "weight=224 g");
    assert!(
        home.tree()["litters/spring/weights.yaml"]
            .starts_with(b"- at: 2026-04-14 08:00\n  moss: 431 g")
    );
}

const MOSS: &str = "  - { id: moss, ribbon: green, sex: female, colour: brindle, born: \"09:14\", \
                    order: 1, weight: 224 g, offer: available }";

fn moss(offer: &str) -> String {
    format!(
        "litters/spring/litter.yaml\n- {MOSS}\n+ {}\n",
        MOSS.replace("available", offer)
    )
}

#[test]
fn a_family_takes_a_puppy_and_gives_it_back_in_both_files_at_once() {
    let home = Home::new();
    let path = "litters/spring/puppies/moss/home";
    let taken = "{ litter: spring, puppy: moss, reserved: 2026-04-16";
    home.records(
        path,
        "family=lund&offer=reserved&reserved=2026-04-16&deposit=300 pounds",
        &format!(
            "{}owners.yaml\n+     takes:\n+       - {taken}, deposit: 300 pounds }}\n",
            moss("reserved")
        ),
    );
    home.records(
        path,
        "family=waiting:0:P. Okoro&offer=reserved&reserved=2026-04-16",
        &format!(
            "{}owners.yaml\n- waiting:\n-   - {{ name: P. Okoro, since: 2026-01-05, email: \
             p@okoro.example }}\n+   - id: p-okoro\n+     name: P. Okoro\n+     email: \
             \"p@okoro.example\"\n+     takes:\n+       - {taken} }}\n+ waiting:\n",
            moss("reserved")
        ),
    );
    home.refuses(path, "family=waiting:1:P. Okoro&offer=reserved", "family");
    home.refuses(path, "family=&offer=reserved", "family");
    home.refuses(path, "family=new&offer=reserved&name=&phone=017", "name");
    let ActAnswer::Done(_) = home.sent(path, "family=lund&offer=placed&leaves=2026-04-16") else {
        panic!("not recorded")
    };
    let before = home.tree();
    home.sent(path, "family=lund&act=withdraw");
    let text = String::from_utf8(home.tree()["litters/spring/litter.yaml"].clone()).unwrap();
    assert!(text.contains("offer: available"), "{text}");
    take_back(&home.folder(), "undo", None).unwrap();
    assert_eq!(home.tree(), before);
}

#[test]
fn the_waiting_list_grows_moves_and_shrinks() {
    let home = Home::new();
    home.records(
        "waiting",
        "act=add&name=N. Frey&wants=a bitch&since=2026-04-16",
        "owners.yaml\n+   - { name: N. Frey, since: 2026-04-16, wants: a bitch }\n",
    );
    home.records(
        "waiting",
        "act=down&who=waiting:0:P. Okoro",
        "owners.yaml\n-   - { name: P. Okoro, since: 2026-01-05, email: p@okoro.example }\n-   - { \
         name: A. Reid }\n+   - { name: A. Reid }\n+   - { name: P. Okoro, since: 2026-01-05, \
         email: p@okoro.example }\n",
    );
    home.records(
        "waiting",
        "act=out&who=waiting:1:A. Reid",
        "owners.yaml\n-   - { name: A. Reid }\n",
    );
    home.refuses("waiting", "act=out&who=waiting:0:A. Reid", "");
    home.refuses("waiting", "act=add&name=N. Frey&email=n", "email");
    home.records(
        "families/new",
        "name=The Frey family&email=n@frey.example&country=de",
        "owners.yaml\n+   - id: the-frey-family\n+     name: The Frey family\n+     email: \
         \"n@frey.example\"\n+     country: DE\n",
    );
}

#[test]
fn a_loss_is_recorded_plainly_and_can_be_taken_out() {
    let home = Home::new();
    let path = "litters/spring/puppies/moss/loss";
    home.records(
        path,
        "fate=died&on=2026-04-16&cause=not known",
        &format!(
            "litters/spring/litter.yaml\n- {MOSS}\n+ {}\n",
            MOSS.replace(
                ", offer: available }",
                ", fate: died, on: 2026-04-16, cause: not known }"
            )
        ),
    );
    home.refuses(path, "on=2026-04-16&cause=not known", "fate");
    home.refuses(path, "fate=died&on=2026-04-31", "on");
    home.sent(path, "fate=died&on=2026-04-16");
    home.sent(path, "act=out");
    let text = String::from_utf8(home.tree()["litters/spring/litter.yaml"].clone()).unwrap();
    assert!(
        !text.contains("fate") && !text.contains("2026-04-16"),
        "{text}"
    );
}

#[test]
fn a_note_is_seen_first_by_those_who_may_read_it() {
    let home = Home::new();
    let sent = "title=A warm day: out at last\ntext=All *well*.\naudience=owners\ndate=2026-04-16\n\
                puppies=moss";
    home.records(
        "litters/spring/notes/new",
        sent,
        "litters/spring/notes/a-warm-day-out-at-last.md\n+ ---\n+ date: 2026-04-16\n+ title: \"A \
         warm day: out at last\"\n+ audience: owners\n+ puppies: [moss]\n+ ---\n+ All *well*.\n",
    );
    let ActAnswer::Page(page) = home.sent("litters/spring/notes/new", &format!("{sent}\nact=look"))
    else {
        panic!("not shown")
    };
    let seen: Vec<bool> = page
        .previews
        .iter()
        .map(|preview| preview.html.is_some())
        .collect();
    assert_eq!(seen, [false, true, true]);
    assert!(
        page.previews[1]
            .html
            .as_ref()
            .unwrap()
            .contains("<em>well</em>")
    );
    home.refuses(
        "litters/spring/notes/new",
        "title=A&text=B&date=2026-04-16",
        "audience",
    );
}

#[test]
fn a_litter_begins_and_its_puppies_are_born_one_by_one() {
    let home = Home::new();
    home.records(
        "litters/new",
        "name=Autumn 2026&dam=juno&sire=corvin&mated=2026-04-12&mated-2=2026-04-14",
        "litters/autumn-2026/litter.yaml\n+ name: Autumn 2026\n+ dam: juno\n+ sire: corvin\n+ \
         mated: [2026-04-12, 2026-04-14]\n",
    );
    home.refuses(
        "litters/new",
        "name=Autumn 2026&dam=corvin&sire=juno",
        "dam",
    );
    home.refuses("litters/new", "name=Autumn 2026&dam=juno", "sire");
    home.records(
        "litters/spring/birth",
        "name=Ash&sex=male&ribbon=red&weight=201 g&born=09:31&palate=intact",
        "litters/spring/litter.yaml\n+   - { id: ash, ribbon: red, sex: male, born: \"09:31\", \
         weight: 201 g, palate: intact, order: 3 }\n",
    );
    home.refuses(
        "litters/spring/birth",
        "name=Ash&sex=male&weight=2o1",
        "weight",
    );
    home.refuses("litters/spring/birth", "name=Ash&weight=201 g", "sex");
}

#[test]
fn a_dog_is_entered_and_a_puppy_that_stays_becomes_one() {
    let home = Home::new();
    home.records(
        "dogs/new",
        "name=Oldfell Brack&call_name=Brack&sex=male&born=2019-05-05&home=elsewhere",
        "dogs/brack.yaml\n+ name: Oldfell Brack\n+ call_name: Brack\n+ sex: male\n+ born: \
         2019-05-05\n+ home: elsewhere\n",
    );
    home.refuses(
        "dogs/new",
        "name=Oldfell Brack&sex=male&registry=KC",
        "number",
    );
    home.records(
        "litters/spring/puppies/moss/stays",
        "name=Tarnside Moss&call_name=Moss",
        &format!(
            "dogs/moss.yaml\n+ name: Tarnside Moss\n+ call_name: Moss\n+ sex: female\n+ born: \
             2026-04-01\n+ colour: brindle\n+ sire: corvin\n+ dam: juno\n{}",
            moss("staying")
        ),
    );
}

#[test]
fn pictures_are_looked_at_whole_and_move_between_those_who_may_see_them() {
    let home = Home::new();
    let picture = jpeg();
    let upload = |bytes: &[u8]| {
        vec![Upload {
            name: "../../IMG 1.JPG".to_owned(),
            bytes: bytes.to_vec(),
        }]
    };
    let path = "litters/spring/pictures";
    let before = home.tree();
    let sent = "act=add&whose=moss&audience=photos";
    let whole = home.sent_with(path, sent, upload(&picture));
    assert!(matches!(whole, ActAnswer::Done(_)));
    let public = "litters/spring/photos/moss-2026-04-16-1.jpg";
    assert_eq!(home.tree()[public], picture);
    take_back(&home.folder(), "undo", None).unwrap();
    assert_eq!(home.tree(), before);
    for broken in [&picture[..picture.len() / 2], b"no picture", b""] {
        let ActAnswer::Again(page) = home.sent_with(path, sent, upload(broken)) else {
            panic!("a broken picture was taken in")
        };
        assert!(page.form.unwrap().groups[0].fields[0].problem.is_some());
        assert_eq!(home.tree(), before);
    }
    home.sent_with(path, sent, upload(&picture));
    let with = home.tree();
    let change = format!(
        "act=change\nfile={public}\nwhose=litter\naudience=photos-private\ncaption=In the sun"
    );
    let ActAnswer::Done(_) = home.sent(path, &change) else {
        panic!("not changed")
    };
    let private = "litters/spring/photos-private/litter-2026-04-16-1.jpg";
    assert_eq!(home.tree()[private], picture);
    assert!(!home.tree().contains_key(public));
    let more = format!(
        "act=change\nfile={private}\nwhose=litter\naudience=photos-private\ncaption=In the sun"
    );
    let turned = format!("{more}\nturn=right\norder=2\ntaken=2026-04-10");
    assert!(matches!(home.sent(path, &turned), ActAnswer::Done(_)));
    let litter = String::from_utf8(home.tree()["litters/spring/litter.yaml"].clone()).unwrap();
    for said in ["turn: right", "order: 2", "taken: 2026-04-10"] {
        assert!(litter.contains(said), "{litter}");
    }
    assert!(matches!(
        home.sent(path, &format!("{more}\nturn=as-it-is")),
        ActAnswer::Done(_)
    ));
    let litter = String::from_utf8(home.tree()["litters/spring/litter.yaml"].clone()).unwrap();
    assert!(litter.contains("In the sun") && !litter.contains("turn"));
    for slip in ["turn=round", "order=0", "order=first", "taken=31 June"] {
        let ActAnswer::Again(_) = home.sent(path, &format!("{more}\n{slip}")) else {
            panic!("{slip} was recorded")
        };
    }
    for _ in 0..2 {
        take_back(&home.folder(), "undo", None).unwrap();
    }
    home.sent(path, &format!("act=out\nfile={private}"));
    assert!(!home.tree().contains_key(private));
    for _ in 0..2 {
        take_back(&home.folder(), "undo", None).unwrap();
    }
    assert_eq!(home.tree(), with);
    home.sent(path, "act=out\nfile=litters/spring/../../kennel.yaml");
    assert_eq!(home.tree(), with);
}

/// A small picture that is whole.
fn jpeg() -> Vec<u8> {
    let mut bytes = Vec::new();
    let pixels = vec![120_u8; 64 * 48 * 3];
    jpeg_encoder::Encoder::new(&mut bytes, 80)
        .encode(&pixels, 64, 48, jpeg_encoder::ColorType::Rgb)
        .unwrap();
    bytes
}

#[test]
fn names_that_are_no_names_lead_nowhere() {
    for path in [
        "/-desk/litters/..%2f..",
        "/-desk/litters/../kennel",
        "/-desk/litters/Spring/weigh",
        "/-desk/litters//weigh",
        "/litters/spring/weigh",
        "/-desk/",
    ] {
        assert!(find(path).is_none(), "{path}");
    }
}
