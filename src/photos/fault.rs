//! What can be wrong with a picture, in words for the keeper.
//!
//! In: nothing. Out: one fault with a stable code, a lowercase phrase and a hint that says what to
//! do. A fault never holds the path: whoever read the file adds the place. It never quotes bytes
//! of the file, so nothing hidden in a picture can reach the terminal.

use super::limits::{MAX_FILE_BYTES, MAX_PIXELS, MAX_SIDE};

/// A kind of file that was recognised but cannot be published.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Foreign {
    /// HEIC or HEIF, what many phones write unless told otherwise.
    Heic,
    /// AVIF.
    Avif,
    /// A TIFF, or one of the camera raw formats that are built on it, or another raw format.
    TiffOrRaw,
    /// A GIF.
    Gif,
    /// A Windows bitmap.
    Bmp,
    /// JPEG 2000 or JPEG XL.
    LaterJpeg,
    /// A JPEG of a rare kind (lossless, arithmetic coding, 12 bits).
    RareJpeg,
    /// A film, or the moving half of a "live" picture.
    Film,
}

impl Foreign {
    /// The name of the format, as it is used in a sentence after "this is".
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Heic => "a HEIC picture",
            Self::Avif => "an AVIF picture",
            Self::TiffOrRaw => "a TIFF or camera raw picture",
            Self::Gif => "a GIF",
            Self::Bmp => "a BMP bitmap",
            Self::LaterJpeg => "a JPEG 2000 or JPEG XL picture",
            Self::RareJpeg => "a JPEG of a rare kind",
            Self::Film => "a film, not a picture",
        }
    }
}

/// Why a picture cannot be published.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum Fault {
    /// The file has no bytes.
    #[error("the picture file is empty")]
    Empty,
    /// The content is not that of any picture.
    #[error("this file is not a picture, whatever its name says")]
    NotAPicture,
    /// The format is known but cannot be read here.
    #[error("this is {}, which cannot be published as it is", .0.name())]
    Foreign(Foreign),
    /// The file ends before the picture does.
    #[error("the picture is cut short: the end of the file is missing")]
    CutShort,
    /// The file is whole but its content contradicts itself.
    #[error("the picture is damaged inside")]
    Damaged,
    /// The header claims more pixels than we decode. Width and height in pixels, as stored.
    #[error("the picture claims {width} x {height} pixels, more than can be handled")]
    TooManyPixels {
        /// The claimed width in pixels.
        width: u32,
        /// The claimed height in pixels.
        height: u32,
    },
    /// The file has more bytes than we look at.
    #[error("the picture file has {} MB, more than can be handled", .bytes / 1_000_000)]
    TooLarge {
        /// The size of the file in bytes.
        bytes: usize,
    },
}

impl Fault {
    /// A word for programs that never changes: "photo-" and what is wrong, in kebab case.
    #[must_use]
    pub fn code(&self) -> &'static str {
        match self {
            Self::Empty => "photo-empty",
            Self::NotAPicture => "photo-not-a-picture",
            Self::Foreign(_) => "photo-format",
            Self::CutShort => "photo-cut-short",
            Self::Damaged => "photo-damaged",
            Self::TooManyPixels { .. } => "photo-too-many-pixels",
            Self::TooLarge { .. } => "photo-too-large",
        }
    }

    /// What the keeper can do about it, in one or two sentences.
    #[must_use]
    pub fn hint(&self) -> String {
        match self {
            Self::Empty | Self::CutShort => "copy it again from the phone or camera; the copy was \
                                             probably interrupted"
                .to_owned(),
            Self::NotAPicture => "JPEG, PNG and WebP pictures can be used; remove this file or \
                                  put the right one in its place"
                .to_owned(),
            Self::Foreign(kind) => foreign_hint(*kind),
            Self::Damaged => "copy it again; if that does not help, open it in a picture program \
                              and save it again as JPEG"
                .to_owned(),
            Self::TooManyPixels { .. } => {
                format!(
                    "save it again at a smaller size: up to {} million pixels, and no side longer \
                     than {MAX_SIDE}",
                    MAX_PIXELS / 1_000_000
                )
            }
            Self::TooLarge { .. } => {
                format!(
                    "save it again as JPEG with fewer pixels or less quality: up to {} MB can be \
                     used",
                    MAX_FILE_BYTES / 1_000_000
                )
            }
        }
    }
}

/// What to do about a format that cannot be read: how to convert it, and how to avoid it.
fn foreign_hint(kind: Foreign) -> String {
    let convert = "open it and save (export) it as JPEG; JPEG, PNG and WebP pictures can be used";
    let avoid = match kind {
        Foreign::Heic | Foreign::Avif => {
            "; to have the phone write JPEG from now on: on an iPhone choose Settings, Camera, \
             Formats, Most Compatible; on other phones turn off high efficiency (HEIF) pictures in \
             the camera's settings"
        }
        Foreign::TiffOrRaw => {
            "; to have the camera write JPEG from now on, choose JPEG or RAW + JPEG in its menu"
        }
        Foreign::Film => {
            return "take a still from it and save that as JPEG, or remove the file from this \
                    folder"
                .to_owned();
        }
        Foreign::Gif | Foreign::Bmp | Foreign::LaterJpeg | Foreign::RareJpeg => "",
    };
    format!("{convert}{avoid}")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn one_of_each() -> Vec<Fault> {
        vec![
            Fault::Empty,
            Fault::NotAPicture,
            Fault::Foreign(Foreign::Heic),
            Fault::CutShort,
            Fault::Damaged,
            Fault::TooManyPixels {
                width: 60_000,
                height: 60_000,
            },
            Fault::TooLarge { bytes: 61_000_000 },
        ]
    }

    #[test]
    fn codes_are_different_kebab_case_words() {
        let mut codes: Vec<_> = one_of_each().iter().map(Fault::code).collect();
        for code in &codes {
            assert!(code.starts_with("photo-"));
            assert!(
                code.bytes().all(|b| b.is_ascii_lowercase() || b == b'-'),
                "{code}"
            );
        }
        codes.sort_unstable();
        codes.dedup();
        assert_eq!(codes.len(), one_of_each().len());
    }

    #[test]
    fn every_fault_says_what_to_do() {
        for fault in one_of_each() {
            assert!(fault.hint().len() > 30, "{fault}");
            assert!(fault.to_string().starts_with(char::is_lowercase), "{fault}");
        }
    }

    #[test]
    fn a_phone_format_says_how_to_switch_the_phone() {
        let hint = Fault::Foreign(Foreign::Heic).hint();
        assert!(hint.contains("JPEG, PNG and WebP"));
        assert!(hint.contains("Most Compatible"));
        assert!(hint.contains("high efficiency"));
    }
}
