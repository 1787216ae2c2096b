//! The visitor's views to the files of `public/`.
//!
//! In: [`VisitorSite`]. Out: a plan of pages, feed, sitemap, style, script and pictures. [`page`]
//! takes views for visitors only.

use super::engine::{Engine, PageError};
use super::keeper::digest_of;
use super::page_cache::PageCache;
use super::{Photos, add_pictures, feed, links, owner, structured};
use crate::audience::visitor::{Frame, RecordCheckPage, SiteLitter, VisitorSite};
use crate::audience::{PictureShown, View, Visitor};
use crate::cache::Digest;
use crate::output::{Artifact, Plan, SitePath};
use crate::sealing::jws::PublicKey;
use rayon::prelude::*;
use serde::Serialize;
use tera::{Context, Value};

/// The style sheets of the public pages.
const STYLES: [&str; 2] = ["shared/ribbon.css", "shared/style.css"];

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
        Self {
            frame,
            value: Value::from_serializable(frame),
        }
    }
}

/// Makes a page, or takes it from the cache.
type Make<'a> = dyn Fn(&PageCache) -> Result<Artifact, PageError> + Send + Sync + 'a;

/// A page that is still to be made.
struct PageToMake<'a> {
    path: String,
    make: Box<Make<'a>>,
}

/// A page with its path.
type PathAndPage = (String, Artifact);

/// Renders one page for visitors.
///
/// # Errors
/// When the template is broken.
pub fn page<V: View<For = Visitor>>(
    engine: &Engine,
    frame: &VisitorFrame<'_>,
    template: &str,
    path: &str,
    view: &V,
) -> Result<String, PageError> {
    render(engine, frame, template, path, view, &BesideText::default())
}

/// What is told about a page outside its text.
#[derive(Default, Serialize)]
struct BesideText<'a> {
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
    told: &BesideText<'_>,
) -> Result<String, PageError> {
    engine.render(template, &context_of(frame, path, view, told))
}

fn context_of<V: View<For = Visitor>>(
    frame: &VisitorFrame<'_>,
    path: &str,
    view: &V,
    told: &BesideText<'_>,
) -> Context {
    let site = frame.frame.site.as_deref();
    let image = told
        .picture
        .and_then(|p| links::absolute(site, &p.largest.path));
    let mut context = Context::new();
    context.insert_value("frame", frame.value.clone());
    context.insert("page", view);
    context.insert("root", &links::root_of(path));
    context.insert("path", path);
    context.insert("canonical", &links::absolute(site, path));
    context.insert("social_image", &image);
    context.insert("social_alt", &told.picture.map(|p| p.alt.as_str()));
    context.insert(
        "structured",
        &structured::page(
            frame.frame,
            path,
            &told.title,
            &told.description,
            image.as_deref(),
        ),
    );
    context
}

/// What the page on which a record can be checked is called.
pub const RECORD_CHECK: &str = "record-check.html";
/// What a template writes where the policy goes.
const POLICY: &str = "@policy@";

/// The page on which anybody can check whether a puppy's record is unaltered and from this kennel.
/// `keys` are the kennel's public keys as JWK; a secret that stands in one is left out.
///
/// # Errors
/// When the template is broken or a key is none.
pub fn record_check(
    engine: &Engine,
    frame: &VisitorFrame<'_>,
    keys: &[String],
) -> Result<String, PageError> {
    let refused = |message: String| PageError::Template {
        name: "visitor/record-check.html".to_owned(),
        message,
    };
    let keys = keys.iter().map(|key| {
        PublicKey::from_jwk(key)
            .map(|key| key.to_jwk())
            .map_err(|error| refused(error.to_string()))
    });
    let keys = keys.collect::<Result<Vec<String>, PageError>>()?;
    let title = format!("Check a record, {}", frame.frame.kennel);
    let told = BesideText {
        description: title.clone(),
        title,
        picture: None,
    };
    let mut context = context_of(
        frame,
        RECORD_CHECK,
        &RecordCheckPage::new(frame.frame),
        &told,
    );
    context.insert("keys", &keys);
    context.insert("key_set", &format!("{{\"keys\":[{}]}}", keys.join(",")));
    context.insert("style", &owner::inline_styles(engine, &STYLES)?);
    context.insert("script", &owner::inline(engine, "visitor/check.js")?);
    context.insert("policy", POLICY);
    let html = engine
        .render("visitor/record-check.html", &context)?
        .replace("\r\n", "\n");
    // The little picture in the tab is written into the address of it.
    let policy = owner::policy(&html, "data:");
    Ok(html.replacen(POLICY, &policy, 1))
}

/// All files of the public site. Pages that `cache` holds are not made again.
///
/// # Errors
/// When a template is broken or two pages have one path.
pub fn plan(
    engine: &Engine,
    site: &VisitorSite<'_>,
    photos: &Photos,
    cache: &PageCache,
) -> Result<Plan, PageError> {
    let frame = VisitorFrame::new(&site.frame);
    let frame_digest = digest_of(&site.frame)?;
    let site_pages = SitePages {
        engine,
        frame: &frame,
        frame_digest: &frame_digest,
    };
    let wanted = wanted(site_pages, site);
    let single = || -> Result<Vec<PathAndPage>, PageError> {
        let page = |page: &PageToMake<'_>| Ok((page.path.clone(), (page.make)(cache)?));
        wanted.par_iter().map(page).collect()
    };
    let of_litters = || -> Result<Vec<Vec<PathAndPage>>, PageError> {
        let litters = site.litters.par_iter();
        litters.map(|leaf| site_pages.litter(leaf, cache)).collect()
    };
    let (single, of_litters) = rayon::join(single, of_litters);
    let mut plan = Plan::new();
    let mut listed = Vec::new();
    let mut pages = in_order(single?, of_litters?);
    pages.retain(|(path, _)| {
        if path != "404.html" {
            listed.push(path.clone());
        }
        true
    });
    for (path, made) in pages {
        plan.add_made(SitePath::new(&path)?, made)?;
    }
    plan.add(
        SitePath::new("style.css")?,
        engine.styles(&STYLES).into_bytes(),
    )?;
    plan.add(SitePath::new("site.js")?, engine.asset("visitor/site.js"))?;
    plan.add(
        SitePath::new("news.atom")?,
        feed::atom(&site.frame, &site.feed)?,
    )?;
    plan.add(SitePath::new("robots.txt")?, feed::robots(&site.frame))?;
    // It is made beside the others, since it needs the kennel's keys.
    listed.push(RECORD_CHECK.to_owned());
    if let Some(sitemap) = feed::sitemap(&site.frame, &listed) {
        plan.add(SitePath::new("sitemap.xml")?, sitemap)?;
    }
    add_pictures(&mut plan, &site.pictures, photos, cache)?;
    plan.add_reads(cache.reads());
    Ok(plan)
}

/// The pages that are made one by one, those that every site has first.
fn wanted<'a>(site_pages: SitePages<'a>, site: &'a VisitorSite<'a>) -> Vec<PageToMake<'a>> {
    let VisitorSite {
        frame: _,
        home,
        puppies,
        litters: _,
        dogs,
        past,
        texts,
        feed: _,
        pictures: _,
    } = site;
    let frame = site_pages.frame;
    let kennel = &frame.frame.kennel;
    // Whatever page is shared, a picture goes with it.
    let first = puppies.cards.iter().find_map(|card| card.picture.as_ref());
    let mut pages = vec![
        want(
            site_pages,
            "visitor/home.html",
            "index.html".to_owned(),
            home,
            kennel,
            home.picture.as_ref(),
        ),
        want(
            site_pages,
            "visitor/puppies.html",
            "puppies.html".to_owned(),
            puppies,
            "Available puppies",
            first.or(home.picture.as_ref()),
        ),
        want(
            site_pages,
            "visitor/past.html",
            "past.html".to_owned(),
            past,
            "Earlier litters",
            home.picture.as_ref(),
        ),
        want(
            site_pages,
            "visitor/not-found.html",
            "404.html".to_owned(),
            frame.frame,
            "Not found",
            None,
        ),
    ];
    pages.extend(dogs.iter().map(|p| {
        want(
            site_pages,
            "visitor/dog.html",
            format!("dogs/{}.html", p.dog.id),
            p,
            &p.dog.name,
            p.picture.as_ref(),
        )
    }));
    pages.extend(texts.iter().map(|p| {
        want(
            site_pages,
            "visitor/text.html",
            format!("pages/{}.html", p.slug),
            p,
            &p.title,
            home.picture.as_ref(),
        )
    }));
    pages
}

/// How many pages every site has.
const EVERY_SITE: usize = 4;

/// What every site has, litters, their puppies, and the others: the order of the site map.
fn in_order(mut single: Vec<PathAndPage>, of_litters: Vec<Vec<PathAndPage>>) -> Vec<PathAndPage> {
    let others = single.split_off(EVERY_SITE);
    let (mut litters, mut puppies) = (Vec::new(), Vec::new());
    for mut pages in of_litters {
        puppies.extend(pages.split_off(1));
        litters.extend(pages);
    }
    [single, litters, puppies, others].concat()
}

/// What every page is made with.
#[derive(Clone, Copy)]
struct SitePages<'a> {
    engine: &'a Engine,
    frame: &'a VisitorFrame<'a>,
    frame_digest: &'a Digest,
}

impl SitePages<'_> {
    /// The pages of a litter and of its puppies. They are chosen together, and only when one of
    /// them has to be made; what was chosen goes with them.
    fn litter(
        &self,
        leaf: &SiteLitter<'_>,
        cache: &PageCache,
    ) -> Result<Vec<PathAndPage>, PageError> {
        let besides = [*self.frame_digest, leaf.besides];
        let path = &leaf.card.path;
        let views = cache.group(path, &besides, || leaf.pages());
        let own = views.page(self.engine, path, |(view, _)| {
            let (name, picture) = (&view.card.name, view.card.picture.as_ref());
            self.make(cache, "visitor/litter.html", path, view, name, picture)
        })?;
        let mut pages = vec![(path.clone(), own)];
        for (n, path) in leaf.puppies.iter().enumerate() {
            let own = views.page(self.engine, path, |(_, puppies)| {
                let view = &puppies[n];
                let (name, picture) = (&view.card.name, view.card.picture.as_ref());
                self.make(cache, "visitor/puppy.html", path, view, name, picture)
            })?;
            pages.push((path.clone(), own));
        }
        Ok(pages)
    }

    fn make<V: View<For = Visitor>>(
        &self,
        cache: &PageCache,
        template: &str,
        path: &str,
        view: &V,
        title: &str,
        picture: Option<&PictureShown>,
    ) -> Result<Artifact, PageError> {
        let SitePages {
            engine,
            frame,
            frame_digest,
        } = *self;
        let description = format!("{title}: {} from {}", frame.frame.breed, frame.frame.kennel);
        let told = BesideText {
            title: title.to_owned(),
            description,
            picture,
        };
        cache.page(engine, path, &(frame_digest, template, &told, view), || {
            render(engine, frame, template, path, view, &told)
        })
    }
}

fn want<'a, V: View<For = Visitor> + Sync>(
    site_pages: SitePages<'a>,
    template: &'static str,
    path: String,
    view: &'a V,
    title: &'a str,
    picture: Option<&'a PictureShown>,
) -> PageToMake<'a> {
    let own = path.clone();
    PageToMake {
        path,
        make: Box::new(move |cache: &PageCache| {
            site_pages.make(cache, template, &own, view, title, picture)
        }),
    }
}

#[cfg(test)]
mod tests;
