//! Backups from the command line: made, looked at, set up elsewhere; damaged, killed, without room.
//!
//! In: kennels made for one test. Out: all files as they were, or a word and nothing in place.
//! Hashes are SHA-256 (FIPS 180-4), the file is a zip file (PKWARE APPNOTE 6.3).

use crate::support::{Kennel, Ran, program, tree};
use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};
use tempfile::TempDir;

const PHRASE: &str = "wet grass after rain";

/// The demo kennel, with its pictures repeated until there are 200.
fn demo_with_200_pictures() -> Kennel {
    let kennel = Kennel::empty();
    let demo = tree(&Path::new(env!("CARGO_MANIFEST_DIR")).join("content"));
    let mut pictures = 0;
    for (file, bytes) in &demo {
        kennel.write_bytes(file, bytes);
        pictures += u32::from(file.contains("/photos/"));
    }
    let drawn: Vec<_> = demo
        .iter()
        .filter(|(file, _)| file.contains("/photos/"))
        .collect();
    for n in pictures..200 {
        let (file, bytes) = drawn[n as usize % drawn.len()];
        let (stem, ending) = file.rsplit_once('.').unwrap();
        kennel.write_bytes(&format!("{stem}-{n}.{ending}"), bytes);
    }
    fs::create_dir_all(kennel.at("templates/shared")).unwrap();
    fs::write(
        kennel.at("templates/shared/base.css"),
        "body { color: #222 }\n",
    )
    .unwrap();
    kennel
}

/// A kennel whose families have codes.
fn with_codes() -> Kennel {
    let kennel = Kennel::published();
    assert!(kennel.at("codes.yaml").exists());
    kennel
}

fn run(arguments: &[&str], passphrase: Option<&str>) -> Ran {
    let mut command = Command::new(program());
    command.args(arguments).stdin(Stdio::null());
    match passphrase {
        Some(passphrase) => command.env("LITTERFOLIO_PASSPHRASE", passphrase),
        None => command.env_remove("LITTERFOLIO_PASSPHRASE"),
    };
    Ran::of(&mut command)
}

fn text(path: &Path) -> &str {
    path.to_str().unwrap()
}

/// A backup of a kennel in a folder of its own.
fn backup(kennel: &Kennel, passphrase: Option<&str>) -> (TempDir, PathBuf) {
    let home = tempfile::tempdir().unwrap();
    let made = run(
        &["--kennel", text(kennel.path()), "backup", text(home.path())],
        passphrase,
    );
    made.ends_with(0);
    let file = PathBuf::from(made.out.lines().next().unwrap());
    assert_eq!(
        fs::read_dir(home.path()).unwrap().count(),
        1,
        "one file and nothing beside it"
    );
    (home, file)
}

/// What a backup promises to keep.
fn kept(kennel: &Path) -> BTreeMap<String, Vec<u8>> {
    let all = tree(kennel).into_iter();
    all.filter(|(file, _)| {
        ["content/", "templates/", ".litterfolio/history/"]
            .iter()
            .any(|folder| file.starts_with(folder))
            || [
                "codes.yaml",
                "signing-keys.json",
                ".gitignore",
                ".litterfolio/sealed.json",
            ]
            .contains(&file.as_str())
    })
    .collect()
}

#[test]
fn a_demo_with_200_pictures_comes_back_whole_on_another_path() {
    let kennel = demo_with_200_pictures();
    let (home, file) = backup(&kennel, None);
    run(&["restore", "--check", text(&file)], None).ends_with(0);
    // Blanks and letters of several bytes are no matter.
    let to = home.path().join("another päth/the kennel");
    run(&["restore", text(&file), text(&to)], None).ends_with(0);
    let (before, after) = (kept(kennel.path()), kept(&to));
    assert!(before.len() > 220, "{}", before.len());
    assert!(before == after, "all files are equal");
    let inspected = |kennel: &Path| run(&["--kennel", text(kennel), "inspect", "--json"], None).out;
    assert_eq!(inspected(kennel.path()), inspected(&to));
    // It is never set up over something.
    let again = run(&["restore", text(&file), text(&to)], None);
    again.ends_with(2).says(&["it is not empty"]);
    assert!(kept(&to) == after);
}

#[test]
fn a_folder_with_nothing_but_what_a_file_manager_put_there_is_empty() {
    let kennel = with_codes();
    let (home, file) = backup(&kennel, None);
    let to = home.path().join("looked at");
    fs::create_dir(&to).unwrap();
    fs::write(to.join(".DS_Store"), "of a file manager").unwrap();
    fs::write(to.join("theirs.txt"), "a letter").unwrap();
    let refused = run(&["restore", text(&file), text(&to)], None);
    refused.ends_with(2).says(&["it is not empty"]);
    assert!(to.join(".DS_Store").is_file() && to.join("theirs.txt").is_file());
    fs::remove_file(to.join("theirs.txt")).unwrap();
    run(&["restore", text(&file), text(&to)], None).ends_with(0);
    assert!(to.join("content/kennel.yaml").is_file() && !to.join(".DS_Store").exists());
}

#[test]
fn codes_and_keys_are_sealed_or_left_out_and_what_is_missing_is_told() {
    let kennel = with_codes();
    let codes = fs::read_to_string(kennel.at("codes.yaml")).unwrap();
    let code = codes
        .split("code: ")
        .nth(1)
        .unwrap()
        .lines()
        .next()
        .unwrap()
        .trim_matches('"');
    let (home, sealed) = backup(&kennel, Some(PHRASE));
    let bytes = fs::read(&sealed).unwrap();
    let holds = |what: &str| {
        bytes
            .windows(what.len())
            .any(|window| window == what.as_bytes())
    };
    assert!(holds("Tarnside") && !holds(code) && !holds(PHRASE));
    // The same again elsewhere: nothing has to be sealed anew but for the site, which is not there.
    let to = home.path().join("new");
    let restore = |passphrase, more: &[&str]| {
        let arguments = [&["restore", text(&sealed), text(&to)], more].concat();
        run(&arguments, passphrase)
    };
    restore(Some("wet grass after Rain"), &[])
        .ends_with(2)
        .says(&["does not open"]);
    restore(Some("short"), &[])
        .ends_with(2)
        .says(&["cannot be the passphrase"]);
    restore(None, &[])
        .ends_with(2)
        .says(&["LITTERFOLIO_PASSPHRASE"]);
    assert!(!to.exists());
    restore(Some(PHRASE), &[]).ends_with(0);
    assert!(kept(&to) == kept(kennel.path()));
    let published = run(&["--kennel", text(&to), "publish"], None);
    published.ends_with(0);
    assert!(!published.err.contains("was drawn"), "{}", published.err);
    assert_eq!(fs::read_to_string(to.join("codes.yaml")).unwrap(), codes);
    // Without them it is told what is missing, and none is drawn in silence.
    fs::remove_dir_all(&to).unwrap();
    let without = restore(None, &["--without-secrets"]);
    assert!(
        without.ends_with(0).out.contains("are not there"),
        "{}",
        without.out
    );
    run(&["--kennel", text(&to), "inspect"], None)
        .ends_with(1)
        .says(&["codes.yaml", "is missing", "recode --all"]);
    run(&["--kennel", text(&to), "publish"], None).ends_with(2);
    let refused = run(
        &["--kennel", text(kennel.path()), "backup", text(home.path())],
        Some("short"),
    );
    refused
        .ends_with(2)
        .says(&["at least 12 characters", "no backup was made"]);
}

#[test]
fn a_damaged_backup_is_told_and_nothing_is_put_in_place() {
    let kennel = Kennel::base();
    let (home, file) = backup(&kennel, None);
    let bytes = fs::read(&file).unwrap();
    let to = home.path().join("new");
    let tried = |bytes: &[u8], words: &str| {
        let file = home.path().join("tried.zip");
        fs::write(&file, bytes).unwrap();
        run(&["restore", text(&file), text(&to)], None)
            .ends_with(2)
            .says(&[words]);
        run(&["restore", "--check", text(&file)], None).ends_with(2);
        assert_eq!(
            fs::read_dir(home.path()).unwrap().count(),
            2,
            "nothing else is there"
        );
    };
    // Every byte is tried in `src/output/backup/tests.rs`.
    for at in (0..bytes.len()).step_by(bytes.len() / 9) {
        let mut changed = bytes.clone();
        changed[at] ^= 4;
        tried(&changed, "");
    }
    tried(&bytes[..bytes.len() / 2], "may not have been copied whole");
    tried(b"", "is no backup of a kennel");
    tried(b"hello", "is no backup of a kennel");
    run(
        &["restore", text(&home.path().join("none.zip")), text(&to)],
        None,
    )
    .ends_with(2);
    run(&["restore", text(home.path()), text(&to)], None).ends_with(2);
}

#[test]
fn a_backup_goes_only_where_it_can_be_found_again() {
    let kennel = with_codes();
    let refused = |to: &str, words: &str| {
        run(
            &[
                "--kennel",
                text(kennel.path()),
                "backup",
                to,
                "--without-secrets",
            ],
            None,
        )
        .ends_with(2)
        .says(&[words]);
    };
    for inside in [
        "content",
        "public",
        "private",
        ".litterfolio",
        "content/dogs",
    ] {
        refused(text(&kennel.at(inside)), "belongs to the kennel itself");
    }
    refused(text(&kennel.at("no-stick")), "there is no such folder");
    assert!(!kennel.at("no-stick").exists());
    fs::write(kennel.at("mine.zip"), "mine").unwrap();
    refused(text(&kennel.at("mine.zip")), "a backup replaces nothing");
    assert_eq!(fs::read(kennel.at("mine.zip")).unwrap(), b"mine");
    // Records that cannot be read are kept all the same.
    kennel.write("kennel.yaml", "name: [\n");
    let (home, file) = backup(&kennel, None);
    let to = home.path().join("new");
    run(&["restore", text(&file), text(&to)], None).ends_with(0);
    assert_eq!(
        fs::read_to_string(to.join("content/kennel.yaml")).unwrap(),
        "name: [\n"
    );
}

#[cfg(unix)]
#[test]
fn a_full_disk_leaves_no_backup_and_no_kennel() {
    let kennel = Kennel::base();
    kennel.write_bytes("litters/spring/photos/moss-1.jpg", &vec![7; 300_000]);
    let (home, file) = backup(&kennel, None);
    // A limit on the size of files stands in for a full disk, in blocks of 512 or 1024 bytes.
    let limited = |arguments: &[&str]| {
        let script = "trap '' XFSZ; ulimit -f 100; exec \"$0\" \"$@\"";
        Ran::of(
            Command::new("sh")
                .args(["-c", script])
                .arg(program())
                .args(arguments),
        )
    };
    let into = tempfile::tempdir().unwrap();
    let made = limited(&["--kennel", text(kennel.path()), "backup", text(into.path())]);
    made.ends_with(2).says(&["cannot write"]);
    assert!(!made.err.contains("Zip"), "{}", made.err);
    assert_eq!(fs::read_dir(into.path()).unwrap().count(), 0);
    let to = into.path().join("new");
    limited(&["restore", text(&file), text(&to)])
        .ends_with(2)
        .says(&["cannot write"]);
    assert_eq!(fs::read_dir(into.path()).unwrap().count(), 0);
    drop(home);
}

#[cfg(unix)]
#[test]
fn killed_at_any_moment_there_is_a_whole_backup_or_none() {
    let kennel = Kennel::base();
    for n in 0..40 {
        let name = format!("litters/spring/photos/moss-{n}.jpg");
        kennel.write_bytes(&name, &vec![n; 1_000_000]);
    }
    let home = tempfile::tempdir().unwrap();
    let (file, to) = (home.path().join("b.zip"), home.path().join("new"));
    let (folder, backup) = (text(kennel.path()), text(&file));
    let making = ["--kennel", folder, "backup", backup];
    let restoring = ["restore", backup, text(&to)];
    let kill = |arguments: &[&str], after: Duration| {
        let mut child = Command::new(program())
            .args(arguments)
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .spawn()
            .unwrap();
        std::thread::sleep(after);
        let _ = child.kill();
        child.wait().unwrap().success()
    };
    // Moments as far apart as a twelfth of a whole run.
    let twelfth = |arguments: &[&str], made: &Path| {
        let began = Instant::now();
        run(arguments, None).ends_with(0);
        let took = began.elapsed();
        if made.is_dir() {
            fs::remove_dir_all(made).unwrap();
        } else {
            fs::remove_file(made).unwrap();
        }
        took / 12
    };
    let apart = twelfth(&making, &file);
    let mut killed = 0;
    while !file.exists() {
        assert!(!kill(&making, apart * killed) || file.exists());
        killed += 1;
    }
    run(&["restore", "--check", backup], None).ends_with(0);
    assert!(killed > 3, "killed {killed} times");
    let apart = twelfth(&restoring, &to);
    killed = 0;
    while !to.exists() {
        kill(&restoring, apart * killed);
        killed += 1;
    }
    assert!(killed > 3, "killed {killed} times");
    assert!(kept(&to) == kept(kennel.path()));
    // What killed runs left is gone with the next that goes well.
    fs::remove_dir_all(&to).unwrap();
    run(&restoring, None).ends_with(0);
    fs::remove_file(&file).unwrap();
    run(&making, None).ends_with(0);
    let mut names: Vec<_> = fs::read_dir(home.path())
        .unwrap()
        .map(|entry| entry.unwrap().file_name())
        .collect();
    names.sort();
    assert_eq!(names, ["b.zip", "new"]);
}
