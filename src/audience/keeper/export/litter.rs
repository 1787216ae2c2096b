//! A litter for the export: mating to birth, puppies, weigh-ins, health, notes, the names of its
//! pictures.
//!
//! In: one litter's folder and its figures. Out: [`LitterExport`]: every field of its files, and
//! beside them the few figures that an inspector or a registry asks for.

use super::amounts::{Grams, Millimetres, NgPerMl, Pen, day, moment, text, texts};
use super::health::{self, HealthExport};
use super::puppy::{self, PuppyExport};
use crate::husbandry::LitterFigures;
use crate::husbandry::gestation::Due;
use crate::records::litter::{
    AgeShown, Birth, CountedBy, Litter, Measured, Measurement, PictureNote, PictureTurn, PupCount,
    Sample, Surgery,
};
use crate::records::note::{Audience, Note, NoteHead, Topic};
use crate::records::photo::PhotoFile;
use crate::records::problem::key_path;
use crate::records::{LitterFolder, WeighIn};
use schemars::JsonSchema;
use serde::Serialize;

/// A litter.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct LitterExport {
    pub id: String,
    pub name: String,
    pub dam: String,
    pub sire: String,
    pub about: Option<String>,
    pub announced: bool,
    pub mated: Vec<String>,
    pub ovulated: Option<String>,
    pub lh_surge: Option<String>,
    pub dioestrus: Option<String>,
    /// The first day without milk of the dam.
    pub weaned: Option<String>,
    pub counted_by: Option<&'static str>,
    pub counted_on: Option<String>,
    pub counted_puppies: Option<u32>,
    pub adult_weight: Option<Grams>,
    pub born_on: Option<String>,
    pub born_how: Option<&'static str>,
    pub placentas: Option<u32>,
    pub birth_remarks: Option<String>,
    pub surgery_clinic: Option<String>,
    pub surgery_incisions: Option<u32>,
    pub surgery_adhesions: Option<String>,
    pub surgery_for_build: Option<bool>,
    pub surgery_remarks: Option<String>,
    pub remarks: Option<String>,
    /// Computed window in which it is due, while it is expected.
    pub computed_due_from: Option<String>,
    pub computed_due_to: Option<String>,
    /// Computed earliest day on which a puppy may leave.
    pub computed_leaves_from: Option<String>,
    pub progesterone: Vec<SampleExport>,
    pub measured: Vec<MeasurementExport>,
    /// Units named at the head of weights.yaml, which bare numbers below them have.
    pub weight_units: Vec<String>,
    pub puppies: Vec<PuppyExport>,
    pub weigh_ins: Vec<WeighInExport>,
    pub health: Vec<HealthExport>,
    pub notes: Vec<NoteExport>,
    pub photos: Vec<PhotoExport>,
    pub pictures: Vec<PictureExport>,
}

/// One progesterone value.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct SampleExport {
    pub on: String,
    pub value: Option<NgPerMl>,
    pub laboratory: Option<String>,
    pub method: Option<String>,
}

/// One fetal measurement.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct MeasurementExport {
    pub on: String,
    pub what: &'static str,
    pub size: Option<Millimetres>,
}

/// One weigh-in.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct WeighInExport {
    pub at: String,
    /// Place of the block in its file, from 1.
    pub block: usize,
    pub by: Option<String>,
    pub remark: Option<String>,
    pub weights: Vec<WeightExport>,
}

/// One weight of a weigh-in.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct WeightExport {
    pub puppy: String,
    pub weight: Option<Grams>,
}

/// A note.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct NoteExport {
    pub file: String,
    pub date: String,
    pub title: String,
    pub audience: &'static str,
    pub puppies: Vec<String>,
    pub topic: Option<&'static str>,
    /// Markdown.
    pub text: String,
}

/// A picture, by name.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct PhotoExport {
    /// Its file below the content folder.
    pub file: String,
    /// The puppy it belongs to; none for the litter.
    pub puppy: Option<String>,
    /// Whether only owner and keeper may see it.
    pub private: bool,
}

/// What is said of a picture, beyond what its camera wrote.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct PictureExport {
    /// Name of the file in one of the litter's photo folders.
    pub file: String,
    pub caption: Option<String>,
    pub taken: Option<String>,
    /// `shown` or `hidden`.
    pub age: &'static str,
    pub order: Option<u32>,
    /// `right`, `left` or `half`.
    pub turn: Option<&'static str>,
}

pub(super) fn litter(
    pen: &mut Pen<'_>,
    folder: &LitterFolder,
    figures: &LitterFigures,
) -> LitterExport {
    let LitterFolder {
        id,
        litter,
        weigh_ins,
        bare_unit: _,
        health,
        notes,
        photos,
    } = folder;
    let weights_file = folder.file("weights.yaml");
    pen.file = folder.file("litter.yaml");
    let mut export = of_record(pen, litter, figures);
    export.id = id.to_string();
    export.puppies = litter
        .puppies
        .iter()
        .enumerate()
        .map(|(i, p)| puppy::puppy(pen, i, p, litter.born_at(p), &figures.puppies[&p.id]))
        .collect();
    pen.file = weights_file;
    let blocks = weigh_ins
        .iter()
        .map(|weigh_in| weigh_in.block + 1)
        .max()
        .unwrap_or_default();
    export.weight_units = (0..=blocks)
        .filter_map(|block| pen.written(&[block.into(), "unit".into()]))
        .collect();
    export.weigh_ins = weigh_ins
        .iter()
        .map(|weigh_in| weighed(pen, weigh_in))
        .collect();
    pen.file = folder.file("health.yaml");
    export.health = health
        .iter()
        .enumerate()
        .map(|(i, entry)| health::entry(pen, i, entry))
        .collect();
    export.notes = notes.iter().map(|n| note(folder, n)).collect();
    export.photos = photos.iter().map(photo).collect();
    export
}

/// `litter.yaml` without its puppies.
fn of_record(pen: &mut Pen<'_>, litter: &Litter, figures: &LitterFigures) -> LitterExport {
    let Litter {
        name,
        dam,
        sire,
        about,
        announced,
        mated,
        ovulated,
        lh_surge,
        dioestrus,
        progesterone,
        measured,
        counted,
        adult_weight,
        birth,
        weaned,
        puppies: _,
        pictures,
        remarks,
    } = litter;
    let (counted_by, counted_on, counted_puppies) = match counted {
        Some(PupCount { by, on, puppies }) => (
            Some(if *by == CountedBy::XRay {
                "x-ray"
            } else {
                "ultrasound"
            }),
            Some(*on),
            Some(*puppies),
        ),
        None => (None, None, None),
    };
    let born = birth.as_ref().map(
        |Birth {
             on,
             how,
             placentas,
             surgery,
             remarks,
         }| { (*on, how.word(), *placentas, surgery.as_ref(), text(remarks)) },
    );
    let surgery = born.as_ref().and_then(|(.., surgery, _)| *surgery);
    let surgery = surgery.map(
        |Surgery {
             clinic,
             incisions,
             adhesions,
             for_build,
             remarks,
         }| {
            (
                text(clinic),
                *incisions,
                text(adhesions),
                *for_build,
                text(remarks),
            )
        },
    );
    let (surgery_clinic, surgery_incisions, surgery_adhesions, surgery_for_build, surgery_remarks) =
        surgery.unwrap_or_default();
    let due = figures.due.map(
        |Due {
             from,
             likely: _,
             to,
             anchor: _,
             known: _,
         }| (from, to),
    );
    LitterExport {
        id: String::new(),
        name: name.to_string(),
        dam: dam.to_string(),
        sire: sire.to_string(),
        about: text(about),
        announced: *announced,
        mated: texts(mated),
        ovulated: day(*ovulated),
        lh_surge: day(*lh_surge),
        dioestrus: day(*dioestrus),
        counted_by,
        counted_on: day(counted_on),
        counted_puppies,
        adult_weight: pen.weight(*adult_weight, key_path!["adult_weight"]),
        weaned: day(*weaned),
        born_on: day(born.as_ref().map(|born| born.0)),
        born_how: born.as_ref().map(|born| born.1),
        placentas: born.as_ref().and_then(|born| born.2),
        birth_remarks: born.and_then(|born| born.4),
        surgery_clinic,
        surgery_incisions,
        surgery_adhesions,
        surgery_for_build,
        surgery_remarks,
        remarks: text(remarks),
        computed_due_from: day(due.map(|due| due.0)),
        computed_due_to: day(due.map(|due| due.1)),
        computed_leaves_from: day(figures.leaves_from),
        progesterone: progesterone
            .iter()
            .enumerate()
            .map(|(i, s)| sample(pen, i, s))
            .collect(),
        measured: measured
            .iter()
            .enumerate()
            .map(|(i, m)| measurement(pen, i, m))
            .collect(),
        weight_units: Vec::new(),
        puppies: Vec::new(),
        weigh_ins: Vec::new(),
        health: Vec::new(),
        notes: Vec::new(),
        photos: Vec::new(),
        pictures: pictures.iter().map(picture).collect(),
    }
}

fn sample(pen: &mut Pen<'_>, i: usize, sample: &Sample) -> SampleExport {
    let Sample {
        on,
        value,
        laboratory,
        method,
    } = sample;
    SampleExport {
        on: on.to_string(),
        value: pen.progesterone(Some(*value), key_path!["progesterone", i, "value"]),
        laboratory: text(laboratory),
        method: text(method),
    }
}

fn measurement(pen: &mut Pen<'_>, i: usize, measurement: &Measurement) -> MeasurementExport {
    let Measurement { on, what, size } = measurement;
    let what = match what {
        Measured::InnerChamber => "inner chamber",
        Measured::Head => "head",
    };
    MeasurementExport {
        on: on.to_string(),
        what,
        size: pen.length(Some(*size), key_path!["measured", i, "size"]),
    }
}

fn weighed(pen: &mut Pen<'_>, weigh_in: &WeighIn) -> WeighInExport {
    let WeighIn {
        at,
        by,
        remark,
        weights,
        block,
    } = weigh_in;
    let weights = weights.iter().map(|(puppy, weight)| WeightExport {
        puppy: puppy.to_string(),
        weight: pen.weight(Some(*weight), key_path![*block, puppy.as_str()]),
    });
    WeighInExport {
        at: moment(*at),
        block: block + 1,
        by: text(by),
        remark: text(remark),
        weights: weights.collect(),
    }
}

fn note(folder: &LitterFolder, note: &Note) -> NoteExport {
    let Note {
        slug,
        head:
            NoteHead {
                date,
                title,
                audience,
                puppies,
                topic,
            },
        text: body,
    } = note;
    let audience = match audience {
        Audience::Everyone => "everyone",
        Audience::Owners => "owners",
        Audience::Keeper => "keeper",
    };
    NoteExport {
        file: folder.file(&format!("notes/{slug}.md")),
        date: date.to_string(),
        title: title.to_string(),
        audience,
        puppies: texts(puppies),
        topic: topic.map(Topic::word),
        text: body.clone(),
    }
}

fn picture(note: &PictureNote) -> PictureExport {
    let PictureNote {
        file,
        caption,
        taken,
        age,
        order,
        turn,
    } = note;
    let age = match age {
        AgeShown::Shown => "shown",
        AgeShown::Hidden => "hidden",
    };
    PictureExport {
        file: file.to_string(),
        caption: text(caption),
        taken: day(*taken),
        age,
        order: *order,
        turn: turn.map(PictureTurn::word),
    }
}

fn photo(photo: &PhotoFile) -> PhotoExport {
    // Where the picture lies on this machine is nobody's business.
    let PhotoFile {
        file,
        path: _,
        puppy,
        private,
        turn: _,
    } = photo;
    PhotoExport {
        file: file.clone(),
        puppy: puppy.as_ref().map(ToString::to_string),
        private: *private,
    }
}
