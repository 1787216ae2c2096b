//! Changes of record files: one or several, all of them or none.
//!
//! In: a function that reads what it needs under the kennel's lock and gives the new bytes. Out:
//! the files with them, on the disk before the call returns, and an entry of the history; or all
//! files as they were.
//!
//! What happens in which order, and what a kill at each step leaves: the new bytes wait beside
//! their files; the history's `pending.json` says what is to become of each file (a kill before:
//! nothing has happened, the waiting files are swept by the next change); one file after the other
//! is put in its place; `pending.json` becomes an entry. The next run that finds `pending.json`
//! looks at the files: when none is changed yet, the change is forgotten, since nobody was told
//! that it is made; when one is, the others follow. A picture is added from the file that waits
//! beside its place. Just before a file gets its new bytes it is looked at once more, and what it
//! had is looked at once it has them: an editor that saved meanwhile loses nothing, since the
//! change is made anew from what it saved.

use std::collections::BTreeMap;
use std::fs;
use std::io::{self, ErrorKind};
use std::path::{Path, PathBuf};

use super::disk::{self, Result};
use super::error::{Unchangeable, WriteError};
use super::history::{self, Asked, HistoryEntry, Piece};
use super::locking::{LARGEST, beside, lock, sweep, waiting_beside};

/// How often a change is made anew because an editor saved a file meanwhile.
const TRIES: usize = 20;

/// What is to become of the records, and what to tell whoever asked.
#[derive(Debug)]
pub struct Wish<T> {
    /// New bytes of files, by their path below the content folder; a file that gets `None` is
    /// removed.
    pub files: BTreeMap<String, Option<Vec<u8>>>,
    /// Files and folders that move, after that. Nothing may be in the place they move to.
    pub moves: Vec<(String, String)>,
    /// Given back when all is on the disk.
    pub told: T,
}

/// Reads record files under the lock.
#[derive(Debug)]
pub struct Reading<'a> {
    content: &'a Path,
    read: BTreeMap<String, Option<Vec<u8>>>,
}

impl Reading<'_> {
    /// The bytes of a file as they stand, nothing when there is none.
    ///
    /// # Errors
    /// [`WriteError::Unchangeable`] for a link, a folder, or a file that may not be written.
    pub fn file(&mut self, file: &str) -> Result<Option<Vec<u8>>> {
        if let Some(known) = self.read.get(file) {
            return Ok(known.clone());
        }
        let path = self.content.join(file);
        let found = disk::look(&path)?;
        let unchangeable = |why| WriteError::Unchangeable {
            path: path.clone(),
            why,
        };
        if let Some(found) = &found {
            if found.is_symlink() {
                return Err(unchangeable(Unchangeable::Link));
            }
            if !found.is_file() {
                return Err(unchangeable(Unchangeable::NoFile));
            }
            if found.permissions().readonly() {
                return Err(unchangeable(Unchangeable::ReadOnly));
            }
            if found.len() > LARGEST {
                return Err(WriteError::disk(
                    "read",
                    &path,
                    ErrorKind::FileTooLarge.into(),
                ));
            }
        }
        let bytes = found.map(|_| disk::read(&path)).transpose()?;
        self.read.insert(file.to_owned(), bytes.clone());
        Ok(bytes)
    }
}

/// Makes a change of the records in `content`, under the kennel's lock in `state`. What `make`
/// refuses leaves all as it was. Given back with what is told is the number of the change in the
/// history; nothing when nothing changed.
///
/// # Errors
/// [`WriteError`]; all files are then as they were, unless it is [`WriteError::Begun`].
pub fn change<T, E>(
    state: &Path,
    content: &Path,
    asked: &Asked,
    mut make: impl FnMut(&mut Reading<'_>) -> Result<std::result::Result<Wish<T>, E>>,
) -> Result<std::result::Result<(T, Option<u64>), E>> {
    let _lock = lock(state, &asked.who)?;
    recover_locked(state, content)?;
    let mut tries = 0;
    loop {
        tries += 1;
        let mut reading = Reading {
            content,
            read: BTreeMap::new(),
        };
        let done = make(&mut reading).and_then(|wish| match wish {
            Ok(wish) => change_locked(state, asked, reading, (wish.files, wish.moves))
                .map(|number| Ok((wish.told, number))),
            Err(refused) => Ok(Err(refused)),
        });
        match done {
            // An editor takes no lock. What it saved meanwhile is the text to be changed.
            Err(WriteError::Meanwhile { .. }) if tries < TRIES => {}
            done => return done,
        }
    }
}

/// What a [`Wish`] wants of files and moves.
type WishedFiles = (BTreeMap<String, Option<Vec<u8>>>, Vec<(String, String)>);

/// The number of the change; nothing when nothing changed.
fn change_locked(
    state: &Path,
    asked: &Asked,
    mut reading: Reading<'_>,
    (files, mut moves): WishedFiles,
) -> Result<Option<u64>> {
    let content = reading.content;
    let number = history::numbers(state).last().map_or(1, |last| last + 1);
    let mut pieces = Vec::new();
    let mut work = Vec::new();
    for (file, new) in files {
        let old = reading.file(&file)?;
        let path = content.join(&file);
        sweep(&path)?;
        if old == new {
            continue;
        }
        let is_no_text = |bytes: &Vec<u8>| std::str::from_utf8(bytes).is_err();
        if new.is_none() && old.as_ref().is_some_and(is_no_text) {
            // The history keeps texts; a picture is kept as it is.
            let to = history::taken_out(number, moves.len(), &file);
            moves.push((file, to));
            continue;
        }
        let no_text =
            || WriteError::disk("keep the history of", &path, ErrorKind::InvalidData.into());
        pieces.push(Piece::of(&file, old.as_deref(), new.as_deref()).ok_or_else(no_text)?);
        work.push(ChangedFile { path, old, new });
    }
    if work.is_empty() && moves.is_empty() {
        return Ok(None);
    }
    let moved: Vec<(PathBuf, PathBuf)> = moves
        .iter()
        .map(|(from, to)| {
            let place = |name: &str| history::place_of(state, content, name);
            (place(from), place(to))
        })
        .collect();
    for (from, to) in &moved {
        if disk::look(to)?.is_some() {
            return Err(WriteError::disk(
                "move something to",
                to,
                ErrorKind::AlreadyExists.into(),
            ));
        }
        if disk::look(from)?.is_none() {
            return Err(WriteError::disk("move", from, ErrorKind::NotFound.into()));
        }
    }
    let entry = HistoryEntry::new(number, asked, pieces, moves);
    let result = put(state, content, &entry, &work, &moved);
    if !matches!(result, Ok(()) | Err(WriteError::Begun { .. })) {
        for ChangedFile { path, .. } in &work {
            let _ = disk::remove_file(&beside(path, &run()));
        }
    }
    result.map(|()| Some(number))
}

struct ChangedFile {
    path: PathBuf,
    old: Option<Vec<u8>>,
    new: Option<Vec<u8>>,
}

fn run() -> String {
    std::process::id().to_string()
}

/// Writes all new bytes beside their files, then says what is to happen, then does it.
fn put(
    state: &Path,
    content: &Path,
    entry: &HistoryEntry,
    work: &[ChangedFile],
    moved: &[(PathBuf, PathBuf)],
) -> Result<()> {
    for ChangedFile { path, new, .. } in work {
        if let Some(new) = new {
            make_room(path)?;
            disk::write_beside(&beside(path, &run()), new, disk::look(path)?.as_ref())?;
        }
    }
    for (_, to) in moved {
        make_room(to)?;
    }
    history::begin(state, entry)?;
    let mut done = 0;
    let placed = work.iter().try_for_each(|ChangedFile { path, old, new }| {
        if disk::look(path)?.map(|_| disk::read(path)).transpose()? != *old {
            return Err(WriteError::Meanwhile { path: path.clone() });
        }
        match (old, new) {
            (Some(old), Some(_)) => place(path, old)?,
            (None, Some(_)) => disk::rename(&beside(path, &run()), path)?,
            (_, None) => disk::remove_file(path)?,
        }
        done += 1;
        Ok(())
    });
    let mut gone = 0;
    let placed = placed.and_then(|()| {
        moved.iter().try_for_each(|(from, to)| {
            disk::rename(from, to)?;
            gone += 1;
            Ok(())
        })
    });
    if let Err(cause) = placed {
        if matches!(cause, WriteError::Begun { .. }) {
            return Err(cause);
        }
        let back = moved[..gone]
            .iter()
            .rev()
            .try_for_each(|(from, to)| disk::rename(to, from));
        let back = back.and_then(|()| {
            work[..done]
                .iter()
                .try_for_each(|ChangedFile { path, old, .. }| replace(path, old.as_deref()))
        });
        return match back {
            // Should this fail too: a change of which no file is made is forgotten by the next run.
            Ok(()) => {
                let _ = history::drop_pending(state);
                Err(cause)
            }
            Err(_) => Err(WriteError::Begun {
                cause: Box::new(cause),
            }),
        };
    }
    for path in work
        .iter()
        .map(|work| &work.path)
        .chain(moved.iter().flat_map(|(from, to)| [from, to]))
    {
        if let Some(folder) = path
            .parent()
            .filter(|folder| !folder.as_os_str().is_empty())
        {
            // The files stand there with all their bytes; some file systems cannot wait for a
            // folder.
            let _ = disk::sync_folder(folder);
        }
    }
    for ChangedFile { path, .. } in work.iter().filter(|work| work.new.is_none()) {
        drop_folder(path, content);
    }
    // The change is made; should its entry not find its place, the next run gives it one.
    let _ = history::settle(state, entry.number);
    Ok(())
}

/// Puts the bytes that wait beside a file in its place. Where the disk can, the two are exchanged,
/// so that what an editor saved since the last look comes to light and is put back.
fn place(path: &Path, old: &[u8]) -> Result<()> {
    let waiting = beside(path, &run());
    if !disk::exchange(&waiting, path)? {
        return disk::rename(&waiting, path);
    }
    if disk::read(&waiting).is_ok_and(|was| was == old) {
        // It is in place. Should its place be left here, the next change sweeps it.
        let _ = disk::remove_file(&waiting);
        return Ok(());
    }
    // What was saved waits where the new bytes did: should it not get back, the next run joins
    // both.
    let why = match disk::exchange(&waiting, path) {
        Ok(true) => {
            return Err(WriteError::Meanwhile {
                path: path.to_owned(),
            });
        }
        Ok(false) => WriteError::disk("swap in", path, ErrorKind::Unsupported.into()),
        Err(why) => why,
    };
    Err(WriteError::Begun {
        cause: Box::new(why),
    })
}

/// What an editor saved at the very moment in which a run was killed: it stands where the new bytes
/// waited, and is neither them nor what they were made from.
fn saved_meanwhile(path: &Path, piece: &Piece) -> Result<Option<Vec<u8>>> {
    for waiting in waiting_beside(path)? {
        let bytes = disk::read(&waiting)?;
        let hash = Some(history::hash(&bytes));
        if piece.hash_before.is_some() && hash != piece.hash_before && hash != piece.hash_after {
            return Ok(Some(bytes));
        }
    }
    Ok(None)
}

/// Makes the folder of a file that is to be made.
fn make_room(path: &Path) -> Result<()> {
    match path.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => {
            fs::create_dir_all(folder).map_err(|source| WriteError::disk("make", folder, source))
        }
        _ => Ok(()),
    }
}

/// The picture of this hash that waits beside its place.
fn waiting_with(path: &Path, hash: &str) -> Result<Option<PathBuf>> {
    for waiting in waiting_beside(path)? {
        if history::hash(&disk::read(&waiting)?) == hash {
            return Ok(Some(waiting));
        }
    }
    Ok(None)
}

/// A folder from which the last file was taken goes with it, other than those that every kennel
/// has: an empty folder of a litter would be a litter without its record.
fn drop_folder(path: &Path, content: &Path) {
    let above = path.ancestors().skip(1);
    let own = above.take_while(|folder| {
        folder
            .strip_prefix(content)
            .is_ok_and(|below| below.components().count() > 1)
    });
    // One that is not empty stays, and so do those above it.
    let _ = own.into_iter().try_for_each(drop_bare);
}

/// Removes a folder in which there is nothing but empty folders.
fn drop_bare(folder: &Path) -> io::Result<()> {
    let entries = fs::read_dir(folder)?.collect::<io::Result<Vec<_>>>()?;
    for entry in &entries {
        let is_empty = entry.file_type()?.is_dir() && fs::read_dir(entry.path())?.next().is_none();
        if !is_empty {
            return Err(ErrorKind::DirectoryNotEmpty.into());
        }
    }
    entries
        .iter()
        .try_for_each(|entry| fs::remove_dir(entry.path()))?;
    fs::remove_dir(folder)
}

/// Gives a file these bytes, or removes it.
fn replace(path: &Path, bytes: Option<&[u8]>) -> Result<()> {
    let Some(bytes) = bytes else {
        return if disk::look(path)?.is_some() {
            disk::remove_file(path)
        } else {
            Ok(())
        };
    };
    let waiting = beside(path, &run());
    if disk::look(&waiting)?.is_some() {
        disk::remove_file(&waiting)?;
    }
    disk::write_beside(&waiting, bytes, disk::look(path)?.as_ref())?;
    disk::rename(&waiting, path)
}

/// Ends what a killed run left of a change: forgets it, or makes the rest of it. Says its number
/// when it was made.
///
/// # Errors
/// [`WriteError`].
pub fn recover(state: &Path, content: &Path) -> Result<Option<u64>> {
    if disk::look(&history::pending_place(state))?.is_none() && !history::has_left(state)? {
        return Ok(None);
    }
    // Without the lock, what looks left behind may be what another is writing at this moment.
    let _lock = lock(state, "mending")?;
    history::sweep(state)?;
    recover_locked(state, content)
}

fn recover_locked(state: &Path, content: &Path) -> Result<Option<u64>> {
    if disk::look(&history::pending_place(state))?.is_none() {
        return Ok(None);
    }
    let Some(entry) = history::pending(state) else {
        // It is written whole or not at all: this was somebody else, and says nothing.
        history::drop_pending(state)?;
        return Ok(None);
    };
    let (mut rest, mut pictures) = (Vec::new(), Vec::new());
    let mut made = 0;
    for piece in &entry.pieces {
        let path = content.join(&piece.file);
        let picture = piece.hash_after.as_deref().filter(|_| piece.is_picture);
        let waits = picture.map(|hash| waiting_with(&path, hash)).transpose()?;
        let is_swept = waits.is_none();
        pictures.extend(waits.flatten().map(|waiting| (waiting, path.clone())));
        let now = disk::look(&path)?.map(|_| disk::read(&path)).transpose()?;
        let hash = now.as_deref().map(history::hash);
        if hash == piece.hash_after {
            made += 1;
            if let Some(saved) = saved_meanwhile(&path, piece)? {
                let with = piece.put(Some(&saved), true);
                rest.push((path.clone(), with.or(Ok(Some(saved)))));
            }
        } else {
            // A text that somebody changed meanwhile gets the change at its place, where that can
            // be found.
            rest.push((path.clone(), piece.put(now.as_deref(), true)));
        }
        if is_swept {
            sweep(&path)?;
        }
    }
    let mut moves = Vec::new();
    for (from, to) in &entry.moves {
        let place = |name: &str| history::place_of(state, content, name);
        let (from, to) = (place(from), place(to));
        match (disk::look(&from)?, disk::look(&to)?) {
            (None, Some(_)) => made += 1,
            (Some(_), None) => moves.push((from, to)),
            _ => {}
        }
    }
    if made == 0 {
        for (_, path) in &pictures {
            sweep(path)?;
        }
        history::drop_pending(state)?;
        return Ok(None);
    }
    for (waiting, path) in pictures {
        if disk::look(&path)?.is_none() {
            disk::rename(&waiting, &path)?;
        }
        sweep(&path)?;
    }
    for (path, new) in rest {
        if let Ok(new) = new {
            replace(&path, new.as_deref())?;
        }
    }
    for (from, to) in moves {
        disk::rename(&from, &to)?;
    }
    history::settle(state, entry.number)?;
    Ok(Some(entry.number))
}

#[cfg(test)]
mod tests;
