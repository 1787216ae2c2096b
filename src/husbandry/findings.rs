//! What the keeper should know today, in order of urgency.
//!
//! In: a litter, its figures, thresholds. Out: [`Finding`]s, each a type with its figures and the
//! value it was measured against; `audience` finds the words. Of puppies only those are looked at
//! that are alive and here, each rule speaks once, and thin data says nothing. The program
//! computes, the vet decides: a finding is never a diagnosis, and none is never a clean bill.

mod birth;
mod care;
mod dam;
mod feeding;
mod growth;
mod illness;
mod litter;
mod littermates;
mod noticed;
mod rule;
pub(super) mod slips;

pub(crate) use birth::{FED_COLD as COLD_SOURCE, of_puppy as temperatures};
pub use dam::{DAM_CAUTIONS, PYOMETRA};
pub use growth::BIRTH_WEIGHT_SOURCE;
pub use illness::{LaterCheck, NotedIllness, SaidIn, Unwell};
pub use noticed::{
    CallTime, ClosedCall, DamStage, DamTemperatureState, DatedTemperature, LowHormone, Noticed,
    Start, TemperatureBand, WindowOf,
};
pub use rule::FindingRule;

use super::thresholds::Thresholds;
use super::{LitterFigures, PuppyFigures};
use crate::quantity::{Day, Id};
use crate::records::LitterFolder;
use crate::records::litter::Puppy;
use std::collections::BTreeMap;

/// How urgent a finding is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Urgency {
    /// As the published figures would have it.
    Steady,
    /// Look again soon.
    Watch,
    /// A vet should hear of it now.
    CallTheVet,
}

impl Urgency {
    /// `steady`, `watch` or `call the vet`.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Steady => "steady",
            Self::Watch => "watch",
            Self::CallTheVet => "call the vet",
        }
    }
}

/// Something the program noticed.
#[derive(Debug, Clone, PartialEq)]
pub struct Finding {
    /// How urgent.
    pub urgency: Urgency,
    /// The puppy; nothing when it is about the litter or the dam.
    pub puppy: Option<Id>,
    /// What was noticed.
    pub noticed: Noticed,
    /// The weight it is about; nothing when it is about none.
    pub weight: Option<WeightNoticed>,
}

/// The weight that a finding is about.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WeightNoticed {
    /// When it was weighed, in days since birth, so that a chart can mark it.
    pub days: f64,
    /// The day of the puppy's latest weight, where that is some days ago.
    pub last_weighed: Option<Day>,
    /// Whether a weight of the puppy looks like a slip of the pen.
    pub is_doubtful: bool,
}

impl Finding {
    /// The rule that noticed it.
    #[must_use]
    pub fn rule(&self) -> FindingRule {
        self.noticed.rule()
    }

    /// Where the value comes from that it was measured against.
    #[must_use]
    pub fn source(&self) -> &'static str {
        self.noticed.source()
    }

    /// Whether the same can be said of another puppy.
    pub(super) fn is_like(&self, other: &Self) -> bool {
        let beside = |found: &Self| found.weight.map(|w| (w.last_weighed, w.is_doubtful));
        self.urgency == other.urgency
            && beside(self) == beside(other)
            && self.noticed.is_like(&other.noticed)
    }

    /// Whether it only asks how an illness ended.
    #[must_use]
    pub fn is_question(&self) -> bool {
        match &self.noticed {
            Noticed::Illness(unwell) | Noticed::DamIllness(unwell) => unwell.is_question,
            _ => false,
        }
    }

    /// Whether it is about the dam herself.
    #[must_use]
    pub fn is_of_dam(&self) -> bool {
        self.puppy.is_none() && self.rule().is_of_dam()
    }
}

/// The usual cautions, shown wherever findings are shown (common practice, no source).
pub const CAUTIONS: &str = "The program computes, the vet decides. No finding does not mean that \
                            all is well: a puppy that is limp, cold, crying on and on, bloated, \
                            breathing hard, or brings milk through the nose needs a vet whatever \
                            the scale says. Warm a cold puppy slowly and never feed it cold.";

/// Why the newborn checklist is asked for.
const CHECKLIST: &str = "common practice, no source: every newborn is looked over once";

/// One puppy and all that its rules look at.
struct PuppyCase<'a> {
    folder: &'a LitterFolder,
    figures: &'a LitterFigures,
    puppy: &'a Puppy,
    own: &'a PuppyFigures,
    limits: &'a Thresholds,
    /// The keeper's name.
    keeper: &'a str,
    today: Day,
    /// Age today in days.
    age: i64,
    /// Weights of the litter that look like slips of the pen.
    slips: &'a slips::SlipFindings,
    found: Vec<Finding>,
}

impl PuppyCase<'_> {
    /// Whether one of its weights looks misread.
    fn is_doubtful(&self) -> bool {
        self.slips.of.contains(&self.puppy.id)
    }

    fn find(&mut self, urgency: Urgency, noticed: Noticed) {
        self.found.push(Finding {
            urgency,
            puppy: Some(self.puppy.id.clone()),
            noticed,
            weight: None,
        });
    }

    /// A finding about one weight.
    fn find_at(&mut self, days: f64, urgency: Urgency, noticed: Noticed) {
        let last = self.own.growth.points.last().map(|p| p.at.day());
        let weight = WeightNoticed {
            days,
            last_weighed: last.filter(|last| self.today.since(*last) > STALE),
            is_doubtful: self.is_doubtful(),
        };
        self.found.push(Finding {
            urgency,
            puppy: Some(self.puppy.id.clone()),
            noticed,
            weight: Some(weight),
        });
    }

    fn has(&self, rule: FindingRule) -> bool {
        self.found.iter().any(|f| f.rule() == rule)
    }
}

/// Those with the most urgent finding first, and all that is said of one puppy together.
fn in_order(found: &mut [Finding]) {
    let mut worst: BTreeMap<Option<Id>, Urgency> = BTreeMap::new();
    for finding in found.iter() {
        let known = worst
            .entry(finding.puppy.clone())
            .or_insert(finding.urgency);
        *known = finding.urgency.max(*known);
    }
    found.sort_by(|a, b| {
        (worst[&b.puppy], &a.puppy, b.urgency, a.rule()).cmp(&(
            worst[&a.puppy],
            &b.puppy,
            a.urgency,
            b.rule(),
        ))
    });
}

/// What a slip of the pen is told by.
pub const SLIP_SOURCE: &str = slips::SOURCE;

/// Days after the latest weight from which a finding about it says when that was.
pub const STALE: i64 = 2;

/// All findings of a litter, those with the most urgent first. Of checks those that the keeper made
/// close less than those of a vet.
#[must_use]
pub fn of_litter(
    folder: &LitterFolder,
    figures: &LitterFigures,
    slips: &slips::SlipFindings,
    limits: &Thresholds,
    keeper: &str,
    today: Day,
) -> Vec<Finding> {
    let mut found = litter::rules(folder, figures, keeper, today);
    if figures.dam_died.is_none() {
        found.extend(dam::rules(folder, keeper, Some(&figures.dam_before), today));
    }
    found.extend(slips.findings.iter().cloned());
    for mut case in cases(folder, figures, limits, keeper, today, slips) {
        growth::rules(&mut case);
        birth::rules(&mut case);
        littermates::rules(&mut case);
        feeding::rules(&mut case);
        care::rules(&mut case);
        growth::steady(&mut case);
        growth::closed(&mut case);
        found.append(&mut case.found);
    }
    in_order(&mut found);
    found
}

/// The findings of a litter that is history, whose dam lives. Past that age only rules on the dam
/// speak, so that no figures are needed: a rule on puppies or the litter has to be silent by then.
#[must_use]
pub fn of_history(folder: &LitterFolder, keeper: &str, today: Day) -> Vec<Finding> {
    let mut found = dam::rules(folder, keeper, None, today);
    in_order(&mut found);
    found
}

/// What is found of the puppies of a litter beside their weights: the same findings as
/// [`of_litter`] has of birth, temperature, illness and care.
#[must_use]
pub fn beside_weights(
    folder: &LitterFolder,
    figures: &LitterFigures,
    limits: &Thresholds,
    keeper: &str,
    today: Day,
) -> Vec<Finding> {
    let mut found = Vec::new();
    let slips = slips::SlipFindings::default();
    for mut case in cases(folder, figures, limits, keeper, today, &slips) {
        birth::rules(&mut case);
        littermates::rules(&mut case);
        feeding::rules(&mut case);
        care::rules(&mut case);
        found.append(&mut case.found);
    }
    found
}

/// A case for each living puppy that is here. Those that have left are weighed by their families.
fn cases<'a>(
    folder: &'a LitterFolder,
    figures: &'a LitterFigures,
    limits: &'a Thresholds,
    keeper: &'a str,
    today: Day,
    slips: &'a slips::SlipFindings,
) -> impl Iterator<Item = PuppyCase<'a>> {
    let looked_at = !folder.is_history(today);
    let here = folder
        .living()
        .filter(move |p| looked_at && !figures.puppies[&p.id].is_gone);
    here.filter_map(move |puppy| {
        let own = &figures.puppies[&puppy.id];
        let age = today.since(folder.litter.born_on(puppy)?);
        Some(PuppyCase {
            folder,
            figures,
            puppy,
            own,
            limits,
            keeper,
            today,
            age,
            slips,
            found: Vec::new(),
        })
    })
}

#[cfg(test)]
pub(crate) mod tests;
