//! What is made from what, so that it is made again only when that changed.
//!
//! In: a hash of everything a file is made from, in parts. Out: whether the file that an earlier
//! run made from the same still stands, and if not, why it is made again.

use std::collections::BTreeMap;
use std::sync::Arc;

use super::content::Content;
use crate::cache::{ArtifactKey, Digest, KeptReads, Reads, Reason, Store};

/// A file with its key.
#[derive(Clone, Debug)]
pub struct Artifact {
    /// The file.
    pub content: Content,
    /// What it was made from.
    pub key: ArtifactKey,
}

/// What is remembered of the files that have keys.
pub(super) type Remembered = BTreeMap<String, (ArtifactKey, Digest)>;

/// What an earlier run made, as far as it is remembered and still stands.
#[derive(Clone, Debug, Default)]
pub struct Artifacts {
    remembered: Arc<Remembered>,
    /// Marks of the files that stand there.
    standing: Arc<BTreeMap<String, Digest>>,
    /// What was read to choose what files show that are chosen together, by their common name.
    reads: Arc<BTreeMap<String, Reads>>,
}

impl Artifacts {
    /// What is kept of an earlier run, before anybody looked what of it stands; nothing when
    /// nothing is kept.
    pub(super) fn load(store: &Store, target: &str) -> Option<Self> {
        let remembered = Arc::new(store.load::<Remembered>(&made_name(target))?);
        let reads = store.load::<KeptReads>(&reads_name(target));
        Some(Self {
            remembered,
            standing: Arc::default(),
            reads: Arc::new(reads.unwrap_or_default().reads()),
        })
    }

    /// The same, once it is known what stands.
    pub(super) fn with(self, standing: BTreeMap<String, Digest>) -> Self {
        Self {
            standing: Arc::new(standing),
            ..self
        }
    }

    /// Keeps from what everything was made, as far as it is not what was kept before.
    pub(super) fn keep(
        made: &Remembered,
        reads: &BTreeMap<String, Reads>,
        before: Option<&Self>,
        (store, target): (&Store, &str),
    ) {
        if before.is_none_or(|before| *before.remembered != *made) {
            store.keep(&made_name(target), made);
        }
        if before.is_none_or(|before| *before.reads != *reads) {
            store.keep(&reads_name(target), &KeptReads::new(reads));
        }
    }

    /// The file at `path`, when it was made from the same and stands there; or why it has to be
    /// made.
    ///
    /// # Errors
    /// [`Reason`].
    pub fn find(&self, path: &str, key: ArtifactKey) -> Result<Artifact, Reason> {
        let (known, digest) = self.remembered.get(path).ok_or(Reason::Unknown)?;
        if known.how != key.how {
            return Err(Reason::How);
        }
        if known.what != key.what {
            return Err(Reason::What);
        }
        if self.standing.get(path) != Some(digest) {
            return Err(Reason::NotThere);
        }
        Ok(Artifact {
            content: Content::standing(*digest),
            key,
        })
    }

    /// What was read the last time to choose what these files show.
    #[must_use]
    pub fn reads(&self, group: &str) -> Option<&Reads> {
        self.reads.get(group)
    }

    /// The file at `path`, when even what its content was chosen from is the same and it stands
    /// there.
    #[must_use]
    pub fn chosen(&self, path: &str, how: Digest, from: Digest) -> Option<Artifact> {
        let (key, digest) = self
            .remembered
            .get(path)
            .filter(|(known, _)| known.how == how && known.from == from)?;
        Some(Artifact {
            content: self.leave(path, *digest)?,
            key: *key,
        })
    }

    /// A file that stands there with this digest, to be left as it is.
    #[must_use]
    pub fn leave(&self, path: &str, digest: Digest) -> Option<Content> {
        (self.standing.get(path) == Some(&digest)).then(|| Content::standing(digest))
    }
}

fn made_name(target: &str) -> String {
    format!("made-{target}")
}

fn reads_name(target: &str) -> String {
    format!("reads-{target}")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_file_is_made_again_for_a_reason() {
        let hash = |text: &str| Digest::of(text.as_bytes());
        let key = ArtifactKey {
            how: hash("templates"),
            what: hash("a puppy"),
            from: hash("a record"),
        };
        let digest = Digest::of(b"page");
        let mut before = Artifacts {
            remembered: Arc::new(BTreeMap::from([("a".to_owned(), (key, digest))])),
            standing: Arc::new(BTreeMap::from([("a".to_owned(), digest)])),
            ..Artifacts::default()
        };
        let how = ArtifactKey {
            how: hash("others"),
            ..key
        };
        let what = ArtifactKey {
            what: hash("another"),
            ..key
        };
        let from = ArtifactKey {
            from: hash("another record"),
            ..key
        };
        let why = |before: &Artifacts, path: &str, key: ArtifactKey| before.find(path, key).err();
        assert_eq!(
            before.find("a", key).unwrap().content,
            Content::standing(digest)
        );
        assert_eq!(why(&before, "a", from), None, "what is shown decides");
        let chosen = |before: &Artifacts, key: ArtifactKey| {
            before.chosen("a", key.how, key.from).map(|made| made.key)
        };
        assert_eq!(chosen(&before, what), Some(key), "it is not looked at");
        assert_eq!(chosen(&before, how), None);
        assert_eq!(chosen(&before, from), None);
        assert_eq!(why(&before, "b", key), Some(Reason::Unknown));
        assert_eq!(why(&before, "a", how), Some(Reason::How));
        assert_eq!(why(&before, "a", what), Some(Reason::What));
        before.standing = Arc::new(BTreeMap::from([("a".to_owned(), Digest::of(b"edited"))]));
        assert_eq!(
            (why(&before, "a", key), chosen(&before, key)),
            (Some(Reason::NotThere), None)
        );
        before.standing = Arc::default();
        assert_eq!(why(&before, "a", key), Some(Reason::NotThere));
    }
}
