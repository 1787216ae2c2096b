//! `publish`: read, check, compute, choose for each audience, seal, render, write.
//!
//! In: the kennel's folder. Out: `public/` and `private/`, each swapped in whole, or the old ones
//! as they were. One record with an error stops the publication: a site that left a litter out
//! because of a slip would have changed without anybody having said so.

use crate::app::progress::{Progress, Watched};
use crate::app::published::Published;
use crate::app::publisher::Publisher;
use crate::app::session::Session;
use crate::app::{Outcome, Status, site};
use crate::records::showing;
use crate::{Error, audience};
use serde_json::{Value, json};
use std::fmt::Write;
use std::path::Path;

/// Options of `publish`.
#[expect(
    clippy::struct_excessive_bools,
    reason = "each is a switch of the command line"
)]
#[derive(Debug, clap::Args)]
pub(super) struct Options {
    #[command(flatten)]
    site: site::Options,
    /// Say of every file that was made why it was made
    #[arg(long)]
    explain: bool,
    /// Say nothing but what the keeper must look at
    #[arg(long, short, conflicts_with = "explain")]
    quiet: bool,
    /// Print what was done as JSON on standard output
    #[arg(long)]
    json: bool,
    /// Tell another program how far it is: lines of JSON on standard error
    #[arg(long)]
    steps: bool,
}

pub(super) fn run(kennel: &Path, options: &Options) -> Result<Outcome, Error> {
    options.site.on_threads(|| publish(kennel, options))
}

fn publish(kennel: &Path, options: &Options) -> Result<Outcome, Error> {
    let progress = Progress::new(if options.steps {
        Watched::ByProgram
    } else {
        Watched::unless(options.quiet || options.json)
    });
    let mut session = Session::open(kennel, &options.site)?;
    session.sweep()?;
    let publisher = Publisher::open(session, &progress)?;
    let (publisher, done) =
        publisher.attempt(&progress, |publisher| attempt(publisher, &progress))?;
    let loaded = publisher.loaded();
    let problems = showing::for_programs(&loaded.problems, &loaded.sources);
    let Some((name, published, err)) = done else {
        let refused = publisher.refused("nothing was published: the site is as it was before");
        return Ok(if options.json {
            Outcome {
                out: format!("{:#}\n", json!({ "published": false, "records": problems })),
                err: String::new(),
                ..refused
            }
        } else {
            refused
        });
    };
    publisher.leave();
    Ok(outcome(
        options, &name, &published, &problems, err, &progress,
    ))
}

/// One try; nothing when the records have errors.
fn attempt(
    publisher: &Publisher,
    progress: &Progress,
) -> Result<Option<(String, Published, String)>, Error> {
    let Some(husbandry) = publisher.husbandry() else {
        return Ok(None);
    };
    let mut err = publisher.notes();
    let owners = audience::owner::pages(husbandry.records, &husbandry.figures, &husbandry.album);
    let keyring = publisher.session.keyring(&owners, &mut err)?;
    let name = husbandry.records.kennel.name.to_string();
    let made = publisher.make(&husbandry, &keyring, &owners, progress)?;
    // Figures of thousands of litters make room for the list of what is written.
    let write = || publisher.write(&keyring, &made, progress);
    let ((), published) = rayon::join(|| drop(husbandry), write);
    Ok(Some((name, published?, err)))
}

/// What is said at the end.
fn outcome(
    options: &Options,
    name: &str,
    published: &Published,
    records: &Value,
    mut err: String,
    progress: &Progress,
) -> Outcome {
    let told = published.told(&mut err);
    if options.json {
        let Published {
            folders,
            sealed,
            still_sealed,
            withdrawn,
            made,
        } = published;
        let folders: Vec<Value> = folders
            .iter()
            .map(|(root, report)| json!({ "root": root, "report": report }))
            .collect();
        let made: Vec<Value> = made
            .iter()
            .map(|(path, why)| json!({ "path": path, "because": why }))
            .collect();
        let json = json!({
            "published": true, "kennel": name, "folders": folders, "sealed": sealed,
            "still_sealed": still_sealed, "withdrawn": withdrawn,
            "made": made, "records": records, "seconds": progress.seconds(),
        });
        return Outcome {
            out: format!("{json:#}\n"),
            err: String::new(),
            status: Status::Clean,
        };
    }
    if options.quiet {
        return Outcome {
            out: String::new(),
            err,
            status: Status::Clean,
        };
    }
    let mut out = String::new();
    if options.explain {
        for (path, why) in &published.made {
            let _ = writeln!(out, "made {path}: {why}");
        }
        for key in &published.sealed {
            let _ = writeln!(
                out,
                "sealed the page of {key}: it is new, or its record, its code, a template or the \
                 key changed"
            );
        }
        if published.made.is_empty() && published.sealed.is_empty() {
            out.push_str("nothing was made: everything stands as it was made before\n");
        }
    }
    out.push_str(&told);
    let _ = writeln!(out, "published {name} in {:.1} s", progress.seconds());
    Outcome::clean(out).noting(err)
}
