//! Addresses written into pages.
//!
//! In: paths and texts. Out: complete addresses with everything escaped that must be.

use std::fmt::Write;

/// A `mailto:` address with a subject (RFC 6068).
pub(super) fn mail(to: &str, subject: Option<&str>) -> String {
    let mut link = format!("mailto:{}", percent(to, b"@.-_+!~"));
    if let Some(subject) = subject {
        let _ = write!(link, "?subject={}", percent(subject, b"-._~"));
    }
    link
}

fn percent(text: &str, plain: &[u8]) -> String {
    text.bytes().fold(String::new(), |mut out, byte| {
        if byte.is_ascii_alphanumeric() || plain.contains(&byte) {
            out.push(char::from(byte));
        } else {
            _ = write!(out, "%{byte:02X}");
        }
        out
    })
}

/// The way from a page up to the root: `../` for each folder.
pub(super) fn root_of(path: &str) -> String {
    "../".repeat(path.matches('/').count())
}

/// The complete address of a page; the first page has the address of the site.
pub(super) fn absolute(site: Option<&str>, path: &str) -> Option<String> {
    site.map(|site| if path == "index.html" { site.to_owned() } else { format!("{site}{path}") })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_mail_link_is_escaped_as_rfc_6068_asks() {
        assert_eq!(mail("a@b.example", Some("Wren & Moss? (Summer)")), "mailto:a@b.example?subject=Wren%20%26%20Moss%3F%20%28Summer%29");
        assert_eq!(mail("o'neill@b.example", None), "mailto:o%27neill@b.example");
    }

    #[test]
    fn roots_and_addresses() {
        assert_eq!(root_of("litters/a/b.html"), "../../");
        assert_eq!(absolute(Some("https://x.example/k/"), "index.html").as_deref(), Some("https://x.example/k/"));
    }
}
