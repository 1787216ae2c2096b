//! One weigh-in on its way into the file.
//!
//! In: time, weights, words. Out: the lines to be added, what the reader must make of them, and the
//! file with them. Whoever wrote a block can write it anew as long as nobody else has changed it.

use crate::Error;
use crate::app::adding as file;
use crate::app::folder::Folder;
use crate::app::recording::Refused;
use crate::quantity::{Id, Moment, Text, Weight, WeightEntry};
use crate::records::adding::weigh_ins;
use crate::records::adding::{self, NewEntry, Own};
use crate::records::problem::Problem;
use crate::records::weights::{WeightsBlock, WrittenWeighIn};

/// What becomes one block.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Draft {
    pub(super) at: Moment,
    pub(super) by: Option<Text>,
    pub(super) remark: Option<Text>,
    /// Whose, how much, and as it will be written.
    pub(super) weights: Vec<(Id, Weight, String)>,
}

impl Draft {
    /// The lines.
    pub(super) fn entry(&self) -> NewEntry {
        let head = NewEntry::new()
            .with("at", self.at.to_string())
            .with_some("by", self.by.as_deref());
        let body = self.weights.iter().fold(head, |entry, (id, _, written)| {
            entry.with(id.as_str(), written.as_str())
        });
        body.with_some("remark", self.remark.as_deref())
    }

    /// What the reader must make of them.
    pub(super) fn block(&self) -> WeightsBlock {
        let weights = self
            .weights
            .iter()
            .map(|(id, weight, _)| (id.clone(), WeightEntry::Whole(*weight)))
            .collect();
        WeightsBlock::WeighIn(WrittenWeighIn {
            at: self.at,
            by: self.by.clone(),
            remark: self.remark.clone(),
            weights,
        })
    }
}

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
