//! A sheet for the clinic: all that is asked on the telephone before a section, on one page.
//!
//! In: an expected litter, its figures, and earlier litters of its dam. Out: [`ClinicSheet`]. What
//! is not known is said to be unknown, with what would settle it.

use super::paths;
use super::planning::{self, SectionShown};
use super::{BookContext, Fact, Facts, VetShown, vet};
use crate::husbandry::birth::BIRTH_CAUTIONS;
use crate::husbandry::gestation::rise::Assay;
use crate::husbandry::gestation::{self, Due};
use crate::records::LitterFolder;
use crate::records::kennel::Contact;
use crate::records::litter::{Birth, Fate, Sample, Surgery};
use serde::Serialize;

/// Earlier litters that a page has room for.
const MOST_EARLIER: usize = 4;
/// Samples that a page has room for, the latest.
const MOST_SAMPLES: usize = 12;
/// Temperatures that a page has room for, the latest.
const MOST_TEMPERATURES: usize = 6;
/// Cautions about the dam that concern the days before a section.
const CAUTIONS: usize = 4;

/// The sheet.
#[derive(Debug, Clone, Serialize)]
pub struct ClinicSheet {
    /// Path below the root of the book.
    pub path: String,
    /// Name of the litter.
    pub title: String,
    /// Path of the litter's page.
    pub litter: String,
    /// The dam, as a clinic asks: name, breed, age, weight, chip.
    pub dam: Vec<Fact>,
    /// Whom to ask.
    pub keeper: Vec<Fact>,
    /// Whom to call at night.
    pub vet: Option<VetShown>,
    /// Dates of the mating.
    pub dates: Vec<Fact>,
    /// The due window and what it is counted from.
    pub due: Option<String>,
    /// Anchors beside it.
    pub others: Vec<String>,
    /// Days for a section.
    pub section: SectionShown,
    /// The progesterone series.
    pub samples: Vec<SampleRow>,
    /// What the series says, what would settle it and what is odd in it.
    pub remarks: Vec<String>,
    /// What the clinic will want to know.
    pub wanted: Vec<Fact>,
    /// Her latest temperatures: when and how much.
    pub temperatures: Vec<(String, String)>,
    /// Her earlier litters, the latest first.
    pub earlier: Vec<EarlierLitterRow>,
    /// When to call.
    pub cautions: Vec<&'static str>,
}

/// One progesterone sample.
#[derive(Debug, Clone, Serialize)]
pub struct SampleRow {
    /// Day.
    pub on: String,
    /// Value in ng/ml and nmol/l.
    pub value: String,
    /// Who measured and how.
    pub by: String,
    /// The border of its assay.
    pub border: String,
}

/// One earlier litter of the dam.
#[derive(Debug, Clone, Serialize)]
pub struct EarlierLitterRow {
    /// Day and way of the birth.
    pub what: String,
    /// Puppies, and losses.
    pub puppies: String,
    /// What the surgeon saw.
    pub surgery: Option<String>,
    /// Remarks on the birth.
    pub remarks: Option<String>,
}

/// The sheet of a litter that is expected.
pub(super) fn sheet(context: &BookContext<'_>, folder: &LitterFolder) -> Option<ClinicSheet> {
    let litter = &folder.litter;
    if litter.birth.is_some() || litter.came_to_nothing() {
        return None;
    }
    let figures = context.figures.litters.get(&folder.id)?;
    // It is linked from the plan.
    planning::planning(context, folder, figures)?;
    let contradicting = gestation::contradicting(&figures.windows);
    let other = |due: &Due| {
        let apart = if contradicting.contains(due) {
            ": does not meet it"
        } else {
            ""
        };
        format!(
            "by {}: {} to {}{apart}",
            due.anchor.words(),
            due.from.in_words(),
            due.to.in_words()
        )
    };
    let reading = &figures.rise;
    let mut remarks: Vec<String> = planning::rise(reading).into_iter().collect();
    remarks.extend(reading.odd.iter().map(planning::odd));
    remarks.extend(planning::settled_by(reading, context.figures.today));
    let mut samples: Vec<&Sample> = litter.progesterone.iter().collect();
    samples.sort_by_key(|s| s.on);
    let readings = &figures.dam_before.readings;
    Some(ClinicSheet {
        path: paths::clinic(&folder.id),
        title: litter.name.to_string(),
        litter: paths::litter(&folder.id),
        dam: dam(context, folder),
        keeper: keeper(&context.records.kennel.contact),
        vet: vet(&context.records.kennel),
        dates: dates(folder),
        due: figures.due.map(|due| {
            let likely = if due.is_to_a_day() {
                format!(", most likely {}", due.likely.in_words())
            } else {
                String::new()
            };
            format!(
                "{} to {}{likely}, by {}",
                due.from.in_words(),
                due.to.in_words(),
                due.anchor.words()
            )
        }),
        others: figures.windows.iter().skip(1).map(other).collect(),
        section: planning::section(figures),
        samples: samples
            .iter()
            .skip(samples.len().saturating_sub(MOST_SAMPLES))
            .map(|s| sample(s))
            .collect(),
        remarks,
        wanted: planning::wanted(folder, figures),
        temperatures: readings[readings.len().saturating_sub(MOST_TEMPERATURES)..]
            .iter()
            .map(|r| {
                (
                    r.at.map_or_else(|| r.day.in_words(), |at| at.to_string()),
                    r.temperature.to_string(),
                )
            })
            .collect(),
        earlier: earlier(context, folder),
        cautions: BIRTH_CAUTIONS[..CAUTIONS].to_vec(),
    })
}

fn dam(context: &BookContext<'_>, folder: &LitterFolder) -> Vec<Fact> {
    let mut facts = Facts::default();
    let Some(dog) = context.records.dogs.get(&folder.litter.dam) else {
        return facts.say("Dam", &folder.litter.dam).done();
    };
    let called = dog
        .call_name
        .as_ref()
        .map_or_else(String::new, |name| format!(", called {name}"));
    facts.say("Dam", format!("{}{called}", dog.name)).say(
        "Breed",
        dog.breed.as_ref().unwrap_or(&context.records.kennel.breed),
    );
    let age = |born: crate::quantity::Day| {
        format!(
            "{}, born {}",
            crate::husbandry::age::in_words(born, context.figures.today),
            born.in_words()
        )
    };
    facts.say(
        "Age",
        dog.born.map_or_else(|| "not on record".to_owned(), age),
    );
    let last = folder
        .dam_weights()
        .filter(|(at, _)| at.day() <= context.figures.today)
        .last();
    let last =
        last.map(|(at, weight)| format!("{} on {}", context.weight(weight), at.day().in_words()));
    facts.say(
        "Weight",
        last.unwrap_or_else(|| "not on record in this pregnancy: weigh her".to_owned()),
    );
    facts.maybe(
        "Adult weight",
        dog.adult_weight.map(|w| context.weight(w)).as_ref(),
    );
    facts.maybe("Chip", dog.chip.as_ref()).done()
}

fn keeper(contact: &Contact) -> Vec<Fact> {
    let mut facts = Facts::default();
    facts
        .say("Keeper", &contact.keeper)
        .maybe("Telephone", contact.phone.as_ref())
        .done()
}

fn dates(folder: &LitterFolder) -> Vec<Fact> {
    let litter = &folder.litter;
    let mut facts = Facts::default();
    let mated: Vec<String> = litter.mated.iter().map(|day| day.in_words()).collect();
    facts.say(
        "Mated",
        if mated.is_empty() {
            "not on record".to_owned()
        } else {
            mated.join(", ")
        },
    );
    facts
        .day("LH surge", litter.lh_surge)
        .day("Ovulated", litter.ovulated)
        .day("Dioestrus", litter.dioestrus)
        .done()
}

/// Both units: clinics use one or the other.
fn sample(sample: &Sample) -> SampleRow {
    let by: Vec<String> = [&sample.laboratory, &sample.method]
        .into_iter()
        .flatten()
        .map(ToString::to_string)
        .collect();
    let nmol = |ng: f64| ng * gestation::rise::NMOL_PER_NG;
    let assay = Assay::of(sample);
    let name = match assay {
        Assay::Ria => "radioimmunoassay",
        Assay::Light => "chemiluminescence",
        Assay::Unknown => "assay not known",
    };
    let value = sample.value.ng_per_ml();
    SampleRow {
        on: sample.on.in_words(),
        value: format!("{value:.2} ng/ml, {:.1} nmol/l", nmol(value)),
        by: by.join(", "),
        border: format!("{:.2} ng/ml ({name})", assay.border()),
    }
}

/// Earlier litters of the dam, and what was seen at their births.
fn earlier(context: &BookContext<'_>, folder: &LitterFolder) -> Vec<EarlierLitterRow> {
    let of_dam = context
        .records
        .litters
        .values()
        .filter(|other| other.id != folder.id && other.litter.dam == folder.litter.dam);
    let mut births: Vec<(&Birth, &LitterFolder)> = of_dam
        .filter_map(|other| Some((other.litter.birth.as_ref()?, other)))
        .collect();
    births.sort_by_key(|(birth, _)| std::cmp::Reverse(birth.on));
    let row = |(birth, other): (&Birth, &LitterFolder)| {
        let (born, living) = (other.litter.puppies.len(), other.living().count());
        let stillborn = other
            .litter
            .puppies
            .iter()
            .filter(|p| p.fate == Some(Fate::Stillborn))
            .count();
        EarlierLitterRow {
            what: format!("{}: {}", birth.on.in_words(), birth.how.word()),
            puppies: format!(
                "{born} born, {stillborn} stillborn, {} died later",
                born.saturating_sub(living + stillborn)
            ),
            surgery: birth.surgery.as_ref().map(surgery),
            remarks: birth.remarks.as_ref().map(ToString::to_string),
        }
    };
    births.into_iter().take(MOST_EARLIER).map(row).collect()
}

fn surgery(surgery: &Surgery) -> String {
    let Surgery {
        clinic,
        incisions,
        adhesions,
        for_build,
        remarks,
    } = surgery;
    let mut said: Vec<String> = clinic.iter().map(ToString::to_string).collect();
    said.extend(incisions.map(|n| format!("incisions of the uterus: {n}")));
    said.push(adhesions.as_ref().map_or_else(
        || "adhesions: nothing noted".to_owned(),
        |seen| format!("adhesions: {seen}"),
    ));
    said.extend(
        for_build
            .filter(|needed| *needed)
            .map(|_| "needed because of the build of dam or puppies".to_owned()),
    );
    said.extend(remarks.iter().map(ToString::to_string));
    said.join("; ")
}
