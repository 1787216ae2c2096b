//! The keeper's views to the files of `private/`.
//!
//! In: [`Book`]. Out: a plan of pages, style and pictures. Takes views for keepers only.

use super::engine::{Engine, PageError};
use super::page_cache::PageCache;
use super::sheet::sheet;
use super::{Photos, add_pictures, chart, links};
use crate::audience::keeper::{
    BitchLeaf, Book, BookLitter, GuidePage, LitterPages, WeighingSheet, WhelpingSheet,
};
use crate::audience::{Keeper, View};
use crate::cache::Digest;
use crate::output::{Artifact, Plan, SitePath};
use rayon::prelude::*;
use tera::{Context, Value};

/// The style sheets of the book.
const STYLES: [&str; 4] = [
    "shared/ribbon.css",
    "shared/charts.css",
    "shared/urgency.css",
    "keeper/book.css",
];

/// What sealing and signing promise, as the keeper should know.
const SEALING: &str = include_str!("../../docs/sealing.md");

/// What every page of the book is made with.
struct BookPages<'a> {
    engine: &'a Engine,
    cache: &'a PageCache,
    frame: Value,
    /// Digest of the frame, for what a page is made from.
    frame_digest: Digest,
}

/// All files of the keeper's book. Pages that `cache` holds are not made again.
///
/// # Errors
/// When a template is broken or two pages have one path.
pub fn plan(
    engine: &Engine,
    book: &Book<'_>,
    photos: &Photos,
    cache: &PageCache,
) -> Result<Plan, PageError> {
    let Book {
        frame,
        home,
        litters,
        dogs,
        bitches,
        kennel,
        people,
        find,
        weighing,
        whelping,
        clinic,
        pictures,
    } = book;
    let book_pages = BookPages {
        engine,
        cache,
        frame: Value::from_serializable(frame),
        frame_digest: digest_of(frame)?,
    };
    let (title, text) = SEALING.split_once('\n').unwrap_or_default();
    let guide = GuidePage {
        title: title.trim_start_matches("# "),
        text,
    };
    let mut plan = Plan::new();
    for (path, made) in [
        (
            "index.html",
            book_pages.page("keeper/home.html", "index.html", home, |_| {}),
        ),
        (
            "dogs.html",
            book_pages.page("keeper/dogs.html", "dogs.html", dogs, |_| {}),
        ),
        (
            "figures.html",
            book_pages.page("keeper/figures.html", "figures.html", kennel, |_| {}),
        ),
        (
            "people.html",
            book_pages.page("keeper/people.html", "people.html", people, |_| {}),
        ),
        (
            "find.html",
            book_pages.page("keeper/find.html", "find.html", find, |_| {}),
        ),
        (
            "sealing.html",
            book_pages.page("keeper/guide.html", "sealing.html", &guide, |_| {}),
        ),
    ] {
        plan.add_made(SitePath::new(path)?, made?)?;
    }
    let pages = litters
        .par_iter()
        .flat_map_iter(|leaf| book_pages.litter(leaf));
    let bitches = bitches
        .par_iter()
        .map(|leaf| (leaf.path.clone(), book_pages.bitch(leaf)));
    let sheets = whelping
        .par_iter()
        .map(|view| (view.path.clone(), book_pages.whelping(view)));
    let sheets = sheets.chain(
        weighing
            .par_iter()
            .map(|view| (view.path.clone(), book_pages.weighing(view))),
    );
    let sheets = sheets.chain(clinic.par_iter().map(|view| {
        (
            view.path.clone(),
            book_pages.page("keeper/clinic.html", &view.path, view, |_| {}),
        )
    }));
    let made: Vec<(String, Result<Artifact, PageError>)> =
        pages.chain(bitches).chain(sheets).collect();
    for (path, made) in made {
        plan.add_made(SitePath::new(&path)?, made?)?;
    }
    plan.add(
        SitePath::new("book.css")?,
        engine.styles(&STYLES).into_bytes(),
    )?;
    add_pictures(&mut plan, pictures, photos, cache)?;
    plan.add_reads(cache.reads());
    Ok(plan)
}

/// A digest of a view that many pages show.
pub(super) fn digest_of(view: &impl serde::Serialize) -> Result<Digest, PageError> {
    Digest::of_view(view).map_err(|error| PageError::Template {
        name: "layout.html".to_owned(),
        message: error.to_string(),
    })
}

impl BookPages<'_> {
    /// The pages of a litter and of its puppies. They are chosen together, and only when one of
    /// them has to be made.
    fn litter(&self, leaf: &BookLitter<'_>) -> Vec<(String, Result<Artifact, PageError>)> {
        let pages = self
            .cache
            .group(&leaf.row.path, &[self.frame_digest], || leaf.pages());
        let own = pages.page(
            self.engine,
            &leaf.row.path,
            |LitterPages { litter: view, .. }| {
                self.page("keeper/litter.html", &leaf.row.path, view, |context| {
                    context.insert("litter_chart", &view.chart.as_ref().and_then(chart::growth));
                    context.insert(
                        "dam_chart",
                        &view
                            .dam
                            .as_ref()
                            .and_then(|dam| chart::growth(dam.chart.as_ref()?)),
                    );
                    context.insert(
                        "before_chart",
                        &view.dam_before.as_ref().and_then(chart::temperatures),
                    );
                })
            },
        );
        let mut made = vec![(leaf.row.path.clone(), own)];
        for (place, path) in leaf.puppy_paths().into_iter().enumerate() {
            let own = pages.page(self.engine, &path, |pages| {
                let view = &pages.puppies[place];
                self.page("keeper/puppy.html", &path, view, |context| {
                    context.insert("puppy_chart", &view.chart.as_ref().and_then(chart::growth));
                })
            });
            made.push((path, own));
        }
        made
    }

    fn bitch(&self, leaf: &BitchLeaf<'_>) -> Result<Artifact, PageError> {
        let besides = [self.frame_digest, leaf.offspring_digest()];
        self.cache.group(&leaf.path, &besides, || leaf.page()).page(
            self.engine,
            &leaf.path,
            |view| self.page("keeper/bitch.html", &leaf.path, view, |_| {}),
        )
    }

    /// A page of a view; `more` adds what is drawn from the view itself.
    fn page<V: View<For = Keeper>>(
        &self,
        template: &str,
        path: &str,
        view: &V,
        more: impl FnOnce(&mut Context),
    ) -> Result<Artifact, PageError> {
        self.cache.page(
            self.engine,
            path,
            &(&self.frame_digest, template, view),
            || {
                let mut context = Context::new();
                context.insert_value("frame", self.frame.clone());
                context.insert("page", view);
                context.insert("root", &links::root_of(path));
                context.insert("path", path);
                more(&mut context);
                self.engine.render(template, &context)
            },
        )
    }

    fn whelping(&self, view: &WhelpingSheet) -> Result<Artifact, PageError> {
        let styles = ["keeper/sheet.css", "keeper/whelping.css"];
        let scripts = [
            "keeper/sheet.js",
            "keeper/whelping-file.js",
            "keeper/whelping.js",
        ];
        self.cache.page(self.engine, &view.path, view, || {
            sheet(self.engine, "keeper/whelping.html", view, &styles, &scripts)
        })
    }

    /// The weigh-in sheet of one litter, with the program's rules inside.
    fn weighing(&self, view: &WeighingSheet) -> Result<Artifact, PageError> {
        let styles = [
            "keeper/sheet.css",
            "shared/urgency.css",
            "keeper/weighing.css",
        ];
        let scripts = [
            "keeper/sheet.js",
            "keeper/weighing-slips.mjs",
            "keeper/weighing-rules.mjs",
            "keeper/weighing-file.mjs",
            "keeper/weighing.js",
        ];
        self.cache.page(self.engine, &view.path, view, || {
            sheet(self.engine, "keeper/weighing.html", view, &styles, &scripts)
        })
    }
}
