//! Which puppy or litter is meant.
//!
//! In: what was typed: `moss`, `Moss`, `summer-2026/moss`, with or without the litter; or
//! `summer-2026`, `summer`. Out: the one puppy or litter, or an error that names those it could be.

use crate::Error;
use crate::quantity::{did_you_mean, nearest, slips};
use crate::records::litter::Puppy;
use crate::records::{LitterFolder, Records};

/// A puppy on the command line.
#[derive(Debug, clap::Args)]
#[group(skip)]
pub struct Who {
    /// The puppy: its id or name
    #[arg(value_name = "PUPPY")]
    puppy: String,
    /// Its litter, where several have a puppy of that name
    #[arg(long, value_name = "LITTER")]
    litter: Option<String>,
}

impl Who {
    pub fn new(puppy: &str, litter: Option<&str>) -> Self {
        Self {
            puppy: puppy.to_owned(),
            litter: litter.map(str::to_owned),
        }
    }

    /// Finds it.
    pub fn find<'a>(&self, records: &'a Records) -> Result<(&'a LitterFolder, &'a Puppy), Error> {
        if self.puppy.contains('/') && self.litter.is_some() {
            return Err(Error::Usage(format!(
                "`{}` names its litter already; leave --litter out",
                self.puppy
            )));
        }
        let (litter, name) = match self.puppy.split_once('/') {
            Some((litter, name)) => (Some(litter), name),
            None => (self.litter.as_deref(), self.puppy.as_str()),
        };
        let all = || {
            records.litters.values().flat_map(|folder| {
                folder
                    .litter
                    .puppies
                    .iter()
                    .map(move |puppy| (folder, puppy))
            })
        };
        let in_litter = |folder: &LitterFolder| {
            litter.is_none_or(|litter| {
                same(folder.id.as_str(), litter) || same(&folder.litter.name, litter)
            })
        };
        let is_named =
            |puppy: &Puppy| same(puppy.id.as_str(), name) || same(&puppy.shown_name(), name);
        let found: Vec<_> = all()
            .filter(|(folder, puppy)| in_litter(folder) && is_named(puppy))
            .collect();
        match found.as_slice() {
            [one] => Ok(*one),
            [] => Err(Error::Usage(unknown(
                all().map(|(folder, puppy)| (folder.id.as_str(), puppy.id.as_str())),
                litter,
                name,
            ))),
            several => {
                let those: Vec<String> = several
                    .iter()
                    .map(|(folder, puppy)| format!("{}/{}", folder.id, puppy.id))
                    .collect();
                Err(Error::Usage(format!(
                    "several puppies are called `{name}`: {}; name one of them so, with its litter",
                    those.join(", ")
                )))
            }
        }
    }
}

/// The one litter that a word means: its id or name, or how one of them begins.
pub fn litter<'a>(records: &'a Records, word: &str) -> Result<&'a LitterFolder, Error> {
    let all = || records.litters.values();
    if let Some(exact) = all().find(|folder| same(folder.id.as_str(), word)) {
        return Ok(exact);
    }
    let named: Vec<_> = all()
        .filter(|folder| same(&folder.litter.name, word))
        .collect();
    let lower = word.trim().to_lowercase();
    let begins = |folder: &&LitterFolder| {
        folder.id.as_str().starts_with(&lower)
            || folder.litter.name.to_lowercase().starts_with(&lower)
    };
    let found = if named.is_empty() && !lower.is_empty() {
        all().filter(begins).collect()
    } else {
        named
    };
    match found[..] {
        [one] => Ok(one),
        [] => {
            let ids: Vec<&str> = all().map(|folder| folder.id.as_str()).collect();
            let hint = match nearest(word, &ids) {
                Some(near) => format!("; {}", did_you_mean(near)),
                None if (1..=8).contains(&ids.len()) => format!("; there are: {}", ids.join(", ")),
                None => String::new(),
            };
            Err(Error::Usage(format!(
                "there is no litter `{}`{hint}",
                word.escape_debug()
            )))
        }
        _ => {
            let ids: Vec<&str> = found.iter().map(|folder| folder.id.as_str()).collect();
            Err(Error::Usage(format!(
                "`{}` may be several litters: {}; name one of them so",
                word.escape_debug(),
                ids.join(", ")
            )))
        }
    }
}

fn unknown<'a>(
    all: impl Iterator<Item = (&'a str, &'a str)>,
    litter: Option<&str>,
    name: &str,
) -> String {
    let near = all.min_by_key(|(folder, puppy)| {
        let of_litter = litter.map_or(0, |litter| slips(folder, litter));
        (slips(puppy, name), of_litter)
    });
    let hint = near
        .filter(|(_, puppy)| nearest(name, &[puppy]).is_some())
        .map(|(folder, puppy)| format!("; {}", did_you_mean(&format!("{folder}/{puppy}"))))
        .unwrap_or_default();
    let within = litter
        .map(|litter| format!(" in a litter `{litter}`"))
        .unwrap_or_default();
    format!("there is no puppy `{name}`{within}{hint}")
}

fn same(one: &str, other: &str) -> bool {
    one.to_lowercase() == other.trim().to_lowercase()
}
