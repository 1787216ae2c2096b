//! `undo`: takes back the latest change of the records, or the one that is named.
//!
//! In: the kennel's history. Out: the text as it was before, to the byte where nothing else changed in the file since; what others changed elsewhere in it stays. A change whose place was changed again is refused, with the change that comes
//! first. Taking back is a change as well, and can be taken back.

use super::adding::asked;
use super::folder::Folder;
use super::set::differing;
use super::terminal::{self, many};
use super::{Outcome, Status};
use crate::Error;
use crate::output::{self, Asked, Entry, NotThere, Reading, Wish};
use crate::records::load;
use std::collections::{BTreeMap, BTreeSet};
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
    let history = output::newest(&folder.state, usize::MAX);
    let undone = undone(&history);
    if options.list {
        return Ok(Outcome::clean(list(&history, &undone)));
    }
    let entry = if let Some(number) = options.number {
        let entry = history.iter().find(|entry| entry.number == number);
        let entry = entry.ok_or_else(|| Error::Usage(format!("there is no change {number}; `litterfolio undo --list` lists the latest")))?;
        if undone.contains(&number) {
            return Err(Error::Usage(format!("change {number} is taken back already; `litterfolio undo --list` says by which change")));
        }
        entry
    } else {
        let latest = history.iter().find(|entry| entry.undoes.is_none() && !undone.contains(&entry.number));
        latest.ok_or_else(|| Error::Usage("there is no change that could be taken back".to_owned()))?
    };
    let what = format!("change {} ({}, {}) taken back", entry.number, entry.who, entry.what);
    let asked = Asked { undoes: Some(entry.number), ..asked("undo", &what) };
    let done = output::change(&folder.state, &folder.content, &asked, |reading| take_back(reading, entry))?;
    let (mut out, number) = done.map_err(|(file, why)| refused(&history, &undone, entry, &file, why))?;
    let number = number.map_or_else(|| "nothing was left of it".to_owned(), |number| format!("by change {number}"));
    let _ = writeln!(out, "change {} of {} ({}) is taken back, {number}", entry.number, shown_time(&entry.when), entry.who);
    let loaded = load(&folder.content, terminal::now())?;
    let err = if loaded.has_errors() { "the records have errors now; `litterfolio inspect` says which\n".to_owned() } else { String::new() };
    Ok(Outcome { out, err, status: Status::Clean })
}

/// The changes that are taken back: those for which a later one says so that is itself not taken back.
fn undone(newest_first: &[Entry]) -> BTreeSet<u64> {
    let mut undone = BTreeSet::new();
    for entry in newest_first {
        if let Some(earlier) = entry.undoes.filter(|_| !undone.contains(&entry.number)) {
            undone.insert(earlier);
        }
    }
    undone
}

type TakenBack = Result<Wish<String>, (String, NotThere)>;

fn take_back(reading: &mut Reading<'_>, entry: &Entry) -> Result<TakenBack, output::WriteError> {
    let mut files = BTreeMap::new();
    let mut told = String::new();
    for piece in &entry.pieces {
        let now = reading.file(&piece.file)?;
        let back = match piece.put_back(now.as_deref()) {
            Ok(back) => back,
            Err(why) => return Ok(Err((piece.file.clone(), why))),
        };
        let text = |bytes: &Option<Vec<u8>>| String::from_utf8_lossy(bytes.as_deref().unwrap_or_default()).into_owned();
        let _ = write!(told, "{}\n{}", piece.file, differing(&text(&now), &text(&back)));
        files.insert(piece.file.clone(), back);
    }
    let moves: Vec<_> = entry.moves.iter().rev().map(|(from, to)| (to.clone(), from.clone())).collect();
    for (from, to) in &moves {
        told.push_str(&format!("{from} becomes {to}\n"));
    }
    Ok(Ok(Wish { files, moves, told }))
}

/// Why a change cannot be taken back, and what to do.
fn refused(history: &[Entry], undone: &BTreeSet<u64>, entry: &Entry, file: &str, why: NotThere) -> Error {
    let touches = |later: &&Entry| {
        later.number > entry.number
            && !undone.contains(&later.number)
            && later.undoes.is_none_or(|earlier| earlier != entry.number)
            && (later.pieces.iter().any(|piece| piece.file == file) || later.moves.iter().any(|(from, _)| file.starts_with(from.as_str())))
    };
    let later: Vec<String> = history.iter().filter(touches).take(5).map(|later| later.number.to_string()).collect();
    let first = if later.is_empty() {
        "somebody changed it with an editor; change it there".to_owned()
    } else {
        format!("take back first what came later: {}", later.join(", "))
    };
    let what = match why {
        NotThere::Changed => "was changed at that place since, or is gone",
        NotThere::Several => "has several places now that read so",
    };
    Error::Usage(format!("change {} cannot be taken back: {file} {what}. Nothing was changed; {first}", entry.number))
}

/// `2026-10-09T12:00:00Z` without its signs for programs.
fn shown_time(when: &str) -> String {
    when.trim_end_matches('Z').replacen('T', " ", 1)
}

fn list(history: &[Entry], undone: &BTreeSet<u64>) -> String {
    let mut out = String::new();
    for entry in history.iter().take(LISTED) {
        let state = if undone.contains(&entry.number) { "  (taken back)" } else { "" };
        let user = entry.user.as_deref().map(|user| format!(", {user}")).unwrap_or_default();
        let _ = writeln!(out, "{:>5}  {} UTC  {}{user}: {}{state}", entry.number, shown_time(&entry.when), entry.who, plain(&entry.what));
        let mut files: Vec<String> = entry.pieces.iter().map(|piece| piece.file.clone()).collect();
        files.extend(entry.moves.iter().map(|(from, to)| format!("{from} to {to}")));
        files.retain(|file| *file != entry.what);
        for file in files.iter().take(4) {
            let _ = writeln!(out, "       {}", plain(file));
        }
        if files.len() > 4 {
            let _ = writeln!(out, "       and {}", many(files.len() - 4, "file"));
        }
    }
    if out.is_empty() { "no change of the records is known\n".to_owned() } else { out }
}

fn plain(text: &str) -> String {
    text.chars().map(|c| if c.is_control() { '\u{fffd}' } else { c }).collect()
}
