//! Parses arguments, runs, prints, exits.
//!
//! In: the command line. Out: text on standard output and standard error, and exit code 0 (clean),
//! 1 (problems in the records) or 2 (could not run, or could not say what there was to say).

use clap::Parser;
use litterfolio::app::Status;
use litterfolio::commands::{Arguments, has_gone, run, tell};
use std::process::ExitCode;

/// A site is made of very many small texts; this one hands them out faster than most systems do.
/// Built for Windows with GCC it is never told that a thread has ended, and a desk that works for
/// long would take all memory.
#[cfg(not(windows))]
#[global_allocator]
static MEMORY: mimalloc::MiMalloc = mimalloc::MiMalloc;

fn main() -> ExitCode {
    match Arguments::try_parse() {
        Ok(arguments) => ExitCode::from(tell(&run(arguments))),
        // Help and version are such errors too.
        Err(error) => match error.print() {
            Err(unsaid) if !has_gone(&unsaid) => ExitCode::from(Status::CouldNotRun.code()),
            _ => u8::try_from(error.exit_code()).map_or(ExitCode::FAILURE, ExitCode::from),
        },
    }
}
