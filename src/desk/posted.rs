//! The fields of a form that was sent, and what stands behind the `?` of an address.
//!
//! In: the body of a request. Out: [`Fields`], when it came from a form of ours: every form carries
//! the token, and what does not is answered before anybody looks at the rest. A handler that takes
//! fields cannot forget to ask. A form can be sent to be tried only: whether something would be in
//! the way, before anything is recorded. A handler that can do that takes [`TriedFields`]; all
//! others answer such a form with a refusal.

use super::{Desk, page};
use crate::app::recording::Mode;
use axum::body::HttpBody;
use axum::extract::rejection::FormRejection;
use axum::extract::{Form, FromRequest, Request};
use axum::http::header::REFERER;
use axum::http::{HeaderMap, StatusCode, Uri};
use axum::response::Response;
use serde::Deserialize;
use std::sync::Arc;

/// How large a form may be: the largest record file is far smaller.
pub(super) const LARGEST_FORM: usize = 1_000_000;
/// The field of a form that is sent to be tried only.
pub(super) const TRY: &str = "try";

/// What a page is told of the change before it.
#[derive(Debug, Clone, Default, Deserialize)]
#[serde(default)]
pub(super) struct SavedNotice {
    /// The number of the change that was just made.
    pub(super) saved: Option<u64>,
}

/// The address of the page that a form was sent from, where the browser says it.
pub(super) fn sent_from(headers: &HeaderMap) -> Option<Uri> {
    headers.get(REFERER)?.to_str().ok()?.parse().ok()
}

/// Names and values, in the order of the form.
#[derive(Debug, Clone, Default)]
pub(crate) struct Fields(pub(crate) Vec<(String, String)>);

impl Fields {
    /// The first value of a name.
    pub(crate) fn get(&self, name: &str) -> Option<&str> {
        let named = self.0.iter().find(|(known, _)| known == name);
        named.map(|(_, value)| value.as_str())
    }

    /// Whether it is to be recorded.
    pub(super) fn mode(&self) -> Mode {
        if self.get(TRY).is_some() {
            Mode::Try
        } else {
            Mode::Make
        }
    }

    /// All values of a name.
    pub(crate) fn all<'a>(&'a self, name: &'a str) -> impl Iterator<Item = &'a str> {
        let named = self.0.iter().filter(move |(known, _)| known == name);
        named.map(|(_, value)| value.as_str())
    }
}

/// The fields of a form, and whether it is to be recorded or only to be tried.
pub(super) struct TriedFields(pub(super) Fields, pub(super) Mode);

impl FromRequest<Arc<Desk>> for TriedFields {
    type Rejection = Response;

    async fn from_request(request: Request, desk: &Arc<Desk>) -> Result<Self, Response> {
        let fields = read(request, desk).await?;
        let mode = fields.mode();
        Ok(Self(fields, mode))
    }
}

impl FromRequest<Arc<Desk>> for Fields {
    type Rejection = Response;

    async fn from_request(request: Request, desk: &Arc<Desk>) -> Result<Self, Response> {
        let fields = read(request, desk).await?;
        match fields.mode() {
            Mode::Make => Ok(fields),
            Mode::Try => Err(cannot_be_tried()),
        }
    }
}

/// What is answered to a form that can be sent, but not be tried.
pub(super) fn cannot_be_tried() -> Response {
    page::plain(
        StatusCode::BAD_REQUEST,
        "This form cannot be tried",
        "Nothing was changed.",
    )
}

/// Reads a form, and asks for its token.
async fn read(request: Request, desk: &Arc<Desk>) -> Result<Fields, Response> {
    if announces_more(&request, LARGEST_FORM) {
        return Err(too_large());
    }
    let form = Form::<Vec<(String, String)>>::from_request(request, desk).await;
    let fields = match form {
        Ok(Form(fields)) => Fields(fields),
        Err(FormRejection::BytesRejection(why))
            if why.status() == StatusCode::PAYLOAD_TOO_LARGE =>
        {
            return Err(too_large());
        }
        Err(_) => {
            return Err(page::plain(
                StatusCode::BAD_REQUEST,
                "This form cannot be read",
                "Nothing was changed.",
            ));
        }
    };
    if fields
        .get("token")
        .is_some_and(|token| desk.gate.is_token(token))
    {
        Ok(fields)
    } else {
        Err(other_sitting())
    }
}

/// Whether a request says of itself that it is larger: then nobody waits for it.
pub(super) fn announces_more(request: &Request, limit: usize) -> bool {
    request.body().size_hint().lower() > limit as u64
}

fn too_large() -> Response {
    page::plain(
        StatusCode::PAYLOAD_TOO_LARGE,
        "This is more than a form can hold",
        "Nothing was changed. A form takes up to 1 MB of text.",
    )
}

/// What is answered to a form that does not carry the token.
pub(super) fn other_sitting() -> Response {
    page::plain(
        StatusCode::FORBIDDEN,
        "This form is from another sitting",
        "Nothing was changed. The desk was begun anew since this page was opened. Go back, copy \
         what you typed, and load the page again.",
    )
}
