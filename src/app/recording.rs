//! Recording: what a keeper asks for becomes a change of one or several files, all of it or none.
//!
//! In: the kennel, and a function that says, from the records as they stand under the lock, what is
//! to become of which file. Out: the files with it on the disk, one entry of the history, and what
//! is odd now; or what would be wrong, and all files as they were. Errors that stand in the records
//! already do not count, so that a kennel with a broken file can go on.
//!
//! Never: a change made from a text that somebody replaced meanwhile, a text that was not read
//! again before it is written.

use super::folder::Folder;
use super::{Outcome, problems};
use crate::Error;
use crate::output::{self, Asked, Reading, WriteError};
use crate::records::adding::ListedEntry;
use crate::records::changing::{self, Change};
use crate::records::health::HealthEntry;
use crate::records::problem::{Located, Problem, Severity};
use crate::records::source::locate;
use crate::records::source::{Source, Sources};
use crate::records::weights::WeightsBlock;
use crate::records::{AsIf, Loaded, What, adding, showing};
use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write;
use std::sync::Arc;

/// What is to become of one file.
#[derive(Debug, Clone)]
pub enum Work {
    /// Its text is changed; one that is not there begins empty.
    Changed(Vec<Change>),
    /// It is a list of weigh-ins, and gains these at its end.
    WeighIns(Vec<adding::NewEntry>),
    /// It is a list of health entries, and gains these at its end.
    HealthEntries(Vec<adding::NewEntry>),
    /// It has this text.
    Text(String),
    /// It is a new picture.
    Picture(Vec<u8>),
    /// It is taken out.
    Gone,
    /// It, or the folder, has this name. What else becomes of it is written under the old one.
    MovedTo(String),
}

/// A file, by its path below the content folder, and what is to become of it.
pub type FileChange = (String, Work);

/// What would be wrong, with the texts in which it is.
#[derive(Debug)]
pub struct Refused {
    pub problems: Vec<Located>,
    pub sources: Sources,
}

impl Refused {
    /// Problems of one file and its text.
    pub fn of(file: &str, text: &str, problems: Vec<Problem>) -> Self {
        let mut sources = Sources::default();
        let text = text.strip_prefix('\u{feff}').unwrap_or(text);
        sources.insert(file.to_owned(), Source::whole(text));
        Self {
            problems: locate(problems, &sources),
            sources,
        }
    }

    /// Drawn for the terminal.
    pub fn shown(&self, folder: &Folder) -> String {
        problems::drawn(folder, &self.problems, &self.sources)
    }

    /// The whole answer of a command that could add nothing.
    pub fn outcome(&self, folder: &Folder) -> Outcome {
        Outcome::problems(format!("{}nothing was added\n", self.shown(folder)))
    }
}

/// The records as they stand under the lock.
pub struct Standing<'a, 'r> {
    /// All of them, read and checked.
    pub now: &'a Loaded,
    reading: &'a mut Reading<'r>,
}

impl Standing<'_, '_> {
    /// The bytes of a file; nothing when there is none.
    pub fn bytes(&mut self, file: &str) -> Result<Option<Vec<u8>>, WriteError> {
        self.reading.file(file)
    }

    /// The text of a file; nothing when there is none.
    pub fn text<E: From<Refused>>(&mut self, file: &str) -> Result<Option<String>, Stop<E>> {
        let bytes = self.bytes(file)?;
        bytes
            .map(|bytes| match adding::text(file, &bytes) {
                Ok(text) => Ok(text.to_owned()),
                Err(problems) => Err(Refused::of(file, "", problems).into()),
            })
            .transpose()
    }

    /// The text from which a file is changed; of one that is not there, an empty one.
    pub fn base<E: From<Refused>>(&mut self, file: &str) -> Result<String, Stop<E>> {
        let empty = if file.ends_with(".md") {
            "---\n---\n"
        } else {
            ""
        };
        Ok(self.text(file)?.unwrap_or_else(|| empty.to_owned()))
    }
}

/// A text that became another.
#[derive(Debug)]
pub struct Changed {
    pub file: String,
    pub old: Option<String>,
    pub new: Option<String>,
}

/// What was done, or would be.
#[derive(Debug)]
pub struct Done {
    /// The number of the change; nothing when all of it was so already, or it was only tried.
    pub number: Option<u64>,
    /// The records with it, and their texts.
    pub then: Arc<Loaded>,
    /// What is odd that was not so before.
    pub warnings: Vec<Located>,
    pub changed: Vec<Changed>,
    pub moved: Vec<(String, String)>,
}

/// Whether a change is made, or only tried.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Mode {
    Make,
    Try,
}

/// Makes a change. What `make` refuses comes back as it is; `make` may be asked again when somebody
/// saved a file meanwhile.
pub fn record<E: From<Refused>>(
    folder: &Folder,
    asked: &Asked,
    mode: Mode,
    mut make: impl FnMut(&mut Standing<'_, '_>) -> Result<Vec<FileChange>, Stop<E>>,
) -> Result<Result<Done, E>, Error> {
    let made = |reading: &mut Reading<'_>| match planned(folder, reading, &mut make) {
        Ok(plan) => Ok(Ok(plan.wish(mode))),
        Err(Stop::Write(error)) => Err(error),
        Err(stop) => Ok(Err(stop)),
    };
    match output::change(&folder.state, &folder.content, asked, made)? {
        Ok((done, number)) => Ok(Ok(Done { number, ..done })),
        Err(Stop::Refused(refused)) => Ok(Err(refused)),
        Err(Stop::Error(error)) => Err(error),
        Err(Stop::Write(error)) => Err(error.into()),
    }
}

/// Why nothing is recorded.
#[derive(Debug)]
pub enum Stop<E> {
    /// Something would be wrong, or whoever asked refuses.
    Refused(E),
    /// The records cannot be read.
    Error(Error),
    /// A file cannot be read.
    Write(WriteError),
}

impl<E> From<WriteError> for Stop<E> {
    fn from(error: WriteError) -> Self {
        Self::Write(error)
    }
}

impl<E: From<Refused>> From<Refused> for Stop<E> {
    fn from(refused: Refused) -> Self {
        Self::Refused(refused.into())
    }
}

struct RecordingPlan {
    files: BTreeMap<String, Option<Vec<u8>>>,
    done: Done,
}

impl RecordingPlan {
    fn wish(self, mode: Mode) -> output::Wish<Done> {
        let Self { files, done } = self;
        if mode == Mode::Try {
            return output::Wish {
                files: BTreeMap::new(),
                moves: Vec::new(),
                told: done,
            };
        }
        output::Wish {
            files,
            moves: done.moved.clone(),
            told: done,
        }
    }
}

/// What makes the changes of a record.
type MakeChanges<'a, E> = dyn FnMut(&mut Standing<'_, '_>) -> Result<Vec<FileChange>, Stop<E>> + 'a;

fn planned<E: From<Refused>>(
    folder: &Folder,
    reading: &mut Reading<'_>,
    make: &mut MakeChanges<'_, E>,
) -> Result<RecordingPlan, Stop<E>> {
    let now = folder.records().map_err(Stop::Error)?;
    let mut standing = Standing { now: &now, reading };
    let wanted = make(&mut standing)?;
    let mut as_if = AsIf::default();
    let mut files = BTreeMap::new();
    let (mut changed, mut moved) = (Vec::new(), Vec::new());
    for (file, work) in wanted {
        let text = match work {
            Work::MovedTo(to) => {
                moved.push((file, to));
                continue;
            }
            Work::Picture(bytes) => {
                as_if.pictures.insert(file.clone());
                files.insert(file, Some(bytes));
                continue;
            }
            Work::Gone => {
                as_if.gone.insert(file.clone());
                None
            }
            Work::Text(text) => Some(text),
            Work::Changed(changes) => Some(made_of(&mut standing, &file, &changes)?),
            Work::WeighIns(entries) => {
                Some(longer::<WeightsBlock, _>(&mut standing, &file, &entries)?)
            }
            Work::HealthEntries(entries) => {
                Some(longer::<HealthEntry, _>(&mut standing, &file, &entries)?)
            }
        };
        if changing::typed::record_of(&file).is_some() {
            changed.push(Changed {
                old: standing.text(&file)?,
                new: text.clone(),
                file: file.clone(),
            });
        }
        if let Some(text) = &text {
            as_if.texts.insert(file.clone(), text.clone());
        }
        files.insert(file, text.map(String::into_bytes));
    }
    as_if.moved.clone_from(&moved);
    texts_that_move(&mut standing, &mut as_if)?;
    let then = folder.records_as(&as_if).map_err(Stop::Error)?;
    let (errors, warnings) = news(&now, &then, &moved);
    if !errors.is_empty() {
        return Err(Refused {
            problems: errors,
            sources: then.sources.clone(),
        }
        .into());
    }
    Ok(RecordingPlan {
        files,
        done: Done {
            number: None,
            then,
            warnings,
            changed,
            moved,
        },
    })
}

/// What would be wrong, that is not so now, if files had these texts and names; nothing for a file
/// that is gone.
pub(super) fn wrong_with(
    folder: &Folder,
    reading: &mut Reading<'_>,
    texts: &BTreeMap<String, Option<String>>,
    moved: &[(String, String)],
) -> Result<Option<Refused>, Stop<Refused>> {
    let now = folder.records().map_err(Stop::Error)?;
    let mut standing = Standing { now: &now, reading };
    let mut as_if = AsIf::default();
    for (file, text) in texts {
        match text {
            Some(text) => {
                as_if.texts.insert(file.clone(), text.clone());
            }
            None => {
                as_if.gone.insert(file.clone());
            }
        }
    }
    for (from, to) in moved {
        match (output::is_taken_out(from), output::is_taken_out(to)) {
            (true, _) => {
                as_if.pictures.insert(to.clone());
            }
            (_, true) => {
                as_if.gone.insert(from.clone());
            }
            _ => as_if.moved.push((from.clone(), to.clone())),
        }
    }
    let moved = as_if.moved.clone();
    texts_that_move(&mut standing, &mut as_if)?;
    let then = folder.records_as(&as_if).map_err(Stop::Error)?;
    let (problems, _) = news(&now, &then, &moved);
    let sources = then.sources.clone();
    Ok((!problems.is_empty()).then_some(Refused { problems, sources }))
}

/// The new text of a record.
fn made_of<E: From<Refused>>(
    standing: &mut Standing<'_, '_>,
    file: &str,
    changes: &[Change],
) -> Result<String, Stop<E>> {
    let base = standing.base(file)?;
    let bare = |text: &str| text.strip_prefix('\u{feff}').unwrap_or(text).to_owned();
    // The changes were thought of for the text that was read.
    let sources = &standing.now.sources;
    let is_same = |read: &str| bare(read) == bare(&base);
    if sources.is_known(file) && !sources.text(file).is_some_and(is_same) {
        let path = file.into();
        return Err(Stop::Write(WriteError::Meanwhile { path }));
    }
    changing::changed(file, &base, changes)
        .map_err(|problems| Refused::of(file, &base, problems).into())
}

/// The text of a list with more entries.
fn longer<L: ListedEntry, E: From<Refused>>(
    standing: &mut Standing<'_, '_>,
    file: &str,
    entries: &[adding::NewEntry],
) -> Result<String, Stop<E>> {
    let text = standing.base(file)?;
    adding::add::<L>(file, &text, entries, |_| true)
        .map(|added| added.text)
        .map_err(|problems| Refused::of(file, &text, problems).into())
}

/// Records that move are read under their new names.
fn texts_that_move<E: From<Refused>>(
    standing: &mut Standing<'_, '_>,
    as_if: &mut AsIf,
) -> Result<(), Stop<E>> {
    let moved = std::mem::take(&mut as_if.moved);
    let records: BTreeSet<String> = standing
        .now
        .sources
        .files()
        .chain(as_if.texts.keys().map(String::as_str))
        .filter(|file| !as_if.gone.contains(*file))
        .map(str::to_owned)
        .collect();
    for file in records {
        let Some(to) = moved_name(&moved, &file) else {
            continue;
        };
        let text = match as_if.texts.remove(&file) {
            Some(text) => Some(text),
            None => standing.text(&file)?,
        };
        if let Some(text) = text {
            as_if.texts.insert(to, text);
        }
    }
    as_if.moved = moved;
    Ok(())
}

/// The new name of a file that moves, itself or with its folder.
fn moved_name(moved: &[(String, String)], file: &str) -> Option<String> {
    moved.iter().find_map(|(from, to)| {
        let rest = file
            .strip_prefix(from.as_str())
            .filter(|rest| rest.is_empty() || rest.starts_with('/'))?;
        Some(format!("{to}{rest}"))
    })
}

/// Problems that were not there before, errors and warnings. One that was there before may stand in
/// another line now, or in a file of another name.
fn news(
    before: &Loaded,
    after: &Loaded,
    moved: &[(String, String)],
) -> (Vec<Located>, Vec<Located>) {
    let key = |problem: &Problem, file: String| (problem.code, file, problem.message.clone());
    let mut known: Vec<_> = before
        .problems
        .iter()
        .map(|old| {
            let file = &old.problem.place.file;
            key(
                &old.problem,
                moved_name(moved, file).unwrap_or_else(|| file.clone()),
            )
        })
        .collect();
    let is_new = |located: &&Located| {
        let own = key(&located.problem, located.problem.place.file.clone());
        match known.iter().position(|old| *old == own) {
            Some(at) => {
                known.swap_remove(at);
                false
            }
            None => true,
        }
    };
    let new: Vec<Located> = after.problems.iter().filter(is_new).cloned().collect();
    let (errors, warnings): (Vec<_>, Vec<_>) = new
        .into_iter()
        .partition(|located| located.problem.severity == Severity::Error);
    // A message may hold the name that is another now.
    let count = |loaded: &Loaded| {
        loaded
            .problems
            .iter()
            .filter(|located| located.problem.severity == Severity::Error)
            .count()
    };
    if !moved.is_empty() && count(after) <= count(before) {
        return (Vec::new(), warnings);
    }
    (errors, warnings)
}

/// The files of the content folder, pictures among them.
pub fn files_of(folder: &Folder) -> Result<Vec<String>, Error> {
    let listing = folder.list_content()?;
    let files = listing
        .entries
        .iter()
        .filter(|listed| matches!(listed.what, What::File(_)))
        .map(|listed| listed.below(&folder.content));
    Ok(files.collect())
}

/// The lines in which two texts differ: those before, those after.
pub fn differing(old: &str, new: &str) -> String {
    const MOST: usize = 20;
    let (before, after): (Vec<&str>, Vec<&str>) = (old.lines().collect(), new.lines().collect());
    let begin = before
        .iter()
        .zip(&after)
        .take_while(|(one, other)| one == other)
        .count();
    let rest = before.len().min(after.len()) - begin;
    let end = before
        .iter()
        .rev()
        .zip(after.iter().rev())
        .take(rest)
        .take_while(|(one, other)| one == other)
        .count();
    let mut out = String::new();
    for (sign, lines) in [
        ('-', &before[begin..before.len() - end]),
        ('+', &after[begin..after.len() - end]),
    ] {
        for line in lines.iter().take(MOST) {
            let parts: Vec<String> = line.split('\t').map(showing::harmless).collect();
            let _ = writeln!(out, "{sign} {}", parts.join("\t"));
        }
        if lines.len() > MOST {
            let _ = writeln!(out, "{sign} and {} more lines", lines.len() - MOST);
        }
    }
    out
}

#[cfg(test)]
mod tests;
