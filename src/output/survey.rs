//! Compares what a target shall hold with what it holds.
//!
//! In: the plan, the folder on disk and the list of our files. Out: what stays, what is written,
//! what is carried over for others, what goes, and what stands in the way. It changes nothing and
//! reads a file only when neither its length nor what is remembered of it answers the question.

use std::collections::{BTreeMap, BTreeSet};
use std::fs::Metadata;
use std::path::{Path, PathBuf};

use walkdir::{DirEntry, WalkDir};

use super::abreast::try_each;
use super::content::Content;
use super::disk::{self, Result};
use super::error::{WriteError, shown};
use super::manifest::{FileOrigin, Manifest};
use super::plan::Plan;
use super::site_path::SitePath;
use super::target::Site;
use crate::cache::{Digest, FileDigests};

/// Something found in a target.
#[derive(Debug)]
pub(super) struct SurveyedFile {
    /// Its place below the root.
    pub(super) at: PathBuf,
    /// What the system says about it, links not followed.
    pub(super) found: Metadata,
    /// Its name as a path of the site, when it could be one.
    pub(super) path: Option<SitePath>,
    /// The digest of its bytes, where somebody has asked for it.
    pub(super) digest: Option<Digest>,
}

/// The outcome for one target.
#[derive(Debug, Default)]
pub(super) struct Survey<'a> {
    /// Planned files that stand on disk with the same bytes, and what the system said about each.
    pub(super) keep: BTreeMap<&'a SitePath, Metadata>,
    /// Planned files that do not.
    pub(super) write: BTreeSet<&'a SitePath>,
    /// Those of them whose place holds an edit or an adopted file, which is given up.
    pub(super) replaced: BTreeSet<&'a SitePath>,
    /// Foreign files, links and folders, folders before what they hold.
    pub(super) carry: Vec<SurveyedFile>,
    /// The outermost of them, for people.
    pub(super) foreign: Vec<String>,
    /// How many files of ours on disk are planned no more.
    pub(super) removed: usize,
    /// What is not ours and stands in the way of the plan.
    pub(super) blocked: Vec<PathBuf>,
    /// Whether a folder has to go or needs other rights.
    disorder: bool,
}

impl Survey<'_> {
    /// Whether the folder on disk is what it shall be.
    pub(super) fn tree_is_right(&self) -> bool {
        self.write.is_empty() && self.only_writes()
    }

    /// Whether nothing has to go and all folders that stand are right.
    pub(super) fn only_writes(&self) -> bool {
        self.removed == 0 && !self.disorder
    }
}

/// Everything below `root` in a fixed order, folders before what they hold.
pub(super) fn walk(root: &Path) -> Result<Vec<SurveyedFile>> {
    let entries = WalkDir::new(root)
        .min_depth(1)
        .follow_links(false)
        .sort_by_file_name();
    // The names cost little beside the question to the system about each.
    try_each(entries.into_iter().collect(), |found| entry(root, found))
}

/// Everything that stands at the root of `site`; nothing where there is no root.
pub(super) fn entries(site: &Site) -> Result<Vec<SurveyedFile>> {
    disk::look(&site.root)?.map_or(Ok(Vec::new()), |_| walk(&site.root))
}

/// Compares `plan` with `entries`, which is what stands at the root of `site`.
pub(super) fn survey<'a>(
    site: &Site,
    entries: Vec<SurveyedFile>,
    plan: &'a Plan,
    list: &Manifest,
    files: &mut FileDigests,
    adopt: bool,
) -> Result<Survey<'a>> {
    let outcome = Survey {
        write: plan.iter().map(|(path, _)| path).collect(),
        ..Survey::default()
    };
    let Some(root) = disk::look(&site.root)? else {
        return Ok(outcome);
    };
    let folders = list.folders();
    let mut surveyor = Surveyor {
        site,
        plan,
        list,
        files,
        folders,
        adopt,
        outcome,
        hollow: Vec::new(),
        outermost: None,
    };
    surveyor.outcome.disorder = !site.suits_folder(&root);
    let mut passed: Option<PathBuf> = None;
    for entry in entries {
        if passed
            .as_ref()
            .is_some_and(|folder| entry.at.starts_with(folder))
        {
            continue;
        }
        if entry.found.is_dir() {
            let at = entry.at.clone();
            if !surveyor.folder(entry) {
                passed = Some(at);
            }
        } else {
            surveyor.file(entry)?;
        }
    }
    Ok(surveyor.finish())
}

fn entry(root: &Path, found: walkdir::Result<DirEntry>) -> Result<SurveyedFile> {
    let failed = |error: walkdir::Error| {
        let place = error.path().unwrap_or(root).to_path_buf();
        WriteError::disk("look at", &place, error.into())
    };
    let found = found.map_err(failed)?;
    let at = found
        .path()
        .strip_prefix(root)
        .unwrap_or(found.path())
        .to_path_buf();
    let path = slashed(&at).and_then(|text| SitePath::new(&text).ok());
    let found = found.metadata().map_err(failed)?;
    Ok(SurveyedFile {
        at,
        found,
        path,
        digest: None,
    })
}

fn slashed(at: &Path) -> Option<String> {
    let parts: Option<Vec<_>> = at.iter().map(|part| part.to_str()).collect();
    Some(parts?.join("/"))
}

/// The digest of the file of this name, which is noted.
pub(super) fn look(
    files: &mut FileDigests,
    name: &str,
    place: &Path,
    found: &Metadata,
) -> Result<Digest> {
    let looked = files
        .look(name, place, found)
        .map_err(|source| WriteError::disk("read", place, source))?;
    files.note(name, looked);
    Ok(looked.0)
}

struct Surveyor<'s, 'a> {
    site: &'s Site,
    plan: &'a Plan,
    list: &'s Manifest,
    files: &'s mut FileDigests,
    /// The folders of our listed files.
    folders: BTreeSet<&'s str>,
    adopt: bool,
    outcome: Survey<'a>,
    /// Folders of ours that the plan does not need; they go unless something foreign is in them.
    hollow: Vec<PathBuf>,
    /// The foreign folder that was reported last; all in it goes without saying.
    outermost: Option<PathBuf>,
}

impl<'a> Surveyor<'_, 'a> {
    /// Notes a folder; `false` when there is no need to look into it.
    fn folder(&mut self, entry: SurveyedFile) -> bool {
        if let Some(path) = entry.path.as_ref().map(AsRef::as_ref) {
            if self.plan.has_folder(path) {
                self.outcome.disorder |= !self.site.suits_folder(&entry.found);
                return true;
            }
            if self.folders.contains(path) {
                self.hollow.push(entry.at);
                return true;
            }
        }
        if self.in_the_way(&entry) {
            self.block(&entry);
            return false;
        }
        self.carry(entry);
        true
    }

    /// Notes a file, a link or something special.
    fn file(&mut self, entry: SurveyedFile) -> Result<()> {
        let place = self.site.root.join(&entry.at);
        if let Some((path, content)) = self.planned(&entry) {
            let same_length =
                entry.found.is_file() && entry.found.len() == content.digest().length();
            if same_length && self.digest(&entry, &place)? == content.digest() {
                if self.site.suits_file(&entry.found) {
                    self.outcome.write.remove(path);
                    self.outcome.keep.insert(path, entry.found);
                }
                return Ok(());
            }
            match self.owner(&entry, &place)? {
                FileOrigin::Ours => {}
                FileOrigin::Foreign if !self.adopt => self.block(&entry),
                FileOrigin::Edited | FileOrigin::Foreign => {
                    self.outcome.replaced.insert(path);
                }
            }
        } else if self.owner(&entry, &place)? == FileOrigin::Ours {
            self.outcome.removed += 1;
        } else if self.in_the_way(&entry) {
            self.block(&entry);
        } else {
            self.carry(entry);
        }
        Ok(())
    }

    fn planned(&self, entry: &SurveyedFile) -> Option<(&'a SitePath, &'a Content)> {
        self.plan.find(entry.path.as_ref()?.as_ref())
    }

    /// The digest of what stands there.
    fn digest(&mut self, entry: &SurveyedFile, place: &Path) -> Result<Digest> {
        entry.digest.map_or_else(
            || {
                look(
                    self.files,
                    entry.path.as_ref().map_or("", AsRef::as_ref),
                    place,
                    &entry.found,
                )
            },
            Ok,
        )
    }

    fn owner(&mut self, entry: &SurveyedFile, place: &Path) -> Result<FileOrigin> {
        match &entry.path {
            Some(path) if entry.found.is_file() => {
                let list = self.list;
                list.owner(path, entry.found.len(), || self.digest(entry, place))
            }
            _ => Ok(FileOrigin::Foreign),
        }
    }

    /// Whether the plan has a file where this is or above it, or a folder where this is.
    fn in_the_way(&self, entry: &SurveyedFile) -> bool {
        entry
            .at
            .ancestors()
            .filter_map(slashed)
            .any(|path| self.plan.get(&path).is_some())
            || entry
                .path
                .as_ref()
                .is_some_and(|path| self.plan.has_folder(path.as_ref()))
    }

    fn block(&mut self, entry: &SurveyedFile) {
        self.outcome.blocked.push(self.site.root.join(&entry.at));
    }

    fn carry(&mut self, entry: SurveyedFile) {
        if !self
            .outermost
            .as_ref()
            .is_some_and(|folder| entry.at.starts_with(folder))
        {
            let named = |text: String| shown(text.as_ref());
            let mut name = slashed(&entry.at).map_or_else(|| shown(&entry.at), named);
            if entry.found.is_dir() {
                name.push('/');
                self.outermost = Some(entry.at.clone());
            }
            self.outcome.foreign.push(name);
        }
        self.outcome.carry.push(entry);
    }

    fn finish(mut self) -> Survey<'a> {
        if !self.hollow.is_empty() {
            let carried = self.outcome.carry.iter();
            let held: BTreeSet<_> = carried.flat_map(|entry| entry.at.ancestors()).collect();
            self.outcome.disorder |= !self.hollow.iter().all(|at| held.contains(at.as_path()));
        }
        self.outcome
    }
}

#[cfg(test)]
#[allow(clippy::disallowed_methods, reason = "tests put files where they like")]
mod tests {
    use super::*;
    use crate::{FileMode, Target};
    use std::fs;

    fn put(root: &Path, files: &[(&str, &str)]) {
        for (path, text) in files {
            let place = root.join(path);
            fs::create_dir_all(place.parent().unwrap()).unwrap();
            fs::write(place, text).unwrap();
        }
    }

    fn names<'a: 'b, 'b>(paths: impl IntoIterator<Item = &'b &'a SitePath>) -> Vec<&'a str> {
        paths
            .into_iter()
            .map(|path| AsRef::<str>::as_ref(*path))
            .collect()
    }

    /// What a survey says about these files, planned, listed and on disk.
    fn look<T>(
        planned: &[(&str, &str)],
        listed: &[(&str, &str)],
        present: &[(&str, &str)],
        adopt: bool,
        tell: impl FnOnce(Survey<'_>, &Path) -> T,
    ) -> T {
        let home = tempfile::tempdir().unwrap();
        let root = home.path().canonicalize().unwrap().join("public");
        fs::create_dir(&root).unwrap();
        put(&root, present);
        look_at(&root, planned, listed, adopt, |survey| tell(survey, &root))
    }

    /// What it says of a root as it stands.
    fn look_at<T>(
        root: &Path,
        planned: &[(&str, &str)],
        listed: &[(&str, &str)],
        adopt: bool,
        tell: impl FnOnce(Survey<'_>) -> T,
    ) -> T {
        let site = Site::new(&Target::durable(root, "public", FileMode::Public)).unwrap();
        let (planned, listed) = (Plan::of(planned), Manifest::of(&Plan::of(listed)));
        let mut files = FileDigests::default();
        let entries = entries(&site).unwrap();
        tell(survey(&site, entries, &planned, &listed, &mut files, adopt).unwrap())
    }

    #[test]
    fn every_kind_of_file_is_told_apart() {
        let planned = [
            ("same", "1"),
            ("changed", "new"),
            ("edited", "mine"),
            ("fresh", "4"),
        ];
        let listed = [
            ("same", "1"),
            ("changed", "old"),
            ("edited", "mine"),
            ("stale", "5"),
            ("kept", "6"),
        ];
        let present = [
            ("same", "1"),
            ("changed", "old"),
            ("edited", "theirs"),
            ("stale", "5"),
            ("kept", "by hand"),
            ("foreign/x", "7"),
            ("foreign/y/z", "8"),
            (".hidden", "9"),
        ];
        look(&planned, &listed, &present, false, |survey, _| {
            assert_eq!(names(survey.keep.keys()), ["same"]);
            assert_eq!(names(&survey.write), ["changed", "edited", "fresh"]);
            assert_eq!(names(&survey.replaced), ["edited"]);
            assert_eq!(survey.foreign, [".hidden", "foreign/", "kept"]);
            assert_eq!(survey.removed, 1);
            assert!(survey.blocked.is_empty() && !survey.tree_is_right());
        });
    }

    #[test]
    fn what_is_in_the_way_is_named_and_only_files_are_adopted() {
        let planned = [("a", "1"), ("b/c", "2"), ("d", "3"), ("e", "4")];
        let present = [
            ("a", "theirs"),
            ("b", "theirs"),
            ("d/x", "theirs"),
            ("e", "4"),
        ];
        let tell = |survey: Survey<'_>, root: &Path| {
            let below = |path: &PathBuf| path.strip_prefix(root).unwrap().to_owned();
            let blocked: Vec<_> = survey.blocked.iter().map(below).collect();
            (
                blocked,
                names(&survey.replaced).len(),
                names(survey.keep.keys()).len(),
            )
        };
        let paths = |names: &[&str]| names.iter().map(PathBuf::from).collect::<Vec<_>>();
        let plain = look(&planned, &[], &present, false, tell);
        assert_eq!(plain, (paths(&["a", "b", "d"]), 0, 1));
        let adopting = look(&planned, &[], &present, true, tell);
        assert_eq!(adopting, (paths(&["b", "d"]), 1, 1));
    }

    #[test]
    fn a_page_may_become_a_folder_and_a_folder_a_page() {
        let planned = [("a/index", "1"), ("b", "2")];
        let listed = [("a", "1"), ("b/index", "2")];
        look(&planned, &listed, &listed, false, |survey, _| {
            assert!(survey.blocked.is_empty() && survey.carry.is_empty());
            assert_eq!((survey.removed, survey.write.len()), (2, 2));
        });
        let present = [
            ("a", "1"),
            ("b/index", "2"),
            ("b/.theirs", "3"),
            ("b/more/x", "4"),
        ];
        look(&planned, &listed, &present, true, |survey, root| {
            assert_eq!(
                survey.blocked,
                [root.join("b/.theirs"), root.join("b/more")]
            );
        });
    }

    #[test]
    fn a_folder_of_ours_that_stands_empty_has_to_go_and_a_foreign_one_stays() {
        let listed = [("a", "1"), ("old/page", "2")];
        look(&listed[..1], &listed, &listed[..1], false, |survey, _| {
            assert!(survey.tree_is_right());
        });
        let home = tempfile::tempdir().unwrap();
        let root = home.path().join("public");
        put(&root, &listed[..1]);
        fs::create_dir_all(root.join("theirs/empty")).unwrap();
        look_at(&root, &listed[..1], &listed, false, |survey| {
            assert!(survey.tree_is_right());
            assert_eq!(survey.foreign, ["theirs/"]);
            assert_eq!(survey.carry.len(), 2);
        });
        fs::create_dir(root.join("old")).unwrap();
        look_at(&root, &listed[..1], &listed, false, |survey| {
            assert!(!survey.tree_is_right());
        });
    }

    #[cfg(unix)]
    #[test]
    fn a_link_is_never_looked_through() {
        let home = tempfile::tempdir().unwrap();
        let root = home.path().join("public");
        put(home.path(), &[("away/a", "1"), ("public/x", "0")]);
        std::os::unix::fs::symlink(home.path().join("away"), root.join("b")).unwrap();
        std::os::unix::fs::symlink(home.path().join("away/a"), root.join("a")).unwrap();
        let planned = [("a", "1"), ("b/a", "1")];
        let root = root.canonicalize().unwrap();
        look_at(&root, &planned, &planned, false, |survey| {
            assert_eq!(survey.blocked, [root.join("a"), root.join("b")]);
        });
    }
}
