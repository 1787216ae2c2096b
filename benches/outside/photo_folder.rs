//! The photo pipeline over a folder of pictures, as `publish` runs it: what
//! `photos_against_libvips.py` times.
//!
//! In: a folder of pictures and one for the JPEGs, or `--decode-only` in its place. Out: files
//! named `<picture>-<width>.jpg`, and on the last line the milliseconds a picture took, all threads
//! at work. With `--decode-only` every picture is decoded by the `image` crate and thrown away: the
//! work below which no pipeline can go.
//!
//! Never: part of what is published; it is an example program.

#![allow(
    clippy::cast_precision_loss,
    clippy::disallowed_methods,
    clippy::print_stdout,
    reason = "a bench writes files and tells what it measured"
)]

use std::error::Error;
use std::path::{Path, PathBuf};
use std::time::Instant;

use litterfolio::photos::{Photo, prepare_all};
use rayon::prelude::*;

/// The widths of published pictures, px, as in `src/app/pictures.rs`.
const WIDTHS: [u32; 3] = [480, 960, 1600];

type Outcome<T> = Result<T, Box<dyn Error + Send + Sync>>;

fn main() -> Outcome<()> {
    let mut arguments = std::env::args().skip(1);
    let (Some(from), Some(to)) = (arguments.next(), arguments.next()) else {
        return Err("usage: photo_folder PICTURES (OUT | --decode-only) [THREADS]".into());
    };
    if let Some(threads) = arguments.next() {
        rayon::ThreadPoolBuilder::new()
            .num_threads(threads.parse()?)
            .build_global()?;
    }
    let files = files(Path::new(&from))?;
    let start = Instant::now();
    if to == "--decode-only" {
        files
            .par_iter()
            .with_max_len(1)
            .try_for_each(|file| decode(file))?;
    } else {
        std::fs::create_dir_all(&to)?;
        for done in prepare_all(
            &files,
            &WIDTHS,
            |file| Ok(std::fs::read(file)?),
            |file, photo| write(Path::new(&to), file, &photo),
        ) {
            done?;
        }
    }
    println!(
        "{:.1}",
        start.elapsed().as_secs_f64() * 1000.0 / files.len() as f64
    );
    Ok(())
}

fn files(folder: &Path) -> Outcome<Vec<PathBuf>> {
    let entries: Result<Vec<_>, _> = std::fs::read_dir(folder)?.collect();
    let mut files: Vec<PathBuf> = entries?
        .into_iter()
        .map(|entry| entry.path())
        .filter(|path| path.is_file())
        .collect();
    files.sort();
    if files.is_empty() {
        Err(format!("there is no picture in {}", folder.display()).into())
    } else {
        Ok(files)
    }
}

fn decode(file: &Path) -> Outcome<()> {
    let picture = image::load_from_memory(&std::fs::read(file)?)?;
    // Looked at, so that no compiler leaves the work out.
    std::hint::black_box(picture.as_bytes());
    Ok(())
}

fn write(folder: &Path, file: &Path, photo: &Photo) -> Outcome<()> {
    let stem = file.file_stem().unwrap_or_default().to_string_lossy();
    for rendition in &photo.renditions {
        std::fs::write(
            folder.join(format!("{stem}-{}.jpg", rendition.width)),
            &rendition.jpeg,
        )?;
    }
    Ok(())
}
