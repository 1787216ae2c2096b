//! Checks of dogs: parents that exist, fit and are older; no dog its own ancestor; dates in order.
//!
//! In: all dogs. Out: problems in `dogs/*.yaml`.

use super::super::Dogs;
use super::super::dog::{Dog, Sex};
use super::super::problem::{Place, Problem, key_path};
use super::{Checked, name_hint, out_of_order, to_come};
use crate::quantity::{Id, Weight};
use std::collections::BTreeSet;

/// A parent is at least this many days older than its offspring: six months of age at mating,
/// common practice, no source, and two months of pregnancy.
const YOUNGEST_PARENT: i64 = 240;

pub(super) fn check(records: &Checked<'_>, problems: &mut Vec<Problem>) {
    for (id, dog) in records.dogs {
        let file = format!("dogs/{id}.yaml");
        parent(
            records,
            &file,
            dog,
            "sire",
            dog.sire.as_ref(),
            Sex::Male,
            problems,
        );
        parent(
            records,
            &file,
            dog,
            "dam",
            dog.dam.as_ref(),
            Sex::Female,
            problems,
        );
        dates(records, &file, dog, problems);
    }
    for circle in circles(records.dogs) {
        let file = format!("dogs/{}.yaml", circle[0]);
        let names: Vec<&str> = circle.iter().map(Id::as_str).collect();
        let hint = "look at `sire` and `dam` of each of them";
        let key = if records.dogs[&circle[0]].sire.as_ref() == circle.get(1) {
            "sire"
        } else {
            "dam"
        };
        problems.push(Problem::error(
            "ancestor-circle",
            Place::path(&file, key_path![key]),
            format!("`{}` is its own ancestor: {}", names[0], names.join(" → ")),
            hint,
        ));
    }
}

fn parent(
    records: &Checked<'_>,
    file: &str,
    dog: &Dog,
    key: &str,
    parent: Option<&Id>,
    sex: Sex,
    problems: &mut Vec<Problem>,
) {
    let Some(parent) = parent else { return };
    let place = Place::path(file, key_path![key]);
    let parent_file = format!("dogs/{parent}.yaml");
    let Some(found) = records.dogs.get(parent) else {
        if !records.is_broken(&parent_file) {
            let hint = name_hint(
                parent,
                records.dogs.keys(),
                &format!("write {parent_file} with at least `name` and `sex`"),
            );
            problems.push(Problem::error(
                "dog-unknown",
                place,
                format!("there is no dog `{parent}`"),
                hint,
            ));
        }
        return;
    };
    if found.sex != sex {
        let (is, should) = if sex == Sex::Male {
            ("female", "sire")
        } else {
            ("male", "dam")
        };
        let hint = format!(
            "a {should} is {}: correct this name, or the sex in {parent_file}",
            if sex == Sex::Male { "male" } else { "female" }
        );
        problems.push(
            Problem::error(
                "parent-wrong-sex",
                place.clone(),
                format!("the {should} `{parent}` is {is}"),
                hint,
            )
            .and(Place::path(&parent_file, key_path!["sex"]), "said here"),
        );
    }
    if let (Some(own), Some(theirs)) = (dog.born, found.born)
        && own.since(theirs) < YOUNGEST_PARENT
    {
        let message = format!(
            "`{parent}` was born on {theirs}, too late to be a parent of a dog born on {own}"
        );
        problems.push(
            Problem::error(
                "parent-too-young",
                place,
                message,
                "correct one of the two dates",
            )
            .and(Place::path(&parent_file, key_path!["born"]), "born here"),
        );
    }
}

/// Weights of grown dogs that can be, g: the smallest known were about half a kilogram, the
/// heaviest about 155 kg. From memory, no source.
const GROWN: std::ops::RangeInclusive<f64> = 450.0..=160_000.0;

/// A weight that no grown dog has.
pub(super) fn grown_weight(place: Place, weight: Option<Weight>, problems: &mut Vec<Problem>) {
    if let Some(weight) = weight.filter(|weight| !GROWN.contains(&weight.grams())) {
        let hint =
            "grown dogs weigh between 450 g and 160 kg: is the unit right, or a digit missing?";
        problems.push(Problem::error(
            "weight-impossible",
            place,
            format!("{weight} is no weight of a grown dog"),
            hint,
        ));
    }
}

fn dates(records: &Checked<'_>, file: &str, dog: &Dog, problems: &mut Vec<Problem>) {
    let at = |key: &str| Place::path(file, key_path![key]);
    let tests = dog
        .screening
        .iter()
        .enumerate()
        .map(|(i, test)| (key_path!["screening", i, "on"], test.on));
    for (path, day) in [(key_path!["born"], dog.born), (key_path!["died"], dog.died)]
        .into_iter()
        .chain(tests)
    {
        if let Some(day) = day.filter(|day| *day > records.today) {
            problems.push(to_come(Place::path(file, path), day, "correct the date"));
        }
    }
    if let (Some(born), Some(died)) = (dog.born, dog.died)
        && died < born
    {
        let message = format!("died on {died}, before it was born on {born}");
        problems.push(out_of_order(at("died"), message).and(at("born"), "born here"));
    }
    for (i, test) in dog.screening.iter().enumerate() {
        let place = |key: &str| Place::path(file, key_path!["screening", i, key]);
        let Some(on) = test.on else { continue };
        if let Some(until) = test.valid_until.filter(|until| *until < on) {
            let message = format!("valid until {until}, before it was tested on {on}");
            problems
                .push(out_of_order(place("valid_until"), message).and(place("on"), "tested here"));
        }
        if let Some(born) = dog.born.filter(|born| on < *born) {
            let message = format!("tested on {on}, before birth on {born}");
            problems.push(out_of_order(place("on"), message).and(at("born"), "born here"));
        }
    }
    grown_weight(at("adult_weight"), dog.adult_weight, problems);
}

/// Each circle of ancestry once, beginning with its first name in the alphabet.
fn circles(dogs: &Dogs) -> Vec<Vec<Id>> {
    let mut done: BTreeSet<&Id> = BTreeSet::new();
    let mut circles: BTreeSet<Vec<Id>> = BTreeSet::new();
    for start in dogs.keys() {
        let mut way: Vec<(&Id, usize)> = vec![(start, 0)];
        while let Some((id, tried)) = way.last_mut() {
            let parents = dogs
                .get(*id)
                .map_or([None, None], |d| [d.sire.as_ref(), d.dam.as_ref()]);
            let next = (*tried < 2).then(|| parents[*tried]);
            *tried += 1;
            match next {
                None => {
                    done.insert(id);
                    way.pop();
                }
                Some(Some(parent)) => {
                    if let Some(begin) = way.iter().position(|(on_way, _)| *on_way == parent) {
                        circles.insert(rotated(
                            way[begin..].iter().map(|(id, _)| (*id).clone()).collect(),
                        ));
                    } else if !done.contains(parent) && dogs.contains_key(parent) {
                        way.push((parent, 0));
                    }
                }
                Some(None) => {}
            }
        }
    }
    circles.into_iter().collect()
}

fn rotated(mut circle: Vec<Id>) -> Vec<Id> {
    if let Some(first) = circle
        .iter()
        .enumerate()
        .min_by_key(|(_, id)| id.as_str().to_owned())
        .map(|(i, _)| i)
    {
        circle.rotate_left(first);
        let again = circle[0].clone();
        circle.push(again);
    }
    circle
}
