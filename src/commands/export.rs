//! `export`: all records of the kennel or of one litter as tables and JSON, so that nobody is
//! locked in.
//!
//! In: the kennel's folder, a litter or none, a folder to write into. Out: the files, for the
//! keeper's eyes only. Nothing is written where the public site or the records stand, nor into a
//! folder that holds something else; and nothing at all while a record has an error, for an export
//! with a hole in it looks like a whole one.

use crate::app::folder::Folder;
use crate::app::problems;
use crate::app::terminal::many;
use crate::app::{Outcome, terminal, who};
use crate::output::{private_folder, replace_private, shown_path, sweep_left_behind};
use crate::records::load;
use crate::{Error, audience, husbandry, pages};
use std::path::{Path, PathBuf};

/// What the JSON file is called.
const JSON_FILE: &str = "records.json";

/// Options of `export`.
#[derive(Debug, clap::Args)]
pub(super) struct Options {
    /// One litter, with what belongs to it [default: the whole kennel]
    #[arg(value_name = "LITTER")]
    litter: Option<String>,
    /// Where the files go: a new folder, an empty one, or one that holds an earlier export
    /// [default: private/export/ in the kennel's folder]
    #[arg(long, value_name = "DIR")]
    out: Option<PathBuf>,
    /// Tables or JSON alone [default: both]
    #[arg(long, value_name = "FORMAT")]
    format: Option<ExportFormat>,
}

/// What is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq, clap::ValueEnum)]
enum ExportFormat {
    /// A table for each list of records
    Csv,
    /// One JSON file
    Json,
}

pub(super) fn run(kennel: &Path, options: &Options) -> Result<Outcome, Error> {
    let folder = Folder::new(kennel)?;
    let loaded = load(&folder.content, terminal::now())?;
    let Some(records) = loaded.records.as_ref().filter(|_| !loaded.has_errors()) else {
        return Ok(problems::in_the_way(
            &folder,
            &loaded,
            "nothing was exported: what a broken record says would be missing",
        ));
    };
    let litter = options
        .litter
        .as_deref()
        .map(|name| who::litter(records, name))
        .transpose()?;
    let to = match (&options.out, litter) {
        (Some(out), _) => out.clone(),
        (None, None) => folder.private.join("export"),
        (None, Some(litter)) => folder.private.join(format!("export-{}", litter.id)),
    };
    suits(&folder, &to)?;
    let figures = husbandry::compute(records);
    let export = audience::keeper::export(
        records,
        &figures,
        &loaded.sources,
        litter.map(|litter| &litter.id),
    );
    let failed =
        |error: &dyn std::fmt::Display| Error::Usage(format!("cannot make the export: {error}"));
    let mut files = vec![(
        pages::EXPORT_SCHEMA_FILE.to_owned(),
        format!("{:#}\n", pages::export_schema()).into_bytes(),
    )];
    if options.format != Some(ExportFormat::Csv) {
        files.push((
            JSON_FILE.to_owned(),
            pages::export_json(&export).map_err(|error| failed(&error))?,
        ));
    }
    if options.format != Some(ExportFormat::Json) {
        files.extend(pages::export_tables(&export).map_err(|error| failed(&error))?);
    }
    write(&to, &files)?;
    let whose = litter.map_or_else(
        || records.kennel.name.to_string(),
        |litter| litter.litter.name.to_string(),
    );
    let out = format!(
        "{whose}: {} in {}\nthey hold everything, personal details too: keep them off the public \
         site\n",
        many(files.len(), "file"),
        shown_path(&to)
    );
    Ok(Outcome::clean(out))
}

/// Whether an export may stand there.
fn suits(folder: &Folder, to: &Path) -> Result<(), Error> {
    let refused = |why: &str| {
        Err(Error::Usage(format!(
            "an export cannot go into {}: {why}",
            shown_path(to)
        )))
    };
    let place = real(to)?;
    if place.starts_with(real(&folder.public)?) {
        return refused(
            "that is the public site, and it holds everything; leave --out away, or name a folder \
             elsewhere",
        );
    }
    if place.starts_with(real(&folder.content)?) {
        return refused(
            "that is where the records stand; leave --out away, or name a folder elsewhere",
        );
    }
    // A run that was killed before its first file was whole has left nothing else.
    sweep_left_behind(to, |file| file == pages::EXPORT_SCHEMA_FILE)?;
    match std::fs::read_dir(to).map(|entries| entries.count() > 0) {
        Ok(true) if !to.join(pages::EXPORT_SCHEMA_FILE).is_file() => {
            refused("something else is in it; name a new folder or an empty one")
        }
        Ok(_) => Ok(()),
        Err(error) if error.kind() == std::io::ErrorKind::NotFound => Ok(()),
        Err(error) => Err(Error::io("write into", to, error)),
    }
}

/// Where a path leads once links are followed, whether or not its end exists yet.
fn real(path: &Path) -> Result<PathBuf, Error> {
    let absolute = std::path::absolute(path).map_err(|error| Error::io("find", path, error))?;
    let mut plain = PathBuf::new();
    for part in absolute.components() {
        // `..` is taken after links are followed, as the system does.
        match part {
            std::path::Component::ParentDir => _ = plain.pop(),
            part => plain.push(part),
        }
        if let Ok(found) = plain.canonicalize() {
            plain = found;
        }
    }
    Ok(plain)
}

fn write(to: &Path, files: &[(String, Vec<u8>)]) -> Result<(), Error> {
    let missing: Vec<&Path> = to
        .ancestors()
        .take_while(|folder| !folder.as_os_str().is_empty() && !folder.is_dir())
        .collect();
    for folder in missing.into_iter().rev() {
        private_folder(folder)?;
    }
    sweep_left_behind(to, |_| true)?;
    for (written, (name, bytes)) in files.iter().enumerate() {
        let stands = || {
            format!(
                "{written} of {} are new there, the others are as they were: run again",
                many(files.len(), "file")
            )
        };
        replace_private(&to.join(name), bytes)
            .map_err(|error| Error::from(error).and_now(stands()))?;
    }
    Ok(())
}
