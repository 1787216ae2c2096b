//! `rename`: a dog, a litter, a puppy or a family gets another name in the records, with all that
//! names it.
//!
//! In: who, and the new name. Out: every record that names it, its file or folder, and its
//! pictures, changed at once or not at all. A puppy whose page has a code keeps its name: its
//! address and its code would become others, and the family would stand before a locked door.

use crate::Error;
use crate::app::Outcome;
use crate::app::adding::asked;
use crate::app::folder::Folder;
use crate::app::recording::{Done, Mode, Refused, Standing, Stop, Work, files_of, record};
use crate::app::terminal::{self, many};
use crate::keyring::Keyring;
use crate::quantity::Id;
use crate::records::changing::naming::{self, Named, RenamePlan};
use crate::records::changing::typed;
use crate::records::{Records, is_reserved, load};
use std::collections::BTreeMap;
use std::fmt::Write;
use std::path::Path;

/// Options of `rename`.
#[derive(Debug, clap::Args)]
pub(super) struct Options {
    /// What it is
    #[arg(value_enum, value_name = "KIND")]
    kind: Kind,
    /// Its name in the records now; a puppy with its litter: summer-2026/moss
    #[arg(value_name = "NAME")]
    from: String,
    /// Its new name: small letters, digits and `-`
    #[arg(value_name = "NEW")]
    to: String,
    /// Show what would change, and write nothing
    #[arg(long)]
    show: bool,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, clap::ValueEnum)]
enum Kind {
    Dog,
    Litter,
    Puppy,
    Family,
}

pub(super) fn run(kennel: &Path, options: &Options) -> Result<Outcome, Error> {
    let folder = Folder::new(kennel)?;
    let now = load(&folder.content, terminal::now())?;
    let records = now.records.as_ref().ok_or_else(|| {
        Error::Usage("the records cannot be read; `litterfolio inspect` says why".to_owned())
    })?;
    let to: Id = options
        .to
        .parse()
        .map_err(|why: crate::quantity::Unreadable| {
            Error::Usage(format!("{}; {}", why.message, why.hint))
        })?;
    let named = find(records, options)?;
    is_free(records, &named, &to)?;
    has_no_code(&folder, &named)?;
    let mode = if options.show { Mode::Try } else { Mode::Make };
    let what = format!("{} to {to}", options.from);
    let mut places = 0;
    let done = record(&folder, &asked("rename", &what), mode, |standing| {
        let plan = plan(standing, &folder, &named, &to)?;
        places = plan.places;
        let texts = plan.texts.into_iter();
        let moves = plan.moves.into_iter();
        Ok(texts
            .map(|(file, text)| (file, Work::Text(text)))
            .chain(moves.map(|(from, to)| (from, Work::MovedTo(to))))
            .collect())
    })?;
    let done = match done {
        Ok(done) => done,
        Err(refused) => {
            return Ok(Outcome::problems(format!(
                "{}nothing was changed\n",
                refused.shown(&folder)
            )));
        }
    };
    let number = done.number.map_or_else(
        || "shown, nothing was written\n".to_owned(),
        |n| format!("change {n}; `litterfolio undo` takes it back\n"),
    );
    Ok(Outcome::clean(format!("{}{number}", told(&done, places))))
}

fn find(records: &Records, options: &Options) -> Result<Named, Error> {
    let unknown = |what: &str| {
        Error::Usage(format!(
            "there is no {what} `{}`",
            options.from.escape_debug()
        ))
    };
    let id = |text: &str, what: &str| text.parse::<Id>().map_err(|_| unknown(what));
    match options.kind {
        Kind::Dog => {
            let dog = id(&options.from, "dog")?;
            if records.dogs.contains_key(&dog) {
                Ok(Named::Dog(dog))
            } else {
                Err(unknown("dog"))
            }
        }
        Kind::Litter => {
            let litter = id(&options.from, "litter")?;
            if records.litters.contains_key(&litter) {
                Ok(Named::Litter(litter))
            } else {
                Err(unknown("litter"))
            }
        }
        Kind::Family => {
            let family = id(&options.from, "family")?;
            let is_there = records
                .owners
                .families
                .iter()
                .any(|known| known.id == family);
            if is_there {
                Ok(Named::Family(family))
            } else {
                Err(unknown("family"))
            }
        }
        Kind::Puppy => {
            let who = crate::app::who::Who::new(&options.from, None);
            let (litter, puppy) = who.find(records)?;
            Ok(Named::Puppy(litter.id.clone(), puppy.id.clone()))
        }
    }
}

fn is_free(records: &Records, named: &Named, to: &Id) -> Result<(), Error> {
    let taken = match named {
        Named::Dog(_) => records.dogs.contains_key(to),
        Named::Litter(_) => records.litters.contains_key(to),
        Named::Puppy(litter, _) => records
            .litters
            .get(litter)
            .is_some_and(|folder| folder.puppy(to).is_some()),
        Named::Family(_) => records
            .owners
            .families
            .iter()
            .any(|family| family.id == *to),
    };
    let reserved =
        matches!(named, Named::Puppy(..)) && (is_reserved(to) || to.as_str() == "litter");
    match () {
        () if taken => Err(Error::Usage(format!(
            "`{to}` is there already; choose another name"
        ))),
        () if reserved => Err(Error::Usage(format!(
            "`{to}` means something else in the records; choose another name"
        ))),
        () => Ok(()),
    }
}

/// A page that a family has keeps its address.
fn has_no_code(folder: &Folder, named: &Named) -> Result<(), Error> {
    let keyring = Keyring::look(&folder.root, &folder.state, &folder.public)?;
    let concerns = |(key, family): &(&str, &str)| match named {
        Named::Dog(_) => false,
        Named::Litter(litter) => key.split('/').next() == Some(litter.as_str()),
        Named::Puppy(litter, puppy) => *key == format!("{litter}/{puppy}"),
        Named::Family(id) => *family == id.as_str(),
    };
    match keyring.pages().find(concerns) {
        Some((key, _)) => Err(Error::Usage(format!(
            "the page of {key} has an access code, which goes with the names in the records: \
             under another name it would get another address and code. Its shown name can change: \
             `litterfolio set`"
        ))),
        None => Ok(()),
    }
}

fn plan(
    standing: &mut Standing<'_, '_>,
    folder: &Folder,
    named: &Named,
    to: &Id,
) -> Result<RenamePlan, Stop<Refused>> {
    let files = files_of(folder).map_err(Stop::Error)?;
    let mut texts = BTreeMap::new();
    for file in files.iter().filter(|file| typed::record_of(file).is_some()) {
        texts.insert(file.clone(), standing.text(file)?.unwrap_or_default());
    }
    naming::rename(named, to, &texts, &files).map_err(|problems| {
        let file = problems
            .first()
            .map(|problem| problem.place.file.clone())
            .unwrap_or_default();
        let text = texts.get(&file).cloned().unwrap_or_default();
        Refused::of(&file, &text, problems).into()
    })
}

fn told(done: &Done, places: usize) -> String {
    let mut out = String::new();
    done.changed
        .iter()
        .for_each(|changed| out.push_str(&format!("{}\n", changed.file)));
    done.moved
        .iter()
        .for_each(|(from, to)| out.push_str(&format!("{from} becomes {to}\n")));
    let _ = writeln!(
        out,
        "{} in {}",
        many(places, "place"),
        many(done.changed.len(), "file")
    );
    out
}
