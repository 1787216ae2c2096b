//! The record of one puppy as its owner gets it: the shape of the JSON download, and what the page,
//! the PDF, the tables and the calendar are made from.
//!
//! In: nothing; these are types. Out: [`PuppyRecord`], which can be serialised and whose JSON
//! Schema is published. Days are ISO 8601, times are local to `kennel.time_zone`, weights are
//! grams, temperatures degrees Celsius. What nobody recorded is missing; it is never made up. Names
//! of members are a promise to whoever reads the file later: change [`FORMAT`] with them.

use super::kinds::{CareState, EventKind, care_kind};
use crate::records::care_plan::CareKind;
use schemars::JsonSchema;
use serde::Serialize;

/// Version of the shape, in every file.
pub const FORMAT: u32 = 1;

/// The health and weight record of one puppy.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct PuppyRecord {
    /// Version of this shape.
    pub format: u32,
    /// The day of the latest entry: nothing later is in here.
    pub up_to: String,
    /// Who bred the puppy and keeps the records.
    pub kennel: KennelRecord,
    /// The family that takes the puppy, where one does.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub family: Option<FamilyRecord>,
    /// Who it is.
    pub puppy: IdentityRecord,
    /// Its dam.
    pub dam: ParentRecord,
    /// Its sire.
    pub sire: ParentRecord,
    /// Inbreeding, computed from the parents; missing where too few ancestors are known to say.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub inbreeding: Option<InbreedingRecord>,
    /// Its birth.
    pub birth: BirthRecord,
    /// Its weights, the oldest first.
    pub weights: Vec<WeightRecord>,
    /// Day after birth on which it had doubled its birth weight, where that was seen.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub doubled_on_day: Option<f64>,
    /// What was given, checked and seen, the oldest first.
    pub events: Vec<EventRecord>,
    /// What the dam was given in this pregnancy and while she nursed: wormings, vaccinations,
    /// treatments against parasites.
    pub dam_events: Vec<EventRecord>,
    /// The care plan held against what was done, by the day it is due.
    pub care: Vec<CareRecord>,
    /// When the kennel would like to hear of the puppy.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub invitations: Vec<InvitationRecord>,
    /// Notes for the family, the newest first.
    pub notes: Vec<NoteRecord>,
}

/// Who bred the puppy.
#[derive(Debug, Clone, Default, PartialEq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct KennelRecord {
    /// Name of the kennel.
    pub name: String,
    /// The breeder.
    pub keeper: String,
    /// E-mail address.
    pub email: String,
    /// Telephone.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub phone: Option<String>,
    /// Postal address, or the town.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub address: Option<String>,
    /// ISO 3166-1 code of the country.
    pub country: String,
    /// Region.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub region: Option<String>,
    /// IANA name of the time zone of all times in here.
    pub time_zone: String,
    /// Address of the kennel's site.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub site: Option<String>,
    /// Breeding licence: number and authority.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub licence: Option<String>,
    /// The practice that knows the litter, for emergencies.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub emergency_vet: Option<VetRecord>,
}

/// A practice.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct VetRecord {
    /// Name.
    pub clinic: String,
    /// Telephone.
    pub phone: String,
}

/// The family.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct FamilyRecord {
    /// Name.
    pub name: String,
    /// The day on which the puppy leaves for them, or left.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub leaves: Option<String>,
}

/// Who the puppy is.
#[derive(Debug, Clone, Default, PartialEq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct IdentityRecord {
    /// Name in the kennel's records: litter and puppy.
    pub id: String,
    /// The name it goes by.
    pub name: String,
    /// Registered name.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub registered_name: Option<String>,
    /// Species; always `dog`.
    pub species: &'static str,
    /// Breed.
    pub breed: String,
    /// `female` or `male`.
    pub sex: &'static str,
    /// Coat colour.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub colour: Option<String>,
    /// Markings.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub markings: Option<String>,
    /// The ribbon it wore in the litter.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub ribbon: Option<&'static str>,
    /// Day of birth.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub born: Option<String>,
    /// Name of the litter.
    pub litter: String,
    /// Microchip.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub chip: Option<ChipRecord>,
    /// Registry and number.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub registration: Option<String>,
    /// What the kennel says of it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub about: Option<String>,
}

/// A microchip.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct ChipRecord {
    /// Its 15 digits (ISO 11784).
    pub number: String,
    /// The day on which it was put in.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub on: Option<String>,
    /// Who put it in.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub by: Option<String>,
    /// Where on the body.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub site: Option<String>,
}

/// A parent.
#[derive(Debug, Clone, Default, PartialEq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct ParentRecord {
    /// Full name.
    pub name: String,
    /// The name it comes to.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub call_name: Option<String>,
    /// Colour.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub colour: Option<String>,
    /// Day of birth.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub born: Option<String>,
    /// Registry and number.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub registration: Option<String>,
    /// Published screening results.
    pub screening: Vec<ScreeningRecord>,
}

/// A screening result.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct ScreeningRecord {
    /// What was tested.
    pub test: String,
    /// The result, in the words of the laboratory.
    pub result: String,
    /// When.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub on: Option<String>,
    /// Who tested.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub by: Option<String>,
    /// The last day on which it counts, where it has one.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub valid_until: Option<String>,
    /// Whether that day had passed when this was made.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub has_run_out: bool,
}

/// Inbreeding with the depth it rests on.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct InbreedingRecord {
    /// Wright's coefficient, 0 to 1; a lower bound.
    pub coefficient: f64,
    /// Generations of ancestors that are known on the deepest line.
    pub deepest: u32,
    /// Equivalent complete generations.
    pub complete_generations: f64,
}

/// A birth.
#[derive(Debug, Clone, Default, PartialEq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct BirthRecord {
    /// Local time.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub at: Option<String>,
    /// `natural`, `assisted`, `planned section` or `emergency section`.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub how: Option<&'static str>,
    /// Place in the order of birth, from 1.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub order: Option<u32>,
    /// Birth weight, g.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub grams: Option<f64>,
    /// Time to the first breath, s.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub first_breath_seconds: Option<u64>,
    /// `intact` or `cleft`; missing when nobody looked.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub palate: Option<&'static str>,
    /// Vigour scores.
    pub vigour: Vec<VigourRecord>,
    /// The newborn checklist: what was looked at, and what was seen.
    pub looked_at: Vec<LookedAt>,
}

/// A vigour score.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct VigourRecord {
    /// Seconds after birth.
    pub seconds: u64,
    /// Sum of the five items, 0 to 10; missing when one was not scored.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub total: Option<u32>,
    /// In words.
    pub class: String,
}

/// One item that was looked at.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct LookedAt {
    /// What.
    pub what: &'static str,
    /// `normal`, or what was seen.
    pub seen: String,
}

/// One weight.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct WeightRecord {
    /// Local time, or the day of birth where the hour was not written down.
    pub at: String,
    /// Calendar days after birth.
    pub age_days: i64,
    /// Weight, g.
    pub grams: f64,
    /// Change since the weight before, g.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub change_grams: Option<f64>,
    /// Whether it is the birth weight.
    pub birth: bool,
}

/// Something that was given, checked or seen.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct EventRecord {
    /// The day.
    pub on: String,
    /// The hour, local, where it was written down: `14:10`.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub time: Option<String>,
    /// `worming`, `parasite`, `vaccination`, `check`, `temperature`, `feed`, `illness`,
    /// `treatment`, `chip`, `test`, `follow-up`, `care`.
    #[schemars(with = "String")]
    pub kind: EventKind,
    /// Product.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub product: Option<String>,
    /// Active substance.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub active: Option<String>,
    /// Diseases that a vaccine is against.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub against: Vec<String>,
    /// Manufacturer.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub manufacturer: Option<String>,
    /// Batch.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub batch: Option<String>,
    /// Expiry date of the vial.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub expiry: Option<String>,
    /// First, second … of a series.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub dose: Option<String>,
    /// Where on the body.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub site: Option<String>,
    /// The weight it was given for, g; in a `follow-up` the weight of the grown dog.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub for_grams: Option<f64>,
    /// What was given, as the label or the vet says, or how much of a feed.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub given: Option<String>,
    /// Who gave, checked, tested or prescribed it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub by: Option<String>,
    /// When the next is due, as it was written down.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub next_due: Option<String>,
    /// Until when a treatment goes on.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub until: Option<String>,
    /// What a treatment or an item of the care plan was, what was fed, tested or given for.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub what: Option<String>,
    /// What was found or seen, or the result of a test.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub findings: Option<String>,
    /// What was advised.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub advice: Option<String>,
    /// Parts of the body that were looked at in a check.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub looked_at: Vec<LookedAt>,
    /// Rectal temperature, °C.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub celsius: Option<f64>,
    /// A reaction, in words.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub reaction: Option<String>,
}

impl EventRecord {
    /// An entry of which nothing but its kind and its day is known.
    #[must_use]
    pub fn of(kind: EventKind, on: &str) -> Self {
        Self {
            on: on.to_owned(),
            time: None,
            kind,
            product: None,
            active: None,
            against: Vec::new(),
            manufacturer: None,
            batch: None,
            expiry: None,
            dose: None,
            site: None,
            for_grams: None,
            given: None,
            by: None,
            next_due: None,
            until: None,
            what: None,
            findings: None,
            advice: None,
            looked_at: Vec::new(),
            celsius: None,
            reaction: None,
        }
    }
}

/// One item of the care plan.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct CareRecord {
    /// Name in the plan; stays the same.
    pub id: String,
    /// `worming`, `vaccination`, `chip`, `check`, `milestone` or `socialisation`.
    #[serde(serialize_with = "care_kind")]
    #[schemars(with = "String")]
    pub kind: CareKind,
    /// In words.
    pub name: String,
    /// First day on which it is due.
    pub from: String,
    /// Last day by which it should be done.
    pub until: String,
    /// `done`; `not needed`; `not recorded`: it was due by the day of leaving, or its days are
    /// over, and the breeder wrote nothing; `before leaving`: the breeder has to see to it before
    /// the puppy leaves, and had not written anything when this record was made, so that it is
    /// not recorded unless a later record says that it was done; or `open`.
    #[schemars(with = "String")]
    pub state: CareState,
    /// The day on which it was done.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub on: Option<String>,
    /// Why it is not needed.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub why: Option<String>,
    /// Where the days come from.
    pub source: String,
    /// Whether it has no entry, and days after the one on which the puppy leaves: then the family
    /// has to see to it.
    pub for_family: bool,
}

/// An invitation to tell how the grown puppy is.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct InvitationRecord {
    /// Months after the day on which the puppy leaves.
    pub months: u8,
    /// The first of the days for it.
    pub from: String,
    /// The last of them.
    pub until: String,
    /// The day on which the family told.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub told: Option<String>,
}

/// A note.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct NoteRecord {
    /// The day it is about.
    pub date: String,
    /// Title.
    pub title: String,
    /// `feeding` or `routine`, where the note is about that.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub topic: Option<&'static str>,
    /// Text, Markdown.
    pub text: String,
}
