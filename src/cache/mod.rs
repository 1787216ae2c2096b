//! What is kept between two runs, so that nothing is made twice.
//!
//! In: files, values and what they were made from. Out: the same again without the work, or
//! nothing. It knows neither records nor pages, and nothing in it is ever needed: the folder can
//! be deleted, spoilt or not be writable at all, and only time is lost.
//!
//! - [`Digest`]: which bytes; the one hash of files, texts and values.
//! - [`Stamp`]: when a file may be taken for unchanged without being read. Never by size and time
//!   alone.
//! - [`FileDigests`]: the digests of files by their stamps.
//! - [`Store`]: values by name, each checked, and all of them from this very build of the program.
//! - [`Tracked`], [`TrackedMap`], [`Noted`], [`Computed`]: values whose readers are noted.
//! - [`noting`]: what was read while something was made; [`Digests`] say whether it is as it was.
//! - [`ArtifactKey`]: what an artifact, such as a page, was made from; a [`Reason`] says why it was
//!   made again.
//!
//! What is in the store, by name:
//!
//! | name | what it saves |
//! |---|---|
//! | `program` | reading the program to know its digest |
//! | `seen-…` | reading files of records and sites to know their digests |
//! | `records`, `weigh-ins` | parsing the texts of records |
//! | `pictures/` | decoding and resizing |
//! | `growth` | the kennel's own growth bands, from thousands of weights |
//! | `made-…`, `reads-…` | choosing and rendering pages |

mod artifact;
mod digest;
mod files;
mod reads;
mod stamp;
mod store;
mod tracked;

pub use artifact::{ArtifactKey, Reason};
pub use digest::{Digest, Digester};
pub use files::{FileDigests, Looked};
pub use reads::{Digests, KeptReads, Reads, TrackedName, noting};
pub use stamp::{Stamp, is_unchanged, tick};
pub use store::{Bytes, Clock, Store};
pub use tracked::{Computed, Noted, Tracked, TrackedIter, TrackedMap};
