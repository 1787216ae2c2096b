//! Dogs: a new one, and a puppy that stays and becomes one.
//!
//! In: what is known of it. Out: a new file in `dogs/`; of a puppy that stays, its offer as well,
//! in one change.

use super::births::dogs;
use super::form::{
    ActField, ActFields, ActForm, ActLink, ActPage, AskedSlips, Button, Group, choices,
};
use super::values::{block, free_id};
use super::{Act, Halt, Made, ROOT, Scene, at};
use crate::app::recording::{FileChange, Work};
use crate::quantity::{ChipNumber, Day};
use crate::records::changing::Change;
use crate::records::dog::Sex;
use crate::records::problem::key_path;
use serde_yaml::Value;

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
    Some(ActPage {
        title: "A new dog".to_owned(),
        form: Some(ActForm {
            groups: vec![
                Group::new(
                    "",
                    [
                        names(),
                        vec![
                            ActField::choice("sex", "Sex", choices(sexes)).needed(),
                            ActField::day("born", "Born on", None),
                            ActField::choice("home", "Where it lives", choices(homes)).with("here"),
                        ],
                    ]
                    .concat(),
                ),
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
            ],
            buttons: vec![Button::new("save", "Record it")],
            ..ActForm::default()
        }),
        links: vec![ActLink::new("All litters", format!("{ROOT}litters"))],
        ..ActPage::default()
    })
}

/// What is typed of a dog, in the order of its file.
fn file(scene: &Scene<'_>, value: Value, shown: &str) -> (String, FileChange) {
    let is_taken = |id: &str| id == "new" || scene.records.dogs.contains_key(id);
    let id = free_id(shown, "dog", is_taken);
    let change = Change::Set {
        path: Vec::new(),
        value,
    };
    let file = format!("dogs/{id}.yaml");
    (id, (file, Work::Changed(vec![change])))
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
    slips.together(
        [("registry", &registry), ("number", &number)],
        "a registration is a register and a number in it",
    );
    let mut value = block([
        ("name", Some(name.clone())),
        ("call_name", call.clone()),
        ("sex", Some(sex)),
        ("born", born.map(|born| born.to_string())),
        ("colour", given.words("colour", &mut slips)),
        ("sire", given.get("sire").map(str::to_owned)),
        ("dam", given.get("dam").map(str::to_owned)),
        (
            "home",
            given
                .get("home")
                .filter(|home| *home == "elsewhere")
                .map(str::to_owned),
        ),
        ("chip", chip.map(|chip| chip.to_string())),
    ]);
    if let (Value::Mapping(dog), Some(_)) = (&mut value, &registry) {
        let papers = block([("registry", registry), ("number", number)]);
        dog.insert("registration".into(), papers);
    }
    slips.none()?;
    let (_, change) = file(scene, value, &call.unwrap_or(name));
    Ok(Made {
        files: vec![change],
        to: format!("{ROOT}litters"),
    })
}

fn stays(scene: &Scene<'_>) -> Option<ActPage> {
    let (litter, _, puppy) = scene.puppy()?;
    let shown = puppy.shown_name();
    let full = puppy.registered_name.as_ref().map(ToString::to_string);
    let mut fields = names();
    fields[0] = fields[0]
        .clone()
        .with(full.unwrap_or_else(|| shown.clone()));
    fields[1] = fields[1].clone().with(shown.clone());
    Some(ActPage {
        above: litter.litter.name.to_string(),
        title: format!("{shown} stays"),
        lead: vec![
            "It stays in its litter, as one that is not to be had, and becomes one of your dogs, \
             with its parents, birthday, colour, chip and papers."
                .to_owned(),
        ],
        form: Some(ActForm {
            groups: vec![Group::new("", fields)],
            buttons: vec![Button::new("save", "It becomes one of the dogs")],
            ..ActForm::default()
        }),
        links: vec![ActLink::new("To the litter", at(&litter.id, None, ""))],
        ..ActPage::default()
    })
}

fn stayed(scene: &Scene<'_>, given: &ActFields) -> Result<Made, Halt> {
    let (litter, n, puppy) = scene.puppy().ok_or(Halt::Gone)?;
    let mut slips = AskedSlips::default();
    let name = given.needed("name", "say what it is called", &mut slips);
    let call = given.words("call_name", &mut slips);
    slips.none()?;
    let mut value = block([
        ("name", Some(name.clone())),
        ("call_name", call.clone()),
        ("sex", Some(puppy.sex.word().to_owned())),
        (
            "born",
            litter.litter.born_on(puppy).map(|born| born.to_string()),
        ),
        ("colour", puppy.colour.as_ref().map(ToString::to_string)),
        ("sire", Some(litter.litter.sire.to_string())),
        ("dam", Some(litter.litter.dam.to_string())),
        ("chip", puppy.chip.as_ref().map(ToString::to_string)),
    ]);
    if let (Value::Mapping(dog), Some(papers)) = (&mut value, &puppy.registration) {
        let papers = block([
            ("registry", Some(papers.registry.to_string())),
            ("number", Some(papers.number.to_string())),
        ]);
        dog.insert("registration".into(), papers);
    }
    let (_, change) = file(scene, value, &call.unwrap_or(name));
    let offer = Change::Set {
        path: key_path!["puppies", n, "offer"],
        value: Value::String("staying".to_owned()),
    };
    Ok(Made {
        files: vec![
            change,
            (litter.file("litter.yaml"), Work::Changed(vec![offer])),
        ],
        to: at(&litter.id, None, ""),
    })
}
