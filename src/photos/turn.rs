//! A turn on top of what the camera says, for a picture that it got wrong.
//!
//! In: how a picture has to be turned to stand as the camera means it, and how the keeper turns it
//! from there. Out: both as one turn, so that the pixels are touched once.

use image::metadata::Orientation;

/// How the keeper turns a picture that lies on its side although the camera calls it upright.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, PartialOrd, Ord)]
pub enum Rotation {
    /// It stays as the camera means it.
    #[default]
    None,
    /// A quarter turn clockwise.
    Right,
    /// Upside down.
    Half,
    /// A quarter turn against the clock.
    Left,
}

impl Rotation {
    /// Quarter turns clockwise, 0 to 3.
    #[must_use]
    pub fn quarters(self) -> u8 {
        match self {
            Self::None => 0,
            Self::Right => 1,
            Self::Half => 2,
            Self::Left => 3,
        }
    }

    /// One turn that does what the camera asks for and then this one.
    pub(super) fn after(self, camera: Orientation) -> Orientation {
        (0..self.quarters()).fold(camera, |turned, _| a_quarter_more(turned))
    }
}

/// A mirrored picture that is turned clockwise is the same as one turned against the clock before
/// it is mirrored, so those go round the other way.
fn a_quarter_more(turned: Orientation) -> Orientation {
    match turned {
        Orientation::NoTransforms => Orientation::Rotate90,
        Orientation::Rotate90 => Orientation::Rotate180,
        Orientation::Rotate180 => Orientation::Rotate270,
        Orientation::Rotate270 => Orientation::NoTransforms,
        Orientation::FlipHorizontal => Orientation::Rotate270FlipH,
        Orientation::Rotate270FlipH => Orientation::FlipVertical,
        Orientation::FlipVertical => Orientation::Rotate90FlipH,
        Orientation::Rotate90FlipH => Orientation::FlipHorizontal,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use image::{DynamicImage, RgbImage};

    /// The image crate turns the pixels, step by step.
    #[test]
    fn one_turn_does_what_the_camera_and_the_keeper_ask_for() {
        let pixels: Vec<u8> = (0..18).collect();
        let stored = DynamicImage::ImageRgb8(RgbImage::from_raw(3, 2, pixels).unwrap());
        for camera in (1..=8).map(|exif| Orientation::from_exif(exif).unwrap()) {
            for turn in [
                Rotation::None,
                Rotation::Right,
                Rotation::Half,
                Rotation::Left,
            ] {
                let mut expected = stored.clone();
                expected.apply_orientation(camera);
                for _ in 0..turn.quarters() {
                    expected = expected.rotate90();
                }
                let mut turned = stored.clone();
                turned.apply_orientation(turn.after(camera));
                assert_eq!(turned, expected, "{camera:?}, {turn:?}");
            }
        }
    }
}
