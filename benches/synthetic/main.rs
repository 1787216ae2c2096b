//! Makes kennels to measure with, and does the plain work that measurements are compared with.
//!
//!     synthetic kennel <DIR> <LITTERS> [PHOTOS-A-LITTER] [FAMILIES]   a kennel made on the spot
//!     synthetic copy <DEST> --in <DIR>... --out <DIR>...               reads every input, writes a
//! plain copy of every output     synthetic stat <DIR>...
//! lists the files and asks the system about each

#![allow(
    clippy::pedantic,
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::disallowed_methods,
    clippy::print_stdout,
    clippy::print_stderr,
    reason = "a tool for measuring may stop where it stands"
)]

mod kennel;

use std::path::{Path, PathBuf};
use std::{env, fs, process};
use walkdir::WalkDir;

fn main() {
    let words: Vec<String> = env::args().skip(1).collect();
    let number = |at: usize| {
        words
            .get(at)
            .map_or(0, |word| word.parse().expect("a number"))
    };
    match words.first().map(String::as_str) {
        Some("kennel") if words.len() >= 3 => {
            kennel::write(
                Path::new(&words[1]),
                kennel::Size {
                    litters: number(2),
                    photos: number(3),
                    families: number(4),
                },
            )
            .unwrap();
        }
        Some("copy") if words.len() >= 3 => {
            let out = words
                .iter()
                .position(|word| word == "--out")
                .expect("--out");
            let inputs = words[2..out].iter().filter(|word| *word != "--in");
            println!(
                "{} files read, {} written",
                inputs.map(|dir| read(dir)).sum::<usize>(),
                words[out + 1..]
                    .iter()
                    .map(|dir| copy(dir, &words[1]))
                    .sum::<usize>()
            );
        }
        Some("stat") => println!(
            "{} files",
            words[1..].iter().map(|dir| stat(dir)).sum::<usize>()
        ),
        _ => {
            eprintln!("see the head of benches/synthetic/main.rs");
            process::exit(2);
        }
    }
}

fn files(dir: &str) -> impl Iterator<Item = PathBuf> {
    WalkDir::new(dir)
        .into_iter()
        .map(Result::unwrap)
        .filter(|entry| entry.file_type().is_file())
        .map(walkdir::DirEntry::into_path)
}

fn read(dir: &str) -> usize {
    files(dir)
        .map(|file| fs::read(file).unwrap())
        .filter(|bytes| bytes.len() < usize::MAX)
        .count()
}

fn copy(dir: &str, to: &str) -> usize {
    let root = Path::new(to).join(Path::new(dir).file_name().unwrap());
    files(dir)
        .map(|file| {
            let place = root.join(file.strip_prefix(dir).unwrap());
            fs::create_dir_all(place.parent().unwrap()).unwrap();
            fs::write(place, fs::read(file).unwrap()).unwrap();
        })
        .count()
}

fn stat(dir: &str) -> usize {
    files(dir)
        .map(|file| fs::metadata(file).unwrap())
        .filter(|found| found.len() < u64::MAX)
        .count()
}
