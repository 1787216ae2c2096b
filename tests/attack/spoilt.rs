//! Spoilt pictures, tables and births: whatever the bytes are, there is an answer, and never a
//! panic, a picture that is only half there, or a value that nobody wrote.
//!
//! In: good files, and a number of ways to spoil them, chosen by a generator with a fixed start. A
//! slice of a few thousand runs with all tests; `SPOILT=100000` asks for so many of each kind
//! (`cargo test --release --test all -- spoilt`).

use crate::support::Kennel;
use crate::support::dice::Dice;
use chrono_tz::Tz;
use litterfolio::photos::{Workroom, examine};
use litterfolio::quantity::WeightUnit;
use litterfolio::records::birth_file::BirthFile;
use litterfolio::records::load;
use litterfolio::records::sheet::{self, Setting};
use litterfolio::records::showing;
use litterfolio::records::source::locate;
use litterfolio::records::source::{Source, Sources};

/// How many of each kind.
fn rounds(usual: usize) -> usize {
    std::env::var("SPOILT").map_or(usual, |asked| asked.parse().unwrap())
}

/// A place in bytes: often in the first of them, where heads stand.
fn place(dice: &mut Dice, length: usize) -> usize {
    let end = if dice.below(2) == 0 {
        length.min(700)
    } else {
        length
    };
    dice.below(end)
}

/// Pieces that programs and people really put into files.
const PIECES: &[&[u8]] = &[
    b"\0",
    b"\xff",
    b"\xef\xbb\xbf",
    b"\r",
    b"\r\n",
    b"\n",
    b"\t",
    b",",
    b";",
    b"\"",
    b"'",
    b":",
    b"- ",
    b"{",
    b"}",
    b"[",
    b"#",
    b"&a",
    b"*a",
    b"|",
    b">",
    b"!!",
    b"%",
    b"=",
    b"\xe2\x80\xa8",
    b"\xe2\x80\x8b",
    b"\xc2\xa0",
    b"\xf0\x9f\x90\xbe",
    b"\xc3\xa9",
    b"\xcc\x81",
    b"\xff\xd8",
    b"\xff\xd9",
    b"\xff\xda",
    b"\xff\xc4",
    b"\xff\xe1",
    b"Exif\0\0",
    b"999999999999999999999",
    b"-1",
    b"0",
    b"1e400",
    b"NaN",
    b"2026-13-40",
    b"2026-03-29 02:30",
    b"24:00",
    b"lb",
    b" 3/0 oz",
    b"\xc2\xbc",
    b"puppies",
    b"at",
    b"moss",
];

/// Spoils a file in one to four ways.
fn spoil(good: &[u8], dice: &mut Dice) -> Vec<u8> {
    let mut bytes = good.to_vec();
    for _ in 0..=dice.below(4) {
        let at = place(dice, bytes.len());
        let length = dice.below(40).min(bytes.len() - at);
        match dice.below(8) {
            0 if !bytes.is_empty() => bytes[at] ^= 1 << dice.below(8),
            1 if !bytes.is_empty() => bytes[at] = dice.next() as u8,
            2 => bytes.truncate(at),
            3 => drop(bytes.drain(at..at + length)),
            4 => {
                let part = bytes[at..at + length].to_vec();
                let to = dice.below(bytes.len() + 1);
                bytes.splice(to..to, part);
            }
            5 | 6 => {
                let piece = dice.one_of(PIECES);
                bytes.splice(at..at, piece.iter().copied());
            }
            _ => {
                let piece = dice.one_of(PIECES);
                bytes.splice(at..at + length, piece.iter().copied());
            }
        }
    }
    bytes
}

/// A picture with detail everywhere.
fn picture(width: u16, height: u16) -> (Vec<u8>, image::RgbImage) {
    let pixels = image::RgbImage::from_fn(u32::from(width), u32::from(height), |x, y| {
        image::Rgb([(x * 7 + y) as u8, (y * 5) as u8, (x * y / 3) as u8])
    });
    let mut jpeg = Vec::new();
    let mut encoder = jpeg_encoder::Encoder::new(&mut jpeg, 90);
    encoder
        .add_exif_metadata(b"II*\0\x08\0\0\0\x01\0\x12\x01\x03\0\x01\0\0\0\x06\0\0\0\0\0\0\0")
        .unwrap();
    encoder
        .encode(pixels.as_raw(), width, height, jpeg_encoder::ColorType::Rgb)
        .unwrap();
    (jpeg, pixels)
}

#[test]
fn pictures() {
    let (jpeg, pixels) = picture(64, 48);
    let mut goods = vec![jpeg];
    for format in [image::ImageFormat::Png, image::ImageFormat::WebP] {
        let mut bytes = std::io::Cursor::new(Vec::new());
        image::DynamicImage::ImageRgb8(pixels.clone())
            .write_to(&mut bytes, format)
            .unwrap();
        goods.push(bytes.into_inner());
    }
    let room = Workroom::new(1);
    let (mut dice, mut made, mut refused) = (Dice(0x5eed_0001), 0, 0);
    for round in 0..rounds(1500) {
        let bytes = spoil(&goods[round % goods.len()], &mut dice);
        let size = examine(&bytes);
        match room.prepare(&bytes, &[32]) {
            Ok(photo) => {
                made += 1;
                assert!(
                    size.is_ok(),
                    "round {round}: prepared, and its size cannot be told"
                );
                for rendition in &photo.renditions {
                    let again = image::load_from_memory(&rendition.jpeg).unwrap();
                    assert_eq!(
                        (again.width(), again.height()),
                        (rendition.width, rendition.height),
                        "round {round}"
                    );
                    assert!(
                        !rendition.jpeg.windows(4).any(|part| part == b"Exif"),
                        "round {round}: metadata is published"
                    );
                }
            }
            Err(fault) => {
                refused += 1;
                assert!(
                    fault.to_string().len() > 5 && fault.hint().len() > 10,
                    "round {round}: {fault:?}"
                );
            }
        }
    }
    assert!(
        made > 10 && refused > 100,
        "{made} were made, {refused} refused: the files were not spoilt as they should be"
    );
    println!("pictures: {made} made, {refused} refused");
}

/// Every problem can be shown to people and to programs.
fn can_be_shown(problems: Vec<litterfolio::records::problem::Problem>, sources: &Sources) {
    let located = locate(problems, sources);
    assert!(showing::for_people(&located, sources, "content", 80, false).len() < 2_000_000);
    let _ = showing::for_programs(&located, sources);
}

#[test]
fn tables() {
    let kennel = Kennel::base();
    let loaded = load(&kennel.content(), crate::support::now()).unwrap();
    let litter = loaded
        .records
        .as_ref()
        .unwrap()
        .litters
        .values()
        .next()
        .unwrap();
    let setting = Setting {
        unit: WeightUnit::Gram,
        zone: Tz::Europe__London,
        latest: "2026-05-09 12:00".parse().unwrap(),
        at: None,
        by: None,
    };
    let goods: [&[u8]; 3] = [
        b"at,by,moss (g),wren\r\n2026-04-05 07:30,Nell,301,\"7 3/4 oz\"\r\n2026-04-06 \
            07:30,Nell,315.5,240 g\r\n",
        "date;time;green;blue;remark\n05.04.2026;07:30;301,5;240;\"said \
         \"\"fine\"\"\"\n06.04.2026;19:00;315;251;\n"
            .as_bytes(),
        b"at\tmoss\twren\n2026-04-05T07:30:00+01:00\t0.66 lb\t8 1/2 oz\n",
    ];
    let (mut dice, mut taken, mut refused) = (Dice(0x5eed_0002), 0, 0);
    for round in 0..rounds(6000) {
        let bytes = spoil(goods[round % goods.len()], &mut dice);
        let sheet::Sheet {
            text,
            rows,
            problems,
        } = sheet::read("w.csv", &bytes, litter, &setting);
        if problems.is_empty() {
            taken += 1;
            for value in rows.iter().flat_map(|row| &row.weights) {
                // A weight is what somebody wrote: its digits stand in the table, in this order.
                assert!(
                    litter
                        .litter
                        .puppies
                        .iter()
                        .any(|puppy| puppy.id == value.puppy),
                    "round {round}"
                );
                assert!(
                    value
                        .weight
                        .to_string()
                        .parse::<litterfolio::quantity::Weight>()
                        .is_ok(),
                    "round {round}: {value:?}"
                );
            }
            assert!(
                rows.iter().all(|row| row.at <= setting.latest),
                "round {round}: a weigh-in is still to come"
            );
        } else {
            refused += 1;
            let mut sources = Sources::default();
            let length = text.len();
            sources.insert(
                "w.csv".to_owned(),
                Source {
                    text: text.as_str().into(),
                    yaml: 0..length,
                },
            );
            can_be_shown(problems, &sources);
        }
    }
    assert!(
        taken > 100 && refused > 1000,
        "{taken} were taken in, {refused} refused"
    );
    println!("tables: {taken} taken in, {refused} refused");
}

#[test]
fn births() {
    let good = "# litter: autumn\nbirth:\n  on: 2026-10-05\n  how: natural\npuppies:\n  - id: \
        green\n    \
         ribbon: green\n    sex: female\n    born: \"23:58:07\"\n    order: 1\n    weight: 212 \
         g\n    first_breath: 40 s\n    newborn: { limbs: normal, suck: strong }\n  - { id: blue, \
         ribbon: blue, sex: male, born: \"2026-10-06 00:03:59\", order: 2 }\n";
    let record = "name: Autumn 2026\ndam: tansy\nsire: corvin\nmated: [2026-08-03]   # once\n# no \
                  x-ray this time";
    let (mut dice, mut taken, mut refused) = (Dice(0x5eed_0003), 0, 0);
    for round in 0..rounds(6000) {
        let bytes = spoil(good.as_bytes(), &mut dice);
        let (file, _, problems) = BirthFile::read("birth.yaml", bytes);
        let addition = file
            .filter(|_| problems.is_empty())
            .map(|file| file.into_record("litters/autumn/litter.yaml", record));
        match addition {
            Some(Ok(addition)) => {
                taken += 1;
                assert!(
                    addition.text.starts_with(
                        "name: Autumn 2026\ndam: tansy\nsire: corvin\nmated: [2026-08-03]   # \
                         once\n# no x-ray this time"
                    ),
                    "round {round}: {}",
                    addition.text
                );
                assert!(
                    serde_yaml::from_str::<serde_json::Value>(&addition.text).is_ok(),
                    "round {round}: {}",
                    addition.text
                );
            }
            Some(Err(problems)) => {
                refused += 1;
                assert!(
                    !problems.is_empty(),
                    "round {round}: refused without a word"
                );
            }
            None => {
                refused += 1;
                assert!(
                    !problems.is_empty(),
                    "round {round}: refused without a word"
                );
            }
        }
    }
    assert!(
        taken > 100 && refused > 1000,
        "{taken} were taken in, {refused} refused"
    );
    println!("births: {taken} taken in, {refused} refused");
}
