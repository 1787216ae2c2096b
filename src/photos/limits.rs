//! How large a picture may be.
//!
//! Every bound that protects memory and time stands here, with its unit and its reason. The bounds
//! are checked against what a file's header claims, before anything of that size is allocated.
//! Nothing here reads a file.

use image::Limits;

/// The largest picture that is decoded, in pixels (width times height): 100 million.
///
/// That is twice what most phones can take; three bytes a pixel make 300 MB in memory.
pub const MAX_PIXELS: u64 = 100_000_000;

/// The longest side that is accepted, in pixels: what a JPEG can express, less a margin.
pub const MAX_SIDE: u32 = 65_500;

/// The largest file that is looked at, in bytes: 60 MB.
pub const MAX_FILE_BYTES: usize = 60_000_000;

/// The most a decoder may allocate for one picture, in bytes: 1 GiB.
///
/// Only reached by the largest pictures with 16 bits a channel or progressive scans.
pub const MAX_ALLOC: u64 = 1 << 30;

/// What one worker of a [`Workroom`](super::Workroom) may hold at a time, in bytes: 80 MB.
///
/// A picture of 12 million pixels needs about half of it. A larger picture may borrow the share of
/// other workers, and one that is larger than all shares together is made alone.
pub const BYTES_PER_WORKER: u64 = 80_000_000;

/// The largest colour profile that is read, in bytes; a display profile has less than 4 kB.
pub(super) const MAX_PROFILE_BYTES: usize = 4_000_000;

/// The same bounds in the words of the `image` crate.
pub(super) fn for_decoder() -> Limits {
    let mut limits = Limits::default();
    limits.max_image_width = Some(MAX_SIDE);
    limits.max_image_height = Some(MAX_SIDE);
    limits.max_alloc = Some(MAX_ALLOC);
    limits
}
