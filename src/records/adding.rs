//! Adding entries to a record file that is a list, so that what stands there stays byte for byte.
//!
//! In: the text of `weights.yaml` or `health.yaml` and new [`NewEntry`]s. Out: the new text with
//! the entries at its end, and where they stand ([`Own`]), so that whoever wrote them can go on
//! with them. The new text has been read by the ordinary reader and holds the old records and the
//! new ones, nothing else; where that cannot be had, the file is refused with a problem and a hint.
//!
//! Never: a changed byte of what somebody else wrote, a guess at a broken file, a file on disk
//! (that is `output`).

mod entry;

pub(super) use entry::scalar;
pub use entry::{EntryValue, NewEntry};

use super::problem::{Place, Problem};
use super::weights::{self, WeightsBlock};
use super::{Shared, WeighIn, reading, text_file};
use saphyr_parser::{Event, Parser};
use schemars::JsonSchema;
use serde::de::DeserializeOwned;
use std::ops::Range;

/// What was put into a text, so that it can be found again.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Own {
    /// Byte at which it begins.
    at: usize,
    /// The text itself, line ends included.
    part: String,
}

/// A text to which entries were added.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Added {
    /// The whole new text.
    pub text: String,
    /// The part that is new.
    pub own: Own,
}

impl Added {
    /// The lines that are new, as they stand in the file.
    #[must_use]
    pub fn lines(&self) -> &str {
        self.own.part.trim_start_matches(['\n', '\r'])
    }
}

/// A file that can be a list of records of one kind.
pub trait ListedEntry: DeserializeOwned + JsonSchema + PartialEq {}
impl<T: DeserializeOwned + JsonSchema + PartialEq> ListedEntry for T {}

/// The bytes of a record file as text.
///
/// # Errors
/// When they are no UTF-8.
pub fn text<'a>(file: &str, bytes: &'a [u8]) -> Result<&'a str, Vec<Problem>> {
    std::str::from_utf8(bytes)
        .map_err(|error| vec![text_file::not_utf_8(file, bytes, error.valid_up_to())])
}

/// Reads the list in a text; the places of problems are counted without a byte order mark, as
/// everywhere.
///
/// # Errors
/// All problems of the text.
pub fn list<T: ListedEntry>(file: &str, text: &str) -> Result<Vec<T>, Vec<Problem>> {
    let text = bare(text);
    let mut problems = Vec::new();
    let list = reading::read(file, text, 0..text.len(), &mut problems).unwrap_or_default();
    if problems.is_empty() {
        Ok(list)
    } else {
        Err(problems)
    }
}

/// The weigh-ins in a text, in the order of time.
///
/// # Errors
/// All problems of the text.
pub fn weigh_ins(file: &str, text: &str) -> Result<Shared<Vec<WeighIn>>, Vec<Problem>> {
    let blocks = list::<WeightsBlock>(file, text)?;
    let mut problems = Vec::new();
    let read = weights::resolve(file, blocks, true, &mut problems);
    if problems.is_empty() {
        Ok(read.list)
    } else {
        Err(problems)
    }
}

/// Adds entries at the end of the list in `text`, the text of `file` (its path below the content
/// folder; used in problems only). An empty text is an empty list. `is_wanted` is shown the entries
/// as the reader understands them, and says whether they are what was meant.
///
/// # Errors
/// Problems of the text as it stands, or one that says why nothing can be added; the text is then
/// to be left as it is.
pub fn add<T: ListedEntry>(
    file: &str,
    text: &str,
    entries: &[NewEntry],
    is_wanted: impl FnOnce(&[T]) -> bool,
) -> Result<Added, Vec<Problem>> {
    let old = list::<T>(file, text)?;
    let shape = ListShape::of(file, text)?;
    let lines = entries
        .iter()
        .map(|entry| entry.lines(&shape.indent, shape.line_end))
        .collect::<String>();
    let part = format!("{}{lines}", shape.before(text));
    let new = format!("{}{part}{}", &text[..shape.end], &text[shape.end..]);
    let own = Own {
        at: shape.end,
        part,
    };
    let from = old.len();
    checked(file, new, own, |new: &[T]| {
        new.len() == from + entries.len() && new[..from] == old[..] && is_wanted(&new[from..])
    })
}

/// Writes an entry of our own anew, or takes it out: the one that an earlier [`add`] or [`renew`]
/// put into the file. What others wrote before or behind it meanwhile stays; nothing when our part
/// is no longer there as we left it.
///
/// # Errors
/// As [`add`].
pub fn renew<T: ListedEntry>(
    file: &str,
    text: &str,
    own: &Own,
    entry: Option<&NewEntry>,
    is_wanted: impl FnOnce(&[T]) -> bool,
) -> Result<Option<Added>, Vec<Problem>> {
    let Some(range) = place(text, own) else {
        return Ok(None);
    };
    let old = list::<T>(file, text)?;
    let index = list::<T>(file, &text[..range.start])?.len();
    let shape = ListShape::of(file, text)?;
    // The line end that was missing before our part belongs to it.
    let lead: String = own
        .part
        .chars()
        .take_while(|c| matches!(c, '\n' | '\r'))
        .collect();
    let part = entry
        .map(|entry| format!("{lead}{}", entry.lines(&shape.indent, shape.line_end)))
        .unwrap_or(if range.end < text.len() {
            lead.clone()
        } else {
            String::new()
        });
    let new = format!("{}{part}{}", &text[..range.start], &text[range.end..]);
    let own = Own {
        at: range.start,
        part,
    };
    let count = usize::from(entry.is_some());
    let is_right = |new: &[T]| {
        index < old.len() && new.len() == old.len() - 1 + count && {
            let (before, rest) = new.split_at(index);
            let (ours, behind) = rest.split_at(count);
            before == &old[..index] && behind == &old[index + 1..] && is_wanted(ours)
        }
    };
    checked(file, new, own, is_right).map(Some)
}

/// Where our part stands now: where it stood, or in the one place where the same text stands.
fn place(text: &str, own: &Own) -> Option<Range<usize>> {
    let length = own.part.len();
    if text
        .get(own.at..)
        .is_some_and(|rest| rest.starts_with(&own.part))
    {
        return Some(own.at..own.at + length);
    }
    let mut found = text.match_indices(&own.part);
    let (at, _) = found.next()?;
    found.next().is_none().then_some(at..at + length)
}

fn checked<T: ListedEntry>(
    file: &str,
    text: String,
    own: Own,
    is_right: impl FnOnce(&[T]) -> bool,
) -> Result<Added, Vec<Problem>> {
    if text.len() as u64 > text_file::LARGEST_RECORD {
        let hint = "move the oldest entries into a file outside the content folder";
        return Err(vec![Problem::error(
            "file-too-large",
            Place::file(file),
            "this file would be larger than 8 MB",
            hint,
        )]);
    }
    // Problems of the new text are not the keeper's: the file was whole before.
    match list::<T>(file, &text) {
        Ok(new) if is_right(&new) => Ok(Added { text, own }),
        _ => Err(vec![cannot(file, 0..0)]),
    }
}

fn cannot(file: &str, at: Range<usize>) -> Problem {
    Problem::error(
        "cannot-add",
        if at.is_empty() {
            Place::file(file)
        } else {
            Place::bytes(file, at)
        },
        "nothing can be added to this file without changing what stands in it",
        "write each entry on lines of its own, the first beginning with `- `, all of them equally \
         far from the margin",
    )
}

/// The text without a byte order mark.
fn bare(text: &str) -> &str {
    text.strip_prefix('\u{feff}').unwrap_or(text)
}

/// How a list is written, and where it ends.
struct ListShape {
    /// What stands before each dash.
    indent: String,
    line_end: &'static str,
    /// The byte behind the last entry: the end of the text, or where a line `...` ends the
    /// document.
    end: usize,
}

impl ListShape {
    fn of(file: &str, text: &str) -> Result<Self, Vec<Problem>> {
        let end = lines(text)
            .find(|(_, line)| ends_document(line))
            .map_or(text.len(), |(at, line)| at + line.len() - bare(line).len());
        let line_end = match text[..end].rfind(['\n', '\r']) {
            Some(at) if text[..=at].ends_with("\r\n") => "\r\n",
            Some(at) if text[..=at].ends_with('\r') => "\r",
            _ => "\n",
        };
        let indent = match root(bare(&text[..end])) {
            Root::Nothing => String::new(),
            Root::Brackets(at) => return Err(vec![in_brackets(file, at)]),
            Root::Lines => {
                let dashed = lines(bare(text)).find_map(|(_, line)| indent_of_dash(line));
                dashed
                    .map(str::to_owned)
                    .ok_or_else(|| vec![cannot(file, 0..0)])?
            }
            Root::Other(at) => return Err(vec![cannot(file, at)]),
        };
        Ok(Self {
            indent,
            line_end,
            end,
        })
    }

    /// The line end that is missing behind the last line.
    fn before(&self, text: &str) -> &'static str {
        let before = bare(&text[..self.end]);
        if before.is_empty() || before.ends_with(['\n', '\r']) {
            ""
        } else {
            self.line_end
        }
    }
}

/// What a document is.
enum Root {
    Nothing,
    /// A list, each entry on its own lines.
    Lines,
    /// A list in `[` and `]`.
    Brackets(Range<usize>),
    Other(Range<usize>),
}

fn root(text: &str) -> Root {
    let bytes = |span: saphyr_parser::Span| {
        let byte = |index| {
            text.char_indices()
                .nth(index)
                .map_or(text.len(), |(byte, _)| byte)
        };
        byte(span.start.index())..byte(span.end.index())
    };
    for event in Parser::new_from_str(text) {
        let Ok((event, span)) = event else {
            return Root::Other(0..0);
        };
        match event {
            Event::Nothing | Event::StreamStart | Event::DocumentStart(_) => {}
            Event::SequenceStart(..) => {
                let at = bytes(span);
                return if text[at.start..].starts_with('[') {
                    Root::Brackets(at.start..at.start + 1)
                } else {
                    Root::Lines
                };
            }
            // A document without content is an empty value of no length.
            Event::Scalar(..) if bytes(span).is_empty() => return Root::Nothing,
            Event::StreamEnd | Event::DocumentEnd => return Root::Nothing,
            _ => return Root::Other(bytes(span)),
        }
    }
    Root::Nothing
}

fn in_brackets(file: &str, at: Range<usize>) -> Problem {
    Problem::error(
        "list-in-brackets",
        Place::bytes(file, at),
        "this list is written in brackets, and nothing can be added behind it",
        "write each entry on lines of its own, the first beginning with `- `; an empty list needs \
         no brackets at all",
    )
}

/// The lines of a text without their ends, each with the byte it begins at.
fn lines(text: &str) -> impl Iterator<Item = (usize, &str)> {
    let mut at = 0;
    text.split_inclusive('\n')
        .flat_map(|line| line.split_inclusive('\r'))
        .map(move |line| {
            let begin = at;
            at += line.len();
            (begin, line.trim_end_matches(['\n', '\r']))
        })
}

/// A line of three dots ends a document wherever it stands, even inside a text of several lines
/// (YAML 1.2, section 9.1.2).
fn ends_document(line: &str) -> bool {
    bare(line)
        .strip_prefix("...")
        .is_some_and(|rest| rest.is_empty() || rest.starts_with([' ', '\t']))
}

fn indent_of_dash(line: &str) -> Option<&str> {
    let entry = line.trim_start_matches(' ');
    let is_dash = entry == "-" || entry.starts_with("- ") || entry.starts_with("-\t");
    is_dash.then(|| &line[..line.len() - entry.len()])
}

#[cfg(test)]
mod tests;
