//! Problems for people and for programs.
//!
//! In: located problems and their texts. Out: text with the line, the place and the hint, drawn by
//! annotate-snippets; or JSON, one object with all problems. Control characters and direction marks
//! of a keeper's text never reach the terminal.

use super::problem::{Located, Severity};
use super::source::Sources;
use super::stretch::Stretch;
use crate::quantity::Text;
use annotate_snippets::{AnnotationKind, Group, Level, Origin, Renderer, Snippet};
use serde_json::{Value, json};
use textwrap::WordSplitter;

/// All problems as text for a terminal of `width` columns, with colours if asked for. `folder`
/// stands before each file name, unless it is empty: then a name is no file of the kennel.
#[must_use]
pub fn for_people(
    problems: &[Located],
    sources: &Sources,
    folder: &str,
    width: usize,
    colours: bool,
) -> String {
    let renderer = if colours {
        Renderer::styled()
    } else {
        Renderer::plain()
    };
    let renderer = renderer.term_width(width);
    let mut out = String::new();
    for located in problems {
        out.push_str(&renderer.render(&[group(located, sources, folder, width)]));
        out.push_str("\n\n");
    }
    out
}

/// A file as it is shown. One beside the content folder begins with `../`; one that was typed on
/// the command line begins with `./` and is shown as it was typed.
fn shown_file(file: &str, folder: &str) -> String {
    if let Some(typed) = file.strip_prefix("./") {
        return typed.to_owned();
    }
    match file.strip_prefix("../") {
        Some(beside) => folder.rsplit_once('/').map_or_else(
            || beside.to_owned(),
            |(around, _)| format!("{around}/{beside}"),
        ),
        None if folder.is_empty() => file.to_owned(),
        None => format!("{folder}/{file}"),
    }
}

fn group<'a>(located: &'a Located, sources: &'a Sources, folder: &str, width: usize) -> Group<'a> {
    let problem = &located.problem;
    let level = if problem.severity == Severity::Error {
        Level::ERROR
    } else {
        Level::WARNING
    };
    let file = harmless(&problem.place.file);
    let file = shown_file(&file, folder);
    let beside = problem.severity.name().len() + "[]: ".len() + problem.code.len();
    let title = level
        .primary_title(wrapped(&problem.message, width.saturating_sub(beside)))
        .id(problem.code);
    let group = match sources
        .text(&problem.place.file)
        .filter(|_| !located.range.is_whole_file())
    {
        Some(text) => {
            let (source, first_line, offset) = excerpt(text, located);
            let shift = |part: Stretch| part.start() - offset..part.end() - offset;
            let end = |part: Stretch| offset + source.len() >= part.end() && part.start() >= offset;
            let labels: Vec<_> = located
                .labels
                .iter()
                .filter(|(place, range, _)| {
                    place.file == problem.place.file && !range.is_whole_file() && end(*range)
                })
                .map(|(_, range, word)| {
                    AnnotationKind::Context
                        .span(shift(*range))
                        .label(harmless(word))
                })
                .collect();
            let primary = shift(located.range);
            title.element(
                Snippet::source(source)
                    .line_start(first_line)
                    .path(file)
                    .annotation(AnnotationKind::Primary.span(primary))
                    .annotations(labels),
            )
        }
        None => title.element(Origin::path(file)),
    };
    let elsewhere = located
        .labels
        .iter()
        .filter(|(place, ..)| place.file != problem.place.file)
        .map(|(place, range, word)| {
            let (line, _) = sources.line_and_column(&place.file, range.start());
            Level::NOTE.message(harmless(&format!(
                "{word}: {}:{line}",
                shown_file(&place.file, folder)
            )))
        });
    // Before the hint stand the line numbers' margin and ` = help: `.
    let beside = (sources.line_and_column(&problem.place.file, usize::MAX).0)
        .to_string()
        .len()
        + " = help: ".len();
    group
        .elements(elsewhere)
        .element(Level::HELP.message(wrapped(&problem.hint, width.saturating_sub(beside))))
}

/// A text in lines of at most `width` columns; a word longer than a line is broken where the line
/// ends. What a keeper wrote may be of any length: beyond a
/// few lines it says nothing more.
fn wrapped(text: &str, width: usize) -> String {
    const MOST: usize = 600;
    let mut text = harmless(text);
    if let Some((end, _)) = text.char_indices().nth(MOST) {
        text.truncate(end);
        text.push('…');
    }
    textwrap::fill(
        &text,
        textwrap::Options::new(width.max(2)).word_splitter(WordSplitter::NoHyphenation),
    )
}

/// The lines that the problem and its labels stand in, so that a long file is not drawn through for
/// each problem.
fn excerpt(text: &str, located: &Located) -> (String, usize, usize) {
    let near = located
        .labels
        .iter()
        .filter(|(place, ..)| place.file == located.problem.place.file)
        .map(|(_, range, _)| range);
    let first = near
        .clone()
        .map(|part| part.start())
        .chain([located.range.start()])
        .min()
        .unwrap_or(0);
    let last = near
        .map(|part| part.end())
        .chain([located.range.end()])
        .max()
        .unwrap_or(0);
    let begin = text[..first].rfind('\n').map_or(0, |i| i + 1);
    let end = text[last..].find('\n').map_or(text.len(), |i| last + i);
    let line = text[..begin].bytes().filter(|b| *b == b'\n').count() + 1;
    (same_length(&text[begin..end]), line, begin)
}

/// Replaces hidden characters without moving a byte. The carriage return of a line end is left out
/// of sight by the renderer; any other would begin the line anew.
fn same_length(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let mut rest = text.chars().peekable();
    while let Some(c) = rest.next() {
        let line_end =
            c == '\n' || c == '\t' || (c == '\r' && rest.peek().is_none_or(|next| *next == '\n'));
        if hides(c) && !line_end {
            out.extend(std::iter::repeat_n('?', c.len_utf8()));
        } else {
            out.push(c);
        }
    }
    out
}

/// On one line, without a character that could make a terminal show something else.
#[must_use]
pub fn harmless(text: &str) -> String {
    text.chars()
        .map(|c| if hides(c) { '\u{fffd}' } else { c })
        .collect()
}

/// Beyond what no record may hold: whatever ends a line, and marks and separators that some
/// terminals obey.
fn hides(c: char) -> bool {
    Text::forbids(c) || c.is_control() || matches!(c, '\u{61c}' | '\u{2028}' | '\u{2029}')
}

/// All problems as JSON: `{"problems": [{"code", "severity", "file", "line", "column", "message",
/// "hint", "related"}], "errors", "warnings"}`.
#[must_use]
pub fn for_programs(problems: &[Located], sources: &Sources) -> Value {
    let count = |severity| {
        problems
            .iter()
            .filter(|p| p.problem.severity == severity)
            .count()
    };
    let list: Vec<Value> = problems
        .iter()
        .map(|l| {
            let related: Vec<Value> = l
                .labels
                .iter()
                .map(|(place, range, word)| {
                    let (line, column) = sources.line_and_column(&place.file, range.start());
                    json!({ "file": place.file, "line": line, "column": column, "message": word })
                })
                .collect();
            let p = &l.problem;
            json!({
                "code": p.code, "severity": p.severity.name(), "file": p.place.file,
                "line": l.line, "column": l.column,
                "message": p.message, "hint": p.hint, "related": related,
            })
        })
        .collect();
    json!({
        "problems": list,
        "errors": count(Severity::Error),
        "warnings": count(Severity::Warning),
    })
}
