//! What would change if the site were published now: for everyone, page by page, and for each
//! family.
//!
//! In: the site as the desk has made it, the one that was published, and what is remembered of
//! sealed pages on both sides. Out: what is new, other and gone, in words; and any public page as
//! it is and as it will be, side by side. A page that is shown so runs no script: it stands at the
//! desk's own address.

use super::Desk;
use super::answer::answer;
use super::finding::{Found, find};
use super::kinds::{HTML, kind};
use super::page::{self, beside};
use crate::app::codes::family_pages;
use crate::app::folder::Folder;
use crate::app::site;
use crate::keyring::{Keyring, RememberedSeals, is_sealed, sealed_path};
use crate::quantity::Id;
use crate::records::Records;
use crate::records::litter::Offer;
use axum::Router;
use axum::extract::{Path as Named, Query, State};
use axum::http::StatusCode;
use axum::http::header::{CONTENT_SECURITY_POLICY, HeaderName, HeaderValue};
use axum::response::Response;
use axum::routing::get;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use walkdir::WalkDir;

/// The page for those who are lost: it names all that it needs from the root of its host, and so
/// looks like itself at its own address only.
const LOST: &str = "404.html";
/// How many pages are listed under a heading.
const LISTED: usize = 60;

/// What would change.
#[derive(Default, Serialize)]
pub(super) struct Changes {
    /// Nothing was published yet.
    pub(super) is_first: bool,
    pub(super) groups: Vec<PageGroup>,
    pub(super) families: Vec<FamilyChange>,
}

/// Pages of which the same is to be said.
#[derive(Serialize)]
pub(super) struct PageGroup {
    title: &'static str,
    pages: Vec<PageChange>,
    /// Pages that are not listed.
    more: usize,
    /// Pictures and whatever else is no page.
    others: usize,
}

#[derive(Serialize)]
struct PageChange {
    title: String,
    /// Its name below the site.
    file: String,
    /// Why it goes, where the records say so.
    why: Option<&'static str>,
}

/// What becomes of the page of a family.
#[derive(Serialize)]
pub(super) struct FamilyChange {
    who: String,
    what: &'static str,
    /// The page as it will be, where there is one already.
    will_be: Option<String>,
}

/// One page, as it is and as it will be.
#[derive(Serialize)]
struct SideBySide {
    title: String,
    is: Option<String>,
    will_be: Option<String>,
}

#[derive(Debug, Default, Deserialize)]
#[serde(default)]
struct ComparisonQuery {
    of: String,
}

pub(super) fn routes() -> Router<Arc<Desk>> {
    Router::new()
        .route("/-desk/publish/page", get(side_by_side))
        .route("/-desk/as-it-is/{*file}", get(as_it_is))
        .route("/-desk/as-it-will-be/{*file}", get(as_it_will_be))
}

fn made_site(desk: &Desk) -> PathBuf {
    desk.kennel.join(".litterfolio").join("desk").join("public")
}

fn published_site(desk: &Desk) -> PathBuf {
    desk.kennel.join("public")
}

/// What would change now.
pub(super) fn changes(desk: &Desk, records: Option<&Records>) -> Changes {
    let made = files(&made_site(desk));
    let published = files(&published_site(desk));
    let without = |one: &BTreeMap<String, PathBuf>, other: &BTreeMap<String, PathBuf>| {
        let is_missing = |name: &&String| !other.contains_key(*name);
        let names = one.keys().filter(is_missing);
        let named = names.map(|name| (name.clone(), one[name].clone()));
        named.collect::<Vec<_>>()
    };
    let other = made
        .iter()
        .filter(|(name, path)| published.get(*name).is_some_and(|old| !is_same(path, old)))
        .map(|(name, path)| (name.clone(), path.clone()))
        .collect();
    let gone = |file: &str| why_gone(records?, file);
    let groups = [
        group("New", without(&made, &published), &|_| None),
        group("Changed", other, &|_| None),
        group("Taken away", without(&published, &made), &gone),
    ];
    Changes {
        is_first: published.is_empty(),
        groups: groups.into_iter().flatten().collect(),
        families: records
            .map(|records| families(desk, records))
            .unwrap_or_default(),
    }
}

/// Why the page of a litter or of one of its puppies goes.
fn why_gone(records: &Records, file: &str) -> Option<&'static str> {
    let mut names = file
        .strip_suffix(".html")?
        .strip_prefix("litters/")?
        .split('/');
    let id: Id = names.next()?.parse().ok()?;
    let Some(folder) = records.litters.get(&id) else {
        return Some("no litter has this name in the records");
    };
    if !folder.litter.announced {
        return Some("this litter is no longer announced");
    }
    if folder.litter.came_to_nothing() {
        return Some("this litter came to nothing");
    }
    let Some(name) = names.next() else {
        return Some("nothing of this litter is shown to everyone any more");
    };
    let puppy = name.parse().ok().and_then(|id| folder.puppy(&id));
    Some(match puppy {
        None => "no puppy of the litter has this name",
        Some(puppy) if !puppy.is_alive() => "this puppy is not alive any more",
        Some(puppy) if puppy.offer == Offer::NotOffered => "this puppy is not offered any more",
        Some(_) => return None,
    })
}

fn group(
    title: &'static str,
    files: Vec<(String, PathBuf)>,
    why: &dyn Fn(&str) -> Option<&'static str>,
) -> Option<PageGroup> {
    let (mut pages, others): (Vec<_>, Vec<_>) = files
        .into_iter()
        .partition(|(name, _)| name.ends_with(".html") && name != LOST);
    // The first page first.
    pages.sort_by_key(|(name, _)| name != "index.html");
    let more = pages.len().saturating_sub(LISTED);
    pages.truncate(LISTED);
    let pages = pages.into_iter().map(|(file, path)| PageChange {
        title: title_of(&path).unwrap_or_else(|| file.clone()),
        why: why(&file),
        file,
    });
    let group = PageGroup {
        title,
        pages: pages.collect(),
        more,
        others: others.len(),
    };
    (!group.pages.is_empty() || group.others > 0).then_some(group)
}

/// What becomes of each family's page. A page is sealed anew when what it is made from changed, or
/// its code: both sides remember a fingerprint of that, since two seals of the same are not alike.
fn families(desk: &Desk, records: &Records) -> Vec<FamilyChange> {
    let Ok(folder) = Folder::new(&desk.kennel) else {
        return Vec::new();
    };
    let state = site::Options::at(
        made_site(desk),
        desk.kennel
            .join(".litterfolio")
            .join("desk")
            .join("private"),
        None,
    )
    .state(&folder);
    let keyring = Keyring::look(&folder.root, &folder.state, &folder.public);
    let then = RememberedSeals::load(&state);
    let now = RememberedSeals::load(&folder.state);
    let pages = family_pages(records);
    let mut all: Vec<FamilyChange> = Vec::new();
    let mut known = Vec::new();
    for page in &pages {
        let key = page.key();
        let has_code = keyring
            .as_ref()
            .is_ok_and(|keyring| keyring.codes.is_of(&key, page.family.id.as_str()));
        let marks = (now.pages.get(&key), then.pages.get(&key));
        let what = match marks {
            (Some(now), Some(then)) if has_code && now.content == then.content => {
                "their page stays as it is"
            }
            (Some(_), _) if has_code => "their page changes",
            _ => "gets a page and a code",
        };
        let will_be = marks.1.filter(|_| has_code);
        all.push(FamilyChange {
            who: format!("{}, for {}", page.family.name, page.puppy.shown_name()),
            what,
            will_be: will_be.map(|page| format!("{}/{}", desk.site, sealed_path(&page.page))),
        });
        known.push(key);
    }
    let gone = now.pages.keys().filter(|key| !known.contains(key));
    all.extend(gone.map(|key| FamilyChange {
        who: format!("The page of {key}"),
        what: if is_dead(records, key) {
            "is taken away: this puppy is not alive any more"
        } else {
            "is taken away: no family takes this puppy any more"
        },
        will_be: None,
    }));
    all
}

/// Whether a puppy, named with its litter, died.
fn is_dead(records: &Records, key: &str) -> bool {
    let puppy = key.split_once('/').and_then(|(litter, puppy)| {
        let folder = records.litters.get(&litter.parse::<Id>().ok()?)?;
        folder.puppy(&puppy.parse().ok()?)
    });
    puppy.is_some_and(|puppy| !puppy.is_alive())
}

/// What a page calls itself.
fn title_of(path: &Path) -> Option<String> {
    let text = std::fs::read_to_string(path).ok()?;
    let (_, rest) = text.split_once("<title>")?;
    let (title, _) = rest.split_once("</title>")?;
    let plain = [
        ("&lt;", "<"),
        ("&gt;", ">"),
        ("&quot;", "\""),
        ("&#39;", "'"),
        ("&#x27;", "'"),
        ("&#x2F;", "/"),
        ("&amp;", "&"),
    ];
    let title = plain.iter().fold(title.to_owned(), |title, (from, to)| {
        title.replace(from, to)
    });
    Some(title.trim().to_owned()).filter(|title| !title.is_empty())
}

/// The files below a folder, by their names with `/`; sealed pages are told of by their families.
fn files(root: &Path) -> BTreeMap<String, PathBuf> {
    WalkDir::new(root)
        .into_iter()
        .filter_map(Result::ok)
        .filter(|entry| entry.file_type().is_file())
        .filter_map(|entry| {
            let name = entry.path().strip_prefix(root).ok()?;
            let name = name.to_str()?.replace('\\', "/");
            let is_told = !name.starts_with('.') && !is_sealed(&name);
            is_told.then(|| (name, entry.into_path()))
        })
        .collect()
}

fn is_same(one: &Path, other: &Path) -> bool {
    let size = |path: &Path| std::fs::metadata(path).map(|found| found.len()).ok();
    size(one) == size(other) && std::fs::read(one).ok() == std::fs::read(other).ok()
}

/// A page of a site; never a sealed one, which is opened at its own address.
fn page_of(root: &Path, file: &str) -> Option<PathBuf> {
    match find(root, &format!("/{file}")) {
        Found::File(path) if !is_sealed(file) => Some(path),
        _ => None,
    }
}

async fn side_by_side(
    State(desk): State<Arc<Desk>>,
    Query(asked): Query<ComparisonQuery>,
) -> Response {
    beside(move || {
        let is = page_of(&published_site(&desk), &asked.of);
        let will_be = page_of(&made_site(&desk), &asked.of);
        let Some(one) = will_be.as_ref().or(is.as_ref()) else {
            return page::lost();
        };
        let file: Vec<String> = asked.of.split('/').map(super::acts::encoded).collect();
        let file = file.join("/");
        let view = SideBySide {
            title: title_of(one).unwrap_or_else(|| asked.of.clone()),
            is: is.map(|_| format!("/-desk/as-it-is/{file}")),
            will_be: will_be.map(|_| format!("/-desk/as-it-will-be/{file}")),
        };
        page::render(StatusCode::OK, "compare.html", &view)
    })
    .await
}

async fn as_it_is(State(desk): State<Arc<Desk>>, Named(file): Named<String>) -> Response {
    beside(move || still(page_of(&published_site(&desk), &file))).await
}

async fn as_it_will_be(State(desk): State<Arc<Desk>>, Named(file): Named<String>) -> Response {
    beside(move || still(page_of(&made_site(&desk), &file))).await
}

/// A file of a site, to be looked at in a page of the desk: nothing in it runs.
fn still(file: Option<PathBuf>) -> Response {
    let read = file.and_then(|file| Some((kind(&file), std::fs::read(&file).ok()?)));
    let Some((kind, bytes)) = read else {
        return page::lost();
    };
    let mut answer = answer(StatusCode::OK, kind, bytes);
    if kind == HTML || kind.starts_with("image/svg") {
        for (name, value) in [
            (
                CONTENT_SECURITY_POLICY,
                "default-src 'none'; img-src 'self' data:; style-src 'self' 'unsafe-inline'; \
                 font-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'self'; \
                 sandbox allow-same-origin",
            ),
            (HeaderName::from_static("x-frame-options"), "SAMEORIGIN"),
        ] {
            answer
                .headers_mut()
                .insert(name, HeaderValue::from_static(value));
        }
    }
    answer
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_page_is_called_as_it_calls_itself() {
        let home = tempfile::tempdir().unwrap();
        let file = home.path().join("a.html");
        for (text, title) in [
            ("<title>Fern &amp; Reed</title>", Some("Fern & Reed")),
            ("<title>&amp;lt;</title>", Some("&lt;")),
            ("<title> </title>", None),
            ("<p>none</p>", None),
        ] {
            crate::output::replace_public(&file, text.as_bytes()).unwrap();
            assert_eq!(title_of(&file).as_deref(), title);
        }
    }
}
