//! Words of files and commands, said for somebody who has never seen either.
//!
//! In: a page of the desk or of the book, in which problems and hints are said for the record
//! files, and ways as commands. Out: the page with fields called as its forms call them, records by
//! what they are of, and links in place of commands. What stands in tags, `code`, `pre`, scripts
//! and fields of forms is left as it is; a page about the text of a file is not brought here.

use super::forms::shape::{self, Kind, in_words};
use crate::quantity::days_said;
use crate::records::schema;
use std::borrow::Cow;
use std::collections::BTreeMap;
use std::sync::LazyLock;

/// What a field is called, by its key, where nearly all records that have it call it so; else the
/// key is the better word.
static LABELS: LazyLock<BTreeMap<String, String>> = LazyLock::new(|| {
    let mut counted: BTreeMap<String, BTreeMap<String, usize>> = BTreeMap::new();
    for (record, _) in schema::RECORDS {
        if let Some(kind) = shape::of(record) {
            count(&kind, &mut counted);
        }
    }
    let most = |labels: BTreeMap<String, usize>| {
        let mut labels: Vec<(String, usize)> = labels.into_iter().collect();
        labels.sort_by(|a, b| b.1.cmp(&a.1).then_with(|| a.0.cmp(&b.0)));
        let all: usize = labels.iter().map(|(_, count)| count).sum();
        let (label, count) = labels.into_iter().next()?;
        (count > 3 * (all - count)).then_some(label)
    };
    let labels = counted.into_iter();
    labels
        .filter_map(|(key, labels)| Some((key, most(labels)?)))
        .collect()
});

fn count(kind: &Kind, counted: &mut BTreeMap<String, BTreeMap<String, usize>>) {
    match kind {
        Kind::Block(form) | Kind::TextOr(form) => {
            for field in &form.fields {
                let labels = counted.entry(field.key.clone()).or_default();
                *labels.entry(field.label.clone()).or_default() += 1;
                count(&field.kind, counted);
            }
        }
        Kind::List(entry) => count(entry, counted),
        _ => {}
    }
}

/// What a record file is called in a sentence; nothing for a file that is no record.
pub(super) fn record_words(file: &str) -> Option<String> {
    let (folder, last) = file.rsplit_once('/').unwrap_or(("", file));
    let stem = last.strip_suffix(".yaml")?;
    Some(match stem {
        _ if folder.ends_with("dogs") => format!("the record of “{}”", in_words(stem)),
        "kennel" => "the kennel’s record".to_owned(),
        "owners" => "“Families and waiting list”".to_owned(),
        "care-plan" => "the care plan".to_owned(),
        "litter" => "the litter’s record".to_owned(),
        "weights" => "the weights".to_owned(),
        "health" => "the health record".to_owned(),
        _ => return None,
    })
}

/// A sentence about record files, for somebody who fills in forms.
pub(super) fn said_here(text: &str) -> String {
    let text = text.replace("in quotes, ", "");
    let text = match text.split_once(", in quotes") {
        // What has to be typed into a file has no quotes in a field.
        Some((before, after)) if !after.starts_with(' ') => format!("{before}{after}"),
        _ => text,
    };
    if text.matches('`').count() % 2 == 1 {
        return days_said(&files_named(&text));
    }
    let mut said = String::with_capacity(text.len());
    for (n, piece) in text.split('`').enumerate() {
        if n % 2 == 0 {
            said.push_str(&days_said(&files_named(piece)));
            continue;
        }
        let (spoken, is_key) = code(piece);
        if is_key && piece.ends_with(':') && said.ends_with("add ") {
            said.truncate(said.len() - "add ".len());
            said.push_str("fill in ");
        }
        said.push_str(&spoken.replace("x-ray", "X-ray"));
    }
    said
}

/// Where that is found here which a command does or says.
fn page_of(command: &str) -> Option<String> {
    let whole = command.strip_prefix("litterfolio ").unwrap_or(command);
    let page = match whole.split(' ').next()? {
        "inspect" => "What to mend",
        "undo" => "History",
        "publish" => "Publish",
        "recode" => "Families’ pages and codes",
        "begin" => "Another kennel",
        _ => return None,
    };
    Some(format!("“{page}”"))
}

/// What stands between backticks; whether it is the key of a field.
fn code(piece: &str) -> (String, bool) {
    let key = piece.strip_suffix(':').unwrap_or(piece);
    if let Some(label) = LABELS.get(key) {
        return (format!("“{label}”"), true);
    }
    if let Some(words) = record_words(piece).or_else(|| page_of(piece)) {
        return (words, false);
    }
    if let Some((key, value)) = piece.split_once(": ")
        && let Some(label) = LABELS.get(key)
    {
        let block = value
            .strip_prefix('{')
            .and_then(|value| value.strip_suffix('}'));
        let said = match block {
            Some(block) => {
                let parts = block.trim().split(", ").map(|part| {
                    let (key, value) = part.split_once(": ").unwrap_or(("", part));
                    format!("{} {value}", key.replace('_', " "))
                        .trim()
                        .to_owned()
                });
                format!("“{label}” with {}", parts.collect::<Vec<_>>().join(", "))
            }
            None => format!("“{label}: {}”", value.trim_matches('"')),
        };
        return (said, false);
    }
    (format!("“{}”", piece.trim_matches('"')), false)
}

/// The names of record files in a text become what they are records of.
fn files_named(text: &str) -> String {
    let is_part = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || "-_/.".contains(c);
    let mut said = String::with_capacity(text.len());
    let mut rest = text;
    while let Some(at) = rest.find(".yaml") {
        let end = at + ".yaml".len();
        let begin = rest[..at]
            .char_indices()
            .rev()
            .take_while(|(_, c)| is_part(*c))
            .last()
            .map_or(at, |(begin, _)| begin);
        said.push_str(&rest[..begin]);
        let words = record_words(&rest[begin..end]);
        said.push_str(&words.unwrap_or_else(|| rest[begin..end].to_owned()));
        rest = &rest[end..];
    }
    said.push_str(rest);
    said
}

/// Elements whose text is not prose.
const NO_PROSE: [&str; 6] = ["code", "pre", "script", "style", "textarea", "title"];

/// A page with the words of its text as they are said here. `way` gives what stands in place of the
/// text of a `code` element, where there is something better.
pub(super) fn page_said_here(page: &str, way: impl Fn(&str) -> Option<String>) -> Cow<'_, str> {
    let says_so = ["`", ".yaml", ", in quotes", "<code>"];
    if !says_so.iter().any(|word| page.contains(word)) {
        return Cow::Borrowed(page);
    }
    let mut said = String::with_capacity(page.len() + 1024);
    let mut rest = page;
    while let Some(at) = rest.find('<') {
        said.push_str(&text_said_here(&rest[..at]));
        rest = &rest[at..];
        let end = rest.find('>').map_or(rest.len(), |end| end + 1);
        let (tag, behind) = rest.split_at(end);
        let name: String = tag[1..]
            .chars()
            .take_while(char::is_ascii_alphanumeric)
            .collect();
        if !NO_PROSE.contains(&name.as_str()) {
            said.push_str(tag);
            rest = behind;
            continue;
        }
        let close = format!("</{name}>");
        let inner = behind.find(&close).unwrap_or(behind.len());
        let (inner, behind) = behind.split_at(inner);
        if let Some(way) = way(inner).filter(|_| name == "code") {
            said.push_str(&way);
            rest = behind.strip_prefix(close.as_str()).unwrap_or(behind);
        } else {
            said.push_str(tag);
            said.push_str(inner);
            rest = behind;
        }
    }
    said.push_str(&text_said_here(rest));
    Cow::Owned(said)
}

fn text_said_here(text: &str) -> Cow<'_, str> {
    if text.contains(['`']) || text.contains(".yaml") || text.contains(", in quotes") {
        Cow::Owned(said_here(text))
    } else {
        Cow::Borrowed(text)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn fields_are_called_as_forms_call_them_and_records_by_what_they_are_of() {
        for (written, said) in [
            ("`on` is missing", "“Day” is missing"),
            ("add `on:` here", "fill in “Day” here"),
            (
                "correct the name here, or the sex in dogs/fern.yaml; are `dam` and `sire` exchanged?",
                "correct the name here, or the sex in the record of “Fern”; are “Dam” and “Sire” \
                 exchanged?",
            ),
            (
                "take `birth` and `puppies` out",
                "take “Birth” and “Puppies” out",
            ),
            (
                "is written as `counted: { by: ultrasound, puppies: 0 }`",
                "is written as “Count before birth” with by ultrasound, puppies 0",
            ),
            (
                "write `offer: reserved` in litters/spring/litter.yaml",
                "write “Offer: reserved” in the litter’s record",
            ),
            ("write `7.5 oz`", "write “7.5 oz”"),
            ("Telephone, in quotes.", "Telephone."),
            (
                "a ` alone in kennel.yaml",
                "a ` alone in the kennel’s record",
            ),
            ("`litterfolio inspect` says why", "“What to mend” says why"),
            ("codes.yaml and my.yaml", "codes.yaml and my.yaml"),
            (
                "`wren` is weighed on 2026-04-15 08:00, before 2026-04-16; write `2026-04-17`",
                "“wren” is weighed on 15 April 2026, 08:00, before 16 April 2026; write \
                 “2026-04-17”",
            ),
            (
                "notes/2026-04-15.md and x-2026-04-15",
                "notes/2026-04-15.md and x-2026-04-15",
            ),
            ("since 2026-04-15T08:00", "since 2026-04-15T08:00"),
            ("write `by: x-ray`", "write “by: X-ray”"),
        ] {
            let counted = said_here(written);
            assert_eq!(counted.to_lowercase(), said.to_lowercase(), "{written}");
            assert!(!counted.contains("x-ray"), "{counted}");
        }
    }

    #[test]
    fn only_the_text_of_a_page_is_said_anew() {
        let page = "<p title=\"`on`\">`on` <b>`on`</b></p><pre>`on`</pre><textarea>kennel.yaml\
                    </textarea><code>litterfolio weigh a</code><code>`on`</code>kennel.yaml";
        let way = |code: &str| {
            code.strip_prefix("litterfolio ")
                .map(|way| format!("<a>{way}</a>"))
        };
        assert_eq!(
            page_said_here(page, way),
            "<p title=\"`on`\">“Day” <b>“Day”</b></p><pre>`on`</pre><textarea>kennel.yaml\
             </textarea><a>weigh a</a><code>`on`</code>the kennel’s record"
        );
        assert!(matches!(
            page_said_here("<p>nothing</p>", |_| None),
            Cow::Borrowed(_)
        ));
    }
}
