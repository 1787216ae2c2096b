//! The template engine, with the built-in templates and the keeper's own in their place.
//!
//! In: templates as text. Out: rendered pages. Templates see only what a view serialises; there is
//! no function that reads a file, the clock or the environment.

use super::builtin::BUILTIN;
use super::{links, markdown, words};
use crate::audience::with_article;
use crate::cache::{Digest, Digester};
use crate::output::{Clash, PathFault};
use crate::quantity::weight_difference;
use std::cell::RefCell;
use std::collections::BTreeMap;
use std::io;
use std::sync::{Arc, OnceLock};
use tera::{Context, Kwargs, State, Tera, TeraResult};

/// What every style sheet begins with.
pub(super) const BASE: &str = "shared/base.css";

/// Why pages could not be made.
#[derive(Debug, thiserror::Error)]
pub enum PageError {
    /// A template is broken, or asks for something that is not there.
    #[error("cannot use the template {name}: {message}")]
    Template {
        /// Name below the templates folder.
        name: String,
        /// What the engine says.
        message: String,
    },
    /// A file in the templates folder takes the place of nothing.
    #[error("cannot use templates/{name}: there is no built-in template of this name")]
    UnknownTemplate {
        /// Name below the templates folder.
        name: String,
    },
    /// Two pages have one path.
    #[error("cannot make the site: {0}")]
    Clash(#[from] Clash),
    /// A path cannot be used on every host.
    #[error("cannot make the site: {0}")]
    Path(#[from] PathFault),
    /// A page cannot be sealed.
    #[error("cannot seal a page: {0}")]
    Seal(#[from] crate::sealing::jwe::NotSealed),
    /// A prepared picture cannot be had from the cache.
    #[error("cannot use a prepared picture: {0}")]
    Picture(#[from] crate::output::WriteError),
    /// The feed cannot be written.
    #[error("cannot make the feed: {0}")]
    Feed(String),
    /// A paper of a puppy cannot be made.
    #[error("cannot make the papers of a puppy: {0}")]
    Paper(#[from] super::PaperFault),
}

/// Templates, ready to render.
#[derive(Debug)]
pub struct Engine {
    tera: Tera,
    /// Style sheets and scripts, which are copied as they are.
    assets: BTreeMap<&'static str, String>,
    /// Hash of the templates that what is sealed is made with.
    owner_templates: String,
    /// Hash of all templates.
    templates: Digest,
}

impl Engine {
    /// Built-in templates, with `own` (name below the templates folder → text) in their place. The
    /// built-in ones are taken apart once: a desk makes pages after every change.
    ///
    /// # Errors
    /// When a template is broken, or an own one takes the place of nothing.
    pub fn with(own: &BTreeMap<String, String>) -> Result<Arc<Self>, PageError> {
        static BUILT_IN: OnceLock<Arc<Engine>> = OnceLock::new();
        let built_in = if let Some(engine) = BUILT_IN.get() {
            engine
        } else {
            let engine = Arc::new(Self::of(without_templates(), &BTreeMap::new())?);
            BUILT_IN.get_or_init(|| engine)
        };
        Ok(if own.is_empty() {
            Arc::clone(built_in)
        } else {
            Arc::new(Self::of(built_in.tera.clone(), own)?)
        })
    }

    /// `tera` has the built-in templates already when there are `own` ones.
    fn of(mut tera: Tera, own: &BTreeMap<String, String>) -> Result<Self, PageError> {
        if let Some(name) = own
            .keys()
            .find(|name| !BUILTIN.iter().any(|(known, _)| known == name))
        {
            return Err(PageError::UnknownTemplate { name: name.clone() });
        }
        let chosen = BUILTIN
            .iter()
            .map(|(name, text)| (*name, own.get(*name).map_or(*text, String::as_str)));
        let mut all = Digester::default();
        for (name, text) in chosen.clone() {
            all.part(name.as_bytes()).part(text.as_bytes());
        }
        let mut hash = blake3::Hasher::new();
        for (name, text) in chosen.clone().filter(|(name, _)| {
            name.ends_with(".html") && (name.starts_with("owner/") || name.starts_with("shared/"))
        }) {
            hash.update(name.as_bytes())
                .update(&[0])
                .update(text.as_bytes())
                .update(&[0]);
        }
        let (pages, assets): (Vec<_>, Vec<_>) =
            chosen.partition(|(name, _)| name.ends_with(".html"));
        let new = pages
            .into_iter()
            .filter(|(name, _)| own.is_empty() || own.contains_key(*name));
        tera.add_raw_templates(new)
            .map_err(|error| PageError::Template {
                name: "folder".to_owned(),
                message: said(&error),
            })?;
        let assets = assets
            .into_iter()
            .map(|(name, text)| (name, text.to_owned()))
            .collect();
        Ok(Self {
            tera,
            assets,
            owner_templates: hash.finalize().to_hex()[..20].to_owned(),
            templates: all.finish(),
        })
    }

    pub(super) fn render(&self, template: &str, context: &Context) -> Result<String, PageError> {
        thread_local! {
            /// A page grows in the room of those before it, and is then as large as it has to be.
            static ROOM: RefCell<Vec<u8>> = const { RefCell::new(Vec::new()) };
        }
        let failed = |message: String| PageError::Template {
            name: template.to_owned(),
            message,
        };
        ROOM.with_borrow_mut(|room| {
            room.clear();
            self.tera
                .render_to(template, context, &mut *room)
                .map_err(|error| failed(said(&error)))?;
            str::from_utf8(room)
                .map(str::to_owned)
                .map_err(|error| failed(error.to_string()))
        })
    }

    /// A short hash of the templates of owners' pages, so that a page is made again when one
    /// changes.
    pub(super) fn owner_templates(&self) -> &str {
        &self.owner_templates
    }

    /// The digest of all templates, style sheets and scripts.
    pub(super) fn templates(&self) -> Digest {
        self.templates
    }

    /// A style sheet or script.
    pub(super) fn asset(&self, name: &str) -> Vec<u8> {
        self.text(name).as_bytes().to_vec()
    }

    /// Style sheets as one, with [`BASE`] before them.
    pub(super) fn styles(&self, names: &[&str]) -> String {
        let names = std::iter::once(&BASE).chain(names);
        let texts: Vec<&str> = names.map(|name| self.text(name)).collect();
        texts.join("\n")
    }

    /// A style sheet or script as text.
    pub(super) fn text(&self, name: &str) -> &str {
        self.assets
            .get(name)
            .map(String::as_str)
            .unwrap_or_default()
    }
}

/// The engine with what templates may call.
fn without_templates() -> Tera {
    let mut tera = Tera::new();
    tera.autoescape_on([".html"]);
    tera.set_escape_fn(escape);
    tera.register_filter(
        "markdown",
        |text: &str, kwargs: Kwargs, _: &State| -> TeraResult<String> {
            Ok(markdown::to_html(
                text,
                kwargs.get::<u8>("level")?.unwrap_or(2),
            ))
        },
    );
    tera.register_filter(
        "day",
        |iso: &str, kwargs: Kwargs, _: &State| -> TeraResult<String> {
            Ok(if kwargs.get::<bool>("short")?.unwrap_or(false) {
                words::short_moment(iso)
            } else {
                words::day(iso)
            })
        },
    );
    tera.register_filter(
        "first_day",
        |iso: &str, kwargs: Kwargs, _: &State| -> TeraResult<String> {
            Ok(words::first_of(iso, kwargs.must_get::<&str>("until")?))
        },
    );
    tera.register_filter(
        "weight",
        |grams: f64, kwargs: Kwargs, _: &State| -> TeraResult<String> {
            let ounces = kwargs.get::<bool>("ounces")?.unwrap_or(false);
            Ok(if kwargs.get::<bool>("change")?.unwrap_or(false) {
                weight_difference(grams, ounces)
            } else {
                words::weight(grams, ounces)
            })
        },
    );
    tera.register_filter(
        "with_article",
        |text: &str, _: Kwargs, _: &State| -> TeraResult<String> { Ok(with_article(text)) },
    );
    tera.register_filter(
        "file_size",
        |bytes: usize, _: Kwargs, _: &State| -> TeraResult<String> { Ok(words::file_size(bytes)) },
    );
    tera.register_function(
        "mail_link",
        |kwargs: Kwargs, _: &State| -> TeraResult<String> {
            Ok(links::mail(
                kwargs.must_get::<&str>("to")?,
                kwargs.get::<&str>("subject")?,
                kwargs.get::<&str>("body")?,
            ))
        },
    );
    tera
}

/// Writes a text so that it is one in HTML, between tags and in attributes, in as few pieces as
/// possible.
fn escape(text: &str, html: &mut dyn io::Write) -> io::Result<()> {
    let mut rest = text;
    while let Some(at) = rest.find(['&', '<', '>', '"', '\'']) {
        let (plain, special) = rest.split_at(at);
        html.write_all(plain.as_bytes())?;
        html.write_all(match special.as_bytes()[0] {
            b'&' => b"&amp;",
            b'<' => b"&lt;",
            b'>' => b"&gt;",
            b'"' => b"&quot;",
            _ => b"&#39;",
        })?;
        rest = &special[1..];
    }
    html.write_all(rest.as_bytes())
}

/// An error with its causes.
fn said(error: &tera::Error) -> String {
    let mut text = error.to_string();
    let mut cause = std::error::Error::source(error);
    while let Some(inner) = cause {
        text.push_str(": ");
        text.push_str(&inner.to_string());
        cause = inner.source();
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn texts_are_escaped_as_the_engine_itself_escapes_them() {
        for text in [
            "",
            "Fern",
            "<b>",
            "\"a\" & 'b'",
            "é&ü",
            "''",
            "5 < 6 > 4",
            "\u{1f436}'\u{1f436}",
        ] {
            let (mut ours, mut theirs) = (Vec::new(), Vec::new());
            escape(text, &mut ours).unwrap();
            tera::escape_html(text, &mut theirs).unwrap();
            assert_eq!(String::from_utf8(ours), String::from_utf8(theirs), "{text}");
        }
    }

    #[test]
    fn templates_say_days_and_weights_in_words() {
        let own = "{{ '2026-10-09' | day }}; {{ '2026-10-09T07:30' | day(short=true) }}; {{ 212.4 \
                   | weight }}; {{ 212 | weight(ounces=true) }}; {{ -8.2 | weight(change=true) \
                   }}; {{ 80400 | file_size }}";
        let engine = Engine::with(&BTreeMap::from([(
            "visitor/text.html".to_owned(),
            own.to_owned(),
        )]))
        .unwrap();
        let said = engine.render("visitor/text.html", &Context::new()).unwrap();
        assert_eq!(
            said,
            "9 October 2026; 9 Oct 2026, 07:30; 212 g; 7.5 oz; −8 g; 80 kB"
        );
    }
}
