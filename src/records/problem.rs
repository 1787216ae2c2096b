//! Problems: what is wrong with a record file, where, and what to type instead.
//!
//! In: places as key paths, while checks run. Out: a sorted list with lines and columns, for the
//! terminal (`showing`) or as JSON. Problems never mix with the errors that stop a run, and one
//! problem never hides the next.

use super::stretch::Stretch;
use crate::quantity::Unreadable;
use std::ops::Range;

/// How bad a problem is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Severity {
    /// The record is not published.
    Error,
    /// The record is published; the keeper should look.
    Warning,
}

impl Severity {
    /// `error` or `warning`.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Error => "error",
            Self::Warning => "warning",
        }
    }
}

/// One step on the way from the top of a file to a value.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub enum Step {
    /// The value of a key.
    Key(String),
    /// A key itself, where it is the name that is wrong.
    Name(String),
    /// An entry of a list, from 0.
    Index(usize),
}

impl From<&str> for Step {
    fn from(key: &str) -> Self {
        Self::Key(key.to_owned())
    }
}

impl From<usize> for Step {
    fn from(index: usize) -> Self {
        Self::Index(index)
    }
}

/// Writes a path to a value: `key_path!["puppies", 2, "ribbon"]`.
#[macro_export]
macro_rules! key_path {
    ($($step:expr),* $(,)?) => { vec![$($crate::problem::Step::from($step)),*] };
}
pub use crate::key_path;

/// Where in a file something stands.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub enum At {
    /// The file as a whole.
    File,
    /// The value at the end of a path, or the nearest thing above it that exists.
    Path(Vec<Step>),
    /// Bytes of the text.
    Bytes(usize, usize),
}

/// A file and a place in it.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Place {
    /// Path below the content folder, with `/`.
    pub file: String,
    /// Where in it.
    pub at: At,
}

impl Place {
    /// The file as a whole.
    #[must_use]
    pub fn file(file: &str) -> Self {
        Self {
            file: file.to_owned(),
            at: At::File,
        }
    }

    /// The value at the end of a path.
    #[must_use]
    pub fn path(file: &str, path: Vec<Step>) -> Self {
        Self {
            file: file.to_owned(),
            at: At::Path(path),
        }
    }

    /// Bytes of the text.
    #[must_use]
    pub fn bytes(file: &str, range: Range<usize>) -> Self {
        Self {
            file: file.to_owned(),
            at: At::Bytes(range.start, range.end),
        }
    }
}

/// Something wrong with a record file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Problem {
    /// Stable code, such as `puppy-unknown`.
    pub code: &'static str,
    /// How bad.
    pub severity: Severity,
    /// What is wrong, a lowercase phrase.
    pub message: String,
    /// Where.
    pub place: Place,
    /// Other places that belong to it, each with a word.
    pub labels: Vec<(Place, String)>,
    /// What to do, at least one.
    pub hint: String,
}

impl Problem {
    /// An error at a place.
    #[must_use]
    pub fn error(
        code: &'static str,
        place: Place,
        message: impl Into<String>,
        hint: impl Into<String>,
    ) -> Self {
        Self {
            code,
            severity: Severity::Error,
            message: message.into(),
            place,
            labels: Vec::new(),
            hint: hint.into(),
        }
    }

    /// A warning at a place.
    #[must_use]
    pub fn warning(
        code: &'static str,
        place: Place,
        message: impl Into<String>,
        hint: impl Into<String>,
    ) -> Self {
        Self {
            severity: Severity::Warning,
            ..Self::error(code, place, message, hint)
        }
    }

    /// The problem of a value that could not be read.
    #[must_use]
    pub fn unreadable(place: Place, why: Unreadable) -> Self {
        Self::error(why.code, place, why.message, why.hint)
    }

    /// Adds another place that belongs to the problem.
    #[must_use]
    pub fn and(mut self, place: Place, word: impl Into<String>) -> Self {
        self.labels.push((place, word.into()));
        self
    }
}

/// A problem whose place has been found in the text.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Located {
    /// The problem.
    pub problem: Problem,
    /// The part of the text it stands at.
    pub range: Stretch,
    /// Line, from 1.
    pub line: usize,
    /// Column in characters, from 1.
    pub column: usize,
    /// Where each label stands, in this file or in another.
    pub labels: Vec<(Place, Stretch, String)>,
}
