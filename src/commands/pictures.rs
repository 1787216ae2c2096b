//! Prepares all pictures of the records, on all cores.
//!
//! In: records. Out: photos with their sizes, and a problem for each picture that cannot be published.

use crate::audience::{Album, Picture};
use crate::pages::Photos;
use crate::photos::{Fault, MAX_FILE_BYTES, Photo, Workroom};
use crate::records::Records;
use crate::records::photo::PhotoFile;
use crate::records::problem::{Place, Problem};
use rayon::prelude::*;
use std::fs;

/// Widths of published pictures, px.
const WIDTHS: &[u32] = &[480, 960, 1600];

/// Reads and prepares every picture once.
pub(super) fn prepare(records: &Records) -> (Photos, Vec<Problem>) {
    let files: Vec<&PhotoFile> = records.litters.values().flat_map(|folder| &folder.photos).chain(records.portraits.values()).collect();
    let workroom = Workroom::new(rayon::current_num_threads());
    let made: Vec<_> = files.par_iter().with_max_len(1).map(|photo| one(photo, &workroom)).collect();
    let (mut photos, mut problems) = (Photos::new(), Vec::new());
    for (file, made) in files.iter().zip(made) {
        match made {
            Ok(photo) => _ = photos.insert(file.file.clone(), photo),
            Err(problem) => problems.push(*problem),
        }
    }
    (photos, problems)
}

fn one(photo: &PhotoFile, workroom: &Workroom) -> Result<Photo, Box<Problem>> {
    let place = || Place::file(&photo.file);
    let unreadable = |error| Problem::error("file-unreadable", place(), format!("this picture cannot be read: {error}"), "look at its permissions");
    let refused = |fault: Fault| Box::new(Problem::error(fault.code(), place(), fault.to_string(), fault.hint()));
    // A file of many gigabytes is refused before it is read into memory.
    let bytes = usize::try_from(fs::metadata(&photo.path).map_err(unreadable)?.len()).unwrap_or(usize::MAX);
    if bytes > MAX_FILE_BYTES {
        return Err(refused(Fault::TooLarge { bytes }));
    }
    let bytes = fs::read(&photo.path).map_err(unreadable)?;
    workroom.prepare(&bytes, WIDTHS).map_err(refused)
}

/// What pages need to know of the pictures.
pub(super) fn album(photos: &Photos) -> Album {
    let mut album = Album::default();
    for (file, photo) in photos {
        let sizes = photo.renditions.iter().map(|r| (r.width, r.height)).collect();
        album.insert(file.clone(), Picture { key: photo.key.clone(), sizes, taken: photo.taken.map(|at| at.date().into()) });
    }
    album
}
