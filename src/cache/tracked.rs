//! Values whose readers are noted.
//!
//! In: values that have a name from run to run. Out: the same values; whoever looks at one has read
//! it. A reference that was taken before is not noted when it is used, so that what is made later
//! takes its values anew, by name.

use super::reads::{Reads, TrackedName, apart, note, note_all, noting};
use serde::{Deserialize, Deserializer};
use std::borrow::Borrow;
use std::collections::BTreeMap;
use std::ops::{Deref, DerefMut, Index};
use std::sync::OnceLock;

/// A value whose readers are noted.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Tracked<T> {
    name: TrackedName,
    value: T,
}

impl<T> Tracked<T> {
    /// A value that has this name in every run.
    pub fn new(name: impl Into<TrackedName>, value: T) -> Self {
        Self {
            name: name.into(),
            value,
        }
    }

    /// The same value under another name.
    #[must_use]
    pub fn named(self, name: impl Into<TrackedName>) -> Self {
        Self::new(name, self.value)
    }

    /// A value that is known by a digest of its own: what is read to compute it is not noted.
    pub fn computed(name: impl Into<TrackedName>, make: impl FnOnce() -> T) -> Self {
        Self::new(name, apart(make).0)
    }

    /// A part that is known by a name of its own: the whole is not noted.
    pub fn part<U: ?Sized>(&self, name: &TrackedName, part: impl FnOnce(&T) -> &U) -> &U {
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
pub struct TrackedIter<'a, K, T>(std::collections::btree_map::Iter<'a, K, (TrackedName, T)>);

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
    name: TrackedName,
    values: BTreeMap<K, (TrackedName, T)>,
}

impl<K: Ord, T> TrackedMap<K, T> {
    /// A map without values; its name stands for which keys it has.
    pub fn new(name: impl Into<TrackedName>) -> Self {
        Self {
            name: name.into(),
            values: BTreeMap::new(),
        }
    }

    /// The same values; the name stands for which keys there are.
    #[must_use]
    pub fn named(self, name: impl Into<TrackedName>) -> Self {
        Self {
            name: name.into(),
            ..self
        }
    }

    /// Adds a value that has this name in every run.
    pub fn insert_named(&mut self, key: K, name: impl Into<TrackedName>, value: T) {
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
    #[must_use]
    pub fn is_computed(&self) -> bool {
        self.0.get().is_some()
    }
}

#[cfg(test)]
mod tests {
    use super::super::reads::is_closed;
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
        assert!(is_closed());
    }
}
