//! No medical or personal detail reaches the public site.
//!
//! Two kennels are made from the schemas of the records, so that a new field cannot be forgotten:
//! every field of every record is filled in. Fields named in [`EVERYONE`] are alike in
//! both; all others differ, and every text holds a word of its own. The public sites must be equal
//! byte for byte, and no private word may occur in any byte or file name of them.

use crate::support::{Kennel, files as support};

use serde_json::{Map, Value, json};
use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};
use std::{fs, process::Command};

/// Fields that everybody may see, or that decide what is shown. All other fields of all records are
/// private.
const EVERYONE: &[&str] = &[
    "kennel.name",
    "kennel.breed",
    "kennel.summary",
    "kennel.contact.keeper",
    "kennel.contact.email",
    "kennel.contact.phone",
    "kennel.contact.town",
    "kennel.country",
    "kennel.time_zone",
    "kennel.site",
    "kennel.licence.number",
    "kennel.licence.authority",
    "kennel.leaving_age",
    "kennel.policies[]",
    "kennel.as_of",
    "dog.name",
    "dog.call_name",
    "dog.sex",
    "dog.born",
    "dog.colour",
    "dog.breed",
    "dog.sire",
    "dog.dam",
    "dog.home",
    "dog.about",
    "dog.photo",
    "dog.screening[].test",
    "dog.screening[].result",
    "dog.screening[].on",
    "dog.screening[].by",
    "dog.screening[].valid_until",
    "dog.screening[].publish",
    "litter.name",
    "litter.dam",
    "litter.sire",
    "litter.about",
    "litter.announced",
    "litter.birth.on",
    "litter.puppies[].id",
    "litter.puppies[].name",
    "litter.puppies[].ribbon",
    "litter.puppies[].sex",
    "litter.puppies[].colour",
    "litter.puppies[].offer",
    "litter.puppies[].about",
    "litter.puppies[].fate",
    "litter.pictures[].caption",
    "litter.pictures[].taken",
    "litter.pictures[].age",
    "litter.pictures[].order",
    "litter.pictures[].turn",
    "note.date",
    "note.title",
    "note.audience",
    "note.puppies[]",
    "page.title",
    "page.order",
    "page.summary",
    "page.questions[]",
];

/// A kennel in the making; `variant` is 0 or 1.
struct Maker {
    variant: usize,
    made: usize,
    words: Vec<(String, String)>,
}

impl Maker {
    /// A sample of a whole record.
    fn record(&mut self, record: &str) -> Value {
        let schema = litterfolio::records::schema::of(record).unwrap();
        self.sample(&schema, &schema, record)
    }

    fn differs(&self, path: &str) -> usize {
        if EVERYONE.contains(&path) {
            0
        } else {
            self.variant
        }
    }

    fn sample(&mut self, root: &Value, schema: &Value, path: &str) -> Value {
        if let Some(name) = schema["$ref"]
            .as_str()
            .map(|r| r.rsplit('/').next().unwrap())
        {
            return self.scalar(name, path).unwrap_or_else(|| {
                let inner = root["$defs"][name].clone();
                self.sample(root, &inner, path)
            });
        }
        if let Some(choices) = schema["anyOf"].as_array() {
            let listed = choices
                .iter()
                .find(|c| c["type"] == "array")
                .or_else(|| choices.iter().find(|c| c["type"] != "null"))
                .unwrap()
                .clone();
            return self.sample(root, &listed, path);
        }
        if let Some(words) = schema["oneOf"].as_array() {
            let words: Vec<&Value> = words
                .iter()
                .flat_map(|w| {
                    w["enum"]
                        .as_array()
                        .into_iter()
                        .flatten()
                        .chain(w.get("const"))
                })
                .collect();
            return if self.differs(path) == 0 {
                words[0].clone()
            } else {
                words[words.len() - 1].clone()
            };
        }
        if let Some(words) = schema["enum"].as_array() {
            return if self.differs(path) == 0 {
                words[0].clone()
            } else {
                words[words.len() - 1].clone()
            };
        }
        let kind = schema["type"]
            .as_str()
            .or_else(|| schema["type"][0].as_str())
            .unwrap_or_else(|| panic!("{path}: {schema}"));
        match kind {
            "object" => {
                let properties = schema["properties"].as_object().unwrap();
                Value::Object(
                    properties
                        .iter()
                        .map(|(key, inner)| {
                            (
                                key.clone(),
                                self.sample(root, inner, &format!("{path}.{key}")),
                            )
                        })
                        .collect(),
                )
            }
            "array" => Value::Array(vec![self.sample(
                root,
                &schema["items"],
                &format!("{path}[]"),
            )]),
            "integer" => json!(1 + self.differs(path)),
            "boolean" => json!(self.differs(path) == 0),
            other => panic!("{path}: no sample for {other}"),
        }
    }

    /// A value of one of our value types; texts are words of their own.
    fn scalar(&mut self, name: &str, path: &str) -> Option<Value> {
        let v = self.differs(path);
        let pick = |choices: [&str; 2]| Some(json!(choices[v]));
        match name {
            "Id" if path.contains(".done") => pick(["eyes-open", "ears-open"]),
            "Id" if path.contains(".excused") => pick(["collar", "visitors"]),
            "Text" | "Look" | "Id" => Some(json!(self.word(path))),
            "Email" => Some(json!(format!("{}@post.example", self.word(path)))),
            "Weight" | "WeightEntry" => pick(["211 g", "305 g"]),
            "Temperature" => pick(["35.1 °C", "37.9 °C"]),
            "FeedAmount" => pick(["3 ml", "4 ml"]),
            "Energy" => pick(["1.1 kcal/ml", "1.2 kcal/ml"]),
            "Progesterone" => pick(["2.7 ng/ml", "9.3 ng/ml"]),
            "Length" => pick(["17 mm", "23 mm"]),
            "Within" => pick(["5 working days", "3 days"]),
            "Span" => pick(if path.starts_with("care-plan.items") {
                ["3 days", "4 days"]
            } else {
                ["57 s", "83 s"]
            }),
            "Percent" => pick(["7 %", "9 %"]),
            "Score" => pick(["1", "2"]),
            "Since" => pick(["2026-10-06", "true"]),
            "Day" => pick(["2026-10-06", "2026-10-07"]),
            "Moment" => pick(["2026-10-06 07:31", "2026-10-07 08:32"]),
            "BirthTime" => pick(["09:13", "10:17"]),
            "ChipNumber" => pick(["941000020000011", "941000020000099"]),
            "Zone" => Some(json!("Europe/London")),
            "SiteAddress" => Some(json!("https://canary.example/")),
            "Ribbon" => Some(json!("green")),
            _ => None,
        }
    }

    /// A word that occurs nowhere else; private ones differ between the two kennels.
    fn word(&mut self, path: &str) -> String {
        self.made += 1;
        let n = self.made;
        let word = if EVERYONE.contains(&path) {
            format!("zqopen{n:03}x")
        } else {
            format!("zqshut{n:03}{}x", ["aa", "bb"][self.variant])
        };
        self.words.push((path.to_owned(), word.clone()));
        word
    }

    /// The same as a record of which nothing may be seen, whatever its fields are otherwise.
    fn hidden(&mut self, mut value: Value) -> Value {
        let from = self.words.len();
        self.hide(&mut value);
        assert!(self.words.len() > from, "something was hidden");
        value
    }

    fn hide(&mut self, value: &mut Value) {
        match value {
            Value::String(text) if text.starts_with("zq") => {
                *text = self.word("hidden") + text.split_once('@').map_or("", |_| "@post.example")
            }
            Value::Array(list) => list.iter_mut().for_each(|v| self.hide(v)),
            Value::Object(map) => map.values_mut().for_each(|v| self.hide(v)),
            _ => {}
        }
    }
}

fn set(value: &mut Value, changes: &[(&str, Value)]) {
    for (pointer, new) in changes {
        let (parent, key) = pointer.rsplit_once('/').unwrap();
        let parent = value
            .pointer_mut(parent)
            .unwrap_or_else(|| panic!("no {pointer}"));
        if new.is_null() {
            _ = parent.as_object_mut().unwrap().remove(key)
        } else {
            parent[key] = new.clone()
        }
    }
}

/// Writes one of the two kennels and gives back its private and its open words.
fn kennel(root: &Path, variant: usize) -> Vec<(String, String)> {
    let mut maker = Maker {
        variant,
        made: 0,
        words: Vec::new(),
    };
    let write = |file: &str, text: String| {
        let path = root.join("content").join(file);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(path, text).unwrap();
    };
    let mut kennel = maker.record("kennel");
    set(
        &mut kennel,
        &[
            ("/country", json!("GB")),
            ("/as_of", json!("2026-10-09")),
            ("/leaving_age", json!("63 days")),
        ],
    );
    write("kennel.yaml", kennel.to_string());

    let mut dam = maker.record("dog");
    let unpublished = maker.sample_list(&dam["screening"][0].clone());
    set(
        &mut dam,
        &[
            ("/sex", json!("female")),
            ("/born", json!("2021-01-01")),
            ("/died", Value::Null),
            ("/adult_weight", json!(["9.1 kg", "9.7 kg"][variant])),
            ("/sire", Value::Null),
            ("/dam", json!("granny")),
            ("/photo", json!("dam.jpg")),
        ],
    );
    set(
        &mut dam,
        &[
            ("/screening/0/on", json!("2023-01-01")),
            ("/screening/0/publish", json!(true)),
        ],
    );
    dam["screening"].as_array_mut().unwrap().push(unpublished);
    write("dogs/dam.yaml", dam.to_string());
    let mut sire = maker.record("dog");
    set(
        &mut sire,
        &[
            ("/sex", json!("male")),
            ("/born", json!("2020-01-01")),
            ("/died", json!(["2026-09-01", "2026-09-02"][variant])),
            ("/adult_weight", json!(["9.1 kg", "9.7 kg"][variant])),
            ("/sire", Value::Null),
            ("/dam", Value::Null),
            ("/photo", Value::Null),
        ],
    );
    set(
        &mut sire,
        &[
            (
                "/chip",
                json!(["941000020000012", "941000020000098"][variant]),
            ),
            ("/screening", json!([])),
        ],
    );
    // A male has no seasons, and what was done to him was done while he lived.
    let (neutered, retired) = (
        ["2026-08-01", "2026-08-02"][variant],
        ["2026-08-03", "2026-08-04"][variant],
    );
    set(
        &mut sire,
        &[
            ("/seasons", Value::Null),
            ("/neutered", json!(neutered)),
            ("/retired", json!(retired)),
        ],
    );
    write("dogs/sire.yaml", sire.to_string());
    write(
        "dogs/granny.yaml",
        json!({ "name": "Old Granny", "sex": "female" }).to_string(),
    );

    litter(&mut maker, &write);
    weights_and_health(&mut maker, &write);
    people(&mut maker, &write);
    notes(&mut maker, &write);
    write("care-plan.yaml", maker.record("care-plan").to_string());
    pictures(root, variant);
    maker.words
}

impl Maker {
    /// A screening result like `open`, but not to be published.
    fn sample_list(&mut self, open: &Value) -> Value {
        let mut closed = self.hidden(open.clone());
        closed["publish"] = json!(false);
        closed["on"] = json!("2023-02-01");
        closed
    }
}

fn litter(maker: &mut Maker, write: &dyn Fn(&str, String)) {
    let variant = maker.variant;
    let mut litter = maker.record("litter");
    let dates = ["2026-08-01", "2026-08-02"][variant];
    set(
        &mut litter,
        &[
            ("/dam", json!("dam")),
            ("/sire", json!("sire")),
            ("/announced", json!(true)),
            ("/mated", json!([dates])),
            ("/ovulated", json!(dates)),
            ("/lh_surge", json!(dates)),
        ],
    );
    set(
        &mut litter,
        &[
            ("/dioestrus", json!(["2026-08-08", "2026-08-09"][variant])),
            ("/progesterone/0/on", json!(dates)),
            ("/measured/0/on", json!(dates)),
            ("/counted/on", json!(["2026-09-01", "2026-09-02"][variant])),
            ("/birth/on", json!("2026-10-05")),
            ("/adult_weight", json!(["9.1 kg", "9.7 kg"][variant])),
            ("/pictures/0/file", json!("fern-out.jpg")),
        ],
    );
    let open = litter["puppies"][0].clone();
    // Living and spoken of.
    let mut fern = open.clone();
    set(
        &mut fern,
        &[
            ("/id", json!("fern")),
            // Before the notes for owners: those of a former family are not the next one's.
            ("/returned/on", json!("2026-10-05")),
            ("/offer", json!("available")),
            ("/fate", Value::Null),
            ("/on", Value::Null),
            ("/cause", Value::Null),
            ("/chip", Value::Null),
        ],
    );
    // Dead, and living but not offered: nothing of them may be seen.
    let mut gone = maker.hidden(open.clone());
    set(
        &mut gone,
        &[
            ("/fate", json!("died")),
            ("/on", json!(["2026-10-06", "2026-10-07"][variant])),
            ("/offer", Value::Null),
            ("/ribbon", Value::Null),
            ("/order", json!(7)),
            ("/chip", Value::Null),
        ],
    );
    let mut kept_back = maker.hidden(open);
    set(
        &mut kept_back,
        &[
            ("/fate", Value::Null),
            ("/on", Value::Null),
            ("/cause", Value::Null),
            ("/offer", json!("not offered")),
            ("/ribbon", Value::Null),
            ("/order", json!(8)),
            (
                "/chip",
                json!(["941000020000013", "941000020000097"][variant]),
            ),
        ],
    );
    litter["puppies"] = json!([fern, gone, kept_back]);
    write("litters/open/litter.yaml", litter.to_string());
    write(
        "litters/expected/litter.yaml",
        json!({ "name": "Expected", "dam": "dam", "sire": "sire", "mated": ["2026-09-06"] })
            .to_string(),
    );
    // A litter that is not announced, with the same fields.
    let mut secret = maker.hidden(litter);
    set(
        &mut secret,
        &[
            ("/announced", json!(false)),
            ("/dam", json!("other")),
            ("/puppies/2/chip", Value::Null),
        ],
    );
    write(
        "dogs/other.yaml",
        json!({ "name": maker.word("hidden"), "sex": "female" }).to_string(),
    );
    write("litters/secret/litter.yaml", secret.to_string());
}

fn weights_and_health(maker: &mut Maker, write: &dyn Fn(&str, String)) {
    let weigh_in = json!({
        "at": (["2026-10-06 07:31", "2026-10-06 08:32"][maker.variant]),
        "by": maker.word("weights[].by"),
        "remark": maker.word("weights[].remark"),
        "fern": (["213 g", "307 g"][maker.variant])
    });
    write("litters/open/weights.yaml", json!([weigh_in]).to_string());
    let all = maker.record("health").as_array().unwrap()[0].clone();
    let kinds: Map<String, Value> = all
        .as_object()
        .unwrap()
        .iter()
        .filter(|(k, _)| !matches!(k.as_str(), "on" | "at" | "for" | "remark"))
        .map(|(k, v)| (k.clone(), v.clone()))
        .collect();
    let entries: Vec<Value> = kinds
        .into_iter()
        .map(|(kind, mut thing)| {
            for key in ["next_due", "until", "expiry"] {
                if thing.get(key).is_some() {
                    thing[key] = json!(["2026-11-06", "2026-11-07"][maker.variant]);
                }
            }
            if kind == "follow_up" {
                thing["weight"] = json!(["9.1 kg", "9.7 kg"][maker.variant]);
            }
            json!({
                "on": (["2026-10-06", "2026-10-07"][maker.variant]),
                "for": ["fern"],
                "remark": maker.word("health[].remark"),
                kind: thing
            })
        })
        .collect();
    write(
        "litters/open/health.yaml",
        Value::Array(entries).to_string(),
    );
}

fn people(maker: &mut Maker, write: &dyn Fn(&str, String)) {
    let mut owners = maker.record("owners");
    set(
        &mut owners,
        &[("/families/0/country", json!(["GB", "SE"][maker.variant]))],
    );
    set(
        &mut owners,
        &[
            ("/families/0/takes/0/litter", json!("open")),
            ("/families/0/takes/0/puppy", json!("fern")),
        ],
    );
    write("owners.yaml", owners.to_string());
}

fn notes(maker: &mut Maker, write: &dyn Fn(&str, String)) {
    for (audience, litter) in [
        ("everyone", "open"),
        ("owners", "open"),
        ("keeper", "open"),
        ("everyone", "secret"),
    ] {
        let seen = audience == "everyone" && litter == "open";
        let before = maker.words.len();
        let mut head = maker.record("note");
        if !seen {
            let made = maker.words.len();
            head = maker.hidden(head);
            maker.words.drain(before..made);
        }
        set(
            &mut head,
            &[
                ("/audience", json!(audience)),
                ("/date", json!("2026-10-06")),
                (
                    "/puppies",
                    if litter == "open" {
                        json!(["fern"])
                    } else {
                        json!([])
                    },
                ),
            ],
        );
        let for_owners = audience == "owners";
        if for_owners {
            head["title"] = json!(maker.word("note for owners"));
        }
        let text = maker.word(if seen {
            "note.title"
        } else if for_owners {
            "note for owners"
        } else {
            "hidden"
        });
        write(
            &format!("litters/{litter}/notes/{audience}.md"),
            format!("---\n{head}\n---\n{text}\n"),
        );
    }
    // A note that says nothing of its audience is for the keeper.
    let text = maker.word("hidden");
    write(
        "litters/open/notes/silent.md",
        format!("---\ndate: 2026-10-06\ntitle: Silent\n---\n{text}\n"),
    );
    let head = maker.record("page");
    let text = maker.word("page.title");
    write("pages/about.md", format!("---\n{head}\n---\n{text}\n"));
}

/// Pictures with private words in every kind of metadata and in the rest of the file name.
fn pictures(root: &Path, variant: usize) {
    let secret = format!("zqshutmeta{}", ["aa", "bb"][variant]);
    let put = |file: &str, shade: u8| {
        let path = root.join("content").join(file);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(path, support::jpeg_with_metadata(shade, &secret)).unwrap();
    };
    put("dogs/dam.jpg", 40);
    put("litters/open/photos/box.jpg", 60);
    put("litters/open/photos/fern-out.jpg", 80);
    put("litters/open/photos-private/fern-zqshutname.jpg", 100);
    put("litters/secret/photos/zqshutsecret.jpg", 120);
}

fn publish(root: &Path) -> Vec<(String, Vec<u8>)> {
    let run = Command::new(crate::support::program())
        .arg("--kennel")
        .arg(root)
        .arg("publish")
        .output()
        .unwrap();
    assert!(
        run.status.success(),
        "{}",
        String::from_utf8_lossy(&run.stderr)
    );
    support::files(&root.join("public"))
}

#[test]
fn the_public_site_does_not_depend_on_anything_private() {
    let homes: Vec<tempfile::TempDir> = (0..2).map(|_| tempfile::tempdir().unwrap()).collect();
    let words: Vec<_> = homes
        .iter()
        .enumerate()
        .map(|(variant, home)| kennel(home.path(), variant))
        .collect();
    let sites: Vec<_> = homes.iter().map(|home| publish(home.path())).collect();

    // Sealed pages and keys are drawn at random; what is in them is looked at below.
    let names = |site: &[(String, Vec<u8>)]| -> Vec<String> {
        site.iter()
            .map(|(name, _)| without_key(&without_draw(name)))
            .collect()
    };
    assert_eq!(names(&sites[0]), names(&sites[1]), "the same files");
    for ((name, first), (_, second)) in sites[0].iter().zip(&sites[1]) {
        // Pictures are named by a hash of the file they were made from, metadata included.
        if !name.contains("photos/") && !is_drawn(name) {
            let (first, second) = (without_keys(first), without_keys(second));
            assert!(
                first == second,
                "{name} depends on something private:\n{first}\n---\n{second}"
            );
        }
    }
    for (site, words) in sites.iter().zip(&words) {
        let private: Vec<&(String, String)> = words
            .iter()
            .filter(|(_, word)| word.contains("shut"))
            .collect();
        assert!(private.len() > 100, "{} private words", private.len());
        for (name, bytes) in site {
            assert!(
                !holds(name.as_bytes(), b"zqshut") && !holds(bytes, b"zqshut"),
                "a private word stands in {name}: {:?}",
                private.iter().find(|(_, w)| holds(bytes, w.as_bytes()))
            );
        }
    }
}

/// The public site of the small kennel with some of its litter's puppies as they are given here.
fn site_with(puppies: &str, note: Option<&str>) -> BTreeMap<String, Vec<u8>> {
    let kennel = Kennel::base();
    let litter = "name: Spring 2026\ndam: juno\nsire: corvin\nbirth: { on: 2026-04-01, how: \
                  natural }\npuppies:\n";
    kennel.write("litters/spring/litter.yaml", &format!("{litter}{puppies}"));
    for file in ["weights.yaml", "health.yaml", "notes/first-night.md"] {
        fs::remove_file(kennel.content().join("litters/spring").join(file)).unwrap();
    }
    fs::remove_file(kennel.content().join("owners.yaml")).unwrap();
    if let Some(name) = note {
        let text = "---\ndate: 2026-04-02\ntitle: The first night\naudience: everyone\n---\nAll \
                    quiet by midnight.\n";
        kennel.write(&format!("litters/spring/notes/{name}.md"), text);
    }
    kennel.run(&["publish"]).ends_with(0);
    // Keys are drawn at random.
    let public = kennel
        .site()
        .into_iter()
        .filter_map(|(name, bytes)| Some((name.strip_prefix("public/")?.to_owned(), bytes)));
    public.filter(|(name, _)| !is_drawn(name)).collect()
}

#[test]
fn the_loss_of_a_puppy_that_was_never_shown_changes_nothing_in_public() {
    let shown = "  - { id: moss, sex: female, offer: available }\n  - { id: wren, sex: male, \
                 offer: reserved }\n";
    let with = |third: &str| {
        site_with(
            &format!("{shown}  - {{ id: ash, sex: female, {third} }}\n"),
            None,
        )
    };
    let alive = with("offer: not offered");
    let page = String::from_utf8(alive["litters/spring.html"].clone()).unwrap();
    assert!(
        page.contains("1 female, 1 male"),
        "those that are shown or spoken for are counted"
    );
    for fate in ["fate: died, on: 2026-04-03", "fate: stillborn"] {
        assert!(with(fate) == alive, "{fate}");
    }
    // Of a litter of which nobody was told anything, nothing is public before or after.
    let untold = |fate: &str| site_with(&format!("  - {{ id: ash, sex: female, {fate} }}\n"), None);
    assert!(untold("offer: not offered") == untold("fate: died, on: 2026-04-03"));
    assert!(!untold("offer: not offered").contains_key("litters/spring.html"));
    // When the birth was told, the page stays whatever comes.
    let told = |fate: &str| {
        site_with(
            &format!("  - {{ id: ash, sex: female, {fate} }}\n"),
            Some("first-night"),
        )
    };
    assert!(told("offer: not offered") == told("fate: died, on: 2026-04-03"));
    assert!(told("offer: not offered").contains_key("litters/spring.html"));
}

#[test]
fn the_name_of_a_notes_file_stands_nowhere_in_public() {
    let shown = "  - { id: moss, sex: female, offer: available }\n";
    let site = site_with(shown, Some("2026-04-02-tyr-is-weak"));
    assert!(
        site == site_with(shown, Some("first-night")),
        "what a file is called makes no difference"
    );
    let page = String::from_utf8(site["litters/spring.html"].clone()).unwrap();
    assert!(
        page.contains("id=\"note-2026-04-02-the-first-night\""),
        "date and title make the anchor"
    );
}

#[test]
fn what_everybody_may_see_is_there() {
    // The search above proves nothing if nothing could be found at all.
    let home = tempfile::tempdir().unwrap();
    let words = kennel(home.path(), 0);
    let site = publish(home.path());
    let dead = [
        "note.puppies[]",
        "litter.puppies[].id",
        "dog.sire",
        "dog.dam",
        "litter.dam",
        "litter.sire",
        "dog.photo",
        "kennel.country",
        "dog.about",
    ];
    for (path, word) in words
        .iter()
        .filter(|(path, word)| word.contains("open") && !dead.contains(&path.as_str()))
    {
        let replaced = path == "dog.screening[].by" || path.starts_with("dog.screening");
        assert!(
            replaced || site.iter().any(|(_, bytes)| holds(bytes, word.as_bytes())),
            "{path} ({word}) is nowhere"
        );
    }
}

#[test]
fn every_open_field_exists() {
    let mut known = BTreeSet::new();
    for (record, _) in litterfolio::records::schema::RECORDS {
        let mut maker = Maker {
            variant: 0,
            made: 0,
            words: Vec::new(),
        };
        if *record != "weights" {
            collect(&maker.record(record), record, &mut known);
        }
    }
    for field in EVERYONE {
        assert!(known.contains(*field), "{field} is no field any more");
    }
}

fn collect(value: &Value, path: &str, known: &mut BTreeSet<String>) {
    known.insert(path.to_owned());
    match value {
        Value::Object(map) => map
            .iter()
            .for_each(|(key, inner)| collect(inner, &format!("{path}.{key}"), known)),
        Value::Array(list) => list
            .iter()
            .for_each(|inner| collect(inner, &format!("{path}[]"), known)),
        _ => {}
    }
}

fn holds(bytes: &[u8], word: &[u8]) -> bool {
    bytes.windows(word.len()).any(|w| w == word)
}

/// Whether a file holds something that was drawn at random.
fn is_drawn(name: &str) -> bool {
    name.starts_with("sealed/") || name == "kennel-keys.json" || name == "record-check.html"
}

fn without_draw(name: &str) -> String {
    if name.starts_with("sealed/") {
        "sealed/page.html".to_owned()
    } else {
        name.to_owned()
    }
}

/// Replaces the 20 hexadecimal digits in the names of pictures.
fn without_key(name: &str) -> String {
    name.split('-')
        .map(|part| {
            if part.len() == 20 && part.bytes().all(|b| b.is_ascii_hexdigit()) {
                "key"
            } else {
                part
            }
        })
        .collect::<Vec<_>>()
        .join("-")
}

fn without_keys(bytes: &[u8]) -> String {
    String::from_utf8_lossy(bytes)
        .split_inclusive(['"', ' ', '/'])
        .map(without_key)
        .collect()
}

/// Fields that the owner of a puppy sees beside those that everybody sees; `OWNER` of the record
/// guide. All others are the keeper's.
const OWNER: &[&str] = &[
    "kennel.region",
    "kennel.contact.address",
    "kennel.contact.emergency_vet.clinic",
    "kennel.contact.emergency_vet.phone",
    "dog.registration.registry",
    "dog.registration.number",
    "owners.families[].name",
    "page.promises[].text",
    "note for owners",
];

#[test]
fn an_owner_sees_one_puppy_and_nothing_that_is_for_the_keeper() {
    let home = tempfile::tempdir().unwrap();
    let words = kennel(home.path(), 0);
    let site = publish(home.path());
    let codes: std::collections::BTreeMap<String, std::collections::BTreeMap<String, String>> =
        serde_yaml::from_str(&fs::read_to_string(home.path().join("codes.yaml")).unwrap()).unwrap();
    let pages: Vec<&(String, Vec<u8>)> = site
        .iter()
        .filter(|(name, _)| name.starts_with("sealed/"))
        .collect();
    assert_eq!(
        (codes.len(), pages.len()),
        (1, 1),
        "one family takes one puppy"
    );
    let html = String::from_utf8(pages[0].1.clone()).unwrap();
    let jwe = html
        .split_once("id=\"sealed\">")
        .unwrap()
        .1
        .split_once("</script>")
        .unwrap()
        .0
        .trim();
    let content =
        litterfolio::sealing::jwe::open(jwe, &codes["open/fern"]["code"].parse().unwrap()).unwrap();
    let content: Value = serde_json::from_slice(&content).unwrap();
    let mut seen = content["body"].as_str().unwrap().to_owned();
    for file in content["files"].as_array().unwrap() {
        let bytes = base64::Engine::decode(
            &base64::engine::general_purpose::STANDARD,
            file["base64"].as_str().unwrap(),
        )
        .unwrap();
        // Lines of a calendar are folded.
        seen.push_str(&String::from_utf8_lossy(&bytes).replace("\r\n ", ""));
    }
    // How a grown puppy is, and who says so, are the words of a family, which may be a former one.
    let of_the_keeper = [
        "health[].remark",
        "health[].follow_up.how",
        "health[].follow_up.by",
    ];
    let health = |path: &str| path.starts_with("health[].") && !of_the_keeper.contains(&path);
    let puppy = |path: &str| {
        path.starts_with("litter.puppies[].")
            && !path.ends_with(".remarks")
            && !path.ends_with(".cause")
            && !path.contains(".returned.")
    };
    let may_see = |path: &str| {
        OWNER.contains(&path) || EVERYONE.contains(&path) || health(path) || puppy(path)
    };
    let (mut open, mut remarks, mut wrong) = (0, 0, Vec::new());
    for (path, word) in &words {
        if seen.contains(word.as_str()) {
            remarks += usize::from(path == "health[].remark");
            open += usize::from(word.contains("shut"));
            if !may_see(path) && path != "health[].remark" {
                wrong.push(format!("{path} ({word}) is for the keeper alone"));
            }
        } else if OWNER.contains(&path.as_str()) || (health(path) && path != "health[].for[]") {
            wrong.push(format!("{path} ({word}) should be on the owner's page"));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    assert_eq!(
        remarks, 1,
        "the reason why an item is not needed, and no other remark"
    );
    assert!(open > 60, "{open} private words were found on the page");
}

#[test]
fn private_files_are_for_the_keeper_alone() {
    let home = tempfile::tempdir().unwrap();
    kennel(home.path(), 0);
    publish(home.path());
    let book: PathBuf = home.path().join("private/index.html");
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        assert_eq!(fs::metadata(&book).unwrap().permissions().mode() & 0o077, 0);
    }
    assert!(fs::read_to_string(book).unwrap().len() > 500);
}

/// What a phone at the box may be told besides what everybody sees: what a task of the round names.
/// A litter that is not announced is one of now as well; where its words stand is not known, and
/// the same fields are looked at in the other litter.
const PHONE: &[&str] = &[
    "health[].illness.signs",
    "health[].treatment.product",
    "health[].treatment.why",
    "hidden",
];

#[test]
fn a_phone_is_told_names_weights_and_tasks_and_nothing_else() {
    use litterfolio::{audience::phone, husbandry::compute, records::load};
    let home = tempfile::tempdir().unwrap();
    let words = kennel(home.path(), 0);
    let content = home.path().join("content");
    let mut told = String::new();
    // On several days: tasks come and go.
    for day in ["2026-10-09", "2026-10-23", "2026-11-06", "2026-12-03"] {
        let kennel = content.join("kennel.yaml");
        let text = fs::read_to_string(&kennel).unwrap();
        let mut pinned: Value = serde_json::from_str(&text).unwrap();
        pinned["as_of"] = json!(day);
        fs::write(&kennel, pinned.to_string()).unwrap();
        let loaded = load(&content, crate::support::now()).unwrap();
        let records = loaded.records.unwrap();
        let view = phone::view(&records, &compute(&records));
        told.push_str(&serde_json::to_string(&view).unwrap());
    }
    assert!(told.contains("213 g"), "the last weight of fern: {told}");
    assert!(told.contains("\"tasks\":[{"), "no task was told: {told}");
    let mut private = 0;
    let wrong: Vec<String> = words
        .iter()
        .filter(|(path, _)| !EVERYONE.contains(&path.as_str()) && !PHONE.contains(&path.as_str()))
        .inspect(|_| private += 1)
        .filter(|(_, word)| told.contains(word.as_str()))
        .map(|(path, word)| format!("{path} ({word})"))
        .collect();
    assert!(private > 100, "{private} private words");
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}
