//! What a file is, by its first bytes.
//!
//! In: the bytes of a file. Out: one of the three formats that can be read, or the fault that fits.
//! The name of the file is never asked: phones, mail and keepers rename pictures freely.

use super::fault::{Fault, Foreign};
use super::limits::MAX_FILE_BYTES;

/// The formats that can be read.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Format {
    Jpeg,
    Png,
    WebP,
}

/// Says which of the formats we read this is.
///
/// # Errors
/// Empty and oversized files, recognised formats that we do not read, and everything else.
pub(super) fn sniff(bytes: &[u8]) -> Result<Format, Fault> {
    if bytes.is_empty() {
        return Err(Fault::Empty);
    }
    if bytes.len() > MAX_FILE_BYTES {
        return Err(Fault::TooLarge { bytes: bytes.len() });
    }
    if bytes.starts_with(&[0xff, 0xd8, 0xff]) {
        return Ok(Format::Jpeg);
    }
    if bytes.starts_with(b"\x89PNG\r\n\x1a\n") {
        return Ok(Format::Png);
    }
    if bytes.starts_with(b"RIFF") && bytes.get(8..12) == Some(b"WEBP") {
        return Ok(Format::WebP);
    }
    if is_start_of_known(bytes) {
        return Err(Fault::CutShort);
    }
    Err(foreign(bytes).map_or(Fault::NotAPicture, Fault::Foreign))
}

/// A file so short that it ends inside the signature of a format we read.
fn is_start_of_known(bytes: &[u8]) -> bool {
    let inside = |signature: &[u8]| bytes.len() < signature.len() && signature.starts_with(bytes);
    inside(&[0xff, 0xd8, 0xff])
        || inside(b"\x89PNG\r\n\x1a\n")
        || inside(b"RIFF")
        || (bytes.starts_with(b"RIFF") && bytes.len() < 12)
}

/// Recognises formats that keepers do meet but that we do not read.
fn foreign(bytes: &[u8]) -> Option<Foreign> {
    const LATER: [&[u8]; 4] = [
        b"\xff\x0a",
        b"\xff\x4f\xff\x51",
        b"\0\0\0\x0cJXL \r\n",
        b"\0\0\0\x0cjP  \r\n",
    ];
    const RAW: [&[u8]; 6] = [b"II*\0", b"MM\0*", b"IIU\0", b"IIRO", b"FUJIFILM", b"FOVb"];

    if bytes.get(4..8) == Some(b"ftyp") {
        return foreign_by_brands(bytes);
    }
    if LATER.iter().any(|start| bytes.starts_with(start)) {
        return Some(Foreign::LaterJpeg);
    }
    if RAW.iter().any(|start| bytes.starts_with(start)) {
        return Some(Foreign::TiffOrRaw);
    }
    if bytes.starts_with(b"GIF87a") || bytes.starts_with(b"GIF89a") {
        return Some(Foreign::Gif);
    }
    // "BM" alone also opens many a text, so the four reserved zeros are asked for as well.
    if bytes.starts_with(b"BM") && bytes.get(6..10) == Some(&[0; 4]) {
        return Some(Foreign::Bmp);
    }
    None
}

/// Tells the members of the ISO media family apart by the brands in their `ftyp` box.
///
/// HEIF and AVIF share the general brand `mif1`, so all brands are looked at: AVIF first.
fn foreign_by_brands(bytes: &[u8]) -> Option<Foreign> {
    const HEIC: [&[u8; 4]; 8] = [
        b"heic", b"heix", b"heim", b"heis", b"hevc", b"hevx", b"mif1", b"msf1",
    ];
    const FILM: [&[u8; 4]; 8] = [
        b"qt  ", b"isom", b"iso2", b"mp41", b"mp42", b"M4V ", b"avc1", b"3gp4",
    ];

    let claimed = bytes
        .first_chunk::<4>()
        .map_or(0, |size| u32::from_be_bytes(*size));
    let end = usize::try_from(claimed)
        .unwrap_or(usize::MAX)
        .clamp(12, 256)
        .min(bytes.len());
    let brands: Vec<&[u8]> = bytes.get(8..end)?.chunks_exact(4).collect();
    let names = |list: &[&[u8; 4]]| {
        brands
            .iter()
            .any(|brand| list.iter().any(|name| *brand == name.as_slice()))
    };
    if names(&[b"avif", b"avis"]) {
        Some(Foreign::Avif)
    } else if names(&[b"crx "]) {
        Some(Foreign::TiffOrRaw)
    } else if names(&HEIC) {
        Some(Foreign::Heic)
    } else if names(&FILM) || brands.first().is_some_and(|brand| brand.starts_with(b"3g")) {
        Some(Foreign::Film)
    } else {
        None
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn kind(bytes: &[u8]) -> Fault {
        sniff(bytes).unwrap_err()
    }

    #[test]
    fn phone_formats_are_told_apart_by_their_brands() {
        assert_eq!(
            kind(b"\0\0\0\x18ftypheic\0\0\0\0mif1heic"),
            Fault::Foreign(Foreign::Heic)
        );
        assert_eq!(
            kind(b"\0\0\0\x18ftypmif1\0\0\0\0mif1heic"),
            Fault::Foreign(Foreign::Heic)
        );
        assert_eq!(
            kind(b"\0\0\0\x18ftypmif1\0\0\0\0mif1avif"),
            Fault::Foreign(Foreign::Avif)
        );
        assert_eq!(
            kind(b"\0\0\0\x18ftypcrx \0\0\0\x01crx isom"),
            Fault::Foreign(Foreign::TiffOrRaw)
        );
        assert_eq!(
            kind(b"\0\0\0\x14ftypqt  \0\0\0\0qt  "),
            Fault::Foreign(Foreign::Film)
        );
        assert_eq!(kind(b"\0\0\0\x14ftypzzzz\0\0\0\0yyyy"), Fault::NotAPicture);
    }

    #[test]
    fn brands_beyond_the_box_do_not_count() {
        assert_eq!(
            kind(b"\0\0\0\x10ftypisom\0\0\0\0heicheic"),
            Fault::Foreign(Foreign::Film)
        );
    }

    #[test]
    fn other_known_formats_are_named() {
        assert_eq!(kind(b"GIF89a\x01\0"), Fault::Foreign(Foreign::Gif));
        assert_eq!(
            kind(b"BM\x36\0\0\0\0\0\0\0\x36\0\0\0"),
            Fault::Foreign(Foreign::Bmp)
        );
        assert_eq!(kind(b"II*\0\x08\0\0\0"), Fault::Foreign(Foreign::TiffOrRaw));
        assert_eq!(kind(b"\xff\x0a\0\0"), Fault::Foreign(Foreign::LaterJpeg));
    }

    #[test]
    fn text_is_not_a_picture_even_when_it_starts_like_a_bitmap() {
        assert_eq!(kind(b"BMI of the dam at mating"), Fault::NotAPicture);
        assert_eq!(kind(b"hello"), Fault::NotAPicture);
        assert_eq!(kind(&[0; 4096]), Fault::NotAPicture);
    }

    #[test]
    fn a_file_that_ends_in_its_signature_is_cut_short() {
        assert_eq!(kind(b""), Fault::Empty);
        assert_eq!(kind(b"\xff\xd8"), Fault::CutShort);
        assert_eq!(kind(b"\x89PNG"), Fault::CutShort);
        assert_eq!(kind(b"RIFF\x10\0\0\0WE"), Fault::CutShort);
    }

    #[test]
    fn an_oversized_file_is_refused_before_it_is_looked_at() {
        let bytes = vec![0; MAX_FILE_BYTES + 1];
        assert_eq!(kind(&bytes).code(), "photo-too-large");
    }
}
