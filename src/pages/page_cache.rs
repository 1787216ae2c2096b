//! Pages that an earlier run made, and that need not be made again.
//!
//! In: for each page, everything it is made from. Out: the page an earlier run made from the same,
//! if it still stands; otherwise the page is rendered. The digest is of the view as the templates
//! see it, so that nothing can be forgotten, and of the templates. Where all that was read to
//! choose a view is as it was, not even the view is made. Never a page that is
//! merely likely to be the same.

use super::engine::{Engine, PageError};
use crate::cache::{ArtifactKey, Digest, Digester, Digests, Reads, Reason, noting};
use crate::output::{Artifact, Artifacts, Stage};
use serde::Serialize;
use std::cell::OnceCell;
use std::collections::BTreeMap;
use std::sync::{Mutex, PoisonError};

/// The pages of one target.
#[derive(Debug, Default)]
pub struct PageCache {
    before: Artifacts,
    stage: Stage,
    again: Mutex<Vec<(String, Reason)>>,
    /// The digests of what may be read, as they are now.
    digests: Digests,
    reads: Mutex<BTreeMap<String, Reads>>,
}

impl PageCache {
    /// The pages that stand in a target, where new ones wait to be written, and the digests of what
    /// is read for them.
    #[must_use]
    pub fn new(before: Artifacts, stage: Stage, digests: Digests) -> Self {
        Self {
            before,
            stage,
            digests,
            ..Self::default()
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

    /// Pages that are chosen together, by `choose`, once one of them has to be made. `group` is
    /// their common name; `besides` is what they show beside what is read.
    pub(super) fn group<'a, V>(
        &'a self,
        group: &str,
        besides: &[Digest],
        choose: impl Fn() -> V + 'a,
    ) -> ViewGroup<'a, V> {
        let before = self.before.reads(group).cloned();
        let before = before.and_then(|reads| Some((self.from(besides, &reads)?, reads)));
        ViewGroup {
            cache: self,
            name: group.to_owned(),
            besides: besides.to_vec(),
            before,
            choose: Box::new(choose),
            chosen: OnceCell::new(),
        }
    }

    /// The digest of all that pages are chosen from; nothing when they are never taken for
    /// unchanged.
    fn from(&self, besides: &[Digest], reads: &Reads) -> Option<Digest> {
        let mut all = Digester::default();
        for part in besides {
            all.digest(part);
        }
        Some(all.digest(&self.digests.of(reads)?).finish())
    }

    /// What was read for each group of pages.
    pub(super) fn reads(&self) -> BTreeMap<String, Reads> {
        self.reads
            .lock()
            .unwrap_or_else(PoisonError::into_inner)
            .clone()
    }

    fn note_reads(&self, group: &str, reads: &Reads) {
        self.reads
            .lock()
            .unwrap_or_else(PoisonError::into_inner)
            .insert(group.to_owned(), reads.clone());
    }
}

/// Pages that are chosen together.
pub(super) struct ViewGroup<'a, V> {
    cache: &'a PageCache,
    name: String,
    besides: Vec<Digest>,
    /// What was read for them before, with its digest now.
    before: Option<(Digest, Reads)>,
    choose: Box<dyn Fn() -> V + 'a>,
    chosen: OnceCell<(V, Option<Digest>)>,
}

impl<V> ViewGroup<'_, V> {
    /// One of the pages. When all that was read for them is as it was, `make` is not asked.
    pub(super) fn page(
        &self,
        engine: &Engine,
        path: &str,
        make: impl FnOnce(&V) -> Result<Artifact, PageError>,
    ) -> Result<Artifact, PageError> {
        if let Some((from, reads)) = &self.before
            && let Some(made) = self.cache.before.chosen(path, engine.templates(), *from)
        {
            if self.chosen.get().is_none() {
                self.cache.note_reads(&self.name, reads);
            }
            return Ok(made);
        }
        let (views, from) = self.chosen.get_or_init(|| {
            let (views, reads) = noting(&self.choose);
            self.cache.note_reads(&self.name, &reads);
            (views, self.cache.from(&self.besides, &reads))
        });
        let Artifact { content, key } = make(views)?;
        let from = from.unwrap_or(key.what);
        Ok(Artifact {
            content,
            key: ArtifactKey { from, ..key },
        })
    }
}
