//! Bad input of every kind, given to the program as a keeper would.
//!
//! In: kennels with broken records, files that are not what their names say, hostile texts and
//! impossible output folders. Out: the exit code, a message with file and hint, no panic, and the
//! old site byte for byte as it was. Texts that are markup must never become markup on any page.

use crate::support::html;

use crate::support::filled::{Filler, PORTRAIT};
use crate::support::{Kennel, Ran, now, program, tree};
use image::{DynamicImage, ImageFormat, RgbImage};
use litterfolio::records::{Listing, Loaded, load, load_parsed, problem::Located, schema};
use proptest::prelude::*;
use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write as _;
use std::fs;
use std::io::Cursor;
use std::os::unix::ffi::OsStrExt;
use std::os::unix::fs::{MetadataExt, PermissionsExt, chown, symlink};
use std::os::unix::process::CommandExt;
use std::path::Path;
use std::process::Command;

/// Publishes a good kennel, breaks it, and asks `inspect`, `inspect --json` and `publish`: all
/// refuse, and the site is as it was.
#[track_caller]
fn refused(break_it: impl FnOnce(&Kennel), file: &str, code: &str, words: &[&str]) -> Kennel {
    let kennel = Kennel::published();
    let before = kennel.site();
    assert!(before.contains_key("public/index.html") && before.contains_key("private/index.html"));
    break_it(&kennel);

    kennel
        .run(&["inspect"])
        .ends_with(1)
        .says(&[&format!("[{code}]"), file])
        .says(words);
    let json = kennel.run(&["inspect", "--json"]);
    let expected = (code.to_owned(), "error".to_owned(), file.to_owned());
    assert!(
        json.ends_with(1).problems().contains(&expected),
        "{expected:?} in {json:#?}"
    );
    kennel
        .run(&["publish"])
        .ends_with(1)
        .says(&[&format!("[{code}]"), file, "nothing was published"])
        .says(words);
    assert!(kennel.site() == before, "the old site has changed");
    kennel
}

// Texts that are no records.

#[test]
fn broken_yaml_is_refused_with_its_line() {
    let broken = |k: &Kennel| {
        k.write(
            "dogs/juno.yaml",
            "name: Juno\nsex: female\n  born: 2020-01-01\n",
        )
    };
    refused(
        broken,
        "dogs/juno.yaml",
        "yaml-broken",
        &[
            "content/dogs/juno.yaml:3:",
            "begins with 2 blanks",
            "`born: 2020-01-01`",
        ],
    );
}

/// Aliases that unfold to millions of values, in a shape that the records allow.
#[test]
fn an_alias_bomb_is_refused() {
    let bomb = |k: &Kennel| {
        let mut text = "name: Bomb\ndam: juno\nsire: corvin\nbirth: { on: 2026-04-01, how: \
                        natural }\npuppies:\n"
            .to_owned();
        let scores = vec!["*s"; 900].join(", ");
        let _ = writeln!(
            text,
            "  - &p {{ id: moss, sex: female, vigour: [&s {{ at: 5 min, heart: 2, breathing: 2, \
             reflex: 2 }}, {scores}] }}"
        );
        text.push_str(&"  - *p\n".repeat(900));
        k.write("litters/spring/litter.yaml", &text);
    };
    refused(
        bomb,
        "litters/spring/litter.yaml",
        "alias-bomb",
        &["unfold without end", "write the values out"],
    );
}

#[test]
fn an_alias_bomb_of_lists_is_refused() {
    let bomb = |k: &Kennel| {
        let mut text = "- &a0 { at: 2026-04-02 07:30, moss: 209 g }\n".to_owned();
        for i in 1..30 {
            let _ = writeln!(
                text,
                "- &a{i} [{}]",
                vec![format!("*a{}", i - 1); 10].join(", ")
            );
        }
        k.write("litters/spring/weights.yaml", &text);
    };
    refused(bomb, "litters/spring/weights.yaml", "wrong-kind", &[]);
}

#[test]
fn a_huge_record_is_refused_without_being_read() {
    let sparse = |k: &Kennel| {
        fs::File::create(k.content().join("litters/spring/weights.yaml"))
            .unwrap()
            .set_len(100_000_000)
            .unwrap()
    };
    let kennel = refused(
        sparse,
        "litters/spring/weights.yaml",
        "file-too-large",
        &["this file has 100 MB", "at most 8 MB"],
    );
    // The same file forty times as large, with less memory and time than reading it would take.
    fs::File::options()
        .write(true)
        .open(kennel.content().join("litters/spring/weights.yaml"))
        .unwrap()
        .set_len(4_000_000_000)
        .unwrap();
    for limit in ["-v 1500000", "-t 6"] {
        within(limit, &kennel, "inspect")
            .ends_with(1)
            .says(&["[file-too-large]"]);
    }
}

/// Runs the program below a limit of the shell.
fn within(limit: &str, kennel: &Kennel, command: &str) -> Ran {
    let script = format!("ulimit {limit}; exec \"$0\" --kennel \"$1\" {command}");
    Ran::of(
        Command::new("sh")
            .args(["-c", &script])
            .arg(program())
            .arg(kennel.path()),
    )
}

#[test]
fn bytes_that_are_no_text_are_refused_with_their_line() {
    let bytes = |k: &Kennel| {
        k.write_bytes(
            "dogs/juno.yaml",
            b"name: Juno\nsex: female\ncolour: br\xefndle\n",
        )
    };
    refused(
        bytes,
        "dogs/juno.yaml",
        "not-utf-8",
        &["line 3 holds", "encoding \"UTF-8\""],
    );
    let zeros = |k: &Kennel| k.write_bytes("dogs/juno.yaml", &[0; 4096]);
    refused(zeros, "dogs/juno.yaml", "yaml-broken", &[]);
    let utf_16 = |k: &Kennel| {
        k.write_bytes(
            "dogs/juno.yaml",
            &"\u{feff}name: Juno\n"
                .encode_utf16()
                .flat_map(u16::to_le_bytes)
                .collect::<Vec<_>>(),
        )
    };
    refused(
        utf_16,
        "dogs/juno.yaml",
        "not-utf-8",
        &["in the encoding UTF-16"],
    );
}

#[test]
fn a_text_beyond_all_measure_is_refused() {
    let long = |k: &Kennel| {
        k.write(
            "dogs/brack.yaml",
            &format!("name: Brack\nsex: male\nabout: {}\n", "woof ".repeat(5000)),
        )
    };
    refused(
        long,
        "dogs/brack.yaml",
        "out-of-range",
        &["longer than 20,000 characters", "make it a note or a page"],
    );
}

// Names and links.

#[test]
fn links_are_not_followed() {
    let outside = Kennel::base();
    let out = outside.content();
    let hint = "links are not followed";
    refused(
        |k| {
            symlink(
                out.join("dogs/juno.yaml"),
                k.content().join("dogs/holly.yaml"),
            )
            .unwrap()
        },
        "dogs/holly.yaml",
        "symbolic-link",
        &[hint],
    );
    refused(
        |k| {
            symlink(
                out.join("litters/spring"),
                k.content().join("litters/summer"),
            )
            .unwrap()
        },
        "litters/summer",
        "symbolic-link",
        &[hint],
    );
    refused(
        |k| symlink("..", k.content().join("litters/spring/notes/again")).unwrap(),
        "litters/spring/notes/again",
        "symbolic-link",
        &[hint],
    );
    refused(
        |k| symlink("loop.yaml", k.content().join("dogs/loop.yaml")).unwrap(),
        "dogs/loop.yaml",
        "symbolic-link",
        &[hint],
    );
    let passwords = |k: &Kennel| {
        fs::create_dir(k.content().join("litters/spring/photos")).unwrap();
        symlink(
            "/etc/passwd",
            k.content().join("litters/spring/photos/moss.jpg"),
        )
        .unwrap();
    };
    refused(
        passwords,
        "litters/spring/photos/moss.jpg",
        "symbolic-link",
        &[hint],
    );
}

#[test]
fn names_that_lead_out_of_the_folder_lead_nowhere() {
    refused(
        |k| {
            k.change(
                "dogs/juno.yaml",
                "sex: female",
                "sex: female\nphoto: ../../../etc/passwd",
            )
        },
        "dogs/juno.yaml",
        "photo-missing",
        &["there is no picture"],
    );
    refused(
        |k| k.change("dogs/juno.yaml", "sire: brack", "sire: ../corvin"),
        "dogs/juno.yaml",
        "not-a-name",
        &["`../corvin` cannot be a name"],
    );
    refused(
        |k| k.change("owners.yaml", "litter: spring", "litter: .."),
        "owners.yaml",
        "not-a-name",
        &[],
    );
    refused(
        |k| k.write("pages/a..b.md", "---\ntitle: Up\n---\nText.\n"),
        "pages/a..b.md",
        "not-a-name",
        &["a-b"],
    );
}

#[test]
fn names_that_cannot_be_seen_are_refused_and_not_shown_as_they_are() {
    for (name, shown) in [
        ("holly\u{202e}lmay.yaml", "dogs/holly\u{fffd}lmay.yaml"),
        ("hol\u{1b}[31mly.yaml", "dogs/hol\u{fffd}[31mly.yaml"),
        ("hol\nly.yaml", "dogs/hol\u{fffd}ly.yaml"),
    ] {
        refused(
            |k| k.write(&format!("dogs/{name}"), "name: Holly\nsex: female\n"),
            shown,
            "name-strange",
            &["rename it with letters, digits and `-`"],
        );
    }
    let latin = |k: &Kennel| {
        fs::write(
            k.content()
                .join("dogs")
                .join(std::ffi::OsStr::from_bytes(b"ren\xe9.yaml")),
            "name: Rene\n",
        )
        .unwrap()
    };
    refused(
        latin,
        "dogs/ren\u{fffd}.yaml",
        "name-strange",
        &["are no text"],
    );
}

#[test]
fn what_is_no_file_is_refused() {
    let socket = |k: &Kennel| {
        drop(std::os::unix::net::UnixListener::bind(k.content().join("dogs/holly.yaml")).unwrap())
    };
    refused(
        socket,
        "dogs/holly.yaml",
        "not-a-file",
        &["neither a file nor a folder", "take it out"],
    );
}

#[test]
fn an_empty_kennel_is_told_how_to_begin() {
    let kennel = Kennel::empty();
    kennel.run(&["inspect"]).ends_with(1).says(&[
        "[kennel-missing]",
        "content/kennel.yaml",
        "`litterfolio begin`",
    ]);
    kennel
        .run(&["publish"])
        .ends_with(1)
        .says(&["[kennel-missing]", "nothing was published"]);
    assert!(kennel.site().is_empty());

    fs::remove_dir(kennel.content()).unwrap();
    for command in [&["inspect"][..], &["inspect", "--json"], &["publish"]] {
        let ran = kennel.run(command);
        ran.ends_with(2).says(&[
            "there is no folder `content`",
            "litterfolio begin <DIR>",
            "--kennel <DIR>",
        ]);
        assert_eq!(ran.out, "");
    }
    fs::write(kennel.content(), "a file of that name").unwrap();
    kennel
        .run(&["publish"])
        .ends_with(2)
        .says(&["there is no folder `content`"]);
    assert!(kennel.site().is_empty());
}

// What may not be read or written.

/// Runs the program as somebody who is held by the rights of files, which root is not.
fn as_nobody(kennel: &Kennel, arguments: &[&str]) -> Ran {
    const NOBODY: u32 = 65_534;
    let is_root = tempfile::tempfile().unwrap().metadata().unwrap().uid() == 0;
    if !is_root {
        return kennel.run(arguments);
    }
    // The program itself must stand where everybody may go.
    let place = tempfile::Builder::new()
        .prefix("program-")
        .permissions(fs::Permissions::from_mode(0o755))
        .tempdir()
        .unwrap();
    let copy = place.path().join("litterfolio");
    fs::copy(program(), &copy).unwrap();
    let mut folders = vec![kennel.path().to_owned()];
    while let Some(folder) = folders.pop() {
        chown(&folder, Some(NOBODY), Some(NOBODY)).unwrap();
        for entry in fs::read_dir(&folder).unwrap().map(Result::unwrap) {
            if entry.file_type().unwrap().is_dir() {
                folders.push(entry.path());
            } else {
                chown(entry.path(), Some(NOBODY), Some(NOBODY)).unwrap();
            }
        }
    }
    Ran::of(
        Command::new(&copy)
            .arg("--kennel")
            .arg(kennel.path())
            .args(arguments)
            .uid(NOBODY)
            .gid(NOBODY),
    )
}

fn set_mode(path: &Path, mode: u32) {
    fs::set_permissions(path, fs::Permissions::from_mode(mode)).unwrap();
}

#[test]
fn what_may_not_be_read_is_a_problem() {
    let kennel = Kennel::base();
    kennel.write_bytes(
        "litters/spring/photos/moss.jpg",
        &picture(ImageFormat::Jpeg),
    );
    as_nobody(&kennel, &["publish"]).ends_with(0);
    let before = kennel.site();
    for (name, mode) in [
        ("owners.yaml", 0o644),
        ("dogs", 0o755),
        ("litters/spring/photos/moss.jpg", 0o644),
    ] {
        set_mode(&kennel.content().join(name), 0);
        for command in ["inspect", "publish"] {
            as_nobody(&kennel, &[command]).ends_with(1).says(&[
                "[file-unreadable]",
                &format!("content/{name}"),
                "look at its permissions",
            ]);
        }
        let problems = as_nobody(&kennel, &["inspect", "--json"]).problems();
        assert!(
            problems
                .iter()
                .any(|(code, _, file)| code == "file-unreadable" && file == name),
            "{problems:?}"
        );
        set_mode(&kennel.content().join(name), mode);
    }
    set_mode(&kennel.content(), 0);
    as_nobody(&kennel, &["inspect"])
        .ends_with(2)
        .says(&["cannot read the content folder", "/content"]);
    set_mode(&kennel.content(), 0o755);
    assert!(kennel.site() == before);
}

#[test]
fn a_folder_that_may_not_be_written_stops_the_run_before_the_work() {
    let kennel = Kennel::base();
    as_nobody(&kennel, &["publish"]).ends_with(0);
    let before = kennel.site();
    kennel.change("kennel.yaml", "name: Tarnside", "name: Becksgill");
    set_mode(kennel.path(), 0o555);
    as_nobody(&kennel, &["publish"])
        .ends_with(2)
        .says(&["litterfolio: cannot", "you may not write there"]);
    set_mode(kennel.path(), 0o755);
    assert!(kennel.site() == before);
    as_nobody(&kennel, &["publish"]).ends_with(0);
    assert!(kennel.site() != before);
}

#[test]
fn a_folder_that_cannot_be_a_site_is_refused() {
    let kennel = Kennel::published();
    kennel.change("kennel.yaml", "name: Tarnside", "name: Becksgill");
    fs::write(kennel.at("file"), "not a folder").unwrap();
    // What the program remembers may know of the attempt; nothing else may.
    let everything = || {
        tree(kennel.path())
            .into_iter()
            .filter(|(file, _)| !file.starts_with(".litterfolio/"))
            .collect::<BTreeMap<_, _>>()
    };
    let before = everything();
    let at = |name: &str| kennel.at(name).display().to_string();
    let apart = "give each of the two a folder of its own";
    let cases = [
        (
            ["--public", &at("file")],
            "it is a file",
            "move the file away or name another folder",
        ),
        (
            ["--public", &at("file/public")],
            "there is no folder",
            "make that folder first, or check the spelling",
        ),
        (
            ["--private", &at("no/such/folder")],
            "there is no folder",
            "check the spelling",
        ),
        (["--public", &at("content")], "it overlaps with", apart),
        (["--public", &at("content/site")], "it overlaps with", apart),
        (["--private", &at("content")], "it overlaps with", apart),
        (["--public", &at(".")], "litterfolio: cannot", ""),
        (
            ["--public", &at("content/..")],
            "it is not the name of a folder",
            "name a folder, for example public",
        ),
        (
            ["--private", &at("public/private")],
            "it overlaps with",
            apart,
        ),
        (
            ["--public", &at("private/public")],
            "it overlaps with",
            apart,
        ),
        (["--public", &at("private")], "it overlaps with", apart),
        (
            ["--public", "/"],
            "it is not the name of a folder",
            "name a folder",
        ),
        (["--public", "/proc/litterfolio"], "litterfolio: cannot", ""),
    ];
    for (arguments, why, hint) in &cases {
        let ran = kennel.run(&[&["publish"][..], arguments].concat());
        assert_eq!(ran.out, "", "{arguments:?}");
        ran.ends_with(2).says(&["litterfolio: cannot", why, hint]);
        assert!(everything() == before, "{arguments:?} changed something");
    }
    symlink("private", kennel.at("link")).unwrap();
    kennel
        .run(&["publish", "--public", &at("link")])
        .ends_with(2)
        .says(&["it is a link to another place"]);
}

/// A limit on the size of files stands in for a full disk: the write in the middle of the run
/// fails.
#[test]
fn a_full_disk_leaves_the_old_site() {
    let kennel = Kennel::published();
    let before = kennel.site();
    kennel.change("kennel.yaml", "name: Tarnside", "name: Becksgill");
    // Refused writes come back as errors when the signal is ignored; otherwise the signal ends the
    // program.
    let refused = Ran::of(
        Command::new("sh")
            .args([
                "-c",
                "trap '' XFSZ; ulimit -f 4; exec \"$0\" --kennel \"$1\" publish",
            ])
            .arg(program())
            .arg(kennel.path()),
    );
    refused.ends_with(2).says(&["litterfolio: cannot write"]);
    assert!(kennel.site() == before, "after an error");
    let killed = within("-f 4", &kennel, "publish");
    assert!(killed.code.is_none_or(|code| code == 2), "{killed:#?}");
    assert!(kennel.site() == before, "after a signal");

    // With room again, nothing has to be mended by hand, and nothing is left behind.
    kennel.run(&["publish"]).ends_with(0);
    let after = kennel.site();
    assert!(
        after != before
            && String::from_utf8_lossy(&after["public/index.html"]).contains("Becksgill")
    );
    let names: BTreeSet<String> = fs::read_dir(kennel.path())
        .unwrap()
        .map(|e| e.unwrap().file_name().into_string().unwrap())
        .collect();
    assert_eq!(
        names,
        [
            ".gitignore",
            ".litterfolio",
            "codes.yaml",
            "content",
            "private",
            "public",
            "signing-keys.json"
        ]
        .map(str::to_owned)
        .into()
    );
}

// Pictures.

fn picture(format: ImageFormat) -> Vec<u8> {
    let pixels = RgbImage::from_fn(320, 240, |x, y| {
        image::Rgb([(x % 251) as u8, (y % 241) as u8, ((x * y) % 239) as u8])
    });
    let mut bytes = Cursor::new(Vec::new());
    DynamicImage::ImageRgb8(pixels)
        .write_to(&mut bytes, format)
        .unwrap();
    bytes.into_inner()
}

/// The check sum of a part of a PNG.
fn crc(bytes: &[u8]) -> u32 {
    !bytes.iter().fold(!0_u32, |sum, byte| {
        (0..8).fold(sum ^ u32::from(*byte), |sum, _| {
            if sum & 1 == 1 {
                (sum >> 1) ^ 0xedb8_8320
            } else {
                sum >> 1
            }
        })
    })
}

/// A PNG whose header claims other sides than the picture has, with its check sum right.
fn png_of(width: u32, height: u32) -> Vec<u8> {
    let mut png = picture(ImageFormat::Png);
    png[16..20].copy_from_slice(&width.to_be_bytes());
    png[20..24].copy_from_slice(&height.to_be_bytes());
    let sum = crc(&png[12..29]);
    png[29..33].copy_from_slice(&sum.to_be_bytes());
    png
}

#[test]
fn pictures_that_are_none_are_refused() {
    let jpeg = picture(ImageFormat::Jpeg);
    let cut = jpeg[..jpeg.len() / 2].to_vec();
    let mut damaged = picture(ImageFormat::Png);
    let middle = damaged.len() / 2;
    damaged[middle..middle + 40].fill(0x55);
    let gif = b"GIF89a\x01\x00\x01\x00\x80\x00\x00\x00\x00\x00\xff\xff\xff!\xf9\x04\x01\x00\x00\x00\x00,\x00\x00\x00\x00\x01\x00\x01\x00\x00\x02\x02D\x01\x00;".to_vec();
    let cases = [
        (
            "moss.jpg",
            cut,
            "photo-cut-short",
            "the end of the file is missing",
            "copy it again from the phone or camera",
        ),
        (
            "moss.png",
            png_of(60_000, 60_000),
            "photo-too-many-pixels",
            "60000 x 60000 pixels",
            "save it again at a smaller size",
        ),
        (
            "moss.png",
            damaged,
            "photo-damaged",
            "damaged inside",
            "copy it again",
        ),
        (
            "moss.jpg",
            b"<script>alert(1)</script>\n".to_vec(),
            "photo-not-a-picture",
            "whatever its name says",
            "JPEG, PNG and WebP pictures can be used",
        ),
        (
            "moss.gif",
            gif.clone(),
            "photo-format",
            "this is a GIF",
            "save (export) it as JPEG",
        ),
        (
            "moss.jpg",
            gif,
            "photo-format",
            "this is a GIF",
            "save (export) it as JPEG",
        ),
        (
            "moss.jpg",
            Vec::new(),
            "photo-empty",
            "the picture file is empty",
            "copy it again",
        ),
    ];
    for (name, bytes, code, what, hint) in cases {
        let file = format!("litters/spring/photos/{name}");
        refused(|k| k.write_bytes(&file, &bytes), &file, code, &[what, hint]);
    }
    let portrait = |k: &Kennel| {
        k.change(
            "dogs/juno.yaml",
            "sex: female",
            "sex: female\nphoto: juno.jpg",
        );
        k.write("dogs/juno.jpg", "no picture");
    };
    refused(portrait, "dogs/juno.jpg", "photo-not-a-picture", &[]);
}

#[test]
fn a_huge_picture_is_refused_without_being_read() {
    let sparse = |k: &Kennel| {
        k.write("litters/spring/photos/moss.jpg", "");
        fs::File::create(k.content().join("litters/spring/photos/moss.jpg"))
            .unwrap()
            .set_len(61_000_000)
            .unwrap();
    };
    let kennel = refused(
        sparse,
        "litters/spring/photos/moss.jpg",
        "photo-too-large",
        &["has 61 MB", "save it again as JPEG"],
    );
    fs::File::options()
        .write(true)
        .open(kennel.content().join("litters/spring/photos/moss.jpg"))
        .unwrap()
        .set_len(4_000_000_000)
        .unwrap();
    // Neither as much memory nor as much time as reading it would take.
    for limit in ["-v 1500000", "-t 6"] {
        within(limit, &kennel, "inspect")
            .ends_with(1)
            .says(&["[photo-too-large]", "has 4000 MB"]);
    }
}

// Texts that are markup.

/// Text that tries every way out of a page: elements, attributes of both quotes, templates and
/// entities.
fn payload(path: &str) -> String {
    format!(
        "<script>alert('{path}')</script>\"><img src=x onerror=alert(1)>' onmouseover='alert(1)' \
         \" onmouseover=\"alert(1)\" {{{{ page }}}} ]]> </title></textarea> &amp; {path}"
    )
}

/// The pages of a site, public and private.
fn pages(site: &BTreeMap<String, Vec<u8>>) -> BTreeMap<&str, String> {
    let is_page = |file: &str| {
        [".html", ".svg", ".xml"]
            .iter()
            .any(|ending| file.ends_with(ending))
    };
    site.iter()
        .filter(|(file, _)| is_page(file))
        .map(|(file, bytes)| (file.as_str(), String::from_utf8(bytes.clone()).unwrap()))
        .collect()
}

/// No element and no attribute of a page was made by a text of the keeper.
fn assert_harmless(pages: &BTreeMap<&str, String>) {
    for (file, text) in pages {
        let found = text
            .find("<script>alert")
            .map(|i| &text[i.saturating_sub(200)..]);
        assert_eq!(
            found.map(|f| f.chars().take(300).collect::<String>()),
            None,
            "{file}"
        );
        for tag in html::tags(text) {
            assert!(
                tag.attributes
                    .iter()
                    .all(|(name, _)| !name.starts_with("on")),
                "{file}: {tag:?}"
            );
            assert!(
                !tag.attributes
                    .iter()
                    .any(|(_, value)| value.trim().to_ascii_lowercase().starts_with("javascript:")),
                "{file}: {tag:?}"
            );
            assert!(
                !(tag.name == "img"
                    && tag.attributes.contains(&("src".to_owned(), "x".to_owned()))),
                "{file}: {tag:?}"
            );
            assert!(
                !["iframe", "object", "embed", "base"].contains(&tag.name.as_str()),
                "{file}: {tag:?}"
            );
        }
    }
}

/// Paths of the free-text keys of all schemas.
fn free_texts() -> BTreeSet<String> {
    fn walk(
        node: &serde_json::Value,
        root: &serde_json::Value,
        path: &str,
        found: &mut BTreeSet<String>,
    ) {
        if let Some(target) = node.get("$ref").and_then(serde_json::Value::as_str) {
            match target.rsplit('/').next().unwrap() {
                "Text" | "Look" => _ = found.insert(path.to_owned()),
                _ => walk(
                    root.pointer(target.trim_start_matches('#')).unwrap(),
                    root,
                    path,
                    found,
                ),
            }
        }
        for (key, value) in node.as_object().into_iter().flatten() {
            match (key.as_str(), value) {
                ("properties", serde_json::Value::Object(all)) => {
                    all.iter().for_each(|(name, node)| {
                        walk(node, root, &format!("{path}.{name}"), found)
                    });
                }
                ("anyOf" | "oneOf" | "allOf", serde_json::Value::Array(all)) => {
                    all.iter().for_each(|node| walk(node, root, path, found))
                }
                ("items", node) => walk(node, root, path, found),
                _ => {}
            }
        }
    }
    let mut found = BTreeSet::new();
    for (name, _) in schema::RECORDS {
        let schema = schema::of(name).unwrap();
        walk(&schema, &schema, name, &mut found);
    }
    found
}

#[test]
fn markup_in_any_text_stays_text() {
    let filler = Filler::new(&payload);
    let kennel = filler.kennel();
    kennel.write_bytes(&format!("dogs/{PORTRAIT}"), &picture(ImageFormat::Jpeg));
    kennel.write_bytes(
        "litters/spring/photos/moss\"><img src=x onerror=alert(2)>.jpg",
        &picture(ImageFormat::Jpeg),
    );
    kennel.write_bytes(
        "litters/spring/photos-private/moss' onmouseover='alert(2).png",
        &picture(ImageFormat::Png),
    );

    // Every free-text key of every schema holds the text, apart from those that must hold something
    // else.
    let mut expected = free_texts();
    for fitting in ["kennel.country", "owners.families.country", "dog.photo"] {
        assert!(expected.remove(fitting), "{fitting}");
    }
    assert_eq!(filler.filled(), expected);
    assert!(expected.len() > 90, "{}", expected.len());

    let json = kennel.run(&["inspect", "--json"]);
    assert!(
        json.ends_with(0)
            .problems()
            .iter()
            .all(|(_, severity, _)| severity == "warning"),
        "{json:#?}"
    );
    kennel.run(&["publish"]).ends_with(0);
    let site = kennel.site();
    let pages = pages(&site);
    assert_harmless(&pages);
    for file in site.keys() {
        assert!(
            !file.contains(['<', '"', '\'', '>', ' ']),
            "a file name reached the site: {file}"
        );
    }

    // The texts are there, as texts: the test has not looked at empty pages.
    let shown = |folder: &str| {
        let all: String = pages
            .iter()
            .filter(|(file, _)| file.starts_with(folder))
            .map(|(_, text)| text.as_str())
            .collect();
        expected
            .iter()
            .filter(|path| {
                ["&#x27;", "&#39;", "'", "\\u0027"]
                    .iter()
                    .any(|quote| all.contains(&format!("alert({quote}{path}{quote})")))
            })
            .cloned()
            .collect::<BTreeSet<_>>()
    };
    let (public, private) = (shown("public/"), shown("private/"));
    for path in [
        "kennel.name",
        "kennel.policies",
        "dog.about",
        "dog.screening.result",
        "litter.about",
        "litter.puppies.about",
        "note.title",
        "page.title",
        "page.summary",
    ] {
        assert!(
            public.contains(path),
            "{path} is not on the public site: {public:#?}"
        );
    }
    for path in [
        "dog.remarks",
        "litter.puppies.remarks",
        "litter.birth.surgery.adhesions",
        "weights.remark",
        "health.illness.signs",
        "owners.families.remarks",
    ] {
        assert!(
            private.contains(path),
            "{path} is not in the keeper's book: {private:#?}"
        );
        assert!(!public.contains(path), "{path} is on the public site");
    }
}

#[test]
fn markup_in_notes_and_pages_is_made_harmless() {
    const BODY: &str = "Kept words <b>and bold ones</b>, `<script>alert(78)</script>` as \
        code.\n\n<script>alert(77)</script>\n\n<img src=x onerror=alert(77)>\n\n\
        <svg onload=alert(77)></svg> <iframe src=\"javascript:alert(77)\"></iframe>\n\n[a \
        link](javascript:alert(77)) <a href=\"data:text/html,alert(77)\" \
        onclick=\"alert(77)\">another</a>\n\n\
        <style>body { display: none } /* alert(77) */</style> <form \
        action=\"//spy.example\"><input autofocus onfocus=alert(77)></form>\n\n<base \
        href=\"//spy.example/\"> <!-- alert(77) -->\n\n\
        ![](https://spy.example/x.png) <scr<script>ipt>alert(76)</scr</script>ipt>\n";
    let kennel = Kennel::base();
    for audience in ["everyone", "owners", "keeper"] {
        kennel.write(
            &format!("litters/spring/notes/{audience}.md"),
            &format!(
                "---\ndate: 2026-04-05\ntitle: A note\naudience: {audience}\npuppies: \
                 moss\n---\n{BODY}"
            ),
        );
    }
    kennel.write("pages/about.md", &format!("---\ntitle: About\n---\n{BODY}"));
    kennel.run(&["publish"]).ends_with(0);
    let site = kennel.site();
    let pages = pages(&site);
    assert_harmless(&pages);
    let mut kept = 0;
    for (file, text) in &pages {
        for word in ["alert(77)", "spy.example", "display: none }"] {
            assert!(!text.contains(word), "{word} in {file}");
        }
        kept += text.matches("and bold ones").count();
    }
    assert!(kept >= 4, "the notes are not on the pages");
    assert!(
        pages["public/pages/about.html"].contains("&lt;script&gt;alert(78)&lt;/script&gt;")
            || pages
                .values()
                .any(|t| t.contains("<code>&lt;script&gt;alert(78)")),
        "code is shown as text"
    );
}

#[test]
fn hidden_characters_of_notes_never_reach_a_page() {
    let hidden = |k: &Kennel| {
        k.write(
            "litters/spring/notes/first-night.md",
            "---\ndate: 2026-04-02\ntitle: Night\naudience: everyone\n---\nAll \u{8}quiet.\n",
        );
    };
    refused(
        hidden,
        "litters/spring/notes/first-night.md",
        "control-character",
        &["U+0008"],
    );
}

// What the terminal shows.

#[test]
fn the_terminal_is_never_spoken_to_by_a_record() {
    let kennel = Kennel::base();
    let hidden = "\u{1b}[2J\u{202e}\u{2066}\u{9b}31m\u{7}";
    kennel.write(
        "dogs/brack.yaml",
        "name: \"a\u{202e}b\"\nsex: \"ma\\e[31mle\\u202e\\rerror: forged\\nnote: \
         forged\"\nk\u{2066}ey: 1\n\"b\\e]0;title\\a\": 2\n",
    );
    kennel.write("dogs/juno.yaml", "name: J\rerror: forged\nsex: \"x\\ry\"\n");
    kennel.write(
        "dogs/corvin.yaml",
        "name: Corvin\nsex: male\nborn: \"2020-13-01\\r\\n\\u2028forged\"\nchip: \"12\\x1b[31m\"\n",
    );
    kennel.write(
        "litters/spring/litter.yaml",
        &format!("name: x\ndam: \"{}\"\nsire: corvin\n", "ju\\e[31mno\\u202e"),
    );
    kennel.write(&format!("dogs/{hidden}.yaml"), "name: x\n");
    kennel.write(&format!("{hidden}.txt"), "x");
    kennel.write(
        "litters/spring/notes/x.md",
        "---\ndate: 2026-04-05\ntitle: x\n---\n\u{202e}\u{1b}[2J\n",
    );
    for command in ["inspect", "publish"] {
        let ran = kennel.run(&[command]);
        ran.ends_with(1);
        let speaks = |c: char| {
            (c.is_control() && c != '\n')
                || matches!(
                    c,
                    '\u{61c}'
                        | '\u{200e}'
                        | '\u{200f}'
                        | '\u{2028}'..='\u{202e}'
                        | '\u{2066}'..='\u{2069}'
                        | '\u{feff}'
                )
        };
        let line = ran
            .err
            .lines()
            .chain(ran.out.lines())
            .find(|line| line.contains(speaks));
        assert_eq!(line, None);
        // A line break in a value must not begin a line that looks like one of ours.
        assert!(
            !ran.err.lines().any(|line| line.starts_with("error: forged")
                || line.starts_with("note: forged")
                || line.starts_with("forged")),
            "{}",
            ran.err
        );
    }
    let json = kennel.run(&["inspect", "--json"]);
    assert!(json.ends_with(1).problems().len() > 6);
    assert!(
        !json.out.chars().any(|c| c.is_control() && c != '\n'),
        "{}",
        json.out
    );
}

// Records with random slips.

/// A slip in a file: where, as a share of its length, and what.
#[derive(Debug, Clone)]
enum Slip {
    Byte(f64, u8),
    Insert(f64, String),
    Remove(f64, usize),
    DropLine(f64),
    DoubleLine(f64),
    SwapLines(f64, f64),
}

fn slip() -> impl Strategy<Value = Slip> {
    let piece = proptest::sample::select(vec![
        ":",
        ": ",
        "- ",
        "#",
        "\"",
        "'",
        "{",
        "}",
        "[",
        "]",
        ",",
        "&a ",
        "*a",
        "!x ",
        "|",
        ">",
        "%",
        "@",
        "?",
        "\t",
        "\r",
        "\n",
        "\n  ",
        "---\n",
        "<<: ",
        "~",
        "null",
        "0",
        "-1",
        "1e9",
        "é",
        "犬",
        "\u{202e}",
        "\u{0}",
        "\u{feff}",
        "on: ",
        "moss",
        "212",
        "2026-02-30",
        "true",
    ]);
    prop_oneof![
        (0.0..1.0, any::<u8>()).prop_map(|(at, byte)| Slip::Byte(at, byte)),
        (0.0..1.0, piece).prop_map(|(at, text)| Slip::Insert(at, text.to_owned())),
        (0.0..1.0, 1_usize..12).prop_map(|(at, n)| Slip::Remove(at, n)),
        (0.0..1.0).prop_map(Slip::DropLine),
        (0.0..1.0).prop_map(Slip::DoubleLine),
        (0.0..1.0, 0.0..1.0).prop_map(|(one, other)| Slip::SwapLines(one, other)),
    ]
}

#[allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    clippy::cast_precision_loss,
    reason = "a share of a short length"
)]
fn at(share: f64, length: usize) -> usize {
    ((share * length as f64) as usize).min(length.saturating_sub(1))
}

fn with_slip(mut bytes: Vec<u8>, slip: &Slip) -> Vec<u8> {
    if bytes.is_empty() {
        return bytes;
    }
    let length = bytes.len();
    let mut lines: Vec<Vec<u8>> = bytes
        .split_inclusive(|b| *b == b'\n')
        .map(<[u8]>::to_vec)
        .collect();
    match slip {
        Slip::Byte(share, byte) => {
            bytes[at(*share, length)] = *byte;
            return bytes;
        }
        Slip::Insert(share, text) => {
            let i = at(*share, length);
            return [&bytes[..i], text.as_bytes(), &bytes[i..]].concat();
        }
        Slip::Remove(share, n) => {
            let i = at(*share, length);
            return [&bytes[..i], &bytes[(i + n).min(length)..]].concat();
        }
        Slip::DropLine(share) => _ = lines.remove(at(*share, lines.len())),
        Slip::DoubleLine(share) => {
            let i = at(*share, lines.len());
            lines.insert(i, lines[i].clone());
        }
        Slip::SwapLines(one, other) => {
            let (one, other) = (at(*one, lines.len()), at(*other, lines.len()));
            lines.swap(one, other);
        }
    }
    lines.concat()
}

/// The text with something at its head that cannot be read in one go, and is reported and left out;
/// nothing when there is no place for it.
fn read_carefully(file: &str, text: &str) -> Option<String> {
    let (head, rest) = if file.ends_with(".md") {
        text.split_at(text.find('\n')? + 1)
    } else {
        text.split_at(0)
    };
    let rest = rest.strip_prefix('\u{feff}').unwrap_or(rest);
    let first = rest
        .lines()
        .find(|line| !line.trim().is_empty() && !line.trim_start().starts_with('#'))?;
    let indent: String = first.chars().take_while(|c| *c == ' ').collect();
    let forced = if first.trim_start().starts_with("- ") {
        if file.ends_with("weights.yaml") {
            "- { forced: 1 g }"
        } else {
            "- { forced: careful }"
        }
    } else {
        "forced-careful: 1"
    };
    // Behind a directive or a document's beginning there is no telling what belongs where.
    let plain = !rest.lines().any(|line| {
        line.starts_with(['%', '?', '!', '&', '*', '|', '>', '"', '\''])
            || line.starts_with("---")
            || line.starts_with("...")
    });
    let plain = plain || (file.ends_with(".md") && first.starts_with(char::is_alphabetic));
    // Where control characters stand between words, one reader may be stricter than the other about
    // what is YAML at all.
    let plain = plain && !rest.chars().any(|c| c.is_control() && c != '\n');
    plain.then(|| format!("{head}{indent}{forced}\n{rest}"))
}

fn demo_files() -> Vec<(String, Vec<u8>)> {
    Kennel::demo_records()
        .files()
        .into_iter()
        .filter(|(file, _)| file != "README.md")
        .collect()
}

#[test]
fn the_demo_kennel_is_read_the_same_with_a_problem_at_the_head() {
    let files = demo_files();
    assert!(files.len() > 20, "{}", files.len());
    let kennel = Kennel::demo_records();
    for (file, bytes) in &files {
        reads_the_same_with_a_problem(&kennel, file, bytes).unwrap();
        kennel.write_bytes(file, bytes);
    }
}

/// Loads a kennel with `bytes` as one of its files, and again so that the file is read carefully:
/// the records are the same, and no problem was overlooked the first time.
fn reads_the_same_with_a_problem(
    kennel: &Kennel,
    file: &str,
    bytes: &[u8],
) -> Result<(), TestCaseError> {
    kennel.write_bytes(file, bytes);
    let quick = load(&kennel.content(), now()).unwrap();
    // What was kept of the first reading is read as the text itself, to the last problem.
    let known = load_parsed(
        &kennel.content(),
        &Listing::of(&kennel.content()).unwrap(),
        now(),
        &quick.parsed,
        |_| (),
    );
    prop_assert!(
        format!("{:?} {:?}", known.records, known.problems)
            == format!("{:?} {:?}", quick.records, quick.problems),
        "{file} is kept as something else"
    );
    let Some(forced) = std::str::from_utf8(bytes)
        .ok()
        .and_then(|text| read_carefully(file, text))
    else {
        return Ok(());
    };
    kennel.write(file, &forced);
    let careful = load(&kennel.content(), now()).unwrap();
    let of_file = |loaded: Loaded| -> Vec<Located> {
        loaded
            .problems
            .into_iter()
            .filter(|l| l.problem.place.file == file)
            .collect()
    };
    // The texts differ by the line that forces the careful reader, and so do their digests.
    let but_digests = |text: String| {
        text.split("Digest {")
            .map(|part| {
                part.split_once('}')
                    .map_or(part, |(_, rest)| rest)
                    .to_owned()
            })
            .collect::<String>()
    };
    let records = [&quick, &careful].map(|loaded| but_digests(format!("{:?}", loaded.records)));
    let (before, after) = (of_file(quick), of_file(careful));
    // A quoted text, or one in brackets, that goes on at the margin is no YAML; only the careful
    // reader is strict about it, and says just that.
    let strict = after.iter().any(|l| {
        [
            "invalid indentation in quoted scalar",
            "invalid indentation",
        ]
        .iter()
        .any(|said| l.problem.message.ends_with(said))
    });
    if before.is_empty() && !strict {
        let line = if file.ends_with(".md") { 2 } else { 1 };
        let is_forced = |l: &Located| {
            l.line == line && ["key-unknown", "key-missing"].contains(&l.problem.code)
        };
        prop_assert!(
            !after.is_empty() && after.iter().all(is_forced),
            "{file}: overlooked {after:?}\n{forced}"
        );
        prop_assert!(
            same(&records[0], &records[1]),
            "{file} is read differently\n{forced}"
        );
    }
    Ok(())
}

/// Whether two texts are the same; where they differ is printed, since they are long.
fn same(one: &str, other: &str) -> bool {
    let at = one
        .chars()
        .zip(other.chars())
        .take_while(|(a, b)| a == b)
        .count();
    let near = |text: &str| {
        text.chars()
            .skip(at.saturating_sub(200))
            .take(400)
            .collect::<String>()
    };
    if one != other {
        println!("quick:   {}\ncareful: {}", near(one), near(other));
    }
    one == other
}

proptest! {
    #![proptest_config(ProptestConfig {
        cases: 200,
        failure_persistence: None,
        ..ProptestConfig::default()
    })]

    #[test]
    fn random_slips_never_panic_and_reads_the_same_with_a_problem(
        which in 0.0..1.0,
        slips in prop::collection::vec(slip(), 1..4),
    ) {
        thread_local! {
            static KENNEL: (Kennel, Vec<(String, Vec<u8>)>) =
                (Kennel::demo_records(), demo_files());
        }
        KENNEL.with(|(kennel, files)| {
            let (file, bytes) = &files[at(which, files.len())];
            let slipped = slips.iter().fold(bytes.clone(), with_slip);
            let result = reads_the_same_with_a_problem(kennel, file, &slipped);
            kennel.write_bytes(file, bytes);
            result
        })?;
    }
}
