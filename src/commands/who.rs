//! Which puppy is meant.
//!
//! In: what was typed: `moss`, `Moss`, `summer-2026/moss`, with or without the litter. Out: the one puppy, or an error that names those it could be.

use crate::Error;
use crate::records::litter::Puppy;
use crate::records::{LitterFolder, Records};

/// A puppy on the command line.
#[derive(Debug, clap::Args)]
#[group(skip)]
pub(super) struct Who {
    /// The puppy: its id or name
    #[arg(value_name = "PUPPY")]
    puppy: String,
    /// Its litter, where several have a puppy of that name
    #[arg(long, value_name = "LITTER")]
    litter: Option<String>,
}

impl Who {
    pub(super) fn new(puppy: &str, litter: Option<&str>) -> Self {
        Self { puppy: puppy.to_owned(), litter: litter.map(str::to_owned) }
    }

    /// Finds it.
    pub(super) fn find<'a>(&self, records: &'a Records) -> Result<(&'a LitterFolder, &'a Puppy), Error> {
        if self.puppy.contains('/') && self.litter.is_some() {
            return Err(Error::Usage(format!("`{}` names its litter already; leave --litter out", self.puppy)));
        }
        let (litter, name) = match self.puppy.split_once('/') {
            Some((litter, name)) => (Some(litter), name),
            None => (self.litter.as_deref(), self.puppy.as_str()),
        };
        let all = || records.litters.values().flat_map(|folder| folder.litter.puppies.iter().map(move |puppy| (folder, puppy)));
        let in_litter = |folder: &LitterFolder| litter.is_none_or(|litter| same(folder.id.as_str(), litter) || same(&folder.litter.name, litter));
        let is_named = |puppy: &Puppy| same(puppy.id.as_str(), name) || same(&puppy.shown_name(), name);
        let found: Vec<_> = all().filter(|(folder, puppy)| in_litter(folder) && is_named(puppy)).collect();
        match found.as_slice() {
            [one] => Ok(*one),
            [] => Err(Error::Usage(unknown(all().map(|(folder, puppy)| (folder.id.as_str(), puppy.id.as_str())), litter, name))),
            several => {
                let those: Vec<String> = several.iter().map(|(folder, puppy)| format!("{}/{}", folder.id, puppy.id)).collect();
                Err(Error::Usage(format!("several puppies are called `{name}`: {}; name one of them so, with its litter", those.join(", "))))
            }
        }
    }
}

/// The litter that was named by its folder or its name.
pub(super) fn litter<'a>(records: &'a Records, name: &str) -> Result<&'a LitterFolder, Error> {
    let found: Vec<&LitterFolder> =
        records.litters.values().filter(|folder| same(folder.id.as_str(), name) || same(&folder.litter.name, name)).collect();
    match found.as_slice() {
        [one] => Ok(*one),
        [] => {
            let near = records.litters.keys().min_by_key(|id| strsim::levenshtein(id.as_str(), &name.to_lowercase()));
            let is_near = |id: &&crate::quantity::Id| strsim::levenshtein(id.as_str(), &name.to_lowercase()) <= 2.max(name.len() / 3);
            let all = || records.litters.keys().take(12).map(ToString::to_string).collect::<Vec<_>>().join(", ");
            let hint = near.filter(is_near).map_or_else(|| format!("; there are: {}", all()), |id| format!("; did you mean `{id}`?"));
            Err(Error::Usage(format!("there is no litter `{name}`{hint}")))
        }
        several => {
            let those: Vec<String> = several.iter().map(|folder| folder.id.to_string()).collect();
            Err(Error::Usage(format!("several litters are called `{name}`: {}; name one of them by its folder", those.join(", "))))
        }
    }
}

fn unknown<'a>(all: impl Iterator<Item = (&'a str, &'a str)>, litter: Option<&str>, name: &str) -> String {
    let near = all.min_by_key(|(folder, puppy)| {
        let own = strsim::levenshtein(puppy, &name.to_lowercase());
        (own, litter.map_or(0, |litter| strsim::levenshtein(folder, &litter.to_lowercase())))
    });
    let is_near = |puppy: &str| strsim::levenshtein(puppy, &name.to_lowercase()) <= 2.max(name.len() / 3) && !name.is_empty();
    let hint = near.filter(|(_, puppy)| is_near(puppy)).map(|(folder, puppy)| format!("; did you mean `{folder}/{puppy}`?")).unwrap_or_default();
    let within = litter.map(|litter| format!(" in a litter `{litter}`")).unwrap_or_default();
    format!("there is no puppy `{name}`{within}{hint}")
}

fn same(one: &str, other: &str) -> bool {
    one.to_lowercase() == other.trim().to_lowercase()
}
