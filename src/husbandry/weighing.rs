//! What can be said of a weight the moment it is read from the scale.
//!
//! In: the records, one litter, and weights that stand in no file yet. Out: what changed
//! ([`WeightVerdict`]), the findings as they would be with these weights, and whatever makes one
//! doubt a weight ([`Doubt`]) while the puppy is still in the basin. Nothing is written and nothing
//! is put right.

use super::findings::{Finding, Urgency, slips};
use super::growth::{Point, WeightChange};
use super::{LitterFigures, of_litter};
use crate::quantity::{Id, Moment, Weight};
use crate::records::litter::Puppy;
use crate::records::{LitterFolder, Records, WeighIn};
use std::cell::OnceCell;

/// A weigh-in of one litter while it goes on.
#[derive(Debug)]
pub struct Weighing<'a> {
    records: &'a Records,
    folder: LitterFolder,
    /// Computed when they are asked for; a weight taken or forgotten asks for them anew.
    figures: OnceCell<LitterFigures>,
}

/// What a weight says of its puppy.
#[derive(Debug, Clone, PartialEq)]
pub struct WeightVerdict {
    /// The weight.
    pub weight: Weight,
    /// Change since the weight before.
    pub change: Option<WeightChange>,
    /// Change since birth, %.
    pub since_birth: Option<f64>,
    /// Findings about the puppy's weights, the most urgent first, when this is its latest weight.
    pub findings: Vec<Finding>,
}

/// Why a weight may not be what the scale showed, or not this puppy's.
#[derive(Debug, Clone, PartialEq)]
pub struct Doubt {
    /// The puppies it is about: one, or two whose weights look exchanged.
    pub puppies: Vec<Id>,
    /// When they were weighed.
    pub at: Moment,
    /// What is odd.
    pub reason: DoubtReason,
}

/// What is odd about a weight.
#[derive(Debug, Clone, PartialEq)]
pub enum DoubtReason {
    /// It looks like a slip of the pen.
    Slip(Box<Finding>),
    /// No puppy is so light.
    TooLight(Weight),
    /// It is far from the one before.
    FarOff {
        /// The weight.
        weight: Weight,
        /// Its change since the one before.
        change: WeightChange,
        /// The one before.
        before: Weight,
        /// The living puppy whose last weight it is near to.
        near: Option<LastOfOther>,
    },
}

/// The last weight of another puppy.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LastOfOther {
    /// Its name.
    pub name: String,
    /// The weight.
    pub weight: Weight,
}

/// A weight that changed by less than this since the one before is asked about, where no usual slip
/// explains it, % (common practice, no source).
pub const FAR_BELOW: f64 = -12.0;
/// The same for a gain of more than this, %.
pub const FAR_ABOVE: f64 = 30.0;
/// What a gain is allowed more for each day, percentage points.
pub const FAR_ABOVE_A_DAY: f64 = 15.0;
/// A weight this near to another puppy's last one may be that puppy's, %.
const NEAR: f64 = 3.0;
/// Lighter than any puppy that is weighed, in grams (common practice, no source: the lightest
/// living toy puppies have about 40 g at birth).
const LEAST: f64 = 30.0;

impl<'a> Weighing<'a> {
    /// Begins with what the records hold.
    #[must_use]
    pub fn new(records: &'a Records, folder: &LitterFolder) -> Self {
        Self {
            records,
            folder: folder.clone(),
            figures: OnceCell::new(),
        }
    }

    /// The litter as it is with the weights taken so far.
    #[must_use]
    pub fn folder(&self) -> &LitterFolder {
        &self.folder
    }

    /// The puppies that are to be weighed, in the order of the litter: alive, and still here.
    #[must_use]
    pub fn here(&self) -> Vec<Puppy> {
        let figures = self.figures();
        self.folder
            .living()
            .filter(|puppy| !figures.puppies[&puppy.id].is_gone)
            .cloned()
            .collect()
    }

    /// Takes a weight, in place of one taken before for that time.
    pub fn take(&mut self, puppy: &Id, at: Moment, weight: Weight) {
        self.take_back(puppy, at);
        if let Some(weigh_in) = self
            .folder
            .weigh_ins
            .iter_mut()
            .find(|weigh_in| weigh_in.at == at)
        {
            weigh_in.weights.insert(puppy.clone(), weight);
            return;
        }
        let weights = [(puppy.clone(), weight)].into();
        let block = self.folder.weigh_ins.len();
        self.folder.weigh_ins.push(WeighIn {
            at,
            by: None,
            remark: None,
            weights,
            block,
        });
        self.folder.weigh_ins.sort_by_key(|weigh_in| weigh_in.at);
    }

    /// Forgets a weight.
    pub fn take_back(&mut self, puppy: &Id, at: Moment) {
        self.figures = OnceCell::new();
        for weigh_in in self
            .folder
            .weigh_ins
            .iter_mut()
            .filter(|weigh_in| weigh_in.at == at)
        {
            weigh_in.weights.remove(puppy);
        }
    }

    /// A puppy's weight at a time.
    #[must_use]
    pub fn weight(&self, puppy: &Id, at: Moment) -> Option<Weight> {
        self.folder
            .weigh_ins
            .iter()
            .filter(|weigh_in| weigh_in.at == at)
            .find_map(|weigh_in| weigh_in.weights.get(puppy).copied())
    }

    /// The last weight of a puppy before a time, that at birth included.
    #[must_use]
    pub fn last_before(&self, puppy: &Id, at: Moment) -> Option<Point> {
        last_before(self.figures(), puppy, at)
    }

    /// What a puppy's weight at this time says.
    #[must_use]
    pub fn said(&self, puppy: &Id, at: Moment) -> Option<WeightVerdict> {
        let figures = self.figures();
        let points = &figures.puppies.get(puppy)?.growth.points;
        let point = points
            .iter()
            .find(|point| !point.is_birth && point.at == at)?;
        let is_latest = points.last().is_some_and(|last| last.at == at);
        let of_weights = |finding: &&Finding| {
            finding.puppy.as_ref() == Some(puppy)
                && finding.weight.is_some_and(|weight| weight.days > 0.0)
        };
        let findings = figures
            .findings
            .iter()
            .filter(of_weights)
            .filter(|_| is_latest);
        Some(WeightVerdict {
            weight: point.weight,
            change: point.change,
            since_birth: point.since_birth,
            findings: findings.cloned().collect(),
        })
    }

    /// What makes one doubt the weights of these weigh-ins.
    #[must_use]
    pub fn doubts(&self, times: &[Moment]) -> Vec<Doubt> {
        let figures = self.figures();
        let mut doubts = Vec::new();
        for slip in slips::spotted(&self.folder, figures, self.records.today) {
            if let (Some(at), Some(finding)) =
                (slip.at.filter(|at| times.contains(at)), slip.finding)
            {
                doubts.push(Doubt {
                    puppies: slip.puppies,
                    at,
                    reason: DoubtReason::Slip(Box::new(finding)),
                });
            }
        }
        for puppy in &self.folder.litter.puppies {
            for at in times {
                let told = doubts
                    .iter()
                    .any(|doubt| doubt.at == *at && doubt.puppies.contains(&puppy.id));
                let Some(weight) = self.weight(&puppy.id, *at).filter(|_| !told) else {
                    continue;
                };
                let reason = self.far_off(figures, puppy, *at, weight);
                doubts.extend(reason.map(|reason| Doubt {
                    puppies: vec![puppy.id.clone()],
                    at: *at,
                    reason,
                }));
            }
        }
        doubts
    }

    /// Whether a weight is far from what it could be, without a slip that explains it.
    fn far_off(
        &self,
        figures: &LitterFigures,
        puppy: &Puppy,
        at: Moment,
        weight: Weight,
    ) -> Option<DoubtReason> {
        if weight.grams() < LEAST {
            return Some(DoubtReason::TooLight(weight));
        }
        let points = &figures.puppies.get(&puppy.id)?.growth.points;
        let point = points
            .iter()
            .find(|point| !point.is_birth && point.at == at)?;
        let change = point.change?;
        let days = change.hours / 24.0;
        if (FAR_BELOW..=FAR_ABOVE + FAR_ABOVE_A_DAY * days).contains(&change.percent) {
            return None;
        }
        let last = last_before(figures, &puppy.id, at)?;
        let near = |other: &Puppy| {
            let theirs = last_before(figures, &other.id, at)?.weight;
            let apart = (weight.grams() / theirs.grams() - 1.0).abs() * 100.0;
            (other.id != puppy.id && apart <= NEAR).then(|| LastOfOther {
                name: other.shown_name(),
                weight: theirs,
            })
        };
        Some(DoubtReason::FarOff {
            weight,
            change,
            before: last.weight,
            near: self.folder.living().find_map(near),
        })
    }

    fn figures(&self) -> &LitterFigures {
        self.figures
            .get_or_init(|| of_litter(self.records, &self.folder))
    }
}

fn last_before(figures: &LitterFigures, puppy: &Id, at: Moment) -> Option<Point> {
    figures
        .puppies
        .get(puppy)?
        .growth
        .points
        .iter()
        .rev()
        .find(|point| point.at < at || (point.is_birth && point.at == at))
        .copied()
}

/// The most urgent of some findings.
#[must_use]
pub fn most_urgent(findings: &[Finding]) -> Option<Urgency> {
    findings.iter().map(|finding| finding.urgency).max()
}
