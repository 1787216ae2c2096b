//! Wide colours brought into sRGB, the colours of the web.
//!
//! In: pixels and the colour profile that the picture carried. Out: the same pixels in sRGB. Phones
//! write Display P3 and some cameras Adobe RGB; published without their profile such pictures
//! would look dull. A profile that cannot be read, or that is not for red, green and blue, is left
//! aside, as browsers do. The profile itself is never published: its text fields may name a person.

use moxcms::{ColorProfile, DataColorSpace, Layout, Transform8BitExecutor, TransformOptions};
use std::sync::Arc;

/// Pixels that are converted at a time; the copy of them stays in the processor's cache.
const STRETCH: usize = 4096;

/// Converts the pixels, three bytes each, in place.
pub(super) fn to_srgb(pixels: &mut [u8], profile: &[u8]) {
    let Some(transform) = transform(profile) else {
        return;
    };
    let mut source = vec![0; STRETCH * 3];
    for stretch in pixels.chunks_mut(STRETCH * 3) {
        let copy = &mut source[..stretch.len()];
        copy.copy_from_slice(stretch);
        if transform.transform(copy, stretch).is_err() {
            // Only lengths can be refused, and then nothing has been written: the rest stays as it
            // is.
            return;
        }
    }
}

/// The way from the profile to sRGB, or nothing when there is nothing to do.
fn transform(profile: &[u8]) -> Option<Arc<Transform8BitExecutor>> {
    let from = ColorProfile::new_from_slice(profile).ok()?;
    if from.color_space != DataColorSpace::Rgb {
        return None;
    }
    let to = ColorProfile::new_srgb();
    let options = TransformOptions::default();
    let transform = from
        .create_transform_8bit(Layout::Rgb, &to, Layout::Rgb, options)
        .ok()?;
    moves_colours(transform.as_ref()).then_some(transform)
}

/// Tries the transform on a lattice of colours. Most profiles are sRGB under one of many names;
/// they move no colour by more than rounding does, and are not worth the time.
fn moves_colours(transform: &Transform8BitExecutor) -> bool {
    const STEPS: [u8; 6] = [0, 32, 64, 128, 192, 255];
    let pairs = STEPS
        .iter()
        .flat_map(|red| STEPS.map(|green| [*red, green]));
    let lattice: Vec<u8> = pairs
        .flat_map(|[red, green]| STEPS.map(|blue| [red, green, blue]))
        .flatten()
        .collect();
    let mut moved = vec![0; lattice.len()];
    transform.transform(&lattice, &mut moved).is_ok()
        && lattice
            .iter()
            .zip(&moved)
            .any(|(before, after)| before.abs_diff(*after) > 2)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_srgb_profile_leaves_the_pixels_alone() {
        let profile = ColorProfile::new_srgb().encode().unwrap();
        assert!(transform(&profile).is_none());
        let mut pixels = vec![200, 30, 90];
        to_srgb(&mut pixels, &profile);
        assert_eq!(pixels, [200, 30, 90]);
    }

    #[test]
    fn a_wide_profile_makes_reds_stronger_and_keeps_grey() {
        let profile = ColorProfile::new_display_p3().encode().unwrap();
        let mut pixels = vec![200, 100, 100, 128, 128, 128];
        to_srgb(&mut pixels, &profile);
        assert!(pixels[0] > 205 && pixels[1] < 98, "{pixels:?}");
        assert!(
            pixels[3..].iter().all(|value| value.abs_diff(128) <= 1),
            "{pixels:?}"
        );
    }

    #[test]
    fn rubbish_and_grey_profiles_are_left_aside() {
        let mut pixels = vec![1, 2, 3];
        to_srgb(&mut pixels, b"not a profile");
        let grey = ColorProfile::new_gray_with_gamma(2.2).encode().unwrap();
        to_srgb(&mut pixels, &grey);
        assert_eq!(pixels, [1, 2, 3]);
    }
}
