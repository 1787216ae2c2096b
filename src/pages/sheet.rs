//! Sheets for the phone: one HTML file each that works from a folder with no network.
//!
//! In: a keeper's view, a template, the names of styles and scripts. Out: HTML with everything
//! inside. Its Content-Security-Policy names every inline script and style by its SHA-256 and
//! allows nothing besides: the page can reach no other computer. The view goes into the page as
//! JSON, for its script; nothing a keeper typed can end that element early.

use super::engine::{Engine, PageError};
use super::owner::{inline, inline_styles, policy};
use crate::audience::{Keeper, View};
use tera::Context;

/// What a template writes where the policy goes.
const POLICY: &str = "@policy@";

/// A page that carries everything itself. The template is given the view as `page`, and `style`,
/// `script`, `data` and `policy` to put in as they are.
pub(super) fn sheet<V: View<For = Keeper>>(
    engine: &Engine,
    template: &str,
    view: &V,
    styles: &[&str],
    scripts: &[&str],
) -> Result<String, PageError> {
    let fault = |message: String| PageError::Template {
        name: template.to_owned(),
        message,
    };
    let scripts: Vec<String> = scripts
        .iter()
        .map(|name| inline(engine, name))
        .collect::<Result<_, _>>()?;
    // `<` is the one letter with which such an element could end, and JSON has another way to write
    // it.
    let data = serde_json::to_string(view)
        .map_err(|error| fault(error.to_string()))?
        .replace('<', "\\u003c");
    let mut context = Context::new();
    context.insert("page", view);
    context.insert("style", &inline_styles(engine, styles)?);
    context.insert("script", &scripts.join("\n"));
    context.insert("data", &data);
    context.insert("policy", POLICY);
    // A browser reads CR LF as LF and hashes that.
    let html = engine
        .render(template, &context)?
        .replace("\r\n", "\n")
        .replace('\r', "\n");
    if !html.contains(POLICY) || !html.contains(&data) {
        return Err(fault(
            "it must hold {{ policy }} in a meta element, and {{ data }} in a script element with \
             the id `sheet-data`"
                .to_owned(),
        ));
    }
    let policy = format!("{}; connect-src 'none'", policy(&html, "data:"));
    // The first is the template's own, in the head; a keeper may call a litter whatever there is.
    Ok(html.replacen(POLICY, &policy, 1))
}
