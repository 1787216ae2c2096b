//! The page of the demo kennel's puppies, and of odd ones.

use super::*;
use crate::audience::owner::{CareState, EventKind, LockedPage, locked, pages};
use crate::audience::{Album, Picture};
use crate::husbandry::compute;
use crate::records::care_plan::CareKind;
use crate::records::{Records, load};
use crate::{PaperFile, Slice};
use sha2::{Digest, Sha256};
use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;
use std::sync::Arc;

fn demo() -> Records {
    let content = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../content");
    load(&content, "2026-10-09T12:00:00Z".parse().unwrap())
        .unwrap()
        .records
        .unwrap()
        .into_inner()
}

/// The pages of the demo's families. Pictures are known by name only.
fn demo_pages(records: &Records) -> Vec<OwnerPage> {
    let mut album = Album::default();
    for photo in records.litters.values().flat_map(|folder| &folder.photos) {
        album.insert(
            photo.file.clone(),
            Picture {
                key: "0".repeat(20),
                sizes: vec![(480, 360)],
                taken: None,
            },
        );
    }
    pages(records, &compute(records), &album)
}

fn engine() -> Arc<Engine> {
    Engine::with(&BTreeMap::new()).unwrap()
}

/// Papers whose file of photos holds each picture once, behind some other bytes.
fn papers(page: &OwnerPage) -> Papers {
    let mut zip = b"PK some head".to_vec();
    let mut pictures = Vec::new();
    for picture in &page.pictures {
        let bytes = format!("<{}>", picture.name);
        pictures.push(Slice {
            name: picture.name.clone(),
            at: zip.len(),
            length: bytes.len(),
            width: 480,
            height: 360,
        });
        zip.extend_from_slice(bytes.as_bytes());
    }
    let paper = |name: &str, media_type, label, bytes| PaperFile {
        name: format!("{}-{name}", page.stem),
        media_type,
        label,
        bytes,
    };
    let files = vec![
        paper(
            "weights.csv",
            "text/csv",
            "All weights",
            b"at,grams\r\n".to_vec(),
        ),
        paper("photos.zip", "application/zip", "All photos", zip),
    ];
    Papers { files, pictures }
}

fn json(page: &OwnerPage) -> serde_json::Value {
    serde_json::from_slice(&content(&engine(), page, &papers(page)).unwrap()).unwrap()
}

#[test]
fn the_content_holds_every_file_and_every_picture_once() {
    for page in demo_pages(&demo()) {
        let content = json(&page);
        let papers = papers(&page);
        assert_eq!(
            content["title"],
            format!("{}, Whinmorrow", page.record.puppy.name)
        );
        assert_eq!(
            content["ribbon"].as_str(),
            page.ribbon.as_ref().map(|r| r.hex)
        );
        for (file, enclosed) in papers
            .files
            .iter()
            .zip(content["files"].as_array().unwrap())
        {
            assert_eq!(
                (enclosed["name"].as_str(), enclosed["type"].as_str()),
                (Some(file.name.as_str()), Some(file.media_type))
            );
            assert_eq!(
                STANDARD
                    .decode(enclosed["base64"].as_str().unwrap())
                    .unwrap(),
                file.bytes
            );
        }
        assert_eq!(content["zip"], format!("{}-photos.zip", page.stem));
        let zip = &papers.files[1].bytes;
        let cuts = content["pictures"].as_array().unwrap();
        assert_eq!(cuts.len(), page.pictures.len());
        for cut in cuts {
            let [at, length] =
                ["at", "length"].map(|key| usize::try_from(cut[key].as_u64().unwrap()).unwrap());
            assert_eq!(
                &zip[at..at + length],
                format!("<{}>", cut["name"].as_str().unwrap()).as_bytes()
            );
        }
        assert_eq!(
            content["body"].as_str().unwrap().matches("<img ").count(),
            cuts.len()
        );
    }
}

#[test]
fn the_same_page_makes_the_same_bytes() {
    let page = demo_pages(&demo()).remove(0);
    let bytes = || content(&engine(), &page, &papers(&page)).unwrap();
    assert_eq!(bytes(), bytes());
}

#[test]
fn the_body_shows_every_figure_of_the_record() {
    for page in demo_pages(&demo()) {
        let body = read(json(&page)["body"].as_str().unwrap());
        let record = &page.record;
        let events = record.events.iter().chain(&record.dam_events);
        let texts = events.filter(|e| e.kind != EventKind::Care).flat_map(|e| {
            [
                &e.product,
                &e.active,
                &e.manufacturer,
                &e.batch,
                &e.dose,
                &e.site,
                &e.given,
                &e.by,
                &e.findings,
                &e.advice,
                &e.reaction,
            ]
            .into_iter()
            .flatten()
            // Of what the dam was given, a family needs product, batch and who gave it.
            .filter(|_| !record.dam_events.contains(e))
            .chain(e.batch.as_ref())
            .cloned()
            .chain(e.looked_at.iter().map(|part| part.seen.clone()))
        });
        let weights = record
            .weights
            .iter()
            .map(|w| words::weight(w.grams, page.ounces));
        let tests = [&record.dam, &record.sire]
            .into_iter()
            .flat_map(|dog| dog.screening.iter().map(|s| s.result.clone()));
        let care = record
            .care
            .iter()
            .filter(|c| c.kind != CareKind::Milestone || c.state == CareState::Done)
            .map(|c| c.name.clone());
        let titles = record.notes.iter().map(|note| note.title.clone());
        for text in texts
            .chain(weights)
            .chain(tests)
            .chain(care)
            .chain(titles)
            .chain(record.puppy.chip.as_ref().map(|c| c.number.clone()))
        {
            assert!(body.contains(&text), "{}: “{text}” is missing", page.key);
        }
    }
}

/// Text as it is read, without the marks for characters that HTML needs for itself.
fn read(html: &str) -> String {
    let marks = [
        ("&lt;", "<"),
        ("&gt;", ">"),
        ("&quot;", "\""),
        ("&#x27;", "'"),
        ("&#39;", "'"),
        ("&#x2F;", "/"),
        ("&amp;", "&"),
    ];
    marks
        .iter()
        .fold(html.to_owned(), |text, (mark, character)| {
            text.replace(mark, character)
        })
}

#[test]
fn the_body_keeps_to_the_policy_and_its_links_lead_somewhere() {
    for page in demo_pages(&demo()) {
        let body = json(&page)["body"].as_str().unwrap().to_owned();
        for forbidden in [
            " style=", "<style", "<script", " onclick", "src=", "srcset=", "<iframe", "<form",
        ] {
            assert!(!body.contains(forbidden), "{forbidden}");
        }
        let ids: BTreeSet<&str> = body
            .split(" id=\"")
            .skip(1)
            .filter_map(|rest| rest.split('"').next())
            .collect();
        assert_eq!(
            ids.len(),
            body.matches(" id=\"").count(),
            "an id stands twice"
        );
        for target in body
            .split("href=\"#")
            .skip(1)
            .filter_map(|rest| rest.split('"').next())
        {
            assert!(ids.contains(target), "{target} is nowhere");
            // What holds this sign is never taken for an access code.
            assert!(
                target.contains('_') && target.parse::<crate::sealing::code::AccessCode>().is_err()
            );
        }
    }
}

#[test]
fn notes_about_life_stand_apart_and_weights_are_in_the_kennels_units() {
    let mut page = demo_pages(&demo())
        .into_iter()
        .find(|page| page.stem == "moss-whinmorrow-2026")
        .unwrap();
    page.record
        .notes
        .iter_mut()
        .for_each(|note| note.topic = None);
    page.first_days.food = None;
    assert!(!json(&page)["body"].as_str().unwrap().contains("part_life"));
    page.record.notes[0].topic = Some("feeding");
    page.ounces = true;
    let body = read(json(&page)["body"].as_str().unwrap());
    let (life, diary) = body
        .split_once("id=\"part_life\"")
        .unwrap()
        .1
        .split_once("id=\"part_notes\"")
        .unwrap();
    let title = &page.record.notes[0].title;
    assert!(life.contains(title) && !diary.contains(title), "{title}");
    assert!(body.contains("3 lb 10 oz"), "the last weight");
    assert!(!body.contains("1645 g"), "the last weight in grams");
}

#[test]
fn what_a_keeper_wrote_is_escaped() {
    let mut page = demo_pages(&demo()).remove(0);
    let hostile = "<img src=x onerror=alert(1)>\"'&</script>";
    hostile.clone_into(&mut page.record.puppy.name);
    page.record.puppy.about = Some(hostile.to_owned());
    page.record
        .events
        .iter_mut()
        .for_each(|e| e.findings = Some(hostile.to_owned()));
    page.record.notes.iter_mut().for_each(|n| {
        n.text = format!("{hostile} [a](javascript:alert(1)) [b](https://b.example/)");
    });
    page.record.kennel.phone = Some("\"><b>".to_owned());
    let body = json(&page)["body"].as_str().unwrap().to_owned();
    for bad in ["<img src=x", "javascript:", "\"><b>", "</script>"] {
        assert!(!body.contains(bad), "{bad}");
    }
    assert!(body.contains("rel=\"noopener noreferrer\""));
}

#[test]
fn a_puppy_of_which_little_is_known_has_a_page_too() {
    let mut page = demo_pages(&demo()).remove(0);
    let record = &mut page.record;
    (
        record.weights,
        record.events,
        record.dam_events,
        record.care,
        record.notes,
    ) = Default::default();
    (record.family, record.inbreeding, record.doubled_on_day) = Default::default();
    (
        record.puppy.chip,
        record.puppy.born,
        record.puppy.colour,
        record.puppy.registration,
        record.puppy.about,
    ) = Default::default();
    (
        record.birth.at,
        record.birth.how,
        record.birth.grams,
        record.birth.first_breath_seconds,
    ) = Default::default();
    (
        record.kennel.phone,
        record.kennel.emergency_vet,
        record.kennel.site,
    ) = Default::default();
    (page.chart, page.ribbon) = Default::default();
    page.pictures.clear();
    let papers = Papers {
        files: Vec::new(),
        pictures: Vec::new(),
    };
    let content: serde_json::Value =
        serde_json::from_slice(&content(&engine(), &page, &papers).unwrap()).unwrap();
    assert!(content["zip"].is_null() && content["ribbon"].is_null());
    let body = content["body"].as_str().unwrap();
    assert!(body.contains("none recorded") && !body.contains("<img") && !body.contains("NaN"));
}

fn locked_page() -> LockedPage {
    locked(&demo().kennel)
}

/// What looks like a sealed text.
const SEALED: &str = "eyJhIjoiYiJ9.AAAA-_.BBBB.CCCC.DDDD";

#[test]
fn a_sealed_text_is_found_again() {
    let html = envelope(&engine(), &locked_page(), SEALED).unwrap();
    assert_eq!(sealed_in(&html), Some(SEALED));
    assert_eq!(sealed_in("<p>nothing</p><script>let a</script>"), None);
    assert_eq!(sealed_in("<script id=\"sealed\">cut off"), None);
    assert_eq!(
        sealed_in(
            &html
                .replace("<script", "<SCRIPT")
                .replace("</script", "</Script")
        ),
        Some(SEALED)
    );
}

#[test]
fn the_policy_names_exactly_the_inline_texts() {
    let html = envelope(&engine(), &locked_page(), SEALED).unwrap();
    let policy = html
        .split("Content-Security-Policy\" content=\"")
        .nth(1)
        .unwrap()
        .split('"')
        .next()
        .unwrap();
    // Cut out here in another way than there.
    let inside = |open: &str, close: &str| {
        let text = html
            .split(open)
            .nth(1)
            .unwrap()
            .split(close)
            .next()
            .unwrap();
        format!("'sha256-{}'", STANDARD.encode(Sha256::digest(text)))
    };
    let (script, style) = (
        inside("<script>", "</script>"),
        inside("<style>", "</style>"),
    );
    let data = format!("'sha256-{}'", STANDARD.encode(Sha256::digest(SEALED)));
    assert_eq!(
        policy,
        format!(
            "default-src 'none'; script-src {data} {script}; style-src {style}; img-src blob:; \
             base-uri 'none'; form-action 'none'"
        )
    );
    assert_eq!(
        (
            html.matches("<script").count(),
            html.matches("<style").count()
        ),
        (2, 1)
    );
    assert!(
        html.find(policy).unwrap() < html.find("<style").unwrap(),
        "the policy stands before what it rules"
    );
    for forbidden in [" style=", " onclick", " src=", "@import", "url("] {
        assert!(!html.contains(forbidden), "{forbidden}");
    }
}

#[test]
fn the_envelope_says_nothing_of_puppy_and_family() {
    let records = demo();
    let html = envelope(&engine(), &locked_page(), SEALED).unwrap();
    for page in demo_pages(&records) {
        let record = &page.record;
        let names = [
            Some(&page.stem),
            Some(&record.puppy.name),
            record.family.as_ref().map(|f| &f.name),
            record.puppy.registered_name.as_ref(),
        ];
        for word in names.into_iter().flatten().chain([
            &record.puppy.litter,
            &record.dam.name,
            &record.sire.name,
        ]) {
            let alone = html
                .split(|c: char| !c.is_alphanumeric())
                .any(|part| part.eq_ignore_ascii_case(word));
            let inside = word.contains(' ') && html.contains(word.as_str());
            assert!(!alone && !inside, "{word}");
        }
    }
}

#[test]
fn a_kennels_own_envelope_is_hashed_as_it_stands_and_must_hold_what_is_needed() {
    let own = |name: &str, text: &str| {
        Engine::with(&BTreeMap::from([(name.to_owned(), text.to_owned())])).unwrap()
    };
    let locked = locked_page();
    let ours = "<meta http-equiv=\"Content-Security-Policy\" content=\"{{ policy | safe \
                }}\"><STYLE>\r\n a{}\r\n</STYLE><script id=\"sealed\" \
                type=\"application/jose\">\n{{ sealed | safe \
                }}\n</script><script>1</script><script >2</script>";
    let html = envelope(&own("owner/locked.html", ours), &locked, SEALED).unwrap();
    for text in ["\n a{}\n", "1", "2"] {
        assert!(
            html.contains(&format!(
                "'sha256-{}'",
                STANDARD.encode(Sha256::digest(text))
            )),
            "{text}"
        );
    }
    assert_eq!(sealed_in(&html), Some(SEALED));
    let without_policy = envelope(
        &own(
            "owner/locked.html",
            "<script id=\"sealed\">{{ sealed | safe }}</script>",
        ),
        &locked,
        SEALED,
    );
    assert!(without_policy.unwrap_err().to_string().contains("policy"));
    let without_record = envelope(
        &own("owner/locked.html", "{{ policy | safe }}"),
        &locked,
        SEALED,
    );
    assert!(without_record.unwrap_err().to_string().contains("sealed"));
    let ending_early = envelope(
        &own("owner/page.js", "const a = '</SCRIPT>';"),
        &locked,
        SEALED,
    );
    assert!(
        ending_early
            .unwrap_err()
            .to_string()
            .contains("owner/page.js")
    );
}

#[test]
fn the_first_days_stand_near_the_top_with_dates_that_count_from_the_day_of_leaving() {
    let page = demo_pages(&demo())
        .into_iter()
        .find(|page| page.key == "summer-2026/moss")
        .unwrap();
    let body = read(json(&page)["body"].as_str().unwrap());
    let (first, rest) = body
        .split_once("id=\"part_first\"")
        .unwrap()
        .1
        .split_once("</section>")
        .unwrap();
    assert!(
        rest.contains("id=\"part_vet\""),
        "before what is for the vet"
    );
    // Moss leaves on Saturday, 17 October 2026; five working days end on Friday, the 23rd.
    for words in [
        "Four meals: seven, noon, five",
        "2026-10-23",
        "own vet",
        "Monday to Friday, public holidays are not known",
        "Scotland asks for",
        "two meals in a row",
    ] {
        assert!(first.contains(words), "{words}: {first}");
    }
    assert!(first.contains(&page.record.puppy.chip.as_ref().unwrap().number));
}

#[test]
fn the_vets_box_has_the_birth_and_the_tests_of_both_parents() {
    let page = demo_pages(&demo())
        .into_iter()
        .find(|page| page.key == "summer-2026/moss")
        .unwrap();
    let body = read(json(&page)["body"].as_str().unwrap());
    let vet = body
        .split_once("id=\"part_vet\"")
        .unwrap()
        .1
        .split_once("</section>")
        .unwrap()
        .0;
    assert!(
        vet.contains("<dt>At birth</dt><dd>nothing noted (looked at: ")
            || vet.contains("<dt>At birth</dt><dd>nobody wrote"),
        "{vet}"
    );
    for line in [&page.glance.dam_tests, &page.glance.sire_tests] {
        assert!(
            vet.contains(line) && line.contains("patella: grade 0"),
            "{line}"
        );
    }
}

#[test]
fn rules_paper_units_and_dates_follow_the_family() {
    let mut records = demo();
    let family = |records: &mut Records, country: &str, region: Option<&str>| {
        let family = records
            .owners
            .families
            .iter_mut()
            .find(|family| family.id.as_str() == "dalgarno")
            .unwrap();
        (family.country, family.region) = (
            Some(country.parse().unwrap()),
            region.map(|region| region.parse().unwrap()),
        );
    };
    let moss = |records: &Records| {
        demo_pages(records)
            .into_iter()
            .find(|page| page.key == "summer-2026/moss")
            .unwrap()
    };
    let at_home = moss(&records);
    assert_eq!(crate::sheet_of(&at_home.country), crate::pdf::PageSize::A4);
    family(&mut records, "US", Some("texas"));
    let abroad = moss(&records);
    assert_eq!(
        crate::sheet_of(&abroad.country),
        crate::pdf::PageSize::Letter
    );
    let body = read(json(&abroad)["body"].as_str().unwrap());
    for words in ["October 23, 2026", " lb ", "data-dates=\"en-US\""] {
        assert!(body.contains(words), "{words}");
    }
    assert!(!body.contains("23 October 2026") && !body.contains("Scotland asks for"));
    family(&mut records, "GB", Some("england"));
    assert!(read(json(&moss(&records))["body"].as_str().unwrap()).contains("England asks for"));
}
