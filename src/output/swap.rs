//! Puts a built tree in the place of the one that stands, and mends what a kill has left.
//!
//! In: a tree built beside the root. Out: the new tree at the root, the old one beside it under a
//! name that tells what it is. It must never leave it in doubt which of two trees is the old one,
//! for only that one may hold what nobody else has.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

use super::disk::{self, Result};
use super::error::WriteError;
use super::manifest::Manifest;
use super::sweep::{Sweep, sweep};
use super::system;
use super::target::Site;

/// What was found and mended of an earlier run that was interrupted.
#[derive(Clone, Debug, PartialEq, Eq, serde::Serialize)]
pub struct Mended {
    /// Name of the target.
    pub name: &'static str,
    /// Files that could not be told to belong into the target and were put aside, if any.
    pub kept: Vec<String>,
}

/// Where a new tree is built.
pub(super) fn building_place(site: &Site) -> PathBuf {
    site.beside(&format!(".building-{}", std::process::id()))
}

fn before_place(site: &Site) -> PathBuf {
    site.beside(".before")
}

/// Puts the complete tree at `built` to the root. Returns where the old tree stands now. An error
/// means that the old tree is at the root still.
pub(super) fn swap(site: &Site, built: &Path) -> Result<Option<PathBuf>> {
    let number = disk::look(built)?.map_or(0, |found| system::identity(&found));
    let ready = site.beside(&format!(".built-{number}"));
    disk::rename(built, &ready)?;
    let old = if disk::look(&site.root)?.is_none() {
        disk::rename(&ready, &site.root)?;
        None
    } else if disk::exchange(&ready, &site.root)? {
        Some(ready)
    } else {
        let before = before_place(site);
        disk::rename(&site.root, &before)?;
        if let Err(error) = disk::rename(&ready, &site.root) {
            disk::rename(&before, &site.root)?;
            return Err(error);
        }
        Some(before)
    };
    Ok(old)
}

/// Removes new trees that never came to the root; what may be an old tree is left alone.
pub(super) fn discard(site: &Site) -> Result<()> {
    let left = Leftovers::find(site)?;
    if left.half_swapped() {
        return Ok(());
    }
    left.fresh
        .iter()
        .try_for_each(|tree| disk::remove_tree(tree))
}

/// Brings the root back to one whole tree and removes the leftovers of an interrupted run. The list
/// of our files is asked for only when there are some.
pub(super) fn recover(
    site: &Site,
    list: impl FnOnce() -> Result<Manifest>,
) -> Result<Option<Mended>> {
    let left = Leftovers::find(site)?;
    if left.old.is_empty() && left.fresh.is_empty() {
        return Ok(None);
    }
    let list = list()?;
    let mut kept = Vec::new();
    for old in &left.old {
        if disk::look(&site.root)?.is_none() {
            disk::rename(old, &site.root)?;
            continue;
        }
        // Between the two moves somebody made the root anew: it lacks all that the old tree has.
        let how = if left.half_swapped() {
            Sweep::Live(&BTreeSet::new())
        } else {
            Sweep::Aside
        };
        kept.extend(sweep(site, old, &list, &how)?);
        disk::remove_tree(old)?;
    }
    left.fresh
        .iter()
        .try_for_each(|tree| disk::remove_tree(tree))?;
    site.sync_names()?;
    Ok(Some(Mended {
        name: site.name,
        kept,
    }))
}

/// Trees and files beside the root that bear the names above.
struct Leftovers {
    /// Trees that stood at the root and may hold what nobody else has.
    old: Vec<PathBuf>,
    /// Trees, and files of a probe, that never stood there.
    fresh: Vec<PathBuf>,
    before: bool,
    built: bool,
}

impl Leftovers {
    fn find(site: &Site) -> Result<Self> {
        let mut left = Self {
            old: Vec::new(),
            fresh: Vec::new(),
            before: false,
            built: false,
        };
        let failed = |source| WriteError::disk("look at", &site.parent, source);
        let prefix = site.beside(".").file_name().unwrap_or_default().to_owned();
        for found in std::fs::read_dir(&site.parent).map_err(failed)? {
            let found = found.map_err(failed)?;
            let name = found.file_name();
            let Some(kind) = name
                .as_encoded_bytes()
                .strip_prefix(prefix.as_encoded_bytes())
            else {
                continue;
            };
            left.sort_in(std::str::from_utf8(kind).unwrap_or_default(), found.path())?;
        }
        left.old.sort();
        left.fresh.sort();
        Ok(left)
    }

    fn sort_in(&mut self, kind: &str, place: PathBuf) -> Result<()> {
        let number = |prefix: &str| kind.strip_prefix(prefix)?.parse::<u64>().ok();
        let Some(found) = disk::look(&place)? else {
            return Ok(());
        };
        let staging = number("staging-").filter(|run| *run != u64::from(std::process::id()));
        if number("building-").is_some() || staging.is_some() {
            self.fresh.push(place);
        } else if !found.is_dir() {
            // None of ours: trees are folders.
        } else if kind == "before" {
            self.before = true;
            self.old.push(place);
        } else if let Some(number) = number("built-") {
            if number == system::identity(&found) {
                self.built = true;
                self.fresh.push(place);
            } else {
                self.old.push(place);
            }
        }
        Ok(())
    }

    /// Whether a run was stopped after it moved the old tree away and before it moved the new in.
    fn half_swapped(&self) -> bool {
        self.before && self.built
    }
}
