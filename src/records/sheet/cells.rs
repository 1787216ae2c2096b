//! From bytes to cells: which characters, which sign between the columns, which quotes.
//!
//! In: a CSV file as spreadsheet programs write it: UTF-8 or UTF-16, with or without its mark;
//! commas, semicolons or tabs. Out: rows of cells, each knowing where it stands. The csv crate
//! reads such files too, but does not tell where a cell stands; the tests compare the two.

use crate::quantity::Unreadable;
use std::ops::Range;

/// One cell.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Cell {
    /// What stands in it, quotes taken off.
    pub(super) text: String,
    /// Its bytes in the text, without quotes and blanks around it.
    pub(super) range: Range<usize>,
    /// Its column, from 0.
    pub(super) column: usize,
}

impl Cell {
    /// `A`, `B`, … `AA`.
    pub(super) fn letters(&self) -> String {
        let mut letters = Vec::new();
        let mut rest = self.column + 1;
        while rest > 0 {
            rest -= 1;
            letters.push(char::from(b'A' + u8::try_from(rest % 26).unwrap_or(0)));
            rest /= 26;
        }
        letters.iter().rev().collect()
    }
}

/// One row.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Row {
    /// Its number, from 1; empty rows count.
    pub(super) number: usize,
    /// At least one.
    pub(super) cells: Vec<Cell>,
}

impl Row {
    pub(super) fn is_blank(&self) -> bool {
        self.cells.iter().all(|cell| is_blank(&cell.text))
    }

    /// From its first cell to its last.
    pub(super) fn range(&self) -> Range<usize> {
        let end = self.cells.last().map_or(0, |cell| cell.range.end);
        self.cells.first().map_or(end, |cell| cell.range.start)..end
    }
}

/// Whether a cell says nothing: empty, or a dash.
pub(super) fn is_blank(text: &str) -> bool {
    matches!(text.trim(), "" | "-" | "–" | "—")
}

/// The largest table that is read.
const LARGEST: usize = 8 * 1024 * 1024;

/// The bytes of a table as text, without the mark of their encoding.
pub(super) fn decode(bytes: &[u8]) -> Result<String, Unreadable> {
    if bytes.len() > LARGEST {
        return Err(Unreadable::new(
            "file-too-large",
            "this table is larger than 8 MB",
            "is this the right file?",
        ));
    }
    // What zip archives and the older office files begin with (PKWARE's APPNOTE; [MS-CFB] 2.2).
    if bytes.starts_with(b"PK\x03\x04") || bytes.starts_with(&[0xd0, 0xcf, 0x11, 0xe0]) {
        let hint =
            "open it in your spreadsheet program and save it as CSV (text, separated by commas)";
        return Err(Unreadable::new(
            "not-csv",
            "this is a spreadsheet file, not CSV",
            hint,
        ));
    }
    let wide = |from: usize, unit: fn([u8; 2]) -> u16| {
        let units = bytes[from..]
            .chunks_exact(2)
            .map(|pair| unit([pair[0], pair[1]]));
        char::decode_utf16(units)
            .collect::<Result<String, _>>()
            .map_err(|_| not_text())
    };
    match bytes {
        [0xff, 0xfe, ..] => wide(2, u16::from_le_bytes),
        [0xfe, 0xff, ..] => wide(2, u16::from_be_bytes),
        // A table begins with a plain letter, so the empty byte beside it tells the order.
        [first, 0, ..] if *first != 0 => wide(0, u16::from_le_bytes),
        [0, second, ..] if *second != 0 => wide(0, u16::from_be_bytes),
        _ => {
            let text = std::str::from_utf8(bytes).map_err(|_| not_text())?;
            Ok(text.strip_prefix('\u{feff}').unwrap_or(text).to_owned())
        }
    }
}

fn not_text() -> Unreadable {
    Unreadable::new(
        "not-utf-8",
        "this file holds characters that are neither UTF-8 nor UTF-16",
        "save it as “CSV UTF-8” in your spreadsheet program",
    )
}

/// All rows of a text, or the byte of a quote that is never closed.
pub(super) fn rows(text: &str) -> Result<Vec<Row>, usize> {
    let (begin, named) = named_delimiter(text);
    let delimiter = named.unwrap_or_else(|| delimiter(&text[begin..]));
    let first = usize::from(begin > 0) + 1;
    let (mut rows, mut cells, mut at) = (Vec::new(), Vec::new(), begin);
    loop {
        let (cell, end) = cell(text, at, delimiter, cells.len())?;
        cells.push(cell);
        let rest = &text[end..];
        if rest.starts_with(delimiter) {
            at = end + delimiter.len_utf8();
            continue;
        }
        rows.push(Row {
            number: first + rows.len(),
            cells: std::mem::take(&mut cells),
        });
        at = end
            + if rest.starts_with("\r\n") {
                2
            } else {
                usize::from(!rest.is_empty())
            };
        if at >= text.len() {
            return Ok(rows);
        }
    }
}

/// Reads one cell from `at`; given back with the byte behind it.
fn cell(text: &str, at: usize, delimiter: char, column: usize) -> Result<(Cell, usize), usize> {
    let is_end = |c: char| c == delimiter || matches!(c, '\n' | '\r');
    let blanks = text[at..]
        .find(|c: char| c != ' ')
        .unwrap_or(text.len() - at);
    let begin = at + blanks;
    if !text[begin..].starts_with('"') {
        let end = text[at..]
            .find(is_end)
            .map_or(text.len(), |length| at + length);
        let trimmed = text[at..end].trim();
        let start = at + text[at..end].find(trimmed).unwrap_or(0);
        return Ok((
            Cell {
                text: trimmed.to_owned(),
                range: start..start + trimmed.len(),
                column,
            },
            end,
        ));
    }
    let (mut inner, mut from) = (String::new(), begin + 1);
    loop {
        let close = from + text[from..].find('"').ok_or(begin)?;
        inner.push_str(&text[from..close]);
        from = close + 1;
        if !text[from..].starts_with('"') {
            let end = text[from..]
                .find(is_end)
                .map_or(text.len(), |length| from + length);
            inner.push_str(text[from..end].trim_end());
            return Ok((
                Cell {
                    text: inner,
                    range: begin + 1..close,
                    column,
                },
                end,
            ));
        }
        inner.push('"');
        from += 1;
    }
}

/// Some spreadsheets write `sep=;` above the table.
fn named_delimiter(text: &str) -> (usize, Option<char>) {
    let line = text.split_inclusive('\n').next().unwrap_or_default();
    let named = line
        .trim_end()
        .trim_matches('"')
        .strip_prefix("sep=")
        .map(|sign| sign.chars().next().unwrap_or('\t'));
    if named.is_some() {
        (line.len(), named)
    } else {
        (0, None)
    }
}

/// The sign that stands most often in the first row, outside quotes.
fn delimiter(text: &str) -> char {
    let mut counts = [('\t', 0), (';', 0), (',', 0)];
    let mut quoted = false;
    for c in text.trim_start_matches(['\n', '\r', ' ']).chars() {
        match c {
            '"' => quoted = !quoted,
            '\n' | '\r' if !quoted => break,
            _ if !quoted => counts
                .iter_mut()
                .filter(|(sign, _)| *sign == c)
                .for_each(|(_, count)| *count += 1),
            _ => {}
        }
    }
    // Among equals the first of the list: who writes semicolons has commas inside.
    counts
        .iter()
        .rev()
        .max_by_key(|(_, count)| *count)
        .filter(|(_, count)| *count > 0)
        .map_or(',', |(sign, _)| *sign)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn texts(text: &str) -> Vec<Vec<String>> {
        rows(text)
            .unwrap()
            .into_iter()
            .map(|row| row.cells.into_iter().map(|cell| cell.text).collect())
            .collect()
    }

    #[test]
    fn cells_know_where_they_stand() {
        let text = "at;fern\r\n\r\n 2026-10-06 ;\"231,\"\"5\"\r\n";
        let rows = rows(text).unwrap();
        assert_eq!(
            rows.iter().map(|row| row.number).collect::<Vec<_>>(),
            [1, 2, 3]
        );
        let cell = &rows[2].cells[1];
        assert_eq!(
            (
                cell.text.as_str(),
                &text[cell.range.clone()],
                cell.letters().as_str()
            ),
            ("231,\"5", "231,\"\"5", "B")
        );
        assert_eq!(
            Cell {
                column: 27,
                ..cell.clone()
            }
            .letters(),
            "AB"
        );
        assert_eq!(super::rows("at,fern\n2026,\"231\n"), Err(13));
    }

    #[test]
    fn the_sign_between_columns_is_found_by_looking() {
        assert_eq!(texts("a\tb\n1,5\t2"), [["a", "b"], ["1,5", "2"]]);
        assert_eq!(texts("a;b\n1,5;2"), [["a", "b"], ["1,5", "2"]]);
        assert_eq!(texts("a,\"b;c;d\"\n1,2"), [["a", "b;c;d"], ["1", "2"]]);
        assert_eq!(texts("sep=;\r\na;b,c,d\r\n"), [["a", "b,c,d"]]);
        assert_eq!(texts("sep=\t\na\tb\n"), [["a", "b"]]);
        assert_eq!(texts(""), [[""]]);
    }

    #[test]
    fn every_encoding_of_a_spreadsheet_is_read() {
        let text = "at\tZoë\n";
        let little: Vec<u8> = text.encode_utf16().flat_map(u16::to_le_bytes).collect();
        let big: Vec<u8> = text.encode_utf16().flat_map(u16::to_be_bytes).collect();
        for bytes in [
            text.as_bytes().to_vec(),
            format!("\u{feff}{text}").into_bytes(),
            [vec![0xff, 0xfe], little.clone()].concat(),
            [vec![0xfe, 0xff], big.clone()].concat(),
            little,
            big,
        ] {
            assert_eq!(decode(&bytes).unwrap(), text);
        }
        for (bytes, code) in [
            (&b"PK\x03\x04\x14"[..], "not-csv"),
            (b"at,Zo\xeb\n", "not-utf-8"),
            (&[0xff, 0xfe, 0x00, 0xd8], "not-utf-8"),
        ] {
            assert_eq!(decode(bytes).unwrap_err().code, code);
        }
    }

    proptest! {
        /// The csv crate is the judge: whatever it writes is read as it was.
        #[test]
        fn what_the_csv_crate_writes_is_read_back(
            table in proptest::collection::vec(
                proptest::collection::vec("[a-z0-9 ,;\"\t\n.é]{0,8}", 3),
                1..6,
            ),
            sign in prop_oneof![Just(b','), Just(b';'), Just(b'\t')],
            windows in any::<bool>(),
        ) {
            let end = if windows {
                csv::Terminator::CRLF
            } else {
                csv::Terminator::Any(b'\n')
            };
            let mut writer = csv::WriterBuilder::new()
                .delimiter(sign)
                .terminator(end)
                .quote_style(csv::QuoteStyle::Necessary)
                .from_writer(Vec::new());
            // The first row decides on the sign.
            writer.write_record(["at", "fern", "reed"]).unwrap();
            for row in &table {
                writer.write_record(row).unwrap();
            }
            let text = String::from_utf8(writer.into_inner().unwrap()).unwrap();
            let read = texts(&text);
            prop_assert_eq!(read.len(), table.len() + 1);
            for (read, row) in read[1..].iter().zip(&table) {
                let trim = |cells: &[String]| {
                    cells
                        .iter()
                        .map(|cell| cell.trim().to_owned())
                        .collect::<Vec<_>>()
                };
                prop_assert_eq!(trim(read), trim(row), "{:?}", text);
            }
        }

        #[test]
        fn no_bytes_make_it_panic(
            bytes in proptest::collection::vec(any::<u8>(), 0..60),
            text in "[\",;\t\n\r a]{0,30}",
        ) {
            if let Ok(text) = decode(&bytes) {
                let _ = rows(&text);
            }
            for row in rows(&text).unwrap_or_default() {
                for cell in row.cells {
                    prop_assert!(text.get(cell.range).is_some());
                }
            }
        }
    }
}
