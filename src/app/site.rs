//! Where the site goes, and how it is made there.
//!
//! In: what was typed. Out: the two folders, and where the program keeps what it knows of them.

use super::folder::Folder;
use crate::Error;
use crate::output::{Durability, FileMode, Target};
use std::path::{Path, PathBuf};

/// Where the site goes, and how.
#[derive(Debug, clap::Args)]
#[group(skip)]
pub struct Options {
    /// Where the public site goes [default: public/ in the kennel's folder]
    #[arg(long, value_name = "DIR")]
    public: Option<PathBuf>,
    /// Where the keeper's book goes [default: private/ in the kennel's folder]
    #[arg(long, value_name = "DIR")]
    private: Option<PathBuf>,
    /// Take over files that stand where the site's files go and were not written by litterfolio
    #[arg(long)]
    pub(super) adopt: bool,
    /// How many threads to use [default: one for each core]
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u16).range(1..=256))]
    threads: Option<u16>,
    /// Which run of a desk it is, where it is one.
    #[arg(skip)]
    pub(super) desk: Option<DeskRun>,
}

/// A run of a desk. What it makes can be made again at any time, so the disk is not waited for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DeskRun {
    /// What stands there may have been left by a machine that lost its power: it is read.
    First,
    /// What stands there was read or written since the desk began.
    Later,
}

impl Options {
    /// A site that is made somewhere else than where the keeper's own stands.
    pub fn at(public: PathBuf, private: PathBuf, threads: Option<u16>) -> Self {
        Self {
            public: Some(public),
            private: Some(private),
            adopt: true,
            threads,
            desk: Some(DeskRun::First),
        }
    }

    /// What stands there is known from now on.
    pub fn made_once(&mut self) {
        self.desk = self.desk.map(|_| DeskRun::Later);
    }

    /// Does something on as many threads as were asked for.
    pub fn on_threads<T: Send>(
        &self,
        act: impl FnOnce() -> Result<T, Error> + Send,
    ) -> Result<T, Error> {
        self.pool()?.install(act)
    }

    /// As many threads as were asked for.
    pub fn pool(&self) -> Result<rayon::ThreadPool, Error> {
        let pool = rayon::ThreadPoolBuilder::new()
            .num_threads(self.threads.map_or(0, usize::from))
            .build();
        pool.map_err(|error| Error::Usage(format!("cannot start threads: {error}")))
    }

    /// The folders of the public site and of the keeper's book.
    pub(super) fn targets(&self, folder: &Folder) -> [Target; 2] {
        let durability = match self.desk {
            Some(DeskRun::First | DeskRun::Later) => Durability::Remade,
            None => Durability::Durable,
        };
        let or = |typed: &Option<PathBuf>, usual: &Path| {
            typed.clone().unwrap_or_else(|| usual.to_owned())
        };
        [
            Target {
                root: or(&self.public, &folder.public),
                name: "public",
                mode: FileMode::Public,
                durability,
            },
            Target {
                root: or(&self.private, &folder.private),
                name: "private",
                mode: FileMode::Private,
                durability,
            },
        ]
    }

    /// What is known of a site belongs to the folders it stands in: of a site that is made
    /// elsewhere it is kept apart.
    pub fn state(&self, folder: &Folder) -> PathBuf {
        if self.public.is_none() && self.private.is_none() {
            return folder.state.clone();
        }
        let absolute = |typed: &Option<PathBuf>, usual: &Path| {
            let path = typed.as_deref().unwrap_or(usual);
            std::path::absolute(path)
                .unwrap_or_else(|_| path.to_owned())
                .display()
                .to_string()
        };
        let places = format!(
            "{}\n{}",
            absolute(&self.public, &folder.public),
            absolute(&self.private, &folder.private)
        );
        folder.state.join(format!(
            "elsewhere-{}",
            &blake3::hash(places.as_bytes()).to_hex()[..12]
        ))
    }
}
