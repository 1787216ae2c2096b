//! Random bytes for secrets, and what lies open of them.
//!
//! In: the operating system's generator, the kennel's folder. Out: bytes; warnings for the keeper.

use super::folder::Folder;
use crate::Error;
use crate::audience::words::secrets as words;
use crate::keyring::{Keyring, exposed, sweep as sweep_secrets};
use crate::records::problem::Problem;
use crate::sealing::NoRandomness;
use std::path::Path;

/// Bytes from the operating system's generator.
pub fn random(bytes: &mut [u8]) -> Result<(), NoRandomness> {
    getrandom::fill(bytes).map_err(|error| NoRandomness(error.to_string()))
}

/// A word that nobody guesses: 160 bits.
pub fn word() -> Option<String> {
    let mut bytes = [0; 20];
    random(&mut bytes).ok()?;
    Some(bytes.iter().map(|byte| format!("{byte:02x}")).collect())
}

/// What stands in the way of using the secrets as they are, as a problem: `publish` would stop at
/// it.
pub fn unusable(folder: &Folder) -> Option<Problem> {
    let keyring = Keyring::look(&folder.root, &folder.state, &folder.public);
    let error = keyring.and_then(|keyring| keyring.is_sound()).err()?;
    Some(words::unusable(&error))
}

/// Removes what a run that was killed left of the secrets, and says so.
pub fn sweep(folder: &Folder) -> Result<String, Error> {
    let swept = sweep_secrets(&folder.root, &folder.state)?;
    Ok(swept
        .iter()
        .map(|file| {
            format!("note: a run was broken off and left secrets in {file}; it was removed\n")
        })
        .collect())
}

/// A warning for each secret file that others may see.
pub fn warnings(kennel: &Path) -> Vec<Problem> {
    exposed(kennel).iter().map(words::exposed).collect()
}
