//! The first start and the second: where no kennel is known a folder is asked for, it is remembered,
//! a desk that runs is opened, and a kennel that is gone or was copied is told of.
//!
//! In: homes made for one test, and the program started without a command, as by a press. Out: what
//! a browser is answered. No screen is named, so that no browser is opened.

use crate::support::desk::{self, Answer, Desk, LONG, get, lines_of};
use crate::support::forms;
use crate::support::{Kennel, Ran, program, tree, typed};
use std::fs;
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::sync::mpsc::Receiver;
use std::time::{Duration, Instant};
use tempfile::TempDir;

/// A user of a machine who has nothing yet.
struct User {
    home: TempDir,
}

/// The program, started without a command.
struct Started {
    child: Child,
    lines: Receiver<String>,
}

impl User {
    fn new() -> Self {
        let home = tempfile::tempdir().unwrap();
        fs::create_dir_all(home.path().join("nowhere")).unwrap();
        Self { home }
    }

    fn at(&self, name: &str) -> std::path::PathBuf {
        self.home.path().join(name)
    }

    fn command(&self, from: &Path) -> Command {
        let mut command = Command::new(program());
        command
            .current_dir(from)
            .env("HOME", self.home.path())
            .env("XDG_CONFIG_HOME", self.at("settings"))
            .env_remove("DISPLAY")
            .env_remove("WAYLAND_DISPLAY")
            .stdin(Stdio::null());
        command
    }

    /// Starts the program in a folder that is no kennel.
    fn starts(&self) -> Started {
        Started::of(&mut self.command(&self.at("nowhere")))
    }

    fn remembered(&self) -> String {
        fs::read_to_string(self.at("settings/litterfolio/kennel")).unwrap_or_default()
    }
}

impl Started {
    fn of(command: &mut Command) -> Self {
        let mut child = command.stdout(Stdio::piped()).spawn().unwrap();
        let lines = lines_of(&mut child);
        Self { child, lines }
    }

    /// Waits for a line with a link: its port and path.
    #[track_caller]
    fn link(&self, begin: &str) -> (u16, String) {
        loop {
            let line = self.lines.recv_timeout(LONG).expect("a link is told");
            let link = line.strip_prefix(begin);
            if let Some(link) = link.filter(|link| link.starts_with("http://")) {
                return parts(link);
            }
        }
    }

    fn ends(&mut self) -> Option<i32> {
        let begun = Instant::now();
        loop {
            if let Some(status) = self.child.try_wait().unwrap() {
                return status.code();
            }
            assert!(begun.elapsed() < LONG, "it does not end");
            std::thread::sleep(Duration::from_millis(10));
        }
    }
}

impl Drop for Started {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

/// Port and path of an address of this machine.
fn parts(link: &str) -> (u16, String) {
    let rest = link.strip_prefix("http://127.0.0.1:").unwrap();
    let (port, path) = rest.split_once('/').unwrap();
    (port.parse().unwrap(), format!("/{path}"))
}

/// The link that a page leads on to.
fn leads_to(html: &str) -> (u16, String) {
    let at = html.find("url=http://").expect(html) + 4;
    parts(html[at..].split('"').next().unwrap())
}

/// The first link to a desk in a page.
fn linked(html: &str) -> (u16, String) {
    let at = html.find("http://127.0.0.1:").expect(html);
    parts(html[at..].split('"').next().unwrap())
}

/// Opens a link, so that later requests bring the cookie.
#[track_caller]
fn opens((port, path): &(u16, String)) {
    desk::opens(*port, path);
}

/// Sends fields from a page, with its token.
#[track_caller]
fn post(port: u16, page: &str, to: &str, fields: &[(&str, &str)]) -> Answer {
    let html = get(port, page).text();
    let (_, rest) = html.split_once("name=\"token\" value=\"").expect(&html);
    let token = rest.split('"').next().unwrap();
    forms::post(port, to, &[&[("token", token)], fields].concat())
}

#[test]
fn without_a_kennel_a_folder_is_asked_for_begun_and_remembered() {
    let user = User::new();
    let mut started = user.starts();
    let link = started.link("");
    // Nobody else is answered.
    assert_eq!(get(link.0, "/").status, 403);
    opens(&link);
    let page = get(link.0, "/").text();
    assert!(page.contains("Documents/Litterfolio kennel"), "{page}");
    let choose = |fields: &[(&str, &str)]| post(link.0, "/", "/-desk/choose", fields);
    // A slip comes back as it was typed.
    let wrong = user.at("no drive/kennels/mine");
    let answer = choose(&[("act", "open"), ("folder", wrong.to_str().unwrap())]);
    assert_eq!(answer.status, 422);
    assert!(answer.text().contains("no drive/kennels/mine"));
    // Without the token nothing is done.
    let mine = user.at("Documents/Litterfolio kennel");
    let fields = [("act", "open"), ("folder", mine.to_str().unwrap())];
    let answer = forms::post(link.0, "/-desk/choose", &fields);
    assert_eq!(answer.status, 403);
    assert!(!mine.exists());
    let answer = choose(&[("act", "open"), ("folder", mine.to_str().unwrap())]);
    assert_eq!(answer.status, 200, "{}", answer.text());
    let desk = leads_to(&answer.text());
    opens(&desk);
    let begin = get(desk.0, "/-desk/begin");
    assert_eq!(begin.status, 200);
    assert!(mine.join("content").is_dir());
    assert_eq!(user.remembered().trim(), mine.to_str().unwrap());
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        let mode = |path: &Path| fs::metadata(path).unwrap().permissions().mode() & 0o777;
        assert_eq!(mode(&user.at("settings/litterfolio/kennel")), 0o600);
        assert_eq!(mode(&user.at("settings/litterfolio")), 0o700);
        assert_eq!(mode(&mine.join(".litterfolio/desk/desk.link")), 0o600);
    }
    // A second start opens the one that runs, and ends.
    let mut second = user.starts();
    let again = second.link("book: ");
    assert_eq!(second.ends(), Some(0));
    assert_eq!(again.0, desk.0);
    assert_ne!(again.1, desk.1, "a link works once");
    assert_eq!(get(again.0, &again.1).status, 200);
    // After a kill the next start begins a desk of its own.
    started.child.kill().unwrap();
    started.child.wait().unwrap();
    let third = user.starts();
    let fresh = third.link("book: ");
    opens(&fresh);
    assert_eq!(get(fresh.0, "/-desk/begin").status, 200);
}

#[test]
fn a_kennel_that_is_gone_is_told_and_not_begun_anew_in_its_place() {
    let user = User::new();
    let kennel = Kennel::base();
    let stick = user.at("stick");
    fs::create_dir_all(user.at("settings/litterfolio")).unwrap();
    fs::write(
        user.at("settings/litterfolio/kennel"),
        format!("{}\n", stick.display()),
    )
    .unwrap();
    let started = user.starts();
    let link = started.link("");
    opens(&link);
    let page = get(link.0, "/").text();
    assert!(
        page.contains("is not there") && page.contains(stick.to_str().unwrap()),
        "{page}"
    );
    let choose = || {
        let fields = [("act", "open"), ("folder", stick.to_str().unwrap())];
        post(link.0, "/", "/-desk/choose", &fields)
    };
    let answer = choose();
    assert_eq!(answer.status, 422);
    assert!(answer.text().contains("still not there"));
    assert!(!stick.exists());
    // The stick is there again.
    for (file, bytes) in tree(kennel.path()) {
        fs::create_dir_all(stick.join(&file).parent().unwrap()).unwrap();
        fs::write(stick.join(&file), bytes).unwrap();
    }
    let answer = choose();
    assert_eq!(answer.status, 200, "{}", answer.text());
    opens(&leads_to(&answer.text()));
}

#[test]
fn a_kennel_is_set_up_from_a_backup_at_the_first_start() {
    let user = User::new();
    let kennel = Kennel::base();
    let file = user.at("b.zip");
    kennel.run(&["backup", file.to_str().unwrap()]).ends_with(0);
    let started = user.starts();
    let link = started.link("");
    opens(&link);
    let into = user.at("Documents/mine");
    let restore = |file: &str| {
        let fields = [
            ("act", "restore"),
            ("file", file),
            ("into", into.to_str().unwrap()),
        ];
        post(link.0, "/", "/-desk/choose", &fields)
    };
    let answer = restore(user.at("settings").to_str().unwrap());
    assert_eq!(answer.status, 422, "{}", answer.text());
    let answer = restore(file.to_str().unwrap());
    assert_eq!(answer.status, 200, "{}", answer.text());
    opens(&leads_to(&answer.text()));
    assert!(tree(&into.join("content")) == tree(&kennel.content()));
    assert_eq!(user.remembered().trim(), into.to_str().unwrap());
}

#[test]
fn a_kennel_in_this_folder_or_named_goes_before_the_one_that_is_remembered() {
    let user = User::new();
    let (here, named) = (Kennel::base(), Kennel::base());
    named.change("kennel.yaml", "name: Tarnside", "name: Tarnside Hill");
    let started = Started::of(&mut user.command(here.path()));
    started.link("book: ");
    assert_eq!(
        user.remembered(),
        "",
        "a folder that one stands in is not remembered"
    );
    let started = Started::of(user.command(here.path()).arg("--kennel").arg(named.path()));
    started.link("book: ");
    assert_eq!(user.remembered().trim(), named.path().to_str().unwrap());
    assert!(named.at(".litterfolio/desk").is_dir());
    drop(started);
    // From then on it opens wherever the program is started.
    fs::remove_dir_all(named.at(".litterfolio")).unwrap();
    let started = user.starts();
    started.link("book: ");
    assert!(named.at(".litterfolio/desk").is_dir());
    // Other commands take the folder they are in, and no other.
    let elsewhere = Ran::of(user.command(&user.at("nowhere")).arg("inspect"));
    elsewhere
        .ends_with(2)
        .says(&["there is no folder `content`"]);
    let wrong = Ran::of(user.command(&user.at("nowhere")).args(["--kennel", "none"]));
    wrong.ends_with(2).says(&["no kennel stands in none"]);
}

#[test]
fn the_first_page_tells_of_the_last_backup_and_of_codes_that_are_missing() {
    let kennel = Kennel::published();
    let elsewhere = tempfile::tempdir().unwrap();
    let desk = Desk::of(kennel.path());
    assert!(desk.book("/").text().contains("No backup was made yet."));
    let page = desk.book("/-desk/backup").text();
    assert!(page.contains("name=\"passphrase\""), "{page}");
    let phrase = "wet grass after rain";
    let place = typed(elsewhere.path());
    let place = place.as_str();
    let made = |place: &str, phrase: &str, again: &str| {
        post(
            desk.book,
            "/-desk/backup",
            "/-desk/backup",
            &[("place", place), ("passphrase", phrase), ("again", again)],
        )
    };
    for (place, phrase, again, words) in [
        (place, phrase, "other", "the two passphrases differ"),
        (place, "short", "short", "at least 12 characters"),
        ("stick", "", "", "from the root of its disk"),
        (
            &typed(Path::new("/no/stick")),
            "",
            "",
            "there is no such folder",
        ),
    ] {
        let answer = made(place, phrase, again);
        assert_eq!(answer.status, 422);
        assert!(answer.text().contains(words), "{words}: {}", answer.text());
    }
    assert_eq!(tree(elsewhere.path()).len(), 0);
    let answer = made(place, phrase, phrase);
    assert_eq!(answer.status, 200, "{}", answer.text());
    assert!(answer.text().contains("read again and found whole"));
    assert_eq!(tree(elsewhere.path()).len(), 1);
    let first = desk.book("/").text();
    assert!(
        first.contains("Last backup: ") && first.contains("Nothing changed since."),
        "{first}"
    );
    kennel.change("owners.yaml", "waiting:", "# more\nwaiting:");
    kennel.write("pages/about.md", "---\ntitle: About\n---\nHello.\n");
    let first = desk.book("/").text();
    assert!(first.contains("Since then 2 files"), "{first}");
    // Codes that are gone are told of at once.
    assert!(!first.contains("codes.yaml"));
    fs::remove_file(kennel.at("codes.yaml")).unwrap();
    let first = desk.book("/").text();
    assert!(first.contains("codes.yaml is missing"), "{first}");
}

#[test]
fn a_desk_can_be_ended_and_another_kennel_opened_from_it() {
    let (kennel, other) = (Kennel::base(), Kennel::base());
    let user = User::new();
    let mut started = Started::of(user.command(kennel.path()).args(["desk", "--no-browser"]));
    let link = started.link("book: ");
    opens(&link);
    let page = get(link.0, "/-desk/kennel").text();
    assert!(page.contains(kennel.path().to_str().unwrap()), "{page}");
    let fields = [("other", other.path().to_str().unwrap())];
    let answer = post(link.0, "/-desk/kennel", "/-desk/kennel", &fields);
    assert_eq!(answer.status, 200, "{}", answer.text());
    let theirs = linked(&answer.text());
    opens(&theirs);
    assert_eq!(user.remembered().trim(), other.path().to_str().unwrap());
    // From a backup as well.
    let file = user.at("b.zip");
    kennel.run(&["backup", file.to_str().unwrap()]).ends_with(0);
    let into = user.at("from backup");
    let fields = [
        ("act", "restore"),
        ("file", file.to_str().unwrap()),
        ("into", into.to_str().unwrap()),
    ];
    let answer = post(link.0, "/-desk/kennel", "/-desk/kennel", &fields);
    assert_eq!(answer.status, 200, "{}", answer.text());
    assert!(tree(&into.join("content")) == tree(&kennel.content()));
    let third = linked(&answer.text());
    opens(&third);
    let answer = post(link.0, "/-desk/kennel", "/-desk/kennel", &fields);
    assert_eq!(answer.status, 422);
    assert!(
        answer.text().contains("it is not empty"),
        "{}",
        answer.text()
    );
    let begun = get(link.0, "/-desk/kennel").text();
    assert!(
        !begun.contains("from backup"),
        "this desk stays with its own kennel"
    );
    for (port, child) in [
        (theirs.0, None),
        (third.0, None),
        (link.0, Some(&mut started)),
    ] {
        let answer = post(port, "/-desk/kennel", "/-desk/end", &[]);
        assert!(
            answer.text().contains("The desk has ended"),
            "{}",
            answer.text()
        );
        if let Some(started) = child {
            assert_eq!(started.ends(), Some(0));
        }
    }
}

#[test]
fn a_kennel_that_was_copied_whole_goes_on_as_it_was() {
    let kennel = Kennel::published();
    let place = tempfile::tempdir().unwrap();
    let copy = place.path().join("copied");
    for (file, bytes) in tree(kennel.path()) {
        fs::create_dir_all(copy.join(&file).parent().unwrap()).unwrap();
        fs::write(copy.join(&file), bytes).unwrap();
    }
    let run = |arguments: &[&str]| {
        Ran::of(
            Command::new(program())
                .arg("--kennel")
                .arg(&copy)
                .args(arguments),
        )
    };
    // A copy has other rights; codes are to be their keeper's alone.
    #[cfg(unix)]
    for file in ["codes.yaml", "signing-keys.json"] {
        use std::os::unix::fs::PermissionsExt;
        fs::set_permissions(copy.join(file), fs::Permissions::from_mode(0o600)).unwrap();
    }
    let before = kennel.run(&["inspect", "--json"]).out;
    assert_eq!(run(&["inspect", "--json"]).ends_with(0).out, before);
    let published = run(&["publish"]);
    let said = &published.ends_with(0).out;
    assert!(
        said.contains("sealed pages: 0 sealed, 1 as before"),
        "{said}"
    );
    assert!(tree(&copy.join("public")) == tree(&kennel.at("public")));
    // Copied without its secrets, it says so, and draws none in silence.
    fs::remove_file(copy.join("codes.yaml")).unwrap();
    run(&["inspect"])
        .ends_with(1)
        .says(&["codes.yaml", "put the file back from your backup"]);
    run(&["publish"]).ends_with(2);
}

#[test]
fn a_kennel_is_begun_where_nothing_of_its_keeper_stands() {
    let home = tempfile::tempdir().unwrap();
    let run = |folder: &Path, command: &str| {
        let mut program = Command::new(program());
        match command {
            "begin" => program.arg(command).arg(folder),
            _ => program.arg("--kennel").arg(folder).arg(command),
        };
        Ran::of(&mut program)
    };
    // What a file manager put there by itself is none of the keeper's, and stays.
    let mine = home.path().join("my kennel");
    fs::create_dir(&mine).unwrap();
    for name in [".DS_Store", "desktop.ini", "Thumbs.db"] {
        fs::write(mine.join(name), "looks").unwrap();
    }
    for command in ["begin", "inspect", "publish"] {
        run(&mine, command).ends_with(0);
    }
    assert!(mine.join("public/index.html").is_file());
    assert_eq!(fs::read(mine.join(".DS_Store")).unwrap(), b"looks");
    run(&mine, "begin").ends_with(2).says(&["is not empty"]);
    let other = home.path().join("letters");
    fs::create_dir(&other).unwrap();
    fs::write(other.join("letter.txt"), "Dear").unwrap();
    run(&other, "begin").ends_with(2).says(&["`letter.txt`"]);
    assert_eq!(tree(&other).len(), 1);
}
