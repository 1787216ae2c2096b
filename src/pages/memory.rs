//! What was made before, and need not be made again.
//!
//! In: for each page, everything it is made from. Out: the page an earlier run made from the same, if it still stands; otherwise the page is rendered. What a page is made from is hashed as the
//! templates see it, so that nothing can be forgotten; templates and program are part of it. Where the records that a view is chosen from can be named, and are as they were, not even the view
//! is made. Never a page that is merely likely to be the same.

use super::engine::{Engine, PageError};
use crate::output::{Before, Key, Made, Why};
use serde::Serialize;
use std::sync::{Mutex, PoisonError};

/// The memory of one target.
#[derive(Debug, Default)]
pub struct Memory {
    before: Before,
    /// What the program itself is remembered by; without it nothing is taken from memory.
    program: Option<blake3::Hash>,
    again: Mutex<Vec<(String, Why)>>,
}

impl Memory {
    /// Memory of what stands in a target. `program` is a hash of the running program: another build may make other pages.
    #[must_use]
    pub fn new(before: Before, program: Option<blake3::Hash>) -> Self {
        Self { before, program, again: Mutex::default() }
    }

    /// What stands in the target.
    #[must_use]
    pub fn before(&self) -> &Before {
        &self.before
    }

    /// The pages that were made, with the reason, in the order of their paths.
    #[must_use]
    pub fn again(&self) -> Vec<(String, Why)> {
        let mut again = self.again.lock().unwrap_or_else(PoisonError::into_inner).clone();
        again.sort();
        again
    }

    /// The page at `path`, which is made from `parts` with these templates and from nothing else.
    pub(super) fn page(
        &self,
        engine: &Engine,
        path: &str,
        parts: &impl Serialize,
        render: impl FnOnce() -> Result<String, PageError>,
    ) -> Result<Made, PageError> {
        self.page_if(true, engine, path, parts, render)
    }

    /// The same; when `may_stay` is false the page is made, whatever is remembered of it.
    pub(super) fn page_if(
        &self,
        may_stay: bool,
        engine: &Engine,
        path: &str,
        parts: &impl Serialize,
        render: impl FnOnce() -> Result<String, PageError>,
    ) -> Result<Made, PageError> {
        let key = self.key(engine, path, parts)?;
        let why = match self.before.find(path, key) {
            Ok(_) if !may_stay => Why::Unknown,
            Ok(made) if self.program.is_some() => return Ok(made),
            Ok(_) => Why::How,
            Err(why) => why,
        };
        self.again.lock().unwrap_or_else(PoisonError::into_inner).push((path.to_owned(), why));
        Ok(Made { content: render()?.into_bytes().into(), key })
    }

    /// The page at `path`, which is chosen from `from` and from nothing else: when that is as it was, `make` is not asked.
    pub(super) fn page_from(
        &self,
        engine: &Engine,
        path: &str,
        from: &[&[u8]],
        make: impl FnOnce() -> Result<Made, PageError>,
    ) -> Result<Made, PageError> {
        let mut hash = blake3::Hasher::new();
        for part in [path.as_bytes()].iter().chain(from) {
            hash.update(&(part.len() as u64).to_le_bytes()).update(part);
        }
        let from = hash.finalize();
        if self.program.is_some()
            && let Some(made) = self.before.chosen(path, self.how(engine), from)
        {
            return Ok(made);
        }
        let Made { content, key } = make()?;
        Ok(Made { content, key: Key { from, ..key } })
    }

    fn how(&self, engine: &Engine) -> blake3::Hash {
        let mut how = blake3::Hasher::new();
        how.update(engine.templates().as_bytes()).update(&self.program.map_or([0; 32], |program| *program.as_bytes()));
        how.finalize()
    }

    fn key(&self, engine: &Engine, path: &str, parts: &impl Serialize) -> Result<Key, PageError> {
        let parts = serde_json::to_vec(&(path, parts)).map_err(|error| PageError::Template { name: path.to_owned(), message: error.to_string() })?;
        let what = blake3::hash(&parts);
        Ok(Key { how: self.how(engine), what, from: what })
    }
}
