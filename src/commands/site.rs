//! Making the site: what `publish` and `handover` share.
//!
//! In: the kennel's folder and where the two folders go. Out: a [`Shop`] in which everything is read, checked and locked; then the site, written. Secrets are drawn and on the disk before a page
//! that needs them is on the site; a page is remembered as sealed only once it stands there.

use super::folder::Folder;
use super::inputs::Inputs;
use super::own_growth::OwnGrowth;
use super::pictures::{Gallery, Store};
use super::progress::Progress;
use super::terminal::{self, many};
use super::{Outcome, Status, inspect, pictures, secrets};
use crate::Error;
use crate::audience::Album;
use crate::audience::owner::OwnerPage;
use crate::husbandry::Figures;
use crate::keyring::{Keyring, Remembered, SEALED, SealedBefore, Why};
use crate::output::{Before, Cache, FileMode, Plan, Report, SitePath, Target, WriteError, Writer, sweep_left_behind};
use crate::pages::{Memory, SealedPage, Sealer, ToSeal};
use crate::records::{Loaded, Records};
use crate::{audience, husbandry, pages};
use std::fmt::Write;
use std::path::{Path, PathBuf};
use std::sync::OnceLock;
use std::sync::atomic::{AtomicBool, Ordering};

/// Where the site goes, and how.
#[derive(Debug, clap::Args)]
#[group(skip)]
pub(super) struct Options {
    /// Where the public site goes [default: public/ in the kennel's folder]
    #[arg(long, value_name = "DIR")]
    public: Option<PathBuf>,
    /// Where the keeper's book goes [default: private/ in the kennel's folder]
    #[arg(long, value_name = "DIR")]
    private: Option<PathBuf>,
    /// Take over files that stand where the site's files go and were not written by litterfolio
    #[arg(long)]
    adopt: bool,
    /// How many threads to use [default: one for each core]
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u16).range(1..=256))]
    threads: Option<u16>,
}

impl Options {
    /// A site that is made somewhere else than where the keeper's own stands.
    pub(super) fn at(public: PathBuf, private: PathBuf, threads: Option<u16>) -> Self {
        Self { public: Some(public), private: Some(private), adopt: true, threads }
    }

    /// Does something on as many threads as were asked for.
    pub(super) fn on_threads<T: Send>(&self, act: impl FnOnce() -> Result<T, Error> + Send) -> Result<T, Error> {
        let pool = rayon::ThreadPoolBuilder::new().num_threads(self.threads.map_or(0, usize::from)).build();
        pool.map_err(|error| Error::Usage(format!("cannot start threads: {error}")))?.install(act)
    }
}

/// Everything that is needed to make the site, locked; and once [`Shop::read`] was called, read.
pub(super) struct Shop {
    pub(super) folder: Folder,
    targets: [Target; 2],
    pub(super) state: PathBuf,
    writer: Writer,
    /// The templates, once they are needed.
    engine: OnceLock<pages::Engine>,
    /// Whether something was read that had changed since the folder was looked at.
    moved: AtomicBool,
    pub(super) inputs: Inputs,
    loaded: Loaded,
    gallery: Gallery,
    /// What stands in the two folders.
    befores: [Before; 2],
    adopt: bool,
    /// Whether what is remembered may be used; not after something was found to be other than remembered.
    trusted: bool,
    /// What was said on the way, for standard error.
    pub(super) err: String,
}

/// The records and what was computed from them.
pub(super) struct Husbandry<'a> {
    pub(super) records: &'a Records,
    pub(super) figures: Figures<'a>,
    pub(super) album: Album,
}

/// What a publication did.
#[derive(Debug, Default)]
pub(super) struct Published {
    /// Folder by folder, as they are to be shown.
    pub(super) folders: Vec<(String, Report)>,
    /// Pages sealed in this run, by the key of their puppy.
    pub(super) sealed: Vec<String>,
    /// How many sealed pages stayed as they were.
    pub(super) still_sealed: usize,
    /// Keys of sealed pages that are gone.
    pub(super) withdrawn: Vec<String>,
    /// What was made, and why, in order: path as it is shown.
    pub(super) made: Vec<(String, String)>,
}

impl Shop {
    /// Reads and checks everything; nothing of the site is touched.
    pub(super) fn open(kennel: &Path, options: &Options, progress: &Progress) -> Result<Self, Error> {
        let mut shop = Self::enter(kennel, options)?;
        shop.read(progress)?;
        Ok(shop)
    }

    /// Takes the locks and looks at every file; no record is read yet.
    pub(super) fn enter(kennel: &Path, options: &Options) -> Result<Self, Error> {
        let folder = Folder::new(kennel)?;
        let targets = targets(&folder, options);
        let state = state_of(&folder, options);
        std::fs::create_dir_all(&state).map_err(|error| Error::io("make the folder", &state, error))?;
        let writer = Writer::open(&state, &targets, &[folder.content.clone(), folder.templates.clone()])?.remembering(terminal::clock);
        let (inputs, looked) = rayon::join(|| Inputs::look(&folder, &writer.cache()), || writer.look());
        let inputs = inputs?;
        looked?;
        let mut err = String::new();
        for mended in writer.mended() {
            let _ = writeln!(err, "note: the last run was interrupted; {} was set right{}", mended.name, kept_words(&mended.kept));
        }
        let (loaded, gallery, befores) = (Loaded::nothing(), Gallery::default(), <[Before; 2]>::default());
        let (engine, moved) = (OnceLock::new(), AtomicBool::new(false));
        Ok(Self { folder, targets, state, writer, engine, moved, inputs, loaded, gallery, befores, adopt: options.adopt, trusted: true, err })
    }

    /// Removes what runs that were killed left of secrets and papers, and says so.
    pub(super) fn sweep(&mut self) -> Result<(), Error> {
        self.err.push_str(&secrets::sweep(&self.folder)?);
        let papers = std::fs::read_dir(self.private().join("handover")).into_iter().flatten().flatten();
        for folder in papers.filter(|found| found.file_type().is_ok_and(|kind| kind.is_dir())) {
            for file in sweep_left_behind(&folder.path(), |_| true)? {
                let _ = writeln!(self.err, "note: a handover was broken off and left {file}; it was removed, so run `handover` again");
            }
        }
        Ok(())
    }

    /// Reads and checks the records, and prepares the pictures.
    pub(super) fn read(&mut self, progress: &Progress) -> Result<(), Error> {
        let cache = self.writer.cache();
        let store = Store { inputs: &self.inputs, cache: &cache, may_write: true, trusted: self.trusted };
        // What else is needed is read beside the records.
        let others = || {
            self.inputs.remember(&cache);
            rayon::join(|| self.engine().map(|_| ()), || rayon::join(|| self.before(0), || self.before(1)))
        };
        let (read, (templates, (of_site, of_book))) = rayon::join(|| inspect::read(&self.folder, &store, progress), others);
        templates?;
        let (loaded, gallery) = read;
        self.befores = [of_site?, of_book?];
        self.moved.fetch_or(gallery.moved || !self.inputs.are_records(&loaded.prints), Ordering::Relaxed);
        self.err.push_str(&inspect::shown(&self.folder, &loaded));
        self.err.push_str(&inspect::counts(&loaded));
        (self.loaded, self.gallery) = (loaded, gallery);
        Ok(())
    }

    /// The templates.
    fn engine(&self) -> Result<&pages::Engine, Error> {
        if let Some(engine) = self.engine.get() {
            return Ok(engine);
        }
        let own = self.folder.own_templates()?;
        self.moved.fetch_or(!self.inputs.are_templates(&own), Ordering::Relaxed);
        let engine = pages::Engine::new(&own)?;
        Ok(self.engine.get_or_init(|| engine))
    }

    /// Whether everything that was read was what stood there when the folder was looked at: only then can one look tell whether anything has changed since.
    pub(super) fn is_as_seen(&self) -> bool {
        !self.moved.load(Ordering::Relaxed)
    }

    /// Does something with what is remembered; and when that turned out to be otherwise, once more without.
    pub(super) fn twice<T>(&mut self, progress: &Progress, act: impl Fn(&Self) -> Result<T, Error>) -> Result<T, Error> {
        match act(self) {
            Err(error) if error.is_of_memory() => {
                self.trusted = false;
                self.writer.look_again();
                "note: something changed while it was read, so everything is made anew\n".clone_into(&mut self.err);
                self.read(progress)?;
                act(self)
            }
            done => done,
        }
    }

    /// What was read, with its problems.
    pub(super) fn loaded(&self) -> &Loaded {
        &self.loaded
    }

    /// Gives up the locks, and leaves what was read to the system, since the process ends soon after.
    pub(super) fn leave(self) {
        let Self { writer, engine, inputs, loaded, gallery, befores, .. } = self;
        std::mem::forget((engine, inputs, loaded, gallery, befores));
        drop(writer);
    }

    /// The secrets as they are: none is drawn, and nothing is written.
    pub(super) fn keyring_as_it_is(&self) -> Result<Keyring, Error> {
        Ok(Keyring::look(&self.folder.root, &self.state, &self.targets[0].root)?)
    }

    /// The records with their figures; nothing when they have errors.
    pub(super) fn husbandry(&self) -> Option<Husbandry<'_>> {
        let records = self.loaded.records.as_ref().filter(|_| !self.loaded.has_errors())?;
        let cache = self.writer.cache();
        let growth = OwnGrowth::of(records, &cache, self.inputs.program());
        let kept = growth.as_ref().filter(|_| self.trusted).and_then(OwnGrowth::kept);
        let is_kept = kept.is_some();
        let figures = husbandry::compute_knowing(records, kept);
        if let Some(growth) = growth.filter(|_| !is_kept) {
            growth.keep(&figures.kennel.growth);
        }
        Some(Husbandry { records, figures, album: pictures::album(&self.gallery.photos) })
    }

    /// What is said when the records have errors.
    pub(super) fn refused(self, what: &str) -> Outcome {
        let mut err = self.err;
        let _ = writeln!(err, "{what}");
        Outcome { out: String::new(), err, status: Status::Problems }
    }

    /// The reports of a run in which nothing was to do, when both folders stand as the last run left them.
    pub(super) fn as_left(&self) -> Result<Option<Vec<(String, Report)>>, Error> {
        Ok(self.writer.as_left()?.map(|reports| self.named(reports)))
    }

    /// Where the cache is.
    pub(super) fn cache(&self) -> Cache {
        self.writer.cache()
    }

    /// The secrets, sound and complete for these pages. What is said of them goes to standard error.
    pub(super) fn keyring(&self, wanted: &[OwnerPage], err: &mut String) -> Result<Keyring, Error> {
        let mut keyring = Keyring::open(&self.folder.root, &self.folder.state, &self.state, &self.targets[0].root)?;
        keyring.is_sound()?;
        let had_key = !keyring.signing.is_empty();
        let families = wanted.iter().filter_map(|page| Some((page.key.as_str(), page.family.as_deref()?)));
        let drawn = keyring.complete(families, &mut secrets::random)?;
        if !had_key {
            err.push_str("note: a key to sign records was drawn (signing-keys.json)\n");
        }
        err.push_str(&drawn_words(&drawn));
        Ok(keyring)
    }

    /// What seals pages and makes papers.
    pub(super) fn sealer<'a>(
        &'a self,
        keyring: &'a Keyring,
        locked: &'a audience::owner::LockedPage,
        memory: &'a Memory,
    ) -> Result<Sealer<'a>, Error> {
        let signing = keyring.signing.newest().ok_or_else(|| Error::Usage("there is no signing key".to_owned()))?;
        Ok(Sealer { engine: self.engine()?, locked, photos: &self.gallery.photos, signing, memory })
    }

    /// Makes the site and the book, and writes both.
    pub(super) fn publish(
        &self,
        husbandry: &Husbandry<'_>,
        keyring: &Keyring,
        owners: &[OwnerPage],
        progress: &Progress,
    ) -> Result<Published, Error> {
        let Husbandry { records, figures, album } = husbandry;
        let photos = &self.gallery.photos;
        let locked = audience::owner::locked(&records.kennel);
        let memories = self.befores.clone().map(|before| Memory::new(before, self.inputs.program()));
        let [public_memory, private_memory] = &memories;
        let sealed = self.seal(&self.sealer(keyring, &locked, public_memory)?, keyring, owners, progress)?;
        let step = progress.step("making pages", None);
        let engine = self.engine()?;
        let public = || -> Result<Plan, Error> {
            let site = audience::visitor::site(records, figures, album);
            let mut public = pages::visitor_plan(engine, &site, photos, public_memory)?;
            let keys: Vec<String> = keyring.signing.public().iter().map(|key| key.to_jwk()).collect();
            public.merge(pages::checking_plan(engine, &site.frame, &keys)?).map_err(pages::PageError::from)?;
            public.merge(sealed_plan(&sealed)?).map_err(pages::PageError::from)?;
            Ok(public)
        };
        let private = || pages::keeper_plan(engine, &audience::keeper::book(records, figures, album, &self.loaded.problems), photos, private_memory);
        let (public, private) = rayon::join(public, private);
        let (public, private) = (public?, private?);
        drop(step);
        let step = progress.step("writing", None);
        let reports = self.writer.write(&[(&self.targets[0], &public), (&self.targets[1], &private)], self.adopt).map_err(half_way)?;
        keyring.remember(&self.state, &remembered(keyring, &sealed)).map_err(|error| Error::from(error).and_now(ALL_IN_PLACE))?;
        drop(step);
        let (new, old): (Vec<&SealedPage>, Vec<&SealedPage>) = sealed.iter().partition(|page| page.is_new);
        let folders = self.named(reports);
        let again = |(memory, (root, _)): (&Memory, &(String, Report))| {
            memory.again().into_iter().map(|(path, why)| (format!("{root}/{path}"), why.to_string())).collect::<Vec<_>>()
        };
        let pictures = self.gallery.made.iter().map(|file| (format!("{}/{file}", self.folder.shown_content()), PICTURE_MADE.to_owned()));
        Ok(Published {
            made: pictures.chain(memories.iter().zip(&folders).flat_map(again)).collect(),
            sealed: new.into_iter().map(|page| page.key.clone()).collect(),
            still_sealed: old.len(),
            withdrawn: keyring.remembered.pages.keys().filter(|key| !sealed.iter().any(|page| page.key == **key)).cloned().collect(),
            folders,
        })
    }

    fn before(&self, target: usize) -> Result<Before, Error> {
        Ok(if self.trusted { self.writer.before(&self.targets[target])? } else { Before::default() })
    }

    fn named(&self, reports: Vec<Report>) -> Vec<(String, Report)> {
        let shown = |target: &Target| {
            let root = target.root.display().to_string();
            root.strip_prefix("./").map(str::to_owned).unwrap_or(root)
        };
        self.targets.iter().map(shown).zip(reports).collect()
    }

    fn seal(&self, sealer: &Sealer<'_>, keyring: &Keyring, owners: &[OwnerPage], progress: &Progress) -> Result<Vec<SealedPage>, Error> {
        let wanted = owners.iter().filter_map(|page| {
            let entry = keyring.codes.get(&page.key)?;
            let before = keyring.remembered.pages.get(&page.key).filter(|before| before.page == entry.page);
            let file = self.public_file(&sealed_path(&entry.page));
            let standing = Box::new(move || std::fs::read_to_string(&file).ok());
            Some(ToSeal { page, code: entry.code, name: entry.page, remembered: before.map(|before| before.fingerprint.clone()), standing })
        });
        let wanted: Vec<_> = wanted.collect();
        let step = progress.step("sealing pages", Some(wanted.len()));
        Ok(sealer.seal(&wanted, &|bytes| secrets::random(bytes), &|| step.tick())?)
    }

    /// A file of the public site.
    pub(super) fn public_file(&self, path: &str) -> PathBuf {
        self.targets[0].root.join(path)
    }

    /// The keeper's own folder.
    pub(super) fn private(&self) -> &Path {
        &self.targets[1].root
    }
}

/// How things stand when only what is remembered could not be written.
const ALL_IN_PLACE: &str = "the new site and the new book are in place; what is remembered of them is not: run again";

/// The writer's error, with a word on how things stand.
fn half_way(error: WriteError) -> Error {
    let stands = match &error {
        WriteError::InPlace { old, .. } if old.is_empty() => "the new site and the new book are in place; run again, to tidy up".to_owned(),
        WriteError::InPlace { new, old, .. } => {
            format!("the new {} files are in place, the {} files are as they were before; run again", new.join(" and "), old.join(" and "))
        }
        _ => "nothing was published: the site and the book are as they were before".to_owned(),
    };
    Error::from(error).and_now(stands)
}

/// Why a picture is prepared: nothing else makes it so.
const PICTURE_MADE: &str = "the cache has nothing made from this picture";

impl Published {
    /// What is said on standard output; what the keeper should look at goes to standard error.
    pub(super) fn told(&self, err: &mut String) -> String {
        let mut out: String = self.folders.iter().map(|(root, report)| told(root, report, err)).collect();
        let Self { sealed, still_sealed, withdrawn, .. } = self;
        if sealed.len() + still_sealed + withdrawn.len() > 0 {
            let withdrawn = if withdrawn.is_empty() { String::new() } else { format!(", withdrawn: {}", withdrawn.join(", ")) };
            let _ = writeln!(out, "sealed pages: {} sealed, {still_sealed} as before{withdrawn}", sealed.len());
        }
        out
    }
}

/// What is said of codes that were drawn; a first publication may draw hundreds.
fn drawn_words(drawn: &[(String, Why)]) -> String {
    const TOLD: usize = 8;
    let (others, new): (Vec<_>, Vec<_>) = drawn.iter().partition(|(_, why)| *why == Why::OtherFamily);
    let mut text = String::new();
    for (key, _) in others {
        let _ = writeln!(text, "note: another family takes {key} now: it has a new code and a new address");
    }
    for (key, _) in new.iter().take(TOLD) {
        let _ = writeln!(text, "note: an access code was drawn for {key}");
    }
    if new.len() > TOLD {
        let _ = writeln!(text, "note: and for {} more", new.len() - TOLD);
    }
    if !drawn.is_empty() {
        text.push_str("note: keep a copy of codes.yaml and signing-keys.json with your backups\n");
    }
    text
}

/// Path of a sealed page below the root of the site.
pub(super) fn sealed_path(page: &str) -> String {
    format!("{SEALED}/{page}.html")
}

fn sealed_plan(sealed: &[SealedPage]) -> Result<Plan, Error> {
    let mut plan = Plan::new();
    for page in sealed {
        let path = SitePath::new(&sealed_path(&page.name)).map_err(pages::PageError::from)?;
        plan.add_made(path, page.made.clone()).map_err(pages::PageError::from)?;
    }
    Ok(plan)
}

fn remembered(keyring: &Keyring, sealed: &[SealedPage]) -> Remembered {
    let before = |page: &SealedPage| SealedBefore { page: page.name.clone(), fingerprint: page.fingerprint.clone() };
    Remembered {
        signed_with: keyring.signing.newest().map(|key| key.public().thumbprint()),
        pages: sealed.iter().map(|page| (page.key.clone(), before(page))).collect(),
    }
}

fn targets(folder: &Folder, options: &Options) -> [Target; 2] {
    let or = |typed: &Option<PathBuf>, usual: &Path| typed.clone().unwrap_or_else(|| usual.to_owned());
    [
        Target { root: or(&options.public, &folder.public), name: "public", mode: FileMode::Public },
        Target { root: or(&options.private, &folder.private), name: "private", mode: FileMode::Private },
    ]
}

/// What is remembered of a site belongs to the folders it stands in: a site made elsewhere is remembered apart.
fn state_of(folder: &Folder, options: &Options) -> PathBuf {
    if options.public.is_none() && options.private.is_none() {
        return folder.state.clone();
    }
    let absolute = |typed: &Option<PathBuf>, usual: &Path| {
        let path = typed.as_deref().unwrap_or(usual);
        std::path::absolute(path).unwrap_or_else(|_| path.to_owned()).display().to_string()
    };
    let places = format!("{}\n{}", absolute(&options.public, &folder.public), absolute(&options.private, &folder.private));
    folder.state.join(format!("elsewhere-{}", &blake3::hash(places.as_bytes()).to_hex()[..12]))
}

fn kept_words(kept: &[String]) -> String {
    if kept.is_empty() { String::new() } else { format!(", and this was put aside: {}", kept.join(", ")) }
}

/// One line for a folder; what the keeper should look at goes to standard error.
fn told(root: &str, report: &Report, err: &mut String) -> String {
    let Report { name: _, written, unchanged, removed, foreign, replaced, kept, list_lost: _ } = report;
    // Papers were put there by `handover`, tables by `export`, and stay.
    let ours = |file: &String| ["handover/", "export/", "export-"].iter().any(|start| file.starts_with(start));
    let foreign: Vec<&String> = foreign.iter().filter(|file| !ours(file)).collect();
    for (files, what) in [
        (foreign.as_slice(), "was not written by litterfolio and was left alone"),
        (kept.iter().collect::<Vec<_>>().as_slice(), "was changed by hand, is no longer part of the site, and was left alone"),
    ] {
        for file in files.iter().take(8) {
            let _ = writeln!(err, "note: {root}/{file} {what}");
        }
        if files.len() > 8 {
            let _ = writeln!(err, "note: and {} more in {root}", many(files.len() - 8, "file"));
        }
    }
    for file in replaced {
        let _ = writeln!(err, "note: {root}/{file} had been changed by hand and was written again");
    }
    if report.is_untouched() {
        return format!("{root}/: {}, all as before\n", many(*unchanged, "file"));
    }
    format!("{root}/: {} written, {unchanged} as before, {removed} removed\n", many(*written, "file"))
}
