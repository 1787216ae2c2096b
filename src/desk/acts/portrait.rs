//! The picture of a dog: taken in beside its record, put in place of another, taken out.
//!
//! In: a dog, and a file as a browser sends it. Out: the file under a name made here, its bytes as
//! they came, and `photo` in the dog's record. A picture that another dog shows as well stays.

use super::form::{
    ActField, ActFieldKind, ActFields, ActForm, ActItem, ActLink, ActPage, AskedSlips, Button,
    Group, Section,
};
use super::pictures::{ending, path_of};
use super::{Act, Halt, Made, ROOT, Scene};
use crate::app::recording::{FileChange, Work};
use crate::cache::Digest;
use crate::quantity::Id;
use crate::records::changing::Change;
use crate::records::dog::Dog;
use crate::records::problem::key_path;

pub(super) const PORTRAIT: Act = Act {
    path: "dogs/{dog}/picture",
    what: "picture of a dog",
    page,
    make,
};

fn dog<'a>(scene: &Scene<'a>) -> Option<(&'a Id, &'a Dog)> {
    let id = scene.id("dog")?;
    Some((id, scene.records.dogs.get(id)?))
}

fn page(scene: &Scene<'_>) -> Option<ActPage> {
    let (id, dog) = dog(scene)?;
    let name = dog.shown_name().to_string();
    let there = scene.records.portraits.get(id);
    let items = there.map(|photo| ActItem {
        picture: Some(ActLink::new(
            name.clone(),
            format!("{ROOT}picture/{}", path_of(&photo.file)),
        )),
        forms: vec![ActForm {
            buttons: vec![Button::new("out", "Take it out")],
            about: name.clone(),
            ..ActForm::default()
        }],
        ..ActItem::default()
    });
    let there = Section::of("The picture that is there", Vec::from_iter(items));
    let picture = ActField::new("files", "Picture", ActFieldKind::File);
    Some(ActPage {
        title: format!("A picture of {name}"),
        lead: vec![
            "JPEG, PNG or WebP, on the public page of this dog from the next time you publish. \
             What a camera wrote about place and device never leaves this machine."
                .to_owned(),
        ],
        form: Some(ActForm {
            groups: vec![Group::new("", vec![picture.needed()])],
            buttons: vec![Button::new("add", "Take it in")],
            is_upload: true,
            ..ActForm::default()
        }),
        sections: Vec::from_iter(there),
        links: vec![ActLink::new(
            "To the record of this dog",
            format!("/-desk/form/dogs/{id}.yaml"),
        )],
        ..ActPage::default()
    })
}

fn make(scene: &Scene<'_>, given: &ActFields) -> Result<Made, Halt> {
    let (id, _) = dog(scene).ok_or(Halt::Gone)?;
    let path = key_path!["photo"];
    let to = format!("{ROOT}dogs/{id}/picture");
    let portraits = &scene.records.portraits;
    let before = portraits.get(id);
    let is_shared = |file: &str| {
        let mut others = portraits.iter().filter(|(other, _)| *other != id);
        others.any(|(_, photo)| photo.file == file)
    };
    let gone = before
        .filter(|photo| !is_shared(&photo.file))
        .map(|photo| (photo.file.clone(), Work::Gone));
    let (change, new): (Change, Option<FileChange>) = if given.get("act") == Some("out") {
        if before.is_none() {
            let message = "there is no picture of this dog";
            return Err(AskedSlips::one("", message, "").into());
        }
        (Change::take_out(path), None)
    } else {
        let [picture] = given.files.as_slice() else {
            let message = if given.files.is_empty() {
                "no picture is chosen"
            } else {
                "these are several pictures"
            };
            return Err(AskedSlips::one("files", message, "choose one").into());
        };
        // By its bytes: a file that no dog shows may lie there under any other name.
        let digest = Digest::of(&picture.bytes).hex();
        let name = format!("{id}-{}.{}", &digest[..8], ending(&picture.bytes));
        if before.is_some_and(|photo| photo.name() == name) {
            let files = Vec::new();
            return Ok(Made { files, to });
        }
        let file = (format!("dogs/{name}"), Work::Picture(picture.bytes.clone()));
        (Change::set(path, name), Some(file))
    };
    let record = (format!("dogs/{id}.yaml"), Work::Changed(vec![change]));
    Ok(Made {
        files: [record].into_iter().chain(new).chain(gone).collect(),
        to,
    })
}
