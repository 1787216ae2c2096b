//! What is remembered of sealed pages between two runs, so that a page is sealed again only when it
//! changed, and a lost file of codes is noticed.
//!
//! In: `sealed.json` in the site's memory. Out: [`RememberedSeals`]. It holds no secret:
//! fingerprints are keyed with the codes. It can be deleted at any time; then every page is sealed
//! again.

use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

/// What an earlier run sealed and signed with.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RememberedSeals {
    /// Thumbprint of the key that signed.
    pub signed_with: Option<String>,
    /// Sealed pages by the key of their puppy.
    pub pages: BTreeMap<String, SealedBefore>,
}

/// One page as it was sealed.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SealedBefore {
    /// Its name, without ending.
    pub page: String,
    /// Fingerprint of what it was made from and of the sealed text.
    pub fingerprint: String,
    /// Fingerprint of what it was made from alone: the same on two sites that sealed the same.
    /// Empty where an older version sealed it.
    #[serde(default)]
    pub content: String,
}

impl RememberedSeals {
    pub(super) fn place(state: &Path) -> PathBuf {
        state.join("sealed.json")
    }

    /// Reads what was remembered; what cannot be read is forgotten.
    #[must_use]
    pub fn load(state: &Path) -> Self {
        fs::read(Self::place(state))
            .ok()
            .and_then(|bytes| serde_json::from_slice(&bytes).ok())
            .unwrap_or_default()
    }

    pub(super) fn to_json(&self) -> String {
        serde_json::to_string_pretty(self).unwrap_or_default() + "\n"
    }
}
