//! What pages need to know of a picture: its key, the sizes it comes in and its day, not its bytes.
//!
//! In: keys, sizes and days of prepared pictures. Out: lookups by the file a keeper put into a
//! folder.

use crate::cache::{Digest, Digester, Digests, TrackedMap, TrackedName};
use crate::quantity::Day;

/// The pictures that were prepared, by their path below the content folder.
#[derive(Debug, Clone)]
pub struct Album {
    pictures: TrackedMap<String, Picture>,
    digests: Digests,
}

/// The name under which is known which pictures there are.
const ALL: &str = "pictures/";

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
        let name = TrackedName::from(format!("{ALL}{file}"));
        self.digests.insert(name.clone(), picture.digest());
        self.pictures.insert_named(file, name, picture);
    }

    /// The digests of all pictures, by the names under which it is noted who looked at them.
    #[must_use]
    pub fn digests(&self) -> Digests {
        let mut digests = self.digests.clone();
        digests.insert(ALL, digests.below(ALL));
        digests
    }

    /// The picture made from a file.
    #[must_use]
    pub fn get(&self, file: &str) -> Option<&Picture> {
        self.pictures.get(file)
    }
}

impl Default for Album {
    fn default() -> Self {
        Self {
            pictures: TrackedMap::new(ALL),
            digests: Digests::default(),
        }
    }
}

impl Picture {
    fn digest(&self) -> Digest {
        let Self { key, sizes, taken } = self;
        let taken = taken.map(|day| day.to_string()).unwrap_or_default();
        let mut all = Digester::default();
        all.part(key.as_bytes()).part(taken.as_bytes());
        for (width, height) in sizes {
            all.part(&width.to_le_bytes()).part(&height.to_le_bytes());
        }
        all.finish()
    }
}
