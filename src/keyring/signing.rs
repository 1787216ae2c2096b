//! `signing-keys.json`: the kennel's private keys, a JWK Set (RFC 7517 section 5).
//!
//! In: the file, or nothing yet. Out: [`SigningKeys`]. The first key signs; the others are older
//! ones, whose public halves stay on the site so that papers of earlier years can still be checked.

use super::KeyringError;
use crate::sealing::jws::{PublicKey, SigningKey};
use crate::sealing::{NoRandomness, Random};
use serde_json::Value;
use std::path::Path;

/// The kennel's keys, the newest first.
#[derive(Debug, Clone, Default)]
pub struct SigningKeys(Vec<SigningKey>);

impl SigningKeys {
    /// Reads the file; without one there are no keys yet.
    pub(super) fn load(path: &Path) -> Result<Self, KeyringError> {
        let Some(text) = super::guard::read(path)? else {
            return Ok(Self::default());
        };
        Self::parse(&text).map_err(|(line, what)| KeyringError::Damaged {
            path: path.to_owned(),
            line,
            what: what.to_owned(),
            hint: "put the file back from your backup; if there is none, move it away and draw a \
                   new key with `litterfolio recode --signing-key`: papers that were handed over \
                   before can then no longer be checked on your site"
                .to_owned(),
        })
    }

    fn parse(text: &str) -> Result<Self, (usize, &'static str)> {
        let set: Value = serde_json::from_str(text)
            .map_err(|error| (error.line().max(1), "this is not JSON"))?;
        let keys = set["keys"]
            .as_array()
            .filter(|keys| !keys.is_empty())
            .ok_or((1, "this is no set of keys"))?;
        let read = keys
            .iter()
            .map(|key| SigningKey::from_private_jwk(&key.to_string()));
        Ok(Self(read.collect::<Result<_, _>>().map_err(|_| {
            (1, "one of its keys is not a whole P-256 key")
        })?))
    }

    /// Whether there is no key yet.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// The key that signs.
    #[must_use]
    pub fn newest(&self) -> Option<&SigningKey> {
        self.0.first()
    }

    /// The public halves of all keys, the newest first.
    #[must_use]
    pub fn public(&self) -> Vec<PublicKey> {
        self.0.iter().map(SigningKey::public).collect()
    }

    /// Draws a new key, which signs from now on; the older ones stay.
    ///
    /// # Errors
    /// When there are no random bytes.
    pub fn draw(&mut self, random: &mut Random<'_>) -> Result<(), NoRandomness> {
        self.0.insert(0, SigningKey::generate(random)?);
        Ok(())
    }

    /// The whole file, secrets included.
    #[must_use]
    pub(super) fn to_json(&self) -> zeroize::Zeroizing<String> {
        let keys: Vec<String> = self
            .0
            .iter()
            .map(|key| format!("  {}", key.to_private_jwk().as_str()))
            .collect();
        zeroize::Zeroizing::new(format!("{{\"keys\":[\n{}\n]}}\n", keys.join(",\n")))
    }
}
