//! What stands in the way of the pages, shown to the keeper in their place.
//!
//! In: located problems and the texts they stand in, or why a run stopped. Out: [`ProblemsPage`]:
//! errors first, each with its place, the words it stands at, and what to type. At most so many
//! that a browser takes them; the rest is counted.

use crate::records::problem::{Located, Problem, Severity};
use crate::records::showing::harmless;
use crate::records::source::Sources;
use serde::Serialize;

/// How many problems are shown.
const MOST: usize = 200;
/// How many characters of a line are shown before, at and after the words that are meant.
const AROUND: usize = 60;

/// The page that stands in place of all others while they cannot be made.
#[derive(Debug, Clone, Serialize)]
pub struct ProblemsPage {
    /// The heading.
    pub title: String,
    /// What the keeper should know about this page.
    pub lead: &'static str,
    /// The problems.
    pub problems: Vec<ProblemShown>,
    /// How many more there are.
    pub more: usize,
    /// Why the run stopped, in lines; nothing when it is the records.
    pub stopped: Option<String>,
}

/// One problem.
#[derive(Debug, Clone, Serialize)]
pub struct ProblemShown {
    /// `error` or `warning`.
    pub severity: &'static str,
    /// Its stable code.
    pub code: &'static str,
    /// The file, below the content folder.
    pub file: String,
    /// File, line and column.
    pub place: String,
    /// What is wrong.
    pub message: Vec<TextPiece>,
    /// The line it stands in; nothing for a file as a whole.
    pub line: Option<LineShown>,
    /// Other places that belong to it.
    pub related: Vec<RelatedShown>,
    /// What to type.
    pub hint: Vec<TextPiece>,
}

/// A part of a text: plain, or as it is typed.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct TextPiece {
    /// The words.
    pub text: String,
    /// Whether they are something to type.
    pub typed: bool,
}

/// A line of a record.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct LineShown {
    /// Its number.
    pub number: usize,
    /// What stands before the words that are meant.
    pub before: String,
    /// The words that are meant.
    pub meant: String,
    /// What stands after them.
    pub after: String,
}

/// Another place that belongs to a problem.
#[derive(Debug, Clone, Serialize)]
pub struct RelatedShown {
    /// File and line.
    pub place: String,
    /// What is there.
    pub what: String,
}

impl ProblemsPage {
    /// While the pages are made for the first time.
    #[must_use]
    pub fn making() -> Self {
        let lead = "They take the place of this one by themselves.";
        Self {
            title: "The pages are being made".to_owned(),
            lead,
            problems: Vec::new(),
            more: 0,
            stopped: None,
        }
    }

    /// When a run stopped for another reason than the records.
    #[must_use]
    pub fn stopped(why: &str) -> Self {
        let lead = "The pages come back by themselves once this is mended.";
        let why = why.lines().map(harmless).collect::<Vec<_>>().join("\n");
        Self {
            title: "The pages cannot be made".to_owned(),
            lead,
            problems: Vec::new(),
            more: 0,
            stopped: Some(why),
        }
    }

    /// When the records have errors.
    #[must_use]
    pub fn of(problems: &[Located], sources: &Sources) -> Self {
        let is_error = |located: &&Located| located.problem.severity == Severity::Error;
        let (errors, warnings): (Vec<&Located>, Vec<&Located>) =
            problems.iter().partition(is_error);
        let title = if errors.len() == 1 {
            "One error in the records".to_owned()
        } else {
            format!("{} errors in the records", errors.len())
        };
        let lead = "Mend and save: the pages come back by themselves. The site that you published \
                    is as it was.";
        let shown = errors
            .iter()
            .chain(&warnings)
            .take(MOST)
            .map(|located| shown(located, sources))
            .collect();
        Self {
            title,
            lead,
            problems: shown,
            more: problems.len().saturating_sub(MOST),
            stopped: None,
        }
    }
}

fn shown(located: &Located, sources: &Sources) -> ProblemShown {
    let Located {
        problem,
        range,
        line,
        column,
        labels,
    } = located;
    let Problem {
        code,
        severity,
        message,
        place,
        labels: _,
        hint,
    } = problem;
    let file = in_kennel(&place.file);
    let related = labels.iter().map(|(place, range, what)| {
        let (line, _) = sources.line_and_column(&place.file, range.start());
        RelatedShown {
            place: format!("{}:{line}", in_kennel(&place.file)),
            what: harmless(what),
        }
    });
    ProblemShown {
        severity: severity.name(),
        code,
        file: place.file.clone(),
        place: if range.is_whole_file() {
            file
        } else {
            format!("{file}:{line}:{column}")
        },
        message: pieces(message),
        line: sources
            .text(&place.file)
            .filter(|_| !range.is_whole_file())
            .and_then(|text| line_of(text, range.bytes(), *line)),
        related: related.collect(),
        hint: pieces(hint),
    }
}

/// A file as seen from the kennel's folder.
fn in_kennel(file: &str) -> String {
    let file = harmless(file);
    file.strip_prefix("../")
        .map_or_else(|| format!("content/{file}"), str::to_owned)
}

/// The line of a range, cut where it is long. A range over many lines is shown to the end of its
/// first.
fn line_of(text: &str, range: std::ops::Range<usize>, number: usize) -> Option<LineShown> {
    let (before, rest) = text.split_at_checked(range.start)?;
    let before = &before[before.rfind('\n').map_or(0, |at| at + 1)..];
    let rest = rest
        .split('\n')
        .next()
        .unwrap_or_default()
        .trim_end_matches('\r');
    let (meant, after) = rest.split_at_checked(range.len()).unwrap_or((rest, ""));
    let skipped = before.chars().count().saturating_sub(AROUND);
    let end: String = before.chars().skip(skipped).collect();
    let before = if skipped > 0 {
        format!("…{end}")
    } else {
        end
    };
    Some(LineShown {
        number,
        before: harmless(&before),
        meant: cut(meant),
        after: cut(after),
    })
}

fn cut(text: &str) -> String {
    match text.char_indices().nth(AROUND) {
        Some((at, _)) => format!("{}…", harmless(&text[..at])),
        None => harmless(text),
    }
}

/// Splits a text at its backticks; one without a partner stays as it is.
fn pieces(text: &str) -> Vec<TextPiece> {
    let text = harmless(text);
    if text.matches('`').count() % 2 == 1 {
        return vec![TextPiece { text, typed: false }];
    }
    let parts = text
        .split('`')
        .enumerate()
        .filter(|(_, part)| !part.is_empty());
    parts
        .map(|(at, part)| TextPiece {
            text: part.to_owned(),
            typed: at % 2 == 1,
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_words_that_are_meant_stand_out_of_their_line() {
        let text = "name: Autumn\r\ndam: juno # é\nsire: corvin\n";
        let line = |range| line_of(text, range, 2).map(|l| (l.before, l.meant, l.after));
        let owned = |a: &str, b: &str, c: &str| Some((a.to_owned(), b.to_owned(), c.to_owned()));
        assert_eq!(line(19..23), owned("dam: ", "juno", " # é"));
        assert_eq!(line(0..4), owned("", "name", ": Autumn"));
        assert_eq!(line(14..40), owned("", "dam: juno # é", ""));
        assert_eq!(line(900..901), None);
        let long = format!("{}x{}", "a".repeat(500), "b".repeat(500));
        let shown = line_of(&long, 500..501, 1).unwrap();
        assert_eq!(
            (
                shown.before.chars().count(),
                shown.meant.as_str(),
                shown.after.chars().count()
            ),
            (AROUND + 1, "x", AROUND + 1)
        );
    }

    #[test]
    fn what_is_typed_stands_apart() {
        let piece = |text: &str, typed| TextPiece {
            text: text.to_owned(),
            typed,
        };
        assert_eq!(
            pieces("write `g` or `oz`"),
            [
                piece("write ", false),
                piece("g", true),
                piece(" or ", false),
                piece("oz", true)
            ]
        );
        assert_eq!(pieces("a ` alone"), [piece("a ` alone", false)]);
        assert_eq!(
            pieces("dir\u{202e}ection"),
            [piece("dir\u{fffd}ection", false)]
        );
    }
}
