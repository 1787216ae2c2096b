//! The keeper's secrets on disk: access codes and the signing key, which stand beside the content
//! and never in it.
//!
//! In: the kennel's folder and random bytes. Out: a [`Keyring`]: a code and a page name for each
//! sealed page, the keys that records are signed with, and what is remembered of pages that were
//! sealed before. A file that is lost or damaged is said to be so and never written over: codes
//! that families hold stop working only when the keeper says so.
//!
//! Never: a secret in a message, in a log, or in a file that others may read.

// The floors below.
use litterfolio_output as output;
use litterfolio_quantity as quantity;
use litterfolio_sealing as sealing;

mod codes;
mod error;
mod guard;
mod packing;
mod remembered;
mod signing;

pub use codes::{CodeEntry, Codes, DrawReason};
pub use error::KeyringError;
pub use guard::{Exposed, exposed, keep_out_of_git, sweep};
pub use packing::{SecretFiles, has_secrets, open_secrets, seal_secrets};
pub use remembered::{RememberedSeals, SealedBefore};
pub use signing::SigningKeys;

use crate::output::replace_secret;
use crate::sealing::Random;
use std::fs;
use std::path::{Path, PathBuf};

/// The file of access codes, beside the content folder.
pub const CODES: &str = "codes.yaml";
/// The file of signing keys, beside the content folder.
pub const SIGNING_KEYS: &str = "signing-keys.json";
/// The folder of sealed pages, below the root of the public site.
const SEALED: &str = "sealed";

/// Where a sealed page of this name stands, below the root of the public site.
#[must_use]
pub fn sealed_path(page: &str) -> String {
    format!("{SEALED}/{page}.html")
}

/// Whether a file of the public site, by its path with `/`, is a sealed page.
#[must_use]
pub fn is_sealed(path: &str) -> bool {
    path.split('/').next() == Some(SEALED)
}

/// Codes, keys and what is remembered. Until what is missing was drawn, it holds the lock that
/// keeps two runs apart: two that draw at once would each write over the other's.
#[derive(Debug)]
pub struct Keyring {
    /// Access codes.
    pub codes: Codes,
    /// Signing keys; none before the first was drawn.
    pub signing: SigningKeys,
    /// What an earlier run sealed.
    pub remembered: RememberedSeals,
    /// How many sealed pages stand on the site, whoever wrote them.
    sealed_on_site: usize,
    kennel: PathBuf,
    lock: Option<fs::File>,
}

impl Keyring {
    /// Reads what is there. Nothing is written. `state` is where the site's own memory stands,
    /// `public` the site itself.
    ///
    /// # Errors
    /// [`KeyringError`] when a file cannot be read or is damaged, or another run holds the lock.
    pub fn open(
        kennel: &Path,
        memory: &Path,
        state: &Path,
        public: &Path,
    ) -> Result<Self, KeyringError> {
        let lock = guard::lock(memory)?;
        Self::look(kennel, state, public).map(|keyring| Self {
            lock: Some(lock),
            ..keyring
        })
    }

    /// Reads what is there without a lock, to look at it only.
    ///
    /// # Errors
    /// [`KeyringError`] when a file cannot be read or is damaged.
    pub fn look(kennel: &Path, state: &Path, public: &Path) -> Result<Self, KeyringError> {
        Ok(Self {
            codes: Codes::load(&kennel.join(CODES))?,
            signing: SigningKeys::load(&kennel.join(SIGNING_KEYS))?,
            remembered: RememberedSeals::load(state),
            sealed_on_site: sealed_in(&public.join(SEALED)),
            kennel: kennel.to_owned(),
            lock: None,
        })
    }

    /// Whether the files may be used as they are: none lost, no code and no page name twice.
    ///
    /// # Errors
    /// [`KeyringError`] with the way out.
    pub fn is_sound(&self) -> Result<(), KeyringError> {
        self.codes_are_there()?;
        if self.signing.is_empty() && self.remembered.signed_with.is_some() {
            return Err(KeyringError::KeyLost {
                path: self.kennel.join(SIGNING_KEYS),
            });
        }
        self.codes.is_sound(&self.kennel.join(CODES))
    }

    /// The pages that have a code: litter and puppy, and the family.
    pub fn pages(&self) -> impl Iterator<Item = (&str, &str)> {
        self.codes.all()
    }

    /// Whether no code is lost that a page was sealed with: neither the file nor an entry of it.
    ///
    /// # Errors
    /// [`KeyringError::CodesLost`] with the way out.
    pub fn codes_are_there(&self) -> Result<(), KeyringError> {
        let lost: Vec<String> = self
            .remembered
            .pages
            .keys()
            .filter(|key| !self.codes.has(key))
            .cloned()
            .collect();
        let path = self.kennel.join(CODES);
        if !lost.is_empty() {
            return Err(KeyringError::CodesLost {
                path,
                is_there: self.codes.exists(),
                lost,
            });
        }
        if !self.codes.exists() && self.sealed_on_site > 0 {
            return Err(KeyringError::CodesForgotten {
                path,
                pages: self.sealed_on_site,
            });
        }
        Ok(())
    }

    /// Draws what is missing: a code for each of these pages and its family, and the first signing
    /// key. What was drawn is on the disk before this returns. The keys of the pages that got a
    /// code are returned, with the reason.
    ///
    /// # Errors
    /// [`KeyringError`] when there are no random bytes or a file cannot be written.
    pub fn complete<'a>(
        &mut self,
        wanted: impl Iterator<Item = (&'a str, &'a str)>,
        random: &mut Random<'_>,
    ) -> Result<Vec<(String, DrawReason)>, KeyringError> {
        keep_out_of_git(&self.kennel)?;
        if self.signing.is_empty() {
            self.signing.draw(random)?;
            self.save_signing()?;
        }
        let mut drawn = Vec::new();
        for (key, family) in wanted {
            drawn.extend(
                self.codes
                    .draw_missing(key, family, random)?
                    .map(|why| (key.to_owned(), why)),
            );
        }
        if !drawn.is_empty() {
            self.save_codes()?;
        }
        // From here on nothing is changed, and sealing may take its time.
        self.lock = None;
        Ok(drawn)
    }

    /// Writes the codes, and sees to it that git does not take them.
    ///
    /// # Errors
    /// [`KeyringError`] when the file cannot be written.
    pub fn save_codes(&self) -> Result<(), KeyringError> {
        keep_out_of_git(&self.kennel)?;
        replace_secret(&self.kennel.join(CODES), self.codes.to_yaml().as_bytes())
            .map_err(KeyringError::from)
    }

    /// Writes the signing keys, and sees to it that git does not take them.
    ///
    /// # Errors
    /// [`KeyringError`] when the file cannot be written.
    pub fn save_signing(&self) -> Result<(), KeyringError> {
        keep_out_of_git(&self.kennel)?;
        replace_secret(
            &self.kennel.join(SIGNING_KEYS),
            self.signing.to_json().as_bytes(),
        )
        .map_err(KeyringError::from)
    }

    /// Remembers what was sealed, once it stands on the site.
    ///
    /// # Errors
    /// [`KeyringError`] when the file cannot be written.
    pub fn remember(&self, state: &Path, now: &RememberedSeals) -> Result<(), KeyringError> {
        if *now == self.remembered {
            Ok(())
        } else {
            output::replace_private(&RememberedSeals::place(state), now.to_json().as_bytes())
                .map_err(KeyringError::from)
        }
    }
}

/// How many pages a folder holds.
fn sealed_in(folder: &Path) -> usize {
    let files = fs::read_dir(folder).into_iter().flatten().flatten();
    files
        .filter(|file| file.path().extension().is_some_and(|end| end == "html"))
        .count()
}

#[cfg(test)]
mod tests;
