//! `publish` killed at any moment leaves the old site or the new one, never a mixture; the next run
//! mends all. A second run writes nothing, and the number of threads changes nothing.

use crate::support::files as support;

use std::path::Path;
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};
use std::{fs, thread};

type Tree = Vec<(String, Vec<u8>)>;

fn publish(home: &Path, more: &[&str]) -> String {
    let run = Command::new(crate::support::program())
        .arg("--kennel")
        .arg(home)
        .arg("publish")
        .args(more)
        .output()
        .unwrap();
    assert!(
        run.status.success(),
        "code: {:?}\n{}",
        run.status.code(),
        String::from_utf8_lossy(&run.stderr)
    );
    String::from_utf8(run.stdout).unwrap()
}

/// A kennel that takes a moment to publish; `version` stands on every page.
fn kennel(home: &Path, version: usize) {
    let put = |file: &str, text: &[u8]| {
        let path = home.join("content").join(file);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(path, text).unwrap();
    };
    let head = format!(
        "name: Kennel {version}\nbreed: Scottish Terrier\ncontact: {{ keeper: K, email: \
         k@kennel.example }}\ncountry: GB\ntime_zone: Europe/London\nas_of: 2026-10-09\n"
    );
    put("kennel.yaml", head.as_bytes());
    put("dogs/corvin.yaml", b"name: Corvin\nsex: male\n");
    for litter in 0..12 {
        // Each version has litters that the other has not, so that files come and go.
        let name = if litter < 8 {
            format!("both-{litter}")
        } else {
            format!("only-{version}-{litter}")
        };
        put(
            &format!("dogs/dam-{litter}.yaml"),
            format!("name: Dam {litter}\nsex: female\n").as_bytes(),
        );
        let puppy = "puppies: [{ id: fern, sex: female, offer: available }, { id: reed, sex: \
                     male, offer: reserved }]";
        put(
            &format!("litters/{name}/litter.yaml"),
            format!(
                "name: L {litter}\ndam: dam-{litter}\nsire: corvin\nbirth: {{ on: 2026-09-01, \
                 how: natural }}\n{puppy}\n"
            )
            .as_bytes(),
        );
        put(
            &format!("litters/{name}/photos/fern-1.jpg"),
            &support::jpeg_with_metadata(10 + u8::try_from(litter).unwrap(), "x"),
        );
    }
}

fn trees(home: &Path) -> (Tree, Tree) {
    (
        support::files(&home.join("public")),
        support::files(&home.join("private")),
    )
}

#[test]
fn killed_a_hundred_times_at_any_moment() {
    let home = tempfile::tempdir().unwrap();
    let home = home.path();
    let (mut public, mut private) = (Vec::new(), Vec::new());
    let mut longest = Duration::ZERO;
    // The first two runs prepare the pictures; how long one takes that finds them in the cache is
    // seen in those after them.
    for run in 0..4 {
        let _ = fs::remove_dir_all(home.join("content"));
        kennel(home, run % 2);
        let begun = Instant::now();
        publish(home, &[]);
        if run < 2 {
            let (one, other) = trees(home);
            public.push(one);
            private.push(other);
        } else {
            longest = longest.max(begun.elapsed());
        }
    }
    assert_ne!(public[0], public[1]);
    fs::write(home.join("public/CNAME"), "kennel.example").unwrap();
    let with_foreign = |tree: &Tree| {
        tree.iter()
            .filter(|(name, _)| name != "CNAME")
            .cloned()
            .collect::<Tree>()
    };

    let (mut killed, mut old, mut new) = (0, 0, 0);
    for round in 0..100_u32 {
        let version = usize::from(round % 2 == 1);
        let _ = fs::remove_dir_all(home.join("content"));
        kennel(home, version);
        let mut run = Command::new(crate::support::program())
            .arg("--kennel")
            .arg(home)
            .arg("publish")
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .spawn()
            .unwrap();
        // Spread over the whole run, and a little beyond.
        thread::sleep(longest.mul_f64(f64::from(round) * 0.37 % 1.0 * 1.1));
        killed += u32::from(run.kill().is_ok() && !run.wait().unwrap().success());
        let (now, book) = trees(home);
        let now = with_foreign(&now);
        assert!(
            public.contains(&now),
            "round {round}: the public site is neither the old nor the new one"
        );
        assert!(
            private.contains(&book),
            "round {round}: the keeper's book is neither the old nor the new one"
        );
        assert_eq!(
            fs::read_to_string(home.join("public/CNAME")).unwrap(),
            "kennel.example",
            "round {round}: a file that is not ours was lost"
        );
        if now == public[version] {
            new += 1
        } else {
            old += 1
        }
    }
    assert!(
        killed >= 20 && old >= 5 && new >= 5,
        "killed {killed} runs, {old} left the old and {new} the new site: the moments were not \
         spread"
    );

    publish(home, &[]);
    let (now, book) = trees(home);
    assert_eq!(with_foreign(&now), public[1]);
    assert_eq!(book, private[1]);
    let left: Vec<String> = fs::read_dir(home)
        .unwrap()
        .map(|e| e.unwrap().file_name().to_string_lossy().into_owned())
        .filter(|n| n.contains("building") || n.contains("built") || n.contains("before"))
        .collect();
    assert!(left.is_empty(), "the next run left {left:?}");
}

#[test]
fn a_second_run_writes_nothing() {
    let home = tempfile::tempdir().unwrap();
    kennel(home.path(), 0);
    publish(home.path(), &[]);
    let times = |root: &str| -> Vec<_> {
        let walk = walkdir::WalkDir::new(home.path().join(root)).sort_by_file_name();
        walk.into_iter()
            .map(|e| e.unwrap())
            .filter(|e| !e.path().ends_with("lock"))
            .map(|e| {
                (
                    e.path().to_owned(),
                    e.metadata().unwrap().modified().unwrap(),
                )
            })
            .collect()
    };
    let before = (times("public"), times("private"));
    let said = publish(home.path(), &[]);
    assert_eq!(before, (times("public"), times("private")));
    assert_eq!(said.matches("all as before").count(), 2, "{said}");
}

#[test]
fn the_number_of_threads_changes_nothing() {
    let homes: Vec<_> = ["1", "7"]
        .iter()
        .map(|threads| (tempfile::tempdir().unwrap(), *threads))
        .collect();
    // Keys are drawn at random; both kennels get the same.
    kennel(homes[0].0.path(), 0);
    publish(homes[0].0.path(), &[]);
    fs::copy(
        homes[0].0.path().join("signing-keys.json"),
        homes[1].0.path().join("signing-keys.json"),
    )
    .unwrap();
    let made: Vec<_> = homes
        .iter()
        .map(|(home, threads)| {
            kennel(home.path(), 0);
            publish(home.path(), &["--threads", threads]);
            trees(home.path())
        })
        .collect();
    assert_eq!(made[0], made[1]);
}

#[test]
fn a_withdrawn_puppy_is_gone() {
    let home = tempfile::tempdir().unwrap();
    kennel(home.path(), 0);
    publish(home.path(), &[]);
    let page = home.path().join("public/litters/both-0/reed.html");
    assert!(page.exists());
    let record = home.path().join("content/litters/both-0/litter.yaml");
    let text = fs::read_to_string(&record)
        .unwrap()
        .replace("offer: reserved", "offer: not offered");
    fs::write(&record, text).unwrap();
    publish(home.path(), &[]);
    assert!(!page.exists());
}
