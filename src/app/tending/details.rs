//! The details of a health entry as they are typed, and which of them belong to which kind.
//!
//! In: options. Out: [`TypedEntry`]: the kind with its details in the order of the record guide, or
//! a sentence on what does not belong to it or is still missing. Values are written as they were
//! typed; the reader judges them.

use crate::app::terminal;
use crate::quantity::{
    ChipNumber, Day, Energy, Id, Temperature, Text, Unreadable, Weight, did_you_mean, nearest,
};
use crate::records::adding::{EntryValue, NewEntry};
use crate::records::health::HealthKind;

/// Details of an entry; which of them belong to which kind is said in the record guide.
#[derive(Debug, Clone, Default, clap::Args)]
#[group(skip)]
#[command(next_help_heading = "Details, as the record guide names them")]
pub(crate) struct Details {
    /// Product
    #[arg(long, value_name = "NAME")]
    product: Option<String>,
    /// Active substance
    #[arg(long, value_name = "NAME")]
    active: Option<String>,
    /// Manufacturer of a vaccine
    #[arg(long, value_name = "NAME")]
    manufacturer: Option<String>,
    /// Batch
    #[arg(long, value_name = "BATCH")]
    batch: Option<String>,
    /// Expiry date of the vial
    #[arg(long, value_name = "DAY")]
    expiry: Option<String>,
    /// The weight it was given for, with its unit [default: each puppy's last weigh-in, when it is
    /// at most three days old]
    #[arg(long, value_name = "WEIGHT", conflicts_with = "weigh_last")]
    weight: Option<String>,
    /// Take the weight of each puppy's last weigh-in, where it is at most three days old; so it is
    /// done where no weight is given
    #[arg(long)]
    weigh_last: bool,
    /// What was given, in the words of the label or the vet
    #[arg(long, value_name = "WORDS")]
    given: Option<String>,
    /// Diseases a vaccination is against, with commas
    #[arg(long, value_name = "NAMES")]
    against: Option<String>,
    /// Which of a series of vaccinations: first, second …
    #[arg(long, value_name = "WORD")]
    which: Option<String>,
    /// Where on the body
    #[arg(long, value_name = "WORDS")]
    site: Option<String>,
    /// Who did it or says so: keeper, vet and practice, laboratory
    #[arg(long, value_name = "NAME")]
    by: Option<String>,
    /// When it is due again
    #[arg(long, value_name = "DAY")]
    next: Option<String>,
    /// Until when a treatment goes on
    #[arg(long, value_name = "DAY")]
    until: Option<String>,
    /// Why a treatment is given
    #[arg(long, value_name = "WORDS")]
    why: Option<String>,
    /// A reaction to a vaccination
    #[arg(long, value_name = "WORDS")]
    reaction: Option<String>,
    /// What a check found
    #[arg(long, value_name = "WORDS")]
    findings: Option<String>,
    /// What was advised
    #[arg(long, value_name = "WORDS")]
    advice: Option<String>,
    /// A part that was looked at in a check, and what was seen: --look heart="no murmur heard";
    /// may be given again
    #[arg(long, value_name = "PART=WORDS")]
    look: Vec<String>,
    /// Signs of illness
    #[arg(long, value_name = "WORDS")]
    signs: Option<String>,
    /// A temperature with its unit: "38.2 °C" or 38.2C
    #[arg(long, value_name = "AMOUNT")]
    value: Option<String>,
    /// What was fed, or tested
    #[arg(long, value_name = "WORDS")]
    what: Option<String>,
    /// How much was fed, with its unit: "3.5 ml"
    #[arg(long, value_name = "AMOUNT")]
    amount: Option<String>,
    /// How it was fed: bottle, tube, spoon; in a follow-up, how the grown puppy is
    #[arg(long, value_name = "WORDS")]
    how: Option<String>,
    /// Energy of what was fed, as the packet says: "1.1 kcal/ml"
    #[arg(long, value_name = "AMOUNT")]
    energy: Option<String>,
    /// Bite of a grown puppy
    #[arg(long, value_name = "WORDS")]
    bite: Option<String>,
    /// Hips of a grown puppy: the result of their X-ray, or how it moves
    #[arg(long, value_name = "WORDS")]
    hips: Option<String>,
    /// Result of a test
    #[arg(long, value_name = "WORDS")]
    result: Option<String>,
    /// Number of a chip
    #[arg(long, value_name = "NUMBER")]
    number: Option<String>,
    /// Items of the care plan, with commas, for done and excused
    #[arg(long, value_name = "NAMES")]
    item: Option<String>,
    /// Anything worth keeping, for the keeper alone
    #[arg(long, value_name = "WORDS")]
    remark: Option<String>,
}

/// The details of a kind of entry, by the names of the record.
#[derive(Debug, Clone, Copy)]
pub(crate) struct KindDetails {
    /// Those that it needs.
    pub(crate) needs: &'static [&'static str],
    /// Those that it may have.
    pub(crate) may: &'static [&'static str],
}

impl KindDetails {
    /// Those of one kind. A test compares them with the schema of `health.yaml`.
    pub(crate) fn of(kind: HealthKind) -> Self {
        let (needs, may): (&[_], &[_]) = match kind {
            HealthKind::Worming | HealthKind::Parasite => (
                &["product"],
                &["active", "batch", "weight", "given", "by", "next_due"],
            ),
            HealthKind::Vaccination => (
                &["product"],
                &[
                    "against",
                    "manufacturer",
                    "batch",
                    "expiry",
                    "dose",
                    "site",
                    "by",
                    "next_due",
                    "reaction",
                ],
            ),
            HealthKind::Check => (
                &["by"],
                &[
                    "findings", "advice", "heart", "eyes", "ears", "mouth", "navel", "testes",
                    "knees", "skin", "joints",
                ],
            ),
            HealthKind::Temperature => (&["value"], &[]),
            HealthKind::Feed => (&["what"], &["amount", "how", "energy"]),
            HealthKind::Illness => (&["signs"], &["advice", "by"]),
            HealthKind::Treatment => (&["product"], &["why", "given", "by", "until"]),
            HealthKind::Chip => (&["number"], &["by", "site"]),
            HealthKind::Test => (&["what", "result"], &["by"]),
            HealthKind::FollowUp => (&[], &["weight", "bite", "hips", "how", "by"]),
            HealthKind::Done | HealthKind::Excused => (&["item"], &[]),
        };
        Self { needs, may }
    }

    /// All of them, needed ones first.
    pub(crate) fn all(self) -> impl Iterator<Item = &'static str> {
        self.needs.iter().chain(self.may).copied()
    }
}

const PARTS: &[&str] = &[
    "heart", "eyes", "ears", "mouth", "navel", "testes", "knees", "skin", "joints",
];

/// A kind with its details.
#[derive(Debug, Clone)]
pub(crate) struct TypedEntry {
    /// The kind.
    pub(crate) kind: HealthKind,
    keys: Vec<(&'static str, EntryValue)>,
    remark: Option<String>,
    /// Whether the weight of each puppy belongs into its entry.
    pub(crate) weighs: bool,
}

/// The option by which a detail is typed.
fn option_of(key: &str) -> String {
    match key {
        "next_due" => "--next".to_owned(),
        "dose" => "--which".to_owned(),
        key if PARTS.contains(&key) => format!("--look {key}=…"),
        key => format!("--{key}"),
    }
}

/// Whether the reader will understand a value; what it would say where not.
pub(crate) fn readable(key: &str, text: &str) -> Result<(), Unreadable> {
    match key {
        "weight" => text.parse::<Weight>().map(|_| ()),
        "expiry" | "next_due" | "until" => text.parse::<Day>().map(|_| ()),
        "value" => text.parse::<Temperature>().map(|_| ()),
        "number" => text.parse::<ChipNumber>().map(|_| ()),
        "energy" => text.parse::<Energy>().map(|_| ()),
        "item" => text.parse::<Id>().map(|_| ()),
        _ => text.parse::<Text>().map(|_| ()),
    }
}

/// Several names with commas.
pub(crate) fn names(text: &str) -> EntryValue {
    EntryValue::Several(
        text.split(',')
            .map(|name| name.trim().to_owned())
            .filter(|name| !name.is_empty())
            .collect(),
    )
}

/// What a detail that is needed is asked by at a terminal, and what stands for it in a command that
/// is shown.
fn question(key: &str) -> (&'static str, &'static str) {
    match key {
        "product" => ("Product", "NAME OF THE PRODUCT"),
        "by" => ("Vet and practice", "NAME OF THE VET"),
        "what" => ("What was fed, or tested", "WHAT IT WAS"),
        "signs" => ("Signs that were seen", "SIGNS THAT WERE SEEN"),
        "result" => ("Result", "RESULT OF THE TEST"),
        "number" => ("Number of the chip", "NUMBER"),
        "item" => (
            "Items of the care plan, by name, with commas",
            "NAME OF THE ITEM",
        ),
        _ => ("Temperature, with its unit", "TEMPERATURE"),
    }
}

/// Where such a word was left standing it would go into a record that is signed later.
fn left_standing(key: &str, value: &EntryValue) -> Option<String> {
    let stands = |text: &String| *text == question(key).1;
    let is_left = match value {
        EntryValue::One(text) => stands(text),
        EntryValue::Several(texts) => texts.iter().any(stands),
        EntryValue::Keys(_) => false,
    };
    let (asks, word) = question(key);
    is_left.then(|| {
        format!(
            "{}: `{word}` stands in the place of what only you know ({}); write that there. \
             Nothing was added",
            option_of(key),
            asks.to_lowercase()
        )
    })
}

impl Details {
    /// Asks at a terminal for what an entry of this kind needs and was not typed; where nobody
    /// answers, a command that has it all.
    pub(crate) fn completed(mut self, kind: &str, typed: &str) -> Result<Self, String> {
        let wanted = kind.trim().to_lowercase();
        let needs = HealthKind::of_key(&wanted).map_or(&[][..], |kind| KindDetails::of(kind).needs);
        let lacks: Vec<&'static str> = needs
            .iter()
            .copied()
            .filter(|key| self.needed(key).is_none_or(|value| value.is_none()))
            .collect();
        for (i, key) in lacks.iter().enumerate() {
            let Some(answer) = terminal::value(&format!("{}: ", question(key).0)) else {
                let more: Vec<String> = lacks[i..]
                    .iter()
                    .map(|key| format!("{} {}", option_of(key), terminal::typed(question(key).1)))
                    .collect();
                let words: Vec<&str> = lacks[i..].iter().map(|key| question(key).1).collect();
                // Details that were typed are not repeated: then only what has to be added is said.
                let begin = if self.typed()?.is_empty() {
                    "Say it as"
                } else {
                    "Add"
                };
                let typed = if self.typed()?.is_empty() {
                    format!("{typed} ")
                } else {
                    String::new()
                };
                return Err(format!(
                    "`{wanted}` needs {}; nothing was added. {begin}, with what you know in place \
                     of {}: {typed}{}",
                    option_of(key),
                    words.join(" and "),
                    more.join(" ")
                ));
            };
            if let Some(value) = self.needed(key) {
                *value = Some(answer);
            }
        }
        Ok(self)
    }

    /// Whether it is a chip, and its number is not said.
    pub(crate) fn is_chip_without_number(&self, kind: &str) -> bool {
        kind.trim().eq_ignore_ascii_case("chip") && self.number.is_none()
    }

    /// A chip whose numbers are asked for one by one.
    pub(crate) fn without_number(&self) -> Result<TypedEntry, String> {
        // Any number that can be read will do: each entry gets its own.
        let any = Self {
            number: Some("941000000000001".to_owned()),
            ..self.clone()
        };
        let mut said = any.of_kind("chip")?;
        said.keys.retain(|(key, _)| *key != "number");
        Ok(said)
    }

    /// The place of a detail that some kind needs.
    fn needed(&mut self, key: &str) -> Option<&mut Option<String>> {
        Some(match key {
            "product" => &mut self.product,
            "by" => &mut self.by,
            "value" => &mut self.value,
            "what" => &mut self.what,
            "signs" => &mut self.signs,
            "number" => &mut self.number,
            "result" => &mut self.result,
            "item" => &mut self.item,
            _ => return None,
        })
    }

    /// The details of an entry of this kind.
    pub(crate) fn of_kind(&self, kind: &str) -> Result<TypedEntry, String> {
        let wanted = kind.trim().to_lowercase().replace('-', "_");
        let Some(kind) = HealthKind::of_key(&wanted) else {
            let hint = nearest(kind, &HealthKind::ALL.map(HealthKind::key)).map_or_else(
                || format!("there are: {}", HealthKind::all_keys()),
                did_you_mean,
            );
            return Err(format!("`{kind}` is no kind of entry; {hint}"));
        };
        let (details, named) = (KindDetails::of(kind), kind.key());
        let mut keys = self.typed()?;
        if let Some((key, _)) = keys
            .iter()
            .find(|(key, _)| !details.all().any(|own| own == *key))
        {
            let own: Vec<String> = details.all().map(option_of).collect();
            return Err(format!(
                "{} does not belong to `{named}`; it has {}",
                option_of(key),
                own.join(", ")
            ));
        }
        if let Some(missing) = details
            .needs
            .iter()
            .find(|need| !keys.iter().any(|(key, _)| key == *need))
        {
            return Err(format!(
                "`{named}` needs {}; nothing was added",
                option_of(missing)
            ));
        }
        for (key, value) in &keys {
            if let Some(why) = left_standing(key, value) {
                return Err(why);
            }
            let texts = match value {
                EntryValue::One(text) => std::slice::from_ref(text),
                EntryValue::Several(texts) => texts.as_slice(),
                EntryValue::Keys(_) => &[],
            };
            if let Some(why) = texts.iter().find_map(|text| readable(key, text).err()) {
                return Err(format!("{}: {}; {}", option_of(key), why.message, why.hint));
            }
        }
        if let Some(why) = self
            .remark
            .as_ref()
            .and_then(|remark| remark.parse::<Text>().err())
        {
            return Err(format!("--remark: {}; {}", why.message, why.hint));
        }
        keys.sort_by_key(|(key, _)| details.all().position(|own| own == *key));
        let entry = TypedEntry::of(kind, keys, self.remark.clone());
        if self.weigh_last && !entry.weighs {
            return Err(format!("--weigh-last does not belong to `{named}`"));
        }
        Ok(entry)
    }

    /// What was typed, by the names of the record.
    fn typed(&self) -> Result<Vec<(&'static str, EntryValue)>, String> {
        let Self {
            product,
            active,
            manufacturer,
            batch,
            expiry,
            weight,
            weigh_last: _,
            given,
            against,
            which,
            site,
            by,
            next,
            until,
            why,
            reaction,
            findings,
            advice,
            look,
            signs,
            value,
            what,
            amount,
            how,
            energy,
            bite,
            hips,
            result,
            number,
            item,
            remark: _,
        } = self;
        let ones = [
            ("product", product),
            ("active", active),
            ("manufacturer", manufacturer),
            ("batch", batch),
            ("expiry", expiry),
            ("weight", weight),
            ("given", given),
            ("dose", which),
            ("site", site),
            ("by", by),
            ("next_due", next),
            ("until", until),
            ("why", why),
            ("reaction", reaction),
            ("findings", findings),
            ("advice", advice),
            ("signs", signs),
            ("value", value),
            ("what", what),
            ("amount", amount),
            ("how", how),
            ("energy", energy),
            ("bite", bite),
            ("hips", hips),
            ("result", result),
            ("number", number),
        ];
        let mut keys: Vec<(&'static str, EntryValue)> = ones
            .into_iter()
            .filter_map(|(key, text)| {
                Some((key, EntryValue::One(text.as_ref()?.trim().to_owned())))
            })
            .collect();
        if let Some((key, _)) = keys
            .iter()
            .find(|(_, value)| *value == EntryValue::One(String::new()))
        {
            return Err(format!(
                "{} is empty; leave it out where there is nothing to say",
                option_of(key)
            ));
        }
        keys.extend(
            [("against", against), ("item", item)]
                .into_iter()
                .filter_map(|(key, text)| Some((key, names(text.as_ref()?)))),
        );
        for seen in look {
            let (part, words) = seen.split_once('=').unwrap_or((seen, ""));
            let Some(part) = PARTS
                .iter()
                .find(|known| **known == part.trim())
                .filter(|_| !words.trim().is_empty())
            else {
                return Err(format!(
                    "`--look {seen}` is not understood; write a part and what was seen, such as \
                     --look heart=\"no murmur heard\"; parts: {}",
                    PARTS.join(", ")
                ));
            };
            keys.push((part, EntryValue::One(words.trim().to_owned())));
        }
        Ok(keys)
    }
}

/// Whether a kind is one of which an amount could be asked.
pub(crate) fn speaks_of_amounts(kind: HealthKind) -> bool {
    matches!(
        kind,
        HealthKind::Worming | HealthKind::Parasite | HealthKind::Treatment
    )
}

impl TypedEntry {
    /// A kind with details by the names of the record, in its order; each was found readable.
    pub(crate) fn of(
        kind: HealthKind,
        keys: Vec<(&'static str, EntryValue)>,
        remark: Option<String>,
    ) -> Self {
        // What a grown puppy weighs is told, and not what it weighed when it left.
        let weighs = KindDetails::of(kind).may.contains(&"weight")
            && kind != HealthKind::FollowUp
            && keys.iter().all(|(key, _)| *key != "weight");
        Self {
            kind,
            keys,
            remark,
            weighs,
        }
    }

    /// Whether one entry can be meant for a whole litter without saying so.
    pub(crate) fn may_be_for_all(&self) -> bool {
        matches!(
            self.kind,
            HealthKind::Worming
                | HealthKind::Parasite
                | HealthKind::Vaccination
                | HealthKind::Check
                | HealthKind::Done
        )
    }

    /// The number of a chip: the puppy's own, or the one that was typed.
    pub(crate) fn number(&self, own: Option<&str>) -> Option<ChipNumber> {
        let typed = self.keys.iter().find_map(|(key, value)| match value {
            EntryValue::One(text) if *key == "number" => Some(text.as_str()),
            _ => None,
        });
        own.or(typed)?.parse().ok()
    }

    /// The entry, begun with when and for whom; `weight` is that of the puppy, and so is the
    /// `number` of its chip.
    pub(crate) fn entry(
        &self,
        begun: NewEntry,
        weight: Option<&str>,
        number: Option<&str>,
    ) -> NewEntry {
        let mut keys: Vec<(String, EntryValue)> = self
            .keys
            .iter()
            .map(|(key, value)| ((*key).to_owned(), value.clone()))
            .collect();
        if let Some(number) = number {
            keys.insert(0, ("number".to_owned(), EntryValue::One(number.to_owned())));
        }
        if let Some(weight) = weight {
            // Where the guide has it: before what was given for it.
            let at = keys
                .iter()
                .position(|(key, _)| matches!(key.as_str(), "given" | "by" | "next_due"))
                .unwrap_or(keys.len());
            keys.insert(
                at,
                ("weight".to_owned(), EntryValue::One(weight.to_owned())),
            );
        }
        let value = match self.kind {
            HealthKind::Temperature | HealthKind::Done | HealthKind::Excused => {
                keys.into_iter().next().map(|(_, value)| value)
            }
            _ => Some(EntryValue::Keys(keys)),
        };
        begun
            .with_some(self.kind.key(), value)
            .with_some("remark", self.remark.clone())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::records::schema;
    use serde_json::Value as Json;
    use std::collections::BTreeSet;

    #[test]
    fn a_detail_that_is_needed_is_asked_by_a_question_of_its_own() {
        for kind in HealthKind::ALL {
            for key in KindDetails::of(kind).needs {
                let is_temperature = question(key).1 == "TEMPERATURE";
                assert_eq!(is_temperature, *key == "value", "{kind:?}: {key}");
            }
        }
    }

    #[test]
    fn every_kind_and_every_detail_of_the_records_can_be_typed() {
        let schema = schema::of("health").unwrap();
        let entry = &schema["$defs"]["HealthEntry"]["properties"];
        let not_kinds = ["on", "at", "for", "remark"];
        let kinds: BTreeSet<&str> = entry
            .as_object()
            .unwrap()
            .keys()
            .map(String::as_str)
            .filter(|key| !not_kinds.contains(key))
            .collect();
        assert_eq!(kinds, HealthKind::ALL.map(HealthKind::key).into());
        let mut compared = 0;
        for kind in HealthKind::ALL {
            let details = KindDetails::of(kind);
            let some = |part: &Json| {
                part["anyOf"]
                    .as_array()
                    .and_then(|parts| parts.iter().find(|p| p["type"] != "null"))
                    .unwrap_or(part)
                    .clone()
            };
            let part = some(&entry[kind.key()]);
            let Some(name) = part["$ref"]
                .as_str()
                .and_then(|path| path.rsplit('/').next())
            else {
                continue;
            };
            let Some(properties) = schema["$defs"][name]["properties"].as_object() else {
                continue;
            };
            let own: BTreeSet<&str> = properties.keys().map(String::as_str).collect();
            assert_eq!(own, details.all().collect(), "{kind:?}");
            let required: BTreeSet<&str> = schema["$defs"][name]["required"]
                .as_array()
                .into_iter()
                .flatten()
                .filter_map(Json::as_str)
                .collect();
            assert!(
                required.iter().all(|key| details.needs.contains(key)),
                "{kind:?} needs {required:?}"
            );
            compared += 1;
        }
        assert_eq!(
            compared, 10,
            "all kinds but the temperature and the two that name items"
        );
    }

    #[test]
    fn what_does_not_belong_to_a_kind_is_refused_by_its_option() {
        let details = Details {
            product: Some("X".into()),
            next: Some("2026-10-20".into()),
            ..Details::default()
        };
        assert!(details.of_kind("worming").is_ok());
        assert!(
            details
                .of_kind("feed")
                .unwrap_err()
                .starts_with("--product does not belong to `feed`")
        );
        assert!(
            details
                .of_kind("treatment")
                .unwrap_err()
                .starts_with("--next does not belong")
        );
        assert_eq!(
            details.of_kind("wormin").unwrap_err(),
            "`wormin` is no kind of entry; did you mean `worming`?"
        );
        assert!(
            Details::default()
                .of_kind("chip")
                .unwrap_err()
                .contains("needs --number")
        );
    }
}
