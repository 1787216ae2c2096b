//! `litters/<litter>/health.yaml`: what was done or seen, for one puppy, several, all, or the dam.
//!
//! In: a list of entries. Out: [`HealthEntry`]s in the order written. That each entry says exactly
//! one thing, at one time, is checked in `checks`.

mod details;

pub use details::{DetailValue, EntryParts, HealthDetail};

use super::one_or_many::OneOrMany;
use crate::quantity::{ChipNumber, Day, Energy, FeedAmount, Id, Moment, Temperature, Text, Weight};
use schemars::JsonSchema;
use serde::Deserialize;

/// One thing that was done or seen.
#[derive(Debug, Clone, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct HealthEntry {
    /// The day, where the time does not matter.
    #[schemars(title = "Day")]
    pub on: Option<Day>,
    /// Day and time, in place of the day: 2026-10-06 07:30.
    #[schemars(title = "Day and time")]
    pub at: Option<Moment>,
    /// All puppies, some of them, or the dam.
    #[serde(rename = "for")]
    #[schemars(title = "For whom", extend("x-names" = "patient"))]
    pub whom: OneOrMany<Id>,
    /// Worming.
    pub worming: Option<Parasite>,
    /// Treatment against fleas, ticks or mites.
    #[schemars(title = "Against fleas, ticks or mites")]
    pub parasite: Option<Parasite>,
    /// Vaccination.
    pub vaccination: Option<Vaccination>,
    /// A veterinary or other check.
    #[schemars(title = "Check")]
    pub check: Option<Check>,
    /// Rectal temperature.
    pub temperature: Option<Temperature>,
    /// A feed by hand.
    #[schemars(title = "Fed by hand")]
    pub feed: Option<Feed>,
    /// Signs of illness.
    pub illness: Option<Illness>,
    /// A medicine or other treatment.
    pub treatment: Option<Treatment>,
    /// A microchip put in.
    #[schemars(title = "Microchip put in")]
    pub chip: Option<ChipImplant>,
    /// A test and its result.
    #[schemars(title = "Laboratory test")]
    pub test: Option<LabTest>,
    /// How a grown puppy is in its new home.
    #[schemars(title = "How it is in its new home")]
    pub follow_up: Option<FollowUp>,
    /// Items of the care plan that are done by this, by their names.
    #[serde(default)]
    #[schemars(title = "Done of the care plan", extend("x-names" = "care item"))]
    pub done: OneOrMany<Id>,
    /// Items of the care plan that are not for these puppies; say why in the remark.
    #[serde(default)]
    #[schemars(title = "Not for these puppies", extend("x-names" = "care item"))]
    pub excused: OneOrMany<Id>,
    /// Anything worth keeping.
    #[schemars(extend("x-long" = true))]
    pub remark: Option<Text>,
}

impl HealthEntry {
    /// The day of the entry, when it has one.
    #[must_use]
    pub fn day(&self) -> Option<Day> {
        self.on.or(self.at.map(Moment::day))
    }

    /// Whether the entry is for this puppy, by name or with all others.
    #[must_use]
    pub fn is_for(&self, puppy: &Id) -> bool {
        self.whom
            .iter()
            .any(|id| id == puppy || id.as_str() == "all")
    }

    /// Whether the entry is for the dam.
    #[must_use]
    pub fn is_for_dam(&self) -> bool {
        self.whom.iter().any(|id| id.as_str() == "dam")
    }
}

/// A kind of entry.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum HealthKind {
    /// Worming.
    Worming,
    /// Treatment against fleas, ticks or mites.
    Parasite,
    /// Vaccination.
    Vaccination,
    /// A veterinary or other check.
    Check,
    /// Rectal temperature.
    Temperature,
    /// A feed by hand.
    Feed,
    /// Signs of illness.
    Illness,
    /// A medicine or other treatment.
    Treatment,
    /// A microchip put in.
    Chip,
    /// A laboratory test.
    Test,
    /// How a grown puppy is in its new home.
    FollowUp,
    /// Items of the care plan that are done.
    Done,
    /// Items of the care plan that are not for these puppies.
    Excused,
}

impl HealthKind {
    /// All of them, in schema order.
    pub const ALL: [Self; 13] = [
        Self::Worming,
        Self::Parasite,
        Self::Vaccination,
        Self::Check,
        Self::Temperature,
        Self::Feed,
        Self::Illness,
        Self::Treatment,
        Self::Chip,
        Self::Test,
        Self::FollowUp,
        Self::Done,
        Self::Excused,
    ];

    /// Its key in `health.yaml`.
    #[must_use]
    pub fn key(self) -> &'static str {
        match self {
            Self::Worming => "worming",
            Self::Parasite => "parasite",
            Self::Vaccination => "vaccination",
            Self::Check => "check",
            Self::Temperature => "temperature",
            Self::Feed => "feed",
            Self::Illness => "illness",
            Self::Treatment => "treatment",
            Self::Chip => "chip",
            Self::Test => "test",
            Self::FollowUp => "follow_up",
            Self::Done => "done",
            Self::Excused => "excused",
        }
    }

    /// The kind of this key.
    #[must_use]
    pub fn of_key(key: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|kind| kind.key() == key)
    }

    /// The keys of all, with commas.
    #[must_use]
    pub fn all_keys() -> String {
        Self::ALL.map(Self::key).join(", ")
    }
}

/// A wormer, or something against fleas, ticks or mites.
#[derive(Debug, Clone, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Parasite {
    /// Product.
    pub product: Option<Text>,
    /// Active substance.
    #[schemars(title = "Active substance")]
    pub active: Option<Text>,
    /// Batch.
    pub batch: Option<Text>,
    /// The weight it was given for.
    #[schemars(title = "Weight it was given for")]
    pub weight: Option<Weight>,
    /// What was given, as the label or the vet says.
    pub given: Option<Text>,
    /// Who gave it.
    #[schemars(title = "Given by")]
    pub by: Option<Text>,
    /// When it is due again.
    pub next_due: Option<Day>,
}

/// A vaccination.
#[derive(Debug, Clone, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Vaccination {
    /// Diseases.
    #[serde(default)]
    pub against: OneOrMany<Text>,
    /// Product.
    pub product: Option<Text>,
    /// Manufacturer.
    pub manufacturer: Option<Text>,
    /// Batch.
    pub batch: Option<Text>,
    /// Expiry date of the vial.
    #[schemars(title = "Expiry date")]
    pub expiry: Option<Day>,
    /// First, second …
    pub dose: Option<Text>,
    /// Where on the body.
    #[schemars(title = "Where on the body")]
    pub site: Option<Text>,
    /// Vet and practice.
    #[schemars(title = "Given by")]
    pub by: Option<Text>,
    /// When the next is due.
    pub next_due: Option<Day>,
    /// A reaction, in words.
    pub reaction: Option<Text>,
}

/// A clinical check.
#[derive(Debug, Clone, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Check {
    /// Vet and practice.
    #[schemars(title = "Checked by")]
    pub by: Option<Text>,
    /// What was found.
    #[schemars(extend("x-long" = true))]
    pub findings: Option<Text>,
    /// What was advised.
    #[schemars(extend("x-long" = true))]
    pub advice: Option<Text>,
    /// Heart.
    pub heart: Option<Text>,
    /// Eyes.
    pub eyes: Option<Text>,
    /// Ears.
    pub ears: Option<Text>,
    /// Mouth and bite.
    pub mouth: Option<Text>,
    /// Navel.
    pub navel: Option<Text>,
    /// Testes.
    pub testes: Option<Text>,
    /// Knees.
    pub knees: Option<Text>,
    /// Skin.
    pub skin: Option<Text>,
    /// Joints.
    pub joints: Option<Text>,
}

/// A feed by hand.
#[derive(Debug, Clone, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Feed {
    /// What.
    #[schemars(title = "What was fed")]
    pub what: Text,
    /// How much: ml or g; other words are kept, and cannot be added up.
    pub amount: Option<FeedAmount>,
    /// Bottle, tube, spoon.
    #[schemars(title = "How it was fed")]
    pub how: Option<Text>,
    /// Energy of the product, as the packet says; once for each product is enough.
    pub energy: Option<Energy>,
}

/// Signs of illness.
#[derive(Debug, Clone, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Illness {
    /// What was seen.
    #[schemars(extend("x-long" = true))]
    pub signs: Text,
    /// What was advised or done.
    #[schemars(extend("x-long" = true))]
    pub advice: Option<Text>,
    /// Who advised.
    #[schemars(title = "Advised by")]
    pub by: Option<Text>,
}

/// A treatment.
#[derive(Debug, Clone, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Treatment {
    /// Product.
    pub product: Text,
    /// Why.
    #[schemars(title = "Why it was given")]
    pub why: Option<Text>,
    /// What was given, as the vet says.
    pub given: Option<Text>,
    /// Who prescribed it.
    #[schemars(title = "Prescribed by")]
    pub by: Option<Text>,
    /// Until when.
    #[schemars(title = "Until this day")]
    pub until: Option<Day>,
}

/// A microchip put in.
#[derive(Debug, Clone, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ChipImplant {
    /// The number.
    #[schemars(title = "Number")]
    pub number: ChipNumber,
    /// Who put it in.
    #[schemars(title = "Put in by")]
    pub by: Option<Text>,
    /// Where on the body.
    #[schemars(title = "Where on the body")]
    pub site: Option<Text>,
}

/// A test.
#[derive(Debug, Clone, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct LabTest {
    /// What was tested.
    #[schemars(title = "What was tested")]
    pub what: Text,
    /// The result.
    pub result: Text,
    /// Laboratory.
    #[schemars(title = "Laboratory")]
    pub by: Option<Text>,
}

/// What a family tells of its grown puppy.
#[derive(Debug, Clone, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct FollowUp {
    /// Weight.
    pub weight: Option<Weight>,
    /// Bite.
    pub bite: Option<Text>,
    /// Hips: the result of their X-ray, or how it moves.
    pub hips: Option<Text>,
    /// How it is.
    #[schemars(title = "How it does")]
    pub how: Option<Text>,
    /// Who says so.
    #[schemars(title = "Told by")]
    pub by: Option<Text>,
}
