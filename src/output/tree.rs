//! Builds a complete new tree beside the one that stands.
//!
//! In: the plan, the survey and the standing tree. Out: a folder that holds the plan and everything
//! foreign, safely on disk. What stays the same becomes a second name of the same file, so the
//! standing tree is only read; a folder that is half built can be dropped without any loss.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

use super::abreast::try_each;
use super::content::Content;
use super::disk::{self, Result};
use super::plan::Plan;
use super::site_path::{self, SitePath};
use super::survey::Survey;
use super::system;
use super::target::{FileMode, Site};
use crate::cache::is_unchanged;

/// With up to this many new names each file and folder is waited for alone; with more, where the
/// system can, the whole disk is waited for once.
const FEW: usize = 64;

/// Builds the tree for `site` at `fresh`, which must not exist. Says whether the disk is still to
/// be waited for.
pub(super) fn build(site: &Site, plan: &Plan, survey: &Survey<'_>, fresh: &Path) -> Result<bool> {
    let folders = plan.folders().count() + survey.carry.len();
    let is_durable = site.is_durable();
    let at_once = system::SYNCS_DISK && survey.write.len() + folders > FEW || !is_durable;
    let mut tree = NewTree {
        site,
        fresh,
        sync: !at_once,
        made: BTreeSet::new(),
    };
    tree.make(Path::new(""), site.mode.folder())?;
    if matches!(site.mode, FileMode::Private) {
        system::keep_to_keeper(fresh);
    }
    for folder in plan.folders() {
        tree.make(&site_path::below(Path::new(""), folder), site.mode.folder())?;
    }
    tree.carry(survey)?;
    let place = |(path, content): (&SitePath, &Content)| {
        let (from, to) = (path.below(&site.root), path.below(fresh));
        let stands = match survey.keep.get(path) {
            // What changed since it was looked at is not what the plan means.
            Some(seen) => disk::look(&from)?.filter(|found| is_unchanged(seen, found)),
            None => None,
        };
        match stands {
            Some(found) => disk::carry(&from, &to, &found, !at_once),
            None => match content.staged_at().filter(|_| at_once) {
                Some(staged) => disk::rename(staged, &to),
                None => disk::write_new(&to, &content.bytes()?, site.mode.file(), !at_once),
            },
        }
    };
    try_each(plan.iter().collect(), place)?;
    tree.close(survey)?;
    Ok(at_once && is_durable)
}

struct NewTree<'a> {
    site: &'a Site,
    fresh: &'a Path,
    /// Whether each new file is waited for.
    sync: bool,
    /// The folders that exist by now, as places below the root.
    made: BTreeSet<PathBuf>,
}

impl NewTree<'_> {
    fn make(&mut self, at: &Path, mode: u32) -> Result<()> {
        disk::make_folder(&self.fresh.join(at), mode)?;
        self.made.insert(at.to_path_buf());
        Ok(())
    }

    /// Makes the folders of ours above something foreign that the plan no longer needs.
    fn make_above(&mut self, at: &Path) -> Result<()> {
        match at.parent() {
            Some(above) if !self.made.contains(above) => {
                self.make_above(above)?;
                self.make(above, self.site.mode.folder())
            }
            _ => Ok(()),
        }
    }

    fn carry(&mut self, survey: &Survey<'_>) -> Result<()> {
        for entry in &survey.carry {
            self.make_above(&entry.at)?;
            if entry.found.is_dir() {
                // Its own rights come last: they may forbid to put anything into it.
                self.make(&entry.at, 0o700)?;
            } else {
                let from = self.site.root.join(&entry.at);
                // Whoever put it there may have taken it away since it was looked at.
                if let Some(found) = disk::look(&from)? {
                    disk::carry(&from, &self.fresh.join(&entry.at), &found, self.sync)?;
                }
            }
        }
        Ok(())
    }

    fn close(&self, survey: &Survey<'_>) -> Result<()> {
        if self.sync {
            for at in &self.made {
                disk::sync_folder(&self.fresh.join(at))?;
            }
        }
        let folders = survey.carry.iter().filter(|entry| entry.found.is_dir());
        for entry in folders.rev() {
            disk::set_mode(&self.fresh.join(&entry.at), system::mode_of(&entry.found))?;
        }
        Ok(())
    }
}
