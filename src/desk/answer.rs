//! Bytes of some kind as an answer, and what may be loaded into a page of the desk.

use axum::body::Body;
use axum::http::StatusCode;
use axum::http::header::{CONTENT_SECURITY_POLICY, CONTENT_TYPE, HeaderValue};
use axum::response::Response;

/// An answer of this kind.
pub(super) fn answer(status: StatusCode, kind: &'static str, body: impl Into<Body>) -> Response {
    let mut response = Response::new(body.into());
    *response.status_mut() = status;
    response
        .headers_mut()
        .insert(CONTENT_TYPE, HeaderValue::from_static(kind));
    response
}

/// What may be loaded into a page that the desk made: its own style sheet, script and pictures.
pub(super) fn strict(mut answer: Response) -> Response {
    answer.headers_mut().insert(
        CONTENT_SECURITY_POLICY,
        HeaderValue::from_static(
            "default-src 'none'; style-src 'self'; script-src 'self'; img-src 'self' data:; \
             connect-src 'self'; frame-src 'self'; form-action 'self'; base-uri 'none'; \
             frame-ancestors 'none'",
        ),
    );
    answer
}
