//! `manual`: pages for `man`, one for the program and one for each command.
//!
//! In: where to. Out: the page of the program on standard output, or all pages as files in a
//! folder; made from the same description of the commands as the help.

use super::Arguments;
use crate::Error;
use crate::app::Outcome;
use crate::app::terminal::now;
use crate::output::replace_public;
use clap::{Command, CommandFactory};
use clap_mangen::Man;
use std::path::PathBuf;

/// Options of `manual`.
#[derive(Debug, clap::Args)]
pub(super) struct Options {
    /// Write the pages of all commands into this folder, such as ~/.local/share/man/man1
    #[arg(long, value_name = "DIR")]
    into: Option<PathBuf>,
}

pub(super) fn run(options: &Options) -> Result<Outcome, Error> {
    let mut program = Arguments::command().disable_help_subcommand(true);
    program.build();
    let Some(folder) = &options.into else {
        return Ok(Outcome::clean(String::from_utf8_lossy(&page(&program)?)));
    };
    std::fs::create_dir_all(folder).map_err(|error| Error::io("make the folder", folder, error))?;
    let mut out = String::new();
    for command in std::iter::once(&program).chain(program.get_subcommands()) {
        let path = folder.join(format!(
            "{}.1",
            command.get_display_name().unwrap_or(command.get_name())
        ));
        replace_public(&path, &page(command)?).map_err(crate::keyring::KeyringError::from)?;
        out.push_str(&format!("{}\n", path.display()));
    }
    Ok(Outcome::clean(out))
}

/// The page of a command in the language of `man`.
fn page(command: &Command) -> Result<Vec<u8>, Error> {
    let mut page = Vec::new();
    // A page says by which version it was printed, and when.
    let version = concat!("litterfolio ", env!("CARGO_PKG_VERSION"));
    let made = Man::new(command.clone())
        .date(now().format("%Y-%m-%d").to_string())
        .source(version)
        .manual("litterfolio")
        .render(&mut page);
    made.map_err(|error| Error::Usage(format!("cannot make the manual: {error}")))?;
    Ok(page)
}
