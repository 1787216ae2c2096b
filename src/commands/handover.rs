//! `handover`: the papers for one puppy, once it is ready to leave.
//!
//! In: the kennel's folder and a puppy. Out: what is still missing, by name; or, when nothing is or the keeper decides so with `--anyway`, a published site and a folder of papers in
//! `private/handover/`: the same files as in the sealed page, the page itself for a stick, and a cover sheet with link and code.

use super::progress::Progress;
use super::site::{self, Husbandry, Shop, sealed_path};
use super::terminal::{self, many};
use super::who::Who;
use super::{Outcome, Status};
use crate::audience::owner::OwnerPage;
use crate::husbandry::readiness::{self, Gap, Readiness};
use crate::keyring::{Entry, Keyring};
use crate::output::{private_folder, replace_private};
use crate::pages;
use crate::records::LitterFolder;
use crate::records::litter::Puppy;
use crate::{Error, audience};
use std::fmt::Write;
use std::path::{Path, PathBuf};

/// Options of `handover`.
#[derive(Debug, clap::Args)]
pub(super) struct Options {
    #[command(flatten)]
    who: Who,
    /// Make the papers although something is missing; they say what was not recorded
    #[arg(long)]
    anyway: bool,
    #[command(flatten)]
    site: site::Options,
}

pub(super) fn run(kennel: &Path, options: &Options) -> Result<Outcome, Error> {
    options.site.on_threads(|| handover(kennel, options))
}

fn handover(kennel: &Path, options: &Options) -> Result<Outcome, Error> {
    let progress = Progress::new(false);
    let mut shop = Shop::open(kennel, &options.site, &progress)?;
    if shop.loaded().has_errors() || shop.loaded().records.is_none() {
        return Ok(shop.refused("no papers were made: the records have problems, and papers must not be made from them"));
    }
    shop.twice(&progress, |shop| papers(shop, options, &progress))
}

fn papers(shop: &Shop, options: &Options, progress: &Progress) -> Result<Outcome, Error> {
    let Some(husbandry) = shop.husbandry() else { return Err(Error::Usage("the records changed while they were read; run again".to_owned())) };
    let (folder, puppy) = options.who.find(husbandry.records)?;
    let key = audience::owner::key(folder, puppy);
    if !puppy.is_alive() || folder.litter.birth.is_none() {
        let why = if puppy.is_alive() { "its litter has no `birth:` yet" } else { "it is no longer alive" };
        return Err(Error::Usage(format!("there are no papers for {key}: {why}")));
    }
    let homes = husbandry.records.owners.homes();
    let readiness = readiness::of_puppy(husbandry.records, &husbandry.figures, &homes, folder, puppy);
    let mut err = shop.err.clone();
    err.push_str(&said(&key, &readiness, options.anyway));
    if !readiness.gaps.is_empty() && !options.anyway {
        let earlier = papers_folder(shop, folder, puppy);
        if earlier.is_dir() {
            let _ = writeln!(err, "note: papers of an earlier handover are still in {}", shown(&earlier));
        }
        return Ok(Outcome { out: String::new(), err, status: Status::Problems });
    }
    let owners = audience::owner::pages(husbandry.records, &husbandry.figures, &husbandry.album);
    let keyring = shop.keyring(&owners, &mut err)?;
    let mut out = shop.publish(&husbandry, &keyring, &owners, progress)?.told(&mut err);
    let own = audience::owner::page(husbandry.records, &husbandry.figures, &husbandry.album, &homes, folder, puppy);
    out.push_str(&write_papers(shop, &husbandry, &keyring, &own, folder, puppy)?);
    Ok(Outcome { out, err, status: Status::Clean })
}

/// What is missing, a line and a hint each.
fn said(key: &str, readiness: &Readiness, anyway: bool) -> String {
    let Readiness { on, has_left, gaps } = readiness;
    if gaps.is_empty() {
        return format!("{key}: nothing was found missing for {on}\n");
    }
    let mut text = if *has_left { format!("{key} left on {on}, and this is missing:\n") } else { format!("{key} is not ready to leave on {on}:\n") };
    let width = terminal::terminal().width;
    for Gap { what, missing, hint } in gaps {
        let (missing, hint) = (terminal::wrapped(missing, width, 15), terminal::wrapped(hint, width, 17));
        let _ = write!(text, "  {what:<12} {missing}\n  {:<12} = {hint}\n", "");
    }
    let end = if anyway {
        "the papers were made all the same"
    } else {
        "no papers were made; `--anyway` makes them all the same, and they say what was not recorded"
    };
    let _ = writeln!(text, "{}; {end}", many(gaps.len(), "gap"));
    text
}

/// Writes every paper by itself; what else lies in the folder stays.
fn write_papers(
    shop: &Shop,
    husbandry: &Husbandry<'_>,
    keyring: &Keyring,
    own: &OwnerPage,
    folder: &LitterFolder,
    puppy: &Puppy,
) -> Result<String, Error> {
    let locked = audience::owner::locked(&husbandry.records.kennel);
    let memory = pages::Memory::default();
    let papers = shop.sealer(keyring, &locked, &memory)?.papers(own)?;
    let to = papers_folder(shop, folder, puppy);
    for folder in to.ancestors().take(2).collect::<Vec<_>>().into_iter().rev() {
        private_folder(folder).map_err(crate::keyring::KeyringError::from)?;
    }
    let mut files: Vec<(String, Vec<u8>)> = papers.files.into_iter().map(|paper| (paper.name, paper.bytes)).collect();
    let mut out = String::new();
    if let Some(entry) = keyring.codes.get(&own.key).filter(|_| own.record.family.is_some()) {
        let Entry { code, page } = entry;
        let html = std::fs::read(shop.public_file(&sealed_path(&page)))
            .map_err(|error| Error::io("read the sealed page", &shop.public_file(&sealed_path(&page)), error))?;
        let link = own.record.kennel.site.as_ref().map(|site| format!("{site}{}", sealed_path(&page)));
        let file = format!("{}-page.html", own.stem);
        let cover = pages::cover(own, link.as_deref(), &code, pages::sheet_of(&own.record.kennel.country))?;
        files.push((format!("{}-cover.pdf", own.stem), cover));
        files.push((file, html));
        let _ = match &link {
            Some(link) => {
                writeln!(out, "link: {link}\ncode: {code}\nput the public site in place before the family leaves: the link opens what stands there")
            }
            None => writeln!(out, "code: {code}\nkennel.yaml has no `site:`, so there is no link: give the family the page itself, on a stick"),
        };
    }
    for (name, bytes) in &files {
        replace_private(&to.join(name), bytes).map_err(crate::keyring::KeyringError::from)?;
    }
    let shown = shown(&to);
    Ok(files.iter().fold(out, |out, (name, _)| format!("{out}{shown}/{name}\n")))
}

fn papers_folder(shop: &Shop, folder: &LitterFolder, puppy: &Puppy) -> PathBuf {
    shop.private().join("handover").join(format!("{}-{}", folder.id, puppy.id))
}

fn shown(path: &Path) -> String {
    let path: PathBuf = path.components().collect();
    path.display().to_string()
}
