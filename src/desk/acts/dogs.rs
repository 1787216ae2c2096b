//! Dogs: a new one, and a puppy that stays and becomes one.
//!
//! In: what is known of it. Out: a new file in `dogs/`; of a puppy that stays, its offer as well,
//! in one change.

use super::births::dogs;
use super::form::{ActField, ActFields, ActForm, ActLink, ActPage, AskedSlips, Group, choices};
use super::values::{block, free_id, new_record, text};
use super::{Act, Halt, Made, ROOT, Scene, page_of};
use crate::app::recording::FileChange;
use crate::quantity::{ChipNumber, Day};
use crate::records::changing::Change;
use crate::records::dog::Sex;
use crate::records::problem::key_path;
use serde_yaml::Mapping;

pub(super) const DOG: Act = Act {
    path: "dogs/new",
    what: "new dog",
    page: dog,
    make: entered,
};

pub(super) const STAYS: Act = Act {
    path: "litters/{litter}/puppies/{puppy}/stays",
    what: "puppy that stays",
    page: stays,
    make: stayed,
};

fn names() -> Vec<ActField> {
    vec![
        ActField::text("name", "Registered or full name").needed(),
        ActField::text("call_name", "The name it comes to"),
    ]
}

fn dog(scene: &Scene<'_>) -> Option<ActPage> {
    let sexes = [("female", "A bitch"), ("male", "A dog")];
    let homes = [("here", "Here"), ("elsewhere", "Elsewhere")];
    let mut about = names();
    about.extend([
        ActField::choice("sex", "Sex", choices(sexes)).needed(),
        ActField::day("born", "Born on", None),
        ActField::choice("home", "Where it lives", choices(homes)).with("here"),
    ]);
    Some(ActPage {
        title: "A new dog".to_owned(),
        form: Some(ActForm::recording(vec![
            Group::new("", about),
            Group::shut(
                "Parents, papers, colour",
                vec![
                    ActField::choice("dam", "Dam", dogs(scene, Sex::Female)),
                    ActField::choice("sire", "Sire", dogs(scene, Sex::Male)),
                    ActField::text("colour", "Colour"),
                    ActField::text("registry", "Registered with"),
                    ActField::text("number", "Number there"),
                    ActField::amount("chip", "Chip").help("15 digits"),
                ],
            ),
        ])),
        links: vec![ActLink::new("All litters", format!("{ROOT}litters"))],
        ..ActPage::default()
    })
}

/// The file of a dog that is shown by this name.
fn file(scene: &Scene<'_>, dog: Mapping, shown: &str) -> FileChange {
    let is_taken = |id: &str| id == "new" || scene.records.dogs.contains_key(id);
    let id = free_id(shown, "dog", is_taken);
    (format!("dogs/{id}.yaml"), new_record(dog))
}

fn entered(scene: &Scene<'_>, given: &ActFields) -> Result<Made, Halt> {
    let mut slips = AskedSlips::default();
    let name = given.needed("name", "say what it is called", &mut slips);
    let call = given.words("call_name", &mut slips);
    let sex = given.needed("sex", "say whether it is a bitch or a dog", &mut slips);
    let born = given.value::<Day>("born", &mut slips);
    let chip = given.value::<ChipNumber>("chip", &mut slips);
    let registry = given.words("registry", &mut slips);
    let number = given.words("number", &mut slips);
    let home = given.get("home");
    slips.together(
        [("registry", &registry), ("number", &number)],
        "a registration is a register and a number in it",
    );
    let mut dog = block([
        ("name", Some(name.clone())),
        ("call_name", call.clone()),
        ("sex", Some(sex)),
        ("born", text(born)),
        ("colour", given.words("colour", &mut slips)),
        ("sire", text(given.get("sire"))),
        ("dam", text(given.get("dam"))),
        ("home", text(home.filter(|home| *home == "elsewhere"))),
        ("chip", text(chip)),
    ]);
    if registry.is_some() {
        let papers = block([("registry", registry), ("number", number)]);
        dog.insert("registration".into(), papers.into());
    }
    slips.none()?;
    Ok(Made {
        files: vec![file(scene, dog, &call.unwrap_or(name))],
        to: format!("{ROOT}litters"),
    })
}

fn stays(scene: &Scene<'_>) -> Option<ActPage> {
    let (litter, _, puppy) = scene.puppy()?;
    let shown = puppy.shown_name();
    let full = text(puppy.registered_name.as_ref());
    let mut fields = names();
    fields[0] = fields[0]
        .clone()
        .with(full.unwrap_or_else(|| shown.clone()));
    fields[1] = fields[1].clone().with(shown.clone());
    Some(ActPage {
        lead: vec![
            "It stays in its litter, as one that is not to be had, and becomes one of your dogs, \
             with its parents, birthday, colour, chip and papers."
                .to_owned(),
        ],
        form: Some(ActForm::saved_by(
            "It becomes one of the dogs",
            vec![Group::new("", fields)],
        )),
        ..page_of(litter, format!("{shown} stays"))
    })
}

fn stayed(scene: &Scene<'_>, given: &ActFields) -> Result<Made, Halt> {
    let (litter, n, puppy) = scene.puppy().ok_or(Halt::Gone)?;
    let mut slips = AskedSlips::default();
    let name = given.needed("name", "say what it is called", &mut slips);
    let call = given.words("call_name", &mut slips);
    slips.none()?;
    let mut dog = block([
        ("name", Some(name.clone())),
        ("call_name", call.clone()),
        ("sex", Some(puppy.sex.word().to_owned())),
        ("born", text(litter.litter.born_on(puppy))),
        ("colour", text(puppy.colour.as_ref())),
        ("sire", Some(litter.litter.sire.to_string())),
        ("dam", Some(litter.litter.dam.to_string())),
        ("chip", text(puppy.chip.as_ref())),
    ]);
    if let Some(papers) = &puppy.registration {
        let papers = block([
            ("registry", Some(papers.registry.to_string())),
            ("number", Some(papers.number.to_string())),
        ]);
        dog.insert("registration".into(), papers.into());
    }
    let offer = Change::set(key_path!["puppies", n, "offer"], "staying");
    let mut made = Made::of_litter(litter, vec![offer]);
    let dog = file(scene, dog, &call.unwrap_or(name));
    made.files.insert(0, dog);
    Ok(made)
}
