//! `litters/<litter>/health.yaml`: what was done or seen, for one puppy, several, all, or the dam.
//!
//! In: a list of entries. Out: [`Entry`]s in the order written. That each entry says exactly one thing, at one time, is checked in `checks`.

use super::one_or_many::OneOrMany;
use crate::quantity::{ChipNumber, Day, Energy, FeedAmount, Id, Moment, Temperature, Text, Weight};
use schemars::JsonSchema;
use serde::Deserialize;

/// One thing that was done or seen.
#[derive(Debug, Clone, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Entry {
    /// The day; or use `at`.
    pub on: Option<Day>,
    /// Day and time.
    pub at: Option<Moment>,
    /// `all`, one puppy, a list of puppies, or `dam`.
    #[serde(rename = "for")]
    pub whom: OneOrMany<Id>,
    /// Worming.
    pub worming: Option<Parasite>,
    /// Treatment against fleas, ticks or mites.
    pub parasite: Option<Parasite>,
    /// Vaccination.
    pub vaccination: Option<Vaccination>,
    /// A veterinary or other check.
    pub check: Option<Check>,
    /// Rectal temperature.
    pub temperature: Option<Temperature>,
    /// A feed by hand.
    pub feed: Option<Feed>,
    /// Signs of illness.
    pub illness: Option<Illness>,
    /// A medicine or other treatment.
    pub treatment: Option<Treatment>,
    /// A microchip put in.
    pub chip: Option<ChipImplant>,
    /// A test and its result.
    pub test: Option<LabTest>,
    /// How a grown puppy is in its new home.
    pub follow_up: Option<FollowUp>,
    /// Items of the care plan that are done by this, by their names.
    #[serde(default)]
    pub done: OneOrMany<Id>,
    /// Items of the care plan that are not for these puppies; say why in `remark`.
    #[serde(default)]
    pub excused: OneOrMany<Id>,
    /// Anything worth keeping.
    pub remark: Option<Text>,
}

impl Entry {
    /// The day of the entry, when it has one.
    #[must_use]
    pub fn day(&self) -> Option<Day> {
        self.on.or(self.at.map(Moment::day))
    }

    /// Whether the entry is for this puppy, by name or with all others.
    #[must_use]
    pub fn is_for(&self, puppy: &Id) -> bool {
        self.whom.iter().any(|id| id == puppy || id.as_str() == "all")
    }

    /// Whether the entry is for the dam.
    #[must_use]
    pub fn is_for_dam(&self) -> bool {
        self.whom.iter().any(|id| id.as_str() == "dam")
    }

    /// The keys of the things this entry says, in schema order.
    #[must_use]
    pub fn kinds(&self) -> Vec<&'static str> {
        let Self {
            on: _,
            at: _,
            whom: _,
            remark: _,
            worming,
            parasite,
            vaccination,
            check,
            temperature,
            feed,
            illness,
            treatment,
            chip,
            test,
            follow_up,
            done,
            excused,
        } = self;
        [
            ("worming", worming.is_some()),
            ("parasite", parasite.is_some()),
            ("vaccination", vaccination.is_some()),
            ("check", check.is_some()),
            ("temperature", temperature.is_some()),
            ("feed", feed.is_some()),
            ("illness", illness.is_some()),
            ("treatment", treatment.is_some()),
            ("chip", chip.is_some()),
            ("test", test.is_some()),
            ("follow_up", follow_up.is_some()),
            ("done", !done.is_empty()),
            ("excused", !excused.is_empty()),
        ]
        .into_iter()
        .filter_map(|(name, said)| said.then_some(name))
        .collect()
    }
}

/// A wormer, or something against fleas, ticks or mites.
#[derive(Debug, Clone, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Parasite {
    /// Product.
    pub product: Option<Text>,
    /// Active substance.
    pub active: Option<Text>,
    /// Batch.
    pub batch: Option<Text>,
    /// The weight it was given for.
    pub weight: Option<Weight>,
    /// What was given, as the label or the vet says.
    pub given: Option<Text>,
    /// Who gave it.
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
    pub expiry: Option<Day>,
    /// First, second …
    pub dose: Option<Text>,
    /// Where on the body.
    pub site: Option<Text>,
    /// Vet and practice.
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
    pub by: Option<Text>,
    /// What was found.
    pub findings: Option<Text>,
    /// What was advised.
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
    pub what: Text,
    /// How much: ml or g; other words are kept, and cannot be added up.
    pub amount: Option<FeedAmount>,
    /// Bottle, tube, spoon.
    pub how: Option<Text>,
    /// Energy of the product, as the packet says; once for each product is enough.
    pub energy: Option<Energy>,
}

/// Signs of illness.
#[derive(Debug, Clone, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Illness {
    /// What was seen.
    pub signs: Text,
    /// What was advised or done.
    pub advice: Option<Text>,
    /// Who advised.
    pub by: Option<Text>,
}

/// A treatment.
#[derive(Debug, Clone, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Treatment {
    /// Product.
    pub product: Text,
    /// Why.
    pub why: Option<Text>,
    /// What was given, as the vet says.
    pub given: Option<Text>,
    /// Who prescribed it.
    pub by: Option<Text>,
    /// Until when.
    pub until: Option<Day>,
}

/// A microchip put in.
#[derive(Debug, Clone, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ChipImplant {
    /// The number.
    pub number: ChipNumber,
    /// Who put it in.
    pub by: Option<Text>,
    /// Where on the body.
    pub site: Option<Text>,
}

/// A test.
#[derive(Debug, Clone, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct LabTest {
    /// What was tested.
    pub what: Text,
    /// The result.
    pub result: Text,
    /// Laboratory.
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
    pub how: Option<Text>,
    /// Who says so.
    pub by: Option<Text>,
}
