//! A family that is entered before it takes a puppy.
//!
//! In: a name and how they are reached. Out: a family in `owners.yaml`.

use super::form::{
    ActField, ActFields, ActForm, ActItem, ActLink, ActPage, AskedSlips, Group, Section,
};
use super::homes::{FILE, free_name, people};
use super::values::{block, text};
use super::{Act, Halt, Made, ROOT, Scene};
use crate::records::changing::Change;
use crate::records::kennel::Email;
use crate::records::problem::key_path;

pub(super) const FAMILY: Act = Act {
    path: "families/new",
    what: "new family",
    page: family,
    make: founded,
};

fn family(scene: &Scene<'_>) -> Option<ActPage> {
    let known = scene.records.owners.families.iter();
    let known = known.map(|family| ActItem::titled(family.name.to_string()));
    Some(ActPage {
        title: "A new family".to_owned(),
        lead: vec!["Families are in your book alone, never on the public site.".to_owned()],
        form: Some(ActForm::recording(vec![
            Group::new(
                "",
                [vec![ActField::text("name", "Name").needed()], people()].concat(),
            ),
            Group::shut(
                "More",
                vec![
                    ActField::area("address", "Postal address"),
                    ActField::text("country", "Country").help(
                        "its code of two letters, if it is not the kennel’s; papers and rules \
                         follow it",
                    ),
                    ActField::text("region", "Region")
                        .help("such as england, if it is not the kennel’s"),
                    ActField::remarks(),
                ],
            ),
        ])),
        sections: Vec::from_iter(Section::of("Families that are known", known.collect())),
        links: vec![ActLink::new("Waiting list", format!("{ROOT}waiting"))],
        ..ActPage::default()
    })
}

fn founded(scene: &Scene<'_>, given: &ActFields) -> Result<Made, Halt> {
    let mut slips = AskedSlips::default();
    let name = given.needed("name", "say who they are", &mut slips);
    let email = given.value::<Email>("email", &mut slips);
    let country = given.words("country", &mut slips);
    let family = block([
        ("id", Some(free_name(scene, &name))),
        ("name", Some(name)),
        ("email", text(email.map(|email| email.0))),
        ("phone", given.words("phone", &mut slips)),
        ("address", given.words("address", &mut slips)),
        ("country", country.map(|country| country.to_uppercase())),
        ("region", given.words("region", &mut slips)),
        ("remarks", given.words("remarks", &mut slips)),
    ]);
    slips.none()?;
    let change = Change::add(key_path!["families"], family);
    Ok(Made::changed(
        [(FILE.to_owned(), vec![change])],
        format!("{ROOT}families/new"),
    ))
}
