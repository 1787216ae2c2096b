//! The writer as a whole, on a disk that is well, full, refused, or cut off at any moment.
//!
//! In: kennel folders made for one test. Out: proof that a root is always wholly old or wholly new,
//! that foreign files survive, and that the next run mends what an interrupted one left. Rights,
//! links and folder numbers are looked at as Unix has them.

#![cfg(unix)]
#![allow(
    clippy::disallowed_methods,
    reason = "tests put files where they like and give them times"
)]

use std::collections::BTreeMap;
use std::fs;
use std::os::unix::fs::{MetadataExt as _, PermissionsExt as _, symlink};
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::{Path, PathBuf};
use std::time::{Duration, SystemTime};

use proptest::prelude::*;
use tempfile::TempDir;

use super::fault::{self, Mishap};
use super::{Durability, FileMode, Plan, Report, Target, WriteError, Writer};
use crate::cache::{Digest, FileDigests, Stamp, Store};

type Files = [(&'static str, &'static str)];

const OLD: &Files = &[
    ("index.html", "old index"),
    ("style.css", "never changes"),
    ("litters/a/index.html", "stays"),
    ("litters/b/index.html", "withdrawn"),
    ("litters/b/photos/one.jpg", "withdrawn too"),
    ("page", "becomes a folder"),
    ("edited", "as we wrote it"),
];
const NEW: &Files = &[
    ("index.html", "new index"),
    ("style.css", "never changes"),
    ("litters/a/index.html", "stays"),
    ("litters/c/index.html", "newcomer"),
    ("page/index.html", "became a folder"),
];

/// A change of mind after a run with [`NEW`] was cut off: what only that run wrote must go again.
const THIRD: &Files = &[
    ("index.html", "third index"),
    ("style.css", "never changes"),
    ("litters/a/index.html", "stays no more"),
];

/// A kennel folder with a public and a private target.
struct Kennel {
    home: TempDir,
}

/// What stands at one place of a tree.
#[derive(Clone, Debug, PartialEq, Eq)]
enum Node {
    File(String, u32),
    Link(PathBuf),
    Folder,
}

type Tree = BTreeMap<String, Node>;

impl Kennel {
    fn new() -> Self {
        let home = tempfile::tempdir().unwrap();
        fs::create_dir(home.path().join("content")).unwrap();
        Self { home }
    }

    /// A kennel whose site was published once and in which somebody has put things of their own.
    fn lived_in() -> Self {
        let kennel = Self::new();
        kennel.publish(OLD).unwrap();
        let root = kennel.root("public");
        kennel.put("public/CNAME", "theirs");
        kennel.put("public/.well-known/proof", "theirs too");
        kennel.put("public/uploads/pic", "their picture");
        kennel.put("public/litters/b/note.txt", "theirs in our folder");
        kennel.put("public/edited", "changed by hand");
        fs::create_dir(root.join("uploads/empty")).unwrap();
        fs::set_permissions(root.join("uploads/pic"), fs::Permissions::from_mode(0o640)).unwrap();
        fs::set_permissions(
            root.join("uploads/empty"),
            fs::Permissions::from_mode(0o750),
        )
        .unwrap();
        symlink("index.html", root.join("home")).unwrap();
        symlink("/nowhere/at/all", root.join("uploads/loose")).unwrap();
        kennel.put("private/mine.txt", "the keeper's");
        kennel
    }

    fn root(&self, name: &str) -> PathBuf {
        self.home.path().join(name)
    }

    /// Saves a file the way editors do: beside it, then renamed over it.
    fn put(&self, path: &str, text: &str) {
        save(
            &self.root(path),
            text,
            SystemTime::now() - Duration::from_mins(1),
        );
    }

    fn targets(&self) -> [Target; 2] {
        [
            Target::durable(&self.root("public"), "public", FileMode::Public),
            Target::durable(&self.root("private"), "private", FileMode::Private),
        ]
    }

    fn open(&self) -> Result<Writer, WriteError> {
        Writer::open(
            &self.root("state"),
            &self.targets(),
            &[self.root("content")],
        )
    }

    fn write(&self, plan: &Plan, adopt: bool) -> Result<Vec<Report>, WriteError> {
        let [public, private] = self.targets();
        self.open()?
            .write(&[(&public, plan), (&private, plan)], adopt)
    }

    /// Publishes all files in public and the first two in private.
    fn publish(&self, files: &Files) -> Result<Vec<Report>, WriteError> {
        self.publish_by(&self.open()?, files)
    }

    fn publish_by(&self, writer: &Writer, files: &Files) -> Result<Vec<Report>, WriteError> {
        let [public, private] = self.targets();
        let (all, two) = (Plan::of(files), Plan::of(&files[..2]));
        writer.write(&[(&public, &all), (&private, &two)], false)
    }

    fn trees(&self) -> [Option<Tree>; 2] {
        ["public", "private"].map(|name| tree(&self.root(name)))
    }

    /// What stands in the kennel folder and should not.
    fn leftovers(&self) -> Vec<String> {
        let names = fs::read_dir(self.home.path()).unwrap();
        let names = names.map(|found| found.unwrap().file_name().into_string().unwrap());
        let expected = ["content", "state", "public", "private"];
        names
            .filter(|name| !expected.contains(&name.as_str()))
            .collect()
    }

    /// Everything that would show that something was touched: numbers, times and names.
    fn stamps(&self) -> Vec<(PathBuf, u64, SystemTime, i64)> {
        let mut stamps = Vec::new();
        for name in ["public", "private", "state"] {
            for found in walkdir::WalkDir::new(self.root(name)).sort_by_file_name() {
                let found = found.unwrap();
                let seen = found.metadata().unwrap();
                let changed = seen.ctime_nsec() + seen.ctime() * 1_000_000_000;
                stamps.push((
                    found.into_path(),
                    seen.ino(),
                    seen.modified().unwrap(),
                    changed,
                ));
            }
        }
        stamps
    }
}

fn save(place: &Path, text: &str, at: SystemTime) {
    fs::create_dir_all(place.parent().unwrap()).unwrap();
    let draft = place.with_extension("draft");
    fs::write(&draft, text).unwrap();
    fs::File::options()
        .write(true)
        .open(&draft)
        .unwrap()
        .set_modified(at)
        .unwrap();
    fs::rename(draft, place).unwrap();
}

fn tree(root: &Path) -> Option<Tree> {
    fs::symlink_metadata(root).ok()?;
    let mut tree = Tree::new();
    for found in walkdir::WalkDir::new(root).min_depth(1) {
        let found = found.unwrap();
        let name = found
            .path()
            .strip_prefix(root)
            .unwrap()
            .to_str()
            .unwrap()
            .to_owned();
        let seen = found.metadata().unwrap();
        let node = if seen.is_symlink() {
            Node::Link(fs::read_link(found.path()).unwrap())
        } else if seen.is_dir() {
            Node::Folder
        } else {
            let text = fs::read_to_string(found.path()).unwrap();
            Node::File(text, seen.mode() & 0o7777)
        };
        tree.insert(name, node);
    }
    Some(tree)
}

/// Runs `act` with a simulated kill in it; `None` when it was killed.
fn survive<T>(fault: Mishap, act: impl FnOnce() -> T) -> Option<T> {
    fault::arm(fault);
    let outcome = catch_unwind(AssertUnwindSafe(act));
    fault::arm(Mishap::None);
    match outcome {
        Ok(done) => Some(done),
        Err(payload) if payload.is::<fault::Killed>() => None,
        Err(payload) => std::panic::resume_unwind(payload),
    }
}

/// Runs `act` on disks with and without exchange and hard links. It is told how many changes to go
/// on at a time: copies in place of links differ in one kind of change only, so there every change
/// need not be tried with each of them.
fn on_every_disk(act: impl Fn(usize)) {
    fault::NO_WAITING.set(true);
    for (no_exchange, no_links, step) in [
        (false, false, 1),
        (true, false, 1),
        (false, true, 7),
        (true, true, 7),
    ] {
        fault::NO_EXCHANGE.set(no_exchange);
        fault::NO_LINKS.set(no_links);
        act(step);
    }
}

/// The trees of [`Kennel::lived_in`] before and after a whole run.
fn old_and_new() -> ([Option<Tree>; 2], [Option<Tree>; 2]) {
    let kennel = Kennel::lived_in();
    let old = kennel.trees();
    kennel.publish(NEW).unwrap();
    (old, kennel.trees())
}

/// A kennel in which the public site is new and the old one, whose place is returned, still there.
fn stopped_before_removing_the_old_tree() -> (Kennel, PathBuf) {
    let kennel = Kennel::lived_in();
    // The first two removals are those of the files that probe the two targets.
    let done = survive(Mishap::KillAtRemoval(2), || kennel.publish(NEW).map(drop));
    assert!(done.is_none() && kennel.root("public/page/index.html").exists());
    let old = kennel
        .leftovers()
        .into_iter()
        .find(|name| name.starts_with(".public."))
        .unwrap();
    let old = kennel.root(&old);
    assert!(old.join("litters/b").exists());
    (kennel, old)
}

/// Checks that the site is whole and that a run, and one more, make it what it shall be.
fn assert_mends(kennel: &Kennel, expected: &[Option<Tree>; 2], context: &str) {
    kennel.publish(NEW).unwrap();
    assert_eq!(&kennel.trees(), expected, "{context}");
    let before = kennel.stamps();
    let reports = kennel.publish(NEW).unwrap();
    assert!(reports.iter().all(Report::is_untouched), "{context}");
    assert_eq!(kennel.stamps(), before, "{context}");
}

fn assert_whole(kennel: &Kennel, old: &[Option<Tree>; 2], new: &[Option<Tree>; 2], context: &str) {
    for (found, (old, new)) in kennel.trees().iter().zip(old.iter().zip(new)) {
        let between = found.is_none() && fault::NO_EXCHANGE.get();
        assert!(
            between || found == old || found == new,
            "{context}: {found:?}"
        );
    }
}

#[test]
fn a_run_leaves_the_plan_and_what_others_put_there() {
    on_every_disk(|_| {
        let kennel = Kennel::lived_in();
        let reports = kennel.publish(NEW).unwrap();
        let foreign = [
            ".well-known/",
            "CNAME",
            "edited",
            "home",
            "litters/b/note.txt",
            "uploads/",
        ];
        assert_eq!(reports[0].foreign, foreign);
        let public = &reports[0];
        assert_eq!(
            (public.written, public.unchanged, public.removed),
            (3, 2, 3)
        );
        let private = &reports[1];
        assert_eq!(
            (private.written, private.unchanged, private.removed),
            (1, 1, 0)
        );
        assert_eq!(private.foreign, ["mine.txt"]);
        let [public, private] = kennel.trees().map(Option::unwrap);
        let file = |text: &str, mode: u32| Some(Node::File(text.to_owned(), mode));
        for (path, text) in NEW {
            assert_eq!(public.get(*path).cloned(), file(text, 0o644));
        }
        for (path, text) in &NEW[..2] {
            assert_eq!(private.get(*path).cloned(), file(text, 0o600));
        }
        assert_eq!(
            public.get("uploads/pic").cloned(),
            file("their picture", 0o640)
        );
        assert_eq!(
            public["uploads/loose"],
            Node::Link("/nowhere/at/all".into())
        );
        assert_eq!(public["uploads/empty"], Node::Folder);
        let mode = |path: &str| fs::metadata(kennel.root(path)).unwrap().mode() & 0o7777;
        assert_eq!(mode("public/uploads/empty"), 0o750);
        assert_eq!((mode("public"), mode("public/litters")), (0o755, 0o755));
        assert_eq!(
            (mode("private"), mode("private/index.html")),
            (0o700, 0o600)
        );
        assert_eq!(mode("state/written-public.json"), 0o600);
        assert!(
            !public.contains_key("litters/b/photos")
                && !public.contains_key("litters/b/index.html")
        );
        assert_eq!(kennel.leftovers(), [""; 0]);
    });
}

#[test]
fn a_second_run_touches_nothing_at_all() {
    let kennel = Kennel::lived_in();
    kennel.publish(NEW).unwrap();
    let before = kennel.stamps();
    let reports = kennel.publish(NEW).unwrap();
    assert_eq!((reports[0].written, reports[0].unchanged), (0, NEW.len()));
    assert_eq!(kennel.stamps(), before);
}

#[test]
fn an_unchanged_file_stays_the_same_file_and_a_second_name_keeps_its_bytes() {
    let kennel = Kennel::new();
    kennel.publish(OLD).unwrap();
    for name in ["index.html", "style.css"] {
        fs::hard_link(kennel.root("private").join(name), kennel.root(name)).unwrap();
    }
    kennel.publish(NEW).unwrap();
    let number = |path: &str| fs::metadata(kennel.root(path)).unwrap().ino();
    assert_eq!(number("style.css"), number("private/style.css"));
    assert_ne!(number("index.html"), number("private/index.html"));
    assert_eq!(
        fs::read_to_string(kennel.root("index.html")).unwrap(),
        "old index"
    );
}

#[test]
fn a_kill_before_any_change_leaves_a_whole_site_that_the_next_run_mends() {
    on_every_disk(|step| {
        let (old, new) = old_and_new();
        let changed = Kennel::lived_in();
        changed.publish(THIRD).unwrap();
        let third = changed.trees();
        for at in (0..).step_by(step) {
            let kennel = Kennel::lived_in();
            let done = survive(Mishap::KillAt(at), || kennel.publish(NEW).map(drop));
            let context = format!("killed at {at}");
            assert_whole(&kennel, &old, &new, &context);
            kennel.publish(THIRD).unwrap();
            assert_eq!(kennel.trees(), third, "{context}");
            assert_mends(&kennel, &new, &context);
            assert_eq!(kennel.leftovers(), [""; 0], "{context}");
            if let Some(done) = done {
                done.unwrap();
                assert!(at > 40, "only {at} changes were tried");
                break;
            }
        }
    });
}

#[test]
fn what_somebody_does_after_a_kill_survives() {
    on_every_disk(|step| {
        let (_, mut new) = old_and_new();
        let public = new[0].as_mut().unwrap();
        public.insert(
            "CNAME".into(),
            Node::File("saved after the kill".into(), 0o644),
        );
        public.insert(
            "fresh.txt".into(),
            Node::File("new after the kill".into(), 0o644),
        );
        for at in (0..).step_by(step) {
            let kennel = Kennel::lived_in();
            let done = survive(Mishap::KillAt(at), || kennel.publish(NEW).map(drop));
            kennel.put("public/CNAME", "saved after the kill");
            kennel.put("public/fresh.txt", "new after the kill");
            let context = format!("killed at {at}, then changed");
            assert_mends(&kennel, &new, &context);
            for name in kennel.leftovers() {
                // The earlier state of the saved file may be put aside, nothing else.
                let aside = tree(&kennel.root(&name)).unwrap();
                let Some(Node::File(text, _)) = aside.get("CNAME") else {
                    panic!("{context}: {name} {aside:?}");
                };
                assert_eq!(
                    (name.as_str(), aside.len(), text.as_str()),
                    ("public.kept-1", 1, "theirs")
                );
            }
            if done.is_some() {
                break;
            }
        }
    });
}

#[test]
fn a_kill_in_the_middle_of_removing_the_old_tree_is_mended() {
    on_every_disk(|_| {
        let (_, new) = old_and_new();
        let (kennel, old) = stopped_before_removing_the_old_tree();
        fs::remove_file(old.join("CNAME")).unwrap();
        fs::remove_dir_all(old.join("litters")).unwrap();
        assert_mends(&kennel, &new, "half removed");
        assert_eq!(kennel.leftovers(), [""; 0]);
    });
}

#[test]
fn a_foreign_file_removed_after_a_kill_does_not_come_back_and_is_not_lost() {
    on_every_disk(|_| {
        let (kennel, _) = stopped_before_removing_the_old_tree();
        fs::remove_file(kennel.root("public/CNAME")).unwrap();
        let writer = kennel.open().unwrap();
        let aside = kennel.root("public.kept-1/CNAME").canonicalize().unwrap();
        assert_eq!(writer.mended()[0].kept, [aside.to_str().unwrap()]);
        drop(writer);
        kennel.publish(NEW).unwrap();
        assert!(!kennel.root("public/CNAME").exists());
        assert_eq!(kennel.leftovers(), ["public.kept-1"]);
        assert_eq!(fs::read_to_string(aside).unwrap(), "theirs");
    });
}

#[test]
fn a_file_saved_while_we_work_is_neither_lost_nor_turned_back() {
    on_every_disk(|step| {
        for at in (0..).step_by(3 * step) {
            let kennel = Kennel::lived_in();
            let root = kennel.root("public");
            let writer = kennel.open().unwrap();
            fault::invite(at, move || {
                // Between the two moves of a disk without exchange the old tree stands there alone.
                let root = if root.exists() {
                    root
                } else {
                    root.with_file_name(".public.before")
                };
                let now = SystemTime::now();
                save(&root.join("CNAME"), "saved meanwhile", now);
                save(&root.join("fresh/x.txt"), "new meanwhile", now);
                fs::create_dir(root.join("fresh/empty")).unwrap();
            });
            kennel.publish_by(&writer, NEW).unwrap();
            if fault::guest_waits() {
                break;
            }
            let found = tree(&kennel.root("public")).unwrap();
            let text = |path: &str| match &found[path] {
                Node::File(text, _) => text.clone(),
                other => panic!("{other:?}"),
            };
            assert_eq!(text("CNAME"), "saved meanwhile", "at {at}");
            assert_eq!(text("fresh/x.txt"), "new meanwhile", "at {at}");
            assert_eq!(found["fresh/empty"], Node::Folder, "at {at}");
            assert_eq!(text("index.html"), "new index");
            assert!(!found.contains_key("litters/b/index.html"), "at {at}");
        }
        fault::invite(0, || {});
        assert!(fault::strike("nothing").is_ok());
    });
}

#[test]
fn a_full_disk_leaves_the_old_site_and_no_leftovers() {
    on_every_disk(|step| {
        let (old, new) = old_and_new();
        for at in (0..).step_by(3 * step) {
            let kennel = Kennel::lived_in();
            let done = survive(Mishap::FullFrom(at), || kennel.publish(NEW).map(drop)).unwrap();
            let context = format!("full from {at}");
            assert_whole(&kennel, &old, &new, &context);
            assert_eq!(kennel.leftovers(), [""; 0], "{context}");
            if let Err(error) = &done {
                assert!(error.hint().contains("full"), "{error}");
            }
            assert_mends(&kennel, &new, &context);
            if done.is_ok() {
                break;
            }
        }
    });
}

#[test]
fn a_single_refusal_anywhere_leaves_a_whole_site() {
    on_every_disk(|step| {
        let (old, new) = old_and_new();
        for at in (0..).step_by(3 * step) {
            let kennel = Kennel::lived_in();
            let writer = kennel.open().unwrap();
            let write = || kennel.publish_by(&writer, NEW);
            let done = survive(Mishap::RefuseAt(at), write).unwrap();
            for (found, (old, new)) in kennel.trees().iter().zip(old.iter().zip(&new)) {
                assert!(found == old || found == new, "refused at {at}");
            }
            let Err(error) = done else { break };
            // What is said to be in place is, and what is said to be as it was is.
            let said_new = match &error {
                WriteError::InPlace { new, .. } => new.clone(),
                _ => Vec::new(),
            };
            for ((name, found), new) in ["public", "private"].iter().zip(kennel.trees()).zip(&new) {
                assert_eq!(
                    said_new.contains(name),
                    found == *new,
                    "refused at {at}: {name}, {error:?}"
                );
            }
            // The same writer mends what its own failed call left.
            write().unwrap();
            drop(writer);
            assert_mends(&kennel, &new, &format!("refused at {at}"));
            assert_eq!(kennel.leftovers(), [""; 0], "refused at {at}");
        }
    });
}

#[test]
fn files_of_others_in_the_way_are_refused_untouched_and_adopted_on_demand() {
    let kennel = Kennel::new();
    kennel.put("public/index.html", "theirs");
    kennel.put("public/style.css", "never changes");
    let before = tree(&kennel.root("public"));
    let error = kennel.publish(NEW).unwrap_err();
    let WriteError::NotOurs { paths } = &error else {
        panic!("{error}")
    };
    assert_eq!(
        paths,
        &[kennel
            .root("public")
            .canonicalize()
            .unwrap()
            .join("index.html")]
    );
    assert!(error.hint().contains("adopt"));
    assert_eq!(tree(&kennel.root("public")), before);
    assert_eq!(
        (tree(&kennel.root("private")), kennel.leftovers()),
        (None, vec![])
    );
    let reports = kennel.write(&Plan::of(NEW), true).unwrap();
    assert_eq!(reports[0].replaced, ["index.html"]);
    assert_eq!(
        (reports[0].written, reports[0].unchanged),
        (NEW.len() - 1, 1)
    );
    assert_eq!(kennel.leftovers(), [""; 0]);
    assert_eq!(
        fs::read_to_string(kennel.root("public/index.html")).unwrap(),
        "new index"
    );
}

#[test]
fn an_edit_of_ours_is_replaced_and_reported() {
    let kennel = Kennel::new();
    kennel.publish(NEW).unwrap();
    kennel.put("public/index.html", "by hand");
    let reports = kennel.publish(NEW).unwrap();
    assert_eq!((reports[0].written, reports[1].written), (1, 0));
    assert_eq!(reports[0].replaced, ["index.html"]);
    assert_eq!((kennel.leftovers(), &reports[0].kept), (vec![], &vec![]));
}

#[test]
fn a_site_that_can_be_made_again_is_the_same_and_is_read_when_it_cannot_be_relied_on() {
    let kennel = Kennel::new();
    let later = || SystemTime::now() + Duration::from_secs(9);
    let store = Store::unbound(&kennel.root("state"));
    let target = Target {
        durability: Durability::Remade,
        ..kennel.targets()[0].clone()
    };
    let run = |reads_all: bool| {
        let writer = Writer::open(&kennel.root("state"), std::slice::from_ref(&target), &[]);
        let writer = writer.unwrap().remembering(store.clone(), later);
        let writer = if reads_all {
            writer.reading_all()
        } else {
            writer
        };
        writer.look().unwrap();
        writer.write(&[(&target, &Plan::of(NEW))], true).unwrap()[0].written
    };
    let durable = Kennel::new();
    durable.publish(NEW).unwrap();
    assert_eq!((run(true), run(true), run(false)), (NEW.len(), 0, 0));
    assert_eq!(kennel.trees()[0], durable.trees()[0]);
    // A few files are put into the tree that stands; a file that goes takes a new one.
    let root = || fs::metadata(kennel.root("public")).unwrap().ino();
    let before = root();
    let changed = |text: &'static str| {
        let mut files = NEW.to_vec();
        files[0].1 = text;
        files.push(("litters/a/new.html", "a new page"));
        files
    };
    let write = |files: &Files| {
        let writer = Writer::open(&kennel.root("state"), std::slice::from_ref(&target), &[]);
        let writer = writer.unwrap().remembering(store.clone(), later);
        writer.write(&[(&target, &Plan::of(files))], true).unwrap();
        let durable = Kennel::new();
        durable.publish(files).unwrap();
        assert_eq!(kennel.trees()[0], durable.trees()[0]);
        assert_eq!(kennel.leftovers(), Vec::<String>::new());
        root()
    };
    assert_eq!(write(&changed("another index")), before);
    assert_eq!(write(&changed("one more")), before);
    assert_ne!(write(NEW), before);
    // What the system says of a file is what it said of it with all of its bytes.
    let index = kennel.root("public/index.html");
    fs::write(&index, "new i\0\0\0\0").unwrap();
    let mut files = FileDigests::load(&store, "seen-public", Some(later));
    let stamp = Stamp::of(&fs::metadata(&index).unwrap(), later());
    assert!(stamp.is_some());
    for (path, text) in NEW {
        let found = fs::metadata(kennel.root("public").join(path)).unwrap();
        files.note(
            path,
            (Digest::of(text.as_bytes()), Stamp::of(&found, later())),
        );
    }
    files.save(&store, "seen-public");
    assert_eq!(run(false), 0, "what was kept is relied on");
    assert_eq!(run(true), 1);
    assert_eq!(kennel.trees()[0], durable.trees()[0]);
}

#[test]
fn without_the_list_equal_bytes_are_ours_again_and_stale_pages_are_reported() {
    for damage in [None, Some("{\"version\":")] {
        let kennel = Kennel::new();
        kennel.publish(OLD).unwrap();
        let list = kennel.root("state/written-public.json");
        let before = kennel.stamps();
        match damage {
            None => fs::remove_file(&list).unwrap(),
            Some(text) => fs::write(&list, text).unwrap(),
        }
        let reports = kennel.publish(OLD).unwrap();
        assert_eq!(
            (reports[0].unchanged, reports[0].list_lost),
            (OLD.len(), damage.is_some())
        );
        let site = |stamps: Vec<(PathBuf, u64, SystemTime, i64)>| {
            let list = kennel.root("state");
            stamps
                .into_iter()
                .filter(|stamp| !stamp.0.starts_with(&list))
                .collect::<Vec<_>>()
        };
        assert_eq!(site(kennel.stamps()), site(before));
        fs::remove_file(&list).unwrap();
        let error = kennel.publish(NEW).unwrap_err();
        let WriteError::NotOurs { paths } = &error else {
            panic!("{error}")
        };
        assert_eq!(
            paths.len(),
            2,
            "the changed index and the page that became a folder: {error}"
        );
    }
}

#[test]
fn a_foreign_folder_that_nobody_may_write_to_keeps_its_rights() {
    let kennel = Kennel::new();
    kennel.publish(OLD).unwrap();
    kennel.put("public/sealed/inner/x", "theirs");
    let (sealed, inner) = (
        kennel.root("public/sealed"),
        kennel.root("public/sealed/inner"),
    );
    let allow = |mode: u32| {
        fs::set_permissions(&inner, fs::Permissions::from_mode(mode)).unwrap();
        fs::set_permissions(&sealed, fs::Permissions::from_mode(mode)).unwrap();
    };
    allow(0o555);
    kennel.publish(NEW).unwrap();
    assert_eq!(kennel.leftovers(), [""; 0]);
    for folder in [&sealed, &inner] {
        assert_eq!(fs::metadata(folder).unwrap().mode() & 0o7777, 0o555);
    }
    assert_eq!(fs::read_to_string(inner.join("x")).unwrap(), "theirs");
    allow(0o755);
}

#[test]
fn private_files_that_became_readable_are_closed_again() {
    let kennel = Kennel::new();
    kennel.write(&Plan::of(NEW), false).unwrap();
    let page = kennel.root("private/index.html");
    let mode = |path: &Path| fs::metadata(path).unwrap().mode() & 0o777;
    fs::set_permissions(&page, fs::Permissions::from_mode(0o644)).unwrap();
    let reports = kennel.write(&Plan::of(NEW), false).unwrap();
    assert_eq!(
        (reports[0].written, reports[1].written, mode(&page)),
        (0, 1, 0o600)
    );
    let root = kennel.root("private");
    fs::set_permissions(&root, fs::Permissions::from_mode(0o755)).unwrap();
    kennel.write(&Plan::of(NEW), false).unwrap();
    assert_eq!((mode(&root), mode(&root.join("litters/c"))), (0o700, 0o700));
}

#[test]
fn only_one_run_works_at_a_time() {
    let kennel = Kennel::new();
    let first = kennel.open().unwrap();
    let error = kennel.open().unwrap_err();
    assert!(matches!(&error, WriteError::Busy { .. }) && error.hint().contains("wait"));
    drop(first);
    kennel.open().unwrap();
}

#[test]
fn a_run_that_was_interrupted_is_reported_when_mended() {
    let kennel = Kennel::lived_in();
    fs::create_dir(kennel.root(".public.building-12")).unwrap();
    fs::create_dir(kennel.root(".public.building-notes")).unwrap();
    let writer = kennel.open().unwrap();
    assert_eq!(writer.mended().len(), 1);
    assert_eq!(
        (writer.mended()[0].name, writer.mended()[0].kept.len()),
        ("public", 0)
    );
    assert_eq!(kennel.leftovers(), [".public.building-notes"]);
    let other = Target::durable(&kennel.root("x"), "other", FileMode::Public);
    let [public, _] = kennel.targets();
    let empty = Plan::new();
    for plans in [
        vec![(&other, &empty)],
        vec![(&public, &empty), (&public, &empty)],
    ] {
        assert!(matches!(
            writer.write(&plans, false),
            Err(WriteError::Unopened { .. })
        ));
    }
}

#[test]
fn forbidden_folders_are_refused_before_anything_is_made() {
    let kennel = Kennel::new();
    let [mut public, private] = kennel.targets();
    public.root = kennel.root("content/site");
    let forbidden = [kennel.root("content")];
    let error = Writer::open(&kennel.root("state"), &[public, private], &forbidden).unwrap_err();
    assert!(
        matches!(error, WriteError::Unsuitable { name: "public", .. }),
        "{error}"
    );
    assert!(!kennel.root("state").exists());
}

/// One thing that happens between two runs.
#[derive(Clone, Debug)]
enum Event {
    Publish(BTreeMap<&'static str, &'static str>),
    Put(&'static str, &'static str),
    Remove(&'static str),
    Edit(&'static str),
}

fn events() -> impl Strategy<Value = Vec<Event>> {
    let ours = prop::sample::select(vec!["index", "a/x", "a/y", "a/b/z", "c/d", "e"]);
    let theirs = prop::sample::select(vec!["CNAME", "a/note", ".git/x", "a/b/t", "f/g/h", "c/.k"]);
    let text = prop::sample::select(vec!["one", "two", "six", "longer", ""]);
    let planned = prop::collection::btree_map(ours.clone(), text.clone(), 0..6);
    let event = prop_oneof![
        4 => planned.prop_map(Event::Publish),
        2 => (theirs.clone(), text).prop_map(|(path, text)| Event::Put(path, text)),
        1 => theirs.prop_map(Event::Remove),
        1 => ours.prop_map(Event::Edit),
    ];
    prop::collection::vec(event, 1..12)
}

/// Kills a run at a change, kills the mending too, and returns what the last run says.
fn publish_with_kills(kennel: &Kennel, plan: &Plan, kills: &[usize]) -> Vec<Report> {
    for at in kills {
        survive(Mishap::KillAt(*at), || kennel.write(plan, true).map(drop));
    }
    kennel.write(plan, true).unwrap()
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 96, ..ProptestConfig::default() })]

    #[test]
    fn any_history_ends_in_the_plan_and_the_foreign_files(
        events in events(),
        kills in prop::collection::vec(prop::collection::vec(0usize..70, 0..3), 12),
        no_exchange: bool,
        no_links: bool,
    ) {
        fault::NO_WAITING.set(true);
        fault::NO_EXCHANGE.set(no_exchange);
        fault::NO_LINKS.set(no_links);
        let kennel = Kennel::new();
        let root = kennel.root("public");
        let mut ours: BTreeMap<&str, String> = BTreeMap::new();
        let mut theirs: BTreeMap<&str, String> = BTreeMap::new();
        for (event, kills) in events.iter().zip(&kills) {
            match event {
                Event::Put(path, text) => {
                    kennel.put(&format!("public/{path}"), text);
                    theirs.insert(path, (*text).to_owned());
                }
                Event::Remove(path) => {
                    if theirs.remove(path).is_some() {
                        fs::remove_file(root.join(path)).unwrap();
                    }
                }
                Event::Edit(path) => {
                    if ours.remove(path).is_some() {
                        kennel.put(&format!("public/{path}"), "by hand");
                        theirs.insert(path, "by hand".to_owned());
                    }
                }
                Event::Publish(files) => {
                    let listed: Vec<_> = files.iter().map(|(path, text)| (*path, *text)).collect();
                    let plan = Plan::of(&listed);
                    let reports = publish_with_kills(&kennel, &plan, kills);
                    ours = files.iter().map(|(path, text)| (*path, (*text).to_owned())).collect();
                    theirs.retain(|path, _| !ours.contains_key(path));
                    prop_assert_eq!(reports[0].written + reports[0].unchanged, ours.len());
                    // A run that was killed cannot say later that it was to give up an edit, so
                    // the edit is put aside.
                    for name in kennel.leftovers() {
                        prop_assert!(name.starts_with("public.kept-"), "{}", name);
                        for (path, node) in tree(&kennel.root(&name)).unwrap() {
                            let edit = matches!(&node, Node::File(text, _) if text == "by hand");
                            prop_assert!(edit || node == Node::Folder, "{} {:?}", path, node);
                        }
                    }
                }
            }
            let found = tree(&root).unwrap_or_default();
            let found: BTreeMap<_, _> = found.iter().filter_map(|(path, node)| match node {
                Node::File(text, _) => Some((path.as_str(), text.clone())),
                _ => None,
            }).collect();
            let mut expected = ours.clone();
            expected.extend(theirs.clone());
            prop_assert_eq!(found, expected);
        }
    }
}
