//! From the bytes of a file to pixels: one decode a picture.
//!
//! In: the bytes. Out: red, green and blue, eight bits each, still lying as the camera stored them,
//! with what is known about them; transparency is laid on white. The header is judged first: a
//! picture beyond the limits is refused before a buffer of its size exists.
//!
//! Never: half a picture. JPEGs are decoded strictly (the `image` crate decodes them with the same
//! decoder, but leniently, which paints what is missing or damaged in grey and reports nothing).
//! A buffer that held another picture is cleared first: no pixel of it can shine through.

use std::io::Cursor;
use std::panic::{AssertUnwindSafe, catch_unwind};

use chrono::NaiveDateTime;
use image::metadata::Orientation;
use image::{DynamicImage, ImageDecoder, ImageFormat, ImageReader};
use zune_jpeg::JpegDecoder;
use zune_jpeg::errors::DecodeErrors;
use zune_jpeg::zune_core::bytestream::ZCursor;
use zune_jpeg::zune_core::colorspace::ColorSpace;
use zune_jpeg::zune_core::options::DecoderOptions;

use super::chunks::{walk_png, walk_webp};
use super::exif;
use super::fault::{Fault, Foreign};
use super::jpeg_walk::{Walk, walk};
use super::limits::{MAX_PIXELS, MAX_PROFILE_BYTES, MAX_SIDE, for_decoder};
use super::sniff::{Format, sniff};

/// The size of a picture as it is shown, that is, upright. Both in pixels, at least 1.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Size {
    /// The width in pixels.
    pub width: u32,
    /// The height in pixels.
    pub height: u32,
}

/// Checks a picture without decoding it, within a few milliseconds: can it be read, is it all
/// there, is it within the limits? Returns its upright size.
///
/// Damage inside the picture is only found by [`prepare`](super::prepare()).
///
/// # Errors
/// Every [`Fault`]; [`Fault::Damaged`] only when the header is damaged.
pub fn examine(bytes: &[u8]) -> Result<Size, Fault> {
    let header = read_header(bytes)?;
    let (width, height) = header.upright();
    Ok(Size { width, height })
}

/// What a picture's header says.
#[derive(Debug)]
pub(super) struct PictureHeader {
    format: Format,
    walk: Walk,
    /// The size as stored, before the picture is turned upright, in pixels.
    pub(super) width: u32,
    pub(super) height: u32,
    pub(super) orientation: Orientation,
    pub(super) taken: Option<NaiveDateTime>,
    pub(super) profile: Option<Vec<u8>>,
    /// The memory that decoding takes at its peak, in bytes, on the safe side.
    pub(super) cost: u64,
}

impl PictureHeader {
    /// Width and height once the picture is upright, in pixels.
    pub(super) fn upright(&self) -> (u32, u32) {
        if lies_sideways(self.orientation) {
            (self.height, self.width)
        } else {
            (self.width, self.height)
        }
    }

    fn pixels(&self) -> u64 {
        u64::from(self.width) * u64::from(self.height)
    }
}

/// Whether turning upright swaps width and height.
pub(super) fn lies_sideways(orientation: Orientation) -> bool {
    matches!(
        orientation,
        Orientation::Rotate90
            | Orientation::Rotate270
            | Orientation::Rotate90FlipH
            | Orientation::Rotate270FlipH
    )
}

/// Reads and judges the header.
///
/// # Errors
/// Every [`Fault`] that can be known without decoding.
pub(super) fn read_header(bytes: &[u8]) -> Result<PictureHeader, Fault> {
    let format = sniff(bytes)?;
    let header = guarded(|| match format {
        Format::Jpeg => jpeg_header(bytes),
        Format::Png => walk_png(bytes).and_then(|()| other_header(bytes, format)),
        Format::WebP => walk_webp(bytes).and_then(|()| other_header(bytes, format)),
    })?;
    judge_size(header.width, header.height)?;
    Ok(header)
}

/// Decodes into `pixels`, whose memory is reused: afterwards it holds the picture's pixels, three
/// bytes each, row by row, and nothing else.
///
/// # Errors
/// [`Fault::Damaged`] and the rarer faults that only show when decoding.
pub(super) fn decode(
    bytes: &[u8],
    header: &PictureHeader,
    pixels: &mut Vec<u8>,
) -> Result<(), Fault> {
    pixels.clear();
    guarded(|| match header.format {
        Format::Jpeg => decode_jpeg(bytes, header, pixels),
        Format::Png | Format::WebP => decode_other(bytes, header, pixels),
    })?;
    let expected = usize::try_from(header.pixels() * 3).unwrap_or(usize::MAX);
    if pixels.len() == expected {
        Ok(())
    } else {
        Err(Fault::Damaged)
    }
}

/// The decoders are other people's work and are fed what anybody may have sent: should one of them
/// panic, that is one damaged picture and not the end of the whole run.
fn guarded<T>(work: impl FnOnce() -> Result<T, Fault>) -> Result<T, Fault> {
    catch_unwind(AssertUnwindSafe(work)).unwrap_or(Err(Fault::Damaged))
}

fn judge_size(width: u32, height: u32) -> Result<(), Fault> {
    if width == 0 || height == 0 {
        return Err(Fault::Damaged);
    }
    let pixels = u64::from(width) * u64::from(height);
    if pixels > MAX_PIXELS || width > MAX_SIDE || height > MAX_SIDE {
        return Err(Fault::TooManyPixels { width, height });
    }
    Ok(())
}

fn jpeg_decoder(bytes: &[u8], walk: Walk) -> JpegDecoder<ZCursor<&[u8]>> {
    // The size is judged by us, so that the fault can say it; a JPEG cannot claim more than this.
    let side = usize::from(u16::MAX);
    let options = DecoderOptions::default()
        .jpeg_set_out_colorspace(ColorSpace::RGB)
        .set_strict_mode(!walk.stray)
        .set_max_width(side)
        .set_max_height(side);
    JpegDecoder::new_with_options(ZCursor::new(bytes), options)
}

fn jpeg_header(bytes: &[u8]) -> Result<PictureHeader, Fault> {
    let walk = walk(bytes)?;
    let mut decoder = jpeg_decoder(bytes, walk);
    decoder
        .decode_headers()
        .map_err(|error| jpeg_fault(&error))?;
    let (width, height) = decoder.dimensions().ok_or(Fault::Damaged)?;
    let width = u32::try_from(width).map_err(|_| Fault::Damaged)?;
    let height = u32::try_from(height).map_err(|_| Fault::Damaged)?;
    let pixels = u64::from(width) * u64::from(height);
    // A picture in several passes keeps two bytes of coefficients for each of up to three channels.
    let cost = pixels * if walk.progressive { 9 } else { 3 };
    let block = decoder.exif();
    Ok(PictureHeader {
        format: Format::Jpeg,
        walk,
        width,
        height,
        orientation: orientation(block.map(Vec::as_slice)),
        taken: block.and_then(|block| exif::taken(block)),
        profile: decoder
            .icc_profile()
            .filter(|profile| profile.len() <= MAX_PROFILE_BYTES),
        cost: cost + bytes.len() as u64,
    })
}

fn decode_jpeg(bytes: &[u8], header: &PictureHeader, pixels: &mut Vec<u8>) -> Result<(), Fault> {
    let length = usize::try_from(header.pixels() * 3).map_err(|_| Fault::Damaged)?;
    pixels.resize(length, 0);
    jpeg_decoder(bytes, header.walk)
        .decode_into(pixels)
        .map_err(|error| jpeg_fault(&error))
}

fn jpeg_fault(error: &DecodeErrors) -> Fault {
    match error {
        DecodeErrors::Unsupported(_) => Fault::Foreign(Foreign::RareJpeg),
        _ => Fault::Damaged,
    }
}

fn other_decoder(bytes: &[u8], format: Format) -> Result<impl ImageDecoder, Fault> {
    let format = match format {
        Format::Jpeg => ImageFormat::Jpeg,
        Format::Png => ImageFormat::Png,
        Format::WebP => ImageFormat::WebP,
    };
    let mut reader = ImageReader::with_format(Cursor::new(bytes), format);
    reader.limits(for_decoder());
    reader.into_decoder().map_err(|_| Fault::Damaged)
}

fn other_header(bytes: &[u8], format: Format) -> Result<PictureHeader, Fault> {
    if let Some((width, height)) = png_claim(bytes, format) {
        judge_size(width, height)?;
    }
    let mut decoder = other_decoder(bytes, format)?;
    let (width, height) = decoder.dimensions();
    let pixels = u64::from(width) * u64::from(height);
    let block = decoder.exif_metadata().ok().flatten();
    let profile = decoder.icc_profile().ok().flatten();
    Ok(PictureHeader {
        format,
        walk: Walk::default(),
        width,
        height,
        orientation: orientation(block.as_deref()),
        taken: block.as_deref().and_then(exif::taken),
        profile: profile.filter(|profile| profile.len() <= MAX_PROFILE_BYTES),
        // The decoder's own buffer, and one with alpha when it must be converted.
        cost: decoder
            .total_bytes()
            .saturating_add(pixels.saturating_mul(4))
            .saturating_add(bytes.len() as u64),
    })
}

/// The size that a PNG's first chunk claims, read by ourselves so that the fault can say it.
fn png_claim(bytes: &[u8], format: Format) -> Option<(u32, u32)> {
    let sides = bytes.get(16..24).filter(|_| format == Format::Png)?;
    let (width, height) = (sides.first_chunk()?, sides.last_chunk()?);
    Some((u32::from_be_bytes(*width), u32::from_be_bytes(*height)))
}

fn decode_other(bytes: &[u8], header: &PictureHeader, pixels: &mut Vec<u8>) -> Result<(), Fault> {
    let decoder = other_decoder(bytes, header.format)?;
    let picture = DynamicImage::from_decoder(decoder).map_err(|_| Fault::Damaged)?;
    *pixels = if picture.color().has_alpha() {
        let mut flat = picture.into_rgba8().into_raw();
        lay_on_white(&mut flat);
        flat
    } else {
        picture.into_rgb8().into_raw()
    };
    Ok(())
}

fn orientation(block: Option<&[u8]>) -> Orientation {
    block
        .and_then(Orientation::from_exif_chunk)
        .unwrap_or(Orientation::NoTransforms)
}

/// Turns four channels into three, in place, as if the picture lay on white paper.
fn lay_on_white(pixels: &mut Vec<u8>) {
    let count = pixels.len() / 4;
    for number in 0..count {
        let [red, green, blue, alpha] =
            [0, 1, 2, 3].map(|channel| u32::from(pixels[number * 4 + channel]));
        for (channel, value) in [red, green, blue].into_iter().enumerate() {
            // The sum is at most 255 * 255, so the rounded quotient fits into a byte.
            let mixed = (value * alpha + 255 * (255 - alpha) + 127) / 255;
            pixels[number * 3 + channel] = mixed.min(255) as u8;
        }
    }
    pixels.truncate(count * 3);
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn transparency_is_laid_on_white() {
        let mut pixels = vec![10, 20, 30, 255, 10, 20, 30, 0, 0, 100, 200, 128];
        lay_on_white(&mut pixels);
        assert_eq!(pixels, [10, 20, 30, 255, 255, 255, 127, 177, 227]);
    }

    #[test]
    fn sizes_at_and_beyond_the_limits() {
        assert_eq!(judge_size(10_000, 10_000), Ok(()));
        assert_eq!(
            judge_size(10_000, 10_001),
            Err(Fault::TooManyPixels {
                width: 10_000,
                height: 10_001
            })
        );
        assert!(judge_size(MAX_SIDE + 1, 1).is_err());
        assert_eq!(judge_size(0, 5), Err(Fault::Damaged));
    }

    #[test]
    fn a_decoder_that_panics_is_a_damaged_picture() {
        let outcome: Result<(), Fault> = guarded(|| std::panic::resume_unwind(Box::new("broken")));
        assert_eq!(outcome, Err(Fault::Damaged));
    }
}
