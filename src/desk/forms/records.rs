//! The list of all records, and of those of one litter.

use super::FormQuery;
use super::names::{self, dogs, listed, litters, said};
use super::shape::in_words;
use super::showing::Link;
use crate::{Desk, page};
use axum::http::StatusCode;
use axum::response::Response;
use serde::Serialize;

/// What the template is given.
#[derive(Debug, Default, Serialize)]
struct RecordsPage {
    title: String,
    above: Vec<Link>,
    token: String,
    saved: Option<u64>,
    groups: Vec<RecordsOfKind>,
}

/// Records of one kind.
#[derive(Debug, Default, Serialize)]
struct RecordsOfKind {
    title: String,
    links: Vec<Link>,
    /// What can be begun.
    new: Option<Link>,
}

/// The page.
pub(super) fn page(desk: &Desk, asked: &FormQuery) -> Response {
    let content = desk.content();
    let form = |file: String, words: String| Link {
        place: format!("/-desk/form/{file}"),
        words,
    };
    let new = |place: &str, words: &str| {
        Some(Link {
            place: format!("/-desk/new/{place}"),
            words: words.to_owned(),
        })
    };
    let titled = |folder: &str| {
        let each = |name: String| {
            let file = format!("{folder}/{name}.md");
            let words = said(&content, &file, "title").unwrap_or_else(|| in_words(&name));
            form(file, words)
        };
        listed(&content, folder, ".md")
            .into_iter()
            .map(each)
            .collect::<Vec<_>>()
    };
    let mut view = RecordsPage {
        token: desk.gate.token(),
        saved: asked.saved,
        ..RecordsPage::default()
    };
    if asked.litter.is_empty() {
        "Records".clone_into(&mut view.title);
        let each = |(id, name): names::NamedRecord| Link {
            place: format!("/-desk/records?litter={id}"),
            words: name,
        };
        view.groups = vec![
            RecordsOfKind {
                title: "Kennel".to_owned(),
                links: vec![
                    form("kennel.yaml".to_owned(), "Kennel".to_owned()),
                    form(
                        "owners.yaml".to_owned(),
                        "Families and waiting list".to_owned(),
                    ),
                    form("care-plan.yaml".to_owned(), "Care plan".to_owned()),
                ],
                new: None,
            },
            RecordsOfKind {
                title: "Litters".to_owned(),
                links: litters(&content).into_iter().rev().map(each).collect(),
                new: new("litter", "New litter"),
            },
            RecordsOfKind {
                title: "Dogs".to_owned(),
                links: dogs(&content, None)
                    .into_iter()
                    .map(|(id, name)| form(format!("dogs/{id}.yaml"), name))
                    .collect(),
                new: new("dog", "New dog"),
            },
            RecordsOfKind {
                title: "Pages of the site".to_owned(),
                links: titled("pages"),
                new: new("page", "New page"),
            },
        ];
    } else {
        let Some((id, name)) = litters(&content)
            .into_iter()
            .find(|(id, _)| *id == asked.litter)
        else {
            return page::lost();
        };
        let file = |kind: &str| format!("litters/{id}/{kind}.yaml");
        view.title = name;
        view.above = vec![Link {
            place: "/-desk/records".to_owned(),
            words: "Records".to_owned(),
        }];
        let puppies = names::puppies(&content, &id)
            .into_iter()
            .map(|(puppy, name)| Link {
                place: format!("/-desk/form/{}?at=puppies.{puppy}", file("litter")),
                words: name,
            });
        view.groups = vec![
            RecordsOfKind {
                title: "Litter".to_owned(),
                links: vec![
                    form(
                        file("litter"),
                        "The litter: mating, pregnancy, birth".to_owned(),
                    ),
                    form(file("weights"), "Weights".to_owned()),
                    form(file("health"), "Health".to_owned()),
                ],
                new: None,
            },
            RecordsOfKind {
                title: "Puppies".to_owned(),
                links: puppies.collect(),
                new: Some(Link {
                    place: format!("/-desk/form/{}?at=puppies&add=1", file("litter")),
                    words: "New puppy".to_owned(),
                }),
            },
            RecordsOfKind {
                title: "Notes".to_owned(),
                links: titled(&format!("litters/{id}/notes")),
                new: new(&format!("note?litter={id}"), "New note"),
            },
        ];
    }
    page::render(StatusCode::OK, "records.html", &view)
}
