//! `undo`: takes back the latest change of the records, or the one that is named.
//!
//! In: the kennel's history. Out: the text as it was before, to the byte where nothing else changed
//! in the file since; what others changed elsewhere in it stays. A change whose place was changed
//! again is refused, with the change that comes first. Taking back is a change as well, and can be
//! taken back.

use crate::Error;
use crate::app::Outcome;
use crate::app::folder::Folder;
use crate::app::recording::{Changed, differing};
use crate::app::taking_back::{TakenBack, take_back, undone};
use crate::app::terminal::many;
use crate::output::{self, HistoryEntry};
use crate::records::showing::harmless;
use std::collections::BTreeSet;
use std::fmt::Write;
use std::path::Path;

/// Options of `undo`.
#[derive(Debug, clap::Args)]
pub(super) struct Options {
    /// The number of the change [default: the latest]
    #[arg(value_name = "N")]
    number: Option<u64>,
    /// List the latest changes, and write nothing
    #[arg(long, conflicts_with = "number")]
    list: bool,
}

/// How many changes are listed.
const LISTED: usize = 40;

pub(super) fn run(kennel: &Path, options: &Options) -> Result<Outcome, Error> {
    let folder = Folder::new(kennel)?;
    if options.list {
        let history = output::newest(&folder.state, usize::MAX);
        return Ok(Outcome::clean(list(&history, &undone(&history))));
    }
    let TakenBack {
        entry,
        number,
        changed,
        moved,
        has_errors,
    } = take_back(&folder, "undo", options.number)?;
    let mut out = String::new();
    for Changed { file, old, new } in changed {
        let text = |text: Option<String>| text.unwrap_or_default();
        let _ = write!(out, "{file}\n{}", differing(&text(old), &text(new)));
    }
    for (from, to) in moved {
        let _ = writeln!(out, "{from} becomes {to}");
    }
    let number = number.map_or_else(
        || "nothing was left of it".to_owned(),
        |number| format!("by change {number}"),
    );
    let _ = writeln!(
        out,
        "change {} of {} ({}) is taken back, {number}",
        entry.number,
        entry.shown_time(),
        entry.who
    );
    let err = if has_errors {
        "the records have errors now; `litterfolio inspect` says which\n".to_owned()
    } else {
        String::new()
    };
    Ok(Outcome::clean(out).noting(err))
}

fn list(history: &[HistoryEntry], undone: &BTreeSet<u64>) -> String {
    let mut out = String::new();
    for entry in history.iter().take(LISTED) {
        let state = if undone.contains(&entry.number) {
            "  (taken back)"
        } else {
            ""
        };
        let user = entry
            .user
            .as_deref()
            .map(|user| format!(", {user}"))
            .unwrap_or_default();
        let _ = writeln!(
            out,
            "{:>5}  {} UTC  {}{user}: {}{state}",
            entry.number,
            entry.shown_time(),
            entry.who,
            harmless(&entry.what)
        );
        let mut files: Vec<String> = entry
            .pieces
            .iter()
            .map(|piece| piece.file.clone())
            .collect();
        files.extend(
            entry
                .moves
                .iter()
                .map(|(from, to)| format!("{from} to {to}")),
        );
        files.retain(|file| *file != entry.what);
        for file in files.iter().take(4) {
            let _ = writeln!(out, "       {}", harmless(file));
        }
        if files.len() > 4 {
            let _ = writeln!(out, "       and {}", many(files.len() - 4, "file"));
        }
    }
    if out.is_empty() {
        "no change of the records is known\n".to_owned()
    } else {
        out
    }
}
