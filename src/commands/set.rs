//! `set`: one place of a record becomes another; nothing else in the file does.
//!
//! In: a record file, a place in it such as `puppies.moss.offer`, and a value. Out: the lines
//! before and after, and the change in the history. The new text is read and checked with all other
//! records before it is written: what would be an error is refused, with its place and a hint.

use crate::Error;
use crate::app::adding::asked;
use crate::app::folder::Folder;
use crate::app::recording::{
    Changed, FileChange, Mode, Refused, Standing, Stop, Work, differing, record,
};
use crate::app::{Outcome, Status, problems};
use crate::quantity::Id;
use crate::records::changing::{Change, typed};
use crate::records::problem::Step;
use std::fmt::Write;
use std::path::Path;

/// Options of `set`.
#[derive(Debug, clap::Args)]
pub(super) struct Options {
    /// The record, below the folder `content`: litters/summer-2026/litter.yaml
    #[arg(value_name = "FILE")]
    file: String,
    /// The place in it: puppies.moss.offer; an entry of a list by its id, its time, its place from
    /// 1, or `last`; `.` is the whole record
    #[arg(value_name = "PLACE")]
    place: String,
    /// The value; lists in brackets: [moss, wren], keys in braces: { by: x-ray, on: 2026-09-28 }
    #[arg(
        value_name = "VALUE",
        required_unless_present_any = ["take_out", "to", "key"],
        allow_hyphen_values = true
    )]
    value: Option<String>,
    /// Add VALUE to the list at PLACE
    #[arg(long)]
    add: bool,
    /// Add it before this entry, from 1 [default: behind the last]
    #[arg(
        long,
        value_name = "N",
        requires = "add",
        value_parser = clap::value_parser!(u32).range(1..)
    )]
    before: Option<u32>,
    /// Take the key or the entry out; with the place `.` the whole file
    #[arg(long, conflicts_with_all = ["value", "add", "to", "key"])]
    take_out: bool,
    /// Move the entry to this place of its list, from 1
    #[arg(
        long,
        value_name = "N",
        conflicts_with_all = ["value", "add", "key"],
        value_parser = clap::value_parser!(u32).range(1..)
    )]
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
        let value =
            |path: &[Step]| typed::value(file, path, self.value.as_deref().unwrap_or_default());
        let place = |number: u32| (number as usize).saturating_sub(1);
        if self.take_out {
            Change::TakeOut { path }
        } else if let Some(to) = self.to {
            Change::Move {
                path,
                to: place(to),
            }
        } else if let Some(to) = &self.key {
            Change::Rename {
                path,
                to: to.clone(),
            }
        } else if self.add {
            let of_entry: Vec<Step> = path.iter().cloned().chain([Step::from(0)]).collect();
            Change::Add {
                value: value(&of_entry),
                at: self.before.map(place),
                path,
            }
        } else {
            Change::Set {
                value: value(&path),
                path,
            }
        }
    }
}

pub(super) fn run(kennel: &Path, options: &Options) -> Result<Outcome, Error> {
    let folder = Folder::new(kennel)?;
    let file = record_named(&options.file)?;
    let what = format!(
        "{}{}",
        options.place,
        if options.take_out { " taken out" } else { "" }
    );
    let mode = if options.show { Mode::Try } else { Mode::Make };
    let done = record(&folder, &asked("set", &what), mode, |standing| {
        wanted(standing, options, &file)
    })?;
    let done = match done {
        Ok(done) => done,
        Err(refused) => {
            let err = format!("{}nothing was changed\n", refused.shown(&folder));
            return Ok(Outcome::problems(err));
        }
    };
    let mut out = format!("{}/{file}\n", folder.shown_content());
    for Changed { old, new, .. } in &done.changed {
        out.push_str(&differing(
            old.as_deref().unwrap_or_default(),
            new.as_deref().unwrap_or_default(),
        ));
    }
    let _ = match done.number {
        Some(number) => writeln!(out, "change {number}; `litterfolio undo` takes it back"),
        None if options.show => writeln!(out, "shown, nothing was written"),
        None => writeln!(out, "all of it is so already"),
    };
    Ok(Outcome {
        out,
        err: problems::drawn(&folder, &done.warnings, &done.then.sources),
        status: Status::Clean,
    })
}

/// What is to become of the file, as it stands.
fn wanted(
    standing: &mut Standing<'_, '_>,
    options: &Options,
    file: &str,
) -> Result<Vec<FileChange>, Stop<Refused>> {
    let is_whole = options.place == ".";
    let work = if is_whole && options.take_out {
        Work::Gone
    } else {
        let text = standing.base(file)?;
        let path = if is_whole {
            Vec::new()
        } else {
            let path = typed::path(file, &text, &options.place);
            path.map_err(|problems| Refused::of(file, &text, problems))?
        };
        Work::Changed(vec![options.change(file, path)])
    };
    Ok(vec![(file.to_owned(), work)])
}

/// The file that is meant, by its path below the content folder.
fn record_named(typed: &str) -> Result<String, Error> {
    let file = typed.replace('\\', "/");
    let file = file.trim_start_matches("./");
    let file = file.strip_prefix("content/").unwrap_or(file);
    let is_name = |part: &str| {
        let stem = part
            .strip_suffix(".yaml")
            .or_else(|| part.strip_suffix(".md"))
            .unwrap_or(part);
        stem.parse::<Id>().is_ok()
    };
    if typed::record_of(file).is_some() && file.split('/').all(is_name) {
        return Ok(file.to_owned());
    }
    let kinds = "kennel.yaml, owners.yaml, care-plan.yaml, dogs/<dog>.yaml, \
                 litters/<litter>/litter.yaml, weights.yaml or health.yaml there, notes/<note>.md \
                 there, pages/<page>.md";
    Err(Error::Usage(format!(
        "`{}` is no record of a kennel; records are {kinds}",
        typed.escape_debug()
    )))
}
