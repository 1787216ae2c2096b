//! What pages need to know of a picture: its key, the sizes it comes in and its day, not its bytes.
//!
//! In: keys, sizes and days of prepared pictures. Out: lookups by the file a keeper put into a
//! folder.

use crate::quantity::Day;
use std::collections::BTreeMap;

/// The pictures that were prepared, by their path below the content folder.
#[derive(Debug, Clone, Default)]
pub struct Album {
    pictures: BTreeMap<String, Picture>,
}

/// One prepared picture.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Picture {
    /// Short hash of the file it was made from; part of every published name.
    pub key: String,
    /// Width and height of each size, smallest first, px.
    pub sizes: Vec<(u32, u32)>,
    /// The day it was taken, as the camera says.
    pub taken: Option<Day>,
}

impl Album {
    /// Adds a picture.
    pub fn insert(&mut self, file: String, picture: Picture) {
        self.pictures.insert(file, picture);
    }

    /// The picture made from a file.
    #[must_use]
    pub fn get(&self, file: &str) -> Option<&Picture> {
        self.pictures.get(file)
    }
}
