//! Markdown of notes and pages to HTML that can do no harm.
//!
//! In: Markdown, which may contain HTML. Out: HTML of a short list of tags, without scripts,
//! styles, forms, frames or pictures: a picture from another host would tell that host
//! who reads the page. Headings are moved down below the heading of the page.

use ammonia::Builder;
use pulldown_cmark::{CowStr, Event, HeadingLevel, Options, Parser, Tag, TagEnd, html};
use std::collections::BTreeSet;
use std::sync::LazyLock;

/// Tags that may stay. Headings begin at `h2`, so that a page has one `h1`.
const TAGS: &[&str] = &[
    "a",
    "abbr",
    "b",
    "blockquote",
    "br",
    "caption",
    "cite",
    "code",
    "dd",
    "del",
    "details",
    "dfn",
    "dl",
    "dt",
    "em",
    "h2",
    "h3",
    "h4",
    "h5",
    "h6",
    "hr",
    "i",
    "ins",
    "kbd",
    "li",
    "mark",
    "ol",
    "p",
    "pre",
    "q",
    "s",
    "small",
    "strong",
    "sub",
    "summary",
    "sup",
    "table",
    "tbody",
    "td",
    "tfoot",
    "th",
    "thead",
    "tr",
    "u",
    "ul",
    "var",
];

static CLEANER: LazyLock<Builder<'static>> = LazyLock::new(|| {
    let mut builder = Builder::empty();
    builder
        .tags(TAGS.iter().copied().collect())
        .clean_content_tags(
            [
                "script", "style", "iframe", "object", "template", "noscript", "svg", "math",
            ]
            .into_iter()
            .collect(),
        )
        .add_tag_attributes("a", ["href", "title"])
        .add_tag_attributes("ol", ["start"])
        .add_tag_attributes("abbr", ["title"])
        .url_schemes(["https", "http", "mailto", "tel"].into_iter().collect())
        .url_relative(ammonia::UrlRelative::Deny)
        .link_rel(Some("noopener noreferrer"))
        .strip_comments(true);
    builder
});

/// Markdown as safe HTML; its highest headings become `h{level}`, 2 to 6, and those below follow
/// without a gap.
pub(super) fn to_html(text: &str, level: u8) -> String {
    let options =
        Options::ENABLE_TABLES | Options::ENABLE_STRIKETHROUGH | Options::ENABLE_SMART_PUNCTUATION;
    let used: BTreeSet<u8> = Parser::new_ext(text, options)
        .filter_map(|event| {
            if let Event::Start(Tag::Heading { level, .. }) = event {
                Some(level as u8)
            } else {
                None
            }
        })
        .collect();
    let lower = |from: HeadingLevel| place_of(used.range(..from as u8).count(), level);
    let mut skipped_picture = 0_u32;
    let events = Parser::new_ext(text, options).filter_map(|event| match event {
        Event::Start(Tag::Heading { level, .. }) => Some(Event::Start(Tag::Heading {
            level: lower(level),
            id: None,
            classes: Vec::new(),
            attrs: Vec::new(),
        })),
        Event::End(TagEnd::Heading(level)) => Some(Event::End(TagEnd::Heading(lower(level)))),
        // A picture leaves its words behind.
        Event::Start(Tag::Image { .. }) => {
            skipped_picture += 1;
            None
        }
        Event::End(TagEnd::Image) => {
            skipped_picture = skipped_picture.saturating_sub(1);
            None
        }
        Event::SoftBreak if skipped_picture > 0 => Some(Event::Text(CowStr::Borrowed(" "))),
        other => Some(other),
    });
    let mut out = String::new();
    html::push_html(&mut out, events);
    CLEANER.clean(&out).to_string()
}

/// The heading of the `rank`-th level that a text uses, counted from `first`.
fn place_of(rank: usize, first: u8) -> HeadingLevel {
    match usize::from(first.clamp(2, 6)) + rank {
        2 => HeadingLevel::H2,
        3 => HeadingLevel::H3,
        4 => HeadingLevel::H4,
        5 => HeadingLevel::H5,
        _ => HeadingLevel::H6,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn headings_go_below_the_page() {
        assert_eq!(to_html("# A\n\n## B", 3), "<h3>A</h3>\n<h4>B</h4>\n");
        assert_eq!(
            to_html("## A\n\n#### B\n\n## C", 2),
            "<h2>A</h2>\n<h3>B</h3>\n<h2>C</h2>\n",
            "no level is skipped"
        );
    }

    #[test]
    fn nothing_that_runs_loads_or_frames_survives() {
        let text = "<script>alert(1)</script><style>p{}</style><img src=https://spy.example/x.png \
            alt=x onerror=alert(1)>\n\n![words](https://spy.example/y.png)\n\n\
            [a](javascript:alert(1)) \
                    <a href=\"https://ok.example\" onclick=\"x()\">ok</a> <iframe \
                    src=//x></iframe><form><input></form><h1>one</h1> <p style=\"color:red\" \
                    class=x id=y>z</p> <svg onload=alert(1)></svg>";
        let html = to_html(text, 2);
        for bad in [
            "script",
            "style",
            "img",
            "spy",
            "onerror",
            "onclick",
            "javascript",
            "iframe",
            "form",
            "input",
            "<h1",
            "class",
            "id=",
            "svg",
            "alert",
        ] {
            assert!(!html.contains(bad), "{bad} in {html}");
        }
        assert!(
            html.contains("words") && html.contains("href=\"https://ok.example\""),
            "{html}"
        );
    }
}
