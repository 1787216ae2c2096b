//! `dogs/<dog>.yaml`: a dam, a sire or an ancestor.
//!
//! In: the file. Out: a [`Dog`]. Parents are named by [`Id`]; whether they exist and can be parents
//! is checked in `checks`.

use super::since::Since;
use crate::quantity::{ChipNumber, Day, Id, Text, Weight};
use schemars::JsonSchema;
use serde::Deserialize;

/// A grown dog.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Dog {
    /// Registered or full name.
    pub name: Text,
    /// The name it comes to.
    pub call_name: Option<Text>,
    /// Female or male.
    pub sex: Sex,
    /// Date of birth.
    #[schemars(title = "Date of birth")]
    pub born: Option<Day>,
    /// Date of death.
    #[schemars(title = "Date of death")]
    pub died: Option<Day>,
    /// Coat colour.
    pub colour: Option<Text>,
    /// Breed, where it differs from the kennel's.
    pub breed: Option<Text>,
    /// Its sire, by the name of his record.
    #[schemars(extend("x-names" = "dog"))]
    pub sire: Option<Id>,
    /// Its dam, by the name of her record.
    #[schemars(extend("x-names" = "dog"))]
    pub dam: Option<Id>,
    /// Whether it lives here.
    #[serde(default)]
    #[schemars(title = "Where it lives")]
    pub home: Home,
    /// A public sentence or two.
    #[schemars(extend("x-long" = true))]
    pub about: Option<Text>,
    /// A picture beside the file.
    #[schemars(title = "Picture beside the file")]
    pub photo: Option<Text>,
    /// Where it is registered.
    pub registration: Option<Registration>,
    /// Microchip.
    #[schemars(title = "Microchip number")]
    pub chip: Option<ChipNumber>,
    /// Adult weight.
    pub adult_weight: Option<Weight>,
    /// Results of screening tests.
    #[serde(default)]
    #[schemars(title = "Screening results")]
    pub screening: Vec<Screening>,
    /// The seasons of a bitch, in any order.
    #[serde(default)]
    pub seasons: Vec<Season>,
    /// When it was spayed or castrated, or that it was.
    #[schemars(title = "Spayed or castrated")]
    pub neutered: Option<Since>,
    /// When it was taken out of breeding, or that it was.
    #[schemars(title = "Taken out of breeding")]
    pub retired: Option<Since>,
    /// For the keeper alone.
    #[schemars(extend("x-long" = true))]
    pub remarks: Option<Text>,
}

/// One season of a bitch.
#[derive(Debug, Clone, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Season {
    /// First day of bleeding.
    #[schemars(title = "First day")]
    pub start: Day,
    /// Last day on which she was in season.
    #[schemars(title = "Last day")]
    pub end: Option<Day>,
    /// For the keeper alone.
    #[schemars(extend("x-long" = true))]
    pub remarks: Option<Text>,
}

impl Dog {
    /// The name it is called by, or else its whole name.
    #[must_use]
    pub fn shown_name(&self) -> &Text {
        self.call_name.as_ref().unwrap_or(&self.name)
    }

    /// Whether it is alive and can be bred from, as far as the records know.
    #[must_use]
    pub fn can_breed(&self) -> bool {
        self.died.is_none() && self.neutered.is_none() && self.retired.is_none()
    }
}

/// Female or male.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Deserialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum Sex {
    /// A bitch.
    Female,
    /// A dog.
    Male,
}

/// Where a dog lives.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Deserialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum Home {
    /// In this kennel.
    #[default]
    Here,
    /// Anywhere else.
    Elsewhere,
}

/// An entry in a breed register.
#[derive(Debug, Clone, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Registration {
    /// Which register.
    #[schemars(title = "Register")]
    pub registry: Text,
    /// Number in it.
    pub number: Text,
}

/// One screening test with its result.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Screening {
    /// What was tested.
    pub test: Text,
    /// The result, in the words of the laboratory.
    pub result: Text,
    /// When.
    #[schemars(title = "Day")]
    pub on: Option<Day>,
    /// Who tested.
    #[schemars(title = "Tested by")]
    pub by: Option<Text>,
    /// The last day on which the result counts, where the certificate has one.
    pub valid_until: Option<Day>,
    /// Whether everyone may see it.
    #[serde(default)]
    #[schemars(title = "Everyone may see it")]
    pub publish: bool,
}

impl Screening {
    /// Whether its certificate had run out by a day.
    #[must_use]
    pub fn has_run_out(&self, by: Day) -> bool {
        self.valid_until.is_some_and(|until| until < by)
    }
}

crate::words! {
    Sex { Female "female", Male "male" }
}
