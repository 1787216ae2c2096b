//! Connections, and who answers what.
//!
//! In: listeners on the loopback address, two folders, the desk. Out: answers, until somebody ends
//! the program. One thread serves all, since whoever looks sits at this machine; what takes time is
//! done beside it. Nothing is kept by anybody (`no-store`).
//!
//! Every request goes through [`guard`] first, whatever it asks for.

use super::address::{Addresses, Door};
use super::answer::answer;
use super::asking::may_ask;
use super::gate::{Admission, Gate};
use super::kinds::HTML;
use super::page;
use super::posted::LARGEST_FORM;
use super::showing::{Side, Which};
use super::{Desk, routes};
use axum::Router;
use axum::extract::{DefaultBodyLimit, Request, State};
use axum::http::header::{ALLOW, CACHE_CONTROL, HeaderName, HeaderValue, SET_COOKIE};
use axum::http::{Method, StatusCode};
use axum::middleware::{Next, from_fn_with_state};
use axum::response::Response;
use hyper::server::conn::http1;
use hyper_util::rt::{TokioIo, TokioTimer};
use hyper_util::service::TowerToHyperService;
use std::any::Any;
use std::io;
use std::path::PathBuf;
use std::sync::Arc;
use std::time::Duration;
use tokio::net::TcpListener;
use tokio::sync::Notify;
use tower_http::catch_panic::CatchPanicLayer;

/// How long a browser may take to say what it wants.
const PATIENCE: Duration = Duration::from_secs(10);
/// What a link is answered with. A browser that was sent on from another place (a mail, a file)
/// does not show a strict cookie on its way, so it is not redirected: this page, which is ours,
/// asks for the next one.
const OPENED: &str = "<!DOCTYPE html><html lang=\"en\"><meta charset=\"utf-8\"><meta \
                      http-equiv=\"refresh\" content=\"0; url=/\"><title>Desk</title><p><a \
                      href=\"/\">Open the desk</a></p></html>\n";
/// What everybody else is told.
const SHUT: &str = "This desk is shown only in the browser that was opened with the link in the \
                    keeper's terminal. Each link works once; the next one stands there too.\n";

/// Where the two folders stand.
#[derive(Debug, Clone)]
pub(super) struct Sides {
    /// The public site.
    pub(super) public: PathBuf,
    /// The keeper's book.
    pub(super) private: PathBuf,
}

/// Serves both folders until the program is asked to end (Ctrl-C, or the system's polite way).
/// `ready` is called once everything is in place.
pub(super) fn serve(
    addresses: Addresses,
    sides: Sides,
    desk: &Arc<Desk>,
    ready: impl FnOnce(),
) -> io::Result<()> {
    let runtime = tokio::runtime::Builder::new_current_thread()
        .enable_all()
        .build()?;
    let Sides { public, private } = sides;
    let ended = runtime.block_on(async {
        let end = asked_to_end(&desk.end)?;
        for (door, root, which) in [
            (addresses.public, public, Which::Public),
            (addresses.private, private, Which::Private),
        ] {
            let Door { port, listeners } = door;
            let router = router(Arc::new(Side::new(root, port, which, desk)));
            for listener in listeners {
                listener.set_nonblocking(true)?;
                tokio::spawn(accept(TcpListener::from_std(listener)?, router.clone()));
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

/// Notified when the program is asked to end: by a key, by the system, by the window in which it
/// runs when that is closed, or at the desk.
fn asked_to_end(end: &Arc<Notify>) -> io::Result<Arc<Notify>> {
    let told = Arc::clone(end);
    #[cfg(unix)]
    {
        use tokio::signal::unix::{SignalKind, signal};
        for kind in [
            SignalKind::interrupt(),
            SignalKind::terminate(),
            SignalKind::hangup(),
        ] {
            let (mut signals, told) = (signal(kind)?, Arc::clone(&told));
            tokio::spawn(async move {
                if signals.recv().await.is_some() {
                    told.notify_one();
                }
            });
        }
        drop(told);
    }
    #[cfg(windows)]
    {
        use tokio::signal::windows::{ctrl_break, ctrl_c, ctrl_close, ctrl_logoff, ctrl_shutdown};
        let (mut key, mut other_key) = (ctrl_c()?, ctrl_break()?);
        let (mut window, mut user, mut system) = (ctrl_close()?, ctrl_logoff()?, ctrl_shutdown()?);
        tokio::spawn(tells(Arc::clone(&told), async move { key.recv().await }));
        tokio::spawn(tells(
            Arc::clone(&told),
            async move { other_key.recv().await },
        ));
        tokio::spawn(tells(Arc::clone(&told), async move { window.recv().await }));
        tokio::spawn(tells(Arc::clone(&told), async move { user.recv().await }));
        tokio::spawn(tells(told, async move { system.recv().await }));
    }
    #[cfg(not(any(unix, windows)))]
    drop(told);
    Ok(Arc::clone(end))
}

/// Notifies when something was asked.
#[cfg(windows)]
async fn tells(told: Arc<Notify>, asked: impl Future<Output = Option<()>>) {
    if asked.await.is_some() {
        told.notify_one();
    }
}

pub(super) async fn accept(listener: TcpListener, router: Router) {
    loop {
        let Ok((stream, _)) = listener.accept().await else {
            // Too many open files, for instance: it passes.
            tokio::time::sleep(Duration::from_millis(50)).await;
            continue;
        };
        let answers = TowerToHyperService::new(router.clone());
        tokio::spawn(async move {
            let mut connection = http1::Builder::new();
            connection
                .timer(TokioTimer::new())
                .header_read_timeout(PATIENCE);
            // A browser that goes away in the middle is no matter.
            let _ = connection
                .serve_connection(TokioIo::new(stream), answers)
                .await;
        });
    }
}

/// The public site answers with files alone; at the address of the book stands the desk as well.
fn router(side: Arc<Side>) -> Router {
    let shown = Arc::clone(&side);
    let files = move |request: Request| async move {
        shown.is_up_to_date().await;
        shown.answer(request.uri().path())
    };
    let routes = match side.which {
        Which::Public => Router::new(),
        Which::Private => routes::all(Arc::clone(&side.desk)),
    };
    routes
        .fallback(files)
        .layer(DefaultBodyLimit::max(LARGEST_FORM))
        .layer(CatchPanicLayer::custom(broke_off))
        .layer(from_fn_with_state(side, guard))
}

/// A fault of ours ends one answer, and nothing else.
pub(super) fn broke_off(_panic: Box<dyn Any + Send>) -> Response {
    page::plain(
        StatusCode::INTERNAL_SERVER_ERROR,
        "This page could not be made",
        "This is a fault of litterfolio, not of your records. What it says of it stands in the \
         terminal. Everything else goes on.",
    )
}

/// Lets in who may ask, and sees to it that every answer says how it may be used.
async fn guard(State(side): State<Arc<Side>>, request: Request, next: Next) -> Response {
    let takes_forms = side.which == Which::Private && routes::is_ours(request.uri().path());
    let answer = match let_in(&side.desk.gate, side.port, &request, takes_forms) {
        Ok(()) => {
            let is_sent = request.method() == Method::POST;
            let answer = next.run(request).await;
            if is_sent && answer.status() == StatusCode::SEE_OTHER {
                side.desk.wake.recorded();
            }
            answer
        }
        Err(refused) => *refused,
    };
    with_headers(answer)
}

/// Whether a request may be answered; what it is answered with when not.
pub(super) fn let_in(
    gate: &Gate,
    port: u16,
    request: &Request,
    takes_forms: bool,
) -> Result<(), Box<Response>> {
    if let Err((status, why)) = may_ask(request, port, takes_forms) {
        let mut answer = text(status, format!("{why}\n"));
        if status == StatusCode::METHOD_NOT_ALLOWED {
            answer
                .headers_mut()
                .insert(ALLOW, HeaderValue::from_static("GET, HEAD"));
        }
        return Err(Box::new(answer));
    }
    let way = gate.way(
        request.uri().path(),
        request.headers(),
        request.method() == Method::GET,
    );
    let opened = || answer(StatusCode::OK, HTML, OPENED);
    match way {
        Admission::In => Ok(()),
        Admission::InByLink => Err(Box::new(opened())),
        Admission::Welcome(cookie) => {
            let mut answer = opened();
            answer
                .headers_mut()
                .extend(HeaderValue::from_str(&cookie).map(|cookie| (SET_COOKIE, cookie)));
            Err(Box::new(answer))
        }
        Admission::Out => Err(Box::new(text(StatusCode::FORBIDDEN, SHUT.to_owned()))),
    }
}

fn text(status: StatusCode, words: String) -> Response {
    answer(status, "text/plain; charset=utf-8", words)
}

/// What every answer says of how it may be used.
pub(super) fn with_headers(mut answer: Response) -> Response {
    let headers = answer.headers_mut();
    headers.insert(CACHE_CONTROL, HeaderValue::from_static("no-store"));
    // No page from elsewhere may frame, load or guess at anything here; what the desk itself shows
    // in a frame says so. Where a form is sent from
    // is told to this desk alone.
    for (name, value) in [
        ("x-content-type-options", "nosniff"),
        ("x-frame-options", "DENY"),
        ("cross-origin-resource-policy", "same-origin"),
        ("cross-origin-opener-policy", "same-origin"),
        ("referrer-policy", "same-origin"),
    ] {
        headers
            .entry(HeaderName::from_static(name))
            .or_insert(HeaderValue::from_static(value));
    }
    answer
}
