//! One comment line in a finished file.
//!
//! In: the bytes of a PDF and a line of text. Out: the same with the line in it.
//! It never moves an object, so that every offset in the file stays true.

const KEYWORD: &[u8] = b"startxref";

/// Puts the line `%comment` right before the last `startxref` of a PDF.
///
/// A comment is white space to every reader. Line ends inside `comment` become spaces, so that it
/// stays one line. Bytes without the keyword are no PDF and come back as they are.
#[must_use]
pub fn with_comment(mut pdf: Vec<u8>, comment: &str) -> Vec<u8> {
    let Some(at) = pdf
        .windows(KEYWORD.len())
        .rposition(|window| window == KEYWORD)
    else {
        return pdf;
    };
    let alone = at == 0
        || pdf
            .get(at - 1)
            .is_some_and(|byte| matches!(byte, b'\n' | b'\r'));
    let line = format!(
        "{}%{}\n",
        if alone { "" } else { "\n" },
        comment.replace(['\n', '\r', '\0', '\u{C}'], " ")
    );
    pdf.splice(at..at, line.into_bytes());
    pdf
}
