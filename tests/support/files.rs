//! Trees of files and pictures for tests.

use std::fs;
use std::path::Path;
use walkdir::WalkDir;

/// All files below a folder: path with `/` and bytes, in the order of the paths.
pub(crate) fn files(root: &Path) -> Vec<(String, Vec<u8>)> {
    let walk = WalkDir::new(root)
        .sort_by_file_name()
        .into_iter()
        .map(Result::unwrap)
        .filter(|e| e.file_type().is_file());
    let mut files: Vec<_> = walk
        .map(|e| {
            (
                e.path()
                    .strip_prefix(root)
                    .unwrap()
                    .to_string_lossy()
                    .replace('\\', "/"),
                fs::read(e.path()).unwrap(),
            )
        })
        .collect();
    files.sort();
    files
}

#[allow(dead_code, reason = "not every test that lists files makes pictures")]
/// A small JPEG of one shade of grey with `secret` in Exif, XMP, IPTC and a comment.
pub(crate) fn jpeg_with_metadata(shade: u8, secret: &str) -> Vec<u8> {
    let mut plain = Vec::new();
    let picture = image::GrayImage::from_pixel(64, 48, image::Luma([shade]));
    image::DynamicImage::from(picture)
        .write_to(
            &mut std::io::Cursor::new(&mut plain),
            image::ImageFormat::Jpeg,
        )
        .unwrap();
    let mut out = plain[..2].to_vec();
    for (marker, head) in [
        (0xe1, "Exif\0\0"),
        (0xe1, "http://ns.adobe.com/xap/1.0/\0"),
        (0xed, "Photoshop 3.0\0"),
        (0xfe, ""),
    ] {
        let body = [head.as_bytes(), secret.as_bytes()].concat();
        out.extend([0xff, marker]);
        out.extend(u16::try_from(body.len() + 2).unwrap().to_be_bytes());
        out.extend(body);
    }
    out.extend(&plain[2..]);
    out
}
