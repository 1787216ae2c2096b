//! Pages that are made only when they are needed use the pictures that were named for them, no more
//! and no fewer, and compute no figures before.

use super::{Album, Picture, Used, keeper, picture_path, visitor};
use crate::husbandry::compute;
use crate::records::litter::Offer;
use crate::records::{Records, load};
use serde::Serialize;
use std::collections::BTreeSet;
use std::path::Path;

fn demo() -> (Records, Album) {
    let content = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../content");
    let records = load(&content, "2026-10-09T12:00:00Z".parse().unwrap())
        .unwrap()
        .records
        .unwrap();
    let mut album = Album::default();
    let photos = records
        .litters
        .values()
        .flat_map(|litter| &litter.photos)
        .chain(records.portraits.values());
    for (n, photo) in photos.enumerate() {
        album.insert(
            photo.file.clone(),
            Picture {
                key: format!("{n:020}"),
                sizes: vec![(480, 360)],
                taken: None,
            },
        );
    }
    (records.into_inner(), album)
}

/// Paths of pictures in a view.
fn shown(view: &impl Serialize) -> Vec<String> {
    let json = serde_json::to_string(view).unwrap();
    json.split('"')
        .filter(|text| text.starts_with("photos/"))
        .map(str::to_owned)
        .collect()
}

fn named(used: &Used, album: &Album) -> BTreeSet<String> {
    used.iter()
        .map(|(file, subject)| picture_path(subject, &album.get(file).unwrap().key, 480))
        .collect()
}

#[test]
fn the_book_uses_the_pictures_that_were_named() {
    let (records, album) = demo();
    let figures = compute(&records);
    let book = keeper::book(&records, &figures, &album, &[]);
    let of_litters = book.litters.iter().flat_map(|leaf| {
        let pages = leaf.pages();
        let puppies: Vec<String> = pages
            .puppies
            .iter()
            .map(|page| page.link.path.clone())
            .collect();
        assert_eq!(puppies, leaf.puppy_paths());
        shown(&pages.litter)
            .into_iter()
            .chain(pages.puppies.iter().flat_map(shown))
            .collect::<Vec<_>>()
    });
    let shown: BTreeSet<String> = of_litters.chain(shown(&book.dogs)).collect();
    assert!(shown.len() > 10);
    assert_eq!(shown, named(&book.pictures, &album));
}

#[test]
fn the_site_uses_the_pictures_that_were_named_and_no_private_one() {
    let (records, album) = demo();
    let figures = compute(&records);
    let site = visitor::site(&records, &figures, &album);
    let of_litters = site.litters.iter().flat_map(|leaf| {
        let (litter, puppies) = leaf.pages();
        assert_eq!(
            puppies
                .iter()
                .map(|page| &page.card.path)
                .collect::<Vec<_>>(),
            leaf.puppies.iter().collect::<Vec<_>>()
        );
        shown(&litter)
            .into_iter()
            .chain(puppies.iter().flat_map(shown))
            .collect::<Vec<_>>()
    });
    let shown: BTreeSet<String> = of_litters
        .chain(site.dogs.iter().flat_map(shown))
        .chain(shown(&site.home))
        .collect();
    assert!(shown.len() > 5);
    assert_eq!(shown, named(&site.pictures, &album));
    let private = records
        .litters
        .values()
        .flat_map(|litter| &litter.photos)
        .filter(|photo| photo.private);
    assert!(
        private.clone().count() > 0
            && private
                .clone()
                .all(|photo| !site.pictures.contains_key(&photo.file))
    );
}

#[test]
fn figures_of_a_litter_that_is_history_are_computed_for_its_own_pages_alone() {
    let (mut records, album) = demo();
    // The round asks for a puppy that stayed.
    let folder = records.litters.get_mut("spring-2025").unwrap();
    let puppies = &mut folder.litter.puppies;
    puppies.retain(|puppy| puppy.offer != Offer::Staying);
    assert!(puppies.len() > 1);
    let figures = compute(&records);
    let is_computed = || figures.litters.is_computed("spring-2025");
    let book = keeper::book(&records, &figures, &album, &[]);
    let site = visitor::site(&records, &figures, &album);
    assert!(site.litters.len() > 1);
    assert!(book.home.litters.iter().any(|row| row.id == "spring-2025"));
    assert!(!is_computed(), "lists do without them");
    let own = book.litters.iter().find(|of| of.row.id == "spring-2025");
    assert!(!own.unwrap().pages().puppies.is_empty());
    assert!(is_computed());
}
