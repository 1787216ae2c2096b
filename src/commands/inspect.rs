//! `inspect`: read and check everything, write nothing.
//!
//! In: the kennel's folder. Out: all problems of all files, for people or as JSON.

use super::folder::Folder;
use super::inputs::Inputs;
use super::pictures::{self, Gallery, Store};
use super::progress::Progress;
use super::terminal::{self, many};
use super::{Outcome, Status, secrets};
use crate::Error;
use crate::output::Cache;
use crate::records::problem::Severity;
use crate::records::{Known, Loaded, load_knowing, showing};
use std::path::Path;
use std::thread;

/// Options of `inspect`.
#[derive(Debug, clap::Args)]
pub(super) struct Options {
    /// Print the problems as JSON on standard output
    #[arg(long)]
    json: bool,
}

pub(super) fn run(kennel: &Path, options: &Options) -> Result<Outcome, Error> {
    let folder = Folder::new(kennel)?;
    let cache = Cache::below(&folder.state);
    let inputs = Inputs::look(&folder, &cache)?;
    let loaded = read(&folder, &Store { inputs: &inputs, cache: &cache, may_write: false, trusted: true }, &Progress::new(options.json)).0;
    let loaded = match secrets::unusable(&folder) {
        Some(problem) => loaded.with(vec![problem]),
        None => loaded,
    };
    let status = if loaded.has_errors() { Status::Problems } else { Status::Clean };
    if options.json {
        let json = showing::for_programs(&loaded.problems, &loaded.sources);
        return Ok(Outcome { out: format!("{json:#}\n"), err: String::new(), status });
    }
    let mut err = shown(&folder, &loaded);
    err.push_str(&counts(&loaded));
    let out = loaded.records.as_ref().filter(|_| status == Status::Clean).map(summary).unwrap_or_default();
    Ok(Outcome { out, err, status })
}

/// Loads the records and prepares the pictures: everything that can have a problem.
pub(super) fn read(folder: &Folder, store: &Store<'_>, progress: &Progress) -> (Loaded, Gallery) {
    let step = progress.step("reading records", None);
    let Store { inputs, cache, may_write, trusted } = *store;
    let known = if trusted { Known::load(cache, inputs.program()) } else { Known::default() };
    // Whether git would take the secrets along is asked of git, which takes a while.
    let (loaded, warnings) = thread::scope(|scope| {
        let warnings = scope.spawn(|| secrets::warnings(&folder.root));
        let loaded = load_knowing(&folder.content, inputs.listing(), terminal::now(), &known);
        (loaded, warnings.join().unwrap_or_else(|panic| std::panic::resume_unwind(panic)))
    });
    if may_write {
        loaded.known.keep(&known, cache, inputs.program());
    }
    drop(step);
    let mut gallery = loaded.records.as_ref().map(|records| pictures::prepare(records, store, progress)).unwrap_or_default();
    let mut problems = std::mem::take(&mut gallery.problems);
    problems.extend(warnings);
    // One that cannot be listed stops whoever reads the templates.
    problems.extend(folder.list_templates().map(|listing| folder.strange_templates(&listing)).unwrap_or_default());
    (if problems.is_empty() { loaded } else { loaded.with(problems) }, gallery)
}

/// All problems, drawn for the terminal.
pub(super) fn shown(folder: &Folder, loaded: &Loaded) -> String {
    let terminal = terminal::terminal();
    showing::for_people(&loaded.problems, &loaded.sources, &folder.shown_content(), terminal.width, terminal.colours)
}

/// `2 errors, 1 warning`, when there are any.
pub(super) fn counts(loaded: &Loaded) -> String {
    let count = |severity| loaded.problems.iter().filter(|p| p.problem.severity == severity).count();
    match (count(Severity::Error), count(Severity::Warning)) {
        (0, 0) => String::new(),
        (0, warnings) => format!("{}; nothing stands in the way of publishing\n", many(warnings, "warning")),
        (errors, 0) => format!("{}\n", many(errors, "error")),
        (errors, warnings) => format!("{}, {}\n", many(errors, "error"), many(warnings, "warning")),
    }
}

fn summary(records: &crate::records::Records) -> String {
    let puppies: usize = records.litters.values().map(|l| l.litter.puppies.len()).sum();
    let weigh_ins: usize = records.litters.values().map(|l| l.weigh_ins.len()).sum();
    format!(
        "{}: {}, {}, {}, {}\n",
        records.kennel.name,
        many(records.dogs.len(), "dog"),
        many(records.litters.len(), "litter"),
        if puppies == 1 { "1 puppy".to_owned() } else { format!("{puppies} puppies") },
        many(weigh_ins, "weigh-in")
    )
}
