//! A run that works on a kennel: its folder and the places of its site, locked, and every input
//! looked at.
//!
//! In: the kennel's folder and where the site goes. Out: a [`Session`]; as long as it lives no
//! other run writes the same site. No record is read yet.

use super::folder::Folder;
use super::inputs::Inputs;
use super::secrets;
use super::site::{DeskRun, Options};
use super::terminal;
use crate::Error;
use crate::audience::owner::OwnerPage;
use crate::cache::Store;
use crate::keyring::{DrawReason, Keyring};
use crate::output::{Report, Target, Writer, shown_path, sweep_left_behind};
use std::fmt::Write;
use std::path::{Path, PathBuf};

/// A kennel's folder and the places of its site, locked.
pub struct Session {
    pub folder: Folder,
    pub(super) targets: [Target; 2],
    pub state: PathBuf,
    pub(super) writer: Writer,
    pub(super) store: Store,
    pub(super) inputs: Inputs,
    pub(super) adopt: bool,
    /// What was found and set right, for standard error.
    pub notes: String,
}

impl Session {
    /// Takes the locks and looks at every file; no record is read, and nothing of the site is
    /// touched but what an interrupted run left.
    pub fn open(kennel: &Path, options: &Options) -> Result<Self, Error> {
        Self::of(Folder::new(kennel)?, options)
    }

    /// The same for a folder whose records may be loaded already.
    pub fn of(folder: Folder, options: &Options) -> Result<Self, Error> {
        let targets = options.targets(&folder);
        let state = options.state(&folder);
        std::fs::create_dir_all(&state)
            .map_err(|error| Error::io("make the folder", &state, error))?;
        let store = Store::open(&state, terminal::program().as_deref(), terminal::clock);
        let mut writer = Writer::open(
            &state,
            &targets,
            &[folder.content.clone(), folder.templates.clone()],
        )?
        .remembering(store.clone(), terminal::clock);
        if options.desk == Some(DeskRun::First) {
            writer = writer.reading_all();
        }
        let (inputs, looked) = rayon::join(|| Inputs::look(&folder, &store), || writer.look());
        let inputs = inputs?;
        looked?;
        let mut notes = String::new();
        for mended in writer.mended() {
            let _ = writeln!(
                notes,
                "note: the last run was interrupted; {} was set right{}",
                mended.name,
                kept_words(&mended.kept)
            );
        }
        Ok(Self {
            folder,
            targets,
            state,
            writer,
            store,
            inputs,
            adopt: options.adopt,
            notes,
        })
    }

    /// Removes what runs that were killed left of secrets and papers, and says so.
    pub fn sweep(&mut self) -> Result<(), Error> {
        self.notes.push_str(&secrets::sweep(&self.folder)?);
        let papers = std::fs::read_dir(self.private().join("handover"))
            .into_iter()
            .flatten()
            .flatten();
        for folder in papers.filter(|found| found.file_type().is_ok_and(|kind| kind.is_dir())) {
            for file in sweep_left_behind(&folder.path(), |_| true)? {
                let _ = writeln!(
                    self.notes,
                    "note: a handover was broken off and left {file}; it was removed, so run \
                     `handover` again"
                );
            }
        }
        Ok(())
    }

    /// The secrets as they are: none is drawn, and nothing is written.
    pub fn keyring_as_it_is(&self) -> Result<Keyring, Error> {
        Ok(Keyring::look(
            &self.folder.root,
            &self.state,
            &self.targets[0].root,
        )?)
    }

    /// The secrets, sound and complete for these pages. What is said of them goes to standard
    /// error.
    pub fn keyring(&self, wanted: &[OwnerPage], err: &mut String) -> Result<Keyring, Error> {
        let mut keyring = Keyring::open(
            &self.folder.root,
            &self.folder.state,
            &self.state,
            &self.targets[0].root,
        )?;
        keyring.is_sound()?;
        let had_key = !keyring.signing.is_empty();
        let families = wanted
            .iter()
            .filter_map(|page| Some((page.key.as_str(), page.family.as_deref()?)));
        let drawn = keyring.complete(families, &mut secrets::random)?;
        if !had_key {
            err.push_str("note: a key to sign records was drawn (signing-keys.json)\n");
        }
        err.push_str(&drawn_words(&drawn));
        Ok(keyring)
    }

    /// A file of the public site.
    pub fn public_file(&self, path: &str) -> PathBuf {
        self.targets[0].root.join(path)
    }

    /// The keeper's own folder.
    pub fn private(&self) -> &Path {
        &self.targets[1].root
    }

    /// Each folder as it is shown, with its report.
    pub(super) fn named(&self, reports: Vec<Report>) -> Vec<(String, Report)> {
        let shown = |target: &Target| {
            let root = target.root.strip_prefix(".").unwrap_or(&target.root);
            shown_path(root)
        };
        self.targets.iter().map(shown).zip(reports).collect()
    }
}

/// What is said of codes that were drawn; a first publication may draw hundreds.
fn drawn_words(drawn: &[(String, DrawReason)]) -> String {
    const TOLD: usize = 8;
    let (others, new): (Vec<_>, Vec<_>) = drawn
        .iter()
        .partition(|(_, why)| *why == DrawReason::OtherFamily);
    let mut text = String::new();
    for (key, _) in others {
        let _ = writeln!(
            text,
            "note: another family takes {key} now: it has a new code and a new address"
        );
    }
    for (key, _) in new.iter().take(TOLD) {
        let _ = writeln!(text, "note: an access code was drawn for {key}");
    }
    if new.len() > TOLD {
        let _ = writeln!(text, "note: and for {} more", new.len() - TOLD);
    }
    if !drawn.is_empty() {
        text.push_str("note: keep a copy of codes.yaml and signing-keys.json with your backups\n");
    }
    text
}

fn kept_words(kept: &[String]) -> String {
    if kept.is_empty() {
        String::new()
    } else {
        format!(", and this was put aside: {}", kept.join(", "))
    }
}
