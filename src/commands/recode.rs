//! `recode`: a new access code for one puppy's page, or for all; or a new signing key.
//!
//! In: the kennel's folder and whose code. Out: `codes.yaml` with the new code, which is also
//! printed. The old code stops working once the site is published and put in place; what was opened
//! or copied before cannot be taken back. Also the way out of codes or a key that are lost or
//! damaged.

use crate::app::codes::{self, FamilyPage};
use crate::app::folder::Folder;
use crate::app::problems;
use crate::app::who::Who;
use crate::app::{Outcome, Status, secrets, terminal};
use crate::keyring::{Keyring, KeyringError};
use crate::output::WriteError;
use crate::records::{Records, load};
use crate::{Error, audience};
use std::fmt::Write;
use std::path::Path;

/// Options of `recode`.
#[derive(Debug, clap::Args)]
pub(super) struct Options {
    /// The puppy whose page gets a new code: its id or name
    #[arg(value_name = "PUPPY", conflicts_with = "all")]
    puppy: Option<String>,
    /// Its litter, where several have a puppy of that name
    #[arg(long, value_name = "LITTER", requires = "puppy")]
    litter: Option<String>,
    /// New codes for all puppies that a family takes
    #[arg(long)]
    all: bool,
    /// A new key to sign records with; older keys stay, so that earlier papers can still be
    /// checked
    #[arg(long)]
    signing_key: bool,
}

pub(super) fn run(kennel: &Path, options: &Options) -> Result<Outcome, Error> {
    if options.puppy.is_none() && !options.all && !options.signing_key {
        return Err(Error::Usage(
            "name the puppy whose page gets a new code, or say --all or --signing-key".to_owned(),
        ));
    }
    let folder = Folder::new(kennel)?;
    let loaded = load(&folder.content, terminal::now())?;
    let Some(records) = loaded.records.as_ref().filter(|_| !loaded.has_errors()) else {
        return Ok(problems::in_the_way(
            &folder,
            &loaded,
            "no code was changed",
        ));
    };
    let keys = wanted(records, options)?;
    let mut err = secrets::sweep(&folder)?;
    let mut keyring = Keyring::open(&folder.root, &folder.state, &folder.state, &folder.public)?;
    if !keys.is_empty() && !options.all {
        keyring.codes_are_there()?;
    }
    let mut out = String::new();
    let done = draw(&mut keyring, &keys, options, &mut out);
    terminal::say(&out);
    let mut failed = |error: String| err.push_str(&format!("litterfolio: {error}\n"));
    let mut status = Status::Clean;
    // What was written is told all the same: a code that nobody has seen would shut a family out.
    if let Some(unsaid) = terminal::unsaid().filter(|_| !out.is_empty()) {
        failed(format!(
            "what was drawn could not be shown: {unsaid}\n  it stands in codes.yaml and \
             signing-keys.json, and the old codes do not"
        ));
        status = Status::CouldNotRun;
    }
    if let Err(error) = done {
        let stands = if out.is_empty() {
            "nothing was changed"
        } else {
            "what is printed above was changed all the same"
        };
        failed(Error::from(error).and_now(stands).to_string());
        status = Status::CouldNotRun;
    }
    Ok(Outcome {
        out: String::new(),
        err,
        status,
    })
}

/// Draws and writes what is wanted, and tells each thing once it is written.
fn draw(
    keyring: &mut Keyring,
    keys: &[(String, String)],
    options: &Options,
    out: &mut String,
) -> Result<(), KeyringError> {
    if !keys.is_empty() {
        let mut codes = String::new();
        for (key, entry) in codes::drawn(keyring, keys)? {
            let _ = writeln!(codes, "{key}: {}", entry.code);
        }
        codes.push_str(
            "publish and put the site in place: until then the old code opens the page\n",
        );
        codes.push_str(
            "papers in private/handover/ hold the old code: run `handover` again for new ones\n",
        );
        written(keyring.save_codes(), out, &codes)?;
    }
    if options.signing_key {
        keyring.signing.draw(&mut secrets::random)?;
        written(
            keyring.save_signing(),
            out,
            "a new signing key was drawn; publish, so that the site shows it\n",
        )?;
    }
    Ok(())
}

/// Tells what stands in a file now, also when the disk may not have it yet.
fn written(
    saved: Result<(), KeyringError>,
    out: &mut String,
    told: &str,
) -> Result<(), KeyringError> {
    if matches!(
        saved,
        Ok(()) | Err(KeyringError::Write(WriteError::NotSynced { .. }))
    ) {
        out.push_str(told);
    }
    saved
}

/// The keys of the pages that get a new code, each with its family.
fn wanted(records: &Records, options: &Options) -> Result<Vec<(String, String)>, Error> {
    let named = |page: FamilyPage<'_>| (page.key(), page.family.id.to_string());
    if let Some(puppy) = &options.puppy {
        let (folder, puppy) = Who::new(puppy, options.litter.as_deref()).find(records)?;
        let nobody = || {
            let key = audience::owner::key(folder, puppy);
            Error::Usage(format!(
                "no family takes {key} in owners.yaml, so it has no sealed page and no code"
            ))
        };
        let page = FamilyPage::of(&records.owners.homes(), folder, puppy);
        return Ok(vec![named(page.ok_or_else(nobody)?)]);
    }
    if !options.all {
        return Ok(Vec::new());
    }
    Ok(codes::family_pages(records)
        .into_iter()
        .map(named)
        .collect())
}
