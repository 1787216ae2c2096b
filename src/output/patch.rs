//! Puts a few new files into a site that can be made again, without building its whole tree anew.
//!
//! In: the plan and the survey of a site that need not be durable. Out: each new file under its
//! name, whole, by renaming. Between the first and the last a reader finds some new and some old
//! files, and a kill may leave it so; the next run ends it. A site that is deployed never goes this
//! way.

use std::path::PathBuf;

use super::disk::{self, Result};
use super::plan::Plan;
use super::survey::Survey;
use super::swap::building_place;
use super::target::Site;

/// New files beside a root, ready to be put in place.
#[derive(Debug)]
pub(super) struct Patch {
    folder: PathBuf,
    /// Where each stands and where it goes.
    files: Vec<(PathBuf, PathBuf)>,
}

/// Whether all that is to be done is to put files into folders that stand.
pub(super) fn is_enough(site: &Site, survey: &Survey<'_>) -> Result<bool> {
    if site.is_durable() || !survey.only_writes() {
        return Ok(false);
    }
    for path in &survey.write {
        let place = path.below(&site.root);
        let folder = place.parent().unwrap_or(&site.root);
        let is_folder = disk::look(folder)?.is_some_and(|found| found.is_dir());
        let is_free = disk::look(&place)?.is_none_or(|found| found.is_file());
        if !is_folder || !is_free {
            return Ok(false);
        }
    }
    Ok(true)
}

/// Writes the new files beside the root.
pub(super) fn prepare(site: &Site, plan: &Plan, survey: &Survey<'_>) -> Result<Patch> {
    let folder = building_place(site);
    disk::make_folder(&folder, 0o700)?;
    let mut files = Vec::with_capacity(survey.write.len());
    for (path, content) in plan.iter().filter(|(path, _)| survey.write.contains(*path)) {
        let to = path.below(&site.root);
        let ready = if let Some(staged) = content.staged_at() {
            staged.to_owned()
        } else {
            let fresh = folder.join(files.len().to_string());
            disk::write_new(&fresh, &content.bytes()?, site.mode.file(), false)?;
            fresh
        };
        files.push((ready, to));
    }
    Ok(Patch { folder, files })
}

impl Patch {
    /// Puts all of them in place.
    pub(super) fn put(&self) -> Result<()> {
        for (ready, to) in &self.files {
            disk::rename(ready, to)?;
        }
        disk::remove_tree(&self.folder)
    }
}
