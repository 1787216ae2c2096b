//! Checks across records: does what one file says agree with the others, and with what can be true?
//!
//! In: everything that could be read. Out: problems only; nothing is changed. Each check stands alone, so that one problem never hides the next; what depends
//! on a file that already has problems is not checked against it, so that one slip does not make ten.

mod dogs;
mod health;
mod litter;
mod mating;
mod puppies;
mod seasons;
mod sharing;
mod template;
mod weights;

use super::problem::{Problem, Step};
use super::source::Sources;
use super::{LitterFolder, Records, care_plan::CarePlan, dog::Dog, kennel::Kennel, note::Page, owners::Owners};
use crate::quantity::{Day, Id};
use rayon::prelude::*;
use std::collections::{BTreeMap, BTreeSet};

/// Everything that was read.
pub(super) struct Checked<'a> {
    pub(super) kennel: Option<&'a Kennel>,
    pub(super) dogs: &'a BTreeMap<Id, Dog>,
    pub(super) litters: &'a BTreeMap<Id, LitterFolder>,
    pub(super) owners: &'a Owners,
    pub(super) pages: &'a [Page],
    pub(super) care_plan: &'a CarePlan,
    /// Files that already have problems.
    pub(super) broken: &'a BTreeSet<String>,
    pub(super) today: Day,
}

impl Checked<'_> {
    fn is_broken(&self, file: &str) -> bool {
        self.broken.contains(file)
    }
}

/// Runs all checks.
pub(super) fn all(records: &Checked<'_>) -> Vec<Problem> {
    let mut problems = Vec::new();
    dogs::check(records, &mut problems);
    seasons::check(records, &mut problems);
    let of_litter = |(_, folder): (&Id, &LitterFolder)| {
        let mut problems = Vec::new();
        litter::check(records, folder, &mut problems);
        mating::check(folder, &mut problems);
        puppies::check(records, folder, &mut problems);
        weights::check(records, folder, &mut problems);
        health::check(records, folder, &mut problems);
        problems
    };
    problems.extend(records.litters.par_iter().map(of_litter).collect::<Vec<_>>().into_iter().flatten());
    sharing::check(records, &mut problems);
    template::check(records, &mut problems);
    problems
}

/// Checks the settings of a kennel's file that could not be read whole.
pub(super) fn settings(sources: &Sources, problems: &mut Vec<Problem>) {
    let mut finder = sources.finder();
    let mut written = |key: &str| finder.written("kennel.yaml", &[Step::from(key)]);
    let (country, age) = (written("country"), written("leaving_age"));
    // A country that is missing has been told, and an age that is none too.
    sharing::settings(country.as_deref().filter(|c| !c.is_empty()).unwrap_or("GB"), age.and_then(|age| age.parse().ok()), problems);
}

/// What is wrong with the health entries of a litter from an index on, which were added to it: the checks that its file will meet when it is read again. `broken` names files that have errors
/// already.
#[must_use]
pub fn check_health(records: &Records, broken: &BTreeSet<String>, folder: &LitterFolder, from: usize) -> Vec<Problem> {
    let Records { today, kennel, care_plan, dogs, litters, owners, pages, portraits: _, print: _ } = records;
    let checked = Checked { kennel: Some(kennel), dogs, litters, owners, pages, care_plan, broken, today: *today };
    health::added(&checked, folder, from)
}

/// "did you mean" among names, or the names there are.
fn name_hint<'a>(wanted: &Id, known: impl Iterator<Item = &'a Id>, otherwise: &str) -> String {
    let known: Vec<&str> = known.map(Id::as_str).collect();
    super::reading::suggestion(wanted.as_str(), &known)
        .unwrap_or_else(|| if known.is_empty() || known.len() > 12 { otherwise.to_owned() } else { format!("there are: {}", known.join(", ")) })
}
