//! `publish`: read, check, compute, choose for each audience, seal, render, write.
//!
//! In: the kennel's folder. Out: `public/` and `private/`, each swapped in whole, or the old ones as they were. One record with an error stops the publication: a site that left
//! a litter out because of a slip would have changed without anybody having said so. Where nothing changed since the last publication, nothing is read but that.

use super::last::Last;
use super::progress::Progress;
use super::site::{self, Published, Shop};
use super::terminal::many;
use super::{Outcome, Status};
use crate::records::showing;
use crate::{Error, audience};
use serde_json::{Value, json};
use std::fmt::Write;
use std::mem::ManuallyDrop;
use std::path::Path;

/// Options of `publish`.
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
}

pub(super) fn run(kennel: &Path, options: &Options) -> Result<Outcome, Error> {
    options.site.on_threads(|| publish(kennel, options))
}

fn publish(kennel: &Path, options: &Options) -> Result<Outcome, Error> {
    let progress = Progress::new(options.quiet || options.json);
    let mut shop = Shop::enter(kennel, &options.site)?;
    shop.sweep()?;
    if let Some(last) = Last::still_holds(&shop)
        && let Some(folders) = shop.as_left()?
    {
        shop.inputs.remember(&shop.cache());
        let mut err = shop.err.clone();
        let Last { name, sealed, warnings, .. } = last;
        if warnings > 0 {
            let _ =
                writeln!(err, "{}, as before; `litterfolio inspect` shows {}", many(warnings, "warning"), if warnings == 1 { "it" } else { "them" });
        }
        let published = Published { folders, still_sealed: sealed, ..Published::default() };
        return Ok(outcome(options, &name, &published, &json!({ "warnings": warnings, "errors": 0 }), err, &progress));
    }
    shop.read(&progress)?;
    let done = shop.twice(&progress, |shop| attempt(shop, &progress))?;
    let problems = showing::for_programs(&shop.loaded().problems, &shop.loaded().sources);
    let Some((name, published, err)) = done else {
        let out = if options.json { format!("{:#}\n", json!({ "published": false, "records": problems })) } else { String::new() };
        let refused = shop.refused("nothing was published: the site is as it was before");
        return Ok(Outcome { out, err: if options.json { String::new() } else { refused.err }, ..refused });
    };
    Last::remember(&shop, &name, &published);
    shop.leave();
    Ok(outcome(options, &name, &published, &problems, err, &progress))
}

/// One try; nothing when the records have errors.
fn attempt(shop: &Shop, progress: &Progress) -> Result<Option<(String, Published, String)>, Error> {
    // The process ends soon after: what fills its memory is not given back piece by piece.
    let Some(husbandry) = shop.husbandry().map(ManuallyDrop::new) else { return Ok(None) };
    let mut err = shop.err.clone();
    let owners = audience::owner::pages(husbandry.records, &husbandry.figures, &husbandry.album);
    let keyring = shop.keyring(&owners, &mut err)?;
    let published = shop.publish(&husbandry, &keyring, &owners, progress)?;
    Ok(Some((husbandry.records.kennel.name.to_string(), published, err)))
}

/// What is said at the end.
fn outcome(options: &Options, name: &str, published: &Published, records: &Value, mut err: String, progress: &Progress) -> Outcome {
    let told = published.told(&mut err);
    if options.json {
        let Published { folders, sealed, still_sealed, withdrawn, made } = published;
        let folders: Vec<Value> = folders.iter().map(|(root, report)| json!({ "root": root, "report": report })).collect();
        let made: Vec<Value> = made.iter().map(|(path, why)| json!({ "path": path, "because": why })).collect();
        let json = json!({
            "published": true, "kennel": name, "folders": folders, "sealed": sealed, "still_sealed": still_sealed, "withdrawn": withdrawn,
            "made": made, "records": records, "seconds": progress.seconds(),
        });
        return Outcome { out: format!("{json:#}\n"), err: String::new(), status: Status::Clean };
    }
    if options.quiet {
        return Outcome { out: String::new(), err, status: Status::Clean };
    }
    let mut out = String::new();
    if options.explain {
        for (path, why) in &published.made {
            let _ = writeln!(out, "made {path}: {why}");
        }
        for key in &published.sealed {
            let _ = writeln!(out, "sealed the page of {key}: it is new, or its record, its code, a template or the key changed");
        }
        if published.made.is_empty() && published.sealed.is_empty() {
            out.push_str("nothing was made: everything stands as it was made before\n");
        }
    }
    out.push_str(&told);
    let _ = writeln!(out, "published {name} in {:.1} s", progress.seconds());
    Outcome { out, err, status: Status::Clean }
}
