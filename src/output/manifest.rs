//! The list of files that we wrote to one target.
//!
//! In: plans that reached the disk, or are about to. Out: whose a file on disk is. It is kept in
//! the state folder, never in a target, and only this user may read it, because it names sealed
//! pages. A list that is missing or damaged is empty: then files count as ours only when the plan
//! has the same bytes. See the head of the module for when it is a union of two plans.

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

use serde::{Deserialize, Serialize};

use super::disk::{self, Result};
use super::plan::Plan;
use super::site_path::SitePath;
use crate::cache::Digest;

/// Number of the notation of the list; another number is read as damage.
const NOTATION: u32 = 1;

/// Whose a file on disk is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum FileOrigin {
    /// We wrote these very bytes.
    Ours,
    /// We wrote the file, and somebody has changed it since.
    Edited,
    /// Somebody else's.
    Foreign,
}

/// The list of one target.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct Manifest {
    /// More than one digest for a path, or a path without file, only while not settled.
    files: BTreeMap<SitePath, Vec<Digest>>,
    /// Whether the files are exactly those of one finished run.
    settled: bool,
    /// Whether there was a list that could not be read.
    pub(super) lost: bool,
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct StoredManifest {
    version: u32,
    program: String,
    settled: bool,
    files: BTreeMap<SitePath, Vec<Digest>>,
}

impl Manifest {
    /// Reads the list at `place`.
    pub(super) fn load(place: &Path) -> Result<Self> {
        if disk::look(place)?.is_none() {
            return Ok(Self::default());
        }
        let bytes = disk::read(place)?;
        Ok(match serde_json::from_slice::<StoredManifest>(&bytes) {
            Ok(StoredManifest {
                version: NOTATION,
                settled,
                files,
                ..
            }) => Self {
                files,
                settled,
                lost: false,
            },
            _ => Self {
                lost: true,
                ..Self::default()
            },
        })
    }

    /// The list after a run that wrote `plan`.
    pub(super) fn of(plan: &Plan) -> Self {
        let files = plan
            .iter()
            .map(|(path, content)| (path.clone(), vec![content.digest()]))
            .collect();
        Self {
            files,
            settled: true,
            lost: false,
        }
    }

    /// The list while a run goes from this one to `next`: whatever either knows is ours.
    pub(super) fn union(&self, next: &Self) -> Self {
        let mut files = self.files.clone();
        for (path, digests) in &next.files {
            let known = files.entry(path.clone()).or_default();
            for digest in digests {
                if !known.contains(digest) {
                    known.push(*digest);
                }
            }
        }
        Self {
            files,
            settled: false,
            lost: false,
        }
    }

    /// Replaces the list at `place` in one step; `sync` waits until the disk has it.
    pub(super) fn save(&self, place: &Path, sync: bool) -> Result<()> {
        let stored = StoredManifest {
            version: NOTATION,
            program: env!("CARGO_PKG_VERSION").to_owned(),
            settled: self.settled,
            files: self.files.clone(),
        };
        let bytes = serde_json::to_vec_pretty(&stored)
            .map_err(|error| super::WriteError::disk("write", place, error.into()))?;
        let fresh = place.with_extension("json.new");
        if disk::look(&fresh)?.is_some() {
            disk::remove_file(&fresh)?;
        }
        disk::write_new(&fresh, &bytes, 0o600, sync)?;
        disk::rename(&fresh, place)?;
        let folder = place.parent().filter(|_| sync);
        folder.map_or(Ok(()), disk::sync_folder)
    }

    /// Whose the file with `length` bytes is which has the name `path` in its target. Its digest is
    /// asked for only when the length leaves the question open.
    pub(super) fn owner(
        &self,
        path: &SitePath,
        length: u64,
        digest: impl FnOnce() -> Result<Digest>,
    ) -> Result<FileOrigin> {
        let Some(digests) = self.files.get(path) else {
            return Ok(FileOrigin::Foreign);
        };
        if digests.iter().any(|digest| digest.length() == length) && digests.contains(&digest()?) {
            return Ok(FileOrigin::Ours);
        }
        Ok(if self.settled {
            FileOrigin::Edited
        } else {
            FileOrigin::Foreign
        })
    }

    /// Whether a path is one of our files.
    pub(super) fn has(&self, path: &SitePath) -> bool {
        self.files.contains_key(path)
    }

    /// The folders that our files stand in.
    pub(super) fn folders(&self) -> BTreeSet<&str> {
        self.files.keys().flat_map(SitePath::folders).collect()
    }
}

#[cfg(test)]
#[allow(clippy::disallowed_methods, reason = "tests put files where they like")]
mod tests {
    use super::*;

    #[test]
    fn a_list_is_read_back_as_it_was_written() {
        let folder = tempfile::tempdir().unwrap();
        let place = folder.path().join("written-public.json");
        assert_eq!(Manifest::load(&place).unwrap(), Manifest::default());
        let list = Manifest::of(&Plan::of(&[("a", "1"), ("b/c", "2")]));
        list.save(&place, true).unwrap();
        assert_eq!(Manifest::load(&place).unwrap(), list);
        assert_eq!(list.folders().into_iter().collect::<Vec<_>>(), ["b"]);
        std::fs::write(place.with_extension("json.new"), "half of a li").unwrap();
        let union = list.union(&Manifest::of(&Plan::of(&[("a", "3")])));
        union.save(&place, true).unwrap();
        assert_eq!(Manifest::load(&place).unwrap(), union);
        assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 1);
    }

    #[test]
    fn a_damaged_list_is_lost_and_empty() {
        let folder = tempfile::tempdir().unwrap();
        let place = folder.path().join("list");
        for text in [
            "",
            "{}",
            "{\"version\":2,\"program\":\"9\",\"settled\":true,\"files\":{}}",
            "{\"version\":1,\"program\":\"0\",\"settled\":true,\"files\":{\"../a\":[]}}",
        ] {
            std::fs::write(&place, text).unwrap();
            let list = Manifest::load(&place).unwrap();
            assert!(
                list.lost && list.files.is_empty() && !list.settled,
                "{text}"
            );
        }
    }

    #[test]
    fn edits_are_told_from_foreign_files_only_by_a_settled_list() {
        let folder = tempfile::tempdir().unwrap();
        let place = folder.path().join("a");
        let list = Manifest::of(&Plan::of(&[("a", "one")]));
        let union = list.union(&Manifest::of(&Plan::of(&[("a", "two"), ("b", "one")])));
        let owner = |list: &Manifest, name: &str, text: &str| {
            std::fs::write(&place, text).unwrap();
            list.owner(&SitePath::new(name).unwrap(), text.len() as u64, || {
                Ok(Digest::of(&disk::read(&place)?))
            })
            .unwrap()
        };
        assert_eq!(owner(&list, "a", "one"), FileOrigin::Ours);
        assert_eq!(owner(&list, "a", "two"), FileOrigin::Edited);
        assert_eq!(owner(&list, "a", "longer"), FileOrigin::Edited);
        assert_eq!(owner(&list, "b", "one"), FileOrigin::Foreign);
        assert_eq!(owner(&union, "a", "one"), FileOrigin::Ours);
        assert_eq!(owner(&union, "a", "two"), FileOrigin::Ours);
        assert_eq!(owner(&union, "a", "six"), FileOrigin::Foreign);
        assert_eq!(owner(&union, "b", "one"), FileOrigin::Ours);
        assert_eq!(owner(&union, "b", "two"), FileOrigin::Foreign);
    }
}
