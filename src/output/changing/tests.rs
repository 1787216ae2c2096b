//! Record files that change: whole at every moment, their rights kept, nothing lost between two,
//! all of them or none.

#![allow(clippy::disallowed_methods, reason = "tests put files where they like")]

use super::*;
use crate::fault::{self, Killed, Mishap, NO_WAITING};
use std::fs;
use std::path::Path;

/// Adds a line, as a change that cannot be refused.
fn add(home: &Path, line: &str) -> Result<()> {
    several(home, &["weights.yaml"], line, &[])
}

/// Adds a line to several files and moves others.
fn several(home: &Path, names: &[&str], line: &str, moves: &[(&str, &str)]) -> Result<()> {
    let asked = Asked {
        who: "weigh".to_owned(),
        ..Asked::default()
    };
    let done = change::<(), ()>(&home.join("state"), home, &asked, |reading| {
        let mut files = BTreeMap::new();
        for name in names {
            let mut bytes = reading.file(name)?.unwrap_or_default();
            bytes.extend_from_slice(line.as_bytes());
            files.insert((*name).to_owned(), Some(bytes));
        }
        let moves = moves
            .iter()
            .map(|(from, to)| ((*from).to_owned(), (*to).to_owned()))
            .collect();
        Ok(Ok(Wish {
            files,
            moves,
            told: (),
        }))
    });
    done.map(|told| told.unwrap().0)
}

/// Lets a function give the file other bytes.
fn grow<T, E>(
    home: &Path,
    mut make: impl FnMut(Option<&[u8]>) -> std::result::Result<(Option<Vec<u8>>, T), E>,
) -> std::result::Result<T, E> {
    let asked = Asked {
        who: "weigh".to_owned(),
        ..Asked::default()
    };
    let done = change(&home.join("state"), home, &asked, |reading| {
        let old = reading.file("weights.yaml")?;
        Ok(make(old.as_deref()).map(|(new, told)| {
            let files = new
                .map(|new| ("weights.yaml".to_owned(), Some(new)))
                .into_iter()
                .collect();
            Wish {
                files,
                moves: Vec::new(),
                told,
            }
        }))
    });
    done.unwrap().map(|(told, _)| told)
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
    let mut names: Vec<String> = fs::read_dir(home)
        .unwrap()
        .map(|e| e.unwrap().file_name().to_string_lossy().into_owned())
        .collect();
    names.sort();
    names
}

#[test]
fn killed_or_refused_at_any_step_the_file_is_the_old_one_or_the_new_one_and_the_next_run_cleans_up()
{
    NO_WAITING.set(true);
    let (mut old, mut new) = (0, 0);
    for step in 0..14 {
        for fault in [
            Mishap::KillAt(step),
            Mishap::FullFrom(step),
            Mishap::RefuseAt(step),
        ] {
            let home = home("one\n");
            fault::arm(fault);
            let done = std::panic::catch_unwind(|| add(home.path(), "two\n"));
            fault::arm(Mishap::None);
            match text(home.path()).as_str() {
                "one\n" => old += 1,
                "one\ntwo\n" => new += 1,
                other => panic!("{fault:?} left {other:?}"),
            }
            match done {
                Err(payload) => assert!(payload.is::<Killed>()),
                Ok(told) => assert_eq!(
                    told.is_ok(),
                    text(home.path()) == "one\ntwo\n",
                    "{fault:?}: what is told is what is there"
                ),
            }
            add(home.path(), "three\n").unwrap();
            assert!(text(home.path()).ends_with("three\n"));
            assert_eq!(
                names(home.path()),
                ["state", "weights.yaml"],
                "{fault:?} leaves nothing behind"
            );
        }
    }
    assert!(old >= 6 && new >= 6, "{old} old, {new} new");
}

/// An editor reads a file and saves it under its name with one line more.
fn saves(home: &Path) {
    let file = home.join("weights.yaml");
    let waiting = home.join(".weights.swp");
    fs::write(&waiting, text(home) + "editor\n").unwrap();
    fs::rename(waiting, file).unwrap();
}

#[test]
fn what_an_editor_saves_at_any_step_stays_also_when_the_run_is_killed_right_then() {
    NO_WAITING.set(true);
    let mut met = 0;
    for step in 0..14 {
        for fault in [
            Mishap::None,
            Mishap::KillAt(step + 1),
            Mishap::KillAt(step + 2),
            Mishap::RefuseAt(step + 1),
            Mishap::RefuseAt(step + 2),
        ] {
            let home = home("one\n");
            let place = home.path().to_owned();
            fault::arm(fault);
            fault::invite(step, move || saves(&place));
            let done = std::panic::catch_unwind(|| add(home.path(), "two\n"));
            fault::arm(Mishap::None);
            if fault::guest_waits() {
                fault::invite(0, || {});
                fault::strike("look").unwrap();
                continue;
            }
            met += 1;
            add(home.path(), "three\n").unwrap();
            let text = text(home.path());
            let has = |line: &str| text.lines().filter(|other| *other == line).count();
            assert_eq!(has("editor"), 1, "step {step}, {fault:?}: {text}");
            let is_told = matches!(done, Ok(Ok(())));
            assert!(
                has("two") == 1 || (!is_told && has("two") == 0),
                "step {step}, {fault:?}: {text}"
            );
            assert_eq!(names(home.path()), ["state", "weights.yaml"], "{fault:?}");
        }
    }
    assert!(met >= 24, "{met}");
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
    let file = home.path().join("weights.yaml");
    let before = fs::metadata(&file).unwrap().modified().unwrap();
    assert_eq!(grow::<(), _>(home.path(), |_| Err("no")), Err("no"));
    assert_eq!(
        grow::<_, ()>(home.path(), |old| Ok((None, old.unwrap().len()))),
        Ok(4)
    );
    assert_eq!(
        grow::<_, ()>(home.path(), |old| Ok((old.map(<[u8]>::to_vec), 7))),
        Ok(7)
    );
    assert!(
        history::numbers(&home.path().join("state")).is_empty(),
        "nothing changed, and nothing is told of it"
    );
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
    assert!(matches!(
        add(home.path(), "two\n"),
        Err(WriteError::Unchangeable {
            why: Unchangeable::NoFile,
            ..
        })
    ));
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
        assert_eq!(
            fs::metadata(&file).unwrap().permissions().mode() & 0o777,
            mode
        );
    }
    fs::set_permissions(&file, fs::Permissions::from_mode(0o444)).unwrap();
    let error = add(home.path(), "more\n").unwrap_err();
    assert!(
        matches!(
            error,
            WriteError::Unchangeable {
                why: Unchangeable::ReadOnly,
                ..
            }
        ) && error.hint().contains("writable")
    );
    let other = tempfile::tempdir().unwrap();
    symlink(&file, other.path().join("weights.yaml")).unwrap();
    assert!(matches!(
        add(other.path(), "more\n"),
        Err(WriteError::Unchangeable {
            why: Unchangeable::Link,
            ..
        })
    ));
}

#[test]
fn what_the_lock_says_cannot_forge_a_message() {
    let named = crate::locking::named;
    assert_eq!(named("weigh, process 12\n"), "weigh, process 12");
    assert_eq!(named("\u{1b}[2J"), "[2J");
    assert_eq!(named(""), "another run");
}

/// The three files of a change of several, and what moves with it.
fn of_several(home: &Path) -> (Vec<String>, bool) {
    let read = |name: &str| fs::read_to_string(home.join(name)).unwrap_or_default();
    (
        ["a.yaml", "b.yaml", "notes/c.md"].map(read).to_vec(),
        home.join("new.jpg").exists(),
    )
}

#[test]
fn a_change_of_several_files_is_made_whole_or_not_at_all() {
    NO_WAITING.set(true);
    let files = ["a.yaml", "b.yaml", "notes/c.md"];
    let (mut old, mut new, mut mended) = (0, 0, 0);
    for step in 0..45 {
        for fault in [
            Mishap::KillAt(step),
            Mishap::FullFrom(step),
            Mishap::RefuseAt(step),
        ] {
            let home = tempfile::tempdir().unwrap();
            for (name, text) in [
                ("a.yaml", "one\n"),
                ("b.yaml", "one\n"),
                ("old.jpg", "picture"),
            ] {
                fs::write(home.path().join(name), text).unwrap();
            }
            fault::arm(fault);
            let done = std::panic::catch_unwind(|| {
                several(home.path(), &files, "two\n", &[("old.jpg", "new.jpg")])
            });
            fault::arm(Mishap::None);
            let before = of_several(home.path());
            let number = recover(&home.path().join("state"), home.path()).unwrap();
            let after = of_several(home.path());
            mended += usize::from(before != after);
            let was = (
                vec!["one\n".to_owned(), "one\n".to_owned(), String::new()],
                false,
            );
            let is = (
                vec![
                    "one\ntwo\n".to_owned(),
                    "one\ntwo\n".to_owned(),
                    "two\n".to_owned(),
                ],
                true,
            );
            assert!(after == was || after == is, "{fault:?} left {after:?}");
            if after == is {
                new += 1;
            } else {
                old += 1;
            }
            match done {
                Err(payload) => assert!(payload.is::<Killed>()),
                Ok(Ok(())) => assert_eq!(after, is, "{fault:?}: what is confirmed is there"),
                Ok(Err(WriteError::Begun { .. })) => {}
                Ok(Err(error)) => assert_eq!(
                    (before, after == was),
                    (after.clone(), true),
                    "{fault:?}: {error}: what is told is what is there"
                ),
            }
            let entries = history::newest(&home.path().join("state"), 10);
            assert_eq!(
                entries.len(),
                usize::from(after == is),
                "{fault:?}: the history agrees ({number:?})"
            );
            several(home.path(), &files, "three\n", &[]).unwrap();
            assert!(
                names(home.path()).iter().all(|name| !name.starts_with('.')),
                "{fault:?} leaves nothing behind"
            );
            assert!(
                names(&home.path().join("notes"))
                    .iter()
                    .all(|name| !name.starts_with('.')),
                "{fault:?} leaves nothing behind"
            );
        }
    }
    assert!(
        old > 20 && new > 20 && mended > 2,
        "{old} old, {new} new, {mended} mended"
    );
}

#[test]
fn the_history_gives_back_the_very_bytes_and_is_private() {
    NO_WAITING.set(true);
    let home = home("\u{feff}one\r\n");
    let state = home.path().join("state");
    let before = fs::read(home.path().join("weights.yaml")).unwrap();
    add(home.path(), "two\r\n").unwrap();
    let now = fs::read(home.path().join("weights.yaml")).unwrap();
    let entry = history::entry(&state, 1).unwrap();
    assert_eq!(
        (entry.who.as_str(), entry.pieces[0].file.as_str()),
        ("weigh", "weights.yaml")
    );
    assert_eq!(
        entry.pieces[0].put_back(Some(&now)).unwrap().unwrap(),
        before
    );
    assert_eq!(
        fs::read_to_string(state.join("history/.gitignore")).unwrap(),
        "*\n"
    );
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        let mode = |path: &Path| fs::metadata(path).unwrap().permissions().mode() & 0o777;
        assert_eq!(
            (
                mode(&state.join("history")),
                mode(&state.join("history/000001.json"))
            ),
            (0o700, 0o600)
        );
    }
}

#[test]
fn the_history_is_bounded() {
    NO_WAITING.set(true);
    let home = home("");
    add(home.path(), "x\n").unwrap();
    let place = |number: u64| home.path().join(format!("state/history/{number:06}.json"));
    (2..=1_050).for_each(|number| _ = fs::copy(place(1), place(number)).unwrap());
    for _ in 0..20 {
        add(home.path(), "x\n").unwrap();
    }
    let numbers = history::numbers(&home.path().join("state"));
    assert!((1_000..1_016).contains(&numbers.len()), "{}", numbers.len());
    assert_eq!(numbers.last(), Some(&1_070));
}
