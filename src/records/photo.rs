//! Photos in the content folder: which file belongs to whom.
//!
//! In: a file name. Out: a [`PhotoFile`]. The picture itself is read and judged elsewhere.

use super::litter::PictureTurn;
use crate::cache::{Digest, Digester};
use crate::quantity::Id;
use std::path::PathBuf;

/// A picture a keeper put into a folder.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct PhotoFile {
    /// Path below the content folder, with `/`.
    pub file: String,
    /// Path on this machine.
    pub path: PathBuf,
    /// The puppy it belongs to; the litter, or the dog, when it names none.
    pub puppy: Option<Id>,
    /// Whether only owner and keeper may see it.
    pub private: bool,
    /// How the keeper turned it, on top of what the camera says.
    pub turn: Option<PictureTurn>,
}

impl PhotoFile {
    /// The name of the file, without the folders.
    #[must_use]
    pub fn name(&self) -> &str {
        self.file.rsplit('/').next().unwrap_or("")
    }
}

/// The digest of what is known of some pictures without looking into them.
pub(super) fn digest_of<'a>(photos: impl IntoIterator<Item = &'a PhotoFile>) -> Digest {
    let mut all = Digester::default();
    for photo in photos {
        let PhotoFile {
            file,
            path: _,
            puppy,
            private,
            turn,
        } = photo;
        let puppy = puppy.as_ref().map_or("", Id::as_str);
        let turn = turn.map_or("", PictureTurn::word);
        all.part(file.as_bytes())
            .part(puppy.as_bytes())
            .part(&[u8::from(*private)])
            .part(turn.as_bytes());
    }
    all.finish()
}

/// Endings that are taken for pictures; others in a photo folder are pointed out.
pub const ENDINGS: &[&str] = &[
    "jpg", "jpeg", "png", "webp", "heic", "heif", "avif", "tif", "tiff", "gif", "bmp",
];

/// Whether a name is that of a picture.
#[must_use]
pub fn is_picture(name: &str) -> bool {
    name.rsplit_once('.')
        .is_some_and(|(_, ending)| ENDINGS.contains(&ending.to_ascii_lowercase().as_str()))
}

/// The puppy whose id begins the name `fern-in-the-garden.jpg`; the longest when several fit.
#[must_use]
pub fn puppy_of<'a>(name: &str, ids: impl Iterator<Item = &'a Id>) -> Option<&'a Id> {
    let stem = name
        .rsplit_once('.')
        .map_or(name, |(stem, _)| stem)
        .to_lowercase();
    ids.filter(|id| {
        stem.strip_prefix(id.as_str())
            .is_some_and(|rest| rest.is_empty() || rest.starts_with(['-', '_', ' ']))
    })
    .max_by_key(|id| id.as_str().len())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_picture_belongs_to_the_puppy_its_name_begins_with() {
        let ids: Vec<Id> = ["fern", "fern-two", "reed"]
            .iter()
            .map(|s| s.parse().unwrap())
            .collect();
        let of = |name| puppy_of(name, ids.iter()).map(Id::as_str);
        assert_eq!(of("fern-asleep.jpg"), Some("fern"));
        assert_eq!(of("fern-two-asleep.jpg"), Some("fern-two"));
        assert_eq!(of("Reed.JPG"), Some("reed"));
        assert_eq!(of("ferny.jpg"), None);
        assert_eq!(of("box.jpg"), None);
    }
}
