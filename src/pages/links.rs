//! Addresses written into pages.
//!
//! In: paths and texts. Out: complete addresses with everything escaped that must be.

use std::fmt::Write;

/// A `mailto:` address with a subject and the beginning of a letter (RFC 6068).
pub(super) fn mail(to: &str, subject: Option<&str>, body: Option<&str>) -> String {
    let mut link = format!("mailto:{}", percent(to, b"@.-_+!~"));
    let fields = [("subject", subject), ("body", body)]
        .into_iter()
        .filter_map(|(name, text)| Some((name, text.filter(|text| !text.is_empty())?)));
    for (n, (name, text)) in fields.enumerate() {
        let _ = write!(
            link,
            "{}{name}={}",
            if n == 0 { '?' } else { '&' },
            percent(text, b"-._~")
        );
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
    site.map(|site| {
        if path == "index.html" {
            site.to_owned()
        } else {
            format!("{site}{path}")
        }
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_mail_link_is_escaped_as_rfc_6068_asks() {
        assert_eq!(
            mail("a@b.example", Some("Wren & Moss? (Summer)"), None),
            "mailto:a@b.example?subject=Wren%20%26%20Moss%3F%20%28Summer%29"
        );
        assert_eq!(
            mail("o'neill@b.example", None, Some("")),
            "mailto:o%27neill@b.example"
        );
        assert_eq!(
            mail("a@b.example", Some("Wren"), Some("Who?\r\n\r\n")),
            "mailto:a@b.example?subject=Wren&body=Who%3F%0D%0A%0D%0A"
        );
    }

    #[test]
    fn roots_and_addresses() {
        assert_eq!(root_of("litters/a/b.html"), "../../");
        assert_eq!(
            absolute(Some("https://x.example/k/"), "index.html").as_deref(),
            Some("https://x.example/k/")
        );
    }
}
