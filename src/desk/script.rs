//! The line of script that reloads a page when something changed.
//!
//! In: a page as it stands on the disk. Out: the page with one line more before its end. A page
//! that says itself what may run in it (Content-Security-Policy) leaves as it is: a sealed page
//! must be seen exactly as its family gets it.

use std::borrow::Cow;

/// Where changes are told.
pub(super) const CHANGES: &str = "/-desk/changes";
/// Where the script stands.
pub(super) const SCRIPT: &str = "/-desk/reload.js";

/// A page that is not looked at holds no connection open: browsers allow six to one address, over
/// all tabs.
pub(super) const RELOAD: &str = "\
// Loads the page again when something else is to be seen.
(() => {
  const made = document.currentScript.dataset.made;
  let changes = null;
  const listen = () => {
    if (document.visibilityState === 'hidden') {
      changes?.close();
      changes = null;
    } else if (!changes) {
      changes = new EventSource('/-desk/changes');
      changes.addEventListener('made', (event) => {
        if (event.data === made) return;
        changes.close();
        location.reload();
      });
    }
  };
  document.addEventListener('visibilitychange', listen);
  listen();
})();
";

/// Puts the line into a page that was made at `made`.
pub(super) fn with_reload<'a>(page: &'a [u8], made: &str) -> Cow<'a, [u8]> {
    if governs_itself(page) {
        return Cow::Borrowed(page);
    }
    let line = format!("<script src=\"{SCRIPT}\" data-made=\"{made}\"></script>\n");
    let end = b"</body>";
    let at = page
        .windows(end.len())
        .rposition(|window| window.eq_ignore_ascii_case(end))
        .unwrap_or(page.len());
    Cow::Owned([&page[..at], line.as_bytes(), &page[at..]].concat())
}

/// Puts a line at the top of a page, behind the link that skips what is there.
pub(super) fn with_strip<'a>(page: &'a [u8], strip: &str) -> Cow<'a, [u8]> {
    if governs_itself(page) {
        return Cow::Borrowed(page);
    }
    let begin = b"<body";
    let at = page
        .windows(begin.len())
        .position(|window| window.eq_ignore_ascii_case(begin))
        .and_then(|at| Some(at + page[at..].iter().position(|byte| *byte == b'>')? + 1));
    let Some(mut at) = at else {
        return Cow::Borrowed(page);
    };
    let rest = page[at..].trim_ascii_start();
    let end = b"</a>";
    if rest.starts_with(b"<a class=\"skip\"")
        && let Some(behind) = rest.windows(end.len()).position(|window| window == end)
    {
        at = page.len() - rest.len() + behind + end.len();
    }
    Cow::Owned([&page[..at], strip.as_bytes(), &page[at..]].concat())
}

fn governs_itself(page: &[u8]) -> bool {
    let name = b"content-security-policy";
    let mut places = page
        .windows(name.len())
        .enumerate()
        .filter(|(_, window)| window.eq_ignore_ascii_case(name))
        .map(|(at, _)| at);
    places.any(|at| {
        let before = page[..at].trim_ascii_end();
        let before = before
            .strip_suffix(b"\"")
            .or_else(|| before.strip_suffix(b"'"))
            .unwrap_or(before)
            .trim_ascii_end();
        before
            .strip_suffix(b"=")
            .is_some_and(|before| ends_with(before.trim_ascii_end(), b"http-equiv"))
    })
}

fn ends_with(text: &[u8], end: &[u8]) -> bool {
    text.len() >= end.len() && text[text.len() - end.len()..].eq_ignore_ascii_case(end)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_line_stands_before_the_end_of_the_page() {
        let page = with_reload(b"<body>a</body>b</BODY></html>", "7");
        let page = std::str::from_utf8(&page).unwrap();
        assert_eq!(
            page,
            "<body>a</body>b<script src=\"/-desk/reload.js\" \
             data-made=\"7\"></script>\n</BODY></html>"
        );
        assert!(with_reload(b"no end", "7").ends_with(b"</script>\n"));
        assert!(RELOAD.contains(CHANGES));
    }

    #[test]
    fn a_page_with_a_policy_of_its_own_is_left_alone() {
        for name in [
            "http-equiv=\"Content-Security-Policy\"",
            "HTTP-EQUIV = 'content-security-policy'",
            "http-equiv=content-security-policy",
        ] {
            let page = format!("<meta {name} content=\"default-src 'none'\"><body></body>");
            assert_eq!(&*with_reload(page.as_bytes(), "7"), page.as_bytes());
        }
        let spoken_of = with_reload(
            b"<p>A Content-Security-Policy stands in each page.</p></body>",
            "7",
        );
        assert!(spoken_of.ends_with(b"</script>\n</body>"));
    }
}
