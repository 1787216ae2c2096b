//! Checks of all litters of one dam: alive at each birth, and with time enough between two.
//!
//! In: all dogs and litters. Out: problems in the `litter.yaml` of the later litter.

use super::super::LitterFolder;
use super::super::problem::{Place, Problem, key_path};
use super::Checked;
use crate::quantity::{Day, Id};
use std::collections::BTreeMap;

/// Days between two births of one dam that can be. Two months of pregnancy, and a heat cannot
/// follow at once on a birth: intervals between heats of under four months are not fertile (common
/// practice, no source).
const BETWEEN_BIRTHS: i64 = 120;
/// Days from mating to birth, for a litter that is expected.
const CARRIED: i64 = 63;

pub(super) fn check(records: &Checked<'_>, problems: &mut Vec<Problem>) {
    let mut of_dam: BTreeMap<&Id, Vec<&LitterFolder>> = BTreeMap::new();
    for folder in records.litters.values() {
        alive(records, folder, problems);
        of_dam.entry(&folder.litter.dam).or_default().push(folder);
    }
    for litters in of_dam.values().filter(|litters| litters.len() > 1) {
        apart(litters, problems);
    }
}

fn alive(records: &Checked<'_>, folder: &LitterFolder, problems: &mut Vec<Problem>) {
    let dam = &folder.litter.dam;
    let Some(died) = records.dogs.get(dam).and_then(|dog| dog.died) else {
        return;
    };
    let file = folder.file("litter.yaml");
    let there = || Place::path(&format!("dogs/{dam}.yaml"), key_path!["died"]);
    let mut say = |key, what: &str| {
        let message = format!("the dam `{dam}` died on {died}, before {what}");
        problems.push(
            Problem::error(
                "after-death",
                Place::path(&file, key),
                message,
                "correct one of the two dates, or name another dam",
            )
            .and(there(), "her death"),
        );
    };
    match &folder.litter.birth {
        Some(birth) if birth.on > died => say(key_path!["birth", "on"], "this birth"),
        Some(_) => {}
        None => {
            for (i, _) in folder
                .litter
                .mated
                .iter()
                .enumerate()
                .filter(|(_, mated)| **mated > died)
            {
                say(key_path!["mated", i], "this mating");
            }
        }
    }
}

/// When a litter was born, or may be expected, and where that is written.
fn day(folder: &LitterFolder) -> Option<(Day, Place)> {
    let litter = &folder.litter;
    let file = folder.file("litter.yaml");
    match &litter.birth {
        Some(birth) => Some((birth.on, Place::path(&file, key_path!["birth", "on"]))),
        None if litter.came_to_nothing() => None,
        None => {
            let (n, first) = litter
                .mated
                .iter()
                .enumerate()
                .min_by_key(|(_, day)| **day)?;
            Some((
                first.plus(CARRIED),
                Place::path(&file, key_path!["mated", n]),
            ))
        }
    }
}

fn apart(litters: &[&LitterFolder], problems: &mut Vec<Problem>) {
    let mut days: Vec<(Day, Place, &LitterFolder)> = litters
        .iter()
        .filter_map(|folder| day(folder).map(|(day, place)| (day, place, *folder)))
        .collect();
    days.sort_by(|a, b| (a.0, &a.2.id).cmp(&(b.0, &b.2.id)));
    for pair in days.windows(2) {
        let [(earlier, there, first), (later, here, second)] = pair else {
            continue;
        };
        let between = later.since(*earlier);
        if between >= BETWEEN_BIRTHS {
            continue;
        }
        let dam = &second.litter.dam;
        let born = first.litter.birth.is_some() && second.litter.birth.is_some();
        let hint = "correct a date or the dam; a mating that came to nothing is written as \
                    `counted: { by: ultrasound, on: …, puppies: 0 }`";
        let problem = if born {
            let message = format!("`{dam}` had another litter {between} days before this one");
            Problem::error("litters-too-close", here.clone(), message, hint)
        } else {
            let message = format!(
                "`{dam}` has two litters, `{}` and `{}`, that would be born {between} days apart",
                first.id, second.id
            );
            Problem::warning("litters-too-close", here.clone(), message, hint)
        };
        problems.push(problem.and(there.clone(), "the other"));
    }
}
