//! The path of one file of the site.
//!
//! In: text. Out: a relative path with `/` between its parts that every file system and every web
//! server takes as it stands, or the fault it has. It must never be able to leave its root, to
//! hide, or to mean two things on two systems; so it is narrower than any of them would allow.

use std::borrow::Borrow;
use std::fmt;
use std::path::{Path, PathBuf};

use serde::{Deserialize, Serialize};

/// Longest part of a path between two slashes, in bytes. File systems allow 255; the rest is room
/// for suffixes.
const LONGEST_PART: usize = 128;
/// Longest whole path, in bytes.
const LONGEST_PATH: usize = 512;

/// A relative path below the root of a target, for example `litters/autumn-2026/index.html`.
///
/// Its parts consist of `A-Z a-z 0-9 . _ -`, neither begin nor end with a dot, are at most 128
/// bytes long and are no device name of Windows; the whole has at most 512 bytes.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct SitePath(String);

/// Why a text is no [`SitePath`].
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum PathFault {
    /// The path is empty.
    #[error("the path is empty")]
    Empty,
    /// The path begins with a slash.
    #[error("the path begins with a slash")]
    Absolute,
    /// Two slashes meet, or the path ends with one.
    #[error("the path has an empty part")]
    EmptyPart,
    /// A part is `.` or `..`, begins with a dot (hidden) or ends with one.
    #[error("the part \"{0}\" begins or ends with a dot")]
    Dot(String),
    /// A character outside `A-Z a-z 0-9 . _ -`.
    #[error("the character {} cannot stand in a path", .0.escape_unicode())]
    Character(char),
    /// A part that Windows takes for a device, with or without an extension.
    #[error("the part \"{0}\" is the name of a device on Windows")]
    Reserved(String),
    /// A part or the whole is too long.
    #[error("the path is too long: {length} bytes where {limit} are allowed")]
    TooLong {
        /// What it has, in bytes.
        length: usize,
        /// What it may have, in bytes.
        limit: usize,
    },
}

impl SitePath {
    /// Checks `text` and takes it as it stands; nothing is cleaned up silently.
    ///
    /// # Errors
    /// The first fault, from the left.
    pub fn new(text: &str) -> Result<Self, PathFault> {
        check(text)?;
        Ok(Self(text.to_owned()))
    }

    /// How many folders stand above the file: 0 for `index.html`, 1 for `a/index.html`.
    #[must_use]
    pub fn depth(&self) -> usize {
        self.0.matches('/').count()
    }

    /// The folders above the file, outermost first: `a`, `a/b` for `a/b/c.html`.
    pub fn folders(&self) -> impl Iterator<Item = &str> {
        self.0.match_indices('/').map(|(end, _)| &self.0[..end])
    }

    /// The place of the file below `root`, in the notation of this system.
    #[must_use]
    pub fn below(&self, root: &Path) -> PathBuf {
        below(root, &self.0)
    }
}

/// The place of `slashed`, parts with `/` between them, below `root`.
pub(super) fn below(root: &Path, slashed: &str) -> PathBuf {
    let mut place = root.to_path_buf();
    place.extend(slashed.split('/'));
    place
}

fn check(text: &str) -> Result<(), PathFault> {
    if text.is_empty() {
        return Err(PathFault::Empty);
    }
    if text.starts_with('/') {
        return Err(PathFault::Absolute);
    }
    within(text.len(), LONGEST_PATH)?;
    text.split('/').try_for_each(check_part)
}

fn check_part(part: &str) -> Result<(), PathFault> {
    if part.is_empty() {
        return Err(PathFault::EmptyPart);
    }
    let allowed = |c: char| c.is_ascii_alphanumeric() || matches!(c, '.' | '_' | '-');
    if let Some(c) = part.chars().find(|c| !allowed(*c)) {
        return Err(PathFault::Character(c));
    }
    if part.starts_with('.') || part.ends_with('.') {
        return Err(PathFault::Dot(part.to_owned()));
    }
    within(part.len(), LONGEST_PART)?;
    let stem = part.split('.').next().unwrap_or(part).to_ascii_lowercase();
    let numbered = |name: &str| {
        stem.strip_prefix(name)
            .is_some_and(|rest| rest.len() == 1 && rest.as_bytes()[0].is_ascii_digit())
    };
    if matches!(stem.as_str(), "con" | "prn" | "aux" | "nul") || numbered("com") || numbered("lpt")
    {
        return Err(PathFault::Reserved(part.to_owned()));
    }
    Ok(())
}

fn within(length: usize, limit: usize) -> Result<(), PathFault> {
    if length > limit {
        return Err(PathFault::TooLong { length, limit });
    }
    Ok(())
}

impl fmt::Display for SitePath {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

impl AsRef<str> for SitePath {
    fn as_ref(&self) -> &str {
        &self.0
    }
}

impl Borrow<str> for SitePath {
    fn borrow(&self) -> &str {
        &self.0
    }
}

impl From<SitePath> for String {
    fn from(path: SitePath) -> Self {
        path.0
    }
}

impl TryFrom<String> for SitePath {
    type Error = PathFault;

    fn try_from(text: String) -> Result<Self, PathFault> {
        check(&text)?;
        Ok(Self(text))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;
    use std::path::Component;

    #[test]
    fn ordinary_paths_are_taken_as_they_stand() {
        for (text, depth) in [
            ("index.html", 0),
            ("litters/autumn-2026/Fern_1.jpg", 2),
            ("a/b.c/d", 2),
            ("common/x", 1),
            ("com/lpt/com12", 2),
        ] {
            let path = SitePath::new(text).unwrap();
            assert_eq!((path.to_string().as_str(), path.depth()), (text, depth));
            assert_eq!(path.folders().count(), depth);
        }
        let path = SitePath::new("a/b/c").unwrap();
        assert_eq!(path.folders().collect::<Vec<_>>(), ["a", "a/b"]);
        assert_eq!(
            path.below(Path::new("r")),
            Path::new("r").join("a").join("b").join("c")
        );
    }

    #[test]
    fn every_fault_is_named() {
        let dot = |part: &str| PathFault::Dot(part.into());
        let reserved = |part: &str| PathFault::Reserved(part.into());
        for (text, fault) in [
            ("", PathFault::Empty),
            ("/index.html", PathFault::Absolute),
            ("a//b", PathFault::EmptyPart),
            ("a/", PathFault::EmptyPart),
            (".", dot(".")),
            ("a/../b", dot("..")),
            (".hidden", dot(".hidden")),
            ("a./b", dot("a.")),
            ("a\\b", PathFault::Character('\\')),
            ("c:", PathFault::Character(':')),
            ("a\nb", PathFault::Character('\n')),
            ("a\u{202e}b", PathFault::Character('\u{202e}')),
            ("café", PathFault::Character('é')),
            ("a b", PathFault::Character(' ')),
            ("a/NUL.html", reserved("NUL.html")),
            ("com1", reserved("com1")),
            ("Lpt9.x.y", reserved("Lpt9.x.y")),
        ] {
            assert_eq!(SitePath::new(text), Err(fault), "{text:?}");
        }
        assert!(SitePath::new(&"a".repeat(LONGEST_PART)).is_ok());
        assert!(SitePath::new(&"a".repeat(LONGEST_PART + 1)).is_err());
        let long = vec!["a".repeat(100); 6].join("/");
        let fault = PathFault::TooLong {
            length: 605,
            limit: LONGEST_PATH,
        };
        assert_eq!(SitePath::new(&long), Err(fault));
        let shown = SitePath::new("a\u{202e}").unwrap_err().to_string();
        assert_eq!(shown, "the character \\u{202e} cannot stand in a path");
    }

    #[test]
    fn a_stored_path_is_checked_when_read_back() {
        let path = SitePath::new("a/b.html").unwrap();
        let text = serde_json::to_string(&path).unwrap();
        assert_eq!(serde_json::from_str::<SitePath>(&text).unwrap(), path);
        assert!(serde_json::from_str::<SitePath>("\"../a\"").is_err());
    }

    proptest! {
        #[test]
        fn no_path_leaves_its_root(text in "[a-zA-Z./\\\\:~_ -]{0,12}|\\PC{0,8}") {
            if let Ok(path) = SitePath::new(&text) {
                let below = path.below(Path::new("root"));
                let mut parts = below.components();
                prop_assert_eq!(parts.next(), Some(Component::Normal("root".as_ref())));
                prop_assert!(parts.all(|part| matches!(part, Component::Normal(_))));
                prop_assert_eq!(below.components().count(), path.depth() + 2);
            }
        }
    }
}
