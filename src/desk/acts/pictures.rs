//! Pictures of a litter: taken in, shown, given to a puppy or an audience, taken out again.
//!
//! In: files as a browser sends them. Out: files in `photos/` or `photos-private/` under a name
//! made here, their bytes as they came, once each was found whole; captions in `litter.yaml`. A
//! name that was typed never becomes a path.

use super::form::{
    ActChoice, ActField, ActFieldKind, ActFields, ActForm, ActItem, ActLink, ActPage, AskedSlips,
    Button, Group, Section, Upload, choices,
};
use super::values::text;
use super::whom::label;
use super::{Act, Halt, Made, ROOT, Scene, at, page_of};
use crate::app::folder::Folder;
use crate::app::recording::{FileChange, Work, files_of};
use crate::photos;
use crate::quantity::Day;
use crate::records::LitterFolder;
use crate::records::changing::Change;
use crate::records::litter::{PictureNote, PictureTurn};
use crate::records::photo::{PhotoFile, is_picture};
use crate::records::problem::key_path;
use serde_yaml::{Mapping, Value};
use std::collections::BTreeSet;
use std::path::PathBuf;

pub(super) const PICTURES: Act = Act {
    path: "litters/{litter}/pictures",
    what: "pictures",
    page,
    make,
};

/// What stands for a picture that is not turned.
const AS_IT_IS: &str = "as-it-is";
/// What stands for the litter where a puppy could stand.
const LITTER: &str = "litter";
const PUBLIC: &str = "photos";
const PRIVATE: &str = "photos-private";

/// Looks at every picture as publishing will, before anything is locked.
pub(super) fn checked(files: &[Upload]) -> Result<(), AskedSlips> {
    let mut slips = AskedSlips::default();
    for Upload { name, bytes } in files {
        if let Err(fault) = photos::examine(bytes).and_then(|_| photos::prepare(bytes, &[480])) {
            let name = crate::records::showing::harmless(name);
            slips.push("files", format!("{name}: {fault}"), &fault.hint());
        }
    }
    slips.none()
}

/// Where a picture of the records stands, by its path below the content folder.
/// Only the list of files is looked at: a page shows many pictures, and asks for each.
pub(crate) fn file_at(folder: &Folder, file: &str) -> Option<PathBuf> {
    let parts: Vec<&str> = file.split('/').collect();
    let (["litters", _, PUBLIC | PRIVATE, name] | ["dogs", name]) = parts[..] else {
        return None;
    };
    let is_there = is_picture(name) && files_of(folder).ok()?.iter().any(|known| known == file);
    is_there.then(|| folder.content.join(file))
}

fn whose(litter: &LitterFolder) -> Vec<ActChoice> {
    let puppies = litter.living();
    let puppies = puppies.map(|puppy| (puppy.id.to_string(), label(puppy)));
    choices(
        [(LITTER.to_owned(), "The litter".to_owned())]
            .into_iter()
            .chain(puppies),
    )
}

fn audiences() -> Vec<ActChoice> {
    choices([
        (PUBLIC, "Everyone: it may be published"),
        (PRIVATE, "Its family and you alone"),
    ])
}

fn turns() -> Vec<ActChoice> {
    let label = |turn| match turn {
        PictureTurn::Right => "A quarter to the right",
        PictureTurn::Left => "A quarter to the left",
        PictureTurn::Half => "Upside down",
    };
    let turns = PictureTurn::ALL
        .iter()
        .map(|turn| (turn.word(), label(*turn)));
    choices([(AS_IT_IS, "As the camera says")].into_iter().chain(turns))
}

fn folder_of(photo: &PhotoFile) -> &'static str {
    if photo.private { PRIVATE } else { PUBLIC }
}

fn page(scene: &Scene<'_>) -> Option<ActPage> {
    let litter = scene.litter()?;
    let items = litter.photos.iter().map(|photo| {
        let owner = photo.puppy.as_ref().map_or(LITTER, |puppy| puppy.as_str());
        let note = litter
            .litter
            .pictures
            .iter()
            .find(|note| *note.file == *photo.name());
        let caption = note.and_then(|note| note.caption.as_ref());
        let turn = note.and_then(|note| note.turn);
        let order = note.and_then(|note| note.order);
        let named = photo.puppy.as_ref().and_then(|puppy| litter.puppy(puppy));
        let whom = named.map_or_else(|| "The litter".to_owned(), label);
        let order = ActField::text("order", "Place among the pictures").with_some(order);
        ActItem {
            title: photo.name().to_owned(),
            turn: turn.map(PictureTurn::word),
            picture: Some(ActLink::new(
                caption.map_or_else(|| format!("Picture: {whom}"), ToString::to_string),
                format!("{ROOT}picture/{}", path_of(&photo.file)),
            )),
            forms: vec![ActForm {
                hidden: vec![("file".to_owned(), photo.file.clone())],
                groups: vec![
                    Group::new(
                        "",
                        vec![
                            ActField::choice("whose", "Of", whose(litter)).with(owner),
                            ActField::choice("audience", "Who may see it", audiences())
                                .with(folder_of(photo)),
                            ActField::text("caption", "Words under it").with_some(caption),
                            ActField::choice("turn", "Turned", turns())
                                .with(turn.map_or(AS_IT_IS, PictureTurn::word)),
                        ],
                    ),
                    Group::shut(
                        "Place and day",
                        vec![
                            order.help("1 comes first; those without a place follow, by name"),
                            ActField::day("taken", "Taken on", note.and_then(|note| note.taken))
                                .help("where the camera does not say, or its clock was wrong"),
                        ],
                    ),
                ],
                buttons: vec![
                    Button::new("change", "Save"),
                    Button::new("out", "Take it out"),
                ],
                about: photo.name().to_owned(),
                ..ActForm::default()
            }],
            ..ActItem::default()
        }
    });
    let there = Section::of("Pictures that are there", items.collect());
    Some(ActPage {
        lead: vec![
            "JPEG, PNG and WebP. They are looked at whole before they are taken in, and kept as \
             they came; what a camera wrote about place and device never leaves this machine."
                .to_owned(),
        ],
        form: Some(ActForm {
            groups: vec![Group::new(
                "",
                vec![
                    ActField::new("files", "Pictures", ActFieldKind::File).needed(),
                    ActField::choice("whose", "Of", whose(litter))
                        .with(scene.query.get("puppy").unwrap_or(LITTER)),
                    ActField::choice("audience", "Who may see them", audiences()).needed(),
                ],
            )],
            buttons: vec![Button::new("add", "Take them in")],
            is_upload: true,
            ..ActForm::default()
        }),
        sections: Vec::from_iter(there),
        ..page_of(litter, "Pictures")
    })
}

/// A path below the content folder, in an address.
pub(super) fn path_of(file: &str) -> String {
    file.split('/')
        .map(super::values::encoded)
        .collect::<Vec<_>>()
        .join("/")
}

fn make(scene: &Scene<'_>, given: &ActFields) -> Result<Made, Halt> {
    let litter = scene.litter().ok_or(Halt::Gone)?;
    let mut slips = AskedSlips::default();
    let whose = given.get("whose").unwrap_or(LITTER);
    let is_known = whose == LITTER || litter.living().any(|puppy| puppy.id.as_str() == whose);
    if !is_known {
        slips.push("whose", "this puppy is not in the litter", "choose again");
    }
    let folder = if let Some(folder @ (PUBLIC | PRIVATE)) = given.get("audience") {
        folder
    } else {
        slips.push("audience", "say who may see them", "");
        PRIVATE
    };
    let files = match given.get("act") {
        Some("out") => return taken_out(litter, given),
        Some("change") => changed(litter, given, whose, folder, &mut slips),
        _ => added(scene, litter, given, whose, folder, &mut slips),
    };
    slips.none()?;
    Ok(Made {
        files,
        to: at(&litter.id, None, "pictures"),
    })
}

/// What is called by which name already, in either folder.
fn stems(litter: &LitterFolder) -> BTreeSet<String> {
    let stem = |photo: &PhotoFile| {
        let name = photo.name();
        name.rsplit_once('.')
            .map_or(name, |(stem, _)| stem)
            .to_lowercase()
    };
    litter.photos.iter().map(stem).collect()
}

/// A free name: whose it is, the day, and a number.
fn name(whose: &str, day: &str, taken: &mut BTreeSet<String>) -> String {
    let free = (1..=taken.len() + 1)
        .map(|n| format!("{whose}-{day}-{n}"))
        .find(|stem| !taken.contains(stem))
        .unwrap_or_default();
    taken.insert(free.clone());
    free
}

/// What the name of a picture ends with; only these three are found whole.
pub(super) fn ending(picture: &[u8]) -> &'static str {
    match picture.first() {
        Some(0x89) => "png",
        Some(b'R') => "webp",
        _ => "jpg",
    }
}

fn added(
    scene: &Scene<'_>,
    litter: &LitterFolder,
    given: &ActFields,
    whose: &str,
    folder: &str,
    slips: &mut AskedSlips,
) -> Vec<FileChange> {
    if given.files.is_empty() {
        slips.push("files", "no picture is chosen", "choose one or several");
    }
    let mut taken = stems(litter);
    let day = scene.records.today.to_string();
    given
        .files
        .iter()
        .map(|Upload { bytes, .. }| {
            let name = name(whose, &day, &mut taken);
            let file = litter.file(&format!("{folder}/{name}.{}", ending(bytes)));
            (file, Work::Picture(bytes.clone()))
        })
        .collect()
}

fn photo<'a>(litter: &'a LitterFolder, given: &ActFields) -> Option<&'a PhotoFile> {
    let file = given.get("file")?;
    litter.photos.iter().find(|photo| photo.file == file)
}

/// Whose it is, who may see it, what stands under it.
fn changed(
    litter: &LitterFolder,
    given: &ActFields,
    whose: &str,
    folder: &str,
    slips: &mut AskedSlips,
) -> Vec<FileChange> {
    let Some(photo) = photo(litter, given) else {
        slips.push("", "this picture is not there any more", "look again");
        return Vec::new();
    };
    let before = photo.puppy.as_ref().map_or(LITTER, |puppy| puppy.as_str());
    let (stem, ending) = photo
        .name()
        .rsplit_once('.')
        .unwrap_or((photo.name(), "jpg"));
    let stem = if before == whose {
        stem.to_owned()
    } else {
        // What stands behind the name of whose it was: the day and a number, as a rule.
        let rest = stem.strip_prefix(before).unwrap_or_default();
        let wanted = format!("{whose}{}", rest.to_lowercase());
        let mut taken = stems(litter);
        if rest.is_empty() || taken.contains(&wanted) {
            name(whose, "again", &mut taken)
        } else {
            wanted
        }
    };
    let new = format!("{stem}.{ending}");
    let to = litter.file(&format!("{folder}/{new}"));
    let mut files = Vec::new();
    let said = said(given, slips);
    let changes = described(litter, photo, &new, said);
    if !changes.is_empty() {
        files.push((litter.file("litter.yaml"), Work::Changed(changes)));
    }
    if to != photo.file {
        files.push((photo.file.clone(), Work::MovedTo(to)));
    }
    files
}

/// What a form says of a picture: each key of its entry with what it now holds.
type PictureSaid = [(&'static str, Option<Value>); 4];

fn said(given: &ActFields, slips: &mut AskedSlips) -> PictureSaid {
    let order = given.words("order", slips).and_then(|order| {
        let read = order.parse::<u32>().ok().filter(|order| *order > 0);
        if read.is_none() {
            slips.push(
                "order",
                "this is no place",
                "write a whole number: 1 comes first",
            );
        }
        read
    });
    let turn = given.get("turn").filter(|turn| *turn != AS_IT_IS);
    let is_known = |turn: &str| PictureTurn::ALL.iter().any(|known| known.word() == turn);
    if turn.is_some_and(|turn| !is_known(turn)) {
        slips.push(
            "turn",
            "a picture cannot be turned like this",
            "choose again",
        );
    }
    let taken: Option<Day> = given.value("taken", slips);
    keys(given.words("caption", slips), taken, order, turn)
}

/// What an entry holds so far, in the same form.
fn held(note: &PictureNote) -> PictureSaid {
    let turn = note.turn.map(PictureTurn::word);
    keys(text(note.caption.as_ref()), note.taken, note.order, turn)
}

fn keys(
    caption: Option<String>,
    taken: Option<Day>,
    order: Option<u32>,
    turn: Option<&str>,
) -> PictureSaid {
    [
        ("caption", caption.map(Value::from)),
        ("taken", text(taken).map(Value::from)),
        ("order", order.map(Value::from)),
        ("turn", turn.map(Value::from)),
    ]
}

/// What is said of a picture, under its new name.
fn described(
    litter: &LitterFolder,
    photo: &PhotoFile,
    new: &str,
    said: PictureSaid,
) -> Vec<Change> {
    let notes = &litter.litter.pictures;
    let known = notes.iter().position(|note| *note.file == *photo.name());
    let Some(n) = known else {
        let mut entry = Mapping::new();
        entry.insert("file".into(), new.into());
        entry.extend(
            said.into_iter()
                .filter_map(|(key, value)| Some((key.into(), value?))),
        );
        let is_said = entry.len() > 1;
        let added = is_said.then(|| Change::add(key_path!["pictures"], entry));
        return Vec::from_iter(added);
    };
    let mut changes = Vec::new();
    if new != photo.name() {
        changes.push(Change::set(key_path!["pictures", n, "file"], new));
    }
    for ((key, now), (_, before)) in said.into_iter().zip(held(&notes[n])) {
        let path = key_path!["pictures", n, key];
        match (now, before) {
            (Some(value), before) if before.as_ref() != Some(&value) => {
                changes.push(Change::set(path, value));
            }
            (None, Some(_)) => changes.push(Change::take_out(path)),
            _ => {}
        }
    }
    changes
}

fn taken_out(litter: &LitterFolder, given: &ActFields) -> Result<Made, Halt> {
    let Some(photo) = photo(litter, given) else {
        return Err(AskedSlips::one("", "this picture is not there any more", "look again").into());
    };
    let notes = &litter.litter.pictures;
    let mut files = vec![(photo.file.clone(), Work::Gone)];
    if let Some(n) = notes.iter().position(|note| *note.file == *photo.name()) {
        let change = Change::take_out(key_path!["pictures", n]);
        files.push((litter.file("litter.yaml"), Work::Changed(vec![change])));
    }
    Ok(Made {
        files,
        to: at(&litter.id, None, "pictures"),
    })
}
