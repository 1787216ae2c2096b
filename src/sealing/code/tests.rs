//! Access codes: drawing, reading what people type, and what is never told.

use super::super::test_help::{Repeatable, from_seed};
use super::*;
use proptest::prelude::*;

fn code(seed: u64) -> AccessCode {
    AccessCode::generate(&mut from_seed(seed)).unwrap()
}

fn refused(text: &str) -> NotACode {
    text.parse::<AccessCode>().unwrap_err()
}

#[test]
fn a_code_is_written_in_six_groups_of_four_and_holds_at_least_100_bits() {
    let written = code(1).to_string();
    assert_eq!(written.len(), 29);
    assert_eq!(written.split('-').map(str::len).collect::<Vec<_>>(), [4; 6]);
    const { assert!(SECRET * 5 >= 100) };
}

#[test]
fn every_symbol_stands_everywhere_about_equally_often() {
    let mut counts = [[0_u32; 32]; SECRET];
    let mut random = from_seed(2);
    for _ in 0..32_000 {
        let code = AccessCode::generate(&mut random).unwrap();
        for (place, symbol) in code.symbols.iter().enumerate() {
            counts[place][usize::from(value(*symbol))] += 1;
        }
    }
    // 1,000 of each are expected; 200 off is more than six standard deviations.
    assert!(
        counts
            .iter()
            .flatten()
            .all(|count| (800..1200).contains(count))
    );
}

#[test]
fn a_generated_code_has_letters_and_digits_only() {
    let mut random = from_seed(3);
    for _ in 0..5_000 {
        let written = AccessCode::generate(&mut random).unwrap().to_string();
        assert!(
            written
                .chars()
                .all(|c| c == '-' || (c.is_ascii_alphanumeric() && !"OILU".contains(c))),
            "{written}"
        );
    }
}

#[test]
fn a_source_that_fails_or_is_stuck_makes_no_code() {
    let failed = AccessCode::generate(&mut |_: &mut [u8]| Err(NoRandomness("no entropy".into())));
    assert_eq!(
        failed.unwrap_err().to_string(),
        "could not get random bytes from the operating system: no entropy"
    );
    for stuck in [0_u8, 1, 31, 255] {
        let made = AccessCode::generate(&mut |bytes: &mut [u8]| {
            bytes.fill(stuck);
            Ok(())
        });
        assert_eq!(made.unwrap_err(), NoRandomness::stuck());
    }
}

#[test]
fn the_check_symbol_is_the_number_modulo_37() {
    // From the definition (Crockford, "Base 32"): the number modulo 37. 32 to 36 are the five
    // symbols that only a check symbol may be.
    let cases = [
        ("00000000000000000000000", b'0'),
        ("00000000000000000000001", b'1'),
        ("0000000000000000000000Z", b'Z'),
        ("00000000000000000000010", b'*'),
    ];
    let more = [
        ("00000000000000000000011", b'~'),
        ("00000000000000000000012", b'$'),
        ("00000000000000000000013", b'='),
        ("00000000000000000000014", b'U'),
    ];
    for (symbols, check) in cases.into_iter().chain(more) {
        let code = AccessCode {
            symbols: symbols.as_bytes().try_into().unwrap(),
        };
        assert_eq!(char::from(code.check()), char::from(check), "{symbols}");
        assert_eq!(code.to_string().parse::<AccessCode>(), Ok(code));
    }
    // Recomputed with python's whole numbers of any size: 32**22 % 37 is 4, and the second is 10
    // (A).
    assert_eq!(
        AccessCode {
            symbols: *b"10000000000000000000000"
        }
        .check(),
        b'4'
    );
    assert_eq!(
        AccessCode {
            symbols: *b"0123456789ABCDEFGHJKMN1"
        }
        .check(),
        b'A'
    );
}

#[test]
fn reading_forgives_case_blanks_hyphens_and_letters_that_look_like_digits() {
    let symbols = *b"0123456789ABCDEFGHJKMN1";
    let code = AccessCode { symbols };
    let written = code.to_string();
    assert_eq!(written, "0123-4567-89AB-CDEF-GHJK-MN1A");
    for text in [
        written.clone(),
        written.to_lowercase(),
        written.replace('-', ""),
        written.replace('-', " "),
        format!("  {written}\r\n"),
        written.replace('-', "\u{2013}"),
        written.replace('-', "\u{a0}\u{2011}\u{200b}"),
        "o-i-2-3-4567 89abcdefghjkmnLa".to_owned(),
        "Ol23-4567-89ab-cdef-ghjk-mnIA".to_owned(),
    ] {
        assert_eq!(text.parse::<AccessCode>(), Ok(code.clone()), "{text:?}");
    }
    assert_eq!(code.password(), b"0123456789ABCDEFGHJKMN1");
}

#[test]
fn letters_that_look_like_digits_are_forgiven_in_the_check_symbol_too() {
    for (symbols, check) in [
        (*b"00000000000000000000001", ["1", "I", "l"]),
        (*b"00000000000000000000000", ["0", "O", "o"]),
    ] {
        let code = AccessCode { symbols };
        for check in check {
            let text = format!("{}{check}", std::str::from_utf8(&symbols).unwrap());
            assert_eq!(text.parse::<AccessCode>(), Ok(code.clone()));
        }
    }
}

#[test]
fn what_is_wrong_is_said_kindly() {
    let written = code(4).to_string();
    let short = refused(&written[..27]);
    assert_eq!(short, NotACode::TooShort { typed: 22 });
    assert_eq!(
        short.to_string(),
        "an access code has 24 letters and digits, and 22 were typed: some are missing"
    );
    let long = refused(&format!("{written}77"));
    assert_eq!(long, NotACode::TooLong { typed: 26 });
    assert_eq!(
        long.to_string(),
        "an access code has 24 letters and digits, and 26 were typed: there are too many"
    );
    assert_eq!(refused(""), NotACode::TooShort { typed: 0 });
    assert_eq!(refused("7ZK4-ü"), NotACode::NeverOccurs('ü'));
    assert_eq!(
        refused("7U4-0").to_string(),
        "the character “U” never occurs in an access code: please look at it again"
    );
    assert_eq!(refused("7*40"), NotACode::NeverOccurs('*'));
    // What looks like a letter and is none, and what turns the reading direction, is shown by its
    // number or as it is, but never obeyed.
    assert_eq!(
        refused("7\u{202e}4").to_string(),
        "the character “\\u{202e}” never occurs in an access code: please look at it again"
    );
    // Letters that some alphabets turn into I, S or K when they are made capital.
    for odd in ['ı', 'ſ', 'İ', '\u{212a}', 'А', '１'] {
        assert_eq!(refused(&odd.to_string()), NotACode::NeverOccurs(odd));
    }
}

#[test]
fn every_single_slip_and_every_swap_of_neighbours_is_noticed_and_no_place_is_named() {
    let code = code(5);
    let written: Vec<char> = code.to_string().replace('-', "").chars().collect();
    let mut tried = 0;
    for place in 0..WRITTEN {
        let allowed = if place == SECRET { 37 } else { 32 };
        for symbol in SYMBOLS[..allowed]
            .iter()
            .map(|symbol| char::from(*symbol))
            .filter(|symbol| *symbol != written[place])
        {
            let mut slip = written.clone();
            slip[place] = symbol;
            let error = refused(&slip.iter().collect::<String>());
            assert_eq!(error, NotACode::CheckDoesNotFit);
            assert!(!error.to_string().chars().any(|c| c.is_ascii_digit()));
            tried += 1;
        }
    }
    assert_eq!(tried, 23 * 31 + 36);
    for place in (0..SECRET - 1).filter(|place| written[*place] != written[place + 1]) {
        let mut swapped = written.clone();
        swapped.swap(place, place + 1);
        assert_eq!(
            refused(&swapped.iter().collect::<String>()),
            NotACode::CheckDoesNotFit
        );
    }
}

#[test]
fn debug_never_shows_the_code() {
    let code = code(6);
    assert_eq!(format!("{code:?}"), "AccessCode(…)");
    assert_eq!(format!("{:#?}", Some(code)), "Some(\n    AccessCode(…),\n)");
}

#[test]
fn codes_are_equal_only_when_every_symbol_is() {
    let code = code(7);
    for place in 0..SECRET {
        let mut other = code.clone();
        other.symbols[place] = SYMBOLS[usize::from((value(other.symbols[place]) + 1) % PLAIN)];
        assert_ne!(other, code);
    }
    assert_eq!(code.clone(), code);
}

proptest! {
    #[test]
    fn what_is_written_is_read_again_however_it_is_typed(seed: u64) {
        let code = code(seed);
        let mut random = Repeatable(seed);
        let mut typed = String::new();
        for c in code.to_string().chars() {
            let look_alikes: &[char] = match c {
                '0' => &['0', 'o', 'O'],
                '1' => &['1', 'i', 'I', 'l', 'L'],
                _ => &[],
            };
            let c = if look_alikes.is_empty() {
                c
            } else {
                look_alikes[random.below(look_alikes.len())]
            };
            typed.push(if random.below(2) == 0 {
                c.to_ascii_lowercase()
            } else {
                c
            });
            if random.below(4) == 0 {
                typed.push([' ', '-', '\u{2014}', '\t', '\u{feff}'][random.below(5)]);
            }
        }
        prop_assert_eq!(typed.parse::<AccessCode>(), Ok(code));
    }

    #[test]
    fn no_text_makes_reading_panic(text in any::<String>()) {
        let _ = text.parse::<AccessCode>();
    }
}
