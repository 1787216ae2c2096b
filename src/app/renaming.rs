//! Another name for a dog, a litter, a puppy or a family, with all that names it.
//!
//! In: the kennel, who, and the new name. Out: what is in the way of it, or every record, file and
//! picture that becomes another. The command and the desk ask for the same.

use super::folder::Folder;
use super::recording::{FileChange, Refused, Standing, Stop, Work, files_of};
use crate::Error;
use crate::keyring::Keyring;
use crate::quantity::Id;
use crate::records::changing::naming::{self, Named, RenamePlan};
use crate::records::changing::typed;
use crate::records::{Records, is_reserved};
use std::collections::BTreeMap;

/// Why something cannot be called so: what is in the way, and what to do.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NameBarred {
    pub message: String,
    pub hint: &'static str,
}

/// Whether there is such a one.
pub fn is_known(records: &Records, named: &Named) -> bool {
    is_there(records, named, None)
}

fn is_there(records: &Records, named: &Named, as_if: Option<&Id>) -> bool {
    match named {
        Named::Dog(id) => records.dogs.contains_key(as_if.unwrap_or(id)),
        Named::Litter(id) => records.litters.contains_key(as_if.unwrap_or(id)),
        Named::Puppy(litter, id) => records
            .litters
            .get(litter)
            .is_some_and(|folder| folder.puppy(as_if.unwrap_or(id)).is_some()),
        Named::Family(id) => {
            let id = as_if.unwrap_or(id);
            let mut families = records.owners.families.iter();
            families.any(|family| family.id == *id)
        }
    }
}

/// What is in the way of a new name.
pub fn in_the_way(
    folder: &Folder,
    records: &Records,
    named: &Named,
    to: &Id,
) -> Result<Option<NameBarred>, Error> {
    let reserved =
        matches!(named, Named::Puppy(..)) && (is_reserved(to) || to.as_str() == "litter");
    if is_there(records, named, Some(to)) {
        return Ok(Some(NameBarred {
            message: format!("`{to}` is there already"),
            hint: "choose another name",
        }));
    }
    if reserved {
        return Ok(Some(NameBarred {
            message: format!("`{to}` means something else in the records"),
            hint: "choose another name",
        }));
    }
    has_no_code(folder, named)
}

/// A page that a family has keeps its address.
fn has_no_code(folder: &Folder, named: &Named) -> Result<Option<NameBarred>, Error> {
    let keyring = Keyring::look(&folder.root, &folder.state, &folder.public)?;
    let concerns = |(key, family): &(&str, &str)| match named {
        Named::Dog(_) => false,
        Named::Litter(litter) => key.split('/').next() == Some(litter.as_str()),
        Named::Puppy(litter, puppy) => *key == format!("{litter}/{puppy}"),
        Named::Family(id) => *family == id.as_str(),
    };
    let page = keyring.pages().find(concerns);
    Ok(page.map(|(key, _)| NameBarred {
        message: format!(
            "the page of {key} has an access code, which goes with the names in the records: \
             under another name it would get another address and code"
        ),
        hint: "keep this one; the name that is shown can change",
    }))
}

/// All that becomes another, from the records as they stand under the lock.
pub fn plan<E: From<Refused>>(
    standing: &mut Standing<'_, '_>,
    folder: &Folder,
    named: &Named,
    to: &Id,
) -> Result<RenamePlan, Stop<E>> {
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
        Stop::Refused(E::from(Refused::of(&file, &text, problems)))
    })
}

/// What is to become of which file.
pub fn work(plan: RenamePlan) -> Vec<FileChange> {
    let RenamePlan {
        texts,
        moves,
        places: _,
    } = plan;
    let texts = texts.into_iter();
    let moves = moves.into_iter();
    texts
        .map(|(file, text)| (file, Work::Text(text)))
        .chain(moves.map(|(from, to)| (from, Work::MovedTo(to))))
        .collect()
}
