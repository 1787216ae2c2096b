//! Problems of the records, as a terminal shows them.

use super::folder::Folder;
use super::outcome::Outcome;
use super::terminal::{self, many};
use crate::records::problem::{Located, Severity};
use crate::records::source::Sources;
use crate::records::{Loaded, showing};

/// All problems, drawn for the terminal.
pub fn shown(folder: &Folder, loaded: &Loaded) -> String {
    drawn(folder, &loaded.problems, &loaded.sources)
}

/// What a command answers that does nothing before the problems of the records are mended.
pub fn in_the_way(folder: &Folder, loaded: &Loaded, nothing_done: &str) -> Outcome {
    Outcome::problems(format!(
        "{}{}{nothing_done}\n",
        shown(folder, loaded),
        counts(loaded)
    ))
}

/// Some problems, drawn for the terminal.
pub fn drawn(folder: &Folder, problems: &[Located], sources: &Sources) -> String {
    let terminal = terminal::terminal();
    showing::for_people(
        problems,
        sources,
        &folder.shown_content(),
        terminal.width,
        terminal.colours,
    )
}

/// `2 errors, 1 warning`, when there are any.
pub fn counts(loaded: &Loaded) -> String {
    let count = |severity| {
        loaded
            .problems
            .iter()
            .filter(|p| p.problem.severity == severity)
            .count()
    };
    match (count(Severity::Error), count(Severity::Warning)) {
        (0, 0) => String::new(),
        (0, warnings) => format!(
            "{}; nothing stands in the way of publishing\n",
            many(warnings, "warning")
        ),
        (errors, 0) => format!("{}\n", many(errors, "error")),
        (errors, warnings) => format!("{}, {}\n", many(errors, "error"), many(warnings, "warning")),
    }
}
