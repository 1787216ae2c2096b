//! One weigh-in on its way into the file.
//!
//! In: a [`Draft`]. Out: the file with it. Whoever wrote a block can write it anew as long as
//! nobody else has changed it.

use crate::Error;
use crate::app::adding as file;
use crate::app::folder::Folder;
use crate::app::recording::Refused;
use crate::app::weigh_ins::Draft;
use crate::quantity::Id;
use crate::records::adding::weigh_ins;
use crate::records::adding::{self, Own};
use crate::records::problem::Problem;
use crate::records::weights::WeightsBlock;

/// What became of a draft.
#[derive(Debug)]
pub(super) enum Stored {
    /// It is on the disk.
    Kept(Option<Own>),
    /// Somebody else has changed our block meanwhile: it is no longer ours.
    Parted,
    /// Somebody else has written a weight of these puppies for the same time.
    Taken(Vec<Id>),
}

/// Writes a draft, in place of the one that stands at `own`, or at the end of the file. A draft
/// without weights takes its block out.
pub(super) fn store(
    folder: &Folder,
    path: &str,
    draft: &Draft,
    own: Option<&Own>,
) -> Result<Result<Stored, Refused>, Error> {
    if own.is_none() && draft.weights.is_empty() {
        return Ok(Ok(Stored::Kept(None)));
    }
    let (entry, block) = (draft.entry(), draft.block());
    file::change(folder, "weigh", path, |text| {
        let added = match own {
            None => Some(adding::add::<WeightsBlock>(
                path,
                text,
                std::slice::from_ref(&entry),
                |new| new == std::slice::from_ref(&block),
            )?),
            Some(own) if draft.weights.is_empty() => {
                adding::renew::<WeightsBlock>(path, text, own, None, <[WeightsBlock]>::is_empty)?
            }
            Some(own) => adding::renew::<WeightsBlock>(path, text, own, Some(&entry), |new| {
                new == std::slice::from_ref(&block)
            })?,
        };
        let Some(added) = added else {
            return Ok((None, Stored::Parted));
        };
        let twice = twice(path, &added.text, draft)?;
        if !twice.is_empty() {
            return Ok((None, Stored::Taken(twice)));
        }
        Ok((
            Some(added.text),
            Stored::Kept(Some(added.own).filter(|_| !draft.weights.is_empty())),
        ))
    })
}

/// Puppies of the draft that would have two weights for its time.
fn twice(path: &str, text: &str, draft: &Draft) -> Result<Vec<Id>, Vec<Problem>> {
    let read = weigh_ins(path, text)?;
    let count = |id: &Id| {
        read.iter()
            .filter(|weigh_in| {
                weigh_in.at.to_the_minute() == draft.at && weigh_in.weights.contains_key(id)
            })
            .count()
    };
    Ok(draft
        .weights
        .iter()
        .map(|(id, ..)| id)
        .filter(|id| count(id) > 1)
        .cloned()
        .collect())
}
