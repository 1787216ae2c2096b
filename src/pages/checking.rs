//! What anybody needs to check a signed record: the kennel's public keys, the schema of the record,
//! and the page that does it in the browser.
//!
//! In: public keys as JWK texts. Out: a plan of three files for the public site. No private half of
//! a key ever comes here.

use super::engine::{Engine, PageError};
use super::{PageCache, RECORD_CHECK, VisitorFrame, papers, record_check};
use crate::audience::visitor::Frame;
use crate::output::{Plan, SitePath};

/// The kennel's public keys, a JWK Set (RFC 7517 section 5).
const KEYS_FILE: &str = "kennel-keys.json";

/// Keys, schema and page. What `cache` holds of them is not made again.
///
/// # Errors
/// When a template is broken.
pub fn plan(
    engine: &Engine,
    frame: &Frame,
    keys: &[String],
    cache: &PageCache,
) -> Result<Plan, PageError> {
    let mut plan = Plan::new();
    plan.add(
        SitePath::new(KEYS_FILE)?,
        format!("{{\"keys\":[\n{}\n]}}\n", keys.join(",\n")).into_bytes(),
    )?;
    let schema = || Ok(format!("{:#}\n", papers::schema(frame.site.as_deref())));
    plan.add_made(
        SitePath::new(papers::SCHEMA_FILE)?,
        cache.page(engine, papers::SCHEMA_FILE, &frame.site, schema)?,
    )?;
    let page = || record_check(engine, &VisitorFrame::new(frame), keys);
    plan.add_made(
        SitePath::new(RECORD_CHECK)?,
        cache.page(engine, RECORD_CHECK, &(frame, keys), page)?,
    )?;
    Ok(plan)
}
