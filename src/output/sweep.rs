//! Looks through an old tree for what the new one lacks, before the old one is removed.
//!
//! In: a tree that stood at the root. Out: the root, completed with what somebody put into the old
//! tree after the survey, and a list of what had to be put aside. It must never drop a foreign file
//! whose bytes stand nowhere else, nor bring an old page of ours back to the root.

use std::collections::BTreeSet;
use std::fs::Metadata;
use std::path::{Path, PathBuf};

use super::abreast::try_each;
use super::disk::{self, Result};
use super::error::shown;
use super::manifest::{FileOrigin, Manifest};
use super::site_path::SitePath;
use super::survey::{SurveyedFile, walk};
use super::system;
use super::target::Site;
use crate::cache::Digest;

/// What is done with what is found.
pub(super) enum Sweep<'a> {
    /// The old tree has stood at the root until a moment ago: foreign files belong there, the newer
    /// of two wins, and files at these paths are given up as the survey said.
    Live(&'a BTreeSet<&'a SitePath>),
    /// A run was killed some time ago. Somebody may have removed a file from the root since,
    /// so nothing comes back there.
    Aside,
}

/// Sweeps `old`; returns the files that were put aside.
pub(super) fn sweep(
    site: &Site,
    old: &Path,
    list: &Manifest,
    how: &Sweep<'_>,
) -> Result<Vec<String>> {
    let folders = list.folders();
    let mut sweeper = Sweeper {
        site,
        list,
        how,
        aside: None,
        kept: Vec::new(),
    };
    let found = walk(old)?;
    let both = in_both(site, &found)?;
    let found = try_each(found, |entry| {
        let stays = !entry.found.is_dir()
            && entry.at.parent().is_some_and(|above| both.contains(above))
            && stands(site, &old.join(&entry.at), &entry)?;
        Ok((entry, stays))
    })?;
    let rest = found.into_iter().filter(|(_, stays)| !stays);
    for (entry, _) in rest {
        let ours = |path: &SitePath| folders.contains(AsRef::<str>::as_ref(path));
        if !entry.found.is_dir() {
            sweeper.file(&old.join(&entry.at), &entry)?;
        } else if matches!(how, Sweep::Live(_)) && !entry.path.as_ref().is_some_and(ours) {
            sweeper.folder(&entry)?;
        }
    }
    Ok(sweeper.kept)
}

struct Sweeper<'a> {
    site: &'a Site,
    list: &'a Manifest,
    how: &'a Sweep<'a>,
    /// Where things are put aside, once there is one.
    aside: Option<PathBuf>,
    kept: Vec<String>,
}

impl Sweeper<'_> {
    fn folder(&self, entry: &SurveyedFile) -> Result<()> {
        let place = self.site.root.join(&entry.at);
        if make_room(&self.site.root, &entry.at, self.site)? && disk::look(&place)?.is_none() {
            disk::make_folder(&place, system::mode_of(&entry.found))?;
        }
        Ok(())
    }

    fn file(&mut self, here: &Path, entry: &SurveyedFile) -> Result<()> {
        let SurveyedFile {
            at,
            found,
            path,
            digest: _,
        } = entry;
        let there = self.site.root.join(at);
        let standing = standing(self.site, at)?;
        if self.is_ours(here, path.as_ref(), found)? {
            return Ok(());
        }
        let Sweep::Live(given_up) = self.how else {
            return self.put_aside(here, at, found);
        };
        if path.as_ref().is_some_and(|path| given_up.contains(path)) {
            return Ok(());
        }
        match standing {
            None if make_room(&self.site.root, at, self.site)? => {
                disk::carry(here, &there, found, true)
            }
            Some(standing) if self.gives_way(&there, path.as_ref(), &standing, found)? => {
                self.put_aside(&there, at, &standing)?;
                disk::remove_file(&there)?;
                disk::carry(here, &there, found, true)
            }
            _ => self.put_aside(here, at, found),
        }
    }

    /// Whether what stands at the root is an older state of a foreign file.
    fn gives_way(
        &self,
        there: &Path,
        path: Option<&SitePath>,
        standing: &Metadata,
        found: &Metadata,
    ) -> Result<bool> {
        let older = matches!(
            (standing.modified(), found.modified()),
            (Ok(standing), Ok(found)) if standing < found
        );
        Ok(older && !standing.is_dir() && !self.is_ours(there, path, standing)?)
    }

    fn is_ours(&self, place: &Path, path: Option<&SitePath>, found: &Metadata) -> Result<bool> {
        Ok(match path {
            Some(path) if found.is_file() => {
                self.list
                    .owner(path, found.len(), || Ok(Digest::of(&disk::read(place)?)))?
                    == FileOrigin::Ours
            }
            _ => false,
        })
    }

    fn put_aside(&mut self, here: &Path, at: &Path, found: &Metadata) -> Result<()> {
        let aside = self.aside()?;
        let place = aside.join(at);
        make_room(&aside, at, self.site)?;
        disk::carry(here, &place, found, true)?;
        self.kept.push(shown(&place));
        Ok(())
    }

    fn aside(&mut self) -> Result<PathBuf> {
        if let Some(aside) = &self.aside {
            return Ok(aside.clone());
        }
        let mut number = 1;
        while disk::look(&self.site.kept_place(number))?.is_some() {
            number += 1;
        }
        let aside = self.site.kept_place(number);
        disk::make_folder(&aside, self.site.mode.folder())?;
        Ok(self.aside.insert(aside).clone())
    }
}

/// What stands at the root in the place `at`, with nothing but folders above it.
fn standing(site: &Site, at: &Path) -> Result<Option<Metadata>> {
    if reaches(&site.root, at)? {
        disk::look(&site.root.join(at))
    } else {
        Ok(None)
    }
}

/// The folders of the old tree that the root has as well, with nothing but folders above them, and
/// the root itself.
fn in_both(site: &Site, found: &[SurveyedFile]) -> Result<BTreeSet<PathBuf>> {
    let mut both = BTreeSet::new();
    let below = found.iter().filter(|entry| entry.found.is_dir());
    for at in [Path::new("")]
        .into_iter()
        .chain(below.map(|entry| entry.at.as_path()))
    {
        let is_below = at.parent().is_none_or(|above| both.contains(above));
        if is_below && disk::look(&site.root.join(at))?.is_some_and(|found| found.is_dir()) {
            both.insert(at.to_path_buf());
        }
    }
    Ok(both)
}

/// Whether the root has what was found `here` in the old tree, in a folder that both have.
fn stands(site: &Site, here: &Path, entry: &SurveyedFile) -> Result<bool> {
    let there = site.root.join(&entry.at);
    match disk::look(&there)? {
        Some(standing) => alike(here, &entry.found, &there, &standing),
        None => Ok(false),
    }
}

/// Whether everything between `root` and what stands at `at` below it is a folder.
fn reaches(root: &Path, at: &Path) -> Result<bool> {
    for above in at.ancestors().skip(1) {
        if !disk::look(&root.join(above))?.is_some_and(|found| found.is_dir()) {
            return Ok(false);
        }
    }
    Ok(true)
}

/// Makes the folders between `root` and `at`; `false` when something else is in their place.
fn make_room(root: &Path, at: &Path, site: &Site) -> Result<bool> {
    let Some(above) = at.parent().filter(|above| !above.as_os_str().is_empty()) else {
        return Ok(true);
    };
    if !make_room(root, above, site)? {
        return Ok(false);
    }
    let place = root.join(above);
    match disk::look(&place)? {
        Some(found) => Ok(found.is_dir()),
        None => disk::make_folder(&place, site.mode.folder()).map(|()| true),
    }
}

/// Whether both are one file, or two with the same bytes, or two links to the same place.
fn alike(one: &Path, found: &Metadata, other: &Path, standing: &Metadata) -> Result<bool> {
    if system::same_file(found, standing) {
        return Ok(true);
    }
    if found.is_symlink() && standing.is_symlink() {
        return Ok(std::fs::read_link(one).ok() == std::fs::read_link(other).ok());
    }
    let files = found.is_file() && standing.is_file() && found.len() == standing.len();
    Ok(files && disk::read(one)? == disk::read(other)?)
}
