//! What a file is, by its ending.
//!
//! In: a file name. Out: its media type (RFC 2046; names as registered with IANA), with the
//! encoding where it is text. What a site of ours can hold has its own line; anything else is
//! bytes.

use std::path::Path;

const KINDS: &[(&str, &str)] = &[
    ("atom", "application/atom+xml; charset=utf-8"), // RFC 4287
    ("avif", "image/avif"),
    ("css", "text/css; charset=utf-8"),
    ("csv", "text/csv; charset=utf-8"), // RFC 7111
    ("gif", "image/gif"),
    ("htm", HTML),
    ("html", HTML),
    ("ico", "image/vnd.microsoft.icon"),
    ("ics", "text/calendar; charset=utf-8"), // RFC 5545
    ("jpeg", "image/jpeg"),
    ("jpg", "image/jpeg"),
    ("js", "text/javascript; charset=utf-8"), // RFC 9239
    ("json", "application/json"),             // RFC 8259: always UTF-8, and no parameter
    ("mjs", "text/javascript; charset=utf-8"),
    ("pdf", "application/pdf"),
    ("png", "image/png"),
    ("svg", "image/svg+xml; charset=utf-8"),
    ("txt", "text/plain; charset=utf-8"),
    ("webmanifest", "application/manifest+json"),
    ("webp", "image/webp"),
    ("woff2", "font/woff2"), // RFC 8081
    ("xml", "application/xml; charset=utf-8"),
    ("zip", "application/zip"),
];

/// Pages.
pub(super) const HTML: &str = "text/html; charset=utf-8";

/// The media type of a file.
pub(super) fn kind(file: &Path) -> &'static str {
    let ending = file
        .extension()
        .and_then(|ending| ending.to_str())
        .unwrap_or_default()
        .to_ascii_lowercase();
    KINDS
        .iter()
        .find(|(known, _)| *known == ending)
        .map_or("application/octet-stream", |(_, kind)| kind)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn text_says_its_encoding_and_the_unknown_is_bytes() {
        assert_eq!(kind(Path::new("a/index.HTML")), HTML);
        assert_eq!(
            kind(Path::new("news.atom")),
            "application/atom+xml; charset=utf-8"
        );
        assert_eq!(kind(Path::new("a.b.jpg")), "image/jpeg");
        assert_eq!(kind(Path::new("CNAME")), "application/octet-stream");
        assert!(KINDS.is_sorted());
        for (ending, kind) in KINDS.iter().filter(|(_, kind)| kind.starts_with("text/")) {
            assert!(kind.ends_with("; charset=utf-8"), "{ending}");
        }
    }
}
