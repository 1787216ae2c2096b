//! `completions`: what a shell needs to complete commands and options.
//!
//! In: a shell. Out: a script for it on standard output, made from the same description of the
//! commands as the help.

use super::Arguments;
use crate::app::Outcome;
use clap::CommandFactory;
use clap_complete::Shell;

/// Options of `completions`.
#[derive(Debug, clap::Args)]
pub(super) struct Options {
    /// The shell you type in
    #[arg(value_name = "SHELL")]
    shell: Shell,
}

pub(super) fn run(options: &Options) -> Outcome {
    let (mut command, mut script) = (Arguments::command(), Vec::new());
    let name = command.get_name().to_owned();
    clap_complete::generate(options.shell, &mut command, name, &mut script);
    Outcome::clean(String::from_utf8_lossy(&script))
}
