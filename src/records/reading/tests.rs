//! `serde_yaml` reads the same, and reading goes on after every problem.

use super::*;
use crate::litter::Litter;
use crate::weights::WeightsBlock;

const LITTER: &str = "name: Autumn\ndam: juno\nsire: corvin\nmated: 2026-08-02\npuppies:\n  - { \
                      id: fern, sex: female, weight: 212 g, vigour: [{ at: 5 min, heart: 2 }] }\n  \
                      - id: reed\n    sex: male\n    placenta: not seen\n    remarks:\n";

fn careful<T: DeserializeOwned + JsonSchema>(text: &str) -> (Option<T>, Vec<Problem>) {
    let mut problems = Vec::new();
    let record = read_with_places("f.yaml", text, 0, &mut problems);
    (record, problems)
}

#[test]
fn serde_yaml_reads_the_same() {
    let theirs: Litter = serde_yaml::from_str(LITTER).unwrap();
    let (careful, problems) = careful::<Litter>(LITTER);
    assert!(problems.is_empty(), "{problems:?}");
    assert_eq!(format!("{theirs:?}"), format!("{:?}", careful.unwrap()));
}

#[test]
fn every_slip_of_a_file_is_found_at_its_place() {
    let text = "name: Autumn\ndam: Juno\nsire: corvin\nmated: 2026-02-30\nbrith: { on: 2026-10-05 \
                }\npuppies:\n  - { id: fern, sex: femal, weight: 212 }\n  - { id: reed, sex: \
                male, wieght: 7 oz, offer: sold }\n";
    let (_, problems) = careful::<Litter>(text);
    let found: Vec<(&str, &str)> = problems.iter().map(|p| (p.code, p.hint.as_str())).collect();
    for expected in [
        (
            "not-a-name",
            "use small letters, digits and `-` inside: juno",
        ),
        ("not-a-date", "write year-month-day, such as 2026-10-05"),
        ("key-unknown", "did you mean `birth`?"),
        ("word-unknown", "did you mean `female`?"),
        (
            "unit-missing",
            "write `212 g` if that is what the scale showed",
        ),
        ("key-unknown", "did you mean `weight`?"),
    ] {
        assert!(found.contains(&expected), "{expected:?} in {found:#?}");
    }
    assert_eq!(
        problems.iter().filter(|p| p.code == "word-unknown").count(),
        2
    );
    assert!(
        !found.iter().any(|(code, _)| *code == "key-missing"),
        "what was reported as unreadable is not reported as missing: {found:?}"
    );
}

#[test]
fn an_alias_bomb_ends_with_a_problem() {
    let mut text = String::from("- &a0 { at: 2026-10-06 07:30, fern: 209 g }\n");
    for i in 1..30 {
        let list = vec![format!("*a{}", i - 1); 10].join(", ");
        text.push_str(&format!("- &a{i} [{list}]\n"));
    }
    let mut problems = Vec::new();
    let _ = read::<Vec<WeightsBlock>>("weights.yaml", &text, 0..text.len(), &mut problems);
    assert!(!problems.is_empty());
}

#[test]
fn empty_values_count_as_left_out() {
    let (record, problems) =
        careful::<Litter>("name: A\ndam: b\nsire: c\nabout:\nremarks: ~\nmated: []\npuppies:\n");
    assert!(problems.is_empty(), "{problems:?}");
    assert!(record.unwrap().about.is_none());
}

#[test]
fn words_that_mean_the_same_are_understood() {
    for (word, meant) in [
        ("riband", "ribbon"),
        ("gender", "sex"),
        ("mother", "dam"),
        ("ribon", "ribbon"),
    ] {
        assert_eq!(
            nearest(word, &["id", "ribbon", "sex", "dam", "weight"]),
            Some(meant),
            "{word}"
        );
    }
    assert_eq!(nearest("mother", &["id", "weight"]), None);
}

#[test]
fn a_number_cut_in_two_by_a_comma_loses_nothing_when_the_hint_is_followed() {
    let text =
        "name: A\ndam: b\nsire: c\npuppies:\n  - { id: fern, sex: female, weight: 300,5 g }\n";
    let (record, problems) = careful::<Litter>(text);
    assert_eq!(
        problems
            .iter()
            .map(|p| (p.code, p.hint.as_str()))
            .collect::<Vec<_>>(),
        [("decimal-comma", "write it with a point: `300.5 g`")]
    );
    assert!(record.unwrap().puppies[0].weight.is_none());
}

#[test]
fn a_cut_number_below_a_unit_is_not_read_as_a_smaller_one() {
    let text = "- unit: g\n- { at: 2026-10-06 07:30, fern: 300,5, reed: 320 }\n";
    let mut problems = Vec::new();
    let _ = read::<Vec<WeightsBlock>>("weights.yaml", text, 0..text.len(), &mut problems);
    assert_eq!(
        problems
            .iter()
            .map(|p| (p.code, p.hint.as_str()))
            .collect::<Vec<_>>(),
        [("decimal-comma", "write it with a point: `300.5`")]
    );
}

#[allow(
    clippy::disallowed_methods,
    reason = "how long it takes is the question"
)]
#[test]
fn reading_does_not_grow_with_the_square_of_nesting() {
    // 16 times the text may take 16 times as long, and here is allowed a hundred times; before, it
    // was 256.
    let time = |text: String| {
        let begun = std::time::Instant::now();
        let mut problems = Vec::new();
        assert!(read::<Litter>("f.yaml", &text, 0..text.len(), &mut problems).is_none());
        assert_eq!(problems[0].code, "too-deep");
        // What takes less is over before a busy machine turns to it.
        begun.elapsed().as_secs_f64().max(0.02)
    };
    for piece in ["[", "{a: ", "- ", "? "] {
        let (short, long) = (time(piece.repeat(20_000)), time(piece.repeat(320_000)));
        assert!(long < short * 100.0, "{piece}: {short} s and {long} s");
    }
}

#[test]
fn deep_nesting_and_broken_yaml_are_problems() {
    for text in [
        "[".repeat(100_000),
        "a: b: c".to_owned(),
        "a: 'b".to_owned(),
        "\t- x".to_owned(),
        "--- a\n--- b\n".to_owned(),
        "a: *b".to_owned(),
        "&a [*a]".to_owned(),
    ] {
        let (record, problems) = careful::<Litter>(&text);
        assert!(
            record.is_none() && !problems.is_empty(),
            "{}",
            &text[..text.len().min(20)]
        );
    }
}
