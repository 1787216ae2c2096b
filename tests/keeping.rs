//! What the program keeps for the keeper, and what it says of it, when something stands in the way:
//! a run that was killed, a disk that refuses, a screen that cannot be written to, a link or a pipe
//! where a file should be.

use crate::support::{Kennel, Ran, is_for_windows, lock, program};
use std::fs;
use std::path::Path;
use std::process::{Command, Stdio};

fn read(path: &Path) -> String {
    fs::read_to_string(path).unwrap()
}

#[test]
fn what_a_killed_run_left_of_secrets_is_told_and_removed() {
    let kennel = Kennel::published();
    // As a run leaves it that is killed between writing and renaming.
    let left = [
        ".codes.yaml.litterfolio-4000001",
        ".signing-keys.json.litterfolio-4000002",
    ];
    let paper = kennel.at("private/handover/spring-moss/.moss-record.pdf.litterfolio-4000003");
    fs::create_dir_all(paper.parent().unwrap()).unwrap();
    for run in [
        &["publish"][..],
        &["recode", "moss"],
        &["handover", "moss", "--anyway"],
    ] {
        for name in left {
            fs::write(kennel.at(name), "spring/moss: { code: SECRET }").unwrap();
        }
        fs::write(&paper, "SECRET").unwrap();
        let told = kennel.run(&["inspect"]);
        told.ends_with(0).says(&[
            "warning[secret-left-behind]",
            left[0],
            left[1],
            "run `litterfolio publish`",
        ]);
        let ran = kennel.run(run);
        ran.ends_with(0).says(&[left[0], left[1], "was removed"]);
        assert!(!ran.err.contains("SECRET"));
        assert!(left.iter().all(|name| !kennel.at(name).exists()), "{run:?}");
        // `recode` has nothing to do with papers.
        assert_eq!(paper.exists(), run[0] == "recode");
        assert!(!kennel.run(&["inspect"]).err.contains("left-behind"));
    }
}

#[test]
fn a_second_version_of_the_secrets_is_told_and_left_as_it_is() {
    let kennel = Kennel::published();
    let beside = ["codes (1).yaml", "signing-keys-LAPTOP.json"];
    for name in beside {
        fs::write(kennel.at(name), "code: SECRET").unwrap();
    }
    for run in ["inspect", "publish"] {
        let ran = kennel.run(&[run]);
        ran.ends_with(0).says(&[
            "warning[secret-second-version]",
            beside[0],
            "a second version of `codes.yaml`",
            beside[1],
            "a second version of `signing-keys.json`",
        ]);
        assert!(!ran.err.contains("SECRET"), "{}", ran.err);
    }
    for name in beside {
        assert_eq!(read(&kennel.at(name)), "code: SECRET");
        fs::remove_file(kennel.at(name)).unwrap();
    }
    assert!(!kennel.run(&["inspect"]).err.contains("second-version"));
}

#[test]
fn a_run_that_is_still_at_work_is_left_alone() {
    let kennel = Kennel::published();
    let waiting = kennel.at(".codes.yaml.litterfolio-4000001");
    fs::write(&waiting, "SECRET").unwrap();
    let held = fs::File::options()
        .read(true)
        .write(true)
        .open(&waiting)
        .unwrap();
    lock(&held);
    assert!(
        !kennel
            .run(&["inspect"])
            .ends_with(0)
            .err
            .contains("left-behind")
    );
    kennel.run(&["publish"]).ends_with(0);
    assert!(waiting.exists());
    drop(held);
    kennel.run(&["publish"]).ends_with(0).says(&["was removed"]);
}

#[test]
fn git_takes_neither_secrets_nor_what_waits_to_become_one() {
    let kennel = Kennel::base();
    let git = |arguments: &[&str]| {
        Command::new("git")
            .arg("-C")
            .arg(kennel.path())
            .args(arguments)
            .output()
            .unwrap()
    };
    assert!(git(&["init", "-q"]).status.success());
    let is_ignored = |name: &str| {
        git(&["check-ignore", "-q", "--no-index", "--", name])
            .status
            .success()
    };
    let secrets = [
        "codes.yaml",
        "signing-keys.json",
        ".codes.yaml.litterfolio-77",
        "private/handover/spring-moss/.a.pdf.litterfolio-77",
    ];
    // A later line of the keeper's own lets them in again.
    for before in [
        "",
        "/codes.yaml\n/signing-keys.json\n!codes.yaml\n",
        "/codes.yaml\n/signing-keys.json\n!*.json\n!/codes.y?ml",
    ] {
        fs::write(kennel.at(".gitignore"), before).unwrap();
        kennel.run(&["publish"]).ends_with(0);
        for name in secrets {
            assert!(
                is_ignored(name),
                "git takes {name} although this stands there:\n{}",
                read(&kennel.at(".gitignore"))
            );
        }
        assert!(
            read(&kennel.at(".gitignore")).starts_with(before),
            "what stood there stays"
        );
        let once = read(&kennel.at(".gitignore"));
        kennel.run(&["recode", "moss"]).ends_with(0);
        assert_eq!(read(&kennel.at(".gitignore")), once);
        assert!(!kennel.run(&["inspect"]).err.contains("secret-not-ignored"));
    }
}

#[cfg(target_os = "linux")]
mod unheard {
    use super::*;

    /// Runs with standard output that takes nothing.
    fn into(kennel: &Kennel, output: Stdio, arguments: &[&str]) -> Ran {
        let mut command = Command::new(program());
        command
            .arg("--kennel")
            .arg(kennel.path())
            .args(arguments)
            .stdout(output);
        let ended = command
            .stderr(Stdio::piped())
            .stdin(Stdio::null())
            .spawn()
            .unwrap()
            .wait_with_output()
            .unwrap();
        Ran {
            code: ended.status.code(),
            out: String::new(),
            err: String::from_utf8(ended.stderr).unwrap(),
        }
    }

    fn full() -> Stdio {
        Stdio::from(
            fs::OpenOptions::new()
                .write(true)
                .open("/dev/full")
                .unwrap(),
        )
    }

    /// A pipe whose reader has gone away.
    fn closed() -> Stdio {
        let mut reader = Command::new("true").stdin(Stdio::piped()).spawn().unwrap();
        let pipe = reader.stdin.take().unwrap();
        reader.wait().unwrap();
        Stdio::from(pipe)
    }

    #[test]
    fn output_that_cannot_be_written_is_a_run_that_failed() {
        let kennel = Kennel::published();
        for arguments in [
            &["publish"][..],
            &["publish", "--json"],
            &["inspect"],
            &["inspect", "--json"],
            &["rounds"],
            &["schema", "litter"],
            &["manual"],
            &["tend", "spring", "check", "--for", "wren", "--by", "A vet"],
        ] {
            // ENOSPC, ERROR_DISK_FULL: in words they differ from system to system.
            let number = if is_for_windows() { 112 } else { 28 };
            into(&kennel, full(), arguments).ends_with(2).says(&[
                "what there is to say could not be written: ",
                &format!("(os error {number})"),
            ]);
        }
        for arguments in [&["--help"][..], &["--version"], &["help", "publish"]] {
            into(&kennel, full(), arguments).ends_with(2);
        }
        // Whoever closes a pipe has seen enough.
        for arguments in [&["publish"][..], &["inspect", "--json"], &["--help"]] {
            assert_eq!(into(&kennel, closed(), arguments).ends_with(0).err, "");
        }
    }

    #[test]
    fn a_new_code_is_never_lost_unseen() {
        let kennel = Kennel::published();
        for output in [full, closed] {
            let before = read(&kennel.at("codes.yaml"));
            let ran = into(&kennel, output(), &["recode", "moss"]);
            ran.ends_with(2).says(&[
                "what was drawn could not be shown",
                "it stands in codes.yaml",
            ]);
            assert_ne!(read(&kennel.at("codes.yaml")), before);
        }
    }
}

#[test]
fn an_error_says_how_things_stand() {
    let kennel = Kennel::published();
    // What is remembered of sealed pages cannot be written: site and book are new all the same.
    let remembered = kennel.at(".litterfolio/sealed.json");
    fs::remove_file(&remembered).unwrap();
    fs::create_dir_all(remembered.join("in-the-way")).unwrap();
    kennel.change("kennel.yaml", "name: Tarnside", "name: Tarnside Hill");
    kennel.run(&["publish"]).ends_with(2).says(&[
        "cannot move",
        "the new site and the new book are in place",
        "run again",
    ]);
    assert!(read(&kennel.at("public/index.html")).contains("Tarnside Hill"));
    fs::remove_dir_all(&remembered).unwrap();
    kennel.run(&["publish"]).ends_with(0);

    // One paper cannot be written: those before it are new, and the site is.
    let folder = kennel.at("private/handover/spring-moss");
    fs::create_dir_all(folder.join("moss-tarnside-hill-2026-cover.pdf/in-the-way")).unwrap();
    let ran = kennel.run(&["handover", "moss", "--anyway"]);
    ran.ends_with(2).says(&[
        "moss-tarnside-hill-2026-cover.pdf",
        "the site was published; of the papers only these are new: ",
        "moss-tarnside-hill-2026-record.pdf",
    ]);
    assert!(
        folder.join("moss-tarnside-hill-2026-record.pdf").is_file()
            && !folder.join("moss-tarnside-hill-2026-page.html").exists()
    );
    fs::remove_dir_all(&folder).unwrap();

    // Nothing was swapped: that is said too.
    fs::write(kennel.at("public/puppies.html.mine"), "x").unwrap();
    fs::remove_file(kennel.at("public/puppies.html")).unwrap();
    fs::create_dir(kennel.at("public/puppies.html")).unwrap();
    kennel.run(&["publish"]).ends_with(2).says(&[
        "cannot replace what this program did not write",
        "the site and the book are as they were before",
    ]);
}

#[cfg(unix)]
mod no_file {
    use super::*;
    use std::os::unix::fs::symlink;

    fn is_named(kennel: &Kennel, words: &[&str]) {
        for arguments in [&["inspect"][..], &["publish"], &["recode", "moss"]] {
            // A pipe that is waited for would never end: `timeout` says so with 124.
            let mut command = Command::new("timeout");
            command
                .arg("60")
                .arg(program())
                .arg("--kennel")
                .arg(kennel.path())
                .args(arguments);
            let ran = Ran::of(&mut command);
            assert!(matches!(ran.code, Some(1 | 2)), "{arguments:?}: {ran:?}");
            ran.says(words);
            assert!(!ran.err.contains("secret-readable"), "{}", ran.err);
        }
    }

    #[test]
    fn a_pipe_or_a_link_in_place_of_the_secrets_is_named() {
        for name in ["codes.yaml", "signing-keys.json"] {
            let kennel = Kennel::published();
            let own = kennel.at("elsewhere");
            fs::rename(kennel.at(name), &own).unwrap();
            assert!(
                Command::new("mkfifo")
                    .arg(kennel.at(name))
                    .status()
                    .unwrap()
                    .success()
            );
            is_named(&kennel, &[name, "it is no file"]);
            fs::remove_file(kennel.at(name)).unwrap();
            symlink(&own, kennel.at(name)).unwrap();
            let before = read(&own);
            is_named(
                &kennel,
                &[
                    name,
                    "it is a link to another place",
                    "put the file itself there",
                ],
            );
            assert_eq!(read(&own), before);
            assert!(
                fs::symlink_metadata(kennel.at(name)).unwrap().is_symlink(),
                "the link is not replaced"
            );
        }
    }

    #[test]
    fn a_template_that_is_no_file_is_not_passed_over() {
        let kennel = Kennel::published();
        let home = read(&kennel.at("public/index.html"));
        fs::create_dir_all(kennel.at("templates/visitor")).unwrap();
        fs::write(
            kennel.at("own-footer.html"),
            "<footer>Made by hand</footer>",
        )
        .unwrap();
        let template = kennel.at("templates/visitor/footer.html");
        symlink(kennel.at("own-footer.html"), &template).unwrap();
        for command in ["inspect", "publish"] {
            kennel.run(&[command]).ends_with(1).says(&[
                "error[symbolic-link]",
                "templates/visitor/footer.html",
                "put the file or folder itself here",
            ]);
        }
        assert_eq!(read(&kennel.at("public/index.html")), home);
        fs::remove_file(&template).unwrap();
        fs::copy(kennel.at("own-footer.html"), &template).unwrap();
        kennel.run(&["publish"]).ends_with(0);
        assert!(read(&kennel.at("public/index.html")).contains("Made by hand"));
    }
}
