//! `set`: one place of a record becomes another; nothing else in the file does.
//!
//! In: a record file, a place in it such as `puppies.moss.offer`, and a value. Out: the lines before and after, and the change in the history. The new text is read and checked with all other records before it is written: what
//! would be an error is refused, with its place and a hint.

use super::adding::{Refused, asked};
use super::folder::Folder;
use super::{Outcome, Status, terminal};
use crate::Error;
use crate::output::{self, Reading, Wish};
use crate::quantity::Id;
use crate::records::changing::{self, Change, typed};
use crate::records::problem::{Located, Problem, Severity, Step};
use crate::records::{AsIf, Loaded, adding, load, load_as, showing};
use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write;
use std::path::Path;

/// Options of `set`.
#[derive(Debug, clap::Args)]
pub(super) struct Options {
    /// The record, below the folder `content`: litters/summer-2026/litter.yaml
    #[arg(value_name = "FILE")]
    file: String,
    /// The place in it: puppies.moss.offer; an entry of a list by its id, its time, its place from 1, or `last`; `.` is the whole record
    #[arg(value_name = "PLACE")]
    place: String,
    /// The value; lists in brackets: [moss, wren], keys in braces: { by: x-ray, on: 2026-09-28 }
    #[arg(value_name = "VALUE", required_unless_present_any = ["take_out", "to", "key"], allow_hyphen_values = true)]
    value: Option<String>,
    /// Add VALUE to the list at PLACE
    #[arg(long)]
    add: bool,
    /// Add it before this entry, from 1 [default: behind the last]
    #[arg(long, value_name = "N", requires = "add", value_parser = clap::value_parser!(u32).range(1..))]
    before: Option<u32>,
    /// Take the key or the entry out; with the place `.` the whole file
    #[arg(long, conflicts_with_all = ["value", "add", "to", "key"])]
    take_out: bool,
    /// Move the entry to this place of its list, from 1
    #[arg(long, value_name = "N", conflicts_with_all = ["value", "add", "key"], value_parser = clap::value_parser!(u32).range(1..))]
    to: Option<u32>,
    /// Give the key another name; `rename` does so for a puppy, wherever it is named
    #[arg(long, value_name = "NAME", conflicts_with_all = ["value", "add"])]
    key: Option<String>,
    /// Show what would change, and write nothing
    #[arg(long)]
    show: bool,
}

impl Options {
    fn change(&self, file: &str, path: Vec<Step>) -> Change {
        let value = |path: &[Step]| typed::value(file, path, self.value.as_deref().unwrap_or_default());
        let place = |number: u32| (number as usize).saturating_sub(1);
        if self.take_out {
            Change::TakeOut { path }
        } else if let Some(to) = self.to {
            Change::Move { path, to: place(to) }
        } else if let Some(to) = &self.key {
            Change::Rename { path, to: to.clone() }
        } else if self.add {
            let of_entry: Vec<Step> = path.iter().cloned().chain([Step::from(0)]).collect();
            Change::Add { value: value(&of_entry), at: self.before.map(place), path }
        } else {
            Change::Set { value: value(&path), path }
        }
    }
}

pub(super) fn run(kennel: &Path, options: &Options) -> Result<Outcome, Error> {
    let folder = Folder::new(kennel)?;
    let file = record(&options.file)?;
    let now = load(&folder.content, terminal::now())?;
    let what = format!("{}{}", options.place, if options.take_out { " taken out" } else { "" });
    let made = |reading: &mut Reading<'_>| {
        let old = reading.file(&file)?;
        Ok(wish(&folder, &now, options, &file, old.as_deref()))
    };
    let done = output::change(&folder.state, &folder.content, &asked("set", &what), made)?;
    let (told, number) = match done {
        Ok(done) => done,
        Err(Stop::Refused(refused)) => {
            let err = format!("{}nothing was changed\n", refused.shown(&folder));
            return Ok(Outcome { out: String::new(), err, status: Status::Problems });
        }
        Err(Stop::Problems(drawn)) => {
            let err = format!("{drawn}{file} is shown as it would be; nothing was changed\n");
            return Ok(Outcome { out: String::new(), err, status: Status::Problems });
        }
        Err(Stop::Error(error)) => return Err(error),
    };
    let Told { lines, warnings } = told;
    let mut out = format!("{}/{file}\n{lines}", folder.shown_content());
    let _ = match number {
        Some(number) => writeln!(out, "change {number}; `litterfolio undo` takes it back"),
        None if options.show => writeln!(out, "shown, nothing was written"),
        None => writeln!(out, "all of it is so already"),
    };
    Ok(Outcome { out, err: warnings, status: Status::Clean })
}

/// Why nothing was changed.
enum Stop {
    Refused(Refused),
    /// What would be wrong, drawn.
    Problems(String),
    Error(Error),
}

struct Told {
    lines: String,
    warnings: String,
}

fn wish(folder: &Folder, now: &Loaded, options: &Options, file: &str, old: Option<&[u8]>) -> Result<Wish<Told>, Stop> {
    let refused = |problems, text: &str| Stop::Refused(Refused { problems, file: file.to_owned(), text: text.to_owned() });
    let text = adding::text(file, old.unwrap_or_default()).map_err(|problems| refused(problems, ""))?;
    let is_whole = options.place == ".";
    let mut as_if = AsIf::default();
    let new = if is_whole && options.take_out {
        as_if.gone = BTreeSet::from([file.to_owned()]);
        None
    } else {
        let base = if old.is_none() && file.ends_with(".md") { "---\n---\n" } else { text };
        let path = if is_whole { Vec::new() } else { typed::path(file, base, &options.place).map_err(|problems| refused(problems, base))? };
        let change = options.change(file, path);
        let new = changing::changed(file, base, &[change]).map_err(|problems| refused(problems, base))?;
        as_if.texts = BTreeMap::from([(file.to_owned(), new.clone())]);
        Some(new)
    };
    let warnings = checked(folder, now, &as_if)?;
    let lines = differing(text, new.as_deref().unwrap_or_default());
    let bytes = (file.to_owned(), new.map(String::into_bytes));
    let files = if options.show { BTreeMap::new() } else { BTreeMap::from([bytes]) };
    Ok(Wish { files, moves: Vec::new(), told: Told { lines, warnings } })
}

/// The file that is meant, by its path below the content folder.
fn record(typed: &str) -> Result<String, Error> {
    let file = typed.replace('\\', "/");
    let file = file.trim_start_matches("./");
    let file = file.strip_prefix("content/").unwrap_or(file);
    let is_name = |part: &str| {
        let stem = part.strip_suffix(".yaml").or_else(|| part.strip_suffix(".md")).unwrap_or(part);
        stem.parse::<Id>().is_ok()
    };
    if typed::record_of(file).is_some() && file.split('/').all(is_name) {
        return Ok(file.to_owned());
    }
    let kinds = "kennel.yaml, owners.yaml, care-plan.yaml, dogs/<dog>.yaml, litters/<litter>/litter.yaml, weights.yaml or health.yaml there, notes/<note>.md there, pages/<page>.md";
    Err(Error::Usage(format!("`{}` is no record of a kennel; records are {kinds}", typed.escape_debug())))
}

/// Reads all records as if they were changed; says what is odd then, and stops at what is wrong that was not so before.
fn checked(folder: &Folder, now: &Loaded, as_if: &AsIf) -> Result<String, Stop> {
    let then = load_as(&folder.content, terminal::now(), as_if).map_err(Stop::Error)?;
    let (errors, warnings) = news(now, &then);
    let terminal = terminal::terminal();
    let drawn = |problems: &[Located]| showing::for_people(problems, &then.sources, &folder.shown_content(), terminal.width, terminal.colours);
    if errors.is_empty() { Ok(drawn(&warnings)) } else { Err(Stop::Problems(drawn(&errors))) }
}

/// Problems that were not there before, errors and warnings. One that was there before may stand in another line now.
pub(super) fn news(before: &Loaded, after: &Loaded) -> (Vec<Located>, Vec<Located>) {
    let key = |problem: &Problem| (problem.code, problem.place.file.clone(), problem.message.clone());
    let mut known: Vec<_> = before.problems.iter().map(|old| key(&old.problem)).collect();
    let new = after.problems.iter().filter(|located| match known.iter().position(|old| *old == key(&located.problem)) {
        Some(at) => {
            known.swap_remove(at);
            false
        }
        None => true,
    });
    new.cloned().partition(|located| located.problem.severity == Severity::Error)
}

/// The lines in which two texts differ: those before, those after.
pub(super) fn differing(old: &str, new: &str) -> String {
    const MOST: usize = 20;
    let (before, after): (Vec<&str>, Vec<&str>) = (old.lines().collect(), new.lines().collect());
    let begin = before.iter().zip(&after).take_while(|(one, other)| one == other).count();
    let rest = before.len().min(after.len()) - begin;
    let end = before.iter().rev().zip(after.iter().rev()).take(rest).take_while(|(one, other)| one == other).count();
    let mut out = String::new();
    for (sign, lines) in [('-', &before[begin..before.len() - end]), ('+', &after[begin..after.len() - end])] {
        for line in lines.iter().take(MOST) {
            let shown: String = line.chars().map(|c| if c.is_control() && c != '\t' { '\u{fffd}' } else { c }).collect();
            let _ = writeln!(out, "{sign} {shown}");
        }
        if lines.len() > MOST {
            let _ = writeln!(out, "{sign} and {} more lines", lines.len() - MOST);
        }
    }
    out
}
