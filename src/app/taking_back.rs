//! Taking back a change of the records.
//!
//! In: the kennel's history, and the number of a change or none for the latest. Out: the text as it
//! was before, to the byte where nothing else changed in the file since; what others changed
//! elsewhere in it stays. A change whose place was changed again is refused, with the change that
//! comes first; so is one that something later rests on, which would be an error without it. Taking
//! back is a change as well, and can be taken back.

use super::adding::asked;
use super::folder::Folder;
use super::recording::{Changed, Refused, Stop, wrong_with};
use crate::Error;
use crate::output::{self, Asked, HistoryEntry, NotThere, Reading, Wish};
use std::collections::{BTreeMap, BTreeSet};

/// A change that was taken back.
pub struct TakenBack {
    pub entry: HistoryEntry,
    /// The number of the change that did it; nothing when nothing was left of the other.
    pub number: Option<u64>,
    pub changed: Vec<Changed>,
    pub moved: Vec<(String, String)>,
    /// Whether the records have errors now.
    pub has_errors: bool,
}

/// Takes back a change, the latest if none is named. `who` is what asks for it.
pub fn take_back(folder: &Folder, who: &str, number: Option<u64>) -> Result<TakenBack, Error> {
    let history = output::newest(&folder.state, usize::MAX);
    let undone = undone(&history);
    let entry = if let Some(number) = number {
        let entry = history.iter().find(|entry| entry.number == number);
        let entry = entry.ok_or_else(|| {
            Error::Usage(format!(
                "there is no change {number}; `litterfolio undo --list` lists the latest"
            ))
        })?;
        if undone.contains(&number) {
            return Err(Error::Usage(format!(
                "change {number} is taken back already; `litterfolio undo --list` says by which \
                 change"
            )));
        }
        entry
    } else {
        let latest = history
            .iter()
            .find(|entry| entry.undoes.is_none() && !undone.contains(&entry.number));
        latest
            .ok_or_else(|| Error::Usage("there is no change that could be taken back".to_owned()))?
    };
    let what = format!(
        "change {} ({}, {}) taken back",
        entry.number, entry.who, entry.what
    );
    let asked = Asked {
        undoes: Some(entry.number),
        ..asked(who, &what)
    };
    // What is latest can always be as it was before, also where that was wrong.
    let is_latest = !history.iter().any(|later| {
        later.number > entry.number && later.undoes.is_none() && !undone.contains(&later.number)
    });
    let done = output::change(&folder.state, &folder.content, &asked, |reading| {
        let wish = match put_back(reading, entry)? {
            Ok(wish) => wish,
            Err((file, why)) => return Ok(Err(NotBack::NotThere(file, why))),
        };
        if is_latest {
            return Ok(Ok(wish));
        }
        let texts = wish.told.iter();
        let texts = texts.map(|changed| (changed.file.clone(), changed.new.clone()));
        match wrong_with(folder, reading, &texts.collect(), &wish.moves) {
            Ok(None) => Ok(Ok(wish)),
            Ok(Some(wrong)) | Err(Stop::Refused(wrong)) => Ok(Err(NotBack::Wrong(wrong))),
            Err(Stop::Error(error)) => Ok(Err(NotBack::Error(error))),
            Err(Stop::Write(error)) => Err(error),
        }
    })?;
    let (changed, number) = done.map_err(|why| match why {
        NotBack::NotThere(file, why) => refused(&history, &undone, entry, &file, why),
        NotBack::Wrong(wrong) => would_be_wrong(entry, &wrong),
        NotBack::Error(error) => error,
    })?;
    let moved = entry.moves.iter().rev();
    let moved = moved.map(|(from, to)| (to.clone(), from.clone())).collect();
    let loaded = folder.records()?;
    Ok(TakenBack {
        entry: entry.clone(),
        number,
        changed,
        moved,
        has_errors: loaded.has_errors(),
    })
}

/// The changes that are taken back: those for which a later one says so that is itself not taken
/// back.
pub fn undone(newest_first: &[HistoryEntry]) -> BTreeSet<u64> {
    let mut undone = BTreeSet::new();
    for entry in newest_first {
        if let Some(earlier) = entry.undoes.filter(|_| !undone.contains(&entry.number)) {
            undone.insert(earlier);
        }
    }
    undone
}

/// Why a change is not taken back.
enum NotBack {
    /// What it wrote is no longer there.
    NotThere(String, NotThere),
    /// What came later would be wrong without it.
    Wrong(Refused),
    /// The records cannot be read.
    Error(Error),
}

type PutBack = Result<Wish<Vec<Changed>>, (String, NotThere)>;

fn put_back(
    reading: &mut Reading<'_>,
    entry: &HistoryEntry,
) -> Result<PutBack, output::WriteError> {
    let mut files = BTreeMap::new();
    let mut changed = Vec::new();
    for piece in &entry.pieces {
        let now = reading.file(&piece.file)?;
        let back = match piece.put_back(now.as_deref()) {
            Ok(back) => back,
            Err(why) => return Ok(Err((piece.file.clone(), why))),
        };
        let text = |bytes: &Option<Vec<u8>>| {
            bytes
                .as_ref()
                .map(|bytes| String::from_utf8(bytes.clone()).unwrap_or_default())
        };
        changed.push(Changed {
            file: piece.file.clone(),
            old: text(&now),
            new: text(&back),
        });
        files.insert(piece.file.clone(), back);
    }
    let moves: Vec<_> = entry
        .moves
        .iter()
        .rev()
        .map(|(from, to)| (to.clone(), from.clone()))
        .collect();
    Ok(Ok(Wish {
        files,
        moves,
        told: changed,
    }))
}

/// A later change rests on this one.
fn would_be_wrong(entry: &HistoryEntry, wrong: &Refused) -> Error {
    let words = wrong.problems.first().map(|located| {
        let problem = &located.problem;
        format!("{}: {}", problem.place.file, problem.message)
    });
    let more = match wrong.problems.len() {
        0 | 1 => String::new(),
        all => format!(", and {} more", all - 1),
    };
    Error::Usage(format!(
        "change {} cannot be taken back, since something that came later rests on it ({}{more}). \
         Nothing was changed; take back first what rests on it",
        entry.number,
        words.unwrap_or_default()
    ))
}

/// Why a change cannot be taken back, and what to do.
fn refused(
    history: &[HistoryEntry],
    undone: &BTreeSet<u64>,
    entry: &HistoryEntry,
    file: &str,
    why: NotThere,
) -> Error {
    let touches = |later: &&HistoryEntry| {
        later.number > entry.number
            && !undone.contains(&later.number)
            && later.undoes.is_none_or(|earlier| earlier != entry.number)
            && (later.pieces.iter().any(|piece| piece.file == file)
                || later
                    .moves
                    .iter()
                    .any(|(from, _)| file.starts_with(from.as_str())))
    };
    let later: Vec<String> = history
        .iter()
        .filter(touches)
        .take(5)
        .map(|later| later.number.to_string())
        .collect();
    let first = if later.is_empty() {
        "somebody changed it with an editor; change it there".to_owned()
    } else {
        format!("take back first what came later: {}", later.join(", "))
    };
    let what = match why {
        NotThere::Changed => "was changed at that place since, or is gone",
        NotThere::Several => "has several places now that read so",
    };
    Error::Usage(format!(
        "change {} cannot be taken back: {file} {what}. Nothing was changed; {first}",
        entry.number
    ))
}
