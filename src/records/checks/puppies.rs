//! Checks of the puppies of one litter: names, ribbons, order, weights and fates.
//!
//! In: one litter's folder. Out: problems in its `litter.yaml`.

use super::super::LitterFolder;
use super::super::litter::{Fate, LONGEST_FIRST_BREATH, Offer, Puppy, possible_birth_weight};
use super::super::problem::{Place, Problem, key_path};
use super::Checked;
use std::collections::BTreeMap;

/// Keys of `weights.yaml` and words of `health.yaml` that would be taken for something else than a puppy.
const RESERVED: &[&str] = &["at", "by", "remark", "unit", "all", "dam", "sire"];

pub(super) fn check(records: &Checked<'_>, folder: &LitterFolder, problems: &mut Vec<Problem>) {
    let file = folder.file("litter.yaml");
    doubles(&file, &folder.litter.puppies, problems);
    for (i, puppy) in folder.litter.puppies.iter().enumerate() {
        newborn(&file, i, puppy, problems);
        fate(records, &file, i, puppy, problems);
        times(records, folder, &file, i, problems);
    }
}

fn doubles(file: &str, puppies: &[Puppy], problems: &mut Vec<Problem>) {
    let at = |i: usize, key: &str| Place::path(file, key_path!["puppies", i, key]);
    let (mut ids, mut ribbons, mut orders) = (BTreeMap::new(), BTreeMap::new(), BTreeMap::new());
    for (i, puppy) in puppies.iter().enumerate() {
        if RESERVED.contains(&puppy.id.as_str()) {
            let message = format!("a puppy cannot be called `{}`: the word has a meaning in the records", puppy.id);
            problems.push(Problem::error("name-reserved", at(i, "id"), message, "choose another id; `name:` may be anything"));
        }
        if let Some(first) = ids.insert(&puppy.id, i) {
            problems.push(
                Problem::error("puppy-twice", at(i, "id"), format!("there are two puppies `{}`", puppy.id), "give one another id")
                    .and(at(first, "id"), "the first"),
            );
        }
        if let Some(ribbon) = puppy.ribbon.filter(|_| puppy.is_alive())
            && let Some(first) = ribbons.insert(ribbon, i)
        {
            let message = format!("`{}` and `{}` both wear {ribbon}", puppies[first].id, puppy.id);
            problems.push(
                Problem::error("ribbon-twice", at(i, "ribbon"), message, "look at the puppies and correct one").and(at(first, "ribbon"), "the first"),
            );
        }
        if let Some(order) = puppy.order
            && let Some(first) = orders.insert(order, i)
        {
            let message = format!("`{}` and `{}` are both number {order}", puppies[first].id, puppy.id);
            problems.push(Problem::error("order-twice", at(i, "order"), message, "correct one of the two").and(at(first, "order"), "the first"));
        }
    }
}

fn newborn(file: &str, i: usize, puppy: &Puppy, problems: &mut Vec<Problem>) {
    let at = |key: &str| Place::path(file, key_path!["puppies", i, key]);
    if let Some(weight) = puppy.weight
        && !possible_birth_weight().contains(&weight.grams())
    {
        let message = format!("{weight} is no birth weight");
        problems.push(Problem::error(
            "weight-impossible",
            at("weight"),
            message,
            "newborns weigh between 30 and 1300 g: is the unit right, or a digit too many?",
        ));
    }
    if let Some(order) = puppy.order.filter(|o| *o == 0 || *o > 30) {
        problems.push(Problem::error("out-of-range", at("order"), format!("`{order}` is no place in the order of birth"), "the first puppy is 1"));
    }
    if let Some(breath) = puppy.first_breath.filter(|b| b.as_seconds() > LONGEST_FIRST_BREATH) {
        problems.push(Problem::error(
            "out-of-range",
            at("first_breath"),
            format!("{breath} without a breath cannot be"),
            "write the time from birth to the first breath, such as 40 s",
        ));
    }
    for (v, score) in puppy.vigour.iter().enumerate() {
        let place = |key: &str| Place::path(file, key_path!["puppies", i, "vigour", v, key]);
        if score.heart_rate.is_some_and(|r| r > 400) {
            problems.push(Problem::error("out-of-range", place("heart_rate"), "no heart beats this often", "write beats per minute, such as 210"));
        }
        if score.breaths.is_some_and(|r| r > 150) {
            problems.push(Problem::error("out-of-range", place("breaths"), "no puppy breathes this often", "write breaths per minute, such as 22"));
        }
        if score.at.as_seconds() > 86_400 {
            problems.push(Problem::error(
                "out-of-range",
                place("at"),
                "a vigour score is taken in the first hours",
                "write minutes after birth, such as 5 min",
            ));
        }
    }
}

fn fate(records: &Checked<'_>, file: &str, i: usize, puppy: &Puppy, problems: &mut Vec<Problem>) {
    let at = |key: &str| Place::path(file, key_path!["puppies", i, key]);
    match puppy.fate {
        None => {
            for (key, said) in [("on", puppy.on.is_some()), ("cause", puppy.cause.is_some())] {
                if said {
                    problems.push(Problem::error(
                        "fate-missing",
                        at(key),
                        format!("`{key}` belongs to `fate`, and `{}` has none", puppy.id),
                        "add `fate: died` or `fate: stillborn`, or take this line out",
                    ));
                }
            }
        }
        Some(_) if puppy.offer != Offer::NotOffered => {
            let hint = "take `offer` out; such a puppy never appears in public";
            problems.push(Problem::error("offer-after-death", at("offer"), format!("`{}` is not alive, but has an offer", puppy.id), hint));
        }
        Some(Fate::Died) if puppy.on.is_none() && !records.is_broken(file) => {
            problems.push(Problem::warning(
                "fate-without-day",
                at("fate"),
                format!("the day on which `{}` died is missing", puppy.id),
                "add `on: ` and the date",
            ));
        }
        Some(_) => {}
    }
}

fn times(records: &Checked<'_>, folder: &LitterFolder, file: &str, i: usize, problems: &mut Vec<Problem>) {
    let Some(birth) = &folder.litter.birth else { return };
    let puppy = &folder.litter.puppies[i];
    let at = |key: &str| Place::path(file, key_path!["puppies", i, key]);
    if let Some(born) = puppy.born {
        let days = born.on(birth.on).day().since(birth.on);
        if !(0..=2).contains(&days) {
            let message = format!("born {} days {} the litter's day {}", days.abs(), if days < 0 { "before" } else { "after" }, birth.on);
            problems.push(Problem::error("out-of-order", at("born"), message, "`birth.on` is the day of the first puppy; correct one of the two"));
        }
    }
    if let Some(died) = puppy.on {
        if died < birth.on {
            problems.push(Problem::error(
                "out-of-order",
                at("on"),
                format!("{died} is before the birth on {}", birth.on),
                "correct one of the two dates",
            ));
        } else if died > records.today {
            problems.push(Problem::error("in-the-future", at("on"), format!("{died} is still to come"), "correct the date"));
        } else if puppy.fate == Some(Fate::Stillborn) && died.since(birth.on) > 2 {
            problems.push(Problem::error(
                "out-of-order",
                at("on"),
                "a stillborn puppy's day is the day of birth",
                "correct the date, or write `fate: died`",
            ));
        }
    }
}
