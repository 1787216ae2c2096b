//! Random bytes for secrets, and what lies open of them.
//!
//! In: the operating system's generator, the kennel's folder. Out: bytes; warnings for the keeper.

use super::folder::Folder;
use crate::Error;
use crate::keyring::{CODES, Exposed, Keyring, SIGNING_KEYS, exposed, sweep as sweep_secrets};
use crate::records::problem::{Place, Problem};
use crate::sealing::NoRandomness;
use std::path::Path;

/// Bytes from the operating system's generator.
pub(crate) fn random(bytes: &mut [u8]) -> Result<(), NoRandomness> {
    getrandom::fill(bytes).map_err(|error| NoRandomness(error.to_string()))
}

/// A word that nobody guesses: 160 bits.
pub(crate) fn word() -> Option<String> {
    let mut bytes = [0; 20];
    random(&mut bytes).ok()?;
    Some(bytes.iter().map(|byte| format!("{byte:02x}")).collect())
}

/// What stands in the way of using the secrets as they are, as a problem: `publish` would stop at
/// it.
pub(crate) fn unusable(folder: &Folder) -> Option<Problem> {
    let keyring = Keyring::look(&folder.root, &folder.state, &folder.public);
    let error = keyring
        .and_then(|keyring| keyring.is_sound())
        .err()?
        .to_string();
    let (said, hint) = error
        .split_once('\n')
        .unwrap_or((&error, "look at the file, then run again"));
    let file = [SIGNING_KEYS, CODES]
        .into_iter()
        .find(|file| said.contains(file))
        .unwrap_or(CODES);
    let hint = hint.split_whitespace().collect::<Vec<_>>().join(" ");
    Some(Problem::error(
        "secret-unusable",
        Place::file(&format!("../{file}")),
        said.to_owned(),
        hint,
    ))
}

/// Removes what a run that was killed left of the secrets, and says so.
pub(crate) fn sweep(folder: &Folder) -> Result<String, Error> {
    let swept = sweep_secrets(&folder.root, &folder.state)?;
    Ok(swept
        .iter()
        .map(|file| {
            format!("note: a run was broken off and left secrets in {file}; it was removed\n")
        })
        .collect())
}

/// A warning for each secret file that others may see.
pub(crate) fn warnings(kennel: &Path) -> Vec<Problem> {
    exposed(kennel).iter().map(warning).collect()
}

fn warning(open: &Exposed) -> Problem {
    match open {
        Exposed::Readable { file, mode } => Problem::warning(
            "secret-readable",
            Place::file(&format!("../{file}")),
            format!(
                "others on this machine may read the secrets in `{file}` (its rights are \
                 {mode:04o})"
            ),
            format!("type `chmod 600 {file}` in the kennel’s folder"),
        ),
        Exposed::NotIgnored { file } => Problem::warning(
            "secret-not-ignored",
            Place::file(&format!("../{file}")),
            format!("git would take `{file}` with the next `git add`"),
            format!(
                "write a line `/{file}` at the end of .gitignore; `publish` does so when it runs"
            ),
        ),
        Exposed::LeftBehind { file } => Problem::warning(
            "secret-left-behind",
            Place::file(&format!("../{file}")),
            format!("a run that was broken off left secrets in `{file}`"),
            "run `litterfolio publish`, which removes it, or remove it yourself".to_owned(),
        ),
        Exposed::SecondVersion { file, of } => Problem::warning(
            "secret-second-version",
            Place::file(&format!("../{file}")),
            format!(
                "this looks like a second version of `{of}`, put there by a program that keeps \
                 folders alike, or by a copy; it holds secrets"
            ),
            format!(
                "compare the two, write into `{of}` what is missing there, and take this one out \
                 of the kennel’s folder; git would take it as well"
            ),
        ),
        Exposed::Tracked { file } => Problem::warning(
            "secret-tracked",
            Place::file(&format!("../{file}")),
            format!("git keeps `{file}`, and gives it to everyone who gets the repository"),
            format!(
                "type `git rm --cached {file}` and commit; then draw new secrets with \
                 `litterfolio recode --all --signing-key`, since the old ones stay in git’s \
                 history"
            ),
        ),
    }
}
