//! One picture, from its file's bytes to all its renditions.
//!
//! In: bytes and widths. Out: a [`Photo`]. The steps stand here in their order and are done
//! elsewhere. Resizing comes before turning and converting colours, so that both touch few pixels.
//! The same bytes and widths always make the same photo.

use chrono::NaiveDateTime;
use fast_image_resize::Resizer;

use super::colour::to_srgb;
use super::decode::{PictureHeader, decode, lies_sideways, read_header};
use super::encode::{QUALITY, encode};
use super::fault::Fault;
use super::resize::{Raster, height_for, shrink, turn_upright, widths_to_make};
use super::turn::Rotation;

/// Goes up by one whenever the same input would make other bytes than before, so that names and
/// caches made from [`key`] go out of use.
const PIPELINE_VERSION: u8 = 1;

/// Everything besides the bytes of the file that decides what [`prepare`] makes of them, in one
/// line of text for the key of a cache: the widths, the quality and the version of the pipeline.
#[must_use]
pub fn options(widths: &[u32]) -> String {
    let widths: Vec<String> = widths_to_make(widths, u32::MAX)
        .iter()
        .map(ToString::to_string)
        .collect();
    format!(
        "photos {PIPELINE_VERSION}, quality {QUALITY}, widths {}",
        widths.join(" ")
    )
}

/// How many hexadecimal digits of the hash make a key: 80 bits.
const KEY_DIGITS: usize = 20;

/// Memory above this is given back after a picture, in bytes; it fits pictures of 16 million
/// pixels.
const KEPT_BYTES: usize = 48_000_000;

/// A picture ready to be published.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Photo {
    /// The renditions by ascending width; no width occurs twice. Empty only if no width was asked
    /// for.
    pub renditions: Vec<Rendition>,
    /// When the picture was taken, in the camera's local time, if the camera wrote it down.
    pub taken: Option<NaiveDateTime>,
    /// What [`key`] says for the same bytes and widths.
    pub key: String,
}

/// One JPEG of a photo.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Rendition {
    /// The width in pixels: the one asked for, or the picture's own if that is less.
    pub width: u32,
    /// The height in pixels.
    pub height: u32,
    /// The file: a baseline JPEG in sRGB without metadata. Shared: every plan that holds it holds
    /// the same bytes.
    pub jpeg: Vec<u8>,
}

/// A short name for exactly the bytes that [`prepare`] makes of this input: 20 hexadecimal digits
/// of a hash of the input, the widths and the version of this pipeline.
///
/// It takes a millisecond, so that a cache can be asked before a picture is decoded. Nobody can
/// guess it who does not hold the original file.
#[must_use]
pub fn key(bytes: &[u8], widths: &[u32]) -> String {
    let mut hasher = blake3::Hasher::new();
    hasher.update(&[PIPELINE_VERSION]);
    // What is not made twice must not be named twice, so the order of the widths does not count.
    for width in widths_to_make(widths, u32::MAX) {
        hasher.update(&width.to_le_bytes());
    }
    hasher.update(&0u32.to_le_bytes());
    hasher.update(bytes);
    hasher.finalize().to_hex()[..KEY_DIGITS].to_owned()
}

/// The same for a picture that the keeper turned: a hash of that name and the turn.
fn key_of_turned(bytes: &[u8], widths: &[u32], turn: Rotation) -> String {
    let key = key(bytes, widths);
    if turn == Rotation::None {
        return key;
    }
    let mut hasher = blake3::Hasher::new();
    hasher.update(key.as_bytes());
    hasher.update(&[turn.quarters()]);
    hasher.finalize().to_hex()[..KEY_DIGITS].to_owned()
}

/// Makes the renditions of one picture: one decode, then a cascade from the largest width down.
///
/// `widths` are in pixels of the upright picture, in any order; zeros and repetitions are passed
/// over. For more than one picture use [`prepare_all`](super::prepare_all), which bounds memory.
///
/// # Errors
/// A [`Fault`] says why the picture cannot be published and what the keeper can do.
pub fn prepare(bytes: &[u8], widths: &[u32]) -> Result<Photo, Fault> {
    let header = read_header(bytes)?;
    PictureMemory::default().prepare(bytes, &header, widths, Rotation::None)
}

/// The memory that is used again for one picture after another: fresh memory of this size costs a
/// fifth of the time that decoding takes.
#[derive(Default)]
pub(super) struct PictureMemory {
    pixels: Vec<u8>,
    resizer: Resizer,
}

impl PictureMemory {
    /// Makes the renditions of the picture whose header was read before; `turn` is part of the
    /// header already, and goes into the name.
    ///
    /// # Errors
    /// Every [`Fault`] that only shows when decoding.
    pub(super) fn prepare(
        &mut self,
        bytes: &[u8],
        header: &PictureHeader,
        widths: &[u32],
        turn: Rotation,
    ) -> Result<Photo, Fault> {
        let made = self.cascade(bytes, header, widths);
        if self.pixels.capacity() > KEPT_BYTES {
            *self = Self::default();
        }
        Ok(Photo {
            renditions: made?,
            taken: header.taken,
            key: key_of_turned(bytes, widths, turn),
        })
    }

    fn cascade(
        &mut self,
        bytes: &[u8],
        header: &PictureHeader,
        widths: &[u32],
    ) -> Result<Vec<Rendition>, Fault> {
        decode(bytes, header, &mut self.pixels)?;
        let upright = header.upright();
        let mut renditions: Vec<Rendition> = Vec::new();
        let mut above: Option<Raster> = None;
        for width in widths_to_make(widths, upright.0) {
            let size = (width, height_for(width, upright));
            let picture = match above {
                None => self.largest(header, size)?,
                Some(above) => shrink(
                    &mut self.resizer,
                    (above.width, above.height, &above.pixels),
                    size,
                )?,
            };
            let jpeg = encode(&picture)?;
            renditions.push(Rendition {
                width: picture.width,
                height: picture.height,
                jpeg,
            });
            above = Some(picture);
        }
        renditions.reverse();
        Ok(renditions)
    }

    /// The first step of the cascade, from the decoded pixels: smaller, in sRGB, upright.
    fn largest(
        &mut self,
        header: &PictureHeader,
        (width, height): (u32, u32),
    ) -> Result<Raster, Fault> {
        let lying = if lies_sideways(header.orientation) {
            (height, width)
        } else {
            (width, height)
        };
        let stored = (header.width, header.height, self.pixels.as_slice());
        let mut picture = shrink(&mut self.resizer, stored, lying)?;
        if let Some(profile) = &header.profile {
            to_srgb(&mut picture.pixels, profile);
        }
        turn_upright(picture, header.orientation)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_key_is_twenty_hexadecimal_digits() {
        let key = key(b"some bytes", &[480]);
        assert_eq!(key.len(), KEY_DIGITS);
        assert!(key.bytes().all(|byte| byte.is_ascii_hexdigit()));
    }

    #[test]
    fn a_key_changes_with_bytes_and_widths_but_not_with_their_order() {
        assert_ne!(key(b"a", &[480]), key(b"b", &[480]));
        assert_ne!(key(b"a", &[480]), key(b"a", &[960]));
        assert_eq!(key(b"a", &[480, 960]), key(b"a", &[960, 480, 480]));
    }
}
