//! Changes against what is expected of them, and on random files with another reader of YAML as the
//! judge.

#![allow(clippy::unwrap_used, reason = "a test may stop where it stands")]

use super::*;
use proptest::prelude::*;
use serde_yaml::Value;

fn path(typed: &str) -> Vec<Step> {
    let step = |word: &str| {
        word.parse::<usize>()
            .map_or_else(|_| Step::from(word), Step::Index)
    };
    typed
        .split('.')
        .filter(|word| !word.is_empty())
        .map(step)
        .collect()
}

fn set(typed: &str, value: &str) -> Change {
    Change::set(path(typed), serde_yaml::from_str::<Value>(value).unwrap())
}

fn out(typed: &str) -> Change {
    Change::take_out(path(typed))
}

fn add(typed: &str, at: Option<usize>, value: &str) -> Change {
    Change::Add {
        path: path(typed),
        at,
        value: serde_yaml::from_str(value).unwrap(),
    }
}

#[track_caller]
fn becomes(old: &str, change: Change, new: &str) {
    assert_eq!(changed("kennel.yaml", old, &[change]).unwrap(), new);
}

#[test]
fn a_value_is_set_where_it_stands() {
    becomes(
        "a: 1 # one\nb: x\n",
        set("a", "two"),
        "a: two # one\nb: x\n",
    );
    becomes(
        "a: 'it''s'\r\nb: \"x\"\r\n",
        set("a", "\"don't\""),
        "a: 'don''t'\r\nb: \"x\"\r\n",
    );
    becomes(
        "\u{feff}a: 1\nb: \"x\"",
        set("b", "z"),
        "\u{feff}a: 1\nb: \"z\"",
    );
    becomes(
        "a: |  # text\n  one\n\n  two\n\n# of b\nb: x\n",
        set("a", "three"),
        "a: three\n\n# of b\nb: x\n",
    );
    becomes(
        "p:\n  - { id: a, w: 209 g } # first\n",
        set("p.0.w", "211 g"),
        "p:\n  - { id: a, w: 211 g } # first\n",
    );
    becomes(
        "a:   &x one\nb: two\n",
        set("a", "three"),
        "a:   &x three\nb: two\n",
    );
    becomes("a:\nb: x\n", set("a", "z"), "a: z\nb: x\n");
    becomes(
        "a: # none yet\nb: x\n",
        set("a", "z"),
        "a: z # none yet\nb: x\n",
    );
    becomes(
        "a: plain\n  on two lines # c\nb: x\n",
        set("a", "z"),
        "a: z # c\nb: x\n",
    );
}

#[test]
fn a_key_is_added_behind_the_last_of_its_block() {
    becomes(
        "b:\n  x: 1\n  # of x\nc: 2\n",
        set("b.y", "z"),
        "b:\n  x: 1\n  # of x\n  y: z\nc: 2\n",
    );
    becomes(
        "- id: a\n  x: 1\n- id: b\n",
        set("0.y", "z"),
        "- id: a\n  x: 1\n  y: z\n- id: b\n",
    );
    becomes(
        "a: { x: 1 }\n",
        set("a.y", "[p, q]"),
        "a: { x: 1, y: [p, q] }\n",
    );
    becomes("a: {}", set("a.z", "1"), "a:\n  z: 1\n");
    becomes(
        "name: x",
        set("birth.on", "2026-10-05"),
        "name: x\nbirth:\n  on: 2026-10-05\n",
    );
    becomes(
        "birth:\nname: x\n",
        set("birth.on", "2026-10-05"),
        "birth:\n  on: 2026-10-05\nname: x\n",
    );
    becomes("", set("name", "x"), "name: x\n");
    becomes(
        "# nothing yet",
        set("name", "x"),
        "# nothing yet\nname: x\n",
    );
}

#[test]
fn what_is_taken_out_takes_its_line_and_no_other() {
    becomes(
        "a: 1\n# of b\nb: 2 # two\nc: 3\n",
        out("b"),
        "a: 1\n# of b\nc: 3\n",
    );
    becomes("- id: a\n  x: 1\n", out("0.id"), "- x: 1\n");
    becomes(
        "p:\n  - a\n  # of b\n  - b\n  - c",
        out("p.1"),
        "p:\n  - a\n  # of b\n  - c",
    );
    becomes("a: [x, y, z]\n", out("a.1"), "a: [x, z]\n");
    becomes("a: [x, y, z]\n", out("a.2"), "a: [x, y]\n");
    becomes("a: { x: 1 }\nb: 2\n", out("a.x"), "a: {}\nb: 2\n");
    becomes(
        "p:\n  # those\n  - a: 1\n    b: 2\nq: 1\n",
        out("p.0"),
        "p: []\n  # those\nq: 1\n",
    );
    becomes("# weights\n- at: x\n  a: 1 g\n", out("0"), "# weights\n");
}

#[test]
fn entries_are_added_and_moved() {
    becomes(
        "p:\n- id: a\n- id: c\n",
        add("p", Some(1), "{ id: b, w: 1 g }"),
        "p:\n- id: a\n- id: b\n  w: 1 g\n- id: c\n",
    );
    becomes(
        "p:\n  - { id: a }\n",
        add("p", None, "{ id: b }"),
        "p:\n  - { id: a }\n  - { id: b }\n",
    );
    becomes(
        "p: []\nq: 1\n",
        add("p", None, "{ id: b }"),
        "p:\n  - { id: b }\nq: 1\n",
    );
    becomes("q: 1\n", add("p", None, "b"), "q: 1\np: [b]\n");
    let moved = |from: &str, to| Change::Move {
        path: path(from),
        to,
    };
    becomes(
        "p:\n  - a # A\n  - b\n  - c",
        moved("p.0", 2),
        "p:\n  - b\n  - c\n  - a # A\n",
    );
    becomes(
        "p:\n  - a\n  - b\n  - c # C\nq: 1\n",
        moved("p.2", 0),
        "p:\n  - c # C\n  - a\n  - b\nq: 1\n",
    );
    becomes("p: [a, b,  c]\n", moved("p.0", 1), "p: [b, a,  c]\n");
}

#[test]
fn a_block_is_changed_where_it_differs() {
    becomes(
        "b:\n  x: 1 # one\n  y: 2\n  z: 3\n",
        set("b", "{ x: 1, y: 4, w: 5 }"),
        "b:\n  x: 1 # one\n  y: 4\n  w: 5\n",
    );
    becomes("l: [a, b, c]\n", set("l", "[a, d]"), "l: [a, d]\n");
    becomes(
        "m:\n  - a # A\n  - b\nn: 1\n",
        set("m", "c"),
        "m: c\nn: 1\n",
    );
}

#[test]
fn a_value_that_others_take_over_is_refused() {
    let refused = |old: &str, change: Change| changed("kennel.yaml", old, &[change]).unwrap_err();
    let problem = &refused("a: &x one\nb: *x\n", set("a", "two"))[0];
    assert_eq!(problem.code, "cannot-change");
    assert!(
        problem.hint.contains("write the value out"),
        "{}",
        problem.hint
    );
    becomes("a: &x one\nb: *x\n", set("b", "two"), "a: &x one\nb: two\n");
    becomes(
        "a: &x { p: 1 }\nb: *x\n",
        set("b.p", "two"),
        "a: &x { p: 1 }\nb: { p: two }\n",
    );
    assert_eq!(refused("a: 1\na: 2\n", set("a", "3"))[0].code, "key-twice");
    assert_eq!(refused("a: [1\n", set("a", "3"))[0].code, "yaml-broken");
    assert_eq!(refused("a: 1\n", out("b"))[0].code, "place-unknown");
}

#[test]
fn a_note_keeps_its_text_and_its_head() {
    let note = "---\r\ndate: 2026-10-05\r\ntitle: One # t\r\n---\r\nText: a\r\n- b\r\n";
    let becomes = |changes: &[Change], new: &str| {
        assert_eq!(changed("litters/a/notes/b.md", note, changes).unwrap(), new);
    };
    becomes(
        &[set("title", "Two"), set("audience", "owners")],
        "---\r\ndate: 2026-10-05\r\ntitle: Two # t\r\naudience: owners\r\n---\r\nText: a\r\n- \
         b\r\n",
    );
    becomes(
        &[set("text", "\"Other\\ntext\"")],
        "---\r\ndate: 2026-10-05\r\ntitle: One # t\r\n---\r\nOther\r\ntext\r\n",
    );
}

#[test]
fn places_are_typed_by_name_or_number() {
    let text = "puppies:\n  - id: moss\n    offer: available\n  - id: fern\nmated: [2026-08-02]\n";
    let file = "litters/a/litter.yaml";
    for (place, meant) in [
        ("puppies.moss.offer", "puppies.0.offer"),
        ("puppies.2.sex", "puppies.1.sex"),
        ("puppies.last", "puppies.1"),
        ("birth.surgery.clinic", "birth.surgery.clinic"),
    ] {
        assert_eq!(typed::path(file, text, place).unwrap(), path(meant));
    }
    assert!(
        typed::path(file, text, "puppies.mos.offer").unwrap_err()[0]
            .hint
            .contains("moss")
    );
    assert_eq!(
        typed::value(file, &path("puppies.0.order"), "2"),
        Value::from(2)
    );
    assert_eq!(
        typed::value(file, &path("puppies.0.chip"), "941000024681357"),
        Value::from("941000024681357")
    );
    assert_eq!(
        typed::value(file, &path("mated"), "[2026-08-02]"),
        serde_yaml::from_str::<Value>("[2026-08-02]").unwrap()
    );
}

/// How a file is written: one byte decides one thing, in turn.
struct Style<'a> {
    bytes: &'a [u8],
    at: usize,
    comments: usize,
    anchors: Vec<String>,
}

impl Style<'_> {
    fn pick(&mut self, of: usize) -> usize {
        let byte = self.bytes[self.at % self.bytes.len()];
        self.at += 1;
        usize::from(byte.wrapping_add(u8::try_from(self.at / self.bytes.len() * 37 % 256).unwrap()))
            % of
    }

    fn comment(&mut self) -> String {
        if self.pick(4) > 0 {
            return String::new();
        }
        self.comments += 1;
        format!(" # c{}: a, [b] {{c}} 'd", self.comments)
    }

    fn scalar(&mut self, value: &Value, flow: bool, indent: usize) -> String {
        let Value::String(text) = value else {
            return serde_yaml::to_string(value).unwrap().trim_end().to_owned();
        };
        let plain = text.chars().all(|c| c.is_ascii_alphanumeric() || c == ' ')
            && text.starts_with(|c: char| c.is_ascii_lowercase());
        match self.pick(if flow { 3 } else { 6 }) {
            0 if plain => text.clone(),
            1 if !text.contains('\n') => format!("'{}'", text.replace('\'', "''")),
            3 if plain && text.contains(' ') && !text.contains("  ") => {
                text.replacen(' ', &format!("\n{:indent$}   ", ""), 1)
            }
            4 if text.lines().count() > 0
                && !text.starts_with([' ', '\n'])
                && text
                    .lines()
                    .all(|line| line == line.trim_end() && !line.is_empty()) =>
            {
                let inner = format!("\n{:indent$}  ", "");
                let keep = if text.ends_with('\n') { "" } else { "-" };
                format!(
                    "|{keep}{}{inner}{}",
                    self.comment(),
                    text.trim_end_matches('\n').replace('\n', &inner)
                )
            }
            _ => serde_json::to_string(text).unwrap(),
        }
    }

    fn flow(&mut self, value: &Value) -> String {
        let blank = ["", " "][self.pick(2)];
        match value {
            Value::Mapping(block) => {
                let entries: Vec<String> = block
                    .iter()
                    .map(|(key, value)| format!("{}: {}", key.as_str().unwrap(), self.flow(value)))
                    .collect();
                format!("{{{blank}{}{blank}}}", entries.join(", "))
            }
            Value::Sequence(items) => {
                let items: Vec<String> = items.iter().map(|item| self.flow(item)).collect();
                let comma = if items.is_empty() || self.pick(4) > 0 {
                    ""
                } else {
                    ","
                };
                format!(
                    "[{blank}{}{comma}{blank}]",
                    items.join(&format!(",{blank}"))
                )
            }
            other => self.scalar(other, true, 0),
        }
    }

    /// What stands behind a colon or a dash at a column, with the end of its line.
    fn behind(&mut self, value: &Value, column: usize, is_item: bool) -> String {
        let is_block = |value: &Value| match value {
            Value::Mapping(block) => !block.is_empty(),
            Value::Sequence(items) => !items.is_empty(),
            _ => false,
        };
        let anchor = if self.pick(6) == 0 {
            self.anchors.push(format!("n{}", self.anchors.len()));
            format!(" &{}", self.anchors.last().unwrap())
        } else {
            String::new()
        };
        if is_block(value) && self.pick(3) > 0 {
            let deeper = column + 1 + self.pick(3);
            if is_item && anchor.is_empty() && self.pick(3) > 0 {
                let lines = self.block(value, column + 2);
                return format!(" {}", lines.trim_start());
            }
            let deeper = if !is_item && matches!(value, Value::Sequence(_)) && self.pick(2) == 0 {
                column
            } else {
                deeper
            };
            let comment = self.comment();
            return format!("{anchor}{comment}\n{}", self.block(value, deeper));
        }
        if is_block(value) || matches!(value, Value::Mapping(_) | Value::Sequence(_)) {
            return format!("{anchor} {}{}\n", self.flow(value), self.comment());
        }
        if *value == Value::Null && self.pick(2) == 0 {
            return format!("{}\n", self.comment());
        }
        let text = self.scalar(value, false, column);
        let comment = if text.starts_with('|') {
            String::new()
        } else {
            self.comment()
        };
        format!("{anchor} {text}{comment}\n")
    }

    fn block(&mut self, value: &Value, column: usize) -> String {
        let mut out = String::new();
        let mut first = true;
        let mut before = |style: &mut Self, out: &mut String| {
            if !first && style.pick(6) == 0 {
                style.comments += 1;
                out.push_str(&format!("{:column$}# c{} alone: - x\n", "", style.comments));
            }
            first = false;
        };
        match value {
            Value::Mapping(block) => {
                for (key, value) in block {
                    before(self, &mut out);
                    let key = key.as_str().unwrap();
                    let key = if self.pick(8) == 0 {
                        format!("\"{key}\"")
                    } else {
                        key.to_owned()
                    };
                    out.push_str(&format!(
                        "{:column$}{key}:{}",
                        "",
                        self.behind(value, column, false)
                    ));
                }
            }
            Value::Sequence(items) => {
                for item in items {
                    before(self, &mut out);
                    out.push_str(&format!(
                        "{:column$}-{}",
                        "",
                        self.behind(item, column, true)
                    ));
                }
            }
            _ => {}
        }
        out
    }
}

fn texts() -> impl Strategy<Value = String> {
    prop_oneof![
        "[a-z]{3,6} [a-z0-9]{2,5} g",
        "[a-z]{4,8}",
        "\\PC{0,10}",
        "[a-z]{3}: [a-z]{2} #x",
        "[a-z]{3}\n[a-z]{3}\n",
        Just("2026-10-05".to_owned()),
        Just("yes".to_owned())
    ]
}

fn values() -> impl Strategy<Value = Value> {
    let leaf = prop_oneof![
        8 => texts().prop_map(Value::String),
        1 => (0_u32..5000).prop_map(Value::from),
        1 => any::<bool>().prop_map(Value::Bool),
        1 => Just(Value::Null),
    ];
    leaf.prop_recursive(3, 20, 5, |inner| {
        prop_oneof![
            prop::collection::vec(inner.clone(), 0..5).prop_map(Value::Sequence),
            prop::collection::btree_map("[a-f]{1,2}[0-9]?", inner, 0..5).prop_map(|map| {
                Value::Mapping(map.into_iter().map(|(k, v)| (k.into(), v)).collect())
            }),
        ]
    })
}

fn records() -> impl Strategy<Value = Value> {
    values().prop_filter("a record", |value| match value {
        Value::Sequence(items) => !items.is_empty(),
        Value::Mapping(block) => !block.is_empty(),
        _ => false,
    })
}

/// The text of a random file.
fn files() -> impl Strategy<Value = String> {
    (records(), prop::collection::vec(any::<u8>(), 40), 0..8_u8).prop_map(
        |(record, bytes, ends)| {
            let mut style = Style {
                bytes: &bytes,
                at: 0,
                comments: 0,
                anchors: Vec::new(),
            };
            let mut text = style.block(&record, 0);
            // The last anchor, where there is one, is used again at the end.
            if let (Some(name), Value::Mapping(_)) = (style.anchors.last(), &record) {
                text.push_str(&format!("again: *{name}\n"));
            }
            if ends & 1 > 0 {
                text.truncate(text.trim_end_matches('\n').len());
            }
            if ends & 2 > 0 {
                text = text.replace('\n', "\r\n");
            }
            if ends & 4 > 0 {
                format!("\u{feff}{text}")
            } else {
                text
            }
        },
    )
}

/// All paths of a value.
fn paths(value: &Value, here: &[Step], all: &mut Vec<Vec<Step>>) {
    let inner: Vec<(Step, &Value)> = match value {
        Value::Mapping(block) => block
            .iter()
            .map(|(key, value)| (Step::from(key.as_str().unwrap()), value))
            .collect(),
        Value::Sequence(items) => items
            .iter()
            .enumerate()
            .map(|(at, item)| (Step::Index(at), item))
            .collect(),
        _ => return,
    };
    for (step, value) in inner {
        let path = [here, &[step]].concat();
        all.push(path.clone());
        paths(value, &path, all);
    }
}

fn at<'a>(value: &'a mut Value, path: &[Step]) -> Option<&'a mut Value> {
    path.iter().try_fold(value, |here, step| match step {
        Step::Key(key) | Step::Name(key) => here.get_mut(key.as_str()),
        Step::Index(index) => here.get_mut(*index),
    })
}

/// A random change of a value, made on the value by means of its own.
fn random_change(value: &Value, pick: [usize; 3], new: &Value) -> Option<(Change, Value)> {
    let mut all = Vec::new();
    paths(value, &[], &mut all);
    let path = all.get(pick[0] % all.len().max(1))?.clone();
    let (last, above) = path.split_last()?;
    let mut wanted = value.clone();
    let change = match pick[1] % 6 {
        0 => {
            *at(&mut wanted, &path)? = new.clone();
            Change::set(path, new.clone())
        }
        1 => {
            let path = [above, &[Step::from("fresh")]].concat();
            at(&mut wanted, above)?
                .as_mapping_mut()?
                .insert("fresh".into(), new.clone());
            Change::set(path, new.clone())
        }
        2 => {
            let items = at(&mut wanted, &path)?.as_sequence_mut()?;
            let place = pick[2] % (items.len() + 1);
            items.insert(place, new.clone());
            Change::Add {
                path,
                at: Some(place),
                value: new.clone(),
            }
        }
        3 => {
            match (at(&mut wanted, above)?, last) {
                (Value::Mapping(block), Step::Key(key)) => _ = block.shift_remove(key.as_str())?,
                (Value::Sequence(items), Step::Index(index)) => _ = items.remove(*index),
                _ => return None,
            }
            Change::take_out(path)
        }
        4 => {
            let Step::Index(from) = last else { return None };
            let items = at(&mut wanted, above)?.as_sequence_mut()?;
            let to = pick[2] % items.len();
            let item = items.remove(*from);
            items.insert(to, item);
            Change::Move { path, to }
        }
        _ => {
            let Step::Key(key) = last else { return None };
            let block = at(&mut wanted, above)?.as_mapping_mut()?;
            let inner = block.shift_remove(key.as_str())?;
            block.insert("other".into(), inner);
            Change::Rename {
                path,
                to: "other".to_owned(),
            }
        }
    };
    Some((change, wanted))
}

/// Values whose blocks are the same in any order.
fn same(one: &Value, other: &Value) -> bool {
    match (one, other) {
        (Value::Mapping(one), Value::Mapping(other)) => {
            one.len() == other.len()
                && one
                    .iter()
                    .all(|(key, value)| other.get(key).is_some_and(|other| same(value, other)))
        }
        (Value::Sequence(one), Value::Sequence(other)) => {
            one.len() == other.len() && one.iter().zip(other).all(|(one, other)| same(one, other))
        }
        _ => one == other,
    }
}

fn comments(text: &str) -> Vec<String> {
    text.split("# c")
        .skip(1)
        .map(|rest| rest.chars().take_while(char::is_ascii_digit).collect())
        .collect()
}

/// How many changes were made and how many refused; a slice with all tests, more with
/// `CHANGES=100000`.
#[test]
#[expect(
    clippy::disallowed_methods,
    reason = "how long the test runs is told by the environment"
)]
#[allow(clippy::print_stderr, reason = "the figures of a long run")]
fn random_changes_do_what_was_asked_and_nothing_else() {
    use proptest::test_runner::{Config, TestRunner};
    let cases = std::env::var("CHANGES")
        .ok()
        .and_then(|count| count.parse().ok())
        .unwrap_or(2_000_u32);
    let (made, refused) = (std::cell::Cell::new(0_u32), std::cell::Cell::new(0_u32));
    let mut runner = TestRunner::new(Config {
        cases,
        max_global_rejects: 100_000_000,
        max_shrink_iters: 4_000,
        failure_persistence: None,
        ..Config::default()
    });
    let input = (files(), any::<[usize; 3]>(), values());
    let done = runner.run(&input, |(text, pick, new)| {
        let bare = text.trim_start_matches('\u{feff}');
        let Ok(old) = serde_yaml::from_str::<Value>(bare) else {
            return Err(TestCaseError::reject("the other reader"));
        };
        let Some((change, wanted)) = random_change(&old, pick, &new) else {
            return Err(TestCaseError::reject("no such change"));
        };
        let whole = matches!(&change, Change::TakeOut { path } if path.len() == 1)
            && matches!(&wanted, Value::Mapping(m) if m.is_empty());
        match changed("kennel.yaml", &text, std::slice::from_ref(&change)) {
            Ok(written) => {
                made.set(made.get() + 1);
                let read: Value = serde_yaml::from_str(written.trim_start_matches('\u{feff}'))
                    .map_err(|e| TestCaseError::fail(format!("{e}\n{written}")))?;
                let is_empty =
                    whole || matches!(&wanted, Value::Sequence(items) if items.is_empty());
                prop_assert!(
                    same(&read, &wanted) || (is_empty && read == Value::Null),
                    "{change:?}\n--- old\n{text}\n--- new\n{written}\n--- wanted {wanted:?}"
                );
                prop_assert_eq!(
                    text.starts_with('\u{feff}'),
                    written.starts_with('\u{feff}')
                );
                kept(&text, &written, &change)?;
            }
            Err(problems) => {
                prop_assert!(problems.iter().all(|problem| !problem.hint.is_empty()));
                let shares = bare.contains("again: *");
                prop_assert!(
                    shares || problems[0].code != "place-unknown",
                    "{problems:?}\n{text}\n{change:?}"
                );
                refused.set(refused.get() + 1);
            }
        }
        Ok(())
    });
    if let Err(error) = done {
        panic!("{error}");
    }
    let (made, refused) = (made.get(), refused.get());
    eprintln!("{made} changes made, {refused} refused");
    assert!(refused * 10 < made, "{made} made, {refused} refused");
}

/// Every byte outside what was asked is as before: what lies between the common beginning and the
/// common end of both texts holds no comment on a line of its own, and no other line ends came in.
fn kept(old: &str, new: &str, change: &Change) -> Result<(), TestCaseError> {
    let alone = |text: &str| {
        comments(
            &text
                .trim_start_matches('\u{feff}')
                .lines()
                .filter(|line| line.trim_start().starts_with('#'))
                .collect::<Vec<_>>()
                .join("\n"),
        )
    };
    if matches!(
        change,
        Change::Set {
            value: Value::Mapping(_) | Value::Sequence(_),
            ..
        }
    ) {
        // Of a whole block only what differs is touched, here and there; no comment comes in or
        // changes its place.
        let mut before = comments(old).into_iter();
        prop_assert!(
            comments(new)
                .iter()
                .all(|comment| before.any(|old| old == *comment)),
            "{change:?}\n{old}\n---\n{new}"
        );
    } else if matches!(change, Change::Set { .. } | Change::TakeOut { .. }) {
        // Comments are lost only inside what was replaced or taken out: in one piece of the text.
        let (before, after) = (comments(old), comments(new));
        let same = |pair: &(&String, &String)| pair.0 == pair.1;
        let begin = before.iter().zip(&after).take_while(same).count();
        let reversed = before.iter().rev().zip(after.iter().rev());
        let end = reversed.take_while(same).count();
        prop_assert!(
            begin + end >= after.len(),
            "comments were lost in several places\n{change:?}\n{old}\n---\n{new}"
        );
    } else {
        let (mut before, mut after) = (comments(old), comments(new));
        before.sort();
        after.sort();
        prop_assert_eq!(
            before,
            after,
            "a comment was lost\n{:?}\n{}\n---\n{}",
            change,
            old,
            new
        );
        prop_assert_eq!(alone(old).len(), alone(new).len());
    }
    if old.contains("\r\n") {
        prop_assert!(
            !new.replace("\r\n", "").contains('\n'),
            "line ends are mixed\n{old:?}\n{new:?}"
        );
    } else if old.contains('\n') {
        prop_assert!(!new.contains('\r'), "line ends are mixed");
    }
    Ok(())
}
