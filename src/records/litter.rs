//! `litters/<litter>/litter.yaml`: one litter from mating to homes, and its puppies.
//!
//! In: the file. Out: a [`Litter`] with its [`Puppy`] list. Nothing is computed here; figures come from `husbandry`.

use super::dog::{Registration, Sex};
use super::one_or_many::OneOrMany;
use crate::quantity::{BirthTime, ChipNumber, Day, Id, Length, Moment, Progesterone, Ribbon, Span, Text, Weight};
use schemars::JsonSchema;
use serde::Deserialize;

/// A litter, expected or born.
#[derive(Debug, Clone, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Litter {
    /// Name on the pages, such as `Autumn 2026`.
    pub name: Text,
    /// The dog file of the dam.
    pub dam: Id,
    /// The dog file of the sire.
    pub sire: Id,
    /// A public sentence or two.
    pub about: Option<Text>,
    /// `false` keeps the whole litter off the public site.
    #[serde(default = "yes")]
    pub announced: bool,
    /// Days of mating or insemination.
    #[serde(default)]
    pub mated: OneOrMany<Day>,
    /// Day of ovulation, where it is known.
    pub ovulated: Option<Day>,
    /// Day of the LH surge, where it was measured.
    pub lh_surge: Option<Day>,
    /// First day of cytological dioestrus.
    pub dioestrus: Option<Day>,
    /// Progesterone before mating.
    #[serde(default)]
    pub progesterone: Vec<Sample>,
    /// Measurements of the pups by ultrasound.
    #[serde(default)]
    pub measured: Vec<Measurement>,
    /// The last count before birth.
    pub counted: Option<PupCount>,
    /// Adult weight to be expected of the puppies; without it, the dam's.
    pub adult_weight: Option<Weight>,
    /// The birth; missing while the litter is expected.
    pub birth: Option<Birth>,
    /// The first day on which no puppy has milk of the dam any more.
    pub weaned: Option<Day>,
    /// The puppies, stillborn ones included.
    #[serde(default)]
    pub puppies: Vec<Puppy>,
    /// What is to be said of pictures in the photo folders, beyond what their cameras wrote.
    #[serde(default)]
    pub pictures: Vec<PictureNote>,
    /// For the keeper alone.
    pub remarks: Option<Text>,
}

fn yes() -> bool {
    true
}

impl Litter {
    /// Whether a count before birth found no puppies, and none was born: the mating came to nothing.
    #[must_use]
    pub fn came_to_nothing(&self) -> bool {
        self.birth.is_none() && self.counted.as_ref().is_some_and(|counted| counted.puppies == 0)
    }

    /// When a puppy of this litter was born, where its time was written.
    #[must_use]
    pub fn born_at(&self, puppy: &Puppy) -> Option<Moment> {
        Some(puppy.born?.on(self.birth.as_ref()?.on))
    }

    /// The day on which a puppy of this litter was born, from which all of its days count: its own, since a litter that is born across midnight has two, and the litter's where no time of its
    /// own was written.
    #[must_use]
    pub fn born_on(&self, puppy: &Puppy) -> Option<Day> {
        let birth = self.birth.as_ref()?;
        Some(puppy.born.map_or(birth.on, |at| at.on(birth.on).day()))
    }

    /// The puppies that were born alive: littermates are compared with these.
    pub fn born_alive(&self) -> impl Iterator<Item = &Puppy> {
        self.puppies.iter().filter(|puppy| puppy.fate != Some(Fate::Stillborn))
    }
}

/// What the keeper says of one picture.
#[derive(Debug, Clone, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct PictureNote {
    /// Name of the file in `photos/` or `photos-private/`.
    pub file: Text,
    /// A few words under it, for everybody who may see the picture.
    pub caption: Option<Text>,
    /// The day it was taken, where the camera does not say or is wrong.
    pub taken: Option<Day>,
    /// `hidden` shows no age under it.
    #[serde(default)]
    pub age: AgeShown,
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
    pub on: Day,
    /// What was measured.
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
    pub by: CountedBy,
    /// When.
    pub on: Day,
    /// How many.
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
    pub on: Day,
    /// How the puppies came.
    pub how: Delivery,
    /// Placentas accounted for.
    pub placentas: Option<u32>,
    /// The operation, when there was one.
    pub surgery: Option<Surgery>,
    /// For the keeper alone.
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

    /// As it is written in the records: `planned section`.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Natural => "natural",
            Self::Assisted => "assisted",
            Self::PlannedSection => "planned section",
            Self::EmergencySection => "emergency section",
        }
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
    /// Whether the section was needed because of the build of the dam or her puppies; some licences ask.
    pub for_build: Option<bool>,
    /// Anything else.
    pub remarks: Option<Text>,
}

/// One puppy.
#[derive(Debug, Clone, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Puppy {
    /// The name used in all other files.
    pub id: Id,
    /// The name on the pages, where it differs from the id.
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
    pub born: Option<BirthTime>,
    /// Place in the order of birth, from 1.
    pub order: Option<u32>,
    /// Horn of the uterus.
    pub horn: Option<Horn>,
    /// Birth weight.
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
    pub vigour: Vec<Vigour>,
    /// The newborn checklist.
    #[serde(default)]
    pub newborn: Newborn,
    /// Whether it can be had.
    #[serde(default)]
    pub offer: Offer,
    /// A public sentence or two.
    pub about: Option<Text>,
    /// Where it is registered.
    pub registration: Option<Registration>,
    /// Microchip.
    pub chip: Option<ChipNumber>,
    /// Its own first day without milk of the dam, where that is not the litter's.
    pub weaned: Option<Day>,
    /// That it came back from a family; the latest time, when it was more than once.
    pub returned: Option<Returned>,
    /// What became of a puppy that is no longer alive.
    pub fate: Option<Fate>,
    /// The day of death; a stillborn puppy's is the day of birth.
    pub on: Option<Day>,
    /// Cause of death, as far as it is known.
    pub cause: Option<Text>,
    /// For the keeper alone.
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
        let mut letters = self.id.as_str().replace('-', " ").chars().collect::<Vec<_>>();
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

impl Horn {
    /// `left` or `right`.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Left => "left",
            Self::Right => "right",
        }
    }
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

/// A vigour score after Veronesi and others 2009: five items, 0 to 2 each.
#[derive(Debug, Clone, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Vigour {
    /// Time after birth.
    pub at: Span,
    /// Heart rate, scored.
    pub heart: Option<Score>,
    /// Respiratory effort, scored.
    pub breathing: Option<Score>,
    /// Reflex irritability, scored.
    pub reflex: Option<Score>,
    /// Motility, scored.
    pub movement: Option<Score>,
    /// Colour of the mucous membranes, scored.
    pub gums: Option<Score>,
    /// Heart beats per minute, as counted.
    pub heart_rate: Option<u32>,
    /// Breaths per minute, as counted.
    pub breaths: Option<u32>,
}

/// Beats a minute that score 1; fewer score 0, more 2 (Veronesi and others 2009, Theriogenology 72:401-407; the bands from memory).
pub const HEART_RATES_SCORED: (u32, u32) = (180, 220);

/// Breaths a minute that score 1; fewer score 0, more 2 (the same source, from memory).
pub const BREATHS_SCORED: (u32, u32) = (6, 15);

/// The score that a count is worth beside its band: both ends of the band score 1.
#[must_use]
pub fn points_of_rate(count: u32, (low, high): (u32, u32)) -> u8 {
    u8::from(count >= low) + u8::from(count > high)
}

/// 0, 1 or 2.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Score(u8);

impl Score {
    /// 0, 1 or 2.
    #[must_use]
    pub fn points(self) -> u8 {
        self.0
    }
}

impl std::str::FromStr for Score {
    type Err = crate::quantity::Unreadable;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        match text.trim() {
            "0" => Ok(Self(0)),
            "1" => Ok(Self(1)),
            "2" => Ok(Self(2)),
            other => Err(crate::quantity::Unreadable::new(
                "out-of-range",
                format!("`{other}` is no score"),
                "each item is scored 0, 1 or 2; leave it out when nobody looked",
            )),
        }
    }
}

crate::quantity::read_from_text!(Score, "Score", { "type": "integer", "minimum": 0, "maximum": 2 });

/// Names of the newborn checklist, as they are written in the records.
pub const CHECKLIST: [&str; 8] = ["limbs", "navel", "anus", "skull", "eyes", "tail", "skin", "suck"];

/// Birth weights that can be, g: lightest living toy puppies about 40 g, heaviest giant puppies about 1 kg. Common practice, no source.
#[must_use]
pub fn possible_birth_weight() -> std::ops::RangeInclusive<f64> {
    30.0..=1300.0
}

/// Seconds to a first breath that can be: nobody has seen one later. Common practice, no source.
pub const LONGEST_FIRST_BREATH: u64 = 1800;

/// The newborn checklist.
#[derive(Debug, Clone, PartialEq, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, default)]
pub struct Newborn {
    /// Limbs and toes.
    pub limbs: Look,
    /// Navel: cord, bleeding, hernia.
    pub navel: Look,
    /// Anus open.
    pub anus: Look,
    /// Skull and fontanelle.
    pub skull: Look,
    /// Eyes and lids.
    pub eyes: Look,
    /// Tail and spine.
    pub tail: Look,
    /// Skin, swelling.
    pub skin: Look,
    /// Suck reflex.
    pub suck: Look,
}

/// One item of a checklist: normal, a finding in words, or not looked at.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub enum Look {
    /// Nobody has looked yet.
    #[default]
    NotLookedAt,
    /// Looked at and as it should be.
    Normal,
    /// What was seen, in words.
    Seen(Text),
}

impl std::str::FromStr for Look {
    type Err = crate::quantity::Unreadable;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        match text.trim() {
            "not looked at" | "" => Ok(Self::NotLookedAt),
            "normal" => Ok(Self::Normal),
            _ => text.parse().map(Self::Seen),
        }
    }
}

crate::quantity::read_from_text!(Look, "Look", { "type": "string", "description": "normal, not looked at, or what was seen, in words" });

/// A puppy that came back from its family.
#[derive(Debug, Clone, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Returned {
    /// The day on which it came back.
    pub on: Day,
    /// Why, in a few words.
    pub reason: Option<Text>,
    /// For the keeper alone.
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

impl Fate {
    /// As it is written.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Stillborn => "stillborn",
            Self::Died => "died",
        }
    }
}
