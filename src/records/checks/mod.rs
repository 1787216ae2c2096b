//! Checks across records: does what one file says agree with the others, and with what can be true?
//!
//! In: everything that could be read. Out: problems only; nothing is changed. Each check stands
//! alone, so that one problem never hides the next; what depends on a file that already has
//! problems is not checked against it, so that one slip does not make ten.

mod clocks;
mod dams;
mod dogs;
mod health;
mod litter;
mod mating;
mod puppies;
mod seasons;
mod sharing;
mod template;
mod units;
mod weights;
mod wrong_day;

pub use puppies::is_reserved;
pub use wrong_day::{Weighed, off_their_day};

use super::problem::{Place, Problem, Step};
use super::source::Sources;
use super::{
    Dogs, LitterFolder, Records, care_plan::CarePlan, kennel::Kennel, note::Page, owners::Owners,
};
use crate::cache::TrackedMap;
use crate::quantity::{Day, Id};
use clocks::Clocks;
use rayon::prelude::*;
use std::collections::BTreeSet;
use std::fmt::Display;

/// Everything that was read.
pub(super) struct Checked<'a> {
    pub(super) kennel: Option<&'a Kennel>,
    pub(super) dogs: &'a Dogs,
    pub(super) litters: &'a TrackedMap<Id, LitterFolder>,
    pub(super) owners: &'a Owners,
    pub(super) pages: &'a [Page],
    pub(super) care_plan: &'a CarePlan,
    /// Files that already have problems.
    pub(super) broken: &'a BTreeSet<String>,
    pub(super) today: Day,
    /// When the clocks of the kennel's place changed.
    pub(super) clocks: Clocks,
}

impl Checked<'_> {
    fn is_broken(&self, file: &str) -> bool {
        self.broken.contains(file)
    }
}

/// The changes of the clocks in all the time of which there are records; the dam's begin before a
/// birth.
pub(super) fn clocks_of(
    kennel: Option<&Kennel>,
    litters: &TrackedMap<Id, LitterFolder>,
    today: Day,
) -> Clocks {
    let first = litters
        .values()
        .filter_map(|folder| Some(folder.litter.birth.as_ref()?.on))
        .min();
    let known = kennel.zip(first).map(|(kennel, first)| {
        Clocks::over(
            kennel.time_zone.0,
            first.min(today).plus(-90),
            today.plus(1),
        )
    });
    known.unwrap_or_default()
}

/// Runs all checks.
pub(super) fn all(records: &Checked<'_>) -> Vec<Problem> {
    let mut problems = Vec::new();
    dogs::check(records, &mut problems);
    seasons::check(records, &mut problems);
    let of_litter = |folder: &LitterFolder| {
        let mut problems = Vec::new();
        litter::check(records, folder, &mut problems);
        mating::check(folder, &mut problems);
        puppies::check(records, folder, &mut problems);
        weights::check(records, folder, &mut problems);
        health::check(records, folder, &mut problems);
        problems
    };
    let folders: Vec<&LitterFolder> = records.litters.values().collect();
    problems.extend(
        folders
            .into_par_iter()
            .map(of_litter)
            .collect::<Vec<_>>()
            .into_iter()
            .flatten(),
    );
    dams::check(records, &mut problems);
    sharing::check(records, &mut problems);
    template::check(records, &mut problems);
    problems
}

/// Checks the settings of a kennel's file that could not be read whole.
pub(super) fn settings(sources: &Sources, problems: &mut Vec<Problem>) {
    let mut finder = sources.finder();
    let mut written = |key: &str| finder.written("kennel.yaml", &[Step::from(key)]);
    let (country, age) = (written("country"), written("leaving_age"));
    // A missing country and an unreadable age have problems already: here they become values that
    // make no second one.
    sharing::settings(
        country.as_deref().filter(|c| !c.is_empty()).unwrap_or("GB"),
        age.and_then(|age| age.parse().ok()),
        problems,
    );
}

/// What is wrong with the health entries of a litter from an index on, which were added to it: the
/// checks that its file will meet when it is read again. `broken` names files that have errors
/// already.
#[must_use]
pub fn check_health(
    records: &Records,
    broken: &BTreeSet<String>,
    folder: &LitterFolder,
    from: usize,
) -> Vec<Problem> {
    let Records {
        today,
        kennel,
        care_plan,
        dogs,
        litters,
        owners,
        pages,
        portraits: _,
        litters_by_dam: _,
        digests: _,
    } = records;
    let clocks = clocks_of(Some(kennel), litters, *today);
    let checked = Checked {
        kennel: Some(kennel),
        dogs,
        litters,
        owners,
        pages,
        care_plan,
        broken,
        today: *today,
        clocks,
    };
    health::added(&checked, folder, from)
}

/// A day that cannot have been yet.
fn to_come(place: Place, day: impl Display, hint: &str) -> Problem {
    let message = format!("{day} is still to come");
    Problem::error("in-the-future", place, message, hint)
}

/// Two days that cannot follow each other.
fn out_of_order(place: Place, message: impl Into<String>) -> Problem {
    let hint = "correct one of the two dates";
    Problem::error("out-of-order", place, message, hint)
}

/// A name that is no puppy's of the litter.
fn no_puppy(place: Place, folder: &LitterFolder, id: &Id, otherwise: &str) -> Problem {
    let known = folder.litter.puppies.iter().map(|puppy| &puppy.id);
    let message = format!("there is no puppy `{id}` in this litter");
    let hint = name_hint(id, known, otherwise);
    Problem::error("puppy-unknown", place, message, hint)
}

/// "did you mean" among names, or the names there are.
fn name_hint<'a>(wanted: &Id, known: impl Iterator<Item = &'a Id>, otherwise: &str) -> String {
    let known: Vec<&str> = known.map(Id::as_str).collect();
    super::reading::suggestion(wanted.as_str(), &known).unwrap_or_else(|| {
        if known.is_empty() || known.len() > 12 {
            otherwise.to_owned()
        } else {
            format!("there are: {}", known.join(", "))
        }
    })
}
