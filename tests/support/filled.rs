//! A kennel in which every key of every record is filled in, made from the JSON Schemas.
//!
//! In: the schemas and what to write into free text. Out: a kennel folder without an error, and the
//! list of all free-text keys that were filled. A new key of a record is filled in by itself; one
//! that needs a value fitting to the others stops with its path.

use super::Kennel;
use litterfolio::records::schema;
use serde_json::{Map, Value, json};
use std::cell::RefCell;
use std::collections::BTreeSet;

/// Values that have to fit to those of other keys; null leaves the key out.
const FITTING: &[(&str, &str)] = &[
    ("kennel.country", "GB"),
    ("owners.families.country", "GB"),
    ("kennel.time_zone", "Europe/London"),
    ("kennel.as_of", "2026-10-09"),
    ("kennel.leaving_age", "56 days"),
    ("kennel.contact.email", "nell@tarnside.example"),
    ("kennel.site", "https://tarnside.example/"),
    ("dog.sire", "brack"),
    ("dog.dam", "tansy"),
    ("dog.born", "2022-03-14"),
    ("dog.chip", "941000024681357"),
    ("dog.photo", PORTRAIT),
    ("dog.adult_weight", "9.4 kg"),
    ("dog.neutered", "2026-08-01"),
    ("dog.retired", "2026-08-01"),
    ("litter.adult_weight", "9.4 kg"),
    ("litter.dam", "juno"),
    ("litter.sire", "corvin"),
    ("litter.mated", "2026-01-28"),
    ("litter.ovulated", "2026-01-30"),
    ("litter.lh_surge", "2026-01-28"),
    ("litter.dioestrus", "2026-02-06"),
    ("litter.birth.on", "2026-04-01"),
    ("litter.birth.how", "planned section"),
    ("litter.counted.on", "2026-03-25"),
    ("litter.puppies.id", "moss"),
    ("litter.puppies.chip", "941000025557101"),
    ("litter.puppies.offer", "reserved"),
    ("health.at", ""),
    ("health.for", "moss"),
    ("litter.puppies.returned.on", "2026-09-01"),
    ("health.follow_up.weight", "9.4 kg"),
    ("health.chip.number", "941000025557101"),
    ("health.done", "eyes-open"),
    ("health.excused", "collar"),
    ("owners.families.id", "lund"),
    ("owners.families.takes.litter", "spring"),
    ("owners.families.takes.puppy", "moss"),
    ("note.audience", "everyone"),
    ("note.puppies", "moss"),
    ("care-plan.items.id", "garden"),
];

/// The name of a picture that would break out of an attribute.
pub const PORTRAIT: &str = "\"><img src=x onerror=alert(3)>.jpg";

/// Fills schemas in.
pub struct Filler<'a> {
    payload: &'a dyn Fn(&str) -> String,
    filled: RefCell<BTreeSet<String>>,
}

impl<'a> Filler<'a> {
    /// `payload` gives the text for the free-text key at a path.
    pub fn new(payload: &'a dyn Fn(&str) -> String) -> Self {
        Self {
            payload,
            filled: RefCell::default(),
        }
    }

    /// The free-text keys that were filled.
    pub fn filled(&self) -> BTreeSet<String> {
        self.filled.borrow().clone()
    }

    fn text(&self, path: &str) -> Value {
        self.filled.borrow_mut().insert(path.to_owned());
        Value::String((self.payload)(path))
    }

    /// A record with every key of its schema.
    pub fn record(&self, name: &str) -> Value {
        let schema = schema::of(name).unwrap();
        self.value(&schema, &schema, name).unwrap()
    }

    fn value(&self, node: &Value, root: &Value, path: &str) -> Option<Value> {
        if let Some((_, value)) = FITTING.iter().find(|(p, _)| *p == path) {
            return (!value.is_empty()).then(|| json!(value));
        }
        if let Some(target) = node.get("$ref").and_then(Value::as_str) {
            let simple = match target.rsplit('/').next().unwrap() {
                "Text" | "Look" => self.text(path),
                "Day" => json!("2026-04-15"),
                "Moment" => json!("2026-04-15 08:00"),
                "BirthTime" => json!("09:14"),
                "Weight" | "WeightEntry" => json!("224 g"),
                "Span" => json!(if path.ends_with("until") {
                    "5 weeks"
                } else {
                    "5 min"
                }),
                "Temperature" => json!("37.9 °C"),
                "FeedAmount" => json!("3 ml"),
                "Energy" => json!("1.1 kcal/ml"),
                "Progesterone" => json!("5.6 ng/ml"),
                "Length" => json!("20 mm"),
                "Percent" => json!("10 %"),
                "Ribbon" => json!("green"),
                "Email" => json!("somebody@post.example"),
                "Within" => json!("5 working days"),
                "Score" => json!(2),
                "Id" | "ChipNumber" => panic!("{path} needs a fitting value"),
                _ => {
                    return self.value(
                        root.pointer(target.trim_start_matches('#')).unwrap(),
                        root,
                        path,
                    );
                }
            };
            return Some(simple);
        }
        for several in ["anyOf", "oneOf", "allOf"] {
            if let Some(list) = node.get(several).and_then(Value::as_array) {
                return self.value(
                    list.iter().find(|one| one["type"] != "null").unwrap(),
                    root,
                    path,
                );
            }
        }
        if let Some(word) = node
            .get("const")
            .or_else(|| node.get("enum").map(|words| &words[0]))
        {
            return Some(word.clone());
        }
        let kind = match &node["type"] {
            Value::Array(kinds) => kinds.iter().find(|kind| *kind != "null").unwrap(),
            kind => kind,
        };
        Some(
            match kind
                .as_str()
                .unwrap_or_else(|| panic!("{path} has no kind: {node}"))
            {
                "object" => {
                    let properties = node["properties"].as_object().unwrap();
                    let filled = properties.iter().filter_map(|(key, value)| {
                        Some((
                            key.clone(),
                            self.value(value, root, &format!("{path}.{key}"))?,
                        ))
                    });
                    Value::Object(filled.collect())
                }
                // A promise is a sentence, or a sentence with its days: one of each.
                "array" if path == "kennel.policies" => {
                    json!([self.text(path), { "text": self.text("kennel.policies.text"), "within": "3 days" }])
                }
                "array" => json!([self.value(&node["items"], root, path).unwrap()]),
                "boolean" => json!(!path.ends_with("skip")),
                "integer" => json!(1),
                other => panic!("{path} is {other}, which is not filled in yet"),
            },
        )
    }

    /// The whole kennel.
    pub fn kennel(&self) -> Kennel {
        let kennel = Kennel::base();
        // JSON is YAML.
        let write = |file: &str, record: &Value| kennel.write(file, &format!("{record:#}\n"));
        write("kennel.yaml", &self.record("kennel"));
        let mut dog = self.record("dog");
        remove(&mut dog, &["died"]);
        write("dogs/juno.yaml", &dog);
        write("owners.yaml", &self.record("owners"));
        let mut plan = self.record("care-plan");
        plan["items"][0]["from"] = json!("4 weeks");
        write("care-plan.yaml", &plan);
        write("litters/spring/litter.yaml", &self.litter());
        write("litters/spring/health.yaml", &self.health());
        let weigh_in = json!([{
            "at": "2026-04-02 08:00",
            "by": self.text("weights.by"),
            "remark": self.text("weights.remark"),
            "moss": "231 g"
        }]);
        write("litters/spring/weights.yaml", &weigh_in);
        let body = "Text below.";
        std::fs::remove_file(kennel.content().join("litters/spring/notes/first-night.md")).unwrap();
        for audience in ["everyone", "owners", "keeper"] {
            let mut head = self.record("note");
            head["audience"] = json!(audience);
            kennel.write(
                &format!("litters/spring/notes/{audience}.md"),
                &format!("---\n{head:#}\n---\n{body}\n"),
            );
        }
        kennel.write(
            "pages/filled.md",
            &format!("---\n{:#}\n---\n{body}\n", self.record("page")),
        );
        kennel
    }

    /// A litter with a living puppy and one that died.
    fn litter(&self) -> Value {
        let mut litter = self.record("litter");
        litter["birth"]["placentas"] = json!(2);
        litter["counted"]["puppies"] = json!(2);
        let mut living = litter["puppies"][0].clone();
        remove(&mut living, &["fate", "on", "cause"]);
        let mut dead = litter["puppies"][0].clone();
        remove(&mut dead, &["ribbon", "chip", "offer", "returned"]);
        for (key, value) in [("id", "ash"), ("fate", "died"), ("on", "2026-04-02")] {
            dead[key] = json!(value);
        }
        dead["order"] = json!(2);
        litter["puppies"] = json!([living, dead]);
        litter
    }

    /// An entry for each thing that an entry can say.
    fn health(&self) -> Value {
        let entry = self.record("health")[0].as_object().unwrap().clone();
        let always = ["on", "for", "remark"];
        let kinds = entry.keys().filter(|key| !always.contains(&key.as_str()));
        let of_kind = |kind: &String| {
            let keys = always.iter().copied().chain([kind.as_str()]);
            Value::Object(
                keys.map(|key| (key.to_owned(), entry[key].clone()))
                    .collect::<Map<_, _>>(),
            )
        };
        Value::Array(kinds.map(of_kind).collect())
    }
}

fn remove(record: &mut Value, keys: &[&str]) {
    for key in keys {
        record.as_object_mut().unwrap().remove(*key).unwrap();
    }
}
