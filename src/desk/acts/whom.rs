//! For whom an entry can be: puppies of a litter that are here, and those that are not any more.
//!
//! In: a litter, the kind of entry. Out: puppies with their labels.

use super::Scene;
use crate::quantity::Day;
use crate::records::LitterFolder;
use crate::records::health::HealthKind;
use crate::records::litter::{Fate, Puppy};

/// The puppies an entry can be for: alive, and for what is told of a grown one, not here.
pub(super) fn meant<'a>(
    scene: &Scene<'a>,
    litter: &'a LitterFolder,
    kind: HealthKind,
) -> Vec<&'a Puppy> {
    let figures = &scene.figures.litters;
    litter
        .living()
        .filter(|puppy| (kind == HealthKind::FollowUp) == figures.is_gone(litter, puppy))
        .filter(|puppy| kind != HealthKind::Chip || puppy.chip.is_none())
        .collect()
}

/// Puppies that are no longer here, with what became of them: what was done before can still be
/// written down.
pub(super) fn no_longer_here<'a>(
    scene: &Scene<'a>,
    litter: &'a LitterFolder,
    kind: HealthKind,
) -> Vec<(&'a Puppy, String)> {
    let figures = &scene.figures.litters;
    let what_became = |puppy: &'a Puppy| {
        let words = |what: &str, day: Option<Day>| {
            let on = day.map_or_else(String::new, |day| format!(" on {}", day.in_words()));
            (puppy, format!("{}, {what}{on}", label(puppy)))
        };
        match puppy.fate {
            Some(Fate::Stillborn) => None,
            Some(Fate::Died) => Some(words("died", puppy.on)),
            None => figures
                .is_gone(litter, puppy)
                .then(|| words("left", figures.left_on(litter, puppy))),
        }
    };
    let puppies = litter.litter.puppies.iter();
    puppies
        .filter(|_| kind != HealthKind::FollowUp)
        .filter(|puppy| kind != HealthKind::Chip || puppy.chip.is_none())
        .filter_map(what_became)
        .collect()
}

pub(super) fn label(puppy: &Puppy) -> String {
    match puppy.ribbon {
        Some(ribbon) => format!("{} ({})", puppy.shown_name(), ribbon.name()),
        None => puppy.shown_name(),
    }
}
