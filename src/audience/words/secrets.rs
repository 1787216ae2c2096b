//! What is wrong with files of secrets, as problems.
//!
//! In: what the keyring found. Out: a problem with its place beside the content folder.

use crate::keyring::{CODES, Exposed, KeyringError};
use crate::records::problem::{Place, Problem};

fn place(file: &str) -> Place {
    Place::file(&format!("../{file}"))
}

/// A secret file that somebody else may see.
#[must_use]
pub fn exposed(open: &Exposed) -> Problem {
    match open {
        Exposed::Readable { file, mode } => Problem::warning(
            "secret-readable",
            place(file),
            format!(
                "others on this machine may read the secrets in `{file}` (its rights are \
                 {mode:04o})"
            ),
            format!("type `chmod 600 {file}` in the kennel’s folder"),
        ),
        Exposed::NotIgnored { file } => Problem::warning(
            "secret-not-ignored",
            place(file),
            format!("git would take `{file}` with the next `git add`"),
            format!(
                "write a line `/{file}` at the end of .gitignore; `publish` does so when it runs"
            ),
        ),
        Exposed::LeftBehind { file } => Problem::warning(
            "secret-left-behind",
            place(file),
            format!("a run that was broken off left secrets in `{file}`"),
            "run `litterfolio publish`, which removes it, or remove it yourself".to_owned(),
        ),
        Exposed::SecondVersion { file, of } => Problem::warning(
            "secret-second-version",
            place(file),
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
            place(file),
            format!("git keeps `{file}`, and gives it to everyone who gets the repository"),
            format!(
                "type `git rm --cached {file}` and commit; then draw new secrets with \
                 `litterfolio recode --all --signing-key`, since the old ones stay in git’s \
                 history"
            ),
        ),
    }
}

/// Secrets that cannot be used as they are: `publish` would stop at them.
#[must_use]
pub fn unusable(why: &KeyringError) -> Problem {
    let file = why.path().and_then(|path| path.file_name()?.to_str());
    let hint = why.hint();
    let hint = hint
        .as_deref()
        .unwrap_or("look at the file, then run again");
    Problem::error(
        "secret-unusable",
        place(file.unwrap_or(CODES)),
        why.what(),
        hint,
    )
}
