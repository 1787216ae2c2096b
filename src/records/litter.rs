//! `litters/<litter>/litter.yaml`: one litter from mating to homes, and its puppies.
//!
//! In: the file. Out: a [`Litter`] with its [`Puppy`] list. Nothing is computed here; figures come
//! from `husbandry`.

use super::dog::{Registration, Sex};
pub use super::newborn::{CHECKLIST, Look, Newborn};
use super::one_or_many::OneOrMany;
pub use super::vigour::{BREATHS_SCORED, HEART_RATES_SCORED, Score, Vigour, points_of_rate};
use crate::quantity::{
    BirthTime, ChipNumber, Day, Id, Length, Moment, Progesterone, Ribbon, Span, Text, Weight,
};
use schemars::JsonSchema;
use serde::Deserialize;

/// A litter, expected or born.
#[derive(Debug, Clone, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Litter {
    /// Name on the pages, such as Autumn 2026.
    pub name: Text,
    /// The dam, by the name of her record.
    #[schemars(extend("x-names" = "dog"))]
    pub dam: Id,
    /// The sire, by the name of his record.
    #[schemars(extend("x-names" = "dog"))]
    pub sire: Id,
    /// A public sentence or two.
    #[schemars(extend("x-long" = true))]
    pub about: Option<Text>,
    /// Whether the litter may be on the public site; no keeps all of it off.
    #[serde(default = "yes")]
    #[schemars(title = "May be on the public site")]
    pub announced: bool,
    /// Days of mating or insemination.
    #[serde(default)]
    #[schemars(title = "Mated on")]
    pub mated: OneOrMany<Day>,
    /// Day of ovulation, where it is known.
    #[schemars(title = "Ovulated on")]
    pub ovulated: Option<Day>,
    /// Day of the LH surge, where it was measured.
    #[schemars(title = "Day of the LH surge")]
    pub lh_surge: Option<Day>,
    /// First day of cytological dioestrus.
    #[schemars(title = "First day of dioestrus")]
    pub dioestrus: Option<Day>,
    /// Progesterone before mating.
    #[serde(default)]
    pub progesterone: Vec<Sample>,
    /// Measurements of the pups by ultrasound.
    #[serde(default)]
    #[schemars(title = "Measured by ultrasound")]
    pub measured: Vec<Measurement>,
    /// The last count before birth.
    #[schemars(title = "Count before birth")]
    pub counted: Option<PupCount>,
    /// Adult weight to be expected of the puppies; without it, the dam's.
    pub adult_weight: Option<Weight>,
    /// The birth; missing while the litter is expected.
    pub birth: Option<Birth>,
    /// The first day on which no puppy has milk of the dam any more.
    #[schemars(title = "Weaned on")]
    pub weaned: Option<Day>,
    /// The puppies, stillborn ones included.
    #[serde(default)]
    pub puppies: Vec<Puppy>,
    /// What is to be said of pictures in the photo folders, beyond what their cameras wrote.
    #[serde(default)]
    pub pictures: Vec<PictureNote>,
    /// For the keeper alone.
    #[schemars(extend("x-long" = true))]
    pub remarks: Option<Text>,
}

fn yes() -> bool {
    true
}

impl Litter {
    /// Whether a count before birth found no puppies, and none was born: the mating came to
    /// nothing.
    #[must_use]
    pub fn came_to_nothing(&self) -> bool {
        self.birth.is_none()
            && self
                .counted
                .as_ref()
                .is_some_and(|counted| counted.puppies == 0)
    }

    /// When a puppy of this litter was born, where its time was written.
    #[must_use]
    pub fn born_at(&self, puppy: &Puppy) -> Option<Moment> {
        Some(puppy.born?.on(self.birth.as_ref()?.on))
    }

    /// The day on which a puppy of this litter was born, from which all of its days count: its own,
    /// since a litter that is born across midnight has two, and the litter's where no time of its
    /// own was written.
    #[must_use]
    pub fn born_on(&self, puppy: &Puppy) -> Option<Day> {
        let birth = self.birth.as_ref()?;
        Some(puppy.born.map_or(birth.on, |at| at.on(birth.on).day()))
    }

    /// The puppies that were born alive: littermates are compared with these.
    pub fn born_alive(&self) -> impl Iterator<Item = &Puppy> {
        self.puppies
            .iter()
            .filter(|puppy| puppy.fate != Some(Fate::Stillborn))
    }
}

/// What the keeper says of one picture.
#[derive(Debug, Clone, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct PictureNote {
    /// Name of the file in the folder of pictures.
    #[schemars(title = "Name of the picture")]
    pub file: Text,
    /// A few words under it, for everybody who may see the picture.
    pub caption: Option<Text>,
    /// The day it was taken, where the camera does not say or is wrong.
    #[schemars(title = "Taken on")]
    pub taken: Option<Day>,
    /// Whether its age then stands under it.
    #[serde(default)]
    #[schemars(title = "Age under it")]
    pub age: AgeShown,
    /// Place among the pictures of its puppy or litter: lower comes first, and all that have one
    /// before those that have none.
    #[schemars(title = "Place among the pictures")]
    pub order: Option<u32>,
    /// How it is turned where it lies on its side although the camera calls it upright.
    #[schemars(title = "Turned")]
    pub turn: Option<PictureTurn>,
}

/// How a picture is turned, on top of what its camera says.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Deserialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum PictureTurn {
    /// A quarter turn clockwise.
    Right,
    /// A quarter turn against the clock.
    Left,
    /// Upside down.
    Half,
}

/// Whether an age stands under a picture.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Deserialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum AgeShown {
    /// The age on the day it was taken, when that is known.
    #[default]
    Shown,
    /// None.
    Hidden,
}

/// One progesterone value.
#[derive(Debug, Clone, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Sample {
    /// Day of the blood sample.
    #[schemars(title = "Day")]
    pub on: Day,
    /// The value with its unit.
    pub value: Progesterone,
    /// Who measured.
    pub laboratory: Option<Text>,
    /// How it was measured; assays differ.
    pub method: Option<Text>,
}

/// One fetal measurement.
#[derive(Debug, Clone, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Measurement {
    /// Day of the scan.
    #[schemars(title = "Day")]
    pub on: Day,
    /// What was measured.
    #[schemars(title = "What was measured")]
    pub what: Measured,
    /// Its size.
    pub size: Length,
}

/// What a fetal measurement measures.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum Measured {
    /// Inner diameter of the chorionic cavity.
    #[serde(rename = "inner chamber")]
    InnerChamber,
    /// Biparietal diameter of the head.
    Head,
}

/// A count of pups before birth.
#[derive(Debug, Clone, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct PupCount {
    /// How they were counted.
    #[schemars(title = "Counted by")]
    pub by: CountedBy,
    /// When.
    #[schemars(title = "Day")]
    pub on: Day,
    /// How many.
    #[schemars(title = "How many puppies")]
    pub puppies: u32,
}

/// How pups were counted.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum CountedBy {
    /// A radiograph late in pregnancy.
    #[serde(rename = "x-ray")]
    XRay,
    /// A scan.
    Ultrasound,
}

/// The birth of a litter.
#[derive(Debug, Clone, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Birth {
    /// The day it began.
    #[schemars(title = "Day")]
    pub on: Day,
    /// How the puppies came.
    #[schemars(title = "How they came")]
    pub how: Delivery,
    /// Placentas accounted for.
    #[schemars(title = "Placentas accounted for")]
    pub placentas: Option<u32>,
    /// The operation, when there was one.
    #[schemars(title = "Operation")]
    pub surgery: Option<Surgery>,
    /// For the keeper alone.
    #[schemars(extend("x-long" = true))]
    pub remarks: Option<Text>,
}

/// How a litter was delivered.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum Delivery {
    /// Without help.
    Natural,
    /// With help, without surgery.
    Assisted,
    /// A caesarean section on an agreed day.
    #[serde(rename = "planned section")]
    PlannedSection,
    /// A caesarean section because something went wrong.
    #[serde(rename = "emergency section")]
    EmergencySection,
}

impl Delivery {
    /// Whether it was a section, which leaves a wound.
    #[must_use]
    pub fn is_section(self) -> bool {
        matches!(self, Self::PlannedSection | Self::EmergencySection)
    }
}

/// What the surgeon noted.
#[derive(Debug, Clone, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Surgery {
    /// The practice.
    pub clinic: Option<Text>,
    /// Incisions of the uterus.
    pub incisions: Option<u32>,
    /// Adhesions found.
    pub adhesions: Option<Text>,
    /// Whether the section was needed because of the build of the dam or her puppies; some
    /// licences ask.
    #[schemars(title = "Needed because of build")]
    pub for_build: Option<bool>,
    /// Anything else.
    #[schemars(extend("x-long" = true))]
    pub remarks: Option<Text>,
}

/// One puppy.
#[derive(Debug, Clone, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Puppy {
    /// The name used in the records: small letters, digits, hyphens.
    #[schemars(title = "Short name")]
    pub id: Id,
    /// The name on the pages, where it differs from the short name.
    pub name: Option<Text>,
    /// Registered name.
    pub registered_name: Option<Text>,
    /// Ribbon or collar.
    pub ribbon: Option<Ribbon>,
    /// Female or male.
    pub sex: Sex,
    /// Coat colour.
    pub colour: Option<Text>,
    /// Markings.
    pub markings: Option<Text>,
    /// Time of birth.
    #[schemars(title = "Time of birth")]
    pub born: Option<BirthTime>,
    /// Place in the order of birth, from 1.
    #[schemars(title = "Place in the order of birth")]
    pub order: Option<u32>,
    /// Horn of the uterus.
    pub horn: Option<Horn>,
    /// Birth weight.
    #[schemars(title = "Birth weight")]
    pub weight: Option<Weight>,
    /// Time from birth to the first breath.
    pub first_breath: Option<Span>,
    /// The palate.
    #[serde(default)]
    pub palate: Palate,
    /// The placenta of this puppy.
    #[serde(default)]
    pub placenta: Placenta,
    /// Vigour scores.
    #[serde(default)]
    #[schemars(title = "Vigour scores")]
    pub vigour: Vec<Vigour>,
    /// The newborn checklist.
    #[serde(default)]
    #[schemars(title = "Newborn checklist")]
    pub newborn: Newborn,
    /// Whether it can be had.
    #[serde(default)]
    pub offer: Offer,
    /// A public sentence or two.
    #[schemars(extend("x-long" = true))]
    pub about: Option<Text>,
    /// Where it is registered.
    pub registration: Option<Registration>,
    /// Microchip.
    #[schemars(title = "Microchip number")]
    pub chip: Option<ChipNumber>,
    /// Its own first day without milk of the dam, where that is not the litter's.
    #[schemars(title = "Weaned on")]
    pub weaned: Option<Day>,
    /// That it came back from a family; the latest time, when it was more than once.
    #[schemars(title = "Came back")]
    pub returned: Option<Returned>,
    /// What became of a puppy that is no longer alive.
    #[schemars(title = "What became of it")]
    pub fate: Option<Fate>,
    /// The day of death; a stillborn puppy's is the day of birth.
    #[schemars(title = "Day of death")]
    pub on: Option<Day>,
    /// Cause of death, as far as it is known.
    #[schemars(title = "Cause of death")]
    pub cause: Option<Text>,
    /// For the keeper alone.
    #[schemars(extend("x-long" = true))]
    pub remarks: Option<Text>,
}

impl Puppy {
    /// Whether the puppy is alive, as far as the records know.
    #[must_use]
    pub fn is_alive(&self) -> bool {
        self.fate.is_none()
    }

    /// The name to print: `name`, or the id with a capital letter.
    #[must_use]
    pub fn shown_name(&self) -> String {
        if let Some(name) = &self.name {
            return name.to_string();
        }
        let mut letters = self
            .id
            .as_str()
            .replace('-', " ")
            .chars()
            .collect::<Vec<_>>();
        if let Some(first) = letters.first_mut() {
            first.make_ascii_uppercase();
        }
        letters.into_iter().collect()
    }
}

/// A horn of the uterus.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Deserialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum Horn {
    /// Left horn.
    Left,
    /// Right horn.
    Right,
}

/// The palate of a newborn, in three states.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Deserialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum Palate {
    /// Looked at and closed.
    Intact,
    /// Looked at and open.
    Cleft,
    /// Nobody has looked yet.
    #[default]
    #[serde(rename = "not looked at")]
    NotLookedAt,
}

/// What became of a puppy's placenta.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Deserialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum Placenta {
    /// Seen outside.
    Out,
    /// Known to be inside.
    Retained,
    /// Nobody has seen it.
    #[default]
    #[serde(rename = "not seen")]
    NotSeen,
}

/// Birth weights that can be, g: lightest living toy puppies about 40 g, heaviest giant puppies
/// about 1 kg. Common practice, no source.
#[must_use]
pub fn possible_birth_weight() -> std::ops::RangeInclusive<f64> {
    30.0..=1300.0
}

/// Seconds to a first breath that can be: nobody has seen one later. Common practice, no source.
pub const LONGEST_FIRST_BREATH: u64 = 1800;

/// A puppy that came back from its family.
#[derive(Debug, Clone, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Returned {
    /// The day on which it came back.
    #[schemars(title = "Day")]
    pub on: Day,
    /// Why, in a few words.
    pub reason: Option<Text>,
    /// For the keeper alone.
    #[schemars(extend("x-long" = true))]
    pub remarks: Option<Text>,
}

/// Whether a puppy can be had.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default, Deserialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum Offer {
    /// Looking for a home.
    Available,
    /// Promised to a family.
    Reserved,
    /// In its new home.
    Placed,
    /// Stays in the kennel.
    Staying,
    /// Not spoken of in public.
    #[default]
    #[serde(rename = "not offered")]
    NotOffered,
}

/// What became of a puppy that is no longer alive.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum Fate {
    /// Born dead.
    Stillborn,
    /// Died later.
    Died,
}

crate::words! {
    PictureTurn { Right "right", Left "left", Half "half" }
    Delivery {
        Natural "natural", Assisted "assisted", PlannedSection "planned section",
        EmergencySection "emergency section"
    }
    CountedBy { XRay "x-ray", Ultrasound "ultrasound" }
    Horn { Left "left", Right "right" }
    Fate { Stillborn "stillborn", Died "died" }
    Palate { Intact "intact", Cleft "cleft", NotLookedAt "not looked at" }
    Placenta { Out "out", Retained "retained", NotSeen "not seen" }
    Offer {
        Available "available", Reserved "reserved", Placed "placed", Staying "staying",
        NotOffered "not offered"
    }
}
