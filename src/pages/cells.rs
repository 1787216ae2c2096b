//! Cells and tables for spreadsheets (CSV, RFC 4180: CRLF, a header row, UTF-8).
//!
//! In: texts and rows. Out: bytes.
//!
//! Tables begin with a byte order mark. RFC 4180 does not know it, but the spreadsheet that most
//! families have reads a file without one in the code page of its own country: `Łódź` and
//! `½ tablet` would be wrong on the screen and stay wrong once saved. Programs that read CSV know
//! the mark (`utf-8-sig`) or should take the JSON, which has none.
//!
//! A cell that begins with `=`, `+`, `-`, `@`, a tab or a line end is run as a formula by
//! spreadsheets. Texts of keepers that begin so have an apostrophe put before them, which
//! spreadsheets take for "this is text". Figures that are computed here are written as they are:
//! `-8` is a number. Whoever needs every text to the letter takes the JSON.

use csv::{Terminator, Writer, WriterBuilder};

/// U+FEFF in UTF-8.
pub(super) const BYTE_ORDER_MARK: &[u8] = b"\xef\xbb\xbf";

/// A text of a keeper that no spreadsheet takes for a formula.
pub(super) fn guarded(text: &str) -> String {
    let formula = text.starts_with(['=', '+', '-', '@', '\t', '\r', '\n', '＝', '＋', '－', '＠']);
    if formula {
        format!("'{text}")
    } else {
        text.to_owned()
    }
}

/// A table with a header row.
pub(super) fn table<R: AsRef<[u8]>, H: AsRef<[u8]>>(
    head: impl IntoIterator<Item = H>,
    rows: impl Iterator<Item = impl IntoIterator<Item = R>>,
) -> Result<Vec<u8>, csv::Error> {
    let mut writer: Writer<Vec<u8>> = WriterBuilder::new()
        .terminator(Terminator::CRLF)
        .from_writer(BYTE_ORDER_MARK.to_vec());
    writer.write_record(head)?;
    for row in rows {
        writer.write_record(row)?;
    }
    writer
        .into_inner()
        .map_err(|error| error.into_error().into())
}
