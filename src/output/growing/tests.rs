//! A record file that grows: whole at every moment, its rights kept, nothing lost between two.

#![allow(clippy::disallowed_methods, reason = "tests put files where they like")]

use super::*;
use crate::output::fault::{self, Fault, Killed, NO_WAITING};
use std::fs;

/// Adds a line, as a change that cannot be refused.
fn add(home: &Path, line: &str) -> Result<()> {
    let done = grow::<(), ()>(&home.join("state"), "weigh", &home.join("weights.yaml"), |old| {
        let mut bytes = old.unwrap_or_default().to_vec();
        bytes.extend_from_slice(line.as_bytes());
        Ok(Grown { bytes: Some(bytes), told: () })
    });
    done.map(|told| told.unwrap())
}

fn home(text: &str) -> tempfile::TempDir {
    let home = tempfile::tempdir().unwrap();
    fs::write(home.path().join("weights.yaml"), text).unwrap();
    home
}

fn text(home: &Path) -> String {
    fs::read_to_string(home.join("weights.yaml")).unwrap()
}

fn names(home: &Path) -> Vec<String> {
    let mut names: Vec<String> = fs::read_dir(home).unwrap().map(|e| e.unwrap().file_name().to_string_lossy().into_owned()).collect();
    names.sort();
    names
}

#[test]
fn killed_or_refused_at_any_step_the_file_is_the_old_one_or_the_new_one_and_the_next_run_cleans_up() {
    NO_WAITING.set(true);
    let (mut old, mut new) = (0, 0);
    for step in 0..10 {
        for fault in [Fault::KillAt(step), Fault::FullFrom(step), Fault::RefuseAt(step)] {
            let home = home("one\n");
            fault::arm(fault);
            let done = std::panic::catch_unwind(|| add(home.path(), "two\n"));
            fault::arm(Fault::None);
            match text(home.path()).as_str() {
                "one\n" => old += 1,
                "one\ntwo\n" => new += 1,
                other => panic!("{fault:?} left {other:?}"),
            }
            match done {
                Err(payload) => assert!(payload.is::<Killed>()),
                Ok(told) => assert_eq!(told.is_ok(), text(home.path()) == "one\ntwo\n", "{fault:?}: what is told is what is there"),
            }
            add(home.path(), "three\n").unwrap();
            assert!(text(home.path()).ends_with("three\n"));
            assert_eq!(names(home.path()), ["state", "weights.yaml"], "{fault:?} leaves nothing behind");
        }
    }
    assert!(old >= 6 && new >= 6, "{old} old, {new} new");
}

#[test]
fn many_at_once_lose_nothing() {
    let home = home("");
    std::thread::scope(|scope| {
        for thread in 0..4 {
            let home = home.path();
            scope.spawn(move || {
                NO_WAITING.set(true);
                for n in 0..25 {
                    add(home, &format!("{thread} {n}\n")).unwrap();
                }
            });
        }
    });
    let mut lines: Vec<String> = text(home.path()).lines().map(str::to_owned).collect();
    assert_eq!(lines.len(), 100);
    lines.sort();
    lines.dedup();
    assert_eq!(lines.len(), 100);
}

#[test]
fn what_is_refused_or_left_alone_is_not_touched() {
    let home = home("one\n");
    let (state, file) = (home.path().join("state"), home.path().join("weights.yaml"));
    let before = fs::metadata(&file).unwrap().modified().unwrap();
    assert_eq!(grow::<(), _>(&state, "weigh", &file, |_| Err("no")).unwrap(), Err("no"));
    assert_eq!(grow::<_, ()>(&state, "weigh", &file, |old| Ok(Grown { bytes: None, told: old.unwrap().len() })).unwrap(), Ok(4));
    assert_eq!(grow::<_, ()>(&state, "weigh", &file, |old| Ok(Grown { bytes: old.map(<[u8]>::to_vec), told: 7 })).unwrap(), Ok(7));
    assert_eq!(fs::metadata(&file).unwrap().modified().unwrap(), before);
    assert_eq!(names(home.path()), ["state", "weights.yaml"]);
}

#[test]
fn a_file_that_is_not_there_is_made_and_a_folder_is_refused() {
    let home = tempfile::tempdir().unwrap();
    add(home.path(), "one\n").unwrap();
    assert_eq!(text(home.path()), "one\n");
    fs::remove_file(home.path().join("weights.yaml")).unwrap();
    fs::create_dir(home.path().join("weights.yaml")).unwrap();
    assert!(matches!(add(home.path(), "two\n"), Err(WriteError::Unchangeable { why: Unchangeable::NoFile, .. })));
}

#[cfg(unix)]
#[test]
fn rights_stay_links_and_read_only_files_are_refused() {
    use std::os::unix::fs::{PermissionsExt, symlink};
    let home = home("one\n");
    let file = home.path().join("weights.yaml");
    for mode in [0o600, 0o640, 0o664] {
        fs::set_permissions(&file, fs::Permissions::from_mode(mode)).unwrap();
        add(home.path(), "more\n").unwrap();
        assert_eq!(fs::metadata(&file).unwrap().permissions().mode() & 0o777, mode);
    }
    fs::set_permissions(&file, fs::Permissions::from_mode(0o444)).unwrap();
    let error = add(home.path(), "more\n").unwrap_err();
    assert!(matches!(error, WriteError::Unchangeable { why: Unchangeable::ReadOnly, .. }) && error.hint().contains("writable"));
    let other = tempfile::tempdir().unwrap();
    symlink(&file, other.path().join("weights.yaml")).unwrap();
    assert!(matches!(add(other.path(), "more\n"), Err(WriteError::Unchangeable { why: Unchangeable::Link, .. })));
}

#[test]
fn what_the_lock_says_cannot_forge_a_message() {
    assert_eq!(named("weigh, process 12\n"), "weigh, process 12");
    assert_eq!(named("\u{1b}[2J"), "[2J");
    assert_eq!(named(""), "another run");
}
