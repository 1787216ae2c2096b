//! `rounds`: what needs doing today and tomorrow, over all litters.
//!
//! In: the kennel's folder and how many days to look ahead. Out: the round for the terminal or as
//! JSON; problems of the records go to standard error. Work that waits is no failure: the exit code
//! is 0 unless the records cannot be trusted, for a task that a broken record hides would not be
//! missed by anybody.

use crate::Error;
use crate::app::folder::Folder;
use crate::app::problems;
use crate::app::{Outcome, terminal};
use crate::records::load;
use crate::{audience, husbandry, pages};
use std::path::Path;

/// Options of `rounds`.
#[derive(Debug, clap::Args)]
pub(super) struct Options {
    /// How many days to look ahead; 1 is today and tomorrow
    #[arg(
        long,
        value_name = "N",
        default_value_t = 1,
        value_parser = clap::value_parser!(u16).range(0..=366)
    )]
    days: u16,
    /// Print the round as JSON; `litterfolio schema rounds` describes it
    #[arg(long)]
    json: bool,
}

pub(super) fn run(kennel: &Path, options: &Options) -> Result<Outcome, Error> {
    let folder = Folder::new(kennel)?;
    let loaded = load(&folder.content, terminal::now())?;
    let Some(records) = loaded.records.as_ref().filter(|_| !loaded.has_errors()) else {
        return Ok(problems::in_the_way(
            &folder,
            &loaded,
            "no round was made: what a broken record says would be missing from it",
        ));
    };
    let figures = husbandry::compute(records);
    let rounds = audience::keeper::rounds(records, &figures, options.days);
    if options.json {
        return Ok(Outcome::clean(pages::rounds_json(&rounds)));
    }
    let rounds = match terminal::typed_kennel(kennel) {
        Some(folder) => rounds.typed_with(&folder),
        None => rounds,
    };
    let terminal = terminal::answers();
    Ok(Outcome::clean(pages::rounds_text(
        &rounds,
        terminal.width,
        terminal.colours,
    )))
}
