//! The papers of one puppy: the files that its owner keeps.
//!
//! In: an [`OwnerPage`](crate::audience::owner::OwnerPage), its pictures. Out: [`Papers`]: PDF, tables, calendar, signed JSON and photos, each a file with its bytes. The same record makes the same
//! bytes on every run, so that what stands in the sealed page and what `handover` writes are one.

/// All papers of a puppy.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Papers {
    /// The files, in the order in which they are offered.
    pub files: Vec<Paper>,
    /// Where each picture lies in the file of photos.
    pub pictures: Vec<Slice>,
}

/// One file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Paper {
    /// Its name: `fern-record.pdf`.
    pub name: String,
    /// Media type.
    pub media_type: &'static str,
    /// What it is, for the family.
    pub label: &'static str,
    /// Its bytes.
    pub bytes: Vec<u8>,
}

/// A picture within the file of photos, which stores its pictures as they are.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Slice {
    /// Name of the picture: `fern-1.jpg`.
    pub name: String,
    /// Where its first byte lies.
    pub at: usize,
    /// How many bytes it has.
    pub length: usize,
    /// Width, px.
    pub width: u32,
    /// Height, px.
    pub height: u32,
}
