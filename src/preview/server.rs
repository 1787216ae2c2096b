//! Connections and answers.
//!
//! In: listeners on the loopback address, two folders, who is let in, the board on which the builder says what is to be seen. Out: answers, until somebody ends the
//! program. One thread serves all: whoever looks sits at this machine. Each file is read when it is asked for, and nothing is kept by anybody
//! (`no-store`).

use super::address::{Addresses, Door};
use super::asking::may_ask;
use super::finding::{Found, find};
use super::gate::{Gate, Way};
use super::kinds::{HTML, kind};
use super::script::{CHANGES, RELOAD, SCRIPT, with_reload};
use super::{Board, Shown};
use hyper::body::{Body, Bytes, Frame, SizeHint};
use hyper::header::{ALLOW, CACHE_CONTROL, CONTENT_TYPE, HeaderName, HeaderValue, LOCATION, SET_COOKIE};
use hyper::server::conn::http1;
use hyper::service::service_fn;
use hyper::{Method, Request, Response, StatusCode};
use hyper_util::rt::{TokioIo, TokioTimer};
use std::convert::Infallible;
use std::io;
use std::path::{Path, PathBuf};
use std::pin::Pin;
use std::sync::Arc;
use std::task::{Context, Poll};
use std::time::Duration;
use tokio::net::TcpListener;
use tokio::sync::{Notify, mpsc, watch};

/// How long a browser may take to say what it wants.
const PATIENCE: Duration = Duration::from_secs(10);
/// How often a page that waits for changes hears that we are still here, so that a window that was closed is noticed.
const STILL_HERE: Duration = Duration::from_secs(15);
/// Shown where the book has no page for somebody who is lost.
const LOST: &[u8] = include_bytes!("lost.html");
/// What a link is answered with. A browser that was sent on from another place (a mail, a file) does not show a strict cookie on its way, so it is not redirected: this page, which is ours,
/// asks for the next one.
const OPENED: &[u8] = b"<!DOCTYPE html><html lang=\"en\"><meta charset=\"utf-8\"><meta http-equiv=\"refresh\" content=\"0; url=/\"><title>Preview</title><p><a href=\"/\">Open the preview</a></p></html>\n";
/// What everybody else is told.
const SHUT: &[u8] = b"This preview is shown only in the browser that was opened with the link in the keeper's terminal. Each link works once; the next one stands there too.\n";

/// Where the two folders stand.
#[derive(Debug, Clone)]
pub struct Sides {
    /// The public site.
    pub public: PathBuf,
    /// The keeper's book.
    pub private: PathBuf,
}

/// Serves both folders until the program is asked to end (Ctrl-C, or the system's polite way). `ready` is called once everything is in place.
///
/// # Errors
/// When the system gives no threads, sockets or signals.
pub fn serve(addresses: Addresses, sides: Sides, gate: Gate, board: &Board, ready: impl FnOnce()) -> io::Result<()> {
    let gate = Arc::new(gate);
    let runtime = tokio::runtime::Builder::new_current_thread().enable_all().build()?;
    let Sides { public, private } = sides;
    let ended = runtime.block_on(async {
        let end = asked_to_end()?;
        for (door, root, which) in [(addresses.public, public, Which::Public), (addresses.private, private, Which::Private)] {
            let Door { port, listeners } = door;
            let side = Arc::new(Side { root, port, which, gate: Arc::clone(&gate), board: board.look() });
            for listener in listeners {
                listener.set_nonblocking(true)?;
                tokio::spawn(accept(TcpListener::from_std(listener)?, Arc::clone(&side)));
            }
        }
        ready();
        end.notified().await;
        Ok(())
    });
    // Pages that wait for changes would wait on.
    runtime.shutdown_background();
    ended
}

/// Notified when the program is asked to end.
fn asked_to_end() -> io::Result<Arc<Notify>> {
    let end = Arc::new(Notify::new());
    let told = Arc::clone(&end);
    #[cfg(unix)]
    {
        use tokio::signal::unix::{SignalKind, signal};
        for kind in [SignalKind::interrupt(), SignalKind::terminate()] {
            let (mut signals, told) = (signal(kind)?, Arc::clone(&told));
            tokio::spawn(async move {
                if signals.recv().await.is_some() {
                    told.notify_one();
                }
            });
        }
        drop(told);
    }
    #[cfg(not(unix))]
    tokio::spawn(async move {
        if tokio::signal::ctrl_c().await.is_ok() {
            told.notify_one();
        }
    });
    Ok(end)
}

async fn accept(listener: TcpListener, side: Arc<Side>) {
    loop {
        let Ok((stream, _)) = listener.accept().await else {
            // Too many open files, for instance: it passes.
            tokio::time::sleep(Duration::from_millis(50)).await;
            continue;
        };
        let side = Arc::clone(&side);
        tokio::spawn(async move {
            let answers = service_fn(move |request| {
                let answer = side.answer(&request);
                async move { Ok::<_, Infallible>(answer) }
            });
            let mut connection = http1::Builder::new();
            connection.timer(TokioTimer::new()).header_read_timeout(PATIENCE);
            // A browser that goes away in the middle is no matter.
            let _ = connection.serve_connection(TokioIo::new(stream), answers).await;
        });
    }
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Which {
    Public,
    Private,
}

/// One of the two addresses.
struct Side {
    root: PathBuf,
    port: u16,
    which: Which,
    gate: Arc<Gate>,
    board: watch::Receiver<Shown>,
}

impl Side {
    fn answer<B>(&self, request: &Request<B>) -> Response<Reply> {
        if let Err((status, why)) = may_ask(request, self.port) {
            let mut answer = answer(status, "text/plain; charset=utf-8", format!("{why}\n").into_bytes());
            if status == StatusCode::METHOD_NOT_ALLOWED {
                answer.headers_mut().insert(ALLOW, HeaderValue::from_static("GET, HEAD"));
            }
            return answer;
        }
        match self.gate.way(request.uri().path(), request.headers(), request.method() == Method::GET) {
            Way::In => {}
            Way::InByLink => return answer(StatusCode::OK, HTML, OPENED.to_vec()),
            Way::Welcome(cookie) => {
                let mut answer = answer(StatusCode::OK, HTML, OPENED.to_vec());
                answer.headers_mut().extend(HeaderValue::from_str(&cookie).map(|cookie| (SET_COOKIE, cookie)));
                return answer;
            }
            Way::Out => return answer(StatusCode::FORBIDDEN, "text/plain; charset=utf-8", SHUT.to_vec()),
        }
        match request.uri().path() {
            CHANGES => self.changes(),
            SCRIPT => answer(StatusCode::OK, "text/javascript; charset=utf-8", RELOAD.as_bytes().to_vec()),
            path => self.page(path),
        }
    }

    fn page(&self, path: &str) -> Response<Reply> {
        let shown = self.board.borrow().clone();
        let made = self.made(&shown);
        let found = self.find(path, &shown);
        let is_page = !matches!(&found, Found::File(file) if kind(file) != HTML);
        if let Some(page) = shown.instead.as_ref().filter(|_| is_page) {
            return answer(StatusCode::SERVICE_UNAVAILABLE, HTML, with_reload(page.as_bytes(), made).into_owned());
        }
        match found {
            Found::File(file) => file_at(&file, StatusCode::OK, made),
            Found::Folder(path) => {
                let mut answer = answer(StatusCode::PERMANENT_REDIRECT, "text/plain; charset=utf-8", b"it is a folder\n".to_vec());
                if let Ok(to) = HeaderValue::from_str(&path) {
                    answer.headers_mut().insert(LOCATION, to);
                }
                answer
            }
            Found::Nothing => match find(&self.root, "/404.html") {
                Found::File(file) => file_at(&file, StatusCode::NOT_FOUND, made),
                Found::Folder(_) | Found::Nothing => lost(made),
            },
        }
    }

    /// On its host the public site may stand in a folder, whose name the page for lost visitors knows.
    fn find(&self, path: &str, shown: &Shown) -> Found {
        let below = shown.below.as_deref().filter(|_| self.which == Which::Public).map(|below| below.trim_end_matches('/'));
        match find(&self.root, path) {
            Found::Nothing => match below.and_then(|below| path.strip_prefix(below)).filter(|rest| rest.len() < path.len()) {
                Some(rest) => find(&self.root, rest),
                None => Found::Nothing,
            },
            found => found,
        }
    }

    fn made<'a>(&self, shown: &'a Shown) -> &'a str {
        match self.which {
            Which::Public => &shown.public,
            Which::Private => &shown.private,
        }
    }

    /// An open answer in which each change is told (server-sent events, HTML standard section 9.2). What is to be seen now is told at once, so that
    /// nothing is missed between two connections.
    fn changes(&self) -> Response<Reply> {
        let (which, mut board) = (self.which, self.board.clone());
        let (events, told) = mpsc::channel(4);
        tokio::spawn(async move {
            let mut last = None;
            loop {
                let made = match which {
                    Which::Public => board.borrow_and_update().public.clone(),
                    Which::Private => board.borrow_and_update().private.clone(),
                };
                let event = if last.as_ref() == Some(&made) { ": still here\n\n".to_owned() } else { format!("event: made\ndata: {made}\n\n") };
                last = Some(made);
                if events.send(Bytes::from(event)).await.is_err() {
                    return;
                }
                if matches!(tokio::time::timeout(STILL_HERE, board.changed()).await, Ok(Err(_))) {
                    return;
                }
            }
        });
        with_headers(StatusCode::OK, "text/event-stream", Reply::Changes(told))
    }
}

fn file_at(file: &Path, status: StatusCode, made: &str) -> Response<Reply> {
    let Ok(bytes) = std::fs::read(file) else { return lost(made) };
    let kind = kind(file);
    let bytes = if kind == HTML { with_reload(&bytes, made).into_owned() } else { bytes };
    answer(status, kind, bytes)
}

fn lost(made: &str) -> Response<Reply> {
    answer(StatusCode::NOT_FOUND, HTML, with_reload(LOST, made).into_owned())
}

fn answer(status: StatusCode, kind: &'static str, bytes: Vec<u8>) -> Response<Reply> {
    with_headers(status, kind, Reply::Whole(Some(Bytes::from(bytes))))
}

fn with_headers(status: StatusCode, kind: &'static str, reply: Reply) -> Response<Reply> {
    let mut response = Response::new(reply);
    *response.status_mut() = status;
    let headers = response.headers_mut();
    headers.insert(CONTENT_TYPE, HeaderValue::from_static(kind));
    headers.insert(CACHE_CONTROL, HeaderValue::from_static("no-store"));
    // No page from elsewhere may frame, load or guess at anything here.
    for (name, value) in [
        ("x-content-type-options", "nosniff"),
        ("x-frame-options", "DENY"),
        ("cross-origin-resource-policy", "same-origin"),
        ("referrer-policy", "no-referrer"),
    ] {
        headers.insert(HeaderName::from_static(name), HeaderValue::from_static(value));
    }
    response
}

/// The body of an answer.
#[derive(Debug)]
enum Reply {
    Whole(Option<Bytes>),
    Changes(mpsc::Receiver<Bytes>),
}

impl Body for Reply {
    type Data = Bytes;
    type Error = Infallible;

    fn poll_frame(self: Pin<&mut Self>, context: &mut Context<'_>) -> Poll<Option<Result<Frame<Bytes>, Infallible>>> {
        match self.get_mut() {
            Self::Whole(bytes) => Poll::Ready(bytes.take().map(|bytes| Ok(Frame::data(bytes)))),
            Self::Changes(told) => told.poll_recv(context).map(|event| event.map(|event| Ok(Frame::data(event)))),
        }
    }

    fn is_end_stream(&self) -> bool {
        matches!(self, Self::Whole(None))
    }

    fn size_hint(&self) -> SizeHint {
        match self {
            Self::Whole(bytes) => SizeHint::with_exact(bytes.as_ref().map_or(0, |bytes| bytes.len() as u64)),
            Self::Changes(_) => SizeHint::default(),
        }
    }
}
