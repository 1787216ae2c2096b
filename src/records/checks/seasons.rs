//! Checks of a bitch's seasons, and of the days on which dogs were neutered or taken out of
//! breeding.
//!
//! In: all dogs and litters. Out: problems in `dogs/*.yaml`. Seasons that are implausible are
//! warnings only, since seasons vary.

use super::super::dog::{Dog, Season, Sex};
use super::super::problem::{Place, Problem, key_path};
use super::{Checked, out_of_order, to_come};
use crate::quantity::{Day, Id};
use std::collections::BTreeMap;

/// Starts of two seasons lie at least this many days apart, or one of them is doubtful: seasons
/// come every 5 to 10 months, and a split season begins again within some weeks. Our own choice.
const LEAST_APART: i64 = 100;
/// A season lasts at most so many days, or its end is doubtful: about three weeks is usual. Our own
/// choice.
const LONGEST: i64 = 60;

pub(super) fn check(records: &Checked<'_>, problems: &mut Vec<Problem>) {
    let mut births: BTreeMap<&Id, Vec<(&Id, Day)>> = BTreeMap::new();
    for (id, folder) in records.litters {
        if let Some(birth) = &folder.litter.birth {
            births
                .entry(&folder.litter.dam)
                .or_default()
                .push((id, birth.on));
        }
    }
    for (id, dog) in records.dogs {
        let file = format!("dogs/{id}.yaml");
        seasons(records, &file, dog, problems);
        changes(
            records,
            &file,
            dog,
            births.get(id).map_or(&[], Vec::as_slice),
            problems,
        );
    }
}

fn seasons(records: &Checked<'_>, file: &str, dog: &Dog, problems: &mut Vec<Problem>) {
    if dog.sex == Sex::Male && !dog.seasons.is_empty() {
        let place = Place::path(file, key_path!["seasons"]);
        problems.push(
            Problem::error(
                "season-of-a-male",
                place,
                "a male has no seasons",
                "correct the sex, or write them into the file of the bitch",
            )
            .and(Place::path(file, key_path!["sex"]), "said here"),
        );
        return;
    }
    for (
        i,
        Season {
            start,
            end,
            remarks: _,
        },
    ) in dog.seasons.iter().enumerate()
    {
        let at = |key| Place::path(file, key_path!["seasons", i, key]);
        for (key, day) in [("start", Some(*start)), ("end", *end)] {
            let Some(day) = day else { continue };
            if day > records.today {
                problems.push(to_come(at(key), day, "correct the date"));
            }
            if let Some(died) = dog.died.filter(|died| *died < day) {
                problems.push(out_of_order(
                    at(key),
                    format!("in season on {day}, after she died on {died}"),
                ));
            }
        }
        if let Some(born) = dog.born.filter(|born| start <= born) {
            problems.push(out_of_order(
                at("start"),
                format!("in season on {start}, before her birth on {born}"),
            ));
        }
        if let Some(end) = end {
            let days = end.since(*start);
            if days < 0 {
                problems.push(out_of_order(
                    at("end"),
                    format!("a season that began on {start} ended before, on {end}"),
                ));
            } else if days > LONGEST {
                let message = format!("a season of {days} days is longer than a bitch’s");
                problems.push(Problem::warning(
                    "season-long",
                    at("end"),
                    message,
                    "check both dates",
                ));
            }
        }
        if let Some(neutered) = dog
            .neutered
            .and_then(|n| n.day())
            .filter(|neutered| neutered < start)
        {
            let message = format!("in season on {start}, though neutered on {neutered}");
            let hint = "correct one of the dates; if both are right, tell the vet: something of \
                        an ovary may have been left";
            problems.push(
                Problem::warning("season-after-neutering", at("start"), message, hint)
                    .and(Place::path(file, key_path!["neutered"]), "said here"),
            );
        }
    }
    apart(file, dog, problems);
}

/// Two seasons neither meet nor follow each other within weeks.
fn apart(file: &str, dog: &Dog, problems: &mut Vec<Problem>) {
    let mut ordered: Vec<(usize, &Season)> = dog.seasons.iter().enumerate().collect();
    ordered.sort_by_key(|(i, season)| (season.start, *i));
    for pair in ordered.windows(2) {
        let [(first, before), (second, after)] = pair else {
            continue;
        };
        let place = Place::path(file, key_path!["seasons", *second, "start"]);
        let other = Place::path(file, key_path!["seasons", *first, "start"]);
        let days = after.start.since(before.start);
        if days == 0 || before.end.is_some_and(|end| end >= after.start) {
            let message = format!(
                "this season begins on {}, within the one that began on {}",
                after.start, before.start
            );
            problems.push(
                Problem::error(
                    "seasons-overlap",
                    place,
                    message,
                    "correct the dates, or make them one season",
                )
                .and(other, "began here"),
            );
        } else if days < LEAST_APART {
            let message = format!("two seasons begin {days} days apart");
            let hint = "correct one of the dates; of a split season write its second start alone, \
                        and the first into its `remarks`";
            problems.push(
                Problem::warning("seasons-close", place, message, hint)
                    .and(other, "the one before"),
            );
        }
    }
}

/// The days on which a dog was neutered or taken out of breeding.
fn changes(
    records: &Checked<'_>,
    file: &str,
    dog: &Dog,
    births: &[(&Id, Day)],
    problems: &mut Vec<Problem>,
) {
    for (key, what, since) in [
        ("neutered", "neutered", dog.neutered),
        ("retired", "taken out of breeding", dog.retired),
    ] {
        let Some(day) = since.and_then(|since| since.day()) else {
            continue;
        };
        let place = Place::path(file, key_path![key]);
        if day > records.today {
            problems.push(to_come(
                place,
                day,
                "correct the date, or write it once it is done",
            ));
            continue;
        }
        let wrong = if let Some(born) = dog.born.filter(|born| day < *born) {
            format!("{what} on {day}, before birth on {born}")
        } else if let Some(died) = dog.died.filter(|died| *died < day) {
            format!("{what} on {day}, after it died on {died}")
        } else {
            continue;
        };
        problems.push(out_of_order(place, wrong));
    }
    let Some(neutered) = dog.neutered.and_then(|n| n.day()) else {
        return;
    };
    if let Some((litter, born)) = births
        .iter()
        .filter(|(_, born)| *born > neutered)
        .min_by_key(|(_, born)| *born)
    {
        let place = Place::path(file, key_path!["neutered"]);
        problems.push(
            out_of_order(
                place,
                format!("neutered on {neutered}, but her litter was born on {born}"),
            )
            .and(
                Place::path(
                    &format!("litters/{litter}/litter.yaml"),
                    key_path!["birth", "on"],
                ),
                "born here",
            ),
        );
    }
}
