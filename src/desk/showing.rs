//! Site and book as they were made, and a word to the browser when they change.
//!
//! In: a folder, the path of a request, the board on which the maker says what is to be seen. Out:
//! a file of the folder; a page of the maker's in place of all; an open answer in which each change
//! is told. Each file is read when it is asked for.

use super::answer::answer;
use super::finding::{Found, find};
use super::kinds::{HTML, kind};
use super::routes::is_ours;
use super::said_here::page_said_here;
use super::script::{CHANGES, RELOAD, SCRIPT, with_reload, with_strip};
use super::strip::strip;
use super::{Desk, Shown, acting, acts, backing_up, mending, page};
use axum::body::{Body, Bytes, HttpBody};
use axum::http::StatusCode;
use axum::http::header::{CONTENT_SECURITY_POLICY, HeaderValue, LOCATION};
use axum::response::{IntoResponse, Redirect, Response};
use hyper::body::Frame;
use std::convert::Infallible;
use std::path::{Path, PathBuf};
use std::pin::Pin;
use std::sync::Arc;
use std::sync::atomic::Ordering;
use std::task::{Context, Poll};
use std::time::Duration;
use tokio::sync::{mpsc, watch};

/// How often a page that waits for changes hears that we are still here, so that a window that was
/// closed is noticed.
const STILL_HERE: Duration = Duration::from_secs(15);

/// How long a page of the book waits for what was just recorded.
const A_MOMENT: Duration = Duration::from_secs(1);

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Which {
    Public,
    Private,
}

/// One of the two addresses.
#[derive(Debug)]
pub(super) struct Side {
    root: PathBuf,
    pub(super) port: u16,
    pub(super) which: Which,
    pub(super) desk: Arc<Desk>,
    board: watch::Receiver<Shown>,
}

impl Side {
    pub(super) fn new(root: PathBuf, port: u16, which: Which, desk: &Arc<Desk>) -> Self {
        Self {
            root,
            port,
            which,
            desk: Arc::clone(desk),
            board: desk.board.look(),
        }
    }

    /// Waits a moment until what was recorded here is in what is shown.
    pub(super) async fn is_up_to_date(&self) {
        let recorded = self.desk.wake.recorded.load(Ordering::SeqCst);
        let mut board = self.board.clone();
        let made = board.wait_for(|shown| shown.with >= recorded);
        // One that takes longer is told when it is there.
        let _ = tokio::time::timeout(A_MOMENT, made).await;
    }

    pub(super) fn answer(&self, path: &str) -> Response {
        match path {
            CHANGES => self.changes(),
            SCRIPT => answer(StatusCode::OK, "text/javascript; charset=utf-8", RELOAD),
            // What the desk itself does not know.
            path if self.which == Which::Private && is_ours(path) => page::lost(),
            path => self.page(path),
        }
    }

    fn page(&self, path: &str) -> Response {
        let kennel = self.desk.content().join("kennel.yaml");
        if self.which == Which::Private && path == "/" && !kennel.exists() {
            return Redirect::to(acting::BEGIN).into_response();
        }
        let shown = self.board.borrow().clone();
        let made = self.made(&shown);
        let found = self.find(path, &shown);
        let is_page = !matches!(&found, Found::File(file) if kind(file) != HTML);
        if let Some(page) = shown.instead.as_ref().filter(|_| is_page) {
            return self.html(StatusCode::SERVICE_UNAVAILABLE, path, page.as_bytes(), made);
        }
        match found {
            Found::File(file) => self.file(&file, StatusCode::OK, path, made),
            Found::Folder(path) => {
                let mut answer = answer(
                    StatusCode::PERMANENT_REDIRECT,
                    "text/plain; charset=utf-8",
                    "it is a folder\n",
                );
                if let Ok(to) = HeaderValue::from_str(&path) {
                    answer.headers_mut().insert(LOCATION, to);
                }
                answer
            }
            Found::Nothing => match find(&self.root, "/404.html") {
                Found::File(file) => self.file(&file, StatusCode::NOT_FOUND, path, made),
                Found::Folder(_) | Found::Nothing => page::lost(),
            },
        }
    }

    /// On its host the public site may stand in a folder, whose name the page for lost visitors
    /// knows.
    fn find(&self, path: &str, shown: &Shown) -> Found {
        let below = shown
            .below
            .as_deref()
            .filter(|_| self.which == Which::Public)
            .map(|below| below.trim_end_matches('/'));
        match find(&self.root, path) {
            Found::Nothing => match below
                .and_then(|below| path.strip_prefix(below))
                .filter(|rest| rest.len() < path.len())
            {
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

    fn file(&self, file: &Path, status: StatusCode, path: &str, made: &str) -> Response {
        let Ok(bytes) = std::fs::read(file) else {
            return page::lost();
        };
        let kind = kind(file);
        if kind == HTML {
            self.html(status, path, &bytes, made)
        } else {
            answer(status, kind, bytes)
        }
    }

    /// A page on its way out. One of the book may load nothing from elsewhere, and leads to the
    /// forms; one of the site is as its visitors get it, but for the line that reloads it.
    fn html(&self, status: StatusCode, path: &str, page: &[u8], made: &str) -> Response {
        let page = with_reload(page, made);
        if self.which == Which::Public {
            return answer(status, HTML, page.into_owned());
        }
        let is_record = |file: &str| self.desk.content().join(file).is_file();
        let is_broken = status == StatusCode::SERVICE_UNAVAILABLE;
        let page = match strip(path, is_record, is_broken) {
            Some(mut strip) => {
                if path == "/" {
                    strip.push_str(&backing_up::first_page(&self.desk));
                }
                with_strip(&page, &strip).into_owned()
            }
            None => page.into_owned(),
        };
        let page = match (String::from_utf8(page), is_broken) {
            (Ok(page), false) if is_prose(path) => self.said_here(&page),
            (Ok(page), _) => page.into_bytes(),
            (Err(other), _) => other.into_bytes(),
        };
        let mut answer = answer(status, HTML, page);
        answer.headers_mut().insert(
            CONTENT_SECURITY_POLICY,
            HeaderValue::from_static(
                "default-src 'self' 'unsafe-inline' data: blob:; base-uri 'none'; frame-ancestors \
                 'none'",
            ),
        );
        answer
    }

    /// A page of the book, whose words are meant for a reader of files as well.
    fn said_here(&self, page: &str) -> Vec<u8> {
        let way = |code: &str| {
            let ways = acts::ways_of_command(code).or_else(|| {
                let (to, words) = mending::way_to(&self.desk.content(), code)?;
                Some(vec![(to, words)])
            })?;
            let links = ways.into_iter().map(|(to, words)| {
                let to = to.replace('&', "&amp;");
                format!("<a class=\"desk-way\" href=\"{to}\">{words}</a>")
            });
            Some(links.collect::<Vec<_>>().join(" "))
        };
        page_said_here(page, way).into_owned().into_bytes()
    }

    /// An open answer in which each change is told (server-sent events, HTML standard section 9.2).
    /// What is to be seen now is told at once, so that nothing is missed between two
    /// connections.
    fn changes(&self) -> Response {
        let (which, mut board) = (self.which, self.board.clone());
        let (events, told) = mpsc::channel(4);
        tokio::spawn(async move {
            let mut last = None;
            loop {
                let made = match which {
                    Which::Public => board.borrow_and_update().public.clone(),
                    Which::Private => board.borrow_and_update().private.clone(),
                };
                let event = if last.as_ref() == Some(&made) {
                    ": still here\n\n".to_owned()
                } else {
                    format!("event: made\ndata: {made}\n\n")
                };
                last = Some(made);
                if events.send(Bytes::from(event)).await.is_err() {
                    return;
                }
                if matches!(
                    tokio::time::timeout(STILL_HERE, board.changed()).await,
                    Ok(Err(_))
                ) {
                    return;
                }
            }
        });
        answer(
            StatusCode::OK,
            "text/event-stream",
            Body::new(ChangeStream(told)),
        )
    }
}

/// Sheets that are taken along as files say themselves where what they save is taken in.
fn is_prose(path: &str) -> bool {
    strip(path, |_| true, false).is_some()
}

/// The body of an answer that goes on.
#[derive(Debug)]
struct ChangeStream(mpsc::Receiver<Bytes>);

impl HttpBody for ChangeStream {
    type Data = Bytes;
    type Error = Infallible;

    fn poll_frame(
        self: Pin<&mut Self>,
        context: &mut Context<'_>,
    ) -> Poll<Option<Result<Frame<Bytes>, Infallible>>> {
        self.get_mut()
            .0
            .poll_recv(context)
            .map(|event| event.map(|event| Ok(Frame::data(event))))
    }
}
