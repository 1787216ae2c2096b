//! Families' pages and their codes: what a keeper gives to a family, and a new code where the old
//! one must no longer open the page.
//!
//! In: the records and the keyring. Out: a page that shows each code when it is asked for; a page
//! that says what a new code means; then the new code, drawn as `recode` draws it. No code is ever
//! part of an address.

use super::Desk;
use super::page::{self, tried};
use super::posted::Fields;
use crate::Error;
use crate::app::codes::{FamilyPage, drawn, family_pages};
use crate::app::folder::Folder;
use crate::app::secrets;
use crate::keyring::{Keyring, sealed_path};
use crate::records::Loaded;
use axum::Router;
use axum::extract::{Query, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use axum::routing::get;
use serde::{Deserialize, Serialize};
use std::sync::Arc;

/// All of them.
#[derive(Default, Serialize)]
struct CodesPage {
    token: String,
    /// Why no code can be shown.
    unusable: Option<String>,
    families: Vec<FamilyRow>,
    /// Whether the kennel says where its site stands.
    has_site: bool,
}

/// The page of one puppy.
#[derive(Serialize)]
struct FamilyRow {
    key: String,
    family: String,
    puppy: String,
    litter: String,
    /// Where it is made ready to leave.
    handover: String,
    /// Nothing before the next publication.
    page: Option<GivenCode>,
    /// Whether the code was drawn just now.
    is_new: bool,
}

/// What is given to a family.
#[derive(Serialize)]
struct GivenCode {
    code: String,
    /// Where it stands once the site is in place.
    link: Option<String>,
    /// The page as it is on this machine.
    here: String,
}

/// Before a new code.
#[derive(Serialize)]
struct NewCodePage {
    token: String,
    key: String,
    family: String,
    puppy: String,
}

#[derive(Debug, Clone, Default, Deserialize)]
#[serde(default)]
struct CodesQuery {
    /// The page that is asked for.
    of: String,
    /// The page whose code was drawn just now.
    new: String,
}

pub(super) fn routes() -> Router<Arc<Desk>> {
    Router::new()
        .route("/-desk/codes", get(show))
        .route("/-desk/codes/new", get(ask).post(draw))
}

fn read(desk: &Desk) -> Result<(Folder, Arc<Loaded>), Error> {
    let folder = desk.folder()?;
    let loaded = folder.records()?;
    Ok((folder, loaded))
}

async fn show(State(desk): State<Arc<Desk>>, Query(asked): Query<CodesQuery>) -> Response {
    tried(move || {
        let (folder, loaded) = read(&desk)?;
        let view = view(&desk, &folder, &loaded, &asked.new);
        Ok(page::render(StatusCode::OK, "codes.html", &view))
    })
    .await
}

fn view(desk: &Desk, folder: &Folder, loaded: &Loaded, new: &str) -> CodesPage {
    let Some(records) = loaded.records.as_ref() else {
        return CodesPage {
            unusable: Some("The records have problems; mend them first.".to_owned()),
            ..CodesPage::default()
        };
    };
    let (keyring, unusable) = match Keyring::look(&folder.root, &folder.state, &folder.public) {
        Ok(keyring) => {
            let unsound = keyring.is_sound().err().map(|error| error.to_string());
            (Some(keyring), unsound)
        }
        Err(error) => (None, Some(error.to_string())),
    };
    let site = records.kennel.site.as_ref();
    let row = |of: FamilyPage<'_>| {
        let key = of.key();
        let codes = keyring.as_ref().map(|keyring| &keyring.codes);
        let entry = codes
            .filter(|codes| codes.is_of(&key, of.family.id.as_str()))
            .and_then(|codes| codes.get(&key));
        let FamilyPage {
            folder,
            puppy,
            family,
        } = of;
        FamilyRow {
            is_new: key == new,
            family: family.name.to_string(),
            puppy: puppy.shown_name(),
            litter: folder.litter.name.to_string(),
            handover: format!("/-desk/litters/{}/puppies/{}/handover", folder.id, puppy.id),
            page: entry.map(|entry| {
                let path = sealed_path(&entry.page);
                GivenCode {
                    code: entry.code.to_string(),
                    link: site.map(|site| format!("{}{path}", site.as_str())),
                    here: format!("{}/{path}", desk.site),
                }
            }),
            key,
        }
    };
    CodesPage {
        token: desk.gate.token(),
        unusable,
        families: family_pages(records).into_iter().map(row).collect(),
        has_site: site.is_some(),
    }
}

/// The page of a family that goes by this key.
fn page_of<'a>(loaded: &'a Loaded, key: &str) -> Option<FamilyPage<'a>> {
    let pages = family_pages(loaded.records.as_deref()?);
    pages.into_iter().find(|page| page.key() == key)
}

/// What a new code means, before it is drawn.
async fn ask(State(desk): State<Arc<Desk>>, Query(asked): Query<CodesQuery>) -> Response {
    tried(move || {
        let (_, loaded) = read(&desk)?;
        let Some(of) = page_of(&loaded, &asked.of) else {
            return Ok(page::lost());
        };
        let view = NewCodePage {
            token: desk.gate.token(),
            key: of.key(),
            family: of.family.name.to_string(),
            puppy: of.puppy.shown_name(),
        };
        Ok(page::render(StatusCode::OK, "new-code.html", &view))
    })
    .await
}

async fn draw(State(desk): State<Arc<Desk>>, fields: Fields) -> Response {
    tried(move || {
        let key = fields.get("of").unwrap_or_default();
        if !drawn_for(&desk, key)? {
            return Ok(page::lost());
        }
        let key = super::acts::encoded(key);
        Ok(Redirect::to(&format!("/-desk/codes?new={key}#{key}")).into_response())
    })
    .await
}

/// Draws a new code for one page and writes it; whether there is such a page.
fn drawn_for(desk: &Desk, key: &str) -> Result<bool, Error> {
    let (folder, loaded) = read(desk)?;
    let Some(of) = page_of(&loaded, key) else {
        return Ok(false);
    };
    secrets::sweep(&folder)?;
    let mut keyring = Keyring::open(&folder.root, &folder.state, &folder.state, &folder.public)?;
    keyring.codes_are_there()?;
    drawn(&mut keyring, &[(of.key(), of.family.id.to_string())])?;
    keyring.save_codes()?;
    Ok(true)
}
