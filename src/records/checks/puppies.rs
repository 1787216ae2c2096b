//! Checks of the puppies of one litter: names, ribbons, order, weights and fates.
//!
//! In: one litter's folder. Out: problems in its `litter.yaml`.

use super::super::LitterFolder;
use super::super::litter::{
    BREATHS_SCORED, Fate, HEART_RATES_SCORED, LONGEST_FIRST_BREATH, Offer, Puppy, Returned, Vigour,
    points_of_rate, possible_birth_weight,
};
use super::super::problem::{Place, Problem, key_path};
use super::{Checked, clocks, out_of_order, to_come};
use crate::quantity::{Day, Id, Moment};
use std::collections::BTreeMap;

/// Keys of `weights.yaml` and words of `health.yaml` that would be taken for something else than a
/// puppy.
const RESERVED: &[&str] = &["at", "by", "remark", "unit", "all", "dam", "sire"];

/// Whether a name has a meaning in the records, so that no puppy can be called so.
#[must_use]
pub fn is_reserved(id: &Id) -> bool {
    RESERVED.contains(&id.as_str())
}

pub(super) fn check(records: &Checked<'_>, folder: &LitterFolder, problems: &mut Vec<Problem>) {
    let file = folder.file("litter.yaml");
    doubles(&file, &folder.litter.puppies, problems);
    for (i, puppy) in folder.litter.puppies.iter().enumerate() {
        newborn(&file, i, puppy, problems);
        fate(records, &file, i, puppy, problems);
        came_back(records, folder, &file, i, problems);
        times(records, folder, &file, i, problems);
    }
    order(records, folder, &file, problems);
}

/// What is said when something of a puppy was written for a time before its own birth or after its
/// death, with the place where those stand. A stillborn puppy has no such times; a test of its body
/// is one of the entries it may have.
pub(super) fn outside_life(
    records: &Checked<'_>,
    folder: &LitterFolder,
    puppy: &Puppy,
    day: Day,
    at: Option<Moment>,
    what: &str,
    place: impl FnOnce() -> Place,
) -> Option<Problem> {
    let there = |key: &str| {
        let file = folder.file("litter.yaml");
        let n = folder
            .litter
            .puppies
            .iter()
            .position(|other| other.id == puppy.id)
            .filter(|_| !records.is_broken(&file));
        n.map_or_else(
            || Place::file(&file),
            |n| Place::path(&file, key_path!["puppies", n, key]),
        )
    };
    let id = &puppy.id;
    if puppy.fate == Some(Fate::Stillborn) {
        let hint =
            "correct the name, or its `fate`; what was seen at birth is written in litter.yaml";
        let message = format!("`{id}` was stillborn, and has no {what}");
        return Some(
            Problem::error("after-death", place(), message, hint).and(there("fate"), "said here"),
        );
    }
    if let Some(died) = puppy.on.filter(|died| !puppy.is_alive() && *died < day) {
        let when = at.map_or_else(|| day.to_string(), |at| at.to_string());
        let message = format!("`{id}` died on {died}, before this {what} of {when}");
        return Some(
            Problem::error(
                "after-death",
                place(),
                message,
                "correct the name, or one of the dates",
            )
            .and(there("on"), "its death"),
        );
    }
    let birth = folder
        .litter
        .birth
        .as_ref()
        .filter(|birth| day >= birth.on)?;
    let born = puppy.born?.on(birth.on).to_the_minute();
    // A birth far from the litter's day is told in its own place.
    let is_near = (0..=2).contains(&born.day().since(birth.on));
    let is_before = is_near && at.map_or(day < born.day(), |at| at.to_the_minute() < born);
    is_before.then(|| {
        let message = format!("`{id}` was born on {born}, after this {what}");
        Problem::error(
            "before-birth",
            place(),
            message,
            "correct the name, or one of the times",
        )
        .and(there("born"), "its birth")
    })
}

/// Places in the order of birth against the times of birth.
fn order(records: &Checked<'_>, folder: &LitterFolder, file: &str, problems: &mut Vec<Problem>) {
    let Some(birth) = &folder.litter.birth else {
        return;
    };
    let timed = |(i, puppy): (usize, &Puppy)| Some((puppy.order?, i, puppy.born?.on(birth.on)));
    let mut timed: Vec<(u32, usize, Moment)> = folder
        .litter
        .puppies
        .iter()
        .enumerate()
        .filter_map(timed)
        .collect();
    timed.sort_unstable_by_key(|(order, i, _)| (*order, *i));
    for pair in timed.windows(2) {
        let [(before, first, earlier), (after, second, later)] = pair else {
            continue;
        };
        // When the clocks go back, an earlier time may well be the later one.
        let doubtful = records.clocks.comes_twice(*earlier) || records.clocks.comes_twice(*later);
        if before == after || later >= earlier || doubtful {
            continue;
        }
        let name = |i: usize| &folder.litter.puppies[i].id;
        let message = format!(
            "`{}` is number {after}, but was born before `{}`, which is number {before}",
            name(*second),
            name(*first)
        );
        let next_day = later.day().plus(1);
        let hint = format!(
            "correct a time or a number; if it was after midnight, write `born: {next_day} {}`",
            later.local().format("%H:%M")
        );
        problems.push(
            Problem::error(
                "order-against-clock",
                Place::path(file, key_path!["puppies", *second, "born"]),
                message,
                hint,
            )
            .and(
                Place::path(file, key_path!["puppies", *first, "born"]),
                "the one before it",
            ),
        );
    }
}

/// A score that somebody wrote beside a count of beats or breaths that is worth another.
fn scores(file: &str, i: usize, v: usize, score: &Vigour, problems: &mut Vec<Problem>) {
    let at = |key: &str| Place::path(file, key_path!["puppies", i, "vigour", v, key]);
    let pairs = [
        (
            "heart",
            score.heart,
            "heart_rate",
            score.heart_rate,
            HEART_RATES_SCORED,
            "beats",
        ),
        (
            "breathing",
            score.breathing,
            "breaths",
            score.breaths,
            BREATHS_SCORED,
            "breaths",
        ),
    ];
    for (key, given, counted_key, counted, (low, high), of) in pairs {
        let Some((given, counted)) = given.zip(counted) else {
            continue;
        };
        let worth = points_of_rate(counted, (low, high));
        if given.points() != worth {
            let message = format!(
                "`{key}` is {}, but {counted} {of} a minute are {worth}",
                given.points()
            );
            let hint = format!(
                "under {low} is 0, {low} to {high} is 1, over {high} is 2: correct one of the \
                 two, or write only what was counted"
            );
            problems.push(
                Problem::warning("score-differs", at(key), message, hint)
                    .and(at(counted_key), "counted here"),
            );
        }
    }
}

fn doubles(file: &str, puppies: &[Puppy], problems: &mut Vec<Problem>) {
    let at = |i: usize, key: &str| Place::path(file, key_path!["puppies", i, key]);
    let (mut ids, mut ribbons, mut orders) = (BTreeMap::new(), BTreeMap::new(), BTreeMap::new());
    for (i, puppy) in puppies.iter().enumerate() {
        if is_reserved(&puppy.id) {
            let message = format!(
                "a puppy cannot be called `{}`: the word has a meaning in the records",
                puppy.id
            );
            problems.push(Problem::error(
                "name-reserved",
                at(i, "id"),
                message,
                "choose another id; `name:` may be anything",
            ));
        }
        if let Some(first) = ids.insert(&puppy.id, i) {
            problems.push(
                Problem::error(
                    "puppy-twice",
                    at(i, "id"),
                    format!("there are two puppies `{}`", puppy.id),
                    "give one another id",
                )
                .and(at(first, "id"), "the first"),
            );
        }
        if let Some(ribbon) = puppy.ribbon.filter(|_| puppy.is_alive())
            && let Some(first) = ribbons.insert(ribbon, i)
        {
            let message = format!(
                "`{}` and `{}` both wear {ribbon}",
                puppies[first].id, puppy.id
            );
            problems.push(
                Problem::error(
                    "ribbon-twice",
                    at(i, "ribbon"),
                    message,
                    "look at the puppies and correct one",
                )
                .and(at(first, "ribbon"), "the first"),
            );
        }
        if let Some(order) = puppy.order
            && let Some(first) = orders.insert(order, i)
        {
            let message = format!(
                "`{}` and `{}` are both number {order}",
                puppies[first].id, puppy.id
            );
            problems.push(
                Problem::error(
                    "order-twice",
                    at(i, "order"),
                    message,
                    "correct one of the two",
                )
                .and(at(first, "order"), "the first"),
            );
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
        problems.push(Problem::error(
            "out-of-range",
            at("order"),
            format!("`{order}` is no place in the order of birth"),
            "the first puppy is 1",
        ));
    }
    if let Some(breath) = puppy
        .first_breath
        .filter(|b| b.as_seconds() > LONGEST_FIRST_BREATH)
    {
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
            problems.push(Problem::error(
                "out-of-range",
                place("heart_rate"),
                "no heart beats this often",
                "write beats per minute, such as 210",
            ));
        }
        if score.breaths.is_some_and(|r| r > 150) {
            problems.push(Problem::error(
                "out-of-range",
                place("breaths"),
                "no puppy breathes this often",
                "write breaths per minute, such as 22",
            ));
        }
        scores(file, i, v, score, problems);
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
            problems.push(Problem::error(
                "offer-after-death",
                at("offer"),
                format!("`{}` is not alive, but has an offer", puppy.id),
                hint,
            ));
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

/// A puppy that came back: when that can be, and whether what it is called since then fits.
fn came_back(
    records: &Checked<'_>,
    folder: &LitterFolder,
    file: &str,
    i: usize,
    problems: &mut Vec<Problem>,
) {
    let puppy = &folder.litter.puppies[i];
    let Some(Returned {
        on,
        reason: _,
        remarks: _,
    }) = &puppy.returned
    else {
        return;
    };
    let at = || Place::path(file, key_path!["puppies", i, "returned", "on"]);
    let id = &puppy.id;
    if *on > records.today {
        problems.push(to_come(at(), on, "correct the date"));
    }
    if let Some(born) = folder.litter.born_on(puppy) {
        let place = || Place::path(file, key_path!["birth", "on"]);
        if *on < born {
            let message = format!("{on} is before the birth on {born}");
            problems.push(out_of_order(at(), message).and(place(), "the birth"));
        } else if on.since(born) < 56 {
            let message = format!(
                "`{id}` came back at {} days, and puppies do not leave before 56",
                on.since(born)
            );
            problems.push(
                Problem::warning("returned-too-early", at(), message, "correct the date")
                    .and(place(), "the birth"),
            );
        }
    }
    if let Some(died) = puppy.on.filter(|died| died < on) {
        let message = format!("`{id}` died on {died}, before it came back");
        let place = Place::path(file, key_path!["puppies", i, "on"]);
        problems.push(
            Problem::error("after-death", at(), message, "correct one of the dates")
                .and(place, "its death"),
        );
    }
    let is_taken = || {
        let takes = records
            .owners
            .families
            .iter()
            .flat_map(|family| &family.takes);
        takes
            .filter(|takes| takes.litter == folder.id && takes.puppy == *id)
            .any(|takes| takes.is_present(puppy))
    };
    if puppy.is_alive()
        && puppy.offer == Offer::Placed
        && !records.is_broken("owners.yaml")
        && !is_taken()
    {
        let message = format!("`{id}` came back on {on}, and is still called placed");
        let hint = "write `offer: available`, `staying` or `not offered`; or name in owners.yaml \
                    the family that takes it now, with the day under `leaves:`";
        problems.push(
            Problem::warning(
                "came-back-and-placed",
                Place::path(file, key_path!["puppies", i, "offer"]),
                message,
                hint,
            )
            .and(at(), "came back"),
        );
    }
}

fn times(
    records: &Checked<'_>,
    folder: &LitterFolder,
    file: &str,
    i: usize,
    problems: &mut Vec<Problem>,
) {
    let Some(birth) = &folder.litter.birth else {
        return;
    };
    let puppy = &folder.litter.puppies[i];
    let at = |key: &str| Place::path(file, key_path!["puppies", i, key]);
    if let Some(born) = puppy.born {
        let born = born.on(birth.on);
        let days = born.day().since(birth.on);
        clocks::check(records, born, Some(birth.on), || at("born"), problems);
        if !(0..=2).contains(&days) {
            let message = format!(
                "born {} days {} the litter's day {}",
                days.abs(),
                if days < 0 { "before" } else { "after" },
                birth.on
            );
            let hint = "`birth.on` is the day of the first puppy; correct one of the two";
            problems.push(
                Problem::error("out-of-order", at("born"), message, hint).and(
                    Place::path(file, key_path!["birth", "on"]),
                    "the litter's day",
                ),
            );
        } else if born.day() > records.today {
            problems.push(to_come(at("born"), born, "correct the date"));
        }
    }
    if let Some(died) = puppy.on {
        if died < birth.on {
            problems.push(out_of_order(
                at("on"),
                format!("{died} is before the birth on {}", birth.on),
            ));
        } else if died > records.today {
            problems.push(to_come(at("on"), died, "correct the date"));
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
