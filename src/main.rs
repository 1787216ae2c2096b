//! Parses arguments, runs, prints, exits.
//!
//! In: the command line. Out: text on standard output and standard error, and exit code 0 (clean), 1 (problems in the records) or 2 (could not run).

use clap::Parser;
use litterfolio::commands::{Arguments, run};
use std::io::{Write, stderr, stdout};
use std::process::ExitCode;

/// A site is made of very many small texts; this one hands them out faster than most systems do.
#[global_allocator]
static MEMORY: mimalloc::MiMalloc = mimalloc::MiMalloc;

fn main() -> ExitCode {
    let outcome = run(Arguments::parse());
    // A closed pipe, as under `| head`, is no reason to complain.
    let _ = stderr().lock().write_all(outcome.err.as_bytes());
    let _ = stdout().lock().write_all(outcome.out.as_bytes());
    ExitCode::from(outcome.status.code())
}
