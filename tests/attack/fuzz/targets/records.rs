//! One file of a small kennel has another text: reading it ends with records or problems, every
//! place is a part of its text, and every problem can be shown.
//!
//! In: a byte that names the file, and a text. Out: no panic.

#![no_main]

#[path = "../../shown.rs"]
mod shown;

use litterfolio::records::load_with;
use std::collections::BTreeMap;
use std::fs;
use std::path::PathBuf;
use std::sync::LazyLock;

/// The kennel of the record cases, as files in a folder.
struct Kennel {
    content: PathBuf,
    paths: Vec<String>,
    _folder: tempfile::TempDir,
}

static KENNEL: LazyLock<Kennel> = LazyLock::new(|| {
    let folder = tempfile::tempdir().unwrap();
    let content = folder.path().join("content");
    let mut paths = Vec::new();
    for section in include_str!("../../../cases/base.txt").split("=== ").skip(1) {
        let (path, text) = section.split_once('\n').unwrap();
        let file = content.join(path);
        fs::create_dir_all(file.parent().unwrap()).unwrap();
        fs::write(file, text).unwrap();
        paths.push(path.to_owned());
    }
    Kennel { content, paths, _folder: folder }
});

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| {
    let Some((which, text)) = bytes.split_first() else { return };
    let path = &KENNEL.paths[usize::from(*which) % KENNEL.paths.len()];
    let files = BTreeMap::from([(path.clone(), String::from_utf8_lossy(text).into_owned())]);
    let now = "2026-10-09T12:00:00Z".parse().unwrap();
    shown::all_can_be_shown(&load_with(&KENNEL.content, now, &files).unwrap());
});
