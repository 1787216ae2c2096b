//! What is remembered between two publications only ever saves work: whatever was remembered, lost, damaged or put there by somebody else, the site is the one that a run without memory makes.

#![allow(
    clippy::pedantic,
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::disallowed_methods,
    clippy::print_stdout,
    reason = "a test may stop where it stands"
)]

mod support;

use serde_json::Value;
use std::collections::BTreeMap;
use std::fs::{self, File, FileTimes};
use std::path::Path;
use std::thread::sleep;
use std::time::{Duration, SystemTime};
use support::{Kennel, tree};

const PICTURE: &str = "litters/spring/photos/moss-asleep.jpg";

/// A soft picture of one colour, as a JPEG.
fn picture(colour: [u8; 3]) -> Vec<u8> {
    let mut jpeg = Vec::new();
    let pixels: Vec<u8> = (0..600 * 400).flat_map(|i: u32| colour.map(|c| c.saturating_add((i % 23) as u8))).collect();
    jpeg_encoder::Encoder::new(&mut jpeg, 90).encode(&pixels, 600, 400, jpeg_encoder::ColorType::Rgb).unwrap();
    jpeg
}

/// The base kennel with a picture, published; long enough ago that its files are remembered.
fn published() -> Kennel {
    let kennel = Kennel::base();
    kennel.write_bytes(PICTURE, &picture([120, 90, 60]));
    kennel.run(&["publish"]).ends_with(0);
    wait();
    kennel
}

/// Files that changed a moment ago are read again to be sure.
fn wait() {
    sleep(Duration::from_millis(80));
}

fn json(kennel: &Kennel) -> Value {
    serde_json::from_str(&kennel.run(&["publish", "--json"]).ends_with(0).out).unwrap()
}

/// The paths that a publication made, as far as they are pages of the site or pictures of the records.
fn made(kennel: &Kennel) -> Vec<String> {
    json(kennel)["made"].as_array().unwrap().iter().map(|made| made["path"].as_str().unwrap().rsplit_once('/').unwrap().1.to_owned()).collect()
}

fn written(kennel: &Kennel) -> u64 {
    json(kennel)["folders"].as_array().unwrap().iter().map(|folder| folder["report"]["written"].as_u64().unwrap()).sum()
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
    assert!(again.out.contains("nothing was made") && again.out.contains("all as before"), "{}", again.out);
    assert_eq!(kennel.site(), before);
    assert_eq!((made(&kennel), written(&kennel)), (Vec::new(), 0));
    assert_eq!(kennel.run(&["publish", "--quiet"]).ends_with(0).out, "");
}

#[test]
fn warm_and_cold_runs_make_the_same_site() {
    let kennel = published();
    let changes: &[&dyn Fn()] = &[
        &|| {
            let weights = kennel.text("litters/spring/weights.yaml");
            kennel.write("litters/spring/weights.yaml", &format!("{weights}- at: 2026-10-09 09:00\n  moss: 2100 g\n"));
        },
        &|| kennel.write_bytes("litters/spring/photos/wren-awake.jpg", &picture([60, 90, 120])),
        &|| kennel.write("litters/spring/notes/2026-10-09-news.md", "---\ndate: 2026-10-09\ntitle: News\naudience: everyone\n---\nThey are off.\n"),
        &|| fs::remove_file(kennel.content().join(PICTURE)).unwrap(),
        &|| {
            fs::create_dir_all(kennel.at("templates/visitor")).unwrap();
            fs::write(kennel.at("templates/visitor/not-found.html"), "<!doctype html><title>Gone</title><p>Gone.").unwrap();
        },
        &|| fs::remove_dir_all(kennel.at("templates")).unwrap(),
        &|| {
            let text = kennel.text("kennel.yaml");
            kennel.write("kennel.yaml", &text.replace("as_of: 2026-10-09", "as_of: 2026-10-10"));
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
        assert!(kennel.site() == warm && written(&kennel) == 0, "change {number} is not done at once");
        let cold = cold(&kennel);
        let differ: Vec<_> = warm.iter().filter(|(path, bytes)| cold.get(*path) != Some(bytes)).map(|(path, _)| path).collect();
        assert!(differ.is_empty() && warm.len() == cold.len(), "change {number}: {differ:?}");
        wait();
    }
}

#[test]
fn one_weight_makes_few_pages_again_and_says_why() {
    let kennel = published();
    let weights = kennel.text("litters/spring/weights.yaml");
    kennel.write("litters/spring/weights.yaml", &format!("{weights}- at: 2026-10-09 09:00\n  moss: 2100 g\n"));
    let said = kennel.run(&["publish", "--explain"]);
    said.ends_with(0);
    assert!(said.out.contains("litters/spring.html: what it shows changed"), "{}", said.out);
    assert!(said.out.contains("sealed the page of spring/moss"), "{}", said.out);
    // No page for visitors knows a weight.
    assert!(!said.out.contains("public/litters") && !said.out.contains("moss-asleep"), "{}", said.out);
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
        File::options().write(true).open(&file).unwrap().set_times(FileTimes::new().set_modified(time)).unwrap();
        wait();
    };
    put(&padded(one));
    kennel.run(&["publish"]).ends_with(0);
    let before = fs::metadata(&file).unwrap();
    let pictures = |kennel: &Kennel| tree(&kennel.at("public")).into_keys().filter(|path| path.ends_with(".jpg")).collect::<Vec<_>>();
    let names = pictures(&kennel);
    put(&padded(other));
    let after = fs::metadata(&file).unwrap();
    assert_eq!((before.len(), before.modified().unwrap()), (after.len(), after.modified().unwrap()));
    kennel.run(&["publish"]).ends_with(0);
    assert_ne!(pictures(&kennel), names);
    let warm = kennel.site();
    assert!(cold(&kennel) == warm);
}

#[test]
fn times_that_make_no_sense_are_no_reason_to_miss_a_change() {
    let kennel = published();
    let file = kennel.content().join("litters/spring/litter.yaml");
    let set = |time: SystemTime| File::options().write(true).open(&file).unwrap().set_times(FileTimes::new().set_modified(time)).unwrap();
    for (number, time) in [SystemTime::UNIX_EPOCH, SystemTime::now() + Duration::from_secs(10 * 365 * 86_400)].into_iter().enumerate() {
        set(time);
        kennel.run(&["publish"]).ends_with(0);
        wait();
        let before = kennel.site();
        let text = fs::read_to_string(&file).unwrap();
        // A change that leaves the length as it is, with the time put back.
        let changed =
            if number == 0 { text.replace("offer: available", "offer: reserved ") } else { text.replace("offer: reserved ", "offer: available") };
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
    File::options().write(true).open(&page).unwrap().set_times(FileTimes::new().set_modified(time)).unwrap();
    kennel.run(&["publish"]).ends_with(0).says(&["had been changed by hand and was written again"]);
    assert!(kennel.site() == before);
    wait();
    fs::remove_file(&page).unwrap();
    fs::remove_dir_all(kennel.at("private/litters")).unwrap();
    kennel.run(&["publish"]).ends_with(0);
    assert!(kennel.site() == before);
    wait();
    fs::write(kennel.at("public/CNAME"), "hazelmere.example").unwrap();
    for _ in 0..2 {
        kennel.run(&["publish"]).ends_with(0).says(&["CNAME was not written by litterfolio and was left alone"]);
        wait();
    }
    assert!(kennel.at("public/CNAME").exists());
}

#[test]
fn warnings_of_records_that_did_not_change_are_counted_and_not_told_again() {
    let kennel = Kennel::base();
    kennel.write("litters/spring/notes.txt", "not a record\n");
    kennel.run(&["publish"]).ends_with(0).says(&["file-unknown"]);
    wait();
    let again = kennel.run(&["publish"]);
    again.ends_with(0).says(&["1 warning, as before"]);
    assert!(!again.err.contains("file-unknown"), "{}", again.err);
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
    assert!(said["records"]["errors"].as_u64().unwrap() > 0 && ran.err.is_empty(), "{}", ran.err);
    assert!(kennel.site() == before);
}
