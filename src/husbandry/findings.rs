//! What the keeper should know today, in order of urgency.
//!
//! In: a litter, its figures, thresholds. Out: [`Finding`]s, each with its figures, the value it was measured against and that value's source. Only living puppies that are still here are
//! looked at, each rule speaks once, and thin data says nothing. The program computes, the vet decides: a finding is never a diagnosis, and none is never a clean bill.

mod birth;
mod care;
mod growth;
mod slips;

use super::thresholds::{Threshold, Thresholds};
use super::{LitterFigures, PuppyFigures};
use crate::quantity::{Day, Id};
use crate::records::LitterFolder;
use crate::records::litter::{Offer, Puppy};

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
    /// Stable name of the rule.
    pub rule: &'static str,
    /// The puppy; nothing when it is about the litter or the dam.
    pub puppy: Option<Id>,
    /// What was noticed, with its figures, a sentence without full stop.
    pub what: String,
    /// The value it was measured against, in words.
    pub limit: String,
    /// Where that value comes from.
    pub source: &'static str,
    /// The weight it is about, in days since birth, so that a chart can mark it.
    pub days: Option<f64>,
}

/// The usual cautions, shown wherever findings are shown (common practice, no source).
pub const CAUTIONS: &str = "The program computes, the vet decides. No finding does not mean that all is well: a puppy that is limp, cold, crying on and on, bloated, breathing hard, or brings milk through \
                            the nose needs a vet whatever the scale says. Warm a cold puppy slowly and never feed it cold.";

/// One puppy and all that its rules look at.
struct Case<'a> {
    folder: &'a LitterFolder,
    figures: &'a LitterFigures,
    puppy: &'a Puppy,
    own: &'a PuppyFigures,
    limits: &'a Thresholds,
    today: Day,
    /// Age today in days.
    age: i64,
    found: Vec<Finding>,
}

impl Case<'_> {
    fn find(&mut self, urgency: Urgency, rule: &'static str, what: String, limit: String, source: &'static str) {
        self.found.push(Finding { urgency, rule, puppy: Some(self.puppy.id.clone()), what, limit, source, days: None });
    }

    /// A finding about one weight.
    fn find_at(&mut self, days: f64, urgency: Urgency, rule: &'static str, what: String, limit: String, threshold: Threshold) {
        self.find(urgency, rule, what, limit, threshold.source);
        if let Some(found) = self.found.last_mut() {
            found.days = Some(days);
        }
    }

    fn find_by(&mut self, urgency: Urgency, rule: &'static str, what: String, limit: String, threshold: Threshold) {
        self.find(urgency, rule, what, limit, threshold.source);
    }

    fn has(&self, rule: &str) -> bool {
        self.found.iter().any(|f| f.rule == rule)
    }
}

/// All findings of a litter, the most urgent first.
#[must_use]
pub fn of_litter(folder: &LitterFolder, figures: &LitterFigures, limits: &Thresholds, today: Day) -> Vec<Finding> {
    let mut found = birth::litter(folder, figures, today);
    found.append(&mut slips::litter(folder, figures, today));
    if let Some(birth) = &folder.litter.birth {
        let age = today.since(birth.on);
        // Grown and gone: their scales are elsewhere.
        let here = |p: &&Puppy| p.offer != Offer::Placed && age <= 84;
        for puppy in folder.living().filter(here) {
            let mut case = Case { folder, figures, puppy, own: &figures.puppies[&puppy.id], limits, today, age, found: Vec::new() };
            growth::rules(&mut case);
            birth::rules(&mut case);
            care::rules(&mut case);
            growth::steady(&mut case);
            found.append(&mut case.found);
        }
    }
    found.sort_by(|a, b| (b.urgency, &a.puppy, a.rule).cmp(&(a.urgency, &b.puppy, b.rule)));
    found
}

#[cfg(test)]
mod tests;
