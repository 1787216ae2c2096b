//! Sealed pages, access codes, signing keys and the papers of a handover, from the command line.
//!
//! In: the base kennel of the record tests, in which one family takes one puppy. What is sealed is
//! opened with the library that sealed it; that others open it too is shown by the judges.

use crate::support::{Beginning, Kennel, SEALED, tree};
use litterfolio::sealing::code::AccessCode;
use litterfolio::sealing::{jwe, jws};
use serde_json::Value;
use std::collections::BTreeMap;
use std::fs;
use std::path::PathBuf;

/// Codes and page names as they stand in codes.yaml.
fn codes(kennel: &Kennel) -> BTreeMap<String, (AccessCode, String)> {
    let listed: BTreeMap<String, BTreeMap<String, String>> =
        serde_yaml::from_str(&fs::read_to_string(kennel.at("codes.yaml")).unwrap()).unwrap();
    listed
        .into_iter()
        .map(|(key, entry)| (key, (entry["code"].parse().unwrap(), entry["page"].clone())))
        .collect()
}

fn sealed_file(kennel: &Kennel, key: &str) -> PathBuf {
    kennel
        .at("public/sealed")
        .join(format!("{}.html", codes(kennel)[key].1))
}

/// The sealed text of a page.
fn jwe_of(kennel: &Kennel, key: &str) -> String {
    let html = fs::read_to_string(sealed_file(kennel, key)).unwrap();
    let (_, rest) = html.split_once(SEALED.0).unwrap();
    rest.split_once(SEALED.1).unwrap().0.trim().to_owned()
}

/// What a page opens to.
fn opened(kennel: &Kennel, key: &str) -> Value {
    serde_json::from_slice(&jwe::open(&jwe_of(kennel, key), &codes(kennel)[key].0).unwrap())
        .unwrap()
}

/// A second family takes the second puppy.
fn two_families(kennel: &Kennel) {
    kennel.change(
        "litters/spring/litter.yaml",
        "offer: available",
        "offer: reserved",
    );
    kennel.change(
        "owners.yaml",
        "waiting:",
        "  - { id: ashby, name: Zara Ashby, takes: [{ litter: spring, puppy: wren }] }\nwaiting:",
    );
}

fn published() -> Kennel {
    static PUBLISHED: Beginning = Beginning::new();
    PUBLISHED.kennel(|| {
        let kennel = Kennel::base();
        two_families(&kennel);
        kennel.run(&["publish"]).ends_with(0).says(&[
            "an access code was drawn for spring/moss",
            "an access code was drawn for spring/wren",
            "a key to sign records was drawn",
            "backups",
        ]);
        kennel
    })
}

#[test]
fn each_family_has_a_page_that_only_its_own_code_opens() {
    let kennel = published();
    let moss = opened(&kennel, "spring/moss").to_string();
    assert!(
        moss.contains("The Lund family")
            && moss.contains("941000025557101")
            && !moss.contains("Zara")
    );
    assert!(
        opened(&kennel, "spring/wren")
            .to_string()
            .contains("Zara Ashby")
    );
    let other = &codes(&kennel)["spring/wren"].0;
    assert_eq!(
        jwe::open(&jwe_of(&kennel, "spring/moss"), other),
        Err(jwe::Unopened)
    );
    // Only what is sealed speaks of the families, and no name tells whose page it is.
    for (file, text) in kennel.readable() {
        assert!(!text.contains("Lund") && !text.contains("Ashby"), "{file}");
        assert!(
            !file.starts_with("sealed/")
                || (!text.contains("Moss") && !text.contains("moss") && !file.contains("moss")),
            "{file}"
        );
    }
    assert_eq!(tree(&kennel.at("public/sealed")).len(), 2);
}

#[test]
fn a_page_is_sealed_again_only_when_its_own_record_or_code_changed() {
    let kennel = published();
    let before = kennel.site();
    let again = kennel.run(&["publish"]);
    assert!(
        again
            .ends_with(0)
            .out
            .contains("sealed pages: 0 sealed, 2 as before"),
        "{again:?}"
    );
    assert!(again.out.contains("all as before"));
    assert!(kennel.site() == before, "not one byte changed");

    kennel.change("litters/spring/weights.yaml", "moss: 246 g", "moss: 248 g");
    let (moss, wren) = (
        jwe_of(&kennel, "spring/moss"),
        jwe_of(&kennel, "spring/wren"),
    );
    assert!(
        kennel
            .run(&["publish"])
            .ends_with(0)
            .out
            .contains("sealed pages: 1 sealed, 1 as before")
    );
    assert!(jwe_of(&kennel, "spring/moss") != moss && jwe_of(&kennel, "spring/wren") == wren);

    // Another day changes nothing that a family sees; nor does the keeper's own template of the
    // locked page.
    kennel.change("kennel.yaml", "as_of: 2026-10-09", "as_of: 2026-10-10");
    assert!(
        kennel
            .run(&["publish"])
            .ends_with(0)
            .out
            .contains("sealed pages: 0 sealed, 2 as before")
    );
    // What is remembered may be lost at any time.
    fs::remove_file(kennel.at(".litterfolio/sealed.json")).unwrap();
    assert!(
        kennel
            .run(&["publish"])
            .ends_with(0)
            .out
            .contains("sealed pages: 2 sealed, 0 as before")
    );
    fs::write(kennel.at(".litterfolio/sealed.json"), "{\"pages\":7}").unwrap();
    assert!(
        kennel
            .run(&["publish"])
            .ends_with(0)
            .out
            .contains("sealed pages: 2 sealed, 0 as before")
    );
    // A page that somebody changed on the disk is made again.
    let file = sealed_file(&kennel, "spring/wren");
    let html = fs::read_to_string(&file).unwrap();
    fs::write(
        &file,
        html.replacen(&jwe_of(&kennel, "spring/wren")[200..210], "AAAAAAAAAA", 1),
    )
    .unwrap();
    assert!(
        kennel
            .run(&["publish"])
            .ends_with(0)
            .out
            .contains("sealed pages: 1 sealed, 1 as before")
    );
    opened(&kennel, "spring/wren");
}

#[test]
fn a_new_code_shuts_the_old_one_out_and_keeps_the_address() {
    let kennel = published();
    let (old, address) = codes(&kennel)["spring/moss"].clone();
    let wren = codes(&kennel)["spring/wren"].clone();
    let ran = kennel.run(&["recode", "Moss"]);
    ran.ends_with(0);
    let (new, same) = codes(&kennel)["spring/moss"].clone();
    assert!(new != old && same == address && ran.out.contains(&new.to_string()));
    assert!(codes(&kennel)["spring/wren"] == wren);
    assert!(
        kennel
            .run(&["publish"])
            .ends_with(0)
            .out
            .contains("sealed pages: 1 sealed, 1 as before")
    );
    assert_eq!(
        jwe::open(&jwe_of(&kennel, "spring/moss"), &old),
        Err(jwe::Unopened)
    );
    opened(&kennel, "spring/moss");

    kennel
        .run(&["recode"])
        .ends_with(2)
        .says(&["name the puppy", "--all or --signing-key"]);
    kennel
        .run(&["recode", "spring/moss", "--litter", "spring"])
        .ends_with(2)
        .says(&["leave --litter out"]);
    kennel
        .run(&["recode", "mosss"])
        .ends_with(2)
        .says(&["there is no puppy `mosss`; did you mean `spring/moss`?"]);
    kennel
        .run(&["recode", "ash"])
        .ends_with(2)
        .says(&["no family takes spring/ash"]);
}

#[test]
fn lost_codes_stop_a_publication_and_can_be_drawn_anew() {
    let kennel = published();
    let before = kennel.site();
    let kept = fs::read(kennel.at("codes.yaml")).unwrap();
    fs::rename(kennel.at("codes.yaml"), kennel.at("backup")).unwrap();
    for command in [&["publish"][..], &["handover", "moss", "--anyway"]] {
        kennel.run(command).ends_with(2).says(&[
            "codes.yaml is missing, and pages were sealed with codes that stood in it: \
             spring/moss, spring/wren",
            "from your backup",
            "recode --all",
        ]);
    }
    assert!(!kennel.at("codes.yaml").exists() && kennel.site() == before);
    fs::rename(kennel.at("backup"), kennel.at("codes.yaml")).unwrap();
    kennel.run(&["publish"]).ends_with(0);
    assert!(kennel.site() == before, "the way back");
    fs::remove_file(kennel.at("codes.yaml")).unwrap();
    kennel
        .run(&["recode", "moss"])
        .ends_with(2)
        .says(&["codes.yaml is missing"]);
    let address = |kennel: &Kennel| {
        tree(&kennel.at("public/sealed"))
            .into_keys()
            .collect::<Vec<_>>()
    };
    let before = address(&kennel);
    kennel.run(&["recode", "--all"]).ends_with(0);
    kennel.run(&["publish"]).ends_with(0);
    assert_eq!(address(&kennel), before, "the pages keep their addresses");
    opened(&kennel, "spring/moss");
    assert!(fs::read(kennel.at("codes.yaml")).unwrap() != kept);
}

#[test]
fn damaged_codes_are_told_with_their_line_and_stay_as_they_are() {
    let kennel = published();
    let before = kennel.site();
    let good = fs::read_to_string(kennel.at("codes.yaml")).unwrap();
    let moss = codes(&kennel)["spring/moss"].0.to_string();
    let wren = codes(&kennel)["spring/wren"].0.to_string();
    let broken = [
        (
            good.replace(&wren, &moss),
            "spring/wren and spring/moss have the same code",
        ),
        (
            good.replace(&moss, &moss[..22]),
            "the code of spring/moss does not read",
        ),
        (good.replace("  code", "\tcode"), "is damaged, line"),
        (format!("{good}{{"), "is damaged, line"),
    ];
    for (text, said) in broken {
        fs::write(kennel.at("codes.yaml"), &text).unwrap();
        kennel.run(&["publish"]).ends_with(2).says(&[
            "codes.yaml is damaged, line",
            said,
            "recode",
        ]);
        assert_eq!(fs::read_to_string(kennel.at("codes.yaml")).unwrap(), text);
    }
    assert!(kennel.site() == before);
    // The way out of a double.
    fs::write(kennel.at("codes.yaml"), good.replace(&wren, &moss)).unwrap();
    kennel
        .run(&["recode", "wren", "--litter", "spring"])
        .ends_with(0);
    kennel.run(&["publish"]).ends_with(0);
    assert_eq!(codes(&kennel)["spring/moss"].0.to_string(), moss);
}

#[test]
fn a_lost_signing_key_stops_a_publication_and_an_older_one_stays_on_the_site() {
    let kennel = published();
    let keys = |kennel: &Kennel| -> Value {
        serde_json::from_slice(&fs::read(kennel.at("public/kennel-keys.json")).unwrap()).unwrap()
    };
    let first = keys(&kennel)["keys"][0].clone();
    assert!(first.get("d").is_none(), "only the public half");
    let kept = fs::read(kennel.at("signing-keys.json")).unwrap();
    fs::remove_file(kennel.at("signing-keys.json")).unwrap();
    kennel
        .run(&["publish"])
        .ends_with(2)
        .says(&["signing-keys.json is missing", "recode --signing-key"]);
    fs::write(kennel.at("signing-keys.json"), "{\"keys\": [").unwrap();
    kennel
        .run(&["publish"])
        .ends_with(2)
        .says(&["signing-keys.json is damaged, line 1"]);
    fs::write(kennel.at("signing-keys.json"), kept).unwrap();
    kennel.run(&["recode", "--signing-key"]).ends_with(0);
    assert!(
        kennel
            .run(&["publish"])
            .ends_with(0)
            .out
            .contains("sealed pages: 2 sealed"),
        "records are signed with the new key"
    );
    let now = keys(&kennel);
    assert_eq!(
        (now["keys"].as_array().unwrap().len(), &now["keys"][1]),
        (2, &first)
    );
}

#[test]
fn the_record_in_the_page_is_signed_with_the_key_on_the_site() {
    use base64::Engine;
    let kennel = published();
    let page = opened(&kennel, "spring/moss");
    let file = page["files"]
        .as_array()
        .unwrap()
        .iter()
        .find(|f| f["name"] == "moss-tarnside-2026-record.json")
        .unwrap();
    let json = base64::engine::general_purpose::STANDARD
        .decode(file["base64"].as_str().unwrap())
        .unwrap();
    let json: Value = serde_json::from_slice(&json).unwrap();
    let keys: Value =
        serde_json::from_slice(&fs::read(kennel.at("public/kennel-keys.json")).unwrap()).unwrap();
    let key = jws::PublicKey::from_jwk(&keys["keys"][0].to_string()).unwrap();
    let payload: Value =
        serde_json::from_slice(&jws::verify(json["signature"].as_str().unwrap(), &key).unwrap())
            .unwrap();
    assert_eq!(payload, json["record"]);
    assert_eq!(payload["puppy"]["chip"]["number"], "941000025557101");
}

#[test]
fn handover_names_what_is_missing_and_makes_nothing() {
    let kennel = published();
    let before = kennel.site();
    let ran = kennel.run(&["handover", "moss"]);
    ran.ends_with(1).says(&[
        "spring/moss is not ready to leave on 9 October 2026:",
        "vaccination",
        "vet check",
        "--anyway",
        "emergency_vet",
        "topic: feeding",
    ]);
    assert!(kennel.site() == before);
    // The base puppy has its chip; its sister has none.
    assert!(!ran.err.contains("no chip number"));
    kennel
        .run(&["handover", "wren"])
        .ends_with(1)
        .says(&["chip", "no chip number in the records"]);
    kennel
        .run(&["handover", "ash"])
        .ends_with(2)
        .says(&["there are no papers for spring/ash: it is no longer alive"]);
    kennel.change("kennel.yaml", "country: GB", "country: 7: 8");
    kennel
        .run(&["handover", "moss", "--anyway"])
        .ends_with(1)
        .says(&["no papers were made: the records have problems"]);
    assert!(kennel.site() == before);
}

#[test]
fn papers_are_the_files_of_the_sealed_page_and_stay_when_the_site_is_published_again() {
    use base64::Engine;
    let kennel = published();
    let ran = kennel.run(&["handover", "spring/moss", "--anyway"]);
    ran.ends_with(0)
        .says(&["is not ready", "the papers were made all the same"]);
    let folder = kennel.at("private/handover/spring-moss");
    let papers = tree(&folder);
    let page = opened(&kennel, "spring/moss");
    let inside = page["files"].as_array().unwrap();
    assert!(inside.len() >= 5, "{inside:?}");
    for file in inside {
        let bytes = base64::engine::general_purpose::STANDARD
            .decode(file["base64"].as_str().unwrap())
            .unwrap();
        assert!(
            papers[file["name"].as_str().unwrap()] == bytes,
            "{}",
            file["name"]
        );
    }
    assert_eq!(
        papers.len(),
        inside.len() + 3,
        "and the cover sheet, the page itself, and the page that checks records"
    );
    // Whoever has the papers can check them when the site is gone: keys and script stand in the
    // page, and nothing is fetched.
    let checker = String::from_utf8(papers["check-a-record.html"].clone()).unwrap();
    let key: Value =
        serde_json::from_str(&fs::read_to_string(kennel.at("public/kennel-keys.json")).unwrap())
            .unwrap();
    assert!(
        checker.contains(key["keys"][0]["x"].as_str().unwrap())
            && checker.contains("default-src 'none'")
            && !checker.contains("<script src")
    );
    assert_eq!(
        papers["moss-tarnside-2026-page.html"],
        fs::read(sealed_file(&kennel, "spring/moss")).unwrap()
    );
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        let mode = |path: PathBuf| fs::metadata(path).unwrap().permissions().mode() & 0o777;
        assert_eq!(
            (
                mode(folder.join("moss-tarnside-2026-cover.pdf")),
                mode(folder.clone())
            ),
            (0o600, 0o700)
        );
    }
    let again = kennel.run(&["publish"]);
    again.ends_with(0);
    assert!(!again.err.contains("handover"), "{}", again.err);
    assert_eq!(tree(&folder), papers);
    let code = codes(&kennel)["spring/moss"].0.to_string();
    assert!(ran.out.contains(&code));
}

#[test]
fn a_former_family_cannot_read_the_page_of_the_next_one() {
    let kennel = published();
    let (old, address) = codes(&kennel)["spring/moss"].clone();
    kennel.change("owners.yaml", "id: lund", "id: newby");
    kennel
        .run(&["publish"])
        .ends_with(0)
        .says(&["another family takes spring/moss now: it has a new code and a new address"]);
    assert!(
        !kennel
            .at("public/sealed")
            .join(format!("{address}.html"))
            .exists()
    );
    assert_eq!(
        jwe::open(&jwe_of(&kennel, "spring/moss"), &old),
        Err(jwe::Unopened)
    );
    opened(&kennel, "spring/moss");
    // Nobody takes it any more: the page goes, and that is said.
    kennel.change("owners.yaml", "puppy: moss", "puppy: ash");
    kennel.change(
        "litters/spring/litter.yaml",
        "sex: male, order: 3, weight: 120 g, fate: died, on: 2026-04-02",
        "sex: male, order: 3, weight: 120 g",
    );
    assert!(
        kennel
            .run(&["publish"])
            .ends_with(0)
            .out
            .contains("withdrawn: spring/moss")
    );
}

#[test]
fn inspect_says_what_publish_would_stop_at() {
    let kennel = published();
    fs::rename(kennel.at("codes.yaml"), kennel.at("backup")).unwrap();
    kennel.run(&["inspect"]).ends_with(1).says(&[
        "error[secret-unusable]",
        "codes.yaml is missing",
        "recode --all",
    ]);
    fs::rename(kennel.at("backup"), kennel.at("codes.yaml")).unwrap();
    kennel.run(&["inspect"]).ends_with(0);
    fs::write(kennel.at("signing-keys.json"), "[").unwrap();
    kennel
        .run(&["inspect"])
        .ends_with(1)
        .says(&["signing-keys.json is damaged"]);
}

#[test]
fn what_the_pdf_cannot_print_is_named_with_its_place() {
    let kennel = Kennel::base();
    assert!(
        !kennel
            .run(&["handover", "moss", "--anyway"])
            .ends_with(0)
            .err
            .contains("letters lack")
    );
    kennel.write(
        "litters/spring/notes/names.md",
        "---\ndate: 2026-05-01\ntitle: Her other names ♥\naudience: owners\npuppies: \
         [moss]\n---\nThe neighbours call her 苔 (Moss) 🐾.\n",
    );
    kennel
        .run(&["handover", "moss", "--anyway"])
        .ends_with(0)
        .says(&[
            "the PDF’s letters lack these characters",
            "苔 (U+82D4) in “The neighbours call her 苔 (Moss) 🐾.”",
            "🐾 (U+1F43E) in “… call her 苔 (Moss) 🐾.”",
        ]);
    let record = fs::read_to_string(
        kennel.at("private/handover/spring-moss/moss-tarnside-2026-record.json"),
    )
    .unwrap();
    assert!(record.contains('苔'));
}

#[test]
fn papers_of_an_earlier_run_go_and_what_is_the_keepers_own_stays() {
    let kennel = published();
    kennel.run(&["handover", "moss", "--anyway"]).ends_with(0);
    let folder = kennel.at("private/handover/spring-moss");
    let made = tree(&folder);
    assert!(
        made.keys()
            .all(|name| name == "check-a-record.html" || name.starts_with("moss-tarnside-2026-")),
        "{:?}",
        made.keys()
    );
    // As an earlier version called it, as the kennel was called before, and what is no paper.
    for name in ["moss-record.pdf", "moss-tarn-2026-care.ics"] {
        fs::write(folder.join(name), "old").unwrap();
    }
    let own = [
        "contract-record.pdf",
        "moss-contract.pdf",
        "moss-signed-record.pdf",
        "mossrecord.pdf",
    ];
    for name in own {
        fs::write(folder.join(name), "mine").unwrap();
    }
    kennel.run(&["handover", "moss", "--anyway"]).ends_with(0);
    let mut now = tree(&folder);
    for name in own {
        assert_eq!(now.remove(name).unwrap(), b"mine", "{name}");
    }
    assert!(now.keys().eq(made.keys()), "{:?}", now.keys());
}

#[test]
fn a_puppy_without_a_family_has_papers_but_no_page() {
    let kennel = Kennel::base();
    kennel
        .run(&["handover", "wren"])
        .ends_with(1)
        .says(&["family", "no family takes this puppy in owners.yaml"]);
    kennel.run(&["handover", "wren", "--anyway"]).ends_with(0);
    let papers = tree(&kennel.at("private/handover/spring-wren"));
    assert!(
        papers.contains_key("wren-tarnside-2026-record.pdf")
            && !papers.contains_key("wren-tarnside-2026-cover.pdf")
            && !papers.contains_key("wren-tarnside-2026-page.html")
    );
    assert!(!codes(&kennel).contains_key("spring/wren"));
}

/// A picture of clouds and grain, about as hard to compress as one of a puppy on grass.
fn picture(seed: u32) -> Vec<u8> {
    let (width, height) = (1600_u16, 1200_u16);
    let mut state = seed;
    let mut pixels = Vec::with_capacity(usize::from(width) * usize::from(height) * 3);
    for y in 0..u32::from(height) {
        for x in 0..u32::from(width) {
            state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
            let grain = (state >> 28) as u8;
            let wave = ((f64::from(x * seed % 97 + x) / 40.0).sin()
                + (f64::from(y) / (20.0 + f64::from(seed))).cos()
                + 2.0)
                * 55.0;
            pixels.extend([wave as u8 + grain, (wave as u8 / 2) + grain * 2, 90 + grain]);
        }
    }
    let mut jpeg = Vec::new();
    jpeg_encoder::Encoder::new(&mut jpeg, 90)
        .encode(&pixels, width, height, jpeg_encoder::ColorType::Rgb)
        .unwrap();
    jpeg
}

#[test]
fn a_page_with_120_weigh_ins_and_12_photos_stays_under_three_megabytes() {
    let kennel = Kennel::base();
    let mut weights = String::new();
    for n in 0..120_u32 {
        let (day, hour) = (1 + n / 2 % 30, if n % 2 == 0 { "08:00" } else { "19:30" });
        let month = 4 + n / 60;
        weights.push_str(&format!(
            "- at: 2026-{month:02}-{day:02} {hour}\n  moss: {} g\n",
            230 + n * 17
        ));
    }
    kennel.write(
        "litters/spring/weights.yaml",
        &weights.replace("2026-04-01 08:00", "2026-04-01 10:00"),
    );
    for n in 1..=12 {
        kennel.write_bytes(&format!("litters/spring/photos/moss-{n}.jpg"), &picture(n));
    }
    kennel.run(&["publish"]).ends_with(0);
    let page = opened(&kennel, "spring/moss");
    assert_eq!(
        page["pictures"].as_array().unwrap().len(),
        12,
        "all pictures are in it"
    );
    assert!(
        page["body"].as_str().unwrap().matches("May 2026").count() > 50,
        "and the weights of both months"
    );
    let size = fs::metadata(sealed_file(&kennel, "spring/moss"))
        .unwrap()
        .len();
    assert!((500_000..3_000_000).contains(&size), "{size} bytes");
}

#[cfg(unix)]
#[test]
fn inspect_warns_when_a_secret_lies_open() {
    use std::os::unix::fs::PermissionsExt;
    let kennel = published();
    assert_eq!(
        kennel.run(&["inspect", "--json"]).ends_with(0).problems(),
        []
    );
    fs::set_permissions(kennel.at("codes.yaml"), fs::Permissions::from_mode(0o644)).unwrap();
    kennel.run(&["inspect"]).ends_with(0).says(&[
        "warning[secret-readable]",
        "codes.yaml",
        "chmod 600 codes.yaml",
    ]);
    fs::set_permissions(kennel.at("codes.yaml"), fs::Permissions::from_mode(0o600)).unwrap();
    let git = |arguments: &[&str]| {
        assert!(
            std::process::Command::new("git")
                .arg("-C")
                .arg(kennel.path())
                .args(arguments)
                .output()
                .unwrap()
                .status
                .success()
        )
    };
    git(&["init", "-q"]);
    assert_eq!(kennel.run(&["inspect", "--json"]).problems(), []);
    fs::write(kennel.at(".gitignore"), "/private/\n").unwrap();
    kennel
        .run(&["inspect"])
        .ends_with(0)
        .says(&["warning[secret-not-ignored]"]);
    kennel.run(&["publish"]).ends_with(0);
    assert_eq!(
        fs::read_to_string(kennel.at(".gitignore")).unwrap(),
        "/private/\n/codes.yaml\n/signing-keys.json\n/.litterfolio/\n.*.litterfolio-*\n"
    );
    git(&["add", "-f", "signing-keys.json"]);
    let problems = kennel.run(&["inspect", "--json"]).ends_with(0).problems();
    assert_eq!(
        problems,
        [(
            "secret-tracked".to_owned(),
            "warning".to_owned(),
            "../signing-keys.json".to_owned()
        )]
    );
}

/// Every paper of a puppy, as text, by the end of its name; the page as it is sealed under `page`.
fn papers_of(kennel: &Kennel, key: &str) -> BTreeMap<String, String> {
    use base64::Engine;
    let page = opened(kennel, key);
    let text = |file: &Value| {
        String::from_utf8_lossy(
            &base64::engine::general_purpose::STANDARD
                .decode(file["base64"].as_str().unwrap())
                .unwrap(),
        )
        .into_owned()
    };
    let ends = |file: &Value| {
        file["name"]
            .as_str()
            .unwrap()
            .rsplit_once('-')
            .unwrap()
            .1
            .to_owned()
    };
    let mut papers: BTreeMap<String, String> = page["files"]
        .as_array()
        .unwrap()
        .iter()
        .map(|file| (ends(file), text(file)))
        .collect();
    papers.insert("page".to_owned(), page["body"].as_str().unwrap().to_owned());
    papers
}

#[test]
fn what_was_due_by_the_day_of_leaving_and_has_no_entry_is_said_whatever_day_it_is() {
    let kennel = Kennel::base();
    // Born on 1 April: wormed at 2, 4 and 6 weeks; the worming at 8 weeks (ESCCAP GL1: 27 May and
    // four days) has no entry, and the puppy leaves on 30 May.
    let worming = |on: &str| {
        format!(
            "- on: {on}\n  for: moss\n  worming: {{ product: Vermisol, batch: V-118, weight: 1.4 \
             kg, by: Nell }}\n"
        )
    };
    kennel.write(
        "litters/spring/health.yaml",
        &["2026-04-15", "2026-04-29", "2026-05-13"]
            .map(worming)
            .concat(),
    );
    let mut day = "2026-10-09";
    for (on, offer, state) in [
        ("2026-05-20", "reserved", "before leaving"),
        ("2026-05-29", "reserved", "before leaving"),
        ("2026-05-30", "reserved", "not recorded"),
        ("2026-05-30", "placed", "not recorded"),
        ("2026-05-31", "placed", "not recorded"),
        ("2026-06-01", "placed", "not recorded"),
        ("2026-11-20", "placed", "not recorded"),
    ] {
        kennel.change(
            "kennel.yaml",
            &format!("as_of: {day}"),
            &format!("as_of: {on}"),
        );
        day = on;
        let litter = kennel.text("litters/spring/litter.yaml");
        kennel.write(
            "litters/spring/litter.yaml",
            &litter.replacen("offer: reserved", &format!("offer: {offer}"), 1),
        );
        kennel.run(&["handover", "moss", "--anyway"]).ends_with(0);
        let papers = papers_of(&kennel, "spring/moss");
        let record: Value = serde_json::from_str(&papers["record.json"]).unwrap();
        let care = record["record"]["care"].as_array().unwrap();
        let item = |id: &str| care.iter().find(|item| item["id"] == id).unwrap();
        let worming = item("worming-8-weeks");
        assert_eq!(worming["state"], state, "{on} {offer}");
        // Its days go on after the puppy left: the family has to know.
        assert_eq!(worming["for_family"], true, "{on} {offer}");
        assert_eq!(
            (
                item("worming-3-months")["state"].as_str(),
                item("worming-6-weeks")["state"].as_str()
            ),
            (Some("open"), Some("done")),
            "{on}"
        );
        let html = &papers["page"];
        let vet = &html[html.find("part_vet").unwrap()..html.find("part_next").unwrap()];
        // What was found is read first: what was not recorded may be a long list.
        assert!(vet.find(">Noted<").unwrap() < vet.find("Not recorded by the breeder").unwrap());
        let box_of = &vet[vet
            .find("Not recorded by the breeder")
            .unwrap_or_else(|| panic!("{on}: {vet}"))
            ..vet.find("Due next").unwrap()];
        assert!(box_of.contains("Worming at 8 weeks"), "{on}: {box_of}");
        assert_eq!(
            box_of.contains("data-left=\"2026-05-30\">Worming at 8 weeks"),
            state == "before leaving",
            "{on}: {box_of}"
        );
        let plan = &html[html
            .find("Planned, and not recorded by the breeder")
            .unwrap()..];
        assert!(
            plan.contains("Worming at 8 weeks, planned for")
                && !plan.contains("Nothing is missing"),
            "{on}"
        );
        let calendar = papers
            .iter()
            .find(|(name, _)| name.ends_with(".ics"))
            .unwrap()
            .1
            .replace("\r\n ", "");
        assert!(
            calendar.contains("worming at 8 weeks (")
                && calendar.contains("ot recorded by the breeder"),
            "{on}: {calendar}"
        );
        assert!(
            !calendar.contains("worming at 6 weeks"),
            "what is done is not in it"
        );
        let litter = kennel.text("litters/spring/litter.yaml");
        kennel.write(
            "litters/spring/litter.yaml",
            &litter.replacen(&format!("offer: {offer}"), "offer: reserved", 1),
        );
    }
}

#[test]
fn nothing_is_missing_when_all_that_is_due_by_that_day_is_recorded() {
    let kennel = Kennel::base();
    kennel.change("kennel.yaml", "as_of: 2026-10-09", "as_of: 2026-05-28");
    kennel.change(
        "kennel.yaml",
        "email: nell@tarnside.example",
        "email: nell@tarnside.example, phone: \"+44 1632 960771\", emergency_vet: { clinic: \
         Fellgate Vets, phone: \"+44 1632 960772\" }",
    );
    let worming = |on: &str| {
        format!(
            "- on: {on}\n  for: moss\n  worming: {{ product: Vermisol, batch: V-118, weight: 1.4 \
             kg, by: Nell }}\n"
        )
    };
    let check = |on: &str| {
        format!(
            "- on: {on}\n  for: moss\n  check: {{ by: Fellgate Vets, findings: nothing found }}\n"
        )
    };
    // Born on 1 April: wormed at 2, 4, 6 and 8 weeks (ESCCAP GL1), vaccinated at 8 weeks, chipped,
    // looked over twice.
    let wormings: String = ["2026-04-15", "2026-04-29", "2026-05-13", "2026-05-27"]
        .map(worming)
        .concat();
    let vaccination = "- on: 2026-05-27\n  for: moss\n  vaccination: { against: [distemper, \
                       adenovirus, parvovirus], product: Canisec, batch: C77, by: Fellgate Vets \
                       }\n";
    let chip = "- on: 2026-05-27\n  for: moss\n  chip: { number: \"941000025557101\", by: \
                Fellgate Vets }\n";
    kennel.write(
        "litters/spring/health.yaml",
        &format!(
            "{}{}{wormings}{vaccination}{chip}",
            check("2026-04-02"),
            check("2026-05-20")
        ),
    );
    let feeding = "---\ndate: 2026-05-20\ntitle: What they eat\naudience: owners\ntopic: \
                   feeding\n---\nFour meals.\n";
    kennel.write("litters/spring/notes/feeding.md", feeding);
    kennel
        .run(&["handover", "moss"])
        .ends_with(0)
        .says(&["spring/moss: nothing was found missing for 30 May 2026"]);

    // Each of them is missed by its name.
    for (file, from, to, said) in [
        ("litters/spring/health.yaml", vaccination, "", "vaccination"),
        (
            "litters/spring/health.yaml",
            "product: Canisec, batch: C77",
            "product: Canisec",
            "the vaccination of 27 May 2026 lacks its batch",
        ),
        (
            "litters/spring/notes/feeding.md",
            "audience: owners",
            "audience: keeper",
            "no note tells the family what it eats",
        ),
        (
            "owners.yaml",
            "leaves: 2026-05-30",
            "leaves: 2026-05-29",
            "",
        ),
        (
            "kennel.yaml",
            "country: GB",
            "country: GB\nleaving_age: 60 days",
            "may leave from 31 May 2026",
        ),
    ] {
        let before = kennel.text(file);
        kennel.change(file, from, to);
        let ran = kennel.run(&["handover", "moss"]);
        if said.is_empty() {
            ran.ends_with(0);
        } else {
            ran.ends_with(1).says(&[said]);
        }
        kennel.write(file, &before);
    }
}
