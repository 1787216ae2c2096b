//! The demo kennel is without a problem, and its files are those that are expected.

use crate::support::files as support;

use std::path::Path;
use std::process::Command;

/// A copy of the demo kennel as it stands in this folder, beside all templates: secrets are drawn
/// beside the content, and nobody's own are touched.
fn kennel() -> tempfile::TempDir {
    let home = tempfile::tempdir().unwrap();
    for folder in ["content", "templates"] {
        for (name, bytes) in support::files(&Path::new(env!("CARGO_MANIFEST_DIR")).join(folder)) {
            let path = home.path().join(folder).join(name);
            std::fs::create_dir_all(path.parent().unwrap()).unwrap();
            std::fs::write(path, bytes).unwrap();
        }
    }
    home
}

#[test]
fn the_demo_has_no_problem() {
    let kennel = kennel();
    let run = Command::new(crate::support::program())
        .arg("--kennel")
        .arg(kennel.path())
        .arg("inspect")
        .output()
        .unwrap();
    assert_eq!(String::from_utf8_lossy(&run.stderr), "");
    assert!(run.status.success());
}

#[test]
fn the_demo_makes_these_files() {
    let home = tempfile::tempdir().unwrap();
    let (public, private) = (home.path().join("public"), home.path().join("private"));
    let mut run = Command::new(crate::support::program());
    let kennel = kennel();
    let run = run
        .arg("--kennel")
        .arg(kennel.path())
        .arg("publish")
        .arg("--public")
        .arg(public)
        .arg("--private")
        .arg(private)
        .output()
        .unwrap();
    assert!(
        run.status.success(),
        "{}",
        String::from_utf8_lossy(&run.stderr)
    );
    let files = support::files(home.path());
    // Pictures are named by a hash; how many there are of each subject and width is what counts.
    let mut names: Vec<String> = files.iter().map(|(name, _)| hash_out(name)).collect();
    names.sort();
    insta::assert_snapshot!(names.join("\n"));
}

fn hash_out(name: &str) -> String {
    if let Some(page) = name.strip_prefix("public/sealed/") {
        assert!(
            page.len() == 25
                && page
                    .bytes()
                    .all(|b| b.is_ascii_lowercase() || b.is_ascii_digit() || b == b'.'),
            "{page}"
        );
        return "public/sealed/*.html".to_owned();
    }
    name.split('-')
        .map(|part| {
            if part.len() == 20 && part.bytes().all(|b| b.is_ascii_hexdigit()) {
                "*"
            } else {
                part
            }
        })
        .collect::<Vec<_>>()
        .join("-")
}
