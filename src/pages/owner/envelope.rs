//! The file that a sealed record lies in: one HTML page with its own style and script, and nothing
//! from anywhere else.
//!
//! In: a [`LockedPage`] and the sealed text. Out: HTML. Its Content-Security-Policy names every
//! inline script and style by the SHA-256 of its very text, taken from the finished page, and
//! allows nothing besides: no request, no frame, no form that is sent. Nothing about the puppy and
//! its family may stand here; the view does not hold it.

use super::{Engine, PageError, seen_by_owner};
use crate::audience::owner::LockedPage;
use crate::engine::BASE;
use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;
use sha2::{Digest, Sha256};
use std::fmt::Write;

const TEMPLATE: &str = "owner/locked.html";
/// The style sheets of a sealed page.
const STYLES: [&str; 3] = ["shared/ribbon.css", "shared/charts.css", "owner/owner.css"];
/// What a template writes where the policy goes. `@` stands in no base64url, so no sealed text can
/// hold it.
const POLICY: &str = "@policy@";
/// What would end an inline script or style early, or keep its end from being seen.
const ENDINGS: &[&str] = &["</script", "</style", "<!--"];

/// The whole file around a sealed text.
///
/// # Errors
/// When the template is broken, or leaves out the policy or the sealed text.
pub fn envelope(engine: &Engine, locked: &LockedPage, sealed: &str) -> Result<String, PageError> {
    let script = [
        inline(engine, "owner/open.js")?,
        inline(engine, "owner/page.js")?,
    ]
    .join("\n");
    let mut context = seen_by_owner(locked);
    context.insert("style", &inline_styles(engine, &STYLES)?);
    context.insert("script", &script);
    context.insert("sealed", sealed);
    context.insert("policy", POLICY);
    // A browser reads CR LF as LF and hashes that.
    let html = engine
        .render(TEMPLATE, &context)?
        .replace("\r\n", "\n")
        .replace('\r', "\n");
    if html.matches(POLICY).count() != 1 || sealed_in(&html) != Some(sealed) {
        let message = "it must hold {{ policy }} once, in a meta element, and {{ sealed }} in a \
                       script element with the id `sealed`"
            .to_owned();
        return Err(PageError::Template {
            name: TEMPLATE.to_owned(),
            message,
        });
    }
    let policy = policy(&html, "blob:");
    Ok(html.replacen(POLICY, &policy, 1))
}

/// The sealed text in a file that [`envelope`] made, so that a page need not be sealed anew when
/// only what is around it changed. It is not proven to be one of ours.
#[must_use]
pub fn sealed_in(html: &str) -> Option<&str> {
    RawTexts::of(html)
        .find(|raw| raw.says("id=\"sealed\""))
        .map(|raw| raw.text.trim())
}

/// A script or style sheet for use inside a page.
pub(crate) fn inline(engine: &Engine, name: &str) -> Result<String, PageError> {
    let text = engine.text(name).replace("\r\n", "\n");
    match ENDINGS
        .iter()
        .find(|ending| text.to_ascii_lowercase().contains(*ending))
    {
        Some(ending) => Err(PageError::Template {
            name: name.to_owned(),
            message: format!("`{ending}` may not stand in it: it stands inside a page"),
        }),
        None => Ok(text.trim_end().to_owned()),
    }
}

/// Style sheets for use inside a page, with what all pages have in common before them.
pub(crate) fn inline_styles(engine: &Engine, names: &[&str]) -> Result<String, PageError> {
    let names = std::iter::once(&BASE).chain(names);
    let texts: Result<Vec<_>, _> = names.map(|name| inline(engine, name)).collect();
    texts.map(|texts| texts.join("\n"))
}

/// The policy of a page that carries everything itself: its inline scripts and styles, and pictures
/// from `images`.
pub(crate) fn policy(html: &str, images: &str) -> String {
    let (scripts, styles) = (hashes(html, "script"), hashes(html, "style"));
    format!(
        "default-src 'none'; script-src{scripts}; style-src{styles}; img-src {images}; base-uri \
         'none'; form-action 'none'"
    )
}

/// The sources that allow exactly the inline scripts or styles of a page; `'none'` where there are
/// none. Scripts that are data are never run, and are named all the same: checkers of policies
/// ask for it.
fn hashes(html: &str, tag: &str) -> String {
    let texts = RawTexts::of(html).filter(|raw| raw.tag == tag);
    let mut sources = texts.fold(String::new(), |mut sources, raw| {
        _ = write!(
            sources,
            " 'sha256-{}'",
            STANDARD.encode(Sha256::digest(raw.text))
        );
        sources
    });
    if sources.is_empty() {
        sources.push_str(" 'none'");
    }
    sources
}

/// A script or style element: what stands in it is taken as it is up to its end tag.
struct RawText<'a> {
    tag: &'static str,
    /// The rest of the start tag.
    attributes: &'a str,
    text: &'a str,
}

impl RawText<'_> {
    fn says(&self, attribute: &str) -> bool {
        self.attributes.contains(attribute)
    }
}

/// All script and style elements of a page, in their order.
struct RawTexts<'a> {
    rest: &'a str,
}

impl<'a> RawTexts<'a> {
    fn of(html: &'a str) -> Self {
        Self { rest: html }
    }
}

impl<'a> Iterator for RawTexts<'a> {
    type Item = RawText<'a>;

    fn next(&mut self) -> Option<RawText<'a>> {
        loop {
            let (_, after) = self.rest.split_once('<')?;
            self.rest = after;
            let starts = |tag: &str| {
                after
                    .get(..tag.len())
                    .is_some_and(|name| name.eq_ignore_ascii_case(tag))
            };
            let Some((tag, end)) = [("script", "</script"), ("style", "</style")]
                .into_iter()
                .find(|(tag, _)| starts(tag))
            else {
                continue;
            };
            let (attributes, text) = after.get(tag.len()..)?.split_once('>')?;
            let length = text.match_indices("</").map(|(at, _)| at).find(|at| {
                text.get(*at..at + end.len())
                    .is_some_and(|t| t.eq_ignore_ascii_case(end))
            })?;
            let (text, rest) = text.split_at(length);
            self.rest = rest;
            return Some(RawText {
                tag,
                attributes,
                text,
            });
        }
    }
}
