//! The feed of public notes (RFC 4287), the sitemap and `robots.txt`.
//!
//! In: the visitor's views. Out: XML and text. Ids of entries are made from the kennel's name and
//! the note's place, so that they stay the same when the site moves.

use super::engine::PageError;
use super::links::absolute;
use super::markdown;
use crate::audience::visitor::{Frame, NoteShown};
use atom_syndication::{Content, Entry, Feed, FixedDateTime, Link, Person, Text, WriteConfig};
use std::fmt::Write;

/// `news.atom`.
pub(super) fn atom(frame: &Frame, notes: &[NoteShown]) -> Result<Vec<u8>, PageError> {
    let site = frame.site.as_deref();
    let link = |rel: &str, path: &str, mime: &str| Link {
        rel: rel.to_owned(),
        href: absolute(site, path).unwrap_or_else(|| path.to_owned()),
        mime_type: Some(mime.to_owned()),
        ..Link::default()
    };
    let newest = notes
        .first()
        .map_or(frame.today.iso.as_str(), |n| n.date.iso.as_str());
    let mut entries = Vec::with_capacity(notes.len());
    for note in notes {
        let target = format!("{}#{}", note.path, note.anchor);
        entries.push(Entry {
            id: name(frame, &target),
            title: Text::plain(format!("{} ({})", note.title, note.litter)),
            updated: noon(&note.date.iso)?,
            published: Some(noon(&note.date.iso)?),
            links: vec![link("alternate", &target, "text/html")],
            content: Some(Content {
                value: Some(markdown::to_html(&note.text, 2)),
                content_type: Some("html".to_owned()),
                ..Content::default()
            }),
            ..Entry::default()
        });
    }
    let feed = Feed {
        id: name(frame, "feed"),
        title: Text::plain(format!("News from {}", frame.kennel)),
        updated: noon(newest)?,
        authors: vec![Person {
            name: frame.keeper.clone(),
            ..Person::default()
        }],
        links: vec![
            link("alternate", "index.html", "text/html"),
            link("self", "news.atom", "application/atom+xml"),
        ],
        lang: Some("en".to_owned()),
        entries,
        ..Feed::default()
    };
    let out = feed.write_with_config(
        Vec::new(),
        WriteConfig {
            write_document_declaration: true,
            indent_size: Some(1),
        },
    );
    out.map_err(|error| PageError::Feed(error.to_string()))
}

/// A note knows its day; noon in UTC is that day almost everywhere.
fn noon(iso: &str) -> Result<FixedDateTime, PageError> {
    format!("{iso}T12:00:00Z")
        .parse()
        .map_err(|_| PageError::Feed(format!("{iso} is no date")))
}

/// A `urn:uuid` of version 8 (RFC 9562), made from the kennel's name and the place.
fn name(frame: &Frame, place: &str) -> String {
    let mut bytes = [0_u8; 16];
    bytes.copy_from_slice(
        &blake3::hash(format!("{}\n{place}", frame.kennel).as_bytes()).as_bytes()[..16],
    );
    bytes[6] = bytes[6] & 0x0f | 0x80;
    bytes[8] = bytes[8] & 0x3f | 0x80;
    let hex = bytes.iter().fold(String::new(), |mut out, b| {
        let _ = write!(out, "{b:02x}");
        out
    });
    format!(
        "urn:uuid:{}-{}-{}-{}-{}",
        &hex[..8],
        &hex[8..12],
        &hex[12..16],
        &hex[16..20],
        &hex[20..]
    )
}

/// `sitemap.xml` of all pages, when the address of the site is known.
pub(super) fn sitemap(frame: &Frame, paths: &[String]) -> Option<Vec<u8>> {
    let site = frame.site.as_deref()?;
    let mut out = String::from(
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<urlset \
         xmlns=\"http://www.sitemaps.org/schemas/sitemap/0.9\">\n",
    );
    for path in paths {
        let _ = writeln!(
            out,
            "<url><loc>{}</loc></url>",
            absolute(Some(site), path).unwrap_or_default()
        );
    }
    out.push_str("</urlset>\n");
    Some(out.into_bytes())
}

/// `robots.txt`: everybody may read, and the sitemap is there.
pub(super) fn robots(frame: &Frame) -> Vec<u8> {
    let sitemap = frame
        .site
        .as_deref()
        .map(|site| format!("Sitemap: {site}sitemap.xml\n"))
        .unwrap_or_default();
    format!("User-agent: *\nAllow: /\n{sitemap}").into_bytes()
}
