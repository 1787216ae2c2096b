//! What is wrong with a text that cannot be taken apart, in words for somebody who never heard of
//! YAML.
//!
//! In: a text and the line at which the parser gave up. Out: what was seen, where it stands, and
//! that line as it should be. A line is proposed only when the parser, given the text with it,
//! comes further than before.

use super::depth::stops_at;
use crate::quantity::many;
use std::ops::Range;

/// Longer texts are not tried again and again.
const LONGEST_TRIED: usize = 300_000;
/// A line longer than this is not written out in a hint.
const LONGEST_SHOWN: usize = 160;

/// What was seen, where, and what to write.
#[derive(Debug)]
pub(super) struct Explained {
    pub(super) range: Range<usize>,
    pub(super) message: String,
    pub(super) hint: String,
    pub(super) mended: MendedText,
}

/// The text with the line as it should be, so that reading can go on behind it.
#[derive(Debug)]
pub(crate) struct MendedText {
    pub(super) text: String,
    /// Where the line begins, how long it was, and how long it is now.
    at: usize,
    old: usize,
    new: usize,
}

impl MendedText {
    /// The line as it was written.
    pub(super) fn line(&self) -> Range<usize> {
        self.at..self.at + self.old
    }

    /// Where a byte of the mended text stands in the text as it was written.
    pub(super) fn before(&self, byte: usize) -> usize {
        if byte < self.at {
            byte
        } else if byte >= self.at + self.new {
            byte - self.new + self.old
        } else {
            byte.min(self.at + self.old)
        }
    }
}

/// One way in which a line may be meant.
struct Repair {
    /// The part of the line that is wrong.
    part: Range<usize>,
    line: String,
    message: String,
    /// What to do, without the line.
    how: &'static str,
}

/// Looks for what broke the text at this line (from 1) or beside it.
pub(super) fn explain(text: &str, stopped: usize) -> Option<Explained> {
    if text.len() > LONGEST_TRIED {
        return None;
    }
    let lines: Vec<&str> = text.split_inclusive('\n').collect();
    let here = stopped.saturating_sub(1).min(lines.len().checked_sub(1)?);
    let before = (0..here)
        .rev()
        .find(|at| !bare(lines[*at]).trim().is_empty());
    let near = [
        Some(here),
        before,
        Some(here + 1).filter(|next| *next < lines.len()),
    ];
    let mut near: Vec<usize> = near.into_iter().flatten().collect();
    // A tab is the parser's trouble wherever it stands beside the line.
    near.sort_by_key(|at| !indent_of(bare(lines[*at])).contains('\t'));
    for at in near {
        let start: usize = lines[..at].iter().map(|line| line.len()).sum();
        for Repair {
            part,
            line,
            message,
            how,
        } in repairs(&lines, at)
        {
            let old = bare(lines[at]);
            let new = format!("{}{line}{}", &text[..start], &text[start + old.len()..]);
            // Of several lines with tabs the next one is found at this line again.
            let beyond = if indent_of(old).contains('\t') {
                stopped
            } else {
                stopped.max(at + 1)
            };
            if line == old || stops_at(&new) <= beyond {
                continue;
            }
            let shown = line.chars().count() <= LONGEST_SHOWN && !line.contains('`');
            let hint = if shown {
                format!("{how}; write this line as `{line}`")
            } else {
                how.to_owned()
            };
            let mended = MendedText {
                text: new,
                at: start,
                old: old.len(),
                new: line.len(),
            };
            return Some(Explained {
                range: start + part.start..start + part.end,
                message,
                hint,
                mended,
            });
        }
    }
    None
}

/// All that a line may have been meant as, the likeliest first.
fn repairs(lines: &[&str], at: usize) -> Vec<Repair> {
    let line = bare(lines[at]);
    let indent = indent_of(line);
    let rest = &line[indent.len()..];
    if rest.is_empty() || rest.starts_with('#') {
        return Vec::new();
    }
    let mut found = Vec::new();
    let mut say = |part: Range<usize>, line: String, message: &str, how| {
        found.push(Repair {
            part,
            line,
            message: message.to_owned(),
            how,
        });
    };
    if let Some(mark) = line.find('\u{feff}') {
        let message = "a character that cannot be seen stands in this line (U+FEFF), as \
                       spreadsheets put into what is copied from them";
        say(
            mark..mark + 3,
            line.replace('\u{feff}', ""),
            message,
            "take it out",
        );
    }
    let columns = columns_before(lines, at);
    if indent.contains('\t') {
        let wide = indent.replace('\t', "  ").len();
        for column in std::iter::once(wide).chain(nearest_first(&columns, wide)) {
            let line = format!("{}{rest}", " ".repeat(column));
            say(
                0..indent.len(),
                line,
                "a tab stands at the beginning of this line, where only blanks may stand",
                "use blanks instead of tabs",
            );
        }
        return found;
    }
    if let Some((column, key)) = dash_missing(lines, at) {
        let message =
            format!("`{key}` begins a new entry of the list, and the `- ` before it is missing");
        let whole = indent.len()..line.len();
        say(
            whole,
            format!("{}- {rest}", " ".repeat(column)),
            &message,
            "put `- ` before the first line of each entry",
        );
    }
    let (dash, entry) = after_dashes(rest);
    let lead = indent.len() + dash.len();
    for (part, entry, message, how) in in_entry(entry) {
        say(
            lead + part.start..lead + part.end,
            format!("{indent}{dash}{entry}"),
            message,
            how,
        );
    }
    for column in nearest_first(&columns, indent.len())
        .into_iter()
        .filter(|column| *column != indent.len())
    {
        let message = format!(
            "this line begins with {}, and no other line that it could belong to does",
            blanks(indent.len())
        );
        let line = format!("{}{rest}", " ".repeat(column));
        say(
            0..line_part(indent, rest),
            line,
            &message,
            "begin it below the first letter of the lines that it belongs to",
        );
    }
    if !rest.starts_with('-') {
        for column in dashes_before(lines, at) {
            let message = "here an entry of a list should begin, and the `- ` of it is missing";
            let line = format!("{}- {rest}", " ".repeat(column));
            say(
                indent.len()..indent.len() + rest.len(),
                line,
                message,
                "put `- ` before the first line of each entry",
            );
        }
    }
    found
}

type InEntry<'a> = (Range<usize>, String, &'a str, &'static str);

/// Slips inside a line, behind its blanks and dashes.
fn in_entry(entry: &str) -> Vec<InEntry<'static>> {
    let mut found: Vec<InEntry<'static>> = Vec::new();
    let (said, remark) = split_remark(entry);
    let whole = 0..said.len();
    let ends = |opening: char, closing: char| {
        said.matches(opening)
            .count()
            .cmp(&said.matches(closing).count())
    };
    if let Some((key, value)) = said.split_once(": ").filter(|(key, _)| is_key(key)) {
        let value = value.trim();
        let part = said.len() - value.len()..said.len();
        let quote = value.chars().next().filter(|c| matches!(c, '"' | '\''));
        if let Some(quote) = quote.filter(|quote| value.matches(*quote).count() % 2 == 1) {
            let message = "a quote opens here and is never closed";
            found.push((
                part.clone(),
                format!("{key}: {value}{quote}{remark}"),
                message,
                "close the quote",
            ));
        }
        let is_special = value.starts_with([
            '@', '`', '%', '*', '&', '!', '|', '>', '#', ',', '?', ':', '-', '=',
        ]);
        if quote.is_some() || is_special || value.contains(": ") || value.ends_with(':') {
            let message = if quote.is_some() {
                "more text stands behind the closing quote"
            } else if value.contains(": ") || value.ends_with(':') {
                "a colon stands inside this text, and a text with a colon has to stand in quotes"
            } else {
                "a text with such a character has to stand in quotes"
            };
            found.push((
                part,
                format!("{key}: {}{remark}", quoted(value)),
                message,
                "put the whole text in quotes",
            ));
        }
    }
    for (opening, closing, message, how) in [
        (
            '{',
            '}',
            "a brace `{` opens here and is never closed",
            "close it with `}`",
        ),
        (
            '[',
            ']',
            "a bracket `[` opens here and is never closed",
            "close it with `]`",
        ),
    ] {
        match ends(opening, closing) {
            std::cmp::Ordering::Greater => {
                let blank = if opening == '{' { " " } else { "" };
                let at = said.rfind(opening).unwrap_or(0);
                found.push((
                    at..at + 1,
                    format!(
                        "{}{blank}{closing}{remark}",
                        said.trim_end_matches([' ', ','])
                    ),
                    message,
                    how,
                ));
            }
            std::cmp::Ordering::Less => {
                let at = said.rfind(closing).unwrap_or(0);
                let line = format!("{}{}{remark}", &said[..at], &said[at + 1..]);
                found.push((
                    at..at + 1,
                    line,
                    "this closes what was never opened",
                    "take it out",
                ));
            }
            std::cmp::Ordering::Equal => {}
        }
    }
    if said.contains('{')
        && let Some((at, line)) = comma_added(said)
    {
        found.push((
            at..at + 1,
            format!("{line}{remark}"),
            "inside braces a comma stands between two entries, and here is none",
            "put a comma there",
        ));
    }
    if let Some((key, value)) = said
        .split_once(':')
        .filter(|(key, value)| is_key(key) && !value.is_empty() && !value.starts_with(' '))
    {
        let message = "behind the colon a blank is missing";
        found.push((
            key.len()..key.len() + 1,
            format!("{key}: {value}{remark}"),
            message,
            "put a blank behind the colon",
        ));
    }
    if !said.contains(':') {
        match said.split_once(' ').filter(|(key, _)| is_key(key)) {
            Some((key, value)) => {
                found.push((
                    whole,
                    format!("{key}: {value}{remark}"),
                    "no colon stands behind the first word",
                    "put a colon behind it",
                ));
            }
            None if is_key(said) => found.push((
                whole,
                format!("{said}:{remark}"),
                "no colon stands behind this word",
                "put a colon behind it",
            )),
            None => {}
        }
    }
    found
}

/// The same line with a comma before the first `key:` in its braces that has none.
fn comma_added(said: &str) -> Option<(usize, String)> {
    let colons = said.match_indices(": ").map(|(at, _)| at);
    for colon in colons {
        let before = &said[..colon];
        let key = before.rfind([' ', '{', ',']).map_or(0, |at| at + 1);
        let left = before[..key].trim_end();
        if is_key(&before[key..])
            && !left.is_empty()
            && !left.ends_with(['{', ',', ':', '['])
            && left.contains('{')
        {
            return Some((key, format!("{left}, {}", &said[key..])));
        }
    }
    None
}

/// The `- ` that is missing: a line outside the entries of a list that says again what the first
/// line of the last entry says.
fn dash_missing<'t>(lines: &[&'t str], at: usize) -> Option<(usize, &'t str)> {
    let key = key_of(bare(lines[at]).trim_start())?;
    let first = lines[..at]
        .iter()
        .rev()
        .map(|line| bare(line))
        .find(|line| line.trim_start().starts_with("- "))?;
    let entry = first.trim_start().trim_start_matches(['-', ' ']);
    (key_of(entry) == Some(key)).then(|| (indent_of(first).len(), key))
}

/// The columns at which a line may begin after the lines above it, the nearest line's first.
fn columns_before(lines: &[&str], at: usize) -> Vec<usize> {
    let mut columns = Vec::new();
    for line in lines[..at]
        .iter()
        .rev()
        .map(|line| bare(line))
        .filter(|line| !line.trim().is_empty() && !line.trim_start().starts_with('#'))
    {
        let indent = indent_of(line).len();
        let (dash, _) = after_dashes(&line[indent..]);
        for column in [indent + dash.len(), indent] {
            if !columns.contains(&column) {
                columns.push(column);
            }
        }
        if indent == 0 || columns.len() > 8 {
            break;
        }
    }
    columns
}

fn dashes_before(lines: &[&str], at: usize) -> Vec<usize> {
    let dash = |line: &&&str| bare(line).trim_start().starts_with("- ");
    lines[..at]
        .iter()
        .rev()
        .find(dash)
        .map(|line| indent_of(bare(line)).len())
        .into_iter()
        .chain([0])
        .collect()
}

/// The columns nearest to one; of two that are as near the deeper.
fn nearest_first(columns: &[usize], wanted: usize) -> Vec<usize> {
    let mut columns = columns.to_vec();
    columns.sort_by_key(|column| (column.abs_diff(wanted), usize::MAX - column));
    columns
}

/// A line without its end.
fn bare(line: &str) -> &str {
    line.trim_end_matches(['\n', '\r'])
}

fn indent_of(line: &str) -> &str {
    &line[..line.len() - line.trim_start_matches([' ', '\t']).len()]
}

/// `- - ` and what stands behind it.
fn after_dashes(rest: &str) -> (&str, &str) {
    let mut end = 0;
    while rest[end..].starts_with("- ") {
        end += 2 + (rest[end + 2..].len() - rest[end + 2..].trim_start_matches(' ').len());
    }
    rest.split_at(end)
}

/// What a line says, and the remark behind it.
fn split_remark(entry: &str) -> (&str, &str) {
    let end = entry.find(" #").unwrap_or(entry.len());
    let said = entry[..end].trim_end();
    entry.split_at(said.len())
}

fn is_key(word: &str) -> bool {
    !word.is_empty()
        && word
            .chars()
            .all(|c| c.is_alphanumeric() || matches!(c, '_' | '-'))
        && !word.starts_with('-')
}

fn key_of(entry: &str) -> Option<&str> {
    entry
        .split_once(':')
        .map(|(key, _)| key)
        .filter(|key| is_key(key))
}

/// A text in quotes, so that it is read as it stands.
fn quoted(value: &str) -> String {
    if value.contains(['"', '\\']) {
        format!("'{}'", value.replace('\'', "''"))
    } else {
        format!("\"{value}\"")
    }
}

fn blanks(count: usize) -> String {
    match count {
        0 => "no blank".to_owned(),
        count => many(count, "blank"),
    }
}

/// The part of a line to point at when it is its beginning that is wrong: up to the end of its
/// first word.
fn line_part(indent: &str, rest: &str) -> usize {
    indent.len() + rest.find([':', ' ']).unwrap_or(rest.len())
}

#[cfg(test)]
mod tests {
    use super::super::Tree;
    use super::super::tree::NodeContent;

    /// The line of the place, what is said of it, and the line that is proposed.
    fn told(text: &str) -> (usize, String, String) {
        let syntax = Tree::parse(text).unwrap_err();
        assert!(text.get(syntax.range.clone()).is_some());
        let line = text[..syntax.range.start].matches('\n').count() + 1;
        let proposed = syntax
            .hint
            .split_once("write this line as `")
            .and_then(|(_, line)| line.strip_suffix('`'));
        let proposed =
            proposed.unwrap_or_else(|| panic!("no line is proposed for {text}: {syntax:?}"));
        (line, syntax.message, proposed.to_owned())
    }

    #[test]
    fn what_was_seen_is_said_where_it_stands_with_the_line_as_it_should_be() {
        for (text, line, says, proposed) in [
            (
                "name: Juno\nbirth:\n\ton: 2026-04-01\n",
                3,
                "a tab stands at the beginning",
                "  on: 2026-04-01",
            ),
            (
                "- at: 2026-04-02 07:30\n\tmoss: 209 g\n- at: 2026-04-02 19:30\n",
                2,
                "a tab stands",
                "  moss: 209 g",
            ),
            (
                "- at: 2026-04-02 07:30\n\tmoss: 209 g\n\twren: 210 g\n",
                2,
                "a tab stands",
                "  moss: 209 g",
            ),
            (
                "name: Juno\nabout: Says: woof\nsex: male\n",
                2,
                "a colon stands inside this text",
                "about: \"Says: woof\"",
            ),
            (
                "name: Juno\nabout: Says \"woof\": often # true\n",
                2,
                "a colon stands",
                "about: 'Says \"woof\": often' # true",
            ),
            (
                "name: Juno\nsex: female\n  born: 2020-01-01\n",
                3,
                "this line begins with 2 blanks",
                "born: 2020-01-01",
            ),
            (
                "s:\n  - test: patella\n    result: 0\n   by: Vets\n",
                4,
                "begins with 3 blanks",
                "    by: Vets",
            ),
            (
                "- at: 2026-04-02 07:30\n  moss: 209 g\nat: 2026-04-02 19:30\n  moss: 220 g\n",
                3,
                "`- ` before it is missing",
                "- at: 2026-04-02 19:30",
            ),
            (
                "- at: 2026-04-02 07:30\n  moss: 209 g\n érn: 3 g\n",
                3,
                "begins with 1 blank",
                "  érn: 3 g",
            ),
            (
                "name: \"Juno\nsex: female\n",
                1,
                "a quote opens here",
                "name: \"Juno\"",
            ),
            (
                "puppies:\n  - { id: moss, sex: male\n  - { id: fern, sex: male }\n",
                2,
                "`{` opens here",
                "  - { id: moss, sex: male }",
            ),
            (
                "puppies:\n  - { id: moss, weight: 200 g sex: male }\n",
                2,
                "a comma stands between",
                "  - { id: moss, weight: 200 g, sex: male }",
            ),
            (
                "name: Juno\nsex female\nborn: 2020-01-01\n",
                2,
                "no colon stands",
                "sex: female",
            ),
            (
                "name: Juno\nsex: fe\u{feff}male\n",
                2,
                "cannot be seen",
                "sex: female",
            ),
            (
                "name: @juno\nsex: female\n",
                1,
                "such a character",
                "name: \"@juno\"",
            ),
            (
                "name: \"Juno\" the first\nsex: female\n",
                1,
                "behind the closing quote",
                "name: '\"Juno\" the first'",
            ),
        ] {
            let (at, said, line_told) = told(text);
            assert!(
                at == line && said.contains(says) && line_told == proposed,
                "{text}: line {at}, {said}: {line_told}"
            );
        }
    }

    #[test]
    fn the_proposed_line_mends_the_text() {
        let text = "- at: 2026-04-02 07:30\n  moss: 209 g\n   fern: 220 g\n";
        let (line, _, proposed) = told(text);
        let mut lines: Vec<&str> = text.lines().collect();
        lines[line - 1] = &proposed;
        let mended = lines.join("\n");
        let tree = Tree::parse(&mended).unwrap();
        assert!(
            tree.contents().any(
                |content| matches!(content, NodeContent::Scalar { text, .. } if text == "fern")
            )
        );
    }
}
