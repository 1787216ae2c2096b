//! A new note, with a look at it as each audience will see it.
//!
//! In: a litter. Out: a form; on the way a page that shows who sees the note, and how; then a new
//! file in `notes/`. Who may read it is asked, and never guessed.

use super::form::{
    ActField, ActFields, ActForm, ActPage, AskedSlips, Button, Group, Preview, choices,
};
use super::values::{block, free_id, text};
use super::whom::label;
use super::{Act, Halt, Made, Scene, at, page_of};
use crate::pages;
use crate::records::LitterFolder;
use crate::records::changing::{BELOW, Change};
use crate::records::problem::key_path;

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
        form: Some(ActForm {
            groups: vec![
                Group::new(
                    "",
                    vec![
                        ActField::text("title", "Title").needed(),
                        ActField::area("text", "Text").help(
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
        ..page_of(litter, "A new note")
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
    let date = given.day("date", "say which day it is about", &mut slips);
    let below = given.get("text").unwrap_or_default().replace("\r\n", "\n");
    let puppies: Vec<&str> = given.all("puppies").collect();
    slips.none()?;
    if given.get("act") == Some("look") {
        let page = page(scene).ok_or(Halt::Gone)?;
        let mut page = page.again(given, Vec::new());
        page.previews = previews(scene, litter, audience, &puppies, &below);
        return Err(Halt::Show(Box::new(page)));
    }
    let mut head = block([
        ("date", text(date)),
        ("title", Some(title.clone())),
        ("audience", Some(audience.to_owned())),
        ("topic", text(given.get("topic"))),
    ]);
    if !puppies.is_empty() {
        head.insert("puppies".into(), puppies.into());
    }
    let slug = free_id(&title, "note", |slug| {
        litter.notes.iter().any(|note| note.slug.as_str() == slug)
    });
    let changes = vec![
        Change::set(Vec::new(), head),
        Change::set(key_path![BELOW], below),
    ];
    let file = litter.file(&format!("notes/{slug}.md"));
    Ok(Made::changed([(file, changes)], at(&litter.id, None, "")))
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
