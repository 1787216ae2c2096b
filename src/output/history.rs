//! The history of changes: what was asked, when and by whom, and the text before.
//!
//! In: a change of record files that is about to be made. Out: a [`HistoryEntry`] for it, by which
//! it can be told and taken back: for each file the piece of text that became another, with what
//! stood around it. Entries stand in `.litterfolio/history/`, one file each, which only the keeper
//! may read and which git passes over. The oldest are dropped when they are too many or too large.
//! A picture that is taken out moves into a folder beside the entries, from where it can come back.
//!
//! Never: a secret in it, a guess at where a piece of text went.

use std::fs;
use std::path::{Path, PathBuf};

use serde::{Deserialize, Serialize};

use super::disk::{self, Result};
use super::error::WriteError;
use super::{single, waiting};

/// How many entries are kept, give or take a few, and how many bytes of them.
const MOST: usize = 1_000;
const LARGEST: u64 = 32 * 1024 * 1024;
/// How many bytes are kept of pictures that were taken out.
const MOST_OF_PICTURES: u64 = 512 * 1024 * 1024;
/// What stands here of the names in [`HistoryEntry::moves`] is kept in the history, not in the
/// records: no name of a record begins with a dot.
const TAKEN_OUT: &str = ".taken-out/";
/// How much is kept of what stands around a change.
const AROUND: usize = 200;
/// The entry of a change that is being made.
const PENDING: &str = "pending.json";

/// Who asks for a change, when, and in a few words for what.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Asked {
    /// The command, such as `weigh`.
    pub who: String,
    /// Whose account it was.
    pub user: Option<String>,
    /// When, as text.
    pub when: String,
    /// For what.
    pub what: String,
    /// The change that this one takes back.
    pub undoes: Option<u64>,
}

/// A change that was made.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct HistoryEntry {
    /// Its number, from 1.
    pub number: u64,
    /// The command.
    pub who: String,
    /// Whose account it was.
    pub user: Option<String>,
    /// When.
    pub when: String,
    /// In a few words.
    pub what: String,
    /// The change that this one took back.
    pub undoes: Option<u64>,
    /// What became of each file.
    pub pieces: Vec<Piece>,
    /// Files and folders that moved, below the content folder.
    pub moves: Vec<(String, String)>,
}

/// What became of one file.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Piece {
    /// The file, below the content folder.
    pub file: String,
    /// Hash of all bytes before; nothing when there was no file.
    pub hash_before: Option<String>,
    /// Hash of all bytes after; nothing when the file was removed.
    pub hash_after: Option<String>,
    /// Byte at which the text differs.
    pub at: usize,
    /// What stood there.
    pub old: String,
    /// What stands there now.
    pub new: String,
    /// What stood before it, up to some letters.
    pub before: String,
    /// What stood behind it.
    pub behind: String,
    /// Whether the file is a picture that was added: its bytes are not kept.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub is_picture: bool,
}

/// Why a piece cannot be put back.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NotThere {
    /// The text was changed at that place.
    Changed,
    /// The text stands in several places.
    Several,
}

/// The hash of a file's bytes.
pub(super) fn hash(bytes: &[u8]) -> String {
    blake3::hash(bytes).to_hex().to_string()
}

impl Piece {
    /// What becomes of a file; nothing when one of the texts is none, unless a picture is added.
    pub(super) fn of(file: &str, old: Option<&[u8]>, new: Option<&[u8]>) -> Option<Self> {
        if let (None, Some(bytes)) = (old, new)
            && std::str::from_utf8(bytes).is_err()
        {
            return Some(Self {
                file: file.to_owned(),
                hash_after: Some(hash(bytes)),
                is_picture: true,
                ..Self::default()
            });
        }
        let (before, after) = (
            std::str::from_utf8(old.unwrap_or_default()).ok()?,
            std::str::from_utf8(new.unwrap_or_default()).ok()?,
        );
        let same = |pair: &(char, char)| pair.0 == pair.1;
        let at: usize = before
            .chars()
            .zip(after.chars())
            .take_while(same)
            .map(|(c, _)| c.len_utf8())
            .sum();
        let rest = (&before[at..], &after[at..]);
        let end: usize = rest
            .0
            .chars()
            .rev()
            .zip(rest.1.chars().rev())
            .take_while(same)
            .map(|(c, _)| c.len_utf8())
            .sum();
        let (end_old, end_new) = (before.len() - end, after.len() - end);
        let from = (0..=at.saturating_sub(AROUND))
            .rev()
            .find(|from| before.is_char_boundary(*from))
            .unwrap_or(0);
        let to = (end_old + AROUND..=before.len())
            .find(|to| before.is_char_boundary(*to))
            .unwrap_or(before.len());
        Some(Self {
            file: file.to_owned(),
            hash_before: old.map(hash),
            hash_after: new.map(hash),
            at,
            old: before[at..end_old].to_owned(),
            new: after[at..end_new].to_owned(),
            before: before[from..at].to_owned(),
            behind: before[end_old..to].to_owned(),
            is_picture: false,
        })
    }

    /// The text with the piece put back; nothing for a file that was not there. What others changed
    /// elsewhere stays.
    ///
    /// # Errors
    /// [`NotThere`] when something else stands at that place now.
    pub fn put_back(&self, now: Option<&[u8]>) -> std::result::Result<Option<Vec<u8>>, NotThere> {
        self.put(now, false)
    }

    /// The same in either direction: `again` makes the change once more.
    pub(super) fn put(
        &self,
        now: Option<&[u8]>,
        again: bool,
    ) -> std::result::Result<Option<Vec<u8>>, NotThere> {
        let (from, to) = if again {
            (&self.old, &self.new)
        } else {
            (&self.new, &self.old)
        };
        let (hash_from, hash_to) = if again {
            (&self.hash_before, &self.hash_after)
        } else {
            (&self.hash_after, &self.hash_before)
        };
        let is_same = now.map(hash) == *hash_from;
        if self.is_picture && again {
            return Err(NotThere::Changed);
        }
        if hash_from.is_none() || hash_to.is_none() {
            // A file that was made or removed goes or comes as a whole.
            return if is_same {
                Ok(hash_to.as_ref().map(|_| to.clone().into_bytes()))
            } else {
                Err(NotThere::Changed)
            };
        }
        let text = now
            .and_then(|bytes| std::str::from_utf8(bytes).ok())
            .ok_or(NotThere::Changed)?;
        let at = if is_same {
            self.at
        } else {
            self.place(text, from)?
        };
        let (Some(head), Some(tail)) = (text.get(..at), text.get(at + from.len()..)) else {
            return Err(NotThere::Changed);
        };
        Ok(Some(format!("{head}{to}{tail}").into_bytes()))
    }

    /// Where the piece stands in a text that was changed elsewhere: the one place with as much
    /// around it as before.
    fn place(&self, text: &str, piece: &str) -> std::result::Result<usize, NotThere> {
        // The nearest line on either side tells it apart, where the text further away was changed.
        let line_before = self
            .before
            .trim_end_matches(['\n', '\r'])
            .rfind('\n')
            .map_or(0, |at| at + 1);
        let line_behind = self
            .behind
            .find('\n')
            .map_or(self.behind.len(), |at| at + 1);
        let near = (&self.before[line_before..], &self.behind[..line_behind]);
        let around = [
            (self.before.as_str(), self.behind.as_str()),
            (self.before.as_str(), near.1),
            (near.0, self.behind.as_str()),
            (self.before.as_str(), ""),
            ("", self.behind.as_str()),
        ];
        let mut why = NotThere::Changed;
        for (before, behind) in around {
            let whole = format!("{before}{piece}{behind}");
            if before.len() + behind.len() < 8.min(self.before.len() + self.behind.len())
                || whole.is_empty()
            {
                continue;
            }
            let mut found = text.match_indices(&whole);
            match (found.next(), found.next()) {
                (Some((at, _)), None) => return Ok(at + before.len()),
                (Some(_), Some(_)) => why = NotThere::Several,
                (None, _) => {}
            }
        }
        Err(why)
    }
}

impl HistoryEntry {
    /// When it was made, in UTC, without the signs for programs: `2026-10-09 12:00:00`.
    #[must_use]
    pub fn shown_time(&self) -> String {
        self.when.trim_end_matches('Z').replacen('T', " ", 1)
    }

    pub(super) fn new(
        number: u64,
        asked: &Asked,
        pieces: Vec<Piece>,
        moves: Vec<(String, String)>,
    ) -> Self {
        let Asked {
            who,
            user,
            when,
            what,
            undoes,
        } = asked.clone();
        Self {
            number,
            who,
            user,
            when,
            what,
            undoes,
            pieces,
            moves,
        }
    }
}

/// The folder of the history.
pub(super) fn folder(state: &Path) -> PathBuf {
    state.join("history")
}

pub(super) fn pending_place(state: &Path) -> PathBuf {
    folder(state).join(PENDING)
}

/// The name under which the history keeps a picture that a change takes out.
pub(super) fn taken_out(number: u64, index: usize, file: &str) -> String {
    let name = file.rsplit('/').next().unwrap_or(file);
    format!("{TAKEN_OUT}{number:06}-{index}-{name}")
}

/// Whether something that moves stands with the history, and not in the content folder.
#[must_use]
pub fn is_taken_out(name: &str) -> bool {
    name.starts_with(TAKEN_OUT)
}

/// Where something stands that moves, or moved.
pub(super) fn place_of(state: &Path, content: &Path, name: &str) -> PathBuf {
    name.strip_prefix(TAKEN_OUT).map_or_else(
        || content.join(name),
        |name| folder(state).join("pictures").join(name),
    )
}

/// The pictures that were taken out, the oldest first.
fn pictures(state: &Path) -> Vec<PathBuf> {
    let entries = fs::read_dir(folder(state).join("pictures"));
    let mut all: Vec<PathBuf> = entries
        .into_iter()
        .flatten()
        .flatten()
        .map(|entry| entry.path())
        .collect();
    all.sort();
    all
}

/// The numbers of all entries, smallest first. Without a folder there are none.
pub(super) fn numbers(state: &Path) -> Vec<u64> {
    let entries = fs::read_dir(folder(state)).into_iter().flatten().flatten();
    let number = |entry: fs::DirEntry| {
        entry
            .file_name()
            .to_str()?
            .strip_suffix(".json")?
            .parse()
            .ok()
    };
    let mut numbers: Vec<u64> = entries.filter_map(number).collect();
    numbers.sort_unstable();
    numbers
}

fn place(state: &Path, number: u64) -> PathBuf {
    folder(state).join(format!("{number:06}.json"))
}

/// An entry; nothing when there is none of that number, or it cannot be read.
#[must_use]
pub fn entry(state: &Path, number: u64) -> Option<HistoryEntry> {
    let bytes = fs::read(place(state, number)).ok()?;
    serde_json::from_slice(&bytes)
        .ok()
        .filter(|entry: &HistoryEntry| entry.number == number)
}

/// The newest entries, newest first.
#[must_use]
pub fn newest(state: &Path, most: usize) -> Vec<HistoryEntry> {
    numbers(state)
        .into_iter()
        .rev()
        .filter_map(|number| entry(state, number))
        .take(most)
        .collect()
}

/// The change that is being made, or was when a run was killed.
pub(super) fn pending(state: &Path) -> Option<HistoryEntry> {
    serde_json::from_slice(&fs::read(pending_place(state)).ok()?).ok()
}

/// Writes down a change before it is made.
pub(super) fn begin(state: &Path, entry: &HistoryEntry) -> Result<()> {
    let folder = folder(state);
    single::private_folder(&folder)?;
    let ignored = folder.join(".gitignore");
    if disk::look(&ignored)?.is_none() {
        single::replace_private(&ignored, b"*\n")?;
    }
    let bytes = serde_json::to_vec(entry)
        .map_err(|error| WriteError::disk("write", &pending_place(state), error.into()))?;
    single::replace_private(&pending_place(state), &bytes)
}

/// The change is made: it gets its place among the others, and the oldest make room.
pub(super) fn settle(state: &Path, number: u64) -> Result<()> {
    disk::rename(&pending_place(state), &place(state, number))?;
    // Looking at the size of each takes a moment, and many stand below the limit.
    let mut left = if number.is_multiple_of(16) {
        numbers(state)
    } else {
        Vec::new()
    };
    let size = |number: &u64| fs::metadata(place(state, *number)).map_or(0, |found| found.len());
    let mut bytes: u64 = left.iter().map(size).sum();
    while left.len() > MOST || (bytes > LARGEST && left.len() > 1) {
        let oldest = left.remove(0);
        bytes = bytes.saturating_sub(size(&oldest));
        disk::remove_file(&place(state, oldest))?;
    }
    if let Some(oldest) = left.first() {
        drop_pictures(state, *oldest)?;
    }
    disk::sync_folder(&folder(state))
}

/// Pictures go that no entry can bring back, and the oldest where they are too many.
fn drop_pictures(state: &Path, oldest: u64) -> Result<()> {
    let pictures = pictures(state);
    let size = |path: &PathBuf| fs::metadata(path).map_or(0, |found| found.len());
    let mut bytes: u64 = pictures.iter().map(size).sum();
    for picture in &pictures {
        let number = picture
            .file_name()
            .and_then(|name| name.to_str()?.split('-').next()?.parse::<u64>().ok());
        if bytes > MOST_OF_PICTURES || number.is_some_and(|number| number < oldest) {
            bytes = bytes.saturating_sub(size(picture));
            disk::remove_file(picture)?;
        }
    }
    Ok(())
}

/// Whether there is something that a killed run was writing, or one that lives is about to.
pub(super) fn has_left(state: &Path) -> Result<bool> {
    waiting::left_behind(&folder(state), |_| true).map(|left| !left.is_empty())
}

/// Removes what a killed run was writing; under the lock nobody else is at work.
pub(super) fn sweep(state: &Path) -> Result<()> {
    waiting::sweep_left_behind(&folder(state), |_| true).map(drop)
}

/// A change that did not happen is no history.
pub(super) fn drop_pending(state: &Path) -> Result<()> {
    disk::remove_file(&pending_place(state))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn undone(old: &str, new: &str, now: &str) -> std::result::Result<String, NotThere> {
        let piece = Piece::of("a", Some(old.as_bytes()), Some(new.as_bytes())).unwrap();
        piece
            .put_back(Some(now.as_bytes()))
            .map(|text| String::from_utf8(text.unwrap()).unwrap())
    }

    #[test]
    fn a_piece_goes_back_to_where_it_was() {
        let (old, new) = ("a: 1\nb: é\nc: 3\n", "a: 1\nb: è two\nc: 3\n");
        assert_eq!(undone(old, new, new).unwrap(), old);
        assert_eq!(
            undone(old, new, "# more\na: 1\nb: è two\nc: 3\nd: 4\n").unwrap(),
            "# more\na: 1\nb: é\nc: 3\nd: 4\n"
        );
        assert_eq!(
            undone(old, new, "a: 9\nb: è two\nc: 3\n").unwrap(),
            "a: 9\nb: é\nc: 3\n"
        );
        assert_eq!(
            undone(old, new, "a: 1\nb: three\nc: 3\n"),
            Err(NotThere::Changed)
        );
    }

    #[test]
    fn two_places_that_look_alike_are_not_guessed_at() {
        let (old, new) = ("- x: 1\n- x: 1\n", "- x: 1\n- x: 2\n- x: 1\n");
        assert_eq!(undone(old, new, new).unwrap(), old);
        let twice = "- x: 1\n- x: 2\n- x: 1\n- x: 1\n- x: 2\n- x: 1\n";
        assert_eq!(undone(old, new, twice), Err(NotThere::Several));
    }

    #[test]
    fn a_file_that_was_made_is_removed_again() {
        let made = Piece::of("a", None, Some(b"x")).unwrap();
        assert_eq!(made.put_back(Some(b"x")), Ok(None));
        assert_eq!(made.put_back(Some(b"y")), Err(NotThere::Changed));
        let removed = Piece::of("a", Some(b"x"), None).unwrap();
        assert_eq!(removed.put_back(None), Ok(Some(b"x".to_vec())));
    }
}
