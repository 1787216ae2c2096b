//! Prepares all pictures of the records, on all cores, each only once.
//!
//! In: records, the marks of the picture files, the cache. Out: photos with their sizes, and a problem for each picture that cannot be published. A picture whose bytes were prepared before in
//! the same way comes from the cache, and is not read at all; what was prepared goes into the cache, so that a thousand pictures need not be in memory at once.

use super::inputs::Inputs;
use super::progress::Progress;
use crate::audience::{Album, Picture};
use crate::output::{Cache, Content, Kept, Mark};
use crate::pages::{Photos, PictureFile, Prepared};
use crate::photos::{Fault, MAX_FILE_BYTES, Photo, Workroom};
use crate::records::Records;
use crate::records::photo::PhotoFile;
use crate::records::problem::{Place, Problem};
use chrono::NaiveDateTime;
use rayon::prelude::*;
use serde::{Deserialize, Serialize};
use std::collections::BTreeSet;
use std::fs;
use std::sync::Mutex;
use std::sync::atomic::{AtomicBool, Ordering};

/// Widths of published pictures, px.
const WIDTHS: &[u32] = &[480, 960, 1600];
/// The folder of the cache.
const FOLDER: &str = "pictures";

/// Where pictures come from and go to beside their files.
pub(super) struct Store<'a> {
    /// What is known of the files of the content folder.
    pub(super) inputs: &'a Inputs,
    /// The cache.
    pub(super) cache: &'a Cache,
    /// Whether the cache may be written.
    pub(super) may_write: bool,
    /// Whether what is in the cache may be used.
    pub(super) trusted: bool,
}

/// A picture in the cache.
#[derive(Debug, PartialEq, Eq, Serialize, Deserialize)]
struct Stored {
    key: String,
    /// Date and time as text: the camera's local time.
    taken: Option<String>,
    sizes: Vec<(u32, u32, Mark)>,
}

/// What became of the pictures.
#[derive(Debug, Default)]
pub(super) struct Gallery {
    pub(super) photos: Photos,
    pub(super) problems: Vec<Problem>,
    /// Those that were decoded in this run, in order.
    pub(super) made: Vec<String>,
    /// Whether one had other bytes when it was read than when the folder was looked at.
    pub(super) moved: bool,
}

/// Prepares every picture once.
pub(super) fn prepare(records: &Records, store: &Store<'_>, progress: &Progress) -> Gallery {
    let files: Vec<&PhotoFile> = records.litters.values().flat_map(|folder| &folder.photos).chain(records.portraits.values()).collect();
    let step = progress.step("preparing pictures", Some(files.len()));
    let workroom = Workroom::new(rayon::current_num_threads());
    let (made_now, used) = (Mutex::new(BTreeSet::new()), Mutex::new(BTreeSet::new()));
    let moved = AtomicBool::new(false);
    let one = |file: &&PhotoFile| {
        let made = store.one(file, &workroom, &moved, |name, fresh| {
            used.lock().unwrap_or_else(std::sync::PoisonError::into_inner).insert(name);
            if fresh {
                made_now.lock().unwrap_or_else(std::sync::PoisonError::into_inner).insert(file.file.clone());
            }
        });
        step.tick();
        made
    };
    let made: Vec<_> = files.par_iter().with_max_len(1).map(one).collect();
    let mut gallery = Gallery::default();
    for (file, made) in files.iter().zip(made) {
        match made {
            Ok(photo) => _ = gallery.photos.insert(file.file.clone(), photo),
            Err(problem) => gallery.problems.push(*problem),
        }
    }
    gallery.moved = moved.into_inner();
    gallery.made = made_now.into_inner().unwrap_or_default().into_iter().collect();
    if store.may_write {
        let used = used.into_inner().unwrap_or_default();
        store.cache.keep_only(FOLDER, &|name| used.contains(name.split('-').next().unwrap_or("")));
    }
    gallery
}

impl Store<'_> {
    /// One picture, from the cache or made; `moved` is set when it is no longer what was seen, `used` is told under which name it is kept and whether it is fresh.
    fn one(&self, photo: &PhotoFile, workroom: &Workroom, moved: &AtomicBool, used: impl FnOnce(String, bool)) -> Result<Prepared, Box<Problem>> {
        let place = || Place::file(&photo.file);
        let unreadable =
            |error| Problem::error("file-unreadable", place(), format!("this picture cannot be read: {error}"), "look at its permissions");
        let refused = |fault: Fault| Box::new(Problem::error(fault.code(), place(), fault.to_string(), fault.hint()));
        if let Some(mark) = self.inputs.mark(&photo.file)
            && let Some(prepared) = self.cached(&name_of(mark))
        {
            used(name_of(mark), false);
            return Ok(prepared);
        }
        // A file of many gigabytes is refused before it is read into memory.
        let bytes = usize::try_from(fs::metadata(&photo.path).map_err(unreadable)?.len()).unwrap_or(usize::MAX);
        if bytes > MAX_FILE_BYTES {
            return Err(refused(Fault::TooLarge { bytes }));
        }
        let bytes = fs::read(&photo.path).map_err(unreadable)?;
        // What was read is what counts, not what stood there when the folder was listed.
        let mark = Mark::of(&bytes);
        moved.fetch_or(self.inputs.mark(&photo.file) != Some(mark), Ordering::Relaxed);
        let name = name_of(mark);
        let prepared = self.keep(&name, workroom.prepare(&bytes, WIDTHS).map_err(refused)?);
        used(name, true);
        Ok(prepared)
    }

    /// A picture that was prepared before from the same bytes in the same way, when all of it is there.
    fn cached(&self, name: &str) -> Option<Prepared> {
        if !self.trusted {
            return None;
        }
        let Kept::Value(Stored { key, taken, sizes }) = self.cache.load(&format!("{FOLDER}/{name}")) else { return None };
        let file = |(width, height, mark): (u32, u32, Mark)| {
            let place = self.cache.place(&jpeg_name(name, width));
            let whole = fs::metadata(&place).is_ok_and(|found| found.len() == mark.length());
            whole.then(|| PictureFile { width, height, jpeg: Content::in_file(place, mark) })
        };
        let taken = taken.map(|taken| taken.parse::<NaiveDateTime>()).transpose().ok()?;
        Some(Prepared { key, taken, sizes: sizes.into_iter().map(file).collect::<Option<_>>()? })
    }

    /// Keeps a picture, so that its bytes need not stay in memory; where it cannot be kept they do.
    fn keep(&self, name: &str, photo: Photo) -> Prepared {
        let prepared = Prepared::from(photo);
        if !self.may_write {
            return prepared;
        }
        let mut sizes = Vec::new();
        for PictureFile { width, height, jpeg } in &prepared.sizes {
            let kept = jpeg.bytes().is_ok_and(|bytes| self.cache.keep_bytes(&jpeg_name(name, *width), &bytes));
            if !kept {
                return prepared;
            }
            sizes.push((*width, *height, jpeg.mark()));
        }
        let stored = Stored { key: prepared.key.clone(), taken: prepared.taken.map(|taken| taken.format("%Y-%m-%dT%H:%M:%S").to_string()), sizes };
        if !self.cache.keep(&format!("{FOLDER}/{name}"), &stored) {
            return prepared;
        }
        let kept = |PictureFile { width, height, jpeg }: PictureFile| PictureFile {
            width,
            height,
            jpeg: Content::in_file(self.cache.place(&jpeg_name(name, width)), jpeg.mark()),
        };
        Prepared { sizes: prepared.sizes.into_iter().map(kept).collect(), ..prepared }
    }
}

/// What a picture is kept under: its bytes, the widths and the version of the pipeline.
fn name_of(mark: Mark) -> String {
    let mut hash = blake3::Hasher::new();
    hash.update(mark.hash().as_bytes()).update(crate::photos::options(WIDTHS).as_bytes());
    hash.finalize().to_hex()[..40].to_owned()
}

fn jpeg_name(name: &str, width: u32) -> String {
    format!("{FOLDER}/{name}-{width}.jpg")
}

/// What pages need to know of the pictures.
pub(super) fn album(photos: &Photos) -> Album {
    let mut album = Album::default();
    for (file, photo) in photos {
        let sizes = photo.sizes.iter().map(|size| (size.width, size.height)).collect();
        album.insert(file.clone(), Picture { key: photo.key.clone(), sizes, taken: photo.taken.map(|at| at.date().into()) });
    }
    album
}
