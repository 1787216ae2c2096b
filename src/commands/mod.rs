//! What each command asks of the floors below, in one readable page each.
//!
//! In: arguments. Out: an [`Outcome`]: what to print and how to exit. Nothing is printed here.

mod backup;
mod begin;
mod completions;
mod desk;
mod export;
mod handover;
mod inspect;
mod manual;
mod publish;
mod recode;
mod rename;
mod restore;
mod rounds;
mod schema;
mod set;
mod take_in;
mod tend;
mod undo;
mod weigh;

use crate::Error;
use crate::app::{Outcome, Status, terminal};
use clap::{Parser, Subcommand};
use std::path::{Path, PathBuf};

/// Keeps the records of a kennel's litters and publishes them as a static site.
#[derive(Debug, Parser)]
#[command(
    name = "litterfolio",
    version,
    about,
    max_term_width = 100,
    after_help = "The program computes, the vet decides."
)]
pub struct Arguments {
    /// Folder of the kennel, with `content/` in it [default: the current one; without a command
    /// also the one that was opened last]
    #[arg(long, global = true, value_name = "DIR")]
    kennel: Option<PathBuf>,
    #[command(subcommand)]
    command: Option<Command>,
}

#[derive(Debug, Subcommand)]
enum Command {
    /// Make the public site, the owners' sealed pages and the keeper's book from the records
    Publish(publish::Options),
    /// Read and check all records; write nothing
    Inspect(inspect::Options),
    /// Take a weigh-in: asked for puppy by puppy, given as fern=231g, or from a table
    Weigh(weigh::Options),
    /// Show what needs doing today and tomorrow, over all litters
    Rounds(rounds::Options),
    /// Record what was done for puppies or seen of them: worming, vaccination, check, temperature …
    Tend(Box<tend::Options>),
    /// Write all records as tables and JSON, for an inspector, a registry or another program
    Export(export::Options),
    /// Open the keeper's book in the browser, on this machine only, and record everything there
    Desk(desk::Options),
    /// Make the papers for a puppy that leaves, once nothing is missing
    Handover(handover::Options),
    /// Draw a new access code for an owner's page
    Recode(recode::Options),
    /// Take the birth from a whelping sheet into its litter's records
    TakeIn(take_in::Options),
    /// Change one place of a record: set, add, take out, move; nothing else in the file changes
    Set(set::Options),
    /// Give a dog, a litter, a puppy or a family another name, with all that names it
    Rename(rename::Options),
    /// Take back the latest change of the records, or the one that is named
    Undo(undo::Options),
    /// Put everything of the kennel into one file, codes and keys sealed with a passphrase
    Backup(backup::Options),
    /// Set a kennel up from a backup, in a new folder
    Restore(restore::Options),
    /// Make a new kennel folder to fill in
    Begin(begin::Options),
    /// Print the JSON Schema of a record file, for your editor
    Schema(schema::Options),
    /// Print what your shell needs to complete commands and options
    Completions(completions::Options),
    /// Print the manual page, or write those of all commands
    Manual(manual::Options),
}

/// Whether the reader of a pipe has gone. Windows has a second number for that, 233 (Microsoft,
/// "System Error Codes"), which the standard library does not know.
#[must_use]
pub fn has_gone(unsaid: &std::io::Error) -> bool {
    unsaid.kind() == std::io::ErrorKind::BrokenPipe
        || cfg!(windows) && unsaid.raw_os_error() == Some(233)
}

/// Prints what a command had to say, and gives the exit code. A run that could not say all of it
/// has failed; only a pipe whose reader has seen enough, as under `| head`, is no reason to
/// complain.
#[must_use]
pub fn tell(outcome: &Outcome) -> u8 {
    let Outcome { out, err, status } = outcome;
    terminal::warn(err);
    terminal::say(out);
    let Some(unsaid) = terminal::unsaid().filter(|unsaid| !has_gone(unsaid)) else {
        return status.code();
    };
    terminal::warn(&format!(
        "litterfolio: what there is to say could not be written: {unsaid}\n"
    ));
    Status::CouldNotRun.code()
}

/// Runs a command.
#[must_use]
pub fn run(arguments: Arguments) -> Outcome {
    let Arguments { kennel, command } = arguments;
    // Whatever separators were typed, those of this system are shown.
    let kennel: Option<PathBuf> = kennel.map(|typed| typed.components().collect());
    let is_for_programs = matches!(
        command,
        Some(
            Command::Export(_) | Command::Schema(_) | Command::Completions(_) | Command::Manual(_)
        )
    );
    let outcome = match command {
        None => desk::usual(kennel.as_deref()),
        Some(command) => run_command(command, kennel.as_deref().unwrap_or(Path::new("."))),
    };
    let Outcome { out, err, status } = outcome.unwrap_or_else(|error| Outcome {
        out: String::new(),
        err: format!("litterfolio: {error}\n"),
        status: Status::CouldNotRun,
    });
    let (out, err) = if is_for_programs {
        (out, err)
    } else {
        terminal::fitted(out, err)
    };
    Outcome { out, err, status }
}

fn run_command(command: Command, kennel: &Path) -> Result<Outcome, Error> {
    match command {
        Command::Publish(options) => publish::run(kennel, &options),
        Command::Inspect(options) => inspect::run(kennel, &options),
        Command::Weigh(options) => weigh::run(kennel, &options),
        Command::Rounds(options) => rounds::run(kennel, &options),
        Command::Tend(options) => tend::run(kennel, &options),
        Command::Export(options) => export::run(kennel, &options),
        Command::Desk(options) => desk::run(kennel, &options),
        Command::Handover(options) => handover::run(kennel, &options),
        Command::Recode(options) => recode::run(kennel, &options),
        Command::TakeIn(options) => take_in::run(kennel, &options),
        Command::Set(options) => set::run(kennel, &options),
        Command::Rename(options) => rename::run(kennel, &options),
        Command::Undo(options) => undo::run(kennel, &options),
        Command::Backup(options) => backup::run(kennel, &options),
        Command::Restore(options) => restore::run(&options),
        Command::Begin(options) => begin::run(&options),
        Command::Schema(options) => schema::run(&options),
        Command::Completions(options) => Ok(completions::run(&options)),
        Command::Manual(options) => manual::run(&options),
    }
}

#[cfg(test)]
mod tests {
    use super::Arguments;
    use clap::CommandFactory;

    #[test]
    fn every_command_is_well_formed() {
        Arguments::command().debug_assert();
    }
}
