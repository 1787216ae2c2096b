//! The keeper's secrets: drawn once, kept, never written over when something is wrong with them.

#![allow(clippy::disallowed_methods, reason = "tests put files where they like")]

use super::*;
use crate::sealing::NoRandomness;
use std::fs;

/// Bytes that can be repeated: for tests only.
fn from_seed(mut state: u64) -> impl FnMut(&mut [u8]) -> Result<(), NoRandomness> {
    move |bytes: &mut [u8]| {
        for byte in bytes {
            // Sebastiano Vigna's splitmix64, written from memory.
            state = state.wrapping_add(0x9e37_79b9_7f4a_7c15);
            let mut z = state;
            z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
            z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
            *byte = (z >> 56) as u8;
        }
        Ok(())
    }
}

struct Kennel(tempfile::TempDir);

impl Kennel {
    fn new() -> Self {
        Self(tempfile::tempdir().unwrap())
    }

    fn path(&self) -> &Path {
        self.0.path()
    }

    fn open(&self) -> Result<Keyring, KeyringError> {
        let keyring = self.open_as_it_is()?;
        keyring.is_sound().map(|()| keyring)
    }

    fn open_as_it_is(&self) -> Result<Keyring, KeyringError> {
        let state = self.path().join(".litterfolio");
        Keyring::open(self.path(), &state, &state, &self.path().join("public"))
    }

    /// Draws codes for these pages of one family.
    fn drawn(&self, keys: &[&str]) -> Keyring {
        let mut keyring = self.open().unwrap();
        let pages = keys.iter().map(|key| (*key, "lund"));
        keyring.complete(pages, &mut from_seed(1)).unwrap();
        keyring
    }

    fn read(&self, file: &str) -> String {
        fs::read_to_string(self.path().join(file)).unwrap()
    }

    fn write(&self, file: &str, text: &str) {
        fs::write(self.path().join(file), text).unwrap();
    }

    /// What is wrong, and whether the file stayed as it was.
    fn fault(&self, text: &str) -> String {
        self.write(CODES, text);
        let said = self.open().unwrap_err().to_string();
        assert_eq!(self.read(CODES), text);
        said
    }
}

#[test]
fn codes_and_key_are_drawn_once_and_read_back() {
    let kennel = Kennel::new();
    let mut keyring = kennel.open().unwrap();
    let drawn = keyring
        .complete(
            [("autumn-2026/reed", "lund"), ("summer-2026/moss", "lund")].into_iter(),
            &mut from_seed(1),
        )
        .unwrap();
    assert_eq!(
        drawn,
        [
            ("autumn-2026/reed".to_owned(), DrawReason::New),
            ("summer-2026/moss".to_owned(), DrawReason::New)
        ]
    );
    let (code, page) = keyring
        .codes
        .get("autumn-2026/reed")
        .map(|e| (e.code.to_string(), e.page))
        .unwrap();
    assert_eq!(page.len(), 20);
    drop(keyring);
    let (codes, keys) = (kennel.read(CODES), kennel.read(SIGNING_KEYS));
    let mut again = kennel.open().unwrap();
    assert_eq!(
        again
            .complete(
                [("autumn-2026/reed", "lund")].into_iter(),
                &mut from_seed(2)
            )
            .unwrap(),
        []
    );
    let entry = again.codes.get("autumn-2026/reed").unwrap();
    assert_eq!((entry.code.to_string(), entry.page), (code, page));
    assert_eq!(
        (kennel.read(CODES), kennel.read(SIGNING_KEYS)),
        (codes, keys)
    );
}

#[cfg(unix)]
#[test]
fn nobody_else_may_read_them_and_git_does_not_take_them() {
    use std::os::unix::fs::PermissionsExt;
    let kennel = Kennel::new();
    kennel.write(".gitignore", "/private");
    kennel.drawn(&["a/b"]);
    for file in [CODES, SIGNING_KEYS] {
        assert_eq!(
            fs::metadata(kennel.path().join(file))
                .unwrap()
                .permissions()
                .mode()
                & 0o777,
            0o600,
            "{file}"
        );
    }
    assert_eq!(
        kennel.read(".gitignore"),
        "/private\n/codes.yaml\n/signing-keys.json\n/.litterfolio/\n.*.litterfolio-*\n"
    );
    assert_eq!(exposed(kennel.path()), []);
    fs::set_permissions(kennel.path().join(CODES), fs::Permissions::from_mode(0o644)).unwrap();
    assert_eq!(
        exposed(kennel.path()),
        [Exposed::Readable {
            file: CODES,
            mode: 0o644
        }]
    );
}

#[test]
fn a_lost_file_of_codes_is_noticed_and_none_is_made_in_its_place() {
    let kennel = Kennel::new();
    let state = kennel.path().join(".litterfolio");
    let keyring = kennel.drawn(&["a/b"]);
    let before = SealedBefore {
        page: "0".repeat(20),
        fingerprint: String::new(),
        content: String::new(),
    };
    keyring
        .remember(
            &state,
            &RememberedSeals {
                signed_with: Some("x".to_owned()),
                pages: [("a/b".to_owned(), before)].into(),
            },
        )
        .unwrap();
    drop(keyring);
    fs::rename(kennel.path().join(CODES), kennel.path().join("kept")).unwrap();
    let said = kennel.open().unwrap_err().to_string();
    assert!(
        said.contains("codes that stood in it: a/b")
            && said.contains("backup")
            && said.contains("recode --all"),
        "{said}"
    );
    assert!(!kennel.path().join(CODES).exists());
    fs::rename(kennel.path().join("kept"), kennel.path().join(CODES)).unwrap();
    fs::remove_file(kennel.path().join(SIGNING_KEYS)).unwrap();
    let said = kennel.open().unwrap_err().to_string();
    assert!(
        said.contains("signing-keys.json is missing") && said.contains("recode --signing-key"),
        "{said}"
    );
}

#[test]
fn a_damaged_file_is_said_to_be_so_with_its_line_and_stays_as_it_is() {
    let kennel = Kennel::new();
    kennel.drawn(&["a/b", "a/c"]);
    let good = kennel.read(CODES);
    let line = |key: &str, n: usize| {
        let mut lines = good.lines().filter(|line| line.contains(key));
        lines.nth(n).unwrap().trim().to_owned()
    };
    let (code, page) = (|n| line("code:", n), |n| line("page:", n));
    let said = kennel.fault(&good.replace(&code(1), &code(0)));
    assert!(
        said.contains("a/c and a/b have the same code")
            && said.contains("line 8")
            && said.contains("recode c --litter a"),
        "{said}"
    );
    let said = kennel.fault(&good.replace(&page(1), &page(0)));
    assert!(said.contains("have the same page name"), "{said}");
    let secret = code(0).replace("code: ", "").replace('"', "");
    let said = kennel.fault(&good.replace(&secret, &secret[..20]));
    assert!(
        said.contains("the code of a/b does not read") && !said.contains(&secret[..20]),
        "{said}"
    );
    let said = kennel.fault(&format!(
        "{good}a/b:\n  family: lund\n  {}\n  {}\n",
        code(0),
        page(0)
    ));
    assert!(
        said.contains("line 12") && said.contains("two entries"),
        "{said}"
    );
    for text in [
        "a/b: {",
        "- 1",
        "a/b:\n  code: [1]\n  page: x\n",
        "a/b:\n  code: x\n",
        "\u{0}",
        "../b:\n  family: z\n  code: x\n  page: y\n",
    ] {
        assert!(kennel.fault(text).contains("is damaged, line "), "{text}");
    }
    kennel.write(CODES, &good);
    kennel.write(SIGNING_KEYS, "{\"keys\":[{\"kty\":\"EC\"}]}");
    assert!(
        kennel
            .open()
            .unwrap_err()
            .to_string()
            .contains("not a whole P-256 key")
    );
    assert_eq!(kennel.read(SIGNING_KEYS), "{\"keys\":[{\"kty\":\"EC\"}]}");
}

#[test]
fn a_new_code_keeps_the_address_of_the_page_and_mends_a_double() {
    let kennel = Kennel::new();
    kennel.drawn(&["a/b", "a/c"]);
    let mut keyring = kennel.open_as_it_is().unwrap();
    let before = keyring.codes.get("a/b").unwrap();
    let after = keyring
        .codes
        .renew("a/b", "lund", None, &mut from_seed(9))
        .unwrap();
    assert_eq!(before.page, after.page);
    assert!(before.code != after.code);
    keyring.save_codes().unwrap();
    drop(keyring);
    let good = kennel.read(CODES);
    let pages: Vec<&str> = good.lines().filter(|l| l.contains("page:")).collect();
    kennel.write(CODES, &good.replace(pages[1], pages[0]));
    let mut keyring = kennel.open_as_it_is().unwrap();
    assert!(keyring.is_sound().is_err());
    keyring
        .codes
        .renew("a/c", "lund", None, &mut from_seed(10))
        .unwrap();
    keyring.is_sound().unwrap();
}

#[test]
fn an_older_key_stays_so_that_earlier_papers_can_be_checked() {
    let kennel = Kennel::new();
    let mut keyring = kennel.open().unwrap();
    keyring
        .complete(std::iter::empty(), &mut from_seed(1))
        .unwrap();
    let first = keyring.signing.public();
    keyring.signing.draw(&mut from_seed(2)).unwrap();
    keyring.save_signing().unwrap();
    drop(keyring);
    let keys = kennel.open().unwrap().signing.public();
    assert_eq!((keys.len(), &keys[1]), (2, &first[0]));
}

#[test]
fn runs_that_draw_at_once_all_get_the_same_codes() {
    let kennel = Kennel::new();
    let drawn = std::thread::scope(|scope| {
        let run = |seed| {
            let kennel = &kennel;
            scope.spawn(move || {
                let mut keyring = kennel.open().unwrap();
                keyring
                    .complete([("a/b", "lund")].into_iter(), &mut from_seed(seed))
                    .unwrap();
                keyring.codes.get("a/b").unwrap().code.to_string()
            })
        };
        let runs: Vec<_> = (1..=8).map(run).collect();
        runs.into_iter()
            .map(|run| run.join().unwrap())
            .collect::<std::collections::BTreeSet<_>>()
    });
    assert_eq!(drawn.len(), 1);
}

#[test]
fn another_family_gets_another_code_and_another_address() {
    let kennel = Kennel::new();
    kennel.drawn(&["a/b"]);
    let mut keyring = kennel.open().unwrap();
    let before = keyring.codes.get("a/b").unwrap();
    assert_eq!(
        keyring
            .complete([("a/b", "ashby")].into_iter(), &mut from_seed(2))
            .unwrap(),
        [("a/b".to_owned(), DrawReason::OtherFamily)]
    );
    let after = keyring.codes.get("a/b").unwrap();
    assert!(before.code != after.code && before.page != after.page);
}

#[test]
fn one_lost_entry_and_a_forgotten_site_are_noticed_too() {
    let kennel = Kennel::new();
    let state = kennel.path().join(".litterfolio");
    let keyring = kennel.drawn(&["a/b", "a/c"]);
    let before = |page: &str| SealedBefore {
        page: page.to_owned(),
        fingerprint: String::new(),
        content: String::new(),
    };
    let page = keyring.codes.get("a/c").unwrap().page;
    let pages = [
        ("a/b".to_owned(), before("x")),
        ("a/c".to_owned(), before(&page)),
    ]
    .into();
    keyring
        .remember(
            &state,
            &RememberedSeals {
                signed_with: None,
                pages,
            },
        )
        .unwrap();
    drop(keyring);
    let good = kennel.read(CODES);
    let cut = good.find("a/c:").unwrap();
    kennel.write(CODES, &good[..cut]);
    let said = kennel.open().unwrap_err().to_string();
    assert!(
        said.contains("lacks codes that pages were sealed with: a/c\n"),
        "{said}"
    );
    kennel.write(CODES, "");
    assert!(kennel.open().unwrap_err().to_string().contains("a/b, a/c"));
    // A new code for a lost entry keeps the address that is remembered.
    let mut keyring = kennel.open_as_it_is().unwrap();
    assert_eq!(
        keyring
            .codes
            .renew("a/c", "lund", Some(&page), &mut from_seed(5))
            .unwrap()
            .page,
        page
    );
    drop(keyring);
    // Without any memory the site itself tells.
    fs::remove_file(kennel.path().join(CODES)).unwrap();
    fs::remove_dir_all(&state).unwrap();
    fs::create_dir_all(kennel.path().join("public/sealed")).unwrap();
    kennel.write("public/sealed/x.html", "");
    assert!(
        kennel
            .open()
            .unwrap_err()
            .to_string()
            .contains("the site holds sealed pages (1)")
    );
}
