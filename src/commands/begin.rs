//! `begin`: a new kennel folder to fill in.
//!
//! In: a folder that does not exist or is empty. Out: records that `inspect` accepts and `publish`
//! turns into a site, with comments that say what to write where. Nothing that exists is ever
//! overwritten.

use crate::Error;
use crate::app::Outcome;
use crate::output::{looked_into, shown_path};
use std::{
    fs,
    io::Write,
    path::{Path, PathBuf},
};

/// Options of `begin`.
#[derive(Debug, clap::Args)]
pub(super) struct Options {
    /// The new folder
    #[arg(value_name = "DIR")]
    folder: PathBuf,
}

/// The files of a new kennel.
const FILES: &[(&str, &str)] = &[
    ("content/kennel.yaml", include_str!("begin/kennel.yaml")),
    ("content/owners.yaml", include_str!("begin/owners.yaml")),
    ("content/dogs/bella.yaml", include_str!("begin/bella.yaml")),
    ("content/dogs/max.yaml", include_str!("begin/max.yaml")),
    (
        "content/litters/first-litter/litter.yaml",
        include_str!("begin/litter.yaml"),
    ),
    (
        "content/litters/first-litter/weights.yaml",
        include_str!("begin/weights.yaml"),
    ),
    (
        "content/litters/first-litter/health.yaml",
        include_str!("begin/health.yaml"),
    ),
    (
        "content/litters/first-litter/notes/0001-hello.md",
        include_str!("begin/hello.md"),
    ),
    ("content/pages/about.md", include_str!("begin/about.md")),
    (
        ".gitignore",
        "/private/\n/.litterfolio/\n/codes.yaml\n/signing-keys.json\n.*.litterfolio-*\n",
    ),
];
/// Empty folders that a keeper will look for.
const FOLDERS: &[&str] = &[
    "content/litters/first-litter/photos",
    "content/litters/first-litter/photos-private",
    "templates",
];

pub(super) fn run(options: &Options) -> Result<Outcome, Error> {
    let root = &options.folder;
    if let Some(name) = taken(root)? {
        return Err(Error::Usage(format!(
            "{} is not empty (`{name}` is in it); name a new folder",
            shown_path(root)
        )));
    }
    for folder in FOLDERS.iter().map(|f| root.join(f)).chain(
        FILES
            .iter()
            .filter_map(|(f, _)| root.join(f).parent().map(Path::to_owned)),
    ) {
        fs::create_dir_all(&folder)
            .map_err(|error| Error::io("make the folder", &folder, error))?;
    }
    for (name, text) in FILES {
        write_new(&root.join(name), text)?;
    }
    let shown = shown_path(root);
    let [records, site] = [["content", "kennel.yaml"], ["public", "index.html"]]
        .map(|[folder, file]| shown_path(&root.join(folder).join(file)));
    Ok(Outcome::clean(format!(
        "a new kennel stands in {shown}\n1. write your own name and address into \
         {records}\n2. give the two dogs and the litter their names\n3. \
         litterfolio --kennel {shown} inspect\n4. litterfolio --kennel {shown} publish, and open \
         {site}\n"
    )))
}

/// The first thing that is already in the folder.
fn taken(root: &Path) -> Result<Option<String>, Error> {
    match looked_into(root) {
        Ok((_, other)) => Ok(other.map(|name| name.to_string_lossy().into_owned())),
        Err(error) if error.kind() == std::io::ErrorKind::NotFound => Ok(None),
        Err(error) => Err(Error::io("look into", root, error)),
    }
}

fn write_new(path: &Path, text: &str) -> Result<(), Error> {
    let file = fs::File::options().write(true).create_new(true).open(path);
    file.and_then(|mut file| file.write_all(text.as_bytes()))
        .map_err(|error| Error::io("write", path, error))
}
