//! Who is let in: the browser that was opened with a secret, and nobody else on this machine.
//!
//! In: secrets as the caller draws them, and requests. Out: whether a request is the keeper's. Every user of a machine reaches its loopback address, so that the address alone shows
//! nobody's book. A secret stands in the link that the keeper is shown; the first browser that opens the link gets a cookie (RFC 6265) in exchange, and the link is used up: whoever
//! reads it afterwards, in a history or in a list of processes, has nothing. The cookie is out of reach of scripts (`HttpOnly`), and no page from elsewhere can make a browser send it
//! (`SameSite=Strict`, RFC 6265bis). Both addresses share it: a browser keeps cookies by the name of a machine, not by its port.
//!
//! Never: a secret compared letter by letter, which would take longer the more of it is right.

use hyper::header::{COOKIE, HeaderMap};
use std::fmt;
use std::sync::{Mutex, PoisonError};

/// What the path of a link begins with; the secret follows.
const OPEN: &str = "/-preview/open/";

/// Draws a secret of letters and digits; nothing when the system gives no random bytes.
pub type Draw = dyn Fn() -> Option<String> + Send + Sync;

/// The way in.
pub struct Gate {
    /// Named after the preview's port, so that two previews do not take each other's.
    name: String,
    cookie: blake3::Hash,
    /// As it is sent.
    sent: String,
    /// The secret of the link that was not used yet.
    waiting: Mutex<Option<String>>,
    draw: Box<Draw>,
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
pub(super) enum Way {
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
    /// A gate for the preview at this port; nothing when there are no random bytes. `tell` is told each further link.
    #[must_use]
    pub fn new(port: u16, draw: Box<Draw>, tell: Box<dyn Fn(&str) + Send + Sync>) -> Option<Self> {
        let (cookie, waiting) = (draw()?, draw()?);
        Some(Self {
            name: format!("litterfolio-preview-{port}"),
            cookie: blake3::hash(cookie.as_bytes()),
            sent: cookie,
            waiting: Mutex::new(Some(waiting)),
            draw,
            tell,
        })
    }

    /// The path that opens the preview, once.
    #[must_use]
    pub fn path(&self) -> String {
        let waiting = self.waiting.lock().unwrap_or_else(PoisonError::into_inner);
        format!("{OPEN}{}", waiting.as_deref().unwrap_or_default())
    }

    /// Whether a request is let in. Only one that asks for a page (`may_use`) uses a link up.
    pub(super) fn way(&self, path: &str, headers: &HeaderMap, may_use: bool) -> Way {
        let link = path.strip_prefix(OPEN);
        if self.has_cookie(headers) {
            return if link.is_some() { Way::InByLink } else { Way::In };
        }
        let Some(secret) = link.filter(|_| may_use) else { return Way::Out };
        {
            let mut waiting = self.waiting.lock().unwrap_or_else(PoisonError::into_inner);
            let is_it = waiting.as_ref().is_some_and(|waiting| blake3::hash(waiting.as_bytes()) == blake3::hash(secret.as_bytes()));
            if !is_it {
                return Way::Out;
            }
            *waiting = (self.draw)();
        }
        (self.tell)(&self.path());
        Way::Welcome(format!("{}={}; Path=/; HttpOnly; SameSite=Strict", self.name, self.sent))
    }

    fn has_cookie(&self, headers: &HeaderMap) -> bool {
        let pairs = headers.get_all(COOKIE).iter().filter_map(|value| value.to_str().ok()).flat_map(|value| value.split(';'));
        let mut values = pairs.filter_map(|pair| pair.trim().strip_prefix(self.name.as_str())?.strip_prefix('='));
        values.any(|value| blake3::hash(value.as_bytes()) == self.cookie)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use hyper::header::HeaderValue;
    use std::sync::Arc;
    use std::sync::atomic::{AtomicUsize, Ordering};

    fn gate() -> (Gate, Arc<Mutex<Vec<String>>>) {
        let (told, drawn) = (Arc::new(Mutex::new(Vec::new())), AtomicUsize::new(0));
        let of_gate = Arc::clone(&told);
        let draw = Box::new(move || Some(format!("secret{}", drawn.fetch_add(1, Ordering::Relaxed))));
        let gate = Gate::new(6300, draw, Box::new(move |path| of_gate.lock().unwrap().push(path.to_owned()))).unwrap();
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
        assert_eq!(link, "/-preview/open/secret1");
        assert_eq!(gate.way("/", &nothing, true), Way::Out);
        assert_eq!(gate.way(&link, &nothing, false), Way::Out, "who only asks whether it is there does not use it up");
        assert_eq!(gate.way(&link, &nothing, true), Way::Welcome("litterfolio-preview-6300=secret0; Path=/; HttpOnly; SameSite=Strict".to_owned()));
        assert_eq!(gate.way(&link, &nothing, true), Way::Out);
        assert_eq!(gate.way("/", &with("a=b; litterfolio-preview-6300=secret0"), true), Way::In);
        assert_eq!(gate.way(&link, &with("litterfolio-preview-6300=secret0"), true), Way::InByLink);
        assert_eq!(*told.lock().unwrap(), ["/-preview/open/secret2"]);
        assert!(matches!(gate.way("/-preview/open/secret2", &nothing, true), Way::Welcome(_)));
    }

    #[test]
    fn nothing_else_opens() {
        let (gate, _) = gate();
        for cookie in ["litterfolio-preview-6300=", "litterfolio-preview-6300=secret", "litterfolio-preview-6301=secret0", "secret0", "=secret0", ";"]
        {
            assert_eq!(gate.way("/", &with(cookie), true), Way::Out, "{cookie}");
        }
        for path in
            ["/-preview/open/", "/-preview/open", "/-preview/open/secret0", "/-preview/open/secret1/", "/-preview/open/Secret1", "/-preview/changes"]
        {
            assert_eq!(gate.way(path, &HeaderMap::new(), true), Way::Out, "{path}");
        }
        let nobody = Gate::new(6300, Box::new(|| None), Box::new(|_| {}));
        assert!(nobody.is_none());
    }
}
