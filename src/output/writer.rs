//! The writer: survey, build, swap, settle.
//!
//! In: plans for targets that were opened. Out: the site on disk and what was done. One run at a
//! time, by a lock in the state folder. The order of its steps is what keeps the site whole; it
//! stands at the head of the module. It must never begin to swap before all targets are built, nor
//! depend on its memory: what is remembered of files only saves reading and making them again.

use std::collections::{BTreeMap, BTreeSet};
use std::fs::File;
use std::path::{Path, PathBuf};
use std::sync::{Mutex, MutexGuard, PoisonError};
use std::time::SystemTime;

use fs4::{FileExt, TryLockError};
use rayon::prelude::*;
use serde::Serialize;

use super::abreast::{each, try_each};
use super::artifacts::{Artifacts, Remembered};
use super::content::Content;
use super::disk::{self, Result};
use super::error::WriteError;
use super::locking::lock_file;
use super::manifest::Manifest;
use super::patch::{self, Patch};
use super::plan::Plan;
use super::site_path::SitePath;
use super::stage::Stage;
use super::survey::{self, Survey, SurveyedFile, survey};
use super::swap::{self, Mended};
use super::sweep::{Sweep, sweep};
use super::target::{self, Site, Target};
use super::tree;
use crate::cache::{Clock, Digest, FileDigests, Stamp, Store, tick};

/// Writes plans to targets; as long as it lives no other run can.
#[derive(Debug)]
pub struct Writer {
    sites: Vec<Site>,
    state: PathBuf,
    mended: Vec<Mended>,
    /// Where is kept, from this run on, what it saw and made; and a clock.
    store: Option<(Store, Clock)>,
    /// Whether every file is read, whatever was kept of it.
    reads_all: bool,
    /// What was looked at, by the name of its target, until it is used.
    looked: Mutex<BTreeMap<&'static str, Known>>,
    _lock: File,
}

/// What an earlier run left word of for one target.
#[derive(Debug)]
struct Known {
    list: Manifest,
    files: FileDigests,
    /// Nothing where nobody asked.
    made: Option<Artifacts>,
    /// What stands in the target.
    entries: Vec<SurveyedFile>,
}

/// What was done to one target. Paths are below its root, with `/` between their parts.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Report {
    /// Name of the target.
    pub name: &'static str,
    /// How many files are new or have new bytes.
    pub written: usize,
    /// How many planned files stood there already.
    pub unchanged: usize,
    /// How many files of an earlier run were removed.
    pub removed: usize,
    /// What somebody else put there, or changed and we no longer write: left as it is. A folder
    /// stands for all in it and ends with `/`.
    pub foreign: Vec<String>,
    /// Files whose edits were given up for the plan, or which were adopted and replaced.
    pub replaced: Vec<String>,
    /// Whole paths of files that changed while we worked and were put aside beside the target.
    pub kept: Vec<String>,
    /// Whether the list of our files was damaged, so that pages we no longer write could not be
    /// told from foreign ones: they are among `foreign`, and the keeper should look at them.
    pub list_lost: bool,
}

impl Report {
    /// Whether nothing in the target was touched.
    #[must_use]
    pub fn is_untouched(&self) -> bool {
        self.written == 0 && self.removed == 0
    }
}

impl Writer {
    /// Looks at everything before the long work begins: takes the lock in `state_dir` (made when
    /// missing), checks the targets against each other and against the `forbidden` folders, mends
    /// what an interrupted run left, and tries that a file can be made beside each root.
    ///
    /// # Errors
    /// [`WriteError::Busy`], [`WriteError::Unsuitable`], or [`WriteError::Disk`].
    pub fn open(state_dir: &Path, targets: &[Target], forbidden: &[PathBuf]) -> Result<Self> {
        let mut sites = targets.iter().map(Site::new).collect::<Result<Vec<_>>>()?;
        target::keep_apart(targets, &sites, state_dir, forbidden)?;
        let lock = lock(state_dir)?;
        let state = state_dir.canonicalize();
        let state = state.map_err(|source| WriteError::disk("look at", state_dir, source))?;
        let mut mended = Vec::new();
        for site in &mut sites {
            mended.extend(swap::recover(site, || {
                Manifest::load(&list_place(&state, site))
            })?);
            site.probe()?;
        }
        Ok(Self {
            sites,
            state,
            mended,
            store: None,
            reads_all: false,
            looked: Mutex::default(),
            _lock: lock,
        })
    }

    /// Remembers, from this run on, what it saw and made, so that the next one need not read or
    /// make it again.
    #[must_use]
    pub fn remembering(self, store: Store, clock: Clock) -> Self {
        Self {
            store: Some((store, clock)),
            ..self
        }
    }

    /// Reads every file of the targets, whatever an earlier run kept of it: some of them may lack
    /// bytes although the system says nothing of it.
    #[must_use]
    pub fn reading_all(self) -> Self {
        Self {
            reads_all: true,
            ..self
        }
    }

    /// Looks at what stands in every target, for what is asked later; what is not looked at now is
    /// then.
    ///
    /// # Errors
    /// [`WriteError::Disk`].
    pub fn look(&self) -> Result<()> {
        let known = self
            .sites
            .par_iter()
            .map(|site| Ok((site.name, self.look_at(site)?)))
            .collect::<Result<Vec<_>>>()?;
        self.looked().extend(known);
        Ok(())
    }

    /// Forgets what [`Writer::look`] saw: it will be looked at again.
    pub fn look_again(&self) {
        self.looked().clear();
    }

    /// Where the new files of a target wait until they are written.
    ///
    /// # Errors
    /// [`WriteError::Unopened`].
    pub fn stage(&self, target: &Target) -> Result<Stage> {
        Ok(Stage::of(self.site(target)?))
    }

    /// What an earlier run made, as far as it is remembered and stands in the target as it was
    /// written. Nothing without memory.
    ///
    /// # Errors
    /// [`WriteError::Unopened`], or [`WriteError::Disk`].
    pub fn before(&self, target: &Target) -> Result<Artifacts> {
        let site = self.site(target)?;
        let made = self
            .store
            .as_ref()
            .and_then(|(store, _)| Artifacts::load(store, site.name));
        let Some(made) = made else {
            return Ok(Artifacts::default());
        };
        let mut known = Known {
            made: Some(made.clone()),
            ..self.known(site)?
        };
        let standing = standing(site, &mut known)?;
        self.looked().insert(site.name, known);
        Ok(made.with(standing))
    }

    /// What [`Writer::open`] found of an interrupted run and mended.
    #[must_use]
    pub fn mended(&self) -> &[Mended] {
        &self.mended
    }

    /// Makes each target hold its plan and what others put there, and nothing else. With `adopt`,
    /// files and links that are not ours and stand where the plan has a file are replaced.
    ///
    /// # Errors
    /// [`WriteError::NotOurs`], [`WriteError::Changed`] or [`WriteError::Unopened`] with every
    /// target as it was; [`WriteError::Disk`] with every target as it was;
    /// [`WriteError::InPlace`] when some are new.
    pub fn write(&self, plans: &[(&Target, &Plan)], adopt: bool) -> Result<Vec<Report>> {
        let mut drafts = Vec::new();
        for (index, (target, plan)) in plans.iter().enumerate() {
            let twice = plans[..index]
                .iter()
                .any(|(other, _)| other.name == target.name);
            if twice {
                return Err(WriteError::Unopened { name: target.name });
            }
            let site = self.site(target)?;
            let mut known = self.known(site)?;
            // An earlier call on this writer may have failed half way.
            let mended = swap::recover(site, || Ok(known.list.clone()))?;
            if mended.is_some() {
                known = self.look_at(site)?;
            }
            let kept = mended.map(|mended| mended.kept).unwrap_or_default();
            drafts.push((site, *plan, known, kept));
        }
        let prepare = |(site, plan, known, kept)| {
            let mut job = Job::new(
                site,
                plan,
                list_place(&self.state, site),
                known,
                kept,
                adopt,
            )?;
            if job.survey.blocked.is_empty() && job.changed().is_none() {
                job.build()?;
            }
            Ok(job)
        };
        let jobs: Vec<Result<Job<'_>>> = each(drafts, prepare);
        let done = jobs
            .into_iter()
            .collect::<Result<Vec<Job<'_>>>>()
            .and_then(|jobs| run(&jobs).map(|reports| (jobs, reports)));
        let Ok((jobs, reports)) = done else {
            for (target, _) in plans {
                // The first error is the one to tell; what this leaves the next run removes.
                let _ = self.site(target).and_then(swap::discard);
            }
            return done.map(|(_, reports)| reports);
        };
        if let Some((store, clock)) = &self.store {
            let settled = clock();
            let _: Vec<()> = each(jobs, |job: Job<'_>| job.remember(store, settled));
        }
        Ok(reports)
    }

    fn site(&self, target: &Target) -> Result<&Site> {
        self.sites
            .iter()
            .find(|site| site.name == target.name)
            .ok_or(WriteError::Unopened { name: target.name })
    }

    /// What was looked at and not used yet.
    fn looked(&self) -> MutexGuard<'_, BTreeMap<&'static str, Known>> {
        self.looked.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// What stands in a target, and what is known of it: as it was looked at, or now.
    fn known(&self, site: &Site) -> Result<Known> {
        let looked = self.looked().remove(site.name);
        looked.map_or_else(|| self.look_at(site), Ok)
    }

    fn look_at(&self, site: &Site) -> Result<Known> {
        let read = || {
            let files = self.store.as_ref().map(|(store, clock)| {
                if self.reads_all {
                    FileDigests::none_known(*clock)
                } else {
                    FileDigests::load(store, &seen_name(site), Some(*clock))
                }
            });
            Manifest::load(&list_place(&self.state, site))
                .map(|list| (list, files.unwrap_or_default()))
        };
        let (read, entries) = rayon::join(read, || survey::entries(site));
        let (list, files) = read?;
        Ok(Known {
            list,
            files,
            made: None,
            entries: entries?,
        })
    }
}

fn seen_name(site: &Site) -> String {
    format!("seen-{}", site.name)
}

/// The digests of the files that are listed as ours and stand there with the rights they should
/// have.
fn standing(site: &Site, known: &mut Known) -> Result<BTreeMap<String, Digest>> {
    let Known {
        list,
        files,
        made: _,
        entries,
    } = known;
    let mut standing = BTreeMap::new();
    for SurveyedFile {
        at,
        found,
        path,
        digest,
    } in entries
    {
        if let Some(path) = path
            .as_ref()
            .filter(|path| found.is_file() && site.suits_file(found) && list.has(path))
        {
            let seen = survey::look(files, path.as_ref(), &site.root.join(at), found)?;
            standing.insert(path.to_string(), seen);
            *digest = Some(seen);
        }
    }
    Ok(standing)
}

/// What is to be done for one target.
struct Job<'a> {
    site: &'a Site,
    plan: &'a Plan,
    list: Manifest,
    survey: Survey<'a>,
    files: FileDigests,
    /// The new tree, once it is there.
    built: Option<Built>,
    /// New files for the tree that stands, in place of a new one.
    patch: Option<Patch>,
    /// What was remembered of what was made.
    made: Option<Artifacts>,
    /// What mending put aside.
    kept: Vec<String>,
    /// Where the list of our files is kept.
    place: PathBuf,
}

/// Puts all new trees in place, once all of them are there and nothing stands in the way of any.
fn run(jobs: &[Job<'_>]) -> Result<Vec<Report>> {
    let paths: Vec<_> = jobs
        .iter()
        .flat_map(|job| job.survey.blocked.clone())
        .collect();
    if !paths.is_empty() {
        return Err(WriteError::NotOurs { paths });
    }
    if let Some(path) = jobs.iter().find_map(Job::changed) {
        return Err(WriteError::Changed { path });
    }
    let unsynced: BTreeSet<&PathBuf> = jobs
        .iter()
        .filter(|job| job.built.is_some_and(|built| built.unsynced))
        .map(|job| &job.site.parent)
        .collect();
    for parent in unsynced {
        disk::sync_disk(parent)?;
    }
    let mut reports = Vec::new();
    for job in jobs {
        match job.finish() {
            Ok(report) => reports.push(report),
            Err((is_new, cause)) => {
                let names = || jobs.iter().map(|job| job.site.name);
                let (new, old) = names().partition::<Vec<_>, _>(|name| {
                    reports.iter().any(|done| done.name == *name)
                        || (is_new && *name == job.site.name)
                });
                return Err(if new.is_empty() {
                    cause
                } else {
                    WriteError::InPlace {
                        new,
                        old,
                        cause: Box::new(cause),
                    }
                });
            }
        }
    }
    Ok(reports)
}

/// A new tree that is complete.
#[derive(Clone, Copy)]
struct Built {
    /// When it was.
    at: SystemTime,
    /// Whether the disk is still to be waited for.
    unsynced: bool,
}

impl<'a> Job<'a> {
    fn new(
        site: &'a Site,
        plan: &'a Plan,
        place: PathBuf,
        known: Known,
        kept: Vec<String>,
        adopt: bool,
    ) -> Result<Self> {
        let Known {
            list,
            mut files,
            made,
            entries,
        } = known;
        let survey = survey(site, entries, plan, &list, &mut files, adopt)?;
        Ok(Self {
            site,
            plan,
            list,
            survey,
            files,
            built: None,
            patch: None,
            made,
            kept,
            place,
        })
    }

    /// A file that the plan would leave as it stands, and that no longer stands so.
    fn changed(&self) -> Option<PathBuf> {
        let standing = |path: &&SitePath| {
            self.plan
                .get((**path).as_ref())
                .is_some_and(Content::is_standing)
        };
        self.survey
            .write
            .iter()
            .find(|path| standing(path))
            .map(|path| path.below(&self.site.root))
    }

    /// Keeps from what everything was made, and what was seen; since `settled` no tree has changed.
    /// Where it cannot be kept, only time is lost.
    fn remember(mut self, store: &Store, settled: SystemTime) {
        let (plan, name) = (self.plan, self.site.name);
        let before = self.made.take();
        rayon::join(
            || remember_made(plan, before.as_ref(), (store, name)),
            || self.remember_seen(store, settled),
        );
    }

    /// Keeps what was seen.
    fn remember_seen(mut self, store: &Store, settled: SystemTime) {
        if let Some(Built { at, unsynced: _ }) = self.built
            && self.note_built(at, settled).is_err()
        {
            return;
        }
        self.files.save(store, &seen_name(self.site));
    }

    /// What to keep of a tree that was just put in place, without reading it: the digests are those
    /// of its plan. What somebody may have changed since it was built is left to be read.
    fn note_built(&mut self, built: SystemTime, settled: SystemTime) -> Result<()> {
        // Files that changed a moment ago cannot be kept, and all of these did: a moment's wait
        // saves reading all of them the next time.
        let since = self.files.now().duration_since(settled).unwrap_or_default();
        std::thread::sleep(tick().saturating_sub(since));
        self.files.forget();
        let planned = self.plan.iter().collect();
        let found = try_each(planned, |(path, content): (&SitePath, &Content)| {
            let found = disk::look(&path.below(&self.site.root))?;
            let as_built = found.filter(|found| {
                found.len() == content.digest().length()
                    && found.modified().is_ok_and(|written| written <= built)
            });
            Ok((path, content, as_built))
        })?;
        for (path, content, as_built) in found {
            if let Some(found) = as_built {
                let stamp = Stamp::of(&found, self.files.now());
                self.files.note(path.as_ref(), (content.digest(), stamp));
            }
        }
        Ok(())
    }

    /// Builds the new tree, where there is to be one.
    fn build(&mut self) -> Result<()> {
        if self.survey.tree_is_right() {
            return Ok(());
        }
        if patch::is_enough(self.site, &self.survey)? {
            self.patch = Some(patch::prepare(self.site, self.plan, &self.survey)?);
        } else {
            let unsynced = tree::build(
                self.site,
                self.plan,
                &self.survey,
                &swap::building_place(self.site),
            )?;
            self.built = Some(Built {
                at: self.files.now(),
                unsynced,
            });
        }
        Ok(())
    }

    /// Puts the new tree in its place. An error comes with whether it stands there.
    fn finish(&self) -> std::result::Result<Report, (bool, WriteError)> {
        let next = Manifest::of(self.plan);
        let mut kept = self.kept.clone();
        let (old_stays, new_stands) = (|cause| (false, cause), |cause| (true, cause));
        if let Some(patch) = &self.patch {
            let put = patch.put().and_then(|()| self.save(&next));
            put.map_err(new_stands)?;
        } else if !self.survey.tree_is_right() {
            let union = self.list.union(&next);
            self.save(&union).map_err(old_stays)?;
            let old = swap::swap(self.site, &swap::building_place(self.site)).map_err(old_stays)?;
            kept.extend(self.tidy(old, &union, &next).map_err(new_stands)?);
        } else if next != self.list {
            // Nothing in the tree changes.
            self.save(&next).map_err(new_stands)?;
        }
        Ok(report(self.site, &self.survey, kept, self.list.lost))
    }

    /// Replaces the list of our files.
    fn save(&self, list: &Manifest) -> Result<()> {
        list.save(&self.place, self.site.is_durable())
    }

    /// What is left to do once the new tree is in its place; what was put aside.
    fn tidy(&self, old: Option<PathBuf>, union: &Manifest, next: &Manifest) -> Result<Vec<String>> {
        self.site.sync_names()?;
        let mut kept = Vec::new();
        if let Some(old) = old {
            kept = sweep(self.site, &old, union, &Sweep::Live(&self.survey.replaced))?;
            disk::remove_tree(&old)?;
        }
        self.save(next)?;
        Ok(kept)
    }
}

/// Keeps from what everything was made, as far as it is not what was kept before.
fn remember_made(plan: &Plan, before: Option<&Artifacts>, to: (&Store, &str)) {
    let made: Remembered = plan
        .made()
        .map(|(path, key, digest)| (path.to_string(), (key, digest)))
        .collect();
    Artifacts::keep(&made, plan.reads(), before, to);
}

fn report(site: &Site, survey: &Survey<'_>, kept: Vec<String>, list_lost: bool) -> Report {
    Report {
        name: site.name,
        written: survey.write.len(),
        unchanged: survey.keep.len(),
        removed: survey.removed,
        foreign: survey.foreign.clone(),
        replaced: survey.replaced.iter().map(ToString::to_string).collect(),
        kept,
        list_lost,
    }
}

fn list_place(state: &Path, site: &Site) -> PathBuf {
    state.join(format!("written-{}.json", site.name))
}

fn lock(state: &Path) -> Result<File> {
    let (file, place) = lock_file(state, "writer.lock")?;
    match FileExt::try_lock(&file) {
        Ok(()) => Ok(file),
        Err(TryLockError::WouldBlock) => Err(WriteError::Busy { lock: place }),
        Err(TryLockError::Error(source)) => Err(WriteError::disk("lock", &place, source)),
    }
}
