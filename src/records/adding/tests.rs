//! What was there stays byte for byte, and what is added reads back, whatever the file looks like.

use super::*;
use crate::quantity::WeightEntry;
use crate::weights::{WeightsBlock, WrittenWeighIn};
use crate::{health, weights};
use proptest::prelude::*;

const FILE: &str = "litters/spring/weights.yaml";

fn block(weights: &[(&str, &str)]) -> (NewEntry, WeightsBlock) {
    let entry = weights.iter().fold(
        NewEntry::new().with("at", "2026-10-06 07:30"),
        |entry, (id, weight)| entry.with(id, *weight),
    );
    let read = weights
        .iter()
        .map(|(id, weight)| (id.parse().unwrap(), weight.parse::<WeightEntry>().unwrap()))
        .collect();
    (
        entry,
        WeightsBlock::WeighIn(WrittenWeighIn {
            at: "2026-10-06 07:30".parse().unwrap(),
            by: None,
            remark: None,
            weights: read,
        }),
    )
}

fn added(text: &str) -> Result<Added, Vec<Problem>> {
    let (entry, wanted) = block(&[("fern", "231 g"), ("reed", "8 1/4 oz")]);
    add::<WeightsBlock>(FILE, text, &[entry], |new| new == [wanted])
}

#[test]
fn the_shapes_that_keepers_and_their_editors_leave() {
    let line = "at: 2026-10-05 07:30";
    for (text, end) in [
        (
            String::new(),
            "- at: 2026-10-06 07:30\n  fern: 231 g\n  reed: 8 1/4 oz\n",
        ),
        (
            "# nothing yet\n".into(),
            "# nothing yet\n- at: 2026-10-06 07:30\n",
        ),
        (
            "# nothing yet".into(),
            "# nothing yet\n- at: 2026-10-06 07:30\n",
        ),
        ("---\n".into(), "---\n- at: 2026-10-06 07:30\n"),
        (
            format!("- {line}\n  fern: 200 g"),
            "fern: 200 g\n- at: 2026-10-06 07:30\n",
        ),
        (
            format!("- {line}\n  fern: 200 g # weak"),
            "# weak\n- at: 2026-10-06 07:30\n",
        ),
        (
            format!("  - {line}\n    fern: 200 g\n"),
            "\n  - at: 2026-10-06 07:30\n    fern: 231 g\n",
        ),
        (
            format!("-   {line}\n    fern: 200 g\n\n\n# end\n"),
            "# end\n- at: 2026-10-06 07:30\n",
        ),
        (
            format!("-\n  {line}\n  fern: 200 g\n  "),
            "\n  \n- at: 2026-10-06 07:30\n",
        ),
        (
            format!("\u{feff}- {line}\r\n  fern: 200 g\r\n"),
            "\r\n- at: 2026-10-06 07:30\r\n  fern: 231 g\r\n",
        ),
        (
            format!("- {line}\r\n  fern: 200 g"),
            "200 g\r\n- at: 2026-10-06 07:30\r\n",
        ),
        ("\u{feff}".to_owned(), "\u{feff}- at: 2026-10-06 07:30\n"),
        (
            format!("- unit: g\n- {line}\n  fern: 200\n"),
            "200\n- at: 2026-10-06 07:30\n",
        ),
        (
            format!("- &first\n  {line}\n  fern: &w 200 g\n  reed: *w\n"),
            "*w\n- at: 2026-10-06 07:30\n",
        ),
        (
            format!("- {{ {line}, fern: 200 g }}\n"),
            "}\n- at: 2026-10-06 07:30\n",
        ),
        (
            format!("- {line}\n  fern: 200 g\n  remark: |\n    both\n    asleep"),
            "asleep\n- at: 2026-10-06 07:30\n",
        ),
        (
            format!("- {line}\n  fern: 200 g\n  remark: >+\n    both\n\n\n"),
            "\n\n\n- at: 2026-10-06 07:30\n",
        ),
        (
            format!("- {line}\n  fern: 200 g\n  remark:\n"),
            "remark:\n- at: 2026-10-06 07:30\n",
        ),
        (
            format!("- {line}\n  fern: 200 g\n  remark: both\n    asleep\n"),
            "asleep\n- at: 2026-10-06 07:30\n",
        ),
        (
            format!("- {line}\r  fern: 200 g\r"),
            "200 g\r- at: 2026-10-06 07:30\r",
        ),
    ] {
        let new = added(&text).unwrap_or_else(|problems| panic!("{text:?}: {problems:?}"));
        assert!(
            new.text.starts_with(&text),
            "{text:?} is no longer the beginning of {:?}",
            new.text
        );
        assert!(new.text.contains(end), "{:?}", new.text);
    }
}

#[test]
fn before_an_end_marker_and_not_behind_it() {
    let text = "- at: 2026-10-05 07:30\n  fern: 200 g\n... # the end\n# really\n";
    let new = added(text).unwrap().text;
    assert_eq!(
        new,
        text.replace(
            "...",
            "- at: 2026-10-06 07:30\n  fern: 231 g\n  reed: 8 1/4 oz\n..."
        )
    );
}

#[test]
fn what_cannot_be_added_to_is_refused_with_its_reason() {
    for (text, code) in [
        ("[]\n", "list-in-brackets"),
        (
            "# mine\n[ { at: 2026-10-05 07:30, fern: 200 g } ]\n",
            "list-in-brackets",
        ),
        ("~\n", "cannot-add"),
        (
            "- at: 2026-10-05 07:30\n  fern: 200\n  fern: 210 g\n",
            "key-twice",
        ),
        ("- at: 2026-10-05\n  fern: 200 g\n", "time-missing"),
        ("at: 2026-10-05 07:30\nfern: 200 g\n", "wrong-kind"),
        ("- at: 'open\n", "yaml-broken"),
        (
            "- at: 2026-10-05 07:30\n---\n- at: 2026-10-05 08:30\n",
            "second-document",
        ),
    ] {
        let problems = added(text).unwrap_err();
        assert_eq!(problems[0].code, code, "{text:?}: {problems:?}");
        assert!(!problems[0].hint.is_empty());
    }
}

#[test]
fn whoever_wrote_an_entry_can_go_on_with_it_while_others_add_theirs() {
    let text = "- at: 2026-10-05 07:30\n  fern: 200 g # no line end";
    let (one, _) = block(&[("fern", "231 g")]);
    let mine = add::<WeightsBlock>(FILE, text, &[one], |_| true).unwrap();
    let others = added(&mine.text).unwrap();
    let (two, wanted) = block(&[("fern", "232 g"), ("reed", "240 g")]);
    let renewed = renew::<WeightsBlock>(FILE, &others.text, &mine.own, Some(&two), |new| {
        new == [wanted]
    })
    .unwrap()
    .unwrap();
    let tail = "- at: 2026-10-06 07:30\n  fern: 231 g\n  reed: 8 1/4 oz\n";
    assert_eq!(
        renewed.text,
        format!("{text}\n- at: 2026-10-06 07:30\n  fern: 232 g\n  reed: 240 g\n{tail}")
    );
    // The keeper put a line above meanwhile: our part is found again.
    let moved = format!("# above\n{}", renewed.text);
    let gone = renew::<WeightsBlock>(FILE, &moved, &renewed.own, None, |new| new.is_empty())
        .unwrap()
        .unwrap();
    assert_eq!(
        gone.text,
        format!("# above\n{text}{tail}").replace("end- at", "end\n- at")
    );
    // The keeper changed our part: it is no longer ours.
    assert_eq!(
        renew::<WeightsBlock>(
            FILE,
            &moved.replace("240 g", "241 g"),
            &renewed.own,
            Some(&two),
            |_| true
        ),
        Ok(None)
    );
}

#[test]
fn an_entry_that_reads_otherwise_than_meant_is_refused() {
    let (other, _) = block(&[("fern", "231 g")]);
    let unread = NewEntry::new()
        .with("at", "2026-10-06 07:30")
        .with("fern", "much");
    for (entry, is_meant) in [(other, false), (unread, true)] {
        let added = add::<WeightsBlock>(FILE, "", &[entry], |_| is_meant);
        assert_eq!(added.unwrap_err()[0].code, "cannot-add");
    }
}

#[test]
fn health_entries_are_added_in_the_same_way() {
    let text = "- on: 2026-10-08\n  for: all\n  check: { by: Thorlby Vets }\n";
    let worming = EntryValue::Keys(vec![
        ("product".into(), "Vermisol".into()),
        ("batch".into(), "7: 18".into()),
        ("weight".into(), "560 g".into()),
    ]);
    let entry = NewEntry::new()
        .with("on", "2026-10-09")
        .with(
            "for",
            EntryValue::Several(vec!["moss".into(), "wren".into()]),
        )
        .with("worming", worming);
    let new = add::<health::HealthEntry>("health.yaml", text, &[entry], |new| {
        new[0].worming.as_ref().is_some_and(|w| {
            w.batch
                .as_ref()
                .is_some_and(|batch| batch.as_str() == "7: 18")
        }) && new[0].whom.len() == 2
    });
    assert!(new.unwrap().text.ends_with(
        "- on: 2026-10-09\n  for: [moss, wren]\n  worming: { product: Vermisol, batch: \"7: 18\", \
         weight: 560 g }\n"
    ));
}

/// Pieces of files as keepers write them: comments, gaps, anchors, quotes, braces, texts of several
/// lines.
fn any_block() -> impl Strategy<Value = Vec<String>> {
    let value = prop_oneof![
        Just("200 g".to_owned()),
        Just("'7 3/4 oz'".to_owned()),
        Just("\"0,212 kg\"".to_owned()),
        Just("&w 1 lb 2 oz".to_owned()),
        Just("~".to_owned()),
        Just("!!str 210 g".to_owned()),
    ];
    let comment = prop_oneof![3 => Just(String::new()), 1 => Just("  # a: 'word\" - [".to_owned())];
    let remark = prop_oneof![
        4 => Just(Vec::new()),
        1 => Just(vec!["  remark: |".into(), "    both: full".into(), "    - and asleep".into(), String::new()]),
        1 => Just(vec!["  remark: both".into(), "    full".into()]),
        1 => Just(vec!["  remark: >+".into(), "     weak".into(), String::new(), String::new()]),
        1 => Just(vec!["  remark: 'one''s".into(), String::new(), "    two'".into()]),
        1 => Just(vec!["  # left for later".into(), "# at the margin".into()]),
    ];
    (
        (1_u32..29, 0_u32..24),
        proptest::collection::vec((value, comment), 0..4),
        remark,
        0_u8..4,
    )
        .prop_map(|((day, hour), values, remark, shape)| {
            let at = format!("at: 2026-09-{day:02} {hour:02}:05");
            if shape == 0 {
                return vec![format!("- {{ {at}, fern: 200 g }} # {{")];
            }
            let mut lines = if shape == 1 {
                vec!["- &b # anchored".to_owned(), format!("  {at}")]
            } else {
                vec![format!("- {at}")]
            };
            lines.extend(
                values
                    .iter()
                    .zip(["fern", "reed", "sage", "moss"])
                    .map(|((value, comment), id)| format!("  {id}: {value}{comment}")),
            );
            lines.extend(remark);
            lines
        })
}

fn any_file() -> impl Strategy<Value = String> {
    let head = prop_oneof![
        Just(vec![]),
        Just(vec!["# The blue basin, tared.".to_owned(), String::new()]),
        Just(vec!["---".to_owned()]),
        Just(vec!["%YAML 1.2".to_owned(), "--- # weights".to_owned()]),
        Just(vec!["- unit: g".to_owned()]),
    ];
    let line_end = prop_oneof![4 => Just("\n"), 3 => Just("\r\n")];
    let tail = prop_oneof![
        4 => Just(""),
        1 => Just("# the end"),
        1 => Just("\n\n   \n"),
        1 => Just("..."),
        1 => Just("... # over\n# really"),
    ];
    (
        any::<bool>(),
        head,
        proptest::collection::vec(any_block(), 0..5),
        0_usize..4,
        line_end,
        tail,
        any::<bool>(),
    )
        .prop_map(|(bom, head, blocks, indent, line_end, tail, ended)| {
            let dashes = head.iter().any(|line| line.starts_with("- "));
            let indent = " ".repeat(if dashes { 0 } else { indent });
            let body = blocks.into_iter().flatten().map(|line| {
                if line.is_empty() {
                    line
                } else {
                    format!("{indent}{line}")
                }
            });
            let mut text = head
                .into_iter()
                .chain(body)
                .map(|line| line + "\n")
                .collect::<String>()
                + tail;
            if !ended && text.ends_with('\n') {
                text.pop();
            }
            format!(
                "{}{}",
                if bom { "\u{feff}" } else { "" },
                text.replace('\n', line_end)
            )
        })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(1500))]

    #[test]
    fn what_was_there_stays_byte_for_byte(
        text in any_file(),
        more in proptest::collection::vec(("[a-z]{1,8}", 1_u32..9000), 1..4),
    ) {
        let before = list::<WeightsBlock>(FILE, &text);
        // An anchor named twice or a directive is read by both readers; only what they refuse is
        // left out, and that is little.
        prop_assume!(before.is_ok());
        let before = before.unwrap();
        let mut weights: Vec<(String, String)> = more
            .into_iter()
            .filter(|(id, _)| {
                !["at", "by", "unit", "remark", "con", "nul", "aux", "prn"].contains(&id.as_str())
            })
            .map(|(id, tenths)| (id, format!("{}.{} g", tenths / 10 + 1, tenths % 10)))
            .collect();
        weights.sort();
        weights.dedup_by(|a, b| a.0 == b.0);
        let pairs: Vec<(&str, &str)> = weights
            .iter()
            .map(|(id, weight)| (id.as_str(), weight.as_str()))
            .collect();
        let (entry, wanted) = block(&pairs);
        let added = add::<WeightsBlock>(FILE, &text, std::slice::from_ref(&entry), |new| {
            new == [wanted.clone()]
        })
        .map_err(|p| TestCaseError::fail(format!("{text:?}: {p:?}")))?;
        let end = text.find("...").unwrap_or(text.len());
        prop_assert!(added.text.starts_with(&text[..end]) && added.text.ends_with(&text[end..]));
        let after = list::<WeightsBlock>(FILE, &added.text).unwrap();
        prop_assert_eq!(&after[..before.len()], &before[..]);
        prop_assert_eq!(&after[before.len()..], &[wanted.clone()][..]);
        // Written anew and taken out again, it leaves the file as it was.
        let renewed = renew::<WeightsBlock>(FILE, &added.text, &added.own, Some(&entry), |new| {
            new == [wanted.clone()]
        })
        .unwrap()
        .unwrap();
        prop_assert_eq!(&renewed.text, &added.text);
        let is_empty = <[WeightsBlock]>::is_empty;
        let gone = renew::<WeightsBlock>(FILE, &added.text, &added.own, None, is_empty)
            .unwrap()
            .unwrap();
        prop_assert_eq!(gone.text, text);
    }

    #[test]
    fn no_text_makes_it_panic_or_lose_a_byte(
        text in "([-\\[\\]{}:#&*|>'\"a-f0-9 .,\u{feff}\r\n\t]|- at: 2026-10-05 07:30\n|  fern: 2 \
            g\n){0,40}",
    ) {
        if let Ok(added) = added(&text) {
            let old: Vec<&str> = text.split("...").collect();
            let kept =
                added.text.starts_with(&text) || old.iter().all(|part| added.text.contains(part));
            prop_assert!(kept, "{:?}", added.text);
        }
    }

    #[test]
    fn any_remark_reads_back(remark in "\\PC{1,60}") {
        let Ok(text) = remark.parse::<crate::quantity::Text>() else {
            return Ok(());
        };
        let entry = NewEntry::new()
            .with("at", "2026-10-06 07:30")
            .with("remark", text.as_str())
            .with("fern", "2 g");
        let added = add::<weights::WeightsBlock>(
            FILE,
            "",
            &[entry],
            |new| matches!(new, [WeightsBlock::WeighIn(w)] if w.remark.as_ref() == Some(&text)),
        );
        prop_assert!(added.is_ok(), "{:?}", remark);
    }
}
