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
use crate::app::recording::{Done, Mode, Refused, record};
use crate::app::renaming::{self, NameBarred};
use crate::app::terminal::{self, many};
use crate::quantity::Id;
use crate::records::changing::naming::Named;
use crate::records::{Records, load};
use std::fmt::Write;
use std::path::Path;

/// Options of `rename`.
#[derive(Debug, clap::Args)]
pub(super) struct Options {
    /// What it is
    #[arg(value_enum, value_name = "KIND")]
    kind: RenamedKind,
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
enum RenamedKind {
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
    if let Some(barred) = renaming::in_the_way(&folder, records, &named, &to)? {
        let NameBarred { message, hint } = barred;
        return Err(Error::Usage(format!("{message}; {hint}")));
    }
    let mode = if options.show { Mode::Try } else { Mode::Make };
    let what = format!("{} to {to}", options.from);
    let mut places = 0;
    let done = record(&folder, &asked("rename", &what), mode, |standing| {
        let plan = renaming::plan::<Refused>(standing, &folder, &named, &to)?;
        places = plan.places;
        Ok(renaming::work(plan))
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
    let (named, what) = match options.kind {
        RenamedKind::Dog => (Named::Dog(id(&options.from, "dog")?), "dog"),
        RenamedKind::Litter => (Named::Litter(id(&options.from, "litter")?), "litter"),
        RenamedKind::Family => (Named::Family(id(&options.from, "family")?), "family"),
        RenamedKind::Puppy => {
            let who = crate::app::who::Who::new(&options.from, None);
            let (litter, puppy) = who.find(records)?;
            (Named::Puppy(litter.id.clone(), puppy.id.clone()), "puppy")
        }
    };
    if renaming::is_known(records, &named) {
        Ok(named)
    } else {
        Err(unknown(what))
    }
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
