//! `rename`: a dog, a litter, a puppy or a family gets another name in the records, with all that names it.
//!
//! In: who, and the new name. Out: every record that names it, its file or folder, and its pictures, changed at once or not at all. A puppy whose page has a code keeps its name: its address and its code would become others, and the family
//! would stand before a locked door.

use super::adding::{Refused, asked};
use super::folder::Folder;
use super::set::news;
use super::terminal::{self, many};
use super::{Outcome, Status};
use crate::Error;
use crate::keyring::Keyring;
use crate::output::{self, Reading, Wish};
use crate::quantity::Id;
use crate::records::changing::naming::{self, Named, Plan};
use crate::records::changing::typed;
use crate::records::{AsIf, Loaded, Records, What, adding, load, load_as, showing};
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
    let records = now.records.as_ref().ok_or_else(|| Error::Usage("the records cannot be read; `litterfolio inspect` says why".to_owned()))?;
    let to: Id = options.to.parse().map_err(|why: crate::quantity::Unreadable| Error::Usage(format!("{}; {}", why.message, why.hint)))?;
    let named = find(records, options)?;
    is_free(records, &named, &to)?;
    has_no_code(&folder, &named)?;
    let what = format!("{} to {to}", options.from);
    let made = |reading: &mut Reading<'_>| plan(reading, &folder, &now, options, &named, &to);
    let done = output::change(&folder.state, &folder.content, &asked("rename", &what), made)?;
    let (told, number) = match done {
        Ok(done) => done,
        Err(Stop::Refused(shown)) => {
            return Ok(Outcome { out: String::new(), err: format!("{shown}nothing was changed\n"), status: Status::Problems });
        }
        Err(Stop::Error(error)) => return Err(error),
    };
    let number = number.map_or_else(|| "shown, nothing was written\n".to_owned(), |n| format!("change {n}; `litterfolio undo` takes it back\n"));
    Ok(Outcome::clean(format!("{told}{number}")))
}

enum Stop {
    Refused(String),
    Error(Error),
}

fn find(records: &Records, options: &Options) -> Result<Named, Error> {
    let unknown = |what: &str| Error::Usage(format!("there is no {what} `{}`", options.from.escape_debug()));
    let id = |text: &str, what: &str| text.parse::<Id>().map_err(|_| unknown(what));
    match options.kind {
        Kind::Dog => {
            let dog = id(&options.from, "dog")?;
            if records.dogs.contains_key(&dog) { Ok(Named::Dog(dog)) } else { Err(unknown("dog")) }
        }
        Kind::Litter => {
            let litter = id(&options.from, "litter")?;
            if records.litters.contains_key(&litter) { Ok(Named::Litter(litter)) } else { Err(unknown("litter")) }
        }
        Kind::Family => {
            let family = id(&options.from, "family")?;
            let is_there = records.owners.families.iter().any(|known| known.id == family);
            if is_there { Ok(Named::Family(family)) } else { Err(unknown("family")) }
        }
        Kind::Puppy => {
            let who = super::who::Who::new(&options.from, None);
            let (litter, puppy) = who.find(records)?;
            Ok(Named::Puppy(litter.id.clone(), puppy.id.clone()))
        }
    }
}

fn is_free(records: &Records, named: &Named, to: &Id) -> Result<(), Error> {
    let taken = match named {
        Named::Dog(_) => records.dogs.contains_key(to),
        Named::Litter(_) => records.litters.contains_key(to),
        Named::Puppy(litter, _) => records.litters.get(litter).is_some_and(|folder| folder.puppy(to).is_some()),
        Named::Family(_) => records.owners.families.iter().any(|family| family.id == *to),
    };
    let reserved = matches!(named, Named::Puppy(..)) && ["at", "by", "remark", "unit", "dam", "all", "litter"].contains(&to.as_str());
    match () {
        () if taken => Err(Error::Usage(format!("`{to}` is there already; choose another name"))),
        () if reserved => Err(Error::Usage(format!("`{to}` means something else in the records; choose another name"))),
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
            "the page of {key} has an access code, which goes with the names in the records: under another name it would get another address and code. Its shown name can change: `litterfolio set`"
        ))),
        None => Ok(()),
    }
}

fn plan(
    reading: &mut Reading<'_>,
    folder: &Folder,
    now: &Loaded,
    options: &Options,
    named: &Named,
    to: &Id,
) -> Result<Result<Wish<String>, Stop>, output::WriteError> {
    let listing = match folder.list_content() {
        Ok(listing) => listing,
        Err(error) => return Ok(Err(Stop::Error(error))),
    };
    let files: Vec<String> =
        listing.entries.iter().filter(|listed| matches!(listed.what, What::File(_))).map(|listed| listed.below(&folder.content)).collect();
    let mut texts = BTreeMap::new();
    for file in files.iter().filter(|file| typed::record_of(file).is_some()) {
        let bytes = reading.file(file)?.unwrap_or_default();
        match adding::text(file, &bytes) {
            Ok(text) => _ = texts.insert(file.clone(), text.to_owned()),
            Err(problems) => return Ok(Err(refused(folder, file, "", problems))),
        }
    }
    let plan = match naming::rename(named, to, &texts, &files) {
        Ok(plan) => plan,
        Err(problems) => {
            let file = problems.first().map(|problem| problem.place.file.clone()).unwrap_or_default();
            let text = texts.get(&file).cloned().unwrap_or_default();
            return Ok(Err(refused(folder, &file, &text, problems)));
        }
    };
    Ok(checked(folder, now, &plan, texts).map(|()| {
        let told = told(&plan);
        let Plan { texts, moves, .. } = plan;
        let files = texts.into_iter().map(|(file, text)| (file, Some(text.into_bytes()))).collect();
        if options.show { Wish { files: BTreeMap::new(), moves: Vec::new(), told } } else { Wish { files, moves, told } }
    }))
}

fn refused(folder: &Folder, file: &str, text: &str, problems: Vec<crate::records::problem::Problem>) -> Stop {
    Stop::Refused(Refused { problems, file: file.to_owned(), text: text.to_owned() }.shown(folder))
}

/// Reads all records as if the name were another: there is nothing wrong that was not wrong before.
fn checked(folder: &Folder, now: &Loaded, plan: &Plan, old: BTreeMap<String, String>) -> Result<(), Stop> {
    let mut texts = plan.texts.clone();
    for (file, text) in old {
        let moved = plan.moves.iter().find_map(|(from, to)| {
            let rest = file.strip_prefix(from.as_str()).filter(|rest| rest.is_empty() || rest.starts_with('/'))?;
            Some(format!("{to}{rest}"))
        });
        if let Some(moved) = moved {
            texts.insert(moved, text);
        }
    }
    let as_if = AsIf { texts, moved: plan.moves.clone(), ..AsIf::default() };
    let then = load_as(&folder.content, terminal::now(), &as_if).map_err(Stop::Error)?;
    let count = |loaded: &Loaded| loaded.problems.iter().filter(|p| p.problem.severity == crate::records::problem::Severity::Error).count();
    if count(&then) <= count(now) {
        return Ok(());
    }
    let terminal = terminal::terminal();
    let (errors, _) = news(now, &then);
    Err(Stop::Refused(showing::for_people(&errors, &then.sources, &folder.shown_content(), terminal.width, terminal.colours)))
}

fn told(plan: &Plan) -> String {
    let mut out = String::new();
    plan.texts.keys().for_each(|file| out.push_str(&format!("{file}\n")));
    plan.moves.iter().for_each(|(from, to)| out.push_str(&format!("{from} becomes {to}\n")));
    let _ = writeln!(out, "{} in {}", many(plan.places, "place"), many(plan.texts.len(), "file"));
    out
}
