//! The keeper's views to the files of `private/`.
//!
//! In: [`Book`]. Out: a plan of pages, style and pictures. Takes views for keepers only.

use super::engine::{Engine, PageError};
use super::sheet::sheet;
use super::{Photos, add_pictures, chart, links};
use crate::audience::keeper::{Book, GuidePage, LitterPage, WeighingSheet, WhelpingSheet};
use crate::audience::{Keeper, View};
use crate::output::{Plan, SitePath};
use rayon::prelude::*;
use std::collections::BTreeMap;
use tera::{Context, Value};

/// What sealing and signing promise, as the keeper should know.
const SEALING: &str = include_str!("../../docs/sealing.md");

/// All files of the keeper's book.
///
/// # Errors
/// When a template is broken or two pages have one path.
pub fn plan(engine: &Engine, book: &Book, photos: &Photos) -> Result<Plan, PageError> {
    let Book { frame, home, litters, dogs, kennel, people, weighing, whelping, pictures } = book;
    let frame = Value::from_serializable(frame);
    let mut plan = Plan::new();
    plan.add(SitePath::new("index.html")?, page(engine, &frame, "keeper/home.html", "index.html", home, |_| {})?.into_bytes())?;
    plan.add(SitePath::new("dogs.html")?, page(engine, &frame, "keeper/dogs.html", "dogs.html", dogs, |_| {})?.into_bytes())?;
    plan.add(SitePath::new("figures.html")?, page(engine, &frame, "keeper/figures.html", "figures.html", kennel, |_| {})?.into_bytes())?;
    plan.add(SitePath::new("people.html")?, page(engine, &frame, "keeper/people.html", "people.html", people, |_| {})?.into_bytes())?;
    let (title, text) = SEALING.split_once('\n').unwrap_or_default();
    let guide = GuidePage { title: title.trim_start_matches("# "), text };
    plan.add(SitePath::new("sealing.html")?, page(engine, &frame, "keeper/guide.html", "sealing.html", &guide, |_| {})?.into_bytes())?;
    let rendered: Vec<Result<String, PageError>> = litters.par_iter().map(|view| litter(engine, &frame, view)).collect();
    for (view, html) in litters.iter().zip(rendered) {
        plan.add(SitePath::new(&view.row.path)?, html?.into_bytes())?;
    }
    let sheets: Vec<Result<String, PageError>> = whelping.par_iter().map(|view| whelping_sheet(engine, view)).collect();
    for (view, html) in whelping.iter().zip(sheets) {
        plan.add(SitePath::new(&view.path)?, html?.into_bytes())?;
    }
    for view in weighing {
        plan.add(SitePath::new(&view.path)?, weighing_sheet(engine, view)?.into_bytes())?;
    }
    plan.add(SitePath::new("book.css")?, engine.asset("keeper/book.css"))?;
    add_pictures(&mut plan, pictures, photos)?;
    Ok(plan)
}

fn litter(engine: &Engine, frame: &Value, view: &LitterPage) -> Result<String, PageError> {
    let puppy_charts: BTreeMap<&str, String> = view.puppies.iter().filter_map(|p| Some((p.id.as_str(), chart::growth(p.chart.as_ref()?)?))).collect();
    page(engine, frame, "keeper/litter.html", &view.row.path, view, |context| {
        context.insert("litter_chart", &view.chart.as_ref().and_then(chart::growth));
        context.insert("puppy_charts", &puppy_charts);
    })
}

/// The weigh-in sheet of one litter, with the program's rules inside.
fn weighing_sheet(engine: &Engine, view: &WeighingSheet) -> Result<String, PageError> {
    let styles = ["keeper/sheet.css", "keeper/weighing.css"];
    let scripts = ["keeper/sheet.js", "keeper/weighing-slips.mjs", "keeper/weighing-rules.mjs", "keeper/weighing-file.mjs", "keeper/weighing.js"];
    sheet(engine, "keeper/weighing.html", view, &styles, &scripts)
}

fn whelping_sheet(engine: &Engine, view: &WhelpingSheet) -> Result<String, PageError> {
    let styles = ["keeper/sheet.css", "keeper/whelping.css"];
    sheet(engine, "keeper/whelping.html", view, &styles, &["keeper/sheet.js", "keeper/whelping-file.js", "keeper/whelping.js"])
}

fn page<V: View<For = Keeper>>(
    engine: &Engine,
    frame: &Value,
    template: &str,
    path: &str,
    view: &V,
    more: impl FnOnce(&mut Context),
) -> Result<String, PageError> {
    let mut context = Context::new();
    context.insert_value("frame", frame.clone());
    context.insert("page", view);
    context.insert("root", &links::root_of(path));
    context.insert("path", path);
    more(&mut context);
    engine.render(template, &context)
}
