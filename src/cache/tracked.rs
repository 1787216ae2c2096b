//! What something is made from, noted while it is made.
//!
//! In: values that have a name from run to run, each with the digest of what it stands for. Out:
//! the names of those that were read while something was made ([`noting`]), and whether all of them
//! are as they were ([`Digests::of`]). Nobody lists by hand what a page depends on.
//!
//! A read is noted on the thread that reads: what is made while reads are noted is made on one
//! thread. A reference that was taken before is not noted when it is used, so that what is made
//! later takes its values anew, by name.

use super::digest::{Digest, Digester};
use serde::{Deserialize, Deserializer, Serialize};
use std::borrow::Borrow;
use std::cell::RefCell;
use std::collections::{BTreeMap, BTreeSet, HashSet};
use std::ops::{Bound, Deref, DerefMut, Index};
use std::sync::{Arc, OnceLock};

/// The name of a tracked value, the same in every run. One with an empty name is never taken for
/// unchanged.
pub type Name = Arc<str>;

/// The names of what was read, each once and in order.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Reads(Arc<[Name]>);

impl Reads {
    /// Reads that an earlier run noted.
    #[must_use]
    pub fn of(names: Vec<Name>) -> Self {
        Self(names.into())
    }

    /// Their names.
    #[must_use]
    pub fn names(&self) -> &[Name] {
        &self.0
    }
}

/// What is read while one thing is made.
#[derive(Default)]
struct Notebook {
    names: Vec<Name>,
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
fn note(name: &Name) {
    OPEN.with_borrow_mut(|open| {
        if let Some(notebook) = open.last_mut()
            && notebook.known.insert(address(name))
        {
            notebook.names.push(name.clone());
        }
    });
}

/// Notes that all of these were read.
fn note_all(reads: &Reads) {
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
fn apart<T>(make: impl FnOnce() -> T) -> (T, Reads) {
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

/// A value whose readers are noted.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Tracked<T> {
    name: Name,
    value: T,
}

impl<T> Tracked<T> {
    /// A value that has this name in every run.
    pub fn new(name: impl Into<Name>, value: T) -> Self {
        Self {
            name: name.into(),
            value,
        }
    }

    /// A value that is known by a digest of its own: what is read to compute it is not noted.
    pub fn computed(name: impl Into<Name>, make: impl FnOnce() -> T) -> Self {
        Self::new(name, apart(make).0)
    }

    /// A part that is known by a name of its own: the whole is not noted.
    pub fn part<U: ?Sized>(&self, name: &Name, part: impl FnOnce(&T) -> &U) -> &U {
        note(name);
        part(&self.value)
    }

    /// The value itself.
    pub fn into_inner(self) -> T {
        self.value
    }
}

impl<T> From<T> for Tracked<T> {
    /// A value that is never taken for unchanged.
    fn from(value: T) -> Self {
        Self::new("", value)
    }
}

impl<'de, T: Deserialize<'de>> Deserialize<'de> for Tracked<T> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        T::deserialize(deserializer).map(Self::from)
    }
}

impl<T> Deref for Tracked<T> {
    type Target = T;

    fn deref(&self) -> &T {
        note(&self.name);
        &self.value
    }
}

impl<T> DerefMut for Tracked<T> {
    fn deref_mut(&mut self) -> &mut T {
        &mut self.value
    }
}

impl<'a, K: Ord, T> IntoIterator for &'a TrackedMap<K, T> {
    type Item = (&'a K, &'a T);
    type IntoIter = TrackedIter<'a, K, T>;

    fn into_iter(self) -> Self::IntoIter {
        note(&self.name);
        TrackedIter(self.values.iter())
    }
}

/// The values of a [`TrackedMap`] with their keys, in order.
#[derive(Debug)]
pub struct TrackedIter<'a, K, T>(std::collections::btree_map::Iter<'a, K, (Name, T)>);

impl<K, T> Clone for TrackedIter<'_, K, T> {
    fn clone(&self) -> Self {
        Self(self.0.clone())
    }
}

impl<'a, K, T> Iterator for TrackedIter<'a, K, T> {
    type Item = (&'a K, &'a T);

    fn next(&mut self) -> Option<Self::Item> {
        let (key, (name, value)) = self.0.next()?;
        note(name);
        Some((key, value))
    }
}

impl<K, T> DoubleEndedIterator for TrackedIter<'_, K, T> {
    fn next_back(&mut self) -> Option<Self::Item> {
        let (key, (name, value)) = self.0.next_back()?;
        note(name);
        Some((key, value))
    }
}

#[expect(
    clippy::into_iter_without_iter,
    reason = "that of the value is found by dereferencing"
)]
impl<'a, T> IntoIterator for &'a Tracked<T>
where
    &'a T: IntoIterator,
{
    type Item = <&'a T as IntoIterator>::Item;
    type IntoIter = <&'a T as IntoIterator>::IntoIter;

    fn into_iter(self) -> Self::IntoIter {
        (&**self).into_iter()
    }
}

/// Tracked values by key. Who looks for one that is missing, or at all of them, has read which keys
/// there are.
#[derive(Debug, Clone, PartialEq)]
pub struct TrackedMap<K, T> {
    name: Name,
    values: BTreeMap<K, (Name, T)>,
}

impl<K: Ord, T> TrackedMap<K, T> {
    /// A map without values; its name stands for which keys it has.
    pub fn new(name: impl Into<Name>) -> Self {
        Self {
            name: name.into(),
            values: BTreeMap::new(),
        }
    }

    /// Adds a value that has this name in every run.
    pub fn insert_named(&mut self, key: K, name: impl Into<Name>, value: T) {
        self.values.insert(key, (name.into(), value));
    }

    /// Adds a value that is never taken for unchanged.
    pub fn insert(&mut self, key: K, value: T) {
        self.insert_named(key, "", value);
    }

    /// A value.
    pub fn get<Q: Ord + ?Sized>(&self, key: &Q) -> Option<&T>
    where
        K: Borrow<Q>,
    {
        let Some((name, value)) = self.values.get(key) else {
            note(&self.name);
            return None;
        };
        note(name);
        Some(value)
    }

    /// A value with its key as the map has it.
    pub fn get_key_value<Q: Ord + ?Sized>(&self, key: &Q) -> Option<(&K, &T)>
    where
        K: Borrow<Q>,
    {
        let value = self.get(key)?;
        let (key, _) = self.values.get_key_value(key)?;
        Some((key, value))
    }

    /// A value, to be changed.
    pub fn get_mut<Q: Ord + ?Sized>(&mut self, key: &Q) -> Option<&mut T>
    where
        K: Borrow<Q>,
    {
        self.values.get_mut(key).map(|(_, value)| value)
    }

    /// Whether there is such a value.
    pub fn contains_key<Q: Ord + ?Sized>(&self, key: &Q) -> bool
    where
        K: Borrow<Q>,
    {
        self.get(key).is_some()
    }

    /// All values with their keys, in order.
    pub fn iter(&self) -> TrackedIter<'_, K, T> {
        self.into_iter()
    }

    /// All keys, in order.
    pub fn keys(&self) -> impl DoubleEndedIterator<Item = &K> {
        note(&self.name);
        self.values.keys()
    }

    /// All values, in the order of their keys.
    pub fn values(&self) -> impl DoubleEndedIterator<Item = &T> + Clone {
        self.iter().map(|(_, value)| value)
    }

    /// All values, to be changed.
    pub fn values_mut(&mut self) -> impl Iterator<Item = &mut T> {
        self.values.values_mut().map(|(_, value)| value)
    }

    /// How many there are.
    pub fn len(&self) -> usize {
        note(&self.name);
        self.values.len()
    }

    /// Whether there are none.
    pub fn is_empty(&self) -> bool {
        self.len() == 0
    }
}

impl<K: Ord, T> Default for TrackedMap<K, T> {
    fn default() -> Self {
        Self::new("")
    }
}

impl<K: Ord, T> FromIterator<(K, T)> for TrackedMap<K, T> {
    /// Values that are never taken for unchanged.
    fn from_iter<I: IntoIterator<Item = (K, T)>>(values: I) -> Self {
        let mut map = Self::default();
        for (key, value) in values {
            map.insert(key, value);
        }
        map
    }
}

impl<K: Ord + Borrow<Q>, Q: Ord + ?Sized, T> Index<&Q> for TrackedMap<K, T> {
    type Output = T;

    fn index(&self, key: &Q) -> &T {
        #[expect(
            clippy::expect_used,
            reason = "as any map it has the values that it has"
        )]
        self.get(key).expect("a key of the map")
    }
}

/// A value with what it was computed from: whoever looks at it has read that.
#[derive(Debug)]
pub struct Noted<T> {
    value: T,
    reads: Reads,
}

impl<T> Noted<T> {
    /// Computes the value.
    pub fn of(make: impl FnOnce() -> T) -> Self {
        let (value, reads) = noting(make);
        Self { value, reads }
    }
}

impl<T> Deref for Noted<T> {
    type Target = T;

    fn deref(&self) -> &T {
        note_all(&self.reads);
        &self.value
    }
}

/// The same for a value that is computed when it is first asked for.
#[derive(Debug, Default)]
pub struct Computed<T>(OnceLock<Noted<T>>);

impl<T> Computed<T> {
    /// Nothing is computed yet.
    #[must_use]
    pub const fn new() -> Self {
        Self(OnceLock::new())
    }

    /// The value; it is computed unless it was.
    pub fn get_or_init(&self, make: impl FnOnce() -> T) -> &T {
        self.0.get_or_init(|| Noted::of(make))
    }

    /// Whether the value was computed.
    #[cfg(test)]
    pub(crate) fn is_computed(&self) -> bool {
        self.0.get().is_some()
    }
}

/// The digests of tracked values by their names, as they are now.
#[derive(Debug, Clone, Default)]
pub struct Digests(BTreeMap<Name, Digest>);

impl Digests {
    /// Adds one.
    pub fn insert(&mut self, name: impl Into<Name>, digest: Digest) {
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
        let all: BTreeSet<&Name> = reads.values().flat_map(|reads| reads.names()).collect();
        let numbers: BTreeMap<&Name, u32> = all.iter().copied().zip(0..).collect();
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
        let names: Vec<Name> = self.names.into_iter().map(Name::from).collect();
        let name = |number: u32| names.get(usize::try_from(number).ok()?).cloned();
        let reads = |numbers: Vec<u32>| {
            let all: Option<Vec<Name>> = numbers.into_iter().map(name).collect();
            all.map(Reads::of)
        };
        self.of
            .into_iter()
            .filter_map(|(of, numbers)| Some((of, reads(numbers)?)))
            .collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn names(reads: &Reads) -> Vec<&str> {
        reads.names().iter().map(|name| &**name).collect()
    }

    fn litters() -> TrackedMap<&'static str, u8> {
        let mut litters = TrackedMap::new("litters/");
        litters.insert_named("moss", "litters/moss", 1);
        litters.insert_named("fern", "litters/fern", 2);
        litters
    }

    #[test]
    fn what_is_read_is_noted_and_nothing_else() {
        let kennel = Tracked::new("kennel", 7);
        let plan = Tracked::new("plan", 8);
        let litters = litters();
        let reads = |make: &dyn Fn()| noting(make).1;
        assert_eq!(names(&reads(&|| ())), [""; 0]);
        let twice = reads(&|| _ = (*kennel, *kennel));
        assert_eq!(names(&twice), ["kennel"]);
        let both = reads(&|| _ = *kennel + *plan);
        assert_eq!(names(&both), ["kennel", "plan"]);
        let one = reads(&|| _ = litters.get("moss"));
        assert_eq!(names(&one), ["litters/moss"]);
        let missing = reads(&|| _ = litters.get("heath"));
        assert_eq!(names(&missing), ["litters/"]);
        let all = reads(&|| _ = litters.iter().count());
        assert_eq!(names(&all), ["litters/", "litters/fern", "litters/moss"]);
        let last = reads(&|| _ = litters.values().next_back());
        assert_eq!(names(&last), ["litters/", "litters/moss"]);
        let part = reads(&|| _ = plan.part(&"part".into(), |plan| plan));
        assert_eq!(names(&part), ["part"]);
    }

    #[test]
    fn whoever_asks_for_a_figure_has_read_what_it_was_computed_from() {
        let kennel = Tracked::new("kennel", 7);
        let plan = Tracked::new("plan", 8);
        let figure = Computed::new();
        let ask = || *figure.get_or_init(|| *kennel + 1);
        let first = noting(|| (ask(), *plan)).1;
        assert_eq!(names(&first), ["kennel", "plan"]);
        assert_eq!(names(&noting(ask).1), ["kennel"]);
        let noted = Noted::of(|| *plan);
        assert_eq!(names(&noting(|| *noted).1), ["plan"]);
        let known = noting(|| Tracked::computed("sum", || *kennel + *plan));
        assert_eq!(names(&known.1), [""; 0]);
        assert_eq!(names(&noting(|| *known.0).1), ["sum"]);
    }

    #[test]
    fn a_panic_leaves_no_notebook_open() {
        let kennel = Tracked::new("kennel", 7);
        let outer = noting(|| {
            let panics = || noting(|| assert_ne!(*kennel, 7));
            assert!(std::panic::catch_unwind(panics).is_err());
        });
        assert_eq!(names(&outer.1), [""; 0]);
        assert!(OPEN.with_borrow(Vec::is_empty));
    }

    #[test]
    fn reads_are_as_they_were_while_nothing_of_them_changed() {
        let reads =
            |names: &[&str]| Reads::of(names.iter().map(|name| Name::from(*name)).collect());
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
            |names: &[&str]| Reads::of(names.iter().map(|name| Name::from(*name)).collect());
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
