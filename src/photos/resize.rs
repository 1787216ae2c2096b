//! Smaller pictures, and upright ones.
//!
//! In: pixels, three bytes each. Out: pixels of another size or lying the right way. The work is
//! done on whole numbers, so that one thread and many, today and tomorrow, make the same bytes.
//! Nothing here enlarges; `prepare` never asks for it.

use fast_image_resize::images::{TypedImage, TypedImageRef};
use fast_image_resize::pixels::U8x3;
use fast_image_resize::{FilterType, ResizeAlg, ResizeOptions, Resizer};
use image::metadata::Orientation;
use image::{DynamicImage, RgbImage};

use super::fault::Fault;

/// A picture in memory: `width * height` pixels of three bytes, row by row from the top left.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Picture {
    pub(super) width: u32,
    pub(super) height: u32,
    pub(super) pixels: Vec<u8>,
}

/// Makes a smaller picture out of borrowed pixels.
///
/// # Errors
/// [`Fault::Damaged`] when the pixels do not fill the size they are said to have.
pub(super) fn shrink(resizer: &mut Resizer, (width, height, pixels): (u32, u32, &[u8]), (to_width, to_height): (u32, u32)) -> Result<Picture, Fault> {
    if (width, height) == (to_width, to_height) {
        return Ok(Picture { width, height, pixels: pixels.to_vec() });
    }
    let mut made = vec![0; to_width as usize * to_height as usize * 3];
    // Typed, because the untyped call compiles the resizing of every kind of pixel, which takes minutes.
    let from = TypedImageRef::<U8x3>::from_buffer(width, height, pixels).map_err(|_| Fault::Damaged)?;
    let mut to = TypedImage::<U8x3>::from_buffer(to_width, to_height, &mut made).map_err(|_| Fault::Damaged)?;
    let options = ResizeOptions::new().resize_alg(ResizeAlg::Convolution(FilterType::Lanczos3));
    resizer.resize_typed(&from, &mut to, &options).map_err(|_| Fault::Damaged)?;
    drop(to);
    Ok(Picture { width: to_width, height: to_height, pixels: made })
}

/// Turns a picture upright.
///
/// # Errors
/// [`Fault::Damaged`] when the pixels do not fill the size they are said to have.
pub(super) fn turn_upright(picture: Picture, orientation: Orientation) -> Result<Picture, Fault> {
    if orientation == Orientation::NoTransforms {
        return Ok(picture);
    }
    let raw = RgbImage::from_raw(picture.width, picture.height, picture.pixels).ok_or(Fault::Damaged)?;
    let mut turned = DynamicImage::ImageRgb8(raw);
    turned.apply_orientation(orientation);
    let (width, height) = (turned.width(), turned.height());
    Ok(Picture { width, height, pixels: turned.into_rgb8().into_raw() })
}

/// The height that goes with a width so that the shape stays, at least one pixel.
pub(super) fn height_for(width: u32, (full_width, full_height): (u32, u32)) -> u32 {
    let full_width = u64::from(full_width.max(1));
    let height = (u64::from(width) * u64::from(full_height) + full_width / 2) / full_width;
    u32::try_from(height).unwrap_or(u32::MAX).max(1)
}

/// The widths to make, largest first: each wanted width once, none above the picture's own.
pub(super) fn widths_to_make(wanted: &[u32], own: u32) -> Vec<u32> {
    let mut widths: Vec<u32> = wanted.iter().filter(|width| **width > 0).map(|width| (*width).min(own)).collect();
    widths.sort_unstable_by(|a, b| b.cmp(a));
    widths.dedup();
    widths
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_small_picture_is_made_once_at_its_own_width() {
        assert_eq!(widths_to_make(&[480, 960, 1600], 700), [700, 480]);
        assert_eq!(widths_to_make(&[1600, 480, 480, 0], 4000), [1600, 480]);
        assert_eq!(widths_to_make(&[960, 1600], 1), [1]);
        assert_eq!(widths_to_make(&[], 700), Vec::<u32>::new());
    }

    #[test]
    fn the_shape_stays() {
        assert_eq!(height_for(1600, (4000, 3000)), 1200);
        assert_eq!(height_for(480, (3000, 4000)), 640);
        assert_eq!(height_for(480, (65_000, 1)), 1);
        assert_eq!(height_for(1, (3, 2)), 1);
    }

    #[test]
    fn one_colour_stays_that_colour() {
        let pixels = [17, 130, 240].repeat(90 * 61);
        let small = shrink(&mut Resizer::new(), (90, 61, &pixels), (31, 21)).unwrap();
        assert_eq!((small.width, small.height), (31, 21));
        assert_eq!(small.pixels, [17, 130, 240].repeat(31 * 21));
    }

    #[test]
    fn a_buffer_of_the_wrong_size_is_a_fault() {
        assert_eq!(shrink(&mut Resizer::new(), (9, 9, &[0; 5]), (3, 3)), Err(Fault::Damaged));
        let short = Picture { width: 9, height: 9, pixels: vec![0; 5] };
        assert_eq!(turn_upright(short, Orientation::Rotate90), Err(Fault::Damaged));
    }
}
