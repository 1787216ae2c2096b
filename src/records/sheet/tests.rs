//! Tables as three spreadsheet programs and a phone write them, and tables with every sort of
//! fault.

use super::*;
use crate::problem::At;
use proptest::prelude::*;

fn folder() -> LitterFolder {
    let text = "name: Spring\ndam: a\nsire: b\nbirth: { on: 2026-04-01, how: natural \
                }\npuppies:\n  - { id: moss, ribbon: green, sex: female, born: \"09:14\", weight: \
                224 g }\n  - { id: wren, name: Zoë, ribbon: blue, sex: male }\n  - { id: ash, \
                sex: male, fate: died, on: 2026-04-03 }\n";
    let litter = serde_yaml::from_str(text).unwrap();
    LitterFolder {
        id: "spring".parse().unwrap(),
        litter,
        weigh_ins: crate::cache::Tracked::default(),
        bare_unit: None,
        health: crate::cache::Tracked::default(),
        notes: crate::cache::Tracked::default(),
        photos: crate::cache::Tracked::default(),
    }
}

fn setting() -> Setting {
    Setting {
        unit: WeightUnit::Gram,
        zone: Tz::Europe__London,
        latest: "2026-05-09 12:00".parse().unwrap(),
        at: None,
        by: None,
    }
}

fn sheet(text: &str) -> Sheet {
    read("w.csv", text.as_bytes(), &folder(), &setting())
}

/// Each weigh-in on one line.
fn shown(sheet: &Sheet) -> Vec<String> {
    assert_eq!(sheet.problems, [], "{}", sheet.text);
    let weights = |row: &Taken| {
        row.weights
            .iter()
            .map(|value| format!(" {}={}", value.puppy, value.written))
            .collect::<String>()
    };
    let words = |row: &Taken| {
        [&row.by, &row.remark]
            .map(|text| text.as_ref().map_or("", |text| text.as_str()))
            .join("|")
    };
    sheet
        .rows
        .iter()
        .map(|row| format!("{} {}{}", row.at, words(row), weights(row)))
        .collect()
}

/// The code of each problem, and where it says it is.
fn faults(text: &str) -> Vec<(&'static str, String)> {
    let sheet = sheet(text);
    for problem in &sheet.problems {
        assert!(
            !problem.hint.is_empty()
                && matches!(problem.place.at, At::Bytes(start, end) if start < end)
                    | sheet.text.is_empty(),
            "{problem:?}"
        );
    }
    sheet
        .problems
        .iter()
        .map(|p| {
            (
                p.code,
                p.message
                    .split_once(": ")
                    .map_or("", |(place, _)| place)
                    .to_owned(),
            )
        })
        .collect()
}

const READ: [&str; 2] = [
    "2026-04-16 07:30 N.|both full, and asleep moss=431.5 g wren=15 1/4 oz",
    "2026-04-17 19:05 | wren=440 g",
];

#[test]
fn three_spreadsheet_programs_and_a_phone() {
    // Commas and UTF-8, dates as the United Kingdom writes them.
    let commas = "at,by,remark,moss,wren\r\n16/04/2026 07:30,N.,\"both full, and \
                  asleep\",431.5,15 1/4 oz\r\n17/04/2026 19:05,,,,440\r\n";
    // Semicolons, decimal commas and the mark of UTF-8, columns by name and ribbon, time in a
    // column of its own.
    let semicolons = "\u{feff}Datum;Date;Time;By;Green \
                      (g);Zoë;Remark;\r\n;16.04.2026;07:30:00;N.;431,5;15 1/4 oz;both full, and \
                      asleep;\r\n;17.04.2026;19:05;;;440;;\r\n;;;;;;;\r\n";
    let semicolons = semicolons.replacen("Datum", "", 1);
    // Tabs and UTF-16, as “Unicode text”.
    let tabs = "Date and time\tWeighed by\tBLUE [g]\tmoss\tNotes\r\n2026-04-16 07:30\tN.\t15 1/4 \
                oz\t431,5\t\"both full, and asleep\"\r\n2026-04-17 19:05\t\t440\t\t\r\n";
    let tabs: Vec<u8> = [0xff, 0xfe]
        .into_iter()
        .chain(tabs.encode_utf16().flat_map(u16::to_le_bytes))
        .collect();
    // The weigh-in sheet on the phone.
    let phone = "at,by,remark,moss,wren\n2026-04-16 07:30,N.,\"both full, and asleep\",431.5 g,15 \
                 1/4 oz\n2026-04-17 19:05,,,,440 g\n";
    for bytes in [commas.as_bytes(), semicolons.as_bytes(), phone.as_bytes()] {
        assert_eq!(shown(&read("w.csv", bytes, &folder(), &setting())), READ);
    }
    let wren_first = READ[0].replace("moss=431.5 g wren=15 1/4 oz", "wren=15 1/4 oz moss=431.5 g");
    assert_eq!(
        shown(&read("w.csv", &tabs, &folder(), &setting())),
        [wren_first.as_str(), READ[1]]
    );
}

#[test]
fn a_bare_number_takes_its_unit_from_head_or_setting_and_a_unit_of_its_own_stands_above_both() {
    let text = "at,moss (oz),wren\n2026-04-16 07:30,15.2,431\n2026-04-17 07:30,431 g,15.2 oz\n";
    assert_eq!(
        shown(&sheet(text)),
        [
            "2026-04-16 07:30 | moss=15.2 oz wren=431 g",
            "2026-04-17 07:30 | moss=431 g wren=15.2 oz"
        ]
    );
    let ounces = read(
        "w.csv",
        b"at,moss\n2026-04-16 07:30,15.2\n",
        &folder(),
        &Setting {
            unit: WeightUnit::Ounce,
            ..setting()
        },
    );
    assert_eq!(shown(&ounces), ["2026-04-16 07:30 | moss=15.2 oz"]);
}

#[test]
fn a_table_of_one_row_may_leave_its_time_to_the_command_line() {
    let at = Some("2026-04-16 07:30".parse().unwrap());
    let one = read(
        "w.csv",
        b"moss,wren\n431,440\n",
        &folder(),
        &Setting { at, ..setting() },
    );
    assert_eq!(shown(&one), ["2026-04-16 07:30 | moss=431 g wren=440 g"]);
    let two = read(
        "w.csv",
        b"moss,wren\n431,440\n433,442\n",
        &folder(),
        &Setting { at, ..setting() },
    );
    assert_eq!(two.problems[0].code, "time-missing");
}

#[test]
fn every_fault_has_its_row_and_column_and_all_are_told_at_once() {
    let text = "at,moss,fren,moss,wren\n2026-04-16 07:30,43l,1,2,0 g\n2026-06-16 \
                07:30,431,,,440\n03/04/2026 08:00,431,,,\n2026-03-31 07:30,431,,,440 g \
                g\n,431,,,440\n\n2026-04-20 07:30,431,,,440,7\n";
    let expected = [
        ("puppy-unknown", "row 1, column C"),
        ("column-twice", "row 1, column D"),
        ("unit-unknown", "row 2, column B"),
        ("out-of-range", "row 2, column E"),
        ("in-the-future", "row 3, column A"),
        ("date-unclear", "row 4, column A"),
        ("before-birth", "row 5, column B"),
        ("before-birth", "row 5, column E"),
        ("time-missing", "row 6, column A"),
        ("cell-beyond", "row 8, column F"),
    ];
    assert_eq!(
        faults(text),
        expected.map(|(code, place)| (code, place.to_owned()))
    );
}

#[test]
fn each_sort_of_fault_says_what_it_is() {
    for (text, code) in [
        ("", "sheet-empty"),
        ("at,moss\n", "sheet-empty"),
        ("at,by\n2026-04-16 07:30,N.\n", "column-missing"),
        ("by,moss\nN.,431\n", "time-missing"),
        ("at,moss\n2026-04-16 07:30,\"431\n", "quote-open"),
        ("at,moss (stone)\n2026-04-16 07:30,431\n", "unit-unknown"),
        ("at,moss (blue)\n2026-04-16 07:30,431\n", "unit-unknown"),
        ("at,moss,\n2026-04-16 07:30,431,440\n", "column-unnamed"),
        ("at,moss\n2026-04-16 07:30,231,5\n", "cell-beyond"),
        ("at,moss\n46127.3125,431\n", "day-number"),
        ("date,time,moss\n2026-04-16,,431\n", "not-a-time"),
        ("date,moss\n2026-04-16,431\n", "time-missing"),
        ("at,moss\n2026-04-01 09:13,431\n", "before-birth"),
        ("at,ash\n2026-04-04 07:30,431\n", "after-death"),
        ("at,moss\n2026-04-16 07:30,300 kg\n", "out-of-range"),
        ("at,moss\n2026-04-16 07:30,#REF!\n", "not-a-weight"),
        (
            "at,moss,by\n2026-04-16 07:30,431,N\u{202e}.\n",
            "control-character",
        ),
        ("at;moss\n2026-04-16 07:30;1,2,3\n", "not-a-weight"),
    ] {
        assert!(
            faults(text).iter().any(|(found, _)| *found == code),
            "{text:?}: {:?}",
            faults(text)
        );
    }
    assert_eq!(
        shown(&sheet("at,ash\n2026-04-03 07:30,131\n")),
        ["2026-04-03 07:30 | ash=131 g"],
        "on its last day it may have been weighed"
    );
    assert_eq!(
        read("w.csv", b"PK\x03\x04", &folder(), &setting()).problems[0].code,
        "not-csv"
    );
}

#[test]
fn blank_cells_are_puppies_that_were_not_weighed() {
    let text = "at,moss,wren\n2026-04-16 07:30,,–\n2026-04-16 19:30,-,440\n,,\n";
    assert_eq!(
        shown(&sheet(text)),
        ["2026-04-16 07:30 |", "2026-04-16 19:30 | wren=440 g"]
    );
}

proptest! {
    #[test]
    fn no_table_makes_it_panic(
        text in "(at|date|time|moss|wren|by|[,;\t\n\"]|2026-04-16 07:30|[0-9./]{1,6}| \
            |g|oz|é){0,40}",
        bytes in proptest::collection::vec(any::<u8>(), 0..80),
    ) {
        for sheet in [sheet(&text), read("w.csv", &bytes, &folder(), &setting())] {
            for problem in sheet.problems {
                if let super::super::problem::At::Bytes(start, end) = problem.place.at {
                    prop_assert!(sheet.text.get(start..end).is_some() || sheet.text.is_empty());
                }
            }
        }
    }
}
