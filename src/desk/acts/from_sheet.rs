//! The file that a weigh-in sheet or a whelping sheet saved, taken into the records of a litter.
//!
//! In: the file as a browser sends it, or its text. Out: first what it brings, to be looked at;
//! when the keeper agrees, weigh-ins at the end of the litter's weights, or the birth and its
//! puppies. What stands in the records already is passed over, so that a file can be taken in
//! again; what contradicts them is told, and nothing is half taken in.

use super::form::{
    ActField, ActFieldKind, ActFields, ActForm, ActItem, ActPage, AskedSlips, Button, Group,
    Section,
};
use super::weights::answers_at;
use super::whom::label;
use super::{Act, Halt, Made, Scene, at, page_of};
use crate::app::recording::{FileChange, Refused, Work};
use crate::app::weigh_ins::{Draft, NewWeights, SecondWeight};
use crate::audience::words::weighing::doubt;
use crate::husbandry::weighing::{Doubt, Weighing};
use crate::quantity::{Id, counted, many};
use crate::records::birth_file::{BirthFile, LARGEST_BIRTH_FILE};
use crate::records::litter::{Fate, Puppy};
use crate::records::problem::{At, Problem};
use crate::records::sheet::{self, Setting};
use crate::records::source::locate;
use crate::records::{Addition, LitterFolder};

pub(super) const FROM_SHEET: Act = Act {
    path: "litters/{litter}/from-sheet",
    what: "file of a sheet",
    page,
    make,
};

/// What places in the file are told by.
const FILE: &str = "file";
const TEXT: &str = "text";
/// The button that takes in what was shown.
const TAKE: &str = "take";

fn page(scene: &Scene<'_>) -> Option<ActPage> {
    let litter = scene.litter()?;
    let file = ActField::new(FILE, "The file", ActFieldKind::Table);
    Some(ActPage {
        lead: vec![
            "The weigh-in sheet and the whelping sheet work on a phone without a network, and save \
             a file. Bring it to this computer and choose it here: what it brings is shown before \
             anything is recorded."
                .to_owned(),
        ],
        form: Some(ActForm {
            groups: vec![
                Group::new(
                    "",
                    vec![file.help("a table of weigh-ins, or a birth, as the sheet named it")],
                ),
                Group::shut(
                    "Or its text",
                    vec![ActField::area(TEXT, "Text of the file").help("where a mail has it")],
                ),
            ],
            buttons: vec![Button::new("look", "Look at it")],
            is_upload: true,
            ..ActForm::default()
        }),
        ..page_of(litter, "A file that a sheet saved")
    })
}

fn make(scene: &Scene<'_>, given: &ActFields) -> Result<Made, Halt> {
    let litter = scene.litter().ok_or(Halt::Gone)?;
    let typed = given.all(TEXT).next().unwrap_or_default();
    let bytes = match given.files.as_slice() {
        [] => typed.as_bytes().to_vec(),
        [file] => file.bytes.clone(),
        _ => return Err(AskedSlips::one(FILE, "these are several files", "take in one").into()),
    };
    if bytes.trim_ascii().is_empty() {
        let message = "there is nothing in it";
        return Err(AskedSlips::one(FILE, message, "choose the file that the sheet saved").into());
    }
    if bytes.len() as u64 > LARGEST_BIRTH_FILE {
        let message = "this is far too large to be of a sheet";
        return Err(AskedSlips::one(FILE, message, "is it the right file?").into());
    }
    let is_agreed = !is_look(given);
    if is_birth(&bytes) {
        birth(scene, litter, bytes, is_agreed)
    } else {
        weigh_ins(scene, litter, &bytes, is_agreed)
    }
}

/// Whether it is a birth and no table: keys at the beginning of lines.
fn is_birth(bytes: &[u8]) -> bool {
    let text = String::from_utf8_lossy(bytes);
    let mut lines = text.trim_start_matches('\u{feff}').lines();
    lines.any(|line| {
        ["birth:", "puppies:"]
            .iter()
            .any(|key| line.starts_with(key))
    })
}

/// Whether the file is only looked at.
pub(super) fn is_look(given: &ActFields) -> bool {
    given.get("act") != Some(TAKE)
}

/// What was sent, with the file as its text: a browser forgets a file that was chosen, and a text
/// stands in its field again. What is no text stays a file.
pub(super) fn as_text(mut given: ActFields) -> ActFields {
    let text = match given.files.as_slice() {
        [file] if file.bytes.len() as u64 <= LARGEST_BIRTH_FILE => {
            String::from_utf8(file.bytes.clone()).ok()
        }
        _ => None,
    };
    let is_plain = |c: char| !c.is_control() || matches!(c, '\n' | '\r' | '\t');
    if let Some(text) = text.filter(|text| text.chars().all(is_plain)) {
        given.fields.retain(|(name, _)| name != TEXT);
        given.fields.push((TEXT.to_owned(), text));
        given.files.clear();
    }
    given
}

/// What the file brings, and the way to agree; with it what would be recorded, so that what is
/// wrong of it beside the records is told now, and not when it is taken in.
fn shown(
    scene: &Scene<'_>,
    text: &str,
    lead: &str,
    sections: Vec<Section>,
    files: Vec<FileChange>,
) -> Halt {
    let Some(page) = page(scene) else {
        return Halt::Gone;
    };
    let page = ActPage {
        said: vec![format!("{lead} Nothing is recorded yet.")],
        lead: Vec::new(),
        found: sections,
        form: Some(ActForm {
            hidden: vec![(TEXT.to_owned(), text.to_owned())],
            buttons: vec![Button::new(TAKE, "Take it in")],
            is_upload: true,
            ..ActForm::default()
        }),
        ..page
    };
    Halt::Look(Box::new(page), files)
}

/// What is wrong in the file, each with its line.
fn slips(refused: &Refused) -> Halt {
    let mut slips = AskedSlips::default();
    for located in &refused.problems {
        let Problem {
            place,
            message,
            hint,
            ..
        } = &located.problem;
        let has_line = place.at != At::File && refused.sources.is_known(&place.file);
        let words = if has_line {
            format!("Line {}: {message}", located.line)
        } else {
            message.clone()
        };
        slips.push(FILE, words, hint);
    }
    Halt::Slips(slips)
}

fn all_there() -> Halt {
    let message = "all of it stands in the records already";
    AskedSlips::one(FILE, message, "nothing is left to take in").into()
}

fn weigh_ins(
    scene: &Scene<'_>,
    litter: &LitterFolder,
    bytes: &[u8],
    is_agreed: bool,
) -> Result<Made, Halt> {
    let setting = Setting {
        unit: scene.records.bare_unit(litter),
        zone: scene.records.kennel.time_zone.0,
        latest: scene.latest(),
        at: None,
        by: None,
    };
    let table = sheet::read(FILE, bytes, litter, &setting);
    if !table.problems.is_empty() {
        return Err(slips(&Refused::of(FILE, &table.text, table.problems)));
    }
    let file = litter.file("weights.yaml");
    let new = NewWeights::new(&file, &litter.weigh_ins, &table.rows);
    if !new.twice.is_empty() {
        let problems = new.twice.iter().map(second);
        return Err(slips(&Refused::of(FILE, &table.text, problems.collect())));
    }
    if new.drafts.is_empty() {
        return Err(all_there());
    }
    let entries = new.drafts.iter().map(Draft::entry).collect();
    let files = vec![(file.clone(), Work::WeighIns(entries))];
    if !is_agreed {
        let mut weighing = Weighing::new(scene.records, litter);
        let doubts = new.doubts(&mut weighing);
        let lead = format!(
            "The file brings {} in {}.{}",
            many(new.weights(), "weight"),
            many(new.drafts.len(), "weigh-in"),
            there(new.there.len())
        );
        let sections = weighed(scene, litter, &new.drafts, &doubts);
        return Err(shown(scene, &table.text, &lead, sections, files));
    }
    let last = new.drafts.iter().map(|draft| draft.at).max();
    Ok(Made {
        files,
        to: last.map_or_else(String::new, |last| answers_at(litter, last)),
    })
}

fn there(count: usize) -> String {
    match count {
        0 => String::new(),
        1 => " One more stands in the records already.".to_owned(),
        count => format!(" {count} more stand in the records already."),
    }
}

fn second(twice: &SecondWeight<'_>) -> Problem {
    let whence = if twice.is_new {
        "in an earlier line"
    } else {
        "in the records"
    };
    let given = twice.given;
    Problem::error(
        "weight-twice",
        given.place.clone(),
        format!(
            "{}“{}” has another weight for {} {whence}: {}",
            given.label, given.puppy, twice.at, twice.other
        ),
        "put the time right in the file, or take the weight out of it; one that is wrong in the \
         records is put right on the puppy’s page",
    )
}

fn weighed(
    scene: &Scene<'_>,
    litter: &LitterFolder,
    drafts: &[Draft],
    doubts: &[Doubt],
) -> Vec<Section> {
    let name = |id: &Id| {
        let puppy = litter.puppy(id);
        puppy.map_or_else(|| scene.dam(litter), Puppy::shown_name)
    };
    let doubted = doubts.iter().map(|doubt_of| ActItem {
        title: doubt_of.puppies.first().map(name).unwrap_or_default(),
        words: vec![format!(
            "{}: {}",
            doubt_of.at,
            doubt(&doubt_of.reason, scene.ounces())
        )],
        ..ActItem::default()
    });
    let items = drafts.iter().map(|draft| {
        let weights = draft.weights.iter();
        let weights = weights.map(|(id, _, written)| format!("{} {written}", name(id)));
        let by = draft.by.iter().map(|by| format!("Weighed by {by}"));
        let remark = draft.remark.iter().map(ToString::to_string);
        ActItem {
            title: draft.at.in_words(),
            words: std::iter::once(weights.collect::<Vec<_>>().join(", "))
                .chain(by)
                .chain(remark)
                .collect(),
            ..ActItem::default()
        }
    });
    let doubted = Section::of("Look at these once more", doubted.collect());
    let items = Section::of("To be recorded", items.collect());
    doubted.into_iter().chain(items).collect()
}

fn birth(
    scene: &Scene<'_>,
    litter: &LitterFolder,
    bytes: Vec<u8>,
    is_agreed: bool,
) -> Result<Made, Halt> {
    let text = String::from_utf8_lossy(&bytes).into_owned();
    let (file, sources, problems) = BirthFile::read(FILE, bytes);
    let refused = |problems| Refused {
        problems: locate(problems, &sources),
        sources: sources.clone(),
    };
    let Some(file) = file else {
        return Err(slips(&refused(problems)));
    };
    let other = file.litter.as_ref().filter(|named| **named != litter.id);
    // A litter may have been given another name since; one that is there is another one.
    if let Some(other) = other.and_then(|other| scene.records.litters.get(other)) {
        let message = format!("this is the birth of {}", other.litter.name);
        let hint = "take it in on the page of that litter";
        return Err(AskedSlips::one(FILE, message, hint).into());
    }
    let record = litter.file("litter.yaml");
    let old = scene.loaded.sources.text(&record).ok_or(Halt::Gone)?;
    let added = file.into_record(&record, old);
    let added = added.map_err(|problems| slips(&refused(problems)))?;
    if added.lines.is_empty() {
        return Err(all_there());
    }
    let sections = born(scene, litter, &file, &added);
    let brought = brought(&added);
    let files = vec![(record, Work::Text(added.text))];
    if is_agreed {
        return Ok(Made {
            files,
            to: at(&litter.id, None, ""),
        });
    }
    Err(shown(scene, &text, &brought, sections, files))
}

fn brought(added: &Addition) -> String {
    let puppies = counted(added.puppies.len(), "puppy", "puppies");
    let what = match (added.birth, added.puppies.is_empty()) {
        (true, true) => "the birth".to_owned(),
        (true, false) => format!("the birth and {puppies}"),
        (false, _) => puppies,
    };
    format!("The file brings {what}.{}", there(added.already))
}

fn born(
    scene: &Scene<'_>,
    litter: &LitterFolder,
    file: &BirthFile,
    added: &Addition,
) -> Vec<Section> {
    let birth = file.birth();
    let day = birth
        .as_ref()
        .or(litter.litter.birth.as_ref())
        .map(|birth| birth.on);
    let begun = birth.filter(|_| added.birth).map(|birth| ActItem {
        title: "The birth".to_owned(),
        words: vec![format!("{}, {}", birth.on.in_words(), birth.how.word())],
        ..ActItem::default()
    });
    let puppies = file.puppies().into_iter();
    let puppies = puppies.filter(|puppy| added.puppies.contains(&puppy.id));
    let puppies = puppies.map(|puppy| {
        let at = puppy.born.zip(day).map(|(born, day)| born.on(day));
        let dead = (puppy.fate == Some(Fate::Stillborn)).then(|| "stillborn".to_owned());
        let said = [
            Some(puppy.sex.word().to_owned()),
            dead,
            puppy.colour.as_ref().map(ToString::to_string),
            at.map(|at| format!("born {}", at.in_words())),
            puppy.weight.map(|weight| weight.show(scene.ounces())),
        ];
        ActItem {
            title: label(&puppy),
            words: vec![said.into_iter().flatten().collect::<Vec<_>>().join(", ")],
            ..ActItem::default()
        }
    });
    let items = begun.into_iter().chain(puppies).collect();
    Vec::from_iter(Section::of("To be recorded", items))
}
