//! Slips of the pen as findings: what was written, when, and what would fit.
//!
//! In: a litter's weights. Out: findings that name the weigh-in and the likely correction. Nothing is corrected, and no other rule is silenced: until the keeper has looked, a bad weight counts as written.

use super::{Finding, Urgency, is_history};
use crate::husbandry::LitterFigures;
use crate::husbandry::growth::Point;
use crate::husbandry::slips::{Line, Mark, Slip, slips};
use crate::quantity::{Day, Id, Moment, Weight};
use crate::records::LitterFolder;
use crate::records::litter::Puppy;
use std::collections::{BTreeMap, BTreeSet};

/// What a slip is told by.
pub(super) const SOURCE: &str = "each puppy’s own weights before and after, and those of its littermates";

/// Slips of a litter's weigh-ins. A puppy that has died is looked at too, since its weights may stand in another's place; what is found is then said of the living one.
pub(super) fn litter(folder: &LitterFolder, figures: &LitterFigures, today: Day, ounces: bool) -> Slips {
    let spotted = spotted(folder, figures, today, ounces);
    Slips {
        of: spotted.iter().flat_map(|slip| slip.puppies.iter().cloned()).collect(),
        findings: spotted.into_iter().filter_map(|slip| slip.finding).collect(),
    }
}

/// One slip: whom it is about, when, and what is said of it.
pub(in crate::husbandry) struct Spotted {
    /// One puppy, or the two whose weights were exchanged.
    pub(in crate::husbandry) puppies: Vec<Id>,
    /// The weigh-in; nothing at birth.
    pub(in crate::husbandry) at: Option<Moment>,
    /// Nothing when none of them is alive.
    pub(in crate::husbandry) finding: Option<Finding>,
}

/// All slips of a litter; none in one that is history.
pub(in crate::husbandry) fn spotted(folder: &LitterFolder, figures: &LitterFigures, today: Day, ounces: bool) -> Vec<Spotted> {
    if folder.litter.birth.is_none() || is_history(folder, today) {
        return Vec::new();
    }
    let puppies: Vec<(&Puppy, &[Point])> = folder.litter.puppies.iter().map(|p| (p, figures.puppies[&p.id].growth.points.as_slice())).collect();
    let lines = lines(&puppies);
    let spot = |slip: &Slip| {
        let (of, mark) = match *slip {
            Slip::Value { line, mark, .. } => (vec![line], mark),
            Slip::Exchanged { weigh_in, lines: [one, other], .. } => {
                (vec![one, other], lines.get(one)?.marks.iter().position(|mark| mark.weigh_in == weigh_in)?)
            }
        };
        let point = puppies.get(*of.first()?)?.1.get(mark)?;
        Some(Spotted {
            puppies: of.iter().filter_map(|line| Some(puppies.get(*line)?.0.id.clone())).collect(),
            at: (!point.is_birth).then_some(point.at),
            finding: finding(slip, &puppies, &lines, ounces),
        })
    };
    slips(&lines).iter().filter_map(spot).collect()
}

/// Slips of one litter.
#[derive(Default)]
pub(super) struct Slips {
    /// A finding for each.
    pub(super) findings: Vec<Finding>,
    /// Puppies of which a weight is doubtful.
    pub(super) of: BTreeSet<Id>,
}

/// The weights as lines; the weights at birth are one weigh-in, every other moment is one.
fn lines(puppies: &[(&Puppy, &[Point])]) -> Vec<Line> {
    let mut number: BTreeMap<Moment, usize> = BTreeMap::new();
    for point in puppies.iter().flat_map(|(_, points)| *points).filter(|p| !p.is_birth) {
        number.insert(point.at, 0);
    }
    for (n, place) in number.values_mut().enumerate() {
        *place = n + 1;
    }
    let mark = |p: &Point| Mark { weigh_in: if p.is_birth { 0 } else { number[&p.at] }, days: p.days, grams: p.weight.grams() };
    puppies.iter().map(|(_, points)| Line { marks: points.iter().map(mark).collect() }).collect()
}

fn finding(slip: &Slip, puppies: &[(&Puppy, &[Point])], lines: &[Line], ounces: bool) -> Option<Finding> {
    let when = |point: &Point| if point.is_birth { "at birth".to_owned() } else { format!("on {}", point.at) };
    let (rule, (puppy, point), what, likelier) = match *slip {
        Slip::Value { line, mark, likely_grams, times_likelier, .. } => {
            let (puppy, points) = puppies.get(line)?;
            let point = points.get(mark)?;
            let likely = Weight::from_grams(likely_grams)?;
            let what = format!("{} {}: {}; {} would fit", point.weight.show(ounces), when(point), slip.words(lines), likely.show(ounces));
            ("slip-value", (*puppy, point), what, times_likelier)
        }
        Slip::Exchanged { weigh_in, lines: [one, other], times_likelier } => {
            let at = |line: usize| {
                let (puppy, points) = puppies.get(line)?;
                let mark = lines.get(line)?.marks.iter().position(|m| m.weigh_in == weigh_in)?;
                Some((*puppy, points.get(mark)?))
            };
            let (first, second) = (at(one)?, at(other)?);
            // The living one has a page to look at.
            let (own, second) = if first.0.is_alive() { (first, second) } else { (second, first) };
            let what = format!(
                "{} and {} of {} {}: {}",
                own.1.weight.show(ounces),
                second.1.weight.show(ounces),
                second.0.shown_name(),
                when(own.1),
                slip.words(lines)
            );
            ("slip-exchanged", (own.0, own.1), what, times_likelier)
        }
    };
    puppy.is_alive().then(|| Finding {
        urgency: Urgency::Watch,
        rule,
        puppy: Some(puppy.id.clone()),
        what: format!("looks like a slip of the pen: {what}"),
        limit: format!("{} times likelier than as written; nothing was changed; ends when it is put right", likely_words(likelier)),
        source: SOURCE,
        days: Some(point.days),
    })
}

/// Likelihood ratios are rough: a power of ten says enough.
fn likely_words(times: f64) -> &'static str {
    match times {
        t if t < 1e4 => "thousands of",
        t if t < 1e6 => "ten thousands of",
        _ => "millions of",
    }
}
