//! Weigh-ins on their way into the file of a litter.
//!
//! In: what was typed, or the rows of a table, and the weigh-ins that stand in the records. Out:
//! what is to be written, what is there already, and weights that contradict one another.

use crate::husbandry::weighing::{Doubt, Weighing};
use crate::quantity::{Id, Moment, Text, Weight, WeightEntry};
use crate::records::WeighIn;
use crate::records::adding::NewEntry;
use crate::records::problem::{Place, key_path};
use crate::records::sheet::{TableWeight, Taken};
use crate::records::weights::{WeightsBlock, WrittenWeighIn};
use std::collections::{BTreeMap, BTreeSet};

/// Two weights that differ less than this are one and the same, in grams: rounding of a
/// spreadsheet.
const SAME: f64 = 0.05;

/// What becomes one block.
#[derive(Debug, Clone, PartialEq)]
pub struct Draft {
    pub at: Moment,
    pub by: Option<Text>,
    pub remark: Option<Text>,
    /// Whose, how much, and as it will be written.
    pub weights: Vec<(Id, Weight, String)>,
}

impl Draft {
    /// The lines.
    pub fn entry(&self) -> NewEntry {
        let head = NewEntry::new()
            .with("at", self.at.to_string())
            .with_some("by", self.by.as_deref());
        let body = self.weights.iter().fold(head, |entry, (id, _, written)| {
            entry.with(id.as_str(), written.as_str())
        });
        body.with_some("remark", self.remark.as_deref())
    }

    /// What the reader must make of them.
    pub fn block(&self) -> WeightsBlock {
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

/// What rows of weights come to beside the records.
#[derive(Debug, Default)]
pub struct NewWeights<'a> {
    pub drafts: Vec<Draft>,
    /// Weights that are there already.
    pub there: Vec<(Id, Moment)>,
    /// Weights of which there is another for the same time.
    pub twice: Vec<SecondWeight<'a>>,
}

/// A second weight of one puppy for one time.
#[derive(Debug)]
pub struct SecondWeight<'a> {
    pub given: &'a TableWeight,
    pub at: Moment,
    /// The other one, and where it stands.
    pub other: Weight,
    pub place: Place,
    /// Whether the other one is not in the records either, but in an earlier row.
    pub is_new: bool,
}

impl<'a> NewWeights<'a> {
    /// `file` is what places in the records call the file of weights.
    pub fn new(file: &str, records: &[WeighIn], rows: &'a [Taken]) -> Self {
        let mut known: BTreeMap<(Id, Moment), (Weight, Place, bool)> = BTreeMap::new();
        for weigh_in in records {
            let place = |id: &Id| Place::path(file, key_path![weigh_in.block, id.as_str()]);
            let own = weigh_in.weights.iter().map(|(id, weight)| {
                let time = (id.clone(), weigh_in.at.to_the_minute());
                (time, (*weight, place(id), false))
            });
            known.extend(own);
        }
        let mut new = Self::default();
        for row in rows {
            let mut weights = Vec::new();
            for given in &row.weights {
                let TableWeight {
                    puppy,
                    weight,
                    written,
                    place,
                    ..
                } = given;
                match known.get(&(puppy.clone(), row.at)) {
                    None => {
                        known.insert((puppy.clone(), row.at), (*weight, place.clone(), true));
                        weights.push((puppy.clone(), *weight, written.clone()));
                    }
                    Some((other, ..)) if (other.grams() - weight.grams()).abs() < SAME => {
                        new.there.push((puppy.clone(), row.at));
                    }
                    Some((other, place, is_new)) => new.twice.push(SecondWeight {
                        given,
                        at: row.at,
                        other: *other,
                        place: place.clone(),
                        is_new: *is_new,
                    }),
                }
            }
            if !weights.is_empty() {
                new.drafts.push(Draft {
                    at: row.at,
                    by: row.by.clone(),
                    remark: row.remark.clone(),
                    weights,
                });
            }
        }
        new
    }

    /// Weighs what is to be written, and says what looks like a slip.
    pub fn doubts(&self, weighing: &mut Weighing<'_>) -> Vec<Doubt> {
        for draft in &self.drafts {
            for (id, weight, _) in &draft.weights {
                weighing.take(id, draft.at, *weight);
            }
        }
        let times: BTreeSet<Moment> = self.drafts.iter().map(|draft| draft.at).collect();
        weighing.doubts(&times.into_iter().collect::<Vec<_>>())
    }

    /// How many weights are to be written.
    pub fn weights(&self) -> usize {
        self.drafts.iter().map(|draft| draft.weights.len()).sum()
    }
}
