//! Tests of all papers together.

use super::*;
use crate::Prepared;
use crate::audience::owner::OwnerPicture;
use crate::photos::{Photo, Rendition};
use crate::sealing::jws::verify;
use serde_json::Value;

fn made(record: PuppyRecord) -> Papers {
    papers(
        &samples::page(record, None),
        &Photos::new(),
        &samples::key(),
        Sheet::A4,
    )
    .unwrap()
}

fn names(papers: &Papers) -> Vec<&str> {
    papers.files.iter().map(|file| file.name.as_str()).collect()
}

#[test]
fn files_come_in_their_order_and_those_without_content_are_left_out() {
    assert_eq!(
        names(&made(samples::moss())),
        [
            "moss-record.pdf",
            "moss-record.json",
            "moss-weights.csv",
            "moss-events.csv",
            "moss-care.ics"
        ]
    );
    assert_eq!(
        names(&made(samples::empty())),
        [
            "moss-record.pdf",
            "moss-record.json",
            "moss-weights.csv",
            "moss-events.csv"
        ]
    );
    let mut page = samples::page(samples::moss(), None);
    page.pictures = vec![OwnerPicture {
        file: "a.jpg".to_owned(),
        name: "moss-1.jpg".to_owned(),
        key: "a".to_owned(),
        alt: "Moss".to_owned(),
        caption: None,
    }];
    let photo = Photo {
        renditions: vec![Rendition {
            width: 480,
            height: 320,
            jpeg: [1, 2, 3].into(),
        }],
        taken: None,
        key: "a".to_owned(),
    };
    let papers = papers(
        &page,
        &Photos::from([("a.jpg".to_owned(), Prepared::from(photo))]),
        &samples::key(),
        Sheet::A4,
    )
    .unwrap();
    assert_eq!(
        (names(&papers).last().copied(), papers.pictures.len()),
        (Some("moss-photos.zip"), 1)
    );
}

#[test]
fn the_same_record_makes_the_same_bytes_and_another_sheet_other_ones() {
    assert_eq!(made(samples::moss()), made(samples::moss()));
    let letter = papers(
        &samples::page(samples::moss(), None),
        &Photos::new(),
        &samples::key(),
        Sheet::Letter,
    )
    .unwrap();
    assert_ne!(letter.files[0], made(samples::moss()).files[0]);
}

#[test]
fn a_pdf_without_its_comment_line_is_the_one_that_was_signed() {
    let papers = made(samples::moss());
    let pdf = &papers.files[0].bytes;
    let start = pdf.windows(9).rposition(|w| w == b"startxref").unwrap();
    let from = pdf[..start - 1].iter().rposition(|b| *b == b'\n').unwrap() + 1;
    let line = std::str::from_utf8(&pdf[from..start]).unwrap();
    let jws = line
        .strip_prefix("%litterfolio-signature: ")
        .unwrap()
        .strip_suffix('\n')
        .unwrap();
    let said: Value =
        serde_json::from_slice(&verify(jws, &samples::key().public()).unwrap()).unwrap();
    let rest = [&pdf[..from], &pdf[start..]].concat();
    assert_eq!(
        said["sha256"],
        Sha256::digest(&rest)
            .iter()
            .map(|b| format!("{b:02x}"))
            .collect::<String>()
    );
    let json: Value = serde_json::from_slice(&papers.files[1].bytes).unwrap();
    let payload = verify(
        json["signature"].as_str().unwrap(),
        &samples::key().public(),
    )
    .unwrap();
    assert_eq!(
        (
            said["record"].as_str().unwrap(),
            &said["name"],
            &said["up_to"]
        ),
        (
            check_figure(&payload).as_str(),
            &json["record"]["puppy"]["name"],
            &json["record"]["up_to"]
        )
    );
}

#[test]
fn odd_records_make_all_their_papers() {
    for record in [samples::odd(3), samples::odd(5000)] {
        assert!(made(record).files.len() >= 4);
    }
}

#[test]
fn letter_is_for_the_countries_that_print_on_it() {
    for country in ["US", "CA", "MX", "PH", "CL", "CO", "VE"] {
        assert_eq!(sheet_of(country), Sheet::Letter, "{country}");
    }
    for country in ["GB", "DE", "AU", "BR", "", "us"] {
        assert_eq!(sheet_of(country), Sheet::A4, "{country}");
    }
}
