//! A part of the records that two readings have in common.
//!
//! In: a value. Out: the same for whoever asks, without a copy; one is made only for somebody who
//! changes it while others look at it. When one file changed, the records read anew share all other
//! files' contents with those read before.

use serde::{Deserialize, Deserializer};
use std::ops::{Deref, DerefMut};
use std::sync::Arc;

/// A value that several may hold.
#[derive(Debug, Default, PartialEq)]
pub struct Shared<T>(Arc<T>);

impl<T> Clone for Shared<T> {
    fn clone(&self) -> Self {
        Self(Arc::clone(&self.0))
    }
}

impl<T: Clone> Shared<T> {
    /// The value itself; a copy where somebody else holds it too.
    pub fn into_inner(self) -> T {
        Arc::unwrap_or_clone(self.0)
    }
}

impl<T> From<T> for Shared<T> {
    fn from(value: T) -> Self {
        Self(Arc::new(value))
    }
}

impl<T> Deref for Shared<T> {
    type Target = T;

    fn deref(&self) -> &T {
        &self.0
    }
}

impl<T: Clone> DerefMut for Shared<T> {
    fn deref_mut(&mut self) -> &mut T {
        Arc::make_mut(&mut self.0)
    }
}

impl<'de, T: Deserialize<'de>> Deserialize<'de> for Shared<T> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        T::deserialize(deserializer).map(Self::from)
    }
}

impl<T> FromIterator<T> for Shared<Vec<T>> {
    fn from_iter<I: IntoIterator<Item = T>>(items: I) -> Self {
        Self::from(Vec::from_iter(items))
    }
}

impl<'a, T> IntoIterator for &'a Shared<Vec<T>> {
    type Item = &'a T;
    type IntoIter = std::slice::Iter<'a, T>;

    fn into_iter(self) -> Self::IntoIter {
        self.0.iter()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn who_changes_it_changes_it_for_nobody_else() {
        let one = Shared::from(vec![1, 2]);
        let mut other = one.clone();
        assert!(Arc::ptr_eq(&one.0, &other.0));
        other.push(3);
        assert_eq!((one.len(), other.len()), (2, 3));
    }
}
