//! The keeper's secrets on disk: access codes and the signing key, which stand beside the content and never in it.
//!
//! In: the kennel's folder and random bytes. Out: a [`Keyring`]: a code and a page name for each sealed page, the keys that records are signed with, and what is remembered of pages that were
//! sealed before. A file that is lost or damaged is said to be so and never written over: codes that families hold stop working only when the keeper says so.
//!
//! Never: a secret in a message, in a log, or in a file that others may read.

mod codes;
mod error;
mod guard;
mod remembered;
mod signing;

pub use codes::{Codes, Entry};
pub use error::KeyringError;
pub use guard::{Exposed, exposed, keep_out_of_git};
pub use remembered::{Remembered, SealedBefore};
pub use signing::SigningKeys;

use crate::output::{self, replace_private};
use crate::sealing::Random;
use std::fs;
use std::path::{Path, PathBuf};

/// The file of access codes, beside the content folder.
pub const CODES: &str = "codes.yaml";
/// The file of signing keys, beside the content folder.
pub const SIGNING_KEYS: &str = "signing-keys.json";
/// The folder of sealed pages, below the root of the public site.
pub const SEALED: &str = "sealed";

/// Codes, keys and what is remembered. Until what is missing was drawn, it holds the lock that keeps two runs apart: two that draw at once would each write over the other's.
#[derive(Debug)]
pub struct Keyring {
    /// Access codes.
    pub codes: Codes,
    /// Signing keys; none before the first was drawn.
    pub signing: SigningKeys,
    /// What an earlier run sealed.
    pub remembered: Remembered,
    kennel: PathBuf,
    lock: Option<fs::File>,
}

impl Keyring {
    /// Reads what is there. Nothing is written. `state` is where the site's own memory stands.
    ///
    /// # Errors
    /// [`KeyringError`] when a file cannot be read or is damaged, or another run holds the lock.
    pub fn open(kennel: &Path, memory: &Path, state: &Path) -> Result<Self, KeyringError> {
        let lock = guard::lock(memory)?;
        Ok(Self {
            codes: Codes::load(&kennel.join(CODES))?,
            signing: SigningKeys::load(&kennel.join(SIGNING_KEYS))?,
            remembered: Remembered::load(state),
            kennel: kennel.to_owned(),
            lock: Some(lock),
        })
    }

    /// Whether the files may be used as they are: none lost, no code and no page name twice.
    ///
    /// # Errors
    /// [`KeyringError`] with the way out.
    pub fn is_sound(&self) -> Result<(), KeyringError> {
        if !self.codes.exists() && !self.remembered.pages.is_empty() {
            return Err(KeyringError::CodesLost { path: self.kennel.join(CODES), pages: self.remembered.pages.len() });
        }
        if self.signing.is_empty() && self.remembered.signed_with.is_some() {
            return Err(KeyringError::KeyLost { path: self.kennel.join(SIGNING_KEYS) });
        }
        self.codes.is_sound(&self.kennel.join(CODES))
    }

    /// Draws what is missing: a code for each of these pages, and the first signing key. What was drawn is on the disk before this returns. The keys of the pages that got a code are returned.
    ///
    /// # Errors
    /// [`KeyringError`] when there are no random bytes or a file cannot be written.
    pub fn complete<'a>(&mut self, wanted: impl Iterator<Item = &'a str>, random: &mut Random<'_>) -> Result<Vec<String>, KeyringError> {
        if self.signing.is_empty() {
            self.signing.draw(random)?;
            self.save_signing()?;
        }
        let mut drawn = Vec::new();
        for key in wanted {
            if self.codes.draw_missing(key, random)? {
                drawn.push(key.to_owned());
            }
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
        replace_private(&self.kennel.join(CODES), self.codes.to_yaml().as_bytes()).map_err(KeyringError::from)
    }

    /// Writes the signing keys, and sees to it that git does not take them.
    ///
    /// # Errors
    /// [`KeyringError`] when the file cannot be written.
    pub fn save_signing(&self) -> Result<(), KeyringError> {
        keep_out_of_git(&self.kennel)?;
        replace_private(&self.kennel.join(SIGNING_KEYS), self.signing.to_json().as_bytes()).map_err(KeyringError::from)
    }

    /// Remembers what was sealed, once it stands on the site.
    ///
    /// # Errors
    /// [`KeyringError`] when the file cannot be written.
    pub fn remember(&self, state: &Path, now: &Remembered) -> Result<(), KeyringError> {
        if *now == self.remembered {
            Ok(())
        } else {
            output::replace_private(&Remembered::place(state), now.to_json().as_bytes()).map_err(KeyringError::from)
        }
    }
}

#[cfg(test)]
mod tests;
