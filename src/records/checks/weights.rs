//! Checks of weigh-ins: puppies that exist, or the dam, times between birth and death, one value
//! for one time.
//!
//! In: one litter's folder. Out: problems in its `weights.yaml`. Whether a weight is a slip of the
//! pen is judged by `husbandry`, not here.

use super::super::problem::{Place, Problem, Step, key_path};
use super::super::weights::DAM;
use super::super::{LitterFolder, WeighIn};
use super::{Checked, clocks, no_puppy, puppies, to_come, units, wrong_day};
use crate::quantity::{Id, Moment};
use std::collections::BTreeMap;

pub(super) fn check(records: &Checked<'_>, folder: &LitterFolder, problems: &mut Vec<Problem>) {
    let file = folder.file("weights.yaml");
    let exact = !records.is_broken(&file);
    let at = |block: usize, key: &str| {
        if exact {
            Place::path(&file, key_path![block, key])
        } else {
            Place::file(&file)
        }
    };
    let litter_is_whole = !records.is_broken(&folder.file("litter.yaml"));
    let born = folder.litter.birth.as_ref().map(|birth| birth.on);
    units::check(records, folder, problems);
    if exact && litter_is_whole {
        wrong_day::check(&file, &folder.weigh_ins, problems);
    }
    // Weigh-ins come in the order of time: two weights for one time stand beside each other.
    let mut at_this_time: (Option<Moment>, BTreeMap<&Id, usize>) = (None, BTreeMap::new());
    for weigh_in in &folder.weigh_ins {
        if at_this_time.0 != Some(weigh_in.at) {
            at_this_time = (Some(weigh_in.at), BTreeMap::new());
        }
        // Most weigh-ins have no problem, and need no place to show it at.
        let when = || at(weigh_in.block, "at");
        if weigh_in.at.day() > records.today {
            problems.push(to_come(
                when(),
                format_args!("a weigh-in on {}", weigh_in.at),
                "correct the date",
            ));
        }
        clocks::check(records, weigh_in.at, born, when, problems);
        if weigh_in.weights.is_empty() && exact {
            problems.push(Problem::warning(
                "weigh-in-empty",
                when(),
                "nobody was weighed here",
                "add a line for each puppy, or take the block out",
            ));
        }
        against_birth(folder, weigh_in, litter_is_whole, when, problems);
        for id in weigh_in.weights.keys() {
            let place = || at(weigh_in.block, id.as_str());
            let puppy = folder.puppy(id);
            if puppy.is_none() && id.as_str() != DAM {
                if litter_is_whole {
                    let place = if exact {
                        Place::path(
                            &file,
                            vec![Step::Index(weigh_in.block), Step::Name(id.to_string())],
                        )
                    } else {
                        place()
                    };
                    let hint = "add the puppy to litter.yaml";
                    problems.push(no_puppy(place, folder, id, hint));
                }
                continue;
            }
            if let Some(puppy) = puppy {
                problems.extend(puppies::outside_life(
                    records,
                    folder,
                    puppy,
                    weigh_in.at.day(),
                    Some(weigh_in.at),
                    "weigh-in",
                    place,
                ));
            }
            if let Some(first) = at_this_time.1.insert(id, weigh_in.block) {
                let message = format!("`{id}` has two weights for {}", weigh_in.at);
                let hint = "take one of the two lines that are shown out, or correct the `at:` \
                            above one of them; then `litterfolio inspect`";
                problems.push(
                    Problem::error("weight-twice", place(), message, hint)
                        .and(at(first, id.as_str()), "the first"),
                );
            }
        }
    }
}

/// Puppies are weighed from their birth on, the dam from her mating on.
fn against_birth(
    folder: &LitterFolder,
    weigh_in: &WeighIn,
    litter_is_whole: bool,
    when: impl Fn() -> Place,
    problems: &mut Vec<Problem>,
) {
    let only_dam =
        !weigh_in.weights.is_empty() && weigh_in.weights.keys().all(|id| id.as_str() == DAM);
    match folder.litter.birth.as_ref() {
        // That the birth is missing where there are puppies is said once, in litter.yaml.
        _ if only_dam => {
            // She is weighed from the mating on; before that it is another litter's.
            if let Some(mated) = folder
                .litter
                .mated
                .iter()
                .min()
                .filter(|mated| weigh_in.at.day() < **mated)
            {
                let message = format!(
                    "the dam is weighed on {}, before the mating on {mated}",
                    weigh_in.at
                );
                let hint = "correct the date; her weight outside a litter stands in her own \
                            file as `adult_weight`";
                problems.push(Problem::warning("before-mating", when(), message, hint));
            }
        }
        None if litter_is_whole && folder.litter.puppies.is_empty() => {
            problems.push(Problem::error(
                "before-birth",
                when(),
                "a weigh-in of a litter that is not born",
                "add `birth` and `puppies` to litter.yaml",
            ));
        }
        Some(birth) if weigh_in.at.day() < birth.on => {
            problems.push(
                Problem::error(
                    "before-birth",
                    when(),
                    format!(
                        "a weigh-in on {}, before the birth on {}",
                        weigh_in.at, birth.on
                    ),
                    "correct the date",
                )
                .and(
                    Place::path(&folder.file("litter.yaml"), key_path!["birth", "on"]),
                    "the birth",
                ),
            );
        }
        _ => {}
    }
}
