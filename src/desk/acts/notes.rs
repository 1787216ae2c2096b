//! A new note, with a look at it as each audience will see it.
//!
//! In: a litter. Out: a form; on the way a page that shows who sees the note, and how; then a new
//! file in `notes/`. Who may read it is asked, and never guessed.

use super::form::{
    ActField, ActFieldKind, ActFields, ActForm, ActLink, ActPage, AskedSlips, Button, Group,
    Preview, choices,
};
use super::values::{block, free_id};
use super::whom::label;
use super::{Act, Halt, Made, Scene, at};
use crate::app::recording::Work;
use crate::pages;
use crate::quantity::Day;
use crate::records::LitterFolder;
use crate::records::changing::{BELOW, Change};
use crate::records::problem::key_path;
use serde_yaml::Value;

pub(super) const NOTE: Act = Act {
    path: "litters/{litter}/notes/new",
    what: "note",
    page,
    make,
};

const EVERYONE: &str = "everyone";
const OWNERS: &str = "owners";
const KEEPER: &str = "keeper";

fn page(scene: &Scene<'_>) -> Option<ActPage> {
    let litter = scene.litter()?;
    let audiences = [
        (EVERYONE, "Everyone, on the public site"),
        (OWNERS, "The families"),
        (KEEPER, "You alone"),
    ];
    let puppies = litter
        .living()
        .map(|puppy| (puppy.id.to_string(), label(puppy)));
    let topics = [
        ("feeding", "What, how much and when they eat"),
        ("routine", "Their day"),
    ];
    Some(ActPage {
        above: litter.litter.name.to_string(),
        title: "A new note".to_owned(),
        form: Some(ActForm {
            groups: vec![
                Group::new(
                    "",
                    vec![
                        ActField::text("title", "Title").needed(),
                        ActField::new("text", "Text", ActFieldKind::Area).help(
                            "an empty line begins a new paragraph; *stars* lean a word, a line \
                             that begins with - is part of a list",
                        ),
                        ActField::choice("audience", "Who may read it", choices(audiences))
                            .needed(),
                        ActField::day("date", "Day it is about", Some(scene.records.today))
                            .needed(),
                    ],
                ),
                Group::shut(
                    "Which puppies, and what about",
                    vec![
                        ActField::ticks("puppies", "Puppies", choices(puppies))
                            .help("none ticked, it is about the litter"),
                        ActField::choice("topic", "What it is about", choices(topics))
                            .help("families find it in its place"),
                    ],
                ),
            ],
            buttons: vec![
                Button::new("save", "Save the note"),
                Button::new("look", "See it first"),
            ],
            ..ActForm::default()
        }),
        links: vec![ActLink::new("To the litter", at(&litter.id, None, ""))],
        ..ActPage::default()
    })
}

fn make(scene: &Scene<'_>, given: &ActFields) -> Result<Made, Halt> {
    let litter = scene.litter().ok_or(Halt::Gone)?;
    let mut slips = AskedSlips::default();
    let title = given.needed("title", "give it a title", &mut slips);
    let audience = given.get("audience").unwrap_or_default();
    if ![EVERYONE, OWNERS, KEEPER].contains(&audience) {
        slips.push("audience", "say who may read it", "");
    }
    let date = given.value::<Day>("date", &mut slips);
    if date.is_none() && slips.0.is_empty() {
        slips.push("date", "say which day it is about", "");
    }
    let text = given.get("text").unwrap_or_default().replace("\r\n", "\n");
    let puppies: Vec<&str> = given.all("puppies").collect();
    slips.none()?;
    if given.get("act") == Some("look") {
        let page = page(scene).ok_or(Halt::Gone)?;
        let mut page = page.again(given, Vec::new());
        page.previews = previews(scene, litter, audience, &puppies, &text);
        return Err(Halt::Show(Box::new(page)));
    }
    let mut head = block([
        ("date", date.map(|date| date.to_string())),
        ("title", Some(title.clone())),
        ("audience", Some(audience.to_owned())),
        ("topic", given.get("topic").map(str::to_owned)),
    ]);
    if let (Value::Mapping(head), false) = (&mut head, puppies.is_empty()) {
        let puppies = puppies.iter().map(|id| Value::String((*id).to_owned()));
        head.insert("puppies".into(), Value::Sequence(puppies.collect()));
    }
    let slug = free_id(&title, "note", |slug| {
        litter.notes.iter().any(|note| note.slug.as_str() == slug)
    });
    let changes = vec![
        Change::Set {
            path: Vec::new(),
            value: head,
        },
        Change::Set {
            path: key_path![BELOW],
            value: Value::String(text),
        },
    ];
    Ok(Made {
        files: vec![(
            litter.file(&format!("notes/{slug}.md")),
            Work::Changed(changes),
        )],
        to: at(&litter.id, None, ""),
    })
}

/// Who sees it, and how.
fn previews(
    scene: &Scene<'_>,
    litter: &LitterFolder,
    audience: &str,
    puppies: &[&str],
    text: &str,
) -> Vec<Preview> {
    let is_about = |id: &str| puppies.is_empty() || puppies.contains(&id);
    let homes = scene.records.owners.homes();
    let families: Vec<String> = litter
        .living()
        .filter(|puppy| is_about(puppy.id.as_str()))
        .filter_map(|puppy| homes.of(&litter.id, puppy))
        .map(|(family, _)| family.name.to_string())
        .collect();
    let families = if families.is_empty() {
        "Families (none is entered yet)".to_owned()
    } else {
        format!("Families: {}", families.join(", "))
    };
    let html = pages::note_html(text);
    let seen = |by: bool| by.then(|| html.clone());
    vec![
        Preview {
            who: "Everyone, on the public site".to_owned(),
            html: seen(audience == EVERYONE && litter.litter.announced),
        },
        Preview {
            who: families,
            html: seen(audience != KEEPER),
        },
        Preview {
            who: "You, in the book".to_owned(),
            html: seen(true),
        },
    ]
}
