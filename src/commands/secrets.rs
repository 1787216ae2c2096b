//! Random bytes for secrets, and what lies open of them.
//!
//! In: the operating system's generator, the kennel's folder. Out: bytes; warnings for the keeper.

use crate::keyring::{Exposed, exposed};
use crate::records::problem::{Place, Problem};
use crate::sealing::NoRandomness;
use std::path::Path;

/// Bytes from the operating system's generator.
pub(super) fn random(bytes: &mut [u8]) -> Result<(), NoRandomness> {
    getrandom::fill(bytes).map_err(|error| NoRandomness(error.to_string()))
}

/// A warning for each secret file that others may see.
pub(super) fn warnings(kennel: &Path) -> Vec<Problem> {
    exposed(kennel).iter().map(warning).collect()
}

fn warning(open: &Exposed) -> Problem {
    match open {
        Exposed::Readable { file, mode } => Problem::warning(
            "secret-readable",
            Place::file(&format!("../{file}")),
            format!("others on this machine may read the secrets in `{file}` (its rights are {mode:04o})"),
            format!("type `chmod 600 {file}` in the kennel’s folder"),
        ),
        Exposed::Tracked { file } => Problem::warning(
            "secret-tracked",
            Place::file(&format!("../{file}")),
            format!("git keeps `{file}`, and gives it to everyone who gets the repository"),
            format!(
                "type `git rm --cached {file}` and commit; then draw new secrets with `litterfolio recode --all --signing-key`, since the old ones stay in git’s history"
            ),
        ),
    }
}
