//! Who is let in: the browser that was opened with a secret, and nobody else on this machine.
//!
//! In: secrets as the caller draws them, and requests. Out: whether a request is the keeper's.
//! Every user of a machine reaches its loopback address, so that the address alone shows
//! nobody's book. A secret stands in the link that the keeper is shown; the first browser that
//! opens the link gets a cookie (RFC 6265) in exchange, and the link is used up: whoever
//! reads it afterwards, in a history or in a list of processes, has nothing. The cookie is out of
//! reach of scripts (`HttpOnly`), and no page from elsewhere can make a browser send it
//! (`SameSite=Strict`, RFC 6265bis). Both addresses share it: a browser keeps cookies by the name
//! of a machine, not by its port.
//!
//! Never: a secret compared letter by letter, which would take longer the more of it is right.

use axum::http::header::{COOKIE, HeaderMap};
use std::fmt;
use std::sync::{Mutex, PoisonError};

/// What the path of a link begins with; the secret follows.
const OPEN: &str = "/-desk/open/";

/// Draws a secret of letters and digits; nothing when the system gives no random bytes.
pub(crate) type DrawSecret = dyn Fn() -> Option<String> + Send + Sync;

/// The way in.
pub(crate) struct Gate {
    /// Named after the desk's port, so that two desks do not take each other's.
    name: String,
    cookie: blake3::Hash,
    /// As it is sent.
    sent: String,
    /// The secret of the link that was not used yet.
    waiting: Mutex<Option<String>>,
    draw: Box<DrawSecret>,
    /// Told the new link, once one was used.
    tell: Box<dyn Fn(&str) + Send + Sync>,
}

/// Never a secret.
impl fmt::Debug for Gate {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("Gate(…)")
    }
}

/// What a request may have.
#[derive(Debug, PartialEq, Eq)]
pub(super) enum Admission {
    /// It is the keeper's.
    In,
    /// It brought the secret: the cookie to give it, as a header.
    Welcome(String),
    /// It brought a link, and is the keeper's already.
    InByLink,
    /// It is somebody's.
    Out,
}

impl Gate {
    /// A gate for the desk at this port; nothing when there are no random bytes. `tell` is told
    /// each further link.
    #[must_use]
    pub(crate) fn new(
        port: u16,
        draw: Box<DrawSecret>,
        tell: Box<dyn Fn(&str) + Send + Sync>,
    ) -> Option<Self> {
        let (cookie, waiting) = (draw()?, draw()?);
        Some(Self {
            name: format!("litterfolio-desk-{port}"),
            cookie: blake3::hash(cookie.as_bytes()),
            sent: cookie,
            waiting: Mutex::new(Some(waiting)),
            draw,
            tell,
        })
    }

    /// The path that opens the desk, once.
    #[must_use]
    pub(crate) fn path(&self) -> String {
        let waiting = self.waiting.lock().unwrap_or_else(PoisonError::into_inner);
        format!("{OPEN}{}", waiting.as_deref().unwrap_or_default())
    }

    /// Whether a request is let in. Only one that asks for a page (`may_use`) uses a link up.
    pub(super) fn way(&self, path: &str, headers: &HeaderMap, may_use: bool) -> Admission {
        let link = path.strip_prefix(OPEN);
        if self.has_cookie(headers) {
            return if link.is_some() {
                Admission::InByLink
            } else {
                Admission::In
            };
        }
        let Some(secret) = link.filter(|_| may_use) else {
            return Admission::Out;
        };
        {
            let mut waiting = self.waiting.lock().unwrap_or_else(PoisonError::into_inner);
            let is_it = waiting.as_ref().is_some_and(|waiting| {
                blake3::hash(waiting.as_bytes()) == blake3::hash(secret.as_bytes())
            });
            if !is_it {
                return Admission::Out;
            }
            *waiting = (self.draw)();
        }
        (self.tell)(&self.path());
        Admission::Welcome(format!(
            "{}={}; Path=/; HttpOnly; SameSite=Strict",
            self.name, self.sent
        ))
    }

    /// What every form of ours carries: it comes from the cookie, which no other page can read, and
    /// says nothing of it.
    pub(super) fn token(&self) -> String {
        let key = blake3::derive_key("litterfolio desk: token of forms", self.sent.as_bytes());
        blake3::hash(&key).to_hex()[..32].to_owned()
    }

    /// Whether this is the token of our forms.
    pub(super) fn is_token(&self, token: &str) -> bool {
        blake3::hash(token.as_bytes()) == blake3::hash(self.token().as_bytes())
    }

    fn has_cookie(&self, headers: &HeaderMap) -> bool {
        let pairs = headers
            .get_all(COOKIE)
            .iter()
            .filter_map(|value| value.to_str().ok())
            .flat_map(|value| value.split(';'));
        let mut values = pairs.filter_map(|pair| {
            pair.trim()
                .strip_prefix(self.name.as_str())?
                .strip_prefix('=')
        });
        values.any(|value| blake3::hash(value.as_bytes()) == self.cookie)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use axum::http::header::HeaderValue;
    use std::sync::Arc;
    use std::sync::atomic::{AtomicUsize, Ordering};

    fn gate() -> (Gate, Arc<Mutex<Vec<String>>>) {
        let (told, drawn) = (Arc::new(Mutex::new(Vec::new())), AtomicUsize::new(0));
        let of_gate = Arc::clone(&told);
        let draw =
            Box::new(move || Some(format!("secret{}", drawn.fetch_add(1, Ordering::Relaxed))));
        let gate = Gate::new(
            6300,
            draw,
            Box::new(move |path| of_gate.lock().unwrap().push(path.to_owned())),
        )
        .unwrap();
        (gate, told)
    }

    fn with(cookie: &str) -> HeaderMap {
        let mut headers = HeaderMap::new();
        headers.insert(COOKIE, HeaderValue::from_str(cookie).unwrap());
        headers
    }

    #[test]
    fn a_link_opens_once_and_its_cookie_opens_from_then_on() {
        let (gate, told) = gate();
        let (link, nothing) = (gate.path(), HeaderMap::new());
        assert_eq!(link, "/-desk/open/secret1");
        assert_eq!(gate.way("/", &nothing, true), Admission::Out);
        assert_eq!(
            gate.way(&link, &nothing, false),
            Admission::Out,
            "who only asks whether it is there does not use it up"
        );
        assert_eq!(
            gate.way(&link, &nothing, true),
            Admission::Welcome(
                "litterfolio-desk-6300=secret0; Path=/; HttpOnly; SameSite=Strict".to_owned()
            )
        );
        assert_eq!(gate.way(&link, &nothing, true), Admission::Out);
        assert_eq!(
            gate.way("/", &with("a=b; litterfolio-desk-6300=secret0"), true),
            Admission::In
        );
        assert_eq!(
            gate.way(&link, &with("litterfolio-desk-6300=secret0"), true),
            Admission::InByLink
        );
        assert_eq!(*told.lock().unwrap(), ["/-desk/open/secret2"]);
        assert!(matches!(
            gate.way("/-desk/open/secret2", &nothing, true),
            Admission::Welcome(_)
        ));
    }

    #[test]
    fn nothing_else_opens() {
        let (gate, _) = gate();
        for cookie in [
            "litterfolio-desk-6300=",
            "litterfolio-desk-6300=secret",
            "litterfolio-desk-6301=secret0",
            "secret0",
            "=secret0",
            ";",
        ] {
            assert_eq!(
                gate.way("/", &with(cookie), true),
                Admission::Out,
                "{cookie}"
            );
        }
        for path in [
            "/-desk/open/",
            "/-desk/open",
            "/-desk/open/secret0",
            "/-desk/open/secret1/",
            "/-desk/open/Secret1",
            "/-desk/changes",
        ] {
            assert_eq!(
                gate.way(path, &HeaderMap::new(), true),
                Admission::Out,
                "{path}"
            );
        }
        let nobody = Gate::new(6300, Box::new(|| None), Box::new(|_| {}));
        assert!(nobody.is_none());
    }
}
