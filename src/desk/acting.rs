//! The daily acts under their addresses.
//!
//! In: requests. Out: pages of acts; what is sent from them is recorded and leads on to another
//! page, so that loading it again records nothing twice. Pictures come as parts of a form (RFC
//! 7578), up to a limit, and are shown from where they stand.

use super::Desk;
use super::acts::{self, ACTS, ActAnswer, ActFields, ActPage, ROOT, Upload};
use super::answer::answer;
use super::kinds::kind;
use super::page::{self, beside, tried};
use super::posted::{
    Fields, LARGEST_FORM, TRY, TriedFields, announces_more, cannot_be_tried, other_sitting,
    sent_from,
};
use crate::app::recording::Mode;
use axum::Router;
use axum::body::Body;
use axum::extract::multipart::MultipartError;
use axum::extract::{DefaultBodyLimit, FromRequest, Multipart, Path, Query, Request, State};
use axum::http::header::CONTENT_TYPE;
use axum::http::{HeaderMap, StatusCode, Uri};
use axum::response::{IntoResponse, Redirect, Response};
use axum::routing::get;
use futures_util::stream::{self, StreamExt};
use std::sync::Arc;

/// The most bytes of pictures that are taken at once.
const LARGEST: usize = 256 * 1024 * 1024;

/// Where a kennel begins.
pub(super) const BEGIN: &str = "/-desk/begin";

type Pairs = Vec<(String, String)>;

pub(super) fn routes() -> Router<Arc<Desk>> {
    let picture = format!("{ROOT}picture/{{*file}}");
    let mut router = Router::new()
        .route(&picture, get(shown_picture))
        .route(BEGIN, get(first_page).post(begin));
    for act in ACTS {
        let path = format!("{ROOT}{}", act.path);
        router = if act.takes_files() {
            let limit = DefaultBodyLimit::max(LARGEST);
            router.route(&path, get(show).post(post_files).layer(limit))
        } else {
            router.route(&path, get(show).post(post_fields))
        };
    }
    router
}

/// The address itself, without what was told of a change before.
fn here(uri: &Uri, query: &Pairs) -> String {
    let kept = query
        .iter()
        .filter(|(name, _)| name != "saved" && name != "at");
    let kept: Vec<String> = kept
        .map(|(name, value)| format!("{}={}", acts::encoded(name), acts::encoded(value)))
        .collect();
    if kept.is_empty() {
        uri.path().to_owned()
    } else {
        format!("{}?{}", uri.path(), kept.join("&"))
    }
}

fn given(fields: Pairs, files: Vec<Upload>, is_sent: bool) -> ActFields {
    ActFields {
        fields,
        files,
        is_sent,
    }
}

async fn show(State(desk): State<Arc<Desk>>, uri: Uri, Query(query): Query<Pairs>) -> Response {
    tried(move || {
        let Some((act, ids)) = acts::find(uri.path()) else {
            return Ok(page::lost());
        };
        let loaded = desk.records()?;
        let here = here(&uri, &query);
        let query = given(query, Vec::new(), false);
        let answer = acts::show(&loaded, &desk.told, (act, &ids), &query);
        Ok(answered(&desk, answer, &here))
    })
    .await
}

/// Only where there is no kennel yet.
async fn first_page(State(desk): State<Arc<Desk>>) -> Response {
    if desk.content().join("kennel.yaml").exists() {
        return Redirect::to("/-desk/form/kennel.yaml").into_response();
    }
    answered(
        &desk,
        ActAnswer::Page(Box::new(acts::kennel::page())),
        BEGIN,
    )
}

async fn begin(
    State(desk): State<Arc<Desk>>,
    TriedFields(Fields(fields), mode): TriedFields,
) -> Response {
    tried(move || {
        let sent = given(fields, Vec::new(), true);
        let answer = acts::kennel::begin(&desk.folder()?, &desk.told, (&sent, mode))?;
        Ok(made_or_tried(&desk, answer, BEGIN, mode))
    })
    .await
}

async fn post_fields(
    State(desk): State<Arc<Desk>>,
    uri: Uri,
    Query(query): Query<Pairs>,
    TriedFields(Fields(fields), mode): TriedFields,
) -> Response {
    record(desk, uri, query, (given(fields, Vec::new(), true), mode)).await
}

async fn post_files(
    State(desk): State<Arc<Desk>>,
    uri: Uri,
    Query(query): Query<Pairs>,
    FormParts(given): FormParts,
) -> Response {
    record(desk, uri, query, (given, Mode::Make)).await
}

async fn record(
    desk: Arc<Desk>,
    uri: Uri,
    query: Pairs,
    (sent, mode): (ActFields, Mode),
) -> Response {
    tried(move || {
        let Some((act, ids)) = acts::find(uri.path()) else {
            return Ok(page::lost());
        };
        let here = here(&uri, &query);
        let query = given(query, Vec::new(), false);
        let folder = desk.folder()?;
        let answer = acts::submit(&folder, &desk.told, (act, &ids), &query, (sent, mode))?;
        Ok(made_or_tried(&desk, answer, &here, mode))
    })
    .await
}

/// What is answered to a form. Of one that was only tried it is told what is in the way.
fn made_or_tried(desk: &Desk, answer: ActAnswer, here: &str, mode: Mode) -> Response {
    let answer = match answer {
        // What is asked back is told as what is wrong.
        ActAnswer::Page(view) if mode == Mode::Try && view.is_refused => {
            answered(desk, ActAnswer::Again(view), here)
        }
        ActAnswer::Done(_) | ActAnswer::Page(_) if mode == Mode::Try => page::nothing_wrong(),
        answer => answered(desk, answer, here),
    };
    page::told(mode, answer)
}

fn answered(desk: &Desk, answer: ActAnswer, here: &str) -> Response {
    let shown = |status, view: ActPage| {
        let view = view.finished(desk.gate.token(), here);
        page::render(status, "acts/page.html", &view)
    };
    match answer {
        ActAnswer::Page(view) => shown(StatusCode::OK, *view),
        ActAnswer::Again(view) => shown(StatusCode::UNPROCESSABLE_ENTITY, *view),
        ActAnswer::Done(to) => Redirect::to(&to).into_response(),
        ActAnswer::Gone => page::lost(),
    }
}

/// The page of an act on which a change was taken back, as it is then, with that said; nothing
/// where it was no such page, or is there no more.
pub(super) fn page_after(desk: &Desk, headers: &HeaderMap, number: u64) -> Option<String> {
    let from = sent_from(headers)?;
    let Query(query) = Query::<Pairs>::try_from_uri(&from).ok()?;
    let (act, ids) = acts::find(from.path())?;
    let here = here(&from, &query);
    let query = given(query, Vec::new(), false);
    let ActAnswer::Page(_) = acts::show(&*desk.records().ok()?, &desk.told, (act, &ids), &query)
    else {
        return None;
    };
    let words = format!("Taken back. That is change {number} of the history.");
    desk.told.keep(number, vec![words]);
    let sign = if here.contains('?') { '&' } else { '?' };
    Some(format!("{here}{sign}saved={number}"))
}

async fn shown_picture(State(desk): State<Arc<Desk>>, Path(file): Path<String>) -> Response {
    beside(move || {
        let found = desk
            .folder()
            .ok()
            .and_then(|folder| acts::file_at(&folder, &file));
        match found.and_then(|path| std::fs::read(path).ok()) {
            Some(bytes) => answer(StatusCode::OK, kind(file.as_ref()), bytes),
            None => page::lost(),
        }
    })
    .await
}

/// A form that may have files in it. The token comes first: nothing is read of what has none.
struct FormParts(ActFields);

impl FromRequest<Arc<Desk>> for FormParts {
    type Rejection = Response;

    async fn from_request(mut request: Request, desk: &Arc<Desk>) -> Result<Self, Response> {
        let kind = request.headers().get(CONTENT_TYPE);
        let kind = kind.and_then(|kind| kind.to_str().ok()).unwrap_or_default();
        if !kind.starts_with("multipart/form-data") {
            DefaultBodyLimit::max(LARGEST_FORM).apply(&mut request);
            let Fields(fields) = Fields::from_request(request, desk).await?;
            return Ok(Self(given(fields, Vec::new(), true)));
        }
        if announces_more(&request, LARGEST) {
            return Err(unreadable(StatusCode::PAYLOAD_TOO_LARGE));
        }
        let request = with_token(request, desk).await?;
        let parts = Multipart::from_request(request, desk).await;
        let mut parts = parts.map_err(|_| unreadable(StatusCode::BAD_REQUEST))?;
        let (mut fields, mut files, mut is_ours) = (Vec::new(), Vec::new(), false);
        let failed = |why: MultipartError| unreadable(why.status());
        while let Some(part) = parts.next_field().await.map_err(failed)? {
            let name = part.name().unwrap_or_default().to_owned();
            let file = part.file_name().map(str::to_owned);
            if name != "token" && !is_ours {
                return Err(other_sitting());
            }
            if let Some(name) = file {
                let bytes = part.bytes().await.map_err(failed)?.to_vec();
                // A browser sends an empty part where nothing was chosen.
                if !(name.is_empty() && bytes.is_empty()) {
                    files.push(Upload { name, bytes });
                }
                continue;
            }
            let text = part.text().await.map_err(failed)?;
            if name == TRY {
                return Err(cannot_be_tried());
            }
            if name == "token" {
                is_ours = desk.gate.is_token(&text);
            }
            fields.push((name, text));
        }
        if is_ours {
            Ok(Self(given(fields, files, true)))
        } else {
            Err(other_sitting())
        }
    }
}

/// How far a form is read to find the token, which comes first.
const BEGINNING: usize = 4096;

/// The request again, when its body begins with the token: what a parser of parts keeps of a body
/// without parts has no limit but that of all pictures.
async fn with_token(request: Request, desk: &Arc<Desk>) -> Result<Request, Response> {
    let (head, body) = request.into_parts();
    let mut rest = body.into_data_stream();
    let (mut pieces, mut beginning) = (Vec::new(), Vec::new());
    while beginning.len() < BEGINNING {
        match rest.next().await {
            Some(Ok(piece)) => {
                let most = piece.len().min(BEGINNING);
                beginning.extend_from_slice(&piece[..most]);
                pieces.push(Ok(piece));
            }
            Some(Err(_)) => return Err(unreadable(StatusCode::BAD_REQUEST)),
            None => break,
        }
    }
    let token = desk.gate.token();
    let token = token.as_bytes();
    if !beginning.windows(token.len()).any(|part| part == token) {
        return Err(other_sitting());
    }
    let body = Body::from_stream(stream::iter(pieces).chain(rest));
    Ok(Request::from_parts(head, body))
}

fn unreadable(status: StatusCode) -> Response {
    if status == StatusCode::PAYLOAD_TOO_LARGE {
        return page::plain(
            status,
            "These are more pictures than can be taken in at once",
            "Nothing was changed. Up to 256 MB can be sent together.",
        );
    }
    page::plain(
        StatusCode::BAD_REQUEST,
        "This form cannot be read",
        "Nothing was changed.",
    )
}
