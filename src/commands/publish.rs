//! `publish`: read, check, compute, choose for each audience, render, write.
//!
//! In: the kennel's folder. Out: `public/` and `private/`, each swapped in whole, or the old ones as they were. One record with an error stops the publication: a site that left
//! a litter out because of a slip would have changed without anybody having said so.

use super::folder::Folder;
use super::terminal::many;
use super::{Outcome, Status, inspect, pictures};
use crate::Error;
use crate::output::{FileMode, Report, Target, Writer};
use crate::{audience, husbandry, pages};
use std::{
    fmt::Write,
    path::{Path, PathBuf},
    time::Instant,
};

/// Options of `publish`.
#[derive(Debug, clap::Args)]
pub(super) struct Options {
    /// Where the public site goes [default: public/ in the kennel's folder]
    #[arg(long, value_name = "DIR")]
    public: Option<PathBuf>,
    /// Where the keeper's book goes [default: private/ in the kennel's folder]
    #[arg(long, value_name = "DIR")]
    private: Option<PathBuf>,
    /// Take over files that stand where the site's files go and were not written by litterfolio
    #[arg(long)]
    adopt: bool,
    /// How many threads to use [default: one for each core]
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u16).range(1..=256))]
    threads: Option<u16>,
}

pub(super) fn run(kennel: &Path, options: &Options) -> Result<Outcome, Error> {
    let pool = rayon::ThreadPoolBuilder::new().num_threads(options.threads.map_or(0, usize::from)).build();
    let pool = pool.map_err(|error| Error::Usage(format!("cannot start threads: {error}")))?;
    pool.install(|| publish(kennel, options))
}

#[expect(clippy::disallowed_methods, reason = "the time a run took is for the closing line only")]
fn publish(kennel: &Path, options: &Options) -> Result<Outcome, Error> {
    let begun = Instant::now();
    let folder = Folder::new(kennel)?;
    let targets = targets(&folder, options);
    let state = state_of(&folder, options);
    std::fs::create_dir_all(&state).map_err(|error| Error::io("make the folder", &state, error))?;
    let writer = Writer::open(&state, &targets, &[folder.content.clone(), folder.templates.clone()]).map_err(stopped)?;
    let engine = pages::Engine::new(&folder.own_templates()?)?;

    let (loaded, photos) = inspect::read(&folder)?;
    let mut err = String::new();
    for mended in writer.mended() {
        let _ = writeln!(err, "note: the last run was interrupted; {} was set right{}", mended.name, kept_words(&mended.kept));
    }
    err.push_str(&inspect::shown(&folder, &loaded));
    err.push_str(&inspect::counts(&loaded));
    let Some(records) = loaded.records.as_ref().filter(|_| !loaded.has_errors()) else {
        err.push_str("nothing was published: the site is as it was before\n");
        return Ok(Outcome { out: String::new(), err, status: Status::Problems });
    };
    let figures = husbandry::compute(records);
    let album = pictures::album(&photos);
    let site = audience::visitor::site(records, &figures, &album);
    let book = audience::keeper::book(records, &figures, &album, &loaded.problems);
    let public = pages::visitor_plan(&engine, &site, &photos)?;
    let private = pages::keeper_plan(&engine, &book, &photos)?;

    let reports = writer.write(&[(&targets[0], &public), (&targets[1], &private)], options.adopt).map_err(stopped)?;
    let mut out = String::new();
    for (target, report) in targets.iter().zip(&reports) {
        out.push_str(&told(target, report, &mut err));
    }
    let _ = writeln!(out, "published {} in {:.1} s", records.kennel.name, begun.elapsed().as_secs_f64());
    Ok(Outcome { out, err, status: Status::Clean })
}

fn targets(folder: &Folder, options: &Options) -> [Target; 2] {
    let or = |typed: &Option<PathBuf>, usual: &Path| typed.clone().unwrap_or_else(|| usual.to_owned());
    [
        Target { root: or(&options.public, &folder.public), name: "public", mode: FileMode::Public },
        Target { root: or(&options.private, &folder.private), name: "private", mode: FileMode::Private },
    ]
}

/// What is remembered of a site belongs to the folders it stands in: a site made elsewhere is remembered apart.
fn state_of(folder: &Folder, options: &Options) -> PathBuf {
    if options.public.is_none() && options.private.is_none() {
        return folder.state.clone();
    }
    let absolute = |typed: &Option<PathBuf>, usual: &Path| {
        let path = typed.as_deref().unwrap_or(usual);
        std::path::absolute(path).unwrap_or_else(|_| path.to_owned()).display().to_string()
    };
    let places = format!("{}\n{}", absolute(&options.public, &folder.public), absolute(&options.private, &folder.private));
    folder.state.join(format!("elsewhere-{}", &blake3::hash(places.as_bytes()).to_hex()[..12]))
}

#[expect(clippy::needless_pass_by_value, reason = "used as a function for map_err")]
fn stopped(error: crate::output::WriteError) -> Error {
    let cause = std::error::Error::source(&error).map(|cause| format!(": {cause}")).unwrap_or_default();
    Error::Usage(format!("{error}{cause}\n  {}", error.hint()))
}

fn kept_words(kept: &[String]) -> String {
    if kept.is_empty() { String::new() } else { format!(", and this was put aside: {}", kept.join(", ")) }
}

/// One line for a folder; what the keeper should look at goes to standard error.
fn told(target: &Target, report: &Report, err: &mut String) -> String {
    let Report { name: _, written, unchanged, removed, foreign, replaced, kept, list_lost: _ } = report;
    let root = target.root.display().to_string();
    let root = root.strip_prefix("./").unwrap_or(&root);
    for (files, what) in [
        (foreign, "was not written by litterfolio and was left alone"),
        (kept, "was changed by hand, is no longer part of the site, and was left alone"),
    ] {
        for file in files.iter().take(8) {
            let _ = writeln!(err, "note: {root}/{file} {what}");
        }
        if files.len() > 8 {
            let _ = writeln!(err, "note: and {} more in {root}", many(files.len() - 8, "file"));
        }
    }
    for file in replaced {
        let _ = writeln!(err, "note: {root}/{file} had been changed by hand and was written again");
    }
    if report.is_untouched() {
        return format!("{root}/: {}, all as before\n", many(*unchanged, "file"));
    }
    format!("{root}/: {} written, {unchanged} as before, {removed} removed\n", many(*written, "file"))
}
