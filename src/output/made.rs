//! What is made from what, so that it is made again only when that changed.
//!
//! In: a hash of everything a file is made from, in parts. Out: whether the file that an earlier run made from the same still stands, and if not, why it is made again.

use std::collections::BTreeMap;
use std::fmt;
use std::sync::Arc;

use serde::{Deserialize, Serialize};

use super::content::{Content, Mark, read_hash, write_hash};

/// Everything that a file is made from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Key {
    /// Hash of how it is made: templates, options, the version of the program.
    #[serde(serialize_with = "write_hash", deserialize_with = "read_hash")]
    pub how: blake3::Hash,
    /// Hash of what it shows.
    #[serde(serialize_with = "write_hash", deserialize_with = "read_hash")]
    pub what: blake3::Hash,
    /// Hash of what that was chosen from, where it is known before it is chosen; otherwise the same.
    #[serde(serialize_with = "write_hash", deserialize_with = "read_hash")]
    pub from: blake3::Hash,
}

/// A file with its key.
#[derive(Clone, Debug)]
pub struct Made {
    /// The file.
    pub content: Content,
    /// What it was made from.
    pub key: Key,
}

/// Why a file was made again.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Why {
    /// Nothing is remembered of it: it is new, or the cache was deleted, damaged or of another version.
    Unknown,
    /// It does not stand in the folder as it was written.
    NotThere,
    /// Templates, options or the program changed.
    How,
    /// What it shows changed.
    What,
}

impl fmt::Display for Why {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Unknown => "nothing is remembered of it",
            Self::NotThere => "it is missing in the folder or was changed there",
            Self::How => "templates, options or the program changed",
            Self::What => "what it shows changed",
        })
    }
}

/// What is remembered of the files that have keys.
pub(super) type Remembered = BTreeMap<String, (Key, Mark)>;

/// What an earlier run made, as far as it is remembered and still stands.
#[derive(Clone, Debug, Default)]
pub struct Before {
    pub(super) remembered: Arc<Remembered>,
    /// Marks of the files that stand there.
    pub(super) standing: Arc<BTreeMap<String, Mark>>,
}

impl Before {
    /// The file at `path`, when it was made from the same and stands there; or why it has to be made.
    ///
    /// # Errors
    /// [`Why`].
    pub fn find(&self, path: &str, key: Key) -> Result<Made, Why> {
        let (known, mark) = self.remembered.get(path).ok_or(Why::Unknown)?;
        if known.how != key.how {
            return Err(Why::How);
        }
        if known.what != key.what {
            return Err(Why::What);
        }
        if self.standing.get(path) != Some(mark) {
            return Err(Why::NotThere);
        }
        Ok(Made { content: Content::standing(*mark), key })
    }

    /// The file at `path`, when even what its content was chosen from is the same and it stands there.
    #[must_use]
    pub fn chosen(&self, path: &str, how: blake3::Hash, from: blake3::Hash) -> Option<Made> {
        let (key, mark) = self.remembered.get(path).filter(|(known, _)| known.how == how && known.from == from)?;
        Some(Made { content: self.leave(path, *mark)?, key: *key })
    }

    /// A file that stands there with this mark, to be left as it is.
    #[must_use]
    pub fn leave(&self, path: &str, mark: Mark) -> Option<Content> {
        (self.standing.get(path) == Some(&mark)).then(|| Content::standing(mark))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_file_is_made_again_for_a_reason() {
        let hash = |text: &str| blake3::hash(text.as_bytes());
        let key = Key { how: hash("templates"), what: hash("a puppy"), from: hash("a record") };
        let mark = Mark::of(b"page");
        let mut before = Before {
            remembered: Arc::new(BTreeMap::from([("a".to_owned(), (key, mark))])),
            standing: Arc::new(BTreeMap::from([("a".to_owned(), mark)])),
        };
        let why = |before: &Before, path: &str, key: Key| before.find(path, key).err();
        assert_eq!(before.find("a", key).unwrap().content, Content::standing(mark));
        assert!(before.find("a", Key { from: hash("another record"), ..key }).is_ok(), "what is shown decides");
        let chosen = |before: &Before, key: Key| before.chosen("a", key.how, key.from).map(|made| made.key);
        assert_eq!(chosen(&before, Key { what: hash("not looked at"), ..key }), Some(key));
        assert_eq!(chosen(&before, Key { how: hash("others"), ..key }), None);
        assert_eq!(chosen(&before, Key { from: hash("another record"), ..key }), None);
        assert_eq!(why(&before, "b", key), Some(Why::Unknown));
        assert_eq!(why(&before, "a", Key { how: hash("others"), ..key }), Some(Why::How));
        assert_eq!(why(&before, "a", Key { what: hash("another"), ..key }), Some(Why::What));
        before.standing = Arc::new(BTreeMap::from([("a".to_owned(), Mark::of(b"edited"))]));
        assert_eq!((why(&before, "a", key), chosen(&before, key)), (Some(Why::NotThere), None));
        before.standing = Arc::default();
        assert_eq!(why(&before, "a", key), Some(Why::NotThere));
    }
}
