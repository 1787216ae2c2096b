//! Prepares all pictures of the records, on all cores, each only once.
//!
//! In: records, the digests of the picture files, the store. Out: photos with their sizes, and a
//! problem for each picture that cannot be published. A picture whose bytes were prepared before in
//! the same way comes from the cache, and is not read at all; what was prepared goes into the
//! cache, so that a thousand pictures need not be in memory at once.

use super::inputs::Inputs;
use super::progress::Progress;
use crate::audience::{Album, Picture};
use crate::cache::{Digest, Digester, Store};
use crate::output::Content;
use crate::pages::{Photos, PictureFile, Prepared};
use crate::photos::{Fault, MAX_FILE_BYTES, Photo, Rotation, Workroom};
use crate::records::Records;
use crate::records::litter::PictureTurn;
use crate::records::photo::PhotoFile;
use crate::records::problem::{Place, Problem};
use chrono::NaiveDateTime;
use rayon::prelude::*;
use serde::{Deserialize, Serialize};
use std::collections::BTreeSet;
use std::fs;
use std::sync::Mutex;

/// Widths of published pictures, px.
const WIDTHS: &[u32] = &[480, 960, 1600];
/// The folder of the cache.
const FOLDER: &str = "pictures";

/// Where pictures come from, and where they are kept.
pub struct PictureSources<'a> {
    /// What is known of the files of the content folder.
    pub inputs: &'a Inputs,
    /// Where prepared pictures are kept.
    pub store: &'a Store,
    /// Whether the cache may be written.
    pub may_write: bool,
    /// Whether what is in the cache may be used.
    pub trusted: bool,
}

/// A picture in the cache.
#[derive(Debug, PartialEq, Eq, Serialize, Deserialize)]
struct StoredPicture {
    key: String,
    /// Date and time as text: the camera's local time.
    taken: Option<String>,
    sizes: Vec<(u32, u32, Digest)>,
}

/// What became of the pictures.
#[derive(Debug, Default)]
pub struct Gallery {
    pub photos: Photos,
    pub problems: Vec<Problem>,
    /// Those that were decoded in this run, in order.
    pub made: Vec<String>,
}

/// Prepares every picture once.
pub fn prepare(records: &Records, from: &PictureSources<'_>, progress: &Progress) -> Gallery {
    let files: Vec<&PhotoFile> = records
        .litters
        .values()
        .flat_map(|folder| &folder.photos)
        .chain(records.portraits.values())
        .collect();
    let step = progress.step("preparing pictures", Some(files.len()));
    let workroom = Workroom::new(rayon::current_num_threads());
    let (made_now, used) = (Mutex::new(BTreeSet::new()), Mutex::new(BTreeSet::new()));
    let one = |file: &&PhotoFile| {
        let made = from.one(file, &workroom, |name, fresh| {
            used.lock()
                .unwrap_or_else(std::sync::PoisonError::into_inner)
                .insert(name);
            if fresh {
                made_now
                    .lock()
                    .unwrap_or_else(std::sync::PoisonError::into_inner)
                    .insert(file.file.clone());
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
    gallery.made = made_now
        .into_inner()
        .unwrap_or_default()
        .into_iter()
        .collect();
    if from.may_write {
        let used = used.into_inner().unwrap_or_default();
        from.store.keep_only(FOLDER, &|name| {
            used.contains(name.split('-').next().unwrap_or(""))
        });
    }
    gallery
}

impl PictureSources<'_> {
    /// One picture, from the cache or made; `used` is told under which name it is kept and whether
    /// it is fresh.
    fn one(
        &self,
        photo: &PhotoFile,
        workroom: &Workroom,
        used: impl FnOnce(String, bool),
    ) -> Result<Prepared, Box<Problem>> {
        let place = || Place::file(&photo.file);
        let unreadable = |error| {
            Problem::error(
                "file-unreadable",
                place(),
                format!("this picture cannot be read: {error}"),
                "look at its permissions",
            )
        };
        let refused = |fault: Fault| {
            Box::new(Problem::error(
                fault.code(),
                place(),
                fault.to_string(),
                fault.hint(),
            ))
        };
        let turn = turn_of(photo);
        if let Some(digest) = self.inputs.digest(&photo.path)
            && let Some(prepared) = self.cached(&name_of(digest, turn))
        {
            used(name_of(digest, turn), false);
            return Ok(prepared);
        }
        // A file of many gigabytes is refused before it is read into memory.
        let bytes = usize::try_from(fs::metadata(&photo.path).map_err(unreadable)?.len())
            .unwrap_or(usize::MAX);
        if bytes > MAX_FILE_BYTES {
            return Err(refused(Fault::TooLarge { bytes }));
        }
        let bytes = fs::read(&photo.path).map_err(unreadable)?;
        // What was read is what counts, not what stood there when the folder was listed.
        let digest = Digest::of(&bytes);
        let name = name_of(digest, turn);
        let made = workroom
            .prepare_turned(&bytes, WIDTHS, turn)
            .map_err(refused)?;
        let prepared = self.keep(&name, made);
        used(name, true);
        Ok(prepared)
    }

    /// A picture that was prepared before from the same bytes in the same way, when all of it is
    /// there.
    fn cached(&self, name: &str) -> Option<Prepared> {
        if !self.trusted {
            return None;
        }
        let StoredPicture { key, taken, sizes } = self.store.load(&format!("{FOLDER}/{name}"))?;
        let file = |(width, height, digest): (u32, u32, Digest)| {
            let place = self.store.place(&jpeg_name(name, width));
            let whole = fs::metadata(&place).is_ok_and(|found| found.len() == digest.length());
            whole.then(|| PictureFile {
                width,
                height,
                jpeg: Content::in_file(place, digest),
            })
        };
        let taken = taken
            .map(|taken| taken.parse::<NaiveDateTime>())
            .transpose()
            .ok()?;
        Some(Prepared {
            key,
            taken,
            sizes: sizes.into_iter().map(file).collect::<Option<_>>()?,
        })
    }

    /// Keeps a picture, so that its bytes need not stay in memory; where it cannot be kept they do.
    fn keep(&self, name: &str, photo: Photo) -> Prepared {
        let prepared = Prepared::from(photo);
        if !self.may_write {
            return prepared;
        }
        let mut sizes = Vec::new();
        for PictureFile {
            width,
            height,
            jpeg,
        } in &prepared.sizes
        {
            let kept = jpeg
                .bytes()
                .is_ok_and(|bytes| self.store.keep_bytes(&jpeg_name(name, *width), &bytes));
            if !kept {
                return prepared;
            }
            sizes.push((*width, *height, jpeg.digest()));
        }
        let stored = StoredPicture {
            key: prepared.key.clone(),
            taken: prepared
                .taken
                .map(|taken| taken.format("%Y-%m-%dT%H:%M:%S").to_string()),
            sizes,
        };
        if !self.store.keep(&format!("{FOLDER}/{name}"), &stored) {
            return prepared;
        }
        let kept = |PictureFile {
                        width,
                        height,
                        jpeg,
                    }: PictureFile| PictureFile {
            width,
            height,
            jpeg: Content::in_file(self.store.place(&jpeg_name(name, width)), jpeg.digest()),
        };
        Prepared {
            sizes: prepared.sizes.into_iter().map(kept).collect(),
            ..prepared
        }
    }
}

fn turn_of(photo: &PhotoFile) -> Rotation {
    match photo.turn {
        None => Rotation::None,
        Some(PictureTurn::Right) => Rotation::Right,
        Some(PictureTurn::Half) => Rotation::Half,
        Some(PictureTurn::Left) => Rotation::Left,
    }
}

/// What a picture is kept under: its bytes, the widths, the version of the pipeline and the turn.
fn name_of(digest: Digest, turn: Rotation) -> String {
    let mut name = Digester::default();
    name.digest(&digest)
        .part(crate::photos::options(WIDTHS).as_bytes());
    if turn != Rotation::None {
        name.part(&[turn.quarters()]);
    }
    name.finish().hex()[..40].to_owned()
}

fn jpeg_name(name: &str, width: u32) -> String {
    format!("{FOLDER}/{name}-{width}.jpg")
}

/// What pages need to know of the pictures.
pub fn album(photos: &Photos) -> Album {
    let mut album = Album::default();
    for (file, photo) in photos {
        let sizes = photo
            .sizes
            .iter()
            .map(|size| (size.width, size.height))
            .collect();
        album.insert(
            file.clone(),
            Picture {
                key: photo.key.clone(),
                sizes,
                taken: photo.taken.map(|at| at.date().into()),
            },
        );
    }
    album
}
