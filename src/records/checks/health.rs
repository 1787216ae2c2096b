//! Checks of health entries: one thing said at one time of somebody who exists, and dates in order.
//!
//! In: one litter's folder. Out: problems in its `health.yaml`.

use super::super::LitterFolder;
use super::super::care_plan::BUILT_IN;
use super::super::health::{FollowUp, HealthEntry, HealthKind};
use super::super::litter::Fate;
use super::super::problem::{At, Place, Problem, Step, key_path};
use super::{Checked, clocks, dogs, no_puppy, out_of_order, puppies, to_come};
use crate::quantity::{Day, FeedAmount};

pub(super) fn check(records: &Checked<'_>, folder: &LitterFolder, problems: &mut Vec<Problem>) {
    let file = folder.file("health.yaml");
    // After an entry was left out as unreadable, the places of the others are not known.
    if records.is_broken(&file) {
        return;
    }
    for (i, entry) in folder.health.iter().enumerate() {
        shape(&file, i, entry, problems);
        whom(records, folder, &file, i, problems);
        if let Some(day) = entry.day() {
            dates(records, folder, &file, i, day, problems);
        }
        if let Some(at) = entry.at {
            let born = folder.litter.birth.as_ref().map(|birth| birth.on);
            clocks::check(
                records,
                at,
                born,
                || Place::path(&file, key_path![i, "at"]),
                problems,
            );
        }
        chip(records, folder, &file, i, entry, problems);
        amount(&file, i, entry, problems);
        follow_up(folder, &file, i, entry, problems);
        items(records, &file, i, entry, problems);
    }
}

/// Checks of the entries of one litter from an index on, as if they stood in its file.
pub(super) fn added(records: &Checked<'_>, folder: &LitterFolder, from: usize) -> Vec<Problem> {
    let mut problems = Vec::new();
    check(records, folder, &mut problems);
    let is_new = |problem: &Problem| match &problem.place.at {
        At::Path(path) => matches!(path.first(), Some(Step::Index(i)) if *i >= from),
        _ => false,
    };
    problems.retain(is_new);
    problems
}

fn shape(file: &str, i: usize, entry: &HealthEntry, problems: &mut Vec<Problem>) {
    let place = |key: &str| Place::path(file, key_path![i, key]);
    let whole = || Place::path(file, key_path![i]);
    match (entry.on, entry.at) {
        (None, None) => problems.push(Problem::error(
            "day-missing",
            whole(),
            "this entry does not say when",
            "add `on:` and a date, or `at:` and a date and time",
        )),
        (Some(_), Some(_)) => problems.push(Problem::error(
            "day-twice",
            place("on"),
            "`on` and `at` both say when",
            "keep one of the two",
        )),
        _ => {}
    }
    let kinds = entry.kinds();
    match kinds.as_slice() {
        [] => {
            let hint = format!("add one of {}", HealthKind::all_keys());
            let message = "this entry says nothing";
            problems.push(Problem::error("entry-empty", whole(), message, hint));
        }
        [_] => {}
        [_, second, ..] => {
            let keys: Vec<&str> = kinds.iter().map(|kind| kind.key()).collect();
            let message = format!(
                "this entry says several things at once: {}",
                keys.join(", ")
            );
            problems.push(Problem::error(
                "entry-crowded",
                place(second.key()),
                message,
                "make each an entry of its own",
            ));
        }
    }
    if entry.whom.is_empty() {
        problems.push(Problem::error(
            "whom-missing",
            whole(),
            "this entry is for nobody",
            "add `for: all`, `for: dam` or the names of puppies",
        ));
    }
}

fn whom(
    records: &Checked<'_>,
    folder: &LitterFolder,
    file: &str,
    i: usize,
    problems: &mut Vec<Problem>,
) {
    let entry = &folder.health[i];
    let litter_is_whole = !records.is_broken(&folder.file("litter.yaml"));
    let several = entry.whom.len() > 1;
    for (n, id) in entry.whom.iter().enumerate() {
        let place = Place::path(file, key_path![i, "for", n]);
        if matches!(id.as_str(), "all" | "dam") {
            if several && id.as_str() == "all" {
                problems.push(Problem::error(
                    "whom-doubtful",
                    place,
                    "`all` stands beside other names",
                    "write `for: all`, or the names alone",
                ));
            }
            continue;
        }
        let Some(puppy) = folder.puppy(id) else {
            if litter_is_whole {
                let hint = "write `all`, `dam` or the id of a puppy";
                problems.push(no_puppy(place, folder, id, hint));
            }
            continue;
        };
        // A body can still be examined and tested.
        let examined =
            (entry.test.is_some() || entry.check.is_some()) && puppy.fate == Some(Fate::Stillborn);
        if let Some(day) = entry.day().filter(|_| !examined) {
            problems.extend(puppies::outside_life(
                records,
                folder,
                puppy,
                day,
                entry.at,
                "entry",
                || place,
            ));
        }
    }
}

/// What is told of a grown puppy: of one that has left, and of one alone, since each has a weight
/// of its own.
fn follow_up(
    folder: &LitterFolder,
    file: &str,
    i: usize,
    entry: &HealthEntry,
    problems: &mut Vec<Problem>,
) {
    let Some(told) = &entry.follow_up else { return };
    let place = |key: &str| Place::path(file, key_path![i, "follow_up", key]);
    let whole = Place::path(file, key_path![i, "follow_up"]);
    let FollowUp {
        weight,
        bite,
        hips,
        how,
        by: _,
    } = told;
    if weight.is_none() && bite.is_none() && hips.is_none() && how.is_none() {
        let hint = "add one of weight, bite, hips, how; `how` takes any words";
        problems.push(Problem::error(
            "follow-up-empty",
            whole.clone(),
            "this does not say how the puppy is",
            hint,
        ));
    }
    let is_one = matches!(&entry.whom[..], [id] if !matches!(id.as_str(), "all" | "dam"));
    if !is_one && !entry.whom.is_empty() {
        let hint = "write an entry for each puppy; what becomes of the dam stands in her own file";
        problems.push(Problem::error(
            "follow-up-shared",
            whole,
            "a follow-up is of one puppy",
            hint,
        ));
    }
    dogs::grown_weight(place("weight"), *weight, problems);
    let mut puppies = folder.litter.puppies.iter();
    let puppy = puppies.find(|puppy| entry.whom.contains(&puppy.id));
    let Some((born, day)) = puppy
        .and_then(|puppy| folder.litter.born_on(puppy))
        .zip(entry.day())
    else {
        return;
    };
    let age = day.since(born);
    if (0..56).contains(&age) {
        let message =
            format!("a follow-up is of a puppy that has left, and this one was {age} days old");
        problems.push(Problem::warning(
            "follow-up-too-early",
            Place::path(file, key_path![i, "follow_up"]),
            message,
            "write a `check`, or correct the date",
        ));
    }
}

/// What went in is added up where it is a quantity; words of older records stay.
fn amount(file: &str, i: usize, entry: &HealthEntry, problems: &mut Vec<Problem>) {
    if let Some(FeedAmount::Words(words)) =
        entry.feed.as_ref().and_then(|feed| feed.amount.as_ref())
    {
        let place = Place::path(file, key_path![i, "feed", "amount"]);
        let message = format!("`{words}` is no amount that can be added up");
        problems.push(Problem::warning(
            "amount-in-words",
            place,
            message,
            "write it in ml or g, such as 3.5 ml; or leave it, and the sums are without it",
        ));
    }
}

/// Names in `done` and `excused` are those of the care plan.
fn items(
    records: &Checked<'_>,
    file: &str,
    i: usize,
    entry: &HealthEntry,
    problems: &mut Vec<Problem>,
) {
    let own = records.care_plan.items.iter().map(|item| item.id.as_str());
    let known: Vec<&str> = BUILT_IN.iter().copied().chain(own).collect();
    let plan_is_whole = !records.is_broken("care-plan.yaml");
    for (key, names) in [("done", &entry.done), ("excused", &entry.excused)] {
        for (n, id) in names
            .iter()
            .enumerate()
            .filter(|(_, id)| plan_is_whole && !known.contains(&id.as_str()))
        {
            let hint =
                super::super::reading::suggestion(id.as_str(), &known).unwrap_or_else(|| {
                    "the keeper's book lists the names of all items; add your own to care-plan.yaml"
                        .to_owned()
                });
            let message = format!("there is no item `{id}` in the care plan");
            problems.push(Problem::error(
                "item-unknown",
                Place::path(file, key_path![i, key, n]),
                message,
                hint,
            ));
        }
    }
    if !entry.excused.is_empty() && entry.remark.is_none() {
        let hint = "add `remark:` and the reason, such as: the vet advised to wait";
        problems.push(Problem::warning(
            "reason-missing",
            Place::path(file, key_path![i, "excused"]),
            "this does not say why",
            hint,
        ));
    }
}

fn dates(
    records: &Checked<'_>,
    folder: &LitterFolder,
    file: &str,
    i: usize,
    day: Day,
    problems: &mut Vec<Problem>,
) {
    let entry = &folder.health[i];
    let when = Place::path(
        file,
        key_path![i, if entry.on.is_some() { "on" } else { "at" }],
    );
    if day > records.today {
        problems.push(to_come(
            when.clone(),
            day,
            "correct the date; what is planned belongs into the care plan",
        ));
    }
    let for_dam = entry.is_for_dam();
    if let Some(birth) = folder
        .litter
        .birth
        .as_ref()
        .filter(|birth| day < birth.on && !for_dam)
    {
        problems.push(
            Problem::error(
                "before-birth",
                when,
                format!("{day} is before the birth on {}", birth.on),
                "correct the date",
            )
            .and(
                Place::path(&folder.file("litter.yaml"), key_path!["birth", "on"]),
                "the birth",
            ),
        );
    }
    let worming = entry.worming.as_ref().and_then(|w| w.next_due);
    let parasite = entry.parasite.as_ref().and_then(|p| p.next_due);
    let vaccination = entry.vaccination.as_ref().and_then(|v| v.next_due);
    let treatment = entry.treatment.as_ref().and_then(|t| t.until);
    let later = [
        ("worming", "next_due", worming),
        ("parasite", "next_due", parasite),
        ("vaccination", "next_due", vaccination),
        ("treatment", "until", treatment),
    ];
    for (kind, key, date) in later {
        if let Some(date) = date.filter(|date| *date < day) {
            problems.push(out_of_order(
                Place::path(file, key_path![i, kind, key]),
                format!("{date} is before {day}"),
            ));
        }
    }
    if let Some(expiry) = entry
        .vaccination
        .as_ref()
        .and_then(|v| v.expiry)
        .filter(|expiry| *expiry < day)
    {
        let place = Place::path(file, key_path![i, "vaccination", "expiry"]);
        problems.push(Problem::warning(
            "vaccine-expired",
            place,
            format!("the vial expired on {expiry}, before it was given"),
            "check the date on the sticker, and ask the vet if it is right",
        ));
    }
}

fn chip(
    records: &Checked<'_>,
    folder: &LitterFolder,
    file: &str,
    i: usize,
    entry: &HealthEntry,
    problems: &mut Vec<Problem>,
) {
    let Some(chip) = &entry.chip else { return };
    let place = Place::path(file, key_path![i, "chip", "number"]);
    let [id] = &entry.whom[..] else {
        problems.push(Problem::error(
            "chip-shared",
            place,
            "one chip number for several puppies",
            "give each puppy an entry of its own",
        ));
        return;
    };
    let mut puppies = folder.litter.puppies.iter().enumerate();
    let Some((n, puppy)) = puppies.find(|(_, puppy)| puppy.id == *id) else {
        return;
    };
    let there = Place::path(&folder.file("litter.yaml"), key_path!["puppies", n, "chip"]);
    match &puppy.chip {
        Some(known) if *known != chip.number => {
            problems.push(
                Problem::error(
                    "chip-differs",
                    place,
                    format!("litter.yaml has another chip number for `{id}`"),
                    "compare both with the certificate",
                )
                .and(there, "the other"),
            );
        }
        None if !records.is_broken(&folder.file("litter.yaml")) => {
            problems.push(Problem::warning(
                "chip-not-in-litter",
                place,
                format!("litter.yaml has no chip number for `{id}`"),
                format!("add `chip: \"{}\"` to the puppy", chip.number),
            ));
        }
        Some(_) | None => {}
    }
}
