//! A newcomer's first hour: the slips of somebody who never heard of YAML, each followed to a clean
//! kennel by doing literally what the hint says.
//!
//! In: a good kennel with one file spoilt as a beginner spoils it. Out: the message as it is
//! printed, what its hint asks for done by the letter, and so on until `inspect` has nothing to
//! say. No hint that names a line, a value or a file name is helped by knowledge of ours.

use crate::support::{Kennel, now};
use litterfolio::records::problem::{Located, Severity};
use litterfolio::records::{Loaded, load, showing::for_people};
use std::fs;

/// The last text in backticks.
fn quoted(hint: &str) -> Option<&str> {
    let end = hint.rfind('`')?;
    let start = hint[..end].rfind('`')?;
    Some(&hint[start + 1..end])
}

/// Does what the hint of a problem says.
fn follow(kennel: &Kennel, loaded: &Loaded, found: &Located) {
    let (hint, file) = (
        found.problem.hint.as_str(),
        found.problem.place.file.as_str(),
    );
    let path = kennel.content().join(file);
    if let Some((_, rest)) = hint.split_once("rename it to `") {
        let name = rest.split('`').next().unwrap();
        return fs::rename(&path, path.with_file_name(name)).unwrap();
    }
    if hint.contains("the encoding \"UTF-8\"") {
        // What an editor does: it knows how it reads the file.
        let bytes = fs::read(&path).unwrap();
        let text = match bytes.strip_prefix(&[0xff, 0xfe]) {
            Some(wide) => String::from_utf16(
                &wide
                    .chunks(2)
                    .map(|pair| u16::from_le_bytes([pair[0], pair[1]]))
                    .collect::<Vec<_>>(),
            )
            .unwrap(),
            None => bytes.iter().map(|byte| char::from(*byte)).collect(),
        };
        return fs::write(path, text).unwrap();
    }
    let text = loaded.sources.text(file).unwrap();
    let part = found.range.bytes();
    let new = if hint.contains("write this line as `") {
        let start = text[..part.start].rfind('\n').map_or(0, |at| at + 1);
        let end = text[start..].find('\n').map_or(text.len(), |at| start + at);
        let line = hint
            .split_once("write this line as `")
            .unwrap()
            .1
            .strip_suffix('`')
            .unwrap();
        format!("{}{line}{}", &text[..start], &text[end..])
    } else if hint.starts_with("put `- ` before the first line") {
        let mut lines = text.lines();
        let first = lines.next().unwrap();
        format!(
            "- {first}\n{}",
            lines.map(|line| format!("  {line}\n")).collect::<String>()
        )
    } else if hint.starts_with("keep one of the two") {
        let start = text[..part.start].rfind('\n').map_or(0, |at| at + 1);
        let end = text[start..]
            .find('\n')
            .map_or(text.len(), |at| start + at + 1);
        format!("{}{}", &text[..start], &text[end..])
    } else {
        let value = match quoted(hint)
            .filter(|_| hint.starts_with("write") || hint.starts_with("did you mean"))
        {
            Some(value) => value,
            None => {
                hint.rsplit_once(": ")
                    .unwrap_or_else(|| panic!("this hint says nothing to type: {hint}"))
                    .1
            }
        };
        // The number that was meant stands in the message; what is around it stays.
        let old = &text[part.clone()];
        assert!(
            old.lines().count() == 1,
            "the place of {:?} is no single value: {old}",
            found.problem
        );
        format!("{}{value}{}", &text[..part.start], &text[part.end..])
    };
    fs::write(path, new).unwrap();
}

/// Follows every hint until nothing is left, and tells what was printed.
fn mended(name: &str, kennel: &Kennel, says: &str) {
    let mut printed = String::new();
    for step in 0..8 {
        let loaded = load(&kennel.content(), now()).unwrap();
        let Some(found) = loaded.problems.first() else {
            assert!(step > 0, "{name}: nothing was noticed");
            assert!(
                printed.contains(says),
                "{name}: `{says}` is not said in\n{printed}"
            );
            return;
        };
        printed.push_str(&for_people(
            &loaded.problems,
            &loaded.sources,
            "content",
            200,
            false,
        ));
        assert!(
            found.problem.severity == Severity::Error
                || found.problem.code == "photo-name-near"
                || found.problem.code == "file-unknown"
        );
        follow(kennel, &loaded, found);
    }
    panic!("{name}: the hints do not end\n{printed}");
}

const LITTER: &str = "litters/spring/litter.yaml";
const WEIGHTS: &str = "litters/spring/weights.yaml";

#[test]
fn the_hints_of_a_first_hour_end_at_a_clean_kennel() {
    let weights = "- at: 2026-04-02 08:00\n  moss: 231 g\n  wren: 224 g\n- at: 2026-04-03 \
        08:00\n  moss: \
         246 g\n  wren: 239 g\n";
    let head = "name: Tarnside\nbreed: Scottish Terrier\ncontact: { keeper: Nell Harrow, email: \
                nell@tarnside.example }\ncountry: GB\ntime_zone: Europe/London\nas_of: \
                2026-10-09\n";
    let litter = fs::read_to_string(Kennel::base().content().join(LITTER)).unwrap();
    // What the slip is, the file, what stands there, what stood there before, and words that are
    // said.
    let slips: [(&str, &str, String, &str); 24] = [
        (
            "a tab for blanks",
            WEIGHTS,
            weights.replace("  moss: 246", "\tmoss: 246"),
            "a tab stands at the beginning",
        ),
        (
            "tabs for blanks in two lines",
            WEIGHTS,
            weights
                .replace("  moss: 231", "\tmoss: 231")
                .replace("  wren: 224", "\twren: 224"),
            "a tab stands",
        ),
        (
            "a colon in a text",
            "kennel.yaml",
            format!("{head}summary: Our way: at home\n"),
            "a colon stands inside this text",
        ),
        (
            "a line set in too far",
            WEIGHTS,
            weights.replace("  wren: 224", "   wren: 224"),
            "begins with 3 blanks",
        ),
        (
            "a line set in too little",
            WEIGHTS,
            weights.replace("  wren: 224", " wren: 224"),
            "begins with 1 blank",
        ),
        (
            "a dash left out",
            WEIGHTS,
            weights.replace("- at: 2026-04-03", "at: 2026-04-03"),
            "the `- ` before it is missing",
        ),
        (
            "a list without dashes",
            WEIGHTS,
            "at: 2026-04-02 08:00\nmoss: 231 g\nwren: 224 g\n".to_owned(),
            "a list should be",
        ),
        (
            "a weight without a unit",
            WEIGHTS,
            weights.replace("231 g", "231"),
            "does not say in which unit",
        ),
        (
            "a decimal comma in braces",
            LITTER,
            litter.replace("weight: 224 g", "weight: 224,5 g"),
            "cut in two",
        ),
        (
            "a city for a time zone",
            "kennel.yaml",
            head.replace("Europe/London", "London"),
            "did you mean `Europe/London`?",
        ),
        (
            "an umlaut in an id",
            LITTER,
            format!("{litter}  - {{ id: bärli, sex: male, fate: died, on: 2026-04-01 }}\n")
                .replace("placentas: 3", "placentas: 4")
                .replace("puppies: 3", "puppies: 4"),
            "baerli",
        ),
        (
            "another word for the ribbon",
            LITTER,
            litter.replace("ribbon: green", "riband: green"),
            "did you mean `ribbon`?",
        ),
        (
            "a word misspelt",
            LITTER,
            litter.replace("sex: female", "sex: femal"),
            "did you mean `female`?",
        ),
        (
            "a key misspelt",
            LITTER,
            litter.replace("weight: 224 g", "wieght: 224 g"),
            "did you mean `weight`?",
        ),
        (
            "a quote left open",
            "dogs/brack.yaml",
            "name: \"Oldfell Brack\nsex: male\n".to_owned(),
            "never closed",
        ),
        (
            "a brace left open",
            LITTER,
            litter.replace("fate: died, on: 2026-04-02 }", "fate: died, on: 2026-04-02"),
            "never closed",
        ),
        (
            "a comma left out",
            LITTER,
            litter.replace("id: ash, sex", "id: ash sex"),
            "a comma stands between",
        ),
        (
            "a colon left out",
            "dogs/brack.yaml",
            "name: Oldfell Brack\nsex male\n".to_owned(),
            "no colon stands",
        ),
        (
            "a date as it is written at home",
            "dogs/brack.yaml",
            "name: Oldfell Brack\nsex: male\nborn: 3.5.2016\n".to_owned(),
            "write `2016-05-03`",
        ),
        (
            "a country by its name",
            "kennel.yaml",
            head.replace("country: GB", "country: Scotland"),
            "write `GB`",
        ),
        (
            "a key written twice",
            "dogs/brack.yaml",
            "name: Oldfell Brack\nsex: male\nsex: male\n".to_owned(),
            "a second time",
        ),
        (
            "an ounce weight without a unit",
            WEIGHTS,
            weights.replace("231 g", "8.1"),
            "write `8.1 oz`",
        ),
        (
            "a text behind a quote",
            "dogs/brack.yaml",
            "name: \"Oldfell\" Brack\nsex: male\n".to_owned(),
            "behind the closing quote",
        ),
        (
            "a mark that means something else",
            "kennel.yaml",
            format!("{head}summary: @home on a farm\n"),
            "has to stand in quotes",
        ),
    ];
    for (name, file, text, says) in slips {
        let kennel = Kennel::base();
        kennel.write(file, &text);
        mended(name, &kennel, says);
    }
}

#[test]
fn files_saved_under_another_name_or_encoding_end_at_a_clean_kennel() {
    let kennel = Kennel::base();
    let weights = kennel.content().join(WEIGHTS);
    fs::rename(&weights, weights.with_file_name("weights.yaml.txt")).unwrap();
    mended(
        "an ending that the system hides",
        &kennel,
        "the ending `.txt`",
    );
    assert!(weights.exists());

    let kennel = Kennel::base();
    kennel.write("litters/spring/photos/wrenn-1.jpg", "");
    mended(
        "a picture nearly named for its puppy",
        &kennel,
        "belongs to no puppy",
    );
    assert!(
        kennel
            .content()
            .join("litters/spring/photos/wren-1.jpg")
            .exists()
    );

    let kennel = Kennel::base();
    let litter = fs::read_to_string(kennel.content().join(LITTER)).unwrap();
    let latin: Vec<u8> = litter
        .replace("Spring 2026", "Frühling 2026")
        .chars()
        .map(|c| u8::try_from(u32::from(c)).unwrap())
        .collect();
    kennel.write_bytes(LITTER, &latin);
    mended("letters of an older encoding", &kennel, "`Frühling`?");

    let kennel = Kennel::base();
    let text = fs::read_to_string(kennel.content().join("kennel.yaml")).unwrap();
    kennel.write_bytes(
        "kennel.yaml",
        &format!("\u{feff}{text}")
            .encode_utf16()
            .flat_map(u16::to_le_bytes)
            .collect::<Vec<_>>(),
    );
    mended(
        "the encoding that some editors call Unicode",
        &kennel,
        "UTF-16",
    );
}
