//! Folders of the system: where documents stand, and where a program keeps what it knows.
//!
//! In: the environment (XDG Base Directory Specification and user-dirs; `%APPDATA%`; the library
//! folder of macOS). Out: folders; and the kennel that was opened last, which is remembered there
//! by its path alone, readable by this user only.

use super::terminal::environment;
use crate::output::{private_folder, replace_private};
use std::fs;
use std::path::{Path, PathBuf};

/// The file in which the kennel is remembered.
const KENNEL: &str = "kennel";

/// Where this user's own files stand.
pub fn home() -> Option<PathBuf> {
    folder(if cfg!(windows) { "USERPROFILE" } else { "HOME" })
}

/// A folder that the environment names.
fn folder(name: &str) -> Option<PathBuf> {
    environment(name)
        .map(PathBuf::from)
        .filter(|path| path.is_absolute())
}

/// Where programs keep what they know of this user.
fn settings() -> Option<PathBuf> {
    if cfg!(windows) {
        folder("APPDATA")
    } else if cfg!(target_os = "macos") {
        Some(home()?.join("Library").join("Application Support"))
    } else {
        folder("XDG_CONFIG_HOME").or_else(|| Some(home()?.join(".config")))
    }
}

/// Where this user's documents stand.
pub fn documents() -> Option<PathBuf> {
    let home = home()?;
    let usual = home.join("Documents");
    if cfg!(windows) {
        // A synchronised folder may have taken its place.
        let synchronised = folder("OneDrive").map(|place| place.join("Documents"));
        let is_moved = !usual.is_dir();
        return synchronised
            .filter(|place| is_moved && place.is_dir())
            .or(Some(usual));
    }
    if cfg!(target_os = "macos") {
        return Some(usual);
    }
    let named =
        settings().and_then(|settings| fs::read_to_string(settings.join("user-dirs.dirs")).ok());
    named
        .and_then(|text| documents_in(&text, &home))
        .or(Some(usual))
}

/// The folder of documents in a text of user-dirs.
fn documents_in(text: &str, home: &Path) -> Option<PathBuf> {
    let line = text
        .lines()
        .find_map(|line| line.trim().strip_prefix("XDG_DOCUMENTS_DIR="))?;
    let named = line.trim().trim_matches('"');
    let place = match named.strip_prefix("$HOME") {
        Some(below) => home.join(below.trim_start_matches('/')),
        None => PathBuf::from(named),
    };
    // Where there is none, the home itself is named.
    (place.is_absolute() && place != home).then_some(place)
}

/// The folder of the kennel that was opened last, whether it is there or not.
pub fn remembered_kennel() -> Option<PathBuf> {
    let text = fs::read_to_string(settings()?.join("litterfolio").join(KENNEL)).ok()?;
    let path = PathBuf::from(text.trim_end_matches(['\r', '\n']));
    path.is_absolute().then_some(path)
}

/// The program's own folder there, which nobody else may enter.
pub fn own() -> Option<PathBuf> {
    let own = settings()?.join("litterfolio");
    fs::create_dir_all(own.parent()?).ok()?;
    private_folder(&own).ok()?;
    Some(own)
}

/// Remembers the folder of a kennel. Where that cannot be done it is asked for again.
pub fn remember_kennel(kennel: &Path) {
    let kennel = std::path::absolute(kennel).unwrap_or_else(|_| kennel.to_owned());
    let Some(text) = kennel.to_str().filter(|text| !text.contains(['\r', '\n'])) else {
        return;
    };
    if remembered_kennel().as_deref() == Some(&kennel) {
        return;
    }
    if let Some(own) = own() {
        let _ = replace_private(&own.join(KENNEL), format!("{text}\n").as_bytes());
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    // xdg-user-dirs, user-dirs.dirs(5).
    #[test]
    fn the_folder_of_documents_is_read_as_the_system_writes_it() {
        let home = Path::new("/users/m");
        let of = |text: &str| documents_in(text, home);
        let text = "# comment\nXDG_DESKTOP_DIR=\"$HOME/Schreibtisch\"\n\
                    XDG_DOCUMENTS_DIR=\"$HOME/Dokumente\"\n";
        assert_eq!(of(text), Some(PathBuf::from("/users/m/Dokumente")));
        assert_eq!(
            of("XDG_DOCUMENTS_DIR=\"/data/papers\""),
            Some(PathBuf::from("/data/papers"))
        );
        assert_eq!(of("XDG_DOCUMENTS_DIR=\"$HOME/\""), None);
        assert_eq!(of("XDG_DOCUMENTS_DIR=\"papers\""), None);
        assert_eq!(of(""), None);
    }
}
