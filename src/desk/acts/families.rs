//! A family that is entered before it takes a puppy.
//!
//! In: a name and how they are reached. Out: a family in `owners.yaml`.

use super::form::{
    ActField, ActFields, ActForm, ActItem, ActLink, ActPage, AskedSlips, Button, Group, Section,
};
use super::homes::{FILE, people};
use super::values::{block, free_id};
use super::{Act, Halt, Made, ROOT, Scene};
use crate::app::recording::Work;
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
    let known: Vec<ActItem> = known
        .map(|family| ActItem {
            title: family.name.to_string(),
            ..ActItem::default()
        })
        .collect();
    Some(ActPage {
        title: "A new family".to_owned(),
        lead: vec!["Families are in your book alone, never on the public site.".to_owned()],
        form: Some(ActForm {
            groups: vec![
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
                        ActField::area("remarks", "Remarks").help("for you alone"),
                    ],
                ),
            ],
            buttons: vec![Button::new("save", "Record it")],
            ..ActForm::default()
        }),
        sections: if known.is_empty() {
            Vec::new()
        } else {
            vec![Section {
                heading: "Families that are known".to_owned(),
                items: known,
            }]
        },
        links: vec![ActLink::new("Waiting list", format!("{ROOT}waiting"))],
        ..ActPage::default()
    })
}

fn founded(scene: &Scene<'_>, given: &ActFields) -> Result<Made, Halt> {
    let mut slips = AskedSlips::default();
    let name = given.needed("name", "say who they are", &mut slips);
    let email = given.value::<Email>("email", &mut slips);
    let families = &scene.records.owners.families;
    let id = free_id(&name, "family", |id| {
        families.iter().any(|family| family.id.as_str() == id)
    });
    let value = block([
        ("id", Some(id)),
        ("name", Some(name)),
        ("email", email.map(|email| email.0.to_string())),
        ("phone", given.words("phone", &mut slips)),
        ("address", given.words("address", &mut slips)),
        (
            "country",
            given
                .words("country", &mut slips)
                .map(|country| country.to_uppercase()),
        ),
        ("region", given.words("region", &mut slips)),
        ("remarks", given.words("remarks", &mut slips)),
    ]);
    slips.none()?;
    Ok(Made {
        files: vec![(
            FILE.to_owned(),
            Work::Changed(vec![Change::Add {
                path: key_path!["families"],
                at: None,
                value,
            }]),
        )],
        to: format!("{ROOT}families/new"),
    })
}
