//! The text of one record file, before anything in it is read.
//!
//! In: a path. Out: its text and where the YAML stands in it; or a problem that says why it is no
//! text of a record.

use super::problem::{Place, Problem};
use crate::cache::Digest;
use std::fs::File;
use std::io::{self, Read as _};
use std::ops::Range;
use std::path::Path;
use std::sync::Arc;

/// The largest record file that is read: some 60,000 weigh-ins.
pub(super) const LARGEST_RECORD: u64 = 8 * 1024 * 1024;

/// A text and the part of it that is YAML.
#[derive(Debug, Clone)]
pub struct Source {
    /// The whole text.
    pub text: Arc<str>,
    /// Bytes of the YAML in it: all of a `.yaml` file, the head of a `.md` file.
    pub yaml: Range<usize>,
}

impl Source {
    /// A text that is YAML from its beginning to its end.
    #[must_use]
    pub fn whole(text: &str) -> Self {
        Self {
            text: text.into(),
            yaml: 0..text.len(),
        }
    }
}

/// The text of a file that was known; nothing when it is another by now.
pub(super) fn source_of(file: &str, path: &Path, digest: Digest) -> Option<Source> {
    let (read, text) = read_text(file, path, &mut Vec::new())?;
    let yaml = yaml_in(file, &text, &mut Vec::new())?;
    (read == digest).then(|| Source {
        text: text.into(),
        yaml,
    })
}

/// The bytes of the YAML in a text: all of a record, the head of a Markdown file.
pub(super) fn yaml_in(file: &str, text: &str, problems: &mut Vec<Problem>) -> Option<Range<usize>> {
    if file.ends_with(".md") {
        head_of(file, text, problems)
    } else {
        Some(0..text.len())
    }
}

/// The text of a file, and the digest of its bytes.
pub(super) fn read_text(
    file: &str,
    path: &Path,
    problems: &mut Vec<Problem>,
) -> Option<(Digest, String)> {
    let mut refuse = |code, message: String, hint: &str| {
        problems.push(Problem::error(code, Place::file(file), message, hint));
        None
    };
    let bytes = match whole(path) {
        Ok(Ok(bytes)) => bytes,
        Ok(Err(length)) => {
            return refuse(
                "file-too-large",
                format!("this file has {} MB", length / 1_000_000),
                "a record file has at most 8 MB: is this the right file?",
            );
        }
        Err(error) => {
            return refuse(
                "file-unreadable",
                format!("this file cannot be read: {error}"),
                "look at its permissions",
            );
        }
    };
    let digest = Digest::of(&bytes);
    match String::from_utf8(bytes) {
        Ok(text) => Some((
            digest,
            text.strip_prefix('\u{feff}')
                .map(str::to_owned)
                .unwrap_or(text),
        )),
        Err(error) => {
            problems.push(not_utf_8(
                file,
                error.as_bytes(),
                error.utf8_error().valid_up_to(),
            ));
            None
        }
    }
}

/// All bytes of a file, or its length when it is too large to be read.
fn whole(path: &Path) -> io::Result<Result<Vec<u8>, u64>> {
    let file = File::open(path)?;
    let length = file.metadata()?.len();
    if length > LARGEST_RECORD {
        return Ok(Err(length));
    }
    let mut bytes = Vec::with_capacity(usize::try_from(length).unwrap_or_default() + 1);
    // It may grow while it is read.
    file.take(LARGEST_RECORD).read_to_end(&mut bytes)?;
    Ok(Ok(bytes))
}

/// That a file is no text; `good` bytes of it are.
pub(super) fn not_utf_8(file: &str, bytes: &[u8], good: usize) -> Problem {
    let hint = "open it in your editor, choose \"Save as\", and there the encoding \"UTF-8\"";
    // Every second byte of a text in UTF-16 that is mostly of Latin letters is 0.
    let zeros = bytes.iter().take(200).filter(|byte| **byte == 0).count();
    if bytes.starts_with(&[0xff, 0xfe])
        || bytes.starts_with(&[0xfe, 0xff])
        || zeros * 3 > bytes.len().min(200)
    {
        let message = "this file was saved in the encoding UTF-16 (\"Unicode\"), and not in UTF-8";
        return Problem::error("not-utf-8", Place::file(file), message, hint);
    }
    let line = bytes[..good].iter().filter(|b| **b == b'\n').count() + 1;
    let from = bytes[..good]
        .iter()
        .rposition(|b| *b <= b' ')
        .map_or(0, |at| at + 1);
    let word: String = bytes[from..]
        .iter()
        .take(40)
        .take_while(|b| **b > b' ')
        .map(|b| char::from(*b))
        .collect();
    let meant = if word.chars().all(|c| !c.is_control()) {
        format!(" (`{word}`?)")
    } else {
        String::new()
    };
    let message =
        format!("line {line} holds a letter that was not saved in the encoding UTF-8{meant}");
    Problem::error("not-utf-8", Place::file(file), message, hint)
}

/// The bytes of the YAML between the two `---` lines at the top of a Markdown file.
fn head_of(file: &str, text: &str, problems: &mut Vec<Problem>) -> Option<Range<usize>> {
    let hint = "begin the file with a line `---`, then date and title, then another line `---`";
    let mut lines = text.split_inclusive('\n');
    let Some(first) = lines.next().filter(|line| line.trim_end() == "---") else {
        problems.push(Problem::error(
            "head-missing",
            Place::bytes(file, 0..text.find('\n').unwrap_or(text.len())),
            "this file has no head",
            hint,
        ));
        return None;
    };
    let start = first.len();
    let mut end = start;
    for line in lines {
        if line.trim_end() == "---" {
            return Some(start..end);
        }
        end += line.len();
    }
    problems.push(Problem::error(
        "head-missing",
        Place::bytes(file, 0..3),
        "the head of this file does not end",
        hint,
    ));
    None
}
