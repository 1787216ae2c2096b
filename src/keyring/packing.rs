//! The files of secrets on their way into a backup and out of it: sealed, or not at all.
//!
//! In: the kennel's folder and a passphrase. Out: one sealed text with the files as they stand,
//! damaged ones too; and the files again from that text. Nothing is written here.

use super::{CODES, KeyringError, SIGNING_KEYS, guard};
use crate::sealing::Random;
use crate::sealing::jwe::{self, NotSealed, Unopened};
use crate::sealing::passphrase::Passphrase;
use std::collections::BTreeMap;
use std::path::Path;
use zeroize::Zeroizing;

/// Names and texts of files of secrets.
pub type SecretFiles = Vec<(String, Vec<u8>)>;

/// The files of secrets that a kennel has.
///
/// # Errors
/// [`KeyringError`] when one of them cannot be read.
fn read(kennel: &Path) -> Result<BTreeMap<&'static str, String>, KeyringError> {
    let mut files = BTreeMap::new();
    for name in [CODES, SIGNING_KEYS] {
        if let Some(text) = guard::read(&kennel.join(name))? {
            files.insert(name, text);
        }
    }
    Ok(files)
}

/// Whether a kennel has files of secrets.
#[must_use]
pub fn has_secrets(kennel: &Path) -> bool {
    [CODES, SIGNING_KEYS]
        .iter()
        .any(|name| kennel.join(name).exists())
}

/// All files of secrets, sealed with a passphrase; nothing where there are none.
///
/// # Errors
/// [`KeyringError`] when a file cannot be read or there are no random bytes.
pub fn seal_secrets(
    kennel: &Path,
    passphrase: &Passphrase,
    random: &mut Random<'_>,
) -> Result<Option<String>, KeyringError> {
    let files = read(kennel)?;
    if files.is_empty() {
        return Ok(None);
    }
    let plain = Zeroizing::new(serde_json::to_vec(&files).unwrap_or_default());
    let sealed = jwe::seal_with_passphrase(&plain, passphrase, random);
    sealed.map(Some).map_err(|error| match error {
        NotSealed::NoRandomness(error) => error.into(),
        error => KeyringError::Unsealed(error),
    })
}

/// The files of secrets in a sealed text.
///
/// # Errors
/// [`Unopened`] with another passphrase, or when there is something else in it.
pub fn open_secrets(sealed: &str, passphrase: &Passphrase) -> Result<SecretFiles, Unopened> {
    let plain = Zeroizing::new(jwe::open_with_passphrase(sealed, passphrase)?);
    let files: BTreeMap<String, String> = serde_json::from_slice(&plain).map_err(|_| Unopened)?;
    if files
        .keys()
        .all(|name| [CODES, SIGNING_KEYS].contains(&name.as_str()))
    {
        let bytes = |(name, text): (String, String)| (name, text.into_bytes());
        Ok(files.into_iter().map(bytes).collect())
    } else {
        Err(Unopened)
    }
}
