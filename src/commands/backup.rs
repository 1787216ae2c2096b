//! `backup`: everything of a kennel in one file.
//!
//! In: the kennel's folder, and a folder or a new file to write to. Out: the file, read again after
//! it was written. Codes and keys go in only when they can be sealed with a passphrase, which is
//! asked for at a terminal and not shown, or handed over in `LITTERFOLIO_PASSPHRASE`. Records with
//! problems are no reason to make no backup.

use crate::Error;
use crate::app::backup::{self, MadeBackup, size};
use crate::app::folder::Folder;
use crate::app::terminal::{self, many};
use crate::app::{Outcome, Status};
use crate::keyring::has_secrets;
use crate::output::{SecretsKept, shown_path};
use crate::sealing::passphrase::Passphrase;
use std::fmt::Write;
use std::path::{Path, PathBuf};

/// Options of `backup`.
#[derive(Debug, clap::Args)]
pub(super) struct Options {
    /// A folder that is there, best on another disk; or a new file that ends with .zip
    #[arg(value_name = "WHERE")]
    to: PathBuf,
    /// Leave access codes and signing keys out, and ask for no passphrase
    #[arg(long)]
    without_secrets: bool,
}

pub(super) fn run(kennel: &Path, options: &Options) -> Result<Outcome, Error> {
    let folder = Folder::new(kennel)?;
    let passphrase = if options.without_secrets || !has_secrets(kennel) {
        None
    } else {
        chosen()?
    };
    let made = backup::make(&folder, &options.to, passphrase.as_ref())?;
    let err = notes(&made, options.without_secrets);
    let mut out = format!(
        "{}\n{} of {}, {}; written, read again and found whole\n",
        shown_path(&made.file),
        many(made.list.files.len(), "file"),
        made.list.kennel,
        size(made.bytes),
    );
    if made.list.secrets == SecretsKept::Sealed {
        out.push_str(
            "access codes and signing keys are in it, sealed: without the passphrase they cannot \
             be had back\n",
        );
    }
    let status = if made.left_out.is_empty() {
        Status::Clean
    } else {
        Status::Problems
    };
    Ok(Outcome { out, err, status })
}

fn notes(made: &MadeBackup, is_wanted: bool) -> String {
    let mut err = String::new();
    if made.list.secrets == SecretsKept::LeftOut && !is_wanted {
        err.push_str(
            "note: access codes and signing keys were left out, since no passphrase was given; \
             keep a copy of codes.yaml and signing-keys.json elsewhere\n",
        );
    }
    for (name, why) in &made.left_out {
        let shown: String = name.chars().filter(|c| !c.is_control()).collect();
        let _ = writeln!(err, "warning: {shown} is not in the backup: {why}");
    }
    for (name, why) in &made.not_on_windows {
        let _ = writeln!(err, "note: {name} cannot be set up on Windows: {why}");
    }
    err
}

/// A passphrase that was handed over or is chosen now; nothing where nobody can be asked, or
/// nothing is typed.
fn chosen() -> Result<Option<Passphrase>, Error> {
    let unfit = |error| Error::Usage(format!("{error}; no backup was made"));
    if let Some(handed) = terminal::handed_passphrase() {
        return Passphrase::new(&handed).map(Some).map_err(unfit);
    }
    let question = "A passphrase to seal access codes and signing keys with (Enter leaves them \
                    out): ";
    let Some(typed) = terminal::secret(question) else {
        return Ok(None);
    };
    let passphrase = Passphrase::new(&typed).map_err(unfit)?;
    let again = terminal::secret("The same again: ").unwrap_or_default();
    if again.trim() == typed.trim() {
        Ok(Some(passphrase))
    } else {
        Err(Error::Usage(
            "the two differ; no backup was made".to_owned(),
        ))
    }
}
