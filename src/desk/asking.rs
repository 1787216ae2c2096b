//! Whether a request may be answered at all.
//!
//! In: method, host and origin of a request, the port it came in by, and whether forms are taken
//! there. Out: yes, or why not. A
//! page from elsewhere that is open in the same browser can send requests here; it can even make
//! its own name lead to this machine (DNS rebinding). So the name must be one of this machine's
//! own, and a page from elsewhere may neither load nor frame anything.

use axum::http::header::{HOST, HeaderMap, ORIGIN};
use axum::http::{Method, Request, StatusCode};

/// Names of the loopback address.
const NAMES: [&str; 3] = ["localhost", "127.0.0.1", "[::1]"];

/// Looks at a request that came in by `port`.
pub(super) fn may_ask<B>(
    request: &Request<B>,
    port: u16,
    takes_forms: bool,
) -> Result<(), (StatusCode, &'static str)> {
    let refused = |status, why| Err((status, why));
    let mut hosts = request.headers().get_all(HOST).iter();
    let (Some(host), None) = (hosts.next(), hosts.next()) else {
        return refused(StatusCode::BAD_REQUEST, "the request names no host, or two");
    };
    let asked = request
        .uri()
        .authority()
        .map(|authority| authority.as_str().as_bytes());
    if !is_ours(host.as_bytes(), port) || asked.is_some_and(|asked| !is_ours(asked, port)) {
        return refused(
            StatusCode::FORBIDDEN,
            "this desk answers to localhost, 127.0.0.1 and [::1] only",
        );
    }
    let is_form = takes_forms && request.method() == Method::POST;
    if !is_form && ![Method::GET, Method::HEAD].contains(request.method()) {
        return refused(
            StatusCode::METHOD_NOT_ALLOWED,
            "there is nothing to do here but look",
        );
    }
    // A form of ours is sent from a page of ours, at this very port. Browsers say so with every
    // form (Fetch standard, "append a request Origin header"); who does not is no browser.
    if is_form && !is_from_here(request.headers(), port) {
        return refused(
            StatusCode::FORBIDDEN,
            "a form is taken from a page of this desk only",
        );
    }
    if is_from_elsewhere(request.headers()) {
        return refused(
            StatusCode::FORBIDDEN,
            "a page from elsewhere may not load what is shown here",
        );
    }
    Ok(())
}

fn is_ours(host: &[u8], port: u16) -> bool {
    let Ok(host) = std::str::from_utf8(host) else {
        return false;
    };
    let usual = port == 80 && NAMES.iter().any(|name| host.eq_ignore_ascii_case(name));
    usual
        || host.rsplit_once(':').is_some_and(|(name, typed)| {
            typed == port.to_string() && NAMES.iter().any(|ours| name.eq_ignore_ascii_case(ours))
        })
}

fn is_from_here(headers: &HeaderMap, port: u16) -> bool {
    let mut origins = headers.get_all(ORIGIN).iter();
    let (Some(origin), None) = (origins.next(), origins.next()) else {
        return false;
    };
    let host = origin.as_bytes().strip_prefix(b"http://");
    host.is_some_and(|host| is_ours(host, port))
}

/// Browsers say where a request comes from (Fetch Metadata, W3C). A link that somebody follows is
/// fine; a picture, script or frame in a page from elsewhere is not.
fn is_from_elsewhere(headers: &HeaderMap) -> bool {
    let says = |name: &str, word: &str| {
        headers
            .get(name)
            .is_some_and(|value| value.as_bytes() == word.as_bytes())
    };
    says("sec-fetch-site", "cross-site")
        && !(says("sec-fetch-mode", "navigate") && says("sec-fetch-dest", "document"))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn status(parts: &[(&str, &str)], method: &str, target: &str) -> u16 {
        status_where(parts, method, target, false)
    }

    fn status_where(parts: &[(&str, &str)], method: &str, target: &str, takes_forms: bool) -> u16 {
        let mut request = Request::builder().method(method).uri(target);
        for (name, value) in parts {
            request = request.header(*name, *value);
        }
        may_ask(&request.body(()).unwrap(), 6300, takes_forms)
            .map_or_else(|(status, _)| status.as_u16(), |()| 200)
    }

    #[test]
    fn only_names_of_this_machine_with_the_right_port_are_answered() {
        for host in [
            "localhost:6300",
            "127.0.0.1:6300",
            "[::1]:6300",
            "LocalHost:6300",
        ] {
            assert_eq!(status(&[("host", host)], "GET", "/"), 200, "{host}");
        }
        for host in [
            "localhost",
            "localhost:6301",
            "localhost:06300",
            "127.0.0.1",
            "::1:6300",
            "0.0.0.0:6300",
            "127.0.0.2:6300",
            "kennel.example",
            "kennel.example:6300",
            "localhost.kennel.example:6300",
            "localhost:6300.kennel.example",
            "localhost:6300@kennel.example",
            "kennel.example@localhost:6300",
            " localhost:6300 x",
            "",
        ] {
            assert_eq!(status(&[("host", host)], "GET", "/"), 403, "{host}");
        }
        assert_eq!(status(&[], "GET", "/"), 400);
        assert_eq!(
            status(
                &[("host", "localhost:6300"), ("host", "localhost:6300")],
                "GET",
                "/"
            ),
            400
        );
        assert_eq!(
            status(
                &[("host", "localhost:6300")],
                "GET",
                "http://kennel.example/"
            ),
            403
        );
        assert_eq!(
            status(
                &[("host", "kennel.example")],
                "GET",
                "http://localhost:6300/"
            ),
            403
        );
        assert_eq!(
            status(
                &[("host", "localhost:6300")],
                "GET",
                "http://localhost:6300/"
            ),
            200
        );
    }

    #[test]
    fn nothing_can_be_done_but_look() {
        for method in ["POST", "PUT", "DELETE", "PATCH", "OPTIONS", "TRACE", "BREW"] {
            assert_eq!(
                status(&[("host", "localhost:6300")], method, "/"),
                405,
                "{method}"
            );
        }
        assert_eq!(status(&[("host", "localhost:6300")], "HEAD", "/"), 200);
    }

    #[test]
    fn a_page_from_elsewhere_may_link_here_and_no_more() {
        let from = |site, mode, dest| {
            let headers = [
                ("host", "localhost:6300"),
                ("sec-fetch-site", site),
                ("sec-fetch-mode", mode),
                ("sec-fetch-dest", dest),
            ];
            status(&headers, "GET", "/")
        };
        assert_eq!(from("cross-site", "no-cors", "image"), 403);
        assert_eq!(from("cross-site", "no-cors", "script"), 403);
        assert_eq!(from("cross-site", "navigate", "iframe"), 403);
        assert_eq!(from("cross-site", "navigate", "document"), 200);
        assert_eq!(from("same-origin", "cors", "empty"), 200);
        assert_eq!(from("none", "navigate", "document"), 200);
    }

    #[test]
    fn a_form_is_taken_from_a_page_of_the_same_port_only() {
        let host = ("host", "localhost:6300");
        let from = |origin| status_where(&[host, ("origin", origin)], "POST", "/", true);
        assert_eq!(from("http://localhost:6300"), 200);
        assert_eq!(from("http://127.0.0.1:6300"), 200);
        for origin in [
            "http://localhost:6301",
            "https://localhost:6300",
            "http://kennel.example",
            "http://kennel.example:6300",
            "http://localhost:6300.kennel.example",
            "null",
            "",
        ] {
            assert_eq!(from(origin), 403, "{origin}");
        }
        assert_eq!(status_where(&[host], "POST", "/", true), 403);
        let twice = [
            host,
            ("origin", "http://localhost:6300"),
            ("origin", "http://localhost:6300"),
        ];
        assert_eq!(status_where(&twice, "POST", "/", true), 403);
        assert_eq!(status_where(&twice, "PUT", "/", true), 405);
    }
}
