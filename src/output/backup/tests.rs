//! Backups of small folders, changed byte by byte.
//!
//! In: folders made for one test. Out: either all files, or an error and nothing.

#![allow(clippy::disallowed_methods, reason = "tests put files where they like")]

use super::*;
use sha2::{Digest as _, Sha256};
use std::fs::{self, File};
use std::io::{Cursor, Write};
use std::path::Path;
use tempfile::TempDir;
use zip::ZipWriter;
use zip::write::SimpleFileOptions;

/// A kennel of a few files.
fn kennel() -> TempDir {
    let home = tempfile::tempdir().unwrap();
    for (name, text) in [
        ("content/kennel.yaml", "name: Tarnside\n"),
        ("content/litters/a/litter.yaml", "name: A\r\n"),
        ("content/litters/a/photos/ä 1.jpg", "picture"),
        ("templates/shared/base.css", ""),
        (".gitignore", "/codes.yaml\n"),
        (".litterfolio/history/000001.json", "{}"),
        (".litterfolio/sealed.json", "{}"),
        (".litterfolio/cache/x", "cache"),
        ("public/index.html", "site"),
        ("private/index.html", "book"),
        ("codes.yaml", "secret"),
        ("content/.kennel.yaml.adding-12", "half"),
        ("content/.b.yaml.litterfolio-12", "half"),
        ("README.md", "beside"),
    ] {
        let place = home.path().join("k").join(name);
        fs::create_dir_all(place.parent().unwrap()).unwrap();
        fs::write(place, text).unwrap();
    }
    fs::create_dir_all(home.path().join("k/content/litters/a/photos-private")).unwrap();
    home
}

fn made(home: &Path) -> (BackupList, BackupParts) {
    let (root, state) = (home.join("k"), home.join("k/.litterfolio"));
    write_backup(&BackupWish {
        root: &root,
        state: &state,
        to: &home.join("b.zip"),
        kennel: "Tarnside",
        made: "2026-11-29T18:30:00Z",
        program: "0.1.0",
        sealed: Some("a.b.c.d.e"),
        secrets: SecretsKept::Sealed,
    })
    .unwrap()
}

/// What is tried with the bytes of a file: opened and set up.
fn set_up(home: &Path, bytes: &[u8]) -> Result<(), BackupError> {
    let file = home.join("tried.zip");
    fs::write(&file, bytes).unwrap();
    let tried =
        BackupFile::open(&file).and_then(|mut backup| backup.set_up(&home.join("new"), &[]));
    let names: Vec<String> = fs::read_dir(home)
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .filter(|name| !["k", "b.zip", "tried.zip"].contains(&name.as_str()))
        .collect();
    match &tried {
        Ok(()) => assert_eq!(names, ["new"]),
        Err(_) => assert!(names.is_empty(), "{names:?}"),
    }
    tried
}

#[test]
fn everything_that_counts_goes_in_and_comes_out_as_it_was() {
    let home = kennel();
    let (list, parts) = made(home.path());
    let names: Vec<&str> = list.files.iter().map(|file| file.path.as_str()).collect();
    assert_eq!(
        names,
        [
            ".gitignore",
            ".litterfolio/history/000001.json",
            ".litterfolio/sealed.json",
            "content/kennel.yaml",
            "content/litters/a/litter.yaml",
            "content/litters/a/photos/ä 1.jpg",
            "templates/shared/base.css",
        ]
    );
    assert_eq!(list.folders, ["content/litters/a/photos-private"]);
    assert!(parts.left_out.is_empty());
    set_up(home.path(), &fs::read(home.path().join("b.zip")).unwrap()).unwrap();
    for name in names {
        assert_eq!(
            fs::read(home.path().join("new").join(name)).unwrap(),
            fs::read(home.path().join("k").join(name)).unwrap(),
            "{name}"
        );
    }
    assert!(
        home.path()
            .join("new/content/litters/a/photos-private")
            .is_dir()
    );
    assert_eq!(fs::read_dir(home.path().join("new")).unwrap().count(), 4);
    let mut again = BackupFile::open(&home.path().join("b.zip")).unwrap();
    assert_eq!(again.secrets().unwrap().as_deref(), Some("a.b.c.d.e"));
}

#[test]
fn a_change_of_any_byte_and_any_cut_is_noticed() {
    let home = kennel();
    made(home.path());
    let bytes = fs::read(home.path().join("b.zip")).unwrap();
    for at in 0..bytes.len() {
        let mut changed = bytes.clone();
        changed[at] ^= 1 << (at % 8);
        set_up(home.path(), &changed).unwrap_err();
    }
    for length in (0..bytes.len()).step_by(5) {
        set_up(home.path(), &bytes[..length]).unwrap_err();
    }
    set_up(home.path(), &[&bytes[..], b"\n"].concat()).unwrap_err();
}

/// A zip file of these files with a list and a hash that fit, as somebody with bad intent makes it.
fn forged(files: &[(&str, &str)], listed: &[&str], notation: u32) -> Vec<u8> {
    let mut zip = ZipWriter::new(Cursor::new(Vec::new()));
    let options = SimpleFileOptions::default().compression_method(zip::CompressionMethod::Stored);
    let sum = |text: &str| super::reading::hexadecimal(Sha256::new_with_prefix(text));
    let list = serde_json::json!({
        "kind": KIND, "notation": notation, "kennel": "K", "made": "now", "program": "9.9",
        "secrets": "none", "folders": [],
        "files": listed.iter().map(|path| {
            let text = files.iter().find(|(name, _)| *name == format!("kennel/{path}"));
            let text = text.map_or("", |(_, text)| text);
            serde_json::json!({ "path": path, "bytes": text.len(), "sha256": sum(text) })
        }).collect::<Vec<_>>(),
    });
    for (name, text) in files
        .iter()
        .copied()
        .chain([(ABOUT, ""), (LIST, list.to_string().as_str())])
    {
        zip.start_file(name, options).unwrap();
        zip.write_all(text.as_bytes()).unwrap();
    }
    zip.set_comment(format!("{COMMENT}{}", "0".repeat(64)))
        .unwrap();
    let mut bytes = zip.finish().unwrap().into_inner();
    let end = bytes.len() - 64;
    let hash = super::reading::hexadecimal(Sha256::new_with_prefix(&bytes[..end]));
    bytes.truncate(end);
    bytes.extend(hash.bytes());
    bytes
}

#[test]
fn no_name_in_a_backup_leads_elsewhere() {
    let home = kennel();
    let whole = forged(&[("kennel/content/a.yaml", "a")], &["content/a.yaml"], 1);
    set_up(home.path(), &whole).unwrap();
    fs::remove_dir_all(home.path().join("new")).unwrap();
    for name in [
        "../new2/a.yaml",
        "content/../../a.yaml",
        "/tmp/a.yaml",
        "content/a\\..\\..\\b.yaml",
        "C:/a.yaml",
        "codes.yaml",
        "public/index.html",
    ] {
        let file = format!("kennel/{name}");
        let error = set_up(home.path(), &forged(&[(&file, "a")], &[name], 1)).unwrap_err();
        assert!(matches!(error, BackupError::Name { .. }), "{name}: {error}");
    }
    for (files, listed) in [
        // Something that is not listed, and something that is not there.
        (
            vec![("kennel/content/a.yaml", "a"), ("kennel/x", "b")],
            vec!["content/a.yaml"],
        ),
        (
            vec![("kennel/content/a.yaml", "a")],
            vec!["content/a.yaml", "content/b.yaml"],
        ),
        (
            vec![("kennel/content/a.yaml", "a")],
            vec!["content/a.yaml", "content/a.yaml"],
        ),
        // A file where a folder must be.
        (
            vec![("kennel/content/a", "a"), ("kennel/content/a/b", "b")],
            vec!["content/a", "content/a/b"],
        ),
    ] {
        set_up(home.path(), &forged(&files, &listed, 1)).unwrap_err();
    }
    let later = forged(&[("kennel/content/a.yaml", "a")], &["content/a.yaml"], 2);
    let error = set_up(home.path(), &later).unwrap_err();
    assert!(matches!(error, BackupError::Later { .. }), "{error}");
    let error = set_up(home.path(), b"PK\x03\x04 some other file").unwrap_err();
    assert!(matches!(error, BackupError::NotOne { .. }), "{error}");
}

#[test]
fn a_kennel_is_set_up_in_an_empty_folder_only() {
    let home = kennel();
    made(home.path());
    let mut backup = BackupFile::open(&home.path().join("b.zip")).unwrap();
    let taken = |backup: &mut BackupFile, to: &str| {
        let error = backup.set_up(&home.path().join(to), &[]).unwrap_err();
        assert!(matches!(error, BackupError::Taken { .. }), "{error}");
    };
    taken(&mut backup, "k");
    taken(&mut backup, "b.zip");
    // What a killed run left is swept; what a living one holds is not.
    let left = home.path().join(".empty.restoring-1");
    let held = home.path().join(".empty.restoring-2");
    for folder in [&left, &held] {
        fs::create_dir(folder).unwrap();
        fs::write(folder.join(".at-work"), "").unwrap();
    }
    let lock = File::open(held.join(".at-work")).unwrap();
    fs4::FileExt::lock(&lock).unwrap();
    fs::create_dir(home.path().join("empty")).unwrap();
    let secrets = [("codes.yaml".to_owned(), b"secret".to_vec())];
    backup.set_up(&home.path().join("empty"), &secrets).unwrap();
    assert!(!left.exists() && held.exists());
    assert_eq!(
        fs::read(home.path().join("empty/codes.yaml")).unwrap(),
        b"secret"
    );
    assert!(!home.path().join("empty/.at-work").exists());
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        let mode = |name: &str| {
            let found = fs::metadata(home.path().join("empty").join(name)).unwrap();
            found.permissions().mode() & 0o777
        };
        assert_eq!(mode("codes.yaml"), 0o600);
        assert_eq!(mode(".litterfolio"), 0o700);
        assert_eq!(mode(".litterfolio/history/000001.json"), 0o600);
    }
}

#[cfg(unix)]
#[test]
fn links_are_told_and_not_followed() {
    let home = kennel();
    let at = home.path().join("k/content/away");
    std::os::unix::fs::symlink(home.path(), &at).unwrap();
    let parts = collect(&home.path().join("k")).unwrap();
    assert_eq!(
        parts.left_out,
        [("content/away".to_owned(), "it is a link to another place")]
    );
}
