//! The desk as browsers and other programs on this machine meet it: who is answered, what is
//! served, what happens after a change, and how it ends.
//!
//! In: kennels made for one test, and the program itself, spoken to in plain bytes. HTTP is as in
//! RFC 9110 and 9112, events as in the HTML standard, section 9.2.

use crate::support::desk::{Changes, Desk, asks, asks_without, get};
use crate::support::{Kennel, is_for_windows, tree};
use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::net::TcpListener;
use std::path::Path;

/// What the files of a site are, by their ending: RFC 4287 (Atom), 8259 (JSON), 9239 (JavaScript),
/// 4180 and 7111 (CSV), 5545 (calendar), the HTML standard, and the registry of media types at
/// IANA.
const KINDS: &[(&str, &str)] = &[
    ("atom", "application/atom+xml; charset=utf-8"),
    ("css", "text/css; charset=utf-8"),
    ("html", "text/html; charset=utf-8"),
    ("jpg", "image/jpeg"),
    ("js", "text/javascript; charset=utf-8"),
    ("json", "application/json"),
    ("txt", "text/plain; charset=utf-8"),
    ("xml", "application/xml; charset=utf-8"),
];

const WEIGHTS: &str = "litters/spring/weights.yaml";

fn made(kennel: &Kennel, side: &str) -> BTreeMap<String, Vec<u8>> {
    tree(&kennel.at(".litterfolio/desk").join(side))
}

/// The base kennel with an address, so that it has a sitemap, and one picture.
fn kennel() -> Kennel {
    let kennel = Kennel::base();
    kennel.change(
        "kennel.yaml",
        "as_of:",
        "site: https://tarnside.example/puppies/\nas_of:",
    );
    let picture = Path::new(env!("CARGO_MANIFEST_DIR")).join("content/litters");
    let picture = tree(&picture)
        .into_iter()
        .find(|(name, _)| name.contains("/photos/") && name.ends_with(".jpg"))
        .unwrap()
        .1;
    kennel.write_bytes("litters/spring/photos/moss-basket.jpg", &picture);
    kennel
}

#[test]
fn both_addresses_answer_with_what_was_made_and_the_right_kinds() {
    let kennel = kennel();
    let desk = Desk::of(kennel.path());
    let mut seen = BTreeSet::new();
    for (side, port) in [("public", desk.site), ("private", desk.book)] {
        let files = made(&kennel, side);
        assert!(files.len() > 5, "{side} holds {} files", files.len());
        for (file, bytes) in files {
            let ending = file.rsplit_once('.').unwrap().1.to_owned();
            let kind = KINDS
                .iter()
                .find(|(known, _)| *known == ending)
                .unwrap_or_else(|| panic!("{file} is of no known kind"))
                .1;
            let answer = get(port, &format!("/{file}"));
            assert_eq!(
                (answer.status, answer.header("content-type")),
                (200, Some(kind)),
                "{side}/{file}"
            );
            assert_eq!(answer.header("cache-control"), Some("no-store"));
            assert_eq!(answer.header("x-content-type-options"), Some("nosniff"));
            assert_eq!(
                answer.header("content-length").unwrap(),
                answer.body.len().to_string()
            );
            if ending != "html" {
                assert!(answer.body == bytes, "{side}/{file} is served as it is");
            }
            seen.insert(ending);
        }
    }
    assert_eq!(
        seen.into_iter().collect::<Vec<_>>(),
        KINDS.iter().map(|(ending, _)| *ending).collect::<Vec<_>>()
    );
    assert!(desk.page("/").text().contains("Tarnside"));
    assert!(desk.book("/").text().contains("keeper's book"));
    // Neither side has what the other has.
    assert_eq!(
        (
            desk.page("/people.html").status,
            desk.book("/news.atom").status
        ),
        (404, 404)
    );
}

#[cfg(target_os = "linux")]
#[test]
fn nobody_listens_but_on_the_loopback_address() {
    let kennel = Kennel::base();
    let desk = Desk::of(kennel.path());
    let process = Path::new("/proc").join(desk.id().to_string());
    let own: BTreeSet<String> = fs::read_dir(process.join("fd"))
        .unwrap()
        .filter_map(|entry| fs::read_link(entry.unwrap().path()).ok())
        .filter_map(|link| {
            Some(
                link.to_str()?
                    .strip_prefix("socket:[")?
                    .strip_suffix(']')?
                    .to_owned(),
            )
        })
        .collect();
    let ports = [desk.site, desk.book];
    let mut listening = Vec::new();
    for table in ["net/tcp", "net/tcp6", "net/udp", "net/udp6"] {
        for line in fs::read_to_string(process.join(table))
            .unwrap_or_default()
            .lines()
            .skip(1)
        {
            // Columns: number, local address, remote address, state (0A: listening), …, inode in
            // the tenth.
            let columns: Vec<&str> = line.split_whitespace().collect();
            // Under wine another process holds the sockets: there it is who listens at our ports.
            let is_ours = if is_for_windows() {
                let port = columns[1].rsplit(':').next().unwrap();
                ports.contains(&u16::from_str_radix(port, 16).unwrap())
            } else {
                own.contains(columns[9])
            };
            if is_ours {
                assert!(table.starts_with("net/tcp"), "{line}");
                if columns[3] == "0A" {
                    listening.push(columns[1].to_owned());
                }
            }
        }
    }
    for port in ports {
        assert!(
            listening.contains(&format!("0100007F:{port:04X}")),
            "{listening:?}"
        );
    }
    for place in &listening {
        let (address, port) = place.split_once(':').unwrap();
        assert!(
            ["0100007F", "00000000000000000000000001000000"].contains(&address),
            "{place}"
        );
        assert!(
            ports.contains(&u16::from_str_radix(port, 16).unwrap()),
            "{place}"
        );
    }
}

#[test]
fn folders_are_pages_or_nothing_and_the_lost_are_told_so() {
    let kennel = kennel();
    let desk = Desk::of(kennel.path());
    let folder = kennel.at(".litterfolio/desk/public/extra");
    fs::create_dir(&folder).unwrap();
    fs::write(folder.join("index.html"), "<p>An index</p>").unwrap();
    fs::create_dir(kennel.at(".litterfolio/desk/public/bare")).unwrap();
    fs::write(
        kennel.at(".litterfolio/desk/public/bare/hidden-name.txt"),
        "x",
    )
    .unwrap();
    assert!(desk.page("/extra/").text().starts_with("<p>An index</p>"));
    let to = desk.page("/extra");
    assert_eq!((to.status, to.header("location")), (308, Some("/extra/")));
    for path in ["/bare", "/bare/", "/litters/", "/nothing.html", "/nothing"] {
        let answer = desk.page(path);
        assert_eq!(
            (answer.status, answer.text().contains("hidden-name")),
            (404, false),
            "{path}"
        );
        assert!(
            answer.text().contains("There is no page at this address"),
            "{path}"
        );
    }
    assert!(
        desk.book("/nothing.html")
            .text()
            .contains("There is no page at this address")
    );
    // The page for the lost knows the folder in which the site will stand.
    assert_eq!(
        desk.page("/puppies/style.css").body,
        desk.page("/style.css").body
    );
    assert_eq!(desk.page("/puppies/").status, 200);
    assert_eq!(desk.book("/puppies/").status, 404);
    assert_eq!(desk.page("/style.css?of=today").status, 200);
}

#[test]
fn no_request_leads_out_of_the_folder() {
    let kennel = Kennel::base();
    let desk = Desk::of(kennel.path());
    fs::write(kennel.at("secret.html"), "UNSEEN").unwrap();
    fs::write(kennel.at(".litterfolio/secret.html"), "UNSEEN").unwrap();
    fs::write(kennel.at(".litterfolio/desk/public/.secret.html"), "UNSEEN").unwrap();
    #[cfg(unix)]
    for (name, to) in [("link.html", "secret.html"), ("up", "")] {
        std::os::unix::fs::symlink(
            kennel.at(to),
            kennel.at(".litterfolio/desk/public").join(name),
        )
        .unwrap();
    }
    let up = [
        "..",
        "%2e%2e",
        "%2E.",
        ".%2e",
        "%252e%252e",
        "..%00",
        "..;",
        "....",
        "..%c0%af",
        "%c0%ae%c0%ae",
        "\u{2025}",
        ".. ",
        "..%20",
        "..\\",
    ];
    let between = [
        "/", "%2f", "%2F", "\\", "%5c", "//", "/./", "%252f", "%5c%5c",
    ];
    let mut targets: Vec<String> = vec![
        "/link.html".into(),
        "/up/secret.html".into(),
        "/up/content/kennel.yaml".into(),
        "/.secret.html".into(),
        "/%2esecret.html".into(),
        "//secret.html".into(),
        "///etc/passwd".into(),
        "/etc/passwd".into(),
        "/%2fetc%2fpasswd".into(),
        "/file:///etc/passwd".into(),
        "file:///etc/passwd".into(),
        "/C:/secret.html".into(),
        "/index.html%00".into(),
        "/index.html/../../secret.html".into(),
        "../secret.html".into(),
        "*".into(),
        format!("/{}/secret.html", "a/..".repeat(300)),
        format!("{}{}", kennel.path().display(), "/secret.html"),
    ];
    for step in up {
        for mark in between {
            for depth in 1..=4 {
                targets.push(format!(
                    "/{}secret.html",
                    format!("{step}{mark}").repeat(depth)
                ));
            }
            targets.push(format!(
                "/litters{mark}{step}{mark}{step}{mark}content{mark}kennel.yaml"
            ));
        }
    }
    for target in &targets {
        for port in [desk.site, desk.book] {
            let answer = get(port, target);
            assert!(
                [400, 403, 404].contains(&answer.status) || answer.status == 0,
                "{target}: {} {}",
                answer.status,
                answer.text()
            );
            let text = answer.text();
            assert!(
                !text.contains("UNSEEN") && !text.contains("root:") && !text.contains("time_zone"),
                "{target}"
            );
        }
    }
    assert!(targets.len() > 600, "{} were tried", targets.len());
    assert_eq!(desk.page("/").status, 200, "and it goes on");
}

#[test]
fn only_this_machine_by_its_own_names_is_answered_and_nothing_can_be_done_but_look() {
    let kennel = Kennel::base();
    let desk = Desk::of(kennel.path());
    let port = desk.site;
    let status = |head: &str| asks(port, &format!("{head}\r\nConnection: close\r\n\r\n")).status;
    for host in [
        format!("localhost:{port}"),
        format!("127.0.0.1:{port}"),
        format!("[::1]:{port}"),
    ] {
        assert_eq!(
            status(&format!("GET / HTTP/1.1\r\nHost: {host}")),
            200,
            "{host}"
        );
    }
    let book = desk.book;
    for host in [
        "kennel.example",
        &format!("kennel.example:{port}"),
        "localhost",
        &format!("localhost:{book}"),
        &format!("127.0.0.1.kennel.example:{port}"),
        "",
    ] {
        let answer = asks(
            port,
            &format!("GET / HTTP/1.1\r\nHost: {host}\r\nConnection: close\r\n\r\n"),
        );
        assert_eq!(answer.status, 403, "{host}");
        assert!(!answer.text().contains("Tarnside"), "{host}");
        let changes = asks(
            port,
            &format!("GET /-desk/changes HTTP/1.1\r\nHost: {host}\r\nConnection: close\r\n\r\n"),
        );
        assert_eq!(changes.status, 403, "{host}");
    }
    assert_eq!(status("GET / HTTP/1.1"), 400);
    assert_eq!(status("GET / HTTP/1.0"), 400);
    assert_eq!(
        status(&format!(
            "GET http://kennel.example/ HTTP/1.1\r\nHost: localhost:{port}"
        )),
        403
    );
    for method in ["POST", "PUT", "DELETE", "PATCH", "OPTIONS", "TRACE"] {
        let answer = asks(
            port,
            &format!(
                "{method} / HTTP/1.1\r\nHost: localhost:{port}\r\nContent-Length: \
                 0\r\nConnection: close\r\n\r\n"
            ),
        );
        assert_eq!(
            (answer.status, answer.header("allow")),
            (405, Some("get, head")),
            "{method}"
        );
    }
    let head = asks(
        port,
        &format!("HEAD / HTTP/1.1\r\nHost: localhost:{port}\r\nConnection: close\r\n\r\n"),
    );
    assert_eq!((head.status, head.body.len()), (200, 0));
    assert_eq!(
        head.header("content-length").unwrap(),
        desk.page("/").body.len().to_string()
    );
    let from = |site: &str, mode: &str, dest: &str| {
        status(&format!(
            "GET / HTTP/1.1\r\nHost: localhost:{port}\r\nSec-Fetch-Site: \
             {site}\r\nSec-Fetch-Mode: {mode}\r\nSec-Fetch-Dest: {dest}"
        ))
    };
    assert_eq!(
        (
            from("cross-site", "no-cors", "image"),
            from("cross-site", "navigate", "iframe"),
            from("cross-site", "navigate", "document")
        ),
        (403, 403, 200)
    );
    // What is no request at all does no harm.
    for bytes in [
        "\r\n\r\n",
        "GET\r\n\r\n",
        "\u{0}\u{1}\u{2}\r\n\r\n",
        "GET / HTTP/9.9\r\n\r\n",
    ] {
        assert!([0, 400].contains(&asks(port, bytes).status), "{bytes:?}");
    }
    assert_eq!(desk.page("/").status, 200);
}

#[test]
fn without_the_secret_nothing_is_answered() {
    let kennel = Kennel::base();
    let mut desk = Desk::with(kennel.path(), &["--port", "0", "--book-port", "0"]);
    let (site, book, link) = (desk.site, desk.book, desk.link.clone());
    desk.hears("site and book are shown");
    let ask = |port: u16, method: &str, path: &str, more: &str| {
        asks_without(
            port,
            &format!(
                "{method} {path} HTTP/1.1\r\nHost: 127.0.0.1:{port}\r\n{more}Connection: \
                 close\r\n\r\n"
            ),
        )
    };
    let nothing = |more: &str| {
        let paths = [
            "/",
            "/index.html",
            "/style.css",
            "/litters/spring.html",
            "/litters",
            "/nothing.html",
            "/-desk/changes",
            "/-desk/reload.js",
        ];
        for port in [site, book] {
            for path in paths.iter().chain(&[
                "/-desk/open/",
                "/-desk/open/0000000000000000000000000000000000000000",
            ]) {
                let answer = ask(port, "GET", path, more);
                assert_eq!(
                    (answer.status, answer.header("set-cookie")),
                    (403, None),
                    "{path} {more}"
                );
                assert!(
                    answer
                        .text()
                        .starts_with("This desk is shown only in the browser that was opened"),
                    "{path}: {}",
                    answer.text()
                );
            }
        }
    };
    nothing("");
    nothing("Cookie: litterfolio-desk=1\r\n");
    assert_eq!(
        ask(site, "HEAD", &link, "").status,
        403,
        "a look does not use the link up"
    );
    let opened = ask(book, "GET", &link, "");
    let given = opened.header("set-cookie").unwrap();
    assert!(
        given.ends_with("; path=/; httponly; samesite=strict"),
        "{given}"
    );
    assert!(
        opened.status == 200 && opened.text().contains("url=/"),
        "{}",
        opened.text()
    );
    let cookie = format!("Cookie: other=1; {}\r\n", given.split(';').next().unwrap());
    // One link, one cookie, both addresses; and the link is used up.
    assert!(
        ask(site, "GET", "/", &cookie).text().contains("Tarnside")
            && ask(book, "GET", "/", &cookie)
                .text()
                .contains("keeper's book")
    );
    assert_eq!(
        (
            ask(site, "GET", &link, &cookie).status,
            ask(site, "GET", &link, "").status
        ),
        (200, 403)
    );
    nothing("");
    let next = desk.hears("opened in a browser; the next one opens with http://127.0.0.1:");
    let next = format!(
        "/{}",
        next.rsplit_once(':').unwrap().1.split_once('/').unwrap().1
    );
    assert!(next != link && ask(site, "GET", &next, "").header("set-cookie") == Some(given));
}

#[test]
fn a_change_is_told_and_shown_and_a_broken_record_is_shown_until_it_is_mended() {
    let kennel = Kennel::base();
    let mut desk = Desk::of(kennel.path());
    let (mut site, mut book) = (Changes::of(desk.site), Changes::of(desk.book));
    let (site_before, book_before) = (site.next(), book.next());
    assert!(
        desk.page("/")
            .text()
            .contains(&format!("data-made=\"{site_before}\"")),
        "a page knows when it was made"
    );

    // A weight changes the book and nothing that visitors see.
    kennel.change(WEIGHTS, "moss: 246 g", "moss: 251 g");
    let book_after = book.next();
    assert_ne!(book_after, book_before);
    let litter = desk.book("/litters/spring.html").text();
    assert!(litter.contains("251 g") && litter.contains(&format!("data-made=\"{book_after}\"")));
    desk.hears("the book changed: 1 litter, 3 puppies");
    assert!(
        desk.page("/")
            .text()
            .contains(&format!("data-made=\"{site_before}\"")),
        "the site is as before"
    );

    // A slip is shown on every page, with its place and what to type; style sheets and the like
    // stay.
    kennel.change(WEIGHTS, "wren: 224 g", "wren: 224");
    let (site_broken, book_broken) = (site.next(), book.next());
    assert!(site_broken != site_before && book_broken != book_after);
    for answer in [
        desk.page("/"),
        desk.page("/puppies.html"),
        desk.page("/no-such-page.html"),
        desk.book("/dogs.html"),
    ] {
        let text = answer.text();
        assert_eq!(
            (answer.status, answer.header("content-type")),
            (503, Some("text/html; charset=utf-8"))
        );
        for words in [
            "One error in the records",
            "content/litters/spring/weights.yaml:3:9",
            "<mark>224</mark>",
            "/-desk/reload.js",
        ] {
            assert!(text.contains(words), "{words} is missing:\n{text}");
        }
    }
    assert_eq!(desk.page("/style.css").status, 200);
    desk.hears("1 error, shown in place of the pages");
    desk.hears("weights.yaml:3:9");

    kennel.change(WEIGHTS, "wren: 224\n", "wren: 225 g\n");
    assert_eq!(site.next(), site_before, "the site is the same again");
    let mended = book.next();
    assert!(mended != book_after && mended != book_broken);
    assert!(
        desk.page("/").text().contains("Tarnside")
            && desk.book("/litters/spring.html").text().contains("225 g")
    );
    desk.hears("site and book are shown");
}

#[test]
fn broken_templates_lost_files_and_folders_end_nothing() {
    let kennel = Kennel::base();
    let desk = Desk::of(kennel.path());
    let shows = |words: &'static str| {
        desk.waits_for(desk.site, "/", move |answer| answer.text().contains(words))
    };
    let is_well = || {
        desk.waits_for(desk.site, "/", |answer| {
            answer.status == 200 && answer.text().contains("Tarnside")
        })
    };
    let template = kennel.at("templates/visitor/footer.html");
    fs::create_dir_all(template.parent().unwrap()).unwrap();
    fs::write(&template, "<footer>Made by hand</footer>").unwrap();
    shows("Made by hand");
    fs::write(&template, "<footer>{{ frame.nonesuch.deeper }}{% endif %}").unwrap();
    assert!(
        shows("The pages cannot be made")
            .text()
            .contains("visitor/footer.html")
    );
    fs::write(&template, "<footer>Made by hand again</footer>").unwrap();
    shows("Made by hand again");
    // Broken in the making of a page, not in the reading.
    fs::write(
        &template,
        "<footer>{{ frame.nonesuch.deeper.still }}</footer>",
    )
    .unwrap();
    assert!(
        shows("The pages cannot be made")
            .text()
            .contains("visitor/")
    );
    fs::remove_file(&template).unwrap();
    is_well();
    fs::write(kennel.at("templates/visitor/fooler.html"), "").unwrap();
    shows("there is no built-in template of this name");
    fs::remove_dir_all(kennel.at("templates")).unwrap();
    is_well();

    let text = kennel.text("kennel.yaml");
    fs::remove_file(kennel.content().join("kennel.yaml")).unwrap();
    shows("content/kennel.yaml");
    kennel.write("kennel.yaml", &text);
    is_well();
    fs::rename(kennel.content(), kennel.at("elsewhere")).unwrap();
    shows("there is no folder");
    fs::rename(kennel.at("elsewhere"), kennel.content()).unwrap();
    is_well();
    // And the folder that came back is watched.
    kennel.change("kennel.yaml", "name: Tarnside", "name: Tarnside Hill");
    shows("Tarnside Hill");
    // What a desk made may be cleared away at any time.
    // Something may be put there just then; somebody who clears it away does so again.
    while let Err(error) = fs::remove_dir_all(kennel.at(".litterfolio")) {
        assert_eq!(error.kind(), std::io::ErrorKind::DirectoryNotEmpty);
    }
    kennel.change("kennel.yaml", "name: Tarnside Hill", "name: Tarnside Fell");
    shows("Tarnside Fell");
}

/// What the page before publishing says of each family.
fn desk_says_of_families(desk: &Desk) -> Vec<&'static str> {
    let page = desk.book("/-desk/publish").text();
    let mut found: Vec<(usize, &'static str)> = [
        "their page stays as it is",
        "their page changes",
        "gets a page and a code",
    ]
    .into_iter()
    .flat_map(|words| {
        page.match_indices(words)
            .map(move |(at, _)| (at, words))
            .collect::<Vec<_>>()
    })
    .collect();
    found.sort_unstable();
    found.into_iter().map(|(_, words)| words).collect()
}

#[test]
fn what_would_be_deployed_and_the_secrets_stay_as_they_are() {
    let kennel = Kennel::base();
    kennel.change(
        "litters/spring/litter.yaml",
        "offer: available",
        "offer: reserved",
    );
    // Before the first publication there are no secrets, and a desk draws none.
    {
        let mut desk = Desk::of(kennel.path());
        desk.hears("spring/moss has no access code yet");
        assert!(
            made(&kennel, "public")
                .keys()
                .all(|file| !file.starts_with("sealed/"))
        );
    }
    for name in [
        "codes.yaml",
        "signing-keys.json",
        "public",
        "private",
        ".gitignore",
    ] {
        assert!(!kennel.at(name).exists(), "{name} was made by a desk");
    }
    kennel.run(&["publish"]).ends_with(0);
    let files = [
        "codes.yaml",
        "signing-keys.json",
        ".gitignore",
        ".litterfolio/sealed.json",
        ".litterfolio/written-public.json",
    ];
    let all = || {
        (
            kennel.site(),
            files.map(|name| fs::read(kennel.at(name)).unwrap()),
        )
    };
    let before = all();
    let mut desk = Desk::of(kennel.path());
    let sealed: Vec<String> = made(&kennel, "public")
        .into_keys()
        .filter(|file| file.starts_with("sealed/"))
        .collect();
    assert_eq!(sealed.len(), 1, "{sealed:?}");
    assert!(
        before.0.contains_key(&format!("public/{}", sealed[0])),
        "it has the address that it has on the site"
    );
    let page = desk.page(&format!("/{}", sealed[0]));
    assert!(
        page.body == made(&kennel, "public")[&sealed[0]],
        "a sealed page leaves as it stands on the disk"
    );
    assert!(!page.text().contains("-desk/"));
    assert!(
        !desk.page("/record-check.html").text().contains("-desk/"),
        "nor is anything put into a page with a policy of its own"
    );
    assert_eq!(
        desk_says_of_families(&desk),
        ["their page stays as it is"],
        "sealed twice, though by other bytes, it is the same page"
    );

    // Another family takes the other puppy, and a weight changes: the site is as it was until the
    // keeper publishes.
    kennel.change(
        "owners.yaml",
        "waiting:",
        "  - { id: ashby, name: Zara Ashby, takes: [{ litter: spring, puppy: wren }] }\nwaiting:",
    );
    kennel.change(WEIGHTS, "moss: 246 g", "moss: 251 g");
    desk.hears("spring/wren has no access code yet");
    assert!(all() == before, "a desk changes nothing");
    assert_eq!(
        desk_says_of_families(&desk),
        ["their page changes", "gets a page and a code"]
    );
    // A puppy that another family takes now is not sealed with the code that the former family
    // knows.
    kennel.change("owners.yaml", "id: lund", "id: lundy");
    desk.hears("spring/moss and 1 other have no access code yet");
    assert!(
        made(&kennel, "public")
            .keys()
            .all(|file| !file.starts_with("sealed/"))
    );
    assert!(all() == before, "a desk changes nothing");
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        let rights = fs::metadata(kennel.at(".litterfolio/desk"))
            .unwrap()
            .permissions()
            .mode();
        // Of Windows' rights wine keeps what fits: those of the keeper for the group as well.
        let asked = if is_for_windows() { 0o007 } else { 0o777 };
        assert_eq!(rights & asked, 0o700 & asked, "nobody else may enter");
    }
    // Damaged codes are shown, and are not written over.
    fs::write(kennel.at("codes.yaml"), "spring/moss: nonsense\n").unwrap();
    let shown = desk.waits_for(desk.book, "/", |answer| answer.status == 503);
    assert!(shown.text().contains("codes.yaml"), "{}", shown.text());
    assert_eq!(
        fs::read_to_string(kennel.at("codes.yaml")).unwrap(),
        "spring/moss: nonsense\n"
    );
}

#[test]
fn two_previews_and_a_publication_get_along() {
    let kennel = Kennel::base();
    let (one, other) = (Desk::of(kennel.path()), Desk::of(kennel.path()));
    kennel.change("kennel.yaml", "name: Tarnside", "name: Tarnside Hill");
    kennel.run(&["publish"]).ends_with(0);
    for desk in [&one, &other] {
        desk.waits_for(desk.site, "/", |answer| {
            answer.status == 200 && answer.text().contains("Tarnside Hill")
        });
    }
}

#[test]
fn a_folder_that_is_looked_at_every_second_is_shown_as_well() {
    let kennel = Kennel::base();
    let mut desk = Desk::with(
        kennel.path(),
        &["--port", "0", "--book-port", "0", "--network-drive"],
    )
    .opened();
    desk.hears("site and book are shown");
    kennel.change("kennel.yaml", "name: Tarnside", "name: Tarnside Hill");
    desk.waits_for(desk.site, "/", |answer| {
        answer.text().contains("Tarnside Hill")
    });
}

#[test]
fn ports_that_are_taken_are_named_and_the_next_free_one_is_found() {
    let kennel = Kennel::base();
    let taken = TcpListener::bind("127.0.0.1:0").unwrap();
    let port = taken.local_addr().unwrap().port().to_string();
    for option in ["--port", "--book-port"] {
        kennel.run(&["desk", option, &port]).ends_with(2).says(&[
            &format!("port {port} is taken by another program"),
            "next free one",
        ]);
    }
    kennel
        .run(&["desk", "--port", "6400", "--book-port", "6400"])
        .ends_with(2)
        .says(&["a port each"]);
    kennel.run(&["desk", "--port", "70000"]).ends_with(2);
    let second = Kennel::base();
    let (one, other) = (
        Desk::with(kennel.path(), &[]),
        Desk::with(second.path(), &[]),
    );
    let ports = BTreeSet::from([one.site, one.book, other.site, other.book]);
    assert_eq!(ports.len(), 4, "{ports:?}");
    assert!(one.site >= 6300 && other.site > 6300, "{ports:?}");
    let nowhere = Kennel::empty();
    fs::remove_dir(nowhere.content()).unwrap();
    fs::write(nowhere.at("letter.txt"), "Dear all").unwrap();
    nowhere
        .run(&["desk"])
        .ends_with(2)
        .says(&["there is no folder `content`"]);
}

#[cfg(unix)]
#[test]
fn it_ends_with_success_when_asked_to() {
    // The last is what a window says that is closed. Windows has no signals: the first is what wine
    // makes the key Ctrl-C of.
    let signals = ["-INT", "-TERM", "-HUP"];
    for signal in &signals[..if is_for_windows() { 1 } else { 3 }] {
        let kennel = Kennel::base();
        let mut desk = Desk::of(kennel.path());
        // Somebody still waits for changes.
        let mut changes = Changes::of(desk.site);
        changes.next();
        assert_eq!(desk.ended_by(signal), Some(0), "{signal}");
        desk.hears("the desk has ended");
        // And in the middle of a run.
        let mut desk = Desk::with(kennel.path(), &["--port", "0", "--book-port", "0"]);
        assert_eq!(desk.ended_by(signal), Some(0), "{signal}");
    }
}
