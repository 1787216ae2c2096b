//! The sheet that goes to the family on the day their puppy leaves: where its page is, and the code that opens it.
//!
//! In: the page, its address where the kennel has a site, and the access code. Out: a PDF of one sheet with the code on it, so it belongs beside nothing that is public. The QR code holds
//! address and code in one: the code stands in the fragment, which a browser never sends to anybody. Without an address there is neither link nor QR code, and the file on the stick is opened.

use crate::audience::owner::{KennelRecord, OwnerPage};
use crate::pages::PageError;
use crate::pages::papers::{Fault, Sheet, typeset};
use crate::pages::pdf::{Block, Document};
use crate::sealing::code::AccessCode;
use qrcode::{Color, EcLevel, QrCode};

/// Printed width of the QR code, mm: at arm's length a telephone reads modules from about 0.4 mm.
const WIDE: f32 = 46.0;

/// The cover sheet. `address` is that of the sealed page, without a fragment.
///
/// # Errors
/// When the typesetter refuses, which no page should bring about.
pub fn cover(page: &OwnerPage, address: Option<&str>, code: &AccessCode, sheet: Sheet) -> Result<Vec<u8>, PageError> {
    Ok(typeset(&document(page, address, code, sheet)).map_err(Fault::from)?)
}

fn document(page: &OwnerPage, address: Option<&str>, code: &AccessCode, sheet: Sheet) -> Document {
    let (puppy, kennel) = (&page.record.puppy, &page.record.kennel);
    let under = page.record.family.as_ref().map(|family| format!("For: {}", family.name));
    let mut blocks = vec![
        Block::Title { text: format!("{}’s own page", puppy.name), under: under.into_iter().chain([format!("From: {}", kennel.name)]).collect() },
        Block::Paragraph(format!(
            "Here you find {}’s whole health and weight record, what is due next, and files to keep. Only this code opens the page: nobody else can read it, not even the host of the site.",
            puppy.name
        )),
        heading("The code"),
        Block::Code(code.to_string()),
        heading("How to open it"),
    ];
    match address {
        Some(address) => blocks.extend(online(address, code)),
        None => blocks.push(Block::List(vec![
            format!("Copy the file {}-page.html from the stick to your computer or telephone, and open it there in a browser.", page.stem),
            "Type the code. Small letters and missing hyphens do not matter.".to_owned(),
        ])),
    }
    blocks.push(heading("Keep the code like a key"));
    blocks.push(Block::List(vec![
        "Whoever has it can read the page. Give it to your vet if you wish, and to nobody you would not show the record.".to_owned(),
        "Save the files from the page soon after you opened it. They need no code, and are yours to keep.".to_owned(),
        format!("If the code is lost, or somebody else has seen it, ask {} for a new one.", kennel.keeper),
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
        accent: page.ribbon.as_ref().and_then(|ribbon| super::record_pdf::colour(ribbon.hex)),
        blocks,
    }
}

fn online(address: &str, code: &AccessCode) -> Vec<Block> {
    let squares = qr(&format!("{address}#{code}"));
    let scan = squares.is_some().then(|| "Scan the square below with your telephone’s camera: it opens the page at once, without typing.".to_owned());
    let type_it = if squares.is_some() {
        "Or type this address into a browser, and then the code:"
    } else {
        "Type this address into a browser, and then the code:"
    };
    let steps = scan.into_iter().chain([
        format!("{type_it}\n{address}"),
        "Small letters and missing hyphens in the code do not matter.".to_owned(),
        "If you were given a stick: the page is on it as a file that opens in any browser, with the same code and without the internet.".to_owned(),
    ]);
    std::iter::once(Block::List(steps.collect())).chain(squares).collect()
}

/// The modules of a QR code; nothing for an address that is longer than one can hold.
fn qr(link: &str) -> Option<Block> {
    let code = QrCode::with_error_correction_level(link, EcLevel::M).ok()?;
    let dark = code.to_colors().into_iter().map(|colour| colour == Color::Dark).collect();
    Some(Block::Squares {
        alt: "QR code that opens the page; the address and the code are printed above.".to_owned(),
        side: code.width(),
        dark,
        mm: WIDE,
    })
}

fn contact(kennel: &KennelRecord) -> String {
    let parts = [Some(&kennel.keeper), Some(&kennel.name), kennel.phone.as_ref(), Some(&kennel.email), kennel.address.as_ref()];
    parts.into_iter().flatten().map(String::as_str).collect::<Vec<_>>().join(", ")
}

fn heading(text: &str) -> Block {
    Block::Heading { level: 1, text: text.to_owned() }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::pages::papers::samples;

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
        let blocks = document(&page, Some("https://whinmorrow.example/p/abc.html"), &code(), Sheet::A4).blocks;
        assert!(blocks.contains(&Block::Code(code().to_string())));
        assert!(blocks.iter().any(|b| matches!(b, Block::Squares { side, dark, .. } if dark.len() == side * side && dark.contains(&true))));
        assert!(format!("{blocks:?}").contains("https://whinmorrow.example/p/abc.html"));
    }

    #[test]
    fn without_an_address_there_is_the_file_and_nothing_to_scan() {
        let page = samples::page(samples::empty(), None);
        let blocks = document(&page, None, &code(), Sheet::Letter).blocks;
        assert!(blocks.iter().all(|b| !matches!(b, Block::Squares { .. })));
        assert!(format!("{blocks:?}").contains("moss-page.html") && !format!("{blocks:?}").contains("http"));
    }

    #[test]
    fn odd_names_and_endless_addresses_make_a_sheet_too() {
        let page = samples::page(samples::odd(3), None);
        for address in [None, Some("https://a.example/".to_owned() + &"x".repeat(4000))] {
            let pdf = cover(&page, address.as_deref(), &code(), Sheet::A4).unwrap();
            assert_eq!(pdf, cover(&page, address.as_deref(), &code(), Sheet::A4).unwrap());
        }
    }
}
