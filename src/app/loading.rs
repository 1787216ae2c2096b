//! Loading a kennel: its records and its pictures, with everything that is wrong with them.
//!
//! In: a session. Out: a [`LoadedKennel`]: all that a site is made from, and what stands where it
//! goes.

use super::folder::Folder;
use super::own_growth::OwnGrowth;
use super::pictures::{self, Gallery, PictureSources};
use super::progress::Progress;
use super::session::Session;
use super::{problems, secrets, terminal};
use crate::audience::Album;
use crate::husbandry::Figures;
use crate::output::Artifacts;
use crate::pages::Engine;
use crate::records::{Loaded, ParsedTexts, Records, load_parsed};
use crate::{Error, husbandry};
use std::sync::Arc;
use std::thread;

/// The records and what was computed from them.
pub struct Husbandry<'a> {
    pub records: &'a Records,
    pub figures: Figures<'a>,
    pub album: Album,
}

/// All that a site is made from.
pub struct LoadedKennel {
    /// The records, with their problems.
    pub loaded: Loaded,
    pub(super) gallery: Gallery,
    pub(super) engine: Arc<Engine>,
    /// What stands in the two folders.
    pub(super) befores: [Artifacts; 2],
    /// Whether the cache may be used; not after something was found to be other than it says.
    use_cache: bool,
}

impl LoadedKennel {
    /// Reads and checks the records, and prepares the pictures.
    pub(super) fn read(
        session: &Session,
        progress: &Progress,
        use_cache: bool,
    ) -> Result<Self, Error> {
        let store = &session.store;
        let sources = PictureSources {
            inputs: &session.inputs,
            store,
            may_write: true,
            trusted: use_cache,
        };
        let before = |target: usize| -> Result<Artifacts, Error> {
            Ok(if use_cache {
                session.writer.before(&session.targets[target])?
            } else {
                Artifacts::default()
            })
        };
        // What else is needed is read beside the records.
        let others = || {
            session.inputs.save(store);
            rayon::join(
                || Engine::with(&session.folder.own_templates()?).map_err(Error::from),
                || rayon::join(|| before(0), || before(1)),
            )
        };
        let ((loaded, gallery), (engine, (of_site, of_book))) =
            rayon::join(|| read(&session.folder, &sources, progress), others);
        Ok(Self {
            loaded,
            gallery,
            engine: engine?,
            befores: [of_site?, of_book?],
            use_cache,
        })
    }

    /// The problems of the records, as a terminal shows them.
    pub(super) fn problems(&self, folder: &Folder) -> String {
        problems::shown(folder, &self.loaded) + &problems::counts(&self.loaded)
    }

    /// The records with their figures; nothing when they have errors.
    pub(super) fn husbandry(&self, session: &Session) -> Option<Husbandry<'_>> {
        let records = self
            .loaded
            .records
            .as_ref()
            .filter(|_| !self.loaded.has_errors())?;
        let growth = OwnGrowth::of(records, &session.store);
        let kept = growth.kept().filter(|_| self.use_cache);
        let is_kept = kept.is_some();
        let figures = husbandry::compute_knowing(records, kept);
        let kennel = figures.kennel();
        if !is_kept {
            growth.keep(&kennel.growth);
        }
        Some(Husbandry {
            records,
            figures,
            album: pictures::album(&self.gallery.photos),
        })
    }
}

/// Loads the records and prepares the pictures: everything that can have a problem.
pub fn read(folder: &Folder, from: &PictureSources<'_>, progress: &Progress) -> (Loaded, Gallery) {
    let step = progress.step("reading records", None);
    let PictureSources {
        inputs,
        store,
        may_write,
        trusted,
    } = *from;
    let kept = trusted
        .then(|| folder.kept_records(|| inputs.texts(&folder.content)))
        .flatten();
    let known = if trusted && kept.is_none() {
        ParsedTexts::load(store)
    } else {
        ParsedTexts::default()
    };
    let keep = |parsed: &ParsedTexts| {
        if may_write && !parsed.is_empty() {
            parsed.keep(&known, store);
        }
    };
    // Whether git would take the secrets along is asked of git, which takes a while.
    let (mut loaded, warnings) = thread::scope(|scope| {
        let warnings = scope.spawn(|| secrets::warnings(&folder.root));
        let loaded = kept.unwrap_or_else(|| {
            let now = terminal::now();
            load_parsed(&folder.content, inputs.listing(), now, &known, keep)
                .without_sound_texts(&folder.content)
        });
        (
            loaded,
            warnings
                .join()
                .unwrap_or_else(|panic| std::panic::resume_unwind(panic)),
        )
    });
    loaded.parsed = ParsedTexts::default();
    drop(step);
    let mut gallery = loaded
        .records
        .as_ref()
        .map(|records| pictures::prepare(records, from, progress))
        .unwrap_or_default();
    let mut problems = std::mem::take(&mut gallery.problems);
    problems.extend(warnings);
    // One that cannot be listed stops whoever reads the templates.
    problems.extend(
        folder
            .list_templates()
            .map(|listing| folder.strange_templates(&listing))
            .unwrap_or_default(),
    );
    (
        if problems.is_empty() {
            loaded
        } else {
            loaded.with(problems)
        },
        gallery,
    )
}
