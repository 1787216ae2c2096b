//! The sheet that goes to the family on the day their puppy leaves: where its page is, and the code
//! that opens it.
//!
//! In: the page, its address where the kennel has a site, and the access code. Out: a PDF of one
//! sheet with the code on it, so it belongs beside nothing that is public.
//!
//! Address and code stand in a square each, and never in one link: a browser writes a link that it
//! opens into its history with all that stands in it, before any script of the page runs,
//! and many send their history to other devices (tried with Chromium 156, where neither
//! `history.replaceState` nor `location.replace` before the page was loaded took it out). The
//! square with the code holds plain words, which a telephone offers to copy and does not open.
//! Without an address there is no square to open, and the file on the stick is opened.

use crate::PageError;
use crate::audience::owner::{KennelRecord, OwnerPage};
use crate::papers::{LetterFault, Sheet, typeset};
use crate::pdf::{Block, Document};
use crate::sealing::code::AccessCode;
use qrcode::{Color, EcLevel, QrCode};

/// Printed width of a QR code, mm: at arm's length a telephone reads modules from about 0.4 mm.
const WIDE: f32 = 22.0;

/// The cover sheet. `address` is that of the sealed page, without a fragment.
///
/// # Errors
/// When the typesetter refuses, which no page should bring about.
pub fn cover(
    page: &OwnerPage,
    address: Option<&str>,
    code: &AccessCode,
    sheet: Sheet,
) -> Result<Vec<u8>, PageError> {
    Ok(typeset(&document(page, address, code, sheet)).map_err(LetterFault::from)?)
}

fn document(page: &OwnerPage, address: Option<&str>, code: &AccessCode, sheet: Sheet) -> Document {
    let (puppy, kennel) = (&page.record.puppy, &page.record.kennel);
    let under = page
        .record
        .family
        .as_ref()
        .map(|family| format!("For: {}", family.name));
    let mut blocks = vec![
        Block::Title {
            text: format!("{}’s own page", puppy.name),
            under: under
                .into_iter()
                .chain([format!("From: {}", kennel.name)])
                .collect(),
        },
        Block::Paragraph(format!(
            "Here you find {}’s whole health and weight record, what is due next, and files to \
             keep. Only this code opens the page, and the page sends it to nobody.",
            puppy.name
        )),
        heading("The code"),
        Block::Code(code.to_string()),
    ];
    blocks.extend(qr(
        &code.to_string(),
        "QR code that holds the code above as plain words, to copy.",
    ));
    blocks.push(heading("How to open it"));
    match address {
        Some(address) => blocks.extend(online(address)),
        None => blocks.push(Block::List(vec![
            format!(
                "Copy the file {}-page.html from the stick to your computer or telephone, and \
                 open it there in a browser.",
                page.stem
            ),
            TYPE.to_owned(),
        ])),
    }
    blocks.push(heading("Keep the code like a key"));
    blocks.push(Block::List(vec![
        "Whoever has it can read the page: you, and the kennel, which keeps a copy. Give it to \
         your vet if you wish, and to nobody you would not show the record."
            .to_owned(),
        "Do not make it part of a link, and send it apart from the address: a browser keeps every \
         link it opened in its history, where others who use the device, or that share the \
         history, can read it."
            .to_owned(),
        format!(
            "If the code is lost, or somebody else has seen it, ask {} for a new one.",
            kennel.keeper
        ),
    ]));
    blocks.push(heading("Questions"));
    blocks.push(Block::Paragraph(contact(kennel)));
    Document {
        title: format!("{}’s own page: address and code", puppy.name),
        language: "en-GB".to_owned(),
        author: kennel.name.clone(),
        made: None,
        paper: sheet,
        head: kennel.name.clone(),
        foot: "Keep this sheet like a key".to_owned(),
        accent: page
            .ribbon
            .as_ref()
            .and_then(|ribbon| super::record_pdf::colour(ribbon.hex)),
        blocks,
    }
}

/// How the code is given.
const TYPE: &str =
    "Type the code (small letters will do), or scan its square and copy what is shown.";

fn online(address: &str) -> Vec<Block> {
    let squares = qr(
        address,
        "QR code that opens the page; its address is printed above.",
    );
    let scan = if squares.is_some() {
        "Scan the square below with your telephone’s camera, or type"
    } else {
        "Type"
    };
    let steps = vec![
        format!("{scan} this address into a browser:\n{address}"),
        TYPE.to_owned(),
        "Save the page itself and the files in it soon (if you were given a stick, they are on \
         it): what is saved opens with the same code, without the internet, also when the address \
         is gone."
            .to_owned(),
    ];
    std::iter::once(Block::List(steps)).chain(squares).collect()
}

/// The modules of a QR code; nothing for a text that is longer than one can hold.
fn qr(text: &str, alt: &str) -> Option<Block> {
    let code = QrCode::with_error_correction_level(text, EcLevel::M).ok()?;
    let dark = code
        .to_colors()
        .into_iter()
        .map(|colour| colour == Color::Dark)
        .collect();
    Some(Block::Squares {
        alt: alt.to_owned(),
        side: code.width(),
        dark,
        mm: WIDE,
    })
}

fn contact(kennel: &KennelRecord) -> String {
    let parts = [
        Some(&kennel.keeper),
        Some(&kennel.name),
        kennel.phone.as_ref(),
        Some(&kennel.email),
        kennel.address.as_ref(),
    ];
    parts
        .into_iter()
        .flatten()
        .map(String::as_str)
        .collect::<Vec<_>>()
        .join(", ")
}

fn heading(text: &str) -> Block {
    Block::Heading {
        level: 1,
        text: text.to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::papers::samples;

    fn code() -> AccessCode {
        let mut next = 0;
        AccessCode::generate(&mut |bytes: &mut [u8]| {
            bytes.fill_with(|| {
                next += 7;
                next
            });
            Ok(())
        })
        .unwrap()
    }

    #[test]
    fn with_an_address_the_sheet_has_it_and_a_square_to_scan() {
        let page = samples::page(samples::moss(), None);
        let blocks = document(
            &page,
            Some("https://whinmorrow.example/p/abc.html"),
            &code(),
            Sheet::A4,
        )
        .blocks;
        assert!(blocks.contains(&Block::Code(code().to_string())));
        let squares: Vec<_> = blocks
            .iter()
            .filter(|block| match block {
                Block::Squares { side, dark, .. } => {
                    dark.len() == side * side && dark.contains(&true)
                }
                _ => false,
            })
            .collect();
        assert_eq!(squares.len(), 2, "one for the address, one for the code");
        let words = format!("{blocks:?}");
        assert!(
            words.contains("https://whinmorrow.example/p/abc.html") && !words.contains("abc.html#"),
            "no link holds the code"
        );
        assert!(words.contains("history"));
    }

    #[test]
    fn all_of_it_stands_on_one_sheet() {
        let mut page = samples::page(samples::moss(), None);
        page.record.kennel.address = Some(
            "The Old Mill House, 14 Long Lane, Upper Thorlby, North Yorkshire YO62 6XX".to_owned(),
        );
        let address = "https://www.whinmorrow-scottish-terriers.example/puppies/sealed/3nq7g2ngrn0yp4q3h70k.html";
        for (sheet, address) in [
            (Sheet::A4, Some(address)),
            (Sheet::Letter, Some(address)),
            (Sheet::Letter, None),
        ] {
            assert_eq!(
                crate::pdf::sheets(&document(&page, address, &code(), sheet)).unwrap(),
                1,
                "{sheet:?} {address:?}"
            );
        }
    }

    #[test]
    fn without_an_address_there_is_the_file_and_nothing_to_scan() {
        let page = samples::page(samples::empty(), None);
        let blocks = document(&page, None, &code(), Sheet::Letter).blocks;
        assert_eq!(
            blocks
                .iter()
                .filter(|b| matches!(b, Block::Squares { .. }))
                .count(),
            1,
            "the code alone"
        );
        assert!(
            format!("{blocks:?}").contains("moss-page.html")
                && !format!("{blocks:?}").contains("http")
        );
    }

    #[test]
    fn odd_names_and_endless_addresses_make_a_sheet_too() {
        let page = samples::page(samples::odd(3), None);
        for address in [
            None,
            Some("https://a.example/".to_owned() + &"x".repeat(4000)),
        ] {
            let pdf = cover(&page, address.as_deref(), &code(), Sheet::A4).unwrap();
            assert_eq!(
                pdf,
                cover(&page, address.as_deref(), &code(), Sheet::A4).unwrap()
            );
        }
    }
}
