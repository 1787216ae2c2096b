//! `inspect`: read and check everything, write nothing.
//!
//! In: the kennel's folder. Out: all problems of all files, for people or as JSON.

use crate::Error;
use crate::app::folder::Folder;
use crate::app::inputs::Inputs;
use crate::app::pictures::PictureSources;
use crate::app::progress::{Progress, Watched};
use crate::app::terminal;
use crate::app::terminal::many;
use crate::app::{Outcome, Status, loading, problems, secrets};
use crate::cache::Store;
use crate::quantity::counted;
use crate::records::showing;
use std::path::Path;

/// Options of `inspect`.
#[derive(Debug, clap::Args)]
pub(super) struct Options {
    /// Print the problems as JSON on standard output
    #[arg(long)]
    json: bool,
}

pub(super) fn run(kennel: &Path, options: &Options) -> Result<Outcome, Error> {
    let folder = Folder::new(kennel)?;
    let program = terminal::program();
    let store = Store::open(&folder.state, program.as_deref(), terminal::clock);
    let inputs = Inputs::look(&folder, &store)?;
    let loaded = loading::read(
        &folder,
        &PictureSources {
            inputs: &inputs,
            store: &store,
            may_write: false,
            trusted: true,
        },
        &Progress::new(Watched::unless(options.json)),
    )
    .0;
    let loaded = match secrets::unusable(&folder) {
        Some(problem) => loaded.with(vec![problem]),
        None => loaded,
    };
    let status = if loaded.has_errors() {
        Status::Problems
    } else {
        Status::Clean
    };
    if options.json {
        let json = showing::for_programs(&loaded.problems, &loaded.sources);
        return Ok(Outcome {
            out: format!("{json:#}\n"),
            err: String::new(),
            status,
        });
    }
    let mut err = problems::shown(&folder, &loaded);
    err.push_str(&problems::counts(&loaded));
    let out = loaded
        .records
        .as_deref()
        .filter(|_| status == Status::Clean)
        .map(summary)
        .unwrap_or_default();
    Ok(Outcome { out, err, status })
}

fn summary(records: &crate::records::Records) -> String {
    let puppies: usize = records
        .litters
        .values()
        .map(|l| l.litter.puppies.len())
        .sum();
    let weigh_ins: usize = records.litters.values().map(|l| l.weigh_ins.len()).sum();
    format!(
        "{}: {}, {}, {}, {}\n",
        records.kennel.name,
        many(records.dogs.len(), "dog"),
        many(records.litters.len(), "litter"),
        counted(puppies, "puppy", "puppies"),
        many(weigh_ins, "weigh-in")
    )
}
