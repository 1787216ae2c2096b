//! Making the site: what `publish`, `handover` and the desk share.
//!
//! In: a session and what was read in it. Out: the site and the book, written. Secrets are drawn
//! and on the disk before a page that needs them is on the site; a page counts as sealed only once
//! it stands there.

use super::loading::{Husbandry, LoadedKennel};
use super::progress::Progress;
use super::published::Published;
use super::session::Session;
use super::{Outcome, secrets};
use crate::Error;
use crate::audience::owner::OwnerPage;
use crate::keyring::{Keyring, RememberedSeals, SealedBefore, sealed_path};
use crate::output::{Plan, Report, SitePath, WriteError};
use crate::pages::{PageCache, SealedPage, Sealer, ToSeal};
use crate::records::Loaded;
use crate::{audience, pages};

/// Everything that is to be written.
pub struct MadePages {
    /// Of the site and of the book.
    plans: [Plan; 2],
    caches: [PageCache; 2],
    sealed: Vec<SealedPage>,
}

/// Makes and writes the site of one kennel.
pub struct Publisher {
    pub session: Session,
    pub(super) kennel: LoadedKennel,
}

impl Publisher {
    /// Reads and checks everything.
    pub fn open(session: Session, progress: &Progress) -> Result<Self, Error> {
        let kennel = LoadedKennel::read(&session, progress, true)?;
        Ok(Self { session, kennel })
    }

    /// Does something with what the cache holds; and when that turned out to be otherwise, once
    /// more without.
    pub fn attempt<T>(
        mut self,
        progress: &Progress,
        act: impl Fn(&Self) -> Result<T, Error>,
    ) -> Result<(Self, T), Error> {
        let done = match act(&self) {
            Err(error) if error.is_of_memory() => {
                self.session.writer.look_again();
                "note: something changed while it was read, so everything is made anew\n"
                    .clone_into(&mut self.session.notes);
                self.kennel = LoadedKennel::read(&self.session, progress, false)?;
                act(&self)?
            }
            done => done?,
        };
        Ok((self, done))
    }

    /// What was found of the last run and in the records, for standard error.
    pub fn notes(&self) -> String {
        format!(
            "{}{}",
            self.session.notes,
            self.kennel.problems(&self.session.folder)
        )
    }

    /// What was read, with its problems.
    pub fn loaded(&self) -> &Loaded {
        &self.kennel.loaded
    }

    /// What is said when the records have errors.
    pub fn refused(&self, what: &str) -> Outcome {
        Outcome::problems(format!("{}{what}\n", self.notes()))
    }

    /// Gives up the locks, and leaves what was read to the system, since the process ends soon
    /// after.
    pub fn leave(self) {
        let Self { session, kennel } = self;
        std::mem::forget(kennel);
        drop(session);
    }

    /// The records with their figures; nothing when they have errors.
    pub fn husbandry(&self) -> Option<Husbandry<'_>> {
        self.kennel.husbandry(&self.session)
    }

    /// What seals pages and makes papers.
    pub fn sealer<'a>(
        &'a self,
        keyring: &'a Keyring,
        locked: &'a audience::owner::LockedPage,
        cache: &'a PageCache,
    ) -> Result<Sealer<'a>, Error> {
        let signing = keyring
            .signing
            .newest()
            .ok_or_else(|| Error::Usage("there is no signing key".to_owned()))?;
        Ok(Sealer {
            engine: &self.kennel.engine,
            locked,
            photos: &self.kennel.gallery.photos,
            signing,
            cache,
        })
    }

    /// Makes the site and the book; neither is written yet.
    pub fn make(
        &self,
        husbandry: &Husbandry<'_>,
        keyring: &Keyring,
        owners: &[OwnerPage],
        progress: &Progress,
    ) -> Result<MadePages, Error> {
        let Husbandry {
            records,
            figures,
            album,
        } = husbandry;
        let photos = &self.kennel.gallery.photos;
        let locked = audience::owner::locked(&records.kennel);
        let [public, private] = &self.session.targets;
        let stage = |target| self.session.writer.stage(target);
        let [of_site, of_book] = self.kennel.befores.clone();
        let digests = audience::digests(records, figures, album);
        let caches = [
            PageCache::new(of_site, stage(public)?, digests.clone()),
            PageCache::new(of_book, stage(private)?, digests),
        ];
        let [public_cache, private_cache] = &caches;
        let sealed = self.seal(
            &self.sealer(keyring, &locked, public_cache)?,
            keyring,
            owners,
            progress,
        )?;
        let step = progress.step("making pages", None);
        let engine = &self.kennel.engine;
        let public = || -> Result<Plan, Error> {
            let site = audience::visitor::site(records, figures, album);
            let mut public = pages::visitor_plan(engine, &site, photos, public_cache)?;
            let keys: Vec<String> = keyring
                .signing
                .public()
                .iter()
                .map(|key| key.to_jwk())
                .collect();
            public
                .merge(pages::checking_plan(
                    engine,
                    &site.frame,
                    &keys,
                    public_cache,
                )?)
                .map_err(pages::PageError::from)?;
            public
                .merge(sealed_plan(&sealed)?)
                .map_err(pages::PageError::from)?;
            Ok(public)
        };
        let private = || {
            pages::keeper_plan(
                engine,
                &audience::keeper::book(records, figures, album, &self.kennel.loaded.problems),
                photos,
                private_cache,
            )
        };
        let (public, private) = rayon::join(public, private);
        let plans = [public?, private?];
        drop(step);
        Ok(MadePages {
            plans,
            caches,
            sealed,
        })
    }

    /// Writes what was made.
    pub fn write(
        &self,
        keyring: &Keyring,
        made: &MadePages,
        progress: &Progress,
    ) -> Result<Published, Error> {
        let MadePages {
            plans: [public, private],
            caches,
            sealed,
        } = made;
        let step = progress.step("writing", None);
        let reports = self
            .session
            .writer
            .write(
                &[
                    (&self.session.targets[0], public),
                    (&self.session.targets[1], private),
                ],
                self.session.adopt,
            )
            .map_err(half_way)?;
        keyring
            .remember(&self.session.state, &remembered(keyring, sealed))
            .map_err(|error| Error::from(error).and_now(ALL_IN_PLACE))?;
        drop(step);
        Ok(self.published(keyring, sealed, caches, reports))
    }

    /// What was done, once everything stands.
    fn published(
        &self,
        keyring: &Keyring,
        sealed: &[SealedPage],
        caches: &[PageCache],
        reports: Vec<Report>,
    ) -> Published {
        let (new, old): (Vec<&SealedPage>, Vec<&SealedPage>) =
            sealed.iter().partition(|page| page.is_new);
        let folders = self.session.named(reports);
        let again = |(cache, (root, _)): (&PageCache, &(String, Report))| {
            cache
                .again()
                .into_iter()
                .map(|(path, why)| (format!("{root}/{path}"), why.to_string()))
                .collect::<Vec<_>>()
        };
        let pictures = self.kennel.gallery.made.iter().map(|file| {
            (
                format!("{}/{file}", self.session.folder.shown_content()),
                PICTURE_MADE.to_owned(),
            )
        });
        Published {
            made: pictures
                .chain(caches.iter().zip(&folders).flat_map(again))
                .collect(),
            sealed: new.into_iter().map(|page| page.key.clone()).collect(),
            still_sealed: old.len(),
            withdrawn: keyring
                .remembered
                .pages
                .keys()
                .filter(|key| !sealed.iter().any(|page| page.key == **key))
                .cloned()
                .collect(),
            folders,
        }
    }

    fn seal(
        &self,
        sealer: &Sealer<'_>,
        keyring: &Keyring,
        owners: &[OwnerPage],
        progress: &Progress,
    ) -> Result<Vec<SealedPage>, Error> {
        let wanted = owners.iter().filter_map(|page| {
            let entry = keyring.codes.get(&page.key)?;
            let before = keyring
                .remembered
                .pages
                .get(&page.key)
                .filter(|before| before.page == entry.page);
            let file = self.session.public_file(&sealed_path(&entry.page));
            let standing = Box::new(move || std::fs::read_to_string(&file).ok());
            Some(ToSeal {
                page,
                code: entry.code,
                name: entry.page,
                remembered: before.map(|before| before.fingerprint.clone()),
                standing,
            })
        });
        let wanted: Vec<_> = wanted.collect();
        let step = progress.step("sealing pages", Some(wanted.len()));
        Ok(sealer.seal(&wanted, &|bytes| secrets::random(bytes), &|| step.tick())?)
    }
}

/// How things stand when only what is remembered could not be written.
const ALL_IN_PLACE: &str =
    "the new site and the new book are in place; what is remembered of them is not: run again";

/// The writer's error, with a word on how things stand.
fn half_way(error: WriteError) -> Error {
    let stands = match &error {
        WriteError::InPlace { old, .. } if old.is_empty() => {
            "the new site and the new book are in place; run again, to tidy up".to_owned()
        }
        WriteError::InPlace { new, old, .. } => {
            format!(
                "the new {} files are in place, the {} files are as they were before; run again",
                new.join(" and "),
                old.join(" and ")
            )
        }
        _ => "nothing was published: the site and the book are as they were before".to_owned(),
    };
    Error::from(error).and_now(stands)
}

/// Why a picture is prepared: nothing else makes it so.
const PICTURE_MADE: &str = "the cache has nothing made from this picture";

fn sealed_plan(sealed: &[SealedPage]) -> Result<Plan, Error> {
    let mut plan = Plan::new();
    for page in sealed {
        let path = SitePath::new(&sealed_path(&page.name)).map_err(pages::PageError::from)?;
        plan.add_made(path, page.made.clone())
            .map_err(pages::PageError::from)?;
    }
    Ok(plan)
}

fn remembered(keyring: &Keyring, sealed: &[SealedPage]) -> RememberedSeals {
    let before = |page: &SealedPage| SealedBefore {
        page: page.name.clone(),
        fingerprint: page.fingerprint.clone(),
        content: page.content.clone(),
    };
    RememberedSeals {
        signed_with: keyring
            .signing
            .newest()
            .map(|key| key.public().thumbprint()),
        pages: sealed
            .iter()
            .map(|page| (page.key.clone(), before(page)))
            .collect(),
    }
}
