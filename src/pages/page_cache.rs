//! Pages that an earlier run made, and that need not be made again.
//!
//! In: for each page, everything it is made from. Out: the page an earlier run made from the same,
//! if it still stands; otherwise the page is rendered. The digest is of the view as the templates
//! see it, so that nothing can be forgotten, and of the templates. Where the records that a view is
//! chosen from can be named, and are as they were, not even the view is made. Never a page that is
//! merely likely to be the same.

use super::engine::{Engine, PageError};
use crate::cache::{ArtifactKey, Digest, Digester, Reason};
use crate::output::{Artifact, Artifacts, Stage};
use serde::Serialize;
use std::sync::{Mutex, PoisonError};

/// The pages of one target.
#[derive(Debug, Default)]
pub struct PageCache {
    before: Artifacts,
    stage: Stage,
    again: Mutex<Vec<(String, Reason)>>,
}

impl PageCache {
    /// The pages that stand in a target, and where new ones wait to be written.
    #[must_use]
    pub fn new(before: Artifacts, stage: Stage) -> Self {
        Self {
            before,
            stage,
            again: Mutex::default(),
        }
    }

    /// What stands in the target.
    #[must_use]
    pub fn before(&self) -> &Artifacts {
        &self.before
    }

    /// The pages that were made, with the reason, in the order of their paths.
    #[must_use]
    pub fn again(&self) -> Vec<(String, Reason)> {
        let mut again = self
            .again
            .lock()
            .unwrap_or_else(PoisonError::into_inner)
            .clone();
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
    ) -> Result<Artifact, PageError> {
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
    ) -> Result<Artifact, PageError> {
        let what = Digest::of_view(&(path, parts)).map_err(|error| PageError::Template {
            name: path.to_owned(),
            message: error.to_string(),
        })?;
        let key = ArtifactKey {
            how: engine.templates(),
            what,
            from: what,
        };
        let why = match self.before.find(path, key) {
            Ok(_) if !may_stay => Reason::Unknown,
            Ok(made) => return Ok(made),
            Err(why) => why,
        };
        self.again
            .lock()
            .unwrap_or_else(PoisonError::into_inner)
            .push((path.to_owned(), why));
        Ok(Artifact {
            content: self.stage.put(render()?.into_bytes()),
            key,
        })
    }

    /// The page at `path`, which is chosen from `from` and from nothing else: when that is as it
    /// was, `make` is not asked.
    pub(super) fn page_from(
        &self,
        engine: &Engine,
        path: &str,
        from: &[Digest],
        make: impl FnOnce() -> Result<Artifact, PageError>,
    ) -> Result<Artifact, PageError> {
        let mut all = Digester::default();
        all.part(path.as_bytes());
        for part in from {
            all.digest(part);
        }
        let from = all.finish();
        if let Some(made) = self.before.chosen(path, engine.templates(), from) {
            return Ok(made);
        }
        let Artifact { content, key } = make()?;
        Ok(Artifact {
            content,
            key: ArtifactKey { from, ..key },
        })
    }
}
