//! The visitor's views to the files of `public/`.
//!
//! In: [`Site`]. Out: a plan of pages, feed, sitemap, style, script and pictures. [`page`] takes views for visitors only.

use super::engine::{Engine, PageError};
use super::keeper::hash_of;
use super::memory::Memory;
use super::{Photos, add_pictures, feed, links, owner, structured};
use crate::audience::visitor::{Frame, LitterLeaf, RecordCheckPage, Site};
use crate::audience::{PictureShown, View, Visitor};
use crate::output::{Made, Plan, SitePath};
use crate::sealing::jws::PublicKey;
use rayon::prelude::*;
use serde::Serialize;
use tera::{Context, Value};

/// What stands around every page, serialised once.
#[derive(Debug)]
pub struct VisitorFrame<'a> {
    frame: &'a Frame,
    value: Value,
}

impl<'a> VisitorFrame<'a> {
    /// Prepares the frame.
    #[must_use]
    pub fn new(frame: &'a Frame) -> Self {
        Self { frame, value: Value::from_serializable(frame) }
    }
}

/// Makes a page, or takes it from memory.
type Make<'a> = dyn Fn(&Memory) -> Result<Made, PageError> + Send + Sync + 'a;

/// A page that is still to be made.
struct Wanted<'a> {
    path: String,
    make: Box<Make<'a>>,
}

/// Renders one page for visitors.
///
/// # Errors
/// When the template is broken.
pub fn page<V: View<For = Visitor>>(engine: &Engine, frame: &VisitorFrame<'_>, template: &str, path: &str, view: &V) -> Result<String, PageError> {
    render(engine, frame, template, path, view, &Told::default())
}

/// What is told about a page outside its text.
#[derive(Default, Serialize)]
struct Told<'a> {
    title: String,
    description: String,
    picture: Option<&'a PictureShown>,
}

fn render<V: View<For = Visitor>>(
    engine: &Engine,
    frame: &VisitorFrame<'_>,
    template: &str,
    path: &str,
    view: &V,
    told: &Told<'_>,
) -> Result<String, PageError> {
    engine.render(template, &context_of(frame, path, view, told))
}

fn context_of<V: View<For = Visitor>>(frame: &VisitorFrame<'_>, path: &str, view: &V, told: &Told<'_>) -> Context {
    let site = frame.frame.site.as_deref();
    let image = told.picture.and_then(|p| links::absolute(site, &p.largest.path));
    let mut context = Context::new();
    context.insert_value("frame", frame.value.clone());
    context.insert("page", view);
    context.insert("root", &links::root_of(path));
    context.insert("path", path);
    context.insert("canonical", &links::absolute(site, path));
    context.insert("social_image", &image);
    context.insert("social_alt", &told.picture.map(|p| p.alt.as_str()));
    context.insert("structured", &structured::page(frame.frame, path, &told.title, &told.description, image.as_deref()));
    context
}

/// What the page on which a record can be checked is called.
pub const RECORD_CHECK: &str = "record-check.html";
/// What a template writes where the policy goes.
const POLICY: &str = "@policy@";

/// The page on which anybody can check whether a puppy's record is unaltered and from this kennel. `keys` are the kennel's public keys as JWK; a secret that stands in one is left out.
///
/// # Errors
/// When the template is broken or a key is none.
pub fn record_check(engine: &Engine, frame: &VisitorFrame<'_>, keys: &[String]) -> Result<String, PageError> {
    let refused = |message: String| PageError::Template { name: "visitor/record-check.html".to_owned(), message };
    let keys = keys.iter().map(|key| PublicKey::from_jwk(key).map(|key| key.to_jwk()).map_err(|error| refused(error.to_string())));
    let keys = keys.collect::<Result<Vec<String>, PageError>>()?;
    let title = format!("Check a record, {}", frame.frame.kennel);
    let told = Told { description: title.clone(), title, picture: None };
    let mut context = context_of(frame, RECORD_CHECK, &RecordCheckPage::new(frame.frame), &told);
    context.insert("keys", &keys);
    context.insert("key_set", &format!("{{\"keys\":[{}]}}", keys.join(",")));
    context.insert("style", &owner::inline(engine, "shared/style.css")?);
    context.insert("script", &owner::inline(engine, "visitor/check.js")?);
    context.insert("policy", POLICY);
    let html = engine.render("visitor/record-check.html", &context)?.replace("\r\n", "\n");
    // The little picture in the tab is written into the address of it.
    let policy = owner::policy(&html, "data:");
    Ok(html.replacen(POLICY, &policy, 1))
}

/// All files of the public site. Pages that `memory` holds are not made again.
///
/// # Errors
/// When a template is broken or two pages have one path.
pub fn plan(engine: &Engine, site: &Site<'_>, photos: &Photos, memory: &Memory) -> Result<Plan, PageError> {
    let frame = VisitorFrame::new(&site.frame);
    let frame_hash = hash_of(&site.frame)?;
    let wanted = wanted(engine, &frame, &frame_hash, site);
    let made: Vec<Result<Made, PageError>> = wanted.par_iter().map(|page| (page.make)(memory)).collect();
    let mut plan = Plan::new();
    let mut listed = Vec::new();
    for (page, made) in wanted.iter().zip(made) {
        plan.add_made(SitePath::new(&page.path)?, made?)?;
        if page.path != "404.html" {
            listed.push(page.path.clone());
        }
    }
    plan.add(SitePath::new("style.css")?, engine.asset("shared/style.css"))?;
    plan.add(SitePath::new("site.js")?, engine.asset("visitor/site.js"))?;
    plan.add(SitePath::new("news.atom")?, feed::atom(&site.frame, &site.feed)?)?;
    plan.add(SitePath::new("robots.txt")?, feed::robots(&site.frame))?;
    // It is made beside the others, since it needs the kennel's keys.
    listed.push(RECORD_CHECK.to_owned());
    if let Some(sitemap) = feed::sitemap(&site.frame, &listed) {
        plan.add(SitePath::new("sitemap.xml")?, sitemap)?;
    }
    add_pictures(&mut plan, &site.pictures, photos, memory)?;
    Ok(plan)
}

fn wanted<'a>(engine: &'a Engine, frame: &'a VisitorFrame<'a>, frame_hash: &'a str, site: &'a Site<'a>) -> Vec<Wanted<'a>> {
    let Site { frame: _, home, puppies, litters, dogs, past, texts, feed: _, pictures: _ } = site;
    let desk = Desk { engine, frame, frame_hash };
    let kennel = &frame.frame.kennel;
    // Whatever page is shared, a picture goes with it.
    let first = puppies.cards.iter().find_map(|card| card.picture.as_ref());
    let mut pages = vec![
        want(desk, "visitor/home.html", "index.html".to_owned(), home, kennel, home.picture.as_ref()),
        want(desk, "visitor/puppies.html", "puppies.html".to_owned(), puppies, "Available puppies", first.or(home.picture.as_ref())),
        want(desk, "visitor/past.html", "past.html".to_owned(), past, "Earlier litters", home.picture.as_ref()),
        want(desk, "visitor/not-found.html", "404.html".to_owned(), frame.frame, "Not found", None),
    ];
    for leaf in litters {
        pages.push(from_leaf(desk, leaf, leaf.card.path.clone(), move |memory, path| {
            let view = &leaf.pages().0;
            desk.make(memory, "visitor/litter.html", path, view, &view.card.name, view.card.picture.as_ref())
        }));
    }
    for (leaf, n) in litters.iter().flat_map(|leaf| (0..leaf.puppies.len()).map(move |n| (leaf, n))) {
        pages.push(from_leaf(desk, leaf, leaf.puppies[n].clone(), move |memory, path| {
            let view = &leaf.pages().1[n];
            desk.make(memory, "visitor/puppy.html", path, view, &view.card.name, view.card.picture.as_ref())
        }));
    }
    pages.extend(dogs.iter().map(|p| want(desk, "visitor/dog.html", format!("dogs/{}.html", p.dog.id), p, &p.dog.name, p.picture.as_ref())));
    pages.extend(texts.iter().map(|p| want(desk, "visitor/text.html", format!("pages/{}.html", p.slug), p, &p.title, home.picture.as_ref())));
    pages
}

/// What every page is made with.
#[derive(Clone, Copy)]
struct Desk<'a> {
    engine: &'a Engine,
    frame: &'a VisitorFrame<'a>,
    frame_hash: &'a str,
}

impl Desk<'_> {
    fn make<V: View<For = Visitor>>(
        &self,
        memory: &Memory,
        template: &str,
        path: &str,
        view: &V,
        title: &str,
        picture: Option<&PictureShown>,
    ) -> Result<Made, PageError> {
        let Desk { engine, frame, frame_hash } = *self;
        let description = format!("{title}: {} from {}", frame.frame.breed, frame.frame.kennel);
        let told = Told { title: title.to_owned(), description, picture };
        memory.page(engine, path, &(frame_hash, template, &told, view), || render(engine, frame, template, path, view, &told))
    }
}

fn want<'a, V: View<For = Visitor> + Sync>(
    desk: Desk<'a>,
    template: &'static str,
    path: String,
    view: &'a V,
    title: &'a str,
    picture: Option<&'a PictureShown>,
) -> Wanted<'a> {
    let own = path.clone();
    Wanted { path, make: Box::new(move |memory: &Memory| desk.make(memory, template, &own, view, title, picture)) }
}

/// A page of a litter, which is not even chosen when it stands as it was.
fn from_leaf<'a>(
    desk: Desk<'a>,
    leaf: &'a LitterLeaf<'a>,
    path: String,
    make: impl Fn(&Memory, &str) -> Result<Made, PageError> + Send + Sync + 'a,
) -> Wanted<'a> {
    let own = path.clone();
    let from =
        move |memory: &Memory| memory.page_from(desk.engine, &own, &[desk.frame_hash.as_bytes(), leaf.made_from.as_bytes()], || make(memory, &own));
    Wanted { path, make: Box::new(from) }
}

#[cfg(test)]
mod tests;
