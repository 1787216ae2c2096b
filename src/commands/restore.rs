//! `restore`: a kennel set up from a backup, in a folder of its own.
//!
//! In: a backup and a new or empty folder. Out: the kennel in it, every file compared with what was
//! written; or nothing at all, and why. With `--check` the backup is only looked at.

use crate::Error;
use crate::app::Outcome;
use crate::app::backup::{self, SealedSecrets, size};
use crate::app::terminal::{self, many, typed};
use crate::output::{BackupFile, SecretsKept, shown_path};
use crate::sealing::passphrase::Passphrase;
use std::path::PathBuf;

/// Options of `restore`.
#[derive(Debug, clap::Args)]
pub(super) struct Options {
    /// The backup
    #[arg(value_name = "FILE")]
    file: PathBuf,
    /// The folder of the kennel: a new one, or one that is empty
    #[arg(value_name = "DIR", required_unless_present = "check")]
    to: Option<PathBuf>,
    /// Leave access codes and signing keys where they are, sealed
    #[arg(long)]
    without_secrets: bool,
    /// Only see whether the backup is whole; put nothing in place
    #[arg(long, conflicts_with_all = ["to", "without_secrets"])]
    check: bool,
}

pub(super) fn run(options: &Options) -> Result<Outcome, Error> {
    let mut file = BackupFile::open(&options.file)?;
    let list = file.list();
    let bytes = list.files.iter().map(|file| file.bytes).sum();
    let of = format!(
        "{} of {}, {}, as of {}",
        many(list.files.len(), "file"),
        list.kennel,
        size(bytes),
        list.made
    );
    let secrets = list.secrets;
    let Some(to) = options.to.as_ref().filter(|_| !options.check) else {
        file.verify()?;
        let with = match secrets {
            SecretsKept::Sealed => "codes and keys are in it, sealed",
            SecretsKept::LeftOut => "codes and keys are not in it",
            SecretsKept::None => "there were no codes and keys",
        };
        return Ok(Outcome::clean(format!("whole: {of}; {with}\n")));
    };
    let passphrase = if secrets == SecretsKept::Sealed && !options.without_secrets {
        Some(given()?)
    } else {
        None
    };
    let given = passphrase
        .as_ref()
        .map_or(SealedSecrets::LeftOut, SealedSecrets::Opened);
    backup::set_up(&mut file, to, &given).map_err(|error| match error {
        Error::Usage(why) if why.ends_with("leave them out") => {
            Error::Usage(format!("{why} with --without-secrets"))
        }
        other => other,
    })?;
    let mut out = format!("{of}: set up in {}\n", shown_path(to));
    if secrets == SecretsKept::LeftOut || (secrets == SecretsKept::Sealed && passphrase.is_none()) {
        out.push_str(
            "access codes and signing keys are not there: put codes.yaml and signing-keys.json \
             into that folder, or `inspect` says what to do without them\n",
        );
    }
    let shown = typed(&shown_path(to));
    out.push_str(&format!("next: litterfolio --kennel {shown} desk\n"));
    Ok(Outcome::clean(out))
}

/// The passphrase that was chosen when the backup was made.
fn given() -> Result<Passphrase, Error> {
    let handed = terminal::handed_passphrase().or_else(|| {
        terminal::secret("The passphrase of the backup, for access codes and signing keys: ")
    });
    let Some(handed) = handed else {
        return Err(Error::Usage(
            "the backup holds access codes and signing keys, sealed with a passphrase\n  hand it \
             over in LITTERFOLIO_PASSPHRASE, or leave them out: --without-secrets"
                .to_owned(),
        ));
    };
    Passphrase::new(&handed).map_err(|error| {
        Error::Usage(format!(
            "this cannot be the passphrase: {error}; nothing was put in place"
        ))
    })
}
