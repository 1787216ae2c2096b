//! Owners' pages, sealed: what stands under `sealed/` on the public site.
//!
//! In: views of owners, their access codes, the signing key, pages as an earlier run left them.
//! Out: [`SealedPage`]s. A page is made and sealed again only when its record, its pictures, the
//! templates, the key, the code or the version of this program changed; otherwise the sealed text
//! stays byte for byte. No content ever leaves this floor unsealed but through `papers`.

use super::engine::{Engine, PageError};
use super::page_cache::PageCache;
use super::papers::Papers;
use super::{Photos, owner, papers};
use crate::audience::owner::{LockedPage, OwnerPage};
use crate::keyring::sealed_path;
use crate::output::Artifact;
use crate::sealing::code::AccessCode;
use crate::sealing::fingerprint::Fingerprint;
use crate::sealing::jws::SigningKey;
use crate::sealing::{NoRandomness, jwe};
use rayon::prelude::*;

/// Goes up whenever the same record would make another page or paper than before, between two
/// versions of the program.
const LAYOUT: u32 = 6;

/// Random bytes, drawn on all threads at once.
pub type Draw<'a> = dyn Fn(&mut [u8]) -> Result<(), NoRandomness> + Sync + 'a;

/// A page to be sealed.
pub struct ToSeal<'a> {
    /// What the owner sees.
    pub page: &'a OwnerPage,
    /// The code it opens with.
    pub code: AccessCode,
    /// Its name on the site, without ending.
    pub name: String,
    /// The fingerprint that was remembered of it.
    pub remembered: Option<String>,
    /// Reads the page as it stands on the site now. Asked only when it cannot be left there
    /// unread.
    pub standing: Box<dyn Fn() -> Option<String> + Sync + 'a>,
}

/// A sealed page.
#[derive(Debug, Clone)]
pub struct SealedPage {
    /// Key of the puppy.
    pub key: String,
    /// Its name on the site, without ending.
    pub name: String,
    /// What is remembered of it: the fingerprint of content and sealed text.
    pub fingerprint: String,
    /// And that of the content alone.
    pub content: String,
    /// The whole file.
    pub made: Artifact,
    /// Whether it was sealed in this run.
    pub is_new: bool,
}

/// What all pages of a run have in common.
#[derive(Debug)]
pub struct Sealer<'a> {
    /// Templates.
    pub engine: &'a Engine,
    /// What is seen before a page is opened.
    pub locked: &'a LockedPage,
    /// Prepared pictures.
    pub photos: &'a Photos,
    /// The key that signs records.
    pub signing: &'a SigningKey,
    /// What stands on the site already.
    pub cache: &'a PageCache,
}

impl Sealer<'_> {
    /// Seals pages on all cores, in the order given. `done` is called after each.
    ///
    /// # Errors
    /// When a template is broken, a page is too large, or there are no random bytes.
    pub fn seal(
        &self,
        wanted: &[ToSeal<'_>],
        draw: &Draw<'_>,
        done: &(dyn Fn() + Sync),
    ) -> Result<Vec<SealedPage>, PageError> {
        let one = |wanted| self.one(wanted, draw).inspect(|_| done());
        wanted.par_iter().with_max_len(1).map(one).collect()
    }

    fn one(&self, wanted: &ToSeal<'_>, draw: &Draw<'_>) -> Result<SealedPage, PageError> {
        let ToSeal {
            page,
            code,
            name,
            remembered,
            standing,
        } = wanted;
        let made_from = self.made_from(page)?;
        let as_remembered = remembered.clone().unwrap_or_default();
        // Before anything is read: a page that was made from the same, with the same code, is left
        // where it stands. The fingerprint tells nothing without the code.
        let content = Fingerprint::of(&made_from, "", code).to_string();
        let parts = (&content, self.locked);
        let (mut fingerprint, mut is_new) = (as_remembered.clone(), false);
        let made = self.cache.page_if(
            remembered.is_some(),
            self.engine,
            &sealed_path(name),
            &parts,
            || {
                let before = standing();
                let kept = before
                    .as_deref()
                    .and_then(owner::sealed_in)
                    .map(|jwe| (jwe, Fingerprint::of(&made_from, jwe, code)));
                if let Some((jwe, _)) =
                    kept.filter(|(_, fingerprint)| fingerprint.is(&as_remembered))
                {
                    return owner::envelope(self.engine, self.locked, jwe);
                }
                let whole = owner::content(self.engine, page, &self.papers(page)?)?;
                let jwe = jwe::seal(&whole, code, &mut |bytes| draw(bytes))?;
                (fingerprint, is_new) = (Fingerprint::of(&made_from, &jwe, code).to_string(), true);
                owner::envelope(self.engine, self.locked, &jwe)
            },
        )?;
        Ok(SealedPage {
            key: page.key.clone(),
            name: name.clone(),
            fingerprint,
            content,
            made,
            is_new,
        })
    }

    /// The papers of a puppy, as they lie in its page.
    ///
    /// # Errors
    /// When a paper cannot be made.
    pub fn papers(&self, page: &OwnerPage) -> Result<Papers, PageError> {
        papers::papers(
            page,
            self.photos,
            self.signing,
            papers::sheet_of(&page.country),
        )
    }

    /// Everything that the content of a page depends on.
    fn made_from(&self, page: &OwnerPage) -> Result<Vec<u8>, PageError> {
        let version = format!(
            "{}/{LAYOUT}/{}/{}",
            env!("CARGO_PKG_VERSION"),
            self.engine.owner_templates(),
            self.signing.public().thumbprint()
        );
        serde_json::to_vec(&(version, page)).map_err(|error| PageError::Template {
            name: page.key.clone(),
            message: error.to_string(),
        })
    }
}
