//! `take-in`: the birth from a whelping sheet goes into its litter's records.
//!
//! In: the kennel's folder and the file that the sheet gave. Out: the lines that `litter.yaml`
//! gains, shown first and written only when the keeper agrees. What stands there is never touched,
//! and nothing is half taken in: any problem leaves everything as it was.

use crate::Error;
use crate::app::folder::Folder;
use crate::app::problems;
use crate::app::terminal::{self, many};
use crate::app::{Outcome, Status, adding};
use crate::quantity::{Id, counted};
use crate::records::birth_file::{BirthFile, LARGEST_BIRTH_FILE};
use crate::records::problem::{Located, Problem, Severity};
use crate::records::source::Sources;
use crate::records::source::locate;
use crate::records::{Addition, Loaded, Records, load, load_with};
use std::collections::BTreeMap;
use std::fmt::Write;
use std::io::Read;
use std::path::{Path, PathBuf};

/// Options of `take-in`.
#[derive(Debug, clap::Args)]
pub(super) struct Options {
    /// The file that the whelping sheet saved; `-` reads standard input
    #[arg(value_name = "FILE")]
    file: PathBuf,
    /// The litter, where the file does not name it: the name of its folder
    #[arg(long, value_name = "LITTER")]
    litter: Option<String>,
    /// Take it in without asking
    #[arg(long)]
    yes: bool,
}

pub(super) fn run(kennel: &Path, options: &Options) -> Result<Outcome, Error> {
    let folder = Folder::new(kennel)?;
    let (file, mut sources, problems) = BirthFile::read(&shown_name(options), bytes(options)?);
    let Some(file) = file else {
        return Ok(refused(&folder, problems, &sources));
    };
    let loaded = load(&folder.content, terminal::now())?;
    let Some(records) = loaded.records.as_ref() else {
        return Ok(unreadable(&folder, &loaded));
    };
    let litter = which(records, &loaded, &file, options)?;
    let record = format!("litters/{litter}/litter.yaml");
    let broken = |located: &Located| {
        located.problem.place.file == record && located.problem.severity == Severity::Error
    };
    if loaded.problems.iter().any(broken) {
        return Ok(unreadable(&folder, &loaded));
    }
    let path = folder.content.join(&record);
    let old = std::fs::read_to_string(&path)
        .map_err(|error| Error::io("read the record", &path, error))?;
    sources.extend(loaded.sources.clone());
    let addition = match file.into_record(&record, &old) {
        Ok(addition) => addition,
        Err(problems) => return Ok(refused(&folder, problems, &sources)),
    };
    if addition.lines.is_empty() {
        return Ok(Outcome::clean(format!(
            "{record}: all of it is there already; nothing was taken in\n"
        )));
    }
    let as_if = load_with(
        &folder.content,
        terminal::now(),
        &BTreeMap::from([(record.clone(), addition.text.clone())]),
    )?;
    let (errors, warnings) = news(&loaded, as_if.problems);
    if !errors.is_empty() {
        let mut err = problems::drawn(&folder, &errors, &as_if.sources);
        let _ = writeln!(
            err,
            "{}; {record} is shown as it would be. {NOTHING}",
            many(errors.len(), "error")
        );
        return Ok(Outcome::problems(err));
    }
    let err = problems::drawn(&folder, &warnings, &as_if.sources);
    settle(&folder, &record, &old, &addition, options, err)
}

/// What is said whenever a file is not taken in.
const NOTHING: &str = "Nothing was taken in.";

/// Shows what is to be added, asks, and writes.
fn settle(
    folder: &Folder,
    record: &str,
    old: &str,
    addition: &Addition,
    options: &Options,
    err: String,
) -> Result<Outcome, Error> {
    let mut shown = format!("{record} gains these lines:\n\n");
    addition
        .lines
        .iter()
        .for_each(|line| shown.push_str(&format!("  {line}\n")));
    shown.push('\n');
    if !options.yes {
        terminal::say(&shown);
        shown.clear();
        // What is odd is read before the question is answered.
        terminal::warn(&err);
    }
    let err = if options.yes { err } else { String::new() };
    let agreed = if options.yes {
        Some(true)
    } else {
        terminal::agreed("Take them in?")
    };
    match agreed {
        Some(true) => {}
        Some(false) => {
            return Ok(Outcome {
                out: format!("{NOTHING}\n"),
                err,
                status: Status::Clean,
            });
        }
        None => {
            return Err(Error::Usage(format!(
                "{NOTHING} Nobody is there to be asked: look at the lines, then say it again with \
                 --yes"
            )));
        }
    }
    // Read again under the lock: what somebody wrote since the lines were shown is not written
    // over.
    let change = |now: &str| {
        Ok(if now == old {
            (Some(addition.text.clone()), true)
        } else {
            (None, false)
        })
    };
    match adding::change(folder, "take-in", record, change)? {
        Ok(true) => {}
        Ok(false) => {
            return Err(Error::Usage(format!(
                "{record} was changed by somebody else in the meantime. {NOTHING} Take it in again"
            )));
        }
        Err(refused) => return Ok(refused.outcome(folder)),
    }
    let Addition {
        text: _,
        lines: _,
        birth,
        puppies,
        already,
    } = addition;
    let taken = counted(puppies.len(), "puppy", "puppies");
    let there = if *already > 0 {
        format!("; {already} stood there already")
    } else {
        String::new()
    };
    let what = if *birth {
        format!("the birth and {taken}")
    } else {
        taken
    };
    let _ = writeln!(shown, "{record}: {what} taken in{there}");
    shown.push_str(
        "The sheet on the phone may be cleared once you have looked at the record; `publish` \
         brings the book up to date.\n",
    );
    Ok(Outcome::clean(shown).noting(err))
}

fn shown_name(options: &Options) -> String {
    if is_standard_input(options) {
        "standard input".to_owned()
    } else {
        options.file.display().to_string()
    }
}

fn is_standard_input(options: &Options) -> bool {
    options.file.as_os_str() == "-"
}

/// The bytes of the file; one that is far too large is no birth, and is not read to its end.
fn bytes(options: &Options) -> Result<Vec<u8>, Error> {
    let mut bytes = Vec::new();
    let read = if is_standard_input(options) {
        std::io::stdin()
            .lock()
            .take(LARGEST_BIRTH_FILE + 1)
            .read_to_end(&mut bytes)
    } else {
        std::fs::File::open(&options.file)
            .and_then(|file| file.take(LARGEST_BIRTH_FILE + 1).read_to_end(&mut bytes))
    };
    read.map_err(|error| Error::io("read", Path::new(&shown_name(options)), error))?;
    if bytes.len() as u64 > LARGEST_BIRTH_FILE {
        return Err(Error::Usage(format!(
            "{} is far too large to be the birth of a litter: is it the right file?",
            shown_name(options)
        )));
    }
    Ok(bytes)
}

/// The litter that is meant: the one the file names, or the one on the command line.
fn which(
    records: &Records,
    loaded: &Loaded,
    file: &BirthFile,
    options: &Options,
) -> Result<Id, Error> {
    let same = |one: &str, other: &str| one.to_lowercase() == other.trim().to_lowercase();
    let found = |wanted: &str| {
        records
            .litters
            .values()
            .find(|folder| same(folder.id.as_str(), wanted) || same(&folder.litter.name, wanted))
            .map(|folder| folder.id.clone())
    };
    let names = || {
        records
            .litters
            .keys()
            .map(Id::as_str)
            .collect::<Vec<_>>()
            .join(", ")
    };
    let unknown = |wanted: &str| {
        let record = format!("litters/{wanted}/litter.yaml");
        let broken = loaded
            .problems
            .iter()
            .any(|located| located.problem.place.file == record);
        let why = if broken {
            "its `litter.yaml` cannot be read; `litterfolio inspect` says why".to_owned()
        } else {
            format!("there are: {}", names())
        };
        Error::Usage(format!("there is no litter `{wanted}`; {why}"))
    };
    match (&file.litter, options.litter.as_deref()) {
        (None, None) => Err(Error::Usage(format!(
            "the file does not name its litter; say which with --litter: {}",
            names()
        ))),
        (Some(named), None) => found(named.as_str()).ok_or_else(|| unknown(named.as_str())),
        (named, Some(wanted)) => {
            let id = found(wanted).ok_or_else(|| unknown(wanted))?;
            match named {
                // A folder may have been given another name since the sheet was made; another
                // litter that exists is a slip.
                Some(named) if *named != id && records.litters.contains_key(named) => {
                    Err(Error::Usage(format!(
                        "the file is the birth of `{named}`, not of `{id}`; change its line `# \
                         litter:` if that is wrong"
                    )))
                }
                _ => Ok(id),
            }
        }
    }
}

/// Problems that were not there before, errors and warnings.
fn news(before: &Loaded, after: Vec<Located>) -> (Vec<Located>, Vec<Located>) {
    let known = |problem: &Problem| {
        before.problems.iter().any(|old| {
            old.problem.code == problem.code
                && old.problem.place == problem.place
                && old.problem.message == problem.message
        })
    };
    after
        .into_iter()
        .filter(|located| !known(&located.problem))
        .partition(|located| located.problem.severity == Severity::Error)
}

fn refused(folder: &Folder, problems: Vec<Problem>, sources: &Sources) -> Outcome {
    let located = locate(problems, sources);
    let err = format!(
        "{}{}. {NOTHING}\n",
        problems::drawn(folder, &located, sources),
        many(located.len(), "problem")
    );
    Outcome::problems(err)
}

fn unreadable(folder: &Folder, loaded: &Loaded) -> Outcome {
    problems::in_the_way(folder, loaded, &format!("{NOTHING} Mend the record first."))
}
