//! The pictures of a puppy as one file (zip, nothing compressed: JPEGs do not get smaller).
//!
//! In: the pictures of the page and the prepared photos. Out: the file, and where each picture lies
//! in it, so that the sealed page can show them out of the file and holds none twice.
//! Times and permissions in the file are fixed: the same pictures make the same bytes.

use super::Slice;
use super::faults::LetterFault;
use crate::audience::owner::OwnerPicture;
use crate::output::Content;
use crate::{Photos, PictureFile};

use std::io::{Cursor, Write};
use zip::write::SimpleFileOptions;
use zip::{CompressionMethod, DateTime, System, ZipArchive, ZipWriter};

/// Widths that are tried, the best first, px.
const WIDTHS: [u32; 3] = [1600, 960, 480];
/// What all pictures together should stay under, bytes: the sealed page is opened on telephones.
const WANTED: usize = 1_900_000;
/// What they may have at the smallest width; pictures beyond it are left out, bytes.
const MOST: usize = 8_000_000;

/// The bytes of the file, and where its pictures lie.
type Filed = (Vec<u8>, Vec<Slice>);

/// The file and its pictures; nothing where there are none.
pub(super) fn file(
    pictures: &[OwnerPicture],
    photos: &Photos,
) -> Result<Option<Filed>, LetterFault> {
    let chosen = choose(pictures, photos);
    if chosen.is_empty() {
        return Ok(None);
    }
    let options = SimpleFileOptions::default()
        .compression_method(CompressionMethod::Stored)
        .last_modified_time(DateTime::default())
        // The same file on every system.
        .system(System::Unix)
        .unix_permissions(0o644);
    let mut writer = ZipWriter::new(Cursor::new(Vec::new()));
    for (name, rendition) in &chosen {
        writer.start_file(*name, options)?;
        writer
            .write_all(&rendition.jpeg.bytes()?)
            .map_err(zip::result::ZipError::from)?;
    }
    let bytes = writer.finish()?.into_inner();
    let slices = slices(&bytes, &chosen)?;
    Ok(Some((bytes, slices)))
}

/// Bytes of a picture.
fn length_of(jpeg: &Content) -> usize {
    usize::try_from(jpeg.digest().length()).unwrap_or(usize::MAX)
}

/// Reads the file again: where a picture lies is taken from the file itself.
fn slices(bytes: &[u8], chosen: &[(&str, &PictureFile)]) -> Result<Vec<Slice>, LetterFault> {
    let mut archive = ZipArchive::new(Cursor::new(bytes))?;
    let mut slices = Vec::new();
    for (
        name,
        PictureFile {
            width,
            height,
            jpeg,
        },
    ) in chosen
    {
        let at = archive
            .by_name(name)?
            .data_start()
            .and_then(|at| usize::try_from(at).ok());
        slices.extend(at.map(|at| Slice {
            name: (*name).to_owned(),
            at,
            length: length_of(jpeg),
            width: *width,
            height: *height,
        }));
    }
    Ok(slices)
}

/// One rendition of each picture: the widest with which all of them stay small enough together.
fn choose<'a>(pictures: &'a [OwnerPicture], photos: &'a Photos) -> Vec<(&'a str, &'a PictureFile)> {
    let at = |width: u32| -> Vec<(&'a str, &'a PictureFile)> {
        let one = |picture: &'a OwnerPicture| {
            Some((
                picture.name.as_str(),
                near(&photos.get(&picture.file)?.sizes, width)?,
            ))
        };
        pictures.iter().filter_map(one).collect()
    };
    let sum = |chosen: &[(&str, &PictureFile)]| {
        chosen
            .iter()
            .map(|(_, rendition)| length_of(&rendition.jpeg))
            .sum::<usize>()
    };
    let mut chosen = Vec::new();
    for width in WIDTHS {
        chosen = at(width);
        if sum(&chosen) <= WANTED {
            return chosen;
        }
    }
    let mut bytes = 0;
    chosen.retain(|(_, rendition)| {
        let fits = bytes + length_of(&rendition.jpeg) <= MOST;
        bytes = if fits {
            bytes + length_of(&rendition.jpeg)
        } else {
            MOST
        };
        fits
    });
    chosen
}

/// The widest rendition that is not above a width, or else the narrowest there is.
fn near(renditions: &[PictureFile], width: u32) -> Option<&PictureFile> {
    renditions
        .iter()
        .rev()
        .find(|rendition| rendition.width <= width)
        .or(renditions.first())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::Prepared;

    fn album(sizes: &[[usize; 3]]) -> (Vec<OwnerPicture>, Photos) {
        let name = |n: usize| format!("litters/a/photos/{n}.jpg");
        let picture = |n: usize| OwnerPicture {
            file: name(n),
            name: format!("moss-{}.jpg", n + 1),
            key: n.to_string(),
            alt: "Moss".to_owned(),
            caption: None,
        };
        let rendition = |n: usize, (width, bytes): (u32, usize)| PictureFile {
            width,
            height: width / 2,
            jpeg: vec![u8::try_from(n % 251).unwrap(); bytes].into(),
        };
        let photo = |n: usize, sizes: &[usize; 3]| {
            let sizes = [480, 960, 1600]
                .into_iter()
                .zip(*sizes)
                .map(|size| rendition(n, size))
                .collect();
            (
                name(n),
                Prepared {
                    sizes,
                    taken: None,
                    key: n.to_string(),
                },
            )
        };
        (
            (0..sizes.len()).map(picture).collect(),
            sizes
                .iter()
                .enumerate()
                .map(|(n, sizes)| photo(n, sizes))
                .collect(),
        )
    }

    #[test]
    fn pictures_are_as_wide_as_all_of_them_can_be_together() {
        for (count, width) in [(3, 1600), (8, 960), (30, 480)] {
            let (pictures, photos) = album(&vec![[60_000, 200_000, 600_000]; count]);
            let (bytes, slices) = file(&pictures, &photos).unwrap().unwrap();
            assert!(
                slices.len() == count
                    && slices
                        .iter()
                        .all(|s| (s.width, s.height) == (width, width / 2)),
                "{count}: {slices:?}"
            );
            assert!(bytes.len() < 1_910_000, "{}", bytes.len());
        }
    }

    #[test]
    fn more_than_fit_at_the_smallest_width_are_left_out_from_the_first_that_does_not_fit() {
        let (pictures, photos) =
            album(&[[3_000_000; 3], [4_900_000; 3], [200_000; 3], [50_000; 3]]);
        let (_, slices) = file(&pictures, &photos).unwrap().unwrap();
        assert_eq!(
            slices.iter().map(|s| s.name.as_str()).collect::<Vec<_>>(),
            ["moss-1.jpg", "moss-2.jpg"]
        );
    }

    #[test]
    fn every_picture_lies_where_its_slice_says_and_the_file_is_always_the_same() {
        let (pictures, photos) = album(&[[10, 20, 30], [11, 21, 31], [0, 0, 0]]);
        let (bytes, slices) = file(&pictures, &photos).unwrap().unwrap();
        for (n, slice) in slices.iter().enumerate() {
            assert_eq!(
                bytes[slice.at..slice.at + slice.length],
                *photos[&pictures[n].file].sizes[2].jpeg.bytes().unwrap()
            );
        }
        assert_eq!(file(&pictures, &photos).unwrap().unwrap(), (bytes, slices));
    }

    #[test]
    fn pictures_that_were_not_prepared_are_passed_over() {
        let (pictures, mut photos) = album(&[[10, 20, 30], [11, 21, 31]]);
        photos.remove(&pictures[0].file);
        let (_, slices) = file(&pictures, &photos).unwrap().unwrap();
        assert_eq!(
            slices.iter().map(|s| s.name.as_str()).collect::<Vec<_>>(),
            ["moss-2.jpg"]
        );
        assert_eq!(file(&pictures, &Photos::new()).unwrap(), None);
    }
}
