//! What was read while something was made, and whether it is as it was.
//!
//! In: names of tracked values as they are read, and the digests of all such values as they are
//! now. Out: the names of those that were read ([`noting`]), and the digest of all of these
//! ([`Digests::of`]). Nobody lists by hand what a page depends on.
//!
//! A read is noted on the thread that reads: what is made while reads are noted is made on one
//! thread.

use super::digest::{Digest, Digester};
use serde::{Deserialize, Serialize};
use std::cell::RefCell;
use std::collections::{BTreeMap, BTreeSet, HashSet};
use std::ops::Bound;
use std::sync::Arc;

/// The name of a tracked value, the same in every run. One with an empty name is never taken for
/// unchanged.
pub type TrackedName = Arc<str>;

/// The names of what was read, each once and in order.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Reads(Arc<[TrackedName]>);

impl Reads {
    /// Reads that an earlier run noted.
    #[must_use]
    pub fn of(names: Vec<TrackedName>) -> Self {
        Self(names.into())
    }

    /// Their names.
    #[must_use]
    pub fn names(&self) -> &[TrackedName] {
        &self.0
    }
}

/// What is read while one thing is made.
#[derive(Default)]
struct Notebook {
    names: Vec<TrackedName>,
    /// Where names and whole [`Reads`] lie that were noted already, so that most reads cost little.
    known: HashSet<usize>,
    /// They are held, so that nothing else can come to lie there.
    whole: Vec<Reads>,
}

thread_local! {
    static OPEN: RefCell<Vec<Notebook>> = const { RefCell::new(Vec::new()) };
}

fn address<T: ?Sized>(of: &Arc<T>) -> usize {
    Arc::as_ptr(of).cast::<u8>() as usize
}

/// Notes that this was read.
pub(super) fn note(name: &TrackedName) {
    OPEN.with_borrow_mut(|open| {
        if let Some(notebook) = open.last_mut()
            && notebook.known.insert(address(name))
        {
            notebook.names.push(name.clone());
        }
    });
}

/// Notes that all of these were read.
pub(super) fn note_all(reads: &Reads) {
    OPEN.with_borrow_mut(|open| {
        if let Some(notebook) = open.last_mut()
            && notebook.known.insert(address(&reads.0))
        {
            notebook.whole.push(reads.clone());
        }
    });
}

/// Closes the notebook it opened, also when making it panics.
struct Open;

impl Drop for Open {
    fn drop(&mut self) {
        OPEN.with_borrow_mut(Vec::pop);
    }
}

/// Makes something, and notes what is read meanwhile; whoever asked for it has read the same.
pub fn noting<T>(make: impl FnOnce() -> T) -> (T, Reads) {
    let (made, reads) = apart(make);
    note_all(&reads);
    (made, reads)
}

/// Makes something with a notebook of its own.
pub(super) fn apart<T>(make: impl FnOnce() -> T) -> (T, Reads) {
    OPEN.with_borrow_mut(|open| open.push(Notebook::default()));
    let open = Open;
    let made = make();
    let Notebook { names, whole, .. } =
        OPEN.with_borrow_mut(|open| open.last_mut().map(std::mem::take).unwrap_or_default());
    drop(open);
    let mut all = names;
    all.extend(whole.iter().flat_map(|reads| reads.0.iter().cloned()));
    all.sort_unstable();
    all.dedup();
    (made, Reads::of(all))
}

/// The digests of tracked values by their names, as they are now.
#[derive(Debug, Clone, Default)]
pub struct Digests(BTreeMap<TrackedName, Digest>);

impl Digests {
    /// Adds one.
    pub fn insert(&mut self, name: impl Into<TrackedName>, digest: Digest) {
        self.0.insert(name.into(), digest);
    }

    /// Adds all of others.
    pub fn extend(&mut self, others: &Self) {
        let others = others.0.iter();
        self.0
            .extend(others.map(|(name, digest)| (name.clone(), *digest)));
    }

    /// One of them; nothing of a value that is not there.
    #[must_use]
    pub fn get(&self, name: &str) -> Option<&Digest> {
        self.0.get(name)
    }

    /// The digest of all whose names begin so.
    #[must_use]
    pub fn below(&self, prefix: &str) -> Digest {
        let mut all = Digester::default();
        let from = (Bound::Included(prefix), Bound::Unbounded);
        let of_prefix = self.0.range::<str, _>(from);
        for (name, digest) in of_prefix.take_while(|(name, _)| name.starts_with(prefix)) {
            all.named(name, Some(*digest));
        }
        all.finish()
    }

    /// The digest of all that was read; nothing when it is never taken for unchanged.
    #[must_use]
    pub fn of(&self, reads: &Reads) -> Option<Digest> {
        let mut all = Digester::default();
        for name in reads.names() {
            if name.is_empty() {
                return None;
            }
            all.named(name, self.get(name).copied());
        }
        Some(all.finish())
    }
}

/// Reads of several things as the store keeps them: each name once.
#[derive(Debug, Default, Serialize, Deserialize)]
pub struct KeptReads {
    names: Vec<String>,
    of: BTreeMap<String, Vec<u32>>,
}

impl KeptReads {
    /// What the store keeps of these.
    #[must_use]
    pub fn new(reads: &BTreeMap<String, Reads>) -> Self {
        let all: BTreeSet<&TrackedName> = reads.values().flat_map(|reads| reads.names()).collect();
        let numbers: BTreeMap<&TrackedName, u32> = all.iter().copied().zip(0..).collect();
        let numbers_of = |reads: &Reads| reads.names().iter().map(|name| numbers[name]).collect();
        Self {
            names: all.iter().map(ToString::to_string).collect(),
            of: reads
                .iter()
                .map(|(of, reads)| (of.clone(), numbers_of(reads)))
                .collect(),
        }
    }

    /// What was kept. One with a number that no name has is left out.
    #[must_use]
    pub fn reads(self) -> BTreeMap<String, Reads> {
        let names: Vec<TrackedName> = self.names.into_iter().map(TrackedName::from).collect();
        let name = |number: u32| names.get(usize::try_from(number).ok()?).cloned();
        let reads = |numbers: Vec<u32>| {
            let all: Option<Vec<TrackedName>> = numbers.into_iter().map(name).collect();
            all.map(Reads::of)
        };
        self.of
            .into_iter()
            .filter_map(|(of, numbers)| Some((of, reads(numbers)?)))
            .collect()
    }
}

/// Whether nothing is noted.
#[cfg(test)]
pub(super) fn is_closed() -> bool {
    OPEN.with_borrow(Vec::is_empty)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn reads_are_as_they_were_while_nothing_of_them_changed() {
        let reads =
            |names: &[&str]| Reads::of(names.iter().map(|name| TrackedName::from(*name)).collect());
        let of = |all: &[(&str, &str)]| {
            let mut digests = Digests::default();
            for (name, text) in all {
                digests.insert(*name, Digest::of(text.as_bytes()));
            }
            digests
        };
        let before = of(&[("a", "1"), ("b", "2")]);
        let read = reads(&["a", "c"]);
        assert_eq!(before.of(&read), of(&[("a", "1"), ("b", "3")]).of(&read));
        for other in [
            of(&[("a", "2"), ("b", "2")]),
            of(&[("b", "2")]),
            of(&[("a", "1"), ("c", "")]),
        ] {
            assert_ne!(before.of(&read), other.of(&read));
        }
        assert_eq!(
            before.of(&reads(&["", "a"])),
            None,
            "never taken for unchanged"
        );
        let below = |all: &[(&str, &str)]| of(all).below("notes/");
        let one = below(&[("notes/a", "1"), ("notes0", "2"), ("note", "3")]);
        assert_eq!(one, below(&[("notes/a", "1")]));
        assert_ne!(one, below(&[("notes/b", "1")]));
    }

    #[test]
    fn what_the_store_keeps_of_reads_is_read_back() {
        let reads =
            |names: &[&str]| Reads::of(names.iter().map(|name| TrackedName::from(*name)).collect());
        let all = BTreeMap::from([
            ("moss.html".to_owned(), reads(&["a", "b"])),
            ("fern.html".to_owned(), reads(&["b", "c"])),
        ]);
        let kept = postcard::to_allocvec(&KeptReads::new(&all)).unwrap();
        let back: KeptReads = postcard::from_bytes(&kept).unwrap();
        assert_eq!(back.reads(), all);
        let strange = KeptReads {
            names: vec!["a".to_owned()],
            of: BTreeMap::from([("moss.html".to_owned(), vec![0, 1])]),
        };
        assert!(strange.reads().is_empty());
    }
}
