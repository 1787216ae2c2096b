//! The first start: where no kennel is known, a folder for it is asked for in the browser.
//!
//! In: the folder in which the last kennel stood, when it is gone. Out: a page at an address of its
//! own, under the same rules as the desk; from it a kennel is begun, opened or set up from a
//! backup, remembered, and its desk begun, to which the page leads on.

use super::address::{Door, FIRST};
use super::answer::answer;
use super::browser;
use super::folders::{kennel_from_backup, kennel_in};
use super::gate::Gate;
use super::page::{self, beside};
use super::posted::LARGEST_FORM;
use super::running::{Options, run_and_tell};
use super::server::{accept, broke_off, let_in, with_headers};
use crate::Error;
use crate::app::terminal::say;
use crate::app::{Outcome, places, secrets};
use crate::output::shown_path;
use axum::Router;
use axum::extract::{DefaultBodyLimit, Form, Request, State};
use axum::http::{StatusCode, Uri};
use axum::middleware::{Next, from_fn_with_state};
use axum::response::{IntoResponse, Redirect, Response};
use axum::routing::get;
use serde::Serialize;
use std::path::PathBuf;
use std::sync::mpsc::{Sender, channel};
use std::sync::{Arc, Mutex, PoisonError};
use std::time::Duration;
use tokio::net::TcpListener;
use tokio::sync::oneshot;
use tower_http::catch_panic::CatchPanicLayer;

/// Where forms of this page are sent to.
const CHOOSE: &str = "/-desk/choose";
/// Whoever closed the page and forgot about it: the program ends by itself.
const LONG: Duration = Duration::from_hours(1);
/// How long the last page needs to reach the browser.
const A_MOMENT: Duration = Duration::from_secs(2);
/// What the folder is called that is proposed.
const PROPOSED: &str = "Litterfolio kennel";

/// What the page knows.
#[derive(Debug)]
struct Chooser {
    gate: Gate,
    port: u16,
    /// Where the last kennel stood, which is gone.
    vanished: Option<PathBuf>,
    chosen: Mutex<Sender<Chosen>>,
}

/// A folder that was chosen, and whoever waits for the link of its desk.
#[derive(Debug)]
struct Chosen {
    folder: PathBuf,
    link: oneshot::Sender<Result<String, String>>,
}

#[derive(Default, Serialize)]
struct ChoosePage {
    token: String,
    vanished: Option<String>,
    folder: String,
    /// Why the folder cannot be taken.
    slip: Option<String>,
    file: String,
    into: String,
    /// Why the backup cannot be set up.
    backup_slip: Option<String>,
    /// The desk that was begun.
    link: Option<String>,
}

/// Asks for a folder, and serves its desk until somebody ends it.
///
/// # Errors
/// When the folder cannot be read, or no address can be listened on.
pub fn choose(options: Options, vanished: Option<PathBuf>) -> Result<Outcome, Error> {
    let door = Door::open(None, FIRST).map_err(|(port, error)| {
        Error::Usage(format!("cannot use port {port} of this machine: {error}"))
    })?;
    let address = door.address();
    let shown = address.clone();
    let tell = move |path: &str| {
        say(&format!(
            "opened in a browser; the next one opens with {shown}{path}\n"
        ));
    };
    let gate = Gate::new(door.port, Box::new(secrets::word), Box::new(tell)).ok_or_else(|| {
        Error::Usage("the system gives no random bytes, so nobody could be kept out".to_owned())
    })?;
    let link = format!("{address}{}", gate.path());
    let (sender, chosen) = channel();
    let chooser = Arc::new(Chooser {
        gate,
        port: door.port,
        vanished,
        chosen: Mutex::new(sender),
    });
    let served = Arc::clone(&chooser);
    std::thread::spawn(move || serve(door, served));
    say(&format!(
        "No kennel is known yet. Open this in your browser, and choose a folder:\n{link}\n"
    ));
    if let Some(place) = places::own() {
        browser::open(&place, &link, options.browser);
    }
    while let Ok(Chosen { folder, link }) = chosen.recv_timeout(LONG) {
        let mut waiting = Some(link);
        let ran = run_and_tell(&folder, options, &mut |_, link| {
            places::remember_kennel(&folder);
            if let Some(waiting) = waiting.take() {
                let _ = waiting.send(Ok(link.to_owned()));
            }
        });
        match (ran, waiting) {
            (Err(error), Some(waiting)) => {
                let _ = waiting.send(Err(error.to_string()));
            }
            (ran, _) => {
                // A desk that ran already is told of at once.
                std::thread::sleep(A_MOMENT);
                return ran;
            }
        }
    }
    Ok(Outcome::clean(
        "no folder was chosen; start again when you like\n",
    ))
}

fn serve(door: Door, chooser: Arc<Chooser>) {
    let runtime = tokio::runtime::Builder::new_current_thread()
        .enable_all()
        .build();
    let Ok(runtime) = runtime else { return };
    let router = Router::new()
        .route("/", get(show))
        .route(CHOOSE, get(show).post(decide))
        .route("/-desk/desk.css", get(style))
        .fallback(lost)
        .with_state(Arc::clone(&chooser))
        .layer(DefaultBodyLimit::max(LARGEST_FORM))
        .layer(CatchPanicLayer::custom(broke_off))
        .layer(from_fn_with_state(chooser, guard));
    runtime.block_on(async {
        for listener in door.listeners {
            let listener = listener
                .set_nonblocking(true)
                .and_then(|()| TcpListener::from_std(listener));
            if let Ok(listener) = listener {
                tokio::spawn(accept(listener, router.clone()));
            }
        }
        std::future::pending::<()>().await;
    });
}

async fn guard(State(chooser): State<Arc<Chooser>>, request: Request, next: Next) -> Response {
    let takes_forms = request.uri().path() == CHOOSE;
    with_headers(
        match let_in(&chooser.gate, chooser.port, &request, takes_forms) {
            Ok(()) => next.run(request).await,
            Err(refused) => *refused,
        },
    )
}

async fn style() -> Response {
    answer(StatusCode::OK, "text/css; charset=utf-8", page::STYLE)
}

async fn lost(_: Uri) -> Response {
    Redirect::to("/").into_response()
}

async fn show(State(chooser): State<Arc<Chooser>>) -> Response {
    page::render(StatusCode::OK, "choose.html", &chooser.page())
}

impl Chooser {
    fn page(&self) -> ChoosePage {
        let proposed = places::documents().map(|documents| documents.join(PROPOSED));
        let proposed = proposed.map_or_else(String::new, |place| shown_path(&place));
        let vanished = self.vanished.as_ref().map(|place| shown_path(place));
        ChoosePage {
            token: self.gate.token(),
            folder: vanished.clone().unwrap_or_else(|| proposed.clone()),
            vanished,
            into: proposed,
            ..ChoosePage::default()
        }
    }
}

async fn decide(
    State(chooser): State<Arc<Chooser>>,
    Form(fields): Form<Vec<(String, String)>>,
) -> Response {
    let field = |name: &str| {
        let found = fields.iter().find(|(known, _)| known == name);
        found.map_or_else(String::new, |(_, value)| value.trim().to_owned())
    };
    if !chooser.gate.is_token(&field("token")) {
        return super::posted::other_sitting();
    }
    let (folder, file, into) = (field("folder"), field("file"), field("into"));
    let is_backup = field("act") == "restore";
    let passphrase = field("passphrase");
    let without = !field("without").is_empty();
    let vanished = chooser.vanished.clone();
    let made = {
        let (folder, file, into) = (folder.clone(), file.clone(), into.clone());
        tokio::task::spawn_blocking(move || {
            if is_backup {
                kennel_from_backup(&file, &into, &passphrase, without)
            } else {
                kennel_in(&folder, vanished.as_deref())
            }
        })
        .await
    };
    let begun = match made {
        Ok(Ok(folder)) => begin(&chooser, folder).await,
        Ok(Err(slip)) => Err(slip),
        Err(_) => Err("This could not be done.".to_owned()),
    };
    let view = chooser.page();
    let (status, view) = match begun {
        Ok(link) => (
            StatusCode::OK,
            ChoosePage {
                link: Some(link),
                ..view
            },
        ),
        Err(slip) if is_backup => (
            StatusCode::UNPROCESSABLE_ENTITY,
            ChoosePage {
                backup_slip: Some(slip),
                file,
                into,
                ..view
            },
        ),
        Err(slip) => (
            StatusCode::UNPROCESSABLE_ENTITY,
            ChoosePage {
                slip: Some(slip),
                folder,
                ..view
            },
        ),
    };
    beside(move || page::render(status, "choose.html", &view)).await
}

/// Begins the desk of a folder, and waits for its link.
async fn begin(chooser: &Chooser, folder: PathBuf) -> Result<String, String> {
    let (sender, link) = oneshot::channel();
    {
        let chosen = chooser
            .chosen
            .lock()
            .unwrap_or_else(PoisonError::into_inner);
        let wish = Chosen {
            folder,
            link: sender,
        };
        chosen
            .send(wish)
            .map_err(|_| "The program is ending.".to_owned())?;
    }
    let over = "A desk was opened already. End it before you open another one here.";
    link.await.map_err(|_| over.to_owned())?
}
