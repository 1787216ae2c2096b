//! Folders as a keeper types them.
//!
//! In: a path that was typed, or that of a backup. Out: a folder in which a kennel stands or can
//! begin, made when it is new; or what is wrong, in words. A folder is made only where it is clear
//! that it was meant: not where a drive is missing.

use crate::app::backup::{self, SealedSecrets};
use crate::app::places;
use crate::output::looked_into;
use crate::output::{BackupFile, SecretsKept};
use crate::sealing::passphrase::Passphrase;
use std::path::{Path, PathBuf};

/// A path as it was typed.
fn path_of(typed: &str) -> Result<PathBuf, String> {
    let typed = typed.trim().trim_matches('"');
    let path = match typed.strip_prefix("~/") {
        Some(below) => places::home().map(|home| home.join(below)),
        None => Some(PathBuf::from(typed)),
    };
    path.filter(|path| path.is_absolute()).ok_or_else(|| {
        "Name the folder from the root of its disk on, as your file manager shows it.".to_owned()
    })
}

/// The folder of a kennel, made when it is new.
pub(super) fn kennel_in(typed: &str, vanished: Option<&Path>) -> Result<PathBuf, String> {
    let folder = path_of(typed)?;
    if folder.join("content").is_dir() {
        return Ok(folder);
    }
    match looked_into(&folder) {
        Ok((_, None)) => Ok(folder),
        Ok(_) => Err(
            "This folder holds something else, and no kennel. Name a new one, or the folder in \
             which a folder `content` stands."
                .to_owned(),
        ),
        Err(_) if folder.exists() => Err("This is no folder that can be looked into.".to_owned()),
        // A drive that is not there must not become a folder on this disk.
        Err(_) if vanished == Some(&folder) => {
            Err("It is still not there. Connect its drive, and look again.".to_owned())
        }
        Err(_) => {
            let is_near = folder.ancestors().skip(1).take(2).any(Path::is_dir);
            if !is_near {
                return Err(
                    "The folder in which it would stand is not there. Look at the spelling, or \
                     connect the drive."
                        .to_owned(),
                );
            }
            std::fs::create_dir_all(&folder)
                .map_err(|error| format!("The folder cannot be made: {error}."))?;
            Ok(folder)
        }
    }
}

/// A kennel set up from a backup; its folder.
pub(super) fn kennel_from_backup(
    file: &str,
    into: &str,
    passphrase: &str,
    without: bool,
) -> Result<PathBuf, String> {
    let (file, into) = (path_of(file)?, path_of(into)?);
    let told = |error: &dyn std::fmt::Display| {
        let words: Vec<String> = error
            .to_string()
            .split_whitespace()
            .map(str::to_owned)
            .collect();
        words.join(" ")
    };
    let mut backup = BackupFile::open(&file).map_err(|error| told(&error))?;
    let passphrase = if backup.list().secrets == SecretsKept::Sealed && !without {
        if passphrase.is_empty() {
            return Err(
                "Codes and keys in it are sealed: type the passphrase, or leave them out."
                    .to_owned(),
            );
        }
        Some(Passphrase::new(passphrase).map_err(|error| told(&error))?)
    } else {
        None
    };
    let given = passphrase
        .as_ref()
        .map_or(SealedSecrets::LeftOut, SealedSecrets::Opened);
    backup::set_up(&mut backup, &into, &given).map_err(|error| told(&error))?;
    Ok(into)
}

#[cfg(test)]
#[allow(clippy::disallowed_methods, reason = "tests put files where they like")]
mod tests {
    use super::*;

    #[test]
    fn a_folder_is_taken_made_or_refused() {
        let home = tempfile::tempdir().unwrap();
        let at = |name: &str| home.path().join(name);
        let typed = |name: &str| at(name).display().to_string();
        // A new one, two levels deep, and no deeper.
        assert_eq!(
            kennel_in(&typed("Papers/My kennel"), None),
            Ok(at("Papers/My kennel"))
        );
        assert!(at("Papers/My kennel").is_dir());
        kennel_in(&typed("stick/kennels/mine"), None).unwrap_err();
        assert!(!at("stick").exists());
        // An empty one; one with a kennel; one with something else; a file.
        assert_eq!(
            kennel_in(&typed("Papers/My kennel"), None),
            Ok(at("Papers/My kennel"))
        );
        std::fs::write(at("Papers/My kennel/.DS_Store"), "").unwrap();
        std::fs::write(at("Papers/My kennel/desktop.ini"), "").unwrap();
        assert_eq!(
            kennel_in(&typed("Papers/My kennel"), None),
            Ok(at("Papers/My kennel"))
        );
        std::fs::write(at("Papers/letter.txt"), "").unwrap();
        kennel_in(&typed("Papers"), None).unwrap_err();
        kennel_in(&typed("Papers/letter.txt"), None).unwrap_err();
        std::fs::create_dir(at("Papers/content")).unwrap();
        assert_eq!(kennel_in(&typed("Papers"), None), Ok(at("Papers")));
        // One that was there last time is not begun anew while it is away.
        kennel_in(&typed("away"), Some(&at("away"))).unwrap_err();
        assert!(!at("away").exists());
        for relative in ["", "Papers", "./Papers", "../x"] {
            kennel_in(relative, None).unwrap_err();
        }
    }
}
