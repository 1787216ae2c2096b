//! The photo pipeline from outside: generated picture files in, published JPEGs out.
//!
//! Every picture is made on the spot. Sizes and colours are compared with a tolerance, because JPEG
//! loses; metadata and faults are compared exactly. The expected colours of wide-gamut pictures
//! are computed here from the published definitions and not by the library under test.

use std::io::Cursor;
use std::time::{Duration, Instant};

use image::{DynamicImage, ImageFormat, RgbImage, RgbaImage};
use jpeg_encoder::{ColorType, Encoder, SamplingFactor};
use litterfolio::photos::{
    Fault, Foreign, MAX_FILE_BYTES, Photo, Workroom, examine, key, options, prepare, prepare_all,
};
use proptest::prelude::*;

/// Four quarters of one colour each: red, green, blue, yellow, as reading goes.
const CORNERS: [[u8; 3]; 4] = [[220, 30, 30], [30, 190, 40], [40, 50, 210], [230, 220, 40]];

/// A picture of four coloured quarters.
fn quarters(width: u32, height: u32) -> RgbImage {
    RgbImage::from_fn(width, height, |x, y| {
        image::Rgb(CORNERS[usize::from(x >= width / 2) + 2 * usize::from(y >= height / 2)])
    })
}

/// A picture with fine detail everywhere, so that a JPEG of it has data in every block.
fn busy(width: u32, height: u32) -> RgbImage {
    RgbImage::from_fn(width, height, |x, y| {
        let wave =
            |period: u32, shift: u32| ((x * period + y * (shift + 3) + x * y / 7) % 251) as u8;
        image::Rgb([wave(7, 2), wave(13, 5), wave(3, 11)])
    })
}

/// What a test wants beside the pixels.
#[derive(Default)]
struct Extras<'a> {
    exif: Option<Vec<u8>>,
    profile: Option<Vec<u8>>,
    segments: Vec<(u8, &'a [u8])>,
    comment: Option<&'a [u8]>,
    progressive: bool,
    restarts: bool,
}

fn jpeg_with(picture: &RgbImage, extras: Extras<'_>) -> Vec<u8> {
    let mut bytes = Vec::new();
    let mut encoder = Encoder::new(&mut bytes, 95);
    encoder.set_sampling_factor(SamplingFactor::F_1_1);
    encoder.set_progressive(extras.progressive);
    if extras.restarts {
        encoder.set_restart_interval(5);
    }
    if let Some(exif) = extras.exif {
        encoder.add_exif_metadata(&exif).unwrap();
    }
    if let Some(profile) = extras.profile {
        encoder.add_icc_profile(&profile).unwrap();
    }
    for (number, content) in extras.segments {
        encoder.add_app_segment(number, content.to_vec()).unwrap();
    }
    let (width, height) = (picture.width() as u16, picture.height() as u16);
    encoder
        .encode(picture.as_raw(), width, height, ColorType::Rgb)
        .unwrap();
    if let Some(comment) = extras.comment {
        let mut segment = vec![0xff, 0xfe];
        segment.extend((comment.len() as u16 + 2).to_be_bytes());
        segment.extend(comment);
        bytes.splice(2..2, segment);
    }
    bytes
}

fn jpeg(picture: &RgbImage) -> Vec<u8> {
    jpeg_with(picture, Extras::default())
}

fn written(picture: impl Into<DynamicImage>, format: ImageFormat) -> Vec<u8> {
    let mut bytes = Cursor::new(Vec::new());
    picture.into().write_to(&mut bytes, format).unwrap();
    bytes.into_inner()
}

fn decoded(jpeg: &[u8]) -> RgbImage {
    image::load_from_memory_with_format(jpeg, ImageFormat::Jpeg)
        .unwrap()
        .into_rgb8()
}

/// The middle of each quarter, as reading goes.
fn corner_colours(picture: &RgbImage) -> [[u8; 3]; 4] {
    let (width, height) = picture.dimensions();
    [(1, 1), (3, 1), (1, 3), (3, 3)]
        .map(|(x, y)| picture.get_pixel(width * x / 4, height * y / 4).0)
}

fn assert_close(found: [u8; 3], expected: [u8; 3], tolerance: u8, what: &str) {
    let near = found
        .iter()
        .zip(&expected)
        .all(|(a, b)| a.abs_diff(*b) <= tolerance);
    assert!(near, "{what}: found {found:?}, expected {expected:?}");
}

/// One entry of a TIFF directory: tag, type, count and the four bytes of value or offset.
fn entry(tag: u16, kind: u16, count: u32, value: u32) -> Vec<u8> {
    [
        &tag.to_le_bytes()[..],
        &kind.to_le_bytes(),
        &count.to_le_bytes(),
        &value.to_le_bytes(),
    ]
    .concat()
}

/// An Exif block with orientation, an author, a date and a place: all the offsets done by hand.
fn exif(orientation: u32, author: &[u8; 24], date: &[u8; 20], place: &[u8; 24]) -> Vec<u8> {
    let (exif_at, gps_at, texts_at) = (8 + 2 + 4 * 12 + 4, 80, 98);
    let mut block = b"II*\0\x08\0\0\0".to_vec();
    block.extend(4u16.to_le_bytes());
    block.extend(entry(0x0112, 3, 1, orientation));
    block.extend(entry(0x013b, 2, 24, texts_at));
    block.extend(entry(0x8769, 4, 1, exif_at));
    block.extend(entry(0x8825, 4, 1, gps_at));
    block.extend([0; 4]);
    assert_eq!(block.len(), exif_at as usize);
    block.extend(1u16.to_le_bytes());
    block.extend(entry(0x9003, 2, 20, texts_at + 24));
    block.extend([0; 4]);
    assert_eq!(block.len(), gps_at as usize);
    block.extend(1u16.to_le_bytes());
    block.extend(entry(0x001c, 2, 24, texts_at + 44));
    block.extend([0; 4]);
    assert_eq!(block.len(), texts_at as usize);
    block.extend([&author[..], date, place].concat());
    block
}

fn plain_exif(orientation: u32) -> Vec<u8> {
    exif(
        orientation,
        b"an author of 23 letters\0",
        b"2026:10:05 09:14:07\0",
        b"a place with 23 letters\0",
    )
}

/// A PNG chunk with its checksum.
fn png_chunk(kind: &[u8; 4], content: &[u8]) -> Vec<u8> {
    let body = [&kind[..], content].concat();
    let sum = body.iter().fold(u32::MAX, |sum, byte| {
        (0..8).fold(sum ^ u32::from(*byte), |sum, _| {
            if sum & 1 == 1 {
                (sum >> 1) ^ 0xedb8_8320
            } else {
                sum >> 1
            }
        })
    });
    [
        &(content.len() as u32).to_be_bytes()[..],
        &body,
        &(!sum).to_be_bytes(),
    ]
    .concat()
}

/// Puts chunks right behind a PNG's first one.
fn with_chunks(png: &[u8], chunks: &[Vec<u8>]) -> Vec<u8> {
    [&png[..33], &chunks.concat(), &png[33..]].concat()
}

#[test]
fn all_eight_orientations_come_out_upright() {
    let upright = quarters(96, 64);
    // What a camera stores for each orientation: the upright picture, moved the opposite way.
    for orientation in 1..=8u32 {
        let picture = DynamicImage::ImageRgb8(upright.clone());
        let stored = match orientation {
            2 => picture.fliph(),
            3 => picture.rotate180(),
            4 => picture.flipv(),
            5 => picture.rotate90().fliph(),
            6 => picture.rotate270(),
            7 => picture.rotate270().fliph(),
            8 => picture.rotate90(),
            _ => picture,
        };
        let file = jpeg_with(
            &stored.into_rgb8(),
            Extras {
                exif: Some(plain_exif(orientation)),
                ..Extras::default()
            },
        );
        let size = examine(&file).unwrap();
        assert_eq!(
            (size.width, size.height),
            (96, 64),
            "orientation {orientation}"
        );
        let photo = prepare(&file, &[96, 48]).unwrap();
        for (rendition, expected) in photo.renditions.iter().zip([(48, 32), (96, 64)]) {
            let shown = decoded(&rendition.jpeg);
            assert_eq!(shown.dimensions(), expected, "orientation {orientation}");
            for (found, wanted) in corner_colours(&shown).into_iter().zip(CORNERS) {
                assert_close(found, wanted, 14, &format!("orientation {orientation}"));
            }
        }
    }
}

#[test]
fn a_nonsense_orientation_means_as_stored() {
    for orientation in [0, 9, 250, 65_535] {
        let file = jpeg_with(
            &quarters(40, 20),
            Extras {
                exif: Some(plain_exif(orientation)),
                ..Extras::default()
            },
        );
        let photo = prepare(&file, &[40]).unwrap();
        assert_eq!(
            (photo.renditions[0].width, photo.renditions[0].height),
            (40, 20)
        );
    }
}

#[test]
fn not_one_word_of_metadata_is_published() {
    let words: [&[u8]; 8] = [
        b"QUILLAUTHOR",
        b"QUILLPLACE",
        b"QUILLXMP",
        b"QUILLIPTC",
        b"QUILLCOMMENT",
        b"QUILLPROFILE",
        b"QUILLTAIL",
        b"2026:10:05",
    ];
    let xmp = [
        b"http://ns.adobe.com/xap/1.0/\0".as_slice(),
        b"<x:xmpmeta>QUILLXMP</x:xmpmeta>",
    ]
    .concat();
    let iptc = [
        b"Photoshop 3.0\x008BIM\x04\x04\0\0\0\0\0\x0d".as_slice(),
        b"\x1c\x02\x5a\0\x08QUILLIPTC",
    ]
    .concat();
    let mut file = jpeg_with(
        &quarters(300, 200),
        Extras {
            exif: Some(exif(
                6,
                b"QUILLAUTHOR of letters.\0",
                b"2026:10:05 09:14:07\0",
                b"QUILLPLACE 23 letters..\0",
            )),
            profile: Some(icc_profile(DISPLAY_P3, Curve::Srgb, "QUILLPROFILE")),
            segments: vec![(1, &xmp), (13, &iptc)],
            comment: Some(b"QUILLCOMMENT"),
            ..Extras::default()
        },
    );
    file.extend(b"QUILLTAIL behind the end");
    let photo = prepare(&file, &[100, 200]).unwrap();
    assert_eq!(photo.renditions.len(), 2);
    let found = |bytes: &[u8], word: &[u8]| bytes.windows(word.len()).any(|part| part == word);
    for word in words {
        assert!(
            found(&file, word),
            "the input must hold {}",
            String::from_utf8_lossy(word)
        );
        for rendition in &photo.renditions {
            assert!(
                !found(&rendition.jpeg, word),
                "{} was published",
                String::from_utf8_lossy(word)
            );
        }
    }
    for rendition in &photo.renditions {
        assert_only_tables_and_picture(&rendition.jpeg);
    }
}

/// Walks a published file: after the JFIF header no application segment and no comment may come.
fn assert_only_tables_and_picture(jpeg: &[u8]) {
    assert_eq!(&jpeg[..11], b"\xff\xd8\xff\xe0\0\x10JFIF\0");
    let mut at = 20;
    while jpeg[at + 1] != 0xda {
        assert!(
            matches!(jpeg[at + 1], 0xc0 | 0xc4 | 0xdb),
            "segment {:x} was published",
            jpeg[at + 1]
        );
        at += 2 + usize::from(u16::from_be_bytes([jpeg[at + 2], jpeg[at + 3]]));
    }
    assert!(jpeg.ends_with(&[0xff, 0xd9]));
}

#[test]
fn texts_and_places_in_a_png_are_not_published_but_its_orientation_and_date_count() {
    let png = written(quarters(60, 40), ImageFormat::Png);
    let file = with_chunks(
        &png,
        &[
            png_chunk(b"tEXt", b"Author\0QUILLAUTHOR"),
            png_chunk(b"iTXt", b"XML:com.adobe.xmp\0\0\0\0\0QUILLXMP"),
            png_chunk(
                b"eXIf",
                &exif(
                    6,
                    b"QUILLAUTHOR of letters.\0",
                    b"2026:10:05 09:14:07\0",
                    b"QUILLPLACE  23 letters.\0",
                ),
            ),
        ],
    );
    let photo = prepare(&file, &[40]).unwrap();
    assert_eq!(
        (photo.renditions[0].width, photo.renditions[0].height),
        (40, 60)
    );
    assert_eq!(photo.taken.unwrap().to_string(), "2026-10-05 09:14:07");
    assert!(
        !photo.renditions[0]
            .jpeg
            .windows(5)
            .any(|part| part == b"QUILL")
    );
    assert_only_tables_and_picture(&photo.renditions[0].jpeg);
}

#[test]
fn the_moment_of_the_picture_is_told() {
    let file = jpeg_with(
        &quarters(40, 20),
        Extras {
            exif: Some(plain_exif(1)),
            ..Extras::default()
        },
    );
    assert_eq!(
        prepare(&file, &[20]).unwrap().taken.unwrap().to_string(),
        "2026-10-05 09:14:07"
    );
    assert_eq!(
        prepare(&jpeg(&quarters(40, 20)), &[20]).unwrap().taken,
        None
    );
}

#[test]
fn nothing_is_enlarged_and_no_width_occurs_twice() {
    let file = jpeg(&busy(700, 500));
    let sizes = |photo: &Photo| {
        photo
            .renditions
            .iter()
            .map(|r| (r.width, r.height))
            .collect::<Vec<_>>()
    };
    assert_eq!(
        sizes(&prepare(&file, &[1600, 960, 480]).unwrap()),
        [(480, 343), (700, 500)]
    );
    assert_eq!(
        sizes(&prepare(&file, &[480, 0, 480]).unwrap()),
        [(480, 343)]
    );
    assert_eq!(sizes(&prepare(&file, &[700]).unwrap()), [(700, 500)]);
    assert_eq!(sizes(&prepare(&file, &[]).unwrap()), []);
    let dot = jpeg(&busy(1, 1));
    assert_eq!(sizes(&prepare(&dot, &[480]).unwrap()), [(1, 1)]);
    let strip = written(busy(3000, 1), ImageFormat::Png);
    assert_eq!(sizes(&prepare(&strip, &[480]).unwrap()), [(480, 1)]);
}

#[test]
fn every_rendition_shows_the_picture() {
    let photo = prepare(&jpeg(&quarters(1200, 900)), &[1000, 500, 100]).unwrap();
    for rendition in &photo.renditions {
        let shown = decoded(&rendition.jpeg);
        assert_eq!(shown.dimensions(), (rendition.width, rendition.height));
        for (found, wanted) in corner_colours(&shown).into_iter().zip(CORNERS) {
            assert_close(found, wanted, 10, &format!("width {}", rendition.width));
        }
    }
    let bytes: Vec<usize> = photo
        .renditions
        .iter()
        .map(|rendition| rendition.jpeg.len())
        .collect();
    assert!(bytes.is_sorted(), "{bytes:?}");
}

#[test]
fn content_decides_and_not_the_name_for_all_three_formats() {
    for format in [ImageFormat::Jpeg, ImageFormat::Png, ImageFormat::WebP] {
        let file = written(quarters(80, 60), format);
        let photo = prepare(&file, &[80]).unwrap();
        for (found, wanted) in corner_colours(&decoded(&photo.renditions[0].jpeg))
            .into_iter()
            .zip(CORNERS)
        {
            assert_close(found, wanted, 14, &format!("{format:?}"));
        }
    }
}

#[test]
fn transparency_turns_white_and_grey_pictures_stay_grey() {
    let clear = RgbaImage::from_fn(64, 64, |x, _| {
        image::Rgba([200, 10, 10, if x < 32 { 0 } else { 128 }])
    });
    for format in [ImageFormat::Png, ImageFormat::WebP] {
        let photo = prepare(&written(clear.clone(), format), &[64]).unwrap();
        let shown = decoded(&photo.renditions[0].jpeg);
        assert_close(shown.get_pixel(8, 32).0, [255, 255, 255], 3, "clear");
        assert_close(shown.get_pixel(56, 32).0, [227, 132, 132], 5, "half clear");
    }
    let grey = image::GrayImage::from_pixel(64, 64, image::Luma([90]));
    for format in [ImageFormat::Png, ImageFormat::Jpeg] {
        let photo = prepare(&written(grey.clone(), format), &[32]).unwrap();
        assert_close(
            decoded(&photo.renditions[0].jpeg).get_pixel(16, 16).0,
            [90, 90, 90],
            2,
            "grey",
        );
    }
    let deep = DynamicImage::ImageRgb8(quarters(64, 64)).into_rgba16();
    let photo = prepare(&written(deep, ImageFormat::Png), &[64]).unwrap();
    assert_close(
        corner_colours(&decoded(&photo.renditions[0].jpeg))[0],
        CORNERS[0],
        14,
        "16 bits a channel",
    );
}

#[test]
fn progressive_pictures_and_restart_markers_are_read() {
    for (progressive, restarts) in [(true, false), (false, true), (true, true)] {
        let file = jpeg_with(
            &quarters(200, 120),
            Extras {
                progressive,
                restarts,
                ..Extras::default()
            },
        );
        let photo = prepare(&file, &[200]).unwrap();
        for (found, wanted) in corner_colours(&decoded(&photo.renditions[0].jpeg))
            .into_iter()
            .zip(CORNERS)
        {
            assert_close(found, wanted, 10, "progressive or restarts");
        }
    }
}

/// Pictures with four channels (CMYK), as a print shop sends them, and JPEGs of one channel:
/// written here by the reference encoder's own rules.
#[test]
fn pictures_for_print_and_grey_ones_are_read_or_refused_but_never_wrong() {
    let side = 64u16;
    let mut print = Vec::new();
    // Full cyan, nothing else; the encoder writes it inverted with an Adobe marker, as print
    // programs do.
    let ink = [255u8, 0, 0, 0].repeat(usize::from(side) * usize::from(side));
    Encoder::new(&mut print, 95)
        .encode(&ink, side, side, ColorType::Cmyk)
        .unwrap();
    let shown = decoded(&prepare(&print, &[32]).unwrap().renditions[0].jpeg);
    assert_close(shown.get_pixel(16, 16).0, [0, 255, 255], 6, "CMYK");
    let mut grey = Vec::new();
    Encoder::new(&mut grey, 95)
        .encode(&[90u8; 64 * 64], side, side, ColorType::Luma)
        .unwrap();
    assert_close(
        decoded(&prepare(&grey, &[32]).unwrap().renditions[0].jpeg)
            .get_pixel(16, 16)
            .0,
        [90, 90, 90],
        2,
        "grey",
    );
}

#[test]
fn a_picture_of_a_hundred_million_pixels_is_made_alone_and_the_next_is_whole() {
    // One colour: the file is small, the decoded picture is not.
    let large = jpeg(&RgbImage::from_pixel(
        10_000,
        10_000,
        image::Rgb([90, 120, 60]),
    ));
    let files = [large.clone(), jpeg(&quarters(300, 200)), large];
    let made = prepare_all(
        &files,
        &[480],
        |file| Ok::<_, Fault>(file.clone()),
        |_, photo| Ok(photo),
    );
    let sizes: Vec<_> = made
        .iter()
        .map(|photo| {
            photo
                .as_ref()
                .map(|photo| (photo.renditions[0].width, photo.renditions[0].height))
        })
        .collect();
    assert_eq!(sizes, [Ok((480, 480)), Ok((300, 200)), Ok((480, 480))]);
    let shown = decoded(&made[0].as_ref().unwrap().renditions[0].jpeg);
    assert_close(
        shown.get_pixel(240, 240).0,
        [90, 120, 60],
        4,
        "a large picture",
    );
}

#[test]
fn options_name_everything_besides_the_bytes() {
    assert_eq!(options(&[1600, 480, 960, 480]), options(&[480, 960, 1600]));
    assert_ne!(options(&[480]), options(&[960]));
    for word in ["quality", "480 ", "widths"] {
        assert!((options(&[480]) + " ").contains(word), "{word}");
    }
}

#[test]
fn stray_bytes_in_the_header_are_forgiven() {
    let mut file = jpeg(&quarters(80, 60));
    file.splice(20..20, *b"stray bytes");
    assert!(prepare(&file, &[80]).is_ok());
}

#[test]
fn an_animation_gives_its_first_picture() {
    let png = written(quarters(64, 48), ImageFormat::Png);
    let control = png_chunk(b"acTL", &[0, 0, 0, 2, 0, 0, 0, 0]);
    let mut frame = Vec::new();
    for number in [0u32, 64, 48, 0, 0] {
        frame.extend(number.to_be_bytes());
    }
    frame.extend([0, 1, 0, 10, 0, 0]);
    let photo = prepare(
        &with_chunks(&png, &[control, png_chunk(b"fcTL", &frame)]),
        &[64],
    )
    .unwrap();
    assert_close(
        corner_colours(&decoded(&photo.renditions[0].jpeg))[3],
        CORNERS[3],
        14,
        "animated PNG",
    );

    let photo = prepare(&animated_webp(&quarters(64, 48), &busy(64, 48)), &[64]).unwrap();
    assert_close(
        corner_colours(&decoded(&photo.renditions[0].jpeg))[3],
        CORNERS[3],
        14,
        "animated WebP",
    );
}

/// Two lossless frames in the extended WebP container.
fn animated_webp(first: &RgbImage, second: &RgbImage) -> Vec<u8> {
    let three = |number: u32| number.to_le_bytes()[..3].to_vec();
    let chunk = |kind: &[u8], content: &[u8]| {
        let padding = vec![0; content.len() % 2];
        [
            kind,
            &(content.len() as u32).to_le_bytes(),
            content,
            &padding,
        ]
        .concat()
    };
    let sides = [three(first.width() - 1), three(first.height() - 1)].concat();
    let mut body = b"WEBP".to_vec();
    body.extend(chunk(b"VP8X", &[&[2, 0, 0, 0][..], &sides].concat()));
    body.extend(chunk(b"ANIM", &[255, 255, 255, 255, 0, 0]));
    for picture in [first, second] {
        let still = written(picture.clone(), ImageFormat::WebP);
        let frame = [&[0; 6][..], &sides, &three(100), &[2], &still[12..]].concat();
        body.extend(chunk(b"ANMF", &frame));
    }
    chunk(b"RIFF", &body)
}

#[test]
fn a_file_cut_anywhere_is_a_fault_and_never_half_a_picture() {
    let picture = busy(320, 240);
    let files = [
        ("baseline JPEG", jpeg(&picture)),
        (
            "progressive JPEG",
            jpeg_with(
                &picture,
                Extras {
                    progressive: true,
                    ..Extras::default()
                },
            ),
        ),
        (
            "JPEG with restarts",
            jpeg_with(
                &picture,
                Extras {
                    restarts: true,
                    ..Extras::default()
                },
            ),
        ),
        ("PNG", written(picture.clone(), ImageFormat::Png)),
        ("WebP", written(picture.clone(), ImageFormat::WebP)),
    ];
    for (what, file) in files {
        assert!(prepare(&file, &[160]).is_ok(), "{what}");
        let cuts = (1..20)
            .map(|part| file.len() * part / 20)
            .chain([file.len() - 1, file.len() - 2]);
        for end in cuts {
            assert_eq!(
                prepare(&file[..end], &[160]),
                Err(Fault::CutShort),
                "{what} cut at {end}"
            );
            assert_eq!(
                examine(&file[..end]),
                Err(Fault::CutShort),
                "{what} cut at {end}"
            );
        }
    }
}

#[test]
fn a_cut_file_that_was_filled_up_to_its_length_is_a_fault() {
    let mut file = jpeg(&busy(320, 240));
    let length = file.len();
    file[length / 2..].fill(0);
    assert_eq!(prepare(&file, &[160]), Err(Fault::CutShort));
}

#[test]
fn damage_inside_a_jpeg_is_a_fault_where_a_lenient_decoder_would_paint_grey() {
    let mut file = jpeg(&busy(320, 240));
    let length = file.len();
    // A run of ones is no valid code in the standard tables; the stuffing keeps the walk going.
    for pair in file[length / 2..length / 2 + 40].chunks_exact_mut(2) {
        pair.copy_from_slice(&[0xff, 0x00]);
    }
    let lenient = image::load_from_memory(&file).unwrap().into_rgb8();
    assert_eq!(
        lenient.get_pixel(300, 239).0,
        [128, 128, 128],
        "the lenient decoder is the reason for this test"
    );
    assert_eq!(prepare(&file, &[160]), Err(Fault::Damaged));
}

#[test]
fn damage_inside_a_png_is_a_fault() {
    let mut file = written(busy(320, 240), ImageFormat::Png);
    let middle = file.len() / 2;
    file[middle] ^= 0x55;
    assert_eq!(prepare(&file, &[160]), Err(Fault::Damaged));
}

#[test]
fn a_giant_is_refused_by_its_header_at_once() {
    let mut giant = b"\x89PNG\r\n\x1a\n".to_vec();
    let sides = [60_000u32.to_be_bytes(), 60_000u32.to_be_bytes()].concat();
    giant.extend(png_chunk(b"IHDR", &[&sides[..], &[8, 6, 0, 0, 0]].concat()));
    giant.extend(png_chunk(b"IDAT", &[0x78, 0x9c, 0x03, 0, 0, 0, 0, 1]));
    giant.extend(png_chunk(b"IEND", b""));
    // The same claim in a JPEG, whose frame header holds height and width as 16 bits each.
    let mut tall = jpeg(&quarters(64, 64));
    let frame = tall
        .windows(2)
        .position(|pair| pair == [0xff, 0xc0])
        .unwrap();
    tall[frame + 5..frame + 9].copy_from_slice(&[0xea, 0x60, 0xea, 0x60]);
    for file in [giant, tall] {
        let start = Instant::now();
        let expected = Fault::TooManyPixels {
            width: 60_000,
            height: 60_000,
        };
        assert_eq!(examine(&file), Err(expected.clone()));
        assert_eq!(prepare(&file, &[480]), Err(expected.clone()));
        assert!(expected.to_string().contains("60000 x 60000"));
        assert!(
            start.elapsed() < Duration::from_secs(1),
            "{:?}",
            start.elapsed()
        );
    }
}

#[test]
fn a_side_longer_than_a_jpeg_can_be_published_with_is_refused() {
    let mut long = jpeg(&quarters(64, 64));
    let frame = long
        .windows(2)
        .position(|pair| pair == [0xff, 0xc0])
        .unwrap();
    long[frame + 7..frame + 9].copy_from_slice(&[0xff, 0xff]);
    assert_eq!(
        examine(&long),
        Err(Fault::TooManyPixels {
            width: 65_535,
            height: 64
        })
    );
}

#[test]
fn what_is_no_picture_is_named_for_what_it_is() {
    let text = b"Juno weighed 9.6 kg today and ate well.".as_slice();
    assert_eq!(prepare(text, &[480]), Err(Fault::NotAPicture));
    assert_eq!(prepare(b"", &[480]), Err(Fault::Empty));
    let heic = b"\0\0\0\x24ftypheic\0\0\0\0mif1MiHEmiafMiHBheic\0\0\x0e\xa9meta";
    let fault = prepare(heic, &[480]).unwrap_err();
    assert_eq!(fault, Fault::Foreign(Foreign::Heic));
    assert_eq!(fault.code(), "photo-format");
    assert!(fault.hint().contains("JPEG"));
    // The first bytes that libheif 1 writes for HEIC, and libavif for AVIF.
    let heic = b"\0\0\0\x1cftypheic\0\0\0\0mif1heicmiaf\0\0\x01Vmeta\0\0\0\0\0\0\0!hdlr";
    assert_eq!(prepare(heic, &[480]), Err(Fault::Foreign(Foreign::Heic)));
    let avif = b"\0\0\0 ftypavif\0\0\0\0avifmif1miafMA1B\0\0\0\xebmeta\0\0\0\0\0\0\0!";
    assert_eq!(prepare(avif, &[480]), Err(Fault::Foreign(Foreign::Avif)));
    let heavy = vec![0xff; MAX_FILE_BYTES + 1];
    assert_eq!(
        prepare(&heavy, &[480]).unwrap_err().code(),
        "photo-too-large"
    );
}

#[test]
fn the_same_input_makes_the_same_bytes_on_one_thread_and_on_many() {
    let files: Vec<Vec<u8>> = (0..12)
        .map(|number| {
            let picture = busy(300 + number * 17, 200 + number * 5);
            jpeg_with(
                &picture,
                Extras {
                    exif: Some(plain_exif(1 + number % 8)),
                    ..Extras::default()
                },
            )
        })
        .collect();
    let alone: Vec<Photo> = files
        .iter()
        .map(|file| prepare(file, &[240, 120]).unwrap())
        .collect();
    for threads in [1, 4] {
        let pool = rayon::ThreadPoolBuilder::new()
            .num_threads(threads)
            .build()
            .unwrap();
        let together: Vec<Result<Photo, Fault>> = pool.install(|| {
            prepare_all(
                &files,
                &[240, 120],
                |file| Ok(file.clone()),
                |_, photo| Ok(photo),
            )
        });
        for (photo, result) in alone.iter().zip(together) {
            assert_eq!(photo, &result.unwrap(), "{threads} threads");
        }
    }
}

#[test]
fn one_bad_picture_does_not_hide_the_next_and_results_keep_their_order() {
    let good = jpeg(&quarters(64, 48));
    let files = [
        good.clone(),
        b"text".to_vec(),
        good.clone(),
        Vec::new(),
        good[..good.len() / 2].to_vec(),
        good,
    ];
    let results = prepare_all(
        &files,
        &[32],
        |file| Ok::<_, Fault>(file.clone()),
        |_, photo| Ok(photo.key),
    );
    let codes: Vec<_> = results
        .iter()
        .map(|result| result.as_ref().map_or_else(Fault::code, |_| "fine"))
        .collect();
    assert_eq!(
        codes,
        [
            "fine",
            "photo-not-a-picture",
            "fine",
            "photo-empty",
            "photo-cut-short",
            "fine"
        ]
    );
}

#[test]
fn memory_that_is_used_again_shows_nothing_of_the_picture_before() {
    let workroom = Workroom::new(1);
    let small = jpeg(&quarters(200, 120));
    let fresh = prepare(&small, &[100]).unwrap();
    workroom.prepare(&jpeg(&busy(800, 600)), &[400]).unwrap();
    assert_eq!(workroom.prepare(&small, &[100]).unwrap(), fresh);
    assert!(
        workroom
            .prepare(&jpeg(&busy(900, 700))[..9000], &[400])
            .is_err()
    );
    assert_eq!(workroom.prepare(&small, &[100]).unwrap(), fresh);
}

#[test]
fn a_photo_carries_the_key_that_a_cache_would_ask_for() {
    let file = jpeg(&quarters(64, 48));
    let photo = prepare(&file, &[32, 16]).unwrap();
    assert_eq!(photo.key, key(&file, &[16, 32]));
    let mut other = file.clone();
    other.push(0);
    assert_ne!(photo.key, key(&other, &[16, 32]));
}

/// Chromaticities of red, green and blue: x and y of each.
type Primaries = [[f64; 2]; 3];
/// SMPTE EG 432-1:2010 (the P3 primaries, here with the D65 white of Display P3).
const DISPLAY_P3: Primaries = [[0.680, 0.320], [0.265, 0.690], [0.150, 0.060]];
/// Adobe RGB (1998) Color Image Encoding, version 2005-05.
const ADOBE_RGB: Primaries = [[0.64, 0.33], [0.21, 0.71], [0.15, 0.06]];
/// IEC 61966-2-1:1999 (sRGB), the primaries of ITU-R BT.709.
const SRGB: Primaries = [[0.64, 0.33], [0.30, 0.60], [0.15, 0.06]];
/// CIE standard illuminant D65, as all three standards give it, and the D50 of ICC.1:2022.
const D65: [f64; 2] = [0.3127, 0.3290];
const D50_XYZ: [f64; 3] = [0.9642, 1.0, 0.8249];
/// The Bradford matrix, ICC.1:2022 annex E.
const BRADFORD: [[f64; 3]; 3] = [
    [0.8951, 0.2664, -0.1614],
    [-0.7502, 1.7135, 0.0367],
    [0.0389, -0.0685, 1.0296],
];

type Matrix = [[f64; 3]; 3];

fn times(a: &Matrix, b: &Matrix) -> Matrix {
    std::array::from_fn(|row| {
        std::array::from_fn(|column| (0..3).map(|k| a[row][k] * b[k][column]).sum())
    })
}

fn applied(a: &Matrix, v: [f64; 3]) -> [f64; 3] {
    std::array::from_fn(|row| (0..3).map(|k| a[row][k] * v[k]).sum())
}

fn inverse(m: &Matrix) -> Matrix {
    let minor = |row: usize, column: usize| {
        let (r, c) = (
            [(row + 1) % 3, (row + 2) % 3],
            [(column + 1) % 3, (column + 2) % 3],
        );
        m[r[0]][c[0]] * m[r[1]][c[1]] - m[r[0]][c[1]] * m[r[1]][c[0]]
    };
    let determinant: f64 = (0..3).map(|column| m[0][column] * minor(0, column)).sum();
    std::array::from_fn(|row| std::array::from_fn(|column| minor(column, row) / determinant))
}

fn xyz([x, y]: [f64; 2]) -> [f64; 3] {
    [x / y, 1.0, (1.0 - x - y) / y]
}

/// The matrix from linear red, green and blue to XYZ, white being D65.
fn to_xyz(primaries: Primaries) -> Matrix {
    let columns = primaries.map(xyz);
    let unscaled: Matrix =
        std::array::from_fn(|row| std::array::from_fn(|column| columns[column][row]));
    let scale = applied(&inverse(&unscaled), xyz(D65));
    std::array::from_fn(|row| std::array::from_fn(|column| unscaled[row][column] * scale[column]))
}

#[derive(Clone, Copy)]
enum Curve {
    Srgb,
    /// The gamma of Adobe RGB, 2 + 51/256.
    Adobe,
}

fn linear(value: f64, curve: Curve) -> f64 {
    match curve {
        Curve::Adobe => value.powf(563.0 / 256.0),
        Curve::Srgb if value <= 0.04045 => value / 12.92,
        Curve::Srgb => ((value + 0.055) / 1.055).powf(2.4),
    }
}

/// What an sRGB display must be sent to show this colour of the wide space.
fn expected_srgb(colour: [u8; 3], primaries: Primaries, curve: Curve) -> [u8; 3] {
    let light = colour.map(|value| linear(f64::from(value) / 255.0, curve));
    let matrix = times(&inverse(&to_xyz(SRGB)), &to_xyz(primaries));
    applied(&matrix, light).map(|value| {
        let value = value.clamp(0.0, 1.0);
        let coded = if value <= 0.003_130_8 {
            12.92 * value
        } else {
            1.055 * value.powf(1.0 / 2.4) - 0.055
        };
        (coded * 255.0).round() as u8
    })
}

/// A matrix profile after ICC.1:2022, written field by field.
fn icc_profile(primaries: Primaries, curve: Curve, description: &str) -> Vec<u8> {
    let fixed = |value: f64| ((value * 65_536.0).round() as i32).to_be_bytes();
    let cone = |white| applied(&BRADFORD, white);
    let (from, to) = (cone(xyz(D65)), cone(D50_XYZ));
    let scale: Matrix = std::array::from_fn(|r| {
        std::array::from_fn(|c| if r == c { to[r] / from[r] } else { 0.0 })
    });
    let adapted = times(
        &times(&inverse(&BRADFORD), &times(&scale, &BRADFORD)),
        &to_xyz(primaries),
    );
    let xyz_tag = |v: [f64; 3]| [b"XYZ \0\0\0\0".as_slice(), &v.map(fixed).concat()].concat();
    let curve_tag = match curve {
        Curve::Adobe => b"curv\0\0\0\0\0\0\0\x01\x02\x33\0\0".to_vec(),
        Curve::Srgb => {
            let numbers = [2.4, 1.0 / 1.055, 0.055 / 1.055, 1.0 / 12.92, 0.04045]
                .map(fixed)
                .concat();
            [b"para\0\0\0\0\0\x03\0\0".as_slice(), &numbers].concat()
        }
    };
    let text: Vec<u8> = description
        .encode_utf16()
        .flat_map(u16::to_be_bytes)
        .collect();
    let names = |letters: &[u8]| {
        let head = [
            b"mluc\0\0\0\0\0\0\0\x01\0\0\0\x0cenGB".as_slice(),
            &(letters.len() as u32).to_be_bytes(),
        ]
        .concat();
        [&head[..], &28u32.to_be_bytes(), letters].concat()
    };
    // The description as the standard has it, and the copyright in plain letters, so that a search
    // finds it.
    let plain = [b"text\0\0\0\0".as_slice(), description.as_bytes(), b"\0"].concat();
    let column = |c: usize| xyz_tag([adapted[0][c], adapted[1][c], adapted[2][c]]);
    let tags: [(&[u8; 4], Vec<u8>); 9] = [
        (b"desc", names(&text)),
        (b"cprt", plain),
        (b"wtpt", xyz_tag(D50_XYZ)),
        (b"rXYZ", column(0)),
        (b"gXYZ", column(1)),
        (b"bXYZ", column(2)),
        (b"rTRC", curve_tag.clone()),
        (b"gTRC", curve_tag.clone()),
        (b"bTRC", curve_tag),
    ];
    let mut head = vec![0u8; 128];
    head[8..12].copy_from_slice(&[4, 0x30, 0, 0]);
    head[12..24].copy_from_slice(b"mntrRGB XYZ ");
    head[36..40].copy_from_slice(b"acsp");
    head[68..80].copy_from_slice(&D50_XYZ.map(fixed).concat());
    let mut table = (tags.len() as u32).to_be_bytes().to_vec();
    let mut content = Vec::new();
    for (name, tag) in &tags {
        let at = 128 + 4 + 12 * tags.len() + content.len();
        table.extend(
            [
                &name[..],
                &(at as u32).to_be_bytes(),
                &(tag.len() as u32).to_be_bytes(),
            ]
            .concat(),
        );
        content.extend(tag);
        content.resize(content.len().next_multiple_of(4), 0);
    }
    let mut profile = [head, table, content].concat();
    let length = (profile.len() as u32).to_be_bytes();
    profile[..4].copy_from_slice(&length);
    profile
}

#[test]
fn the_published_matrix_from_display_p3_to_srgb_is_met() {
    // Guards the mathematics above: the first column as it is commonly printed.
    let matrix = times(&inverse(&to_xyz(SRGB)), &to_xyz(DISPLAY_P3));
    for (row, printed) in [1.2249, -0.0420, -0.0197].into_iter().enumerate() {
        assert!((matrix[row][0] - printed).abs() < 1e-3, "{matrix:?}");
    }
}

#[test]
fn wide_colours_are_brought_into_srgb() {
    let colours = [
        [180, 60, 60],
        [60, 150, 80],
        [70, 80, 170],
        [128, 128, 128],
        [235, 200, 150],
        [150, 90, 40],
    ];
    for (what, primaries, curve) in [
        ("Display P3", DISPLAY_P3, Curve::Srgb),
        ("Adobe RGB", ADOBE_RGB, Curve::Adobe),
    ] {
        let profile = icc_profile(primaries, curve, what);
        for colour in colours {
            let expected = expected_srgb(colour, primaries, curve);
            let picture = RgbImage::from_pixel(64, 64, image::Rgb(colour));
            let file = jpeg_with(
                &picture,
                Extras {
                    profile: Some(profile.clone()),
                    ..Extras::default()
                },
            );
            let photo = prepare(&file, &[64, 32]).unwrap();
            for rendition in &photo.renditions {
                assert_close(
                    decoded(&rendition.jpeg).get_pixel(16, 16).0,
                    expected,
                    4,
                    &format!("{what} {colour:?}"),
                );
            }
        }
    }
    let strong = expected_srgb([180, 60, 60], DISPLAY_P3, Curve::Srgb);
    assert!(
        strong[0] > 190,
        "without conversion the picture would look dull: {strong:?}"
    );
}

#[test]
fn another_colour_engine_says_the_same_of_display_p3() {
    // What Little CMS (through Pillow 13, relative colorimetric) makes of these colours with the
    // Display P3 profile that libvips 8.14 brings.
    let engine: [([u8; 3], [u8; 3]); 10] = [
        ([180, 60, 60], [195, 47, 56]),
        ([60, 150, 80], [0, 152, 71]),
        ([70, 80, 170], [68, 79, 176]),
        ([128, 128, 128], [128, 128, 128]),
        ([235, 200, 150], [243, 198, 143]),
        ([150, 90, 40], [160, 86, 25]),
        ([255, 40, 30], [255, 0, 0]),
        ([20, 220, 40], [0, 224, 0]),
        ([90, 70, 50], [95, 69, 48]),
        ([240, 150, 20], [255, 144, 0]),
    ];
    for (stored, expected) in engine {
        let picture = RgbImage::from_pixel(64, 64, image::Rgb(stored));
        let extras = Extras {
            profile: Some(icc_profile(DISPLAY_P3, Curve::Srgb, "Display P3")),
            ..Extras::default()
        };
        let photo = prepare(&jpeg_with(&picture, extras), &[32]).unwrap();
        assert_close(
            decoded(&photo.renditions[0].jpeg).get_pixel(16, 16).0,
            expected,
            4,
            &format!("{stored:?}"),
        );
    }
}

#[test]
fn a_profile_in_a_png_counts_as_well() {
    let mut stored = b"Display P3\0\0".to_vec();
    stored.extend(zlib_stored(&icc_profile(
        DISPLAY_P3,
        Curve::Srgb,
        "Display P3",
    )));
    let png = written(
        RgbImage::from_pixel(64, 64, image::Rgb([180, 60, 60])),
        ImageFormat::Png,
    );
    let photo = prepare(&with_chunks(&png, &[png_chunk(b"iCCP", &stored)]), &[64]).unwrap();
    let expected = expected_srgb([180, 60, 60], DISPLAY_P3, Curve::Srgb);
    assert_close(
        decoded(&photo.renditions[0].jpeg).get_pixel(32, 32).0,
        expected,
        4,
        "PNG",
    );
}

/// A zlib stream with one stored block (RFC 1950, RFC 1951).
fn zlib_stored(content: &[u8]) -> Vec<u8> {
    let (a, b) = content.iter().fold((1u32, 0u32), |(a, b), byte| {
        let a = (a + u32::from(*byte)) % 65_521;
        (a, (b + a) % 65_521)
    });
    let length = content.len() as u16;
    let head = [
        &[0x78, 0x01, 1][..],
        &length.to_le_bytes(),
        &(!length).to_le_bytes(),
    ]
    .concat();
    [&head[..], content, &(b << 16 | a).to_be_bytes()].concat()
}

#[test]
fn a_broken_profile_never_stops_a_picture() {
    let whole = icc_profile(DISPLAY_P3, Curve::Srgb, "Display P3");
    for end in [1, 40, 127, 130, 200, whole.len() - 1] {
        let extras = Extras {
            profile: Some(whole[..end].to_vec()),
            ..Extras::default()
        };
        assert!(
            prepare(&jpeg_with(&quarters(64, 48), extras), &[64]).is_ok(),
            "cut at {end}"
        );
    }
}

/// Small valid files of each kind, for the tests that break them.
fn specimens() -> Vec<Vec<u8>> {
    let picture = busy(90, 70);
    let extras = |progressive| Extras {
        exif: Some(plain_exif(6)),
        profile: Some(icc_profile(DISPLAY_P3, Curve::Srgb, "Display P3")),
        progressive,
        restarts: true,
        ..Extras::default()
    };
    let clear: DynamicImage = DynamicImage::ImageRgb8(picture.clone()).into_rgba8().into();
    vec![
        jpeg_with(&picture, extras(false)),
        jpeg_with(&picture, extras(true)),
        jpeg(&picture),
        with_chunks(
            &written(picture.clone(), ImageFormat::Png),
            &[png_chunk(b"eXIf", &plain_exif(8))],
        ),
        written(clear, ImageFormat::WebP),
        animated_webp(&picture, &quarters(90, 70)),
    ]
}

/// Whatever the bytes, the answer is a photo that holds to its promises, or a fault with a hint.
fn check_any(bytes: &[u8]) {
    let looked = examine(bytes);
    match prepare(bytes, &[60, 30]) {
        Ok(photo) => {
            assert!(looked.is_ok());
            assert!(
                photo
                    .renditions
                    .iter()
                    .all(|rendition| rendition.width <= 60)
            );
            for rendition in &photo.renditions {
                assert_only_tables_and_picture(&rendition.jpeg);
                assert_eq!(
                    decoded(&rendition.jpeg).dimensions(),
                    (rendition.width, rendition.height)
                );
            }
        }
        Err(fault) => assert!(!fault.hint().is_empty()),
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(192))]

    #[test]
    fn flipped_bits_never_panic(
        which in 0usize..6,
        flips in prop::collection::vec((any::<prop::sample::Index>(), 0u8..8), 1..12),
    ) {
        let mut file = specimens().swap_remove(which);
        for (place, bit) in flips {
            let place = place.index(file.len());
            file[place] ^= 1 << bit;
        }
        check_any(&file);
    }

    #[test]
    fn flipped_bits_in_the_first_bytes_never_panic(
        which in 0usize..6,
        flips in prop::collection::vec((0usize..700, any::<u8>()), 1..6),
    ) {
        let mut file = specimens().swap_remove(which);
        for (place, mask) in flips {
            let place = place % file.len();
            file[place] ^= mask;
        }
        check_any(&file);
    }

    #[test]
    fn any_bytes_behind_any_signature_never_panic(
        which in 0usize..4,
        tail in prop::collection::vec(any::<u8>(), 0..400),
    ) {
        let start: &[u8] = [
            b"\xff\xd8\xff".as_slice(),
            b"\x89PNG\r\n\x1a\n",
            b"RIFF\x20\0\0\0WEBPVP8X",
            b"",
        ][which];
        check_any(&[start, &tail].concat());
    }

    #[test]
    fn parts_cut_out_of_the_middle_never_panic(
        which in 0usize..6,
        from in any::<prop::sample::Index>(),
        length in 1usize..200,
    ) {
        let mut file = specimens().swap_remove(which);
        let from = from.index(file.len());
        let to = (from + length).min(file.len());
        file.drain(from..to);
        check_any(&file);
    }
}
