//! What a publication did, and what is said of it.

use super::terminal::many;
use crate::output::Report;
use std::fmt::Write;

/// What a publication did.
#[derive(Debug, Default)]
pub struct Published {
    /// Folder by folder, as they are to be shown.
    pub folders: Vec<(String, Report)>,
    /// Pages sealed in this run, by the key of their puppy.
    pub sealed: Vec<String>,
    /// How many sealed pages stayed as they were.
    pub still_sealed: usize,
    /// Keys of sealed pages that are gone.
    pub withdrawn: Vec<String>,
    /// What was made, and why, in order: path as it is shown.
    pub made: Vec<(String, String)>,
}

impl Published {
    /// What is said on standard output; what the keeper should look at goes to standard error.
    pub fn told(&self, err: &mut String) -> String {
        let mut out: String = self
            .folders
            .iter()
            .map(|(root, report)| told(root, report, err))
            .collect();
        let Self {
            sealed,
            still_sealed,
            withdrawn,
            ..
        } = self;
        if sealed.len() + still_sealed + withdrawn.len() > 0 {
            let withdrawn = if withdrawn.is_empty() {
                String::new()
            } else {
                format!(", withdrawn: {}", withdrawn.join(", "))
            };
            let _ = writeln!(
                out,
                "sealed pages: {} sealed, {still_sealed} as before{withdrawn}",
                sealed.len()
            );
        }
        out
    }
}

/// One line for a folder; what the keeper should look at goes to standard error.
fn told(root: &str, report: &Report, err: &mut String) -> String {
    let Report {
        name: _,
        written,
        unchanged,
        removed,
        foreign,
        replaced,
        kept,
        list_lost: _,
    } = report;
    // Papers were put there by `handover`, tables by `export`, and stay.
    let ours = |file: &String| {
        ["handover/", "export/", "export-"]
            .iter()
            .any(|start| file.starts_with(start))
    };
    let foreign: Vec<&String> = foreign.iter().filter(|file| !ours(file)).collect();
    for (files, what) in [
        (
            foreign.as_slice(),
            "was not written by litterfolio and was left alone",
        ),
        (
            kept.iter().collect::<Vec<_>>().as_slice(),
            "was changed by hand, is no longer part of the site, and was left alone",
        ),
    ] {
        for file in files.iter().take(8) {
            let _ = writeln!(err, "note: {root}/{file} {what}");
        }
        if files.len() > 8 {
            let _ = writeln!(
                err,
                "note: and {} more in {root}",
                many(files.len() - 8, "file")
            );
        }
    }
    for file in replaced {
        let _ = writeln!(
            err,
            "note: {root}/{file} had been changed by hand and was written again"
        );
    }
    if report.is_untouched() {
        return format!("{root}/: {}, all as before\n", many(*unchanged, "file"));
    }
    format!(
        "{root}/: {} written, {unchanged} as before, {removed} removed\n",
        many(*written, "file")
    )
}
