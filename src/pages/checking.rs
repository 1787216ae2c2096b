//! What anybody needs to check a signed record: the kennel's public keys, the schema of the record,
//! and the page that does it in the browser.
//!
//! In: public keys as JWK texts. Out: a plan of three files for the public site. No private half of
//! a key ever comes here.

use super::engine::{Engine, PageError};
use super::{RECORD_CHECK, VisitorFrame, papers, record_check};
use crate::audience::visitor::Frame;
use crate::output::{Plan, SitePath};

/// The kennel's public keys, a JWK Set (RFC 7517 section 5).
const KEYS_FILE: &str = "kennel-keys.json";

/// Keys, schema and page.
///
/// # Errors
/// When a template is broken.
pub fn plan(engine: &Engine, frame: &Frame, keys: &[String]) -> Result<Plan, PageError> {
    let mut plan = Plan::new();
    plan.add(
        SitePath::new(KEYS_FILE)?,
        format!("{{\"keys\":[\n{}\n]}}\n", keys.join(",\n")).into_bytes(),
    )?;
    plan.add(
        SitePath::new(papers::SCHEMA_FILE)?,
        format!("{:#}\n", papers::schema(frame.site.as_deref())).into_bytes(),
    )?;
    plan.add(
        SitePath::new(RECORD_CHECK)?,
        record_check(engine, &VisitorFrame::new(frame), keys)?.into_bytes(),
    )?;
    Ok(plan)
}
