//! What is remembered between two publications only ever saves work: whatever was remembered, lost,
//! damaged or put there by somebody else, the site is the one that a run without memory makes.

use crate::support::dice::Dice;
use crate::support::{Beginning, Kennel, tree};
use serde_json::Value;
use std::collections::BTreeMap;
use std::fs::{self, File, FileTimes};
use std::path::Path;
use std::thread::sleep;
use std::time::{Duration, SystemTime};

const PICTURE: &str = "litters/spring/photos/moss-asleep.jpg";

/// A soft picture of one colour, as a JPEG.
fn picture(colour: [u8; 3]) -> Vec<u8> {
    let mut jpeg = Vec::new();
    let pixels: Vec<u8> = (0..600 * 400)
        .flat_map(|i: u32| colour.map(|c| c.saturating_add((i % 23) as u8)))
        .collect();
    jpeg_encoder::Encoder::new(&mut jpeg, 90)
        .encode(&pixels, 600, 400, jpeg_encoder::ColorType::Rgb)
        .unwrap();
    jpeg
}

/// The base kennel with a picture, published; long enough ago that its files are remembered.
fn published() -> Kennel {
    static PUBLISHED: Beginning = Beginning::new();
    let kennel = PUBLISHED.kennel(|| {
        let kennel = Kennel::base();
        kennel.write_bytes(PICTURE, &picture([120, 90, 60]));
        kennel.run(&["publish"]).ends_with(0);
        kennel
    });
    wait();
    // Files of another run than this are read once and then known by their stamps.
    kennel.run(&["publish"]).ends_with(0);
    kennel
}

/// Files that changed a moment ago are read again to be sure.
fn wait() {
    sleep(Duration::from_millis(80));
}

fn json(kennel: &Kennel) -> Value {
    serde_json::from_str(&kennel.run(&["publish", "--json"]).ends_with(0).out).unwrap()
}

/// The paths that a publication made, as far as they are pages of the site or pictures of the
/// records.
fn made(kennel: &Kennel) -> Vec<String> {
    json(kennel)["made"]
        .as_array()
        .unwrap()
        .iter()
        .map(|made| {
            made["path"]
                .as_str()
                .unwrap()
                .rsplit_once('/')
                .unwrap()
                .1
                .to_owned()
        })
        .collect()
}

fn written(kennel: &Kennel) -> u64 {
    json(kennel)["folders"]
        .as_array()
        .unwrap()
        .iter()
        .map(|folder| folder["report"]["written"].as_u64().unwrap())
        .sum()
}

/// The site that a run without the cache makes of the same records and secrets.
fn cold(kennel: &Kennel) -> BTreeMap<String, Vec<u8>> {
    fs::remove_dir_all(kennel.at(".litterfolio/cache")).unwrap();
    kennel.run(&["publish"]).ends_with(0);
    kennel.site()
}

fn cache_files(kennel: &Kennel) -> Vec<String> {
    tree(&kennel.at(".litterfolio/cache")).into_keys().collect()
}

#[test]
fn a_second_run_makes_and_writes_nothing() {
    let kennel = published();
    let before = kennel.site();
    let again = kennel.run(&["publish", "--explain"]);
    again.ends_with(0);
    assert!(
        again.out.contains("nothing was made") && again.out.contains("all as before"),
        "{}",
        again.out
    );
    assert_eq!(kennel.site(), before);
    assert_eq!((made(&kennel), written(&kennel)), (Vec::new(), 0));
    assert_eq!(kennel.run(&["publish", "--quiet"]).ends_with(0).out, "");
}

#[test]
fn a_program_is_told_how_far_a_publication_is() {
    let kennel = Kennel::base();
    kennel.write_bytes(PICTURE, &picture([120, 90, 60]));
    let run = kennel.run(&["publish", "--json", "--steps"]);
    assert_eq!(
        serde_json::from_str::<Value>(&run.ends_with(0).out).unwrap()["published"],
        true
    );
    let steps: Vec<Value> = run
        .err
        .lines()
        .filter_map(|line| serde_json::from_str(line).ok())
        .collect();
    let begun: Vec<&str> = steps
        .iter()
        .map(|told| told["step"].as_str().unwrap())
        .collect();
    for step in [
        "reading records",
        "preparing pictures",
        "making pages",
        "writing",
    ] {
        assert!(begun.contains(&step), "{begun:?} without {step}");
    }
    for told in &steps {
        let of = told["of"].as_u64().unwrap_or(u64::MAX);
        assert!(told["done"].as_u64().unwrap() <= of, "{told}");
    }
    assert!(steps.iter().any(|told| told["of"] == 1));
}

/// Shapes of the published pictures, width by height, in order of their names.
fn shapes(kennel: &Kennel) -> Vec<(u32, u32)> {
    let site = kennel.site();
    let pictures = site
        .iter()
        .filter(|(name, _)| name.starts_with("public/") && name.ends_with(".jpg"));
    pictures
        .map(|(_, bytes)| {
            let picture = image::load_from_memory(bytes).unwrap();
            (picture.width(), picture.height())
        })
        .collect()
}

#[test]
fn a_picture_is_published_as_it_was_turned_and_where_it_was_put() {
    let kennel = published();
    let lying = shapes(&kennel);
    assert!(lying.iter().all(|(width, height)| width > height));
    let before = kennel.site();
    let litter = kennel.text("litters/spring/litter.yaml");
    let entry = |entries: &str| format!("{}\npictures:\n{entries}", litter.trim_end());
    let turned = entry("  - { file: moss-asleep.jpg, turn: right }\n");
    kennel.write("litters/spring/litter.yaml", &turned);
    kennel.run(&["publish"]).ends_with(0);
    assert!(!shapes(&kennel).is_empty());
    assert!(shapes(&kennel).iter().all(|(width, height)| width < height));
    let warm = kennel.site();
    assert!(warm == cold(&kennel));
    kennel.write("litters/spring/litter.yaml", &litter);
    kennel.run(&["publish"]).ends_with(0);
    // The family's page was sealed anew.
    let open = |site: BTreeMap<String, Vec<u8>>| {
        let pages = site
            .into_iter()
            .filter(|(name, _)| name.ends_with(".jpg") || name.starts_with("public/litters/"));
        pages.collect::<Vec<_>>()
    };
    assert!(open(kennel.site()) == open(before));

    // Without a place they follow by name.
    kennel.write_bytes(
        "litters/spring/photos/moss-boot.jpg",
        &picture([10, 200, 60]),
    );
    let captions = |first: &str, second: &str| {
        entry(&format!(
            "  - {{ file: moss-asleep.jpg, caption: Asleep{first} }}\n  - {{ file: moss-boot.jpg, \
             caption: The boot{second} }}\n"
        ))
    };
    let is_asleep_first = |litter: &str| {
        kennel.write("litters/spring/litter.yaml", litter);
        kennel.run(&["publish"]).ends_with(0);
        let pages = kennel
            .site()
            .into_iter()
            .filter(|(name, _)| name.starts_with("public/") && name.ends_with(".html"));
        let page = pages
            .map(|(_, bytes)| String::from_utf8(bytes).unwrap())
            .find(|page| page.contains("Asleep") && page.contains("The boot"))
            .unwrap();
        page.find("Asleep").unwrap() < page.find("The boot").unwrap()
    };
    assert!(is_asleep_first(&captions("", "")));
    assert!(!is_asleep_first(&captions("", ", order: 1")));
    assert!(!is_asleep_first(&captions(", order: 2", ", order: 1")));
}

#[test]
fn warm_and_cold_runs_make_the_same_site() {
    let kennel = published();
    let changes: &[&dyn Fn()] = &[
        &|| {
            let weights = kennel.text("litters/spring/weights.yaml");
            kennel.write(
                "litters/spring/weights.yaml",
                &format!("{weights}- at: 2026-10-09 09:00\n  moss: 2100 g\n"),
            );
        },
        &|| {
            kennel.write_bytes(
                "litters/spring/photos/wren-awake.jpg",
                &picture([60, 90, 120]),
            )
        },
        &|| {
            kennel.write(
                "litters/spring/notes/2026-10-09-news.md",
                "---\ndate: 2026-10-09\ntitle: News\naudience: everyone\n---\nThey are off.\n",
            )
        },
        &|| fs::remove_file(kennel.content().join(PICTURE)).unwrap(),
        &|| {
            fs::create_dir_all(kennel.at("templates/visitor")).unwrap();
            fs::write(
                kennel.at("templates/visitor/not-found.html"),
                "<!doctype html><title>Gone</title><p>Gone.",
            )
            .unwrap();
        },
        &|| fs::remove_dir_all(kennel.at("templates")).unwrap(),
        &|| {
            let text = kennel.text("kennel.yaml");
            kennel.write(
                "kennel.yaml",
                &text.replace("as_of: 2026-10-09", "as_of: 2026-10-10"),
            );
        },
        &|| {
            let text = kennel.text("kennel.yaml");
            kennel.write("kennel.yaml", &text.replace("name: ", "name: New "));
        },
    ];
    for (number, change) in changes.iter().enumerate() {
        change();
        kennel.run(&["publish"]).ends_with(0);
        let warm = kennel.site();
        wait();
        assert!(
            kennel.site() == warm && written(&kennel) == 0,
            "change {number} is not done at once"
        );
        same_as_cold(&kennel, &warm, &format!("change {number}"));
        wait();
    }
}

/// Eight puppies born on a day, weighed on eleven.
fn litter_of_eight(kennel: &Kennel, name: &str, dam: &str, month: u32) {
    let puppies: Vec<String> = (1..=8)
        .map(|n| {
            format!(
                "  - {{ id: {name}-{n}, sex: female, order: {n}, weight: {} g, offer: placed, \
                 registration: {{ registry: The Kennel Club, number: \"{month}{n}\" }} }}\n",
                190 + 7 * n
            )
        })
        .collect();
    let litter = format!(
        "name: {name}\ndam: {dam}\nsire: corvin\nbirth: {{ on: 2025-{month:02}-01, how: natural \
         }}\npuppies:\n{}",
        puppies.concat()
    );
    kennel.write(&format!("litters/{name}/litter.yaml"), &litter);
    let weights: Vec<String> = (2..=12)
        .map(|day| {
            let all: Vec<String> = (1..=8)
                .map(|n| format!("  {name}-{n}: {} g\n", 190 + 7 * n + (day - 1) * (14 + n)))
                .collect();
            format!("- at: 2025-{month:02}-{day:02} 08:00\n{}", all.concat())
        })
        .collect();
    kennel.write(&format!("litters/{name}/weights.yaml"), &weights.concat());
}

/// What a page of one litter shows of other files is named by nobody, so it is tried: after a
/// change of any of them the site is the one that a run without memory makes.
#[test]
fn a_page_is_made_again_for_everything_that_it_shows_of_other_files() {
    let kennel = published();
    let kennel_yaml = kennel.text("kennel.yaml");
    kennel.write("kennel.yaml", &format!("{kennel_yaml}region: scotland\n"));
    for (name, dam, month) in [
        ("birch", "juno", 1),
        ("cedar", "tansy", 3),
        ("damson", "tansy", 9),
    ] {
        litter_of_eight(&kennel, name, dam, month);
    }
    kennel.write(
        "litters/autumn/litter.yaml",
        "name: Autumn 2026\ndam: juno\nsire: brack\nannounced: true\nmated: [2026-07-20]\nbirth: \
         { on: 2026-09-20, how: planned section }\npuppies:\n  - { id: fern, sex: female, order: \
         1, weight: 230 g, offer: available }\n  - { id: reed, sex: male, order: 2, weight: 210 \
         g, offer: available }\n",
    );
    let weights: Vec<String> = (21..=30)
        .map(|day| {
            format!(
                "- at: 2026-09-{day} 08:00\n  fern: {} g\n  reed: {} g\n",
                230 + 15 * (day - 20),
                210 + 14 * (day - 20)
            )
        })
        .collect();
    kennel.write("litters/autumn/weights.yaml", &weights.concat());
    kennel.run(&["publish"]).ends_with(0);
    assert!(
        kennel
            .site()
            .iter()
            .any(|(path, bytes)| path.contains("litters/autumn/")
                && String::from_utf8_lossy(bytes).contains("puppies of earlier litters"))
    );
    wait();
    let changes = [
        ("dogs/juno.yaml", "Tarnside Juno", "Tarnside Juniper"),
        ("dogs/brack.yaml", "Oldfell Brack", "Newfell Brack"),
        (
            "dogs/tansy.yaml",
            "sex: female",
            "sex: female\nadult_weight: 9.4 kg",
        ),
        ("owners.yaml", "leaves: 2026-05-30", "leaves: 2026-06-02"),
        ("owners.yaml", "The Lund family", "The Lunds"),
        (
            "care-plan.yaml",
            "First time in the garden",
            "First time under the apple trees",
        ),
        (
            "litters/birch/litter.yaml",
            "how: natural",
            "how: planned section",
        ),
        (
            "litters/birch/litter.yaml",
            "on: 2025-01-01",
            "on: 2024-12-30",
        ),
        (
            "litters/cedar/litter.yaml",
            "weight: 197 g",
            "weight: 317 g",
        ),
        (
            "litters/cedar/weights.yaml",
            "cedar-4: 236 g",
            "cedar-4: 246 g",
        ),
        (
            "litters/damson/weights.yaml",
            "- at: 2025-09-12 08:00",
            "- at: 2025-09-12 20:00",
        ),
        ("litters/spring/health.yaml", "Vermisol", "Helmisol"),
        (
            "litters/spring/notes/first-night.md",
            "All quiet",
            "All asleep",
        ),
        (
            "litters/spring/notes/first-night.md",
            "audience: everyone",
            "audience: owners",
        ),
        (
            "litters/autumn/litter.yaml",
            "announced: true",
            "announced: false",
        ),
        ("litters/autumn/weights.yaml", "fern: 380 g", "fern: 381 g"),
        ("pages/about.md", "About us", "About the kennel"),
        ("kennel.yaml", "region: scotland", "region: wales"),
    ];
    for (file, from, to) in changes {
        let (text, before) = (kennel.text(file), kennel.site());
        let changed = text.replacen(from, to, 1);
        assert_ne!(text, changed, "{file} has no `{from}`");
        kennel.write(file, &changed);
        kennel.run(&["publish"]).ends_with(0);
        let warm = kennel.site();
        assert!(warm != before, "{file}: `{to}` is nowhere to be seen");
        same_as_cold(&kennel, &warm, &format!("{file}, `{to}`"));
        wait();
    }
    // Files come and go, and what dogs are to each other changes.
    let put = |file: &str, text: &str| kennel.write(file, text);
    let add = |file: &str, text: &str| kennel.write(file, &(kennel.text(file) + text));
    let swap = |file: &str, from: &str, to: &str| {
        let text = kennel.text(file);
        assert!(text.contains(from), "{file} has no `{from}`");
        kennel.write(file, &text.replacen(from, to, 1));
    };
    let photo = "litters/autumn/photos/fern-first.jpg";
    let changes: [(&str, &dyn Fn()); 12] = [
        ("a grandmother is known", &|| {
            put(
                "dogs/old.yaml",
                "name: Old Nan\nsex: female\nborn: 2015-02-01\n",
            );
            add("dogs/tansy.yaml", "dam: old\n");
        }),
        ("she is the mother of both", &|| {
            add("dogs/brack.yaml", "dam: old\n")
        }),
        ("a heat is written down", &|| {
            add("dogs/tansy.yaml", "seasons:\n  - { start: 2026-09-25 }\n");
        }),
        ("a picture comes", &|| {
            kennel.write_bytes(photo, &picture([20, 90, 60]))
        }),
        ("it is turned", &|| {
            add(
                "litters/autumn/litter.yaml",
                "pictures:\n  - { file: fern-first.jpg, turn: right }\n",
            );
        }),
        ("a picture becomes another one", &|| {
            kennel.write_bytes(photo, &picture([200, 90, 60]));
        }),
        ("a picture goes", &|| {
            fs::remove_file(kennel.content().join(photo)).unwrap();
            swap(
                "litters/autumn/litter.yaml",
                "pictures:\n  - { file: fern-first.jpg, turn: right }\n",
                "",
            );
        }),
        ("a portrait comes", &|| {
            kennel.write_bytes("dogs/juno.jpg", &picture([90, 20, 60]));
            add("dogs/juno.yaml", "photo: juno.jpg\n");
        }),
        ("a litter has another dam", &|| {
            swap("litters/damson/litter.yaml", "dam: tansy", "dam: juno");
        }),
        ("a litter comes", &|| {
            litter_of_eight(&kennel, "elder", "tansy", 12)
        }),
        ("a litter goes", &|| {
            fs::remove_dir_all(kennel.content().join("litters/birch")).unwrap();
        }),
        ("it is the next day", &|| {
            swap("kennel.yaml", "as_of: 2026-10-09", "as_of: 2026-10-10");
        }),
    ];
    for (what, change) in changes {
        let before = kennel.site();
        change();
        kennel.run(&["publish"]).ends_with(0);
        let warm = kennel.site();
        assert!(warm != before, "{what}: it is nowhere to be seen");
        same_as_cold(&kennel, &warm, what);
        wait();
    }
}

/// The site is the one that a run without the cache makes.
fn same_as_cold(kennel: &Kennel, warm: &BTreeMap<String, Vec<u8>>, after: &str) {
    let cold = cold(kennel);
    let differ: Vec<_> = warm
        .iter()
        .filter(|(path, bytes)| cold.get(*path) != Some(bytes))
        .map(|(path, _)| path)
        .collect();
    assert!(
        differ.is_empty() && warm.len() == cold.len(),
        "{after}: {differ:?}"
    );
}

/// Nobody thought of these changes: a digit anywhere in the records becomes another one.
#[test]
fn after_any_change_the_site_is_the_one_that_a_run_without_the_cache_makes() {
    let kennel = published();
    for (name, dam, month) in [("birch", "juno", 1), ("cedar", "tansy", 3)] {
        litter_of_eight(&kennel, name, dam, month);
    }
    kennel.run(&["publish"]).ends_with(0);
    let files: Vec<String> = tree(&kennel.content())
        .into_keys()
        .filter(|file| file.ends_with(".yaml") || file.ends_with(".md"))
        .collect();
    let mut dice = Dice(0x5eed);
    let mut taken = 0;
    for _ in 0..60 {
        let file = dice.one_of(&files);
        let text = kennel.text(file);
        let digits: Vec<usize> = text
            .match_indices(|c: char| c.is_ascii_digit())
            .map(|(at, _)| at)
            .collect();
        if digits.is_empty() {
            continue;
        }
        let at = *dice.one_of(&digits);
        let digit = (text.as_bytes()[at] - b'0' + 1 + u8::try_from(dice.below(9)).unwrap()) % 10;
        let changed = format!("{}{digit}{}", &text[..at], &text[at + 1..]);
        kennel.write(file, &changed);
        // What is no longer a record without errors is put back.
        if kennel.run(&["publish"]).code != Some(0) {
            kennel.write(file, &text);
            continue;
        }
        taken += 1;
        let warm = kennel.site();
        same_as_cold(&kennel, &warm, &format!("{file}, byte {at} became {digit}"));
    }
    assert!(
        taken >= 15,
        "only {taken} changes left the records without errors"
    );
}

/// A page that shows a change goes when the change is taken back, however soon.
#[test]
fn a_change_that_is_taken_back_is_noticed() {
    let kennel = published();
    // What is sealed again has other bytes every time.
    let open = |kennel: &Kennel| {
        kennel
            .site()
            .into_iter()
            .filter(|(path, _)| !path.contains("sealed/"))
            .collect::<BTreeMap<_, _>>()
    };
    let before = open(&kennel);
    let text = kennel.text("dogs/juno.yaml");
    for _ in 0..2 {
        kennel.write(
            "dogs/juno.yaml",
            &text.replace("Tarnside Juno", "Tarnside Juniper"),
        );
        kennel.run(&["publish"]).ends_with(0);
        assert!(open(&kennel) != before);
        kennel.write("dogs/juno.yaml", &text);
        kennel.run(&["publish"]).ends_with(0);
        assert!(open(&kennel) == before);
        wait();
    }
}

#[test]
fn one_weight_makes_few_pages_again_and_says_why() {
    let kennel = published();
    let weights = kennel.text("litters/spring/weights.yaml");
    kennel.write(
        "litters/spring/weights.yaml",
        &format!("{weights}- at: 2026-10-09 09:00\n  moss: 2100 g\n"),
    );
    let said = kennel.run(&["publish", "--explain"]);
    said.ends_with(0);
    assert!(
        said.out
            .contains("litters/spring.html: what it shows changed"),
        "{}",
        said.out
    );
    assert!(
        said.out.contains("sealed the page of spring/moss"),
        "{}",
        said.out
    );
    // No page for visitors knows a weight.
    assert!(
        !said.out.contains("public/litters") && !said.out.contains("moss-asleep"),
        "{}",
        said.out
    );
}

#[test]
fn a_damaged_foreign_or_missing_cache_is_only_slower() {
    let kennel = published();
    let before = kennel.site();
    assert!(cache_files(&kennel).len() > 5, "{:?}", cache_files(&kennel));
    let spoil: &[&dyn Fn(&Path)] = &[
        &|file| fs::write(file, "").unwrap(),
        &|file| fs::write(file, "another program's file").unwrap(),
        &|file| {
            let bytes = fs::read(file).unwrap();
            fs::write(file, &bytes[..bytes.len() / 2]).unwrap();
        },
        &|file| {
            let mut bytes = fs::read(file).unwrap();
            let middle = bytes.len() / 2;
            bytes[middle] ^= 0x20;
            fs::write(file, bytes).unwrap();
        },
        &|file| fs::remove_file(file).unwrap(),
        &|file| {
            fs::remove_file(file).unwrap();
            fs::create_dir(file).unwrap();
        },
    ];
    for (number, spoil) in spoil.iter().enumerate() {
        for file in cache_files(&kennel) {
            spoil(&kennel.at(".litterfolio/cache").join(&file));
            // The site must need what was spoilt: its folders are gone too.
            fs::remove_dir_all(kennel.at("public/litters")).unwrap();
            fs::remove_dir_all(kennel.at("private")).unwrap();
            kennel.run(&["publish"]).ends_with(0);
            assert!(kennel.site() == before, "{number} {file}");
            let _ = fs::remove_dir_all(kennel.at(".litterfolio/cache").join(&file));
            kennel.run(&["publish"]).ends_with(0);
        }
    }
    fs::remove_dir_all(kennel.at(".litterfolio/cache")).unwrap();
    fs::write(kennel.at(".litterfolio/cache"), "no folder").unwrap();
    kennel.run(&["publish"]).ends_with(0);
    assert!(kennel.site() == before);
    kennel.run(&["publish"]).ends_with(0);
    assert!(kennel.site() == before);
}

#[test]
fn another_picture_of_the_same_name_size_and_time_is_noticed() {
    let kennel = published();
    let file = kennel.content().join(PICTURE);
    let time = fs::metadata(&file).unwrap().modified().unwrap();
    let (one, other) = (fs::read(&file).unwrap(), picture([60, 120, 90]));
    let longest = one.len().max(other.len());
    // Bytes after the end of a JPEG are passed over, so that both can have one length.
    let padded = |mut bytes: Vec<u8>| {
        bytes.resize(longest, 0);
        bytes
    };
    let put = |bytes: &[u8]| {
        fs::write(&file, bytes).unwrap();
        File::options()
            .write(true)
            .open(&file)
            .unwrap()
            .set_times(FileTimes::new().set_modified(time))
            .unwrap();
        wait();
    };
    put(&padded(one));
    kennel.run(&["publish"]).ends_with(0);
    let before = fs::metadata(&file).unwrap();
    let pictures = |kennel: &Kennel| {
        tree(&kennel.at("public"))
            .into_keys()
            .filter(|path| path.ends_with(".jpg"))
            .collect::<Vec<_>>()
    };
    let names = pictures(&kennel);
    put(&padded(other));
    let after = fs::metadata(&file).unwrap();
    assert_eq!(
        (before.len(), before.modified().unwrap()),
        (after.len(), after.modified().unwrap())
    );
    kennel.run(&["publish"]).ends_with(0);
    assert_ne!(pictures(&kennel), names);
    let warm = kennel.site();
    assert!(cold(&kennel) == warm);
}

#[test]
fn times_that_make_no_sense_are_no_reason_to_miss_a_change() {
    let kennel = published();
    let file = kennel.content().join("litters/spring/litter.yaml");
    let set = |time: SystemTime| {
        File::options()
            .write(true)
            .open(&file)
            .unwrap()
            .set_times(FileTimes::new().set_modified(time))
            .unwrap()
    };
    for (number, time) in [
        SystemTime::UNIX_EPOCH,
        SystemTime::now() + Duration::from_secs(10 * 365 * 86_400),
    ]
    .into_iter()
    .enumerate()
    {
        set(time);
        kennel.run(&["publish"]).ends_with(0);
        wait();
        let before = kennel.site();
        let text = fs::read_to_string(&file).unwrap();
        // A change that leaves the length as it is, with the time put back.
        let changed = if number == 0 {
            text.replace("offer: available", "offer: reserved ")
        } else {
            text.replace("offer: reserved ", "offer: available")
        };
        assert_ne!(text, changed);
        fs::write(&file, changed).unwrap();
        set(time);
        wait();
        kennel.run(&["publish"]).ends_with(0);
        assert!(kennel.site() != before, "change {number}");
    }
}

#[test]
fn what_somebody_did_to_the_site_is_put_right() {
    let kennel = published();
    let before = kennel.site();
    let page = kennel.at("public/index.html");
    let whole = fs::read(&page).unwrap();
    let time = fs::metadata(&page).unwrap().modified().unwrap();
    // The same length and time, other bytes.
    let mut edited = whole.clone();
    edited[whole.len() / 2] ^= 1;
    fs::write(&page, &edited).unwrap();
    File::options()
        .write(true)
        .open(&page)
        .unwrap()
        .set_times(FileTimes::new().set_modified(time))
        .unwrap();
    kennel
        .run(&["publish"])
        .ends_with(0)
        .says(&["had been changed by hand and was written again"]);
    assert!(kennel.site() == before);
    wait();
    fs::remove_file(&page).unwrap();
    fs::remove_dir_all(kennel.at("private/litters")).unwrap();
    kennel.run(&["publish"]).ends_with(0);
    assert!(kennel.site() == before);
    wait();
    fs::write(kennel.at("public/CNAME"), "hazelmere.example").unwrap();
    for _ in 0..2 {
        kennel
            .run(&["publish"])
            .ends_with(0)
            .says(&["CNAME was not written by litterfolio and was left alone"]);
        wait();
    }
    assert!(kennel.at("public/CNAME").exists());
}

#[test]
fn warnings_are_told_every_time_also_when_nothing_changed() {
    let kennel = Kennel::base();
    kennel.write("litters/spring/notes.txt", "not a record\n");
    for _ in 0..2 {
        kennel
            .run(&["publish"])
            .ends_with(0)
            .says(&["file-unknown", "1 warning"]);
        wait();
    }
}

#[test]
fn a_record_that_broke_is_told_as_json_and_the_old_site_stays() {
    let kennel = published();
    let before = kennel.site();
    kennel.write("litters/spring/litter.yaml", "name: [\n");
    let ran = kennel.run(&["publish", "--json"]);
    ran.ends_with(1);
    let said: Value = serde_json::from_str(&ran.out).unwrap();
    assert_eq!(said["published"], false);
    assert!(
        said["records"]["errors"].as_u64().unwrap() > 0 && ran.err.is_empty(),
        "{}",
        ran.err
    );
    assert!(kennel.site() == before);
}
