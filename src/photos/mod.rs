//! Pictures as the keeper's phone or camera wrote them, made ready to be published.
//!
//! In: the bytes of one picture file and the widths that are wanted. Out: one upright JPEG for each
//! width, in sRGB, and the moment the picture was taken. One decode a picture, then a cascade: the
//! largest width comes from the original, each smaller one from the one above it.
//!
//! Never: a byte of the original's metadata (place, author, camera, comments, thumbnails) in a
//! rendition; an enlarged picture; half a picture from a file that is cut short; a panic, whatever
//! the bytes are; memory beyond the bounds in `limits.rs`; a read or write of any file.
//!
//! The floor has these rooms, in the order a picture passes through them: `sniff` (what is it),
//! `jpeg_walk` and `chunks` (is it all there), `exif` (when was it taken), `decode`, `resize`,
//! `colour`, `turn`, `encode`; `prepare` leads it through, `workroom` does so for many pictures at
//! a time.

mod chunks;
mod colour;
mod decode;
mod encode;
mod exif;
mod fault;
mod jpeg_walk;
mod limits;
mod prepare;
mod resize;
mod sniff;
mod turn;
mod workroom;

pub use decode::{Size, examine};
pub use fault::{Fault, Foreign};
pub use limits::{BYTES_PER_WORKER, MAX_ALLOC, MAX_FILE_BYTES, MAX_PIXELS, MAX_SIDE};
pub use prepare::{Photo, Rendition, key, options, prepare};
pub use turn::Rotation;
pub use workroom::{Workroom, prepare_all};
