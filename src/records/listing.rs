//! What stands in a folder of the keeper's, before any of it is read.
//!
//! In: the folder with the records, or that with templates. Out: a [`Listing`]: every file, folder
//! and whatever else there is, in the order of names. Links are not followed; files that editors
//! and systems leave behind are passed over.

use crate::cache::Digest;
use std::ffi::OsStr;
use std::path::{Path, PathBuf};
use std::{fs, io};
use walkdir::WalkDir;

/// Folders are not looked into below this depth: neither a record nor a template stands there.
const DEEPEST: usize = 8;

/// Everything in a folder.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Listing {
    /// In the order of names, folders before what they hold.
    pub entries: Vec<Listed>,
}

/// Something in a folder.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Listed {
    /// Where it stands.
    pub path: PathBuf,
    /// What it is.
    pub what: What,
}

impl Listed {
    /// Its path below the folder that was listed, with `/`, as far as it is text.
    #[must_use]
    pub fn below(&self, folder: &Path) -> String {
        self.path
            .strip_prefix(folder)
            .unwrap_or(&self.path)
            .to_string_lossy()
            .replace(std::path::MAIN_SEPARATOR, "/")
    }
}

/// What something in a folder is.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum What {
    /// A file; with the digest of its bytes, where that is known without reading them.
    File(Option<Digest>),
    /// A folder.
    Folder,
    /// A link to something else.
    Link,
    /// A device, a socket or the like.
    Strange,
    /// What could not be looked at, and why.
    Unreadable(String),
}

impl Listing {
    /// Lists a folder.
    ///
    /// # Errors
    /// When the folder itself cannot be listed.
    pub fn of(folder: &Path) -> io::Result<Self> {
        fs::read_dir(folder)?;
        let walk = WalkDir::new(folder)
            .follow_links(false)
            .max_depth(DEEPEST)
            .sort_by_file_name();
        let entries = walk
            .into_iter()
            .filter_entry(|entry| entry.depth() == 0 || !is_hidden(entry.file_name()));
        let listed = |entry: walkdir::Result<walkdir::DirEntry>| {
            let entry = match entry {
                Ok(entry) => entry,
                Err(error) => {
                    let path = error.path().unwrap_or(folder).to_owned();
                    return Some(Listed {
                        path,
                        what: What::Unreadable(error.to_string()),
                    });
                }
            };
            let kind = entry.file_type();
            let what = match kind {
                _ if entry.depth() == 0 => return None,
                _ if kind.is_symlink() => What::Link,
                _ if kind.is_dir() => What::Folder,
                _ if kind.is_file() => What::File(None),
                _ => What::Strange,
            };
            Some(Listed {
                path: entry.into_path(),
                what,
            })
        };
        Ok(Self {
            entries: entries.filter_map(listed).collect(),
        })
    }
}

fn is_hidden(name: &OsStr) -> bool {
    let name = name.to_string_lossy();
    name.starts_with('.') || name.ends_with('~') || matches!(&*name, "Thumbs.db" | "desktop.ini")
}

#[cfg(test)]
#[allow(clippy::disallowed_methods, reason = "tests put files where they like")]
mod tests {
    use super::*;

    #[cfg(unix)]
    #[test]
    fn everything_is_listed_in_order_but_what_editors_leave_behind() {
        let place = tempfile::tempdir().unwrap();
        let content = place.path().join("content");
        fs::create_dir_all(content.join("litters/fern")).unwrap();
        for name in [
            "kennel.yaml",
            "kennel.yaml~",
            ".swap",
            "Thumbs.db",
            "litters/fern/litter.yaml",
        ] {
            fs::write(content.join(name), "").unwrap();
        }
        std::os::unix::fs::symlink(&content, content.join("again")).unwrap();
        let listing = Listing::of(&content).unwrap();
        let shown = |listed: &Listed| {
            (
                listed
                    .path
                    .strip_prefix(&content)
                    .unwrap()
                    .to_str()
                    .unwrap()
                    .to_owned(),
                listed.what.clone(),
            )
        };
        let file = What::File(None);
        let expected = [
            ("again", What::Link),
            ("kennel.yaml", file.clone()),
            ("litters", What::Folder),
            ("litters/fern", What::Folder),
            ("litters/fern/litter.yaml", file),
        ];
        assert_eq!(
            listing.entries.iter().map(shown).collect::<Vec<_>>(),
            expected.map(|(path, what)| (path.to_owned(), what))
        );
        assert!(Listing::of(&content.join("none")).is_err());
    }
}
