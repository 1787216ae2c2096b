//! `handover`: the papers for one puppy, once it is ready to leave.
//!
//! In: the kennel's folder and a puppy. Out: what is still missing, by name; or, when nothing is or
//! the keeper decides so with `--anyway`, a published site and a folder of papers in
//! `private/handover/`: the same files as in the sealed page, the page itself for a stick, and a
//! cover sheet with link and code.

use crate::app::loading::Husbandry;
use crate::app::progress::{Progress, Watched};
use crate::app::publisher::Publisher;
use crate::app::session::Session;
use crate::app::terminal::{self, many};
use crate::app::who::Who;
use crate::app::{Outcome, site};
use crate::audience::owner::OwnerPage;
use crate::audience::words;
use crate::husbandry::readiness::{self, Readiness};
use crate::keyring::{CodeEntry, Keyring, sealed_path};
use crate::output::{private_folder, remove_file, replace_private, shown_path};
use crate::pages::{self, Unprinted};
use crate::records::LitterFolder;
use crate::records::litter::Puppy;
use crate::{Error, audience};
use std::fmt::Write;
use std::path::{Path, PathBuf};

/// What the page that checks records is called among the papers.
const CHECKER: &str = "check-a-record.html";

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
    let progress = Progress::new(Watched::unless(false));
    let mut session = Session::open(kennel, &options.site)?;
    session.sweep()?;
    let publisher = Publisher::open(session, &progress)?;
    if publisher.loaded().has_errors() || publisher.loaded().records.is_none() {
        return Ok(publisher.refused(
            "no papers were made: the records have problems, and papers must not be made from them",
        ));
    }
    let (_, outcome) =
        publisher.attempt(&progress, |publisher| papers(publisher, options, &progress))?;
    Ok(outcome)
}

fn papers(publisher: &Publisher, options: &Options, progress: &Progress) -> Result<Outcome, Error> {
    let Some(husbandry) = publisher.husbandry() else {
        return Err(Error::Usage(
            "the records changed while they were read; run again".to_owned(),
        ));
    };
    let (folder, puppy) = options.who.find(husbandry.records)?;
    let key = audience::owner::key(folder, puppy);
    if !puppy.is_alive() || folder.litter.birth.is_none() {
        let why = if puppy.is_alive() {
            "its litter has no `birth:` yet"
        } else {
            "it is no longer alive"
        };
        return Err(Error::Usage(format!(
            "there are no papers for {key}: {why}"
        )));
    }
    let homes = husbandry.records.owners.homes();
    let readiness =
        readiness::of_puppy(husbandry.records, &husbandry.figures, &homes, folder, puppy);
    let ounces = husbandry.records.kennel.is_read_in_ounces();
    let mut err = publisher.notes();
    err.push_str(&said(&key, &readiness, options.anyway, ounces));
    if !readiness.gaps.is_empty() && !options.anyway {
        let earlier = papers_folder(publisher, folder, puppy);
        if earlier.is_dir() {
            let _ = writeln!(
                err,
                "note: papers of an earlier handover are still in {}",
                shown_path(&earlier)
            );
        }
        return Ok(Outcome::problems(err));
    }
    let owners = audience::owner::pages(husbandry.records, &husbandry.figures, &husbandry.album);
    let keyring = publisher.session.keyring(&owners, &mut err)?;
    let made = publisher.make(&husbandry, &keyring, &owners, progress)?;
    let mut out = publisher.write(&keyring, &made, progress)?.told(&mut err);
    let own = audience::owner::page(
        husbandry.records,
        &husbandry.figures,
        &husbandry.album,
        &homes,
        folder,
        puppy,
    );
    err.push_str(&unprinted_words(&pages::unprintable(
        &own,
        pages::sheet_of(&own.country),
    )?));
    let mut written = Vec::new();
    let papers = write_papers(
        publisher,
        &husbandry,
        &keyring,
        &own,
        folder,
        puppy,
        &mut written,
    );
    out.push_str(&papers.map_err(|error| error.and_now(how_far(&written)))?);
    Ok(Outcome::clean(out).noting(err))
}

/// What the PDF cannot print, named before the paper is signed and given away.
fn unprinted_words(unprinted: &[Unprinted]) -> String {
    const WITH_WORDS: usize = 12;
    if unprinted.is_empty() {
        return String::new();
    }
    let width = terminal::terminal().width;
    let named = |letter: char| format!("{letter} (U+{:04X})", u32::from(letter));
    let (first, rest) = unprinted.split_at(unprinted.len().min(WITH_WORDS));
    let mut text = "note: the PDF’s letters lack these characters, and it shows \u{fffd} in their \
                    place; the page, the tables and the JSON file have them:\n"
        .to_owned();
    for Unprinted { letter, words } in first {
        let _ = writeln!(
            text,
            "  {}",
            terminal::wrapped(&format!("{} in “{words}”", named(*letter)), width, 2)
        );
    }
    if !rest.is_empty() {
        let rest: Vec<String> = rest
            .iter()
            .map(|unprinted| named(unprinted.letter))
            .collect();
        let _ = writeln!(
            text,
            "  {}",
            terminal::wrapped(&format!("and {}", rest.join(", ")), width, 2)
        );
    }
    text
}

/// What is true when the papers could not all be written.
fn how_far(written: &[String]) -> String {
    match written {
        [] => "the site was published; no paper was written".to_owned(),
        [..] => format!(
            "the site was published; of the papers only these are new: {}",
            written.join(", ")
        ),
    }
}

/// What is missing, a line and a hint each.
fn said(key: &str, readiness: &Readiness, anyway: bool, ounces: bool) -> String {
    let Readiness { on, has_left, gaps } = readiness;
    if gaps.is_empty() {
        return format!("{key}: nothing was found missing for {}\n", on.in_words());
    }
    let mut text = if *has_left {
        format!("{key} left on {}, and this is missing:\n", on.in_words())
    } else {
        format!("{key} is not ready to leave on {}:\n", on.in_words())
    };
    let width = terminal::terminal().width;
    for gap in gaps {
        let what = words::readiness::kind(gap.kind());
        let missing = words::readiness::missing(gap, ounces);
        let (missing, hint) = (
            terminal::wrapped(&missing, width, 15),
            terminal::wrapped(&words::readiness::hint(gap), width, 17),
        );
        let _ = write!(text, "  {what:<12} {missing}\n  {:<12} = {hint}\n", "");
    }
    let end = if anyway {
        "the papers were made all the same"
    } else {
        "no papers were made; `--anyway` makes them all the same, and they say what was not \
         recorded"
    };
    let _ = writeln!(text, "{}; {end}", many(gaps.len(), "gap"));
    text
}

/// Writes every paper by itself; what else lies in the folder stays.
fn write_papers(
    publisher: &Publisher,
    husbandry: &Husbandry<'_>,
    keyring: &Keyring,
    own: &OwnerPage,
    folder: &LitterFolder,
    puppy: &Puppy,
    written: &mut Vec<String>,
) -> Result<String, Error> {
    let locked = audience::owner::locked(&husbandry.records.kennel);
    let cache = pages::PageCache::default();
    let papers = publisher.sealer(keyring, &locked, &cache)?.papers(own)?;
    let to = papers_folder(publisher, folder, puppy);
    for folder in to.ancestors().take(2).collect::<Vec<_>>().into_iter().rev() {
        private_folder(folder)?;
    }
    let mut files: Vec<(String, Vec<u8>)> = papers
        .files
        .into_iter()
        .map(|paper| (paper.name, paper.bytes))
        .collect();
    let checker = publisher.session.public_file(pages::RECORD_CHECK);
    let read =
        |file: &Path, what| std::fs::read(file).map_err(|error| Error::io(what, file, error));
    // It carries keys and script itself, and works when the site is gone.
    files.push((
        CHECKER.to_owned(),
        read(&checker, "read the page that checks records")?,
    ));
    let mut out = String::new();
    if let Some(entry) = keyring
        .codes
        .get(&own.key)
        .filter(|_| own.record.family.is_some())
    {
        let CodeEntry { code, page } = entry;
        let html = read(
            &publisher.session.public_file(&sealed_path(&page)),
            "read the sealed page",
        )?;
        let link = own
            .record
            .kennel
            .site
            .as_ref()
            .map(|site| format!("{site}{}", sealed_path(&page)));
        let file = format!("{}-page.html", own.stem);
        let cover = pages::cover(own, link.as_deref(), &code, pages::sheet_of(&own.country))?;
        files.push((format!("{}-cover.pdf", own.stem), cover));
        files.push((file, html));
        let _ = match &link {
            Some(link) => {
                writeln!(
                    out,
                    "link: {link}\ncode: {code}\nput the public site in place before the family \
                     leaves: the link opens what stands there"
                )
            }
            None => writeln!(
                out,
                "code: {code}\nkennel.yaml has no `site:`, so there is no link: give the family \
                 the page itself, on a stick"
            ),
        };
    }
    for (name, bytes) in &files {
        replace_private(&to.join(name), bytes)?;
        written.push(name.clone());
    }
    remove_former(&to, puppy, written)?;
    Ok(files.iter().fold(out, |out, (name, _)| {
        format!("{out}{}\n", shown_path(&to.join(name)))
    }))
}

/// Removes papers of an earlier run that bear another name now, or are not made any more: beside
/// the new ones somebody would hand over the old. Whatever else stands there is the keeper's.
fn remove_former(folder: &Path, puppy: &Puppy, written: &[String]) -> Result<(), Error> {
    let is_former =
        |name: &str| is_paper_of(puppy.id.as_str(), name) && !written.iter().any(|new| new == name);
    let listed = std::fs::read_dir(folder);
    let listed = listed.map_err(|error| Error::io("list", folder, error))?;
    for entry in listed.flatten() {
        if entry.file_name().to_str().is_some_and(is_former) {
            remove_file(&entry.path())?;
        }
    }
    Ok(())
}

/// Whether a file is named as papers of this puppy are, or were before they named kennel and year:
/// `moss-whinmorrow-2026-record.pdf`, `moss-record.pdf`.
fn is_paper_of(puppy: &str, name: &str) -> bool {
    const ENDS: [&str; 8] = [
        "record.pdf",
        "record.json",
        "weights.csv",
        "events.csv",
        "care.ics",
        "photos.zip",
        "cover.pdf",
        "page.html",
    ];
    let Some(rest) = name.strip_prefix(puppy) else {
        return false;
    };
    let mut between = ENDS.iter().filter_map(|end| rest.strip_suffix(end));
    between.any(|between| {
        let mut parts = between.rsplit('-').skip(1);
        let year = parts.next().unwrap_or_default();
        between == "-"
            || between.starts_with('-')
                && year.len() == 4
                && year.bytes().all(|digit| digit.is_ascii_digit())
    })
}

fn papers_folder(publisher: &Publisher, folder: &LitterFolder, puppy: &Puppy) -> PathBuf {
    publisher
        .session
        .private()
        .join("handover")
        .join(format!("{}-{}", folder.id, puppy.id))
}
