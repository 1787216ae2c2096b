//! Problems for people and for programs.
//!
//! In: located problems and their texts. Out: text with the line, the place and the hint, drawn by annotate-snippets; or JSON, one object with all problems. Control
//! characters and direction marks of a keeper's text never reach the terminal.

use super::problem::{Located, Severity};
use super::source::Sources;
use crate::quantity::Text;
use annotate_snippets::{AnnotationKind, Group, Level, Origin, Renderer, Snippet};
use serde_json::{Value, json};

/// All problems as text for a terminal of `width` columns, with colours if asked for. `folder` stands before each file name.
#[must_use]
pub fn for_people(problems: &[Located], sources: &Sources, folder: &str, width: usize, colours: bool) -> String {
    let renderer = if colours { Renderer::styled() } else { Renderer::plain() };
    let renderer = renderer.term_width(width);
    let mut out = String::new();
    for located in problems {
        out.push_str(&renderer.render(&[group(located, sources, folder)]));
        out.push_str("\n\n");
    }
    out
}

fn group<'a>(located: &'a Located, sources: &'a Sources, folder: &str) -> Group<'a> {
    let problem = &located.problem;
    let level = if problem.severity == Severity::Error { Level::ERROR } else { Level::WARNING };
    let file = format!("{folder}/{}", harmless(&problem.place.file));
    let title = level.primary_title(harmless(&problem.message)).id(problem.code);
    let group = match sources.text(&problem.place.file).filter(|_| located.range.end > 0) {
        Some(text) => {
            let (source, first_line, offset) = excerpt(text, located);
            let shift = |range: &std::ops::Range<usize>| range.start - offset..range.end - offset;
            let end = |range: &std::ops::Range<usize>| offset + source.len() >= range.end && range.start >= offset;
            let labels: Vec<_> = located
                .labels
                .iter()
                .filter(|(place, range, _)| place.file == problem.place.file && range.end > 0 && end(range))
                .map(|(_, range, word)| AnnotationKind::Context.span(shift(range)).label(harmless(word)))
                .collect();
            let primary = shift(&located.range);
            let primary = primary.start.min(source.len())..primary.end.min(source.len());
            title.element(Snippet::source(source).line_start(first_line).path(file).annotation(AnnotationKind::Primary.span(primary)).annotations(labels))
        }
        None => title.element(Origin::path(file)),
    };
    let elsewhere = located.labels.iter().filter(|(place, ..)| place.file != problem.place.file).map(|(place, range, word)| {
        let (line, _) = sources.line_and_column(&place.file, range.start);
        Level::NOTE.message(format!("{word}: {folder}/{}:{line}", place.file))
    });
    group.elements(elsewhere).element(Level::HELP.message(harmless(&problem.hint)))
}

/// The lines that the problem and its labels stand in, so that a long file is not drawn through for each problem.
fn excerpt(text: &str, located: &Located) -> (String, usize, usize) {
    let near = located.labels.iter().filter(|(place, ..)| place.file == located.problem.place.file).map(|(_, range, _)| range);
    let first = near.clone().map(|r| r.start).chain([located.range.start]).min().unwrap_or(0).min(text.len());
    let last = near.map(|r| r.end).chain([located.range.end]).max().unwrap_or(0).min(text.len());
    let begin = text[..first].rfind('\n').map_or(0, |i| i + 1);
    let end = text[last..].find('\n').map_or(text.len(), |i| last + i);
    let line = text[..begin].bytes().filter(|b| *b == b'\n').count() + 1;
    (same_length(&text[begin..end]), line, begin)
}

/// Replaces hidden characters without moving a byte.
fn same_length(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        if Text::forbids(c) { out.extend(std::iter::repeat_n('?', c.len_utf8())) } else { out.push(c) }
    }
    out
}

fn harmless(text: &str) -> String {
    text.chars().map(|c| if Text::forbids(c) { '\u{fffd}' } else { c }).collect()
}

/// All problems as JSON: `{"problems": [{"code", "severity", "file", "line", "column", "message", "hint", "related"}], "errors", "warnings"}`.
#[must_use]
pub fn for_programs(problems: &[Located], sources: &Sources) -> Value {
    let count = |severity| problems.iter().filter(|p| p.problem.severity == severity).count();
    let list: Vec<Value> = problems
        .iter()
        .map(|l| {
            let related: Vec<Value> = l
                .labels
                .iter()
                .map(|(place, range, word)| {
                    let (line, column) = sources.line_and_column(&place.file, range.start);
                    json!({ "file": place.file, "line": line, "column": column, "message": word })
                })
                .collect();
            let p = &l.problem;
            json!({
                "code": p.code, "severity": p.severity.name(), "file": p.place.file, "line": l.line, "column": l.column,
                "message": p.message, "hint": p.hint, "related": related,
            })
        })
        .collect();
    json!({ "problems": list, "errors": count(Severity::Error), "warnings": count(Severity::Warning) })
}
