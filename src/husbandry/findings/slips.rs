//! Slips of the pen as findings: what was written, when, and what would fit.
//!
//! In: a litter's weights. Out: findings that name the weigh-in and the likely correction. Nothing
//! is corrected, and no warning on that puppy is silenced: until the keeper has looked, a bad
//! weight counts as written, and the puppy is not called steady. Only littermates are held against
//! what was probably meant.

use super::{Finding, Noticed, Urgency, WeightNoticed};
use crate::LitterFigures;
use crate::growth::Point;
use crate::quantity::{Day, Id, Moment, Weight};
use crate::records::LitterFolder;
use crate::records::litter::Puppy;
use crate::slips::{Slip, WeightLine, WrittenWeight, slips};
use std::collections::{BTreeMap, BTreeSet};

/// What a slip is told by.
pub(super) const SOURCE: &str =
    "each puppy’s own weights before and after, and those of its littermates";

/// Slips of a litter's weigh-ins. A puppy that has died is looked at too, since its weights may
/// stand in another's place; what is found is then said of the living one.
pub(crate) fn litter(folder: &LitterFolder, figures: &LitterFigures, today: Day) -> SlipFindings {
    let spotted = spotted(folder, figures, today);
    SlipFindings {
        of: spotted
            .iter()
            .flat_map(|slip| slip.puppies.iter().cloned())
            .collect(),
        likely: spotted
            .iter()
            .filter_map(|slip| Some(((slip.puppies.first()?.clone(), slip.at), slip.likely?)))
            .collect(),
        findings: spotted
            .into_iter()
            .filter_map(|slip| slip.finding)
            .collect(),
    }
}

/// One slip: whom it is about, when, and what is said of it.
pub(crate) struct Spotted {
    /// One puppy, or the two whose weights were exchanged.
    pub(crate) puppies: Vec<Id>,
    /// The weigh-in; nothing at birth.
    pub(crate) at: Option<Moment>,
    /// What was probably meant, in grams; nothing of an exchange.
    likely: Option<f64>,
    /// Nothing when none of them is alive.
    pub(crate) finding: Option<Finding>,
}

/// All slips of a litter; none in one that is history.
pub(crate) fn spotted(folder: &LitterFolder, figures: &LitterFigures, today: Day) -> Vec<Spotted> {
    if folder.litter.birth.is_none() || folder.is_history(today) {
        return Vec::new();
    }
    let puppies: Vec<(&Puppy, &[Point])> = folder
        .litter
        .puppies
        .iter()
        .map(|p| (p, figures.puppies[&p.id].growth.points.as_slice()))
        .collect();
    let lines = lines(&puppies);
    let spot = |slip: &Slip| {
        let (of, mark, likely) = match *slip {
            Slip::Value {
                line,
                mark,
                likely_grams,
                ..
            } => (vec![line], mark, Some(likely_grams)),
            Slip::Exchanged {
                weigh_in,
                lines: [one, other],
                ..
            } => (
                vec![one, other],
                lines
                    .get(one)?
                    .marks
                    .iter()
                    .position(|mark| mark.weigh_in == weigh_in)?,
                None,
            ),
        };
        let point = puppies.get(*of.first()?)?.1.get(mark)?;
        Some(Spotted {
            puppies: of
                .iter()
                .filter_map(|line| Some(puppies.get(*line)?.0.id.clone()))
                .collect(),
            at: (!point.is_birth).then_some(point.at),
            likely,
            finding: finding(slip, &puppies, &lines),
        })
    };
    slips(&lines).iter().filter_map(spot).collect()
}

/// Slips of one litter.
#[derive(Default)]
pub struct SlipFindings {
    /// A finding for each.
    pub(super) findings: Vec<Finding>,
    /// Puppies of which a weight is doubtful.
    pub(super) of: BTreeSet<Id>,
    /// Of each weight that looks misread what was probably meant, in grams.
    likely: BTreeMap<(Id, Option<Moment>), f64>,
}

impl SlipFindings {
    /// Whether a weight at birth looks misread.
    pub(crate) fn is_of_birth(&self) -> bool {
        self.likely.keys().any(|(_, at)| at.is_none())
    }

    /// What was probably meant by a weight that looks misread, in grams.
    pub(super) fn likely(&self, puppy: &Id, point: &Point) -> Option<f64> {
        let at = (!point.is_birth).then_some(point.at);
        self.likely.get(&(puppy.clone(), at)).copied()
    }
}

/// The weights as lines; the weights at birth are one weigh-in, every other moment is one.
fn lines(puppies: &[(&Puppy, &[Point])]) -> Vec<WeightLine> {
    let mut number: BTreeMap<Moment, usize> = BTreeMap::new();
    for point in puppies
        .iter()
        .flat_map(|(_, points)| *points)
        .filter(|p| !p.is_birth)
    {
        number.insert(point.at, 0);
    }
    for (n, place) in number.values_mut().enumerate() {
        *place = n + 1;
    }
    let mark = |p: &Point| WrittenWeight {
        weigh_in: if p.is_birth { 0 } else { number[&p.at] },
        days: p.days,
        grams: p.weight.grams(),
    };
    puppies
        .iter()
        .map(|(_, points)| WeightLine {
            marks: points.iter().map(mark).collect(),
        })
        .collect()
}

fn finding(slip: &Slip, puppies: &[(&Puppy, &[Point])], lines: &[WeightLine]) -> Option<Finding> {
    let written_at = |point: &Point| (!point.is_birth).then_some(point.at);
    let (puppy, days, noticed) = match *slip {
        Slip::Value {
            line,
            mark,
            likely_grams,
            kind,
            times_likelier,
        } => {
            let (puppy, points) = puppies.get(line)?;
            let point = points.get(mark)?;
            let noticed = Noticed::SlipValue {
                written: point.weight,
                at: written_at(point),
                likely: Weight::from_grams(likely_grams)?,
                likely_grams,
                kind,
                times_likelier,
                source: SOURCE,
            };
            (*puppy, point.days, noticed)
        }
        Slip::Exchanged {
            weigh_in,
            lines: [one, other],
            times_likelier,
        } => {
            let at = |line: usize| {
                let (puppy, points) = puppies.get(line)?;
                let mark = lines
                    .get(line)?
                    .marks
                    .iter()
                    .position(|m| m.weigh_in == weigh_in)?;
                Some((*puppy, points.get(mark)?))
            };
            let (first, second) = (at(one)?, at(other)?);
            // The living one has a page to look at.
            let (own, second) = if first.0.is_alive() {
                (first, second)
            } else {
                (second, first)
            };
            let noticed = Noticed::SlipExchanged {
                written: own.1.weight,
                other_written: second.1.weight,
                other: second.0.shown_name(),
                at: written_at(own.1),
                times_likelier,
                source: SOURCE,
            };
            (own.0, own.1.days, noticed)
        }
    };
    puppy.is_alive().then(|| Finding {
        urgency: Urgency::Watch,
        puppy: Some(puppy.id.clone()),
        noticed,
        // The weight is what is doubtful: nothing is said of it beside that.
        weight: Some(WeightNoticed {
            days,
            last_weighed: None,
            is_doubtful: false,
        }),
    })
}
