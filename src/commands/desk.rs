//! `desk`: the keeper's book in the browser, on this machine only, in which everything can also be
//! recorded.
//!
//! In: the kennel's folder. Out: two addresses on the loopback address, and a line for each change,
//! until somebody ends it; exit code 0.

use crate::Error;
use crate::app::{Outcome, places};
use crate::desk::{self, Browsing, How, Wanted};
use crate::output::shown_path;
use std::path::Path;

/// Options of `desk`.
#[derive(Debug, clap::Args)]
pub(super) struct Options {
    /// Port of the public site on this machine [default: the next free one from 6300]
    #[arg(long, value_name = "N")]
    port: Option<u16>,
    /// Port of the keeper's book [default: the next free one from 6301]
    #[arg(long, value_name = "N")]
    book_port: Option<u16>,
    /// Print the links, and open no browser
    #[arg(long)]
    no_browser: bool,
    /// Look at the files every second; for a folder on a network drive, where changes are not told
    #[arg(long)]
    network_drive: bool,
    /// How many threads to use [default: one for each core]
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u16).range(1..=256))]
    threads: Option<u16>,
}

/// What happens when no command is named: the desk of the kennel that was named, that stands in
/// this folder, or that was opened last; where none of them is there, a folder is asked for.
pub(super) fn usual(named: Option<&Path>) -> Result<Outcome, Error> {
    let options = desk::Options {
        ports: Wanted::default(),
        browser: Browsing::Always,
        how: How::Told,
        threads: None,
    };
    if let Some(kennel) = named {
        if !kennel.join("content").is_dir() {
            return Err(Error::Usage(format!(
                "no kennel stands in {}\n  name the folder of your kennel; for a new one make an \
                 empty folder and type: litterfolio --kennel DIR desk\n  all commands: litterfolio \
                 --help",
                shown_path(kennel)
            )));
        }
        places::remember_kennel(kennel);
        return desk::run(kennel, options);
    }
    let here = Path::new(".");
    if here.join("content").join("kennel.yaml").is_file() {
        return desk::run(here, options);
    }
    match places::remembered_kennel() {
        Some(kennel) if kennel.join("content").is_dir() => desk::run(&kennel, options),
        vanished => desk::choose(options, vanished),
    }
}

pub(super) fn run(kennel: &Path, options: &Options) -> Result<Outcome, Error> {
    let Options {
        port,
        book_port,
        no_browser,
        network_drive,
        threads,
    } = *options;
    desk::run(
        kennel,
        desk::Options {
            ports: Wanted {
                public: port,
                private: book_port,
            },
            browser: if no_browser {
                Browsing::Never
            } else {
                Browsing::AtTerminal
            },
            how: if network_drive {
                How::Looking
            } else {
                How::Told
            },
            threads,
        },
    )
}
