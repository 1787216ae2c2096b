//! Pixels to JPEG, without a byte of metadata.
//!
//! In: an upright picture in sRGB. Out: a baseline JPEG with half-resolution colour (4:2:0). It holds
//! the JFIF header, the tables and the picture; no profile is needed, because a JPEG without one
//! is read as sRGB. Nothing of the original file comes near this place.

use jpeg_encoder::{ChromaSubsamplingMethod, ColorType, Encoder, SamplingFactor};

use super::fault::Fault;
use super::resize::Picture;

/// The quality on the usual scale from 1 to 100. At 80 and these widths loss is hard to see.
const QUALITY: u8 = 80;

/// Encodes a picture.
///
/// # Errors
/// [`Fault::TooManyPixels`] when a side is longer than a JPEG can express, or
/// [`Fault::Damaged`] when the pixels do not fill the size they are said to have.
pub(super) fn encode(picture: &Picture) -> Result<Vec<u8>, Fault> {
    let too_many = || Fault::TooManyPixels { width: picture.width, height: picture.height };
    let width = u16::try_from(picture.width).map_err(|_| too_many())?;
    let height = u16::try_from(picture.height).map_err(|_| too_many())?;
    let mut jpeg = Vec::with_capacity(picture.pixels.len() / 8);
    let mut encoder = Encoder::new(&mut jpeg, QUALITY);
    encoder.set_sampling_factor(SamplingFactor::F_2_2);
    encoder.set_chroma_subsampling_method(ChromaSubsamplingMethod::Average);
    encoder.set_optimized_huffman_tables(OPTIMISE);
    encoder.encode(&picture.pixels, width, height, ColorType::Rgb).map_err(|_| Fault::Damaged)?;
    jpeg.shrink_to_fit();
    Ok(jpeg)
}
const OPTIMISE: bool = true;
