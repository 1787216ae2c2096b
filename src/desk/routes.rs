//! What is answered under the desk's own addresses, which no page of the book can have.

use super::answer::answer;
use super::{
    Desk, acting, backing_up, codes, comparing, forms, handing, history, mending, page, phones,
    publishing, renaming, this_kennel,
};
use axum::Router;
use axum::http::StatusCode;
use axum::response::Response;
use axum::routing::get;
use std::sync::Arc;

/// Whether a path is one of the desk's own.
pub(super) fn is_ours(path: &str) -> bool {
    path.starts_with("/-desk/")
}

/// All routes of the desk.
pub(super) fn all(desk: Arc<Desk>) -> Router {
    Router::new()
        .route("/-desk/desk.css", get(style))
        .route("/-desk/strip.css", get(strip))
        .route("/-desk/desk.js", get(script))
        .merge(acting::routes())
        .merge(backing_up::routes())
        .merge(codes::routes())
        .merge(comparing::routes())
        .merge(handing::routes())
        .merge(forms::routes())
        .merge(history::routes())
        .merge(mending::routes())
        .merge(phones::routes())
        .merge(publishing::routes())
        .merge(renaming::routes())
        .merge(this_kennel::routes())
        .method_not_allowed_fallback(wrong_method)
        .with_state(desk)
}

async fn style() -> Response {
    answer(StatusCode::OK, "text/css; charset=utf-8", page::STYLE)
}

async fn strip() -> Response {
    answer(StatusCode::OK, "text/css; charset=utf-8", page::STRIP)
}

async fn script() -> Response {
    answer(
        StatusCode::OK,
        "text/javascript; charset=utf-8",
        page::SCRIPT,
    )
}

async fn wrong_method() -> Response {
    page::plain(
        StatusCode::METHOD_NOT_ALLOWED,
        "This cannot be done here",
        "Nothing was changed. Go back to the page you came from.",
    )
}
