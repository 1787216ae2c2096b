//! The listener for phones, and what it answers in the clear: the page that everybody gets, the
//! number of this run, and whether something could be opened.
//!
//! In: an address of the local network. Out: answers, until the keeper ends it, the desk ends, or
//! twelve hours are over by the clock on the wall, so that a laptop that slept does not listen on.
//! There is no cookie, no form and no file here; what a phone says and hears is sealed.

use super::super::Desk;
use super::super::answer::answer;
use super::super::kinds::HTML;
use super::super::page::beside;
use super::super::server::broke_off;
use super::{Listening, PairingOffer, PhonesNow, TWELVE_HOURS, hearing, hex, network};
use crate::Error;
use crate::app::{secrets, terminal};
use axum::Router;
use axum::body::Bytes;
use axum::extract::{DefaultBodyLimit, Request, State};
use axum::http::header::{
    ACCESS_CONTROL_ALLOW_ORIGIN, CACHE_CONTROL, CONTENT_SECURITY_POLICY, HOST, HeaderName,
    HeaderValue,
};
use axum::http::{StatusCode, header};
use axum::middleware::{Next, from_fn_with_state};
use axum::response::Response;
use axum::routing::{get, post};
use hyper::server::conn::http1;
use hyper_util::rt::{TokioIo, TokioTimer};
use hyper_util::service::TowerToHyperService;
use std::collections::BTreeMap;
use std::net::{IpAddr, SocketAddr};
use std::sync::Arc;
use std::time::Duration;
use tokio::net::TcpListener;
use tokio::sync::{Notify, Semaphore};
use tower_http::catch_panic::CatchPanicLayer;

/// How long somebody may take to say what they want, and how long a connection may last.
const PATIENCE: Duration = Duration::from_secs(10);
const LONGEST: Duration = Duration::from_mins(2);
/// How many connections there may be at once.
const AT_ONCE: usize = 64;
/// How large a request may be.
const LARGEST: usize = 300_000;
/// How often it is looked whether the time is over.
const LOOK: Duration = Duration::from_secs(20);

/// The page that everybody gets: it holds nothing of the kennel.
pub(super) const PAGE: &str = concat!(
    include_str!("../../../templates/desk/phone/head.txt"),
    "<style>\n",
    include_str!("../../../templates/shared/base.css"),
    include_str!("../../../templates/keeper/sheet.css"),
    include_str!("../../../templates/keeper/whelping.css"),
    include_str!("../../../templates/desk/phone/phone.css"),
    "</style>\n",
    include_str!("../../../templates/desk/phone/body.txt"),
    "<script type=\"module\">\n",
    include_str!("../../../templates/keeper/sheet.js"),
    include_str!("../../../templates/desk/phone/sealing.mjs"),
    include_str!("../../../templates/desk/phone/birth.mjs"),
    include_str!("../../../templates/desk/phone/picture.mjs"),
    include_str!("../../../templates/desk/phone/phone.mjs"),
    "</script>\n</body>\n</html>\n",
);
/// What may run in it, and whom it may reach: desks of this program have new addresses now and
/// then.
const POLICY: &str = "default-src 'none'; script-src 'unsafe-inline'; style-src 'unsafe-inline'; \
                      img-src data:; connect-src http:; base-uri 'none'; form-action 'none'; \
                      frame-ancestors 'none'";

/// Begins to listen; what is listened at before ends. Where phones are listened to already nothing
/// changes: a button that was pressed twice must not lead to another port, under which a phone
/// finds nothing of what it kept.
pub(super) fn open(desk: &Arc<Desk>, address: IpAddr) -> Result<(), Error> {
    let failed = |why: &str| Error::Usage(format!("phones cannot be listened to: {why}"));
    if !network::is_local(address) {
        return Err(failed("this is no address of a local network"));
    }
    let is_open = |listening: &mut Listening| listening.address.ip() == address;
    if desk.phones.lock().now().is_some_and(is_open) {
        return Ok(());
    }
    desk.phones.shut();
    let mut run = [0; 16];
    secrets::random(&mut run).map_err(|why| failed(&why.to_string()))?;
    let mut inner = desk.phones.lock();
    let book = inner.book(desk)?;
    let listener = network::bind(address, book.port()).map_err(|why| failed(&why.to_string()))?;
    let at = listener
        .local_addr()
        .and_then(|at| listener.set_nonblocking(true).map(|()| at))
        .map_err(|why| failed(&why.to_string()))?;
    book.listens_at(at.port());
    book.save()?;
    let end = Arc::new(Notify::new());
    let until = terminal::clock() + TWELVE_HOURS;
    inner.listening = Some(Listening {
        address: at,
        run,
        until,
        end: Arc::clone(&end),
        sittings: BTreeMap::new(),
    });
    drop(inner);
    let told = Arc::clone(desk);
    let Ok(runtime) = tokio::runtime::Handle::try_current() else {
        desk.phones.shut();
        return Err(failed("the desk is ending"));
    };
    runtime.spawn(async move {
        let Ok(listener) = TcpListener::from_std(listener) else {
            told.phones.shut();
            return;
        };
        let accepting = tokio::spawn(accept(listener, router(&told, at)));
        let mut is_told = false;
        while !is_told && terminal::clock() < until {
            is_told = tokio::time::timeout(LOOK, end.notified()).await.is_ok();
        }
        accepting.abort();
        if is_told {
            return;
        }
        told.phones.shut();
    });
    Ok(())
}

async fn accept(listener: TcpListener, router: Router) {
    let room = Arc::new(Semaphore::new(AT_ONCE));
    loop {
        let Ok(place) = Arc::clone(&room).acquire_owned().await else {
            return;
        };
        let Ok((stream, _)) = listener.accept().await else {
            tokio::time::sleep(Duration::from_millis(50)).await;
            continue;
        };
        let answers = TowerToHyperService::new(router.clone());
        tokio::spawn(async move {
            let mut connection = http1::Builder::new();
            connection
                .timer(TokioTimer::new())
                .header_read_timeout(PATIENCE)
                .keep_alive(false);
            let served = connection.serve_connection(TokioIo::new(stream), answers);
            let _ = tokio::time::timeout(LONGEST, served).await;
            drop(place);
        });
    }
}

fn router(desk: &Arc<Desk>, at: SocketAddr) -> Router {
    Router::new()
        .route("/", get(shown))
        .route("/run", get(run))
        .route("/say", post(say))
        .fallback(nothing)
        .layer(DefaultBodyLimit::max(LARGEST))
        .layer(CatchPanicLayer::custom(broke_off))
        .layer(from_fn_with_state(at, guard))
        .with_state(Arc::clone(desk))
}

/// Answers under the name that the keeper was shown, and says of each answer how it may be used.
async fn guard(State(at): State<SocketAddr>, request: Request, next: Next) -> Response {
    let mut hosts = request.headers().get_all(HOST).iter();
    let is_named = hosts
        .next()
        .is_some_and(|host| host == at.to_string().as_str());
    let mut answer = if is_named && hosts.next().is_none() {
        next.run(request).await
    } else {
        plain(StatusCode::FORBIDDEN, "not here\n")
    };
    let headers = answer.headers_mut();
    headers.insert(CACHE_CONTROL, HeaderValue::from_static("no-store"));
    // A page that was opened under an earlier address of this desk goes on; what it says is sealed.
    headers.insert(ACCESS_CONTROL_ALLOW_ORIGIN, HeaderValue::from_static("*"));
    for (name, value) in [
        ("x-content-type-options", "nosniff"),
        ("x-frame-options", "DENY"),
        ("referrer-policy", "no-referrer"),
    ] {
        headers.insert(
            HeaderName::from_static(name),
            HeaderValue::from_static(value),
        );
    }
    answer
}

async fn shown() -> Response {
    let mut page = answer(StatusCode::OK, HTML, PAGE);
    page.headers_mut()
        .insert(CONTENT_SECURITY_POLICY, HeaderValue::from_static(POLICY));
    page
}

async fn nothing() -> Response {
    plain(StatusCode::NOT_FOUND, "nothing is here\n")
}

fn plain(status: StatusCode, words: &'static str) -> Response {
    answer(status, "text/plain; charset=utf-8", words)
}

/// The number of this run, which is no secret: keys are bound to it.
async fn run(State(desk): State<Arc<Desk>>) -> Response {
    match desk.phones.lock().run() {
        Some(run) => answer(StatusCode::OK, "text/plain; charset=utf-8", run),
        None => plain(StatusCode::GONE, "it has ended\n"),
    }
}

/// A sealed request. Whoever cannot be heard is told the number of this run, and nothing else.
async fn say(State(desk): State<Arc<Desk>>, bytes: Bytes) -> Response {
    beside(move || match hearing::hear(&desk, &bytes) {
        Some(sealed) => {
            let mut answer = answer(StatusCode::OK, "application/octet-stream", sealed);
            answer.headers_mut().insert(
                header::CONTENT_DISPOSITION,
                HeaderValue::from_static("attachment"),
            );
            answer
        }
        None => match desk.phones.lock().run() {
            Some(run) => answer(StatusCode::FORBIDDEN, "text/plain; charset=utf-8", run),
            None => plain(StatusCode::GONE, "it has ended\n"),
        },
    })
    .await
}

impl PhonesNow {
    /// The listener, while its time is not over.
    pub(super) fn now(&mut self) -> Option<&mut Listening> {
        let now = terminal::clock();
        self.listening
            .as_mut()
            .filter(|listening| now < listening.until)
    }

    fn run(&mut self) -> Option<String> {
        self.now().map(|listening| hex(&listening.run))
    }

    /// The code that is shown, while it holds.
    pub(super) fn offer(&self) -> Option<&PairingOffer> {
        let now = terminal::clock();
        self.offer.as_ref().filter(|offer| now < offer.until)
    }

    /// What is kept of phones; read when it is first asked for.
    pub(super) fn book(&mut self, desk: &Desk) -> Result<&mut super::PhoneBook, Error> {
        if self.book.is_none() {
            self.book = Some(super::PhoneBook::open(&desk.state())?);
        }
        self.book
            .as_mut()
            .ok_or_else(|| Error::Usage("what is kept of phones cannot be read".to_owned()))
    }
}
