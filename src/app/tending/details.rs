//! The details of a health entry as they are typed, and which of them belong to which kind.
//!
//! In: options. Out: [`TypedEntry`]: the kind with its details in the order of the record guide, or
//! a sentence on what does not belong to it or is still missing. Values are written as they were
//! typed; the reader judges them.

use crate::quantity::{
    ChipNumber, Day, Energy, Id, Temperature, Text, Unreadable, Weight, did_you_mean, nearest,
};
use crate::records::adding::{EntryValue, NewEntry};
use crate::records::health::{HealthDetail, HealthKind};
use crate::terminal;
use clap::{Arg, ArgAction, ArgMatches, Command};

/// Above the options of details in the help of the command.
const HEADING: &str = "Details, as the record guide names them";

/// An option by which a detail is typed.
struct DetailOption {
    detail: HealthDetail,
    name: &'static str,
    /// What its value is called in the help.
    takes: &'static str,
    help: &'static str,
}

macro_rules! options {
    ($($detail:ident $name:literal $takes:literal $help:literal)*) => {
        /// In the order of the help. Which belong to which kind is said in the record guide.
        const OPTIONS: &[DetailOption] = &[$(DetailOption {
            detail: HealthDetail::$detail,
            name: $name,
            takes: $takes,
            help: $help,
        }),*];
    };
}

options! {
    Product "product" "NAME" "Product"
    Active "active" "NAME" "Active substance"
    Manufacturer "manufacturer" "NAME" "Manufacturer of a vaccine"
    Batch "batch" "BATCH" "Batch"
    Expiry "expiry" "DAY" "Expiry date of the vial"
    Weight "weight" "WEIGHT" "The weight it was given for, with its unit [default: each puppy's \
                              last weigh-in, when it is at most three days old]"
    Given "given" "WORDS" "What was given, in the words of the label or the vet"
    Against "against" "NAMES" "Diseases a vaccination is against, with commas"
    Dose "which" "WORD" "Which of a series of vaccinations: first, second …"
    Site "site" "WORDS" "Where on the body"
    By "by" "NAME" "Who did it or says so: keeper, vet and practice, laboratory"
    NextDue "next" "DAY" "When it is due again"
    Until "until" "DAY" "Until when a treatment goes on"
    Why "why" "WORDS" "Why a treatment is given"
    Reaction "reaction" "WORDS" "A reaction to a vaccination"
    Findings "findings" "WORDS" "What a check found"
    Advice "advice" "WORDS" "What was advised"
    Signs "signs" "WORDS" "Signs of illness"
    Value "value" "AMOUNT" "A temperature with its unit: \"38.2 °C\" or 38.2C"
    What "what" "WORDS" "What was fed, or tested"
    Amount "amount" "AMOUNT" "How much was fed, with its unit: \"3.5 ml\""
    How "how" "WORDS" "How it was fed: bottle, tube, spoon; in a follow-up, how the grown puppy is"
    Energy "energy" "AMOUNT" "Energy of what was fed, as the packet says: \"1.1 kcal/ml\""
    Bite "bite" "WORDS" "Bite of a grown puppy"
    Hips "hips" "WORDS" "Hips of a grown puppy: the result of their X-ray, or how it moves"
    Result "result" "WORDS" "Result of a test"
    Number "number" "NUMBER" "Number of a chip"
    Item "item" "NAMES" "Items of the care plan, with commas, for done and excused"
}

/// What was typed of an entry.
#[derive(Debug, Clone, Default)]
pub struct Details {
    /// Details with an option of their own, in the order of these.
    typed: Vec<(HealthDetail, String)>,
    /// Parts that were looked at in a check, and what was seen: `heart=no murmur heard`.
    look: Vec<String>,
    /// Whether the last weight of each puppy was asked for.
    weigh_last: bool,
    remark: Option<String>,
}

impl clap::Args for Details {
    fn augment_args(command: Command) -> Command {
        let under = |option: Arg| option.help_heading(HEADING);
        let with_value = |name: &'static str, takes: &'static str, help: &'static str| {
            under(Arg::new(name).long(name).value_name(takes).help(help))
        };
        let weigh_last = Arg::new("weigh_last").long("weigh-last").help(
            "Take the weight of each puppy's last weigh-in, where it is at most three days old; so \
             it is done where no weight is given",
        );
        let look = with_value(
            "look",
            "PART=WORDS",
            "A part that was looked at in a check, and what was seen: --look heart=\"no murmur \
             heard\"; may be given again",
        );
        let remark = with_value(
            "remark",
            "WORDS",
            "Anything worth keeping, for the keeper alone",
        );
        let mut own: Vec<Arg> = OPTIONS
            .iter()
            .map(|option| with_value(option.name, option.takes, option.help))
            .collect();
        let place = |own: &[Arg], name: &str| own.iter().position(|arg| arg.get_id() == name);
        if let Some(at) = place(&own, "weight") {
            let weight = own.remove(at).conflicts_with("weigh_last");
            let weigh_last = under(weigh_last).action(ArgAction::SetTrue);
            own.splice(at..at, [weight, weigh_last]);
        }
        if let Some(at) = place(&own, "signs") {
            own.insert(at, look.action(ArgAction::Append));
        }
        command.args(own).arg(remark)
    }

    fn augment_args_for_update(command: Command) -> Command {
        Self::augment_args(command)
    }
}

impl clap::FromArgMatches for Details {
    fn from_arg_matches(matches: &ArgMatches) -> Result<Self, clap::Error> {
        let one = |name: &str| matches.get_one::<String>(name).cloned();
        let typed = OPTIONS
            .iter()
            .filter_map(|option| Some((option.detail, one(option.name)?)));
        let look = matches.get_many("look").unwrap_or_default();
        Ok(Self {
            typed: typed.collect(),
            look: look.cloned().collect(),
            weigh_last: matches.get_flag("weigh_last"),
            remark: one("remark"),
        })
    }

    fn update_from_arg_matches(&mut self, matches: &ArgMatches) -> Result<(), clap::Error> {
        *self = Self::from_arg_matches(matches)?;
        Ok(())
    }
}

/// The details of a kind of entry.
#[derive(Debug, Clone)]
pub struct KindDetails {
    /// Those that it needs.
    pub needs: Vec<HealthDetail>,
    /// Those that it may have.
    pub may: Vec<HealthDetail>,
}

impl KindDetails {
    /// Those of one kind.
    pub fn of(kind: HealthKind) -> Self {
        let of = |needed| {
            let own = kind.details().iter().filter(move |own| own.1 == needed);
            own.map(|(detail, _)| *detail).collect()
        };
        Self {
            needs: of(true),
            may: of(false),
        }
    }

    /// All of them, needed ones first: the order in which they are written.
    pub fn all(&self) -> impl Iterator<Item = HealthDetail> {
        self.needs.iter().chain(&self.may).copied()
    }
}

/// A kind with its details.
#[derive(Debug, Clone)]
pub struct TypedEntry {
    /// The kind.
    pub kind: HealthKind,
    details: Vec<(HealthDetail, EntryValue)>,
    remark: Option<String>,
    /// Whether the weight of each puppy belongs into its entry.
    pub weighs: bool,
}

/// The option by which a detail is typed.
fn option_of(detail: HealthDetail) -> String {
    let own = OPTIONS.iter().find(|option| option.detail == detail);
    own.map_or_else(
        || format!("--look {}=…", detail.key()),
        |option| format!("--{}", option.name),
    )
}

/// Whether the reader will understand a value; what it would say where not.
pub fn readable(detail: HealthDetail, text: &str) -> Result<(), Unreadable> {
    match detail {
        HealthDetail::Weight => text.parse::<Weight>().map(|_| ()),
        HealthDetail::Expiry | HealthDetail::NextDue | HealthDetail::Until => {
            text.parse::<Day>().map(|_| ())
        }
        HealthDetail::Value => text.parse::<Temperature>().map(|_| ()),
        HealthDetail::Number => text.parse::<ChipNumber>().map(|_| ()),
        HealthDetail::Energy => text.parse::<Energy>().map(|_| ()),
        HealthDetail::Item => text.parse::<Id>().map(|_| ()),
        _ => text.parse::<Text>().map(|_| ()),
    }
}

/// Whether a detail takes several names, with commas.
fn takes_several(detail: HealthDetail) -> bool {
    matches!(detail, HealthDetail::Against | HealthDetail::Item)
}

/// A detail as it is written.
pub fn written(detail: HealthDetail, text: &str) -> EntryValue {
    if !takes_several(detail) {
        return EntryValue::One(text.trim().to_owned());
    }
    EntryValue::Several(
        text.split(',')
            .map(|name| name.trim().to_owned())
            .filter(|name| !name.is_empty())
            .collect(),
    )
}

/// What a detail that is needed is asked by at a terminal, and what stands for it in a command that
/// is shown.
fn question(detail: HealthDetail) -> (&'static str, &'static str) {
    match detail {
        HealthDetail::Product => ("Product", "NAME OF THE PRODUCT"),
        HealthDetail::By => ("Vet and practice", "NAME OF THE VET"),
        HealthDetail::What => ("What was fed, or tested", "WHAT IT WAS"),
        HealthDetail::Signs => ("Signs that were seen", "SIGNS THAT WERE SEEN"),
        HealthDetail::Result => ("Result", "RESULT OF THE TEST"),
        HealthDetail::Number => ("Number of the chip", "NUMBER"),
        HealthDetail::Item => (
            "Items of the care plan, by name, with commas",
            "NAME OF THE ITEM",
        ),
        _ => ("Temperature, with its unit", "TEMPERATURE"),
    }
}

/// Where such a word was left standing it would go into a record that is signed later.
fn left_standing(detail: HealthDetail, value: &EntryValue) -> Option<String> {
    let stands = |text: &String| *text == question(detail).1;
    let is_left = match value {
        EntryValue::One(text) => stands(text),
        EntryValue::Several(texts) => texts.iter().any(stands),
        EntryValue::Keys(_) => false,
    };
    let (asks, word) = question(detail);
    is_left.then(|| {
        format!(
            "{}: `{word}` stands in the place of what only you know ({}); write that there. \
             Nothing was added",
            option_of(detail),
            asks.to_lowercase()
        )
    })
}

impl Details {
    /// Asks at a terminal for what an entry of this kind needs and was not typed; where nobody
    /// answers, a command that has it all.
    pub fn completed(mut self, kind: &str, typed: &str) -> Result<Self, String> {
        let wanted = kind.trim().to_lowercase();
        let needs = HealthKind::of_key(&wanted).map(|kind| KindDetails::of(kind).needs);
        let is_typed = |detail: &HealthDetail| self.typed.iter().any(|(own, _)| own == detail);
        let lacks: Vec<HealthDetail> = needs
            .into_iter()
            .flatten()
            .filter(|detail| !is_typed(detail))
            .collect();
        for (i, detail) in lacks.iter().copied().enumerate() {
            let Some(answer) = terminal::value(&format!("{}: ", question(detail).0)) else {
                let lacks = || lacks[i..].iter().copied();
                let more: Vec<String> = lacks()
                    .map(|lack| {
                        format!("{} {}", option_of(lack), terminal::typed(question(lack).1))
                    })
                    .collect();
                let words: Vec<&str> = lacks().map(|lack| question(lack).1).collect();
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
                    option_of(detail),
                    words.join(" and "),
                    more.join(" ")
                ));
            };
            self.typed.push((detail, answer));
        }
        Ok(self)
    }

    /// Whether it is a chip, and its number is not said.
    pub fn is_chip_without_number(&self, kind: &str) -> bool {
        let is_number = |(detail, _): &(HealthDetail, String)| *detail == HealthDetail::Number;
        kind.trim().eq_ignore_ascii_case("chip") && !self.typed.iter().any(is_number)
    }

    /// A chip whose numbers are asked for one by one.
    pub fn without_number(&self) -> Result<TypedEntry, String> {
        // Any number that can be read will do: each entry gets its own.
        let mut any = self.clone();
        any.typed
            .push((HealthDetail::Number, "941000000000001".to_owned()));
        let mut said = any.of_kind("chip")?;
        said.details
            .retain(|(detail, _)| *detail != HealthDetail::Number);
        Ok(said)
    }

    /// The details of an entry of this kind.
    pub fn of_kind(&self, kind: &str) -> Result<TypedEntry, String> {
        let wanted = kind.trim().to_lowercase().replace('-', "_");
        let Some(kind) = HealthKind::of_key(&wanted) else {
            let hint = nearest(kind, &HealthKind::ALL.map(HealthKind::key)).map_or_else(
                || format!("there are: {}", HealthKind::all_keys()),
                did_you_mean,
            );
            return Err(format!("`{kind}` is no kind of entry; {hint}"));
        };
        let (own, named) = (KindDetails::of(kind), kind.key());
        let mut details = self.typed()?;
        if let Some((detail, _)) = details
            .iter()
            .find(|(detail, _)| own.all().all(|own| own != *detail))
        {
            let own: Vec<String> = own.all().map(option_of).collect();
            return Err(format!(
                "{} does not belong to `{named}`; it has {}",
                option_of(*detail),
                own.join(", ")
            ));
        }
        if let Some(missing) = own
            .needs
            .iter()
            .find(|need| details.iter().all(|(detail, _)| detail != *need))
        {
            return Err(format!(
                "`{named}` needs {}; nothing was added",
                option_of(*missing)
            ));
        }
        for (detail, value) in &details {
            if let Some(why) = left_standing(*detail, value) {
                return Err(why);
            }
            let texts = match value {
                EntryValue::One(text) => std::slice::from_ref(text),
                EntryValue::Several(texts) => texts.as_slice(),
                EntryValue::Keys(_) => &[],
            };
            if let Some(why) = texts.iter().find_map(|text| readable(*detail, text).err()) {
                let option = option_of(*detail);
                return Err(format!("{option}: {}; {}", why.message, why.hint));
            }
        }
        if let Some(why) = self
            .remark
            .as_ref()
            .and_then(|remark| remark.parse::<Text>().err())
        {
            return Err(format!("--remark: {}; {}", why.message, why.hint));
        }
        details.sort_by_key(|(detail, _)| own.all().position(|own| own == *detail));
        let entry = TypedEntry::of(kind, details, self.remark.clone());
        if self.weigh_last && !entry.weighs {
            return Err(format!("--weigh-last does not belong to `{named}`"));
        }
        Ok(entry)
    }

    /// What was typed: single words first, lists of names behind them, parts last.
    fn typed(&self) -> Result<Vec<(HealthDetail, EntryValue)>, String> {
        let (several, ones): (Vec<_>, Vec<_>) = self
            .typed
            .iter()
            .partition(|(detail, _)| takes_several(*detail));
        if let Some((detail, _)) = ones.iter().find(|(_, text)| text.trim().is_empty()) {
            return Err(format!(
                "{} is empty; leave it out where there is nothing to say",
                option_of(*detail)
            ));
        }
        let mut details: Vec<(HealthDetail, EntryValue)> = ones
            .into_iter()
            .chain(several)
            .map(|(detail, text)| (*detail, written(*detail, text)))
            .collect();
        for seen in &self.look {
            let (part, words) = seen.split_once('=').unwrap_or((seen, ""));
            let known = HealthDetail::PARTS
                .into_iter()
                .find(|known| known.key() == part.trim());
            let Some(part) = known.filter(|_| !words.trim().is_empty()) else {
                return Err(format!(
                    "`--look {seen}` is not understood; write a part and what was seen, such as \
                     --look heart=\"no murmur heard\"; parts: {}",
                    HealthDetail::PARTS.map(HealthDetail::key).join(", ")
                ));
            };
            details.push((part, EntryValue::One(words.trim().to_owned())));
        }
        Ok(details)
    }
}

/// Whether a kind is one of which an amount could be asked.
pub fn speaks_of_amounts(kind: HealthKind) -> bool {
    matches!(
        kind,
        HealthKind::Worming | HealthKind::Parasite | HealthKind::Treatment
    )
}

impl TypedEntry {
    /// A kind with details in the order of the records; each was found readable.
    pub fn of(
        kind: HealthKind,
        details: Vec<(HealthDetail, EntryValue)>,
        remark: Option<String>,
    ) -> Self {
        // What a grown puppy weighs is told, and not what it weighed when it left.
        let weighs = kind.details().contains(&(HealthDetail::Weight, false))
            && kind != HealthKind::FollowUp
            && details.iter().all(|(own, _)| *own != HealthDetail::Weight);
        Self {
            kind,
            details,
            remark,
            weighs,
        }
    }

    /// Whether one entry can be meant for a whole litter without saying so.
    pub fn may_be_for_all(&self) -> bool {
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
    pub fn number(&self, own: Option<&str>) -> Option<ChipNumber> {
        let typed = self.details.iter().find_map(|said| match said {
            (HealthDetail::Number, EntryValue::One(text)) => Some(text.as_str()),
            _ => None,
        });
        own.or(typed)?.parse().ok()
    }

    /// The entry, begun with when and for whom; `weight` is that of the puppy, and so is the
    /// `number` of its chip.
    pub fn entry(&self, begun: NewEntry, weight: Option<&str>, number: Option<&str>) -> NewEntry {
        let one = |text: &str| EntryValue::One(text.to_owned());
        let mut details = self.details.clone();
        if let Some(number) = number {
            details.insert(0, (HealthDetail::Number, one(number)));
        }
        if let Some(weight) = weight {
            // Where the guide has it: before what was given for it.
            let behind = [HealthDetail::Given, HealthDetail::By, HealthDetail::NextDue];
            let at = details.iter().position(|(own, _)| behind.contains(own));
            let at = at.unwrap_or(details.len());
            details.insert(at, (HealthDetail::Weight, one(weight)));
        }
        let value = match self.kind {
            HealthKind::Temperature | HealthKind::Done | HealthKind::Excused => {
                details.into_iter().next().map(|(_, value)| value)
            }
            _ => {
                let keys = details.into_iter();
                let keys = keys.map(|(detail, value)| (detail.key().to_owned(), value));
                Some(EntryValue::Keys(keys.collect()))
            }
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
                assert_eq!(
                    is_temperature,
                    key == HealthDetail::Value,
                    "{kind:?}: {key:?}"
                );
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
            let keys = details.all().map(HealthDetail::key).collect();
            assert_eq!(own, keys, "{kind:?}");
            let required: BTreeSet<&str> = schema["$defs"][name]["required"]
                .as_array()
                .into_iter()
                .flatten()
                .filter_map(Json::as_str)
                .collect();
            assert!(
                required
                    .iter()
                    .all(|key| details.needs.iter().any(|need| need.key() == *key)),
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
            typed: vec![
                (HealthDetail::Product, "X".to_owned()),
                (HealthDetail::NextDue, "2026-10-20".to_owned()),
            ],
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
