//! What must hold for every document: nothing outside its page, nothing lost, nothing untagged, the
//! same bytes each time.

use std::io::Read as _;

use flate2::read::ZlibDecoder;
use proptest::prelude::*;

use super::faces::{Face, Faces};
use super::pages::{PdfPage, fill};
use super::strip::{Ink, InkOwner};
use super::text::{Shaper, break_lines};
use super::{
    Block, Document, Drawing, NotTypeset, PageSize, Paint, Shape, Stroke, TextAnchor, Unprinted,
    about, galley, typeset, unprinted, with_comment,
};

/// Pages before they are printed, and the width and height of their text.
fn laid_out(document: &Document) -> (Vec<PdfPage>, f32, f32) {
    let sheets = about::Sheets::new(document.paper);
    let mut galley = galley::Galley::new(
        Shaper::new("en").unwrap(),
        sheets.text_width(),
        sheets.text_height(),
    );
    galley.set(document).unwrap();
    (
        fill(galley.strips, sheets.text_height()),
        sheets.text_width(),
        sheets.text_height(),
    )
}

/// All that can be read in a file: what is plain, and what its compressed streams hold.
fn unpacked(pdf: &[u8]) -> String {
    let mut all = pdf.to_vec();
    for at in pdf
        .windows(7)
        .enumerate()
        .filter(|(_, window)| window == b"stream\n")
        .map(|(at, _)| at + 7)
    {
        let mut inside = Vec::new();
        if ZlibDecoder::new(&pdf[at..])
            .read_to_end(&mut inside)
            .is_ok()
        {
            all.extend(inside);
        }
    }
    String::from_utf8_lossy(&all).into_owned()
}

fn of(blocks: Vec<Block>) -> Document {
    Document {
        title: "A record".into(),
        language: "en".into(),
        blocks,
        ..Document::default()
    }
}

fn table(rows: usize, text: &str) -> Block {
    let rows = (0..rows)
        .map(|row| vec![format!("{row}"), text.to_owned(), format!("{row}.5 g")])
        .collect();
    let head = ["Row", "Words", "Weight"].map(String::from).to_vec();
    Block::Table {
        caption: "A table".into(),
        head,
        share: vec![1.0, 4.0, 1.0],
        figures: vec![true, false, true],
        rows,
    }
}

fn chart() -> Drawing {
    let stroke = Stroke {
        colour: [10, 90, 40],
        width: 1.0,
        dash: vec![3.0, 2.0],
    };
    let shapes = vec![
        Shape::Line {
            from: [0.0, 0.0],
            to: [100.0, 50.0],
            stroke: stroke.clone(),
        },
        Shape::Path {
            points: vec![[0.0, 0.0], [9.0, 9.0]],
            closed: true,
            fill: Some(Paint {
                colour: [1, 2, 3],
                opacity: 0.3,
            }),
            stroke: None,
        },
        Shape::Circle {
            centre: [5.0, 5.0],
            radius: 2.0,
            fill: None,
            stroke: Some(stroke),
        },
        Shape::Text {
            x: 99.0,
            y: 40.0,
            anchor: TextAnchor::Start,
            size: 6.0,
            text: "day 14".into(),
        },
    ];
    Drawing {
        alt: "A rising line".into(),
        width: 100.0,
        height: 50.0,
        shapes,
    }
}

/// Nothing on these pages stands outside the text's width and height.
fn stays_inside(sheets: &[PdfPage], width: f32, height: f32) {
    for (top, strip) in sheets.iter().flat_map(|sheet| &sheet.placed) {
        assert!(
            *top >= 0.0 && top + strip.height <= height + 0.1,
            "a strip from {top} of {} on {height}",
            strip.height
        );
        let texts = strip.inks.iter().filter_map(|(_, ink)| {
            if let Ink::Text { x, y, line } = ink {
                Some((*y, *x, x + line.width))
            } else {
                None
            }
        });
        let mut texts: Vec<_> = texts.collect();
        texts.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1)));
        for pair in texts
            .windows(2)
            .filter(|pair| pair[0].0.total_cmp(&pair[1].0).is_eq())
        {
            assert!(
                pair[0].2 <= pair[1].1,
                "text to {} runs into text from {}",
                pair[0].2,
                pair[1].1
            );
        }
        for (_, ink) in &strip.inks {
            let (left, right, low) = match ink {
                Ink::Text { x, y, line } => (*x, x + line.width, *y),
                Ink::Rule { from, to, .. } => {
                    (from[0].min(to[0]), from[0].max(to[0]), from[1].max(to[1]))
                }
                Ink::Bar { at, size, .. } => (at[0], at[0] + size[0], at[1]),
                Ink::Plate { x, y, plate } => (*x, x + plate.width, y + plate.height),
                Ink::Nothing => continue,
            };
            assert!(
                left >= -0.5 && right <= width + 0.5,
                "from {left} to {right} on {width}"
            );
            assert!(
                low <= strip.height + 0.5,
                "{low} below a strip of {}",
                strip.height
            );
        }
    }
}

#[test]
fn every_sign_of_a_tagged_and_accessible_file_is_there() {
    let blocks = vec![
        Block::Title {
            text: "Fern".into(),
            under: vec!["Born in autumn".into()],
        },
        Block::Heading {
            level: 1,
            text: "Findings".into(),
        },
        Block::Heading {
            level: 2,
            text: "Weight".into(),
        },
        Block::List(vec!["one".into()]),
        Block::Facts {
            columns: 2,
            facts: vec![("Dam".into(), "Juno".into())],
        },
        table(3, "words"),
        Block::Drawing(chart()),
        Block::Code("7K2M-9QXR".into()),
    ];
    let document = Document {
        author: "Whinmorrow".into(),
        made: Some((2026, 10, 9)),
        language: "en-GB".into(),
        ..of(blocks)
    };
    let text = unpacked(&typeset(&document).unwrap());
    for sign in [
        "/Marked true",
        "/DisplayDocTitle true",
        "/Lang(en-GB)",
        "<pdfuaid:part>1</pdfuaid:part>",
        "/S/Document",
        "/S/Title",
        "/S/H1",
        "/S/H2",
        "/S/LBody",
        "/S/THead",
        "/S/TH",
        "/Scope/Column",
        "/S/Caption",
        "/S/Figure",
        "/Alt(A rising line)",
        "/BBox[",
        "/S/Code",
        "/Title(A record)",
        "/Author(Whinmorrow)",
        "/CreationDate(D:20261009",
        "/ToUnicode",
        "/FontFile2",
        "/Outlines",
    ] {
        assert!(text.contains(sign), "{sign} is missing");
    }
}

#[test]
fn without_a_date_none_is_written() {
    let text = unpacked(&typeset(&of(vec![Block::Paragraph("words".into())])).unwrap());
    let found = [
        "CreationDate",
        "ModDate",
        "xmp:CreateDate",
        "xmp:ModifyDate",
    ]
    .into_iter()
    .find(|date| text.contains(date));
    assert_eq!(found, None, "a date nobody gave");
}

#[test]
fn the_same_document_gives_the_same_bytes_on_every_thread() {
    let document = of(vec![
        table(50, "ffi ŵ Ł ½ oz 日本"),
        Block::Drawing(chart()),
    ]);
    let first = typeset(&document).unwrap();
    std::thread::scope(|scope| {
        for again in [(); 3].map(|()| scope.spawn(|| typeset(&document).unwrap())) {
            assert!(again.join().unwrap() == first, "other bytes");
        }
    });
}

#[test]
fn each_glyph_knows_its_letters_and_european_names_have_glyphs() {
    let faces = Faces::built_in().unwrap();
    let mut shaper = Shaper::new("en").unwrap();
    let names = "office affinity fjord ŵyn ŷ Ŵ Łąka Żółć Győző Çağla İstanbul Șerban Țepeș ħobż \
                 Ġgantija Þór Ðagur Ævar Œuvre Ångström Ωμέγα Άρης Борис Їжак Ђорђе ½ ¼ ¾ ⅓ oz ± \
                 × ° ₂ H₂O → ← ≤ ≥ − – — … „a“ «b» € £ № ♀ ♂ ✓ ẞ ḃ Ǆ ə e\u{301} k\u{323}";
    for face in [
        Face::Sans,
        Face::SansBold,
        Face::Serif,
        Face::SerifBold,
        Face::Mono,
    ] {
        let shaped = shaper.shape(face, names);
        for line in break_lines(&shaped, 10.0, 0, 90.0) {
            assert!(
                !line.has_unknown(faces),
                "{face:?} has no glyph for a letter of {:?}",
                line.words()
            );
        }
        let lines: String = break_lines(&shaped, 10.0, 0, 90.0)
            .iter()
            .map(|line| line.words().to_owned())
            .collect();
        assert_eq!(lines.trim_end(), names, "what is set is what was said");
    }
}

#[test]
fn the_faces_are_small_and_carry_their_licence() {
    let faces: [&[u8]; 7] = [
        include_bytes!("fonts/NotoSans-Regular.ttf"),
        include_bytes!("fonts/NotoSans-Bold.ttf"),
        include_bytes!("fonts/NotoSerif-Regular.ttf"),
        include_bytes!("fonts/NotoSerif-Bold.ttf"),
        include_bytes!("fonts/NotoSansMono-Regular.ttf"),
        include_bytes!("fonts/Symbols.ttf"),
        include_bytes!("fonts/Others.ttf"),
    ];
    let all: usize = faces.iter().map(|face| face.len()).sum();
    assert!(all < 800_000, "{all} bytes");
    assert!(include_str!("fonts/OFL.txt").contains("SIL OPEN FONT LICENSE Version 1.1"));
    assert!(include_str!("fonts/DEJAVU.txt").contains("Bitstream Vera Fonts Copyright"));
}

#[test]
fn rarer_letters_and_signs_are_printed_and_what_cannot_be_is_named() {
    let told = |text: &str| {
        unprinted(&of(vec![
            Block::Paragraph(text.into()),
            Block::Code(text.into()),
        ]))
        .unwrap()
    };
    // International phonetic letters, Church Slavonic and Kurdish Cyrillic, polytonic Greek,
    // hearts, stars, weather, faces.
    assert_eq!(told("ʃʒŋ ѠѦ Ԛԝ ἀᾷ ♥ ❤ ★ ☀ ☺ ✔ ☎ ✉ ♀ ⚥ ⬆ 😀 ⇒ ∞ Ɽ"), []);
    let words = "Bold, first out of the box, and called 日本 by the children of the neighbours 🐾";
    let found: Vec<(char, String)> = told(words)
        .into_iter()
        .map(|Unprinted { letter, words }| (letter, words))
        .collect();
    assert_eq!(
        found.iter().map(|(letter, _)| *letter).collect::<Vec<_>>(),
        ['日', '本', '🐾']
    );
    assert!(
        found[0].1.contains("called 日本 by the") && found[2].1.ends_with("neighbours 🐾"),
        "{found:?}"
    );
    assert_eq!(told("שלום").len(), 4);
    assert_eq!(
        told("🐾🐾"),
        [Unprinted {
            letter: '🐾',
            words: "🐾🐾".to_owned()
        }]
    );
}

#[test]
fn figures_are_equally_wide() {
    let mut shaper = Shaper::new("en").unwrap();
    for face in [Face::Sans, Face::SansBold, Face::Mono] {
        let widths: Vec<f32> = ('0'..='9')
            .map(|figure| {
                break_lines(&shaper.shape(face, &figure.to_string()), 10.0, 0, 90.0)[0].width
            })
            .collect();
        assert!(
            widths.iter().all(|width| (width - widths[0]).abs() < 0.001),
            "{face:?}: {widths:?}"
        );
    }
}

#[test]
fn any_character_is_set_or_stood_in_for() {
    let all: String = (0..0x11_0000)
        .step_by(61)
        .filter_map(char::from_u32)
        .collect();
    typeset(&of(vec![
        Block::Paragraph(all),
        Block::Paragraph("\u{200D}\u{202E}\u{0}\u{FEFF}\u{FFFE}\u{E000}👩‍👩‍👧 العربية 日本語".into()),
    ]))
    .unwrap();
}

#[test]
fn lines_break_at_spaces_and_after_hyphens_and_slashes_but_not_inside_dates() {
    let mut shaper = Shaper::new("en").unwrap();
    let mut lines = |text: &str, width| -> Vec<String> {
        break_lines(&shaper.shape(Face::Sans, text), 10.0, 0, width)
            .iter()
            .map(|line| line.words().trim_end().to_owned())
            .collect()
    };
    assert_eq!(lines("well known", 40.0), ["well", "known"]);
    assert_eq!(lines("dam/granddam", 50.0), ["dam/", "granddam"]);
    assert_eq!(lines("weigh-ins", 40.0), ["weigh-", "ins"]);
    assert_eq!(lines("on 2026-10-09", 60.0), ["on", "2026-10-09"]);
    assert_eq!(lines("one\ntwo", 400.0), ["one", "two"]);
    assert!(
        lines(&"w".repeat(50), 60.0).len() > 4,
        "a word longer than the line is broken"
    );
}

#[test]
fn a_code_is_broken_between_groups_only() {
    let (sheets, ..) = laid_out(&of(vec![Block::Code(
        "7K2M-9QXR-4TBV-0HWD-8ZNC-3FGP-J123-4567-8901-2345".into(),
    )]));
    let lines = sheets[0].placed.iter().flat_map(|(_, strip)| &strip.inks);
    let lines: Vec<_> = lines
        .filter_map(|(_, ink)| {
            if let Ink::Text { line, .. } = ink {
                Some(line)
            } else {
                None
            }
        })
        .collect();
    assert!(
        lines.len() == 2 && lines.iter().all(|line| !line.splits_a_group()),
        "{} lines",
        lines.len()
    );
}

#[test]
fn a_long_table_repeats_its_head_and_never_splits_a_row() {
    let (sheets, width, height) = laid_out(&of(vec![table(
        400,
        "words that fill more than one line of their column, as remarks of a careful keeper do",
    )]));
    stays_inside(&sheets, width, height);
    assert!(sheets.len() > 8);
    for (page, sheet) in sheets.iter().enumerate() {
        let repeated = sheet
            .placed
            .iter()
            .filter(|(_, strip)| {
                strip
                    .inks
                    .iter()
                    .any(|(owner, _)| *owner == InkOwner::Repeat)
            })
            .count();
        assert_eq!(repeated, usize::from(page > 0), "page {page}");
    }
    let mut places = std::collections::BTreeMap::new();
    for (page, sheet) in sheets.iter().enumerate() {
        for (owner, _) in sheet.placed.iter().flat_map(|(_, strip)| &strip.inks) {
            if let InkOwner::Node(node) = owner {
                assert_eq!(
                    *places.entry(*node).or_insert(page),
                    page,
                    "a cell on two pages"
                );
            }
        }
    }
    typeset(&of(vec![table(400, "words")])).unwrap();
}

#[test]
fn a_row_taller_than_a_page_goes_on_without_loss() {
    let long = "tall ".repeat(4000);
    let (sheets, width, height) = laid_out(&of(vec![
        Block::Heading {
            level: 1,
            text: "Tall".into(),
        },
        table(2, &long),
    ]));
    stays_inside(&sheets, width, height);
    let inks = sheets
        .iter()
        .flat_map(|sheet| &sheet.placed)
        .flat_map(|(_, strip)| &strip.inks);
    let words: usize = inks
        .map(|(_, ink)| {
            if let Ink::Text { line, .. } = ink {
                line.words().matches("tall").count()
            } else {
                0
            }
        })
        .sum();
    assert_eq!(words, 8000);
    let first = sheets[0]
        .placed
        .iter()
        .flat_map(|(_, strip)| &strip.inks)
        .filter(|(_, ink)| matches!(ink, Ink::Text { .. }))
        .count();
    assert!(first > 30, "the row begins below its heading");
}

#[test]
fn nothing_and_empty_words_are_set_too() {
    typeset(&Document::default()).unwrap();
    let nothing = String::new;
    let empty = vec![
        Block::Title {
            text: nothing(),
            under: vec![nothing()],
        },
        Block::Heading {
            level: 0,
            text: nothing(),
        },
        Block::Paragraph(nothing()),
        Block::Small(nothing()),
        Block::List(vec![nothing(), nothing()]),
        Block::Facts {
            columns: 0,
            facts: vec![(nothing(), nothing())],
        },
        Block::Table {
            caption: nothing(),
            head: vec![],
            share: vec![],
            figures: vec![],
            rows: vec![],
        },
        Block::Table {
            caption: nothing(),
            head: vec![nothing()],
            share: vec![f32::NAN],
            figures: vec![],
            rows: vec![vec![], vec![nothing(), nothing()]],
        },
        Block::Caution {
            title: nothing(),
            lines: vec![nothing()],
        },
        Block::Drawing(Drawing::default()),
        Block::Squares {
            alt: nothing(),
            side: 0,
            dark: vec![],
            mm: f32::NAN,
        },
        Block::Squares {
            alt: nothing(),
            side: 2,
            dark: vec![],
            mm: -4.0,
        },
        Block::Code(nothing()),
        Block::NewPage,
    ];
    typeset(&of(empty)).unwrap();
}

#[test]
fn a_long_word_stays_inside_every_kind_of_block() {
    let word = "w".repeat(5000);
    let blocks = vec![
        Block::Title {
            text: word.clone(),
            under: vec![word.clone()],
        },
        Block::Heading {
            level: 1,
            text: word.clone(),
        },
        Block::Paragraph(word.clone()),
        Block::List(vec![word.clone()]),
        Block::Facts {
            columns: 2,
            facts: vec![(word.clone(), word.clone())],
        },
        table(1, &word),
        Block::Caution {
            title: word.clone(),
            lines: vec![word.clone()],
        },
        Block::Code(word.clone()),
    ];
    let document = Document {
        head: word.clone(),
        foot: word,
        accent: Some([255, 255, 255]),
        ..of(blocks)
    };
    let (sheets, width, height) = laid_out(&document);
    stays_inside(&sheets, width, height);
    typeset(&document).unwrap();
}

#[test]
fn a_table_too_wide_for_paper_is_refused_in_words() {
    let wide = Block::Table {
        caption: String::new(),
        head: vec!["a".into(); 41],
        share: vec![],
        figures: vec![],
        rows: vec![],
    };
    let refusal = typeset(&of(vec![wide])).unwrap_err();
    assert!(matches!(
        refusal,
        NotTypeset::TooManyColumns {
            columns: 41,
            most: 40
        }
    ));
    assert_eq!(
        refusal.to_string(),
        "set a table of 41 columns: a page holds 40 at most"
    );
}

#[test]
fn forty_columns_stay_apart() {
    let rows = vec![vec!["W‰ŒǄ\u{FFFD}W".to_owned(); 40]];
    let wide = Block::Table {
        caption: String::new(),
        head: vec!["MWM".into(); 40],
        share: vec![1000.0, 0.001],
        figures: vec![true, false],
        rows,
    };
    let (sheets, width, height) = laid_out(&of(vec![wide]));
    stays_inside(&sheets, width, height);
}

#[test]
fn a_long_table_is_packed_small() {
    let size = typeset(&of(vec![table(400, "words")])).unwrap().len();
    assert!(size < 90_000, "{size} bytes");
}

#[test]
fn a_comment_stands_before_the_last_keyword_and_moves_nothing() {
    let pdf = typeset(&of(vec![Block::Paragraph("words".into())])).unwrap();
    let signed = with_comment(pdf.clone(), "signature: a\nb");
    let at = pdf
        .windows(9)
        .rposition(|window| window == b"startxref")
        .unwrap();
    assert_eq!(&signed[..at], &pdf[..at]);
    assert_eq!(&signed[at..], [b"%signature: a b\n", &pdf[at..]].concat());
    assert_eq!(with_comment(b"no file".to_vec(), "x"), b"no file");
    assert_eq!(
        with_comment(b"x startxref".to_vec(), "c"),
        b"x \n%c\nstartxref"
    );
}

#[test]
fn language_is_kept_only_if_it_is_one() {
    assert_eq!(
        ["en", "en-GB", "sr-Latn-RS"].map(about::language),
        ["en", "en-GB", "sr-Latn-RS"]
    );
    assert_eq!(
        ["", "e", "en_GB", "english please", "en-"].map(about::language),
        ["en"; 5]
    );
}

fn words() -> impl Strategy<Value = String> {
    prop_oneof![3 => "[a-zA-Z0-9 .,/-]{0,80}", 1 => ".{0,60}", 1 => "[\\PC\\n\\t]{0,300}", 1 => "[a-z]{200,900}"]
}

fn shapes() -> impl Strategy<Value = Shape> {
    let number = || prop_oneof![4 => -50.0f32..200.0, 1 => proptest::num::f32::ANY];
    let point = move || [number(), number()];
    let stroke = move || {
        (
            any::<[u8; 3]>(),
            number(),
            prop::collection::vec(number(), 0..4),
        )
            .prop_map(|(colour, width, dash)| Stroke {
                colour,
                width,
                dash,
            })
    };
    let paint = move || {
        prop::option::of(
            (any::<[u8; 3]>(), number()).prop_map(|(colour, opacity)| Paint { colour, opacity }),
        )
    };
    prop_oneof![
        (point(), point(), stroke()).prop_map(|(from, to, stroke)| Shape::Line {
            from,
            to,
            stroke
        }),
        (
            prop::collection::vec(point(), 0..9),
            any::<bool>(),
            paint(),
            prop::option::of(stroke())
        )
            .prop_map(|(points, closed, fill, stroke)| Shape::Path {
                points,
                closed,
                fill,
                stroke
            }),
        (point(), number(), paint(), prop::option::of(stroke())).prop_map(
            |(centre, radius, fill, stroke)| Shape::Circle {
                centre,
                radius,
                fill,
                stroke
            }
        ),
        (point(), number(), words()).prop_map(|([x, y], size, text)| Shape::Text {
            x,
            y,
            anchor: TextAnchor::Middle,
            size,
            text
        }),
    ]
}

fn block() -> impl Strategy<Value = Block> {
    let many = |most| prop::collection::vec(words(), 0..most);
    let number = || prop_oneof![4 => 1.0f32..900.0, 1 => proptest::num::f32::ANY];
    prop_oneof![
        (words(), many(3)).prop_map(|(text, under)| Block::Title { text, under }),
        (any::<u8>(), words()).prop_map(|(level, text)| Block::Heading { level, text }),
        words().prop_map(Block::Paragraph),
        many(8).prop_map(Block::List),
        (any::<u8>(), prop::collection::vec((words(), words()), 0..9))
            .prop_map(|(columns, facts)| Block::Facts { columns, facts }),
        (
            words(),
            many(6),
            prop::collection::vec(number(), 0..6),
            prop::collection::vec(any::<bool>(), 0..6),
            prop::collection::vec(many(6), 0..20)
        )
            .prop_map(|(caption, head, share, figures, rows)| Block::Table {
                caption,
                head,
                share,
                figures,
                rows
            }),
        (words(), many(4)).prop_map(|(title, lines)| Block::Caution { title, lines }),
        (
            words(),
            number(),
            number(),
            prop::collection::vec(shapes(), 0..9)
        )
            .prop_map(|(alt, width, height, shapes)| Block::Drawing(Drawing {
                alt,
                width,
                height,
                shapes
            })),
        (
            words(),
            0usize..40,
            prop::collection::vec(any::<bool>(), 0..900),
            number()
        )
            .prop_map(|(alt, side, dark, mm)| Block::Squares {
                alt,
                side,
                dark,
                mm
            }),
        words().prop_map(Block::Code),
    ]
}

fn document() -> impl Strategy<Value = Document> {
    (
        prop::collection::vec(block(), 0..14),
        [words(), words(), words()],
        prop::option::of(any::<[u8; 3]>()),
        any::<bool>(),
    )
        .prop_map(
            |(blocks, [title, head, language], accent, letter)| Document {
                title: title.clone(),
                author: title,
                foot: head.clone(),
                paper: if letter {
                    PageSize::Letter
                } else {
                    PageSize::A4
                },
                head,
                language,
                accent,
                made: Some((2026, 200, 0)),
                blocks,
            },
        )
}

proptest! {
    #![proptest_config(ProptestConfig {
        cases: 96,
        failure_persistence: None,
        ..ProptestConfig::default()
    })]

    #[test]
    fn any_document_is_set_inside_its_pages_with_no_heading_at_a_foot(document in document()) {
        let (sheets, width, height) = laid_out(&document);
        stays_inside(&sheets, width, height);
        // Headings that fill a page by themselves have to end it. Fourteen of one line each, the
        // most there are here, do not.
        let is_short = |block: &Block| match block {
            Block::Heading { text, .. } => text.chars().count() <= 60,
            _ => true,
        };
        for sheet in sheets
            .iter()
            .rev()
            .skip(1)
            .filter(|_| document.blocks.iter().all(is_short))
        {
            prop_assert!(
                sheet.placed.last().is_some_and(|(_, strip)| !strip.lead),
                "a heading ends a page"
            );
        }
        let mut broken = document;
        broken.blocks = broken
            .blocks
            .into_iter()
            .flat_map(|block| [block, Block::NewPage])
            .collect();
        prop_assert!(typeset(&broken).is_ok());
    }
}
